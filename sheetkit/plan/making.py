"""The tabs Joints to Finish: each answered by its calculation, and the story sticks that follow."""

from __future__ import annotations

from dataclasses import replace

from sheetkit.plan.curves import run_answers, shape_answers
from sheetkit.plan.finishing import finish_answers
from sheetkit.plan.gluing import glue_up_answers
from sheetkit.plan.joinery import joint_answers, tenon_milling
from sheetkit.plan.loads import load_answers
from sheetkit.plan.marks import story_sticks
from sheetkit.plan.notes import Names
from sheetkit.plan.shop import Shop
from sheetkit.records.answers import Answers, Unanswered
from sheetkit.records.notes import notes_of
from sheetkit.records.problems import Problem

TABS = ("Joints", "Spacing", "Shapes", "Loads", "Glue-ups", "Finish")


def with_making(answers: Answers, shop: Shop, told: list[Problem]) -> Answers:
    """Return the answers with those to the tabs Joints to Finish."""
    names = Names(shop.job)
    on = {tab: notes_of(tab, shop.job, told) for tab in (*TABS, "Allowances")}
    runs = run_answers(shop, on["Spacing"])
    shapes = shape_answers(shop, names, on["Shapes"])
    joints = joint_answers(shop, names, runs, shapes, on["Joints"])
    loads = load_answers(shop, on["Loads"], on["Allowances"])
    left = (
        *on["Spacing"].left([run.run.row for run in runs]),
        *on["Shapes"].left([shape.shape.row for shape in shapes]),
        *on["Loads"].left([load.load.row for load in loads]),
    )
    return replace(
        answers,
        joints=joints,
        runs=runs,
        shapes=shapes,
        loads=loads,
        glue_ups=glue_up_answers(shop, joints, answers.parts, answers.panels, on["Glue-ups"]),
        finish=finish_answers(shop, names, answers.panels, on["Finish"]),
        tenon_stock=tenon_milling(joints, shop.allowances.crosscut_kerf),
        sticks=story_sticks(joints, runs, shapes),
        unanswered=tuple(Unanswered(*each) for each in left),
    )

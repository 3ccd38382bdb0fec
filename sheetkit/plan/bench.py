"""The tabs Joints to Finish: each answered by its calculation, and the story sticks that follow."""

from __future__ import annotations

from dataclasses import replace

from sheetkit.plan.curves import run_answers, shape_answers
from sheetkit.plan.finishing import finish_answers
from sheetkit.plan.gluing import glue_up_answers
from sheetkit.plan.joinery import joint_answers, tenon_milling
from sheetkit.plan.loads import load_answers
from sheetkit.plan.marks import story_sticks
from sheetkit.plan.notes import Names, Notes
from sheetkit.plan.shop import Shop
from sheetkit.records.answers import Answers, Unanswered
from sheetkit.records.problems import Problem


def with_bench_tabs(answers: Answers, shop: Shop, problems: list[Problem]) -> Answers:
    """Give the answers with those to the tabs Joints to Finish."""
    names = Names(shop.job)

    def notes(tab: str, first: str) -> Notes:
        return Notes(tab, first, shop, problems)

    on_spacing, on_shapes, on_loads = (
        notes("Spacing", "run"),
        notes("Shapes", "shape"),
        notes("Loads", "member"),
    )
    joints = joint_answers(shop, names, notes("Joints", "joint"))
    runs = run_answers(shop, on_spacing)
    shapes = shape_answers(shop, on_shapes)
    loads = load_answers(shop, on_loads)
    left = (
        *on_spacing.left([run.run.row for run in runs]),
        *on_shapes.left([shape.shape.row for shape in shapes]),
        *on_loads.left([load.load.row for load in loads]),
    )
    return replace(
        answers,
        joints=joints,
        runs=runs,
        shapes=shapes,
        loads=loads,
        glue_ups=glue_up_answers(shop, joints, answers.parts, answers.panels, notes("Glue-ups", "step")),
        finish=finish_answers(shop, names, answers.panels, notes("Finish", "step")),
        tenon_stock=tenon_milling(joints, shop.allowances.crosscut_kerf),
        sticks=story_sticks(joints, runs, shapes),
        unanswered=tuple(Unanswered(*each) for each in left),
    )

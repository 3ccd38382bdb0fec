"""The tabs Joints to Finish: each answered by its calculation, and the story sticks that follow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sheetkit.plan.curves import shape_answers
from sheetkit.plan.elevations import elevations
from sheetkit.plan.finishing import finish_answers
from sheetkit.plan.gluing import glue_up_answers
from sheetkit.plan.joinery import joint_answers
from sheetkit.plan.loads import load_answers
from sheetkit.plan.marks import story_sticks
from sheetkit.plan.notes import Names
from sheetkit.plan.openings import planned_panels
from sheetkit.plan.shop import Shop
from sheetkit.plan.spacing import run_answers
from sheetkit.plan.tenon_stock import tenon_milling
from sheetkit.records.answers import Answers, Unanswered
from sheetkit.records.elevations import Elevation
from sheetkit.records.job import Job
from sheetkit.records.joinery import JointAnswer, RunAnswer, ShapeAnswer
from sheetkit.records.notes import Notes, notes_of
from sheetkit.records.problems import Problem

TABS = ("Joints", "Spacing", "Shapes", "Loads", "Glue-ups", "Finish")

OVERNIGHT = 12.0
"""Hours in clamps where Glue-ups says nothing of the assembly; common practice, no source."""


@dataclass(frozen=True)
class Bench:
    """What is answered before the panels, since their openings follow from it: runs, shapes and joints."""

    names: Names
    on: Mapping[str, Notes]
    """What is said of each tab, all in one list."""
    told: list[Problem]
    runs: tuple[RunAnswer, ...]
    shapes: tuple[ShapeAnswer, ...]
    joints: tuple[JointAnswer, ...]


def bench(shop: Shop) -> Bench:
    """Return the runs, shapes and joints of a job."""
    told: list[Problem] = []
    names = Names(shop.job)
    on = {tab: notes_of(tab, shop.job, told) for tab in (*TABS, "Allowances")}
    runs = run_answers(shop, names, on["Spacing"])
    shapes = shape_answers(shop, names, on["Shapes"])
    return Bench(names, on, told, runs, shapes, joint_answers(shop, names, runs, shapes, on["Joints"]))


def with_openings(job: Job, shop: Shop, made: Bench, notes: Notes) -> Job:
    """Return the job with the openings of panels that runs and rails tell."""
    return replace(job, panels=planned_panels(shop, made.names, made.runs, made.joints, notes))


def frames_seen(shop: Shop, made: Bench, notes: Notes) -> tuple[Elevation, ...]:
    """Return the elevations; what they say of panels goes to the notes of Panels."""
    return elevations(shop, made.names, made.runs, made.joints, {**made.on, "Panels": notes})


def with_making(answers: Answers, shop: Shop, made: Bench) -> Answers:
    """Return the answers with those to the tabs Joints to Finish."""
    on = made.on
    joints = tuple(replace(each, remarks=on["Joints"].of(each.joint.row)) for each in made.joints)
    runs = tuple(replace(each, remarks=on["Spacing"].of(each.run.row)) for each in made.runs)
    shapes = tuple(replace(each, remarks=on["Shapes"].of(each.shape.row)) for each in made.shapes)
    loads = load_answers(shop, on["Loads"], on["Allowances"])
    glue_ups = glue_up_answers(shop, joints, answers.parts, answers.panels, on["Glue-ups"])
    goes = [each.goes * each.clamp_hours for each in glue_ups if each.glues == "assembly"]
    in_clamps = sum(goes) if goes else OVERNIGHT if joints else 0.0
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
        glue_ups=glue_ups,
        finish=finish_answers(shop, made.names, answers.panels, in_clamps, on["Finish"]),
        tenon_stock=tenon_milling(joints, answers.layouts, shop),
        sticks=story_sticks(joints, runs, shapes),
        unanswered=tuple(Unanswered(*each) for each in left),
    )

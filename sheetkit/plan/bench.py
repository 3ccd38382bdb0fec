"""The bench: joints, runs, shapes, loads, glue-ups, finish and marks, each answered by its calculation."""

from __future__ import annotations

from collections.abc import Sequence

from sheetkit.plan.curves import run_answers, shape_answers
from sheetkit.plan.finishing import finish_answers
from sheetkit.plan.gluing import glue_up_answers
from sheetkit.plan.joinery import joint_answers, tenon_milling
from sheetkit.plan.loads import load_answers
from sheetkit.plan.marks import story_sticks
from sheetkit.plan.notes import Names, Notes
from sheetkit.plan.shop import Shop
from sheetkit.records.answers import PanelAnswer, PartAnswer
from sheetkit.records.job import Job
from sheetkit.records.joinery import Bench
from sheetkit.records.problems import Problem


def bench(
    job: Job, shop: Shop, parts: Sequence[PartAnswer], panels: Sequence[PanelAnswer], problems: list[Problem]
) -> Bench:
    """Answer everything that the tabs from Joints to Finish ask."""
    names = Names(job)

    def notes(tab: str, first: str) -> Notes:
        return Notes(tab, first, shop, problems)

    on_joints, on_spacing, on_shapes = (
        notes("Joints", "joint"),
        notes("Spacing", "run"),
        notes("Shapes", "shape"),
    )
    on_loads, on_glue_ups, on_finish = (
        notes("Loads", "member"),
        notes("Glue-ups", "step"),
        notes("Finish", "step"),
    )
    joints = joint_answers(shop, names, on_joints)
    runs = run_answers(shop, on_spacing)
    shapes = shape_answers(shop, on_shapes)
    loads = load_answers(shop, on_loads)
    return Bench(
        joints,
        runs,
        shapes,
        loads,
        glue_up_answers(shop, joints, parts, panels, on_glue_ups),
        finish_answers(shop, names, panels, on_finish),
        tenon_milling(joints, shop.allowances.crosscut_kerf),
        story_sticks(joints, runs, shapes),
        (
            *on_spacing.left([run.run.row for run in runs]),
            *on_shapes.left([shape.shape.row for shape in shapes]),
            *on_loads.left([load.load.row for load in loads]),
        ),
    )

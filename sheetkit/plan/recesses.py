"""Mortises for hardware: the steps of a recess that lie within each other, and the passes to rout them in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import chain

from sheetkit.calc.boxes import SIDES
from sheetkit.calc.mortises import Recess, depth_passes, stepped_recess
from sheetkit.plan.places import size_of
from sheetkit.plan.sections import openings
from sheetkit.plan.shop import Shop
from sheetkit.records.joinery import Cavity, JointAnswer, Span
from sheetkit.records.notes import Notes

A_PASS = 1 / 4
"""Depth that a router takes in one pass, common practice [in]."""
MOST_SAID = 8
LEAST_WALL = 1 / 4
"""Wood wanted behind hardware that screws go into, common practice [in]."""

SLACK = 1e-9

Step = tuple[JointAnswer, Cavity]


def recess_checks(answers: Sequence[JointAnswer], shop: Shop, notes: Notes) -> list[JointAnswer]:
    """Check rows of hardware in one part as steps of one recess, and give each its passes."""
    checked = []
    groups: dict[tuple[object, ...], list[Step]] = {}
    for answer in answers:
        if answer.joint.kind != "hardware":
            checked.append(answer)
            continue
        passes = () if answer.bored else depth_passes(answer.joint.depth_into, A_PASS)
        if len(passes) > 1:
            depths = ", ".join(shop.words(depth) for depth in passes[:MOST_SAID])
            more = f" and {len(passes) - MOST_SAID} more" if len(passes) > MOST_SAID else " deep"
            notes.remark(answer.joint.row, f"Rout it in {len(passes)} passes: {depths}{more}.")
        checked.append(replace(answer, passes=passes))
        for cavity in answer.cavities:
            if (
                cavity.surface == answer.cavities[0].surface
                and cavity.part.row == answer.cavities[0].part.row
            ):
                key = (cavity.part.row, cavity.surface if answer.joint.on else "", cavity.pieces)
                groups.setdefault(key, []).append((answer, cavity))
    for members in groups.values():
        for recess in _together(members):
            _recess(recess, shop, notes)
    return checked


def _together(members: Sequence[Step]) -> list[list[Step]]:
    """Gather what overlaps along and across: steps of one recess."""
    done: list[list[Step]] = []
    near: list[list[Step]] = []
    for step in sorted(members, key=lambda each: each[1].along[0]):
        one = step[1]
        done += [recess for recess in near if max(far.along[1] for _, far in recess) <= one.along[0]]
        near = [recess for recess in near if max(far.along[1] for _, far in recess) > one.along[0]]
        met = [recess for recess in near if any(_meet(one.across, other.across) for _, other in recess)]
        near = [recess for recess in near if recess not in met]
        near.append([*chain.from_iterable(met), step])
    return sorted(done + near, key=lambda recess: recess[0][1].along[0])


def _meet(one: Span, other: Span) -> bool:
    return one[0] < other[1] - SLACK and other[0] < one[1] - SLACK


def _recess(recess: Sequence[Step], shop: Shop, notes: Notes) -> None:
    first = recess[0][1]
    part = first.part
    steps = [(each.along[0], each.along[1] - each.along[0], each.depth) for _, each in recess]
    member = (
        min(way.deep for way in openings(part)) if first.assumed else size_of(part)[SIDES[first.surface].into]
    )
    for found in stepped_recess(steps, member, LEAST_WALL):
        row = next(
            answer.joint.row
            for (answer, _), (start, _, depth) in zip(recess, steps, strict=True)
            if (start, depth) == (found.start, found.depth)
        )
        if found.reason is Recess.WALL:
            sizes = shop.sizes(wall=found.wall, least=LEAST_WALL, deepest=member - LEAST_WALL)
            notes.add("recess-wall", row, "depth_into", shop.words(found.depth), part=part.part, **sizes)
        elif found.reason is Recess.LOOSE:
            sizes = shop.sizes(start=found.start, stop=found.stop)
            notes.add("recess-loose", row, "at", sizes["start"], **sizes)
    if len({answer.joint.row for answer, _ in recess}) > 1:
        order = ", ".join(
            dict.fromkeys(answer.joint.joint for answer, _ in sorted(recess, key=lambda each: each[1].depth))
        )
        for answer, _ in recess:
            notes.remark(
                answer.joint.row,
                f"Cut the shallow step first: its floor carries the router for the next ({order}).",
            )

"""Mortises for hardware: the steps of a recess that lie within each other, and the passes to rout them in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sheetkit.calc.mortises import Recess, depth_passes, stepped_recess
from sheetkit.plan.sections import openings
from sheetkit.plan.shop import Shop
from sheetkit.records.joinery import JointAnswer
from sheetkit.records.notes import Notes

A_PASS = 1 / 4
"""Depth that a router takes in one pass, common practice [in]."""
MOST_SAID = 8
LEAST_WALL = 1 / 4
"""Wood wanted behind hardware that screws go into, common practice [in]."""


def recess_checks(answers: Sequence[JointAnswer], shop: Shop, notes: Notes) -> list[JointAnswer]:
    """Check rows of hardware in one part as steps of one recess, and give each its passes."""
    checked = []
    groups: dict[str, list[JointAnswer]] = {}
    for answer in answers:
        if answer.joint.kind != "hardware":
            checked.append(answer)
            continue
        passes = depth_passes(answer.joint.depth_into, A_PASS)
        if len(passes) > 1:
            depths = ", ".join(shop.words(depth) for depth in passes[:MOST_SAID])
            more = f" and {len(passes) - MOST_SAID} more" if len(passes) > MOST_SAID else " deep"
            notes.remark(answer.joint.row, f"Rout it in {len(passes)} passes: {depths}{more}.")
        checked.append(replace(answer, passes=passes))
        if answer.into is not None and answer.joint.width is not None:
            groups.setdefault(answer.into.part, []).append(answer)
    for members in groups.values():
        for recess in _together(members):
            _recess(recess, shop, notes)
    return checked


def _together(members: Sequence[JointAnswer]) -> list[list[JointAnswer]]:
    """Gather the rows whose lengths overlap: steps of one recess."""
    recesses: list[list[JointAnswer]] = []
    stop = float("-inf")
    for answer in sorted(members, key=lambda each: each.joint.at or 0.0):
        start = answer.joint.at or 0.0
        if not recesses or start >= stop:
            recesses.append([])
            stop = float("-inf")
        recesses[-1].append(answer)
        stop = max(stop, start + (answer.joint.width or 0.0))
    return recesses


def _recess(recess: Sequence[JointAnswer], shop: Shop, notes: Notes) -> None:
    into = recess[0].into
    assert into is not None
    steps = [(each.joint.at or 0.0, each.joint.width or 0.0, each.joint.depth_into) for each in recess]
    member = min(way.deep for way in openings(into))
    for found in stepped_recess(steps, member, LEAST_WALL):
        row = next(
            each.joint.row
            for each, (start, _, depth) in zip(recess, steps, strict=True)
            if (start, depth) == (found.start, found.depth)
        )
        if found.reason is Recess.WALL:
            notes.add("recess-wall", row, "depth_into", shop.words(found.depth), wall=shop.words(found.wall),
                      part=into.part, least=shop.words(LEAST_WALL), deepest=shop.words(member - LEAST_WALL))  # fmt: skip
        elif found.reason is Recess.LOOSE:
            notes.add(
                "recess-loose",
                row,
                "at",
                shop.words(found.start),
                start=shop.words(found.start),
                stop=shop.words(found.stop),
            )
    if len(recess) > 1:
        order = ", ".join(each.joint.joint for each in sorted(recess, key=lambda each: each.joint.depth_into))
        for each in recess:
            notes.remark(
                each.joint.row,
                f"Cut the shallow step first: its floor carries the router for the next ({order}).",
            )

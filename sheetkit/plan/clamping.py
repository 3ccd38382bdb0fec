"""Where clamps stand in an assembly: at its rails, when Glue-ups names the joints that it closes."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from sheetkit.calc.clamps import clamp_row
from sheetkit.plan.notes import listed
from sheetkit.records.job import Part
from sheetkit.records.joinery import JointAnswer

PULLED = ("tenon", "loose tenon", "dowel")
"""Kinds of joint that a clamp along the entering part closes."""


class RailClamps(NamedTuple):
    """Clamps along the members that enter: how many, and where they stand on the part that takes them."""

    clamps: int
    rails: tuple[str, ...]
    places: tuple[float, ...]
    """Middles of their joints from the reference end of that part [in]; empty unless all are in one part."""
    of: str


def rail_clamps(named: Sequence[JointAnswer], spacing: float) -> RailClamps | None:
    """Return the clamps of the joints named, None when they do not tell of a member that enters another."""
    pulled = [(each, each.from_part) for each in named if each.joint.kind in PULLED]
    rails: dict[str, Part] = {part.part: part for _, part in pulled if isinstance(part, Part)}
    if not rails:
        return None
    count = 0
    for name, part in rails.items():
        joints = sum(each.qty for each, of in pulled if isinstance(of, Part) and of.part == name)
        # a clamp along a rail closes the joints at both its ends
        ends = len([tenon for tenon in part.tenons if tenon]) or 2
        count += min(part.qty, math.ceil(joints / ends)) * len(
            clamp_row(part.width, spacing, min(spacing, part.width) / 2, least=1).places
        )
    boxes = [cavity for each, _ in pulled for cavity in each.cavities if not cavity.in_end_grain]
    takers = {cavity.part.part for cavity in boxes}
    middles = sorted({round(sum(cavity.along) / 2, 6) for cavity in boxes})
    told = len(takers) == 1 and all(each.cavities for each, _ in pulled)
    of = next(iter(takers)) if told else ""
    return RailClamps(count, tuple(rails), tuple(middles) if told else (), of)


def rail_words(rails: RailClamps, words: Callable[[float], str]) -> str:
    """Say where the clamps stand."""
    at = (
        f": {listed([words(place) for place in rails.places])} from the end of {rails.of}" if rails.of else ""
    )
    return f"{rails.clamps} clamps in all, along {listed(list(rails.rails))}{at}."

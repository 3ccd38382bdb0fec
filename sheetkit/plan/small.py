"""Pieces too small for the machines by themselves: how each passes all the same, and the words for it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sheetkit.plan.shop import Shop
from sheetkit.records.notes import Notes
from sheetkit.records.wood import Blank, Small


class Alone(NamedTuple):
    """A piece as it would meet the machines in a blank of its own [in]."""

    planed: float
    """Thickness once planed."""
    width: float
    length: float


def small_ways(alone: Alone, shop: Shop) -> tuple[Small, ...]:
    """Return what is done with a piece that is too short, too narrow or too thin for the machines."""
    least = shop.allowances
    tests = (
        (alone.length < least.shortest - 1e-9, Small.LONG),
        (alone.width < least.narrowest - 1e-9, Small.WIDE),
        (alone.planed < least.thinnest - 1e-9, Small.CARRIER),
    )
    return tuple(way for small, way in tests if small)


def small_remarks(
    ways: Sequence[Small], blanks: Sequence[Blank], notes: Notes, row: int, shop: Shop
) -> list[str]:
    """Say which pieces share a blank and why, or that a single one is made larger than it will be."""
    least, glued = shop.allowances, blanks[0].role != "piece"
    make, in_one = ("Glue up", "glue-up") if glued else ("Mill", "blank")
    shortest, narrowest = shop.words(least.shortest), shop.words(least.narrowest)
    long, wide = any(blank.along > 1 for blank in blanks), any(blank.across > 1 for blank in blanks)
    remarks = []
    if long or wide:
        held = [("long, then cut", f"shorter than {shortest}")] * long
        held += [("wide, then rip", f"narrower than {narrowest}")] * wide
        most, why = max(blank.along * blank.across for blank in blanks), " or ".join(why for _, why in held)
        column = ("length" if blanks[0].tab == "Parts" else "panel") if long else "width"
        how = "glued up as one" if glued else "milled in one blank"
        notes.tell("ganged", row, column, count=most, how=how, why=why)
        lots = [f"{blank.wholes or blank.count} of {blank.along * blank.across}" for blank in blanks]
        remarks.append(
            f"{make} {' and '.join(way for way, _ in held)}: {' and '.join(lots)} pieces in one {in_one} "
            f"({why} is not safe through machines)."
        )
    if Small.LONG in ways and any(blank.along == 1 for blank in blanks):
        remarks.append(f"{make} long ({shortest}), then cut to length.")
    if Small.WIDE in ways and any(blank.across == 1 for blank in blanks):
        if any(blank.per_glue_up > 1 for blank in blanks):
            remarks.append(f"No stave is cut narrower than {narrowest}: rip the whole to width.")
        else:
            remarks.append(f"{make} wide ({narrowest}), then rip to width.")
    if Small.CARRIER in ways and glued:
        remarks.append("Thin: plane the pieces on a carrier board, or by hand.")
    elif Small.CARRIER in ways:
        remarks.append("Thin: plane it on a carrier board, or resaw it from thicker stock.")
    return remarks

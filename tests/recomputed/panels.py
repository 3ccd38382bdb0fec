"""Panels: what to cut today so that they live in their grooves through the seasons."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from tests.recomputed.joints import spaced
from tests.recomputed.parts import Blank, ganged, matching, staves
from tests.recomputed.shop import Impossible, Shop
from tests.recomputed.woods import Movement, movement


@dataclass(frozen=True)
class Panel:
    row: dict[str, Any]
    width: Fraction
    height: Fraction
    gap: Fraction
    bearing: Fraction
    clearance: Fraction
    measured: bool
    blanks: list[Blank]
    volume: Fraction
    deep_enough: Fraction | None
    """Groove depth that would do, when this one does not."""


def _across(shop: Shop, opening: Fraction, groove: Fraction, moves: Movement) -> Fraction:
    room = opening + 2 * (groove - shop.allow["Least clearance"])
    return shop.down(room / moves.grown(shop.now, shop.wettest))


def _bearing(shop: Shop, size: Fraction, opening: Fraction, moves: Movement) -> Fraction:
    return (size * moves.grown(shop.now, shop.driest) - opening) / 2


def _depth_that_would_do(shop: Shop, opening: Fraction, moves: Movement) -> Fraction:
    """A panel that bears enough at the driest, half a step lost to rounding at each side, must fit at the wettest."""
    least = opening + 2 * shop.allow["Least in groove"] + shop.step
    wet = least / moves.grown(shop.now, shop.driest) * moves.grown(shop.now, shop.wettest)
    depth = shop.up((wet - opening) / 2 + shop.allow["Least clearance"])
    assert (
        _bearing(shop, _across(shop, opening, depth, moves), opening, moves) >= shop.allow["Least in groove"]
    )
    return depth


def _run_gap(shop: Shop, row: dict[str, Any]) -> Fraction:
    """The gap that a panel stands in; of unlike ones the rows take the next, in their order."""
    run = next(each for each in shop.rows("Spacing") if each["Run"] == row["Run"])
    found = spaced(run, shop.rows("Parts"))
    gaps = found.get("each_gap") or [found["gap"]] * (found["members_used"] + 1)
    sharing = [each for each in shop.rows("Panels") if each.get("Run") == row["Run"]]
    frames = sum(each["Qty"] for each in sharing) // len(gaps)
    before = sum(each["Qty"] for each in sharing[: sharing.index(row)]) // frames
    return Fraction(gaps[before])


def _room(shop: Shop, row: dict[str, Any]) -> Fraction:
    """From the lower edge of the upper rail to the upper edge of the lower one: each tenon is in the middle of its rail."""
    edges = []
    for name in row["Rails"].split("; "):
        wide = next(part["Width"] for part in shop.rows("Parts") if part["Part"] == name)
        joint = next(each for each in shop.rows("Joints") if each["From"] == name)
        middle = joint["At"] + joint["Width"] / 2
        edges.append((middle - wide / 2, middle + wide / 2))
    upper, lower = sorted(edges)
    return Fraction(lower[0] - upper[1])


def answered(shop: Shop, row: dict[str, Any]) -> Panel:
    wide = row.get("Measured width") or row.get("Opening width") or _run_gap(shop, row)
    high = row.get("Measured height") or row.get("Opening height") or _room(shop, row)
    measured = bool(row.get("Measured width") and row.get("Measured height"))
    sides = row["Groove depth sides"]
    ends = row.get("Groove depth ends") or sides
    moves = movement(shop.wood(row), row.get("Cut") or "either")
    if moves is None:
        raise Impossible("movement unknown")
    up = (row.get("Grain") or "up") == "up"
    (opening, groove), (length, end) = ((wide, sides), (high, ends)) if up else ((high, ends), (wide, sides))
    across = _across(shop, opening, groove, moves)
    along = shop.down(length + 2 * (end - shop.allow["Least clearance"]))
    if across <= opening or along <= length:
        raise Impossible("no panel stays in this frame")
    bearing = _bearing(shop, across, opening, moves)
    short = bearing < shop.allow["Least in groove"]
    return Panel(
        row,
        across if up else along,
        along if up else across,
        groove - (across - opening) / 2,
        bearing,
        groove - (across * moves.grown(shop.now, shop.wettest) - opening) / 2,
        measured,
        _blanks(shop, row, across, along),
        across * along * row["Thickness"] * row["Qty"],
        _depth_that_would_do(shop, opening, moves) if short else None,
    )


def _blanks(shop: Shop, row: dict[str, Any], across: Fraction, along: Fraction) -> list[Blank]:
    name, species, qty, thick, allow = row["Panel"], row["Species"], row["Qty"], row["Thickness"], shop.allow
    usual = shop.extras(along).thickness
    glued = [(wholes, in_one, shop.tape(length)) for wholes, in_one, length in
             ganged(along, qty, allow["Panel length extra"], allow["Crosscut kerf"], allow["Shortest through machines"])]  # fmt: skip
    made, asked = row.get("Made as") or "edge-glued", row.get("Leaves")
    if made == "edge-glued":
        offer = shop.thinnest(species, lambda offer: thick + offer.takes(usual, glued=True), row.get("Stock"))
        count, each = staves(shop, across, asked)
        return [Blank(name, "Panels", species, offer, wholes * count, shop.up(thick + offer.takes(usual, glued=True)), each, length, "stave", in_one,
                      glued_width=across + allow["Panel trim"], per_glue_up=count, wholes=wholes, **matching(row, count)) for wholes, in_one, length in glued]  # fmt: skip
    book = made == "bookmatched"
    count, each = staves(shop, across, asked or (2 if book else None))
    lost = allow["Resaw kerf"] + allow["Resaw clean-up"]
    able = []
    for offer in shop.offers(species, row.get("Stock")):
        flat = offer.measures - offer.takes(usual, glued=True)
        if flat > 0:
            able.append((offer, math.floor((flat + lost) / (thick + lost))))
    if row.get("Stock") is not None:
        able = [(offer, max(1, n)) for offer, n in able if offer.stock == row["Stock"]]
        wanted = [1]
    else:
        wanted = [count if book else 2, 2]
    # a book opens one blank where a stock is thick enough for it; else, as with other leaves, two come from each
    fits = [
        (offer, n)
        for least in wanted
        for offer, n in able
        if n >= min(least, sum(wholes for wholes, _, _ in glued) * count)
    ]
    if not fits:
        raise Impossible("no leaf")
    offer, leaves = fits[0]
    of_one = -(-count // leaves)
    label = row.get("Keep together") or ("each piece" if book else "")
    own = book or label == "each piece"
    need = shop.up(leaves * thick + (leaves - 1) * lost + offer.takes(usual, glued=True))
    return [Blank(name, "Panels", species, offer, wholes * of_one if own else -(-wholes * count // leaves), min(need, offer.measures),
                  each, length, "leaf", in_one, layers=leaves, per_glue_up=count, wholes=wholes,
                  **matching({**row, "Keep together": label}, of_one)) for wholes, in_one, length in glued]  # fmt: skip

"""Wide parts that are screwed on: how they move with the seasons, and the slots that let them."""

from __future__ import annotations

from sheetkit.calc.movement import seasonal_swing, slot_length
from sheetkit.plan.shop import Shop
from sheetkit.records.job import Part
from sheetkit.records.work import TopMoves

WIDE = 8.0
"""A solid part at least this wide moves enough to matter where it is fastened, common practice [in]."""
SCREW = 3 / 16
"""Shank of the screws that hold a top, a No. 10; common practice [in]."""


def top_moves(part: Part, shop: Shop) -> TopMoves | None:
    """Return how a wide part moves, None when it is narrow or nothing is known of its species."""
    movement = shop.movement(part.species, part.cut)
    if part.width < WIDE or movement is None:
        return None
    now, driest, wettest = shop.moisture, shop.driest, shop.wettest
    swing = seasonal_swing(part.width, movement, now, driest, wettest)
    grows = seasonal_swing(part.width, movement, now, now, wettest)
    shrinks = seasonal_swing(part.width, movement, now, driest, now)
    slot, one_edge = slot_length(grows, shrinks, SCREW), slot_length(2 * grows, 2 * shrinks, SCREW)
    return TopMoves(
        shop.up(swing), shop.up(grows / 2), shop.up(shrinks / 2), shop.up(slot), shop.up(one_edge), SCREW
    )


def top_words(moves: TopMoves, shop: Shop) -> str:
    """Say how a wide part moves and what slots let it."""
    words = shop.words
    return (
        f"Moves {words(moves.swing)} across the grain from driest to wettest. Fix it at the middle only: "
        f"each edge then moves up to {words(moves.out)} outward and {words(moves.back)} inward from where it "
        f"stands today. Slots for screws {words(moves.screw)} thick: {words(moves.slot)} long, the screw in "
        f"the middle of its slot today; fixed along one edge instead, {words(moves.slot_far)} at the other."
    )

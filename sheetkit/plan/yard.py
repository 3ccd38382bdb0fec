"""Where boards are taken from: what this job has cut, the rack, then the cheapest that serve at the yard."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from typing import NamedTuple

from sheetkit.calc.layout import Board as LaidBoard
from sheetkit.calc.layout import Layout, Piece, Saw, lay_out
from sheetkit.records.job import Board

FROM = ("cut", "rack", "yard")
"""Where boards are, in the order in which they are taken."""
EARLIER = 0.5
"""Share of the effort for the boards at hand alone, when others could be bought."""
AT_HAND = 0.004
"""What all boards at hand count beside those to buy: under a cent, so that none is bought to spare one."""


FEW, TRIES = 12, 8
"""Boards of which every set is thought of, and how many cheaper sets are tried."""
EACH_TRY = 0.1
"""Share of the effort for each of them."""
A_CENT = 0.005


class Worth(NamedTuple):
    """What a board holds [bf], and its money; None when it has no price."""

    feet: float
    money: float | None


class Taken(NamedTuple):
    """A layout, what was counted for it, and the boards that it buys."""

    layout: Layout
    in_money: bool
    bought: frozenset[str]


def lay_out_from(
    pieces: Sequence[Piece],
    boards: Sequence[Board],
    worth: Mapping[tuple[str, int], Worth],
    as_laid: Callable[[Board, float], LaidBoard],
    saw: Saw,
    effort: float,
    progress: Callable[[float, float, float], bool | None] | None = None,
) -> Taken:
    """Lay out pieces on the boards at hand; when these do not hold them, on those at the yard as well.

    With boards at the yard the cost is what is spent there, and the bound the least that has to be.
    """
    stages = [where for where in FROM if any(board.where == where for board in boards)]
    for stage in stages:
        last = stage == stages[-1]
        offered = [
            board for where in FROM[: FROM.index(stage) + 1] for board in boards if board.where == where
        ]
        if not last and not _room(pieces, offered):
            continue
        at_hand = [board for board in offered if board.where != stage]
        in_money = all(worth[board.spot].money is not None for board in offered if board.where == stage)
        held = sum(worth[board.spot].feet for board in at_hand)

        def cost(board: Board, stage: str = stage, in_money: bool = in_money, held: float = held) -> float:
            feet, money = worth[board.spot]
            if board.where != stage:
                return AT_HAND * feet / held if held else 0.0
            return money if in_money and money is not None else feet

        laid = [as_laid(board, cost(board)) for board in offered]
        layout = lay_out(pieces, laid, saw, effort=effort if last else effort * EARLIER, progress=progress)
        if last or not layout.missing or layout.stopped == "interrupted":
            break
    if not layout.stopped:
        layout = _cheaper(layout, pieces, laid[: len(at_hand)], laid[len(at_hand) :], saw, effort)
    left = [as_laid(board, worth[board.spot].feet) for board in boards if board not in offered]
    layout = replace(layout, unused=(*layout.unused, *left))
    fresh = {board.board for board in offered if board.where == stage}
    if at_hand:
        spent = sum(laid.board.cost for laid in layout.boards if laid.board.id in fresh)
        layout = replace(layout, cost=spent, bound=min(spent, max(0.0, layout.bound - AT_HAND)))
    used = {laid.board.id for laid in layout.boards}
    bought = frozenset(used & fresh) if stage == "yard" else frozenset[str]()
    return Taken(layout, in_money, bought)


def _cheaper(
    layout: Layout,
    pieces: Sequence[Piece],
    at_hand: Sequence[LaidBoard],
    choice: Sequence[LaidBoard],
    saw: Saw,
    effort: float,
) -> Layout:
    """Return the layout, or that of a cheaper set: sets from its bound to its cost are tried, cheapest first.

    The search weighs all boards at once, and may pass over the one set that serves when some are as good as
    free.
    """
    if layout.missing or len(choice) > FEW:
        return layout
    wanted = sum(piece.width * piece.length * piece.count for piece in pieces)
    wanted -= sum(board.width * board.length for board in at_hand)
    sets = (
        (sum(board.cost for board in some), count, some)
        for count in range(len(choice) + 1)
        for some in combinations(choice, count)
        if sum(board.width * board.length for board in some) >= wanted
    )
    near = sorted(
        (each for each in sets if layout.bound - AT_HAND - A_CENT < each[0] < layout.cost - A_CENT - AT_HAND),
        key=lambda each: each[:2],
    )
    for _, _, some in near[:TRIES]:
        found = lay_out(pieces, [*at_hand, *some], saw, effort=effort * EACH_TRY)
        if not found.missing:
            spare = tuple(board for board in choice if board not in some)
            return replace(found, bound=layout.bound, unused=(*found.unused, *spare))
    return layout


def _room(pieces: Sequence[Piece], boards: Sequence[Board]) -> bool:
    """Return whether the boards' faces are as large as the pieces'; else no layout need be tried."""
    wanted = sum(piece.width * piece.length * piece.count for piece in pieces)
    return wanted <= sum(board.width * board.length for board in boards)

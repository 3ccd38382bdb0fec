"""Labels that keep blanks on one board: any number may share a board, and nothing added makes it worse."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest

from sheetkit.calc.layout import SAME_BOARD, SIDE_BY_SIDE, Board, Layout, Piece, Saw, lay_out
from tests.layout.test_layout_bound import optimum

SAW = Saw(0.125, 0.125, False, 12.0)


def labelled_job(seed: int) -> tuple[list[Piece], list[Board]]:
    rng = random.Random(seed)

    def eighths(low: int, high: int) -> float:
        return rng.randint(low * 8, high * 8) / 8

    pieces = []
    for i in range(rng.randint(3, 4)):
        label = rng.choice(["A", "A", "B", "B", "C", ""])
        how = SAME_BOARD if label else ""
        pieces.append(Piece(f"p{i}", eighths(1, 4), eighths(6, 28), rng.randint(1, 2), label, how))
    boards = []
    for i in range(rng.randint(2, 4)):
        width, length = eighths(4, 8), eighths(24, 60)
        boards.append(Board(f"b{i}", width, length, round(width * length / 144, 3), 0, (), 1.0, 0.5, 0.25))
    return pieces, boards


@pytest.mark.parametrize("seed", range(24))
def test_labels_are_kept_at_the_least_cost_that_a_constraint_solver_proves(checked: Any, seed: int) -> None:
    pieces, boards = labelled_job(seed)
    least = optimum(pieces, boards, SAW)
    answer = lay_out(pieces, boards, SAW, effort=0.3)
    checked(pieces, boards, SAW, answer)
    if least is None:
        assert answer.missing
        return
    assert answer.complete
    assert answer.bound <= least + 1e-6
    assert least - 1e-6 <= answer.cost <= least * 1.0001


def test_two_labels_share_the_one_board_that_has_room(checked: Any) -> None:
    sticks = [
        Piece("front", 2.0, 70.0, 1, "A", SAME_BOARD),
        Piece("back", 2.0, 40.0, 1, "A", SAME_BOARD),
        Piece("left", 2.5, 60.0, 1, "B", SAME_BOARD),
        Piece("right", 2.0, 50.0, 1, "B", SAME_BOARD),
    ]
    stick = [Board("A1", 9.5, 148.0, 9.764)]
    for saw in (SAW, replace(SAW, rip_first=True)):
        answer = lay_out(sticks, stick, saw, effort=0.1)
        checked(sticks, stick, saw, answer)
        assert answer.complete


def rank(pieces: list[Piece], layout: Layout) -> tuple[float, float]:
    """What counts: the area without a place, then the cost."""
    return sum(m.count * m.piece.width * m.piece.length for m in layout.missing), round(layout.cost, 6)


@pytest.mark.parametrize("seed", range(24))
def test_a_board_more_or_a_label_less_never_makes_it_worse(checked: Any, seed: int) -> None:
    rng = random.Random(f"more {seed}")
    pieces, boards = labelled_job(100 + seed)
    before = rank(pieces, lay_out(pieces, boards, SAW, effort=0.3))
    width, length = rng.randint(32, 64) / 8, rng.randint(24 * 8, 60 * 8) / 8
    more = [*boards, Board("new", width, length, round(width * length / 144, 3), 0, (), 1.0, 0.5, 0.25)]
    answer = lay_out(pieces, more, SAW, effort=0.3)
    checked(pieces, more, SAW, answer)
    assert rank(pieces, answer) <= before
    label = rng.choice([p.group for p in pieces])
    loose = [replace(p, group="", how="") if p.group == label else p for p in pieces]
    answer = lay_out(loose, boards, SAW, effort=0.3)
    checked(loose, boards, SAW, answer)
    assert rank(loose, answer) <= before


def test_sets_of_one_piece_are_placed_by_the_independent_checker(checked: Any) -> None:
    pieces = [
        Piece("leg", 3.0, 30.0, 6, "each piece", SIDE_BY_SIDE, each=2),
        Piece("arm", 2.0, 18.0, 6, "each piece", SIDE_BY_SIDE, each=3),
        Piece("slat", 1.5, 20.0, 5),
    ]
    boards = [Board(f"b{n}", 7.0, 66.0, 3.2) for n in range(6)]
    for rip_first in (False, True):
        saw = Saw(rip_first=rip_first)
        found = lay_out(pieces, boards, saw, effort=0.1)
        checked(pieces, boards, saw, found)
        assert found.complete


@pytest.mark.parametrize(
    "piece", [Piece("a", 1, 9, 3, "g", SIDE_BY_SIDE, each=2), Piece("a", 1, 9, 4, each=2)]
)
def test_sets_that_do_not_come_out_are_a_bad_call(piece: Piece) -> None:
    with pytest.raises(ValueError, match="do not make groups of 2"):
        lay_out([piece], [Board("b", 5, 50, 1)], Saw())

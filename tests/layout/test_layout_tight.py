"""Boards cut up whole: the least is known, and few boards are always found; never more than the least."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest

from sheetkit.calc.layout import SAME_BOARD, Board, Piece, Saw, lay_out
from sheetkit.calc.layout.task import task_of
from sheetkit.calc.layout.tight import Tight
from sheetkit.calc.layout.tuning import USUAL
from tests.bench.whole import SAW, whole_job
from tests.layout.test_layout_bound import optimum, small_job
from tests.layout.test_layout_groups import labelled_job


@pytest.mark.parametrize("boards", [1, 2])
@pytest.mark.parametrize("seed", range(100, 112))
def test_jobs_of_one_or_two_whole_boards_are_at_their_least_at_the_default_effort(
    checked: Any, boards: int, seed: int
) -> None:
    pieces, rack, names = whole_job(seed, boards)
    answer = lay_out(pieces, rack, SAW)
    checked(pieces, rack, SAW, answer)
    assert answer.complete
    assert answer.cost <= sum(b.cost for b in rack if b.id in names) + 1e-9


@pytest.mark.parametrize("seed", [0, 1, 3, 4])
def test_three_boards_cut_up_to_the_last_tick_are_found(checked: Any, seed: int) -> None:
    pieces, rack, names = whole_job(seed, 3)
    answer = lay_out(pieces, rack, SAW)
    checked(pieces, rack, SAW, answer)
    assert answer.cost <= sum(b.cost for b in rack if b.id in names) + 1e-9


def test_the_same_tight_job_gives_the_same_layout() -> None:
    pieces, rack, _ = whole_job(2, 2)
    assert lay_out(pieces, rack, SAW) == lay_out(pieces, rack, SAW)


@pytest.mark.parametrize("seed", [5, 14])
def test_four_boards_of_unlike_blanks_with_little_to_lose_are_filled(checked: Any, seed: int) -> None:
    pieces, rack, names = whole_job(seed, 4)
    cut_up = [b for b in rack if b.id in names]
    answer = lay_out(pieces, cut_up, SAW, effort=2.0)
    checked(pieces, cut_up, SAW, answer)
    assert answer.complete


@pytest.mark.parametrize("seed", range(16))
def test_boards_hold_a_job_just_when_a_constraint_solver_says_so(seed: int) -> None:
    if seed % 2:
        pieces, boards = labelled_job(seed)
        saw = Saw(0.125, 0.125)
    else:
        pieces, boards, saw = small_job(seed)
        pieces = [p for p in pieces if p.glue_up is None]
    for n in (1, 2):
        for some in combinations(boards, n):
            possible = optimum(pieces, list(some), saw) is not None
            task = task_of(pieces, some, saw)
            if task.too_big:
                assert not possible
                continue
            tight = Tight(task, [b for b in task.bins if b.cells], USUAL)
            while not tight.exhausted and not tight.sections:
                tight.go_on(1e8)
            assert (bool(tight.sections), tight.refuted) == (possible, not possible)


def test_the_least_is_proven_where_only_a_label_stands_against_cheaper_boards(checked: Any) -> None:
    pieces = [Piece("pair", 2.0, 30.0, 2, "A", SAME_BOARD)]
    boards = [Board("s1", 2.5, 32.0, 1.0), Board("s2", 2.5, 32.0, 1.0), Board("wide", 5.0, 32.0, 3.0)]
    answer = lay_out(pieces, boards, SAW)
    checked(pieces, boards, SAW, answer)
    assert [b.board.id for b in answer.boards] == ["wide"]
    assert answer.bound == pytest.approx(3.0, abs=1e-5)


def test_whole_boards_are_found_when_all_is_ripped_first(checked: Any) -> None:
    # strips as long as the board, a kerf of 1/8 between them and between the blanks in each
    pieces = [Piece("a", 2.0, 47.9375, 2), Piece("b", 2.0, 31.875, 3), Piece("c", 1.75, 96.0, 1)]
    boards = [Board("w", 6.0, 96.0, 4.0), Board("d", 7.0, 100.0, 4.9), Board("e", 5.0, 80.0, 2.8)]
    saw = Saw(0.125, 0.125, True, 12.0)
    answer = lay_out(pieces, boards, saw)
    checked(pieces, boards, saw, answer)
    assert [b.board.id for b in answer.boards] == ["w"]

"""Boards cut up whole: the least is known, and few boards are always found; never more than the least."""

from __future__ import annotations

from typing import Any

import pytest

from sheetkit.calc.layout import lay_out
from tests.bench.whole import SAW, whole_job


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

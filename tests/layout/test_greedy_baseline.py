"""The greedy baseline of the benchmark obeys the saw and the boards, so that its figures are honest ones."""

from __future__ import annotations

import json
from collections import Counter
from itertools import combinations
from pathlib import Path

import pytest

from sheetkit.calc.layout import Saw
from tests.bench.greedy import blanks_of, feet, filled
from tests.bench.layout import groups_of

JOBS = sorted((Path(__file__).parent / "jobs").glob("*.json"))


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_every_blank_lies_on_its_board_with_a_kerf_around_it_and_off_bad_spots(path: Path) -> None:
    job = json.loads(path.read_text("utf-8"))
    saw = Saw(job["kerf_rip"], job["kerf_cross"])
    for pieces, boards in groups_of(job).values():
        found = filled(pieces, boards, saw)
        assert found is not None
        assert Counter(laid.blank for laid in found.laid) == Counter(blanks_of(pieces, saw))
        rack = {board.id: board for board in boards}
        assert {laid.board for laid in found.laid} == {board.id for board in found.opened}
        assert feet(found) == pytest.approx(
            sum(rack[name].board_feet for name in {x.board for x in found.laid})
        )
        for laid in found.laid:
            board = rack[laid.board]
            assert laid.x >= board.trim_start - 1e-6
            assert laid.x + laid.blank.length <= board.length - board.trim_end + 1e-6
            assert laid.y >= board.edge - 1e-6
            assert laid.y + laid.blank.width <= board.width + 1e-6
            for spot in board.bad:
                assert laid.x >= spot.x1 - 1e-6 or laid.x + laid.blank.length <= spot.x0 + 1e-6
        for a, b in combinations(found.laid, 2):
            if a.board == b.board:
                first, last = sorted((a, b), key=lambda each: each.x)
                low, high = sorted((a, b), key=lambda each: each.y)
                assert (
                    last.x - first.x - first.blank.length >= saw.crosscut_kerf - 1e-6
                    or high.y - low.y - low.blank.width >= saw.rip_kerf - 1e-6
                )

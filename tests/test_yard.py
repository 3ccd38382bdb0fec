"""Boards seen at the yard: the layout buys the cheapest that serve, and the rack costs nothing extra."""

from __future__ import annotations

import random
from decimal import Decimal
from itertools import product
from pathlib import Path

import pytest

from sheetkit.intake.workbook import take_in
from sheetkit.jobs.run import run
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from tests.jobs import BENCH, NOW, column, pages, read, write

HEADING = "Board | Species | Stock | Width | Length | Where | Price\n"
SLATS = "Part | Qty | Species | Thickness | Width | Length\nSlat | {} | White oak | 3/4 | 3 | 20"
PRICES = "Species | Stock | Price | Waste\nWhite oak | 4/4 | 10 | 20 %\nWhite ash | 4/4 | 6 | 20 %"


def answered(count: int, boards: str, effort: float = 0.05, **tabs: str) -> Answers:
    tables = {"Parts": SLATS.format(count), "Boards": HEADING + boards, "Prices": PRICES, **tabs}
    return answer(take_in(pages(tables)).job, effort)


def used(answers: Answers) -> dict[str, bool]:
    return {each.board.board: each.used for each in answers.boards}


def test_nothing_is_bought_when_the_rack_holds_the_job_however_cheap_the_yard_is() -> None:
    found = answered(2, "A | White oak | 4/4 | 4 | 60 | | 80\nY | White oak | 4/4 | 4 | 60 | yard | 1")
    assert used(found) == {"A": True, "Y": False}
    [line] = found.lumber
    assert (line.bought, line.cost) == ((), Decimal("80.00"))


def test_the_cheapest_set_that_serves_is_bought_and_the_rack_is_used_first() -> None:
    # blanks 3 1/4 x 21; 45 long holds two: 2 + 2 x 21 + 1/8; 67 holds three. Wanted: five; the rack holds two.
    found = answered(
        5,
        "A | White oak | 4/4 | 4 | 45 | rack |\nY1 | White oak | 4/4 | 4 | 67 | yard | 31\n"
        "Y2 | White oak | 4/4 | 4 | 45 | yard | 15\nY3 | White oak | 4/4 | 4 | 45 | yard | 15.50",
    )
    assert used(found) == {"A": True, "Y1": False, "Y2": True, "Y3": True}
    [line], [laid] = found.lumber, found.layouts
    assert line.bought == ("Y2", "Y3")
    assert laid.layout.cost == pytest.approx(30.50)
    assert laid.layout.bound <= 30.50
    # the rack's board counts by its volume at the price of Prices: 4 x 45 / 144 = 1.25 board feet
    assert line.cost == Decimal("43.00")


def test_what_neither_holds_is_still_to_buy() -> None:
    found = answered(6, "A | White oak | 4/4 | 4 | 45 | |\nY | White oak | 4/4 | 4 | 45 | yard | 15")
    [laid] = found.layouts
    assert laid.bought == {"Y"}
    assert sum(each.count for each in laid.layout.missing) == 2
    assert laid.to_buy


def test_a_board_at_the_yard_without_a_price_costs_by_its_volume() -> None:
    found = answered(2, "Y1 | White oak | 4/4 | 4 | 45 | yard |\nY2 | White oak | 4/4 | 4 | 45 | yard | 13")
    assert used(found) == {"Y1": True, "Y2": False}, "1.25 board feet at 10"


def holds(length: float) -> int:
    """Slats that a board one slat wide holds: both ends lose an inch, a kerf of 1/8 between."""
    return int((length - 2 + 1 / 8) // (21 + 1 / 8))


@pytest.mark.parametrize("seed", range(40))
def test_the_set_bought_is_the_cheapest_that_counting_finds(seed: int) -> None:
    """Boards wide enough for one slat alone: what each holds is counted, and every set of boards is tried."""
    chance = random.Random(seed)
    rack = [chance.choice((24, 30, 45, 50, 67)) for _ in range(chance.randint(0, 3))]
    yard = [(111, 40.0)] + [
        (chance.choice((24, 45, 67, 90, 111)), chance.randint(500, 4000) / 100)
        for _ in range(chance.randint(1, 6))
    ]
    most = sum(map(holds, rack)) + sum(holds(length) for length, _ in yard)
    wanted = max(1, chance.randint(most // 2, most))
    least = min(
        sum(price for take, (_, price) in zip(taken, yard, strict=True) if take)
        for taken in product((False, True), repeat=len(yard))
        if sum(map(holds, rack))
        + sum(holds(length) for take, (length, _) in zip(taken, yard, strict=True) if take)
        >= wanted
    )
    rows = [f"A{n} | White oak | 4/4 | 4 | {length} | |" for n, length in enumerate(rack)]
    rows += [
        f"Y{n} | White oak | 4/4 | 4 | {length} | yard | {price}" for n, (length, price) in enumerate(yard)
    ]
    found = answered(wanted, "\n".join(rows), effort=1.0)
    [laid] = found.layouts
    assert not laid.layout.missing
    spent = sum(
        float(each.board.price or 0) for each in found.boards if each.used and each.board.where == "yard"
    )
    assert spent == pytest.approx(least)


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_the_workbook_says_which_to_buy_and_which_to_leave(tmp_path: Path, ending: str) -> None:
    boards = (
        "A | White oak | 4/4 | 4 | 45 | |\nY1 | White oak | 4/4 | 4 | 45 | yard | 15\n"
        "Y2 | White oak | 4/4 | 4 | 45 | Yard | 14"
    )
    tables = {"Parts": SLATS.format(4), "Boards": HEADING + boards, "Prices": PRICES}
    path = write(tmp_path / f"job{ending}", tables)
    assert run(path, now=NOW).ok
    after = path.read_bytes()
    found = read(path)
    assert column(found, "Boards", "Used") == ["cut", "leave there", "buy"]
    assert column(found, "Lumber", "Boards")[0] == "boards A; buy Y2 at the yard"
    assert not run(path, now=NOW).written
    assert path.read_bytes() == after


def test_other_woods_are_reckoned_as_the_job_is_and_say_what_they_replace() -> None:
    found = answered(
        2,
        "A | White oak | 4/4 | 4 | 45 | | 20\nY | White ash | 4/4 | 4 | 45 | yard | 9.99",
        Job=BENCH + "Alternatives | White ash, Sugar maple",
    )
    oak, ash, maple = found.costs.alternatives
    assert (oak.lumber, oak.replaces, oak.by_boards) == (found.costs.estimate.lumber, None, True)
    assert (ash.lumber, ash.by_boards) == (Decimal("9.99"), True)
    assert ash.replaces is not None
    assert ash.replaces.name == "White oak"
    assert (maple.by_boards, maple.lumber) == (False, None)

"""Keep together, each piece: the plies, staves and leaves of every single piece beside one another."""

from __future__ import annotations

import pytest

from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from tests.jobs import pages
from tests.there import there

LEGS = """
    Part | Qty | Species   | Thickness | Width | Length | Made as    | Plies | Keep together | How
    Leg  | 2   | White oak | 1 1/4     | 3     | 29     | face-glued | 2     | each piece    | {how}
"""
RACK = "Board | Species | Stock | Width | Length\n"
PANEL = """
    Panel | Qty | Species   | Opening width | Opening height | Groove depth sides | Thickness | Made as   | Leaves   | Stock   | Keep together
    Door  | 2   | White oak | 20            | 24             | 1/2                | 1/4       | {made_as} | {leaves} | {stock} | {label}
"""


def results(**tabs: str) -> Answers:
    return answer(take_in(pages(tabs)).job, 0.2)


def panel(made_as: str = "bookmatched", leaves: str = "", stock: str = "", label: str = "") -> Answers:
    return results(Panels=PANEL.format(made_as=made_as, leaves=leaves, stock=stock, label=label))


@pytest.mark.parametrize("how", ["", "end to end", "same board"])
def test_two_legs_come_from_two_boards_each_with_both_its_halves(how: str) -> None:
    boards = RACK + "A | White oak | 4/4 | 8 | 34\nB | White oak | 4/4 | 8 | 34"
    (laid,) = results(Parts=LEGS.format(how=how), Boards=boards).layouts
    assert laid.layout.complete
    halves = {
        board.board.id: sorted(placed.number for placed in board.placed) for board in laid.layout.boards
    }
    assert sorted(halves.values()) == [[1, 2], [3, 4]]
    for board in laid.layout.boards:
        one, other = board.placed
        assert one.x == other.x
        assert abs(one.y - other.y) == one.width + 1 / 8


def test_boards_too_narrow_for_a_pair_beside_one_another_have_it_end_to_end() -> None:
    (laid,) = results(Parts=LEGS.format(how=""), Boards=RACK + "A | White oak | 4/4 | 5 | 130").layouts
    assert laid.layout.complete
    (board,) = laid.layout.boards
    assert len({placed.y for placed in board.placed}) == 1
    assert sorted(placed.number for placed in sorted(board.placed, key=lambda p: p.x)[:2]) in ([1, 2], [3, 4])


def test_without_a_rack_a_board_is_looked_for_that_holds_one_pair_for_each_leg() -> None:
    (line,) = results(Parts=LEGS.format(how="")).lumber
    (wanted,) = line.look_for
    assert (wanted.count, wanted.how, wanted.of) == (2, "side by side", ("Leg",))
    # two plies of 3 1/4, a kerf between, an edge to straighten
    assert wanted.width == line.least_width == 2 * 3.25 + 1 / 8 + 1 / 4


def test_a_solid_part_has_nothing_to_keep_beside_itself() -> None:
    parts = "Part | Qty | Species | Thickness | Width | Length | Keep together\nRail | 4 | White oak | 3/4 | 3 | 30 | Each piece"
    (blank,) = results(Parts=parts).parts[0].blanks
    assert (blank.together, blank.each) == ("", 0)


def test_a_bookmatch_opens_one_blank() -> None:
    (book,) = panel().panels
    (blank,) = book.blanks
    # two leaves of 1/4 come from one blank of 4/4, so a panel is one blank and needs no label
    assert (blank.count, blank.layers, blank.together) == (2, 2, "")
    (four,) = panel(leaves="4").panels[0].blanks
    assert (four.count, four.together, four.each) == (2, "", 0)
    assert four.layers >= 4


def test_leaves_that_one_blank_cannot_yield_come_from_blanks_beside_one_another() -> None:
    (blank,) = panel(leaves="4", stock="4/4").panels[0].blanks
    assert blank.stock.name == "4/4"
    assert (blank.layers, blank.count, blank.together, blank.each) == (2, 4, "each piece", 2)


def test_leaves_are_not_staves() -> None:
    book = panel()
    assert book.panels[0].blanks[0].width > 10
    assert not [each for each in book.problems if each.code.startswith("staves-")]


def test_a_panel_takes_stock_and_label() -> None:
    (blank,) = panel("edge-glued", stock="8/4", label="front").panels[0].blanks
    assert (blank.stock.name, blank.together, blank.how, blank.each) == ("8/4", "front", "same board", 0)
    (blank,) = panel("edge-glued", label="each piece").panels[0].blanks
    assert (blank.together, blank.how, blank.each) == ("each piece", "side by side", blank.per_glue_up)


def test_a_panel_of_a_stock_that_prices_does_not_list_is_said_so() -> None:
    prices = "Species | Stock | Price\nWhite oak | 4/4 | 9"
    for made_as in ("edge-glued", "bookmatched"):
        tab = PANEL.format(made_as=made_as, leaves="", stock="12/4", label="")
        found = results(Panels=tab, Prices=prices)
        (problem,) = [each for each in found.problems if each.code == "stock-unknown"]
        assert there(problem.cell).startswith("J")

"""Without boards in the rack: which boards to look for in the pile, and how sure the allowance for waste is."""

from __future__ import annotations

import pytest

from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.records.wood import BoardsWanted, LumberLine
from sheetkit.tables import piles
from sheetkit.tabs.lumber import lumber_page
from tests.bench.piles import FACES, LONGEST, ratios, share_of
from tests.jobs import pages

PARTS = """
    Part     | Qty | Species   | Thickness | Width | Length | Keep together | How
    Leg ply  | 2   | White oak | 3/4       | 6 1/2 | 30     |               |
    Long     | 1   | White oak | 1/2       | 2     | 98     |               |
    Rail     | 9   | White oak | 3/4       | 3     | 20     |               |
    Front    | 3   | White oak | 3/4       | 2     | 24     | front         | side by side
    Apron    | 2   | White oak | 3/4       | 3     | 40     | apron         | end to end
    Slat     | 4   | White oak | 3/4       | 2     | 30     | slats         | same board
"""


def line_of(parts: str = PARTS, **tabs: str) -> LumberLine:
    [line] = answer(take_in(pages({"Parts": parts, **tabs})).job).lumber
    return line


def test_wide_long_and_matched_blanks_name_the_boards_that_they_need() -> None:
    # blanks: 1/4 wider and 1 longer than the part; 1/4 to straighten, an inch off each end, 1/8 for each kerf
    wanted = {each.of: each for each in line_of().look_for}
    assert wanted["Leg ply",] == BoardsWanted(2, 7.0, 33.0, 64.125, ("Leg ply",), "")
    assert wanted["Long",] == BoardsWanted(1, 2.625, 101.0, 0.0, ("Long",), "")
    assert wanted["Front",] == BoardsWanted(
        1, 3 * 2.25 + 2 / 8 + 1 / 4, 27.0, 0.0, ("Front",), "side by side"
    )
    assert wanted["Apron",] == BoardsWanted(1, 3.5, 2 * 41 + 1 / 8 + 2, 0.0, ("Apron",), "end to end")
    assert wanted["Slat",] == BoardsWanted(
        1, 2 * 2.25 + 1 / 8 + 1 / 4, 2 * 31 + 1 / 8 + 2, 0.0, ("Slat",), "same board"
    )
    assert ("Rail",) not in wanted


@pytest.mark.parametrize(
    ("qty", "length", "board"),
    [
        # blanks 5 3/8 wide, so one lane of the usual 6; 3 of them are 3 x 61 + 2/8 + 2 long, 4 are over 16 ft
        (3, 60, (5.625, 185.25)),
        (4, 60, (11.125, 124.125)),
        (6, 60, (11.125, 185.25)),
        (7, 90, None),
    ],
)
def test_a_group_in_one_board_lies_in_as_many_lanes_as_a_board_of_sixteen_feet_asks(
    qty: int, length: int, board: tuple[float, float] | None
) -> None:
    parts = (
        "Part | Qty | Species | Thickness | Width | Length | Keep together\n"
        f"Plank | {qty} | White oak | 1/2 | 5 | {length} | case"
    )
    found = answer(take_in(pages({"Parts": parts})).job)
    told = [each for each in found.problems if each.code == "group-too-large"]
    assert bool(told) == (board is None)
    [wanted] = found.lumber[0].look_for
    assert board in (None, (wanted.width, wanted.length))


def test_the_widest_boards_come_first() -> None:
    widths = [each.width for each in line_of().look_for]
    assert widths == sorted(widths, reverse=True)


def test_staves_are_as_narrow_as_the_pile_asks_and_only_their_length_counts() -> None:
    short = "Part | Qty | Species | Thickness | Width | Length | Made as\nTop | 1 | White oak | 3/4 | 20 | 40 | edge-glued"
    assert line_of(short).look_for == ()
    [wanted] = line_of(short.replace("| 40 |", "| 100 |")).look_for
    assert wanted.width == 2.25


def test_more_lumber_than_the_blanks_is_needed_and_more_in_nine_of_ten_piles() -> None:
    line = line_of()
    assert line.half_needed is not None
    assert line.most_needed is not None
    assert line.net < line.half_needed < line.most_needed


def test_boards_in_the_rack_make_a_layout_instead_of_a_guess() -> None:
    line = line_of(
        Boards="Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 9 | 120\nB | White oak | 4/4 | 9 | 120"
    )
    assert line.boards
    assert (line.look_for, line.half_needed, line.most_needed) == ((), None, None)


def words_of(parts: str, unit: str) -> str:
    job = take_in(pages({"Parts": parts, "Job": f"Label | Value\nJob | chest\nUnits | {unit}"})).job
    return "\n".join(str(cell.value) for cell in lumber_page(answer(job), "").cells.values())


def test_the_tab_says_both_in_inches() -> None:
    text = words_of(PARTS, "inch")
    assert "2 boards at least 7 wide and 33 long, for Leg ply; one board 64 1/8 long would do." in text
    assert "1 board such as 4 7/8 wide and 64 1/8 long, for Slat (same board)." in text
    assert "board feet were enough for half of the piles tried" in text


def test_the_tab_says_both_in_mm() -> None:
    text = words_of(
        "Part | Qty | Species | Thickness | Width | Length\nSide | 1 | European oak | 20 | 180 | 700", "mm"
    )
    # 180 and 6 for milling, 6 to straighten; 700 and 25 for milling, cut 726, 25 off each end
    assert "1 board at least 192 wide and 776 long, for Side." in text
    assert "m3 were enough for half of the piles tried" in text


def test_every_cell_of_the_simulated_table_stands_and_grows_the_right_way() -> None:
    table = piles()
    assert set(table) == {(length, face) for length in LONGEST for face in FACES}
    for length in LONGEST:
        for part in (0, 1):
            shares = [table[length, face][part] for face in FACES]
            assert shares == sorted(shares, reverse=True), "a larger job needs less for each unit"
    assert all(1 < half <= most for half, most in table.values())


def test_a_row_of_the_table_is_what_the_simulation_gives() -> None:
    found = ratios(5.0, 24.0)
    half, most = piles()[24.0, 5.0]
    assert share_of(found, 0.5) == pytest.approx(half, abs=0.0006)
    assert share_of(found, 0.9) == pytest.approx(most, abs=0.0006)

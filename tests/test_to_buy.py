"""The tab to take to the yard: what is missing, what else would do, and the boards noted there, which are never lost."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

from sheetkit.book.formats import by_content
from sheetkit.book.workbook import Change, Workbook
from sheetkit.intake.workbook import take_in
from sheetkit.jobs.client import client_copy
from sheetkit.jobs.run import run
from sheetkit.page import Address, Cell, Format, Page, Style, Value
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.tabs.to_buy import to_buy_page
from tests.jobs import BENCH, NOW, column, pages, read, write
from tests.there import there

ENDINGS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
PRICES = """
    Species   | Stock | Price | Waste
    White oak | 4/4   | 9.50  | 20 %
    White oak | 5/4   | 10    | 20 %
"""
PARTS = """
    Part  | Qty | Species   | Thickness | Width | Length | Cut     | Note
    Slat  | 4   | White oak | 3/4       | 3     | 20     | either  | straight grain
    Top   | 1   | White oak | 3/4       | 9     | 40     | quarter |
    Rail  | 1   | White oak | 3/4       | 2 5/8 | 95     | either  |
"""
SLATS = "Part | Qty | Species | Thickness | Width | Length\nSlat | 4 | White oak | 3/4 | 3 | 20"
RACK = "Board | Species | Stock | Width | Length | Where | Price\nA | White oak | 4/4 | 4 | 45 | |"


def answered(**tabs: str) -> Answers:
    return answer(take_in(pages({"Prices": PRICES, **tabs})).job, 0.05)


def said(page: Page | None) -> str:
    return "\n".join(
        str(cell.value) for _, cell in sorted(there(page).cells.items()) if cell.value is not None
    )


def test_without_boards_all_of_it_is_to_buy_in_boards_large_enough_for_what() -> None:
    slats, rail = answered(Parts=PARTS).purchases
    assert (slats.stock.name, slats.by_waste, rail.stock.name) == ("4/4", True, "5/4")
    # the top's blank is 9 1/4 x 41: 1/4 to straighten an edge, an inch off each end
    top, any_board = slats.boards
    assert (top.count, top.width, top.length, top.of) == (1, 9.5, 43.0, ("Top",))
    # half of 9 1/4, 1/8 for the joint, 1/4 to straighten
    assert top.half == 5.0
    # slats 3 1/4 x 21; (4 x 3.25 x 21 + 9.25 x 41) / 144 / 0.8 = 5.66 board feet, 2.84 in the one board; 4 in another
    assert (any_board.count, any_board.about) == (1, True)
    assert (any_board.width, any_board.length, any_board.of) == (3.5, 23.0, ("Slat",))
    assert slats.wishes == ("Slat: straight grain", "Top: quarter-sawn")


def test_what_else_would_do_is_told_with_what_it_costs() -> None:
    slats, rail = answered(Parts=PARTS).purchases
    # 4.529 board feet in the blanks: 5.662 of 4/4 at 9.50, 7.077 of 5/4 at 10
    assert "5/4 would do: 70.77 instead of 53.79." in slats.instead
    # the blank of the rail is 3 x 96: 2 board feet of 4/4, 2.5 of 5/4, a fifth of what is bought is waste
    assert "4/4 misses by 3/16 for Rail; it would save 7.50, in boards that lie flat." in rail.instead
    # 9 x 0.00365 x 5 % and 9 x 0.0018 x 5 %, up to 1/32 (Wood Handbook, Table 13-5)
    assert (
        "Flat-sawn boards would move 3/16 instead of 3/32 across Top, from driest to wettest."
        in slats.instead
    )


def test_what_lies_in_the_rack_is_not_on_it() -> None:
    assert answered(Parts=SLATS.replace("4 |", "2 |"), Boards=RACK).purchases == ()
    [made] = answered(Parts=SLATS, Boards=RACK).purchases
    assert not made.by_waste
    assert sum(each.count for each in made.boards) >= 1
    assert all(each.of == ("Slat",) for each in made.boards)
    # what the two slats without a place need, at the price of Prices
    volume = sum(each.count * each.width * each.length / 144 for each in made.boards)
    assert made.volume == pytest.approx(volume)


def test_a_board_seen_at_the_yard_is_named_with_its_price() -> None:
    [made] = answered(Parts=SLATS, Boards=f"{RACK}\nY | White oak | 4/4 | 4 | 45 | yard | 14.20").purchases
    [board] = made.boards
    assert (board.board, str(board.price), str(made.cost)) == ("Y", "14.2", "14.20")
    assert made.volume == pytest.approx(1.25)


# what the maker notes there


def noted_by_hand(path: Path, cells: Mapping[Address, Cell], below: str = "Mark") -> int:
    """Have the maker write into the table of what was bought, by rows below its headings; give the row of these."""
    workbook = read(path)
    title = workbook.owned["buy"]
    heading = max(row for (row, _), cell in there(workbook.page(title)).cells.items() if cell.value == below)
    patches = {title: {(heading + row, number): cell for (row, number), cell in cells.items()}}
    file_format = by_content(path.read_bytes(), path.suffix)
    change = Change(patches=patches, columns=workbook.columns, notes=workbook.notes)
    path.write_bytes(file_format.graft(path.read_bytes(), change))
    return heading


def row(number: int, *values: Value) -> dict[Address, Cell]:
    return {(number, place): Cell(value) for place, value in enumerate(values, 1) if value is not None}


def table(workbook: Workbook) -> list[list[Value]]:
    """Give what stands in the table of what was bought."""
    page = there(workbook.page(workbook.owned["buy"]))
    heading = max(row for (row, _), cell in page.cells.items() if cell.value == "Mark")
    found: dict[int, list[Value]] = {}
    for (number, place), cell in sorted(page.cells.items()):
        if number > heading and cell.value is not None:
            line = found.setdefault(number - heading, [None] * 9)
            line[place - 1] = cell.value
    return [[number, *line] for number, line in found.items()]


def new_job(tmp_path: Path, ending: str, **tabs: str) -> Path:
    path = write(tmp_path / f"job{ending}", {"Parts": SLATS, "Prices": PRICES, **tabs})
    assert run(path, now=NOW).ok
    return path


@ENDINGS
def test_boards_noted_there_are_boards_of_the_rack_at_the_next_run_and_stay_where_they_are(
    tmp_path: Path, ending: str
) -> None:
    path = new_job(tmp_path, ending)
    assert "about 1 board" in said(read(path).page("To buy"))
    noted_by_hand(
        path,
        row(1, None, "White oak", "4/4", 4, 45, 14.2, "from the new yard")
        | row(3, "Q", "white oak", "4/4", "4", "3' 9\"", "$15", None, None, "mine"),
    )
    outcome = run(path, now=NOW)
    answers = there(outcome.answers)
    assert {each.board.board: each.used for each in answers.boards} == {"B1": True, "Q": True}
    assert str(answers.lumber[0].cost) == "29.20"
    assert "Nothing is missing" in said(read(path).page("To buy"))
    assert table(read(path)) == [
        [1, "B1", "White oak", "4/4", 4, 45, 14.2, "from the new yard", None, None],
        [3, "Q", "white oak", "4/4", "4", "3' 9\"", "$15", None, None, "mine"],
    ]
    assert [page.title for page in read(path).pages].count("To buy") == 1
    assert not any("yours" in page.title for page in read(path).pages)
    after = path.read_bytes()
    assert not run(path, now=NOW).written
    assert path.read_bytes() == after


@ENDINGS
def test_noted_boards_outlive_a_job_that_cannot_be_worked_out_and_messages_lead_to_their_cells(
    tmp_path: Path, ending: str
) -> None:
    path = new_job(tmp_path, ending)
    noted_by_hand(path, row(1, "Q", "White oak", "4/4", "wide", 45) | row(2, "R", "White oak", "4/4", 4, 45))
    outcome = run(path, now=NOW)
    assert not outcome.ok
    [wrong] = [each for each in outcome.problems if each.weight == "error"]
    page = there(read(path).page("To buy"))
    assert there(page.cells.get((wrong.row, wrong.column))).value == "wide"
    assert [line[1] for line in table(read(path))] == ["Q", "R"]
    after = path.read_bytes()
    assert not run(path, now=NOW).written
    assert path.read_bytes() == after
    heading = wrong.row - 1
    noted_by_hand(path, {(1, 4): Cell(4.0)})
    assert run(path, now=NOW).ok
    assert [line[1] for line in table(read(path))] == ["Q", "R"]
    assert heading


@ENDINGS
def test_a_tab_that_the_maker_changed_elsewhere_or_worked_out_sums_on_is_kept_and_the_rows_go_on(
    tmp_path: Path, ending: str
) -> None:
    for cells in ({(-2, 9): Cell("call first")}, {(1, 6): Cell(14.0, "2*7")}):
        path = new_job(tmp_path, ending)
        noted_by_hand(path, row(1, "Q", "White oak", "4/4", 4, 45, 14.0) | cells)
        assert run(path, now=NOW).ok
        found = read(path)
        assert there(found.page("To buy (yours)")).title == "To buy (yours)"
        assert table(found) == [[1, "Q", "White oak", "4/4", 4, 45, 14, None, None, None]]
        after = path.read_bytes()
        assert not run(path, now=NOW).written
        assert path.read_bytes() == after
        path.unlink()


@ENDINGS
def test_a_renamed_tab_and_columns_put_in_lose_nothing(tmp_path: Path, ending: str) -> None:
    path = new_job(tmp_path, ending)
    heading = noted_by_hand(path, row(1, "Q", "White oak", "4/4", 4, 45, 14.0, None, None, "shelf 3"))
    noted_by_hand(path, {(0, 9): Cell("Shelf")})
    assert heading
    assert run(path, now=NOW).ok
    page = there(read(path).page("To buy"))
    assert [cell.value for (_, number), cell in sorted(page.cells.items()) if number == 9] == [
        "Shelf",
        "shelf 3",
    ]
    after = path.read_bytes()
    assert not run(path, now=NOW).written
    assert path.read_bytes() == after


@ENDINGS
def test_many_noted_rows_leave_room_for_more(tmp_path: Path, ending: str) -> None:
    path = new_job(tmp_path, ending)
    cells: dict[Address, Cell] = {}
    for number in range(1, 21):
        cells |= row(number, f"Q{number}", "White oak", "4/4", 4, 24)
    noted_by_hand(path, cells)
    assert run(path, now=NOW).ok
    assert len(table(read(path))) == 20
    noted_by_hand(path, row(22, "Last", "White oak", "4/4", 4, 45))
    assert run(path, now=NOW).ok
    assert [line[1] for line in table(read(path))][-1] == "Last"


@ENDINGS
def test_what_was_noted_is_among_what_the_maker_asks(tmp_path: Path, ending: str) -> None:
    path = new_job(tmp_path, ending)
    client_copy(path.read_bytes())
    noted_by_hand(path, row(1, None, "White oak", "4/4", 9, 96, 80.0))
    assert run(path, now=NOW).ok
    client_copy(path.read_bytes())  # the mark that the run gave changes nothing that was asked


def test_a_tab_of_the_makers_own_of_that_name_is_not_read(tmp_path: Path) -> None:
    own = "Mark | Species | Stock | Width | Length\nQ | Plastic | x | y | z"
    path = write(tmp_path / "job.xlsx", {"Parts": SLATS, "Prices": PRICES, "To buy": own})
    assert run(path, now=NOW).ok
    assert column(read(path), "To buy", "Species") == ["Plastic"]


@ENDINGS
def test_a_noted_date_stays_the_date_that_is_told_of(tmp_path: Path, ending: str) -> None:
    from datetime import date

    path = new_job(tmp_path, ending)
    style = Style(format=Format.DATE)
    noted_by_hand(
        path, row(1, "Q", "White oak", "4/4", None, 45) | {(1, 4): Cell(date(2026, 3, 4), style=style)}
    )
    for _ in range(2):
        outcome = run(path, now=NOW)
        assert "date-in-length" in {each.code for each in outcome.problems}


@ENDINGS
def test_a_workbook_of_before_gets_the_tab(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"shelf{ending}"
    source = sorted(Path("examples").glob(f"entry-bench{ending}"))[0]
    shutil.copy(source, path)
    assert run(path, now=NOW).ok
    assert read(path).owned["buy"] == "To buy"


def test_it_speaks_of_mm_in_a_mm_job() -> None:
    metric = BENCH.replace("inch", "mm")
    answers = answered(
        Job=metric,
        Parts="Part | Qty | Species | Thickness | Width | Length\nSide | 2 | European oak | 20 | 180 | 700",
        Prices="Species | Stock | Price\nEuropean oak | 27 mm | 2000",
    )
    [made] = answers.purchases
    assert made.boards[0].of == ("Side",)


def test_room_to_note_boards_stands_below_its_headings_on_one_page() -> None:
    """Each note asks for a line above the table: it comes to the foot of a page, where it once was parted."""
    parted = 0
    for notes in range(1, 16):
        row = "Part {} | 1 | White oak | 3/4 | 3 | 20 | straight grain"
        head = "Part | Qty | Species | Thickness | Width | Length | Note"
        parts = "\n".join([head, *(row.format(number) for number in range(notes))])
        found = answered(Parts=parts)
        page = to_buy_page(found, found.job.sheet, None, (), "")
        (heading,) = (
            row for (row, column), cell in page.cells.items() if column == 1 and cell.value == "Mark"
        )
        parted += bool(page.print.breaks)
        assert not any(heading - 2 <= each < page.last_row for each in page.print.breaks), notes
    assert parted, "the table was never pushed to a second page"

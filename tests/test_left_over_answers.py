"""Copied and left-over answers in our columns are cleared; what is the maker's below them stays."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from sheetkit import run
from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Change
from sheetkit.form.columns import PARTS as PARTS_TAB
from sheetkit.form.columns import TABLES
from sheetkit.jobs.new import new_file
from sheetkit.page import Address, Cell, Value
from sheetkit.tabs.template import template_pages
from tests.jobs import NOW, column, pages, read, write
from tests.there import there

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
PARTS = """
    Part  | Qty | Species   | Thickness | Width | Length
    Leg   | 4   | White oak | 3/4       | 2     | 20
    Apron | 2   | White oak | 3/4       | 4     | 30
"""
ANSWERS = [each.heading for each in PARTS_TAB.answered]


def edited(path: Path, cells: Mapping[Address, Cell], tab: str = "Parts") -> None:
    """Write cells as the maker would; marks and notes stay."""
    before = read(path)
    change = Change(patches={tab: cells}, columns=before.columns, notes=before.notes)
    path.write_bytes(by_ending(path.suffix).graft(path.read_bytes(), change))


def row_of(path: Path, row: int) -> dict[int, Cell]:
    page = there(read(path).page("Parts"))
    return {number: cell for (at, number), cell in page.cells.items() if at == row}


def is_empty(values: list[Value]) -> bool:
    return all(value in (None, "") for value in values)


@FORMATS
def test_a_row_copied_below_the_last_and_emptied_again_keeps_no_answers(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    run(path, now=NOW)
    once = path.read_bytes()
    copied = {(9, number): Cell(cell.value) for number, cell in row_of(path, 3).items()}
    edited(path, copied)
    assert run(path, now=NOW).ok
    edited(path, {(9, number): Cell() for number in range(1, 7)})
    assert row_of(path, 9)
    assert run(path, now=NOW).ok
    assert not row_of(path, 9)
    path.write_bytes(once)
    edited(path, {at: cell for at, cell in copied.items() if at[1] > 6})  # the answers of a row alone
    assert run(path, now=NOW).ok
    assert not row_of(path, 9)


@FORMATS
def test_a_copied_answer_that_the_row_does_not_get_is_cleared(tmp_path: Path, ending: str) -> None:
    prices = "Species | Stock | Price\nWhite oak | 4/4 | 9"
    extras = "Item | Qty | Unit price | Cost\nHook | 2 | 3 |"
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS, "Prices": prices, "Extras": extras})
    run(path, now=NOW)
    assert column(read(path), "Extras", "Cost") == [6.0]
    edited(path, {(7, 1): Cell("Screw"), (7, 4): Cell(99.0)}, "Extras")  # without a price it has no cost
    run(path, now=NOW)
    assert 99.0 not in column(read(path), "Extras", "Cost")


@FORMATS
def test_what_the_maker_keeps_below_the_rows_stays(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    run(path, now=NOW)
    feet = next(
        at for at, cell in there(read(path).page("Parts")).cells.items() if cell.value == "Board feet"
    )
    own = {(8, feet[1]): Cell(0.0, "SUM(L2:L5)"), (10, feet[1]): Cell("feet"), (10, 20): Cell("mine")}
    edited(path, own)
    assert run(path, now=NOW).ok
    cells = there(read(path).page("Parts")).cells
    assert cells[8, feet[1]].formula == "SUM(L2:L5)"
    assert (cells[10, feet[1]].value, cells[10, 20].value) == ("feet", "mine")


@FORMATS
def test_answers_pasted_into_a_new_workbook_are_cleared_and_get_no_second_column(
    tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"job{ending}"
    file_format = by_ending(ending)
    path.write_bytes(new_file(file_format, template_pages("in", {"job": "Bench"})))
    page = there(read(path).page("Parts"))
    heads = {str(cell.value): at for at, cell in page.cells.items()}
    row = heads["Part"][0] + 1
    typed: dict[str, Value] = {
        "Part": "Leg",
        "Qty": 4.0,
        "Species": "White oak",
        "Thickness": 0.75,
        "Width": 2.0,
        "Length": 20.0,
    }
    pasted = {**typed, **dict.fromkeys(ANSWERS, 77.0)}
    edited(path, {(row, heads[name][1]): Cell(value) for name, value in pasted.items()})
    edited(path, {(row + 4, heads[name][1]): Cell(77.0) for name in ANSWERS})
    outcome = run(path, now=NOW)
    assert outcome.ok
    assert "column-elsewhere" not in [found.code for found in outcome.problems]
    after = there(read(path).page("Parts"))
    assert not [at for at, cell in after.cells.items() if cell.value == 77.0]
    assert after.last_column == page.last_column


@FORMATS
def test_a_tab_copied_from_another_job_that_lost_its_marks_is_known_by_its_headings(
    tmp_path: Path, ending: str
) -> None:
    heads = " | ".join(ANSWERS)
    old = " | ".join(["77"] * len(ANSWERS))
    lines = PARTS.strip().splitlines()
    table = "\n".join(
        [f"{lines[0]} | {heads}", f"{lines[1]} | {old}", f"{lines[2]} | {old}", f"||||| | {old}"]
    )
    path = tmp_path / f"job{ending}"
    path.write_bytes(by_ending(ending).render(pages({"Parts": table})))
    outcome = run(path, now=NOW)
    assert outcome.ok
    assert "column-elsewhere" not in [found.code for found in outcome.problems]
    for heading in ANSWERS:
        values = column(read(path), "Parts", heading)
        assert 77.0 not in values, heading
    assert is_empty(column(read(path), "Parts", "Board feet")[2:])
    once = path.read_bytes()
    run(path, now=NOW)
    assert path.read_bytes() == once


def test_every_result_column_of_a_new_workbook_is_known_for_ours() -> None:
    file_format = by_ending(".xlsx")
    found = file_format.read(new_file(file_format, template_pages("in"))).columns
    assert len(found) == sum(len(tab.answered) for tab in TABLES)

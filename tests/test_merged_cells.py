"""Merged cells in Note, in empty rows and over answers stop nothing; what is read is asked to have a cell of its own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sheetkit import run
from sheetkit.book.formats import by_ending
from sheetkit.page import Cell, Page, Range
from tests.jobs import NOW, column, pages, read
from tests.there import there

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
PARTS = """
    Part  | Qty | Species   | Thickness | Width | Length | Note
    Leg   | 4   | White oak | 3/4       | 2     | 20     | straight
    Apron | 2   | White oak | 3/4       | 4     | 30     |
"""
BELOW = "\n    Rail  | 2   | White oak | 3/4       | 4     | 30     |"
"""In row 7, after empty ones."""


def merged(path: Path, *blocks: Range, answered: bool = False) -> Path:
    """Write a workbook with merged cells on Parts, put there after a run if ``answered``."""
    made: list[Page] = pages({"Parts": PARTS + "\n\n" + BELOW})
    parts = next(page for page in made if page.title == "Parts")
    rail = {(7, at[1]): cell for at, cell in parts.cells.items() if at[0] > 3}
    parts = replace(parts, cells={**{at: cell for at, cell in parts.cells.items() if at[0] < 4}, **rail})
    made = [parts if page.title == "Parts" else page for page in made]
    file_format = by_ending(path.suffix)
    path.write_bytes(file_format.render(made))
    if answered:
        run(path, now=NOW)
        made = [page for page in read(path).pages if not page.key]
    made = [replace(page, merged=blocks) if page.title == "Parts" else page for page in made]
    covered = {
        (row, number)
        for block in blocks
        for row in range(block.first_row, block.last_row + 1)
        for number in range(block.first_column, block.last_column + 1)
    } - {(block.first_row, block.first_column) for block in blocks}
    made = [
        replace(
            page,
            cells={at: cell for at, cell in page.cells.items() if page.title != "Parts" or at not in covered},
        )
        for page in made
    ]
    path.write_bytes(file_format.render(made))
    return path


@FORMATS
@pytest.mark.parametrize("answered", [False, True])
@pytest.mark.parametrize(
    "block", [Range(2, 7, 3, 7), Range(4, 1, 4, 7), Range(4, 1, 6, 12), Range(5, 3, 6, 3)],
    ids=["note over two rows", "an empty row", "empty rows past the answers", "a column of empty rows"],
)  # fmt: skip
def test_they_stop_nothing(tmp_path: Path, ending: str, answered: bool, block: Range) -> None:
    path = merged(tmp_path / f"job{ending}", block, answered=answered)
    outcome = run(path, now=NOW)
    assert outcome.ok, outcome.problems
    assert "answers-covered" not in [found.code for found in outcome.problems]
    after = read(path)
    assert [value for value in column(after, "Parts", "Blank length") if isinstance(value, float)] == [
        21,
        31,
        31,
    ]
    assert there(after.page("Parts")).merged == (block,)
    once = path.read_bytes()
    run(path, now=NOW)
    assert path.read_bytes() == once


@FORMATS
def test_a_note_drawn_over_answers_leaves_those_out_and_says_so(tmp_path: Path, ending: str) -> None:
    path = merged(tmp_path / f"job{ending}", Range(2, 7, 2, 9), answered=True)
    outcome = run(path, now=NOW)
    assert outcome.ok
    assert [
        (found.place, found.says[:32]) for found in outcome.problems if found.code == "answers-covered"
    ] == [("Parts!H2", "Merged cells lie over 2 of the a")]
    cells = there(read(path).page("Parts")).cells
    assert cells[2, 7].value == "straight"
    assert (cells.get((2, 8), Cell()).value, cells[2, 10].value, cells[3, 8].value) == (None, 21.0, 0.9375)
    once = path.read_bytes()
    run(path, now=NOW)
    assert path.read_bytes() == once


@FORMATS
@pytest.mark.parametrize("block", [Range(2, 2, 3, 2), Range(2, 1, 2, 2), Range(2, 6, 2, 7)])
def test_cells_that_are_read_need_to_be_on_their_own(tmp_path: Path, ending: str, block: Range) -> None:
    outcome = run(merged(tmp_path / f"job{ending}", block), now=NOW)
    codes = {found.code for found in outcome.problems}
    if block == Range(2, 6, 2, 7):  # a length drawn over its note
        assert outcome.ok
    else:
        assert not outcome.ok
        assert "merged" in codes

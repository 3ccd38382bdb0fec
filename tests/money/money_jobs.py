"""Workbooks with prices, labor and extras, and the money tabs put into them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from sheetkit.book.formats import by_content
from sheetkit.book.places import place_answers
from sheetkit.book.workbook import Change, Workbook
from sheetkit.intake.workbook import take_in
from sheetkit.page import Address, Cell, Page
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.records.costs import Alternative, Estimate
from sheetkit.records.job import Job
from sheetkit.tabs.beside import answers_beside
from sheetkit.tabs.estimate import estimate_page
from sheetkit.tabs.lumber import lumber_page
from sheetkit.tabs.quote import quote_page
from tests.jobs import pages

JOB = """
    Job           | Hall shelf
    Job number    | 31-007
    Client        | The yellow house
    Piece         | Shelf with two brackets
    Prepared by   | The shop by the brook
    Date          | 2031-03-04
    Units         | inch
    Wood moisture now | 7
    Hourly rate   | 45
    Overhead      | 15 %
    Profit        | 20 %
    Profit as     | markup
    Tax           | 7 %
    Deposit       | 50 %
    Valid for days | 30
    Alternatives  | White ash, Sugar maple
"""
TABLES = {
    "Job": JOB,
    "Parts": """
        Part    | Qty | Species   | Thickness | Width | Length | Note
        Shelf   | 1   | White oak | 3/4       | 5     | 40     | secret of the shelf
        Bracket | 2   | White oak | 3/4       | 3     | 13     |
    """,
    "Prices": """
        Species   | Stock | Price | Waste | Note
        White oak | 4/4   | 9.50  | 20 %  | from the yard by the river
        White ash | 4/4   | 5.80  | 20 %  |
    """,
    "Extras": """
        Item  | Qty | Unit price | Note
        Screw | 8   | 0.35       | brass
        Hook  | 2   | 4.80       |
    """,
    "Labor": """
        Operation  | Counted by | Minutes each | Rate | Actual hours | Note
        Choose     | job        | 30           |      |              |
        Mill       | blank      | 6            |      | 0.5          | slow machine
        Sand       | surface    | 4            | 40   |              |
    """,
}


class Priced(NamedTuple):
    """A job with its money."""

    results: Answers
    estimate: Estimate
    alternatives: tuple[Alternative, ...]


def numbers(page: Page) -> Page:
    """Give a tab with shares as numbers in cells: 20 % typed is a text in these tables, a number in a spreadsheet program."""
    cells = dict(page.cells)
    for address, cell in cells.items():
        if isinstance(cell.value, str) and cell.value.endswith(" %"):
            cells[address] = Cell(float(cell.value[:-2]))
    return replace(page, cells=cells)


def workbook_pages(tables: Mapping[str, str]) -> list[Page]:
    """Give the maker's tabs."""
    return [numbers(page) for page in pages({**TABLES, **tables})]


def asked(tables: Mapping[str, str] | None = None) -> Job:
    """Give the job that the tables ask."""
    intake = take_in(workbook_pages(tables or {}))
    assert not [problem for problem in intake.problems if problem.weight == "error"], intake.problems
    return intake.job


def priced(job: Job) -> Priced:
    """Give a job's answers and its money."""
    results = answer(job)
    assert not [problem for problem in results.problems if problem.weight == "error"], results.problems
    return Priced(results, results.costs.estimate, results.costs.alternatives)


def money_pages(found: Priced) -> list[Page]:
    """Give the tabs that hold money."""
    return [
        lumber_page(found.results, "Made in a test"),
        estimate_page(found.results, "Made in a test"),
        quote_page(found.results),
    ]


def put_in(data: bytes, ending: str) -> bytes:
    """Give a maker's workbook with the money worked out in it."""
    file_format = by_content(data, ending)
    workbook = file_format.read(data)
    found = priced(take_in(workbook.pages).job)
    placed = place_answers(found.results.job, answers_beside(found.results), workbook)
    columns = {**workbook.columns, **placed.columns}
    change = Change(tuple(money_pages(found)), patches=placed.patches, columns=columns, notes=workbook.notes)
    return file_format.graft(data, change)


def write(path: Path, tables: Mapping[str, str] | None = None) -> Path:
    """Write a workbook with the money worked out in it."""
    from sheetkit.book.formats import by_ending

    path.write_bytes(put_in(by_ending(path.suffix).render(workbook_pages(tables or {})), path.suffix))
    return path


def read(path: Path) -> Workbook:
    """Read a workbook."""
    data = path.read_bytes()
    return by_content(data, path.suffix).read(data)


def place(workbook: Workbook, tab: str, heading: str, line: str) -> Address:
    """Give where the value of a row (named by its first cell) stands under a heading."""
    page = workbook.page(tab)
    assert page is not None, tab
    row = next(row for (row, column), cell in page.cells.items() if column == 1 and cell.value == line)
    column = next(column for (_, column), cell in page.cells.items() if cell.value == heading)
    return row, column

"""Where answers go in the maker's tabs, and how our own tabs and columns are told from the maker's."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from sheetkit.book.workbook import Workbook
from sheetkit.form.columns import BOUGHT, TABLES, Column, Tab, heading_key
from sheetkit.form.labels import JOB_TITLE
from sheetkit.page import Address, Cell, Format, Page, Range, Style, Value, held
from sheetkit.records.job import Job, Place
from sheetkit.records.problems import Problem, problem
from sheetkit.units import BOARD_FEET_PER_M3

Beside = Mapping[str, Mapping[int, Mapping[str, Cell]]]
"""Beside beside the maker's rows: tab -> row -> column name -> cell."""
HEADING = Style(bold=True)


def fingerprint(page: Page) -> str:
    """Return a short print of a page's constants and of where its formulas stand, not of their results."""
    cells = page.cells
    said = ((at, "=" if cells[at].formula is not None else _said(cells[at].value)) for at in sorted(cells))
    return _print([f"({row}, {column}){text}\n" for (row, column), text in said if text])


def _print(lines: Sequence[str]) -> str:
    return hashlib.blake2s("".join(lines).encode(), digest_size=10).hexdigest()


def _said(value: Value) -> str:
    if isinstance(value, str):
        return value
    if value is None:
        return ""
    if isinstance(value, bool | date):
        return f"{value}"
    if isinstance(value, int | float):
        return f"{value:.10g}"
    return value.text


class Said:
    """What the cells of a page say, put into words once for all prints of it."""

    def __init__(self, page: Page) -> None:
        self.page = page
        cells = page.cells
        self._lines = [
            (address, f"({address[0]}, {address[1]})", cells[address].formula, _said(cells[address].value))
            for address in sorted(cells)
        ]

    def fingerprint(self, changed: Mapping[Address, Cell] | None = None) -> str:
        """Return the short print, as it is once these cells say something else."""
        other = {address: _said(cell.value) for address, cell in (changed or {}).items()}
        said = (
            (place, "=" if formula is not None else other.get(address, text))
            for address, place, formula, text in self._lines
        )
        return _print([f"{place}{text}\n" for place, text in said if text])

    def everything(self) -> bytes:
        """Return all that the page says, formulas too."""
        return "".join([f"{place}{formula}{text}\n" for _, place, formula, text in self._lines]).encode()


def print_of_answers(pages: Sequence[Said], answers: Beside) -> str:
    """Return a print of everything that a run says, so that the stamp changes only when a result does."""
    digest = hashlib.blake2s(digest_size=10)
    for said in pages:
        digest.update(said.page.key.encode())
        digest.update(said.everything())
        for picture in said.page.pictures:
            digest.update(picture.png)
    for title, rows in sorted(answers.items()):
        for row, cells in sorted(rows.items()):
            start = f"{title}{row}"
            lines = [
                f"{start}{name}{cells[name].formula}{_said(cells[name].value)}\n" for name in sorted(cells)
            ]
            digest.update("".join(lines).encode())
    return digest.hexdigest()


def print_of_inputs(job: Job, workbook: Workbook) -> str:
    """Return a print of all that the maker asks.

    The tab Job, and the columns read on the other input tabs.
    """
    digest = hashlib.blake2s(digest_size=10)
    sheet = workbook.page(JOB_TITLE)
    asked: list[tuple[str, Mapping[Address, Cell], set[int], int]] = []
    if sheet is not None:
        asked.append((JOB_TITLE, sheet.cells, {column for _, column in sheet.cells}, 0))
    for tab in TABLES:
        place = job.places.get(tab.title)
        page = workbook.page(place.title) if place else None
        if page is not None and place is not None:
            columns = {place.columns[each.name] for each in tab.asked if each.name in place.columns}
            asked.append((tab.title, page.cells, columns, place.heading_row))
    noted = job.places.get(BOUGHT.title)
    if noted and (rows := _noted(noted, workbook.page(noted.title))):
        asked.append((BOUGHT.title, rows, {column for _, column in rows}, 0))
    for title, cells, columns, first in asked:
        said = [
            f"({row}, {at}){_said(cell.value)}\n"
            for (row, at), cell in cells.items()
            if at in columns and row > first and cell.value is not None
        ]
        digest.update(f"{title}\n{''.join(said)}".encode())
    return digest.hexdigest()


def _noted(place: Place, page: Page | None) -> dict[Address, Cell]:
    """Return what was noted on To buy, by where in its table: a run may move it and give it marks."""
    columns = {
        place.columns[each.name]: number
        for number, each in enumerate(BOUGHT.asked)
        if each.name in place.columns and each.name != "board"
    }
    return {
        (row - place.heading_row, columns[column]): cell
        for (row, column), cell in (page.cells.items() if page else ())
        if row > place.heading_row and column in columns and cell.value is not None
    }


@dataclass(slots=True)
class Placed:
    """Cells to write in the maker's tabs, and the marks of the columns that they fill."""

    patches: dict[str, dict[Address, Cell]] = field(default_factory=dict)
    columns: dict[str, tuple[str, Range]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def mark_key(tab: Tab, column: Column) -> str:
    """Return the lasting key of a result column."""
    return f"{tab.lasting or heading_key(tab.title)}.{column.name}"


def place_answers(job: Job, answers: Beside, workbook: Workbook) -> Placed:
    """Return where every answer goes: under its own heading, or in a new column beside the rows.

    A column that already bears our mark is ours; one under the heading is ours when nothing of the maker's
    stands in it. Beside of an earlier run that no row claims now are emptied.
    """
    placed = Placed()
    for tab in TABLES:
        place = job.places.get(tab.title)
        page = workbook.page(place.title) if place else None
        rows = answers.get(tab.title, {})
        if page is None or place is None:
            continue
        edge = _free_edge(page, place, workbook)
        top, last_row = place.heading_row, page.last_row
        filled = {at for (row, at), cell in page.cells.items() if row > top and cell.value is not None}
        for column in tab.answered:
            marked = workbook.columns.get(mark_key(tab, column))
            number, heading, edge = _column_for(column, place, page, marked, edge, bool(rows), placed, filled)
            if number:
                _fill(tab, column, number, heading, place, page, marked, rows, placed, last_row)
    return placed


def _free_edge(page: Page, place: Place, workbook: Workbook) -> int:
    """Return the first column right of everything, and right of whatever a whole-column formula reaches."""
    ours = [
        block.last_column
        for title, block in workbook.columns.values()
        if title.casefold() == page.title.casefold()
    ]
    return max([place.edge, *(column + 1 for column in ours)])


def _column_for(
    column: Column,
    place: Place,
    page: Page,
    marked: tuple[str, Range] | None,
    edge: int,
    wanted: bool,
    placed: Placed,
    filled: Collection[int],
) -> tuple[int, str | None, int]:
    """Return the column to write in, the heading to write when it is a new one, and the next free column."""
    number = place.columns.get(column.name, 0)
    elsewhere = problem(
        "column-elsewhere", page.title, place.heading_row, number, column.heading, heading=column.heading
    )
    if marked and marked[0].casefold() == page.title.casefold():
        if number and number != marked[1].first_column:
            placed.problems.append(elsewhere)
        return marked[1].first_column, None, edge
    if number:
        if number not in filled:
            return number, None, edge
        placed.problems.append(elsewhere)
        return (edge, f"{column.heading} (calculated)", edge + 1) if wanted else (0, None, edge)
    return (edge, column.heading, edge + 1) if wanted else (0, None, edge)


def _fill(
    tab: Tab,
    column: Column,
    number: int,
    heading: str | None,
    place: Place,
    page: Page,
    marked: tuple[str, Range] | None,
    rows: Mapping[int, Mapping[str, Cell]],
    placed: Placed,
    last_row: int,
) -> None:
    patches = placed.patches.setdefault(page.title, {})
    if heading:
        patches[place.heading_row, number] = Cell(heading, style=HEADING)
    stands = page.cells.get((place.heading_row, number))
    metric = (
        column.name == "volume"
        and stands is not None
        and "m3" in str(stands.value).casefold().replace("³", "3")
    )
    if marked:
        block = marked[1]
        for row in range(block.first_row, min(block.last_row, last_row) + 1):
            if (row, number) in page.cells and row > place.heading_row:
                patches[row, number] = Cell()
    last = place.heading_row
    name, there = column.name, page.cells
    for row, cells in rows.items():
        cell = cells.get(name)
        if cell is None:
            continue
        if metric and isinstance(cell.value, float):
            style = replace(cell.style, format=Format.TEN_THOUSANDTH)
            cell = Cell(round(cell.value / BOARD_FEET_PER_M3, 9), style=style)
        at = (row, number)
        value = held(cell.value)
        if value is not None or at in there:
            patches[at] = cell if value is cell.value else cell._replace(value=value)
        last = max(last, row)
    if last > place.heading_row or marked:
        first = place.heading_row + 1
        placed.columns[mark_key(tab, column)] = (page.title, Range(first, number, max(last, first), number))


def decorated_title(title: str, taken: set[str]) -> str:
    """Return the title under which the maker's changed version of our tab is kept."""
    count = 1
    while True:
        name = f"{title} (yours)" if count == 1 else f"{title} (yours {count})"
        if name.casefold() not in taken:
            return name
        count += 1

"""Where answers go in the maker's tabs, and how our own tabs and columns are told from the maker's."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from sheetkit.book.answer_columns import copied_marks, left_over_answers, mark_key
from sheetkit.book.workbook import Workbook
from sheetkit.form.columns import TABLES, Column, Kind, Tab
from sheetkit.page import PLAIN, Address, Cell, Format, Page, Range, Style, Value, held
from sheetkit.page import Column as Look
from sheetkit.records.job import Job, Place
from sheetkit.records.problems import Problem, problem
from sheetkit.units import BOARD_FEET_PER_M3

Beside = Mapping[str, Mapping[int, Mapping[str, Cell]]]
"""Beside beside the maker's rows: tab -> row -> column name -> cell."""
HEADING = Style(bold=True)
WRAPPED = Style(wrap=True)


def fingerprint(page: Page) -> str:
    """Return a short print of a page's constants and of where its formulas stand, not of their results."""
    cells = page.cells
    words = ((at, "=" if cells[at].formula is not None else said(cells[at].value)) for at in sorted(cells))
    return _print([f"({row}, {column}){text}\n" for (row, column), text in words if text])


def _print(lines: Sequence[str]) -> str:
    return hashlib.blake2s("".join(lines).encode(), digest_size=10).hexdigest()


def said(value: Value) -> str:
    """Return what a cell says, as text."""
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
            (address, f"({address[0]}, {address[1]})", cells[address].formula, said(cells[address].value))
            for address in sorted(cells)
        ]

    def fingerprint(self, changed: Mapping[Address, Cell] | None = None) -> str:
        """Return the short print, as it is once these cells say something else."""
        other = {
            at: "=" if cell.formula is not None else said(cell.value) for at, cell in (changed or {}).items()
        }
        words = [
            (at, place, other.pop(at, text if formula is None else "="))
            for at, place, formula, text in self._lines
        ]
        if other:
            words = sorted([*words, *((at, f"({at[0]}, {at[1]})", text) for at, text in other.items())])
        return _print([f"{place}{text}\n" for _, place, text in words if text])

    def everything(self) -> bytes:
        """Return all that the page says, formulas too."""
        return "".join([f"{place}{formula}{text}\n" for _, place, formula, text in self._lines]).encode()


def print_of_answers(pages: Sequence[Said], answers: Beside) -> str:
    """Return a print of everything that a run says, so that the stamp changes only when a result does."""
    digest = hashlib.blake2s(digest_size=10)
    for page in pages:
        digest.update(page.page.key.encode())
        digest.update(page.everything())
        for picture in page.page.pictures:
            digest.update(picture.png)
    for title, rows in sorted(answers.items()):
        for row, cells in sorted(rows.items()):
            start = f"{title}{row}"
            lines = [
                f"{start}{name}{cells[name].formula}{said(cells[name].value)}\n" for name in sorted(cells)
            ]
            digest.update("".join(lines).encode())
    return digest.hexdigest()


@dataclass(slots=True)
class Placed:
    """Cells to write in the maker's tabs, and the marks of the columns that they fill."""

    patches: dict[str, dict[Address, Cell]] = field(default_factory=dict)
    columns: dict[str, tuple[str, Range]] = field(default_factory=dict)
    fresh: dict[str, dict[int, Look]] = field(default_factory=dict)
    """The columns that are new, with their width, unless the maker set one there."""
    problems: list[Problem] = field(default_factory=list)


def place_answers(job: Job, answers: Beside, workbook: Workbook) -> Placed:
    """Return where every answer goes: under its own heading, or in a new column beside the rows.

    A column that already bears our mark is ours; so is one of a whole set of our headings, and one under
    a heading in which nothing of the maker's stands. What an earlier run or a copied row left is emptied.
    """
    placed = Placed()
    for tab in TABLES:
        place = job.places.get(tab.title)
        page = workbook.page(place.title) if place else None
        rows = answers.get(tab.title, {})
        if page is None or place is None:
            continue
        edge = _free_edge(page, place, workbook)
        copied = copied_marks(tab, place, page)
        left_over = left_over_answers(tab, place, page, workbook)
        top, last_row = place.heading_row, page.last_row
        filled = {at for (row, at), cell in page.cells.items() if row > top and cell.value is not None}
        for column in tab.answered:
            marked = workbook.columns.get(mark_key(tab, column)) or copied.get(column.name)
            number, heading, edge = _column_for(column, place, page, marked, edge, bool(rows), placed, filled)
            if number:
                _fill(tab, column, number, heading, place, page, marked, rows, placed, last_row)
                patches = placed.patches[page.title]
                if heading and (look := fresh_look(column, place, page, number)):
                    placed.fresh.setdefault(page.title, {})[number] = look
                    patches.update(wrapped(patches, number))
                for at in left_over.get(number, ()) if marked else ():
                    patches.setdefault(at, Cell())
        _leave_covered(page, placed)
    return placed


def fresh_look(column: Column, place: Place, page: Page, number: int) -> Look | None:
    """Return the width of a new column, and whether its words wrap.

    None where the maker set a width, and where something lies over the tab: it would be drawn out with
    the columns and rows below it.
    """
    there = page.columns.get(number)
    if (there and there.chosen) or number in page.hidden_columns or page.laid_over:
        return None
    heads = (page.cells.get((place.heading_row, each), Cell()) for each in place.columns.values())
    letters = max(cell.style.size for cell in (Cell(), *heads))
    wide = round(column.wide * letters / PLAIN.size, 2)
    return Look(wide, WRAPPED if column.kind is Kind.TEXT else PLAIN)


def wrapped(cells: Mapping[Address, Cell], number: int) -> dict[Address, Cell]:
    """Return the words among the cells of a column, such that they wrap."""
    return {
        at: cell._replace(style=replace(cell.style, wrap=True))
        for at, cell in cells.items()
        if at[1] == number and isinstance(cell.value, str)
    }


def _leave_covered(page: Page, placed: Placed) -> None:
    """Leave out what would be written under merged cells, and say so once for each block."""
    patches = placed.patches.get(page.title, {})
    for block in page.merged:
        corner = (block.first_row, block.first_column)
        covered = [at for at in patches if at != corner and block.__contains__(at)]
        hidden = sorted(at for at in covered if patches[at].value not in (None, ""))
        for at in covered:
            del patches[at]
        if hidden:
            (row, column), count = hidden[0], len(hidden)
            placed.problems.append(problem("answers-covered", page.title, row, column, "", count=count))


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

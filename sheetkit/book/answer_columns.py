"""Which columns of the maker's tabs are ours, and what copied and left-over answers stand in them."""

from __future__ import annotations

from collections.abc import Iterable

from sheetkit.book.workbook import Workbook
from sheetkit.form.columns import TABLES, Column, Tab, heading_key
from sheetkit.page import Address, Cell, Page, Range
from sheetkit.records.job import Place

LEAST_OF_A_SET = 3
"""Fewer of our headings side by side may be the maker's own."""


def mark_key(tab: Tab, column: Column) -> str:
    """Return the lasting key of a result column."""
    return f"{tab.lasting or heading_key(tab.title)}.{column.name}"


def marks_of_new(pages: Iterable[Page]) -> dict[str, tuple[str, Range]]:
    """Return the marks of a new workbook's result columns, by which pasted answers are known for ours."""
    tabs = {tab.title: tab for tab in TABLES}
    found = {}
    for page in pages:
        tab = tabs.get(page.title)
        heads = (
            {cell.value: at for at, cell in page.cells.items() if isinstance(cell.value, str)} if tab else {}
        )
        for column in tab.answered if tab else ():
            if tab and tab.key_column.heading in heads and column.heading in heads:
                row, number = heads[tab.key_column.heading][0] + 1, heads[column.heading][1]
                found[mark_key(tab, column)] = (page.title, Range(row, number, row, number))
    return found


def copied_marks(tab: Tab, place: Place, page: Page) -> dict[str, tuple[str, Range]]:
    """Return marks for a tab copied with all our headings, side by side and in order, that lost its own."""
    numbers = [place.columns.get(column.name, 0) for column in tab.answered]
    if len(numbers) < LEAST_OF_A_SET or numbers != list(range(numbers[0], numbers[0] + len(numbers))):
        return {}
    heads = [page.cells.get((place.heading_row, number), Cell()).value for number in numbers]
    if any(
        heading_key(str(head)) != heading_key(column.heading)
        for head, column in zip(heads, tab.answered, strict=True)
    ):
        return {}
    first = place.heading_row + 1
    return {
        column.name: (page.title, Range(first, number, first, number))
        for column, number in zip(tab.answered, numbers, strict=True)
    }


def left_over_answers(tab: Tab, place: Place, page: Page, workbook: Workbook) -> dict[int, list[Address]]:
    """Return by column the constants in rows of the maker's, and in rows that hold answers alone."""
    asked = {place.columns[each.name] for each in tab.asked if each.name in place.columns}
    marks = (workbook.columns.get(mark_key(tab, column)) for column in tab.answered)
    ours = {
        block.first_column
        for title, block in filter(None, marks)
        if title.casefold() == page.title.casefold()
    }
    ours |= {place.columns[each.name] for each in tab.answered if each.name in place.columns}
    rows: dict[int, set[int]] = {}
    for (row, number), cell in page.cells.items():
        if row > place.heading_row and (cell.value not in (None, "") or cell.formula is not None):
            rows.setdefault(row, set()).add(number)
    found: dict[int, list[Address]] = {}
    for row, numbers in rows.items():
        for number in numbers & ours if numbers & asked or numbers <= ours else ():
            if page.cells[row, number].formula is None:
                found.setdefault(number, []).append((row, number))
    return found

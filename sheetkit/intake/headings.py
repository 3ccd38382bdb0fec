"""Where the headings of a table stand, matched by name: case, order and synonyms do not count."""

from __future__ import annotations

from collections.abc import Mapping

from sheetkit.form.columns import Column, Kind, Tab, heading_key, headings_of
from sheetkit.page import Cell, Page
from sheetkit.records.problems import Problem, problem
from sheetkit.tables import offered_metric_stocks
from sheetkit.units import MM, Unit, is_metric, length_from_text

Rows = dict[int, dict[int, Cell]]


def by_row(page: Page) -> Rows:
    """Return the cells of a page by row, and in each by column."""
    grouped: Rows = {}
    for (row, column), cell in page.cells.items():
        grouped.setdefault(row, {})[column] = cell
    return grouped


def key_of(cell: Cell) -> str:
    """Return the key by which a cell's text is matched, empty when it holds no text."""
    return heading_key(cell.value) if isinstance(cell.value, str) else ""


def heading_row(grouped: Rows, tab: Tab) -> int | None:
    """Return the row that holds the heading of the tab's first required column, and most of the others.

    The first of equals counts, and an exact heading before a synonym: words of help above may hold one too.
    """
    needed = [set(headings_of(column)) for column in tab.asked if column.required]
    best, most = None, 0
    for keys in ({heading_key(tab.key_column.heading)}, needed[0]):
        for row in sorted(grouped):
            found = {key_of(cell) for cell in grouped[row].values()}
            if keys & found and len(found) > 1:
                known = sum(not words.isdisjoint(found) for words in needed)
                if known == len(needed):
                    return row
                if known > most:
                    best, most = row, known
    return best


def match_headings(cells: Mapping[int, Cell], tab: Tab, row: int) -> tuple[dict[str, int], list[Problem]]:
    """Return the column number of every declared column whose heading stands in a row.

    An exact heading is used before a synonym; two exact ones are a problem.
    """
    placed: dict[str, int] = {}
    problems = []
    columns = (*tab.asked, *tab.answered)
    exact = {heading_key(column.heading): column for column in columns}
    for number in sorted(cells):
        column = exact.get(key_of(cells[number]))
        if column is None:
            continue
        if column.name in placed:
            problems.append(
                problem("heading-double", tab.title, row, number, cells[number].value, heading=column.heading)
            )
        else:
            placed[column.name] = number
    taken = set(placed.values())
    for number in sorted(cells):
        key = key_of(cells[number])
        if not key or number in taken:
            continue
        for column in columns:
            if column.name not in placed and key in headings_of(column):
                placed[column.name] = number
                break
    return placed, problems


def expected(column: Column, unit: Unit) -> str:
    """Say what a cell of a column is to be, with an example in the words of a unit."""
    metric = is_metric(unit)
    if metric and column.kind is Kind.LENGTH and column.example:
        return f"{column.kind} such as {length_from_text(column.example, 'in') * MM:.0f}"
    if metric and column.kind is Kind.STOCK:
        return f"{column.kind} such as {offered_metric_stocks()[-1]}"
    return f"{column.kind} such as {column.example}" if column.example else f"a {column.kind}"

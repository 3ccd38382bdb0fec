"""How high rows are that hold text which wraps: a program that opens an .xlsx does not measure it anew."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from sheetkit.page import PLAIN, Address, Cell, Column, Page, Style
from sheetkit.tabs.draft import A_LINE
from sheetkit.tabs.letters import line_count, room

INSET = 9 / 7
"""Characters of room that a text loses which stands a little in."""


def lines_in(text: str, wide: float, style: Style) -> int:
    """Return how many lines a text fills in a column so wide, when it wraps."""
    return line_count(text, room((wide - INSET * (style.align == "inset"),)), style.size, style.bold)


def most_lines(texts: Iterable[tuple[str, float]], style: Style) -> int:
    """Return how many lines the longest of some texts fills in its column."""
    return max((lines_in(text, wide, style) for text, wide in texts), default=1)


def grown_rows(
    page: Page,
    put: Mapping[Address, Cell] = MappingProxyType({}),
    fresh: Mapping[int, Column] = MappingProxyType({}),
) -> dict[int, float]:
    """Return the height [pt] of each row of a tab whose wrapped text needs more than one line.

    With ``put``, cells written into the tab in the looks that stand there, only rows in which one of
    these says something new; ``fresh`` are the columns that are new with them, in letters as the row has.
    """
    new = {at for at, cell in put.items() if cell.value != page.cells.get(at, Cell()).value}
    rows = {row for row, number in new if isinstance(put[row, number].value, str)} if put else None
    if rows == set():
        return {}
    sizes: dict[int, float] = {}
    for (row, _), cell in page.cells.items() if fresh else ():
        sizes[row] = max(sizes.get(row, 0.0), cell.style.size)
    merged = [
        block for block in page.merged if rows is None or not rows.isdisjoint(range(block[0], block[2] + 1))
    ]
    found: dict[int, float] = {}
    for at, cell in {**page.cells, **put}.items():
        row, number = at
        if not isinstance(cell.value, str) or (rows is not None and row not in rows):
            continue
        column = fresh.get(number) or page.columns.get(number)
        there = page.cells.get(at)
        style = there.style if there else column.style if column else PLAIN
        if number in fresh:
            style = Style(wrap=True, size=sizes.get(row, style.size))
        if column is None or not style.wrap or any(block.__contains__(at) for block in merged):
            continue
        lines = lines_in(cell.value, column.width, style)
        if lines > 1:
            found[row] = max(found.get(row, 0.0), round(lines * style.size * A_LINE + 2.5, 2))
    return found

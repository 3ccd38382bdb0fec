"""Which of many cells lie in a block, without looking at each of them for each block."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping

from sheetkit.page import Address, Range

Columns = Mapping[int, list[int]]
"""Column -> rows of the cells in it, in order."""


def by_column(addresses: Iterable[Address]) -> Columns:
    """Return the rows of these cells in each column."""
    found: dict[int, list[int]] = {}
    for row, column in sorted(addresses):
        found.setdefault(column, []).append(row)
    return found


def met(block: Range, cells: Columns) -> set[Address]:
    """Return those of the cells that lie in a block.

    >>> sorted(met(Range(2, 1, 9, 2), by_column([(1, 1), (2, 1), (9, 2), (9, 3)])))
    [(2, 1), (9, 2)]
    """
    return {
        (row, column)
        for column, rows in cells.items()
        if block.first_column <= column <= block.last_column
        for row in rows[bisect_left(rows, block.first_row) : bisect_right(rows, block.last_row)]
    }

"""Workbooks written as text tables, for feature tests."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

from sheetkit.book.formats import by_content, by_ending
from sheetkit.book.workbook import Workbook
from sheetkit.page import Cell, Page, Value

NOW = datetime(2026, 11, 2, 9, 30)
BENCH = """
    Job                    | Bench
    Units                  | inch
    Wood moisture now      | 7
    Driest wood moisture   | 6
    Wettest wood moisture  | 11
"""
PRICES = """
    Species     | Stock | Price | Waste
    White oak   | 4/4   | 9.50  | 20 %
    White oak   | 8/4   | 12    | 20 %
    Red oak     | 4/4   | 8     | 20 %
    Red oak     | 8/4   | 9     | 20 %
    Black cherry | 4/4  | 10    | 20 %
"""


def value(text: str) -> Value:
    """Give a number where a text is one."""
    try:
        number = float(text)
        return number if math.isfinite(number) else text
    except ValueError:
        return text


def page(title: str, table: str) -> Page:
    """Give a tab from lines of cells with bars between."""
    cells = {}
    for row, line in enumerate(table.strip().splitlines(), 1):
        for column, text in enumerate(line.split("|"), 1):
            if text.strip():
                cells[row, column] = Cell(value(text.strip()))
    return Page(title, cells)


def pages(tables: Mapping[str, str]) -> list[Page]:
    """Give the tabs of a workbook; Job and Prices are the usual ones unless given."""
    return [
        page(title, table) for title, table in {"Job": BENCH, "Prices": PRICES, **tables}.items() if table
    ]


def write(path: Path, tables: Mapping[str, str]) -> Path:
    """Write a workbook of text tables."""
    path.write_bytes(by_ending(path.suffix).render(pages(tables)))
    return path


def read(path: Path) -> Workbook:
    """Read a workbook back."""
    data = path.read_bytes()
    return by_content(data, path.suffix).read(data)


def column(workbook: Workbook, tab: str, heading: str) -> list[Value]:
    """Give the values below a heading, row by row, to the last row of the tab."""
    found = workbook.page(tab)
    assert found is not None, tab
    row, number = next(address for address, cell in sorted(found.cells.items()) if cell.value == heading)
    return [
        cell.value if (cell := found.cells.get((below, number))) else None
        for below in range(row + 1, found.last_row + 1)
    ]

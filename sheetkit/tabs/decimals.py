"""The decimal sign of the workbook's language, in words and pictures as in its numbers: no tab has both."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace

from sheetkit.page import Cell, Page

_SIGNS: ContextVar[re.Pattern[str] | None] = ContextVar("signs", default=None)
"""What is written otherwise while a comma sets off decimals, and what stays; None while a point does."""
_NUMBER = r"(?<![\w.,])(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.\d+)(?![.,]?\d)"
_OTHER = str.maketrans(".,", ",.")
_DECIMAL = re.compile(r"\d[.,]\d")
_SIZE = re.compile(r"[\d.,/+x ]*(?:mm|cm|m|m3|in|ft|%|€|\$)?")
"""A number with its unit, which is no name."""


@contextmanager
def decimal_sign(comma: bool, names: Collection[str] = ()) -> Iterator[None]:
    """Have all that is worded meanwhile set off decimals by a comma, or not; the maker's own names stay."""
    own = (name for name in names if _DECIMAL.search(name) and not _SIZE.fullmatch(name))
    stay = sorted(map(re.escape, own), key=len, reverse=True)
    signs = re.compile("|".join((*(f"(?:{name})" for name in stay), f"(?P<number>{_NUMBER})")))
    token = _SIGNS.set(signs if comma else None)
    try:
        yield
    finally:
        _SIGNS.reset(token)


def worded(text: str) -> str:
    """Return a text with the decimal sign that holds.

    >>> with decimal_sign(True, ["Leg 1.5"]):
    ...     worded("Leg 1.5: 12.5 x 1,250 mm, by sheetkit 0.1.0")
    'Leg 1.5: 12,5 x 1.250 mm, by sheetkit 0.1.0'
    """
    signs = _SIGNS.get()
    if signs is None:
        return text
    return signs.sub(lambda found: found[0].translate(_OTHER) if found["number"] else found[0], text)


def worded_cell(cell: Cell) -> Cell:
    """Return a cell with its words so; what a formula says is left to it."""
    if cell.formula is not None or not isinstance(cell.value, str):
        return cell
    return cell._replace(value=worded(cell.value))


def worded_page(page: Page) -> Page:
    """Return a page with all words so; its pictures were drawn so."""
    if _SIGNS.get() is None:
        return page
    return replace(page, cells={at: worded_cell(cell) for at, cell in page.cells.items()})


def worded_beside(
    beside: Mapping[str, Mapping[int, Mapping[str, Cell]]],
) -> dict[str, dict[int, dict[str, Cell]]]:
    """Return what stands beside the maker's rows with all words so."""
    return {
        tab: {row: {name: worded_cell(cell) for name, cell in cells.items()} for row, cells in rows.items()}
        for tab, rows in beside.items()
    }

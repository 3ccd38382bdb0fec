"""Which formulas of the maker's look at cells that a run writes, so that their stored results grow old."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator

from sheetkit.book.workbook import Change, Workbook
from sheetkit.page import Address, Range, column_number

_REFERENCE = re.compile(
    r"""
    "(?:[^"]|"")*"                                        # words in quotes hold no reference
    | (?:(?:(?<!')'(?P<quoted>(?:[^']|'')++)'|(?<![\w.])(?P<bare>[^\W\d][\w.]*+))!)?
      (?:
        (?<![\w.])\$?(?P<left>[A-Za-z]{1,3})\$?(?P<top>\d{1,7})
          (?::\$?(?P<right>[A-Za-z]{1,3})\$?(?P<bottom>\d{1,7}))?(?![\w(.!])
        | (?<![\w.])\$?(?P<from>[A-Za-z]{1,3}):\$?(?P<to>[A-Za-z]{1,3})(?![\w(.!])
        | (?<![\w.])\$?(?P<first>\d{1,7}):\$?(?P<last>\d{1,7})(?![\w(.!])
      )
    | (?<![\w.])(?P<name>[^\W\d][\w.]*+)(?![(!'])
    """,
    re.VERBOSE,
)
_LAST_ROW, _LAST_COLUMN = 1_048_576, 16_384


class _Written:
    """The cells that get other values, by tab and column."""

    def __init__(self) -> None:
        self._rows: dict[str, dict[int, list[int]]] = {}

    def add(self, title: str, addresses: Iterable[Address]) -> None:
        columns = self._rows.setdefault(title.casefold(), {})
        for row, column in addresses:
            columns.setdefault(column, []).append(row)
        for rows in columns.values():
            rows.sort()

    def meets(self, title: str, cells: Range) -> bool:
        for column, rows in self._rows.get(title.casefold(), {}).items():
            if cells.first_column <= column <= cells.last_column:
                at = bisect_left(rows, cells.first_row)
                if at < len(rows) and rows[at] <= cells.last_row:
                    return True
        return False


def dependents(workbook: Workbook, change: Change) -> tuple[tuple[str, Address], ...]:
    """Return the maker's cells whose formulas look at what a change writes, at first hand or further.

    Parameters
    ----------
    workbook
        The file as read before the change.
    change
        What the run will put into it.

    Returns
    -------
    tuple
        Tab title and address of each such cell, in the order of the file. A reference that is only
        worked out at run time (``INDIRECT``) cannot be followed.
    """
    ours = {title.casefold() for title in workbook.owned.values()} | {
        page.title.casefold() for page in change.tabs
    }
    written = _Written()
    patched = {title.casefold(): frozenset(cells) for title, cells in change.patches.items()}
    for title, addresses in patched.items():
        written.add(title, addresses)
    names = {
        name.casefold(): (page.title, Range(*address, *address))
        for page in workbook.pages
        for name, address in page.names.items()
    }
    waiting = [
        (page.title, address, list(_looked_at(cell.formula or "", page.title, names)))
        for page in workbook.pages
        if page.title.casefold() not in ours
        for address, cell in sorted((at, cell) for at, cell in page.cells.items() if cell.formula)
        if address not in patched.get(page.title.casefold(), ())
    ]
    order = {(title, address): number for number, (title, address, _) in enumerate(waiting)}
    found: list[tuple[str, Address]] = []
    while True:
        hit = [
            (title, address)
            for title, address, places in waiting
            if any(place.casefold() in ours or written.meets(place, cells) for place, cells in places)
        ]
        if not hit:
            return tuple(sorted(found, key=order.__getitem__))
        found += hit
        gone = set(hit)
        waiting = [each for each in waiting if (each[0], each[1]) not in gone]
        for title in dict.fromkeys(title for title, _ in hit):
            written.add(title, [address for tab, address in hit if tab == title])


def _looked_at(formula: str, home: str, names: dict[str, tuple[str, Range]]) -> Iterator[tuple[str, Range]]:
    """Yield the tabs and blocks of cells that a formula names."""
    for found in _REFERENCE.finditer(formula):
        part = found.groupdict()
        title = part["bare"] or (part["quoted"] or home).replace("''", "'")
        if part["left"]:
            row, column = int(part["top"]), column_number(part["left"])
            last_row = int(part["bottom"]) if part["bottom"] else row
            last_column = column_number(part["right"]) if part["right"] else column
            yield title, Range(row, column, last_row, last_column)
        elif part["from"]:
            yield title, Range(1, column_number(part["from"]), _LAST_ROW, column_number(part["to"]))
        elif part["first"]:
            yield title, Range(int(part["first"]), 1, int(part["last"]), _LAST_COLUMN)
        elif part["name"] and part["name"].casefold() in names:
            yield names[part["name"].casefold()]

"""Formulas that the file tells in short, the cells that they fill, and what names in them stand for."""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass, field

from sheetkit.book.markup import Element
from sheetkit.book.references import shifted
from sheetkit.book.workbook import Refused
from sheetkit.book.xlsx.book import Book, whole
from sheetkit.book.xlsx.names import defined, is_mark
from sheetkit.page import Address, Range, cell_name, column_number, quoted

_REF = re.compile(r"\$?([A-Za-z]{1,3})\$?(\d{1,7})(?::\$?([A-Za-z]{1,3})\$?(\d{1,7}))?\Z")


def area(text: str) -> Range | None:
    """Return the cells of a reference such as ``B3:C9``.

    >>> area("B3")
    Range(first_row=3, first_column=2, last_row=3, last_column=2)
    """
    found = _REF.match(text)
    if found is None:
        return None
    left, top, right, bottom = found.groups()
    first = (int(top), column_number(left))
    return Range(*first, *((int(bottom), column_number(right)) if right else first))


@dataclass(slots=True)
class Blocks:
    """The formulas of one tab that say how they are to be read."""

    filled: dict[Address, Range] = field(default_factory=dict)
    _shared: dict[str, tuple[str, Address]] = field(default_factory=dict)

    def formula(self, element: Element, text: str, at: Address) -> str:
        """Return what a formula says in the cell where it stands."""
        kind = element.get("t", "normal")
        cells = area(element.get("ref", ""))
        if kind == "shared":
            number = element.get("si", "")
            if text or number not in self._shared:
                self._shared[number] = text, at
                return text
            master, (row, column) = self._shared[number]
            return shifted(master, at[0] - row, at[1] - column)
        if kind in ("array", "dataTable") and cells is not None:
            self.filled[at] = cells
        if kind == "dataTable" and cells is not None:
            # worked out from the formulas above and left of it, with other values in one cell or two
            edge = Range(max(1, cells[0] - 1), max(1, cells[1] - 1), *cells[2:])
            around = f"{cell_name(*edge[:2])}:{cell_name(*edge[2:])}"
            return ",".join(filter(None, (around, element.get("r1"), element.get("r2"))))
        return text


def meanings(book: Book) -> dict[tuple[str, str], str]:
    """Return what defined names and tables stand for: tab for which a name holds, and name, case folded."""
    titles = [sheet.get("name", "") for sheet in book.sheets()]
    found: dict[tuple[str, str], str] = {}
    for element in defined(book):
        local = element.get("localSheetId")
        place = whole(local, -1) if local is not None else -1
        if is_mark(element) or place >= len(titles):
            continue
        scope = titles[place].casefold() if place >= 0 else ""
        found[scope, element.get("name", "").casefold()] = (element.text or "").strip().removeprefix("=")
    for sheet in book.sheets():
        for table in _tables(book, sheet):
            cells, name = area(table.get("ref", "")), table.get("displayName") or table.get("name") or ""
            if cells is not None and name:
                corners = (cell_name(*ends, fixed=True) for ends in (cells[:2], cells[2:]))
                found["", name.casefold()] = f"{quoted(sheet.get('name', ''))}!{':'.join(corners)}"
    return found


def _tables(book: Book, sheet: Element) -> list[Element]:
    """Return the tables of a tab, one that cannot be read left out."""
    link = book.link_of(sheet)
    found = []
    for relation in book.parts.relations(link.target) if link is not None else ():
        if relation.kind == "table" and relation.inside:
            with suppress(Refused):
                found.append(book.parts.tree(relation.target))
    return found

"""What the maker noted on To buy: rows read as boards of the rack, and kept as they were typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sheetkit.form.columns import BOUGHT
from sheetkit.intake.headings import by_row, heading_row, match_headings
from sheetkit.page import Address, Cell, Page
from sheetkit.records.job import Board


@dataclass(frozen=True, slots=True)
class Noted:
    """The table in which boards are noted, as it stands on the tab."""

    heading: int
    """Row of its headings."""
    columns: Mapping[str, int]
    """Column name -> its number."""
    cells: Mapping[Address, Cell]
    """What stands below the headings or beyond them, by rows below the headings, and the column as it was."""

    @property
    def asked(self) -> tuple[int, ...]:
        """The columns that are read, but for the marks, which a run gives."""
        return tuple(sorted(at for name, at in self.columns.items() if name != "board"))

    @property
    def has_formula(self) -> bool:
        """Whether something is worked out there, which would not follow the table when it moves."""
        return any(cell.formula is not None for cell in self.cells.values())


def noted_on(page: Page | None) -> Noted | None:
    """Return the table on the tab To buy, None where there is none."""
    if page is None:
        return None
    grouped = by_row(page)
    heading = heading_row(grouped, BOUGHT)
    if heading is None:
        return None
    columns, _ = match_headings(grouped[heading], BOUGHT, heading)
    if any(column.required and column.name not in columns for column in BOUGHT.asked):
        return None
    known = set(columns.values())
    cells = {
        (row - heading, column): cell
        for (row, column), cell in page.cells.items()
        if cell.value is not None and (row > heading or (row == heading and column not in known))
    }
    return Noted(heading, columns, cells)


def without_noted(page: Page) -> Page:
    """Return the tab To buy without what the maker noted: what a run writes, and nobody else should."""
    noted = noted_on(page)
    if noted is None:
        return page
    at = {(row + noted.heading, column) for row, column in noted.cells}
    return replace(page, cells={address: cell for address, cell in page.cells.items() if address not in at})


def boards_noted(found: Sequence[dict[str, Any]], boards: Sequence[Board], title: str) -> tuple[Board, ...]:
    """Return the rows as boards, each with a mark that no other board of its wood and stock bears."""
    taken = {board.board.casefold() for board in boards}
    taken |= {values["board"].casefold() for values in found if values.get("board")}
    marked: list[Board] = []
    for values in found:
        mark = values.get("board") or free_mark("B", taken)
        if values.get("board"):
            mark = apart(mark, [*boards, *marked], values)
        taken.add(mark.casefold())
        marked.append(Board(**{**values, "board": mark}, listed=title))
    return tuple(marked)


def free_mark(start: str, taken: set[str]) -> str:
    """Return the first mark with a number that is free.

    >>> free_mark("B", {"b1", "b2"})
    'B3'
    """
    number = 1
    while f"{start}{number}".casefold() in taken:
        number += 1
    return f"{start}{number}"


def apart(mark: str, boards: Sequence[Board], values: Mapping[str, Any]) -> str:
    """Return a mark, with a number when another board of the same wood and stock bears it."""
    alike = {
        board.board.casefold()
        for board in boards
        if (board.species, board.stock) == (values["species"], values["stock"])
    }
    return (
        mark
        if mark.casefold() not in alike
        else free_mark(f"{mark} no. ", {*alike, f"{mark} no. 1".casefold()})
    )

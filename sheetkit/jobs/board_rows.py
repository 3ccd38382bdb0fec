"""Rows of a table of boards, as a cut finds, marks, empties and fills them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sheetkit.book.workbook import Workbook
from sheetkit.data.cut_notes import LaidBoard
from sheetkit.form.columns import BOARDS
from sheetkit.page import Address, Cell, Page
from sheetkit.records.job import Board, Place
from sheetkit.records.units import Units
from sheetkit.units import MM, Unit


def rows_of(laid: LaidBoard, place: Place, workbook: Workbook) -> list[int]:
    """Return the rows of a board: it is written again for each further bad length."""
    page, column = workbook.page(place.title), place.columns.get("board", 0)
    rows = [laid.row]
    if page is not None and place.columns.get("bad_from"):
        first = page.cells.get((laid.row, column), Cell()).value
        rows += [
            row
            for (row, number), cell in page.cells.items()
            if number == column
            and row > laid.row
            and cell.value == first
            and first
            and _same(page, place, laid.row, row)
        ]
    return sorted(set(rows))


def _same(page: Page, place: Place, row: int, other: int) -> bool:
    names = ("species", "stock", "width", "length")
    columns = [place.columns.get(name, 0) for name in names]
    return all(
        page.cells.get((row, at), Cell()).value == page.cells.get((other, at), Cell()).value for at in columns
    )


def columns_for(place: Place, names: Iterable[str]) -> tuple[dict[str, int], dict[Address, Cell]]:
    """Return the columns of a table with those that it lacks put at its right, and the headings of these."""
    columns, headings = dict(place.columns), {}
    number = place.edge
    for column in BOARDS.asked:
        if column.name in names and column.name not in columns:
            columns[column.name] = number
            headings[place.heading_row, number] = Cell(column.heading)
            number += 1
    return columns, headings


def marked(place: Place, rows: Sequence[int], names: Iterable[str]) -> dict[Address, Cell]:
    """Return the cells that mark boards as cut."""
    columns, cells = columns_for(place, names)
    return {**cells, **{(row, columns["where"]): Cell("cut") for row in rows}}


def left_mark(mark: str, taken: set[str]) -> str:
    """Return the mark of a board's left-over that no other bears; it counts as taken from now on."""
    number = 1
    while f"{mark}-{number}".casefold() in taken:
        number += 1
    taken.add(f"{mark}-{number}".casefold())
    return f"{mark}-{number}"


def taken_rows(page: Page | None, columns: Sequence[int]) -> list[int]:
    """Return the rows in which something stands in the columns, or that are merged."""
    cells = page.cells.items() if page is not None else ()
    merged = [
        row for block in (page.merged if page else ()) for row in range(block.first_row, block.last_row + 1)
    ]
    return [row for (row, column), cell in cells if column in columns and cell.value is not None] + merged


def lines_of(name: str, board: Board, unit: Unit, where: str, note: str) -> list[dict[str, str | float]]:
    """Return a board as rows of a table, one for each bad length."""
    wood = {"species": board.species.name, "stock": board.stock.name}
    sizes = {"width": typed_size(board.width, unit), "length": typed_size(board.length, unit)}
    notes = "; ".join(filter(None, (board.note, note)))
    line: dict[str, str | float] = {"board": name, **wood, **sizes, "where": where, "note": notes}
    if board.price is not None:
        line["price"] = float(board.price)
    spans = [
        {"bad_from": typed_size(start, unit), "bad_to": typed_size(end, unit)} for start, end in board.bad
    ]
    return [{**line, **span} for span in spans] or [line]


def typed_size(inches: float, unit: Unit) -> float:
    """Return a size as it is typed into a cell, in the job's unit."""
    return Units(unit).either(round(inches, 9), round(inches * MM, 6))


def free_rows(count: int, first: int, taken: Sequence[int]) -> list[int]:
    """Return the first rows from one on that are free.

    >>> free_rows(3, 5, [6, 7])
    [5, 8, 9]
    """
    found: list[int] = []
    row, held = first, set(taken)
    while len(found) < count:
        if row not in held:
            found.append(row)
        row += 1
    return found

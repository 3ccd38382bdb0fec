"""Single cells written into a table of the maker's, repeated rows and cells split where needed."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sheetkit.book.blocks import by_column, met
from sheetkit.book.markup import Element
from sheetkit.book.ods.formula import Titles
from sheetkit.book.ods.looks import Looks
from sheetkit.book.ods.names import MAX_COLUMNS, MAX_ROWS, make
from sheetkit.book.ods.styles import Pool
from sheetkit.book.ods.table import (
    CELL,
    COLUMN,
    COLUMN_HOLDERS,
    COLUMNS_REPEATED,
    COVERED,
    DEFAULT_STYLE,
    NAME,
    ROW,
    ROW_HOLDERS,
    ROWS_REPEATED,
    STYLE_NAME,
    VISIBLE,
    times,
    within,
)
from sheetkit.book.ods.text import PARAGRAPH
from sheetkit.book.ods.value import FORMULA, KIND, MATRIX_COLUMNS, MATRIX_ROWS, clear_value, put_value
from sheetkit.book.workbook import Refused
from sheetkit.page import Address, Cell, Column, Format, Range, cell_name

NO_RESULT = Cell(stale=True)
"""Written over a formula, it takes away the stored result alone."""


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What writing into one table needs to know."""

    title: str
    titles: Titles
    pool: Pool
    looks: Looks
    defaults: list[str]
    blocks: list[Range]
    """Blocks that one formula fills, where some of the cells to be written lie."""


def patch_table(
    table: Element,
    cells: Mapping[Address, Cell],
    pool: Pool,
    looks: Looks,
    titles: Titles,
    fresh: Mapping[int, Column] = MappingProxyType({}),
) -> None:
    """Write cells into a table; what else stands there stays. ``fresh`` columns get their widths.

    Raises
    ------
    Refused
        ``merged cells`` or ``formula block`` when a cell is part of something larger, ``no room`` when it
        lies beyond the last column.
    """
    by_row: dict[int, dict[int, Cell]] = {}
    for (row, column), cell in cells.items():
        if not (1 <= row <= MAX_ROWS and 1 <= column <= MAX_COLUMNS):
            raise Refused("no room", table.get(NAME) or "")
        by_row.setdefault(row, {})[column] = cell
    written = by_column(at for at, cell in cells.items() if cell is not NO_RESULT)
    blocks = [block for block in _blocks(table) if met(block, written)]
    sheet = _Sheet(table.get(NAME) or "", titles, pool, looks, _column_defaults(table), blocks)
    wanted = sorted(by_row)
    at = 0
    number = 1
    for element in _rows(table):
        count = times(element, ROWS_REPEATED)
        while at < len(wanted) and wanted[at] < number + count:
            row = wanted[at]
            at += 1
            if not _changes(element, by_row[row]):
                continue
            _split(element, ROWS_REPEATED, row - number, count)
            _patch_row(element, row, by_row[row], sheet)
            count -= row - number + 1
            number = row + 1
            if not count:
                break
            following = element.getnext()
            assert following is not None
            element = following
        number += count
    _add_rows(table, number, {row: by_row[row] for row in wanted[at:]}, sheet)
    widest = max((column for cells_ in by_row.values() for column in cells_), default=0)
    _widen(table, len(sheet.defaults), widest)
    _set_widths(table, fresh, pool)


def _changes(row: Element, cells: Mapping[int, Cell]) -> bool:
    """Return whether writing these cells into a row changes it: emptying empty cells does not."""
    if any(not _nothing(cell) for cell in cells.values()):
        return True
    column = 1
    for element in row:
        if element.tag in (CELL, COVERED):
            count = times(element, COLUMNS_REPEATED)
            if _holds(element) and any(column <= number < column + count for number in cells):
                return True
            column += count
    return False


def _patch_row(row: Element, number: int, cells: Mapping[int, Cell], sheet: _Sheet) -> None:
    wanted = sorted(cells)
    at = 0
    column = 1
    row_style = row.get(DEFAULT_STYLE)
    for element in [child for child in row if child.tag in (CELL, COVERED)]:
        count = times(element, COLUMNS_REPEATED)
        while at < len(wanted) and wanted[at] < column + count:
            place = wanted[at]
            cell = cells[place]
            at += 1
            if _nothing(cell) and not _holds(element):
                continue
            _split(element, COLUMNS_REPEATED, place - column, count)
            _refuse_part(element, number, place, sheet)
            _write(element, cell, row_style or _default(sheet, place), sheet)
            count -= place - column + 1
            column = place + 1
            if not count:
                break
            following = element.getnext()
            assert following is not None
            element = following
        column += count
    for place in wanted[at:]:
        if _nothing(cells[place]):
            continue
        if place > column:
            row.append(_filler(CELL, COLUMNS_REPEATED, place - column))
        element = _filler(CELL, COLUMNS_REPEATED, 1)
        row.append(element)
        _refuse_part(element, number, place, sheet)
        _write(element, cells[place], row_style or _default(sheet, place), sheet)
        column = place + 1


def _add_rows(table: Element, number: int, rows: Mapping[int, Mapping[int, Cell]], sheet: _Sheet) -> None:
    """Write rows below the last one that the table declares; other things of the table may follow them."""
    kinds = {ROW, COLUMN, *ROW_HOLDERS, *COLUMN_HOLDERS}
    above = next((child for child in reversed(table) if child.tag in kinds), None)
    for row, cells in sorted(rows.items()):
        if all(_nothing(cell) for cell in cells.values()):
            continue
        element = _filler(ROW, ROWS_REPEATED, 1)
        fresh = [element]
        if row > number:
            filler = _filler(ROW, ROWS_REPEATED, row - number)
            filler.append(_filler(CELL, COLUMNS_REPEATED, 1))
            fresh.insert(0, filler)
        for part in fresh:
            if above is None:
                table.insert(0, part)
            else:
                above.addnext(part)
            above = part
        _patch_row(element, row, cells, sheet)
        number = row + 1


def _write(element: Element, cell: Cell, default: str, sheet: _Sheet) -> None:
    look, wrap = cell.style.format, cell.style.wrap
    if (look is not Format.PLAIN or wrap) and not _nothing(cell):
        base = element.get(STYLE_NAME) or default
        other = look if look is not Format.PLAIN and sheet.looks.format(base) is not look else None
        if other or wrap:
            element.set(STYLE_NAME, sheet.pool.derived(base, other, wrap))
    formula = element.get(FORMULA) if cell is NO_RESULT else None
    clear_value(element)
    put_value(element, cell, sheet.titles)
    if formula is not None:
        element.set(FORMULA, formula)


def _refuse_part(element: Element, row: int, column: int, sheet: _Sheet) -> None:
    if element.tag == COVERED:
        raise Refused("merged cells", f"{sheet.title}!{cell_name(row, column)}")
    for block in sheet.blocks:
        if block.__contains__((row, column)):
            raise Refused("formula block", f"{sheet.title}!{cell_name(row, column)}")


def _split(element: Element, attribute: str, before: int, count: int) -> None:
    """Cut a repeated row or cell so that the element stands alone after ``before`` copies of itself."""
    for copies, place in ((before, element.addprevious), (count - before - 1, element.addnext)):
        if copies:
            other = copy.deepcopy(element)
            other.tail = None
            _set_times(other, attribute, copies)
            place(other)
    _set_times(element, attribute, 1)


def _blocks(table: Element) -> list[Range]:
    """Return the blocks that one formula fills."""
    if next(table.iterfind(f".//*[@{MATRIX_ROWS}]"), None) is None:
        return []
    found = []
    number = 1
    for row in _rows(table):
        column = 1
        for element in row:
            if element.tag in (CELL, COVERED):
                if element.get(MATRIX_ROWS) or element.get(MATRIX_COLUMNS):
                    down, right = times(element, MATRIX_ROWS), times(element, MATRIX_COLUMNS)
                    found.append(Range(number, column, number + down - 1, column + right - 1))
                column += times(element, COLUMNS_REPEATED)
        number += times(row, ROWS_REPEATED)
    return found


def _column_defaults(table: Element) -> list[str]:
    defaults: list[str] = []
    for element in within(table, COLUMN, COLUMN_HOLDERS):
        room = MAX_COLUMNS - len(defaults)
        defaults += [element.get(DEFAULT_STYLE) or ""] * min(times(element, COLUMNS_REPEATED), room)
    return defaults


def _default(sheet: _Sheet, column: int) -> str:
    return sheet.defaults[column - 1] if column <= len(sheet.defaults) else ""


def _widen(table: Element, declared: int, needed: int) -> None:
    """Declare the columns that were written beyond those the table knew."""
    if needed <= declared:
        return
    column = _filler(COLUMN, COLUMNS_REPEATED, needed - declared)
    place = -1
    for index, child in enumerate(table):
        if child.tag == COLUMN or child.tag in COLUMN_HOLDERS:
            place = index
        elif child.tag == ROW or child.tag in ROW_HOLDERS:
            if place < 0:
                place = index - 1
            break
    table.insert(place + 1, column)


def _set_widths(table: Element, fresh: Mapping[int, Column], pool: Pool) -> None:
    """Set the widths of columns, and let their words wrap; runs of columns go on around them."""
    for number, column in sorted(fresh.items()):
        first = 1
        for element in list(within(table, COLUMN, COLUMN_HOLDERS)):
            count = times(element, COLUMNS_REPEATED)
            if first <= number < first + count and element.get(VISIBLE, "visible") == "visible":
                _split(element, COLUMNS_REPEATED, number - first, count)
                element.set(STYLE_NAME, pool.column(column.width))
                if column.style.wrap:
                    element.set(
                        DEFAULT_STYLE, pool.derived(element.get(DEFAULT_STYLE) or "", None, wrap=True)
                    )
            first += count


def _rows(table: Element) -> list[Element]:
    """Return the rows of a table in order, through the groups they stand in."""
    return list(within(table, ROW, ROW_HOLDERS))


def _filler(tag: str, attribute: str, count: int) -> Element:
    element = make("table:" + tag.rpartition("}")[2])
    _set_times(element, attribute, count)
    return element


def _nothing(cell: Cell) -> bool:
    """Return whether a cell has neither content nor a format for what is to be typed."""
    empty = cell.formula is None and (cell.value is None or cell.value == "")
    return empty and cell.style.format is Format.PLAIN


def _holds(element: Element) -> bool:
    return (
        element.get(KIND) is not None
        or element.get(FORMULA) is not None
        or element.find(PARAGRAPH) is not None
    )


def _set_times(element: Element, attribute: str, count: int) -> None:
    if count > 1:
        element.set(attribute, str(count))
    else:
        element.attrib.pop(attribute, "")

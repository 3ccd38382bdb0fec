"""The rows of a tab of ours, straight from its page in the looks and texts of the maker's file.

The library that writes the rest of the tab, its shell, would hold every cell once more, and number
texts and looks otherwise than the maker's file does.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from itertools import groupby
from math import isfinite
from operator import itemgetter
from typing import NamedTuple

from sheetkit.book.days import serial
from sheetkit.book.xlsx.finish import ht
from sheetkit.book.xlsx.render import MOST_LINKS
from sheetkit.book.xlsx.strings import Strings
from sheetkit.book.xlsx.value import marked_up
from sheetkit.page import (
    LONGEST_TEXT,
    PLAIN,
    Address,
    Cell,
    CellError,
    Format,
    Page,
    Range,
    Style,
    Value,
    cell_name,
    column_letters,
)

_ROWS = re.compile(rb"<sheetData(?:/>|>.*?</sheetData>)", re.DOTALL)
_EXTENT = re.compile(rb'<dimension ref="[^"]*"/>')
_MERGED = re.compile(rb"<mergeCells .*?</mergeCells>", re.DOTALL)
_LINKS = re.compile(rb"<hyperlinks>.*?</hyperlinks>", re.DOTALL)
_ROW = re.compile(r'<row r="(\d+)"(?: spans="[^"]*")?([^<>]*?)/?>')
_FORMULA = re.compile(r'<c r="([A-Z]+\d+)" s="\d+"((?: [a-z]+="[a-z0-9]+")*><f[ >].*?</c>)', re.DOTALL)
_CALLED = re.compile(r"([A-Za-z0-9_.]+)\(")
_OLD_FUNCTIONS = frozenset(("ABS", "AND", "IF", "INDEX", "MATCH", "MAX", "MIN", "NOT", "OR", "ROUND", "SUM"))
"""Functions that are written as they are called; the library knows how each of the later ones is."""
_BLOCK = 16
"""Rows that share one hint at the columns they fill."""


class _Row(NamedTuple):
    """A row of cells: the first and last of its columns, and the cells as they stand in the file."""

    first: int
    last: int
    cells: str


def shell_of(page: Page) -> Page:
    """Return what the library needs of a page: formulas, one link and one merged block, heights of rows."""
    cells = {at: cell._replace(link=None) for at, cell in page.cells.items() if _is_left(cell)}
    linked = next((at for at, cell in page.cells.items() if cell.link is not None), None)
    if linked is not None:
        cells[linked] = cells.get(linked, Cell())._replace(link=page.cells[linked].link)
    merged = tuple(_blocks(page)[:1])
    return replace(page, key="", cells=cells, heights=_shell_heights(page), merged=merged)


def styles_of(pages: Iterable[Page]) -> list[Style]:
    """Return every style that cells of these pages are written in, once."""
    objects = {id(PLAIN): PLAIN}
    dated: dict[Style, None] = {}
    for page in pages:
        for cell in page.cells.values():
            objects[id(cell.style)] = cell.style
            if isinstance(cell.value, date):
                dated[_dated(cell.style)] = None
    return list(dict.fromkeys(objects.values()) | dated)


def laid_out(shell: bytes, page: Page, look: Callable[[Style], int], strings: Strings) -> bytes:
    """Return a tab: its shell with all rows and links put in.

    Raises
    ------
    ValueError
        For what a cell cannot hold.
    """
    cells = _with_merged(page)
    old = _ROWS.search(shell)
    assert old is not None
    if not cells and not page.heights:
        return shell
    said = old[0].decode()
    made = _rows(cells, dict(_FORMULA.findall(said)), look, strings)
    spans = _spans(made)
    standing = _shell_heights(page)
    told = {int(row): tail for row, tail in _ROW.findall(said) if int(row) in standing}
    tails = {standing[row]: tail for row, tail in told.items()}
    own = told if page.folded_rows else {}
    pieces = []
    for row in sorted(made.keys() | page.heights.keys()):
        tail = own.get(row) or (tails[page.heights[row]] if row in page.heights else "")
        tail = tail or ht(page.grown.get(row)).decode()
        tag = f'<row r="{row}"{spans.get((row - 1) // _BLOCK, "")}{tail}'
        pieces.append(f"{tag}>{made[row].cells}</row>" if row in made else f"{tag}/>")
    before = _EXTENT.sub(_extent(page, made), shell[: old.start()])
    after = _MERGED.sub(lambda _: _merged(page), shell[old.end() :])
    after = _LINKS.sub(lambda _: _links(page), after)
    return b"".join([before, b"<sheetData>", "".join(pieces).encode(), b"</sheetData>", after])


def _rows(
    cells: Mapping[Address, Cell],
    formulas: Mapping[str, str],
    look: Callable[[Style], int],
    strings: Strings,
) -> dict[int, _Row]:
    """Return each row that holds cells."""
    looks: dict[int, int] = {}  # by the object that a style is: telling equal ones costs more than a cell
    letters: dict[int, str] = {}
    made: dict[int, _Row] = {}
    for row, group in groupby(sorted(cells), itemgetter(0)):
        addresses = list(group)
        pieces = []
        # The innermost loop of writing: written for speed.
        for address in addresses:
            cell = cells[address]
            value, _, style, *_ = cell
            number = looks.get(id(style))
            if number is None:
                number = looks[id(style)] = look(style)
            column = address[1]
            letter = letters.get(column) or letters.setdefault(column, column_letters(column))
            if type(value) is str and value and cell.formula is None:
                content = f' t="s"><v>{strings.add(_text(value))}</v></c>'
            elif type(value) is float and cell.formula is None and isfinite(value):
                content = f"><v>{value:.16G}</v></c>"
            elif _is_left(cell):
                content = formulas[f"{letter}{row}"]
            elif cell.formula is not None:
                content = f"><f>{marked_up(cell.formula)}</f><v>{_finite(value)}</v></c>"
            else:
                if isinstance(value, date):
                    number = look(_dated(style))
                content = _content(value)
            pieces.append(f'<c r="{letter}{row}" s="{number}"{content}')
        made[row] = _Row(addresses[0][1], addresses[-1][1], "".join(pieces))
    return made


def _content(value: Value) -> str:
    """Return the end of a cell that holds neither a text nor a formula."""
    if value is None or value == "":
        return "/>"
    if isinstance(value, bool):
        return f' t="b"><v>{value:d}</v></c>'
    return f"><v>{_finite(serial(value) if isinstance(value, date) else value):.16G}</v></c>"


def _finite(value: Value) -> float:
    if not isinstance(value, int | float) or not isfinite(value):
        raise ValueError(f"not a number that a cell can hold: {value}")
    return value


def _is_left(cell: Cell) -> bool:
    """Return whether the library writes a cell: it knows what errors and most functions want."""
    return isinstance(cell.value, CellError) or (cell.formula is not None and not _is_plain(cell))


def _is_plain(cell: Cell) -> bool:
    """Return whether a formula of nothing but old functions stands there, with a number as its result."""
    formula = cell.formula or ""
    return (
        type(cell.value) in (int, float)
        and not cell.stale
        and not cell.array
        and formula[:1] not in ("", "=", "{")
        and formula[-1:] != "}"
        and _OLD_FUNCTIONS.issuperset(_CALLED.findall(formula))
    )


def _text(text: str) -> str:
    """Return a text, refusing one that is too long; the file counts what a short text cannot exceed."""
    if len(text) > LONGEST_TEXT // 2 and len(text.encode("utf-16-le", "surrogatepass")) // 2 > LONGEST_TEXT:
        raise ValueError(f"a cell holds at most {LONGEST_TEXT:,} characters")
    return text


def _dated(style: Style) -> Style:
    return replace(style, format=Format.DATE) if style.format is Format.PLAIN else style


def _shell_heights(page: Page) -> Mapping[int, float]:
    """Return the rows whose heights the shell tells: in place beside pictures and folds, else one of each."""
    return (
        page.heights
        if page.pictures or page.folded_rows
        else dict(enumerate(dict.fromkeys(page.heights.values()), 1))
    )


def _with_merged(page: Page) -> Mapping[Address, Cell]:
    """Return a page's cells, and those that lie empty under merged ones in the look of their corner."""
    blocks = _blocks(page)
    if not blocks:
        return page.cells
    cells = dict(page.cells)
    for block in blocks:
        empty = Cell(style=page.cells.get(block[:2], Cell()).style)
        for row in range(block.first_row, block.last_row + 1):
            for column in range(block.first_column, block.last_column + 1):
                cells.setdefault((row, column), empty)
    return cells


def _spans(made: Mapping[int, _Row]) -> dict[int, str]:
    """Return the hint of each block of rows at the columns they fill."""
    most: dict[int, tuple[int, int]] = {}
    for row, (first, last, _) in made.items():
        block = (row - 1) // _BLOCK
        left, right = most.get(block, (first, last))
        most[block] = (min(left, first), max(right, last))
    return {block: f' spans="{first}:{last}"' for block, (first, last) in most.items()}


def _extent(page: Page, made: Mapping[int, _Row]) -> bytes:
    """Return the extent that the tab claims: cells, rows with a height, and columns with a look."""
    columns = {number for number, column in page.columns.items() if column.style != PLAIN}
    if page.heights and not columns:
        columns.add(1)
    columns.update(column for row in made.values() for column in (row.first, row.last))
    rows = page.heights.keys() | made.keys()
    first = cell_name(min(rows), min(columns))
    last = cell_name(max(rows), max(columns))
    return f'<dimension ref="{first if first == last else f"{first}:{last}"}"/>'.encode()


def _blocks(page: Page) -> list[Range]:
    """Return the blocks of merged cells."""
    return [block for block in page.merged if block[:2] != block[2:]]


def _merged(page: Page) -> bytes:
    """Return the list of merged cells."""
    places = [
        f"{cell_name(top, left)}:{cell_name(bottom, right)}" for top, left, bottom, right in _blocks(page)
    ]
    lines = "".join([f'<mergeCell ref="{place}"/>' for place in places])
    return f'<mergeCells count="{len(places)}">{lines}</mergeCells>'.encode()


def _links(page: Page) -> bytes:
    """Return the list of links to places in the workbook."""
    linked = sorted((at, cell.link) for at, cell in page.cells.items() if cell.link is not None)
    places = ((at, marked_up(link).replace('"', "&quot;")) for at, link in linked[:MOST_LINKS])
    lines = [f'<hyperlink ref="{cell_name(*at)}" location="{place}" display=""/>' for at, place in places]
    return f"<hyperlinks>{''.join(lines)}</hyperlinks>".encode()

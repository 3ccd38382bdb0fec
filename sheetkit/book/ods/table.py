"""A Page as a table element."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from types import MappingProxyType

from lxml import etree

from sheetkit.book.markup import Element
from sheetkit.book.ods.formula import Titles, block_address
from sheetkit.book.ods.names import MAX_ROWS, NAMESPACES, OURS, make, name
from sheetkit.book.ods.styles import Pool
from sheetkit.book.ods.text import clean
from sheetkit.book.ods.validation import REFERENCE, Validations
from sheetkit.book.ods.value import put_value
from sheetkit.book.pictures import name_of_ours
from sheetkit.page import Address, Cell, Choice, Fold, Page, Picture, Style

TABLE, NAME = name("table:table"), name("table:name")
COLUMN, ROW = name("table:table-column"), name("table:table-row")
CELL, COVERED = name("table:table-cell"), name("table:covered-table-cell")
COLUMNS_REPEATED, ROWS_REPEATED = name("table:number-columns-repeated"), name("table:number-rows-repeated")
STYLE_NAME, DEFAULT_STYLE = name("table:style-name"), name("table:default-cell-style-name")
COLUMNS_SPANNED, ROWS_SPANNED = name("table:number-columns-spanned"), name("table:number-rows-spanned")
SHAPES = name("table:shapes")
HEADER_ROWS, PRINT_RANGES = name("table:table-header-rows"), name("table:print-ranges")
PRINTS = name("table:print")
ROW_GROUP, COLUMN_GROUP = name("table:table-row-group"), name("table:table-column-group")
DISPLAY, VISIBLE = name("table:display"), name("table:visibility")
ROW_HOLDERS = frozenset(
    (HEADER_ROWS, name("table:table-row-group"), name("table:table-rows"), name("text:soft-page-break"))
)
COLUMN_HOLDERS = frozenset(
    name(f"table:{kind}") for kind in ("table-columns", "table-header-columns", "table-column-group")
)

USUAL_COLUMNS = 1024
"""Columns declared: what every release of LibreOffice can hold."""
_COUNT = re.compile("[0-9]{1,18}")
_PREFIXES = ("table", "office", "text", "style", "draw", "svg", "xlink", "calcext", "of")


def times(element: Element, attribute: str) -> int:
    """Return how often an element stands there, or how far it reaches; once where it does not say."""
    text = element.get(attribute)
    if text is None:
        return 1
    return max(1, int(text)) if _COUNT.fullmatch(text) else 1


def within(element: Element, tag: str, holders: frozenset[str]) -> Iterator[Element]:
    """Yield the elements of a kind below one, not those of tables inside its cells."""
    stack = [iter(element)]
    while stack:
        child = next(stack[-1], None)
        if child is None:
            stack.pop()
        elif child.tag == tag:
            yield child
        elif child.tag in holders:
            stack.append(iter(child))


@dataclass
class Target:
    """Where tables are put: the document's styles, validations and pictures, and the titles its tabs bear."""

    pool: Pool
    validations: Validations
    titles: Titles
    pictures: dict[str, bytes] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Draft:
    """A page with its cells put in order, on the way into a table."""

    page: Page
    title: str
    target: Target
    rows: dict[int, list[tuple[int, Cell]]]
    pictures: dict[Address, list[Element]]
    spans: dict[tuple[int, int], tuple[int, int]]
    covered: frozenset[tuple[int, int]]
    apart: dict[int, list[int]]
    """Row -> columns of the cells that are covered, span others or bear a picture."""
    columns: int


def table_element(
    page: Page,
    title: str,
    master: str,
    target: Target,
    shapes: Sequence[Element] = (),
    laid: Mapping[Address, Sequence[Element]] = MappingProxyType({}),
) -> Element:
    """Return the table of a page under this title, printed on this master page.

    ``shapes`` lie over all of it, ``laid`` are held by cells.
    """
    draft = _drafted(page, title, target, laid)
    table = etree.Element(TABLE, nsmap={prefix: NAMESPACES[prefix] for prefix in _PREFIXES})
    table.set(NAME, title)
    table.set(STYLE_NAME, target.pool.table(master, page.color))
    if not page.print.with_book:
        # a range would print with the book all the same
        table.set(PRINTS, "false")
    elif page.print.area:
        table.set(PRINT_RANGES, block_address(title, page.print.area))
    if shapes:
        etree.SubElement(table, SHAPES).extend(shapes)
    _put_columns(table, draft)
    header: Element | None = None
    first, last = page.print.repeat_rows or (0, -1)
    for row, count in _intervals(draft):
        parent = table
        if fold := _fold_at(row, page.folded_rows):
            parent = _group(table, ROW_GROUP, fold, row)
        elif first <= row <= last:
            header = etree.SubElement(table, HEADER_ROWS) if header is None else header
            parent = header
        _put_row(parent, draft, row, count)
    return table


def _drafted(page: Page, title: str, target: Target, laid: Mapping[Address, Sequence[Element]]) -> _Draft:
    rows: dict[int, list[tuple[int, Cell]]] = {}
    for (row, column), cell in sorted(page.cells.items()):
        rows.setdefault(row, []).append((column, cell))
    pictures: dict[Address, list[Element]] = {}
    for number, picture in enumerate(page.pictures, 1):
        frame = _frame(picture, target, name_of_ours(page.key, number) if page.key else "")
        pictures.setdefault((picture.row, picture.column), []).append(frame)
    for at, things in laid.items():
        pictures.setdefault(at, []).extend(things)
    spans: dict[tuple[int, int], tuple[int, int]] = {}
    covered: set[tuple[int, int]] = set()
    for block in page.merged:
        corner = block.first_row, block.first_column
        spans[corner] = block.last_row - block.first_row + 1, block.last_column - block.first_column + 1
        covered.update(
            (row, column)
            for row in range(block.first_row, block.last_row + 1)
            for column in range(block.first_column, block.last_column + 1)
            if (row, column) != corner
        )
    widest = max(
        page.last_column,
        max(page.columns, default=0),
        max((choice.where.last_column for choice in page.choices), default=0),
        max((block.last_column for block in page.merged), default=0),
        max((column for _, column in pictures), default=0),
    )
    apart: dict[int, list[int]] = {}
    for row, column in (*covered, *spans, *pictures):
        apart.setdefault(row, []).append(column)
    return _Draft(
        page, title, target, rows, pictures, spans, frozenset(covered), apart, max(widest, USUAL_COLUMNS)
    )


def _intervals(draft: _Draft) -> Iterator[tuple[int, int]]:
    """Yield each run of rows that are alike, to the last row of the sheet: its first row and their number."""
    page = draft.page
    special = {*draft.rows, *page.heights}
    special.update(draft.apart)
    special.update(row + 1 for row in page.print.breaks)
    starts = {1, *special, *(row + 1 for row in special)}
    blocks = [(choice.where.first_row, choice.where.last_row) for choice in page.choices]
    if page.print.repeat_rows:
        blocks.append(page.print.repeat_rows)
    blocks += [(fold.first, fold.last) for fold in page.folded_rows]
    for first, last in blocks:
        starts.update((first, last + 1))
    ordered = [*sorted(row for row in starts if row <= MAX_ROWS), MAX_ROWS + 1]
    for row, after in pairwise(ordered):
        yield row, after - row


def _put_columns(table: Element, draft: _Draft) -> None:
    pool = draft.target.pool
    element: Element | None = None
    last: object = None
    count = 0
    for number in range(1, draft.columns + 1):
        column = draft.page.columns.get(number)
        fold = _fold_at(number, draft.page.folded_columns)
        if element is None or (column, fold) != last:
            _repeat(element, COLUMNS_REPEATED, count)
            element = etree.SubElement(_group(table, COLUMN_GROUP, fold, number) if fold else table, COLUMN)
            if column is not None:
                element.set(STYLE_NAME, pool.column(column.width))
                element.set(DEFAULT_STYLE, pool.cell(column.style))
            if fold:
                element.set(VISIBLE, "collapse")
            last, count = (column, fold), 0
        count += 1
    _repeat(element, COLUMNS_REPEATED, count)


def _fold_at(number: int, folds: Iterable[Fold]) -> Fold | None:
    return next((fold for fold in folds if fold.first <= number <= fold.last), None)


def _group(table: Element, tag: str, fold: Fold, number: int) -> Element:
    """Return the group of rows or columns that fold together: a new one at its first, else the last begun."""
    if number > fold.first:
        return next(child for child in reversed(table) if child.tag == tag)
    return etree.SubElement(table, tag, {DISPLAY: "false"})


def _put_row(parent: Element, draft: _Draft, row: int, count: int) -> None:
    element = etree.SubElement(parent, ROW)
    page = draft.page
    if _fold_at(row, page.folded_rows):
        element.set(VISIBLE, "collapse")
    element.set(STYLE_NAME, draft.target.pool.row(page.heights.get(row), row - 1 in page.print.breaks))
    _repeat(element, ROWS_REPEATED, count)
    choices = [choice for choice in page.choices if choice.where.first_row <= row <= choice.where.last_row]
    cells = dict(draft.rows.get(row, ()))
    starts = {1, *cells, *(column + 1 for column in cells)}
    for choice in choices:
        starts.update((choice.where.first_column, choice.where.last_column + 1))
    if count == 1:
        starts.update(column + step for column in draft.apart.get(row, ()) for step in (0, 1))
    ordered = [*sorted(column for column in starts if column <= draft.columns), draft.columns + 1]
    for column, after in pairwise(ordered):
        _put_cell(element, draft, row, column, after - column, cells.get(column), choices)


def _put_cell(
    parent: Element,
    draft: _Draft,
    row: int,
    column: int,
    count: int,
    cell: Cell | None,
    choices: list[Choice],
) -> None:
    place = row, column
    target = draft.target
    hidden = place in draft.covered
    element = etree.SubElement(parent, COVERED if hidden else CELL)
    if cell is not None and cell.style != _column_style(draft.page, column):
        element.set(STYLE_NAME, target.pool.cell(cell.style))
    _repeat(element, COLUMNS_REPEATED, count)
    for choice in choices:
        if choice.where.first_column <= column <= choice.where.last_column:
            element.set(REFERENCE, target.validations.name_of(choice, draft.title, target.titles))
            break
    if place in draft.spans:
        rows, columns = draft.spans[place]
        element.set(COLUMNS_SPANNED, str(columns))
        element.set(ROWS_SPANNED, str(rows))
    element.extend(draft.pictures.get(place, ()))
    if cell is not None and not hidden:
        put_value(element, cell, target.titles)


def _column_style(page: Page, column: int) -> Style | None:
    """Return the look that a cell without a style of its own takes; unknown where the column has none."""
    found = page.columns.get(column)
    return None if found is None else found.style


def _frame(picture: Picture, target: Target, label: str) -> Element:
    entry = f"Pictures/{OURS}{hashlib.sha256(picture.png).hexdigest()[:20]}.png"
    target.pictures[entry] = picture.png
    link = {"xlink:href": entry, "xlink:type": "simple", "xlink:show": "embed", "xlink:actuate": "onLoad"}
    place = {"svg:x": "0in", "svg:y": "0in"}
    size = {"svg:width": f"{picture.width / 72:.4f}in", "svg:height": f"{picture.height / 72:.4f}in"}
    known = {"draw:name": label} if label else {}
    frame = make("draw:frame", {"draw:z-index": "0", **known, **size, **place}, make("draw:image", link))
    for kind in ("svg:title", "svg:desc"):
        words = make(kind)
        words.text = clean(picture.alt)
        frame.append(words)
    return frame


def _repeat(element: Element | None, attribute: str, count: int) -> None:
    if element is not None and count > 1:
        element.set(attribute, str(count))

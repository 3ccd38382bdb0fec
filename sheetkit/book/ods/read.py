"""An .ods file as a Workbook."""

from __future__ import annotations

import io
from collections.abc import Iterator

from lxml import etree

from sheetkit.book.markup import Element, plain, tree
from sheetkit.book.ods.formula import from_open
from sheetkit.book.ods.looks import Looks
from sheetkit.book.ods.marks import EXPRESSIONS, Marks, marks_of
from sheetkit.book.ods.names import MAX_COLUMNS, name
from sheetkit.book.ods.opening import CONTENT, SETTINGS, STYLES, opened
from sheetkit.book.ods.settings import frozen_of
from sheetkit.book.ods.table import (
    CELL,
    COLUMN,
    COLUMNS_REPEATED,
    COLUMNS_SPANNED,
    COVERED,
    DEFAULT_STYLE,
    NAME,
    ROW,
    ROWS_REPEATED,
    ROWS_SPANNED,
    STYLE_NAME,
    TABLE,
)
from sheetkit.book.ods.text import link_of
from sheetkit.book.ods.value import FORMULA, KIND, value_of
from sheetkit.book.package import Package
from sheetkit.book.workbook import Refused, Workbook
from sheetkit.page import Address, Cell, Column, Page, Range

MOST_COPIES = 100_000
"""How often a row or cell that holds something may be repeated."""
MOST_CELLS = 4_000_000
"""How many cells that hold something a workbook may have."""

SPREADSHEET = name("office:spreadsheet")
_AUTOMATIC = name("office:automatic-styles")
_PROTECTED, _STRUCTURE = name("table:protected"), name("table:structure-protected")
_EXTERNAL = "'#"
"""In a title: the hidden copy of another file's tab, kept for formulas that refer to it."""


def read(data: bytes) -> Workbook:
    """Read an .ods workbook.

    Raises
    ------
    Refused
        When the file cannot be worked on.
    """
    package = opened(data)
    try:
        return _workbook(package)
    except RecursionError as error:
        raise Refused("damaged", CONTENT) from error


class _Tab:
    """A table while it is being read."""

    def __init__(self, element: Element) -> None:
        self.element = element
        self.title = element.get(NAME) or ""
        self.cells: dict[Address, Cell] = {}
        self.merged: list[Range] = []
        self.columns: dict[int, tuple[str, str]] = {}
        self.defaults: list[str] | None = None
        self.heights: list[tuple[int, int, float]] = []
        self.row = 1


def _workbook(package: Package) -> Workbook:
    groups = _style_groups(package)
    looks: Looks | None = None
    tabs: list[_Tab] = []
    expressions: list[Element] = []
    current: _Tab | None = None
    depth = held = 0
    locked = found = False
    for event, element in _events(package.read(CONTENT)):
        tag = element.tag
        if tag == ROW:
            if depth == 1 and current is not None and looks is not None:
                _read_row(current, element, looks, MOST_CELLS - held)
                element.clear()
        elif tag == TABLE:
            if event == "start":
                depth += 1
                parent = element.getparent()
                if parent is not None and parent.tag == SPREADSHEET:
                    depth = 1
                    current = None if is_external(element) else _Tab(element)
                    locked |= element.get(_PROTECTED) == "true"
            else:
                depth -= 1
                if depth == 0 and current is not None:
                    held += len(current.cells)
                    tabs.append(current)
                    current = None
        elif tag == SPREADSHEET:
            found = True
            if event == "start":
                groups += [group for group in element.getroottree().iter(_AUTOMATIC)]
                looks = Looks(groups)
                locked |= element.get(_STRUCTURE) == "true"
        elif event == "end":
            parent = element.getparent()
            if parent is not None and parent.tag == SPREADSHEET:
                expressions = list(element)
    if not found:
        raise Refused("not a workbook")
    if not tabs or looks is None:
        raise Refused("no sheets")
    marks = marks_of(expressions, [tab.title for tab in tabs])
    frozen = frozen_of(tree(package.read(SETTINGS), SETTINGS)) if SETTINGS in package else {}
    pages = tuple(_page(tab, looks, marks, frozen.get(tab.title)) for tab in tabs)
    return Workbook(pages, marks.owned, marks.columns, marks.notes, locked)


def is_external(table: Element) -> bool:
    """Say whether a table is the hidden copy of another file's tab."""
    return _EXTERNAL in (table.get(NAME) or "") and (table.get(NAME) or "").startswith("'")


def _style_groups(package: Package) -> list[Element]:
    if STYLES not in package:
        return []
    return [part for part in tree(package.read(STYLES), STYLES) if isinstance(part.tag, str)]


def _events(content: bytes) -> Iterator[tuple[str, Element]]:
    events = etree.iterparse(
        io.BytesIO(plain(content)),
        events=("start", "end"),
        tag=(TABLE, ROW, SPREADSHEET, EXPRESSIONS),
        resolve_entities=False,
        no_network=True,
        huge_tree=True,
    )
    try:
        for event, element in events:
            if event == "end" or element.tag != ROW:
                yield event, element
    except etree.XMLSyntaxError as error:
        raise Refused("damaged", f"{CONTENT}: {error}") from error


def _read_row(tab: _Tab, row: Element, looks: Looks, room: int) -> None:
    count = _times(row, ROWS_REPEATED)
    defaults = tab.defaults
    if defaults is None:
        defaults = tab.defaults = _read_columns(tab)
    row_style = row.get(DEFAULT_STYLE)
    number, column = tab.row, 1
    cells, look = tab.cells, looks.cell
    for element in row:
        tag = element.tag
        if tag != CELL:
            if tag == COVERED:
                column += _times(element, COLUMNS_REPEATED)
            continue
        times = _times(element, COLUMNS_REPEATED) if element.get(COLUMNS_REPEATED) else 1
        if element.get(COLUMNS_SPANNED) or element.get(ROWS_SPANNED):
            _read_span(tab, element, number, column)
        kind = element.get(KIND)
        if kind is None and not len(element) and element.get(FORMULA) is None:
            column += times
            continue
        formula = element.get(FORMULA)
        value, stale = value_of(element, kind, formula)
        if value is not None or formula is not None:
            if times > MOST_COPIES or count > MOST_COPIES or times * count > room - len(cells):
                raise Refused("too large", tab.title)
            label = element.get(STYLE_NAME) or row_style
            if label is None:
                label = defaults[column - 1] if column <= len(defaults) else ""
            cell = Cell(
                value,
                None if formula is None else from_open(formula),
                look(label, kind == "percentage"),
                link_of(element) if len(element) and len(element[0]) else None,
                stale,
            )
            if times == count == 1:
                cells[number, column] = cell
            else:
                for down in range(count):
                    for right in range(times):
                        cells[number + down, column + right] = cell
        column += times
    height = looks.height(row.get(STYLE_NAME) or "")
    if height is not None:
        tab.heights.append((number, count, height))
    tab.row += count


def _read_columns(tab: _Tab) -> list[str]:
    """Read the column declarations; give the style name of unfilled cells by column."""
    defaults: list[str] = []
    for element in tab.element.iter(COLUMN):
        count = min(_times(element, COLUMNS_REPEATED), MAX_COLUMNS - len(defaults))
        width, style = element.get(STYLE_NAME) or "", element.get(DEFAULT_STYLE) or ""
        first = len(defaults) + 1
        defaults += [style] * count
        if width or style:
            tab.columns.update(dict.fromkeys(range(first, first + count), (width, style)))
    return defaults


def _read_span(tab: _Tab, element: Element, row: int, column: int) -> None:
    right, down = _times(element, COLUMNS_SPANNED) - 1, _times(element, ROWS_SPANNED) - 1
    if right or down:
        tab.merged.append(Range(row, column, row + down, column + right))


def _page(tab: _Tab, looks: Looks, marks: Marks, freeze: Address | None) -> Page:
    if tab.defaults is None:
        tab.defaults = _read_columns(tab)
    last_row = max((row for row, _ in tab.cells), default=0)
    last_column = max((column for _, column in tab.cells), default=0)
    heights = {
        row: height
        for first, count, height in tab.heights
        for row in range(first, min(first + count - 1, last_row) + 1)
    }
    columns: dict[int, Column] = {}
    # The run of like columns to the end of the sheet says nothing about any one of them.
    end = tab.columns.get(len(tab.defaults))
    far = max((number for number, said in tab.columns.items() if said != end), default=0)
    for number, (width_name, style_name) in tab.columns.items():
        width = looks.width(width_name)
        if width is not None and number <= max(far, last_column):
            columns[number] = Column(width, looks.cell(style_name))
    key = next((key for key, title in marks.owned.items() if title == tab.title), "")
    names = {label: address for label, (title, address) in marks.names.items() if title == tab.title}
    return Page(tab.title, tab.cells, key, columns, heights, freeze, tuple(tab.merged), names=names)


def _times(element: Element, attribute: str) -> int:
    text = element.get(attribute)
    if text is None:
        return 1
    try:
        return max(1, int(text))
    except ValueError:
        return 1

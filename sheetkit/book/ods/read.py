"""An .ods file as a Workbook."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from typing import cast

from lxml import etree

from sheetkit.book.markup import Element, bounded, damaged, plain, tree
from sheetkit.book.ods.formula import from_open
from sheetkit.book.ods.looks import Looks
from sheetkit.book.ods.marks import EXPRESSIONS, Marks, marks_of, meanings
from sheetkit.book.ods.names import MAX_COLUMNS, MAX_ROWS, NAMESPACES, name
from sheetkit.book.ods.opening import CONTENT, MOST_CONTENT, SETTINGS, STYLES, opened
from sheetkit.book.ods.settings import frozen_of
from sheetkit.book.ods.table import (
    CELL,
    COLUMN,
    COLUMN_HOLDERS,
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
    times,
    within,
)
from sheetkit.book.ods.text import EXTENDED_KIND, STRING, link_of, plain_words
from sheetkit.book.ods.value import FORMULA, KIND, MATRIX_COLUMNS, MATRIX_ROWS, NUMBER, number_of, value_of
from sheetkit.book.package import Held, Package
from sheetkit.book.workbook import Refused, Workbook
from sheetkit.page import Address, Cell, Column, Page, Range, Value

MOST_COPIES = 100_000
"""How often a row or cell that holds something may be repeated."""
MOST_CELLS = 1_000_000
"""How many cells that hold something a workbook may have."""
MOST_LIKE_ROWS = 1_000
"""A longer run of like rows says nothing about those in it that are empty."""

SPREADSHEET = name("office:spreadsheet")
_AUTOMATIC = name("office:automatic-styles")
_DRAWN = f"{{{NAMESPACES['draw']}}}*"
_VISIBILITY, _DISPLAY = name("table:visibility"), name("table:display")
_PROTECTED, _STRUCTURE = name("table:protected"), name("table:structure-protected")
_FIRST_DAY = f"{name('table:calculation-settings')}/{name('table:null-date')}"
_DATE = name("table:date-value")
_EXTERNAL = "'#"
"""In a title: the hidden copy of another file's tab, kept for formulas that refer to it."""


def read(data: Held, *, own: bool = False) -> Workbook:
    """Read an .ods workbook; with ``own``, the cells of our own tabs alone.

    Raises
    ------
    Refused
        When the file cannot be worked on.
    """
    package = opened(data)
    try:
        return _workbook(package, _own_titles(package) if own else None)
    except RecursionError as error:
        raise Refused("damaged", CONTENT) from error


class _Tab:
    """A table while it is being read."""

    def __init__(self, element: Element) -> None:
        self.element = element
        self.title = element.get(NAME) or ""
        self.cells: dict[Address, Cell] = {}
        self.merged: list[Range] = []
        self.blocks: dict[Address, Range] = {}
        self.columns: dict[int, tuple[str, str]] = {}
        self.defaults: list[str] | None = None
        self.heights: list[tuple[int, int, float]] = []
        self.hidden_rows: list[range] = []
        self.hidden_columns: list[range] = []
        self.row = 1
        self.laid_over = next(element.iter(_DRAWN), None) is not None


class _Tabs:
    """The tabs of a document while it is being read."""

    def __init__(self) -> None:
        self.all: list[_Tab] = []
        self.held = 0
        """Cells in those that have been read to their end."""
        self._holder: Element | None = None
        self._tab: _Tab | None = None

    def end(self, table: Element) -> None:
        """Note that a table has been read to its end; one without rows is a tab as well."""
        if _is_ordinary(table) and (not self.all or self.all[-1].element is not table):
            self.all.append(_Tab(table))
        self._holder = None

    def of(self, row: Element) -> _Tab | None:
        """Return the tab that a row belongs to, None when it is in no ordinary table."""
        parent = row.getparent()
        if parent is not self._holder:
            self._holder, self._tab = parent, None
            table = _table_of(row)
            if table is not None and _is_ordinary(table):
                self._tab = self._begun(table)
        return self._tab

    def _begun(self, table: Element) -> _Tab:
        if not self.all or self.all[-1].element is not table:
            self.held += len(self.all[-1].cells) if self.all else 0
            self.all.append(_Tab(table))
        return self.all[-1]


def _own_titles(package: Package) -> frozenset[str]:
    """Return the titles of our tabs, which the names behind all tabs tell."""
    titles: list[str] = []
    owned: frozenset[str] = frozenset()
    for element in _ends(package.read(CONTENT), (TABLE, ROW, EXPRESSIONS)):
        parent = element.getparent()
        if element.tag == TABLE and _is_ordinary(element):
            titles.append(element.get(NAME) or "")
        elif element.tag == EXPRESSIONS and parent is not None and parent.tag == SPREADSHEET:
            owned = frozenset(marks_of(element, titles).owned.values())
        elif element.tag == ROW:
            element.clear()
    return owned


def _workbook(package: Package, wanted: frozenset[str] | None) -> Workbook:
    groups = _style_groups(package)
    looks: Looks | None = None
    tabs = _Tabs()
    spreadsheet: Element | None = None
    for element in _ends(package.read(CONTENT), (TABLE, ROW, SPREADSHEET)):
        if element.tag == SPREADSHEET:
            spreadsheet = element
        elif element.tag == TABLE:
            tabs.end(element)
        elif (tab := tabs.of(element)) is not None:
            if looks is None:
                looks = Looks([*groups, *element.getroottree().iter(_AUTOMATIC)])
            if wanted is None or tab.title in wanted:
                _read_row(tab, element, looks, MOST_CELLS - tabs.held)
            element.clear()
    if spreadsheet is None:
        raise Refused("not a workbook")
    if not tabs.all:
        raise Refused("no sheets")
    looks = looks or Looks([*groups, *spreadsheet.getroottree().iter(_AUTOMATIC)])
    return _finished(package, spreadsheet, tabs.all, looks)


def _finished(package: Package, spreadsheet: Element, tabs: Sequence[_Tab], looks: Looks) -> Workbook:
    """Return the workbook of the tabs read, with what is said of them elsewhere in the file."""
    protected = any(tab.element.get(_PROTECTED) == "true" for tab in tabs)
    locked = protected or spreadsheet.get(_STRUCTURE) == "true"
    expressions = spreadsheet.find(EXPRESSIONS)
    marks = marks_of([] if expressions is None else expressions, [tab.title for tab in tabs])
    frozen = frozen_of(tree(package.read(SETTINGS), SETTINGS)) if SETTINGS in package else {}
    pages = tuple(_page(tab, looks, marks, frozen.get(tab.title)) for tab in tabs)
    start = spreadsheet.find(_FIRST_DAY)
    date1904 = start is not None and start.get(_DATE, "").startswith("1904")
    names = meanings(spreadsheet)
    return Workbook(pages, marks.owned, marks.columns, marks.notes, locked, names, date1904)


def is_external(table: Element) -> bool:
    """Return whether a table is the hidden copy of another file's tab."""
    return _EXTERNAL in (table.get(NAME) or "") and (table.get(NAME) or "").startswith("'")


def _is_ordinary(table: Element) -> bool:
    """Return whether a table is a tab, and not one inside a cell, a change history or a link."""
    parent = table.getparent()
    return parent is not None and parent.tag == SPREADSHEET and not is_external(table)


def _table_of(row: Element) -> Element | None:
    return next(row.iterancestors(TABLE), None)


def _style_groups(package: Package) -> list[Element]:
    if STYLES not in package:
        return []
    return [part for part in tree(package.read(STYLES), STYLES) if isinstance(part.tag, str)]


def _ends(content: bytes, tags: Sequence[str]) -> Iterator[Element]:
    """Yield each element of these kinds as soon as it has been read to its end."""
    events = etree.iterparse(
        io.BytesIO(plain(bounded(content, CONTENT, MOST_CONTENT))),
        events=("end",),
        tag=tags,
        resolve_entities=False,
        no_network=True,
        huge_tree=True,
    )
    try:
        for _, element in events:
            yield element
    except etree.XMLSyntaxError as error:
        raise damaged(CONTENT, error) from error


def _read_row(tab: _Tab, row: Element, looks: Looks, room: int) -> None:
    count = times(row, ROWS_REPEATED)
    tab.laid_over = tab.laid_over or next(row.iter(_DRAWN), None) is not None
    if tab.defaults is None:
        tab.defaults = _read_columns(tab, looks)
    if _is_hidden(row, "table-row", looks):
        tab.hidden_rows.append(range(tab.row, tab.row + count))
    _read_cells(tab, row, count, looks, room)
    if (height := looks.height(row.get(STYLE_NAME) or "")) is not None:
        tab.heights.append((tab.row, count, height))
    tab.row += count


def _read_cells(tab: _Tab, row: Element, count: int, looks: Looks, room: int) -> None:
    """Read the cells of a row that stands there ``count`` times."""
    defaults, row_style = tab.defaults or [], row.get(DEFAULT_STYLE)
    column = 1
    for element in row:
        tag = element.tag
        if tag != CELL:
            if tag == COVERED:
                column += times(element, COLUMNS_REPEATED)
            continue
        said = cast(dict[str, str], dict(element.items()))  # quicker than asking the element each time
        copies = times(element, COLUMNS_REPEATED) if COLUMNS_REPEATED in said else 1
        if COLUMNS_SPANNED in said or ROWS_SPANNED in said:
            _read_span(tab, element, tab.row, column)
        kind, formula = said.get(KIND), said.get(FORMULA)
        if formula is not None and MATRIX_ROWS in said:
            _read_block(tab, element, column)
        if kind is not None or formula is not None or len(element):
            value, stale, link = _content(element, said, kind, formula)
            if value is not None or formula is not None:
                label = said.get(STYLE_NAME) or row_style
                if label is None:
                    label = defaults[column - 1] if column <= len(defaults) else ""
                calculated = None if formula is None else from_open(formula)
                cell = Cell(value, calculated, looks.cell(label, kind == "percentage"), link, stale)
                _put(tab, cell, column, count, copies, room)
        column += copies


def _content(
    element: Element, said: dict[str, str], kind: str | None, formula: str | None
) -> tuple[Value, bool, str | None]:
    """Return a cell's value, whether it is a result that nobody has stored, and its link."""
    if formula is None and kind == "float" and NUMBER in said:
        return number_of(said[NUMBER]), False, None
    plainly = formula is None and kind == "string" and STRING not in said
    if plainly and said.get(EXTENDED_KIND) != "error" and (words := plain_words(element)):
        return words, False, None
    value, stale = value_of(element, kind, formula)
    return value, stale, link_of(element) if kind == "string" else None


def _put(tab: _Tab, cell: Cell, column: int, count: int, copies: int, room: int) -> None:
    """Put a cell into ``count`` rows from where the tab stands, ``copies`` times in each."""
    cells, number = tab.cells, tab.row
    if copies > MOST_COPIES or count > MOST_COPIES or copies * count > room - len(cells):
        raise Refused("too large", tab.title)
    if number + count - 1 > MAX_ROWS or column + copies - 1 > MAX_COLUMNS:
        raise Refused("too large", tab.title)
    if copies == count == 1:
        cells[number, column] = cell
        return
    for down in range(count):
        for right in range(copies):
            cells[number + down, column + right] = cell


def _is_hidden(element: Element, family: str, looks: Looks) -> bool:
    """Return whether a row or column is hidden, filtered out, of no size, or in a group that is folded up."""
    if element.get(_VISIBILITY, "visible") != "visible":
        return True
    if (style := element.get(STYLE_NAME)) and looks.is_folded(style, family):
        return True
    holder = element.getparent()
    while holder is not None and holder.tag != TABLE:
        if holder.get(_DISPLAY) == "false":
            return True
        holder = holder.getparent()
    return False


def _read_columns(tab: _Tab, looks: Looks) -> list[str]:
    """Read the column declarations; return the style name of unfilled cells by column."""
    defaults: list[str] = []
    for element in within(tab.element, COLUMN, COLUMN_HOLDERS):
        count = min(times(element, COLUMNS_REPEATED), MAX_COLUMNS - len(defaults))
        width, style = element.get(STYLE_NAME) or "", element.get(DEFAULT_STYLE) or ""
        first = len(defaults) + 1
        if _is_hidden(element, "table-column", looks):
            tab.hidden_columns.append(range(first, first + count))
        defaults += [style] * count
        if width or style:
            tab.columns.update(dict.fromkeys(range(first, first + count), (width, style)))
    return defaults


def _read_span(tab: _Tab, element: Element, row: int, column: int) -> None:
    right, down = times(element, COLUMNS_SPANNED) - 1, times(element, ROWS_SPANNED) - 1
    if right or down:
        tab.merged.append(Range(row, column, row + down, column + right))


def _read_block(tab: _Tab, element: Element, column: int) -> None:
    down, right = times(element, MATRIX_ROWS), times(element, MATRIX_COLUMNS)
    if down * right <= MOST_COPIES:
        tab.blocks[tab.row, column] = Range(tab.row, column, tab.row + down - 1, column + right - 1)


def _page(tab: _Tab, looks: Looks, marks: Marks, freeze: Address | None) -> Page:
    if tab.defaults is None:
        tab.defaults = _read_columns(tab, looks)
    last_row = max((row for row, _ in tab.cells), default=0)
    last_column = max((column for _, column in tab.cells), default=0)
    filled = {row for row, _ in tab.cells}
    heights = {
        row: height
        for first, count, height in tab.heights
        for row in (range(first, first + count) if count <= MOST_LIKE_ROWS else filled)
        if first <= row < first + count and row <= last_row
    }
    columns: dict[int, Column] = {}
    # The run of like columns to the end of the sheet says nothing about any one of them.
    end = tab.columns.get(len(tab.defaults))
    far = max((number for number, said in tab.columns.items() if said != end), default=0)
    for number, (width_name, style_name) in tab.columns.items():
        width = looks.width(width_name) if number <= max(far, last_column) else None
        if width is not None:
            columns[number] = Column(width, looks.cell(style_name))
    key = next((key for key, title in marks.owned.items() if title == tab.title), "")
    names = {label: address for label, (title, address) in marks.names.items() if title == tab.title}
    return Page(
        tab.title,
        tab.cells,
        key,
        columns,
        heights,
        freeze,
        hidden_rows=frozenset(row for run in tab.hidden_rows for row in filled if row in run),
        hidden_columns=frozenset(
            number for run in tab.hidden_columns for number in run if number <= last_column
        ),
        merged=tuple(tab.merged),
        names=names,
        blocks=tab.blocks,
        laid_over=tab.laid_over,
    )

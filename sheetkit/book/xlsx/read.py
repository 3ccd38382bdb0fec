"""Reading an .xlsx file: each tab as a Page that holds what its cells hold, and nothing for empty ones."""

from __future__ import annotations

import gc
import io
import math
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime, timedelta
from typing import NamedTuple

from lxml import etree

from sheetkit.book.markup import Element, bounded, damaged, plain, weight
from sheetkit.book.workbook import Refused, Workbook
from sheetkit.book.xlsx.book import Book
from sheetkit.book.xlsx.formulas import Blocks, area, meanings
from sheetkit.book.xlsx.looks import Look, Looks
from sheetkit.book.xlsx.names import block, defined, is_mark, marks
from sheetkit.book.xlsx.strings import item_text, read_strings, unescaped
from sheetkit.page import Address, Cell, CellError, Column, Page, Range, Value, column_number

PADDING = 0.7109375
"""What a file adds to a column's width in characters (5 pixels of 7)."""
LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
_LAST_DAY = 2_958_465
MOST_READ = 8_000_000
"""What all tabs together, and the shared texts, may weigh: about a million cells, more than any shop has."""
_MOST_LINKED = 5_000_000
"""How many cells are looked at for the links of a tab; further links are not taken over."""
_LONELY_COLUMNS = 64
"""How many columns right of the last cell a width is taken over for."""


class _Source(NamedTuple):
    """What the cells of any tab need for being understood."""

    space: str
    texts: list[str]
    looks: Looks
    date1904: bool


def read(data: bytes, own: bool = False) -> Workbook:
    """Read an .xlsx file.

    Parameters
    ----------
    data
        The file's bytes.
    own
        Read no other tabs than our own.

    Returns
    -------
    Workbook
        Its tabs in order, chart sheets and the like passed over, and the marks of earlier runs.

    Raises
    ------
    Refused
        When it is no workbook, is encrypted or damaged, or does not look safe to open.
    """
    with _no_collecting():
        return _read(Book(data), own)


def _read(book: Book, own: bool) -> Workbook:
    source = _source(book)
    found = marks(book)
    keys = {title.casefold(): key for key, title in found.tabs.items()}
    names = _page_names(book)
    guard = book.child("workbookProtection")
    locked = guard is not None and any(
        guard.get(name) in ("1", "true") for name in ("lockStructure", "lockWindows", "lockRevision")
    )
    pages = []
    room = MOST_READ
    for sheet in book.sheets():
        link = book.link_of(sheet)
        if link is None or link.kind != "worksheet":
            continue
        title = sheet.get("name", "")
        if own and title.casefold() not in keys:
            continue
        places = {each.id: each.target for each in book.parts.relations(link.target) if not each.inside}
        tab = _Tab(source, places)
        data = bounded(book.parts.read(link.target), title, room)
        room -= weight(data)
        tab.take(data, title)
        locked = locked or tab.locked
        pages.append(tab.page(title, keys.get(title.casefold(), ""), names.get(title.casefold(), {})))
    return Workbook(
        tuple(pages),
        found.tabs,
        found.columns,
        found.notes,
        locked,
        {} if own else meanings(book),
        book.date1904,
    )


@contextmanager
def _no_collecting() -> Iterator[None]:
    """Hold off the collector of unused objects: a big tab makes many small ones, none of them unused."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _source(book: Book) -> _Source:
    strings, styles = book.one("sharedStrings"), book.one("styles")
    texts: list[str] = []
    if strings:
        texts = read_strings(bounded(book.parts.read(strings), strings, MOST_READ), book.space)
    return _Source(book.space, texts, Looks(book.parts.tree(styles) if styles else None), book.date1904)


def _page_names(book: Book) -> dict[str, dict[str, Address]]:
    """Return the workbook-wide names of single cells, by tab."""
    found: dict[str, dict[str, Address]] = {}
    for element in defined(book):
        if element.get("localSheetId") is not None or is_mark(element) or element.get("hidden") == "1":
            continue
        place = block(element.text or "")
        if place is not None and place[1][:2] == place[1][2:]:
            found.setdefault(place[0].casefold(), {})[element.get("name", "")] = place[1][:2]
    return found


def moment(serial: float, date1904: bool) -> Value:
    """Return the day, or the moment, that a number stands for; the number itself where there is none.

    >>> moment(46085.0, False), moment(1.0, False)
    (datetime.date(2026, 3, 4), datetime.date(1900, 1, 1))
    """
    if not 0 <= serial <= _LAST_DAY:
        return serial
    if date1904:
        start = datetime(1904, 1, 1)
    else:
        # The numbering has a 29 February 1900 that never was.
        start = datetime(1899, 12, 31) if serial < 60 else datetime(1899, 12, 30)
    when = start + timedelta(milliseconds=round(serial * 86_400_000))
    return when if when.hour or when.minute or when.second or when.microsecond or serial < 1 else when.date()


class _Tab:
    """One tab while it is being read."""

    def __init__(self, source: _Source, places: dict[str, str]) -> None:
        self._source = source
        self._places = places
        self._cells: dict[Address, Cell] = {}
        self._columns: list[tuple[int, int, Column]] = []
        self._heights: dict[int, float] = {}
        self._hidden_rows: set[int] = set()
        self._hidden_columns: list[range] = []
        self._merged: list[Range] = []
        self._blocks = Blocks()
        self._links: list[tuple[Range, str]] = []
        self._freeze: Address | None = None
        self._row = 0
        self.locked = False
        space = f"{{{source.space}}}"
        self._take: dict[str, Callable[[Element], None]] = {
            f"{space}row": self._take_row,
            f"{space}col": self._take_column,
            f"{space}mergeCell": self._take_merged,
            f"{space}hyperlink": self._take_link,
            f"{space}pane": self._take_pane,
            f"{space}sheetProtection": self._take_protection,
        }
        self._cell_tags = (f"{space}v", f"{space}f", f"{space}is")
        self._letters: dict[str, int] = {}
        self._looks: dict[str | None, Look] = {}

    def take(self, data: bytes, title: str) -> None:
        """Read the tab's part, letting go of each row once it is read."""
        take = self._take
        try:
            for _, element in etree.iterparse(
                io.BytesIO(plain(data)),
                tag=list(take),
                resolve_entities=False,
                huge_tree=True,
                remove_comments=True,
                remove_pis=True,
            ):
                take[str(element.tag)](element)
                element.clear()
                parent = element.getparent()
                if parent is not None and element.getprevious() is not None:
                    del parent[: parent.index(element)]
        except (etree.XMLSyntaxError, ValueError, IndexError, OverflowError) as error:
            raise damaged(title, error) from error

    def page(self, title: str, key: str, names: dict[str, Address]) -> Page:
        """Return what was read."""
        self._put_links()
        last = max((column for _, column in self._cells), default=0)
        columns: dict[int, Column] = {}
        for first, end, look in self._columns:
            for number in range(first, min(end, max(last, first + _LONELY_COLUMNS - 1)) + 1):
                columns[number] = look
        return Page(
            title,
            self._cells,
            key,
            columns=columns,
            heights=self._heights,
            hidden_rows=frozenset(self._hidden_rows),
            hidden_columns=frozenset(
                number for run in self._hidden_columns for number in run[: max(0, last - run.start + 1)]
            ),
            freeze=self._freeze,
            merged=tuple(self._merged),
            names=names,
            blocks=self._blocks.filled,
        )

    def _take_row(self, row: Element) -> None:
        said = row.get("r")
        at = self._row = int(said) if said else self._row + 1
        height = row.get("ht")
        if height is not None and row.get("customHeight") in ("1", "true"):
            self._heights[at] = float(height)
        if row.get("hidden") in ("1", "true") or (height is not None and float(height) == 0):
            self._hidden_rows.add(at)
        if at > LAST_ROW:
            raise Refused("damaged", said or "")
        self._take_cells(row, at)

    def _take_cells(self, row: Element, at: int) -> None:
        value_tag, formula_tag, inline_tag = self._cell_tags
        cells, letters, looks = self._cells, self._letters, self._looks
        column = 0
        # The innermost loop of reading: written for speed.
        for c in row:
            get = c.get
            name = get("r")
            if name:
                head = name.rstrip("0123456789")
                column = letters.get(head) or self._column(head)
            else:
                column += 1
            raw = formula = inline = None
            for child in c:
                tag = child.tag
                if tag == value_tag:
                    raw = child.text or ""
                elif tag == formula_tag:
                    formula = child.text or ""
                    if child.attrib:
                        formula = self._blocks.formula(child, formula, (at, column))
                elif tag == inline_tag:
                    inline = child
            form = get("s")
            style, dated = looks.get(form) or self._look(form)
            value = self._value(get("t"), raw, dated, inline)
            if formula is not None:
                cells[at, column] = Cell(value, formula, style, None, value is None)
            elif value is not None:
                cells[at, column] = Cell(value, None, style)

    def _value(self, kind: str | None, raw: str | None, dated: bool, inline: Element | None) -> Value:
        if kind is None or kind == "n":
            return self._number(raw, dated) if raw else None
        if kind == "s":
            return self._text(raw) if raw else None
        return _other(kind, raw) if inline is None else item_text(inline)

    def _number(self, raw: str, dated: bool) -> Value:
        number = float(raw)
        if not math.isfinite(number):
            return CellError("#NUM!")
        return moment(number, self._source.date1904) if dated else number

    def _text(self, raw: str) -> str:
        number = int(raw)
        if number < 0:
            raise IndexError(raw)
        return self._source.texts[number]

    def _column(self, head: str) -> int:
        column = self._letters[head] = column_number(head.lstrip("$"))
        if not 1 <= column <= LAST_COLUMN:
            raise Refused("damaged", head)
        return column

    def _look(self, form: str | None) -> Look:
        look = self._looks[form] = self._source.looks[int(form or 0)]
        return look

    def _take_column(self, column: Element) -> None:
        first, end = int(column.get("min", "1")), min(int(column.get("max", "1")), LAST_COLUMN)
        width = float(column.get("width", "9.140625"))
        if column.get("hidden") in ("1", "true") or width == 0:
            self._hidden_columns.append(range(first, end + 1))
        style = self._source.looks[int(column.get("style", "0"))].style
        self._columns.append((first, end, Column(max(0.0, round(width - PADDING, 2)), style)))

    def _take_merged(self, element: Element) -> None:
        cells = area(element.get("ref", ""))
        if cells is not None:
            self._merged.append(cells)

    def _take_link(self, element: Element) -> None:
        cells = area(element.get("ref", ""))
        place = element.get("location", "")
        link = next((str(value) for name, value in element.items() if str(name).endswith("}id")), "")
        if link:
            target = self._places.get(link, "")
            place = target if target.startswith("#") else ""
        if cells is not None and place:
            self._links.append((cells, place.removeprefix("#")))

    def _take_pane(self, pane: Element) -> None:
        if pane.get("state") in ("frozen", "frozenSplit"):
            rows, columns = (int(float(pane.get(name, "0"))) for name in ("ySplit", "xSplit"))
            self._freeze = (rows, columns)

    def _take_protection(self, guard: Element) -> None:
        self.locked = self.locked or guard.get("sheet") in ("1", "true")

    def _put_links(self) -> None:
        room = _MOST_LINKED
        for cells, place in self._links:
            first = (cells.first_row, cells.first_column)
            rows = range(first[0], cells.last_row + 1)
            columns = range(first[1], cells.last_column + 1)
            room -= min(len(rows) * len(columns), len(self._cells))
            if room < 0:
                return
            if len(rows) * len(columns) <= len(self._cells):
                addresses = [(row, column) for row in rows for column in columns]
            else:
                addresses = [each for each in self._cells if each[0] in rows and each[1] in columns]
            for address in addresses:
                cell = self._cells.get(address)
                if cell is not None:
                    self._cells[address] = cell._replace(link=place)


def _other(kind: str, raw: str | None) -> Value:
    """Return the value of a cell that is neither a number nor a shared text."""
    if raw is None:
        return None
    if kind == "b":
        return raw.strip() in ("1", "true")
    if kind == "e":
        return CellError(raw)
    if kind == "d":
        try:
            when = datetime.fromisoformat(raw.strip())
        except ValueError:
            return raw
        return when if "T" in raw else date(when.year, when.month, when.day)
    return unescaped(raw)

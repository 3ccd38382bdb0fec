"""One tab of an .xlsx file while it is being read."""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, datetime, timedelta
from itertools import product
from typing import NamedTuple

from lxml import etree

from sheetkit.book.markup import Element, damaged, plain
from sheetkit.book.workbook import Refused
from sheetkit.book.xlsx.formulas import Blocks, area
from sheetkit.book.xlsx.looks import Look, Looks
from sheetkit.book.xlsx.plainly import Between, Found, Otherwise, Parted, parted, plain_cells
from sheetkit.book.xlsx.strings import item_text, unescaped
from sheetkit.page import Address, Cell, CellError, Column, Page, Range, Value, column_number

PADDING = 0.7109375
"""What a file adds to a column's width in characters (5 pixels of 7)."""
LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
_LAST_DAY = 2_958_465
_INLINE = "inline"
"""The kind of a cell whose text stands in it, signs and all."""
_MOST_LINKED = 5_000_000
"""How many cells are looked at for the links of a tab; further links are not taken over."""
_LONELY_COLUMNS = 64
"""How many columns right of the last cell a width is taken over for."""


class Source(NamedTuple):
    """What the cells of any tab need for being understood."""

    space: str
    texts: list[str]
    looks: Looks
    date1904: bool


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


class Tab:
    """One tab while it is being read."""

    def __init__(self, source: Source, places: Mapping[str, str] | None) -> None:
        self._source = source
        self._places = places or {}
        self._cells: dict[Address, Cell] = {}
        self._columns: list[tuple[int, int, Column]] = []
        self._heights: dict[int, float] = {}
        self._hidden_rows: set[int] = set()
        self._hidden_columns: list[range] = []
        self._merged: list[Range] = []
        self._blocks = Blocks()
        self._links: list[tuple[Range, str]] = []
        self._freeze: Address | None = None
        self._laid_over = False
        self._row = 0
        self._between = Between()
        self._is_in_place = False
        """Whether the rows stand where those of a tab do."""
        self.locked = False
        space = f"{{{source.space}}}"
        self._take: dict[str, Callable[[Element], None]] = {
            f"{space}row": self._take_row,
            f"{space}sheetData": self._take_box,
        }
        self._take |= (
            {}
            if places is None
            else {
                f"{space}col": self._take_column,
                f"{space}mergeCell": self._take_merged,
                f"{space}hyperlink": self._take_link,
                f"{space}pane": self._take_pane,
                f"{space}drawing": self._take_drawing,
                f"{space}sheetProtection": self._take_protection,
            }
        )
        self._cell_tags = (f"{space}v", f"{space}f", f"{space}is")
        self._letters: dict[str, int] = {}
        self._looks: dict[str | None, Look] = {}

    def take(self, data: bytes) -> None:
        """Read the tab's part, letting go of each row once it is read."""
        take = self._take
        for _, element in etree.iterparse(
            io.BytesIO(data),
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

    def take_plainly(self, tab: Parted) -> bool:
        """Read the tab's part in two; return whether all of it is written plainly."""
        self.take(tab.around)
        try:
            for found, rest in plain_cells(tab.rows):
                self._take_cells(found)
                self._take_tags(rest)
        except Otherwise:
            return False
        return self._is_in_place

    def _take_tags(self, text: str) -> None:
        """Read what stands between two cells, or behind the last."""
        for row in self._between.rows(text):
            self._begin(row)

    def _passed(self, text: str) -> int:
        """Return the row of the cell behind what stands between two."""
        self._take_tags(text)
        if not self._between.inside:
            raise Otherwise
        return self._row

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
            laid_over=self._laid_over,
        )

    def _take_box(self, box: Element) -> None:
        holder = box.getparent()
        self._is_in_place = holder is not None and holder.getparent() is None

    def _take_row(self, row: Element) -> None:
        self._begin({str(name): str(value) for name, value in row.attrib.items()})
        self._take_cells(self._found(row))

    def _begin(self, row: Mapping[str, str]) -> None:
        """Take in what is said of a row."""
        said = row.get("r")
        at = self._row = int(said) if said else self._row + 1
        height = row.get("ht")
        if height is not None and row.get("customHeight") in ("1", "true"):
            self._heights[at] = float(height)
        if row.get("hidden") in ("1", "true") or (height is not None and float(height) == 0):
            self._hidden_rows.add(at)
        if at > LAST_ROW:
            raise Refused("damaged", said or "")

    def _found(self, row: Element) -> Iterator[Found]:
        """Yield the cells of a row."""
        value_tag, formula_tag, inline_tag = self._cell_tags
        column = 0
        for c in row:
            name, kind = c.get("r"), c.get("t")
            column = column_number(name.rstrip("0123456789")) if name else column + 1
            raw = formula = None
            for child in c:
                tag = child.tag
                if tag == value_tag and kind != _INLINE:
                    raw = child.text or ""
                elif tag == formula_tag:
                    formula = child.text or ""
                    if child.attrib:
                        formula = self._blocks.formula(child, formula, (self._row, column))
                elif tag == inline_tag and kind not in (None, "n", "s"):
                    kind, raw = _INLINE, item_text(child)
            yield "", name.rstrip("0123456789") if name else None, c.get("s"), kind, formula, raw

    def _take_cells(self, found: Iterable[Found]) -> None:
        cells, letters, looks = self._cells, self._letters, self._looks
        texts, new, isfinite = self._source.texts, Cell._make, math.isfinite
        column, at = 0, self._row
        # The innermost loop of reading: written for speed.
        for before, head, form, kind, formula, raw in found:
            if before:
                at = self._passed(before)
            column = column + 1 if head is None else letters.get(head) or self._column(head)
            style, dated = looks.get(form) or self._look(form)
            if kind is None and raw and not dated:
                number = float(raw)
                value: Value = number if isfinite(number) else CellError("#NUM!")
            elif kind == "s" and raw and raw.isdecimal():
                value = texts[int(raw)]
            else:
                value = self._value(kind, raw, dated)
            if formula is not None:
                cells[at, column] = Cell(value, formula, style, None, value is None)
            elif value is not None:
                cells[at, column] = new((value, None, style, None, False, False))

    def _value(self, kind: str | None, raw: str | None, dated: bool) -> Value:
        if kind is None or kind == "n":
            return self._number(raw, dated) if raw else None
        if kind == "s":
            return self._text(raw) if raw else None
        return _other(kind, raw)

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
        chosen = "width" in column.attrib and column.get("customWidth") in ("1", "true")
        self._columns.append((first, end, Column(max(0.0, round(width - PADDING, 2)), style, chosen)))

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

    def _take_drawing(self, _: Element) -> None:
        self._laid_over = True

    def _take_protection(self, guard: Element) -> None:
        self.locked = self.locked or guard.get("sheet") in ("1", "true")

    def _put_links(self) -> None:
        room = _MOST_LINKED
        held = self._cells
        for cells, place in self._links:
            first, last = cells[:2], cells[2:]
            if first == last:
                room -= 1
                addresses: Iterable[Address] = (first,)
            else:
                rows, columns = (range(start, end + 1) for start, end in zip(first, last, strict=True))
                room -= min(len(rows) * len(columns), len(held))
                if len(rows) * len(columns) <= len(held):
                    addresses = product(rows, columns)
                else:
                    addresses = [each for each in held if each[0] in rows and each[1] in columns]
            if room < 0:
                return
            for address in addresses:
                cell = held.get(address)
                if cell is not None:
                    held[address] = cell._replace(link=place)


def _other(kind: str, raw: str | None) -> Value:
    """Return the value of a cell that is neither a number nor a shared text."""
    if raw is None or kind == _INLINE:
        return raw
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


def read_tab(data: bytes, title: str, source: Source, places: Mapping[str, str] | None) -> Tab:
    """Return a tab read from its part: in the short way, or the long one where it is not written plainly.

    ``places`` are those outside the tab that its links name; without them the cells alone are read.
    """
    data = plain(data)
    halves = parted(data)
    try:
        tab = Tab(source, places)
        if halves is None or not tab.take_plainly(halves):
            tab = Tab(source, places)
            tab.take(data)
    except (etree.XMLSyntaxError, ValueError, IndexError, OverflowError) as error:
        raise damaged(title, error) from error
    return tab

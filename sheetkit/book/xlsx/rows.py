"""Where the rows and cells of a tab stand in its bytes; those that get nothing are never touched."""

from __future__ import annotations

import re
from array import array
from bisect import bisect_left
from dataclasses import dataclass, field
from functools import cache
from xml.parsers import expat

from sheetkit.book.markup import bounded, damaged, plain, tree, written
from sheetkit.book.workbook import Refused
from sheetkit.book.xlsx.book import placed, whole
from sheetkit.book.xlsx.tab import LAST_ROW, area
from sheetkit.page import Range, cell_name, column_number

ORDER = (
    "sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetCalcPr",
    "sheetProtection", "protectedRanges", "scenarios", "autoFilter", "sortState", "dataConsolidate",
    "customSheetViews", "mergeCells", "phoneticPr", "conditionalFormatting", "dataValidations",
    "hyperlinks", "printOptions", "pageMargins", "pageSetup", "headerFooter", "rowBreaks", "colBreaks",
    "customProperties", "cellWatches", "ignoredErrors", "smartTags", "drawing", "legacyDrawing",
    "legacyDrawingHF", "drawingHF", "picture", "oleObjects", "controls", "webPublishItems", "tableParts",
    "extLst",
)  # fmt: skip
"""Elements of a tab in the order of the standard."""
_TAG = re.compile(rb"""<[^<>"']*+(?:"[^"]*+"[^<>"']*+|'[^']*+'[^<>"']*+)*+>""")
_ATTRIBUTE = re.compile(rb"""([^\s=<>/"']+)\s*=\s*(?:"([^"]*)"|'([^']*)')""")
_ENCODING = re.compile(rb"""<\?xml[^>]*?encoding\s*=\s*["'](?!utf-8["'])""", re.IGNORECASE)
_PREFIX = re.compile(rb"<([^\s/>:]*:)")
_BREAK = "\n"
"""Between namespace and name, as no namespace holds one."""


@cache
def _letters_number(letters: str) -> int:
    return column_number(letters)


@dataclass(slots=True)
class Rows:
    """A tab's bytes, with the places of its rows and cells in them."""

    data: bytes
    start: int = 0
    """Where the rows begin, after the tag that opens their box."""
    end: int = 0
    """Where they end, before the tag that closes it."""
    numbers: list[int] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    ends: list[int] = field(default_factory=list)
    """Before the tag that closes each row, where it has one."""
    firsts: list[int] = field(default_factory=list)
    """Number of each row's first cell among all cells."""
    columns: array[int] = field(default_factory=lambda: array("q"))
    cell_starts: array[int] = field(default_factory=lambda: array("q"))
    cell_ends: array[int] = field(default_factory=lambda: array("q"))
    blocks: list[tuple[Range, str]] = field(default_factory=list)
    """Formulas that fill several cells: which, and of what kind."""

    def span(self, row: int) -> tuple[int, int]:
        """Return where a row starts and ends; both where it would stand when it is not there."""
        place = bisect_left(self.numbers, row)
        if place == len(self.numbers):
            return self.end, self.end
        start = self.starts[place]
        return start, self._past(start, self.ends[place]) if self.numbers[place] == row else start

    def cells(self, row: int) -> range:
        """Return the numbers of the cells in a row."""
        place = bisect_left(self.numbers, row)
        if place == len(self.numbers) or self.numbers[place] != row:
            return range(0)
        firsts = self.firsts
        return range(firsts[place], firsts[place + 1] if place + 1 < len(firsts) else len(self.columns))

    def cell_end(self, cell: int) -> int:
        """Return where a cell ends, its closing tag included."""
        return self._past(self.cell_starts[cell], self.cell_ends[cell])

    def _past(self, start: int, end: int) -> int:
        tag = opening(self.data, start)
        return start + len(tag) if tag.endswith(b"/>") else self.data.index(b">", end) + 1


def opening(data: bytes, start: int = 0) -> bytes:
    """Return the tag that begins there.

    >>> opening(b'<c r="A1" x=">"><v>7</v></c>')
    b'<c r="A1" x=">">'
    """
    found = _TAG.match(data, start)
    assert found is not None, start
    return found[0]


def attributes(tag: bytes) -> dict[str, str]:
    """Return a tag's attributes as they stand there, fit for double quotation marks.

    >>> attributes(b"<row r='7' spans='1:3'>")
    {'r': '7', 'spans': '1:3'}
    """
    return {
        name.decode(): (double or single.replace(b'"', b"&quot;")).decode()
        for name, double, single in _ATTRIBUTE.findall(tag)
    }


def rows_of(data: bytes, space: str, title: str) -> Rows:
    """Return the places of rows and cells; what is only implied in the bytes is said outright first.

    Raises
    ------
    Refused
        When the tab is damaged or too large.
    """
    data = plain(bounded(data, title))
    if not _ENCODING.match(data):
        found = _scanned(data, space, title)
        if found is not None:
            return found
    found = _scanned(_outright(data, space, title), space, title)
    assert found is not None
    return found


def _outright(data: bytes, space: str, title: str) -> bytes:
    """Return a tab in UTF-8 with a box for its rows, and each row and cell with its name."""
    root = tree(data, title)
    box = root.find(f"{{{space}}}sheetData")
    if box is None:
        box = placed(root, f"{{{space}}}sheetData", ORDER)
    box.text = box.text or ""
    last = 0
    for row in box.iterchildren(f"{{{space}}}row"):
        last = whole(row.get("r"), last + 1)
        row.set("r", str(last))
        column = 0
        for c in row.iterchildren(f"{{{space}}}c"):
            name = c.get("r")
            column = column_number(name.rstrip("0123456789")) if name else column + 1
            c.set("r", cell_name(last, column))
    return written(root)


def _scanned(data: bytes, space: str, title: str) -> Rows | None:
    """Return the places, or None when something is only implied."""
    parser = expat.ParserCreate(namespace_separator=_BREAK)
    scan = _Scan(parser, Rows(data), space, title)
    parser.StartElementHandler, parser.EndElementHandler = scan.begin, scan.finish
    try:
        parser.Parse(data, True)
    except (expat.ExpatError, OverflowError) as error:
        raise damaged(title, error) from error
    found = scan.found
    if scan.implied or not found.start:
        return None
    tag = opening(data, found.start)
    opened = tag.removesuffix(b"/>").removesuffix(b">") + b">"
    if tag.endswith(b"/>"):
        found.data = data[: found.start] + opened + closing(tag) + data[found.start + len(tag) :]
        found.end = found.start + len(opened)
    found.start += len(opened)
    return found


class _Scan:
    """Where a parser stands in a tab, and the places found so far."""

    def __init__(self, parser: expat.XMLParserType, found: Rows, space: str, title: str) -> None:
        self.found = found
        self.implied = False
        self._parser, self._title = parser, title
        self._row, self._cell, self._formula, self._box = (
            f"{space}{_BREAK}{name}" for name in ("row", "c", "f", "sheetData")
        )
        self._in_box = self._in_row = False
        self._depth = self._last = 0

    def begin(self, name: str, said: dict[str, str]) -> None:
        """Take in the tag that opens an element."""
        self._depth += 1
        found = self.found
        if name == self._cell and self._in_row and self._depth == 4:
            address = said.get("r", "")
            self.implied = self.implied or not address
            found.columns.append(_letters_number(address.rstrip("0123456789")))
            found.cell_starts.append(self._parser.CurrentByteIndex)
        elif name == self._row and self._in_box and self._depth == 3:
            self._begin_row(said)
        elif name == self._formula and said.get("ref") and said.get("t", "normal") != "normal":
            cells = area(said["ref"])
            if cells is not None:
                found.blocks.append((cells, said["t"]))
        elif name == self._box and self._depth == 2 and not found.start:
            self._in_box = True
            found.start = self._parser.CurrentByteIndex

    def _begin_row(self, said: dict[str, str]) -> None:
        self._in_row = True
        self.implied = self.implied or "r" not in said
        number = whole(said.get("r"), self._last + 1)
        if not self._last < number <= LAST_ROW:
            raise Refused("damaged", f"{self._title}: row {number} after {self._last}")
        self._last = number
        found = self.found
        found.numbers.append(number)
        found.starts.append(self._parser.CurrentByteIndex)
        found.firsts.append(len(found.columns))

    def finish(self, name: str) -> None:
        """Take in the tag that closes an element."""
        self._depth -= 1
        found = self.found
        if self._in_row and self._depth == 3 and name == self._cell:
            found.cell_ends.append(self._parser.CurrentByteIndex)
        elif self._in_row and self._depth == 2:
            self._in_row = False
            found.ends.append(self._parser.CurrentByteIndex)
        elif self._in_box and self._depth == 1:
            self._in_box = False
            found.end = self._parser.CurrentByteIndex


def closing(tag: bytes) -> bytes:
    """Return the tag that closes what a tag opens.

    >>> closing(b'<x:row r="7"/>')
    b'</x:row>'
    """
    return b"</%s>" % re.split(rb"[\s/>]", tag[1:], maxsplit=1)[0]


def prefix_of(tag: bytes) -> str:
    """Return the prefix of a tag's name, with its colon.

    >>> prefix_of(b'<x:row r="7"/>'), prefix_of(b"<row>")
    ('x:', '')
    """
    found = _PREFIX.match(tag)
    return found[1].decode() if found else ""

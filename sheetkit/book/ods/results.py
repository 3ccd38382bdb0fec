"""Results put beside formulas that have none, every other byte of the file as it was."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple
from xml.parsers import expat

from lxml import etree

from sheetkit.book.markup import Element, bounded, damaged, plain
from sheetkit.book.ods.names import NAMESPACES, make
from sheetkit.book.ods.opening import CONTENT, MOST_CONTENT, opened
from sheetkit.book.ods.table import CELL, COLUMNS_REPEATED, COVERED, NAME, ROW, ROWS_REPEATED, TABLE
from sheetkit.book.ods.text import PARAGRAPH
from sheetkit.book.ods.value import FORMULA, KIND, VALUE_ATTRIBUTES, put_value
from sheetkit.page import Address, Cell, Value

_TAG = re.compile(rb"""<[^<>"']*+(?:"[^"]*+"[^<>"']*+|'[^']*+'[^<>"']*+)*+>""")
_ROOT = re.compile(rb"""\sxmlns:([\w.-]+)\s*=\s*["']([^"']*)["']""")
_COUNT = re.compile("[0-9]{1,7}")
_SPREADSHEET_DEPTH = 3


class _Place(NamedTuple):
    """A formula's cell in the bytes."""

    start: int
    end: int
    """Before the tag that closes it; the start of its only tag where it is empty."""
    title: str
    addresses: tuple[Address, ...]
    worded: bool


def with_results(data: bytes, results: Mapping[str, Mapping[Address, Value]]) -> bytes:
    """Return the file with stored results, by tab title, in empty cells and those of formulas without one."""
    package = opened(data)
    content = plain(bounded(package.read(CONTENT), CONTENT, MOST_CONTENT))
    if re.match(rb"""<\?xml[^>]*?encoding\s*=\s*["'](?!utf-8["'])""", content, re.IGNORECASE):
        return data
    wanted = {title.casefold(): values for title, values in results.items()}
    prefixes = {uri.decode(): prefix.decode() for prefix, uri in _ROOT.findall(content)}
    pieces: list[bytes] = []
    at = 0
    for place in _formulas(content, wanted):
        values = [wanted[place.title].get(address) for address in place.addresses]
        if values[0] is None or any(value != values[0] for value in values):
            continue  # one cell in the file that stands for several with several results
        found = _TAG.match(content, place.start)
        assert found is not None
        inside = content[found.end() : place.end] if not found[0].endswith(b"/>") else b""
        end = place.end if not found[0].endswith(b"/>") else found.end()
        pieces += (content[at : place.start], _computed(found[0], inside, values[0], place.worded, prefixes))
        at = end
    if pieces:
        package.write(CONTENT, b"".join([*pieces, content[at:]]))
    return package.save()


def _computed(tag: bytes, inside: bytes, value: Value, worded: bool, prefixes: Mapping[str, str]) -> bytes:
    """Return a cell as far as its closing tag; with that one where it had none."""
    empty = tag.endswith(b"/>")
    cell = make("table:table-cell")
    put_value(cell, Cell(value, ""))
    del cell.attrib[FORMULA]
    declared: dict[str, str] = {}

    def named(label: str) -> str:
        uri = etree.QName(label).namespace or ""
        prefix = prefixes.get(uri)
        if prefix is None:
            prefix = next(each for each, other in NAMESPACES.items() if other == uri)
            declared[prefix] = uri
        return f"{prefix}:{etree.QName(label).localname}"

    old = {named(each) for each in VALUE_ATTRIBUTES if each != FORMULA}
    said = tag[:-2] if empty else tag[:-1]
    for each in old:
        said = re.sub(rb"""\s+%s\s*=\s*(?:"[^"]*"|'[^']*')""" % re.escape(each.encode()), b"", said)
    words = b"" if worded else b"".join(_words(part, named(PARAGRAPH)) for part in cell)
    more = "".join(f' {named(str(key))}="{_quoted(str(text))}"' for key, text in cell.attrib.items())
    spaces = "".join(f' xmlns:{prefix}="{uri}"' for prefix, uri in declared.items())
    closing = b"</%s>" % re.split(rb"[\s/>]", tag[1:], maxsplit=1)[0] if empty else b""
    return said.rstrip() + (spaces + more).encode() + b">" + inside + words + closing


def _words(part: Element, label: str) -> bytes:
    text = "".join(str(piece) for piece in part.itertext())
    return (f"<{label}>{_quoted(text)}</{label}>" if text else f"<{label}/>").encode()


def _quoted(text: str) -> str:
    for character, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("\n", "&#10;")):
        text = text.replace(character, name)
    return text


def _formulas(content: bytes, wanted: Mapping[str, Mapping[Address, Value]]) -> list[_Place]:
    """Return the formulas' cells that are wanted, in the order of the bytes."""
    parser = expat.ParserCreate(namespace_separator="}")
    scan = _Scan(parser, wanted)
    parser.StartElementHandler, parser.EndElementHandler = scan.begin, scan.finish
    try:
        parser.Parse(content, True)
    except (expat.ExpatError, OverflowError) as error:
        raise damaged(CONTENT, error) from error
    return scan.found


class _Scan:
    """Where a parser stands in the tabs, and the places found so far."""

    def __init__(self, parser: expat.XMLParserType, wanted: Mapping[str, Mapping[Address, Value]]) -> None:
        self.found: list[_Place] = []
        self._parser, self._wanted = parser, wanted
        self._path: list[str] = []
        self._title = ""
        self._row = self._rows = self._column = 1
        self._start, self._worded, self._depth = -1, False, 0
        self._addresses: tuple[Address, ...] = ()

    def begin(self, label: str, said: dict[str, str]) -> None:
        """Take in the tag that opens an element."""
        label = "{" + label
        path = self._path
        path.append(label)
        if label == TABLE and len(path) == _SPREADSHEET_DEPTH + 1:
            self._title, self._row = said.get(NAME[1:], "").casefold(), 1
        elif path.count(TABLE) != 1:
            return
        elif label == ROW:
            self._rows, self._column = _times(said, ROWS_REPEATED), 1
        elif label in (CELL, COVERED) and self._start < 0:
            self._begin_cell(said)
        elif self._start >= 0 and label == PARAGRAPH and len(path) == self._depth + 1:
            self._worded = True

    def _begin_cell(self, said: dict[str, str]) -> None:
        count = _times(said, COLUMNS_REPEATED)
        row, rows, column = self._row, self._rows, self._column
        values = self._wanted.get(self._title, {})
        known = FORMULA[1:] in said or (count == rows == 1 and KIND[1:] not in said)
        if known and (row, column) in values and count * rows <= len(values):
            self._start, self._depth, self._worded = self._parser.CurrentByteIndex, len(self._path), False
            self._addresses = tuple((row + r, column + c) for r in range(rows) for c in range(count))
        self._column += count

    def finish(self, label: str) -> None:
        """Take in the tag that closes an element."""
        path = self._path
        if self._start >= 0 and len(path) == self._depth:
            end = self._parser.CurrentByteIndex
            self.found.append(_Place(self._start, end, self._title, self._addresses, self._worded))
            self._start = -1
        if "{" + label == ROW and path.count(TABLE) == 1:
            self._row += self._rows
        path.pop()


def _times(said: dict[str, str], label: str) -> int:
    text = said.get(label[1:], "1")
    return max(1, int(text)) if _COUNT.fullmatch(text) else 1

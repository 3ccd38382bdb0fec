"""Results put beside formulas that have none, every other byte of the file as it was."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple
from xml.parsers import expat

from lxml import etree

from sheetkit.book.markup import Element, bounded, damaged, plain
from sheetkit.book.ods.names import NAMESPACES, make
from sheetkit.book.ods.opening import CONTENT, MOST_CONTENT, opened
from sheetkit.book.ods.table import CELL, COLUMNS_REPEATED, COVERED, NAME, ROW, ROWS_REPEATED, TABLE
from sheetkit.book.ods.text import PARAGRAPH
from sheetkit.book.ods.value import FORMULA, VALUE_ATTRIBUTES, put_value
from sheetkit.page import Address, Cell, Value

_TAG = re.compile(rb"""<[^<>"']*+(?:"[^"]*+"[^<>"']*+|'[^']*+'[^<>"']*+)*+>""")
_ROOT = re.compile(rb"""\sxmlns:([\w.-]+)\s*=\s*["']([^"']*)["']""")
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
    """Return the file with stored results, by tab title, in cells that hold a formula without one."""
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
    return f"<{label}>{_quoted(text)}</{label}>".encode()


def _quoted(text: str) -> str:
    for sign, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("\n", "&#10;")):
        text = text.replace(sign, name)
    return text


def _formulas(content: bytes, wanted: Mapping[str, Mapping[Address, Value]]) -> Iterator[_Place]:
    """Yield the formulas' cells that are wanted, in the order of the bytes."""
    parser = expat.ParserCreate(namespace_separator="}")
    found: list[_Place] = []
    path: list[str] = []
    title = ""
    row, rows, column = 1, 1, 1
    start, worded, depth = -1, False, 0
    addresses: tuple[Address, ...] = ()
    counts = re.compile("[0-9]{1,7}")

    def times(said: dict[str, str], label: str) -> int:
        text = said.get(label[1:], "1")
        return max(1, int(text)) if counts.fullmatch(text) else 1

    def begin(label: str, said: dict[str, str]) -> None:
        nonlocal title, row, rows, column, start, addresses, worded, depth
        label = "{" + label
        path.append(label)
        if label == TABLE and len(path) == _SPREADSHEET_DEPTH + 1:
            title, row = said.get(NAME[1:], "").casefold(), 1
        elif path.count(TABLE) != 1:
            return
        elif label == ROW:
            rows, column = times(said, ROWS_REPEATED), 1
        elif label in (CELL, COVERED) and start < 0:
            count = times(said, COLUMNS_REPEATED)
            values = wanted.get(title, {})
            if FORMULA[1:] in said and (row, column) in values and count * rows <= len(values):
                start, depth, worded = parser.CurrentByteIndex, len(path), False
                addresses = tuple((row + r, column + c) for r in range(rows) for c in range(count))
            column += count
        elif start >= 0 and label == PARAGRAPH and len(path) == depth + 1:
            worded = True

    def finish(label: str) -> None:
        nonlocal row, start
        label = "{" + label
        if start >= 0 and len(path) == depth:
            found.append(_Place(start, parser.CurrentByteIndex, title, addresses, worded))
            start = -1
        if label == ROW and path.count(TABLE) == 1:
            row += rows
        path.pop()

    parser.StartElementHandler, parser.EndElementHandler = begin, finish
    try:
        parser.Parse(content, True)
    except (expat.ExpatError, OverflowError) as error:
        raise damaged(CONTENT, error) from error
    yield from found

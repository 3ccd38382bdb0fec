"""Rows and cells of a tab written in the plain way of most programs, taken from its bytes without a tree.

A parser proves first that the whole part is well formed. Then every byte between the tags of
``sheetData`` must belong to a row or cell of a known shape; where one does not, the tab is read the long way.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple
from xml.parsers import expat

_ENCODING = re.compile(rb"""<\?xml[^>]*?encoding\s*=\s*["'](?!utf-8["'])""", re.IGNORECASE)
_ROW = re.compile(r'\s*(?:<row((?: [A-Za-z:0-9]+="[^"<>&]*")*)(/?)>|(</row>))')
_CELL = re.compile(
    r'<c r="([A-Z]{1,3})[0-9]{1,7}"(?: s="([0-9]{1,9})")?(?: t="([a-zS]+)")?'
    r"(?:/>|>(?:<f(?: [^<>]*)?(/>|>[^<>\r]*</f>))?(?:<v>([^<>\r]*)</v>)?</c>)"
)
_ATTRIBUTE = re.compile(r' ([A-Za-z:0-9]+)="([^"]*)"')
_ENTITY = re.compile(r"&(?:#x([0-9A-Fa-f]+)|#([0-9]+)|([a-z]+));")
_NAMED = {"lt": "<", "gt": ">", "amp": "&", "quot": '"', "apos": "'"}
_OPEN, _CLOSE = b"<sheetData>", b"</sheetData>"
_GROUPS = 6
"""What splitting at a cell gives for each: what is before it, then its five groups."""

_CHUNK = 1 << 16
"""How much is taken apart at once; a chunk ends with a row."""

Found = tuple[str, str | None, str | None, str | None, str | None, str | None]
"""A cell: what stands before it, the letters of its column, its look, kind, formula and value."""


class Otherwise(Exception):
    """Rows that are not written plainly."""


class Parted(NamedTuple):
    """A tab's part without its rows, and the rows."""

    around: bytes
    rows: str


def parted(data: bytes) -> Parted | None:
    """Return a part in two, or None when it is not written plainly; it bears no byte order mark."""
    start, end = data.find(_OPEN), data.rfind(_CLOSE)
    if not 0 < start < end or _ENCODING.match(data) or data.count(b"<sheetData") != 1:
        return None
    if b"<!" in data or data.find(b"<?", 2) >= 0:  # in what they hold, a tag is none
        return None
    start += len(_OPEN)
    try:
        expat.ParserCreate(namespace_separator="\n").Parse(data, True)
        rows = data[start:end].decode()
    except (expat.ExpatError, UnicodeDecodeError):
        return None
    return Parted(data[:start] + data[end:], rows)


def plain_cells(rows: str) -> Iterator[tuple[Iterable[Found], str]]:
    """Yield cells, some hundred at a time, and what stands behind the last of them."""
    start = 0
    while start < len(rows):
        end = rows.find("</row>", start + _CHUNK)
        end = len(rows) if end < 0 else end + len("</row>")
        chunk = rows[start:end]
        start = end
        parts = _CELL.split(chunk)
        if not parts[0]:  # a cell outside any row
            raise Otherwise
        found = zip(*(parts[group:-1:_GROUPS] for group in range(_GROUPS)), strict=True)
        yield _meant(found) if "&" in chunk or "<f" in chunk else found, parts[-1]


class Between:
    """The tags of rows, read as what stands between cells."""

    def __init__(self) -> None:
        self.inside = False
        """Whether a row is open."""

    def rows(self, text: str) -> Iterator[dict[str, str]]:
        """Yield what is said of each row that begins.

        Raises
        ------
        Otherwise
            At anything that is no tag of a row, or not where one belongs.
        """
        at = 0
        while tag := _ROW.match(text, at):
            at = tag.end()
            said, empty, closing = tag.groups()
            if bool(closing) != self.inside:
                raise Otherwise
            self.inside = not closing and not empty
            if not closing:
                yield dict(_ATTRIBUTE.findall(said))
        if text[at:].strip():
            raise Otherwise


def _meant(cells: Iterable[Found]) -> Iterator[Found]:
    """Yield cells with their formulas taken from the tags, and every sign for itself."""
    for before, head, look, kind, formula, value in cells:
        text = None if formula is None else unquoted(formula[1:-4] if len(formula) > 2 else "")
        yield before, head, look, kind, text, value and unquoted(value)


def unquoted(text: str) -> str:
    r"""Return a text whose signs are themselves.

    >>> unquoted("a &lt; b &amp;amp; c&#13;")
    'a < b &amp; c\\r'
    """
    return _ENTITY.sub(_sign, text) if "&" in text else text


def _sign(found: re.Match[str]) -> str:
    hexadecimal, decimal, name = found.groups()
    return _NAMED[name] if name else chr(int(hexadecimal, 16) if hexadecimal else int(decimal))

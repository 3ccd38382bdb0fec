"""XML parts read without trust and written back the same way every time."""

from __future__ import annotations

import re

from lxml import etree

from sheetkit.book.workbook import Refused

Element = etree._Element

MOST_HELD = 4_000_000
"""What a part held in memory whole may weigh: twice 10,000 part rows with all columns filled."""
LONGEST_PIECE = 2_000_000
"""Bytes from one opening bracket to the next; a cell holds 32,767 characters."""
_BYTES_IN_ONE = 20

_PROLOG = re.compile(rb"\s*+(?>(?><\?.*?\?>|<!--.*?-->)\s*+)*+<!DOCTYPE", re.DOTALL)
_WIDE = (b"\xff\xfe", b"\xfe\xff", b"<\0", b"\0<")


def plain(data: bytes) -> bytes:
    """Return an XML part as bytes without a byte order mark, refusing one that declares a DOCTYPE.

    No part of a workbook needs one, and entities declared there can grow without end.
    """
    if data.startswith(_WIDE):
        try:
            data = re.sub(r"""encoding=["'][^"']*["']""", "", data.decode("utf-16"), count=1).encode()
        except UnicodeDecodeError as error:
            raise Refused("damaged") from error
    data = data.removeprefix(b"\xef\xbb\xbf")
    if _PROLOG.match(data):
        raise Refused("declares entities")
    return data


def weight(data: bytes) -> int:
    """Return about how many elements, attributes and texts an XML part holds: its cost in memory and time."""
    return data.count(b"<") + data.count(b"=") + len(data) // _BYTES_IN_ONE


def bounded(data: bytes, name: str, most: int = MOST_HELD) -> bytes:
    """Return an XML part, refusing one that would fill the memory though its file is small."""
    if weight(data) > most or not _is_parted(data):
        raise Refused("too large", name)
    return data


def _is_parted(data: bytes) -> bool:
    """Return whether no tag and no text is longer than any that a spreadsheet program writes."""
    at = 0
    while at + LONGEST_PIECE < len(data):
        at = data.rfind(b"<", at, at + LONGEST_PIECE) + 1
        if not at:
            return False
    return True


def tree(data: bytes, name: str = "", most: int = MOST_HELD) -> Element:
    """Return the root element of an XML part."""
    try:
        return etree.fromstring(plain(bounded(data, name, most)), _parser())
    except etree.XMLSyntaxError as error:
        raise damaged(name, error) from error


def damaged(name: str, error: Exception) -> Refused:
    """Return the refusal of a part that cannot be read, with the line where that shows."""
    line = getattr(error, "lineno", None)
    return Refused("damaged", f"{name}, line {line}" if line else name)


def root(space: str, name: str) -> Element:
    """Return a new root element whose namespace needs no prefix."""
    return etree.fromstring(f'<{name} xmlns="{space}"/>')


def written(element: Element) -> bytes:
    """Return an XML part's bytes."""
    return etree.tostring(element, encoding="UTF-8", xml_declaration=True, standalone=True)


def _parser() -> etree.XMLParser:
    return etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=True)

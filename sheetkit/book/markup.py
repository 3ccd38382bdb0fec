"""XML parts read without trust and written back the same way every time."""

from __future__ import annotations

import re

from lxml import etree

from sheetkit.book.workbook import Refused

Element = etree._Element

_PROLOG = re.compile(rb"\s*+(?>(?><\?.*?\?>|<!--.*?-->)\s*+)*+<!DOCTYPE", re.DOTALL)
_WIDE = (b"\xff\xfe", b"\xfe\xff", b"<\0", b"\0<")


def plain(data: bytes) -> bytes:
    """Give an XML part as bytes without a byte order mark, refusing one that declares a DOCTYPE.

    No part of a workbook needs one, and entities declared there can grow without end.
    """
    if data.startswith(_WIDE):
        try:
            data = re.sub(r"""encoding=["'][^"']*["']""", "", data.decode("utf-16"), count=1).encode()
        except UnicodeDecodeError as error:
            raise Refused("damaged", str(error)) from error
    data = data.removeprefix(b"\xef\xbb\xbf")
    if _PROLOG.match(data):
        raise Refused("declares entities")
    return data


def tree(data: bytes, name: str = "") -> Element:
    """Give the root element of an XML part."""
    try:
        return etree.fromstring(plain(data), _parser())
    except etree.XMLSyntaxError as error:
        raise Refused("damaged", f"{name}: {error}" if name else str(error)) from error


def root(space: str, name: str) -> Element:
    """Give a new root element whose namespace needs no prefix."""
    return etree.Element(f"{{{space}}}{name}", nsmap={None: space})  # type: ignore[dict-item]


def written(element: Element) -> bytes:
    """Give an XML part's bytes."""
    return etree.tostring(element, encoding="UTF-8", xml_declaration=True, standalone=True)


def _parser() -> etree.XMLParser:
    return etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=True)

"""The element and attribute names of OpenDocument spreadsheets, and names of our own for styles."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping

from lxml import etree

from sheetkit.book.markup import Element

NAMESPACES = {
    "office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0",
    "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
    "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0",
    "style": "urn:oasis:names:tc:opendocument:xmlns:style:1.0",
    "fo": "urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0",
    "number": "urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0",
    "draw": "urn:oasis:names:tc:opendocument:xmlns:drawing:1.0",
    "dr3d": "urn:oasis:names:tc:opendocument:xmlns:dr3d:1.0",
    "svg": "urn:oasis:names:tc:opendocument:xmlns:svg-compatible:1.0",
    "xlink": "http://www.w3.org/1999/xlink",
    "dc": "http://purl.org/dc/elements/1.1/",
    "meta": "urn:oasis:names:tc:opendocument:xmlns:meta:1.0",
    "config": "urn:oasis:names:tc:opendocument:xmlns:config:1.0",
    "manifest": "urn:oasis:names:tc:opendocument:xmlns:manifest:1.0",
    "of": "urn:oasis:names:tc:opendocument:xmlns:of:1.2",
    "ooo": "http://openoffice.org/2004/office",
    "calcext": "urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0",
    "loext": "urn:org:documentfoundation:names:experimental:office:xmlns:loext:1.0",
}
MIMETYPE = "application/vnd.oasis.opendocument.spreadsheet"
OURS = "sk-"
"""Start of the name of every style and picture that sheetkit makes.

No underscore, which spreadsheet programs escape."""
MAX_ROWS = 1_048_576
MAX_COLUMNS = 16_384


def name(prefixed: str) -> str:
    """Return the full name of an element or attribute.

    >>> name("xlink:href")
    '{http://www.w3.org/1999/xlink}href'
    """
    prefix, _, local = prefixed.partition(":")
    return f"{{{NAMESPACES[prefix]}}}{local}"


VERSION = name("office:version")
NEWEST = "1.3"
"""The version of the standard that new workbooks follow."""


def make(prefixed: str, attributes: Mapping[str, str] | None = None, *children: Element) -> Element:
    """Return a new element; the names of its attributes carry their prefixes."""
    prefixes = {key.partition(":")[0] for key in (prefixed, *(attributes or ()))}
    element = etree.Element(name(prefixed), nsmap={prefix: NAMESPACES[prefix] for prefix in sorted(prefixes)})
    for key, value in (attributes or {}).items():
        element.set(name(key), value)
    element.extend(children)
    return element


def root(prefixed: str, *prefixes: str, version: str = NEWEST) -> Element:
    """Return the root of a new document with its namespaces declared; old files tell no version."""
    element = etree.Element(name(prefixed), nsmap={prefix: NAMESPACES[prefix] for prefix in prefixes})
    if version:
        element.set(VERSION, version)
    return element


def version_of(document: Element) -> str:
    """Return the version of the standard that a document says it follows, empty where it says none."""
    return document.get(VERSION) or ""


def is_recent(version: str) -> bool:
    """Return whether a document of this version may hold what came with version 1.3.

    >>> is_recent("1.4"), is_recent("1.2"), is_recent("")
    (True, False, False)
    """
    numbers = re.fullmatch(r"([0-9]{1,4})\.([0-9]{1,4})", version)
    return numbers is not None and (int(numbers[1]), int(numbers[2])) >= (1, 3)


def fingerprint(element: Element) -> str:
    """Return ten characters that stand for what an element says, whatever prefixes it says it with."""
    return hashlib.sha256(repr(_said(element)).encode()).hexdigest()[:10]


def _said(element: Element) -> tuple[object, ...]:
    attributes = sorted((str(key), str(value)) for key, value in element.attrib.items())
    children = [(_said(child), (child.tail or "").strip()) for child in element if isinstance(child.tag, str)]
    return element.tag, attributes, (element.text or "").strip(), children


def slug(text: str) -> str:
    """Return a text as the tail of a style name that spreadsheet programs leave as it is.

    >>> slug("rough sizes")
    'rough-20-sizes'
    """
    return re.sub(r"[^A-Za-z0-9]", lambda match: f"-{ord(match[0]):x}-", text)

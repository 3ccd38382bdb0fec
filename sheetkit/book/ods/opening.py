"""Opening an .ods file, and the reasons for which one is refused."""

from __future__ import annotations

import re

from sheetkit.book.markup import Element, tree
from sheetkit.book.ods.names import MIMETYPE, name
from sheetkit.book.package import Held, Package
from sheetkit.book.workbook import Refused

MANIFEST = "META-INF/manifest.xml"
CONTENT, STYLES, SETTINGS = "content.xml", "styles.xml", "settings.xml"
MOST_CONTENT = 8_000_000
"""What the content may weigh: it holds all tabs, and says the same in more words than .xlsx does."""

_FLAT = re.compile(rb"<(?:[\w-]+:)?document\s[^>]*opendocument|<office:document\b")
_DOCTYPE = re.compile(rb"<!DOCTYPE[^>\[]*>")


def opened(data: Held) -> Package:
    """Open a spreadsheet document.

    Raises
    ------
    Refused
        When it is encrypted, signed, damaged, no .ods workbook, or not safe to work on.
    """
    if _FLAT.search(data[:4096]) and data[:2] != b"PK":
        raise Refused("flat file")
    package = Package(data, case_matters=True)
    manifest = manifest_of(package)
    if any(part.tag == name("manifest:encryption-data") for part in manifest.iter()):
        raise Refused("encrypted")
    if "META-INF/documentsignatures.xml" in package:
        raise Refused("signed")
    kind = package.read("mimetype").decode("ascii", "replace").strip() if "mimetype" in package else MIMETYPE
    if kind.removesuffix("-template") != MIMETYPE:
        raise Refused("not a workbook", kind)
    if CONTENT not in package:
        raise Refused("damaged", CONTENT)
    return package


def manifest_of(package: Package) -> Element:
    """Return the list of entries. Old writers declare a document type in it, which is passed over."""
    if MANIFEST not in package:
        raise Refused("not a workbook" if CONTENT not in package else "damaged", MANIFEST)
    return tree(_DOCTYPE.sub(b"", package.read(MANIFEST), count=1), MANIFEST)

"""What the workbook writer leaves to be put right: true sizes of pictures, results that are empty text."""

from __future__ import annotations

import copy
import re
from collections.abc import Mapping, Sequence

from lxml import etree

from sheetkit.book.markup import Element, tree, written
from sheetkit.book.package import Package

EMPTY_RESULT = "sheetkit-empty-result"
"""Stands for a stored result that is a text of no characters, which the writer cannot say."""
_ROW = re.compile(rb'<row r="([0-9]+)"(?: spans="[0-9:]*")?')
_APPLICATION = re.compile(rb"<Application>[^<]*</Application>")
_VERSION = re.compile(rb"<AppVersion>[^<]*</AppVersion>")
_DRAWING = "http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing"
_SHAPES = "http://schemas.openxmlformats.org/drawingml/2006/main"


def finished(data: bytes, grown: Sequence[Mapping[int, float]]) -> bytes:
    """Return a newly written workbook put right, the rows of each tab as high as their text needs."""
    package = Package(data)
    mark = f"<v>{EMPTY_RESULT}</v>".encode()
    for name in package.names():
        if name.startswith("xl/worksheets/sheet"):
            content = package.read(name)
            heights = grown[int(name[len("xl/worksheets/sheet") : -len(".xml")]) - 1]
            right = _grown(content, heights).replace(mark, b"<v></v>")
            if right != content:
                package.write(name, right)
        elif name == "docProps/app.xml":
            package.write(name, _made_by_us(package.read(name)))
        elif name.startswith("xl/drawings/drawing"):
            package.write(name, _sized(package.read(name)))
    return package.save()


def ht(height: float | None) -> bytes:
    """Return what a row says of a height that no one set: text written there later may change it."""
    return b"" if height is None else f' ht="{height:g}"'.encode()


def _grown(content: bytes, heights: Mapping[int, float]) -> bytes:
    return _ROW.sub(lambda row: row[0] + ht(heights.get(int(row[1]))), content) if heights else content


def _made_by_us(properties: bytes) -> bytes:
    """Name the program that made the workbook; of which version of another it is, nothing can be said.

    LibreOffice then computes formulas with a text as their result anew, and takes stored numbers as before.
    """
    return _VERSION.sub(b"", _APPLICATION.sub(b"<Application>sheetkit</Application>", properties))


def _sized(drawing: bytes) -> bytes:
    """Anchor pictures by one corner and a size, so that rows growing with their text do not stretch them."""
    root = tree(drawing)
    for anchor in list(root.iterchildren(f"{{{_DRAWING}}}twoCellAnchor")):
        size = anchor.find(f".//{{{_SHAPES}}}xfrm/{{{_SHAPES}}}ext")
        corner = anchor.find(f"{{{_DRAWING}}}from")
        if size is None or corner is None:
            continue
        fixed = etree.Element(f"{{{_DRAWING}}}oneCellAnchor")
        fixed.append(copy.deepcopy(corner))
        etree.SubElement(fixed, f"{{{_DRAWING}}}ext", cx=size.get("cx", ""), cy=size.get("cy", ""))
        rest: list[Element] = list(anchor)[2:]
        fixed.extend(rest)
        root.replace(anchor, fixed)
    return written(root)

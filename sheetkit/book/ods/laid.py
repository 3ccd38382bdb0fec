"""What the maker laid over a tab of ours: pictures and shapes, which lie over the fresh tab as well."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from lxml import etree

from sheetkit.book.markup import Element, tree
from sheetkit.book.ods.formula import block_of
from sheetkit.book.ods.marks import EXPRESSIONS, marks_of
from sheetkit.book.ods.names import NAMESPACES, name
from sheetkit.book.ods.opening import CONTENT, MOST_CONTENT, opened
from sheetkit.book.ods.read import SPREADSHEET
from sheetkit.book.ods.table import (
    CELL,
    COLUMNS_REPEATED,
    COVERED,
    NAME,
    ROW,
    ROW_HOLDERS,
    ROWS_REPEATED,
    SHAPES,
    TABLE,
    times,
    within,
)
from sheetkit.book.package import Package
from sheetkit.book.pictures import LaidOver, Ours, Place, row_below
from sheetkit.page import Address, Page

_FRAME, _IMAGE, _TITLE = name("draw:frame"), name("draw:image"), name("svg:title")
_SHAPE_NAME, _HREF = name("draw:name"), name("xlink:href")
_XML_ID = "{http://www.w3.org/XML/1998/namespace}id"
_END = name("table:end-cell-address")
_DRAWN = tuple(f"{{{NAMESPACES[space]}}}*" for space in ("draw", "dr3d"))
_FORMS = name("office:forms")
_BOUND = frozenset(
    (
        *(name("office:annotation"), _FORMS, name("draw:control")),
        *(name(f"draw:{kind}") for kind in ("object", "object-ole", "plugin", "applet", "floating-frame")),
    )
)
_POINTS = {"in": 72.0, "cm": 72 / 2.54, "mm": 7.2 / 2.54, "pt": 1.0, "pc": 12.0, "px": 0.75}


class Laid(NamedTuple):
    """What lies over one tab besides its cells."""

    shapes: tuple[Element, ...] = ()
    """What is held by the tab itself."""
    cells: Mapping[Address, tuple[Element, ...]] = {}
    """What is held by a cell."""
    is_bound: bool = False
    """Whether something on the tab belongs to its cells as they stand."""

    @property
    def is_free(self) -> bool:
        """Whether there is something that lies over a fresh tab as well."""
        return bool(self.shapes or self.cells)


def laid_over(data: bytes) -> LaidOver:
    """Return which of our tabs carry something of the maker's besides cells."""
    package = opened(data)
    body = tree(package.read(CONTENT), CONTENT, MOST_CONTENT).find(f".//{SPREADSHEET}")
    if body is None:
        return LaidOver()
    tables = {table.get(NAME) or "": table for table in body.iterchildren(TABLE)}
    found = marks_of(body.iterfind(f"{EXPRESSIONS}/*"), tables)
    laid = {
        key: laid_on(tables[title], package, Ours(key, found.notes)) for key, title in found.owned.items()
    }
    return LaidOver(
        frozenset(key for key, each in laid.items() if each.is_bound),
        frozenset(key for key, each in laid.items() if each.is_free),
    )


def laid_on(table: Element, package: Package, ours: Ours) -> Laid:
    """Return what lies over a tab, each thing a copy."""
    if next(table.iter(*_BOUND, *_DRAWN), None) is None:
        return Laid()

    def free(holder: Element) -> tuple[Element, ...]:
        things = [each for each in holder.iterchildren(*_DRAWN) if not _is_ours(each, package, ours)]
        return tuple(_alone(each) for each in things if not _is_bound(each))

    shapes = tuple(each for holder in table.iterchildren(SHAPES) for each in free(holder))
    cells = {at: found for at, cell in _cells(table) if len(cell) and (found := free(cell))}
    return Laid(shapes, cells, _is_bound(table))


def bound_in(table: Element) -> list[Address]:
    """Return where on a tab there is something that cannot follow to another: charts and the like."""
    found = [(1, 1) for holder in table.iterchildren(SHAPES) for each in holder if _is_bound(each)]
    return found + [
        at for at, cell in _cells(table) for each in cell.iterchildren(*_DRAWN) if _is_bound(each)
    ]


def _is_bound(thing: Element) -> bool:
    # LibreOffice puts an empty box for forms on the tab that is shown when it saves
    return any(each.tag != _FORMS or len(each) for each in thing.iter(*_BOUND))


def _alone(thing: Element) -> Element:
    made = copy.deepcopy(thing)
    made.tail = None
    return made


def _cells(table: Element) -> Iterator[tuple[Address, Element]]:
    row = 1
    for line in within(table, ROW, ROW_HOLDERS):
        column = 1
        for cell in line.iterchildren(CELL, COVERED):
            yield (row, column), cell
            column += times(cell, COLUMNS_REPEATED)
        row += times(line, ROWS_REPEATED)


def _is_ours(thing: Element, package: Package, ours: Ours) -> bool:
    image = thing.find(_IMAGE)
    if thing.tag != _FRAME or image is None:
        return False
    entry = (image.get(_HREF) or "").removeprefix("./")
    png = package.read(entry) if entry in package else b""
    return ours.has(thing.get(_SHAPE_NAME) or "", thing.findtext(_TITLE) or "", png)


def with_names_of_its_own(laid: Laid) -> Laid:
    """Return it with other names for what lines join: things on the tab that is kept have the old ones."""
    things = [*laid.shapes, *(each for found in laid.cells.values() for each in found)]
    keys = {_XML_ID, name("draw:id")}
    elements = [each for thing in things for each in thing.iter(etree.Element)]
    taken = {str(value) for each in elements for key, value in each.attrib.items() if str(key) in keys}
    joins = {*keys, name("draw:start-shape"), name("draw:end-shape")}
    for each in elements:
        for key in joins & {str(key) for key in each.attrib}:
            label = each.get(key) or ""
            if label in taken:
                each.set(key, f"{label}-again")
    return laid


def places_of(laid: Laid, page: Page) -> list[Place]:
    """Return where the maker's pictures and shapes lie on a page."""
    found = [place_of(each, page) for each in laid.shapes]
    return found + [place_of(each, page, *at) for at, things in laid.cells.items() for each in things]


def place_of(thing: Element, page: Page, row: int = 1, column: int = 1) -> Place:
    """Return where one thing lies on a page, held by the tab or by a cell."""
    end = block_of(thing.get(_END) or "")
    down, tall = (points(thing.get(name(key))) for key in ("svg:y", "svg:height"))
    first = row if end else row_below(page, row, down)
    return Place(first, column, end[1].last_row if end else row_below(page, row, down + tall))


def points(length: str | None) -> float:
    """Return a length in points; 0 where it is in no unit that is known.

    >>> points("0.5in"), points("2em"), points(None)
    (36.0, 0.0, 0.0)
    """
    text = (length or "").strip()
    try:
        return float(text[:-2]) * _POINTS.get(text[-2:], 0.0)
    except ValueError:
        return 0.0

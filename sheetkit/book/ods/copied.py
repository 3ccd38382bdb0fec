"""A tab of ours as a workbook of its own, with the pictures and shapes that the maker laid over it."""

from __future__ import annotations

import copy
from collections.abc import Iterable

from lxml import etree

from sheetkit.book.markup import Element, tree
from sheetkit.book.ods.entries import pictures_in
from sheetkit.book.ods.laid import Laid, bound_in, laid_on, place_of
from sheetkit.book.ods.marks import EXPRESSIONS, marks_of
from sheetkit.book.ods.names import NAMESPACES, make, name
from sheetkit.book.ods.opening import CONTENT, MOST_CONTENT, STYLES, opened
from sheetkit.book.ods.pagestyle import pictures_of
from sheetkit.book.ods.read import SPREADSHEET
from sheetkit.book.ods.render import entries_of, packed
from sheetkit.book.ods.styles import MASTER, Pool
from sheetkit.book.ods.table import NAME, STYLE_NAME, TABLE
from sheetkit.book.package import Package
from sheetkit.book.pictures import Original, Ours
from sheetkit.page import Address, Page

_DRAW = f"{{{NAMESPACES['draw']}}}"
_AUTOMATIC, _COMMON, _FONTS = (
    name(f"office:{kind}") for kind in ("automatic-styles", "styles", "font-face-decls")
)
_MASTERS = name("office:master-styles")
_LABELS = (name("style:name"), name("draw:name"))
_END, _FAMILY = name("table:end-cell-address"), name("style:family")


def copy_of(page: Page, original: Original) -> tuple[bytes, tuple[Address, ...]]:
    """Return a workbook of a page and what lies over the original, and where what is left out lies."""
    package = opened(original.data)
    content = tree(package.read(CONTENT), CONTENT, MOST_CONTENT)
    body = content.find(f".//{SPREADSHEET}")
    assert body is not None
    tables = {table.get(NAME) or "": table for table in body.iterchildren(TABLE)}
    ours = Ours(original.key, marks_of(body.iterfind(f"{EXPRESSIONS}/*"), tables).notes)
    table = tables[original.page.title]
    left = bound_in(table)
    laid = _shown(laid_on(table, package, ours), original, left)
    things = [*laid.shapes, *(each for found in laid.cells.values() for each in found)]
    for each in (inner for thing in things for inner in thing.iter(etree.Element)):
        if _END in each.attrib:
            each.set(_END, f"{page.title}.{(each.get(_END) or '').rpartition('.')[2]}")
    styles = tree(package.read(STYLES), STYLES) if STYLES in package else make("office:document-styles")

    def look(made: Element, made_styles: Element) -> None:
        if things:
            _bring_looks(things, (content, styles), (made, made_styles))

    entries = entries_of([page], laid.shapes, laid.cells, look, _set_up(table, content, styles))
    return packed(entries | _pictures(package, entries)), tuple(left)


def _set_up(table: Element, content: Element, styles: Element) -> dict[str, Element]:
    """Return the pictures of a tab's page set-up."""
    automatic, layouts, masters = content.find(_AUTOMATIC), styles.find(_AUTOMATIC), styles.find(_MASTERS)
    if automatic is None or layouts is None or masters is None:
        return {}
    style = Pool(automatic).get(table.get(STYLE_NAME) or "", "table")
    return {} if style is None else pictures_of(layouts, masters, style.get(MASTER) or "")


def _shown(laid: Laid, original: Original, left: list[Address]) -> Laid:
    """Return what is to be seen of what lies over a tab."""

    def seen(thing: Element, row: int = 1, column: int = 1) -> bool:
        place = place_of(thing, original.page, row, column)
        if not original.shows(place):
            left.append((place.row, place.column))
        return original.shows(place)

    shapes = tuple(each for each in laid.shapes if seen(each))
    cells = {at: tuple(each for each in things if seen(each, *at)) for at, things in laid.cells.items()}
    return Laid(shapes, {at: things for at, things in cells.items() if things})


def _bring_looks(
    things: Iterable[Element], sources: tuple[Element, Element], made: tuple[Element, Element]
) -> None:
    """Bring the styles that pictures and shapes refer to, however far, and the fonts."""
    content, styles = sources
    known: dict[str, list[tuple[Element, Element]]] = {}
    homes = ((content, _AUTOMATIC, made[0]), (styles, _COMMON, made[1]), (content, _FONTS, made[0]))
    for source, kind, target in homes:
        box = source.find(kind)
        for each in () if box is None else box.iterchildren(etree.Element):
            home = target.find(kind)
            if home is None:
                home = make(f"office:{etree.QName(kind).localname}")
                target.insert(0, home)
            for label in {each.get(key) for key in _LABELS} - {None}:
                known.setdefault(str(label), []).append((each, home))
            if each.get(_FAMILY) == "graphic" and not any(each.get(key) for key in _LABELS):
                known.setdefault("", []).append((each, home))  # how graphics look that say nothing
    reached: set[str] = set()
    waiting = {"", *(label for thing in things for label in _labels(thing))}
    while waiting:
        reached |= waiting
        found = [pair for label in sorted(waiting) for pair in known.get(label, ())]
        for each, home in found:
            home.append(copy.deepcopy(each))
        waiting = {label for each, _ in found for label in _labels(each)} - reached


def _labels(element: Element) -> set[str]:
    """Return the names of styles, fills, lines, markers and fonts that an element refers to."""
    found: set[str] = set()
    for each in element.iter(etree.Element):
        for key, value in each.attrib.items():
            local = etree.QName(str(key)).localname
            drawn = str(key).startswith(_DRAW) and local in ("marker-start", "marker-end", "stroke-dash")
            if drawn or (local.endswith("-name") and local != "display-name"):
                found.update({str(value), *str(value).split()})
    return found


def _pictures(package: Package, entries: dict[str, bytes]) -> dict[str, bytes]:
    wanted = pictures_in(entries[CONTENT], entries[STYLES])
    return {entry: package.read(entry) for entry in sorted(wanted) if entry in package}

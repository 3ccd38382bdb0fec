"""A tab of ours as a workbook of its own, with the pictures and shapes that the maker laid over it."""

from __future__ import annotations

from lxml import etree

from sheetkit.book.markup import Element, written
from sheetkit.book.pictures import Original, Ours
from sheetkit.book.xlsx.book import Book
from sheetkit.book.xlsx.laid import Laid, held_parts, laid_on, lay, place_of, without
from sheetkit.book.xlsx.names import marks
from sheetkit.book.xlsx.properties import without_properties
from sheetkit.book.xlsx.relations import STRICT_FAMILIES, STRICT_MAIN, links_name
from sheetkit.book.xlsx.render import render
from sheetkit.page import Address, Page

_LEADING = ("macro", "textlink")
"""Attributes by which a shape leads to what the copy does not hold."""


def copy_of(page: Page, original: Original) -> tuple[bytes, tuple[Address, ...]]:
    """Return a workbook of a page and what lies over the original, and where what is left out lies."""
    source, made = Book(original.data), Book(without_properties(render([page])))
    laid = laid_on(source, original.page.title, Ours(original.key, marks(source).notes))
    left: list[Address] = []
    if laid.drawing:
        laid = _shown(source, laid, original, left)
    for part in sorted(held_parts(source.parts, laid)):
        for name, kind in ((part, source.parts.content_type(part)), (links_name(part), "")):
            if name in source.parts.package:
                made.parts.write(name, _ordinary(source, name), kind)
    link = made.link_of(made.sheets()[0])
    if laid.is_free and link is not None:
        lay(made, link.target, laid)
    return made.parts.save(), tuple(left)


def _shown(source: Book, laid: Laid, original: Original, left: list[Address]) -> Laid:
    """Return what is to be seen of what lies over a tab, the rest taken out of its drawing."""
    parts, gone = source.parts, set(laid.ours)
    root = parts.tree(laid.drawing)
    for at, thing in enumerate(root.iterchildren(etree.Element)):
        place = place_of(thing, original.page)
        if at not in laid.ours and (at in laid.bound or not original.shows(place)):
            left.append((place.row, place.column))
            gone.add(at)
    leads = _cut_loose(root)
    if not gone and not leads:
        return laid
    root, dead = without(root, gone)
    parts.write(laid.drawing, written(root))
    parts.unrelate(laid.drawing, dead)
    return laid._replace(free=len(root) > 0, ours=frozenset(), bound=frozenset())


def _cut_loose(root: Element) -> bool:
    """Let no shape lead to a program or a cell; return whether one did."""
    found = [(each, name) for each in root.iter(etree.Element) for name in _LEADING if each.get(name)]
    for each, name in found:
        each.set(name, "")
    return bool(found)


def _ordinary(source: Book, part: str) -> bytes:
    """Return a part in the namespaces of an ordinary file."""
    content = source.parts.read(part)
    if source.space == STRICT_MAIN and part.endswith((".xml", ".rels", ".vml")):
        for ordinary, strict in STRICT_FAMILIES.items():
            content = content.replace(strict.encode(), ordinary.encode())
    return content

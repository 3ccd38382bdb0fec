"""What the maker laid over a tab of ours: pictures and shapes, which lie over the fresh tab as well."""

from __future__ import annotations

import copy
from collections.abc import Collection, Iterable
from typing import NamedTuple

from lxml import etree

from sheetkit.book.markup import Element, tree, written
from sheetkit.book.pictures import LaidOver, Ours, Place, name_of_ours, row_below
from sheetkit.book.xlsx.book import Book, placed
from sheetkit.book.xlsx.names import marks
from sheetkit.book.xlsx.relations import Parts, Relation
from sheetkit.book.xlsx.rows import ORDER
from sheetkit.book.xlsx.seats import titled
from sheetkit.page import Page

_ANCHORED = frozenset({"oneCellAnchor", "twoCellAnchor", "absoluteAnchor"})
_HEADER, _GROUND = "legacyDrawingHF", "picture"
_SET_UP = {"vmlDrawing": _HEADER, "image": _GROUND}
"""Kind of relation -> the element of a tab that leads to a picture of the page set-up by it."""
_SIDES = ("oddHeader", "oddFooter", "evenHeader", "evenFooter", "firstHeader", "firstFooter")
_EMU = 12_700
"""Units of a drawing in a point."""


class Laid(NamedTuple):
    """What lies over one tab besides its cells."""

    drawing: str = ""
    """The part that holds pictures and shapes, ours among them; empty where there is none."""
    free: bool = False
    """Whether some of them are to lie over a fresh tab as well."""
    ours: frozenset[int] = frozenset()
    """Which things in it, counted from 0, are pictures of ours."""
    bound: frozenset[int] = frozenset()
    """Which cannot follow to another tab: charts and the like."""
    set_up: tuple[tuple[str, Relation], ...] = ()
    """Pictures of the page set-up: the element that leads there and its relation."""
    header: Element | None = None
    """The header and footer in which such a picture stands."""
    is_bound: bool = False
    """Whether something on the tab belongs to its cells as they stand."""

    @property
    def is_free(self) -> bool:
        """Whether there is something that lies over a fresh tab as well."""
        return bool(self.free or self.set_up)


def laid_over(data: bytes) -> LaidOver:
    """Return which of our tabs carry something of the maker's besides cells."""
    book = Book(data)
    found = marks(book)
    bound, free = set(), set()
    for key, title in found.tabs.items():
        laid = laid_on(book, title, Ours(key, found.notes))
        if laid.is_bound:
            bound.add(key)
        if laid.is_free:
            free.add(key)
    return LaidOver(frozenset(bound), frozenset(free))


def laid_on(book: Book, title: str, ours: Ours) -> Laid:
    """Return what lies over the tab of a title."""
    sheet = titled(book, title)
    link = None if sheet is None else book.link_of(sheet)
    if link is None:
        return Laid()
    parts, tab = book.parts, link.target
    found = Laid()
    for relation in parts.relations(tab):
        if relation.kind == "drawing" and relation.inside:
            found = _drawn(parts, relation.target, ours, found)
        elif relation.kind in _SET_UP and relation.inside:
            found = _set_up(book, tab, relation, found)
        elif relation.kind not in ("hyperlink", "printerSettings"):
            found = found._replace(is_bound=True)
    return found


def _drawn(parts: Parts, drawing: str, ours: Ours, found: Laid) -> Laid:
    places = {each.id: each for each in parts.relations(drawing)}
    things = list(parts.tree(drawing).iterchildren(etree.Element))
    known = frozenset(at for at, each in enumerate(things) if _is_ours(parts, each, places, ours))
    bound = frozenset(at for at, each in enumerate(things) if _is_bound(each))
    free = len(things) > len(known | bound)
    return found._replace(
        drawing=drawing, free=free, ours=known, bound=bound, is_bound=found.is_bound or bool(bound)
    )


def _is_ours(parts: Parts, thing: Element, places: dict[str, Relation], ours: Ours) -> bool:
    inside = [each for each in thing.iterchildren(etree.Element) if _local(each) == "pic"]
    said = next((each for each in thing.iter(etree.Element) if _local(each) == "cNvPr"), None)
    if len(inside) != 1 or said is None:
        return False
    linked = (places[each] for each in sorted(_links(thing)) if each in places)
    at = next((each for each in linked if each.kind == "image" and each.inside), None)
    png = b"" if at is None else parts.read(at.target)
    return ours.has(said.get("name", ""), said.get("descr", ""), png)


def _is_bound(thing: Element) -> bool:
    charted = any(_local(each) == "graphicFrame" for each in thing.iter(etree.Element))
    return charted or _local(thing) not in _ANCHORED


def _set_up(book: Book, tab: str, relation: Relation, found: Laid) -> Laid:
    root = book.parts.tree(tab)
    element = root.find(book.tag(_SET_UP[relation.kind]))
    if element is None or element.get(f"{{{book.office}}}id") != relation.id:
        return found._replace(is_bound=True)
    header = root.find(book.tag("headerFooter"))
    return found._replace(
        set_up=(*found.set_up, (_SET_UP[relation.kind], relation)),
        header=header if relation.kind == "vmlDrawing" else found.header,
    )


def held_parts(parts: Parts, laid: Laid) -> set[str]:
    """Return the parts that what lies over a tab needs, however far they lead."""
    if not laid.is_free:
        return set()
    found = {relation.target for _, relation in laid.set_up}
    if laid.free:
        root = parts.tree(laid.drawing)
        _, dead = without(root, laid.ours | laid.bound)
        found.add(laid.drawing)
        found.update(
            each.target for each in parts.relations(laid.drawing) if each.inside and each.id not in dead
        )
    return found | _below(parts, found - {laid.drawing})


def _below(parts: Parts, roots: Iterable[str]) -> set[str]:
    found, waiting = set(roots), list(roots)
    while waiting:
        for relation in parts.relations(waiting.pop()):
            if relation.inside and relation.target not in found:
                found.add(relation.target)
                waiting.append(relation.target)
    return found


def copied(book: Book, laid: Laid) -> Laid:
    """Return what lies over a tab in drawings of its own, for the tab that keeps the old ones stays."""
    drawing = _copied(book, laid.drawing, ".xml") if laid.free else ""
    set_up = tuple(
        (element, each._replace(target=_copied(book, each.target, ".vml")) if element == _HEADER else each)
        for element, each in laid.set_up
    )
    return laid._replace(drawing=drawing, set_up=set_up)


def _copied(book: Book, part: str, extension: str) -> str:
    name = book.parts.free(f"{book.folder}drawings/sheetkit", extension)
    book.parts.write(name, book.parts.read(part), book.parts.content_type(part))
    book.parts.copy_relations(part, name)
    return name


def lay(book: Book, tab: str, laid: Laid) -> None:
    """Lay it over a fresh tab, above the pictures that the tab has."""
    if not laid.is_free:
        return
    parts = book.parts
    root = parts.tree(tab)
    if laid.free:
        fresh = next((each for each in parts.relations(tab) if each.kind == "drawing"), None)
        _merge(book, laid, fresh.target if fresh else "")
        kind = f"{book.office}/drawing"
        _lead(book, root, "drawing", parts.relate(tab, kind, laid.drawing, fresh.id if fresh else ""))
    for element, relation in laid.set_up:
        _lead(book, root, element, parts.relate(tab, f"{book.office}/{relation.kind}", relation.target))
    if laid.header is not None:
        _put_header(book, root, laid.header)
    parts.write(tab, written(root))


def _lead(book: Book, root: Element, element: str, link: str) -> None:
    found = root.find(book.tag(element))
    found = placed(root, book.tag(element), ORDER) if found is None else found
    found.set(f"{{{book.office}}}id", link)


def _put_header(book: Book, root: Element, header: Element) -> None:
    """Put in a header with a picture; where it has none, what the tab says of itself stands."""
    fresh = root.find(book.tag("headerFooter"))
    made = copy.deepcopy(header)
    made.tail = None
    for side in ("oddHeader", "oddFooter"):
        old, new = made.find(book.tag(side)), None if fresh is None else fresh.find(book.tag(side))
        if old is not None and "&G" in (old.text or ""):
            continue
        if old is not None:
            made.remove(old)
        if new is not None:
            placed(made, new.tag, _SIDES).text = new.text
    if fresh is None:
        fresh = placed(root, book.tag("headerFooter"), ORDER)
    root.replace(fresh, made)


def _merge(book: Book, laid: Laid, fresh: str) -> None:
    """Let a drawing of the maker's hold the pictures of a fresh tab below its own, and no old ones."""
    parts, drawing = book.parts, laid.drawing
    if not fresh and not laid.ours and not laid.bound:
        return
    root = parts.tree(drawing)
    root, dead = without(root, laid.ours | laid.bound)
    parts.write(drawing, written(root))
    parts.unrelate(drawing, dead)
    if not fresh:
        return
    links = {
        each.id: parts.relate(drawing, each.type, each.target)
        for each in parts.relations(fresh)
        if each.inside
    }
    said = [each for each in root.iter(etree.Element) if _local(each) == "cNvPr"]
    number = max((_number(each.get("id")) for each in said), default=0)
    for at, thing in enumerate(parts.tree(fresh).iterchildren(etree.Element)):
        mine = copy.deepcopy(thing)
        for each in mine.iter(etree.Element):
            if _local(each) == "cNvPr":
                number += 1
                each.set("id", str(number))
            for name, value in each.attrib.items():
                if _is_link(str(name)):
                    each.set(name, links[str(value)])
        root.insert(at, mine)
    parts.write(drawing, written(root))
    parts.delete(fresh)


def without(root: Element, gone: Collection[int]) -> tuple[Element, set[str]]:
    """Return a drawing without some of its things, and the links that they alone needed."""
    dead: set[str] = set()
    for at, thing in enumerate(list(root.iterchildren(etree.Element))):
        if at in gone:
            dead |= _links(thing)
            root.remove(thing)
    return root, dead - _links(root)


def _links(element: Element) -> set[str]:
    return {
        str(value)
        for each in element.iter(etree.Element)
        for name, value in each.attrib.items()
        if _is_link(str(name))
    }


def _is_link(name: str) -> bool:
    return name.startswith("{") and etree.QName(name).namespace.endswith("/relationships")


def _local(element: Element) -> str:
    return etree.QName(element).localname


def places_of(book: Book, laid: Laid, page: Page) -> list[Place]:
    """Return where the maker's pictures and shapes lie on a page, in the order of the drawing."""
    if not laid.free:
        return []
    things = enumerate(book.parts.tree(laid.drawing).iterchildren(etree.Element))
    return [place_of(thing, page) for at, thing in things if at not in laid.ours | laid.bound]


def place_of(thing: Element, page: Page) -> Place:
    """Return where one thing of a drawing lies on a page."""
    told = {_local(each): each for each in thing.iterchildren(etree.Element)}
    size = told.get("ext")
    tall = 0.0 if size is None else _number(size.get("cy")) / _EMU
    if "from" not in told:  # so far down the tab, whatever the rows are
        corner = told.get("pos")
        down = 0.0 if corner is None else _number(corner.get("y")) / _EMU
        return Place(row_below(page, 1, down), 1, row_below(page, 1, down + tall))
    row, column, begins = _corner(told["from"])
    last = _corner(told["to"])[0] if "to" in told else row_below(page, row, begins + tall)
    return Place(row, column, last)


def _corner(element: Element) -> tuple[int, int, float]:
    said = {_local(each): _number(each.text) for each in element.iterchildren(etree.Element)}
    return said.get("row", 0) + 1, said.get("col", 0) + 1, said.get("rowOff", 0) / _EMU


def _number(text: str | None) -> int:
    """Return the whole number that is written; none where another program wrote something else."""
    try:
        return int(text or "")
    except ValueError:
        return 0


def named(drawing: bytes, key: str) -> bytes:
    """Return a drawing of ours whose pictures bear the names by which they are known."""
    if not key:
        return drawing
    root = tree(drawing)
    said = (each for each in root.iter(etree.Element) if _local(each) == "cNvPr")
    for number, each in enumerate(said, 1):
        each.set("name", name_of_ours(key, number))
    return written(root)

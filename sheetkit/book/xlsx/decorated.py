"""What the maker has laid over a tab of ours, and would lose with it."""

from __future__ import annotations

from lxml import etree

from sheetkit.book.xlsx.book import Book
from sheetkit.book.xlsx.names import marks
from sheetkit.book.xlsx.relations import Parts
from sheetkit.book.xlsx.seats import titled

_OURS = frozenset({"drawing", "hyperlink", "printerSettings"})
_ANCHORED = frozenset({"oneCellAnchor", "twoCellAnchor", "absoluteAnchor"})


def decorated(data: bytes) -> frozenset[str]:
    """Return the keys of our tabs that now carry a comment, chart, shape, table or the like.

    Such a tab is to be kept under another title when a fresh one is put in. A picture that the maker
    laid over a tab of ours cannot be told from one of our own, and is not counted.
    """
    book = Book(data)
    found = set()
    for key, title in marks(book).tabs.items():
        sheet = titled(book, title)
        link = None if sheet is None else book.link_of(sheet)
        if link is not None and _carries_more(book.parts, link.target):
            found.add(key)
    return frozenset(found)


def _carries_more(parts: Parts, tab: str) -> bool:
    for relation in parts.relations(tab):
        if relation.kind not in _OURS:
            return True
        if relation.kind == "drawing" and relation.inside:
            for anchor in parts.tree(relation.target).iterchildren(etree.Element):
                if etree.QName(anchor).localname not in _ANCHORED:
                    return True
                things = {etree.QName(each).localname for each in anchor.iterchildren(etree.Element)}
                if "pic" not in things:
                    return True
    return False

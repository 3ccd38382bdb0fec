"""What the maker has laid over a tab of ours, and would lose with it."""

from __future__ import annotations

from sheetkit.book.markup import Element, tree
from sheetkit.book.ods.marks import EXPRESSIONS, marks_of
from sheetkit.book.ods.names import NAMESPACES, name
from sheetkit.book.ods.opening import CONTENT, MOST_CONTENT, opened
from sheetkit.book.ods.read import SPREADSHEET
from sheetkit.book.ods.table import NAME, TABLE

_COMMENT, _FRAME = name("office:annotation"), name("draw:frame")
_DRAWN = f"{{{NAMESPACES['draw']}}}*"
_PICTURE = frozenset((name("draw:image"), name("svg:title"), name("svg:desc")))


def decorated(data: bytes) -> frozenset[str]:
    """Return the keys of our tabs that now carry a comment, chart, shape or the like.

    Such a tab is to be kept under another title when a fresh one is put in. A picture that the maker
    laid over a tab of ours cannot be told from one of our own, and is not counted.
    """
    body = tree(opened(data).read(CONTENT), CONTENT, MOST_CONTENT).find(f".//{SPREADSHEET}")
    if body is None:
        return frozenset()
    tables = {table.get(NAME) or "": table for table in body.iterchildren(TABLE)}
    owned = marks_of(body.iterfind(f"{EXPRESSIONS}/*"), tables).owned
    return frozenset(key for key, title in owned.items() if _carries_more(tables[title]))


def _carries_more(table: Element) -> bool:
    for element in table.iter(_COMMENT, _DRAWN):
        parts = {part.tag for part in element} if element.tag == _FRAME else {element.tag}
        if not parts <= _PICTURE:
            return True
    return False

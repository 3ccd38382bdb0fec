"""Reading an .xlsx file: each tab as a Page that holds what its cells hold, and nothing for empty ones."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

from sheetkit.book.markup import bounded, weight
from sheetkit.book.package import Held
from sheetkit.book.workbook import Workbook
from sheetkit.book.xlsx.book import Book
from sheetkit.book.xlsx.looks import Looks
from sheetkit.book.xlsx.names import block, defined, is_mark, marks
from sheetkit.book.xlsx.strings import read_strings
from sheetkit.book.xlsx.tab import Source, read_tab
from sheetkit.page import Address

MOST_READ = 8_000_000
"""What all tabs together, and the shared texts, may weigh: about a million cells, more than any shop has."""


def read(data: Held, own: bool = False) -> Workbook:
    """Read an .xlsx file.

    Parameters
    ----------
    data
        The file's bytes.
    own
        Read no other tabs than our own, and the cells alone: whether they stand as they were written.

    Returns
    -------
    Workbook
        Its tabs in order, chart sheets and the like passed over, and the marks of earlier runs.

    Raises
    ------
    Refused
        When it is no workbook, is encrypted or damaged, or does not look safe to open.
    """
    with _no_collecting():
        return _read(Book(data), own)


def _read(book: Book, own: bool) -> Workbook:
    source = _source(book)
    found = marks(book)
    keys = {title.casefold(): key for key, title in found.tabs.items()}
    names = _page_names(book)
    guard = book.child("workbookProtection")
    locked = guard is not None and any(
        guard.get(name) in ("1", "true") for name in ("lockStructure", "lockWindows", "lockRevision")
    )
    pages = []
    room = MOST_READ
    for sheet in book.sheets():
        link = book.link_of(sheet)
        if link is None or link.kind != "worksheet":
            continue
        title = sheet.get("name", "")
        if own and title.casefold() not in keys:
            continue
        relations = [] if own else book.parts.relations(link.target)
        places = {each.id: each.target for each in relations if not each.inside}
        data = bounded(book.parts.read(link.target), title, room)
        room -= weight(data)
        tab = read_tab(data, title, source, None if own else places)
        locked = locked or tab.locked
        pages.append(tab.page(title, keys.get(title.casefold(), ""), names.get(title.casefold(), {})))
    return Workbook(tuple(pages), found.tabs, found.columns, found.notes, locked)


@contextmanager
def _no_collecting() -> Iterator[None]:
    """Hold off the collector of unused objects: a big tab makes many small ones, none of them unused."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _source(book: Book) -> Source:
    strings, styles = book.one("sharedStrings"), book.one("styles")
    texts: list[str] = []
    if strings:
        texts = read_strings(bounded(book.parts.read(strings), strings, MOST_READ), book.space)
    return Source(book.space, texts, Looks(book.parts.tree(styles) if styles else None), book.date1904)


def _page_names(book: Book) -> dict[str, dict[str, Address]]:
    """Return the workbook-wide names of single cells, by tab."""
    found: dict[str, dict[str, Address]] = {}
    for element in defined(book):
        if element.get("localSheetId") is not None or is_mark(element) or element.get("hidden") == "1":
            continue
        place = block(element.text or "")
        if place is not None and place[1][:2] == place[1][2:]:
            found.setdefault(place[0].casefold(), {})[element.get("name", "")] = place[1][:2]
    return found

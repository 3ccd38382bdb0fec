"""Places of tabs in a workbook, and what hangs on them: positions, local names, references by title."""

from __future__ import annotations

import re

from lxml import etree

from sheetkit.book.markup import Element, tree, written
from sheetkit.book.xlsx.book import Book, whole
from sheetkit.book.xlsx.names import defined, remove, retitled

LAST_IDENTITY = 65_534
_SELECTED = re.compile(rb"""(<(?:\w+:)?sheetView\b[^>]*?)\s+tabSelected\s*=\s*["'](?:1|true)["']""")
_VIEW = re.compile(rb"<(?:\w+:)?sheetView\b")


def titled(book: Book, title: str) -> Element | None:
    """Return the tab that bears a title, upper and lower case alike."""
    wanted = title.casefold()
    return next((each for each in book.sheets() if each.get("name", "").casefold() == wanted), None)


def free_identity(book: Book) -> int:
    """Return a number that no tab is known by; after the highest, as long as spreadsheet programs take it."""
    taken = {whole(each.get("sheetId")) for each in book.sheets()}
    after = max(taken, default=0) + 1
    return after if after <= LAST_IDENTITY else min(set(range(1, len(taken) + 2)) - taken)


def forget_local_names(book: Book, sheet: Element) -> None:
    """Take away the names that hold for one tab only: its print area, repeated rows and the like."""
    position = str(book.sheets().index(sheet))
    remove(book, [each for each in defined(book) if each.get("localSheetId") == position])


def rename(book: Book, sheet: Element, title: str, *, everywhere: bool) -> None:
    """Return a tab another title; its references to itself follow, and all names if ``everywhere``."""
    old = sheet.get("name", "")
    titles = {old.casefold(): title}
    position = str(book.sheets().index(sheet))
    sheet.set("name", title)
    for name in defined(book):
        if everywhere or name.get("localSheetId") == position:
            name.text = retitled(name.text or "", titles)
    link = book.link_of(sheet)
    if link is None:
        return
    content = tree(book.parts.read(link.target))
    for element in content.iter(etree.Element):
        kind = etree.QName(element).localname
        if kind in ("f", "formula", "formula1", "formula2") and element.text:
            element.text = retitled(element.text, titles)
        elif kind == "hyperlink" and element.get("location"):
            element.set("location", retitled(element.get("location", ""), titles))
    book.parts.write(link.target, written(content))


def drop(book: Book, sheet: Element) -> None:
    """Take a tab out of the list; positions move up, and names that spoke of it lose their place."""
    position = book.sheets().index(sheet)
    forget_local_names(book, sheet)
    titles = {sheet.get("name", "").casefold(): ""}
    for name in defined(book):
        local = name.get("localSheetId")
        if local is not None and whole(local) > position:
            name.set("localSheetId", str(whole(local) - 1))
        if local is None:
            name.text = retitled(name.text or "", titles)
    box = sheet.getparent()
    assert box is not None
    box.remove(sheet)
    remaining = book.sheets()
    views = book.child("bookViews")
    for view in [] if views is None else list(views):
        for name_ in ("activeTab", "firstSheet"):
            at = whole(view.get(name_))
            if at > position or (at == position and at >= len(remaining) > 0):
                at -= 1
            if view.get(name_) is not None or at:
                view.set(name_, str(at))


def without_chain(book: Book) -> None:
    """Take the order of calculation away; the spreadsheet program makes a new one."""
    chain = next((link for link in book.links.values() if link.kind == "calcChain"), None)
    if chain is not None:
        book.parts.unrelate(book.main, [chain.id])
        if chain.inside:
            book.parts.delete(chain.target)
        book.relink()


def recalculate(book: Book) -> None:
    """Ask the spreadsheet program to calculate everything when it opens the file."""
    book.made("calcPr").set("fullCalcOnLoad", "1")


def open_on(book: Book, title: str) -> None:
    """Let the workbook open on a tab, if it is there; the one selected before loses that mark alone."""
    sheet = titled(book, title) if title else None
    if sheet is None:
        return
    views = book.made("bookViews")
    view = next(iter(views.iterchildren(book.tag("workbookView"))), None)
    if view is None:
        view = etree.SubElement(views, book.tag("workbookView"))
    view.set("activeTab", str(book.sheets().index(sheet)))
    for each in book.sheets():
        link = book.link_of(each)
        if link is None or link.target not in book.parts.package:
            continue
        content = book.parts.read(link.target)
        end = content.find(b"sheetData")
        head = _SELECTED.sub(rb"\1", content[:end])
        if each is sheet:
            head = _VIEW.sub(rb'\g<0> tabSelected="1"', head, count=1)
        if head != content[:end]:
            book.parts.write(link.target, head + content[end:])

"""Tabs built apart put into the maker's package as parts of their own, under free names."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from lxml import etree

from sheetkit.book.days import serial
from sheetkit.book.markup import root, written
from sheetkit.book.xlsx.body import laid_out, shell_of, styles_of
from sheetkit.book.xlsx.book import Book
from sheetkit.book.xlsx.laid import named
from sheetkit.book.xlsx.names import defined, free_title
from sheetkit.book.xlsx.relations import (
    DRAWING_TYPE,
    MAIN,
    SHEET_TYPE,
    STRICT_FAMILIES,
    STRICT_MAIN,
    Relation,
    links_name,
)
from sheetkit.book.xlsx.render import render
from sheetkit.book.xlsx.strings import Strings
from sheetkit.book.xlsx.styles import Styles
from sheetkit.page import Cell, Format, Page

_COLUMN = re.compile(rb'(<col [^>]*? style=")([0-9]+)"')
_LOOK = re.compile(rb'<c r="A[0-9]+" s="([0-9]+)"')
_SELECTED = re.compile(rb'(<sheetView\b[^>]*?) tabSelected="[^"]*"')
_TYPES = {"drawing": DRAWING_TYPE, "image": "image/png"}
_STEMS = {"drawing": "drawings/sheetkit", "image": "media/sheetkit"}


class Nursery:
    """Result tabs built apart, ready to be moved one by one."""

    def __init__(self, pages: Sequence[Page], date1904: bool) -> None:
        self._pages = [_from_1904(page) for page in pages] if date1904 else pages
        styles = styles_of(self._pages)
        sample = Page(
            free_title("Looks", [page.title.casefold() for page in pages]),
            {(row, 1): Cell(style=style) for row, style in enumerate(styles, 1)},
        )
        self._book = Book(render([*map(shell_of, self._pages), sample]))
        self._sheets = self._book.sheets()
        styles_part = self._book.one("styles")
        self._styles = Styles(self._book.parts.read(styles_part) if styles_part else None, MAIN)
        looks = _LOOK.findall(self._part(len(pages)))
        self._looks = dict(zip(styles, map(int, looks), strict=True))
        """Style -> its number in what was built."""

    def move(self, number: int, book: Book, styles: Styles, strings: Strings, *, selected: bool) -> str:
        """Put a tab into the maker's package; return the name of its part there."""
        link = self._book.link_of(self._sheets[number])
        assert link is not None
        known: dict[int, int] = {}

        def adopted(look: int) -> int:
            if look not in known:
                known[look] = styles.adopt(self._styles, look)
            return known[look]

        sheet = _COLUMN.sub(lambda found: b'%s%d"' % (found[1], adopted(int(found[2]))), self._part(number))
        sheet = laid_out(sheet, self._pages[number], lambda style: adopted(self._looks[style]), strings)
        sheet = _SELECTED.sub(rb"\1", sheet)
        if selected:
            sheet = sheet.replace(b"<sheetView ", b'<sheetView tabSelected="1" ', 1)
        # some programs find a tab by this name of its part alone
        name = book.parts.free(f"{book.folder}worksheets/sheet", ".xml")
        book.parts.write(name, _own_kind(sheet, book), SHEET_TYPE)
        self._bring_links(link.target, name, book, self._pages[number].key)
        return name

    def _part(self, number: int) -> bytes:
        link = self._book.link_of(self._sheets[number])
        assert link is not None
        return self._book.parts.read(link.target)

    def local_names(self, number: int) -> list[tuple[str, str]]:
        """Return the names that hold for one tab only: its print area and repeated rows."""
        return [
            (each.get("name", ""), each.text or "")
            for each in defined(self._book)
            if each.get("localSheetId") == str(number)
        ]

    def _bring_links(self, source: str, target: str, book: Book, key: str) -> None:
        relations = self._book.parts.relations(source)
        if not relations:
            return
        box = root("http://schemas.openxmlformats.org/package/2006/relationships", "Relationships")
        for relation in relations:
            line = etree.SubElement(box, f"{{{etree.QName(box).namespace}}}Relationship", Id=relation.id)
            line.set("Type", f"{book.office}/{relation.kind}")
            line.set("Target", f"/{self._bring(relation, book, key)}")
        book.parts.write(links_name(target), written(box))

    def _bring(self, relation: Relation, book: Book, key: str) -> str:
        extension = relation.target[relation.target.rindex(".") :]
        content = self._book.parts.read(relation.target)
        name = book.parts.free(f"{book.folder}{_STEMS[relation.kind]}", extension)
        if relation.kind == "drawing":
            content = _own_kind(named(content, key), book)
        book.parts.write(name, content, _TYPES[relation.kind])
        self._bring_links(relation.target, name, book, key)
        return name


def _from_1904(page: Page) -> Page:
    """Return a page whose days are numbers counted from 1904, for a file that counts them so."""
    cells = {}
    for address, cell in page.cells.items():
        if isinstance(cell.value, date):
            form = Format.DATE if cell.style.format is Format.PLAIN else cell.style.format
            cell = cell._replace(value=serial(cell.value, True), style=replace(cell.style, format=form))
        cells[address] = cell
    return replace(page, cells=cells)


def _own_kind(content: bytes, book: Book) -> bytes:
    """Return a part in the namespaces that the maker's file uses."""
    if book.space == STRICT_MAIN:
        for ordinary, strict in STRICT_FAMILIES.items():
            content = content.replace(ordinary.encode(), strict.encode())
    return content

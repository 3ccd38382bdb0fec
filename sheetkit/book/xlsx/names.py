"""Defined names: the hidden marks by which sheetkit knows its own parts again."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field

from lxml import etree

from sheetkit.book.markup import Element
from sheetkit.book.workbook import COLUMN_MARK, NOTE_MARK, TAB_MARK
from sheetkit.book.xlsx.book import Book
from sheetkit.book.xlsx.looks import is_count
from sheetkit.page import Range, cell_name, column_number, quoted

STRINGS_MARK = "_sheetkit.strings"
_MARKS = (TAB_MARK, COLUMN_MARK, NOTE_MARK, STRINGS_MARK)
_BLOCK = re.compile(
    r"=?(?:'((?:[^']|'')+)'|([^'!#]+))!\$?([A-Za-z]{1,3})\$?(\d{1,7})(?::\$?([A-Za-z]{1,3})\$?(\d{1,7}))?\Z"
)
_KEY = re.compile(r"[A-Za-z0-9_.]+\Z")


@dataclass(frozen=True, slots=True)
class Marks:
    """What earlier runs left in hidden names."""

    tabs: Mapping[str, str] = field(default_factory=dict)
    columns: Mapping[str, tuple[str, Range]] = field(default_factory=dict)
    notes: Mapping[str, str] = field(default_factory=dict)
    strings: int | None = None
    """How many shared strings are the maker's."""


def block(text: str) -> tuple[str, Range] | None:
    """Return the tab and cells that a reference names.

    >>> block("'Ann''s'!$B$3:$C$9")
    ("Ann's", Range(first_row=3, first_column=2, last_row=9, last_column=3))
    >>> block("#REF!$A$1") is None
    True
    """
    found = _BLOCK.match(text.strip())
    if found is None:
        return None
    inner, bare, left, top, right, bottom = found.groups()
    title = inner.replace("''", "'") if inner is not None else bare
    first = (int(top), column_number(left))
    last = (int(bottom), column_number(right)) if right else first
    return title, Range(*first, *last)


def block_text(title: str, cells: Range) -> str:
    """Return the reference to a block of cells."""
    first = cell_name(cells.first_row, cells.first_column, fixed=True)
    last = cell_name(cells.last_row, cells.last_column, fixed=True)
    return f"{quoted(title)}!{first}:{last}"


def defined(book: Book) -> list[Element]:
    """Return the elements of all defined names."""
    box = book.child("definedNames")
    return [] if box is None else list(box.iterchildren(book.tag("definedName")))


def marks(book: Book) -> Marks:
    """Read the marks. A name of one tab only (the maker's copy of a tab) and a dead one are passed over."""
    titles = {sheet.get("name", "").casefold(): sheet.get("name", "") for sheet in book.sheets()}
    tabs: dict[str, str] = {}
    columns: dict[str, tuple[str, Range]] = {}
    notes: dict[str, str] = {}
    strings: int | None = None
    for element in defined(book):
        name, text = element.get("name", ""), (element.text or "").strip()
        if element.get("localSheetId") is not None or not name.startswith(_MARKS):
            continue
        if name.startswith(NOTE_MARK):
            if len(text) >= 2 and text[0] == text[-1] == '"':
                notes[name.removeprefix(NOTE_MARK)] = text[1:-1].replace('""', '"')
        elif name == STRINGS_MARK:
            strings = int(text) if is_count(text) else None
        elif (place := block(text)) is not None and place[0].casefold() in titles:
            title = titles[place[0].casefold()]
            if name.startswith(TAB_MARK):
                if title not in tabs.values():
                    tabs[name.removeprefix(TAB_MARK)] = title
            else:
                columns[name.removeprefix(COLUMN_MARK)] = (title, place[1])
    return Marks(tabs, columns, notes, strings)


def is_mark(element: Element) -> bool:
    """Return whether a defined name is one of our marks for the whole workbook."""
    return element.get("localSheetId") is None and element.get("name", "").startswith(_MARKS)


def write_marks(book: Book, fresh: Marks) -> None:
    """Put the marks in, in place of those that stand there."""
    lines: dict[str, str] = {}
    for key, title in fresh.tabs.items():
        lines[TAB_MARK + key] = f"{quoted(title)}!$A$1"
    for key, (title, cells) in fresh.columns.items():
        lines[COLUMN_MARK + key] = block_text(title, cells)
    for key, note in fresh.notes.items():
        lines[NOTE_MARK + key] = '"' + note.replace('"', '""') + '"'
    if fresh.strings is not None:
        lines[STRINGS_MARK] = str(fresh.strings)
    for name in lines:
        if not _KEY.match(name):
            raise ValueError(f"a mark's key may hold letters, digits, _ and . only: {name}")
    remove(book, [element for element in defined(book) if is_mark(element)])
    for name in sorted(lines):
        define(book, name, lines[name], hidden=True)


def define(book: Book, name: str, text: str, *, hidden: bool = False, position: int | None = None) -> None:
    """Add a defined name at the end; ``position`` makes it a name of that tab only."""
    element = etree.SubElement(book.made("definedNames"), book.tag("definedName"), name=name)
    if position is not None:
        element.set("localSheetId", str(position))
    if hidden:
        element.set("hidden", "1")
    element.text = text


def remove(book: Book, elements: Iterable[Element]) -> None:
    """Take defined names away, and their list when nothing is left in it."""
    box = book.child("definedNames")
    if box is None:
        return
    for element in elements:
        box.remove(element)
    if len(box) == 0:
        book.root.remove(box)


_TOKEN = re.compile(r'"(?:[^"]|"")*"|(?<!\')\'(?:[^\']|\'\')++\'!|(?<![\w.\]\'!])[^\W\d][\w.]*+!')


def retitled(text: str, titles: Mapping[str, str]) -> str:
    r"""Let the references in a formula follow tabs that bear other titles; no title is a dead reference.

    >>> retitled('Quote!A1&"Quote!A1"&MyQuote!A1', {"quote": "Quote (2)"})
    '\'Quote (2)\'!A1&"Quote!A1"&MyQuote!A1'
    """

    def turned(found: re.Match[str]) -> str:
        token = found.group()
        if token.startswith('"'):
            return token
        title = token[:-1]
        if title.startswith("'"):
            title = title[1:-1].replace("''", "'")
        new = titles.get(title.casefold())
        if new is None:
            return token
        return f"{quoted(new)}!" if new else "#REF!"

    return _TOKEN.sub(turned, text) if titles and "!" in text else text


def free_title(title: str, taken: Collection[str]) -> str:
    """Return a title that the file accepts and no tab in ``taken`` (casefolded) bears.

    >>> free_title("Quote", {"quote"}), free_title("a/b", ())
    ('Quote (2)', 'a-b')
    """
    clean = re.sub(r"[\[\]:*?/\\\x00-\x1f]", "-", title).strip().strip("'")[:31].rstrip("' ") or "Tab"
    if clean.casefold() == "history":
        clean += " tab"
    number, tried = 1, clean
    while tried.casefold() in taken:
        number += 1
        ending = f" ({number})"
        tried = clean[: 31 - len(ending)].rstrip("' ") + ending
    return tried

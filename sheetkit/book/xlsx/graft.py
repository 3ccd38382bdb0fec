"""The maker's .xlsx file with sheetkit's tabs and cells put in, and every other part left byte for byte."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from lxml import etree

from sheetkit.book.markup import Element, written
from sheetkit.book.package import Pieces
from sheetkit.book.pictures import Ours, with_room
from sheetkit.book.workbook import Change
from sheetkit.book.xlsx import seats
from sheetkit.book.xlsx.book import Book
from sheetkit.book.xlsx.cells import Sheet
from sheetkit.book.xlsx.formulas import area
from sheetkit.book.xlsx.laid import Laid, copied, held_parts, laid_on, lay, places_of
from sheetkit.book.xlsx.names import (
    Marks,
    block,
    define,
    defined,
    free_title,
    is_mark,
    marks,
    remove,
    retitled,
    write_marks,
)
from sheetkit.book.xlsx.relations import STRINGS_TYPE, STYLES_TYPE
from sheetkit.book.xlsx.results import without_results
from sheetkit.book.xlsx.strings import Strings, uses
from sheetkit.book.xlsx.styles import Styles
from sheetkit.book.xlsx.transplant import Nursery
from sheetkit.book.xlsx.value import Store
from sheetkit.page import Address, Cell, Column, Page, Range, reference

Patches = Mapping[str, Mapping[Address, Cell]]
_TEXT_TABS = ("worksheet", "dialogsheet", "xlMacrosheet", "xlIntlMacrosheet")
"""Kinds of tab whose cells may use the shared texts."""
_SELECTED = re.compile(rb"""\stabSelected\s*=\s*["'](?:1|true)["']""")


class _Patched(NamedTuple):
    """A tab of the maker's with the cells to write into it."""

    part: str
    sheet: Sheet
    cells: Mapping[Address, Cell]
    looks: tuple[Mapping[int, float], Mapping[int, Column]]  # heights of rows, and columns that are new


def graft(data: bytes, change: Change) -> bytes:
    """Put a run's results into the maker's file; ``grafted`` as one."""
    return bytes(grafted(data, change))


def grafted(data: bytes, change: Change) -> Pieces:
    """Put a run's results into the maker's file.

    Parameters
    ----------
    data
        The file as it stands.
    change
        What to put in, replace, keep and take away.

    Returns
    -------
    Pieces
        The new file. The same change put into it once more gives the same bytes.

    Raises
    ------
    Refused
        When the file cannot be changed without spoiling something; nothing is done then.
    ValueError
        When the change names a tab that is not there.
    """
    if not all(page.key for page in change.tabs):
        raise ValueError("a result tab needs a key")
    work = _Work(data)
    work.keep(change)
    work.clear(change)
    pages, moved = work.titled(change)
    patches = _moved_patches(change.patches, moved) if moved else change.patches
    if not pages and not work.book.sheets():
        raise ValueError("a workbook needs a tab")
    patched = work.opened(patches, change)
    changes = bool(pages or patched or change.dropped)
    if changes:
        work.fill(pages, len(change.tabs), patched)
    work.forget(change)
    if changes or change.kept:
        seats.without_chain(work.book)
    return work.saved(change)


class _Work:
    """The maker's file while it is being changed."""

    def __init__(self, data: bytes) -> None:
        self.book = Book(data, to_save=True)
        self.book.refuse_ungraftable()
        self._opened_as = written(self.book.root)
        found = marks(self.book)
        self._tabs = dict(found.tabs)
        self._notes = found.notes
        self._strings = found.strings
        self._seats: dict[str, Element] = {}
        """Key of each tab to be replaced -> its place in the list of tabs."""
        self._before: dict[str, bytes] = {}
        """Key of each tab to be replaced -> its part as it was."""
        self._laid: dict[str, Laid] = {}
        """Key of each tab to be replaced or kept aside -> what the maker laid over it."""
        self._ours = {title.casefold() for title in self._tabs.values()}

    def keep(self, change: Change) -> None:
        """Let tabs of ours become the maker's, under titles that tell them from the fresh ones."""
        fresh = {page.key for page in change.tabs}
        for key, title in sorted(change.kept.items()):
            sheet = self._own(key)
            if sheet is not None:
                if key in fresh:
                    self._laid[key] = copied(self.book, self._lifted(key))
                taken = self._taken() - {sheet.get("name", "").casefold()}
                seats.rename(self.book, sheet, free_title(title, taken), everywhere=key not in fresh)
                del self._tabs[key]

    def clear(self, change: Change) -> None:
        """Take out what is dropped or replaced, with all that nothing else leads to."""
        book, parts = self.book, self.book.parts
        before = parts.reach()
        gone: list[str] = []
        links: set[tuple[str, str]] = set()
        held: set[str] = set()
        for page in change.tabs:
            sheet = self._own(page.key)
            if sheet is not None:
                self._seats[page.key] = sheet
                laid = self._laid[page.key] = self._lifted(page.key)
                held |= held_parts(parts, laid)
                seats.forget_local_names(book, sheet)
                link = book.link_of(sheet)
                if link is not None:
                    self._before[page.key] = parts.read(link.target)
                    links.add((book.main, link.id))
        for key in sorted(change.dropped - set(self._seats)):
            sheet = self._own(key)
            if sheet is not None:
                link = book.link_of(sheet)
                if link is not None:
                    gone.append(link.id)
                    links.add((book.main, link.id))
                seats.drop(book, sheet)
                del self._tabs[key]
        for part in sorted(before - parts.reach(links) - held):
            parts.delete(part)
        parts.unrelate(book.main, gone)
        book.relink()

    def titled(self, change: Change) -> tuple[list[Page], dict[str, str]]:
        """Return the pages to put in under titles that are free, and the titles that had to change."""
        taken = self._taken()
        titles: list[str] = []
        for page in (*change.tabs, *change.added):
            seat = self._seats.get(page.key) if page.key and len(titles) < len(change.tabs) else None
            title = free_title(page.title, taken) if seat is None else seat.get("name", "")
            taken.add(title.casefold())
            titles.append(title)
        pages = [*change.tabs, *change.added]
        moved = {
            page.title.casefold(): title
            for page, title in zip(pages, titles, strict=True)
            if page.title != title
        }
        return [_moved_page(page, title, moved) for page, title in zip(pages, titles, strict=True)], moved

    def opened(self, patches: Patches, change: Change) -> list[_Patched]:
        """Open the maker's tabs that get cells."""
        found = []
        for title, cells in patches.items():
            sheet = seats.titled(self.book, title)
            link = None if sheet is None else self.book.link_of(sheet)
            if link is None or link.kind != "worksheet":
                raise ValueError(f"no tab {title!r} to write into")
            if cells:
                part, parts = link.target, self.book.parts
                opened = Sheet(parts.read(part), self.book.space, title, self._headings(part))
                looks = change.heights.get(title, {}), change.fresh.get(title, {})
                found.append(_Patched(part, opened, cells, looks))
        return sorted(found, key=lambda each: each.part)

    def fill(self, pages: list[Page], marked: int, patched: list[_Patched]) -> None:
        """Put in cells and tabs, the first ``marked`` of them as ours.

        What was patched is let go, to spare memory.
        """
        book, parts = self.book, self.book.parts
        styles_part, styles_data = self._part("styles", STYLES_TYPE)
        strings_part, strings_data = self._part("sharedStrings", STRINGS_TYPE)
        styles = Styles(styles_data, book.space)
        strings = Strings(strings_data, book.space, self._kept_strings(patched))
        while patched:
            part, sheet, cells, looks = patched.pop(0)
            sheet.write(cells, Store(styles, strings, book.date1904), *looks)
            if sheet.changed:
                parts.write(part, sheet.written())
            del sheet
        if pages:
            self._put_in(pages, marked, styles, strings)
        if styles.changed:
            parts.write(styles_part, styles.written(), STYLES_TYPE)
        if self._strings is None:
            self._strings = strings.kept
        if strings.changed:
            used = sum(len(uses(content)) for _, content in self._text_tabs())
            parts.write(strings_part, strings.written(used), STRINGS_TYPE)

    def forget(self, change: Change) -> None:
        """Take away stored results that are old, and ask for new ones unless they are put there at once."""
        for title, addresses in change.old_results.items():
            without_results(self.book, title, addresses)
        if any(change.old_results.values()) and not change.computed:
            seats.recalculate(self.book)

    def saved(self, change: Change) -> Pieces:
        """Return the file with its marks renewed."""
        seats.open_on(self.book, self._tabs.get(change.opens, ""))
        write_marks(self.book, Marks(self._tabs, change.columns, change.notes, self._strings))
        main = written(self.book.root)
        if main != self._opened_as:
            self.book.parts.write(self.book.main, main)
        return self.book.parts.pieces()

    def _lifted(self, key: str) -> Laid:
        return laid_on(self.book, self._tabs[key], Ours(key, self._notes))

    def _own(self, key: str) -> Element | None:
        title = self._tabs.get(key)
        return None if title is None else seats.titled(self.book, title)

    def _taken(self) -> set[str]:
        return {sheet.get("name", "").casefold() for sheet in self.book.sheets()}

    def _headings(self, part: str) -> tuple[Range, ...]:
        """Return the heading and total rows of the tables on a tab."""
        found = []
        for relation in self.book.parts.relations(part):
            if relation.kind == "table" and relation.inside:
                table = self.book.parts.tree(relation.target)
                cells = area(table.get("ref", ""))
                if cells is not None and table.get("headerRowCount", "1") != "0":
                    found.append(cells._replace(last_row=cells.first_row))
                if cells is not None and table.get("totalsRowCount", "0") != "0":
                    found.append(cells._replace(first_row=cells.last_row))
        return tuple(found)

    def _part(self, kind: str, content_type: str) -> tuple[str, bytes | None]:
        """Return the part of this kind and its content, making room for one where there is none."""
        there = self.book.one(kind)
        if there is not None:
            data = self.book.parts.read(there)
            if not self.book.parts.content_type(there):
                self.book.parts.write(there, data, content_type)
            return there, data
        name = f"{self.book.folder}{kind}.xml"
        if self.book.parts.find(name) is not None:
            name = self.book.parts.free(f"{self.book.folder}{kind}-sheetkit", ".xml")
        self.book.parts.relate(self.book.main, f"{self.book.office}/{kind}", name)
        self.book.parts.write(name, b"", content_type)
        self.book.relink()
        return name, None

    def _text_tabs(self) -> list[tuple[str, bytes]]:
        """Return the parts whose cells may use the shared texts."""
        links = (self.book.link_of(sheet) for sheet in self.book.sheets())
        return [
            (link.target, self.book.parts.read(link.target))
            for link in links
            if link is not None and link.kind in _TEXT_TABS and link.target in self.book.parts.package
        ]

    def _kept_strings(self, patched: list[_Patched]) -> int | None:
        """Return how many shared texts stay: the maker's, and those that some remaining cell still uses."""
        if self._strings is None:
            return None
        opened = {part: (sheet, cells) for part, sheet, cells, *_ in patched}
        last = -1
        for part, content in self._text_tabs():
            if part in opened:
                sheet, cells = opened[part]
                used = sheet.text_uses(cells)
            else:
                used = uses(content)
            last = max(last, *used) if used else last
        return max(self._strings, last + 1)

    def _put_in(self, pages: list[Page], marked: int, styles: Styles, strings: Strings) -> None:
        """Put in tabs."""
        book = self.book
        laid = {
            number: self._laid[page.key]
            for number, page in enumerate(pages[:marked])
            if page.key in self._laid
        }
        for number, each in laid.items():
            pages[number] = with_room(pages[number], places_of(book, each, pages[number]))
        nursery = Nursery(pages, book.date1904)
        names: list[tuple[str, str, int | None]] = []
        for number, page in enumerate(pages):
            ours = number < marked
            before = self._before.get(page.key, b"") if ours else b""
            part = nursery.move(number, book, styles, strings, selected=_SELECTED.search(before) is not None)
            lay(book, part, laid.get(number, Laid()))
            self._seat(page, part, ours)
            position = len(book.sheets()) - 1
            if ours:
                self._tabs[page.key] = page.title
                position = book.sheets().index(self._seats[page.key])
            names += [(name, text, position) for name, text in nursery.local_names(number)]
        names += [each for page in pages for each in self._page_names(page)]
        for name, text, place in sorted(names, key=lambda each: each[2] is not None):
            define(book, name, text, position=place)

    def _seat(self, page: Page, part: str, ours: bool) -> None:
        """Let the list of tabs lead to a new part: in the old place of its like, else at the end."""
        book = self.book
        kind = f"{book.office}/worksheet"
        seat = self._seats.get(page.key) if ours else None
        if seat is not None:
            link = book.parts.relate(book.main, kind, part, seat.get(f"{{{book.office}}}id", ""))
            seat.set(f"{{{book.office}}}id", link)
        else:
            number = str(seats.free_identity(book))
            seat = etree.SubElement(book.made("sheets"), book.tag("sheet"), name=page.title, sheetId=number)
            seat.set(f"{{{book.office}}}id", book.parts.relate(book.main, kind, part))
            if ours:
                self._seats[page.key] = seat
        book.relink()

    def _page_names(self, page: Page) -> list[tuple[str, str, int | None]]:
        """Return a page's own names; one that the maker uses for something else holds on the page alone."""
        ours = self._ours | {page.title.casefold()}
        found: list[tuple[str, str, int | None]] = []
        for name, address in page.names.items():
            text = reference(page.title, *address)
            old = next((each for each in defined(self.book) if _is_global(each, name)), None)
            if old is None:
                found.append((name, text, None))
                continue
            place = block(old.text or "")
            if "#REF!" in (old.text or "") or (place is not None and place[0].casefold() in ours):
                remove(self.book, [old])
                found.append((name, text, None))
            else:
                seat = seats.titled(self.book, page.title)
                assert seat is not None
                found.append((name, text, self.book.sheets().index(seat)))
        return found


def _is_global(element: Element, name: str) -> bool:
    same = element.get("name", "").casefold() == name.casefold()
    return same and element.get("localSheetId") is None and not is_mark(element)


def _moved_page(page: Page, title: str, moved: Mapping[str, str]) -> Page:
    """Return a page under its final title, its references following tabs whose titles had to change."""
    if not moved:
        return page
    return replace(
        page,
        title=title,
        cells={address: _moved_cell(cell, moved) for address, cell in page.cells.items()},
        choices=tuple(
            replace(choice, source=retitled(choice.source, moved)) if choice.source else choice
            for choice in page.choices
        ),
    )


def _moved_cell(cell: Cell, moved: Mapping[str, str]) -> Cell:
    if cell.formula is None and cell.link is None:
        return cell
    return cell._replace(
        formula=None if cell.formula is None else retitled(cell.formula, moved),
        link=None if cell.link is None else retitled(cell.link, moved),
    )


def _moved_patches(patches: Patches, moved: Mapping[str, str]) -> Patches:
    return {
        title: {address: _moved_cell(cell, moved) for address, cell in cells.items()}
        for title, cells in patches.items()
    }

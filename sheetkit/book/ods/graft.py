"""Our tabs, cells and marks put into the maker's own .ods file; all else stays as it is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import partial

from lxml import etree

from sheetkit.book.markup import Element, plain, tree, written
from sheetkit.book.ods.entries import Entry, child, pictures_in, put_pictures
from sheetkit.book.ods.kept import drop_filters, move_filters, retitle
from sheetkit.book.ods.laid import Laid, laid_on, places_of, with_names_of_its_own
from sheetkit.book.ods.looks import Looks
from sheetkit.book.ods.marks import (
    drop_names,
    marks_of,
    move_names,
    put_columns,
    put_names,
    put_notes,
    put_tabs,
)
from sheetkit.book.ods.names import NAMESPACES, is_recent, make, name, version_of
from sheetkit.book.ods.opening import CONTENT, MOST_CONTENT, SETTINGS, STYLES, opened
from sheetkit.book.ods.pagestyle import (
    copy_master,
    drop_master,
    find_master,
    layouts_of,
    pictures_of,
    put_master,
    sweep_layouts,
)
from sheetkit.book.ods.patch import NO_RESULT, patch_table
from sheetkit.book.ods.read import SPREADSHEET, is_external
from sheetkit.book.ods.render import blank_styles, master_name
from sheetkit.book.ods.settings import blank_settings, drop_view, open_on, put_frozen, rename_view
from sheetkit.book.ods.styles import MASTER, Pool, references
from sheetkit.book.ods.table import NAME, STYLE_NAME, TABLE, Target, table_element
from sheetkit.book.ods.validation import Validations
from sheetkit.book.package import Pieces
from sheetkit.book.pictures import Ours, with_room
from sheetkit.book.workbook import Change, Refused
from sheetkit.page import Page

_ROOT = re.compile(rb"<(?:[\w.-]+:)?document-content\b[^>]*")
_BODY = re.compile(rb"<(?:[\w.-]+:)?body[\s>]")
_STYLE_USED = re.compile(rb'style-name="([^"]*)"')
_VALIDATION_USED = re.compile(rb'content-validation-name="([^"]*)"')
_FORMULAS = f' xmlns:of="{NAMESPACES["of"]}"'.encode()
_BEHIND_TABLES = frozenset(
    name(f"table:{kind}")
    for kind in (
        *("table", "named-expressions", "database-ranges", "data-pilot-tables", "consolidation", "dde-links"),
    )
)
_LONGEST_TITLE = 31
"""What the other format allows, so that a workbook can change format."""


def graft(data: bytes, change: Change) -> bytes:
    """Put a change into an .ods workbook; ``grafted`` as one."""
    return bytes(grafted(data, change))


def grafted(data: bytes, change: Change) -> Pieces:
    """Put a change into an .ods workbook; return it in pieces.

    Raises
    ------
    Refused
        When the file cannot be worked on, or a cell to be written is part of something larger.
    """
    try:
        return _Graft(data).put(change)
    except RecursionError as error:
        raise Refused("damaged", CONTENT) from error


class _Graft:
    """The maker's file while our parts are put in."""

    def __init__(self, data: bytes) -> None:
        self.package = opened(data)
        self.content = tree(_with_formulas(self.package.read(CONTENT)), CONTENT, MOST_CONTENT)
        found = self.content.find(f"{name('office:body')}/{SPREADSHEET}")
        if found is None:
            raise Refused("not a workbook")
        self.spreadsheet = found
        if not self.tables():
            raise Refused("no sheets")
        version = version_of(self.content)
        self.recent = is_recent(version)
        self.styles = Entry(self.package, STYLES, partial(blank_styles, version))
        self.settings = Entry(self.package, SETTINGS, partial(blank_settings, version))
        self.layouts = child(self.styles.root, "office:automatic-styles", ("office:master-styles",))
        self.masters = child(self.styles.root, "office:master-styles")
        automatic = child(self.content, "office:automatic-styles", ("office:body",))
        self.looks = Looks([*self.styles.root, automatic])
        self.pool = Pool(automatic, self.recent)
        self.holder = _child_or_loose(self.spreadsheet, "table:content-validations")
        self.validations = Validations(self.holder)
        self.expressions = _child_or_loose(self.spreadsheet, "table:named-expressions")
        marks = marks_of(self.expressions, self.tables())
        self.owned, self.notes = marks.owned, marks.notes
        self.laid: dict[str, Laid] = {}
        """Key of each tab to be replaced or kept aside -> what the maker laid over it."""
        self.set_up: dict[str, Mapping[str, Element]] = {}
        """The same -> the pictures of its page set-up."""
        self.old_styles: set[str] = set()
        self.old_layouts: set[str] = set()
        self.old_parts: list[bytes] = []

    def put(self, change: Change) -> Pieces:
        """Put the change in; return the whole file."""
        redone = {page.key: page for page in change.tabs}
        tables = self.tables()
        for key in redone.keys() & self.owned.keys():
            laid = laid_on(tables[self.owned[key]], self.package, Ours(key, self.notes))
            self.laid[key] = with_names_of_its_own(laid) if key in change.kept else laid
            self.set_up[key] = pictures_of(self.layouts, self.masters, self._master(tables[self.owned[key]]))
        for key, title in change.kept.items():
            self._keep(key, title, redone.get(key))
        for key in sorted(change.dropped):
            self._drop(key)
        self._clear_names(redone)
        placed = [(page, self._title(page)) for page in (*change.tabs, *change.added)]
        titles = {page.title.casefold(): title for page, title in reversed(placed)}
        target = Target(self.pool, self.validations, titles)
        for page, title in placed:
            # What a page says of its own title means itself.
            own = replace(target, titles={**titles, page.title.casefold(): title})
            self._place(page, title, own)
        if not self.tables():
            raise Refused("no sheets")
        self._patch(change, target)
        put_tabs(self.expressions, self.owned)
        known = {title.casefold(): title for title in self.tables()}
        columns = {
            key: (known.get(title.casefold(), title), block) for key, (title, block) in change.columns.items()
        }
        put_columns(self.expressions, columns)
        put_notes(self.expressions, change.notes, next(iter(self.tables())))
        put_frozen(self.settings.root, {title: page.freeze for page, title in placed})
        if change.opens in self.owned:
            open_on(self.settings.root, self.owned[change.opens])
        return self._saved(target)

    def tables(self) -> dict[str, Element]:
        """Return the ordinary tables by title, in order."""
        return {
            table.get(NAME) or "": table
            for table in self.spreadsheet.iterchildren(TABLE)
            if not is_external(table)
        }

    def _master(self, table: Element) -> str:
        """Return the name of the master page on which a tab prints."""
        style = self.pool.get(table.get(STYLE_NAME) or "", "table")
        return "" if style is None else style.get(MASTER) or ""

    def _keep(self, key: str, wanted: str, fresh: Page | None) -> None:
        """Let a tab of ours be the maker's from now on."""
        old = self.owned.pop(key, None)
        if old is None:
            return
        table = self.tables()[old]
        table.set(NAME, "")
        new = self._free(wanted)
        table.set(NAME, old)
        retitle(table, new)
        # The names of cells that the fresh tab brings along go to it; any other stays with the old one.
        if fresh is not None:
            drop_names(self.expressions, old, set(fresh.names))
        move_names(self.expressions, old, new)
        move_filters(self.spreadsheet, old, new)
        rename_view(self.settings.root, old, new)
        style = self.pool.get(table.get(STYLE_NAME) or "", "table")
        if style is not None and find_master(self.masters, style.get(MASTER) or "") is not None:
            label = self._free_master(master_name(Page(new)))
            copy_master(self.masters, style.get(MASTER) or "", label)
            table.set(STYLE_NAME, self.pool.moved(table.get(STYLE_NAME) or "", label))

    def _drop(self, key: str) -> None:
        title = self.owned.pop(key, None)
        if title is None:
            return
        table = self.tables()[title]
        self._emptied(table)
        self.spreadsheet.remove(table)
        drop_names(self.expressions, title)
        drop_filters(self.spreadsheet, title)
        drop_view(self.settings.root, title)
        label = master_name(Page(title, key=key))
        self.old_layouts |= layouts_of(self.masters, [label])
        drop_master(self.masters, label)

    def _clear_names(self, redone: Iterable[str]) -> None:
        """Take away styles that hold names of ours for what another program made of them.

        Those that only tabs about to be replaced bear would go in the end, and their names would be
        free for the next run, which must come out the same as this one.
        """
        if not self.pool.altered():
            return
        tables = self.tables()
        replaced = [tables[self.owned[key]] for key in redone if key in self.owned]
        text = b"".join(etree.tostring(part) for part in self.spreadsheet if part not in replaced)
        self.pool.drop_altered(_found(_STYLE_USED, text))

    def _title(self, page: Page) -> str:
        """Return the title that a page will bear, and hold it free for it."""
        if page.key in self.owned:
            return self.owned[page.key]
        title = self._free(page.title)
        self._append(make("table:table", {"table:name": title}))
        if page.key:
            self.owned[page.key] = title
        return title

    def _append(self, table: Element) -> None:
        """Put a table behind the last tab, ahead of all that must follow the tabs."""
        tables = list(self.tables().values())
        following = next((part for part in self.spreadsheet if part.tag in _BEHIND_TABLES), None)
        if tables:
            tables[-1].addnext(table)
        elif following is not None:
            following.addprevious(table)
        else:
            self.spreadsheet.append(table)

    def _place(self, page: Page, title: str, target: Target) -> None:
        """Put the table of a page in the place of the one that bears its title."""
        laid = self.laid.get(page.key, Laid())
        page = with_room(page, places_of(laid, page))
        label = master_name(page) if page.key else self._free_master(master_name(Page(title)))
        self.old_layouts |= layouts_of(self.masters, [label])
        pictures = self.set_up.get(page.key, {})
        put_master(self.layouts, self.masters, label, page.print, self.recent, pictures)
        old = self.tables()[title]
        self._emptied(old)
        new = table_element(page, title, label, target, laid.shapes, laid.cells)
        new.tail = old.tail
        self.spreadsheet.replace(old, new)
        put_names(self.expressions, title, page.names)

    def _patch(self, change: Change, target: Target) -> None:
        tables = {title.casefold(): table for title, table in self.tables().items()}
        patches = {title: dict(cells) for title, cells in change.patches.items()}
        for title, addresses in change.old_results.items():
            patches.setdefault(title, {}).update(dict.fromkeys(addresses, NO_RESULT))
        for title, cells in patches.items():
            fresh = change.fresh.get(title, {})
            patch_table(tables[title.casefold()], cells, self.pool, self.looks, target.titles, fresh)

    def _emptied(self, table: Element) -> None:
        """Empty an old table of ours, noting what it used, so that none of it is left behind.

        Taken out of the tree full, it would have every namespace in it looked up again, which takes a minute.
        """
        self.old_styles |= references(table)
        self.old_parts.append(etree.tostring(table))
        del table[:]

    def _free(self, title: str) -> str:
        """Return a title that no other tab bears."""
        taken = {(table.get(NAME) or "").casefold() for table in self.spreadsheet.iterchildren(TABLE)}
        number, free = 1, title
        while free.casefold() in taken:
            number += 1
            tail = f" ({number})"
            free = title[: _LONGEST_TITLE - len(tail)].rstrip() + tail
        return free

    def _free_master(self, label: str) -> str:
        number, free = 1, label
        while find_master(self.masters, free) is not None:
            number += 1
            free = f"{label}-{number}"
        return free

    def _saved(self, target: Target) -> Pieces:
        """Take away what nothing uses any more, and write every entry that changed."""
        self._attach()
        content = written(self.content)
        # Styles refer to each other as well; what counts is what the tables bear.
        body = _BODY.search(content)
        text = content[body.start() if body else 0 :]
        old = b"".join(self.old_parts)
        swept = self.pool.sweep(_found(_STYLE_USED, text), self.old_styles)
        swept |= self.validations.sweep(_found(_VALIDATION_USED, text), _found(_VALIDATION_USED, old))
        parent = self.holder.getparent()
        if swept and not len(self.holder) and parent is not None:
            parent.remove(self.holder)
        sweep_layouts(self.layouts, self.masters, self.old_layouts)
        self.package.write(CONTENT, written(self.content) if swept else content)
        self.styles.save()
        self.settings.save()
        used = pictures_in(text, self.package.read(STYLES) if STYLES in self.package else b"")
        put_pictures(self.package, target.pictures, used, pictures_in(old))
        return self.package.pieces()

    def _attach(self) -> None:
        """Put validations before the tables and defined names behind them, if there are any now."""
        tables = list(self.spreadsheet.iterchildren(TABLE))
        parent = self.expressions.getparent()
        if not len(self.expressions) and parent is not None:
            parent.remove(self.expressions)
        if len(self.expressions) and self.expressions.getparent() is None:
            tables[-1].addnext(self.expressions)
        if len(self.holder) and self.holder.getparent() is None:
            labels = self.spreadsheet.find(name("table:label-ranges"))
            (tables[0] if labels is None else labels).addprevious(self.holder)


def _with_formulas(content: bytes) -> bytes:
    """Return the content with the prefix of formulas declared.

    It stands inside values, where no parser sees it used.
    """
    content = plain(content)
    match = _ROOT.search(content)
    if match is None or b"xmlns:of=" in match[0]:
        return content
    end = match.end() - match[0].endswith(b"/")
    return content[:end] + _FORMULAS + content[end:]


def _child_or_loose(parent: Element, prefixed: str) -> Element:
    """Return the child of this name, or a new element that stands nowhere yet."""
    found = parent.find(name(prefixed))
    return make(prefixed) if found is None else found


def _found(pattern: re.Pattern[bytes], text: bytes) -> set[str]:
    return {label.decode() for label in pattern.findall(text)}

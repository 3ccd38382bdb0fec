"""A tab of ours that becomes the maker's own under a new title, with all that points to itself."""

from __future__ import annotations

from sheetkit.book.markup import Element
from sheetkit.book.ods.formula import block_of, readdressed, retitled
from sheetkit.book.ods.names import name
from sheetkit.book.ods.table import NAME
from sheetkit.book.ods.value import FORMULA

_HREF = name("xlink:href")
_DATABASE_RANGE, _TARGET = name("table:database-range"), name("table:target-range-address")


def retitle(table: Element, new: str) -> None:
    """Return a table a new title; its formulas, links and ranges that name it follow.

    What stands on other tabs does not: it goes on referring to the tab that takes the old title.
    """
    old = table.get(NAME) or ""
    table.set(NAME, new)
    for element in table.iter():
        if not isinstance(element.tag, str):
            continue
        for key, value in element.attrib.items():
            local = str(key).rpartition("}")[2]
            if key == FORMULA:
                changed = retitled(str(value), old, new)
            elif local.endswith(("-address", "-ranges")) or (key == _HREF and str(value).startswith("#")):
                changed = readdressed(str(value), old, new)
            else:
                continue
            if changed != value:
                element.set(key, changed)


def move_filters(spreadsheet: Element, old: str, new: str) -> None:
    """Let the filters and sorted ranges of a tab follow its new title."""
    for element in spreadsheet.iter(_DATABASE_RANGE):
        address = element.get(_TARGET)
        if address:
            element.set(_TARGET, readdressed(address, old, new))


def drop_filters(spreadsheet: Element, title: str) -> None:
    """Take away the filters and sorted ranges of a tab that is gone."""
    for holder in spreadsheet.findall(name("table:database-ranges")):
        for element in list(holder):
            if element.tag == _DATABASE_RANGE and (block_of(element.get(_TARGET) or "") or ("",))[0] == title:
                holder.remove(element)
        if not len(holder):
            spreadsheet.remove(holder)

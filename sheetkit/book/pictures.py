"""Pictures that we laid over a tab of ours, told from those of the maker."""

from __future__ import annotations

import struct
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from sheetkit.page import Page, Range

NAMED = "pictures"
"""Note that says that every picture of ours bears a name by which it is known."""
_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_A_ROW = 15.0
"""Height of a row that says none [pt]."""


class LaidOver(NamedTuple):
    """What the maker laid over tabs of ours, by their keys."""

    bound: frozenset[str] = frozenset()
    """Tabs with a comment, chart, table or the like, which belongs to cells as they stood at the time."""
    free: frozenset[str] = frozenset()
    """Tabs with pictures or shapes, which lie on a fresh tab as well."""


def name_of_ours(key: str, number: int) -> str:
    """Return the name of a picture of ours on the tab of a key.

    >>> name_of_ours("marks", 2)
    'sheetkit marks 2'
    """
    return f"sheetkit {key} {number}"


class Ours:
    """Tells our pictures on one tab: each name of ours once, for a copy is the maker's.

    Earlier versions gave no names: there a plain gray drawing with words of its own is ours.
    """

    def __init__(self, key: str, notes: Mapping[str, str]) -> None:
        self._begins = name_of_ours(key, 0)[:-1]
        self._unnamed = NAMED not in notes
        self._seen: set[str] = set()

    def has(self, name: str, words: str, png: bytes) -> bool:
        """Return whether a picture is one of ours."""
        if name.startswith(self._begins) and name[len(self._begins) :].isdecimal():
            first = name not in self._seen
            self._seen.add(name)
            return first
        return self._unnamed and bool(words.strip()) and _is_plain_gray(png)


def _is_plain_gray(png: bytes) -> bool:
    """Return whether a picture holds gray dots and not a word on where it is from, as ours do."""
    if not png.startswith(_SIGNATURE):
        return False
    at = len(_SIGNATURE)
    kinds = []
    while at + 8 <= len(png):
        length, kind = struct.unpack_from(">I4s", png, at)
        kinds.append(kind)
        at += length + 12
    return {b"IHDR", b"IDAT", b"IEND"} == set(kinds) and png[24:26] in (b"\x08\x00", b"\x01\x00")


class Place(NamedTuple):
    """Where something lies: its first cell, and the row that it reaches."""

    row: int
    column: int
    last_row: int


def row_below(page: Page, row: int, height: float) -> int:
    """Return the row in which something ends that begins at the top of one and is so high [pt]."""
    while (left := height - page.heights.get(row, _A_ROW)) > 0:
        row, height = row + 1, left
    return row


def with_room(page: Page, places: Sequence[Place]) -> Page:
    """Return a page that prints as far down as what lies over its columns."""
    area = page.print.area
    if area is None:
        return page
    last = max((each.last_row for each in places if each.column <= area.last_column), default=0)
    if last <= area.last_row:
        return page
    return replace(page, print=replace(page.print, area=area._replace(last_row=last)))


class Original(NamedTuple):
    """The tab of ours of which a copy is made for the client."""

    data: bytes
    """The maker's workbook."""
    key: str
    page: Page
    """The tab as it was read."""
    block: Range
    """The cells of which something is shown."""

    def shows(self, place: Place) -> bool:
        """Return whether something lies over the block's columns, at it or below it, in view."""
        page = self.page
        seen = place.row not in page.hidden_rows and place.column not in page.hidden_columns
        return seen and place.column <= self.block.last_column

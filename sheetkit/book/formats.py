"""Which of the two file formats a workbook is in, by what the file holds and not by its name."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from sheetkit.book.package import Held, Pieces, entry_names
from sheetkit.book.pictures import LaidOver, Original
from sheetkit.book.workbook import Change, Refused, Workbook
from sheetkit.page import Address, Page, Value

OLE2 = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"


@dataclass(frozen=True, slots=True)
class FileFormat:
    """A file format and its three functions."""

    ending: str
    read: Callable[[Held], Workbook]
    render: Callable[[Sequence[Page]], bytes]
    graft: Callable[[bytes, Change], bytes]
    grafted: Callable[[bytes, Change], Pieces]
    """As ``graft``, in pieces: a workbook full of photos is not held once more."""
    read_own: Callable[[Held], Workbook]
    """Read what tells whether our own tabs stand as written; other tabs may be left out."""
    with_results: Callable[[bytes, Mapping[str, Mapping[Address, Value]]], bytes]
    """Put results, by tab title, beside formulas that have none stored; every other byte stays."""
    laid_over: Callable[[bytes], LaidOver]
    """Which of our tabs carry something of the maker's besides cells."""
    copy_of: Callable[[Page, Original], tuple[bytes, tuple[Address, ...]]]
    """A page as a new workbook, with what lies over the tab it is of, and where what is left out lies."""


def by_ending(suffix: str) -> FileFormat:
    """Return the format of a file name's suffix, ``.xlsx`` or ``.ods``.

    Raises
    ------
    Refused
        For any other suffix.
    """
    if suffix.lower() in (".xlsx", ".xlsm", ".xltx", ".xltm"):
        from sheetkit.book import xlsx
        from sheetkit.book.xlsx.copied import copy_of

        own = partial(xlsx.read, own=True)
        grafts = (xlsx.graft, xlsx.grafted)
        return FileFormat(
            ".xlsx", xlsx.read, xlsx.render, *grafts, own, xlsx.with_results, xlsx.laid_over, copy_of
        )
    if suffix.lower() in (".ods", ".ots"):
        from sheetkit.book import ods
        from sheetkit.book.ods.copied import copy_of

        own = partial(ods.read, own=True)
        grafts = (ods.graft, ods.grafted)
        return FileFormat(
            ".ods", ods.read, ods.render, *grafts, own, ods.with_results, ods.laid_over, copy_of
        )
    raise Refused("not a workbook", suffix)


def by_content(data: bytes, suffix: str) -> FileFormat:
    """Return the format that a file's bytes are in; the suffix decides only where they do not tell.

    Raises
    ------
    Refused
        When they are in neither format.
    """
    if data.startswith(OLE2):
        return by_ending(suffix if suffix.lower() in (".xlsx", ".ods") else ".xlsx")
    if data[:512].lstrip().startswith(b"<?xml") and b"office:document" in data[:2000]:
        raise Refused("flat file")
    names = entry_names(data)
    if "mimetype" in names or "content.xml" in names:
        return by_ending(".ods")
    return by_ending(".xlsx")

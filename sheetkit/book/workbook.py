"""What a workbook file gives when read, and what a run asks to have put into it.

Both formats (``xlsx``, ``ods``) offer the same three functions on these records:

    read(data: bytes) -> Workbook
    render(pages: Sequence[Page]) -> bytes           a whole new workbook
    graft(data: bytes, change: Change) -> bytes      the maker's workbook with our parts put in
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sheetkit.form.columns import title_keys
from sheetkit.page import Address, Cell, Column, Page, Range

TAB_MARK = "_sheetkit.tab."
COLUMN_MARK = "_sheetkit.col."
NOTE_MARK = "_sheetkit.note."
BACKUP = "backup"
"""Note that holds the digest of the file as it was before the last run: what its backup is known by."""
ASKED = "asked"
"""Note that holds the print of what the maker asked, by which a quote is known to be as new as the inputs."""


class Refused(Exception):
    """A file that cannot be worked on; nothing was changed. ``reason`` is a key of problems.REFUSALS."""

    def __init__(self, reason: str, detail: str = "") -> None:
        super().__init__(reason, detail)
        self.reason = reason
        self.detail = detail


@dataclass(frozen=True, slots=True)
class Workbook:
    """A workbook as read: the tabs in order, and the marks that earlier runs left."""

    pages: tuple[Page, ...]
    owned: Mapping[str, str] = field(default_factory=dict)
    """Key of each tab that sheetkit made -> the title it bears now."""
    columns: Mapping[str, tuple[str, Range]] = field(default_factory=dict)
    """Key of each result column -> tab title and the block last written."""
    notes: Mapping[str, str] = field(default_factory=dict)
    """Short texts (under 200 characters) kept in hidden names from one run to the next."""
    locked: bool = False
    """Whether the workbook's structure, or a tab, is protected."""
    names: Mapping[tuple[str, str], str] = field(default_factory=dict)
    """Title of the tab for which a defined name holds (empty for all) and the name, case folded -> what it
    stands for, as a formula."""
    date1904: bool = False
    """Whether days are counted from 1904 on."""

    def page(self, title: str) -> Page | None:
        """Return the tab with this title, or one of its other names, upper and lower case alike; or None."""
        by_key = {page.title.casefold(): page for page in reversed(self.pages)}
        return next((by_key[key] for key in title_keys(title) if key in by_key), None)


@dataclass(frozen=True, slots=True)
class Change:
    """What a run puts into the maker's workbook. Whatever is not named here stays as it is."""

    tabs: tuple[Page, ...] = ()
    """Result tabs, each with a key: replaced in place where the key is known, else put at the end.
    An owned tab whose key is not here is left alone unless it stands in ``dropped``."""
    dropped: frozenset[str] = frozenset()
    """Keys of owned tabs to remove."""
    kept: Mapping[str, str] = field(default_factory=dict)
    """Key -> new title: the tab now bearing this key becomes the maker's own under the new title,
    with its mark taken away, before a fresh one is put in."""
    added: tuple[Page, ...] = ()
    """Tabs put at the end that belong to the maker from then on (no mark)."""
    patches: Mapping[str, Mapping[Address, Cell]] = field(default_factory=dict)
    """Tab title -> cells to write. ``Cell()`` empties a cell and keeps its look, unless it has a format."""
    columns: Mapping[str, tuple[str, Range]] = field(default_factory=dict)
    """All marks of result columns after this run (they replace the earlier ones)."""
    notes: Mapping[str, str] = field(default_factory=dict)
    """All notes after this run (they replace the earlier ones)."""
    old_results: Mapping[str, frozenset[Address]] = field(default_factory=dict)
    """Tab title -> the maker's formulas whose stored results go, so that they are computed anew."""
    computed: bool = False
    """Whether fresh results are put there at once, so that no program needs to be asked for them."""
    heights: Mapping[str, Mapping[int, float]] = field(default_factory=dict)
    """Tab title -> height in points to which rows grow by what is put in, unless the maker set one.
    For .xlsx alone: what opens an .ods measures its rows."""
    fresh: Mapping[str, Mapping[int, Column]] = field(default_factory=dict)
    """Tab title -> the columns of ours that are new on it, with their width and whether their words wrap."""
    opens: str = ""
    """Key of the tab of ours on which the workbook opens; empty: as it did."""

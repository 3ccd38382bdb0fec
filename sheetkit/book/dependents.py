"""Which stored results a run makes old: those of formulas that look at a cell that changes, all the way."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from math import isclose
from typing import NamedTuple

from sheetkit.book.references import Surroundings, looked_at
from sheetkit.book.workbook import Change, Workbook
from sheetkit.page import Address, Cell, Page, Range, Value

MOST_FILLED = 10_000
"""How many cells of a formula's block are gone through whether they hold something or not."""


class Place(NamedTuple):
    """A cell, by the title of its tab, case folded."""

    title: str
    at: Address


@dataclass(slots=True)
class _Formula:
    """A formula, and the cells that it fills."""

    place: Place
    fills: Range
    page: Page


@dataclass(slots=True)
class _Web:
    """Formulas by what they look at."""

    single: dict[Place, list[_Formula]] = field(default_factory=dict)
    blocks: dict[str, dict[Range, list[_Formula]]] = field(default_factory=dict)
    anywhere: list[_Formula] = field(default_factory=list)

    def take(self, page: Page, around: Surroundings, but: Collection[Address] = ()) -> None:
        """Take in the formulas of a page, but those at some places."""
        for at, cell in page.cells.items():
            if cell.formula and at not in but:
                fills = page.blocks.get(at, Range(*at, *at))
                formula = _Formula(Place(page.title.casefold(), at), fills, page)
                self._add(formula, cell.formula, page.title, around)

    def _add(self, formula: _Formula, text: str, home: str, around: Surroundings) -> None:
        looks = looked_at(text, home, around)
        if looks.anywhere:
            self.anywhere.append(formula)
        for title, cells in looks.blocks:
            key = title.casefold()
            if cells[:2] == cells[2:]:
                self.single.setdefault(Place(key, (cells.first_row, cells.first_column)), []).append(formula)
            else:
                self.blocks.setdefault(key, {}).setdefault(cells, []).append(formula)

    def looking(self, cells: Mapping[str, set[Address]]) -> list[_Formula]:
        """Return the formulas that look at one of these cells."""
        found: list[_Formula] = list(self.anywhere) if any(cells.values()) else []
        for place, formulas in self.single.items():
            if place.at in cells.get(place.title, ()):
                found += formulas
        for title, blocks in self.blocks.items():
            columns = _by_column(cells.get(title, ()))
            for block, formulas in blocks.items():
                if _meets(block, columns):
                    found += formulas
        return found

    def naming(self, titles: Collection[str]) -> list[_Formula]:
        """Return the formulas that look at anything on these tabs."""
        found = [formula for place, some in self.single.items() if place.title in titles for formula in some]
        for title in titles:
            for some in self.blocks.get(title, {}).values():
                found += some
        return found


def _by_column(addresses: Iterable[Address]) -> dict[int, list[int]]:
    columns: dict[int, list[int]] = {}
    for row, column in sorted(addresses):
        columns.setdefault(column, []).append(row)
    return columns


def _meets(block: Range, columns: Mapping[int, list[int]]) -> bool:
    for column, rows in columns.items():
        if block.first_column <= column <= block.last_column:
            at = bisect_left(rows, block.first_row)
            if at < len(rows) and rows[at] <= block.last_row:
                return True
    return False


def without_old_results(workbook: Workbook, change: Change) -> Change:
    """Return a change that also takes away every stored result that it makes old.

    Parameters
    ----------
    workbook
        The file as read before the change.
    change
        What the run will put into it.

    Returns
    -------
    Change
        With the cells of the maker's whose stored results go, and with formulas of ours without a result
        where they were worked out from one of those.
    """
    changed = changed_cells(workbook, change)
    if not any(changed.values()):
        return change
    titles = {page.title.casefold() for page in workbook.pages}
    gone = {workbook.owned.get(key, "").casefold() for key in change.dropped}
    old = _depending(workbook, change, changed, gone | (changed.keys() - titles))
    makers = {
        page.title: frozenset(
            at for at in old.get(page.title.casefold(), ()) if _has_result(page.cells.get(at))
        )
        for page in _makers_pages(workbook, change)
    }
    tabs = tuple(
        replace(page, cells=_unknown(page.cells, old.get(_title(page, workbook).casefold(), set())))
        for page in change.tabs
    )
    patches = {
        title: _unknown(cells, old.get(title.casefold(), set())) for title, cells in change.patches.items()
    }
    makers = {title: cells - change.patches.get(title, {}).keys() for title, cells in makers.items()}
    old_results = {title: cells for title, cells in makers.items() if cells}
    return replace(change, tabs=tabs, patches=patches, old_results=old_results)


def looking_at_answers(workbook: Workbook, change: Change) -> dict[str, set[Address]]:
    """Return the maker's cells that follow from anything that a run fills in, at first hand or further."""
    ours = {_title(page, workbook).casefold(): set(page.cells) for page in change.tabs}
    cells = {**{title.casefold(): set(cells) for title, cells in change.patches.items()}, **ours}
    return _depending(workbook, change, cells)


def changed_cells(workbook: Workbook, change: Change) -> dict[str, set[Address]]:
    """Return the cells that hold something else after a change, by title, case folded."""
    found: dict[str, set[Address]] = {}
    for page in change.tabs:
        title = _title(page, workbook)
        before = workbook.page(title)
        if before is not None and page.key not in workbook.owned:
            continue  # a tab of the maker's bears this title; ours will bear one that no formula knows
        found[title.casefold()] = _unlike(before.cells if before else {}, page.cells)
    for key in change.dropped:
        gone = workbook.page(workbook.owned.get(key, ""))
        if gone is not None:
            found[gone.title.casefold()] = set(gone.cells)
    for title, cells in change.patches.items():
        there = workbook.page(title)
        stands = {at: there.cells[at] for at in cells if at in there.cells} if there else {}
        found.setdefault(title.casefold(), set()).update(_unlike(stands, cells))
    return found


def _depending(
    workbook: Workbook,
    change: Change,
    cells: Mapping[str, set[Address]],
    tabs: Collection[str] = (),
) -> dict[str, set[Address]]:
    """Return the cells that follow from others, or from all of some tabs.

    They are the maker's, and ours that follow from the maker's.
    """
    makers = _makers_pages(workbook, change)
    tabs_of_ours = [replace(page, title=_title(page, workbook)) for page in change.tabs]
    titles = [page.title for page in workbook.pages]
    around = Surroundings(
        [*titles, *(page.title for page in tabs_of_ours if page.title not in titles)], workbook.names
    )
    web = _Web()
    for page in makers:
        web.take(page, around, change.patches.get(page.title, {}))
    looking = web.looking(cells) + web.naming(tabs)
    if looking:  # else nothing follows: our own formulas, of which there are many, need not be read
        for page in [*tabs_of_ours, *(Page(title, own) for title, own in change.patches.items())]:
            web.take(page, around)
    found: dict[str, set[Address]] = {}
    while looking:
        fresh: dict[str, set[Address]] = {}
        for formula in looking:
            title, at = formula.place
            if at in found.setdefault(title, set()):
                continue
            filled = _filled(formula)
            found[title] |= filled
            fresh.setdefault(title, set()).update(filled)
        looking = web.looking(fresh)
    return found


def _filled(formula: _Formula) -> set[Address]:
    """Return the cells that a formula fills; of a large block, those that hold something."""
    top, left, bottom, right = formula.fills
    if (bottom - top + 1) * (right - left + 1) > MOST_FILLED:
        return {at for at in formula.page.cells if formula.fills.__contains__(at)}
    return {(row, column) for row in range(top, bottom + 1) for column in range(left, right + 1)}


def _makers_pages(workbook: Workbook, change: Change) -> list[Page]:
    """Return the tabs that are the maker's after the change."""
    keys = {title.casefold(): key for key, title in workbook.owned.items()}
    written = {page.key for page in change.tabs} | change.dropped
    found = []
    for page in workbook.pages:
        key = keys.get(page.title.casefold(), "")
        if key in change.kept:
            found.append(replace(page, title=change.kept[key], key=""))
        elif key not in written or not key:
            found.append(page)
    return found


def _title(page: Page, workbook: Workbook) -> str:
    return workbook.owned.get(page.key, page.title)


def _unlike(before: Mapping[Address, Cell], after: Mapping[Address, Cell]) -> set[Address]:
    if not before:
        return {at for at, cell in after.items() if cell.value is not None and cell.value != ""}
    nothing = Cell()
    return {
        at
        for at in before.keys() | after.keys()
        if not _same(before.get(at, nothing).value, after.get(at, nothing).value)
    }


def _same(one: Value, other: Value) -> bool:
    if isinstance(one, float | int) and isinstance(other, float | int):
        return isclose(one, other, rel_tol=1e-12, abs_tol=1e-12)
    return (one is None or one == "") if other is None or other == "" else one == other


def _has_result(cell: Cell | None) -> bool:
    return cell is not None and not cell.stale


def _unknown(cells: Mapping[Address, Cell], old: set[Address]) -> dict[Address, Cell]:
    return {
        at: cell._replace(value=None, stale=True) if at in old and cell.formula else cell
        for at, cell in cells.items()
    }

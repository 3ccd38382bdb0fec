"""What each tab says when the maker's cells changed since it was made, and the sums on Messages that tell.

The sums now have no stored result: LibreOffice holds a formula that goes through blocks, read from an .xlsx
file, for not yet computed, and lets what follows from it know of a change only after it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sheetkit.page import Address, Cell, Column, Format, Page, Range, Style, cell_name, reference
from sheetkit.records.asked import TabSums
from sheetkit.tabs.draft import FAINT, INK

SINCE_AT = (3, 1)
"""Where each tab says it."""
SINCE = "Changed since this was worked out: run again"
KEPT = "As an earlier run left it and you changed it: not worked out since"
"""Stands there on a tab that became the maker's."""
UNKNOWN = "Nothing tells whether this is up to date: run again"
NOTICE = Style(bold=True, size=11, color=INK)
SUM = Style(size=8, color=FAINT, format=Format.WHOLE)
_MESSAGES = "Messages"
_FIRST_COLUMN, _FIRST_ROW = 7, 4
"""Where the sums begin, right of all that is printed."""
_CHANGED_AT = (_FIRST_ROW - 2, _FIRST_COLUMN)


def with_since(pages: Sequence[Page], sums: Sequence[TabSums]) -> tuple[Page, ...]:
    """Return the tabs of a run with what tells that they are old."""
    told = (with_sums(page, sums) if page.key == "messages" else page for page in pages)
    return tuple(with_notice(page) for page in told)


def with_notice(page: Page) -> Page:
    """Return a tab with the cell that says when it is old, and nothing right after a run."""
    tabs = reference(_MESSAGES, *_CHANGED_AT)
    said = f'IF({tabs}="","","{SINCE} ("&LEFT({tabs},LEN({tabs})-2)&")")'
    notice = Cell("", f'IFERROR({said},"{UNKNOWN}")', NOTICE)
    return replace(page, cells={**page.cells, SINCE_AT: notice})


def is_notice(cell: Cell | None) -> bool:
    """Whether a cell is the one that says when its tab is old."""
    return cell is not None and SINCE in (cell.formula or "")


def with_sums(page: Page, sums: Sequence[TabSums]) -> Page:
    """Return the tab Messages with the sums over the maker's cells, at the run and now."""
    cells: dict[Address, Cell] = dict(page.cells)
    first, now = _FIRST_COLUMN + 3, _FIRST_COLUMN + 2
    words = "How it is seen that your cells changed: sums over them, at the run and now."
    cells[_FIRST_ROW - 3, _FIRST_COLUMN] = Cell(words, style=SUM)
    titles = ("Tab", "At the run", "Now", "by column")
    cells |= {
        (_FIRST_ROW - 1, _FIRST_COLUMN + number): Cell(title, style=SUM)
        for number, title in enumerate(titles)
    }
    changed = []
    for row, each in enumerate(sums, _FIRST_ROW):
        last = first + max(len(each.values), 1) - 1
        then, total, name = (cell_name(row, column) for column in (now - 1, now, _FIRST_COLUMN))
        cells[row, _FIRST_COLUMN] = Cell(each.title, style=SUM)
        cells[row, now - 1] = Cell(float(sum(each.values)), style=SUM)
        block = f"{cell_name(row, first)}:{cell_name(row, last)}"
        cells[row, now] = Cell(None, f"SUM({block})", SUM, stale=True)
        for column, (formula, value) in enumerate(zip(each.formulas, each.values, strict=True), first):
            cells[row, column] = Cell(float(value), formula, SUM, array=True)
        changed.append(f'IF(ISERROR({total}),{name}&", ",IF(ABS({total}-{then})<0.5,"",{name}&", "))')
    cells[_CHANGED_AT] = Cell("", "&".join(changed) or '""', SUM)
    printed = Range(1, 1, max(page.last_row, SINCE_AT[0]), max(page.columns, default=page.last_column))
    columns = {
        number: Column(9.0)
        for number in range(_FIRST_COLUMN, max(column for _, column in cells) + 1)
        if number not in page.columns
    }
    return replace(
        page, cells=cells, columns={**page.columns, **columns}, print=replace(page.print, area=printed)
    )

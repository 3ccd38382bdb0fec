"""Results of formulas that are missing, as LibreOffice computes them on a copy of the workbook."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from sheetkit.book.formats import FileFormat
from sheetkit.book.workbook import Change, Workbook
from sheetkit.page import Address, Cell, Page, Value


def with_results(workbook: Workbook, data: bytes, file_format: FileFormat) -> tuple[tuple[Page, ...], bytes]:
    """Return the pages with the formulas' missing results from LibreOffice, and the file with them stored."""
    makers = [page for page in workbook.pages if not page.key]
    if not any(cell.stale for page in makers for cell in page.cells.values()):
        return workbook.pages, data
    from sheetkit.book.office import recalculated

    computed = file_format.read(recalculated(data, file_format.ending))
    pages = []
    results: dict[str, dict[Address, Value]] = {}
    for page in workbook.pages:
        other = computed.page(page.title) or Page(page.title)
        cells = {
            address: _with_result(cell, other.cells.get(address)) if cell.stale else cell
            for address, cell in page.cells.items()
        }
        fresh = {at for at, cell in cells.items() if not cell.stale and page.cells[at].stale}
        for block in [page.blocks[at] for at in fresh & page.blocks.keys()]:
            filled = {at: Cell(cell.value) for at, cell in other.cells.items() if block.__contains__(at)}
            cells = {**filled, **cells}
            fresh |= filled.keys()
        pages.append(replace(page, cells=cells))
        results[page.title] = {at: cells[at].value for at in fresh}
    return tuple(pages), file_format.with_results(data, results)


def _with_result(cell: Cell, computed: Cell | None) -> Cell:
    """Return a formula's cell with the result that the spreadsheet program computed."""
    return cell if computed is None or computed.stale else cell._replace(value=computed.value, stale=False)


def results_after(
    data: bytes, lasting: Change, change: Change, file_format: FileFormat
) -> dict[str, dict[Address, Value]]:
    """Return the results that LibreOffice computes where a change takes old ones away, by tab title."""
    wanted = {title: set(cells) for title, cells in lasting.old_results.items()}
    before: dict[str, Mapping[Address, Cell]] = {page.title: page.cells for page in change.tabs}
    after: dict[str, Mapping[Address, Cell]] = {page.title: page.cells for page in lasting.tabs}
    for title, cells in {**after, **lasting.patches}.items():
        known = before.get(title) or change.patches.get(title, {})
        fresh = {at for at, cell in cells.items() if cell.stale and not known[at].stale}
        wanted.setdefault(title, set()).update(fresh)
    if not any(wanted.values()):
        return {}
    from sheetkit.book.office import recalculated

    computed = file_format.read(recalculated(file_format.graft(data, lasting), file_format.ending))
    pages = {title: page for title in wanted if (page := computed.page(title)) is not None}
    return {
        title: {at: cell.value for at in wanted[title] if (cell := page.cells.get(at)) and not cell.stale}
        for title, page in pages.items()
    }

"""The client's copy: a new workbook that holds the quote alone, as values, and nothing else of the maker's file."""

from __future__ import annotations

from collections.abc import Sequence

from sheetkit.book.formats import by_content
from sheetkit.book.workbook import Refused, Workbook
from sheetkit.form import labels as settings
from sheetkit.intake.labelled import job_unit, label_places
from sheetkit.page import Cell, CellError, Format, Page, PrintSetup, Range, Value

QUOTE = "quote"
MOST_COLUMNS = 64
"""How far merged cells of the quote are taken over."""
"""Key of the tab Quote."""


def client_copy(data: bytes) -> bytes:
    """Give the client's copy of a maker's workbook, in the same format.

    Parameters
    ----------
    data
        The maker's workbook, .xlsx or .ods; it is only read.

    Raises
    ------
    Refused
        ``no quote`` when sheetkit has not made the tab Quote, when it says that nothing was calculated, or when a
        figure on it has no stored result; else when the file cannot be worked on.
    """
    file_format = by_content(data, "")
    workbook = file_format.read(data)
    copy = file_format.render([_bare(_quote(workbook), _paper(workbook))])
    if file_format.ending == ".xlsx":
        from sheetkit.book.xlsx.properties import without_properties

        return without_properties(copy)
    return copy


def refuse_if_old(data: bytes) -> None:
    """Refuse a workbook whose quote does not say what a run would say now; nothing is written.

    Raises
    ------
    Refused
        ``quote is old`` when the job, worked out again, gives another quote or none.
    """
    from sheetkit.book.places import fingerprint
    from sheetkit.intake.workbook import take_in
    from sheetkit.plan import answer
    from sheetkit.tabs.quote import quote_page

    workbook = by_content(data, "").read(data)
    intake = take_in(workbook.pages)
    if any(found.weight == "error" for found in intake.problems):
        raise Refused("quote is old", "something on the input tabs is to be put right first")
    answers = answer(intake.job, 1.0, None)
    if any(found.weight == "error" for found in answers.problems):
        raise Refused("quote is old", "something on the input tabs is to be put right first")
    there, fresh = _quote(workbook), quote_page(answers)
    if workbook.notes.get(f"print.{QUOTE}", fingerprint(there)) != fingerprint(fresh):
        raise Refused("quote is old")
    for address, cell in fresh.cells.items():  # a print says nothing of the results of live formulas
        now = there.cells.get(address, Cell()).value
        if isinstance(cell.value, float) and not (isinstance(now, float) and abs(now - cell.value) < 0.005):
            raise Refused("quote is old")


def _quote(workbook: Workbook) -> Page:
    page = workbook.page(workbook.owned.get(QUOTE, ""))
    if page is None:
        raise Refused("no quote")
    cells = page.cells.values()
    if any(cell.stale or isinstance(cell.value, CellError) for cell in cells):
        raise Refused("no quote", f"a figure on {page.title} has no result")
    if not any(isinstance(cell.value, float) for cell in cells):
        raise Refused("no quote", f"{page.title} was not calculated")
    return page


def _bare(page: Page, paper: str) -> Page:
    """Give a tab with nothing but values and looks."""
    cells = {
        address: Cell(_value(cell), style=cell.style)
        for address, cell in page.cells.items()
        if cell.value is not None
    }
    rows, columns = _used([row for row, _ in cells]), _used([column for _, column in cells])
    return Page(
        "Quote",
        cells,
        columns={number: look for number, look in page.columns.items() if number in columns},
        heights={row: height for row, height in page.heights.items() if row in rows},
        merged=_apart(page.merged, rows),
        print=PrintSetup(paper=paper),
    )


def _apart(blocks: Sequence[Range], rows: range) -> tuple[Range, ...]:
    """Give the merged cells among the rows used, none of which lies over another."""
    kept: list[Range] = []
    for block in blocks:
        inside = block.first_row in rows and block.last_row in rows and block.last_column <= MOST_COLUMNS
        if inside and not any(_meet(block, other) for other in kept):
            kept.append(block)
    return tuple(kept)


def _meet(one: Range, other: Range) -> bool:
    across = one.first_column <= other.last_column and other.first_column <= one.last_column
    return across and one.first_row <= other.last_row and other.first_row <= one.last_row


def _used(numbers: Sequence[int]) -> range:
    return range(1, max(numbers, default=0) + 1)


def _value(cell: Cell) -> Value:
    """Give an amount to the cent, without the dust of an office program's sum; anything else as it is."""
    if isinstance(cell.value, float) and cell.style.format is Format.MONEY:
        return round(cell.value, 2)
    return cell.value


def _paper(workbook: Workbook) -> str:
    page = workbook.page(settings.JOB_TITLE)
    if page is None:
        return "letter"
    unit = job_unit(page, label_places(page, settings.JOB, []))
    return "letter" if unit == "in" else "a4"

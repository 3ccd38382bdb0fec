"""The client's copy: a new workbook of the quote alone, as values, and nothing else of the maker's file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from sheetkit.book.asked import print_of_inputs
from sheetkit.book.formats import by_content
from sheetkit.book.pictures import Original
from sheetkit.book.places import fingerprint
from sheetkit.book.workbook import ASKED, Refused, Workbook
from sheetkit.form import labels as settings
from sheetkit.intake.labeled import job_unit, label_places
from sheetkit.intake.reading import Reading
from sheetkit.page import Address, Cell, CellError, Format, Page, PrintSetup, Range, Value, cell_name
from sheetkit.records.job import JobSheet
from sheetkit.records.units import Units
from sheetkit.tabs.since import SINCE_AT, with_notice

QUOTE = "quote"
"""Key of the tab Quote."""
MOST_NAMED = 8
"""How many of the cells left out are named one by one."""
EFFORT = 0.1
"""Work put into the board layout where the quote's block alone is asked for, which does not depend on it."""


class ClientCopy(NamedTuple):
    """The client's copy, and what of the tab Quote is not in it, in words."""

    data: bytes
    left_out: tuple[str, ...]
    sheet: JobSheet
    """The job, for the message that goes with it."""


def client_copy(data: bytes) -> ClientCopy:
    """Return the client's copy of a maker's workbook, in the same format.

    Parameters
    ----------
    data
        The maker's workbook, .xlsx or .ods; it is only read.

    Raises
    ------
    Refused
        ``no quote`` when sheetkit has not made the tab Quote, when it says that nothing was calculated, or
        when a figure on it has no stored result; ``quote is old`` when the job, worked out again, gives
        another quote or none; else when the file cannot be worked on.
    """
    file_format = by_content(data, "")
    workbook = file_format.read(data)
    quote = _quote(workbook)
    fresh, sheet = _up_to_date(data, workbook, quote)
    block = _block(fresh)
    shown, left_out = _shown(quote, block)
    bare = _bare(shown, block, _paper(workbook))
    copy, aside = file_format.copy_of(bare, Original(data, QUOTE, quote, block))
    if aside:
        drawn = "picture, shape or chart hidden, beside the quote or bound to cells"
        left_out = (*left_out, f"Left out, {drawn}: {_named(quote.title, aside)}.")
    return ClientCopy(copy, left_out, sheet)


def _up_to_date(data: bytes, workbook: Workbook, quote: Page) -> tuple[Page, JobSheet]:
    """Return the quote as a run would make it now, and the job, when the one there is as new as the inputs.

    Notes
    -----
    It is when the inputs are those of the last run, whatever work that run put into its boards. Other inputs
    (or a file without notes) may still give the same quote.
    """
    from sheetkit.book.language import decimal_comma, language_of
    from sheetkit.intake.workbook import take_in
    from sheetkit.jobs.run import own_words
    from sheetkit.plan import answer
    from sheetkit.tabs.decimals import decimal_sign, worded_page
    from sheetkit.tabs.quote import quote_page

    intake = take_in(workbook.pages, workbook.owned.get("buy", ""))
    if any(found.weight == "error" for found in intake.problems):
        raise Refused("quote is old", "something on the input tabs is to be put right first")
    asked = workbook.notes.get(ASKED)
    same = asked == print_of_inputs(intake.job, workbook)
    answers = answer(intake.job, EFFORT if same else 1.0, None)
    if any(found.weight == "error" for found in answers.problems):
        raise Refused("quote is old", "something on the input tabs is to be put right first")
    typed = intake.job.sheet.decimal_sign
    comma = typed == "comma" if typed else decimal_comma(language_of(data))
    with decimal_sign(comma, own_words(workbook) if comma else ()):
        fresh = with_notice(worded_page(quote_page(answers)))
    if same:
        return fresh, intake.job.sheet
    if workbook.notes.get(f"print.{QUOTE}") not in (None, fingerprint(fresh)):
        raise Refused("quote is old")
    for address, cell in fresh.cells.items():  # a print says nothing of the results of live formulas
        now = quote.cells.get(address, Cell()).value
        if isinstance(cell.value, float):
            same = isinstance(now, float) and abs(now - cell.value) < 0.005
        else:
            same = (now or "") == (cell.value or "")
        if not same:
            raise Refused("quote is old")
    return fresh, intake.job.sheet


def _block(fresh: Page) -> Range:
    """Return the cells that a quote takes."""
    return Range(
        1, 1, fresh.last_row, max(fresh.last_column, *(each.last_column for each in fresh.merged), 1)
    )


def _shown(quote: Page, block: Range) -> tuple[Page, tuple[str, ...]]:
    """Return what the maker shows within the quote's block, and words for what is left out."""
    hidden: list[Address] = []
    outside: list[Address] = []
    cells: dict[Address, Cell] = {}
    for address, cell in sorted(quote.cells.items()):
        row, column = address
        if row > block.last_row or column > block.last_column:
            left = outside
        elif row in quote.hidden_rows or column in quote.hidden_columns or _is_unseen(cell):
            left = hidden
        else:
            if cell.value is not None:
                cells[address] = cell
            continue
        if str("" if cell.value is None else cell.value).strip():  # a lone space only holds a line
            left.append(address)
    said = [
        f"Left out, {why}: {_named(quote.title, addresses)}."
        for why, addresses in (("hidden", hidden), ("outside the quote", outside))
        if addresses
    ]
    return replace(quote, cells=cells), tuple(said)


def _is_unseen(cell: Cell) -> bool:
    """Whether a cell's look hides what stands in it: by its format, or in the color of its ground."""
    return cell.style.hidden or cell.style.color == (cell.style.fill or "FFFFFF")


def _named(title: str, addresses: Sequence[Address]) -> str:
    names = ", ".join(f"{title}!{cell_name(*address)}" for address in addresses[:MOST_NAMED])
    more = len(addresses) - MOST_NAMED
    return f"{names} and {more} more" if more > 0 else names


def _quote(workbook: Workbook) -> Page:
    page = workbook.page(workbook.owned.get(QUOTE, ""))
    if page is None:
        raise Refused("no quote")
    page = replace(page, cells={at: cell for at, cell in page.cells.items() if at != SINCE_AT})
    cells = page.cells.values()
    if any(cell.stale or isinstance(cell.value, CellError) for cell in cells):
        raise Refused("no quote", f"a figure on {page.title} has no result")
    if not any(isinstance(cell.value, float) for cell in cells):
        raise Refused("no quote", f"{page.title} was not calculated")
    return page


def _bare(page: Page, block: Range, paper: str) -> Page:
    """Return a tab with nothing but values and looks."""
    cells = {address: Cell(_value(cell), style=cell.style) for address, cell in page.cells.items()}
    rows, columns = _used([row for row, _ in cells]), _used([column for _, column in cells])
    return Page(
        "Quote",
        cells,
        columns={
            number: look
            for number, look in page.columns.items()
            if number in columns and number not in page.hidden_columns
        },
        heights={row: height for row, height in page.heights.items() if row in rows},
        merged=_apart(page.merged, rows, block),
        print=PrintSetup(paper=paper),
    )


def _apart(blocks: Sequence[Range], rows: range, whole: Range) -> tuple[Range, ...]:
    """Return the merged cells among the rows used, none of which lies over another."""
    kept: list[Range] = []
    for block in blocks:
        inside = block.first_row in rows and block.last_row in rows and block.last_column <= whole.last_column
        if inside and not any(_meet(block, other) for other in kept):
            kept.append(block)
    return tuple(kept)


def _meet(one: Range, other: Range) -> bool:
    across = one.first_column <= other.last_column and other.first_column <= one.last_column
    return across and one.first_row <= other.last_row and other.first_row <= one.last_row


def _used(numbers: Sequence[int]) -> range:
    return range(1, max(numbers, default=0) + 1)


def _value(cell: Cell) -> Value:
    """Return an amount to the cent, without the dust of a spreadsheet's sum; anything else as it is."""
    if isinstance(cell.value, float) and cell.style.format is Format.MONEY:
        return round(cell.value, 2)
    return cell.value


def _paper(workbook: Workbook) -> str:
    page = workbook.page(settings.JOB_TITLE)
    if page is None:
        return "letter"
    return Units(job_unit(page, label_places(Reading(page, []), settings.JOB))).paper

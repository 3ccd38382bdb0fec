"""What the maker asks, as one print and as sums that a spreadsheet program can work out again."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import isfinite

from sheetkit.book.days import serial
from sheetkit.book.places import said
from sheetkit.book.workbook import Workbook
from sheetkit.form.columns import BOUGHT, TABLES
from sheetkit.form.labels import ALLOWANCES_TITLE, JOB_TITLE, LIVE
from sheetkit.form.quote_words import QUOTE_WORDS_TITLE
from sheetkit.page import Address, Cell, CellError, Page, Value, cell_name, quoted
from sheetkit.records.asked import TabSums
from sheetkit.records.job import Job, Place

_LAST_ROW = 1_048_576
_CYCLE, _PRIME, _SCALE, _LARGEST = 997, 99_991, 2**20, 2**28
_LENGTH_WEIGHT, _ERROR_WEIGHT, _FILLED_WEIGHT = 31, 7, 1009
MOST_CHARACTERS = 32
"""Up to this length each character of a text counts; of longer ones, so many all along."""
MOST_LOOKS = 400_000
"""How many characters of a column are looked at."""
MOST_RUNS = 12
"""In how many pieces a column is summed up, where cells between them are left out."""


@dataclass(frozen=True, slots=True)
class Block:
    """The columns of a tab that are read, from the heading down."""

    page: Page
    columns: tuple[int, ...]
    first_row: int
    apart: frozenset[Address] = frozenset()
    """Formulas of ours that follow from other cells."""


def _blocks(job: Job, workbook: Workbook) -> Iterator[Block]:
    """Yield what is read of each input tab: labels and their values, the asked columns of tables."""
    sheet = workbook.page(JOB_TITLE)
    if sheet is not None:
        values = {column for _, _, column in job.labels.values()}
        live = (job.labels[name][1:] for name in LIVE if name in job.labels)
        apart = frozenset(at for at in live if sheet.cells.get(at, Cell()).formula)
        yield Block(sheet, tuple(sorted(values | {column - 1 for column in values})), 1, apart)
    for tab in TABLES:
        place = job.places.get(tab.title)
        page = workbook.page(place.title) if place else None
        if page is not None and place is not None:
            columns = {place.columns[each.name] for each in tab.asked if each.name in place.columns}
            yield Block(page, tuple(sorted(columns)), place.heading_row)
    for title in (ALLOWANCES_TITLE, QUOTE_WORDS_TITLE):
        page = workbook.page(title)
        if page is not None:
            yield Block(page, tuple(range(1, page.last_column + 1)), 1)


def _columns(block: Block) -> dict[int, dict[int, Cell]]:
    """Return the filled cells of each column of a block, by row."""
    found: dict[int, dict[int, Cell]] = {column: {} for column in block.columns}
    for (row, column), cell in block.page.cells.items():
        if column in found and row >= block.first_row:
            found[column][row] = cell
    return found


def asked_among(
    job: Job, workbook: Workbook, cells: Mapping[str, Collection[Address]]
) -> list[tuple[str, Address]]:
    """Return those of some cells (by title, case folded) in which the maker asks something, in order."""
    return [
        (block.page.title, at)
        for block in _blocks(job, workbook)
        for at in sorted(cells.get(block.page.title.casefold(), ()))
        if at[0] >= block.first_row and at[1] in block.columns
    ]


def print_of_inputs(job: Job, workbook: Workbook) -> str:
    """Return a print of all that the maker asks."""
    digest = hashlib.blake2s(digest_size=10)
    for block in _blocks(job, workbook):
        lines = (
            f"{row} {column} {said(cell.value)}\n"
            for column, cells in _columns(block).items()
            for row, cell in sorted(cells.items())
            if cell.value is not None
        )
        digest.update(f"{block.page.title}\n{''.join(lines)}".encode())
    place = job.places.get(BOUGHT.title)
    noted = _noted(place, workbook.page(place.title)) if place else {}
    if noted:
        lines = (f"{row} {name} {said(value)}\n" for (row, name), value in sorted(noted.items()))
        digest.update(f"{BOUGHT.title}\n{''.join(lines)}".encode())
    return digest.hexdigest()


def _noted(place: Place, page: Page | None) -> dict[tuple[int, str], Value]:
    """Return what was noted on To buy, by where in its table: a run may move it and give it marks."""
    columns = {place.columns[each.name]: each.name for each in BOUGHT.asked if each.name in place.columns}
    return {
        (row - place.heading_row, columns[column]): cell.value
        for (row, column), cell in (page.cells.items() if page else ())
        if row > place.heading_row and columns.get(column, "board") != "board" and cell.value is not None
    }


def sums_of_inputs(job: Job, workbook: Workbook, noted: Sequence[Block] = ()) -> tuple[TabSums, ...]:
    """Return sums over all that the maker asks: other ones when a number, a word or its place changes.

    What is noted on a tab of ours is given as it will stand there.

    Notes
    -----
    They hold to functions that spreadsheet programs work out alike, cell by cell, and to whole numbers,
    which add up to the same in any order. What is typed below the last row is counted to the end of the tab.
    """
    found = []
    for block in (*_blocks(job, workbook), *noted):
        terms = [
            _term(block, column, weight, cells, workbook.date1904)
            for weight, (column, cells) in enumerate(_columns(block).items(), 1)
        ]
        formulas, values = zip(*terms, strict=True) if terms else ((), ())
        found.append(TabSums(block.page.title, formulas, values))
    return tuple(found)


def _term(block: Block, column: int, weight: int, cells: dict[int, Cell], date1904: bool) -> tuple[str, int]:
    """Return the formula of one column's sum, and what it comes to."""
    title, first = block.page.title, block.first_row
    last = max(cells, default=first)
    runs = _runs(first, last, {row for row in cells if (row, column) in block.apart or cells[row].stale})
    if len(runs) > MOST_RUNS or not all(map(_is_counted_alike, cells.values())):
        filled = f"COUNTA({_area(title, column, first, _LAST_ROW)})"
        return f"{weight * _FILLED_WEIGHT}*{filled}", weight * _FILLED_WEIGHT * len(cells)
    longest = max((len(text) for cell in cells.values() if isinstance(text := cell.value, str)), default=0)
    places = _places(longest, last - first + 1)
    formulas = [_formula(_area(title, column, run.start, run.stop - 1), places) for run in runs]
    below = f"{_FILLED_WEIGHT}*COUNTA({_area(title, column, last + 1, _LAST_ROW)})"
    value = sum(
        ((row - run.start) % _CYCLE + 1) * _count(cells.get(row, Cell()).value, places, date1904)
        for run in runs
        for row in run
    )
    return f"{weight}*({'+'.join([*formulas, below])})", weight * value


def _runs(first: int, last: int, apart: set[int]) -> list[range]:
    """Return the runs of rows between those that are left out.

    >>> _runs(1, 6, {3, 6})
    [range(1, 3), range(4, 6)]
    """
    ends = [first - 1, *sorted(apart), last + 1]
    return [range(above + 1, below) for above, below in pairwise(ends) if above + 1 < below]


def _formula(area: str, places: Sequence[int]) -> str:
    """Return the sum over the cells of an area: what each holds, by its place."""
    by_row = f"(MOD(ROW({area})-MIN(ROW({area})),{_CYCLE})+1)"
    plain = f"IF(ISNUMBER({area}),IF(ABS({area})<{_LARGEST},{area},0),0)"
    whole = f"ROUND({plain}*{_SCALE},0)"
    text = f'IF(ISTEXT({area}),{area},"")'
    error = f"IF(ISERROR({area}),{_ERROR_WEIGHT},0)"
    formula = f"SUM({by_row}*({whole}-{_PRIME}*INT({whole}/{_PRIME})+{_LENGTH_WEIGHT}*LEN({text})+{error}))"
    if places:
        at = "{" + ",".join(map(str, places)) + "}"
        padded = f'{text}&IF({at}>0,REPT(" ",{places[-1]}),"")'
        formula += f"+SUM({by_row}*{at}*_xlfn.UNICODE(MID({padded},{at}+0*ROW({area}),1)))"
    return formula


def _area(title: str, column: int, first: int, last: int) -> str:
    return f"{quoted(title)}!{cell_name(first, column, fixed=True)}:{cell_name(last, column, fixed=True)}"


def _places(longest: int, rows: int) -> tuple[int, ...]:
    """Return which characters of each text of a column count."""
    most = max(4, min(MOST_CHARACTERS, MOST_LOOKS // rows))
    if longest <= most:
        return tuple(range(1, longest + 1))
    return tuple(1 + at * (longest - 1) // (most - 1) for at in range(most))


def _is_counted_alike(cell: Cell) -> bool:
    """Return whether programs agree on what a cell holds: not on truth, nor on characters beyond 16 bits."""
    value = cell.value
    if isinstance(value, str):
        return all(" " <= character <= "\uffff" or character == "\n" for character in value)
    return not isinstance(value, bool)


def _count(value: Value, places: Sequence[int], date1904: bool) -> int:
    """Return what a cell adds to its column's sum."""
    found = 32 * sum(places)  # a text is counted as if blanks followed it
    if isinstance(value, str):
        signs = sum(place * (ord(text) - 32) for place in places if (text := value[place - 1 : place]))
        return found + _LENGTH_WEIGHT * len(value) + signs
    number = serial(value, date1904) if isinstance(value, date) else value
    if isinstance(number, int | float) and isfinite(number) and abs(number) < _LARGEST:
        found += int(abs(number) * _SCALE + 0.5) * (-1 if number < 0 else 1) % _PRIME
    return found + _ERROR_WEIGHT * isinstance(value, CellError)

"""The drawing board of every result tab: styles, numbers in the maker's unit, a page filled line by line."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from itertools import pairwise

from sheetkit.page import Address, Cell, Column, Format, Page, Picture, PrintSetup, Range, Style, Value, held
from sheetkit.records.job import JobSheet
from sheetkit.records.units import Units
from sheetkit.records.wood import LumberLine
from sheetkit.tabs.letters import line_count, room
from sheetkit.tabs.page_breaks import A_ROW, Walk, page_breaks

INK = "222222"
FAINT = "5F5F5F"
PAPER = "E9E5DC"
GRAY = "EFEFEF"
A_LINE = 1.3
"""Height of a line, in sizes of its letters; fonts like Arial take 1.15 and programs some more."""

TITLE = Style(bold=True, size=17, color=INK)
SUBTITLE = Style(size=11, color=FAINT)
STAMP_AT = (2, 1)
STAMP = Style(italic=True, size=8.5, color=FAINT)
SECTION = Style(bold=True, size=12.5, color=INK, line="heavy")
HEADING = Style(bold=True, color=INK, fill=PAPER, align="left", wrap=True, line="under", middle=True)
TEXT = Style(color=INK, wrap=True, middle=True)
AFTER_NUMBER = Style(color=INK, wrap=True, middle=True, align="inset")
FACT = Style(color=INK, middle=True)
STRONG = Style(bold=True, color=INK, middle=True)
COUNT = Style(bold=True, color=INK, align="center", middle=True)
CAUTION = Style(italic=True, color=INK, wrap=True, middle=True)
TICK = Style(color=INK, align="center", middle=True, line="box")
BLANK_LINE = Style(color=INK, line="under", middle=True)
TOTAL = Style(bold=True, color=INK, line="heavy")


def number(style: Style, format: Format) -> Style:
    """Return a style with numbers shown in a format, right-aligned and on one line."""
    return replace(style, format=format, align="right", wrap=False)


class Measure(Units):
    """The units of a job, with the formats in which they stand on the page."""

    __slots__ = ()

    @property
    def size_format(self) -> Format:
        """Format of a size."""
        return self.either(Format.FRACTION, Format.TENTH)

    @property
    def fine_format(self) -> Format:
        """Format of a bearing or a clearance."""
        return self.either(Format.THOUSANDTH, Format.HUNDREDTH)

    @property
    def volume_format(self) -> Format:
        """Format of a volume."""
        return Format.TEN_THOUSANDTH if self.in_m3 else Format.HUNDREDTH

    @property
    def total_format(self) -> Format:
        """Format of a sum of volumes: m3 to three decimals."""
        return Format.THOUSANDTH if self.in_m3 else Format.HUNDREDTH


def titled(tab: str, sheet: JobSheet) -> str:
    """Say which tab of which job a page is, so that a print tells it."""
    return f"{tab} · {sheet.job}" if sheet.job else tab


class Earlier:
    """What an earlier drawing of a page tells the next."""

    def __init__(self) -> None:
        self.again: set[int] = set()
        """Cautions to say once more, by their order: a break came between them and where they were said."""
        self.pictures: list[Picture] = []
        """What was drawn; it is the same wherever it lies."""
        self.short: set[int] = set()
        """What is printed on one page, by its order."""


class Draft:
    """A page being filled from the top."""

    def __init__(
        self,
        title: str,
        key: str,
        widths: Sequence[float],
        stamp: str,
        heading: str = "",
        setup: PrintSetup | None = None,
        earlier: Earlier | None = None,
    ) -> None:
        self.title = title
        self.key = key
        self.cells: dict[Address, Cell] = {}
        self.heights: dict[int, float] = {}
        self.merged: list[Range] = []
        self.pictures: list[Picture] = []
        self.kept: set[int] = set()
        """Rows that are printed on the page of the row below them."""
        self.columns = {number: Column(width) for number, width in enumerate(widths, 1)}
        self.setup = setup or PrintSetup()
        self._walk = Walk(self.heights, self.kept, self.columns.values(), self.setup)
        self._earlier = earlier or Earlier()
        self._said: dict[str, list[int]] = {}
        self._left_out: dict[int, tuple[str, int]] = {}
        self._asked = self._blocks = 0
        self._held: list[int] = []
        self.row = 1
        self.put(1, heading or title, TITLE)
        self.heights[1] = 25.0
        self.row = 2
        self.put(1, stamp, STAMP)
        self.row = 4

    @property
    def last(self) -> int:
        """Number of the rightmost column."""
        return len(self.columns)

    def put(
        self,
        column: int,
        value: Value,
        style: Style = FACT,
        *,
        formula: str | None = None,
        link: str | None = None,
    ) -> None:
        """Write one cell in the current row."""
        self.cells[self.row, column] = Cell._make((held(value), formula, style, link, False, False))

    def keep(self, first: int, last: int) -> None:
        """Print each of these rows on the page of the row below it."""
        self.kept.update(range(first, last + 1))

    @contextmanager
    def together(self, first: int, share: float = 1.0) -> Iterator[None]:
        """Print what is drawn here, from a row on, on one page if it takes no more than a share of it."""
        self._blocks += 1
        number = self._blocks
        known = number in self._earlier.short
        if known:
            self._held.append(first)
        yield
        if known:
            self._held.remove(first)
        tall = sum(self.heights.get(row, A_ROW) for row in range(first, self.row))
        if tall <= self._walk.below * (1.0 if known else share):
            self._earlier.short.add(number)
            self.keep(first, self.row - 2)

    def picture(self, draw: Callable[[int], Picture]) -> None:
        """Lay a picture drawn for the current row over it, with what stands above it, and go to the next."""
        known = self._earlier.pictures[len(self.pictures) :][:1]
        picture = replace(known[0], row=self.row) if known else draw(self.row)
        self.kept.update({self.row - 1} - {0})
        self.pictures.append(picture)
        self.heights[self.row] = picture.height + 8
        self.row += 1

    def line(self, *values: Value, style: Style = FACT, styles: Mapping[int, Style] | None = None) -> None:
        """Write a row from the left and go to the next."""
        for column, value in enumerate(values, 1):
            if value is not None:
                self.put(column, value, (styles or {}).get(column, style))
        self.row += 1

    def fit(self, column: int, to: int | None = None) -> None:
        """Make the current row as high as the wrapped text in a column (or across columns) needs."""
        cell = self.cells.get((self.row, column))
        if cell is None or not isinstance(cell.value, str):
            return
        wide = room(self.columns[number].width for number in range(column, (to or column) + 1))
        size = cell.style.size
        lines = line_count(cell.value, wide, size, cell.style.bold)
        self.heights[self.row] = max(self.heights.get(self.row, 0.0), lines * size * A_LINE + 2.5)

    def across(self, text: str, style: Style = TEXT, first: int = 1, last: int | None = None) -> None:
        """Write text across several columns in a merged cell as high as it needs; go to the next row."""
        last = last or self.last
        self.put(first, text, replace(style, wrap=True))
        if last > first:
            self.merged.append(Range(self.row, first, self.row, last))
        self.fit(first, last)
        self.row += 1

    def caution(self, text: str, first: int = 1) -> None:
        """Say what to take care of, unless the printed page has it already; keep it with what follows."""
        self._asked += 1
        for begun in self._held:
            self.keep(begun, self.row - 1)
        begin = self._walk.to(self.row - 1)
        said = self._said.setdefault(text, [])
        if said and said[-1] >= begin and self._asked not in self._earlier.again:
            self._left_out[self._asked] = (text, self.row)
            return
        said.append(self.row)
        self.kept.add(self.row)
        self.across(text, CAUTION, first)

    def unsaid(self, breaks: Sequence[int]) -> set[int]:
        """Return the cautions left out, by their order, though their page lacks them: the first of each."""
        found: dict[tuple[str, int], int] = {}
        for place, (text, row) in self._left_out.items():
            begin = _page_of(row, breaks)
            if not any(begin <= said <= row for said in self._said[text]):
                found.setdefault((text, begin), place)
        return {*found.values()}

    def said_twice(self, breaks: Sequence[int]) -> set[int]:
        """Return the rows of cautions that their page has already."""
        return {
            row
            for rows in self._said.values()
            for before, row in pairwise(rows)
            if _page_of(row, breaks) <= before
        }

    def section(self, text: str) -> None:
        """Begin a section: a blank row, then its title under a line."""
        if self.row > 4:
            self.row += 1
        for column in range(1, self.last + 1):
            self.put(column, text if column == 1 else None, SECTION)
        self.heights[self.row] = 19.0
        self.kept.add(self.row)
        self.row += 1

    def headings(self, *texts: str) -> None:
        """Write column headings."""
        most = 1
        for column, text in enumerate(texts, 1):
            self.put(column, text, HEADING)
            wide = room((self.columns[column].width,))
            most = max(most, line_count(text, wide, HEADING.size, HEADING.bold))
        self.heights[self.row] = most * 13.0 + 5
        self.kept.add(self.row)
        self.row += 1

    def page(self, print: PrintSetup | None = None, freeze: Address | None = None) -> Page:
        """Return the finished page."""
        setup = print or self.setup
        self._align_headings()
        last = max((row for row, _ in self.cells), default=0)
        breaks = page_breaks(last, self.heights, self.kept, self.columns.values(), setup)
        # a tab with a range prints alone, and with the other tabs that have one
        bottom = max((last, *(picture.row for picture in self.pictures)))
        area = Range(1, 1, max(bottom, 1), self.last)
        return Page(
            self.title,
            self.cells,
            self.key,
            self.columns,
            self.heights,
            freeze,
            tuple(self.merged),
            pictures=tuple(self.pictures),
            print=replace(setup, breaks=breaks, area=setup.area or area),
        )

    def _align_headings(self) -> None:
        """Set each heading to the side on which what stands first below it is, clear of the one before it."""
        for (row, column), cell in self.cells.items():
            if cell.style.fill == HEADING.fill and cell.style == HEADING:
                rows = range(row + 1, row + 9)
                below = (self.cells[each, column].style for each in rows if (each, column) in self.cells)
                align = next(below, HEADING).align or HEADING.align
                before = self.cells.get((row, column - 1))
                if align == "left" and before is not None and before.style.align == "right":
                    align = "inset"
                self.cells[row, column] = cell._replace(style=replace(HEADING, align=align))


def drawn(draw: Callable[[Earlier], Draft]) -> Page:
    """Return a page drawn so that each caution stands on every printed page that it belongs to, and once.

    ``draw`` is told what its earlier drawing lacked.
    """
    earlier = Earlier()
    draft = draw(earlier)
    page = draft.page()
    while more := draft.unsaid(page.print.breaks) - earlier.again:
        earlier.again |= more
        earlier.pictures = draft.pictures
        draft = draw(earlier)
        page = draft.page()
    # pages moved meanwhile: what stands twice now is blotted out, for to leave it out would move them again
    twice = draft.said_twice(page.print.breaks)
    return replace(
        page,
        cells={at: cell for at, cell in page.cells.items() if at[0] not in twice},
        heights={**page.heights, **dict.fromkeys(twice, 3.0)},
        merged=tuple(block for block in page.merged if block.first_row not in twice),
    )


def _page_of(row: int, breaks: Sequence[int]) -> int:
    """Return the first row of the printed page of a row."""
    return max((each + 1 for each in breaks if each < row), default=1)


def stamped(page: Page, stamp: str) -> Page:
    """Return a page with its stamp: when, by which version and with which settings it was made."""
    cell = page.cells.get(STAMP_AT)
    return (
        page
        if cell is None or cell.style != STAMP
        else replace(page, cells={**page.cells, STAMP_AT: cell._replace(value=stamp)})
    )


def taken_words(lumber: Sequence[LumberLine]) -> str:
    """Say what the volume of lumber means: what is to buy, or the boards of the rack that are cut."""
    racks = [bool(line.boards) for line in lumber]
    if not any(racks):
        return "To buy"
    return "Boards cut" if all(racks) else "Boards cut and to buy"


def footer(sheet: JobSheet) -> str:
    """Return the footer of a printed tab."""
    return f"{sheet.job.replace('&', '&&')} · &A · page &P of &N"

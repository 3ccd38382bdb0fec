"""A tab as plain data: what was read from the maker's file, and what goes back into it.

Rows and columns count from 1. A formula is text without the leading ``=``, written with
``Tab!$A$1`` references, ``,`` between arguments and English function names, whatever the file
format; each format translates it on its own side.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from functools import cache
from typing import NamedTuple


class Format(StrEnum):
    """How a number is shown. The value is the number format of the .xlsx standard."""

    PLAIN = "General"
    TEXT = "@"
    WHOLE = "0"
    FRACTION = "# ??/??"
    TENTH = "0.0"
    HUNDREDTH = "0.00"
    THOUSANDTH = "0.000"
    TEN_THOUSANDTH = "0.0000"
    HUNDRED_THOUSANDTH = "0.00000"
    MILLIONTH = "0.000000"
    MONEY = "#,##0.00"
    PERCENT = "0.0%"
    AS_PERCENT = 'General"%"'
    """A number of hundredths with as many decimals as it has."""
    DATE = "yyyy-mm-dd"
    READERS_DATE = "mm-dd-yy"
    """A date in the order of the reader's country: the code is that of the standard's number 14."""


class CellError(NamedTuple):
    """An error value that stands in a cell, such as ``#REF!``."""

    text: str


Value = str | float | int | bool | date | datetime | CellError | None
Address = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Style:
    """The look of a cell. Two equal styles are one style in the file."""

    format: Format = Format.PLAIN
    bold: bool = False
    italic: bool = False
    size: float = 10.0
    color: str = "000000"
    fill: str = ""
    align: str = ""
    """``left``, ``inset`` (left, a little in), ``center``, ``right`` or empty: text left, numbers right."""
    middle: bool = False
    """Vertically centered; otherwise at the bottom, or at the top when wrapped."""
    wrap: bool = False
    line: str = ""
    """Lines drawn: ``box`` (thin, all sides), ``under`` (thin, below), ``heavy`` (thick, below), empty."""
    locked: bool = True
    hidden: bool = False
    """Whether the maker hid what stands in it, by protection or a format that shows nothing; only read."""


PLAIN = Style()


class Cell(NamedTuple):
    """One cell.

    ``value`` of a formula is its stored result; ``stale`` says that a formula stands here
    without one. ``link`` names a place in the same workbook, as ``Parts!B7``. ``array`` says
    that the formula goes through blocks cell by cell; only written.
    """

    value: Value = None
    formula: str | None = None
    style: Style = PLAIN
    link: str | None = None
    stale: bool = False
    array: bool = False


LONGEST_TEXT = 32_767
"""Characters that a cell can hold."""


def held(value: Value) -> Value:
    """Return a value as a cell can hold it: a longer text is cut short.

    >>> len(str(held("x" * 40_000)))
    32767
    """
    if isinstance(value, str) and len(value) > LONGEST_TEXT:
        return f"{value[: LONGEST_TEXT - 4]} ..."
    return value


class Range(NamedTuple):
    """A block of cells, both corners included."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int

    def __contains__(self, address: object) -> bool:
        if not (isinstance(address, tuple) and len(address) == 2):
            return False
        row, column = address
        return bool(
            self.first_row <= row <= self.last_row and self.first_column <= column <= self.last_column
        )


class Column(NamedTuple):
    """The look of a whole column: width in characters, style of cells nobody has filled."""

    width: float
    style: Style = PLAIN
    chosen: bool = True
    """Whether somebody set the width; else it is the usual one of the program that wrote the file."""


class Fold(NamedTuple):
    """Rows or columns folded away, which a click shows; only written."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Choice:
    """A drop-down on a block of cells: the words themselves, or a block that lists them; or but a hint."""

    where: Range
    words: tuple[str, ...] = ()
    source: str = ""
    """Such as ``Lists!$A$2:$A$111``; used when ``words`` is empty."""
    strict: bool = False
    """Whether the spreadsheet program refuses other words."""
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """A PNG picture laid over the tab, its top left corner in a cell."""

    png: bytes
    row: int
    column: int
    width: float
    """Width on the page in points (1/72 in)."""
    height: float
    """Height on the page in points (1/72 in)."""
    alt: str
    """What the picture shows, in words."""


@dataclass(frozen=True, slots=True)
class PrintSetup:
    """How the tab prints."""

    paper: str = "letter"
    """``letter`` or ``a4``."""
    landscape: bool = False
    repeat_rows: tuple[int, int] | None = None
    """First and last row repeated on each page."""
    fit_width: bool = True
    area: Range | None = None
    footer: str = ""
    """Center footer text; ``&P`` page number, ``&N`` number of pages, ``&A`` tab."""
    header: str = ""
    breaks: tuple[int, ...] = ()
    """Rows after which a new page begins."""
    one_page: bool = False
    """Whether the whole tab is shrunk to one page, not to the width alone."""
    with_book: bool = True
    """Whether it prints with the whole workbook; an .xlsx has no way to say that it does not."""


@dataclass(frozen=True, slots=True)
class Page:
    """One tab."""

    title: str
    cells: Mapping[Address, Cell] = field(default_factory=dict)
    key: str = ""
    """The lasting name of a tab that sheetkit owns; empty for the maker's tabs."""
    columns: Mapping[int, Column] = field(default_factory=dict)
    heights: Mapping[int, float] = field(default_factory=dict)
    """Row heights in points; rows not named take the height that their text needs."""
    freeze: Address | None = None
    """Rows and columns that stay in view, counted from the top left."""
    merged: tuple[Range, ...] = ()
    choices: tuple[Choice, ...] = ()
    names: Mapping[str, Address] = field(default_factory=dict)
    """Workbook-wide defined names of single cells."""
    pictures: tuple[Picture, ...] = ()
    print: PrintSetup = PrintSetup()
    color: str = ""
    """Color of the tab itself; only written."""
    folded_rows: tuple[Fold, ...] = ()
    folded_columns: tuple[Fold, ...] = ()
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    """Rows and columns that the maker hid, as far as cells stand in them; only read."""
    blocks: Mapping[Address, Range] = field(default_factory=dict)
    """Where a formula stands that fills several cells -> those cells; only read."""
    laid_over: bool = field(default=False, compare=False)
    """Whether a picture, chart or shape lies over the tab; only read."""
    grown: Mapping[int, float] = field(default_factory=dict)
    """Heights in points that rows need now, for programs that do not measure; only written, to .xlsx."""

    @property
    def last_row(self) -> int:
        """The lowest row that holds a cell, 0 when there is none."""
        return max((row for row, _ in self.cells), default=0)

    @property
    def last_column(self) -> int:
        """The rightmost column that holds a cell, 0 when there is none."""
        return max((column for _, column in self.cells), default=0)


@cache
def column_letters(column: int) -> str:
    """Return the letters of a column number.

    >>> column_letters(1), column_letters(28)
    ('A', 'AB')
    """
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def column_number(letters: str) -> int:
    """Return the number of a column's letters.

    >>> column_number("A"), column_number("AB")
    (1, 28)
    """
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number


def cell_name(row: int, column: int, *, fixed: bool = False) -> str:
    """Return the name of a cell.

    >>> cell_name(7, 2), cell_name(7, 2, fixed=True)
    ('B7', '$B$7')
    """
    return f"${column_letters(column)}${row}" if fixed else f"{column_letters(column)}{row}"


def quoted(title: str) -> str:
    """Return a tab's title as it stands in a reference.

    >>> quoted("Parts"), quoted("Shop sheet"), quoted("Ann's")
    ('Parts', "'Shop sheet'", "'Ann''s'")
    """
    if re.fullmatch(r"[A-Za-z_][A-Za-z_0-9]*", title) and not re.fullmatch(
        r"[A-Za-z]{1,3}\d+|[RrCc]\d*", title
    ):
        return title
    return "'" + title.replace("'", "''") + "'"


def reference(title: str, row: int, column: int) -> str:
    """Return a fixed reference to one cell of a tab.

    >>> reference("Shop sheet", 3, 2)
    "'Shop sheet'!$B$3"
    """
    return f"{quoted(title)}!{cell_name(row, column, fixed=True)}"

"""One input table: headings, help, drop-downs and cell formats, from the declaration of its columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from sheetkit.form import labels as settings
from sheetkit.form.columns import METRIC_VOLUME, TABLES, Column, Kind, Tab
from sheetkit.intake.cell import entry
from sheetkit.page import (
    Address,
    Cell,
    Choice,
    Fold,
    Format,
    Page,
    PrintSetup,
    Range,
    Style,
    Value,
    cell_name,
    column_letters,
    held,
    quoted,
)
from sheetkit.page import Column as Look
from sheetkit.records.units import Units
from sheetkit.tables import all_species, offered_grades, offered_metric_stocks, usual_stocks
from sheetkit.tabs.draft import A_LINE, GRAY, HEADING, INK, STAMP, TITLE
from sheetkit.tabs.growth import grown_rows, most_lines
from sheetkit.units import MM, Unit

FIRST_LISTED = 7
"""First column on Lists of the words that hold commas."""
LAST_ROW = 2000
"""Rows down to which drop-downs reach."""
LAST_PRINTED = 120
"""Rows of an input table that print."""
HELP = Style(italic=True, size=8.5, color="5F5F5F", wrap=True)
ASKED = replace(STAMP, line="under")
ABOVE = Style(fill="FFFFFF")
"""Above a table, where the gray of its answers would run through the title."""
FILLED = Style(bold=True, italic=True, size=9, color=INK, fill=GRAY, line="under")
ANSWER_HEADING = Style(
    bold=True, italic=True, color=INK, fill=GRAY, align="left", wrap=True, line="under", middle=True
)

BAND, FOLDED, HEADING_ROW, FIRST_ROW = 3, 4, 5, 6
"""Rows of a table: last line of its help, what each column asks (folded), headings, the first below."""
TITLED = 16
"""Width of a column in which the title of a tab stands whole."""
UNFOLD = "The + in the left margin shows what each column asks."
UNFOLD_ALL = f"{UNFOLD[:-1]}, one above the columns what is seldom needed."

Standing = Mapping[str, tuple[str, int, int]]
"""Input tab that a workbook has already -> its title there, the first row and the column of its names."""

Filled = Mapping[str, Sequence[Mapping[str, str]]]
"""Title of a table -> rows as a person would type them, by column name."""


def cell_format(column: Column, unit: Unit) -> Format:
    """Return the number format of a column's cells, under which a typed size stays a size."""
    units = Units(unit)
    by_kind = {
        Kind.LENGTH: units.either(Format.FRACTION, Format.PLAIN),
        Kind.PLACES: units.either(Format.FRACTION, Format.PLAIN),
        Kind.SHARE: Format.PERCENT,
        Kind.MONEY: Format.MONEY,
        Kind.WHOLE: Format.WHOLE,
        Kind.NUMBER: Format.PLAIN,
        Kind.DATE: Format.DATE,
        Kind.VOLUME: units.either(Format.HUNDREDTH, Format.TEN_THOUSANDTH),
    }
    return by_kind.get(column.kind, Format.TEXT)


def typed(column: Column, text: str, unit: Unit) -> Value:
    """Return what stands in a cell after a person typed a text into it; text that is no number stays text."""
    if cell_format(column, unit) is Format.TEXT:
        return held(text)
    value, wrong = entry(Cell(text), column, unit, "", 1, 1)
    if column.kind is Kind.PLACES and isinstance(value, tuple) and len(value) == 1:
        value, column = value[0], replace(column, kind=Kind.LENGTH)
    if wrong or isinstance(value, str | tuple):
        return held(text)
    if column.kind is Kind.LENGTH:
        size = Units(unit).either(value, round(value * MM, 6))
        return float(size)
    return value if column.kind in (Kind.DATE, Kind.WHOLE) else float(value)


def listed_columns(unit: Unit) -> list[tuple[Column, tuple[str, ...]]]:
    """Return the columns whose words stand on Lists: they hold commas or are too many for a drop-down."""
    grades = offered_grades(Units(unit).metric)
    columns = [
        (column, grades if column.name == "grade" else column.choices)
        for tab in TABLES
        for column in tab.asked
    ]
    return [
        (column, words) for column, words in columns if words is grades or any("," in word for word in words)
    ]


def _choice(column: Column, where: Range, unit: Unit, standing: Standing) -> Choice:
    """Return the drop-down of a column, or where it offers nothing what shows when a cell is chosen."""
    hint = help_of(column, False, unit)
    for number, (listed, words) in enumerate(listed_columns(unit), FIRST_LISTED):
        if listed == column:
            return Choice(where, source=lists_range(column_letters(number), len(words)), hint=hint)
    if column.names:
        title, row, number = standing.get(column.names, (column.names, FIRST_ROW, 1))
        block = cell_name(row, number, fixed=True), cell_name(LAST_ROW, number, fixed=True)
        return Choice(where, source=f"{quoted(title)}!{':'.join(block)}", hint=hint)
    if column.choices:
        return Choice(where, offered_words(column, unit), hint=hint)
    if column.kind is Kind.SPECIES:
        return Choice(where, source=lists_range("A", len(all_species())), hint=hint)
    if column.kind is Kind.STOCK:
        return Choice(where, Units(unit).either(usual_stocks, offered_metric_stocks)(), hint=hint)
    return Choice(where, hint=hint)


def offered_words(column: Column, unit: Unit) -> tuple[str, ...]:
    """Return the words that a drop-down offers: steps of the job's own unit, everything else as declared."""
    if column.kind is not Kind.STEP:
        return column.choices
    return tuple(word for word in column.choices if word.endswith("mm") == Units(unit).metric)


def lists_range(letter: str, count: int) -> str:
    """Return the block of cells below a heading of Lists."""
    return f"{settings.LISTS_TITLE}!${letter}$2:${letter}${count + 1}"


def paper_for_input(unit: Unit) -> PrintSetup:
    """Return how a tab to fill in prints, when it is asked for: it does not go with the answers."""
    return PrintSetup(paper=Units(unit).paper, footer="&A · page &P of &N", with_book=False)


def _look(column: Column, answer: bool, unit: Unit) -> Look:
    """Return the look of a column; where words stand they wrap, and the row grows with them."""
    format = cell_format(column, unit)
    words = format is Format.TEXT
    align = "center" if column.kind is Kind.WHOLE else "inset" if words else ""
    fill = GRAY if answer else ""
    wrap = words or column.kind is Kind.PLACES
    return Look(column.wide, Style(format=format, fill=fill, color=INK, align=align, middle=True, wrap=wrap))


def _folds(tab: Tab, filled: Sequence[Mapping[str, str]]) -> tuple[Fold, ...]:
    """Return the columns that fold away: those seldom needed in which nothing stands."""
    folds: list[Fold] = []
    for number, column in enumerate(tab.asked, 1):
        if column.seldom and not any(column.name in row for row in filled):
            first = folds.pop() if folds and folds[-1].last == number - 1 else Fold(number, number)
            folds.append(Fold(first.first, number))
    return tuple(folds)


def table_page(
    tab: Tab, unit: Unit, filled: Sequence[Mapping[str, str]] = (), standing: Standing = MappingProxyType({})
) -> Page:
    """Return one input table."""
    columns = (*tab.asked, *tab.answered)
    first_answer = len(tab.asked) + 1
    folds = _folds(tab, filled)
    cells: dict[Address, Cell] = {(1, 1): Cell(tab.title, style=TITLE)}
    beside = 2 if columns[0].wide >= TITLED else 3
    cells[1, beside] = Cell(UNFOLD_ALL if folds else UNFOLD, style=STAMP)
    looks, choices = {}, []
    for number, column in enumerate(columns, 1):
        answer = number >= first_answer
        looks[number] = _look(column, answer, unit)
        if answer:
            cells |= {(row, number): Cell(None, style=ABOVE) for row in range(1, BAND)}
        cells[BAND, number] = Cell(None, style=FILLED if answer else ASKED)
        cells[FOLDED, number] = Cell(help_of(column, answer, unit), style=HELP)
        align = looks[number].style.align or "right"
        shown_as = replace(ANSWER_HEADING if answer else HEADING, align=align)
        cells[HEADING_ROW, number] = Cell(_heading(column, unit), style=shown_as)
        if not answer:
            choices.append(_choice(column, Range(FIRST_ROW, number, LAST_ROW, number), unit, standing))
    for row, text in zip((2, BAND), tab.help_in(unit), strict=False):
        cells[row, 1] = Cell(text, style=STAMP if row < BAND else ASKED)
    if tab.answered:
        cells[BAND, first_answer] = Cell("sheetkit fills in", style=FILLED)
    helps = [(str(cells[FOLDED, number].value), column.wide) for number, column in enumerate(columns, 1)]
    heads = [(column.heading, column.wide) for column in columns]
    heights = {
        1: 22.0,
        FOLDED: most_lines(helps, HELP) * HELP.size * A_LINE + 3,
        HEADING_ROW: max(31.0, most_lines(heads, HEADING) * HEADING.size * A_LINE + 5),
    }
    for row, values in enumerate(filled, FIRST_ROW):
        for number, column in enumerate(tab.asked, 1):
            if column.name in values:
                style = looks[number].style
                text = values[column.name]
                if text.startswith("="):
                    formula, _, stored = text[1:].partition("=>")
                    cells[row, number] = Cell(float(stored), formula.strip(), style)
                else:
                    cells[row, number] = Cell(typed(column, text, unit), style=style)
    # the words beside a row print on Rough sizes and Messages; here they would make all too small to read
    shown = [
        number for number, column in enumerate(columns, 1) if column.name not in ("worked_out", "remarks")
    ]
    area = Range(1, 1, LAST_PRINTED, max(shown)) if len(shown) < len(columns) else None
    once_a_page = (HEADING_ROW, HEADING_ROW)
    setup = replace(paper_for_input(unit), landscape=True, repeat_rows=once_a_page, area=area)
    page = Page(
        tab.title,
        cells,
        columns=looks,
        heights=heights,
        freeze=(HEADING_ROW, 1),
        choices=tuple(choices),
        print=setup,
        folded_rows=(Fold(FOLDED, FOLDED),),
        folded_columns=folds,
    )
    rows = {row: height for row, height in grown_rows(page).items() if row >= FIRST_ROW}
    return replace(page, grown=rows)


def _heading(column: Column, unit: Unit) -> str:
    return METRIC_VOLUME if column.kind is Kind.VOLUME and Units(unit).metric else column.heading


def help_of(column: Column, answer: bool, unit: Unit) -> str:
    """Return what a column asks, and what an empty cell of it means."""
    text, default = column.help_in(unit), column.default_in(unit)
    if answer or not (column.required or default):
        return text
    return f"{text} ({'needed' if column.required else f'empty: {default}'})"

"""columns.py and settings.py -> the input tabs, blank or filled, with help, drop-downs and cell formats."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from sheetkit.form import labels as settings
from sheetkit.form.columns import METRIC_VOLUME, PANELS, PARTS, SPACING, TABLES, Column, Kind, Tab
from sheetkit.form.quote_words import QUOTE_WORDS_TITLE
from sheetkit.intake.cell import entry
from sheetkit.page import (
    Address,
    Cell,
    Choice,
    Format,
    Page,
    PrintSetup,
    Range,
    Style,
    Value,
    cell_name,
    column_letters,
    held,
)
from sheetkit.page import Column as Look
from sheetkit.tables import (
    all_species,
    offered_grades,
    offered_metric_stocks,
    offered_sizes,
    offered_species,
    usual_stocks,
)
from sheetkit.tabs.draft import GRAY, HEADING, INK, STAMP, TITLE
from sheetkit.tabs.fit import FIRST_STEP, SIZES, STEPS, fit_formulas, step_cells
from sheetkit.tabs.quote_words import quote_words_page
from sheetkit.units import MM, Unit

FIRST_LISTED = 7
"""First column on Lists of the words that hold commas."""
LAST_ROW = 2000
"""Rows down to which drop-downs reach."""
LAST_PRINTED = 120
"""Rows of an input table that print."""
HELP = Style(italic=True, size=8.5, color="5F5F5F", wrap=True)
YOURS = Style(bold=True, size=9, color=INK, line="under")
ABOVE = Style(fill="FFFFFF")
"""Above a table, where the gray of its answers would run through the title."""
FILLED = Style(bold=True, italic=True, size=9, color=INK, fill=GRAY, line="under")
ANSWER_HEADING = Style(
    bold=True, italic=True, color=INK, fill=GRAY, align="left", wrap=True, line="under", middle=True
)
LABEL = Style(bold=True, color=INK, fill=HEADING.fill, line="box")

Filled = Mapping[str, Sequence[Mapping[str, str]]]
"""Title of a table -> rows as a person would type them, by column name."""


def cell_format(column: Column, unit: Unit) -> Format:
    """Return the number format of a column's cells, under which a typed size stays a size."""
    by_kind = {
        Kind.LENGTH: Format.FRACTION if unit == "in" else Format.PLAIN,
        Kind.PLACES: Format.FRACTION if unit == "in" else Format.PLAIN,
        Kind.SHARE: Format.PERCENT,
        Kind.MONEY: Format.MONEY,
        Kind.WHOLE: Format.WHOLE,
        Kind.NUMBER: Format.PLAIN,
        Kind.DATE: Format.DATE,
        Kind.VOLUME: Format.HUNDREDTH if unit == "in" else Format.TEN_THOUSANDTH,
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
        return round(value * MM, 6) if unit == "mm" else float(value)
    return value if column.kind in (Kind.DATE, Kind.WHOLE) else float(value)


def _listed_columns(unit: Unit) -> list[tuple[Column, tuple[str, ...]]]:
    """Return the columns whose words stand on Lists, since they hold commas or are too many for a drop-down."""
    grades = offered_grades(unit == "mm")
    columns = [
        (column, grades if column.name == "grade" else column.choices)
        for tab in TABLES
        for column in tab.asked
    ]
    return [
        (column, words) for column, words in columns if words is grades or any("," in word for word in words)
    ]


def _choice(column: Column, where: Range, unit: Unit) -> Choice | None:
    for number, (listed, words) in enumerate(_listed_columns(unit), FIRST_LISTED):
        if listed == column:
            source = _lists_range(column_letters(number), len(words))
            return Choice(where, source=source, hint=column.help_in(unit))
    if (names := _names_of(column)) is not None:
        source = f"{names.title}!$A${len(names.help) + 6}:$A${LAST_ROW}"
        return Choice(where, source=source, hint=column.help_in(unit))
    if column.choices:
        return Choice(where, column.choices, hint=column.help_in(unit))
    if column.kind is Kind.SPECIES:
        return Choice(where, source=_lists_range("A", len(all_species())), hint=column.help_in(unit))
    if column.kind is Kind.STOCK:
        return Choice(
            where,
            usual_stocks() if unit == "in" else offered_metric_stocks(),
            hint=column.help_in(unit),
        )
    return None


def _names_of(column: Column) -> Tab | None:
    """Return the tab whose names a column asks for."""
    if column.name in ("into", "from_part") or (column.name == "member" and column in SPACING.asked):
        return PARTS
    return SPACING if column.name == "run" and column in PANELS.asked else None


def _words(column: Column, unit: Unit) -> tuple[str, ...]:
    """Return the words that a drop-down offers: steps of the job's own unit, everything else as declared."""
    if column.kind is not Kind.STEP:
        return column.choices
    return tuple(word for word in column.choices if word.endswith("mm") == (unit == "mm"))


def _lists_range(letter: str, count: int) -> str:
    return f"{settings.LISTS_TITLE}!${letter}$2:${letter}${count + 1}"


def _paper(unit: Unit) -> str:
    return "letter" if unit == "in" else "a4"


def _height(texts: Sequence[tuple[str, float]], size: float) -> float:
    lines = max((-(-len(text) // max(int(width * 1.15), 1)) for text, width in texts), default=1)
    return (lines + 0.4) * size * 1.32 + 3


def table_page(tab: Tab, unit: Unit, filled: Sequence[Mapping[str, str]] = ()) -> Page:
    """Return one input table."""
    columns = (*tab.asked, *tab.answered)
    cells: dict[Address, Cell] = {(1, 1): Cell(tab.title, style=TITLE)}
    heights = {1: 25.0}
    for row, text in enumerate(tab.help_in(unit), 2):
        cells[row, 1] = Cell(text, style=STAMP)
    band = len(tab.help) + 3
    heading = band + 2
    first_answer = len(tab.asked) + 1
    looks, choices = {}, []
    for number, column in enumerate(columns, 1):
        answer = number >= first_answer
        format = cell_format(column, unit)
        align = "center" if column.kind is Kind.WHOLE else "inset" if format is Format.TEXT else ""
        looks[number] = Look(
            column.wide, Style(format=format, fill=GRAY if answer else "", color=INK, align=align)
        )
        if answer:
            cells.update({(row, number): Cell(None, style=ABOVE) for row in range(1, band)})
        cells[band, number] = Cell(None, style=FILLED if answer else YOURS)
        cells[band + 1, number] = Cell(_help(column, answer, unit), style=HELP)
        shown_as = ANSWER_HEADING if answer else HEADING
        cells[heading, number] = Cell(_heading(column, unit), style=replace(shown_as, align=align or "right"))
        if not answer and (choice := _choice(column, Range(heading + 1, number, LAST_ROW, number), unit)):
            choices.append(choice)
    cells[band, 1] = Cell("You fill in", style=YOURS)
    if tab.answered:
        cells[band, first_answer] = Cell("sheetkit fills in", style=FILLED)
    heights[band + 1] = _height(
        [
            (_help(column, number >= first_answer, unit), column.wide * 1.1)
            for number, column in enumerate(columns, 1)
        ],
        8.5,
    )
    heights[heading] = 31.0
    for row, values in enumerate(filled, heading + 1):
        for number, column in enumerate(tab.asked, 1):
            if column.name in values:
                style = looks[number].style
                text = values[column.name]
                if text.startswith("="):
                    formula, _, stored = text[1:].partition("=>")
                    cells[row, number] = Cell(float(stored), formula.strip(), style)
                else:
                    cells[row, number] = Cell(typed(column, text, unit), style=style)
    # the words beside a row print on Rough sizes and Messages; here they would make the paper too small to read
    shown = [number for number, column in enumerate(columns, 1) if column.wide < 50]
    area = Range(1, 1, LAST_PRINTED, max(shown)) if len(shown) < len(columns) else None
    setup = PrintSetup(
        paper=_paper(unit),
        landscape=True,
        repeat_rows=(heading, heading),
        footer="&A · page &P of &N",
        area=area,
        with_book=False,
    )
    return Page(
        tab.title,
        cells,
        columns=looks,
        heights=heights,
        freeze=(heading, 1),
        choices=tuple(choices),
        print=setup,
    )


def _heading(column: Column, unit: Unit) -> str:
    return METRIC_VOLUME if column.kind is Kind.VOLUME and unit == "mm" else column.heading


def _help(column: Column, answer: bool, unit: Unit) -> str:
    text, default = column.help_in(unit), column.default_in(unit)
    if answer or not (column.required or default):
        return text
    return f"{text} ({'needed' if column.required else f'empty: {default}'})"


def _rows_of() -> dict[str, int]:
    """Return the row on Job of each label."""
    row, rows_of = len(settings.JOB_HELP) + 3, {}
    for column in settings.JOB:
        row += 3 if column.name == settings.FIRST_OF_FIT else 1  # below an empty row and a line of its own
        rows_of[column.name] = row
    return rows_of


def job_page(unit: Unit, values: Mapping[str, str] | None = None) -> Page:
    """Return the tab Job, with the live fit."""
    values = {"unit": "inch" if unit == "in" else "mm", **(values or {})}
    cells: dict[Address, Cell] = {(1, 1): Cell("The job", style=TITLE)}
    for row, text in enumerate(settings.JOB_HELP, 2):
        cells[row, 1] = Cell(text, style=STAMP)
    heading = len(settings.JOB_HELP) + 3
    for number, text in enumerate(("Label", "Value", "What it means"), 1):
        cells[heading, number] = Cell(text, style=HEADING)
    rows_of = _rows_of()
    apart = rows_of[settings.FIRST_OF_FIT] - 1
    cells |= {(apart, column): Cell(None, style=YOURS) for column in (1, 2, 3)}
    cells[apart, 1] = Cell(settings.FIT_TITLE, style=YOURS)
    sizes = size_rows(unit)
    formulas = fit_formulas(cell_name(rows_of["fits"], 2, fixed=True), len(sizes))
    stored = _fit_results(values, unit)
    choices = []
    for column in settings.JOB:
        row = rows_of[column.name]
        live = column.name in settings.LIVE
        style = Style(
            format=cell_format(column, unit),
            color=INK,
            line="box",
            align="left",
            fill=GRAY if live else "",
            italic=live,
        )
        cells[row, 1] = Cell(column.heading, style=LABEL)
        cells[row, 3] = Cell(_help(column, False, unit), style=Style(color="5F5F5F", size=9))
        if live:
            cells[row, 2] = Cell(stored[column.name], formulas[column.name], style)
        else:
            written = values.get(column.name)
            cells[row, 2] = Cell(None if written is None else typed(column, written, unit), style=style)
        here = Range(row, 2, row, 2)
        if column.choices:
            choices.append(Choice(here, _words(column, unit), hint=column.help_in(unit)))
        elif column.name == "fits":
            choices.append(Choice(here, source=_lists_range("C", len(sizes)), hint=column.help_in(unit)))
    looks = {1: Look(24), 2: Look(38), 3: Look(88)}
    names = {name: (rows_of[name], 2) for name in settings.LIVE}
    return Page(settings.JOB_TITLE, cells, columns=looks, heights={1: 25.0}, freeze=(heading, 0), choices=tuple(choices),
                names=names, print=PrintSetup(paper=_paper(unit), footer="&A · page &P of &N", with_book=False))  # fmt: skip


def _typed_sizes(values: Mapping[str, str], unit: Unit) -> dict[str, float]:
    """Return the sizes on Job with which the fit counts, as far as they are filled in."""
    columns = {column.name: column for column in settings.JOB}
    typed_in = {name: typed(columns[name], values[name], unit) for name in SIZES if values.get(name)}
    return {name: found for name, found in typed_in.items() if isinstance(found, float)}


def _fit_results(values: Mapping[str, str], unit: Unit) -> dict[str, Value]:
    """Return the stored results of the fit's formulas, as a spreadsheet program would compute them."""
    sizes = _typed_sizes(values, unit)

    def number(name: str) -> float:
        return sizes.get(name, 0.0)

    listed = {name: (width, length) for name, width, length in size_rows(unit)}
    results: dict[str, Value] = {}
    for name, own, index, clearance in (
        ("inside_width", "own_width", 0, "clearance_side"),
        ("inside_length", "own_length", 1, "clearance_end"),
    ):
        size = number(own) or (listed.get(values.get("fits", ""), (None, None))[index] or 0.0)
        results[name] = size + 2 * number(clearance) if size else ""
    top = number("top_height")
    results["support_height"] = top - number("own_thickness") - number("support_thickness") if top else ""
    return results


def size_rows(unit: Unit) -> list[tuple[str, float | None, float | None]]:
    """Return the sizes that a piece may have to fit, in the job's unit: own size first."""
    listed: list[tuple[str, float | None, float | None]] = [("own size", None, None)]
    for row in offered_sizes(unit == "mm"):
        scale = 1.0 if unit == "in" else MM
        listed.append(
            (row["name"], round(float(row["width_in"]) * scale, 3), round(float(row["length_in"]) * scale, 3))
        )
    return listed


def lists_page(unit: Unit, values: Mapping[str, str] | None = None) -> Page:
    """Return the tab Lists: the words behind the drop-downs, the sizes that the fit looks up, and the steps that read its own."""
    cells = step_cells(_rows_of(), _typed_sizes(values or {}, unit), unit)
    word = "in" if unit == "in" else "mm"
    for number, text in ((1, "Species"), (3, "Fits"), (4, f"Width ({word})"), (5, f"Length ({word})")):
        cells[1, number] = Cell(text, style=HEADING)
    for row, species in enumerate(offered_species(unit == "mm"), 2):
        cells[row, 1] = Cell(species.name)
    size = Style(format=Format.HUNDREDTH if unit == "in" else Format.TENTH)
    for row, (name, width, length) in enumerate(size_rows(unit), 2):
        cells[row, 3] = Cell(name)
        if width is not None:
            cells[row, 4] = Cell(width, style=size)
            cells[row, 5] = Cell(length, style=size)
    for number, (column, words) in enumerate(_listed_columns(unit), FIRST_LISTED):
        cells[1, number] = Cell(column.heading, style=HEADING)
        for row, word in enumerate(words, 2):
            cells[row, number] = Cell(word)
    widths = {1: 30, 3: 26, 4: 12, 5: 12, 7: 20, FIRST_STEP: 20}
    widths |= dict.fromkeys(range(FIRST_STEP + 1, FIRST_STEP + len(STEPS)), 16)  # no heading wraps in its row
    looks = {number: Look(width) for number, width in widths.items()}
    return Page(settings.LISTS_TITLE, cells, columns=looks, freeze=(1, 0),
                print=PrintSetup(paper=_paper(unit), repeat_rows=(1, 1), footer="&A · page &P of &N", with_book=False))  # fmt: skip


def allowances_page(unit: Unit) -> Page:
    """Return the tab Allowances, filled with the shop's defaults."""
    cells: dict[Address, Cell] = {(1, 1): Cell("What the machines take", style=TITLE)}
    for row, text in enumerate(settings.ALLOWANCES_HELP, 2):
        cells[row, 1] = Cell(text, style=STAMP)
    heading = len(settings.ALLOWANCES_HELP) + 3
    box = Style(format=Format.FRACTION if unit == "in" else Format.PLAIN, color=INK, line="box", align="left")
    for number, column in enumerate(settings.CLASS_COLUMNS, 1):
        cells[heading, number] = Cell(column.heading, style=HEADING)
    row = heading
    for texts in settings.CLASSES_INCH if unit == "in" else settings.CLASSES_MM:
        row += 1
        for number, (column, text) in enumerate(zip(settings.CLASS_COLUMNS, texts, strict=True), 1):
            cells[row, number] = Cell(
                text if text == settings.BEYOND else typed(column, text, unit), style=box
            )
    row += 2
    for number, text in enumerate(("Setting", "Value", "What it means"), 1):
        cells[row, number] = Cell(text, style=HEADING)
    choices = []
    for column in settings.ALLOWANCES:
        if column.only not in (None, unit):
            continue
        row += 1
        style = Style(format=cell_format(column, unit), color=INK, line="box", align="left")
        if unit == "in" and column.name == "sag_allowed":
            style = Style(format=Format.THOUSANDTH, color=INK, line="box", align="left")
        cells[row, 1] = Cell(column.heading, style=LABEL)
        text = column.default_in(unit)
        cells[row, 2] = Cell(typed(column, text, unit), style=style)
        words = column.help_in(unit)
        cells[row, 3] = Cell(words, style=Style(color="5F5F5F", size=9))
        if column.choices:
            choices.append(Choice(Range(row, 2, row, 2), column.choices, hint=words))
    looks = {1: Look(28), 2: Look(14), 3: Look(14), 4: Look(14)}
    return Page(settings.ALLOWANCES_TITLE, cells, columns=looks, heights={1: 25.0}, choices=tuple(choices),
                print=PrintSetup(paper=_paper(unit), footer="&A · page &P of &N", with_book=False))  # fmt: skip


def template_pages(
    unit: Unit, labels: Mapping[str, str] | None = None, filled: Filled | None = None
) -> tuple[Page, ...]:
    """Return the whole input workbook, blank or filled."""
    filled = filled or {}
    tables = {tab.title: table_page(tab, unit, filled.get(tab.title, ())) for tab in TABLES}
    by_title = {
        **tables,
        settings.JOB_TITLE: job_page(unit, labels),
        settings.ALLOWANCES_TITLE: allowances_page(unit),
        QUOTE_WORDS_TITLE: quote_words_page(_paper(unit)),
    }
    return (*(by_title[title] for title in settings.INPUT_ORDER), lists_page(unit, labels))

"""labels.py and the input tables -> the input tabs, blank or filled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES
from sheetkit.form.quote_words import QUOTE_WORDS_TITLE
from sheetkit.page import (
    Address,
    Cell,
    Choice,
    Format,
    Page,
    Range,
    Style,
    Value,
    cell_name,
    quoted,
)
from sheetkit.page import Column as Look
from sheetkit.records.units import Units
from sheetkit.tables import offered_sizes, offered_species
from sheetkit.tabs.draft import FACT, GRAY, HEADING, INK, STAMP, TITLE
from sheetkit.tabs.fit import FIRST_STEP, SIZES, STEPS, fit_formulas, step_cells
from sheetkit.tabs.growth import grown_rows
from sheetkit.tabs.input_table import (
    FIRST_LISTED,
    FIRST_ROW,
    LAST_ROW,
    Filled,
    Standing,
    cell_format,
    help_of,
    listed_columns,
    lists_range,
    offered_words,
    paper_for_input,
    table_page,
    typed,
)
from sheetkit.tabs.quote_words import quote_words_page
from sheetkit.units import MM, Unit

LABEL = Style(bold=True, color=INK, fill=HEADING.fill, line="box", middle=True)
MEANING = Style(color="5F5F5F", size=9, middle=True, wrap=True)
ROWS = Style(format=Format.WHOLE, color="5F5F5F", align="right", middle=True)
RIGHT = replace(HEADING, align="right")
YOURS = Style(bold=True, size=9, color=INK, line="under")
GRAYS = ("4D4D4D", "8A8A8A", "BDBDBD", "E4E4E4")
"""Colors of the tabs, by group."""


def _rows_of() -> dict[str, int]:
    """Return the row on Job of each label."""
    row, rows_of = len(settings.JOB_HELP) + 3, {}
    for column in settings.JOB:
        row += 3 if column.name == settings.FIRST_OF_FIT else 1  # below an empty row and a line of its own
        rows_of[column.name] = row
    return rows_of


def _contents(heading: int, filled: Mapping[str, int], standing: Standing) -> dict[Address, Cell]:
    """Return the list of the other input tabs on Job, by group: each leads there and tells its rows."""
    cells = {(heading, 5): Cell("Where to write", style=HEADING), (heading, 6): Cell("Rows", style=RIGHT)}
    rows = {tab.title: tab.row_is for tab in TABLES}
    row = heading
    for group, titles in settings.INPUT_GROUPS.items():
        row += 1
        cells |= {(row, 5): Cell(group, style=YOURS), (row, 6): Cell(None, style=YOURS)}
        for title in titles[titles[0] == settings.JOB_TITLE :]:
            row += 1
            at, first, column = standing.get(title, (title, FIRST_ROW, 1))
            cells[row, 5] = Cell(title, style=FACT, link=f"{quoted(at)}!A1")
            if title in rows:
                block = cell_name(first, column, fixed=True), cell_name(LAST_ROW, column, fixed=True)
                counted = f"COUNTA({quoted(at)}!{':'.join(block)})"
                cells[row, 6] = Cell(float(filled.get(title, 0)), counted, ROWS)
    return cells


def job_page(
    unit: Unit,
    values: Mapping[str, str] | None = None,
    filled: Mapping[str, int] = MappingProxyType({}),
    standing: Standing = MappingProxyType({}),
) -> Page:
    """Return the tab Job, with the live fit and a list of the other tabs."""
    values = {"unit": Units(unit).word, **(values or {})}
    cells: dict[Address, Cell] = {(1, 1): Cell("The job", style=TITLE)}
    for row, text in enumerate(settings.JOB_HELP, 2):
        cells[row, 1] = Cell(text, style=STAMP)
    heading = len(settings.JOB_HELP) + 3
    for number, text in enumerate(("Label", "Value", "What it means"), 1):
        cells[heading, number] = Cell(text, style=HEADING)
    cells |= _contents(heading, filled, standing)
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
            middle=True,
            wrap=True,
        )
        cells[row, 1] = Cell(column.heading, style=LABEL)
        cells[row, 3] = Cell(help_of(column, False, unit), style=MEANING)
        if live:
            cells[row, 2] = Cell(stored[column.name], formulas[column.name], style)
        else:
            written = values.get(column.name)
            cells[row, 2] = Cell(None if written is None else typed(column, written, unit), style=style)
        here = Range(row, 2, row, 2)
        if column.choices:
            choices.append(Choice(here, offered_words(column, unit), hint=column.help_in(unit)))
        elif column.name == "fits":
            choices.append(Choice(here, source=lists_range("C", len(sizes)), hint=column.help_in(unit)))
    looks = {number: Look(wide) for number, wide in enumerate((24, 32, 76, 2, 16, 7), 1)}
    area = Range(1, 1, max(rows_of.values()), 3)
    names = {name: (rows_of[name], 2) for name in settings.LIVE}
    page = Page(
        settings.JOB_TITLE,
        cells,
        columns=looks,
        heights={1: 25.0},
        freeze=(heading, 0),
        choices=tuple(choices),
        names=names,
        print=replace(paper_for_input(unit), area=area),
    )
    return replace(page, grown=grown_rows(page))


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
    for row in offered_sizes(Units(unit).metric):
        scale = Units(unit).either(1.0, MM)
        listed.append(
            (row["name"], round(float(row["width_in"]) * scale, 3), round(float(row["length_in"]) * scale, 3))
        )
    return listed


def lists_page(unit: Unit, values: Mapping[str, str] | None = None) -> Page:
    """Return the tab Lists: words of the drop-downs, sizes that the fit looks up, steps that read its own."""
    cells = step_cells(_rows_of(), _typed_sizes(values or {}, unit), unit)
    units = Units(unit)
    word = units.name("length")
    for number, text in ((1, "Species"), (3, "Fits"), (4, f"Width ({word})"), (5, f"Length ({word})")):
        cells[1, number] = Cell(text, style=HEADING)
    for row, species in enumerate(offered_species(units.metric), 2):
        cells[row, 1] = Cell(species.name)
    size = Style(format=units.either(Format.HUNDREDTH, Format.TENTH))
    for row, (name, width, length) in enumerate(size_rows(unit), 2):
        cells[row, 3] = Cell(name)
        if width is not None:
            cells[row, 4] = Cell(width, style=size)
            cells[row, 5] = Cell(length, style=size)
    for number, (column, words) in enumerate(listed_columns(unit), FIRST_LISTED):
        cells[1, number] = Cell(column.heading, style=HEADING)
        for row, word in enumerate(words, 2):
            cells[row, number] = Cell(word)
    widths = {1: 30, 3: 26, 4: 12, 5: 12, 7: 20, FIRST_STEP: 20}
    widths |= dict.fromkeys(range(FIRST_STEP + 1, FIRST_STEP + len(STEPS)), 16)  # no heading wraps in its row
    looks = {number: Look(width) for number, width in widths.items()}
    setup = replace(paper_for_input(unit), repeat_rows=(1, 1))
    return Page(settings.LISTS_TITLE, cells, columns=looks, freeze=(1, 0), print=setup)


def allowances_page(unit: Unit) -> Page:
    """Return the tab Allowances, filled with the shop's defaults."""
    cells: dict[Address, Cell] = {(1, 1): Cell("What the machines take", style=TITLE)}
    for row, text in enumerate(settings.ALLOWANCES_HELP, 2):
        cells[row, 1] = Cell(text, style=STAMP)
    heading = len(settings.ALLOWANCES_HELP) + 3
    units = Units(unit)
    box = Style(format=units.either(Format.FRACTION, Format.PLAIN), color=INK, line="box", align="left")
    for number, column in enumerate(settings.CLASS_COLUMNS, 1):
        cells[heading, number] = Cell(column.heading, style=HEADING)
    row = heading
    for texts in units.either(settings.CLASSES_INCH, settings.CLASSES_MM):
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
        if column.name == "sag_allowed" and not units.metric:
            style = Style(format=Format.THOUSANDTH, color=INK, line="box", align="left")
        cells[row, 1] = Cell(column.heading, style=LABEL)
        text = column.default_in(unit)
        cells[row, 2] = Cell(typed(column, text, unit), style=style)
        words = column.help_in(unit)
        cells[row, 3] = Cell(words, style=Style(color="5F5F5F", size=9))
        if column.choices:
            choices.append(Choice(Range(row, 2, row, 2), column.choices, hint=words))
    looks = {1: Look(28), 2: Look(14), 3: Look(14), 4: Look(14)}
    return Page(
        settings.ALLOWANCES_TITLE,
        cells,
        columns=looks,
        heights={1: 25.0},
        choices=tuple(choices),
        print=paper_for_input(unit),
    )


def template_pages(
    unit: Unit,
    labels: Mapping[str, str] | None = None,
    filled: Filled | None = None,
    standing: Standing = MappingProxyType({}),
) -> tuple[Page, ...]:
    """Return the whole input workbook, blank or filled; drop-downs offer names from ``standing``."""
    filled = filled or {}
    rows = {tab.title: filled.get(tab.title, ()) for tab in TABLES}
    tables = {tab.title: table_page(tab, unit, rows[tab.title], standing) for tab in TABLES}
    by_title = {
        **tables,
        settings.JOB_TITLE: job_page(
            unit, labels, {title: len(each) for title, each in rows.items()}, standing
        ),
        settings.ALLOWANCES_TITLE: allowances_page(unit),
        QUOTE_WORDS_TITLE: quote_words_page(Units(unit).paper),
    }
    grouped = zip(settings.INPUT_GROUPS.values(), GRAYS, strict=True)
    pages = [replace(by_title[title], color=gray) for titles, gray in grouped for title in titles]
    return (*pages, replace(lists_page(unit, labels), color=GRAYS[-1]))

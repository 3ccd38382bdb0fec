"""The tabs of the rack's own workbook, besides its boards: its unit, and the species behind the drop-down."""

from __future__ import annotations

from sheetkit.form import labels as settings
from sheetkit.page import Cell, Choice, Page, PrintSetup, Range, Style
from sheetkit.page import Column as Look
from sheetkit.records.units import Units
from sheetkit.tables import all_species
from sheetkit.tabs.draft import HEADING, INK, STAMP, TITLE
from sheetkit.units import Unit

LABEL = Style(bold=True, color=INK, fill=HEADING.fill, line="box")


def rack_page(unit: Unit) -> Page:
    """Return the tab that says what the workbook is, and in which unit its sizes are."""
    units = Units(unit)
    cells = {(1, 1): Cell("The rack", style=TITLE)}
    for row, text in enumerate(settings.RACK_HELP, 2):
        cells[row, 1] = Cell(text, style=STAMP)
    heading = len(settings.RACK_HELP) + 3
    for number, text in enumerate(("Label", "Value", "What it means"), 1):
        cells[heading, number] = Cell(text, style=HEADING)
    choices = []
    for row, column in enumerate(settings.RACK, heading + 1):
        cells[row, 1] = Cell(column.heading, style=LABEL)
        cells[row, 2] = Cell(units.word, style=Style(color=INK, line="box", align="left"))
        cells[row, 3] = Cell(column.help_in(unit), style=Style(color="5F5F5F", size=9))
        choices.append(Choice(Range(row, 2, row, 2), column.choices, hint=column.help_in(unit)))
    setup = PrintSetup(paper=units.paper, footer="&A · page &P of &N")
    return Page(
        settings.RACK_TITLE,
        cells,
        columns={1: Look(24), 2: Look(20), 3: Look(70)},
        heights={1: 25.0},
        choices=tuple(choices),
        print=setup,
    )


def species_page() -> Page:
    """Return the tab that lists the species."""
    cells = {(1, 1): Cell("Species", style=HEADING)}
    cells.update({(row, 1): Cell(species.name) for row, species in enumerate(all_species(), 2)})
    return Page(settings.LISTS_TITLE, cells, columns={1: Look(30)}, freeze=(1, 0))

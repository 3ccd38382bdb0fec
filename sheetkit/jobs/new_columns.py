"""The columns that an input tab of an earlier version lacks, put beside all that stands on it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from sheetkit.book.answer_columns import copied_marks, mark_key
from sheetkit.book.places import fresh_look
from sheetkit.book.workbook import Workbook
from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Column, Tab
from sheetkit.intake.headings import by_row, heading_row, match_headings
from sheetkit.intake.labeled import job_unit, label_places
from sheetkit.intake.reading import Reading
from sheetkit.page import Address, Cell, Page, Style
from sheetkit.page import Column as Look
from sheetkit.records.job import Place
from sheetkit.tabs.input_table import cell_format
from sheetkit.units import Unit

ROWS = 100
"""Rows below the heading in which a typed size or word stays what it is, if more are not filled already."""


class NewColumns(NamedTuple):
    """Cells to write, by tab, and the headings among them in words."""

    patches: dict[str, dict[Address, Cell]]
    said: list[str]
    fresh: dict[str, dict[int, Look]]
    """Their widths, by tab."""


def new_columns(workbook: Workbook, unit: Unit) -> NewColumns:
    """Return the columns that tabs of ours lack; ``unit`` counts where Job names none."""
    found = NewColumns({}, [], {})
    job = workbook.page(settings.JOB_TITLE)
    if job is not None:
        unit = job_unit(job, label_places(Reading(job, []), settings.JOB))
    for tab in TABLES:
        page = workbook.page(tab.title)
        grouped = {} if page is None else by_row(page)
        heading = heading_row(grouped, tab)
        if page is None or heading is None:
            continue
        columns, doubled = match_headings(grouped[heading], tab, heading)
        lacking = [column for column in tab.asked if column.name not in columns]
        place = Place(page.title, heading, columns)
        if lacking and not doubled and _is_ours(tab, place, page, workbook):
            numbered = dict(enumerate(lacking, _first_free(page, workbook)))
            looks = {
                at: look for at, column in numbered.items() if (look := fresh_look(column, place, page, at))
            }
            found.patches[page.title] = _beside(numbered, looks, place, page, unit)
            found.fresh[page.title] = looks
            found.said.append(f"{page.title} ({', '.join(column.heading for column in lacking)})")
    return found


def _is_ours(tab: Tab, place: Place, page: Page, workbook: Workbook) -> bool:
    """Whether a tab was made by us: our answers stand on it, and most of what is asked."""
    marked = [
        workbook.columns[key] for each in tab.answered if (key := mark_key(tab, each)) in workbook.columns
    ]
    ours = any(title.casefold() == page.title.casefold() for title, _ in marked)
    ours = ours or bool(copied_marks(tab, place, page)) or (not tab.answered and bool(workbook.columns))
    asked = sum(column.name in place.columns for column in tab.asked)
    return ours and 2 * asked >= len(tab.asked)


def _first_free(page: Page, workbook: Workbook) -> int:
    """Return the first column right of everything on a tab."""
    marked = (block.last_column for title, block in workbook.columns.values() if title == page.title)
    merged = (block.last_column for block in page.merged)
    return max((page.last_column, *marked, *merged)) + 1


def _beside(
    lacking: Mapping[int, Column], looks: Mapping[int, Look], place: Place, page: Page, unit: Unit
) -> dict[Address, Cell]:
    """Return the headings by column of a tab, and below them cells that keep what is typed."""
    rows = range(place.heading_row + 1, max(page.last_row, place.heading_row + ROWS) + 1)
    cells: dict[Address, Cell] = {}
    for number, column in lacking.items():
        cells[place.heading_row, number] = Cell(column.heading, style=Style(wrap=number in looks))
        wrap = number in looks and looks[number].style.wrap
        style = Style(format=cell_format(column, unit), wrap=wrap)
        cells.update({(row, number): Cell(style=style) for row in rows})
    return cells

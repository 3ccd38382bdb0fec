"""Pages of the maker's workbook -> a Job and all its Problems at once; never raises for a bad cell."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sheetkit.form import labels as settings
from sheetkit.form.columns import BOUGHT, JOINTS, TABLES, Column, Tab, title_keys
from sheetkit.form.quote_words import QUOTE_WORDS_TITLE
from sheetkit.intake.amounts import Amounts
from sheetkit.intake.bought import boards_noted, noted_on
from sheetkit.intake.causes import fitted, with_causes
from sheetkit.intake.cell import is_empty
from sheetkit.intake.headings import by_row, heading_row, match_headings
from sheetkit.intake.joint_sizes import with_sizes_told
from sheetkit.intake.labeled import Spots, allowances_of, job_currency, job_sheet, job_unit, label_places
from sheetkit.intake.members import with_sizes_of_parts
from sheetkit.intake.reading import Reading
from sheetkit.intake.words import quote_words
from sheetkit.page import Format, Page
from sheetkit.records import job as model
from sheetkit.records.allowances import Allowances
from sheetkit.records.problems import Problem, in_words_of, problem
from sheetkit.units import length_text

MOST_ROWS = 10_000
"""Rows of a tab that are worked out: far more than any piece of furniture has, and still done in seconds."""
LIVE_TABS = ("Job", "Prices", "Extras", "Labor")
"""Tabs that the live formulas of Lumber, Estimate and Quote point at."""


@dataclass(frozen=True, slots=True)
class Intake:
    """What was understood, and what was not."""

    job: model.Job
    problems: tuple[Problem, ...]


def _tell_of_merged(reading: Reading, tab: Tab, placed: Mapping[str, int], heading: int) -> None:
    asked = [column for column in tab.asked if column.name in placed]
    filled = {
        row
        for (row, number), cell in reading.page.cells.items()
        if not is_empty(cell) and number in placed.values()
    }
    names = {placed[column.name]: column.heading for column in asked if column.name != "note"}
    for block in reading.page.merged:
        covered = [number for number in range(block.first_column, block.last_column + 1) if number in names]
        many = block.last_row > block.first_row or len(covered) > 1
        if filled.isdisjoint(range(block.first_row, block.last_row + 1)):
            continue  # in empty rows, which nothing is read from
        if covered and many and block.last_row > heading and block.first_row > heading:
            words = names[covered[0]]
            reading.tell("merged", block.first_row, block.first_column, "merged cells", heading=words)


def table_rows(reading: Reading, tab: Tab) -> tuple[list[dict[str, Any]], model.Place | None]:
    """Return the values of each row that holds all it must, and where the table stands."""
    page = reading.page
    grouped = by_row(page)
    heading = heading_row(grouped, tab)
    if heading is None:
        if grouped or tab.title == "Parts":
            reading.tell("heading-missing", heading=tab.key_column.heading)
        return [], None
    placed, doubled = match_headings(grouped[heading], tab, heading)
    reading.told.extend(doubled)
    lacking = [column.heading for column in tab.asked if column.required and column.name not in placed]
    for missing in lacking:
        reading.tell("column-missing", heading, heading=missing)
    _tell_of_merged(reading, tab, placed, heading)
    asked = [(column, placed[column.name]) for column in tab.asked if column.name in placed]
    numbers = [number for _, number in asked]
    rows = [
        row
        for row in sorted(grouped)
        if row > heading and any(not is_empty(grouped[row].get(number)) for number in numbers)
    ]
    if len(rows) > MOST_ROWS:
        row = rows[MOST_ROWS]
        first = min(number for number in numbers if not is_empty(grouped[row].get(number)))
        stands = str(grouped[row][first].value)
        reading.tell("too-many-rows", row, first, stands, limit=f"{MOST_ROWS:,}")
        rows, lacking = rows[:MOST_ROWS], ["room"]
    found = [values for values in (_row(reading, row, asked) for row in rows) if values is not None]
    counted = {"qty": 1} if any(column.name == "qty" and column.default for column in tab.asked) else {}
    edge = max((block.last_column for block in page.merged), default=0)
    last = rows[-1] if rows else heading
    place = model.Place(page.title, heading, placed, last, max(page.last_column, edge) + 1)
    return [] if lacking else [{**counted, **values} for values in found], place


def _row(reading: Reading, row: int, asked: Sequence[tuple[Column, int]]) -> dict[str, Any] | None:
    """Return the values of a row by column name, None when one is wrong or missing."""
    said = {column.name: reading.cell(column, row, number) for column, number in asked}
    if not all(each.right for each in said.values()):
        return None
    return {"row": row, **{name: each.value for name, each in said.items() if each.value is not None}}


def board_rows(reading: Reading, found: list[dict[str, Any]], place: model.Place) -> list[dict[str, Any]]:
    """Turn Bad from and Bad to into spans; a board written again adds another bad length to it."""

    def wrong(code: str, row: int, name: str, stands: str) -> None:
        reading.tell(code, row, place.columns.get(name, 0), stands)

    boards: dict[tuple[str, str, str], dict[str, Any]] = {}
    for values in found:
        length, start, end = values["length"], values.pop("bad_from", None), values.pop("bad_to", None)
        begin, stop = start or 0.0, length if end is None else end
        values["bad"] = () if start is None and end is None else ((begin, stop),)
        if values["bad"] and begin >= length:
            wrong("span-beyond", values["row"], "bad_from", length_text(begin, reading.unit))
        elif values["bad"] and stop <= begin:
            wrong("span-backwards", values["row"], "bad_to", length_text(stop, reading.unit))
        key = values["board"].casefold(), values["species"].id, values["stock"].name
        first = boards.setdefault(key, values)
        if first is values:
            continue
        if values["bad"] and (values["width"], length) == (first["width"], first["length"]):
            first["bad"] += values["bad"]
        else:
            wrong("board-double", values["row"], "board", values["board"])
    return list(boards.values())


def _job_tab(
    page: Page | None, by_title: Mapping[str, Page], told: list[Problem]
) -> tuple[model.JobSheet, Spots, Amounts]:
    """Return what the tab Job says, where its values stand, and how this workbook writes amounts."""
    if page is None:
        told.append(problem("tab-missing", settings.JOB_TITLE))
        return model.JobSheet("", "in", 1 / 32, "exact"), {}, Amounts(pages=by_title)
    labels = label_places(Reading(page, told), settings.JOB)
    amounts = Amounts(job_currency(page, labels), by_title, labels)
    return job_sheet(Reading(page, told, job_unit(page, labels), amounts), labels), labels, amounts


def _as_records(
    reading: Reading,
    title: str,
    found: list[dict[str, Any]],
    places: Mapping[str, model.Place],
    records: Mapping[str, tuple[Any, ...]],
    allowances: Allowances,
) -> tuple[Any, ...]:
    """Return the records of a tab's rows, where a cell may say more than its own column tells."""
    if title == "Boards" and title in places:
        found = board_rows(reading, found, places[title])
    if title == "Loads" and title in places:
        found = with_sizes_of_parts(reading, found, records.get("parts", ()), places)
    if title == "Joints" and title in places:
        found = with_sizes_told(reading, found, records, allowances.glue_gap, places)
    for values in found:
        if title == "Panels":
            values.setdefault("groove_ends", values.get("groove_sides"))
        if title == "Joints" and isinstance(values.get("at"), str):
            values["at_run"] = values.pop("at")
    return tuple(model.ROWS[title][1](**values) for values in found)


def take_in(pages: Iterable[Page], bought: str = "") -> Intake:
    """Read a workbook's pages into a job; ``bought`` is the title of our tab To buy, where there is one."""
    by_title = {page.title.casefold(): page for page in pages}
    told: list[Problem] = []

    def titled(title: str) -> Page | None:
        return next((by_title[key] for key in title_keys(title) if key in by_title), None)

    sheet, labels, amounts = _job_tab(titled(settings.JOB_TITLE), by_title, told)

    def read(page: Page | None) -> Reading | None:
        return None if page is None else Reading(page, told, sheet.unit, amounts)

    words = quote_words(read(by_title.get(QUOTE_WORDS_TITLE.casefold())))
    allowances = allowances_of(read(titled(settings.ALLOWANCES_TITLE)), sheet.unit)
    places: dict[str, model.Place] = {}
    records: dict[str, tuple[Any, ...]] = {}
    for tab in sorted(TABLES, key=lambda tab: tab is JOINTS):  # it asks the others
        page = titled(tab.title)
        if page is None:
            if tab.title == "Parts":
                told.append(problem("tab-missing", "Parts"))
            continue
        reading = Reading(fitted(page, sheet, labels), told, sheet.unit, amounts)
        found, place = table_rows(reading, tab)
        if place:
            places[tab.title] = place
        made = _as_records(reading, tab.title, found, places, records, allowances)
        records[model.ROWS[tab.title][0]] = made
        if tab.title == "Parts" and place and not found and all(each.tab != page.title for each in told):
            reading.tell("nothing-to-do")
    noted = by_title.get(bought.casefold()) if bought else None
    if noted is not None and noted_on(noted):
        found, place = table_rows(Reading(noted, told, sheet.unit, amounts), BOUGHT)
        if place:
            places[BOUGHT.title] = place
        boards = records.get("boards", ())
        records["boards"] = (*boards, *boards_noted(found, boards, BOUGHT.title))
    numbers = {
        (page.title, row, number): cell
        for page in map(titled, LIVE_TABS)
        if page is not None
        for (row, number), cell in page.cells.items()
        if isinstance(cell.value, int | float) and not isinstance(cell.value, bool)
    }
    job = model.Job(
        replace(sheet, words=words),
        **records,
        allowances=allowances,
        places=places,
        labels=labels,
        numeric=frozenset(numbers),
        percents=frozenset(at for at, cell in numbers.items() if cell.style.format is Format.PERCENT),
    )
    return Intake(
        job, tuple(with_causes(in_words_of(sheet.unit, told), by_title, places, labels, sheet.unit))
    )

"""Pages of the maker's workbook -> a Job and all its Problems at once; never raises for a bad cell."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sheetkit.form import labels as settings
from sheetkit.form.columns import BOUGHT, TABLES, Column, Tab, title_keys
from sheetkit.form.quote_words import QUOTE_WORDS_TITLE
from sheetkit.intake.amounts import Amounts
from sheetkit.intake.bought import boards_noted, noted_on
from sheetkit.intake.causes import fitted, with_causes
from sheetkit.intake.cell import doubts, entry, is_empty
from sheetkit.intake.headings import by_row, expected, heading_row, match_headings
from sheetkit.intake.labeled import allowances_of, job_currency, job_sheet, job_unit, label_places
from sheetkit.intake.words import quote_words
from sheetkit.page import Cell, Format, Page
from sheetkit.records import job as model
from sheetkit.records.problems import Problem, in_words_of, problem
from sheetkit.units import Unit, length_text

MOST_ROWS = 10_000
"""Rows of a tab that are worked out: far more than any piece of furniture has, and still done in seconds."""
LIVE_TABS = ("Job", "Prices", "Extras", "Labor")
"""Tabs that the live formulas of Lumber, Estimate and Quote point at."""


@dataclass(frozen=True, slots=True)
class Intake:
    """What was understood, and what was not."""

    job: model.Job
    problems: tuple[Problem, ...]


def _merged_problems(page: Page, tab: Tab, placed: Mapping[str, int], heading: int) -> list[Problem]:
    asked = [column for column in tab.asked if column.name in placed]
    filled = {
        row for (row, number), cell in page.cells.items() if not is_empty(cell) and number in placed.values()
    }
    names = {placed[column.name]: column.heading for column in asked if column.name != "note"}
    problems = []
    for block in page.merged:
        covered = [number for number in range(block.first_column, block.last_column + 1) if number in names]
        many = block.last_row > block.first_row or len(covered) > 1
        if filled.isdisjoint(range(block.first_row, block.last_row + 1)):
            continue  # in empty rows, which nothing is read from
        if covered and many and block.last_row > heading and block.first_row > heading:
            at, words = (block.first_row, block.first_column), names[covered[0]]
            problems.append(problem("merged", tab.title, *at, "merged cells", heading=words))
    return problems


def table_rows(
    page: Page, tab: Tab, unit: Unit, amounts: Amounts, problems: list[Problem]
) -> tuple[list[dict[str, Any]], model.Place | None]:
    """Return the values of each row that holds all it must, and where the table stands."""
    grouped = by_row(page)
    heading = heading_row(grouped, tab)
    if heading is None:
        if grouped or tab.title == "Parts":
            problems.append(problem("heading-missing", page.title, heading=tab.key_column.heading))
        return [], None
    placed, doubled = match_headings(grouped[heading], tab, heading)
    problems += doubled
    lacking = [column.heading for column in tab.asked if column.required and column.name not in placed]
    problems += [problem("column-missing", page.title, heading, 0, heading=missing) for missing in lacking]
    problems += _merged_problems(page, tab, placed, heading)
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
        problems.append(problem("too-many-rows", page.title, row, first, stands, limit=f"{MOST_ROWS:,}"))
        rows, lacking = rows[:MOST_ROWS], ["room"]
    read = (_row(page, row, grouped[row], asked, unit, amounts, problems) for row in rows)
    found = [values for values in read if values is not None]
    counted = {"qty": 1} if any(column.name == "qty" and column.default for column in tab.asked) else {}
    edge = max((block.last_column for block in page.merged), default=0)
    last = rows[-1] if rows else heading
    place = model.Place(page.title, heading, placed, last, max(page.last_column, edge) + 1)
    return [] if lacking else [{**counted, **values} for values in found], place


def _row(
    page: Page,
    row: int,
    cells: Mapping[int, Cell],
    asked: Sequence[tuple[Column, int]],
    unit: Unit,
    amounts: Amounts,
    problems: list[Problem],
) -> dict[str, Any] | None:
    """Return the values of a row by column name, None when one is wrong or missing."""
    values: dict[str, Any] = {"row": row}
    whole = True
    for column, number in asked:
        cell = cells.get(number)
        if cell is None or is_empty(cell):
            if column.required:
                words = {"heading": column.heading, "expected": expected(column, unit)}
                problems.append(problem("empty", page.title, row, number, "", **words))
                whole = False
            continue
        value, wrong = entry(cell, column, unit, page.title, row, number, amounts)
        if wrong:
            problems.append(wrong)
            whole = False
        else:
            values[column.name] = value
            problems += doubts(cell, column, value, page.title, row, number)
    return values if whole else None


def board_rows(
    found: list[dict[str, Any]], place: model.Place, unit: Unit, problems: list[Problem]
) -> list[dict[str, Any]]:
    """Turn Bad from and Bad to into spans; a board written again adds another bad length to it."""

    def wrong(code: str, row: int, name: str, stands: str) -> None:
        problems.append(problem(code, place.title, row, place.columns.get(name, 0), stands))

    boards: dict[tuple[str, str, str], dict[str, Any]] = {}
    for values in found:
        length, start, end = values["length"], values.pop("bad_from", None), values.pop("bad_to", None)
        begin, stop = start or 0.0, length if end is None else end
        values["bad"] = () if start is None and end is None else ((begin, stop),)
        if values["bad"] and begin >= length:
            wrong("span-beyond", values["row"], "bad_from", length_text(begin, unit))
        elif values["bad"] and stop <= begin:
            wrong("span-backwards", values["row"], "bad_to", length_text(stop, unit))
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
    page: Page | None, by_title: Mapping[str, Page], problems: list[Problem]
) -> tuple[model.JobSheet, dict[str, tuple[str, int, int]], Amounts]:
    """Return what the tab Job says, where its values stand, and how this workbook writes amounts."""
    if page is None:
        problems.append(problem("tab-missing", settings.JOB_TITLE))
        return model.JobSheet("", "in", 1 / 32, "exact"), {}, Amounts(pages=by_title)
    labels = label_places(page, settings.JOB, problems)
    unit = job_unit(page, labels)
    amounts = Amounts(job_currency(page, labels), by_title, labels)
    return job_sheet(page, labels, unit, amounts, problems), labels, amounts


def _as_records(
    title: str, found: list[dict[str, Any]], place: model.Place | None, unit: Unit, problems: list[Problem]
) -> tuple[Any, ...]:
    """Return the records of a tab's rows, where a cell may say more than its own column tells."""
    if title == "Boards" and place:
        found = board_rows(found, place, unit, problems)
    for values in found:
        if title == "Panels":
            values.setdefault("groove_ends", values.get("groove_sides"))
        if title == "Joints" and isinstance(values.get("at"), str):
            values["at_run"] = values.pop("at")
    return tuple(model.ROWS[title][1](**values) for values in found)


def take_in(pages: Iterable[Page], bought: str = "") -> Intake:
    """Read a workbook's pages into a job; ``bought`` is the title of our tab To buy, where there is one."""
    by_title = {page.title.casefold(): page for page in pages}
    problems: list[Problem] = []

    def titled(title: str) -> Page | None:
        return next((by_title[key] for key in title_keys(title) if key in by_title), None)

    sheet, labels, amounts = _job_tab(titled(settings.JOB_TITLE), by_title, problems)
    sheet = replace(sheet, words=quote_words(by_title.get(QUOTE_WORDS_TITLE.casefold()), problems))
    unit = sheet.unit
    places: dict[str, model.Place] = {}
    records: dict[str, tuple[Any, ...]] = {}
    for tab in TABLES:
        page = titled(tab.title)
        if page is None:
            if tab.title == "Parts":
                problems.append(problem("tab-missing", "Parts"))
            continue
        page = fitted(page, sheet, labels)
        found, place = table_rows(page, tab, unit, amounts, problems)
        if place:
            places[tab.title] = place
        records[model.ROWS[tab.title][0]] = _as_records(tab.title, found, place, unit, problems)
        if tab.title == "Parts" and place and not found and all(each.tab != page.title for each in problems):
            problems.append(problem("nothing-to-do", page.title))
    noted = by_title.get(bought.casefold()) if bought else None
    if noted is not None and noted_on(noted):
        found, place = table_rows(noted, BOUGHT, unit, amounts, problems)
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
        sheet,
        **records,
        allowances=allowances_of(titled(settings.ALLOWANCES_TITLE), unit, problems),
        places=places,
        labels=labels,
        numeric=frozenset(numbers),
        percents=frozenset(at for at, cell in numbers.items() if cell.style.format is Format.PERCENT),
    )
    return Intake(job, tuple(with_causes(in_words_of(unit, problems), by_title, places, labels, unit)))

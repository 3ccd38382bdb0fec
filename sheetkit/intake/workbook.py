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
from sheetkit.intake.members import with_sizes_of_parts
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
            problems.append(problem("merged", tab.title, block.first_row, block.first_column, "merged cells",
                                    heading=names[covered[0]]))  # fmt: skip
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
    page: Page, row: int, cells: Mapping[int, Cell], asked: Sequence[tuple[Column, int]], unit: Unit,
    amounts: Amounts, problems: list[Problem],
) -> dict[str, Any] | None:  # fmt: skip
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


def take_in(pages: Iterable[Page], bought: str = "") -> Intake:
    """Read a whole workbook's pages into a job; ``bought`` is the title of our tab To buy, where there is one."""
    by_title = {page.title.casefold(): page for page in pages}
    problems: list[Problem] = []

    def titled(title: str) -> Page | None:
        return next((by_title[key] for key in title_keys(title) if key in by_title), None)

    sheet_page = titled(settings.JOB_TITLE)
    unit: Unit = "in"
    labels: dict[str, tuple[str, int, int]] = {}
    sheet = model.JobSheet("", "in", 1 / 32, "exact")
    amounts = Amounts(pages=by_title)
    if sheet_page is None:
        problems.append(problem("tab-missing", settings.JOB_TITLE))
    else:
        labels = label_places(sheet_page, settings.JOB, problems)
        unit = job_unit(sheet_page, labels)
        amounts = Amounts(job_currency(sheet_page, labels), by_title, labels)
        sheet = job_sheet(sheet_page, labels, unit, amounts, problems)
    words = quote_words(by_title.get(QUOTE_WORDS_TITLE.casefold()), problems)
    sheet = replace(sheet, words=words)
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
        if tab.title == "Boards" and place:
            found = board_rows(found, place, unit, problems)
        if tab.title == "Loads" and place:
            found = with_sizes_of_parts(found, records.get("parts", ()), place, unit, problems)
        if tab.title == "Panels":
            for values in found:
                values.setdefault("groove_ends", values.get("groove_sides"))
        if tab.title == "Joints":
            for values in found:
                if isinstance(values.get("at"), str):
                    values["at_run"] = values.pop("at")
        name, record = model.ROWS[tab.title]
        records[name] = tuple(record(**values) for values in found)
        if tab.title == "Parts" and place and not found and all(each.tab != page.title for each in problems):
            problems.append(problem("nothing-to-do", page.title))
    noted = by_title.get(bought.casefold()) if bought else None
    if noted is not None and noted_on(noted):
        found, place = table_rows(noted, BOUGHT, unit, amounts, problems)
        if place:
            places[BOUGHT.title] = place
        boards = records.get("boards", ())
        records["boards"] = (*boards, *boards_noted(found, boards, BOUGHT.title))
    allowances = allowances_of(titled(settings.ALLOWANCES_TITLE), unit, problems)
    live = {page.title for title in LIVE_TABS if (page := titled(title))}
    numbers = {
        (page.title, row, number): cell
        for page in by_title.values()
        if page.title in live
        for (row, number), cell in page.cells.items()
        if isinstance(cell.value, int | float) and not isinstance(cell.value, bool)
    }
    percents = frozenset(at for at, cell in numbers.items() if cell.style.format is Format.PERCENT)
    job = model.Job(
        sheet,
        **records,
        allowances=allowances,
        places=places,
        labels=labels,
        numeric=frozenset(numbers),
        percents=percents,
    )
    return Intake(job, tuple(with_causes(in_words_of(unit, problems), by_title, places, labels, unit)))

"""Pages of the maker's workbook -> a Job and all its Problems at once; never raises for a bad cell."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sheetkit import model, settings
from sheetkit.calc.moisture import equilibrium_moisture
from sheetkit.columns import TABLES, Column, Tab, heading_key, headings_of
from sheetkit.entry import entry, is_empty
from sheetkit.page import Cell, CellError, Page
from sheetkit.problems import Problem, problem
from sheetkit.tables import find_species, nearest_species, rows
from sheetkit.units import Unit, length_from_text

Rows = dict[int, dict[int, Cell]]

RECORDS: Mapping[str, tuple[str, type]] = {
    "Parts": ("parts", model.Part),
    "Panels": ("panels", model.Panel),
    "Joints": ("joints", model.Joint),
    "Spacing": ("runs", model.Run),
    "Shapes": ("shapes", model.Shape),
    "Loads": ("loads", model.Load),
    "Glue-ups": ("glue_ups", model.GlueUp),
    "Finish": ("finish", model.FinishStep),
    "Boards": ("boards", model.Board),
    "Prices": ("prices", model.Price),
    "Extras": ("extras", model.Extra),
    "Labour": ("labour", model.Operation),
}
"""Title of each table -> field of Job and record of one row."""
LIVE_TABS = frozenset(("Job", "Prices", "Extras", "Labour"))
"""Tabs that the live formulas of Lumber, Estimate and Quote point at."""


@dataclass(frozen=True, slots=True)
class Intake:
    """What was understood, and what was not."""

    job: model.Job
    problems: tuple[Problem, ...]


def _rows(page: Page) -> Rows:
    grouped: Rows = {}
    for (row, column), cell in page.cells.items():
        grouped.setdefault(row, {})[column] = cell
    return grouped


def _text_key(cell: Cell) -> str:
    return heading_key(cell.value) if isinstance(cell.value, str) else ""


def heading_row(grouped: Rows, tab: Tab) -> int | None:
    """Give the first row in which the heading of the tab's first required column stands."""
    wanted = set(headings_of(tab.key_column))
    for exact in (True, False):
        keys = {heading_key(tab.key_column.heading)} if exact else wanted
        for row in sorted(grouped):
            found = {_text_key(cell) for cell in grouped[row].values()}
            if keys & found and len(found) > 1:
                return row
    return None


def match_headings(cells: Mapping[int, Cell], tab: Tab, row: int) -> tuple[dict[str, int], list[Problem]]:
    """Give the column number of every declared column whose heading stands in a row.

    An exact heading wins over a synonym; two exact ones are a problem.
    """
    placed: dict[str, int] = {}
    problems = []
    columns = (*tab.asked, *tab.answered)
    exact = {heading_key(column.heading): column for column in columns}
    for number in sorted(cells):
        column = exact.get(_text_key(cells[number]))
        if column is None:
            continue
        if column.name in placed:
            problems.append(
                problem("heading-double", tab.title, row, number, cells[number].value, heading=column.heading)
            )
        else:
            placed[column.name] = number
    taken = set(placed.values())
    for number in sorted(cells):
        key = _text_key(cells[number])
        if not key or number in taken:
            continue
        for column in columns:
            if column.name not in placed and key in headings_of(column):
                placed[column.name] = number
                break
    return placed, problems


def _merged_problems(page: Page, tab: Tab, placed: Mapping[str, int], heading: int) -> list[Problem]:
    names = {number: column.heading for column in tab.asked if (number := placed.get(column.name))}
    problems = []
    for block in page.merged:
        covered = [number for number in range(block.first_column, block.last_column + 1) if number in names]
        many = block.last_row > block.first_row or len(covered) > 1
        if covered and many and block.last_row > heading and block.first_row > heading:
            problems.append(problem("merged", tab.title, block.first_row, block.first_column, "merged cells",
                                    heading=names[covered[0]]))  # fmt: skip
    return problems


def _table(
    page: Page, tab: Tab, unit: Unit, problems: list[Problem]
) -> tuple[list[dict[str, Any]], model.Place | None]:
    grouped = _rows(page)
    heading = heading_row(grouped, tab)
    if heading is None:
        if grouped or tab.title == "Parts":
            problems.append(problem("heading-missing", page.title, heading=tab.key_column.heading))
        return [], None
    placed, doubled = match_headings(grouped[heading], tab, heading)
    problems += doubled
    for column in tab.asked:
        if column.required and column.name not in placed:
            problems.append(problem("column-missing", page.title, heading, 0, heading=column.heading))
    problems += _merged_problems(page, tab, placed, heading)
    asked = [(column, placed[column.name]) for column in tab.asked if column.name in placed]
    counted = {"qty": 1} if any(column.name == "qty" for column in tab.asked) else {}
    found = []
    last = heading
    for row in sorted(grouped):
        if row <= heading:
            continue
        cells = grouped[row]
        filled = {number for _, number in asked if not is_empty(cells.get(number))}
        if not filled:
            continue
        last = row
        values: dict[str, Any] = {"row": row, **counted}
        whole = True
        for column, number in asked:
            if number in filled:
                value, wrong = entry(cells[number], column, unit, page.title, row, number)
                if wrong:
                    problems.append(wrong)
                    whole = False
                else:
                    values[column.name] = value
            elif column.required:
                problems.append(problem("empty", page.title, row, number, "", heading=column.heading,
                                        expected=_expected(column)))  # fmt: skip
                whole = False
        if whole:
            found.append(values)
    edge = max((block.last_column for block in page.merged), default=0)
    place = model.Place(page.title, heading, placed, last, max(page.last_column, edge) + 1)
    return found, place


def _expected(column: Column) -> str:
    return f"{column.kind} such as {column.example}" if column.example else f"a {column.kind}"


def _labels(page: Page, labels: Sequence[Column], problems: list[Problem]) -> dict[str, tuple[str, int, int]]:
    """Give where the value of each label stands: the cell to the right of it."""
    known = {key: column for column in labels for key in headings_of(column)}
    first = {heading_key(column.heading) for column in labels}
    places: dict[str, tuple[str, int, int]] = {}
    exact: set[str] = set()
    lowest = min((column for _, column in page.cells), default=1)
    for (row, number), cell in sorted(page.cells.items()):
        key = _text_key(cell)
        column = known.get(key) if number == lowest else None
        if column is None:
            continue
        if column.name in places and key in first:
            if column.name in exact:
                problems.append(
                    problem("label-double", page.title, row, number, cell.value, heading=column.heading)
                )
                continue
            places.pop(column.name)
        if column.name not in places:
            places[column.name] = (page.title, row, number + 1)
            if key in first:
                exact.add(column.name)
    return places


def _label_values(
    page: Page,
    labels: Sequence[Column],
    places: Mapping[str, tuple[str, int, int]],
    unit: Unit,
    problems: list[Problem],
) -> dict[str, Any]:
    values = {}
    for column in labels:
        _, row, number = places.get(column.name, ("", 0, 0))
        cell = page.cells.get((row, number))
        if cell is None or is_empty(cell):
            if column.required:
                place = (row, number) if row else (0, 0)
                problems.append(
                    problem(
                        "empty", page.title, *place, "", heading=column.heading, expected=_expected(column)
                    )
                )
            continue
        if column.name in settings.LIVE and isinstance(cell.value, CellError):
            continue
        value, wrong = entry(cell, column, unit, page.title, row, number)
        if wrong:
            problems.append(wrong)
        else:
            values[column.name] = value
    return values


def _unit(page: Page, places: Mapping[str, tuple[str, int, int]]) -> Unit:
    _, row, number = places.get("unit", ("", 0, 0))
    cell = page.cells.get((row, number))
    column = next(column for column in settings.JOB if column.name == "unit")
    if cell is None or is_empty(cell):
        return "in"
    return "mm" if entry(cell, column, "in", page.title, row, number)[0] == "mm" else "in"


def _moisture(
    values: dict[str, Any],
    name: str,
    humidity: str,
    temperature: str,
    at: Callable[[str], tuple[str, int, int]],
    problems: list[Problem],
) -> float | None:
    """Give a moisture: the one typed in, else the one that the climate leads to."""
    typed = values.pop(name, None)
    percent = values.pop(humidity, None)
    degrees = values.get(temperature, 70.0)
    if typed is not None:
        if not 2 <= typed <= 28:
            tab, row, column = at(name)
            problems.append(problem("bad-moisture", tab, row, column, typed, low=2, high=28))
            return None
        return float(typed)
    if percent is None:
        return None
    if 0 < percent < 1:
        percent *= 100
    if not 5 <= percent <= 95:
        tab, row, column = at(humidity)
        problems.append(problem("bad-humidity", tab, row, column, percent))
        return None
    return equilibrium_moisture(degrees, percent)


def _job_sheet(
    page: Page, places: Mapping[str, tuple[str, int, int]], unit: Unit, problems: list[Problem]
) -> model.JobSheet:
    values = _label_values(page, settings.JOB, places, unit, problems)

    def at(name: str) -> tuple[str, int, int]:
        return places.get(name, (page.title, 0, 0))

    now = _moisture(values, "moisture_now", "shop_humidity", "shop_temperature", at, problems)
    driest = _moisture(values, "moisture_driest", "humidity_driest", "indoor_temperature", at, problems)
    wettest = _moisture(values, "moisture_wettest", "humidity_wettest", "indoor_temperature", at, problems)
    assumed = driest is None or wettest is None
    driest, wettest = driest or 6.0, wettest or 11.0
    if driest >= wettest:
        problems.append(problem("drier-than-wettest", *at("moisture_driest"), f"{driest:.1f}",
                                driest=f"{driest:.1f}", wettest=f"{wettest:.1f}"))  # fmt: skip
    if values.get("profit_as") == "margin" and values.get("profit", 0) >= 1:
        problems.append(problem("profit-impossible", *at("profit"), values["profit"]))
    fits = values.get("fits", "")
    sizes = [row["name"] for row in rows("mattresses")]
    if fits and heading_key(fits) not in {heading_key(name) for name in (*sizes, "own size")}:
        problems.append(problem("fits-unknown", *at("fits"), fits, choices=", ".join(sizes[:6])))
    alternatives = []
    for name in filter(None, (piece.strip() for piece in values.pop("alternatives", "").split(","))):
        species = find_species(name)
        if species is None:
            problems.append(
                problem(
                    "species-unknown", *at("alternatives"), name, choices=", ".join(nearest_species(name))
                )
            )
        else:
            alternatives.append(species)
    fields = model.JobSheet.__dataclass_fields__
    kept = {name: value for name, value in values.items() if name in fields}
    kept.update(
        job=values.get("job", ""),
        unit=unit,
        step=values.get("round_to", 1 / 32 if unit == "in" else 0.5 / 25.4),
        measure=values.get("measure", "exact" if unit == "in" else "m3"),
        moisture_now=now,
        moisture_driest=driest,
        moisture_wettest=wettest,
        climate_assumed=assumed,
        alternatives=tuple(alternatives),
    )
    return model.JobSheet(**kept)


def default_classes() -> tuple[model.SizeClass, ...]:
    """Give the size classes that hold when the tab Allowances lists none (common practice)."""
    classes = []
    for up_to, *extras in settings.CLASSES_INCH:
        limit = float("inf") if up_to == settings.BEYOND else length_from_text(up_to, "in")
        classes.append(model.SizeClass(limit, *(length_from_text(extra, "in") for extra in extras)))
    return tuple(classes)


def _allowances(page: Page | None, unit: Unit, problems: list[Problem]) -> model.Allowances:
    if page is None:
        return model.Allowances(default_classes())
    places = _labels(page, settings.ALLOWANCES, problems)
    values = _label_values(page, settings.ALLOWANCES, places, unit, problems)
    grouped = _rows(page)
    tab = Tab(page.title, "", (), settings.CLASS_COLUMNS)
    heading = heading_row(grouped, tab)
    classes = []
    if heading is not None:
        placed, doubled = match_headings(grouped[heading], tab, heading)
        problems += doubled
        first = placed["up_to"]
        ends = min((row for _, row, _ in places.values() if row > heading), default=1 << 30)
        for row in sorted(row for row in grouped if heading < row < ends):
            cells = grouped[row]
            if not any(not is_empty(cells.get(number)) for number in placed.values()):
                continue
            start = cells.get(first)
            if is_empty(cells.get(placed.get("length", 0))) and isinstance(start and start.value, str):
                continue  # a line of words, such as the heading of the settings below
            sizes: dict[str, float] = {}
            for column in settings.CLASS_COLUMNS:
                cell = cells.get(placed.get(column.name, 0))
                if cell is None or is_empty(cell):
                    problems.append(problem("empty", page.title, row, placed.get(column.name, 0), "",
                                            heading=column.heading, expected="a length"))  # fmt: skip
                    continue
                if column.name == "up_to" and _text_key(cell) == settings.BEYOND:
                    sizes["up_to"] = float("inf")
                    continue
                value, wrong = entry(cell, column, unit, page.title, row, placed[column.name])
                if wrong:
                    problems.append(wrong)
                else:
                    sizes[column.name] = value
            if len(sizes) == 4:
                classes.append(model.SizeClass(**sizes))
    ordered = tuple(sorted(classes, key=lambda size: size.up_to)) or default_classes()
    return model.Allowances(ordered, **values)


def _boards(
    found: list[dict[str, Any]], place: model.Place | None, problems: list[Problem]
) -> list[dict[str, Any]]:
    """Turn Bad from and Bad to into spans."""
    for values in found:
        start, end = values.pop("bad_from", None), values.pop("bad_to", None)
        if start is not None or end is not None:
            begin, stop = start or 0.0, values["length"] if end is None else end
            if stop <= begin:
                number = place.columns.get("bad_to", 0) if place else 0
                problems.append(problem("span-backwards", "Boards", values["row"], number, stop))
            values["bad"] = ((begin, stop),)
    return found


def take_in(pages: Iterable[Page]) -> Intake:
    """Read a whole workbook's pages into a job."""
    by_title = {page.title.casefold(): page for page in pages}
    problems: list[Problem] = []
    sheet_page = by_title.get(settings.JOB_TITLE.casefold())
    unit: Unit = "in"
    labels: dict[str, tuple[str, int, int]] = {}
    sheet = model.JobSheet("", "in", 1 / 32, "exact")
    if sheet_page is None:
        problems.append(problem("tab-missing", settings.JOB_TITLE))
    else:
        labels = _labels(sheet_page, settings.JOB, problems)
        unit = _unit(sheet_page, labels)
        sheet = _job_sheet(sheet_page, labels, unit, problems)
    places: dict[str, model.Place] = {}
    records: dict[str, tuple[Any, ...]] = {}
    for tab in TABLES:
        page = by_title.get(tab.title.casefold())
        if page is None:
            if tab.title == "Parts":
                problems.append(problem("tab-missing", "Parts"))
            continue
        found, place = _table(page, tab, unit, problems)
        if place:
            places[tab.title] = place
        if tab.title == "Boards":
            found = _boards(found, place, problems)
        if tab.title == "Panels":
            for values in found:
                values.setdefault("groove_ends", values.get("groove_sides"))
        name, record = RECORDS[tab.title]
        records[name] = tuple(record(**values) for values in found)
        if tab.title == "Parts" and place and not found and not problems:
            problems.append(problem("nothing-to-do", page.title))
    allowances = _allowances(by_title.get(settings.ALLOWANCES_TITLE.casefold()), unit, problems)
    numeric = frozenset(
        (page.title, row, number)
        for page in by_title.values()
        if page.title.title() in LIVE_TABS
        for (row, number), cell in page.cells.items()
        if isinstance(cell.value, int | float) and not isinstance(cell.value, bool)
    )
    job = model.Job(sheet, **records, allowances=allowances, places=places, labels=labels, numeric=numeric)
    return Intake(job, tuple(problems))

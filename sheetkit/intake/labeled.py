"""The labeled values of Job, and the size classes and settings of Allowances, as records."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from sheetkit.calc.moisture import equilibrium_moisture
from sheetkit.form import labels as settings
from sheetkit.form.columns import Column, Kind, Tab, heading_key, headings_of
from sheetkit.intake.amounts import Amounts
from sheetkit.intake.cell import doubts, entry, is_empty
from sheetkit.intake.headings import by_row, expected, heading_row, key_of, match_headings
from sheetkit.page import CellError, Page
from sheetkit.records import job as model
from sheetkit.records.allowances import Allowances, SizeClass
from sheetkit.records.problems import Problem, problem
from sheetkit.tables import find_species, nearest_species, rows
from sheetkit.units import MM, Unit, length_from_text, length_text


def label_places(
    page: Page, labels: Sequence[Column], problems: list[Problem]
) -> dict[str, tuple[str, int, int]]:
    """Return where the value of each label stands: the cell to the right of it."""
    known = {key: column for column in labels for key in headings_of(column)}
    first = {heading_key(column.heading) for column in labels}
    places: dict[str, tuple[str, int, int]] = {}
    exact: set[str] = set()
    lowest = min((column for _, column in page.cells), default=1)
    for (row, number), cell in sorted(page.cells.items()):
        key = key_of(cell)
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
    amounts: Amounts,
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
                        "empty",
                        page.title,
                        *place,
                        "",
                        heading=column.heading,
                        expected=expected(column, unit),
                    )
                )
            continue
        if column.name in settings.LIVE and (
            isinstance(cell.value, CellError) or (cell.stale and "IF(" in (cell.formula or ""))
        ):
            continue  # the fit is computed from the typed cells
        if column.name == "delivery" and key_of(cell) == settings.COLLECTED:
            values["collected"] = True
            continue
        value, wrong = entry(cell, column, unit, page.title, row, number, amounts)
        if wrong:
            problems.append(wrong)
        else:
            values[column.name] = value
            problems += doubts(cell, column, value, page.title, row, number)
    return values


def job_unit(page: Page, places: Mapping[str, tuple[str, int, int]]) -> Unit:
    _, row, number = places.get("unit", ("", 0, 0))
    cell = page.cells.get((row, number))
    column = next(column for column in settings.JOB if column.name == "unit")
    if cell is None or is_empty(cell):
        return "in"
    return "mm" if entry(cell, column, "in", page.title, row, number)[0] == "mm" else "in"


def job_currency(page: Page, places: Mapping[str, tuple[str, int, int]]) -> str:
    """Return the sign or letters that the maker set for the currency, empty when none."""
    _, row, number = places.get("currency", ("", 0, 0))
    cell = page.cells.get((row, number))
    return cell.value.strip() if cell is not None and isinstance(cell.value, str) else ""


def _moisture(
    values: dict[str, Any],
    name: str,
    humidity: str,
    temperature: str,
    at: Callable[[str], tuple[str, int, int]],
    problems: list[Problem],
) -> float | None:
    """Return a moisture: the one typed in, else the one that the climate leads to."""
    typed = values.pop(name, None)
    percent = values.pop(humidity, None)
    degrees = values.get(temperature, 70.0)
    if typed is not None:
        if not 2 <= typed <= 28:
            tab, row, column = at(name)
            problems.append(problem("bad-moisture", tab, row, column, f"{typed:g}", low=2, high=28))
            return None
        return float(typed)
    if percent is None:
        return None
    if 0 < percent < 1:
        percent *= 100
    if not 5 <= percent <= 95:
        tab, row, column = at(humidity)
        problems.append(problem("bad-humidity", tab, row, column, f"{percent:g}"))
        return None
    return equilibrium_moisture(degrees, percent)


def _fit(values: dict[str, Any]) -> dict[str, float]:
    """Return the sizes that the live formulas on Job stand for, from the typed cells [in]."""
    key = heading_key(values.get("fits", ""))
    listed = next((row for row in rows("mattresses") if heading_key(row["name"]) == key), None)
    found: dict[str, float] = {}
    for side, clearance in (("width", "clearance_side"), ("length", "clearance_end")):
        size = values.get(f"own_{side}") or (float(listed[f"{side}_in"]) if listed else 0.0)
        if size:
            found[f"inside_{side}"] = size + 2 * values.get(clearance, 0.0)
    if top := values.get("top_height"):
        below = values.get("own_thickness", 0.0) + values.get("support_thickness", 0.0)
        found["support_height"] = top - below
    return found


def job_sheet(
    page: Page,
    places: Mapping[str, tuple[str, int, int]],
    unit: Unit,
    amounts: Amounts,
    problems: list[Problem],
) -> model.JobSheet:
    values = _label_values(page, settings.JOB, places, unit, amounts, problems)

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
        problems.append(problem("profit-impossible", *at("profit"), f"{values['profit']:.0%}"))
    fits = values.get("fits", "")
    sizes = [row["name"] for row in rows("mattresses")]
    if fits and heading_key(fits) not in {heading_key(name) for name in (*sizes, "own size")}:
        problems.append(problem("fits-unknown", *at("fits"), fits, choices=", ".join(sizes[:6])))
    alternatives = []
    for name in filter(None, (piece.strip() for piece in values.pop("alternatives", "").split(","))):
        species = find_species(name, unit == "mm")
        if species is None:
            problems.append(
                problem(
                    "species-unknown",
                    *at("alternatives"),
                    name,
                    choices=", ".join(nearest_species(name, metric=unit == "mm")),
                )
            )
        else:
            alternatives.append(species)
    values = {**_fit(values), **values}
    fields = model.JobSheet.__dataclass_fields__
    kept = {name: value for name, value in values.items() if name in fields}
    kept.update(
        job=values.get("job", ""),
        unit=unit,
        step=values.get("round_to", 1 / 32 if unit == "in" else 0.5 / MM),
        measure=values.get("measure", "exact" if unit == "in" else "m3"),
        moisture_now=now,
        moisture_driest=driest,
        moisture_wettest=wettest,
        climate_assumed=assumed,
        alternatives=tuple(alternatives),
    )
    return model.JobSheet(**kept)


def default_classes(unit: Unit = "in") -> tuple[SizeClass, ...]:
    """Return the size classes that hold when the tab Allowances lists none (common practice)."""
    classes = []
    for up_to, *extras in settings.CLASSES_MM if unit == "mm" else settings.CLASSES_INCH:
        limit = float("inf") if up_to == settings.BEYOND else length_from_text(up_to, unit)
        classes.append(SizeClass(limit, *(length_from_text(extra, unit) for extra in extras)))
    return tuple(classes)


def default_allowances(unit: Unit) -> dict[str, Any]:
    """Return the settings that hold where the tab Allowances has an empty cell: those that a new workbook is filled with."""
    texts = {each.name: each.default_in(unit) for each in settings.ALLOWANCES}
    return {
        each.name: length_from_text(texts[each.name], unit)
        for each in settings.ALLOWANCES
        if each.kind is Kind.LENGTH and each.name in Allowances.__dataclass_fields__
    }


def allowances_of(page: Page | None, unit: Unit, problems: list[Problem]) -> Allowances:
    if page is None:
        # the same for a job in inches and in mm, but for the tape
        return Allowances(default_classes(), rough_step=default_allowances(unit)["rough_step"])
    places = label_places(page, settings.ALLOWANCES, problems)
    values = _label_values(page, settings.ALLOWANCES, places, unit, Amounts(), problems)
    grouped = by_row(page)
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
                if column.name == "up_to" and key_of(cell) == settings.BEYOND:
                    sizes["up_to"] = float("inf")
                    continue
                value, wrong = entry(cell, column, unit, page.title, row, placed[column.name])
                if wrong:
                    problems.append(wrong)
                else:
                    sizes[column.name] = value
            if len(sizes) == 4:
                classes.append(SizeClass(**sizes))
    ordered = tuple(sorted(classes, key=lambda size: size.up_to)) or default_classes(unit)
    if (per_meter := values.pop("sag_per_meter", None)) is not None:
        values["sag_allowed"] = per_meter * MM * 12 / 1000  # for each foot
    found = Allowances(ordered, **{**default_allowances(unit), **values})
    least = max(found.narrowest_stave, found.narrowest)
    if not (2 * found.edge_joint < found.narrowest_stave and least <= found.widest_stave):
        at = places.get("widest_stave", (page.title, 0, 0))
        narrowest, widest, joint = (
            length_text(size, unit) for size in (least, found.widest_stave, found.edge_joint)
        )
        problems.append(problem("stave-limits", *at, widest, narrowest=narrowest, widest=widest, joint=joint))
    return found

"""The labeled values of Job, and the size classes and settings of Allowances, as records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sheetkit.calc.moisture import equilibrium_moisture
from sheetkit.form import labels as settings
from sheetkit.form.columns import Column, Kind, Tab, heading_key, headings_of
from sheetkit.intake.cell import entry, is_empty
from sheetkit.intake.headings import by_row, heading_row, key_of, match_headings
from sheetkit.intake.reading import Reading
from sheetkit.page import Cell, CellError, Page
from sheetkit.records import job as model
from sheetkit.records.allowances import Allowances, SizeClass
from sheetkit.tables import find_species, nearest_species, rows
from sheetkit.units import MM, Unit, either, is_metric, length_from_text, length_text

Spots = Mapping[str, tuple[str, int, int]]
"""Where the value of each label stands: tab, row, column."""


def label_places(reading: Reading, labels: Sequence[Column]) -> Spots:
    """Return where the value of each label stands: the cell to the right of it."""
    known = {key: column for column in labels for key in headings_of(column)}
    first = {heading_key(column.heading) for column in labels}
    page = reading.page
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
                reading.tell("label-double", row, number, cell.value, heading=column.heading)
                continue
            places.pop(column.name)
        if column.name not in places:
            places[column.name] = (page.title, row, number + 1)
            if key in first:
                exact.add(column.name)
    return places


def _label_values(reading: Reading, labels: Sequence[Column], places: Spots) -> dict[str, Any]:
    values = {}
    for column in labels:
        _, row, number = places.get(column.name, ("", 0, 0))
        cell = reading.page.cells.get((row, number), Cell())
        if column.name in settings.LIVE and (
            isinstance(cell.value, CellError) or (cell.stale and "IF(" in (cell.formula or ""))
        ):
            continue  # the fit is computed from the typed cells
        if column.name == "delivery" and key_of(cell) == settings.COLLECTED:
            values["collected"] = True
            continue
        said = reading.cell(column, row, number)
        if said.value is not None:
            values[column.name] = said.value
    return values


def job_unit(page: Page, places: Spots) -> Unit:
    """Return the unit that Job asks for: inches where it says nothing that can be read."""
    _, row, number = places.get("unit", ("", 0, 0))
    cell = page.cells.get((row, number))
    column = next(column for column in settings.JOB if column.name == "unit")
    if cell is None or is_empty(cell):
        return "in"
    return "mm" if entry(cell, column, "in", page.title, row, number)[0] == "mm" else "in"


def job_currency(page: Page, places: Spots) -> str:
    """Return the sign or letters that the maker set for the currency, empty when none."""
    _, row, number = places.get("currency", ("", 0, 0))
    cell = page.cells.get((row, number))
    return cell.value.strip() if cell is not None and isinstance(cell.value, str) else ""


def _moisture(
    values: dict[str, Any],
    name: str,
    humidity: str,
    temperature: str,
    reading: Reading,
    places: Spots,
) -> float | None:
    """Return a moisture: the one typed in, else the one that the climate leads to."""
    typed = values.pop(name, None)
    percent = values.pop(humidity, None)
    degrees = values.get(temperature, 70.0)
    if typed is not None:
        if not 2 <= typed <= 28:
            reading.tell("bad-moisture", *_at(places, name), f"{typed:g}", low=2, high=28)
            return None
        return float(typed)
    if percent is None:
        return None
    if 0 < percent < 1:
        percent *= 100
    if not 5 <= percent <= 95:
        reading.tell("bad-humidity", *_at(places, humidity), f"{percent:g}")
        return None
    return equilibrium_moisture(degrees, percent)


def _at(places: Spots, name: str) -> tuple[int, int]:
    """Return row and column of a labeled value."""
    return places.get(name, ("", 0, 0))[1:]


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


def job_sheet(reading: Reading, places: Spots) -> model.JobSheet:
    """Return what the tab Job says, with the usual in place of what it leaves empty."""
    values, unit = _label_values(reading, settings.JOB, places), reading.unit
    now = _moisture(values, "moisture_now", "shop_humidity", "shop_temperature", reading, places)
    driest = _moisture(values, "moisture_driest", "humidity_driest", "indoor_temperature", reading, places)
    wettest = _moisture(values, "moisture_wettest", "humidity_wettest", "indoor_temperature", reading, places)
    assumed = driest is None or wettest is None
    driest, wettest = driest or 6.0, wettest or 11.0
    if driest >= wettest:
        dry, wet = f"{driest:.1f}", f"{wettest:.1f}"
        reading.tell("drier-than-wettest", *_at(places, "moisture_driest"), dry, driest=dry, wettest=wet)
    if values.get("profit_as") == "margin" and values.get("profit", 0) >= 1:
        reading.tell("profit-impossible", *_at(places, "profit"), f"{values['profit']:.0%}")
    fits = values.get("fits", "")
    sizes = [row["name"] for row in rows("mattresses")]
    if fits and heading_key(fits) not in {heading_key(name) for name in (*sizes, "own size")}:
        reading.tell("fits-unknown", *_at(places, "fits"), fits, choices=", ".join(sizes[:6]))
    alternatives, metric = [], is_metric(unit)
    for name in filter(None, (piece.strip() for piece in values.pop("alternatives", "").split(","))):
        species = find_species(name, metric)
        if species is None:
            near = ", ".join(nearest_species(name, metric=metric))
            reading.tell("species-unknown", *_at(places, "alternatives"), name, choices=near)
        else:
            alternatives.append(species)
    values = {**_fit(values), **values}
    fields = model.JobSheet.__dataclass_fields__
    kept = {name: value for name, value in values.items() if name in fields}
    kept.update(
        job=values.get("job", ""),
        unit=unit,
        step=values.get("round_to", either(unit, 1 / 32, 0.5 / MM)),
        measure=values.get("measure", either(unit, "exact", "m3")),
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
    for up_to, *extras in either(unit, settings.CLASSES_INCH, settings.CLASSES_MM):
        limit = float("inf") if up_to == settings.BEYOND else length_from_text(up_to, unit)
        classes.append(SizeClass(limit, *(length_from_text(extra, unit) for extra in extras)))
    return tuple(classes)


def default_allowances(unit: Unit) -> dict[str, Any]:
    """Return the settings that hold where Allowances has an empty cell: those of a new workbook."""
    texts = {each.name: each.default_in(unit) for each in settings.ALLOWANCES}
    return {
        each.name: length_from_text(texts[each.name], unit)
        for each in settings.ALLOWANCES
        if each.kind is Kind.LENGTH and each.name in Allowances.__dataclass_fields__
    }


def _size_class(reading: Reading, row: int, placed: Mapping[str, int]) -> SizeClass | None:
    """Return the size class of a row, None when one of its sizes is wrong or missing."""
    sizes: dict[str, float] = {}
    for column in settings.CLASS_COLUMNS:
        number = placed.get(column.name, 0)
        cell = reading.page.cells.get((row, number), Cell())
        if column.name == "up_to" and key_of(cell) == settings.BEYOND:
            sizes["up_to"] = float("inf")
        elif (said := reading.cell(column, row, number)).right:
            sizes[column.name] = said.value
    return SizeClass(**sizes) if len(sizes) == len(settings.CLASS_COLUMNS) else None


def _size_classes(reading: Reading, places: Spots) -> list[SizeClass]:
    """Return the size classes listed on Allowances, down to the settings that stand below them."""
    grouped = by_row(reading.page)
    tab = Tab(reading.page.title, "", (), settings.CLASS_COLUMNS)
    heading = heading_row(grouped, tab)
    if heading is None:
        return []
    placed, doubled = match_headings(grouped[heading], tab, heading)
    reading.told.extend(doubled)
    end = min((row for _, row, _ in places.values() if row > heading), default=1 << 30)
    classes = []
    for row in sorted(row for row in grouped if heading < row < end):
        cells = grouped[row]
        if all(is_empty(cells.get(number)) for number in placed.values()):
            continue
        start = cells.get(placed["up_to"])
        if is_empty(cells.get(placed.get("length", 0))) and isinstance(start and start.value, str):
            continue  # a line of words, such as the heading of the settings below
        classes.append(_size_class(reading, row, placed))
    return [each for each in classes if each is not None]


def allowances_of(reading: Reading | None, unit: Unit) -> Allowances:
    """Return the allowances that the maker set, and the usual ones for the rest."""
    if reading is None:
        return Allowances(default_classes(unit), **default_allowances(unit))
    places = label_places(reading, settings.ALLOWANCES)
    values = _label_values(reading, settings.ALLOWANCES, places)
    classes = _size_classes(reading, places)
    ordered = tuple(sorted(classes, key=lambda size: size.up_to)) or default_classes(unit)
    if (per_meter := values.pop("sag_per_meter", None)) is not None:
        values["sag_allowed"] = per_meter * MM * 12 / 1000  # for each foot
    found = Allowances(ordered, **{**default_allowances(unit), **values})
    least = max(found.narrowest_stave, found.narrowest)
    if not (2 * found.edge_joint < found.narrowest_stave and least <= found.widest_stave):
        at = _at(places, "widest_stave")
        narrowest, widest, joint = (
            length_text(size, unit) for size in (least, found.widest_stave, found.edge_joint)
        )
        reading.tell("stave-limits", *at, widest, narrowest=narrowest, widest=widest, joint=joint)
    return found

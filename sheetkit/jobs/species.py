"""What the command ``species`` is asked, from words to numbers: species, a climate, a width of panel."""

from __future__ import annotations

import re

from sheetkit.book.workbook import Refused
from sheetkit.intake.cell import LONGEST
from sheetkit.plan.climate import Air, Climate, Movements, climate_of, usual_climate
from sheetkit.records.units import Units
from sheetkit.tables import Species, all_species, find_species, nearest_species
from sheetkit.units import (
    MM,
    NotANumber,
    Unit,
    length_from_text,
    number_from_text,
    temperature_from_text,
)

NUMBER = r"[+-]?\d+(?:[.,]\d+)?"
CLIMATE = re.compile(
    rf"({NUMBER}\s*(?:°|deg)?\s*[CF]?)[,;]?\s+({NUMBER})\s*%?[,;]?\s+({NUMBER})\s*%?", re.IGNORECASE
)
WIDTHS = {"in": 12.0, "mm": 300 / MM}
"""Panels whose swing is shown when no width is asked for [in]."""


def movements_asked(name: str, climate: str, width: str | None, unit: Unit) -> Movements:
    """Return the movements that were asked for; without a width those of a usual panel in each unit.

    Raises
    ------
    Refused
        When no species has such a name, or climate or width cannot be read.
    """
    sizes: tuple[tuple[Unit, float], ...] = (("in", WIDTHS["in"]), ("mm", WIDTHS["mm"]))
    metric = Units(unit).metric
    if metric:
        sizes = sizes[::-1]
    if width is not None:
        sizes = ((_unit_typed(width, unit), width_asked(width, unit)),)
    return Movements(species_named(name, metric), climate_asked(climate, unit), sizes, unit)


def species_named(name: str, metric: bool = False) -> tuple[Species, ...]:
    """Return the species of a name, else all whose names hold its words; all of them for no name.

    Raises
    ------
    Refused
        When there is none, with the nearest names.
    """
    exact = find_species(name, metric)
    if exact:
        return (exact,)
    words = name.casefold().replace(",", " ").split()
    found = tuple(each for each in all_species() if all(word in each.name.casefold() for word in words))
    if not found:
        raise Refused("no species", f"{name}; perhaps {', '.join(nearest_species(name, metric=metric))}")
    return found


def climate_asked(text: str, unit: Unit) -> Climate:
    """Return the climate that was typed: temperature, driest and wettest humidity; the usual one for nothing.

    Raises
    ------
    Refused
        When it cannot be read, lies outside the published table, or stands the wrong way round.

    Examples
    --------
    >>> round(climate_asked("70 F, 30 %, 65 %", "in").wettest, 1)
    12.0
    """
    text = text.strip()
    if not text:
        return usual_climate()
    match = CLIMATE.fullmatch(text)
    if not match:
        raise Refused("not a climate", text)
    try:
        air = Air(
            temperature_from_text(match[1], unit), number_from_text(match[2]), number_from_text(match[3])
        )
        climate = climate_of(air)
    except NotANumber:
        raise Refused("not a climate", text) from None
    except ValueError:
        raise Refused("climate outside", text) from None
    if air.driest >= air.wettest:
        raise Refused("climate backwards", text)
    return climate


def width_asked(text: str, unit: Unit) -> float:
    """Return the width that was typed, in inches.

    Raises
    ------
    Refused
        When it cannot be read as the width of a panel.
    """
    try:
        width = length_from_text(text, unit)
    except NotANumber:
        width = 0.0
    if not 0 < width <= LONGEST:
        raise Refused("not a width", text.strip())
    return width


def _unit_typed(text: str, unit: Unit) -> Unit:
    """Return the unit to answer a typed length in: its own, where it has one."""
    word = text.strip().casefold()
    if word.endswith("m"):
        return "mm"
    return unit if word[-1:].isdigit() else "in"

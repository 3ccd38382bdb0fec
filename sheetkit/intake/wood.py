"""The wood that a cell names: its stock and its species."""

from __future__ import annotations

import re

from sheetkit.intake.dates import refuse_moment, shown_text
from sheetkit.intake.fault import Wrong
from sheetkit.page import Cell
from sheetkit.records.job import Stock
from sheetkit.tables import Species, find_species, nearest_species
from sheetkit.units import MM, NotANumber, Unit, fraction_text, is_metric, length_from_text, rounded

SMALLEST = 0.0001
"""Sizes, amounts and counts that are not 0 are no smaller."""


def stock_named(text: str, unit: Unit) -> Stock:
    """Return the stock that a text names: quarters, inches or millimetres.

    Raises
    ------
    NotANumber
        When the text names none.

    Examples
    --------
    >>> stock_named("8/4", "in"), stock_named("27 mm", "in").name, stock_named("41", "mm").name
    (Stock(name='8/4', nominal=2.0), '27 mm', '41 mm')
    """
    plain = text.strip().casefold()
    millimetres = plain.endswith("mm") or (
        is_metric(unit) and re.fullmatch(r"\d+([.,]\d+)?", plain) is not None
    )
    nominal = length_from_text(plain, "mm" if millimetres else "in")
    if not SMALLEST < nominal <= 12:
        raise NotANumber(text)
    if millimetres:
        return Stock(f"{nominal * MM:.1f}".removesuffix(".0") + " mm", nominal)
    quarters = nominal * 4
    if nominal >= 1 and abs(quarters - round(quarters)) < 1e-9:
        return Stock(f"{round(quarters)}/4", nominal)
    in_64ths = abs(rounded(nominal, 1 / 64) - nominal) < 1e-9
    return Stock(fraction_text(nominal) if in_64ths else plain.rstrip('" in'), nominal)


def stock(cell: Cell, unit: Unit) -> Stock:
    """Return the stock that a cell names."""
    value = cell.value
    refuse_moment(value, "date-in-number", expected="the stock, as 8/4 in a cell set to text,")
    try:
        if isinstance(value, int | float) and not isinstance(value, bool):
            return stock_named(f"{value:g}", unit)
        return stock_named(str(value), unit)
    except NotANumber:
        raise Wrong("stock-text") from None


_SPECIES: dict[tuple[str, Unit], Species | None] = {}


def species(cell: Cell, unit: Unit) -> Species:
    """Return the species that a cell names."""
    name, metric = shown_text(cell.value).strip(), is_metric(unit)
    if (name, unit) not in _SPECIES:
        _SPECIES[name, unit] = find_species(name, metric)
    found = _SPECIES[name, unit]
    if found is None:
        raise Wrong("species-unknown", choices=", ".join(nearest_species(name, metric=metric)))
    return found

"""How much wood there is, by the measure that Job asks for: board feet, or net cubic meters."""

from __future__ import annotations

from collections.abc import Iterable

from sheetkit.calc.lumber import board_feet, net_volume
from sheetkit.records.job import Stock
from sheetkit.records.units import Units
from sheetkit.records.wood import Blank
from sheetkit.units import BOARD_FEET_PER_M3


def volume_of(stock: Stock, width: float, length: float, units: Units) -> float:
    """Return the volume of a piece of lumber [bf of 144 cubic inches].

    A job in m3 counts lumber net; only the board-foot tally takes what is thinner than 1 in as 1 in.
    """
    if units.in_m3:
        return net_volume(stock.nominal, width, length) * BOARD_FEET_PER_M3
    return board_feet(stock.nominal, width, length)


def volume_of_blanks(blanks: Iterable[Blank], units: Units) -> float:
    """Return the volume of some blanks together [bf of 144 cubic inches]."""
    return sum(blank.count * volume_of(blank.stock, blank.width, blank.length, units) for blank in blanks)

"""The few figures of a run that its workbook keeps in hidden notes: its price, and what was to be bought."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from sheetkit.records.answers import Answers

FORM = "1"
"""Number of the form of these notes; it rises when one of them means something else."""
_FORM, _PRICE, _BUY = "past.form", "past.price", "past.buy."


@dataclass(frozen=True, slots=True)
class Figures:
    """What a past run said."""

    price: Decimal
    """Before tax."""
    to_buy: Mapping[tuple[str, str], float]
    """Board feet by species and stock."""


def kept_figures(answers: Answers) -> dict[str, str]:
    """Return the notes that a run leaves."""
    notes = {_FORM: FORM, _PRICE: f"{answers.costs.estimate.price}"}
    for number, line in enumerate(answers.lumber, 1):
        notes[f"{_BUY}{number}"] = f"{line.species.name}|{line.stock.name}|{round(line.buy, 9)!r}"
    return notes


def figures_of(notes: Mapping[str, str]) -> Figures | None:
    """Return the figures that stand in the notes of a workbook, None when there are none of this form."""
    if notes.get(_FORM) != FORM:
        return None
    to_buy = {}
    try:
        for key, text in notes.items():
            if key.startswith(_BUY):
                species, stock, feet = text.split("|")
                to_buy[species, stock] = float(feet)
        return Figures(Decimal(notes[_PRICE]), to_buy)
    except (KeyError, ValueError, InvalidOperation):
        return None

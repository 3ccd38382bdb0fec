"""A check against print as data: quantity, source, printed value, its places, and ours beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from sheetkit.tables import Species, find_species


class Kind(StrEnum):
    """What stands behind a printed value."""

    PRINTED = "printed"  # inputs and answer both stand in the source
    IN_PART = "printed in part"  # the answer stands there, some inputs are from memory
    MEMORY = "quoted from memory"  # the source prints it, but it was not looked up there
    RULE = "printed rule"  # the source prints the rule, the numbers are worked from it
    WORKED = "worked by hand"  # from a published formula
    PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Check:
    """One printed value beside ours."""

    group: str
    quantity: str
    source: str
    printed: str
    kind: Kind
    function: Callable[..., Any]
    ours: Callable[[], float]
    within: float | None = None
    note: str = ""

    @property
    def places(self) -> int:
        """Decimal places of the printed value."""
        return len(self.printed.partition(".")[2])

    @property
    def tolerance(self) -> float:
        """Half of the last printed digit, unless the check names its own."""
        return 0.5 * 10**-self.places if self.within is None else self.within

    @property
    def checked(self) -> str:
        """The function checked, by its name within calc."""
        return f"{self.function.__module__.rsplit('.', 1)[1]}.{self.function.__name__}"


HANDBOOK = "Wood Handbook, FPL-GTR-190 (2010)"
NEW_HANDBOOK = "Wood Handbook, FPL-GTR-282 (2021)"
EQ_13_2, EQ_13_3 = f"{HANDBOOK}, eq. 13-2", f"{HANDBOOK}, eq. 13-3"
RULES = "NHLA, Rules for the Measurement and Inspection of Hardwood and Cypress"
NONE = "common practice, no source"


def known(name: str) -> Species:
    """Give a species that must be in the table."""
    species = find_species(name)
    assert species is not None, name
    return species


def flat(name: str) -> float:
    """Give the printed tangential coefficient of a species (Wood Handbook, Table 13-5)."""
    coefficient = known(name).coef_tangential
    assert coefficient is not None
    return coefficient


def quarter(name: str) -> float:
    """Give the printed radial coefficient of a species (Wood Handbook, Table 13-5)."""
    coefficient = known(name).coef_radial
    assert coefficient is not None
    return coefficient


def check(
    group: str,
    quantity: str,
    source: str,
    printed: str,
    kind: Kind,
    function: Callable[..., Any],
    *given: Any,
    take: Callable[[Any], float] = float,
    within: float | None = None,
    note: str = "",
) -> Check:
    """Make a check of `function(*given)`; `take` gives the printed quantity from what it returns."""
    return Check(
        group, quantity, source, printed, kind, function, lambda: take(function(*given)), within, note
    )


def first(answer: Any) -> float:
    return float(answer[0])


def at(place: int) -> Callable[[Any], float]:
    return lambda answer: float(answer[place])

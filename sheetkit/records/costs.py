"""Frozen records of what a job costs and what it is offered for.

Money is Decimal. Each line is rounded once, to the cent, half a cent up; the lines add up to the total.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import NamedTuple

from sheetkit.records.job import Extra, Operation
from sheetkit.records.wood import LumberLine
from sheetkit.tables import Species

NOTHING = Decimal("0.00")


PRICED_BY = {"fl oz": 32, "ml": 1000, "qt": 1, "l": 1}
"""How many of the unit that glue and finish are told in make what they are priced by: a quart or a liter."""


class MoneyLine(NamedTuple):
    """One line of the way from the first board to the total: what it is for, and its amount."""

    what: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class ExtraAnswer:
    """What a row of Extras costs; None when it has no unit price."""

    extra: Extra
    cost: Decimal | None


@dataclass(frozen=True, slots=True)
class OperationAnswer:
    """What a row of Labor takes."""

    operation: Operation
    count: float
    """How many of what it is counted by; for surface square feet, or m2 in a mm job."""
    hours: float
    rate: Decimal | None
    """Its own rate, else the hourly rate on Job; None when neither stands there."""
    cost: Decimal | None


@dataclass(frozen=True, slots=True)
class Supply:
    """Adhesive or finish that the job takes. Its price stands beside it, or on Extras."""

    name: str
    amount: float
    unit: str
    on_extras: bool
    price: Decimal | None = None
    """Of a quart, or of a liter in a mm job."""
    cost: Decimal | None = None
    """None when it has no price, or stands on Extras."""
    rows: tuple[int, ...] = ()
    """Rows of Glue-ups or Finish that use it."""

    @property
    def tab(self) -> str:
        """The tab of those rows."""
        return "Glue-ups" if self.unit in ("fl oz", "ml") else "Finish"


@dataclass(frozen=True, slots=True)
class Estimate:
    """The money of a job, from the lumber to the balance."""

    lumber_lines: tuple[LumberLine, ...] = ()
    extras_answers: tuple[ExtraAnswer, ...] = ()
    supplies: tuple[Supply, ...] = ()
    operations: tuple[OperationAnswer, ...] = ()
    overhead: Decimal = NOTHING
    profit: Decimal = NOTHING
    delivery: Decimal = NOTHING
    tax: Decimal = NOTHING
    deposit: Decimal = NOTHING
    markup: Decimal = NOTHING
    """Profit as a share of the cost."""
    margin: Decimal = NOTHING
    """The same profit as a share of the price."""

    @property
    def lumber(self) -> Decimal:
        """What the lumber costs."""
        return summed(line.cost for line in self.lumber_lines)

    @property
    def extras(self) -> Decimal:
        """What hardware and other bought things cost."""
        return summed(found.cost for found in self.extras_answers)

    @property
    def glue_and_finish(self) -> Decimal:
        """What glue and finish cost that have a price beside them."""
        return summed(found.cost for found in self.supplies)

    @property
    def labor(self) -> Decimal:
        """What the work costs."""
        return summed(found.cost for found in self.operations)

    @property
    def hours(self) -> float:
        """Hours of work."""
        return sum(found.hours for found in self.operations)

    @property
    def direct(self) -> Decimal:
        """Lumber, extras, glue and finish, and labor together."""
        return self.lumber + self.extras + self.glue_and_finish + self.labor

    @property
    def cost(self) -> Decimal:
        """All that the job costs the shop."""
        return self.direct + self.overhead

    @property
    def price(self) -> Decimal:
        """What is asked for it, before tax."""
        return self.cost + self.profit

    @property
    def total(self) -> Decimal:
        """What the client pays, tax included."""
        return self.price + self.delivery + self.tax

    @property
    def balance(self) -> Decimal:
        """What is left to pay after the deposit."""
        return self.total - self.deposit

    @property
    def lines(self) -> tuple[MoneyLine, ...]:
        """Every priced line; their sum is the total."""
        lumber = [
            MoneyLine(f"{line.species.name}, {line.stock.name}", line.cost)
            for line in self.lumber_lines
            if line.cost is not None
        ]
        extras = [
            MoneyLine(found.extra.item, found.cost) for found in self.extras_answers if found.cost is not None
        ]
        labor = [
            MoneyLine(found.operation.operation, found.cost)
            for found in self.operations
            if found.cost is not None
        ]
        supplies = [MoneyLine(each.name, each.cost) for each in self.supplies if each.cost is not None]
        last = [
            MoneyLine("Overhead", self.overhead),
            MoneyLine("Profit", self.profit),
            MoneyLine("Delivery", self.delivery),
            MoneyLine("Tax", self.tax),
        ]
        return (*lumber, *extras, *supplies, *labor, *last)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """What is left out of every sum because it has no price or rate."""
        lumber = [f"{line.species.name} {line.stock.name}" for line in self.lumber_lines if line.cost is None]
        extras = [found.extra.item for found in self.extras_answers if found.cost is None]
        labor = [found.operation.operation for found in self.operations if found.cost is None]
        return (*lumber, *extras, *labor)


@dataclass(frozen=True, slots=True)
class Alternative:
    """The same job with its main species replaced by another, counted as the job itself is."""

    species: Species
    own: bool
    """Whether it is the species that the job asks for."""
    replaces: Species | None = None
    """The species in whose place it stands."""
    lumber_lines: tuple[LumberLine, ...] = ()
    price: Decimal | None = None
    """Price before tax; None when some of its lumber has no price."""
    tax: Decimal | None = None
    """Tax on it, and on delivery."""
    total: Decimal | None = None
    """What the client pays, delivery included."""
    weight: float | None = None
    """The whole piece [lb]."""
    bearing: float | None = None
    """Least that such a panel stands in its groove at the driest [in]; None without panels of the species."""
    hindrance: str = ""
    """Why the job cannot be made of it; empty when it can."""

    @property
    def buy(self) -> float:
        """Lumber to buy, or held by the boards that are cut [board feet]."""
        return sum(line.buy for line in self.lumber_lines)

    @property
    def by_boards(self) -> bool:
        """Whether boards are listed of its lumber, so that waste is not guessed."""
        return any(line.boards and line.species == self.species for line in self.lumber_lines)

    @property
    def lumber(self) -> Decimal | None:
        """What the lumber costs; None when some of it has no price."""
        return None if self.unpriced or self.hindrance else summed(line.cost for line in self.lumber_lines)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Lumber without a price."""
        return tuple(
            f"{line.species.name} {line.stock.name}" for line in self.lumber_lines if line.cost is None
        )


def summed(amounts: Iterable[Decimal | None]) -> Decimal:
    """Return the sum of the amounts that are known.

    >>> summed([Decimal("1.20"), None, Decimal("0.05")])
    Decimal('1.25')
    """
    return sum((amount for amount in amounts if amount is not None), NOTHING)


@dataclass(frozen=True, slots=True)
class Costs:
    """All that a job says of money."""

    estimate: Estimate = field(default_factory=Estimate)
    alternatives: tuple[Alternative, ...] = ()
    """The same job in other species, its own first."""

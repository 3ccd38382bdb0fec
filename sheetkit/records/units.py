"""The units of a job: what each quantity is called and shown in, and the paper that it is printed on.

Inside, lengths are inches, weights pounds, areas square inches, finish gallons, adhesive fluid ounces,
volumes board feet.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from sheetkit.records.job import JobSheet
from sheetkit.units import (
    BOARD_FEET_PER_M3,
    CM2_PER_IN2,
    FINEST,
    KG_PER_LB,
    LITRES_PER_GALLON,
    M2_PER_FT2,
    ML_PER_FL_OZ,
    MM,
    N_PER_LBF,
    Either,
    Unit,
    either,
    is_metric,
    length_text,
    shown,
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A kind of number: its unit in an inch job and in a mm job, and the factor on a value held inside."""

    inch: str
    mm: str
    to_inch: float = 1.0
    to_mm: float = 1.0


QUANTITIES = {
    "length": Quantity("in", "mm", to_mm=MM),
    "weight": Quantity("lb", "kg", to_mm=KG_PER_LB),
    "glue_area": Quantity("in2", "cm2", to_mm=CM2_PER_IN2),
    "surface": Quantity("ft2", "m2", 1 / 144, M2_PER_FT2 / 144),
    "coverage": Quantity("ft2/gal", "m2/l", to_mm=M2_PER_FT2 / LITRES_PER_GALLON),
    "adhesive": Quantity("fl oz", "ml", to_mm=ML_PER_FL_OZ),
    "finish": Quantity("qt", "l", 4.0, LITRES_PER_GALLON),
    "spread": Quantity("lb/1000 ft2", "g/m2", to_mm=KG_PER_LB / M2_PER_FT2),
    "hardness": Quantity("lbf", "N", to_mm=N_PER_LBF),
    "angle": Quantity("deg", "deg"),
    "minutes": Quantity("min", "min"),
    "hours": Quantity("h", "h"),
    "moisture": Quantity("%", "%"),
    "temperature": Quantity("deg F", "deg C"),
    "share": Quantity("of 1", "of 1"),
}
"""Every quantity by name; volume, money, price and rate go by the tab Job as well."""


@dataclass(frozen=True, slots=True)
class Units:
    """The units of one job."""

    unit: Unit
    measure: str = "exact"
    currency: str = ""

    @classmethod
    def of(cls, sheet: JobSheet) -> Self:
        """Return the units that the tab Job asks for."""
        return cls(sheet.unit, sheet.measure, sheet.currency)

    @property
    def metric(self) -> bool:
        """Whether sizes are in mm."""
        return is_metric(self.unit)

    @property
    def finest(self) -> float:
        """What can be set out with a rule [in]."""
        return FINEST[self.unit]

    @property
    def word(self) -> str:
        """What the maker types for the unit."""
        return self.either("inch", "mm")

    @property
    def paper(self) -> str:
        """Paper of the maker's country, as far as the unit tells."""
        return self.either("letter", "a4")

    @property
    def in_m3(self) -> bool:
        """Whether lumber is counted in cubic meters."""
        return self.measure == "m3"

    @property
    def volume_word(self) -> str:
        """What a volume of lumber is called."""
        return "m3" if self.in_m3 else "board feet"

    def either(self, inch: Either, mm: Either) -> Either:
        """Return what holds in an inch job, or what holds in a mm job."""
        return either(self.unit, inch, mm)

    def name(self, quantity: str) -> str:
        """Return the unit of a quantity."""
        volume = "m3" if self.in_m3 else "bf"
        money = self.currency or "money"
        by_job = {
            "volume": volume,
            "money": money,
            "price": f"{money}/{volume}",
            "rate": f"{money}/h",
        }
        return by_job.get(quantity) or self.either(QUANTITIES[quantity].inch, QUANTITIES[quantity].mm)

    def priced(self, heading: str) -> str:
        """Return a heading above amounts, with the currency that Job names."""
        return f"{heading} ({self.currency})" if self.currency else heading

    def factor(self, quantity: str) -> float:
        """Return what a value held inside is multiplied with to be shown."""
        if quantity == "volume":
            return 1 / BOARD_FEET_PER_M3 if self.in_m3 else 1.0
        known = QUANTITIES.get(quantity)
        return 1.0 if known is None else self.either(known.to_inch, known.to_mm)

    def shown(self, value: float, quantity: str) -> float:
        """Return a value held inside as the number on the page."""
        return self.size(value) if quantity == "length" else round(value * self.factor(quantity), 9)

    def inside(self, value: float, quantity: str) -> float:
        """Return a number on the page as it is held inside."""
        return value / self.factor(quantity)

    def size(self, inches: float) -> float:
        """Return a size as the number on the page."""
        return shown(inches, self.unit)

    def volume(self, board_feet: float) -> float:
        """Return a volume as the number on the page."""
        return self.shown(board_feet, "volume")

    def words(self, inches: float) -> str:
        """Write a size for a person."""
        return length_text(inches, self.unit)

    def fine(self, inches: float) -> str:
        """Write a small size for a person: thousandths of an inch, or tenths of a millimeter."""
        return self.either(f"{inches:.3f}", f"{inches * MM:.1f}")

    def amount(self, value: float, quantity: str, inch_places: int, mm_places: int) -> str:
        """Write a value held inside with its unit."""
        places = self.either(inch_places, mm_places)
        return f"{self.shown(value, quantity):.{places}f} {self.name(quantity)}"

    def weight(self, pounds: float) -> str:
        """Write a weight for a person."""
        places = 2 if self.shown(pounds, "weight") < 1 else 1
        return self.amount(pounds, "weight", places, places)

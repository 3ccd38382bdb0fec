"""Woods: how they move with moisture, what they weigh, how strong they are.

woods.csv: Wood Handbook (WH), FPL-GTR-190 (2010), Tables 4-3, 4-4 (shrinkage) and 13-5 (coefficients), FPL-GTR-282 (2021),
Tables 5-3b and 5-5b (gravity, strength); European woods (EU): published movements, densities and moduli of trade associations.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

SIZE = Fraction


def figure(text: str) -> Fraction | None:
    return Fraction(text) if text else None


@dataclass(frozen=True)
class Wood:
    name: str
    imported: bool
    shrinks: tuple[Fraction | None, Fraction | None]
    """Radial, tangential; green to ovendry [%]."""
    start: Fraction
    """Moisture at which shrinkage starts [%]."""
    moves: tuple[Fraction | None, Fraction | None]
    """Radial, tangential; for each 1 % of moisture."""
    green: Fraction | None
    dry: Fraction | None
    """Specific gravity, on green volume and at 12 %."""
    rupture: Fraction | None
    elasticity: Fraction | None
    """[psi]"""


@cache
def woods() -> dict[str, Wood]:
    found = {}
    with Path(__file__).with_name("woods.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            stiff = figure(row["elasticity_mpsi"])
            found[row["name"]] = Wood(
                row["name"],
                row["origin"] == "import",
                (figure(row["shrink_radial"]), figure(row["shrink_tangential"])),
                Fraction(row["shrink_start"] or "30"),
                (figure(row["coef_radial"]), figure(row["coef_tangential"])),
                figure(row["gravity_green"]),
                figure(row["gravity_12"]),
                figure(row["rupture_psi"]),
                stiff and stiff * 1_000_000,
            )
    return found


def moisture_in_air(fahrenheit: Fraction, humidity: Fraction) -> Fraction:
    """Percent that wood settles at: equation 4-5 (Wood Handbook, 2021), humidity in percent."""
    t, h = float(fahrenheit), float(humidity) / 100
    weight = 330 + 0.452 * t + 0.00415 * t**2
    k = 0.791 + 0.000463 * t - 0.000000844 * t**2
    one = 6.34 + 0.000775 * t - 0.0000935 * t**2
    two = 1.09 + 0.0284 * t - 0.0000904 * t**2
    first, second = one * k * h, one * two * (k * h) ** 2
    return Fraction(1800 / weight * (k * h / (1 - k * h) + (first + 2 * second) / (1 + first + second)))


@dataclass(frozen=True)
class Movement:
    each: Fraction
    """Share of the width for 1 % of moisture, at 10 %."""
    shrinks: Fraction | None
    start: Fraction

    def grown(self, now: Fraction, later: Fraction) -> Fraction:
        """Width later over width now: equation 13-2 within 6 to 14 %, 13-3 beyond (Wood Handbook, 2010)."""
        if (6 <= now <= 14 and 6 <= later <= 14) or self.shrinks is None:
            return 1 + self.each * (later - now)
        now, later = min(now, self.start), min(later, self.start)
        return 1 + (later - now) / (self.start * 100 / self.shrinks - self.start + now)


def _way(wood: Wood, tangential: int) -> Movement | None:
    each, shrinks, start = wood.moves[tangential], wood.shrinks[tangential], wood.start
    # the same line through green and ovendry size, per 1 % of the size at 10 %
    derived = shrinks and (shrinks / start) / (100 - shrinks * (start - 10) / start)
    if each is None:
        each = derived
    elif derived and wood.imported:  # imports print coefficients of older shrinkage figures: the larger
        each = max(each, derived)
    if each is None:
        return None
    if shrinks is not None:  # outside 6 to 14 % it never moves less than the coefficient says
        shrinks = max(shrinks, each * start * 100 / (1 + each * (start - 10)))
    return Movement(each, shrinks, start)


def movement(wood: Wood, cut: str) -> Movement | None:
    """Quarter: radial. Flat and rift: tangential. Either: the larger."""
    if cut == "quarter":
        return _way(wood, 0)
    if cut in ("flat", "rift"):
        return _way(wood, 1)
    ways = [way for way in (_way(wood, 0), _way(wood, 1)) if way]
    return max(ways, key=lambda way: way.each, default=None)


def pounds(wood: Wood, cubic_inches: Fraction, moisture: Fraction) -> Fraction | None:
    """Equations 4-13 and 4-14 (Wood Handbook, 2021): the gravity at 12 % back to green, on to today's, with its water."""

    def dry(percent: Fraction) -> Fraction:
        return Fraction(265, 1000) * max(1 - percent / 30, Fraction(0))

    green = wood.green
    if wood.dry is not None:
        green = wood.dry / (1 + wood.dry * dry(Fraction(12)))
    if green is None:
        return None
    gravity = green / (1 - green * dry(moisture))
    return cubic_inches / 1728 * Fraction("62.4") * gravity * (1 + moisture / 100)

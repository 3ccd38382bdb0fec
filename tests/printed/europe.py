"""European woods as printed: differential shrinkage, density and modulus of elasticity.

Differential shrinkage (the quantity of DIN 68100) is percent of the width for each percent of moisture. Of several
published figures the larger stands here, so that movement is never understated: the technical guide of the German
timber trade (figure 4-5), a later page of the same association, and tables that quote it. Density at 12 % by the guide
and Lohmann, Holz-Handbuch (1999); of several moduli the lower, so that sag is never understated.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from sheetkit.calc.movement import change_by_coefficient
from sheetkit.calc.weight import density_kg_m3
from tests.printed.check import Check, Kind, check, flat, known, quarter
from tests.there import there

TABLE = """
wood               | German      | radial | tangential | density | modulus
European oak       | Eiche       | 0.20   | 0.36       | 702     | 11700
European beech     | Buche       | 0.22   | 0.45       | 712     | 14700
European ash       | Esche       | 0.21   | 0.38       | 702     | 12800
Norway spruce      | Fichte      | 0.19   | 0.39       | 470     | 10000
Scots pine         | Kiefer      | 0.19   | 0.36       | 520     | 10800
European larch     | Lärche      | 0.16   | 0.32       | 590     | 12000
Silver fir         | Tanne       | 0.14   | 0.28       | 450     | 11000
European birch     | Birke       | 0.29   | 0.41       | 650     | 14500
European walnut    | Nussbaum    | 0.23   | 0.30       | 640     | 11800
European elm       | Rüster      | 0.20   | 0.32       | 640     | 11000
European poplar    | Pappel      | 0.13   | 0.31       | 440     | 8800
Sycamore maple     | Bergahorn   | 0.15   | 0.30       | 630     | 9400
European cherry    | Kirschbaum  | 0.18   | 0.33       | 600     | 10000
European alder     | Erle        | 0.17   | 0.33       | 530     | 7700
Small-leaved lime  | Linde       | 0.23   | 0.32       | 500     | 7400
"""


class Printed(NamedTuple):
    """A row as printed."""

    wood: str
    german: str
    radial: str
    """[% of width for 1 % of moisture]"""
    tangential: str
    density: str
    """At 12 % [kg/m3]."""
    modulus: str
    """[N/mm2]"""


WOODS = tuple(Printed(*(cell.strip() for cell in line.split("|"))) for line in TABLE.strip().splitlines()[1:])
MOVEMENT = "differential shrinkage of European woods, the larger of the published"
DENSITY = "density at 12 % of European woods"


def european_checks() -> Iterator[Check]:
    for row in WOODS:
        coefficients = known(row.wood).facts
        looked_up = dict(coefficients)["coef_verified"] == "read"
        kind = Kind.PRINTED if looked_up else Kind.MEMORY
        for way, printed, coefficient in (
            ("quarter-sawn", row.radial, quarter(row.wood)),
            ("flat-sawn", row.tangential, flat(row.wood)),
        ):
            yield check(
                "European woods",
                f"{row.wood}, 100 mm {way}, 1 % of moisture [mm]",
                MOVEMENT,
                printed,
                kind,
                change_by_coefficient,
                100,
                coefficient,
                9,
                10,
            )
        yield check(
            "European woods",
            f"{row.wood}, density at 12 % [kg/m3]",
            DENSITY,
            row.density,
            Kind.MEMORY,
            density_kg_m3,
            there(known(row.wood).gravity_12),
            12,
        )

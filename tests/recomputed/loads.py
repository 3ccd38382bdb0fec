"""Loads: sag and stress of members, and what would just pass.

Beams: Wood Handbook, FPL-GTR-282 (2021), ch. 9; largest moments: any table of beams (from memory). A sixth of the modulus of
rupture as the stress to stay under is common practice.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.recomputed.shop import Impossible, Shop

BEAMS = {
    "resting, spread": (Fraction(5, 384), Fraction(1, 8)),
    "resting, center": (Fraction(1, 48), Fraction(1, 4)),
    "fixed, spread": (Fraction(1, 384), Fraction(1, 12)),
    "fixed, center": (Fraction(1, 192), Fraction(1, 8)),
    "cantilever, spread": (Fraction(1, 8), Fraction(1, 2)),
    "cantilever, end": (Fraction(1, 3), Fraction(1)),
}
"""Sag as a share of W L^3 / (E I), largest moment as a share of W L."""
KG = Fraction("0.45359237")
TOLD_BY = {"Species": "Species", "Thickness": "Thickness", "Width": "Width", "Span": "Length"}
"""What a row may leave empty, and the column of Parts that tells it: clear from shoulder to shoulder."""


def whole(row: dict[str, Any], parts: list[dict[str, Any]]) -> dict[str, Any]:
    """A row with what it leaves empty as on Parts, where all that are so named say the same."""
    named = [part for part in parts if part["Part"].lower() == row["Member"].lower()]
    found = {"Held as": "resting, spread", "Shared by": 1, **row}
    for column, told_by in TOLD_BY.items():
        if row.get(column) is None:
            said = [part[told_by] for part in named]
            if not said or said.count(said[0]) < len(said):
                raise Impossible(f"{row['Member']}: no {column}")
            found[column] = said[0]
    return found


def answered(shop: Shop, row: dict[str, Any]) -> dict[str, Any] | None:
    row = whole(row, shop.rows("Parts"))
    wood = shop.wood(row)
    if wood.elasticity is None or wood.rupture is None:
        return None
    thick, width, span = row["Thickness"], row["Width"], row["Span"]
    each = Fraction(row["Load"]) / (KG if shop.metric else 1) / row["Shared by"]
    bends, moment = BEAMS[row["Held as"]]
    sag = bends * each * span**3 / (wood.elasticity * width * thick**3 / 12)
    stress = moment * each * span / (width * thick**2 / 6)
    allowed, most = shop.allow["Sag allowed"] * span / 12, wood.rupture / 6
    thinnest = float(thick) * max(float(sag / allowed) ** (1 / 3), float(stress / most) ** (1 / 2))
    longest = float(span) * min(float(allowed / sag) ** (1 / 2), float(most / stress))
    return {"sag": sag, "sag_later": sag * max(shop.allow["Creep factor"], 1), "sag_allowed": allowed, "stress": stress / wood.rupture,
            "passes": sag <= allowed and stress <= most, "least_thickness": Fraction(thinnest), "longest_span": Fraction(longest)}  # fmt: skip

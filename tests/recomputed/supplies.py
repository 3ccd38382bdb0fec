"""Glue and finish: how much the job takes, and what it costs where a price stands beside it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from tests.recomputed.money import cents

Row = Mapping[str, Any]
GLUES = {
    "PVA": ("50", "9.2"), "hot hide glue": ("70", "9"), "liquid hide glue": ("70", "9.9"), "slow epoxy": ("82", "9.3"),
    "urea-formaldehyde": ("60", "10.5"),
}  # fmt: skip
"""Most that is spread on 1000 square feet [lb], and what a gallon weighs [lb]; shop practice."""
FINISHES = {
    "shellac": (300, 300), "brushing varnish": (400, 400), "wiping varnish": (250, 500), "penetrating oil": (250, 500),
    "hardwax oil": (1200, 1200), "water-borne clear": (350, 350),
}  # fmt: skip
"""Square feet that a gallon covers: the first coat, and each later one; shop practice."""
SQUEEZED_OUT, LEFT_OVER = Fraction(6, 5), Fraction(23, 20)
"""For what is wasted of glue, and of finish; common practice."""
LITER = 1000 / Fraction("16.387064")
"""[in3]; an inch is 2.54 cm."""
GALLON = Fraction(231)
"""[in3]; United States."""


def needed(
    job: Mapping[str, Any], metric: bool, surface: Callable[[str | None], Fraction]
) -> list[dict[str, Any]]:
    """Every kind with how much, its price and cost; ``surface`` of a part, or of all [in2]."""
    found: dict[str, dict[str, Any]] = {}
    for row in job.get("Glue-ups", ()):
        inches = Fraction(row["Glue area"]) / (Fraction("6.4516") if metric else 1)
        spread, weighs = map(Fraction, GLUES[row["Adhesive"]])
        _use(found, row, row["Adhesive"], inches / 144_000 * spread * SQUEEZED_OUT / weighs * GALLON)
    glues = len(found)
    coated: dict[str, list[str | None]] = {}
    for row in job.get("Finish", ()):
        name, part = row["Product"], row.get("Parts")
        wood, had = surface(part), coated.setdefault(row["Product"], [])
        bare = (
            wood if part is not None else wood - sum((surface(each) for each in {*had} - {None}), Fraction(0))
        )
        bare = Fraction(0) if None in had or part in had else bare
        had.append(part)
        if row.get("Coverage") is None:
            first, later = FINISHES[name]
            covered = bare / first + (wood - bare) / later + wood * (row["Coats"] - 1) / later
            volume = covered / 144 * GALLON
        elif metric:
            volume = wood * Fraction("0.00064516") * row["Coats"] / Fraction(row["Coverage"]) * LITER
        else:
            volume = wood / 144 * row["Coats"] / Fraction(row["Coverage"]) * GALLON
        _use(found, row, name, volume * LEFT_OVER)
    items = [str(row["Item"]).casefold() for row in job.get("Extras", ())]
    return [
        _line(name, use, items, metric, number < glues) for number, (name, use) in enumerate(found.items())
    ]


def _use(found: dict[str, dict[str, Any]], row: Row, name: str, volume: Fraction) -> None:
    use = found.setdefault(name, {"volume": Fraction(0), "price": None})
    use["volume"] += volume
    if use["price"] is None:
        use["price"] = row.get("Price")


def _line(name: str, use: Row, items: Sequence[str], metric: bool, glue: bool) -> dict[str, Any]:
    price = use["price"]
    of_price = LITER if metric else GALLON / 4
    amount = use["volume"] / of_price * ((1000 if metric else 32) if glue else 1)
    unit = ("ml" if metric else "fl oz") if glue else ("l" if metric else "qt")
    word = name.casefold()
    listed = word in items if price is not None else any(word in item for item in items)
    cost: Decimal | None = None
    if price is not None and not listed:
        cost = cents(use["volume"] / of_price * Fraction(price))
    return {"name": name, "amount": amount, "unit": unit, "on_extras": listed, "price": price, "cost": cost}

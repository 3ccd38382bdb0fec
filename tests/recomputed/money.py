"""Money: estimate and quote, every line rounded to the cent once, half a cent up."""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

COUNTED_AS = {
    "joint": ("tenon", "loose tenon", "dowel"),
    "groove": ("groove", "stopped groove"),
    "recess": ("hardware",),
}


def cents(amount: Fraction) -> Decimal:
    return Decimal(math.floor(amount * 100 + Fraction(1, 2))) / 100


def extra_cost(row: Mapping[str, Any]) -> Decimal | None:
    price = row.get("Unit price")
    return None if price is None else cents(Fraction(row["Qty"]) * Fraction(price))


def labor(
    row: Mapping[str, Any], counts: Mapping[str, Fraction], hourly: Decimal | None
) -> tuple[Fraction, Fraction, Decimal | None]:
    """How many, hours, cost."""
    count = counts[row["Counted by"]]
    minutes = count * Fraction(row["Minutes each"])
    rate = hourly if row.get("Rate") is None else row["Rate"]
    return count, minutes / 60, None if rate is None else cents(minutes * Fraction(rate) / 60)


def estimate(job: Mapping[str, Any], lumber: list[Decimal | None], extras: list[Decimal | None],
             supplies: list[Decimal | None], labors: list[Decimal | None]) -> dict[str, Any]:  # fmt: skip
    def summed(costs: list[Decimal | None]) -> Decimal:
        return sum((cost for cost in costs if cost is not None), Decimal("0.00"))

    def share(label: str) -> Fraction:
        return Fraction(job.get(label) or 0)

    found = {"lumber": summed(lumber), "extras": summed(extras), "glue_and_finish": summed(supplies),
             "labour": summed(labors)}  # fmt: skip
    direct = sum(found.values(), Decimal(0))
    overhead = cents(Fraction(direct) * share("Overhead"))
    cost = direct + overhead
    profit = share("Profit")
    if job["Profit as"] == "margin":
        price, markup = cents(Fraction(cost) / (1 - profit)), profit / (1 - profit)
    else:
        price, markup = cents(Fraction(cost) * (1 + profit)), profit
    delivery = Decimal("0.00") if job.get("Delivery") == "collected" else cents(share("Delivery"))
    tax = cents(Fraction(price + delivery) * share("Tax"))
    total = price + delivery + tax
    deposit = cents(Fraction(total) * min(share("Deposit"), Fraction(1)))
    return {**found, "direct": direct, "overhead": overhead, "cost": cost, "profit": price - cost, "markup": markup,
            "margin": markup / (1 + markup), "price": price, "delivery": delivery, "tax": tax, "total": total,
            "deposit": deposit, "balance": total - deposit}  # fmt: skip

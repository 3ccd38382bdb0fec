"""Money: what work and bought things cost, overhead, and profit as markup and as margin.

Arithmetic on Decimal, exact to its 28 digits and not rounded: a line is rounded once, by whoever adds it up.
Shares are of 1. The words are used as shops use them: common practice, no source. Each function raises
`ValueError` for an amount, count or share below 0.
"""

from __future__ import annotations

from decimal import Decimal


def _at_least_nothing(*numbers: Decimal) -> None:
    if not all(number.is_finite() and number >= 0 for number in numbers):
        raise ValueError("amounts, counts and shares must be at least 0")


def markup_from_margin(margin: Decimal) -> Decimal:
    """Return the markup, a share of the cost, that leaves a margin, a share of the price below 1."""
    _at_least_nothing(margin)
    if margin >= 1:
        raise ValueError("a margin of the whole price cannot be reached")
    return margin / (1 - margin)


def margin_from_markup(markup: Decimal) -> Decimal:
    """Return the margin, a share of the price, that a markup, a share of the cost, leaves."""
    _at_least_nothing(markup)
    return markup / (1 + markup)


def labor_cost(count: Decimal, minutes: Decimal, rate: Decimal) -> Decimal:
    """Return the cost of an operation done `count` times at so many minutes [min] and a rate [money/h]."""
    _at_least_nothing(count, minutes, rate)
    return count * minutes * rate / 60


def overhead(direct: Decimal, share: Decimal) -> Decimal:
    """Return the shop costs that a job bears, in proportion to its lumber, bought things and work."""
    _at_least_nothing(direct, share)
    return direct * share


def price_by_markup(cost: Decimal, markup: Decimal) -> Decimal:
    """Return the price before tax that adds a markup, a share of the cost."""
    _at_least_nothing(cost, markup)
    return cost * (1 + markup)


def price_by_margin(cost: Decimal, margin: Decimal) -> Decimal:
    """Return the price before tax of which a margin, a share of the price below 1, is left."""
    _at_least_nothing(cost, margin)
    if margin >= 1:
        raise ValueError("a margin of the whole price cannot be reached")
    return cost / (1 - margin)


def tax(price: Decimal, share: Decimal) -> Decimal:
    """Return the tax on the whole price; which tax is due, and on what, the maker's tax office says."""
    _at_least_nothing(price, share)
    return price * share


def deposit(total: Decimal, share: Decimal) -> Decimal:
    """Return what is due with the order: a share, at most 1, of the total with tax."""
    _at_least_nothing(total, share)
    if share > 1:
        raise ValueError("a deposit is at most the whole")
    return total * share

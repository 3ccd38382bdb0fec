"""Profit as markup and as margin, and the rounding of every line."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.calc.money import (
    deposit,
    margin_from_markup,
    markup_from_margin,
    price_by_margin,
    price_by_markup,
)
from sheetkit.units import cents

PRINTED = [
    ("0", "0"),
    ("0.10", "0.1111"),
    ("0.20", "0.25"),
    ("0.25", "0.3333"),
    ("0.3333", "0.5"),
    ("0.50", "1"),
]
"""Margin and its markup, from memory: the pairs that every table of the two prints; common practice, no source."""
shares = st.decimals(0, Decimal("0.99"), places=4)
amounts = st.decimals(0, 1_000_000, places=2)


@pytest.mark.parametrize(("margin", "markup"), PRINTED)
def test_margin_and_markup_stand_as_printed(margin: str, markup: str) -> None:
    assert abs(markup_from_margin(Decimal(margin)) - Decimal(markup)) <= Decimal("0.0001")
    assert abs(margin_from_markup(Decimal(markup)) - Decimal(margin)) <= Decimal("0.0001")


@given(shares)
def test_a_margin_and_back_is_the_same_margin(margin: Decimal) -> None:
    back = margin_from_markup(markup_from_margin(margin))
    assert abs(back - margin) < Decimal("1e-20")


@given(amounts, shares)
def test_a_price_by_margin_is_the_price_by_its_markup(cost: Decimal, margin: Decimal) -> None:
    by_margin = price_by_margin(cost, margin)
    by_markup = price_by_markup(cost, markup_from_margin(margin))
    assert abs(by_margin - by_markup) < Decimal("1e-15")
    assert abs((by_margin - cost) - by_margin * margin) < Decimal("1e-15")


@given(st.decimals(0, 1_000_000, places=6))
def test_cents_are_half_up_as_pythons_own_decimal_rounds(amount: Decimal) -> None:
    assert cents(amount) == amount.quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert abs(cents(amount) - amount) <= Decimal("0.005")


def test_half_a_cent_goes_up_also_where_the_cent_is_even() -> None:
    # half-even would give 0.12 and 0.14: a spreadsheet program's ROUND gives 0.13 and 0.14
    assert [cents(Decimal(text)) for text in ("0.125", "0.135")] == [Decimal("0.13"), Decimal("0.14")]


@pytest.mark.parametrize("margin", ["1", "1.2", "-0.1", "NaN"])
def test_a_margin_that_no_price_reaches_is_a_bad_call(margin: str) -> None:
    with pytest.raises(ValueError):
        markup_from_margin(Decimal(margin))
    with pytest.raises(ValueError):
        price_by_margin(Decimal(1), Decimal(margin))


def test_a_deposit_is_at_most_the_whole() -> None:
    with pytest.raises(ValueError):
        deposit(Decimal(100), Decimal("1.01"))

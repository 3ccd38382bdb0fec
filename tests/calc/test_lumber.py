"""Lumber: volumes against pint, tallies against exact rationals, waste taken off what was bought."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.calc.lumber import (
    board_feet,
    kiln_dried_thickness,
    net_volume,
    pile_share,
    surface_measures,
    surfaced_thickness,
    tally_board_feet,
    to_buy,
)
from sheetkit.calc.metric_stock import metric_dried_thickness, straightened_thickness
from sheetkit.tables import grade_waste, piles, rows, surfaced_stock

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
QUARTERS = st.integers(4, 64).map(lambda n: n / 4)
BOARDS = st.lists(st.tuples(st.integers(8, 80), st.integers(12, 200)), max_size=30)  # eighths, inches


@given(QUARTERS, st.floats(0, 30), st.floats(0, 200))
def test_board_feet_are_the_volume_over_144_cubic_inches(nominal: float, width: float, length: float) -> None:
    volume = (nominal * UNITS.inch) * (width * UNITS.inch) * (length * UNITS.inch)
    board_foot = UNITS.foot * UNITS.foot * UNITS.inch
    assert board_feet(nominal, width, length) == pytest.approx((volume / board_foot).to("").magnitude)


@given(st.floats(0, 1), st.floats(0, 30), st.floats(0, 200))
def test_stock_under_an_inch_counts_as_an_inch(nominal: float, width: float, length: float) -> None:
    assert board_feet(nominal, width, length) == board_feet(1, width, length)


@given(st.floats(0, 4), st.floats(0, 30), st.floats(0, 200))
def test_a_net_volume_is_the_product_of_the_sizes_however_thin(
    nominal: float, width: float, length: float
) -> None:
    volume = (nominal * UNITS.inch) * (width * UNITS.inch) * (length * UNITS.inch)
    assert net_volume(nominal, width, length) == pytest.approx(volume.to("m**3").magnitude)


@given(BOARDS)
def test_surface_measures_are_those_of_exact_rationals_with_halves_up_and_down_by_turns(
    boards: list[tuple[int, int]],
) -> None:
    expected, halves = [], 0
    for eighths, inches in boards:
        exact = Fraction(eighths, 8) * (inches // 12) / 12
        if exact % 1 == Fraction(1, 2):
            halves += 1
            expected.append(int(exact) + halves % 2)  # up the first time, down the next
        else:
            expected.append(round(exact))
    assert surface_measures([(eighths / 8, float(inches)) for eighths, inches in boards]) == expected


@given(BOARDS)
def test_over_many_boards_the_halves_even_out(boards: list[tuple[int, int]]) -> None:
    sizes = [(eighths / 8, float(inches)) for eighths, inches in boards]
    halves = [
        width * (length // 12) / 12 for width, length in sizes if (width * (length // 12) / 12) % 1 == 0.5
    ]
    rounded = surface_measures([(half, 144.0) for half in halves])
    assert 0 <= sum(rounded) - sum(halves) <= 0.5


@given(QUARTERS, st.lists(st.integers(0, 40), max_size=20))
def test_a_bundle_is_rounded_once_and_not_board_by_board(nominal: float, measures: list[int]) -> None:
    exact = sum(measures) * Fraction(nominal)
    assert abs(tally_board_feet(nominal, measures) - exact) <= Fraction(1, 2)
    assert tally_board_feet(nominal, measures) == (exact + Fraction(1, 2)) // 1


def test_a_bundle_of_sizes_typed_in_millimeters_keeps_its_halves() -> None:
    assert surface_measures([(165.1 / 25.4, 3657.6 / 25.4), (165.1 / 25.4, 3657.6 / 25.4)]) == [7, 6]


def test_the_pattern_of_surfacing_is_the_printed_table() -> None:
    nominal = {row["stock"]: float(row["nominal_in"]) for row in rows("thickness")}
    assert {stock: surfaced_thickness(inches) for stock, inches in nominal.items()} == surfaced_stock()


@pytest.mark.parametrize("nominal", [0.375, 1, 1.25, 1.75, 2, 4])
def test_dried_stock_is_a_sixteenth_scant_below_two_inches_and_an_eighth_from_there(nominal: float) -> None:
    scant = Fraction(nominal) - Fraction(kiln_dried_thickness(nominal))
    assert scant == (Fraction(1, 16) if nominal < 2 else Fraction(1, 8))
    assert surfaced_thickness(nominal) < kiln_dried_thickness(nominal)


def test_metric_stock_holds_its_size_at_twenty_percent_and_loses_a_quarter_percent_for_each_percent() -> None:
    # EN 1313-1:2010, clause 5, printed for softwood; for hardwood common practice
    assert metric_dried_thickness(52, 20) == 52
    assert metric_dried_thickness(100, 8) == pytest.approx(97.0)
    assert metric_dried_thickness(100, 24) == pytest.approx(101.0)


def test_27_mm_stock_dries_to_26_5_and_straightens_to_24() -> None:
    """Common practice, no source."""
    dried = metric_dried_thickness(27 / 25.4, 12)
    assert dried * 25.4 == pytest.approx(26.5, abs=0.05)
    assert straightened_thickness(dried) * 25.4 == pytest.approx(24, abs=0.05)


@given(st.floats(0, 1e4), st.floats(0, 0.9))
def test_what_is_bought_less_its_waste_is_what_was_wanted(net: float, waste: float) -> None:
    bought = to_buy(net, waste)
    assert bought - bought * waste == pytest.approx(net)


def test_forty_board_feet_at_twenty_percent_cost_475() -> None:
    bought = to_buy(40, 0.2)
    assert bought == 50  # not 48
    assert Decimal(str(bought)) * Decimal("9.50") == Decimal("475.00")


def test_waste_by_grade_is_the_middle_of_the_allowances_over_net() -> None:
    # common practice, no source: over net 20 to 30 % for FAS, 30 to 40, 40 to 60, 15 to 20 for S4S
    allowances = {"fas": (20, 30), "no. 1 common": (30, 40), "no. 2a common": (40, 60), "s4s": (15, 20)}
    for grade, (low, high) in allowances.items():
        middle = (low + high) / 200
        assert 1 / (1 - grade_waste()[grade]) - 1 == pytest.approx(middle, abs=0.01)


@pytest.mark.parametrize(
    "call",
    [
        lambda: kiln_dried_thickness(0),
        lambda: surfaced_thickness(0.1875),
        lambda: metric_dried_thickness(0, 10),
        lambda: metric_dried_thickness(50, 31),
        lambda: straightened_thickness(2.5 / 25.4),
        lambda: board_feet(1, -1, 10),
        lambda: net_volume(1, -1, 10),
        lambda: surface_measures([(6, -1)]),
        lambda: tally_board_feet(0, [1]),
        lambda: to_buy(40, 1),
        lambda: to_buy(40, -0.1),
    ],
)
def test_senseless_lumber_is_refused(call: Callable[[], object]) -> None:
    with pytest.raises(ValueError):
        call()


@given(st.floats(0.5, 300), st.floats(3, 150))
def test_shares_of_the_piles_lie_on_the_line_that_numpy_draws(face: float, longest: float) -> None:
    table = piles()
    length = min((n for n, _ in table if n >= longest), default=max(n for n, _ in table))
    points = sorted((of, shares) for (n, of), shares in table.items() if n == length)
    for part, found in enumerate(pile_share(face, longest, table)):
        line = np.interp(
            np.log(face), np.log([of for of, _ in points]), [shares[part] for _, shares in points]
        )
        assert found == pytest.approx(float(line))


@pytest.mark.parametrize(("face", "longest"), [(0, 20), (5, 0), (-1, 20)])
def test_blanks_without_a_size_have_no_share_of_a_pile(face: float, longest: float) -> None:
    with pytest.raises(ValueError):
        pile_share(face, longest, piles())

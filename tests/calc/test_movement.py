"""Movement across the grain: against the shrinkage line worked by sympy, and panels put through the seasons."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.calc.movement import (
    Movement,
    bearing_each_side,
    change_by_coefficient,
    change_by_shrinkage,
    coefficient_from_shrinkage,
    groove_depth_needed,
    panel_size_today,
    seasonal_swing,
    size_ratio,
    slot_length,
)
from sheetkit.units import rounded_down

WHITE_OAK, RED_OAK, QUARTERED, CHERRY = map(Movement, (0.00365, 0.00369, 0.00158, 0.00248))
SHRINKAGE, MOISTURE = st.floats(1, 15), st.floats(0, 30)
SIZE, INSIDE = st.floats(1, 60), st.floats(6, 14)
COEFFICIENT = st.floats(0.0007, 0.005)


def size_on_the_line(shrinkage: float, start: float, moisture: float) -> Fraction:
    """Give the size of wood that was 1 when green: Wood Handbook, FPL-GTR-282 (2021), eq. 4-9, exactly."""
    return 1 - Fraction(shrinkage) / 100 * (1 - Fraction(moisture) / Fraction(start))


@pytest.mark.parametrize("start", [22, 30])
@pytest.mark.parametrize("shrinkage", ["3.7", "7.1", "11.9"])
def test_a_coefficient_is_the_slope_of_the_shrinkage_line_over_the_size_at_ten_percent(
    shrinkage: str, start: int
) -> None:
    x = sympy.Symbol("x")
    line = 1 - sympy.Rational(shrinkage) / 100 * (1 - x / start)
    slope = sympy.diff(line, x) / line.subs(x, 10)
    assert coefficient_from_shrinkage(float(shrinkage), start) == pytest.approx(float(slope), rel=1e-12)


@given(SIZE, SHRINKAGE, st.floats(0, 22), st.floats(0, 22), st.sampled_from([22.0, 30.0]))
def test_the_change_by_shrinkage_goes_along_the_shrinkage_line(
    size: float, shrinkage: float, moisture: float, later: float, start: float
) -> None:
    ratio = size_on_the_line(shrinkage, start, later) / size_on_the_line(shrinkage, start, moisture)
    change = change_by_shrinkage(size, shrinkage, moisture, later, start)
    assert change == pytest.approx(float(size * (ratio - 1)), rel=1e-9, abs=1e-12)


@given(SIZE, SHRINKAGE, INSIDE, INSIDE)
def test_coefficient_and_shrinkage_give_nearly_the_same_between_6_and_14_percent(
    size: float, shrinkage: float, moisture: float, later: float
) -> None:
    by_line = change_by_shrinkage(size, shrinkage, moisture, later)
    by_coefficient = change_by_coefficient(size, coefficient_from_shrinkage(shrinkage), moisture, later)
    assert by_coefficient == pytest.approx(by_line, rel=0.03, abs=1e-12)


def test_a_size_outside_6_to_14_percent_goes_by_the_shrinkage_when_that_is_known() -> None:
    line = size_on_the_line(7.1, 30, 4) / size_on_the_line(7.1, 30, 8)
    assert size_ratio(Movement(0.00248, 7.1), 8, 4) == pytest.approx(float(line), rel=1e-12)
    assert size_ratio(Movement(0.00248), 8, 4) == 1 - 4 * 0.00248
    assert size_ratio(Movement(0.00248, 9.9), 8, 10) == 1 + 2 * 0.00248


@given(SIZE, st.floats(0.1, 2), COEFFICIENT, INSIDE, INSIDE)
def test_a_panel_as_wide_as_it_may_be_today_just_fills_its_room_at_the_wettest(
    opening: float, grooves: float, coefficient: float, now: float, wettest: float
) -> None:
    moves = Movement(coefficient)
    today = panel_size_today(opening, grooves, 1 / 16, moves, now, wettest)
    then = today + change_by_coefficient(today, coefficient, now, wettest)
    assert then == pytest.approx(opening + grooves - 1 / 16, rel=1e-12)


@given(SIZE, COEFFICIENT, INSIDE, INSIDE)
def test_bearing_is_what_is_left_of_the_panel_beyond_the_opening_half_at_each_side(
    opening: float, coefficient: float, now: float, driest: float
) -> None:
    today = opening + 0.75
    dry = today + change_by_coefficient(today, coefficient, now, driest)
    bearing = bearing_each_side(today, opening, Movement(coefficient), now, driest)
    assert opening + 2 * bearing == pytest.approx(dry)


@given(SIZE, SHRINKAGE, st.floats(0.1, 0.5), st.floats(0, 5), st.floats(0, 30), MOISTURE)
def test_in_a_groove_of_the_depth_needed_a_panel_bears_just_enough_and_keeps_its_clearance(
    opening: float, shrinkage: float, bearing: float, driest: float, wettest: float, now: float
) -> None:
    moves, wettest = Movement(0.003, shrinkage), max(wettest, 6.0)
    depth = groove_depth_needed(opening, bearing, 1 / 32, moves, now, driest, wettest)
    today = panel_size_today(opening, 2 * depth, 1 / 16, moves, now, wettest)
    assert bearing_each_side(today, opening, moves, now, driest) == pytest.approx(bearing, abs=1e-9)


@given(SIZE, SHRINKAGE, st.floats(0, 5), st.floats(15, 30), MOISTURE)
def test_the_swing_of_a_top_is_its_size_wet_less_its_size_dry(
    size: float, shrinkage: float, driest: float, wettest: float, now: float
) -> None:
    line = [size_on_the_line(shrinkage, 30, moisture) for moisture in (driest, wettest, now)]
    swing = seasonal_swing(size, Movement(0.003, shrinkage), now, driest, wettest)
    if not 6 <= now <= 14:
        assert swing == pytest.approx(float(size * (line[1] - line[0]) / line[2]), rel=1e-9)
    assert swing > 0


def test_the_worked_panel_of_white_oak() -> None:
    # worked by hand from Wood Handbook, FPL-GTR-190 (2010), eq. 13-2; coefficient of Table 13-5
    width = rounded_down(panel_size_today(14.25, 2 * 0.5, 2 / 32, WHITE_OAK, 7, 11), 1 / 32)
    assert width == 14 + 31 / 32
    assert (14.25 + 1 - width) / 2 == 9 / 64  # gap each side
    wet = width + change_by_coefficient(width, 0.00365, 7, 11)
    assert (14.25 + 1 - wet) / 2 == pytest.approx(0.0314, abs=5e-5)


def test_the_worked_wide_panel_bears_too_little_in_red_oak_and_enough_in_cherry_or_quarter_sawn() -> None:
    least, bearings = 3 / 16, []
    for wood in (RED_OAK, CHERRY, QUARTERED):
        width = rounded_down(panel_size_today(22, 0.75, 1 / 16, wood, 7, 11), 1 / 32)
        bearings.append(bearing_each_side(width, 22, wood, 7, 6))
    assert bearings[:2] == pytest.approx([0.131, 0.191], abs=5e-4)
    assert bearings[0] < least < bearings[1] < bearings[2]
    deeper = groove_depth_needed(22, least, 1 / 32, RED_OAK, 7, 6, 11)
    width = panel_size_today(22, 2 * deeper, 1 / 16, RED_OAK, 7, 11)
    assert bearing_each_side(width, 22, RED_OAK, 7, 6) == pytest.approx(least, abs=1e-9)


@pytest.mark.parametrize(("growth", "shrinkage"), [(0.25, 0.125), (0.125, 0.25), (0.25, 0.0)])
def test_a_slot_has_room_for_the_larger_move_of_an_edge_to_either_side_of_the_screw(
    growth: float, shrinkage: float
) -> None:
    # common practice, no source: an edge goes half of what the whole top does
    assert slot_length(growth, shrinkage, 0.1875) == 2 * 0.125 + 0.1875


def test_wood_wetter_than_the_start_of_shrinkage_has_its_full_size() -> None:
    """Wood Handbook GTR-190 (2010), chapter 4: dimensions do not change above the fiber saturation point."""
    cedar = Movement(0.0017, 5.0, 22.0)
    assert size_ratio(cedar, 8, 40) == size_ratio(cedar, 8, 22)
    assert size_ratio(cedar, 25, 40) == 1
    assert size_ratio(cedar, 0, 22) == pytest.approx(1 / 0.95)


@pytest.mark.parametrize(
    "call",
    [
        lambda: coefficient_from_shrinkage(0),
        lambda: coefficient_from_shrinkage(100),
        lambda: change_by_coefficient(-1, 0.003, 6, 9),
        lambda: change_by_shrinkage(10, 7.1, 31, 8),
        lambda: change_by_shrinkage(10, 5.0, 23, 8, start=22),
        lambda: change_by_shrinkage(10, 7.1, 8, -1),
        lambda: size_ratio(Movement(0.003, 7.1), 8, -1),
        lambda: slot_length(-0.1, 0.1, 0.2),
        lambda: slot_length(0.1, -0.1, 0.2),
        lambda: slot_length(0.1, 0.1, -0.2),
    ],
)
def test_senseless_movement_is_refused(call: Callable[[], object]) -> None:
    with pytest.raises(ValueError):
        call()

"""Finishing: surfaces against numpy and shapely, amounts against pint, calendars against the clock."""

from __future__ import annotations

import itertools
from datetime import datetime, timedelta

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from sheetkit.calc.finishing import (
    FinishStep,
    Grit,
    finish_amount,
    finish_calendar,
    grit_steps,
    panel_surface,
    part_surface,
)

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
SIZE = st.floats(0.1, 100)


@given(SIZE, SIZE, SIZE, st.integers(1, 9))
def test_a_part_has_the_surface_of_its_six_faces(
    thickness: float, width: float, length: float, quantity: int
) -> None:
    edges = np.diag([thickness, width, length])
    faces = 2 * sum(np.linalg.norm(np.cross(one, other)) for one, other in itertools.combinations(edges, 2))
    assert part_surface(thickness, width, length, quantity) == pytest.approx(quantity * faces)


@given(SIZE, SIZE)
def test_a_panel_is_finished_on_both_sides(width: float, height: float) -> None:
    side = box(0, 0, width, height)
    assert panel_surface(width, height) == pytest.approx(2 * side.area)
    assert panel_surface(width, height, 3, 0.5) == pytest.approx(3 * (2 * side.area + 0.5 * side.length))
    assert panel_surface(width, height, 1, 0.5) == pytest.approx(part_surface(0.5, width, height))


@given(st.floats(10, 1e5), st.integers(1, 6), st.floats(100, 2000), st.floats(0, 0.5))
def test_the_amount_to_buy_is_surface_times_coats_over_coverage(
    surface: float, coats: int, coverage: float, waste: float
) -> None:
    amount = surface * UNITS.inch**2 * coats / (coverage * UNITS.ft**2 / UNITS.gallon) * (1 + waste)
    assert finish_amount(surface, coats, coverage, waste) == pytest.approx(amount.to("gallon").magnitude)


def test_a_thirsty_first_coat_takes_more_than_the_later_ones() -> None:
    # 100 ft2: 100/250 for the first coat, 2 x 100/500 for the later two
    assert finish_amount(14400, 3, 500, first_coverage=250) == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("grits", "reasons"),
    [
        ([80, 120, 150, 180, 220], [Grit.OK] * 4),  # common practice, no source
        ([80, 150], [Grit.SKIPS]),
        ([120, 120], [Grit.COARSER]),
        ([150, 120, 180], [Grit.COARSER, Grit.OK]),
        ([120], []),
    ],
)
def test_grits_go_finer_and_skip_no_more_than_one_grade(grits: list[int], reasons: list[Grit]) -> None:
    assert [step.reason for step in grit_steps(grits)] == reasons


def test_the_grade_to_put_between_mends_the_skip() -> None:
    (step,) = grit_steps([80, 150])
    assert step.between is not None
    assert all(mended.reason is Grit.OK for mended in grit_steps([80, step.between, 150]))


STEPS = st.lists(
    st.builds(FinishStep, st.integers(1, 4), st.integers(0, 6).map(float), st.integers(0, 72).map(float)),
    min_size=1,
    max_size=5,
)


@given(STEPS)
def test_with_an_open_clock_the_hours_just_add_up(steps: list[FinishStep]) -> None:
    calendar = finish_calendar(steps)
    assert calendar[-1].ready == sum(step.coats * (step.work + step.wait) for step in steps)


@given(STEPS, st.sampled_from([6.0, 8.0, 10.0]))
def test_in_shop_hours_each_coat_starts_at_the_first_hour_that_will_do(
    steps: list[FinishStep], hours: float
) -> None:
    morning, clock = datetime(2024, 1, 1), datetime(2024, 1, 1)
    expected = []
    for step in steps:
        for _ in range(step.coats):
            # walk the clock hour by hour until the coat can be put on before closing
            while clock.hour >= hours or clock.hour + step.work > hours:
                clock += timedelta(hours=1)
            expected.append((clock - morning) / timedelta(hours=1))
            clock += timedelta(hours=step.work + step.wait)
    calendar = finish_calendar(steps, shop_hours=hours)
    assert [start for step in calendar for start in step.starts] == expected


def test_three_coats_a_day_apart_take_three_mornings() -> None:
    (calendar,) = finish_calendar([FinishStep(3, 1, 23)], shop_hours=8)
    assert calendar.starts == (0, 24, 48)


@pytest.mark.parametrize("wrong", [0, -1, float("nan"), float("inf")])
def test_senseless_finishing_is_refused(wrong: float) -> None:
    for call in (
        lambda: part_surface(1, wrong, 1),
        lambda: panel_surface(wrong, 1),
        lambda: finish_amount(wrong, 1, 400),
        lambda: finish_amount(100, 1, 400, first_coverage=wrong),
        lambda: finish_calendar([FinishStep(1, 1, 1)], shop_hours=wrong),
        lambda: finish_calendar([FinishStep(0, 1, 1)]),
    ):
        with pytest.raises(ValueError):
            call()

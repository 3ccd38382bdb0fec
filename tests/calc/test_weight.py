"""Weight: against the worked cherry board, pint, and the gravities in the Wood Handbook's table."""

from __future__ import annotations

import csv
from importlib import resources
from statistics import mean

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.calc.weight import (
    basic_specific_gravity,
    density_kg_m3,
    density_lb_ft3,
    specific_gravity,
    weight_kg,
    weight_lb,
)

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
GRAVITY, MOISTURE = st.floats(0.1, 1.0), st.floats(0, 60)


def test_black_cherry_at_eight_percent() -> None:
    # worked by hand from Wood Handbook eq. 4-13 and 4-14 (FPL-GTR-282, 2021); G_b 0.47 from Table 5-3b
    gravity = specific_gravity(0.47, 8)
    assert gravity == pytest.approx(0.517, abs=5e-4)
    density = density_lb_ft3(gravity, 8)
    assert density == pytest.approx(34.9, abs=0.05)
    # a board foot; worked from the rounded density, 34.9 / 12
    assert weight_lb(144, round(density, 1)) == pytest.approx(2.91, abs=5e-3)


def test_black_cherry_at_twelve_percent() -> None:
    assert specific_gravity(0.47, 12) == pytest.approx(0.508, abs=5e-4)


def test_the_equation_agrees_with_the_gravities_tabulated_green_and_at_twelve_percent() -> None:
    # Wood Handbook, FPL-GTR-282 (2021), Table 5-3b prints both; eq. 4-13 is a general fit through them
    text = resources.files("sheetkit.tables").joinpath("species.csv").read_text(encoding="utf-8")
    off = [
        specific_gravity(float(row["gravity_green"]), 12) - float(row["gravity_12"])
        for row in csv.DictReader(text.splitlines())
        if row["gravity_green"] and row["gravity_12"] and row["gravity_12_basis"] == "table"
    ]
    assert len(off) > 60
    assert abs(mean(off)) < 0.01
    assert sum(abs(difference) <= 0.02 for difference in off) / len(off) > 0.8


@given(GRAVITY, MOISTURE)
def test_going_to_basic_gravity_and_back_changes_nothing(basic: float, moisture: float) -> None:
    assert basic_specific_gravity(specific_gravity(basic, moisture), moisture) == pytest.approx(basic)


@given(GRAVITY, MOISTURE)
def test_pounds_and_kilograms_agree_to_the_three_figures_of_62_4(gravity: float, moisture: float) -> None:
    imperial = (density_lb_ft3(gravity, moisture) * UNITS.lb / UNITS.ft**3).to("kg/m^3").magnitude
    assert imperial == pytest.approx(density_kg_m3(gravity, moisture), rel=1e-3)


@given(st.floats(0, 1e5), st.floats(1, 90))
def test_weights_are_volume_times_density(volume: float, density: float) -> None:
    size = volume * UNITS.inch**3
    assert weight_lb(volume, density) == pytest.approx(
        (size * density * UNITS.lb / UNITS.ft**3).to("lb").magnitude
    )
    assert weight_kg(volume, density) == pytest.approx(
        (size * density * UNITS.kg / UNITS.m**3).to("kg").magnitude
    )


def test_wood_wetter_than_fiber_saturation_is_heavier_and_no_less_dense_in_wood() -> None:
    assert specific_gravity(0.5, 30) == specific_gravity(0.5, 80) == 0.5
    assert density_kg_m3(0.5, 80) == pytest.approx(900)  # half a tonne of wood and 0.4 of water


@pytest.mark.parametrize(
    ("gravity", "moisture"), [(0, 8), (1.6, 8), (0.5, -1), (float("nan"), 8), (0.5, float("nan"))]
)
def test_senseless_wood_is_refused(gravity: float, moisture: float) -> None:
    for give in (specific_gravity, basic_specific_gravity, density_lb_ft3, density_kg_m3):
        with pytest.raises(ValueError):
            give(gravity, moisture)
    with pytest.raises(ValueError):
        weight_lb(-1, 30)

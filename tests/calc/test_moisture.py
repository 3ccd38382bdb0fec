"""Moisture that wood takes on: its course over humidity and warmth, and the bounds of the table.

The 342 cells of the published table are checked one by one in tests/printed.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.calc.moisture import equilibrium_moisture
from sheetkit.tables import rows

TEMPERATURES, HUMIDITIES = st.floats(30, 200), st.floats(5, 94)
GRID = {
    (int(row["temperature_f"]), int(row["humidity_percent"])): float(row["emc_percent"])
    for row in rows("emc")
}


def by_celsius(fahrenheit: float, humidity: float) -> float:
    """Give the moisture by the Handbook's constants for degrees C: Wood Handbook, FPL-GTR-282 (2021), eq. 4-5."""
    t, h = (fahrenheit - 32) / 1.8, humidity / 100
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    above = k1 * k * h + 2 * k1 * k2 * k**2 * h**2
    return 1800 / w * (k * h / (1 - k * h) + above / (1 + k1 * k * h + k1 * k2 * k**2 * h**2))


@given(TEMPERATURES, st.floats(5, 95))
def test_both_printed_sets_of_constants_agree(temperature: float, humidity: float) -> None:
    ours = equilibrium_moisture(temperature, humidity)
    assert ours == pytest.approx(by_celsius(temperature, humidity), abs=0.02)


@given(TEMPERATURES, HUMIDITIES, st.floats(0.1, 1))
def test_damper_air_makes_wetter_wood(temperature: float, humidity: float, more: float) -> None:
    assert equilibrium_moisture(temperature, humidity + more) > equilibrium_moisture(temperature, humidity)


@given(st.floats(40, 110), HUMIDITIES)
def test_warmer_air_of_the_same_humidity_never_makes_wetter_wood(temperature: float, humidity: float) -> None:
    warm = equilibrium_moisture(temperature + 10, humidity)
    assert warm <= equilibrium_moisture(temperature, humidity) + 0.01


@given(st.integers(3, 19), st.integers(1, 18), st.fractions(0, 1, max_denominator=20))
def test_between_two_printed_humidities_the_moisture_lies_between_the_printed_values(
    ten: int, five: int, share: Fraction
) -> None:
    low, high = GRID[ten * 10, five * 5], GRID[ten * 10, five * 5 + 5]
    assert low - 0.1 <= equilibrium_moisture(ten * 10, five * 5 + float(share) * 5) <= high + 0.1


@pytest.mark.parametrize("climate", [(29.9, 50), (200.1, 50), (70, 4.9), (70, 95.1), (float("nan"), 50)])
def test_a_climate_outside_the_table_is_refused(climate: tuple[float, float]) -> None:
    with pytest.raises(ValueError):
        equilibrium_moisture(*climate)

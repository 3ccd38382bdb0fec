"""Room enclosed by a drawer or behind a door, against pint's cubic foot and Python's fractions."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.calc.enclosed import door_volume, drawer_volume

SIZE = st.integers(4, 640).map(lambda count: count / 16)
FOOT: float = pint.UnitRegistry()("1 foot ** 3").to("inch ** 3").magnitude


@given(SIZE, SIZE, SIZE)
def test_a_drawer_encloses_its_room_less_an_eighth_of_its_height(
    height: float, width: float, depth: float
) -> None:
    room = (Fraction(height) - Fraction(1, 8)) * Fraction(width) * Fraction(depth)
    assert drawer_volume(height, width, depth) == pytest.approx(float(room) / FOOT)


@given(SIZE, SIZE, SIZE)
def test_half_the_room_behind_a_door_counts(height: float, width: float, depth: float) -> None:
    room = Fraction(height) * Fraction(width) * Fraction(depth) / 2
    assert door_volume(height, width, depth) == pytest.approx(float(room) / FOOT)

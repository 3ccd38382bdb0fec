"""Rules of the bench: resawn leaves and hands for a load. Sums by hand; the load constant from its publication."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from sheetkit.calc.finishing import next_opening
from sheetkit.calc.gluing import shared_out
from sheetkit.calc.lifting import hands
from sheetkit.calc.resawing import sawn_leaf
from sheetkit.calc.rough import leaves_from


@pytest.mark.parametrize(("leaf", "leaves"), [(0.25, 2), (0.3125, 3), (0.5, 4)])
def test_leaves_as_sawn_and_their_kerfs_make_up_the_flattened_blank(leaf: float, leaves: int) -> None:
    kerf, clean = 0.0625, 0.125
    flattened = leaves * leaf + (leaves - 1) * (kerf + clean)
    assert leaves_from(flattened, leaf, kerf, clean) == leaves
    sawn = sawn_leaf(leaf, leaves, clean)
    exact = Fraction(sawn) * leaves + Fraction(kerf) * (leaves - 1)
    assert abs(exact - Fraction(flattened)) < Fraction(1, 10**12)
    assert sawn > leaf


def test_a_single_leaf_is_not_sawn() -> None:
    assert sawn_leaf(0.25, 1, 0.125) == 0.25


def test_one_person_lifts_the_load_constant_and_two_lift_less_than_twice_it() -> None:
    """NIOSH 94-110: 51 lb; 23 kg."""
    assert hands(51) == 1
    assert abs(51 * 0.45359237 - 23) < 0.2
    assert hands(51.1) == 2
    assert hands(68) == 2
    assert hands(69) == 3
    with pytest.raises(ValueError, match="at least 0"):
        hands(-1)
    with pytest.raises(ValueError, match="leaf"):
        sawn_leaf(0.25, 0, 0.125)


@pytest.mark.parametrize(("count", "goes"), [(10, 3), (9, 2), (2, 4), (7, 7), (1, 1), (16, 5)])
def test_joints_are_shared_out_like_an_array(count: int, goes: int) -> None:
    parts = [len(part) for part in np.array_split(np.arange(count), goes)]
    assert shared_out(count, goes) == tuple(part for part in parts if part)
    with pytest.raises(ValueError, match="share out"):
        shared_out(0, 1)


def test_work_goes_on_when_a_clock_in_the_shop_says_it_is_open() -> None:
    for quarter in range(0, 4 * 60):
        hour = quarter / 4
        walked = hour
        while walked % 24 >= 8:
            walked += 0.25
        assert next_opening(hour, 8) == walked
    with pytest.raises(ValueError, match="opening"):
        next_opening(-1, 8)

"""Rules of the bench: resawn leaves and hands for a load. Sums by hand; the load constant from its publication."""

from __future__ import annotations

import pytest

from sheetkit.calc.lifting import hands
from sheetkit.calc.resawing import sawn_leaf
from sheetkit.calc.rough import leaves_from


@pytest.mark.parametrize(("leaf", "leaves"), [(0.25, 2), (0.3125, 3), (0.5, 4)])
def test_leaves_as_sawn_and_their_kerfs_make_up_the_flattened_blank(leaf: float, leaves: int) -> None:
    kerf, clean = 0.0625, 0.125
    flattened = leaves * leaf + (leaves - 1) * (kerf + clean)
    assert leaves_from(flattened, leaf, kerf, clean) == leaves
    sawn = sawn_leaf(leaf, leaves, clean)
    assert sawn * leaves + kerf * (leaves - 1) == pytest.approx(flattened)
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

"""Shrinkage from a coefficient, against the printed tables."""

from __future__ import annotations

import pytest

from sheetkit.calc.shrinkage import shrinkage_from_coefficient


@pytest.mark.parametrize(
    ("coefficient", "start", "printed"),
    [(0.00248, 30, 7.1), (0.00126, 30, 3.7), (0.00353, 30, 9.9), (0.00234, 22, 5.0)],
)
def test_the_shrinkage_of_black_cherry_comes_back_from_its_coefficient(
    coefficient: float, start: float, printed: float
) -> None:
    """Wood Handbook Table 13-5 -> Table 4-3: cherry T and R, sugar maple T, western redcedar T."""
    assert shrinkage_from_coefficient(coefficient, start) == pytest.approx(printed, abs=0.05)


def test_a_coefficient_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="coefficient"):
        shrinkage_from_coefficient(0)

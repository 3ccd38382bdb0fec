"""Glued areas: against shapely's faces and cylinders unrolled, and pieces counted seam by seam."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, box

from sheetkit.calc.glue_lines import dowel_glue_area, seam_area, tenon_glue_area

SIZE = st.floats(0.1, 40)


@given(SIZE, SIZE, st.integers(1, 6))
def test_a_tenon_is_glued_on_both_cheeks(width: float, reach: float, count: int) -> None:
    assert tenon_glue_area(width, reach, count) == pytest.approx(2 * box(0, 0, width, reach).area * count)


@given(SIZE, SIZE, st.integers(1, 6))
def test_a_dowel_is_glued_all_round(diameter: float, reach: float, count: int) -> None:
    around = Point(0, 0).buffer(diameter / 2, quad_segs=256).exterior.length
    assert dowel_glue_area(diameter, reach, count) == pytest.approx(count * around * reach, rel=1e-4)


@given(SIZE, SIZE, st.integers(2, 9))
def test_pieces_side_by_side_have_one_seam_fewer_than_pieces(
    length: float, breadth: float, pieces: int
) -> None:
    seams = np.full(pieces - 1, box(0, 0, length, breadth).area)
    assert seam_area(length, breadth, pieces) == pytest.approx(seams.sum())


@pytest.mark.parametrize("wrong", [0, -1, float("nan"), float("inf")])
def test_senseless_seams_are_refused(wrong: float) -> None:
    calls: tuple[Callable[[], float], ...] = (
        lambda: tenon_glue_area(wrong, 1),
        lambda: dowel_glue_area(0.375, wrong),
        lambda: seam_area(wrong, 1),
        lambda: seam_area(10, 1, 1),
    )
    for call in calls:
        with pytest.raises(ValueError):
            call()

"""Spacing and Shapes: the worked answers, in the maker's unit."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.intake.workbook import take_in
from tests.jobs import pages
from tests.making.making_jobs import METRIC, answered


def test_five_members_in_thirty_six_stand_where_arithmetic_puts_them() -> None:
    """(36 - 3.75) / 6 = 5.375 (arithmetic)."""
    found = answered({"Spacing": """
        Run   | Between | Members | Member width
        Slats | 36      | 5       | 3/4
    """})  # fmt: skip
    assert found.column("Spacing", "members_used") == [5]
    assert found.column("Spacing", "gap") == [5.375]
    assert "5 3/4, 11 7/8, 18, 24 1/8, 30 1/4" in found.remarks("Spacing")[0]
    assert found.results.runs[0].centers == (5.75, 11.875, 18.0, 24.125, 30.25)


def test_the_largest_gap_gives_the_fewest_members() -> None:
    found = answered({"Spacing": """
        Run   | Between | Largest gap | Member width | First at
        Slats | 36      | 3           | 3            | 0
    """})  # fmt: skip
    assert found.column("Spacing", "members_used") == [7]
    assert found.column("Spacing", "gap") == [2.5]  # (36 - 21) / 6


def test_members_that_do_not_fit_are_told_and_have_no_marks() -> None:
    found = answered({"Spacing": """
        Run   | Between | Members | Member width
        Slats | 10      | 4       | 3
    """})  # fmt: skip
    assert found.codes == ["spacing-overlap"]
    assert "Use 3 members" in found.remarks("Spacing")[0]
    assert found.column("Spacing", "gap") == [None]
    assert found.results.sticks == ()


def test_a_gap_over_the_largest_says_how_many_members_would_do() -> None:
    found = answered({"Spacing": """
        Run   | Between | Members | Largest gap | Member width
        Slats | 36      | 5       | 3           | 3/4
    """})  # fmt: skip
    assert found.codes == ["spacing-gap"]
    assert "Use 9 members" in found.remarks("Spacing")[0]  # (36 - 9 x 3/4) / 10 = 2.925


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("Slats | 36 | | | 3/4 | ", "spacing-needs"),
        ("Slats | 36 | 3 | | 3/4 | 20", "spacing-first"),
        ("Slats | 3 | 1 | | 4 | ", "spacing-none"),
        ("Slats | 36 | 2 | 5 | 3/4 | 16", "spacing-end-gap"),
        ("Slats | 7 | | 1/64 | 3 | ", "spacing-never"),
        ("Slats | 7 | 1 | | 6 | 3", "spacing-first"),
        ("Slats | 96 | | 0.001 | 0.001 | ", "spacing-many"),
        ("Slats | 96 | 4000 | | 0.1 | 30", "spacing-overlap"),
        ("Slats | 96 | 1500 | | 0.02 | 30", "spacing-many"),
    ],
)
def test_a_run_that_cannot_be_is_a_problem_with_its_cell(row: str, code: str) -> None:
    found = answered({"Spacing": f"Run | Between | Members | Largest gap | Member width | First at\n{row}"})
    assert found.codes == [code]
    assert found.problems[0].row == 2
    assert found.problems[0].says in found.remarks("Spacing")[0]


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 12), st.integers(160, 1600), st.integers(4, 12))
def test_no_mark_carries_the_error_of_the_one_before(members: int, between: int, width: int) -> None:
    """Against exact rationals: sixteenths in, every center the nearest float."""
    found = answered({"Spacing": f"""
        Run   | Between      | Members   | Member width
        Slats | {between}/16 | {members} | {width}/16
    """})  # fmt: skip
    whole, one = Fraction(between, 16), Fraction(width, 16)
    gap = (whole - members * one) / (members + 1)
    exact = [gap * (place + 1) + one * place + one / 2 for place in range(members)]
    assert found.results.runs[0].centers == tuple(float(center) for center in exact)


def test_an_arc_of_76_by_half_an_inch_has_its_radius_and_offsets() -> None:
    """76^2 / 4 + 1/4 = 1444.25 (plane geometry)."""
    found = answered({"Shapes": """
        Shape | Kind       | Length | Rise | Stations
        Top   | arc        | 76     | 1/2  | 4
        Bent  | bent strip | 76     | 1/2  | 4
    """})  # fmt: skip
    assert found.column("Shapes", "radius") == [1444.25, None]
    arc, bent = found.results.shapes
    assert [station.place for station in arc.stations] == [0, 19, 38, 57, 76]
    assert arc.stations[1].offset == pytest.approx(0.37502, abs=5e-6)
    assert bent.stations[1].offset == pytest.approx(0.34375)
    assert "3/8 at 19, 1/2 at 38" in found.remarks("Shapes")[0]
    assert "up to 0.037" in found.remarks("Shapes")[0]
    assert "write that in Rise on Parts" in found.remarks("Shapes")[0]


def test_a_curve_whose_rise_stands_on_parts_asks_for_no_more_width() -> None:
    found = answered({
        "Shapes": "Shape | Kind | Length | Rise\nTop | arc | 76 | 1/2",
        "Parts": "Part | Species | Thickness | Width | Length | Rise\nTop rail | White oak | 7/8 | 3 | 76 | 1/2",
    })  # fmt: skip
    assert "Rise on Parts" not in found.remarks("Shapes")[0]


def test_a_taper_gives_angle_and_offset_of_each_face() -> None:
    """atan(0.75 / 24) and atan(0.375 / 24) (plane geometry)."""
    found = answered({"Shapes": """
        Shape | Kind            | Length | Rise  | Small end | Start | Stations
        One   | taper           | 29     | 1 3/4 | 1         | 5     | 2
        Two   | taper two faces | 29     | 1 3/4 | 1         | 5     | 2
    """})  # fmt: skip
    assert found.column("Shapes", "angle") == pytest.approx([1.78991, 0.89517], abs=5e-6)
    one, two = found.results.shapes
    assert [tuple(station[:2]) for station in one.stations] == [(5, 0), (17, 0.375), (29, 0.75)]
    assert two.offset == 0.375
    assert "from 5 to 29" in found.remarks("Shapes")[0]


def test_a_metric_arc_answers_in_millimeters() -> None:
    found = answered({"Job": METRIC, "Shapes": "Shape | Kind | Length | Rise\nTop | arc | 2000 | 20"})
    assert found.column("Shapes", "radius") == pytest.approx([25010.0])  # 2000^2 / 160 + 10


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("Top | arc | 76 | | | ", "shape-needs"),
        ("Top | arc | 76 | 40 | | ", "shape-rise"),
        ("Leg | taper | 29 | 1 3/4 | | ", "shape-needs"),
        ("Leg | taper | 29 | 1 | 1 | ", "shape-small-end"),
        ("Leg | taper | 29 | 2 | 1 | 29", "shape-start"),
    ],
)
def test_a_shape_that_cannot_be_is_an_error_with_its_cell(row: str, code: str) -> None:
    found = answered({"Shapes": f"Shape | Kind | Length | Rise | Small end | Start\n{row}"})
    assert found.codes == [code]
    assert found.problems[0].weight == "error"
    assert found.problems[0].cell


def test_the_tables_of_these_tests_are_read_without_a_problem() -> None:
    assert not take_in(
        pages({"Parts": "Part | Species | Thickness | Width | Length\nA | White oak | 1 | 1 | 9"})
    ).problems

"""Shapes: the worked answers, in the maker's unit."""

from __future__ import annotations

import pytest

from sheetkit.intake.workbook import take_in
from tests.jobs import pages
from tests.making.making_jobs import METRIC, answered


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

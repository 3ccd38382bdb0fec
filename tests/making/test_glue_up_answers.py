"""Glue-ups: time, clamps and amount. Trade figures are common practice, no source; amounts against pint."""

from __future__ import annotations

import pint
import pytest

from sheetkit.tables import rows
from tests.making.making_jobs import METRIC, Answered, answered

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
HEAD = "Step | Joints | Adhesive | Minutes a joint | Glue area | Across clamps | Along\n"


def glue(row: str, **more: str) -> Answered:
    return answered({"Glue-ups": HEAD + row, **more})


def test_a_frame_of_many_joints_is_split_or_glued_with_a_slow_adhesive() -> None:
    found = glue("Frame | 16 | PVA | 1 | | |")
    assert found.column("Glue-ups", "minutes_needed") == [16]
    assert found.column("Glue-ups", "open_time") == [5]
    assert found.codes == ["glue-late"]
    assert found.results.glue_ups[0].steps == (4, 4, 4, 4)
    assert found.results.glue_ups[0].would_do == ("slow epoxy",)
    assert "Split it into 4 steps of 4, 4, 4 and 4 joints; or use slow epoxy" in found.remarks("Glue-ups")[0]


def test_a_glue_up_within_the_open_time_is_left_alone() -> None:
    found = glue("Frame | 4 | PVA | 1 | | |")
    assert found.codes == []
    assert found.results.glue_ups[0].steps == (4,)


def test_when_not_even_one_joint_can_be_closed_other_kinds_are_named() -> None:
    found = glue("Frame | 2 | hot hide | 3 | | |")
    assert found.codes == ["glue-not-one"]
    assert "liquid hide glue" in found.remarks("Glue-ups")[0]


def test_an_assembly_of_eighty_inches_takes_clamps_over_eighty_joined_end_to_end() -> None:
    found = glue("Frame | 4 | PVA | 1 | | 80 |")
    assert found.column("Glue-ups", "clamp_length") == [84]  # 4 in of jaws
    assert found.codes == ["clamps-joined"]
    assert "Join two end to end" in found.remarks("Glue-ups")[0]
    assert glue("Frame | 4 | PVA | 1 | | 120 |").codes == ["clamps-too-short"]
    assert glue("Frame | 4 | PVA | 1 | | 46 |").codes == []


def test_clamps_stand_no_farther_apart_than_the_shop_allows() -> None:
    found = glue("Frame | 4 | PVA | 1 | | 20 | 36")
    assert found.column("Glue-ups", "clamps") == [5]  # 4 from each end, 28 between: 4 spaces of 7
    assert found.results.glue_ups[0].clamp_places == (4, 11, 18, 25, 32)


def test_the_amount_is_spread_rate_by_area_and_waste() -> None:
    """50 lb for 1000 ft2 (Wood Handbook ch. 10, from memory) and a fifth over; weight of a gallon by the table."""
    found = glue("Frame | 4 | PVA | 1 | 96 | |")
    gallon = next(float(row["density_lb_gal"]) for row in rows("adhesives") if row["kind"] == "PVA")
    weight = 96 * UNITS.inch**2 * (50 * UNITS.lb / (1000 * UNITS.ft**2)) * 1.2
    ounces = (weight / (gallon * UNITS.lb / UNITS.gallon)).to("US_fluid_ounce").magnitude
    assert found.column("Glue-ups", "adhesive_needed") == pytest.approx([ounces])


def test_the_metric_amount_is_in_milliliters_of_square_centimeters() -> None:
    metric = glue("Frame | 4 | PVA | 1 | 619.3536 | |", Job=METRIC).numbers("Glue-ups", "adhesive_needed")
    inches = glue("Frame | 4 | PVA | 1 | 96 | |").numbers("Glue-ups", "adhesive_needed")
    assert metric == pytest.approx([(inches[0] * UNITS("US_fluid_ounce")).to("ml").magnitude])


def test_a_step_named_like_an_edge_glued_part_knows_its_seams_and_alternates_clamps() -> None:
    found = glue(
        "Top | 2 | PVA | 1 | | 18 | 50",
        Parts="""
        Part | Qty | Species   | Thickness | Width | Length | Made as    | Plies
        Top  | 1   | White oak | 7/8       | 17    | 48     | edge-glued | 3
        """,
    )
    answer = found.results.glue_ups[0]
    blank = found.results.parts[0].blanks[0]
    assert answer.area == pytest.approx(2 * blank.length * blank.thickness)
    assert answer.alternate
    assert "above and below by turns" in found.remarks("Glue-ups")[0]
    force = blank.length * blank.thickness * 175  # psi for hardwood, by the table
    assert answer.clamps == max(7, -(-force // 1000))


def test_plies_are_pressed_on_their_faces() -> None:
    found = glue(
        "Leg plies | 4 | PVA | 1 | | 3 | 30",
        Parts="""
        Part | Qty | Species   | Thickness | Width | Length | Made as     | Plies
        Leg  | 4   | White oak | 2 1/4     | 2 1/4 | 29     | face-glued  | 2
        """,
    )
    blank = found.results.parts[0].blanks[0]
    assert found.results.glue_ups[0].area == pytest.approx(4 * blank.length * blank.width)
    assert not found.results.glue_ups[0].alternate


def test_the_area_of_a_frame_is_estimated_from_its_joints_and_says_so() -> None:
    found = glue(
        "Frame | 8 | PVA | 0.5 | | |",
        Joints="""
        Joint | Qty | Kind  | Into  | From | Thickness | Width | Depth into
        Rail  | 8   | tenon | Stile | Rail | 5/16      | 1 1/2 | 1 1/16
        """,
    )
    assert found.results.glue_ups[0].area == pytest.approx(8 * 2 * 1.5 * 1.0)
    assert "estimated from Joints" in found.remarks("Glue-ups")[0]


def test_a_step_without_joints_or_area_asks_for_them() -> None:
    remark = glue("Frame | | PVA | | | |").remarks("Glue-ups")[0]
    assert "Give Joints" in remark
    assert "Give Glue area" in remark


def test_epoxy_carries_its_caution() -> None:
    assert "allergy" in glue("Frame | 2 | slow epoxy | 1 | | |").remarks("Glue-ups")[0]

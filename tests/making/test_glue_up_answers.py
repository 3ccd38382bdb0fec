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


NAMED = """
    Joint | Qty | Kind   | Into  | From  | Thickness | Width | Depth into | At
    Top   | 4   | tenon  | Leg   | Rail  | 5/16      | 1 1/2 | 1 1/16     | 1/2
    Low   | 4   | tenon  | Leg   | Rail  | 5/16      | 1 1/2 | 1 1/16     | 20
    Wide  | 2   | tenon  | Stile | Apron | 5/16      | 3     | 1 1/16     | 1
"""
GOES = "Step | Joints | Goes | Adhesive | Minutes a joint | Along\n"


def goes(row: str, **more: str) -> Answered:
    return answered({"Glue-ups": GOES + row, **more})


def test_goes_share_the_joints_out_and_the_longest_counts() -> None:
    found = goes("Frames | 9 | 2 | PVA | 1 |")
    (frames,) = found.results.glue_ups
    assert (frames.steps, frames.goes, frames.minutes) == ((5, 4), 2, 5)
    assert found.codes == []
    late = goes("Frames | 16 | 2 | PVA | 1 |")
    assert late.codes == ["glue-late"]
    assert "Write 4 in Goes" in late.remarks("Glue-ups")[0]  # 16 joints, five in 5 minutes
    assert late.results.glue_ups[0].steps == (8, 8)
    fewer = goes("Frames | 14 | 2 | liquid hide glue | 1 1/2 |")
    assert "Write 3 in Goes" in fewer.remarks("Glue-ups")[0]  # 10 minutes are six joints: 5, 5 and 4
    # more goes than joints leave none empty
    assert goes("Frames | 2 | 4 | PVA | 1 |").results.glue_ups[0].steps == (1, 1)


def test_joints_may_be_named_and_their_own_area_is_counted() -> None:
    found = goes("Frames | Top; low | 2 | PVA | 1 |", Joints=NAMED)
    (frames,) = found.results.glue_ups
    assert (frames.joints, frames.steps) == (8, (4, 4))
    tops, lows, _ = found.results.joints
    assert tops.glue_area is not None
    assert lows.glue_area is not None
    assert frames.area == pytest.approx(4 * tops.glue_area + 4 * lows.glue_area)
    assert "Glue area of these joints" in found.remarks("Glue-ups")[0]
    other = goes("Aprons | Wide | | PVA | 1 |", Joints=NAMED).results
    assert other.glue_ups[0].area == pytest.approx(2 * (other.joints[2].glue_area or 0))


def test_clamps_stand_where_the_rails_are_when_the_joints_tell() -> None:
    """Eight joints close four rails, in two goes: two clamps each; at the middles 1/2 + 3/4 and 20 + 3/4 of the tenons."""
    found = goes("Frames | Top; Low | 2 | PVA | 1 | 30", Joints=NAMED)
    (frames,) = found.results.glue_ups
    assert frames.clamps == 2
    assert frames.clamp_places == (1.25, 20.75)
    assert (
        "4 clamps in all, along Rail: 1 1/4 and 20 3/4 from the end of Leg." in found.remarks("Glue-ups")[0]
    )
    # not told where: by number alone; joints by number: by spacing along the assembly
    unplaced = NAMED.replace("| 20\n", "|\n")
    assert goes("Frames | Top; Low | 1 | PVA | 1 |", Joints=unplaced).results.glue_ups[0].clamp_places == ()
    assert goes("Frames | 4 | 1 | PVA | 1 | 30", Joints=NAMED).results.glue_ups[0].clamps == 4


def test_a_wide_rail_takes_clamps_no_farther_apart_than_the_shop_allows() -> None:
    wide = """
        Part  | Qty | Species   | Thickness | Width | Length | Tenons
        Stile | 2   | White oak | 0.875     | 2.5   | 30     |
        Head  | 1   | White oak | 0.875     | 17    | 15     | 1
    """
    joints = "Joint | Qty | Kind | Into | From | Thickness | Width | Depth into\nHead | 2 | tenon | Stile | Head | 5/16 | 3 | 1 1/16"
    found = goes("Frame | head | | PVA | 1 |", Parts=wide, Joints=joints)
    assert found.results.glue_ups[0].clamps == 3  # 8 in apart: one each for 8, 8 and the inch over


def test_what_is_neither_a_number_nor_a_joint_is_told() -> None:
    found = goes("Frames | Tops | | PVA | 1 |", Joints=NAMED)
    assert [code for code in found.codes if "glue" in code] == ["glue-joint-unknown", "glues-what"]
    assert "names with ; between: Top" in found.remarks("Glue-ups")[0]
    assert "glue-joint-unknown" in goes("Frames | 0 | | PVA | 1 |", Joints=NAMED).codes


def test_wholes_that_are_in_clamps_together_need_clamps_each() -> None:
    legs = """
        Part | Qty | Species   | Thickness | Width | Length | Made as     | Plies
        Leg  | 4   | White oak | 2 1/4     | 2 1/4 | 29     | face-glued  | 2
    """
    head = "Step | Glues | Joints | Goes | Along\n"
    one = answered({"Glue-ups": f"{head}Leg plies | blanks | 4 | 4 | 30", "Parts": legs}).results.glue_ups[0]
    two = answered({"Glue-ups": f"{head}Leg plies | blanks | 4 | 2 | 30", "Parts": legs}).results.glue_ups[0]
    assert one.clamps is not None
    assert two.clamps == 2 * one.clamps
    assert one.of == "Leg"

"""Joints: lengths, stock, wood left and the checks. Trade figures are common practice, no source, unless named."""

from __future__ import annotations

import math

import pytest

from sheetkit.page import Cell
from tests.making.making_jobs import METRIC, Answered, answered


def joints(table: str, **more: str) -> Answered:
    return answered({"Joints": table, **more})


def test_a_loose_tenon_is_both_depths_less_a_glue_gap_each_and_its_stock_has_a_kerf_more_than_pieces() -> (
    None
):
    found = joints("""
        Joint | Qty | Kind        | Into  | From | Thickness | Width | Depth into | Depth from
        Corner | 8  | loose tenon | Stile | Rail | 5/16      | 1 1/2 | 1 1/4      | 1 1/4
    """)
    assert found.column("Joints", "tenon_length") == [2.375]
    assert found.column("Joints", "stock_length") == [8 * 2.375 + 9 / 8]
    assert found.results.tenon_stock[0].length == 8 * 2.375 + 9 / 8


def test_loose_tenons_of_one_section_are_milled_together() -> None:
    found = joints("""
        Joint | Qty | Kind        | Into  | From | Thickness | Width | Depth into | Depth from
        One   | 8   | loose tenon | Stile | Rail | 5/16      | 1 1/2 | 1 1/4      | 1 1/4
        Two   | 4   | loose tenon | Stile | Rail | 5/16      | 1 1/2 | 1          | 1
        Three | 4   | loose tenon | Stile | Rail | 1/4       | 1 1/2 | 1          | 1
    """)
    stock = found.results.tenon_stock
    assert [(each.thickness, each.count, each.joints) for each in stock] == [
        (0.3125, 12, ("One", "Two")),
        (0.25, 4, ("Three",)),
    ]
    assert stock[0].lengths == ((8, 2.375), (4, 1.875))
    assert stock[0].length == pytest.approx(8 * 2.375 + 4 * 1.875 + 13 / 8)


def test_a_tenon_stops_a_glue_gap_short_of_its_mortise_and_the_wall_is_the_least_wood_left() -> None:
    found = joints("""
        Joint | Qty | Kind  | Into | From  | Thickness | Width | Depth into | At
        Apron | 4   | tenon | Leg  | Apron | 1/4       | 1 1/2 | 1 1/16     | 1/2
    """)
    assert found.column("Joints", "tenon_length") == [1.0]
    assert found.column("Joints", "wall") == [min(1.75 - 1.0625, (1.75 - 0.25) / 2)]
    assert found.codes == []
    assert found.cells["Joints"][2]["stock_length"] == Cell()


def test_the_metric_job_answers_in_millimeters() -> None:
    found = joints(
        """
        Joint  | Qty | Kind        | Into | From | Thickness | Width | Depth into | Depth from
        Corner | 2   | loose tenon | Post | Bar  | 8         | 40    | 30         | 30
        """,
        Job=METRIC,
        Parts="""
        Part | Qty | Species      | Thickness | Width | Length
        Post | 2   | European oak | 45        | 45    | 700
        Bar  | 2   | European oak | 22        | 60    | 400
        """,
    )
    # the glue gap and kerf are the defaults of an Allowances tab that is not there: 1.5 and 3
    assert found.column("Joints", "tenon_length") == pytest.approx([60 - 2 * 1.5])
    assert found.column("Joints", "stock_length") == pytest.approx([2 * 57 + 3 * 3])
    assert found.column("Joints", "wall") == pytest.approx(
        [7.0]
    )  # beside the mortise in the bar: (22 - 8) / 2


def test_a_tenon_near_a_third_of_its_member_passes_and_thicker_and_thinner_ones_do_not() -> None:
    table = """
        Joint | Qty | Kind  | Into  | From | Thickness | Width | Depth into
        Rail  | 8   | tenon | Stile | Rail | {}        | 1     | 1 1/16
    """
    assert joints(table.format("5/16")).codes == []
    thick = joints(table.format("1/2"))
    assert thick.codes == ["tenon-thick"]
    assert "57 %" in thick.remarks("Joints")[0]
    assert joints(table.format("3/16")).codes == ["tenon-thin"]


def test_a_tenon_over_six_times_its_thickness_is_divided() -> None:
    found = joints("""
        Joint | Qty | Kind  | Into | From  | Thickness | Width | Depth into
        Apron | 4   | tenon | Leg  | Apron | 1/4       | 3 1/4 | 13/16
    """, Parts="""
        Part  | Qty | Species   | Thickness | Width | Length | Tenons
        Leg   | 4   | White oak | 1 3/4     | 1 3/4 | 29     |
        Apron | 2   | White oak | 3/4       | 4     | 40     | 3/4
    """)  # fmt: skip
    assert found.codes == ["tenon-wide"]
    assert "Divide it into 2 tenons of 1 1/2 with 1/4 between them." in found.remarks("Joints")[0]


def test_a_mortise_deeper_than_three_quarters_says_how_deep_it_may_be() -> None:
    found = joints("""
        Joint | Qty | Kind  | Into | From  | Thickness | Width | Depth into
        Apron | 4   | tenon | Leg  | Apron | 1/4       | 1 1/2 | 1 1/2
    """, Parts="""
        Part  | Qty | Species   | Thickness | Width | Length | Tenons
        Leg   | 4   | White oak | 1 3/4     | 1 3/4 | 29     |
        Apron | 2   | White oak | 3/4       | 4     | 40     | 1 7/16
    """)  # fmt: skip
    assert found.codes == ["mortise-deep"]
    assert "Go no deeper than 1 5/16" in found.remarks("Joints")[0]


def test_a_mortise_through_the_part_is_no_fault_and_its_tenon_has_no_gap() -> None:
    found = joints("""
        Joint | Qty | Kind  | Into | From  | Thickness | Width | Depth into
        Apron | 4   | tenon | Leg  | Apron | 1/4       | 1 1/2 | 1 3/4
    """, Parts="""
        Part  | Qty | Species   | Thickness | Width | Length | Tenons
        Leg   | 4   | White oak | 1 3/4     | 1 3/4 | 29     |
        Apron | 2   | White oak | 3/4       | 4     | 40     | 1 3/4
    """)  # fmt: skip
    assert found.codes == []
    assert found.column("Joints", "tenon_length") == [1.75]


def test_a_through_tenon_that_stands_out_is_as_long_as_parts_says() -> None:
    table = """
        Joint     | Qty | Kind  | Into | On   | From      | Thickness | Width | Depth into | At
        Stretcher | 2   | tenon | Foot | face | Stretcher | 3/8       | 1 1/2 | 1 1/4      | 12
    """
    parts = """
        Part      | Qty | Species   | Thickness | Width | Length | Tenons
        Foot      | 2   | White oak | 1 1/4     | 2 1/2 | 24     |
        Stretcher | 1   | White oak | 1 1/4     | 2 1/2 | 60     | {}
    """
    found = joints(table, Parts=parts.format("1 1/2"))
    assert found.codes == []
    # the blank has 60 + 2 x 1 1/2: shoulders cut 1 1/4 from its ends would stand 60 1/2 apart
    assert found.column("Joints", "tenon_length") == [1.5]
    assert (
        "Through tenon: no gap where there is no bottom; stands 1/4 out, as on Parts."
        in found.remarks("Joints")[0]
    )
    flush = joints(table, Parts=parts.format("1 1/4"))
    assert flush.column("Joints", "tenon_length") == [1.25]
    areas = [each.results.joints[0].glue_area for each in (found, flush)]
    assert areas[0] == areas[1], "what stands out is not glued"


def test_a_mortise_wider_than_its_part_breaks_out_at_the_side() -> None:
    found = joints("""
        Joint | Qty | Kind        | Into  | From | Thickness | Width | Depth into
        One   | 8   | loose tenon | Stile | Rail | 1         | 1 1/2 | 1
    """)
    assert "mortise-breaks-out" in found.codes


MEET = """
    Joint | Qty | Kind  | Into | From  | Thickness | Width | Depth into | At
    Long  | 4   | tenon | Leg  | Front | 1/2       | 2     | 1          | 1
    Short | 4   | tenon | Leg  | End   | 1/2       | 2     | 1          | {}
"""
LEGS = """
    Part  | Qty | Species   | Thickness | Width | Length | Tenons
    Leg   | 4   | White oak | 1 3/4     | 1 3/4 | 29     |
    Front | 2   | White oak | 1 1/4     | 3     | 40     | 15/16
    End   | 2   | White oak | 1 1/4     | 3     | 15     | 15/16
"""


def test_two_mortises_from_adjacent_faces_that_meet_are_told_by_how_much_with_ways_out() -> None:
    found = joints(MEET.format("2"), Parts=LEGS)
    assert found.codes == ["mortises-meet"]
    for remark in found.remarks("Joints"):
        assert "by 3/8 and 3/8" in remark
        assert "no deeper than 5/8" in remark
        assert "miter the ends of the tenons (45°)" in remark


def test_mortises_at_different_heights_do_not_meet() -> None:
    assert joints(MEET.format("3"), Parts=LEGS).codes == []


def test_one_row_that_fills_two_faces_of_every_leg_is_looked_at_too() -> None:
    found = joints("""
        Joint | Qty | Kind  | Into | From  | Thickness | Width | Depth into | At
        Rails | 8   | tenon | Leg  | Front | 1/2       | 2     | 1          | 1
    """, Parts=LEGS)  # fmt: skip
    assert found.codes == ["mortises-meet"]


def test_mortises_from_across_a_stile_that_meet_are_told() -> None:
    found = joints("""
        Joint | Qty | Kind        | Into  | From | Thickness | Width | Depth into | At
        Left  | 2   | loose tenon | Stile | Rail | 5/16      | 1 1/2 | 1 3/8      | 10
        Right | 2   | loose tenon | Stile | Rail | 5/16      | 1 1/2 | 1 3/8      | 11
    """)
    assert "mortises-opposite" in found.codes
    assert "meet by 1/4" in found.remarks("Joints")[0]


def test_a_groove_stops_before_the_mortises_and_says_where_to_lower_and_lift_the_cutter() -> None:
    found = joints(
        """
        Joint  | Qty | Kind   | Into  | From | Thickness | Width | Depth into | At
        Corner | 4   | tenon  | Stile | Rail | 5/16      | 1 7/8 | 1 1/16     | 1/2
        Groove | 2   | groove | Stile |      | 1/4       |       | 1/2        |
        """
    )
    assert found.codes == ["groove-meets"]
    (groove,) = found.results.joints[1].grooves
    assert groove[:4] == (0.0, 30.0, 0.0, 30.0)  # what was asked for stays: it runs through
    remark = found.remarks("Joints")[1]
    assert "1/2 to 2 3/8 and 27 5/8 to 29 1/2" in remark
    assert "Groove from 2 1/2 to 27 1/2: lower the cutter at 3 23/64 and lift it at 26 41/64" in remark
    assert "haunch 1/2 long" in remark


def test_a_stopped_groove_is_answered_by_its_pieces_and_that_is_no_warning() -> None:
    found = joints(
        """
        Joint  | Qty | Kind           | Into  | From | Thickness | Width | Depth into | At
        Corner | 4   | tenon          | Stile | Rail | 5/16      | 1 7/8 | 1 1/16     | 1/2
        Groove | 2   | stopped groove | Stile |      | 1/4       | 30    | 1/2        | 0
        """
    )
    assert found.codes == []
    (groove,) = found.results.joints[1].grooves
    reach = math.sqrt(1 - 0.5**2)  # half the chord that a cutter of 1 in radius cuts 1/2 in deep
    assert (groove.start, groove.stop) == (2.5, 27.5)  # 1/8 clear of the mortises at either end
    assert groove.lower_at == pytest.approx(2.5 + reach)
    assert groove.lift_at == pytest.approx(27.5 - reach)
    remark = found.remarks("Joints")[1]
    assert "Groove from 2 1/2 to 27 1/2: lower the cutter at 3 23/64 and lift it at 26 41/64" in remark


def test_a_groove_clear_of_mortises_runs_through() -> None:
    found = joints("""
        Joint  | Qty | Kind   | Into  | Thickness | Depth into
        Groove | 2   | groove | Stile | 1/4       | 1/2
    """)
    assert found.codes == []
    assert found.results.joints[0].grooves[0][:4] == (0.0, 30.0, 0.0, 30.0)


def test_a_stopped_groove_says_where_the_cutter_goes_in_and_out() -> None:
    found = joints("""
        Joint  | Qty | Kind           | Into  | Thickness | Width | Depth into | At
        Groove | 2   | stopped groove | Stile | 1/4       | 20    | 1/4        | 5
    """)
    reach = math.sqrt(1 - 0.75**2)
    (groove,) = found.results.joints[0].grooves
    assert (groove.start, groove.stop) == (5, 25)
    assert (groove.lower_at, groove.lift_at) == pytest.approx((5 + reach, 25 - reach))


def test_a_groove_deeper_than_the_cutters_radius_is_told() -> None:
    found = joints("""
        Joint  | Qty | Kind           | Into  | Thickness | Width | Depth into | At
        Groove | 2   | stopped groove | Stile | 1/4       | 20    | 1 1/4      | 5
    """)
    assert found.codes == ["groove-cutter"]


def test_a_part_whose_blank_has_no_room_for_its_tenons_is_told() -> None:
    found = joints("""
        Joint | Qty | Kind  | Into  | From  | Thickness | Width | Depth into
        One   | 2   | tenon | Rail  | Stile | 5/16      | 1 1/2 | 1 1/16
        Two   | 2   | tenon | Stile | Rail  | 5/16      | 1 1/2 | 13/16
        Three | 2   | tenon | Stile | Rail  | 5/16      | 1 1/2 | 1 5/16
    """)
    assert found.codes == ["tenon-not-on-parts", "tenon-too-long", "tenon-too-short"]
    assert "Write 1 in Tenons of Stile" in found.remarks("Joints")[0]


def test_a_name_that_no_part_bears_is_answered_with_near_ones() -> None:
    found = joints("""
        Joint | Qty | Kind  | Into  | From | Thickness | Width | Depth into
        One   | 2   | tenon | Style | Rail | 5/16      | 1 1/2 | 1 1/16
    """)
    assert found.codes == ["joint-part-unknown"]
    assert "Stile" in found.problems[0].instead
    assert (found.problems[0].row, found.problems[0].column) == (2, 4)
    assert found.column("Joints", "wall") == [None]


def test_dowels_are_spaced_over_the_joint_and_counted_in_the_stock() -> None:
    found = joints("""
        Joint  | Qty | Kind  | Into  | From | Thickness | Width | Depth into | Depth from | At
        Dowels | 4   | dowel | Stile | Rail | 3/8       | 2 5/8 | 1 1/16     | 1          | 1
    """)
    (answer,) = found.results.joints
    assert answer.pieces == 8
    assert answer.centers == (1.75, 2.875, 30 - 2.875, 30 - 1.75)
    assert found.column("Joints", "tenon_length") == [1.9375]
    assert found.column("Joints", "stock_length") == [8 * 1.9375 + 9 / 8]
    assert "tenon-not-wanted" in found.codes  # the rail's blank has room for tenons that nobody cuts


def test_a_deeper_hardware_step_lies_within_the_shallow_one_and_leaves_wood() -> None:
    table = """
        Joint | Qty | Kind     | Into | Thickness | Width | Depth into | At
        Plate | 4   | hardware | Leg  | 5/8       | 5     | 1/8        | 10
        Hooks | 4   | hardware | Leg  | 5/8       | {}    | {}         | 11
    """
    found = joints(table.format("1", "3/4"))
    assert found.codes == []
    assert found.results.joints[1].passes == (0.25, 0.5, 0.75)
    assert "3 passes: 1/4, 1/2, 3/4" in found.remarks("Joints")[1]
    assert joints(table.format("5", "3/4")).codes == ["recess-loose"]
    assert joints(table.format("1", "1 5/8")).codes == ["recess-wall"]


def test_recesses_beside_one_another_are_no_steps_of_one() -> None:
    """The second is 1 1/8 across from the edge, the first ends at 5/8; made 1 wide it reaches into the second."""
    table = """
        Joint  | Kind     | Into | On   | Thickness | Width | Depth into | At | Across
        Front  | hardware | Leg  | face | {}        | 5     | 1/8        | 10 | 1/4
        Behind | hardware | Leg  | face | 3/8       | 5     | 1/4        | 12 | 1 1/8
    """
    apart, stepped = joints(table.format("3/8")), joints(table.format("1"))
    assert apart.codes == []
    assert not any("shallow step" in remark for remark in apart.remarks("Joints"))
    assert all("(Front, Behind)" in remark for remark in stepped.remarks("Joints"))
    assert stepped.codes == ["recess-loose"]


def test_a_groove_that_panels_disagree_with_is_told() -> None:
    found = joints(
        """
        Joint  | Qty | Kind   | Into  | From | Thickness | Depth into
        Groove | 2   | groove | Stile | Door | 1/4       | 1/2
        """,
        Panels="""
        Panel | Species   | Opening width | Opening height | Groove depth sides | Groove width | Thickness
        Door  | White oak | 15            | 24             | 3/8                | 1/4          | 1/4
        """,
    )
    assert "groove-differs" in found.codes
    assert "3/8 deep" in found.remarks("Joints")[0]


@pytest.mark.parametrize("kind", ["tenon", "loose tenon", "dowel"])
def test_a_glue_gap_that_takes_up_the_depth_is_a_problem_and_no_crash(kind: str) -> None:
    found = joints(
        f"""
        Joint | Qty | Kind   | Into  | From | Thickness | Width | Depth into
        One   | 2   | {kind} | Stile | Rail | 5/16      | 1 1/2 | 1
        """,
        Allowances="Glue gap | 3",
    )
    assert "glue-gap-too-large" in found.codes
    assert found.column("Joints", "tenon_length") == [None]


RAILS = """
    Part  | Qty | Species   | Thickness | Width | Length | Tenons
    Rail  | 2   | White oak | 7/8       | 2 1/2 | 30     | {}
    Stile | 2   | White oak | 7/8       | 2 1/2 | 20     | 1
"""
MIRRORED = """
    Joint  | Qty | Kind   | Into | From  | Thickness | Width | Depth into | At
    Mullion | 4  | {}     | Rail | Stile | 5/16      | {}    | 1 1/16     | {}
    Groove | 2   | groove | Rail |       | 1/4       |       | 1/2        |
    Stopped | 2  | stopped groove | Rail | | 1/4     | 30    | 1/2        | 0
"""


@pytest.mark.parametrize("tenons", ["", "1", "1 + 0", "2 1/2 + 1/2"])
def test_two_mortises_one_near_each_end_are_mirrored_between_the_shoulders(tenons: str) -> None:
    found = joints(MIRRORED.format("tenon", "1 1/2", 3), Parts=RAILS.format(tenons))
    mortise, groove, stopped = found.results.joints
    assert mortise.spans == ((3.0, 4.5), (25.5, 27.0))
    assert [(run.start, run.stop) for run in groove.grooves] == [(0.0, 30.0)]
    # 1/8 clear of the mortises, from shoulder to shoulder
    assert [(run.start, run.stop) for run in stopped.grooves] == [
        (0.0, 2.875),
        (4.625, 25.375),
        (27.125, 30.0),
    ]
    zero = "shoulder" if tenons else "end"
    assert f"(3 to 4 1/2 and 25 1/2 to 27 from the {zero} of Rail)" in found.remarks("Joints")[1]
    assert ("from the shoulders" in found.remarks("Joints")[0]) == bool(tenons)
    marks = [(mark.at, mark.what) for mark in found.results.sticks[0].marks]
    assert (25.5, "Mullion: mortise begins") in marks
    assert (27.0, "Mullion: mortise ends") in marks
    shoulders = [mark for mark in marks if "shoulder" in mark[1]]
    assert shoulders == {"": [], "1 + 0": [(0.0, "shoulder")]}.get(
        tenons, [(0.0, "shoulder"), (30.0, "far shoulder")]
    )


FOUR_LEGS = """
    Part  | Qty | Species   | Thickness | Width | Length | Tenons
    Leg   | 4   | White oak | 2         | 2     | 30     |
    Rail  | 2   | White oak | 3/4       | 3     | 24     | 1
"""
TWICE = """
    Joint | Qty | Kind  | Into | On   | Pieces | From | Thickness | Width | Depth into | At
    Rails | {}  | tenon | Leg  | edge | {}     | Rail | 1/4       | 1 1/2 | 1 1/16     | {}
"""


def test_two_on_each_of_the_pieces_named_are_mirrored_too() -> None:
    found = joints(TWICE.format(4, "3-4", 2), Parts=FOUR_LEGS)
    assert found.codes == []
    # 30 - 2 - 1 1/2 is 26 1/2
    assert found.results.joints[0].spans == ((2.0, 3.5), (26.5, 28.0))
    assert sum(len(each.pieces) for each in found.results.joints[0].cavities) == 4


@pytest.mark.parametrize(("qty", "pieces", "made"), [(8, "", 4), (4, "3-4", 2)])
def test_a_second_place_that_is_missing_is_told_where_no_mirror_gives_it(
    qty: int, pieces: str, made: int
) -> None:
    found = joints(TWICE.format(qty, pieces, 12), Parts=FOUR_LEGS)
    assert found.codes == ["joint-count"]
    assert f"Qty says {qty}, but On, Pieces and At make {made}" in found.remarks("Joints")[0]
    assert found.results.joints[0].pieces == made, "as many tenons as there are mortises"


def test_dowels_as_wide_as_the_part_that_enters_are_mirrored_between_the_shoulders() -> None:
    found = joints("""
        Joint | Qty | Kind  | Into | From  | Thickness | Width | Depth into | Depth from | At
        Stile | 4   | dowel | Rail | Stile | 5/16      |       | 1          | 1          | 3
    """, Parts=RAILS.format(1))  # fmt: skip
    (answer,) = found.results.joints
    assert answer.spans == ((3.0, 5.5), (24.5, 27.0))
    half = len(answer.centers) // 2
    assert answer.centers[half:] == pytest.approx([30 - center for center in reversed(answer.centers[:half])])


@pytest.mark.parametrize("kind", ["tenon", "loose tenon", "dowel"])
def test_what_lies_past_the_shoulder_is_told_and_not_marked(kind: str) -> None:
    found = joints(MIRRORED.format(kind, "1 1/2", 29), Parts=RAILS.format(1))
    told = next(problem for problem in found.problems if problem.code == "past-the-end")
    assert (told.row, told.column, told.stands) == (2, 9, "29")
    assert (
        told.says
        == "It would run from 29 to 30 1/2, but Rail ends at 30, its far shoulder: no place is marked."
    )
    assert told.instead.startswith(
        "Write an At of 28 1/2 or less, or less in Width. At counts from the shoulder"
    )
    assert found.results.joints[0].spans == ()
    assert found.results.joints[0].centers == ()
    stick = next(stick for stick in found.results.sticks if stick.names == ("Rail (2), edge",))
    assert max(mark.at for mark in stick.marks) == 30
    assert "past-the-end" not in joints(MIRRORED.format(kind, "1 1/2", "28 1/2"), Parts=RAILS.format(1)).codes


def test_a_mortise_longer_than_its_part_and_a_groove_past_the_shoulder_say_what_would_do() -> None:
    grooves = """
        Joint  | Qty | Kind           | Into | Thickness | Width | Depth into | At
        Groove | 2   | stopped groove | Rail | 1/4       | {}    | 1/2        | {}
    """
    for width, at, way in (
        ("20", 11, "Write an At of 10 or less, or less in Width."),
        ("31", 0, "Write a Width of 30 or less."),
        ("", 16, "Write an At below 15, or fill in Width."),
    ):
        found = joints(grooves.format(width, at), Parts=RAILS.format(1))
        assert found.codes == ["past-the-end"]
        assert found.problems[0].instead.startswith(way)
        assert found.results.sticks == ()


def test_a_groove_through_a_part_with_tenons_is_measured_from_shoulder_to_shoulder() -> None:
    table = """
        Joint  | Qty | Kind   | Into | Thickness | Depth into
        Groove | 2   | groove | Rail | 1/4       | 1/2
    """
    found = joints(table, Parts=RAILS.format(1))
    assert found.results.joints[0].grooves[0][:4] == (0.0, 30.0, 0.0, 30.0)
    assert (
        "Measured from the shoulder of Rail; the groove runs out over the tenons too"
        in found.remarks("Joints")[0]
    )
    assert "shoulder" not in joints(table, Parts=RAILS.format("")).remarks("Joints")[0]


@pytest.mark.parametrize(
    ("kind", "into", "long"),
    [
        # common practice, no source: 1/16 at the bottom of each mortise, none where it has no bottom
        ("tenon", "1", 1 - 1 / 16),
        ("loose tenon", "1", 1 + 3 / 4 - 2 / 16),
        ("dowel", "1", 1 + 3 / 4 - 2 / 16),
        ("tenon", "1 3/4", 1.75),
        ("loose tenon", "1 3/4", 1.75 + 3 / 4 - 1 / 16),
        ("dowel", "1 3/4", 1.75 + 3 / 4 - 1 / 16),
    ],
)
def test_every_mortise_with_a_bottom_has_one_glue_gap(kind: str, into: str, long: float) -> None:
    found = joints(f"""
        Joint | Qty | Kind   | Into | From  | Thickness | Width | Depth into | Depth from
        One   | 4   | {kind} | Leg  | Apron | 1/4       | 1 1/2 | {into}     | 3/4
    """)
    assert found.column("Joints", "tenon_length") == [long]
    assert ("no gap where there is no bottom" in found.remarks("Joints")[0]) == (into == "1 3/4")


def test_a_glue_gap_that_takes_up_one_of_two_mortises_is_told_at_its_cell() -> None:
    found = joints(
        """
        Joint | Qty | Kind        | Into  | From | Thickness | Width | Depth into | Depth from
        One   | 2   | loose tenon | Stile | Rail | 5/16      | 1 1/2 | 1          | 1/16
        """
    )
    told = next(problem for problem in found.problems if problem.code == "glue-gap-too-large")
    assert (told.row, told.column) == (2, 9)


PEGGED = """
    Joint | Qty | Kind     | Into | On       | From | Thickness | Width | Depth into | At | Across
    Rails | 4   | tenon    | Leg  | face     | Rail | 3/8       | 2     | 1 1/16     | 1  | 1 1/4
    Pegs  | 4   | hardware | Leg  | far edge | Peg  | 3/8       | 3/8   | {}         | {} | 1/2
"""


@pytest.mark.parametrize(
    ("deep", "at", "when", "codes"),
    [
        # the tenon stands 3/8 to 3/4 from the far edge, 1 to 3 from the end: a peg of 1 1/4 goes through it
        ("1 1/4", "2", "after assembly", []),
        ("1 1/4", "2", "", ["mortises-meet"]),
        ("1/2", "2", "after assembly", ["mortises-meet"]),
        ("1 1/4", "2 3/4", "after assembly", ["mortises-meet"]),
    ],
)
def test_a_peg_that_goes_right_through_a_tenon_is_no_fault(
    deep: str, at: str, when: str, codes: list[str]
) -> None:
    parts = f"""
        Part  | Qty | Species   | Thickness | Width | Length | Tenons | When
        Leg   | 4   | White oak | 2         | 2     | 30     |        |
        Rail  | 2   | White oak | 7/8       | 3     | 24     | 1      |
        Peg   | 4   | White oak | 3/8       | 3/8   | 1 1/2  |        | {when}
    """
    found = joints(PEGGED.format(deep, at), Parts=parts)
    assert [code for code in found.codes if "meet" in code] == codes
    told = "Pegs Rails: the hole goes right through its tenon." in found.remarks("Joints")[1]
    assert told == (not codes)

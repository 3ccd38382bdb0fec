"""Where a joint sits: surfaces, pieces, places, runs. Worked by hand: geometry, no source."""

from __future__ import annotations

import pytest

from sheetkit.records.joinery import Cavity
from sheetkit.records.work import Cutting, JointCut
from tests.making.making_jobs import Answered, answered

PARTS = """
    Part      | Qty | Species   | Thickness | Width | Length | Tenons
    Leg       | 4   | White oak | 3         | 3     | 16     |
    Rail      | 2   | White oak | 1 1/2     | 5     | 60     |
    Partition | 4   | White oak | 3/4       | 2 1/2 | 12     |
    Bottom    | 1   | White oak | 3/4       | 14    | 60     |
    Side      | 2   | White oak | 3/4       | 14    | 30     |
"""
RUNS = """
    Run        | Between | Members | Member width
    Partitions | 60      | 4       | 2 1/2
"""


def joints(table: str, **more: str) -> Answered:
    return answered({"Parts": PARTS, "Spacing": RUNS, "Joints": table, **more})


def cavities(found: Answered, row: int = 0) -> tuple[Cavity, ...]:
    return found.results.joints[row].cavities


def test_a_joint_at_a_run_is_centered_on_every_member() -> None:
    found = joints("""
        Joint   | Kind        | Into | On   | From      | Thickness | Width | Depth into | At
        Uprights | loose tenon | Rail | edge | Partition | 3/8      | 1 1/2 | 1          | Partitions
    """)
    assert found.codes == []
    run = found.results.runs[0]
    assert [near for near, _ in run.sides] == [10, 22.5, 35, 47.5]
    assert [cavity.along[0] for cavity in cavities(found)] == [10.5, 23, 35.5, 48]
    assert {cavity.along[1] - cavity.along[0] for cavity in cavities(found)} == {1.5}
    assert found.results.joints[0].qty == 8  # four on each of two rails, told by the run
    assert found.results.joints[0].pieces == 8


def test_a_row_serves_several_parts_surfaces_and_places() -> None:
    found = joints("""
        Joint  | Kind        | Into      | On              | From      | Thickness | Width | Depth into | At
        Shelf  | loose tenon | Rail; Leg | edge; far edge  | Partition | 3/8       | 1     | 3/4        | 2; 10 1/2
    """)
    (answer,) = found.results.joints
    assert answer.qty == 2 * 2 * (2 + 4)
    assert [(each.part.part, each.surface, each.along[0]) for each in answer.cavities] == [
        (part, surface, at) for part in ("Rail", "Leg") for surface in ("edge", "far edge") for at in (2, 10.5)
    ]  # fmt: skip
    far = next(each for each in answer.cavities if (each.part.part, each.surface) == ("Rail", "far edge"))
    assert far.box == ((2, 3), (5 - 0.75, 5), (0.5625, 0.9375))


def test_pieces_say_which_have_it_and_by_qty_the_first_are_taken() -> None:
    found = joints("""
        Joint | Qty | Kind     | Into | On   | Pieces | Thickness | Width | Depth into | At
        Front | 2   | hardware | Leg  | face | 1-2    | 1/2       | 1     | 1/4        | 3
        Back  |     | hardware | Leg  | face | 3; 4   | 1/2       | 1     | 1/4        | 5
        Third | 2   | hardware | Leg  | back |        | 1/2       | 1     | 1/4        | 5
    """)
    assert found.codes == []
    assert [answer.cavities[0].pieces for answer in found.results.joints] == [(1, 2), (3, 4), (1, 2)]
    assert [answer.qty for answer in found.results.joints] == [2, 2, 2]
    assert "Taken as on 1-2 of the 4 pieces of Leg" in found.remarks("Joints")[2]


@pytest.mark.parametrize(
    ("row", "code", "words"),
    [
        ("Front | 3 | hardware | Leg | face | 1-2 | 1/2 | 1 | 1/4 | 3 |", "joint-count", "make 2: 1 on each of 2 pieces"),
        ("Front | | hardware | Leg | face | 5 | 1/2 | 1 | 1/4 | 3 |", "piece-beyond", "has only 4 pieces, but Pieces says 5"),
        ("Front | | hardware | Leg | face | | 1/2 | 1 | 1/4 | Slats |", "joint-run-unknown", "one of: Partitions"),
        ("Front | | hardware | Leg | face | | 1/2 | 1 | 1/4 | 3 | 2 3/4", "across-beyond", "its face is 3 across"),
        ("Front | | hardware | Leg | end | | 1/2 | 1 | 1/4 | 2 1/2 |", "past-the-end", "On an end At counts from the edge"),
    ],
)  # fmt: skip
def test_what_disagrees_about_a_place_is_said(row: str, code: str, words: str) -> None:
    head = "Joint | Qty | Kind | Into | On | Pieces | Thickness | Width | Depth into | At | Across"
    found = joints(f"{head}\n{row}")
    assert found.codes == [code]
    assert words in found.remarks("Joints")[0]


def test_hardware_in_the_end_grain_lies_across_the_end_and_never_along_the_edge() -> None:
    found = joints("""
        Joint | Qty | Kind     | Into | On           | Thickness | Width | Depth into | At | Across
        Hook  | 4   | hardware | Rail | end; far end | 5/8       | 4     | 1/2        |    | 1/4
    """)
    assert found.codes == []
    near, far = cavities(found)
    assert near.box == ((0, 0.5), (0.5, 4.5), (0.25, 0.875))  # in the middle of 5, from the face as typed
    assert far.box == ((59.5, 60), (0.5, 4.5), (0.25, 0.875))
    stick = found.results.sticks[0]
    assert stick.names == ("Rail (2), end", "Rail (2), far end")
    assert stick.section == (5, 1.5)
    assert stick.length == 5


def test_dowels_of_a_partition_lie_across_a_case_bottom() -> None:
    found = joints("""
        Joint   | Kind  | Into   | On   | From      | Thickness | Width | Depth into | Depth from | At         | Lies
        Upright | dowel | Bottom | face | Partition | 3/8       | 2 1/2 | 1/2        | 1          | Partitions | across
    """)
    answer = found.results.joints[0]
    assert (answer.qty, answer.pieces) == (4, 8)
    first, second = answer.cavities[:2]
    # centers 3/4 from either side of 2 1/2, in the middle of 14; the member's center is 11 1/4
    assert first.box == ((11.0625, 11.4375), (6.5 - 0.1875, 6.5 + 0.1875), (0, 0.5))
    assert second.box[1] == (7.5 - 0.1875, 7.5 + 0.1875)
    assert {cavity.box[0] for cavity in answer.cavities[:2]} == {first.box[0]}


def test_a_dado_crosses_its_part_at_every_place() -> None:
    found = joints("""
        Joint | Kind           | Into | On   | Thickness | Width | Depth into | At    | Across | Lies
        Shelf | groove         | Side | face | 3/4       |       | 1/4        | 8; 20 |        | across
        Blind | stopped groove | Side | back | 3/4       | 12    | 1/4        | 8     | 1      | across
    """)
    assert found.codes == []
    through, stopped = found.results.joints
    assert [each.box for each in through.cavities] == [
        ((at, at + 0.75), (0, 14), (0, 0.25)) for at in (8, 20)
    ]
    assert stopped.cavities[0].box == ((8, 8.75), (1, 13), (0.5, 0.75))
    assert [(run.start, run.stop) for run in stopped.grooves] == [(1, 13)]
    assert joints("""
        Joint | Kind   | Into | On   | Thickness | Depth into | Lies
        Shelf | groove | Side | face | 3/4       | 1/4        | across
    """).codes == ["dado-needs-at"]  # fmt: skip


def test_a_groove_that_breaks_into_the_mortise_in_its_own_end_is_told() -> None:
    found = joints("""
        Joint  | Qty | Kind        | Into | On   | From | Thickness | Width | Depth into | Depth from | At
        Corner | 4   | loose tenon | Leg  | face | Rail | 3/8       | 4 3/4 | 1 1/2      | 1 1/2      | 1
        Groove | 2   | groove      | Rail | edge |      | 1/4       |       | 1/2        |            |
    """)
    corner, groove = found.results.joints
    assert [cavity.box for cavity in corner.far] == [
        ((0, 1.5), (0.125, 4.875), (0.5625, 0.9375)),
        ((58.5, 60), (0.125, 4.875), (0.5625, 0.9375)),
    ]
    # 1/8 is left to the edge, the groove is 1/2 deep: it meets the mortise by 3/8 over 1 1/2 from either end
    assert "groove-meets" in found.codes
    assert "(0 to 1 1/2 and 58 1/2 to 60 from the end of Rail)" in found.remarks("Joints")[1]
    assert groove.grooves[0][:2] == (0, 60)
    stopped = joints("""
        Joint  | Qty | Kind           | Into | On   | From | Thickness | Width | Depth into | Depth from | At
        Corner | 4   | loose tenon    | Leg  | face | Rail | 3/8       | 4     | 1 1/2      | 1 1/2      | 1
        Groove | 2   | stopped groove | Rail | edge |      | 1/4       | 60    | 3/4        |            | 0
        Clear  | 2   | groove         | Rail | far edge |  | 1/4       |       | 1/2        |            |
    """)
    assert "groove-meets" not in stopped.codes  # 1/2 is left to either edge: a groove 1/2 deep only touches
    assert [(run.start, run.stop) for run in stopped.results.joints[1].grooves] == [(1.625, 58.375)]


def test_a_hinge_on_the_outer_edge_never_stops_the_groove_in_the_inner_one() -> None:
    table = """
        Joint  | Qty | Kind     | Into | On   | Thickness | Width | Depth into | At
        Hinge  | 4   | hardware | Rail | {}   | 1         | 2     | 1/8        | 4
        Groove | 2   | groove   | Rail | edge | 1/4       |       | 1/2        |
    """
    assert joints(table.format("far edge")).codes == []
    assert joints(table.format("edge    ")).codes == ["groove-meets"]


def test_two_mortises_in_adjacent_faces_of_a_leg_meet_by_their_boxes() -> None:
    table = """
        Joint | Kind        | Into | On   | Pieces | From | Thickness | Width | Depth into | Depth from | At
        Front | loose tenon | Leg  | face |        | Rail | 1/2       | 4     | 1 1/2      | 1          | 1
        Side  | loose tenon | Leg  | edge | {}     | Side | 1/2       | 4     | {}         | 1          | {}
    """
    found = joints(table.format("", "1 1/2", "1"))
    front, side = found.results.joints
    assert front.cavities[0].box == ((1, 5), (1.25, 1.75), (0, 1.5))
    assert side.cavities[0].box == ((1, 5), (0, 1.5), (1.25, 1.75))
    # each reaches 1 1/2 deep, the other begins 1 1/4 in: a square of 1/4
    assert "mortises-meet" in found.codes
    assert "meet: by 1/4 and 1/4" in found.remarks("Joints")[0]
    assert "no deeper than 1 1/4" in found.remarks("Joints")[1]
    for apart in (table.format("", "1 1/2", "6"), table.format("", "1 1/8", "1")):
        assert "mortises-meet" not in joints(apart).codes


def test_what_is_on_different_pieces_never_meets() -> None:
    table = """
        Joint | Kind        | Into | On   | Pieces | From | Thickness | Width | Depth into | Depth from | At
        Front | loose tenon | Leg  | face | 1-2    | Rail | 1/2       | 4     | 1 1/2      | 1          | 1
        Side  | loose tenon | Leg  | edge | {}     | Side | 1/2       | 4     | 1 1/2      | 1          | 1
    """
    assert "mortises-meet" not in joints(table.format("3-4")).codes
    said = joints(table.format("2-3"))
    assert "mortises-meet" in said.codes
    assert "piece 2" in said.remarks("Joints")[0]


def test_mortises_from_opposite_faces_and_on_one_face_are_told_apart() -> None:
    table = """
        Joint | Qty | Kind     | Into | On   | Thickness | Width | Depth into | At
        One   | 4   | hardware | Leg  | face | 1/2       | 2     | 1 3/4      | 3
        Other | 4   | {}       | Leg  | {}   | 1/2       | 2     | 1 1/2      | 4
    """
    across = joints(table.format("hardware", "back"))
    assert across.codes == ["mortises-opposite"]
    assert "meet by 1/4" in across.remarks("Joints")[0]
    same = joints(table.format("loose tenon", "face"))
    assert same.codes == ["cuts-meet"]
    remark = same.remarks("Joints")[0]
    assert (
        "One (face, 3 to 5 from the end, 1 3/4 deep) and Other (face, 4 to 6 from the end, 1 1/2 deep)"
        in remark
    )
    assert "share 1 x 1/2 x 1 1/2" in remark


def test_what_passes_too_closely_is_told_with_the_wood_between() -> None:
    found = joints("""
        Joint | Qty | Kind     | Into | On   | Thickness | Width | Depth into | At | Across
        One   | 4   | hardware | Leg  | face | 1/2       | 2     | 1          | 3  | 1/2
        Other | 4   | hardware | Leg  | edge | 1/2       | 2     | 7/16       | 3  | 1/4
    """)
    assert found.codes == ["cuts-close"]
    assert "only 1/16 stands between" in found.remarks("Joints")[1]


def test_a_groove_over_the_tenons_of_its_own_part_says_what_it_takes_off() -> None:
    table = """
        Joint  | Qty | Kind   | Into | On   | From | Thickness | Width | Depth into | At
        Corner | 4   | tenon  | Leg  | face | Rail | 3/8       | {}    | 1 1/16     | 1
        Groove | 2   | groove | Rail | edge |      | 1/4       |       | 1/2        |
    """
    parts = PARTS.replace("| 5     | 60     |", "| 5     | 60     | 1")
    found = joints(table.format("4 1/2"), Parts=parts)
    assert "tenon-grooved" in found.codes
    # 1/4 stands between edge and tenon, the groove is 1/2 deep
    assert "takes 1/4 off its width: 4 1/4 of 4 1/2 would be left" in found.remarks("Joints")[1]
    assert "tenon-grooved" not in joints(table.format("4"), Parts=parts).codes


def test_tapers_curves_and_rounded_edges_take_wood_from_joints() -> None:
    parts = """
        Part  | Qty | Species   | Thickness | Width | Length | Round-over
        Leg   | 4   | White oak | 3         | 3     | 16     |
        Apron | 2   | White oak | 3/4       | 4     | 40     |
        Post  | 1   | White oak | 2         | 2     | 20     | 1/2
    """
    table = """
        Joint  | Qty | Kind           | Into  | On       | Thickness | Width | Depth into | At | Across
        Rail   | 4   | hardware       | Leg   | face     | 1/2       | 5     | 1          | {} |
        Slot   | 2   | hardware       | Apron | far edge | 1/4       | 2     | 1/2        | 19 |
        Inlay  | 1   | groove         | Post  | face     | 1/4       |       | 1/4        |    | {}
    """
    shapes = """
        Shape | Kind  | Length | Rise | Small end | Start | Part
        Taper | taper | 16     | 3    | 2         | 4     | Leg
        Arch  | arc   | 36     | 1    |           |       | Apron
    """
    found = joints(table.format(1, "3/8"), Parts=parts, Shapes=shapes)
    assert sorted(found.codes) == ["curve-reaches", "round-over-reaches", "taper-takes"]
    leg, apron, post = found.remarks("Joints")
    # 1 in over 12 from 4 on: at 6 it has taken 1/6, 11/64 nearest
    assert "11/64 is gone at 6 from the large end, and 53/64 of the depth is left" in leg
    assert "takes up to 1 off an edge" in apron
    assert "only 3/8 stands between it and the corner" in post
    assert joints(table.format("0", "1/2"), Parts=parts, Shapes=shapes.replace("| 4     | Leg", "| 5     | Leg")
                  .replace("| 1    |", "| 1/64 |")).codes == ["curve-reaches"]  # fmt: skip


def test_a_shape_that_disagrees_with_its_part_is_told() -> None:
    found = joints("Joint | Kind | Thickness | Depth into", Shapes="""
        Shape | Kind  | Length | Rise | Small end | Start | Part
        One   | taper | 16     | 2    | 1         | 4     | Leg
        Two   | taper | 18     | 3    | 2         | 4     | Leg
        Three | taper | 16     | 3    | 2         | 4     | Lag
    """)  # fmt: skip
    assert found.codes == ["shape-large-end", "shape-longer", "shape-part-unknown"]


@pytest.mark.parametrize(
    ("rise", "own", "codes"),
    [("2 1/2", "2 1/2", []), ("3 1/4", "2 1/2", ["shape-rise-part"]), ("3 1/2", "", []), ("4 1/4", "", ["shape-rise-part"])],
)  # fmt: skip
def test_a_curve_that_rises_beyond_the_wood_kept_for_it_is_told(
    rise: str, own: str, codes: list[str]
) -> None:
    """A crest above a rail 4 wide, by its Rise on Parts; without one an arch within its width."""
    parts = f"Part | Species | Thickness | Width | Length | Rise\nRail | White oak | 1 | 4 | 60 | {own}"
    shapes = f"Shape | Kind | Length | Rise | Part\nCrest | arc | 60 | {rise} | Rail"
    found = joints("Joint | Kind | Thickness | Depth into", Parts=parts, Shapes=shapes)
    assert found.codes == codes


def test_left_and_right_pieces_are_said_to_be_a_pair() -> None:
    found = joints("""
        Joint | Kind     | Into | On       | Pieces | Thickness | Width | Depth into | At
        Front | hardware | Leg  | face     |        | 1/2       | 4     | 1/2        | 1
        Left  | hardware | Leg  | edge     | 1; 3   | 1/2       | 3     | 1/2        | 2
        Right | hardware | Leg  | far edge | 2; 4   | 1/2       | 3     | 1/2        | 2
    """)
    names = [stick.names for stick in found.results.sticks]
    assert ("Leg, pieces 1 and 3, edge",) in names
    assert ("Leg, pieces 2 and 4, far edge",) in names
    notes = {stick.names[0]: stick.note for stick in found.results.sticks}
    assert "Left and right of pieces 2 and 4: hold them side by side" in notes["Leg, pieces 1 and 3, edge"]


def test_loose_tenons_are_milled_from_a_left_over_where_one_serves_else_from_the_rack() -> None:
    table = """
        Joint  | Qty | Kind        | Into | From | Thickness | Width | Depth into | Depth from | At
        Corner | 4   | loose tenon | Leg  | Rail | 3/8       | 4     | 1          | 1          | 1
    """
    boards = """
        Board | Species   | Stock | Width | Length
        A     | White oak | 8/4   | 6     | 150
        B     | White oak | 4/4   | {}    | 60
    """
    parts = """
        Part | Qty | Species   | Thickness | Width | Length
        Leg  | 1   | White oak | 3/4       | 5     | 16
        Rail | 2   | White oak | 1 1/2     | 5     | 60
    """
    found = joints(table, Parts=parts, Boards=boards.format(6))
    (stock,) = found.results.tenon_stock
    assert stock.edge_radius == 3 / 16
    # 4 of 1 7/8 and 5 kerfs are 8 1/8: one strip; 4 wide and 1/4 for milling, from what the leg leaves of B
    source = stock.source
    assert source is not None
    assert (source.board, source.left_over, source.strips, source.strip_width) == ("B", True, 1, 4.25)
    # 4 1/4 and 3 1/4, each with 1/4 to straighten and 1/8 between, are 7 7/8 of its 9
    more = (
        "        Middle | 2   | loose tenon | Leg  | Rail | 3/8       | 3     | 1          | 1          | 8\n"
    )
    both = joints(table + more, Parts=parts, Boards=boards.format(9)).results.tenon_stock
    assert [each.source and (each.source.board, each.source.strip_width) for each in both] == [
        ("B", 4.25),
        ("B", 3.25),
    ]
    narrow = joints(table, Parts=parts.replace("| 5     | 16", "| 2     | 16"), Boards=boards.format(3))
    (stock,) = narrow.results.tenon_stock
    assert stock.source is None or stock.source.board == "A"  # 3 is too narrow for a strip of 4 1/4


def test_hardware_as_long_as_it_is_wide_is_a_hole_marked_by_its_center_and_bored_in_one_go() -> None:
    found = joints("""
        Joint | Kind     | Into | On   | Thickness | Width | Depth into | At
        Pin   | hardware | Leg  | face | 1/4       | 1/4   | 3/8        | 3; 5
        Plate | hardware | Leg  | face | 1/4       | 1     | 3/8        | 8
    """)
    pin, plate = found.results.joints
    assert (pin.passes, plate.passes) == ((), (3 / 16, 3 / 8))
    said = found.remarks("Joints")
    assert "Rout" not in said[0]
    assert "Rout it in 2 passes" in said[1]
    (stick,) = (each for each in found.results.sticks if "Leg" in each.names[0])
    assert [(mark.at, mark.what) for mark in stick.marks if "Pin" in mark.what] == [
        (3.125, "Pin: center of the hole"),
        (5.125, "Pin: center of the hole"),
    ]
    cuts = [line for step in found.results.work for line in step.lines if isinstance(line, JointCut)]
    assert [(cut.cutting, len(cut.places)) for cut in cuts] == [(Cutting.HOLE, 2), (Cutting.RECESS, 1)]


@pytest.mark.parametrize(
    ("begins", "long", "qty", "said"),
    [("1", "10", 2, True), ("1", "11", 2, True), ("1", "10", 4, False), ("", "", 2, False)],
)
def test_sides_between_which_shelves_stand_are_a_left_and_a_right(
    begins: str, long: str, qty: int, said: bool
) -> None:
    """A dado right across is the same on both hands, one stopped at the front is not; a shelf has two ends."""
    parts = (
        "Part | Qty | Species | Thickness | Width | Length\n"
        f"Side | 2 | White oak | 3/4 | 12 1/2 | 80\nShelf | {qty} | White oak | 3/4 | 11 | 34"
    )
    joints = (
        "Joint | Kind | Into | On | From | Thickness | Width | Depth into | At | Across | Lies\n"
        f"Dado | {'stopped ' if begins else ''}groove | Side | face | Shelf | 3/4 | {long} | 3/8 | 4; 30 | {begins} | across"
    )
    [stick] = [
        stick
        for stick in answered({"Parts": parts, "Joints": joints}).results.sticks
        if "Side" in stick.names[0]
    ]
    assert ("Half are left and half right" in stick.note) == said


def test_a_run_of_pin_holes_alone_has_no_stick_beside_that_of_the_side_they_are_bored_in() -> None:
    """A member's sides and center are the hole's; a run of shelves tells more than their dados."""
    spacing = """
        Run     | Between | Member width | Gaps
        Pins    | 30      | 1/4          | 9; 2; 2; rest
        Shelves | 30      | 1            | 4; rest; 4
    """
    found = joints(
        """
        Joint | Kind     | Into | On   | Thickness | Width | Depth into | At      | Across | Lies
        Front | hardware | Side | face | 1/4       | 1/4   | 3/8        | Pins    | 2      |
        Dado  | groove   | Side | face | 3/4       |       | 3/8        | Shelves |        | across
        """,
        Spacing=spacing,
    )
    names = [name for stick in found.results.sticks for name in stick.names]
    assert names == ["Side (2), face", "Shelves"]


def test_a_shelf_wider_than_its_stopped_dado_is_notched_by_the_difference() -> None:
    parts = (
        PARTS
        + "    Shelf  | 1 | White oak | 3/4 | 12 | 30 |\n    Runner | 2 | White oak | 3/4 | 1 1/4 | 10 |\n"
    )
    found = joints(
        """
        Joint   | Kind           | Into | On   | From   | Thickness | Width  | Depth into | At | Across | Lies
        Shelf   | stopped groove | Side | face | Shelf  | 3/4       | 11 1/4 | 3/8        | 4  | 3/4    | across
        Runners | stopped groove | Side | face | Runner | 3/4       | 10     | 1/4        | 12 | 1      | across
        """,
        Parts=parts,
    )
    shelf, runner = found.remarks("Joints")
    assert "Shelf is 12 wide, its groove 11 1/4 long: notch its ends by 3/4, 3/8 deep" in shelf
    assert "notch" not in runner

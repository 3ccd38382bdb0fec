"""Lines of the shop sheet for the bench: one line a machine setting."""

from __future__ import annotations

from sheetkit.records.joinery import RunAnswer
from sheetkit.records.tasks import Caution, Task
from sheetkit.records.work import (
    Coat,
    GlueSession,
    JointCut,
    Line,
    Ready,
    Spread,
)
from sheetkit.tabs.draft import Measure
from sheetkit.tabs.shop_lines import ShopLine, shop_line, spread_words
from sheetkit.tabs.shop_sheet import shop_sheet_page
from tests.making.making_jobs import Answered, answered

UNTICKED = (Spread, Ready)
JOINTS = """
    Joint  | Qty | Kind        | Into  | From  | Thickness | Width | Depth into | Depth from | At
    Top    | 4   | tenon       | Stile | Rail  | 5/16      | 1 1/2 | 1 1/16     |            | 1/2
    Low    | 4   | tenon       | Leg   | Apron | 5/16      | 1 3/4 | 1 1/16     |            | 1/2
    Loose  | 6   | loose tenon | Leg   | Rail  | 1/4       | 1 1/2 | 1          | 1 1/4      | 20
    Groove | 2   | stopped groove | Stile |    | 1/4       | 20    | 1/2        |            | 5
    Dowels | 2   | dowel       | Stile | Rail  | 3/8       | 2 5/8 | 1          | 1          |
"""


def lines_of(found: Answered, *tasks: Task) -> list[tuple[Line, ShopLine]]:
    """Give the lines of some steps, with their words."""
    measure = Measure.of(found.results.job.sheet)
    steps = [step for step in found.results.work if step.task in tasks]
    shown = [(line, step.task) for step in steps for line in step.lines if not isinstance(line, UNTICKED)]
    return [(line, shop_line(line, task, measure)) for line, task in shown]


def cuts_of(found: Answered) -> list[tuple[JointCut, ShopLine]]:
    return [(line, words) for line, words in lines_of(found, Task.JOINTS) if isinstance(line, JointCut)]


def places_of(cut: JointCut) -> list[tuple[int, str, float | None, float | None]]:
    return [(place.count, place.part, place.begin, place.end) for place in cut.places]


def test_mortises_of_one_width_and_depth_are_one_setting_with_a_table_of_places() -> None:
    found = answered({"Joints": JOINTS})
    cuts = cuts_of(found)
    assert [(words.setting, words.note) for _, words in cuts] == [
        ("mortise 5/16 wide, 1 1/16 deep", ""),
        ("mortise 1/4 wide, 1 deep", ""),
        ("mortise 1/4 wide, 1 1/4 deep", "for the other end"),
        ("bore 3/8, 1 deep", ""),
        ("bore 3/8, 1 deep", "for the other end"),
        ("groove 1/4 wide, 1/2 deep", "stopped: lower and lift at the marks"),
        ("tenon 5/16 thick, 1 long", ""),
    ]
    # the stiles are 30 in long, the legs 29: the long before the short; two in each stile, alike from both ends
    assert places_of(cuts[0][0]) == [
        (2, "Stile", 0.5, 2.0),
        (2, "Stile", 28.0, 29.5),
        (4, "Leg", 0.5, 2.25),
    ]
    # in the middle of the end: (2 5/8 - 1 1/2) / 2 from the edge
    assert places_of(cuts[2][0]) == [(6, "Rail", 0.5625, 2.0625)]
    # a tenon takes one end, nothing tells which
    assert [place.surface for place in cuts[2][0].places] == ["other end"]
    assert {place.depth for place in cuts[0][0].places} == {1.0625}
    # five to the groove's end at 25; no place of the dowels is told
    assert places_of(cuts[5][0]) == [(2, "Stile", 5.0, 25.0)]
    assert places_of(cuts[3][0]) == [(4, "Stile", None, None)]


def test_an_end_is_called_as_marks_call_it_only_where_both_are_bored() -> None:
    """A side is dowelled at its top alone, and its marks may count from the foot."""
    parts = "Part | Qty | Species | Thickness | Width | Length\nTop | 1 | White oak | 3/4 | 13 | 38\nSide | 2 | White oak | 3/4 | 12 | 80"
    dowels = (
        "Joint | Kind | Into | From | On | Lies | Thickness | Depth into | Depth from | At\n"
        "Dowels | dowel | Top | Side | back | across | 3/8 | 1/2 | 1 | {}"
    )
    called = {
        at: {
            place.surface
            for cut, _ in cuts_of(answered({"Parts": parts, "Joints": dowels.format(at)}))
            for place in cut.places
            if place.part == "Side"
        }
        for at in ("1; 36", "1; 10; 20; 36")
    }
    assert called == {"1; 36": {"one end"}, "1; 10; 20; 36": {"end", "far end"}}


def test_dowels_that_are_placed_stand_one_by_one_with_their_centers() -> None:
    found = answered({"Joints": JOINTS.replace("| 1          |\n", "| 1          | 4\n")})
    bored = next(line for line, words in cuts_of(found) if words.setting.startswith("bore"))
    answer = found.results.joints[-1]
    assert [((place.begin or 0) + (place.end or 0)) / 2 for place in bored.places] == list(answer.centers)
    assert sum(place.count for place in bored.places) == answer.pieces


def test_recesses_are_told_with_their_passes() -> None:
    found = answered({"Joints": """
        Joint | Qty | Kind     | Into  | Thickness | Width | Depth into | At
        Lock  | 1   | hardware | Stile | 3/4       | 4     | 1          | 12
        Hinge | 2   | hardware | Leg   | 1/2       | 3     | 1/8        | 2
    """})  # fmt: skip
    (lock, lock_words), (hinge, _) = cuts_of(found)
    assert places_of(lock) == [(1, "Stile", 12.0, 16.0)]
    assert places_of(hinge) == [(2, "Leg", 2.0, 5.0)]
    assert "passes" in lock_words.note


def test_a_place_names_its_pieces_and_surface_and_how_far_in_it_stands() -> None:
    found = answered({"Joints": """
        Joint | Qty | Kind     | Into  | On       | Pieces | Thickness | Width | Depth into | At | Across
        Hinge |     | hardware | Leg   | far edge | 1; 3-4 | 1/2       | 3     | 1/8        | 2  | 1/4
        Catch |     | hardware | Leg   | face     |        | 1/2       | 3     | 1/8        | 20 |
    """})  # fmt: skip
    ((cut, _),) = cuts_of(found)
    hinge = next(place for place in cut.places if place.joint == "Hinge")
    assert (hinge.part, hinge.pieces, hinge.surface, hinge.count) == ("Leg", "1, 3-4", "far edge", 3)
    assert (hinge.begin, hinge.end, hinge.across, hinge.depth) == (2.0, 5.0, (0.25, 0.75), 0.125)
    catch = next(place for place in cut.places if place.joint == "Catch")
    assert (catch.pieces, catch.count, catch.across) == ("", 4, (0.625, 1.125))
    page = shop_sheet_page(found.results, "")
    row = next(
        row for (row, column), cell in page.cells.items() if column == 3 and cell.value == "Leg, 1, 3-4"
    )
    shown = [page.cells[row, column].value for column in (2, 4, 5, 6, 7)]
    assert shown == [3, "far edge", "2", "5", "Hinge; 1/4 from the face"]


def test_a_part_thicker_than_the_groove_that_takes_its_ends_has_them_thinned() -> None:
    parts = """
        Part  | Qty | Species   | Thickness | Width | Length | Tenons
        Side  | 2   | White oak | 3/4       | 11    | 30     |
        Floor | 2   | White oak | 3/4       | 11    | 24     | 3/8
        Shelf | 1   | White oak | 3/4       | 10    | 24     | 3/8
    """
    joints = """
        Joint | Kind   | Into | From  | Thickness | Depth into | Lies   | At
        Floor | groove | Side | Floor | 3/8       | 3/8        | across | 1; 28
        Shelf | groove | Side | Shelf | 3/4       | 3/8        | across | 14
    """
    cuts = cuts_of(answered({"Parts": parts, "Joints": joints}))
    tongues = [(words.setting, cut) for cut, words in cuts if words.setting.startswith("tenon")]
    # the floors' two ends each; the shelf stands in its groove as thick as it is
    ((setting, cut),) = tongues
    assert setting == "tenon 3/8 thick, 3/8 long"
    assert [(place.count, place.part, place.size) for place in cut.places] == [(4, "Floor", 11)]


def test_a_stopped_groove_for_a_panel_is_carried_on_where_its_corner_reaches() -> None:
    """The panel of 12 - 1/16 in an opening of 11 reaches 15/32 past it; the groove stops short of a mortise there."""
    found = answered({
        "Panels": """
            Panel | Qty | Species   | Opening width | Opening height | Groove depth sides | Groove width | Thickness
            Field | 1   | White oak | 11            | 19             | 1/2                | 1/4          | 1/4
        """,
        "Joints": """
            Joint  | Qty | Kind           | Into  | From  | Width | At
            Field  | 2   | stopped groove | Stile | Field | 20    | 5
        """,
    })  # fmt: skip
    ((cut, words),) = cuts_of(found)
    assert cut.for_panel
    assert words.note.endswith("carry it on by chisel where the corner of a panel reaches past a stop")


CASE_SIDE = """
    Part | Qty | Species   | Thickness | Width | Length
    Side | 2   | White oak | 3/4       | 12    | 30
"""


def shown_below(found: Answered, part: str) -> list[list[object]]:
    """Give the places of a part as they stand on the page, from its surface on."""
    cells = shop_sheet_page(found.results, "").cells
    rows = [row for (row, column), cell in cells.items() if column == 3 and cell.value == part]
    return [[cells[row, column].value for column in (2, 4, 5, 6, 7)] for row in rows]


def test_a_dado_stands_at_its_place_along_the_part_with_what_it_crosses_beside() -> None:
    found = answered({"Parts": CASE_SIDE, "Joints": """
        Joint  | Kind           | Into | On   | Thickness | Width | Depth into | At    | Across | Lies
        Shelf  | groove         | Side | face | 3/4       |       | 1/4        | 8; 20 |        | across
        Runner | stopped groove | Side | face | 3/4       | 10    | 1/4        | 14    | 1      | across
    """})  # fmt: skip
    ((cut, _),) = cuts_of(found)
    assert [(place.begin, place.end, place.across, place.joint) for place in cut.places] == [
        (8.0, 8.75, None, "Shelf"),
        (20.0, 20.75, None, "Shelf"),
        (14.0, 14.75, (1.0, 11.0), "Runner"),
    ]
    assert shown_below(found, "Side") == [
        [2, "face", "8", "8 3/4", "Shelf; right across"],
        [2, "face", "20", "20 3/4", "Shelf; right across"],
        [2, "face", "14", "14 3/4", "Runner; across, 1 to 11 from the edge"],
    ]


def test_three_holes_or_more_in_a_row_are_one_line_if_its_steps_tell_each_of_them() -> None:
    found = answered({"Parts": CASE_SIDE, "Joints": """
        Joint  | Kind     | Into | On   | Thickness | Width | Depth into | At                         | Across
        Pins   | hardware | Side | face | 1/4       | 1/4   | 3/8        | 5 7/8; 7 1/8; 8 3/8; 9 5/8 | 1 3/8
        Two    | hardware | Side | face | 1/4       | 1/4   | 3/8        | 15; 18                     | 1 3/8
        Uneven | hardware | Side | face | 1/4       | 1/4   | 3/8        | 20; 21; 23                 | 1 3/8
        Thirds | hardware | Side | face | 1/4       | 1/4   | 3/8        | 24; 24 63/64; 25 31/32     | 1 3/8
    """})  # fmt: skip
    ((cut, _),) = cuts_of(found)
    assert [(place.joint, place.holes, place.apart, place.count) for place in cut.places] == [
        ("Pins", 4, 1.25, 8),
        *[("Two", 1, 0.0, 2)] * 2,
        *[("Uneven", 1, 0.0, 2)] * 3,
        *[("Thirds", 1, 0.0, 2)] * 3,  # 63/64 is no step of 1/32
    ]
    assert shown_below(found, "Side")[0] == [
        *(8, "face", "6", "9 3/4"),
        "Pins; 4 holes, 1 1/4 apart; 1 1/2 from the edge",
    ]


def test_a_run_of_holes_for_hardware_is_nothing_to_try_dry() -> None:
    found = answered({
        "Parts": CASE_SIDE,
        "Spacing": """
            Run     | Between | Members | Member width
            Pins    | 30      | 3       | 1/4
            Shelves | 30      | 3       | 3/4
        """,
        "Joints": """
            Joint | Kind     | Into | On   | Thickness | Width | Depth into | At      | Lies
            Pin   | hardware | Side | face | 1/4       | 1/4   | 3/8        | Pins    |
            Shelf | groove   | Side | back | 3/4       |       | 1/4        | Shelves | across
        """,
    })  # fmt: skip
    tried = [words for line, words in lines_of(found, Task.DRY_ASSEMBLY) if isinstance(line, RunAnswer)]
    assert [line.what for line in tried] == ["Shelves"]


def test_tenon_stock_says_its_whole_length_and_how_many_of_each() -> None:
    found = answered({"Joints": JOINTS})
    tenons, dowels = [words for _, words in lines_of(found, Task.JOINTS)][-2:]
    assert (tenons.qty, tenons.setting) == (6, "tenon stock 1/4 x 1 1/2")
    assert tenons.what == "Loose: 6 at 2 1/8"
    assert "13 5/8 in all, kerfs included" in tenons.note  # 6 x 2 1/8 + 7 x 1/8
    (step,) = (step for step in found.results.work if step.task is Task.JOINTS)
    assert Caution.SHORT in step.cautions
    assert (dowels.qty, dowels.setting) == (4, "dowel 3/8")


def test_a_glue_up_that_must_be_split_has_a_line_for_each_step() -> None:
    found = answered({"Glue-ups": """
        Step  | Joints | Adhesive | Glue area | Across clamps | Along
        Frame | 9      | PVA      | 96        | 60            | 30
    """})  # fmt: skip
    lines = [words for line, words in lines_of(found, Task.ASSEMBLY) if isinstance(line, GlueSession)]
    assert [line.what for line in lines] == ["Frame, go 1 of 2: 5 joints", "Frame, go 2 of 2: 4 joints"]
    assert (lines[0].setting, lines[0].note.split(";")[0]) == ("PVA", "4 clamps, two joined to 64 long")
    assert [line.note.split("; ")[-1] for line in lines] == ["5 min", "4 min"]
    whole = found.results.glue_ups[0].fluid_ounces
    assert whole is not None
    assert [
        f"{whole * joints / 9:.1f} fl oz" in line.note for joints, line in zip((5, 4), lines, strict=True)
    ] == [True, True]


def test_an_adhesive_is_told_once_with_its_minutes_spread_and_hours() -> None:
    found = answered({"Glue-ups": """
        Step  | Joints | Adhesive    | Minutes a joint
        One   | 4      | PVA         | 1
        Two   | 4      | PVA         | 1
        Three | 4      | liquid hide glue | 1
    """})  # fmt: skip
    (step,) = (step for step in found.results.work if step.task is Task.ASSEMBLY)
    told = [line.answer for line in step.lines if isinstance(line, Spread)]
    assert [answer.glue_up.adhesive for answer in told] == ["PVA", "liquid hide glue"]
    measure = Measure.of(found.results.job.sheet)
    assert spread_words(told[0], measure) == (
        "PVA: together within 5 min, the last clamp within 10; spread 30 to 50 lb/1000 ft2; 1 h in clamps, "
        "a day before it is stressed. The label rules."
    )


def test_finish_lines_carry_day_amount_and_cautions() -> None:
    found = answered({"Finish": """
        Step | Product     | Coats | Grit | Hours to next
        Sand |             |       | 180  |
        Oil  | hardwax oil | 2     |      | 24
    """})  # fmt: skip
    ((_, sand),) = lines_of(found, Task.SAND)
    assert sand.setting == "grit 180"
    first, second, ready = (
        line for step in found.results.work if step.task is Task.FINISH_AFTER for line in step.lines
    )
    assert isinstance(first, Coat)
    assert isinstance(second, Coat)
    # an hour of sanding, and 24 h after the first coat's hour
    assert (first.day, second.day, ready) == (1, 2, Ready(3, delivery=True))
    measure = Measure.of(found.results.job.sheet)
    oil, again = (shop_line(coat, Task.FINISH_AFTER, measure) for coat in (first, second))
    assert (oil.qty, oil.setting, oil.what) == (None, "hardwax oil", "Oil: all parts, coat 1 of 2")
    assert oil.note.startswith("have ")
    assert again.note == ""
    assert "fire" in oil.cautions[0]


def test_shapes_dry_assembly_and_members_to_look_at_again_have_lines() -> None:
    found = answered({
        "Joints": JOINTS,
        "Spacing": "Run | Between | Members | Member width\nSlats | 36 | 5 | 3/4",
        "Shapes": "Shape | Kind | Length | Rise | Small end\nTop | arc | 76 | 1/2 |\nLeg | taper | 29 | 2 | 1",
        "Loads": "Member | Species | Thickness | Width | Span | Load\nShelf | Red oak | 1/2 | 10 | 36 | 80",
    })  # fmt: skip
    arc, taper = [words for _, words in lines_of(found, Task.SHAPES)][-2:]
    assert arc.setting == "curve: radius 1444 1/4, 1/2 rise"
    assert taper.setting == "taper 1.97°, 1 off at the end"
    dry = [words for _, words in lines_of(found, Task.DRY_ASSEMBLY)]
    assert dry[-2] == ShopLine(5, "gap 5 3/8", "Slats", "by the marks from one end")
    assert [line.note for line in dry[:4]] == ["4 joints", "4 joints", "6 joints", "2 joints"]
    ((_, look),) = lines_of(found, Task.CHECK)
    assert look.setting == "Shelf"
    assert look.what.startswith("Shelf would sag")
    assert look.note == ""

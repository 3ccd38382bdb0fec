"""Lines of the shop sheet for the bench: one line a machine setting."""

from __future__ import annotations

from sheetkit.records.work import JointCut, Line, Task
from sheetkit.tabs.draft import Measure
from sheetkit.tabs.shop_lines import ShopLine, shop_line
from tests.making.making_jobs import Answered, answered

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
    return [(line, shop_line(line, step.task, measure)) for step in steps for line in step.lines]


def joints_of(found: Answered) -> list[ShopLine]:
    lines = lines_of(found, Task.JOINTS, Task.JOINTS_AND_SHAPES)
    return [words for line, words in lines if isinstance(line, JointCut)]


def test_mortises_of_one_width_and_depth_are_one_line() -> None:
    found = answered({"Joints": JOINTS})
    lines = joints_of(found)
    assert [(line.setting, line.what) for line in lines] == [
        ("mortise 5/16 wide, 1 1/16 deep", "4 mortises in Stile; 4 mortises in Leg"),
        ("mortise 1/4 wide, 1 deep", "6 mortises in Leg"),
        ("mortise 1/4 wide, 1 1/4 deep, for the other end", "6 mortises in Rail"),
        ("bore 3/8, 1 deep", "4 dowel holes in Stile"),
        ("bore 3/8, 1 deep, for the other end", "4 dowel holes in Rail"),
        ("groove 1/4 wide, 1/2 deep", "2 grooves in Stile"),
        ("tenon 5/16 thick, 1 long", "4 tenons on Rail; 4 tenons on Apron"),
    ]
    assert {line.qty for line in lines} == {None}
    assert "Low: 1 3/4 long, from 1/2" in lines[0].note
    assert "clamp a stop" in lines[5].caution


def test_a_single_joint_is_told_in_the_singular_and_recesses_with_their_passes() -> None:
    found = answered({"Joints": """
        Joint | Qty | Kind     | Into  | Thickness | Width | Depth into | At
        Lock  | 1   | hardware | Stile | 3/4       | 4     | 1          | 12
        Hinge | 2   | hardware | Leg   | 1/2       | 3     | 1/8        | 2
    """})  # fmt: skip
    lock, hinge = joints_of(found)
    assert lock.what == "1 recess in Stile"
    assert hinge.what == "2 recesses in Leg"
    assert "passes" in lock.note
    assert lock.note.startswith("Lock: 4 long")


def test_tenon_stock_says_its_whole_length_and_how_many_of_each() -> None:
    found = answered({"Joints": JOINTS})
    tenons, dowels = [words for _, words in lines_of(found, Task.JOINTS)][-2:]
    assert (tenons.qty, tenons.setting) == (6, "tenon stock 1/4 x 1 1/2")
    assert tenons.what == "Loose: 6 at 2 1/8"
    assert "13 5/8 in all, kerfs included" in tenons.note  # 6 x 2 1/8 + 7 x 1/8
    assert "cut to length" in tenons.caution
    assert (dowels.qty, dowels.setting) == (4, "dowel 3/8")


def test_a_glue_up_that_must_be_split_has_a_line_for_each_step() -> None:
    found = answered({"Glue-ups": """
        Step  | Joints | Adhesive | Glue area | Across clamps | Along
        Frame | 9      | PVA      | 96        | 60            | 30
    """})  # fmt: skip
    lines = [words for _, words in lines_of(found, Task.ASSEMBLY)]
    assert [line.what for line in lines] == ["Frame, 1 of 2: 5 joints", "Frame, 2 of 2: 4 joints"]
    assert lines[0].setting == "PVA, 4 clamps, two joined to 64 long"
    assert "5 min open" in lines[0].note
    whole = found.results.glue_ups[0].fluid_ounces
    assert whole is not None
    assert [
        f"{whole * joints / 9:.1f} fl oz" in line.note for joints, line in zip((5, 4), lines, strict=True)
    ] == [True, True]


def test_finish_lines_carry_day_amount_and_cautions() -> None:
    found = answered({"Finish": """
        Step | Product     | Coats | Grit | Hours to next
        Sand |             |       | 180  |
        Oil  | hardwax oil | 2     |      | 24
    """})  # fmt: skip
    sand, oil = (words for _, words in lines_of(found, Task.FINISH_AFTER))
    assert sand.setting == "sand, grit 180"
    assert "dust" in sand.caution
    assert (oil.qty, oil.setting) == (None, "hardwax oil")
    assert oil.note.startswith("day 1, 2 coats, ")
    assert oil.note.endswith("ready on day 3")
    assert "fire" in oil.caution


def test_shapes_dry_assembly_and_members_to_look_at_again_have_lines() -> None:
    found = answered({
        "Joints": JOINTS,
        "Spacing": "Run | Between | Members | Member width\nSlats | 36 | 5 | 3/4",
        "Shapes": "Shape | Kind | Length | Rise | Small end\nTop | arc | 76 | 1/2 |\nLeg | taper | 29 | 2 | 1",
        "Loads": "Member | Species | Thickness | Width | Span | Load\nShelf | Red oak | 1/2 | 10 | 36 | 80",
    })  # fmt: skip
    arc, taper = [words for _, words in lines_of(found, Task.JOINTS_AND_SHAPES)][-2:]
    assert arc.setting == "curve: radius 1444 1/4, 1/2 rise"
    assert taper.setting == "taper 1.97°, 1 off at the end"
    dry = [words for _, words in lines_of(found, Task.DRY_ASSEMBLY)]
    assert dry[-2] == ShopLine(5, "gap 5 3/8", "Slats", "by the marks from one end")
    assert [line.note.split(";")[0] for line in dry[:4]] == ["4 joints", "4 joints", "6 joints", "2 joints"]
    ((_, look),) = lines_of(found, Task.CHECK)
    assert look.setting == "Shelf"
    assert look.what.startswith("Shelf would sag")
    assert look.note == ""

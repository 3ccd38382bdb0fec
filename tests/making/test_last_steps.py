"""The first and the last steps of the work: what is bought, small pieces, tops, fittings, delivery. Sums by hand."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.records.joinery import RunAnswer
from sheetkit.records.tasks import Caution, Task
from sheetkit.records.work import (
    Carried,
    Fitting,
    FromBoard,
    InHand,
    Line,
    LoosePart,
    Noted,
    RoughCut,
    Sanding,
    Setting,
    Step,
    ToBuy,
    TopFixing,
)
from sheetkit.tabs.draft import Measure
from sheetkit.tabs.shop_lines import shop_line
from sheetkit.tabs.shop_sheet import shop_sheet_page
from tests.jobs import pages
from tests.making.making_jobs import answered
from tests.there import there

TABLE = """
    Part   | Qty | Species   | Thickness | Width | Length | Tenons | Made as    | Note
    Leg    | 4   | White oak | 1.75      | 1.75  | 29     |        | solid      | mark the front ones
    Apron  | 2   | White oak | 0.75      | 4     | 40     | 1      | solid      |
    Rail   | 2   | White oak | 0.75      | 4     | 20     | 1      | solid      |
    Top    | 1   | White oak | 0.875     | 26    | 50     |        | edge-glued |
    Cleat  | 2   | White oak | 0.75      | 2     | 18     |        | solid      |
"""
JOINTS = """
    Joint  | Qty | Kind  | Into | From  | Thickness | Width | Depth into | At
    Aprons | 4   | tenon | Leg  | Apron | 3/8       | 3     | 1 1/16     | 1/2
    Rails  | 4   | tenon | Leg  | Rail  | 3/8       | 3     | 1 1/16     | 1/2
"""


def made(**tables: str) -> Answers:
    # no prices: the usual thicknesses are there
    intake = take_in(pages({"Prices": "", **tables}))
    assert not intake.problems, intake.problems
    return answer(intake.job, 0.2)


def step(answers: Answers, task: Task) -> Step:
    return next((each for each in answers.work if each.task is task), Step(task, ()))


def lines(answers: Answers, task: Task) -> tuple[Line, ...]:
    return step(answers, task).lines


def test_a_wide_part_that_no_joint_holds_is_a_top_with_slots_and_its_fasteners() -> None:
    extras = """
        Item      | Qty | Fit to     | When
        Clip      | 10  | top        |
        Pad       | 4   | Leg        |
        Pencil    | 1   | Top        | at delivery
    """
    found = made(Parts=TABLE, Joints=JOINTS, Extras=extras)
    (top,) = lines(found, Task.TOP)
    assert isinstance(top, TopFixing)
    assert top.part == "Top"
    assert [extra.item for extra in top.fasteners] == ["Clip"]
    # white oak, flat: 0.00365 for each per cent; 26 in from 7 to 11 % and from 7 to 6 %, half to each side
    out, back = 26 * 0.00365 * 4 / 2, 26 * 0.00365 * 1 / 2
    step_up = 1 / 32
    assert top.moves.out == pytest.approx(out, abs=step_up)
    assert top.moves.out >= out - 1e-9
    assert top.moves.back == pytest.approx(back, abs=step_up)
    assert top.moves.slot == pytest.approx(2 * out + 3 / 16, abs=2 * step_up)
    assert top.moves.slot_far == pytest.approx(4 * out + 3 / 16, abs=2 * step_up)
    fitted = [line.extra.item for line in lines(found, Task.FIT) if isinstance(line, Fitting)]
    assert fitted == ["Pad"]
    assert [line.extra.item for line in lines(found, Task.DELIVERY) if isinstance(line, Fitting)] == [
        "Pencil"
    ]
    loose = [line.pieces.name for line in lines(found, Task.FIT) if isinstance(line, LoosePart)]
    assert loose == ["Cleat"]  # the top has a step of its own


def test_a_wide_part_that_goes_along_loose_is_no_top() -> None:
    parts = TABLE.replace("| Note", "| When | Note").replace("edge-glued |", "edge-glued | at delivery |")
    found = made(Parts=parts.replace("solid      |", "solid | |"), Joints=JOINTS)
    assert lines(found, Task.TOP) == ()
    loose = [line.pieces.name for line in lines(found, Task.DELIVERY) if isinstance(line, LoosePart)]
    assert loose == ["Top"]


def test_a_wide_part_in_a_joint_is_no_top() -> None:
    side = "Part | Qty | Species | Thickness | Width | Length\nSide | 2 | White oak | 3/4 | 12 | 40\nShelf | 2 | White oak | 3/4 | 12 | 30"
    dado = "Joint | Qty | Kind | Into | From | Thickness | Depth into | Lies | At\nDado | 4 | groove | Side | Shelf | 3/4 | 1/4 | across | 10; 20"
    assert lines(made(Parts=side, Joints=dado), Task.TOP) == ()


BATTENS = "Battens | 2 | stopped groove | Top | Batten | 2 | 18 | 1/4 | 12; 36 | across"
ENDS = "Ends | 2 | tenon | End cleat | Top | 1/4 | 24 | 1 1/16 | 1 | along"


@pytest.mark.parametrize("own", [BATTENS, ENDS])
def test_a_top_with_battens_or_end_cleats_of_its_own_is_fixed_with_slots_all_the_same(own: str) -> None:
    parts = TABLE.replace("26    | 50     |  ", "26    | 50     | 1") + (
        "Batten | 2 | White oak | 1 | 2 | 18 | | solid |\n    End cleat | 2 | White oak | 7/8 | 3 | 26 | | solid |"
    )
    heads = "Joint  | Qty | Kind  | Into | From  | Thickness | Width | Depth into | At | Lies\n"
    rows = heads + "\n".join(JOINTS.strip().splitlines()[1:]) + "\n" + own
    (top,) = lines(made(Parts=parts, Joints=rows), Task.TOP)
    assert isinstance(top, TopFixing)
    assert top.part == "Top"
    # held to the frame by a joint it is part of the frame
    tied = rows + "\nDowels | 4 | dowel | Top | Leg | 3/8 | | 1/2 | | "
    assert lines(made(Parts=parts, Joints=tied), Task.TOP) == ()


def test_parts_that_grooves_and_recesses_hold_are_tried_dry_and_unlike_gaps_told_as_such() -> None:
    parts = """
        Part  | Qty | Species   | Thickness | Width | Length | Tenons | When
        Leg   | 4   | White oak | 2         | 2     | 16     |        |
        Rail  | 2   | White oak | 7/8       | 2 1/2 | 40     | 1      |
        Slat  | 4   | White oak | 5/8       | 4     | 10     |        |
        Peg   | 8   | White oak | 3/8       | 3/8   | 2      |        | after assembly
    """
    joints = """
        Joint  | Qty | Kind     | Into | On   | From | Thickness | Width | Depth into | At
        Rails  | 4   | tenon    | Leg  | face | Rail | 3/8       | 1 1/2 | 1 1/16     | 9
        Slats  |     | hardware | Rail | back | Slat | 5/8       |       | 3/8        | Shelf
        Pegs   | 8   | hardware | Leg  | edge | Peg  | 3/8       | 3/8   | 2          | 1; 3
    """
    spacing = """
        Run   | Between | Member | Gaps
        Shelf | 40      | Slat   | 4; rest; {}; rest; 4
    """
    found = made(Parts=parts, Joints=joints, Spacing=spacing.format(10))
    dry = lines(found, Task.DRY_ASSEMBLY)
    said = [shop_line(line, Task.DRY_ASSEMBLY, Measure.of(found.job.sheet)) for line in dry]
    told = [(each.qty, each.setting, each.what, each.note) for each in said[:-1]]
    assert told == [
        (None, "dry fit", "Rails: Rail in Leg", "4 joints"),
        (4, "dry fit", "Slats: Slat in Rail", ""),
        (4, "unlike gaps", "Shelf", "by the marks from one end"),
    ]
    even = made(Parts=parts, Joints=joints, Spacing=spacing.format("rest"))
    # 40 - 4 x 4 - 2 x 4 leaves 16 for three gaps
    (run,) = (line for line in lines(even, Task.DRY_ASSEMBLY) if isinstance(line, RunAnswer))
    assert run.gap == pytest.approx(16 / 3)
    # a peg that is in goes with what it pegs
    loads = [line for line in lines(found, Task.DELIVERY) if isinstance(line, Carried)]
    assert [set(load.names) for load in loads] == [{"Leg", "Rail", "Peg"}, {"Slat"}]


def test_a_part_is_put_in_when_the_maker_says_and_one_of_which_nothing_is_said_after_the_finish() -> None:
    parts = TABLE.replace("| Note", "| When | Note").replace("solid      |", "solid | |")
    parts = parts.replace("edge-glued |", "edge-glued | |")
    more = """    Peg   | 8   | White oak | 3/8 | 3/8 | 2  |        | solid | after assembly  |
    Spline | 2  | White oak | 3/8 | 2   | 20 |        | solid | before assembly |
    Shelf | 1   | White oak | 3/4 | 5   | 20 |        | solid | at delivery     |
"""
    found = made(Parts=parts + more, Joints=JOINTS)
    by_step = {
        step.task: [
            (shop_line(line, step.task, Measure.of(found.job.sheet)).setting, line.pieces.name)
            for line in step.lines
            if isinstance(line, LoosePart)
        ]
        for step in found.work
    }
    assert {task: told for task, told in by_step.items() if told} == {
        Task.ASSEMBLY: [("put in place", "Spline"), ("put in place", "Peg")],
        Task.FIT: [("put in place", "Cleat")],
        Task.DELIVERY: [("take along", "Shelf")],
    }
    assembly = next(step for step in found.work if step.task is Task.ASSEMBLY)
    kinds = [type(line).__name__ for line in assembly.lines]
    assert kinds.index("LoosePart") == 0
    assert kinds[-1] == "LoosePart"
    hint = "Parts that no joint on Joints holds stand after the finish."
    assert any(str(cell.value).startswith(hint) for cell in shop_sheet_page(found, "").cells.values())
    decided = made(Parts=parts.replace("solid | |", "solid | after finish |"), Joints=JOINTS)
    assert not any(str(cell.value).startswith(hint) for cell in shop_sheet_page(decided, "").cells.values())


def test_things_are_fitted_when_the_maker_says() -> None:
    extras = """
        Item   | Qty | When
        Insert | 2   | before assembly
        Hinge  | 2   | after assembly
        Pull   | 2   | after finish
        Felt   | 2   |
        Anchor | 1   | at delivery
    """
    found = made(Parts=TABLE, Joints=JOINTS, Extras=extras)
    by_step = {
        task: [line.extra.item for line in lines(found, task) if isinstance(line, Fitting)]
        for task in (Task.ASSEMBLY, Task.FIT, Task.DELIVERY)
    }
    assert by_step == {
        Task.ASSEMBLY: ["Insert", "Hinge"],
        Task.FIT: ["Pull", "Felt"],
        Task.DELIVERY: ["Anchor"],
    }
    kinds = [type(line).__name__ for line in lines(found, Task.ASSEMBLY)]
    assert kinds == ["Fitting", "PlainAssembly", "Fitting"]
    in_hand = [line for line in lines(found, Task.BUY) if isinstance(line, InHand)]
    assert [item for item, _ in in_hand[0].items] == ["Insert", "Hinge", "Pull", "Felt", "Anchor"]


def test_a_piece_that_comes_apart_is_carried_in_its_bodies_and_another_whole() -> None:
    """Head and foot are glued; the side rails hang in hardware. White oak weighs the same, wherever it stands."""
    bed = """
        Part      | Qty | Species   | Thickness | Width | Length | Tenons
        Head post | 2   | White oak | 2         | 2     | 40     |
        Head rail | 1   | White oak | 1         | 8     | 60     | 1
        Foot post | 2   | White oak | 2         | 2     | 20     |
        Foot rail | 1   | White oak | 1         | 8     | 60     | 1
        Side rail | 2   | White oak | 1         | 7     | 80     |
    """
    joints = """
        Joint | Qty | Kind     | Into      | From      | Thickness | Width | Depth into
        Head  | 2   | tenon    | Head post | Head rail | 3/8       | 6     | 1 1/16
        Foot  | 2   | tenon    | Foot post | Foot rail | 3/8       | 6     | 1 1/16
        Hooks | 2   | hardware | Head post | Side rail | 5/8       | 5     | 3/8
        Hook  | 2   | hardware | Foot post | Side rail | 5/8       | 5     | 3/8
    """
    found = made(Parts=bed, Joints=joints)
    loads = [line for line in lines(found, Task.DELIVERY) if isinstance(line, Carried)]
    assert [set(load.names) for load in loads] == [
        {"Head post", "Head rail"},
        {"Foot post", "Foot rail"},
        {"Side rail"},
    ]
    assert sum(load.pounds for load in loads) == pytest.approx(there(found.weight))
    # 2 x 2 x 2 x 40 + 8 x 62 in3, beside 2 x 7 x 80
    assert loads[0].pounds / loads[2].pounds == pytest.approx((320 + 496) / 1120)
    assert [load.hands for load in loads] == [1, 1, 1]
    tied = made(Parts=bed, Joints=joints.replace("hardware", "tenon   "))
    (whole,) = [line for line in lines(tied, Task.DELIVERY) if isinstance(line, Carried)]
    assert (whole.names, whole.pounds) == ((), there(tied.weight))
    # 51 lb is one person's; two lift two thirds of twice that
    assert whole.hands == (2 if whole.pounds <= 68 else 3)


def test_buttons_that_go_in_later_tie_no_two_frames_together() -> None:
    parts = """
        Part        | Qty | Species   | Thickness | Width | Length | Tenons | When
        Leg         | 4   | White oak | 2         | 2     | 28     |        |
        Apron       | 4   | White oak | 7/8       | 4     | 30     | 1      |
        Bench leg   | 4   | White oak | 2         | 2     | 16     |        |
        Bench apron | 4   | White oak | 7/8       | 3     | 30     | 1      |
        Shelf       | 1   | White oak | 5/8       | 4     | 30     |        |
        Button      | 8   | White oak | 5/8       | 1 1/4 | 2      |        | after finish
    """
    joints = """
        Joint   | Qty | Kind     | Into               | From        | Thickness | Width | Depth into
        Table   | 8   | tenon    | Leg                | Apron       | 3/8       | 2     | 1 1/16
        Bench   | 8   | tenon    | Bench leg          | Bench apron | 3/8       | 2     | 1 1/16
        Buttons | 8   | groove   | Apron; Bench apron | Button      | 3/8       |       | 3/8
        Pins    | 4   | hardware | Bench leg          | Shelf       | 1/4       | 1     | 3/8
    """
    loads = [
        line for line in lines(made(Parts=parts, Joints=joints), Task.DELIVERY) if isinstance(line, Carried)
    ]
    assert [set(load.names) for load in loads] == [
        {"Leg", "Apron"},
        {"Bench leg", "Bench apron"},
        {"Shelf"},
        {"Button"},
    ]


def test_what_is_put_in_at_delivery_ties_nothing_together_and_is_carried_by_itself() -> None:
    """A beam between head and foot, and slats in their notches, are put in at the client's."""
    bed = """
        Part      | Qty | Species   | Thickness | Width | Length | Tenons | When
        Head post | 2   | White oak | 2         | 2     | 40     |        |
        Head rail | 1   | White oak | 1         | 8     | 60     | 1      |
        Foot post | 2   | White oak | 2         | 2     | 20     |        |
        Foot rail | 1   | White oak | 1         | 8     | 60     | 1      |
        Side rail | 2   | White oak | 1         | 7     | 80     |        |
        Beam      | 1   | White oak | 1         | 4     | 81     | 3/8    | at delivery
    """
    joints = """
        Joint | Qty | Kind     | Into                 | On   | From      | Thickness | Width | Depth into | At
        Head  | 2   | tenon    | Head post            | edge | Head rail | 3/8       | 6     | 1 1/16     | 9
        Foot  | 2   | tenon    | Foot post            | edge | Foot rail | 3/8       | 6     | 1 1/16     | 9
        Hooks | 2   | hardware | Head post            | face | Side rail | 5/8       | 5     | 1/8        | 3
        Hook  | 2   | hardware | Foot post            | face | Side rail | 5/8       | 5     | 1/8        | 3
        Beam  |     | tenon    | Head rail; Foot rail | face | Beam      | 3/8       | 2     | 7/16       | 29
    """
    found = made(Parts=bed, Joints=joints)
    loads = [line for line in lines(found, Task.DELIVERY) if isinstance(line, Carried)]
    assert [set(load.names) for load in loads] == [
        {"Head post", "Head rail"},
        {"Foot post", "Foot rail"},
        {"Side rail"},
    ]
    (beam,) = [line for line in lines(found, Task.DELIVERY) if isinstance(line, LoosePart)]
    # 1 x 4 x (81 + 2 x 3/8) in3, beside 2 x 7 x 80
    assert there(beam.pounds) / loads[2].pounds == pytest.approx(4 * 81.75 / 1120)
    assert loads[0].pounds + loads[1].pounds + loads[2].pounds + there(beam.pounds) == pytest.approx(
        there(found.weight)
    )
    told = shop_line(beam, Task.DELIVERY, Measure.of(found.job.sheet))
    assert told.note == Measure.of(found.job.sheet).weight(there(beam.pounds))
    # side rails that go along loose leave head and foot apart; a beam in the head alone leaves all the rest one
    late = made(Parts=bed.replace("80     |        |", "80 | | at delivery"), Joints=joints)
    apart = [line.pounds for line in lines(late, Task.DELIVERY) if isinstance(line, Carried)]
    assert apart == pytest.approx([loads[0].pounds, loads[1].pounds])
    glued = joints.replace("hardware", "tenon   ").replace("Head rail; Foot rail", "Head rail           ")
    (rest,) = [
        line for line in lines(made(Parts=bed, Joints=glued), Task.DELIVERY) if isinstance(line, Carried)
    ]
    assert set(rest.names) == {"Head post", "Head rail", "Foot post", "Foot rail", "Side rail"}
    assert rest.pounds == pytest.approx(sum(load.pounds for load in loads))


def test_a_heavy_piece_is_lifted_and_turned_by_as_many_as_it_takes() -> None:
    top = TABLE.replace("26    | 50", "40    | 90").replace("1.75      | 1.75", "3.5       | 3.5 ")
    heavy = made(Parts=top, Joints=JOINTS)
    assert Caution.HEAVY in step(heavy, Task.ASSEMBLY).cautions
    turned = step(heavy, Task.TOP)
    assert Caution.TURN in turned.cautions
    assert turned.weight == there(heavy.weight)
    light = "Part | Qty | Species | Thickness | Width | Length\nBox | 2 | White oak | 1/2 | 4 | 12"
    assert Caution.HEAVY not in step(made(Parts=light), Task.ASSEMBLY).cautions


def test_small_pieces_are_rounded_over_while_they_are_long_and_narrow_ones_before_they_are_ripped() -> None:
    parts = """
        Part | Qty | Species   | Thickness | Width | Length | Round-over
        Knob | 6   | White oak | 3/4       | 1 1/2 | 3      | 1/8
        Peg  | 8   | White oak | 3/8       | 3/8   | 2 1/2  | 1/16
        Rail | 2   | White oak | 3/4       | 3     | 30     | 1/8
    """
    found = made(Parts=parts)
    knob = found.parts[0].blanks
    strips = sum(blank.count * blank.across for blank in knob)
    assert all(blank.along > 1 for blank in knob)
    (long,) = [line for line in lines(found, Task.ROUND_OVER_LONG) if isinstance(line, Setting)]
    assert (long.size, [(each.name, each.count) for each in long.pieces]) == (1 / 8, [("Knob", strips)])
    (late,) = [line for line in lines(found, Task.ROUND_OVER) if isinstance(line, Setting)]
    assert [each.name for each in late.pieces] == ["Rail"]
    ripped = [line for line in lines(found, Task.WIDTH) if isinstance(line, Setting)]
    pegs = next(line for line in ripped if line.pieces[0].name == "Peg")
    assert "round over one edge" in pegs.notes[0]
    assert Caution.SMALL_AT_ROUTER in step(found, Task.WIDTH).cautions
    assert Caution.SMALL_AT_ROUTER in step(found, Task.ROUND_OVER_LONG).cautions
    tasks = [each.task for each in found.work]
    assert tasks.index(Task.WIDTH) < tasks.index(Task.ROUND_OVER_LONG) < tasks.index(Task.LENGTH)


BOARDS = """
    Board | Species   | Stock | Width | Length | Note
    A1    | White oak | 4/4   | 8     | 120    | knot at 30
    A2    | White oak | 4/4   | 8     | 120    |
"""


def test_where_boards_are_listed_the_rough_cut_goes_board_by_board_and_nothing_else() -> None:
    found = made(Parts=TABLE, Joints=JOINTS, Boards=BOARDS)
    cut = lines(found, Task.ROUGH_CUT)
    on_boards = {each.name for line in cut if isinstance(line, FromBoard) for each in line.pieces}
    by_size = {
        each.name for line in cut if isinstance(line, RoughCut) and not line.bought for each in line.pieces
    }
    assert "Apron" in on_boards
    assert not on_boards & by_size
    blanks = {blank.of: blank.stock.name for whole in found.parts for blank in whole.blanks}
    assert all(blanks[name] != "4/4" for name in by_size)
    # what finds no board is cut from what is bought, and that is told in To buy
    short = {each.name for line in cut if isinstance(line, RoughCut) and line.bought for each in line.pieces}
    bought = [line for line in lines(found, Task.BUY) if isinstance(line, ToBuy) and line.boards]
    assert bool(short) == bool(bought)


def test_the_makers_notes_stand_once_where_their_thing_first_appears() -> None:
    joints = JOINTS.replace("At\n", "At | Note\n").replace(
        "| 1/2\n    Rails", "| 1/2 | shoulders first\n    Rails"
    )
    panel = "Panel | Species | Opening width | Opening height | Measured width | Measured height | Groove depth sides | Thickness | Note\n"
    panel += "Door | White oak | 10 | 12 | 10 | 12 | 3/8 | 1/4 | best face out"
    found = made(Parts=TABLE, Joints=joints, Boards=BOARDS, Panels=panel)
    noted: dict[str, list[Task]] = {}
    for each in found.work:
        for line in each.lines:
            if isinstance(line, Noted):
                noted.setdefault(f"{line.name}: {line.text}", []).append(each.task)
    assert noted == {
        "board A1: knot at 30": [Task.ROUGH_CUT],
        "Leg: mark the front ones": [Task.ROUGH_CUT],
        "Aprons: shoulders first": [Task.JOINTS],
        "Door: best face out": [Task.ROUGH_CUT],
    }


@pytest.mark.parametrize(
    ("finish", "grit"),
    [
        ("", ""),
        ("Oil | hardwax oil | |", "120, 150, 180 then 220"),
        ("Sand | | 150 |\nOil | hardwax oil | |", "150"),
    ],
)
def test_parts_are_sanded_before_they_are_put_together(finish: str, grit: str) -> None:
    tables: Mapping[str, str] = {"Finish": f"Step | Product | Grit | Parts\n{finish}"} if finish else {}
    found = made(Parts=TABLE, Joints=JOINTS, **tables)
    (sanding,) = [line for line in lines(found, Task.SAND) if isinstance(line, Sanding)]
    assert sanding.grit == grit
    tasks = [each.task for each in found.work]
    assert tasks.index(Task.JOINTS) < tasks.index(Task.SAND) < tasks.index(Task.DRY_ASSEMBLY)


def test_a_run_named_like_a_loose_part_tells_where_its_pieces_are_laid() -> None:
    slats = TABLE + "    Slat   | 5   | White oak | 0.75      | 3     | 20     |        | solid      |\n"
    runs = "Run | Between | Members | Member width\nSlats | 40 | 5 | 3\nPegs | 20 | 3 | 1"
    found = made(Parts=slats, Joints=JOINTS, Spacing=runs)
    loose = {line.pieces.name: line.run for line in lines(found, Task.FIT) if isinstance(line, LoosePart)}
    # 40 less 5 x 3, over 6 gaps
    assert there(there(loose["Slat"]).gap) == pytest.approx(25 / 6)
    assert loose["Cleat"] is None
    dry = [line.run.run for line in lines(found, Task.DRY_ASSEMBLY) if isinstance(line, RunAnswer)]
    assert dry == ["Pegs"]


def test_what_is_put_in_at_the_assembly_of_a_single_piece_is_told_too() -> None:
    found = answered({
        "Parts": "Part | Qty | Species | Thickness | Width | Length\nShelf | 1 | White oak | 3/4 | 8 | 30",
        "Extras": "Item | Qty | Unit price | When\nBracket | 2 | 4 | after assembly",
    })  # fmt: skip
    lines = [line for step in found.results.work for line in step.lines]
    assert [line.extra.item for line in lines if isinstance(line, Fitting)] == ["Bracket"]

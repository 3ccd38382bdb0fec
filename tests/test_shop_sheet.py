"""The tab Shop sheet: its steps stand in an order in which a maker can do them, each with what belongs to it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping

import pytest

from sheetkit.book.formats import by_ending
from sheetkit.form.example import example_job
from sheetkit.intake.workbook import take_in
from sheetkit.page import Page, Range, Value
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.records.tasks import Caution, Task
from sheetkit.tabs.draft import SECTION
from sheetkit.tabs.shop_lines import NO_GLUE_UP
from sheetkit.tabs.shop_sheet import BOX, shop_sheet_page
from sheetkit.tabs.template import template_pages
from sheetkit.tabs.to_buy import to_buy_page
from sheetkit.units import Unit, length_from_text
from tests.jobs import pages

Line = tuple[Value, ...]
"""Pieces, setting, what and note of a line to tick; of a place: cuts, part, surface and joint."""
GLUED = "Glue up blanks and panels"

LEG_AND_SEAT = """
    Part  | Qty | Species   | Thickness | Width | Length | Tenons | Made as     | Plies
    Leg   | 4   | White oak | 2.25      | 2.25  | 19.25  |        | face-glued  | 2
    Seat  | 1   | White oak | 0.875     | 18    | 51     |        | edge-glued  | 4
    Rail  | 2   | White oak | 0.875     | 3     | 40     | 1      | solid       |
    Seat support | 3 | White oak | 0.75  | 2     | 15     |        | solid       |
"""
SHELF = """
    Part  | Qty | Species   | Thickness | Width | Length
    Shelf | {} | Red oak   | 0.75      | 5     | 36
"""
PANELS = """
    Panel | Qty | Species   | Opening width | Opening height | Measured width | Measured height | Groove depth sides | Groove depth ends | Groove width | Thickness | Grain | Made as
    End   | 2   | White oak | 14.5 | 8.5 | 14.5 | 8.5 | 1/2 | 1/2 | 1/4 | 5/16 | up | edge-glued
    Back  | 1   | White oak | 22   | 8.5 |      |     | 3/8 | 3/8 | 1/4 | 1/4  | across | bookmatched
"""


def results_of(tables: Mapping[str, str]) -> Answers:
    intake = take_in(pages(tables))
    assert not intake.problems, intake.problems
    return answer(intake.job, 0.2)


def sheet_of(results: Answers) -> Page:
    return shop_sheet_page(results, "made today")


def steps_of(page: Page) -> dict[str, list[Line]]:
    """Give the lines to tick of each step, in the order of the steps."""
    steps: dict[str, list[Line]] = {}
    for row in range(1, page.last_row + 1):
        # a long note begins in the column before that of notes
        cells = [page.cells.get((row, column)) for column in (1, 2, 3, 4)]
        cells.append(page.cells.get((row, 7)) or page.cells.get((row, 6)))
        first = cells[0]
        if first is not None and first.style == SECTION:
            number, _, name = str(first.value).partition("  ")
            assert int(number) == len(steps) + 1
            steps[name.split(": ")[0]] = []
        elif first is not None and first.value == BOX:
            steps[list(steps)[-1]].append(tuple(None if cell is None else cell.value for cell in cells[1:]))
    return steps


def words_of(page: Page) -> str:
    return "\n".join(str(cell.value) for cell in page.cells.values())


def done(tables: Mapping[str, str]) -> dict[str, list[Line]]:
    return steps_of(sheet_of(results_of(tables)))


def settings_of(lines: list[Line]) -> list[tuple[Value, Value]]:
    return [(line[1], line[2]) for line in lines]


def counted(name: str, lines: list[Line]) -> int:
    """Count the pieces of this name, as the brackets tell them."""
    return sum(int(count) for line in lines for count in re.findall(rf"\b{name} \((\d+)\)", str(line[2])))


@pytest.fixture(scope="module", params=["in", "mm"])
def example(request: pytest.FixtureRequest) -> Answers:
    unit: Unit = request.param
    data = by_ending(".xlsx").render(template_pages(unit, *example_job(unit)))
    return answer(take_in(by_ending(".xlsx").read(data).pages).job, 0.2)


def test_the_steps_of_the_example_stand_in_an_order_that_can_be_done(example: Answers) -> None:
    found = [name for name in steps_of(sheet_of(example)) if name != "Check before cutting"]
    assert found == [
        "To buy",
        "Rough cut",
        "Resaw",
        "Flatten and plane",
        "Rip and joint for gluing",
        GLUED,
        "Plane the glued blanks",
        "Rip to width",
        "Crosscut to length",
        "Joints",
        "Shapes",
        "Round over the edges",
        "Sand before assembly",
        "Dry assembly",
        "Measure the openings",
        "Panels to size",
        "Finish before assembly",
        "Final glue-up",
        "Finish",
        "Fit hardware, bought and loose parts",
        "Fix the top",
        "Delivery",
    ]


def test_each_glue_up_of_the_example_stands_in_its_step(example: Answers) -> None:
    steps = steps_of(sheet_of(example))
    glued = [(line[2], str(line[3]).split(" clamps")[0].split("; ")[-1]) for line in steps[GLUED]]
    assert [what for what, _ in glued[:3]] == ["Leg (2): go 1 of 2", "Leg (2): go 2 of 2", "Seat (1)"]
    assert all(clamps.isdigit() for _, clamps in glued[:3])
    goes = [str(line[2]).split(":")[0] for line in steps["Final glue-up"] if line[1] != "put in place"]
    assert goes == ["End frames, go 1 of 2", "End frames, go 2 of 2", "Whole frame"]


def test_staves_stand_on_the_sheet_as_the_layout_cuts_them(example: Answers) -> None:
    """What is ripped, glued and cut from the boards is one and the same number of staves."""
    steps = steps_of(sheet_of(example))
    placed = sum(
        laid.blanks[int(piece.piece)].of == "Seat"
        for laid in example.layouts
        for board in laid.layout.boards
        for piece in board.placed
    )
    assert placed > 0
    for step in ("Rough cut", "Flatten and plane", "Rip and joint for gluing"):
        assert counted("Seat", steps[step]) == placed, step
    assert (f"{placed} staves, edge to edge", "Seat (1)") in settings_of(steps[GLUED])


def test_the_jointed_staves_of_a_layout_make_the_width_that_is_glued(example: Answers) -> None:
    (seat,) = (found.blanks[0] for found in example.parts if found.part.part == "Seat")
    ((note,),) = ([line[3]] for line in steps_of(sheet_of(example))[GLUED] if line[2] == "Seat (1)")
    sizes = str(note).split("; ")[0].split(" + ")
    widths = [length_from_text(text, example.job.sheet.unit) for text in sizes]
    assert len(widths) > 1
    assert sum(widths) == pytest.approx(seat.glued_width, abs=0.05)


def test_plies_are_planed_and_glued_before_the_part_is_planed_ripped_and_cut() -> None:
    steps = done({"Parts": LEG_AND_SEAT})
    # (2 1/4 + 1/8 clean-up) / 2
    assert (8, "plane to 1 3/16", "Leg (8)", "White oak; plies for gluing") in steps["Flatten and plane"]
    assert (4, "2 plies, face to face", "Leg (4)", None) in steps["Glue up blanks"]
    assert (4, "plane to 2 1/4", "Leg (4)", "White oak") in steps["Plane the glued blanks"]
    assert (4, "rip to 2 1/4", "Leg (4)", None) in steps["Rip to width"]
    assert (4, "cut to 19 1/4", "Leg (4)", None) in steps["Crosscut to length"]
    order = list(steps)
    assert order.index("Glue up blanks") < order.index("Rip to width") < order.index("Crosscut to length")
    assert not any("Leg" in str(line[2]) for line in steps["Rip and joint for gluing"])


def test_staves_are_jointed_before_the_glue_and_the_whole_is_ripped_after_it() -> None:
    steps = done({"Parts": LEG_AND_SEAT})
    assert (4, "plane to 15/16", "Seat (4)", "White oak; staves for gluing") in steps["Flatten and plane"]
    # (18 + 1/2) / 4, jointed on both edges
    assert steps["Rip and joint for gluing"] == [(4, "rip to 4 5/8", "Seat (4)", "joint the edges")]
    assert (1, "4 staves, edge to edge", "Seat (1)", None) in steps["Glue up blanks"]
    assert (1, "plane to 7/8", "Seat (1)", "White oak") in steps["Plane the glued blanks"]
    assert (1, "rip to 18", "Seat (1)", None) in steps["Rip to width"]
    assert (1, "cut to 51", "Seat (1)", None) in steps["Crosscut to length"]
    order = list(steps)
    assert (
        order.index("Rip and joint for gluing") < order.index("Glue up blanks") < order.index("Rip to width")
    )


def test_a_long_note_takes_the_room_that_short_words_leave() -> None:
    page = sheet_of(results_of({"Parts": LEG_AND_SEAT, "Panels": PANELS}))
    notes = {
        str(cell.value): (row, column)
        for (row, column), cell in page.cells.items()
        if column in (6, 7) and page.cells.get((row, 1), cell).value == BOX
    }
    row, column = next(at for note, at in notes.items() if note.startswith("type the measured opening"))
    assert column == 6
    assert Range(row, 6, row, 7) in page.merged
    assert Range(row, 4, row, 5) in page.merged
    assert next(at for note, at in notes.items() if note == "joint the edges")[1] == 7


def test_that_glue_ups_lack_a_row_is_said_once_above_them() -> None:
    tables = {"Parts": LEG_AND_SEAT}
    assert words_of(sheet_of(results_of(tables))).count("Where no clamps are told") == 1
    rows = "Step | Glues | Joints | Adhesive | Across clamps\n{} | blanks | 4 | PVA | 18"
    some = {**tables, "Glue-ups": rows.format("Leg")}
    assert words_of(sheet_of(results_of(some))).count("Where no clamps are told") == 1
    both = rows.format("Leg") + "\nSeat | blanks | 3 | PVA | 18"
    assert "Where no clamps are told" not in words_of(sheet_of(results_of({**tables, "Glue-ups": both})))


def test_a_width_of_a_single_stave_is_not_glued() -> None:
    steps = done({"Parts": "Part | Species | Thickness | Width | Length | Made as\n"
                           "Lid | White oak | 0.75 | 5 | 30 | edge-glued\nBox | White oak | 0.75 | 4 | 30 | solid"})  # fmt: skip
    assert "Glue up blanks" not in steps
    assert ("plane to 3/4", "Lid (1), Box (1)") in settings_of(steps["Flatten and plane"])


def test_a_measured_panel_is_glued_and_planed_and_one_that_waits_is_not() -> None:
    steps = done({"Parts": LEG_AND_SEAT, "Panels": PANELS})
    assert ("3 staves, edge to edge", "End (1)") in settings_of(steps[GLUED])
    assert ("plane to 5/16", "End (1)") in settings_of(steps["Plane the glued blanks"])
    for step in ("Rough cut", "Flatten and plane", "Rip and joint for gluing", GLUED):
        assert not any("Back" in str(line[2]) for line in steps[step]), step
    assert ("do not cut yet", "Back") in settings_of(steps["Panels to size"])


def test_an_opening_that_was_measured_stands_with_its_size_and_the_other_with_room_to_write() -> None:
    page = sheet_of(results_of({"Parts": LEG_AND_SEAT, "Panels": PANELS}))
    at = {str(cell.value): row for (row, column), cell in page.cells.items() if column == 3}
    title = next(
        row for (row, _), cell in page.cells.items() if str(cell.value).endswith("Measure the openings")
    )
    rows = {
        str(page.cells[row, 3].value): [page.cells[row, column].value for column in (4, 6)]
        for row in range(title + 1, page.last_row + 1)
        if (row, 6) in page.cells and str(page.cells[row, 6].value).startswith("height:")
    }
    assert rows == {"End": ["width: 14 1/2", "height: 8 1/2"], "Back": ["width:", "height:"]}
    assert "Measured already; check it:" in at


def test_a_panel_thicker_than_its_groove_has_its_edges_thinned() -> None:
    ready = PANELS.replace("22   | 8.5 |      |    ", "22 | 8.5 | 22 | 8.5")
    results = results_of({"Parts": LEG_AND_SEAT, "Panels": ready})
    sizing = next(step for step in results.work if step.task is Task.PANELS)
    assert Caution.ROUTER in sizing.cautions
    lines = done({"Parts": LEG_AND_SEAT, "Panels": ready})["Panels to size"]
    notes = {str(line[2]): str(line[3]) for line in lines}
    assert "; thin the edges to 1/4, to fit the groove" in notes["End"]  # 5/16 thick
    assert "thin the edges" not in notes["Back"]  # as thick as its groove is wide


def test_who_buys_by_volume_is_sent_to_the_tab_that_is_taken_to_the_yard() -> None:
    results = results_of({"Parts": LEG_AND_SEAT})
    bought = [line for line in steps_of(sheet_of(results))["To buy"] if "board feet" in str(line[1])]
    assert {line[3] for line in bought} == {"least sizes: see To buy"}
    yard = {each.value for each in to_buy_page(results, results.job.sheet, None, (), "").cells.values()}
    assert "At least wide (in)" in yard
    assert {line[2] for line in bought} <= yard


def test_an_edge_is_squared_before_anything_is_ripped_along_the_fence() -> None:
    page = sheet_of(results_of({"Parts": LEG_AND_SEAT}))
    told = [str(cell.value) for _, cell in sorted(page.cells.items())]
    (squared,) = (at for at, words in enumerate(told) if "square one edge to it" in words)
    rip = next(at for at, words in enumerate(told) if words.endswith("Rip to width: table saw, fence"))
    assert squared < rip


def test_bookmatched_leaves_are_resawn_glued_and_opened_like_a_book() -> None:
    steps = done(
        {"Parts": LEG_AND_SEAT, "Panels": PANELS.replace("22   | 8.5 |      |    ", "22 | 8.5 | 22 | 8.5")}
    )
    # 1/4 and half of the 1/8 that planing both faces of the cut takes; two of them with a kerf of 1/16 between
    note = (
        "blank flat on both faces, at least 11/16 thick: 2 leaves; glued as sawn, the last 1/16 planed off "
        "after; mark the face first, keep the leaves in order"
    )
    assert steps["Resaw"] == [(1, "saw leaves 5/16", "Back (1)", note)]
    assert (1, "2 leaves, edge to edge", "Back (1)", "opened like a book") in steps[GLUED]
    assert any(
        line[2] == "Back (2)" and line[3] == "joint the edges" for line in steps["Rip and joint for gluing"]
    )


def test_what_a_leaf_loses_after_the_saw_is_what_its_steps_say() -> None:
    ready = PANELS.replace("22   | 8.5 |      |    ", "22 | 8.5 | 22 | 8.5")
    prices = "Species | Stock\nWhite oak | 4/4\nWhite oak | 6/4\nWhite oak | 8/4"
    for clean_up, leaves, sawn, planed, left in (
        ("1/8", 2, "5/16", [], "1/16"),  # nothing is left to plane before the glue
        ("1/16", 2, "9/32", [], "1/32"),  # no leaf is planed thicker than it was sawn
        ("1/8", 4, "11/32", ["plane to 5/16"], ""),  # 1/4 and three quarters of 1/8
    ):
        stock = "Stock | Leaves" if leaves > 2 else "Leaves"
        rows = ready.strip().splitlines()
        wide = [f"{rows[0]} | {stock}", f"{rows[1]}", f"{rows[2]} | {'8/4 | 4' if leaves > 2 else '2'}"]
        tables = {
            "Parts": LEG_AND_SEAT,
            "Prices": prices,
            "Panels": "\n".join(wide),
            "Allowances": f"Setting | Value\nResaw clean-up | {clean_up}",
        }
        steps = done(tables)
        ((_, setting, what, note),) = steps["Resaw"]
        assert (setting, what) == (f"saw leaves {sawn}", "Back (1)")
        before = [line[1] for line in steps["Flatten and plane"] if "Back" in str(line[2])]
        after = [line[1] for line in steps["Plane the glued blanks"] if "Back" in str(line[2])]
        assert (before, after) == (planed, ["plane to 1/4"])
        assert (f"glued as sawn, the last {left} planed off after" in str(note)) == bool(left)


def where(tables: Mapping[str, str], row: str) -> list[str]:
    """Give the steps in which a row of Glue-ups or Finish stands."""
    steps = done({"Parts": LEG_AND_SEAT, "Panels": PANELS, **tables})
    return [
        at
        for at, lines in steps.items()
        if any(re.split("[:,]", str(line[2]))[0] == row for line in lines)
        or any("clamps" in str(line[3]) and str(line[2]).startswith(f"{row} (") for line in lines)
    ]


@pytest.mark.parametrize(
    ("name", "glues", "joints", "stands", "step"),
    [
        ("Anything", "blanks", "2", "Anything", GLUED),
        ("Legs to rails", "blanks", "2", "Legs to rails", GLUED),
        ("Anything", "panels", "", "Anything", "Panels to size"),  # one of them waits to be measured
        ("Leg plies", "assembly", "", "Leg plies", "Final glue-up"),
        ("Leg plies", "", "2", "Leg plies", "Final glue-up"),  # Joints are given
        ("Leg plies", "", "", "Leg", GLUED),
        ("LEG", "", "", "Leg", GLUED),
        ("Seat", "", "", "Seat", GLUED),
        ("End", "", "", "End", GLUED),
        ("Back", "", "", "Back", "Panels to size"),
    ],
)
def test_a_glue_up_goes_to_the_step_that_the_maker_says(
    name: str, glues: str, joints: str, stands: str, step: str
) -> None:
    """That of a glued part stands in the line of its plies, staves or leaves."""
    table = f"Step | Glues | Joints | Adhesive | Along\n{name} | {glues} | {joints} | PVA | 20"
    assert step in where({"Glue-ups": table}, stands)
    if stands != "Back" and step != GLUED:
        assert where({"Glue-ups": table}, stands) == [step]


def test_nothing_is_guessed_from_words_in_the_name_of_a_glue_up() -> None:
    """A name that only holds a part's name is asked about and stands with the assembly."""
    intake = take_in(pages({"Parts": LEG_AND_SEAT, "Glue-ups": "Step | Adhesive\nLeg assemblies | PVA"}))
    answers = answer(intake.job, 0.2)
    assert [(found.code, found.cell) for found in answers.problems] == [("glues-what", "A2")]
    steps = steps_of(sheet_of(answers))
    assert [line[2] for line in steps["Final glue-up"]] == ["Leg assemblies"]


def test_measured_panels_are_glued_with_the_blanks() -> None:
    measured = PANELS.replace("22   | 8.5 |      |    ", "22 | 8.5 | 22 | 8.5")
    table = "Step | Glues | Adhesive\nAll | panels | PVA"
    assert where({"Panels": measured, "Glue-ups": table}, "All") == [GLUED]


def test_glue_ups_in_several_steps_stay_together_and_in_order() -> None:
    late = """
        Step      | Glues  | Joints | Adhesive | Minutes a joint
        Whole     |        | 9      | PVA      | 1
        Leg plies | blanks | 2      | PVA      | 1
        Top       |        | 1      | PVA      | 1
    """
    steps = done({"Parts": LEG_AND_SEAT, "Glue-ups": late})
    assert [line[2] for line in steps["Final glue-up"]] == [
        "Whole, go 1 of 2: 5 joints",
        "Whole, go 2 of 2: 4 joints",
        "Top: 1 joint",
    ]
    legs = next(line for line in steps["Glue up blanks"] if line[1] == "2 plies, face to face")
    assert legs[2] == "Leg (4)"
    assert "2 min" in str(legs[3])


def test_a_job_without_panels_speaks_of_no_frame() -> None:
    page = sheet_of(results_of({"Parts": SHELF.format(4)}))
    steps = steps_of(page)
    assert list(steps) == [
        "To buy",
        "Rough cut",
        "Flatten and plane",
        "Rip to width",
        "Crosscut to length",
        "Sand before assembly",
        "Dry assembly",
        "Final glue-up",
        "Delivery",
    ]
    assert [line[2] for line in steps["Dry assembly"]] == [
        "Assemble dry; check for square and twist, and every joint for fit"
    ]
    assert steps["Final glue-up"] == [
        (None, "in clamps overnight", "Glue up", f"check for square and twist; {NO_GLUE_UP}")
    ]
    assert "frame" not in words_of(page)
    assert "groove" not in words_of(page)
    assert "opening" not in words_of(page)


def test_a_job_with_panels_speaks_of_the_frame_and_of_loose_panels() -> None:
    page = sheet_of(results_of({"Parts": LEG_AND_SEAT, "Panels": PANELS}))
    steps = steps_of(page)
    checks = "Assemble the frame dry; check for square and twist, and every joint for fit"
    assert checks in [line[2] for line in steps["Dry assembly"]]
    assert steps["Final glue-up"][0][2] == "Glue the frame, panels loose in their grooves"
    assert "no glue on them" in words_of(page)


def test_a_single_board_is_neither_assembled_nor_glued_up() -> None:
    steps = done({"Parts": SHELF.format(1)})
    made = ["Rough cut", "Flatten and plane", "Rip to width", "Crosscut to length"]
    assert list(steps) == ["To buy", *made, "Delivery"]


def test_joints_come_before_shapes_and_each_has_its_step() -> None:
    shapes = "Shape | Kind | Length | Rise\nFront | arc | 36 | 1/2"
    joints = "Joint | Qty | Kind | Into | Thickness | Depth into\nGroove | 2 | groove | Shelf | 1/4 | 1/4"
    order = list(done({"Parts": SHELF.format(2), "Joints": joints, "Shapes": shapes}))
    assert order.index("Crosscut to length") < order.index("Joints") < order.index("Shapes")


FINISH = """
    Step | Product     | Coats | Grit | Hours to next | Parts
    Sand |             |       | 180  |               |
    Oil  | hardwax oil | 2     |      | 24            |
    Wax  | hardwax oil | 1     |      | 24            | {}
"""


def test_a_step_without_a_product_or_a_grit_is_called_by_its_own_name_and_not_sanding() -> None:
    finish = "Step | Product | Coats | Parts\nOil | hardwax oil | 1 |\nWax the runners | | | Rail"
    steps = steps_of(sheet_of(results_of({"Parts": LEG_AND_SEAT, "Finish": finish})))
    assert [line[1:3] for line in steps["Finish"]] == [
        ("hardwax oil", "Oil: all parts"),
        ("Wax the runners", "Rail"),
    ]


def test_panels_are_finished_before_the_frame_is_glued() -> None:
    page = sheet_of(results_of({"Parts": LEG_AND_SEAT, "Panels": PANELS, "Finish": FINISH.format("Rail")}))
    steps = steps_of(page)
    order = list(steps)
    assert (
        order.index("Panels to size") < order.index("Finish before assembly") < order.index("Final glue-up")
    )
    assert [line[:3] for line in steps["Finish before assembly"]] == [
        (3, "sand, grit 180", "Sand: all panels"),
        (3, "hardwax oil", "Oil: all panels, coat 1 of 2"),
        (3, "hardwax oil", "Oil: all panels, coat 2 of 2"),
    ]
    assert [line[1:3] for line in steps["Sand before assembly"]] == [
        ("grit 180", "Leg (4), Seat (1), Rail (2), Seat support (3)")
    ]
    assert [line[2] for line in steps["Finish"]] == [
        "Oil: all parts, coat 1 of 2",
        "Oil: all parts, coat 2 of 2",
        "Wax: Rail",
    ]
    assert "Keep finish off every surface that will be glued." in words_of(page)
    first = steps["Finish before assembly"][1]
    assert str(first[3]).startswith("have ")
    assert str(first[3]).endswith(" for the whole piece")
    assert [line[3] for line in steps["Finish"][:2]] == [None, None]
    assert order.index("Sand before assembly") < order.index("Dry assembly")


def test_a_coat_on_panels_alone_stands_with_its_amount_where_panels_are_finished() -> None:
    steps = done({"Parts": LEG_AND_SEAT, "Panels": PANELS, "Finish": FINISH.format("End")})
    line = steps["Finish before assembly"][3]
    assert line[2] == "Wax: End (2)"
    assert "qt" in str(line[3])
    assert [str(line[2]).split(",")[0] for line in steps["Finish"]] == ["Oil: all parts"] * 2


def test_coats_stand_by_the_day_with_the_earliest_delivery() -> None:
    """Day 1: sand, and the first coat on the panels; 24 h later the second; an hour of work each. PVA is an hour in
    clamps on day 3; then two coats on days 3 and 4, the wax on day 5 with a day to dry."""
    glue = "Step | Joints | Adhesive\nWhole | 4 | PVA"
    page = sheet_of(
        results_of(
            {"Parts": LEG_AND_SEAT, "Panels": PANELS, "Finish": FINISH.format("Rail"), "Glue-ups": glue}
        )
    )
    days = [
        str(page.cells[row, 3].value)
        for row in range(1, page.last_row + 1)
        if (row, 3) in page.cells and re.search(r"\b[Dd]ay \d", str(page.cells[row, 3].value))
    ]
    assert days == [
        "Day 1",
        "Day 2",
        "Ready for the assembly on day 3",
        "Day 3",
        "Day 4",
        "Day 5",
        "Earliest delivery: day 6",
    ]


def cautions_of(page: Page) -> list[tuple[int, int, str]]:
    """Give page, row and words of every caution."""
    pages = [0, *page.print.breaks, page.last_row]
    return [
        (next(number for number, last in enumerate(pages) if row <= last), row, str(cell.value))
        for (row, _), cell in sorted(page.cells.items())
        if cell.style.italic and cell.style.size == 10.0
    ]


def test_a_caution_stands_once_on_each_page_on_which_it_is_met(example: Answers) -> None:
    page = sheet_of(example)
    met = Counter((number, words) for number, _, words in cautions_of(page))
    assert max(met.values()) == 1
    dusty = [number for number, _, words in cautions_of(page) if "wood dust harms" in words]
    assert len(dusty) > 2  # planed twice, sanded twice, on several pages
    for step in example.work:
        assert set(step.cautions) <= set(Caution)


def test_each_danger_is_told_where_it_is_met() -> None:
    page = sheet_of(results_of({"Parts": LEG_AND_SEAT, "Panels": PANELS, "Finish": FINISH.format("Rail")}))
    words = words_of(page)
    for danger in ("pinches the blade", "push stick", "no stop for a crosscut", "wood dust harms"):
        assert danger in words
    assert "Rags" in words
    assert "organic vapor" in words  # of an oil too
    assert "Tapers:" not in words
    taper = "Shape | Kind | Length | Rise | Small end\nLeg | taper | 19 | 2 | 1"
    assert "Tapers: clamp the piece" in words_of(
        sheet_of(results_of({"Parts": LEG_AND_SEAT, "Shapes": taper}))
    )
    measured = PANELS.replace("22   | 8.5 |      |    ", "22 | 8.5 | 22 | 8.5")
    assert "Resawing:" in words_of(sheet_of(results_of({"Parts": LEG_AND_SEAT, "Panels": measured})))


@pytest.mark.parametrize(
    ("when", "parts", "steps"),
    [
        ("before assembly", "Rail", ["Finish before assembly"]),
        ("before assembly", "", ["Finish before assembly"]),
        ("after assembly", "End", ["Finish"]),
        ("", "End", ["Finish before assembly"]),
        ("", "Rail", ["Finish"]),
        ("", "End, Rail", ["Finish before assembly", "Finish"]),
    ],
)
def test_a_coat_stands_before_or_after_the_assembly_as_the_maker_says(
    when: str, parts: str, steps: list[str]
) -> None:
    table = f"Step | When | Product | Hours to next | Parts\nOil | {when} | hardwax oil | 24 | {parts}"
    assert where({"Finish": table}, "Oil") == steps


def test_a_finish_without_panels_has_one_step() -> None:
    page = sheet_of(results_of({"Parts": LEG_AND_SEAT, "Finish": FINISH.format("Rail")}))
    assert "Finish before assembly" not in steps_of(page)
    assert "panels" not in words_of(page)


def test_the_headings_of_the_columns_stand_on_each_page(example: Answers) -> None:
    page = sheet_of(example)
    first, last = page.print.repeat_rows or (0, 0)
    assert first == last
    assert [page.cells[first, column].value for column in (1, 2, 3, 4, 7)] == [
        "Done",
        "Pieces",
        "Setting",
        "What",
        "Note",
    ]
    assert all(row > first for row, column in page.cells if page.cells[row, column].value == BOX)


def test_a_member_that_sags_is_told_in_a_row_of_few_lines() -> None:
    loads = "Member | Species | Thickness | Width | Span | Load\nShelf | Red oak | 1/2 | 10 | 36 | 80"
    page = sheet_of(results_of({"Parts": SHELF.format(4), "Loads": loads}))
    steps = steps_of(page)
    assert next(iter(steps)) == "Check before cutting"
    ((_, setting, what, _),) = steps["Check before cutting"]
    assert setting == "Shelf"
    assert "would sag" in str(what)
    row = next(row for (row, column), cell in page.cells.items() if cell.value == what)
    assert Range(row, 4, row, 7) in page.merged
    assert page.heights[row] < 60  # of few lines


def test_pieces_are_counted_in_the_column_and_in_brackets_alike() -> None:
    joints = "Joint | Qty | Kind | Into | From | Thickness | Width | Depth into | At\nTop | 4 | tenon | Leg | Rail | 3/8 | 2 | 1 1/16 | 1"
    steps = done({"Parts": LEG_AND_SEAT, "Joints": joints})
    for step, lines in steps.items():
        for pieces, _, what, _ in lines:
            in_brackets = [int(part.split(")")[0]) for part in str(what).split(" (")[1:]]
            assert step in ("Joints", "Fit hardware, bought and loose parts") or sum(in_brackets) == (
                pieces or 0
            ), (step, what)
    assert steps["Joints"] == [
        (4, "Leg", "face", "Top; 15/16 from the edge"),  # (2 1/4 - 3/8) / 2
        (4, "Rail", None, "Top"),
    ]

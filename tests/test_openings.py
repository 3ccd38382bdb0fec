"""Planned openings of panels: by the gap of a run, by the rails above and below, typed ones compared."""

from __future__ import annotations

import pytest

from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from tests.jobs import pages

PARTS = """
    Part      | Qty | Species   | Thickness | Width | Length | Tenons
    Leg       | 4   | White oak | 3         | 3     | 30     |
    Top rail  | 2   | White oak | 1 1/2     | 5     | 60     |
    Low rail  | 2   | White oak | 1 1/2     | 4     | 60     |
    Partition | 8   | White oak | 3/4       | 2 1/2 | 12     |
"""
JOINTS = """
    Joint      | Qty | Kind        | Into | From     | Thickness | Width | Depth into | Depth from | At
    Top to leg | 4   | loose tenon | Leg  | Top rail | 1/2       | 4     | 1          | 1          | 1 1/2
    Low to leg | 4   | loose tenon | Leg  | Low rail | 1/2       | 3     | 1          | 1          | 18 1/2
"""
SPACING = """
    Run        | Between | Member
    Head       | 60      | Partition
    Foot       | 60      | Partition
"""
PANELS = "Panel | Qty | Species | Opening width | Opening height | Run | Rails | Measured width | Measured height | Groove depth sides | Thickness"


def planned_of(rows: str, **tables: str) -> Answers:
    more = {"Parts": PARTS, "Joints": JOINTS, "Spacing": SPACING, **tables}
    intake = take_in(pages({**more, "Panels": f"{PANELS}\n{rows}"}))
    assert not intake.problems, intake.problems
    return answer(intake.job)


def codes(found: Answers, tab: str = "Panels") -> list[str]:
    return [problem.code for problem in found.problems if problem.tab == tab]


def test_run_and_rails_give_the_planned_opening() -> None:
    """The gap is (60 - 4 x 2 1/2) / 5 = 10. The top rail's mortise is 1 1/2 to 5 1/2 and 4 of its 5 wide, so that it stands
    from 1 to 6; the low rail's is 18 1/2 to 21 1/2 and 3 of its 4, so that it begins at 18: the opening is 12 (arithmetic)."""  # fmt: skip
    found = planned_of("""
        Head panel | 5 | White oak | | | Head | Top rail; Low rail | | | 1/2 | 1/2
        Foot panel | 5 | White oak | | | Foot | Low rail; Top rail | | | 1/2 | 1/2
    """)  # fmt: skip
    assert [(each.panel.opening_width, each.panel.opening_height) for each in found.panels] == [
        (10, 12),
        (10, 12),
    ]
    assert codes(found) == ["provisional", "provisional"]
    assert (
        "Planned opening 10 wide, the gap of Head; 12 high, between Top rail and Low rail."
        in found.panels[0].remarks
    )
    typed = planned_of("""
        Head panel | 5 | White oak | 10 | 12 | | | | | 1/2 | 1/2
        Foot panel | 5 | White oak | 10 | 12 | | | | | 1/2 | 1/2
    """)  # fmt: skip
    assert [each.blanks for each in typed.panels] == [each.blanks for each in found.panels]


def test_rails_alone_give_the_width_from_shoulder_to_shoulder() -> None:
    found = planned_of("End | 2 | White oak | | | | Top rail; Low rail | | | 1/2 | 1/2")
    assert (found.panels[0].panel.opening_width, found.panels[0].panel.opening_height) == (60, 12)


def test_two_rails_of_one_part_leave_the_room_between_its_two_places() -> None:
    """In a stile 30 long: tenons 1 wide of rails 2 wide at 1/2 and at 28 1/2 leave 2 to 28."""
    parts = """
        Part  | Qty | Species   | Thickness | Width | Length | Tenons
        Stile | 2   | White oak | 7/8       | 2 1/2 | 30     |
        Rail  | 2   | White oak | 7/8       | 2     | 15     | 1
    """
    joints = """
        Joint | Qty | Kind  | Into  | From | Thickness | Width | Depth into | At
        Rail  | 4   | tenon | Stile | Rail | 1/4       | 1     | 1 1/16     | 1/2
    """
    found = planned_of(
        "Door | 1 | White oak | | | | Rail | | | 1/2 | 1/4", Parts=parts, Joints=joints, Spacing=""
    )
    assert (found.panels[0].panel.opening_width, found.panels[0].panel.opening_height) == (15, 26)


def test_a_typed_opening_stays_and_is_compared() -> None:
    found = planned_of("Head panel | 10 | White oak | 10 1/4 | 12 1/64 | Head | Top rail; Low rail | | | 1/2 | 1/2",
                       Spacing="Run | Between | Member\nHead | 60 | Partition", Parts=PARTS.replace("| 8 ", "| 4 "))  # fmt: skip
    assert (found.panels[0].panel.opening_width, found.panels[0].panel.opening_height) == (10.25, 12 + 1 / 64)
    told = [problem for problem in found.problems if problem.code == "opening-differs"]
    assert [problem.says for problem in told] == [
        "The planned width is 10 1/4, but 10, the gap of Head, would follow; 10 1/4 is taken."
    ]
    assert told[0].instead.startswith("Empty Opening width to take 10")
    assert told[0].cell == "D2"


def test_a_measured_opening_far_from_the_run_is_said() -> None:
    found = planned_of("Head panel | 5 | White oak | | | Head | Top rail; Low rail | 9 1/2 | 12 | 1/2 | 1/2",
                       Spacing="Run | Between | Members | Member width\nHead | 60 | 4 | 2 1/2")  # fmt: skip
    assert codes(found) == ["measured-far-off"]
    assert "differs from the planned one by 1/2" in next(
        problem.says for problem in found.problems if problem.code == "measured-far-off"
    )


UNLIKE = "Run | Between | Members | Member width | Gaps\nHead | 60 | 4 | 2 1/2 | 6; rest; 8"


def test_panels_take_unlike_gaps_in_the_order_of_their_rows() -> None:
    """6, 12, 12, 12, 8."""
    rows = """
        Left   | 1 | White oak | | 12 | Head | | | | 1/2 | 1/2
        Middle | 3 | White oak | | 12 | Head | | | | 1/2 | 1/2
        Right  | 1 | White oak | | 12 | Head | | | | 1/2 | 1/2
    """
    found = planned_of(rows, Spacing=UNLIKE)
    assert [each.panel.opening_width for each in found.panels] == [6, 12, 8]
    assert set(codes(found)) == {"provisional"}
    twice = planned_of(rows.replace("| 1 |", "| 2 |").replace("| 3 |", "| 6 |"), Spacing=UNLIKE)
    assert [each.panel.opening_width for each in twice.panels] == [6, 12, 8]
    assert set(codes(twice)) == {"provisional"}


@pytest.mark.parametrize(
    ("rows", "code", "says"),
    [
        ("P | 5 | White oak | 10 | 12 | Haed | | | | 1/2 | 1/2", "run-unknown", "No run is named Haed on Spacing."),
        ("P | 3 | White oak | | 12 | Head | | | | 1/2 | 1/2", "run-panels", "Head has 5 gaps, but 3 panels stand in it."),
        ("P | 5 | White oak | 10 | | | Top rail; Low rail; Leg | 10 | 12 | 1/2 | 1/2", "rails-two", "Rails names 3 parts."),
        ("P | 5 | White oak | 10 | | | Top rail; Lo rail | 10 | 12 | 1/2 | 1/2", "rails-unknown", "No part is named Lo rail."),
        ("P | 5 | White oak | 10 | | | Top rail; Partition | 10 | 12 | 1/2 | 1/2", "rails-no-place",
         "Nothing tells where Top rail and Partition enter the same leg or stile."),
        ("P | 5 | White oak | 10 | | | Top rail | 10 | 12 | 1/2 | 1/2", "rails-no-place", "where two of Top rail enter"),
    ],
)  # fmt: skip
def test_what_does_not_agree_is_said_beside_the_panel(rows: str, code: str, says: str) -> None:
    found = planned_of(rows)
    told = next(problem for problem in found.problems if problem.code == code)
    assert says in told.says
    assert told.place.startswith("Panels!")
    assert any(told.says in remark for remark in found.panels[0].remarks)


def test_unlike_gaps_that_no_row_fits_leave_the_width_to_the_maker() -> None:
    found = planned_of("P | 5 | White oak | | 12 | Head | | 6 | 12 | 1/2 | 1/2", Spacing=UNLIKE)
    assert codes(found) == ["run-which-gap"]
    assert "(6, 12, 12, 12, 8)" in found.panels[0].remarks[0]
    unmeasured = planned_of("P | 5 | White oak | | 12 | Head | | | | 1/2 | 1/2", Spacing=UNLIKE)
    assert codes(unmeasured) == ["run-which-gap", "no-opening"]


def test_a_run_without_a_gap_is_said() -> None:
    full = "Run | Between | Members | Member width\nHead | 10 | 5 | 2 1/2"
    found = planned_of("P | 5 | White oak | 10 | 12 | Head | | | | 1/2 | 1/2", Spacing=full)
    assert codes(found)[0] == "run-no-gaps"


def test_rails_that_cross_or_stand_unlike_are_said() -> None:
    crossed = planned_of("P | 2 | White oak | 60 | | | Top rail; Low rail | 60 | 12 | 1/2 | 1/2",
                         Joints=JOINTS.replace("18 1/2", "3"))  # fmt: skip
    assert codes(crossed)[0] == "rails-cross"
    parts = PARTS + "    Post | 2 | White oak | 3 | 3 | 30 |\n"
    joints = JOINTS + """
        Top, post | 4 | loose tenon | Post | Top rail | 1/2 | 4 | 1 | 1 | 1 1/2
        Low, post | 4 | loose tenon | Post | Low rail | 1/2 | 3 | 1 | 1 | 19
    """.lstrip("\n")  # fmt: skip
    unlike = planned_of(
        "P | 2 | White oak | 60 | | | Top rail; Low rail | 60 | 12 | 1/2 | 1/2", Parts=parts, Joints=joints
    )
    assert codes(unlike)[0] == "rails-unlike"
    assert "12 high in Leg, but 12 1/2 in Post" in next(
        problem.says for problem in unlike.problems if problem.code == "rails-unlike"
    )


def test_the_job_in_another_species_keeps_the_openings() -> None:
    rows = "Head panel | 10 | White oak | | | Head | Top rail; Low rail | | | 1/2 | 1/2"
    spacing = "Run | Between | Member | Members\nHead | 60 | Partition | 4"
    parts = PARTS.replace("| 3         | 3 ", "| 3/4       | 3 ").replace("| 1 1/2     ", "| 3/4       ")
    job = "Job | Bench\nUnits | inch\nWood moisture now | 7\nDriest wood moisture | 6\nWettest wood moisture | 11\nAlternatives | Black cherry"
    found = planned_of(rows, Spacing=spacing, Job=job, Parts=parts)
    assert [each.hindrance for each in found.costs.alternatives] == ["", ""]


def test_in_mm_the_opening_follows_as_well() -> None:
    """(1000 - 3 x 40) / 4 = 220; rail edges 25 to 125 and 425 to 505: 300."""
    found = planned_of(
        "Panel | 4 | European oak | | | Muntins | Top rail; Low rail | | | 12 | 12",
        Job="Job | Bench\nUnits | mm\nWood moisture now | 7\nDriest wood moisture | 6\nWettest wood moisture | 11",
        Prices="",
        Parts="""
            Part     | Qty | Species      | Thickness | Width | Length
            Leg      | 4   | European oak | 60        | 60    | 600
            Top rail | 1   | European oak | 30        | 100   | 1000
            Low rail | 1   | European oak | 30        | 80    | 1000
            Muntin   | 3   | European oak | 22        | 40    | 300
        """,
        Joints="""
            Joint | Qty | Kind        | Into | From     | Thickness | Width | Depth into | Depth from | At
            Top   | 2   | loose tenon | Leg  | Top rail | 10        | 70    | 25         | 25         | 40
            Low   | 2   | loose tenon | Leg  | Low rail | 10        | 50    | 25         | 25         | 440
        """,
        Spacing="Run | Between | Member\nMuntins | 1000 | Muntin",
    )  # fmt: skip
    assert found.panels[0].panel.opening_width == pytest.approx(220 / 25.4)
    assert found.panels[0].panel.opening_height == pytest.approx(300 / 25.4)
    assert (
        "Planned opening 220 wide, the gap of Muntins; 300 high, between Top rail and Low rail."
        in found.panels[0].remarks
    )

"""Spacing: the worked answers, runs of a part, unlike gaps, and what disagrees with Parts, in the maker's unit."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.records.joinery import Member
from tests.making.making_jobs import METRIC, answered

PARTS = """
    Part      | Qty | Species   | Thickness | Width | Length
    Partition | 4   | White oak | 3/4       | 2 1/2 | 20
    Slat      | 14  | White ash | 3/4       | 3     | 38
    Rail      | 2   | White oak | 7/8       | 5     | 60
"""


def test_five_members_in_thirty_six_stand_where_arithmetic_puts_them() -> None:
    """(36 - 3.75) / 6 = 5.375 (arithmetic)."""
    found = answered({"Spacing": """
        Run   | Between | Members | Member width
        Slats | 36      | 5       | 3/4
    """})  # fmt: skip
    assert found.column("Spacing", "members_used") == [5]
    assert found.column("Spacing", "gap") == [5.375]
    assert "5 3/4, 11 7/8, 18, 24 1/8, 30 1/4" in found.remarks("Spacing")[0]
    assert found.results.runs[0].centers == (5.75, 11.875, 18.0, 24.125, 30.25)


def test_the_largest_gap_gives_the_fewest_members() -> None:
    found = answered({"Spacing": """
        Run   | Between | Largest gap | Member width | First at
        Slats | 36      | 3           | 3            | 0
    """})  # fmt: skip
    assert found.column("Spacing", "members_used") == [7]
    assert found.column("Spacing", "gap") == [2.5]  # (36 - 21) / 6


def test_members_that_do_not_fit_are_told_and_have_no_marks() -> None:
    found = answered({"Spacing": """
        Run   | Between | Members | Member width
        Slats | 10      | 4       | 3
    """})  # fmt: skip
    assert found.codes == ["spacing-overlap"]
    assert "Use 3 members" in found.remarks("Spacing")[0]
    assert found.column("Spacing", "gap") == [None]
    assert found.results.sticks == ()


def test_a_gap_over_the_largest_says_how_many_members_would_do() -> None:
    found = answered({"Spacing": """
        Run   | Between | Members | Largest gap | Member width
        Slats | 36      | 5       | 3           | 3/4
    """})  # fmt: skip
    assert found.codes == ["spacing-gap"]
    assert "Use 9 members" in found.remarks("Spacing")[0]  # (36 - 9 x 3/4) / 10 = 2.925


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("Slats | 36 | | | 3/4 | ", "spacing-needs"),
        ("Slats | 36 | 3 | | 3/4 | 20", "spacing-first"),
        ("Slats | 3 | 1 | | 4 | ", "spacing-none"),
        ("Slats | 36 | 2 | 5 | 3/4 | 16", "spacing-end-gap"),
        ("Slats | 7 | | 1/64 | 3 | ", "spacing-never"),
        ("Slats | 7 | 1 | | 6 | 3", "spacing-first"),
        ("Slats | 96 | | 0.001 | 0.001 | ", "spacing-many"),
        ("Slats | 96 | 4000 | | 0.1 | 30", "spacing-overlap"),
        ("Slats | 96 | 1500 | | 0.02 | 30", "spacing-many"),
    ],
)
def test_a_run_that_cannot_be_is_a_problem_with_its_cell(row: str, code: str) -> None:
    found = answered({"Spacing": f"Run | Between | Members | Largest gap | Member width | First at\n{row}"})
    assert found.codes == [code]
    assert found.problems[0].row == 2
    assert found.problems[0].says in found.remarks("Spacing")[0]


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 12), st.integers(160, 1600), st.integers(4, 12))
def test_no_mark_carries_the_error_of_the_one_before(members: int, between: int, width: int) -> None:
    """Against exact rationals: sixteenths in, every center the nearest float."""
    found = answered({"Spacing": f"""
        Run   | Between      | Members   | Member width
        Slats | {between}/16 | {members} | {width}/16
    """})  # fmt: skip
    whole, one = Fraction(between, 16), Fraction(width, 16)
    gap = (whole - members * one) / (members + 1)
    exact = [gap * (place + 1) + one * place + one / 2 for place in range(members)]
    assert found.results.runs[0].centers == tuple(float(center) for center in exact)


def test_four_partitions_in_sixty_take_width_and_number_from_their_part() -> None:
    """(60 - 4 x 2 1/2) / 5 = 10; each begins 12 1/2 after the one before (arithmetic)."""
    found = answered({"Parts": PARTS, "Spacing": """
        Run        | Between | Member
        Partitions | 60      | partition
    """})  # fmt: skip
    assert found.codes == []
    assert found.column("Spacing", "members_used") == [4]
    assert found.column("Spacing", "gap") == [10]
    run = found.results.runs[0]
    assert [member.begin for member in run.placed] == [10, 22.5, 35, 47.5]
    assert run.placed[3] == Member(47.5, 48.75, 50)
    assert (run.name, run.between, run.width, run.gaps) == ("Partitions", 60, 2.5, (10, 10, 10, 10, 10))
    assert run.part is not None
    assert run.part.part == "Partition"
    assert (
        "Members begin at 10, 22 1/2, 35, 47 1/2 from one end; their centers at 11 1/4, 23 3/4"
        in found.remarks("Spacing")[0]
    )


def test_members_on_edge_count_with_the_thickness_that_is_typed() -> None:
    """(60 - 4 x 3/4) / 5 = 11.4, to a 32nd 11 13/32 in words and in the cell, never 11 2/5."""
    found = answered({"Parts": PARTS, "Spacing": """
        Run        | Between | Member    | Member width
        Partitions | 60      | Partition | 3/4
    """})  # fmt: skip
    assert found.codes == []
    assert found.column("Spacing", "gap") == [11.40625]
    assert found.results.runs[0].gap == 11.4
    text = found.remarks("Spacing")[0]
    assert "Taken as standing on edge: 3/4 is the thickness of Partition." in text
    assert "begin at 11 13/32, 23 9/16, 35 11/16, 47 27/32" in text
    assert "to the nearest 1/32" in text


def test_a_size_in_mm_keeps_its_tenths() -> None:
    """(1000 - 3 x 40) / 4 = 220; (1000 - 2 x 40) / 3 = 306.67."""
    found = answered({"Job": METRIC, "Spacing": """
        Run   | Between | Members | Member width
        One   | 1000    | 3       | 40
        Other | 1000    | 2       | 40
    """})  # fmt: skip
    assert found.column("Spacing", "gap") == [220, pytest.approx(306.666667)]
    assert "begin at 306.5, 653.5" in found.remarks("Spacing")[1]


def test_a_first_and_a_last_gap_leave_the_rest_to_the_others() -> None:
    """(60 - 4 x 2 1/2 - 6 - 8) / 3 = 12: begin at 6, 20 1/2, 35, 49 1/2 (arithmetic)."""
    found = answered({"Parts": PARTS, "Spacing": """
        Run        | Between | Member    | Gaps
        Partitions | 60      | Partition | 6; rest; 8
        Listed     | 60      | Partition | 6; 12; 12; 12; 8
    """})  # fmt: skip
    one, other = found.results.runs
    assert one.gaps == other.gaps == (6, 12, 12, 12, 8)
    assert [member.begin for member in one.placed] == [6, 20.5, 35, 49.5]
    assert one.sides == other.sides
    assert found.column("Spacing", "gap") == [12, None]
    assert "Gaps 6, 12, 12, 12, 8." in found.remarks("Spacing")[1]
    assert found.codes == ["spacing-qty"]  # 4 + 4 against 4


def test_what_is_left_at_an_end_is_no_gap_between_neighbors() -> None:
    """Shelves in a case, from its foot: 4, 25, 26 and what is left, 80 - 3 x 3/4 - 55 = 22 3/4."""
    found = answered(
        {
            "Parts": PARTS,
            "Spacing": """
        Run     | Between | Member width | Gaps
        Shelves | 80      | 3/4          | 4; 25; 26; rest
        Pins    | 80      | 1/4          | 30; 2; 2; 2; rest
    """,
        }
    )
    assert found.column("Spacing", "gap") == [None, None]
    assert "Gaps 4, 25, 26, 22 3/4." in found.remarks("Spacing")[0]


def test_two_runs_of_one_part_share_its_qty() -> None:
    found = answered({"Parts": PARTS.replace("Partition | 4 ", "Partition | 8 "), "Spacing": """
        Run   | Between | Member
        Head  | 60      | Partition
        Foot  | 60      | Partition
    """})  # fmt: skip
    assert found.codes == []
    assert found.column("Spacing", "members_used") == [4, 4]


def test_a_qty_twice_the_members_is_two_runs() -> None:
    found = answered({"Parts": PARTS, "Spacing": """
        Run   | Between | Member | Members
        Slats | 60      | Slat   | 7
    """})  # fmt: skip
    assert found.codes == []
    assert "Parts has 14 of Slat: 2 such runs." in found.remarks("Spacing")[0]


def test_thirteen_slats_against_fourteen_parts_is_said_with_both_numbers() -> None:
    """By the largest gap: (76 - 12 x 3) / 13 = 3.08 is over 3, (76 - 13 x 3) / 14 = 2.64 is not."""
    found = answered({"Parts": PARTS, "Spacing": """
        Run   | Between | Member | Largest gap
        Slats | 76      | Slat   | 3
    """})  # fmt: skip
    assert found.column("Spacing", "members_used") == [13]
    assert found.codes == ["spacing-qty"]
    assert found.problems[0].cell == "C2"
    assert found.problems[0].says == "Slats takes 13 members, but Parts has 14 of Slat."
    assert found.problems[0].instead == "Write 13 in Qty of Slat, or change Members."


@pytest.mark.parametrize(
    ("row", "code", "says"),
    [
        ("A | 60 | | | | |", "spacing-width", "Neither Member nor Member width"),
        ("A | 60 | | | Spat | |", "spacing-member", "No part is named Spat."),
        ("A | 60 | 5 | 1 | Slat | |", "spacing-width-differs", "Member width is 1, but Slat is 3 wide"),
        ("A | 60 | 2 | 1 | | 5 | 5; rest", "spacing-gaps-first", "both tell"),
        ("A | 60 | 4 | 1 | | | 5; 6; 7", "spacing-gaps-count", "Gaps lists 3, but 4 members stand between 5 gaps."),
        ("A | 60 | | 1 | | | 60", "spacing-gaps-count", "Gaps lists 1, but 1 member stand"),
        ("A | 60 | | 5 | | | 20; 20; 20", "spacing-gaps-sum", "2 members of 5 and the gaps listed make 70, but the run fills 60"),
        ("A | 60 | | 5 | | | 20; 20", "spacing-gaps-sum", "make 45"),
        ("A | 60 | | 5 | | | 30; rest; 28", "spacing-gaps-sum", "make 68"),
    ],
)  # fmt: skip
def test_what_a_run_lacks_or_contradicts_is_said(row: str, code: str, says: str) -> None:
    found = answered({
        "Parts": PARTS,
        "Spacing": f"Run | Between | Members | Member width | Member | First at | Gaps\n{row}",
    })  # fmt: skip
    told = next(problem for problem in found.problems if problem.code == code)
    assert says in told.says
    assert told.row == 2
    assert told.says in found.remarks("Spacing")[0]


def test_a_listed_gap_over_the_largest_is_said() -> None:
    found = answered({"Spacing": """
        Run | Between | Largest gap | Member width | Gaps
        A   | 60      | 30          | 5            | 31; rest
    """})  # fmt: skip
    assert found.codes == ["spacing-list-gap"]
    assert found.column("Spacing", "gap") == [24]


@settings(max_examples=40, deadline=None)
@given(st.lists(st.one_of(st.none(), st.integers(0, 160)), min_size=2, max_size=9), st.integers(4, 40))
def test_unlike_gaps_and_their_members_fill_the_run_exactly(gaps: list[int | None], width: int) -> None:
    """Against exact rationals: what is left is shared by the gaps left open."""
    members = len(gaps) - 1
    between = sum(gap or 0 for gap in gaps) + members * width + 37 * gaps.count(None)
    words = "; ".join("rest" if gap is None else f"{gap}/16" for gap in gaps)
    found = answered({
        "Spacing": f"Run | Between | Member width | Gaps\nA | {between}/16 | {width}/16 | {words}"
    }).results.runs[0]  # fmt: skip
    every = [Fraction(37 if gap is None else gap, 16) for gap in gaps]
    begins = [sum(every[: place + 1], Fraction(0)) + Fraction(place * width, 16) for place in range(members)]
    assert [side[0] for side in found.sides] == [float(begin) for begin in begins]
    assert found.gaps == tuple(float(gap) for gap in every)

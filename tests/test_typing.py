"""What a maker types for a frame of partitions and panels: by a run, and place by place as it was done before."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from sheetkit.form.example import example_job
from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.units import Unit
from tests.jobs import pages

PARTS = """
    Part      | Qty | Species   | Thickness | Width | Length
    Front leg | 2   | White oak | 3/4       | 3     | 30
    Back leg  | 2   | White oak | 3/4       | 3     | 30
    Top rail  | 2   | White oak | 3/4       | 5     | 60
    Low rail  | 2   | White oak | 3/4       | 4     | 60
    Partition | 8   | White oak | 3/4       | 2 1/2 | 12
"""
PANELS = (
    "Panel | Qty | Species | Opening width | Opening height | Run | Rails | Groove depth sides | Thickness"
)
BY_RUN = {
    "Joints": """
        Joint | Kind        | Into                | On   | Pieces | From      | Thickness | Width | Depth into | Depth from | At
        Top   | loose tenon | Front leg; Back leg | edge | 1-2    | Top rail  | 1/4       | 4     | 1          | 1          | 1 1/2
        Low   | loose tenon | Front leg; Back leg | edge | 1-2    | Low rail  | 1/4       | 3     | 1          | 1          | 18 1/2
        Ends  | loose tenon | Top rail; Low rail  | edge |        | Partition | 1/4       | 1 1/2 | 1          | 1          | Ends
    """,
    "Spacing": "Run | Between | Member | Members\nEnds | 60 | Partition | 4",
    "Panels": f"{PANELS}\nPanel | 10 | White oak | | | Ends | Top rail; Low rail | 1/2 | 1/2",
}
AT = ("10 1/2", "23", "35 1/2", "48")
"""(60 - 4 x 2 1/2) / 5 = 10; partitions begin at 10, 22 1/2, 35, 47 1/2, a mortise 1 1/2 wide in the middle of each 1/2 later."""
PLACE_BY_PLACE = {
    "Joints": "Joint | Qty | Kind | Into | From | Thickness | Width | Depth into | Depth from | At\n"
    + "".join(
        f"{rail}, {leg} | 2 | loose tenon | {leg} leg | {rail} rail | 1/4 | {width} | 1 | 1 | {at}\n"
        for rail, width, at in (("Top", "4", "1 1/2"), ("Low", "3", "18 1/2"))
        for leg in ("Front", "Back")
    )
    + "".join(
        f"{rail} {at} | 2 | loose tenon | {rail} rail | Partition | 1/4 | 1 1/2 | 1 | 1 | {at}\n"
        for rail in ("Top", "Low")
        for at in AT
    ),
    "Spacing": "Run | Between | Members | Member width\nEnds | 60 | 4 | 2 1/2",
    "Panels": f"{PANELS}\nPanel | 10 | White oak | 10 | 12 | | | 1/2 | 1/2",
}


def answered(tables: Mapping[str, str]) -> Answers:
    intake = take_in(pages({"Parts": PARTS, **tables}))
    assert not intake.problems, intake.problems
    return answer(intake.job)


def typed(tables: Mapping[str, str], *tabs: str) -> int:
    """How many cells of some tabs are filled in, without their headings."""
    return sum(
        bool(cell.strip())
        for tab in tabs
        for line in tables[tab].strip().splitlines()[1:]
        for cell in line.split("|")
    )


def mortises(found: Answers) -> set[tuple[str, str, float, float]]:
    """Part, surface, begin and end of everything cut along a part."""
    return {
        (cavity.part.part, cavity.surface, *cavity.along) for each in found.joints for cavity in each.cavities
    }


def test_a_run_gives_the_places_that_were_typed_one_by_one_with_a_third_of_the_cells() -> None:
    """Begin and end of each mortise by hand: legs 1 1/2 to 5 1/2 and 18 1/2 to 21 1/2, rails at AT, 1 1/2 long."""
    by_run, by_place = answered(BY_RUN), answered(PLACE_BY_PLACE)
    legs = {(f"{leg} leg", "edge", *span) for leg in ("Front", "Back") for span in ((1.5, 5.5), (18.5, 21.5))}
    rails = {(f"{rail} rail", "edge", at, at + 1.5) for rail in ("Top", "Low") for at in (10.5, 23, 35.5, 48)}
    assert mortises(by_run) == mortises(by_place) == legs | rails
    assert typed(PLACE_BY_PLACE, "Joints", "Spacing") == 124
    assert typed(BY_RUN, "Joints", "Spacing") == 36
    assert typed(BY_RUN, "Panels") == typed(PLACE_BY_PLACE, "Panels")


def test_panels_and_blanks_come_out_the_same() -> None:
    by_run, by_place = answered(BY_RUN), answered(PLACE_BY_PLACE)
    assert [each.blanks for each in by_run.panels] == [each.blanks for each in by_place.panels]
    assert (by_run.panels[0].panel.opening_width, by_run.panels[0].panel.opening_height) == (10, 12)
    assert sum(each.pieces for each in by_run.joints) == sum(each.pieces for each in by_place.joints) == 24


def test_one_cell_changes_when_the_frame_grows() -> None:
    """62 1/2 between: (62 1/2 - 10) / 5 = 10 1/2; the mortises begin at 11, 24, 37, 50; the rails are said to be too short."""
    wider = {**BY_RUN, "Spacing": BY_RUN["Spacing"].replace("60", "62 1/2")}
    found = answered(wider)
    rails = sorted({along for part, _, along, _ in mortises(found) if part == "Top rail"})
    assert rails == [11, 24, 37, 50]
    assert found.panels[0].panel.opening_width == pytest.approx(10.5)
    assert [each.code for each in found.problems if each.tab == "Spacing"] == ["frame-run"]
    grown = PARTS.replace("60\n", "62 1/2\n")
    intake = take_in(pages({"Parts": grown, **wider}))
    assert not [each.code for each in answer(intake.job).problems if each.code.startswith("frame-")]


@pytest.mark.parametrize(("unit", "before", "now"), [("in", 582, 499), ("mm", 596, 515)])
def test_the_example_needs_a_tenth_fewer_cells_than_it_did(unit: Unit, before: int, now: int) -> None:
    """What an empty cell means is not typed, nor what Parts and Panels tell of members on Loads and of joints."""
    labels, tables = example_job(unit)
    needed = len(labels) + sum(len(row) for rows in tables.values() for row in rows)
    assert needed == now <= 0.9 * before

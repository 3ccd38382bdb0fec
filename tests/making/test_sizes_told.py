"""Sizes that a row of Joints leaves empty, as Panels, Spacing and Parts tell them; numbers by hand, no source."""

from __future__ import annotations

import pytest

from sheetkit.intake.workbook import take_in
from sheetkit.records.job import Joint
from tests.jobs import pages
from tests.making.making_jobs import METRIC, answered

PARTS = """
    Part      | Qty | Species   | Thickness | Width | Length | Tenons
    Stile     | 2   | White oak | 7/8       | 2 1/2 | 30     |
    Rail, top | 1   | White oak | 7/8       | 3     | 15     | 1
    Rail, low | 1   | White oak | 7/8       | 3     | 15     | 1
    Side      | 2   | White oak | 3/4       | 12    | 40     |
    Shelf     | 3   | White oak | 13/16     | 11    | 30     |
    Cleat     | 4   | White oak | 1/2       | 1     | 11     |
    Stub      | 2   | White oak | 3/4       | 3/4   | 11     |
    Odd rail  | 1   | White oak | 7/8       | 3     | 15     | 1 + 3/4
    One end   | 1   | White oak | 7/8       | 3     | 15     | 1 + 0
"""
PANELS = """
    Panel  | Qty | Species   | Run     | Rails                | Groove depth sides | Groove depth ends | Groove width | Thickness
    Door   | 1   | White oak |         | Rail, top; Rail, low | 1/2                | 3/8               | 1/4          | 5/16
    Alike  | 1   | White oak |         |                      | 7/16               |                   |              | 3/16
    Unlike | 1   | White oak |         |                      | 1/2                | 3/8               | 1/4          | 1/4
    Bay    | 4   | White oak | Shelves |                      | 1/2                | 3/8               | 1/4          | 1/4
"""
RUNS = """
    Run     | Between | Members | Member | Member width
    Shelves | 40      | 3       | Shelf  | 13/16
    Cleats  | 40      | 4       | Cleat  |
"""
HEAD = "Joint | Kind | Into | On | From | Thickness | Width | Depth into | At | Lies"


def row_of(line: str, allowances: str = "") -> tuple[Joint, str]:
    tables = {
        "Parts": PARTS,
        "Panels": PANELS,
        "Spacing": RUNS,
        "Joints": f"{HEAD}\n{line}",
        "Allowances": allowances,
    }
    found = answered({title: text for title, text in tables.items() if text})
    (answer,) = found.results.joints
    return answer.joint, found.remarks("Joints")[0]


@pytest.mark.parametrize(
    ("line", "thick", "deep", "said"),
    [
        # a stile is beside the panel, its two rails are above and below it
        ("G | groove | Stile | edge | Door", 1 / 4, 1 / 2, "As on Panels: 1/4 wide, 1/2 deep."),
        ("G | groove | Rail, low | edge | Door", 1 / 4, 3 / 8, "As on Panels: 1/4 wide, 3/8 deep."),
        ("G | stopped groove | Rail, top; rail, low | edge | Door", 1 / 4, 3 / 8, "1/4 wide, 3/8 deep."),
        # the members of its run stand beside a panel
        ("G | groove | Shelf | edge | Bay", 1 / 4, 1 / 2, "As on Panels: 1/4 wide, 1/2 deep."),
        # grooves alike all around, as wide as a panel of which no Groove width is told
        (
            "G | groove | Stile; Rail, low | edge | Alike",
            3 / 16,
            7 / 16,
            "As on Panels: 3/16 wide, 7/16 deep.",
        ),
        # a typed size is used before any other
        ("G | groove | Stile | edge | Alike | 1/4 | | 1/2", 1 / 4, 1 / 2, ""),
        ("G | groove | Stile | edge | Unlike | | | 1/2", 1 / 4, 1 / 2, "As on Panels: 1/4 wide."),
        # a dado: as thick as a board that stands in it, as wide as each member of a run
        (
            "D | groove | Side | face | Shelf | | | 1/4 | 10; 20 | across",
            13 / 16,
            1 / 4,
            "As on Parts: 13/16 wide.",
        ),
        (
            "D | groove | Side | face | Stub | | | 1/4 | 10; 20 | across",
            3 / 4,
            1 / 4,
            "As on Parts: 3/4 wide.",
        ),
        (
            "D | groove | Side | face | | | | 1/4 | Shelves | across",
            13 / 16,
            1 / 4,
            "As on Spacing: 13/16 wide.",
        ),
        (
            "D | stopped groove | Side | face | Cleat | | 6 | 1/4 | Cleats | across",
            1,
            1 / 4,
            "As on Spacing: 1 wide.",
        ),
        # 1 of tenon and 1/16 of glue
        (
            "T | tenon | Stile | edge | Rail, top | 1/4 | 2 | | 1",
            1 / 4,
            17 / 16,
            "As on Parts: 1 1/16 deep, 1/16 of it for glue.",
        ),
        (
            "T | tenon | Stile | | One end | 1/4 | 2 | | 1",
            1 / 4,
            17 / 16,
            "As on Parts: 1 1/16 deep, 1/16 of it for glue.",
        ),
        ("T | tenon | Stile | edge | Rail, top | 1/4 | 2 | 3/4 | 1", 1 / 4, 3 / 4, ""),
    ],
)
def test_a_size_that_another_tab_tells_may_stay_empty(
    line: str, thick: float, deep: float, said: str
) -> None:
    joint, remarks = row_of(line)
    assert (joint.thickness, joint.depth_into) == pytest.approx((thick, deep))
    assert said in remarks if said else "As on" not in remarks


def test_the_mortise_of_a_tenon_is_as_deep_as_the_shop_s_own_glue_gap_makes_it() -> None:
    """1 and 1/8; in a mm job 25 and the 1.5 of a new workbook."""
    joint, remarks = row_of("T | tenon | Stile | edge | Rail, top | 1/4 | 2 | | 1", "Glue gap | 1/8")
    assert joint.depth_into == pytest.approx(1.125)
    assert "As on Parts: 1 1/8 deep, 1/8 of it for glue." in remarks
    found = answered({"Job": METRIC, "Joints": f"{HEAD}\nT | tenon | Stile | edge | Rail | 7 | 40 | | 10"})
    (answer,) = found.results.joints
    assert answer.joint.depth_into * 25.4 == pytest.approx(26.5)
    assert answer.tenon_length == pytest.approx(25 / 25.4)
    assert found.codes == []


def test_a_recess_for_the_members_of_a_run_is_as_long_as_they_are_wide() -> None:
    """Four cleats of 1 in 40: gaps of 36 / 5 = 7 1/5; they begin at 7 1/5, 15 2/5, 23 3/5 and 31 4/5."""
    tables = {"Parts": PARTS, "Spacing": RUNS}
    rows = f"{HEAD}\nR | hardware | Side | face | Cleat | 1/2 | | 1/4 | Cleats"
    found = answered({**tables, "Joints": rows})
    (answer,) = found.results.joints
    assert [each.along for each in answer.cavities] == [
        pytest.approx((begin, begin + 1)) for begin in (7.2, 15.4, 23.6, 31.8)
    ]
    assert "As on Spacing: 1 long." in found.remarks("Joints")[0]
    assert "joint-width-missing" in answered({**tables, "Joints": rows.replace("Cleat |", "|")}).codes
    # a run of nothing on Parts is one of the recesses themselves
    pins = f"{RUNS}    Pins    | 40      | 5       |        | 1/4"
    found = answered(
        {
            "Parts": PARTS,
            "Spacing": pins,
            "Joints": f"{HEAD}\nP | hardware | Side | face | | 1/4 | | 1/4 | Pins",
        }
    )
    assert [each.along[1] - each.along[0] for each in found.results.joints[0].cavities] == [0.25] * 5


def test_dowels_reach_over_the_width_of_the_part_that_stands_across() -> None:
    """11 in the middle of 12: from 1/2 to 11 1/2; the outer dowels of 3/8 are two diameters in, at 1 1/4 and 10 3/4."""
    tables = {
        "Parts": PARTS,
        "Joints": f"{HEAD}\nS | dowel | Side | face | Shelf | 3/8 | | 1/2 | 10 | across",
    }
    found = answered(tables)
    across = sorted({sum(cavity.across) / 2 for cavity in found.results.joints[0].cavities})
    assert (across[0], across[-1]) == (1.25, 10.75)
    assert "As on Parts: 11 wide." in found.remarks("Joints")[0]


@pytest.mark.parametrize(
    ("line", "lacking"),
    [
        # grooves unlike, and nothing tells which part is a rail
        ("G | groove | Stile | edge | Unlike", ["Depth into"]),
        ("G | groove | Stile; Rail, low | edge | Door", ["Depth into"]),
        ("G | groove | Stile | edge | Bay", ["Depth into"]),
        # no panel, or nothing in From
        ("G | groove | Stile | edge | Shelf", ["Thickness", "Depth into"]),
        ("G | groove | Stile | edge", ["Thickness", "Depth into"]),
        # a strip stands in a dado one way or the other; another part than the run's may be as wide as it will
        ("D | groove | Side | face | Cleat | | | 1/4 | 10 | across", ["Thickness"]),
        ("D | groove | Side | face | Shelf | | | 1/4 | Cleats | across", ["Thickness"]),
        ("D | groove | Side | face | | | | 1/4 | 10 | across", ["Thickness"]),
        # tenons of two lengths, none at all, and one that would reach through
        ("T | tenon | Stile | edge | Odd rail | 1/4 | 2 | | 1", ["Depth into"]),
        ("T | tenon | Stile | edge | Shelf | 1/4 | 2 | | 1", ["Depth into"]),
        ("T | tenon | Stile | face | Rail, low | 1/4 | 2 | | 1", ["Depth into"]),
        ("T | tenon | Stile | edge | Rail, low | | 2 | | 1", ["Thickness"]),
        # nothing tells the depth of a loose tenon, nor of dowels
        ("L | loose tenon | Stile | edge | Rail, low | 1/4 | 2 | | 1", ["Depth into"]),
        ("L | dowel | Side | face | Shelf | 3/8 | | | 1 | across", ["Depth into"]),
    ],
)
def test_a_size_that_nothing_tells_for_sure_is_asked_as_ever(line: str, lacking: list[str]) -> None:
    tables = {"Parts": PARTS, "Panels": PANELS, "Spacing": RUNS, "Joints": f"{HEAD}\n{line}"}
    told = take_in(pages(tables)).problems
    assert [(each.code, each.tab, each.row) for each in told] == [("empty", "Joints", 2)] * len(lacking)
    assert [each.says for each in told] == [f"{heading} is not filled in." for heading in lacking]


def test_a_column_that_is_not_there_is_missed_once_and_only_by_a_row_that_needs_it() -> None:
    rows = "Joint | Kind | Into | On | From\nG | groove | Stile | edge | Door"
    tables = {"Parts": PARTS, "Panels": PANELS, "Joints": rows}
    assert take_in(pages(tables)).problems == ()
    told = take_in(pages({**tables, "Joints": f"{rows}\nA | groove | Stile\nB | groove | Stile"})).problems
    assert [(each.code, each.tab, each.row) for each in told] == [("column-missing", "Joints", 1)] * 2


def test_nothing_is_said_of_it_while_the_tab_that_tells_it_is_to_be_put_right() -> None:
    wrong = PANELS.replace("| 1/4          | 5/16", "| wide         | 5/16")
    told = take_in(
        pages({"Parts": PARTS, "Panels": wrong, "Joints": f"{HEAD}\nG | groove | Stile | edge | Door"})
    )
    assert [each.tab for each in told.problems] == ["Panels"]

"""Pieces too small for the machines by themselves: made larger and cut apart, or handed to a carrier board or sled.

Least sizes are common practice, no source (12 in long, 1 in wide, 1/4 in thick; 300, 25 and 6 mm). Sizes by hand.
"""

from __future__ import annotations

import pytest

from sheetkit.form.example import example_job
from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.records.wood import Small
from sheetkit.tabs.template import template_pages
from sheetkit.units import Unit
from tests.making.making_jobs import answered

HEAD = "Part | Qty | Species | Thickness | Width | Length | Made as | Plies\n"


def parts(*lines: str, allowances: str = "") -> Answers:
    return answered({"Parts": HEAD + "\n".join(lines), "Allowances": allowances}).results


def test_short_plies_and_staves_are_glued_up_long_and_cut_apart_after() -> None:
    results = parts(
        "Leg  | 2 | White oak | 2 | 2 | 8 | face-glued | 2",
        "Seat | 3 | White oak | 3/4 | 5 | 9 | edge-glued | 2",
        "Lid  | 1 | White oak | 3/4 | 5 | 9 | edge-glued | 2",
    )
    leg, seat, lid = (found.blanks for found in results.parts)
    # 8 + 1 is under 12: two in one, 2 x 8 + 1/8 + 1
    assert [(each.length, each.along, each.count, each.wholes) for each in leg] == [(17.125, 2, 2, 1)]
    # 9 + 2 is under 12: two in one would leave one over, so three: 3 x 9 + 2 x 1/8 + 2
    assert [(each.length, each.along, each.count, each.wholes) for each in seat] == [(29.25, 3, 2, 1)]
    assert [(each.length, each.along, each.count, each.wholes) for each in lid] == [(12, 1, 2, 1)]
    assert all(found.small == (Small.LONG,) for found in results.parts)
    assert (
        "Glue up long, then cut: 1 of 2 pieces in one glue-up (shorter than 12" in results.parts[0].remarks[0]
    )
    assert "Glue up long (12), then cut to length." in results.parts[2].remarks


def test_five_short_tops_make_two_glue_ups_of_unlike_length_and_each_keeps_the_staves_a_layout_gave_it() -> (
    None
):
    results = answered({
        "Parts": HEAD + "Top | 5 | White oak | 3/4 | 11 | 8 | edge-glued |",
        "Boards": "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 12.5 | 100",
    }).results  # fmt: skip
    (top,) = results.parts
    # 3 x 8 + 2 x 1/8 + 2 and 2 x 8 + 1/8 + 2
    assert [(each.length, each.along, each.wholes) for each in top.blanks] == [(26.25, 3, 1), (18.125, 2, 1)]
    for blank in top.blanks:
        (widths,) = blank.laid
        # 11 and 1/2 to trim, once both edges of each stave have lost 1/8
        assert sum(widths) - len(widths) / 4 >= 11.5 - 1e-6
    assert top.staves == tuple(blank.laid[0] for blank in top.blanks)


def test_narrow_plies_are_glued_up_wide_and_no_stave_is_cut_narrower_than_the_machines_take() -> None:
    results = parts(
        "Stick | 4 | White oak | 1 | 1/2 | 30 | face-glued | 2",
        "Lid   | 1 | White oak | 3/4 | 6 | 30 | edge-glued | 12",
        "Slip  | 1 | White oak | 3/4 | 1/4 | 30 | edge-glued |",
    )
    stick, lid, slip = (found.blanks[0] for found in results.parts)
    # 1/2 + 1/4 is under 1: two side by side, 2 x 1/2 + 1/8 + 1/4 = 1 3/8
    assert (stick.width, stick.across, stick.count, stick.wholes) == (1.375, 2, 4, 2)
    # (6 + 1/2) / 12 + 2 x 1/8 = 0.79
    assert (lid.width, lid.count) == (1, 12)
    # 1/4 + 1/2 and nothing to joint
    assert (slip.width, slip.count) == (1, 1)
    assert "Glue up wide, then rip: 2 of 2 pieces in one glue-up" in results.parts[0].remarks[0]
    assert "No stave is cut narrower than 1: rip the whole to width." in results.parts[1].remarks
    assert all(Small.WIDE in found.small for found in results.parts)


def test_thin_plies_lie_on_a_carrier_board_though_the_whole_is_thick_enough() -> None:
    # (1/4 + 1/8 to clean up) / 2 = 3/16 a ply; (3/8 + 1/8) / 2 = 1/4
    thin, enough = parts(
        "Slat | 1 | White oak | 1/4 | 2 | 30 | face-glued | 2",
        "Slat | 1 | White oak | 3/8 | 2 | 30 | face-glued | 2",
    ).parts
    assert thin.small == (Small.CARRIER,)
    assert "Thin: plane the pieces on a carrier board, or by hand." in thin.remarks
    assert enough.small == ()


@pytest.mark.parametrize("made", ["edge-glued", "resawn", "bookmatched"])
def test_short_panels_are_glued_up_long_whatever_they_are_made_of(made: str) -> None:
    panels = f"""
        Panel | Qty | Species   | Measured width | Measured height | Groove depth sides | Thickness | Made as
        Door  | 2   | White oak | 7              | 8 1/2           | 1/2                | 3/16      | {made}
    """
    results = answered({
        "Job": "Job | Panels\nUnits | inch\nWood moisture now | 11\nDriest wood moisture | 6\nWettest wood moisture | 11",
        "Panels": panels,
    }).results  # fmt: skip
    (door,) = results.panels
    # 8 1/2 + 2 x (1/2 - 1/32) = 9 7/16 and 2 more is under 12: 2 x 9 7/16 + 1/8 + 2
    assert (door.height, door.width) == (9.4375, 7.9375)
    (blank,) = door.blanks
    assert (blank.length, blank.along, blank.wholes) == (21, 2, 1)
    assert door.small == (Small.LONG, Small.CARRIER)
    assert [each.code for each in results.problems].count("ganged") == 1


def test_tenon_stock_is_no_shorter_than_the_machines_take_and_its_tenons_are_cut_apart_on_a_sled() -> None:
    joints = """
        Joint | Qty | Kind        | Into | From  | Thickness | Width | Depth into
        Slip  | 2   | loose tenon | Leg  | Apron | 3/16      | 3/4   | 1
        Pin   | 2   | dowel       | Leg  | Apron | 3/8       | 4     | 1
    """
    tenon, dowel = answered({"Joints": joints}).results.tenon_stock
    # 2 x (1 - 1/16) each, two of them and three cuts: 4 1/8
    assert (tenon.length, tenon.lengths) == (12, ((2, 1.875),))
    assert tenon.small == (Small.LONG, Small.WIDE, Small.CARRIER, Small.SLED)
    assert dowel.small == ()
    assert dowel.length < 12, "dowels are bought"


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_examples_send_nothing_shorter_or_narrower_than_their_own_limits_through_a_machine(
    unit: Unit,
) -> None:
    labels, filled = example_job(unit)
    intake = take_in(template_pages(unit, labels, filled))
    least = intake.job.allowances
    found = answer(intake.job, 0.1)
    assert found.blanks
    assert all(blank.length >= least.shortest - 1e-9 for blank in found.blanks)
    assert all(min((blank.width, *sum(blank.laid, ()))) >= least.narrowest - 1e-9 for blank in found.blanks)
    assert all(stock.length >= least.shortest - 1e-9 for stock in found.tenon_stock if not stock.round)


def test_staves_that_may_not_be_as_narrow_as_the_machines_take_are_refused() -> None:
    from tests.jobs import pages

    tables = {"Parts": HEAD + "Lid | 1 | White oak | 3/4 | 6 | 30 | edge-glued |"}
    found = take_in(pages({**tables, "Allowances": "Narrowest through machines | 7"}))
    assert [each.code for each in found.problems] == ["stave-limits"]
    assert "7 wide at least, 6 at most" in found.problems[0].says

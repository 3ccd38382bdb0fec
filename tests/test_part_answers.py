"""What stands beside a part: its weight, the slots of a wide top, why pieces share a blank, surfaced stock."""

from __future__ import annotations

import pytest

from sheetkit.page import Page
from sheetkit.tabs.summary import summary_page
from tests.making.making_jobs import Answered, answered

CUBE = """
    Part | Species   | Thickness | Width | Length | Made as
    Cube | White oak | 1         | 48    | 36     | edge-glued
"""
"""A cubic foot, in another shape."""


def job(*lines: str) -> str:
    return "\n".join(("Job | Parts", "Units | inch", *lines))


def said(page: Page) -> set[object]:
    return {cell.value for cell in page.cells.values()}


def remarks(found: Answered, part: int = 0) -> str:
    return " ".join(found.results.parts[part].remarks)


@pytest.mark.parametrize(("moisture", "pounds"), [("6", 46.7), ("12", 47.5), ("14", 47.8), ("", 47.0)])
def test_a_cubic_foot_of_white_oak_weighs_what_its_moisture_makes_it(moisture: str, pounds: float) -> None:
    """Wood Handbook, FPL-GTR-282 (2021), eq. 4-13 and 4-14; 0.68 at 12 % by Table 5-3b. 8 % when none is known.

    By hand at 6 %: G_b = 0.68 / (1 + 0.265 x 0.68 x 0.6) = 0.6137; 0.6137 / (1 - 0.265 x 0.6137 x 0.8) = 0.7054;
    62.4 x 0.7054 x 1.06 = 46.7.
    """
    found = answered({"Job": job(f"Wood moisture now | {moisture}"), "Parts": CUBE})
    assert found.results.parts[0].weight == pytest.approx(pounds, abs=0.05)
    assert found.results.weight == found.results.parts[0].weight


def test_the_weight_of_a_panel_follows_the_moisture_too() -> None:
    panels = """
        Panel | Species   | Measured width | Measured height | Groove depth sides | Thickness
        Door  | White oak | 18             | 24              | 1/2                | 1/2
    """
    for moisture, density in (("6", 46.66), ("14", 47.80)):
        found = answered({"Job": job(f"Wood moisture now | {moisture}"), "Panels": panels}).results.panels[0]
        assert found.weight == pytest.approx(found.width * found.height * 0.5 / 1728 * density, rel=2e-4)


def test_other_species_are_weighed_at_the_same_moisture_and_the_summary_says_which() -> None:
    # Sugar maple, 0.63 at 12 % (Table 5-3b): G_b 0.5726, G 0.6518 at 6 %, 43.1 lb a cubic foot
    found = answered(
        {"Job": job("Wood moisture now | 6", "Alternatives | Sugar maple"), "Parts": CUBE}
    ).results
    maple = next(each for each in found.costs.alternatives if each.species.name == "Sugar maple")
    assert maple.weight == pytest.approx(43.1, abs=0.05)
    assert "46.7 lb at 6.0 % moisture, without hardware" in said(summary_page(found, ""))
    unknown = answered({"Job": job(), "Parts": CUBE}).results
    assert "47.0 lb at 8 % moisture, assumed, without hardware" in said(summary_page(unknown, ""))


TOP = """
    Part | Species   | Thickness | Width | Length | Made as     | Cut
    Top  | White oak | 3/4       | 20    | 40     | edge-glued  | flat
"""


@pytest.mark.parametrize(
    ("now", "out", "inward", "slot", "one_edge"),
    [
        # 20 x 0.00365 x 4 = 0.292 out and 20 x 0.00365 x 1 = 0.073 in, half at each edge; + 3/16; up to the next 1/32
        ("7", "5/32", "1/16", "1/2", "25/32"),
        # 20 x 0.00365 x 1 = 0.073 and x 4 = 0.292: the same slot, the other way round
        ("10", "1/16", "5/32", "1/2", "25/32"),
        # at the wettest already: 20 x 0.00365 x 5 = 0.365, all of it inward
        ("11", "0", "3/16", "9/16", "15/16"),
    ],
)
def test_the_slots_of_a_wide_top_fit_both_moves_from_today_with_the_screw_in_the_middle(
    now: str, out: str, inward: str, slot: str, one_edge: str
) -> None:
    """White oak, tangential 0.00365: Wood Handbook GTR-190 (2010), Table 13-5; the slots are common practice."""
    climate = (f"Wood moisture now | {now}", "Driest wood moisture | 6", "Wettest wood moisture | 11")
    remark = remarks(answered({"Job": job(*climate, "Round to | 1/32"), "Parts": TOP}))
    assert (
        f"each edge then moves up to {out} outward and {inward} inward from where it stands today" in remark
    )
    assert f"Slots for screws 3/16 thick: {slot} long, the screw in the middle of its slot today" in remark
    assert f"fixed along one edge instead, {one_edge} at the other" in remark


@pytest.mark.parametrize(("now", "words"), [("4", "0 in"), ("13", "0 out")])
def test_wood_outside_its_climate_moves_one_way_only(now: str, words: str) -> None:
    climate = (f"Wood moisture now | {now}", "Driest wood moisture | 6", "Wettest wood moisture | 11")
    remark = remarks(answered({"Job": job(*climate), "Parts": TOP}))
    assert words in remark
    assert "-" not in remark.split("Fix it")[1].split("Slots")[0]


@pytest.mark.parametrize(
    ("qty", "width", "length", "column", "reason", "remark"),
    [
        # 8 + 1 trim is under 12; 2 is wide enough
        (4, "2", "8", 6, "shorter than 12", "Mill long, then cut: 2 of 2 pieces in one blank"),
        # 1/2 + 1/4 is under 1; 30 is long enough
        (4, "1/2", "30", 5, "narrower than 1", "Mill wide, then rip: 2 of 2 pieces in one blank"),
        (
            8,
            "1/2",
            "8",
            6,
            "shorter than 12 or narrower than 1",
            "Mill long, then cut and wide, then rip: 2 of 4 pieces",
        ),
        (1, "1/2", "30", None, "", "Mill wide (1), then rip to width."),
        (1, "2", "5", None, "", "Mill long (12), then cut to length."),
        (2, "1/2", "5", 6, "shorter than 12", "Mill wide (1), then rip to width."),
        (4, "2", "30", None, "", ""),
    ],
)
def test_pieces_that_share_a_blank_say_the_true_reason(
    qty: int, width: str, length: str, column: int | None, reason: str, remark: str
) -> None:
    found = answered({"Parts": f"""
        Part | Qty   | Species   | Thickness | Width   | Length
        Stop | {qty} | White oak | 3/4       | {width} | {length}
    """})  # fmt: skip
    told = [
        (each.column, each.says.split("cut: ")[1]) for each in found.results.problems if each.code == "ganged"
    ]
    assert told == ([(column, f"{reason} is not safe through machines.")] if column else [])
    assert remark in remarks(found)
    assert ("Mill" in remarks(found)) == bool(remark)


def test_a_thin_part_is_planed_on_a_carrier_and_never_said_to_be_short() -> None:
    found = answered({"Parts": """
        Part | Qty | Species   | Thickness | Width | Length
        Slip | 4   | White oak | 3/16      | 2     | 30
    """})  # fmt: skip
    assert "Thin: plane it on a carrier board" in remarks(found)
    assert "ganged" not in [each.code for each in found.results.problems]


def surfaced(part: str, prices: str = "White oak | 4/4 |\nWhite oak | 5/4 |\nWhite oak | 8/4 |") -> Answered:
    return answered({
        "Parts": f"Part | Species | Thickness | Width | Length | Made as\n{part}",
        "Prices": f"Species | Stock | Measures\n{prices}",
        "Allowances": "Setting | Value\nStock measures as | surfaced",
    })  # fmt: skip


@pytest.mark.parametrize(
    ("part", "stock", "thick", "words"),
    [
        # surfaced sizes, NHLA: 13/16 of 4/4, 1 1/16 of 5/4, 1 3/4 of 8/4
        (
            "Shelf | White oak | 3/4 | 5 | 40",
            "4/4",
            0.75,
            "3/4 thick: 4/4, surfaced to 13/16, nothing taken for flattening",
        ),
        ("Shelf | White oak | 13/16 | 5 | 40", "4/4", 0.8125, "13/16 thick: 4/4"),
        ("Shelf | White oak | 7/8 | 5 | 40", "5/4", 0.875, "7/8 thick: 5/4"),
        # glued up, 1/16 planes the glue lines flush: common practice, no source
        (
            "Top | White oak | 3/4 | 20 | 40 | edge-glued",
            "4/4",
            0.8125,
            "3/4 + 1/16 to plane it flush = 13/16 thick: 4/4",
        ),
        (
            "Top | White oak | 13/16 | 20 | 40 | edge-glued",
            "5/4",
            0.875,
            "13/16 + 1/16 to plane it flush = 7/8 thick: 5/4",
        ),
        # (3 + 1/8 clean-up) / 2 = 1 9/16
        (
            "Leg | White oak | 3 | 3 | 29 | face-glued",
            "8/4",
            1.5625,
            "/ 2 = 1 9/16 thick: 8/4, surfaced, nothing taken",
        ),
    ],
)
def test_surfaced_stock_that_serves_as_it_is_needs_no_flattening(
    part: str, stock: str, thick: float, words: str
) -> None:
    (found,) = surfaced(part).results.parts
    assert {(blank.stock.name, blank.thickness) for blank in found.blanks} == {(stock, thick)}
    assert words in found.worked_out


def test_stock_that_measures_more_than_its_surfaced_size_is_rough_and_is_flattened() -> None:
    (found,) = surfaced("Shelf | White oak | 3/4 | 5 | 40", "White oak | 4/4 | 1").results.parts
    assert found.blanks[0].thickness == 0.9375  # 3/4 + 3/16 up to 72 in long
    assert "3/4 + 3/16 = 15/16 thick: 4/4" in found.worked_out


@pytest.mark.parametrize(("made_as", "words"), [
    ("edge-glued", "1/2 + 1/16 to plane it flush = 9/16 thick: 4/4, surfaced to 13/16"),
    ("resawn", "2 from one blank of 6/4: 2 x 1/2 + 1 x 3/16 sawn and planed + 1/16 planed flush = 1 1/4"),
])  # fmt: skip
def test_panels_of_surfaced_stock_keep_only_what_planes_them_flush(made_as: str, words: str) -> None:
    found = answered({
        "Panels": f"""
            Panel | Species   | Measured width | Measured height | Groove depth sides | Thickness | Made as
            Door  | White oak | 18             | 24              | 1/2                | 1/2       | {made_as}
        """,
        "Prices": "Species | Stock | Price\nWhite oak | 4/4 | 9\nWhite oak | 6/4 | 9\nWhite oak | 8/4 | 9",
        "Allowances": "Setting | Value\nStock measures as | surfaced",
    })  # fmt: skip
    assert words in found.results.panels[0].worked_out


def test_rough_widths_and_lengths_go_up_to_a_step_of_the_tape_and_thickness_does_not() -> None:
    """Common practice, no source: nobody crosscuts rough stock to 11 13/32. Sizes by hand, at 1/8 in."""
    parts = """
        Part | Qty | Species   | Thickness | Width   | Length   | Made as
        Rail | 1   | White oak | 21/32     | 2 1/32  | 20 13/32 | solid
        Leg  | 1   | White oak | 3 1/32    | 3 1/32  | 20 13/32 | face-glued
        Top  | 1   | White oak | 21/32     | 9 1/32  | 20 13/32 | edge-glued
    """
    panels = """
        Panel | Species   | Measured width | Measured height | Groove depth sides | Thickness
        Door  | White oak | 8              | 20 13/32        | 1/2                | 1/2
    """
    results = answered({"Job": job("Wood moisture now | 11"), "Parts": parts, "Panels": panels}).results
    sizes = [(blank.width, blank.length) for whole in results.wholes for blank in whole.blanks]
    assert sizes[:3] == [
        (2.375, 21.5),  # 2 1/32 + 1/4 = 2 9/32; 20 13/32 + 1 = 21 13/32
        (3.375, 21.5),  # 3 1/32 + 1/4 = 3 9/32
        (5.0, 22.5),  # (9 1/32 + 1/2) / 2 + 1/8 = 4 57/64; 20 13/32 + 2 = 22 13/32
    ]
    # 8 + 2 x (1/2 - 1/32) = 8 15/16 today, (8 15/16 + 1/2) / 2 + 1/8 = 4 27/32; 20 13/32 + 15/16 + 2 = 23 11/32
    assert sizes[3] == (4.875, 23.375)
    thick = [whole.blanks[0].thickness for whole in results.wholes]
    assert thick == [25 / 32, (3 + 1 / 32 + 1 / 8) / 2 + 1 / 8 + 1 / 64, 25 / 32, 5 / 8]
    assert "+ 1 trim = 21 13/32, cut 21 1/2 long" in results.parts[0].worked_out


def test_the_step_of_the_tape_is_the_makers_and_2_mm_in_a_mm_job() -> None:
    parts = "Part | Qty | Species | Thickness | Width | Length\nRail | 1 | White oak | {} | {} | {}"
    own = answered({"Job": job(), "Parts": parts.format("3/4", "2", "20"), "Allowances": "Rough step | 1/2"})
    blank = own.results.parts[0].blanks[0]
    assert (blank.width, blank.length) == (2.5, 21)
    for settings in ({}, {"Allowances": "Glue gap | 1"}):
        metric = answered(
            {"Job": "Job | Parts\nUnits | mm", "Parts": parts.format("20", "51", "500"), **settings}
        ).results
        blank = metric.parts[0].blanks[0]
        # 51 + 6 (6.35 without the tab) = 57 up to 58, 500 + 25 (25.4) = 525 up to 526
        assert [round(size * 25.4, 6) for size in (blank.width, blank.length)] == [58, 526]

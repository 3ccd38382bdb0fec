"""Which stock a part is cut from, and what is said of the one that it just misses."""

from __future__ import annotations

from decimal import Decimal

import pytest

from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from tests.jobs import pages
from tests.there import there

IN_MM = "Job | Bench\nUnits | mm\nWood moisture now | 12\nDriest wood moisture | 7\nWettest wood moisture | 12\nCurrency | €"
MM_CLASSES = """
    Up to length | Thickness | Width | Length
    600          | 3         | 6     | 25
    1800         | 5         | 10    | 25
    beyond       | 10        | 10    | 25
"""


def answered(parts: str, **tabs: str) -> Answers:
    return answer(take_in(pages({"Parts": parts, **tabs})).job)


def test_a_part_that_just_misses_a_thinner_stock_is_told_the_price_of_missing_it() -> None:
    # 3/4 and 3/8 for a part over 72 long: 1 1/8; 4/4 measures 15/16, 5/4 measures 1 3/16
    [rail] = answered(
        "Part | Species | Thickness | Width | Length\nRail | White oak | 3/4 | 2 5/8 | 95",
        Prices="Species | Stock | Price | Waste\nWhite oak | 4/4 | 9.50 | 20 %\nWhite oak | 5/4 | 10 | 20 %",
    ).parts
    near = there(rail.near)
    # the blank is 3 x 96: 2 board feet of 4/4, 2.5 of 5/4, a quarter more bought: 2.5 x 9.50 = 23.75, 3.125 x 10 = 31.25
    assert (near.stock.name, near.short, near.more) == ("4/4", 3 / 16, Decimal("7.50"))
    assert near.volume == pytest.approx(0.625)
    assert "4/4 misses by 3/16: 5/4 costs 7.50 more." in " ".join(rail.remarks)
    assert "If your boards lie flat, write 4/4 in Stock; or make it 3/16 thinner." in " ".join(rail.remarks)


def test_a_part_too_thick_for_a_flat_board_is_told_only_how_much_thinner_it_would_have_to_be() -> None:
    # 1 + 1/8 is 1 1/8: 4/4 misses by 3/16, and a flat board of 15/16 does not hold 1 in
    [leg] = answered(
        "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 20",
        Prices="Species | Stock | Price\nWhite oak | 4/4 | 9\nWhite oak | 5/4 | 10",
    ).parts
    assert not there(leg.near).flat_would_do
    assert "To use 4/4, make it 3/16 thinner." in " ".join(leg.remarks)


@pytest.mark.parametrize(
    "part",
    [
        "Leg | White oak | 1 1/16 | 2 | 20 |",  # 1 3/16 misses 4/4 by 1/4
        "Leg | White oak | 3/4 | 2 | 20 |",  # 4/4 serves, and nothing is thinner
        "Leg | White oak | 1 | 2 | 20 | 5/4",  # the maker has chosen
    ],
)
def test_no_stock_is_named_that_is_far_off_or_that_the_maker_passed_over(part: str) -> None:
    [leg] = answered(
        f"Part | Species | Thickness | Width | Length | Stock\n{part}",
        Prices="Species | Stock | Price\nWhite oak | 4/4 | 9\nWhite oak | 5/4 | 10\nWhite oak | 6/4 | 11",
    ).parts
    assert leg.near is None


def test_without_a_price_the_wood_that_more_is_bought_is_told() -> None:
    [rail] = answered(
        "Part | Species | Thickness | Width | Length\nRail | White oak | 3/4 | 2 5/8 | 95", Prices=""
    ).parts
    assert "4/4 misses by 3/16: 5/4 costs 0.6 board feet more." in " ".join(rail.remarks)


def test_twenty_seven_mm_stock_is_offered_for_twenty_two_and_taken_when_it_is_asked_for() -> None:
    """The figures of the trade: 27 dried 26.5 (here 26.46, at 12 %), straightened 24, finished 22; common practice."""
    tabs = {
        "Job": IN_MM,
        "Allowances": MM_CLASSES,
        "Prices": "Species | Stock | Price | Waste\nEuropean oak | 27 mm | 2000 | 20 %\nEuropean oak | 32 mm | 2000 | 20 %",
    }
    heading = "Part | Species | Thickness | Width | Length | Stock\n"
    [side] = answered(f"{heading}Side | European oak | 22 | 90 | 975 |", **tabs).parts
    assert side.blanks[0].stock.name == "32 mm"
    # 22 + 5 = 27; the blank is 100 x 1000: 5 mm of 0.1 m2 in 0.8, at 2000
    assert there(side.near).more == Decimal("1.25")
    said = " ".join(side.remarks)
    assert "27 mm misses by 1: 32 mm costs €1.25 more. Straightened it leaves about 23.5." in said
    assert "If your boards lie flat, write 27 mm in Stock" in said
    found = answered(f"{heading}Side | European oak | 22 | 90 | 975 | 27 mm", **tabs)
    [side] = found.parts
    assert side.blanks[0].stock.name == "27 mm"
    assert side.blanks[0].thickness == pytest.approx(25.5 / 25.4), "2.5 to straighten it, 1 to plane it"
    assert {each.code for each in found.problems} == {"stock-straightened"}
    assert "22 + 3.5 = 25.5 thick: 27 mm" in side.worked_out


def test_a_stock_in_mm_that_straightens_to_too_little_is_still_too_thin() -> None:
    tabs = {
        "Job": IN_MM,
        "Allowances": MM_CLASSES,
        "Prices": "Species | Stock | Price\nEuropean oak | 27 mm | 2000",
    }
    found = answered(
        "Part | Species | Thickness | Width | Length | Stock\nSide | European oak | 23,5 | 90 | 975 | 27 mm",
        **tabs,
    )
    assert {each.code for each in found.problems} == {"stock-too-thin"}


@pytest.mark.parametrize(
    ("unit", "asked", "taken", "whence"),
    [
        ("mm", "", "27 mm", "EN 1313-2"),
        ("mm", "52 mm", "26 mm", "Germany and Austria"),
        ("mm", "34 mm", "27 mm", "United Kingdom"),
        ("mm", "8/4", "4/4", "in quarters"),
        ("inch", "", "4/4", "in quarters"),
        ("inch", "33 mm", "26 mm", "Germany and Austria"),
    ],
)
def test_without_prices_the_stock_of_one_yard_is_assumed(
    unit: str, asked: str, taken: str, whence: str
) -> None:
    """The yard that sells what the job names elsewhere; sizes of two standards are never mixed."""
    found = answered(
        f"Part | Species | Thickness | Width | Length | Stock\nSide | European beech | 20 mm | 90 mm | 500 mm |\n"
        f"Foot | European beech | 28 mm | 90 mm | 500 mm | {asked}",
        Job=IN_MM.replace("Units | mm", f"Units | {unit}"),
        Prices="",
        Allowances="Up to length | Thickness | Width | Length\nbeyond | 3 mm | 6 mm | 25 mm",
    )
    assert found.parts[0].blanks[0].stock.name == taken
    [said] = [each.says for each in found.problems if each.code == "assumed-stock"]
    assert whence in said

"""Glue and finish priced beside them, joints counted apart, and what each alternative replaces: worked by hand."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

import pytest

from sheetkit.plan.money import KINDS, counted
from sheetkit.tabs.estimate import estimate_page
from sheetkit.tabs.live_money import amount_format
from tests.money.money_jobs import TABLES, Priced, asked, priced

GLUE = """
    Step  | Glues    | Glue area | Adhesive         | Price
    Frame | assembly | 288       | PVA              |
    Top   | blanks   | 144       | PVA              | 16
    Trim  | blanks   | 144       | liquid hide glue |
"""
FINISH = """
    Step | Product     | Coats | Price
    Oil  | hardwax oil | 2     | 48
"""
JOINTS = """
    Joint    | Qty | Kind           | Into  | From    | Thickness | Width | Depth into | Depth from
    Tenons   | 4   | tenon          | Shelf | Bracket | 1/4       | 2     | 1/2        |
    Loose    | 3   | loose tenon    | Shelf | Bracket | 1/4       | 2     | 1/2        | 1/2
    Dowels   | 2   | dowel          | Shelf | Bracket | 1/4       | 2     | 1/2        | 1/2
    Groove   | 5   | groove         | Shelf |         | 1/4       |       | 1/4        |
    Stopped  | 6   | stopped groove | Shelf |         | 1/4       |       | 1/4        |
    Hinge    | 8   | hardware       | Shelf |         | 1/2       | 1     | 1/8        |
"""


def found(**tables: str) -> Priced:
    return priced(asked({tab.replace("_", "-"): text for tab, text in tables.items()}))


def cells(result: Priced) -> Mapping[tuple[int, int], object]:
    page = estimate_page(result.results, "")
    return {at: cell.value for at, cell in page.cells.items()}


def test_a_price_in_one_row_counts_for_the_whole_kind() -> None:
    result = found(Glue_ups=GLUE)
    glue, hide = result.estimate.supplies
    ounces = sum(each.fluid_ounces or 0 for each in result.results.glue_ups[:2])
    assert glue.amount == pytest.approx(ounces)
    assert glue.price == 16
    # 16 a quart of 32 fluid ounces
    assert glue.cost == Decimal(ounces * 16 / 32).quantize(Decimal("0.01"))
    assert (hide.price, hide.cost) == (None, None)
    assert result.estimate.glue_and_finish == glue.cost
    plain = priced(asked({}))
    assert result.estimate.direct == plain.estimate.direct + glue.cost
    assert result.estimate.overhead == ((plain.estimate.direct + glue.cost) * Decimal("0.15")).quantize(
        Decimal("0.01")
    )


def test_a_price_counts_from_a_row_whose_own_amount_is_not_known() -> None:
    glue = """
        Step    | Glues    | Glue area | Adhesive | Price | Across clamps | Along
        Staves  | blanks   |           | PVA      | 16    | 26            | 50
        Frame   | assembly | 100       | PVA      |       |               |
    """
    result = found(Glue_ups=glue)
    (pva,) = result.estimate.supplies
    assert pva.price == 16
    assert pva.cost == Decimal(pva.amount * 16 / 32).quantize(Decimal("0.01"))
    assert pva.cost > 0
    assert pva.rows == (2, 3), "the live formula looks at both"
    unpriced = found(Glue_ups=glue.replace("100", "   "))
    assert not unpriced.estimate.supplies, "nothing is known of how much"


def test_finish_is_paid_by_the_quart_and_in_a_mm_job_by_the_liter() -> None:
    inch = found(Finish=FINISH)
    (oil,) = inch.estimate.supplies
    assert oil.unit == "qt"
    assert oil.cost == Decimal(oil.amount * 48).quantize(Decimal("0.01"))
    metric = found(
        Finish=FINISH,
        Job=TABLES["Job"].replace("inch", "mm"),
        Glue_ups=GLUE,
        Parts="Part | Species | Thickness | Width | Length\nShelf | White oak | 19 | 127 | 1000",
        Prices="Species | Stock | Price\nWhite oak | 27 mm | 2150",
    )
    by_name = {each.name: each for each in metric.estimate.supplies}
    glue = by_name["PVA"]
    assert (by_name["hardwax oil"].unit, glue.unit) == ("l", "ml")
    assert glue.cost == Decimal(glue.amount * 16 / 1000).quantize(Decimal("0.01"))


def test_what_extras_lists_is_counted_once_and_the_old_way_still_works() -> None:
    extras = "Item | Qty | Unit price\nHardwax oil, a can | 1 | 39"
    unpriced = found(Finish=FINISH.replace("| 48", "|"), Extras=extras)
    assert unpriced.estimate.supplies[0].on_extras
    assert unpriced.estimate.glue_and_finish == 0
    assert unpriced.estimate.extras == 39
    brush = "Item | Qty | Unit price\nBrush for hardwax oil | 1 | 9"
    both = found(Finish=FINISH, Extras=brush)
    assert not both.estimate.supplies[0].on_extras, "a brush is not the oil, which has a price of its own"
    same = found(Finish=FINISH, Extras="Item | Qty | Unit price\nhardwax oil | 1 | 39")
    assert same.estimate.supplies[0].on_extras
    assert same.estimate.glue_and_finish == 0


def test_a_joint_is_no_groove_and_no_recess() -> None:
    result = found(Joints=JOINTS)
    counts = counted(result.results.job, result.results.parts, result.results.panels, result.results.joints)
    assert {name: counts[name] for name in KINDS} == {"joint": 9, "groove": 11, "recess": 8}


def test_an_alternative_says_what_it_replaces_and_its_own_panels() -> None:
    panels = """
        Panel | Qty | Species      | Measured width | Measured height | Groove depth sides | Thickness
        Oak   | 1   | White oak    | 14             | 20              | 3/8                | 1/4
        Pine  | 1   | Sugar pine   | 10             | 9               | 3/8                | 1/4
    """
    result = found(Panels=panels, Job=TABLES["Job"].replace("White ash, Sugar maple", "White ash"))
    own, ash = result.alternatives
    oak = next(each for each in result.results.panels if each.panel.panel == "Oak")
    assert own.bearing == pytest.approx(oak.bearing)
    assert ash.bearing is not None
    assert ash.bearing != pytest.approx(own.bearing)
    words = set(cells(result).values())
    assert "The same job with another wood in place of White oak" in words
    assert {"White oak (as asked)", "White ash for White oak"} <= words


@pytest.mark.parametrize(
    ("amount", "price", "cost", "least", "places"),
    [(0.0112047, "2150", "24.09", 3, 6), (5.0, "9.50", "47.50", 2, 2), (1.2345, "8.10", "10.00", 2, 3)],
)
def test_a_volume_has_the_places_that_its_price_needs(
    amount: float, price: str, cost: str, least: int, places: int
) -> None:
    shown = amount_format([(amount, Decimal(price), Decimal(cost))], least)
    assert len(shown.value.partition(".")[2]) == places
    printed = Decimal(f"{amount:.{places}f}") * Decimal(price)
    assert printed.quantize(Decimal("0.01"), "ROUND_HALF_UP") == Decimal(cost)

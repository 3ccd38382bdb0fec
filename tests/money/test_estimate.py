"""The estimate: every step by hand, what has no price, what is counted, and other species."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.page import Page
from sheetkit.plan import answer
from sheetkit.plan.money import alternatives, counted, estimate
from sheetkit.plan.shop import Shop
from sheetkit.records.answers import Answers
from sheetkit.records.job import Extra, Job, Operation
from sheetkit.tables import find_species
from sheetkit.tabs.beside import answers_beside
from sheetkit.tabs.estimate import estimate_page
from sheetkit.tabs.live_money import FIRST_LUMBER_ROW, SUM_COLUMN, live_share, sum_row
from sheetkit.tabs.lumber import lumber_page
from sheetkit.tabs.quote import quote_page
from tests.money.money_jobs import asked, money_pages, priced


def texts(page: Page) -> list[str]:
    return [cell.value for cell in page.cells.values() if isinstance(cell.value, str)]


def test_a_small_shelf_by_hand_every_step() -> None:
    found = priced(asked()).estimate
    # blanks: shelf 5 + 1/4 wide, 40 + 1 long; two brackets 3 + 1/4 wide, 13 + 1 long; all 4/4
    net = (5.25 * 41 + 2 * 3.25 * 14) / 144
    assert net == pytest.approx(2.1267361)
    (line,) = found.lumber_lines
    assert line.net == pytest.approx(net)
    assert line.buy == pytest.approx(net / 0.8)  # 2.6584
    assert line.cost == Decimal("25.25")  # 2.6584201 x 9.50 = 25.25499
    assert [each.cost for each in found.extras_answers] == [
        Decimal("2.80"),
        Decimal("9.60"),
    ]  # 8 x 0.35, 2 x 4.80
    choose, mill, sand = found.operations
    assert (choose.count, choose.hours, choose.cost) == (1, 0.5, Decimal("22.50"))  # 30 min at 45
    assert (mill.count, mill.hours, mill.cost) == (3, 0.3, Decimal("13.50"))  # 3 blanks x 6 min at 45
    # shelf 2(3/4 x 5 + 3/4 x 40 + 5 x 40) = 467.5; brackets 2 x 2(3/4 x 3 + 3/4 x 13 + 3 x 13) = 204 in2
    assert sand.count == pytest.approx((467.5 + 204) / 144)
    assert sand.cost == Decimal("12.44")  # 4.663194 ft2 x 4 min at its own 40 = 12.43519
    assert found.direct == Decimal("86.09")  # 25.25 + 12.40 + 48.44
    assert found.overhead == Decimal("12.91")  # 15 % of 86.09 = 12.9135
    assert found.cost == Decimal("99.00")
    assert found.profit == Decimal("19.80")  # 20 % on cost
    assert (found.markup, round(found.margin, 6)) == (Decimal("0.2"), Decimal("0.166667"))
    assert found.price == Decimal("118.80")
    assert found.tax == Decimal("8.32")  # 7 % of 118.80 = 8.316
    assert found.total == Decimal("127.12")
    assert (found.deposit, found.balance) == (Decimal("63.56"), Decimal("63.56"))
    assert sum(each.amount for each in found.lines) == found.total


def test_the_same_profit_as_a_margin_is_a_higher_price() -> None:
    job = asked()
    found = priced(replace(job, sheet=replace(job.sheet, profit_as="margin"))).estimate
    assert found.price == Decimal("123.75")  # 99 / (1 - 0.2)
    assert found.markup == Decimal("0.25")


prices = st.decimals(0, 500, places=3)
extras = st.builds(Extra, st.just(0), st.just("x"), st.floats(0, 99), prices)
operations = st.builds(Operation, st.just(0), st.just("o"), st.floats(0, 600), st.sampled_from(["job", "part", "surface"]),
                       prices)  # fmt: skip
share = st.floats(0, 0.9)


@settings(max_examples=60, deadline=None)
@given(st.lists(extras, max_size=5), st.lists(operations, max_size=5), share, share, share, share,
       st.sampled_from(["markup", "margin"]))  # fmt: skip
def test_the_lines_add_up_to_the_total_and_each_is_whole_cents(
    bought: list[Extra],
    work: list[Operation],
    over: float,
    profit: float,
    tax: float,
    deposit: float,
    way: str,
) -> None:
    job = asked()
    sheet = replace(job.sheet, overhead=over, profit=profit, tax=tax, deposit=deposit, profit_as=way)
    job = replace(job, sheet=sheet, extras=tuple(bought), labor=tuple(work))
    found = estimate(Answers(job), Shop(job))
    assert sum((line.amount for line in found.lines), Decimal(0)) == found.total
    assert found.deposit + found.balance == found.total
    assert all(line.amount == line.amount.quantize(Decimal("0.01")) for line in found.lines)


def test_what_has_no_price_is_named_and_left_out_of_every_sum() -> None:
    job = asked({
        "Prices": "Species | Stock | Price\nRed oak | 4/4 | 9",
        "Extras": "Item | Qty | Unit price\nLatch | 2 |\nKnob | 1 | 3.50",
        "Job": "Job | Shelf\nUnits | inch",
        "Labor": "Operation | Minutes each\nMill | 30",
    })  # fmt: skip
    found = priced(job)
    assert found.estimate.unpriced == ("White oak 4/4", "Latch", "Mill")
    assert found.estimate.total == Decimal("3.50")
    lumber, inside, quote = money_pages(found)
    assert any("White oak 4/4, Latch, Mill" in text for text in texts(inside))
    assert any(text.startswith("Not ready to send") for text in texts(quote))
    assert lumber.title == "Lumber"


def test_labor_counts_from_the_job_itself() -> None:
    job = asked({
        "Parts": "Part | Qty | Species | Thickness | Width | Length\nStile | 2 | White oak | 3/4 | 2 | 24\n"
                 "Rail | 3 | White oak | 3/4 | 2 | 14",
        "Panels": "Panel | Qty | Species | Opening width | Opening height | Groove depth | Thickness\n"
                  "Field | 2 | White oak | 12 | 10 | 1/2 | 3/8",
        "Joints": "Joint | Qty | Kind | Thickness | Width | Depth into\nCorner | 6 | tenon | 1/4 | 1 | 1\n"
                  "Middle | 2 | tenon | 1/4 | 1 | 1",
    })  # fmt: skip
    results = answer(job)
    found = counted(job, results.parts, results.panels, results.joints)
    assert (found["job"], found["part"], found["joint"], found["panel"]) == (1, 5, 8, 2)
    assert found["blank"] == sum(blank.count for blank in results.blanks)
    (panel,) = results.panels
    stiles = 2 * 2 * (0.75 * 2 + 0.75 * 24 + 2 * 24)
    rails = 3 * 2 * (0.75 * 2 + 0.75 * 14 + 2 * 14)
    fields = 2 * 2 * panel.width * panel.height
    assert found["surface"] == pytest.approx((stiles + rails + fields) / 144)
    metric = replace(job, sheet=replace(job.sheet, unit="mm"))
    assert counted(metric, results.parts, results.panels, results.joints)["surface"] == pytest.approx(
        found["surface"] * 0.09290304
    )


def test_glue_and_finish_are_told_and_found_on_extras() -> None:
    job = asked({
        "Glue-ups": "Step | Joints | Glue area | Adhesive\nShelf | 2 | 20 | PVA",
        "Finish": "Step | Product | Coats\nOil | hardwax oil | 2",
        "Extras": "Item | Qty | Unit price\nHardwax oil, small can | 1 | 31.40",
    })  # fmt: skip
    found = priced(job).estimate
    glue, oil = found.supplies
    assert (glue.name, glue.unit, glue.on_extras) == ("PVA", "fl oz", False)
    assert (oil.name, oil.unit, oil.on_extras) == ("hardwax oil", "qt", True)
    assert glue.amount > 0
    assert oil.amount > 0


def test_other_species_stand_side_by_side_and_unpriced_ones_are_flagged() -> None:
    job = asked()
    found = priced(job)
    oak, ash, maple = found.alternatives
    assert (oak.species.name, oak.own, oak.price) == ("White oak", True, found.estimate.price)
    assert oak.weight == found.results.weight
    assert ash.buy == pytest.approx(oak.buy)
    assert ash.lumber == Decimal("15.42")  # 2.6584201 x 5.80 = 15.41884
    direct = Decimal("15.42") + Decimal("12.40") + Decimal("48.44")
    cost = direct + Decimal("11.44")  # 15 % of 76.26 = 11.439
    assert ash.price == cost + Decimal("17.54")  # 20 % of 87.70
    assert (maple.price, maple.lumber, maple.unpriced) == (None, None, ("Sugar maple 4/4",))
    assert maple.weight is not None
    _, inside, _ = money_pages(found)
    assert "Unpriced until Prices lists them: Sugar maple 4/4." in texts(inside)
    (picture,) = inside.pictures
    assert "White ash" in picture.alt
    assert picture.png.startswith(b"\x89PNG")


def test_a_species_that_the_job_cannot_be_made_of_says_why() -> None:
    job = asked({
        "Prices": "Species | Stock | Price\nWhite oak | 8/4 | 12\nWhite ash | 4/4 | 6",
        "Parts": "Part | Species | Thickness | Width | Length\nPost | White oak | 1 1/2 | 2 | 20",
    })  # fmt: skip
    found = priced(job)
    ash = next(each for each in found.alternatives if each.species.name == "White ash")
    assert "White ash" in ash.hindrance
    assert ash.price is None
    _, inside, _ = money_pages(found)
    assert any(text.startswith("cannot be made of it") for text in texts(inside))


def test_the_least_bearing_of_the_panels_is_compared() -> None:
    job = asked({
        "Panels": "Panel | Qty | Species | Measured width | Measured height | Groove depth | Thickness\n"
                  "Wide | 1 | White oak | 16 | 10 | 3/8 | 3/8\nNarrow | 1 | White oak | 6 | 10 | 3/8 | 3/8",
    })  # fmt: skip
    found = priced(job)
    assert found.alternatives[0].bearing == min(panel.bearing for panel in found.results.panels)
    assert found.alternatives[1].bearing != found.alternatives[0].bearing


def test_without_alternatives_the_plan_is_not_asked_again() -> None:
    job = asked()
    job = replace(job, sheet=replace(job.sheet, alternatives=()))
    results = answer(job)
    made = results.costs.estimate

    def never(job: Job) -> Answers:
        raise AssertionError

    assert alternatives(results, made, never) == ()


def test_the_tabs_agree_on_where_sums_and_lumber_lines_stand() -> None:
    found = priced(asked())
    lumber = lumber_page(found.results, "")
    assert lumber.cells[FIRST_LUMBER_ROW, 1].value == "White oak"
    inside = estimate_page(found.results, "")
    for name in ("price", "tax", "total", "deposit", "balance"):
        assert inside.cells[sum_row(name), SUM_COLUMN].value == float(getattr(found.estimate, name))
    quote = quote_page(found.results)
    assert not any(text.startswith("Made") for text in texts(quote))


def test_every_amount_on_the_tabs_is_a_formula_with_its_result() -> None:
    found = priced(asked())
    pages = money_pages(found)[1:]
    for page in pages:
        amounts = {a: cell for a, cell in page.cells.items() if cell.style.format.name == "MONEY"}
        assert amounts
        assert all(cell.formula and cell.value is not None for cell in amounts.values()), page.title
    beside = answers_beside(found.results)
    assert all(cells["cost"].formula for tab in ("Extras", "Labor") for cells in beside[tab].values())


def test_a_share_in_a_cell_shown_as_per_cent_may_be_the_whole_or_more() -> None:
    place = ("Job", 4, 2)
    number = replace(asked(), labels={"profit": place}, numeric=frozenset({place}), percents=frozenset())
    assert live_share(number, "profit", 0.2) == "IF(Job!$B$4>=1,Job!$B$4/100,Job!$B$4)"
    assert live_share(replace(number, percents=frozenset({place})), "profit", 1.2) == "Job!$B$4"


def test_an_alternative_keeps_the_other_species_of_the_job() -> None:
    job = asked({
        "Parts": "Part | Species | Thickness | Width | Length\nShelf | White oak | 3/4 | 5 | 40\nPin | White ash | 3/4 | 2 | 20",
    })  # fmt: skip
    maple = find_species("Sugar maple")
    found = next(each for each in priced(job).alternatives if each.species == maple)
    assert {line.species.name for line in found.lumber_lines} == {"Sugar maple", "White ash"}

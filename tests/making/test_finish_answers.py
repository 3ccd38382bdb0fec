"""Finish: surface, amount, grits, cautions and calendar. Trade figures are common practice, no source."""

from __future__ import annotations

import pint
import pytest

from sheetkit.form.example import example_job
from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.tabs.template import template_pages
from tests.making.making_jobs import METRIC, Answered, answered

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
PARTS = """
    Part       | Qty | Species   | Thickness | Width | Length
    Leg        | 4   | White oak | 2         | 2     | 30
    Rail, low  | 2   | White oak | 1         | 3     | 20
    Seat       | 1   | White oak | 1         | 5     | 40
"""
PANELS = """
    Panel | Qty | Species   | Opening width | Opening height | Measured width | Measured height | Groove depth sides | Thickness
    End   | 2   | White oak | 12            | 10             | 12             | 10              | 3/8                | 1/4
"""
LEG, RAIL, SEAT = 4 * 2 * (4 + 60 + 60), 2 * 2 * (3 + 20 + 60), 2 * (5 + 40 + 200)


def finish(table: str, **more: str) -> Answered:
    return answered({"Parts": PARTS, "Finish": table, **more})


def test_the_surface_is_all_faces_of_parts_and_both_sides_of_panels() -> None:
    found = finish("Step | Product | Coverage\nOil | hardwax oil | 400", Panels=PANELS)
    panel = found.results.panels[0]
    surface = LEG + RAIL + SEAT + 2 * 2 * panel.width * panel.height
    assert found.column("Finish", "surface") == pytest.approx([surface / 144])
    assert "before they go into the frame" in found.remarks("Finish")[0]


def test_parts_are_named_with_commas_between_even_when_a_name_holds_one() -> None:
    found = finish("Step | Product | Parts\nOil | hardwax oil | Rail, low, Seat")
    assert found.column("Finish", "surface") == pytest.approx([(RAIL + SEAT) / 144])
    assert found.codes == []


def test_a_name_that_is_neither_part_nor_panel_is_told() -> None:
    found = finish("Step | Product | Parts\nOil | hardwax oil | Leg, Lid")
    assert found.codes == ["finish-part-unknown"]
    assert found.column("Finish", "surface") == pytest.approx([LEG / 144])


def test_the_amount_is_surface_by_coats_over_coverage_and_waste() -> None:
    """Against pint; 15 % left in rags and can."""
    found = finish("Step | Product | Coats | Coverage\nOil | hardwax oil | 2 | 400")
    surface = (LEG + RAIL + SEAT) * UNITS.inch**2
    quarts = (surface * 2 / (400 * UNITS.ft**2 / UNITS.gallon) * 1.15).to("quart").magnitude
    assert found.column("Finish", "needed") == pytest.approx([quarts])


def test_the_metric_amount_is_liters_by_square_meters_a_liter() -> None:
    found = answered({
        "Job": METRIC,
        "Parts": "Part | Species | Thickness | Width | Length\nTop | White oak | 20 | 500 | 1000",
        "Finish": "Step | Product | Coats | Coverage\nOil | hardwax oil | 2 | 10",
    })  # fmt: skip
    surface = 2 * (0.02 * 0.5 + 0.02 + 0.5)
    assert found.column("Finish", "surface") == pytest.approx([surface])
    assert found.column("Finish", "needed") == pytest.approx([surface * 2 / 10 * 1.15])


def test_the_first_coat_on_bare_wood_takes_more_by_the_table_and_later_rows_do_not() -> None:
    found = finish("""
        Step  | Product         | Coats
        First | penetrating oil | 1
        Later | penetrating oil | 1
    """)
    first, later = found.numbers("Finish", "needed")
    assert first == pytest.approx(2 * later)
    assert "of penetrating oil in all" in found.remarks("Finish")[1]


def test_wood_is_bare_until_it_has_a_coat_whatever_other_parts_had() -> None:
    """Two parts alike, oiled in rows of their own, drink as much; the row for all finds half of it bare."""
    alike = "Part | Species | Thickness | Width | Length\nTop | White oak | 3/4 | 5 | 40\nShelf | White oak | 3/4 | 5 | 40\nLeg | White oak | 3/4 | 5 | 40\nFoot | White oak | 3/4 | 5 | 40"
    found = answered({
        "Parts": alike,
        "Finish": """
            Step  | Product         | Coats | Grit     | Parts
            Top   | penetrating oil | 1     | 180, 220 | Top
            Shelf | penetrating oil | 1     | 180, 220 | Shelf
            Again | penetrating oil | 1     | 400      | Top, Shelf
            Rest  | penetrating oil | 1     |          | all
        """,
    })  # fmt: skip
    top, shelf, again, rest = found.numbers("Finish", "needed")
    assert shelf == pytest.approx(top)
    assert again == pytest.approx(top)  # twice the surface, by half
    assert rest == pytest.approx(3 * top)  # two bare, and two by half
    assert found.codes == []
    usual = [("bare wood" in told, "between coats" in told) for told in found.remarks("Finish")]
    assert usual == [(True, False), (True, False), (False, True), (False, False)]


def test_the_calendar_counts_days_until_each_step_may_begin() -> None:
    found = finish("""
        Step   | Product     | Coats | Hours to next
        Sand   |             | 1     |
        Oil    | hardwax oil | 2     | 24
        Last   | hardwax oil | 1     | 12
    """)
    sand, oil, last = found.results.finish
    assert (sand.first_day, oil.first_day, oil.ready_day, last.first_day) == (1, 1, 3, 3)
    assert oil.starts == (1.0, 26.0)
    assert "Days 1 to 2; ready on day 3" in found.remarks("Finish")[1]


def test_grits_go_from_coarse_to_fine_without_skipping_two_grades() -> None:
    found = finish("""
        Step  | Product     | Grit
        Sand  |             | 80, 180
        Sand  |             | 150
        Oil   | hardwax oil | 220
        Again | hardwax oil | 320
    """)
    assert found.codes == ["grit-skips", "grit-order"]
    assert "Sand with 120 in between" in found.remarks("Finish")[0]
    assert "Usual on bare wood under hardwax oil: 120, 150, 180 then 220." in found.remarks("Finish")[0]
    assert "Usual between coats: 400." in found.remarks("Finish")[3]


def test_oil_warns_of_rags_and_sanding_of_dust() -> None:
    sand, oil = finish("Step | Product | Grit\nSand | | 180\nOil | penetrating oil |").remarks("Finish")
    assert "dust" in sand
    assert "fire by themselves" in oil
    assert "rags" not in finish("Step | Product\nClear | water-borne clear").remarks("Finish")[0].lower()


def test_a_frame_of_which_glue_ups_says_nothing_stands_in_clamps_overnight() -> None:
    """Two coats on the panel at 0 and 24 h, dry at 48; 12 h in clamps; the frame is oiled when the shop opens at 72 h."""
    labels, filled = example_job("in", small=True)
    (oil,) = answer(take_in(template_pages("in", labels, filled)).job).finish
    assert (oil.early_starts, oil.starts) == ((0.0, 24.0), (72.0, 96.0))

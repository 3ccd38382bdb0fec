"""The tables of adhesives, finishes and mattresses: rows sourced, figures in order, units against pint."""

from __future__ import annotations

import pint
import pytest

from sheetkit.tables import rows, source

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
TABLES = ("adhesives", "finishes", "mattresses")
VERIFIED = {"read", "memory", "common practice", "memory; clamp time read"}


@pytest.mark.parametrize("table", TABLES)
def test_every_row_names_a_known_source_and_how_it_was_verified(table: str) -> None:
    for row in rows(table):
        for column, value in row.items():
            if column.endswith("source"):
                assert source(value)
            if column.endswith("verified"):
                assert value in VERIFIED


@pytest.mark.parametrize(
    ("table", "key"), [("adhesives", "kind"), ("finishes", "product"), ("mattresses", "name")]
)
def test_no_name_stands_twice(table: str, key: str) -> None:
    names = [row[key].casefold() for row in rows(table)]
    assert len(set(names)) == len(names)


def test_adhesive_figures_are_in_order() -> None:
    for row in rows("adhesives"):
        assert 0 < float(row["open_minutes"]) <= float(row["assembly_minutes"])
        assert 0 < float(row["spread_low_lb_1000ft2"]) <= float(row["spread_high_lb_1000ft2"])
        if row["psi_soft"]:
            assert 0 < float(row["psi_soft"]) < float(row["psi_hard"]) <= 250


def test_spread_rates_in_pounds_are_those_in_grams() -> None:
    # PVA about 150 to 250 g/m2 of glue line; epoxy 100 to 200 g/m2 on each of two faces (from memory)
    grams = {"PVA": (150, 250), "slow epoxy": (200, 400)}
    for row in rows("adhesives"):
        for bound, gram in zip(
            ("spread_low_lb_1000ft2", "spread_high_lb_1000ft2"), grams.get(row["kind"], ()), strict=False
        ):
            pounds = (gram * UNITS.gram / UNITS.m**2 * 1000 * UNITS.ft**2).to("lb").magnitude
            assert float(row[bound]) == pytest.approx(pounds, rel=0.03)


def test_later_coats_cover_no_less_than_the_first() -> None:
    for row in rows("finishes"):
        assert 0 < float(row["coverage_first_ft2_gal"]) <= float(row["coverage_later_ft2_gal"])


def test_finishes_that_dry_by_taking_up_oxygen_carry_the_caution_for_rags() -> None:
    cautions = {row["product"]: row["caution"].split() for row in rows("finishes")}
    for product in ("penetrating oil", "hardwax oil", "brushing varnish", "wiping varnish"):
        assert "rags" in cautions[product]
    assert "rags" not in cautions["water-borne clear"]


def test_mattress_sizes_in_inches_are_the_printed_ones() -> None:
    for row in rows("mattresses"):
        for side in ("width", "length"):
            printed = float(row[side]) * UNITS(row["unit"])
            assert float(row[f"{side}_in"]) == pytest.approx(printed.to("inch").magnitude, rel=1e-12)
        assert float(row["width_in"]) <= float(row["length_in"])


def test_the_three_markets_have_their_usual_sizes() -> None:
    sizes = {row["name"]: (row["width"], row["length"], row["unit"]) for row in rows("mattresses")}
    assert sizes["US queen"] == ("60", "80", "in")
    assert sizes["UK double"] == ("135", "190", "cm")
    assert sizes["EU 160 x 200"] == ("160", "200", "cm")

"""The published tables: sources known and used, names unique, figures within what wood does."""

from __future__ import annotations

import csv
import re
from collections import Counter
from importlib import resources

import pytest

from sheetkit.tables import (
    all_species,
    find_species,
    metric_stocks,
    nearest_species,
    offered_metric_stocks,
    rows,
    source,
    surfaced_stock,
)

FOLDER = resources.files("sheetkit.tables")
TABLES = sorted(path.name.removesuffix(".csv") for path in FOLDER.iterdir() if path.name.endswith(".csv"))
# Keys that stand in docstrings and the documentation, for formulas and not for rows of a table.
FOR_FORMULAS = {"WH 4-13", "WH 9-2", "WH 5", "sag practice"}


def keys_used(table: str) -> set[str]:
    return {
        value
        for row in rows(table)
        for column, value in row.items()
        if column == "source" or column.endswith("_source")
    } - {""}


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_as_many_cells_as_the_heading(table: str) -> None:
    text = FOLDER.joinpath(f"{table}.csv").read_text(encoding="utf-8")
    lengths = {len(line) for line in csv.reader(text.splitlines())}
    assert len(lengths) == 1
    assert not re.search(r"https?:|www\.|\.com\b|\.org\b|\.gov\b", text)


@pytest.mark.parametrize("table", TABLES)
def test_every_source_key_is_known(table: str) -> None:
    for key in keys_used(table):
        assert source(key)


def test_every_source_listed_is_used_and_listed_once() -> None:
    listed = [row["key"] for row in rows("SOURCES")]
    assert len(set(listed)) == len(listed)
    assert set(listed) == set().union(*map(keys_used, TABLES)) | FOR_FORMULAS
    assert all(row["title"] for row in rows("SOURCES"))


@pytest.mark.parametrize("table", [table for table in TABLES if table not in ("SOURCES", "names", "species")])
def test_every_row_names_a_source_and_says_how_it_was_verified(table: str) -> None:
    for row in rows(table):
        assert row["source"]
        assert row["verified"]


def test_every_group_of_figures_of_a_species_has_its_source() -> None:
    groups = {"shrink": ("shrink_radial", "shrink_tangential"), "coef": ("coef_radial", "coef_tangential"),
              "strength": ("gravity_12", "rupture_psi", "hardness_lbf"), "elasticity": ("elasticity_mpsi",)}  # fmt: skip
    for row in rows("species"):
        for group, columns in groups.items():
            if any(row[column] for column in columns):
                assert row[f"{group}_source"], f"{row['id']}: {group}"
                assert row[f"{group}_verified"], f"{row['id']}: {group}"


def test_where_shrinkage_starts_says_how_it_is_known() -> None:
    """22 % is from memory of a footnote, or inferred; 30 % for European woods is an assumption: none was read."""
    by_id = {row["id"]: row for row in rows("species")}
    assert all(row["shrink_start_verified"] for row in by_id.values() if row["shrink_start"])
    for wood in ("redcedar_western", "cedar_northern_white", "redwood_old_growth", "redwood_young_growth"):
        assert (by_id[wood]["shrink_start"], by_id[wood]["shrink_start_verified"]) == ("22", "memory")
    for wood in ("teak", "mahogany_true"):
        assert by_id[wood]["shrink_start_verified"].startswith("inferred")
    for row in by_id.values():
        if row["origin"] == "Europe":
            assert row["shrink_start_verified"] == "assumed", row["id"]


def test_adhesive_spreads_and_times_cite_no_chapter_that_does_not_print_them() -> None:
    for row in rows("adhesives"):
        assert row["spread_source"] == row["source"] == "shop practice"
        assert row["spread_verified"] == "common practice"


def test_no_source_is_an_unnamed_magazine() -> None:
    assert not any("magazine" in value for row in rows("SOURCES") for value in row.values())


def test_white_ash_keeps_the_lower_of_two_bending_strengths() -> None:
    """15,000 psi from memory of earlier editions of the Wood Handbook; 15,400 in a copy of Table 5-3b (2021)."""
    ash = find_species("white ash")
    assert ash is not None
    assert ash.rupture_psi == 15_000
    assert "15400" in dict(ash.facts)["note"]
    assert "memory" in dict(ash.facts)["strength_verified"]


@pytest.mark.parametrize("column", ["id", "name"])
def test_no_species_stands_twice(column: str) -> None:
    (_, most), *_ = Counter(row[column].casefold() for row in rows("species")).most_common(1)
    assert most == 1


def test_every_other_name_resolves_to_one_species_and_none_stands_twice() -> None:
    by_id = {species.id: species for species in all_species()}
    named = [row for row in rows("names") if row["what"] == "species"]
    names = [row["also_called"].casefold() for row in named]
    assert len(set(names)) == len(names)
    for row in named:
        assert find_species(row["also_called"]) is by_id[row["known_as"]]


def test_every_species_is_found_by_its_own_name_and_a_misspelling_offers_it() -> None:
    for species in all_species():
        assert find_species(species.name) is species
        assert find_species(species.name.upper()) is species
    assert "Black walnut" in nearest_species("Blakc walnutt")


def test_there_are_as_many_species_and_figures_as_were_taken_down() -> None:
    woods = all_species()
    assert len(woods) == 122
    coefficients = [row for row in rows("species") if row["coef_source"] == "WH 13-5"]
    assert sum(bool(row["coef_radial"] and row["coef_tangential"]) for row in coefficients) == 98
    assert sum(w.elasticity_psi is not None for w in woods) == 120
    assert sum(w.hardness_lbf is not None for w in woods) == 100


def test_figures_lie_within_what_wood_does() -> None:
    for wood in all_species():
        if wood.shrink_radial and wood.shrink_tangential:
            assert 2 <= wood.shrink_radial < wood.shrink_tangential < 13, wood.name
        if wood.coef_radial and wood.coef_tangential:
            assert 0.0007 <= wood.coef_radial < wood.coef_tangential < 0.005, wood.name
        if wood.gravity_green and wood.gravity_12:
            assert 0.25 < wood.gravity_green <= wood.gravity_12 < 1.1, wood.name
        if wood.elasticity_psi and wood.rupture_psi:
            assert 0.6e6 < wood.elasticity_psi < 2.5e6, wood.name
            assert 90 < wood.elasticity_psi / wood.rupture_psi < 190, wood.name
        assert wood.shrink_start in (22, 30)


def test_stock_gets_thinner_by_surfacing_and_is_listed_from_thin_to_thick() -> None:
    nominal = [float(row["nominal_in"]) for row in rows("thickness")]
    assert nominal == sorted(nominal)
    assert list(surfaced_stock().values()) == sorted(surfaced_stock().values())
    for row in rows("thickness"):
        quarters, four = row["stock"].split("/")
        assert float(row["nominal_in"]) == int(quarters) / int(four)
    metric = [int(stock.removesuffix(" mm")) for stock in offered_metric_stocks()]
    assert metric == sorted(set(metric))
    assert set(metric_stocks()) < set(offered_metric_stocks())
    assert {"27 mm", "41 mm", "52 mm"} < set(offered_metric_stocks())

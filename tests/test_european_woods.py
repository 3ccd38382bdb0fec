"""European woods by their names, in English and in German, and a bare name that means two woods."""

from __future__ import annotations

import pytest

from sheetkit.intake.workbook import take_in
from sheetkit.jobs.species import species_named
from sheetkit.tables import find_species
from tests.jobs import BENCH, pages
from tests.printed.europe import WOODS, Printed
from tests.there import there

PSI = 0.006894757
"""A pound-force per square inch in N/mm2."""
PARTS = "Part | Qty | Species | Thickness | Width | Length\nSlat | 1 | {} | 10 | 60 | 500"
ASKED = {
    "Ash": ("European ash", "White ash"),
    "Walnut": ("European walnut", "Black walnut"),
    "Cherry": ("European cherry", "Black cherry"),
    "Maple": ("Sycamore maple", "Sugar maple"),
    "Elm": ("European elm", "American elm"),
    "Birch": ("European birch", "Yellow birch"),
    "Basswood": ("Small-leaved lime", "American basswood"),
    "Poplar": ("European poplar", "Yellow-poplar"),
    "Alder": ("European alder", "Red alder"),
    "Sycamore": ("Sycamore maple", "American sycamore"),
    "Oak": ("European oak", "White oak"),
    "Beech": ("European beech", "American beech"),
}
"""A bare name -> the European and an American wood that it may mean."""


@pytest.mark.parametrize("row", WOODS, ids=lambda row: row.wood)
def test_a_european_wood_goes_by_its_german_name_and_has_the_printed_modulus(row: Printed) -> None:
    wood = there(find_species(row.wood))
    assert find_species(row.german) is wood
    assert find_species(row.german, metric=True) is wood
    assert wood.origin == "Europe"
    assert there(wood.elasticity_psi) * PSI == pytest.approx(float(row.modulus), abs=0.5)


@pytest.mark.parametrize("name", ASKED)
def test_a_bare_name_in_a_mm_job_asks_which_wood_is_meant(name: str) -> None:
    found = take_in(pages({"Job": BENCH.replace("inch", "mm"), "Parts": PARTS.format(name), "Prices": ""}))
    [asked] = [each for each in found.problems if each.weight == "error"]
    assert (asked.code, asked.place) == ("species-unknown", "Parts!C2")
    for choice in ASKED[name]:
        assert choice in asked.instead


@pytest.mark.parametrize("name", sorted(set(ASKED) - {"Maple", "Oak", "Beech"}))
def test_a_bare_name_in_an_inch_job_means_the_american_wood(name: str) -> None:
    found = take_in(pages({"Parts": PARTS.format(name).replace("10 | 60 | 500", "3/8 | 2 | 20")}))
    assert found.problems == ()
    assert found.job.parts[0].species.name == ASKED[name][1]


def test_a_bare_name_under_alternatives_in_a_mm_job_asks_too() -> None:
    metric = BENCH.replace("inch", "mm").rstrip() + "\nAlternatives | Ash, Esche"
    found = take_in(pages({"Job": metric, "Parts": PARTS.format("Eiche"), "Prices": ""}))
    [asked] = found.problems
    assert (asked.code, asked.stands) == ("species-unknown", "Ash")
    assert [each.name for each in found.job.sheet.alternatives] == ["European ash"]


def test_the_figures_asked_for_in_mm_show_both_woods_of_a_bare_name() -> None:
    assert [each.name for each in species_named("ash")] == ["White ash"]
    assert {"White ash", "European ash"} <= {each.name for each in species_named("ash", metric=True)}


def test_a_flat_sawn_european_oak_top_moves_by_the_larger_of_the_published_figures() -> None:
    # what stood here before, 0.00315 from shrinkage to ovendry, was an eighth too small
    assert there(find_species("European oak")).coef_tangential == 0.0036

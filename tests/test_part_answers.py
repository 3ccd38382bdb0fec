"""What stands beside a part: its weight, the slots of a wide top, why pieces share a blank, surfaced stock."""

from __future__ import annotations

import pytest

from sheetkit.page import Page
from sheetkit.plan import costs
from sheetkit.tabs.summary import summary_page
from tests.bench_tabs.bench_jobs import Answered, answered

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
    maple = next(each for each in costs(found).alternatives if each.species.name == "Sugar maple")
    assert maple.weight == pytest.approx(43.1, abs=0.05)
    assert "46.7 lb at 6.0 % moisture, without hardware" in said(summary_page(found, ""))
    unknown = answered({"Job": job(), "Parts": CUBE}).results
    assert "47.0 lb at 8 % moisture, assumed, without hardware" in said(summary_page(unknown, ""))

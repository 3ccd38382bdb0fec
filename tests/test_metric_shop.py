"""What a shop that works in millimeters is given: mm, m3, its own stock and paper, and an example of its own kind."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime
from operator import contains
from pathlib import Path

import pytest

from sheetkit.book.formats import by_ending
from sheetkit.book.package import Package
from sheetkit.form.columns import TABLES
from sheetkit.form.example import example_job
from sheetkit.form.labels import ALLOWANCES, JOB
from sheetkit.intake.workbook import take_in
from sheetkit.jobs.run import run
from sheetkit.page import Cell, Choice, Page
from sheetkit.tables import offered_metric_stocks
from sheetkit.tabs.template import template_pages
from sheetkit.units import MM
from tests.jobs import column, read
from tests.there import there

INCHES = re.compile(
    r"\binch|\bboard f|\d/\d|\d\"|\d in\b|\b(?:feet|(?:a|each|per|board|square) foot|lb|pounds?|gallon|quarts?|ounces)\b|°F"
)
MEANT = (
    "8 cm or 3 1/4 in.",
    "exact board feet, the whole-foot tally of NHLA",
    "for a board foot when Board measure on Job says so",
    "(empty: inch)",
)
"""How a size in another unit is written, what no unit means, and the other ways to count lumber that a maker may choose."""


def words_of_inches(pages: tuple[Page, ...]) -> list[str]:
    """Give the texts that speak of inches and what goes with them, but for those that are meant to."""
    found = []
    for page in pages:
        for cell in page.cells.values():
            text = str(cell.value) if isinstance(cell.value, str) else ""
            for meant in MEANT:
                text = text.replace(meant, "")
            if INCHES.search(text):
                found.append(f"{page.title}: {text}")
    return found


def choice_under(page: Page, heading: str) -> Choice:
    at = next(address for address, cell in page.cells.items() if cell.value == heading)
    below = (at[0] + 1, at[1]) if page.title != "Job" else (at[0], at[1] + 1)
    return next(choice for choice in page.choices if contains(choice.where, below))


def test_the_mm_template_speaks_of_millimeters_throughout() -> None:
    assert words_of_inches(template_pages("mm")) == []
    assert len(words_of_inches(template_pages("in"))) > 20


def test_every_help_that_speaks_of_inches_has_words_for_a_mm_job() -> None:
    told = [each.help_in("mm") for tab in TABLES for each in (*tab.asked, *tab.answered)]
    told += [line for tab in TABLES for line in tab.help_in("mm")]
    told += [f"{each.help_in('mm')} (empty: {each.default_in('mm')})" for each in (*JOB, *ALLOWANCES)]
    cells = {(row, 1): Cell(text) for row, text in enumerate(told, 1)}
    assert words_of_inches((Page("Help", cells),)) == []


def test_the_mm_template_offers_the_stock_and_steps_of_its_unit() -> None:
    pages = {page.title: page for page in template_pages("mm")}
    assert choice_under(pages["Prices"], "Stock").words == offered_metric_stocks()
    assert choice_under(pages["Job"], "Round to").words == ("0.5 mm", "1 mm")
    inch = {page.title: page for page in template_pages("in")}
    assert "8/4" in choice_under(inch["Prices"], "Stock").words
    assert choice_under(inch["Job"], "Round to").words == ("1/16", "1/32", "1/64")


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_metric_job_is_answered_in_millimeters_and_cubic_meters(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"bench{ending}"
    labels, filled = example_job("mm")
    path.write_bytes(by_ending(ending).render(template_pages("mm", labels, filled)))
    outcome = run(path, now=datetime(2026, 11, 2, 9, 30), effort=0.02)
    assert outcome.ok
    after = read(path)
    ours = tuple(page for page in after.pages if page.title in after.owned.values())
    assert len(ours) == 11
    assert words_of_inches(ours) == []
    # the legs: eight plies, 66 x 484 mm, counted at the 41 mm of their stock
    blanks = [column(after, "Parts", f"Blank {size}")[0] for size in ("thickness", "width", "length")]
    volume = column(after, "Parts", "Volume m3")[0]
    assert blanks[1:] == [66, 484]
    assert volume == pytest.approx(8 * 41 * 66 * 484 / 1e9, rel=1e-6)
    if ending == ".xlsx":
        package = Package(path.read_bytes())
        sheets = [name for name in package.names() if name.startswith("xl/worksheets/sheet")]
        assert len(sheets) > 20
        for name in sheets:
            assert b'paperSize="9"' in package.read(name), name  # A4


def test_the_metric_example_is_no_conversion() -> None:
    labels, filled = example_job("mm")
    job = take_in(template_pages("mm", labels, filled)).job
    sizes = [round(size * MM, 6) for part in job.parts for size in (part.width, part.length)]
    assert sum(size % 5 == 0 for size in sizes) > 0.9 * len(sizes)
    assert there(job.panels[1].measured_width) * MM == pytest.approx(562.5), "typed as 562,5"
    offered = set(offered_metric_stocks())
    assert {price.stock.name for price in job.prices} | {board.stock.name for board in job.boards} <= offered
    assert {"27 mm", "41 mm", "52 mm"} <= {price.stock.name for price in job.prices}
    assert {part.species.name.split()[0] for part in job.parts} == {"European"}
    assert job.sheet.measure == "m3"
    assert labels["currency"] == "€"


def test_an_emptied_allowance_means_the_value_of_a_new_workbook_in_its_own_unit() -> None:
    for unit, kerf, first in (("mm", 3 / MM, 600 / MM), ("in", 0.125, 24.0)):
        labels, tables = example_job("mm" if unit == "mm" else "in")
        pages = []
        for page in template_pages("mm" if unit == "mm" else "in", labels, tables):
            kept = page.cells
            if page.title == "Allowances":  # nothing but the headings and the names of the settings
                kept = {
                    at: cell for at, cell in kept.items() if at[1] == 1 and not isinstance(cell.value, float)
                }
            pages.append(replace(page, cells=kept))
        allowances = take_in(pages).job.allowances
        assert allowances.rip_kerf == pytest.approx(kerf)
        assert allowances.classes[0].up_to == pytest.approx(first)

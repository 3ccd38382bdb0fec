"""In a mm job nothing speaks of inches, feet, board feet, Fahrenheit or dollars: on tabs, in messages, at the terminal."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

import sheetkit
from sheetkit.book.formats import by_ending
from sheetkit.form.example import example_job
from sheetkit.page import Page
from sheetkit.records.messages import MESSAGES
from sheetkit.tables import grade_waste, offered_grades, offered_sizes, offered_species
from sheetkit.tabs.template import template_pages
from sheetkit.terminal.cli import main
from tests.jobs import BENCH, read
from tests.test_messages import CASES, problems_of

INCHES = re.compile(
    r"\binch|\bboard f|\bbf\b|\d/\d|\d[\"″]|\d' ?\d|\d in\b|\bin2\b|\d ?ft\b|\b(?:feet|foot|lb|pounds?|gallons?|quarts?|ounces|fl oz)\b|°F|\$"
)
MEANT = (
    "for a board foot when Board measure on Job says so",
    "exact board feet, the whole-foot tally of NHLA",
    "(empty: inch)", "8 cm or 3 1/4 in.", "as € or $",
)  # fmt: skip
"""What a maker may choose, and how a size of another unit is written."""
ABOUT_UNITS = {"unit-slip", "fraction-in-mm"}
"""Messages that are told because something looks like inches."""


def spoken(texts: list[str]) -> list[str]:
    found = []
    for text in texts:
        bare = text
        for meant in MEANT:
            bare = bare.replace(meant, "")
        if INCHES.search(bare):
            found.append(text)
    return found


def words(page: Page) -> list[str]:
    return [cell.value for cell in page.cells.values() if isinstance(cell.value, str)] + [
        each.alt for each in page.pictures
    ]


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
@pytest.mark.parametrize("rack", [True, False])
def test_no_tab_of_a_mm_job_speaks_of_inches(tmp_path: Path, ending: str, rack: bool) -> None:
    labels, filled = example_job("mm")
    tables = {tab: rows for tab, rows in filled.items() if rack or tab != "Boards"}
    path = tmp_path / f"bench{ending}"
    path.write_bytes(by_ending(ending).render(template_pages("mm", labels, tables)))
    said = CliRunner().invoke(main, ["run", str(path), "--effort", "0.1"])
    assert said.exit_code == 0, said.output
    assert spoken(said.output.splitlines()) == []
    after = read(path)
    assert len(after.pages) > 20
    for page in after.pages:
        listed = page.title == "Lists"  # where a maker may look up stock and sizes of other countries
        assert listed or spoken(words(page)) == [], page.title
    assert spoken([hint.hint for page in template_pages("mm") for hint in page.choices]) == []


@pytest.mark.parametrize("code", CASES)
def test_no_message_of_a_mm_job_speaks_of_inches(code: str) -> None:
    case = CASES[code]
    tables = {tab: text.replace("| inch", "| mm") for tab, text in {"Job": BENCH, **case.tables}.items()}
    for found in problems_of(replace(case, tables=tables)):
        typed = found.stands
        told = f"{found.says} {found.instead}"
        told = told.replace(typed, "") if typed else told
        told = re.sub(r"\d+/4", "", told) if "Prices" in case.tables or "Stock" in str(case.tables) else told
        assert found.code in ABOUT_UNITS or spoken([told]) == [], (found.code, told)


@pytest.mark.parametrize("code", MESSAGES)
def test_the_words_of_a_message_in_a_mm_job_name_no_inches(code: str) -> None:
    message = MESSAGES[code]
    assert spoken([message.says_mm or message.says, message.instead_mm or message.instead]) == []


def test_woods_sizes_and_grades_of_the_makers_country_stand_first() -> None:
    for unit, metric in (("mm", True), ("in", False)):
        lists = {page.title: page for page in template_pages("mm" if metric else "in")}["Lists"]
        first = [lists.cells[2, column].value for column in (1, 3, 8)]
        assert first == [offered_species(metric)[0].name, "own size", offered_grades(metric)[0]], unit
        assert lists.cells[3, 3].value == ("EU 80 x 200" if metric else "US twin")
    assert [each.origin for each in offered_species(True)][:13] == ["Europe"] * 13
    assert "Europe" not in [each.origin for each in offered_species(False)][:90]
    assert {row["market"] for row in offered_sizes(True)[:24]} == {"EU"}


def test_no_european_grade_states_a_waste() -> None:
    assert len(offered_grades(True)) == len(set(offered_grades(True)))
    european = [grade for grade in offered_grades(True) if grade[:2] in ("Q-", "F-", "G2", "G4")]
    assert len(european) == 43
    assert offered_grades(True)[:43] == tuple(european)
    assert not {grade.casefold() for grade in european} & set(grade_waste())


def test_no_currency_is_assumed() -> None:
    for unit in ("in", "mm"):
        pages = template_pages("mm" if unit == "mm" else "in")
        assert not [text for page in pages for text in words(page) if "empty: $" in text]
    assert sheetkit.__version__


def test_adopt_metric_puts_in_what_new_metric_makes(tmp_path: Path) -> None:
    mine = tmp_path / "mine.ods"
    mine.write_bytes(by_ending(".ods").render([Page("Songs")]))
    new = tmp_path / "new.ods"
    for command in (["new", str(new), "--metric"], ["adopt", str(mine), "--metric"]):
        assert CliRunner().invoke(main, command).exit_code == 0
    made, adopted = read(new), read(mine)
    for page in made.pages:
        other = adopted.page(page.title)
        assert other is not None
        assert {at: cell.value for at, cell in other.cells.items()} == {
            at: cell.value for at, cell in page.cells.items()
        }
        assert {at: cell.style.format for at, cell in other.cells.items()} == {
            at: cell.style.format for at, cell in page.cells.items()
        }, page.title

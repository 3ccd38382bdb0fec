"""Tabs, headings, labels and woods in other languages are read as ours, all from one table."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

import sheetkit
from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import ASKED
from sheetkit.form.columns import TABLES
from sheetkit.form.labels import ALLOWANCES, CLASS_COLUMNS, INPUT_ORDER, JOB
from sheetkit.intake.workbook import take_in
from sheetkit.tables import find_species, other_names, rows
from sheetkit.units import MM
from tests.jobs import page, read

GERMAN = {
    "Auftrag": """
        Auftrag            | Bank
        Einheit            | mm
        Kunde              | Haus am Bach
        Holzfeuchte        | 9
        Währung            | €
        Stundensatz        | 55
    """,
    "Teile": """
        Bezeichnung | Stück | Holzart | Dicke | Breite | Länge | Bemerkung
        Stollen     | 4     | Eiche   | 40    | 40     | 450   | Kanten brechen
        Zarge       | 2     | Rüster  | 22    | 90     | 380   |
    """,
    "Preise": """
        Holzart | Bohlenstärke | Preis | Verschnitt
        Eiche   | 52 mm        | 2150  | 35
    """,
    "Arbeit": """
        Arbeitsgang | Gezählt nach | Minuten je Stück | Satz
        Hobeln      | blank        | 7                | 60
    """,
}


def test_a_workbook_in_german_is_read() -> None:
    intake = take_in([page(title, text) for title, text in GERMAN.items()])
    assert intake.problems == ()
    job = intake.job
    assert (job.sheet.client, job.sheet.unit, job.sheet.currency) == ("Haus am Bach", "mm", "€")
    assert [(part.part, part.qty, part.species.name) for part in job.parts] == [
        ("Stollen", 4, "European oak"), ("Zarge", 2, "European elm"),
    ]  # fmt: skip
    assert job.parts[0].length * MM == pytest.approx(450)
    assert job.parts[0].note == "Kanten brechen"
    assert job.prices[0].waste == pytest.approx(0.35)
    assert job.labor[0].minutes == 7
    assert job.live("Prices", 2, "price") is not None, "live formulas point at the tab under its own name"


def test_every_other_name_is_for_something_that_is_there() -> None:
    headings = {column.heading for tab in TABLES for column in (*tab.asked, *tab.answered)}
    headings |= {column.heading for column in (*JOB, *ALLOWANCES, *CLASS_COLUMNS)}
    assert set(other_names("heading")) <= headings
    assert set(other_names("tab")) <= set(INPUT_ORDER)
    assert {row["what"] for row in rows("names")} == {"species", "heading", "tab"}


@pytest.mark.parametrize("tab", TABLES, ids=lambda tab: tab.title)
def test_no_name_means_two_columns_of_a_tab(tab: object) -> None:
    columns = (*tab.asked, *tab.answered)  # type: ignore[attr-defined]
    called = [
        name.casefold() for column in columns for name in other_names("heading").get(column.heading, ())
    ]
    assert [name for name, count in Counter(called).items() if count > 1] == []


def test_every_german_tab_has_a_name_of_its_own() -> None:
    german = [row for row in rows("names") if row["what"] == "tab" and row["language"] == "de"]
    assert {row["known_as"] for row in german} == set(INPUT_ORDER)
    assert len({row["also_called"].casefold() for row in german}) == len(german)


@pytest.mark.parametrize(("name", "wood"), [("Rotbuche", "European beech"), ("Chêne", "European oak"), ("eiken", "European oak"),
                                            ("Frassino", "European ash"), ("Roteiche", "Northern red oak")])  # fmt: skip
def test_a_wood_is_known_by_its_name_in_other_languages(name: str, wood: str) -> None:
    found = find_species(name, metric=True)
    assert found is not None
    assert found.name == wood


def test_a_run_knows_that_a_german_job_tab_has_changed(tmp_path: Path) -> None:
    path = tmp_path / "bank.ods"
    path.write_bytes(by_ending(".ods").render([page(title, text) for title, text in GERMAN.items()]))
    assert sheetkit.run(path).ok
    before = read(path)
    asked = before.notes[ASKED]
    changed = {**GERMAN, "Auftrag": GERMAN["Auftrag"].replace("| 55", "| 56")}
    path.write_bytes(by_ending(".ods").render([page(title, text) for title, text in changed.items()]))
    assert sheetkit.run(path).ok
    assert read(path).notes[ASKED] != asked
    assert before.page("Job") is before.page("Auftrag")

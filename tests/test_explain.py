"""What ``sheetkit explain`` says of every message, column and key, from where each is declared."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from sheetkit.form import labels
from sheetkit.form.columns import TABLES
from sheetkit.jobs.explain import (
    ColumnMeant,
    KeyMeant,
    TabMeant,
    json_tables,
    meanings,
    nearest,
    own_keys,
    tabs,
)
from sheetkit.records.messages import MESSAGES, REFUSALS
from sheetkit.terminal.cli import main
from tests.test_house import HEAVY, loaded_after


def told(*words: str, code: int = 0) -> str:
    """Return what the command says."""
    done = CliRunner().invoke(main, ["explain", *words])
    assert done.exit_code == code, done.output
    return done.output


def test_a_column_is_told_with_its_tab_kind_default_and_key() -> None:
    assert told("parts", "tenons").splitlines() == [
        "Tenons: a column of the tab Parts.",
        "Length of the tenon at each end: 1 adds twice 1. For one end only write 1 + 0; for unlike ends 1 + 1/2.",
        "In the cell: tenon lengths.",
        "When empty: none.",
        "Example: 1",
        "Also found as: Tenon, Tenon length, Zapfen.",
        "In --json: parts.tenons: list of length [in; mm in a mm job].",
    ]


def test_a_label_a_choice_and_a_column_filled_in_say_what_they_are() -> None:
    assert told("profit", "as").startswith("Profit as: a label on the tab Job.")
    assert "Write one of: markup, margin." in told("Job.profit_as")
    assert "resting, spread; resting, center; fixed, spread; fixed, center;" in told("Loads", "Held as")
    filled = told("Blank width")
    assert filled.startswith("Blank width: a column of the tab Parts, filled in by sheetkit.")
    assert "When empty" not in filled


def test_a_word_of_several_tabs_lists_each_with_its_place() -> None:
    assert told("Measured-Width").startswith("Measured width: a column of the tab Panels.")
    several = told("Minutes each"), told("thickness")
    assert several[0].startswith("Minutes each: a column of the tab Labor.")
    where = [
        line.split()[1] for line in several[1].splitlines() if line.startswith(("Thickness", "thickness"))
    ]
    assert where == ["Parts", "Panels", "Joints", "Loads", "Allowances", "rough_sizes", "tenon_stock"]
    assert several[1].endswith(
        "One of them in full: write where before what, as in: sheetkit explain Parts Width\n"
    )


def test_another_word_for_a_column_finds_it() -> None:
    assert told("Meter reading").startswith("Wood moisture now: a label on the tab Job.")
    assert told("Parts", "Wood").startswith("Species: a column of the tab Parts.")


def test_a_message_and_a_refusal_are_told_in_full() -> None:
    words = told("bearing-short")
    assert words.startswith("bearing-short: a message, worth a look. Everything is calculated")
    assert "It says: At the driest the panel stands only {bearing} in its groove ({wanted} wanted)." in words
    assert words.rstrip().endswith("A word in braces stands for what is in your workbook.")
    assert "braces" not in told("no-stored-result")
    assert REFUSALS["open elsewhere"] in told("open", "elsewhere")


def test_a_code_that_is_a_key_too_tells_both() -> None:
    words = told("provisional")
    assert words.startswith("provisional: a message, worth a look.")
    assert "rough_sizes.provisional: a key in the JSON of sheetkit run." in words


def test_a_key_and_a_table_say_what_they_hold() -> None:
    assert "Value: length [in; mm in a mm job]." in told("lumber.least_width")
    table = told("glue_ups")
    assert table.startswith("Glue-ups: a tab that you fill in. A row is a gluing session.")
    assert "glue_ups: a table in the JSON of sheetkit run." in table
    assert "clamp_places list of length [in; mm in a mm job]" in " ".join(table.split())


def test_the_lists_hold_every_message_refusal_tab_table_and_unit() -> None:
    messages, refusals, every, units = told("messages"), told("refusals"), told(), told("units")
    assert [
        code for code, each in MESSAGES.items() if each.says not in messages or code not in messages
    ] == []
    assert [code for code, says in REFUSALS.items() if says not in refusals] == []
    assert [tab.title for tab in tabs() if f"\n{tab.title} " not in every] == []
    assert [each.table.name for each in json_tables() if f"\n{each.table.name} " not in every] == []
    assert "coverage ft2/gal m2/l" in " ".join(units.split())


def test_whatever_is_declared_can_be_explained_by_its_name_with_its_place() -> None:
    assert [tab.title for tab in tabs()] == [*labels.INPUT_ORDER, "To buy"]
    assert {each.title for each in tabs()} == {tab.title for tab in TABLES} | {
        "Job",
        "Allowances",
        "Quote words",
        "To buy",
    }
    for tab in tabs():
        assert any(isinstance(each, TabMeant) for each in meanings(tab.title))
        for column in tab.columns:
            assert column in meanings(f"{tab.title} {column.column.heading}")
            assert tab.title in told(tab.title, column.column.heading)
    for each in json_tables():
        for key in own_keys(each):
            assert KeyMeant(each.command, each.table, key) in meanings(f"{each.table.name}.{key.name}")
    for code in (*MESSAGES, *REFUSALS):
        assert any(line.startswith(f"{code}: ") for line in told(code).splitlines())


@pytest.mark.parametrize(
    ("wrong", "meant"),
    [("blank widht", "Blank width"), ("not-a-lenght", "not-a-length"), ("Labro", "Labor"), ("wood moisture noe", "Wood moisture now"),
     ("lumber.bye", "lumber.buy")],
)  # fmt: skip
def test_a_name_that_is_not_known_is_refused_with_those_like_it(wrong: str, meant: str) -> None:
    words = told(*wrong.split(), code=2)
    assert words.startswith(f"sheetkit: {REFUSALS['not explained']} ({wrong}; perhaps ")
    assert meant in words


def test_nonsense_is_refused_too() -> None:
    assert "perhaps" in told("(*&^%", code=2)
    assert nearest("") != ()


def test_the_live_labels_are_told_as_filled_in() -> None:
    (found,) = meanings("inside width")
    assert isinstance(found, ColumnMeant)
    assert found.filled_in


def test_explaining_loads_nothing_heavy() -> None:
    code = "from sheetkit.terminal.explain_report import explain_report; assert explain_report('lumber.buy')"
    assert not loaded_after(code) & set(HEAVY)
    shipped = "from sheetkit.data.schema import shipped_schema; assert shipped_schema()"
    assert not loaded_after(shipped) & set(HEAVY)

"""One cell: a value of the kind its column asks for, or the message that says what to write instead."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Column, Kind
from sheetkit.intake.cell import doubts, entry, is_empty
from sheetkit.intake.wood import stock_named
from sheetkit.page import Cell, CellError, Format, Style, Value
from sheetkit.records.messages import MESSAGES
from sheetkit.units import MM, NotANumber, Unit

COLUMNS = {f"{tab.title}.{column.name}": column for tab in TABLES for column in tab.asked}
COLUMNS |= {f"Job.{column.name}": column for column in settings.JOB}
COLUMNS |= {f"Allowances.{column.name}": column for column in settings.ALLOWANCES}


def said(
    name: str, value: Value, unit: Unit = "in", *, format: Format = Format.PLAIN, **cell: Any
) -> tuple[Any, str, str]:
    """Give the value of a cell of a column, the code of its problem, and what the problem says stands there."""
    column = COLUMNS[name]
    found, wrong = entry(Cell(value, style=Style(format=format), **cell), column, unit, "Parts", 7, 4)
    if wrong is None:
        return found, "", ""
    assert wrong.place == "Parts!D7"
    assert "{" not in wrong.says + wrong.instead
    assert wrong.says
    assert wrong.instead
    return found, wrong.code, wrong.stands


@pytest.mark.parametrize(
    ("name", "value", "unit", "result"),
    [
        ("Parts.thickness", 3.25, "in", 3.25),
        ("Parts.thickness", 3, "in", 3.0),
        ("Parts.thickness", "3 1/4", "in", 3.25),
        ("Parts.thickness", 82.55, "mm", 3.25),
        ("Parts.thickness", "82,55", "mm", 3.25),
        ("Parts.thickness", "3 1/4 in", "mm", 3.25),
        ("Parts.thickness", "82.55 mm", "in", 3.25),
        ("Parts.rise", 0, "in", 0.0),
        ("Parts.qty", 4.0, "in", 4),
        ("Parts.qty", "4", "in", 4),
        ("Parts.tenons", 1, "in", (1.0, 1.0)),
        ("Parts.tenons", "1", "in", (1.0, 1.0)),
        ("Parts.tenons", "1 + 0", "in", (1.0,)),
        ("Parts.tenons", "1 + 1/2", "in", (1.0, 0.5)),
        ("Parts.tenons", "2 x 1", "in", (1.0, 1.0)),
        ("Parts.tenons", "2 × 1 1/4", "in", (1.25, 1.25)),
        ("Parts.tenons", "1 one end", "in", (1.0,)),
        ("Parts.tenons", "none", "in", ()),
        ("Parts.tenons", 0, "in", ()),
        ("Parts.tenons", "25.4", "mm", (1.0, 1.0)),
        ("Parts.made_as", "Face glued", "in", "face-glued"),
        ("Parts.made_as", "LAMINATED", "in", "face-glued"),
        ("Parts.cut", "quartersawn", "in", "quarter"),
        ("Parts.cut", "Flat-sawn", "in", "flat"),
        ("Job.unit", "Inches", "in", "inch"),
        ("Job.unit", "metric", "in", "mm"),
        ("Job.measure", "m³", "in", "m3"),
        ("Prices.waste", 20, "in", 0.2),
        ("Prices.waste", "20 %", "in", 0.2),
        ("Prices.waste", 0.2, "in", 0.2),
        ("Prices.price", 9.1, "in", Decimal("9.1")),
        ("Prices.price", "$9.50", "in", Decimal("9.5")),
        ("Job.date", "2026-11-02", "in", date(2026, 11, 2)),
        ("Job.date", date(2026, 11, 2), "in", date(2026, 11, 2)),
        ("Job.date", datetime(2026, 11, 2, 9, 30), "in", date(2026, 11, 2)),
        ("Job.date", "2.11.2026", "in", date(2026, 11, 2)),
        ("Job.date", "02. 11. 26", "mm", date(2026, 11, 2)),
        ("Job.moisture_now", "7,5 %", "in", 7.5),
        ("Parts.length", "1.250,5", "mm", 1250.5 / MM),
        ("Parts.length", "1,250.5 mm", "in", 1250.5 / MM),
        ("Prices.waste", "15 %%", "in", 0.15),
        ("Job.round_to", "1/32", "in", 1 / 32),
        ("Job.round_to", "0.5 mm", "in", 0.5 / MM),
        ("Job.shop_temperature", "21 C", "in", 69.8),
        ("Job.shop_temperature", 20, "mm", 68.0),
        ("Parts.part", 12.0, "in", "12"),
        ("Parts.part", "  Leg ", "in", "Leg"),
        ("Parts.note", 2.5, "in", "2.5"),
    ],
)
def test_a_cell_is_read_as_its_column_asks(name: str, value: Value, unit: Unit, result: object) -> None:
    found, code, _ = said(name, value, unit)
    assert code == ""
    if isinstance(result, float | tuple):
        assert found == pytest.approx(result)
    else:
        assert found == result
        assert type(found) is type(result)


@pytest.mark.parametrize(
    ("name", "value", "code", "stands"),
    [
        # sizes
        ("Parts.thickness", "three", "not-a-length", "three"),
        ("Parts.thickness", "1,250 mm", "not-a-length", "1,250 mm"),
        ("Parts.thickness", True, "not-a-length", "True"),
        ("Parts.thickness", 0, "too-small", "0"),
        ("Parts.thickness", "0", "too-small", "0"),
        ("Parts.thickness", -1.5, "too-small", "-1.5"),
        ("Parts.thickness", "-3/4", "too-small", "-3/4"),
        ("Parts.rise", -0.5, "too-small", "-0.5"),
        ("Parts.length", 601, "too-large", "601"),
        ("Parts.length", "20 m", "too-large", "20 m"),
        ("Parts.thickness", CellError("#REF!"), "cell-error", "#REF!"),
        ("Parts.thickness", CellError("Err:508"), "cell-error", "Err:508"),
        ("Parts.length", float("nan"), "cell-error", "nan"),
        ("Parts.qty", float("inf"), "cell-error", "inf"),
        ("Job.clearance_side", -601, "too-large", "-601"),
        # dates by accident
        ("Parts.thickness", date(2026, 3, 4), "date-in-length", "2026-03-04"),
        ("Parts.thickness", datetime(2026, 3, 4), "date-in-length", "2026-03-04"),
        ("Parts.thickness", 46085, "date-number", "46085"),
        ("Parts.tenons", date(2026, 1, 2), "date-in-length", "2026-01-02"),
        ("Parts.qty", date(2026, 3, 4), "date-in-number", "2026-03-04"),
        ("Parts.stock", date(2026, 8, 4), "date-in-number", "2026-08-04"),
        ("Prices.waste", date(2026, 8, 4), "date-in-number", "2026-08-04"),
        ("Prices.price", date(2026, 8, 4), "date-in-number", "2026-08-04"),
        ("Parts.qty", 46024, "date-number", "46024"),
        ("Labor.actual_hours", datetime(1899, 12, 31, 6, 30), "time-in-number", "06:30"),
        ("Prices.waste", 4600.25, "too-large", "4600.25"),
        # numbers
        ("Parts.qty", "many", "not-a-number", "many"),
        ("Parts.qty", True, "not-a-number", "True"),
        ("Parts.qty", 2.5, "not-whole", "2.5"),
        ("Parts.qty", 0, "too-small", "0"),
        ("Parts.qty", -2, "too-small", "-2"),
        ("Parts.qty", 100_001, "too-large", "100001"),
        ("Loads.load", 0, "too-small", "0"),
        ("Loads.load", 1e12, "too-large", "1000000000000"),
        ("Prices.waste", "-5", "too-small", "-5"),
        ("Prices.waste", "a fifth", "not-a-number", "a fifth"),
        ("Prices.price", -9.5, "too-small", "-9.5"),
        ("Prices.price", "$-9", "too-small", "$-9"),
        ("Prices.price", "call", "not-a-number", "call"),
        ("Prices.price", True, "not-a-number", "True"),
        # words
        ("Parts.made_as", "cast", "not-in-list", "cast"),
        ("Parts.species", "Wite oke", "species-unknown", "Wite oke"),
        ("Parts.species", 3, "species-unknown", "3"),
        ("Parts.stock", "thick", "stock-text", "thick"),
        ("Parts.stock", 46085, "stock-text", "46085"),
        ("Parts.stock", "0/4", "stock-text", "0/4"),
        ("Parts.tenons", "long", "bad-tenons", "long"),
        ("Parts.tenons", "1 + 1 + 1", "bad-tenons", "1 + 1 + 1"),
        ("Parts.tenons", "-1", "bad-tenons", "-1"),
        ("Parts.tenons", "3 x 1", "bad-tenons", "3 x 1"),
        ("Job.shop_temperature", "warm", "bad-temperature", "warm"),
        ("Job.shop_temperature", 700, "bad-temperature", "700"),
        ("Job.date", "next week", "not-a-number", "next week"),
        ("Job.round_to", 0, "too-small", "0"),
        ("Job.round_to", 1, "step-large", "1"),
        ("Labor.minutes", 46024, "date-number", "46024"),
        ("Job.round_to", 16, "step-large", "16"),
        ("Job.date", datetime(1899, 12, 31, 6, 30), "not-a-number", "06:30"),
        ("Prices.price", "1.250", "thousands", "1.250"),
        ("Prices.price", "(12.50)", "not-a-number", "(12.50)"),
    ],
)  # fmt: skip
def test_a_cell_that_cannot_be_used_says_what_stands_there(
    name: str, value: Value, code: str, stands: str
) -> None:
    assert said(name, value)[1:] == (code, stands)


def test_a_fraction_turned_into_a_date_is_read_both_ways_round() -> None:
    column = COLUMNS["Parts.thickness"]
    for value in (date(2026, 3, 4), 46085):
        _, wrong = entry(Cell(value), column, "in", "Parts", 7, 4)
        assert wrong is not None
        assert "3/4" in wrong.says
        assert "4/3" in wrong.says


@given(st.dates(date(2000, 1, 1), date(2049, 12, 31)))
def test_every_day_of_these_fifty_years_is_recognised_as_a_date_by_accident(day: date) -> None:
    number = day.toordinal() - date(1899, 12, 30).toordinal()
    for unit in ("in", "mm"):
        assert said("Parts.thickness", day, unit)[1] == "date-in-length"
        assert said("Parts.thickness", number, unit)[1] == "date-number"


def test_an_unknown_species_is_answered_with_the_nearest_names() -> None:
    _, wrong = entry(Cell("Wite oke"), COLUMNS["Parts.species"], "in", "Parts", 7, 4)
    assert wrong is not None
    assert "White oak" in wrong.instead
    assert said("Parts.species", "oak, white")[0].name == "White oak"


def test_a_word_not_in_the_list_is_answered_with_the_list() -> None:
    _, wrong = entry(Cell("cast"), COLUMNS["Parts.made_as"], "in", "Parts", 7, 4)
    assert wrong is not None
    assert wrong.instead == "Write one of: solid, face-glued, edge-glued."


@pytest.mark.parametrize(("value", "share"), [(0.2, 0.2), (1.0, 1.0), (0.005, 0.005), (1.5, 1.5)])
def test_a_cell_in_a_percent_format_holds_its_share_already(value: float, share: float) -> None:
    assert said("Job.profit", value, format=Format.PERCENT) == (share, "", "")


def test_a_reading_in_a_percent_format_is_the_number_that_is_shown() -> None:
    assert said("Job.moisture_now", 0.085, format=Format.PERCENT) == (8.5, "", "")


@pytest.mark.parametrize("text", ["3/4", "1 1/2", "3-1/4", "¾"])
def test_a_fraction_without_a_unit_is_not_taken_for_millimeters(text: str) -> None:
    assert said("Parts.thickness", text, "mm")[1] == "fraction-in-mm"
    assert said("Parts.tenons", f"{text} + 0", "mm")[1] == "fraction-in-mm"
    assert said("Parts.thickness", f"{text} in", "mm")[1] == ""


@pytest.mark.parametrize(
    ("name", "value", "format", "code"),
    [
        ("Job.overhead", 0.0015, Format.PERCENT, "share-tiny"),
        ("Job.overhead", "0,15 %", Format.PLAIN, "share-tiny"),
        ("Job.overhead", 0.15, Format.PERCENT, ""),
        ("Job.overhead", 0, Format.PERCENT, ""),
        ("Prices.price", 46154, Format.MONEY, "date-in-money"),
        ("Prices.price", 46154.5, Format.MONEY, ""),
        ("Prices.price", 9.5, Format.MONEY, ""),
    ],
)
def test_a_value_that_may_not_be_what_was_typed_is_pointed_out(
    name: str, value: Value, format: Format, code: str
) -> None:
    cell, column = Cell(value, style=Style(format=format)), COLUMNS[name]
    result, wrong = entry(cell, column, "in", "Job", 7, 2)
    assert wrong is None
    assert [found.code for found in doubts(cell, column, result, "Job", 7, 2)] == ([code] if code else [])


@pytest.mark.parametrize(
    ("name", "value", "code"),
    [
        ("Job.profit", 7.0, "share-large"),
        ("Prices.price", 0.12, "not-a-number"),
        ("Parts.length", 0.12, "not-a-length"),
    ],
)
def test_a_percent_cell_is_asked_about_where_it_makes_no_sense(name: str, value: float, code: str) -> None:
    assert said(name, value, format=Format.PERCENT)[1] == code


def test_an_amount_with_a_comma_and_three_digits_is_asked_about_in_a_mm_job() -> None:
    assert said("Prices.price", "1,250", "mm")[1] == "thousands"
    assert said("Prices.price", "1,250", "in") == (Decimal(1250), "", "")


TEXTS = sorted(name for name, column in COLUMNS.items() if column.kind is Kind.TEXT)


@pytest.mark.parametrize("name", TEXTS)
def test_a_date_or_a_time_where_words_are_wanted_is_told_but_a_note_may_be_one(name: str) -> None:
    for value, shown in ((date(2026, 3, 4), "2026-03-04"), (datetime(1899, 12, 31, 6, 30), "06:30")):
        assert said(name, value) == (
            (shown, "", "") if name.endswith(".note") else (None, "date-in-text", shown)
        )


def test_a_date_where_words_are_wanted_is_read_as_what_may_have_been_typed() -> None:
    for day, typed in ((date(2026, 3, 4), "3-4"), (date(2026, 11, 1), "2026-11")):
        _, wrong = entry(Cell(day), COLUMNS["Job.number"], "in", "Job", 7, 2)
        assert wrong is not None
        assert typed in wrong.says


@pytest.mark.parametrize("sign", ["\x01", "\x0b", "\ufffe", "\ud800"])
def test_a_character_that_no_file_can_hold_is_left_out_of_a_name(sign: str) -> None:
    assert said("Parts.part", f"Le{sign}g") == ("Leg", "", "")


def test_a_formula_gives_its_stored_result() -> None:
    assert said("Parts.length", 46.5, formula="inside_length") == (46.5, "", "")
    assert said("Parts.length", "46 1/2", formula="A1")[0] == 46.5
    assert said("Parts.length", CellError("#NAME?"), formula="inside_lenth")[1] == "cell-error"


def test_a_formula_without_a_stored_result_is_shown_as_it_stands() -> None:
    assert said("Parts.length", None, formula="A1+1", stale=True)[1:] == ("no-stored-result", "=A1+1")


def test_a_cell_of_spaces_is_empty_but_one_with_an_unfinished_formula_is_not() -> None:
    assert is_empty(None)
    assert is_empty(Cell())
    assert is_empty(Cell(" \n"))
    assert not is_empty(Cell(0))
    assert not is_empty(Cell(None, "A1", stale=True))


@pytest.mark.parametrize(
    ("text", "unit", "name", "nominal"),
    [
        ("8/4", "in", "8/4", 2.0), ("4/4", "mm", "4/4", 1.0), ("2", "in", "8/4", 2.0), ("1 1/2", "in", "6/4", 1.5), ("1.25", "in", "5/4", 1.25),
        ("3/4", "in", "3/4", 0.75), ("¾", "in", "3/4", 0.75), ("27 mm", "in", "27 mm", 27 / MM), ("27", "mm", "27 mm", 27 / MM), ("41,5", "mm", "41.5 mm", 41.5 / MM),
        (" 27MM ", "mm", "27 mm", 27 / MM),
    ],
)  # fmt: skip
def test_a_stock_is_named_as_the_trade_says_it(text: str, unit: Unit, name: str, nominal: float) -> None:
    stock = stock_named(text, unit)
    assert stock.name == name
    assert stock.nominal == pytest.approx(nominal)


@pytest.mark.parametrize("text", ["", "thick", "27", "-4/4", "0", "13 in"])
def test_what_is_no_stock_is_refused(text: str) -> None:
    with pytest.raises(NotANumber):
        stock_named(text, "in")


VALUES = st.one_of(
    st.none(),
    st.text(max_size=8),
    st.floats(),
    st.integers(-(10**18), 10**18),
    st.booleans(),
    st.dates(),
    st.datetimes(),
    st.builds(CellError, st.text(max_size=6)),
    st.from_regex(r"[-+]?\d{0,6}[ .,/'\"x+-]{0,2}\d{0,6}[ /]?\d{0,3} ?(mm|in|ft|%|\$|C)?", fullmatch=True),
)


@given(st.sampled_from(sorted(COLUMNS)), VALUES, st.sampled_from(["in", "mm"]), st.sampled_from(Format))
def test_whatever_stands_in_a_cell_is_a_value_or_a_known_problem(
    name: str, value: Value, unit: Unit, format: Format
) -> None:
    column: Column = COLUMNS[name]
    cell = Cell(value, style=Style(format=format))
    if is_empty(cell):
        return
    found, wrong = entry(cell, column, unit, "Parts", 7, 4)
    if wrong is None:
        assert found is not None
    else:
        assert found is None
        assert wrong.code in MESSAGES

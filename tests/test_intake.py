"""The maker's tabs become a job: headings matched, labels found, every problem at once with its cell."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Refused
from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Tab
from sheetkit.intake.labeled import job_sheet, label_places
from sheetkit.intake.reading import Reading
from sheetkit.intake.workbook import Intake, take_in
from sheetkit.page import Cell, CellError, Format, Page, Range, Style
from sheetkit.records import job as model
from sheetkit.records.allowances import Allowances
from sheetkit.records.job import ROWS
from tests.book.user_ods import one_table, replaced, user_file
from tests.jobs import BENCH, page, pages, read, write

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
HEADINGS = "Part | Qty | Species | Thickness | Width | Length"
LEG = f"{HEADINGS}\nLeg | 4 | White oak | 3/4 | 2 | 20"


def taken(tables: Mapping[str, str]) -> Intake:
    return take_in(pages(tables))


def told(intake: Intake) -> list[tuple[str, str]]:
    return [(found.code, found.place) for found in intake.problems]


# --- what is declared and what is kept ---------------------------------------------------------------------------


@pytest.mark.parametrize("tab", TABLES, ids=lambda tab: tab.title)
def test_the_fields_of_a_record_are_the_columns_of_its_tab(tab: Tab) -> None:
    asked = {column.name for column in tab.asked}
    if tab.title == "Boards":
        asked = asked - {"bad_from", "bad_to"} | {"bad", "listed"}
    if tab.title == "Joints":
        asked |= {"at_run", "told_by"}  # the name of a run in At; what was left empty and another tab tells
    if tab.title == "Loads":
        asked |= {"of_part"}  # what was left empty and is known from Parts
    assert {field.name for field in fields(ROWS[tab.title][1])} == asked | {"row"}


def test_the_fields_of_the_settings_are_the_labels_of_their_tab() -> None:
    assert {field.name for field in fields(Allowances)} == {"classes"} | {
        label.name for label in settings.ALLOWANCES
    } - {"sag_per_meter"}
    turned_into_others = {
        "round_to", "shop_temperature", "shop_humidity", "humidity_driest", "humidity_wettest", "indoor_temperature",
        "own_width", "own_length", "own_thickness", "top_height", "support_thickness",
    }  # fmt: skip
    kept = {field.name for field in fields(model.JobSheet)} - {"step", "climate_assumed"}
    kept -= {"collected", "words"}  # what Delivery says in words, and what the tab Quote words says
    assert kept == {label.name for label in settings.JOB} - turned_into_others


@pytest.mark.parametrize("tab", TABLES, ids=lambda tab: tab.title)
def test_what_an_empty_cell_means_is_what_the_column_says(tab: Tab) -> None:
    """The default in the help and the default in the record are written in two places and must not part."""
    record = {field.name: field.default for field in fields(ROWS[tab.title][1])}
    for column in tab.asked:
        if column.name == "qty" and tab.title != "Joints":
            assert float(column.default) == 1
        elif column.choices and column.default:
            assert record[column.name] == column.default
        elif column.default.isdigit():
            assert record[column.name] == float(column.default)


# --- headings ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "headings",
    [
        "Part | Qty | Species | Thickness | Width | Length",
        "PART | qty | SPECIES: | thick-ness | Width* | length",
        "Name | Pcs | Wood | Thk | W | L",
        "Component | No. | Material | T | Wd | Len",
        "Description | How many | Timber | Thick | W | Long",
        "Piece | Quantity | Lumber | Thickness | Width | Length",
    ],
)
def test_headings_are_matched_whatever_their_case_and_by_other_words(headings: str) -> None:
    intake = taken({"Parts": f"{headings}\nLeg | 4 | White oak | 3/4 | 2 | 20"})
    assert told(intake) == []
    part = intake.job.parts[0]
    assert (part.part, part.qty, part.species.name, part.thickness, part.width, part.length) == (
        "Leg", 4, "White oak", 0.75, 2.0, 20.0,
    )  # fmt: skip


def test_columns_may_stand_in_any_order_among_the_makers_own() -> None:
    intake = taken(
        {
            "Parts": "Color | Length | Species | Shelf | Width | Part | Thickness\nred | 20 | White oak | 3 | 2 | Leg | 3/4"
        }
    )
    assert told(intake) == []
    part = intake.job.parts[0]
    assert (part.thickness, part.width, part.length, part.qty, part.row) == (0.75, 2.0, 20.0, 1, 2)


def test_rows_above_the_headings_are_help_and_empty_rows_are_passed_over() -> None:
    intake = taken(
        {
            "Parts": f"My parts\nWrite one row for each | Part\n\n{LEG}\n | | | | | \nRail | 1 | White oak | 3/4 | 3 | 30"
        }
    )
    assert told(intake) == []
    assert [part.part for part in intake.job.parts] == ["Leg", "Rail"]
    assert intake.job.places["Parts"].heading_row == 4


def test_an_exact_heading_wins_over_another_word_for_it() -> None:
    intake = taken(
        {
            "Parts": "Name | Part | Species | T | Thickness | Width | Length\nmine | Leg | White oak | 9 | 3/4 | 2 | 20"
        }
    )
    assert told(intake) == []
    assert (intake.job.parts[0].part, intake.job.parts[0].thickness) == ("Leg", 0.75)


def test_a_heading_that_stands_twice_is_told_with_its_cell() -> None:
    intake = taken(
        {"Parts": "Part | Species | Width | Thickness | width: | Length\nLeg | White oak | 2 | 1 | 3 | 20"}
    )
    assert told(intake) == [("heading-double", "Parts!E1")]


def test_every_required_column_that_is_missing_is_told_by_its_heading() -> None:
    intake = taken({"Parts": "Part | Color\nLeg | red"})
    assert [found.code for found in intake.problems] == ["column-missing"] * 4
    assert [found.says.split()[3] for found in intake.problems] == ["Species", "Thickness", "Width", "Length"]


def test_tab_titles_are_matched_whatever_their_case() -> None:
    made = [replace(each, title=each.title.upper()) for each in pages({"Parts": LEG})]
    intake = take_in(made)
    assert told(intake) == []
    assert intake.job.places["Parts"].title == "PARTS"


# --- tabs --------------------------------------------------------------------------------------------------------


def test_only_job_and_parts_are_needed() -> None:
    assert told(taken({"Parts": LEG, "Prices": ""})) == []
    assert told(take_in([])) == [("tab-missing", "Job"), ("tab-missing", "Parts")]


def test_every_other_tab_may_be_blank() -> None:
    intake = take_in(
        [*pages({"Parts": LEG}), *(Page(tab.title) for tab in TABLES if tab.title not in ("Parts", "Prices"))]
    )
    assert told(intake) == []


def test_a_tab_of_another_use_with_our_title_is_told() -> None:
    assert told(taken({"Parts": LEG, "Finish": "What to ask the client | color"})) == [
        ("heading-missing", "Finish")
    ]


def test_all_problems_of_all_tabs_come_at_once() -> None:
    intake = taken(
        {
            "Job": BENCH.replace("| inch", "| furlong"),
            "Parts": f"{HEADINGS}\nLeg | none | White oak | 3/4 | 2 | 20\n | 1 | Wite oke | x | -2 | ",
            "Panels": "Panel | Species | Groove depth sides | Thickness\nEnd | White oak | deep | 1/4",
            "Prices": "Species | Stock | Price\nWhite oak | four | dear",
        }
    )
    assert told(intake) == [
        ("not-in-list", "Job!B2"),
        ("not-a-number", "Parts!B2"),
        ("empty", "Parts!A3"), ("species-unknown", "Parts!C3"), ("not-a-length", "Parts!D3"), ("too-small", "Parts!E3"), ("empty", "Parts!F3"),
        ("not-a-length", "Panels!C2"),
        ("stock-text", "Prices!B2"), ("not-a-number", "Prices!C2"),
    ]  # fmt: skip


def test_merged_cells_over_the_rows_are_told_but_not_over_the_help_or_the_makers_columns() -> None:
    def problems(*merged: Range) -> list[tuple[str, str]]:
        made = pages(
            {
                "Parts": f"All lengths shoulder to shoulder | | | |\n{HEADINGS} | Color\nLeg | 4 | White oak | 3/4 | 2 | 20 | red"
            }
        )
        return told(
            take_in([replace(each, merged=merged) if each.title == "Parts" else each for each in made])
        )

    assert problems(Range(1, 1, 1, 6)) == []
    assert problems(Range(3, 7, 4, 7)) == []
    assert problems(Range(3, 4, 4, 4)) == [("merged", "Parts!D3")]
    assert problems(Range(3, 5, 3, 6)) == [("merged", "Parts!E3")]


# --- units -------------------------------------------------------------------------------------------------------


def test_the_unit_belongs_to_the_job_and_a_unit_in_the_cell_wins() -> None:
    row = f"{HEADINGS}\nLeg | 4 | White oak | 19.05 | 2 in | 508"
    part = taken({"Job": BENCH.replace("inch", "mm"), "Parts": row}).job.parts[0]
    assert (part.thickness, part.width, part.length) == pytest.approx((0.75, 2.0, 20.0))


def test_a_job_without_a_unit_is_in_inches_and_rounds_to_32nds() -> None:
    sheet = taken({"Job": "Job | Bench", "Parts": LEG}).job.sheet
    assert (sheet.unit, sheet.step, sheet.measure) == ("in", 1 / 32, "exact")
    sheet = taken({"Job": "Job | Bench\nUnits | mm", "Parts": LEG.replace("3/4", "19")}).job.sheet
    assert (sheet.unit, sheet.measure) == ("mm", "m3")
    assert sheet.step * 25.4 == pytest.approx(0.5)


# --- labels ------------------------------------------------------------------------------------------------------


def test_labels_may_stand_in_any_order_and_by_other_words() -> None:
    sheet = taken(
        {
            "Job": "My shop |\nMeter reading | 7\nRounding | 1/16\nJOB NAME: | Bench\nCustomer | Harbor Street",
            "Parts": LEG,
        }
    ).job.sheet
    assert (sheet.job, sheet.client, sheet.moisture_now, sheet.step) == (
        "Bench",
        "Harbor Street",
        7.0,
        1 / 16,
    )


def test_a_label_in_a_text_of_the_makers_is_not_taken_for_one() -> None:
    page_of_job = page("Job", "Job | Bench\nNote | Tax")
    assert told(take_in([page_of_job, page("Parts", LEG)])) == []


def test_a_moisture_typed_in_wins_over_the_climate() -> None:
    climate = (
        "Job | Bench\nShop humidity | 50\nShop temperature | 70\nDriest humidity | 30\nWettest humidity | 65"
    )
    sheet = taken({"Job": climate, "Parts": LEG}).job.sheet
    # Wood Handbook, FPL-GTR-282 (2021), Table 4-2 at 70 °F: 9.2, 6.2 and 12.0
    assert sheet.moisture_now == pytest.approx(9.2, abs=0.06)
    assert sheet.moisture_driest == pytest.approx(6.2, abs=0.06)
    assert sheet.moisture_wettest == pytest.approx(12.0, abs=0.06)
    sheet = taken({"Job": f"{climate}\nWood moisture now | 8", "Parts": LEG}).job.sheet
    assert sheet.moisture_now == 8.0


def test_an_error_in_the_live_fit_that_nothing_uses_is_no_problem() -> None:
    job = Page(
        "Job",
        {
            (1, 1): Cell("Job"),
            (1, 2): Cell("Bench"),
            (2, 1): Cell("Inside width"),
            (2, 2): Cell("", 'IF(1,"")'),
        },
    )
    assert told(take_in([job, page("Parts", LEG)])) == []


def test_size_classes_are_read_in_order_of_length_with_the_last_beyond() -> None:
    table = "Up to length | Thickness | Width | Length\nbeyond | 1/2 | 1/2 | 2\n24 | 1/8 | 1/4 | 1\n\nSetting | Value\nRip kerf | 3/32"
    allowances = taken({"Parts": LEG, "Allowances": table}).job.allowances
    assert [(size.up_to, size.thickness) for size in allowances.classes] == [
        (24.0, 0.125),
        (float("inf"), 0.5),
    ]
    assert allowances.rip_kerf == 3 / 32
    assert allowances.crosscut_kerf == 1 / 8


@pytest.mark.parametrize("beyond", ["beyond", "Beyond", "BEYOND "])
def test_a_size_class_that_lacks_a_size_is_told(beyond: str) -> None:
    intake = taken(
        {"Parts": LEG, "Allowances": f"Up to length | Thickness | Width | Length\n{beyond} | 1/2 | | 2"}
    )
    assert told(intake) == [("empty", "Allowances!C2")]


# --- through the files -------------------------------------------------------------------------------------------


@FORMATS
def test_a_formula_of_the_makers_is_taken_by_its_stored_result(tmp_path: Path, ending: str) -> None:
    made = pages({"Parts": LEG})
    made = [
        replace(each, cells={**each.cells, (2, 6): Cell(46.5, "40+6.5")}) if each.title == "Parts" else each
        for each in made
    ]
    again = by_ending(ending).read(by_ending(ending).render(made))
    intake = take_in(again.pages)
    assert told(intake) == []
    assert intake.job.parts[0].length == 46.5


def test_a_formula_whose_stored_result_was_left_out_is_told_with_its_formula(tmp_path: Path) -> None:
    made = [
        replace(each, cells={**each.cells, (2, 6): Cell(46.5, "40+6.5")}) if each.title == "Parts" else each
        for each in pages({"Parts": LEG})
    ]
    xlsx = replaced(by_ending(".xlsx").render(made), "xl/worksheets/sheet3.xml", "<v>46.5</v>", "")
    ods = replaced(
        by_ending(".ods").render(made),
        "content.xml",
        ' office:value-type="float" office:value="46.5"><text:p>46.5</text:p>',
        ">",
    )
    for ending, data in ((".xlsx", xlsx), (".ods", ods)):
        intake = take_in(by_ending(ending).read(data).pages)
        assert told(intake) == [("no-stored-result", "Parts!F2")]
        assert intake.problems[0].stands == "=40+6.5"
        assert "--recalc" in intake.problems[0].instead


@FORMATS
def test_percent_formats_dates_and_decimal_commas_come_through_the_file(tmp_path: Path, ending: str) -> None:
    tables = {"Parts": LEG.replace("3/4", "19,05 mm"), "Job": f"{BENCH}\nTax | 0,07\nProfit | x\nDate | x"}
    made = []
    for each in pages(tables):
        cells = dict(each.cells)
        if each.title == "Job":
            cells[8, 2] = Cell(1.0, style=Style(format=Format.PERCENT))
            cells[9, 2] = Cell(date(2026, 11, 2), style=Style(format=Format.DATE))
        made.append(replace(each, cells=cells))
    path = tmp_path / f"job{ending}"
    path.write_bytes(by_ending(ending).render(made))
    intake = take_in(read(path).pages)
    assert told(intake) == []
    sheet = intake.job.sheet
    assert (sheet.tax, sheet.profit, str(sheet.date)) == (0.07, 1.0, "2026-11-02")
    assert intake.job.parts[0].thickness == pytest.approx(0.75)


def test_a_million_claimed_rows_are_read_in_a_moment() -> None:
    head = "".join(
        f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>'
        for text in HEADINGS.split(" | ")
    )
    leg = "".join(
        f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>'
        for text in ("Leg", "4", "White oak", "3/4", "2", "20")
    )
    rows = (
        f"<table:table-row>{head}</table:table-row><table:table-row>{leg}</table:table-row>"
        '<table:table-row table:number-rows-repeated="1048574"><table:table-cell table:style-name="ce1" table:number-columns-repeated="1024"/></table:table-row>'
    )
    start = time.perf_counter()
    workbook = by_ending(".ods").read(user_file(tables=one_table(rows), names=""))
    intake = take_in([*workbook.pages, page("Job", BENCH)])
    assert time.perf_counter() - start < 2
    assert told(intake) == []
    assert intake.job.places["Parts"].last_row == 2


def test_a_whole_sheet_of_claimed_cells_is_read_in_a_moment(tmp_path: Path) -> None:
    path = write(tmp_path / "job.xlsx", {"Parts": LEG})
    data = replaced(
        path.read_bytes(),
        "xl/worksheets/sheet3.xml",
        '<dimension ref="A1:F2"/>',
        '<dimension ref="A1:XFD1048576"/>',
    )
    data = replaced(
        data,
        "xl/worksheets/sheet3.xml",
        "</sheetData>",
        '<row r="1048576" spans="1:16384"><c r="XFD1048576"/></row></sheetData>',
    )
    start = time.perf_counter()
    intake = take_in(by_ending(".xlsx").read(data).pages)
    assert time.perf_counter() - start < 2
    assert told(intake) == []
    assert len(intake.job.parts) == 1


def test_a_value_filled_down_a_million_rows_is_refused_or_read_but_never_hangs() -> None:
    leg = '<table:table-cell office:value-type="string"><text:p>Leg</text:p></table:table-cell>'
    rows = f'<table:table-row table:number-rows-repeated="1048576">{leg}</table:table-row>'
    start = time.perf_counter()
    with pytest.raises(Refused) as refused:
        by_ending(".ods").read(user_file(tables=one_table(rows), names=""))
    assert refused.value.reason == "too large"
    assert time.perf_counter() - start < 5


@pytest.mark.parametrize(
    "live",
    [
        Cell(None, 'IF(B4>0,B4+2*B5,"")', stale=True),
        Cell(CellError("#VALUE!"), 'IF(B4>0,B4+2*B5,"")'),
    ],
)
def test_the_fit_is_computed_from_the_typed_cells_where_its_formula_has_no_result(live: Cell) -> None:
    cells = {
        (row, column): Cell(text)
        for row, line in enumerate(
            [("Job", "Bench"), ("Unit", "inch"), ("Own width", '12"'), ("Clearance each side", "1/2")], 2
        )
        for column, text in enumerate(line, 1)
    }
    cells |= {(6, 1): Cell("Inside width"), (6, 2): live}
    reading = Reading(Page("Job", cells), [])
    sheet = job_sheet(reading, label_places(reading, settings.JOB))
    assert not reading.told
    assert sheet.inside_width == 13.0


# --- how amounts are written -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("currency", "unit", "amount", "other", "found"),
    [
        ("€", "mm", "1.250", "9,50", "1250"),
        ("€", "mm", "1,250", "9,50", "1.25"),
        ("€", "inch", "1.250 €", "9.50", "1.25"),
        ("$", "inch", "1.250", "1,250.50", "1.25"),
        ("$", "mm", "1,250", "ten", "1250"),
        ("Rs.", "mm", "Rs. 9.50", "4,80 Rs.", "9.5"),
        ("AED", "mm", "AED 12", "5 AED", "12"),
        ("(any)", "mm", "(any) 12", "5", "12"),
        ("Fr.", "mm", "12.-", "5", "12"),
    ],
)
def test_the_other_amounts_and_the_currency_tell_how_an_amount_is_written(
    currency: str, unit: str, amount: str, other: str, found: str
) -> None:
    labels = f"{BENCH.replace('inch', unit)}\nCurrency | {currency}"
    leg = LEG if unit == "inch" else LEG.replace("3/4 | 2 | 20", "20 | 50 | 500")
    made = pages({"Job": labels, "Parts": leg, "Extras": "Item | Unit price\nHinges | x\nKnobs | x"})
    made = [
        replace(each, cells={**each.cells, (2, 2): Cell(amount), (3, 2): Cell(other)})
        if each.title == "Extras"
        else each
        for each in made
    ]
    intake = take_in(made)
    assert told(intake) == ([("not-a-number", "Extras!B3")] if other == "ten" else [])
    assert intake.job.extras[0].unit_price == Decimal(found)


@pytest.mark.parametrize(
    ("amount", "others"), [("1.250", ("5", "6")), ("1.250", ("9,50", "9.50")), ("1,250", ("5",))]
)
def test_an_amount_that_may_go_into_the_thousands_is_asked_about(
    amount: str, others: tuple[str, ...]
) -> None:
    labels = f"{BENCH.replace('inch', 'mm')}\nCurrency | €"
    leg = LEG.replace("3/4 | 2 | 20", "20 | 50 | 500")
    made = pages({"Job": labels, "Parts": leg, "Extras": "Item | Unit price\nHinges | x\nKnobs | x"})
    texts = {(row, 1 + side): Cell(text) for row, text in enumerate((amount, *others), 2) for side in (0, 1)}
    made = [replace(each, cells={**each.cells, **texts}) if each.title == "Extras" else each for each in made]
    (found,) = take_in(made).problems
    assert (found.code, found.place, found.instead) == (
        "thousands",
        "Extras!B2",
        "Write 1250 or 1.25, whichever is meant.",
    )

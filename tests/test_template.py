"""The templates: made from the declaration, read back equal, with the headings of the contract."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Sequence
from dataclasses import fields, is_dataclass
from pathlib import Path

import openpyxl
import pytest

from sheetkit.book.formats import by_ending
from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Kind, heading_key
from sheetkit.form.example import example_job
from sheetkit.intake.cell import entry
from sheetkit.intake.workbook import take_in
from sheetkit.page import Cell, Page, cell_name, column_number
from sheetkit.records.allowances import Allowances
from sheetkit.records.job import ROWS
from sheetkit.tabs.template import template_pages
from sheetkit.units import Unit
from tests.make_templates import generated

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
UNITS = pytest.mark.parametrize("unit", ["in", "mm"])

CONTRACT = """
Parts: Part · Qty · Species · Thickness · Width · Length · Tenons · Made as · Cut · Plies · Keep together · How · Stock · Rise · Round-over · When · Note ‖ Blank thickness · Blank width · Blank length · Blanks · From stock · Board feet · Worked out · Remarks
Panels: Panel · Qty · Species · Opening width · Opening height · Measured width · Measured height · Groove depth sides · Thickness · Grain · Cut · Made as · Run · Rails · Groove depth ends · Groove width · Leaves · Keep together · How · Stock · Note ‖ Panel width · Panel height · Gap each side · In groove at driest · Clearance at wettest · Leaf width · Leaf length · From stock · Board feet · Remarks
Joints: Joint · Qty · Kind · Into · On · Pieces · From · Thickness · Width · Depth into · Depth from · At · Across · Lies · Note ‖ Tenon length · Stock length · Wall left · Remarks
Spacing: Run · Between · Members · Largest gap · Member width · Member · First at · Gaps · Note ‖ Members used · Gap · Remarks
Shapes: Shape · Kind · Length · Rise · Small end · Start · Stations · Part · Note ‖ Radius · Angle · Remarks
Loads: Member · Species · Thickness · Width · Span · Load · Held as · Shared by · Note ‖ Sag · Sag allowed · Stress · Remarks
Glue-ups: Step · Glues · Joints · Goes · Adhesive · Price · Minutes a joint · Across clamps · Along · Glue area · Really used · Note ‖ Minutes needed · Open time · Clamps · Clamp length · Adhesive needed · Remarks
Finish: Step · When · Product · Coats · Price · Hours to next · Grit · Parts · Coverage · Really used · Note ‖ Surface · Needed · Remarks
Boards: Board · Species · Stock · Width · Length · Bad from · Bad to · Where · Price · Note ‖ Board feet · Used · Left over
Prices: Species · Stock · Measures · Price · Waste · Grade · Really bought · Note
Extras: Item · Qty · Unit price · Fit to · When · Really used · Note ‖ Cost
Labor: Operation · Counted by · Minutes each · Rate · Actual hours · Note ‖ Count · Hours · Cost
"""
JOB = """Job · Job number · Client · Piece · Outside size · Prepared by · Date · Units · Round to · Board measure · Decimal sign · Wood moisture now · Shop temperature · Shop humidity · Driest wood moisture · Wettest wood moisture · Driest humidity · Wettest humidity · Indoor temperature · Hourly rate · Overhead · Profit · Profit as · Tax · Delivery · Deposit · Ready in weeks · Valid for days · Currency · Alternatives · Offer alternatives · Rack · Fits · Own width · Own length · Own thickness · Clearance each side · Clearance each end · Top height · Support thickness · Inside width · Inside length · Support height"""
ALLOWANCES = """Stock measures as · Rip kerf · Crosscut kerf · Resaw kerf · Shortest through machines · Thinnest through machines · Widest stave · Narrowest stave · Edge joint · Panel trim · Ply clean-up · End trim · Least in groove · Least clearance · Clamp spacing · Glue gap · Creep factor · Sag allowed"""


def test_the_headings_are_those_agreed_with_the_maker() -> None:
    agreed = dict(line.split(": ") for line in CONTRACT.strip().splitlines())
    assert [tab.title for tab in TABLES] == list(agreed)
    for tab in TABLES:
        asked, _, answered = agreed[tab.title].partition(" ‖ ")
        assert [column.heading for column in tab.asked] == asked.split(" · ")
        assert [column.heading for column in tab.answered] == (answered.split(" · ") if answered else [])
    assert [column.heading for column in settings.JOB] == JOB.split(" · ")
    known = [column.heading for column in settings.ALLOWANCES]
    assert [heading for heading in known if heading in ALLOWANCES.split(" · ")] == ALLOWANCES.split(" · ")


def test_every_column_is_a_field_of_its_record() -> None:
    for tab in TABLES:
        record = ROWS[tab.title][1]
        assert is_dataclass(record)
        names = {field.name for field in fields(record)}
        for column in tab.asked:
            if column.name not in ("bad_from", "bad_to"):
                assert column.name in names, (tab.title, column.name)
    for column in settings.ALLOWANCES:
        # what is asked for a meter is held for a foot
        assert column.name.replace("sag_per_meter", "sag_allowed") in Allowances.__dataclass_fields__


def test_every_column_says_what_it_is_for() -> None:
    for tab in TABLES:
        for column in (*tab.asked, *tab.answered):
            assert column.help.endswith("."), (tab.title, column.heading)


def test_no_two_columns_of_a_tab_share_a_heading() -> None:
    for tab in TABLES:
        keys = [heading_key(column.heading) for column in (*tab.asked, *tab.answered)]
        assert len(keys) == len(set(keys))


@pytest.mark.parametrize("path", generated(), ids=lambda path: path.name)
def test_the_templates_and_examples_are_what_the_code_makes(path: Path) -> None:
    def parts(data: bytes) -> dict[str, bytes]:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            return {name: package.read(name) for name in package.namelist()}

    assert parts(path.read_bytes()) == parts(generated()[path]), "run: python -m tests.make_templates"


def _said(page: Page) -> dict[tuple[int, int], tuple[object, object, object]]:
    return {
        address: (cell.value, cell.formula, cell.style.format)
        for address, cell in page.cells.items()
        if cell.value not in (None, "") or cell.formula is not None
    }


@FORMATS
@UNITS
def test_the_example_comes_back_from_the_file_as_it_went_in(ending: str, unit: Unit) -> None:
    labels, filled = example_job(unit)
    pages = template_pages(unit, labels, filled)
    again = by_ending(ending).read(by_ending(ending).render(pages))
    assert [page.title for page in again.pages] == [page.title for page in pages]
    for page, back in zip(pages, again.pages, strict=True):
        assert _said(back) == _said(page), page.title
        assert (back.freeze, back.merged, back.names) == (page.freeze, page.merged, page.names), page.title
        assert {number: back.columns[number].width for number in page.columns} == {
            number: pytest.approx(look.width, abs=0.1) for number, look in page.columns.items()
        }, page.title
        assert [back.columns[number].style.format for number in page.columns] == [
            look.style.format for look in page.columns.values()
        ], page.title


@FORMATS
@UNITS
def test_a_blank_template_has_nothing_amiss_but_what_is_not_filled_in(ending: str, unit: Unit) -> None:
    pages = by_ending(ending).read(by_ending(ending).render(template_pages(unit))).pages
    assert {found.code for found in take_in(pages).problems} <= {"empty", "nothing-to-do"}


@UNITS
def test_the_example_has_nothing_to_put_right(unit: Unit) -> None:
    labels, filled = example_job(unit)
    assert take_in(template_pages(unit, labels, filled)).problems == ()
    assert len(filled["Parts"]) >= 14
    assert len(filled["Panels"]) == 3


@FORMATS
def test_the_live_fit_has_the_results_that_libreoffice_computes(
    tmp_path: Path, ending: str, office: Callable[[Path, str, Path], Path]
) -> None:
    labels, filled = example_job("in")
    path = tmp_path / f"job{ending}"
    path.write_bytes(by_ending(ending).render(template_pages("in", labels, filled)))
    other = ".ods" if ending == ".xlsx" else ".xlsx"
    theirs = by_ending(other).read(office(path, other[1:], tmp_path / "out").read_bytes()).page("Job")
    ours = by_ending(ending).read(path.read_bytes()).page("Job")
    assert ours is not None
    assert theirs is not None
    live = {address: ours.cells[address] for address in template_pages("in")[0].names.values()}
    assert [cell.value for cell in live.values()] == [17.5, 46.5, 16.25]
    for address, cell in live.items():
        assert theirs.cells[address].value == pytest.approx(cell.value)


@FORMATS
@UNITS
def test_the_fit_bears_names_that_part_formulas_may_use(ending: str, unit: Unit) -> None:
    job = by_ending(ending).read(by_ending(ending).render(template_pages(unit))).page("Job")
    assert job is not None
    assert sorted(job.names) == ["inside_length", "inside_width", "support_height"]
    for name, (row, column) in job.names.items():
        assert job.cells[row, column - 1].value == name.replace("_", " ").capitalize()
        assert job.cells[row, column].formula


def _listed(pages: Sequence[Page], source: str) -> list[object]:
    title, _, block = source.partition("!")
    (first, top), (_, bottom) = (corner.strip("$").split("$") for corner in block.split(":"))
    cells = next(page for page in pages if page.title == title.strip("'")).cells
    return [
        cell.value
        for row in range(int(top), int(bottom) + 1)
        if (cell := cells.get((row, column_number(first))))
    ]


@UNITS
def test_every_drop_down_offers_the_words_that_its_column_takes(unit: Unit) -> None:
    labels, filled = example_job(unit)
    pages = template_pages(unit, labels, filled)
    declared = {(tab.title, column.heading): column for tab in TABLES for column in tab.asked}
    declared |= {("Job", column.heading): column for column in settings.JOB}
    declared |= {("Allowances", column.heading): column for column in settings.ALLOWANCES}
    offered = 0
    for page in pages:
        for choice in page.choices:
            first = choice.where.first_row, choice.where.first_column
            beside = page.cells.get((first[0], first[1] - 1)) if page.title in ("Job", "Allowances") else None
            heading = (beside or page.cells[first[0] - 1, first[1]]).value
            column = declared[page.title, str(heading)]
            if not (choice.words or choice.source) or column.names:
                continue  # a hint alone, or the names of another tab, of which there may be none yet
            words = choice.words or _listed(pages, choice.source)
            assert words, (page.title, heading)
            for word in words:
                if column.kind is not Kind.TEXT:
                    value, wrong = entry(Cell(str(word)), column, unit, page.title, *first)
                    assert wrong is None, (page.title, heading, word)
                    assert value is not None
            offered += 1
            if not choice.words:
                continue
            # inside a file the words stand in one text with commas between, of no more than 255 characters
            assert not any("," in word for word in choice.words)
            assert len(",".join(choice.words)) <= 255
    assert offered > 25


def test_an_independent_reader_finds_the_same_drop_downs() -> None:
    pages = template_pages("in")
    book = openpyxl.load_workbook(io.BytesIO(by_ending(".xlsx").render(pages)))
    for page in pages:
        found = {
            str(rule.sqref).partition(":")[0]: (rule.formula1 or "").strip('"')
            for rule in book[page.title].data_validations.dataValidation
        }
        wanted = {
            cell_name(*choice.where[:2]): ",".join(choice.words) or choice.source for choice in page.choices
        }
        assert found == wanted, page.title


def test_a_part_may_be_sized_by_the_live_fit() -> None:
    labels, filled = example_job("in")
    rows = [{**filled["Parts"][0], "length": "=inside_length => 46.5"}]
    pages = template_pages("in", labels, {**filled, "Parts": rows})
    for ending in (".xlsx", ".ods"):
        again = by_ending(ending).read(by_ending(ending).render(pages))
        parts = again.page("Parts")
        assert parts is not None
        assert Cell(46.5, "inside_length") in [
            Cell(cell.value, cell.formula) for cell in parts.cells.values()
        ]
        assert take_in(again.pages).job.parts[0].length == 46.5


def test_job_asks_first_what_every_job_needs_and_what_it_must_fit_apart() -> None:
    page = {page.title: page for page in template_pages("in")}["Job"]
    labels = [cell.value for (row, column), cell in sorted(page.cells.items()) if column == 1 and row > 4]
    apart = labels.index("What it must fit")
    need = ("Job", "Client", "Units", "Wood moisture now", "Hourly rate", "Currency")
    assert sorted(need, key=labels.index) == list(need)
    assert max(map(labels.index, need)) < apart
    assert labels[apart + 1] == "Fits"
    assert set(labels[apart + 1 :]) >= {
        "Own width",
        "Clearance each side",
        "Top height",
        "Inside width",
        "Support height",
    }
    row = next(row for (row, column), cell in page.cells.items() if cell.value == "What it must fit")
    assert not any(at == row - 1 for at, _ in page.cells), "an empty row above it"


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_no_drop_down_refuses_another_word(tmp_path: Path, ending: str) -> None:
    """README: any name of a wood, rift, 3-1/4", own words for a grade: what is offered is no border."""
    assert not [
        choice
        for unit in ("in", "mm")
        for page in template_pages(unit)
        for choice in page.choices
        if choice.strict
    ]
    data = by_ending(ending).render(template_pages("in"))
    if ending == ".xlsx":
        book = openpyxl.load_workbook(io.BytesIO(data))
        found = [each.showErrorMessage for sheet in book for each in sheet.data_validations.dataValidation]
        assert len(found) > 30
        assert not any(found)
    else:
        content = zipfile.ZipFile(io.BytesIO(data)).read("content.xml")
        told = re.findall(rb'<table:error-message[^>]*table:display="(\w+)"', content)
        assert len(told) > 30
        assert set(told) == {b"false"}

"""What a maker sees at 1280 x 800: what is filled in first fits, nothing is clipped, and each workbook opens on its news."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import openpyxl
import pytest
from lxml import etree

from sheetkit.book.formats import by_ending
from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Column, Kind
from sheetkit.form.example import example_job
from sheetkit.intake.workbook import take_in
from sheetkit.jobs.new import adopted, new_file
from sheetkit.jobs.run import run
from sheetkit.jobs.watch import for_looking
from sheetkit.page import Cell, Page, Style
from sheetkit.plan import answer
from sheetkit.tabs.growth import grown_rows, lines_in
from sheetkit.tabs.input_table import FIRST_ROW, HEADING_ROW
from sheetkit.tabs.letters import room, text_width
from sheetkit.tabs.pages import result_pages
from sheetkit.tabs.template import template_pages
from sheetkit.units import Unit
from tests.jobs import read
from tests.there import there

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
UNITS = pytest.mark.parametrize("unit", ["in", "mm"])
ROOM = 1109
"""Dots across which Calc shows cells in a window 1280 wide, beside row numbers, folds and sidebar: 1137 on a screenshot, on which
the columns of an .xlsx are 2.5 % wider than they say."""
ROOM_WITHOUT_FOLDS = 1151
"""The same beside row numbers and sidebar alone: 1180 on a screenshot."""
DOTS = 96 / 72
LAST_SHOWN = {
    "Parts": "Blanks", "Panels": "Gap each side", "Joints": "Wall left", "Spacing": "Gap", "Shapes": "Angle",
    "Loads": "Stress", "Glue-ups": "Clamp length", "Finish": "Needed",
}  # fmt: skip
"""Title of a tab -> the last answer that stands on the screen beside what is asked; else all do."""
OFTEN_LONG = {"Length", "Between", "Blank length", "Stock length", "Panel width", "Panel height", "Opening width", "Opening height",
              "Measured width", "Measured height", "Span", "Joints, Width"}  # fmt: skip
"""Lengths of 100 inches and more."""
SHORT = {"Depth into", "Depth from", "Tenon length"}
"""Lengths that stay under 10 inches."""


def dots(page: Page, numbers: range) -> float:
    """How wide columns are on the screen, those that are folded away left out."""
    away = {number for fold in page.folded_columns for number in range(fold.first, fold.last + 1)}
    return sum(page.columns[number].width * 7 + 5 for number in numbers if number not in away)


def tables(unit: Unit) -> dict[str, Page]:
    return {page.title: page for page in template_pages(unit) if page.title in {tab.title for tab in TABLES}}


@UNITS
def test_what_is_asked_first_fits_the_screen_and_the_answers_begin_beside_it(unit: Unit) -> None:
    for tab in TABLES:
        page = tables(unit)[tab.title]
        assert dots(page, range(1, len(tab.asked) + 1)) <= ROOM, tab.title
        headings = [column.heading for column in (*tab.asked, *tab.answered)]
        if tab.answered:
            shown = headings.index(LAST_SHOWN.get(tab.title, headings[-1])) + 1
            assert dots(page, range(1, shown + 1)) <= ROOM, tab.title


@UNITS
def test_job_and_the_tabs_of_answers_fit_the_screen(unit: Unit) -> None:
    pages = template_pages(unit, *example_job(unit))
    job = next(page for page in pages if page.title == "Job")
    answers = result_pages(answer(take_in(pages).job, 0.1), (), "made today")
    for page in (job, *answers):
        assert dots(page, range(1, max(page.columns) + 1)) <= ROOM_WITHOUT_FOLDS, page.title


@UNITS
def test_a_size_stands_in_its_column_however_many_32nds_it_has(unit: Unit) -> None:
    for tab in TABLES:
        page = tables(unit)[tab.title]
        for number, column in enumerate((*tab.asked, *tab.answered), 1):
            if column.kind is Kind.LENGTH:
                whole = (
                    "888"
                    if OFTEN_LONG & {column.heading, f"{tab.title}, {column.heading}"}
                    else "8"
                    if column.heading in SHORT
                    else "88"
                )
                size = f"{whole} 28/32" if unit == "in" else f"{whole}88.8"
                wide = page.columns[number].width
                assert text_width(size, 10) <= room((wide,)), (tab.title, column.heading)


@UNITS
def test_headings_are_not_clipped_and_names_of_thirty_letters_stand_on_one_line(unit: Unit) -> None:
    for tab in TABLES:
        page = tables(unit)[tab.title]
        for number, column in enumerate((*tab.asked, *tab.answered), 1):
            cell = page.cells[HEADING_ROW, number]
            assert isinstance(cell.value, str)
            wide = page.columns[number].width
            lines = lines_in(cell.value, wide, cell.style)
            assert lines * cell.style.size * 1.2 <= page.heights[HEADING_ROW], (tab.title, column.heading)
            for word in re.split(r"[ ]", cell.value):
                assert text_width(word, cell.style.size, True) <= room((wide,)), (tab.title, column.heading)
        assert lines_in(
            "Front drawer divider, left low", page.columns[1].width, page.columns[1].style
        ) == 1 or (tab.key_column.kind is not Kind.TEXT or tab.title == "Boards")


@UNITS
def test_help_takes_three_lines_above_the_headings_and_the_rest_is_folded(unit: Unit) -> None:
    for title, page in tables(unit).items():
        away = {row for fold in page.folded_rows for row in range(fold.first, fold.last + 1)}
        assert [row for row in range(1, HEADING_ROW) if row not in away] == [1, 2, 3]
        assert sum(page.heights.get(row, 15.0) for row in (1, 2, 3)) * DOTS <= 75, title  # it was 290
        for (row, number), cell in page.cells.items():
            if row in (1, 2, 3) and isinstance(cell.value, str) and number == 1:
                asked = next(len(tab.asked) for tab in TABLES if tab.title == title)
                until = {
                    1: next(at for (top, at) in page.cells if top == 1 and at > 1) - 1,
                    2: asked,
                    3: asked,
                }[row]
                wide = text_width(cell.value, cell.style.size, cell.style.bold) * DOTS
                assert wide <= min(ROOM, dots(page, range(1, until + 1))), cell.value


@UNITS
def test_every_cell_to_fill_in_says_what_it_asks(unit: Unit) -> None:
    for tab in TABLES:
        page = tables(unit)[tab.title]
        hints = {choice.where.first_column: choice.hint for choice in page.choices}
        for number, column in enumerate(tab.asked, 1):
            assert hints[number].startswith(column.help_in(unit)), column.heading
            assert len(hints[number]) <= 255, column.heading  # what an .xlsx can hold


@FORMATS
def test_what_is_seldom_needed_shows_once_something_stands_in_it(ending: str) -> None:
    rows = [{"part": "Leg", "species": "White oak", "thickness": "1", "width": "2", "length": "30"}]
    for more in ({}, {"rise": "1/2"}):
        pages = template_pages("in", {}, {"Parts": [{**rows[0], **more}]})
        again = by_ending(ending).read(by_ending(ending).render(pages)).page("Parts")
        assert again is not None
        assert again.hidden_columns == {
            number
            for number, column in enumerate(TABLES[0].asked, 1)
            if column.seldom and column.name not in more
        }
        assert again.hidden_rows == {HEADING_ROW - 1}


def names_offered(data: bytes, ending: str) -> dict[tuple[str, str], str]:
    """Tab and first cell -> the block from which a drop-down takes its words, as other software reads it."""
    if ending == ".xlsx":
        book = openpyxl.load_workbook(io.BytesIO(data))
        return {
            (sheet.title, str(rule.sqref).partition(":")[0]): str(rule.formula1)
            for sheet in book
            for rule in sheet.data_validations.dataValidation
            if rule.type == "list" and not rule.showErrorMessage
        }
    content = etree.fromstring(zipfile.ZipFile(io.BytesIO(data)).read("content.xml"))
    found = {}
    for rule in content.iter("{*}content-validation"):
        said = {etree.QName(str(key)).localname: str(value) for key, value in rule.attrib.items()}
        shown = next(iter(rule.iter("{*}error-message"))).get(
            "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}display"
        )
        block = re.search(r"in-list\(\[(?:\$|)([^]]*)\]\)", said.get("condition", ""))
        if block and shown == "false":
            title, _, cell = said["base-cell-address"].partition(".")
            found[title.strip("'$"), cell.replace("$", "")] = block[1]
    return found


def of_names() -> list[tuple[str, Column]]:
    return [(tab.title, column) for tab in TABLES for column in tab.asked if column.names]


@FORMATS
def test_names_of_parts_are_offered_wherever_one_is_asked_and_others_may_be_typed(ending: str) -> None:
    offered = names_offered(new_file(by_ending(ending), template_pages("in")), ending)
    assert {title for title, column in of_names() if column.names == "Parts"} == {
        "Panels", "Joints", "Spacing", "Shapes", "Loads", "Finish", "Extras",
    }  # fmt: skip
    assert ("Glue-ups", "Joints") in {(title, column.names) for title, column in of_names()}
    blocks = [block.replace("$", "").replace("'", "") for block in offered.values()]
    wanted = {f"{column.names}!A{FIRST_ROW}:A2000" for _, column in of_names()}
    if ending == ".ods":
        wanted = {each.replace("!A", ".A").replace(":A", ":.A") for each in wanted}
    assert wanted <= set(blocks)


def test_names_are_offered_from_where_the_maker_keeps_them(tmp_path: Path) -> None:
    path = tmp_path / "own.xlsx"
    own = openpyxl.Workbook()
    sheet = own.worksheets[0]
    sheet.title = "Teile"
    sheet.append(["my list"])
    sheet.append(["No.", "Part", "Species", "Thickness", "Width", "Length"])
    sheet.append([4, "Leg", "White oak", 1, 2, 30])
    own.save(path)
    adopted(path)
    offered = names_offered(path.read_bytes(), ".xlsx")
    assert offered["Loads", "A6"] == "Teile!$B$3:$B$2000"
    assert offered["Joints", "D6"] == "Teile!$B$3:$B$2000"


@FORMATS
def test_job_leads_to_each_tab_and_counts_its_rows(ending: str) -> None:
    labels, filled = example_job("in")
    page = by_ending(ending).read(by_ending(ending).render(template_pages("in", labels, filled))).page("Job")
    assert page is not None
    listed = {
        cell.value: (row, cell.link)
        for (row, column), cell in page.cells.items()
        if column == 5 and cell.link
    }
    assert list(listed) == [title for title in settings.INPUT_ORDER if title != "Job"]
    for title, rows in filled.items():
        row, link = listed[title]
        assert link in (f"{title}!A1", f"'{title}'!A1")
        assert page.cells[row, 6].value == len(rows)
        assert "COUNTA(" in str(page.cells[row, 6].formula)


def opens_on(path: Path) -> str:
    """The tab on which a program shows the workbook, and no other one is selected with it."""
    data = path.read_bytes()
    if path.suffix == ".xlsx":
        book = openpyxl.load_workbook(io.BytesIO(data))
        selected = [sheet.title for sheet in book if sheet.sheet_view.tabSelected]
        shown = there(book.active).title
        assert selected == [shown]
        return str(shown)
    content = etree.fromstring(zipfile.ZipFile(io.BytesIO(data)).read("settings.xml"))
    key = "{urn:oasis:names:tc:opendocument:xmlns:config:1.0}name"
    return next((item.text or "" for item in content.iter() if item.get(key) == "ActiveTable"), "Job")


def made(path: Path, labels: dict[str, str], width: str = "2") -> None:
    part = {"part": "Leg", "species": "White oak", "thickness": "1", "width": width, "length": "30"}
    path.write_bytes(new_file(by_ending(path.suffix), template_pages("in", labels, {"Parts": [part]})))


@FORMATS
def test_a_workbook_opens_on_summary_once_and_then_where_the_maker_left_it(
    tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"job{ending}"
    made(path, {"job": "Stool"})
    assert opens_on(path) == "Job"
    run(path)
    assert opens_on(path) == "Summary"
    again = path.read_bytes()
    run(path)
    assert path.read_bytes() == again
    if ending == ".xlsx":  # the maker saves on another tab, with something else in it
        book = openpyxl.load_workbook(path)
        for sheet in book:
            sheet.sheet_view.tabSelected = sheet.title == "Parts"
        book.active = book.sheetnames.index("Parts")
        book["Parts"]["F6"] = 31
        book.save(path)
        run(path)
        assert opens_on(path) == "Parts"


@FORMATS
def test_a_workbook_with_something_to_put_right_opens_on_messages_until_it_is(
    tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"job{ending}"
    made(path, {"job": "Stool"}, width="wide")
    run(path)
    assert opens_on(path) == "Messages"
    links = [
        cell.link for page in read(path).pages if page.title == "Messages" for cell in page.cells.values()
    ]
    assert "Parts!E6" in links


def test_of_the_tab_that_was_selected_nothing_goes_but_that_mark(tmp_path: Path) -> None:
    path = tmp_path / "job.xlsx"
    made(path, {"job": "Stool"})

    def parts() -> dict[str, bytes]:
        with zipfile.ZipFile(path) as package:
            return {name: package.read(name) for name in package.namelist()}

    before = parts()
    run(path)
    after = parts()
    job, *others = (f"xl/worksheets/sheet{number}.xml" for number in range(1, 17))
    assert before[job].replace(b' tabSelected="1"', b"") == after[job]
    answered = {2}  # Parts, beside whose row the answers stand
    for number, other in enumerate(others, 2):
        assert (before[other] == after[other]) or number in answered, other


@FORMATS
def test_the_answers_beside_an_open_workbook_open_on_a_tab_that_says_so(tmp_path: Path, ending: str) -> None:
    path, beside = tmp_path / f"job{ending}", tmp_path / f"job.answers{ending}"
    made(path, {"job": "Stool"})
    run(path)
    beside.write_bytes(for_looking(path.read_bytes(), path, beside.name))
    assert opens_on(beside) == "Look only"
    page = read(beside).page("Look only")
    assert page is not None
    said = " ".join(str(cell.value) for cell in page.cells.values())
    assert "To look at only" in said
    assert f"What you type in {beside.name} is lost" in said
    assert {"Summary!A1", "'Shop sheet'!A1"} <= {cell.link for cell in page.cells.values()}
    run(beside)  # taken for a job of its own, it is one
    assert read(beside).page("Look only") is None


def test_a_row_is_as_high_as_its_words_need_and_no_higher_than_the_maker_made_it(tmp_path: Path) -> None:
    path = tmp_path / "job.xlsx"
    made(path, {"job": "Stool"})
    before = openpyxl.load_workbook(path)["Parts"].row_dimensions[6]
    assert before.height is None
    run(path)
    page = read(path).page("Parts")
    assert page is not None
    heights = grown_rows(page)
    sheet = openpyxl.load_workbook(path)["Parts"]
    assert sheet.row_dimensions[6].height == pytest.approx(heights[6])
    assert heights[6] > 20
    with zipfile.ZipFile(path) as package:
        row = re.search(r'<row r="6"[^>]*>', package.read("xl/worksheets/sheet2.xml").decode())
    assert row
    assert "customHeight" not in row[0]
    sheet.row_dimensions[6].height = 18  # openpyxl writes it as the maker's own
    sheet["F6"] = 40
    there(sheet.parent).save(path)
    run(path)
    assert openpyxl.load_workbook(path)["Parts"].row_dimensions[6].height == 18


def test_the_height_is_that_of_the_longest_words_in_a_row() -> None:
    style = Style(wrap=True)
    from sheetkit.page import Column as Look

    page = Page("Parts", {(2, 1): Cell("one two three four five six", style=style), (3, 1): Cell("one", style=style)},
                columns={1: Look(10, style), 2: Look(10)})  # fmt: skip
    # 10 characters are 10 x 7 dots less the margins, 50.9 points: "one two", "three four", "five six"
    assert grown_rows(page) == {2: 3 * 10 * 1.3 + 2.5}
    assert grown_rows(page, {(3, 2): Cell("a long text in a column that does not wrap")}) == {}

"""A page written to an .xlsx file and read again is the same page, to us and to other readers."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date, datetime

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from sheetkit.book.xlsx import read, render
from sheetkit.page import (
    Cell,
    CellError,
    Choice,
    Column,
    Format,
    Page,
    Picture,
    PrintSetup,
    Range,
    Style,
)
from tests.book.lint_xlsx import lint, parts_of
from tests.book.makers_xlsx import makers_workbook, png
from tests.there import there

TEXTS = st.text(
    st.one_of(
        st.characters(exclude_categories=["Cs"]),
        st.sampled_from(list("=+-@ \t\n\r_x0041\x00\x07\x1f\x85\ufffe'\"<>&;,")),
    ),
    min_size=1,
    max_size=40,
)
NASTY = [
    "=1+1", "+3", "-2", "@x", " lead", "trail ", "two\nlines", "\r\n", "_x0041_", "_x005F_", "a\x00b", "\x1f",
    "<r>no run</r>", "<r><t>x</t></r>", "https://example.invalid/", "mailto:nobody", "internal:A!B2", "TRUE",
    "3/4", "{=A1}", "🪵 walnut", "ﬁ", "\ufffe", "'", '"', "&amp;", "]]>", "<!DOCTYPE x>", "0012", "1e5", "  ",
]  # fmt: skip


def again(page: Page) -> Page:
    return read(render([page])).pages[0]


@given(st.lists(TEXTS, min_size=1, max_size=12))
@settings(max_examples=80, deadline=None)
def test_any_text_comes_back_as_it_was(texts: list[str]) -> None:
    page = Page("T", {(row, 1): Cell(text) for row, text in enumerate(texts, start=1)})
    assert again(page).cells == page.cells


@pytest.mark.parametrize("text", NASTY)
def test_text_that_looks_like_something_else_stays_text(text: str) -> None:
    page = Page("T", {(1, 1): Cell(text), (2, 2): Cell(text, formula="A1"), (3, 1): Cell(text, link="T!A1")})
    assert again(page).cells == page.cells
    data = render([page])
    theirs = openpyxl.load_workbook(io.BytesIO(data))["T"]
    assert theirs["A1"].data_type == "s"
    plain = text.isprintable() and "_x" not in text
    if plain:
        assert theirs["A1"].value == text
        assert (
            CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_index(0).to_python()[0][0] == text
        )


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e300, max_value=1e300))
@settings(max_examples=60, deadline=None)
def test_numbers_keep_fifteen_figures(number: float) -> None:
    value = again(Page("T", {(1, 1): Cell(number)})).cells[1, 1].value
    assert value == pytest.approx(number, rel=1e-15, abs=1e-300)


STYLES = st.builds(
    Style,
    format=st.sampled_from(list(Format)),
    bold=st.booleans(),
    italic=st.booleans(),
    size=st.sampled_from([8.0, 9.5, 10.0, 14.0]),
    color=st.sampled_from(["000000", "666666", "AA0000"]),
    fill=st.sampled_from(["", "EEEEEE", "FFF2CC"]),
    align=st.sampled_from(["", "left", "center", "right"]),
    middle=st.booleans(),
    wrap=st.booleans(),
    line=st.sampled_from(["", "box", "under", "heavy"]),
    locked=st.booleans(),
)


@given(st.lists(STYLES, min_size=1, max_size=6))
@settings(max_examples=40, deadline=None)
def test_every_look_comes_back(styles: list[Style]) -> None:
    page = Page("T", {(row, 2): Cell("x", style=style) for row, style in enumerate(styles, start=1)})
    assert again(page).cells == page.cells


def full_page() -> Page:
    cells = {
        (1, 1): Cell("Shop sheet", style=Style(bold=True, size=14.0)),
        (2, 1): Cell(0.8125, style=Style(format=Format.FRACTION, line="box")),
        (2, 2): Cell(0.2, style=Style(format=Format.PERCENT)),
        (2, 3): Cell(True),
        (2, 4): Cell(date(2026, 3, 4), style=Style(format=Format.DATE)),
        (2, 5): Cell(datetime(2026, 3, 4, 13, 30), style=Style(format=Format.DATE)),
        (3, 1): Cell(1.625, "A2*2", Style(format=Format.FRACTION)),
        (3, 2): Cell("wide", 'IF(A2>0.5,"wide","narrow")'),
        (3, 3): Cell("", 'IF(A2>5,"x","")'),
        (3, 4): Cell(False, "A2>5"),
        (3, 5): Cell(CellError("#DIV/0!"), "1/0"),
        (3, 6): Cell(None, "A2+1", stale=True),
        (4, 1): Cell("see the part", link="'My parts'!B7"),
        (4, 2): Cell(7.0, link="'My parts'!B7"),
        (4, 3): Cell(8.0, "B4+1", link="'My parts'!B7"),
        (6, 1): Cell("across", style=Style(align="center")),
    }
    return Page(
        "Shop sheet",
        cells,
        columns={1: Column(24.0), 3: Column(9.0, Style(format=Format.FRACTION))},
        heights={1: 30.0},
        freeze=(2, 1),
        merged=(Range(6, 1, 6, 3),),
        names={"shop_total": (3, 1)},
    )


def test_a_whole_page_comes_back_equal() -> None:
    page = full_page()
    assert read(render([page, Page("My parts")])).pages[0] == page


def test_the_same_pages_give_the_same_bytes() -> None:
    pages = [full_page(), Page("My parts", key="parts")]
    assert render(pages) == render(pages)


def test_two_other_readers_see_the_same_values() -> None:
    data = render([full_page(), Page("My parts")])
    values = openpyxl.load_workbook(io.BytesIO(data), data_only=True)["Shop sheet"]
    formulas = openpyxl.load_workbook(io.BytesIO(data))["Shop sheet"]
    assert values["A2"].value == 0.8125
    assert values["A2"].number_format == "# ??/??"
    assert values["D2"].value == datetime(2026, 3, 4)
    assert values["A3"].value == 1.625
    assert formulas["A3"].value == "=A2*2"
    assert values["B3"].value == "wide"
    assert values["D3"].value is False
    assert values["E3"].value == "#DIV/0!"
    assert values["F3"].value is None
    assert formulas["A4"].hyperlink.location == "'My parts'!B7"
    assert values.freeze_panes == "B3"
    assert [str(each) for each in values.merged_cells.ranges] == ["A6:C6"]
    rows = CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_name("Shop sheet").to_python()
    assert rows[1][:5] == [0.8125, 0.2, True, date(2026, 3, 4), datetime(2026, 3, 4, 13, 30)]
    assert rows[2][:4] == [1.625, "wide", "", False]


def test_print_setup_pictures_and_drop_downs_are_there() -> None:
    page = Page(
        "Quote",
        {(row, 1): Cell(f"line {row}") for row in range(1, 60)},
        choices=(
            Choice(Range(1, 2, 9, 2), words=("flat", "quarter"), strict=True, hint="how it is sawn"),
            Choice(Range(1, 3, 9, 3), source="Lists!$A$1:$A$9"),
        ),
        pictures=(Picture(png(7, 5), 4, 5, 144.0, 36.0, "two legs"),),
        print=PrintSetup("a4", True, (1, 2), True, Range(1, 1, 59, 6), "&P of &N, Smith & Co", "&A", (30,)),
    )
    data = render([page, Page("Lists")])
    assert lint(data) == []
    theirs = openpyxl.load_workbook(io.BytesIO(data))["Quote"]
    assert theirs.page_setup.paperSize == 9
    assert theirs.page_setup.orientation == "landscape"
    assert (theirs.page_setup.fitToWidth, theirs.page_setup.fitToHeight) == (None, 0)
    whole = render([replace(page, print=replace(page.print, one_page=True))])
    assert (
        openpyxl.load_workbook(io.BytesIO(whole))["Quote"].page_setup.fitToHeight is None
    )  # one, if nothing is said
    assert there(theirs.sheet_properties.pageSetUpPr).fitToPage
    assert theirs.print_title_rows == "$1:$2"
    assert theirs.print_area == "'Quote'!$A$1:$F$59"
    assert there(theirs.oddFooter).center.text == "&P of &N, Smith && Co"
    assert there(theirs.oddHeader).center.text == "&A"
    assert [each.id for each in theirs.row_breaks.brk] == [30]
    first, second = theirs.data_validations.dataValidation
    assert (first.formula1, first.showErrorMessage, first.prompt) == (
        '"flat,quarter"',
        True,
        "how it is sawn",
    )
    assert (second.formula1, second.showErrorMessage) == ("Lists!$A$1:$A$9", False)
    drawing = parts_of(data)["xl/drawings/drawing1.xml"].decode()
    assert "oneCellAnchor" in drawing
    assert 'cx="1828800" cy="457200"' in drawing, "144 x 36 points, at 12,700 to the point"
    assert 'descr="two legs"' in drawing


def test_only_the_first_tab_is_open() -> None:
    parts = parts_of(render([Page("A"), Page("B"), Page("C")]))
    chosen = [name for name in parts if b'tabSelected="1"' in parts[name]]
    assert chosen == ["xl/worksheets/sheet1.xml"]


def test_every_font_says_its_name_and_size() -> None:
    styles = parts_of(render([full_page(), Page("My parts")]))["xl/styles.xml"].decode()
    fonts = styles.split("<fonts")[1].split("</fonts>")[0].split("<font>")[1:]
    assert len(fonts) >= 2
    assert all('val="Arial"' in font and "<sz val=" in font for font in fonts)


@pytest.mark.parametrize(
    "page",
    [
        Page("T", {(1, 1): Cell("x" * 32_768)}),
        Page("T", choices=(Choice(Range(1, 1, 1, 1), words=("oak, white", "ash")),)),
        Page("T", choices=(Choice(Range(1, 1, 1, 1), words=("w" * 130, "v" * 130)),)),
        Page("T", names={"not a name": (1, 1)}),
        Page("T", {(1_048_577, 1): Cell(1.0)}),
        Page("T", {(1, 1): Cell(float("inf"), "1/0")}),
    ],
    ids=["long text", "comma", "long list", "bad name", "too many rows", "no number"],
)
def test_what_a_file_cannot_hold_is_a_bad_call(page: Page) -> None:
    with pytest.raises(ValueError):
        render([page])


def test_a_makers_workbook_is_read_as_it_shows() -> None:
    book = read(makers_workbook())
    assert [page.title for page in book.pages] == ["Parts", "Lists", "Money"]
    parts, lists, money = book.pages
    assert parts.cells[2, 1].value == "Leg"
    assert parts.cells[2, 3].value == 2.5
    assert parts.cells[2, 3].style.format is Format.FRACTION
    total = parts.cells[2, 6]
    assert total == Cell(total.value, "B2*D2/12", total.style)
    assert total.value == pytest.approx(4 * 29 / 12)
    assert parts.cells[3, 5].value == "mind the knot"
    assert parts.cells[15, 1].link == "Lists!A1"
    assert parts.cells[14, 1].link is None
    assert parts.merged == (Range(12, 1, 12, 3),)
    assert (7, 1) not in parts.cells, "a row that only has a look holds nothing"
    assert lists.cells[1, 3].style.format is Format.PERCENT
    assert lists.cells[1, 4].value == date(2026, 3, 4)
    assert lists.names == {"oak_price": (1, 3)}
    assert money.cells[2, 7].formula == "C3:C5*2"
    assert book.owned == {}
    assert not book.locked


def test_dates_from_1904_are_the_same_days() -> None:
    assert read(makers_workbook(date1904=True)).pages[1].cells[1, 4].value == date(2026, 3, 4)


def replaced(data: bytes, name: str, old: str, new: str) -> bytes:
    from sheetkit.book.package import Package

    package = Package(data)
    content = package.read(name).decode()
    assert old in content
    package.write(name, content.replace(old, new).encode())
    return package.save()


def test_cells_without_coordinates_stand_one_after_the_other() -> None:
    rows = (
        '<sheetData><row><c><v>1</v></c><c t="inlineStr"><is><t>in</t><rPh sb="0" eb="1"><t>no</t></rPh></is>'
        '</c></row><row r="5"><c r="C5" t="b"><v>1</v></c><c t="str"><v>s</v></c></row><row>'
        '<c t="e"><v>#N/A</v></c><c><f>A1</f></c><c><f t="shared" si="0"/><v>2</v></c></row></sheetData>'
    )
    data = replaced(render([Page("T")]), "xl/worksheets/sheet1.xml", "<sheetData/>", rows)
    assert read(data).pages[0].cells == {
        (1, 1): Cell(1.0),
        (1, 2): Cell("in"),
        (5, 3): Cell(True),
        (5, 4): Cell("s"),
        (6, 1): Cell(CellError("#N/A")),
        (6, 2): Cell(None, "A1", stale=True),
        (6, 3): Cell(2.0, ""),
    }


def test_a_number_beyond_all_numbers_is_an_error_in_its_cell() -> None:
    rows = '<sheetData><row r="1"><c r="A1"><v>1e999</v></c><c r="B1"><v>NaN</v></c></row></sheetData>'
    data = replaced(render([Page("T")]), "xl/worksheets/sheet1.xml", "<sheetData/>", rows)
    assert {cell.value for cell in read(data).pages[0].cells.values()} == {CellError("#NUM!")}


def test_a_link_over_several_cells_belongs_to_each_that_holds_something() -> None:
    links = '<hyperlinks><hyperlink ref="A1:C2" location="T!A9"/></hyperlinks><pageMargins'
    cells = {(1, 1): Cell(1.0), (2, 3): Cell(2.0), (3, 3): Cell(3.0)}
    data = replaced(render([Page("T", cells)]), "xl/worksheets/sheet1.xml", "<pageMargins", links)
    assert {a: c.link for a, c in read(data).pages[0].cells.items()} == {
        (1, 1): "T!A9",
        (2, 3): "T!A9",
        (3, 3): None,
    }


def test_a_stale_formula_is_written_without_a_result() -> None:
    page = Page("T", {(1, 1): Cell(5.0, "2+2", stale=True)})
    assert again(page).cells == {(1, 1): Cell(None, "2+2", stale=True)}


def test_a_protected_workbook_says_so() -> None:
    data = replaced(
        render([Page("T")]),
        "xl/workbook.xml",
        "<bookViews>",
        '<workbookProtection lockStructure="1"/><bookViews>',
    )
    assert read(data).locked
    data = replaced(
        render([Page("T")]),
        "xl/worksheets/sheet1.xml",
        "<pageMargins",
        '<sheetProtection sheet="1"/><pageMargins',
    )
    assert read(data).locked


def test_a_claim_on_every_column_costs_nothing() -> None:
    data = replaced(
        render([Page("T", {(1, 2): Cell(1.0)})]),
        "xl/worksheets/sheet1.xml",
        "<sheetData>",
        '<cols><col min="1" max="16384" width="9"/></cols><sheetData>',
    )
    page = read(data).pages[0]
    assert len(page.columns) <= 64
    assert len(page.cells) == 1

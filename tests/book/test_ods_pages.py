"""Pages rendered as .ods and read again; files that others made, read."""

from __future__ import annotations

import io
import math
import re
import time
import unicodedata
from datetime import date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree
from odf import opendocument, table, teletype, text

from sheetkit.book.ods import read, render
from sheetkit.book.workbook import Refused
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
from tests.book.lint_ods import TABLE, faults, parts
from tests.book.user_ods import DOT, one_table, user_file
from tests.there import there

LENGTH = Style(format=Format.FRACTION, locked=False)
PAGES = (
    Page(
        "Parts",
        {
            (1, 1): Cell(
                "Part", style=Style(bold=True, fill="D9D9D9", line="under", align="center", middle=True)
            ),
            (2, 1): Cell("Rail  two\n spaces\tand tab "),
            (2, 2): Cell(3.25, style=LENGTH),
            (3, 1): Cell("=not a formula", style=Style(italic=True, size=8.5, color="AA0000", wrap=True)),
            (3, 2): Cell(3.25, formula="SUM(B2:B2)", style=LENGTH),
            (4, 1): Cell(date(2026, 3, 4), style=Style(format=Format.DATE)),
            (4, 2): Cell(datetime(2026, 3, 4, 10, 30)),
            (5, 1): Cell(True),
            (5, 2): Cell(False, formula="1=2"),
            (6, 1): Cell(CellError("#N/A")),
            (6, 2): Cell(CellError("#DIV/0!"), formula="1/0"),
            (7, 1): Cell("see", link="'Shop sheet'!B7"),
            (7, 2): Cell('say "x"', formula='"say ""x"""'),
            (8, 1): Cell(None, formula="1+1", stale=True),
            (8, 2): Cell("", formula='""'),
            (900, 28): Cell(12, style=Style(line="box", align="right")),
        },
        columns={
            1: Column(20, Style(locked=False)),
            2: Column(10.5, LENGTH),
            5: Column(8, Style(fill="EEEEEE")),
        },
        heights={1: 30.0, 5: 12.5},
        freeze=(1, 1),
        choices=(
            Choice(Range(2, 3, 500, 3), words=('red "oak"', "soft;maple"), hint="pick one"),
            Choice(Range(2, 4, 500, 4), source="Lists!$A$1:$A$3", strict=True),
        ),
        names={"inside_width": (2, 2)},
        print=PrintSetup(
            repeat_rows=(1, 1), landscape=True, footer="&A, page &P of &N", header="A & B", breaks=(4,)
        ),
    ),
    Page(
        "Shop sheet",
        {
            (1, 1): Cell("Title", style=Style(size=16, line="heavy")),
            (2, 1): Cell(3.25, formula="Parts!B2+inside_width"),
        },
        key="shop",
        merged=(Range(1, 1, 1, 4),),
        pictures=(Picture(DOT, 5, 2, 120, 80, "A dot"),),
        print=PrintSetup(paper="a4", area=Range(1, 1, 30, 6), fit_width=False),
    ),
    Page("Lists", {(row, 1): Cell(f"word {row}") for row in (1, 2, 3)}),
    Page("Empty"),
)


def numbers_shown(look: Format) -> Cell:
    return Cell(1234.5678, style=Style(format=look))


def test_pages_come_back_as_they_went_out() -> None:
    workbook = read(render(PAGES))
    assert [page.title for page in workbook.pages] == [page.title for page in PAGES]
    assert workbook.owned == {"shop": "Shop sheet"}
    for before, after in zip(PAGES, workbook.pages, strict=True):
        assert after.cells == before.cells
        assert after.columns == before.columns
        assert after.heights == {row: high for row, high in before.heights.items() if row <= before.last_row}
        assert (after.freeze, after.merged, after.names, after.key) == (
            before.freeze, before.merged, before.names, before.key,
        )  # fmt: skip


def test_a_rendered_file_hangs_together_and_is_the_same_every_time() -> None:
    data = render(PAGES)
    assert faults(data) == []
    assert data == render(PAGES)


@pytest.mark.parametrize("look", list(Format))
def test_every_number_format_comes_back(look: Format) -> None:
    page = Page("Numbers", {(1, 1): numbers_shown(look)}, columns={2: Column(10, Style(format=look))})
    back = read(render([page])).pages[0]
    assert back.cells == page.cells
    assert back.columns == page.columns


def shown(value: float, look: Format) -> str:
    found = etree.fromstring(
        parts(render([Page("A", {(1, 1): Cell(value, style=Style(format=look))})]))["content.xml"]
    )
    return "".join(map(str, there(found.find(".//{*}p")).itertext()))


@pytest.mark.parametrize(
    ("value", "look", "words"),
    [
        (3.25, Format.FRACTION, "3 1/4"),
        (0.78125, Format.FRACTION, "25/32"),
        (-1.5, Format.FRACTION, "-1 1/2"),
        (0.0, Format.FRACTION, "0"),
        (4.0, Format.FRACTION, "4"),
        (1234.5, Format.MONEY, "1,234.50"),
        (0.155, Format.PERCENT, "15.5%"),
        (2.5, Format.THOUSANDTH, "2.500"),
        (0.1 + 0.2, Format.PLAIN, "0.3"),
    ],
)
def test_the_words_beside_a_number_are_what_the_format_shows(value: float, look: Format, words: str) -> None:
    assert shown(value, look) == words


def as_xml_holds_it(words: str) -> str:
    words = re.sub("\r\n|[\r\x0b\x0c]", "\n", words)
    return "".join(
        sign
        for sign in words
        if sign in "\n\t"
        or not (unicodedata.category(sign) == "Cs" or ord(sign) < 32 or ord(sign) in (0xFFFE, 0xFFFF))
    )


ANY_TEXT = st.text(st.characters(codec=None) | st.sampled_from(" \t\n\r\0'\"<&=+-@\x0b"), max_size=40)


@settings(max_examples=200, deadline=None)
@given(words=st.lists(ANY_TEXT, min_size=1, max_size=4), linked=st.booleans())
def test_any_text_comes_back_but_for_signs_that_xml_cannot_hold(words: list[str], linked: bool) -> None:
    link = "Parts!B7" if linked else None
    page = Page("Words", {(row, 1): Cell(word, link=link) for row, word in enumerate(words, 1)})
    back = read(render([page])).pages[0]
    expected = {(row, 1): as_xml_holds_it(word) for row, word in enumerate(words, 1)}
    assert {address: cell.value for address, cell in back.cells.items()} == {
        address: word for address, word in expected.items() if word
    }
    assert all(cell.link == link and cell.formula is None for cell in back.cells.values())


@settings(max_examples=100, deadline=None)
@given(
    number=st.floats(allow_nan=False, allow_infinity=False) | st.integers(-(2**53), 2**53),
    look=st.sampled_from(Format),
)
def test_any_number_comes_back_to_the_last_digit(number: float, look: Format) -> None:
    cell = Cell(number, style=Style(format=look))
    assert read(render([Page("N", {(1, 1): cell})])).pages[0].cells[1, 1] == cell


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_becomes_an_error_and_not_a_broken_file(number: float) -> None:
    assert read(render([Page("N", {(1, 1): Cell(number)})])).pages[0].cells[1, 1].value == CellError("#NUM!")


@given(
    title=st.text("abcXYZ 019'.!&<üé-_()", min_size=1, max_size=20).filter(lambda title: title.strip("' "))
)
@settings(max_examples=60, deadline=None)
def test_any_title_holds_names_marks_links_and_ranges(title: str) -> None:
    page = Page(
        title, {(1, 1): Cell(1)}, key="k", names={"here": (1, 1)}, print=PrintSetup(area=Range(1, 1, 2, 2))
    )
    workbook = read(render([page]))
    assert workbook.owned == {"k": title}
    assert workbook.pages[0].names == {"here": (1, 1)}


def test_an_independent_reader_sees_the_same_values() -> None:
    document = opendocument.load(io.BytesIO(render(PAGES)))
    tables = document.spreadsheet.getElementsByType(table.Table)
    assert [element.getAttribute("name") for element in tables] == [page.title for page in PAGES]
    rows = tables[0].getElementsByType(table.TableRow)
    seen = []
    for row in rows[:8]:
        cells = row.getElementsByType(table.TableCell)[:2]
        seen.append([(cell.getAttribute("valuetype"), cell.getAttribute("value")) for cell in cells])
    assert seen[1] == [("string", None), ("float", "3.25")]
    assert seen[2] == [("string", None), ("float", "3.25")]
    assert seen[4] == [("boolean", None), ("boolean", None)]
    words = rows[1].getElementsByType(table.TableCell)[0].getElementsByType(text.P)
    assert [teletype.extractText(line) for line in words] == ["Rail  two", " spaces\tand tab "]


def test_a_user_file_is_read_without_notes_shapes_and_cached_tabs() -> None:
    workbook = read(user_file())
    assert [page.title for page in workbook.pages] == ["Parts", "Stock"]
    cells = workbook.pages[0].cells
    assert cells[2, 1].value == "Leg"
    assert cells[2, 3][:2] == (12.0, "B2*Stock!$A$1")
    assert [cells[row, 3].value for row in (3, 4, 5)] == [7.0, 7.0, 7.0]
    assert cells[6, 1].value == "wide"
    assert (6, 2) not in cells
    assert workbook.pages[0].merged == (Range(6, 1, 6, 2),)
    assert workbook.pages[0].names == {"legs": (2, 2)}
    assert cells[1, 1].style.fill == "FFFF00"
    assert cells[1, 1].style.format is Format.PLAIN
    assert workbook.pages[0].columns[4].style == Style(format=Format.HUNDREDTH, color="FF0000")
    assert workbook.pages[0].columns[1].width == 13.0
    assert max(address[0] for address in cells) == 7


def cells_of(rows: str) -> dict[tuple[int, int], Cell]:
    return dict(read(user_file(tables=one_table(rows), names="", validations="")).pages[0].cells)


@pytest.mark.parametrize(
    ("stored", "cell"),
    [
        ('office:value-type="percentage" office:value="0.2"><text:p>20%</text:p>', Cell(0.2, style=Style(format=Format.PERCENT))),
        ('office:value-type="currency" office:currency="EUR" office:value="9.5"><text:p>9.50</text:p>', Cell(9.5)),
        ('office:value-type="date" office:date-value="2026-03-04">', Cell(date(2026, 3, 4))),
        ('office:value-type="date" office:date-value="2026-03-04T10:30:00">', Cell(datetime(2026, 3, 4, 10, 30))),
        ('office:value-type="date" office:date-value="-1-13-40"><text:p>odd</text:p>', Cell("odd")),
        ('office:value-type="time" office:time-value="PT12H00M00S">', Cell(datetime(1899, 12, 31, 12))),
        ('office:value-type="boolean" office:boolean-value="true">', Cell(True)),
        ('office:value-type="string" office:string-value="kept"><text:p>shown</text:p>', Cell("kept")),
        ('office:value-type="string"><text:p>a<text:s text:c="2"/>b<text:tab/>c<text:line-break/>d</text:p><text:p>e</text:p>', Cell("a  b\tc\nd\ne")),
        ('office:value-type="string"><text:p>\n      laid\n      out\n   </text:p>', Cell("laid out")),
        ('office:value-type="string"><text:p>two  spaces</text:p>', Cell("two  spaces")),
        ('office:value-type="string"><text:p><text:span>b<text:span>o</text:span></text:span>ld</text:p>', Cell("bold")),
        ('office:value-type="string"><text:p><text:a xlink:href="#Stock.B2">go</text:a></text:p>', Cell("go", link="Stock!B2")),
        ('office:value-type="string"><text:p><text:a xlink:href="#$\'A%20b\'.B2">go</text:a></text:p>', Cell("go", link="'A b'!B2")),
        ('office:value-type="string"><text:p><text:a xlink:href="https://example.org">go</text:a></text:p>', Cell("go")),
        ('table:formula="of:=1/0" office:value-type="string" office:string-value="" calcext:value-type="error"><text:p>#DIV/0!</text:p>', Cell(CellError("#DIV/0!"), "1/0")),
        ('table:formula="of:=x" office:value-type="float" office:value="0"><text:p>Err:508</text:p>', Cell(CellError("Err:508"), "x")),
        ('table:formula="of:=[.A1]">', Cell(None, "A1", stale=True)),
        ('table:formula="of:=[.A1]"><text:p/>', Cell("", "A1")),
        ('table:formula="of:=[.A1]" office:value-type="float">', Cell(None, "A1", stale=True)),
        ('office:value-type="string"><text:p>#REF!</text:p>', Cell("#REF!")),
    ],
)  # fmt: skip
def test_every_kind_of_value_is_read(stored: str, cell: Cell) -> None:
    assert cells_of(f"<table:table-row><table:table-cell {stored}</table:table-cell></table:table-row>") == {
        (1, 1): cell
    }


def test_rows_in_groups_and_cells_of_inner_tables_are_told_apart() -> None:
    inner = '<table:table table:name="in" table:is-sub-table="true"><table:table-column/><table:table-row><table:table-cell office:value-type="string"><text:p>inner</text:p></table:table-cell></table:table-row></table:table>'
    cell = '<table:table-cell office:value-type="string">{}<text:p>{}</text:p></table:table-cell>'
    row = "<table:table-row>{}</table:table-row>"
    rows = (
        f"<table:table-row-group><table:table-row-group>{row.format(cell.format('', 'a'))}</table:table-row-group>"
        f"</table:table-row-group><table:table-rows>{row.format(cell.format(inner, 'b') + cell.format('', 'c'))}"
        f"</table:table-rows>{row.format(cell.format('', 'd'))}"
    )
    found = {address: cell.value for address, cell in cells_of(rows).items()}
    assert found == {(1, 1): "a", (2, 1): "b", (2, 2): "c", (3, 1): "d"}


def test_claims_of_a_million_empty_rows_cost_nothing() -> None:
    rows = '<table:table-row table:number-rows-repeated="1048576"><table:table-cell table:number-columns-repeated="16384"/></table:table-row>'
    assert cells_of(rows) == {}


@pytest.mark.parametrize(
    "rows",
    [
        '<table:table-row table:number-rows-repeated="1000000"><table:table-cell office:value-type="float" office:value="1"/></table:table-row>',
        '<table:table-row table:number-rows-repeated="90000"><table:table-cell table:number-columns-repeated="16384" office:value-type="float" office:value="1"/></table:table-row>',
    ],
)
def test_a_value_repeated_without_end_is_refused(rows: str) -> None:
    with pytest.raises(Refused) as refusal:
        cells_of(rows)
    assert refusal.value.reason == "too large"


def test_protection_is_noticed() -> None:
    assert not read(user_file()).locked
    shielded = '<table:table table:name="A" table:protected="true"><table:table-row><table:table-cell/></table:table-row></table:table>'
    assert read(user_file(tables=shielded, names="")).locked


def test_a_tab_can_be_shrunk_to_one_page() -> None:
    pages = [Page("Short", print=PrintSetup(one_page=True)), Page("Long", print=PrintSetup())]
    styles = etree.fromstring(parts(render(pages))["styles.xml"])
    layouts = styles.findall(".//{*}page-layout/{*}page-layout-properties")
    tall = [layout.get(layout.nsmap["style"].join("{}") + "scale-to-Y") for layout in layouts]
    assert sorted(tall, key=str) == ["1", None]


def test_a_page_fits_its_width_on_paper_and_says_its_number() -> None:
    styles = etree.fromstring(parts(render(PAGES))["styles.xml"])
    layouts = styles.findall(".//{*}page-layout/{*}page-layout-properties")
    assert [layout.get(layout.nsmap["style"].join("{}") + "scale-to-X") for layout in layouts] == [
        "1",
        None,
        "1",
    ]
    footer = there(styles.find(".//{*}footer//{*}p"))
    assert [child.tag.rpartition("}")[2] for child in footer] == ["sheet-name", "page-number", "page-count"]
    assert "".join(map(str, there(styles.find(".//{*}header//{*}p")).itertext())) == "A & B"


def test_a_cell_without_a_value_still_bears_its_look() -> None:
    box = Style(line="box", fill="EEEEEE")
    data = render([Page("A", {(2, 3): Cell(style=box), (3, 1): Cell("x")})])
    root = etree.fromstring(parts(data)["content.xml"])
    cell = root.findall(".//{*}table-row")[1][1]
    assert (len(cell), there(cell.get(f"{TABLE}style-name"))[:5]) == (0, "sk-c.")
    assert list(read(data).pages[0].cells) == [(3, 1)]


@pytest.mark.parametrize(
    "rows",
    [
        '<table:table-row table:number-rows-repeated="1048576"><table:table-cell/></table:table-row>',
        '<table:table-row><table:table-cell table:number-columns-repeated="16384"/>',
    ],
)
def test_a_value_beyond_the_sheet_is_refused(rows: str) -> None:
    value = '<table:table-cell office:value-type="float" office:value="1"/></table:table-row>'
    rows += value if not rows.endswith("row>") else "<table:table-row>" + value
    with pytest.raises(Refused) as refusal:
        cells_of(rows)
    assert refusal.value.reason == "too large"


@pytest.mark.parametrize("count", ["x", "-3", "", "9" * 5000, "²", "0"])
def test_a_count_that_is_none_counts_once(count: str) -> None:
    cell = f'<table:table-cell table:number-columns-repeated="{count}" office:value-type="string">'
    rows = f'<table:table-row>{cell}<text:p>a<text:s text:c="{count}"/>b</text:p></table:table-cell></table:table-row>'
    expected = "ab" if count == "0" else "a b"
    assert {address: cell.value for address, cell in cells_of(rows).items()} == {(1, 1): expected}


def test_ten_thousand_rows_are_read_in_seconds() -> None:
    cells = {
        (row, column): Cell(f"part {row}") if column % 2 else Cell(row / 16, style=LENGTH)
        for row in range(1, 10_001)
        for column in range(1, 25)
    }
    data = render([Page("Parts", cells)])
    start = time.process_time()
    page = read(data).pages[0]
    assert time.process_time() - start < 5, "about 1.4 s on a slow machine"
    assert page.cells == cells

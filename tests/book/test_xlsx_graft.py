"""Answers grafted into a maker's .xlsx file leave everything else as it was."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree
from python_calamine import CalamineWorkbook

from sheetkit.book.package import Package
from sheetkit.book.workbook import Change, Refused, Workbook
from sheetkit.book.xlsx import graft, laid_over, read, render
from sheetkit.page import Address, Cell, CellError, Column, Format, Page, Picture, PrintSetup, Range, Style
from tests.book.lint_xlsx import lint, parts_of
from tests.book.makers_xlsx import makers_workbook, png
from tests.there import there

ESTIMATE = Page(
    "Estimate",
    {
        (1, 1): Cell("What it costs", style=Style(bold=True, size=14.0)),
        (2, 1): Cell(12.5, style=Style(format=Format.MONEY)),
        (3, 1): Cell(25.0, "A2*2", Style(format=Format.MONEY, line="under")),
        (4, 1): Cell("see the leg", link="Parts!A2"),
        (5, 1): Cell(date(2026, 3, 4), style=Style(format=Format.DATE)),
    },
    key="estimate",
    columns={1: Column(20.0), 2: Column(9.0, Style(format=Format.FRACTION))},
    pictures=(Picture(png(), 8, 1, 72.0, 54.0, "a board"),),
    freeze=(1, 0),
    names={"estimate_total": (3, 1)},
    print=PrintSetup(repeat_rows=(1, 1), area=Range(1, 1, 5, 2), footer="&P of &N"),
)
QUOTE = Page("Quote", {(1, 1): Cell("For the client"), (2, 1): Cell(25.0, "Estimate!A3")}, key="quote")
PATCHES: dict[str, dict[Address, Cell]] = {
    "Parts": {
        (2, 9): Cell(3.25, style=Style(format=Format.FRACTION)),
        (3, 9): Cell(29.5, "D3+1", Style(format=Format.FRACTION)),
        (4, 9): Cell("29 + 1 trim"),
        (5, 9): Cell(True),
        (7, 9): Cell(date(2026, 5, 6)),
        (30, 2): Cell("far below"),
    }
}
CHANGE = Change(
    tabs=(ESTIMATE, QUOTE),
    patches=PATCHES,
    columns={"parts.blank": ("Parts", Range(2, 9, 7, 9))},
    notes={"stamp": 'run "one" & <two>'},
)
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
ALLOWED = {
    "[Content_Types].xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/styles.xml",
    "xl/sharedStrings.xml", "xl/worksheets/sheet1.xml",
}  # fmt: skip


def grafted(data: bytes, change: Change) -> bytes:
    """Graft, and check what must hold for any graft."""
    out = graft(data, change)
    assert lint(out, data) == []
    assert graft(data, change) == out
    if not change.kept and not change.added:
        assert graft(out, change) == out, "the same change once more"
    return out


def values(data: bytes, title: str) -> dict[Address, object]:
    page = read(data).page(title)
    assert page is not None
    return {address: cell.value for address, cell in page.cells.items()}


def replaced(data: bytes, *swaps: tuple[str, str, str]) -> bytes:
    package = Package(data)
    for name, old, new in swaps:
        content = package.read(name).decode()
        assert old in content, (name, old)
        package.write(name, content.replace(old, new).encode())
    return package.save()


@pytest.fixture(scope="module")
def maker() -> bytes:
    return makers_workbook()


@pytest.fixture(scope="module")
def first(maker: bytes) -> bytes:
    return grafted(maker, CHANGE)


def test_every_part_that_is_not_ours_stays_byte_for_byte(maker: bytes, first: bytes) -> None:
    before, after = parts_of(maker), parts_of(first)
    assert {name for name in before if before[name] != after.get(name)} <= ALLOWED
    assert "xl/vbaProject.bin" in before
    assert "xl/charts/chart1.xml" in before
    assert "xl/tables/table1.xml" in before
    tabs = {"xl/worksheets/sheet4.xml", "xl/worksheets/_rels/sheet4.xml.rels", "xl/worksheets/sheet5.xml"}
    added = set(after) - set(before)
    assert tabs < added
    assert all(name.rpartition("/")[2].startswith("sheetkit") for name in added - tabs)


def test_the_makers_cells_are_what_they_were(maker: bytes, first: bytes) -> None:
    for page in read(maker).pages:
        after = read(first).page(page.title)
        assert after is not None
        assert {address: after.cells[address] for address in page.cells} == page.cells
        assert (after.columns, after.heights, after.merged) == (page.columns, page.heights, page.merged)


def test_stored_results_of_the_makers_formulas_survive(first: bytes) -> None:
    theirs = openpyxl.load_workbook(io.BytesIO(first), data_only=True)
    assert theirs["Money"]["F2"].value == 35.5
    assert theirs["Parts"]["F2"].value == pytest.approx(4 * 29 / 12)


def test_a_drop_down_on_another_tab_survives(first: bytes) -> None:
    assert b"Lists!$A$1:$A$3" in parts_of(first)["xl/worksheets/sheet1.xml"]
    theirs = openpyxl.load_workbook(io.BytesIO(first))["Parts"]
    assert [str(each.cells) for each in theirs.conditional_formatting] == ["B2:B9"]
    assert theirs["A2"].comment.text.endswith("Ask about this one.")


def test_our_tabs_are_what_was_asked_for(first: bytes) -> None:
    book = read(first)
    assert [page.title for page in book.pages] == ["Parts", "Lists", "Money", "Estimate", "Quote"]
    estimate = book.page("estimate")
    assert estimate is not None
    assert estimate.cells == ESTIMATE.cells
    assert {n: c.width for n, c in estimate.columns.items()} == {1: 20.0, 2: 9.0}
    assert estimate.columns[2].style.format is Format.FRACTION
    assert (estimate.freeze, estimate.names, estimate.key) == ((1, 0), {"estimate_total": (3, 1)}, "estimate")
    theirs = openpyxl.load_workbook(io.BytesIO(first))["Estimate"]
    assert theirs.print_title_rows == "$1:$1"
    assert theirs.print_area == "'Estimate'!$A$1:$B$5"
    assert len(vars(theirs)["_images"]) == 1
    assert theirs["A3"].number_format == "#,##0.00"
    assert theirs["A1"].font.name == "Arial"
    rows = CalamineWorkbook.from_filelike(io.BytesIO(first)).get_sheet_by_name("Quote").to_python()
    assert rows == [["For the client"], [25.0]]


def test_our_tabs_are_parts_named_as_programs_look_for_them(first: bytes) -> None:
    tabs = [name for name in parts_of(first) if name.startswith("xl/worksheets/") and name.endswith(".xml")]
    assert sorted(tabs) == [f"xl/worksheets/sheet{number}.xml" for number in range(1, 6)]


def test_relations_left_of_a_part_that_is_gone_are_not_taken_for_ours(maker: bytes) -> None:
    package, left = Package(maker), "xl/worksheets/_rels/sheet4.xml.rels"
    package.write(left, package.read("xl/worksheets/_rels/sheet1.xml.rels"))
    data = package.save()
    assert lint(graft(data, CHANGE), data) == [f"{left} belongs to no part"]


def test_marks_are_read_back(first: bytes) -> None:
    book = read(first)
    assert book.owned == {"estimate": "Estimate", "quote": "Quote"}
    assert book.columns == CHANGE.columns
    assert book.notes == CHANGE.notes
    names = [
        (each.get("name"), each.get("hidden"))
        for each in etree.fromstring(parts_of(first)["xl/workbook.xml"]).iter("{*}definedName")
        if each.get("name", "").startswith("_sheetkit")
    ]
    assert names == sorted(names)
    assert {hidden for _, hidden in names} == {"1"}


def test_patched_cells_take_the_look_that_stands_there(first: bytes) -> None:
    theirs = openpyxl.load_workbook(io.BytesIO(first))["Parts"]
    assert theirs["I2"].number_format == "# ??/??"
    assert theirs["I2"].fill.fgColor.rgb == "FFFFF7E0", "the fill of the maker's column"
    assert theirs["I7"].number_format == "yyyy-mm-dd"
    assert theirs["I7"].font.b, "the maker's row is bold"
    assert theirs["I3"].value == "=D3+1"
    assert theirs["B30"].value == "far below"
    assert theirs.dimensions.endswith("I30")


def test_emptied_cells_keep_their_look(first: bytes) -> None:
    cells = {address: Cell() for address in PATCHES["Parts"]} | {(99, 9): Cell(), (12, 2): Cell()}
    out = grafted(first, replace(CHANGE, patches={"Parts": cells}))
    assert not PATCHES["Parts"].keys() & values(out, "Parts").keys()
    theirs = openpyxl.load_workbook(io.BytesIO(out))["Parts"]
    assert theirs["I2"].value is None
    assert theirs["I2"].number_format == "# ??/??"
    assert b"29 + 1 trim" not in parts_of(out)["xl/sharedStrings.xml"], "an old result stays readable"


def test_a_text_of_no_characters_empties_a_cell(first: bytes) -> None:
    out = grafted(first, replace(CHANGE, patches={"Parts": {(2, 9): Cell(""), (40, 1): Cell("")}}))
    assert not {(2, 9), (40, 1)} & values(out, "Parts").keys()


@pytest.mark.parametrize("value", [float("nan"), float("inf"), "x" * 32_768])
def test_what_no_cell_can_hold_is_a_bad_call(maker: bytes, value: float | str) -> None:
    with pytest.raises(ValueError):
        graft(maker, Change(patches={"Parts": {(2, 9): Cell(value)}}))
    with pytest.raises(ValueError):
        graft(maker, Change(tabs=(Page("Q", {(1, 1): Cell(value)}, key="q"),)))


def test_a_table_heading_may_be_written_as_it_stands(maker: bytes, first: bytes) -> None:
    for data in (maker, first):
        out = grafted(data, replace(CHANGE, patches={"Money": {(2, 3): Cell("Price"), (2, 2): Cell("Item")}}))
        assert parts_of(out)["xl/worksheets/sheet3.xml"] == parts_of(data)["xl/worksheets/sheet3.xml"]


def test_cells_under_a_merged_one_may_be_emptied(maker: bytes) -> None:
    out = grafted(maker, Change(patches={"Parts": {(12, 2): Cell(), (12, 1): Cell("new words")}}))
    assert values(out, "Parts")[12, 1] == "new words"


def test_a_tab_whose_place_led_nowhere_is_put_right(first: bytes) -> None:
    root = etree.fromstring(parts_of(first)["xl/workbook.xml"])
    link = next(each.get(f"{{{OFFICE}}}id") for each in root.iter("{*}sheet") if each.get("name") == "Quote")
    lost = replaced(first, ("xl/workbook.xml", f'r:id="{link}"', 'r:id="rId77"'))
    out = graft(lost, CHANGE)
    assert values(out, "Quote") == {(1, 1): "For the client", (2, 1): 25.0}
    assert graft(out, CHANGE) == out


def test_a_patch_without_a_format_leaves_the_makers(maker: bytes) -> None:
    out = grafted(maker, Change(patches={"Lists": {(1, 3): Cell(0.5), (1, 4): Cell(date(2027, 1, 2))}}))
    theirs = openpyxl.load_workbook(io.BytesIO(out))["Lists"]
    assert (theirs["C1"].value, theirs["C1"].number_format) == (0.5, "0%")
    assert theirs["D1"].number_format == "d mmm yyyy"
    assert values(out, "Lists")[1, 4] == date(2027, 1, 2)


def test_dates_follow_the_files_own_start() -> None:
    patches = {"Lists": {(1, 4): Cell(date(2027, 1, 2))}}
    out = grafted(makers_workbook(date1904=True), Change(tabs=(ESTIMATE,), patches=patches))
    assert values(out, "Lists")[1, 4] == date(2027, 1, 2)
    assert values(out, "Estimate")[5, 1] == date(2026, 3, 4)
    rows = CalamineWorkbook.from_filelike(io.BytesIO(out)).get_sheet_by_name("Estimate").to_python()
    assert rows[4][0] == date(2026, 3, 4)


def test_links_and_errors_can_be_patched_and_taken_back(maker: bytes) -> None:
    cells = {(1, 8): Cell("look", link="Parts!A2"), (2, 8): Cell(CellError("#N/A")), (3, 8): Cell("", "A1")}
    out = grafted(maker, Change(patches={"Lists": cells}))
    page = read(out).page("Lists")
    assert page is not None
    assert page.cells[1, 8].link == "Parts!A2"
    assert page.cells[2, 8].value == CellError("#N/A")
    assert page.cells[3, 8] == Cell("", "A1", page.cells[3, 8].style)
    back = grafted(out, Change(patches={"Lists": dict.fromkeys(cells, Cell())}))
    assert b"hyperlink" not in parts_of(back)["xl/worksheets/sheet2.xml"]
    assert "https://example.invalid/" in parts_of(back)["xl/worksheets/_rels/sheet1.xml.rels"].decode()


def test_shared_texts_of_a_longer_run_are_cut_off(maker: bytes, first: bytes) -> None:
    wordy = replace(QUOTE, cells={(row, 1): Cell(f"secret {row}") for row in range(1, 50)})
    long = grafted(first, replace(CHANGE, tabs=(ESTIMATE, wordy)))
    assert b"secret 7" in parts_of(long)["xl/sharedStrings.xml"]
    short = grafted(long, CHANGE)
    assert b"secret" not in parts_of(short)["xl/sharedStrings.xml"]
    assert parts_of(short)["xl/sharedStrings.xml"] == parts_of(first)["xl/sharedStrings.xml"]


def test_a_renamed_and_moved_tab_is_known_again(first: bytes) -> None:
    text = parts_of(first)["xl/workbook.xml"].decode()
    assert 'name="Estimate"' in text
    renamed = replaced(
        first,
        ("xl/workbook.xml", 'name="Estimate"', 'name="My sums"'),
        ("xl/workbook.xml", ">Estimate!", ">'My sums'!"),
    )
    assert read(renamed).owned["estimate"] == "My sums"
    dearer = replace(ESTIMATE, cells={**ESTIMATE.cells, (2, 1): Cell(99.0)})
    out = grafted(renamed, replace(CHANGE, tabs=(dearer, QUOTE)))
    assert [page.title for page in read(out).pages] == ["Parts", "Lists", "Money", "My sums", "Quote"]
    assert values(out, "My sums")[2, 1] == 99.0
    quote = read(out).page("Quote")
    assert quote is not None
    assert quote.cells[2, 1].formula == "'My sums'!A3", "our other tabs follow the maker's title"


def test_a_tab_that_the_maker_deleted_comes_back_at_the_end(maker: bytes) -> None:
    marked = replaced(
        grafted(maker, Change(tabs=(QUOTE,))), ("xl/workbook.xml", ">Quote!$A$1<", ">#REF!$A$1<")
    )
    assert read(marked).owned == {}
    out = graft(marked, Change(tabs=(replace(QUOTE, title="Offer"),)))
    assert lint(out) == []
    assert read(out).owned == {"quote": "Offer"}


def test_the_makers_copy_of_a_tab_is_the_makers(first: bytes) -> None:
    copy = replaced(
        first,
        (
            "xl/workbook.xml",
            "</definedNames>",
            '<definedName name="_sheetkit.tab.quote" localSheetId="0" hidden="1">Parts!$A$1</definedName>'
            "</definedNames>",
        ),
    )
    assert read(copy).owned["quote"] == "Quote"
    out = grafted(copy, CHANGE)
    assert values(out, "Parts")[2, 1] == "Leg"


def test_a_tab_of_the_makers_with_our_title_is_never_touched(maker: bytes) -> None:
    clash = Page("Money", {(1, 1): Cell("ours")}, key="money")
    after = Page("Quote", {(1, 1): Cell("x", "Money!A1"), (2, 1): Cell("go", link="Money!A1")}, key="quote")
    out = grafted(maker, Change(tabs=(clash, after)))
    book = read(out)
    assert book.owned["money"] == "Money (2)"
    assert values(out, "Money")[2, 6] == 35.5
    quote = book.page("Quote")
    assert quote is not None
    assert quote.cells[1, 1].formula == "'Money (2)'!A1"
    assert quote.cells[2, 1].link == "'Money (2)'!A1"


def test_a_replaced_tab_keeps_its_place_and_identity(first: bytes) -> None:
    out = grafted(first, replace(CHANGE, tabs=(replace(ESTIMATE, cells={(1, 1): Cell("new")}),)))

    def identities(data: bytes) -> list[tuple[str | None, str | None]]:
        root = etree.fromstring(parts_of(data)["xl/workbook.xml"])
        return [(each.get("name"), each.get("sheetId")) for each in root.iter("{*}sheet")]

    assert identities(out) == identities(first)
    assert values(out, "Quote") == values(first, "Quote"), "an owned tab that is not named is left alone"


def test_a_kept_tab_becomes_the_makers(first: bytes) -> None:
    out = grafted(first, replace(CHANGE, kept={"estimate": "Estimate before"}))
    book = read(out)
    assert [page.title for page in book.pages] == [
        "Parts",
        "Lists",
        "Money",
        "Estimate before",
        "Quote",
        "Estimate",
    ]
    assert book.owned == {"estimate": "Estimate", "quote": "Quote"}
    kept = book.page("Estimate before")
    assert kept is not None
    assert kept.cells == ESTIMATE.cells
    theirs = openpyxl.load_workbook(io.BytesIO(out))
    assert theirs["Estimate before"].print_area == "'Estimate before'!$A$1:$B$5"
    assert len(vars(theirs["Estimate before"])["_images"]) == 1
    again = grafted(out, CHANGE)
    assert again == out, "the kept tab is nothing to a later run"


def test_a_dropped_tab_takes_its_own_parts_with_it(maker: bytes, first: bytes) -> None:
    out = grafted(first, replace(CHANGE, tabs=(), dropped=frozenset({"estimate", "quote"}), patches={}))
    assert [page.title for page in read(out).pages] == ["Parts", "Lists", "Money"]
    assert read(out).owned == {}
    assert {name for name in parts_of(out) if "sheetkit" in name} == set()
    assert {name for name in parts_of(maker) if name not in parts_of(out)} == set()
    assert b"For the client" not in parts_of(out)["xl/sharedStrings.xml"]


def test_positions_are_counted_again_when_a_tab_goes(first: bytes) -> None:
    swapped = replaced(first, ("xl/workbook.xml", "<workbookView ", '<workbookView activeTab="5" '))
    out = graft(swapped, replace(CHANGE, tabs=(QUOTE,), dropped=frozenset({"estimate"}), patches={}))
    assert lint(out) == []
    root = etree.fromstring(parts_of(out)["xl/workbook.xml"])
    view = next(root.iter("{*}workbookView"))
    titles = [each.get("name") for each in root.iter("{*}sheet")]
    assert titles[int(view.get("activeTab", "0"))] == "Quote"
    local = {
        each.get("name"): each.get("localSheetId")
        for each in root.iter("{*}definedName")
        if each.get("localSheetId")
    }
    assert titles[int(there(local["here"]))] == "Money"


def test_added_tabs_are_the_makers_from_then_on(maker: bytes) -> None:
    new = Page("Job", {(1, 1): Cell("Inside width"), (1, 2): Cell(60.0)}, names={"inside_width": (1, 2)})
    out = grafted(maker, Change(added=(new,)))
    book = read(out)
    assert book.owned == {}
    assert book.pages[-1].cells == new.cells
    assert book.pages[-1].names == {"inside_width": (1, 2)}


def test_a_name_of_the_makers_is_not_taken(maker: bytes) -> None:
    out = grafted(maker, Change(tabs=(replace(QUOTE, names={"Oak_Price": (1, 1)}),)))
    assert there(read(out).page("Lists")).names == {"oak_price": (1, 3)}
    assert openpyxl.load_workbook(io.BytesIO(out))["Quote"].defined_names["Oak_Price"].value == "Quote!$A$1"


def test_a_chain_of_calculation_is_left_to_the_office_program(maker: bytes) -> None:
    with_chain = replaced(
        maker,
        (
            "[Content_Types].xml",
            "</Types>",
            '<Override PartName="/xl/calcChain.xml" ContentType="application/vnd.openxmlformats-'
            'officedocument.spreadsheetml.calcChain+xml"/></Types>',
        ),
        (
            "xl/_rels/workbook.xml.rels",
            "</Relationships>",
            '<Relationship Id="rId99" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/'
            'calcChain" Target="calcChain.xml"/></Relationships>',
        ),
    )
    package = Package(with_chain)
    package.write(
        "xl/calcChain.xml",
        b'<calcChain xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
        b'<c r="F2" i="1"/></calcChain>',
    )
    with_chain = package.save()
    assert lint(with_chain) == []
    assert "xl/calcChain.xml" not in parts_of(grafted(with_chain, CHANGE))
    assert "xl/calcChain.xml" in parts_of(grafted(with_chain, Change(notes={"a": "b"})))


def test_the_office_program_is_asked_to_calculate_only_where_a_result_was_taken_away(maker: bytes) -> None:
    quiet = replaced(maker, ("xl/workbook.xml", ' fullCalcOnLoad="1"', ""))
    assert b"fullCalcOnLoad" not in parts_of(grafted(quiet, CHANGE))["xl/workbook.xml"]
    gone = replace(CHANGE, old_results={"Parts": frozenset({(2, 6)})})
    assert b"fullCalcOnLoad" in parts_of(grafted(quiet, gone))["xl/workbook.xml"]
    assert b"fullCalcOnLoad" not in parts_of(grafted(quiet, replace(gone, computed=True)))["xl/workbook.xml"]


@pytest.mark.parametrize(
    ("title", "address", "reason"),
    [
        ("Money", (3, 7), "formula block"),
        ("Money", (2, 7), "formula block"),
        ("Parts", (12, 2), "merged cells"),
        ("Money", (2, 3), "table heading"),
    ],
)
def test_cells_that_the_file_holds_together_are_refused(
    maker: bytes, title: str, address: Address, reason: str
) -> None:
    with pytest.raises(Refused) as refusal:
        graft(maker, Change(patches={title: {address: Cell("x")}}))
    assert refusal.value.reason == reason
    assert refusal.value.detail.startswith(f"{title}!")


def test_a_shared_formula_may_be_written_over_whole_but_not_at_its_head_alone(maker: bytes) -> None:
    shared = (
        '<row r="20"><c r="A20"><f t="shared" ref="A20:A21" si="0">B20*2</f><v>0</v></c></row>'
        '<row r="21"><c r="A21"><f t="shared" si="0"/><v>0</v></c></row></sheetData>'
    )
    data = replaced(maker, ("xl/worksheets/sheet2.xml", "</sheetData>", shared))
    with pytest.raises(Refused):
        graft(data, Change(patches={"Lists": {(20, 1): Cell(1.0)}}))
    grafted(data, Change(patches={"Lists": {(21, 1): Cell(1.0)}}))
    grafted(data, Change(patches={"Lists": {(20, 1): Cell(1.0), (21, 1): Cell()}}))


def test_a_tab_that_is_not_there_is_a_bad_call(maker: bytes) -> None:
    with pytest.raises(ValueError):
        graft(maker, Change(patches={"Nowhere": {(1, 1): Cell(1.0)}}))
    with pytest.raises(ValueError):
        graft(maker, Change(tabs=(Page("No key"),)))


def test_rows_without_coordinates_are_patched_in_the_right_place() -> None:
    rows = (
        '<sheetData><row><c><v>1</v></c><c><v>2</v></c></row><row r="4" spans="1:2"><c><v>3</v></c>'
        '<c r="C4"><v>4</v></c><c><v>5</v></c></row><row><c><v>6</v></c></row></sheetData>'
    )
    data = replaced(render([Page("T")]), ("xl/worksheets/sheet1.xml", "<sheetData/>", rows))
    cells = {
        (1, 4): Cell(10.0),
        (2, 1): Cell(11.0),
        (4, 2): Cell(12.0),
        (4, 4): Cell(13.0),
        (5, 3): Cell(14.0),
    }
    out = grafted(data, Change(patches={"T": cells}))
    assert values(out, "T") == {
        (1, 1): 1.0, (1, 2): 2.0, (1, 4): 10.0, (2, 1): 11.0, (4, 1): 3.0, (4, 2): 12.0, (4, 3): 4.0,
        (4, 4): 13.0, (5, 1): 6.0, (5, 3): 14.0,
    }  # fmt: skip
    assert b'spans="1:4"' in parts_of(out)["xl/worksheets/sheet1.xml"]


def test_a_strict_file_gets_parts_of_its_own_kind(maker: bytes) -> None:
    package = Package(render([Page("Parts", {(1, 1): Cell("Leg")})]))
    for name in package.names():
        content = package.read(name)
        for old, new in (
            (
                b"http://schemas.openxmlformats.org/spreadsheetml/2006/main",
                b"http://purl.oclc.org/ooxml/spreadsheetml/main",
            ),
            (
                b"http://schemas.openxmlformats.org/officeDocument/2006/relationships",
                b"http://purl.oclc.org/ooxml/officeDocument/relationships",
            ),
        ):
            content = content.replace(old, new)
        package.write(name, content)
    strict = package.save()
    out = grafted(strict, replace(CHANGE, patches={"Parts": {(1, 2): Cell("x")}}))
    assert there(read(out).page("Estimate")).cells == ESTIMATE.cells
    ours = b"".join(
        content
        for name, content in parts_of(out).items()
        if "sheetkit" in name and name.endswith(("xml", "rels"))
    )
    assert b"schemas.openxmlformats.org/spreadsheetml" not in ours
    assert b"schemas.openxmlformats.org/officeDocument" not in ours
    assert CalamineWorkbook.from_filelike(io.BytesIO(out)).sheet_names == ["Parts", "Estimate", "Quote"]


def test_a_file_without_styles_and_texts_gets_them() -> None:
    package = Package(render([Page("T", {(1, 1): Cell(1.0)})]))
    package.delete("xl/styles.xml")
    for name, drop in (("[Content_Types].xml", "styles"), ("xl/_rels/workbook.xml.rels", "styles")):
        root = etree.fromstring(package.read(name))
        for each in list(root):
            if drop in (each.get("PartName") or each.get("Target") or ""):
                root.remove(each)
        package.write(name, etree.tostring(root))
    bare = replaced(package.save(), ("xl/worksheets/sheet1.xml", ' s="1"', ""))
    out = grafted(bare, replace(CHANGE, patches={"T": {(1, 2): Cell("x", style=Style(format=Format.MONEY))}}))
    assert values(out, "T") == {(1, 1): 1.0, (1, 2): "x"}
    assert there(read(out).page("Estimate")).cells == ESTIMATE.cells


def test_number_formats_that_the_file_redefined_are_not_trusted() -> None:
    data = replaced(
        render([Page("T", {(1, 1): Cell(1.0, style=Style(bold=True))})]),
        (
            "xl/styles.xml",
            "<fonts",
            '<numFmts count="1"><numFmt numFmtId="2" formatCode="0&quot; pcs&quot;"/></numFmts><fonts',
        ),
    )
    out = grafted(data, Change(patches={"T": {(1, 1): Cell(2.0, style=Style(format=Format.HUNDREDTH))}}))
    assert openpyxl.load_workbook(io.BytesIO(out))["T"]["A1"].number_format == "0.00"


def test_our_tab_stays_in_front_when_it_was(first: bytes) -> None:
    shown = replaced(
        first,
        ("xl/workbook.xml", "<workbookView ", '<workbookView activeTab="4" '),
        ("xl/worksheets/sheet1.xml", ' tabSelected="1"', ""),
        ("xl/worksheets/sheet4.xml", "<sheetView ", '<sheetView tabSelected="1" '),
    )
    out = grafted(shown, CHANGE)
    assert b'tabSelected="1"' in parts_of(out)["xl/worksheets/sheet4.xml"]


def test_an_empty_change_to_a_file_we_wrote_changes_nothing(first: bytes) -> None:
    book: Workbook = read(first)
    assert graft(first, Change(columns=book.columns, notes=book.notes)) == first


def test_no_change_to_a_makers_file_is_no_change(maker: bytes) -> None:
    assert graft(maker, Change()) == maker
    with pytest.raises(ValueError):
        graft(render([replace(QUOTE, title="Only")]), Change(dropped=frozenset({"quote"})))


CELLS = st.builds(
    lambda value, style: Cell(value, style=style),
    st.one_of(
        st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=9),
        st.floats(-1e9, 1e9),
        st.booleans(),
        st.none(),
    ),
    style=st.builds(Style, format=st.sampled_from([Format.PLAIN, Format.FRACTION, Format.MONEY])),
)


@given(
    st.dictionaries(st.tuples(st.integers(13, 40), st.integers(1, 30)), CELLS, max_size=20),
    st.dictionaries(st.tuples(st.integers(1, 9), st.integers(1, 5)), CELLS, max_size=9),
)
@settings(max_examples=25, deadline=None)
def test_whatever_is_written_only_that_differs(patch: dict[Address, Cell], tab: dict[Address, Cell]) -> None:
    maker = makers_workbook(macros=False)
    out = grafted(maker, Change(tabs=(Page("R", tab, "r"),), patches={"Parts": patch}))
    before, after = values(maker, "Parts"), values(out, "Parts")
    wanted = {**before, **{address: cell.value for address, cell in patch.items()}}
    assert after == {address: value for address, value in wanted.items() if value is not None}
    assert values(out, "R") == pytest.approx({a: c.value for a, c in tab.items() if c.value is not None})


def test_a_chart_or_comment_laid_over_a_tab_of_ours_is_noticed(maker: bytes, first: bytes) -> None:
    assert laid_over(first) == (frozenset(), frozenset())
    for title in ("Parts", "Money"):  # a comment; a chart and a table
        marked = replaced(
            maker,
            (
                "xl/workbook.xml",
                "</definedNames>",
                f'<definedName name="_sheetkit.tab.quote" hidden="1">{title}!$A$1</definedName>'
                "</definedNames>",
            ),
        )
        assert laid_over(marked).bound == {"quote"}


def test_a_file_whose_elements_bear_a_prefix_is_grafted_too(maker: bytes) -> None:
    package = Package(maker)
    for name in ("xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml", "xl/worksheets/sheet1.xml"):
        text = package.read(name).decode().replace(' xmlns="', ' xmlns:x="', 1)
        package.write(name, re.sub(r"<(/?)([A-Za-z])", r"<\1x:\2", text).encode())
    prefixed = package.save()
    assert read(prefixed).pages == read(maker).pages
    out = grafted(prefixed, CHANGE)
    assert values(out, "Parts") == values(grafted(maker, CHANGE), "Parts")
    assert values(out, "Estimate") == {address: cell.value for address, cell in ESTIMATE.cells.items()}


def test_a_file_that_another_program_saved_is_grafted_again(first: bytes) -> None:
    saved = io.BytesIO()
    openpyxl.load_workbook(io.BytesIO(first)).save(saved)
    theirs = saved.getvalue()
    assert read(theirs).owned == {"estimate": "Estimate", "quote": "Quote"}
    assert read(theirs).columns == CHANGE.columns
    out = grafted(theirs, CHANGE)
    assert [page.title for page in read(out).pages] == ["Parts", "Lists", "Money", "Estimate", "Quote"]
    assert there(read(out).page("Estimate")).cells == ESTIMATE.cells


def test_a_new_tab_gets_a_number_that_office_programs_take(maker: bytes) -> None:
    full = replaced(maker, ("xl/workbook.xml", 'sheetId="2"', 'sheetId="65534"'))
    root = etree.fromstring(parts_of(grafted(full, CHANGE))["xl/workbook.xml"])
    assert [each.get("sheetId") for each in root.iter("{*}sheet")][-2:] == ["2", "5"]


def test_parts_may_lie_in_other_folders(maker: bytes) -> None:
    package = Package(render([Page("Parts", {(1, 1): Cell("Leg")})]))
    for name in package.names():
        if name.startswith("xl/"):
            package.write(name.replace("xl/", "wtf/", 1), package.read(name))
            package.delete(name)
    for name in ("[Content_Types].xml", "_rels/.rels"):
        package.write(name, package.read(name).replace(b"xl/", b"\\wtf\\" if "rels" in name else b"wtf/"))
    out = grafted(package.save(), replace(CHANGE, patches={"Parts": {(1, 2): Cell("x")}}))
    assert values(out, "Parts") == {(1, 1): "Leg", (1, 2): "x"}
    assert {name for name in parts_of(out) if "sheetkit" in name and not name.startswith("wtf/")} == set()

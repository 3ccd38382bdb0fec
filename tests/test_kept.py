"""The whole command on a maker's own workbook: everything that is not ours stays as it was."""

from __future__ import annotations

import io
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from lxml import etree

from sheetkit.book.formats import by_ending
from sheetkit.book.package import Package
from sheetkit.book.workbook import Change
from sheetkit.jobs.new import adopted
from sheetkit.jobs.run import run
from sheetkit.page import Address, Cell
from tests.book.lint_xlsx import lint
from tests.book.makers_xlsx import makers_workbook, png
from tests.book.user_ods import CACHED, RULE, STOCK, user_file
from tests.jobs import NOW, column, read

BOOKKEEPING = {
    "[Content_Types].xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/styles.xml", "xl/sharedStrings.xml",
    "xl/calcChain.xml",
}  # fmt: skip
"""Parts that list the others: they grow, and tests/book holds them to growing only."""


def parts(data: bytes) -> dict[str, bytes]:
    package = Package(data)
    return {name: package.read(name) for name in package.names()}


def filled(path: Path) -> None:
    """Type a job into the adopted tabs."""
    workbook = read(path)
    job = workbook.page("Job")
    assert job is not None
    label = next(address for address, cell in job.cells.items() if cell.value == "Job")
    patches: dict[str, dict[Address, Cell]] = {"Job": {(label[0], label[1] + 1): Cell("Chest")}}
    path.write_bytes(by_ending(path.suffix).graft(path.read_bytes(), Change(patches=patches)))


def test_a_workbook_with_charts_pictures_comments_and_macros_keeps_them_byte_for_byte(tmp_path: Path) -> None:
    path = tmp_path / "mine.xlsm"
    path.write_bytes(makers_workbook())
    before = parts(path.read_bytes())
    theirs = {page.title for page in read(path).pages}
    adopted(path)
    # their own tab Lists stays theirs; ours stands beside it, and our drop-downs look there
    lists = [page.title for page in read(path).pages if page.title.startswith("Lists")]
    assert lists == ["Lists", "Lists (2)"]
    assert b"'Lists (2)'!$A$2" in b"".join(parts(path.read_bytes()).values())
    filled(path)
    run(path, now=NOW)
    run(path, now=NOW)
    after = parts(path.read_bytes())
    touched = {page for page in theirs if page in ("Parts", "Prices", "Boards")}
    sheets = {name for name in before if name.startswith("xl/worksheets/sheet")}
    for name, content in before.items():
        if name in BOOKKEEPING:
            continue
        if name in sheets and touched:
            assert etree.fromstring(after[name]).tag == etree.fromstring(content).tag
            continue
        assert after[name] == content, name
    assert lint(path.read_bytes()) == []
    assert read(path).owned


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_the_makers_own_tab_column_and_formula_stay(tmp_path: Path, ending: str) -> None:
    from tests.jobs import page, pages

    own = page("Notes to self", "Call the yard | 12\nOil | 3")
    parts_tab = (
        "Part | My mark | Species | Thickness | Width | Length\nLeg | red dot | White oak | 1 | 2 | 30"
    )
    path = tmp_path / f"mine{ending}"
    made = [*pages({"Parts": parts_tab}), own]
    made[-1] = type(own)(own.title, {**own.cells, (3, 2): Cell(15.0, "B1+B2")})
    path.write_bytes(by_ending(ending).render(made))
    assert run(path, now=NOW).ok
    after = read(path)
    notes, mine = after.page("Notes to self"), after.page("Parts")
    assert notes is not None
    assert mine is not None
    assert (notes.cells[3, 2].value, notes.cells[3, 2].formula) == (15.0, "B1+B2")
    assert mine.cells[2, 2].value == "red dot"
    assert [page.title for page in after.pages[:4]] == ["Job", "Prices", "Parts", "Notes to self"]


def shop_workbook() -> bytes:
    """Give a job that a maker keeps in a workbook of their own making, beside much that is none of our business."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    bold = book.add_format({"bold": True, "bg_color": "#DDEEDD"})
    red = book.add_format({"font_color": "#AA0000"})
    job = book.add_worksheet("Job")
    for row, line in enumerate([("Job", "Hall chest"), ("Units", "inch"), ("Wood moisture now", 7), ("Driest wood moisture", 6),
                                ("Wettest wood moisture", 11), ("Ours for", 38)]):  # fmt: skip
        job.write_row(row, 0, line)
    job.write_comment("B1", "As she calls it.")
    parts = book.add_worksheet("Parts")
    parts.set_column(0, 0, 22)
    parts.write_row(
        0, 0, ["Part", "Qty", "Species", "Thickness", "Width", "Length", "My mark", "My cost"], bold
    )
    for row, (name, mark) in enumerate([("Stile", "red dot"), ("Rail", ""), ("Back slat", "knot")], start=1):
        parts.write_row(row, 0, [name, 2 * row, "White oak", "7/8", 2.5])
        parts.write_formula(row, 5, "=longest-6", None, 32)
        parts.write_string(row, 6, mark, red)
        parts.write_formula(row, 7, f"=B{row + 1}*F{row + 1}/12", None, 2 * row * 32 / 12)
    parts.write_comment("A2", "Mind the wild grain.")
    parts.conditional_format("B2:B9", {"type": "cell", "criteria": ">", "value": 3, "format": bold})
    parts.conditional_format("F2:F9", {"type": "data_bar"})
    parts.data_validation(
        "G2:G9",
        {
            "validate": "list",
            "source": "=Marks of mine!$A$1:$A$2".replace("Marks of mine", "'Marks of mine'"),
        },
    )
    parts.insert_image("K2", "own.png", {"image_data": io.BytesIO(png()), "description": "the old chest"})
    parts.insert_textbox("K8", "Ask about the feet")
    parts.add_sparkline("I2", {"range": "Parts!B2:B4"})
    parts.insert_button("K14", {"caption": "Sort", "macro": "sort_parts"})
    parts.freeze_panes(1, 1)
    parts.autofilter("A1:H4")
    own = book.add_worksheet("Marks of mine")
    own.write_column(0, 0, ["red dot", "knot"])
    own.write_formula("B1", "=SUM(Parts!H2:H4)", None, 32.0)
    chart = book.add_chart({"type": "bar"})
    chart.add_series({"values": "=Parts!$B$2:$B$4", "categories": "=Parts!$A$2:$A$4"})
    own.insert_chart("D2", chart)
    own.insert_checkbox("B3", True)
    own.add_table(
        "A10:B12",
        {"columns": [{"header": "Yard"}, {"header": "Miles"}], "data": [["North", 9], ["Hill", 22]]},
    )
    own.set_column("C:C", None, None, {"hidden": True})
    book.define_name("longest", "=Job!$B$6")
    book.add_vba_project(io.BytesIO(b"not really a program, but carried as one"), is_stream=True)
    book.close()
    return out.getvalue()


MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def canonical(element: etree._Element) -> bytes:
    return etree.tostring(element, method="c14n", exclusive=True, with_tail=False)


def test_a_job_in_the_makers_own_workbook_is_worked_out_and_everything_of_theirs_stays(
    tmp_path: Path,
) -> None:
    path = tmp_path / "chest.xlsm"
    path.write_bytes(shop_workbook())
    before = parts(path.read_bytes())
    outcome = run(path, now=NOW)
    assert outcome.ok, outcome.problems
    assert column(read(path), "Parts", "Blank length") == [33, 33, 33]
    after = parts(path.read_bytes())
    ours = "xl/worksheets/sheet2.xml"
    for name, content in before.items():
        if name not in BOOKKEEPING | {ours}:
            assert after[name] == content, name
    old, new = etree.fromstring(before[ours]), etree.fromstring(after[ours])
    cells = {cell.get("r"): canonical(cell) for cell in new.iter(f"{MAIN}c")}
    for cell in old.iter(f"{MAIN}c"):
        assert cells[cell.get("r")] == canonical(cell), cell.get("r")
    grown = {f"{MAIN}sheetData", f"{MAIN}dimension", f"{MAIN}cols"}
    assert [canonical(child) for child in new if child.tag not in grown] == [
        canonical(child) for child in old if child.tag not in grown
    ]
    kinds = {child.tag.removeprefix(MAIN) for child in old}
    assert kinds >= {
        "conditionalFormatting",
        "dataValidations",
        "drawing",
        "legacyDrawing",
        "autoFilter",
        "extLst",
    }
    assert etree.fromstring(before["xl/workbook.xml"]).find(f"{MAIN}definedNames") is not None
    names = [
        canonical(name) for name in etree.fromstring(after["xl/workbook.xml"]).iter(f"{MAIN}definedName")
    ]
    for theirs in etree.fromstring(before["xl/workbook.xml"]).iter(f"{MAIN}definedName"):
        assert canonical(theirs) in names
    assert lint(path.read_bytes()) == []
    once = path.read_bytes()
    assert not run(path).written
    assert path.read_bytes() == once


@pytest.mark.filterwarnings("ignore:Sparkline Group extension")
def test_openpyxl_still_reads_what_the_maker_put_in(tmp_path: Path) -> None:
    path = tmp_path / "chest.xlsm"
    path.write_bytes(shop_workbook())
    run(path, now=NOW)
    book = openpyxl.load_workbook(path, data_only=True)
    sheet = book["Parts"]
    assert sheet["A2"].comment.text == "Mind the wild grain."
    assert [sheet.cell(row, 8).value for row in (2, 3, 4)] == pytest.approx([5.3333333, 10.6666667, 16])
    assert book["Marks of mine"]["B1"].value == 32
    assert book.defined_names["longest"].attr_text == "Job!$B$6"


def _row(*cells: str) -> str:
    return f'<table:table-row table:style-name="ro1">{"".join(cells)}<table:table-cell table:number-columns-repeated="20"/></table:table-row>'


def _text(text: str, more: str = "", inside: str = "") -> str:
    return f'<table:table-cell office:value-type="string"{more}>{inside}<text:p>{text}</text:p></table:table-cell>'


NOTE = "<office:annotation><dc:creator>me</dc:creator><text:p>wild grain</text:p></office:annotation>"
CHART = '<table:shapes><draw:frame draw:z-index="0" svg:width="2in" svg:height="1in" svg:x="9in" svg:y="1in"><draw:object xlink:href="./Object 1" xlink:type="simple"/></draw:frame></table:shapes>'
COST = '<table:table-cell table:formula="of:=[.B2]*[.F2]" office:value-type="float" office:value="62"><text:p>62</text:p></table:table-cell>'
ODS_TABLES = (
    '<table:table table:name="Job" table:style-name="ta1"><table:table-column/>'
    + "".join(_row(_text(label), _text(value)) for label, value in
              (("Job", "Hall chest"), ("Wood moisture now", "7"), ("Driest wood moisture", "6"), ("Wettest wood moisture", "11")))
    + f'</table:table><table:table table:name="Parts" table:style-name="ta1">{CHART}<table:table-column table:style-name="co1" table:number-columns-repeated="30"/>'
    + _row(*(_text(text, ' table:style-name="ce1"') for text in ("Part", "Qty", "Species", "Thickness", "Width", "Length", "My mark", "My cost")))
    + _row(_text("Stile", inside=NOTE), _text("2", ' table:content-validation-name="val1"'), _text("White oak"), _text("7/8"), _text("2 1/2"),
           _text("31"), _text("red dot"), COST)
    + f"{RULE}</table:table>"
)  # fmt: skip
TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"


def test_an_ods_job_of_the_makers_is_worked_out_and_everything_of_theirs_stays(tmp_path: Path) -> None:
    path = tmp_path / "chest.ods"
    path.write_bytes(user_file(tables=ODS_TABLES + STOCK + CACHED))
    before = parts(path.read_bytes())
    outcome = run(path, now=NOW)
    assert outcome.ok, outcome.problems
    assert column(read(path), "Parts", "Blank length") == [32]
    after = parts(path.read_bytes())
    for name, content in before.items():
        if name not in ("content.xml", "styles.xml", "settings.xml", "META-INF/manifest.xml"):
            assert after[name] == content, name
    old, new = etree.fromstring(before["content.xml"]), etree.fromstring(after["content.xml"])
    tables = {table.get(f"{TABLE}name"): table for table in new.iter(f"{TABLE}table")}
    for table in old.iter(f"{TABLE}table"):
        again = tables[table.get(f"{TABLE}name")]
        if table.get(f"{TABLE}name") != "Parts":
            assert canonical(again) == canonical(table)
            continue
        for row, row_again in zip(
            table.iter(f"{TABLE}table-row"), again.iter(f"{TABLE}table-row"), strict=False
        ):
            for cell, cell_again in list(zip(row, row_again, strict=False))[:8]:
                assert canonical(cell_again) == canonical(cell)
        kept = [canonical(child) for child in table if child.tag != f"{TABLE}table-row"]
        assert [text for child in again if (text := canonical(child)) in kept] == kept
    styles, styles_again = etree.fromstring(before["styles.xml"]), etree.fromstring(after["styles.xml"])
    known = [canonical(style) for style in styles_again.iter()]
    assert all(canonical(style) in known for group in styles for style in group)
    once = path.read_bytes()
    assert not run(path).written
    assert path.read_bytes() == once

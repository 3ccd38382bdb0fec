"""Our .ods files in LibreOffice: what it opens, shows and gives back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from lxml import etree

from sheetkit.book.ods import graft, read, render
from sheetkit.book.workbook import Change
from sheetkit.page import Cell, Choice, Column, Format, Page, Picture, PrintSetup, Range, Style
from tests.book.lint_ods import TABLE, faults, parts
from tests.book.test_ods_graft import assert_users_own_is_equal
from tests.book.user_ods import DOT, PARTS, STOCK, user_file
from tests.there import there

Office = Callable[[Path, str, Path], Path]

LENGTH = Style(format=Format.FRACTION)
BLANK = Page(
    "Parts",
    {
        (1, 1): Cell("Part", style=Style(bold=True)),
        (2, 1): Cell("Leg"),
        (2, 2): Cell(3.25, style=LENGTH),
        (3, 2): Cell(1.8125, style=LENGTH),
        (4, 2): Cell(0.984375, style=LENGTH),
        (5, 2): Cell(6.046875, formula="SUM(B2:B4)", style=LENGTH),
        (6, 2): Cell(999.0, formula="B2*2"),
        (7, 1): Cell("=1+1"),
        (8, 1): Cell("3/4"),
        (9, 2): Cell(0.155, style=Style(format=Format.PERCENT)),
        (10, 2): Cell(1234.5, style=Style(format=Format.MONEY)),
    },
    columns={1: Column(20), 2: Column(12, LENGTH)},
    freeze=(1, 1),
    choices=(Choice(Range(2, 3, 50, 3), words=("oak", "ash"), hint="pick one"),),
    names={"inside_width": (2, 2)},
    print=PrintSetup(repeat_rows=(1, 1), landscape=True, footer="page &P of &N"),
)
QUOTE = Page(
    "Quote",
    {
        (1, 1): Cell("Quote"),
        (2, 1): Cell(6.5, formula="inside_width*2", style=Style(format=Format.HUNDREDTH)),
    },
    key="quote",
    merged=(Range(1, 1, 1, 3),),
    pictures=(Picture(DOT, 4, 1, 30, 20, "A dot"),),
    print=PrintSetup(area=Range(1, 1, 9, 4)),
)
CHANGE = Change(
    tabs=(QUOTE,),
    patches={"Parts": {(3, 4): Cell(0.75, style=LENGTH)}},
    columns={"Parts.blanks": ("Parts", Range(2, 4, 3, 4))},
    notes={"stamp": 'two "words"'},
)


def saved_anew(data: bytes, office: Office, folder: Path) -> bytes:
    """Give a file as LibreOffice saves it after opening it."""
    path = folder / "ours.ods"
    path.write_bytes(data)
    again = folder / "again"
    again.mkdir(exist_ok=True)
    return office(path, "ods", again).read_bytes()


def shown(data: bytes, office: Office, folder: Path) -> list[list[str]]:
    """Give the words of the first tab's cells as LibreOffice shows them."""
    content = etree.fromstring(parts(saved_anew(data, office, folder))["content.xml"])
    table = content.find(f".//{TABLE}table")
    assert table is not None
    rows = []
    for row in table.iter(f"{TABLE}table-row"):
        cells: list[str] = []
        for cell in row:
            words = " ".join(" ".join(map(str, cell.itertext())).split())
            cells += [words] * min(int(cell.get(f"{TABLE}number-columns-repeated", "1")), 20)
        rows += [cells] * min(int(row.get(f"{TABLE}number-rows-repeated", "1")), 20)
    return rows


def test_libreoffice_shows_lengths_as_fractions_and_keeps_stored_results(
    office: Office, tmp_path: Path
) -> None:
    words = shown(render([BLANK]), office, tmp_path)
    assert [row[1] for row in words[1:5]] == ["3 1/4", "1 13/16", "63/64", "6 3/64"]
    assert words[5][1] == "999", "a stored result is shown as it was stored"
    assert [row[0] for row in words[6:8]] == ["=1+1", "3/4"], "text is never taken for anything else"
    assert words[8][1] == "15.5%"
    assert words[9][1] == "1,234.50"


def test_libreoffice_gives_back_what_we_rendered(office: Office, tmp_path: Path) -> None:
    before = read(render([BLANK, QUOTE]))
    after = read(saved_anew(render([BLANK, QUOTE]), office, tmp_path))
    assert after.owned == {"quote": "Quote"}
    for old, new in zip(before.pages, after.pages, strict=True):
        assert new.cells == old.cells
        assert (new.merged, new.names, new.key) == (old.merged, old.names, old.key)
    assert after.pages[0].columns[2].style == LENGTH
    assert after.pages[0].columns[2].width == pytest.approx(12, abs=0.1)


def test_marks_survive_a_save_and_the_next_run_finds_its_tabs(office: Office, tmp_path: Path) -> None:
    once = graft(render([BLANK]), CHANGE)
    saved = saved_anew(once, office, tmp_path)
    workbook = read(saved)
    assert workbook.owned == {"quote": "Quote"}
    assert workbook.columns == CHANGE.columns
    assert workbook.notes == CHANGE.notes
    again = graft(saved, CHANGE)
    assert faults(again) == []
    assert [page.title for page in read(again).pages] == ["Parts", "Quote"]
    assert graft(again, CHANGE) == again
    pictures = [name for name in parts(again) if name.startswith("Pictures/")]
    assert len(pictures) == 1, "the picture that LibreOffice renamed is not left behind"
    gone = parts(graft(again, Change(dropped=frozenset({"quote"}))))
    assert not [name for name in gone if name.startswith("Pictures/")]


def test_the_users_values_are_the_same_in_libreoffice_before_and_after(
    office: Office, tmp_path: Path
) -> None:
    before = user_file(tables=PARTS + STOCK, more={"Object 1/content.xml": b"<chart/>"})
    after = graft(before, Change(tabs=(QUOTE,)))
    folders = [tmp_path / "before", tmp_path / "after"]
    for folder in folders:
        folder.mkdir()
    assert shown(before, office, folders[0]) == shown(after, office, folders[1])


def test_patched_cells_and_the_drop_down_reach_the_other_format(office: Office, tmp_path: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    path = tmp_path / "ours.ods"
    path.write_bytes(graft(render([BLANK]), CHANGE))
    book = openpyxl.load_workbook(office(path, "xlsx", tmp_path))
    sheet = book["Parts"]
    assert sheet["D3"].value == 0.75
    assert sheet["D3"].number_format == "# ??/??"
    choice = sheet.data_validations.dataValidation[0]
    assert (choice.formula1, choice.prompt) == ('"oak,ash"', "pick one")
    assert sheet.page_setup.orientation == "landscape"
    assert sheet.page_setup.fitToWidth == 1
    assert sheet.print_title_rows == "$1:$1"
    assert book["Quote"].print_area == "'Quote'!$A$1:$D$9"
    assert len(book["Quote"]._images) == 1


def made_by_an_office_program(office: Office, folder: Path) -> bytes:
    """Give a workbook with chart, picture, note, rule and drop-down as LibreOffice itself saves it."""
    chart = pytest.importorskip("openpyxl.chart")
    from openpyxl import Workbook
    from openpyxl.comments import Comment
    from openpyxl.drawing.image import Image
    from openpyxl.formatting.rule import Rule
    from openpyxl.styles import PatternFill
    from openpyxl.styles.differential import DifferentialStyle
    from openpyxl.workbook.defined_name import DefinedName
    from openpyxl.worksheet.datavalidation import DataValidation

    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = "Parts"
    sheet.append(["Part", "Qty", "Length", "Total"])
    for row, (part, quantity, length) in enumerate((("Leg", 4, 29), ("Rail", 2, 76.5), ("Slat", 13, 38)), 2):
        sheet.append([part, quantity, length, f"=B{row}*C{row}"])
    sheet["A2"].comment = Comment("check the grain", "maker")
    bars = chart.BarChart()
    bars.add_data(chart.Reference(sheet, min_col=3, min_row=1, max_row=4), titles_from_data=True)
    sheet.add_chart(bars, "G2")
    path = folder / "dot.png"
    path.write_bytes(DOT)
    sheet.add_image(Image(str(path)), "G20")
    red = DifferentialStyle(fill=PatternFill("solid", bgColor="FF0000"))
    sheet.conditional_formatting.add(
        "C2:C9", Rule(type="cellIs", operator="greaterThan", formula=["50"], dxf=red)
    )
    choice = DataValidation(type="list", formula1="'My lists'!$A$1:$A$2")
    choice.add("E2:E9")
    sheet.add_data_validation(choice)
    lists = book.create_sheet("My lists")
    lists["A1"], lists["A2"] = "oak", "ash"
    book.defined_names["legs"] = DefinedName("legs", attr_text="Parts!$B$2")
    sheet.merge_cells("A10:B10")
    sheet.freeze_panes = "B2"
    path = folder / "maker.xlsx"
    book.save(path)
    return office(path, "ods", folder).read_bytes()


def test_a_file_that_libreoffice_wrote_keeps_all_that_is_the_users(office: Office, tmp_path: Path) -> None:
    before = made_by_an_office_program(office, tmp_path)
    change = Change(
        tabs=(QUOTE_OF_LEGS,),
        patches={"Parts": {(3, 6): Cell(0.75, style=LENGTH)}},
        columns={"Parts.blanks": ("Parts", Range(2, 6, 4, 6))},
    )
    after = graft(before, change)
    assert faults(after) == []
    assert graft(after, change) == after
    assert_users_own_is_equal(before, after, but=("Parts",))
    assert_users_own_is_equal(before, graft(before, Change(tabs=(QUOTE_OF_LEGS,))))
    old, new = read(before).page("Parts"), read(after).page("Parts")
    assert old is not None
    assert new is not None
    assert {address: cell for address, cell in new.cells.items() if address != (3, 6)} == old.cells
    assert old.cells[2, 4][:2] == (116.0, "B2*C2")
    assert (old.merged, old.names) == ((Range(10, 1, 10, 2),), {"legs": (2, 2)})
    folders = [tmp_path / "1", tmp_path / "2"]
    for folder in folders:
        folder.mkdir()
    rows = shown(after, office, folders[0])
    assert rows[2][5] == "3/4"
    assert [row[:5] for row in rows[:4]] == [row[:5] for row in shown(before, office, folders[1])[:4]]
    saved = saved_anew(after, office, tmp_path)
    kept = etree.fromstring(parts(saved)["content.xml"])
    for kind, count in (("annotation", 1), ("object", 1), ("conditional-format", 1), ("image", 3)):
        assert len(list(kept.iter(f"{{*}}{kind}"))) == count, kind
    assert there(read(saved).page("Offer")).cells[1, 1][:2] == (8.0, "legs*2")


QUOTE_OF_LEGS = Page(
    "Offer",
    {(1, 1): Cell(8.0, formula="legs*2")},
    key="offer",
    pictures=(Picture(DOT, 4, 1, 30, 20, "A dot"),),
)

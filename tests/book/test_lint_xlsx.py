"""The check of .xlsx files that the other tests lean on does find faults."""

from __future__ import annotations

import pytest

from sheetkit.book.package import Package
from sheetkit.book.xlsx import graft
from tests.book.lint_xlsx import lint
from tests.book.makers_xlsx import makers_workbook
from tests.book.test_package import ODD_NAMES, renamed
from tests.book.test_xlsx_graft import CHANGE

GOOD = graft(makers_workbook(), CHANGE)
BOOK, STYLES, OURS = "xl/workbook.xml", "xl/styles.xml", "xl/worksheets/sheet4.xml"


def test_a_good_file_has_no_faults() -> None:
    assert lint(GOOD, makers_workbook()) == []


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        (OURS, '<c r="A2" s="', '<c r="A2" s="99', "a look that is not there"),
        (OURS, '<c r="A2"', '<c r="B9"', "wrong place"),
        (OURS, '<row r="3"', '<row r="1"', "row 1 after row 2"),
        (OURS, 't="s"><v>', 't="s"><v>99', "a text that is not there"),
        (OURS, 'r:id="rId', 'r:id="rId9', "relation rId91 is not there"),
        (OURS, "<sheetView ", '<sheetView tabSelected="1" ', "selected together"),
        (OURS, "<sheetData>", "<hyperlinks/><sheetData>", "out of order"),
        (BOOK, 'localSheetId="4"', 'localSheetId="44"', "no tab at position 44"),
        (BOOK, 'name="Quote"', 'name="parts"', "two tabs with name parts"),
        (BOOK, "<workbookView ", '<workbookView activeTab="9" ', "the active tab is not there"),
        (BOOK, "_sheetkit.tab.quote", "_sheetkit.tab.estimate", "name _sheetkit.tab.estimate twice"),
        (STYLES, 'fontId="1"', 'fontId="91"', "names a fontId that is not there"),
        (STYLES, 'numFmtId="164" fontId', 'numFmtId="999" fontId', "number format 999, which is not there"),
        (STYLES, '<cellXfs count="', '<cellXfs count="9', "the count of cellXfs is wrong"),
        ("xl/sharedStrings.xml", "Long rail", "Short rail", "sst was changed"),
        (
            "[Content_Types].xml",
            "/xl/worksheets/sheet4.xml",
            "/xl/gone.xml",
            "gone.xml has a content type",
        ),
        ("xl/_rels/workbook.xml.rels", "sheet4.xml", "sheet7.xml", "sheet7.xml is not there"),
        ("xl/_rels/workbook.xml.rels", "sheet4.xml", "Sheet4.xml", "is not the letters of"),
        ("xl/_rels/workbook.xml.rels", "worksheets/sheet1", "worksheets\\sheet1", "is not the letters of"),
        ("[Content_Types].xml", 'Extension="rels"', 'Extension="other"', ".rels has no content type"),
    ],
)
def test_a_fault_is_found(name: str, old: str, new: str, said: str) -> None:
    package = Package(GOOD)
    text = package.read(name).decode()
    assert old in text
    package.write(name, text.replace(old, new, 1).encode())
    assert said in "; ".join(lint(package.save(), makers_workbook()))


@pytest.mark.parametrize("kind", ODD_NAMES)
def test_an_odd_name_is_found(kind: str) -> None:
    assert "not a part's name" in "; ".join(lint(renamed(GOOD, ODD_NAMES[kind])))

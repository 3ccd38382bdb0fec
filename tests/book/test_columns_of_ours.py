"""Columns of ours that a run puts beside a list of the maker's own: as wide as their words need, theirs as they were."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from lxml import etree

from sheetkit.form.columns import PARTS, TABLES, Kind
from sheetkit.jobs.new import adopted
from sheetkit.jobs.run import run
from sheetkit.page import Page
from tests.book.laying import absolute, drawn_ods, drawn_xlsx, shape, text_box, two_cells
from tests.jobs import read, write
from tests.there import there

OLDER = Path(__file__).parent.parent / "old_words"
FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
MINE = 7
"""How many columns the maker's list has; ours begin right of them."""
JOB = {
    "Job": "Job | Bench\nHourly rate | 40",
    "Parts": "Part | Qty | Species | Thickness | Width | Length | my word\n"
    "Leg | 4 | White oak | 7/8 | 2 | 30 | front\nPeg | 16 | White oak | 3/8 | 3/8 | 2 1/2 | split",
    "Prices": "Species | Stock | Price\nWhite oak | 4/4 | 8\nWhite oak | 5/4 | 9",
}
TABLE = "urn:oasis:names:tc:opendocument:xmlns:table:1.0"
ENTRY = {".xlsx": "xl/worksheets/sheet3.xml", ".ods": "content.xml"}


def content(path: Path) -> str:
    with zipfile.ZipFile(path) as package:
        return package.read(ENTRY[path.suffix]).decode()


def changed(path: Path, change: Callable[[str], str]) -> Path:
    """Give the file with another text in the entry of the tab Parts."""
    with zipfile.ZipFile(path) as package:
        entries = {item: package.read(item) for item in package.infolist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for item, data in entries.items():
            package.writestr(
                item,
                change(data.decode()) if item.filename == ENTRY[path.suffix] else data,
                item.compress_type,
            )
    return path


def with_columns(path: Path, columns: str) -> Path:
    """Give a maker's file whose tab Parts declares these columns."""
    if path.suffix == ".xlsx":
        return changed(path, lambda text: text.replace("<sheetData>", f"<cols>{columns}</cols><sheetData>"))
    before, mark, after = content(path).partition('table:name="Parts"')
    after = re.sub(r"(<table:table-column[^>]*/>)+", columns, after, count=1)
    style = (
        '<style:style style:name="mine" style:family="table-column"><style:table-column-properties style:column-width='
        '"1.2in"/></style:style></office:automatic-styles>'
    )
    return changed(path, lambda _: before.replace("</office:automatic-styles>", style) + mark + after)


def spread(path: Path) -> dict[int, dict[str, str]]:
    """Give what the file says of each column of Parts, however its runs are cut."""
    found: dict[int, dict[str, str]] = {}
    root = etree.fromstring(content(path).encode())
    if path.suffix == ".xlsx":
        for run_ in root.iter("{*}col"):
            said = {str(key): str(value) for key, value in run_.attrib.items() if key not in ("min", "max")}
            found |= dict.fromkeys(range(int(run_.get("min", "")), int(run_.get("max", "")) + 1), said)
        return found
    (table,) = (each for each in root.iter(f"{{{TABLE}}}table") if each.get(f"{{{TABLE}}}name") == "Parts")
    repeated = f"{{{TABLE}}}number-columns-repeated"
    for element in table.iter(f"{{{TABLE}}}table-column"):
        said = {str(key): str(value) for key, value in element.attrib.items() if key != repeated}
        first = len(found) + 1
        found |= dict.fromkeys(range(first, first + int(element.get(repeated, "1"))), said)
    return found


def of_the_maker(path: Path) -> list[str]:
    """Give the bytes of every cell of the maker's on Parts, and in an .xlsx all that is around the cells as XML."""
    text = content(path)
    if path.suffix == ".xlsx":
        cells = re.findall(r'<c r="[A-G][0-9]+".*?(?:/>|</c>)', text)
        around = re.sub(
            r'<c r="[A-Z]+[0-9]+"[^>]*?(?:/>|>.*?</c>)|<cols>.*</cols>| (?:ht|spans)="[^"]*"', "", text
        )
        around = re.sub(r'<dimension ref="[^"]*"', "<dimension", around)
        return [*cells, etree.canonicalize(around.partition("?>")[2])]
    table = text.partition('table:name="Parts"')[2].partition("</table:table>")[0]
    rows = re.findall(r"<table:table-row.*?</table:table-row>", table)
    cells = [re.findall(r"<table:table-cell.*?(?:/>|</table:table-cell>)", row)[:MINE] for row in rows[:3]]
    return [cell for row in cells for cell in row]


def parts(path: Path) -> Page:
    return there(read(path).page("Parts"))


UNSET = {
    ".xlsx": '<col min="1" max="2" width="20.5" customWidth="1"/><col min="3" max="16384" width="11.53" style="0"/>',
    ".ods": '<table:table-column table:style-name="mine" table:number-columns-repeated="2"/>'
    '<table:table-column table:number-columns-repeated="1022"/>',
}
"""A run of columns that nobody chose a width for begins within the list and reaches to the tab's end."""


@FORMATS
@pytest.mark.parametrize("declared", [True, False])
def test_they_are_as_wide_as_in_a_new_workbook_and_their_words_wrap(
    tmp_path: Path, ending: str, declared: bool
) -> None:
    path = write(tmp_path / f"mine{ending}", JOB)
    if declared:
        with_columns(path, UNSET[ending])
    before, cells = spread(path), of_the_maker(path)
    assert sum("value" in each or "<v>" in each for each in cells) > 2 * MINE
    assert bool(before) == (declared or ending == ".ods")
    run(path)
    after, page = spread(path), parts(path)
    for number, column in enumerate(PARTS.answered, MINE + 1):
        look = page.columns[number]
        assert (look.width, look.style.wrap, look.chosen) == (column.wide, column.kind is Kind.TEXT, True)
        assert page.cells[1, number].style.wrap  # a heading of several words in a narrow column
        assert page.cells[2, number].value is None or page.cells[2, number].style.wrap == look.style.wrap
    ours = set(range(MINE + 1, MINE + 1 + len(PARTS.answered)))
    assert {number: said for number, said in after.items() if number not in ours} == {
        number: said for number, said in before.items() if number not in ours
    }
    assert of_the_maker(path) == cells
    once = path.read_bytes()
    run(path)
    assert path.read_bytes() == once


@FORMATS
def test_rows_are_high_enough_for_their_words_in_an_xlsx(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"mine{ending}", JOB)
    run(path)
    if ending == ".xlsx":
        heights = dict(re.findall(r'<row r="(\d+)"[^>]*? ht="([\d.]+)"', content(path)))
        lines = len(str(parts(path).cells[3, MINE + 7].value)) / 60
        assert float(heights["3"]) > lines * 11
    else:  # whoever opens it measures
        assert "style:row-height" not in content(path).partition('table:name="Parts"')[2]


CHOSEN = {
    ".xlsx": '<col min="6" max="9" width="14.5" customWidth="1"/><col min="12" max="12" width="9" hidden="1"/>',
    ".ods": '<table:table-column table:number-columns-repeated="5"/><table:table-column table:style-name="mine" '
    'table:number-columns-repeated="4"/><table:table-column table:number-columns-repeated="2"/>'
    '<table:table-column table:visibility="collapse"/><table:table-column table:number-columns-repeated="1012"/>',
}
"""A width of the maker's on the first two columns of ours, and a hidden column where the fifth goes."""


@FORMATS
def test_a_width_that_the_maker_set_there_or_a_hidden_column_stays(tmp_path: Path, ending: str) -> None:
    path = with_columns(write(tmp_path / f"mine{ending}", JOB), CHOSEN[ending])
    before = spread(path)
    run(path)
    after = spread(path)
    for number in (*range(1, MINE + 3), 12):
        assert after.get(number) == before.get(number)
    assert parts(path).columns[10].width == PARTS.answered[2].wide
    assert parts(path).columns[MINE + 8].style.wrap


@FORMATS
def test_what_the_maker_makes_of_them_afterwards_stays(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"mine{ending}", JOB)
    run(path)
    wide = MINE + len(PARTS.answered)
    if ending == ".xlsx":
        changed(
            path, lambda text: re.sub(rf'(<col min="{wide}" max="{wide}" width=)"[^"]*"', r'\1"33"', text)
        )
    else:
        label = spread(path)[wide][f"{{{TABLE}}}style-name"]
        properties = rf'(style:name="{label}"[^>]*>\s*<[^>]*column-width=)"[^"]*"'
        changed(path, lambda text: re.sub(properties, r'\1"3in"', text))
    there_now = spread(path)
    longer = there(re.search(r'<v>30</v>|office:value="30(?:\.0)?"', content(path)))[0]
    changed(path, lambda text: text.replace(longer, longer.replace("30", "31"), 1))
    run(path)
    assert parts(path).cells[2, MINE + 3].value == 32
    assert spread(path) == there_now


@FORMATS
def test_columns_that_adopt_puts_beside_an_older_list_get_their_widths_too(
    tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"older{ending}"
    path.write_bytes((OLDER / f"night-stand{ending}").read_bytes())
    before = {page.title: page for page in read(path).pages}
    adopted(path)
    fresh = 0
    for tab in TABLES:
        page, was = read(path).page(tab.title), before.get(tab.title)
        heads = {cell.value: at for at, cell in page.cells.items()} if page else {}
        for column in tab.asked if page and was else ():
            row, number = heads.get(column.heading, (0, 0))  # an older heading stays as it was
            if number > there(was).last_column:
                fresh += 1
                look = there(page).columns[number]
                assert (look.width, look.style.wrap) == (column.wide, column.kind is Kind.TEXT)
                assert there(page).cells[row, number].style.wrap
    assert fresh > 10
    for title, page in before.items():
        now = there(read(path).page(title))
        assert {number: now.columns[number] for number in page.columns} == page.columns


@FORMATS
@pytest.mark.parametrize("held", ["cells", "tab"])
def test_below_a_picture_or_shape_nothing_is_widened_for_it_would_be_drawn_out(
    tmp_path: Path, ending: str, held: str
) -> None:
    path = write(tmp_path / f"mine{ending}", JOB)
    data = path.read_bytes()
    if ending == ".xlsx":
        box = text_box("ask about the feet")
        data = drawn_xlsx(
            data, "Parts", two_cells(box, 2, 9, 12) if held == "cells" else absolute(box, 90), {}
        )
    else:
        box = shape("ask about the feet")
        by_tab, by_cell = ("", {(2, 7): box}) if held == "cells" else (box, {})
        data = drawn_ods(data, "Parts", {}, by_tab, by_cell)
    path.write_bytes(data)
    before = spread(path)
    run(path)
    assert parts(path).cells[2, MINE + 3].value == 31
    assert spread(path) == before
    assert not parts(path).cells[2, MINE + 7].style.wrap
    assert " ht=" not in content(path)

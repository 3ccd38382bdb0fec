"""Words and pictures set off decimals as the numbers of the workbook do: no tab has both signs."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import pytest

import sheetkit
from sheetkit.book.formats import by_ending
from sheetkit.book.language import decimal_comma, language_of
from sheetkit.form.example import example_job
from sheetkit.page import Format
from sheetkit.tabs.decimals import decimal_sign, worded
from sheetkit.tabs.drawing import one_line
from sheetkit.tabs.template import template_pages
from sheetkit.units import Unit
from tests.book.office_desk import at_the_desk, quoted
from tests.jobs import read
from tests.make_readme import README
from tests.there import there

POINT = re.compile(r"(?<![\w.])\d+\.\d+(?![.\d])")

THOUSANDS = re.compile(r"-?\d{1,3}(\.\d{3})+(,\d+)?")


def job(path: Path, sign: str) -> Path:
    labels, filled = example_job("mm")
    labels = {**labels, "decimal_sign": sign} if sign else labels
    rows = [dict(row) for row in filled["Parts"]]
    rows[-1]["part"] = "Peg 1.5"
    path.write_bytes(by_ending(path.suffix).render(template_pages("mm", labels, {**filled, "Parts": rows})))
    return path


def ours(path: Path) -> list[str]:
    """Give every text that sheetkit wrote: on its tabs, and beside the maker's rows."""
    book = read(path)
    found = [
        (page, cell)
        for page in book.pages
        if page.title in book.owned.values()
        for cell in page.cells.values()
    ]
    found += [
        (page, cell)
        for title, block in book.columns.values()
        if (page := book.page(title))
        for at, cell in page.cells.items()
        if at[1] == block.first_column
    ]
    return [cell.value for _, cell in found if isinstance(cell.value, str) and not cell.formula]


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_comma_asked_for_stands_in_every_text(tmp_path: Path, ending: str) -> None:
    path = job(tmp_path / f"bench{ending}", "comma")
    assert sheetkit.run(path, effort=0.05).ok
    texts = [text.replace("Peg 1.5", "") for text in ours(path)]
    assert [text for text in texts if POINT.search(text)] == []
    assert any(re.search(r"\d,5 mm", text) for text in texts)
    assert any("Peg 1.5" in text for text in ours(path)), "a name of the maker's stays as it is"


def test_a_point_stands_where_nothing_says_otherwise(tmp_path: Path) -> None:
    path = job(tmp_path / "bench.xlsx", "")
    assert sheetkit.run(path, effort=0.05).ok
    assert any(POINT.search(text) for text in ours(path))


def test_the_language_of_an_ods_is_followed(tmp_path: Path) -> None:
    path = job(tmp_path / "bench.ods", "")
    german = io.BytesIO()
    style = b'<style:default-style style:family="table-cell"><style:text-properties fo:language="de" fo:country="DE"/></style:default-style>'
    with zipfile.ZipFile(path) as before, zipfile.ZipFile(german, "w") as after:
        for entry in before.infolist():
            data = before.read(entry)
            if entry.filename == "styles.xml":
                data = re.sub(rb"(<office:styles[^>]*?)(/>|>)", lambda found: found[1] + b">" + style
                              + (b"</office:styles>" if found[2] == b"/>" else b""), data, count=1)  # fmt: skip
            after.writestr(entry, data)
    path.write_bytes(german.getvalue())
    assert language_of(path.read_bytes()) == "de-DE"
    assert sheetkit.run(path, effort=0.05).ok
    assert not [text for text in ours(path) if POINT.search(text.replace("Peg 1.5", ""))]


def test_a_file_that_tells_no_language_has_none() -> None:
    assert language_of(b"") == language_of(b"PK no zip") == ""
    assert not decimal_comma("")


def test_thousands_dates_versions_and_names_are_told_from_decimals() -> None:
    with decimal_sign(True, ["A-1.5", "Plank 2.1"]):
        assert worded("1,234.50 and 12.5, then 3") == "1.234,50 and 12,5, then 3"
        assert worded("2026-11-02 by sheetkit 0.1.0") == "2026-11-02 by sheetkit 0.1.0"
        assert worded("A-1.5 is 1.5 wide; Plank 2.1: 2.1") == "A-1.5 is 1,5 wide; Plank 2.1: 2,1"
        assert one_line("gap 1.5") == "gap 1,5", "pictures are lettered through it"
    assert worded("12.5") == "12.5"


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_word_that_decides_in_an_xlsx_is_offered_in_a_drop_down_and_told_in_the_readme(
    unit: Unit,
) -> None:
    page = template_pages(unit)[0]
    row, column = next(at for at, cell in page.cells.items() if cell.value == "Decimal sign")
    offered = [choice for choice in page.choices if choice.where.__contains__((row, column + 1))]
    assert [choice.words for choice in offered] == [("point", "comma")]
    assert (
        page.cells[row, column + 2].value
        == "How the answers' words set off decimals; empty: as the file's language has it (.ods), else a point."
    )
    assert "Decimal sign | How the answers' words set off decimals" in README.read_text("utf-8")


SHOWN = """
  OpenFile {url}
  doc.calculateAll()
  For Each title In Array({titles})
    cursor = Tab(title).createCursor()
    cursor.gotoEndOfUsedArea(False)
    For row = 0 To cursor.RangeAddress.EndRow
      For column = 0 To cursor.RangeAddress.EndColumn
        cell = Tab(title).getCellByPosition(column, row)
        If cell.String <> "" Then Say title & "|" & Replace(cell.String, Chr(10), " ") & "|" & Str(cell.Value)
      Next
    Next
  Next
  CloseFile
"""


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_german_libreoffice_shows_commas_alone_and_computes_every_amount_alike(
    tmp_path: Path, ending: str, office: object
) -> None:
    path = job(tmp_path / f"bench{ending}", "comma")
    assert sheetkit.run(path, effort=0.05).ok
    book = read(path)
    titles = [
        book.owned[key]
        for key in ("quote", "estimate", "summary", "lumber", "rough", "shop")
        if key in book.owned
    ]
    assert {"Quote", "Estimate", "Shop sheet"} <= set(titles)
    work = SHOWN.format(url=quoted(path.as_uri()), titles=", ".join(map(quoted, titles)))
    said = [line.split("|") for line in at_the_desk(tmp_path, work, "de-DE")]
    texts = [text.replace("Peg 1.5", "") for _, text, _ in said]
    pointed = [
        text
        for text in texts
        if POINT.search(text) and not THOUSANDS.fullmatch(text) and "sheetkit" not in text
    ]
    assert pointed == []
    assert not [text for text in texts if text.startswith(("#", "Err:"))]
    stored = there(book.page("Quote"))
    amounts = [
        cell.value
        for _, cell in sorted(stored.cells.items())
        if cell.style.format is Format.MONEY and isinstance(cell.value, float)
    ]
    shown = [f"{amount:,.2f}".translate(str.maketrans(",.", ".,")) for amount in amounts]
    quote = [text for title, text, _ in said if title == "Quote"]
    assert amounts
    assert [amount for amount in shown if amount not in quote] == []

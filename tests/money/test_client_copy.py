"""The client's copy holds the quote and nothing else: every raw part of the package is searched."""

from __future__ import annotations

import dataclasses
import io
import re
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import openpyxl.styles
import pytest

import sheetkit
from sheetkit.book.formats import by_content, by_ending
from sheetkit.book.package import Package
from sheetkit.book.workbook import Change, Refused
from sheetkit.jobs.client import client_copy
from sheetkit.page import Cell
from sheetkit.tabs.draft import Draft
from sheetkit.tabs.messages import not_calculated_page
from tests.money.money_jobs import TABLES, asked, place, put_in, read, workbook_pages, write

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
SECRETS = {
    "Prices": "Species | Stock | Price | Waste | Note\nWhite oak | 4/4 | 9.57 | 23 % | from the yard by the river",
    "Labor": "Operation | Counted by | Minutes each | Rate | Actual hours | Note\n"
              "Choosing slowly | job | 31.5 | | 0.77 | slow machine\nMilling alone | blank | 6.25 | 41.3 | |",
    "Gossip": "They will pay anything | 1234.56",
}  # fmt: skip
NOTHING_OF = (
    "secret of the shelf", "from the yard by the river", "slow machine", "brass", "Bracket", "Screw", "Hook",
    "Choosing slowly", "Milling alone", "Hall shelf", "pay anything", "1234.56", "Estimate", "Lumber", "Prices",
    "Labor", "Overhead", "Profit", "(margin)", "(markup)", "_sheetkit", "Made in a test", "9.57",
)  # fmt: skip
NEVER = {
    ".xlsx": (rb"<f[ >/]", b"definedName", b"docProps", b"comment", b"externalLink", b"printerSettings",
              b"customXml", b"hyperlink", b'state="hidden"', b"creator", b"Company", b"calcChain", b"<drawing"),
    ".ods": (b"table:formula", b"named-range", b"named-expression", b"annotation", b"dc:creator",
             b"initial-creator", b"user-defined", b"xlink:href", b"table:visibility", b"draw:frame"),
}  # fmt: skip


def parts(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return {name: package.read(name) for name in package.namelist()}


def makers(ending: str) -> bytes:
    """Give a maker's workbook with the money in it."""
    return put_in(by_ending(ending).render(workbook_pages(SECRETS)), ending)


def copied(data: bytes) -> bytes:
    """Give the client's copy of a workbook on whose quote nothing is hidden or stands aside."""
    copy = client_copy(data)
    assert copy.left_out == ()
    return copy.data


@FORMATS
def test_no_part_of_the_copy_holds_an_inner_figure_a_note_or_a_name(ending: str) -> None:
    data = makers(ending)
    copy = copied(data)
    raw = parts(copy)
    everything = b"\n".join(name.encode() + b"\n" + content for name, content in raw.items())
    for word in NOTHING_OF:
        assert word.encode() in b"\n".join(parts(data).values()), f"{word} is no secret of this workbook"
        assert word.encode() not in everything, word
    for pattern in NEVER[ending]:
        assert not re.search(pattern, everything), pattern
    workbook = by_content(data, ending).read(data)
    quote = workbook.page("Quote")
    assert quote is not None
    told = {cell.value for cell in quote.cells.values()}
    inner = {
        cell.value
        for page in workbook.pages
        if page.title != "Quote"
        for cell in page.cells.values()
        if isinstance(cell.value, float) and cell.value not in told and len(f"{cell.value:.10g}") >= 5
    }
    assert len(inner) > 10
    source = b"\n".join(parts(data).values())
    for figure in inner:
        assert f"{figure:.10g}"[:5].encode() in source
        for written in (f"{figure:.10g}", f"{figure:.2f}", repr(figure)):
            found = re.search(rf'(?<![\d.]){re.escape(written)}(?![\d.]|in")'.encode(), everything)
            assert found is None, written


@FORMATS
def test_the_copy_is_one_tab_of_values_that_say_what_the_quote_says(ending: str) -> None:
    data = makers(ending)
    copy = by_content(copied(data), ending).read(copied(data))
    (page,) = copy.pages
    quote = by_content(data, ending).read(data).page("Quote")
    assert quote is not None
    assert page.title == "Quote"
    assert {a: cell.value for a, cell in page.cells.items()} == {
        a: cell.value for a, cell in quote.cells.items()
    }
    assert {a: cell.style for a, cell in page.cells.items()} == {
        a: cell.style for a, cell in quote.cells.items()
    }
    assert not any(cell.formula or cell.link for cell in page.cells.values())
    assert (copy.owned, copy.columns, copy.notes, page.names) == ({}, {}, {}, {})
    assert page.merged == quote.merged
    assert copied(data) == copied(data)


@pytest.mark.parametrize("more", ["B9:D9", "B9:C9", "C8:C10", "A1:XFD1048576", "B9:B9"])
def test_merged_cells_that_lie_over_others_do_no_harm(more: str) -> None:
    package = Package(makers(".xlsx"))
    merged = b'<mergeCell ref="B9:D9"/><mergeCell ref="%s"/>' % more.encode()
    for name in package.names():
        content = package.read(name)
        if b"<mergeCells" in content:
            package.write(name, re.sub(rb"<mergeCells[^>]*>", rb"\g<0>" + merged, content))
    (tab,) = openpyxl.load_workbook(io.BytesIO(copied(package.save()))).worksheets
    assert tab["A1"].value
    assert len(tab.merged_cells.ranges) < 30


def test_every_shared_text_of_the_copy_is_used() -> None:
    raw = parts(copied(makers(".xlsx")))
    texts = raw["xl/sharedStrings.xml"].count(b"<si>")
    used = set(re.findall(rb't="s"><v>(\d+)</v>', raw["xl/worksheets/sheet1.xml"]))
    assert used == {str(number).encode() for number in range(texts)}


def test_an_independent_reader_opens_the_copy() -> None:
    book = openpyxl.load_workbook(io.BytesIO(copied(makers(".xlsx"))))
    assert book.sheetnames == ["Quote"]
    assert book.properties.creator in (None, "openpyxl")
    assert not any(cell.data_type == "f" for row in book["Quote"].iter_rows() for cell in row)


@FORMATS
def test_an_office_program_shows_the_copy(
    office: Callable[[Path, str, Path], Path], tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"copy{ending}"
    path.write_bytes(copied(makers(ending)))
    shown = office(path, "csv", tmp_path).read_text("utf-8")
    assert "Shelf with two brackets" in shown
    assert "Err:" not in shown
    assert "#" not in shown


@FORMATS
def test_without_a_quote_of_ours_there_is_no_copy(ending: str) -> None:
    file_format = by_ending(ending)
    plain = file_format.render(workbook_pages({}))
    theirs = file_format.render(workbook_pages({"Quote": "My own quote | 12"}))
    waiting = file_format.graft(
        plain, Change((not_calculated_page("Quote", "quote", asked().sheet, "Made in a test"),))
    )
    draft = Draft("Quote", "quote", (10,), "")
    draft.put(1, None, formula="1+1")
    draft.cells[draft.row, 1] = Cell(None, "1+1", stale=True)
    stale = file_format.graft(plain, Change((draft.page(),)))
    for data in (plain, theirs, waiting, stale):
        with pytest.raises(Refused) as refused:
            copied(data)
        assert refused.value.reason == "no quote"


@FORMATS
def test_text_stays_text_on_every_tab_and_in_the_copy(
    office: Callable[[Path, str, Path], Path], tmp_path: Path, ending: str
) -> None:
    link = "see http://example.invalid/x"
    words = {"=cmd()", "+1", "-2+3", "@SUM(1)", link, "=1+1"}
    job = TABLES["Job"].replace("The yellow house", "=1+1").replace("Shelf with two brackets", "@SUM(1)")
    path = write(tmp_path / f"odd{ending}", {
        "Job": job.replace("The shop by the brook", link),
        "Parts": "Part | Species | Thickness | Width | Length\n=cmd() | White oak | 3/4 | 5 | 40",
        "Extras": f"Item | Qty | Unit price | Note\n=cmd() | 8 | 0.35 | {link}\n-2+3 | 1 | 4 |",
        "Labor": "Operation | Minutes each\n+x1 | 30\n=cmd() | 5",
    })  # fmt: skip
    copy = tmp_path / f"copy{ending}"
    copy.write_bytes(copied(path.read_bytes()))
    (tmp_path / "out").mkdir()
    for each in (path, copy):
        saved = office(each, ending.lstrip("."), tmp_path / "out")
        for workbook in (read(each), read(saved)):
            for page in workbook.pages:
                for address, cell in page.cells.items():
                    if isinstance(cell.value, str) and cell.value in words:
                        assert cell.formula is None, (page.title, address)
                        assert cell.link is None
                    assert not (cell.formula and "cmd" in cell.formula)
        told = {cell.value for page in read(saved).pages for cell in page.cells.values()}
        assert told >= ({"=1+1", "@SUM(1)", link} if each == copy else words - {"+1"} | {"+x1"})


def with_hidden(ending: str, office: Callable[[Path, str, Path], Path], folder: Path) -> bytes:
    """Give a workbook on whose quote much is hidden, as an independent program writes it."""
    path = folder / "bench.xlsx"
    path.write_bytes(makers(".xlsx"))
    book = openpyxl.load_workbook(path)
    quote = book["Quote"]
    row = next(cell.row for cell in quote["A"] if cell.value == "Number")
    quote.row_dimensions[row].hidden = True
    last = quote.max_row
    free = next(at for at in range(last, 1, -1) if not any(cell.value for cell in quote[at][:4]))
    quote.column_dimensions["C"].hidden = True
    quote.cell(row + 1, 3, "told to nobody")
    for column, text in enumerate(("said low", "said white", "said none"), 1):
        quote.cell(free, column if column < 3 else 4, text)
    quote.cell(free, 1).number_format = ";;;"
    quote.cell(free, 2).font = openpyxl.styles.Font(color="FFFFFFFF")
    quote.cell(free, 4).protection = openpyxl.styles.Protection(hidden=True)
    quote.cell(2, 9, "far beside")
    quote.cell(last + 40, 1, "far below")
    quote.sheet_state = "veryHidden"
    book.save(path)
    if ending == ".ods":
        (folder / "out").mkdir()
        path = office(path, "ods", folder / "out")
    return path.read_bytes()


@FORMATS
def test_what_the_maker_hid_and_what_stands_beside_the_quote_is_left_out_and_named(
    office: Callable[[Path, str, Path], Path], tmp_path: Path, ending: str
) -> None:
    data = with_stored_results(with_hidden(ending, office, tmp_path), ending)
    copy = client_copy(data)
    raw = b"\n".join(parts(copy.data).values())
    for words in (
        "31-007",
        "told to nobody",
        "said low",
        "said white",
        "said none",
        "far beside",
        "far below",
    ):
        assert words.encode() in b"\n".join(parts(data).values()), words
        assert words.encode() not in raw, words
    hidden, outside = copy.left_out
    assert hidden.startswith("Left out, hidden: Quote!A")
    # a row, what stands in a column (with two of our own words) and three cells
    assert re.findall(r"Quote!([A-D])\d+", hidden) == ["A", "B", "C", "C", "C", "A", "B", "D"]
    assert re.fullmatch(r"Left out, outside the quote: Quote!I2, Quote!A\d+\.", outside)
    (page,) = by_content(copy.data, ending).read(copy.data).pages
    assert {cell.value for cell in page.cells.values()} >= {"The yellow house", "What is made"}
    assert b'visibility="collapse"' not in raw
    assert b"idden" not in raw


def with_stored_results(data: bytes, ending: str) -> bytes:
    """Give a workbook with the results of its formulas, which its last writer may have left out."""
    from sheetkit.book.office import recalculated

    file_format = by_content(data, ending)
    workbook, computed = file_format.read(data), file_format.read(recalculated(data, ending))
    results = {
        page.title: {
            address: found.cells[address].value
            for address, cell in page.cells.items()
            if cell.stale and address in found.cells
        }
        for page in workbook.pages
        if (found := computed.page(page.title)) is not None
    }
    return file_format.with_results(data, results)


def ran(tmp_path: Path, ending: str, effort: float = 0.1) -> Path:
    """Give a workbook that was worked out with some effort."""
    path = tmp_path / f"bench{ending}"
    path.write_bytes(by_ending(ending).render(workbook_pages({})))
    assert sheetkit.run(path, effort=effort).ok
    return path


def typed(data: bytes, ending: str, tab: str, address: tuple[int, int], value: float | str) -> bytes:
    """Give a workbook in which the maker changed a cell."""
    file_format = by_content(data, ending)
    workbook = file_format.read(data)
    change = Change(patches={tab: {address: Cell(value)}}, columns=workbook.columns, notes=workbook.notes)
    return file_format.graft(data, change)


@FORMATS
@pytest.mark.parametrize("noted", [True, False])
def test_a_quote_older_than_the_inputs_is_refused(tmp_path: Path, ending: str, noted: bool) -> None:
    data = ran(tmp_path, ending).read_bytes() if noted else makers(ending)
    workbook = by_content(data, ending).read(data)
    assert ("asked" in workbook.notes) == noted
    assert client_copy(data).left_out == ()
    longer = typed(data, ending, "Parts", place(workbook, "Parts", "Length", "Shelf"), 60)
    with pytest.raises(Refused, match="quote is old"):
        client_copy(longer)
    broken = typed(data, ending, "Parts", place(workbook, "Parts", "Length", "Shelf"), "long")
    with pytest.raises(Refused, match="quote is old"):
        client_copy(broken)
    # what the maker notes beside a part changes no quote
    remarked = typed(data, ending, "Parts", place(workbook, "Parts", "Note", "Shelf"), "sanded twice")
    assert client_copy(remarked).data == client_copy(data).data


def test_a_quote_is_not_old_because_the_boards_were_laid_out_with_other_effort(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from sheetkit import plan
    from sheetkit.records.answers import Answers
    from sheetkit.records.job import Job

    data = ran(tmp_path, ".xlsx", 3.0).read_bytes()
    real = plan.answer

    def dearer(job: Job, effort: float = 1.0, progress: object = None) -> Answers:
        """Work out as if less effort had found boards that cost more."""
        found = real(job, effort)
        estimate = dataclasses.replace(found.costs.estimate, margin=found.costs.estimate.margin / 2)
        return dataclasses.replace(found, costs=dataclasses.replace(found.costs, estimate=estimate))

    usual = client_copy(data).data
    monkeypatch.setattr(plan, "answer", dearer)
    assert client_copy(data).data == usual

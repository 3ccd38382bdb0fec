"""Printing: result tabs print alone and with the book, input tabs only when asked; a picture stays with its heading."""

from __future__ import annotations

import io
import zipfile

import openpyxl
import pytest
from lxml import etree

from sheetkit.book.formats import by_ending
from sheetkit.form.example import example_job
from sheetkit.intake.workbook import take_in
from sheetkit.page import Page
from sheetkit.plan import answer
from sheetkit.tabs.pages import result_pages
from sheetkit.tabs.template import template_pages
from sheetkit.units import Unit

TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"


def example(unit: Unit) -> tuple[list[Page], list[Page]]:
    """Give the input tabs and the result tabs of the example."""
    asked = list(template_pages(unit, *example_job(unit)))
    return asked, result_pages(answer(take_in(asked).job, 0.1), (), "made today")


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_in_an_ods_the_result_tabs_alone_print_with_the_book(unit: Unit) -> None:
    """OpenDocument 1.2 part 1, table:print and table:print-ranges (numbers of the clauses not looked up)."""
    asked, results = example(unit)
    data = by_ending(".ods").render([*asked, *results])
    root = etree.fromstring(zipfile.ZipFile(io.BytesIO(data)).read("content.xml"))
    found = {
        table.get(f"{TABLE}name"): (table.get(f"{TABLE}print"), table.get(f"{TABLE}print-ranges"))
        for table in root.iter(f"{TABLE}table")
    }
    assert all(found[page.title] == ("false", None) for page in asked)
    assert all(found[page.title][0] is None and found[page.title][1] for page in results)
    assert "Lists" in {page.title for page in asked}


def test_in_an_xlsx_each_result_tab_has_a_print_range_that_takes_in_all_that_stands_on_it() -> None:
    _, results = example("in")
    book = openpyxl.load_workbook(io.BytesIO(by_ending(".xlsx").render(results)))
    for page in results:
        area = page.print.area
        assert area is not None
        assert book[page.title].print_area
        assert area.last_row >= max(row for row, _ in page.cells)
        assert area.last_row >= max((picture.row for picture in page.pictures), default=0)
        assert area.last_column == len(page.columns)


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_no_page_ends_between_a_picture_and_what_stands_above_it_and_titles_say_tab_and_job(
    unit: Unit,
) -> None:
    _, results = example(unit)
    assert any(page.pictures for page in results)
    for page in results:
        for picture in page.pictures:
            assert picture.row - 1 not in page.print.breaks, page.title
        if page.title != "Quote":
            assert str(page.cells[1, 1].value) == f"{page.title} · Entry bench"

"""Rows laid out straight from a page stand as the library writes them, in the maker's looks and texts."""

from __future__ import annotations

import re
from datetime import date, datetime

import pytest

from sheetkit.book.workbook import Change
from sheetkit.book.xlsx import graft, render
from sheetkit.book.xlsx.strings import read_strings
from sheetkit.form.example import example_job
from sheetkit.page import Cell, CellError, Column, Format, Page, Picture, Range, Style
from sheetkit.tabs.template import template_pages
from tests.book.lint_xlsx import parts_of
from tests.book.makers_xlsx import makers_workbook, png

SPACE = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
BOLD = Style(bold=True, wrap=True)
PAGES = {
    "all kinds": Page(
        "A & B's",
        {
            (3, 2): Cell("text", link="'A & B''s'!$C$9"),
            (3, 3): Cell(" spaces\n", style=BOLD),
            (4, 28): Cell(0.1),
            (5, 1): Cell(True),
            (5, 2): Cell(date(2026, 3, 4)),
            (5, 3): Cell(datetime(2026, 3, 4, 5, 6), style=BOLD),
            (5, 4): Cell(1e-7, style=Style(format=Format.HUNDREDTH)),
            (6, 1): Cell("3/4", "B3&C3", link="'A & B''s'!$A$1"),
            (6, 2): Cell(None, "1+1", stale=True),
            (6, 3): Cell(CellError("#REF!")),
            (6, 4): Cell("", "B3", BOLD),
            (20, 1): Cell(None, style=BOLD),
            (40, 5): Cell(123456789012.5),
        },
        columns={2: Column(12.0), 9: Column(8.0, BOLD)},
        heights={3: 25.0, 5: 15.0, 30: 18.4, 41: 40.0},
        merged=(Range(20, 1, 21, 4),),
    ),
    "a picture": Page(
        "P",
        {(2, 2): Cell("x")},
        heights={1: 20.0, 5: 60.0, 9: 20.0},
        pictures=(Picture(png(), 4, 2, 90.0, 60.0, "a board"),),
    ),
    "heights alone": Page("H", {}, heights={4: 30.0}),
    "a column alone": Page("C", {}, columns={3: Column(9.0, BOLD)}),
    "nothing": Page("N", {}),
    "one cell": Page("O", {(2, 2): Cell(7)}),
}


def said(data: bytes, part: str) -> str:
    """Return a tab's XML, its texts in place of their numbers, its looks left out."""
    parts = parts_of(data)
    texts = read_strings(parts["xl/sharedStrings.xml"], SPACE) if "xl/sharedStrings.xml" in parts else []
    sheet = re.sub(r' tabSelected="1"', "", parts[part].decode())
    sheet = re.sub(r' t="s"><v>(\d+)<', lambda found: f" t=s {texts[int(found[1])]!r}<", sheet)
    return re.sub(r' (s|style)="\d+"', "", sheet)


@pytest.mark.parametrize("name", PAGES)
def test_rows_stand_as_the_library_writes_them(name: str) -> None:
    page = PAGES[name]
    grafted = graft(makers_workbook(), Change(added=(page,)))
    assert said(grafted, "xl/worksheets/sheet4.xml") == said(render([page]), "xl/worksheets/sheet1.xml")


def test_so_do_all_tabs_of_a_new_workbook() -> None:
    labels, filled = example_job("in")
    pages = template_pages("in", labels, filled)
    grafted = graft(render([Page("Other", {(1, 1): Cell("kept")})]), Change(added=tuple(pages)))
    for number, page in enumerate(pages, 1):
        ours = said(grafted, f"xl/worksheets/sheet{number + 1}.xml")
        assert ours == said(render(pages), f"xl/worksheets/sheet{number}.xml"), page.title


@pytest.mark.parametrize("value", [float("nan"), float("inf"), "x" * 40_000, "\U0001fab5" * 20_000])
def test_what_no_cell_can_hold_is_refused(value: float | str) -> None:
    with pytest.raises(ValueError, match="hold"):
        graft(makers_workbook(), Change(added=(Page("T", {(1, 1): Cell(value)}),)))

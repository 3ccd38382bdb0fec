"""Signs that no file can hold, times of day, dates and very long texts in any cell that words go into: read or told, never a refusal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from sheetkit.book.formats import by_ending
from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Kind
from sheetkit.jobs.run import Outcome, run
from sheetkit.page import Address, Cell, Page, Value
from sheetkit.tabs.template import template_pages
from tests.book.user_ods import replaced
from tests.jobs import NOW

MARK = "QXQ"
"""Written by our writer; in the made file a sign that it would not write is put in its place."""
LABELS = {"job": "Bench", "moisture_now": "7", "moisture_driest": "6", "moisture_wettest": "11"}
FILLED = {
    "Parts": [{"part": "Leg", "qty": "2", "species": "White oak", "thickness": "1", "width": "2", "length": "20", "together": "a"}],
    "Panels": [{"panel": "Door", "species": "White oak", "opening_width": "14", "opening_height": "20", "groove_sides": "1/2", "thickness": "1/4"}],
    "Joints": [{"joint": "Corner", "kind": "tenon", "into": "Leg", "from_part": "Leg", "thickness": "3/8", "width": "1", "depth_into": "1"}],
    "Spacing": [{"run": "Slats", "between": "36", "members": "5", "member_width": "3/4"}],
    "Shapes": [{"shape": "Curve", "kind": "arc", "length": "20", "rise": "1"}],
    "Loads": [{"member": "Shelf", "species": "White oak", "thickness": "3/4", "width": "11", "span": "36", "load": "60"}],
    "Glue-ups": [{"step": "Frames", "joints": "8"}],
    "Finish": [{"step": "Oil", "product": "hardwax oil", "grit": "180", "parts": "all"}],
    "Boards": [{"board": "A1", "species": "White oak", "stock": "8/4", "width": "8", "length": "98"}],
    "Prices": [{"species": "White oak", "stock": "8/4", "price": "12", "grade": "FAS"}],
    "Extras": [{"item": "Hinges", "qty": "2", "unit_price": "4.80"}],
    "Labour": [{"operation": "Mill", "minutes": "30"}],
}  # fmt: skip
ALL = [(tab.title, column.name) for tab in TABLES for column in tab.asked] + [
    ("Job", label.name) for label in settings.JOB if label.name not in settings.LIVE
] + [("Allowances", label.name) for label in settings.ALLOWANCES]  # fmt: skip
WORDS = [(tab.title, column.name) for tab in TABLES for column in tab.asked if column.kind is Kind.TEXT]
WORDS += [("Job", label.name) for label in settings.JOB if label.kind is Kind.TEXT]
ENDINGS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])


def place_of(pages: list[Page], tab: str, name: str) -> Address:
    """Give the cell of the first row, or beside the label."""
    page = next(each for each in pages if each.title == tab)
    labels = {"Job": settings.JOB, "Allowances": settings.ALLOWANCES}.get(tab)
    columns = labels or next(each for each in TABLES if each.title == tab).asked
    heading = next(column.heading for column in columns if column.name == name)
    at = [address for address, cell in sorted(page.cells.items()) if cell.value == heading]
    row, number = at[-1] if tab == "Job" and name == "job" else at[0] if labels is None else at[-1]
    return (row, number + 1) if labels else (row + 1, number)


def with_value(tab: str, name: str, value: Value) -> tuple[list[Page], Address]:
    """Give a filled workbook with a value put into one cell."""
    pages = list(template_pages("in", LABELS, FILLED))
    at = place_of(pages, tab, name)
    return [
        replace(page, cells={**page.cells, at: Cell(value)}) if page.title == tab else page for page in pages
    ], at


def worked(path: Path, data: bytes) -> Outcome:
    """Run twice: what is wrong is told with words, and the second run has nothing to write."""
    path.write_bytes(data)
    outcome = run(path, now=NOW, effort=0.02)
    assert all(found.says and found.instead for found in outcome.problems)
    assert not run(path, now=NOW, effort=0.02).written
    return outcome


def odd_files(pages: list[Page], ending: str) -> Iterator[tuple[str, bytes]]:
    """Give files whose marked text holds a sign that XML 1.0 forbids, as some programs write them."""
    data = by_ending(ending).render(pages)
    part = "xl/sharedStrings.xml" if ending == ".xlsx" else "content.xml"
    signs = {".xlsx": ("_x0001_", "_x000B_", "_xD800_", "_xFFFE_"), ".ods": ()}[ending]
    for sign in signs:
        yield sign, replaced(data, part, MARK, f"Q{sign}Q")


@ENDINGS
def test_the_workbook_without_anything_odd_is_worked_out(tmp_path: Path, ending: str) -> None:
    assert worked(
        tmp_path / f"job{ending}", by_ending(ending).render(template_pages("in", LABELS, FILLED))
    ).ok


@pytest.mark.parametrize(("tab", "name"), ALL, ids=lambda text: text)
def test_a_sign_that_no_file_can_hold_is_passed_over_or_told(tmp_path: Path, tab: str, name: str) -> None:
    pages, at = with_value(tab, name, MARK)
    for number, (sign, data) in enumerate(odd_files(pages, ".xlsx")):
        outcome = worked(tmp_path / f"{number}.xlsx", data)
        told = [found for found in outcome.problems if (found.tab, found.row, found.column) == (tab, *at)]
        assert outcome.ok or [found for found in outcome.problems if found.weight == "error"], sign
        if (tab, name) in WORDS and name not in ("alternatives", "fits"):
            assert not [found for found in told if found.weight == "error"], sign


@ENDINGS
@pytest.mark.parametrize(("tab", "name"), ALL, ids=lambda text: text)
def test_a_time_of_day_a_date_and_a_very_long_text_are_read_or_told(
    tmp_path: Path, ending: str, tab: str, name: str
) -> None:
    values: tuple[Value, ...] = (
        datetime(1899, 12, 31, 6, 30),
        date(2026, 3, 4),
        "long " * 6_000,
        "\t\n  odd\u2028\x85",
    )
    for number, value in enumerate(values):
        pages, at = with_value(tab, name, value)
        outcome = worked(tmp_path / f"{number}{ending}", by_ending(ending).render(pages))
        errors = [found for found in outcome.problems if found.weight == "error"]
        assert outcome.ok is not bool(errors)
        here = [found.code for found in errors if (found.tab, found.row, found.column) == (tab, *at)]
        if (tab, name) in WORDS and isinstance(value, date):
            assert here == ([] if name == "note" else ["date-in-text"]), value
        elif (tab, name) in WORDS and name not in ("alternatives", "fits"):
            assert here == [], value

"""Signs that no file can hold, times of day, dates and very long texts in any cell that words go into: read or told, never a refusal."""

from __future__ import annotations

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
    "Labor": [{"operation": "Mill", "minutes": "30"}],
}  # fmt: skip
ALL = [(tab.title, column.name) for tab in TABLES for column in tab.asked] + [
    ("Job", label.name) for label in settings.JOB if label.name not in settings.LIVE
] + [("Allowances", label.name) for label in settings.ALLOWANCES if label.name != "sag_per_meter"]  # fmt: skip
WORDS = [(tab.title, column.name) for tab in TABLES for column in tab.asked if column.kind is Kind.TEXT]
WORDS += [("Job", label.name) for label in settings.JOB if label.kind is Kind.TEXT]
LISTED = [("Job", "alternatives"), ("Job", "fits")]
"""Words that must stand in a table."""
FREE = [place for place in WORDS if place not in (*LISTED, ("Job", "rack"))]
NAMED = [("Joints", "into"), ("Joints", "at"), ("Job", "rack")]
"""Names of parts, runs and a workbook: that none is called so is told where it is looked up."""
OTHERS = [place for place in ALL if place not in (*FREE, *NAMED)]
ENDINGS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])


def place_of(pages: list[Page], tab: str, name: str) -> Address:
    """Give the cell of the first row, or beside the label."""
    page = next(each for each in pages if each.title == tab)
    labels = {"Job": settings.JOB, "Allowances": settings.ALLOWANCES}.get(tab)
    columns = labels or next(each for each in TABLES if each.title == tab).asked
    heading = next(column.heading for column in columns if column.name == name)
    at = [address for address, cell in sorted(page.cells.items()) if cell.value == heading]
    row, number = at[-1] if labels else at[0]
    return (row, number + 1) if labels else (row + 1, number)


def with_value(
    places: list[tuple[str, str]], value: Value
) -> tuple[list[Page], dict[tuple[str, str], tuple[str, int, int]]]:
    """Give a filled workbook with a value put into some cells, and where those are."""
    pages = list(template_pages("in", LABELS, FILLED))
    at = {(tab, name): (tab, *place_of(pages, tab, name)) for tab, name in places}
    put = {where: Cell(value) for where in at.values()}
    return [
        replace(
            page,
            cells={
                **page.cells,
                **{where[1:]: cell for where, cell in put.items() if where[0] == page.title},
            },
        )
        for page in pages
    ], at


def worked(path: Path, data: bytes) -> Outcome:
    """Run twice: what is wrong is told with words, and the second run has nothing to write."""
    path.write_bytes(data)
    outcome = run(path, now=NOW, effort=0.02)
    assert all(found.says and found.instead for found in outcome.problems)
    assert not run(path, now=NOW, effort=0.02).written
    return outcome


def errors_at(outcome: Outcome) -> dict[tuple[str, int, int], str]:
    """Give the code of what is wrong with each cell; nothing is calculated while something is."""
    errors = {
        (found.tab, found.row, found.column): found.code
        for found in outcome.problems
        if found.weight == "error"
    }
    assert outcome.ok is not bool(errors)
    return errors


@pytest.mark.parametrize("places", [FREE, OTHERS], ids=["words", "others"])
@pytest.mark.parametrize("sign", ["_x0001_", "_x000B_", "_xD800_", "_xFFFE_"])
def test_a_sign_that_no_file_can_hold_is_passed_over_in_words_and_told_elsewhere(
    tmp_path: Path, places: list[tuple[str, str]], sign: str
) -> None:
    """Such signs stand in .xlsx files in a spelling of their own; an .ods file cannot hold them at all."""
    pages, at = with_value(places, MARK)
    data = replaced(by_ending(".xlsx").render(pages), "xl/sharedStrings.xml", MARK, f"Q{sign}Q")
    outcome = worked(tmp_path / "job.xlsx", data)
    errors = errors_at(outcome)
    if places is FREE:
        assert outcome.ok, errors
        assert outcome.answers is not None
        assert outcome.answers.job.parts[0].part in ("QQ", "Q\ufffdQ")
    else:
        assert [name for name, where in at.items() if where not in errors] == []


@ENDINGS
@pytest.mark.parametrize("value", [datetime(1899, 12, 31, 6, 30), date(2026, 3, 4)], ids=["time", "date"])
def test_a_date_or_a_time_of_day_is_told_wherever_it_stands_but_in_a_note(
    tmp_path: Path, ending: str, value: Value
) -> None:
    pages, at = with_value(ALL, value)
    errors = errors_at(worked(tmp_path / f"job{ending}", by_ending(ending).render(pages)))
    day = [("Job", "date")] if type(value) is date else []
    for place, where in at.items():
        if place[1] == "note" or place in day:
            assert where not in errors, place
        elif place in WORDS:
            assert errors.get(where) == "date-in-text", place
        else:
            assert where in errors, place


@ENDINGS
@pytest.mark.parametrize(
    "value", ["long " * 6_000, "\t\n  odd\u2028\x85 <&> \U0001f332"], ids=["long", "odd"]
)
def test_a_very_long_or_odd_text_is_read_in_words_and_told_elsewhere(
    tmp_path: Path, ending: str, value: str
) -> None:
    pages, _ = with_value(FREE, value)
    outcome = worked(tmp_path / f"words{ending}", by_ending(ending).render(pages))
    assert outcome.ok, errors_at(outcome)
    pages, at = with_value(OTHERS, value)
    errors = errors_at(worked(tmp_path / f"others{ending}", by_ending(ending).render(pages)))
    assert [name for name, where in at.items() if where not in errors] == []


@ENDINGS
@pytest.mark.parametrize(("tab", "name"), WORDS, ids=lambda text: text)
def test_a_date_in_any_cell_of_words_stands_alone_as_what_is_wrong(
    tmp_path: Path, ending: str, tab: str, name: str
) -> None:
    pages, at = with_value([(tab, name)], date(2026, 3, 4))
    path = tmp_path / f"job{ending}"
    path.write_bytes(by_ending(ending).render(pages))
    found = {} if name == "note" else {at[tab, name]: "date-in-text"}
    assert errors_at(run(path, now=NOW, check=True, effort=0.02)) == found

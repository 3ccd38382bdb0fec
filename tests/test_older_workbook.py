"""A workbook of an earlier version, much of it the maker's own: ``adopt`` puts the new columns beside, losing nothing."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from sheetkit.book.formats import by_ending
from sheetkit.book.office import recalculated
from sheetkit.book.package import Package
from sheetkit.book.workbook import Change
from sheetkit.data.plain import as_json, run_data
from sheetkit.form.columns import TABLES
from sheetkit.jobs.new import adopted, new_file
from sheetkit.jobs.run import Outcome, run
from sheetkit.page import Address, Cell, Column, Format, Page, Style, Value, column_letters
from sheetkit.tabs.template import template_pages
from tests.jobs import NOW, read
from tests.there import there

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
NEWER = {
    "Joints": ("On", "Pieces", "Across", "Lies"),
    "Panels": ("Run", "Rails"),
    "Spacing": ("Member", "First at", "Gaps"),
    "Shapes": ("Part",),
    "Glue-ups": ("Glues", "Goes", "Price", "Along", "Really used"),
    "Finish": ("When", "Price", "Really used"),
    "Extras": ("Fit to", "When", "Really used"),
    "Prices": ("Really bought",),
}
"""Headings that an earlier version did not have."""
JOB = {
    "job": "Hall table", "units": "inch", "moisture_now": "7", "moisture_driest": "6", "moisture_wettest": "11",
    "hourly_rate": "40", "tax": "7 %",
}  # fmt: skip
ASKED = {
    "Parts": """
        part  | qty | species   | thickness | width | length | tenons
        Leg   | 4   | White oak | 1 1/2     | 1 1/2 | 28     |
        Rail  | 2   | White oak | 7/8       | 4     | 30     | 1
        Slat  | 5   | White oak | 1/2       | 1 1/2 | 20     |
    """,
    "Panels": """
        panel | qty | species   | measured_width | measured_height | groove_sides | groove_width | thickness
        End   | 2   | White oak | 12             | 9               | 3/8          | 1/4          | 5/16
    """,
    "Joints": """
        joint       | qty | kind   | into | from_part | thickness | width | depth_into | at
        Rail to leg | 4   | tenon  | Leg  | Rail      | 3/8       | 2 1/2 | 1          | 1
        Panel       | 2   | groove | Rail | End       | 1/4       |       | 3/8        |
    """,
    "Spacing": """
        run   | between | members | member_width
        Slats | 30      | 5       | 1 1/2
    """,
    "Shapes": """
        shape | kind | length | rise | stations
        Curve | arc  | 30     | 3/4  | 6
    """,
    "Glue-ups": """
        step  | joints      | adhesive | minutes | across
        Frame | Rail to leg | PVA      | 1       | 32
    """,
    "Finish": """
        step | product     | coats | parts
        Oil  | hardwax oil | 2     | all
    """,
    "Extras": """
        item  | qty | unit_price
        Screw | 12  | 0.2
    """,
    "Prices": """
        species   | stock | price | waste
        White oak | 4/4   | 9.5   | 20 %
        White oak | 8/4   | 12    | 20 %
    """,
    "Labor": """
        operation | counted_by | minutes
        Mill      | blank      | 4
        Cut       | joint      | 9
    """,
}
MINE = Style(fill="FFEEAA", color="AA0000", bold=True)
WIDE = 27.0


def rows_of(text: str) -> list[Mapping[str, str]]:
    """Give the rows of a text table, empty cells left out."""
    head, *lines = [[word.strip() for word in line.split("|")] for line in text.strip().splitlines()]
    return [{name: word for name, word in zip(head, line, strict=True) if word} for line in lines]


def older(page: Page) -> Page:
    """Give a table without what is newer, with two columns of the maker's amid it and one at its end."""
    newer = NEWER.get(page.title, ())
    gone = {at[1] for at, cell in page.cells.items() if cell.value in newer and _is_heading(page, at)}
    assert len(gone) == len(newer), page.title
    top = there(page.freeze)[0]
    places: dict[int, int] = {}
    number = 0
    for column in sorted(page.columns):
        if column not in gone:
            number += 1
            places[column] = number
            number += 2 * (number == 3)
    last = number + 1
    cells = {(row, places[column]): cell for (row, column), cell in page.cells.items() if column in places}
    looks = {places[column]: look for column, look in page.columns.items() if column in places}
    looks |= {4: Column(WIDE, MINE), 5: Column(6.5), last: Column(9.25, MINE)}
    cells[top, 4], cells[top, 5] = Cell("My mark", style=MINE), Cell("Sum", style=MINE)
    cells[top, last] = Cell("Last word", style=MINE)
    for row in range(top + 1, top + 3):
        cells[row, 4] = Cell(f"red {row}", style=MINE)
        cells[row, 5] = Cell(
            0.0, f"COUNTA(A{row}:C{row})+COUNTA({column_letters(last)}:{column_letters(last)})-3"
        )
        cells[row, last] = Cell(f"yes {row}")
    cells[top + 40, 4] = Cell("a note far below", style=MINE)
    choices = tuple(
        replace(each, where=each.where._replace(
            first_column=places[each.where.first_column], last_column=places[each.where.first_column]))
        for each in page.choices if each.where.first_column in places
    )  # fmt: skip
    return replace(page, cells=cells, columns=looks, choices=choices, print=replace(page.print, area=None))


def _is_heading(page: Page, at: Address) -> bool:
    return at[0] == there(page.freeze)[0]


def old_workbook(path: Path) -> Path:
    """Write a workbook as an earlier version made it, and a maker went on with it."""
    filled = {title: rows_of(text) for title, text in ASKED.items()}
    titles = {tab.title for tab in TABLES}
    pages = [
        older(page)
        if page.title in titles and page.title in ASKED and page.title not in ("Parts", "Labor")
        else page
        for page in template_pages("in", JOB, filled)
    ]
    own = Page("My sums", {
        (1, 1): Cell("marks"), (1, 2): Cell(2.0, "COUNTA(Joints!D:D)-1"),
        (2, 1): Cell("first joint"), (2, 2): Cell("Rail to leg", f"Joints!A{top_of(pages, 'Joints') + 1}"),
        (3, 1): Cell("depth"), (3, 2): Cell(1.0, f"INDEX(Joints!A{top_of(pages, 'Joints') + 1}:Z{top_of(pages, 'Joints') + 1},10)"),
        (4, 1): Cell("all of it"), (4, 2): Cell(0.0, f"COUNTA(Spacing!A{top_of(pages, 'Spacing') + 1}:Z{top_of(pages, 'Spacing') + 9})"),
    })  # fmt: skip
    file_format = by_ending(path.suffix)
    data = new_file(file_format, [*pages, own])
    path.write_bytes(computed(data, path.suffix))
    return path


def computed(data: bytes, ending: str) -> bytes:
    """Put the results that LibreOffice computes beside the maker's formulas, in the place of those that stand there."""
    file_format = by_ending(ending)
    before = file_format.read(data)
    old = {page.title: frozenset(formulas(page)) for page in before.pages if formulas(page)}
    bare = file_format.graft(
        data, Change(columns=before.columns, notes=before.notes, old_results=old, computed=True)
    )
    results = {page.title: formulas(page) for page in file_format.read(recalculated(bare, ending)).pages}
    return file_format.with_results(bare, results)


def formulas(page: Page) -> dict[Address, Value]:
    """Give the results of a tab's formulas."""
    return {at: cell.value for at, cell in page.cells.items() if cell.formula is not None}


def top_of(pages: list[Page], title: str) -> int:
    """Give the row of a tab's headings."""
    return there(next(each for each in pages if each.title == title).freeze)[0]


@FORMATS
def test_adopt_puts_the_new_columns_beside_and_leaves_every_cell_of_the_makers(
    tmp_path: Path, ending: str, office: object
) -> None:
    path = old_workbook(tmp_path / f"old{ending}")
    before = read(path)
    said = " ".join(adopted(path))
    after = read(path)
    for title, headings in NEWER.items():
        assert f"{title} ({', '.join(headings)})" in said
        old, new = there(before.page(title)), there(after.page(title))
        top = next(row for (row, _), cell in old.cells.items() if cell.value == "My mark")
        right = old.last_column + 1
        assert [there(new.cells.get((top, right + at))).value for at in range(len(headings))] == list(
            headings
        )
        assert new.last_column == right + len(headings) - 1
        assert {at: cell for at, cell in new.cells.items() if at[1] < right} == old.cells
        assert {number: new.columns[number] for number in old.columns if number < right} == {
            number: look for number, look in old.columns.items() if number < right
        }
        assert there(new.columns[4]).width == WIDE
        assert new.heights == old.heights
        assert new.freeze == old.freeze
    for page in before.pages:
        if page.title not in NEWER:
            assert after.page(page.title) == page
    assert adopted(path) == [f"{path} has all input tabs already."]


@FORMATS
def test_after_adopt_every_formula_of_the_makers_still_computes_what_it_did(
    tmp_path: Path, ending: str, office: object
) -> None:
    path = old_workbook(tmp_path / f"old{ending}")
    adopted(path)
    data = path.read_bytes()
    stored = by_ending(ending).read(data)
    fresh = by_ending(ending).read(computed(data, ending))
    for page in stored.pages:
        assert formulas(there(fresh.page(page.title))) == formulas(page), page.title
    sums = there(stored.page("My sums"))
    assert [sums.cells[row, 2].value for row in (1, 2, 3)] == [3.0, "Rail to leg", 1.0]


@FORMATS
def test_the_workbook_gives_what_it_gave_with_a_remark_where_a_surface_is_assumed(
    tmp_path: Path, ending: str, office: object
) -> None:
    old = run(old_workbook(tmp_path / f"old{ending}"), now=NOW)
    path = old_workbook(tmp_path / f"new{ending}")
    adopted(path)
    new = run(path, now=NOW)
    assert old.ok
    assert answers_of(new) == answers_of(old)
    assert [found.code for found in new.problems] == [found.code for found in old.problems]
    remarks = beside(path, "Joints", "Remarks")
    assert "Taken as cut into the edge of Rail." in str(remarks["Panel"])
    assert remarks == beside(tmp_path / f"old{ending}", "Joints", "Remarks")


@FORMATS
def test_what_is_typed_into_the_new_columns_is_read_and_stays_what_it_is(
    tmp_path: Path, ending: str, office: object
) -> None:
    path = old_workbook(tmp_path / f"old{ending}")
    adopted(path)
    workbook = read(path)
    joints = there(workbook.page("Joints"))
    top, column = next(at for at, cell in joints.cells.items() if cell.value == "On")
    patches = {"Joints": {(top + 1, column): Cell("edge"), (top + 1, column + 1): Cell("1-2; 3-4")}}
    data = by_ending(ending).graft(
        path.read_bytes(), Change(patches=patches, columns=workbook.columns, notes=workbook.notes)
    )
    path.write_bytes(data)
    typed = there(read(path).page("Joints")).cells[top + 1, column + 1]
    assert (typed.value, typed.style.format) == ("1-2; 3-4", Format.TEXT)
    outcome = run(path, now=NOW)
    assert outcome.ok
    assert there(outcome.answers).job.joints[0].on == ("edge",)


def answers_of(outcome: Outcome) -> object:
    """Give all that was answered, but for where it stands."""
    return without_places(json.loads(as_json(run_data(there(outcome.answers), ()))))


def without_places(data: Any) -> Any:
    """Give data without the rows and columns that they speak of."""
    if isinstance(data, dict):
        return {
            key: without_places(each) for key, each in data.items() if key not in ("row", "column", "cell")
        }
    return [without_places(each) for each in data] if isinstance(data, list) else data


def beside(path: Path, tab: str, heading: str) -> dict[object, object]:
    """Give what stands under a heading, by the name of the row."""
    page = there(read(path).page(tab))
    top, number = next(at for at, cell in page.cells.items() if cell.value == heading)
    rows = [row for row, column in page.cells if column == 1 and row > top]
    return {page.cells[row, 1].value: page.cells.get((row, number), Cell()).value for row in rows}


@FORMATS
def test_parts_that_adopt_does_not_write_into_stay_byte_for_byte(
    tmp_path: Path, ending: str, office: object
) -> None:
    path = old_workbook(tmp_path / f"old{ending}")
    before = Package(path.read_bytes(), case_matters=True)
    adopted(path)
    after = Package(path.read_bytes(), case_matters=True)
    grows = {
        "xl/workbook.xml",
        "xl/styles.xml",
        "xl/sharedStrings.xml",
        "xl/_rels/workbook.xml.rels",
        "content.xml",
    }
    for name in before.names():
        if name not in grows and "sheets/sheet" not in name:
            assert after.read(name) == before.read(name), name


def test_a_list_of_the_makers_own_gets_no_columns_put_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "mine.xlsx"
    cells = {
        (1, column): Cell(text)
        for column, text in enumerate(("Part", "Qty", "Species", "Thickness", "Width", "Length"), 1)
    }
    path.write_bytes(by_ending(".xlsx").render([Page("Parts", cells)]))
    adopted(path)
    assert there(read(path).page("Parts")).last_column == 6

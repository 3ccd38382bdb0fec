"""The example worked out, saved by LibreOffice and worked out again: the same answers, and nothing lost."""

from __future__ import annotations

import posixpath
import shutil
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from pathlib import Path

import pytest
from lxml import etree

from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import BACKUP, Workbook
from sheetkit.form.columns import PARTS, TABLES
from sheetkit.jobs.run import Outcome, run
from sheetkit.page import Cell, Format, Page, Value
from tests.book.lint_ods import faults
from tests.book.lint_xlsx import lint, parts_of
from tests.book.office_desk import at_the_desk, quoted
from tests.book.test_ods_graft import content, tables
from tests.jobs import NOW

EXAMPLES = Path(__file__).parents[2] / "examples"
LATER = datetime(2026, 12, 1, 9, 0)
FILTERS = {".xlsx": "Calc MS Excel 2007 XML", ".ods": "calc8"}
QUICK = 0.02
"""Effort of the board layout, which is not on trial here."""

SAVED = ("entry-bench.xlsx", "entry-bench.ods", "entry-bench-mm.xlsx", "entry-bench-mm.ods")
CROSSED = {"crossed-mm.ods": "entry-bench-mm.xlsx", "crossed.xlsx": "entry-bench.ods"}
"""A file saved in the other format, and the file that it comes from."""
OWN = {"own-mm.xlsx": "entry-bench-mm.xlsx", "own.ods": "entry-bench.ods"}
"""A file to which the maker adds things of their own."""

THINGS = """
  Tab("Parts").Columns.insertByIndex(3, 1)
  At("Parts", "D5").String = "My mark"
  At("Parts", "D6").String = "red dot"
  Tab("Parts").Rows.insertByIndex(5, 1)
  At("Parts", "A1:E1").merge(True)
  Tab("Parts").Annotations.insertNew(At("Parts", "B8").CellAddress, "ask about these")
  SortDown "Parts", "A7:Y22"
  doc.DatabaseRanges.addNewByName("parts", At("Parts", "A5:Y22").RangeAddress)
  doc.DatabaseRanges.getByName("parts").AutoFilter = True
  Tab("Finish").IsVisible = False
  Tab("Lumber").Name = "Wood to buy"
  doc.Sheets.insertNewByName("My sums", 2)
  At("My sums", "A1").String = "Wood and parts"
  At("My sums", "B1").Formula = "=SUM($'Wood to buy'.$A$1:$J$40)"
  At("My sums", "B2").Formula = "=SUM(Parts.$B$7:$B$22)"
  Tab("Shop sheet").Annotations.insertNew(At("Shop sheet", "B6").CellAddress, "done on Monday")
"""
"""What the maker adds: a column, a row above the data, a merged title, a comment, another order of rows, a filter,
a tab out of sight, another name for a tab of ours, a tab with formulas, and a comment on a tab of ours."""

FACTS = """
  Say Tab("Parts").Annotations.Count & "|" & Tab("Parts").Annotations.getByIndex(0).String
  Say At("Parts", "A1").IsMerged
  Say Tab("Finish").IsVisible & "|" & Tab("Parts").IsVisible
  Say At("My sums", "A1").String & "|" & At("My sums", "B1").Formula & "|" & At("My sums", "B2").Value
  Say Tab("Shop sheet (yours)").Annotations.getByIndex(0).String
  Say Tab("Shop sheet").Annotations.Count
"""
KEPT = [
    "1|ask about these",
    "True",
    "False|True",
    "Wood and parts|=SUM($'Wood to buy'.$A$1:$J$40)|43",
    "done on Monday",
    "0",
]


def read(data: bytes, path: Path) -> Workbook:
    return by_ending(path.suffix).read(data)


@dataclass
class Round:
    """One workbook from run to run."""

    path: Path
    first: Workbook
    """As worked out, before LibreOffice saw it."""
    before: Outcome
    saved: bytes
    """As LibreOffice saved it."""
    after: Outcome
    """Of the run on what it saved."""
    again: bytes
    third: Outcome
    """Of one more run."""

    @cached_property
    def now(self) -> Workbook:
        return read(self.again, self.path)

    @cached_property
    def theirs(self) -> Workbook:
        return read(self.saved, self.path)


@pytest.fixture(scope="module")
def rounds(tmp_path_factory: pytest.TempPathFactory, office: object) -> dict[str, Round]:
    """Give every workbook after three runs, LibreOffice having recalculated and saved it after the first."""
    folder = tmp_path_factory.mktemp("rounds")
    first: dict[str, tuple[Outcome, Workbook]] = {}
    for name in SAVED:
        path = folder / name
        shutil.copy(EXAMPLES / name, path)
        first[name] = run(path, now=NOW, effort=QUICK), read(path.read_bytes(), path)
    work = [line for name in SAVED for line in _at_the_office(folder, name)]
    assert at_the_desk(folder, "\n".join(work)) == []
    found = {}
    for name, source in {**{name: name for name in SAVED}, **CROSSED, **OWN}.items():
        path = folder / f"saved-{name}"
        saved = path.read_bytes()
        after = run(path, now=LATER, effort=QUICK)
        again = path.read_bytes()
        third = run(path, now=LATER, effort=QUICK)
        before, workbook = first[source]
        found[name] = Round(path, workbook, before, saved, after, again, third)
    return found


def _at_the_office(folder: Path, name: str) -> list[str]:
    """Give what LibreOffice does with an example: recalculate it and save it, in the other format and changed too."""
    work = [f"OpenFile {quoted((folder / name).as_uri())}", "doc.calculateAll()"]
    for copy in (name, *(copy for copy, source in {**CROSSED, **OWN}.items() if source == name)):
        if copy in OWN:
            work += [THINGS, "doc.calculateAll()"]
        url = (folder / f"saved-{copy}").as_uri()
        work.append(f"SaveCopy {quoted(url)}, {quoted(FILTERS[Path(copy).suffix])}")
    return [*work, "CloseFile"]


@pytest.fixture(params=[*SAVED, *CROSSED])
def plain(request: pytest.FixtureRequest, rounds: dict[str, Round]) -> Round:
    """Give a workbook that was only recalculated and saved."""
    return rounds[request.param]


@pytest.fixture(params=[*OWN])
def own(request: pytest.FixtureRequest, rounds: dict[str, Round]) -> Round:
    """Give a workbook to which the maker added things of their own."""
    return rounds[request.param]


@pytest.fixture(params=[*SAVED, *CROSSED, *OWN])
def every(request: pytest.FixtureRequest, rounds: dict[str, Round]) -> Round:
    return rounds[request.param]


def said(page: Page) -> dict[tuple[int, int], Value]:
    """Give what a tab says, numbers without the dust of binary fractions."""
    return {
        address: float(f"{cell.value:.12g}") if isinstance(cell.value, float) else cell.value
        for address, cell in page.cells.items()
        if cell.value not in (None, "")
    }


def test_the_second_run_gives_the_same_answers_in_the_same_places(plain: Round) -> None:
    assert plain.after.ok
    assert [page.title for page in plain.now.pages] == [page.title for page in plain.first.pages]
    for page, again in zip(plain.first.pages, plain.now.pages, strict=True):
        assert said(again) == said(page), page.title
    assert (plain.now.owned, plain.now.columns) == (plain.first.owned, plain.first.columns)
    # the note of the backup alone tells of the file as it was, which the spreadsheet program wrote anew
    now, first = ({**each.notes, BACKUP: ""} for each in (plain.now, plain.first))
    assert now == first


def test_no_problem_is_new(plain: Round) -> None:
    assert [(found.code, found.place) for found in plain.after.problems] == [
        (found.code, found.place) for found in plain.before.problems
    ]


def test_a_third_run_changes_no_byte(every: Round) -> None:
    assert not every.third.written
    assert every.path.read_bytes() == every.again


def test_libreoffice_computes_what_stands_stored_to_the_cent(plain: Round) -> None:
    compared = 0
    for page in plain.first.pages:
        theirs = plain.theirs.page(page.title)
        assert theirs is not None
        for address, cell in page.cells.items():
            if cell.formula is None or cell.stale:
                continue
            found = theirs.cells[address].value
            if isinstance(cell.value, float):
                assert found == pytest.approx(cell.value, abs=1e-6), (page.title, address)
                if cell.style.format is Format.MONEY:
                    compared += 1
                    assert f"{found:.2f}" == f"{cell.value:.2f}"
            else:
                assert found == cell.value, (page.title, address)
    assert compared > 40


def test_the_file_hangs_together(every: Round) -> None:
    if every.path.suffix == ".ods":
        assert faults(every.again) == []
    else:
        assert lint(every.again, every.saved) == []


def test_nothing_but_our_tabs_and_our_cells_differs_from_what_libreoffice_saved(every: Round) -> None:
    ours = set(every.theirs.owned.values())
    answered = {tab.title for tab in TABLES if tab.answered}
    check = _same_tables if every.path.suffix == ".ods" else _same_parts
    sums = {"My sums"} & {
        page.title for page in every.theirs.pages
    }  # what follows from our cells is to be computed anew
    check(every.saved, every.again, ours, answered | sums)
    for page in every.theirs.pages:
        now = every.now.page(page.title)
        if page.title in ours | sums or now is None:
            continue
        mine = _without_answers(page, every.theirs)
        assert _without_answers(now, every.theirs) == mine
        assert mine
        assert (now.merged, now.freeze, now.names) == (page.merged, page.freeze, page.names)


def _without_answers(page: Page, workbook: Workbook) -> dict[tuple[int, int], Cell]:
    blocks = [block for title, block in workbook.columns.values() if title == page.title]
    numbers = {block.first_column for block in blocks}
    top = min((block.first_row for block in blocks), default=0)
    return {
        (row, column): cell
        for (row, column), cell in page.cells.items()
        if row < top or column not in numbers
    }


def _same_tables(before: bytes, after: bytes, ours: set[str], answered: set[str]) -> None:
    old, new = tables(before), tables(after)
    same = set(old) - ours - answered
    assert len(same) >= 4
    assert {title: new[title] for title in same} == {title: old[title] for title in same}
    was, now = parts_of(before), parts_of(after)
    lists = {"content.xml", "styles.xml", "settings.xml", "META-INF/manifest.xml"}
    for name in was:
        if name not in lists and not name.startswith("Pictures/"):
            assert now[name] == was[name], name
    for kind in ("content-validation", "database-range"):
        assert _named(after, kind) == _named(before, kind)


def _named(data: bytes, kind: str) -> dict[str | None, dict[str | bytes, str | bytes]]:
    name = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}name"
    return {each.get(name): dict(each.items()) for each in content(data).iter(f"{{*}}{kind}")}


def _same_parts(before: bytes, after: bytes, ours: set[str], answered: set[str]) -> None:
    was, now = parts_of(before), parts_of(after)
    tabs = _parts_of_tabs(was)
    free = {part for title in ours for part in tabs[title]} | {tabs[title][0] for title in answered}
    lists = {
        "[Content_Types].xml",
        "xl/workbook.xml",
        "xl/_rels/workbook.xml.rels",
        "xl/styles.xml",
        "xl/sharedStrings.xml",
    }
    same = set(was) - free - lists
    assert len(same) >= 6
    for name in same:
        assert now[name] == was[name], name


def _parts_of_tabs(parts: dict[str, bytes]) -> dict[str, list[str]]:
    """Give the parts of every tab by title: the sheet first, then all that it leads to."""
    links = _links(parts, "xl/workbook.xml")
    found = {}
    for sheet in etree.fromstring(parts["xl/workbook.xml"]).iter("{*}sheet"):
        label = next(str(value) for key, value in sheet.items() if str(key).endswith("}id"))
        reached = [links[label]]
        for name in reached:
            reached += [target for target in _links(parts, name).values() if target not in reached]
        reached += [_links_part(name) for name in reached]
        found[sheet.get("name", "")] = reached
    return found


def _links_part(name: str) -> str:
    folder, file = posixpath.split(name)
    return f"{folder}/_rels/{file}.rels"


def _links(parts: dict[str, bytes], name: str) -> dict[str, str]:
    found = parts.get(_links_part(name))
    if found is None:
        return {}
    return {
        line.get("Id", ""): posixpath.normpath(
            posixpath.join(posixpath.dirname(name), line.get("Target", ""))
        )
        for line in etree.fromstring(found)
        if line.get("TargetMode") != "External"
    }


def rows_of(workbook: Workbook) -> dict[Value, dict[str, Value]]:
    """Give the rows of Parts by name, each answer under its heading."""
    page = workbook.page("Parts")
    assert page is not None
    top = next(row for (row, column), cell in page.cells.items() if (column, cell.value) == (1, "Part"))
    headings = {column: str(cell.value) for (row, column), cell in page.cells.items() if row == top}
    rows: dict[int, dict[str, Value]] = {}
    for (row, column), value in said(page).items():
        if row > top and column in headings:
            rows.setdefault(row, {})[headings[column]] = value
    return {row["Part"]: row for row in rows.values() if "Part" in row}


def test_every_part_has_its_answers_wherever_the_maker_moved_it(own: Round) -> None:
    assert own.after.ok
    before, after = rows_of(own.first), rows_of(own.now)
    assert list(after) == sorted(before, key=str, reverse=True)
    # which board a part comes from, and how a wide part is divided, may change with the order of the rows
    headings = [column.heading for column in PARTS.answered if column.name not in ("from_stock", "remarks")]
    for part, row in before.items():
        for heading in headings:
            assert after[part].get(heading) == row.get(heading), (part, heading)
    assert {part: row["My mark"] for part, row in after.items() if "My mark" in row} == {"Leg": "red dot"}


def test_a_tab_of_ours_keeps_the_name_that_the_maker_gave_it(own: Round) -> None:
    assert own.now.owned["lumber"] == "Wood to buy"
    assert own.now.page("Lumber") is None
    titles = [page.title for page in own.now.pages]
    assert len(titles) == len(own.first.pages) + len(("My sums", "Shop sheet (yours)"))


def test_what_the_maker_did_to_our_tabs_is_said_and_nothing_else(own: Round) -> None:
    usual = {found.code for found in own.before.problems}
    assert {found.code for found in own.after.problems} - usual == {"kept-copy"}


def test_libreoffice_finds_everything_of_the_maker(rounds: dict[str, Round], tmp_path: Path) -> None:
    work = [f"OpenFile {quoted(rounds[name].path.as_uri())}\n{FACTS}\nCloseFile" for name in OWN]
    assert at_the_desk(tmp_path, "\n".join(work)) == KEPT * len(OWN)

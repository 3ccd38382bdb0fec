"""Each answer tab says when the maker's cells changed since the run, and nothing right after it, in two spreadsheet programs."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from sheetkit import run
from sheetkit.book.asked import sums_of_inputs
from sheetkit.book.formats import by_ending
from sheetkit.form.example import example_job
from sheetkit.intake.workbook import take_in
from sheetkit.page import Address, Cell, Page, Value, cell_name
from sheetkit.tabs.since import SINCE, SINCE_AT
from sheetkit.tabs.template import template_pages
from tests.book.office_desk import at_the_desk, quoted
from tests.jobs import NOW, pages, read, write
from tests.there import there

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
FILTERS = {".xlsx": "Calc MS Excel 2007 XML", ".ods": "calc8"}
PARTS = """
    Part   | Qty | Species   | Thickness | Width | Length | Note
    Leg    | 4   | White oak | 3/4       | 2     | 20     | straight grain
    Apron  | 2   | White oak | 3/4       | 4     | 30     |
    Rail   | 2   | Red oak   | 3/4       | 3     | 30     | Kärnholz außen, “dicht”
"""
CHANGED = {
    "a number": {"Parts": {"F2": "21"}},
    "a word as long as before": {"Parts": {"C4": "Cad oak"}},
    "one letter in the middle": {"Parts": {"G2": "straighd grain"}},
    "letters exchanged": {"Parts": {"A3": "Arpon"}},
    "two rows exchanged": {"Parts": {"A2": "Rail", "A4": "Leg"}},
    "a cell emptied": {"Parts": {"G4": ""}},
    "a cell filled": {"Parts": {"G3": "x"}},
    "a row far below": {"Parts": {"A400": "Leg"}},
    "a row right below": {"Parts": {"A5": "Leg"}},
    "a label's value": {"Job": {"B3": "8"}},
    "a new label": {"Job": {"A9": "Client"}},
    "a price": {"Prices": {"C2": "9.51"}},
}
KEPT = {
    "beside the answers": {"Parts": {"Z2": "mine"}},
    "on a tab of the maker's": {"Mine": {"A1": "other words"}},
}
TABLES = {"Parts": PARTS, "Mine": "words"}


def notices(path: Path) -> dict[str, Value]:
    """Give what each tab says of its age."""
    return {
        page.title: cell.value
        for page in read(path).pages
        if (cell := page.cells.get(SINCE_AT)) and SINCE in (cell.formula or "")
    }


def odd_pages() -> list[Page]:
    """Give a job with everything that cells can hold."""
    made = pages(
        {"Parts": PARTS, "Spacing": "Run | Between | Members | Member width | Note\nSlats | 40 | 5 | 2 |"}
    )
    parts = next(page for page in made if page.title == "Parts")
    notes: dict[Address, Cell] = {
        (2, 7): Cell("two\nlines"),
        (3, 7): Cell(" spaces   within "),
        (4, 7): Cell("a text longer than what is looked at, letter by letter: " * 3),
        (5, 1): Cell("Foot"), (5, 2): Cell(-0.0), (5, 3): Cell("White oak"),
        (5, 4): Cell(0.75, "3/4"), (5, 5): Cell(2 / 3 * 3, "2/3*3"), (5, 6): Cell(0.1 + 0.2 + 9.7, "0.1+0.2+9.7"),
        (5, 7): Cell("ﬁﬂ ½ 木 ₂"),
    }  # fmt: skip
    cells = {**parts.cells, **notes, (5, 2): Cell(1.0)}
    job = there(next((page for page in made if page.title == "Job"), None))
    last = job.last_row
    more = {(last + 1, 1): Cell("Date"), (last + 1, 2): Cell(date(2026, 11, 2)), (last + 2, 1): Cell("Client"), (last + 2, 2): Cell("", '""')}  # fmt: skip
    return [
        replace(page, cells={**page.cells, **(more if page is job else {})}) if page is not parts
        else replace(parts, cells=cells)
        for page in made
    ]  # fmt: skip


def uncommon_pages() -> list[Page]:
    """Give a job with what programs do not agree on."""
    made = odd_pages()
    parts = next(page for page in made if page.title == "Parts")
    spacing = next(page for page in made if page.title == "Spacing")
    return [
        replace(parts, cells={**parts.cells, (3, 7): Cell("\U0001f332 spruce")})
        if page is parts
        else replace(spacing, cells={**spacing.cells, (2, 5): Cell(True)})
        if page is spacing
        else page
        for page in made
    ]


@FORMATS
@pytest.mark.parametrize("kind", [odd_pages, uncommon_pages])
def test_nothing_is_said_right_after_a_run_in_either_program(
    tmp_path: Path, ending: str, kind: Callable[[], list[Page]], gnumeric: Callable[..., Path],
    office: object,
) -> None:  # fmt: skip
    path = tmp_path / f"job{ending}"
    path.write_bytes(by_ending(ending).render(kind()))
    outcome = run(path, now=NOW)
    assert outcome.ok, outcome.problems
    tabs = dict.fromkeys(notices(path), "")
    assert {"Summary", "Rough sizes", "Lumber", "Estimate", "Quote", "Shop sheet", "Messages"} <= set(tabs)
    assert notices(gnumeric(path)) == tabs
    at_the_desk(tmp_path, calculated_copy(path, tmp_path / f"copy{ending}"))
    assert notices(tmp_path / f"copy{ending}") == tabs


def calculated_copy(path: Path, copy: Path) -> str:
    """Give the work of opening a file, computing everything anew, and saving it."""
    target = f"{quoted(copy.as_uri())}, {quoted(FILTERS[path.suffix])}"
    return f"OpenFile {quoted(path.as_uri())}\ndoc.calculateAll()\nSaveCopy {target}\nCloseFile"


@FORMATS
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_live_fit_of_a_new_workbook_does_not_set_it_off(
    tmp_path: Path, ending: str, unit: str, gnumeric: Callable[..., Path], office: object
) -> None:
    path = tmp_path / f"job{ending}"
    path.write_bytes(
        by_ending(ending).render(
            template_pages("mm" if unit == "mm" else "in", *example_job("mm" if unit == "mm" else "in"))
        )
    )
    assert run(path, now=NOW).ok
    assert set(notices(gnumeric(path)).values()) == {""}
    at_the_desk(tmp_path, calculated_copy(path, tmp_path / f"copy{ending}"))
    assert set(notices(tmp_path / f"copy{ending}").values()) == {""}


@FORMATS
def test_every_change_of_the_makers_is_seen_at_once_and_a_run_clears_it(
    tmp_path: Path, ending: str, office: object
) -> None:
    path = write(tmp_path / f"job{ending}", TABLES)
    assert run(path, now=NOW).ok
    work = []
    for changes in (*CHANGED.values(), *KEPT.values()):
        work += [f"OpenFile {quoted(path.as_uri())}"]
        for tab, cells in changes.items():
            for cell, text in cells.items():
                setter = "Value = " + text if text.replace(".", "").isdigit() else "String = " + quoted(text)
                work += [f"At({quoted(tab)}, {quoted(cell)}).{setter}"]
        work += [f'Say At("Quote", {quoted(cell_name(*SINCE_AT))}).String', "CloseFile"]
    last = tmp_path / f"changed{ending}"
    work += [f"OpenFile {quoted(path.as_uri())}", 'At("Parts", "F2").Value = 21', 'At("Prices", "C2").Value = 9',
             f"SaveCopy {quoted(last.as_uri())}, {quoted(FILTERS[ending])}", "CloseFile"]  # fmt: skip
    said = dict(zip([*CHANGED, *KEPT], at_the_desk(tmp_path, "\n".join(work)), strict=True))
    assert said == {
        **{name: f"{SINCE} ({', '.join(changes)})" for name, changes in CHANGED.items()},
        **dict.fromkeys(KEPT, ""),
    }
    assert set(notices(last).values()) == {f"{SINCE} (Parts, Prices)"}
    assert run(last, now=NOW).ok
    at_the_desk(tmp_path, calculated_copy(last, tmp_path / f"copy{ending}"))
    assert set(notices(tmp_path / f"copy{ending}").values()) == {""}


@FORMATS
def test_a_board_noted_on_to_buy_is_seen_and_the_mark_that_a_run_gives_it_is_not(
    tmp_path: Path, ending: str, office: object
) -> None:
    path = write(tmp_path / f"job{ending}", TABLES)
    assert run(path, now=NOW).ok
    buy = there(read(path).page("To buy"))
    heading = next(row for (row, _), cell in buy.cells.items() if cell.value == "Mark")
    noted = tmp_path / f"noted{ending}"
    work = [f"OpenFile {quoted(path.as_uri())}"]
    for column, value in zip("BCDE", ['"White oak"', '"4/4"', "8", "96"], strict=True):
        setter = "String" if value.startswith('"') else "Value"
        work.append(f'At("To buy", {quoted(f"{column}{heading + 1}")}).{setter} = {value}')
    work += ['Say At("Quote", "A3").String', f"SaveCopy {quoted(noted.as_uri())}, {quoted(FILTERS[ending])}"]
    assert at_the_desk(tmp_path, "\n".join([*work, "CloseFile"])) == [f"{SINCE} (To buy)"]
    assert run(noted, now=NOW).ok
    copy = tmp_path / f"copy{ending}"
    at_the_desk(tmp_path, calculated_copy(noted, copy))
    assert set(notices(copy).values()) == {""}


@FORMATS
def test_a_change_is_seen_in_gnumerics_recalculation_too(
    tmp_path: Path, ending: str, gnumeric: Callable[..., Path]
) -> None:
    path = write(tmp_path / f"job{ending}", TABLES)
    assert run(path, now=NOW).ok
    before = read(path)
    from sheetkit.book.workbook import Change

    patches: Mapping[str, Mapping[Address, Cell]] = {
        "Parts": {(2, 7): Cell("straighd grain"), (700, 1): Cell("Leg")}
    }
    change = Change(patches=patches, columns=before.columns, notes=before.notes)
    path.write_bytes(by_ending(ending).graft(path.read_bytes(), change))
    assert set(notices(gnumeric(path)).values()) == {f"{SINCE} (Parts)"}


@FORMATS
def test_it_is_printed(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", TABLES)
    run(path, now=NOW)
    for page in read(path).pages:
        if page.key:
            area = page.print.area
            assert area is None or area.__contains__(SINCE_AT)
            assert SINCE_AT[0] not in page.hidden_rows


@FORMATS
def test_pages_that_say_not_calculated_need_no_notice(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS.replace("White oak", "Whiteish wood")})
    assert not run(path, now=NOW).ok
    assert notices(path) == {}


def test_ten_thousand_rows_are_summed_up_quickly_here_and_there(
    tmp_path: Path, gnumeric: Callable[..., Path]
) -> None:
    rows = "\n".join(
        f"Part {number} | 1 | White oak | 3/4 | 2 | 20 | a note of some length" for number in range(9_990)
    )
    made = pages({"Parts": PARTS.strip() + "\n" + rows})
    path = tmp_path / "many.xlsx"
    path.write_bytes(by_ending(".xlsx").render(made))
    workbook = read(path)
    job = take_in(workbook.pages).job
    began = time.process_time()
    sums = sums_of_inputs(job, workbook)
    assert time.process_time() - began < 3
    assert max(len(formula) for each in sums for formula in each.formulas) < 8_000
    for each in sums:
        assert sum(each.values) < 2**53 / 100
    from sheetkit.tabs.since import with_since

    tabs = with_since([Page("Messages", {(1, 1): Cell("Messages")}, key="messages")], sums)
    path.write_bytes(by_ending(".xlsx").render([*made, *tabs]))
    began = time.monotonic()
    assert notices(gnumeric(path)) == {"Messages": ""}
    assert time.monotonic() - began < 60

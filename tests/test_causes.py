"""One cell that is the cause of many messages is named first, and what follows from it stands in one line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from sheetkit.book.formats import by_ending
from sheetkit.intake.workbook import take_in
from sheetkit.jobs.run import run
from sheetkit.page import Cell, CellError, Page
from sheetkit.records.problems import Problem
from sheetkit.units import MM
from tests.jobs import BENCH, NOW, PRICES, pages

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
HEADINGS = "Part | Qty | Species | Thickness | Width | Length"
INCHES = f"{HEADINGS}\nLeg | 4 | White oak | 0.75 | 3 | 20\nRail | 2 | White oak | 0.75 | 4 | 30\nShelf | 1 | White oak | 0.75 | 9 | 30"
MILLIMETRES = f"{HEADINGS}\nLeg | 4 | White oak | 19 | 75 | 500\nRail | 2 | White oak | 19 | 100 | 762\nShelf | 1 | White oak | 19 | 230 | 762"
METRIC = BENCH.replace("inch", "mm")


def told(
    tables: Mapping[str, str], cells: Mapping[tuple[str, int, int], Cell] | None = None
) -> list[Problem]:
    return list(take_in(made(tables, cells)).problems)


def made(tables: Mapping[str, str], cells: Mapping[tuple[str, int, int], Cell] | None = None) -> list[Page]:
    """Give the tabs of text tables with some cells put in."""
    put = cells or {}
    return [
        replace(
            each, cells={**each.cells, **{at[1:]: cell for at, cell in put.items() if at[0] == each.title}}
        )
        for each in pages(tables)
    ]


# --- the unit ----------------------------------------------------------------------------------------------------


def test_inches_in_a_mm_job_are_one_error_that_names_the_unit() -> None:
    (found,) = told({"Job": METRIC, "Parts": INCHES})
    assert (found.code, found.place, found.stands) == ("unit-slip", "Job!B2", "mm")
    assert (
        found.says == "Units is mm, but sizes on Parts look like inch: 0.75 x 3 x 20 in row 2 (3 such rows)."
    )
    assert (
        found.instead
        == "Write inch in Units. If they are right as they are, write the unit in their cells, as 20 mm."
    )


def test_fractions_in_a_mm_job_follow_from_the_unit() -> None:
    (found,) = told({"Job": METRIC, "Parts": INCHES.replace("0.75", "3/4")})
    assert (found.code, found.place) == ("unit-slip", "Job!B2")
    assert "And 3 cells that follow from it: Parts!D2, Parts!D3, Parts!D4." in found.says


def test_millimeters_in_an_inch_job_are_one_error_and_lengths_too_large_follow_from_it() -> None:
    (found,) = told({"Parts": MILLIMETRES})
    assert (found.code, found.place, found.stands) == ("unit-slip", "Job!B2", "inch")
    assert "And 2 cells that follow from it: Parts!F3, Parts!F4." in found.says
    assert "write the unit in their cells, as 500 in." in found.instead


def test_small_sizes_that_name_their_unit_are_taken_as_they_stand() -> None:
    parts = INCHES.replace("| 20", "| 20 mm").replace("| 30", "| 30 mm")
    assert told({"Job": METRIC, "Parts": parts}) == []


@pytest.mark.parametrize(
    ("job", "parts"),
    [
        (METRIC, f"{HEADINGS}\nVeneer | 1 | White oak | 1.5 | 30 | 300\nPlug | 9 | White oak | 10 | 10 | 12"),
        (METRIC, f"{MILLIMETRES}\nWedge | 9 | White oak | 3 | 10 | 40"),
        (BENCH, f"{HEADINGS}\nPost | 4 | White oak | 6 | 6 | 108\nTop | 1 | White oak | 1.5 | 40 | 140"),
        (BENCH, f"{INCHES}\nBeam | 1 | White oak | 8 | 12 | 200"),
    ],
)
def test_sizes_that_are_only_small_or_large_are_no_slip_of_the_unit(job: str, parts: str) -> None:
    assert told({"Job": job, "Parts": parts}) == []


def test_boards_and_panels_of_the_other_unit_are_told_too() -> None:
    rack = "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 7.5 | 98"
    panel = "Panel | Species | Opening width | Opening height | Groove depth sides | Thickness\nDoor | White oak | 14.25 | 20 | 0.5 | 0.25"
    for tab, table in (("Boards", rack), ("Panels", panel)):
        (found,) = told({"Job": METRIC, "Parts": MILLIMETRES, tab: table})
        assert (found.code, found.place) == ("unit-slip", "Job!B2")
        assert f"sizes on {tab} look like inch" in found.says


def test_a_unit_that_cannot_be_read_is_named_before_what_follows_from_it() -> None:
    stock = "Species | Stock | Price\nWhite oak | 27 | 9\nWhite oak | thick | 9"
    first, second = told(
        {"Job": BENCH.replace("inch", "millimeter sizes"), "Parts": MILLIMETRES, "Prices": stock}
    )
    assert (first.code, first.place) == ("not-in-list", "Job!B2")
    assert first.says.endswith("And 3 cells that follow from it: Parts!F3, Parts!F4, Prices!B2.")
    assert (second.code, second.place) == ("stock-text", "Prices!B3")


# --- formulas ----------------------------------------------------------------------------------------------------

FIT = f"{BENCH.rstrip()}\nOwn width | x\nOwn length | 46\nClearance each side | 1/4\nInside width | x"
LEG = f"{HEADINGS}\nLeg | 4 | White oak | 0.75 | 3 | x\nRail | 2 | White oak | 0.75 | 4 | x"
LIVE = 'IF(Job!$B$6>0,Job!$B$6+2*Job!$B$8,"")'
BROKEN = CellError("#VALUE!")


def of_the_fit(own: str, first: str, second: str) -> dict[tuple[str, int, int], Cell]:
    return {
        ("Job", 6, 2): Cell(own),
        ("Job", 8, 2): Cell(0.25),
        ("Job", 9, 2): Cell(BROKEN, LIVE),
        ("Parts", 2, 6): Cell(BROKEN, first),
        ("Parts", 3, 6): Cell(BROKEN, second),
    }


@FORMATS
@pytest.mark.parametrize("result", [BROKEN, None])
def test_a_length_that_is_the_fit_is_computed_where_its_formula_has_no_result(
    tmp_path: Path, ending: str, result: CellError | None
) -> None:
    for unit, scale in (("inch", 1.0), ("mm", MM)):
        cells = of_the_fit('12"', "inside_width", "Job!$B$9")
        if result is None:
            cells = {
                at: Cell(None, cell.formula, stale=True) if cell.value == BROKEN else cell
                for at, cell in cells.items()
            }
        if unit == "mm":
            cells[("Job", 8, 2)] = Cell(6.35)
        sizes = "19 | 75" if unit == "mm" else "0.75 | 3"
        tabs = {
            "Job": FIT.replace("inch", unit),
            "Parts": LEG.replace("0.75 | 3", sizes).replace("0.75 | 4", sizes),
        }
        tabs["Job"] = tabs["Job"].replace("| 46", f"| {46 * scale}").replace("| 1/4", "| x")
        found = made(tabs, cells)
        intake = take_in(found)
        assert intake.problems == ()
        assert [part.length for part in intake.job.parts] == pytest.approx([12.5, 12.5])
        if result is not None:
            path = tmp_path / f"{unit}{ending}"
            named = [
                replace(each, names={"inside_width": (9, 2)}) if each.title == "Job" else each
                for each in found
            ]
            path.write_bytes(by_ending(ending).render(named))
            assert run(path, now=NOW).ok


def test_a_size_that_is_words_to_a_formula_is_named_before_what_follows_from_it() -> None:
    for own, number in (('12"', "12"), ("12 1/2 in", "12 1/2"), ("300 mm", "11 13/16")):
        cells = of_the_fit(own, "inside_width-2*1.5", "F2+1")
        (found,) = told({"Job": FIT, "Parts": LEG}, cells)
        assert (found.code, found.place, found.stands) == ("size-in-words", "Job!B6", own)
        assert found.says.endswith("And 2 cells that follow from it: Parts!F2, Parts!F3.")
        assert found.instead == f"Write the number alone, as {number}."


def test_a_cell_on_job_that_cannot_be_read_is_told_once_with_what_follows_from_it() -> None:
    cells = of_the_fit("twelve", "inside_width-1", "inside_width-2")
    found = told({"Job": FIT, "Parts": LEG}, cells)
    assert [(each.code, each.place) for each in found] == [("not-a-length", "Job!B6")]
    assert found[0].says.endswith("And 2 cells that follow from it: Parts!F2, Parts!F3.")


def test_an_error_in_a_cell_of_the_makers_own_is_named_where_it_begins() -> None:
    cells = {
        ("Parts", 2, 6): Cell(BROKEN, "Sums!A2"),
        ("Parts", 3, 6): Cell(BROKEN, "SUM(Sums!$A$1:$A$3)"),
        ("Sums", 2, 1): Cell(CellError("#DIV/0!"), "1/0"),
    }
    (found,) = told({"Parts": LEG, "Sums": "4\nx\n5"}, cells)
    assert (found.code, found.place, found.stands) == ("cell-error", "Sums!A2", "#DIV/0!")
    assert found.says.endswith("And 2 cells that follow from it: Parts!F2, Parts!F3.")


def test_formulas_that_go_in_a_circle_are_told_and_do_not_hang() -> None:
    cells = {("Parts", 2, 6): Cell(BROKEN, "F3"), ("Parts", 3, 6): Cell(BROKEN, "F2")}
    assert told({"Parts": LEG}, cells)


def test_prices_are_no_cause() -> None:
    assert told({"Parts": INCHES, "Prices": PRICES}) == []

"""Every message is triggered once, with its place, what stands there and what to write instead."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path

import pytest

import sheetkit
from sheetkit.intake.workbook import take_in
from sheetkit.page import Cell, CellError, Format, Page, Range, Style
from sheetkit.plan import answer
from sheetkit.records import problems
from sheetkit.records.messages import MESSAGES, OF_MAKING, REFUSALS
from sheetkit.records.problems import Problem
from tests.jobs import BENCH, PRICES, pages

PART = "Part | Qty | Species | Thickness | Width | Length"
GOOD = f"{PART}\nLeg | 1 | White oak | 3/4 | 2 | 20"
PANEL = "Panel | Qty | Species | Opening width | Opening height | Groove depth sides | Thickness | Measured width | Measured height"


@dataclass(frozen=True)
class Case:
    """Tables that lead to a message, the place where it stands, and cells put in by hand."""

    place: str
    tables: Mapping[str, str] = field(default_factory=dict)
    cells: Mapping[tuple[str, int, int], Cell] = field(default_factory=dict)
    merged: tuple[Range, ...] = ()


def part(row: str, heading: str = PART) -> dict[str, str]:
    return {"Parts": f"{heading}\n{row}"}


def job(lines: str, parts: str = GOOD) -> dict[str, str]:
    return {"Job": f"{BENCH.rstrip()}\n{lines}", "Parts": parts}


def panel(row: str, job_text: str = BENCH, prices: str = PRICES) -> dict[str, str]:
    return {"Job": job_text, "Parts": GOOD, "Panels": f"{PANEL}\n{row}", "Prices": prices}


FRAME = """
    Part     | Qty | Species   | Thickness | Width | Length
    Leg      | 2   | White oak | 3/4       | 3     | 30
    Post     | 2   | White oak | 3/4       | 3     | 30
    Top      | 1   | White oak | 3/4       | 5     | 60
    Low      | 1   | White oak | 3/4       | 4     | 60
    Crossing | 1   | White oak | 3/4       | 4     | 60
    Bare     | 1   | White oak | 3/4       | 4     | 60
"""
INTO = """
    Joint | Kind  | Into | From     | Thickness | Width | Depth into | At
    A     | tenon | Leg  | Top      | 1/4       | 4     | 1          | 1 1/2
    B     | tenon | Post | Top      | 1/4       | 4     | 1          | 1 1/2
    C     | tenon | Leg  | Low      | 1/4       | 3     | 1          | 18 1/2
    D     | tenon | Post | Low      | 1/4       | 3     | 1          | 20
    E     | tenon | Leg  | Crossing | 1/4       | 3     | 1          | 3
"""


def in_frame(row: str, run: str = "Head | 60 | 4 | 2 1/2") -> dict[str, str]:
    bars = " |" * (7 - row.count("|"))
    return {
        "Parts": FRAME,
        "Joints": INTO,
        "Spacing": f"Run | Between | Members | Member width | Gaps\n{run}",
        "Panels": f"Panel | Qty | Species | Opening width | Opening height | Run | Rails | Measured width | Groove depth sides | Thickness\n{row}{bars} | 1/2 | 1/2",
    }


CASES: dict[str, Case] = {
    "tab-missing": Case("Parts", {"Parts": ""}),
    "heading-missing": Case("Parts", {"Parts": "Wood | Size\nOak | 3"}),
    "column-missing": Case("Parts", {"Parts": "Part | Species | Thickness | Width\nLeg | White oak | 1 | 2"}),
    "heading-double": Case("Parts!C1", {"Parts": "Part | Species | Species | Thickness | Width | Length\nLeg | White oak | | 1 | 2 | 3"}),
    "label-double": Case("Job!A6", {"Job": BENCH + "    Job | again", "Parts": GOOD}),
    "nothing-to-do": Case("Parts", {"Parts": PART}),
    "too-many-rows": Case("Parts!A10002", part("\n".join(["Leg | 1 | White oak | 3/4 | 2 | 20"] * 10_001))),
    "empty": Case("Parts!E2", part("Leg | 1 | White oak | 3/4 | | 20")),
    "not-a-length": Case("Parts!D2", part("Leg | 1 | White oak | three | 2 | 20")),
    "bad-pieces": Case("Joints!D2", {**part("Leg | 2 | White oak | 1 | 2 | 20"), "Joints":
        "Joint | Kind | Into | Pieces | Thickness | Depth into\nHook | hardware | Leg | 2-1 | 1/4 | 1/4"}),
    "date-in-length": Case("Parts!D2", part("Leg | 1 | White oak | 1 | 2 | 20"), {("Parts", 2, 4): Cell(date(2026, 3, 4))}),
    "date-number": Case("Parts!D2", part("Leg | 1 | White oak | 46085 | 2 | 20")),
    "date-in-number": Case("Parts!B2", part("Leg | 1 | White oak | 1 | 2 | 20"), {("Parts", 2, 2): Cell(date(2026, 3, 4))}),
    "time-in-number": Case("Parts!B2", part("Leg | 1 | White oak | 1 | 2 | 20"), {("Parts", 2, 2): Cell(datetime(1899, 12, 31, 6, 30))}),
    "date-in-money": Case("Prices!C2", {"Parts": GOOD, "Prices": "Species | Stock | Price\nWhite oak | 4/4 | 46154"}),
    "share-tiny": Case("Job!B6", job("Overhead | 0.15"), {("Job", 6, 2): Cell(0.0015, style=Style(format=Format.PERCENT))}),
    "share-large": Case("Job!B6", job("Overhead | 7"), {("Job", 6, 2): Cell(7.0, style=Style(format=Format.PERCENT))}),
    "step-large": Case("Job!B6", job("Round to | 16")),
    "fraction-in-mm": Case("Parts!D2", {"Job": BENCH.replace("inch", "mm"), "Parts": f"{PART}\nLeg | 1 | White oak | 3/4 | 50 | 500"}),
    "date-in-text": Case("Parts!A2", part("Leg | 1 | White oak | 1 | 2 | 20"), {("Parts", 2, 1): Cell(date(2026, 3, 4))}),
    "date-in-name": Case("Parts!A2", part("46085 | 1 | White oak | 1 | 2 | 20")),
    "unit-slip": Case("Job!B2", part("Leg | 1 | White oak | 19 | 50 | 500")),
    "size-in-words": Case("Parts!H2", part("Leg | 1 | White oak | 1 | 2 | 20"), {("Parts", 2, 6): Cell(CellError("#VALUE!"), "H2*2"), ("Parts", 2, 8): Cell('12"')}),
    "thousands": Case("Prices!C2", {"Parts": GOOD, "Prices": "Species | Stock | Price\nWhite oak | 4/4 | 1,250 €"}),
    "not-a-number": Case("Parts!B2", part("Leg | many | White oak | 1 | 2 | 20")),
    "not-whole": Case("Parts!B2", part("Leg | 2.5 | White oak | 1 | 2 | 20")),
    "too-small": Case("Parts!D2", part("Leg | 1 | White oak | -1 | 2 | 20")),
    "too-large": Case("Parts!F2", part("Leg | 1 | White oak | 1 | 2 | 2000")),
    "not-in-list": Case("Parts!G2", part("Leg | 1 | White oak | 1 | 2 | 20 | cast", f"{PART} | Made as")),
    "species-unknown": Case("Parts!C2", part("Leg | 1 | Wite oke | 1 | 2 | 20")),
    "stock-unknown": Case("Parts!G2", part("Leg | 1 | White oak | 1 | 2 | 20 | 12/4", f"{PART} | Stock")),
    "stock-text": Case("Parts!G2", part("Leg | 1 | White oak | 1 | 2 | 20 | thick", f"{PART} | Stock")),
    "cell-error": Case("Parts!D2", part("Leg | 1 | White oak | 1 | 2 | 20"), {("Parts", 2, 4): Cell(CellError("#REF!"))}),
    "no-stored-result": Case("Parts!D2", part("Leg | 1 | White oak | 1 | 2 | 20"), {("Parts", 2, 4): Cell(None, "A1+1", stale=True)}),
    "merged": Case("Parts!D2", part("Leg | 1 | White oak | 1 | 2 | 20"), merged=(Range(2, 4, 3, 4),)),
    "bad-moisture": Case("Job!B3", {"Job": BENCH.replace("| 7", "| 70"), "Parts": GOOD}),
    "bad-humidity": Case("Job!B6", job("Driest humidity | 99", GOOD) | {"Job": BENCH.replace("Driest wood moisture   | 6", "Driest wood moisture |").rstrip() + "\nDriest humidity | 99"}),
    "bad-temperature": Case("Job!B6", job("Shop temperature | 700")),
    "drier-than-wettest": Case("Job!B4", {"Job": BENCH.replace("| 6", "| 12"), "Parts": GOOD}),
    "fits-unknown": Case("Job!B6", job("Fits | hammock")),
    "bad-tenons": Case("Parts!G2", part("Leg | 1 | White oak | 1 | 2 | 20 | long", f"{PART} | Tenons")),
    "bad-gaps": Case("Spacing!C2", {"Parts": GOOD, "Spacing": "Run | Between | Gaps\nSlats | 60 | 6; wide; 8"}),
    "span-backwards": Case("Boards!G2", {"Parts": GOOD, "Boards": "Board | Species | Stock | Width | Length | Bad from | Bad to\nA | White oak | 4/4 | 6 | 96 | 40 | 20"}),
    "span-beyond": Case("Boards!F2", {"Parts": GOOD, "Boards": "Board | Species | Stock | Width | Length | Bad from | Bad to\nA | White oak | 4/4 | 6 | 96 | 96 | 98"}),
    "board-double": Case("Boards!A3", {"Parts": GOOD, "Boards": "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 6 | 96\na | White oak | 4/4 | 6 | 96"}),
    "stave-limits": Case("Allowances!B2", {"Parts": GOOD, "Allowances": "Setting | Value\nWidest stave | 1"}),
    "profit-impossible": Case("Job!B6", job("Profit | 100 %\nProfit as | margin")),
    "waste-impossible": Case("Prices!D2", {"Parts": GOOD, "Prices": "Species | Stock | Price | Waste\nWhite oak | 4/4 | 9 | 100 %"}),
    "no-opening": Case("Panels!E2", panel("One | 1 | White oak | 14 | | 1/2 | 3/8")),
    "opening-differs": Case("Panels!D2", in_frame("P | 5 | White oak | 11 | 12 | Head |")),
    "run-unknown": Case("Panels!F2", in_frame("P | 5 | White oak | 10 | 12 | Foot |")),
    "run-no-gaps": Case("Panels!F2", in_frame("P | 5 | White oak | 10 | 12 | Head |", "Head | 60 | 40 | 2 1/2")),
    "run-panels": Case("Panels!B2", in_frame("P | 4 | White oak | 10 | 12 | Head |")),
    "run-measured": Case("Panels!H2", in_frame("P | 5 | White oak | 10 | 12 | Head | | 10 1/4")),
    "run-which-gap": Case("Panels!F2", in_frame("P | 5 | White oak | 10 | 12 | Head |", "Head | 60 | 4 | 2 1/2 | 6; rest")),
    "rails-two": Case("Panels!G2", in_frame("P | 5 | White oak | 10 | 12 | | Top; Low; Leg")),
    "rails-unknown": Case("Panels!G2", in_frame("P | 5 | White oak | 10 | 12 | | Top; Lower")),
    "quote-word-unknown": Case("Quote words!A2", {"Parts": GOOD, "Quote words": "Words of the quote | Yours\nGrand total | Gesamt"}),
    "quote-word-braces": Case("Quote words!B2", {"Parts": GOOD, "Quote words": "Words of the quote | Yours\nTotal | Gesamt {sum}"}),
    "rails-no-place": Case("Panels!G2", in_frame("P | 5 | White oak | 10 | 12 | | Top; Bare")),
    "rails-cross": Case("Panels!G2", in_frame("P | 5 | White oak | 10 | 12 | | Top; Crossing")),
    "rails-unlike": Case("Panels!G2", in_frame("P | 5 | White oak | 10 | 12 | | Top; Low")),
    "no-moisture": Case("Job!B3", panel("One | 1 | White oak | 14 | 20 | 1/2 | 3/8", BENCH.replace("| 7", "|"))),
    "no-shrinkage": Case("Panels!C2", panel("One | 1 | White spruce | 14 | 20 | 1/2 | 3/8")),
    "no-panel": Case("Panels!F2", panel("One | 1 | White oak | 14 | 20 | 0.01 | 3/8")),
    "none-thick-enough": Case("Parts!D2", part("Leg | 1 | White oak | 4 | 4 | 20")),
    "no-leaf": Case("Panels!G2", panel("One | 1 | White oak | 14 | 20 | 1/2 | 1 1/2 | 14 | 20 | resawn") | {
        "Panels": f"{PANEL} | Made as\nOne | 1 | White oak | 14 | 20 | 1/2 | 1 1/2 | 14 | 20 | resawn"}),
    "stock-too-thin": Case("Parts!G2", part("Leg | 1 | White oak | 1 | 2 | 20 | 4/4", f"{PART} | Stock")),
    "stock-straightened": Case("Parts!G2", {"Prices": "Species | Stock | Price\nWhite oak | 27 mm | 9",
        "Parts": f"{PART} | Stock\nLeg | 1 | White oak | 21 mm | 2 | 20 | 27 mm",
        "Allowances": "Up to length | Thickness | Width | Length\nbeyond | 6 mm | 1/4 | 1"}),
    "staves-too-wide": Case("Parts!H2", part("Top | 1 | White oak | 3/4 | 20 | 30 | edge-glued | 2", f"{PART} | Made as | Plies")),
    "staves-too-narrow": Case("Parts!H2", part("Top | 1 | White oak | 3/4 | 10 | 30 | edge-glued | 9", f"{PART} | Made as | Plies")),
    "provisional": Case("Panels!H2", panel("One | 1 | White oak | 14 | 20 | 1/2 | 3/8")),
    "bearing-short": Case("Panels!F2", panel("One | 1 | White oak | 22 | 20 | 1/4 | 3/8 | 22 | 20")),
    "measured-far-off": Case("Panels!H2", panel("One | 1 | White oak | 14 | 20 | 1/2 | 3/8 | 15 | 20")),
    "outside-range": Case("Panels!C2", panel("One | 1 | White oak | 14 | 20 | 1/2 | 3/8 | 14 | 20", BENCH.replace("| 11", "| 16"))),
    "group-too-large": Case("Parts!G2", part("Leaf | 4 | White oak | 3/4 | 6 | 40 | table | side by side", f"{PART} | Keep together | How")),
    "boards-short": Case("Boards", {"Parts": GOOD, "Boards": "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 6 | 15"}),
    "layout-too-large": Case("Boards", {"Parts": f"{PART}\nPeg | 5001 | White oak | 3/4 | 2 | 20", "Boards": "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 6 | 96"}),
    "unpriced": Case("Prices!C2", {"Parts": GOOD, "Prices": "Species | Stock | Price\nWhite oak | 4/4 |"}),
    "waste-assumed": Case("Prices!C2", {"Parts": GOOD, "Prices": "Species | Stock | Waste | Grade | Price\nWhite oak | 4/4 | | Q-F 1b | 9\nWhite oak | 8/4 | | FAS | 9"}),
    "assumed-stock": Case("Prices", {"Parts": GOOD, "Prices": ""}),
    "assumed-climate": Case("Job!B4", panel("One | 1 | White oak | 14 | 20 | 1/2 | 3/8", BENCH.replace("Driest wood moisture   | 6", "Driest wood moisture |"))),
    "wetter-than-use": Case("Job!B3", {"Job": BENCH.replace("| 7", "| 14"), "Parts": GOOD}),
    "drier-than-use": Case("Job!B3", {"Job": BENCH.replace("| 7", "| 4"), "Parts": GOOD}),
    "rift-as-flat": Case("Parts!G2", part("Leg | 1 | White oak | 3/4 | 2 | 20 | rift-sawn", f"{PART} | Cut")),
    "ganged": Case("Parts!F2", part("Stop | 4 | White oak | 3/4 | 2 | 5")),
    "wide-solid": Case("Parts!E2", part("Top | 1 | White oak | 3/4 | 12 | 30")),
    "regulated": Case("Job", {"Job": BENCH.replace("Bench", "Bunk bed"), "Parts": GOOD}),
    "regulated-by-size": Case("Job", {"Job": BENCH + "Fits | US twin\nTop height | 40", "Parts": GOOD}),
    "not-furniture": Case("Job", {"Job": BENCH.replace("Bench", "Loft floor"), "Parts": GOOD}),
    "can-tip": Case("Job", {"Job": BENCH.replace("Bench", "Bookcase"), "Parts": GOOD.replace("20", "60")}),
}  # fmt: skip
NOTHING_STANDS = {
    "empty", "no-opening", "no-moisture", "no-panel", "none-thick-enough", "provisional", "outside-range", "unpriced", "waste-assumed", "assumed-climate", "ganged",
}  # fmt: skip
"""Messages at a cell that is empty, or about more than what it holds."""
IN_THE_FILE = {
    "kept-copy", "column-elsewhere", "depends", "answers-covered", "rack-missing", "rack-unreadable", "rack-amiss",
}  # fmt: skip
"""Messages about files rather than the job: tests/test_run.py and tests/test_shop_rack.py trigger them."""


@pytest.mark.parametrize("name", ["Scribed shelf", "Apricot box", "Cottage table", "Desk"])
def test_a_word_that_only_holds_that_of_a_regulated_piece_is_none(name: str) -> None:
    tables = {"Job": BENCH.replace("Bench", name), "Parts": GOOD}
    assert "regulated" not in [found.code for found in problems_of(Case("Job", tables))]


@pytest.mark.parametrize("cell", ["1" + "0" * 400 + "/3", "9" * 5000, "1 " + "9" * 5000 + "/3"])
def test_a_number_without_end_is_a_bad_cell(cell: str) -> None:
    found = problems_of(Case("Parts!D2", part(f"Leg | 1 | White oak | {cell} | 2 | 20")))
    assert [(each.code, each.cell) for each in found] == [("not-a-length", "D2")]


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("Qty", "1e-13"),
        ("Width", "1e-200"),
        ("Length", "0.00001"),
        ("Thickness", "1e-320"),
        ("Tenons", "1 + 0.00001"),
        ("Stock", "1e-9 in"),
    ],
)
def test_a_number_next_to_nothing_is_a_bad_cell(column: str, cell: str) -> None:
    row = {
        "Part": "Leg",
        "Qty": "1",
        "Species": "White oak",
        "Thickness": "1",
        "Width": "2",
        "Length": "20",
        "Tenons": "",
        "Stock": "",
    }
    row[column] = cell
    tables = {"Parts": f"{' | '.join(row)}\n{' | '.join(row.values())}"}
    (found,) = (each for each in problems_of(Case("", tables)) if each.weight == "error")
    assert found.code == {"Tenons": "bad-tenons", "Stock": "stock-text"}.get(column, "too-small")
    assert found.column == list(row).index(column) + 1


def test_stock_too_thin_for_a_surfaced_size_measures_what_it_is_called() -> None:
    thin = {"Parts": "Part | Species | Thickness | Width | Length | Stock\nBack | White oak | 3/16 | 2 | 20 | 1/8",
            "Prices": "Species | Stock | Price\nWhite oak | 1/8 | 4\nWhite oak | 4/4 | 9",
            "Allowances": "Setting | Value\nStock measures as | surfaced"}  # fmt: skip
    assert {each.code for each in problems_of(Case("", thin))} == {"stock-too-thin"}


def test_a_panel_too_short_for_its_frame_blames_the_groove_that_is_too_shallow() -> None:
    heading = f"{PANEL} | Groove depth ends"
    for sides, ends, cell, word in (("1/2", "1/64", "J2", "along"), ("1/64", "1/2", "F2", "across")):
        tables = panel("") | {
            "Panels": f"{heading}\nOne | 1 | White oak | 14 | 20 | {sides} | 3/8 | 14 | 20 | {ends}"
        }
        (found,) = (each for each in problems_of(Case("", tables)) if each.code == "no-panel")
        assert found.cell == cell
        assert f"{word} the grain" in found.says


def problems_of(case: Case) -> list[Problem]:
    made = []
    for page in pages(case.tables):
        cells = dict(page.cells)
        cells.update(
            {(row, column): cell for (title, row, column), cell in case.cells.items() if title == page.title}
        )
        made.append(Page(page.title, cells, merged=case.merged if page.title == "Parts" else ()))
    intake = take_in(made)
    if any(found.weight == "error" for found in intake.problems):
        return list(intake.problems)
    return [*intake.problems, *answer(intake.job, 0.1).problems]


@pytest.mark.parametrize("code", CASES)
def test_a_message_names_its_cell_and_says_what_to_write(code: str) -> None:
    found = [problem for problem in problems_of(CASES[code]) if problem.code == code]
    assert found, code
    assert found[0].place == CASES[code].place
    assert found[0].says
    assert found[0].instead
    assert "{" not in found[0].says + found[0].instead
    assert bool(found[0].stands) == (
        (bool(found[0].cell) and code not in NOTHING_STANDS)
        or code in ("regulated", "regulated-by-size", "not-furniture", "can-tip")
    )


@pytest.mark.parametrize(
    ("code", "stands"),
    [("bad-moisture", "70"), ("bad-humidity", "99"), ("profit-impossible", "100%"), ("span-backwards", "20"), ("too-large", "2000"),
     ("date-number", "46085"), ("no-stored-result", "=A1+1"), ("cell-error", "#REF!"), ("drier-than-wettest", "12.0")],
)  # fmt: skip
def test_what_stands_there_is_shown_as_the_maker_wrote_it(code: str, stands: str) -> None:
    assert [found.stands for found in problems_of(CASES[code]) if found.code == code] == [stands]


def test_every_refusal_has_words_and_all_words_are_used() -> None:
    source = "\n".join(path.read_text("utf-8") for path in Path(sheetkit.__file__).parent.rglob("*.py"))
    raised = set(re.findall(r'Refused\(\s*"([^"]+)"', source))
    assert raised <= set(REFUSALS)
    without_words = source.replace(Path(problems.__file__).read_text("utf-8"), "")
    assert [reason for reason in REFUSALS if f'"{reason}"' not in without_words] == []


def test_every_message_has_a_case() -> None:
    assert set(MESSAGES) - set(OF_MAKING) == set(CASES) | IN_THE_FILE


def test_all_problems_are_collected_at_once() -> None:
    rows = "\n".join(
        [
            "Leg | many | White oak | 1 | 2 | 20",
            "Rail | 1 | Wite oke | 1 | 2 | 20",
            "Top | 1 | White oak | x | | 20",
        ]
    )
    codes = [problem.code for problem in problems_of(Case("", part(rows)))]
    assert codes == ["not-a-number", "species-unknown", "not-a-length", "empty"]

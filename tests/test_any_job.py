"""Whole jobs by chance, sensible rows in every tab, through whole runs: what must hold of any job holds of these.

A few in the suite; many by hand: SHEETKIT_JOBS=500 python -m pytest tests/test_any_job.py
"""

from __future__ import annotations

import json
import os
from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Refused, Workbook
from sheetkit.data.plain import as_json
from sheetkit.jobs.client import client_copy
from sheetkit.jobs.run import Outcome, run
from sheetkit.page import Value
from sheetkit.records.answers import Answers
from sheetkit.records.wood import Blank, LumberLine, StockLayout
from sheetkit.tabs.template import template_pages
from sheetkit.units import MM, Unit
from tests.jobs import NOW, read
from tests.schema import fitting

Row = Mapping[str, str]
JOBS = int(os.environ.get("SHEETKIT_JOBS", "12"))
WOODS = ("White oak", "Black cherry", "Sugar maple", "Yellow-poplar")
NAMES = ("Leg", "Rail, top", "Rail, low", "Shelf", "Seat", "Stile", "Slat", "Ledge")
EPS = 1e-6


def size(low: float, high: float, unit: Unit) -> st.SearchStrategy[str]:
    """Give a length between two inches, as a person writes it in the job's unit."""
    sixteenths = st.integers(round(low * 16), round(high * 16))
    if unit == "mm":
        return sixteenths.map(lambda count: f"{count * MM / 16:.0f}")

    def words(count: int) -> str:
        whole, rest = divmod(count, 16)
        return f"{whole} {rest}/16" if rest and whole else f"{rest}/16" if rest else f"{whole}"

    return sixteenths.map(words)


def one(*words: str) -> st.SearchStrategy[str]:
    return st.sampled_from(words)


def count(low: int, high: int) -> st.SearchStrategy[str]:
    return st.integers(low, high).map(str)


def rows(least: int, most: int, name: str, **columns: st.SearchStrategy[str]) -> st.SearchStrategy[list[Row]]:
    """Give some rows of a tab, each with a name of its own in the first column."""

    def named(found: list[dict[str, str]]) -> list[Row]:
        return [{name: f"{name.capitalize()} {number}", **row} for number, row in enumerate(found, 1)]

    return st.lists(st.fixed_dictionaries(columns), min_size=least, max_size=most).map(named)


@st.composite
def jobs(draw: st.DrawFn) -> tuple[Unit, Row, Mapping[str, Sequence[Row]]]:
    """Give unit, labels and rows of a job."""
    unit: Unit = draw(st.sampled_from(("in", "mm")))
    wood, part = one(*WOODS), one(*NAMES)

    def length(low: float, high: float) -> st.SearchStrategy[str]:
        return size(low, high, unit)

    labels = {
        "job": "Any job", "moisture_now": draw(count(6, 10)), "moisture_driest": "6", "moisture_wettest": draw(count(11, 13)),
        "hourly_rate": draw(count(0, 90)), "profit": draw(one("", "0 %", "20 %")), "profit_as": draw(one("markup", "margin")),
        "overhead": draw(one("", "15 %")), "tax": draw(one("", "7.5 %")), "deposit": draw(one("", "50 %")), "alternatives": draw(one("", "White ash")),
        "measure": draw(one("exact", "NHLA tally") if unit == "in" else one("m3")),
    }  # fmt: skip
    parts = draw(rows(1, 8, "part", qty=count(1, 9), species=wood, thickness=length(0.5, 2.5), width=length(0.75, 14), length=length(2, 70),
                      tenons=one("", "1", "3/4 + 0") if unit == "in" else one("", "25", "20 + 0"), made_as=one("solid", "solid", "face-glued", "edge-glued"),
                      cut=one("flat", "quarter", "either"), together=one("", "", "", "a", "b"), how=one("same board", "side by side", "end to end"),
                      rise=one("", "", "1/2" if unit == "in" else "12")))  # fmt: skip
    parts = [
        {**row, "part": name, "how": row["how"] if row["together"] else ""}
        for name, row in zip(NAMES, parts, strict=False)
    ]
    ways = {label: draw(one("same board", "side by side")) for label in "ab"}
    parts = [{**row, "how": ways.get(row["together"], "")} for row in parts]
    filled: dict[str, Sequence[Row]] = {
        "Parts": parts,
        "Panels": draw(rows(0, 4, "panel", qty=count(1, 4), species=wood, opening_width=length(5, 26), opening_height=length(5, 30),
                            measured_width=one("", ""), groove_sides=length(0.375, 0.625), groove_width=length(0.25, 0.5), thickness=length(0.25, 0.5),
                            grain=one("up", "across"), cut=one("flat", "quarter"), made_as=one("edge-glued", "resawn", "bookmatched"))),
        "Joints": draw(rows(0, 4, "joint", qty=count(1, 8), kind=one("tenon", "loose tenon", "dowel", "groove"), into=part, from_part=part,
                            thickness=length(0.25, 0.5), width=length(0.5, 3), depth_into=length(0.5, 1.5), at=length(0.5, 12))),
        "Spacing": draw(rows(0, 2, "run", between=length(10, 60), members=count(2, 12), member_width=length(0.5, 0.75))),
        "Shapes": draw(rows(0, 2, "shape", kind=one("arc", "bent strip"), length=length(10, 60), rise=length(0.25, 2), stations=count(2, 12))),
        "Loads": draw(rows(0, 2, "member", species=wood, thickness=length(0.75, 2), width=length(2, 12), span=length(12, 60), load=count(20, 400),
                           bears_as=one("resting, spread", "resting, center", "fixed, center"), shared_by=count(1, 8))),
        "Glue-ups": draw(rows(0, 2, "step", joints=count(1, 16), adhesive=one("PVA", "liquid hide glue", "slow epoxy"), minutes=one("1/2", "1"),
                              across=length(4, 40), along=length(10, 60))),
        "Finish": draw(rows(0, 3, "step", product=one("shellac", "hardwax oil"), coats=count(1, 4), hours=count(1, 24), grit=one("", "220"), parts=one("all"))),
        "Boards": draw(rows(0, 8, "board", species=wood, stock=one("4/4", "8/4"), width=length(4, 10), length=length(40, 120),
                            bad_from=one("", "", "20" if unit == "in" else "500"))),
        "Prices": [{"species": name, "stock": stock, "price": draw(count(3, 20)), "waste": draw(one("15 %", "0.25"))}
                   for name in WOODS for stock in ("4/4", "8/4", "12/4", "16/4")],
        "Extras": draw(rows(0, 3, "item", qty=count(1, 20), unit_price=one("0.5", "3.25", "120"))),
        "Labor": draw(rows(0, 3, "operation", counted_by=one("job", "part", "blank", "joint", "groove", "recess", "panel", "surface"), minutes=count(1, 60))),
    }  # fmt: skip
    return unit, labels, filled


def value_beside(workbook: Workbook, tab: str, label: str, right: int = 1) -> Value:
    """Give what stands so many columns right of the first cell that begins with a label."""
    page = workbook.page(tab)
    assert page is not None
    row, column = next(
        at
        for at, cell in sorted(page.cells.items())
        if isinstance(cell.value, str) and cell.value.startswith(label)
    )
    return page.cells[row, column + right].value


def hold_blanks(results: Answers) -> None:
    """Every blank is at least as large as what is cut from it, and there are enough."""
    for blank in results.blanks:
        assert min(blank.width, blank.length, blank.thickness) > 0
        assert blank.count >= 1
    for found in results.parts:
        part = found.part
        for blank in found.blanks:
            assert blank.length >= part.length - EPS
            if blank.role == "piece":
                assert blank.width >= part.width - EPS
                assert blank.thickness >= part.thickness - EPS
        pieces = sum(
            blank.count * blank.along * blank.across for blank in found.blanks if blank.role == "piece"
        )
        assert not any(blank.role == "piece" for blank in found.blanks) or pieces >= part.qty
        glued = [blank for blank in found.blanks if blank.role == "stave"]
        assert all(blank.width * blank.per_glue_up >= part.width - EPS for blank in glued)


def hold_panels(results: Answers) -> None:
    """No panel is larger than its opening with both grooves, nor so small that it would fall out today."""
    for found in results.panels:
        panel = found.panel
        width, height = (
            panel.measured_width or panel.opening_width,
            panel.measured_height or panel.opening_height,
        )
        assert width is not None
        assert height is not None
        assert 0 < found.width <= width + 2 * (panel.groove_sides or 0) + EPS
        assert 0 < found.height <= height + 2 * (panel.groove_ends or panel.groove_sides or 0) + EPS
        assert found.clearance >= -EPS


def hold_layout(laid: StockLayout) -> None:
    """No blank is cut twice or more often than asked for; no two share wood; none reaches beyond its board."""
    placed = [piece for board in laid.layout.boards for piece in board.placed]
    assert max(Counter((piece.piece, piece.number, piece.stave) for piece in placed).values(), default=1) == 1
    missing = Counter({each.piece.id: each.count for each in laid.layout.missing})
    for number, blank in enumerate(laid.blanks):
        cut = {piece.number for piece in placed if piece.piece == str(number)}
        assert len(cut) + missing[str(number)] == blank.count // (
            blank.per_glue_up if _is_free(blank, placed, number) else 1
        )
    assert len({board.board.id for board in laid.layout.boards}) == len(laid.layout.boards)
    for board in laid.layout.boards:
        for piece in board.placed:
            assert -EPS <= piece.x <= piece.x + piece.length <= board.board.length + EPS
            assert -EPS <= piece.y <= piece.y + piece.width <= board.board.width + EPS
        for a, b in combinations(board.placed, 2):
            across = min(a.y + a.width, b.y + b.width) - max(a.y, b.y)
            along = min(a.x + a.length, b.x + b.length) - max(a.x, b.x)
            assert min(across, along) <= EPS, (board.board.id, a, b)


def _is_free(blank: Blank, placed: Sequence[object], number: int) -> bool:
    """Whether the search chose the staves of a glued-up width; in a group they are blanks like others."""
    return blank.role == "stave" and not blank.together


def hold_sums(workbook: Workbook, results: Answers) -> None:
    """The tabs agree with each other on how much wood it is."""
    net = sum(
        blank.count
        * (blank.stock.nominal if results.job.sheet.measure == "m3" else max(blank.stock.nominal, 1.0))
        * blank.width
        * blank.length
        / 144
        for blank in results.blanks
    )
    metric = results.job.sheet.measure == "m3"
    shown, close = (net * 0.002359737216, 0.002) if metric else (net, 0.02)
    assert value_beside(workbook, "Summary", "Lumber in the blanks") == pytest.approx(
        shown, abs=close, rel=1e-3
    )
    assert value_beside(workbook, "Rough sizes", "All", 8) == pytest.approx(shown, abs=close, rel=1e-3)
    assert sum(line.net for line in results.lumber) == pytest.approx(net)
    assert sum(line.blanks for line in results.lumber) == sum(blank.count for blank in results.blanks)
    assert value_beside(workbook, "Rough sizes", "All") == sum(blank.count for blank in results.blanks)
    assert all(
        line.buy >= line.net - tallied_away(line, results) - EPS
        for line in results.lumber
        if not any(blank.role == "stave" for blank in results.blanks)
    )


def tallied_away(line: LumberLine, results: Answers) -> float:
    """Return the most that a tally leaves out [bf]: it counts the face of each board to the whole foot."""
    tally = results.job.sheet.measure == "NHLA tally"
    return len(line.boards) * max(line.stock.nominal, 1.0) if tally else 0.0


def hold_money(outcome: Outcome) -> None:
    """A price covers what it is made of, and nothing costs less than nothing."""
    assert outcome.answers is not None
    assert outcome.answers.costs is not None
    for line in outcome.answers.lumber:
        assert line.cost is None or line.cost >= 0


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_what_must_hold_of_any_job_holds_of_jobs_by_chance(
    tmp_path_factory: pytest.TempPathFactory, ending: str
) -> None:
    folder: Path = tmp_path_factory.mktemp("jobs")
    worked = 0

    @settings(max_examples=JOBS, deadline=None, derandomize="SHEETKIT_JOBS" not in os.environ, database=None,
              suppress_health_check=list(HealthCheck), phases=[Phase.generate])  # fmt: skip
    @given(jobs())
    def holds(job: tuple[Unit, Row, Mapping[str, Sequence[Row]]]) -> None:
        nonlocal worked
        path = folder / f"job{ending}"
        path.write_bytes(by_ending(ending).render(template_pages(*job)))
        outcome = run(path, now=NOW, effort=0.02)
        once = path.read_bytes()
        fitting(json.loads(as_json(outcome.plain())))
        if outcome.answers is None:
            assert any(found.weight == "error" and found.says and found.instead for found in outcome.problems)
            with pytest.raises(Refused):
                client_copy(once)
        else:
            worked += 1
            hold_blanks(outcome.answers)
            hold_panels(outcome.answers)
            hold_money(outcome)
            for laid in outcome.answers.layouts:
                hold_layout(laid)
            hold_sums(read(path), outcome.answers)
            assert client_copy(once).data
        assert not run(path, effort=0.02).written
        assert path.read_bytes() == once

    holds()
    assert worked > JOBS / 3, "too few of the jobs could be worked out"

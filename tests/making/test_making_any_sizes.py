"""Whatever sizes stand in the cells: each row is answered or told, and nothing raises."""

from __future__ import annotations

import math

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from sheetkit.intake.workbook import take_in
from sheetkit.page import Cell
from sheetkit.records.work import Opening
from sheetkit.tabs.draft import Measure
from sheetkit.tabs.shop_lines import shop_line
from tests.jobs import pages
from tests.making.making_jobs import PARTS, answered

SIZE = st.sampled_from(["1/64", "1/4", "3/8", "3/4", "1", "1 3/4", "2 1/2", "7", "12.3", "48", "400"])
OR_NONE = st.one_of(st.just(""), SIZE)
COUNT = st.sampled_from(["1", "2", "4", "9", "31"])
NAMES = st.sampled_from(["", "Post", "Rail", "Board", "Lid", "Nobody"])


@st.composite
def tables(draw: st.DrawFn) -> dict[str, str]:
    def row(*cells: object) -> str:
        return " | ".join(str(draw(cell) if isinstance(cell, st.SearchStrategy) else cell) for cell in cells)

    kind = st.sampled_from(["tenon", "loose tenon", "dowel", "groove", "stopped groove", "hardware"])
    shape = st.sampled_from(["arc", "bent strip", "taper", "taper two faces"])
    bears = st.sampled_from(["resting, spread", "fixed, center", "cantilever, end"])
    glue = st.sampled_from(["PVA", "hot hide glue", "slow epoxy"])
    product = st.sampled_from(["", "shellac", "hardwax oil"])
    parts = [row(name, COUNT, "White oak", SIZE, SIZE, SIZE, st.sampled_from(["", "1", "1 + 0"]))
             for name in ("Post", "Rail", "Board")]  # fmt: skip
    joints = [
        row(f"J{number}", COUNT, kind, NAMES, NAMES, SIZE, OR_NONE, SIZE, OR_NONE, OR_NONE)
        for number in range(draw(st.integers(1, 5)))
    ]
    return {
        "Parts": "\n".join(["Part | Qty | Species | Thickness | Width | Length | Tenons", *parts]),
        "Joints": "\n".join(["Joint | Qty | Kind | Into | From | Thickness | Width | Depth into | Depth from | At", *joints]),
        "Spacing": "Run | Between | Members | Largest gap | Member width | First at\n"
                   + row("R", SIZE, st.one_of(st.just(""), COUNT), OR_NONE, st.sampled_from(["1/4", "3", "50"]), OR_NONE),
        "Shapes": "Shape | Kind | Length | Rise | Small end | Start\n" + row("S", shape, SIZE, OR_NONE, OR_NONE, OR_NONE),
        "Loads": "Member | Species | Thickness | Width | Span | Load | Held as | Shared by\n"
                 + row("L", "Red oak", SIZE, SIZE, SIZE, COUNT, bears, COUNT),
        "Glue-ups": "Step | Joints | Adhesive | Minutes a joint | Glue area | Across clamps | Along\n"
                    + row("G", st.one_of(st.just(""), COUNT), glue, COUNT, st.sampled_from(["", "0", "90"]), OR_NONE, OR_NONE),
        "Finish": "Step | Product | Coats | Coverage | Hours to next | Grit | Parts\n"
                  + row("F", product, COUNT, st.sampled_from(["", "400"]), st.sampled_from(["", "0", "40"]),
                        st.sampled_from(["", "80", "320, 80, 0", "fine"]), st.sampled_from(["", "all", "Post, Lid"])),
    }  # fmt: skip


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(tables())
def test_any_sizes_are_answered_or_told_and_never_raise(given_tables: dict[str, str]) -> None:
    # sizes that look like those of the other unit are asked about before anything is answered
    told = take_in(pages({"Parts": PARTS, **given_tables})).problems
    assume("unit-slip" not in [each.code for each in told])
    found = answered(given_tables)
    for tab in ("Joints", "Loads", "Glue-ups", "Finish"):
        assert found.cells[tab]
    for tab in ("Spacing", "Shapes"):
        row = found.cells[tab][2]
        assert row["remarks"] != Cell() or any(cell != Cell() for cell in row.values())
    for rows in found.cells.values():
        for row in rows.values():
            for name, cell in row.items():
                assert isinstance(cell, Cell)
                if isinstance(cell.value, float):
                    assert math.isfinite(cell.value)
                    assert cell.value >= 0 or name == "wall"
    measure = Measure.of(found.results.job.sheet)
    for step in found.results.work:
        for line in step.lines:
            if not isinstance(line, Opening):  # drawn as a row to write in
                assert shop_line(line, step.task, measure).setting
    for stick in found.results.sticks:
        assert [mark.at for mark in stick.marks] == sorted(mark.at for mark in stick.marks)

"""Random jobs through the search and the independent checker."""

from __future__ import annotations

from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from sheetkit.calc.layout import (
    END_TO_END,
    SAME_BOARD,
    SIDE_BY_SIDE,
    BadSpot,
    Board,
    GlueUp,
    Piece,
    Saw,
    lay_out,
)


def eighths(low: int, high: int) -> st.SearchStrategy[float]:
    return st.integers(low * 8, high * 8).map(lambda n: n / 8)


millimeters = st.integers(40, 150).map(lambda n: n / 25.4)


@st.composite
def jobs(draw: Any) -> tuple[list[Piece], list[Board], Saw]:
    pieces = []
    for i in range(draw(st.integers(1, 5))):
        width = draw(st.one_of(eighths(1, 6), millimeters))
        length = draw(st.one_of(eighths(6, 40), st.integers(150, 1000).map(lambda n: n / 25.4)))
        count = draw(st.integers(1, 4))
        what = draw(st.sampled_from(["", "", "glue", "group"]))
        if what == "glue":
            glue = GlueUp(2.0, draw(eighths(3, 6)), draw(st.sampled_from([0.0, 0.125])), 8)
            pieces.append(Piece(f"p{i}", draw(eighths(5, 15)), length, min(count, 2), glue_up=glue))
        elif what == "group":
            how = draw(st.sampled_from([SIDE_BY_SIDE, END_TO_END, SAME_BOARD]))
            pieces.append(Piece(f"p{i}", width / 2 + 0.5, length, min(count, 3), f"g{i % 2}{how}", how))
        else:
            pieces.append(Piece(f"p{i}", width, length, count))
    boards = []
    for i in range(draw(st.integers(1, 6))):
        width, length = draw(eighths(4, 10)), draw(eighths(30, 100))
        bad = []
        for _ in range(draw(st.integers(0, 2))):
            x0 = draw(st.floats(0, 80))
            x1 = x0 + draw(st.floats(0.5, 6))
            y0 = draw(st.one_of(st.none(), st.floats(0, 8)))
            bad.append(BadSpot(x0, x1, y0, None if y0 is None else y0 + draw(st.floats(0.2, 3))))
        trim = draw(st.sampled_from([0.0, 1.0]))
        board = Board(
            f"b{i}",
            width,
            length,
            width * length / 144,
            width * length / 144,
            tuple(bad),
            trim,
            trim,
            trim / 4,
        )
        boards.append(board)
    kerf = draw(st.sampled_from([0.0, 0.125, 3.2 / 25.4]))
    return pieces, boards, Saw(kerf, kerf, draw(st.booleans()), 18.0)


QUICK = settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=list(HealthCheck),
    phases=[Phase.explicit, Phase.generate],  # shrinking would run the search for minutes
)


@QUICK
@given(jobs())
def test_every_random_job_is_cut_as_promised(checked: Any, job: tuple[list[Piece], list[Board], Saw]) -> None:
    pieces, boards, saw = job
    checked(pieces, boards, saw, lay_out(pieces, boards, saw, effort=0.05))

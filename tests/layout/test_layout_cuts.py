"""The cuts in their order, followed one by one by the check of every layout: see conftest."""

from __future__ import annotations

import random
from typing import Any

import pytest

from sheetkit.calc.layout import BadSpot, Board, Layout, Piece, Saw, lay_out
from sheetkit.calc.layout.cuts import cuts_of
from sheetkit.calc.layout.model import Cut, Placed, Section, Strip
from sheetkit.calc.layout.pattern import Pattern, SectionCut, StripCut
from sheetkit.calc.layout.realize import realize
from sheetkit.calc.layout.task import task_of

SAW = Saw(0.125, 0.125)
BOARD = Board("A", 8.0, 96.0, 4.0)


def row(
    *pieces: tuple[str, float, float], width: float, x: float = 0.0, y: float = 0.0, number: int = 1
) -> Strip:
    """Give a strip of pieces, each of a name, width and length."""
    placed = []
    for count, (name, wide, length) in enumerate(pieces, 1):
        placed.append(Placed(name, count, x, y, length, wide))
        x += length + SAW.crosscut_kerf
    return Strip(number, y, width, tuple(placed))


def told(cuts: tuple[Cut, ...]) -> list[tuple[str, float, tuple[str, ...]]]:
    return [(cut.purpose, cut.size, cut.pieces) for cut in cuts]


def test_neighbors_of_one_width_are_ripped_at_once_before_they_are_parted() -> None:
    strip = row(("a", 4.0, 30.0), ("b", 3.0, 20.0), ("b", 3.0, 20.0), width=4.0)
    cuts = cuts_of(BOARD, [Section(1, 0.0, 80.0, (strip,))], SAW)
    assert told(cuts)[2:] == [
        ("piece", 30.0, ("a",)),
        ("piece", 40.125, ("b", "b")),
        ("trim to width", 3.0, ("b", "b")),
        ("piece", 20.0, ("b",)),
    ]


def test_a_short_piece_is_ripped_with_the_waste_behind_it_and_a_long_one_is_not() -> None:
    for length, order in ((12.0, ["trim to width", "piece"]), (18.0, ["piece", "trim to width"])):
        strip = row(("a", 4.0, 30.0), ("b", 3.0, length), width=4.0)
        cuts = cuts_of(BOARD, [Section(1, 0.0, 80.0, (strip,))], SAW)
        assert [cut.purpose for cut in cuts][3:] == order


def test_no_sliver_is_ripped_off_a_rough_blank() -> None:
    # a kerf of 1/8 and 1/4 beside it go when the blank is ripped to its width
    for width, ripped in ((3.625, False), (3.5, True)):
        strip = row(("a", 4.0, 30.0), ("b", width, 20.0), width=4.0)
        cuts = cuts_of(BOARD, [Section(1, 0.0, 60.0, (strip,))], SAW)
        assert ("trim to width" in [cut.purpose for cut in cuts]) == ripped


def test_what_waits_is_neither_ripped_nor_parted_and_cut_off_only_from_what_does_not() -> None:
    wait = row(("w", 3.0, 30.0), ("w", 3.0, 30.0), width=3.0)
    both = [
        row(("w", 4.0, 20.0), x=61.0, width=4.0),
        row(("a", 3.0, 20.0), x=61.0, y=4.125, width=3.0, number=2),
    ]
    sections = [Section(1, 0.0, 60.125, (wait,)), Section(2, 61.0, 20.0, tuple(both))]
    assert told(cuts_of(BOARD, sections, SAW, {"w"})) == [
        ("keep length", 60.125, ("w", "w")),
        ("off bad length", 0.0, ()),
        ("section", 20.0, ()),
        ("keep width", 4.0, ("w",)),
        ("strip", 3.0, ("a",)),
    ]
    assert told(cuts_of(BOARD, sections, SAW, {"w", "a"})) == []


def test_a_section_of_one_strip_is_parted_so_that_what_waits_stays_as_wide_as_the_board(checked: Any) -> None:
    pieces = [Piece("w", 5.0, 30.0, waits=True), Piece("a", 5.0, 24.0)]
    boards = [Board("A", 6.0, 54.125, 3.0)]
    out = lay_out(pieces, boards, SAW, effort=0.1)
    checked(pieces, boards, SAW, out)
    (laid,) = out.boards
    assert "w" not in [name for cut in laid.cuts if cut.kind == "rip" for name in cut.pieces]


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("rip_first", [False, True], ids=["crosscut first", "rip first"])
def test_the_cuts_of_any_layout_free_every_piece_and_leave_alone_what_waits(
    checked: Any, seed: int, rip_first: bool
) -> None:
    rng = random.Random(seed)
    pieces = [
        Piece(
            f"p{n}",
            rng.randrange(12, 48) / 8,
            rng.randrange(48, 200) / 4,
            rng.choice((1, 2, 4)),
            waits=rng.random() < 0.4,
        )
        for n in range(8)
    ]
    bad = ((), (BadSpot(30.0, 34.0),), (BadSpot(40.0, 42.0, 0.0, 1.0),))[seed % 3] if not rip_first else ()
    boards = [Board(f"B{n}", 6.0 + n, 100.0, 6.0 + n, 0.0, bad, 1.0, 1.0, 0.25) for n in range(6)]
    saw = Saw(0.125, 0.125, rip_first, 18.0, 96.0)
    checked(pieces, boards, saw, lay_out(pieces, boards, saw, effort=0.05))


def test_a_strip_is_ripped_to_its_widest_piece_at_once(checked: Any) -> None:
    """Two sections may share a setting; a piece that is narrower than it would be ripped twice."""
    pieces = [Piece("a", 3.0, 40.0, 2)]
    task = task_of(pieces, [BOARD], SAW)
    wide, other = (round(width * task.scale) for width in (4.0, 3.0))
    cut = SectionCut(0, round(40 * task.scale), [StripCut(wide, [0]), StripCut(other, [0])])
    boards, _ = realize(task, pieces, [BOARD], SAW, [Pattern(0, [cut])])
    checked(pieces, [BOARD], SAW, Layout(boards, (), (), (), 4.0, 0.0, 0.0))
    rips = [cut for cut in boards[0].cuts if cut.kind == "rip"]
    assert [cut.purpose for cut in rips] == ["strip", "strip"]
    assert [cut.size for cut in rips] == pytest.approx([3.0, 3.0], abs=0.01)

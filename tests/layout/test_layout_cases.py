"""What a maker expects of a layout, case by case."""

from __future__ import annotations

import json
import random
import subprocess
import sys
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from sheetkit.calc.layout import (
    END_TO_END,
    SAME_BOARD,
    SIDE_BY_SIDE,
    BadSpot,
    Board,
    GlueUp,
    Layout,
    Piece,
    Saw,
    ToBuy,
    lay_out,
    missing_pieces,
    to_buy,
)

ROOT = Path(__file__).resolve().parents[2]
SAW = Saw(0.125, 0.125, False, 12.0)


def rack(*sizes: tuple[float, float], **more: Any) -> list[Board]:
    return [Board(f"A{i + 1}", w, n, w * n / 144, w * n / 144, **more) for i, (w, n) in enumerate(sizes)]


def laid(
    checked: Any, pieces: list[Piece], boards: list[Board], saw: Saw = SAW, effort: float = 0.1
) -> Layout:
    out = lay_out(pieces, boards, saw, effort=effort)
    checked(pieces, boards, saw, out)
    return out


def test_equal_blanks_that_just_fit_with_their_kerfs_are_placed(checked: Any) -> None:
    pieces = [Piece("slat", 2.0, 10.0, 9)]
    assert laid(checked, pieces, rack((6.25, 30.25))).complete
    assert not laid(checked, pieces, rack((6.25, 30.125))).complete
    assert not laid(checked, pieces, rack((6.125, 30.25))).complete


def test_the_cheaper_board_wins_not_the_smaller(checked: Any) -> None:
    boards = [Board("dear", 5.0, 30.0, 20.0, 1.04), Board("cheap", 8.0, 60.0, 12.0, 3.33)]
    out = laid(checked, [Piece("rail", 4.0, 24.0)], boards)
    assert [b.board.id for b in out.boards] == ["cheap"]
    assert [b.id for b in out.unused] == ["dear"]
    assert out.cost == 12.0
    assert out.board_feet == pytest.approx(3.33)
    assert out.gap == pytest.approx(0.0, abs=1e-6)


def test_no_piece_crosses_a_bad_length_or_lies_on_a_bad_spot(checked: Any) -> None:
    band = [Board("A", 6.0, 60.0, 2.5, 2.5, (BadSpot(28.0, 30.0),))]
    assert laid(checked, [Piece("rail", 5.0, 27.0, 2)], band).complete
    assert not laid(checked, [Piece("rail", 5.0, 31.0)], band).complete
    spot = [Board("A", 6.0, 60.0, 2.5, 2.5, (BadSpot(28.0, 30.0, 0.0, 2.0),))]
    assert laid(checked, [Piece("rail", 3.75, 50.0)], spot).complete
    assert not laid(checked, [Piece("rail", 4.25, 50.0)], spot).complete


def test_groups_stay_together(checked: Any) -> None:
    boards = rack((6.0, 80.0), (9.0, 40.0), (5.0, 60.0))
    fronts = [Piece("left", 5.0, 20.0, 1, "row", END_TO_END), Piece("right", 5.0, 25.0, 2, "row", END_TO_END)]
    assert [p.piece for p in laid(checked, fronts, boards).boards[0].placed] == ["left", "right", "right"]
    doors = [Piece("door panel", 4.0, 30.0, 2, "pair", SIDE_BY_SIDE)]
    assert laid(checked, doors, boards).boards[0].board.id == "A2"
    legs = [Piece("leg", 2.5, 38.0, 2, "legs", SAME_BOARD), Piece("cleat", 2.0, 30.0, 2, "legs", SAME_BOARD)]
    out = laid(checked, [*legs, Piece("rail", 4.5, 55.0)], boards)
    assert out.complete
    assert len({b.board.id for b in out.boards if any(p.piece in ("leg", "cleat") for p in b.placed)}) == 1


def test_a_group_that_no_board_holds_is_named_with_the_reason(checked: Any) -> None:
    pieces = [Piece("front", 5.0, 30.0, 3, "row", END_TO_END), Piece("top", 11.0, 20.0)]
    out = laid(checked, pieces, rack((6.0, 80.0)))
    assert {(m.piece.id, m.count, m.why) for m in out.missing} == {
        ("front", 3, "longer than every clear length"),
        ("top", 1, "wider than every board"),
    }
    assert out.gap is None


def test_free_staves_use_boards_that_equal_ones_would_not_fit(checked: Any) -> None:
    # 12 net from boards 4 and 8-1/4 wide: 4 + 4 + 4-1/8 + ... only unequal staves fit two boards
    glue = GlueUp(2.5, 6.0, 0.125, 4)
    out = laid(checked, [Piece("top", 12.0, 30.0, glue_up=glue)], rack((6.0, 31.0), (6.5, 31.0), (6.5, 62.0)))
    assert out.complete
    (top,) = out.staves
    assert sum(w - 0.125 for w in top.widths) >= 12.0 - 1e-9
    assert all(2.5 <= w <= 6.0 for w in top.widths)


def test_rip_first_gives_one_section_and_no_crosscut_before_the_rips(checked: Any) -> None:
    saw = Saw(0.125, 0.125, True, 12.0)
    pieces = [Piece("a", 2.0, 30.0, 3), Piece("b", 1.5, 12.0, 4)]
    out = laid(checked, pieces, rack((6.0, 96.0), trim_start=1.0, edge=0.25), saw)
    kinds = [c.kind for c in out.boards[0].cuts if c.purpose != "trim to width"]
    assert kinds == sorted(kinds, reverse=True)
    assert out.boards[0].cuts[0].purpose == "straighten edge"


def test_cuts_can_be_followed_from_one_end(checked: Any) -> None:
    boards = rack((6.0, 96.0), trim_start=1.0, trim_end=1.0, edge=0.25)
    out = laid(checked, [Piece("long", 2.5, 40.0, 2), Piece("short", 2.5, 19.5, 2)], boards)
    (board,) = out.boards
    assert board.cuts[0].purpose == "trim end"
    assert board.cuts[0].at == 1.0
    at = board.cuts[0].at
    for cut in board.cuts:
        if cut.purpose == "section":
            assert cut.at == pytest.approx(at + cut.size)
            at = cut.at + 0.125
    for placed in board.placed:  # every blank is freed: crosscut at its far end, ripped at its far edge
        ends = {round(c.at, 6) for c in board.cuts if c.kind == "crosscut"}
        edges = {round(c.at, 6) for c in board.cuts if c.kind == "rip"}
        assert round(placed.x + placed.length, 6) in ends
        assert round(placed.y + placed.width, 6) in edges
    (left,) = board.left_overs
    assert left.x + left.length == 96.0
    assert left.clear == pytest.approx(left.length - 1.0)
    assert left.width == 6.0


def test_equal_cost_leaves_the_longest_left_over(checked: Any) -> None:
    out = laid(checked, [Piece("a", 2.0, 20.0, 4)], rack((4.25, 90.0)))
    assert out.boards[0].left_overs[0].length == pytest.approx(90 - 40.25)


def test_the_same_call_gives_the_same_layout() -> None:
    pieces = [Piece(f"p{i}", 1.5 + i % 4, 10.0 + 3 * i, 1 + i % 3) for i in range(8)]
    boards = rack((6.0, 96.0), (7.5, 84.0), (5.25, 100.0), (8.0, 72.0))
    assert lay_out(pieces, boards, SAW, effort=0.2) == lay_out(pieces, boards, SAW, effort=0.2)


def test_stopping_keeps_the_best_so_far(checked: Any) -> None:
    pieces = [Piece(f"p{i}", 1.5 + i % 4, 10.0 + 3 * i, 2) for i in range(8)]
    boards = rack((6.0, 96.0), (7.5, 84.0), (5.25, 100.0), (8.0, 72.0), (8.0, 72.0))
    seen: list[tuple[float, float, float]] = []

    def ctrl_c(done: float, cost: float, least: float) -> bool:
        seen.append((done, cost, least))
        if len(seen) == 3:
            raise KeyboardInterrupt
        return True

    out = lay_out(pieces, boards, SAW, progress=ctrl_c)
    checked(pieces, boards, SAW, out)
    assert out.complete
    assert out.stopped == "interrupted"
    assert lay_out(pieces, boards, SAW, progress=lambda *_: False).stopped == "interrupted"


@pytest.mark.parametrize("rip_first", [False, True])
def test_known_patterns_put_together_anew_are_cut_as_promised(
    checked: Any, monkeypatch: pytest.MonkeyPatch, rip_first: bool
) -> None:
    from sheetkit.calc.layout import search

    rng = random.Random(5)
    pieces = [
        Piece(f"p{i}", rng.randrange(12, 48) / 8, rng.randrange(40, 200) / 4, rng.choice((2, 4, 6)))
        for i in range(8)
    ]
    pieces += [Piece(f"pair {i}", 2.0, 20.0, 1, "pair", SIDE_BY_SIDE) for i in range(2)]
    pieces += [Piece(f"mate {i}", 3.0, 15.0 + i, 1, "mates", SAME_BOARD) for i in range(2)]
    boards = rack(*((rng.randrange(40, 80) / 8, float(rng.randrange(60, 120))) for _ in range(15)))
    original, found = search.Search.run, []

    def run_and_assemble(self: search.Search) -> search.Answer:
        answer = original(self)
        self.tuning = replace(self.tuning, targets=(9.0,))
        found.append(self.assembled())
        if found[-1]:
            answer.solution = found[-1]
        return answer

    monkeypatch.setattr(search.Search, "run", run_and_assemble)
    out = laid(checked, pieces, boards, Saw(0.125, 0.125, rip_first, 12.0))
    assert found[0] is not None
    assert out.complete
    assert out.cost == pytest.approx(found[0].cost / 1e6)


def test_a_large_effort_puts_known_patterns_together(monkeypatch: pytest.MonkeyPatch) -> None:
    from sheetkit.calc.layout import search, shortage
    from sheetkit.calc.layout.assembly import Assembly
    from sheetkit.calc.layout.tuning import USUAL

    asked: list[float] = []
    original = Assembly.layout

    def layout(self: Assembly, target: float, fresh: Any) -> Any:
        asked.append(target)
        return original(self, target, fresh)

    monkeypatch.setattr(Assembly, "layout", layout)
    early = partial(search.Search, tuning=replace(USUAL, assembly_from=0.2))
    monkeypatch.setattr(shortage, "Search", early)
    rng = random.Random(7)
    pieces = [Piece(f"p{i}", rng.randrange(12, 48) / 8, rng.randrange(40, 200) / 4, 3) for i in range(9)]
    boards = rack(*((rng.randrange(40, 80) / 8, float(rng.randrange(60, 120))) for _ in range(15)))
    lay_out(pieces, boards, SAW, effort=0.1)
    assert not asked
    out = lay_out(pieces, boards, SAW, effort=0.2)
    assert asked
    assert all(out.bound <= target for target in asked)


def test_nothing_to_cut_and_no_boards_are_no_trouble() -> None:
    assert lay_out([], rack((6.0, 96.0)), SAW).boards == ()
    out = lay_out([Piece("a", 2.0, 10.0, 3)], [], SAW)
    assert [(m.piece.id, m.count, m.why) for m in out.missing] == [("a", 3, "no boards")]


@pytest.mark.parametrize(
    "piece",
    [
        Piece("a", 0.0, 10.0),
        Piece("a", 1.0, -1.0),
        Piece("a", 1.0, 10.0, 1, "g", ""),
        Piece("a", 1.0, 10.0, 1, "g", "crosswise"),
        Piece("a", 9.0, 10.0, glue_up=GlueUp(4.0, 3.0)),
    ],
)
def test_a_bad_call_is_an_exception(piece: Piece) -> None:
    with pytest.raises(ValueError):
        lay_out([piece], rack((6.0, 96.0)), SAW)


def test_what_to_buy_holds_what_is_missing(checked: Any) -> None:
    pieces = [
        Piece("leg ply", 6.875, 34.0, 2),
        Piece("front", 5.0, 30.0, 3, "row", END_TO_END),
        Piece("top", 14.0, 40.0, glue_up=GlueUp(2.5, 6.0, 0.125, 6)),
    ]
    out = laid(checked, pieces, rack((5.5, 50.0)))
    missing = missing_pieces(out.missing)
    assert {p.id for p in missing} >= {"leg ply", "front"}
    buys = to_buy(missing, SAW)
    assert max(b.width for b in buys) >= 7.125
    bought = [
        Board(f"{i}.{k}", b.width, b.length, 1.0, 1.0, (), 1.0, 1.0, 0.25)
        for i, b in enumerate(buys)
        for k in range(b.count)
    ]
    assert laid(checked, missing, bought, effort=0.5).complete


@pytest.mark.parametrize("count", [16, 60])
def test_what_to_buy_is_a_board_for_each_piece_that_leaves_no_room_for_another(count: int) -> None:
    buys = to_buy([Piece("wide ply", 12.375, 18.0, count)], SAW, effort=0.1)
    assert buys == (ToBuy(count, 12.625, 20.0, ("wide ply",)),)


def test_many_wide_pieces_are_asked_for_in_lots_and_none_is_left_out() -> None:
    shelves = [Piece(f"shelf {n}", 9.0 + n % 7 / 8, 20.0 + n % 50, 2) for n in range(60)]
    parted = [Piece(f"row {n}", 4.0, 9.0, 25, "row", END_TO_END) for n in range(2)]
    buys = to_buy(shelves + parted, SAW, effort=0.1)
    assert {name for buy in buys for name in buy.pieces} == {p.id for p in shelves + parted}
    (long,) = (buy for buy in buys if "row 0" in buy.pieces)
    assert long.count == 1
    assert long.length >= 50 * 9.0 + 49 * SAW.crosscut_kerf
    area = sum(p.width * p.length * p.count for p in shelves)
    assert area < sum(b.count * b.width * b.length for b in buys if b is not long) < 1.5 * area


def test_a_group_that_no_board_sold_would_hold_is_not_asked_for() -> None:
    endless = Piece("slat", 0.75, 24.0, 600, "row", END_TO_END)
    assert to_buy([endless], SAW, effort=0.1) == ()
    assert [buy.pieces for buy in to_buy([endless, Piece("rail", 2.0, 30.0)], SAW, effort=0.1)] == [("rail",)]


def test_importing_the_layout_loads_nothing_heavy() -> None:
    code = "import sys, sheetkit.calc.layout; print([m for m in ('numpy', 'highspy') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


# Best known board feet of two invented jobs, from earlier long runs of trial programs.
BEST = {
    ("05-dresser.json", "red oak", "4/4"): 40.626,
    ("05-dresser.json", "red oak", "8/4"): 8.167,
    ("05-dresser.json", "poplar", "4/4"): 37.964,
    ("10-frames-batch.json", "white ash", "4/4"): 23.556,
}


def test_the_yardstick_prints_one_clean_line_a_group_within_two_percent_of_the_best_known() -> None:
    files = sorted((ROOT / "tests" / "layout" / "jobs").glob("*.json"))
    command = [sys.executable, str(ROOT / "tests" / "bench" / "layout.py"), *map(str, files)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    lines = [json.loads(line) for line in done.stdout.splitlines()]
    got = {(n["file"], *n["group"]): n for n in lines}
    assert set(got) == set(BEST)
    for key, best in BEST.items():
        assert got[key]["missing"] == []
        assert got[key]["bound"] <= best + 0.001
        assert got[key]["board_feet"] <= 1.02 * best

"""Cuts that one person makes: crosscut first where it costs nothing, nothing ripped loose that is too long."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from sheetkit.calc.layout import Board, Piece, Saw, lay_out

SAW = Saw(0.125, 0.125, False, 18.0, 96.0)


def test_a_board_whose_strips_part_at_one_place_is_crosscut_first(checked: Any) -> None:
    # two strips of two, ends level: nothing is gained by ripping the whole board
    pieces, boards = [Piece("rail", 2.5, 40.0, 4)], [Board("A", 5.125, 80.125, 3.0)]
    answer = lay_out(pieces, boards, SAW, effort=0.1)
    checked(pieces, boards, SAW, answer)
    (laid,) = answer.boards
    assert [(s.x, s.length, len(s.strips)) for s in laid.sections] == [(0.0, 40.0, 2), (40.125, 40.0, 2)]
    assert [c.kind for c in laid.cuts] == ["crosscut", "rip", "rip"]


def test_strips_that_part_at_one_place_only_in_another_order_are_put_in_it(checked: Any) -> None:
    pieces = [
        Piece("a", 2.5, 30.0, 1),
        Piece("b", 2.5, 60.0, 1),
        Piece("c", 2.0, 59.0, 1),
        Piece("d", 2.0, 29.5, 1),
    ]
    boards = [Board("A", 4.75, 90.25, 3.0)]
    answer = lay_out(pieces, boards, SAW, effort=0.1)
    checked(pieces, boards, SAW, answer)
    (laid,) = answer.boards
    assert sorted(round(s.length, 3) for s in laid.sections) == [30.0, 60.0]


def test_a_board_that_only_holds_all_when_ripped_first_is_ripped_first(checked: Any) -> None:
    pieces = [Piece("a", 2.5, 30.0, 1), Piece("b", 2.5, 50.0, 1), Piece("c", 2.0, 40.0, 2)]
    boards = [Board("A", 4.625, 80.125, 3.0)]
    answer = lay_out(pieces, boards, SAW, effort=0.1)
    checked(pieces, boards, SAW, answer)
    assert answer.complete
    assert len(answer.boards[0].sections) == 1


def test_short_pieces_are_not_crosscut_shorter_for_handling(checked: Any) -> None:
    pieces, boards = [Piece("stop", 2.5, 12.0, 4)], [Board("A", 5.125, 24.125, 1.0)]
    (laid,) = lay_out(pieces, boards, SAW, effort=0.1).boards
    assert len(laid.sections) == 1


def test_of_equal_costs_the_one_without_a_long_loose_rip_is_taken(checked: Any) -> None:
    pieces = [Piece("long", 3.0, 100.0, 1), Piece("short", 3.0, 48.0, 4)]
    boards = [Board("A", 6.25, 110.0, 4.0), Board("B", 6.25, 104.0, 4.0)]
    answer = lay_out(pieces, boards, SAW, effort=0.3)
    checked(pieces, boards, SAW, answer)
    assert answer.complete
    long = [s for b in answer.boards for s in b.sections if s.length > 96.0]
    # the long piece itself cannot be had otherwise; the short ones never lie in such a section alone
    assert all(any(p.piece == "long" for strip in s.strips for p in strip.placed) for s in long)
    any_length = lay_out(pieces, boards, replace(SAW, longest_rip=0.0), effort=0.3)
    assert answer.cost == any_length.cost


def test_equal_costs_prefer_few_fence_settings_to_long_left_overs(checked: Any) -> None:
    pieces = [Piece("a", 3.0, 30.0, 2), Piece("b", 3.0, 20.0, 2)]
    boards = [Board("A", 6.25, 96.0, 4.0)]
    answer = lay_out(pieces, boards, SAW, effort=0.3)
    checked(pieces, boards, SAW, answer)
    widths = {round(strip.width, 4) for b in answer.boards for s in b.sections for strip in s.strips}
    assert widths == {3.0}
    assert answer.boards[0].left_overs[0].clear > 45

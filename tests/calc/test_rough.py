"""Rough sizes: each blank is put through the machines in exact fractions, and the part must come out."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.calc.rough import (
    gangs,
    jointed_stave_width,
    least_plies,
    least_staves,
    leaves_from,
    planed_stave_thickness,
    ply_thickness,
    stave_width,
)

SIXTEENTHS = st.integers(1, 640).map(lambda n: n / 16)
SMALL = st.integers(0, 16).map(lambda n: n / 32)


@given(SIXTEENTHS, SMALL, st.integers(2, 8), SMALL)
def test_plies_planed_glued_and_cleaned_up_are_the_part(
    final: float, clean_up: float, plies: int, extra: float
) -> None:
    planed = Fraction(ply_thickness(final, clean_up, plies, extra)) - Fraction(extra)
    assert float(plies * planed - Fraction(clean_up)) == pytest.approx(final, rel=1e-12)


@given(SIXTEENTHS, SMALL, SMALL, SIXTEENTHS)
def test_the_fewest_plies_fit_the_stock_and_one_fewer_would_not(
    final: float, clean_up: float, extra: float, thickest: float
) -> None:
    plies = least_plies(final, clean_up, extra, thickest)
    if plies == 0:
        assert thickest <= extra
        return
    assert ply_thickness(final, clean_up, plies, extra) <= thickest + 1e-6
    assert plies == 2 or ply_thickness(final, clean_up, plies - 1, extra) > thickest - 1e-6


@given(SIXTEENTHS, SMALL, st.integers(1, 9), SMALL)
def test_staves_jointed_at_every_seam_are_wide_enough_and_waste_no_more_than_one_seam(
    width: float, trim: float, staves: int, edge_joint: float
) -> None:
    ripped = Fraction(stave_width(width, trim, staves, edge_joint))
    glued = staves * ripped - 2 * (staves - 1) * Fraction(edge_joint)
    over = float(glued - Fraction(width) - Fraction(trim))
    assert -1e-9 <= over <= 2 * edge_joint + 1e-9


@given(SIXTEENTHS, SMALL, st.sampled_from([0.0625, 0.125]), st.floats(3, 12))
def test_the_fewest_staves_are_no_wider_than_allowed_and_one_fewer_would_be(
    width: float, trim: float, edge_joint: float, widest: float
) -> None:
    staves = least_staves(width, trim, edge_joint, widest)
    assert stave_width(width, trim, staves, edge_joint) <= widest + 1e-6
    assert staves == 1 or stave_width(width, trim, staves - 1, edge_joint) > widest - 1e-6


@given(SIXTEENTHS, st.integers(2, 32).map(lambda n: n / 32), SMALL, SMALL)
def test_leaves_sawn_off_one_by_one_are_as_many_as_said(
    flattened: float, leaf: float, kerf: float, clean_up: float
) -> None:
    left, leaves = Fraction(flattened), 0
    while left >= Fraction(leaf):  # one more leaf, then the cut that frees it, and both its faces planed
        left -= Fraction(leaf) + Fraction(kerf) + Fraction(clean_up)
        leaves += 1
    assert leaves_from(flattened, leaf, kerf, clean_up) == leaves


@given(SIXTEENTHS, st.integers(1, 60), SMALL, SMALL, st.sampled_from([6.0, 12.0, 14.0]))
def test_ganged_blanks_hold_every_piece_and_none_is_too_short_for_the_machines(
    piece: float, count: int, extra: float, kerf: float, least: float
) -> None:
    sorts = gangs(piece, count, extra, kerf, least)
    assert sum(gang.blanks * gang.pieces for gang in sorts) == count
    for gang in sorts:
        needed = gang.pieces * Fraction(piece) + (gang.pieces - 1) * Fraction(kerf) + Fraction(extra)
        assert gang.size >= least - 1e-6
        assert gang.size == pytest.approx(max(float(needed), least if gang.pieces == count else 0.0))
        assert gang.blanks >= 1
    assert max(gang.pieces for gang in sorts) - min(gang.pieces for gang in sorts) <= 1


@given(SIXTEENTHS, st.integers(1, 60), SMALL, st.sampled_from([6.0, 12.0, 14.0]))
def test_no_pieces_are_ganged_that_are_long_enough_alone(
    piece: float, count: int, extra: float, least: float
) -> None:
    if piece + extra >= least:
        (gang,) = gangs(piece, count, extra, 0.125, least)
        assert (gang.blanks, gang.pieces) == (count, 1)


def test_the_worked_leg_rail_and_divider() -> None:
    # common practice, no source
    assert ply_thickness(3.25, 1 / 8, 2, 3 / 16) == 1.875
    assert least_plies(3.25, 1 / 8, 3 / 16, 1.875) == 2
    assert [(gang.blanks, gang.pieces, gang.size) for gang in gangs(14, 4, 1, 1 / 8, 12)] == [(4, 1, 15.0)]
    (pairs,) = gangs(9, 4, 1, 1 / 8, 12)
    assert (pairs.blanks, pairs.pieces) == (2, 2)
    assert pairs.size >= 12
    (alone,) = gangs(9, 1, 1, 1 / 8, 12)
    assert (alone.blanks, alone.pieces, alone.size) == (1, 1, 12)


@pytest.mark.parametrize(
    "call",
    [
        lambda: ply_thickness(3, 0.1, 1, 0.1),
        lambda: least_plies(0, 0.1, 0.1, 2),
        lambda: stave_width(10, 0.5, 0, 0.125),
        lambda: least_staves(10, 0.5, 0.125, 0.25),
        lambda: leaves_from(1.75, 0, 0.1, 0.1),
        lambda: gangs(0, 4, 1, 0.1, 12),
        lambda: gangs(9, 0, 1, 0.1, 12),
    ],
)
def test_senseless_blanks_are_refused(call: Callable[[], object]) -> None:
    with pytest.raises(ValueError):
        call()


@given(st.integers(1, 480), st.integers(1, 12))
def test_jointed_staves_laid_side_by_side_are_the_part_and_its_trim(sixteenths: int, staves: int) -> None:
    width, trim, joint = sixteenths / 16, 0.5, 0.125
    rough = stave_width(width, trim, staves, joint)
    jointed = jointed_stave_width(rough, min(staves - 1, 2), joint)
    assert sum([jointed] * staves) == pytest.approx(width + trim)
    with pytest.raises(ValueError):
        jointed_stave_width(rough, 3, joint)


@given(st.integers(1, 64))
def test_a_thirty_second_off_each_face_of_the_glued_whole_leaves_the_part(thirty_seconds: int) -> None:
    final = thirty_seconds / 32
    assert planed_stave_thickness(final) - 2 / 32 == final
    with pytest.raises(ValueError):
        planed_stave_thickness(-final)

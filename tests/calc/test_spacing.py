"""Equal spacing: against exact rationals, and the worked example of 5 members of 3/4 in between 36 in."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.calc.spacing import (
    Run,
    Spacing,
    equal_spacing,
    exact,
    fewest_members,
    listed_spacing,
    most_members,
)

SIXTEENTHS = st.integers(1, 2000).map(lambda n: Fraction(n, 16))
MILLIMETRES = st.integers(1, 3000).map(lambda n: Fraction(n * 10, 254))
WIDTHS = st.one_of(SIXTEENTHS, MILLIMETRES)


def test_five_members_of_three_quarters_between_three_feet() -> None:
    run = equal_spacing(36, 0.75, members=5)  # (36 - 3.75) / 6
    assert run.gap == 5.375
    assert run.centers == (5.75, 11.875, 18.0, 24.125, 30.25)
    assert (run.gaps, run.reason) == (6, Run.OK)


@given(WIDTHS, WIDTHS, st.integers(1, 60))
def test_members_and_gaps_fill_the_run_exactly(between: Fraction, width: Fraction, members: int) -> None:
    run = equal_spacing(between, width, members)
    gap = (between - members * width) / (members + 1)
    assert run.gap == float(gap)
    for place, center in enumerate(run.centers):
        assert center == float((place + 1) * gap + place * width + width / 2)
    assert run.reason is (Run.OVERLAP if members * width > between else Run.OK)


@given(WIDTHS, WIDTHS, st.integers(1, 60))
def test_a_float_gives_the_same_places_as_the_fraction_it_was_rounded_from(
    between: Fraction, width: Fraction, members: int
) -> None:
    assert equal_spacing(float(between), float(width), members) == equal_spacing(between, width, members)


FIRST = st.one_of(st.none(), st.integers(0, 400).map(lambda n: Fraction(n, 16)))


@given(WIDTHS, WIDTHS, FIRST)
def test_one_member_more_than_the_most_would_overlap(
    between: Fraction, width: Fraction, first: Fraction | None
) -> None:
    most = most_members(between, width, first)
    room = between if first is None else between - 2 * first
    if most > 1:
        assert most * width <= room
    assert max(most + 1, 2) * width > room or most * width <= room < (most + 1) * width
    assert most >= (first is not None)


@given(WIDTHS, WIDTHS, WIDTHS, FIRST)
def test_one_member_fewer_than_the_fewest_leaves_too_large_a_gap(
    between: Fraction, width: Fraction, most: Fraction, first: Fraction | None
) -> None:
    def gap(members: int) -> Fraction:
        if first is None:
            return (between - members * width) / (members + 1)
        return (between - 2 * first - members * width) / (members - 1)

    fewest = fewest_members(between, width, most, first)
    least = 1 if first is None else 2
    assert fewest >= least
    assert gap(fewest) <= most
    assert fewest == least or gap(fewest - 1) > most


@given(WIDTHS, WIDTHS, WIDTHS)
def test_the_largest_gap_is_kept_by_the_fewest_members(
    between: Fraction, width: Fraction, most: Fraction
) -> None:
    run = equal_spacing(between, width, largest_gap=most)
    fewer = run.members - 1
    assert (between - run.members * width) / (run.members + 1) <= most
    assert fewer == 0 or (between - fewer * width) / (fewer + 1) > most


@given(WIDTHS, WIDTHS, st.integers(2, 60), st.fractions(0, Fraction(1, 2), max_denominator=64))
def test_a_first_place_leaves_one_gap_fewer_than_members_and_mirrors_at_the_far_end(
    between: Fraction, width: Fraction, members: int, share: Fraction
) -> None:
    first = between * share
    run = equal_spacing(between, width, members, first_at=first)
    assert run.gaps == members - 1
    assert run.sides[0][0] == float(first)
    assert run.sides[-1][1] == float(between - first)
    assert run.gap == float((between - 2 * first - members * width) / (members - 1))


@given(WIDTHS, WIDTHS, WIDTHS)
def test_the_largest_gap_holds_between_members_flush_with_the_ends(
    between: Fraction, width: Fraction, most: Fraction
) -> None:
    run = equal_spacing(between, width, largest_gap=most, first_at=0)
    assert (between - run.members * width) / (run.members - 1) <= most
    fewer = run.members - 1
    assert fewer < 2 or (between - fewer * width) / (fewer - 1) > most


def test_a_metric_run_that_just_keeps_the_largest_gap_needs_no_extra_member() -> None:
    # 820 between, 20 wide, gap 100: (820 - 100) / 120 = 6 members, exactly
    assert equal_spacing(820 / 25.4, 20 / 25.4, largest_gap=100 / 25.4).members == 6
    assert exact(0.1) == Fraction(1, 10)


def test_one_member_stands_in_the_middle_or_where_it_is_put() -> None:
    assert equal_spacing(10, 1, members=1).centers == (5.0,)
    assert equal_spacing(10, 1, members=1, first_at=2).centers == (2.5,)


def test_members_that_do_not_fit_and_a_wide_end_gap_come_back_with_their_reason() -> None:
    assert equal_spacing(3, 1, members=4).reason is Run.OVERLAP
    assert equal_spacing(30, 1, largest_gap=2, first_at=4).reason is Run.END_GAP


@pytest.mark.parametrize(
    "asked",
    [
        lambda: equal_spacing(0, 1, members=2),
        lambda: equal_spacing(9, -1, members=2),
        lambda: equal_spacing(9, 1, members=0),
        lambda: equal_spacing(9, 1),
        lambda: equal_spacing(9, 1, largest_gap=0),
        lambda: equal_spacing(9, 1, members=2, first_at=5),
        lambda: equal_spacing(float("nan"), 1, members=2),
    ],
)
def test_senseless_runs_are_refused(asked: Callable[[], Spacing]) -> None:
    with pytest.raises(ValueError):
        asked()


def test_gaps_left_open_share_what_the_listed_ones_leave() -> None:
    """(60 - 4 x 2 1/2 - 6 - 8) / 3 = 12 (arithmetic)."""
    run = listed_spacing(60, 2.5, [6, None, None, None, 8])
    assert (run.rest, run.gaps, run.over) == (12, (6, 12, 12, 12, 8), 0)
    assert run.sides == ((6, 8.5), (20.5, 23), (35, 37.5), (49.5, 52))


def test_listed_gaps_that_do_not_make_the_run_say_by_how_much() -> None:
    assert listed_spacing(60, 5, [20, 20, 20]).over == 10
    assert listed_spacing(60, 5, [20, 20]).over == -15
    assert listed_spacing(60, 5, [30, None, 28]).rest == -8


@given(WIDTHS, st.lists(st.one_of(st.none(), WIDTHS), min_size=2, max_size=9), WIDTHS)
def test_members_and_listed_gaps_fill_the_run_exactly(
    width: Fraction, gaps: list[Fraction | None], rest: Fraction
) -> None:
    every = [rest if gap is None else gap for gap in gaps]
    run = listed_spacing(sum(every) + (len(gaps) - 1) * width, width, gaps)
    assert run.gaps == tuple(float(gap) for gap in every)
    assert run.over == 0
    for place, (near, far) in enumerate(run.sides):
        begin = sum(every[: place + 1], Fraction(0)) + place * width
        assert (near, far) == (float(begin), float(begin + width))


@pytest.mark.parametrize("args", [(0, 1, [1, 1]), (9, 0, [1, 1]), (9, 1, [1]), (9, 1, [-1, None])])
def test_a_list_that_can_be_no_run_is_a_bad_call(args: tuple[int, int, list[int | None]]) -> None:
    with pytest.raises(ValueError, match=r"wider than 0|two gaps"):
        listed_spacing(*args)

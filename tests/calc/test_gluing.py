"""Glue-ups: minutes, steps, clamps and adhesive; spread rates against pint, limits as simple counting."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.calc.clamps import (
    Reach,
    clamp_choice,
    clamp_force,
    clamp_length,
    clamp_row,
    clamps_for_force,
)
from sheetkit.calc.gluing import (
    AdhesiveTime,
    Time,
    adhesive_volume,
    adhesive_weight,
    adhesives_that_fit,
    glue_up_time,
)

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
PVA, EPOXY = AdhesiveTime("PVA", 5, 10), AdhesiveTime("slow epoxy", 20, 20)


@given(st.integers(1, 60), st.floats(0.25, 4), st.floats(0, 8))
def test_each_step_keeps_to_both_times_and_one_step_fewer_would_not(
    joints: int, minutes: float, closing: float
) -> None:
    plan = glue_up_time(joints, minutes, closing, PVA)

    def fits(count: int) -> bool:
        return count * minutes <= 5 + 1e-6 and count * minutes + closing <= 10 + 1e-6

    if plan.reason is Time.NOT_EVEN_ONE:
        assert not fits(1) or minutes > 5 - 1e-6
        assert plan.steps == ()
        return
    assert sum(plan.steps) == joints
    assert all(fits(step) for step in plan.steps)
    assert max(plan.steps) - min(plan.steps) <= 1
    fewer = len(plan.steps) - 1
    assert fewer == 0 or not fits(-(-joints // fewer)) or abs(joints / fewer * minutes - 5) < 1e-5


def test_a_frame_of_many_joints_wants_a_slow_adhesive_or_several_steps() -> None:
    # common practice, no source: a slow adhesive when a frame has many joints
    plan = glue_up_time(16, 1, 2, PVA)
    assert (plan.reason, plan.spread, plan.whole, plan.steps) == (Time.OVER_OPEN, 16, 18, (4, 4, 4, 4))
    assert adhesives_that_fit(plan.spread, plan.whole, [PVA, EPOXY]) == ("slow epoxy",)
    assert glue_up_time(16, 1, 2, EPOXY).reason is Time.OK


def test_long_closing_breaks_the_assembly_time_though_the_spreading_is_quick() -> None:
    assert glue_up_time(4, 1, 7, PVA).reason is Time.OVER_ASSEMBLY
    assert glue_up_time(1, 1, 11, PVA).reason is Time.NOT_EVEN_ONE


@given(st.floats(3, 120), st.floats(3, 16))
def test_clamps_stand_no_further_apart_than_the_spacing_and_the_same_from_both_ends(
    along: float, spacing: float
) -> None:
    row = clamp_row(along, spacing)
    gaps = [far - near for near, far in zip(row.places, row.places[1:], strict=False)]
    assert max(gaps) <= spacing + 1e-6
    assert row.places[0] == pytest.approx(along - row.places[-1])
    assert row.places[0] <= spacing / 2 + 1e-9
    assert row.below == tuple(place % 2 == 1 for place in range(len(row.places)))
    if len(row.places) > 2:  # one fewer would stand too far apart
        assert (row.places[-1] - row.places[0]) / (len(gaps) - 1) > spacing - 1e-6


def test_one_clamp_alone_stands_in_the_middle() -> None:
    assert clamp_row(4, 8, end=2, least=1).places == (2,)


def test_clamping_36_square_inches_of_hardwood() -> None:
    force = clamp_force(36, 175)
    by_units = (36 * UNITS.inch**2 * 175 * UNITS.psi).to("lbf").magnitude
    assert force == pytest.approx(by_units)
    assert clamps_for_force(force, 1000) == 7
    assert clamps_for_force(7000, 1000) == 7


def test_an_assembly_of_eighty_inches_wants_longer_clamps_or_two_joined() -> None:
    # common practice, no source
    needed = clamp_length(80, 4)
    assert needed > 80
    assert clamp_choice(needed, [24, 36, 50]).reach is Reach.JOINED
    assert clamp_choice(needed, [24, 36, 50, 96]).clamps == (96,)
    assert clamp_choice(needed, [24, 36, 40]).reach is Reach.NONE
    assert clamp_choice(needed, [50], joining_takes=6).clamps == (50, 50)
    assert clamp_choice(needed, [44], joining_takes=6).reach is Reach.NONE


@given(st.floats(5, 120), st.lists(st.integers(6, 60), min_size=1, max_size=5))
def test_the_clamps_chosen_reach_and_no_shorter_choice_does(needed: float, owned: list[int]) -> None:
    choice = clamp_choice(needed, owned)
    ones = [length for length in owned if length >= needed]
    pairs = [one + other for one in owned for other in owned if one + other >= needed]
    if ones:
        assert choice.clamps == (min(ones),)
    elif pairs:
        assert sum(choice.clamps) == min(pairs)
        assert choice.reach is Reach.JOINED
    else:
        assert choice.clamps == ()


@given(st.floats(1, 5000), st.floats(20, 100), st.floats(0, 1))
def test_adhesive_by_spread_rate_is_what_the_units_say(area: float, rate: float, waste: float) -> None:
    weight = area * UNITS.inch**2 * rate * UNITS.lb / (1000 * UNITS.ft**2) * (1 + waste)
    pounds = adhesive_weight(area, rate, waste)
    assert pounds == pytest.approx(weight.to("lb").magnitude)
    volume = (weight / (9.2 * UNITS.lb / UNITS.gallon)).to("US_fluid_ounce").magnitude
    assert adhesive_volume(pounds, 9.2) == pytest.approx(volume)


@pytest.mark.parametrize("wrong", [0, -1, float("nan"), float("inf")])
def test_senseless_glue_ups_are_refused(wrong: float) -> None:
    for call in (
        lambda: glue_up_time(4, wrong, 0, PVA),
        lambda: clamp_row(wrong, 8),
        lambda: clamp_force(wrong, 100),
        lambda: clamps_for_force(100, wrong),
        lambda: clamp_length(wrong, 3),
        lambda: clamp_choice(40, [wrong]),
        lambda: adhesive_weight(wrong, 40),
        lambda: adhesive_volume(1, wrong),
        lambda: adhesives_that_fit(wrong, 5, [PVA]),
    ):
        with pytest.raises(ValueError):
            call()

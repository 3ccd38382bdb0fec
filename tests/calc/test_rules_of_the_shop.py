"""The small rules: each held against shapely, pint, sympy, exact rationals, or the thing done step by step."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pint
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Point, box

from sheetkit.calc.beams import working_stress
from sheetkit.calc.clamps import clamp_length
from sheetkit.calc.finishing import Grit, grit_steps
from sheetkit.calc.gluing import AdhesiveTime, adhesives_that_fit
from sheetkit.calc.grooves import room_in_grooves
from sheetkit.calc.joints import dowel_diameter_share, loose_tenon_length, tenon_thickness_share
from sheetkit.calc.lumber import in_a_row
from sheetkit.calc.money import deposit, labor_cost, overhead, tax
from sheetkit.calc.mortises import Depth, Recess, mortise_depth, stepped_recess
from sheetkit.calc.movement import slot_length
from sheetkit.calc.rough import thickness_for_leaves

SIZES = st.integers(1, 4_000).map(lambda sixty_fourths: sixty_fourths / 64)
MONEY = st.decimals("0", "99999.99", places=2)
SHARES = st.decimals("0", "0.99", places=4)
UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
FEPA = {
    40: 425,
    50: 336,
    60: 269,
    80: 201,
    100: 162,
    120: 125,
    150: 100,
    180: 82,
    220: 68,
    240: 58.5,
    280: 52.2,
    320: 46.2,
    360: 40.5,
    400: 35.0,
}
"""Mean grain of each grit [micrometers]: FEPA 43-1 macrogrits, and 43-2 from P240 on; from memory."""


@given(SIZES, SIZES)
def test_a_clamp_holds_the_assembly_and_its_jaws_end_to_end(size: float, jaws: float) -> None:
    assembly, packing = box(0, 0, size, 1), box(size, 0, size + jaws, 1)
    left, _, right, _ = assembly.union(packing).bounds
    assert clamp_length(size, jaws) == pytest.approx(right - left, abs=1e-12)


@given(SIZES, SIZES, st.sampled_from([0.0, 1 / 16, 1 / 32]))
def test_a_loose_tenon_fills_both_mortises_but_for_the_glue(into: float, from_: float, gap: float) -> None:
    if gap < min(into, from_):
        cavity = box(-into, 0, 0, 1).union(box(0, 0, from_, 1))
        tenon = box(0, 0, loose_tenon_length(into, from_, gap), 1)
        assert cavity.area - tenon.area == pytest.approx(2 * gap, abs=1e-9)  # one at either bottom


@given(st.floats(0, 1.5), st.floats(0, 1.5), st.floats(0.1, 0.4))
def test_a_screw_stays_in_its_slot_from_the_driest_to_the_wettest(
    growth: float, shrinkage: float, screw: float
) -> None:
    # the top is held at its middle, so that each edge goes half of it; the screw stands in the slot's middle today
    long = slot_length(growth, shrinkage, screw)
    slot = box(-long / 2, -screw / 2, long / 2, screw / 2)
    start = Point(0, 0).buffer(screw / 2)
    lefts, rights = [], []
    for gone in (0.0, growth / 2, -shrinkage / 2):
        shank = affinity.translate(start, gone, 0)
        lefts.append(shank.bounds[0] - slot.bounds[0])
        rights.append(slot.bounds[2] - shank.bounds[2])
    assert min(*lefts, *rights) == pytest.approx(0, abs=1e-9)  # it just reaches an end


@given(st.integers(1, 256), st.integers(1, 256))
def test_a_tenon_takes_its_exact_share_of_the_member(thickness: int, member: int) -> None:
    found = tenon_thickness_share(thickness / 64, member / 64)
    exact = Fraction(thickness, member)
    assert found.share == pytest.approx(float(exact))
    assert (found.reason.value == "ok") == (Fraction(1, 4) <= exact <= Fraction(5, 12))
    wider = tenon_thickness_share(thickness / 64, member / 64, member / 32)
    assert (wider.reason.value == "ok") == (Fraction(1, 4) <= exact <= Fraction(1, 2))


@given(st.integers(1, 256), st.integers(1, 256))
def test_a_dowel_takes_its_exact_share_of_the_member(diameter: int, member: int) -> None:
    found = dowel_diameter_share(diameter / 64, member / 64)
    exact = Fraction(diameter, member)
    assert found.share == pytest.approx(float(exact))
    assert (found.reason.value == "ok") == (Fraction(1, 3) <= exact <= Fraction(1, 2))


@given(SIZES, SIZES)
def test_the_wood_behind_a_mortise_is_what_the_drill_leaves(depth: float, member: float) -> None:
    found = mortise_depth(depth, member)
    left = box(0, 0, member, 1).difference(box(0, 0, depth, 1))
    assert max(found.wall, 0.0) == pytest.approx(left.area, abs=1e-9)
    assert (found.reason in (Depth.THROUGH, Depth.BEYOND)) == left.is_empty
    assert found.deepest == pytest.approx(float(Fraction(3, 4) * Fraction(member)))


@given(st.lists(st.tuples(SIZES, SIZES, SIZES), min_size=1, max_size=4), SIZES)
def test_the_wood_behind_each_step_of_a_recess_is_what_the_cutter_leaves(
    steps: list[tuple[float, float, float]], member: float
) -> None:
    found = stepped_recess(steps, member)
    assert [step.depth for step in found] == sorted(depth for *_, depth in steps)
    for step in found:
        column = box(step.start, 0, step.stop, member).difference(box(step.start, 0, step.stop, step.depth))
        assert max(step.wall, 0.0) * (step.stop - step.start) == pytest.approx(column.area, abs=1e-6)
        assert (step.reason is Recess.BEYOND) == (step.depth > member)


@settings(max_examples=20)  # each takes sympy a while
@given(st.floats(1_000, 25_000), st.floats(1, 12))
def test_a_beam_at_its_working_stress_breaks_at_as_many_times_the_load_as_the_divisor_says(
    strength: float, divisor: float
) -> None:
    load, span, width, depth = sympy.symbols("load span width depth", positive=True)
    stress = load * span / 4 / (width * depth**2 / 6)  # simple span, load in the middle
    (allowed,) = sympy.solve(sympy.Eq(stress, working_stress(strength, divisor)), load)
    (breaking,) = sympy.solve(sympy.Eq(stress, strength), load)
    assert float(breaking / allowed) == pytest.approx(divisor)


@given(st.lists(st.sampled_from(sorted(FEPA)), min_size=2, max_size=6))
def test_grits_that_are_called_coarser_have_no_finer_grain(grits: list[int]) -> None:
    for before, after, step in zip(grits, grits[1:], grit_steps(grits), strict=False):
        between = [grit for grit in FEPA if FEPA[after] < FEPA[grit] < FEPA[before]]
        assert (step.reason is Grit.COARSER) == (FEPA[after] >= FEPA[before])
        if step.reason is Grit.SKIPS:
            assert len(between) > 1
            assert step.between in between


@given(
    st.integers(1, 40),
    st.integers(0, 40),
    st.lists(st.tuples(st.integers(1, 60), st.integers(1, 60)), max_size=6),
)
def test_an_adhesive_fits_when_a_clock_beside_the_bench_says_so(
    spread: int, more: int, times: list[tuple[int, int]]
) -> None:
    kinds = [AdhesiveTime(f"kind {number}", *pair) for number, pair in enumerate(times)]
    fits = set()
    for kind in kinds:
        minute = 0
        while minute < spread + more:  # the last clamp stands at the end of the last minute
            minute += 1
            if (minute <= spread and minute > kind.open_time) or minute > kind.assembly_time:
                break
        else:
            fits.add(kind.kind)
    assert set(adhesives_that_fit(spread, spread + more, kinds)) == fits


@given(st.integers(0, 400), st.integers(0, 600), MONEY)
def test_work_costs_its_hours_times_the_rate(count: int, minutes: int, rate: Decimal) -> None:
    hours = (count * minutes * UNITS.minute).to("hour").magnitude
    assert float(labor_cost(Decimal(count), Decimal(minutes), rate)) == pytest.approx(hours * float(rate))


@given(MONEY, SHARES)
def test_shares_of_a_sum_are_those_of_exact_rationals(sum_: Decimal, share: Decimal) -> None:
    exact = Fraction(sum_) * Fraction(share)
    for found in (overhead(sum_, share), tax(sum_, share), deposit(sum_, share)):
        assert Fraction(found) == exact


@given(st.lists(SIZES, min_size=1, max_size=9), st.integers(0, 16).map(lambda n: n / 64))
def test_a_row_of_pieces_ends_where_cutting_one_after_another_does(sizes: list[float], kerf: float) -> None:
    at = Fraction(0)
    for size in sizes:  # cut from the left; the last one needs no cut behind it
        end = at + Fraction(size)
        at = end + Fraction(kerf)
    assert in_a_row(sizes, kerf) == end


@given(SIZES, st.integers(1, 9), SIZES, SIZES, SIZES)
def test_a_blank_for_leaves_is_used_up_by_sawing_and_planing_them(
    leaf: float, leaves: int, kerf: float, clean_up: float, flatten: float
) -> None:
    left = Fraction(thickness_for_leaves(leaf, leaves, kerf, clean_up, flatten)) - Fraction(flatten)
    for _ in range(leaves - 1):
        left -= Fraction(leaf) + Fraction(clean_up) + Fraction(kerf)
    assert left == Fraction(leaf)


@given(SIZES, SIZES, SIZES)
def test_a_panel_and_what_it_leaves_free_fill_the_opening_and_both_grooves(
    opening: float, grooves: float, size: float
) -> None:
    wood = box(0, 0, size, 1)
    space = box(0, 0, size + room_in_grooves(opening, grooves, size), 1)
    assert space.area == pytest.approx(opening + grooves)
    assert space.difference(wood).area - wood.difference(space).area == pytest.approx(
        opening + grooves - size
    )

"""Sag and stress: against sympy's beam solver and the worked shelves; sizes that just pass, put back."""

from __future__ import annotations

import csv
from importlib import resources

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st
from sympy.physics.continuum_mechanics.beam import Beam

from sheetkit.calc.beams import (
    Bearing,
    Verdict,
    beam_check,
    bending_stress,
    deflection,
    sag_allowed,
    second_moment,
    section_modulus,
    working_stress,
)
from sheetkit.calc.spans import Limit, least_thickness, longest_span

SPAN = 4  # the solver's beam: length 4, whole load 1, E I = 1
MOST_AT = {
    Bearing.RESTING_SPREAD: 2,
    Bearing.RESTING_CENTER: 2,
    Bearing.FIXED_SPREAD: 2,
    Bearing.FIXED_CENTER: 2,
    Bearing.CANTILEVER_SPREAD: 4,
    Bearing.CANTILEVER_END: 4,
}


def solved(bearing: Bearing) -> Beam:
    beam = Beam(SPAN, 1, 1)
    match bearing:
        case Bearing.RESTING_SPREAD | Bearing.RESTING_CENTER:
            unknown = [beam.apply_support(0, "pin"), beam.apply_support(SPAN, "roller")]
        case Bearing.FIXED_SPREAD | Bearing.FIXED_CENTER:
            unknown = [*beam.apply_support(0, "fixed"), *beam.apply_support(SPAN, "fixed")]
        case _:
            unknown = [*beam.apply_support(0, "fixed")]
    if bearing.value.endswith("spread"):
        beam.apply_load(-sympy.Rational(1, SPAN), 0, 0, end=SPAN)
    else:
        beam.apply_load(-1, MOST_AT[bearing], -1)
    beam.solve_for_reaction_loads(*unknown)
    return beam


@pytest.mark.parametrize("bearing", list(Bearing))
def test_sag_and_moment_are_those_of_the_beam_solver(bearing: Bearing) -> None:
    beam, x = solved(bearing), sympy.Symbol("x")
    width, thickness = 12.0, 1.0  # I = 1, so that the solver's E I = 1 is ours
    sag = -beam.deflection().subs(beam.variable, MOST_AT[bearing])
    assert deflection(1, SPAN, 1, width, thickness, bearing) == pytest.approx(float(sag), rel=1e-12)
    moment = beam.bending_moment().subs(beam.variable, x)
    inside = [sympy.Rational(place, 64) for place in range(1, SPAN * 64)]  # the moment is greatest at an end,
    most = max(
        abs(float(moment.subs(x, place))) for place in (sympy.Rational(1, 10**9), *inside)
    )  # or inside
    stress = bending_stress(1, SPAN, width, thickness, bearing)
    assert stress == pytest.approx(most * 0.5 / 1, rel=1e-6)  # M c / I


@pytest.mark.parametrize("bearing", list(Bearing))
def test_sag_by_shear_is_the_solvers_shear_force_summed_to_the_point(bearing: Bearing) -> None:
    beam = solved(bearing)
    shear = sympy.lambdify(beam.variable, beam.shear_force().rewrite(sympy.Piecewise), "math")
    places, steps = MOST_AT[bearing], 2000
    summed = sum(shear((n + 0.5) * places / steps) for n in range(steps)) * places / steps
    width, thickness, stiff = 12.0, 1.0, 0.7
    bent = deflection(1, SPAN, 1, width, thickness, bearing)
    whole = deflection(1, SPAN, 1, width, thickness, bearing, shear_modulus=stiff)
    assert whole - bent == pytest.approx(abs(summed) / (stiff * 5 / 6 * 12), rel=1e-9)


@pytest.mark.parametrize(
    ("bearing", "printed"),
    [
        (Bearing.RESTING_SPREAD, 0.0506),
        (Bearing.RESTING_CENTER, 0.0810),
        (Bearing.FIXED_SPREAD, 0.0101),
    ],
)
def test_the_worked_red_oak_shelf(bearing: Bearing, printed: float) -> None:
    # 3/4 x 11-1/4 in, span 36, 60 lb; E by Wood Handbook Table 5-3b (FPL-GTR-282, 2021); worked by hand
    text = resources.files("sheetkit.tables").joinpath("species.csv").read_text(encoding="utf-8")
    (oak,) = [row for row in csv.DictReader(text.splitlines()) if row["id"] == "oak_northern_red"]
    modulus = float(oak["elasticity_mpsi"]) * 1e6
    assert second_moment(11.25, 0.75) == pytest.approx(0.3955, abs=5e-5)
    assert deflection(60, 36, modulus, 11.25, 0.75, bearing) == pytest.approx(printed, abs=5e-5)


def test_the_worked_shelf_passes_two_hundredths_by_the_foot_when_new_and_not_after_creep() -> None:
    shelf = (60, 36, 1.82e6, 11.25, 0.75, Bearing.RESTING_SPREAD, 0.02, working_stress(14300))
    new, old = beam_check(*shelf), beam_check(*shelf, creep=2)
    assert new.sag / 3 == pytest.approx(0.0169, abs=5e-5)
    assert (new.verdict, old.verdict) == (Verdict.OK, Verdict.SAGS)
    assert old.sag == 2 * old.sag_new == 2 * new.sag
    assert new.sag_allowed == sag_allowed(36, 0.02) == 0.06


def test_a_load_shared_by_ten_slats_is_a_tenth_on_each() -> None:
    one = beam_check(50, 60, 1.5e6, 3, 0.75, Bearing.RESTING_SPREAD, 0.1, 2000)
    ten = beam_check(500, 60, 1.5e6, 3, 0.75, Bearing.RESTING_SPREAD, 0.1, 2000, shared_by=10)
    assert one == ten


def test_a_short_thin_member_is_weak_before_it_sags() -> None:
    check = beam_check(400, 6, 1.5e6, 2, 0.25, Bearing.RESTING_CENTER, 5, 2000)
    assert check.verdict is Verdict.WEAK
    assert section_modulus(2, 0.25) * check.stress == pytest.approx(400 * 6 / 4)


LOADED = st.tuples(
    st.floats(20, 800), st.floats(8, 80), st.floats(0.8e6, 2.4e6), st.floats(1, 14), st.floats(0.4, 2),
    st.sampled_from(list(Bearing)), st.floats(0.005, 0.2), st.floats(500, 4000),
)  # fmt: skip


@given(LOADED, st.sampled_from([1.0, 1.5, 2.0]))
def test_the_least_thickness_just_passes(
    member: tuple[float, float, float, float, float, Bearing, float, float], creep: float
) -> None:
    load, span, modulus, width, thickness, bearing, per_foot, stress = member
    was = beam_check(load, span, modulus, width, thickness, bearing, per_foot, stress, creep)
    least = least_thickness(thickness, was.sag, was.sag_allowed, was.stress, was.stress_allowed)
    passes = beam_check(load, span, modulus, width, least.size, bearing, per_foot, stress, creep)
    thinner = beam_check(load, span, modulus, width, least.size * 0.999, bearing, per_foot, stress, creep)
    assert passes.verdict is Verdict.OK
    assert thinner.verdict in (
        {Verdict.SAGS, Verdict.BOTH} if least.limit is Limit.SAG else {Verdict.WEAK, Verdict.BOTH}
    )


@given(LOADED, st.booleans())
def test_the_longest_span_just_passes(
    member: tuple[float, float, float, float, float, Bearing, float, float], grows: bool
) -> None:
    load, span, modulus, width, thickness, bearing, per_foot, stress = member
    was = beam_check(load, span, modulus, width, thickness, bearing, per_foot, stress)
    most = longest_span(span, was.sag, was.sag_allowed, was.stress, was.stress_allowed, load_grows=grows)

    def over(length: float) -> Verdict:
        weight = load * length / span if grows else load
        return beam_check(weight, length, modulus, width, thickness, bearing, per_foot, stress).verdict

    assert over(most.size) is Verdict.OK
    assert over(most.size * 1.001) is not Verdict.OK


@pytest.mark.parametrize("wrong", [0.0, -1.0, float("nan"), float("inf")])
def test_senseless_members_are_refused(wrong: float) -> None:
    with pytest.raises(ValueError):
        deflection(wrong, 36, 1e6, 3, 1, Bearing.FIXED_CENTER)
    with pytest.raises(ValueError):
        bending_stress(10, 36, 3, wrong, Bearing.FIXED_CENTER)
    with pytest.raises(ValueError):
        least_thickness(1, wrong, 1, 1, 1)
    with pytest.raises(ValueError):
        longest_span(36, 1, 1, 1, wrong)
    with pytest.raises(ValueError):
        beam_check(60, 36, 1e6, 3, 1, Bearing.RESTING_SPREAD, 0.02, 2000, creep=min(wrong, 0.9))

"""Arcs, bent strips and tapers: against numpy, shapely, decimals of 50 places and sympy's beam solver."""

from __future__ import annotations

from decimal import Decimal, getcontext

import numpy as np
import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon
from sympy.physics.continuum_mechanics.beam import Beam

from sheetkit.calc.shapes import (
    Bend,
    arc_length,
    arc_offsets,
    arc_radius,
    bent_strip_offsets,
    curved_blank_width,
    stations,
    strip_departure,
)
from sheetkit.calc.tapers import taper, taper_offsets, wedge_angle

CHORDS = st.floats(1, 200)
SHARES = st.floats(0.001, 0.5)  # rise over chord, up to the half circle


def test_the_worked_arc_of_chord_76_and_rise_a_half() -> None:
    assert arc_radius(76, 0.5) == 1444.25
    getcontext().prec = 50
    radius, across = Decimal("1444.25"), Decimal(19)
    by_decimals = (radius * radius - across * across).sqrt() - (radius - Decimal("0.5"))
    (quarter,) = arc_offsets(76, 0.5, [19])
    assert quarter == pytest.approx(float(by_decimals), abs=1e-14)  # 0.3750162...
    # the worked value 0.37501 is cut after five places, not rounded; the parabola gives 0.375
    assert int(quarter * 1e5) == 37501
    assert quarter == pytest.approx(0.375, abs=5e-4)


@given(CHORDS, SHARES)
def test_the_circle_through_both_ends_and_the_rise_has_the_radius(chord: float, share: float) -> None:
    rise = chord * share
    points = np.array([(0, 0), (chord / 2, rise), (chord, 0)])
    unknowns = np.column_stack((2 * points, np.ones(3)))  # x^2 + y^2 = 2ax + 2by + c
    a, b, c = np.linalg.solve(unknowns, (points**2).sum(axis=1))
    assert arc_radius(chord, rise) == pytest.approx(np.sqrt(c + a * a + b * b), rel=1e-6)


@given(CHORDS, SHARES)
def test_every_station_of_a_template_lies_on_the_circle(chord: float, share: float) -> None:
    rise = chord * share
    radius, places = arc_radius(chord, rise), np.array(stations(chord, 16))
    offsets = np.array(arc_offsets(chord, rise, places.tolist()))
    assert np.hypot(places - chord / 2, offsets - (rise - radius)) == pytest.approx(radius)
    assert offsets == pytest.approx(offsets[::-1], abs=1e-9)
    assert offsets[8] == pytest.approx(rise)


@given(CHORDS, SHARES)
def test_the_arc_is_as_long_as_the_line_through_many_stations(chord: float, share: float) -> None:
    rise = chord * share
    angles = np.linspace(0, np.pi, 2001)
    places = chord / 2 * (1 - np.cos(angles))  # close together at the steep ends
    line = LineString(np.column_stack((places, arc_offsets(chord, rise, places.tolist()))))
    assert arc_length(chord, rise) == pytest.approx(line.length, rel=1e-4)


def test_the_area_under_a_half_circle_is_half_a_circle() -> None:
    places = stations(20, 4000)
    area = Polygon(zip(places, arc_offsets(20, 10, places), strict=True)).area
    assert area == pytest.approx(np.pi * 100 / 2, rel=1e-5)


def test_a_pushed_strip_takes_the_line_of_a_beam_loaded_in_the_middle() -> None:
    beam = Beam(8, 1, 1)
    beam.apply_load(-1, 4, -1)
    reactions = [beam.apply_support(0, "pin"), beam.apply_support(8, "roller")]
    beam.solve_for_reaction_loads(*reactions)
    line = sympy.lambdify(beam.variable, beam.deflection().rewrite(sympy.Piecewise), "math")
    middle = line(4)
    for place in stations(8, 16):
        (offset,) = bent_strip_offsets(8, 0.5, [place])
        assert offset == pytest.approx(0.5 * line(place) / middle, abs=1e-12)


def test_a_strung_strip_takes_the_line_of_a_strip_pressed_end_to_end() -> None:
    # the whole elastica, EI theta' = -P y, stepped along the strip from the end; not the small-angle shape
    steps, slope = 4000, 0.02
    load = (np.pi * (1 - slope**2 / 16)) ** 2  # near enough Euler's load that the strip ends on the chord
    x = y = 0.0
    theta, h, line = slope, 1.0 / steps, [(0.0, 0.0)]
    for _ in range(steps):
        middle = theta - load * y * h / 2
        x, y = x + h * np.cos(middle), y + h * np.sin(middle)
        theta = middle - load * y * h / 2
        line.append((x, y))
    places, heights = np.array(line).T
    rise = heights.max()
    inside = places[:-1]
    offsets = bent_strip_offsets(float(places[-1]), float(rise), inside.tolist(), Bend.STRUNG)
    assert np.array(offsets) == pytest.approx(heights[:-1], abs=rise * 2e-3)


def test_arc_and_pushed_strip_differ_by_two_twenty_sevenths_of_a_small_rise() -> None:
    u = sympy.symbols("u", positive=True)
    between = 4 * u * (1 - u) - (3 * u - 4 * u**3)  # a flat arc is a parabola
    best = [root for root in sympy.solve(sympy.diff(between, u), u) if root < sympy.Rational(1, 2)]
    assert (best, between.subs(u, best[0])) == ([sympy.Rational(1, 6)], sympy.Rational(2, 27))
    most, place = strip_departure(1000, 0.5)
    assert most == pytest.approx(0.5 * 2 / 27, rel=1e-4)
    assert place == pytest.approx(1000 / 6, rel=1e-2)


def test_the_blank_of_a_top_rail_with_a_half_inch_rise_is_a_half_inch_wider() -> None:
    assert curved_blank_width(3, 0.5) == 3.5
    # two nested rails: the second drops by width and kerf
    places = np.linspace(0, 40, 81)
    curve = np.array(arc_offsets(40, 0.5, places.tolist()))
    top = curve + 3 + 3.125
    assert curved_blank_width(3, 0.5, parts=2, kerf=0.125) == pytest.approx(top.max() - curve.min())


@given(st.floats(10, 40), st.floats(0.5, 1.5), st.floats(0.01, 2), st.floats(0, 9), st.sampled_from([1, 2]))
def test_a_taper_takes_off_the_area_between_the_two_ends(
    length: float, small: float, more: float, start: float, faces: int
) -> None:
    cut = taper(length, small + more, small, start, faces)
    places = [0.0, start, length]
    taken = Polygon([*zip(places, taper_offsets(cut, places), strict=True), (length, 0)])
    assert taken.area * faces == pytest.approx(more * (length - start) / 2, rel=1e-6)
    assert np.tan(np.radians(cut.angle)) * (length - start) * faces == pytest.approx(more)
    assert taper_offsets(cut, [start])[0] == 0


def test_two_tapered_faces_halve_the_offset_of_each() -> None:
    one, two = taper(29, 1.75, 1, 5, 1), taper(29, 1.75, 1, 5, 2)
    assert (one.offset, two.offset) == (0.75, 0.375)
    assert one.starts_at == two.starts_at == 5


def test_a_wedge_of_one_in_eight_is_seven_and_an_eighth_degrees() -> None:
    assert wedge_angle(8, 1) == pytest.approx(np.degrees(np.angle(8 + 1j)))
    assert wedge_angle(8, 1) == pytest.approx(7.125, abs=5e-4)


@pytest.mark.parametrize(("chord", "rise"), [(0, 1), (10, 0), (10, 5.01), (10, -1), (float("nan"), 1)])
def test_senseless_arcs_are_refused(chord: float, rise: float) -> None:
    with pytest.raises(ValueError):
        arc_radius(chord, rise)
    with pytest.raises(ValueError):
        arc_length(chord, rise)
    with pytest.raises(ValueError):
        bent_strip_offsets(chord, rise, [0])


def test_a_station_beyond_the_curve_is_refused() -> None:
    with pytest.raises(ValueError):
        arc_offsets(10, 1, [10.1])
    with pytest.raises(ValueError):
        stations(10, 0)


@pytest.mark.parametrize("sizes", [(29, 1, 1, 0, 1), (29, 2, 1, 29, 1), (29, 2, 1, 0, 3), (29, 2, -1, 0, 1)])
def test_senseless_tapers_are_refused(sizes: tuple[float, float, float, float, int]) -> None:
    with pytest.raises(ValueError):
        taper(*sizes)

"""Tenons, dowels, mortises and grooves: against plane geometry (shapely), cutting simulated, practice."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, affinity, box

from sheetkit.calc.dowels import Row, dowel_row
from sheetkit.calc.grooves import cutter_reach, groove_plan
from sheetkit.calc.joints import (
    Share,
    TenonPieces,
    dowel_diameter_share,
    haunched_tenon,
    loose_tenon_length,
    tenon_division,
    tenon_stock,
    tenon_strips,
    tenon_thickness_share,
)
from sheetkit.calc.mortises import (
    Depth,
    Recess,
    cheek_walls,
    corner_mortises,
    depth_passes,
    mortise_depth,
    stepped_recess,
)

SIZE = st.integers(1, 64).map(lambda n: n / 16)


def test_a_loose_tenon_is_both_depths_less_a_glue_gap_for_each_mortise() -> None:
    assert loose_tenon_length(1.25, 1.5) == 2.625  # common practice, no source: 1/16 in at either bottom
    assert loose_tenon_length(0.5, 0.5, glue_gap=0) == 1.0


@pytest.mark.parametrize("depths", [(0, 1), (1, -1), (math.nan, 1), (math.inf, 1)])
def test_a_mortise_without_depth_is_refused(depths: tuple[float, float]) -> None:
    with pytest.raises(ValueError):
        loose_tenon_length(*depths)


@pytest.mark.parametrize("depths", [(0.03, 1), (1, 1 / 16)])
def test_a_glue_gap_as_deep_as_a_mortise_is_refused(depths: tuple[float, float]) -> None:
    with pytest.raises(ValueError):
        loose_tenon_length(*depths)


@given(st.lists(st.tuples(SIZE, st.integers(1, 9)), min_size=1, max_size=5), st.sampled_from([0.0, 0.125]))
def test_tenon_stock_is_used_up_exactly_when_it_is_cut(sizes: list[tuple[float, int]], kerf: float) -> None:
    (stock,) = tenon_stock([TenonPieces(0.5, 2, length, count) for length, count in sizes], kerf)
    left = Fraction(stock.length) - Fraction(kerf)  # the first end squared
    for length, count in sizes:
        for _ in range(count):
            left -= Fraction(length) + Fraction(kerf)
    assert left == 0
    assert stock.count == sum(count for _, count in sizes)


def test_tenons_of_one_section_are_milled_together_and_the_thickest_come_first() -> None:
    pieces = [
        TenonPieces(0.375, 2, 2.4375, 8),
        TenonPieces(0.5, 3, 3, 4),
        TenonPieces(9.525 / 25.4, 50.8 / 25.4, 2, 2),
    ]
    stock = tenon_stock(pieces, 0.125)
    assert [(s.thickness, s.count) for s in stock] == [(0.5, 4), (0.375, 10)]
    assert stock[1].length == 8 * 2.4375 + 2 * 2 + 11 * 0.125


@pytest.mark.parametrize(
    ("thickness", "member", "mortised", "reason"),
    [
        (0.25, 0.75, None, Share.OK),  # a third
        (0.3125, 0.75, None, Share.OK),  # five twelfths, the next size up
        (0.375, 0.75, None, Share.THICK),
        (0.375, 0.75, 1.75, Share.OK),  # a half, when the mortised member is thicker
        (0.25, 1.25, None, Share.THIN),
        (8 / 25.4, 24 / 25.4, None, Share.OK),
    ],
)
def test_a_tenon_is_about_a_third_of_its_member(
    thickness: float, member: float, mortised: float | None, reason: Share
) -> None:
    assert tenon_thickness_share(thickness, member, mortised).reason is reason


@pytest.mark.parametrize(
    ("diameter", "reason"), [(0.25, Share.OK), (0.375, Share.OK), (0.5, Share.THICK), (0.1875, Share.THIN)]
)
def test_a_dowel_is_a_third_to_a_half_of_three_quarters(diameter: float, reason: Share) -> None:
    share = dowel_diameter_share(diameter, 0.75)
    assert (share.reason, share.least, share.most) == (reason, 0.25, 0.375)


@given(SIZE, SIZE)
def test_a_divided_tenon_fills_its_width_and_no_part_is_too_wide(width: float, thickness: float) -> None:
    cut = tenon_division(width, thickness)
    assert cut.count * cut.each + (cut.count - 1) * cut.between == pytest.approx(width)
    assert cut.each <= 6 * thickness + 1e-9
    if cut.count > 1:  # one fewer would be too wide
        fewer = cut.count - 1
        assert (width - (fewer - 1) * thickness) / fewer > 6 * thickness


def test_a_tenon_of_just_six_times_its_thickness_stays_whole() -> None:
    assert tenon_division(3.0, 0.5).count == 1
    assert tenon_division(3.0625, 0.5).count == 2
    assert tenon_division(6 * 9 / 25.4, 9 / 25.4).count == 1


def test_haunch_groove_and_tenon_make_up_the_rail() -> None:
    haunch = haunched_tenon(2.5, 0.5, 0.25)
    assert haunch.width + haunch.tenon_width + 0.5 == 2.5
    assert haunch.length == 0.5
    with pytest.raises(ValueError):
        haunched_tenon(0.5, 0.5)


@given(SIZE.map(lambda s: s * 8), st.sampled_from([0.25, 0.375, 0.5]))
def test_dowels_keep_to_the_spacing_and_stand_the_same_from_both_edges(width: float, diameter: float) -> None:
    row = dowel_row(width, diameter)
    assert len(row.centers) == row.count
    assert row.centers[0] == pytest.approx(width - row.centers[-1])
    if row.reason is Row.OK:
        assert 2 * diameter - 1e-9 <= row.spacing <= 3 + 1e-9 or row.count == 2
        assert row.centers[0] == pytest.approx(2 * diameter)
    else:
        assert width < 6 * diameter


@pytest.mark.parametrize(
    ("depth", "reason", "wall"),
    [
        (1.25, Depth.OK, 0.5),
        (1.3125, Depth.OK, 0.4375),
        (1.375, Depth.DEEP, 0.375),
        (1.75, Depth.THROUGH, 0),
        (2, Depth.BEYOND, -0.25),
    ],
)
def test_a_mortise_goes_no_deeper_than_three_quarters_of_its_leg(
    depth: float, reason: Depth, wall: float
) -> None:
    found = mortise_depth(depth, 1.75)
    assert (found.reason, found.wall, found.deepest) == (reason, wall, 1.3125)


def test_the_two_cheeks_and_the_mortise_make_up_the_member() -> None:
    assert cheek_walls(1.75, 0.5) == (0.625, 0.625)
    assert cheek_walls(1.75, 0.5, setback=0.25) == (0.25, 1.0)
    assert cheek_walls(1.75, 0.5, setback=1.5)[1] < 0


@given(SIZE, SIZE, SIZE, SIZE, SIZE, SIZE)
def test_mortises_meet_just_where_their_rectangles_overlap(
    depth_a: float, thick_a: float, back_a: float, depth_b: float, thick_b: float, back_b: float
) -> None:
    corner = corner_mortises(depth_a, thick_a, back_a, depth_b, thick_b, back_b)
    a = box(0, back_a, depth_a, back_a + thick_a)
    b = box(back_b, 0, back_b + thick_b, depth_b)
    assert corner.meet == (a.intersection(b).area > 0)
    if not corner.meet:
        assert (corner.depth_a, corner.gained_a) == (depth_a, 0)
        return
    # either depth that would do, does; a thirty-second more would not
    assert box(0, back_a, corner.depth_a, back_a + thick_a).intersection(b).area == 0
    assert box(back_b, 0, back_b + thick_b, corner.depth_b).intersection(a).area == 0
    assert box(0, back_a, corner.depth_a + 1 / 32, back_a + thick_a).intersection(b).area > 0
    # mitred tenons lie within their mortises and do not overlap
    line = Polygon([(back_b, back_a), (back_b + 99 * thick_b, back_a + 99 * thick_a), (0, 9999), (0, back_a)])
    mitred_a = a.intersection(line)
    mitred_b = b.difference(line)
    assert mitred_a.intersection(mitred_b).area == pytest.approx(0, abs=1e-9)
    assert mitred_a.bounds[2] == pytest.approx(corner.mitred_a)
    assert mitred_b.bounds[3] == pytest.approx(corner.mitred_b)
    assert corner.mitre_a + corner.mitre_b == pytest.approx(90)


def test_a_leg_of_an_inch_and_three_quarters_with_inch_deep_mortises_from_two_faces() -> None:
    corner = corner_mortises(1, 0.5, 0.625, 1, 0.5, 0.625, wall=1 / 16)
    assert corner.meet
    assert (corner.overlap_a, corner.depth_a, corner.mitred_a, corner.mitre_a) == (0.375, 0.5625, 1, 45)
    assert corner.gained_a == corner.mitred_a - corner.depth_a


def test_mortises_at_different_heights_do_not_meet() -> None:
    sizes = (1.0, 0.5, 0.625, 1.0, 0.5, 0.625)
    assert not corner_mortises(*sizes, along_a=(0, 2), along_b=(2, 4)).meet
    assert corner_mortises(*sizes, along_a=(0, 2), along_b=(1.9, 4)).meet


@given(st.integers(8, 80), st.integers(1, 8))
def test_a_disc_cutter_reaches_half_its_chord_at_the_surface(radius: int, depth: int) -> None:
    radius_in, depth_in = radius / 8, depth / 8
    disc = affinity.scale(Point(0, radius_in - depth_in).buffer(1, quad_segs=512), radius_in, radius_in)
    chord = disc.intersection(box(-99, -99, 99, 0))  # the part below the surface, y = 0
    assert (chord.bounds[2] - chord.bounds[0]) / 2 == pytest.approx(
        cutter_reach(radius_in, depth_in), rel=1e-4
    )


@given(st.lists(st.tuples(SIZE.map(lambda s: s * 8), SIZE), max_size=4), SIZE)
def test_grooves_keep_clear_of_every_mortise_and_are_nowhere_shorter_than_they_must(
    mortises: list[tuple[float, float]], stop: float
) -> None:
    stop, clear = stop * 8, 0.125
    spans = [(at, at + length) for at, length in mortises]
    plan = groove_plan(0, stop, spans, clear, reach=0.25)
    wanted = box(0, 0, stop, 1)
    for near, far in spans:
        wanted = wanted.difference(box(near - clear, -1, far + clear, 2))
    assert sum(run.stop - run.start for run in plan.runs) == pytest.approx(wanted.area)
    for run in plan.runs:
        assert box(run.start, 0.4, run.stop, 0.6).difference(wanted).area == pytest.approx(0, abs=1e-9)
    assert set(plan.runs_into) == {span for span in spans if span[0] < stop}


def test_a_groove_a_quarter_wide_and_a_half_deep_stops_before_the_mortises() -> None:
    # common practice, no source: such a groove stops before the mortise
    reach = cutter_reach(3.0, 0.5)
    plan = groove_plan(0, 30, [(0.5, 3.0), (27.0, 29.5)], clear=0.25, reach=reach, shortest=1)
    (run,) = plan.runs
    assert plan.runs_into == ((0.5, 3.0), (27.0, 29.5))
    assert (run.start, run.stop, run.too_short) == (3.25, 26.75, False)
    assert math.hypot(run.lower_at - run.start, 3.0 - 0.5) == pytest.approx(3.0)  # on the cutter's rim
    assert run.lift_at == run.stop - reach


def test_a_groove_clear_of_mortises_runs_out_at_both_ends_without_lifting() -> None:
    plan = groove_plan(0, 20, [], reach=1.5)
    assert plan.runs_into == ()
    assert [(r.start, r.stop, r.lower_at, r.lift_at) for r in plan.runs] == [(0, 20, 0, 20)]


def test_a_groove_shorter_than_its_cutter_is_marked() -> None:
    plan = groove_plan(0, 10, [(0, 4), (6, 10)], clear=0, reach=1.25)
    assert [run.too_short for run in plan.runs] == [True]


def test_a_stepped_recess_is_cut_shallow_first_and_marks_thin_walls_and_stray_steps() -> None:
    steps = stepped_recess([(1.5, 0.75, 1.0), (1, 4, 0.125), (4.5, 1, 0.5)], 1.125)
    assert [(s.depth, s.wall, s.reason) for s in steps] == [
        (0.125, 1.0, Recess.OK),
        (0.5, 0.625, Recess.LOOSE),
        (1.0, 0.125, Recess.WALL),
    ]
    assert stepped_recess([(0, 1, 2)], 1.5)[0].reason is Recess.BEYOND


@given(SIZE, SIZE)
def test_depth_passes_are_equal_and_no_more_than_needed(depth: float, most: float) -> None:
    passes = depth_passes(depth, most)
    assert passes[-1] == depth
    assert passes[0] <= most + 1e-9
    if len(passes) > 1:
        assert depth / (len(passes) - 1) > most
    assert list(passes) == pytest.approx([passes[0] * (n + 1) for n in range(len(passes))])


@given(
    st.integers(1, 40),
    SIZE,
    st.integers(1, 640).map(lambda n: n / 16),
    st.integers(0, 4).map(lambda n: n / 16),
)
def test_strips_for_tenons_are_those_that_cutting_one_after_another_takes(
    count: int, longest: float, length: float, kerf: float
) -> None:
    strips, left, cut = 1, length - kerf, 0
    while cut < count:
        if left >= longest + kerf:
            left, cut = left - longest - kerf, cut + 1
        elif left == length - kerf:  # a whole strip gives none
            strips = 0
            break
        else:
            strips, left = strips + 1, length - kerf
    assert tenon_strips(count, longest, length, kerf) == strips

"""Boxes in a part, against shapely: the section of each by plan and elevation, on parts and cuts by chance."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.calc.boxes import SIDES, Box, between, centered, shared, sunk, walls

SIZES = st.integers(1, 96).map(lambda count: count / 16)
# where each surface lies: (fixed direction, at its far end), and the two directions that span it, written out by hand
LIES = {
    "face": (2, False, 0, 1), "back": (2, True, 0, 1), "edge": (1, False, 0, 2), "far edge": (1, True, 0, 2),
    "end": (0, False, 1, 2), "far end": (0, True, 1, 2),
}  # fmt: skip


@st.composite
def spans(draw: st.DrawFn) -> tuple[float, float]:
    start = draw(SIZES)
    return start, start + draw(SIZES)


BOXES = st.builds(Box, spans(), spans(), spans())


def seen(box: tuple[tuple[float, float], ...], one: int, other: int) -> shapely.Polygon:
    """Give a box as it is seen along the third direction."""
    return shapely.box(box[one][0], box[other][0], box[one][1], box[other][1])


@given(BOXES, BOXES)
def test_what_two_boxes_share_is_what_their_views_share(one: Box, other: Box) -> None:
    views = [seen(one, *pair).intersection(seen(other, *pair)) for pair in ((0, 1), (0, 2), (1, 2))]
    found = shared(one, other)
    if found is None:
        assert min(view.area for view in views) == pytest.approx(0)
        return
    along, beside, within = found
    assert views[0].area == pytest.approx(along * beside)
    assert views[1].area == pytest.approx(along * within)
    assert views[2].area == pytest.approx(beside * within)


@given(BOXES, BOXES)
def test_the_wood_between_two_boxes_is_the_distance_of_their_views(one: Box, other: Box) -> None:
    found = between(one, other)
    apart = [seen(one, *pair).distance(seen(other, *pair)) for pair in ((0, 1), (0, 2), (1, 2))]
    if found is not None:
        assert max(apart) == pytest.approx(found)
        # seen along the direction in which they are apart, they cover one another
        assert min(apart) == 0
    elif shared(one, other) is None:
        # apart in two directions or more: no view shows them over one another in both of its directions
        assert sum(distance == 0 for distance in apart) <= 1


@given(st.sampled_from(sorted(SIDES)), st.tuples(SIZES, SIZES, SIZES), spans(), spans(), SIZES)
def test_what_is_sunk_in_a_surface_opens_there_and_leaves_the_rest(
    surface: str, size: tuple[float, float, float], along: tuple[float, float], across: tuple[float, float], depth: float
) -> None:  # fmt: skip
    into, far, one, other = LIES[surface]
    box = sunk(surface, size, along, across, depth)
    assert box[one] == along
    assert box[other] == across
    assert box[into][1] - box[into][0] == pytest.approx(depth)
    assert box[into][1 if far else 0] == (size[into] if far else 0)
    lengthwise, sideways, behind = walls(surface, size, box)
    assert lengthwise[0] + (along[1] - along[0]) + lengthwise[1] == pytest.approx(size[one])
    assert sideways[0] + (across[1] - across[0]) + sideways[1] == pytest.approx(size[other])
    assert behind + depth == pytest.approx(size[into])


@given(SIZES, SIZES)
def test_what_stands_in_the_middle_has_as_much_on_either_side(room: float, long: float) -> None:
    near, far = centered(room, long)
    assert far - near == pytest.approx(long)
    assert near == pytest.approx(room - far)


def test_a_groove_meets_the_mortise_in_the_end_of_its_rail() -> None:
    """A rail 5 wide, 1 1/2 thick; a mortise 4 3/4 wide, 1 1/2 deep in its end; a groove 1/2 deep: by hand, 3/8."""
    rail = (60.0, 5.0, 1.5)
    mortise = sunk("end", rail, centered(5, 4.75), centered(1.5, 0.375), 1.5)
    groove = sunk("edge", rail, (0, 60), centered(1.5, 0.25), 0.5)
    assert walls("end", rail, mortise)[0] == (0.125, 0.125)
    assert shared(mortise, groove) == (1.5, 0.375, 0.25)


def test_mortises_in_adjacent_faces_of_a_leg_share_a_square() -> None:
    """Both 1 1/2 deep and 1/2 thick, in the middle of a 3 in leg: 1 1/4 to 1 3/4 across, by hand 1/4 square."""
    leg = (30.0, 3.0, 3.0)
    one = sunk("face", leg, (2, 4), centered(3, 0.5), 1.5)
    other = sunk("edge", leg, (2, 4), centered(3, 0.5), 1.5)
    assert one.across == other.through == (1.25, 1.75)
    assert shared(one, other) == (2, 0.25, 0.25)

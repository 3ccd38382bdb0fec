"""Mortises: the wall they leave, two that would meet in a leg, and stepped recesses for hardware."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

_SLACK = 1e-9  # sizes typed in mm come back as inches a hair off

Span = tuple[float, float]


class Depth(StrEnum):
    """What a mortise's depth does to its member."""

    OK = "ok"
    DEEP = "deep"
    THROUGH = "through"
    BEYOND = "beyond"


class Recess(StrEnum):
    """What stands against one step of a recess."""

    OK = "ok"
    WALL = "wall"
    BEYOND = "beyond"
    LOOSE = "outside the step above"


@dataclass(frozen=True)
class MortiseDepth:
    """A depth as a share of the member, the wall left behind it and the deepest that suits [in]."""

    reason: Depth
    share: float
    wall: float
    deepest: float


@dataclass(frozen=True)
class CornerMortises:
    """Two mortises from adjacent faces of a leg.

    `meet` is true where they cut into each other, by `overlap_a` along mortise a and `overlap_b` along
    mortise b. `depth_a` and `depth_b` are the depths that would do, the other one left as it is.
    `mitred_a` and `mitred_b` are the longest reach of tenons mitred where they meet, `gained_a` and
    `gained_b` what that is more than those depths, `mitre_a` and `mitre_b` the angles of the tenons' ends
    off square [deg]. Lengths in [in].
    """

    meet: bool
    overlap_a: float
    overlap_b: float
    depth_a: float
    depth_b: float
    mitred_a: float
    mitred_b: float
    gained_a: float
    gained_b: float
    mitre_a: float
    mitre_b: float


@dataclass(frozen=True)
class RecessStep:
    """One step of a stepped recess: from, to, depth and the wall left behind it [in]."""

    reason: Recess
    start: float
    stop: float
    depth: float
    wall: float


def mortise_depth(depth: float, member: float, most_share: float = 3 / 4) -> MortiseDepth:
    """Return the wall left behind a mortise, and whether it goes too deep.

    Parameters
    ----------
    depth : float
        Depth of the mortise [in]
    member : float
        Size of the member in the direction of the depth [in]
    most_share : float
        Deepest a blind mortise may go, as a share of the member [-]

    Returns
    -------
    MortiseDepth
        A depth equal to the member's size is a through mortise, which is no fault.

    Raises
    ------
    ValueError
        If a size is not above 0 or the share is not between 0 and 1.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> mortise_depth(1.5, 1.75)
    MortiseDepth(reason=<Depth.DEEP: 'deep'>, share=0.8571428571428571, wall=0.25, deepest=1.3125)

    References
    ----------
    Common practice, no source.
    """
    if not (0 < depth < math.inf and 0 < member < math.inf and 0 < most_share < 1):
        raise ValueError("sizes must be above 0, the share between 0 and 1")
    wall = member - depth
    if wall < -_SLACK:
        reason = Depth.BEYOND
    elif wall <= _SLACK:
        reason = Depth.THROUGH
    elif depth > most_share * member + _SLACK:
        reason = Depth.DEEP
    else:
        reason = Depth.OK
    return MortiseDepth(reason, depth / member, wall, most_share * member)


def cheek_walls(member: float, thickness: float, setback: float | None = None) -> tuple[float, float]:
    """Return the wood left on either side of a mortise's thickness.

    Parameters
    ----------
    member : float
        Size of the member across the mortise [in]
    thickness : float
        Thickness of the mortise [in]
    setback : float, optional
        From the reference face to the near cheek; centered unless given [in]

    Returns
    -------
    tuple of float
        Wall at the reference face and wall at the far face [in]; below 0 where the mortise breaks out.

    Raises
    ------
    ValueError
        If a size is not above 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> cheek_walls(1.75, 0.5)
    (0.625, 0.625)

    References
    ----------
    Arithmetic.
    """
    if not (0 < member < math.inf and 0 < thickness < math.inf):
        raise ValueError("sizes must be above 0")
    near = (member - thickness) / 2 if setback is None else setback
    return near, member - thickness - near


def corner_mortises(
    depth_a: float,
    thickness_a: float,
    setback_a: float,
    depth_b: float,
    thickness_b: float,
    setback_b: float,
    wall: float = 0.0,
    along_a: Span | None = None,
    along_b: Span | None = None,
) -> CornerMortises:
    """Return whether two mortises from adjacent faces of a leg would meet, and what would do instead.

    Parameters
    ----------
    depth_a, depth_b : float
        Depth of each mortise [in]
    thickness_a, thickness_b : float
        Thickness of each mortise [in]
    setback_a : float
        From the face that mortise b opens in to the near cheek of mortise a [in]
    setback_b : float
        From the face that mortise a opens in to the near cheek of mortise b [in]
    wall : float
        Wood wanted between the two [in]
    along_a, along_b : tuple of float, optional
        Where each mortise begins and ends along the leg; taken as level with each other unless given [in]

    Returns
    -------
    CornerMortises
        The overlaps are 0 where they do not meet. A depth that would do may be 0 or less: none does.

    Raises
    ------
    ValueError
        If a depth or thickness is not above 0, or a setback or the wall is below 0.

    Notes
    -----
    In the leg's section, mortise a takes up 0..depth_a by setback_a..setback_a + thickness_a, mortise b
    the same with the axes changed over. They meet when each reaches past the other's near cheek. Tenons
    mitred along the line through both inner and outer cheeks reach to the other's far cheek, as far as
    the mortises are deep. Not rounded.

    Examples
    --------
    >>> corner = corner_mortises(1.0, 0.5, 0.625, 1.0, 0.5, 0.625)
    >>> corner.meet, corner.overlap_a, corner.depth_a, corner.gained_a, corner.mitre_a
    (True, 0.375, 0.625, 0.375, 45.0)

    References
    ----------
    Plane geometry; mitring the ends is common practice, no source.
    """
    if not all(0 < size < math.inf for size in (depth_a, thickness_a, depth_b, thickness_b)):
        raise ValueError("depths and thicknesses must be above 0")
    if not all(0 <= size < math.inf for size in (setback_a, setback_b, wall)):
        raise ValueError("setbacks and the wall must be at least 0")
    level = along_a is None or along_b is None or _spans_meet(along_a, along_b)
    over_a, over_b = depth_a - setback_b + wall, depth_b - setback_a + wall
    meet = level and over_a > _SLACK and over_b > _SLACK
    if not meet:
        return CornerMortises(False, 0.0, 0.0, depth_a, depth_b, depth_a, depth_b, 0.0, 0.0, 0.0, 0.0)
    fits_a, fits_b = setback_b - wall, setback_a - wall
    reach_a, reach_b = min(depth_a, setback_b + thickness_b), min(depth_b, setback_a + thickness_a)
    return CornerMortises(
        meet=True,
        overlap_a=max(depth_a - setback_b, 0.0),
        overlap_b=max(depth_b - setback_a, 0.0),
        depth_a=fits_a,
        depth_b=fits_b,
        mitred_a=reach_a,
        mitred_b=reach_b,
        gained_a=reach_a - fits_a,
        gained_b=reach_b - fits_b,
        mitre_a=math.degrees(math.atan2(thickness_b, thickness_a)),
        mitre_b=math.degrees(math.atan2(thickness_a, thickness_b)),
    )


def _spans_meet(one: Span, other: Span) -> bool:
    return one[0] < other[1] - _SLACK and other[0] < one[1] - _SLACK


def stepped_recess(
    steps: Sequence[tuple[float, float, float]], member: float, least_wall: float = 1 / 4
) -> tuple[RecessStep, ...]:
    """Check a recess for hardware whose parts need different depths (a plate, and slots for its hooks).

    Parameters
    ----------
    steps : sequence of tuple of float
        Start, length and depth from the surface of each step, from the reference end [in]
    member : float
        Size of the member in the direction of the depth [in]
    least_wall : float
        Least wood wanted behind the deepest step [in]

    Returns
    -------
    tuple of RecessStep
        The shallow first, as they are cut: the first floor then carries the router for the next.

    Raises
    ------
    ValueError
        If there is no step, or a length, depth or the member is not above 0.

    Notes
    -----
    A deeper step that begins or ends outside the shallowest one is marked. Not rounded.

    Examples
    --------
    >>> [step.wall for step in stepped_recess([(1, 4, 0.125), (1.5, 0.75, 0.75)], 1.5)]
    [1.375, 0.75]

    References
    ----------
    Arithmetic; the least wall is common practice, no source.
    """
    if not steps or not 0 < member < math.inf:
        raise ValueError("a recess needs at least one step and a member thicker than 0")
    if not all(0 < length < math.inf and 0 < depth < math.inf for _, length, depth in steps):
        raise ValueError("each step must be longer and deeper than 0")
    in_order = sorted(steps, key=lambda step: (step[2], step[0]))
    outer_start, outer_stop = in_order[0][0], in_order[0][0] + in_order[0][1]
    found = []
    for start, length, depth in in_order:
        wall = member - depth
        reason = Recess.OK
        if wall < -_SLACK:
            reason = Recess.BEYOND
        elif wall < least_wall - _SLACK:
            reason = Recess.WALL
        elif start < outer_start - _SLACK or start + length > outer_stop + _SLACK:
            reason = Recess.LOOSE
        found.append(RecessStep(reason, start, start + length, depth, wall))
    return tuple(found)


def depth_passes(depth: float, most_a_pass: float) -> tuple[float, ...]:
    """Return the depths to set, pass by pass, for a mortise cut in equal steps.

    Parameters
    ----------
    depth : float
        Full depth [in]
    most_a_pass : float
        Deepest cut in one pass [in]

    Returns
    -------
    tuple of float
        Depth settings from the surface, the last one the full depth [in]

    Raises
    ------
    ValueError
        If a depth is not above 0.

    Notes
    -----
    The fewest equal passes. Not rounded.

    Examples
    --------
    >>> depth_passes(1.0, 0.25)
    (0.25, 0.5, 0.75, 1.0)

    References
    ----------
    Arithmetic.
    """
    if not (0 < depth < math.inf and 0 < most_a_pass < math.inf):
        raise ValueError("depths must be above 0")
    passes = max(1, math.ceil(depth / most_a_pass - _SLACK))
    return tuple(depth * step / passes for step in range(1, passes + 1))

"""Tapers and wedges: angle, offset of each face, and where the taper starts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Taper:
    """A straight taper: from, to, offset of each tapered face at the small end [in], and its angle [deg]."""

    starts_at: float
    ends_at: float
    faces: int
    offset: float
    angle: float


def taper(length: float, large_end: float, small_end: float, start: float = 0.0, faces: int = 1) -> Taper:
    """Return the angle and offset of a taper.

    Parameters
    ----------
    length : float
        Whole length of the member [in]
    large_end, small_end : float
        Size before the taper and at its small end [in]
    start : float
        Where the taper starts, from the large end [in]
    faces : int
        How many opposite faces are tapered, 1 or 2 [-]

    Returns
    -------
    Taper
        Offset and angle are of each tapered face, so they are halved when two are.

    Raises
    ------
    ValueError
        If the sizes are not large above small, the small end is below 0, the start is not on the
        length, or faces is not 1 or 2.

    Notes
    -----
    Not rounded. The angle is also the sled's: the wedge between the fence and the untapered face.

    Examples
    --------
    >>> leg = taper(29, 1.75, 1.0, start=5, faces=1)
    >>> leg.offset, round(leg.angle, 3)
    (0.75, 1.79)

    References
    ----------
    Plane geometry.
    """
    if not 0 <= small_end < large_end < math.inf:
        raise ValueError("the large end must be larger than the small end")
    if not 0 <= start < length < math.inf:
        raise ValueError("the taper must start on the member")
    if faces not in (1, 2):
        raise ValueError("one face or two opposite faces are tapered")
    offset = (large_end - small_end) / faces
    return Taper(start, length, faces, offset, wedge_angle(length - start, offset))


def taper_offsets(cut: Taper, places: Sequence[float]) -> tuple[float, ...]:
    """Return how much a taper has taken off each tapered face at given places.

    Parameters
    ----------
    cut : Taper
        The taper; its lengths in [in]
    places : sequence of float
        Places from the large end [in]

    Returns
    -------
    tuple of float
        Offset from the untapered face at each place [in]

    Raises
    ------
    ValueError
        If a place is not on the member.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> taper_offsets(taper(29, 1.75, 1.0, start=5), [0, 5, 17, 29])
    (0.0, 0.0, 0.375, 0.75)

    References
    ----------
    Plane geometry.
    """
    run = cut.ends_at - cut.starts_at
    return tuple(
        cut.offset * max(_on_member(place, cut.ends_at) - cut.starts_at, 0.0) / run for place in places
    )


def wedge_angle(length: float, rise: float) -> float:
    """Return the angle of a wedge or a sled.

    Parameters
    ----------
    length : float
        Length along the wedge's straight side [in]
    rise : float
        How much thicker it grows over that length [in]

    Returns
    -------
    float
        Angle [deg]

    Raises
    ------
    ValueError
        If the length is not above 0 or the rise is below 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> round(wedge_angle(8, 1), 3)
    7.125

    References
    ----------
    Plane geometry.
    """
    if not 0 < length < math.inf or not 0 <= rise < math.inf:
        raise ValueError("the length must be above 0, the rise at least 0")
    return math.degrees(math.atan2(rise, length))


def _on_member(place: float, length: float) -> float:
    if not -1e-9 <= place <= length + 1e-9:
        raise ValueError("a place must lie on the length")
    return min(max(place, 0.0), length)

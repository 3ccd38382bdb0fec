"""Arcs and the curve of a bent strip: radius, offsets at stations, width of the blank."""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum


class Bend(StrEnum):
    """How a strip is held to draw a curve."""

    PUSHED = "pushed"  # at two pins, pushed out in the middle
    STRUNG = "strung"  # its ends drawn together by a string


def stations(length: float, steps: int) -> tuple[float, ...]:
    """Return the ends of equal steps along a length.

    Parameters
    ----------
    length : float
        Whole length [in]
    steps : int
        Number of equal steps [-]

    Returns
    -------
    tuple of float
        steps + 1 places from 0 to the length [in]

    Raises
    ------
    ValueError
        If the length is not above 0 or there is no step.

    Notes
    -----
    Each place is worked out from the start, so no error adds up. Not rounded.

    Examples
    --------
    >>> stations(76, 4)
    (0.0, 19.0, 38.0, 57.0, 76.0)

    References
    ----------
    Arithmetic.
    """
    if not 0 < length < math.inf or steps < 1:
        raise ValueError("the length must be above 0, with at least one step")
    return tuple(length * step / steps for step in range(steps + 1))


def arc_radius(chord: float, rise: float) -> float:
    """Return the radius of an arc by its chord and rise.

    Parameters
    ----------
    chord : float
        Straight distance between the arc's ends [in]
    rise : float
        Height of the arc over the middle of the chord [in]

    Returns
    -------
    float
        Radius [in]

    Raises
    ------
    ValueError
        If chord or rise is not above 0, or the rise is over half the chord (more than a half circle).

    Notes
    -----
    chord^2 / (8 rise) + rise / 2. Not rounded.

    Examples
    --------
    >>> arc_radius(76, 0.5)
    1444.25

    References
    ----------
    Euclid, Elements, book III, proposition 35 (chords that cross): (chord/2)^2 = rise (2 radius - rise).
    """
    _check_arc(chord, rise)
    return chord * chord / (8 * rise) + rise / 2


def arc_offsets(chord: float, rise: float, places: Sequence[float]) -> tuple[float, ...]:
    """Return an arc's height over its chord at given places.

    Parameters
    ----------
    chord : float
        Straight distance between the arc's ends [in]
    rise : float
        Height of the arc over the middle of the chord [in]
    places : sequence of float
        Places along the chord from one end [in]

    Returns
    -------
    tuple of float
        Offset from the chord at each place [in]

    Raises
    ------
    ValueError
        As `arc_radius`, or if a place is not on the chord.

    Notes
    -----
    Written so that a flat arc of a very large radius loses no digits. Not rounded.

    Examples
    --------
    >>> [round(offset, 5) for offset in arc_offsets(76, 0.5, [0, 19, 38])]
    [0.0, 0.37502, 0.5]

    References
    ----------
    Equation of the circle.
    """
    radius = arc_radius(chord, rise)
    half = chord / 2

    def offset(place: float) -> float:
        across = _on_chord(place, chord) - half
        dip = across * across / (radius + math.sqrt(max(radius * radius - across * across, 0.0)))
        return max(rise - dip, 0.0)

    return tuple(offset(place) for place in places)


def arc_length(chord: float, rise: float) -> float:
    """Return the length along an arc, as for a strip that is bent to it.

    Parameters
    ----------
    chord : float
        Straight distance between the arc's ends [in]
    rise : float
        Height of the arc over the middle of the chord [in]

    Returns
    -------
    float
        Length along the arc [in]

    Raises
    ------
    ValueError
        As `arc_radius`.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> round(arc_length(76, 0.5), 4)
    76.0088

    References
    ----------
    Plane geometry: radius times angle; the tangent of a quarter of the angle is rise / (chord / 2).
    """
    _check_arc(chord, rise)
    return arc_radius(chord, rise) * 4 * math.atan2(rise, chord / 2)


def bent_strip_offsets(
    chord: float, rise: float, places: Sequence[float], bend: Bend = Bend.PUSHED
) -> tuple[float, ...]:
    """Return the height over the chord of the curve that a bent strip takes.

    Parameters
    ----------
    chord : float
        Straight distance between the strip's ends [in]
    rise : float
        Height of the strip over the middle of the chord [in]
    places : sequence of float
        Places along the chord from one end [in]
    bend : Bend
        How the strip is held: pushed out in the middle against two pins, or strung like a bow [-]

    Returns
    -------
    tuple of float
        Offset from the chord at each place [in]

    Raises
    ------
    ValueError
        As `arc_radius`, or if a place is not on the chord.

    Notes
    -----
    Pushed: the line of a beam on two supports under a load in the middle, 3 u - 4 u^3 of the rise up to
    u = 1/2. Strung: the first buckling shape of a column with pinned ends, half a sine. Both hold for
    small deflections and a strip of even section; above a rise of about a tenth of the chord the real
    strip departs from them. Not rounded.

    Examples
    --------
    >>> bent_strip_offsets(76, 0.5, [0, 19, 38])
    (0.0, 0.34375, 0.5)

    References
    ----------
    Euler-Bernoulli beam theory and Euler's column, as in Timoshenko and Gere, Theory of Elastic
    Stability, 2nd ed. (1961), ch. 1-2 (from memory).
    """
    _check_arc(chord, rise)

    def offset(place: float) -> float:
        share = _on_chord(place, chord) / chord
        share = min(share, 1 - share)
        if bend is Bend.STRUNG:
            return rise * math.sin(math.pi * share)
        return rise * (3 * share - 4 * share**3)

    return tuple(offset(place) for place in places)


def strip_departure(chord: float, rise: float, bend: Bend = Bend.PUSHED) -> tuple[float, float]:
    """Return the largest difference between the arc and the bent strip's curve, and where it is.

    Parameters
    ----------
    chord : float
        Straight distance between the ends [in]
    rise : float
        Height over the middle of the chord [in]
    bend : Bend
        How the strip is held [-]

    Returns
    -------
    tuple of float
        Difference, and its place from the nearer end [in]

    Raises
    ------
    ValueError
        As `arc_radius`.

    Notes
    -----
    Looked for at 2,000 places on half the chord: the difference is good to a millionth of the rise.
    About 2/27 of the rise for a flat arc and a pushed strip, at a sixth of the chord.

    Examples
    --------
    >>> round(strip_departure(76, 0.5)[0], 3)
    0.037

    References
    ----------
    As `arc_offsets` and `bent_strip_offsets`.
    """
    places = stations(chord / 2, 2000)
    arc, strip = arc_offsets(chord, rise, places), bent_strip_offsets(chord, rise, places, bend)
    return max((abs(a - b), place) for a, b, place in zip(arc, strip, places, strict=True))


def curved_blank_width(width: float, rise: float, parts: int = 1, kerf: float = 0.0) -> float:
    """Return the width of the blank for curved parts of even width, nested one within the next.

    Parameters
    ----------
    width : float
        Width of the finished part, measured square to the chord [in]
    rise : float
        Rise of its curve [in]
    parts : int
        How many parts are sawn side by side from the one blank [-]
    kerf : float
        Width of the saw cut between two of them [in]

    Returns
    -------
    float
        Least width, before any allowance [in]

    Raises
    ------
    ValueError
        If the width is not above 0, the rise or kerf is below 0, or there is no part.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> curved_blank_width(3, 0.5)
    3.5

    References
    ----------
    Arithmetic.
    """
    if not 0 < width < math.inf or not (0 <= rise < math.inf and 0 <= kerf < math.inf) or parts < 1:
        raise ValueError("the width must be above 0, rise and kerf at least 0, with at least one part")
    return parts * width + (parts - 1) * kerf + rise


def _check_arc(chord: float, rise: float) -> None:
    if not 0 < chord < math.inf or not 0 < rise <= chord / 2:
        raise ValueError("chord and rise must be above 0, the rise no more than half the chord")


def _on_chord(place: float, length: float) -> float:
    if not -1e-9 <= place <= length + 1e-9:
        raise ValueError("a place must lie on the length")
    return min(max(place, 0.0), length)

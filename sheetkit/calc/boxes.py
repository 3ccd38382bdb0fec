"""Where a thing sits on a part: boxes in its own coordinates, what they share, the wood left around them.

A part is a bar: its length from the reference end, its width across from its edge, its thickness in
from its face.
"""

from __future__ import annotations

from typing import NamedTuple

_SLACK = 1e-9  # sizes typed in mm come back as inches a hair off

Span = tuple[float, float]
Spans = tuple[Span, Span, Span]
"""Along, across and through a part."""


class Box(NamedTuple):
    """What lies between two places along, across and through a part [in]."""

    along: Span
    across: Span
    through: Span


class Side(NamedTuple):
    """Which of a part's three directions run along, across and into a surface, and from which end."""

    along: int
    across: int
    into: int
    far: bool


SIDES = {
    "face": Side(0, 1, 2, False),
    "back": Side(0, 1, 2, True),
    "edge": Side(0, 2, 1, False),
    "far edge": Side(0, 2, 1, True),
    "end": Side(1, 2, 0, False),
    "far end": Side(1, 2, 0, True),
}
"""The six surfaces; on an end, what is along the surface goes from edge to far edge."""


def sunk(surface: str, size: tuple[float, float, float], along: Span, across: Span, depth: float) -> Box:
    """Return what a mortise, groove, hole or recess takes out of a part.

    Parameters
    ----------
    surface : str
        One of `SIDES` [-]
    size : tuple of float
        Length, width and thickness of the part [in]
    along, across : tuple of float
        Where it begins and ends along and across the surface [in]
    depth : float
        From the surface [in]

    Returns
    -------
    Box
        In the part's own coordinates [in]

    Raises
    ------
    KeyError
        If there is no such surface.

    Notes
    -----
    Not rounded; a box deeper than its part reaches beyond it.

    Examples
    --------
    >>> sunk("far edge", (30, 5, 1.5), (3, 4.5), (0.5, 1), 1.25)
    Box(along=(3, 4.5), across=(3.75, 5), through=(0.5, 1))

    References
    ----------
    Geometry.
    """
    side = SIDES[surface]
    deep = size[side.into]
    spans: list[Span] = [(0.0, 0.0)] * 3
    spans[side.along], spans[side.across] = along, across
    spans[side.into] = (deep - depth, deep) if side.far else (0.0, depth)
    return Box(*spans)


def centered(room: float, long: float) -> Span:
    """Return where something begins and ends in the middle of a room."""
    return (room - long) / 2, (room + long) / 2


def shared(one: Spans, other: Spans) -> tuple[float, float, float] | None:
    """Return how much two boxes share.

    Parameters
    ----------
    one, other : tuple of tuple of float
        Boxes in the same part [in]

    Returns
    -------
    tuple of float or None
        Along, across and through [in]; None where they do not meet, or only touch.

    Raises
    ------
    Nothing.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> shared(Box((0, 2), (0, 1), (0, 1)), Box((1, 3), (0.5, 2), (0, 1)))
    (1, 0.5, 1)

    References
    ----------
    Geometry.
    """
    near, beside, within = (min(a[1], b[1]) - max(a[0], b[0]) for a, b in zip(one, other, strict=True))
    return (near, beside, within) if min(near, beside, within) > _SLACK else None


def between(one: Spans, other: Spans) -> float | None:
    """Return the wood between two boxes that pass one another closely.

    Parameters
    ----------
    one, other : tuple of tuple of float
        Boxes in the same part [in]

    Returns
    -------
    float or None
        What is left between them in the one direction in which they are apart [in]; None where they
        are apart in several directions, or meet.

    Raises
    ------
    Nothing.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> between(Box((0, 2), (0, 1), (0, 1)), Box((1, 3), (1.25, 2), (0, 1)))
    0.25

    References
    ----------
    Geometry.
    """
    apart = [max(a[0], b[0]) - min(a[1], b[1]) for a, b in zip(one, other, strict=True)]
    gaps = [gap for gap in apart if gap >= -_SLACK]
    return max(gaps[0], 0.0) if len(gaps) == 1 else None


def walls(surface: str, size: tuple[float, float, float], box: Spans) -> tuple[Span, Span, float]:
    """Return the wood left around a box that opens in a surface.

    Parameters
    ----------
    surface : str
        One of `SIDES` [-]
    size : tuple of float
        Length, width and thickness of the part [in]
    box : tuple of tuple of float
        In the part [in]

    Returns
    -------
    tuple
        Left before and beyond it along the surface, on either side across it, and behind it [in]; below 0
        where it breaks out.

    Raises
    ------
    KeyError
        If there is no such surface.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> walls("edge", (30, 5, 1.5), Box((3, 4.5), (0, 1.25), (0.5, 1)))
    ((3, 25.5), (0.5, 0.5), 3.75)

    References
    ----------
    Geometry.
    """
    side = SIDES[surface]
    left: list[Span] = [(span[0], whole - span[1]) for span, whole in zip(box, size, strict=True)]
    return left[side.along], left[side.across], left[side.into][0 if side.far else 1]

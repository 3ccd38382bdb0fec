"""Room that a piece of furniture encloses, as the rule on clothing storage counts it."""

from __future__ import annotations

BELOW = 1 / 8
"""Taken off the height of a drawer's room [in]."""
CUBIC_INCHES = 12.0**3
"""In a cubic foot [in3]."""


def drawer_volume(height: float, width: float, depth: float) -> float:
    """Return the room in a drawer.

    Parameters
    ----------
    height : float
        From its bottom to the lowest thing above it [in].
    width : float
        Inside [in].
    depth : float
        Inside, from front to back [in].

    Returns
    -------
    float
        Enclosed volume [ft3].

    Raises
    ------
    ValueError
        When a size is not positive.

    Notes
    -----
    (height - 1/8) x width x depth.

    References
    ----------
    Consumer Product Safety Commission, guidance on 16 CFR 1261 (ASTM F2057-23).

    Examples
    --------
    >>> round(drawer_volume(6.125, 24, 18), 3)
    1.5
    """
    if min(height, width, depth) <= 0:
        raise ValueError(f"a drawer {height} x {width} x {depth}")
    return max(height - BELOW, 0.0) * width * depth / CUBIC_INCHES


def door_volume(height: float, width: float, depth: float) -> float:
    """Return the room behind a door, half of which counts.

    Parameters
    ----------
    height : float
        Height of the room [in].
    width : float
        Width of the room [in].
    depth : float
        From the door to the back [in].

    Returns
    -------
    float
        Enclosed volume that counts [ft3].

    Raises
    ------
    ValueError
        When a size is not positive.

    Notes
    -----
    Half of height x width x depth.

    References
    ----------
    Consumer Product Safety Commission, guidance on 16 CFR 1261 (ASTM F2057-23).

    Examples
    --------
    >>> door_volume(48, 24, 18)
    6.0
    """
    if min(height, width, depth) <= 0:
        raise ValueError(f"a room {height} x {width} x {depth}")
    return height * width * depth / 2 / CUBIC_INCHES

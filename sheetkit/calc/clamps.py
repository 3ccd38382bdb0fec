"""Clamps for a glue-up: where they stand, the force they bring, the length needed, two joined."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

_SLACK = 1e-9  # sizes typed in mm come back as inches a hair off


class Reach(StrEnum):
    """How a clamp of the length needed is had."""

    ONE = "one"
    JOINED = "two joined"
    NONE = "none long enough"


@dataclass(frozen=True)
class ClampRow:
    """Clamps along a joint: places from one end [in]; `below` tells which go under a panel."""

    spacing: float
    places: tuple[float, ...]
    below: tuple[bool, ...]


@dataclass(frozen=True)
class ClampChoice:
    """The clamps to take, one or two joined end to end [in], for the length needed [in]."""

    reach: Reach
    needed: float
    clamps: tuple[float, ...]


def clamp_row(along: float, largest_spacing: float, end: float | None = None, least: int = 2) -> ClampRow:
    """Space clamps along a joint.

    Parameters
    ----------
    along : float
        Length along which the clamps stand [in]
    largest_spacing : float
        Most from one clamp to the next [in]
    end : float, optional
        From each end to the nearest clamp; half the largest spacing, or a quarter of a short length,
        unless given [in]
    least : int
        Fewest clamps [-]

    Returns
    -------
    ClampRow
        Equally spaced; on a panel they go above and below by turns, so that it stays flat.

    Raises
    ------
    ValueError
        If a length is not above 0, the ends take up the whole length, or least is below 1.

    Notes
    -----
    Places are worked out from one end. Not rounded.

    Examples
    --------
    >>> clamp_row(36, 9).places
    (4.5, 13.5, 22.5, 31.5)

    References
    ----------
    Common practice, no source.
    """
    if not (0 < along < math.inf and 0 < largest_spacing < math.inf) or least < 1:
        raise ValueError("lengths must be above 0, with at least one clamp")
    inset = min(largest_spacing / 2, along / 4) if end is None else end
    run = along - 2 * inset
    if inset < 0 or run < 0:
        raise ValueError("the end clamps must stand on the length")
    count = max(least, math.ceil(run / largest_spacing - _SLACK) + 1)
    if count == 1:
        return ClampRow(0.0, (along / 2,), (False,))
    places = tuple(inset + run * place / (count - 1) for place in range(count))
    return ClampRow(run / (count - 1), places, tuple(place % 2 == 1 for place in range(count)))


def clamp_force(area: float, pressure: float) -> float:
    """Return the force that presses a glued area.

    Parameters
    ----------
    area : float
        Glued area [in2]
    pressure : float
        Pressure wanted for the adhesive and the wood [psi]

    Returns
    -------
    float
        Force of all clamps together [lb]

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> clamp_force(27, 100)
    2700

    References
    ----------
    Arithmetic; pressures: Wood Handbook, ch. 10 (from memory).
    """
    if not (0 < area < math.inf and 0 < pressure < math.inf):
        raise ValueError("area and pressure must be above 0")
    return area * pressure


def clamps_for_force(force: float, force_a_clamp: float) -> int:
    """Return how many clamps bring a force [lb], rounded up, from the force of one [lb]; both above 0."""
    if not (0 < force < math.inf and 0 < force_a_clamp < math.inf):
        raise ValueError("forces must be above 0")
    return math.ceil(force / force_a_clamp - _SLACK)


def clamp_length(size: float, jaws: float) -> float:
    """Return the opening that a clamp needs.

    Parameters
    ----------
    size : float
        Size of the assembly in the direction of the clamps [in]
    jaws : float
        What the jaws, pads and cauls take, and room to slip the clamp on [in]

    Returns
    -------
    float
        Least opening [in]

    Raises
    ------
    ValueError
        If the size is not above 0 or the jaws are below 0.

    Notes
    -----
    Not rounded; round up.

    Examples
    --------
    >>> clamp_length(80, 3)
    83

    References
    ----------
    Common practice, no source.
    """
    if not 0 < size < math.inf or not 0 <= jaws < math.inf:
        raise ValueError("the size must be above 0, the jaws at least 0")
    return size + jaws


def clamp_choice(needed: float, owned: Sequence[float], joining_takes: float = 0.0) -> ClampChoice:
    """Choose the clamp length, or two joined end to end where none alone is long enough.

    Parameters
    ----------
    needed : float
        Least opening [in]
    owned : sequence of float
        Lengths owned, each taken as owned in pairs or more [in]
    joining_takes : float
        Length lost where two are hooked together [in]

    Returns
    -------
    ClampChoice
        The shortest that does; of two joined, the pair with the least length over, the more alike first.

    Raises
    ------
    ValueError
        If a length is not above 0, or joining takes less than 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> clamp_choice(83, [24, 36, 50]).clamps
    (50, 36)

    References
    ----------
    Common practice, no source.
    """
    if not all(0 < length < math.inf for length in (needed, *owned)) or not 0 <= joining_takes < math.inf:
        raise ValueError("lengths must be above 0, what joining takes at least 0")
    ones = [length for length in owned if length >= needed - _SLACK]
    if ones:
        return ClampChoice(Reach.ONE, needed, (min(ones),))
    lengths = sorted(set(owned), reverse=True)
    pairs = [
        (longer + shorter, longer, shorter)
        for place, longer in enumerate(lengths)
        for shorter in lengths[place:]
        if longer + shorter - joining_takes >= needed - _SLACK
    ]
    if pairs:
        return ClampChoice(Reach.JOINED, needed, min(pairs)[1:])
    return ClampChoice(Reach.NONE, needed, ())

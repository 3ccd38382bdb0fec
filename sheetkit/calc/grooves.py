"""Grooves: where they stop before a mortise, and where the cutter is lowered and lifted."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

_SLACK = 1e-9  # sizes typed in mm come back as inches a hair off

Span = tuple[float, float]


@dataclass(frozen=True)
class GrooveRun:
    """One uninterrupted groove [in] from the reference end.

    The cutter's axis goes in at `lower_at` and comes out at `lift_at`; between the two the groove has its
    full depth and width, and it shows from `start` to `stop`. `too_short` when the cutter alone is longer.
    """

    start: float
    stop: float
    lower_at: float
    lift_at: float
    too_short: bool


@dataclass(frozen=True)
class GroovePlan:
    """The mortises a groove would run into, and the grooves that keep clear of them [in]."""

    runs_into: tuple[Span, ...]
    runs: tuple[GrooveRun, ...]


def cutter_reach(radius: float, depth: float) -> float:
    """Return how far a disc cutter cuts beyond its axis at the surface.

    Parameters
    ----------
    radius : float
        Radius of a saw blade, dado head or slot cutter [in]
    depth : float
        Depth of the groove [in]

    Returns
    -------
    float
        Half the chord at the surface [in]. A router bit on end reaches its own radius.

    Raises
    ------
    ValueError
        If radius or depth is not above 0, or the groove is deeper than the radius.

    Notes
    -----
    sqrt(depth (2 radius - depth)). Not rounded.

    Examples
    --------
    >>> cutter_reach(4.0, 0.5)
    1.9364916731037085

    References
    ----------
    Plane geometry: half the chord of a circle by its rise.
    """
    if not 0 < depth <= radius < math.inf:
        raise ValueError("the depth must be above 0 and no more than the cutter's radius")
    return math.sqrt(depth * (2 * radius - depth))


def groove_plan(
    start: float,
    stop: float,
    mortises: Iterable[Span],
    clear: float = 1 / 8,
    reach: float = 0.0,
    open_start: bool = True,
    open_stop: bool = True,
    shortest: float = 0.0,
) -> GroovePlan:
    """Stop a groove before each mortise in its line, and tell where to lower and lift the cutter.

    Parameters
    ----------
    start, stop : float
        Where the groove is wanted, from the reference end [in]
    mortises : iterable of tuple of float
        Where each mortise begins and ends, from the reference end [in]
    clear : float
        Wood left between groove and mortise [in]
    reach : float
        How far the cutter cuts beyond its axis (`cutter_reach`, or a router bit's radius) [in]
    open_start, open_stop : bool
        True where the groove may run out through the member's end, with no lowering or lifting [-]
    shortest : float
        Grooves shorter than this are left out, such as a stub between a mortise and the end [in]

    Returns
    -------
    GroovePlan
        The mortises it would run into, in order, and the grooves left between them.

    Raises
    ------
    ValueError
        If the groove or a mortise has no length, or clear, reach or shortest is below 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> plan = groove_plan(0, 30, [(0.5, 3.0), (27.0, 29.5)], clear=0.25, reach=0.125, shortest=1)
    >>> plan.runs
    (GrooveRun(start=3.25, stop=26.75, lower_at=3.375, lift_at=26.625, too_short=False),)

    References
    ----------
    Arithmetic; that a groove stops before the mortise is common practice, no source.
    """
    spans = sorted(mortises)
    if not start < stop or not all(near < far for near, far in spans):
        raise ValueError("a groove or a mortise must end beyond its start")
    if not all(0 <= size < math.inf for size in (clear, reach, shortest)):
        raise ValueError("clear, reach and shortest must be at least 0")
    near_ones = [
        span for span in spans if span[1] + clear > start + _SLACK and span[0] - clear < stop - _SLACK
    ]
    hit = tuple(span for span in near_ones if _spans_meet(span, (start, stop)))
    runs: list[GrooveRun] = []
    at, is_open = start, open_start
    for near, far in near_ones:
        if near - clear > at + _SLACK:
            runs.append(_groove_run(at, near - clear, reach, is_open, False))
        if far + clear > at:
            at, is_open = far + clear, False
    if stop > at + _SLACK:
        runs.append(_groove_run(at, stop, reach, is_open, open_stop))
    return GroovePlan(hit, tuple(run for run in runs if run.stop - run.start >= shortest - _SLACK))


def _groove_run(start: float, stop: float, reach: float, open_start: bool, open_stop: bool) -> GrooveRun:
    lower_at = start if open_start else start + reach
    lift_at = stop if open_stop else stop - reach
    return GrooveRun(start, stop, lower_at, lift_at, lift_at < lower_at - _SLACK)


def _spans_meet(one: Span, other: Span) -> bool:
    return one[0] < other[1] - _SLACK and other[0] < one[1] - _SLACK


def room_in_grooves(opening: float, grooves: float, size: float) -> float:
    """Return what a panel of a size leaves free in both its grooves together."""
    return opening + grooves - size

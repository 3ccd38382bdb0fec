"""Finishing: surface to cover, amount to buy, grits in order, and when each coat can start."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

_SLACK = 1e-9
# The grades of coated abrasives a bare-wood sequence is made of.
GRADES = (40, 50, 60, 80, 100, 120, 150, 180, 220, 240, 280, 320, 360, 400)


class Grit(StrEnum):
    """Whether one grit may follow another."""

    OK = "ok"
    SKIPS = "skips more than one grade"
    COARSER = "not finer than the one before"


@dataclass(frozen=True)
class GritStep:
    """A grit against the one before it, and the grade to put between when too much is skipped."""

    reason: Grit
    before: int
    grit: int
    between: int | None


@dataclass(frozen=True)
class FinishStep:
    """A finishing step: coats, hours of work a coat, hours to wait after each coat."""

    coats: int
    work: float
    wait: float


@dataclass(frozen=True)
class StepCalendar:
    """When each coat of a step starts, and when the next step may [h] from the first day's opening."""

    starts: tuple[float, ...]
    ready: float


def part_surface(thickness: float, width: float, length: float, quantity: int = 1) -> float:
    """Return the surface of a part, all six faces.

    Parameters
    ----------
    thickness, width, length : float
        Finished sizes [in]
    quantity : int
        How many [-]

    Returns
    -------
    float
        Surface [in2]

    Raises
    ------
    ValueError
        If a size is not above 0 or there is no part.

    Notes
    -----
    Not rounded. Joints are not taken off.

    Examples
    --------
    >>> part_surface(1, 2, 3)
    22

    References
    ----------
    Arithmetic.
    """
    if not all(0 < number < math.inf for number in (thickness, width, length, quantity)):
        raise ValueError("sizes and quantity must be above 0")
    return 2 * (thickness * width + thickness * length + width * length) * quantity


def panel_surface(width: float, height: float, quantity: int = 1, thickness: float = 0.0) -> float:
    """Return the surface of a panel: both sides, and its edges when the thickness is given.

    Parameters
    ----------
    width, height : float
        Size of the panel, what goes into the grooves included [in]
    quantity : int
        How many [-]
    thickness : float
        Thickness of the panel [in]

    Returns
    -------
    float
        Surface [in2]

    Raises
    ------
    ValueError
        If a size is not above 0, the thickness is below 0, or there is no panel.

    Notes
    -----
    The part in the groove is finished too, before the panel goes in: bare wood shows when it shrinks. Not
    rounded.

    Examples
    --------
    >>> panel_surface(12, 24)
    576.0

    References
    ----------
    Arithmetic; finishing both sides alike is common practice, no source.
    """
    if (
        not all(0 < number < math.inf for number in (width, height, quantity))
        or not 0 <= thickness < math.inf
    ):
        raise ValueError("sizes and quantity must be above 0")
    return 2 * (width * height + thickness * (width + height)) * quantity


def finish_amount(
    surface: float,
    coats: int,
    coverage: float,
    waste: float = 0.0,
    first_coverage: float | None = None,
) -> float:
    """Return the finish to buy.

    Parameters
    ----------
    surface : float
        Surface to cover [in2]
    coats : int
        Number of coats [-]
    coverage : float
        Surface that a gallon covers once [ft2/gal]
    waste : float
        Added for rags, brushes and the can, as a share of what goes on [-]
    first_coverage : float, optional
        Surface that a gallon of the first coat covers on bare wood, if it differs [ft2/gal]

    Returns
    -------
    float
        Finish [US gal]

    Raises
    ------
    ValueError
        If surface, coats or a coverage is not above 0, or the waste is below 0.

    Notes
    -----
    surface x coats / coverage x (1 + waste). Not rounded; round up.

    Examples
    --------
    >>> finish_amount(57600, 2, 400, waste=0.1)
    2.2

    References
    ----------
    Arithmetic; coverages: common practice, no source, and the product's label goes before them.
    """
    first = coverage if first_coverage is None else first_coverage
    if not all(0 < number < math.inf for number in (surface, coats, coverage, first)):
        raise ValueError("surface, coats and coverage must be above 0")
    if not 0 <= waste < math.inf:
        raise ValueError("the waste must be at least 0")
    return surface / 144 * (1 / first + (coats - 1) / coverage) * (1 + waste)


def grit_steps(grits: Sequence[int]) -> tuple[GritStep, ...]:
    """Check the order in which bare wood is sanded: always finer, never skipping more than one grade.

    Parameters
    ----------
    grits : sequence of int
        Grits in the order of use [-]

    Returns
    -------
    tuple of GritStep
        One for each grit after the first.

    Raises
    ------
    ValueError
        If a grit is not above 0.

    Notes
    -----
    `between` is the coarser of the middle grades: the scratches to take out are those of the grit before.

    Examples
    --------
    >>> [(step.grit, step.reason.value, step.between) for step in grit_steps([80, 120, 220])]
    [(120, 'ok', None), (220, 'skips more than one grade', 150)]

    References
    ----------
    Common practice, no source; the grades are those of ANSI B74.18 (from memory).
    """
    if not all(grit > 0 for grit in grits):
        raise ValueError("grits must be above 0")
    steps = []
    for before, grit in pairwise(grits):
        skipped = [grade for grade in GRADES if before < grade < grit]
        if grit <= before:
            steps.append(GritStep(Grit.COARSER, before, grit, None))
        elif len(skipped) > 1:
            steps.append(GritStep(Grit.SKIPS, before, grit, skipped[(len(skipped) - 1) // 2]))
        else:
            steps.append(GritStep(Grit.OK, before, grit, None))
    return tuple(steps)


def finish_calendar(steps: Sequence[FinishStep], shop_hours: float | None = None) -> tuple[StepCalendar, ...]:
    """Return the hours at which each coat can start.

    Parameters
    ----------
    steps : sequence of FinishStep
        Steps in order, their work and waiting in hours [h]
    shop_hours : float, optional
        Hours the shop is open each day, from hour 0; work that would not be done by closing starts the
        next morning, work longer than a day at a morning. Without it the clock runs on [h]

    Returns
    -------
    tuple of StepCalendar
        Starts of each step's coats and when it is ready. Waiting goes on overnight.

    Raises
    ------
    ValueError
        If a step has no coat, work or waiting is below 0, or the shop is not open between 0 and 24 hours.

    Notes
    -----
    Days are whole multiples of 24 h after the first opening: day = floor(hour / 24) + 1.

    Examples
    --------
    >>> [step.starts for step in finish_calendar([FinishStep(1, 2, 0), FinishStep(2, 1, 12)], shop_hours=8)]
    [(0.0,), (2.0, 24.0)]

    References
    ----------
    Arithmetic.
    """
    if shop_hours is not None and not 0 < shop_hours <= 24:
        raise ValueError("the shop is open between 0 and 24 hours a day")
    now, calendar = 0.0, []
    for step in steps:
        if step.coats < 1 or not (0 <= step.work < math.inf and 0 <= step.wait < math.inf):
            raise ValueError("a step has at least one coat, and no hours below 0")
        starts = []
        for _ in range(step.coats):
            now = _next_start(now, step.work, shop_hours)
            starts.append(now)
            now += step.work + step.wait
        calendar.append(StepCalendar(tuple(starts), now))
    return tuple(calendar)


def next_opening(hour: float, shop_hours: float) -> float:
    """Return when work can go on that may go on from an hour: that hour, or the next opening of the shop.

    Parameters
    ----------
    hour : float
        Hours after the first opening [h]
    shop_hours : float
        Hours the shop is open each day, from hour 0 [h]

    Returns
    -------
    float
        Hours after the first opening [h].

    Raises
    ------
    ValueError
        If the hour is below 0, or the shop is not open between 0 and 24 hours.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> next_opening(26, 8), next_opening(37, 8)
    (26, 48.0)

    References
    ----------
    Arithmetic.
    """
    if hour < 0 or not 0 < shop_hours <= 24:
        raise ValueError("an hour after the first opening, and a shop open between 0 and 24 hours a day")
    day, into = divmod(hour, 24)
    return hour if into < shop_hours else (day + 1) * 24.0


def _next_start(hour: float, work: float, shop_hours: float | None) -> float:
    if shop_hours is None:
        return hour
    day, clock = divmod(hour, 24)
    in_time = clock + min(work, shop_hours) <= shop_hours + _SLACK and clock < shop_hours - _SLACK
    return hour if in_time else (day + 1) * 24

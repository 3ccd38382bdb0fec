"""Spacing of members in a run, in equal gaps or in listed ones: the center line of each, from one end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

Size = Fraction | float


class Run(StrEnum):
    """Whether the members fit the run."""

    OK = "ok"
    OVERLAP = "members overlap"
    END_GAP = "gap at the ends over the largest"


@dataclass(frozen=True)
class Spacing:
    """Equally spaced members.

    `gap` is the clear gap between neighbors, `gaps` how many there are of it, `end_gap` the clear gap at
    either end, `pitch` center to center [in]. `centers` and `sides` (near, far) are from the run's start
    [in].
    """

    reason: Run
    members: int
    gaps: int
    gap: float
    end_gap: float
    pitch: float
    centers: tuple[float, ...]
    sides: tuple[tuple[float, float], ...]


def exact(size: Size) -> Fraction:
    """Return a size as the fraction it stands for.

    Parameters
    ----------
    size : Fraction or float
        A size; floats come from fractions of an inch or from millimeters [in]

    Returns
    -------
    Fraction
        The simple fraction a float was rounded from, where there is one; else the float's own value.

    Raises
    ------
    ValueError
        If the size is not a finite number.

    Notes
    -----
    A simple fraction has a denominator of at most a million and agrees to 1 part in 10^14; 20 mm comes
    back as 100/127 in.

    Examples
    --------
    >>> exact(20 / 25.4)
    Fraction(100, 127)

    References
    ----------
    Arithmetic.
    """
    if isinstance(size, Fraction):
        return size
    if not math.isfinite(size):
        raise ValueError("a size must be a finite number")
    own = Fraction(size)
    simple = own.limit_denominator(1_000_000)
    return simple if abs(simple - own) <= abs(own) / 10**14 else own


def equal_spacing(
    between: Size,
    member_width: Size,
    members: int | None = None,
    largest_gap: Size | None = None,
    first_at: Size | None = None,
) -> Spacing:
    """Space members equally in a run.

    Parameters
    ----------
    between : Fraction or float
        Clear distance that the run fills [in]
    member_width : Fraction or float
        Width of one member [in]
    members : int, optional
        How many members; needed unless the largest gap is given, and is used before it [-]
    largest_gap : Fraction or float, optional
        Largest clear gap allowed; the fewest members that keep to it are taken [in]
    first_at : Fraction or float, optional
        Where the near side of the first member stands, and the far side of the last from the other end;
        0 is flush with the ends; one gap unless given [in]

    Returns
    -------
    Spacing
        members + 1 gaps when the ends take a gap too, members - 1 when `first_at` is given. One member
        with `first_at` stands there, alone.

    Raises
    ------
    ValueError
        If a width or distance is not above 0, `first_at` is below 0 or past the middle, or neither
        members nor a largest gap above 0 is given.

    Notes
    -----
    gap = (between - members x width) / (members ± 1), worked out in exact fractions; each place is
    rounded once, to a float, so no error adds up from one to the next. Members that do not fit come back
    with a gap below 0 and the reason, not as an error.

    Examples
    --------
    >>> run = equal_spacing(36, 0.75, members=5)
    >>> run.gap, run.centers
    (5.375, (5.75, 11.875, 18.0, 24.125, 30.25))
    >>> equal_spacing(36, 0.75, largest_gap=5).members
    6

    References
    ----------
    Arithmetic.
    """
    whole, width = exact(between), exact(member_width)
    if whole <= 0 or width <= 0:
        raise ValueError("the run and its members must be wider than 0")
    first = None if first_at is None else exact(first_at)
    if first is not None and not 0 <= first <= whole / 2:
        raise ValueError("the first member must stand at or after the end and before the middle")
    most = None if largest_gap is None else exact(largest_gap)
    if members is None:
        if most is None or most <= 0:
            raise ValueError("give how many members, or a largest gap above 0")
        members = _fewest(whole, width, most, first)
    elif members < 1:
        raise ValueError("there must be at least one member")
    gap, end_gap, gaps = _gaps(whole, width, members, first)
    near = [end_gap + place * (width + gap) for place in range(members)]
    reason = Run.OK
    if gap < 0 or end_gap + members * width + max(members - 1, 0) * gap > whole:
        reason = Run.OVERLAP
    elif most is not None and end_gap > most:
        reason = Run.END_GAP
    return Spacing(
        reason,
        members,
        gaps,
        float(gap),
        float(end_gap),
        float(width + gap),
        tuple(float(side + width / 2) for side in near),
        tuple((float(side), float(side + width)) for side in near),
    )


@dataclass(frozen=True)
class Listed:
    """Members between gaps that are listed one by one.

    `gaps` are all of them in order, `rest` what each that was left open takes, None when none was; `over` is
    by how much members and gaps are longer than the run, below 0 when they are shorter [in].
    """

    gaps: tuple[float, ...]
    rest: float | None
    over: float
    centers: tuple[float, ...]
    sides: tuple[tuple[float, float], ...]


def listed_spacing(between: Size, member_width: Size, gaps: Sequence[Size | None]) -> Listed:
    """Space members by a list of gaps.

    Parameters
    ----------
    between : Fraction or float
        Clear distance that the run fills [in]
    member_width : Fraction or float
        Width of one member [in]
    gaps : sequence of Fraction, float or None
        Every gap in order, those at the ends too; None for one that takes, with others of it, what is
        left [in]

    Returns
    -------
    Listed
        One member fewer than gaps.

    Raises
    ------
    ValueError
        If a width or distance is not above 0, a gap is below 0, or fewer than two gaps are given.

    Notes
    -----
    rest = (between - members x width - sum of the gaps given) / how many are left open, in exact
    fractions; below 0 when nothing is left. Each place is rounded once.

    Examples
    --------
    >>> run = listed_spacing(60, 2.5, [6, None, None, 8])
    >>> run.rest, run.centers
    (19.25, (7.25, 29.0, 50.75))

    References
    ----------
    Arithmetic.
    """
    whole, width = exact(between), exact(member_width)
    if whole <= 0 or width <= 0:
        raise ValueError("the run and its members must be wider than 0")
    given = [exact(gap) for gap in gaps if gap is not None]
    if len(gaps) < 2 or any(gap < 0 for gap in given):
        raise ValueError("two gaps or more, none below 0, stand about the members")
    left = whole - (len(gaps) - 1) * width - sum(given)
    open_ones = len(gaps) - len(given)
    rest = left / open_ones if open_ones else None
    every = [rest if gap is None else exact(gap) for gap in gaps]
    near: list[Fraction] = []
    at = Fraction(0)
    for gap in every[:-1]:
        at += gap or Fraction(0)
        near.append(at)
        at += width
    return Listed(
        tuple(float(gap or 0) for gap in every),
        None if rest is None else float(rest),
        0.0 if open_ones else float(-left),
        tuple(float(side + width / 2) for side in near),
        tuple((float(side), float(side + width)) for side in near),
    )


def most_members(
    between: Fraction | float, member_width: Fraction | float, first_at: Fraction | float | None = None
) -> int:
    """Return the most equal members that stand in a run without overlapping.

    Parameters
    ----------
    between, member_width : Fraction or float
        Clear distance between the ends, and width of one member [in]
    first_at : Fraction or float, optional
        As in `equal_spacing` [in]

    Returns
    -------
    int
        Members, touching one another at the most [-].

    Raises
    ------
    ValueError
        If a width or distance is not above 0.

    Notes
    -----
    Exact. With `first_at` one member always has its place.

    Examples
    --------
    >>> most_members(36, 0.75), most_members(36, 0.75, 1)
    (48, 45)

    References
    ----------
    Arithmetic.
    """
    whole, width = exact(between), exact(member_width)
    if whole <= 0 or width <= 0:
        raise ValueError("the run and its members must be wider than 0")
    room = whole if first_at is None else whole - 2 * exact(first_at)
    return max(0 if first_at is None else 1, math.floor(room / width))


def fewest_members(
    between: Fraction | float,
    member_width: Fraction | float,
    largest_gap: Fraction | float,
    first_at: Fraction | float | None = None,
) -> int:
    """Return the fewest equal members that leave no gap between them larger than allowed.

    Parameters
    ----------
    between, member_width, largest_gap : Fraction or float
        Clear distance between the ends, width of one member, and the largest gap allowed [in]
    first_at : Fraction or float, optional
        As in `equal_spacing` [in]

    Returns
    -------
    int
        Members [-]; they may be more than fit.

    Raises
    ------
    ValueError
        If a width or distance is not above 0.

    Notes
    -----
    Exact.

    Examples
    --------
    >>> fewest_members(36, 0.75, 5), fewest_members(36, 0.75, 5, 1)
    (6, 7)

    References
    ----------
    Arithmetic.
    """
    if min(between, member_width, largest_gap) <= 0:
        raise ValueError("the run, its members and the largest gap must be wider than 0")
    first = None if first_at is None else exact(first_at)
    return _fewest(exact(between), exact(member_width), exact(largest_gap), first)


def _fewest(whole: Fraction, width: Fraction, most: Fraction, first: Fraction | None) -> int:
    if first is None:
        return max(1, math.ceil((whole - most) / (width + most)))
    return max(2, math.ceil((whole - 2 * first + most) / (width + most)))


def _gaps(
    whole: Fraction, width: Fraction, members: int, first: Fraction | None
) -> tuple[Fraction, Fraction, int]:
    if first is None:
        gap = (whole - members * width) / (members + 1)
        return gap, gap, members + 1
    if members == 1:
        return Fraction(0), first, 0
    return (whole - 2 * first - members * width) / (members - 1), first, members - 1

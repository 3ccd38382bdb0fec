"""The thickness or span of a loaded member that just passes, from the sag and stress of one looked at."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Limit(StrEnum):
    """What sets a thickness or span."""

    SAG = "sag"
    STRENGTH = "strength"


@dataclass(frozen=True)
class Passing:
    """A thickness or span that just passes [in], and what sets it."""

    size: float
    limit: Limit


def least_thickness(
    thickness: float, sag: float, sag_allowed: float, stress: float, stress_allowed: float
) -> Passing:
    """Return the least thickness that passes both for sag and for stress.

    Parameters
    ----------
    thickness : float
        Thickness of the member that was looked at, in the direction of the load [in]
    sag, sag_allowed : float
        Its sag, creep included, and the sag allowed [in]
    stress, stress_allowed : float
        Its bending stress and the stress to stay under [psi]

    Returns
    -------
    Passing
        Least thickness, all else alike, and what sets it.

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    Closed form, for bending alone: the sag goes with 1 / thickness^3, the stress with 1 / thickness^2. Not
    rounded; round up.

    Examples
    --------
    >>> least_thickness(0.75, 0.12, 0.06, 256, 2400).limit.value
    'sag'

    References
    ----------
    Wood Handbook, FPL-GTR-282 (2021), ch. 9, eq. 9-2 with I of a rectangle; bending stress M c / I.
    """
    _above_zero(thickness, sag, sag_allowed, stress, stress_allowed)
    by_sag = thickness * math.cbrt(sag / sag_allowed)
    by_stress = thickness * math.sqrt(stress / stress_allowed)
    return Passing(by_sag, Limit.SAG) if by_sag >= by_stress else Passing(by_stress, Limit.STRENGTH)


def longest_span(
    span: float,
    sag: float,
    sag_allowed: float,
    stress: float,
    stress_allowed: float,
    load_grows: bool = False,
) -> Passing:
    """Return the longest span that passes both for sag and for stress.

    Parameters
    ----------
    span : float
        Span of the member that was looked at [in]
    sag, sag_allowed : float
        Its sag, creep included, and the sag allowed over that span [in]
    stress, stress_allowed : float
        Its bending stress and the stress to stay under [psi]
    load_grows : bool
        True when a longer span brings more load (a full shelf of books); false when the whole load
        stays the same [-]

    Returns
    -------
    Passing
        Longest span, all else alike, and what sets it.

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    Closed form, for bending alone and a sag allowed by the foot: for the same load the sag goes with
    span^3 and the sag allowed with the span, the stress with the span; each once more with the span when
    the load grows. Not rounded; round down.

    Examples
    --------
    >>> round(longest_span(36, 0.12, 0.06, 256, 2400).size, 2)
    25.46

    References
    ----------
    Wood Handbook, FPL-GTR-282 (2021), ch. 9, eq. 9-2; bending stress M c / I.
    """
    _above_zero(span, sag, sag_allowed, stress, stress_allowed)
    sags, works = sag_allowed / sag, stress_allowed / stress
    by_sag = span * (math.cbrt(sags) if load_grows else math.sqrt(sags))
    by_stress = span * (math.sqrt(works) if load_grows else works)
    return Passing(by_sag, Limit.SAG) if by_sag <= by_stress else Passing(by_stress, Limit.STRENGTH)


def _above_zero(*numbers: float) -> None:
    if not all(0 < number < math.inf for number in numbers):
        raise ValueError("sizes, sags and stresses must be above 0")

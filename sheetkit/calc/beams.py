"""Sag and bending stress of slats, rails and shelves. Advice from beam theory, no certificate."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Bearing(StrEnum):
    """How a member is held and how its load lies."""

    RESTING_SPREAD = "resting, spread"
    RESTING_CENTER = "resting, center"
    FIXED_SPREAD = "fixed, spread"
    FIXED_CENTER = "fixed, center"
    CANTILEVER_SPREAD = "cantilever, spread"
    CANTILEVER_END = "cantilever, end"


class Verdict(StrEnum):
    """What a member does under its load."""

    OK = "ok"
    SAGS = "sags"
    WEAK = "weak"
    BOTH = "sags and weak"


# k_b and k_s of deflection by bending and by shear; largest moment as a share of load x span.
_COEFFICIENTS: dict[Bearing, tuple[float, float, float]] = {
    Bearing.RESTING_SPREAD: (5 / 384, 1 / 8, 1 / 8),
    Bearing.RESTING_CENTER: (1 / 48, 1 / 4, 1 / 4),
    Bearing.FIXED_SPREAD: (1 / 384, 1 / 8, 1 / 12),
    Bearing.FIXED_CENTER: (1 / 192, 1 / 4, 1 / 8),
    Bearing.CANTILEVER_SPREAD: (1 / 8, 1 / 2, 1 / 2),
    Bearing.CANTILEVER_END: (1 / 3, 1.0, 1.0),
}


@dataclass(frozen=True)
class BeamCheck:
    """Sag when new and after creep, sag allowed [in], bending stress and the stress allowed [psi]."""

    verdict: Verdict
    sag_new: float
    sag: float
    sag_allowed: float
    stress: float
    stress_allowed: float


def second_moment(width: float, thickness: float) -> float:
    """Return the second moment of area of a rectangle.

    Parameters
    ----------
    width : float
        Size across the load [in]
    thickness : float
        Size in the direction of the load [in]

    Returns
    -------
    float
        Second moment of area [in4]

    Raises
    ------
    ValueError
        If a size is not above 0.

    Notes
    -----
    width thickness^3 / 12. Not rounded.

    Examples
    --------
    >>> round(second_moment(11.25, 0.75), 4)
    0.3955

    References
    ----------
    Wood Handbook, FPL-GTR-282 (2021), ch. 9, p. 9-2 (with eq. 9-2).
    """
    _above_zero("width and thickness", width, thickness)
    return width * thickness**3 / 12


def section_modulus(width: float, thickness: float) -> float:
    """Return the section modulus of a rectangle.

    Parameters
    ----------
    width : float
        Size across the load [in]
    thickness : float
        Size in the direction of the load [in]

    Returns
    -------
    float
        Section modulus, second moment over half the thickness [in3]

    Raises
    ------
    ValueError
        If a size is not above 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> section_modulus(6, 2)
    4.0

    References
    ----------
    Euler-Bernoulli beam theory; Wood Handbook, FPL-GTR-282 (2021), ch. 9, stress in straight beams
    (place from memory).
    """
    return second_moment(width, thickness) / (thickness / 2)


def deflection(
    load: float,
    span: float,
    modulus: float,
    width: float,
    thickness: float,
    bearing: Bearing,
    shared_by: int = 1,
    shear_modulus: float | None = None,
) -> float:
    """Return the first, elastic deflection of a straight beam of rectangular section.

    Parameters
    ----------
    load : float
        Whole load on all the members that share it [lb]
    span : float
        Clear distance between supports, or the length of a cantilever [in]
    modulus : float
        Modulus of elasticity E [psi]
    width, thickness : float
        Size across the load, and in its direction [in]
    bearing : Bearing
        How the member is held and how the load lies [-]
    shared_by : int
        How many equal members share the load [-]
    shear_modulus : float, optional
        Shear modulus G; without it only bending is counted [psi]

    Returns
    -------
    float
        Deflection at mid-span, or at a cantilever's end [in]

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    k_b W L^3 / (E I) + k_s W L / (G A'), A' = 5/6 of the section. Tabulated E holds the shear deflection of
    a beam 14 times as long as thick, loaded in the middle; raise it by 10 % only where shear is added
    apart. Not rounded.

    Examples
    --------
    >>> round(deflection(60, 36, 1.82e6, 11.25, 0.75, Bearing.RESTING_SPREAD), 4)
    0.0506

    References
    ----------
    Wood Handbook, FPL-GTR-282 (2021), ch. 9, eq. 9-2 to 9-4 and Table 9-1 (k_s of fixed ends and
    cantilevers from memory); Table 5-3b, footnote c.
    """
    _above_zero("load, span and modulus", load, span, modulus, shared_by)
    bending, shear, _ = _COEFFICIENTS[bearing]
    each = load / shared_by
    sag = bending * each * span**3 / (modulus * second_moment(width, thickness))
    if shear_modulus is not None:
        _above_zero("shear modulus", shear_modulus)
        sag += shear * each * span / (shear_modulus * width * thickness * 5 / 6)
    return sag


def bending_stress(
    load: float, span: float, width: float, thickness: float, bearing: Bearing, shared_by: int = 1
) -> float:
    """Return the largest bending stress of a straight beam of rectangular section.

    Parameters
    ----------
    load : float
        Whole load on all the members that share it [lb]
    span : float
        Clear distance between supports, or the length of a cantilever [in]
    width, thickness : float
        Size across the load, and in its direction [in]
    bearing : Bearing
        How the member is held and how the load lies [-]
    shared_by : int
        How many equal members share the load [-]

    Returns
    -------
    float
        Largest moment times half the thickness over the second moment, M c / I [psi]

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> bending_stress(60, 36, 11.25, 0.75, Bearing.RESTING_SPREAD)
    256.0

    References
    ----------
    Euler-Bernoulli beam theory; moments of beams as in AISC, Steel Construction Manual, Table 3-23
    (from memory).
    """
    _above_zero("load and span", load, span, shared_by)
    moment = _COEFFICIENTS[bearing][2] * load / shared_by * span
    return moment / section_modulus(width, thickness)


def sag_allowed(span: float, sag_per_foot: float) -> float:
    """Return the sag allowed over a span.

    Parameters
    ----------
    span : float
        Clear distance between supports [in]
    sag_per_foot : float
        Sag allowed for each foot of span [in/ft]

    Returns
    -------
    float
        Sag allowed [in]

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> sag_allowed(36, 0.02)
    0.06

    References
    ----------
    0.02 in per foot when new, 1/32 in per foot to the eye: common practice, no source.
    """
    _above_zero("span and sag per foot", span, sag_per_foot)
    return span / 12 * sag_per_foot


def working_stress(modulus_of_rupture: float, divisor: float = 6.0) -> float:
    """Return a bending stress to stay under, as a share of the strength of clear wood.

    Parameters
    ----------
    modulus_of_rupture : float
        Mean bending strength of clear, straight-grained wood (MOR) [psi]
    divisor : float
        Share to stay under, as a divisor, at least 1 [-]

    Returns
    -------
    float
        Working stress [psi]

    Raises
    ------
    ValueError
        If the strength is not above 0 or the divisor is below 1.

    Notes
    -----
    No design value: it allows roughly for weak boards, years of load, small knots and sloping grain. Not
    rounded.

    Examples
    --------
    >>> working_stress(14400)
    2400.0

    References
    ----------
    The divisor is common practice, no source.
    """
    _above_zero("the modulus of rupture", modulus_of_rupture)
    if not 1 <= divisor < math.inf:
        raise ValueError("the divisor must be at least 1")
    return modulus_of_rupture / divisor


def beam_check(
    load: float,
    span: float,
    modulus: float,
    width: float,
    thickness: float,
    bearing: Bearing,
    sag_per_foot: float,
    stress_allowed: float,
    creep: float = 1.0,
    shared_by: int = 1,
) -> BeamCheck:
    """Compare a member's sag after creep and its stress with what is allowed.

    Parameters
    ----------
    load : float
        Whole load on all the members that share it [lb]
    span : float
        Clear distance between supports, or the length of a cantilever [in]
    modulus : float
        Modulus of elasticity E [psi]
    width, thickness : float
        Size across the load, and in its direction [in]
    bearing : Bearing
        How the member is held and how the load lies [-]
    sag_per_foot : float
        Sag allowed for each foot of span [in/ft]
    stress_allowed : float
        Bending stress to stay under [psi]
    creep : float
        Sag after years over the first sag, at least 1 [-]
    shared_by : int
        How many equal members share the load [-]

    Returns
    -------
    BeamCheck
        The verdict with the numbers behind it.

    Raises
    ------
    ValueError
        If a number is not above 0 or the creep factor is below 1.

    Notes
    -----
    Bending only. Not rounded.

    Examples
    --------
    >>> beam_check(60, 36, 1.82e6, 11.25, 0.75, Bearing.RESTING_SPREAD, 0.02, 2400, creep=2).verdict.value
    'sags'

    References
    ----------
    As `deflection` and `bending_stress`; creep factor 2: Wood Handbook, FPL-GTR-282 (2021), ch. 5
    (from memory).
    """
    _check_limits(sag_per_foot, stress_allowed, creep)
    sag_new = deflection(load, span, modulus, width, thickness, bearing, shared_by)
    sag, most = sag_new * creep, sag_allowed(span, sag_per_foot)
    stress = bending_stress(load, span, width, thickness, bearing, shared_by)
    sags, weak = sag > most * (1 + 1e-9), stress > stress_allowed * (1 + 1e-9)
    verdict = (
        Verdict.BOTH if sags and weak else Verdict.SAGS if sags else Verdict.WEAK if weak else Verdict.OK
    )
    return BeamCheck(verdict, sag_new, sag, most, stress, stress_allowed)


def _check_limits(sag_per_foot: float, stress_allowed: float, creep: float) -> None:
    _above_zero("sag and stress allowed", sag_per_foot, stress_allowed)
    if not 1 <= creep < math.inf:
        raise ValueError("the creep factor must be at least 1")


def _above_zero(names: str, *numbers: float) -> None:
    if not all(0 < number < math.inf for number in numbers):
        raise ValueError(f"{names} must be above 0")

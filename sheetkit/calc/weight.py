"""Weight of wood at its moisture content, from its specific gravity."""

from __future__ import annotations

import math

_FIBRE_SATURATION = 30.0  # percent; the equation's own limit


def specific_gravity(basic: float, moisture: float) -> float:
    """Return the specific gravity at a moisture content: ovendry weight on the volume at that moisture.

    Parameters
    ----------
    basic : float
        Basic specific gravity: ovendry weight on green volume [-]
    moisture : float
        Moisture content, percent of the ovendry weight [%]

    Returns
    -------
    float
        Specific gravity at that moisture [-]

    Raises
    ------
    ValueError
        If the gravity is not between 0 and 1.5, or the moisture is below 0.

    Notes
    -----
    G_b / (1 - 0.265 G_b (1 - x / 30)); from 30 % up, wood no longer swells and G is G_b. A general fit:
    where a table prints the gravity at 12 %, start from that (`basic_specific_gravity`). Not rounded.

    Examples
    --------
    >>> round(specific_gravity(0.47, 8), 3)
    0.517

    References
    ----------
    Wood Handbook, FPL-GTR-282 (2021), ch. 4, eq. 4-13.
    """
    _check(basic, moisture)
    return basic / (1 - 0.265 * basic * _dry_share(moisture))


def basic_specific_gravity(gravity: float, moisture: float) -> float:
    """Return the basic specific gravity by that at a moisture content, such as a table's at 12 %.

    Parameters
    ----------
    gravity : float
        Specific gravity at the moisture content [-]
    moisture : float
        That moisture content [%]

    Returns
    -------
    float
        Basic specific gravity [-]

    Raises
    ------
    ValueError
        If the gravity is not between 0 and 1.5, or the moisture is below 0.

    Notes
    -----
    Equation 4-13 solved for G_b. Not rounded.

    Examples
    --------
    >>> round(basic_specific_gravity(0.508, 12), 3)
    0.47

    References
    ----------
    Wood Handbook, FPL-GTR-282 (2021), ch. 4, eq. 4-13.
    """
    _check(gravity, moisture)
    return gravity / (1 + 0.265 * gravity * _dry_share(moisture))


def density_lb_ft3(gravity: float, moisture: float) -> float:
    """Return the density of wood with the water in it, in pounds a cubic foot.

    Parameters
    ----------
    gravity : float
        Specific gravity at the same moisture content [-]
    moisture : float
        Moisture content [%]

    Returns
    -------
    float
        Density [lb/ft3]

    Raises
    ------
    ValueError
        If the gravity is not between 0 and 1.5, or the moisture is below 0.

    Notes
    -----
    62.4 G (1 + x / 100). Not rounded.

    Examples
    --------
    >>> round(density_lb_ft3(specific_gravity(0.47, 8), 8), 1)
    34.9

    References
    ----------
    Wood Handbook, FPL-GTR-282 (2021), ch. 4, eq. 4-14b.
    """
    _check(gravity, moisture)
    return 62.4 * gravity * (1 + moisture / 100)


def density_kg_m3(gravity: float, moisture: float) -> float:
    """Return the density of wood with the water in it, in kilograms a cubic meter.

    Parameters
    ----------
    gravity : float
        Specific gravity at the same moisture content [-]
    moisture : float
        Moisture content [%]

    Returns
    -------
    float
        Density [kg/m3]

    Raises
    ------
    ValueError
        If the gravity is not between 0 and 1.5, or the moisture is below 0.

    Notes
    -----
    1000 G (1 + x / 100). Not rounded.

    Examples
    --------
    >>> density_kg_m3(0.5, 10)
    550.0

    References
    ----------
    Wood Handbook, FPL-GTR-282 (2021), ch. 4, eq. 4-14a.
    """
    _check(gravity, moisture)
    return 1000 * gravity * (1 + moisture / 100)


def weight_lb(volume: float, density: float) -> float:
    """Return a weight in pounds.

    Parameters
    ----------
    volume : float
        Volume [in3]
    density : float
        Density [lb/ft3]

    Returns
    -------
    float
        Weight [lb]

    Raises
    ------
    ValueError
        If a number is below 0.

    Notes
    -----
    1728 cubic inches make a cubic foot. Not rounded.

    Examples
    --------
    >>> round(weight_lb(144, 34.9), 2)
    2.91

    References
    ----------
    Arithmetic.
    """
    _check_amounts(volume, density)
    return volume / 1728 * density


def weight_kg(volume: float, density: float) -> float:
    """Return a weight in kilograms.

    Parameters
    ----------
    volume : float
        Volume [in3]
    density : float
        Density [kg/m3]

    Returns
    -------
    float
        Weight [kg]

    Raises
    ------
    ValueError
        If a number is below 0.

    Notes
    -----
    An inch is 0.0254 m, exactly. Not rounded.

    Examples
    --------
    >>> round(weight_kg(61023.744, 550), 2)
    550.0

    References
    ----------
    Arithmetic; the inch by NIST Special Publication 811 (2008), Appendix B.
    """
    _check_amounts(volume, density)
    return volume * 0.0254**3 * density


def _dry_share(moisture: float) -> float:
    return max(1 - moisture / _FIBRE_SATURATION, 0.0)


def _check(gravity: float, moisture: float) -> None:
    if not 0 < gravity <= 1.5:
        raise ValueError("specific gravity lies between 0 and 1.5")
    if not 0 <= moisture < math.inf:
        raise ValueError("moisture must be at least 0 percent")


def _check_amounts(volume: float, density: float) -> None:
    if not (0 <= volume < math.inf and 0 <= density < math.inf):
        raise ValueError("volume and density must be at least 0")

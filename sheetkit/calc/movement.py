"""How far wood moves across the grain, and what a panel must measure today to live in its groove."""

from __future__ import annotations

from dataclasses import dataclass

RANGE = (6.0, 14.0)
"""Moisture contents between which the change coefficients hold [%]."""


def coefficient_from_shrinkage(shrinkage: float, start: float = 30.0) -> float:
    """Return the dimensional change coefficient that a species' green shrinkage leads to.

    Parameters
    ----------
    shrinkage : float
        Shrinkage from green to ovendry [% of green size].
    start : float
        Moisture at which shrinkage starts: 30, or 22 for a few species [%].

    Returns
    -------
    float
        Change for each 1 % of moisture [fraction of the size at 10 % moisture].

    Raises
    ------
    ValueError
        When the shrinkage is not between 0 and 100.

    Notes
    -----
    Not rounded. Equals Table 13-5 to the fifth decimal for single-species rows.

    References
    ----------
    The relation behind Wood Handbook GTR-190 (2010), Table 13-5; shrinkage of Tables 4-3 and 4-4.

    Examples
    --------
    >>> round(coefficient_from_shrinkage(7.1), 5), round(coefficient_from_shrinkage(5.0, start=22), 5)
    (0.00248, 0.00234)
    """
    if not 0 < shrinkage < 100:
        raise ValueError(f"shrinkage of {shrinkage} %")
    return shrinkage / start / (100 - shrinkage * (start - 10) / start)


def change_by_coefficient(size: float, coefficient: float, moisture: float, later: float) -> float:
    """Return the change of a size within 6 to 14 % moisture.

    Parameters
    ----------
    size : float
        Size across the grain at the first moisture [in].
    coefficient : float
        Tangential (flat-sawn) or radial (quarter-sawn) change coefficient [1/%].
    moisture, later : float
        Moisture at which the size was measured, and for which the change is wanted [%].

    Returns
    -------
    float
        Change of the size, negative when it shrinks [in].

    Raises
    ------
    ValueError
        When the size is negative.

    Notes
    -----
    Not rounded; the printed coefficients deserve about three places.

    References
    ----------
    Wood Handbook GTR-190 (2010), chapter 13, equation 13-2.

    Examples
    --------
    >>> round(change_by_coefficient(18, 0.00248, 7, 10), 4)
    0.1339
    """
    if size < 0:
        raise ValueError(f"size of {size}")
    return size * coefficient * (later - moisture)


def change_by_shrinkage(
    size: float, shrinkage: float, moisture: float, later: float, start: float = 30.0
) -> float:
    """Return the change of a size over any range below the start of shrinkage.

    Parameters
    ----------
    size : float
        Size across the grain at the first moisture [in].
    shrinkage : float
        Tangential or radial shrinkage from green to ovendry [%].
    moisture, later : float
        Moisture at which the size was measured, and for which the change is wanted [%].
    start : float
        Moisture at which shrinkage starts [%].

    Returns
    -------
    float
        Change of the size, negative when it shrinks [in].

    Raises
    ------
    ValueError
        When a moisture lies above the start of shrinkage.

    Notes
    -----
    Not rounded.

    References
    ----------
    Wood Handbook GTR-190 (2010), chapter 13, equation 13-3.

    Examples
    --------
    >>> round(change_by_shrinkage(18, 7.1, 7, 10), 4)
    0.1352
    """
    if max(moisture, later) > start or min(moisture, later) < 0:
        raise ValueError(f"moisture of {moisture} to {later} %, shrinkage starts at {start} %")
    return size * (later - moisture) / (start * 100 / shrinkage - start + moisture)


@dataclass(frozen=True, slots=True)
class Movement:
    """What is known of how a cut of a species moves."""

    coefficient: float
    """Change per 1 % of moisture, within 6 to 14 % [1/%]."""
    shrinkage: float | None = None
    """Green to ovendry [%]."""
    start: float = 30.0
    """Moisture at which shrinkage starts [%]."""


def size_ratio(movement: Movement, moisture: float, later: float) -> float:
    """Return a size at a later moisture as a multiple of the size now.

    Parameters
    ----------
    movement : Movement
        What is known of the species and cut [-].
    moisture, later : float
        Moisture now, and moisture later [%].

    Returns
    -------
    float
        Size later over size now [-].

    Raises
    ------
    ValueError
        When the shrinkage serves and a moisture is below 0.

    Notes
    -----
    Within 6 to 14 % by the coefficient, outside by the shrinkage up to its start, where wood has its full
    size; without a published one by the coefficient throughout, about 5 % short outside its range (ch. 13).

    References
    ----------
    Wood Handbook GTR-190 (2010), chapter 13, equations 13-2 and 13-3.

    Examples
    --------
    >>> round(size_ratio(Movement(0.00365), 7, 11), 4)
    1.0146
    """
    inside = RANGE[0] <= min(moisture, later) and max(moisture, later) <= RANGE[1]
    if inside or movement.shrinkage is None:
        return 1 + change_by_coefficient(1.0, movement.coefficient, moisture, later)
    moisture, later = min(moisture, movement.start), min(later, movement.start)
    return 1 + change_by_shrinkage(1.0, movement.shrinkage, moisture, later, movement.start)


def panel_size_today(
    opening: float, grooves: float, clearances: float, movement: Movement, now: float, wettest: float
) -> float:
    """Return the size of a panel today that just keeps its clearance at the wettest.

    Parameters
    ----------
    opening : float
        Clear opening of the frame [in].
    grooves : float
        Depth of both grooves together [in].
    clearances : float
        Room wanted at both groove bottoms together at the wettest [in].
    movement : Movement
        What is known of the species and cut [-].
    now : float
        Moisture of the panel today [%].
    wettest : float
        Wettest moisture it will reach [%].

    Returns
    -------
    float
        Largest size across the grain today [in].

    Raises
    ------
    ValueError
        When the shrinkage serves and a moisture is below 0.

    Notes
    -----
    Not rounded; round it down.

    References
    ----------
    Wood Handbook GTR-190 (2010), equation 13-2, solved for the size today.

    Examples
    --------
    >>> from sheetkit.units import rounded_down
    >>> rounded_down(panel_size_today(14.25, 1, 1 / 16, Movement(0.00365), 7, 11), 1 / 32)
    14.96875
    """
    return (opening + grooves - clearances) / size_ratio(movement, now, wettest)


def bearing_each_side(size: float, opening: float, movement: Movement, now: float, driest: float) -> float:
    """Return how far a panel stands in its groove at each side at the driest.

    Parameters
    ----------
    size : float
        Size of the panel today [in].
    opening : float
        Clear opening of the frame [in].
    movement : Movement
        What is known of the species and cut [-].
    now : float
        Moisture today [%].
    driest : float
        Driest moisture [%].

    Returns
    -------
    float
        Bearing at each side, the panel standing in the middle [in].

    Raises
    ------
    ValueError
        When the shrinkage serves and a moisture is below 0.

    Notes
    -----
    Not rounded.

    References
    ----------
    Wood Handbook GTR-190 (2010), equation 13-2.

    Examples
    --------
    >>> round(bearing_each_side(14.96875, 14.25, Movement(0.00365), 7, 6), 3)
    0.332
    """
    return (size * size_ratio(movement, now, driest) - opening) / 2


def groove_depth_needed(
    opening: float,
    bearing: float,
    clearance: float,
    movement: Movement,
    now: float,
    driest: float,
    wettest: float,
) -> float:
    """Return the least groove depth with which a panel keeps both its bearing and its clearance.

    Parameters
    ----------
    opening : float
        Clear opening of the frame [in].
    bearing, clearance : float
        Bearing wanted at each side at the driest, and clearance at the wettest [in].
    movement : Movement
        What is known of the species and cut [-].
    now, driest, wettest : float
        Moisture of the panel today, the driest and the wettest it will reach [%].

    Returns
    -------
    float
        Depth of each groove [in].

    Raises
    ------
    ValueError
        When the shrinkage serves and a moisture is below 0.

    Notes
    -----
    Not rounded; round it up. The panel whose size today bears enough at the driest must fit at the wettest.

    References
    ----------
    Wood Handbook GTR-190 (2010), equation 13-2.

    Examples
    --------
    >>> round(groove_depth_needed(22, 3 / 16, 1 / 32, Movement(0.00369), 6, 6, 11), 3)
    0.425
    """
    today = (opening + 2 * bearing) / size_ratio(movement, now, driest)
    widest = today * size_ratio(movement, now, wettest)
    return (widest - opening) / 2 + clearance


def seasonal_swing(size: float, movement: Movement, now: float, driest: float, wettest: float) -> float:
    """Return the difference of a size between the driest and the wettest season.

    Parameters
    ----------
    size : float
        Size across the grain today [in].
    movement : Movement
        What is known of the species and cut [-].
    now, driest, wettest : float
        Moisture today, and the driest and wettest it will reach [%].

    Returns
    -------
    float
        Swing of the whole size [in].

    Raises
    ------
    ValueError
        When the shrinkage serves and a moisture is below 0.

    Notes
    -----
    Not rounded; round it up.

    References
    ----------
    Wood Handbook GTR-190 (2010), equation 13-2.

    Examples
    --------
    >>> round(seasonal_swing(18, Movement(0.00365), 7, 6, 11), 3)
    0.328
    """
    return size * (size_ratio(movement, now, wettest) - size_ratio(movement, now, driest))


def slot_length(growth: float, shrinkage: float, screw: float) -> float:
    """Return the length of the slot, its screw centered today, at the edge of a top held at its middle.

    Parameters
    ----------
    growth, shrinkage : float
        How much wider than today the whole top gets at the wettest, and narrower at the driest [in].
    screw : float
        Diameter of the screw [in].

    Returns
    -------
    float
        Length of the slot [in].

    Raises
    ------
    ValueError
        When an argument is negative.

    Notes
    -----
    Half of either move reaches each edge; the screw has room for the larger to both sides. Round it up.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> slot_length(0.25, 0.125, 0.1875)
    0.4375
    """
    if growth < 0 or shrinkage < 0 or screw < 0:
        raise ValueError("negative move or screw")
    return 2 * max(growth / 2, shrinkage / 2) + screw

"""Stock sawn to a size in mm: what it measures once dried, and once straightened."""

from __future__ import annotations

STRAIGHTENED_OFF = 2.5 / 25.4
"""Taken off a dried board to straighten it: 27 mm dried to 26.5 leaves 24; common practice [in]."""


def metric_dried_thickness(nominal: float, moisture: float) -> float:
    """Return what metric sawn stock measures once dried below the 20 % to which its size refers.

    Parameters
    ----------
    nominal : float
        Nominal thickness at 20 % moisture [in].
    moisture : float
        Moisture now [%].

    Returns
    -------
    float
        Thickness now [in].

    Raises
    ------
    ValueError
        When the thickness is not positive or the moisture is not between 0 and 30 %.

    Notes
    -----
    0.25 % of the size for each 1 % below 20 %. Not rounded.

    References
    ----------
    Common practice for hardwood. The figure is that of the softwood part, EN 1313-1:2010, Round and sawn
    timber: permitted deviations and preferred sizes, clause 5; that of the hardwood part, EN 1313-2, was not
    seen.

    Examples
    --------
    >>> round(metric_dried_thickness(200, 10), 1)
    195.0
    """
    if nominal <= 0 or not 0 <= moisture <= 30:
        raise ValueError(f"thickness of {nominal} at {moisture} %")
    return nominal * (1 - 0.0025 * (20 - moisture))


def straightened_thickness(measures: float) -> float:
    """Return what a dried board of metric stock holds once it is straightened.

    Parameters
    ----------
    measures : float
        Thickness of the dried board [in].

    Returns
    -------
    float
        Thickness that is left to plane from [in].

    Raises
    ------
    ValueError
        When nothing would be left.

    Notes
    -----
    2.5 mm less, for boards of furniture length that lie flat. Not rounded.

    References
    ----------
    Common practice, no source: 27 mm dried to 26.5 straightens to 24, of which 22 is finished.

    Examples
    --------
    >>> round(straightened_thickness(26.5 / 25.4) * 25.4, 3)
    24.0
    """
    if measures <= STRAIGHTENED_OFF:
        raise ValueError(f"thickness of {measures}")
    return measures - STRAIGHTENED_OFF

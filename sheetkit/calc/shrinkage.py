"""Shrinkage that a printed change coefficient stands for."""

from __future__ import annotations


def shrinkage_from_coefficient(coefficient: float, start: float = 30.0) -> float:
    """Return the green shrinkage that a dimensional change coefficient came from.

    Parameters
    ----------
    coefficient : float
        Change for each 1 % of moisture [1/%].
    start : float
        Moisture at which shrinkage starts [%].

    Returns
    -------
    float
        Shrinkage from green to ovendry [% of green size].

    Raises
    ------
    ValueError
        When the coefficient is not positive.

    Notes
    -----
    Not rounded. The relation behind the table, solved for the shrinkage.

    References
    ----------
    The relation behind Wood Handbook GTR-190 (2010), Table 13-5.

    Examples
    --------
    >>> round(shrinkage_from_coefficient(0.00248), 1)
    7.1
    """
    if coefficient <= 0:
        raise ValueError(f"coefficient of {coefficient}")
    return 100 * start * coefficient / (1 + coefficient * (start - 10))

"""Moisture content that wood takes on in a climate."""

from __future__ import annotations


def equilibrium_moisture(temperature: float, humidity: float) -> float:
    """Return the equilibrium moisture content (EMC) of wood, by the Wood Handbook's equation (Simpson 1973).

    Parameters
    ----------
    temperature : float
        Air temperature, 30 to 200 [°F].
    humidity : float
        Relative humidity, 5 to 95 [%].

    Returns
    -------
    float
        Moisture content of the wood [% of ovendry weight].

    Raises
    ------
    ValueError
        Outside the range of Table 4-2, which the equation was fitted to.

    Notes
    -----
    Not rounded. Within 0.07 of every one of the 342 cells of Table 4-2. All species alike: real ones differ
    by one percent or so.

    References
    ----------
    Forest Products Laboratory, Wood Handbook, GTR-282 (2021), chapter 4, equation 4-5 (°F constants).

    Examples
    --------
    >>> [round(equilibrium_moisture(70, humidity), 2) for humidity in (30, 50, 65)]
    [6.17, 9.25, 11.96]
    """
    if not (30 <= temperature <= 200 and 5 <= humidity <= 95):
        raise ValueError(f"outside the table of equilibrium moisture: {temperature} °F, {humidity} %")
    t, h = temperature, humidity / 100
    w = 330 + 0.452 * t + 0.00415 * t * t
    k = 0.791 + 0.000463 * t - 0.000000844 * t * t
    k1 = 6.34 + 0.000775 * t - 0.0000935 * t * t
    k2 = 1.09 + 0.0284 * t - 0.0000904 * t * t
    kh = k * h
    hydrated = (k1 * kh + 2 * k1 * k2 * kh * kh) / (1 + k1 * kh + k1 * k2 * kh * kh)
    return 1800 / w * (kh / (1 - kh) + hydrated)

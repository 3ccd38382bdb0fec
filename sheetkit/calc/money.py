"""Money: what work and bought things cost, overhead, and profit as markup and as margin."""

from __future__ import annotations

from decimal import Decimal


def _at_least_nothing(*numbers: Decimal) -> None:
    if not all(number.is_finite() and number >= 0 for number in numbers):
        raise ValueError("amounts, counts and shares must be at least 0")


def markup_from_margin(margin: Decimal) -> Decimal:
    """Return the markup on cost that leaves a margin on price.

    Parameters
    ----------
    margin : Decimal
        Profit as a share of the price [-]

    Returns
    -------
    Decimal
        Profit as a share of the cost [-]

    Raises
    ------
    ValueError
        If the margin is below 0, or 1 or more, which no price reaches.

    Notes
    -----
    margin / (1 - margin), as price = cost + profit. Not rounded beyond the 28 digits of Decimal.

    Examples
    --------
    >>> markup_from_margin(Decimal("0.2"))
    Decimal('0.25')

    References
    ----------
    Arithmetic; the two words as shops use them: common practice, no source.
    """
    _at_least_nothing(margin)
    if margin >= 1:
        raise ValueError("a margin of the whole price cannot be reached")
    return margin / (1 - margin)


def margin_from_markup(markup: Decimal) -> Decimal:
    """Return the margin on price that a markup on cost leaves.

    Parameters
    ----------
    markup : Decimal
        Profit as a share of the cost [-]

    Returns
    -------
    Decimal
        Profit as a share of the price [-]

    Raises
    ------
    ValueError
        If the markup is below 0.

    Notes
    -----
    markup / (1 + markup). Not rounded beyond the 28 digits of Decimal.

    Examples
    --------
    >>> margin_from_markup(Decimal("0.25"))
    Decimal('0.2')

    References
    ----------
    Arithmetic; the two words as shops use them: common practice, no source.
    """
    _at_least_nothing(markup)
    return markup / (1 + markup)


def labour_cost(count: Decimal, minutes: Decimal, rate: Decimal) -> Decimal:
    """Return what an operation costs.

    Parameters
    ----------
    count : Decimal
        How often it is done [-]
    minutes : Decimal
        Minutes for one [min]
    rate : Decimal
        What an hour costs [money/h]

    Returns
    -------
    Decimal
        Cost [money]

    Raises
    ------
    ValueError
        If a value is below 0.

    Notes
    -----
    count x minutes x rate / 60. Not rounded; a line is rounded once, by whoever adds it up.

    Examples
    --------
    >>> labour_cost(Decimal(13), Decimal(6), Decimal(48))
    Decimal('62.4')

    References
    ----------
    Arithmetic; estimating work by minutes for each piece: common practice, no source.
    """
    _at_least_nothing(count, minutes, rate)
    return count * minutes * rate / 60


def overhead(direct: Decimal, share: Decimal) -> Decimal:
    """Return the shop costs that a job bears.

    Parameters
    ----------
    direct : Decimal
        Lumber, bought things and work together [money]
    share : Decimal
        Shop costs as a share of that [-]

    Returns
    -------
    Decimal
        Overhead [money]

    Raises
    ------
    ValueError
        If a value is below 0.

    Notes
    -----
    direct x share. Not rounded.

    Examples
    --------
    >>> overhead(Decimal("900"), Decimal("0.15"))
    Decimal('135.00')

    References
    ----------
    Common practice, no source: overhead spread in proportion to direct costs.
    """
    _at_least_nothing(direct, share)
    return direct * share


def price_by_markup(cost: Decimal, markup: Decimal) -> Decimal:
    """Return the price that adds a markup to the cost.

    Parameters
    ----------
    cost : Decimal
        All that the job costs [money]
    markup : Decimal
        Profit as a share of the cost [-]

    Returns
    -------
    Decimal
        Price before tax [money]

    Raises
    ------
    ValueError
        If a value is below 0.

    Notes
    -----
    cost x (1 + markup). Not rounded.

    Examples
    --------
    >>> price_by_markup(Decimal("800"), Decimal("0.25"))
    Decimal('1000.00')

    References
    ----------
    Arithmetic; common practice, no source.
    """
    _at_least_nothing(cost, markup)
    return cost * (1 + markup)


def price_by_margin(cost: Decimal, margin: Decimal) -> Decimal:
    """Return the price of which a margin is left.

    Parameters
    ----------
    cost : Decimal
        All that the job costs [money]
    margin : Decimal
        Profit as a share of the price [-]

    Returns
    -------
    Decimal
        Price before tax [money]

    Raises
    ------
    ValueError
        If a value is below 0, or the margin is 1 or more.

    Notes
    -----
    cost / (1 - margin). Not rounded beyond the 28 digits of Decimal.

    Examples
    --------
    >>> price_by_margin(Decimal("801"), Decimal("0.2"))
    Decimal('1001.25')

    References
    ----------
    Arithmetic; common practice, no source.
    """
    _at_least_nothing(cost, margin)
    if margin >= 1:
        raise ValueError("a margin of the whole price cannot be reached")
    return cost / (1 - margin)


def tax(price: Decimal, share: Decimal) -> Decimal:
    """Return the tax on a price.

    Parameters
    ----------
    price : Decimal
        Price before tax [money]
    share : Decimal
        Tax as a share of it [-]

    Returns
    -------
    Decimal
        Tax [money]

    Raises
    ------
    ValueError
        If a value is below 0.

    Notes
    -----
    price x share on the whole price, not line by line. Not rounded. Which tax is due, and on what, is for the
    maker's tax office to say.

    Examples
    --------
    >>> tax(Decimal("1000"), Decimal("0.07"))
    Decimal('70.00')

    References
    ----------
    Arithmetic; common practice, no source.
    """
    _at_least_nothing(price, share)
    return price * share


def deposit(total: Decimal, share: Decimal) -> Decimal:
    """Return what is due with the order.

    Parameters
    ----------
    total : Decimal
        What the client pays in all, tax included [money]
    share : Decimal
        Share due with the order [-]

    Returns
    -------
    Decimal
        Deposit [money]

    Raises
    ------
    ValueError
        If the total is below 0, or the share is not between 0 and 1.

    Notes
    -----
    total x share. Not rounded.

    Examples
    --------
    >>> deposit(Decimal("1070"), Decimal("0.5"))
    Decimal('535.0')

    References
    ----------
    Arithmetic; common practice, no source.
    """
    _at_least_nothing(total, share)
    if share > 1:
        raise ValueError("a deposit is at most the whole")
    return total * share

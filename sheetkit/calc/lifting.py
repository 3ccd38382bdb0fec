"""How many people carry a piece of furniture."""

from __future__ import annotations

import math

ONE_PERSON = 51.0
"""The most that one person lifts under ideal conditions [lb]."""
TOGETHER = 2 / 3
"""Share of what they could lift singly that people lift together."""


def hands(weight: float) -> int:
    """Return how many people a piece of this weight takes.

    Parameters
    ----------
    weight : float
        Weight of the piece [lb]

    Returns
    -------
    int
        People [-].

    Raises
    ------
    ValueError
        If the weight is below 0.

    Notes
    -----
    The load constant of the lifting equation is for a compact load close to the body, without a twist
    or a stair; furniture is worse, so that this is the least.

    Examples
    --------
    >>> hands(40), hands(60), hands(90), hands(200)
    (1, 2, 3, 6)

    References
    ----------
    National Institute for Occupational Safety and Health, Applications Manual for the Revised NIOSH
    Lifting Equation, publication 94-110 (1994): load constant 51 lb (23 kg). Two thirds for people
    together: from memory.
    """
    if not 0 <= weight < math.inf:
        raise ValueError("a weight is at least 0")
    if weight <= ONE_PERSON:
        return 1
    return max(2, math.ceil(weight / (ONE_PERSON * TOGETHER) - 1e-9))

"""How thick leaves are sawn from a flattened blank, so that each can be planed to its size."""

from __future__ import annotations

import math


def sawn_leaf(leaf: float, leaves: int, clean_up: float) -> float:
    """Return the thickness at which the leaves of one blank are sawn.

    Parameters
    ----------
    leaf : float
        Thickness of a leaf when planed [in]
    leaves : int
        Leaves from one blank [-]
    clean_up : float
        What planing both sawn faces of a cut takes, counted once for each cut [in]

    Returns
    -------
    float
        Equal for all, so that one fence setting serves [in].

    Raises
    ------
    ValueError
        If there is no leaf, or a size is not above 0.

    Notes
    -----
    A blank is flattened to ``leaves`` times ``leaf`` and, for each cut between, a kerf and ``clean_up``;
    what is left after the kerfs is shared alike.

    Examples
    --------
    >>> sawn_leaf(0.25, 2, 0.125)
    0.3125

    References
    ----------
    Arithmetic.
    """
    if leaves < 1 or not (0 < leaf < math.inf and 0 <= clean_up < math.inf):
        raise ValueError("at least one leaf, and sizes above 0")
    return leaf + (leaves - 1) * clean_up / leaves

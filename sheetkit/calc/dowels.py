"""A row of dowels across a joint: how many, and where each one is drilled."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

_SLACK = 1e-9  # sizes typed in mm come back as inches a hair off


class Row(StrEnum):
    """Whether a row of dowels fits the width."""

    OK = "ok"
    ONE_ONLY = "one only"


@dataclass(frozen=True)
class DowelRow:
    """Dowels across a width: how many, center to center [in], and centers from one edge [in]."""

    reason: Row
    count: int
    spacing: float
    centers: tuple[float, ...]


def dowel_row(
    width: float, diameter: float, largest_spacing: float = 3.0, edge: float | None = None
) -> DowelRow:
    """Space dowels evenly across a joint.

    Parameters
    ----------
    width : float
        Width of the joint [in]
    diameter : float
        Diameter of a dowel [in]
    largest_spacing : float
        Most from center to center [in]
    edge : float, optional
        From each edge to the nearest center; two diameters unless given [in]

    Returns
    -------
    DowelRow
        At least two dowels; one in the middle, with its reason, where two would stand closer than
        two diameters.

    Raises
    ------
    ValueError
        If a size is not above 0.

    Notes
    -----
    Each center is worked out from the edge, so no error adds up. Not rounded.

    Examples
    --------
    >>> dowel_row(5.5, 0.375).centers
    (0.75, 2.75, 4.75)

    References
    ----------
    Common practice, no source.
    """
    inset = 2 * diameter if edge is None else edge
    if not all(0 < size < math.inf for size in (width, diameter, largest_spacing, inset)):
        raise ValueError("dowel sizes and spacings must be above 0")
    run = width - 2 * inset
    if run < 2 * diameter - _SLACK:
        return DowelRow(Row.ONE_ONLY, 1, 0.0, (width / 2,))
    spaces = max(1, math.ceil(run / largest_spacing - _SLACK))
    centers = tuple(inset + run * place / spaces for place in range(spaces + 1))
    return DowelRow(Row.OK, spaces + 1, run / spaces, centers)

"""Area of the glue lines of joints, edge-glued panels and face-glued parts."""

from __future__ import annotations

import math


def tenon_glue_area(width: float, reach: float, count: int = 1) -> float:
    """Return the area glued on the cheeks of a tenon.

    Parameters
    ----------
    width : float
        Width of one tenon [in]
    reach : float
        Length of the tenon within the mortise, or of a loose tenon within both [in]
    count : int
        Tenons in the joint [-]

    Returns
    -------
    float
        Both cheeks of all tenons [in2]

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    The narrow edges meet end grain and hold little: they are left out. Not rounded.

    Examples
    --------
    >>> tenon_glue_area(2, 1)
    4

    References
    ----------
    Arithmetic; that only the cheeks count is common practice, no source.
    """
    _above_zero(width, reach, count)
    return 2 * width * reach * count


def dowel_glue_area(diameter: float, reach: float, count: int = 1) -> float:
    """Return the area glued around the dowels of a joint.

    Parameters
    ----------
    diameter : float
        Diameter of a dowel [in]
    reach : float
        Length of the dowel within both holes [in]
    count : int
        Dowels in the joint [-]

    Returns
    -------
    float
        Area [in2]

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> round(dowel_glue_area(0.375, 2, 2), 3)
    4.712

    References
    ----------
    Surface of a cylinder without its ends.
    """
    _above_zero(diameter, reach, count)
    return math.pi * diameter * reach * count


def seam_area(length: float, breadth: float, pieces: int = 2) -> float:
    """Return the area of all seams of pieces glued one beside the next: staves by edges, plies by faces.

    Parameters
    ----------
    length : float
        Length of the pieces [in]
    breadth : float
        Thickness of staves, width of plies [in]
    pieces : int
        Staves or plies, at least 2 [-]

    Returns
    -------
    float
        Area of all pieces - 1 seams [in2]

    Raises
    ------
    ValueError
        If a size is not above 0 or there are fewer than two pieces.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> seam_area(50, 0.875, 3)
    87.5

    References
    ----------
    Arithmetic.
    """
    _above_zero(length, breadth)
    if pieces < 2:
        raise ValueError("a seam takes at least two pieces")
    return length * breadth * (pieces - 1)


def _above_zero(*numbers: float) -> None:
    if not all(0 < number < math.inf for number in numbers):
        raise ValueError("sizes and counts must be above 0")

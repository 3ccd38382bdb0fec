"""Lumber as it is measured and bought: stock thickness, board feet, tally, waste."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence


def kiln_dried_thickness(nominal: float) -> float:
    """Return the thickness that rough kiln-dried stock may measure.

    Parameters
    ----------
    nominal : float
        Nominal thickness, such as 1 for 4/4 [in].

    Returns
    -------
    float
        Least thickness that still meets the rule [in].

    Raises
    ------
    ValueError
        When the thickness is not positive.

    Notes
    -----
    1/16 scant from 3/8 to 1-3/4, 1/8 scant from 2 in. Exact.

    References
    ----------
    National Hardwood Lumber Association, Rules for the Measurement and Inspection of Hardwood and Cypress,
    2023, Standard Kiln Dried Rule, p. 56.

    Examples
    --------
    >>> [kiln_dried_thickness(nominal) for nominal in (1, 1.25, 1.5, 2)]
    [0.9375, 1.1875, 1.4375, 1.875]
    """
    if nominal <= 0:
        raise ValueError(f"thickness of {nominal}")
    return nominal - (1 / 16 if nominal < 2 else 1 / 8)


def surfaced_thickness(nominal: float) -> float:
    """Return the standard thickness of stock surfaced on two faces (S2S) that the table does not list.

    Parameters
    ----------
    nominal : float
        Nominal rough thickness [in].

    Returns
    -------
    float
        Surfaced thickness [in].

    Raises
    ------
    ValueError
        When nothing would be left.

    Notes
    -----
    3/16 under the nominal up to 6/4, 1/4 under from 7/4. Exact.

    References
    ----------
    National Hardwood Lumber Association, standard surfaced thicknesses: the pattern of the table.

    Examples
    --------
    >>> surfaced_thickness(1), surfaced_thickness(2)
    (0.8125, 1.75)
    """
    surfaced = nominal - (3 / 16 if nominal < 1.75 else 1 / 4)
    if surfaced <= 0:
        raise ValueError(f"thickness of {nominal}")
    return surfaced


def board_feet(nominal: float, width: float, length: float) -> float:
    """Return the board feet of a piece of lumber.

    Parameters
    ----------
    nominal : float
        Nominal thickness by which it is counted [in].
    width : float
        Width [in].
    length : float
        Length [in].

    Returns
    -------
    float
        Volume [bf].

    Raises
    ------
    ValueError
        When a size is negative.

    Notes
    -----
    Thinner than 1 in counts as 1 in. Not rounded.

    References
    ----------
    National Hardwood Lumber Association, Rules for the Measurement and Inspection of Hardwood and Cypress,
    2023.

    Examples
    --------
    >>> board_feet(1, 9, 96), board_feet(1.5, 9, 96), board_feet(0.75, 9, 96)
    (6.0, 9.0, 6.0)
    """
    if min(nominal, width, length) < 0:
        raise ValueError("negative size")
    return max(nominal, 1.0) * width * length / 144


def net_volume(nominal: float, width: float, length: float) -> float:
    """Return the net volume of a piece of lumber, as it is billed by the cubic meter.

    Parameters
    ----------
    nominal : float
        Thickness as sold [in].
    width : float
        Width [in].
    length : float
        Length [in].

    Returns
    -------
    float
        Volume [m3].

    Raises
    ------
    ValueError
        When a size is negative.

    Notes
    -----
    Thin lumber counts as thin as it is: that less than 1 in counts as 1 in is a rule of the board-foot tally
    alone. Not rounded.

    References
    ----------
    Geometry.

    Examples
    --------
    Ten blanks of 20 x 106 x 1025 mm.

    >>> round(10 * net_volume(20 / 25.4, 106 / 25.4, 1025 / 25.4), 5)
    0.02173
    """
    if min(nominal, width, length) < 0:
        raise ValueError("negative size")
    return nominal * width * length * 0.0254**3


def surface_measures(boards: Sequence[tuple[float, float]]) -> list[int]:
    """Return the surface measure of each board of a tally.

    Parameters
    ----------
    boards : sequence of (float, float)
        Width and length of each board, in the order of the tally [in].

    Returns
    -------
    list of int
        Surface measures [sq ft].

    Raises
    ------
    ValueError
        When a size is negative.

    Notes
    -----
    Width with its fraction times whole feet of length, over 12, to the nearest whole number. An exact half
    goes up the first time, down the next, and so on.

    References
    ----------
    National Hardwood Lumber Association, Rules for the Measurement and Inspection of Hardwood and Cypress,
    2023.

    Examples
    --------
    >>> surface_measures([(6.5, 155), (6.5, 155), (7.75, 99)])
    [7, 6, 5]
    """
    measures, upward = [], True
    for width, length in boards:
        if min(width, length) < 0:
            raise ValueError("negative size")
        exact = width * math.floor(length / 12 + 1e-9) / 12
        whole = math.floor(exact + 1e-9)
        rest = exact - whole
        if abs(rest - 0.5) < 1e-9:
            whole += upward
            upward = not upward
        elif rest > 0.5:
            whole += 1
        measures.append(whole)
    return measures


def tally_board_feet(nominal: float, measures: Sequence[int]) -> int:
    """Return the board feet of a bundle of one thickness from its surface measures.

    Parameters
    ----------
    nominal : float
        Nominal thickness [in].
    measures : sequence of int
        Surface measure of each board [sq ft].

    Returns
    -------
    int
        Board feet of the bundle, to the nearest whole one [bf].

    Raises
    ------
    ValueError
        When the thickness is not positive.

    Notes
    -----
    The sum is multiplied once by the thickness (1 in at least) and rounded, an exact half up.

    References
    ----------
    National Hardwood Lumber Association, Rules for the Measurement and Inspection of Hardwood and Cypress,
    2023.

    Examples
    --------
    >>> tally_board_feet(1.5, [7, 6, 5])
    27
    """
    if nominal <= 0:
        raise ValueError(f"thickness of {nominal}")
    return math.floor(sum(measures) * max(nominal, 1.0) + 0.5 + 1e-9)


def to_buy(net: float, waste: float) -> float:
    """Return what must be bought so that, after waste, the net amount is left.

    Parameters
    ----------
    net : float
        Amount wanted [bf].
    waste : float
        Share of what is bought that is lost [-].

    Returns
    -------
    float
        Amount to buy [bf].

    Raises
    ------
    ValueError
        When the share is not below one.

    Notes
    -----
    Not rounded.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> to_buy(40, 0.2)
    50.0
    """
    if not 0 <= waste < 1:
        raise ValueError(f"waste of {waste}")
    return net / (1 - waste)


def pile_share(
    face: float, longest: float, table: Mapping[tuple[float, float], tuple[float, float]]
) -> tuple[float, float]:
    """Return how much lumber simulated piles had to have, for each unit in the blanks.

    Parameters
    ----------
    face : float
        Face of all blanks of one species and stock together [sq ft].
    longest : float
        Length of the longest of them [in].
    table : mapping
        Longest blank [in] and face [sq ft] -> share enough in half, and in nine of ten simulated piles [-].

    Returns
    -------
    tuple of float
        The two shares, 1 or more [-].

    Raises
    ------
    ValueError
        When a size is not above zero.

    Notes
    -----
    Between two faces of the table the shares run evenly with the logarithm of the face; outside, the nearest
    serves. The length is taken as the next longer one of the table. Boards count whole, so that a small job
    needs much.

    References
    ----------
    Own simulation of clear boards 4-1/2 to 11-1/2 in wide and 6 to 12 ft long, taken as they come; no
    published source.

    Examples
    --------
    >>> table = {(24.0, 10.0): (1.6, 1.9), (24.0, 40.0): (1.2, 1.3)}
    >>> tuple(round(share, 2) for share in pile_share(20.0, 18.0, table))
    (1.4, 1.6)
    >>> pile_share(5.0, 30.0, table)
    (1.6, 1.9)
    """
    if face <= 0 or longest <= 0:
        raise ValueError(f"blanks of {face} sq ft, {longest} in long")
    lengths = sorted({length for length, _ in table})
    length = next((each for each in lengths if each >= longest), lengths[-1])
    faces = sorted(each for of, each in table if of == length)
    face = min(max(face, faces[0]), faces[-1])
    high = next(each for each in faces if each >= face)
    low = max((each for each in faces if each < high), default=high)
    part = 0.0 if high == low else math.log(face / low) / math.log(high / low)
    first, second = table[length, low], table[length, high]
    return first[0] + part * (second[0] - first[0]), first[1] + part * (second[1] - first[1])


def in_a_row(sizes: Sequence[float], kerf: float) -> float:
    """Return what pieces take along or across a board, a kerf between each two."""
    return sum(sizes) + max(len(sizes) - 1, 0) * kerf

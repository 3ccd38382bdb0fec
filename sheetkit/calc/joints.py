"""Tenons, loose tenons and dowels: length, stock to mill, and whether they suit the member."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

_SLACK = 1e-9  # sizes typed in mm come back as inches a hair off


class Share(StrEnum):
    """Whether a thickness suits the member it goes into."""

    OK = "ok"
    THIN = "thin"
    THICK = "thick"


@dataclass(frozen=True)
class ThicknessShare:
    """A thickness as a share of its member, and the least and most that would suit [in]."""

    reason: Share
    share: float
    least: float
    most: float


@dataclass(frozen=True)
class TenonDivision:
    """Into how many tenons a wide one is divided, how wide each [in], the space between [in]."""

    count: int
    each: float
    between: float
    widest: float


@dataclass(frozen=True)
class TenonPieces:
    """Loose tenons of one size: thickness, width, length [in], and how many."""

    thickness: float
    width: float
    length: float
    count: int


@dataclass(frozen=True)
class TenonStock:
    """Stock of one section [in]: how many tenons, how many cuts, and the length to mill [in]."""

    thickness: float
    width: float
    count: int
    cuts: int
    length: float


@dataclass(frozen=True)
class Haunch:
    """A haunched tenon: how long and wide the haunch is, and the width left for the tenon [in]."""

    length: float
    width: float
    tenon_width: float


def loose_tenon_length(depth_into: float, depth_from: float, glue_gap: float = 1 / 16) -> float:
    """Return the length of a loose tenon or a dowel that goes into two members.

    Parameters
    ----------
    depth_into, depth_from : float
        Depth of the mortise or hole in each member [in]
    glue_gap : float
        Room left for glue at the bottom of each mortise or hole [in]

    Returns
    -------
    float
        Length to cut [in]

    Raises
    ------
    ValueError
        If a depth is not above 0, or the gap is below 0 or takes up a whole depth.

    Notes
    -----
    One gap for each mortise, as for a tenon of one's own in its one: two in all. Not rounded.

    Examples
    --------
    >>> loose_tenon_length(1.25, 1.25)
    2.375

    References
    ----------
    Common practice, no source.
    """
    if not (0 < depth_into < math.inf and 0 < depth_from < math.inf):
        raise ValueError("mortise depths must be above 0")
    if not 0 <= glue_gap < min(depth_into, depth_from):
        raise ValueError("the glue gap must be at least 0 and less than either depth")
    return depth_into + depth_from - 2 * glue_gap


def tenon_stock(pieces: Iterable[TenonPieces], kerf: float) -> tuple[TenonStock, ...]:
    """Return the stock to mill for loose tenons, those of one section together.

    Parameters
    ----------
    pieces : iterable of TenonPieces
        Sizes and counts; sizes in [in]
    kerf : float
        Width of the crosscut [in]

    Returns
    -------
    tuple of TenonStock
        One for each section, the thickest and widest first.

    Raises
    ------
    ValueError
        If a size or count is not above 0, or the kerf is below 0.

    Notes
    -----
    One cut squares the stock's first end and one more frees each tenon: count + 1 kerfs. Sections that
    differ by less than 0.0001 in are one section. Not rounded.

    Examples
    --------
    >>> tenon_stock([TenonPieces(0.5, 2, 2.5, 8)], kerf=0.125)[0].length
    21.125

    References
    ----------
    Arithmetic.
    """
    if not 0 <= kerf < math.inf:
        raise ValueError("the kerf must be at least 0")
    sections: dict[tuple[float, float], list[TenonPieces]] = {}
    for piece in pieces:
        if not all(0 < size < math.inf for size in (piece.thickness, piece.width, piece.length, piece.count)):
            raise ValueError("tenon sizes and counts must be above 0")
        sections.setdefault((round(piece.thickness, 4), round(piece.width, 4)), []).append(piece)
    stock = []
    for _, alike in sorted(sections.items(), reverse=True):
        count = sum(piece.count for piece in alike)
        length = math.fsum(piece.count * piece.length for piece in alike)
        stock.append(
            TenonStock(alike[0].thickness, alike[0].width, count, count + 1, length + (count + 1) * kerf)
        )
    return tuple(stock)


def tenon_strips(count: int, longest: float, length: float, kerf: float) -> int:
    """Return how many strips of one length give a number of loose tenons.

    Parameters
    ----------
    count : int
        How many tenons are wanted [-]
    longest : float
        Length of the longest of them, taken for all [in]
    length : float
        Length of a strip [in]
    kerf : float
        Width of the crosscut [in]

    Returns
    -------
    int
        Strips; 0 when not even one tenon comes out of a strip.

    Raises
    ------
    ValueError
        If a size or the count is not above 0, or the kerf is below 0.

    Notes
    -----
    One cut squares a strip's first end and one more frees each tenon, as for `tenon_stock`.

    Examples
    --------
    >>> tenon_strips(8, 2.5, 21.125, 0.125), tenon_strips(8, 2.5, 21, 0.125)
    (1, 2)

    References
    ----------
    Arithmetic.
    """
    if not (count > 0 and 0 < longest < math.inf and 0 < length < math.inf and 0 <= kerf < math.inf):
        raise ValueError("the count and sizes must be above 0, the kerf at least 0")
    in_one = math.floor((length - kerf) / (longest + kerf) + _SLACK)
    return math.ceil(count / in_one) if in_one > 0 else 0


def tenon_thickness_share(
    thickness: float, member_thickness: float, mortised_thickness: float | None = None
) -> ThicknessShare:
    """Compare a tenon's thickness with a third of its member.

    Parameters
    ----------
    thickness : float
        Thickness of the tenon [in]
    member_thickness : float
        Thickness of the member that the tenon stands on [in]
    mortised_thickness : float, optional
        Thickness of the member with the mortise [in]

    Returns
    -------
    ThicknessShare
        Suits from a quarter to five twelfths (a third, give or take a twelfth), and up to a half when
        the mortised member is thicker than the tenoned one.

    Raises
    ------
    ValueError
        If a thickness is not above 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> tenon_thickness_share(0.5, 0.75).reason.value
    'thick'

    References
    ----------
    Common practice, no source.
    """
    mortised = member_thickness if mortised_thickness is None else mortised_thickness
    most = 1 / 2 if mortised > member_thickness + _SLACK else 5 / 12
    if not 0 < mortised < math.inf:
        raise ValueError("thicknesses must be above 0")
    return _thickness_share(thickness, member_thickness, 1 / 4, most)


def dowel_diameter_share(diameter: float, member_thickness: float) -> ThicknessShare:
    """Compare a dowel's diameter with a third to a half of the thinner member.

    Parameters
    ----------
    diameter : float
        Diameter of the dowel [in]
    member_thickness : float
        Thickness of the thinner member [in]

    Returns
    -------
    ThicknessShare
        The share, and the least and most diameter that suit.

    Raises
    ------
    ValueError
        If a size is not above 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> dowel_diameter_share(0.375, 0.75).reason.value
    'ok'

    References
    ----------
    Common practice, no source.
    """
    return _thickness_share(diameter, member_thickness, 1 / 3, 1 / 2)


def _thickness_share(thickness: float, member: float, least: float, most: float) -> ThicknessShare:
    if not (0 < thickness < math.inf and 0 < member < math.inf):
        raise ValueError("thicknesses must be above 0")
    reason = Share.OK
    if thickness < member * least - _SLACK:
        reason = Share.THIN
    elif thickness > member * most + _SLACK:
        reason = Share.THICK
    return ThicknessShare(reason, thickness / member, member * least, member * most)


def tenon_division(
    width: float, thickness: float, most_times: float = 6.0, between: float | None = None
) -> TenonDivision:
    """Divide a tenon that is too wide for its thickness into several with wood left between.

    Parameters
    ----------
    width : float
        Whole width of the tenon [in]
    thickness : float
        Thickness of the tenon [in]
    most_times : float
        Widest a single tenon may be, in thicknesses [-]
    between : float, optional
        Wood left between two tenons; as much as the tenon is thick unless given [in]

    Returns
    -------
    TenonDivision
        count is 1 when the tenon may stay whole.

    Raises
    ------
    ValueError
        If a size is not above 0.

    Notes
    -----
    The fewest tenons that will do, all alike, filling the width. Not rounded.

    Examples
    --------
    >>> tenon_division(6.5, 0.5)
    TenonDivision(count=2, each=3.0, between=0.5, widest=3.0)

    References
    ----------
    Common practice, no source.
    """
    gap = thickness if between is None else between
    if not all(0 < size < math.inf for size in (width, thickness, most_times, gap)):
        raise ValueError("tenon sizes must be above 0")
    widest = most_times * thickness
    count = max(1, math.ceil((width + gap) / (widest + gap) - _SLACK))
    return TenonDivision(count, (width - (count - 1) * gap) / count, gap if count > 1 else 0.0, widest)


def haunched_tenon(rail_width: float, groove_depth: float, haunch_share: float = 1 / 3) -> Haunch:
    """Return the haunch that fills the groove at a frame's corner, and the tenon left beside it.

    Parameters
    ----------
    rail_width : float
        Width of the rail, groove included [in]
    groove_depth : float
        Depth of the panel groove [in]
    haunch_share : float
        Part of the tenon's width given to the haunch [-]

    Returns
    -------
    Haunch
        The haunch is as long as the groove is deep; the groove itself takes its depth off the width.

    Raises
    ------
    ValueError
        If a size is not above 0, the groove is as deep as the rail is wide, or the share is not
        between 0 and 1.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> haunched_tenon(2.625, 0.375)
    Haunch(length=0.375, width=0.75, tenon_width=1.5)

    References
    ----------
    Common practice, no source.
    """
    if not 0 < groove_depth < rail_width < math.inf:
        raise ValueError("the groove must be deeper than 0 and shallower than the rail is wide")
    if not 0 < haunch_share < 1:
        raise ValueError("the haunch must be a share between 0 and 1")
    whole = rail_width - groove_depth
    return Haunch(groove_depth, whole * haunch_share, whole - whole * haunch_share)

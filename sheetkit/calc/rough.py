"""Sizes of the rough blank from the finished part: the final size and what the machines take."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

_DUST = 1e-9


def ply_thickness(final: float, clean_up: float, plies: int, extra: float) -> float:
    """Return the rough thickness of each ply of a face-glued part.

    Parameters
    ----------
    final : float
        Finished thickness of the part [in].
    clean_up : float
        Taken off the glued whole [in].
    plies : int
        Number of plies [-].
    extra : float
        Thickness allowance of one ply [in].

    Returns
    -------
    float
        Rough thickness of a ply [in].

    Raises
    ------
    ValueError
        When there are fewer than two plies.

    Notes
    -----
    Not rounded; round it up.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> ply_thickness(3.25, 0.125, 2, 0.1875)
    1.875
    """
    if plies < 2:
        raise ValueError("face-gluing takes two plies or more")
    return (final + clean_up) / plies + extra


def least_plies(final: float, clean_up: float, extra: float, thickest: float) -> int:
    """Return the fewest plies whose rough thickness a stock holds, 0 when none will.

    Parameters
    ----------
    final : float
        Finished thickness of the part [in].
    clean_up : float
        Taken off the glued whole [in].
    extra : float
        Thickness allowance of one ply [in].
    thickest : float
        Thickest stock, as it measures [in].

    Returns
    -------
    int
        Number of plies, two or more [-].

    Raises
    ------
    ValueError
        When the final thickness is not positive.

    Notes
    -----
    Exact.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> least_plies(3.25, 0.125, 0.1875, 1.875), least_plies(3.25, 0.125, 0.1875, 0.9375)
    (2, 5)
    """
    if final <= 0:
        raise ValueError(f"thickness of {final}")
    room = thickest - extra
    return 0 if room <= 0 else max(2, math.ceil((final + clean_up) / room - _DUST))


def stave_width(width: float, trim: float, staves: int, edge_joint: float) -> float:
    """Return the rough width of each stave of an edge-glued part, all staves alike.

    Parameters
    ----------
    width : float
        Finished width of the part [in].
    trim : float
        Extra width of the glued whole [in].
    staves : int
        Number of staves [-].
    edge_joint : float
        Extra width for each jointed edge [in].

    Returns
    -------
    float
        Width to rip each stave to [in].

    Raises
    ------
    ValueError
        When there is no stave.

    Notes
    -----
    An inner stave has two jointed edges, an outer one has one; all are ripped at one setting, the inner
    one's. Not rounded; round it up.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> stave_width(18, 0.5, 4, 0.125), stave_width(10, 0.5, 2, 0.125)
    (4.875, 5.375)
    """
    if staves < 1:
        raise ValueError("no stave")
    jointed = min(staves - 1, 2)
    return (width + trim) / staves + jointed * edge_joint


def jointed_stave_width(rough: float, edges: int, edge_joint: float) -> float:
    """Return the width of a stave once its edges are jointed, ready for the glue.

    Parameters
    ----------
    rough : float
        Width that it was ripped to [in].
    edges : int
        Edges to joint: 0, 1 or 2 [-].
    edge_joint : float
        Extra width for each jointed edge [in].

    Returns
    -------
    float
        Width between the jointed edges [in].

    Raises
    ------
    ValueError
        When a board has no so many edges.

    Notes
    -----
    Not rounded.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> jointed_stave_width(4.875, 2, 0.125)
    4.625
    """
    if not 0 <= edges <= 2:
        raise ValueError(f"{edges} edges")
    return rough - edges * edge_joint


PLANE_OVER = 1 / 16
"""Left on staves and leaves for flattening after the glue, common practice [in]."""


def planed_stave_thickness(final: float) -> float:
    """Return the thickness to plane staves or leaves to before they are glued.

    Parameters
    ----------
    final : float
        Finished thickness of the glued whole [in].

    Returns
    -------
    float
        Thickness that leaves enough to flatten the whole [in].

    Raises
    ------
    ValueError
        When the thickness is not positive.

    Notes
    -----
    Not rounded.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> planed_stave_thickness(0.875)
    0.9375
    """
    if final <= 0:
        raise ValueError(f"{final} thick")
    return final + PLANE_OVER


def least_staves(width: float, trim: float, edge_joint: float, widest: float) -> int:
    """Return the fewest equal staves that are no wider than allowed.

    Parameters
    ----------
    width : float
        Finished width of the part [in].
    trim : float
        Extra width of the glued whole [in].
    edge_joint : float
        Extra width for each jointed edge [in].
    widest : float
        Widest stave, rough [in].

    Returns
    -------
    int
        Number of staves [-].

    Raises
    ------
    ValueError
        When a stave has no room for its joints.

    Notes
    -----
    Exact.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> least_staves(18, 0.5, 0.125, 6), least_staves(5, 0.5, 0.125, 6)
    (4, 1)
    """
    if widest <= 2 * edge_joint:
        raise ValueError("the widest stave has no room for its joints")
    staves = 1
    while stave_width(width, trim, staves, edge_joint) > widest + _DUST:
        staves += 1
    return staves


def leaves_from(flattened: float, leaf: float, kerf: float, clean_up: float) -> int:
    """Return how many leaves can be resawn from a flattened board.

    Parameters
    ----------
    flattened : float
        Thickness of the board once flat on both faces [in].
    leaf : float
        Finished thickness of a leaf [in].
    kerf : float
        Width of the saw's cut [in].
    clean_up : float
        Planed off both sawn faces of a leaf together [in].

    Returns
    -------
    int
        Number of leaves, 0 when not even one fits [-].

    Raises
    ------
    ValueError
        When the leaf has no thickness.

    Notes
    -----
    floor((flattened + kerf + clean-up) / (leaf + kerf + clean-up)).

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> leaves_from(1.75, 0.75, 0.0625, 0.125), leaves_from(1.75, 0.4375, 0.0625, 0.125)
    (2, 3)
    """
    if leaf <= 0:
        raise ValueError(f"leaf of {leaf}")
    return max(0, math.floor((flattened + kerf + clean_up) / (leaf + kerf + clean_up) + _DUST))


@dataclass(frozen=True, slots=True)
class Gang:
    """Equal blanks that each hold several short or narrow pieces."""

    blanks: int
    pieces: int
    """Pieces in each blank."""
    size: float
    """Size of a blank in the direction of ganging [in]."""


def thickness_for_leaves(leaf: float, leaves: int, kerf: float, clean_up: float, flatten: float) -> float:
    """Return how thick a blank must be for leaves: flattened first, each sawn face planed."""
    return leaves * leaf + (leaves - 1) * (kerf + clean_up) + flatten


@lru_cache(maxsize=10_000)
def gangs(piece: float, count: int, extra: float, kerf: float, least: float) -> tuple[Gang, ...]:
    """Return the blanks that hold pieces too short (or too narrow) for the machines, several in one.

    Parameters
    ----------
    piece : float
        Finished size of a piece in the direction of ganging [in].
    count : int
        Number of pieces [-].
    extra : float
        Allowance of one blank [in].
    kerf : float
        Saw cut between two pieces [in].
    least : float
        Least size that is safe through the machines [in].

    Returns
    -------
    tuple of Gang
        One or two sorts of blank; every piece is in exactly one [in].

    Raises
    ------
    ValueError
        When a size or the count is not positive.

    Notes
    -----
    As few pieces in a blank as will reach the least size; pieces over are shared out, so that no blank falls
    below it. A single piece that stays too short gives a blank of the least size. Not rounded; round it up.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> gangs(9, 4, 1, 0.125, 12)
    (Gang(blanks=2, pieces=2, size=19.125),)
    >>> gangs(9, 5, 1, 0.125, 12)
    (Gang(blanks=1, pieces=3, size=28.25), Gang(blanks=1, pieces=2, size=19.125))
    >>> gangs(14, 3, 1, 0.125, 12)
    (Gang(blanks=3, pieces=1, size=15.0),)
    """
    if piece <= 0 or count < 1:
        raise ValueError(f"{count} pieces of {piece}")

    def size(pieces: int) -> float:
        return max(pieces * piece + (pieces - 1) * kerf + extra, least if pieces == count else 0.0)

    fewest = 1
    while fewest < count and size(fewest) < least - _DUST:
        fewest += 1
    blanks = count // fewest
    longer = count - blanks * fewest
    each, more = divmod(longer, blanks)
    sorts = []
    if more:
        sorts.append(Gang(more, fewest + each + 1, size(fewest + each + 1)))
    sorts.append(Gang(blanks - more, fewest + each, size(fewest + each)))
    return tuple(sorts)

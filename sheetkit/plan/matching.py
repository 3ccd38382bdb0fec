"""What is kept together: blanks that share a label, or the plies, staves and leaves of every single piece."""

from __future__ import annotations

from typing import NamedTuple

EACH_PIECE = "each piece"
"""As a label: every piece is a group of its own."""


class Kept(NamedTuple):
    """Label, how its blanks lie in the wood, and how many make a group (0: all with the label)."""

    together: str = ""
    how: str = ""
    each: int = 0


def kept(label: str, how: str, each: int) -> Kept:
    """Return how the blanks of a part or panel are kept together, of which one piece takes `each`.

    Examples
    --------
    >>> kept("front", "end to end", 2)
    Kept(together='front', how='end to end', each=0)
    >>> kept("Each piece", "end to end", 2)
    Kept(together='each piece', how='side by side', each=2)
    >>> kept("each piece", "", 1)
    Kept(together='', how='', each=0)
    """
    if not label:
        return Kept()
    if label.casefold() == EACH_PIECE:
        return Kept(EACH_PIECE, "side by side", each) if each > 1 else Kept()
    return Kept(label, how)

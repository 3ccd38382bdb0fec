"""Board layout: which board yields which piece, how to cut it, what is least possible, and what to buy.

Pure: numbers in, numbers out. numpy and highspy load only when a layout is worked out.
"""

from .buy import USUAL_LENGTHS, USUAL_WIDTHS, missing_pieces, to_buy
from .laying import lay_out
from .model import (
    END_TO_END,
    SAME_BOARD,
    SIDE_BY_SIDE,
    BadSpot,
    Board,
    BoardLaid,
    Cut,
    GlueUp,
    Layout,
    LeftOver,
    Missing,
    Piece,
    Placed,
    Saw,
    Section,
    Staves,
    Strip,
    ToBuy,
)

__all__ = [
    "END_TO_END",
    "SAME_BOARD",
    "SIDE_BY_SIDE",
    "USUAL_LENGTHS",
    "USUAL_WIDTHS",
    "BadSpot",
    "Board",
    "BoardLaid",
    "Cut",
    "GlueUp",
    "Layout",
    "LeftOver",
    "Missing",
    "Piece",
    "Placed",
    "Saw",
    "Section",
    "Staves",
    "Strip",
    "ToBuy",
    "lay_out",
    "missing_pieces",
    "to_buy",
]

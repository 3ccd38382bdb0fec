"""Records of the board layout: pieces, boards and saw come in; layout, cuts and left-overs go out.

Lengths are inches. On a board, ``x`` runs along the length from the end that is trimmed first and ``y``
across the width from the edge that is straightened first.
"""

from __future__ import annotations

from dataclasses import dataclass, field

SIDE_BY_SIDE = "side by side"
END_TO_END = "end to end"
SAME_BOARD = "same board"
HOWS = ("", SIDE_BY_SIDE, END_TO_END, SAME_BOARD)


@dataclass(frozen=True, slots=True)
class GlueUp:
    """Limits of the staves of an edge-glued blank; number and widths of the staves are left to the search."""

    narrowest: float
    widest: float
    joint: float = 0.0
    most_staves: int = 99


@dataclass(frozen=True, slots=True)
class Piece:
    """A blank to be cut; `count` equal ones.

    With `glue_up`, `width` is the net width after jointing the edges. With `each`, so many of the blanks, in
    order, are a group of their own; else all that share group and `how` are one. What `waits` is laid out,
    but not cut yet.
    """

    id: str
    width: float
    length: float
    count: int = 1
    group: str = ""
    how: str = ""
    glue_up: GlueUp | None = None
    each: int = 0
    waits: bool = False


@dataclass(frozen=True, slots=True)
class BadSpot:
    """A part of a board that no piece may touch; without `y0` and `y1` it crosses the whole width."""

    x0: float
    x1: float
    y0: float | None = None
    y1: float | None = None


@dataclass(frozen=True, slots=True)
class Board:
    """A board in the rack; `cost` is what touching it costs (money or board feet), always whole."""

    id: str
    width: float
    length: float
    cost: float
    board_feet: float = 0.0
    bad: tuple[BadSpot, ...] = ()
    trim_start: float = 0.0
    trim_end: float = 0.0
    edge: float = 0.0


@dataclass(frozen=True, slots=True)
class Saw:
    """Kerfs, habit (rip or crosscut first), least left-over worth keeping, longest loose rip (0: any)."""

    rip_kerf: float = 0.125
    crosscut_kerf: float = 0.125
    rip_first: bool = False
    least_offcut: float = 18.0
    longest_rip: float = 0.0


@dataclass(frozen=True, slots=True)
class Placed:
    """One blank, or one stave of a blank, at its place on the board.

    `number` counts the equal blanks of a piece from 1; `stave` counts the staves of that blank from 1 and is
    0 for a blank in one width.
    """

    piece: str
    number: int
    x: float
    y: float
    length: float
    width: float
    stave: int = 0


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip ripped from a section: its near edge, its width and what is crosscut from it."""

    number: int
    y: float
    width: float
    placed: tuple[Placed, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """A length crosscut from a board (the whole board when ripping comes first)."""

    number: int
    x: float
    length: float
    strips: tuple[Strip, ...]


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut, numbered in the order of work.

    `kind` is "crosscut" or "rip"; `purpose` one of "trim end", "section", "off bad length", "straighten
    edge", "off bad spot", "strip", "piece", "trim to width", and "keep length" or "keep width" where it only
    takes off what waits. `at` is measured on the board (from the end for a crosscut, from the near edge for a
    rip); `size` is the length or width that the cut makes, measured from the fresh end or edge (0 for a
    trim); `pieces` are in what it takes off.
    """

    number: int
    kind: str
    purpose: str
    at: float
    size: float
    section: int = 0
    strip: int = 0
    pieces: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LeftOver:
    """A reusable left-over: full board width, from `x` for `length`.

    `clear` of the length is free of end trim.
    """

    board: str
    x: float
    length: float
    width: float
    clear: float


@dataclass(frozen=True, slots=True)
class BoardLaid:
    """One board that the job touches."""

    board: Board
    sections: tuple[Section, ...]
    cuts: tuple[Cut, ...]
    left_overs: tuple[LeftOver, ...]

    @property
    def placed(self) -> tuple[Placed, ...]:
        """All that is cut from this board."""
        return tuple(p for sec in self.sections for strip in sec.strips for p in strip.placed)


@dataclass(frozen=True, slots=True)
class Staves:
    """The stave widths (as sawn) chosen for one glued-up blank."""

    piece: str
    number: int
    widths: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Missing:
    """Blanks that found no room: how many of a piece, and why."""

    piece: Piece
    count: int
    why: str


@dataclass(frozen=True, slots=True)
class Layout:
    """The answer of `lay_out`.

    `bound` is a proven least cost for the pieces that were laid out (0 when nothing can be proven); `stopped`
    is empty when the work was done, else "interrupted" or "emergency stop".
    """

    boards: tuple[BoardLaid, ...]
    unused: tuple[Board, ...]
    missing: tuple[Missing, ...]
    staves: tuple[Staves, ...]
    cost: float
    board_feet: float
    bound: float
    stopped: str = ""
    work: dict[str, int] = field(default_factory=dict)

    @property
    def complete(self) -> bool:
        """Whether every piece found a place."""
        return not self.missing

    @property
    def gap(self) -> float | None:
        """How far the cost may be above the least possible, as a share; None when nothing is proven."""
        if self.missing or self.bound <= 0:
            return None
        return max(0.0, self.cost / self.bound - 1.0)


@dataclass(frozen=True, slots=True)
class ToBuy:
    """Boards to buy: number, least width and length (trims and edge included) and what they are for."""

    count: int
    width: float
    length: float
    pieces: tuple[str, ...]

"""Frozen records of the wood that a job takes: blanks, parts, panels, lumber to buy, boards laid out.

Lengths are inches, moisture is percent, shares are fractions of one, money is Decimal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

from sheetkit.records.job import Board, Panel, Part, Stock
from sheetkit.tables import Species

if TYPE_CHECKING:
    from sheetkit.calc.layout import Layout, ToBuy


class Small(StrEnum):
    """What is done with a piece that the machines do not take by itself."""

    LONG = "made long, then cut apart"
    """It is shorter than Shortest through machines."""
    WIDE = "made wide, then ripped"
    """It is narrower than Narrowest through machines."""
    CARRIER = "on a carrier board, or by hand"
    """It is thinner than Thinnest through machines."""
    SLED = "on a sled, or by hand"
    """It is cut apart so short that no hand holds it at a machine."""


@dataclass(frozen=True, slots=True)
class Blank:
    """Equal pieces of rough lumber to cut for one part or panel."""

    of: str
    """Name of the part or panel."""
    tab: str
    row: int
    species: Species
    stock: Stock
    count: int
    thickness: float
    """Least thickness wanted [in]."""
    width: float
    length: float
    along: int = 1
    """Pieces that one blank holds end to end."""
    across: int = 1
    """Pieces that one blank holds side by side."""
    layers: int = 1
    """Leaves that one blank yields by resawing."""
    role: str = "piece"
    """``piece``, ``ply``, ``stave`` or ``leaf``."""
    together: str = ""
    how: str = ""
    each: int = 0
    """So many of them, those of one piece, are a group of their own; 0: all with the label are one group."""
    provisional: bool = False
    glued_width: float = 0.0
    """Width of the whole that these staves are glued to [in]; 0 when they are not staves."""
    per_glue_up: int = 1
    """Plies, staves or leaves in one glue-up."""
    wholes: int = 0
    """Glue-ups that these plies, staves or leaves make; each holds ``along`` by ``across`` pieces."""
    laid: tuple[tuple[float, ...], ...] = ()
    """Stave widths of each glue-up that a layout chose, widest first [in]."""


@dataclass(frozen=True, slots=True)
class NearStock:
    """A thinner stock that some blanks just miss."""

    stock: Stock
    short: float
    """How much it is too thin [in]."""
    volume: float
    """What is bought more for missing it, waste and all [bf]."""
    more: Decimal | None
    """What that costs; None when one of the two is unpriced."""
    straightened: float | None
    """What a stock in mm holds once straightened [in]."""
    flat_would_do: bool
    """Whether boards of it that lie flat hold the finished size."""


@dataclass(frozen=True, slots=True)
class PartAnswer:
    """The blanks of a part, and how they came about."""

    part: Part
    blanks: tuple[Blank, ...]
    worked_out: str
    weight: float | None
    """All pieces of the part at today's moisture [lb]."""
    remarks: tuple[str, ...] = ()
    near: NearStock | None = None
    boards: tuple[str, ...] = ()
    """Boards of the rack that its blanks are cut from."""
    small: tuple[Small, ...] = ()
    """What is done with it because the machines do not take it, or its plies or staves, as it is."""

    @property
    def staves(self) -> tuple[tuple[float, ...], ...]:
        """Stave widths of each glue-up, when the layout chose them [in]."""
        return tuple(widths for blank in self.blanks for widths in blank.laid)


@dataclass(frozen=True, slots=True)
class PanelAnswer:
    """The size of a panel today, how it stands in its groove, and its blanks."""

    panel: Panel
    width: float
    height: float
    gap: float
    bearing: float
    clearance: float
    measured: bool
    blanks: tuple[Blank, ...]
    worked_out: str
    weight: float | None
    remarks: tuple[str, ...] = ()
    near: NearStock | None = None
    boards: tuple[str, ...] = ()
    """As of a part."""
    small: tuple[Small, ...] = ()
    """As of a part."""

    @property
    def staves(self) -> tuple[tuple[float, ...], ...]:
        """As of a part [in]."""
        return tuple(widths for blank in self.blanks for widths in blank.laid)


@dataclass(frozen=True, slots=True)
class BoardAnswer:
    """A board in the rack or at the yard."""

    board: Board
    board_feet: float
    used: bool
    """Whether the layout cuts it."""
    left_overs: tuple[tuple[float, float], ...] = ()
    """Width and length of each piece that is left to keep [in]."""


@dataclass(frozen=True, slots=True)
class BoardsWanted:
    """Boards to look for in the pile, since not any board would do."""

    count: int
    width: float
    """Least width, edge to straighten included [in]."""
    length: float
    """Least length, ends to trim included [in]."""
    in_one: float
    """Length of a single board that would do instead [in], 0 when none."""
    of: tuple[str, ...]
    how: str
    """How the blanks are kept together; empty when they are only wide or long."""


@dataclass(frozen=True, slots=True)
class LumberLine:
    """What to buy of one species and stock."""

    species: Species
    stock: Stock
    net: float
    """Board feet in the blanks."""
    waste: float
    """Share of what is bought that is lost."""
    buy: float
    """Board feet to buy."""
    price: Decimal | None
    """Price of a board foot, or of a cubic meter when the job counts so."""
    cost: Decimal | None
    least_width: float
    least_length: float
    blanks: int
    price_row: int = 0
    """Row on Prices that gives price and waste, 0 when none."""
    own_waste: bool = False
    """Whether that row states the waste itself."""
    boards: tuple[str, ...] = ()
    """Boards that are cut, when a layout was made; ``buy`` is then what they hold."""
    look_for: tuple[BoardsWanted, ...] = ()
    """Boards to look for, when none were listed."""
    half_needed: float | None = None
    """Board feet that were enough in half of the simulated piles, when no boards were listed."""
    most_needed: float | None = None
    """The same in nine of ten."""
    bought: tuple[str, ...] = ()
    """Those of them that are at the yard, to be bought."""


@dataclass(frozen=True, slots=True)
class StockLayout:
    """The layout of one species and stock on the boards in the rack."""

    species: Species
    stock: Stock
    layout: Layout
    to_buy: tuple[ToBuy, ...]
    """Boards that the blanks without a place need."""
    blanks: tuple[Blank, ...]
    """The blanks laid out; a piece's id is its position here."""
    in_money: bool
    """Whether cost and bound are money, else board feet; with boards at the yard both are of those bought."""
    staves: Mapping[tuple[str, int, int], tuple[tuple[float, ...], ...]]
    """Tab, row and pieces in one blank -> stave widths of each glue-up, as the layout cuts them."""
    bought: frozenset[str] = frozenset()
    """Boards at the yard that are to be bought."""
    worth: float | None = None
    """Money of all boards that are cut, those at hand included; None when one of the stock has no price."""

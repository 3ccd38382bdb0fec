"""Frozen records of the work, in the order in which it is done: steps, and in each the lines to tick.

Sizes are inches. A line names what a machine is set to and the pieces that pass it; the tabs write it out.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sheetkit.records.job import Extra
from sheetkit.records.joinery import (
    FinishAnswer,
    GlueUpAnswer,
    JointAnswer,
    LoadAnswer,
    RunAnswer,
    ShapeAnswer,
    TenonMilling,
)
from sheetkit.records.tasks import Caution, Task
from sheetkit.records.wood import PanelAnswer


@dataclass(frozen=True, slots=True)
class Pieces:
    """Pieces of one name."""

    name: str
    count: int


@dataclass(frozen=True, slots=True)
class ToBuy:
    """Lumber of one species and stock to buy."""

    species: str
    stock: str
    volume: float
    """Board feet; 0 where the rack has it but for the boards named."""
    boards: tuple[tuple[int, float, float], ...] = ()
    """How many boards, of which width and length at least [in]."""


@dataclass(frozen=True, slots=True)
class InHand:
    """Hardware and bought parts that are to be there before wood is cut for them."""

    items: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class RoughCut:
    """Rough pieces of one length and width."""

    species: str
    stock: str
    length: float
    width: float
    pieces: tuple[Pieces, ...]
    notes: tuple[str, ...] = ()
    bought: bool = False
    """Whether it comes from boards that are to be bought beside those of the rack."""


@dataclass(frozen=True, slots=True)
class FromBoard:
    """What comes from one board of the rack."""

    species: str
    stock: str
    board: str
    pieces: tuple[Pieces, ...]
    kept_back: tuple[str, ...] = ()
    """Panels whose wood stays in the board until their openings are measured."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting of a machine, and the pieces that pass it."""

    size: float
    pieces: tuple[Pieces, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Resaw:
    """Blanks that are sawn into leaves at one setting of the fence."""

    size: float
    """Of a leaf as it comes off the saw [in]."""
    pieces: tuple[Pieces, ...]
    leaves: int
    """From each blank."""
    flat: float
    """How thick a blank is at least when both its faces are planed [in]."""
    left: float
    """What is still to be planed off a leaf that is glued as sawn [in]; 0 where it is planed before."""
    matched: bool
    """Whether the leaves are opened like a book."""


@dataclass(frozen=True, slots=True)
class Glued:
    """Plies, staves or leaves that are glued to wholes."""

    count: int
    """Of them in one whole."""
    what: str
    """``plies``, ``staves`` or ``leaves``."""
    wholes: tuple[Pieces, ...]
    widths: tuple[float, ...] = ()
    """Of each, when they are not alike [in]."""
    notes: tuple[str, ...] = ()
    session: GlueSession | None = None
    """What Glue-ups says of gluing them."""


class Cutting(StrEnum):
    """What is cut for a joint."""

    MORTISE = "mortise"
    HOLE = "hole"
    GROOVE = "groove"
    RECESS = "recess"
    TENON = "tenon"


@dataclass(frozen=True, slots=True)
class Place:
    """One place at which a setting cuts into a part: so far along, so far across, so deep, on one surface."""

    part: str
    pieces: str
    """Which pieces have it, as ``1-2``; empty when all have it or it is not told."""
    surface: str
    """``face``, ``back``, ``edge``, ``far edge``, ``end`` or ``far end``; empty when it is not told."""
    begin: float | None
    """Along the part, from its reference end (the shoulder there) [in]; None if not told or past its end."""
    end: float | None
    """There, of the last in a row of holes."""
    depth: float
    across: tuple[float, float] | None = None
    """Where it begins and ends across, from the edge (on an edge or end: from the face) [in]."""
    joint: str = ""
    count: int = 0
    """How many such cuts in all the pieces together."""
    size: float | None = None
    """Along the part for what is sunk into it, across for a tenon [in]; None where nothing limits it."""
    off_shoulder: bool = False
    """Whether the reference end is a shoulder."""
    crosswise: bool = False
    """Whether it is a groove across the part; right across when ``across`` is None."""
    holes: int = 1
    """Holes in a row at one fence, alike far apart."""
    apart: float = 0.0
    """From center to center of them [in]."""


@dataclass(frozen=True, slots=True)
class JointCut:
    """One setting that cuts joints."""

    cutting: Cutting
    thickness: float
    """Width of the mortise or groove, diameter of the hole, thickness of the tenon [in]."""
    reach: float
    """Depth, or length of the tenon [in]."""
    places: tuple[Place, ...]
    other_end: bool = False
    """Whether it is the far half of a loose tenon or dowel joint."""
    passes: tuple[float, ...] = ()
    stopped: bool = False
    for_panel: bool = False
    """Whether a panel goes into one of the grooves."""
    machine: str = ""
    """The machines that do it."""


@dataclass(frozen=True, slots=True)
class DryFit:
    """A joint to try, and by which part of it."""

    answer: JointAnswer
    entering: str
    taking: str
    holds: int | None = None
    """Pieces that a groove or a recess holds without glue of its own; None where joints are counted."""


@dataclass(frozen=True, slots=True)
class DryAssembly:
    """The whole put together without glue."""

    frame: bool


@dataclass(frozen=True, slots=True)
class Opening:
    """A frame opening to measure."""

    panel: str
    count: int
    measured: tuple[float, float] | None = None
    """Width and height that were measured already [in]."""


@dataclass(frozen=True, slots=True)
class PanelToSize:
    """A panel to cut to its opening, or to wait with."""

    answer: PanelAnswer


@dataclass(frozen=True, slots=True)
class Spread:
    """How one adhesive is used in a step."""

    answer: GlueUpAnswer
    """A glue-up with it."""


@dataclass(frozen=True, slots=True)
class GlueSession:
    """One go of a glue-up."""

    answer: GlueUpAnswer
    joints: int | None
    number: int = 1
    of: int = 1


@dataclass(frozen=True, slots=True)
class PlainAssembly:
    """An assembly of which Glue-ups says nothing."""

    frame: bool


@dataclass(frozen=True, slots=True)
class Sanding:
    """Sanding of parts before they are put together; grit empty where Finish says nothing of it."""

    pieces: tuple[Pieces, ...]
    grit: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Coat:
    """A coat or sanding on one day, on everything that it names or on its panels alone."""

    answer: FinishAnswer
    day: int
    number: int = 1
    of: int = 1
    panels: tuple[Pieces, ...] = ()
    """The panels, where these are done apart; empty when it goes on all that it names."""
    every_panel: bool = False
    amount: bool = True
    """Whether what to have of it is told here."""


@dataclass(frozen=True, slots=True)
class Ready:
    """When a run of coats has dried."""

    day: int
    delivery: bool
    """Whether nothing more is put on it: the earliest day of delivery."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """Something bought that is fitted, or goes along."""

    extra: Extra


@dataclass(frozen=True, slots=True)
class LoosePart:
    """A part put in place when the maker says, or after the finish when no joint holds it."""

    pieces: Pieces
    run: RunAnswer | None = None
    """The run that says where they stand."""
    along: bool = False
    """Whether they go along to the client loose."""
    undecided: bool = False
    """Whether neither a joint nor the maker says when they are put in."""
    pounds: float | None = None
    """All of them together, at today's moisture."""


@dataclass(frozen=True, slots=True)
class TopMoves:
    """How a wide part moves with the seasons, and the slots that let it [in]."""

    swing: float
    """Across the grain, from driest to wettest."""
    out: float
    """How far each edge moves out from today at the wettest, held at the middle."""
    back: float
    """How far each edge moves in from today at the driest."""
    slot: float
    """Length of the slots at the edges, held at the middle; the screw stands in their middle today."""
    slot_far: float
    """Length of the slots at one edge, held along the other."""
    screw: float
    """Thickness of the screws."""


@dataclass(frozen=True, slots=True)
class TopFixing:
    """A wide part that is screwed on so that it can move with the seasons."""

    part: str
    moves: TopMoves
    fasteners: tuple[Extra, ...] = ()


@dataclass(frozen=True, slots=True)
class Carried:
    """What is carried in one piece, and by how many people."""

    names: tuple[str, ...]
    """Empty for the whole piece."""
    pounds: float
    hands: int


@dataclass(frozen=True, slots=True)
class Noted:
    """The maker's own words on a thing, where it first appears."""

    name: str
    text: str


Line = (
    LoadAnswer
    | ToBuy
    | InHand
    | RoughCut
    | FromBoard
    | Setting
    | Resaw
    | Glued
    | JointCut
    | TenonMilling
    | ShapeAnswer
    | Sanding
    | DryFit
    | RunAnswer
    | DryAssembly
    | Opening
    | PanelToSize
    | Spread
    | GlueSession
    | PlainAssembly
    | Coat
    | Ready
    | Fitting
    | LoosePart
    | TopFixing
    | Carried
    | Noted
)


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the work, and its lines in order."""

    task: Task
    lines: tuple[Line, ...]
    machine: str = ""
    cautions: tuple[Caution, ...] = ()
    waiting: tuple[str, ...] = ()
    """Panels whose wood is not cut yet."""
    told_before: bool = False
    """Whether part of this was done, and its amounts told, in an earlier step."""
    weight: float | None = None
    """Of the whole piece, where it is lifted or turned [lb]."""
    hands: int = 0
    """How many people that takes."""

"""Frozen records of the work, in the order in which it is done: steps, and in each the lines to tick.

Sizes are inches. A line names what a machine is set to and the pieces that pass it; the tabs write it out.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sheetkit.records.joinery import (
    FinishAnswer,
    GlueUpAnswer,
    JointAnswer,
    LoadAnswer,
    RunAnswer,
    ShapeAnswer,
    TenonMilling,
)
from sheetkit.records.wood import PanelAnswer


class Task(StrEnum):
    """What is done in a step."""

    CHECK = "check before cutting"
    ROUGH_CUT = "rough cut"
    PLANE = "flatten and plane"
    JOINT_EDGES = "rip and joint for gluing"
    GLUE_BLANKS = "glue up blanks"
    PLANE_GLUED = "plane the glued blanks"
    WIDTH = "rip to width"
    LENGTH = "crosscut to length"
    JOINTS = "joints"
    SHAPES = "shapes"
    JOINTS_AND_SHAPES = "joints and shapes"
    ROUND_OVER = "round over the edges"
    DRY_ASSEMBLY = "dry assembly"
    PANELS = "panels"
    FINISH_BEFORE = "finish before assembly"
    ASSEMBLY = "assembly"
    FINISH_AFTER = "finish after assembly"


@dataclass(frozen=True, slots=True)
class Pieces:
    """Pieces of one name."""

    name: str
    count: int


@dataclass(frozen=True, slots=True)
class RoughCut:
    """Rough pieces of one length and width."""

    species: str
    stock: str
    length: float
    width: float
    pieces: tuple[Pieces, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FromBoard:
    """What comes from one board of the rack."""

    species: str
    stock: str
    board: str
    pieces: tuple[Pieces, ...]


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting of a machine, and the pieces that pass it."""

    size: float
    pieces: tuple[Pieces, ...]
    notes: tuple[str, ...] = ()


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


class Cutting(StrEnum):
    """What is cut for a joint."""

    MORTISE = "mortise"
    HOLE = "dowel hole"
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
    """Along the part, from its reference end (the shoulder there) [in]; None where it is not told or lies past its end."""
    end: float | None
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


@dataclass(frozen=True, slots=True)
class DryFit:
    """A joint to try, and by which part of it."""

    answer: JointAnswer
    entering: str
    taking: str


@dataclass(frozen=True, slots=True)
class DryAssembly:
    """The whole put together without glue."""

    frame: bool


@dataclass(frozen=True, slots=True)
class Opening:
    """A frame opening to measure."""

    panel: str
    count: int


@dataclass(frozen=True, slots=True)
class PanelToSize:
    """A panel to cut to its opening, or to wait with."""

    answer: PanelAnswer


@dataclass(frozen=True, slots=True)
class GlueSession:
    """One session of a glue-up, or one of the parts that it must be split into."""

    answer: GlueUpAnswer
    joints: int | None
    number: int = 1
    of: int = 1


@dataclass(frozen=True, slots=True)
class PlainAssembly:
    """An assembly of which Glue-ups says nothing."""

    frame: bool


@dataclass(frozen=True, slots=True)
class Coat:
    """A coat or sanding, on everything that it names or on its panels alone."""

    answer: FinishAnswer
    panels: tuple[Pieces, ...] = ()
    """The panels, where these are done apart; empty when it goes on all that it names."""
    every_panel: bool = False
    whole: bool = True
    """Whether this is all that it goes on, so that its amount and days stand here."""
    cautions: tuple[str, ...] = ()


Line = (
    LoadAnswer
    | RoughCut
    | FromBoard
    | Setting
    | Glued
    | JointCut
    | TenonMilling
    | ShapeAnswer
    | DryFit
    | RunAnswer
    | DryAssembly
    | Opening
    | PanelToSize
    | GlueSession
    | PlainAssembly
    | Coat
)


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the work, and its lines in order."""

    task: Task
    lines: tuple[Line, ...]
    waiting: tuple[str, ...] = ()
    """Panels whose wood is not cut yet."""
    told_before: bool = False
    """Whether part of this was done, and its amounts told, in an earlier step."""

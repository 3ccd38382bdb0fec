"""Frozen records of what the plan answers for the bench: joints, runs, curves, loads, glue, finish, marks.

Lengths are inches, areas square inches, weights pounds, shares fractions of one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from sheetkit.records.job import FinishStep, GlueUp, Joint, Load, Panel, Part, Run, Shape
from sheetkit.records.wood import Small
from sheetkit.tables import Species

Span = tuple[float, float]


class Groove(NamedTuple):
    """One uninterrupted groove from the reference end [in]; the cutter's axis goes in and out between."""

    start: float
    stop: float
    lower_at: float
    lift_at: float
    too_short: bool


class Cavity(NamedTuple):
    """What a joint takes out of a part: mortise, hole, groove or recess; or its tenon, beyond a shoulder."""

    what: str
    """``mortise``, ``hole``, ``groove``, ``recess`` or ``tenon``."""
    part: Part
    pieces: tuple[int, ...]
    """Those of the part that have it, from 1."""
    surface: str
    """``face``, ``back``, ``edge``, ``far edge``, ``end`` or ``far end``."""
    assumed: bool
    """Whether the maker did not say on which surface."""
    along: Span
    """Where it begins and ends on the surface: from the reference end, on an end from the edge [in]."""
    across: Span
    """From the edge, on an edge or end from the face [in]."""
    depth: float
    box: tuple[Span, Span, Span]
    """Along, across and through the part, from reference end (or shoulder), edge and face [in]."""
    runs: tuple[Groove, ...] = ()
    """The uninterrupted pieces of a groove."""

    @property
    def in_end_grain(self) -> bool:
        """Whether it is in an end of its part."""
        return self.surface in ("end", "far end")


@dataclass(frozen=True, slots=True)
class JointAnswer:
    """What a joint comes to: its tenons, its places and the wood that is left."""

    joint: Joint
    qty: int
    into: Part | None
    """The first part that takes it."""
    from_part: Part | Panel | None
    pieces: int
    """Tenons or dowels in all; 0 for a groove."""
    tenon_length: float | None
    stock_length: float | None
    wall: float | None
    spans: tuple[Span, ...] = ()
    """Where mortises begin and end along the first part that takes them, from its end or shoulder [in]."""
    centers: tuple[float, ...] = ()
    """Centers of dowels along that part [in]."""
    cavities: tuple[Cavity, ...] = ()
    """In every part that takes the joint."""
    far: tuple[Cavity, ...] = ()
    """In, or on, the part that enters it."""
    grooves: tuple[Groove, ...] = ()
    """Along the first part that takes them."""
    passes: tuple[float, ...] = ()
    """Depths to set, pass by pass, for a hardware mortise [in]."""
    glue_area: float | None = None
    """Glued area of one joint [in2]."""
    remarks: tuple[str, ...] = ()

    @property
    def bored(self) -> bool:
        """Whether it is round holes: dowels, and hardware as long as it is wide (a pin, a hinge cup)."""
        joint = self.joint
        return joint.kind == "dowel" or (joint.kind == "hardware" and joint.width == joint.thickness)

    @property
    def at_run(self) -> str:
        """Name of the run on whose members it is centered."""
        return self.joint.at_run


class TenonSource(NamedTuple):
    """What loose tenons can be milled from: a left-over of the board layout, or a board it does not touch."""

    species: Species
    stock: str
    board: str
    left_over: bool
    strips: int
    """Ripped side by side from it."""
    strip_width: float
    """Rough [in]."""


@dataclass(frozen=True, slots=True)
class TenonMilling:
    """Loose tenons or dowels of one section, milled or bought as one length."""

    thickness: float
    width: float
    """As thickness for a dowel."""
    round: bool
    count: int
    cuts: int
    length: float
    """Length of stock, kerfs included, and no shorter than goes through the machines [in]."""
    lengths: tuple[tuple[int, float], ...]
    """How many of each length [in], longest first."""
    joints: tuple[str, ...]
    source: TenonSource | None = None
    """None for dowels, which are bought, and where no wood in the rack serves."""

    small: tuple[Small, ...] = ()
    """What is done with it because the machines do not take it as it is; dowels are bought."""

    @property
    def edge_radius(self) -> float:
        """Of the rounded edges of a loose tenon, as the cutter leaves the ends of its mortise [in]."""
        return self.thickness / 2


class Member(NamedTuple):
    """Where one member of a run stands, from the run's reference end [in]."""

    begin: float
    center: float
    end: float


@dataclass(frozen=True, slots=True)
class RunAnswer:
    """Where the members of a run stand, and the gaps between them."""

    run: Run
    members: int
    gap: float | None
    """Of gaps that are alike, or the one that rest stands for; None when they differ or nothing fits."""
    end_gap: float
    centers: tuple[float, ...] = ()
    sides: tuple[Span, ...] = ()
    width: float = 0.0
    """Of each member [in]."""
    part: Part | None = None
    """The part that the members are."""
    gaps: tuple[float, ...] = ()
    """Every gap from the reference end, those at the ends too [in]; empty when the members do not fit."""
    remarks: tuple[str, ...] = ()

    @property
    def unlike(self) -> bool:
        """Whether the gaps between members differ: one block would not set them all."""
        between = [self.gap, *self.gaps[1:-1]]
        return any(each is None or self.gap is None or abs(each - self.gap) > 1e-6 for each in between)

    @property
    def name(self) -> str:
        """What the maker calls it."""
        return self.run.run

    @property
    def between(self) -> float:
        """Clear distance that it fills [in]."""
        return self.run.between

    @property
    def placed(self) -> tuple[Member, ...]:
        """Each member in its place; none when they do not fit."""
        return tuple(
            Member(begin, center, end) for center, (begin, end) in zip(self.centers, self.sides, strict=True)
        )


class Station(NamedTuple):
    """A place along a curve or taper, its offset, and for an arc that of the bent strip (or reversed)."""

    place: float
    offset: float
    other: float | None = None


@dataclass(frozen=True, slots=True)
class ShapeAnswer:
    """What a curve or taper comes to, with the places to lay it out by."""

    shape: Shape
    radius: float | None = None
    angle: float | None = None
    """Of each tapered face [deg]."""
    offset: float | None = None
    """Of each tapered face at the small end [in]."""
    faces: int = 0
    starts_at: float = 0.0
    stations: tuple[Station, ...] = ()
    part: Part | None = None
    """The part that it shapes, where the maker names it."""
    departure: float | None = None
    """Largest difference between the arc and the bent strip [in]."""
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LoadAnswer:
    """How far a loaded member sags, now and later, and whether it holds."""

    load: Load
    pounds: float
    """Whole load [lb]."""
    sag: float
    """When new [in]."""
    sag_allowed: float
    """When new [in]."""
    sag_later: float
    """After some years, creep included [in]."""
    stress_share: float
    """Bending stress as a share of the wood's strength."""
    passes: bool
    least_thickness: float
    longest_span: float
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class GlueUpAnswer:
    """How a glue-up goes: in how many goes, with which clamps and how much adhesive."""

    glue_up: GlueUp
    glues: str
    """``blanks``, ``panels`` or ``assembly``."""
    minutes: float | None
    """Of the longest go."""
    open_time: float
    steps: tuple[int, ...]
    """Joints in each go; one when all fit, empty when not even one joint does or none is given."""
    would_do: tuple[str, ...]
    """Other adhesive kinds that leave time for all in one go."""
    clamps: int | None
    """For one go."""
    spacing: float | None
    """Clamp to clamp [in]."""
    clamp_places: tuple[float, ...]
    alternate: bool
    """Clamps above and below by turns."""
    clamp_length: float | None
    joined: bool
    """Two clamps joined end to end."""
    area: float | None
    fluid_ounces: float | None
    clamp_hours: float
    assembly_time: float = 0.0
    """Minutes from the first glue to the last clamp that the adhesive allows."""
    spread: tuple[float, float] = (0.0, 0.0)
    """Least and most adhesive to spread [lb/1000 ft2]."""
    joints: int | None = None
    """In all its goes."""
    goes: int = 1
    of: str = ""
    """The part or panel whose plies, staves or leaves it glues."""
    caution: str = ""
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FinishAnswer:
    """What a coat or sanding goes on, how much it takes and when."""

    step: FinishStep
    surface: float
    gallons: float | None
    names: tuple[str, ...]
    """Parts and panels that it goes on."""
    starts: tuple[float, ...]
    """Hours from the first day's opening at which each coat starts: after the assembly, if any comes then."""
    ready: float
    early: tuple[str, ...] = ()
    """Parts and panels that it goes on before the assembly."""
    late: bool = True
    """Whether it goes on anything after the assembly."""
    early_starts: tuple[float, ...] = ()
    """Hours at which each coat before the assembly starts, when there are both."""
    early_ready: float | None = None
    cautions: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def first_day(self) -> int:
        """Day of the first coat, counted from 1."""
        return day_of(self.starts[0])

    @property
    def ready_day(self) -> int:
        """Day on which the next step may begin."""
        return day_of(self.ready)


def day_of(hour: float) -> int:
    """Return the day of an hour after the first day's opening, counted from 1."""
    return int(hour // 24) + 1


SHOULDERS = ("shoulder", "far shoulder")
"""What the marks are called where a member's tenons begin."""


class Mark(NamedTuple):
    """One mark on a story stick: its place from the reference end or shoulder [in], and its name."""

    at: float
    what: str
    offset: float | None = None
    """How far the curve or taper stands off there [in]."""
    joint: bool = False
    """Whether it is the edge of something cut away, drawn as a block to its partner."""
    until: float | None = None
    """The other end of what begins here [in]."""
    across: Span | None = None
    """Where it lies across the surface: from the edge, on an edge or end from the face [in]."""


@dataclass(frozen=True, slots=True)
class Stick:
    """A story stick: everything marked along one member, run or curve, from one end."""

    names: tuple[str, ...]
    """Members that share this layout."""
    kind: str
    """``member``, ``run``, ``curve`` or ``taper``."""
    length: float
    marks: tuple[Mark, ...]
    note: str = ""
    surface: str = ""
    """Of a member."""
    across: float = 0.0
    """How wide that surface is [in]."""
    section: tuple[float, float] | None = None
    """Width and thickness of a member that is to be seen from its end [in]."""
    cutouts: tuple[tuple[Span, Span], ...] = ()
    """What is cut away as seen so: from the edge, and from the face [in]."""

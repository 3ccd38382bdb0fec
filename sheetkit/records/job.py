"""Frozen records of a job as it was asked.

Lengths: inches; moisture: percent; shares: fractions of one; money: Decimal; ``row`` is that of a tab.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from sheetkit.page import reference
from sheetkit.records.allowances import Allowances
from sheetkit.tables import Species
from sheetkit.units import Unit


@dataclass(frozen=True, slots=True)
class Stock:
    """A thickness of lumber as it is bought."""

    name: str
    """As the trade says it: 4/4, 8/4, 27 mm."""
    nominal: float
    """Thickness by which it is counted [in]."""


@dataclass(frozen=True, slots=True)
class Part:
    """A row of Parts: a part of the piece, at its final size."""

    row: int
    part: str
    qty: int
    species: Species
    thickness: float
    width: float
    length: float
    tenons: tuple[float, ...] = ()
    made_as: str = "solid"
    plies: int | None = None
    cut: str = "either"
    together: str = ""
    how: str = "same board"
    stock: Stock | None = None
    rise: float = 0.0
    round_over: float = 0.0
    when: str = ""
    """When it is put in, as on Extras; empty: by its joints, else after the finish."""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Panel:
    """A row of Panels: a panel in a frame, and the opening that it fills."""

    row: int
    panel: str
    qty: int
    species: Species
    groove_sides: float
    groove_ends: float
    thickness: float
    opening_width: float | None = None
    opening_height: float | None = None
    run: str = ""
    rails: str = ""
    measured_width: float | None = None
    measured_height: float | None = None
    groove_width: float | None = None
    grain: str = "up"
    cut: str = "either"
    made_as: str = "edge-glued"
    leaves: int | None = None
    together: str = ""
    how: str = "same board"
    stock: Stock | None = None
    note: str = ""

    @property
    def is_thinned(self) -> bool:
        """Whether its edges must be thinned to go into the groove."""
        return self.groove_width is not None and self.thickness > self.groove_width


@dataclass(frozen=True, slots=True)
class Joint:
    """A row of Joints: a kind of joint, and where it stands."""

    row: int
    joint: str
    kind: str
    thickness: float
    depth_into: float
    qty: int | None = None
    """None where the places tell."""
    into: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    """Surfaces of the part that takes it; empty when the maker does not say."""
    pieces: tuple[int, ...] = ()
    """Numbers of its pieces, from 1; empty when the maker does not say."""
    from_part: str = ""
    width: float | None = None
    depth_from: float | None = None
    at: tuple[float, ...] = ()
    """Where it begins, all along [in]."""
    at_run: str = ""
    """Name of the run on whose members it is centered, in place of ``at``."""
    across: float | None = None
    lies: str = "along"
    note: str = ""
    told_by: tuple[tuple[str, str], ...] = ()
    """Sizes that were left empty and are known from another tab: column, title of the tab."""


@dataclass(frozen=True, slots=True)
class Run:
    """A row of Spacing: members alike, side by side over a length."""

    row: int
    run: str
    between: float
    members: int | None = None
    largest_gap: float | None = None
    member_width: float | None = None
    member: str = ""
    first_at: float | None = None
    gaps: tuple[float | None, ...] = ()
    """Unlike gaps in their order; None shares with others of it what is left."""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Shape:
    """A row of Shapes: a curve or a taper."""

    row: int
    shape: str
    kind: str
    length: float
    rise: float | None = None
    small_end: float | None = None
    start: float | None = None
    stations: int = 8
    part: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Load:
    """A row of Loads: a member, and what it carries."""

    row: int
    member: str
    species: Species
    thickness: float
    width: float
    span: float
    load: float
    """Pounds in an inch job, kilograms in a mm job."""
    bears_as: str = "resting, spread"
    shared_by: int = 1
    note: str = ""
    of_part: tuple[str, ...] = ()
    """What was left empty and is known from the part that the member is, by column."""


@dataclass(frozen=True, slots=True)
class GlueUp:
    """A row of Glue-ups: what is glued in one step, and with what."""

    row: int
    step: str
    glues: str = ""
    """``blanks``, ``panels`` or ``assembly``; empty when the maker does not say."""
    joints: str = ""
    """How many, or names of rows on Joints with semicolons between."""
    goes: int | None = None
    area: float | None = None
    """Square inches in an inch job, square centimeters in a mm job."""
    adhesive: str = "PVA"
    price: Decimal | None = None
    """Of a quart, or of a liter in a mm job."""
    minutes: float = 1.0
    across: float | None = None
    along: float | None = None
    used: float | None = None
    """Really used, in quarts, or in liters in a mm job."""
    note: str = ""


@dataclass(frozen=True, slots=True)
class FinishStep:
    """A row of Finish: a coat or a sanding."""

    row: int
    step: str
    when: str = ""
    """``before assembly`` or ``after assembly``; empty when the maker does not say."""
    product: str = ""
    coats: int = 1
    price: Decimal | None = None
    """Of a quart, or of a liter in a mm job."""
    coverage: float | None = None
    hours: float | None = None
    grit: str = ""
    parts: str = ""
    used: float | None = None
    """Really used, in quarts, or in liters in a mm job."""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Board:
    """A row of Boards: a board in the rack or seen at the yard."""

    row: int
    board: str
    species: Species
    stock: Stock
    width: float
    length: float
    bad: tuple[tuple[float, float], ...] = ()
    price: Decimal | None = None
    note: str = ""
    where: str = "rack"
    """``rack``; ``yard`` when it was seen and not bought; ``cut`` once this job has cut it."""
    listed: str = "Boards"
    """Where it is listed: on Boards, on To buy, or in the workbook of the shop's rack."""

    @property
    def spot(self) -> tuple[str, int]:
        """What tells it from every other board of the job."""
        return self.listed, self.row


@dataclass(frozen=True, slots=True)
class Price:
    """A row of Prices: what a species costs in one stock."""

    row: int
    species: Species
    stock: Stock
    measures: float | None = None
    price: Decimal | None = None
    waste: float | None = None
    grade: str = ""
    bought: float | None = None
    """Really bought, in the measure that Job asks for."""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Extra:
    """A row of Extras: hardware and bought parts."""

    row: int
    item: str
    qty: float = 1.0
    unit_price: Decimal | None = None
    fit_to: str = ""
    when: str = ""
    """``before assembly``, ``after assembly``, ``after finish`` or ``at delivery``; empty when not said."""
    used: float | None = None
    """Really used."""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Operation:
    """A row of Labor: an operation, how it is counted and how long it takes."""

    row: int
    operation: str
    minutes: float
    counted_by: str = "job"
    rate: Decimal | None = None
    actual_hours: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class JobSheet:
    """The labeled values of the tab Job."""

    job: str
    unit: Unit
    step: float
    """Rounding step [in]."""
    measure: str
    number: str = ""
    client: str = ""
    piece: str = ""
    outside_size: str = ""
    prepared_by: str = ""
    date: date | None = None
    moisture_now: float | None = None
    moisture_driest: float = 6.0
    moisture_wettest: float = 11.0
    climate_assumed: bool = False
    fits: str = ""
    clearance_side: float = 0.0
    clearance_end: float = 0.0
    inside_width: float | None = None
    inside_length: float | None = None
    support_height: float | None = None
    hourly_rate: Decimal | None = None
    overhead: float = 0.0
    profit: float = 0.0
    profit_as: str = "markup"
    tax: float = 0.0
    delivery: Decimal | None = None
    """Price of delivery; None when nothing is said of it."""
    collected: bool = False
    """Whether the client fetches the piece."""
    deposit: float = 0.0
    ready_weeks: int | None = None
    valid_days: int = 30
    currency: str = ""
    decimal_sign: str = ""
    """``point`` or ``comma``; empty: as the workbook's language has it."""
    alternatives: tuple[Species, ...] = ()
    offer_alternatives: str = "no"
    words: Mapping[str, str] = field(default_factory=dict)
    """Name of a word of the quote -> what the maker says in its place."""
    rack: str = ""
    """Path of the workbook of the shop's boards, from the job's own folder."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where the tables stand in the maker's file, so that answers and live formulas find their cells."""

    title: str
    heading_row: int
    columns: Mapping[str, int] = field(default_factory=dict)
    """Column name -> its number, for the columns that are there (answers only where the heading is ours)."""
    last_row: int = 0
    edge: int = 0
    """First column to the right of everything that stands on the tab."""


@dataclass(frozen=True, slots=True)
class Job:
    """A whole job as asked."""

    sheet: JobSheet
    parts: tuple[Part, ...] = ()
    panels: tuple[Panel, ...] = ()
    joints: tuple[Joint, ...] = ()
    runs: tuple[Run, ...] = ()
    shapes: tuple[Shape, ...] = ()
    loads: tuple[Load, ...] = ()
    glue_ups: tuple[GlueUp, ...] = ()
    finish: tuple[FinishStep, ...] = ()
    boards: tuple[Board, ...] = ()
    prices: tuple[Price, ...] = ()
    extras: tuple[Extra, ...] = ()
    labor: tuple[Operation, ...] = ()
    allowances: Allowances = field(default_factory=lambda: Allowances(()))
    places: Mapping[str, Place] = field(default_factory=dict)
    """Title of the input tab as declared -> where it stands."""
    labels: Mapping[str, tuple[str, int, int]] = field(default_factory=dict)
    """Name of a labeled value -> tab title, row and column of its value."""
    numeric: frozenset[tuple[str, int, int]] = frozenset()
    """Cells of the maker that hold plain numbers, so that live formulas may point at them."""
    percents: frozenset[tuple[str, int, int]] = frozenset()
    """Those of them that are shown as a percentage, so that 1.2 is 120 % and not 1.2 %."""

    def live(self, tab: str, row: int, name: str) -> str | None:
        """Return a reference to a cell of a table that holds a plain number, or None."""
        place = self.places.get(tab)
        column = place.columns.get(name, 0) if place else 0
        if place is None or (place.title, row, column) not in self.numeric:
            return None
        return reference(place.title, row, column)

    def live_label(self, name: str) -> str | None:
        """Return a reference to a labeled value that is a plain number, or None."""
        place = self.labels.get(name)
        return reference(*place) if place in self.numeric else None


ROWS: Mapping[str, tuple[str, type]] = {
    "Parts": ("parts", Part),
    "Panels": ("panels", Panel),
    "Joints": ("joints", Joint),
    "Spacing": ("runs", Run),
    "Shapes": ("shapes", Shape),
    "Loads": ("loads", Load),
    "Glue-ups": ("glue_ups", GlueUp),
    "Finish": ("finish", FinishStep),
    "Boards": ("boards", Board),
    "Prices": ("prices", Price),
    "Extras": ("extras", Extra),
    "Labor": ("labor", Operation),
}
"""Title of each table -> field of Job and record of one row."""

"""Everything that the plan answers for a job: one tree of frozen records.

Lengths are inches, areas square inches, moisture is percent, shares are fractions of one, money is Decimal;
nothing stands in a unit of display.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from sheetkit.records.buying import Purchase
from sheetkit.records.costs import Costs
from sheetkit.records.elevations import Elevation
from sheetkit.records.job import Job
from sheetkit.records.joinery import (
    FinishAnswer,
    GlueUpAnswer,
    JointAnswer,
    LoadAnswer,
    RunAnswer,
    ShapeAnswer,
    Stick,
    TenonMilling,
)
from sheetkit.records.problems import Problem
from sheetkit.records.wood import Blank, BoardAnswer, LumberLine, PanelAnswer, PartAnswer, StockLayout
from sheetkit.records.work import Step


@dataclass(frozen=True, slots=True)
class Unanswered:
    """A row that could not be answered, and what is said beside it."""

    tab: str
    row: int
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Answers:
    """Everything that the plan answers for a job."""

    job: Job
    parts: tuple[PartAnswer, ...] = ()
    panels: tuple[PanelAnswer, ...] = ()
    lumber: tuple[LumberLine, ...] = ()
    purchases: tuple[Purchase, ...] = ()
    """What is missing, to take to the yard."""
    layouts: tuple[StockLayout, ...] = ()
    boards: tuple[BoardAnswer, ...] = ()
    joints: tuple[JointAnswer, ...] = ()
    runs: tuple[RunAnswer, ...] = ()
    shapes: tuple[ShapeAnswer, ...] = ()
    loads: tuple[LoadAnswer, ...] = ()
    glue_ups: tuple[GlueUpAnswer, ...] = ()
    finish: tuple[FinishAnswer, ...] = ()
    tenon_stock: tuple[TenonMilling, ...] = ()
    sticks: tuple[Stick, ...] = ()
    elevations: tuple[Elevation, ...] = ()
    work: tuple[Step, ...] = ()
    """The steps of the work, in their order."""
    unanswered: tuple[Unanswered, ...] = ()
    notices: tuple[Problem, ...] = ()
    """Rules that hold for such a piece, and what can tip: also among the problems."""
    problems: tuple[Problem, ...] = ()
    weight: float | None = None
    """The whole piece at today's moisture, without hardware [lb]."""
    costs: Costs = field(default_factory=Costs)
    """What the job says of money; nothing in the answers for another species."""

    @property
    def wholes(self) -> tuple[PartAnswer | PanelAnswer, ...]:
        """Every part and panel, parts first."""
        return (*self.parts, *self.panels)

    @property
    def blanks(self) -> tuple[Blank, ...]:
        """Every blank of the job, parts first."""
        return tuple(blank for whole in self.wholes for blank in whole.blanks)

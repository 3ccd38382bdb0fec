"""What the search is tuned by: shares of its budget, chances and spreads, found by trial on practice jobs."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Tuning:
    """The constants of the search; another record makes another search, and never an invalid layout."""

    # -- how much work

    work: float = 2.1
    work_each: float = 0.018
    """Millions of steps in the tables at effort 1: for any job, and for each blank."""
    kind_work: float = 20.0
    """What copying the wanted costs in steps, for each kind of blank."""
    emergency_seconds: float = 60.0
    """A run that takes this many times longer than planned is stopped, and says so."""

    # -- construct

    shares: tuple[float, ...] = (0.3, 0.6, 1.0, 1.0)
    """Shares of the bound's prices in those that are drawn; the rest is by area."""
    leans: tuple[float, ...] = (0.0, 0.04, 0.08, 0.15)
    """Exponents by which large pieces are worth more."""
    few_blanks: int = 25
    few_noises: tuple[float, ...] = (0.0, 0.02, 0.04, 0.15, 0.3)
    many_noises: tuple[float, ...] = (0.0, 0.01, 0.02)
    """Spreads of the prices: few blanks leave few ways to differ, so their prices vary more."""
    coarse: tuple[int, ...] = (4, 8, 8, 16)
    """Grid steps that one step of the section plan takes."""
    retries: int = 4
    """How often the last boards of a layout are laid out again before the attempt is given up."""
    finishers: int = 2
    """How many of the cheapest boards are tried for all that is left."""
    odd: float = 0.3
    """Chance that the next board is not the one worth most for its cost."""
    spreads: tuple[float, ...] = (0.0, 0.05, 0.15)
    """Spreads of the boards' costs when those to cut are chosen."""

    # -- prove

    rounds: int = 8
    rounds_more: int = 12
    """Rounds of column generation: at least, and more at effort 1."""
    generate: float = 0.5
    """Share of the budget that the first statements of the bound may take."""
    nodes: int = 1000
    """Nodes of the small program that covers by whole boards."""
    tighten: float = 0.15
    """Share of the budget for refuting board sets."""
    refute_rounds: int = 12

    # -- improve

    starts: int = 5
    """Layouts from nothing at the bound's prices before the first is changed."""
    start_within: float = 1.01
    round_within: float = 1.008
    restart_within: float = 1.05
    """Costs, as multiples of the best, beyond which a layout is given up: at the start, in a round,
    elsewhere.
    """
    anew: float = 0.12
    """Chance that a round lays out from nothing."""
    back: float = 0.01
    """Chance that a round without success goes back to the best since the last start."""
    patience: int = 200
    """Rounds without a better layout before the search starts again elsewhere."""
    freed: tuple[int, ...] = (2, 3, 4, 5, 6)
    freed_weights: tuple[int, ...] = (0, 2, 3, 3, 3)
    """How many boards are freed, and how often."""
    emptiest: float = 0.8
    """Chance that the emptiest boards are freed and not any."""
    jitter: float = 0.25
    """What chance adds to the share filled by which the emptiest are found."""
    assembly: float = 0.35
    assembly_after: float = 0.25
    assembly_from: float = 3.0
    """Work on putting known patterns together anew: its share, after which share of the budget, from which
    effort.
    """
    targets: tuple[float, ...] = (0.5, 0.75, 0.97, 0.4)
    """Costs asked for in turn, from the proven least (0) to the best so far (1)."""
    tight: tuple[float, float] = (0.25, 0.25)
    """Work on tight boards, as shares of the budget: before the layout is changed, and on top of it."""
    tight_boards: int = 5
    """Boards that are looked at together, at most."""
    tight_sets: int = 12
    """Cheaper sets of boards that are looked at in turn."""
    tight_turn: float = 2e4
    """Work on each in its first turn; every turn it doubles."""
    tight_shortages: tuple[float, ...] = (0.03, 0.1, 0.3, 1.0)
    """What leaving out a blank costs as a part of its area, in turn, until nothing is left out."""
    tight_columns: int = 60
    """Sections of a clear length listed in each round of finding prices."""
    tight_lists: tuple[tuple[int, int], ...] = ((10_000, 900), (60_000, 2700), (200_000, 8100))
    """Strips that are listed at most, and sections of a clear length, in turn."""
    tight_first: int = 30
    tight_growth: int = 3
    """Sections of a clear length that a program in whole numbers is given at first, and how they grow."""
    tight_nodes: int = 100
    tight_step: float = 15.0
    tight_power: float = 15.0
    tight_whole_step: float = 300.0
    tight_little: float = 0.01
    tight_loose: float = 4.0
    """Nodes of such a program. Work of a step of the simplex method, of such a program for its columns to the
    power of 1.5, of a step in it; the part of the area that is little to lose, and the work expected of the
    first such program where more may be lost, for the square of the strips.
    """
    polish: float = 0.15
    """Share of the budget for second thoughts once the cost is proven least, and for drawing together."""
    halvings: int = 6
    """Trials for cutting a board from a shorter piece of itself."""


USUAL = Tuning()

"""Linear and integer programs on HiGHS: one thread, fixed seed, counted work, nothing on the screen."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np

_greeted = False
_INFINITE = highspy.kHighsInf
EMERGENCY_SECONDS = 60.0
# up to so many rows the program is small beside the tables;
# work for each further one and each step of the solver
MANY_ROWS, EACH_ROW = 300, 1.0


def _solver() -> Any:
    """Return a quiet solver.

    The first one in a process prints a banner on file descriptor 1, which is held shut for it.
    """
    global _greeted
    if _greeted:
        return _quiet(_new())
    sys.stdout.flush()
    kept = os.dup(1)
    shut = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(shut, 1)
        h = _quiet(_new())
        h.addCol(1.0, 0.0, 1.0, 0, [], [])
        h.run()
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(shut)
    _greeted = True
    h.clearModel()
    return h


def _new() -> Any:
    make: Any = highspy.Highs
    return make()


def _quiet(h: Any) -> Any:
    for name, value in (("output_flag", False), ("threads", 1), ("random_seed", 7), ("parallel", "off")):
        h.setOptionValue(name, value)
    return h


@dataclass(frozen=True, slots=True)
class Entry:
    """One column: its cost and its coefficients by row."""

    cost: float
    rows: Sequence[int]
    values: Sequence[float]
    most: float = _INFINITE
    """How often it can be taken."""


class GrowingProgram:
    """A linear program min cost with rows >= need (then rows <= 1) that takes new columns between solves."""

    def __init__(self, needs: Sequence[float], caps: int, shortage: Sequence[float]) -> None:
        """`shortage`: cost of leaving a unit of each need uncovered."""
        self.h = _solver()
        self.needs = len(needs)
        self.rows = len(needs) + caps
        for need in needs:
            self.h.addRow(float(need), _INFINITE, 0, [], [])
        for _ in range(caps):
            self.h.addRow(-_INFINITE, 1.0, 0, [], [])
        for i, cost in enumerate(shortage):
            self.h.addCol(float(cost), 0.0, _INFINITE, 1, [i], [1.0])
        self.caps = [0.0] * caps
        """What more room in each of the other rows would save, once solved."""
        self.short = 0.0
        """How much of the needs stays uncovered, once solved."""
        self.steps = 0

    def add(self, entries: Iterable[Entry]) -> None:
        """Add columns."""
        for e in entries:
            rows = np.asarray(e.rows, dtype=np.int32)
            values = np.asarray(e.values, dtype=np.float64)
            self.h.addCol(e.cost, 0.0, e.most, len(rows), rows, values)

    def solve(self) -> tuple[float, list[float], float]:
        """Return the objective, duals of the needs (not below 0), and the work done."""
        self.h.run()
        solution = self.h.getSolution()
        duals = list(solution.row_dual)
        self.short = float(sum(solution.col_value[: self.needs]))
        needs = [max(0.0, d) for d in duals[: self.needs]]
        self.caps = [max(0.0, -d) for d in duals[self.needs :]]
        info = self.h.getInfo()
        self.steps = max(0, int(info.simplex_iteration_count))
        work = EACH_ROW * max(0, self.rows - MANY_ROWS) * self.steps
        return float(info.objective_function_value), needs, work


@dataclass(frozen=True, slots=True)
class Chosen:
    """Answer of a 0/1 program: the columns taken (none without a solution), a proven bound, the work."""

    taken: list[int]
    found: bool
    bound: float
    impossible: bool
    steps: int = 0


def _program(entries: Sequence[Entry], least: Sequence[float], most: Sequence[float]) -> Any:
    """Return the program: what the columns add up to in every row, at least and at most."""
    lp = highspy.HighsLp()
    n = len(entries)
    lp.num_col_, lp.num_row_ = n, len(least)
    lp.col_cost_ = np.array([e.cost for e in entries], dtype=np.float64)
    lp.col_lower_, lp.col_upper_ = np.zeros(n), np.array([e.most for e in entries])
    lp.row_lower_, lp.row_upper_ = np.array(least), np.array(most)
    starts = np.cumsum([0] + [len(e.rows) for e in entries])
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.num_col_, lp.a_matrix_.num_row_ = n, len(least)
    lp.a_matrix_.start_ = starts.astype(np.int32)
    lp.a_matrix_.index_ = np.array([r for e in entries for r in e.rows], dtype=np.int32)
    lp.a_matrix_.value_ = np.array([v for e in entries for v in e.values], dtype=np.float64)
    return lp


def _cover(entries: Sequence[Entry], rows: int, caps: int) -> Any:
    """Return the program: columns from 0 to 1, `rows` adding up to 1 at least, `caps` to 1 at most."""
    lp = _program(entries, [1 - 1e-9] * rows + [-_INFINITE] * caps, [_INFINITE] * rows + [1.0] * caps)
    lp.col_upper_ = np.ones(len(entries))
    return lp


def reduced_costs(entries: Sequence[Entry], rows: int, caps: int) -> tuple[float, list[float], int]:
    """Return what `choose` costs at least in fractions, what taking each column adds, the work done."""
    h = _solver()
    h.passModel(_cover(entries, rows, caps))
    h.run()
    info = h.getInfo()
    return (
        float(info.objective_function_value),
        list(h.getSolution().col_dual),
        int(info.simplex_iteration_count),
    )


def choose(entries: Sequence[Entry], rows: int, nodes: int, caps: int = 0, most: float = _INFINITE) -> Chosen:
    """Take columns of least cost, `most` at most: `rows` add up to 1 at least, `caps` to 1 at most."""
    h = _solver()
    lp = _cover(entries, rows, caps)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(entries)
    h.passModel(lp)
    h.setOptionValue("mip_max_nodes", nodes)
    h.setOptionValue("time_limit", EMERGENCY_SECONDS)
    h.setOptionValue("mip_rel_gap", 1e-7)
    h.setOptionValue("objective_bound", most)
    h.run()
    info = h.getInfo()
    steps = max(0, int(info.simplex_iteration_count))
    status = h.getModelStatus()
    impossible = status == highspy.HighsModelStatus.kInfeasible
    if info.primal_solution_status != 2:
        return Chosen([], False, float(info.mip_dual_bound), impossible, steps)
    col = h.getSolution().col_value
    taken = [j for j in range(len(entries)) if col[j] > 0.5]
    return Chosen(taken, True, float(info.mip_dual_bound), False, steps)


@dataclass(frozen=True, slots=True)
class Counted:
    """Answer of a program in whole numbers: how often each column is taken, nothing if none are found."""

    taken: list[int]
    impossible: bool
    steps: int


def exactly(entries: Sequence[Entry], needs: Sequence[float], caps: int, nodes: int) -> Counted:
    """Take columns that add up to just the `needs`, and to 1 at most in `caps` further rows."""
    h = _solver()
    lp = _program(entries, [*needs, *[-_INFINITE] * caps], [*needs, *[1.0] * caps])
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(entries)
    h.passModel(lp)
    h.setOptionValue("mip_max_nodes", nodes)
    h.setOptionValue("mip_max_improving_sols", 1)
    h.setOptionValue("time_limit", 10 * EMERGENCY_SECONDS)
    h.run()
    info = h.getInfo()
    steps = max(0, int(info.simplex_iteration_count))
    if info.primal_solution_status != 2:
        return Counted([], h.getModelStatus() == highspy.HighsModelStatus.kInfeasible, steps)
    return Counted([round(v) for v in h.getSolution().col_value], False, steps)

"""Linear and integer programs on HiGHS: one thread, fixed seed, limits by counted work, and nothing on the screen."""

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


def _solver() -> Any:
    """A quiet solver. Its first one in a process prints a banner on file descriptor 1, which is held shut for it."""
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


class GrowingProgram:
    """A linear program min cost with rows >= need (then rows <= 1) that takes new columns between solves."""

    def __init__(self, needs: Sequence[float], caps: int, shortage: Sequence[float]) -> None:
        """`shortage`: cost of leaving a unit of each need uncovered."""
        self.h = _solver()
        self.needs = len(needs)
        for need in needs:
            self.h.addRow(float(need), _INFINITE, 0, [], [])
        for _ in range(caps):
            self.h.addRow(-_INFINITE, 1.0, 0, [], [])
        for i, cost in enumerate(shortage):
            self.h.addCol(float(cost), 0.0, _INFINITE, 1, [i], [1.0])

    def add(self, entries: Iterable[Entry]) -> None:
        """Add columns."""
        for e in entries:
            rows = np.asarray(e.rows, dtype=np.int32)
            self.h.addCol(e.cost, 0.0, _INFINITE, len(rows), rows, np.asarray(e.values, dtype=np.float64))

    def solve(self) -> tuple[float, list[float], list[float]]:
        """Objective, duals of the needs (not below 0) and of the caps (not above 0)."""
        self.h.run()
        duals = list(self.h.getSolution().row_dual)
        needs = [max(0.0, d) for d in duals[: self.needs]]
        caps = [min(0.0, d) for d in duals[self.needs :]]
        return float(self.h.getInfo().objective_function_value), needs, caps


@dataclass(frozen=True, slots=True)
class Chosen:
    """Answer of a 0/1 program: the columns taken (empty without a solution), and a proven lower bound."""

    taken: list[int]
    found: bool
    bound: float
    impossible: bool


def choose(
    entries: Sequence[Entry],
    lower: Sequence[float],
    upper: Sequence[float],
    nodes: int,
    slack: Sequence[float] = (),
    start: Sequence[int] = (),
    stall: int = 0,
) -> Chosen:
    """Choose columns of least cost with every row between its limits (`slack`: cost of a unit missing in row i)."""
    h = _solver()
    lp = highspy.HighsLp()
    n = len(entries) + len(slack)
    lp.num_col_, lp.num_row_ = n, len(lower)
    lp.col_cost_ = np.array([e.cost for e in entries] + list(slack), dtype=np.float64)
    lp.col_lower_ = np.zeros(n)
    lp.col_upper_ = np.array([1.0] * len(entries) + [_INFINITE] * len(slack))
    lp.row_lower_ = np.array([-_INFINITE if v is None else v for v in lower], dtype=np.float64)
    lp.row_upper_ = np.array([_INFINITE if v is None else v for v in upper], dtype=np.float64)
    starts, index, value = [0], [], []
    for e in entries:
        index += list(e.rows)
        value += list(e.values)
        starts.append(len(index))
    for i in range(len(slack)):
        index.append(i)
        value.append(1.0)
        starts.append(len(index))
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.num_col_, lp.a_matrix_.num_row_ = n, len(lower)
    lp.a_matrix_.start_ = np.array(starts, dtype=np.int32)
    lp.a_matrix_.index_ = np.array(index, dtype=np.int32)
    lp.a_matrix_.value_ = np.array(value, dtype=np.float64)
    whole = [highspy.HighsVarType.kInteger] * len(entries)
    lp.integrality_ = whole + [highspy.HighsVarType.kContinuous] * len(slack)
    h.passModel(lp)
    h.setOptionValue("mip_max_nodes", nodes)
    h.setOptionValue("time_limit", EMERGENCY_SECONDS)
    h.setOptionValue("mip_rel_gap", 1e-7)
    if stall:
        h.setOptionValue("mip_max_stall_nodes", stall)
    if start:
        solution = highspy.HighsSolution()
        values = [0.0] * n
        for j in start:
            values[j] = 1.0
        solution.col_value = values
        h.setSolution(solution)
    h.run()
    info = h.getInfo()
    status = h.getModelStatus()
    impossible = status == highspy.HighsModelStatus.kInfeasible
    if info.primal_solution_status != 2:
        return Chosen([], False, float(info.mip_dual_bound), impossible)
    col = h.getSolution().col_value
    taken = [j for j in range(len(entries)) if col[j] > 0.5]
    return Chosen(taken, True, float(info.mip_dual_bound), False)

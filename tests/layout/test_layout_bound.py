"""The bound against optima proven by a constraint solver on jobs small enough for it (ortools, in tests only)."""

from __future__ import annotations

import random
from typing import Any

import pytest
from ortools.sat.python import cp_model

from sheetkit.calc.layout import Board, GlueUp, Piece, Saw, lay_out

EIGHTH = 8


def optimum(pieces: list[Piece], boards: list[Board], saw: Saw) -> float | None:
    """Least cost of any layout by sections, strips and pieces, sizes in eighths; None when nothing fits.

    Blanks of a same-board group lie on one board. Blank i lies in strip j <= i, strip j in section k <= j, section k on a board: the lowest number opens a strip or
    section, so every layout has one numbering. Staves are optional blanks with a width of their own.
    """
    model = cp_model.CpModel()
    rip, cross = round(saw.rip_kerf * EIGHTH), round(saw.crosscut_kerf * EIGHTH)
    blanks: list[tuple[Any, int, Any]] = []  # (width, length, present)
    labels: list[str] = []
    for p in pieces:
        length = round(p.length * EIGHTH)
        for _ in range(p.count):
            if p.glue_up is None:
                blanks.append((round(p.width * EIGHTH), length, 1))
                labels.append(p.group)
                continue
            g = p.glue_up
            adds = []
            for _ in range(g.most_staves):
                stave = model.new_int_var(round(g.narrowest * EIGHTH), round(g.widest * EIGHTH), "")
                there = model.new_bool_var("")
                net = model.new_int_var(0, round(g.widest * EIGHTH), "")
                model.add(net <= stave - round(g.joint * EIGHTH)).only_enforce_if(there)
                model.add(net == 0).only_enforce_if(there.negated())
                blanks.append((stave, length, there))
                labels.append("")
                adds.append(net)
            model.add(sum(adds) >= round(p.width * EIGHTH))
    n = len(blanks)
    widest = max(round((b.width - b.edge) * EIGHTH) for b in boards) + rip
    longest = max(round((b.length - b.trim_start - b.trim_end) * EIGHTH) for b in boards) + cross
    x = {(i, j): model.new_bool_var("") for i in range(n) for j in range(i + 1)}
    y = {(j, k): model.new_bool_var("") for j in range(n) for k in range(j + 1)}
    z = {(k, b): model.new_bool_var("") for k in range(n) for b in range(len(boards))}
    used = [model.new_bool_var("") for _ in boards]
    section_length = [model.new_int_var(0, longest, "") for _ in range(n)]
    for i, (_, _, there) in enumerate(blanks):
        model.add(sum(x[i, j] for j in range(i + 1)) == there)
    for j in range(n):
        opened = sum(y[j, k] for k in range(j + 1))
        model.add(opened == x[j, j])
        strip_length = sum(x[i, j] * (blanks[i][1] + cross) for i in range(j, n))
        for k in range(j + 1):
            model.add(section_length[k] >= strip_length).only_enforce_if(y[j, k])
        for i in range(j + 1, n):
            model.add_implication(x[i, j], x[j, j])
    strip_width = [model.new_int_var(0, widest, "") for _ in range(n)]
    for (i, j), var in x.items():
        model.add(strip_width[j] >= blanks[i][0] + rip).only_enforce_if(var)
    taken = {(j, k): model.new_int_var(0, widest, "") for j, k in y}
    for (j, k), var in y.items():
        model.add(taken[j, k] >= strip_width[j]).only_enforce_if(var)
        if j != k:
            model.add_implication(var, y[k, k])
    for k in range(n):
        model.add(sum(z[k, b] for b in range(len(boards))) == y[k, k])
    for b, board in enumerate(boards):
        width = round((board.width - board.edge) * EIGHTH) + rip
        length = round((board.length - board.trim_start - board.trim_end) * EIGHTH) + cross
        parts = []
        for k in range(n):
            model.add(sum(taken[j, k] for j in range(k, n)) <= width).only_enforce_if(z[k, b])
            model.add_implication(z[k, b], used[b])
            part = model.new_int_var(0, longest, "")
            model.add(part >= section_length[k]).only_enforce_if(z[k, b])
            parts.append(part)
        model.add(sum(parts) <= length)
    for label in set(labels) - {""}:
        on = [model.new_bool_var("") for _ in boards]
        model.add_exactly_one(on)
        for i in (i for i in range(n) if labels[i] == label):
            for j, k in ((j, k) for j, k in y if j <= i):
                for b in range(len(boards)):
                    model.add_bool_or(x[i, j].negated(), y[j, k].negated(), z[k, b].negated(), on[b])
    costs = [round(b.cost * 1000) for b in boards]
    model.minimize(sum(c * u for c, u in zip(costs, used, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = 20
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    if status != cp_model.OPTIMAL:
        pytest.fail("the reference did not finish; make the job smaller")
    return solver.objective_value / 1000


def small_job(seed: int) -> tuple[list[Piece], list[Board], Saw]:
    rng = random.Random(seed)

    def eighths(low: int, high: int) -> float:
        return rng.randint(low * 8, high * 8) / 8

    pieces = [
        Piece(f"p{i}", eighths(1, 5), eighths(6, 30), rng.randint(1, 2)) for i in range(rng.randint(2, 4))
    ]
    if seed % 3 == 0:
        staves = GlueUp(2.0, eighths(3, 5), 0.125, 3)
        pieces = [*pieces[:2], Piece("top", eighths(5, 8), eighths(8, 24), 1, glue_up=staves)]
    boards = []
    for i in range(rng.randint(3, 4)):
        width, length = eighths(4, 8), eighths(32, 60)
        boards.append(Board(f"b{i}", width, length, round(width * length / 144, 3), 0, (), 1.0, 0.5, 0.25))
    return pieces, boards, Saw(0.125, 0.125, False, 12.0)


@pytest.mark.parametrize("seed", range(24))
def test_the_bound_is_never_above_a_proven_optimum_nor_the_answer_below_it(checked: Any, seed: int) -> None:
    pieces, boards, saw = small_job(seed)
    least = optimum(pieces, boards, saw)
    answer = lay_out(pieces, boards, saw, effort=0.3)
    checked(pieces, boards, saw, answer)
    if least is None:
        assert answer.missing
        return
    assert answer.bound <= least + 1e-6
    assert answer.complete
    assert answer.cost >= least - 1e-6
    assert answer.cost <= least * 1.0001, "jobs this small should be answered exactly"

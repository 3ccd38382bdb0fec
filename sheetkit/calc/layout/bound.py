"""A proven least cost, and prices for the pieces: column generation with exact knapsacks on a relaxed grid.

Every set of prices p gives a true statement about the boards touched: a board b yields at most v_b(p), so
``sum of v_b(p) over the boards touched >= p . wanted``. The bound is the least cost of whole boards that
keeps the statements gathered (a small 0/1 program). The relaxed grid rounds pieces down and boards up, bad
spots that leave wood beside them are wished away, and same-board groups and limits of single glue-ups are
dropped; each of these can only lower the bound. It holds for every layout by sections, strips and pieces,
whatever way it was found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from .fill import Filler, Prices, Wanted
from .grid import grid_of
from .knapsacks import StaveItem
from .programs import Entry, GrowingProgram, choose
from .prospect import Prospect
from .staves import fresh_units
from .task import MONEY, Bin, Task

SAFE = 1e-7


class RelaxedFiller(Filler):
    """Knapsacks that ignore how staves share out among blanks."""

    def _stave_item(self, wanted: Wanted, prices: Prices, g: int, reach: int) -> StaveItem | None:
        glue, length = self.task.glues[g], max(1, self.grid.glue_l[g])
        if length > reach:
            return None
        values = np.ceil(self.grid.class_nets[g] * prices.staves[g]).astype(np.int32)
        return StaveItem(length, values, glue.count * glue.most_staves, g)


@dataclass(slots=True)
class Statement:
    """sum of values[i] over the boards touched >= need."""

    values: list[int]
    need: int


@dataclass(slots=True)
class Proof:
    """What the bound found out: the least cost, whether it cannot be done at all, and prices."""

    least: float = 0.0
    impossible: bool = False
    kinds: list[float] = field(default_factory=list)
    staves: list[float] = field(default_factory=list)
    statements: list[Statement] = field(default_factory=list)


class Bounder:
    """Gathers statements and prices for one task."""

    def __init__(self, task: Task) -> None:
        self.task = replace(task, rip_first=False)
        self.bins = [b for b in task.bins if b.cells]
        self.filler = RelaxedFiller(grid_of(self.task, relaxed=True))
        self.wanted = Wanted([k.count for k in task.kinds], fresh_units(task))
        self.needs = [float(k.count) for k in task.kinds] + [float(g.net * g.count) for g in task.glues]
        self.areas = [float((k.w + task.rip) * (k.l + task.cross)) for k in task.kinds]
        self.areas += [float(g.l + task.cross) for g in task.glues]
        self.position = {b.index: i for i, b in enumerate(self.bins)}
        self.proof = Proof()

    def price(self, bins: Sequence[Bin], prices: Sequence[float]) -> tuple[list[int], int, float, Prospect]:
        """Return the boards' values at whole-number prices, the worth of the wanted, the scale, the plans."""
        n = len(self.task.kinds)
        density = max((p / a for p, a in zip(prices, self.areas, strict=True)), default=0.0)
        largest = max((b.width + self.task.rip) * (b.length + self.task.cross) for b in bins)
        scale = (1 << 28) / max(1e-12, density * largest)
        whole = Prices([int(p * scale) for p in prices[:n]], [p * scale for p in prices[n:]])
        prospect = Prospect(self.filler, self.wanted, whole, bins, 1)
        need = sum(v * k.count for v, k in zip(whole.kinds, self.task.kinds, strict=True))
        need += sum(int(p * g.net * g.count) for p, g in zip(whole.staves, self.task.glues, strict=True))
        return [prospect.value[b.index] for b in bins], need, scale, prospect

    def note(self, values: Sequence[int], need: int) -> None:
        """Keep a statement."""
        if need > 0:
            self.proof.statements.append(Statement(list(values), need))

    def column(self, b: Bin, prospect: Prospect) -> Entry:
        """Return the plan of a board as a column: how much of every need it meets, and the board itself."""
        amounts: dict[int, float] = {}
        grid, table = self.filler.grid, prospect.table
        for x, end in b.cells:
            for size, column in prospect.plan(b, grid.length(end - x)):
                for k, _ in table.cuts(prospect.heights[b.index], column):
                    if k < 0:
                        label = table.composites[-1 - k].label
                        amounts[label] = amounts.get(label, 0.0) + 1.0
                    else:
                        self._count(table.strips.contents(k, size), table.strips.classes[k], amounts)
        rows = [*amounts, len(self.needs) + self.position[b.index]]
        return Entry(b.cost / MONEY, rows, [*amounts.values(), 1.0])

    def _count(self, contents: tuple[list[int], list[int]], size: int, amounts: dict[int, float]) -> None:
        kinds, staves = contents
        k = self.filler.grid.classes.index(size)
        for label in kinds:
            amounts[label] = amounts.get(label, 0.0) + 1.0
        for g in staves:
            row = len(self.task.kinds) + g
            amounts[row] = amounts.get(row, 0.0) + int(self.filler.grid.class_nets[g][k])

    def generate(self, rounds: int, until: float) -> None:
        """Column generation over all boards, until so much work is done: statements, patterns and prices."""
        dearest = max((b.cost / MONEY / max(1, b.width * b.length) for b in self.bins), default=1.0)
        shortage = [3.0 * max(dearest, 1e-9) * a + 1e-6 for a in self.areas]
        master = GrowingProgram(self.needs, len(self.bins), shortage)
        best = -float("inf")
        smooth = [a * dearest for a in self.areas]
        for turn in range(rounds):
            values, need, scale, prospect = self.price(self.bins, smooth)
            self.note(values, need)
            gain = need / scale - sum(
                max(0.0, v / scale - b.cost / MONEY) for v, b in zip(values, self.bins, strict=True)
            )
            if gain > best:
                best = gain
                self.proof.kinds = list(smooth[: len(self.task.kinds)])
                self.proof.staves = list(smooth[len(self.task.kinds) :])
            master.add(self.column(b, prospect) for b in self.bins if prospect.value[b.index] > 0)
            cost, duals, work = master.solve()
            self.filler.work += work
            if cost <= best * (1 + 1e-4) or self.filler.work > until:
                break
            center = self.proof.kinds + self.proof.staves
            weight = 0.5 if turn < rounds - 2 else 0.2
            smooth = [weight * c + (1 - weight) * d for c, d in zip(center, duals, strict=True)]

    def cover(self, nodes: int) -> list[Bin] | None:
        """Improve the least cost by the statements; the boards it takes (None when it cannot be done)."""
        entries = []
        last = self.proof.statements[-40:]
        for i, b in enumerate(self.bins):
            entries.append(
                Entry(b.cost / MONEY, range(len(last)), [s.values[i] / s.need * (1 + 1e-9) for s in last])
            )
        answer = choose(entries, len(last), nodes)
        if answer.impossible:
            self.proof.impossible = True
            return None
        self.proof.least = max(self.proof.least, answer.bound * (1 - SAFE))
        return [self.bins[i] for i in answer.taken] if answer.found else []

    def refute(self, boards: Sequence[Bin], rounds: int, until: float) -> bool:
        """Try to prove that these boards do not hold the job, until so much work is done.

        A proof is kept as a statement.
        """
        chosen = {b.index for b in boards}
        at = [i for i, b in enumerate(self.bins) if b.index in chosen]
        master = GrowingProgram(self.needs, len(self.bins), self.areas)
        prices = list(self.areas)
        for _ in range(rounds):
            if self.filler.work > until:
                return False
            values, need, _, prospect = self.price(boards, prices)
            if need > sum(values):
                everywhere, need, _, _ = self.price(self.bins, prices)
                if need > sum(everywhere[i] for i in at):
                    self.note(everywhere, need)
                    return True
            made = [self.column(b, prospect) for b in boards if prospect.value[b.index] > 0]
            master.add(replace(e, cost=0.0) for e in made)
            missing, duals, work = master.solve()
            self.filler.work += work
            if missing <= 1e-6 * sum(a * n for a, n in zip(self.areas, self.needs, strict=True)):
                return False
            prices = duals
        return False

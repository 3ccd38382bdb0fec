"""Laying out what is wanted: the boards to take are a small covering knapsack on what each is worth."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from .fill import Filler, Prices, Wanted
from .pattern import Pattern
from .prospect import Prospect, fill
from .task import Bin, Region, Spot, Task
from .tuning import Tuning

_NEVER = 1 << 60
# in a rack of more boards, what is done for each is no longer small beside the tables:
# work for each further one
MANY, EACH = 200, 40.0
# boards tried for a same-board group, and once more for it alone; how often others may share its board
BOARDS_TRIED, SHARED = 4, 0.8
ODD_BOARDS = (0.3, 1.0, 5.0)


def area_prices(task: Task) -> Prices:
    """Return the prices by area, kerfs included (a stave carries its joint and kerf on an average width)."""
    kinds = [float((k.w + task.rip) * (k.l + task.cross)) for k in task.kinds]
    staves = []
    for g in task.glues:
        net = (g.least_net + g.most_net) / 2
        staves.append((g.l + task.cross) * (net + g.joint + task.rip) / net)
    return scaled(task, kinds, staves)


def scaled(task: Task, kinds: Sequence[float], staves: Sequence[float]) -> Prices:
    """Return the whole-number prices, as fine as the table's numbers allow.

    The best filled board is worth below 2**29.
    """
    areas = [(k.w + task.rip) * (k.l + task.cross) for k in task.kinds] + [
        g.l + task.cross for g in task.glues
    ]
    density = max((v / a for v, a in zip([*kinds, *staves], areas, strict=True)), default=1.0)
    largest = max(((b.width + task.rip) * (b.length + 4 * task.cross) for b in task.bins), default=1)
    f = (1 << 28) / max(density * largest, 1e-9)
    return Prices([max(1, round(v * f)) for v in kinds], [max(1e-3, p * f) for p in staves])


def cheapest_cover(values: Sequence[int], costs: Sequence[int], need: int) -> list[int] | None:
    """Return positions of the boards of least cost whose values add up to `need`.

    None when all together do not.

    The values are counted in about a thousandth of the need, so the answer is near the cheapest, not proven.
    """
    if need <= 0:
        return []
    if sum(values) < need:
        return None
    mean = max(values) or 1
    levels = int(min(1500, 60 + 30 * need / mean))
    best = np.full(levels + 1, _NEVER, dtype=np.int64)
    best[0] = 0
    rows = [best]
    steps = [min(levels, round(v * levels / need)) for v in values]
    for s, c in zip(steps, costs, strict=True):
        new = best.copy()
        if s > 0:
            np.minimum(new[s:], best[: levels + 1 - s] + c, out=new[s:])
            np.minimum(new[levels], int(best[levels - s :].min()) + c, out=new[levels : levels + 1])
        rows.append(new)
        best = new
    if best[levels] >= _NEVER:
        return list(range(len(values)))
    out, at = [], levels
    for i in range(len(values) - 1, -1, -1):
        if rows[i + 1][at] == rows[i][at]:
            continue
        out.append(i)
        if at == levels:
            low = levels - steps[i]
            at = low + int(np.argmin(rows[i][low:]))
        else:
            at -= steps[i]
    return out


def least_cost(values: Sequence[int], costs: Sequence[int], need: int) -> float:
    """Return what covering `need` costs at least: the best boards for their cost first, the last in part."""
    total = 0.0
    for c, v in sorted((c / v, v) for v, c in zip(values, costs, strict=True) if v > 0):
        if need <= v:
            return total + c * need
        need -= v
        total += c * v
    return float(_NEVER) if need > 0 else total


def around_spots(b: Bin, task: Task, rng: random.Random) -> Bin:
    """Return a board with its bad spots dealt with in a way drawn at random: cut out, or ripped in lanes."""
    cells: list[tuple[int, int]] = []
    regions: list[Region] = []
    if task.rip_first and len(b.cells) == 1 and rng.random() < 0.5:
        return replace(b, cells=(), regions=(Region(*b.cells[0], _lanes(b.width, b.spots)),))
    lengths = sorted({k.l for k in task.kinds} | {g.l for g in task.glues})
    for x, end in b.cells:
        at = x
        for s in b.spots:
            if s.x1 <= at or s.x0 >= end:
                continue
            way = 0 if task.rip_first else rng.randrange(5)
            low, high = _around(s, at, end, way, lengths, rng)
            kerf = task.cross if way else 0
            if low - at > task.cross:
                cells.append((at, low - kerf))
            if way:
                inside = [t for t in b.spots if t.x0 < high and t.x1 > low]
                regions.append(Region(low, high, _lanes(b.width, inside)))
            at = high + kerf
        if end > at:
            cells.append((at, end))
    return replace(b, cells=tuple(cells), regions=tuple(regions))


def _around(
    s: Spot, at: int, end: int, way: int, lengths: Sequence[int], rng: random.Random
) -> tuple[int, int]:
    """Return from where to where a length is set apart for a bad spot; by itself it is cut out."""
    low, high = max(at, s.x0), min(end, s.x1)
    if way == 1:  # the whole length
        return at, end
    if way == 2:  # all that lies before it, or behind it
        return at, high
    if way == 3:
        return low, end
    if way == 4:  # about one piece long
        size = max(rng.choice(lengths), high - low)
        low = max(at, high - size) if rng.random() < 0.5 else low
        high = min(end, low + size)
    return low, high


def _lanes(width: int, spots: Sequence[Spot]) -> tuple[tuple[int, int], ...]:
    """Return the clear lanes (from, to) across the board beside some spots."""
    out, at = [], 0
    for s in sorted(spots, key=lambda s: s.y0):
        if s.y0 > at:
            out.append((at, s.y0))
        at = max(at, s.y1)
    if width > at:
        out.append((at, width))
    return tuple(out)


@dataclass(slots=True)
class _State:
    """How far a layout has come."""

    wanted: Wanted
    avail: dict[int, Bin]
    made: list[Pattern]
    cost: int

    def copy(self) -> _State:
        """Return a copy that can be gone back to."""
        return _State(self.wanted.copy(), dict(self.avail), list(self.made), self.cost)


class Rebuilder:
    """Lays out what is wanted on free boards within a cost limit, by prices and a seeded generator."""

    def __init__(
        self, filler: Filler, rng: random.Random, note: Callable[[Pattern], None], tuning: Tuning
    ) -> None:
        """Take a filler, and a listener that is told every board cut."""
        self.filler, self.rng = filler, rng
        self.task = filler.task
        self.note, self.tuning = note, tuning

    def run(
        self,
        wanted: Wanted,
        free: Sequence[Bin],
        draw: Callable[[], tuple[Prices, int]],
        limit: float,
        partial: bool,
    ) -> list[Pattern] | None:
        """Return patterns for all that is wanted.

        None when the limit is passed or (unless `partial`) something is left.

        `draw` gives prices and the step of the section plan. Where the last boards do not come out, they are
        laid out again a few times before the attempt is given up.
        """
        avail = {b.index: around_spots(b, self.task, self.rng) if b.spots else b for b in free if b.cells}
        prices, coarse = draw()
        state = _State(wanted, avail, [], 0)
        wanted.held = {k for g in self.task.groups for k in g}
        if not self._groups(state, prices, coarse, partial):
            return None
        firm = len(state.made)
        before: list[_State] = []
        tries = self.tuning.retries
        slack = self.rng.choice((0.0, 0.01, 0.02, 0.04))
        while state.avail and not state.wanted.done():
            before.append(state.copy())
            if self._next_board(state, prices, coarse, limit, partial, slack):
                continue
            if partial:
                break
            if tries == 0 or len(state.made) == firm:
                return None
            tries -= 1
            keep = max(0, len(before) - 1 - self.rng.choice((1, 2, 2, 3)))
            state = before[keep]
            del before[keep:]
            prices, coarse = draw()
            slack = self.rng.choice((0.0, 0.01, 0.02, 0.04))
        if not partial and not state.wanted.done():
            return None
        wanted.kinds, wanted.units = state.wanted.kinds, state.wanted.units
        return state.made

    def _groups(self, state: _State, prices: Prices, coarse: int, partial: bool) -> bool:
        """Place the same-board groups first, each whole on one board, several on one where they fit."""
        waiting = [g for g in self.task.groups if any(state.wanted.kinds[k] for k in g)]
        self.rng.shuffle(waiting)
        while waiting:
            pattern = self._place_groups(state.wanted, waiting, list(state.avail.values()), prices, coarse)
            if pattern is not None:
                self.note(pattern)
                state.made.append(pattern)
                state.cost += state.avail.pop(pattern.bin).cost
            elif not partial:
                return False
            waiting = [g for g in waiting[1:] if any(state.wanted.kinds[k] for k in g)]
        return True

    def _next_board(
        self, state: _State, prices: Prices, coarse: int, limit: float, partial: bool, slack: float
    ) -> bool:
        """Choose a board and cut it; False when nothing more fits or the limit cannot be kept."""
        avail, wanted, cost = state.avail, state.wanted, state.cost
        prospect = Prospect(self.filler, wanted, prices, list(avail.values()), coarse)
        self.filler.work += EACH * max(0, len(avail) - MANY)
        indices = [i for i in avail if prospect.value[i] > 0]
        if not indices:
            return False
        need = wanted.worth(prices)
        values = [prospect.value[i] for i in indices]
        costs = [avail[i].cost for i in indices]
        if not partial and cost + least_cost(values, costs, need) > limit:
            return False
        if self._finish(state, prices, limit, partial, prospect, indices, values, need):
            return True
        # what a board is worth counts scarce pieces more than once, so the cheapest cover alone would mislead
        spread = self.rng.choice(self.tuning.spreads)
        seen = [round(c * (1 + spread * self.rng.random())) for c in costs]
        chosen = cheapest_cover(values, seen, int(need * (1 + slack)))
        if chosen is None:
            chosen = list(range(len(indices)))
        if not partial and cost + sum(costs[i] for i in chosen) > limit:
            chosen = cheapest_cover(values, costs, need) or chosen
        at = self._first(chosen, values, costs)
        b = state.avail.pop(indices[at])
        pattern = fill(self.filler, wanted, prices, b, prospect)
        if pattern.sections:
            self.note(pattern)
            state.made.append(pattern)
            state.cost += b.cost
        return partial or state.cost <= limit

    def _first(self, chosen: list[int], values: list[int], costs: list[int]) -> int:
        """Return the board to cut first: mostly the one worth most for its cost, at times another."""
        draw = self.rng.random()
        if draw < self.tuning.odd / 2:
            return self.rng.choice(chosen)
        if draw < self.tuning.odd:
            return min(chosen, key=lambda i: values[i])
        return max(chosen, key=lambda i: values[i] / max(1, costs[i]) * (1 + 0.12 * self.rng.random()))

    def _finish(
        self,
        state: _State,
        prices: Prices,
        limit: float,
        partial: bool,
        prospect: Prospect,
        indices: list[int],
        values: list[int],
        need: int,
    ) -> bool:
        """Try the cheapest boards that might take all that is left; those that fail get their true value."""
        able = sorted(
            (i for i in range(len(indices)) if values[i] >= need), key=lambda i: state.avail[indices[i]].cost
        )
        for i in able[: self.tuning.finishers]:
            b = state.avail[indices[i]]
            if not partial and state.cost + b.cost > limit:
                break
            trial = state.wanted.copy()
            pattern = fill(self.filler, trial, prices, b, prospect)
            self.note(pattern)
            if trial.done():
                state.wanted.kinds, state.wanted.units = trial.kinds, trial.units
                del state.avail[b.index]
                state.made.append(pattern)
                state.cost += b.cost
                return True
            values[i] = need - trial.worth(prices)
        return False

    def _place_groups(
        self, wanted: Wanted, waiting: list[list[int]], free: list[Bin], prices: Prices, coarse: int
    ) -> Pattern | None:
        """Cut one board that holds the first group whole, and of the others what fits whole beside it."""
        first = waiting[0]
        odd = self.rng.choice(ODD_BOARDS)
        raised = Prices([v * 3 if k in first else v for k, v in enumerate(prices.kinds)], prices.staves)
        trial = wanted.copy()
        trial.held = wanted.held - set(first)
        prospect = Prospect(self.filler, trial, raised, free, coarse)
        order = sorted(
            (b for b in free if prospect.value[b.index] > 0),
            key=lambda b: -prospect.value[b.index] / max(1, b.cost) * (1 + odd * self.rng.random()),
        )
        for n, b in enumerate(order[: 2 * BOARDS_TRIED]):
            beside = waiting[1:] if self.rng.random() < SHARED else []
            while True:
                open_kinds = {k for g in (first, *beside) for k in g}
                # at last nothing but the groups themselves
                alone = n >= BOARDS_TRIED or n >= len(order) // 2 > 0
                attempt = wanted.copy()
                attempt.held = wanted.held - open_kinds
                kinds = [v * 3 if k in open_kinds else 0 if alone else v for k, v in enumerate(prices.kinds)]
                worth = Prices(kinds, [0.0] * len(prices.staves) if alone else prices.staves)
                look = Prospect(self.filler, attempt, worth, [b], coarse)
                pattern = fill(self.filler, attempt, worth, b, look)
                torn = [g for g in (first, *beside) if _torn(g, wanted, attempt)]
                whole = not any(attempt.kinds[k] for k in first)
                if whole and not torn:
                    wanted.kinds, wanted.units = attempt.kinds, attempt.units
                    return pattern
                if not beside:
                    break
                beside = (
                    [g for g in beside if g not in torn] if torn and whole else beside[: len(beside) // 2]
                )
        return None


def _torn(group: Sequence[int], before: Wanted, after: Wanted) -> bool:
    """Return whether a part of a group is cut and a part is not."""
    left = sum(after.kinds[k] for k in group)
    return 0 < left < sum(before.kinds[k] for k in group)

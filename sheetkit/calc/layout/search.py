"""The search: construct a layout, prove what is least, improve by freeing boards and filling them anew.

Limited by counted work and steered by the bound.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from .assembly import Assembly
from .bound import Bounder, Proof
from .fill import Filler, Prices, Wanted
from .grid import grid_of
from .handling import left_over, long_rips
from .knapsacks import Ints
from .pattern import Pattern
from .prospect import Prospect, fill
from .rebuild import Rebuilder, area_prices, scaled
from .staves import fresh_units, give_back
from .targets import Targets
from .task import MONEY, Bin, Task
from .tuning import USUAL, Tuning

Progress = Callable[[float, float, float], bool | None]


@dataclass(slots=True)
class Solution:
    """Patterns by board and what is still wanted."""

    patterns: dict[int, Pattern]
    wanted: Wanted
    cost: int
    missing: int
    key: tuple[int, int, int, int, int] = (0, 0, 0, 0, 0)


@dataclass(slots=True)
class Answer:
    """What the search hands back."""

    solution: Solution
    proof: Proof
    stopped: str = ""
    work: dict[str, int] = field(default_factory=dict)


@dataclass(slots=True)
class Walk:
    """Where the improving stands."""

    at: Solution | None
    record: Solution | None
    """The best since the last start."""
    since: int = 0
    """Rounds since it was found."""

    def arrive(self, new: Solution) -> None:
        """Go on from a new best."""
        self.at = self.record = new
        self.since = 0


class Search:
    """One run of the search on a task."""

    def __init__(
        self,
        task: Task,
        effort: float,
        progress: Progress | None = None,
        seed: int = 1,
        tuning: Tuning = USUAL,
    ) -> None:
        self.task, self.progress, self.tuning = task, progress, tuning
        self.rng = random.Random(seed)
        self.filler = Filler(grid_of(task, relaxed=False, stave_step=2))
        self.assembly = Assembly(task)
        self.rebuilder = Rebuilder(self.filler, self.rng, self.assembly.note, tuning)
        self.area = area_prices(task)
        self.cache: dict[tuple[int, int, int], Ints] = {}
        self.cost = {b.index: b.cost for b in task.bins}
        self.bounder = Bounder(task)
        self.targets = Targets(task, self.bounder, tuning)
        blanks = sum(k.count for k in task.kinds) + sum(2 * g.count for g in task.glues)
        self.effort = effort
        self.budget = effort * 1e6 * (tuning.work + tuning.work_each * blanks)
        self.noises = tuning.few_noises if blanks <= tuning.few_blanks else tuning.many_noises
        self.unit_cost = sum(self.cost.values()) / max(1, self.fresh().worth(self.area))
        self.best: Solution | None = None
        self.rounds = 0

    # -- solutions

    def fresh(self) -> Wanted:
        """Return all that is wanted."""
        return Wanted([k.count for k in self.task.kinds], fresh_units(self.task), cache=self.cache)

    def solution(self, patterns: dict[int, Pattern], wanted: Wanted) -> Solution:
        """Return a solution with its key: missing, cost, long rips, rip settings, left-overs."""
        missing = wanted.worth(self.area)
        cost = sum(self.cost[i] for i in patterns)
        s = Solution(patterns, wanted, cost, missing)
        s.key = (
            missing,
            cost,
            long_rips(self.task, patterns.values()),
            len({t.width for p in patterns.values() for t in p.strips()}),
            -left_over(self.task, patterns.values()),
        )
        return s

    def prices(self) -> Prices:
        """Return prices between area and the duals of the bound, with noise and a leaning to large pieces."""
        rng, proof = self.rng, self.bounder.proof
        share = rng.choice(self.tuning.shares) if proof.kinds else 0.0
        kinds, staves = [float(v) for v in self.area.kinds], list(self.area.staves)
        if share:
            total = sum(k.count * v for k, v in zip(self.task.kinds, proof.kinds, strict=True))
            total += sum(g.count * g.net * v for g, v in zip(self.task.glues, proof.staves, strict=True))
            base = self.fresh().worth(self.area)
            f = base / max(total, 1e-9)
            kinds = [share * p * f + (1 - share) * a for p, a in zip(proof.kinds, kinds, strict=True)]
            staves = [share * p * f + (1 - share) * a for p, a in zip(proof.staves, staves, strict=True)]
        lean = rng.choice(self.tuning.leans)
        noise = rng.choice(self.noises)
        kinds = [
            v * (1 + noise * max(-2.0, min(2.0, rng.gauss(0, 1)))) * (k.w * k.l) ** lean
            for v, k in zip(kinds, self.task.kinds, strict=True)
        ]
        staves = [
            v * (1 + noise * max(-2.0, min(2.0, rng.gauss(0, 1)))) * (g.l * g.most) ** lean
            for v, g in zip(staves, self.task.glues, strict=True)
        ]
        return scaled(self.task, kinds, staves)

    def draw(self) -> tuple[Prices, int]:
        """Return prices, and how many grid steps one step of the section plan takes."""
        return self.prices(), self.rng.choice(self.tuning.coarse)

    # -- moves

    def construct(self, limit: float, partial: bool = False) -> Solution | None:
        """Return a layout from nothing."""
        wanted = self.fresh()
        made = self.rebuilder.run(wanted, self.task.bins, self.draw, limit, partial)
        return None if made is None else self.solution({p.bin: p for p in made}, wanted)

    def change(self, s: Solution, limit: float) -> Solution | None:
        """Free a few boards of a layout and lay out again what they held."""
        rng, tuning = self.rng, self.tuning
        n = len(s.patterns)
        k = min(n, rng.choices(tuning.freed, tuning.freed_weights)[0])
        if rng.random() < tuning.emptiest:
            filled = {i: self.share_filled(p) for i, p in s.patterns.items()}
            order = sorted(s.patterns, key=lambda i: filled[i] + tuning.jitter * rng.random())
            freed = order[:k]
        else:
            freed = rng.sample(sorted(s.patterns), k)
        return self.relay(s, freed, limit)

    def relay(self, s: Solution, freed: list[int], limit: float) -> Solution | None:
        """Lay out again what the freed boards held and what is missing, on these and the unused boards."""
        wanted = s.wanted.copy()
        for i in freed:
            self.release(s.patterns[i], wanted)
        kept = {i: p for i, p in s.patterns.items() if i not in freed}
        free = [b for b in self.task.bins if b.index not in kept]
        spent = sum(self.cost[i] for i in kept)
        made = self.rebuilder.run(wanted, free, self.draw, limit - spent, partial=s.missing > 0)
        if made is None:
            return None
        return self.solution(kept | {p.bin: p for p in made}, wanted)

    def assembled(self) -> Solution | None:
        """Return a cheaper layout put together from patterns found so far."""
        best, least = self.best, self.bounder.proof.least
        if best is None or best.missing or self.task.glues:
            return None
        targets = self.tuning.targets
        share = targets[self.assembly.layouts % len(targets)]
        made = self.assembly.layout(least + share * (best.cost / MONEY - least), self.fresh)
        return None if made is None or not made[1].done() else self.solution(*made)

    def release(self, p: Pattern, wanted: Wanted) -> None:
        """Put back among the wanted what a board held."""
        for kind in p.kinds():
            wanted.kinds[kind] += 1
        for st in p.staves():
            give_back(wanted.units[st.glue][st.unit], st.net)

    def share_filled(self, p: Pattern) -> float:
        """Return the value cut from a board for its cost."""
        worth = float(sum(self.area.kinds[k] for k in p.kinds()))
        worth += sum(self.area.staves[s.glue] * s.net for s in p.staves())
        return worth / max(1, self.cost[p.bin]) * self.unit_cost

    def compacted(self, s: Solution) -> Solution:
        """Return the layout with the contents of every board drawn together for longer left-overs."""
        if self.task.rip_first or s.missing:
            return s
        patterns, wanted = dict(s.patterns), s.wanted
        until = self.spent() + self.tuning.polish * self.budget
        for i in sorted(patterns):
            if not self.task.bins[i].spots and self.spent() < until:
                patterns[i], wanted = self.drawn_together(patterns[i], wanted)
        return self.solution(patterns, wanted)

    def drawn_together(self, p: Pattern, wanted: Wanted) -> tuple[Pattern, Wanted]:
        """Return one board cut from a shorter piece of itself, as short as a few trials find."""
        task, b = self.task, self.task.bins[p.bin]
        x, end = b.cells[-1]
        ends = [c.x + c.length for c in p.sections if x <= c.x < end]
        if not ends:
            return p, wanted
        worth = sum((task.kinds[k].w + task.rip) * (task.kinds[k].l + task.cross) for k in p.kinds())
        for c in p.staves():
            g = task.glues[c.glue]
            worth += (max(g.least, c.net + g.joint) + task.rip) * (g.l + task.cross)
        before = sum(y - a for a, y in b.cells[:-1])
        low, high = max(x, x + worth // (b.width + task.rip) - before - task.cross), max(ends)
        for _ in range(self.tuning.halvings):
            stop = (low + high) // 2
            if high - low < task.scale // 2 or end - low - task.cross < task.least_offcut:
                break
            short = replace(b, cells=(*b.cells[:-1], (x, stop)) if stop > x else b.cells[:-1])
            self.filler.work += self.tuning.kind_work * len(task.kinds)
            trial = wanted.copy()
            trial.held = set()
            self.release(p, trial)
            prices, coarse = self.draw()
            made = fill(
                self.filler, trial, prices, short, Prospect(self.filler, trial, prices, [short], coarse)
            )
            if trial.done():
                p, wanted = made, trial
                high = max([c.x + c.length for c in made.sections if x <= c.x < end], default=x)
            else:
                low = stop
        return p, wanted

    # -- the run

    def spent(self) -> float:
        """Work done so far."""
        return self.filler.work + self.bounder.filler.work + self.assembly.work + self.targets.work

    def offer(self, s: Solution | None) -> bool:
        """Keep a solution if it is the best so far."""
        if s is None:
            return False
        if self.best is None or s.key < self.best.key:
            self.best = s
            return True
        return False

    def proven(self) -> bool:
        """Return whether nothing cheaper is possible."""
        b = self.best
        return b is not None and not b.missing and b.cost <= self.bounder.proof.least * MONEY * (1 + 1e-6) + 1

    def run(self) -> Answer:
        """Search until the budget is spent; Ctrl-C keeps the best so far."""
        try:
            stopped = self._run()
        except KeyboardInterrupt:
            stopped = "interrupted"
        best = self.best
        if best is None:
            best = self.solution({}, self.fresh())
        elif stopped != "emergency stop":
            best = min(best, self.compacted(best), key=lambda s: s.key)
        work = {"work": round(self.spent()), "rounds": self.rounds}
        return Answer(best, self.bounder.proof, stopped, work)

    def _run(self) -> str:
        if not any(b.cells for b in self.task.bins) or self.fresh().done():
            return ""
        alarm = time.monotonic() + self.tuning.emergency_seconds * (1 + self.effort)
        self._construct()
        self._prove()
        return self._improve(alarm)

    def _construct(self) -> None:
        """Find a first layout, whole if it can be had."""
        self.offer(self.construct(1e30))
        if self.best is None:
            self.offer(self.construct(1e30, partial=True))

    def _prove(self) -> None:
        """Bound the cost from below, and refute the cheapest board sets that do not hold the job."""
        tuning = self.tuning
        rounds = int(tuning.rounds + tuning.rounds_more * min(1.0, self.effort))
        self.bounder.generate(rounds, tuning.generate * self.budget)
        boards = self.bounder.cover(tuning.nodes)
        if self.best and not self.best.missing and boards:
            self.tighten(boards, tuning.tighten)

    def _improve(self, alarm: float) -> str:
        """Change the layout until the budget is spent or someone says stop; return why it stopped early."""
        for _ in range(self.tuning.starts):
            if self.best is None or self.spent() < self.budget:
                self.offer(self.construct(self.limit(self.best, self.tuning.start_within)))
        self._finish(self.tuning.tight[0])
        walk = Walk(self.best, self.best)
        until = self.budget
        while self.spent() < until:
            if self.proven() and until == self.budget:  # a little more for left-overs and rip settings
                until = min(until, self.spent() + self.tuning.polish * self.budget)
            if time.monotonic() > alarm:
                return "emergency stop"
            if self.told_to_stop():
                return "interrupted"
            self._assemble(walk)
            self._round(walk)
        self._finish(self.tuning.tight[1])
        return ""

    def _finish(self, share: float) -> None:
        """See whether few and cheaper boards hold the whole job, with so much of the budget."""
        until = self.spent() + share * self.budget
        while self.spent() < until and not self.proven():
            best = self.best
            below = float("inf") if best is None or best.missing else best.cost
            found = self.targets.layout(below, until - self.spent(), self.told_to_stop)
            if found is None:
                return
            wanted = self.fresh()
            wanted.kinds = [0] * len(wanted.kinds)
            self.offer(self.solution(found, wanted))

    def _assemble(self, walk: Walk) -> None:
        """Put patterns together anew where the effort allows it and its share of the work is not used up."""
        tuning = self.tuning
        room = tuning.assembly * (self.spent() - tuning.assembly_after * self.budget)
        if self.effort >= tuning.assembly_from and self.assembly.work < room:
            new = self.assembled()
            if new is not None and self.offer(new):
                walk.arrive(new)

    def _round(self, walk: Walk) -> None:
        """Lay out anew or change where the walk stands; go there if that is accepted."""
        tuning = self.tuning
        self.rounds += 1
        walk.since += 1
        limit = self.limit(walk.record, tuning.round_within)
        at = walk.at
        if at is None or self.rng.random() < tuning.anew:
            new = self.construct(limit, partial=at is None or at.missing > 0)
        else:
            new = self.change(at, limit)
        self.offer(new)
        if new is not None and self.accepts(new, walk):
            walk.at = new
            if walk.record is None or (new.missing, new.cost) < (walk.record.missing, walk.record.cost):
                walk.arrive(new)
        elif self.rng.random() < tuning.back:
            walk.at = walk.record
        if walk.since > tuning.patience and not self.proven():  # stuck: start again elsewhere
            walk.at = walk.record = self.construct(self.limit(self.best, tuning.restart_within)) or self.best
            walk.since = 0

    def told_to_stop(self) -> bool:
        """Report progress; return whether the listener wants no more."""
        if self.progress is None:
            return False
        cost = self.best.cost / MONEY if self.best else 0.0
        done = min(1.0, self.spent() / self.budget)
        return self.progress(done, cost, self.bounder.proof.least) is False

    def accepts(self, new: Solution, walk: Walk) -> bool:
        """Return whether a layout is not worse than where the walk stands, or near its record."""
        at, record = walk.at, walk.record
        if at is None or record is None:
            return True
        if new.missing > at.missing:
            return False
        near = record.cost * self.tuning.round_within
        return new.key <= at.key or (new.missing <= record.missing and new.cost <= near)

    def limit(self, record: Solution | None, factor: float) -> float:
        """Return the cost beyond which a layout is of no interest."""
        return 1e30 if record is None or record.missing else record.cost * factor

    def tighten(self, boards: list[Bin], share: float) -> None:
        """Refute board sets that the statements still allow, as long as that pays."""
        stop = self.bounder.filler.work + share * self.budget
        while boards and self.bounder.filler.work < stop and not self.proven():
            if not self.bounder.refute(boards, self.tuning.refute_rounds, stop):
                break
            boards = self.bounder.cover(self.tuning.nodes) or []

"""The cheapest layout that can be put together from patterns already found: a 0/1 program over them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

from .fill import Wanted
from .pattern import Pattern, StripCut
from .programs import Entry, choose, reduced_costs
from .task import MONEY, Task

MOST_KEPT = 20_000  # patterns remembered
MOST_COLUMNS = 1200  # of these, the promising ones that a program weighs up
NODES = 300
WORK_A_STEP = 150.0  # of the simplex method, in the microseconds that the search counts in


class Assembly:
    """Remembers patterns and puts layouts together from them.

    Not for glue-ups, whose staves would not add up.
    """

    def __init__(self, task: Task) -> None:
        self.task = task
        self.patterns: dict[tuple[int, tuple[tuple[int, int], ...]], Pattern] = {}
        self.cost = {b.index: b.cost / MONEY for b in task.bins}
        self.needs = [k.count for k in task.kinds]
        self.work = 0.0
        self.layouts = 0  # times one was asked for

    def note(self, p: Pattern) -> None:
        """Remember a pattern, unless it breaks up a same-board group."""
        amounts = Counter(p.kinds())
        for group in self.task.groups:
            held = [amounts[k] for k in group]
            if any(held) and held != [self.needs[k] for k in group]:
                return
        if amounts and len(self.patterns) < MOST_KEPT:
            self.patterns[p.bin, tuple(sorted(amounts.items()))] = p

    def layout(self, target: float, fresh: Callable[[], Wanted]) -> tuple[dict[int, Pattern], Wanted] | None:
        """Return patterns by board within a `target` cost, and what they leave wanted.

        None if there are none.
        """
        rows = {i: n for n, i in enumerate(i for i, need in enumerate(self.needs) if need)}
        bins = {b: len(rows) + n for n, b in enumerate(sorted({b for b, _ in self.patterns}))}
        entries = [
            Entry(
                self.cost[b], [*(rows[i] for i, _ in c), bins[b]], [*(n / self.needs[i] for i, n in c), 1.0]
            )
            for b, c in self.patterns
        ]
        least, reduced, steps = reduced_costs(entries, len(rows), len(bins))
        promising = [
            j
            for j in sorted(range(len(entries)), key=lambda j: (reduced[j], j))
            if reduced[j] < target - least
        ]
        promising = promising[:MOST_COLUMNS]
        chosen = choose([entries[j] for j in promising], len(rows), NODES, len(bins), target)
        self.layouts += 1
        self.work += (steps + chosen.steps) * WORK_A_STEP
        if not chosen.found:
            return None
        found = list(self.patterns.values())
        wanted = fresh()
        taken = [self._trimmed(found[promising[j]], wanted) for j in chosen.taken]
        return {p.bin: p for p in taken if any(True for _ in p.kinds())}, wanted

    def _trimmed(self, p: Pattern, wanted: Wanted) -> Pattern:
        """Return a copy without what other boards yield already; what it holds is taken off the wanted."""
        p = p.copy()
        for strip in p.strips():
            self._trim(strip, wanted)
        return p

    def _trim(self, strip: StripCut, wanted: Wanted) -> None:
        if strip.composite >= 0 and wanted.kinds[strip.composite]:
            wanted.kinds[strip.composite] -= 1
        elif strip.composite >= 0:
            strip.composite, strip.subs = -1, []
        kept = []
        for k in strip.kinds:
            if wanted.kinds[k]:
                wanted.kinds[k] -= 1
                kept.append(k)
        strip.kinds = kept
        for sub in strip.subs:
            self._trim(sub, wanted)

"""Cheaper sets of boards than the best layout uses, and whether one of them holds the whole job."""

from __future__ import annotations

from collections.abc import Callable

from .bound import SAFE, Bounder
from .pattern import Pattern
from .programs import Entry, choose
from .task import MONEY, Bin, Task
from .tight import Tight
from .tuning import Tuning

COVER = 2000.0  # work of choosing a set of boards, for each of their number in hundreds


class Targets:
    """Few boards that cost less than the best layout and are not proven too small, the cheapest first."""

    def __init__(self, task: Task, bounder: Bounder, tuning: Tuning) -> None:
        self.task, self.bounder, self.tuning = task, bounder, tuning
        self.tried: list[tuple[float, set[int], Tight | None]] = []
        """What no set costs less that was not looked at before it, its boards, the search on them."""
        self.open: list[tuple[int, Tight]] = []
        self.more = not task.glues
        self.reached = 0.0
        """What no set costs less that was not looked at."""
        self.work = 0.0

    def layout(self, below: float, work: float, told: Callable[[], bool]) -> dict[int, Pattern] | None:
        """Return the boards of a layout of all that is wanted for less than a cost.

        None when so much work finds none; `told` is asked now and then whether to stop.
        """
        until = self.work + work
        self.open = [(cost, t) for cost, t in self.open if cost < below]
        while self.work < until:
            before = self.work
            if self.more and len(self.open) < self.tuning.tight_sets:
                self._add(below)
            for _, tight in self.open:
                work = tight.work
                found = tight.go_on(until - self.work)
                self.work += tight.work - work
                if found:
                    self._note()
                    return tight.patterns()
                if self.work >= until or told():
                    break
            self.open = [(cost, t) for cost, t in self.open if not t.exhausted]
            self._note()
            if self.work == before or told():
                break
        return None

    def _note(self) -> None:
        """Raise the proven least to the cheapest set that is not proven to be too small."""
        costs = [cost for cost, _, tight in self.tried if tight is None or not tight.refuted]
        self.bounder.proof.least = max(self.bounder.proof.least, min([self.reached, *costs]))

    def _add(self, below: float) -> None:
        """Look at the cheapest set that the statements allow and that was not looked at."""
        bins, statements = self.bounder.bins, self.bounder.proof.statements[-40:]
        entries = []
        for i, b in enumerate(bins):
            values = [s.values[i] / s.need * (1 + 1e-9) for s in statements]
            values += [float(b.index not in tried) for _, tried, _ in self.tried]
            entries.append(Entry(b.cost / MONEY, range(len(values)), values))
        answer = choose(entries, len(statements) + len(self.tried), self.tuning.nodes)
        self.work += COVER * (1 + len(bins) / 100)
        boards = [bins[i] for i in answer.taken]
        cost = sum(b.cost for b in boards)
        most = self.tuning.tight_boards
        if answer.found:
            self.reached = answer.bound * (1 - SAFE)
        if not answer.found or cost >= below or len(boards) > 2 * most:
            self.more = False
            return
        tight = None
        if len(boards) <= most and all(self._plain(b) for b in boards):
            tight = Tight(self.task, boards, self.tuning)
            self.open.append((cost, tight))
            self.open.sort(key=lambda o: o[0])
        self.tried.append((self.reached, {b.index for b in boards}, tight))

    def _plain(self, b: Bin) -> bool:
        """Return whether a board has nothing but clear lengths (ripped first: a single one)."""
        return not b.spots and (len(b.cells) == 1 or not self.task.rip_first)

"""Tight boards: all that is wanted on given boards, whose whole area is hardly more than that of the blanks.

What is wanted nearly fills these boards, so the area that may be lost is known to the square tick. A linear
program over sections finds prices: how little the sections must lose in sum, if they could be taken in
fractions, and by how much each section exceeds that. Sections that exceed it by more than is left to lose
are of no use, and one with little excess is likelier than one with much; so a program in whole numbers over
those with the least excess, some hundreds at first and then more and more, finds the layout or proves that
there is none. Counts hold in every section and across all boards, so what is found can be cut.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import gcd

import numpy as np

from .pattern import Pattern, SectionCut, StripCut
from .programs import Entry, GrowingProgram, exactly
from .section_list import Section, SectionList, Space
from .strip_list import Strip, Wood, strip_list
from .task import Bin, Task
from .tuning import Tuning

_LARGEST = 2_000_000  # entries of a table
_STRIP = 8.0  # work of listing a strip and looking at it
_NEAR = 1e-6  # of what may be lost or of a blank, in sums


@dataclass(frozen=True, slots=True)
class _Cell:
    """A clear length: its board, and where it starts in ticks."""

    bin: int
    x: int


@dataclass(frozen=True, slots=True)
class _Least:
    """What must be lost at least, whether something is left out for it, and whether that is proven."""

    loss: float = 0.0
    short: bool = False
    proven: bool = False


class Tight:
    """The search for a layout of all that is wanted on some boards; it can be gone on with."""

    def __init__(self, task: Task, bins: list[Bin], tuning: Tuning) -> None:
        self.task, self.tuning = task, tuning
        self.kinds = [i for i, k in enumerate(task.kinds) if k.count]
        kinds = [task.kinds[i] for i in self.kinds]
        self.group = [k.group for k in kinds]
        self.cells = [_Cell(b.index, x) for b in bins for x, _ in b.cells]
        # sizes grow by one kerf; they are counted in units that divide all of them
        widths = [sum(s + task.rip for s in k.subs) for k in kinds]
        lengths = [k.l + task.cross for k in kinds]
        across, self.along = gcd(*widths), gcd(*lengths)
        self.spaces = [
            Space((b.width + task.rip) // across, (end - x + task.cross) // self.along)
            for b in bins
            for x, end in b.cells
        ]
        self.wood = Wood(
            [w // across for w in widths],
            [n // self.along for n in lengths],
            [k.count for k in kinds],
            [len(k.subs) > 1 for k in kinds],
            max(s.room for s in self.spaces),
        )
        self.area = np.array(self.wood.widths, dtype=np.float64) * np.array(self.wood.lengths)
        self.total = sum(s.width * s.room for s in self.spaces)
        self.loss = float(self.total - self.area @ np.array(self.wood.wanted))
        self.work = 0.0
        self.exhausted = self.loss < 0
        self.impossible = self.exhausted
        self.ahead = 0.0
        """Work that the next step may take."""
        self.turn = tuning.tight_turn
        self.sections: list[tuple[int, Section]] = []
        self.prices, self.rates = self.area, [float(s.width) for s in self.spaces]
        self.entries: dict[tuple[int, Section], Entry] = {}
        """Columns of sections by cell."""
        self.least = _Least()
        self._steps = self._search()

    # -- the run

    def go_on(self, most: float) -> bool:
        """Search for a turn, each twice as long as the one before; return whether a layout was found.

        Nothing is begun that takes more work than `most` allows.
        """
        end = self.work + most
        until, self.turn = self.work + min(most, self.turn), 2 * self.turn
        while self.work < until and not self.exhausted and self.work + self.ahead <= end:
            if next(self._steps, True):
                self.exhausted = True
                self.entries.clear()
        return bool(self.sections)

    @property
    def refuted(self) -> bool:
        """Whether it is proven that these boards do not hold the job, whatever way they are cut."""
        return self.impossible and not self.task.rip_first and not any(self.wood.alone)

    def _search(self) -> Iterator[bool]:
        """Search step by step, with some strips at first and then with more; the last step tells True."""
        widest = max(s.width for s in self.spaces)
        lists = self.tuning.tight_lists
        for many, most in lists:
            strips = min(many, _LARGEST // widest)
            self.ahead = _STRIP * strips
            yield False
            listed = strip_list(self.wood, self.loss, strips)
            if not listed.contents:
                break
            sections = SectionList(listed, self.wood.wanted, widest, self.task.rip_first)
            for _ in self._from_list(sections, lists[-1][1] if listed.whole else most):
                yield False
            if self.sections or self.impossible or listed.whole or strips < many:
                break
        yield True

    def _from_list(self, sections: SectionList, most: int) -> Iterator[None]:
        """Search step by step for a layout by the strips listed."""
        tuning = self.tuning
        self.ahead = 0.0
        for shortage in tuning.tight_shortages:
            for _ in self._priced(sections, shortage):
                yield
            if self.least.loss > self.loss + self._off:
                self.impossible = self.least.proven
                return
            if not self.least.short:
                break
        many = tuning.tight_first
        if self.loss > tuning.tight_little * self.total:
            self.ahead = tuning.tight_loose * len(sections.strips.contents) ** 2
        while many <= most and not self.sections and not self.impossible:
            yield
            before = self.work
            self.impossible = self._whole(sections, many, self.loss - self.least.loss)
            many *= tuning.tight_growth
            self.ahead = tuning.tight_growth**1.5 * (self.work - before)

    def _count(self, sections: SectionList) -> None:
        """Count the work of listing."""
        self.work += sections.work
        sections.work = 0.0

    @property
    def _near(self) -> float:
        """What the cost of a section may be off by."""
        return _NEAR * (self.loss + float(self.area.max()))

    @property
    def _off(self) -> float:
        """What the cost of all sections may be off by."""
        return self._near * sum(self.wood.wanted)

    # -- prices

    def _priced(self, sections: SectionList, shortage: float) -> Iterator[None]:
        """Find better prices round by round, and the least loss."""
        program = GrowingProgram(self.wood.wanted, len(self.cells), [float(c) for c in shortage * self.area])
        if not self.entries:
            self._listed(sections, self.loss)
        program.add(self.entries.values())
        more = True
        while more:
            least, duals, work = program.solve()
            self.work += work + self.tuning.tight_step * program.steps
            self.prices = self.area + np.array(duals)
            self.rates = [s.width + d / s.room for s, d in zip(self.spaces, program.caps, strict=True)]
            new, complete = self._listed(sections, -self._near)
            program.add(new)
            more = bool(new)
            self.least = _Least(least, program.short > _NEAR, complete and not more)
            yield

    def _listed(self, sections: SectionList, margin: float) -> tuple[list[Entry], bool]:
        """List sections that cost so much at most; return the new ones, and if these are all."""
        sections.price(self.prices)
        new, complete = [], True
        for c, space in enumerate(self.spaces):
            found, whole = sections.cheapest(space, self.rates[c], self.tuning.tight_columns, margin)
            complete = complete and whole
            for s in found:
                if (c, s) not in self.entries:
                    self.entries[c, s] = self._entry(c, s)
                    new.append(self.entries[c, s])
        self._count(sections)
        return new, complete

    def _amounts(self, section: Section) -> dict[int, int]:
        """Return how many of each kind a section yields."""
        amounts: dict[int, int] = {}
        for strip in section.strips:
            for i, n in strip:
                amounts[i] = amounts.get(i, 0) + n
        return amounts

    def _entry(self, c: int, section: Section) -> Entry:
        """Return a section as a column: what it loses, what it yields, its share of the room."""
        space, amounts = self.spaces[c], self._amounts(section)
        lost = space.width * section.length - sum(self.area[i] * n for i, n in amounts.items())
        rows, values = [*amounts, len(self.area) + c], [*amounts.values(), section.length / space.room]
        return Entry(float(lost), rows, values)

    def _excess(self, c: int, section: Section) -> float:
        """Return what a section costs beyond what it yields."""
        worth = sum(self.prices[i] * n for i, n in self._amounts(section).items())
        return self.rates[c] * section.length - float(worth)

    def _most(self, amounts: dict[int, int]) -> float:
        """Return how often a section can be taken."""
        return float(min(self.wood.wanted[i] // n for i, n in amounts.items()))

    # -- whole sections

    def _whole(self, sections: SectionList, many: int, margin: float) -> bool:
        """Look for a layout by so many sections of each space; return whether there is proven to be none."""
        margin += self._off
        complete = True
        pool = sorted((x, n, k) for n, k in enumerate(self.entries) if (x := self._excess(*k)) <= margin)
        listed = [k for *_, k in pool[: many * len(self.cells)]]
        known = set(listed)
        for c, space in enumerate(self.spaces):
            found, whole = sections.cheapest(space, self.rates[c], many, margin)
            listed += [k for s in found if (k := (c, s)) not in known]
            complete = complete and whole
        self._count(sections)
        entries, needs = self._with_groups(listed)
        answer = exactly(entries, needs, len(self.cells), self.tuning.tight_nodes)
        self.work += (
            self.tuning.tight_power * len(listed) ** 1.5 + self.tuning.tight_whole_step * answer.steps
        )
        for key, n in zip(listed, answer.taken, strict=False):
            self.sections += [key] * n
        return complete and answer.impossible

    def _with_groups(self, listed: Sequence[tuple[int, Section]]) -> tuple[list[Entry], list[float]]:
        """Return the columns of sections and groups, and the needs: blanks, groups, and each with its board.

        A column of a group takes its board; what the sections yield of it on a board must be as much as that.
        """
        needs = [float(n) for n in self.wood.wanted]
        groups = sorted({g for g in self.group if g >= 0})
        boards = sorted({c.bin for c in self.cells})
        at = {g: len(needs) + n for n, g in enumerate(groups)}
        grouped = [i for i, g in enumerate(self.group) if g >= 0]
        first = len(needs) + len(groups)
        on = {key: first + n for n, key in enumerate((i, b) for i in grouped for b in boards)}
        needs += [1.0] * len(groups) + [0.0] * len(on)
        entries = []
        for c, s in listed:
            amounts = self._amounts(s)
            own = {on[i, self.cells[c].bin]: n for i, n in amounts.items() if self.group[i] >= 0}
            values = [*amounts.values(), *own.values(), s.length / self.spaces[c].room]
            cost = max(0.0, self._excess(c, s)) / max(1.0, self.loss)
            entries.append(Entry(cost, [*amounts, *own, len(needs) + c], values, self._most(amounts)))
        for g in groups:
            kinds = [i for i in grouped if self.group[i] == g]
            values = [1.0, *(-float(self.wood.wanted[i]) for i in kinds)]
            entries += [Entry(0.0, [at[g], *(on[i, b] for i in kinds)], values, 1.0) for b in boards]
        return entries, needs

    # -- what was found

    def patterns(self) -> dict[int, Pattern]:
        """Return the boards as found."""
        out: dict[int, Pattern] = {}
        at = [c.x for c in self.cells]
        for c, section in self.sections:
            length = section.length * self.along
            if self.task.rip_first:
                length = max(sum(self.wood.lengths[i] * n for i, n in s) for s in section.strips) * self.along
            strips = [self._strip(s) for s in section.strips]
            pattern = out.setdefault(self.cells[c].bin, Pattern(self.cells[c].bin))
            pattern.sections.append(SectionCut(at[c], length - self.task.cross, strips))
            at[c] += length
        return out

    def _strip(self, contents: Strip) -> StripCut:
        """Return a strip as it is cut."""
        task = self.task
        if self.wood.alone[contents[0][0]]:
            kind = self.kinds[contents[0][0]]
            subs = [StripCut(w) for w in task.kinds[kind].subs]
            return StripCut(task.kinds[kind].w, [], [], kind, subs)
        kinds = [self.kinds[i] for i, n in contents for _ in range(n)]
        return StripCut(max(task.kinds[k].w for k in kinds), kinds)

"""Filling a section: knapsacks at given prices on what is still wanted, then cutting strip by strip."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from .grid import Grid
from .knapsacks import Composite, Ints, SectionTable, StaveItem, StripTable
from .pattern import StaveCut, StripCut
from .staves import Unit, adds, best_unit, take
from .task import Task


@dataclass(slots=True)
class Prices:
    """What a blank of each kind (whole numbers) and a tick of net stave width (floats) are worth."""

    kinds: list[int]
    staves: list[float]


@dataclass(slots=True)
class Wanted:
    """What is still to be cut: counts of kinds and glued-up blanks on their way."""

    kinds: list[int]
    units: list[list[Unit]]
    held: set[int] = field(default_factory=set)  # kinds of same-board groups that must wait for their turn
    cache: dict[tuple[int, int, int], Ints] = field(default_factory=dict)

    def open_kinds(self) -> list[int]:
        """Return counts without those that must wait."""
        if not self.held:
            return self.kinds
        return [0 if i in self.held else n for i, n in enumerate(self.kinds)]

    def copy(self) -> Wanted:
        """Return a copy that can be changed by itself (the cache is shared)."""
        units = [[u.copy() for u in us] for us in self.units]
        return Wanted(list(self.kinds), units, set(self.held), self.cache)

    def done(self) -> bool:
        """Return whether nothing is wanted."""
        return not any(self.kinds) and all(u.rest <= 0 for us in self.units for u in us)

    def worth(self, prices: Prices) -> int:
        """Return the value of all that is wanted."""
        total = sum(n * v for n, v in zip(self.kinds, prices.kinds, strict=True) if n)
        for us, p in zip(self.units, prices.staves, strict=True):
            total += int(p * sum(u.rest for u in us if u.rest > 0))
        return total


class Filler:
    """Plans and cuts boards of one task on one grid."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.task: Task = grid.task
        self.work = 0.0  # roughly microseconds: the measure of work, counted, never timed
        self.narrowest = min(grid.kind_w, default=1 << 20)
        for n, nets in enumerate(grid.class_nets):
            if self.task.glues[n].count:
                first = int(np.argmax(nets > 0))
                self.narrowest = min(self.narrowest, grid.classes[first])

    def strips(
        self, wanted: Wanted, prices: Prices, reach: int, height: int
    ) -> tuple[StripTable, list[Composite]]:
        """Return F on what is still wanted."""
        grid = self.grid
        items, composites = grid.items(prices.kinds, wanted.open_kinds())
        items = [i for i in items if i.l <= reach and i.w <= height]
        composites = [c for c in composites if c.l <= reach and c.w <= height]
        staves = [s for g in range(len(wanted.units)) if (s := self._stave_item(wanted, prices, g, reach))]
        used = {i.w for i in items} | {grid.classes[k] for c in composites for k in c.subs}
        if staves:
            used |= set(grid.classes)
        keep = [k for k, c in enumerate(grid.classes) if c in used and c <= height]
        if staves:
            for s in staves:
                object.__setattr__(s, "values", s.values[keep])
        at = {k: n for n, k in enumerate(keep)}
        composites = [Composite(c.w, c.l, c.value, c.label, tuple(at[k] for k in c.subs)) for c in composites]
        table = StripTable([grid.classes[k] for k in keep], items, staves, reach)
        self.work += 60 + len(table.stages) * (4 + reach / 700)
        self.work += len(table.stave_stages) * (8 + len(keep) * reach / 1000)
        return table, composites

    def _stave_item(self, wanted: Wanted, prices: Prices, g: int, reach: int) -> StaveItem | None:
        length = self.grid.glue_l[g]
        if length > reach:
            return None
        glue = self.task.glues[g]
        gains: Ints | None = None
        copies = 0
        seen: set[tuple[int, int]] = set()
        for u in wanted.units[g]:
            if u.rest <= 0 or u.staves <= 0:
                continue
            copies += min(u.staves, -(-u.rest // glue.least_net))
            if (u.rest, u.staves) in seen:
                continue
            seen.add((u.rest, u.staves))
            key = (g, u.rest, u.staves)
            row = wanted.cache.get(key)
            if row is None:
                row = np.array([adds(glue, u, int(n)) for n in self.grid.class_nets[g]], dtype=np.int32)
                wanted.cache[key] = row
            gains = row if gains is None else np.maximum(gains, row)
        if gains is None:
            return None
        return StaveItem(length, (gains * prices.staves[g]).astype(np.int32), copies, g)

    def section(
        self,
        wanted: Wanted,
        prices: Prices,
        width: int,
        length: int,
        first: tuple[SectionTable, int] | None = None,
    ) -> list[StripCut]:
        """Cut a section of raw size width x length.

        Planned strips are used while what they need is still wanted.
        """
        out: list[StripCut] = []
        room = width
        table, column = first if first else (None, 0)
        while True:
            height = self.grid.width(room)
            if height < self.narrowest:
                return out
            if table is None:
                reach = self.grid.length(length)
                strips, composites = self.strips(wanted, prices, reach, height)
                table = SectionTable(strips, composites, height, np.array([reach]))
                self.work += 100 + table.work
                column = 0
            cuts = table.cuts(min(height, table.height), column)
            made = 0
            for k, _ in sorted(cuts, key=lambda c: -c[1]):
                strip = self._strip(wanted, prices, table, k, column, length, room)
                if strip is None:
                    break
                out.append(strip)
                room -= strip.width + self.task.rip
                made += 1
            if not made and first is None:
                return out
            table, first = None, None

    def _strip(
        self,
        wanted: Wanted,
        prices: Prices,
        table: SectionTable,
        k: int,
        column: int,
        length: int,
        room: int,
    ) -> StripCut | None:
        """Cut one planned strip if all it needs is still wanted (a composite brings empty strips)."""
        strips, task = table.strips, self.task
        if k < 0:
            c = table.composites[-1 - k]
            kind = task.kinds[c.label]
            if wanted.kinds[c.label] < 1 or kind.w > room:
                return None
            wanted.kinds[c.label] -= 1
            subs = [self._behind(wanted, prices, w, length - kind.l - task.cross) for w in kind.subs]
            return StripCut(kind.w, [], [], c.label, subs)
        columns = table.columns
        reach = int(columns[column]) if column < len(columns) else strips.reach
        kinds, staves = strips.contents(k, min(reach, strips.reach))
        for kd in set(kinds):
            if kinds.count(kd) > wanted.kinds[kd]:
                return None
        return self.cut_strip(wanted, kinds, staves, strips.classes[k], room)

    def _behind(self, wanted: Wanted, prices: Prices, width: int, length: int) -> StripCut:
        """Return what a strip of a side-by-side composite yields behind it."""
        reach, height = self.grid.length(length), self.grid.width(width)
        if length <= 0 or reach <= 0 or height < self.narrowest:
            return StripCut(width)
        strip = self.one_strip(wanted, prices, height, reach, width)
        strip.width = width
        return strip

    def one_strip(self, wanted: Wanted, prices: Prices, size: int, reach: int, room: int) -> StripCut:
        """Return the best strip of one width and length (an empty strip when nothing fits)."""
        strips, _ = self.strips(wanted, prices, reach, size)
        if strips.classes and int(strips.values[-1, reach]) > 0:
            kinds, staves = strips.contents(len(strips.classes) - 1, reach)
            if all(kinds.count(kd) <= wanted.kinds[kd] for kd in set(kinds)):
                strip = self.cut_strip(wanted, kinds, staves, size, room)
                if strip is not None:
                    return strip
        return StripCut(0)

    def cut_strip(
        self, wanted: Wanted, kinds: list[int], staves: list[int], size: int, room: int
    ) -> StripCut | None:
        """Take what a strip of a class yields off the wanted; None when it comes to nothing."""
        task = self.task
        width = max((task.kinds[kd].w for kd in kinds), default=0)
        given: list[StaveCut] = []
        offered = min(size * self.grid.wstep - task.rip, room)
        for g in sorted(staves, key=lambda g: -task.glues[g].l):
            glue = task.glues[g]
            could = min(offered, glue.most) - glue.joint
            unit, got = best_unit(glue, wanted.units[g], could)
            if unit < 0 or (2 * got < could and not kinds and not given):
                continue
            take(wanted.units[g][unit], got)
            given.append(StaveCut(g, unit, got))
            width = max(width, glue.least, got + glue.joint)
        if (not kinds and not given) or width > room:
            for s in given:
                wanted.units[s.glue][s.unit].rest += s.net
                wanted.units[s.glue][s.unit].staves += 1
            return None
        for kd in kinds:
            wanted.kinds[kd] -= 1
        return StripCut(width, kinds, given)

    def length_of(self, strip: StripCut) -> int:
        """Return the raw length that a strip takes."""
        return strip_length(self.task, strip)


def strip_length(task: Task, strip: StripCut) -> int:
    """Return the raw length that the contents of a strip take."""
    sizes = [task.kinds[k].l for k in strip.kinds] + [task.glues[s.glue].l for s in strip.staves]
    own = sum(sizes) + task.cross * max(0, len(sizes) - 1)
    if strip.composite >= 0:
        behind = max((strip_length(task, s) for s in strip.subs), default=0)
        own = task.kinds[strip.composite].l + (behind + task.cross if behind else 0)
    return own

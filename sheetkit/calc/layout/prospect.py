"""What boards are worth at given prices, and cutting one of them section by section."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from .fill import Filler, Prices, Wanted
from .knapsacks import SectionTable, board_values, sections_of
from .pattern import Pattern, SectionCut, StripCut
from .task import Bin, Region


class Prospect:
    """What each of some boards is worth at given prices on what is still wanted, and the plan behind it."""

    def __init__(
        self, filler: Filler, wanted: Wanted, prices: Prices, bins: Sequence[Bin], coarse: int
    ) -> None:
        self.filler, self.coarse = filler, coarse
        grid = filler.grid
        self.task = filler.task
        cells = [(b, [grid.length(y - x) for x, y in b.cells]) for b in bins]
        lanes = [
            (grid.width(y1 - y0), grid.length(r.x1 - r.x0))
            for b in bins
            for r in b.regions
            for y0, y1 in r.lanes
        ]
        reach = max([n for _, ls in cells for n in ls] + [n for _, n in lanes], default=0)
        height = max((grid.width(b.width) for b in bins), default=0)
        strips, composites = filler.strips(wanted, prices, reach, height)
        whole = sorted({n for _, ls in cells for n in ls} | {n for _, n in lanes})
        self.steps = reach // coarse
        columns = np.array([coarse * j for j in range(self.steps + 1)] + whole)
        self.whole = {n: self.steps + 1 + i for i, n in enumerate(whole)}
        extra = None
        self.rip_column: dict[int, int] = {}
        if self.task.rip_first:
            many = [(b, ls) for b, ls in cells if len(ls) > 1]
            if many:
                f = strips.values
                extra = np.stack([f[:, ls].sum(axis=1, dtype=np.int32) for _, ls in many], axis=1)
                self.rip_column = {b.index: len(columns) + i for i, (b, _) in enumerate(many)}
        self.table = SectionTable(strips, composites, height, columns, extra)
        filler.work += 100 + self.table.work + 150 + len(bins) * self.steps**2 / 6000
        self.heights = {b.index: grid.width(b.width) for b in bins}
        rows = sorted(set(self.heights.values()))
        self.row = {h: i for i, h in enumerate(rows)}
        self.g = self.table.g[rows]
        self.h = self.g[:, : self.steps + 1]
        if not self.task.rip_first:
            self.h = board_values(self.g[:, : self.steps + 1])
        self.value = {b.index: self._worth(b, ls) for b, ls in cells}

    def _worth(self, b: Bin, lengths: list[int]) -> int:
        row = self.row[self.heights[b.index]]
        if self.task.rip_first:
            column = self.rip_column.get(b.index, self.whole[lengths[0]] if lengths else 0)
            total = int(self.g[row, column])
        else:
            total = sum(self.cell_worth(row, n) for n in lengths)
        grid = self.filler.grid
        for r in b.regions:
            column = self.whole[grid.length(r.x1 - r.x0)]
            total += sum(int(self.table.g[grid.width(y1 - y0), column]) for y0, y1 in r.lanes)
        return total

    def cell_worth(self, row: int, n: int) -> int:
        """Return the value of one clear length of n grid steps in a width row."""
        return max(int(self.h[row, n // self.coarse]), int(self.g[row, self.whole[n]]))

    def plan(self, b: Bin, n: int) -> list[tuple[int, int]]:
        """Return the sections planned for a clear length of n grid steps, densest first: (length, column)."""
        row = self.row[self.heights[b.index]]
        if int(self.g[row, self.whole[n]]) >= int(self.h[row, n // self.coarse]):
            return [(n, self.whole[n])]
        g = self.g[row, : self.steps + 1]
        lengths = sections_of(g, self.h[row], n // self.coarse)
        lengths.sort(key=lambda s: -int(g[s]) / s)
        return [(s * self.coarse, s) for s in lengths]


def fill(filler: Filler, wanted: Wanted, prices: Prices, b: Bin, prospect: Prospect) -> Pattern:
    """Cut one board; what it yields is taken off `wanted`."""
    pattern = Pattern(b.index)
    if filler.task.rip_first and len(b.cells) > 1:
        _rip_through(filler, wanted, prices, b, pattern)
        return pattern
    grid = filler.grid
    for x, end in b.cells:
        at, plan = x, prospect.plan(b, grid.length(end - x))
        table: SectionTable = prospect.table
        while end - at > 0:
            before = at
            for size, column in plan:
                at = _add_section(filler, wanted, prices, b, pattern, (at, end), size, (table, column))
            if at == before or filler.task.rip_first or grid.length(end - at) < 1:
                break
            rest = Prospect(filler, wanted, prices, [_rest_of(b, at, end)], prospect.coarse)
            if rest.value[b.index] <= 0:
                break
            plan, table = rest.plan(b, grid.length(end - at)), rest.table
    for region in b.regions:
        _add_region(filler, wanted, prices, pattern, region)
    return pattern


def _rest_of(b: Bin, at: int, end: int) -> Bin:
    return Bin(b.index, b.width, b.edge, ((at, end),), (), b.cost)


def _add_section(
    filler: Filler,
    wanted: Wanted,
    prices: Prices,
    b: Bin,
    pattern: Pattern,
    room: tuple[int, int],
    size: int,
    first: tuple[SectionTable, int],
) -> int:
    """Cut one section at the start of the room left; where the next one may start."""
    at, end = room
    length = min(size * filler.grid.lstep - filler.task.cross, end - at)
    strips = filler.section(wanted, prices, b.width, length, first) if length > 0 else []
    if not strips:
        return at
    real = max(filler.length_of(s) for s in strips)
    pattern.sections.append(SectionCut(at, real, strips))
    return at + real + filler.task.cross


def _add_region(filler: Filler, wanted: Wanted, prices: Prices, pattern: Pattern, region: Region) -> None:
    """Cut a length around bad spots as one section, lane by lane."""
    made: list[StripCut] = []
    for y0, y1 in region.lanes:
        at = y0
        for strip in filler.section(wanted, prices, y1 - y0, region.x1 - region.x0):
            strip.y = at
            at += strip.width + filler.task.rip
            made.append(strip)
    if made:
        pattern.sections.append(SectionCut(region.x0, max(filler.length_of(s) for s in made), made))


def _rip_through(filler: Filler, wanted: Wanted, prices: Prices, b: Bin, pattern: Pattern) -> None:
    """Rip first on a board with bad lengths: the same strips run through all its clear lengths."""
    task, grid = filler.task, filler.grid
    sections = [SectionCut(x, end - x, []) for x, end in b.cells]
    room = b.width
    while (height := grid.width(room)) >= filler.narrowest:
        lengths = [grid.length(end - x) for x, end in b.cells]
        strips, _ = filler.strips(wanted, prices, max(lengths), height)
        if not strips.classes:
            break
        worth = strips.values[:, lengths].sum(axis=1)
        table = SectionTable(strips, [], height, np.array([0]), worth[:, None].astype(np.int32))
        filler.work += 100 + table.work
        cuts = table.cuts(height, 1)
        if not cuts:
            break
        k = max(cuts, key=lambda c: c[1])[0]
        made = [filler.one_strip(wanted, prices, strips.classes[k], n, room) for n in lengths]
        width = max(s.width for s in made)
        if width <= 0:
            break
        for section, strip in zip(sections, made, strict=True):
            strip.width = width
            section.strips.append(strip)
        room -= width + task.rip
    if any(t.kinds or t.staves for s in sections for t in s.strips):
        pattern.sections += sections

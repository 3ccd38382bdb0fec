"""A pool of board patterns and the set-covering program that picks the cheapest combination of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from .bound import Proof
from .fill import Wanted, strip_length
from .pattern import Pattern, SectionCut, StripCut
from .programs import Entry, choose
from .staves import Unit, share_out
from .task import MONEY, Bin, Task


@dataclass(slots=True)
class Column:
    """A pattern with what it yields."""

    pattern: Pattern
    kinds: dict[int, int]
    nets: dict[int, int]
    signature: tuple[object, ...]


class Pool:
    """All patterns seen, once each."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.columns: dict[tuple[object, ...], Column] = {}
        self.work = 0.0
        self.grouped = {k for g in task.groups for k in g}
        self.tried: set[frozenset[int]] = set()

    def add(self, patterns: Iterable[Pattern]) -> None:
        """Keep patterns that fit."""
        for p in patterns:
            self._keep(p)

    def add_raw(self, patterns: list[Pattern]) -> None:
        """Keep those patterns of the bound that fit in ticks on their board; the list is emptied."""
        for p in patterns:
            if (
                not self.task.bins[p.bin].spots
                and not self.task.rip_first
                and self._fits(p, self.task.bins[p.bin])
            ):
                self._keep(p)
        patterns.clear()

    def _keep(self, p: Pattern) -> None:
        c = self._column(p)
        if (c.kinds or c.nets) and c.signature not in self.columns:
            self.columns[c.signature] = Column(p.copy(), c.kinds, c.nets, c.signature)

    def _column(self, p: Pattern) -> Column:
        kinds: dict[int, int] = {}
        nets: dict[int, int] = {}
        for k in p.kinds():
            kinds[k] = kinds.get(k, 0) + 1
        for g, net in self._widest(p):
            nets[g] = nets.get(g, 0) + net
        return Column(p, kinds, nets, (p.bin, tuple(sorted(kinds.items())), tuple(sorted(nets.items()))))

    def _widest(self, p: Pattern) -> list[tuple[int, int]]:
        """Each stave's glue-up and the net width its strip could give."""
        out = []
        for strip in p.strips():
            for part in (strip, *strip.subs):
                for s in part.staves:
                    glue = self.task.glues[s.glue]
                    out.append((s.glue, min(part.width, glue.most) - glue.joint))
        return out

    def _fits(self, p: Pattern, b: Bin) -> bool:
        """Whether a pattern, whose sections all lie in order, fits the clear lengths of a board in ticks."""
        cells = list(b.cells)
        if len(cells) > 1:
            own = self.task.bins[p.bin].cells
            if own != b.cells:
                return False
        for s in p.sections:
            if sum(t.width + self.task.rip for t in s.strips) > b.width + self.task.rip:
                return False
            if not any(x <= s.x and s.x + s.length <= end for x, end in cells):
                return False
        return True

    def _moved(self, p: Pattern, b: Bin) -> Pattern | None:
        """The pattern on another board of one clear length, if it fits."""
        own = self.task.bins[p.bin]
        if own.spots or b.spots or len(own.cells) != 1 or len(b.cells) != 1 or self.task.rip_first:
            return None
        shift = b.cells[0][0] - own.cells[0][0]
        sections = [SectionCut(s.x + shift, s.length, s.strips) for s in p.sections]
        moved = Pattern(b.index, sections)
        return moved.copy() if self._fits(moved, b) else None

    def recombine(
        self, proof: Proof, start: list[Pattern], most: int = 450
    ) -> tuple[list[Pattern], Wanted] | None:
        """The cheapest combination of patterns found, cleared of surplus, with what is then still wanted."""
        task = self.task
        self.add(start)
        self.work += 150_000.0
        columns = self._candidates(proof, most)
        keep = {c.signature for c in columns}
        first = []
        for p in start:
            c = self.columns[self._column(p).signature]
            if c.signature not in keep:
                columns.append(c)
                keep.add(c.signature)
            first.append(next(i for i, x in enumerate(columns) if x.signature == c.signature))
        kinds = len(task.kinds)
        needs = [float(k.count) for k in task.kinds] + [float(g.net * g.count) for g in task.glues]
        position = {b.index: i for i, b in enumerate(task.bins)}
        entries = []
        for c in columns:
            rows = [k for k in c.kinds if self._counts(c, k)]
            values = [float(c.kinds[k]) for k in rows]
            rows += [kinds + g for g in c.nets]
            values += [n / needs[kinds + g] for g, n in c.nets.items()]
            rows.append(len(needs) + position[c.pattern.bin])
            values.append(1.0)
            entries.append(Entry(task.bins[c.pattern.bin].cost / MONEY, rows, values))
        inf = float("inf")
        lower = needs[:kinds] + [1.0] * len(task.glues) + [-inf] * len(task.bins)
        upper = [inf] * len(needs) + [1.0] * len(task.bins)
        answer = choose(entries, lower, upper, 400, start=first, stall=200)
        if not answer.found:
            return None
        if frozenset(answer.taken) == frozenset(first):
            return None
        return self._clear([columns[i].pattern.copy() for i in answer.taken])

    def _counts(self, c: Column, kind: int) -> bool:
        """A kind of a same-board group counts only when the whole group is on the board."""
        group = self.task.kinds[kind].group
        if group < 0:
            return True
        return all(c.kinds.get(k, 0) >= self.task.kinds[k].count for k in self.task.groups[group])

    def _candidates(self, proof: Proof, most: int) -> list[Column]:
        """The columns of least reduced cost, with copies on other boards they fit at up to 1.2 times the cost."""
        task = self.task

        def worth(c: Column) -> float:
            total = sum(min(n, task.kinds[k].count) * proof.kinds[k] for k, n in c.kinds.items())
            return total + sum(n * proof.staves[g] for g, n in c.nets.items())

        ranked = [(task.bins[c.pattern.bin].cost / MONEY - worth(c), c) for c in self.columns.values()]
        ranked.sort(key=lambda rc: rc[0])
        out: list[tuple[float, Column]] = ranked[:most]
        seen = {c.signature for _, c in out}
        for reduced, c in ranked[: 2 * most // 3]:
            cost = task.bins[c.pattern.bin].cost
            for b in task.bins:
                if b.index == c.pattern.bin or b.cost > 1.2 * cost:
                    continue
                signature = (b.index, *c.signature[1:])
                if signature in seen or signature in self.columns:
                    continue
                moved = self._moved(c.pattern, b)
                if moved is not None:
                    seen.add(signature)
                    out.append((reduced + (b.cost - cost) / MONEY, Column(moved, c.kinds, c.nets, signature)))
        out.sort(key=lambda rc: rc[0])
        return [c for _, c in out[:most]]

    def _clear(self, patterns: list[Pattern]) -> tuple[list[Pattern], Wanted]:
        """Drop what is surplus, share the staves out, shorten sections; and what is still wanted."""
        task = self.task
        left = [k.count for k in task.kinds]
        whole: set[int] = set()
        for p in patterns:
            held = Counter(p.kinds())
            for n, group in enumerate(task.groups):
                if n not in whole and all(held[k] >= task.kinds[k].count for k in group):
                    whole.add(n)
                    for k in group:
                        left[k] = -p.bin - 1  # only this board may keep them
        nets: list[list[int]] = [[] for _ in task.glues]
        cuts: list[list[tuple[StripCut, int]]] = [[] for _ in task.glues]
        kept_group: dict[int, int] = {}
        for p in patterns:
            for strip in p.strips():
                for part in (strip, *strip.subs):
                    part.kinds = [k for k in part.kinds if self._use(left, k, p.bin, kept_group)]
                    for s in part.staves:
                        glue = task.glues[s.glue]
                        nets[s.glue].append(min(part.width, glue.most) - glue.joint)
                        cuts[s.glue].append((part, id(s)))
                if strip.composite >= 0:
                    if left[strip.composite] > 0:
                        left[strip.composite] -= 1
                    else:
                        strip.composite = -1
        units: list[list[Unit]] = []
        for g, glue in enumerate(task.glues):
            shared, after = share_out(glue, nets[g])
            units.append(after)
            for (part, key), (unit, net) in zip(cuts[g], shared, strict=True):
                for s in part.staves:
                    if id(s) == key:
                        s.unit, s.net = unit, net
        for n, group in enumerate(task.groups):
            for k in group:
                left[k] = 0 if n in whole else task.kinds[k].count
        kept = [q for p in patterns if (q := self._shrunk(p)).sections]
        return kept, Wanted(left, units)

    def _use(self, left: list[int], kind: int, bin_index: int, used: dict[int, int]) -> bool:
        if self.task.kinds[kind].group >= 0:
            ok = left[kind] == -bin_index - 1 and used.get(kind, 0) < self.task.kinds[kind].count
            if ok:
                used[kind] = used.get(kind, 0) + 1
            return ok
        if left[kind] <= 0:
            return False
        left[kind] -= 1
        return True

    def _shrunk(self, p: Pattern) -> Pattern:
        """The pattern without empty strips and sections, each as narrow and short as what it holds."""
        task = self.task
        sections = []
        at: dict[int, int] = {}
        for s in sorted(p.sections, key=lambda s: s.x):
            strips = []
            for t in s.strips:
                t.staves = [c for c in t.staves if c.unit >= 0]
                for sub in t.subs:
                    sub.staves = [c for c in sub.staves if c.unit >= 0]
                if t.subs and t.composite < 0:  # the strips stand for themselves
                    strips += [sub for sub in t.subs if sub.kinds or sub.staves]
                elif t.kinds or t.staves or t.composite >= 0:
                    strips.append(t)
            if not strips:
                continue
            for t in strips:
                if t.composite < 0:
                    widths = [task.kinds[k].w for k in t.kinds]
                    widths += [
                        max(task.glues[c.glue].least, c.net + task.glues[c.glue].joint) for c in t.staves
                    ]
                    t.width = max(widths)
            length = max(strip_length(task, t) for t in strips)
            cell = next((i for i, (x, end) in enumerate(task.bins[p.bin].cells) if x <= s.x < end), 0)
            fixed = bool(task.bins[p.bin].spots) or task.rip_first
            x = s.x if fixed else at.get(cell, task.bins[p.bin].cells[cell][0])
            at[cell] = x + length + task.cross
            sections.append(SectionCut(x, length, strips))
        return Pattern(p.bin, sections)

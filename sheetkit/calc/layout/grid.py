"""The planning grid: sizes in steps coarser than ticks, pieces rounded up to plan and down for the bound."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from .knapsacks import Composite, Ints, Item
from .task import Kind, Task
from .ticks import step


@dataclass(slots=True)
class Grid:
    """Inflated sizes of a task on the grid.

    `classes` are the strip widths considered, `class_width` the raw width in ticks that a strip of the class
    offers and `class_nets` what a stave of that class could add to each glue-up (0 where it is too narrow).
    """

    task: Task
    relaxed: bool
    wstep: int
    lstep: int
    kind_w: list[int]
    kind_l: list[int]
    glue_l: list[int]
    classes: list[int]
    class_width: list[int]
    class_nets: list[Ints]
    subs: dict[int, tuple[int, ...]] = field(default_factory=dict)

    def width(self, ticks: int) -> int:
        """Return a raw width available, on the grid."""
        space = ticks + self.task.rip
        return -(-space // self.wstep) if self.relaxed else space // self.wstep

    def length(self, ticks: int) -> int:
        """Return a raw length available, on the grid."""
        space = ticks + self.task.cross
        return -(-space // self.lstep) if self.relaxed else space // self.lstep

    def items(self, values: list[int], left: list[int]) -> tuple[list[Item], list[Composite]]:
        """Return strip items and side-by-side composites for the kinds still wanted."""
        items, composites = [], []
        for i, n in enumerate(left):
            if n <= 0 or values[i] <= 0:
                continue
            if i in self.subs:
                composites.append(Composite(self.kind_w[i], self.kind_l[i], values[i], i, self.subs[i]))
            else:
                items.append(Item(self.kind_w[i], self.kind_l[i], values[i], n, i))
        return items, composites


def grid_of(task: Task, relaxed: bool, stave_step: int = 1) -> Grid:
    """Return the grid of a task; `stave_step` thins out the stave widths considered (planning only)."""
    cross, rip = task.cross, task.rip
    lengths = [k.l + cross for k in task.kinds] + [g.l + cross for g in task.glues]
    widths = [k.w + rip for k in task.kinds if len(k.subs) == 1]
    widths += [s + rip for k in task.kinds if len(k.subs) > 1 for s in k.subs]
    limits = [v + rip for g in task.glues for v in (g.least, g.most)]
    lstep = step(lengths, task.scale // 16, task.scale // 8)
    wstep = step(widths + limits, task.scale // 32, task.scale // 8)

    def on(size: int, unit: int) -> int:
        return size // unit if relaxed else -(-size // unit)

    sizes = {on(w, wstep) for w in widths}
    ranges = []
    for g in task.glues:
        low, high = on(g.least + rip, wstep), (g.most + rip) // wstep
        if relaxed:
            high = -(-(g.most + rip) // wstep)
        high = max(low, high)
        ranges.append((low, high))
        sizes |= set(range(low, high + 1, 1 if relaxed else stave_step)) | {high}
    classes = sorted(sizes)
    class_width = [c * wstep - rip for c in classes]
    nets = []
    for g, (low, high) in zip(task.glues, ranges, strict=True):
        room = [0 if c < low else min(c, high) * wstep - rip for c in classes]
        if not relaxed:
            room = [min(r, g.most) for r in room]
        nets.append(np.array([max(0, r - g.joint) for r in room], dtype=np.int32))
    position = {c: i for i, c in enumerate(classes)}
    subs = {
        i: tuple(position[on(s + rip, wstep)] for s in k.subs)
        for i, k in enumerate(task.kinds)
        if len(k.subs) > 1
    }
    kind_w = [_kind_width(k, rip, wstep, relaxed) for k in task.kinds]
    return Grid(
        task,
        relaxed,
        wstep,
        lstep,
        kind_w,
        [on(k.l + cross, lstep) for k in task.kinds],
        [on(g.l + cross, lstep) for g in task.glues],
        classes,
        class_width,
        nets,
        subs,
    )


def _kind_width(kind: Kind, rip: int, wstep: int, relaxed: bool) -> int:
    """Return the grid width of a kind; of a side-by-side composite the sum of its strips on the grid."""
    if len(kind.subs) == 1:
        size = kind.w + rip
        return size // wstep if relaxed else -(-size // wstep)
    return sum((s + rip) // wstep if relaxed else -(-(s + rip) // wstep) for s in kind.subs)

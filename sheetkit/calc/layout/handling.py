"""What one person handles: long loose rips, boards that can as well be crosscut first, left-overs to keep."""

from __future__ import annotations

from collections.abc import Iterable

from .pattern import Pattern, SectionCut, StaveCut, StripCut
from .task import Task

SHORTEST = 16.0
"""Nothing is crosscut shorter than this only for handling, since short pieces are no good to rip [in].

Common practice, no source.
"""
MOST_IN_STRIP = 10


def long_rips(task: Task, patterns: Iterable[Pattern]) -> int:
    """Return how many sections are longer than one person rips loose."""
    return sum(section.length > task.longest_rip for p in patterns for section in p.sections)


def left_over(task: Task, patterns: Iterable[Pattern]) -> int:
    """Return the score of the reusable left-overs: full width, long ones count more."""
    total = 0
    for p in patterns:
        b = task.bins[p.bin]
        for x, end in b.cells:
            ends = [s.x + s.length + task.cross for s in p.sections if x <= s.x < end]
            clear = end - max(ends, default=x)
            if clear >= task.least_offcut:
                total += b.width * clear * clear
    return total // (task.scale**3)


def crosscut_first(task: Task, p: Pattern) -> Pattern:
    """Return a board with the same contents, crosscut before it is ripped where that costs nothing.

    That is a section over a whole clear length, or one too long to rip loose, whose strips can all be parted
    at one place.
    """
    b = task.bins[p.bin]
    if task.rip_first or b.spots:
        return p
    out: list[SectionCut] = []
    for section in p.sections:
        cell = next((c for c in b.cells if c[0] <= section.x < c[1]), None)
        alone = sum(cell is not None and cell[0] <= s.x < cell[1] for s in p.sections) == 1
        out += _parted(task, section, alone)
    return Pattern(p.bin, out)


Item = tuple[int, int | StaveCut]
"""Length with its kerf, and the kind or stave."""


def _parted(task: Task, section: SectionCut, alone: bool) -> list[SectionCut]:
    """Return a section in two, and those again, if it should be shorter and can."""
    if not alone and section.length <= task.longest_rip:
        return [section]
    rows = [_items(task, strip) for strip in section.strips]
    if any(strip.composite >= 0 for strip in section.strips) or any(len(r) > MOST_IN_STRIP for r in rows):
        return [section]
    whole, least = section.length + task.cross, round(SHORTEST * task.scale)
    best: tuple[int, int] | None = None
    for first in sorted({n for row in rows for n, _ in _choices(row)}):
        second = whole - first
        if min(first, second) - task.cross < least:
            continue
        if all(
            any(a <= first and sum(n for n, _ in row) - a <= second for a, _ in _choices(row)) for row in rows
        ):
            best = min(best or (whole, 0), (max(first, second), first))
    if best is None:
        return [section]
    first, one, other = best[1], [], []
    for strip, row in zip(section.strips, rows, strict=True):
        total = sum(n for n, _ in row)
        taken = max(c for c in _choices(row) if c[0] <= first and total - c[0] <= whole - first)[1]
        one.append(_strip(strip, [item for n, item in enumerate(row) if taken >> n & 1]))
        other.append(_strip(strip, [item for n, item in enumerate(row) if not taken >> n & 1]))
    made = [
        SectionCut(x, length - task.cross, [s for s in strips if s is not None])
        for x, length, strips in ((section.x, first, one), (section.x + first, whole - first, other))
    ]
    return [part for s in made for part in _parted(task, s, False)]


def _items(task: Task, strip: StripCut) -> list[Item]:
    items: list[Item] = [(task.kinds[k].l + task.cross, k) for k in strip.kinds]
    return items + [(task.glues[s.glue].l + task.cross, s) for s in strip.staves]


def _choices(row: list[Item]) -> list[tuple[int, int]]:
    """Return (length, which) of all choices of some of a strip's contents, none and all included."""
    out = [(0, 0)]
    for n, (length, _) in enumerate(row):
        out += [(a + length, which | 1 << n) for a, which in out]
    return out


def _strip(strip: StripCut, items: list[Item]) -> StripCut | None:
    """Return a strip of the same setting with some of its contents; None when it is left without."""
    if not items:
        return None
    kinds = [item for _, item in items if isinstance(item, int)]
    staves = [item for _, item in items if isinstance(item, StaveCut)]
    return StripCut(strip.width, kinds, staves)

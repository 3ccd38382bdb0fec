"""Inches to whole ticks: pieces are rounded up, boards down, so that what fits in ticks fits in wood."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, floor

SIXTY_FOURTHS = 64
TENTH_MILLIMETRES = 254
FINE = 2540  # hundredths of a millimeter, when the sizes are on neither grid
_NEAR = 1e-6


def ticks_per_inch(sizes: Iterable[float]) -> int:
    """Return the coarsest of the three scales that holds every size exactly (the finest one when none does).

    Examples
    --------
    >>> ticks_per_inch([3.25, 41.5])
    64
    >>> ticks_per_inch([50 / 25.4, 1000 / 25.4])
    254
    """
    values = list(sizes)
    for scale in (SIXTY_FOURTHS, TENTH_MILLIMETRES):
        if all(abs(v * scale - round(v * scale)) < 1e-5 for v in values):
            return scale
    return FINE


def up(size: float, scale: int) -> int:
    """Return `size` in ticks, rounded up (a size on the grid stays)."""
    return ceil(size * scale - _NEAR * scale)


def down(size: float, scale: int) -> int:
    """Return `size` in ticks, rounded down (a size on the grid stays)."""
    return floor(size * scale + _NEAR * scale)


def step(sizes: Iterable[int], finest: int, coarsest: int) -> int:
    """Return the step, in ticks, of the planning grid that wastes least when `sizes` are rounded to it.

    A coarser step is cheaper to search, so between steps that waste about the same the coarser one wins.

    Examples
    --------
    >>> step([200, 1000, 304], 4, 8)
    8
    >>> step([204, 1004], 2, 8)
    4
    """
    values = list(sizes)
    finest = max(1, finest)
    total = max(1, sum(values))
    best, best_score = finest, float("inf")
    for g in range(finest, max(finest, coarsest) + 1):
        wasted = sum(-v % g for v in values) / total
        score = wasted + 0.0005 * finest / g
        if score < best_score - 1e-12:
            best, best_score = g, score
    return best

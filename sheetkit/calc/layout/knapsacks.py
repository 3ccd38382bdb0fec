"""The three nested knapsacks of a board: what a strip, a section and a whole board can yield at given prices.

``F[k, x]``  best value of a strip of width class k and length x (crosscut)
``G[w, j]``  best value of a section of width w and length ``columns[j]`` (rip)
``H[i, e]``  best value of width row i and length e (crosscut into sections)

All sizes are inflated by one kerf, so "sum of sizes within the space" is "one kerf between neighbors".
Values are whole numbers: every result is exact and the same on every machine. The scheme is the stage-wise
dynamic program of Gilmore and Gomory, "Multistage cutting stock problems of two and more dimensions",
Operations Research 13 (1965).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Ints = npt.NDArray[np.int32]
BLOCK = 48  # lengths worked at a time, so that the working space stays small


@dataclass(frozen=True, slots=True)
class Item:
    """Something to crosscut from a strip: grid width and length, value, most copies, and its own label."""

    w: int
    l: int  # noqa: E741
    value: int
    copies: int
    label: int


@dataclass(frozen=True, slots=True)
class StaveItem:
    """A stave: its value depends on the width class of the strip."""

    l: int  # noqa: E741
    values: Ints
    copies: int
    label: int


@dataclass(frozen=True, slots=True)
class Composite:
    """Blanks side by side: takes the full height of its own strips.

    `subs` are the classes of those strips.
    """

    w: int
    l: int  # noqa: E741
    value: int
    label: int
    subs: tuple[int, ...]


def splits(copies: int) -> list[int]:
    """Return bundles whose sums reach every number up to `copies`.

    Examples
    --------
    >>> splits(10)
    [1, 2, 4, 3]
    """
    out, q = [], 1
    while copies > 0:
        out.append(min(q, copies))
        copies -= out[-1]
        q *= 2
    return out


class StripTable:
    """F: the crosscut knapsack of all width classes, with the stages kept to trace what a strip holds."""

    def __init__(
        self, classes: Sequence[int], items: Sequence[Item], staves: Sequence[StaveItem], reach: int
    ) -> None:
        self.classes = list(classes)
        self.reach = reach
        self.items = sorted((i for i in items if i.value > 0 and i.copies > 0), key=lambda i: (i.w, i.label))
        stages: list[tuple[int, int]] = []  # (item position, bundle)
        ends = [0] * len(self.classes)
        at = 0
        for k, width in enumerate(self.classes):
            while at < len(self.items) and self.items[at].w <= width:
                it = self.items[at]
                stages += [(at, q) for q in splits(min(it.copies, reach // it.l))]
                at += 1
            ends[k] = len(stages)
        self.stages, self.ends = stages, ends
        table = np.zeros((len(stages) + 1, reach + 1), dtype=np.int32)
        for s, (pos, q) in enumerate(stages):
            it = self.items[pos]
            size = q * it.l
            old, new = table[s], table[s + 1]
            new[:size] = old[:size]
            np.add(old[: reach + 1 - size], q * it.value, out=new[size:])
            np.maximum(new[size:], old[size:], out=new[size:])
        self.table = table
        self.stave_stages: list[tuple[StaveItem, int]] = []
        self.layers: list[Ints] = [table[ends]]
        for st in staves:
            for q in splits(min(st.copies, reach // st.l)):
                old = self.layers[-1]
                new = old.copy()
                size = q * st.l
                shifted = old[:, : reach + 1 - size] + (q * st.values)[:, None]
                np.maximum(new[:, size:], shifted, out=new[:, size:])
                self.stave_stages.append((st, q))
                self.layers.append(new)

    @property
    def values(self) -> Ints:
        """F."""
        return self.layers[-1]

    def contents(self, k: int, x: int) -> tuple[list[int], list[int]]:
        """Return the labels of the items and of the staves in the best strip of class k and length x."""
        staves: list[int] = []
        items: list[int] = []
        for n in range(len(self.stave_stages) - 1, -1, -1):
            if self.layers[n + 1][k, x] != self.layers[n][k, x]:
                st, q = self.stave_stages[n]
                staves += [st.label] * q
                x -= q * st.l
        table = self.table
        for s in range(self.ends[k] - 1, -1, -1):
            if table[s + 1, x] != table[s, x]:
                pos, q = self.stages[s]
                items += [self.items[pos].label] * q
                x -= q * self.items[pos].l
        return items, staves


class SectionTable:
    """G: the rip knapsack for some section lengths (`columns`), and which strips a section holds."""

    def __init__(
        self,
        strips: StripTable,
        composites: Sequence[Composite],
        height: int,
        columns: npt.NDArray[np.signedinteger],
        extra: Ints | None = None,
    ) -> None:
        """Take further columns as ready strip values (classes x columns), such as sums over clear lengths."""
        self.strips, self.composites, self.columns = strips, composites, columns
        f = strips.values[:, columns]
        if extra is not None:
            f = np.hstack([f, extra])
        self.options: list[tuple[int, Ints, int]] = [  # (width, values, class or -1 - composite)
            (w, f[k], k) for k, w in enumerate(strips.classes) if w <= height
        ]
        for n, c in enumerate(composites):
            if c.w <= height:
                self.options.append((c.w, self._composite_values(c, extra), -1 - n))
        self.options.sort(key=lambda o: (o[0], o[2]))
        self.height = height
        self.work = 0.0  # roughly microseconds
        self.g = self._fill(extra)

    def _composite_values(self, c: Composite, extra: Ints | None) -> Ints:
        """Return the composite, and the best of the rest of each of its strips."""
        f = self.strips.values
        room = self.columns - c.l
        ok = room >= 0
        rest = f[list(c.subs)][:, np.where(ok, room, 0)].sum(axis=0, dtype=np.int32)
        out = np.where(ok, rest + np.int32(c.value), 0).astype(np.int32)
        if extra is not None:
            out = np.concatenate([out, np.zeros(extra.shape[1], dtype=np.int32)])
        return out

    def _fill(self, extra: Ints | None) -> Ints:
        n = len(self.columns) + (0 if extra is None else extra.shape[1])
        g = np.zeros((self.height + 1, n), dtype=np.int32)
        if not self.options:
            return g
        at, best = 0, np.zeros(n, dtype=np.int32)
        narrow = self.options[0][0]
        for w in range(narrow, self.height + 1):  # the widest strip alone
            while at < len(self.options) and self.options[at][0] <= w:
                best = np.maximum(best, self.options[at][1])
                at += 1
            g[w] = best
        for low in range(2 * narrow, self.height + 1, narrow):  # then narrower ones, so w <= half the height
            high = min(low + narrow, self.height + 1)
            for w, values, _ in self.options:
                first = max(low, 2 * w)
                if first >= high:
                    break
                np.maximum(g[first:high], g[first - w : high - w] + values, out=g[first:high])
                self.work += 2.5 + (high - first) * n / 1200
        return g

    def cuts(self, w: int, j: int) -> list[tuple[int, int]]:
        """Return the best section of width w in column j as strips (option's class, value), widest last."""
        out: list[tuple[int, int]] = []
        while w > 0 and self.g[w, j] > 0:
            target = int(self.g[w, j])
            for width, values, k in self.options:
                if width > w:
                    break
                v = int(values[j])
                if v > 0 and v + int(self.g[w - width, j]) == target:
                    out.append((k, v))
                    w -= width
                    break
            else:  # a wider space than needed
                w -= 1
        return out


def board_values(g: Ints) -> Ints:
    """Return H from the rows of G wanted (rows x lengths 0..n).

    The crosscut knapsack, shortest section last.
    """
    n = g.shape[1] - 1
    some = np.flatnonzero(g.any(axis=0))
    least = max(1, int(some[0])) if len(some) else n + 1
    h = np.array(g, dtype=np.int32, order="C")
    low = 2 * least
    row, one = h.strides
    while low <= n:  # a block of lengths at a time: what is left beside a section lies in an earlier block
        high = min(low + min(least, BLOCK), n + 1)
        longest = (high - 1) // 2
        shape = (h.shape[0], high - low, longest - least + 1)  # row, length, section from the longest on
        rest: Ints = np.ndarray(shape, np.int32, h, (low - longest) * one, (row, one, one))
        joined = rest + g[:, None, longest : least - 1 : -1]
        np.maximum(h[:, low:high], joined.max(axis=2), out=h[:, low:high])
        low = high
    return h


def sections_of(g: Ints, h: Ints, e: int) -> list[int]:
    """Return the section lengths of the best board of length e (one row of G and of H)."""
    out: list[int] = []
    while e > 0 and h[e] > 0:
        if h[e] == h[e - 1]:
            e -= 1
            continue
        if h[e] == g[e]:
            out.append(e)
            break
        half = e // 2
        joined = h[e - half : e][::-1] + g[1 : half + 1]
        s = int(np.argmax(joined)) + 1
        out.append(s)
        e -= s
    return out

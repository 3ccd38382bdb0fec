"""Sections at prices: those that cost little more than what they yield is worth.

With a price on every kind and a rate for the length of a space, what a section costs is its length times the
rate, and what it yields are the prices of its blanks. The cheapest are listed: a knapsack tells for every
length and width what the best strips beside one another are worth, as if no counts held, and nothing is
followed that cannot come within the margin any more.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from .strip_list import Enough, Strip, StripList

Values = npt.NDArray[np.float64]
_BITS = 16  # of a count in a number that holds the counts of all kinds
_NEAR = 1e-6
_TRIALS = 12  # margins tried
_PART = 40  # of the span from the least cost to the margin, that is tried first
_PATIENCE = 20  # steps for each section that is wanted
_STEP = 2.0  # work of a step


@dataclass(frozen=True, slots=True)
class Space:
    """A clear length of a board."""

    width: int
    room: int


@dataclass(frozen=True, slots=True)
class Section:
    """A section: its length, its strips, what it costs beyond what it yields."""

    length: int
    strips: tuple[Strip, ...]
    cost: float = field(compare=False)


@dataclass(slots=True)
class _Listing:
    """A list in the making: up to which cost, how many at most, and whether nothing was passed over."""

    margin: float
    most: int
    found: list[Section] = field(default_factory=list)
    whole: bool = True


@dataclass(slots=True)
class _Near:
    """Strips that may lie in a section of one length, the widest first, of equal ones those worth most."""

    rows: list[int]
    widths: list[int]
    values: list[float]
    packed: list[int]
    conflicts: list[int]
    """Bit n: there are not enough blanks for it and the strip n together."""
    whole: list[int]
    """Those as long as the section."""
    ends: list[int]
    """Where the next width begins."""


class SectionList:
    """The sections that can be ripped from some strips, on boards up to a width."""

    def __init__(self, strips: StripList, wanted: Sequence[int], widest: int, rip_first: bool) -> None:
        self.strips, self.rip_first = strips, rip_first
        self.lengths, self.at = np.unique(strips.lengths, return_inverse=True)
        classes, first = np.unique(-strips.widths, return_index=True)
        self.classes: list[int] = (-classes).tolist()
        self.first: list[int] = [*first.tolist(), len(strips.contents)]
        self.guards = sum(1 << (_BITS * (i + 1) - 1) for i in range(len(wanted)))
        self.counts = wanted
        self.wanted = _packed(enumerate(wanted)) | self.guards
        self.packed = [_packed(s) for s in strips.contents]
        self.values: Values = np.zeros(len(strips.contents))
        self.strip: Values = np.zeros((len(classes), len(self.lengths)))
        self.best: Values = np.zeros((widest + 1, len(self.lengths)))
        self.work = strips.work + _STEP * len(strips.contents)

    def price(self, prices: Values) -> None:
        """Set what each kind is worth."""
        self.values = self.strips.counts @ prices
        best, strip = self.best, self.strip
        strip[:] = 0
        for k in range(len(self.classes)):
            rows = slice(self.first[k], self.first[k + 1])
            np.maximum.at(strip[k], self.at[rows], self.values[rows])
        np.maximum.accumulate(strip, axis=1, out=strip)
        for w in range(1, len(best)):
            best[w] = best[w - 1]
            for k, width in enumerate(self.classes):
                if width <= w:
                    np.maximum(best[w], best[w - width] + strip[k], out=best[w])
        self.work += len(best) * len(self.classes) * (2 + len(self.lengths) / 700) + len(self.values) / 20

    def cheapest(self, space: Space, rate: float, most: int, margin: float) -> tuple[list[Section], bool]:
        """Return the cheapest sections, so many at most, and if these are all that cost up to `margin`."""
        last = int(np.searchsorted(self.lengths, space.room, side="right"))
        columns = np.arange(last)[-1:] if self.rip_first else np.arange(last)
        costs = rate * (np.full(len(columns), space.room) if self.rip_first else self.lengths[:last])
        least = costs - self.best[space.width, columns]
        reached = min(float(least.min(initial=margin)), margin)
        growth = max((margin - reached) / _PART, 1.0)
        found, whole = list[Section](), True
        for _ in range(_TRIALS):
            now = min(margin, reached + growth)
            listing = _Listing(now, 3 * most)
            for n in np.flatnonzero(least <= now + _NEAR).tolist():
                self._list(space.width, int(columns[n]), float(costs[n]), listing)
                if len(listing.found) > listing.most:
                    break
            else:
                reached, found, whole = now, listing.found, listing.whole
                if reached >= margin or len(found) >= most:
                    break
                growth *= 2
                continue
            growth /= 4
            found = found or listing.found
        found = sorted(found, key=lambda s: s.cost)
        whole = whole and self.strips.whole and reached >= margin and len(found) <= most
        return found[:most], whole

    def _near(self, width: int, column: int, need: float) -> _Near:
        """Return the strips that may lie in a section of one length."""
        rows: list[npt.NDArray[np.intp]] = []
        for k, own in enumerate(self.classes):
            if own <= width:
                least = need - self.best[width - own, column]
                if self.strip[k, column] >= least:
                    shortest = int(np.searchsorted(self.strip[k], least))
                    at = self.at[self.first[k] : self.first[k + 1]]
                    start, end = np.searchsorted(at, (shortest, column + 1)) + self.first[k]
                    some = start + np.flatnonzero(self.values[start:end] >= least)
                    rows.append(some[np.argsort(-self.values[some], kind="stable")])
                    self.work += 10 + (end - start) / 500
        self.work += 10
        if not rows:
            return _Near([], [], [], [], [], [], [])
        joined = np.concatenate(rows)
        widths = self.strips.widths[joined]
        return _Near(
            joined.tolist(),
            widths.tolist(),
            self.values[joined].tolist(),
            [self.packed[r] for r in joined.tolist()],
            self._conflicts([self.strips.contents[r] for r in joined.tolist()]),
            np.flatnonzero(self.at[joined] == column).tolist(),
            np.searchsorted(-widths, -widths, side="right").tolist(),
        )

    def _conflicts(self, strips: Sequence[Strip]) -> list[int]:
        """Return for every strip which strips it leaves too few blanks for."""
        holding: dict[tuple[int, int], int] = {}  # the strips with so many of a kind or more
        for q, strip in enumerate(strips):
            for i, n in strip:
                for m in range(1, n + 1):
                    holding[i, m] = holding.get((i, m), 0) | 1 << q
        self.work += _STEP * len(strips)
        out = []
        for strip in strips:
            bits = 0
            for i, n in strip:
                bits |= holding.get((i, self.counts[i] - n + 1), 0)
            out.append(bits)
        return out

    def _list(self, width: int, column: int, cost: float, listing: _Listing) -> None:
        """List the sections of one length; none that would yield as much if it were shorter."""
        need = cost - listing.margin - _NEAR
        near = self._near(width, column, need)
        best: list[float] = self.best[:, column].tolist()
        guards, contents, length = self.guards, self.strips.contents, int(self.lengths[column])
        enough = self.work + _STEP * _PATIENCE * listing.most

        def beside(free: int, rest: int, worth: float, left: int, chosen: tuple[int, ...]) -> None:
            self.work += _STEP
            if worth >= need:
                strips = tuple(contents[near.rows[q]] for q in chosen)
                listing.found.append(Section(length, strips, cost - worth))
            if len(listing.found) > listing.most or self.work > enough:
                raise Enough
            while free:
                q = (free & -free).bit_length() - 1
                room = rest - near.widths[q]
                if room < 0 or worth + near.values[q] + best[room] < need:
                    free &= -(1 << near.ends[q])
                    continue
                now = left - near.packed[q]
                if now & guards == guards:
                    beside(free & ~near.conflicts[q], room, worth + near.values[q], now, (*chosen, q))
                free &= free - 1

        every = (1 << len(near.rows)) - 1
        try:
            if self.rip_first:
                beside(every, width, 0.0, self.wanted, ())
                return
            for a in near.whole:
                now, rest = self.wanted - near.packed[a], width - near.widths[a]
                beside(every & ~near.conflicts[a], rest, near.values[a], now, (a,))
                every &= ~(1 << a)
        except Enough:
            listing.whole = False


def _packed(counts: Iterable[tuple[int, int]]) -> int:
    """Return the counts of kinds as one number."""
    return sum(n << (_BITS * i) for i, n in counts)

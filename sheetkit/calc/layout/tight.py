"""Tight boards: all that is wanted on given boards, whose whole area is hardly more than that of the blanks.

What is wanted nearly fills these boards, so the area that may be lost is known to the square tick. A strip,
a section and a board may lose no more than that, and few do. First all strips are listed that lose little by
blanks narrower than the strip. Then the blank that lies in the fewest of them gets its section: those that
can be ripped from the strips within the loss that is allowed are listed, some with little loss are tried, and
so on with the next blank until all lie, or nothing fits. Counts hold across all boards, so what is found can
be cut. It starts again and again in another order, with more work each time. Where nothing was left untried,
it is not gone on with.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from .pattern import Pattern, SectionCut, StripCut
from .strip_list import Enough, Strip, StripList, Wood, strip_list
from .task import Bin, Task
from .tuning import Tuning

FREE = -1


class _Spent(Exception):
    """The work allowed is done."""


@dataclass(frozen=True, slots=True)
class _Cell:
    """A clear length: board, width and room with one kerf each, and where it starts."""

    bin: int
    width: int
    room: int
    x: int


@dataclass(frozen=True, slots=True)
class _State:
    """What is still wanted, the room left in each cell, the board of each group, and what may be lost."""

    wanted: tuple[int, ...]
    rooms: tuple[int, ...]
    homes: tuple[int, ...]
    loss: int


@dataclass(frozen=True, slots=True)
class _Rips:
    """The strips for a section, widest first, and the widths that those from each on make up."""

    strips: list[tuple[int, int, Strip]]
    reach: list[int]


@dataclass(frozen=True, slots=True)
class _Planned:
    """A section: where, how long, what it loses, its strips."""

    cell: int
    length: int
    lost: int
    strips: tuple[Strip, ...]


@dataclass(slots=True)
class _Try:
    """One attempt: how uneven the loss may be, how many sections are listed and tried, when it ends."""

    uneven: float
    listed: int
    tried: int
    until: float
    whole: bool = True
    """Whether nothing was passed over."""
    failed: set[tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]] = field(default_factory=set)
    sections: list[_Planned] = field(default_factory=list)


class Tight:
    """The search for a layout of all that is wanted on some boards; it can be gone on with."""

    def __init__(self, task: Task, bins: list[Bin], tuning: Tuning) -> None:
        self.task, self.tuning = task, tuning
        self.rng = random.Random(1)
        self.kinds = [i for i, k in enumerate(task.kinds) if k.count]
        kinds = [task.kinds[i] for i in self.kinds]
        self.w = [sum(s + task.rip for s in k.subs) for k in kinds]
        self.l = [k.l + task.cross for k in kinds]
        self.area = [w * n for w, n in zip(self.w, self.l, strict=True)]
        self.alone = [len(k.subs) > 1 for k in kinds]
        self.group = [k.group for k in kinds]
        self.cells = [
            _Cell(b.index, b.width + task.rip, end - x + task.cross, x) for b in bins for x, end in b.cells
        ]
        self.wanted = tuple(k.count for k in kinds)
        self.work = 0.0
        self.exhausted = False
        self.sections: list[_Planned] = []
        self.size = tuning.tight_first
        total = sum(c.width * c.room for c in self.cells)
        self.loss = total - sum(a * n for a, n in zip(self.area, self.wanted, strict=True))
        self.turn = tuning.tight_turn
        self._strips: StripList | None = None

    @property
    def table(self) -> StripList:
        """All strips considered."""
        if self._strips is None:
            longest = max((c.room for c in self.cells), default=0)
            source = Wood(self.w, self.l, self.wanted, self.alone, longest)
            self._strips, work = strip_list(source, self.loss, self.tuning)
            self.work += work
        return self._strips

    # -- the run

    def go_on(self, most: float) -> bool:
        """Search for a turn, each twice as long as the one before; return whether a layout was found."""
        work, self.turn = min(most, self.turn), 2 * self.turn
        if self.loss < 0:
            self.exhausted = True
        until = self.work + work
        tuning = self.tuning
        uneven = tuning.tight_uneven
        while self.work < until and not self.exhausted:
            for limit in uneven:
                listed = max(15, int(self.size / tuning.tight_share))
                few = limit < uneven[-1]
                attempt = _Try(
                    limit,
                    listed if few else 50 * listed,
                    tuning.tight_tried if few else 50 * listed,
                    min(until, self.work + self.size),
                )
                homes = (FREE,) * len(self.task.groups)
                rooms = tuple(c.room for c in self.cells)
                try:
                    if self._lay(attempt, _State(self.wanted, rooms, homes, self.loss)):
                        self.sections = attempt.sections
                        return True
                except _Spent:
                    continue
                if attempt.whole:
                    self.exhausted = True
                    break
            self.size *= tuning.tight_growth
        return False

    def _lay(self, attempt: _Try, state: _State) -> bool:
        """Return whether all that is wanted lies, once the next blank has its section, and so on."""
        if not any(state.wanted):
            return True
        key = (state.wanted, state.rooms, state.homes)
        if key in attempt.failed:
            return False
        if self.work > attempt.until:
            raise _Spent
        before = attempt.whole
        attempt.whole = True
        sections = self._sections(attempt, state)
        if len(sections) > attempt.tried:
            attempt.whole = False
        for section in sections[: attempt.tried]:
            attempt.sections.append(section)
            if self._lay(attempt, self._after(state, section)):
                return True
            attempt.sections.pop()
        if attempt.whole:
            attempt.failed.add(key)
        attempt.whole &= before
        return False

    def _after(self, state: _State, section: _Planned) -> _State:
        """Return what is left after a section is cut."""
        wanted, homes, rooms = list(state.wanted), list(state.homes), list(state.rooms)
        for strip in section.strips:
            for i, n in strip:
                wanted[i] -= n
                if self.group[i] >= 0:
                    homes[self.group[i]] = self.cells[section.cell].bin
        rooms[section.cell] -= section.length
        return _State(tuple(wanted), tuple(rooms), tuple(homes), state.loss - section.lost)

    def _sections(self, attempt: _Try, state: _State) -> list[_Planned]:
        """Return sections with the blank that lies in the fewest strips, those that lose little first."""
        wanted = np.array(state.wanted)
        table = self.table
        rows = np.flatnonzero((table.counts <= wanted).all(axis=1) & (table.lost <= state.loss))
        self.work += 7 + len(table.contents) / 15
        some = StripList(
            table.widths[rows],
            table.lengths[rows],
            table.lost[rows],
            table.counts[rows],
            [table.contents[r] for r in rows],
        )
        in_strips = (some.counts > 0).sum(axis=0)
        scarce = min(
            (i for i, n in enumerate(state.wanted) if n), key=lambda i: (in_strips[i], -self.area[i], i)
        )
        places: list[tuple[int, int]] = []
        seen: set[tuple[int, int, int]] = set()
        for c, cell in enumerate(self.cells):
            same = (cell.width, state.rooms[c], cell.bin if self.task.groups else FREE)
            if same in seen:
                continue
            seen.add(same)
            fits = self._allowed(some, state, c) & (some.counts[:, scarce] > 0)
            places += [(c, int(r)) for r in np.flatnonzero(fits)]
        self.rng.shuffle(places)
        found: list[_Planned] = []
        enough = self.work + 28 * attempt.listed
        try:
            for c, r in places:
                self._sections_with(attempt, state, some, c, r, found, enough)
        except Enough:
            attempt.whole = False
        widths = [c.width for c in self.cells]
        noise = self.tuning.tight_noise
        shares = [f.lost / (f.length * widths[f.cell]) * (1 + noise * self.rng.random()) for f in found]
        return [found[n] for n in sorted(range(len(found)), key=lambda n: (shares[n], n))]

    def _allowed(self, some: StripList, state: _State, c: int) -> npt.NDArray[np.bool_]:
        """Return which strips a cell has room for, on a board where their groups may lie."""
        cell = self.cells[c]
        fits = (some.widths <= cell.width) & (some.lengths <= state.rooms[c])
        away = [i for i, g in enumerate(self.group) if g >= 0 and state.homes[g] not in (FREE, cell.bin)]
        return fits & ~some.counts[:, away].any(axis=1) if away else fits

    def _sections_with(
        self,
        attempt: _Try,
        state: _State,
        some: StripList,
        c: int,
        r: int,
        found: list[_Planned],
        enough: float,
    ) -> None:
        """List the sections of a cell that have one strip for certain."""
        cell, room = self.cells[c], state.rooms[c]
        width, own = int(some.widths[r]), int(some.lost[r])
        longest = min(room, int(some.lengths[r]) + (state.loss - own) // width)
        if self.task.rip_first:
            lengths = [room]
        else:
            lengths = sorted({s for s in some.lengths.tolist() if some.lengths[r] <= s <= longest})
        total = sum(c.width * s for c, s in zip(self.cells, state.rooms, strict=True))
        allowed = self._allowed(some, state, c)
        for length in lengths:
            self.work += 7
            if self.work > enough:
                raise Enough
            most = min(state.loss, int(attempt.uneven * state.loss * cell.width * length / max(1, total)) + 1)
            if most < state.loss:
                attempt.whole = False
            spare = most - own - width * (length - int(some.lengths[r]))
            if spare < 0:
                continue
            rest = cell.width - width
            left = [n - int(m) for n, m in zip(state.wanted, some.counts[r], strict=True)]
            rips = self._rips(some, allowed, left, length, rest, spare)
            for made, lost in self._ripped(rips, 0, rest, spare, length, left, enough):
                found.append(_Planned(c, length, most - spare + lost, (some.contents[r], *made)))
                if len(found) >= attempt.listed:
                    raise Enough

    def _rips(
        self,
        some: StripList,
        allowed: npt.NDArray[np.bool_],
        left: list[int],
        length: int,
        rest: int,
        spare: int,
    ) -> _Rips:
        """Return the strips that may lie beside those chosen already."""
        lost = some.lost + some.widths * (length - some.lengths)
        fits = allowed & (lost <= spare) & (some.lengths <= length) & (some.widths <= rest)
        rows = np.flatnonzero(fits & (some.counts <= np.array(left)).all(axis=1))
        rows = rows[np.argsort(-some.widths[rows], kind="stable")]
        strips = [(int(some.widths[q]), int(lost[q]), some.contents[q]) for q in rows]
        self.work += 7 + len(some.contents) / 30 + len(strips)
        reach = [1] * (len(strips) + 1)  # bit n: the strips from here on can be n wide together
        mask = (1 << (rest + 1)) - 1
        for q in range(len(strips) - 1, -1, -1):
            width, bits = strips[q][0], reach[q + 1]
            if q + 1 == len(strips) or strips[q + 1][0] != width:
                while width <= rest:
                    bits = (bits | bits << width) & mask
                    width *= 2
            reach[q] = bits
        return _Rips(strips, reach)

    def _ripped(
        self,
        rips: _Rips,
        first: int,
        rest: int,
        spare: int,
        length: int,
        left: list[int],
        enough: float,
    ) -> Iterator[tuple[tuple[Strip, ...], int]]:
        """Yield ways to rip what is left of a section's width, and what each loses."""
        self.work += 7
        if self.work > enough:
            raise Enough
        for q in range(first, len(rips.strips)):
            width, lost, strip = rips.strips[q]
            room, spared = rest - width, spare - lost
            if room < 0 or spared < 0:
                continue
            low = max(0, room - spared // length)
            if not (rips.reach[q] >> low) & ((1 << (room - low + 1)) - 1):
                continue
            if any(left[i] < n for i, n in strip):
                continue
            now = list(left)
            for i, n in strip:
                now[i] -= n
            for more, beyond in self._ripped(rips, q, room, spared, length, now, enough):
                yield (strip, *more), lost + beyond
        if rest * length <= spare:
            yield (), rest * length

    # -- what was found

    def patterns(self) -> dict[int, Pattern]:
        """Return the boards as found."""
        out: dict[int, Pattern] = {}
        at = [c.x for c in self.cells]
        for planned in self.sections:
            cell, strips = self.cells[planned.cell], [self._strip(s) for s in planned.strips]
            length = max(sum(self.l[i] * n for i, n in s) for s in planned.strips)
            pattern = out.setdefault(cell.bin, Pattern(cell.bin))
            pattern.sections.append(SectionCut(at[planned.cell], length - self.task.cross, strips))
            at[planned.cell] += length
        return out

    def _strip(self, contents: Strip) -> StripCut:
        """Return a strip as it is cut."""
        task = self.task
        if self.alone[contents[0][0]]:
            kind = self.kinds[contents[0][0]]
            subs = [StripCut(w) for w in task.kinds[kind].subs]
            return StripCut(task.kinds[kind].w, [], [], kind, subs)
        kinds = [self.kinds[i] for i, n in contents for _ in range(n)]
        return StripCut(max(task.kinds[k].w for k in kinds), kinds)

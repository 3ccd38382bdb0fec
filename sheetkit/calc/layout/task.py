"""The job in ticks: equal blanks merged to kinds, groups to composites, boards to bins of clear lengths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import ceil

from .model import END_TO_END, HOWS, SAME_BOARD, SIDE_BY_SIDE, Board, Piece, Saw
from .ticks import down, ticks_per_inch, up

FAR = 1 << 40  # longer than any board
MONEY = 1_000_000  # whole units of cost in one unit of Board.cost, so that equal costs compare equal


@dataclass(frozen=True, slots=True)
class Ref:
    """One blank or stave: its piece (by position), number, stave number, and size in ticks."""

    piece: int
    number: int
    stave: int
    w: int
    l: int  # noqa: E741


@dataclass(slots=True)
class Kind:
    """Interchangeable things to cut.

    A composite holds several blanks that stay in one strip or side by side.
    """

    w: int
    l: int  # noqa: E741
    how: str
    group: int  # same-board group, or -1
    instances: list[tuple[Ref, ...]] = field(default_factory=list)

    @property
    def count(self) -> int:
        """How many are wanted."""
        return len(self.instances)

    @property
    def subs(self) -> tuple[int, ...]:
        """The strip widths of a side-by-side composite."""
        return tuple(r.w for r in self.instances[0]) if self.how == SIDE_BY_SIDE else (self.w,)


@dataclass(slots=True)
class Glue:
    """A glued-up blank with free staves, wanted `count` times."""

    piece: int
    net: int
    l: int  # noqa: E741
    least: int
    most: int
    joint: int
    most_staves: int
    numbers: list[int] = field(default_factory=list)

    @property
    def count(self) -> int:
        """How many blanks are wanted."""
        return len(self.numbers)

    @property
    def least_net(self) -> int:
        """What the narrowest stave adds."""
        return self.least - self.joint

    @property
    def most_net(self) -> int:
        """What the widest stave adds."""
        return self.most - self.joint


@dataclass(frozen=True, slots=True)
class Spot:
    """A bad spot that leaves wood beside it; ticks from the board's corner (y from the straightened edge)."""

    x0: int
    x1: int
    y0: int
    y1: int


@dataclass(frozen=True, slots=True)
class Region:
    """A length of a board that becomes one section, ripped in lanes (from, to) that avoid the bad spots."""

    x0: int
    x1: int
    lanes: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Bin:
    """The usable wood of a board: `width` from the straightened edge, clear lengths `cells` = (from, to)."""

    index: int
    width: int
    edge: int
    cells: tuple[tuple[int, int], ...]
    spots: tuple[Spot, ...]
    cost: int
    regions: tuple[Region, ...] = ()  # lengths ripped around bad spots, each one section

    @property
    def length(self) -> int:
        """All clear lengths together."""
        return sum(b - a for a, b in self.cells)


@dataclass(slots=True)
class Task:
    """The whole job in ticks."""

    scale: int
    rip: int
    cross: int
    rip_first: bool
    least_offcut: int
    longest_rip: int
    kinds: list[Kind]
    glues: list[Glue]
    groups: list[list[int]]  # same-board groups: the kinds of each
    bins: list[Bin]
    too_big: list[tuple[int, int, str]]  # (piece, count, why)


def task_of(pieces: Sequence[Piece], boards: Sequence[Board], saw: Saw) -> Task:
    """Turn pieces, boards and saw into ticks."""
    _check(pieces, boards)
    sizes = [v for p in pieces for v in (p.width, p.length)] + [saw.rip_kerf, saw.crosscut_kerf]
    sizes += [
        v for p in pieces if p.glue_up for v in (p.glue_up.narrowest, p.glue_up.widest, p.glue_up.joint)
    ]
    scale = ticks_per_inch(sizes)
    rip, cross = up(saw.rip_kerf, scale), up(saw.crosscut_kerf, scale)
    shortest = min((up(p.length, scale) for p in pieces), default=1)
    narrowest = min(
        (up(p.glue_up.narrowest if p.glue_up else p.width, scale) for p in pieces),
        default=1,
    )
    bins = [_bin_of(i, b, scale, (rip, cross), shortest, narrowest) for i, b in enumerate(boards)]
    longest = down(saw.longest_rip, scale) if saw.longest_rip else FAR
    task = Task(scale, rip, cross, saw.rip_first, up(saw.least_offcut, scale), longest, [], [], [], bins, [])
    _add_pieces(task, pieces)
    return task


def _check(pieces: Sequence[Piece], boards: Sequence[Board]) -> None:
    for p in pieces:
        if p.width <= 0 or p.length <= 0 or p.count < 0:
            raise ValueError(f"piece {p.id!r}: width and length must be above 0 and the count not below 0")
        if p.each and (not p.group or p.glue_up or p.count % p.each):
            raise ValueError(f"piece {p.id!r}: {p.count} blanks do not make groups of {p.each}")
        if p.how not in HOWS or bool(p.how) != bool(p.group):
            raise ValueError(
                f"piece {p.id!r}: a group needs one of {HOWS[1:]}, got {p.how!r} for {p.group!r}"
            )
        g = p.glue_up
        if g and not 0 <= g.joint < g.narrowest <= g.widest:
            raise ValueError(f"piece {p.id!r}: staves need joint < narrowest <= widest")
    for b in boards:
        if b.cost < 0:
            raise ValueError(f"board {b.id!r}: the cost is below 0")


def _bin_of(index: int, b: Board, scale: int, kerfs: tuple[int, int], shortest: int, narrowest: int) -> Bin:
    rip, cross = kerfs
    start, end = up(b.trim_start, scale), down(b.length, scale) - up(b.trim_end, scale)
    edge = up(b.edge, scale)
    width = max(0, down(b.width, scale) - edge)
    bands: list[tuple[int, int]] = []
    spots: list[Spot] = []
    for s in b.bad:
        x0, x1 = down(min(s.x0, s.x1), scale), up(max(s.x0, s.x1), scale)
        x1 = max(x1, x0 + cross)
        y0 = 0 if s.y0 is None else down(min(s.y0, s.y1 if s.y1 is not None else s.y0), scale) - edge
        y1 = width if s.y1 is None else up(max(s.y1, s.y0 if s.y0 is not None else s.y1), scale) - edge
        y1 = max(y1, y0 + rip)
        if x1 <= start or x0 >= end or y1 <= 0 or y0 >= width:
            continue
        if y0 < narrowest and width - y1 < narrowest:
            bands.append((x0, x1))
        else:
            spots.append(Spot(x0, x1, max(0, y0), min(width, y1)))
    cells: list[tuple[int, int]] = []
    at = start
    for x0, x1 in sorted(bands):
        if x0 - at >= shortest:
            cells.append((at, x0))
        at = max(at, x1)
    if end - at >= shortest:
        cells.append((at, end))
    inside = tuple(sorted(spots, key=lambda s: (s.x0, s.y0)))
    return Bin(index, width, edge, tuple(cells), inside, round(b.cost * MONEY))


def _add_pieces(task: Task, pieces: Sequence[Piece]) -> None:
    scale = task.scale
    grouped: dict[tuple[str, str, int], list[int]] = {}
    plain: dict[tuple[int, int], Kind] = {}
    for i, p in enumerate(pieces):
        if p.count and p.group:
            grouped.setdefault((p.group, p.how, i if p.each else -1), []).append(i)
        elif p.count and p.glue_up:
            _add_glue(task, i, p)
        elif p.count:
            ref = (up(p.width, scale), up(p.length, scale))
            kind = plain.setdefault(ref, Kind(*ref, "", -1))
            kind.instances += [(Ref(i, n + 1, 0, *ref),) for n in range(p.count)]
    for kind in plain.values():
        _add_kinds(task, [kind])
    for (_, how, _), members in grouped.items():
        refs = [r for i in members for r in _refs(task, i, pieces[i])]
        each = pieces[members[0]].each or len(refs)
        sets = [_group_kinds(task, refs[n : n + each], how) for n in range(0, len(refs), each)]
        if how != SAME_BOARD:  # alike, so that any of them may lie in any place
            sets[0][0].instances = [kinds[0].instances[0] for kinds in sets]
            del sets[1:]
        for kinds in sets:
            _add_kinds(task, kinds)


def _group_kinds(task: Task, refs: Sequence[Ref], how: str) -> list[Kind]:
    if how == SAME_BOARD:
        sizes: dict[tuple[int, int], Kind] = {}
        for r in refs:
            sizes.setdefault((r.w, r.l), Kind(r.w, r.l, "", len(task.groups))).instances.append((r,))
        return list(sizes.values())
    if how == END_TO_END:
        length = sum(r.l for r in refs) + (len(refs) - 1) * task.cross
        return [Kind(max(r.w for r in refs), length, how, -1, [tuple(refs)])]
    width = sum(r.w for r in refs) + (len(refs) - 1) * task.rip
    return [Kind(width, max(r.l for r in refs), how, -1, [tuple(refs)])]


def equal_staves(net: int, least: int, most: int, joint: int) -> tuple[int, int]:
    """Return the number and width of the fewest equal staves that make up a net width.

    Examples
    --------
    >>> equal_staves(1200, 250, 600, 12)
    (3, 412)
    """
    n = max(1, ceil(net / (most - joint)))
    return n, max(least, ceil(net / n) + joint)


def _refs(task: Task, index: int, p: Piece) -> list[Ref]:
    """Return the blanks of a grouped piece; a grouped glue-up takes its fewest equal staves as blanks."""
    scale, g = task.scale, p.glue_up
    length = up(p.length, scale)
    if g is None:
        return [Ref(index, n + 1, 0, up(p.width, scale), length) for n in range(p.count)]
    n, w = equal_staves(up(p.width, scale), up(g.narrowest, scale), down(g.widest, scale), up(g.joint, scale))
    return [Ref(index, k + 1, s + 1, w, length) for k in range(p.count) for s in range(n)]


def _add_kinds(task: Task, kinds: list[Kind]) -> None:
    """Add kinds that belong together, or note why no board holds them."""
    whys = [why for k in kinds if (why := _why_not(task, k.w, k.l))]
    if whys:
        lost: dict[int, set[int]] = {}
        for k in kinds:
            for refs in k.instances:
                for r in refs:
                    lost.setdefault(r.piece, set()).add(r.number)
        task.too_big += [(i, len(numbers), whys[0]) for i, numbers in lost.items()]
        return
    first = len(task.kinds)
    task.kinds += kinds
    if kinds[0].group >= 0:
        task.groups.append(list(range(first, first + len(kinds))))


def _add_glue(task: Task, index: int, p: Piece) -> None:
    g = p.glue_up
    assert g is not None
    s = task.scale
    glue = Glue(
        index,
        up(p.width, s),
        up(p.length, s),
        up(g.narrowest, s),
        max(up(g.narrowest, s), down(g.widest, s)),
        up(g.joint, s),
        g.most_staves,
        list(range(1, p.count + 1)),
    )
    widest = max((b.width for b in task.bins), default=0)
    reach = (min(glue.most, widest) - glue.joint) * glue.most_staves
    why = _why_not(task, glue.least, glue.l)
    if not why and reach < glue.net:
        why = "needs more staves than are allowed"
    if why:
        task.too_big.append((index, p.count, why))
    else:
        task.glues.append(glue)


def _why_not(task: Task, w: int, length: int) -> str:
    """Return why no board holds one blank of this size; empty when one does."""
    if not task.bins:
        return "no boards"
    if all(w > b.width for b in task.bins):
        return "wider than every board"
    clear = [(b.width, max((y - x for x, y in b.cells), default=0)) for b in task.bins]
    if all(length > c for _, c in clear):
        return "longer than every clear length"
    if all(w > bw or length > c for bw, c in clear):
        return "no board is both wide and long enough"
    return ""

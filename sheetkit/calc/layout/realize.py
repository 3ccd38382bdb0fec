"""From patterns in ticks to the layout in inches: exact places, staves, left-overs and cuts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .cuts import SLIVER, cuts_of, left_overs_of, parted_to_keep
from .model import Board, BoardLaid, Piece, Placed, Saw, Section, Staves, Strip
from .pattern import Pattern, SectionCut, StripCut
from .task import Ref, Task


@dataclass(slots=True)
class _Supply:
    """Hands out the numbers of equal blanks and of staves in the order they are placed."""

    task: Task
    pieces: Sequence[Piece]
    kinds: list[Iterator[tuple[Ref, ...]]]
    staves: dict[tuple[int, int], list[int]]

    def blanks(self, kind: int) -> tuple[Ref, ...]:
        refs = next(self.kinds[kind])
        for r in refs:
            if r.stave:
                self.staves.setdefault((r.piece, r.number), []).append(r.w)
        return refs

    def stave(self, glue: int, unit: int, net: int) -> Ref:
        g = self.task.glues[glue]
        number = g.numbers[unit]
        width = max(g.least, net + g.joint)
        widths = self.staves.setdefault((g.piece, number), [])
        widths.append(width)
        return Ref(g.piece, number, len(widths), width, g.l)


def realize(
    task: Task, pieces: Sequence[Piece], boards: Sequence[Board], saw: Saw, patterns: Sequence[Pattern]
) -> tuple[tuple[BoardLaid, ...], tuple[Staves, ...]]:
    """Return the boards with everything in place, and the staves of the glue-ups."""
    supply = _Supply(task, pieces, [iter(k.instances) for k in task.kinds], {})
    waiting = {piece.id for piece in pieces if piece.waits}
    laid = []
    for p in sorted(patterns, key=lambda p: p.bin):
        board = boards[p.bin]
        sections = _sections(supply, p)
        if waiting and not saw.rip_first:
            sections = parted_to_keep(sections, waiting)
        cuts = cuts_of(board, sections, saw, waiting)
        laid.append(BoardLaid(board, sections, cuts, left_overs_of(board, sections, saw)))
    staves = tuple(
        Staves(pieces[piece].id, number, tuple(w / task.scale for w in widths))
        for (piece, number), widths in sorted(supply.staves.items())
    )
    return tuple(laid), staves


def _sections(supply: _Supply, p: Pattern) -> tuple[Section, ...]:
    task = supply.task
    b = task.bins[p.bin]
    if task.rip_first:
        return (_ripped(supply, p),)
    out: list[Section] = []
    for cut in _in_order(task, p):
        rows = [
            (width, placed)
            for strip, y in _stacked(task, _narrowed(task, cut))
            for width, placed in _contents(supply, strip, cut.x, y + b.edge)
            if placed
        ]
        strips = tuple(Strip(n + 1, row[0].y, width, tuple(row)) for n, (width, row) in enumerate(rows))
        out.append(Section(len(out) + 1, cut.x / task.scale, cut.length / task.scale, strips))
    return tuple(out)


def _narrowed(task: Task, cut: SectionCut) -> SectionCut:
    """Return a section whose strips are no wider than their widest piece, but for a sliver.

    A setting shared with another section saves nothing where each piece is then ripped again.
    """
    strips = []
    for strip in cut.strips:
        widths = [task.kinds[k].w for k in strip.kinds]
        for stave in strip.staves:
            glue = task.glues[stave.glue]
            widths.append(max(glue.least, stave.net + glue.joint))
        wide = max(widths, default=strip.width)
        free = strip.composite < 0 and strip.y < 0
        if free and strip.width - wide > task.rip + SLIVER * task.scale:
            strip = StripCut(wide, strip.kinds, strip.staves)
        strips.append(strip)
    return SectionCut(cut.x, cut.length, strips)


def _in_order(task: Task, p: Pattern) -> list[SectionCut]:
    """Return sections along the board, the longest of a clear length first where no bad spot fixes them."""
    b = task.bins[p.bin]
    if b.spots:
        return sorted(p.sections, key=lambda s: s.x)
    out = []
    for x, end in b.cells:
        at = x
        for s in sorted((s for s in p.sections if x <= s.x < end), key=lambda s: -s.length):
            out.append(SectionCut(at, s.length, s.strips))
            at += s.length + task.cross
    return out


def _stacked(task: Task, cut: SectionCut) -> list[tuple[StripCut, int]]:
    """Return strips with their near edge: the widest first, or where lanes around bad spots put them."""
    out: list[tuple[StripCut, int]] = []
    at = 0
    for strip in sorted(cut.strips, key=lambda t: (t.y, -t.width)):
        y = at if strip.y < 0 else strip.y
        out.append((strip, y))
        at = y + strip.width + task.rip
    return out


def _contents(supply: _Supply, strip: StripCut, x: int, y: int) -> list[tuple[float, list[Placed]]]:
    """Return (width, what is placed) of a strip, or of each strip of a side-by-side composite."""
    task = supply.task
    if strip.composite < 0:
        return [(strip.width / task.scale, _row(supply, strip, x, y))]
    out = []
    behind = x + task.kinds[strip.composite].l + task.cross
    for ref, sub in zip(supply.blanks(strip.composite), strip.subs, strict=True):
        out.append((ref.w / task.scale, [_placed(supply, ref, x, y), *_row(supply, sub, behind, y)]))
        y += ref.w + task.rip
    return out


def _row(supply: _Supply, strip: StripCut, x: int, y: int) -> list[Placed]:
    """Return what is crosscut from a strip, the longest first."""
    task = supply.task
    blanks = [supply.blanks(k) for k in strip.kinds]
    blanks += [(supply.stave(s.glue, s.unit, s.net),) for s in strip.staves]
    blanks.sort(key=lambda refs: (-sum(r.l for r in refs), -refs[0].w, refs[0].piece, refs[0].number))
    out = []
    for refs in blanks:
        for r in refs:
            out.append(_placed(supply, r, x, y))
            x += r.l + task.cross
    return out


def _placed(supply: _Supply, r: Ref, x: int, y: int) -> Placed:
    scale, piece = supply.task.scale, supply.pieces[r.piece]
    width = r.w / scale if r.stave else piece.width
    return Placed(piece.id, r.number, x / scale, y / scale, piece.length, width, r.stave)


def _ripped(supply: _Supply, p: Pattern) -> Section:
    """Return the one section of a board ripped first: strips that run through all its clear lengths."""
    task = supply.task
    b = task.bins[p.bin]
    rows: dict[int, tuple[float, list[Placed]]] = {}
    for cut in sorted(p.sections, key=lambda s: s.x):
        for strip, y in _stacked(task, cut):
            at = y + b.edge
            for width, placed in _contents(supply, strip, cut.x, at):
                rows.setdefault(at, (width, []))[1].extend(placed)
                at += round(width * task.scale) + task.rip
    strips = [
        Strip(n + 1, y / task.scale, width, tuple(placed))
        for n, (y, (width, placed)) in enumerate(sorted(rows.items()))
        if placed
    ]
    start, end = b.cells[0][0], b.cells[-1][1]
    return Section(1, start / task.scale, (end - start) / task.scale, tuple(strips))

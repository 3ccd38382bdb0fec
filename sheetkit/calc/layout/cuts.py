"""The cuts of a board in the order of work, and the left-overs worth keeping."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import chain, groupby
from typing import TypeVar

from .handling import SHORTEST
from .model import Board, Cut, LeftOver, Placed, Saw, Section, Strip

SLIVER = 0.25
"""What is no thicker is not ripped off a rough blank; it goes when that is ripped to its width [in].

Common practice, no source.
"""
_NEAR = 1e-6
_Some = TypeVar("_Some", Section, Strip, Placed)


def cuts_of(
    board: Board, sections: Sequence[Section], saw: Saw, waiting: Collection[str] = ()
) -> tuple[Cut, ...]:
    """Return all cuts of a board, numbered.

    Crosscut first: all sections from the trimmed end on, then the rips (equal fence settings after each
    other, the widest first), then the pieces strip by strip. Rip first: the rips, then each strip to length.
    Of neighbors that are ``waiting`` nothing is parted, and they are cut off only from what is not.
    """
    crosscuts = [] if saw.rip_first else _section_cuts(board, sections, saw, waiting)
    edges: list[Cut] = []
    rips: list[tuple[float, Cut]] = []
    pieces: list[Cut] = []
    for s in sections:
        if _waits(s, waiting):
            continue
        if board.edge > _NEAR:
            edges.append(Cut(0, "rip", "straighten edge", board.edge, 0.0, s.number))
        rips += _rips(board, s, saw, waiting)
        for strip in s.strips:
            pieces += _piece_cuts(board, s, strip, saw, waiting)
    rips.sort(key=lambda each: (-each[0], each[1].section, each[1].strip))
    rows = [*crosscuts, *edges, *(cut for _, cut in rips), *pieces]
    return tuple(
        Cut(n, c.kind, c.purpose, c.at, c.size, c.section, c.strip, c.pieces) for n, c in enumerate(rows, 1)
    )


def parted_to_keep(sections: Sequence[Section], waiting: Collection[str]) -> tuple[Section, ...]:
    """Return sections of a single strip parted where what waits begins or ends: it then stays unripped."""
    out: list[Section] = []
    for s in sections:
        strips = s.strips
        if len(strips) == 1:
            strip, end = strips[0], s.x + s.length
            runs = [run for _, run in _runs(strip.placed, waiting)]
            ends = [*(run[-1].x + run[-1].length for run in runs[:-1]), end]
            starts = [s.x, *(run[0].x for run in runs[1:])]
            for run, x, last in zip(runs, starts, ends, strict=True):
                row = Strip(1, strip.y, strip.width, tuple(run))
                out.append(Section(len(out) + 1, x, last - x, (row,)))
        else:
            out.append(Section(len(out) + 1, s.x, s.length, strips))
    return tuple(out)


def _placed(these: Section | Strip | Placed) -> Iterator[Placed]:
    match these:
        case Section():
            yield from chain.from_iterable(strip.placed for strip in these.strips)
        case Strip():
            yield from these.placed
        case _:
            yield these


def _waits(these: Section | Strip | Placed, waiting: Collection[str]) -> bool:
    return all(piece.piece in waiting for piece in _placed(these))


def _runs(these: Sequence[_Some], waiting: Collection[str]) -> Iterator[tuple[bool, list[_Some]]]:
    """Yield neighbors that wait, or do not, together."""

    def waits(each: _Some) -> bool:
        return _waits(each, waiting)

    for kept, run in groupby(these, waits):
        yield kept, list(run)


def _names(run: Sequence[Section] | Sequence[Strip] | Sequence[Placed]) -> tuple[str, ...]:
    return tuple(piece.piece for each in run for piece in _placed(each))


def _section_cuts(board: Board, sections: Sequence[Section], saw: Saw, waiting: Collection[str]) -> list[Cut]:
    out: list[Cut] = []
    at = 0.0
    for kept, run in _runs(sections, waiting):
        if kept:
            last = run[-1]
            end = last.x + last.length
            if last is not sections[-1]:
                out.append(Cut(0, "crosscut", "keep length", end, end - at, last.number, 0, _names(run)))
            at = end + saw.crosscut_kerf
            continue
        for s in run:
            if s.x > at + (1 / 64 if at else 0.0) + _NEAR:
                purpose = "trim end" if not out and abs(s.x - board.trim_start) < 0.05 else "off bad length"
                out.append(Cut(0, "crosscut", purpose, s.x, 0.0, s.number))
            if s.x + s.length < board.length - _NEAR:
                out.append(Cut(0, "crosscut", "section", s.x + s.length, s.length, s.number))
            at = s.x + s.length + saw.crosscut_kerf
    return out


def _rips(board: Board, s: Section, saw: Saw, waiting: Collection[str]) -> Iterator[tuple[float, Cut]]:
    """Yield the rips of a section with the widest setting before which they can be made."""
    start, setting = board.edge, board.width
    for kept, run in _runs(s.strips, waiting):
        if kept:
            end = run[-1].y + run[-1].width
            if run[-1] is not s.strips[-1]:
                names = _names(run)
                yield (
                    setting,
                    Cut(0, "rip", "keep width", end, end - start, s.number, run[-1].number, names),
                )
            start = end + saw.rip_kerf
            continue
        for strip in run:
            if strip.y > start + 1 / 16:
                yield setting, Cut(0, "rip", "off bad spot", strip.y, 0.0, s.number, strip.number)
            setting = min(setting, round(strip.width, 6))
            at = strip.y + strip.width
            if at < board.width - _NEAR:
                names = _names([strip])
                yield setting, Cut(0, "rip", "strip", at, strip.width, s.number, strip.number, names)
            start = at + saw.rip_kerf


def _piece_cuts(board: Board, s: Section, strip: Strip, saw: Saw, waiting: Collection[str]) -> Iterator[Cut]:
    start = 0.0 if saw.rip_first else s.x
    end = board.length if saw.rip_first else s.x + s.length

    def cut(purpose: str, at: float, size: float, *run: Placed) -> Cut:
        kind = "rip" if purpose == "trim to width" else "crosscut"
        return Cut(0, kind, purpose, at, size, s.number, strip.number, _names(run))

    at = start
    for kept, alike in _runs(strip.placed, waiting):
        if kept:
            far = alike[-1].x + alike[-1].length
            if alike[-1] is not strip.placed[-1]:
                yield cut("keep length", far, far - at, *alike)
            at = far + saw.crosscut_kerf
            continue
        for run in _of_one_width(alike, strip, saw):
            first, last = run[0], run[-1]
            if first.x > at + (1 / 16 if at > start else _NEAR):
                trims = at == 0.0 and abs(first.x - board.trim_start) < 0.05
                yield cut("trim end" if trims else "off bad length", first.x, 0.0)
            far = last.x + last.length
            at = far + saw.crosscut_kerf
            loose = far < end - _NEAR
            wide = _ripped_to(first, strip, saw)
            if wide < strip.width - _NEAR:
                # what is short is ripped with the waste behind it
                before = loose and last is strip.placed[-1] and far - first.x < SHORTEST
                if loose and not before:
                    yield cut("piece", far, far - first.x, *run)
                yield cut("trim to width", first.y + wide, wide, *run)
                loose = before
            for piece in run if loose else run[:-1]:
                yield cut("piece", piece.x + piece.length, piece.length, piece)


def _ripped_to(piece: Placed, strip: Strip, saw: Saw) -> float:
    """Return how wide a piece is when it leaves its strip."""
    return strip.width if strip.width - piece.width - saw.rip_kerf <= SLIVER + _NEAR else piece.width


def _of_one_width(pieces: Sequence[Placed], strip: Strip, saw: Saw) -> list[list[Placed]]:
    """Return neighbors that are ripped at one setting, with nothing between them, together."""
    out: list[list[Placed]] = []
    for piece in pieces:
        before = out[-1][-1] if out else None
        if (
            before is not None
            and abs(_ripped_to(before, strip, saw) - _ripped_to(piece, strip, saw)) < _NEAR
            and piece.x <= before.x + before.length + saw.crosscut_kerf + 1 / 16
        ):
            out[-1].append(piece)
        else:
            out.append([piece])
    return out


def left_overs_of(board: Board, sections: Sequence[Section], saw: Saw) -> tuple[LeftOver, ...]:
    """Return full-width lengths that are left and long enough to keep."""
    if saw.rip_first:
        return ()
    out = []
    end = board.length - board.trim_end
    stops = sorted((min(s.x0, s.x1), max(s.x0, s.x1)) for s in board.bad)
    taken = [(s.x, s.x + s.length + saw.crosscut_kerf) for s in sections]
    at = board.trim_start
    for x0, x1 in sorted([*stops, *taken, (end, board.length)]):
        clear = min(x0, end) - at
        if clear >= saw.least_offcut - _NEAR:
            last = x0 >= end - _NEAR
            length = (board.length if last else x0) - at
            out.append(LeftOver(board.id, at, length, board.width, clear))
        at = max(at, x1)
    return tuple(out)

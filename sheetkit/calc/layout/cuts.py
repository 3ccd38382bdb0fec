"""The cuts of a board in the order of work, and the left-overs worth keeping."""

from __future__ import annotations

from collections.abc import Sequence

from .model import Board, Cut, LeftOver, Saw, Section, Strip

_NEAR = 1e-6


def cuts_of(board: Board, sections: Sequence[Section], saw: Saw) -> tuple[Cut, ...]:
    """Return all cuts of a board, numbered.

    Crosscut first: all sections from the trimmed end on, then the rips (equal fence settings after each
    other, the widest first), then the pieces strip by strip. Rip first: the rips, then each strip to length.
    """
    rows: list[Cut] = []
    crosscuts = [] if saw.rip_first else _section_cuts(board, sections, saw)
    edges = [
        Cut(0, "rip", "straighten edge", board.edge, 0.0, s.number) for s in sections if board.edge > _NEAR
    ]
    rips = [c for s in sections for c in _rips(board, s, saw)]
    rips.sort(key=lambda c: (-round(c.size, 6), c.section, c.strip) if c.size else (-1e9, c.section, c.strip))
    rows = [*crosscuts, *edges, *rips]
    for s in sections:
        for strip in s.strips:
            rows += _piece_cuts(board, s, strip, saw)
    return tuple(
        Cut(n + 1, c.kind, c.purpose, c.at, c.size, c.section, c.strip, c.piece) for n, c in enumerate(rows)
    )


def _section_cuts(board: Board, sections: Sequence[Section], saw: Saw) -> list[Cut]:
    out: list[Cut] = []
    at = 0.0
    for s in sections:
        if s.x > at + _NEAR:
            purpose = "trim end" if not out and abs(s.x - board.trim_start) < 0.05 else "off bad length"
            out.append(Cut(0, "crosscut", purpose, s.x, 0.0, s.number))
        if s.x + s.length < board.length - _NEAR:
            out.append(Cut(0, "crosscut", "section", s.x + s.length, s.length, s.number))
        at = s.x + s.length + saw.crosscut_kerf + 1 / 64
    return out


def _rips(board: Board, s: Section, saw: Saw) -> list[Cut]:
    out: list[Cut] = []
    at = board.edge
    for strip in s.strips:
        if strip.y > at + saw.rip_kerf + 1 / 16:
            out.append(Cut(0, "rip", "off bad spot", strip.y, 0.0, s.number, strip.number))
        at = strip.y + strip.width
        if at < board.width - _NEAR:
            out.append(Cut(0, "rip", "strip", at, strip.width, s.number, strip.number))
    return out


def _piece_cuts(board: Board, s: Section, strip: Strip, saw: Saw) -> list[Cut]:
    out: list[Cut] = []
    at = 0.0 if saw.rip_first else s.x
    for p in strip.placed:
        if p.x > at + saw.crosscut_kerf + 1 / 16 or (not out and p.x > at + _NEAR):
            purpose = "trim end" if at == 0.0 and abs(p.x - board.trim_start) < 0.05 else "off bad length"
            out.append(Cut(0, "crosscut", purpose, p.x, 0.0, s.number, strip.number))
        at = p.x + p.length
        last = board.length if saw.rip_first else s.x + s.length
        if at < last - _NEAR:
            out.append(Cut(0, "crosscut", "piece", at, p.length, s.number, strip.number, p.piece))
        if p.width < strip.width - _NEAR:
            out.append(
                Cut(0, "rip", "trim to width", p.y + p.width, p.width, s.number, strip.number, p.piece)
            )
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

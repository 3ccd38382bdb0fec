"""What to buy: boards of usual sizes laid out for the missing pieces, each shrunk to its least size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from .laying import Progress, lay_out
from .model import Board, BoardLaid, Missing, Piece, Saw, ToBuy

# Sizes a yard usually has, in inches. Common practice, no source.
USUAL_WIDTHS = (5.0, 6.0, 7.0, 8.0, 9.5)
USUAL_LENGTHS = (72.0, 96.0, 120.0)
WIDEST, LONGEST = 60.0, 600.0  # beyond, nothing is sold that would hold a piece or a group
FEW = 12
AT_ONCE = 80  # blanks laid out at a time, so that the time grows evenly with their number


def to_buy(
    pieces: Sequence[Piece],
    saw: Saw,
    *,
    sizes: Sequence[tuple[float, float]] = (),
    trim: float = 1.0,
    edge: float = 0.25,
    step: float = 0.125,
    effort: float = 0.5,
    progress: Progress | None = None,
) -> tuple[ToBuy, ...]:
    """Return the boards that pieces without a place need: how many, and the least width and length of each.

    Parameters
    ----------
    pieces
        The missing blanks (see `missing_pieces`), all of one species and stock.
    saw
        Kerfs and habit.
    sizes
        (width, length) of boards that can be had; the usual ones when empty. Where a piece or group is
        larger, sizes that hold it are added.
    trim, edge
        Lost at each end and along one edge of a new board.
    step
        Least sizes are rounded up to this.
    effort, progress
        As in `lay_out`.

    Returns
    -------
    tuple of ToBuy
        Widest first. Boards that come out alike are counted together. What no board that is sold would hold
        is left out.

    Examples
    --------
    >>> to_buy([Piece("leg ply", 6.875, 30.0, 2)], Saw(), sizes=[(8.0, 36.0)])
    (ToBuy(count=2, width=7.125, length=32.0, pieces=('leg ply',)),)
    """
    wanted = [p for p in pieces if p.count > 0]
    if not wanted:
        return ()
    choice = list(sizes) or [(w, n) for w in USUAL_WIDTHS for n in USUAL_LENGTHS]
    choice += _large_enough(wanted, saw, choice, trim, edge)
    counts: dict[tuple[float, float, tuple[str, ...]], int] = {}
    while wanted:
        now, later = _some(wanted)
        layout = lay_out(now, _offer(now, choice, trim, edge), saw, effort=effort, progress=progress)
        for laid in layout.boards:
            names = tuple(dict.fromkeys(p.piece for p in laid.placed))
            key = (*_least_size(laid, step), names)
            counts[key] = counts.get(key, 0) + 1
        wanted = later + (missing_pieces(layout.missing) if layout.boards else [])
    found = [ToBuy(n, width, length, names) for (width, length, names), n in counts.items()]
    return tuple(sorted(found, key=lambda b: (-b.width, -b.length, b.pieces)))


def missing_pieces(missing: Sequence[Missing]) -> list[Piece]:
    """Return the blanks without a place as pieces of their own, ready for `to_buy`."""
    return [replace(m.piece, count=m.count) for m in missing]


def _some(pieces: Sequence[Piece]) -> tuple[list[Piece], list[Piece]]:
    """Return the next pieces to lay out, widest first, and the rest.

    A group that is kept together is never parted.
    """
    now: list[Piece] = []
    later: list[Piece] = []
    room = AT_ONCE
    for p in sorted(pieces, key=lambda p: (p.group == "", p.group, -p.width, -p.length)):
        whole = p.group and (room > 0 or p.group == now[-1].group)
        taken = p.count if whole else 0 if p.group else min(p.count, max(room, 0))
        if taken:
            now.append(replace(p, count=taken))
        if taken < p.count:
            later.append(replace(p, count=p.count - taken))
        room -= taken
    return now, later


def _large_enough(
    pieces: Sequence[Piece], saw: Saw, sizes: Sequence[tuple[float, float]], trim: float, edge: float
) -> list[tuple[float, float]]:
    """Return sizes to add so that every piece and group has a board that holds it, if such boards exist."""
    needs: list[tuple[float, float]] = []
    groups: dict[tuple[str, str], list[Piece]] = {}
    for p in pieces:
        if p.each:
            groups[p.id, p.how] = [replace(p, count=p.each)]
        elif p.group:
            groups.setdefault((p.group, p.how), []).append(p)
        else:
            needs.append((p.glue_up.narrowest if p.glue_up else p.width, p.length))
    for (_, how), members in groups.items():
        widths = [p.width for p in members for _ in range(p.count)]
        lengths = [p.length for p in members for _ in range(p.count)]
        n = len(widths) - 1
        if how == "side by side":
            needs.append((sum(widths) + n * saw.rip_kerf, max(lengths)))
        else:  # a same-board group surely fits end to end
            needs.append((max(widths), sum(lengths) + n * saw.crosscut_kerf))
    out: list[tuple[float, float]] = []
    for width, length in needs:
        w, long = ceil((width + edge) * 2) / 2, ceil((length + 2 * trim) / 12) * 12.0
        if w <= WIDEST and long <= LONGEST and not any(w <= sw and long <= sl for sw, sl in [*sizes, *out]):
            out.append((w, long))
    return out


def _offer(
    pieces: Sequence[Piece], sizes: Sequence[tuple[float, float]], trim: float, edge: float
) -> list[Board]:
    """Return boards of every size.

    Wide and long ones cost a little more, so that none is asked for without need.

    Few of each keep the search short. What they do not hold, such as many pieces of one great width, is asked
    for again.
    """
    area = sum(p.width * p.length * p.count for p in pieces)
    blanks = sum(p.count * (ceil(p.width / p.glue_up.widest) + 1 if p.glue_up else 1) for p in pieces)
    out = []
    for width, length in sorted(set(sizes)):
        copies = min(blanks, 2 + ceil(1.6 * area / (width * length)))
        feet = width * length / 144
        cost = feet * (1 + 0.02 * max(0.0, width - 6) + 0.0005 * max(0.0, length - 96))
        out += [
            Board(f"{width:g} x {length:g} no. {n + 1}", width, length, cost, feet, (), trim, trim, edge)
            for n in range(min(copies, max(FEW, blanks // 4)))
        ]
    return out


def _least_size(laid: BoardLaid, step: float) -> tuple[float, float]:
    """Return the least board, trims and edge included, on which the same cuts can be made."""
    width = max(p.y + p.width for p in laid.placed)
    length = max(s.x + s.length for s in laid.sections)
    if len(laid.sections) == 1:
        length = max(p.x + p.length for p in laid.placed)
    length += laid.board.trim_end
    return ceil(width / step - 1e-6) * step, ceil(length / step - 1e-6) * step

"""How much lumber a job needs when no boards are listed: simulated piles of random boards, cut by the same search."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from .model import Board, Piece, Saw
from .task import task_of

# A yard's pile, in inches: width from, to, most often; lengths. Common practice, no source.
PILE_WIDTHS = (4.5, 11.5, 7.0)
PILE_LENGTHS = (72.0, 84.0, 96.0, 108.0, 120.0, 132.0, 144.0)


@dataclass(frozen=True, slots=True)
class Need:
    """Square feet of board face that piles had to have: `net` is the pieces alone.

    Half of the simulated piles needed no more than `even`, four in five no more than `likely`. Times quarters / 4 it is
    board feet; clear boards are assumed. `special` names pieces that some piles had no board for.
    """

    net: float
    even: float
    likely: float
    piles: int
    special: tuple[str, ...]


def estimate_need(
    pieces: Sequence[Piece],
    saw: Saw,
    *,
    piles: int = 12,
    widths: tuple[float, float, float] = PILE_WIDTHS,
    lengths: Sequence[float] = PILE_LENGTHS,
    trim: float = 1.0,
    edge: float = 0.25,
    tries: int = 8,
) -> Need:
    """Simulate random piles and find how much of each, board by board as it comes, holds the whole job.

    Parameters
    ----------
    pieces, saw
        As in `lay_out`.
    piles
        How many piles to simulate; more make the shares steadier.
    widths
        Narrowest, widest and most frequent width of a board [in].
    lengths
        Lengths that occur, each as often [in].
    trim, edge
        Lost at each end and along one edge [in].
    tries
        Layouts tried on a pile before it counts as too small.

    Returns
    -------
    Need

    Notes
    -----
    The search is short, so the answer is a little on the high side. Seeds are fixed: the same job gives the same answer.

    Examples
    --------
    >>> need = estimate_need([Piece("slat", 2.5, 40.0, 12)], Saw(), piles=4)
    >>> need.net < need.even <= need.likely
    True
    """
    net = sum(p.width * p.length * p.count for p in pieces) / 144
    found: list[float] = []
    special: dict[str, None] = {}
    for pile in range(piles):
        rng = random.Random(1000 + pile)
        boards: list[Board] = []
        while len(boards) < 4 or sum(b.cost for b in boards) < 2.5 * net + 10:
            width, length = round(rng.triangular(*widths) * 8) / 8, rng.choice(list(lengths))
            feet = width * length / 144
            boards.append(Board(str(len(boards)), width, length, feet, feet, (), trim, trim, edge))
        task = task_of(pieces, boards, saw)
        lost = {pieces[i].id for i, _, _ in task.too_big}
        special.update(dict.fromkeys(sorted(lost)))
        kept = [p for p in pieces if p.id not in lost and p.count]
        if kept:
            found.append(sum(b.cost for b in boards[: _shortest(kept, boards, saw, net, tries)]))
    found.sort()
    if not found:
        return Need(net, 0.0, 0.0, piles, tuple(special))
    return Need(net, _share(found, 0.5), _share(found, 0.8), piles, tuple(special))


def _share(values: Sequence[float], share: float) -> float:
    """The value that `share` of the sorted values do not pass, between neighbours in proportion."""
    at = share * (len(values) - 1)
    low = int(at)
    high = min(low + 1, len(values) - 1)
    return values[low] + (at - low) * (values[high] - values[low])


def _shortest(pieces: Sequence[Piece], boards: Sequence[Board], saw: Saw, net: float, tries: int) -> int:
    """How many boards, from the first on, hold the job."""
    low, total = 0, 0.0
    while low < len(boards) and total + boards[low].cost < net:
        total += boards[low].cost
        low += 1
    high = len(boards)
    while low < high:
        middle = (low + high) // 2
        if _holds(pieces, boards[:middle], saw, tries):
            high = middle
        else:
            low = middle + 1
    return high


def _holds(pieces: Sequence[Piece], boards: Sequence[Board], saw: Saw, tries: int) -> bool:
    from .search import Search

    task = task_of(pieces, [replace(b, cost=1.0) for b in boards], saw)
    if task.too_big or not boards:
        return False
    search = Search(task, 0.01)
    return any(search.construct(1e30) is not None for _ in range(tries))

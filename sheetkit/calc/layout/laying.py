"""`lay_out`: pieces and boards in, the layout out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from .model import Board, Layout, Missing, Piece, Saw
from .task import MONEY, Task, task_of

if TYPE_CHECKING:
    from .fill import Wanted
    from .pattern import Pattern, StripCut
    from .search import Solution
    from .shortage import GivenUp

Progress = Callable[[float, float, float], bool | None]


def lay_out(
    pieces: Sequence[Piece],
    boards: Sequence[Board],
    saw: Saw,
    *,
    effort: float = 1.0,
    progress: Progress | None = None,
) -> Layout:
    """Return which board yields which piece, and how each board is cut.

    All pieces placed comes first, then the least cost of the boards touched, then the largest reusable
    left-overs, then the fewest different rip widths. The work is counted, not timed: the same call gives the
    same layout.

    Parameters
    ----------
    pieces
        Blanks of one species and stock; ids must differ.
    boards
        The rack for them, each board in the cost that touching it brings (money or board feet).
    saw
        Kerfs, habit, and the shortest left-over worth keeping.
    effort
        How much work to do; 1 takes about two seconds for 60 blanks on 25 boards, 10 about ten times as long.
    progress
        Called now and then with (share of the work done, best cost, proven least cost); False stops the work.

    Returns
    -------
    Layout

    Raises
    ------
    ValueError
        For sizes not above 0, a group without its kind, or stave limits that contradict each other.

    Examples
    --------
    >>> rack = [Board("A1", 6.0, 50.0, 4.0), Board("A2", 6.0, 26.0, 2.2)]
    >>> out = lay_out([Piece("rail", 2.5, 24.0, 2)], rack, Saw(), effort=0.01)
    >>> [b.board.id for b in out.boards], out.complete, round(out.cost, 3), round(out.bound, 3)
    (['A2'], True, 2.2, 2.2)
    """
    _check_ids(pieces, boards)
    task = task_of(pieces, boards, saw)
    missing = [Missing(pieces[i], n, why) for i, n, why in task.too_big]
    if not task.kinds and not task.glues:
        return Layout((), tuple(boards), tuple(missing), (), 0.0, 0.0, 0.0)
    from .realize import realize
    from .shortage import search_whole

    task, answer, given_up = search_whole(task, effort, progress)
    patterns = _whole_glue_ups(answer.solution)
    laid, staves = realize(task, pieces, boards, saw, patterns)
    missing += _left(task, pieces, answer.solution.wanted, given_up)
    used = {p.bin for p in patterns}
    least = 0.0 if missing or answer.proof.impossible else answer.proof.least
    cost = sum(boards[i].cost for i in sorted(used))
    return Layout(
        laid,
        tuple(b for i, b in enumerate(boards) if i not in used),
        tuple(missing),
        staves,
        cost,
        sum(boards[i].board_feet for i in sorted(used)),
        min(least, cost) if abs(least - cost) <= cost * 2 / MONEY else least,
        answer.stopped,
        answer.work,
    )


def _check_ids(pieces: Sequence[Piece], boards: Sequence[Board]) -> None:
    for name, ids in (("pieces", [p.id for p in pieces]), ("boards", [b.id for b in boards])):
        if len(set(ids)) != len(ids):
            raise ValueError(f"two {name} have the same id")


def _whole_glue_ups(solution: Solution) -> list[Pattern]:
    """Return the patterns without staves of glue-ups that did not come out whole."""
    torn = {(g, n) for g, us in enumerate(solution.wanted.units) for n, u in enumerate(us) if u.rest > 0}
    if not torn:
        return list(solution.patterns.values())
    out = []
    for kept in solution.patterns.values():
        p = kept.copy()
        for strip in p.strips():
            for part in (strip, *strip.subs):
                part.staves = [s for s in part.staves if (s.glue, s.unit) not in torn]
        # strips left empty stay where they are: ripped first, they line up across bad lengths
        p.sections = [s for s in p.sections if _yields(s.strips)] if _yields(p.strips()) else []
        if p.sections:
            out.append(p)
    return out


def _yields(strips: Iterable[StripCut]) -> bool:
    """Return whether anything is cut from some strips."""
    return any(True for t in strips for _ in (*t.all_kinds(), *t.all_staves()))


def _left(task: Task, pieces: Sequence[Piece], wanted: Wanted, given_up: GivenUp) -> list[Missing]:
    """Return blanks without a place. A glued-up blank counts as missing when any of its staves is."""
    counts: dict[int, set[int]] = {}
    for piece, number in sorted(given_up):
        counts.setdefault(piece, set()).add(number)
    for kind, n in zip(task.kinds, wanted.kinds, strict=True):
        for refs in kind.instances[kind.count - n :] if n else []:
            for r in refs:
                counts.setdefault(r.piece, set()).add(r.number)
    for glue, units in zip(task.glues, wanted.units, strict=True):
        for number, unit in zip(glue.numbers, units, strict=True):
            if unit.rest > 0:
                counts.setdefault(glue.piece, set()).add(number)
    return [Missing(pieces[i], len(numbers), "no room left") for i, numbers in sorted(counts.items())]

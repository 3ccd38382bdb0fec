"""With too few boards: which glued-up blanks to give up, so that the others come out whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from .search import Answer, Search
from .task import Glue, Task

ROUNDS = 4  # times some blanks are given up and the rest is laid out again
TAKEN_BACK = 3  # of those given up, the smallest are tried once more, one by one
AGAIN = 0.4  # share of the effort of the first search for each of these searches
Progress = Callable[[float, float, float], bool | None]
GivenUp = set[tuple[int, int]]
"""Piece (by position) and number of each glued-up blank given up."""


def search_whole(whole: Task, effort: float, progress: Progress | None) -> tuple[Task, Answer, GivenUp]:
    """Search; while glued-up blanks lack staves, give up those furthest from done and search again.

    Returns the task without what was given up, its answer, and the blanks given up.
    """
    task, answer = whole, Search(whole, effort, progress).run()
    work = dict(answer.work)
    lost: GivenUp = set()

    def again(without: GivenUp) -> tuple[Task, Answer]:
        fewer = replace(whole, glues=_without(whole.glues, without))
        found = Search(fewer, effort * AGAIN, _second(progress)).run()
        for name, n in found.work.items():
            work[name] = work.get(name, 0) + n
        return fewer, found

    for _ in range(ROUNDS):
        more = _to_give_up(task, answer)
        if answer.stopped or not more:
            break
        lost |= more
        task, answer = again(lost)
    areas = {(g.piece, n): g.net * g.l for g in whole.glues for n in g.numbers}
    for blank in sorted(lost, key=lambda b: (areas[b], b))[:TAKEN_BACK]:
        if answer.stopped or answer.solution.missing:
            break
        fewer, found = again(lost - {blank})
        if not found.solution.missing:
            lost = lost - {blank}
            task, answer = fewer, found
        answer.stopped = found.stopped
    answer.work = work
    return task, answer, lost


def _to_give_up(task: Task, answer: Answer) -> GivenUp:
    """Return the unfinished blanks that the staves cut for all of them cannot make up."""
    unfinished: list[tuple[int, int, int, int]] = []
    cut = 0
    for glue, units in zip(task.glues, answer.solution.wanted.units, strict=True):
        for number, unit in zip(glue.numbers, units, strict=True):
            if unit.rest > 0:
                cut += (glue.net - unit.rest) * glue.l
                unfinished.append((unit.rest * glue.l, glue.piece, number, glue.net * glue.l))
    lost: GivenUp = set()
    for _, piece, number, area in sorted(unfinished):
        if area <= cut:
            cut -= area
        else:
            lost.add((piece, number))
    return lost


def _without(glues: list[Glue], lost: GivenUp) -> list[Glue]:
    """Return the glue-ups without the blanks given up."""
    out = []
    for glue in glues:
        numbers = [n for n in glue.numbers if (glue.piece, n) not in lost]
        if numbers:
            out.append(replace(glue, numbers=numbers))
    return out


def _second(progress: Progress | None) -> Progress | None:
    """Return a listener for a further search, told that all the work is done; it may still stop it."""
    if progress is None:
        return None
    return lambda _, cost, least: progress(1.0, cost, least)

"""Glued-up blanks with free staves: what a stave adds to a blank."""

from __future__ import annotations

from dataclasses import dataclass

from .task import Glue, Task


@dataclass(slots=True)
class Unit:
    """One glued-up blank on its way: net width still wanted and staves still allowed."""

    rest: int
    staves: int

    def copy(self) -> Unit:
        """Return a copy that can be changed by itself."""
        return Unit(self.rest, self.staves)


def fresh_units(task: Task) -> list[list[Unit]]:
    """Return all glued-up blanks untouched."""
    return [[Unit(g.net, g.most_staves) for _ in range(g.count)] for g in task.glues]


def adds(glue: Glue, unit: Unit, net: int) -> int:
    """Return what a stave that could add `net` really adds.

    Never past the rest, never leaving a rest no stave can make.
    """
    rest, n = unit.rest, unit.staves
    if n < 1 or rest <= 0 or net < glue.least_net:
        return 0
    if net >= rest:
        return rest
    got = min(net, rest - glue.least_net)
    if got < glue.least_net or rest - got > (n - 1) * glue.most_net:
        return 0
    return got


def best_unit(glue: Glue, units: list[Unit], net: int) -> tuple[int, int]:
    """Return the blank to which a stave of this net width adds most, or the nearest to done, and how much."""
    best, gain, rest = -1, 0, 0
    for i, u in enumerate(units):
        got = adds(glue, u, net)
        if got > gain or (got == gain and got and u.rest < rest):
            best, gain, rest = i, got, u.rest
    return best, gain


def take(unit: Unit, net: int) -> None:
    """Count a stave into a blank."""
    unit.rest -= net
    unit.staves -= 1


def give_back(unit: Unit, net: int) -> None:
    """Take a stave out of a blank again."""
    unit.rest += net
    unit.staves += 1

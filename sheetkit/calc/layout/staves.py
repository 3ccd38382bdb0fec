"""Glued-up blanks with free staves: what a stave adds to a blank, and staves shared out among blanks."""

from __future__ import annotations

from dataclasses import dataclass

from .task import Glue, Task


@dataclass(slots=True)
class Unit:
    """One glued-up blank on its way: net width still wanted and staves still allowed."""

    rest: int
    staves: int

    def copy(self) -> Unit:
        """A copy that can be changed by itself."""
        return Unit(self.rest, self.staves)


def fresh_units(task: Task) -> list[list[Unit]]:
    """All glued-up blanks untouched."""
    return [[Unit(g.net, g.most_staves) for _ in range(g.count)] for g in task.glues]


def adds(glue: Glue, unit: Unit, net: int) -> int:
    """What a stave that could add `net` really adds: never past the rest, never leaving a rest no stave can make."""
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
    """The blank to which a stave of this net width adds most (the nearest to done when equal), and how much."""
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


def share_out(glue: Glue, nets: list[int]) -> tuple[list[tuple[int, int]], list[Unit]]:
    """Share staves (by the net width each could add) among the blanks of a glue-up.

    Blank by blank, the set whose sum passes the net width by least is taken (a small subset-sum table), so that wide
    staves are not wasted on small rests.

    Returns
    -------
    (list of (unit, net) per stave, with unit -1 for a stave left over; the units after it)
    """
    out = [(-1, 0)] * len(nets)
    units = [Unit(glue.net, glue.most_staves) for _ in range(glue.count)]
    free = sorted(range(len(nets)), key=lambda i: -nets[i])
    for n, unit in enumerate(units):
        chosen = _closest(glue, [nets[i] for i in free])
        if chosen is None:  # not enough for a whole blank: as it comes
            for i in list(free):
                got = adds(glue, unit, nets[i])
                if got:
                    out[i] = (n, got)
                    take(unit, got)
                    free.remove(i)
            continue
        members = [free[c] for c in chosen]
        excess = sum(nets[i] for i in members) - glue.net
        for i in members:  # trim the excess off the staves that can lose it
            cut = min(excess, max(0, nets[i] - glue.least_net))
            excess -= cut
            got = min(nets[i] - cut, unit.rest)
            if got > 0:
                out[i] = (n, got)
                take(unit, got)
        free = [i for i in free if i not in members]
    return out, units


def _closest(glue: Glue, nets: list[int]) -> list[int] | None:
    """Positions of the staves whose sum reaches the net width and passes it least."""
    reached: dict[int, tuple[int, ...]] = {0: ()}
    for i, net in enumerate(nets):
        for total, members in sorted(reached.items()):
            if total >= glue.net or len(members) >= glue.most_staves:
                continue
            new = total + net
            if new not in reached or len(reached[new]) > len(members) + 1:
                reached[new] = (*members, i)
        if len(reached) > 4000:
            reached = dict(sorted(reached.items())[-4000:])
    done = [t for t in reached if t >= glue.net]
    return list(reached[min(done)]) if done else None

"""Which parts make a frame: what stands upright, the rails between, and what ties rails to one another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

from sheetkit.plan.entries import Entered, Entry
from sheetkit.plan.spacing import SLACK
from sheetkit.records.job import Part
from sheetkit.records.joinery import Span

MOST_RAILS = 200
"""Rails that are looked at: more than any piece has."""


class Rail(NamedTuple):
    """A part between two uprights: its edges along each from the reference end, each time it stands [in]."""

    part: Part
    left: Entry
    """By which it enters the left upright, the first time."""
    right: Entry
    at_left: tuple[Span, ...]
    at_right: tuple[Span, ...]

    @property
    def frames(self) -> int:
        """How many frames its Qty makes."""
        return max(1, self.part.qty // len(self.at_left))

    @property
    def row(self) -> int:
        """Row of Joints by which it enters the right upright."""
        return self.right.row


@dataclass(frozen=True)
class Frame:
    """Rails between the same two uprights, as far as Joints and Panels tie them together."""

    rails: tuple[Rail, ...]

    @property
    def left(self) -> Entry:
        """Where its first rail enters the upright at the left."""
        return self.rails[0].left

    @property
    def right(self) -> Entry:
        """Where its first rail enters the upright at the right."""
        return self.rails[0].right

    def rail(self, part: Part | None) -> Rail | None:
        """Return the rail that is a part."""
        return next((rail for rail in self.rails if rail.part == part), None)


def frames(
    entered: Entered, named: Iterable[Sequence[Part]], grooved: Iterable[frozenset[int]]
) -> tuple[Frame, ...]:
    """Return every frame that Joints tells, in the order of its rows.

    ``named`` are the rails that one panel names, ``grooved`` the rows of parts that one panel is grooved
    into.
    """
    rails = list(_rails(entered))[:MOST_RAILS]
    groups = [[rail] for rail in rails]
    tied = [
        *(frozenset(entry.into.row for entry in there) for there in entered.values()),
        *grooved,
        *(frozenset(part.row for part in parts) for parts in named),
    ]
    tied = list({tie for tie in tied if len(tie) > 1})
    for one, other in combinations(rails, 2):
        tie = {one.part.row, other.part.row}
        if _same_uprights(one, other) and _clear(one, other) and any(tie <= rows for rows in tied):
            _join(groups, one, other)
    for one, other in combinations(rails, 2):
        here, there = _group(groups, one), _group(groups, other)
        if here is not there and all(_level(a, b) for a in here for b in there):
            _join(groups, one, other)
    return tuple(Frame(tuple(rail for rail in rails if rail in group)) for group in groups)


def _rails(entered: Entered) -> Iterator[Rail]:
    """Yield what enters an upright: it takes other parts, and enters others with one end at most."""
    held = {row for row, there in entered.items() if _ends(there) > there[0].part.qty}
    for there in entered.values():
        entries = [entry for entry in there if entry.into.row not in held]
        if not entries:
            continue
        sides: dict[tuple[int, tuple[int, ...], str], list[Entry]] = {}
        for entry in sorted(entries, key=lambda entry: entry.side):
            sides.setdefault(entry.side, []).append(entry)
        two = list(sides.values())[:2]
        left, right = two[0], two[-1]
        if left is right and (len(left[0].pieces) < 2 or _ends(entries) <= left[0].part.qty):
            continue  # a rail has two ends: a knob on each of two stiles is none
        yield Rail(left[0].part, left[0], right[0], _spans(left), _spans(right))


def _ends(entries: Iterable[Entry]) -> int:
    """Return how many ends enter, all pieces together."""
    return sum(len(entry.pieces) for entry in entries)


def _spans(entries: Iterable[Entry]) -> tuple[Span, ...]:
    return tuple(sorted({(entry.near, entry.far) for entry in entries}))


def _same_uprights(one: Rail, other: Rail) -> bool:
    return {one.left.into.row, one.right.into.row} == {other.left.into.row, other.right.into.row}


def _side_by_side(one: Rail, other: Rail) -> bool:
    """Return whether two rails stand between the same pieces and surfaces of the same uprights."""
    return {one.left.side, one.right.side} == {other.left.side, other.right.side}


def _level(one: Rail, other: Rail) -> bool:
    """Return whether two rails fit one frame: as long, as many, between the same uprights and clear."""
    alike = _side_by_side(one, other) and abs(one.part.length - other.part.length) <= SLACK
    return alike and _clear(one, other) and one.frames == other.frames


def _clear(one: Rail, other: Rail) -> bool:
    """Return whether two rails stand at heights that do not overlap; else one is in front of the other."""
    return all(a[1] <= b[0] + SLACK or b[1] <= a[0] + SLACK for a in one.at_left for b in other.at_left)


def _group(groups: Sequence[list[Rail]], rail: Rail) -> list[Rail]:
    return next(group for group in groups if rail in group)


def _join(groups: list[list[Rail]], one: Rail, other: Rail) -> None:
    here, there = _group(groups, one), _group(groups, other)
    if here is not there:
        here += there
        groups[:] = [group for group in groups if group is not there]

"""Where a part stands in another that it enters, as Joints tells: its edges, on which pieces and surface."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from sheetkit.calc.boxes import SIDES
from sheetkit.plan.places import is_groove, size_of
from sheetkit.records.job import Part
from sheetkit.records.joinery import Cavity, JointAnswer


class Entry(NamedTuple):
    """A part in another: its near and far edge along it, from the reference end [in]."""

    part: Part
    into: Part
    pieces: tuple[int, ...]
    """Of the part that it enters."""
    surface: str
    near: float
    far: float
    row: int
    """Row of Joints."""
    housed: float = 0.0
    """How far its own length reaches in: the depth of a dado, nothing for what has tenons or dowels [in]."""

    @property
    def side(self) -> tuple[int, tuple[int, ...], str]:
        """What it enters: the part's row, its pieces, the surface."""
        return self.into.row, self.pieces, self.surface

    @property
    def width_seen(self) -> float:
        """How wide the part that it enters is, seen so that both lie in the plane of the page [in]."""
        return size_of(self.into)[SIDES[self.surface].into]


Entered = Mapping[int, Sequence[Entry]]
"""Row of a part -> where it enters others."""


def by_part(entered: Iterable[Entry]) -> Entered:
    """Return where each part enters others, by its row."""
    found: dict[int, list[Entry]] = {}
    for entry in entered:
        found.setdefault(entry.part.row, []).append(entry)
    return found


def entries(joints: Iterable[JointAnswer]) -> Iterator[Entry]:
    """Yield every place at which a part enters another.

    Tenon or dowels are taken to be in its middle; where it would then stand past the end it is flush with it.
    Hardware joins a part only when it is let into the part's own end too: a hinge does not.
    """
    joints = tuple(joints)
    hooked = {
        cavity.part.row
        for answer in joints
        if answer.joint.kind == "hardware"
        for cavity in answer.cavities
        if cavity.in_end_grain
    }
    told: set[Entry] = set()
    for answer in joints:
        part, joint = answer.from_part, answer.joint
        across = joint.lies == "across"
        if not isinstance(part, Part) or (is_groove(joint) and not across):
            continue
        if joint.kind == "hardware" and part.row not in hooked:
            continue
        for one in _each(answer):
            if one[0].in_end_grain or (is_groove(joint) and lies_in(part, one[0])):
                continue
            into = one[0].part
            flat = is_groove(joint) and _lies_flat(part, one[0])
            size = part.thickness if across and not flat else part.width
            near = (one[0].along[0] + one[-1].along[1] - size) / 2
            near = max(0.0, min(near, into.length - size))
            housed = one[0].depth if is_groove(joint) else 0.0
            entry = Entry(part, into, one[0].pieces, one[0].surface, near, near + size, joint.row, housed)
            if entry not in told:
                told.add(entry)
                yield entry


def lies_in(part: Part, dado: Cavity) -> bool:
    """Return whether a part lies in a dado by its length, as a runner does; a shelf stands in it."""
    long = dado.across[1] - dado.across[0]
    return abs(long - part.length) < abs(long - part.width)


def _lies_flat(part: Part, dado: Cavity) -> bool:
    """Return whether a part lies flat in a dado, as a slat in its notch; a shelf does not."""
    wide = dado.along[1] - dado.along[0]
    return abs(wide - part.width) < abs(wide - part.thickness)


def _each(answer: JointAnswer) -> Iterator[Sequence[Cavity]]:
    """Yield what each joint of a row has cut: one mortise, or all the holes of its dowels."""
    together = max(1, answer.pieces // answer.qty) if answer.joint.kind == "dowel" and answer.qty else 1
    for first in range(0, len(answer.cavities), together):
        yield answer.cavities[first : first + together]

"""Marks: a story stick for each member, run and curve, and which members share one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from sheetkit.calc.boxes import SIDES
from sheetkit.plan.notes import listed, name_key
from sheetkit.plan.places import size_of
from sheetkit.plan.spacing import SLACK
from sheetkit.records.job import Part
from sheetkit.records.joinery import (
    SHOULDERS,
    Cavity,
    JointAnswer,
    Mark,
    RunAnswer,
    ShapeAnswer,
    Span,
    Stick,
)

ALIKE = 6
"""Decimals of an inch to which two layouts are compared."""
SURFACES = ("face", "back", "edge", "far edge", "end", "far end")
"""In the order in which a part is turned under the pencil."""
LENGTHWISE = SURFACES[:4]
TURNED = {"edge": "far edge", "far edge": "edge"}
"""What of a left piece is where on the right one, their faces the same way."""
BOTH_HANDS = (
    "Half are left and half right: lay one of each with this side up, ends level and edge against edge, "
    "and mark both together."
)

Cut = tuple[JointAnswer, Cavity]


def story_sticks(
    joints: Sequence[JointAnswer], runs: Sequence[RunAnswer], shapes: Sequence[ShapeAnswer]
) -> tuple[Stick, ...]:
    """Return every story stick, members first, one for each surface; what has the same layout shares one."""
    sticks = _member_sticks(joints)
    sticks += [_run(run) for run in runs if run.centers and not _is_cut(run, joints)]
    sticks += [_shape(shape) for shape in shapes]
    shared: dict[tuple[object, ...], list[Stick]] = {}
    for stick in sticks:
        alike = (
            stick.kind,
            round(stick.length, ALIKE),
            stick.note,
            _layout(stick),
            stick.section,
            stick.cutouts,
        )
        shared.setdefault(alike, []).append(stick)
    return tuple(
        replace(alike[0], names=tuple(dict.fromkeys(name for stick in alike for name in stick.names)))
        for alike in shared.values()
    )


def _is_cut(run: RunAnswer, joints: Sequence[JointAnswer]) -> bool:
    """Return whether a run is but one of holes or recesses, each told by the stick of what it is cut in."""
    name = name_key(run.name)
    cut = [answer for answer in joints if answer.cavities and name_key(answer.at_run) == name]
    return (
        run.part is None
        and bool(cut)
        and all(answer.joint.kind == "hardware" and answer.joint.width == run.width for answer in cut)
    )


def _layout(stick: Stick) -> tuple[object, ...]:
    return tuple(
        (round(mark.at, ALIKE), _number(mark.until), _number(mark.offset), mark.what) for mark in stick.marks
    )


def _number(value: float | None) -> float | None:
    return None if value is None else round(value, ALIKE)


def _member_sticks(joints: Sequence[JointAnswer]) -> list[Stick]:
    """Return the sticks of every part, surface by surface; pieces that have the same share them."""
    cut: dict[int, list[Cut]] = {}
    for answer in joints:
        for cavity in (*answer.cavities, *(far for far in answer.far if not far.assumed)):
            if cavity.what != "tenon":
                cut.setdefault(cavity.part.row, []).append((answer, cavity))
    return [stick for found in cut.values() for stick in _of_part(found[0][1].part, found)]


def _of_part(part: Part, found: Sequence[Cut]) -> Iterator[Stick]:
    pieces = {piece: _sticks_of_piece(part, piece, found) for piece in range(1, part.qty + 1)}
    for surface in SURFACES:
        alike: dict[object, list[int]] = {}
        for piece, sticks in pieces.items():
            if surface in sticks:
                alike.setdefault(_layout(sticks[surface]), []).append(piece)
        for numbers in alike.values():
            views = {pieces[piece][surface].cutouts for piece in numbers}
            stick = pieces[numbers[0]][surface]
            if len(views) > 1:
                stick = replace(stick, note=f"{stick.note} Seen from the end: piece {numbers[0]}.".strip())
            twins = sorted(
                {
                    other
                    for piece in numbers
                    for other, sticks in pieces.items()
                    if surface in TURNED and other not in numbers and _is_mirrored(pieces[piece], sticks)
                }
            )
            if len(numbers) > 1 and _face_each_other(surface, found):
                stick = replace(stick, note=f"{stick.note} {BOTH_HANDS}".strip())
            yield _named(stick, part, numbers, twins)


def _face_each_other(surface: str, found: Sequence[Cut]) -> bool:
    """Return whether boards stand in dados from piece to piece, of which not all is in the middle."""
    here = [(answer, cavity) for answer, cavity in found if cavity.surface == surface]
    ends: dict[int, int] = {}
    for answer, cavity in here:
        if cavity.what == "groove" and answer.joint.lies == "across":
            ends[answer.joint.row] = ends.get(answer.joint.row, 0) + len(cavity.pieces)
    between = any(
        isinstance(answer.from_part, Part) and ends.get(answer.joint.row) == 2 * answer.from_part.qty
        for answer, _ in here
    )
    return between and any(
        abs(sum(cavity.across) - size_of(cavity.part)[SIDES[surface].across]) > SLACK for _, cavity in here
    )


def _named(stick: Stick, part: Part, pieces: Sequence[int], twins: Sequence[int]) -> Stick:
    """Return a stick named by its member, pieces and surface; a pair, left and right, is said to be one."""
    name = f"{part.part} ({part.qty})" if part.qty > 1 else part.part
    if len(pieces) < part.qty:
        name = f"{part.part}, {_numbers(pieces)}"
    note = stick.note
    if twins:
        pair = (
            f"Left and right of {_numbers(twins)}: hold them side by side, ends level, "
            "with these two surfaces outside, and mark both together."
        )
        note = f"{note} {pair}".strip()
    return replace(stick, names=(f"{name}, {stick.surface}",), note=note)


def _numbers(pieces: Sequence[int]) -> str:
    return f"{'piece' if len(pieces) == 1 else 'pieces'} {listed([str(piece) for piece in pieces])}"


def _is_mirrored(one: Mapping[str, Stick], other: Mapping[str, Stick]) -> bool:
    """Whether two pieces are left and right: the same places, but on the edges across from each other."""
    mine, theirs = (
        {
            surface: [(round(mark.at, ALIKE), mark.until) for mark in stick.marks]
            for surface, stick in of.items()
        }
        for of in (one, other)
    )
    return (
        mine != theirs and {TURNED.get(surface, surface): marks for surface, marks in mine.items()} == theirs
    )


def _sticks_of_piece(part: Part, piece: int, found: Sequence[Cut]) -> dict[str, Stick]:
    on = {
        surface: [cut for cut in found if cut[1].surface == surface and piece in cut[1].pieces]
        for surface in SURFACES
    }
    sticks = {surface: _member(part, surface, cuts) for surface, cuts in on.items() if cuts}
    beside = [surface for surface in sticks if surface in LENGTHWISE]
    if len({SIDES[surface].into for surface in beside}) > 1:
        # mortises from two faces: how they pass one another is seen from the end
        seen = (cavity.box[1:] for surface in beside for _, cavity in on[surface])
        first = beside[0]
        sticks[first] = replace(sticks[first], section=(part.width, part.thickness), cutouts=_distinct(seen))
    return sticks


def _distinct(seen: Iterable[tuple[Span, ...]]) -> tuple[tuple[Span, Span], ...]:
    return tuple(dict.fromkeys((across, through) for across, through in seen))


def _member(part: Part, surface: str, cuts: Sequence[Cut]) -> Stick:
    marks: list[Mark] = []
    on_end = surface not in LENGTHWISE
    if any(part.tenons) and not on_end:
        marks.append(Mark(0.0, SHOULDERS[0]))
        if len([tenon for tenon in part.tenons if tenon]) > 1:
            marks.append(Mark(part.length, SHOULDERS[1]))
    for answer, cavity in cuts:
        marks += _of_cavity(answer, cavity)
    note = "Lengths from the shoulder, tenons not counted." if any(part.tenons) and not on_end else ""
    if on_end:
        note = "On the end grain: from the edge, Across from the face."
    size = size_of(part)
    return Stick(
        (part.part,),
        "member",
        size[SIDES[surface].along],
        _in_order(dict.fromkeys(marks)),
        note,
        surface,
        size[SIDES[surface].across],
        (part.width, part.thickness) if on_end else None,
        _distinct((cavity.along, cavity.across) for _, cavity in cuts) if on_end else (),
    )


def _of_cavity(answer: JointAnswer, cavity: Cavity) -> list[Mark]:
    """Return the marks of one thing cut in a surface, and where across it each lies."""
    name, (near, far), wide = answer.joint.joint, cavity.along, cavity.across
    if answer.bored:
        what = "dowel center" if cavity.what == "hole" else "center of the hole"
        return [Mark(sum(cavity.along) / 2, f"{name}: {what}", across=wide)]
    if cavity.what == "groove" and answer.joint.lies == "across":
        return [
            Mark(near, f"{name}: groove across begins", joint=True, until=far, across=(run.start, run.stop))
            for run in cavity.runs
        ] + [Mark(far, f"{name}: groove across ends")]
    if cavity.what == "groove":
        marks = []
        for run in cavity.runs:
            marks.append(Mark(run.start, f"{name}: groove begins", joint=True, until=run.stop, across=wide))
            marks.append(Mark(run.stop, f"{name}: groove ends"))
            if not run.too_short and run.lower_at > run.start:
                marks.append(Mark(run.lower_at, f"{name}: lower the cutter"))
            if not run.too_short and run.lift_at < run.stop:
                marks.append(Mark(run.lift_at, f"{name}: lift the cutter"))
        return marks
    return [
        Mark(near, f"{name}: {cavity.what} begins", joint=True, until=far, across=wide),
        Mark(far, f"{name}: {cavity.what} ends"),
    ]


def _run(answer: RunAnswer) -> Stick:
    marks: list[Mark] = []
    for number, (center, (near, far)) in enumerate(zip(answer.centers, answer.sides, strict=True), 1):
        marks.append(Mark(near, f"member {number}: near side", joint=True, until=far))
        marks.append(Mark(center, f"member {number}: center"))
        marks.append(Mark(far, f"member {number}: far side"))
    return Stick((answer.run.run,), "run", answer.run.between, _in_order(marks))


def _shape(answer: ShapeAnswer) -> Stick:
    shape = answer.shape
    tapered = "taper" in shape.kind
    marks = []
    for station in answer.stations:
        what = "station"
        if tapered and station is answer.stations[0]:
            what = "taper starts"
        elif tapered and station is answer.stations[-1]:
            what = "small end"
        elif not tapered and station.place in (0.0, shape.length):
            what = "end of the chord"
        elif not tapered and abs(station.place - shape.length / 2) < 1e-9:
            what = "middle"
        marks.append(Mark(station.place, what, station.offset))
    note = "Offsets from the straight face, one face." if tapered else "Offsets from the chord."
    if tapered and answer.faces == 2:
        note = "Offsets from the straight face, each of two opposite faces."
    if tapered:
        note = f"From the large end. {note}"
    return Stick((shape.shape,), "taper" if tapered else "curve", shape.length, tuple(marks), note)


def _in_order(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    return tuple(sorted(marks, key=lambda mark: (round(mark.at, ALIKE), mark.joint)))

"""Marks: a story stick for each member, run and curve, and which members share one."""

from __future__ import annotations

from collections.abc import Sequence

from sheetkit.records.job import Part
from sheetkit.records.joinery import SHOULDERS, JointAnswer, Mark, RunAnswer, ShapeAnswer, Stick

ALIKE = 6
"""Decimals of an inch to which two layouts are compared."""


def story_sticks(
    joints: Sequence[JointAnswer], runs: Sequence[RunAnswer], shapes: Sequence[ShapeAnswer]
) -> tuple[Stick, ...]:
    """Give every story stick, members first; members with the same layout share one."""
    members: dict[int, list[JointAnswer]] = {}
    for answer in joints:
        if answer.into is not None and (answer.spans or answer.grooves or answer.centers):
            members.setdefault(answer.into.row, []).append(answer)
    sticks = [_member(of) for of in members.values()]
    sticks += [_run(run) for run in runs if run.centers]
    sticks += [_shape(shape) for shape in shapes]
    shared: dict[tuple[object, ...], list[Stick]] = {}
    for stick in sticks:
        places = tuple(
            (round(mark.at, ALIKE), _number(mark.until), _number(mark.offset), mark.what)
            for mark in stick.marks
        )
        shared.setdefault((stick.kind, round(stick.length, ALIKE), stick.note, places), []).append(stick)
    return tuple(
        Stick(tuple(dict.fromkeys(name for stick in alike for name in stick.names)), alike[0].kind, alike[0].length,
              alike[0].marks, alike[0].note)
        for alike in shared.values()
    )  # fmt: skip


def _number(value: float | None) -> float | None:
    return None if value is None else round(value, ALIKE)


def _member(answers: Sequence[JointAnswer]) -> Stick:
    part = answers[0].into
    assert part is not None
    marks: list[Mark] = []
    if any(part.tenons):
        marks.append(Mark(0.0, SHOULDERS[0]))
    if len([tenon for tenon in part.tenons if tenon]) > 1:
        marks.append(Mark(part.length, SHOULDERS[1]))
    for answer in answers:
        marks += _of_joint(answer, part)
    name = f"{part.part} ({part.qty})" if part.qty > 1 else part.part
    note = "Lengths from the shoulder, tenons not counted." if any(part.tenons) else ""
    return Stick((name,), "member", part.length, _in_order(marks), note)


def _of_joint(answer: JointAnswer, part: Part) -> list[Mark]:
    joint = answer.joint
    marks: list[Mark] = []
    name = joint.joint if joint.qty >= part.qty else f"{joint.joint} (on {joint.qty} of {part.qty})"
    if answer.centers:
        marks += [Mark(center, f"{name}: dowel center") for center in answer.centers]
    elif "groove" in joint.kind:
        for groove in answer.grooves:
            marks.append(Mark(groove.start, f"{name}: groove begins", joint=True, until=groove.stop))
            marks.append(Mark(groove.stop, f"{name}: groove ends"))
            if not groove.too_short and groove.lower_at > groove.start:
                marks.append(Mark(groove.lower_at, f"{name}: lower the cutter"))
            if not groove.too_short and groove.lift_at < groove.stop:
                marks.append(Mark(groove.lift_at, f"{name}: lift the cutter"))
    else:
        what = "recess" if joint.kind == "hardware" else "mortise"
        for start, stop in answer.spans:
            marks.append(Mark(start, f"{name}: {what} begins", joint=True, until=stop))
            marks.append(Mark(stop, f"{name}: {what} ends"))
    return marks


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


def _in_order(marks: Sequence[Mark]) -> tuple[Mark, ...]:
    return tuple(sorted(marks, key=lambda mark: (round(mark.at, ALIKE), mark.joint)))

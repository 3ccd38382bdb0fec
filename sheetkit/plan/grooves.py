"""Grooves: what they would run into, where they stop before it, and which tenons of their part they thin."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial

from sheetkit.calc.boxes import SIDES, Spans, shared
from sheetkit.calc.grooves import GroovePlan, GrooveRun, cutter_reach, groove_plan
from sheetkit.calc.joints import haunched_tenon
from sheetkit.plan.entries import lies_in
from sheetkit.plan.notes import capital, listed
from sheetkit.plan.places import size_of
from sheetkit.plan.sections import zero_of
from sheetkit.plan.shop import Shop
from sheetkit.records.job import Part
from sheetkit.records.joinery import Cavity, Groove, JointAnswer, Span
from sheetkit.records.notes import Notes

SHORTEST_GROOVE = 1.0
"""A stub shorter than this beside a mortise is not worth a groove, common practice [in]."""
SLACK = 1e-9

Found = tuple[JointAnswer, Cavity]
Met = tuple[JointAnswer, Span]


def grooved(
    answer: JointAnswer, inside: Mapping[int, Sequence[Found]], shop: Shop, notes: Notes
) -> JointAnswer:
    """Return a groove's row with its pieces: whole where it runs through, else between what it would meet."""
    if not answer.cavities or answer.cavities[0].what != "groove":
        return answer
    reach = _reach(answer, shop, notes)
    any(_tenon_thinned(answer, cavity, inside[cavity.part.row], shop, notes) for cavity in answer.cavities)
    said: set[str] = set()
    cut = [
        _stopped(answer, cavity, inside[cavity.part.row], reach, said, shop, notes)
        for cavity in answer.cavities
    ]
    first = cut[0]
    spans = tuple(dict.fromkeys(each.along for each in cut if each.part.row == first.part.row))
    return replace(answer, cavities=tuple(cut), grooves=first.runs, spans=spans)


def _reach(answer: JointAnswer, shop: Shop, notes: Notes) -> float:
    """Return how far the cutter cuts beyond its axis at the surface."""
    joint, radius = answer.joint, shop.allowances.cutter_radius
    if radius >= joint.depth_into - SLACK:
        return cutter_reach(max(radius, joint.depth_into), joint.depth_into)
    sizes = shop.sizes(radius=radius, depth=joint.depth_into)
    notes.add("groove-cutter", joint.row, "depth_into", sizes["depth"], **sizes)
    return 0.0


def _stopped(
    answer: JointAnswer,
    cavity: Cavity,
    found: Sequence[Found],
    reach: float,
    said: set[str],
    shop: Shop,
    notes: Notes,
) -> Cavity:
    joint, part = answer.joint, cavity.part
    crosswise = joint.lies == "across"
    start, stop = cavity.across if crosswise else cavity.along
    room = size_of(part)[SIDES[cavity.surface].across if crosswise else SIDES[cavity.surface].along]
    open_start, open_stop = start <= SLACK, stop >= room - SLACK
    lengthwise = not crosswise and not cavity.in_end_grain
    if lengthwise and any(part.tenons) and (open_start or open_stop):
        notes.remark(
            joint.row,
            f"Measured from the shoulder of {part.part}; the groove runs out over the tenons too: "
            f"set them in by its depth ({shop.words(joint.depth_into)}) where it would thin them.",
        )
    met = _met(answer, cavity, found)
    stopping = partial(groove_plan, start, stop, reach=reach, open_start=open_start, open_stop=open_stop)
    plan = stopping([span for _, span in met], shortest=SHORTEST_GROOVE)
    wanted = joint.kind == "stopped groove"
    if plan.runs_into and not plan.runs:
        notes.add("groove-no-room", joint.row, "into", part.part, part=part.part)
    elif plan.runs_into and not wanted:
        others = [other for other, span in met if span in plan.runs_into]
        _say_met(answer, cavity, plan, others, said, shop, notes)
    elif wanted and reach:
        notes.remark(joint.row, *(capital(f"{_run_words(run, shop)}.") for run in plan.runs))
    if wanted and crosswise:
        _notched(answer, cavity, shop, notes)
    runs = plan.runs if wanted else stopping(()).runs
    return cavity._replace(
        runs=tuple(Groove(run.start, run.stop, run.lower_at, run.lift_at, run.too_short) for run in runs)
    )


def _notched(answer: JointAnswer, dado: Cavity, shop: Shop, notes: Notes) -> None:
    """Say by how much a shelf is notched that is wider than its stopped dado is long."""
    shelf, long = answer.from_part, dado.across[1] - dado.across[0]
    if isinstance(shelf, Part) and long < shelf.width - SLACK and not lies_in(shelf, dado):
        sizes = shop.sizes(wide=shelf.width, long=long, over=shelf.width - long, depth=dado.depth)
        notes.remark(
            answer.joint.row,
            f"{shelf.part} is {sizes['wide']} wide, its groove {sizes['long']} long: notch its ends by "
            f"{sizes['over']}, {sizes['depth']} deep, where the groove stops.",
        )


def _met(answer: JointAnswer, groove: Cavity, found: Sequence[Found]) -> list[Met]:
    """Return what a groove would run into, and from where to where along it.

    Where the maker said on which surfaces, boxes tell; a mortise in an end has its box always. Else the
    mortise counts as in the groove's own line.
    """
    side = SIDES[groove.surface]
    crosswise = answer.joint.lies == "across"
    line = side.across if crosswise else side.along
    met: dict[tuple[int, Span], Met] = {}
    for other, cavity in found:
        if cavity.what in ("groove", "tenon") or not set(cavity.pieces) & set(groove.pieces):
            continue
        if crosswise or cavity.in_end_grain or groove.in_end_grain or not (groove.assumed or cavity.assumed):
            if shared(groove.box, cavity.box):
                met[other.joint.row, cavity.box[line]] = other, cavity.box[line]
        elif cavity.what == "hole" and other.into is not None and other.into.row == cavity.part.row:
            for span in other.spans:  # a row of dowels counts as one
                met[other.joint.row, span] = other, span
        else:
            met[other.joint.row, cavity.box[line]] = other, cavity.box[line]
    return list(met.values())


def _tenon_thinned(
    answer: JointAnswer, groove: Cavity, found: Sequence[Found], shop: Shop, notes: Notes
) -> bool:
    """Say by how much a groove that runs out over the tenons of its own part thins them, and the ways out."""
    if answer.joint.lies == "across" or groove.in_end_grain:
        return False
    part, (start, stop) = groove.part, groove.along
    beyond = max(part.tenons, default=0.0)
    along = (
        start - beyond if start <= SLACK else start,
        stop + beyond if stop >= part.length - SLACK else stop,
    )
    box: Spans = (along, groove.box[1], groove.box[2])
    direction = SIDES[groove.surface].into
    for other, tenon in found:
        overlap = shared(box, tenon.box) if tenon.what == "tenon" else None
        if overlap is None or not set(tenon.pieces) & set(groove.pieces):
            continue
        thinned = overlap[direction]
        size = tenon.box[direction][1] - tenon.box[direction][0]
        sizes = shop.sizes(by=shop.up(thinned), left=max(size - thinned, 0.0), size=size, depth=groove.depth)
        words = {"tenon": other.joint.joint, "part": part.part, **sizes}
        notes.add("tenon-grooved", answer.joint.row, "depth_into", shop.words(groove.depth), **words)
        return True
    return False


def _say_met(
    answer: JointAnswer,
    groove: Cavity,
    plan: GroovePlan,
    met: Sequence[JointAnswer],
    said: set[str],
    shop: Shop,
    notes: Notes,
) -> None:
    """Say what a groove that is to run through meets, and where it would stop."""
    joint, part = answer.joint, groove.part
    spans = listed([f"{shop.words(near)} to {shop.words(far)}" for near, far in plan.runs_into])
    ways = [capital("; ".join(_run_words(run, shop) for run in plan.runs))]
    for other in met:
        rail = other.from_part
        if (
            other.joint.kind == "tenon"
            and isinstance(rail, Part)
            and joint.depth_into < rail.width
            and rail is not part
        ):
            haunch = haunched_tenon(rail.width, joint.depth_into)
            ways.append(
                f"or run it through, and leave a haunch {shop.words(haunch.length)} long and "
                f"{shop.words(haunch.width)} wide on the tenon of {rail.part}, "
                f"{shop.words(haunch.tenon_width)} for the tenon"
            )
            break
    names = listed(list(dict.fromkeys(other.joint.joint for other in met)))
    if f"{part.part} {spans}" not in said:
        said.add(f"{part.part} {spans}")
        words = {"names": names, "spans": spans, "part": part.part, "zero": zero_of(part)}
        notes.add("groove-meets", joint.row, "into", part.part, **words, ways="; ".join(ways) + ".")


def _run_words(run: GrooveRun, shop: Shop) -> str:
    """Say where a groove shows, and where the cutter goes in and comes out."""
    words = f"groove from {shop.words(run.start)} to {shop.words(run.stop)}"
    if run.too_short:
        return f"{words}, which is shorter than the cutter alone cuts: use a smaller cutter or a chisel"
    steps = []
    if run.lower_at > run.start:
        steps.append(f"lower the cutter at {shop.words(run.lower_at)}")
    if run.lift_at < run.stop:
        steps.append(f"lift it at {shop.words(run.lift_at)}")
    return (
        f"{words}: {' and '.join(steps)} (its center), then square the ends with a chisel" if steps else words
    )

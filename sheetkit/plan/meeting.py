"""Joints that share a part: mortises that would meet inside it, grooves that would run into a mortise."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import combinations

from sheetkit.calc.grooves import GroovePlan, GrooveRun, cutter_reach, groove_plan
from sheetkit.calc.joints import haunched_tenon
from sheetkit.calc.mortises import CornerMortises, cheek_walls, corner_mortises, mortise_depth
from sheetkit.plan.notes import capital, listed, ways_out
from sheetkit.plan.sections import is_leg_like, zero_of
from sheetkit.plan.shop import Shop
from sheetkit.records.job import Joint, Part
from sheetkit.records.joinery import Groove, JointAnswer, Span
from sheetkit.records.notes import Notes

MORTISED = ("tenon", "loose tenon", "dowel", "hardware")
MOST_MORTISES = 100
"""Rows of mortises in one part that are compared with one another: more than any part holds."""
SHORTEST_GROOVE = 1.0
"""A stub shorter than this beside a mortise is not worth a groove, common practice [in]."""


def meeting_checks(answers: Sequence[JointAnswer], shop: Shop, notes: Notes) -> list[JointAnswer]:
    """Look at every pair of mortises and every groove of each part; give the answers with their grooves."""
    by_part: dict[int, list[JointAnswer]] = {}
    for answer in answers:
        if answer.into is not None:
            by_part.setdefault(answer.into.row, []).append(answer)
    for members in by_part.values():
        mortises = [answer for answer in members if answer.joint.kind in MORTISED][:MOST_MORTISES]
        for one, other in _pairs(mortises):
            assert one.into is not None
            (_corner if is_leg_like(one.into) else _opposite)(one, other, one.into, shop, notes)
    return [_grooved(answer, by_part, shop, notes) for answer in answers]


def _pairs(mortises: Sequence[JointAnswer]) -> Iterable[tuple[JointAnswer, JointAnswer]]:
    """Give the pairs of joints in one part; a joint pairs with itself when a leg takes two of it."""
    for answer in mortises:
        part = answer.into
        if (
            part is not None
            and is_leg_like(part)
            and answer.joint.qty >= 2 * part.qty
            and answer.joint.kind != "hardware"
        ):
            yield answer, answer
    yield from combinations(mortises, 2)


def _span(answer: JointAnswer) -> Span | None:
    return answer.spans[0] if answer.spans else None


def _corner(one: JointAnswer, other: JointAnswer, part: Part, shop: Shop, notes: Notes) -> None:
    """Say by how much two mortises from adjacent faces of a leg would meet, and the ways out."""
    worst: CornerMortises | None = None
    for a_across, b_across in {(part.thickness, part.width), (part.width, part.thickness)}:
        setback_a = cheek_walls(a_across, one.joint.thickness)[0]
        setback_b = cheek_walls(b_across, other.joint.thickness)[0]
        if setback_a < 0 or setback_b < 0:
            continue
        found = corner_mortises(
            one.joint.depth_into, one.joint.thickness, setback_a,
            other.joint.depth_into, other.joint.thickness, setback_b,
            along_a=_span(one), along_b=_span(other),
        )  # fmt: skip
        if found.meet and (
            worst is None or found.overlap_a + found.overlap_b > worst.overlap_a + worst.overlap_b
        ):
            worst = found
    if worst is None:
        return
    first, second = one.joint, other.joint
    ways = []
    if worst.depth_a > 0:
        ways.append(f"make {first.joint} no deeper than {shop.words(shop.down(worst.depth_a))}")
    if second is not first and worst.depth_b > 0:
        ways.append(f"make {second.joint} no deeper than {shop.words(shop.down(worst.depth_b))}")
    if "dowel" not in (first.kind, second.kind) and "hardware" not in (first.kind, second.kind):
        reach = f"{shop.words(worst.mitred_a)} and {shop.words(worst.mitred_b)}"
        angles = " and ".join(dict.fromkeys(f"{angle:.0f}°" for angle in (worst.mitre_a, worst.mitre_b)))
        ways.append(
            f"keep the depths and mitre the ends of the tenons ({angles}), so that they reach {reach}"
        )
    ways.append("set them at different heights")
    known = bool(one.spans and other.spans)
    level = "" if known or first is second else " (their heights are not given: taken as level)"
    words = {"one": first.joint, "other": "another one like it" if first is second else second.joint, "part": part.part,
             "level": level, "overlap_a": shop.words(worst.overlap_a), "overlap_b": shop.words(worst.overlap_b),
             "ways": ways_out(ways) + " Both are taken as centered in their face."}  # fmt: skip
    _say_twice("mortises-meet", first.row, second.row, shop.words(first.depth_into), notes, words)


def _opposite(one: JointAnswer, other: JointAnswer, part: Part, shop: Shop, notes: Notes) -> None:
    """Say so when two mortises in the edges of a rail or stile would meet from across."""
    if not (one.spans and other.spans) or "hardware" in (one.joint.kind, other.joint.kind):
        return
    if not any(a[0] < b[1] - 1e-9 and b[0] < a[1] - 1e-9 for a in one.spans for b in other.spans):
        return
    member = max(part.width, part.thickness)
    wall = mortise_depth(one.joint.depth_into + other.joint.depth_into, member).wall
    if wall < -1e-9:
        words = {"one": one.joint.joint, "other": other.joint.joint, "part": part.part, "overlap": shop.words(-wall),
                 "room": shop.words(member)}  # fmt: skip
        _say_twice(
            "mortises-opposite",
            one.joint.row,
            other.joint.row,
            shop.words(one.joint.depth_into),
            notes,
            words,
        )


def _say_twice(code: str, first: int, second: int, stands: str, notes: Notes, words: dict[str, str]) -> None:
    """Note one problem at the first row, and say it beside both."""
    notes.add(code, first, "depth_into", stands, **words)
    if second != first:
        notes.remark(second, notes.of(first)[-1])


def _grooved(
    answer: JointAnswer, by_part: dict[int, list[JointAnswer]], shop: Shop, notes: Notes
) -> JointAnswer:
    """Give a groove's row with the grooves that keep clear of the mortises in its part."""
    joint, part = answer.joint, answer.into
    if joint.kind not in ("groove", "stopped groove") or part is None:
        return answer
    stopped = joint.kind == "stopped groove"
    start, stop = 0.0, part.length
    if stopped:
        start = joint.at or 0.0
        stop = start + joint.width if joint.width is not None else part.length - start
        if joint.width is None:
            notes.remark(
                joint.row,
                "Width, the length of the groove, is empty: taken as stopping as far from the other end.",
            )
    if stop > part.length + 1e-9 or stop <= start:
        past_the_end(joint, part, start, stop, shop, notes)
        return answer
    radius = shop.allowances.cutter_radius
    reach = 0.0
    if radius >= joint.depth_into - 1e-9:
        reach = cutter_reach(max(radius, joint.depth_into), joint.depth_into)
    else:
        notes.add("groove-cutter", joint.row, "depth_into", shop.words(joint.depth_into), radius=shop.words(radius),
                  depth=shop.words(joint.depth_into))  # fmt: skip
    mortised = [
        (other, span) for other in by_part[part.row] if other.joint.kind in MORTISED for span in other.spans
    ]
    open_start, open_stop = start <= 1e-9, stop >= part.length - 1e-9
    if any(part.tenons) and (open_start or open_stop):
        notes.remark(
            joint.row,
            f"Measured from the shoulder of {part.part}; the groove runs out over the tenons too: set them in by its "
            f"depth ({shop.words(joint.depth_into)}) where it would thin them.",
        )
    plan = groove_plan(start, stop, [span for _, span in mortised], reach=reach, open_start=open_start,
                       open_stop=open_stop, shortest=SHORTEST_GROOVE)  # fmt: skip
    if plan.runs_into:
        _runs_into(answer, plan, [other for other, span in mortised if span in plan.runs_into], shop, notes)
    elif stopped and reach:
        notes.remark(joint.row, *(capital(f"{_run_words(run, shop)}.") for run in plan.runs))
    grooves = tuple(
        Groove(run.start, run.stop, run.lower_at, run.lift_at, run.too_short) for run in plan.runs
    )
    return replace(answer, grooves=grooves, spans=((start, stop),))


def past_the_end(joint: Joint, part: Part, start: float, stop: float, shop: Shop, notes: Notes) -> None:
    """Note that a mortise or groove lies past the end of its part, or past its shoulder when it has tenons."""
    zero, most = zero_of(part), part.length - (stop - start)
    if stop <= start:
        way = f"Write an At below {shop.words(part.length / 2)}, or fill in Width"
    elif most < 0:
        way = f"Write a Width of {shop.words(shop.down(part.length))} or less"
    else:
        way = f"Write an At of {shop.words(shop.down(most))} or less" + (
            ", or less in Width" if stop > start else ""
        )
    counts = (
        "At counts from the shoulder, tenons not included"
        if zero == "shoulder"
        else "At counts from the reference end"
    )
    notes.add("past-the-end", joint.row, "at", shop.words(joint.at or 0.0), part=part.part, zero=zero,
              start=shop.words(start), stop=shop.words(stop), length=shop.words(part.length), ways=f"{way}. {counts}.")  # fmt: skip


def _runs_into(
    answer: JointAnswer, plan: GroovePlan, met: Sequence[JointAnswer], shop: Shop, notes: Notes
) -> None:
    joint, part = answer.joint, answer.into
    assert part is not None
    spans = listed([f"{shop.words(near)} to {shop.words(far)}" for near, far in plan.runs_into])
    ways = [capital("; ".join(_run_words(run, shop) for run in plan.runs))] if plan.runs else []
    for other in met:
        rail = other.from_part
        if other.joint.kind == "tenon" and isinstance(rail, Part) and joint.depth_into < rail.width:
            haunch = haunched_tenon(rail.width, joint.depth_into)
            ways.append(f"or run it through, and leave a haunch {shop.words(haunch.length)} long and "
                        f"{shop.words(haunch.width)} wide on the tenon of {rail.part}, {shop.words(haunch.tenon_width)} for the tenon")  # fmt: skip
            break
    names = listed(list(dict.fromkeys(other.joint.joint for other in met)))
    if not plan.runs:
        notes.add("groove-no-room", joint.row, "into", joint.into, part=part.part)
        return
    notes.add("groove-meets", joint.row, "into", joint.into, names=names, spans=spans, part=part.part,
              zero=zero_of(part), ways="; ".join(ways) + ".")  # fmt: skip


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

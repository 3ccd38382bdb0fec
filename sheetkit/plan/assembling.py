"""Putting together: sanding, dry assembly, coats before and after, the assembly, what is fitted last."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from sheetkit.plan.finishing import usual_grits
from sheetkit.plan.joint_cuts import joint_ends
from sheetkit.plan.machining import sessions, spreads
from sheetkit.plan.notes import Names, name_key
from sheetkit.plan.rough_cut import pieces_of
from sheetkit.plan.shop import Shop
from sheetkit.plan.tops import WIDE, top_moves
from sheetkit.records.answers import Answers
from sheetkit.records.job import Extra, Part
from sheetkit.records.joinery import FinishAnswer, GlueUpAnswer, JointAnswer, RunAnswer, day_of
from sheetkit.records.wood import PanelAnswer
from sheetkit.records.work import (
    Coat,
    DryAssembly,
    DryFit,
    Fitting,
    Line,
    LoosePart,
    Opening,
    Pieces,
    PlainAssembly,
    Ready,
    Sanding,
    TopFixing,
)

FITTED = ("tenon", "loose tenon", "dowel")
"""Kinds of joint that are tried dry."""
MOST_COATS = 9
"""Coats of one row that get a line each; more are told in one."""


def sanding(answers: Answers, assembled: bool) -> tuple[Sanding, ...]:
    """Return the sanding of parts before they are put together: as Finish says, else that it is done."""
    counts = Counter[str]()
    for found in answers.parts:
        counts[found.part.part] += found.part.qty
    told = [
        Sanding(pieces_of(Counter({name: counts[name] for name in on})), answer.step.grit, answer.step.step)
        for answer in answers.finish
        if not answer.step.product and (on := [name for name in answer.early if name in counts])
    ]
    if told:
        return tuple(told)
    product = next((answer.step.product for answer in answers.finish if answer.step.product), "")
    if not assembled and not product:
        return ()
    return (Sanding((), usual_grits(product) if product else ""),)


def opening(found: PanelAnswer) -> Opening:
    """Return the opening of a panel, as it was measured if it was."""
    panel = found.panel
    size = panel.measured_width, panel.measured_height
    known = (size[0], size[1]) if size[0] is not None and size[1] is not None else None
    return Opening(panel.panel, panel.qty, known)


def dry_assembly(answers: Answers) -> tuple[Line, ...]:
    """Return what is tried dry: joints, then runs, then the whole."""
    fits = [DryFit(each, *joint_ends(each)) for each in answers.joints if each.joint.kind in FITTED]
    fits += [DryFit(each, *joint_ends(each), part.qty) for each in answers.joints if (part := _held(each))]
    later = {id(run) for run in loose_runs(answers).values()}
    runs = [each for each in answers.runs if each.gaps and id(each) not in later and _stands(each, answers)]
    return (*fits, *runs, DryAssembly(frame=bool(answers.panels)))


def _held(found: JointAnswer) -> Part | None:
    """Return the part that a groove or recesses of a run hold, None when it says when it goes in."""
    part, kind = found.from_part, found.joint.kind
    holds = "groove" in kind or (kind == "hardware" and found.at_run)
    return part if holds and isinstance(part, Part) and not part.when else None


def _stands(run: RunAnswer, answers: Answers) -> bool:
    """Return whether a run's members are pieces: not when nothing is at its places but hardware."""
    kinds = {each.joint.kind for each in answers.joints if name_key(each.at_run) == name_key(run.run.run)}
    return run.part is not None or kinds != {"hardware"}


def coats_before(answers: Answers) -> tuple[Line, ...]:
    """Return the coats before the assembly, day by day: on panels apart, or on all that a row names."""
    panels = Counter[str]()
    for found in answers.panels:
        panels[found.panel.panel] += found.panel.qty
    lines: list[Coat] = []
    for answer in answers.finish:
        on = [name for name in answer.early if name in panels]
        sanded = not answer.step.product and not on  # stands in the step of sanding
        if not answer.early or sanded:
            continue
        apart = answer.step.when != "before assembly" or not answer.step.product
        shown = pieces_of(Counter({name: panels[name] for name in on})) if apart else ()
        starts = answer.early_starts if answer.late else answer.starts
        every = apart and len(on) == len(panels)
        lines += _coats(answer, starts, Coat(answer, 0, panels=shown, every_panel=every))
    last = max((_early_ready(line.answer) for line in lines), default=0.0)
    return (*_by_day(lines), *([Ready(day_of(last), delivery=False)] if lines else []))


def coats_after(answers: Answers) -> tuple[Line, ...]:
    """Return the coats after the assembly, day by day, and the earliest day of delivery."""
    lines: list[Coat] = []
    for answer in (each for each in answers.finish if each.late):
        told = bool(answer.early and answer.step.product)
        lines += _coats(answer, answer.starts, Coat(answer, 0, amount=not told))
    last = max((each.ready for each in answers.finish), default=0.0)
    return (*_by_day(lines), *([Ready(day_of(last), delivery=True)] if lines else []))


def _early_ready(answer: FinishAnswer) -> float:
    return answer.ready if answer.early_ready is None else answer.early_ready


def _coats(answer: FinishAnswer, starts: Sequence[float], like: Coat) -> list[Coat]:
    days = [day_of(start) for start in starts]
    of = len(days)
    if of > MOST_COATS:
        return [Coat(answer, days[0], 0, of, like.panels, like.every_panel, like.amount)]
    return [
        Coat(answer, day, number, of, like.panels, like.every_panel, like.amount and number == 1)
        for number, day in enumerate(days, 1)
    ]


def _by_day(lines: Sequence[Coat]) -> list[Coat]:
    return sorted(lines, key=lambda line: line.day)


def assembly(
    answers: Answers, glue_ups: Sequence[GlueUpAnswer], tops: Sequence[TopFixing]
) -> tuple[Line, ...]:
    """Return the assembly in the goes that it takes, with what is put in and fitted before and after it."""
    before = _put_in(answers, ("before assembly",), tops)
    after = _put_in(answers, ("after assembly",), tops)
    goes = sessions(glue_ups) or (PlainAssembly(frame=bool(answers.panels)),)
    return (*before, *spreads(glue_ups), *goes, *after)


def fittings(answers: Answers, tops: Sequence[TopFixing]) -> tuple[Line, ...]:
    """Return the parts that no joint holds, then the hardware and bought parts fitted after the finish."""
    return _put_in(answers, ("", "after finish"), tops)


def _put_in(answers: Answers, when: Sequence[str], tops: Sequence[TopFixing]) -> tuple[Line, ...]:
    """Return the parts, then the hardware and bought parts, put in then; but for tops and what fixes them."""
    on_tops = {extra.row for top in tops for extra in top.fasteners}
    names = {top.part for top in tops}
    loose = [line for line in loose_parts(answers, when) if line.pieces.name not in names]
    extras = [extra for extra in answers.job.extras if extra.when in when and extra.row not in on_tops]
    return (*loose, *map(Fitting, extras))


def loose_parts(answers: Answers, when: Sequence[str]) -> list[LoosePart]:
    """Return the parts that the maker puts in then; where he says nothing, those that no joint holds."""
    held, runs = held_by_joints(answers), loose_runs(answers)
    found = []
    for part, pounds in ((each.part, each.weight) for each in answers.parts):
        key = name_key(part.part)
        undecided = not part.when and bool(held) and key not in held
        if part.when in when and (part.when or undecided):
            run, along = runs.get(key), part.when == "at delivery"
            found.append(LoosePart(Pieces(part.part, part.qty), run, along, undecided, pounds))
    return found


def loose_runs(answers: Answers) -> dict[str, RunAnswer]:
    """Return the runs whose members are a part that no joint holds, or bear its name, one or many."""
    held = held_by_joints(answers)
    laid = [each for each in answers.runs if each.gaps]
    runs = {name_key(each.run.run): each for each in laid}
    members = {name_key(each.part.part): each for each in laid if each.part is not None}
    keys = [key for each in answers.parts if (key := name_key(each.part.part)) not in held] if held else []
    return {key: run for key in keys if (run := members.get(key) or runs.get(key) or runs.get(f"{key}s"))}


def held_by_joints(answers: Answers) -> set[str]:
    """Return the names of the parts that a joint holds, as they are compared; none when none are named."""
    return {
        name_key(part.part)
        for each in answers.joints
        for part in (each.into, each.from_part, *(cavity.part for cavity in each.cavities))
        if isinstance(part, Part)
    }


def tops(answers: Answers, shop: Shop) -> tuple[TopFixing, ...]:
    """Return the wide parts that no joint holds to the rest, and what fixes them."""
    held, names = held_by_joints(answers), Names(answers.job)
    fitted: dict[str, list[Extra]] = {}
    for extra in answers.job.extras:
        if extra.when not in ("before assembly", "at delivery"):
            for key in names.listed(extra.fit_to)[0]:
                fitted.setdefault(key, []).append(extra)
    found = []
    for part in (each.part for each in answers.parts):
        key = name_key(part.part)
        if part.when == "at delivery":
            continue  # it lies loose
        moves = top_moves(part, shop)
        free = key not in held or _apart(part, answers)
        if moves is not None and free and (held or key in fitted) and len(answers.parts) > 1:
            found.append(TopFixing(part.part, moves, tuple(fitted.get(key, ()))))
    return tuple(found)


def _apart(top: Part, answers: Answers) -> bool:
    """Return whether joints hold only narrow parts of its own to a wide part, as battens or end cleats."""
    own: dict[str, Part] = {}
    others: set[str] = set()
    for each in answers.joints:
        takers = [part for part in (each.into, *(hole.part for hole in each.cavities)) if part is not None]
        entering = [each.from_part] if isinstance(each.from_part, Part) else []
        ends = {name_key(part.part): part for part in (*takers, *entering)}
        if name_key(top.part) not in ends:
            others |= set(ends)
        elif not entering or (each.joint.kind in FITTED and top not in entering):
            return False  # hardware, a panel, or a member that stands in it as a leg in a seat
        else:
            own |= ends
    mates = [part for part in own.values() if part.part != top.part]
    narrow = all(part.width < WIDE for part in mates)
    return top.qty == 1 and bool(mates) and bool(others) and narrow and others.isdisjoint(own)

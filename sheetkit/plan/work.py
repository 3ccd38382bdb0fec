"""The work, step by step: what is done in what order, with which setting, to which pieces."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from sheetkit.calc.lifting import hands
from sheetkit.plan import assembling, machining, rough_cut
from sheetkit.plan.delivery import delivery
from sheetkit.plan.joint_cuts import joint_cuts
from sheetkit.plan.milling import milled
from sheetkit.plan.shop import Shop
from sheetkit.records.answers import Answers
from sheetkit.records.joinery import GlueUpAnswer
from sheetkit.records.tasks import Caution, Task
from sheetkit.records.wood import Small
from sheetkit.records.work import (
    Carried,
    Cutting,
    FromBoard,
    JointCut,
    Line,
    Noted,
    PanelToSize,
    Resaw,
    RoughCut,
    Setting,
    Step,
)

MACHINES = {
    Task.ROUGH_CUT: "saw",
    Task.RESAW: "band saw, tall fence",
    Task.PLANE: "jointer, then planer",
    Task.JOINT_EDGES: "table saw, then jointer",
    Task.PLANE_GLUED: "planer",
    Task.WIDTH: "table saw, fence",
    Task.ROUND_OVER_LONG: "router",
    Task.LENGTH: "crosscut sled or miter gauge, stop block",
    Task.ROUND_OVER: "router",
}
"""The machine that a step stands at."""
_CAUTIONS = {
    Task.ROUGH_CUT: (Caution.PINCH,),
    Task.RESAW: (Caution.RESAW,),
    Task.PLANE: (Caution.PLANE,),
    Task.JOINT_EDGES: (Caution.RIP,),
    Task.GLUE_UP: (Caution.GLUE,),
    Task.PLANE_GLUED: (Caution.PLANE,),
    Task.WIDTH: (Caution.RIP,),
    Task.ROUND_OVER_LONG: (Caution.ROUTER,),
    Task.LENGTH: (Caution.CROSSCUT,),
    Task.ROUND_OVER: (Caution.ROUTER,),
    Task.SAND: (Caution.DUST,),
    Task.PANELS: (Caution.RIP,),
    Task.ASSEMBLY: (Caution.GLUE,),
}
"""What is always to be minded in a step."""


def work(answers: Answers) -> tuple[Step, ...]:
    """Return the steps of the work in their order; one in which nothing is done is left out."""
    shop = Shop(answers.job)
    pieces, lengths = milled(answers), machining.lengths_of(answers)
    glue = {
        glues: [each for each in answers.glue_ups if each.glues == glues]
        for glues in ("blanks", "panels", "assembly")
    }
    first = glue["blanks"]
    later: list[GlueUpAnswer] = []
    measured = {each.panel.panel for each in answers.panels if each.measured}
    for each in glue["panels"]:
        now = (
            each.of in measured if each.of else len(measured) == len({p.panel.panel for p in answers.panels})
        )
        (first if now else later).append(each)
    tops = assembling.tops(answers, shop)
    loads = delivery(answers)
    before = assembling.coats_before(answers)
    assembled = bool(answers.panels or answers.joints or glue["assembly"])
    assembled |= sum(found.part.qty for found in answers.parts) > 1
    put_in = [part.when for part in answers.job.parts] + [extra.when for extra in answers.job.extras]
    assembled |= any(when.endswith(" assembly") for when in put_in)
    waiting = tuple(found.panel.panel for found in answers.panels if not found.measured)
    steps = [
        Step(Task.CHECK, tuple(each for each in answers.loads if not each.passes)),
        Step(Task.BUY, rough_cut.to_buy(answers)),
        Step(Task.ROUGH_CUT, rough_cut.rough_cut(answers), waiting=waiting),
        Step(Task.RESAW, rough_cut.resawn(pieces, answers)),
        Step(Task.PLANE, machining.planed(pieces, answers, lengths)),
        Step(Task.JOINT_EDGES, machining.jointed(pieces, lengths)),
        Step(Task.GLUE_UP, machining.glued(pieces, first)),
        Step(Task.PLANE_GLUED, machining.planed_glued(pieces, answers, lengths)),
        Step(Task.WIDTH, machining.ripped(answers, lengths)),
        Step(Task.ROUND_OVER_LONG, machining.rounded_over(answers, lengths, long=True)),
        Step(Task.LENGTH, machining.crosscut(answers, lengths)),
        Step(
            Task.JOINTS, (*joint_cuts(answers.joints, lengths, answers.job.sheet.step), *answers.tenon_stock)
        ),
        Step(Task.SHAPES, answers.shapes),
        Step(Task.ROUND_OVER, machining.rounded_over(answers, lengths, long=False)),
        Step(Task.SAND, assembling.sanding(answers, assembled)),
        Step(Task.DRY_ASSEMBLY, assembling.dry_assembly(answers) if assembled else ()),
        Step(Task.MEASURE, tuple(map(assembling.opening, answers.panels))),
        Step(
            Task.PANELS,
            (
                *(PanelToSize(each) for each in answers.panels),
                *machining.spreads(later),
                *machining.sessions(later),
            ),
        ),
        Step(Task.FINISH_BEFORE, before),
        Step(Task.ASSEMBLY, assembling.assembly(answers, glue["assembly"], tops) if assembled else ()),
        Step(
            Task.FINISH_AFTER,
            assembling.coats_after(answers),
            told_before=any(each.early and each.late and each.step.product for each in answers.finish),
        ),
        Step(Task.FIT, assembling.fittings(answers, tops)),
        Step(Task.TOP, tops),
        Step(Task.DELIVERY, loads),
    ]
    told = _told(step for step in steps if step.lines)
    heaviest = max((each.pounds for each in loads if isinstance(each, Carried)), default=None)
    return tuple(_minded(step, answers, heaviest) for step in _with_notes(told, answers))


def _told(steps: Iterable[Step]) -> list[Step]:
    return [replace(step, machine=MACHINES.get(step.task, "")) for step in steps]


def _minded(step: Step, answers: Answers, heaviest: float | None) -> Step:
    """Return a step with its cautions, and how many people lift the heaviest thing carried in one piece."""
    found = [*_CAUTIONS.get(step.task, ()), *_by_lines(step, answers)]
    if step.task in (Task.ASSEMBLY, Task.TOP) and heaviest is not None:
        people = hands(heaviest)
        if people > 1 or step.task is Task.TOP:
            found.append(Caution.TURN if step.task is Task.TOP else Caution.HEAVY)
        step = replace(step, weight=heaviest, hands=people)
    return replace(step, cautions=tuple(dict.fromkeys(found)))


def _by_lines(step: Step, answers: Answers) -> Iterable[Caution]:
    """Return what is to be minded of the lines that are there."""
    allowances, parts = answers.job.allowances, answers.parts
    thin = any(Small.CARRIER in each.small for each in answers.wholes)
    if step.task in (Task.PLANE, Task.PLANE_GLUED) and thin:
        yield Caution.THIN
    slim = [each.part for each in parts if machining.is_narrow(each.part, each.blanks, allowances.narrowest)]
    narrow = any(part.round_over for part in slim)
    if step.task is Task.WIDTH and slim:
        yield Caution.NARROW
    if step.task is Task.WIDTH and narrow:
        yield Caution.ROUTER
    if step.task is Task.ROUND_OVER_LONG or (step.task is Task.WIDTH and narrow):
        yield Caution.SMALL_AT_ROUTER
    if step.task is Task.JOINTS:
        yield from _of_joints([line for line in step.lines if isinstance(line, JointCut)])
        if answers.tenon_stock:
            yield Caution.SHORT
    if step.task is Task.PANELS and any(each.panel.is_thinned for each in answers.panels):
        yield Caution.ROUTER
    if step.task is Task.SHAPES:
        yield from _of_shapes(" ".join(each.shape.kind for each in answers.shapes))


def _of_shapes(kinds: str) -> Iterable[Caution]:
    if "taper" in kinds:
        yield Caution.TAPER
    if "arc" in kinds or "strip" in kinds:
        yield Caution.CURVE


def _of_joints(cuts: Sequence[JointCut]) -> Iterable[Caution]:
    routed = (Cutting.MORTISE, Cutting.GROOVE, Cutting.RECESS)
    if any(cut.cutting in routed for cut in cuts):
        yield Caution.ROUTER
    if any(cut.stopped or cut.cutting in (Cutting.MORTISE, Cutting.RECESS) for cut in cuts):
        yield Caution.LOWER
    if any(cut.cutting is Cutting.HOLE for cut in cuts):
        yield Caution.BORE


def _with_notes(steps: Sequence[Step], answers: Answers) -> list[Step]:
    """Return the steps with the maker's notes below the line in which their thing first appears."""
    notes = _notes(answers)
    found = []
    for step in steps:
        lines: list[Line] = []
        for line in step.lines:
            lines.append(line)
            lines += [Noted(name, notes.pop(name)) for name in _named(line) if name in notes]
        found.append(replace(step, lines=tuple(lines)))
    return found


def _notes(answers: Answers) -> dict[str, str]:
    """Return the notes of parts, panels, joints and boards by name, those of like names together."""
    job = answers.job
    rows = [
        *((each.part, each.note) for each in job.parts),
        *((each.panel, each.note) for each in job.panels),
        *((each.joint, each.note) for each in job.joints),
        *((f"board {each.board}", each.note) for each in job.boards),
    ]
    found: dict[str, dict[str, None]] = {}
    for name, note in rows:
        if note:
            found.setdefault(name, {})[note] = None
    return {name: "; ".join(texts) for name, texts in found.items()}


def _named(line: Line) -> list[str]:
    """Return what a line names: its board, parts and panels, or joints."""
    if isinstance(line, JointCut):
        return [name for place in line.places for name in (place.part, place.joint)]
    if isinstance(line, PanelToSize):
        return [line.answer.panel.panel]
    if not isinstance(line, RoughCut | FromBoard | Setting | Resaw):
        return []
    board = [f"board {line.board}"] if isinstance(line, FromBoard) else []
    return [*board, *(each.name for each in line.pieces)]

"""The work, step by step: what is done in what order, with which setting, to which pieces."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from itertools import groupby

from sheetkit.plan.joint_cuts import joint_cuts, joint_ends
from sheetkit.plan.milling import Milled, as_cut, milled
from sheetkit.records.answers import Answers
from sheetkit.records.wood import Blank
from sheetkit.records.work import (
    Coat,
    DryAssembly,
    DryFit,
    FromBoard,
    Glued,
    GlueSession,
    Line,
    Opening,
    PanelToSize,
    Pieces,
    PlainAssembly,
    RoughCut,
    Setting,
    Step,
    Task,
)

FITTED = ("tenon", "loose tenon", "dowel")
"""Kinds of joint that are tried dry."""
_Settings = defaultdict[tuple[float, tuple[str, ...]], Counter[str]]
"""Size that a machine is set to and what to note of it -> pieces by name."""


def work(answers: Answers) -> tuple[Step, ...]:
    """Give the steps of the work in their order; one in which nothing is done is left out."""
    pieces = milled(answers)
    glue = {glues: _glue_sessions(answers, glues) for glues in ("blanks", "panels", "assembly")}
    if all(found.measured for found in answers.panels):
        glue["blanks"], glue["panels"] = (*glue["blanks"], *glue["panels"]), ()
    before, after = _coats(answers)
    assembled = bool(answers.panels or answers.joints or glue["assembly"])
    assembled |= sum(found.part.qty for found in answers.parts) > 1
    steps = [
        Step(Task.CHECK, tuple(each for each in answers.loads if not each.passes)),
        _rough_cut(answers),
        Step(Task.PLANE, _planed(pieces)),
        Step(Task.JOINT_EDGES, _jointed(pieces)),
        Step(Task.GLUE_BLANKS, (*_glued(pieces), *glue["blanks"])),
        Step(Task.PLANE_GLUED, _planed_glued(pieces)),
        Step(Task.WIDTH, _ripped(answers)),
        Step(Task.LENGTH, _crosscut(answers)),
        _joints_and_shapes(answers),
        Step(Task.ROUND_OVER, _rounded_over(answers)),
        Step(Task.DRY_ASSEMBLY, _dry_assembly(answers) if assembled else ()),
        Step(Task.PANELS, (*(PanelToSize(each) for each in answers.panels), *glue["panels"])),
        Step(Task.FINISH_BEFORE, before),
        Step(Task.ASSEMBLY, _assembly(answers, glue["assembly"]) if assembled else ()),
        Step(Task.FINISH_AFTER, after, told_before=any(not each.whole for each in before)),
    ]
    return tuple(step for step in steps if step.lines)


def _pieces(counts: Counter[str]) -> tuple[Pieces, ...]:
    return tuple(Pieces(name, count) for name, count in counts.items())


def _settings(settings: _Settings) -> tuple[Setting, ...]:
    """Give the settings of a machine, the largest first."""
    found = sorted(settings.items(), key=lambda each: (-each[0][0], each[0][1]))
    return tuple(Setting(size, _pieces(of), notes) for (size, notes), of in found)


def _noted(*notes: str) -> tuple[str, ...]:
    return tuple(filter(None, notes))


def _rough_cut(answers: Answers) -> Step:
    """Give the rough pieces by species and stock, the long and wide first, then what comes from each board."""
    cut = [
        piece
        for whole in answers.wholes
        for blank in whole.blanks
        if not blank.provisional
        for piece in as_cut(blank, whole)
    ]
    cut.sort(key=lambda blank: (blank.species.name, blank.stock.nominal, -blank.length, -blank.width))
    lines: list[Line] = []
    for (species, stock, length, width), alike in groupby(
        cut, key=lambda blank: (blank.species.name, blank.stock.name, blank.length, blank.width)
    ):
        members: Counter[str] = Counter()
        notes: dict[str, None] = {}
        for blank in alike:
            members[blank.of] += blank.count
            notes.update(dict.fromkeys(_blank_notes(blank)))
        lines.append(RoughCut(species, stock, length, width, _pieces(members), tuple(notes)))
    for laid in answers.layouts:
        for board in laid.layout.boards:
            members = Counter(laid.blanks[int(placed.piece)].of for placed in board.placed)
            lines.append(FromBoard(laid.species.name, laid.stock.name, board.board.id, _pieces(members)))
    waiting = tuple(found.panel.panel for found in answers.panels if not found.measured)
    return Step(Task.ROUGH_CUT, tuple(lines), waiting)


def _blank_notes(blank: Blank) -> tuple[str, ...]:
    held = blank.along * blank.across
    matched = blank.together and blank.of != blank.together
    return _noted(
        f"makes {held}: mill long, then cut" if held > 1 else "",
        f"flatten, then resaw into {blank.layers}" if blank.layers > 1 else "",
        f"{blank.together}: {blank.how}" if matched else "",
    )


def _planed(pieces: Sequence[Milled]) -> tuple[Setting, ...]:
    settings: _Settings = defaultdict(Counter)
    for each in pieces:
        notes = _noted(each.species, each.glued and f"{each.glued} for gluing")
        settings[each.planed, notes][each.name] += each.pieces
    return _settings(settings)


def _jointed(pieces: Sequence[Milled]) -> tuple[Setting, ...]:
    """Give how staves and leaves are ripped; plies are glued as wide as they were cut."""
    settings: _Settings = defaultdict(Counter)
    for each in pieces:
        for width in (width for widths in each.glue_ups if each.glued != "plies" for width in widths):
            settings[width, ("joint the edges",)][each.name] += 1
    return _settings(settings)


def _glued(pieces: Sequence[Milled]) -> tuple[Glued, ...]:
    wholes: defaultdict[tuple[int, str, tuple[float, ...], tuple[str, ...]], Counter[str]]
    wholes = defaultdict(Counter)
    for each in pieces:
        for widths in (widths for widths in each.glue_ups if len(widths) > 1):
            unlike = widths if len(set(widths)) > 1 else ()
            notes = _noted("opened like a book" if each.matched else "")
            wholes[len(widths), each.glued, unlike, notes][each.name] += 1
    return tuple(
        Glued(count, what, _pieces(of), widths, notes) for (count, what, widths, notes), of in wholes.items()
    )


def _planed_glued(pieces: Sequence[Milled]) -> tuple[Setting, ...]:
    settings: _Settings = defaultdict(Counter)
    for each in (each for each in pieces if each.glued):
        settings[each.thickness, _noted(each.species)][each.name] += each.qty
    return _settings(settings)


def _ripped(answers: Answers) -> tuple[Setting, ...]:
    settings: _Settings = defaultdict(Counter)
    for part, blanks in ((found.part, found.blanks) for found in answers.parts):
        wide = any(blank.across > 1 for blank in blanks)
        notes = _noted("from the wide blank" if wide else "", "with the curve's rise" if part.rise else "")
        settings[part.width + part.rise, notes][part.part] += part.qty
    return _settings(settings)


def _crosscut(answers: Answers) -> tuple[Setting, ...]:
    settings: _Settings = defaultdict(Counter)
    for part, blanks in ((found.part, found.blanks) for found in answers.parts):
        long = any(blank.along > 1 for blank in blanks)
        notes = _noted("tenons included" if part.tenons else "", "from the long blank" if long else "")
        settings[part.length + sum(part.tenons), notes][part.part] += part.qty
    return _settings(settings)


def _joints_and_shapes(answers: Answers) -> Step:
    task = Task.JOINTS_AND_SHAPES if answers.shapes else Task.JOINTS
    if not answers.joints:
        task = Task.SHAPES
    return Step(task, (*joint_cuts(answers.joints), *answers.tenon_stock, *answers.shapes))


def _rounded_over(answers: Answers) -> tuple[Setting, ...]:
    settings: _Settings = defaultdict(Counter)
    for part in (found.part for found in answers.parts if found.part.round_over):
        settings[part.round_over, ()][part.part] += part.qty
    return _settings(settings)


def _dry_assembly(answers: Answers) -> tuple[Line, ...]:
    fits = [DryFit(each, *joint_ends(each)) for each in answers.joints if each.joint.kind in FITTED]
    runs = [each for each in answers.runs if each.gaps]
    openings = [Opening(found.panel.panel, found.panel.qty) for found in answers.panels]
    return (*fits, *runs, DryAssembly(frame=bool(answers.panels)), *openings)


def _glue_sessions(answers: Answers, glues: str) -> tuple[GlueSession, ...]:
    """Give the glue-ups of blanks, of panels or of the assembly, each split where it must be."""
    sessions: list[GlueSession] = []
    for answer in (each for each in answers.glue_ups if each.glues == glues):
        parts = answer.steps if len(answer.steps) > 1 else (answer.glue_up.joints,)
        sessions += [
            GlueSession(answer, joints, number, len(parts)) for number, joints in enumerate(parts, 1)
        ]
    return tuple(sessions)


def _assembly(answers: Answers, sessions: Iterable[GlueSession]) -> tuple[Line, ...]:
    return tuple(sessions) or (PlainAssembly(frame=bool(answers.panels)),)


def _coats(answers: Answers) -> tuple[tuple[Coat, ...], tuple[Coat, ...]]:
    """Give the coats before and after assembly: as Finish says, else the panels' own before, the rest after."""
    panels = sum((Counter({each.panel.panel: each.panel.qty}) for each in answers.panels), Counter[str]())
    before: list[Coat] = []
    after: list[Coat] = []
    told: set[str] = set()
    for answer in answers.finish:
        when = answer.step.when
        on = Counter({name: panels[name] for name in answer.names if name in panels})
        early = when == "before assembly" or (not when and bool(on))
        if early:
            apart = not when
            cautions = tuple(words for words in answer.cautions if words not in told)
            told.update(answer.cautions)
            before.append(
                Coat(
                    answer,
                    _pieces(on) if apart else (),
                    apart and len(on) == len(panels),
                    not apart or len(on) == len(answer.names),
                    cautions,
                )
            )
        if not early or not before[-1].whole:
            after.append(Coat(answer, cautions=answer.cautions))
    return tuple(before), tuple(after)

"""Lines of the shop sheet in words: how many, the setting, what it is done to, what to mind."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from sheetkit.records.joinery import GlueUpAnswer, LoadAnswer, RunAnswer, ShapeAnswer, TenonMilling
from sheetkit.records.tasks import Task
from sheetkit.records.work import (
    Carried,
    Coat,
    Cutting,
    DryAssembly,
    DryFit,
    Fitting,
    FromBoard,
    Glued,
    GlueSession,
    InHand,
    JointCut,
    Line,
    LoosePart,
    PanelToSize,
    Pieces,
    PlainAssembly,
    Resaw,
    RoughCut,
    Sanding,
    Setting,
    ToBuy,
    TopFixing,
)
from sheetkit.tabs.draft import Measure
from sheetkit.units import rounded_down, rounded_up

MOST_NAMES = 24
"""Names on one line; a line must stay readable at arm's length."""
NO_GLUE_UP = "for adhesive, clamps and minutes add a row on Glue-ups"
SETTING_WORDS = {
    Task.PLANE: "plane to",
    Task.JOINT_EDGES: "rip to",
    Task.PLANE_GLUED: "plane to",
    Task.WIDTH: "rip to",
    Task.ROUND_OVER_LONG: "radius",
    Task.LENGTH: "cut to",
    Task.ROUND_OVER: "radius",
}
"""What a machine's setting is called in each step that has one."""


@dataclass(frozen=True, slots=True)
class ShopLine:
    """One line to tick: how many, the machine setting, what it is done to, what to mind."""

    qty: int | None
    setting: str
    what: str
    note: str
    cautions: tuple[str, ...] = ()
    """What the maker's own choice of product asks for, beside what is always to be minded."""


def shop_line(line: Line, task: Task, measure: Measure) -> ShopLine:
    """Return a line of the work in words."""
    if isinstance(line, Setting):
        setting = f"{SETTING_WORDS[task]} {measure.words(line.size)}"
        return ShopLine(_count(line.pieces), setting, names(line.pieces), "; ".join(line.notes))
    return _WORDS[type(line)](line, measure)


def names(pieces: Sequence[Pieces]) -> str:
    """Name pieces with their numbers, so many as a line holds."""
    words = [f"{each.name} ({each.count})" for each in pieces]
    more = len(words) - MOST_NAMES
    return ", ".join(words[:MOST_NAMES]) + (f", and {more} more: see Rough sizes" if more > 0 else "")


def _count(pieces: Sequence[Pieces]) -> int:
    return sum(each.count for each in pieces)


def counted(count: int, what: str) -> str:
    """Write a number of things."""
    return f"{count} {what}" if count == 1 else f"{count} {what}{'es' if what.endswith('s') else 's'}"


def _people(count: int) -> str:
    return "1 person" if count == 1 else f"{count} people"


def _look(answer: LoadAnswer, measure: Measure) -> ShopLine:
    return ShopLine(None, answer.load.member, answer.remarks[0] if answer.remarks else "", "")


def _to_buy(line: ToBuy, measure: Measure) -> ShopLine:
    wood = f"{line.species}, {line.stock}"
    if not line.boards:
        volume = f"{measure.volume(line.volume):.{3 if measure.in_m3 else 1}f} {measure.volume_word}"
        return ShopLine(None, volume, wood, "least sizes: see To buy")
    sizes = "; ".join(
        f"{count}, at least {measure.words(width)} wide, {measure.words(length)} long"
        for count, width, length in line.boards
    )
    return ShopLine(sum(count for count, *_ in line.boards), "boards the rack has not", wood, sizes)


def _in_hand(line: InHand, measure: Measure) -> ShopLine:
    items = ", ".join(f"{item} ({qty:g})" for item, qty in line.items[:MOST_NAMES])
    more = len(line.items) - MOST_NAMES
    items += f", and {more} more: see Extras" if more > 0 else ""
    return ShopLine(None, "have in hand", items, "before wood is cut for them")


def _rough(line: RoughCut, measure: Measure) -> ShopLine:
    setting = f"{measure.words(line.length)} long, {measure.words(line.width)} wide"
    return ShopLine(_count(line.pieces), setting, names(line.pieces), "; ".join(line.notes))


def _from_board(line: FromBoard, measure: Measure) -> ShopLine:
    kept = f"keep whole what is for {', '.join(line.kept_back)}" if line.kept_back else ""
    what = names(line.pieces) or "nothing yet"
    return ShopLine(_count(line.pieces) or None, f"board {line.board}", what, kept)


def _resaw(line: Resaw, measure: Measure) -> ShopLine:
    flat = measure.words(rounded_up(line.flat, measure.finest))
    notes = [f"blank flat on both faces, at least {flat} thick: {line.leaves} leaves"]
    if line.left > 0:
        notes.append(f"glued as sawn, the last {measure.words(line.left)} planed off after")
    if line.matched:
        notes.append("mark the face first, keep the leaves in order")
    setting = f"saw leaves {measure.words(line.size)}"
    return ShopLine(_count(line.pieces), setting, names(line.pieces), "; ".join(notes))


def _glued(line: Glued, measure: Measure) -> ShopLine:
    way = "face to face" if line.what == "plies" else "edge to edge"
    sizes = " + ".join(map(measure.words, line.widths))
    more = _session(line.session, measure) if line.session else []
    note = "; ".join(filter(None, (sizes, *line.notes, *more)))
    cautions = _glue_caution(line.session.answer) if line.session else ()
    what = names(line.wholes)
    if line.session and line.session.of > 1:
        what = f"{what}: {_go(line.session)}"
    return ShopLine(_count(line.wholes), f"{line.count} {line.what}, {way}", what, note, cautions)


_CUT = {
    Cutting.MORTISE: "mortise {thick} wide, {reach} deep",
    Cutting.HOLE: "bore {thick}, {reach} deep",
    Cutting.GROOVE: "groove {thick} wide, {reach} deep",
    Cutting.RECESS: "rout {thick} wide, {reach} deep",
    Cutting.TENON: "tenon {thick} thick, {reach} long",
}


def _joint(line: JointCut, measure: Measure) -> ShopLine:
    """Tell one setting; its places stand in a table below it."""
    setting = _CUT[line.cutting].format(thick=measure.words(line.thickness), reach=measure.words(line.reach))
    notes = ["for the other end"] if line.other_end else []
    if line.stopped:
        notes.append("stopped: lower and lift at the marks")
        if line.for_panel:
            notes.append("carry it on by chisel where the corner of a panel reaches past a stop")
    if len(line.passes) > 1:
        notes.append(f"passes {', '.join(map(measure.words, line.passes))}")
    return ShopLine(None, setting, "", "; ".join(notes))


def _tenon_stock(stock: TenonMilling, measure: Measure) -> ShopLine:
    pieces = ", ".join(f"{count} at {measure.words(length)}" for count, length in stock.lengths)
    long = f"{measure.words(stock.length)} in all, kerfs included"
    if stock.round:
        setting, note = f"dowel {measure.words(stock.thickness)}", f"{long}; chamfer the ends"
    else:
        setting = f"tenon stock {measure.words(stock.thickness)} x {measure.words(stock.width)}"
        radius = f"a radius of {measure.words(stock.edge_radius)} for routed mortises"
        note = f"{long}; {_source(stock, measure)}; round the edges to {radius}"
    return ShopLine(stock.count, setting, f"{', '.join(stock.joints)}: {pieces}", note)


def _source(stock: TenonMilling, measure: Measure) -> str:
    """Say what wood a section of loose tenons is milled from."""
    source = stock.source
    if source is None:
        return "from straight-grained hardwood: nothing in the rack serves"
    strips = "1 strip" if source.strips == 1 else f"{source.strips} strips"
    of = "the left-over of board" if source.left_over else "board"
    wood = f"{source.board} ({source.species.name} {source.stock})"
    return f"{strips} {measure.words(source.strip_width)} wide from {of} {wood}"


def _shape(answer: ShapeAnswer, measure: Measure) -> ShopLine:
    shape = answer.shape
    more = f"; {shape.note}" if shape.note else ""
    if answer.angle is not None and answer.offset is not None:
        faces = "two opposite faces" if answer.faces == 2 else "one face"
        setting = f"taper {answer.angle:.2f}°, {measure.words(answer.offset)} off at the end"
        what = f"{shape.shape}: {faces}, from {measure.words(answer.starts_at)}"
        return ShopLine(None, setting, what, f"offsets on Marks{more}")
    curve = "strip bent" if answer.radius is None else f"radius {measure.words(answer.radius)},"
    setting = f"curve: {curve} {measure.words(shape.rise or 0.0)} rise"
    what = f"{shape.shape}: {measure.words(shape.length)} chord"
    return ShopLine(None, setting, what, f"offsets on Marks{more}")


def _sanding(line: Sanding, measure: Measure) -> ShopLine:
    setting = f"grit {line.grit}" if line.grit else "sand"
    what = names(line.pieces) or "all parts, every face that is hard to reach later"
    count = _count(line.pieces) or None
    return ShopLine(count, setting, what, "no edge at a joint rounded, no tenon thinned")


def _dry_fit(line: DryFit, measure: Measure) -> ShopLine:
    joint = line.answer.joint
    what = f"{joint.joint}: {line.entering} in {line.taking}"
    if line.holds is not None:
        return ShopLine(line.holds, "dry fit", what, "")
    return ShopLine(None, "dry fit", what, counted(line.answer.qty, "joint"))


def _run(answer: RunAnswer, measure: Measure) -> ShopLine:
    gap = "unlike gaps" if answer.unlike else f"gap {measure.words(answer.gap or 0.0)}"
    note = f"by the marks from one end{'; ' if answer.run.note else ''}{answer.run.note}"
    return ShopLine(answer.members, gap, answer.run.run, note)


def _dry_assembly(line: DryAssembly, measure: Measure) -> ShopLine:
    what = "Assemble the frame dry" if line.frame else "Assemble dry"
    return ShopLine(None, "no glue", f"{what}; check for square and twist, and every joint for fit", "")


def _panel(line: PanelToSize, measure: Measure) -> ShopLine:
    found, panel = line.answer, line.answer.panel
    if not found.measured:
        note = "type the measured opening into Panels and run sheetkit: the new sheet has its cuts"
        return ShopLine(panel.qty, "do not cut yet", panel.panel, note)
    setting = f"{measure.words(found.width)} wide, {measure.words(found.height)} high"
    gap = measure.words(rounded_down(found.gap, measure.finest))
    note = f"{measure.words(panel.thickness)} thick; {gap} free at the bottom of each groove"
    if any(blank.along > 1 for blank in found.blanks):
        note = f"{note}; rip to width, then cut apart what was glued up long"
    if panel.is_thinned and panel.groove_width is not None:
        note = f"{note}; thin the edges to {measure.words(panel.groove_width)}, to fit the groove"
    return ShopLine(panel.qty, setting, panel.panel, note)


def _go(line: GlueSession) -> str:
    return f"go {line.number} of {line.of}" if line.number else f"in {line.of} goes"


def _session(line: GlueSession, measure: Measure) -> list[str]:
    """Say what is needed for one go: clamps, their length, adhesive, minutes."""
    answer = line.answer
    notes = []
    if answer.clamps:
        row = ", above and below by turns" if answer.alternate else ""
        long = f" {measure.words(answer.clamp_length)} long" if answer.clamp_length is not None else ""
        long = f", two joined to{long}" if answer.joined and long else long
        notes.append(f"{counted(answer.clamps, 'clamp')}{long}{row}")
    elif answer.clamp_length is not None:
        notes.append(f"clamps {measure.words(answer.clamp_length)} long")
    if answer.fluid_ounces is not None:
        share = 1 / line.of if not (line.joints and answer.joints) else line.joints / answer.joints
        notes.append(measure.amount(answer.fluid_ounces * share, "adhesive", 1, 0))
    if line.joints:
        notes.append(f"{line.joints * answer.glue_up.minutes:g} min")
    if answer.glue_up.note:
        notes.append(answer.glue_up.note)
    return notes


def _glue_caution(answer: GlueUpAnswer) -> tuple[str, ...]:
    return (answer.caution,) if answer.caution else ()


def _glue(line: GlueSession, measure: Measure) -> ShopLine:
    answer = line.answer
    what = answer.glue_up.step if line.of == 1 else f"{answer.glue_up.step}, {_go(line)}"
    if line.joints:
        what = f"{what}: {counted(line.joints, 'joint')}"
    if answer.clamp_places and answer.spacing is None:
        places = ", ".join(map(measure.words, answer.clamp_places))
        what = f"{what}; clamps along the rails, at {places}"
    return ShopLine(
        None, answer.glue_up.adhesive, what, "; ".join(_session(line, measure)), _glue_caution(answer)
    )


def spread_words(answer: GlueUpAnswer, measure: Measure) -> str:
    """Say how an adhesive is used: minutes, how much to spread, hours in clamps."""
    low, high = (round(measure.shown(each, "spread")) for each in answer.spread)
    hours = answer.clamp_hours
    clamped = (
        f"{hours:g} h in clamps" if hours >= 24 else f"{hours:g} h in clamps, a day before it is stressed"
    )
    return (
        f"{answer.glue_up.adhesive}: together within {answer.open_time:g} min, the last clamp within "
        f"{answer.assembly_time:g}; spread {low} to {high} {measure.name('spread')}; {clamped}. The label "
        "rules."
    )


def _plain_assembly(line: PlainAssembly, measure: Measure) -> ShopLine:
    what = "Glue the frame, panels loose in their grooves" if line.frame else "Glue up"
    return ShopLine(None, "in clamps overnight", what, f"check for square and twist; {NO_GLUE_UP}")


def _coat(line: Coat, measure: Measure) -> ShopLine:
    answer, step = line.answer, line.answer.step
    setting = step.product or step.step
    if step.grit and line.number <= 1:
        setting = f"grit {step.grit}, then {step.product}" if step.product else f"sand, grit {step.grit}"
    if line.panels:
        on = "all panels" if line.every_panel else names(line.panels)
    else:
        on = "all parts" if step.parts.strip().casefold() in ("", "all") else step.parts
    what = on if setting == step.step else f"{step.step}: {on}"
    if line.of > 1:
        what += f", coat {line.number} of {line.of}" if line.number else f", {line.of} coats"
    amount = ""
    if line.amount and answer.gallons is not None:
        whole = " for the whole piece" if answer.early and answer.late else ""
        amount = f"have {measure.amount(answer.gallons, 'finish', 2, 2)}{whole}"
    note = "; ".join(filter(None, (amount, step.note)))
    return ShopLine(_count(line.panels) or None, setting, what, note, answer.cautions)


def _fitting(line: Fitting, measure: Measure) -> ShopLine:
    extra = line.extra
    whole = extra.qty == int(extra.qty)
    on = f" to {extra.fit_to}" if extra.fit_to else ""
    note = extra.note if whole else "; ".join(filter(None, (f"{extra.qty:g}", extra.note)))
    setting = "take along" if extra.when == "at delivery" else "fit"
    return ShopLine(int(extra.qty) if whole else None, setting, f"{extra.item}{on}", note)


def _loose(line: LoosePart, measure: Measure) -> ShopLine:
    note = ""
    if line.run is not None:
        note = f"{_run(line.run, measure).setting}, by the marks from one end"
    if line.along and line.pounds is not None:
        note = "; ".join(filter(None, (note, measure.weight(line.pounds))))
    setting = "take along" if line.along else "put in place"
    return ShopLine(line.pieces.count, setting, line.pieces.name, note)


def _top(line: TopFixing, measure: Measure) -> ShopLine:
    moves, words = line.moves, measure.words
    fasteners = ", ".join(f"{extra.qty:g} {extra.item}" for extra in line.fasteners)
    what = (
        f"{line.part}: tight at the middle of its width, slots towards both edges, across its grain; each "
        f"screw in the middle of its slot today{f'. With {fasteners}' if fasteners else ''}"
    )
    note = (
        f"edges move out by {words(moves.out)}, back by {words(moves.back)}; held along one edge instead: "
        f"slots {words(moves.slot_far)} at the other"
    )
    return ShopLine(None, f"slots {words(moves.slot)} long", what, note)


def _carried(line: Carried, measure: Measure) -> ShopLine:
    what = ", ".join(line.names[:MOST_NAMES]) or "the whole piece"
    return ShopLine(None, _people(line.hands), what, f"{measure.weight(line.pounds)}, hardware not counted")


_WORDS: dict[type, Callable[[Any, Measure], ShopLine]] = {
    LoadAnswer: _look,
    ToBuy: _to_buy,
    InHand: _in_hand,
    RoughCut: _rough,
    FromBoard: _from_board,
    Resaw: _resaw,
    Glued: _glued,
    JointCut: _joint,
    TenonMilling: _tenon_stock,
    ShapeAnswer: _shape,
    Sanding: _sanding,
    DryFit: _dry_fit,
    RunAnswer: _run,
    DryAssembly: _dry_assembly,
    PanelToSize: _panel,
    GlueSession: _glue,
    PlainAssembly: _plain_assembly,
    Coat: _coat,
    Fitting: _fitting,
    LoosePart: _loose,
    TopFixing: _top,
    Carried: _carried,
}
"""What puts each kind of line into words."""

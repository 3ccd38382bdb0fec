"""Lines of the shop sheet in words: how many, the setting, what it is done to, what to mind."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from sheetkit.records.joinery import LoadAnswer, RunAnswer, ShapeAnswer, TenonMilling
from sheetkit.records.work import (
    Coat,
    Cutting,
    DryAssembly,
    DryFit,
    FromBoard,
    Glued,
    GlueSession,
    JointCut,
    Line,
    PanelToSize,
    Pieces,
    PlainAssembly,
    RoughCut,
    Setting,
    Task,
)
from sheetkit.tabs.draft import Measure
from sheetkit.units import rounded_down

MOST_NAMES = 24
"""Names on one line; a line must stay readable at arm's length."""
SETTING_WORDS = {
    Task.PLANE: "plane to",
    Task.JOINT_EDGES: "rip to",
    Task.PLANE_GLUED: "plane to",
    Task.WIDTH: "rip to",
    Task.LENGTH: "cut to",
    Task.ROUND_OVER: "radius",
}
"""What a machine's setting is called in each step that has one."""
STOPPED = (
    "Lowering work onto a turning cutter can throw it: clamp a stop at each end, and keep hands behind them."
)
MILL_LONG = "Mill it long, then cut to length: short pieces are not safe through machines."


@dataclass(frozen=True, slots=True)
class ShopLine:
    """One line to tick: how many, the machine setting, what it is done to, what to mind."""

    qty: int | None
    setting: str
    what: str
    note: str
    caution: str = ""


def shop_line(line: Line, task: Task, measure: Measure) -> ShopLine:
    """Give a line of the work in words."""
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


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}{'es' if what.endswith('s') else 's'}"


def _look(answer: LoadAnswer, measure: Measure) -> ShopLine:
    return ShopLine(None, answer.load.member, answer.remarks[0] if answer.remarks else "", "")


def _rough(line: RoughCut, measure: Measure) -> ShopLine:
    setting = f"{measure.words(line.length)} long, {measure.words(line.width)} wide"
    return ShopLine(_count(line.pieces), setting, names(line.pieces), "; ".join(line.notes))


def _from_board(line: FromBoard, measure: Measure) -> ShopLine:
    return ShopLine(_count(line.pieces), f"board {line.board}", names(line.pieces), "cuts on Board layout")


def _glued(line: Glued, measure: Measure) -> ShopLine:
    way = "face to face" if line.what == "plies" else "edge to edge"
    sizes = " + ".join(map(measure.words, line.widths))
    note = "; ".join(filter(None, (sizes, *line.notes)))
    return ShopLine(_count(line.wholes), f"{line.count} {line.what}, {way}", names(line.wholes), note)


_CUT = {
    Cutting.MORTISE: "mortise {thick} wide, {reach} deep",
    Cutting.HOLE: "bore {thick}, {reach} deep",
    Cutting.GROOVE: "groove {thick} wide, {reach} deep",
    Cutting.RECESS: "rout {thick} wide, {reach} deep",
    Cutting.TENON: "tenon {thick} thick, {reach} long",
}


def _joint(line: JointCut, measure: Measure) -> ShopLine:
    """Tell one setting: how many are cut in which part, and widths and places in the note."""
    setting = _CUT[line.cutting].format(thick=measure.words(line.thickness), reach=measure.words(line.reach))
    counts: Counter[str] = Counter()
    notes: dict[str, None] = {}
    far = line.other_end or line.cutting is Cutting.TENON
    for place in line.places:
        counts[place.part] += place.count
        if place.size is not None:
            off = " off the shoulder" if place.off_shoulder else ""
            start = "" if place.at is None else f", from {measure.words(place.at)}{off}"
            notes[f"{place.joint}: {measure.words(place.size)} {'wide' if far else 'long'}{start}"] = None
    if line.stopped:
        notes["stopped: lower and lift at the marks"] = None
    if len(line.passes) > 1:
        notes[f"passes {', '.join(map(measure.words, line.passes))}"] = None
    on = "on" if line.cutting is Cutting.TENON else "in"
    cuts = "; ".join(f"{_counted(count, line.cutting)} {on} {name}" for name, count in counts.items())
    end = ", for the other end" if line.other_end else ""
    return ShopLine(None, f"{setting}{end}", cuts, "; ".join(notes), STOPPED if line.stopped else "")


def _tenon_stock(stock: TenonMilling, measure: Measure) -> ShopLine:
    pieces = ", ".join(f"{count} at {measure.words(length)}" for count, length in stock.lengths)
    long = f"{measure.words(stock.length)} in all, kerfs included"
    if stock.round:
        setting, note = f"dowel {measure.words(stock.thickness)}", f"{long}; chamfer the ends"
    else:
        setting = f"tenon stock {measure.words(stock.thickness)} x {measure.words(stock.width)}"
        note = f"{long}; {_source(stock, measure)}; round the edges to a radius of {measure.words(stock.edge_radius)} for routed mortises"
    return ShopLine(stock.count, setting, f"{', '.join(stock.joints)}: {pieces}", note, MILL_LONG)


def _source(stock: TenonMilling, measure: Measure) -> str:
    """Say what wood a section of loose tenons is milled from."""
    source = stock.source
    if source is None:
        return "from straight-grained hardwood: nothing in the rack serves"
    strips = "1 strip" if source.strips == 1 else f"{source.strips} strips"
    of = "the left-over of board" if source.left_over else "board"
    return f"{strips} {measure.words(source.strip_width)} wide from {of} {source.board} ({source.species.name} {source.stock})"


def _shape(answer: ShapeAnswer, measure: Measure) -> ShopLine:
    shape = answer.shape
    if answer.angle is not None and answer.offset is not None:
        faces = "two opposite faces" if answer.faces == 2 else "one face"
        setting = f"taper {answer.angle:.2f}°, {measure.words(answer.offset)} off at the end"
        what = f"{shape.shape}: {faces}, from {measure.words(answer.starts_at)}"
        return ShopLine(None, setting, what, "joints first; offsets on Marks")
    curve = "strip bent" if answer.radius is None else f"radius {measure.words(answer.radius)},"
    setting = f"curve: {curve} {measure.words(shape.rise or 0.0)} rise"
    return ShopLine(None, setting, f"{shape.shape}: {measure.words(shape.length)} chord", "offsets on Marks")


def _dry_fit(line: DryFit, measure: Measure) -> ShopLine:
    joint = line.answer.joint
    what = f"{joint.joint}: {line.entering} in {line.taking}"
    return ShopLine(None, "dry fit", what, f"{_counted(line.answer.qty, 'joint')}; shoulders close by hand")


def _run(answer: RunAnswer, measure: Measure) -> ShopLine:
    gap = "unlike gaps" if answer.gap is None else f"gap {measure.words(answer.gap)}"
    return ShopLine(answer.members, gap, answer.run.run, "by the marks from one end")


def _dry_assembly(line: DryAssembly, measure: Measure) -> ShopLine:
    what = "Assemble the frame dry" if line.frame else "Assemble dry"
    return ShopLine(None, "no glue", f"{what}; check for square and twist, and every joint for fit", "")


def _panel(line: PanelToSize, measure: Measure) -> ShopLine:
    found, panel = line.answer, line.answer.panel
    if not found.measured:
        return ShopLine(panel.qty, "do not cut yet", panel.panel, "measure the opening first")
    setting = f"{measure.words(found.width)} wide, {measure.words(found.height)} high"
    gap = measure.words(rounded_down(found.gap, measure.finest))
    return ShopLine(
        panel.qty, setting, panel.panel, f"{measure.words(panel.thickness)} thick; leave {gap} each side"
    )


def _glue(line: GlueSession, measure: Measure) -> ShopLine:
    answer, glue_up = line.answer, line.answer.glue_up
    setting = glue_up.adhesive
    notes = [f"{answer.open_time:g} min open"]
    if answer.clamps:
        setting = f"{setting}, {answer.clamps} clamps"
    if answer.clamp_length is not None:
        long = f"{measure.words(answer.clamp_length)} long"
        setting = f"{setting}, two joined to {long}" if answer.joined else f"{setting}, {long}"
    if answer.alternate:
        notes.append("clamps above and below by turns")
    if answer.fluid_ounces is not None:
        amount = answer.fluid_ounces
        if line.joints and glue_up.joints:
            amount *= line.joints / glue_up.joints
        notes.append(measure.amount(amount, "adhesive", 1, 0))
    notes.append(f"clamp {answer.clamp_hours:g} h")
    name = glue_up.step if line.of == 1 else f"{glue_up.step}, {line.number} of {line.of}"
    what = f"{name}: {_counted(line.joints, 'joint')}" if line.joints else name
    return ShopLine(None, setting, what, ", ".join(notes), answer.caution)


def _plain_assembly(line: PlainAssembly, measure: Measure) -> ShopLine:
    what = "Glue the frame, panels loose in their grooves" if line.frame else "Glue up"
    return ShopLine(None, "in clamps", what, "check for square and twist")


def _coat(line: Coat, measure: Measure) -> ShopLine:
    answer, step = line.answer, line.answer.step
    setting = step.product or "sand"
    if step.grit:
        setting = f"grit {step.grit}, then {step.product}" if step.product else f"sand, grit {step.grit}"
    if line.panels:
        on = "all panels" if line.every_panel else names(line.panels)
    else:
        on = "all parts" if step.parts.strip().casefold() in ("", "all") else step.parts
    note = "amount and days: see Finish"
    if line.whole or not line.panels:
        gallons = answer.gallons
        amount = "" if gallons is None else measure.amount(gallons, "finish", 2, 2)
        coats = f"{step.coats} coats" if step.coats > 1 else ""
        notes = [f"day {answer.first_day}", coats, amount, f"ready on day {answer.ready_day}"]
        note = ", ".join(filter(None, notes))
    count = _count(line.panels) or None
    return ShopLine(count, setting, f"{step.step}: {on}", note, " ".join(line.cautions))


_WORDS: dict[type, Callable[[Any, Measure], ShopLine]] = {
    LoadAnswer: _look,
    RoughCut: _rough,
    FromBoard: _from_board,
    Glued: _glued,
    JointCut: _joint,
    TenonMilling: _tenon_stock,
    ShapeAnswer: _shape,
    DryFit: _dry_fit,
    RunAnswer: _run,
    DryAssembly: _dry_assembly,
    PanelToSize: _panel,
    GlueSession: _glue,
    PlainAssembly: _plain_assembly,
    Coat: _coat,
}
"""What puts each kind of line into words."""

"""Lines of the shop sheet for the bench: joints, tenon stock, shapes, dry assembly, finish and glue-ups."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from sheetkit.records.answers import Answers
from sheetkit.records.job import Panel, Part
from sheetkit.records.joinery import FinishAnswer, GlueUpAnswer, JointAnswer, LoadAnswer
from sheetkit.tabs.draft import Measure, ShopLine
from sheetkit.units import LITRES_PER_GALLON, ML_PER_FL_OZ

Key = tuple[str, float, float]
"""What is cut, and the sizes that the machine is set to [in]."""


def _gathered(
    answers: Iterable[JointAnswer], key: Callable[[JointAnswer], Key | None]
) -> list[tuple[Key, list[JointAnswer]]]:
    """Gather the joints that one machine setting cuts, in the order of first need, deepest and thickest first."""
    groups: dict[Key, list[JointAnswer]] = {}
    for answer in answers:
        found = key(answer)
        if found is not None:
            groups.setdefault((found[0], round(found[1], 5), round(found[2], 5)), []).append(answer)
    return sorted(groups.items(), key=lambda group: (group[0][0], -group[0][1], -group[0][2]))


def _mortise(answer: JointAnswer) -> Key | None:
    joint = answer.joint
    return ("mortise", joint.thickness, joint.depth_into) if joint.kind in ("tenon", "loose tenon") else None


def _tenon(answer: JointAnswer) -> Key | None:
    if answer.joint.kind != "tenon" or answer.tenon_length is None:
        return None
    return "tenon", answer.joint.thickness, answer.tenon_length


def _other_mortise(answer: JointAnswer) -> Key | None:
    joint = answer.joint
    if joint.kind != "loose tenon":
        return None
    return "mortise", joint.thickness, joint.depth_into if joint.depth_from is None else joint.depth_from


def _bored(answer: JointAnswer) -> Key | None:
    joint = answer.joint
    return ("dowel hole", joint.thickness, joint.depth_into) if joint.kind == "dowel" else None


def _bored_from(answer: JointAnswer) -> Key | None:
    joint = answer.joint
    if joint.kind != "dowel":
        return None
    return "dowel hole", joint.thickness, joint.depth_into if joint.depth_from is None else joint.depth_from


def _groove(answer: JointAnswer) -> Key | None:
    joint = answer.joint
    return ("groove", joint.thickness, joint.depth_into) if "groove" in joint.kind else None


def _hardware(answer: JointAnswer) -> Key | None:
    joint = answer.joint
    return ("recess", joint.thickness, joint.depth_into) if joint.kind == "hardware" else None


def joint_lines(found: Answers, measure: Measure) -> list[ShopLine]:
    """Give one line for each machine setting that cuts joints: mortises, holes, grooves, recesses, then tenons."""
    lines: list[ShopLine] = []
    for key, of, end in ((_mortise, _into, ""), (_other_mortise, _from, _OTHER_END)):
        for (what, thick, deep), answers in _gathered(found.joints, key):
            setting = f"mortise {measure.words(thick)} wide, {measure.words(deep)} deep{end}"
            lines.append(_line(setting, answers, what, of, measure))
    for key, of, end in ((_bored, _into, ""), (_bored_from, _from, _OTHER_END)):
        for (what, thick, deep), answers in _gathered(found.joints, key):
            setting = f"bore {measure.words(thick)}, {measure.words(deep)} deep{end}"
            lines.append(_line(setting, answers, what, of, measure))
    for (what, thick, deep), answers in _gathered(found.joints, _groove):
        setting = f"groove {measure.words(thick)} wide, {measure.words(deep)} deep"
        stopped = any(groove.lift_at < groove.stop or groove.lower_at > groove.start
                      for answer in answers for groove in answer.grooves)  # fmt: skip
        more = ["stopped: lower and lift at the marks"] if stopped else []
        line = _line(setting, answers, what, _into, measure, more)
        lines.append(replace(line, caution=_STOPPED if stopped else ""))
    for (what, thick, deep), answers in _gathered(found.joints, _hardware):
        passes = max((answer.passes for answer in answers), key=len)
        setting = f"rout {measure.words(thick)} wide, {measure.words(deep)} deep"
        depths = ", ".join(measure.words(depth) for depth in passes)
        more = [f"passes {depths}"] if len(passes) > 1 else []
        lines.append(_line(setting, answers, what, _into, measure, more))
    for (what, thick, long), answers in _gathered(found.joints, _tenon):
        setting = f"tenon {measure.words(thick)} thick, {measure.words(long)} long"
        lines.append(_line(setting, answers, what, _from, measure))
    return lines


_OTHER_END = ", for the other end"
_STOPPED = (
    "Lowering work onto a turning cutter can throw it: clamp a stop at each end, and keep hands behind them."
)


def _into(answer: JointAnswer) -> str:
    return answer.joint.into or "its part"


def _from(answer: JointAnswer) -> str:
    entering = answer.from_part
    if isinstance(entering, Part):
        return entering.part
    return entering.panel if isinstance(entering, Panel) else answer.joint.from_part or "the other part"


def _line(
    setting: str,
    answers: Sequence[JointAnswer],
    what: str,
    part: Callable[[JointAnswer], str],
    measure: Measure,
    more: Sequence[str] = (),
) -> ShopLine:
    """Give the line of one setting: how many are cut in which part, and widths and places in the note."""
    counts: Counter[str] = Counter()
    notes: list[str] = []
    for answer in answers:
        counts[part(answer)] += answer.pieces if answer.joint.kind == "dowel" else answer.joint.qty
        width, at = answer.joint.width, answer.joint.at
        if width is None or "groove" in answer.joint.kind:
            continue
        place = f", from {measure.words(at)}" if at is not None and part is _into else ""
        way = "long" if part is _into else "wide"
        notes.append(f"{answer.joint.joint}: {measure.words(width)} {way}{place}")
    on = "on" if what == "tenon" else "in"
    cuts = "; ".join(f"{_counted(count, what)} {on} {name}" for name, count in counts.items())
    return ShopLine(None, setting, cuts, "; ".join(dict.fromkeys([*notes, *more])))


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}{'es' if what.endswith('s') else 's'}"


def tenon_stock_lines(found: Answers, measure: Measure) -> list[ShopLine]:
    """Give one line for each section of loose tenon or dowel stock."""
    lines = []
    for stock in found.tenon_stock:
        pieces = ", ".join(f"{count} at {measure.words(length)}" for count, length in stock.lengths)
        long = f"{measure.words(stock.length)} in all, kerfs included"
        if stock.round:
            setting = f"dowel {measure.words(stock.thickness)}"
            note = f"{long}; chamfer the ends"
        else:
            setting = f"tenon stock {measure.words(stock.thickness)} x {measure.words(stock.width)}"
            note = f"{long}; round the edges to suit routed mortises"
        lines.append(ShopLine(stock.count, setting, f"{', '.join(stock.joints)}: {pieces}", note,
                              "Mill it long, then cut to length: short pieces are not safe through machines."))  # fmt: skip
    return lines


def shape_lines(found: Answers, measure: Measure) -> list[ShopLine]:
    """Give one line for each curve and taper, after the joints are cut."""
    lines = []
    for answer in found.shapes:
        shape = answer.shape
        if answer.angle is not None and answer.offset is not None:
            faces = "two opposite faces" if answer.faces == 2 else "one face"
            setting = f"taper {answer.angle:.2f}°, {measure.words(answer.offset)} off at the end"
            lines.append(ShopLine(None, setting, f"{shape.shape}: {faces}, from {measure.words(answer.starts_at)}",
                                  "joints first; offsets on Marks"))  # fmt: skip
        else:
            curve = "strip bent" if answer.radius is None else f"radius {measure.words(answer.radius)},"
            setting = f"curve: {curve} {measure.words(shape.rise or 0.0)} rise"
            lines.append(
                ShopLine(
                    None, setting, f"{shape.shape}: {measure.words(shape.length)} chord", "offsets on Marks"
                )
            )
    return lines


def dry_lines(found: Answers, measure: Measure) -> list[ShopLine]:
    """Give what the dry assembly is to show: each joint's fit, and the clamps laid out."""
    lines = []
    for answer in found.joints:
        if answer.joint.kind in ("tenon", "loose tenon", "dowel"):
            what = f"{answer.joint.joint}: {_from(answer)} in {_into(answer)}"
            note = f"{_counted(answer.joint.qty, 'joint')}; shoulders close by hand"
            lines.append(ShopLine(None, "dry fit", what, note))
    for run in found.runs:
        if run.gap is not None:
            lines.append(
                ShopLine(
                    run.members, f"gap {measure.words(run.gap)}", run.run.run, "by the marks from one end"
                )
            )
    return lines


def finish_lines(found: Answers, measure: Measure) -> list[ShopLine]:
    """Give one line for each finishing step, with its day, amount and cautions."""
    return [_finish(answer, measure) for answer in found.finish]


def _finish(answer: FinishAnswer, measure: Measure) -> ShopLine:
    step = answer.step
    setting = step.product or "sand"
    if step.grit:
        setting = f"grit {step.grit}, then {step.product}" if step.product else f"sand, grit {step.grit}"
    amount = ""
    if answer.gallons is not None:
        amount = (
            f"{answer.gallons * LITRES_PER_GALLON:.2f} l"
            if measure.unit == "mm"
            else f"{answer.gallons * 4:.2f} qt"
        )
    coats = f"{step.coats} coats" if step.coats > 1 else ""
    on = "all parts" if step.parts.strip().casefold() in ("", "all") else step.parts
    notes = [f"day {answer.first_day}", coats, amount, f"ready on day {answer.ready_day}"]
    return ShopLine(None, setting, f"{step.step}: {on}",
                    ", ".join(filter(None, notes)), " ".join(answer.cautions))  # fmt: skip


def glue_lines(found: Answers, measure: Measure) -> list[ShopLine]:
    """Give one line for each glue-up, or one for each of the steps that it must be split into."""
    lines = []
    for answer in found.glue_ups:
        steps = answer.steps if len(answer.steps) > 1 else (answer.glue_up.joints,)
        for place, joints in enumerate(steps, 1):
            name = (
                answer.glue_up.step if len(steps) == 1 else f"{answer.glue_up.step}, {place} of {len(steps)}"
            )
            lines.append(_glue(answer, name, joints, measure))
    return lines


def _glue(answer: GlueUpAnswer, name: str, joints: int | None, measure: Measure) -> ShopLine:
    setting = answer.glue_up.adhesive
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
        if joints and answer.glue_up.joints:
            amount *= joints / answer.glue_up.joints
        notes.append(f"{amount * ML_PER_FL_OZ:.0f} ml" if measure.unit == "mm" else f"{amount:.1f} fl oz")
    notes.append(f"clamp {answer.clamp_hours:g} h")
    what = f"{name}: {_counted(joints, 'joint')}" if joints else name
    return ShopLine(None, setting, what, ", ".join(notes), answer.caution)


def load_lines(found: Answers) -> list[ShopLine]:
    """Give a line for each member that would sag or be weak, to look at before it is cut."""
    return [_load(answer) for answer in found.loads if not answer.passes]


def _load(answer: LoadAnswer) -> ShopLine:
    return ShopLine(None, answer.load.member, answer.remarks[0] if answer.remarks else "", "")

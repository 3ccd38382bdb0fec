"""What stands beside the maker's own rows: tab -> row -> column name -> value, as held inside."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sheetkit.plan.volume import volume_of_blanks
from sheetkit.records.answers import Answers
from sheetkit.records.joinery import (
    FinishAnswer,
    GlueUpAnswer,
    JointAnswer,
    LoadAnswer,
    RunAnswer,
    ShapeAnswer,
)
from sheetkit.records.units import Units
from sheetkit.records.wood import BoardAnswer, PanelAnswer, PartAnswer

Values = Mapping[str, float | int | str | None]
"""Column name -> value; lengths are inches, volumes board feet, amounts as the records hold them."""
Beside = Mapping[str, Mapping[int, Values]]


def beside(answers: Answers) -> Beside:
    """Return every answer that stands beside a row, but for those in money; no tab without an answer."""
    units = Units.of(answers.job.sheet)
    found: dict[str, dict[int, Values]] = {
        "Parts": {each.part.row: _part(each, units) for each in answers.parts},
        "Panels": {each.panel.row: _panel(each, units) for each in answers.panels},
        "Joints": {each.joint.row: _joint(each) for each in answers.joints},
        "Spacing": {each.run.row: _run(each) for each in answers.runs},
        "Shapes": {each.shape.row: _shape(each) for each in answers.shapes},
        "Loads": {each.load.row: _load(each) for each in answers.loads},
        "Glue-ups": {each.glue_up.row: _glue_up(each) for each in answers.glue_ups},
        "Finish": {each.step.row: _finish(each) for each in answers.finish},
        "Boards": {
            each.board.row: board_values(each, units)
            for each in answers.boards
            if each.board.listed == "Boards"
        },
        "Labor": {
            each.operation.row: {"count": each.count, "hours": each.hours}
            for each in answers.costs.estimate.operations
        },
    }
    for left in answers.unanswered:
        found[left.tab][left.row] = {"remarks": _text(left.remarks)}
    return {tab: rows for tab, rows in found.items() if rows}


def stave_words(staves: Sequence[Sequence[float]], units: Units) -> list[str]:
    """Say how the layout cuts the staves, when it chose their widths."""
    sets = dict.fromkeys(" + ".join(units.words(width) for width in each) for each in staves)
    return [f"Staves as Board layout cuts them: {'; '.join(sets)}."] if sets else []


def _text(sentences: Sequence[str]) -> str | None:
    return " ".join(sentences) or None


def _from_stock(found: PartAnswer | PanelAnswer) -> str:
    """Name the stock, and the boards when a layout chose them."""
    stocks = ", ".join(dict.fromkeys(blank.stock.name for blank in found.blanks))
    return f"{stocks}: {', '.join(found.boards)}" if found.boards else stocks


def _part(found: PartAnswer, units: Units) -> Values:
    longest = max(found.blanks, key=lambda blank: (blank.length, blank.width))
    return {
        "blank_thickness": longest.thickness,
        "blank_width": max(blank.width for blank in found.blanks),
        "blank_length": longest.length,
        "blanks": sum(blank.count for blank in found.blanks),
        "from_stock": _from_stock(found),
        "volume": volume_of_blanks(found.blanks, units),
        "worked_out": found.worked_out,
        "remarks": _text((*found.remarks, *stave_words(found.staves, units))),
    }


def _panel(found: PanelAnswer, units: Units) -> Values:
    blank = found.blanks[0]
    return {
        "width": found.width,
        "height": found.height,
        "gap": found.gap,
        "bearing": found.bearing,
        "clearance": found.clearance,
        "leaf_width": blank.width,
        "leaf_length": blank.length,
        "from_stock": _from_stock(found),
        "volume": volume_of_blanks(found.blanks, units),
        "remarks": _text((*found.remarks, *stave_words(found.staves, units))),
    }


def _joint(found: JointAnswer) -> Values:
    return {
        "tenon_length": found.tenon_length,
        "stock_length": found.stock_length,
        "wall": found.wall,
        "remarks": _text(found.remarks),
    }


def _run(found: RunAnswer) -> Values:
    members = found.members if found.gaps else None
    return {"members_used": members, "gap": found.gap, "remarks": _text(found.remarks)}


def _shape(found: ShapeAnswer) -> Values:
    return {"radius": found.radius, "angle": found.angle, "remarks": _text(found.remarks)}


def _load(found: LoadAnswer) -> Values:
    return {
        "sag": found.sag,
        "sag_allowed": found.sag_allowed,
        "stress": found.stress_share,
        "remarks": _text(found.remarks),
    }


def _glue_up(found: GlueUpAnswer) -> Values:
    return {
        "minutes_needed": found.minutes,
        "open_time": found.open_time,
        "clamps": found.clamps,
        "clamp_length": found.clamp_length,
        "adhesive_needed": found.fluid_ounces,
        "remarks": _text(found.remarks),
    }


def _finish(found: FinishAnswer) -> Values:
    return {"surface": found.surface, "needed": found.gallons, "remarks": _text(found.remarks)}


USED = {"rack": ("cut", "in the rack"), "yard": ("buy", "leave there"), "cut": ("cut", "cut before")}
"""Where a board is -> what is said of one that the layout cuts, and of one that it does not."""


def board_values(found: BoardAnswer, units: Units) -> Values:
    """Return what stands beside a board."""
    lefts = (f"{units.words(width)} x {units.words(length)}" for width, length in found.left_overs)
    return {
        "volume": found.board_feet,
        "used": USED[found.board.where][not found.used],
        "left_over": "; ".join(lefts) or None,
    }

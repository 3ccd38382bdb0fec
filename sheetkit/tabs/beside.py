"""Answers beside the maker's own rows: tab -> row -> column name -> cell."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from sheetkit.page import Cell, Format, Style
from sheetkit.plan.volume import volume_of_blanks
from sheetkit.records.answers import Answers
from sheetkit.records.costs import ExtraAnswer, OperationAnswer
from sheetkit.records.job import Job
from sheetkit.records.joinery import (
    FinishAnswer,
    GlueUpAnswer,
    JointAnswer,
    LoadAnswer,
    RunAnswer,
    ShapeAnswer,
)
from sheetkit.records.wood import Blank, BoardAnswer, PanelAnswer, PartAnswer
from sheetkit.tabs.draft import Measure, stave_remark
from sheetkit.tabs.live_money import live_number

Cells = dict[str, Cell]
"""Column name -> cell, of one row."""
Beside = dict[str, dict[int, Cells]]


def _cell(value: float | int | str | None, format: Format = Format.PLAIN) -> Cell:
    return Cell() if value is None else Cell(value, style=Style(format=format))


def _remarks(remarks: Sequence[str]) -> Cell:
    return _cell(" ".join(remarks) or None)


def _size(size: float | None, measure: Measure) -> Cell:
    return Cell() if size is None else _cell(measure.size(size), measure.size_format)


def _fine(size: float | None, measure: Measure) -> Cell:
    return Cell() if size is None else _cell(measure.size(size), measure.fine_format)


def _amount(value: float | None, quantity: str, format: Format, measure: Measure) -> Cell:
    return _cell(None if value is None else measure.shown(value, quantity), format)


def _volume(blanks: Sequence[Blank], measure: Measure) -> Cell:
    return _cell(round(volume_of_blanks(blanks, measure), 9), Format.THOUSANDTH)


def _from_stock(found: PartAnswer | PanelAnswer) -> Cell:
    """Name the stock, and the boards when a layout chose them."""
    stocks = ", ".join(dict.fromkeys(blank.stock.name for blank in found.blanks))
    return _cell(f"{stocks}: {', '.join(found.boards)}" if found.boards else stocks)


def _wood_remarks(found: PartAnswer | PanelAnswer, measure: Measure) -> Cell:
    return _remarks((*found.remarks, *stave_remark(found.staves, measure)))


def _part(found: PartAnswer, measure: Measure) -> Cells:
    longest = max(found.blanks, key=lambda blank: (blank.length, blank.width))
    return {
        "blank_thickness": _size(longest.thickness, measure),
        "blank_width": _size(max(blank.width for blank in found.blanks), measure),
        "blank_length": _size(longest.length, measure),
        "blanks": _cell(sum(blank.count for blank in found.blanks), Format.WHOLE),
        "from_stock": _from_stock(found),
        "volume": _volume(found.blanks, measure),
        "worked_out": _cell(found.worked_out),
        "remarks": _wood_remarks(found, measure),
    }


def _panel(found: PanelAnswer, measure: Measure) -> Cells:
    blank = found.blanks[0]
    return {
        "width": _size(found.width, measure),
        "height": _size(found.height, measure),
        "gap": _size(found.gap, measure),
        "bearing": _fine(found.bearing, measure),
        "clearance": _fine(found.clearance, measure),
        "leaf_width": _size(blank.width, measure),
        "leaf_length": _size(blank.length, measure),
        "from_stock": _from_stock(found),
        "volume": _volume(found.blanks, measure),
        "remarks": _wood_remarks(found, measure),
    }


def _joint(found: JointAnswer, measure: Measure) -> Cells:
    return {
        "tenon_length": _size(found.tenon_length, measure),
        "stock_length": _size(found.stock_length, measure),
        "wall": _size(found.wall, measure),
        "remarks": _remarks(found.remarks),
    }


def _run(found: RunAnswer, measure: Measure) -> Cells:
    members = Cell() if found.gap is None else _cell(found.members, Format.WHOLE)
    return {"members_used": members, "gap": _size(found.gap, measure), "remarks": _remarks(found.remarks)}


def _shape(found: ShapeAnswer, measure: Measure) -> Cells:
    return {
        "radius": Cell() if found.radius is None else _cell(measure.size(found.radius), Format.HUNDREDTH),
        "angle": _cell(None if found.angle is None else round(found.angle, 9), Format.HUNDREDTH),
        "remarks": _remarks(found.remarks),
    }


def _load(found: LoadAnswer, measure: Measure) -> Cells:
    return {
        "sag": _fine(found.sag, measure),
        "sag_allowed": _fine(found.sag_allowed, measure),
        "stress": _cell(round(found.stress_share, 9), Format.PERCENT),
        "remarks": _remarks(found.remarks),
    }


def _glue_up(found: GlueUpAnswer, measure: Measure) -> Cells:
    return {
        "minutes_needed": _cell(found.minutes, Format.TENTH),
        "open_time": _cell(found.open_time, Format.TENTH),
        "clamps": _cell(found.clamps, Format.WHOLE),
        "clamp_length": _size(found.clamp_length, measure),
        "adhesive_needed": _amount(found.fluid_ounces, "adhesive", Format.TENTH, measure),
        "remarks": _remarks(found.remarks),
    }


def _finish(found: FinishAnswer, measure: Measure) -> Cells:
    return {
        "surface": _amount(found.surface, "surface", Format.HUNDREDTH, measure),
        "needed": _amount(found.gallons, "finish", Format.HUNDREDTH, measure),
        "remarks": _remarks(found.remarks),
    }


def _board(found: BoardAnswer, measure: Measure) -> Cells:
    lefts = [f"{measure.words(width)} x {measure.words(length)}" for width, length in found.left_overs]
    return {
        "volume": _cell(round(found.board_feet, 9), Format.THOUSANDTH),
        "used": _cell("cut" if found.used else "in the rack"),
        "left_over": _cell("; ".join(lefts) or None),
    }


def _cost(cost: Decimal | None, formula: str | None) -> Cell:
    if cost is None:
        return Cell()
    return Cell(float(cost), formula, Style(format=Format.MONEY))


def _extra(found: ExtraAnswer, job: Job) -> Cells:
    row, extra = found.extra.row, found.extra
    qty = live_number(job, "Extras", row, "qty", None if extra.qty == 1 else extra.qty, "1")
    price = job.live("Extras", row, "unit_price")
    formula = f"ROUND({qty or extra.qty}*{price or extra.unit_price},2)" if qty or price else None
    return {"cost": _cost(found.cost, formula)}


def _operation(found: OperationAnswer, job: Job) -> Cells:
    operation = found.operation
    minutes = job.live("Labour", operation.row, "minutes") or f"{operation.minutes!r}"
    hourly = job.live_label("hourly_rate") or f"{found.rate}"
    rate = live_number(job, "Labour", operation.row, "rate", operation.rate, hourly) or f"{found.rate}"
    hours = f"{found.count!r}*{minutes}/60"
    whole = operation.counted_by != "surface"
    return {
        "count": Cell(found.count, style=Style(format=Format.WHOLE if whole else Format.HUNDREDTH)),
        "hours": Cell(found.hours, hours, Style(format=Format.HUNDREDTH)),
        "cost": _cost(found.cost, f"ROUND({found.count!r}*{minutes}*{rate}/60,2)"),
    }


def answers_beside(answers: Answers) -> Beside:
    """Give every answer that stands beside the maker's rows; no tab without an answer."""
    measure, job, made = Measure.of(answers.job.sheet), answers.job, answers.costs.estimate
    found: Beside = {
        "Parts": {each.part.row: _part(each, measure) for each in answers.parts},
        "Panels": {each.panel.row: _panel(each, measure) for each in answers.panels},
        "Joints": {each.joint.row: _joint(each, measure) for each in answers.joints},
        "Spacing": {each.run.row: _run(each, measure) for each in answers.runs},
        "Shapes": {each.shape.row: _shape(each, measure) for each in answers.shapes},
        "Loads": {each.load.row: _load(each, measure) for each in answers.loads},
        "Glue-ups": {each.glue_up.row: _glue_up(each, measure) for each in answers.glue_ups},
        "Finish": {each.step.row: _finish(each, measure) for each in answers.finish},
        "Boards": {each.board.row: _board(each, measure) for each in answers.boards},
        "Extras": {each.extra.row: _extra(each, job) for each in made.extras_answers},
        "Labour": {each.operation.row: _operation(each, job) for each in made.operations},
    }
    for left in answers.unanswered:
        found[left.tab][left.row] = {"remarks": _remarks(left.remarks)}
    return {tab: rows for tab, rows in found.items() if rows}

"""Answers beside the maker's own rows on Joints, Spacing, Shapes, Loads, Glue-ups and Finish."""

from __future__ import annotations

from collections.abc import Sequence

from sheetkit.page import Cell, Format, Style
from sheetkit.records.answers import Results
from sheetkit.records.joinery import (
    Bench,
    FinishAnswer,
    GlueUpAnswer,
    JointAnswer,
    LoadAnswer,
    RunAnswer,
    ShapeAnswer,
)
from sheetkit.tabs.draft import Measure
from sheetkit.units import LITRES_PER_GALLON, M2_PER_FT2, ML_PER_FL_OZ


def _cell(value: float | int | str | None, format: Format = Format.PLAIN) -> Cell:
    return Cell() if value is None else Cell(value, style=Style(format=format))


def _remarks(remarks: Sequence[str]) -> Cell:
    return _cell(" ".join(remarks)) if remarks else Cell()


def _size(size: float | None, measure: Measure) -> Cell:
    return Cell() if size is None else _cell(measure.size(size), measure.size_format)


def _fine(size: float | None, measure: Measure) -> Cell:
    return Cell() if size is None else _cell(measure.size(size), measure.fine_format)


def _joint(found: JointAnswer, measure: Measure) -> dict[str, Cell]:
    return {
        "tenon_length": _size(found.tenon_length, measure),
        "stock_length": _size(found.stock_length, measure),
        "wall": _size(found.wall, measure),
        "remarks": _remarks(found.remarks),
    }


def _run(found: RunAnswer, measure: Measure) -> dict[str, Cell]:
    members = Cell() if found.gap is None else _cell(found.members, Format.WHOLE)
    return {"members_used": members, "gap": _size(found.gap, measure), "remarks": _remarks(found.remarks)}


def _shape(found: ShapeAnswer, measure: Measure) -> dict[str, Cell]:
    return {
        "radius": Cell() if found.radius is None else _cell(measure.size(found.radius), Format.HUNDREDTH),
        "angle": _cell(None if found.angle is None else round(found.angle, 9), Format.HUNDREDTH),
        "remarks": _remarks(found.remarks),
    }


def _load(found: LoadAnswer, measure: Measure) -> dict[str, Cell]:
    return {
        "sag": _fine(found.sag, measure),
        "sag_allowed": _fine(found.sag_allowed, measure),
        "stress": _cell(round(found.stress_share, 9), Format.PERCENT),
        "remarks": _remarks(found.remarks),
    }


def _glue_up(found: GlueUpAnswer, measure: Measure) -> dict[str, Cell]:
    amount = found.fluid_ounces
    if amount is not None and measure.unit == "mm":
        amount *= ML_PER_FL_OZ
    return {
        "minutes_needed": _cell(found.minutes, Format.TENTH),
        "open_time": _cell(found.open_time, Format.TENTH),
        "clamps": _cell(found.clamps, Format.WHOLE),
        "clamp_length": _size(found.clamp_length, measure),
        "adhesive_needed": _cell(None if amount is None else round(amount, 9), Format.TENTH),
        "remarks": _remarks(found.remarks),
    }


def _finish(found: FinishAnswer, measure: Measure) -> dict[str, Cell]:
    surface = found.surface / 144 * (M2_PER_FT2 if measure.unit == "mm" else 1.0)
    needed = None
    if found.gallons is not None:
        needed = found.gallons * (LITRES_PER_GALLON if measure.unit == "mm" else 4.0)
    return {
        "surface": _cell(round(surface, 9), Format.HUNDREDTH),
        "needed": _cell(None if needed is None else round(needed, 9), Format.HUNDREDTH),
        "remarks": _remarks(found.remarks),
    }


def bench_cells(results: Results, bench: Bench) -> dict[str, dict[int, dict[str, Cell]]]:
    """Give the answers beside the rows of the bench tabs: tab -> row -> column name -> cell."""
    measure = Measure(results.job.sheet)
    answers = {
        "Joints": {found.joint.row: _joint(found, measure) for found in bench.joints},
        "Spacing": {found.run.row: _run(found, measure) for found in bench.runs},
        "Shapes": {found.shape.row: _shape(found, measure) for found in bench.shapes},
        "Loads": {found.load.row: _load(found, measure) for found in bench.loads},
        "Glue-ups": {found.glue_up.row: _glue_up(found, measure) for found in bench.glue_ups},
        "Finish": {found.step.row: _finish(found, measure) for found in bench.finish},
    }
    for tab, row, remarks in bench.row_remarks:
        answers[tab][row] = {"remarks": _remarks(remarks)}
    return {tab: rows for tab, rows in answers.items() if rows}

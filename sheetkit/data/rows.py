"""The answers of a run as rows of plain data, table by table, straight from the records."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from datetime import date
from decimal import ROUND_FLOOR, Decimal
from typing import Any

from sheetkit.data import keys
from sheetkit.data.keys import Table
from sheetkit.plan.beside import beside, board_values
from sheetkit.plan.volume import volume_of_blanks
from sheetkit.records.answers import Answers
from sheetkit.records.costs import Costs
from sheetkit.records.elevations import Elevation
from sheetkit.records.job import ROWS, JobSheet, Stock
from sheetkit.records.joinery import Stick
from sheetkit.records.problems import Problem
from sheetkit.records.units import Units
from sheetkit.records.wood import StockLayout
from sheetkit.tables import Species
from sheetkit.units import cents, rounded

Row = dict[str, Any]
Tables = dict[str, list[Row]]

CENT = Decimal("0.01")


def tables_of(answers: Answers) -> Tables:
    """Return every table of a run."""
    sheet = answers.job.sheet
    units = Units.of(sheet)
    found: Tables = {"job": [_row(keys.JOB_TABLE, sheet, units, weight=answers.weight)]}
    found.update(_tabs(answers, units))
    worked_out = {("Parts", each.part.row): each.worked_out for each in answers.parts}
    worked_out.update((("Panels", each.panel.row), each.worked_out) for each in answers.panels)
    found["rough_sizes"] = [
        _row(
            keys.ROUGH_SIZES,
            blank,
            units,
            worked_out=worked_out[blank.tab, blank.row],
            volume=volume_of_blanks((blank,), units),
        )
        for blank in answers.blanks
    ]
    found["lumber"] = [_row(keys.LUMBER, line, units) for line in answers.lumber]
    found["purchases"] = [_row(keys.PURCHASES, each, units) for each in answers.purchases]
    found.update(_layouts(answers.layouts, units))
    found["to_buy"] += [
        _row(keys.TO_BUY, wanted, units, species=line.species, stock=line.stock)
        for line in answers.lumber
        for wanted in line.look_for
    ]
    found["tenon_stock"] = [_row(keys.TENON_STOCK, each, units) for each in answers.tenon_stock]
    found["cavities"] = [
        _row(keys.CAVITIES, each, units, joint=answer.joint.joint, part=each.part.part, box=tuple(each.box))
        for answer in answers.joints
        for each in (*answer.cavities, *answer.far)
    ]
    found["marks"] = list(_marks(answers.sticks, units))
    found["elevations"] = list(_elevations(answers.elevations, units))
    found.update(_money(answers.costs, sheet, units))
    return found


def _tabs(answers: Answers, units: Units) -> Tables:
    """Return the maker's own rows with what stands beside them, and what else their answers tell."""
    job, made = answers.job, answers.costs.estimate
    told: dict[str, Sequence[Any]] = {
        "Parts": answers.parts,
        "Panels": answers.panels,
        "Joints": answers.joints,
        "Spacing": answers.runs,
        "Shapes": answers.shapes,
        "Loads": answers.loads,
        "Glue-ups": answers.glue_ups,
        "Finish": answers.finish,
        "Boards": (),
        "Extras": made.extras_answers,
        "Labor": made.operations,
    }
    stands = beside(answers)
    boards = {each.board.spot: board_values(each, units) for each in answers.boards}
    found: Tables = {}
    for table in keys.OF_TABS:
        values = stands.get(table.tab, {})
        # the first field of an answer is the row that it answers
        by_row = {getattr(each, fields(each)[0].name).row: each for each in told[table.tab]}
        found[table.name] = [
            _tab_row(
                table,
                asked,
                asked if table.tab == "Boards" else by_row.get(asked.row),
                boards.get(asked.spot, {}) if table.tab == "Boards" else values.get(asked.row, {}),
                units,
            )
            for asked in getattr(job, ROWS[table.tab][0])
        ]
    return found


def _tab_row(table: Table, asked: Any, answer: Any, stands: Mapping[str, Any], units: Units) -> Row:
    """Return a row of the maker's: what was asked, what stands beside it, and what else its answer tells."""
    row: Row = {}
    for key in table.keys:
        if key.name in ("bad_from", "bad_to"):
            spans = [span[key.name == "bad_to"] for span in asked.bad]
            row[key.name] = [_plain(at, key.holds, units) for at in spans]
        elif key.name == "row" or key.name in table.asked:
            # of what the maker typed lengths alone are held in a unit of their own
            holds = key.holds if key.holds in ("length", "share", *keys.BY_JOB) else "as typed"
            row[key.name] = _plain(getattr(asked, key.name), holds, units)
        elif key.name in table.beside and key.holds != "money":
            row[key.name] = _plain(stands.get(key.name), key.holds, units)
        else:
            row[key.name] = _plain(getattr(answer, key.field, None), key.holds, units)
    return row


def _layouts(layouts: Sequence[StockLayout], units: Units) -> Tables:
    found: Tables = {"layouts": [], "to_buy": [], "pieces": [], "cuts": [], "left_overs": []}
    for laid in layouts:
        layout, wood = laid.layout, {"species": laid.species, "stock": laid.stock}
        least = layout.bound or None
        told = {
            **wood,
            "boards": [each.board.id for each in layout.boards],
            "unused": [each.id for each in layout.unused],
            "bought": sorted(laid.bought),
            "cost": cents(Decimal(layout.cost)) if laid.in_money else None,
            "least_cost": Decimal(least).quantize(CENT, ROUND_FLOOR) if laid.in_money and least else None,
            "least_volume": None if laid.in_money else least,
        }
        found["layouts"].append(_row(keys.LAYOUTS, layout, units, **told))
        for buy in laid.to_buy:
            names = list(dict.fromkeys(laid.blanks[int(piece)].of for piece in buy.pieces))
            found["to_buy"].append(_row(keys.TO_BUY, buy, units, **wood, in_one=0.0, how="", of=names))
        for each in layout.boards:
            here = {**wood, "board": each.board.id}
            for section in each.sections:
                for strip in section.strips:
                    there = {**here, "section": section.number, "strip": strip.number}
                    found["pieces"] += [
                        _row(keys.PIECES, placed, units, **there, of=_name(placed.piece, laid))
                        for placed in strip.placed
                    ]
            found["cuts"] += [
                _row(keys.CUTS, cut, units, **here, of=_names(cut.pieces, laid)) for cut in each.cuts
            ]
            found["left_overs"] += [_row(keys.LEFT_OVERS, left, units, **here) for left in each.left_overs]
    return found


def _names(pieces: Sequence[str], laid: StockLayout) -> str:
    return ", ".join(dict.fromkeys(_name(piece, laid) for piece in pieces))


def _name(piece: str, laid: StockLayout) -> str:
    return laid.blanks[int(piece)].of if piece.isdigit() else ""


def _marks(sticks: Sequence[Stick], units: Units) -> Iterator[Row]:
    finest = units.finest
    for stick, each in enumerate(sticks, 1):
        whose = {"stick": stick, "members": each.names, "kind": each.kind, "note": each.note}
        length = {"surface": each.surface, "stick_length": each.length}
        for number, mark in enumerate(each.marks, 1):
            along = {"number": number, "at": rounded(mark.at, finest), "exact": mark.at}
            offset = None if mark.offset is None else rounded(mark.offset, finest)
            across = {"offset": offset, "exact_offset": mark.offset}
            yield _row(keys.MARKS, mark, units, **whose, **length, **along, **across)


def _elevations(seen: Sequence[Elevation], units: Units) -> Iterator[Row]:
    for frame, each in enumerate(seen, 1):
        name = {"frame": frame, "frame_name": each.name, "frames": each.count}
        size = {
            "frame_width": each.width,
            "frame_height": each.height,
            "from_top": each.from_top,
            "lies": each.lies,
        }
        for number, piece in each.numbered:
            told = {"number": number, "does_not_close": each.remarks}
            yield _row(keys.ELEVATIONS, piece, units, **name, **size, **told)


def _money(costs: Costs, sheet: JobSheet, units: Units) -> Tables:
    made = costs.estimate
    shares = {"tax": sheet.tax, "deposit": min(sheet.deposit, 1.0)}
    return {
        "supplies": [_row(keys.SUPPLIES, each, units) for each in made.supplies],
        "estimate": [_row(keys.ESTIMATE, made, units)],
        "quote": [
            _row(keys.QUOTE, None, units, name=name, amount=getattr(made, name), share=shares.get(name))
            for name in ("price", "delivery", "tax", "total", "deposit", "balance")
        ],
        "alternatives": [
            _row(keys.ALTERNATIVES, each, units, hardness=each.species.hardness_lbf)
            for each in costs.alternatives
        ],
    }


def problem_rows(problems: Iterable[Problem]) -> list[Row]:
    """Return the problems as rows."""
    return [{key.name: getattr(each, key.field) for key in keys.PROBLEMS.keys} for each in problems]


def _row(table: Table, record: object, units: Units, **known: Any) -> Row:
    """Return the row that a record makes; ``known`` holds what does not stand in it, or stands otherwise."""
    return {
        key.name: _plain(
            known[key.name] if key.name in known else getattr(record, key.field), key.holds, units
        )
        for key in table.keys
    }


def _plain(value: Any, holds: str, units: Units) -> Any:
    """Return a value as plain data in the job's unit; a whole number among sizes is a count."""
    if hasattr(value, "_asdict"):
        return {name: _plain(each, holds, units) for name, each in value._asdict().items()}
    match value:
        case None | bool() | int() | str():
            return value
        case float():
            return _number(value, holds, units)
        case Decimal() if holds == "share":
            return round(float(value), 9)
        case Decimal():
            return value if int(value.as_tuple().exponent) <= -2 else value.quantize(CENT)
        case Species() | Stock():
            return value.name
        case date():
            return value.isoformat()
        case tuple() | list():
            return [_plain(each, holds, units) for each in value]
    raise TypeError(type(value).__name__)


def _number(value: float, holds: str, units: Units) -> float | None:
    return units.shown(value, holds) if math.isfinite(value) else None

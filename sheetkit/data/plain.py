"""Answers as plain data, in the tables and keys of keys.py: for --json, and for data frames in a notebook."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from datetime import date
from decimal import ROUND_FLOOR, Decimal
from typing import TYPE_CHECKING, Any

from sheetkit.data import keys
from sheetkit.data.keys import Key, Table
from sheetkit.plan.beside import beside, board_values
from sheetkit.plan.climate import Climate, Movements, degrees_of, panel_swing
from sheetkit.plan.shop import movement_of
from sheetkit.plan.volume import volume_of_blanks
from sheetkit.records.answers import Answers
from sheetkit.records.costs import Costs
from sheetkit.records.elevations import Elevation
from sheetkit.records.job import ROWS, JobSheet, Stock
from sheetkit.records.joinery import Stick
from sheetkit.records.messages import REFUSALS
from sheetkit.records.problems import Problem
from sheetkit.records.units import Units
from sheetkit.records.wood import StockLayout
from sheetkit.tables import Species, source
from sheetkit.units import Unit, cents, rounded
from sheetkit.version import VERSION

if TYPE_CHECKING:
    from pandas import DataFrame

Row = dict[str, Any]
Tables = dict[str, list[Row]]

CENT = Decimal("0.01")


def units_of(units: Units) -> dict[str, str]:
    """Return the unit of each quantity in a job."""
    return {name: units.name(name) for name in (*keys.UNITS, *keys.BY_JOB)}


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
        "Parts": answers.parts, "Panels": answers.panels, "Joints": answers.joints, "Spacing": answers.runs,
        "Shapes": answers.shapes, "Loads": answers.loads, "Glue-ups": answers.glue_ups, "Finish": answers.finish,
        "Boards": (), "Extras": made.extras_answers, "Labor": made.operations,
    }  # fmt: skip
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
        found["layouts"].append(_row(
            keys.LAYOUTS, layout, units, **wood,
            boards=[each.board.id for each in layout.boards], unused=[each.id for each in layout.unused],
            bought=sorted(laid.bought),
            cost=cents(Decimal(layout.cost)) if laid.in_money else None,
            least_cost=Decimal(least).quantize(CENT, ROUND_FLOOR) if laid.in_money and least else None,
            least_volume=None if laid.in_money else least,
        ))  # fmt: skip
        for buy in laid.to_buy:
            names = list(dict.fromkeys(laid.blanks[int(piece)].of for piece in buy.pieces))
            found["to_buy"].append(_row(keys.TO_BUY, buy, units, **wood, in_one=0.0, how="", of=names))
        for each in layout.boards:
            here = {**wood, "board": each.board.id}
            for section in each.sections:
                for strip in section.strips:
                    found["pieces"] += [
                        _row(keys.PIECES, placed, units, **here, of=_name(placed.piece, laid),
                             section=section.number, strip=strip.number)
                        for placed in strip.placed
                    ]  # fmt: skip
            found["cuts"] += [
                _row(keys.CUTS, cut, units, **here, of=_name(cut.piece, laid)) for cut in each.cuts
            ]
            found["left_overs"] += [_row(keys.LEFT_OVERS, left, units, **here) for left in each.left_overs]
    return found


def _name(piece: str, laid: StockLayout) -> str:
    return laid.blanks[int(piece)].of if piece.isdigit() else ""


def _marks(sticks: Sequence[Stick], units: Units) -> Iterator[Row]:
    finest = units.finest
    for stick, each in enumerate(sticks, 1):
        for number, mark in enumerate(each.marks, 1):
            offset = None if mark.offset is None else rounded(mark.offset, finest)
            yield _row(
                keys.MARKS, mark, units, stick=stick, members=each.names, kind=each.kind, note=each.note, surface=each.surface,
                stick_length=each.length, number=number, at=rounded(mark.at, finest), exact=mark.at,
                offset=offset, exact_offset=mark.offset,
            )  # fmt: skip


def _elevations(seen: Sequence[Elevation], units: Units) -> Iterator[Row]:
    for frame, each in enumerate(seen, 1):
        for number, piece in each.numbered:
            yield _row(
                keys.ELEVATIONS, piece, units, frame=frame, frame_name=each.name, frames=each.count,
                frame_width=each.width, frame_height=each.height, from_top=each.from_top, number=number,
                does_not_close=each.remarks,
            )  # fmt: skip


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


def columns(tables: Iterable[Table], units: Mapping[str, str]) -> dict[str, dict[str, Row]]:
    """Return what each key of each table is: its heading, what it holds, whether a list, its unit, its meaning."""
    return {
        table.name: {
            key.name: {
                "heading": key.title,
                "holds": key.holds,
                "list": key.many,
                "unit": unit(key, units),
                "meaning": key.meaning,
            }
            for key in table.keys
        }
        for table in tables
    }


def unit(key: Key, units: Mapping[str, str]) -> str | None:
    """Return the unit of a key, None for what has none."""
    return None if key.holds in keys.BARE else units.get(key.holds) or keys.FIXED[key.holds]


def head(command: str, done: bool, **more: object) -> Row:
    """Return what every object begins with."""
    return {"form": keys.FORM, "sheetkit": VERSION, "command": command, "done": done, **more}


def run_data(answers: Answers | None, problems: Sequence[Problem], **about: object) -> Row:
    """Return a whole run as plain data, without tables when nothing was calculated.

    ``about`` is what is said of the file.
    """
    told: Row = {"units": {}, "rounding": {}, "columns": columns([keys.PROBLEMS], {}), "tables": {}}
    if answers is not None:
        sheet = answers.job.sheet
        of_job = Units.of(sheet)
        units = units_of(of_job)
        step = of_job.size(sheet.step)
        told = {
            "units": units,
            "rounding": {"step": step, "blanks": "up", "panels": "down", "other": "not rounded"},
            "columns": columns((*keys.TABLES_OF_RUN, keys.PROBLEMS), units),
            "tables": tables_of(answers),
        }
    return {**head("run", answers is not None, **about), **told, "problems": problem_rows(problems)}


def refusal_data(command: str, reason: str, detail: str) -> Row:
    """Return a refusal as plain data."""
    found = Problem(reason, "", stands=detail, says=REFUSALS.get(reason, reason))
    return head(command, False, problems=problem_rows([found]))


def review_data(frames: Mapping[str, DataFrame], metric: bool, **about: object) -> Row:
    """Return a look back over past jobs as plain data, from its data frames; ``about`` is what is said of the file."""
    units = units_of(Units("in", "m3" if metric else "exact"))
    tables = {
        table.name: [
            {key.name: _of_frame(row[key.name], key.holds) for key in table.keys}
            for row in frames[table.name].to_dict("records")
        ]
        for table in keys.TABLES_OF_REVIEW
    }
    return {
        **head("review", True, **about),
        "columns": columns(keys.TABLES_OF_REVIEW, units),
        "tables": tables,
        "problems": [],
    }


def _of_frame(value: Any, holds: str) -> Any:
    if isinstance(value, float):
        if not math.isfinite(value):
            return None
        return cents(Decimal(value)) if holds == "own_money" else round(value, 9)
    return value


def species_data(species: Iterable[Species]) -> Row:
    """Return what is published of some species as plain data, with the sources in full."""
    numbers = {key.name for key in keys.SPECIES.keys if key.holds not in keys.BARE}
    rows = [
        {key: (float(text) if text else None) if key in numbers else text for key, text in each.facts}
        for each in species
    ]
    cited = {text for row in rows for key, text in row.items() if key.endswith("_source") and text}
    return {
        **head("species", True),
        "columns": columns([keys.SPECIES], {}),
        "tables": {"species": rows},
        "sources": {key: source(key) for key in sorted(cited)},
        "problems": [],
    }


def movement_data(moved: Movements) -> Row:
    """Return the moisture of wood in a climate, and how far panels move there, as plain data."""
    climate, air = moved.climate, moved.climate.air
    seasons = (
        ("driest", climate.driest, air and air.driest),
        ("wettest", climate.wettest, air and air.wettest),
    )
    units = units_of(Units(moved.unit))
    return {
        **head("species", True),
        "columns": columns([keys.CLIMATE, keys.MOVEMENT], units),
        "tables": {
            "climate": [
                {"season": season, "temperature": air and degrees_of(air, moved.unit), "humidity": humidity,
                 "moisture": round(moisture, 9)}
                for season, moisture, humidity in seasons
            ],
            "movement": [
                _movement_row(each, width, unit, climate) for each in moved.species for unit, width in moved.sizes
            ],
        },
        "problems": [],
    }  # fmt: skip


def _movement_row(species: Species, width: float, unit: Unit, climate: Climate) -> Row:
    scale = Units(unit).factor("length")
    swing = panel_swing(species, width, climate)
    row: Row = {"species": species.name, "width": round(width * scale, 9), "unit": unit}
    for cut, size in (("flat", swing.flat), ("quarter", swing.quarter)):
        movement = movement_of(species, cut)
        row[cut] = None if size is None else round(size * scale, 9)
        row[f"{cut}_equation"] = ""
        if movement:
            row[f"{cut}_equation"] = "13-2" if climate.inside_range or movement.shrinkage is None else "13-3"
    return row


def as_json(data: Row) -> str:
    """Write plain data as JSON: money as text such as "12.50", ASCII alone, never a NaN."""
    return json.dumps(data, indent=1, allow_nan=False, default=lambda amount: format(amount, "f"))


def data_frames(data: Row) -> dict[str, DataFrame]:
    """Return each table of a run, and its problems, as a data frame; ``attrs["units"]`` holds the unit of each column."""
    from pandas import DataFrame

    frames = {}
    for name, rows in {**data["tables"], "problems": data["problems"]}.items():
        told = data["columns"][name]
        frames[name] = DataFrame(rows, columns=list(told))
        frames[name].attrs["units"] = {key: each["unit"] for key, each in told.items()}
    return frames

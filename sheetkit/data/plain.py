"""Answers as plain data, in the tables and keys of keys.py: for --json, and for data frames in a notebook."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from sheetkit.data import keys
from sheetkit.data.keys import Key, Table
from sheetkit.data.rows import Row, problem_rows, tables_of
from sheetkit.plan.climate import Climate, Movements, degrees_of, panel_swing
from sheetkit.plan.shop import movement_of
from sheetkit.records.answers import Answers
from sheetkit.records.messages import REFUSALS
from sheetkit.records.problems import Problem
from sheetkit.records.units import Units
from sheetkit.tables import Species, source
from sheetkit.units import Unit, cents
from sheetkit.version import VERSION

if TYPE_CHECKING:
    from pandas import DataFrame


def units_of(units: Units) -> dict[str, str]:
    """Return the unit of each quantity in a job."""
    return {name: units.name(name) for name in (*keys.UNITS, *keys.BY_JOB)}


def columns(tables: Iterable[Table], units: Mapping[str, str]) -> dict[str, dict[str, Row]]:
    """Return what each key of each table is: heading, what it holds, whether a list, unit, meaning."""
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
    """Return a look back over past jobs as plain data, from its frames; ``about`` is said of the file."""
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
                {
                    "season": season,
                    "temperature": air and degrees_of(air, moved.unit),
                    "humidity": humidity,
                    "moisture": round(moisture, 9),
                }
                for season, moisture, humidity in seasons
            ],
            "movement": [
                _movement_row(each, width, unit, climate)
                for each in moved.species
                for unit, width in moved.sizes
            ],
        },
        "problems": [],
    }


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
    """Return each table of a run, and its problems, as a data frame; ``attrs["units"]`` holds the units."""
    from pandas import DataFrame

    frames = {}
    for name, rows in {**data["tables"], "problems": data["problems"]}.items():
        told = data["columns"][name]
        frames[name] = DataFrame(rows, columns=list(told))
        frames[name].attrs["units"] = {key: each["unit"] for key, each in told.items()}
    return frames

"""The JSON Schema of every JSON answer, made from the tables and keys of keys.py and the records.

``answers.schema.json`` beside this module is what it makes; a test compares the two.
"""

from __future__ import annotations

import types
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from sheetkit.calc.layout import model as layout
from sheetkit.data import keys
from sheetkit.data.keys import Key, Table
from sheetkit.form.columns import TABLES, Column, Kind
from sheetkit.form.labels import JOB
from sheetkit.records import buying, costs, elevations, joinery, wood
from sheetkit.records.job import ROWS, JobSheet, Stock
from sheetkit.records.messages import KINDS, MESSAGES, REFUSALS
from sheetkit.records.problems import Problem
from sheetkit.tables import Species

Schema = dict[str, Any]

SHIPPED = Path(__file__).parent / "answers.schema.json"
DIALECT = "https://json-schema.org/draft/2020-12/schema"
TOLD_BY: Mapping[str, type] = {
    "job": JobSheet, "rough_sizes": wood.Blank, "lumber": wood.LumberLine, "layouts": layout.Layout,
    "to_buy": layout.ToBuy, "pieces": layout.Placed, "cuts": layout.Cut, "left_overs": layout.LeftOver,
    "tenon_stock": joinery.TenonMilling, "cavities": joinery.Cavity, "marks": joinery.Mark,
    "elevations": elevations.Piece,
    "supplies": costs.Supply, "purchases": buying.Purchase,
    "estimate": costs.Estimate, "alternatives": costs.Alternative, "problems": Problem,
    "parts": wood.PartAnswer, "panels": wood.PanelAnswer, "joints": joinery.JointAnswer,
    "spacing": joinery.RunAnswer, "shapes": joinery.ShapeAnswer, "loads": joinery.LoadAnswer,
    "glue_ups": joinery.GlueUpAnswer, "finish": joinery.FinishAnswer, "extras": costs.ExtraAnswer,
    "labour": costs.OperationAnswer,
}  # fmt: skip
"""The record that a table of a run tells; what stands in none goes by what its key holds."""
MAY_BE_NULL = {
    *("job.weight", "quote.share", "alternatives.hardness"),
    *("layouts.cost", "layouts.least_cost", "layouts.least_volume"),
    *("marks.offset", "marks.exact_offset"),
    *("climate.temperature", "climate.humidity", "movement.flat", "movement.quarter"),
}
"""Keys that tell no field of a record and may be unknown."""
OPEN_ITEMS = frozenset(("spacing.gaps",))
"""Lists in which an item may be left open."""
WORKED_OUT = frozenset(("layouts.cost", "marks.offset", "marks.at", "cuts.of", "pieces.of", "cavities.part"))
"""Keys named as a field of the record that tell it in another form."""
MEASURED = frozenset(("operations.count",))
"""Counts of no record that need not be whole: square feet are counted too."""
QUANTITY = "quantity"
ONE_OF: Mapping[str, tuple[str, ...]] = {
    "rough_sizes.tab": ("Parts", "Panels"),
    "rough_sizes.role": ("piece", "ply", "stave", "leaf"),
    "cuts.kind": ("crosscut", "rip"),
    "cuts.purpose": (
        "trim end",
        "section",
        "off bad length",
        "keep length",
        "straighten edge",
        "off bad spot",
        "keep width",
        "strip",
        "piece",
        "trim to width",
    ),
    "elevations.what": tuple(elevations.Seen),
    "elevations.grain": ("", "up", "across"),
    "marks.kind": ("member", "run", "curve", "taper"),
    "quote.name": ("price", "delivery", "tax", "total", "deposit", "balance"),
    "problems.weight": tuple(KINDS),
    "climate.season": ("driest", "wettest"),
    "movement.unit": ("in", "mm"),
    "movement.flat_equation": ("", "13-2", "13-3"),
    "movement.quarter_equation": ("", "13-2", "13-3"),
}
"""Words that a key of text may hold, where no drop-down lists them."""
TEXT, NUMBER = {"type": "string"}, {"type": "number"}
MONEY = {"$ref": "#/$defs/money"}
COMMON = {
    "money": {
        "type": "string",
        "pattern": r"^-?\d+\.\d{2,}$",
        "description": "An amount, as text so that no cent is lost.",
    },
    "date": {"type": "string", "format": "date", "pattern": r"^\d{4}-\d\d-\d\d$"},
    "column": {
        "type": "object",
        "properties": {
            "heading": TEXT,
            "holds": {"enum": [*keys.BARE, *keys.UNITS, *keys.BY_JOB, *keys.FIXED]},
            "list": {"type": "boolean"},
            "unit": {"type": ["string", "null"]},
            "meaning": TEXT,
        },
        "required": ["heading", "holds", "list", "unit", "meaning"],
        "additionalProperties": False,
    },
}


def shipped_schema() -> str:
    """Return the text of the schema that is shipped."""
    return SHIPPED.read_text("utf-8")


def answers_schema() -> Schema:
    """Return one schema that every object of ``run``, ``review`` and ``species`` fits, a refusal too."""
    of_run = (*keys.TABLES_OF_RUN, keys.PROBLEMS)
    maybe: Schema = {"type": ["string", "null"]}
    about: dict[str, Schema] = {"file": TEXT, "written": {"type": "boolean"}, "backup": maybe}
    made: dict[str, Schema] = {"units": _units(), "rounding": _rounding(), "columns": _columns(of_run)}
    bare: dict[str, Schema] = {"units": _object({}), "rounding": _object({})}
    told, some = _problems(MESSAGES), _problems(MESSAGES) | {"minItems": 1}
    refused = _problems(REFUSALS) | {"minItems": 1, "maxItems": 1}
    sources: Schema = {"type": "object", "additionalProperties": TEXT}
    none = {"columns": _columns([keys.PROBLEMS]), "tables": _object({})}
    past = {"columns": _columns(keys.TABLES_OF_REVIEW), "tables": _tables(keys.TABLES_OF_REVIEW, "review_")}
    woods = {"columns": _columns([keys.SPECIES]), "tables": _tables([keys.SPECIES], "published_")}
    moved = [keys.CLIMATE, keys.MOVEMENT]
    moves = {"columns": _columns(moved), "tables": _tables(moved)}
    answered = {"tables": _tables(keys.TABLES_OF_RUN), "problems": told}
    nothing = {"problems": _nothing()}
    whole = {
        "run": _object(_head("run", True) | about | made | answered),
        "run_not_calculated": _object(_head("run", False) | about | bare | none | {"problems": some}),
        "review": _object(_head("review", True) | {"file": maybe} | past | nothing),
        "species": _object(_head("species", True) | woods | {"sources": sources} | nothing),
        "climate": _object(_head("species", True) | moves | nothing),
        "refusal": _object(_head("", False) | {"problems": refused}),
    }
    rows = {f"{table.name}_row": _row(table) for table in (*of_run, keys.CLIMATE, keys.MOVEMENT)}
    rows |= {f"review_{table.name}_row": _row(table) for table in keys.TABLES_OF_REVIEW}
    rows["published_species_row"] = _row(keys.SPECIES)
    return {
        "$schema": DIALECT,
        "$id": f"urn:sheetkit:answers:{keys.FORM}",
        "title": "What sheetkit writes with --json",
        "description": "One object: of run, review or species, or a refusal of one of them. Sizes are "
        "numbers in the unit that columns names, money is text, what is not known is null.",
        "oneOf": [{"$ref": f"#/$defs/{name}"} for name in whole],
        "$defs": {**whole, **rows, **COMMON},
    }


def _object(properties: Mapping[str, Schema]) -> Schema:
    """Return the schema of an object that has these keys, all of them and no other."""
    made: Schema = {"type": "object", "properties": dict(properties), "additionalProperties": False}
    return made | {"required": list(properties)} if properties else made


def _head(command: str, done: bool) -> dict[str, Schema]:
    named: Schema = {"const": command} if command else {"enum": ["run", "review", "species"]}
    return {"form": {"const": keys.FORM}, "sheetkit": TEXT, "command": named, "done": {"const": done}}


def _units() -> Schema:
    fixed = {name: {"enum": list(dict.fromkeys(pair))} for name, pair in keys.UNITS.items()}
    return _object(fixed | {"volume": {"enum": ["bf", "m3"]}, "money": TEXT, "price": TEXT, "rate": TEXT})


def _rounding() -> Schema:
    words = {"blanks": "up", "panels": "down", "other": "not rounded"}
    step = {"type": "number", "exclusiveMinimum": 0}
    return _object({"step": step, **{name: {"const": word} for name, word in words.items()}})


def _columns(tables: Iterable[Table]) -> Schema:
    return _object({table.name: _told_of([key.name for key in table.keys]) for table in tables})


def _told_of(names: list[str]) -> Schema:
    """Return the schema of an object with one column for each name."""
    column = {"$ref": "#/$defs/column"}
    return {
        "type": "object",
        "propertyNames": {"enum": names},
        "minProperties": len(names),
        "additionalProperties": column,
    }


def _tables(tables: Iterable[Table], of: str = "") -> Schema:
    return _object(
        {
            table.name: {"type": "array", "items": {"$ref": f"#/$defs/{of}{table.name}_row"}}
            for table in tables
        }
    )


def _problems(codes: Iterable[str]) -> Schema:
    row = {"$ref": "#/$defs/problems_row", "properties": {"code": {"enum": list(codes)}}}
    return {"type": "array", "items": row}


def _nothing() -> Schema:
    return {"type": "array", "maxItems": 0}


def _row(table: Table) -> Schema:
    properties = {key.name: _value(table, key) | {"description": key.meaning} for key in table.keys}
    return {"description": f"A row is {table.row_is}.", **_object(properties)}


def _value(table: Table, key: Key) -> Schema:
    """Return the schema of one key's values: by its column, by the record it tells, else by what it holds."""
    told = f"{table.name}.{key.name}"
    column = _column(table, key.name)
    if told in ONE_OF:
        return {"enum": list(ONE_OF[told])}
    if key.name in table.beside and column is not None:
        return _nullable(_held(_of_kind(column, key)))
    asked = key.name == "row" or key.name in table.asked
    record = ROWS[table.tab][1] if table.tab and asked else TOLD_BY.get(table.name)
    hint = _hints(record).get(key.field) if record and told not in WORKED_OUT else None
    if hint is None:
        return _listed(told, key, told in MAY_BE_NULL or _of_figures(table, key))
    found = _hinted(hint, key.holds)
    if column is not None and column.kind is Kind.CHOICE and found == TEXT:
        empty = () if column.required or column.default else ("",)
        found = {"enum": [*column.choices, *column.unlisted, *empty]}
    # a row of the maker's that could not be answered stands all the same
    return found if asked or not table.tab else _nullable(found)


def _column(table: Table, name: str) -> Column | None:
    """Return the column or label that a key is named for."""
    if table.name == "job":
        return next((label for label in JOB if label.name == name), None)
    columns = (column for tab in TABLES if tab.title == table.tab for column in (*tab.asked, *tab.answered))
    return next((column for column in columns if column.name == name), None)


def _of_kind(column: Column, key: Key) -> str:
    """Return what a cell filled in beside a row holds: a count is whole only where its column says so."""
    return QUANTITY if key.holds == "count" and column.kind is not Kind.WHOLE else key.holds


def _of_figures(table: Table, key: Key) -> bool:
    """Whether a figure of past jobs or of a species, which may not be recorded or published."""
    return table in (*keys.TABLES_OF_REVIEW, keys.SPECIES) and key.holds not in ("text", "yes or no", "date")


def _listed(told: str, key: Key, nullable: bool) -> Schema:
    one = _held(QUANTITY if told in MEASURED else key.holds)
    if told in OPEN_ITEMS:
        one = _nullable(one)
    found = {"type": "array", "items": one} if key.many else one
    return _nullable(found) if nullable else found


def _held(holds: str) -> Schema:
    """Return the schema of one value by what it holds."""
    match holds:
        case "text":
            return TEXT
        case "count":
            return {"type": "integer"}
        case "yes or no":
            return {"type": "boolean"}
        case "date":
            return {"$ref": "#/$defs/date"}
        case "money" | "price" | "rate" | "own_money":
            return MONEY
    return NUMBER


def _nullable(found: Schema) -> Schema:
    if "enum" in found:
        return found | {"enum": [*found["enum"], None]} if None not in found["enum"] else found
    if isinstance(found.get("type"), list) or "anyOf" in found:  # null already
        return found
    if found.keys() == {"type"}:
        return {"type": [found["type"], "null"]}
    return {"anyOf": [found, {"type": "null"}]}


@cache
def _hints(record: type) -> dict[str, Any]:
    """Return the type of each field and property of a record."""
    found = get_type_hints(record)
    for base in reversed(record.__mro__):
        for name, each in vars(base).items():
            if isinstance(each, property) and each.fget is not None:
                found[name] = get_type_hints(each.fget)["return"]
    return found


def _hinted(hint: Any, holds: str) -> Schema:
    """Return the schema of a type, as plain.py writes its values."""
    of = get_args(hint)
    if get_origin(hint) in (Union, types.UnionType):
        (inner,) = (each for each in of if each is not type(None))
        return _nullable(_hinted(inner, holds))
    if get_origin(hint) is Literal:
        return {"enum": list(of)}
    if get_origin(hint) is tuple:
        if of[-1] is Ellipsis:
            return {"type": "array", "items": _hinted(of[0], holds)}
        return {
            "type": "array",
            "prefixItems": [_hinted(each, holds) for each in of],
            "minItems": len(of),
            "maxItems": len(of),
        }
    if hasattr(hint, "_fields"):  # a record told whole within a row
        return _object({name: _hinted(each, holds) for name, each in get_type_hints(hint).items()})
    if hint is Decimal:
        return NUMBER if holds == "share" else MONEY
    plain = {
        str: "string",
        Species: "string",
        Stock: "string",
        int: "integer",
        bool: "boolean",
        float: "number",
    }.get(hint)
    return {"$ref": "#/$defs/date"} if hint is date else {"type": plain or _held(holds)["type"]}

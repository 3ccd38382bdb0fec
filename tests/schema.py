"""Whether an answer fits the JSON Schema that is shipped, as an independent library judges it."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from jsonschema import Draft202012Validator, FormatChecker
from jsonschema.exceptions import best_match

from sheetkit.data.schema import SHIPPED


@cache
def validator() -> Draft202012Validator:
    """Return the judge of the shipped schema, dates included."""
    schema = json.loads(SHIPPED.read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema, format_checker=FormatChecker())


def misfit(data: object) -> str:
    """Return what in an answer does not fit the schema, and where; empty when all does."""
    found = best_match(validator().iter_errors(data))
    return "" if found is None else f"{'/'.join(map(str, found.absolute_path))}: {found.message[:300]}"


def fitting(data: dict[str, Any]) -> dict[str, Any]:
    """Return an answer that was found to fit."""
    assert misfit(data) == ""
    return data

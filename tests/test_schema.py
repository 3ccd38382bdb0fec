"""The JSON Schema of the answers: shipped as made, strict, and true of every kind of answer."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest
from click.testing import CliRunner

from sheetkit.data import keys
from sheetkit.data.plain import as_json, run_data
from sheetkit.data.schema import MAY_BE_NULL, MEASURED, ONE_OF, SHIPPED, TOLD_BY, WORKED_OUT, answers_schema
from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.records.messages import REFUSALS
from sheetkit.terminal.cli import main
from tests.jobs import pages
from tests.make_schema import schema_text
from tests.make_templates import TOP
from tests.schema import fitting, misfit
from tests.test_messages import CASES

Data = dict[str, Any]


def test_the_schema_that_is_shipped_is_the_one_made() -> None:
    assert SHIPPED.read_text("utf-8") == schema_text(), "run: python -m tests.make_schema"


def test_explain_prints_the_schema_that_is_shipped() -> None:
    done = CliRunner().invoke(main, ["explain", "--schema"])
    assert done.exit_code == 0
    assert json.loads(done.stdout) == answers_schema()


def said(*words: str) -> Data:
    """Return a command's answer, found to fit."""
    done = CliRunner().invoke(main, [*words, "--json"])
    data: Data = json.loads(done.stdout)
    return fitting(data)


EXAMPLE = (str(TOP / "examples" / "entry-bench.xlsx"), "--check", "--effort", "0.1")


@pytest.fixture(scope="module")
def example() -> Data:
    return said("run", *EXAMPLE)


@pytest.mark.parametrize("code", [code for code in CASES if code != "too-many-rows"])
def test_every_job_that_a_message_is_about_fits(code: str) -> None:
    """Half-filled jobs of every kind: the answers to their good rows stand beside what is missing."""
    intake = take_in(pages(CASES[code].tables))
    about = {"file": "job.xlsx", "written": False, "backup": None}
    if any(found.weight == "error" for found in intake.problems):
        data = run_data(None, intake.problems, **about)
    else:
        found = answer(intake.job, 0.1)
        whole = all(each.weight != "error" for each in found.problems)
        data = run_data(found if whole else None, found.problems, **about)
        assert whole or data["tables"] == {}
    fitting(json.loads(as_json(data)))


def _without(*path: str | int) -> Callable[[Data], None]:
    def take_away(data: Data) -> None:
        inside: Any = data
        for step in path[:-1]:
            inside = inside[step]
        del inside[path[-1]]

    return take_away


def _with(value: object, *path: str | int) -> Callable[[Data], None]:
    def put(data: Data) -> None:
        inside: Any = data
        for step in path[:-1]:
            inside = inside[step]
        inside[path[-1]] = value

    return put


@pytest.mark.parametrize(
    "change",
    [
        _without("tables", "parts", 0, "blank_width"),
        _without("tables", "lumber"),
        _without("units", "length"),
        _without("columns", "parts", "width"),
        _without("backup"),
        _with(1, "tables", "parts", 0, "shade"),
        _with([], "tables", "more"),
        _with("3 1/2", "tables", "parts", 0, "blank_width"),
        _with(None, "tables", "parts", 0, "width"),
        _with("oaken", "tables", "parts", 0, "made_as"),
        _with(2.5, "tables", "parts", 0, "qty"),
        _with(True, "tables", "parts", 0, "qty"),
        _with(2322.58, "tables", "estimate", 0, "price"),
        _with("2,322.58", "tables", "estimate", 0, "price"),
        _with("2322.5", "tables", "estimate", 0, "price"),
        _with("last week", "tables", "job", 0, "date"),
        _with("2026-02-31", "tables", "job", 0, "date"),
        _with([[1.0]], "tables", "spacing", 0, "sides"),
        _with([{"place": 1.0}], "tables", "shapes", 0, "offsets"),
        _with("saw", "tables", "cuts", 0, "kind"),
        _with("furlong", "units", "length"),
        _with(0, "rounding", "step"),
        _with("lost", "problems", 0, "code"),
        _with(False, "done"),
        _with("review", "command"),
        _with(keys.FORM + 1, "form"),
    ],
)
def test_what_is_not_as_told_does_not_fit(example: Data, change: Callable[[Data], None]) -> None:
    changed = copy.deepcopy(example)
    change(changed)
    assert misfit(changed)


def test_a_refusal_fits_with_every_reason_and_one_alone() -> None:
    refused = said("run", "no-such-file.xlsx")
    (problem,) = refused["problems"]
    for reason, words in REFUSALS.items():
        fitting({**refused, "problems": [{**problem, "code": reason, "says": words}]})
    assert misfit({**refused, "problems": []})
    assert misfit({**refused, "problems": [{**problem, "code": "empty"}]})


def test_review_and_species_fit_but_not_one_for_the_other() -> None:
    past = said("review", str(TOP / "examples" / "past-jobs"))
    oak, moved = said("species", "white", "oak"), said("species", "--climate")
    assert misfit({**past, "command": "species"})
    assert misfit({**oak, "tables": moved["tables"]})
    assert misfit({**moved, "tables": oak["tables"]})
    oak["tables"]["species"][0]["hardness_lbf"] = "1360"
    assert misfit(oak)


def test_the_schema_speaks_of_no_key_that_is_not_there() -> None:
    tables = (*keys.TABLES_OF_RUN, keys.PROBLEMS, *keys.TABLES_OF_REVIEW, keys.CLIMATE, keys.MOVEMENT)
    there = {f"{table.name}.{key.name}" for table in tables for key in table.keys}
    assert {*MAY_BE_NULL, *MEASURED, *ONE_OF, *WORKED_OUT} <= there
    assert set(TOLD_BY) <= {table.name for table in tables}

"""Jobs by chance, each worked out twice; and figures of woods beside those that sheetkit holds."""

from __future__ import annotations

import ast
import csv
from collections.abc import Mapping
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from tests.recomputed.answers import Answers
from tests.recomputed.chance import jobs
from tests.recomputed.compare import unlike
from tests.recomputed.shop import Impossible
from tests.recomputed.worked import WORKED

HERE = Path(__file__).parent
TABLES = HERE.parents[1] / "sheetkit" / "tables"
JOBS = 8


@pytest.mark.parametrize("name", WORKED)
def test_jobs_that_ask_for_every_rule_are_answered_as_they_are_worked_out_here(
    tmp_path: Path, name: str
) -> None:
    assert Answers(WORKED[name]).tables(), "it can be worked out"
    assert not unlike(tmp_path / "job.xlsx", WORKED[name])


def test_nothing_of_sheetkit_is_used_but_its_run() -> None:
    asked = set()
    for path in HERE.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [each.name for each in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            asked |= {
                name
                for name in names
                if name.startswith(("sheetkit", "tests")) and not name.startswith("tests.recomputed")
            }
            if (
                isinstance(node, ast.Attribute)
                and isinstance(node.value, ast.Name)
                and node.value.id == "sheetkit"
            ):
                asked.add(f"sheetkit.{node.attr}")
    assert asked == {"sheetkit", "sheetkit.run"}


def test_the_figures_of_every_wood_are_those_of_their_source() -> None:
    """Row by row and figure by figure: shrinkage, movement, gravity, strength."""

    def held(path: Path) -> dict[str, dict[str, Any]]:
        with path.open(encoding="utf-8") as file:
            return {row["name"]: row for row in csv.DictReader(file)}

    own, theirs = held(HERE / "woods.csv"), held(TABLES / "species.csv")
    assert set(own) == set(theirs)
    columns = [column for column in next(iter(own.values())) if column not in ("name", "origin", "source")]
    unlike = [
        (name, column, theirs[name][column], row[column])
        for name, row in own.items()
        for column in columns
        if (theirs[name][column] or row[column])
        and Fraction(theirs[name][column] or -1) != Fraction(row[column] or -1)
    ]
    assert not unlike
    assert all(own[name]["origin"] == theirs[name]["origin"] for name in own)


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_jobs_by_chance_are_answered_as_they_are_worked_out_here(
    tmp_path_factory: pytest.TempPathFactory, ending: str, unit: str
) -> None:
    path, possible = tmp_path_factory.mktemp("jobs") / f"job{ending}", 0

    @settings(max_examples=JOBS, deadline=None, derandomize=True, database=None, phases=[Phase.generate],
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(jobs(unit))
    def holds(job: Mapping[str, Any]) -> None:
        nonlocal possible
        assert not unlike(path, job), job
        with suppress(Impossible):
            possible += bool(Answers(job))

    holds()
    assert possible > JOBS / 2, "too few of the jobs could be worked out"

"""No public function of calc is without a check against something outside it."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.printed.outside import OUTSIDE, Outside
from tests.printed.table import CHECKS
from tests.test_docstrings import FUNCTIONS

TESTS = Path(__file__).parents[1] / "calc"


def test_no_public_function_of_calc_is_without_an_outside_check() -> None:
    held = {check.checked for check in CHECKS} | {row.function for row in OUTSIDE}
    assert set(FUNCTIONS) - held == set()


def test_every_name_listed_is_a_function_and_stands_once() -> None:
    assert {check.checked for check in CHECKS} | {row.function for row in OUTSIDE} <= set(FUNCTIONS)
    assert len({row.function for row in OUTSIDE}) == len(OUTSIDE)


def names_in(node: ast.AST) -> set[str]:
    return {inner.id for inner in ast.walk(node) if isinstance(inner, ast.Name)}


@pytest.mark.parametrize("row", OUTSIDE, ids=lambda row: row.function)
def test_the_test_that_is_named_compares_that_function(row: Outside) -> None:
    file, name = row.test.split("::")
    tree = ast.parse((TESTS / file).read_text(encoding="utf-8"))
    (test,) = (node for node in tree.body if isinstance(node, ast.FunctionDef) and node.name == name)
    module, function = row.function.split(".")
    assert function in names_in(test), f"{name} does not call {function}"
    imported = {
        alias.name
        for node in tree.body
        if isinstance(node, ast.ImportFrom) and node.module == f"sheetkit.calc.{module}"
        for alias in node.names
    }
    assert function in imported
    assert any(isinstance(node, ast.Assert) for node in ast.walk(test)), "it holds nothing to be true"

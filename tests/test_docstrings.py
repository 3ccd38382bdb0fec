"""Every published model in calc is documented the same way, and the calc modules stay small and pure."""

from __future__ import annotations

import ast
import importlib
import inspect
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import sheetkit.calc

MODULES = sorted(path for path in Path(sheetkit.calc.__path__[0]).glob("*.py") if path.name != "__init__.py")
PACKAGE = Path(sheetkit.__path__[0])
CLEAN = sorted(PACKAGE.rglob("*.py"))
"""Where the usual words and the formatter hold: throughout."""
OF_DATA = ("columns", "example", "example_mm", "keys", "labels", "messages", "quote_words")
TABLES_OF_DATA = [path for path in CLEAN if path.stem in OF_DATA and path.parent.name != "tabs"]
"""Modules of tables, a row a line, of which pyproject.toml knows too."""
SECTIONS = ("Parameters", "Returns", "Raises", "Notes", "References", "Examples")
HEAD = re.compile(r"^(\w[\w *,]*) : \S")
UNIT = re.compile(r"\[[^\[\]]+\][.;]?$")


def public_functions(module: Path) -> dict[str, Callable[..., Any]]:
    """Return the public functions that a calc module defines, by their names within calc."""
    loaded = importlib.import_module(f"sheetkit.calc.{module.stem}")
    return {
        f"{module.stem}.{name}": thing
        for name, kept in vars(loaded).items()
        for thing in [inspect.unwrap(kept) if callable(kept) else kept]  # behind a cache
        if inspect.isfunction(thing) and thing.__module__ == loaded.__name__ and not name.startswith("_")
    }


FUNCTIONS = {name: thing for module in MODULES for name, thing in public_functions(module).items()}
TRIVIAL = (
    "boxes.centered",
    "clamps.clamps_for_force",
    "grooves.room_in_grooves",
    "lumber.in_a_row",
    "money.deposit",
    "money.labor_cost",
    "money.margin_from_markup",
    "money.markup_from_margin",
    "money.overhead",
    "money.price_by_margin",
    "money.price_by_markup",
    "money.tax",
    "rough.thickness_for_leaves",
)
"""Arithmetic of one line behind its checks: no published formula, no geometry. One line says what they return."""
MOST_STATEMENTS = 3
MODELS = [name for name in FUNCTIONS if name not in TRIVIAL]


def sections_of(docstring: str) -> dict[str, list[str]]:
    """Split a numpydoc docstring into its sections."""
    lines = inspect.cleandoc(docstring).splitlines()
    found: dict[str, list[str]] = {"": []}
    current = ""
    for line, ruled in zip(lines, [*lines[1:], ""], strict=True):
        if ruled and set(ruled) == {"-"}:
            current = line
            found[current] = []
        elif not (line and set(line) == {"-"}):
            found[current].append(line)
    return found


def parameters_of(lines: list[str]) -> dict[str, str]:
    """Return the text of each parameter named in a Parameters section."""
    texts: dict[str, str] = {}
    named: list[str] = []
    for line in lines:
        head = HEAD.match(line)
        if head:
            named = [name.strip(" *") for name in head.group(1).split(",")]
            texts.update(dict.fromkeys(named, ""))
        else:
            texts.update({name: f"{texts[name]} {line.strip()}".strip() for name in named})
    return texts


def test_the_modules_and_functions_of_calc_are_found() -> None:
    assert {"beams", "movement", "weight"} <= {module.stem for module in MODULES}
    assert len(FUNCTIONS) > 50


@pytest.mark.parametrize("name", MODELS)
def test_a_function_says_what_it_takes_gives_raises_and_where_it_is_from(name: str) -> None:
    docstring = FUNCTIONS[name].__doc__
    assert docstring is not None
    found = sections_of(docstring)
    for section in SECTIONS:
        assert any(line.strip() for line in found.get(section, ())), f"{name} has no {section}"
    assert docstring.lstrip().splitlines()[0].endswith("."), "the first line is a sentence"
    assert any(line.startswith(">>> ") for line in found["Examples"])


@pytest.mark.parametrize("name", MODELS)
def test_each_parameter_is_described_and_its_text_ends_in_its_unit(name: str) -> None:
    texts = parameters_of(sections_of(FUNCTIONS[name].__doc__ or "")["Parameters"])
    assert sorted(texts) == sorted(inspect.signature(FUNCTIONS[name]).parameters)
    for parameter, text in texts.items():
        assert UNIT.search(text), f"{name}: {parameter} ends in no [unit]: {text!r}"


@pytest.mark.parametrize("name", TRIVIAL)
def test_a_trivial_function_is_told_in_one_line_and_is_trivial(name: str) -> None:
    docstring = FUNCTIONS[name].__doc__ or ""
    assert len(docstring.splitlines()) == 1
    assert docstring.startswith("Return ")
    assert docstring.endswith(".")
    (function,) = ast.parse(inspect.getsource(FUNCTIONS[name])).body
    assert isinstance(function, ast.FunctionDef)
    *checks, last = function.body[1:]
    assert len(checks) < MOST_STATEMENTS
    assert isinstance(last, ast.Return)
    for check in checks:  # each refuses bad numbers and reckons nothing
        refuses = isinstance(check, ast.If) and not check.orelse and isinstance(check.body[0], ast.Raise)
        assert refuses or (isinstance(check, ast.Expr) and isinstance(check.value, ast.Call)), name


@pytest.mark.parametrize("path", CLEAN, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_docstring_says_return_as_python_does(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.FunctionDef):
            words = (ast.get_docstring(node) or "").split()
            assert words[:1] not in (["Give"], ["Gives"], ["Returns"]), node.name


@pytest.mark.parametrize("path", CLEAN, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_the_formatter_is_kept_off_tables_of_data_alone(path: Path) -> None:
    text = path.read_text("utf-8")
    assert "fmt: off" not in text
    if path in TABLES_OF_DATA:
        return
    kept_off = {number for number, line in enumerate(text.splitlines(), 1) if "fmt: skip" in line}
    tables = {
        node.end_lineno
        for node in ast.parse(text).body
        if isinstance(node, ast.Assign | ast.AnnAssign)
        and isinstance(node.value, ast.Dict | ast.List | ast.Tuple)
    }
    assert kept_off <= tables


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_a_calc_module_is_short_and_starts_with_what_it_is_for(module: Path) -> None:
    text = module.read_text(encoding="utf-8")
    assert len(text.splitlines()) < 400
    first = (ast.get_docstring(ast.parse(text)) or "").splitlines()[0]
    assert first.endswith(".")


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_a_calc_module_imports_nothing_but_the_standard_library(module: Path) -> None:
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [node.module or "."]
            assert node.level == 0, f"{module.stem} imports a sibling"
        else:
            continue
        for name in names:
            assert name.split(".")[0] in sys.stdlib_module_names, f"{module.stem} imports {name}"
            assert name.split(".")[0] not in {"datetime", "os", "pathlib", "random", "time"}, "not pure"


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_a_calc_module_neither_prints_nor_opens_a_file(module: Path) -> None:
    calls = {
        node.func.id
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert not calls & {"print", "open", "input", "eval", "exec"}

"""The rules of the house that code can check: imports point down, nothing heavy at start, short modules."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent
PACKAGE = TOP / "sheetkit"
MODULES = sorted(PACKAGE.rglob("*.py"))

LAYERS = [
    {"cli"},
    {"report"},
    {"new", "client", "review"},
    {"flow", "past_jobs"},
    {"partlist", "example"},
    {"marking", "template"},
    {"book"},
    {"tabs"},
    {"plan"},
    {"intake"},
    {"labelled"},
    {"headings", "entry"},
    {"money"},
    {"results"},
    {"bench"},
    {"calc"},
    {"model"},
    {"settings"},
    {"columns"},
    {"tables"},
    {"problems"},
    {"problems_bench"},
    {"page"},
    {"units"},
]
"""Rooms from the top down; a room may use only rooms below it."""
LEVEL = {room: level for level, rooms in enumerate(LAYERS) for room in rooms}
SHARED = {
    "tabs": {"draft", "board_picture", "stick_picture", "bar_picture", "live_money"},
    "calc": set(),
    "plan": None,
    "book": None,
}
"""Modules of a folder that their siblings may use; None where a folder is one thing in several files."""
HEAVY = ("lxml", "xlsxwriter", "numpy", "pandas", "pint", "openpyxl", "PIL", "rich", "highspy", "odf")


def room_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return parts[0]


def imports_of(path: Path) -> list[str]:
    """Give the modules of the package that a module imports, as dotted names below the package."""
    found = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if (
            isinstance(node, ast.ImportFrom)
            and node.module
            and node.module.startswith("sheetkit")
            and not node.level
        ):
            rest = node.module.removeprefix("sheetkit").lstrip(".")
            found += [rest] if rest else [alias.name for alias in node.names]
    return [name for name in found if name != "__version__"]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(TOP)))
def test_imports_point_down(path: Path) -> None:
    room = room_of(path)
    if room == "__init__":
        return
    for name in imports_of(path):
        other = name.split(".")[0]
        if other != room:
            assert LEVEL[other] > LEVEL[room], f"{path.name} imports {name}"


@pytest.mark.parametrize("folder", ["calc", "tabs"])
def test_siblings_do_not_know_each_other(folder: str) -> None:
    for path in (PACKAGE / folder).glob("*.py"):
        if path.stem in ("__init__", "pages"):
            continue
        for name in imports_of(path):
            where, _, module = name.partition(".")
            if where == folder and module:
                assert module.split(".")[0] in (SHARED[folder] or set()), f"{path.name} imports {name}"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(TOP)))
def test_a_module_is_short_and_says_what_it_is_for(path: Path) -> None:
    text = path.read_text("utf-8")
    doc = ast.get_docstring(ast.parse(text))
    assert doc, path
    first = doc.splitlines()[0]
    if text.count("\n") > 400:
        assert "one declaration" in first or "because" in first, f"{path.name} is long without a reason"


def loaded_after(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys; print(' '.join(sys.modules))"],
        capture_output=True, text=True, check=True, cwd=TOP,
    )  # fmt: skip
    return {name.split(".")[0] for name in done.stdout.splitlines()[-1].split()}


@pytest.mark.parametrize("code", ["import sheetkit", "import sheetkit.cli"])
def test_nothing_heavy_is_loaded_at_the_start(code: str) -> None:
    assert not loaded_after(code) & set(HEAVY)


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_plain_run_loads_only_what_it_uses(tmp_path: Path, ending: str) -> None:
    from tests.jobs import write

    path = write(
        tmp_path / f"job{ending}",
        {"Parts": "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 30"},
    )
    loaded = loaded_after(f"import sheetkit; assert sheetkit.run({str(path)!r}).ok")
    assert not loaded & (set(HEAVY) - {"lxml", "xlsxwriter"})


def test_nothing_prints_below_the_command_line() -> None:
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                assert node.func.id != "print", path


def test_the_run_function_is_reached_from_the_package() -> None:
    code = "import sheetkit\nassert callable(sheetkit.run)\nfrom sheetkit.flow import Outcome\nassert callable(sheetkit.run)"
    assert "sheetkit" in loaded_after(code)

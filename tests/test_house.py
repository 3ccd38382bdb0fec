"""The rules of the house that code can check: imports point down, nothing heavy at start, short modules."""

from __future__ import annotations

import ast
import subprocess
import sys
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from sheetkit.book.formats import by_ending
from sheetkit.form.example import example_job
from sheetkit.tabs.template import template_pages
from tests.jobs import write

TOP = Path(__file__).parent.parent
PACKAGE = TOP / "sheetkit"
MODULES = sorted(PACKAGE.rglob("*.py"))

BELOW = ("records", "calc", "tables", "page", "units")
ARROWS = {
    "terminal": ("jobs", "data", "tabs", "book", "plan", "intake", "form", "version", *BELOW),
    "jobs": ("data", "tabs", "book", "plan", "intake", "form", "version", *BELOW),
    "data": ("plan", "form", "version", *BELOW),
    "tabs": ("plan", "intake", "form", *BELOW),
    "book": ("form", "records", "page", "units"),
    "plan": BELOW,
    "intake": ("form", *BELOW),
    "form": ("tables", "units"),
    "records": ("calc", "tables", "page", "units"),
    "calc": (),
    "tables": ("units",),
    "page": (),
    "units": (),
    "version": (),
}
"""The rooms of the house, and which others each of them may use; nothing points up, and there is no circle."""
SHARED = {
    "tabs": {
        "draft",
        "decimals",
        "page_breaks",
        "letters",
        "drawing",
        "fit",
        "input_table",
        "growth",
        "quote_words",
        "board_picture",
        "cut_numbers",
        "stick_picture",
        "panel_picture",
        "elevation_picture",
        "bar_picture",
        "live_money",
        "shop_lines",
        "cautions",
    },
    "calc": set(),
    "plan": None,
    "book": None,
}
"""Modules of a folder that their siblings may use; None where a folder is one thing in several files."""
HEAVY = ("lxml", "xlsxwriter", "numpy", "pandas", "pint", "openpyxl", "PIL", "rich",
         "highspy", "odf", "watchfiles")  # fmt: skip


def room_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return parts[0]


def imports_of(path: Path) -> list[str]:
    """Give the modules of the package that a module imports, as dotted names below the package."""
    found = []
    here = path.relative_to(TOP).with_suffix("").parts
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            where = ".".join(
                (*here[: len(here) - node.level], node.module or "") if node.level else (node.module or "",)
            )
            where = where.rstrip(".")
            inside = (TOP.joinpath(*where.split(".")) / "__init__.py").exists()
            modules = [f"{where}.{alias.name}" for alias in node.names] if inside else [where]
            found += [name if is_module(name) else where for name in modules]
    found = [name.removeprefix("sheetkit.") for name in found if name.startswith("sheetkit.")]
    return list(dict.fromkeys(found))


def is_module(name: str) -> bool:
    place = TOP.joinpath(*name.split("."))
    return place.with_suffix(".py").exists() or (place / "__init__.py").exists()


def test_every_room_of_the_house_is_on_the_list() -> None:
    assert {room_of(path) for path in MODULES} - {"__init__", "__main__"} == set(ARROWS)
    assert len(ARROWS) <= 14


def test_the_arrows_make_no_circle() -> None:
    assert tuple(TopologicalSorter(ARROWS).static_order())


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(TOP)))
def test_imports_follow_the_arrows(path: Path) -> None:
    room = room_of(path)
    if room in ("__init__", "__main__"):  # the doors
        return
    for name in imports_of(path):
        other = name.split(".")[0]
        assert other in (room, *ARROWS[room]), f"{path.name} imports {name}"


def test_no_module_needs_itself_through_others() -> None:
    names = {
        ".".join(path.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__"): path
        for path in MODULES
        if path.parent != PACKAGE or path.stem != "__init__"
    }
    graph = {
        name: {other for other in imports_of(path) if other in names and other != name}
        for name, path in names.items()
    }
    try:
        tuple(TopologicalSorter(graph).static_order())
    except CycleError as error:
        pytest.fail(" -> ".join(error.args[1]))


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
    assert len(first) > 20
    assert first.endswith((".", "?")) or first[-1:] == ","
    if text.count("\n") > 400:
        assert "one declaration" in first or "because" in first, f"{path.name} is long without a reason"


def loaded_after(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys; print(' '.join(sys.modules))"],
        capture_output=True, text=True, check=True, cwd=TOP,
    )  # fmt: skip
    return {name.split(".")[0] for name in done.stdout.splitlines()[-1].split()}


@pytest.mark.parametrize("code", ["import sheetkit", "import sheetkit.terminal.cli"])
def test_nothing_heavy_is_loaded_at_the_start(code: str) -> None:
    assert not loaded_after(code) & set(HEAVY)


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_plain_run_loads_only_what_it_uses(tmp_path: Path, ending: str) -> None:
    path = write(
        tmp_path / f"job{ending}",
        {"Parts": "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 30"},
    )
    loaded = loaded_after(f"import sheetkit; assert sheetkit.run({str(path)!r}).ok")
    assert not loaded & (set(HEAVY) - {"lxml", "xlsxwriter"})


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_the_example_without_boards_and_marks_draws_its_panels_and_loads_no_solver(
    tmp_path: Path, ending: str
) -> None:
    labels, filled = example_job("in")
    tables = {title: rows for title, rows in filled.items() if title in ("Parts", "Panels", "Prices")}
    alone = {"rails": "", "run": "", "opening_width": "14 1/2", "opening_height": "8 1/2"}
    tables["Panels"] = [{**row, **alone} for row in tables["Panels"]]
    path = tmp_path / f"job{ending}"
    plain = {name: text for name, text in labels.items() if name != "alternatives"}
    path.write_bytes(by_ending(ending).render(template_pages("in", plain, tables)))
    loaded = loaded_after(f"import sheetkit; assert sheetkit.run({str(path)!r}).ok")
    assert loaded & set(HEAVY) - {"xlsxwriter"} == {"lxml", "PIL"}
    assert ("xlsxwriter" in loaded) == (ending == ".xlsx")


def test_nothing_prints_below_the_command_line() -> None:
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                assert node.func.id != "print", path


def test_the_run_function_is_reached_from_the_package() -> None:
    code = "import sheetkit\nassert callable(sheetkit.run)\nfrom sheetkit.jobs.run import Outcome\nassert callable(sheetkit.run)"
    assert "sheetkit" in loaded_after(code)


def test_the_table_of_rooms_names_every_room() -> None:
    table = (TOP / "DEVELOPERS.md").read_text("utf-8").partition("| room |")[2].partition("\n\n")[0]
    rooms = {
        each.stem if each.is_file() else each.name
        for each in PACKAGE.iterdir()
        if not each.name.startswith("__") and each.name != "LICENSE"
    }
    rooms -= {"py"}  # py.typed
    missing = [room for room in rooms if f"`{room}.py`" not in table and f"`{room}/`" not in table]
    assert missing == []
    assert rooms == set(ARROWS)


@pytest.mark.parametrize(
    "command", [["mypy"], ["ruff", "check"], ["ruff", "format", "--check"]], ids=lambda words: " ".join(words)
)
def test_the_checkers_find_nothing(command: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-m", *command], cwd=TOP, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr

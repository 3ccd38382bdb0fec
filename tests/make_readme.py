"""Fill in the generated part of README.md, what there is to fill in: python -m tests.make_readme."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import sheetkit
from sheetkit.book.formats import by_ending
from sheetkit.form.example import example_job
from sheetkit.form.labels import ALLOWANCES_TITLE
from sheetkit.jobs.explain import ColumnMeant, TabMeant, tabs
from sheetkit.jobs.new import new_file
from sheetkit.tabs.template import template_pages
from sheetkit.terminal.report import job_line
from sheetkit.units import Unit, fraction_text

README = Path(__file__).parent.parent / "README.md"
MOST_BYTES = 35_000
"""A person reads it in one go; the rest is told by ``sheetkit explain``."""
MEASURED: dict[Unit, tuple[str, str]] = {"in": ("11 15/32", "19"), "mm": ("299,5", "470")}
"""Opening of the small example's frame, as it comes out of the dry assembly."""
DEARER = "9.90"
"""Price of 4/4 that is tried out."""


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def _line(meant: ColumnMeant) -> str:
    column = meant.column
    mark = " *" if column.required else ""
    empty = f" Empty: {column.default}." if column.default and "empty:" not in column.help else ""
    return f"{column.heading}{mark} | {_cell(column.help + empty)}"


def _of_tab(tab: TabMeant) -> Iterator[str]:
    yield from (f"### {tab.title}", "", _cell(" ".join(tab.help)), "")
    asked = [each for each in tab.columns if not each.filled_in and each.column.name != "note"]
    if tab.title == ALLOWANCES_TITLE:  # seldom changed, so told by name and value alone
        classes = ", ".join(each.column.heading for each in asked if not each.labeled)
        settings = (f"{each.column.heading} ({each.column.default})" for each in asked if each.labeled)
        yield f"A size class has {classes}. The settings, in brackets their value in a new inch workbook:"
        yield from (f"{' · '.join(settings)}.", "")
        return
    yield from ("Heading | Meaning", "---|---", *map(_line, asked), "")
    filled = [each.column.heading for each in tab.columns if each.filled_in]
    if filled:
        yield from (f"Answers: {', '.join(filled)}.", "")


def columns_text() -> str:
    """Return a short table of each tab that is filled in."""
    return "\n".join(line for tab in tabs() for line in _of_tab(tab))


def _run(table: str, **changed: str) -> tuple[str, dict[str, Any]]:
    """Run the small example with cells of a first row changed; give what the terminal begins with, and the answers."""
    labels, rows = example_job("in", small=True)
    first, *others = rows[table]
    pages = template_pages("in", labels, {**rows, table: [{**first, **changed}, *others]})
    with TemporaryDirectory() as folder:
        path = Path(folder) / "door.xlsx"
        path.write_bytes(new_file(by_ending(".xlsx"), pages))
        outcome = sheetkit.run(path)
    assert outcome.answers is not None
    return job_line(outcome.answers), outcome.plain()


def _price(told: Mapping[str, Any]) -> str:
    return next(f"${row['amount']}" for row in told["tables"]["quote"] if row["name"] == "total")


def first_job_text() -> str:
    """Return the walk through the small example, with the numbers that appear."""
    width, height = MEASURED["in"]
    line, told = _run("Parts")
    _, dearer = _run("Prices", price=DEARER)
    _, after = _run("Panels", measured_width=width, measured_height=height)
    asked, tables = example_job("in", small=True)[1], told["tables"]
    rail, panel, today = tables["parts"][1], tables["panels"][0], after["tables"]["panels"][0]
    (problem,) = told["problems"]
    assert after["problems"] == []
    buy = " and ".join(f"{row['buy']:.2f} of {row['stock']} (${row['cost']})" for row in tables["lumber"])
    (price, *_), (opening, *_) = asked["Prices"], asked["Panels"]
    air = example_job("in", small=True)[0]
    return f"""\
A door with one panel; `--metric` makes one in mm, with numbers of its own.

1. `sheetkit new door.xlsx --example small` (or `door.ods`). Look at it: Job and {sum(map(len, asked.values()))} rows, on {", ".join(asked)}, are filled in. Close it.
2. `sheetkit run door.xlsx` says: {line}; to buy, in board feet, {buy}. Worth a look is `{problem["tab"]}!{problem["cell"]}`: *{problem["says"]}*
3. Open it again. On Parts, in gray: cut each rail {fraction_text(rail["blank_length"])} long and {fraction_text(rail["blank_width"])} wide, and, further right, why: *{rail["worked_out"]}*.
   On Panels: the opening is {opening["opening_width"]} wide, the grooves are {opening["groove_sides"]} deep. A panel {fraction_text(panel["width"])} wide is still {panel["bearing"]:.3f} In groove at driest ({air["humidity_driest"]} % humidity), and has {panel["clearance"]:.3f} Clearance at wettest ({air["humidity_wettest"]} %).
   On Quote: {_price(told)}. Write {DEARER} for {price["price"]} on Prices, and Quote says {_price(dearer)} at once.
4. Print the Shop sheet (that tab alone) for the bench. Say the frame, assembled dry, measures {width} x {height}: write it in Measured width and height on Panels, save (when asked, in the format it has), close, run again. Nothing is left to look at, and the panel has a size to cut **today**: {fraction_text(today["width"])} x {fraction_text(today["height"])}.
"""


def filled(text: str) -> str:
    """Return the README with its generated parts filled in."""
    for name, part in (("first job", first_job_text), ("columns", columns_text)):
        found = re.search(rf"(<!-- generated: {name} -->\n).*?(<!-- end -->)", text, flags=re.DOTALL)
        assert found is not None
        text = f"{text[: found.start()]}{found[1]}\n{part()}\n{found[2]}{text[found.end() :]}"
    return text


if __name__ == "__main__":
    README.write_text(filled(README.read_text("utf-8")), "utf-8")

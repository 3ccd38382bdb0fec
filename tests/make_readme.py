"""Fill in the generated part of README.md, what there is to fill in: python -m tests.make_readme."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from sheetkit.form.labels import ALLOWANCES_TITLE
from sheetkit.jobs.explain import ColumnMeant, TabMeant, tabs

README = Path(__file__).parent.parent / "README.md"
MOST_BYTES = 35_000
"""A person reads it in one go; the rest is told by ``sheetkit explain``."""


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


def filled(text: str) -> str:
    """Return the README with its generated part filled in."""
    found = re.search(r"(<!-- generated: columns -->\n).*?(<!-- end -->)", text, flags=re.DOTALL)
    assert found is not None
    return f"{text[: found.start()]}{found[1]}\n{columns_text()}\n{found[2]}{text[found.end() :]}"


if __name__ == "__main__":
    README.write_text(filled(README.read_text("utf-8")), "utf-8")

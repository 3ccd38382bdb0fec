"""Fill in the generated parts of README.md: python -m tests.make_readme."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from sheetkit.data import keys
from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Column
from sheetkit.records.problems import KINDS, MESSAGES, REFUSALS

README = Path(__file__).parent.parent / "README.md"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def _line(column: Column) -> str:
    empty = "needed" if column.required else column.default
    return f"| {column.heading} | {column.kind} | {_cell(column.help)} | {_cell(empty)} |"


def columns_text() -> str:
    """Give the tables of all columns and labels."""
    lines = []
    for title, labels in (
        (settings.JOB_TITLE, settings.JOB),
        (settings.ALLOWANCES_TITLE, settings.ALLOWANCES),
    ):
        lines += [f"### {title}", "", "| label | holds | what it means | when empty |", "|---|---|---|---|"]
        lines += [*map(_line, labels), ""]
    for tab in TABLES:
        lines += [f"### {tab.title}", "", f"A row is {tab.row_is}. {' '.join(tab.help)}", ""]
        lines += [
            "| column | holds | what it means | when empty |",
            "|---|---|---|---|",
            *map(_line, tab.asked),
            "",
        ]
        if tab.answered:
            filled = "; ".join(f"**{column.heading}**: {column.help}" for column in tab.answered)
            lines += [f"sheetkit fills in: {filled}", ""]
    return "\n".join(lines)


def _holds(key: keys.Key) -> str:
    return ("list of " if key.many else "") + keys.FIXED.get(key.holds, key.holds)


def _keys(told: Iterable[keys.Key]) -> str:
    return ", ".join(
        f"`{key.name}`" if key.holds in keys.BARE else f"`{key.name}` ({_holds(key)})" for key in told
    )


def _keys_table(title: str, tables: Iterable[keys.Table]) -> list[str]:
    lines = [f"### {title}", "", "| table | key | holds | what it means |", "|---|---|---|---|"]
    for table in tables:
        on_tab = table.asked | table.beside
        about = f"A row is {table.row_is}."
        if on_tab:
            told = _keys(key for key in table.keys if key.name in on_tab)
            about += f" The columns of the tab {table.tab}: {told}"
        lines.append(f"| **{table.name}** | | | {about} |")
        lines += [
            f"| | `{key.name}` | {_holds(key)} | {_cell(key.meaning)} |"
            for key in table.keys
            if key.name not in on_tab
        ]
    return [*lines, ""]


def keys_text() -> str:
    """Give the units, and every table and key of the plain answers."""
    lines = ["| holds | inch job | mm job |", "|---|---|---|"]
    lines += [f"| {name} | {inch} | {mm} |" for name, (inch, mm) in keys.UNITS.items()]
    lines.append("")
    lines += _keys_table("sheetkit run --json, and frames()", (*keys.TABLES_OF_RUN, keys.PROBLEMS))
    lines += _keys_table("sheetkit review --json", keys.TABLES_OF_REVIEW)
    lines += _keys_table("sheetkit species --json", [keys.SPECIES])
    lines += _keys_table("sheetkit species --json --climate", [keys.CLIMATE, keys.MOVEMENT])
    return "\n".join(lines)


def messages_text() -> str:
    """Give the table of all messages."""
    lines = ["| kind | what it says | what to do |", "|---|---|---|"]
    lines += [
        f"| {KINDS[each.weight]} | {_cell(each.says)} | {_cell(each.instead)} |" for each in MESSAGES.values()
    ]
    return "\n".join(lines) + "\n"


def refusals_text() -> str:
    """Give the table of all refusals."""
    lines = [
        "| why | what it says |",
        "|---|---|",
        *(f"| {key} | {_cell(text)} |" for key, text in REFUSALS.items()),
    ]
    return "\n".join(lines) + "\n"


def filled(text: str) -> str:
    """Give the README with its generated parts filled in."""
    for name, part in (
        ("columns", columns_text()),
        ("keys", keys_text()),
        ("messages", messages_text()),
        ("refusals", refusals_text()),
    ):
        pattern = rf"(<!-- generated: {name} -->\n).*?(<!-- end -->)"
        found = re.search(pattern, text, flags=re.DOTALL)
        assert found is not None, name
        text = f"{text[: found.start()]}{found[1]}\n{part}\n{found[2]}{text[found.end() :]}"
    return text


if __name__ == "__main__":
    README.write_text(filled(README.read_text("utf-8")), "utf-8")

"""The README says what the code does."""

from __future__ import annotations

import re
from pathlib import Path

from click.testing import CliRunner

from sheetkit.jobs.explain import tabs
from sheetkit.terminal.cli import main
from tests.make_readme import MOST_BYTES, README, filled


def test_the_generated_parts_of_the_readme_are_up_to_date() -> None:
    text = README.read_text("utf-8")
    assert filled(text) == text, "run: python -m tests.make_readme"


def test_the_readme_is_short_enough_to_be_read() -> None:
    assert len(README.read_bytes()) <= MOST_BYTES, "move what is not needed at first to sheetkit explain"


def test_every_tab_and_heading_that_is_filled_in_stands_in_the_readme() -> None:
    text = README.read_text("utf-8")
    for tab in tabs():
        section = text.partition(f"\n### {tab.title}\n")[2].partition("\n### ")[0]
        headings = [each.column.heading for each in tab.columns if each.column.name not in ("note", "up_to")]
        assert [heading for heading in headings if heading not in section] == [], tab.title


def test_what_the_readme_says_can_be_explained_is_explained() -> None:
    for words in re.findall(r"`sheetkit explain ?([^`\[]*)`", README.read_text("utf-8")):
        assert CliRunner().invoke(main, ["explain", *words.split()]).exit_code == 0, words


def test_every_command_and_option_of_the_readme_exists() -> None:
    text = README.read_text("utf-8")
    for line in re.findall(r"^\| `sheetkit ([^`]+)`", text, re.MULTILINE):
        command, *rest = line.split()
        shown = CliRunner().invoke(main, [command, "--help"]).output
        for option in re.findall(r"--[a-z]+", " ".join(rest)):
            assert option in shown, (command, option)


def test_every_command_stands_in_the_readme() -> None:
    text = README.read_text("utf-8")
    for command in main.commands:
        assert f"`sheetkit {command}" in text


def test_the_test_command_of_the_readme_is_the_one_that_ci_runs() -> None:
    command = re.search(r"^    (python3 -m venv .*pytest.*)$", README.read_text("utf-8"), re.MULTILINE)
    assert command is not None
    ci = README.parent / ".ci" / "run"
    assert command[1] in Path(ci).read_text("utf-8")

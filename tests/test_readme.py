"""The README says what the code does."""

from __future__ import annotations

import re
from pathlib import Path

from click.testing import CliRunner

from sheetkit.terminal.cli import main
from tests.make_readme import README, filled


def test_the_generated_parts_of_the_readme_are_up_to_date() -> None:
    text = README.read_text("utf-8")
    assert filled(text) == text, "run: python -m tests.make_readme"


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

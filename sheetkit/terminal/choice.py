"""A question to the person at a terminal: which of several workbooks is meant."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import click

from sheetkit.terminal.screen import Table, at_terminal, show


def chosen(found: Sequence[Path]) -> Path | None:
    """Return the one of several files that is meant; None where nobody can be asked."""
    if len(found) == 1:
        return found[0]
    if not (sys.stdin.isatty() and at_terminal(sys.stdout)):
        return None
    rows = tuple(
        (str(number), each.name, f"{datetime.fromtimestamp(each.stat().st_mtime):%Y-%m-%d %H:%M}")
        for number, each in enumerate(found, 1)
    )
    show([Table(("No.", "Workbook", "Saved"), rows)])
    number: int = click.prompt("Number of the one to work out", default=1, type=click.IntRange(1, len(found)))
    return found[number - 1]

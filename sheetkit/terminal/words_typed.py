"""Words typed after an option: sizes without quotes, or none where the workbook's name follows."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import click

WORKBOOKS = (".xls", ".xlt", ".ods", ".ots", ".fod")
"""How the endings of workbooks begin, of those too that are refused."""
UNITS = ("mm", "cm", "m", "in", "inch", "inches", "ft", "feet", "foot", "f", "c", "deg")


class TakesWords(click.Command):
    """A command whose ``--climate`` and ``--width`` take the numbers that follow; none needs quotes."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Return what is left once options and arguments are taken."""
        taken: list[str] = []
        filling = False
        for word in args:
            if word in ("--climate", "--width"):
                taken.append(f"{word}=")
            elif filling and _of_a_size(word):
                taken[-1] += f" {word}"
                continue
            else:
                taken.append(word)
            filling = word.startswith(("--climate", "--width"))
        return super().parse_args(ctx, taken)


def _of_a_size(word: str) -> bool:
    """Whether a word is a number, a sign or a unit, and not of a name or another option."""
    if word.startswith("-"):
        return word[1:2].isdigit()
    return not word[:1].isalpha() or word.casefold().rstrip(".,") in UNITS


class LeavesThePath(click.Command):
    """A command with an option whose word may be left out: a workbook named after it is PATH."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Return what is left once options and arguments are taken."""
        alone = [
            word in ("--example", "--mail") and Path(after).suffix.lower()[:4] in WORKBOOKS
            for word, after in pairwise([*args, ""])
        ]
        return super().parse_args(
            ctx, [f"{word}=" if by_itself else word for word, by_itself in zip(args, alone, strict=True)]
        )

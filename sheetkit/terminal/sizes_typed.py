"""Sizes typed after an option as words of their own, so that none needs quotes."""

from __future__ import annotations

import click

UNITS = ("mm", "cm", "m", "in", "inch", "inches", "ft", "feet", "foot", "f", "c", "deg")


class TakesWords(click.Command):
    """A command whose options ``--climate`` and ``--width`` take the numbers that follow, so that none needs quotes."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
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

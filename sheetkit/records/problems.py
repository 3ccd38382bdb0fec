"""A problem of the workbook: where it stands, what stands there, what it says, what to write instead."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from sheetkit.page import cell_name
from sheetkit.records.messages import MESSAGES, Weight
from sheetkit.units import Unit, is_metric

_FRACTION = re.compile(r"\b(\d+)/(\d+)\b")
LONGEST_STANDS, LONGEST_MESSAGE = 300, 3_000
"""Characters of a cell, and of a message with names in it, that are repeated."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing to put right or to know: where it stands, what stands there, what to write instead."""

    code: str
    tab: str
    row: int = 0
    column: int = 0
    stands: str = ""
    says: str = ""
    instead: str = ""
    weight: Weight = "error"

    @property
    def cell(self) -> str:
        """The cell's name, empty when the whole tab is meant."""
        return cell_name(self.row, self.column) if self.row and self.column else ""

    @property
    def place(self) -> str:
        """Tab and cell, as a person writes them."""
        return f"{self.tab}!{self.cell}" if self.cell else self.tab


def problem(
    code: str, tab: str, row: int = 0, column: int = 0, stands: object = "", **words: object
) -> Problem:
    """Return a problem with its wording filled in.

    Raises
    ------
    KeyError
        When the code, or a word that its message needs, is not there.
    """
    message = MESSAGES[code]
    text = "" if stands is None else _shortened(str(stands))
    words = {"stands": text, "tab": tab, **words}
    return Problem(
        code,
        tab,
        row,
        column,
        text,
        _shortened(message.says.format_map(words), LONGEST_MESSAGE),
        _shortened(message.instead.format_map(words), LONGEST_MESSAGE),
        message.weight,
    )


def in_words_of(unit: Unit, problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return problems in the words of a unit: a shop that works in mm is shown no inches."""
    return tuple(map(_in_mm, problems)) if is_metric(unit) else tuple(problems)


def _in_mm(found: Problem) -> Problem:
    message = MESSAGES[found.code]
    says = message.says_mm or found.says
    if found.code.startswith("date-"):  # of 3.4 rather than of 3/4
        says = _FRACTION.sub(r"\1.\2", says)
    return replace(found, says=says, instead=message.instead_mm or found.instead)


CONSEQUENCES = "{says} And {count} that follow{s} from it: {where}."
"""A cause, with the cells that are wrong because of it alone."""
MOST_NAMED = 5


def with_consequences(cause: Problem, consequences: Sequence[Problem]) -> Problem:
    """Return a problem that says how many cells are wrong because of it, and names the first of them."""
    places = list(dict.fromkeys(found.place for found in consequences))
    if not places:
        return cause
    count, s = ("1 cell", "s") if len(places) == 1 else (f"{len(places):,} cells", "")
    where = ", ".join(places[:MOST_NAMED]) + (" ..." if len(places) > MOST_NAMED else "")
    return replace(cause, says=CONSEQUENCES.format(says=cause.says, count=count, s=s, where=where))


def _shortened(text: str, most: int = LONGEST_STANDS) -> str:
    """Return the beginning of a text that nobody would read to its end."""
    return text if len(text) <= most else f"{text[:most]} ..."

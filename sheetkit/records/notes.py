"""What is to be said of one tab: its problems, and the remarks that stand beside its rows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from sheetkit.records.job import Job
from sheetkit.records.problems import Problem, problem

NOTHING_TO_DO = "Nothing to do"
FIRST = {
    "Parts": "part", "Panels": "panel", "Joints": "joint", "Spacing": "run", "Shapes": "shape",
    "Loads": "member", "Glue-ups": "step", "Finish": "step", "Boards": "board", "Prices": "species",
}  # fmt: skip
"""The column that names a row, where the one that is meant is not there."""


class Notes:
    """The notes of one tab; those of all tabs share one list, in the order in which they are told."""

    def __init__(self, tab: str, told: list[Problem], columns: Mapping[str, int], first: str = "") -> None:
        self.tab = tab
        self.told = told
        self._columns = columns
        self._first = first
        self._remarks: dict[int, list[str]] = {}

    def tell(
        self, code: str, row: int = 0, column: str = "", stands: object = "", **words: object
    ) -> Problem:
        """Note a problem of a cell, of a row when it has no such column, or of the whole tab."""
        number = self._columns.get(column, self._columns.get(self._first, 0)) if row else 0
        found = problem(code, self.tab, row, number, stands, **words)
        self.told.append(found)
        return found

    def add(self, code: str, row: int, column: str, stands: object = "", **words: object) -> None:
        """Note a problem, and say it beside the row with its way out."""
        found = self.tell(code, row, column, stands, **words)
        done = found.instead.startswith(NOTHING_TO_DO)
        self.remark(row, found.says if done else f"{found.says} {found.instead}")

    def remark(self, row: int, *texts: str) -> None:
        """Say something beside a row."""
        self._remarks.setdefault(row, []).extend(text for text in texts if text)

    def of(self, row: int) -> tuple[str, ...]:
        """Return what was said beside a row, each remark once."""
        return tuple(dict.fromkeys(self._remarks.get(row, ())))

    def left(self, answered: Sequence[int]) -> tuple[tuple[str, int, tuple[str, ...]], ...]:
        """Return the remarks of rows that have no answer, with their tab."""
        rows = sorted(set(self._remarks) - set(answered))
        return tuple((self.tab, row, self.of(row)) for row in rows)

    def at(self, row: int, column: str) -> Spot:
        """Return one cell of the tab, to tell something of."""
        return Spot(self, row, column)


class Spot(NamedTuple):
    """A cell that something may have to be said of."""

    notes: Notes
    row: int
    column: str

    def tell(self, code: str, stands: object = "", **words: object) -> str:
        """Note a problem of the cell; return what it says."""
        return self.notes.tell(code, self.row, self.column, stands, **words).says


def notes_of(tab: str, job: Job, told: list[Problem]) -> Notes:
    """Return the notes of an input tab, by the place where it stands."""
    place = job.places.get(tab)
    if place is None:
        return Notes(tab, told, {})
    return Notes(place.title, told, place.columns, FIRST.get(tab, ""))


def tell_of_label(
    name: str, code: str, job: Job, told: list[Problem], stands: object = "", **words: object
) -> None:
    """Note a problem of a labeled value on Job."""
    tab, row, column = job.labels.get(name, ("Job", 0, 0))
    told.append(problem(code, tab, row, column, stands, **words))

"""One tab as it is read: how its sizes and amounts are understood, and what is told of its cells."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

from sheetkit.form.columns import Column
from sheetkit.intake.amounts import Amounts
from sheetkit.intake.cell import NO_OTHERS, doubts, entry, is_empty
from sheetkit.intake.headings import expected
from sheetkit.page import Page
from sheetkit.records.problems import Problem, problem
from sheetkit.units import Unit


class Said(NamedTuple):
    """What a cell says: nothing, where it is empty or cannot be read."""

    value: Any = None
    right: bool = True
    """False when it cannot be read, or is empty and must not be; it is told then."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A tab that is read. What is told of all tabs stands in one list, in the order in which it is seen."""

    page: Page
    told: list[Problem]
    unit: Unit = "in"
    amounts: Amounts = NO_OTHERS

    def tell(self, code: str, row: int = 0, number: int = 0, stands: object = "", **words: object) -> None:
        """Note what is wrong with a cell, or with the tab."""
        self.told.append(problem(code, self.page.title, row, number, stands, **words))

    def cell(self, column: Column, row: int, number: int) -> Said:
        """Return what a cell says to a column; what is wrong with it is noted."""
        cell = self.page.cells.get((row, number))
        if cell is None or is_empty(cell):
            if column.required:
                words = {"heading": column.heading, "expected": expected(column, self.unit)}
                self.tell("empty", row, number, **words)
            return Said(right=not column.required)
        value, wrong = entry(cell, column, self.unit, self.page.title, row, number, self.amounts)
        if wrong:
            self.told.append(wrong)
            return Said(right=False)
        self.told.extend(doubts(cell, column, value, self.page.title, row, number))
        return Said(value)

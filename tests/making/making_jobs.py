"""The bench tabs answered from text tables, by the way that a run takes: pages, intake, plan, cells."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sheetkit.intake.workbook import take_in
from sheetkit.page import Cell, Value
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.records.problems import Problem
from sheetkit.tabs.beside import answers_beside
from tests.jobs import pages

SHOP_TABS = ("Joints", "Spacing", "Shapes", "Loads", "Glue-ups", "Finish")
METRIC = """
    Job                    | Bench
    Units                  | mm
    Wood moisture now      | 7
    Driest wood moisture   | 6
    Wettest wood moisture  | 11
"""
PARTS = """
    Part  | Qty | Species   | Thickness | Width | Length | Tenons
    Leg   | 4   | White oak | 1.75      | 1.75  | 29     |
    Apron | 2   | White oak | 0.75      | 4     | 40     | 1
    Stile | 2   | White oak | 0.875     | 2.5   | 30     |
    Rail  | 4   | White oak | 0.875     | 2.625 | 15     | 1
"""


PARTS_MM = """
    Part  | Qty | Species   | Thickness | Width | Length | Tenons
    Leg   | 4   | White oak | 45        | 45    | 740    |
    Apron | 2   | White oak | 20        | 100   | 1000   | 25
    Stile | 2   | White oak | 22        | 65    | 760    |
    Rail  | 4   | White oak | 22        | 65    | 380    | 25
"""


@dataclass(frozen=True)
class Answered:
    """What came out."""

    results: Answers
    cells: Mapping[str, Mapping[int, Mapping[str, Cell]]]
    problems: tuple[Problem, ...]

    def column(self, tab: str, name: str) -> list[Value]:
        """Give a column of answers, row by row."""
        found = self.cells[tab]
        return [found[row][name].value if name in found[row] else None for row in sorted(found)]

    def numbers(self, tab: str, name: str) -> list[float]:
        """Give a column of answers that are all numbers."""
        found = [value for value in self.column(tab, name) if isinstance(value, float)]
        assert len(found) == len(self.cells[tab])
        return found

    def remarks(self, tab: str) -> list[str]:
        """Give the remarks of a tab, row by row."""
        return [str(text or "") for text in self.column(tab, "remarks")]

    @property
    def codes(self) -> list[str]:
        """Codes of the problems, in order."""
        return [found.code for found in self.problems]


def answered(tables: Mapping[str, str]) -> Answered:
    """Give the answers of a job; Parts are the usual ones unless given."""
    intake = take_in(pages({"Parts": PARTS_MM if tables.get("Job") == METRIC else PARTS, **tables}))
    assert not intake.problems, intake.problems
    found = answer(intake.job)
    problems = tuple(each for each in found.problems if each.tab in (*SHOP_TABS, "Allowances"))
    return Answered(found, answers_beside(found), problems)

"""Formulas of the maker's that look at what a run writes are found."""

from __future__ import annotations

import pytest

from sheetkit.book.dependents import dependents
from sheetkit.book.workbook import Change, Workbook
from sheetkit.page import Address, Cell, Page

CHANGE = Change(
    tabs=(Page("Estimate", key="estimate"),),
    patches={"Parts": {(row, 5): Cell(1.0) for row in range(3, 9)}},
)


def found(formula: str, title: str = "Parts") -> bool:
    page = Page(title, {(20, 1): Cell(1.0, formula)}, names={"blank_one": (3, 5), "other": (1, 1)})
    pages = (page,) if title == "Parts" else (page, Page("Parts", names={"blank_one": (3, 5)}))
    return dependents(Workbook(pages), CHANGE) == ((title, (20, 1)),)


@pytest.mark.parametrize(
    "formula",
    ["E3", "$E$8*2", "SUM(A1:F4)", "SUM(E:F)", "SUM(D:G)", "SUM(8:9)", "Parts!E5", "'Parts'!e5",
     "Estimate!Z9", "blank_one+1", "IF(A1=\"x\",E4,0)", "parts!$E$3:$E$4", "SUM($3:$3)"],
)  # fmt: skip
def test_a_formula_that_looks_there_is_found(formula: str) -> None:
    assert found(formula)


@pytest.mark.parametrize(
    "formula",
    ["E2", "E9", "SUM(A1:D9)", "SUM(F:G)", "9:12", "Lists!E5", "'Other parts'!E5", '"E5"', "AE5", "E5(1)",
     "other", "ABE3+1", "LOG10(A1)", "MyEstimate!A1"],
)  # fmt: skip
def test_a_formula_that_looks_elsewhere_is_not(formula: str) -> None:
    assert not found(formula)


def test_a_reference_without_a_tab_means_its_own_tab() -> None:
    assert not found("E5", "Lists")
    assert found("Parts!E5", "Lists")


def test_formulas_on_formulas_are_followed_in_the_order_of_the_file() -> None:
    cells: dict[Address, Cell] = {
        (1, 1): Cell(1.0, "B1"),
        (1, 2): Cell(1.0, "C1"),
        (1, 3): Cell(1.0, "Parts!E3"),
        (2, 1): Cell(1.0, "B2"),
    }
    workbook = Workbook((Page("Mine", cells), Page("Parts", {(3, 5): Cell(1.0, "A1")})))
    assert dependents(workbook, CHANGE) == (("Mine", (1, 1)), ("Mine", (1, 2)), ("Mine", (1, 3)))

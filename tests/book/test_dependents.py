"""The maker's formulas that look at what a run changes are found, all the way, and no others."""

from __future__ import annotations

import pytest

from sheetkit.book.dependents import changed_cells, looking_at_answers, without_old_results
from sheetkit.book.references import shifted
from sheetkit.book.workbook import Change, Workbook
from sheetkit.page import Address, Cell, Page, Range

CHANGE = Change(
    tabs=(Page("Estimate", {(4, 2): Cell(2.0), (9, 26): Cell(5.0)}, key="estimate"),),
    patches={"Parts": {(row, 5): Cell(1.0) for row in range(3, 9)}},
)
NAMES = {
    ("", "blank_one"): "Parts!$E$3",
    ("", "other"): "Parts!$A$1",
    ("", "feet"): "Parts!$E$3:$E$8",
    ("", "through"): "feet",
    ("parts", "here"): "Parts!$E$4",
    ("mine", "here"): "Parts!$A$4",
    ("", "beside"): "Parts!E1",
    ("", "growing"): "OFFSET(Lists!$A$1,0,0,COUNT(Lists!$A:$A),1)",
    ("", "stock"): "Parts!$A$3:$F$8",
    ("", "round"): "round+1",
}
LISTS = Page("Lists", {(1, 1): Cell(1.0)})
ESTIMATE = Page("Estimate", {(4, 2): Cell(2.0), (9, 26): Cell(4.0)})


def found(formula: str, title: str = "Parts") -> bool:
    page = Page(title, {(20, 1): Cell(1.0, formula)})
    pages = (page, LISTS, ESTIMATE) if title == "Parts" else (page, Page("Parts"), LISTS, ESTIMATE)
    workbook = Workbook(pages, owned={"estimate": "Estimate"}, names=NAMES)
    old = without_old_results(workbook, CHANGE).old_results
    assert old in ({}, {title: frozenset({(20, 1)})})
    return bool(old)


@pytest.mark.parametrize(
    "formula",
    ["E3", "$E$8*2", "SUM(A1:F4)", "SUM(F4:A1)", "SUM(E:F)", "SUM(D:G)", "SUM(8:9)", "Parts!E5", "'Parts'!e5",
     "Estimate!Z9", "blank_one+1", "IF(A1=\"x\",E4,0)", "parts!$E$3:$E$4", "SUM($3:$3)", "SUM(Feet)", "through",
     "here", "Mine!here+Parts!here", "beside", "INDIRECT(\"E\"&3)", "SUM(growing)", "stock[Board feet]", "stock[[#This Row],[Feet]]",
     "SUM(Parts:Estimate!E3)", "SUM('Parts:Estimate'!E3)", "SUM(Estimate:Lists!Z9)", "SUM(A1:INDEX(E:E,4))", "(A1):E3",
     "SUM(A1:INDEX(A:A,4))", "offset(A1,0,4)", "[1]Parts!$E$3+E3", "SUM(A1,E3)", "E3#", "_xlfn.ANCHORARRAY(E3)"],
)  # fmt: skip
def test_a_formula_that_looks_there_is_found(formula: str) -> None:
    assert found(formula)


@pytest.mark.parametrize(
    "formula",
    ["E2", "E9", "SUM(A1:D9)", "SUM(F:G)", "9:12", "Lists!E5", "'Other parts'!E5", '"E5"', "AE5", "E5(1)",
     "other", "ABE3+1", "LOG10(A1)", "MyEstimate!A1", "Estimate!B4", "mine!here", "round", "[1]Parts!$E$3", "'[1]Parts'!E3",
     "'C:\\jobs\\[other.xlsx]Parts'!E3:E9", '"INDIRECT("', "SUM(Lists:Estimate!E3)", "unknown[Board feet]", "SUM(A1:B4)", "NOW()"],
)  # fmt: skip
def test_a_formula_that_looks_elsewhere_is_not(formula: str) -> None:
    assert not found(formula)


def test_a_reference_without_a_tab_means_its_own_tab() -> None:
    assert not found("E5", "Lists and such")
    assert found("Parts!E5", "Lists and such")
    assert not found("here", "Mine")


def test_formulas_on_formulas_are_followed_all_the_way() -> None:
    cells: dict[Address, Cell] = {
        (1, 1): Cell(1.0, "B1"),
        (1, 2): Cell(1.0, "C1"),
        (1, 3): Cell(1.0, "Parts!E3"),
        (2, 1): Cell(1.0, "B2"),
        (3, 1): Cell(1.0, "SUM(A1:A2)"),
        (4, 1): Cell(None, "A3", stale=True),
        (5, 1): Cell(1.0, "A4"),
    }
    workbook = Workbook((Page("Mine", cells), Page("Parts", {(3, 5): Cell(2.0, "A1")})))
    old = without_old_results(workbook, CHANGE).old_results
    assert old == {"Mine": {(1, 1), (1, 2), (1, 3), (3, 1), (5, 1)}}
    assert set(looking_at_answers(workbook, CHANGE)["mine"]) == {
        (1, 1),
        (1, 2),
        (1, 3),
        (3, 1),
        (4, 1),
        (5, 1),
    }


def test_a_block_that_one_formula_fills_goes_as_a_whole_and_is_looked_at_as_one() -> None:
    cells: dict[Address, Cell] = {
        (1, 1): Cell(1.0, "Parts!E3:E4*2"), (2, 1): Cell(1.0), (3, 1): Cell(1.0), (1, 2): Cell(1.0, "A2"), (2, 2): Cell(1.0, "A3"),
    }  # fmt: skip
    page = Page("Mine", cells, blocks={(1, 1): Range(1, 1, 2, 1)})
    old = without_old_results(Workbook((page, Page("Parts"))), CHANGE).old_results
    assert old == {"Mine": {(1, 1), (2, 1), (1, 2)}}


def test_what_holds_the_same_as_before_makes_nothing_old() -> None:
    same = Page("Parts", {(row, 5): Cell(1.0 + 1e-15) for row in range(3, 9)})
    workbook = Workbook((Page("Mine", {(1, 1): Cell(1.0, "Parts!E3+Estimate!Z9+INDIRECT(B1)")}), same, Page("Estimate", CHANGE.tabs[0].cells)),
                        owned={"estimate": "Estimate"})  # fmt: skip
    assert not any(changed_cells(workbook, CHANGE).values())
    assert without_old_results(workbook, CHANGE) is CHANGE


def test_formulas_of_ours_that_follow_from_an_old_one_of_the_makers_lose_their_results_too() -> None:
    mine = Page("Mine", {(1, 1): Cell(1.0, "Parts!E3"), (2, 1): Cell(1.0, "Estimate!A2")})
    estimate = Page(
        "Estimate",
        {(1, 1): Cell(1.0, "Mine!A1"), (2, 1): Cell(1.0, "A1"), (3, 1): Cell(1.0, "Parts!E3")},
        key="estimate",
    )
    change = Change((estimate,), patches={"Parts": {(3, 5): Cell(1.0), (9, 9): Cell(1.0, "Mine!A1")}})
    lasting = without_old_results(Workbook((mine, Page("Parts"))), change)
    assert lasting.old_results == {"Mine": {(1, 1), (2, 1)}}
    assert [cell.stale for cell in lasting.tabs[0].cells.values()] == [True, True, False]
    assert lasting.patches["Parts"][9, 9].stale


def test_a_tab_of_ours_that_goes_or_becomes_the_makers_counts() -> None:
    old = Page("Marks", {(1, 1): Cell(1.0)}, key="marks")
    quote = Page("Quote", {(1, 1): Cell(1.0, "Estimate!Z9"), (5, 1): Cell(7.0)}, key="quote")
    mine = Page(
        "Mine", {(1, 1): Cell(1.0, "Marks!A1"), (2, 1): Cell(1.0, "Quote!A5"), (3, 1): Cell(1.0, "Quote!A6")}
    )
    workbook = Workbook((mine, old, quote), owned={"marks": "Marks", "quote": "Quote"})
    fresh = Page("Quote", {(5, 1): Cell(8.0)}, key="quote")
    change = Change((fresh, *CHANGE.tabs), frozenset({"marks"}), {"quote": "Quote (yours)"})
    assert without_old_results(workbook, change).old_results == {
        "Mine": {(1, 1), (2, 1)},
        "Quote (yours)": {(1, 1)},
    }


def test_a_tab_of_the_makers_with_the_title_of_a_new_one_of_ours_is_not_taken_for_it() -> None:
    workbook = Workbook((Page("Estimate", {(1, 1): Cell(1.0, "Z9")}), Page("Parts")))
    assert without_old_results(workbook, replace_patches(CHANGE)).old_results == {}


def replace_patches(change: Change) -> Change:
    return Change(change.tabs)


@pytest.mark.parametrize(
    ("formula", "moved"),
    [("A1", "B3"), ("$A1+A$1+$A$1", "$A3+B$1+$A$1"), ("SUM(A1:B2)", "SUM(B3:C4)"), ("SUM($A:B)", "SUM($A:C)"), ("SUM(1:$2)", "SUM(3:$2)"),
     ('"A1"&Lists!A1', '"A1"&Lists!B3'), ("'A 1'!A1", "'A 1'!B3"), ("LOG10(A1)", "LOG10(B3)"), ("rate*A1", "rate*B3"), ("[1]Q!A1", "[1]Q!A1"),
     ("XFD1048576", "A2")],
)  # fmt: skip
def test_a_formula_told_in_short_is_written_out(formula: str, moved: str) -> None:
    assert shifted(formula, 2, 1) == moved


def test_a_chain_of_thousands_is_followed_quickly() -> None:
    import time

    cells = {(1, 1): Cell(1.0, "Parts!E3")} | {(row, 1): Cell(1.0, f"A{row - 1}") for row in range(2, 5001)}
    cells |= {(row, 2): Cell(1.0, f"SUM(A$1:A{row})") for row in range(1, 5001)}
    began = time.process_time()
    old = without_old_results(Workbook((Page("Mine", cells), Page("Parts"))), CHANGE).old_results
    assert len(old["Mine"]) == 10_000
    assert time.process_time() - began < 20

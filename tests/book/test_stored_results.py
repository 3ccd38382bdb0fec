"""Results are put beside formulas that have none; nothing else in the file changes by a byte."""

from __future__ import annotations

from datetime import date

import pytest

from sheetkit.book import ods, xlsx
from sheetkit.page import Cell, CellError, Value
from tests.book.lint_ods import faults, parts
from tests.book.lint_xlsx import lint, parts_of
from tests.book.makers_xlsx import makers_workbook
from tests.book.test_xlsx_graft import replaced as changed
from tests.book.user_ods import one_table, user_file
from tests.there import there

VALUES: list[Value] = [3.5, 7.0, 'a <&> "b"', "", True, False, CellError("#DIV/0!"), date(2026, 3, 4)]
SHEET, RESULT = "xl/worksheets/sheet1.xml", "<v>9.666666666666666</v>"


@pytest.mark.parametrize("value", VALUES)
def test_a_result_is_stored_in_an_xlsx_file(value: Value) -> None:
    bare = changed(makers_workbook(), (SHEET, RESULT, ""))
    assert there(xlsx.read(bare).page("Parts")).cells[2, 6].stale
    out = xlsx.with_results(bare, {"Parts": {(2, 6): value}})
    cell = there(xlsx.read(out).page("Parts")).cells[2, 6]
    assert (cell.stale, cell.formula) == (False, "B2*D2/12")
    assert cell.value == (46_085.0 if isinstance(value, date) else value)
    old, new = parts_of(bare), parts_of(out)
    assert {name for name in old if old[name] != new[name]} == {SHEET}
    head, _, tail = old[SHEET].partition(b'<c r="F2"')
    assert new[SHEET].startswith(head)
    assert new[SHEET].endswith(tail.partition(b"</f>")[2])
    assert lint(out) == []


@pytest.mark.parametrize("empty", ["<v/>", "<v></v>", "<v />"])
def test_an_empty_result_is_filled_in_an_xlsx_file(empty: str) -> None:
    out = xlsx.with_results(changed(makers_workbook(), (SHEET, RESULT, empty)), {"Parts": {(2, 6): 9.5}})
    assert there(xlsx.read(out).page("Parts")).cells[2, 6].value == 9.5
    assert lint(out) == []


def test_a_result_that_stands_there_is_left() -> None:
    data = makers_workbook()
    assert parts_of(xlsx.with_results(data, {"Parts": {(2, 6): 1.0, (2, 1): 2.0}})) == parts_of(data)


ROWS = """<table:table-row><table:table-cell table:number-columns-repeated="2"/>{}<table:table-cell/></table:table-row>
<table:table-row table:number-rows-repeated="2"><table:table-cell table:formula="of:=1" table:number-columns-repeated="2"/></table:table-row>"""


@pytest.mark.parametrize(
    "cell",
    [
        '<table:table-cell table:formula="of:=[.A9]"/>',
        '<table:table-cell table:formula="of:=[.A9]"></table:table-cell>',
        '<table:table-cell office:value-type="float"  table:formula="of:=[.A9]"><office:annotation><text:p>n</text:p></office:annotation></table:table-cell>',
    ],
)
@pytest.mark.parametrize("value", VALUES)
def test_a_result_is_stored_in_an_ods_file(value: Value, cell: str) -> None:
    bare = user_file(tables=one_table(ROWS.format(cell)), names="", validations="")
    before = there(ods.read(bare).page("Parts")).cells[1, 3]
    assert before.stale
    out = ods.with_results(bare, {"Parts": {(1, 3): value}})
    assert there(ods.read(out).page("Parts")).cells[1, 3] == Cell(value, "A9", before.style)
    old, new = parts(bare), parts(out)
    assert {name for name in old if old[name] != new[name]} == {"content.xml"}
    head, _, tail = old["content.xml"].partition(cell.encode())
    assert new["content.xml"].startswith(head)
    assert new["content.xml"].endswith(tail)
    assert faults(out) == faults(bare)


def test_cells_repeated_get_a_result_that_is_the_same_for_all() -> None:
    bare = user_file(tables=one_table(ROWS.format("<table:table-cell/>")), names="", validations="")
    same: dict[tuple[int, int], Value] = {(row, column): 1.0 for row in (2, 3) for column in (1, 2)}
    cells = there(ods.read(ods.with_results(bare, {"Parts": same})).page("Parts")).cells
    assert {address: cell.value for address, cell in cells.items()} == same
    assert parts(ods.with_results(bare, {"Parts": {**same, (3, 2): 2.0}})) == parts(bare)

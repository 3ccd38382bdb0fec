"""Single cells written into a table of the maker's."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from sheetkit.book.ods import graft, read
from sheetkit.book.workbook import Change, Refused
from sheetkit.page import Address, Cell, Format, Style
from tests.book.lint_ods import TABLE, faults, parts
from tests.book.user_ods import one_table, user_file
from tests.there import there

FRACTION = Style(format=Format.FRACTION)
EMPTY_ROWS = '<table:table-row table:number-rows-repeated="1048576"><table:table-cell table:number-columns-repeated="50"/></table:table-row>'


def patched(cells: dict[Address, Cell], data: bytes | None = None) -> bytes:
    return graft(data or user_file(), Change(patches={"Parts": cells}))


def table_of(data: bytes) -> etree._Element:
    found = etree.fromstring(parts(data)["content.xml"]).find(f".//{TABLE}table[@{TABLE}name='Parts']")
    assert found is not None
    return found


def height(data: bytes) -> int:
    return sum(
        int(row.get(f"{TABLE}number-rows-repeated", 1)) for row in table_of(data).iter(f"{TABLE}table-row")
    )


def test_a_cell_in_the_middle_of_repeated_rows_is_one_cell() -> None:
    cells = read(patched({(4, 2): Cell(1)})).pages[0].cells
    assert [cells[row, 2].value for row in (3, 4, 5)] == [7.0, 1.0, 7.0]
    assert [cells[row, 3].value for row in (3, 4, 5)] == [7.0, 7.0, 7.0]


def test_a_claimed_million_rows_stays_a_claim() -> None:
    data = user_file(tables=one_table(EMPTY_ROWS), names="", validations="")
    after = patched({(500_000, 7): Cell("deep"), (1_048_576, 50): Cell("last")}, data)
    assert faults(after) == []
    assert height(after) == 1_048_576
    assert {address: cell.value for address, cell in read(after).pages[0].cells.items()} == {
        (500_000, 7): "deep",
        (1_048_576, 50): "last",
    }
    assert len(parts(after)["content.xml"]) < len(parts(data)["content.xml"]) + 3_000


def test_rows_and_columns_are_declared_when_written_beyond_them() -> None:
    rows = '<table:table-row><table:table-cell office:value-type="float" office:value="1"/></table:table-row>'
    data = user_file(tables=one_table(rows, "<table:table-column/>"), names="", validations="")
    after = patched({(1, 3): Cell("right"), (9, 30): Cell("far"), (10, 1): Cell("below")}, data)
    assert faults(after) == []
    found = {address: cell.value for address, cell in read(after).pages[0].cells.items()}
    assert found == {(1, 1): 1.0, (1, 3): "right", (9, 30): "far", (10, 1): "below"}


@pytest.mark.parametrize("place", [(1_048_577, 1), (1, 16_385)])
def test_beyond_the_sheet_is_refused(place: tuple[int, int]) -> None:
    with pytest.raises(Refused) as refusal:
        patched({place: Cell(1)})
    assert refusal.value.reason == "no room"


def test_a_note_and_a_picture_in_the_cell_stay() -> None:
    after = patched({(2, 1): Cell("Post"), (6, 1): Cell("narrow")})
    cells = read(after).pages[0].cells
    assert (cells[2, 1].value, cells[6, 1].value) == ("Post", "narrow")
    text = etree.tostring(table_of(after))
    assert b"a note" in text
    assert b"Pictures/mine.png" in text


def test_an_emptied_cell_keeps_its_look() -> None:
    after = patched({(1, 1): Cell(), (2, 2): Cell()})
    assert (1, 1) not in read(after).pages[0].cells
    cell = next(table_of(after).iter(f"{TABLE}table-cell"))
    assert cell.get(f"{TABLE}style-name") == "ce1"
    assert b'content-validation-name="val1"' in etree.tostring(table_of(after))


def test_emptying_what_is_empty_changes_nothing() -> None:
    cells = {(row, column): Cell() for row in (8, 100, 5000) for column in (1, 900)}
    before = user_file()
    assert etree.tostring(table_of(patched(cells, before))) == etree.tostring(
        table_of(graft(before, Change()))
    )


def test_a_number_format_goes_on_top_of_the_cells_own_look() -> None:
    style = read(patched({(1, 1): Cell(0.75, style=FRACTION)})).pages[0].cells[1, 1].style
    assert style == Style(format=Format.FRACTION, fill="FFFF00")


def test_a_number_format_goes_on_top_of_the_columns_look() -> None:
    style = read(patched({(2, 4): Cell(0.75, style=FRACTION)})).pages[0].cells[2, 4].style
    assert style == Style(format=Format.FRACTION, color="FF0000")


def test_a_plain_patch_leaves_the_number_format_as_it_is() -> None:
    after = read(patched({(2, 4): Cell(0.75), (1, 1): Cell(3)})).pages[0].cells
    assert after[2, 4].style.format is Format.HUNDREDTH
    assert after[1, 1].style.fill == "FFFF00"


def test_a_cell_that_has_the_format_already_gets_no_style_of_ours() -> None:
    after = patched({(2, 4): Cell(0.75, style=Style(format=Format.HUNDREDTH))})
    assert b"sk-" not in parts(after)["content.xml"]


def test_one_style_serves_all_cells_alike() -> None:
    after = patched({(row, 4): Cell(row / 2, style=FRACTION) for row in range(2, 200)})
    assert parts(after)["content.xml"].count(b'<style:style style:family="table-cell" style:name="sk-') == 0
    styles = [
        element.get(f"{element.tag.rpartition('}')[0]}}}name")
        for element in etree.fromstring(parts(after)["content.xml"]).iter("{*}style")
    ]
    assert sum(there(name).startswith("sk-d.") for name in styles) == 1


@pytest.mark.parametrize(
    ("address", "reason"), [((6, 2), "merged cells"), ((6, 3), "formula block"), ((7, 3), "formula block")]
)
def test_a_cell_that_is_part_of_something_larger_is_refused(address: Address, reason: str) -> None:
    with pytest.raises(Refused) as refusal:
        patched({address: Cell(1)})
    assert refusal.value.reason == reason
    assert "Parts!" in refusal.value.detail


def test_a_patch_may_hold_a_formula_with_its_result_and_a_link() -> None:
    cells = {(2, 5): Cell(8.0, formula="B2*2"), (2, 6): Cell("go", link="Stock!A1")}
    after = read(patched(cells)).pages[0].cells
    assert {address: after[address] for address in cells} == cells


def test_a_patched_file_hangs_together_and_stays_the_same() -> None:
    cells = {(2, 2): Cell(5), (4, 4): Cell(1.5, style=FRACTION), (900, 60): Cell("x"), (3, 1): Cell()}
    once = patched(cells)
    assert faults(once) == []
    assert patched(cells, once) == once


ROWS = st.lists(
    st.tuples(
        st.integers(1, 4),
        st.lists(st.tuples(st.integers(1, 4), st.none() | st.integers(0, 9)), min_size=1, max_size=4),
    ),
    min_size=0,
    max_size=4,
)
CELLS = st.dictionaries(
    st.tuples(st.integers(1, 14), st.integers(1, 14)),
    st.sampled_from([Cell(), Cell("x"), Cell(2.5)]),
    max_size=8,
)


@settings(max_examples=150, deadline=None)
@given(rows=ROWS, cells=CELLS)
def test_any_patches_into_any_repeats_change_those_cells_and_no_others(
    rows: list[tuple[int, list[tuple[int, int | None]]]], cells: dict[Address, Cell]
) -> None:
    xml = ""
    expected: dict[Address, object] = {}
    down = 1
    for times, row in rows:
        right = 1
        xml += f'<table:table-row table:number-rows-repeated="{times}">'
        for count, value in row:
            said = "" if value is None else f' office:value-type="float" office:value="{value}"'
            xml += f'<table:table-cell table:number-columns-repeated="{count}"{said}/>'
            if value is not None:
                block = ((r, c) for r in range(down, down + times) for c in range(right, right + count))
                expected.update(dict.fromkeys(block, float(value)))
            right += count
        xml += "</table:table-row>"
        down += times
    data = user_file(tables=one_table(xml), names="", validations="")
    for address, cell in cells.items():
        expected.pop(address, None)
        if cell.value is not None:
            expected[address] = cell.value
    once = patched(cells, data)
    assert {address: cell.value for address, cell in read(once).pages[0].cells.items()} == expected
    assert faults(once) == []
    assert patched(cells, once) == once

"""Our tabs in the maker's .ods file from run to run: renamed, copied, kept, dropped, added, named."""

from __future__ import annotations

import pytest
from lxml import etree

from sheetkit.book.ods import graft, read, render
from sheetkit.book.workbook import Change, Refused
from sheetkit.page import Cell, Choice, Column, Format, Page, Range
from tests.book.lint_ods import TABLE, faults, parts
from tests.book.test_ods_graft import CHANGE, MARKS, assert_users_own_is_equal, content, quote, styles, tables
from tests.book.user_ods import NAMES, PARTS, STOCK, replaced, user_file
from tests.there import there


def test_a_tab_that_the_user_renamed_and_moved_is_still_ours() -> None:
    once = graft(user_file(), CHANGE)
    for old in ('table:name="Quote"', "$Quote."):
        once = replaced(once, "content.xml", old, old.replace("Quote", "Offer"))
    again = graft(once, Change(tabs=(quote(99.0), MARKS)))
    workbook = read(again)
    assert workbook.owned["quote"] == "Offer"
    assert [page.title for page in workbook.pages] == ["Parts", "Stock", "Offer", "Marks"]
    assert there(workbook.page("Offer")).cells[3, 1][:2] == (99.0, "Offer!A2+Marks!A1")


def test_a_tab_of_the_user_with_our_title_is_never_overwritten() -> None:
    mine = STOCK.replace("Stock", "QUOTE")
    before = user_file(tables=PARTS + STOCK + mine)
    after = graft(before, CHANGE)
    assert_users_own_is_equal(before, after, but=("Parts",))
    workbook = read(after)
    assert workbook.owned["quote"] == "Quote (2)"
    cells = there(workbook.page("Quote (2)")).cells
    assert cells[3, 1].formula == "'Quote (2)'!A2+Marks!A1"
    assert graft(after, CHANGE) == after


def test_a_long_title_stays_within_what_the_other_format_holds() -> None:
    title = "A title of thirty-one letters x"
    before = user_file(tables=STOCK.replace("Stock", title), names="", validations="")
    after = graft(before, Change(tabs=(Page(title, {}, key="a"),)))
    assert read(after).owned["a"] == "A title of thirty-one lette (2)"


def test_a_kept_tab_becomes_the_users_and_a_fresh_one_takes_its_place() -> None:
    once = graft(user_file(), CHANGE)
    change = Change(
        tabs=(quote(20.0),), kept={"quote": "Quote of May"}, columns=CHANGE.columns, notes=CHANGE.notes
    )
    after = graft(once, change)
    assert faults(after) == []
    workbook = read(after)
    assert [page.title for page in workbook.pages] == ["Parts", "Stock", "Quote of May", "Marks", "Quote"]
    assert workbook.owned == {"quote": "Quote", "marks": "Marks"}
    old, new = workbook.page("Quote of May"), workbook.page("Quote")
    assert old is not None
    assert new is not None
    assert old.cells[3, 1][:2] == (12.0, "'Quote of May'!A2+Marks!A1")
    assert old.cells[2, 1].style.format is Format.MONEY
    assert old.freeze == (1, 0)
    assert (old.names, new.names) == ({}, {"quote_total": (2, 1)})
    assert old.key == ""
    final = graft(after, Change(dropped=frozenset({"quote"})))
    assert faults(final) == []
    assert read(final).page("Quote of May") == old
    assert any("sk-" in name for name in parts(final)), "the kept tab still shows its picture"


def test_a_kept_tab_never_takes_a_title_that_is_there() -> None:
    once = graft(user_file(), CHANGE)
    assert read(graft(once, Change(kept={"quote": "stock"}))).page("stock (2)") is not None


def test_a_dropped_tab_leaves_no_trace() -> None:
    before = user_file()
    once = graft(before, Change(tabs=(quote(), MARKS)))
    after = graft(once, Change(dropped=frozenset({"quote", "marks", "never was"})))
    assert faults(after) == []
    assert_users_own_is_equal(before, after)
    assert tables(after) == tables(before)
    assert styles(after) == styles(before)
    assert styles(after, "styles.xml") == styles(before, "styles.xml")
    assert set(parts(after)) == set(parts(before))
    assert b"quote" not in parts(after)["content.xml"].lower()


def test_a_tab_not_named_in_the_change_is_left_alone() -> None:
    once = graft(user_file(), CHANGE)
    after = graft(once, Change(tabs=(MARKS,), columns=CHANGE.columns, notes=CHANGE.notes))
    assert tables(after)["Quote"] == tables(once)["Quote"]
    assert read(after).owned == {"quote": "Quote", "marks": "Marks"}


def test_an_added_tab_belongs_to_the_maker() -> None:
    page = Page("Prices", {(1, 1): Cell("Species")}, columns={1: Column(9)})
    after = graft(user_file(), Change(added=(page, page)))
    assert faults(after) == []
    workbook = read(after)
    assert workbook.owned == {}
    assert [page.title for page in workbook.pages] == ["Parts", "Stock", "Prices", "Prices (2)"]


def test_a_copy_that_the_user_made_of_our_tab_is_the_users() -> None:
    once = graft(user_file(), CHANGE)
    table = etree.tostring(there(content(once).find(f".//{TABLE}table[@{TABLE}name='Marks']"))).decode()
    local = (
        f'<table:named-expressions xmlns:table="{TABLE[1:-1]}"><table:named-range '
        'table:name="_sheetkit.tab.marks" table:base-cell-address="$Marks_2.$A$1" '
        'table:cell-range-address="$Marks_2.$A$1"/></table:named-expressions>'
    )
    twin = table.replace('"Marks"', '"Marks_2"').replace("</table:table>", local + "</table:table>")
    copied = replaced(once, "content.xml", "<table:named-expressions>", twin + "<table:named-expressions>")
    after = graft(copied, Change(tabs=(Page("Marks", {(1, 1): Cell("new")}, key="marks"),)))
    workbook = read(after)
    assert workbook.owned["marks"] == "Marks"
    assert there(workbook.page("Marks_2")).cells[1, 1].value == 1.5


def test_a_name_that_the_user_gave_elsewhere_stays_the_users() -> None:
    page = Page("Quote", {(1, 1): Cell(1)}, key="quote", names={"Legs": (1, 1), "fresh": (1, 1)})
    workbook = read(graft(user_file(), Change(tabs=(page,))))
    assert workbook.pages[0].names == {"legs": (2, 2)}
    assert there(workbook.page("Quote")).names == {"fresh": (1, 1)}


def test_a_constant_that_the_user_named_is_not_taken_for_a_cell() -> None:
    constant = (
        '<table:named-expressions><table:named-expression table:name="waste" '
        'table:base-cell-address="$Parts.$A$1" table:expression="of:=0.15"/></table:named-expressions>'
    )
    page = Page("Quote", {(1, 1): Cell(1)}, key="quote", names={"Waste": (1, 1)})
    after = graft(user_file(names=constant), Change(tabs=(page,)))
    assert [element.get(f"{TABLE}expression") for element in content(after).iter("{*}named-expression")] == [
        "of:=0.15"
    ]
    assert there(read(after).page("Quote")).names == {}


def test_a_name_whose_cell_is_gone_is_given_to_ours_again() -> None:
    dead = NAMES.replace("$Parts.$B$2", "$Parts.$#REF!$#REF!").replace("legs", "quote_total")
    after = graft(user_file(names=dead), CHANGE)
    assert faults(after) == []
    assert there(read(after).page("Quote")).names == {"quote_total": (2, 1)}


def test_filters_of_a_tab_go_with_it_and_follow_it() -> None:
    once = graft(user_file(), CHANGE)
    line = '<table:database-range table:name="g" table:target-range-address="Quote.A1:Quote.B3"/>'
    once = replaced(once, "content.xml", "</table:database-ranges>", line + "</table:database-ranges>")

    def filters(data: bytes) -> list[str | None]:
        return [
            element.get(f"{TABLE}target-range-address") for element in content(data).iter("{*}database-range")
        ]

    assert filters(graft(once, CHANGE)) == ["Parts.A1:Parts.B5", "Quote.A1:Quote.B3"]
    assert filters(graft(once, Change(dropped=frozenset({"quote"})))) == ["Parts.A1:Parts.B5"]
    assert filters(graft(once, Change(kept={"quote": "Offer 1"}))) == [
        "Parts.A1:Parts.B5",
        "'Offer 1'.A1:'Offer 1'.B3",
    ]


def test_a_workbook_never_loses_its_last_tab() -> None:
    blank = render([Page("Only", {(1, 1): Cell(1)}, key="only")])
    with pytest.raises(Refused) as refusal:
        graft(blank, Change(dropped=frozenset({"only"})))
    assert refusal.value.reason == "no sheets"
    fresh = graft(blank, Change(tabs=(MARKS,), dropped=frozenset({"only"}), notes={"a": "b"}))
    assert faults(fresh) == []
    assert read(fresh).owned == {"marks": "Marks"}


def test_an_added_tab_brings_its_names_and_drop_downs() -> None:
    page = Page(
        "Stock",
        {(1, 1): Cell("Species"), (2, 1): Cell(1.0, formula="Stock!A1")},
        names={"first_stock": (1, 1)},
        choices=(Choice(Range(2, 1, 9, 1), source="Stock!$A$1:$A$3", hint="pick"),),
        freeze=(1, 0),
    )
    after = graft(user_file(), Change(added=(page,)))
    assert faults(after) == []
    added = read(after).page("Stock (2)")
    assert added is not None
    assert (added.names, added.freeze, added.key) == ({"first_stock": (1, 1)}, (1, 0), "")
    assert added.cells[2, 1].formula == "'Stock (2)'!A1"
    conditions = [
        element.get(f"{TABLE}condition") for element in content(after).iter("{*}content-validation")
    ]
    assert conditions[1:] == ["of:cell-content-is-in-list([$'Stock (2)'.$A$1:.$A$3])"]
    again = graft(after, Change(tabs=(MARKS,)))
    assert faults(again) == []
    assert tables(again)["Stock (2)"] == tables(after)["Stock (2)"]
    assert read(again).page("Stock (2)") == added

"""Our tabs and cells put into the maker's .ods file, of which nothing else may change."""

from __future__ import annotations

import copy
import io
import zipfile

import pytest
from lxml import etree

from sheetkit.book.ods import graft, read, render
from sheetkit.book.workbook import Change, Refused
from sheetkit.page import Cell, Choice, Column, Format, Page, Picture, PrintSetup, Range, Style
from tests.book.lint_ods import HREF, STYLE, TABLE, faults, parts
from tests.book.user_ods import DOT, one_table, replaced, user_file
from tests.there import there

OURS = ("content.xml", "styles.xml", "settings.xml", "META-INF/manifest.xml")


def quote(total: float = 12.0) -> Page:
    return Page(
        "Quote",
        {
            (1, 1): Cell("Quote", style=Style(bold=True)),
            (2, 1): Cell(total, formula="Parts!C2*1", style=Style(format=Format.MONEY)),
            (3, 1): Cell(total, formula="Quote!A2+Marks!A1"),
            (4, 1): Cell("to the cell", link="Marks!A1"),
        },
        key="quote",
        columns={1: Column(12, Style(format=Format.MONEY))},
        freeze=(1, 0),
        choices=(
            Choice(Range(5, 1, 9, 1), words=("a", "b")),
            Choice(Range(5, 2, 9, 2), source="Marks!$A$1:$A$2"),
        ),
        names={"quote_total": (2, 1)},
        pictures=(Picture(DOT, 6, 2, 20, 20, "A dot"),),
        print=PrintSetup(area=Range(1, 1, 9, 4), footer="&P"),
    )


MARKS = Page("Marks", {(1, 1): Cell(1.5, style=Style(format=Format.FRACTION))}, key="marks")
CHANGE = Change(
    tabs=(quote(), MARKS),
    patches={
        "Parts": {
            (2, 2): Cell(5),
            (4, 1): Cell("Middle slat"),
            (4, 4): Cell(3.25, style=Style(format=Format.FRACTION)),
            (9, 30): Cell("far"),
        }
    },
    columns={"Parts.blanks": ("Parts", Range(2, 4, 4, 4))},
    notes={"stamp": 'two words, "quoted"'},
)


def test_reading_our_own_tabs_alone_gives_them_as_reading_all_does() -> None:
    data = graft(user_file(), CHANGE)
    every, own = read(data), read(data, own=True)
    assert every.owned
    assert (own.owned, own.columns, own.notes, own.locked) == (
        every.owned,
        every.columns,
        every.notes,
        every.locked,
    )
    for page in every.pages:
        alone = own.page(page.title)
        assert alone is not None
        if page.title in every.owned.values():
            assert alone == page
        else:
            assert not alone.cells


def canonical(element: etree._Element) -> bytes:
    element = copy.deepcopy(element)
    element.tail = None
    return etree.tostring(element, method="c14n", exclusive=True)


def entries(data: bytes) -> dict[str, tuple[object, ...]]:
    """Give each entry's packed bytes and what the directory says of it."""
    found: dict[str, tuple[object, ...]] = {}
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for info in archive.infolist():
            start = info.header_offset + 30 + len(info.filename)
            said = info.date_time, info.compress_type, info.external_attr, info.CRC
            found[info.filename] = (data[start : start + info.compress_size], *said)
    return found


def content(data: bytes) -> etree._Element:
    return etree.fromstring(parts(data)["content.xml"])


def tables(data: bytes) -> dict[str, bytes]:
    return {
        there(table.get(f"{TABLE}name")): canonical(table)
        for table in content(data).findall(f".//{{*}}spreadsheet/{TABLE}table")
    }


def styles(data: bytes, entry: str = "content.xml") -> dict[tuple[str | None, str], bytes]:
    found: dict[tuple[str | None, str], bytes] = {}
    for element in etree.fromstring(parts(data)[entry]).iter():
        name = element.get(f"{STYLE}name")
        if name and there(element.getparent()).tag.endswith("styles"):
            found[element.get(f"{STYLE}family") or element.tag, name] = canonical(element)
    return found


def assert_users_own_is_equal(before: bytes, after: bytes, *, but: tuple[str, ...] = ()) -> None:
    old, new = parts(before), parts(after)
    assert {name: old[name] for name in old if name not in OURS} == {
        name: new[name] for name in old if name not in OURS
    }
    mine, now = tables(before), tables(after)
    assert {title: now[title] for title in mine if title not in but} == {
        title: mine[title] for title in mine if title not in but
    }
    for entry in ("content.xml", "styles.xml"):
        was, become = styles(before, entry), styles(after, entry)
        assert {key: become.get(key) for key in was} == was
    for kind in ("named-range", "content-validation", "database-range"):
        was_all, now_all = (
            [canonical(element) for element in content(data).iter(f"{TABLE}{kind}")]
            for data in (before, after)
        )
        assert [element for element in now_all if element in was_all] == was_all
    for line in etree.fromstring(old["META-INF/manifest.xml"]):
        assert canonical(line) in [canonical(now) for now in etree.fromstring(new["META-INF/manifest.xml"])]


def test_everything_of_the_user_stays_and_ours_can_be_read() -> None:
    before = user_file()
    after = graft(before, CHANGE)
    assert faults(after) == []
    assert_users_own_is_equal(before, after, but=("Parts",))
    workbook = read(after)
    assert [page.title for page in workbook.pages] == ["Parts", "Stock", "Quote", "Marks"]
    assert workbook.owned == {"quote": "Quote", "marks": "Marks"}
    assert workbook.columns == CHANGE.columns
    assert workbook.notes == CHANGE.notes
    page = workbook.page("Quote")
    assert page is not None
    assert page.cells == quote().cells
    assert (page.freeze, page.names, page.columns) == ((1, 0), {"quote_total": (2, 1)}, quote().columns)
    assert workbook.pages[0].names == {"legs": (2, 2)}


def test_tabs_alone_leave_every_table_of_the_user_as_it_was() -> None:
    before = user_file()
    assert_users_own_is_equal(before, graft(before, Change(tabs=CHANGE.tabs)))


def test_only_the_patched_cells_of_a_table_differ() -> None:
    before = user_file()
    cells = read(before).pages[0].cells
    after = read(graft(before, CHANGE)).pages[0].cells
    patched = CHANGE.patches["Parts"]
    assert {address: cell for address, cell in after.items() if address not in patched} == {
        address: cell for address, cell in cells.items() if address not in patched
    }
    assert {address: after[address].value for address in patched} == {
        address: cell.value for address, cell in patched.items()
    }


def test_the_same_change_a_second_time_changes_no_byte() -> None:
    once = graft(user_file(), CHANGE)
    assert graft(once, CHANGE) == once


def test_entries_that_are_not_ours_are_carried_over_raw() -> None:
    before = user_file()
    after = graft(before, CHANGE)
    old, new = entries(before), entries(after)
    assert {name: old[name] for name in old if name not in OURS} == {
        name: new[name] for name in old if name not in OURS
    }


def test_a_change_of_nothing_leaves_styles_and_settings_alone() -> None:
    before = parts(user_file())
    after = parts(graft(user_file(), Change()))
    assert {name for name in before if before[name] != after[name]} <= {"content.xml"}


def test_new_results_take_the_place_of_old_ones_and_leave_nothing_behind() -> None:
    once = graft(user_file(), CHANGE)
    page = Page("Quote", {(1, 1): Cell("less", style=Style(italic=True))}, key="quote")
    again = graft(once, Change(tabs=(page, MARKS), columns=CHANGE.columns))
    assert faults(again) == []
    assert [page.title for page in read(again).pages] == ["Parts", "Stock", "Quote", "Marks"]
    assert there(read(again).page("Quote")).cells == page.cells
    assert read(again).notes == {}
    assert not [name for name in parts(again) if "sk-" in name]
    fresh = graft(user_file(), Change(tabs=(page, MARKS), patches=CHANGE.patches, columns=CHANGE.columns))
    assert set(styles(again)) == set(styles(fresh))
    assert set(styles(again, "styles.xml")) == set(styles(fresh, "styles.xml"))
    assert b"sk-v." not in parts(again)["content.xml"]
    assert "/Pictures/" not in parts(again)["META-INF/manifest.xml"].decode().replace("Pictures/mine.png", "")


def test_our_tabs_stand_before_cached_tabs_of_other_files() -> None:
    order = list(tables(graft(user_file(), CHANGE)))
    assert order == ["Parts", "Stock", "Quote", "Marks", "'file:///home/me/prices.ods'#Sheet1"]


def test_a_file_that_does_not_declare_formulas_gets_the_declaration() -> None:
    after = graft(user_file(formulas=False), CHANGE)
    assert content(after).nsmap["of"] == "urn:oasis:names:tc:opendocument:xmlns:of:1.2"
    assert graft(after, CHANGE) == after


@pytest.mark.parametrize("gone", ["styles.xml", "settings.xml"])
def test_an_entry_that_is_missing_is_made_and_listed(gone: str) -> None:
    after = graft(user_file(drop=(gone,)), Change(tabs=CHANGE.tabs))
    assert gone in parts(after)
    assert there(read(after).page("Quote")).freeze == (1, 0)
    manifest = etree.fromstring(parts(after)["META-INF/manifest.xml"])
    assert [line.get(line.tag.replace("file-entry", "full-path")) for line in manifest].count(gone) == 1


def test_a_style_that_another_program_changed_under_our_name_is_not_taken_for_ours() -> None:
    once = graft(user_file(), CHANGE)
    name = next(name for family, name in styles(once) if family == "table-column" and name.startswith("sk-"))
    text = parts(once)["content.xml"].decode()
    old = text[text.index(f'style:name="{name}"') :].split("column-width=")[1].split('"')[1]
    changed = replaced(once, "content.xml", f'column-width="{old}"', 'column-width="3.3333in"')
    after = graft(changed, CHANGE)
    assert faults(after) == []
    assert there(read(after).page("Quote")).columns == quote().columns


def test_results_can_be_put_into_a_workbook_of_our_own_making() -> None:
    blank = render([Page("Parts", {(1, 1): Cell("Part")}), Page("Stock", {})])
    after = graft(blank, CHANGE)
    assert faults(after) == []
    assert graft(after, CHANGE) == after
    assert parts(after)["mimetype"] == parts(blank)["mimetype"]


def test_pictures_lie_in_the_cell_with_their_words() -> None:
    after = graft(user_file(), CHANGE)
    frame = there(content(after).find(f".//{TABLE}table[@{TABLE}name='Quote']//{{*}}frame"))
    assert there(frame.find("{*}image")).get(HREF) in parts(after)
    assert there(frame.find("{*}desc")).text == "A dot"


def test_an_unknown_tab_to_patch_is_a_bad_call() -> None:
    with pytest.raises(KeyError):
        graft(user_file(), Change(patches={"Nowhere": {(1, 1): Cell(1)}}))


def test_a_file_without_named_expressions_or_validations_gets_them_in_the_right_order() -> None:
    rows = '<table:table-row><table:table-cell office:value-type="float" office:value="1"/></table:table-row>'
    before = user_file(tables=one_table(rows), names="", validations="", styles="")
    after = graft(before, Change(tabs=CHANGE.tabs, notes=CHANGE.notes))
    assert faults(after) == []
    assert graft(after, Change(tabs=CHANGE.tabs, notes=CHANGE.notes)) == after


def test_refusals_reach_the_caller_with_their_reason() -> None:
    with pytest.raises(Refused) as refusal:
        graft(b"nonsense", CHANGE)
    assert refusal.value.reason == "not a workbook"


def test_a_style_of_ours_that_another_program_rewrote_does_not_change_the_next_run() -> None:
    once = graft(user_file(), CHANGE)
    other = replaced(once, "content.xml", 'style:cell-protect="protected"', 'style:cell-protect="none"')
    again = graft(other, CHANGE)
    assert faults(again) == []
    assert there(read(again).page("Quote")).cells == quote().cells
    assert graft(again, CHANGE) == again

"""Cells written into a maker's tab: the bytes of all others stay as they stood, however their program wrote them."""

from __future__ import annotations

import re
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from sheetkit.book.workbook import Refused
from sheetkit.book.xlsx.book import whole
from sheetkit.book.xlsx.cells import Sheet
from sheetkit.book.xlsx.relations import MAIN
from sheetkit.book.xlsx.strings import Strings
from sheetkit.book.xlsx.styles import Styles
from sheetkit.book.xlsx.value import Store
from sheetkit.page import Address, Cell, Format, Range, Style, column_number

HEAD = f'<?xml version="1.0" encoding="UTF-8"?>\r\n<worksheet xmlns="{MAIN}" xmlns:own="urn:own">'
"""A tab of no program in particular: own elements, single quotes, blanks and comments where XML allows them."""
ROWS = """<sheetData><!-- <row r="9"/> -->
 <row r='2' spans='1:3' own:height="&gt;" ><c r="A2"  s='3'><v>1</v></c > <c r="C2" t="str"><f>"a"&amp;"b"</f><v>ab</v></c><own:x/></row>
 <row own:a=">" r="4"/>
 <row r="5" s="7" customFormat="1"><c r="B5" t="inlineStr" s="2"><is><t>B</t></is><own:more own:of="5"/></c></row>
</sheetData>"""
TAIL = (
    "<!-- after --><pageMargins left='1' right='1' top='1' bottom='1' header='1' footer='1'/></worksheet>\n"
)


def store() -> Store:
    looks = '<cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs>'
    return Store(
        Styles(f'<styleSheet xmlns="{MAIN}">{looks}</styleSheet>'.encode(), MAIN), Strings(None, MAIN), False
    )


def tab(rows: str = ROWS, head: str = HEAD, tail: str = TAIL) -> bytes:
    return f"{head}{rows}{tail}".encode()


def written(data: bytes, patches: dict[Address, Cell], headings: tuple[Range, ...] = ()) -> bytes:
    """Write cells, and check that writing them again is no change."""
    sheet = Sheet(data, MAIN, "T", headings)
    assert not sheet.changed
    sheet.write(patches, store())
    out = sheet.written()
    assert sheet.changed == (out != data)
    again = Sheet(out, MAIN, "T", headings)
    again.write(patches, store())
    assert (again.changed, again.written()) == (False, out)
    return out


def cells_of(data: bytes) -> dict[Address, tuple[str | None, ...]]:
    """Read a tab in the plainest way, sharing no code with what wrote it."""
    found = {}
    for row in etree.fromstring(data).iter(f"{{{MAIN}}}row"):
        for c in row.iterchildren(f"{{{MAIN}}}c"):
            name = re.fullmatch(r"([A-Z]+)(\d+)", c.get("r", ""))
            assert name is not None
            assert name[2] == row.get("r")
            texts = [c.findtext(f"{{{MAIN}}}{tag}") for tag in ("f", "v")]
            found[int(name[2]), column_number(name[1])] = (c.get("s"), c.get("t"), *texts)
    return found


@pytest.mark.parametrize(
    ("patch", "old", "new"),
    [
        ({(2, 2): Cell(7.0)}, '</c > <c r="C2"', '</c > <c r="B2"><v>7</v></c><c r="C2"'),
        ({(2, 4): Cell(True)}, "</c><own:x/></row>", '</c><c r="D2" t="b"><v>1</v></c><own:x/></row>'),
        ({(2, 1): Cell(0.5)}, "<c r=\"A2\"  s='3'><v>1</v></c >", '<c r="A2" s="3"><v>0.5</v></c>'),
        ({(2, 1): Cell()}, "<c r=\"A2\"  s='3'><v>1</v></c >", '<c r="A2" s="3"/>'),
        ({(3, 1): Cell(1.0)}, '<row own:a=">" r="4"/>', '<row r="3"><c r="A3"><v>1</v></c></row><row own:a=">" r="4"/>'),
        ({(4, 2): Cell(2.0)}, '<row own:a=">" r="4"/>', '<row own:a=">" r="4"><c r="B4"><v>2</v></c></row>'),
        ({(5, 1): Cell(3.0)}, '<c r="B5"', '<c r="A5" s="7"><v>3</v></c><c r="B5"'),
        ({(9, 1): Cell(9.0)}, "</row>\n</sheetData>", '</row>\n<row r="9"><c r="A9"><v>9</v></c></row></sheetData>'),
    ],
)  # fmt: skip
def test_only_the_cell_written_differs(patch: dict[Address, Cell], old: str, new: str) -> None:
    expected = tab().decode().replace(old, new)
    if (2, 4) in patch:
        expected = expected.replace("spans='1:3'", "spans='1:4'")
    assert written(tab(), patch).decode() == expected


def test_a_cell_keeps_what_else_the_makers_program_put_into_it() -> None:
    out = written(tab(), {(5, 2): Cell(4.0)})
    (c,) = (c for c in etree.fromstring(out).iter(f"{{{MAIN}}}c") if c.get("r") == "B5")
    assert (c.get("s"), c.get("t")) == ("2", None)
    assert c.findtext(f"{{{MAIN}}}v") == "4"
    assert c.find(f"{{{MAIN}}}is") is None
    (more,) = (child for child in c if child.tag == "{urn:own}more")
    assert more.get("{urn:own}of") == "5"


def test_what_stands_there_already_is_no_change_however_it_is_written() -> None:
    same = {(2, 1): Cell(1.0), (2, 3): Cell("ab", '"a"&"b"'), (4, 1): Cell(), (7, 7): Cell()}
    assert written(tab(), same) == tab()


@pytest.mark.parametrize("rows", ["<sheetData/>", "<sheetData ></sheetData>", ""])
def test_a_tab_without_rows_gets_some(rows: str) -> None:
    out = written(tab(rows), {(2, 2): Cell(1.0), (1, 3): Cell(2.0)})
    assert cells_of(out) == {(1, 3): (None, None, None, "2"), (2, 2): (None, None, None, "1")}
    assert list(cells_of(out)) == [(1, 3), (2, 2)]


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "iso-8859-1"])
def test_any_encoding_is_read_and_written_back_so_that_it_can_be_read(encoding: str) -> None:
    head = HEAD.replace("UTF-8", encoding.replace("-sig", ""))
    data = f"{head}<sheetData><row r='1'><c r='A1' t='str'><v>Kürbis</v></c></row></sheetData>{TAIL}".encode(
        encoding
    )
    sheet = Sheet(data, MAIN, "T")
    sheet.write({(1, 2): Cell("", '"naïve"')}, store())
    cells = cells_of(sheet.written())
    assert cells[1, 1] == (None, "str", None, "Kürbis")
    assert cells[1, 2][2] == '"naïve"'


def test_a_prefix_that_the_row_itself_declares_is_kept() -> None:
    row = f'<p:row xmlns:p="{MAIN}" r="1"><p:c r="A1"><p:v>1</p:v></p:c></p:row>'
    out = written(tab(f"<sheetData>{row}</sheetData>"), {(1, 1): Cell(2.0), (1, 2): Cell(3.0)})
    assert b'<p:c r="A1"><p:v>2</p:v></p:c><p:c r="B1"><p:v>3</p:v></p:c>' in out


def test_only_the_shared_texts_of_cells_left_alone_are_used() -> None:
    rows = """<sheetData><row r="1"><c r="A1" t="s"><v>4</v></c><c r="B1" t="s"><v>5</v></c></row>
    <row r="2"><c r="A2" t="s"><v>6</v></c><c r="B2"><v>7</v></c></row></sheetData>"""
    sheet = Sheet(tab(rows), MAIN, "T", (Range(2, 1, 2, 1),))
    assert sheet.text_uses({(1, 2): Cell(), (2, 1): Cell(), (8, 8): Cell()}) == [4, 6]


@pytest.mark.parametrize(
    "rows",
    ['<row r="2"/><row r="1"/>', '<row r="0"/>', '<row r="x"/>', '<row r="1048577"/>', '<row r="1"><c r="B1"/><c r="A1"/></row>',
     '<row r="1"><c r="1"/></row>', '<row r="1"><c r="XFE1"/></row>', f'<row r="1"><c r="{"Z" * 99}1"/></row>', "<row>"],
)  # fmt: skip
def test_rows_and_cells_out_of_order_are_damage(rows: str) -> None:
    with pytest.raises(Refused, match="damaged"):
        Sheet(tab(f"<sheetData>{rows}</sheetData>"), MAIN, "T").write({(1, 3): Cell(1.0)}, store())


def test_a_heading_of_a_table_is_kept_or_refused() -> None:
    headings = (Range(5, 1, 5, 4),)
    assert written(tab(), {(5, 2): Cell("B")}, headings) == tab()
    for address in ((5, 2), (5, 3)):
        with pytest.raises(Refused, match="table heading"):
            Sheet(tab(), MAIN, "T", headings).write({address: Cell("C")}, store())


VALUES = st.one_of(
    st.none(),
    st.booleans(),
    st.floats(-1e9, 1e9).map(lambda number: round(number, 4)),
    st.dates(date(1950, 1, 1)),
    st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=5),
)
ADDRESSES = st.tuples(st.integers(1, 8), st.integers(1, 6))


@given(
    st.dictionaries(ADDRESSES, st.integers(0, 99)),
    st.dictionaries(ADDRESSES, st.tuples(VALUES, st.sampled_from([None, None, 'A1&"<"'])).map(lambda said: Cell(*said))),
)  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_every_cell_is_the_one_written_or_the_one_that_stood_there(
    there: dict[Address, int], patches: dict[Address, Cell]
) -> None:
    rows: dict[int, str] = {}
    for (row, column), number in sorted(there.items()):
        rows[row] = rows.get(row, "") + f'<c r="{"ABCDEF"[column - 1]}{row}" s="{number}"><v>{number}</v></c>'
    content = "".join(f'<row r="{row}">{cells}</row>' for row, cells in rows.items())
    data = tab(f"<sheetData>{content}</sheetData>")
    cells = cells_of(written(data, patches))
    for address, number in there.items():
        if address not in patches:
            assert cells[address] == (str(number), None, None, str(number))
    for address, cell in patches.items():
        if cell.formula is None and cell.value in (None, ""):
            assert cells.get(address, (None,) * 4)[2:] == (None, None)
        else:
            assert cells[address][2] == cell.formula
            assert (cells[address][1] == "b") == isinstance(cell.value, bool)
    assert set(cells) <= set(there) | set(patches)
    assert list(cells) == sorted(cells)


def test_a_format_asked_for_changes_the_look_and_nothing_else() -> None:
    own = store()
    sheet = Sheet(tab("<sheetData><row r='1'><c r='A1' s='0'><v>1</v></c></row></sheetData>"), MAIN, "T")
    sheet.write({(1, 1): Cell(1.0, style=Style(format=Format.MONEY))}, own)
    look, *rest = cells_of(sheet.written())[1, 1]
    assert whole(look) > 0
    assert rest == [None, None, "1"]

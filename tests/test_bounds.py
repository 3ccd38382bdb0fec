"""Small files that unpack, claim or spread without end: each is done with soon and in little memory, or refused."""

from __future__ import annotations

import io
import re
import struct
import subprocess
import sys
import time
import zipfile
import zlib
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import NamedTuple

import pytest

from sheetkit.book.formats import by_ending
from sheetkit.book.markup import bounded, plain
from sheetkit.book.ods.formula import from_open
from sheetkit.book.package import Package
from sheetkit.book.references import Surroundings, looked_at, shifted
from sheetkit.book.workbook import Refused
from sheetkit.book.xlsx.looks import shown_as
from sheetkit.book.xlsx.names import block, retitled
from sheetkit.book.xlsx.strings import uses
from sheetkit.jobs.new import new_workbook
from sheetkit.jobs.part_list import parts_from
from sheetkit.jobs.run import run
from sheetkit.page import LONGEST_TEXT, Cell, Page, cell_name
from sheetkit.records.messages import REFUSALS
from sheetkit.tabs.messages import MOST_LISTED
from tests.jobs import pages, read, write
from tests.there import there

SECONDS, MEGABYTES = 30.0, 400
"""What any of these files may take, far more than they do, for a slow and busy machine."""
PARTS = {"Parts": "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 30"}
SHEET, TEXTS, STYLES, BOOK = (
    f"xl/{name}.xml" for name in ("worksheets/sheet3", "sharedStrings", "styles", "workbook")
)
CONTENT = "content.xml"
Edit = Callable[[bytes], bytes]

RUN = """
import os, sys
try:
    import resource
    resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
except (ImportError, AttributeError, ValueError, OSError):
    pass  # no such limit here
from sheetkit.book.workbook import Refused
from sheetkit.jobs.run import run
try:
    found = " ".join(["done", *sorted({each.code for each in run(sys.argv[1], effort=0.1).problems})])
except Refused as refused:
    found = f"refused {refused.reason}"
peak = "0"
if os.path.exists("/proc/self/status"):
    with open("/proc/self/status") as status:
        peak = next(line.split()[1] for line in status if line.startswith("VmHWM"))
print(peak, found)
"""
"""Its own peak is read, not getrusage's, which counts that of the process it was forked from; 0 where it is not told."""


class Measured(NamedTuple):
    """How a run went."""

    found: str
    seconds: float
    megabytes: float


def measured(path: Path) -> Measured:
    start = time.perf_counter()
    words = [sys.executable, "-c", RUN, str(path)]
    done = subprocess.run(words, capture_output=True, text=True, timeout=3 * SECONDS, check=False)
    assert done.returncode == 0, done.stderr
    peak, found = done.stdout.strip().split(" ", 1)
    return Measured(found, time.perf_counter() - start, int(peak) / 1024)


def rebuilt(ending: str, edits: dict[str, Edit], more: dict[str, bytes] | None = None) -> bytes:
    """Give a small job with some entries changed and others added."""
    out = io.BytesIO()
    good = io.BytesIO(by_ending(ending).render(pages(PARTS)))
    with (
        zipfile.ZipFile(good) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as new,
    ):
        for name in old.namelist():
            new.writestr(name, edits.get(name, bytes)(old.read(name)))
        for name, data in (more or {}).items():
            new.writestr(name, data)
    return out.getvalue()


def before(mark: bytes, put: bytes) -> Edit:
    """Give the edit that puts something before the last of a mark."""

    def edit(part: bytes) -> bytes:
        head, found, tail = part.rpartition(mark)
        assert found
        return head + put + found + tail

    return edit


def rows(put: bytes) -> dict[str, Edit]:
    """Give the edit that adds rows to the tab Parts of an .xlsx."""
    return {SHEET: before(b"</sheetData>", put)}


def many(pattern: bytes, count: int, first: int = 3) -> bytes:
    """Give rows or the like, each with its number wherever ``%d`` stands."""
    times = pattern.count(b"%d")
    return b"".join(pattern % ((number,) * times) for number in range(first, first + count))


def table_rows(put: bytes) -> dict[str, Edit]:
    """Give the edit that puts rows in place of the empty ones at the end of the tab Parts of an .ods."""
    end = re.compile(
        rb'<table:table-row [^>]*number-rows-repeated="\d+"><table:table-cell [^>]*/></table:table-row></table:table></office:s'
    )

    def edit(part: bytes) -> bytes:
        assert end.search(part)
        return end.sub(lambda found: put + b"</table:table></office:s", part)

    return {CONTENT: edit}


def bomb(ending: str, name: str, claim: int, size: int) -> bytes:
    """Give a job with an entry of zeros, of which the directory claims another size."""
    package = Package(by_ending(ending).render(pages(PARTS)))
    package.delete(name)
    data = package.save()
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    raw = (packer.compress(bytes(1 << 20)) + packer.flush(zlib.Z_FULL_FLUSH)) * (size >> 20) + b"\3\0"
    end = data.rindex(b"PK\5\6")
    count, length, start = struct.unpack_from("<HII", data, end + 10)
    said, label = (20, 0, 8, 0, 33, 0, len(raw), claim, len(name), 0), name.encode()
    local = struct.pack("<4s5H3I2H", b"PK\3\4", *said) + label + raw
    record = struct.pack("<4s6H3I5H2I", b"PK\1\2", 20, *said, 0, 0, 0, 0, start) + label
    tail = struct.pack(
        "<4s4H2IH", b"PK\5\6", 0, 0, count + 1, count + 1, length + len(record), start + len(local), 0
    )
    return data[:start] + local + data[start:end] + record + tail


NUMBER = (
    b'<table:table-cell office:value-type="float" office:value="1"%s><text:p>1</text:p></table:table-cell>'
)
LAUGHS = b"<!DOCTYPE x [<!ENTITY a0 'ha'>" + b"".join(
    b"<!ENTITY a%d '%s'>" % (number, b"&a%d;" % (number - 1) * 10) for number in range(1, 12)
) + b"]>"  # fmt: skip
GIGABYTE = 1 << 30


def declaring(doctype: bytes, use: bytes = b"") -> Edit:
    return lambda part: part.replace(b"?>", b"?>" + doctype, 1).replace(
        b"<v>30</v>", b"<v>%s</v>" % (use or b"30")
    )


def looked_up(link: str, place: bytes) -> dict[str, Edit]:
    return {
        SHEET: before(b"</sheetData>", place),
        BOOK: lambda part: part.replace(b'name="Prices"', link.encode()),
    }


XLSX: dict[str, tuple[str, Callable[[], bytes]]] = {
    "an entry of 4 GB": ("refused too large", lambda: bomb(".xlsx", SHEET, 4 * GIGABYTE - 1, 4 * GIGABYTE)),
    "an entry of 4 GB that claims to be small": ("refused damaged", lambda: bomb(".xlsx", SHEET, 1000, 4 * GIGABYTE)),
    "an entry just below what a whole document may hold": ("refused too large", lambda: bomb(".xlsx", SHEET, 390 << 20, 390 << 20)),
    "a picture of 4 GB that claims to be small": ("done", lambda: bomb(".xlsx", "xl/media/x.png", 1000, 4 * GIGABYTE)),
    "10,000 entries": ("done", lambda: rebuilt(".xlsx", {}, {f"xl/media/{number}.png": b"x" for number in range(10_000)})),
    "30,000 entries": ("refused too large", lambda: rebuilt(".xlsx", {}, {f"xl/media/{number}.png": b"" for number in range(30_000)})),
    "entities in a tab": ("refused declares entities", lambda: rebuilt(".xlsx", {SHEET: declaring(LAUGHS, b"&a11;")})),
    "entities in the styles": ("refused declares entities", lambda: rebuilt(".xlsx", {STYLES: declaring(LAUGHS)})),
    "entities in the table of contents": ("refused declares entities", lambda: rebuilt(".xlsx", {"[Content_Types].xml": declaring(LAUGHS)})),
    "an entity that is a file": ("refused declares entities", lambda: rebuilt(".xlsx", {
        SHEET: declaring(b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/hostname">]>', b"&e;")})),
    "an entity in the network": ("refused declares entities", lambda: rebuilt(".xlsx", {
        SHEET: declaring(b'<!DOCTYPE x [<!ENTITY % e SYSTEM "http://192.0.2.1/e"> %e;]>')})),
    "a cell in the last row": ("done", lambda: rebuilt(".xlsx", rows(b'<row r="1048576"><c r="J1048576"><v>1</v></c></row>'))),
    "a cell in the last column": ("refused no room", lambda: rebuilt(".xlsx", rows(b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'))),
    "a whole tab claimed": ("done", lambda: rebuilt(".xlsx", {SHEET: lambda part: part.replace(b"A1:E2", b"A1:XFD1048576")})),
    "16,384 headings": ("refused no room", lambda: rebuilt(".xlsx", {SHEET: lambda part: part.replace(b'</row><row r="2"', b"".join(
        b'<c r="%s" t="inlineStr"><is><t>H%d</t></is></c>' % (cell_name(1, number).encode(), number)
        for number in range(6, 16_385)) + b'</row><row r="2"')})),
    "1,000 cells of 32,767 characters": ("done", lambda: rebuilt(".xlsx", rows(b"".join(
        b'<row r="%d">' % row + b"<c t='inlineStr'><is><t>%s</t></is></c>" % (b"x" * 32_767) * 9 + b"</row>" for row in range(3, 114))))),
    "a cell of 50 million characters": ("refused too large", lambda: rebuilt(".xlsx", rows(
        b'<row r="3"><c r="A3" t="inlineStr"><is><t>%s</t></is></c></row>' % (b"x" * 50_000_000)))),
    "a number of a million digits": ("done cell-error empty", lambda: rebuilt(".xlsx", rows(b'<row r="3"><c r="A3"><v>%s</v></c></row>' % (b"9" * 1_000_000)))),
    "a million empty rows with a look": ("refused too large", lambda: rebuilt(".xlsx", rows(
        many(b'<row r="%d" spans="1:5" s="1" customFormat="1" ht="15" customHeight="1"/>', 1_048_574)))),
    "100,000 empty rows with a look": ("done", lambda: rebuilt(".xlsx", rows(many(b'<row r="%d" s="1" customFormat="1" ht="15" customHeight="1"/>', 100_000)))),
    "a million rows": ("refused too large", lambda: rebuilt(".xlsx", rows(many(b'<row r="%d"><c r="J%d"><v>1</v></c></row>', 1_048_574)))),
    "20,000 parts": ("done empty too-many-rows", lambda: rebuilt(".xlsx", rows(many(b'<row r="%d"><c r="A%d"><v>1</v></c></row>', 20_000)))),
    "100,000 styles": ("done", lambda: rebuilt(".xlsx", {STYLES: before(b"</cellXfs>", b'<xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>' * 100_000)})),
    "a million shared texts": ("refused too large", lambda: rebuilt(".xlsx", {TEXTS: before(b"</sst>", many(b"<si><t>w%d</t></si>", 1_000_000))})),
    "the same tab 3,000 times": ("refused too large", lambda: rebuilt(".xlsx", {
        BOOK: before(b"</sheets>", many(b'<sheet name="T%d" sheetId="%d" r:id="rId3"/>', 3_000, 10)), **rows(many(b'<row r="%d"><c><v>1</v></c></row>', 2_000))})),
    "4 million attributes": ("refused too large", lambda: rebuilt(".xlsx", rows(b'<row r="3" %s/>' % many(b'a%d="" ', 4_000_000, 0)))),
    "90 MB of nothing": ("refused too large", lambda: rebuilt(".xlsx", rows(b" " * (90 << 20)))),
    "a million elements, each in the other": ("refused damaged", lambda: rebuilt(".xlsx", rows(b"<a>" * 1_000_000 + b"</a>" * 1_000_000))),
    "100,000 links over the whole tab": ("done", lambda: rebuilt(".xlsx", {SHEET: lambda part: part.replace(
        b"</sheetData>", b"</sheetData><hyperlinks>" + b'<hyperlink ref="A1:XFD1048576" location="Job!A1"/>' * 100_000 + b"</hyperlinks>")})),
    "100,000 merged blocks": ("done", lambda: rebuilt(".xlsx", {SHEET: lambda part: part.replace(
        b"</sheetData>", b"</sheetData><mergeCells>" + many(b'<mergeCell ref="J%d:K%d"/>', 100_000) + b"</mergeCells>")})),
    "100,000 names that lead nowhere": ("done", lambda: rebuilt(".xlsx", {BOOK: before(
        b"<calcPr", b"<definedNames>" + many(b'<definedName name="n%d">Nowhere!$A$%d</definedName>', 100_000) + b"</definedNames>")})),
    "a list of 16,000 names": ("done", lambda: rebuilt(".xlsx", {
        BOOK: lambda part: part.replace(b'name="Prices"', b'name="Finish"'),
        "xl/worksheets/sheet2.xml": lambda part: re.sub(rb"<sheetData>.*</sheetData>", lambda found: b"<sheetData>" + b"".join(
            b"<row>" + b"".join(b"<c t='inlineStr'><is><t>%s</t></is></c>" % word for word in line) + b"</row>"
            for line in ((b"Step", b"Product", b"Coats", b"Parts"), (b"Oil", b"hardwax oil", b"1", b"a," * 16_000))) + b"</sheetData>", part)})),
}  # fmt: skip
ODS: dict[str, tuple[str, Callable[[], bytes]]] = {
    "an entry of 4 GB": ("refused too large", lambda: bomb(".ods", CONTENT, 4 * GIGABYTE - 1, 4 * GIGABYTE)),
    "an entry of 4 GB that claims to be small": ("refused damaged", lambda: bomb(".ods", CONTENT, 1000, 4 * GIGABYTE)),
    "entities in the content": ("refused declares entities", lambda: rebuilt(".ods", {CONTENT: declaring(LAUGHS)})),
    "entities in the manifest": ("refused declares entities", lambda: rebuilt(".ods", {"META-INF/manifest.xml": declaring(LAUGHS)})),
    "a cell in the last row and column": ("refused no room", lambda: rebuilt(".ods", table_rows(
        b'<table:table-row table:number-rows-repeated="1048573"/><table:table-row><table:table-cell table:number-columns-repeated="16383"/>'
        + NUMBER % b"" + b"</table:table-row>"))),
    "a row a million times": ("refused too large", lambda: rebuilt(".ods", table_rows(
        b'<table:table-row table:number-rows-repeated="1048574">' + NUMBER % b"" + b"</table:table-row>"))),
    "100,000 rows ten times": ("refused too large", lambda: rebuilt(".ods", table_rows(
        (b'<table:table-row table:number-rows-repeated="100000">' + NUMBER % b"" + b"</table:table-row>") * 11))),
    "16,384 cells in 100 rows": ("refused too large", lambda: rebuilt(".ods", table_rows(
        b'<table:table-row table:number-rows-repeated="100">' + NUMBER % b' table:number-columns-repeated="16384"' + b"</table:table-row>"))),
    "an empty row without end": ("done", lambda: rebuilt(".ods", table_rows(b'<table:table-row table:number-rows-repeated="999999999999999999"/>'))),
    "a million rows": ("refused too large", lambda: rebuilt(".ods", table_rows((b"<table:table-row>" + NUMBER % b"" + b"</table:table-row>") * 1_000_000))),
    "spaces without end": ("done empty", lambda: rebuilt(".ods", table_rows(
        b'<table:table-row><table:table-cell office:value-type="string"><text:p>a<text:s text:c="999999999"/></text:p></table:table-cell></table:table-row>'))),
    "50,000 styles, each of the next": ("done", lambda: rebuilt(".ods", {CONTENT: lambda part: re.sub(
        rb'sk-c\.[0-9a-f]+"', b'q0"', part.replace(b"</office:automatic-styles>", b"".join(
            b'<style:style style:name="q%d" style:family="table-cell" style:parent-style-name="q%d"/>' % (number, number + 1)
            for number in range(50_000)) + b"</office:automatic-styles>"))})),
    "10,000 tabs": ("done", lambda: rebuilt(".ods", {CONTENT: before(
        b"</office:spreadsheet>", many(b'<table:table table:name="T%d"><table:table-row><table:table-cell/></table:table-row></table:table>', 10_000))})),
    "a million pieces of text, each in the other": ("refused damaged", lambda: rebuilt(".ods", table_rows(
        b'<table:table-row><table:table-cell office:value-type="string"><text:p>' + b"<text:span>" * 1_000_000 + b"</text:span>" * 1_000_000
        + b"</text:p></table:table-cell></table:table-row>"))),
}  # fmt: skip
CASES = [(ending, case) for ending, cases in ((".xlsx", XLSX), (".ods", ODS)) for case in cases]


@pytest.mark.parametrize(("ending", "case"), CASES, ids=lambda value: value.removeprefix("."))
def test_a_file_is_done_with_soon_and_in_little_memory_or_refused(
    tmp_path: Path, ending: str, case: str
) -> None:
    expected, build = (XLSX if ending == ".xlsx" else ODS)[case]
    path = tmp_path / f"job{ending}"
    path.write_bytes(build())
    data = path.read_bytes()
    how = measured(path)
    assert how.found.startswith(expected), how
    assert how.seconds < SECONDS
    assert how.megabytes < MEGABYTES
    if expected.startswith("refused"):
        assert expected.removeprefix("refused ") in REFUSALS
        assert path.read_bytes() == data


def test_a_part_that_is_as_large_as_allowed_and_no_larger_is_read() -> None:
    assert bounded(b"<a b=''/>" * 3, "x", most=7)
    with pytest.raises(Refused, match="too large"):
        bounded(b"<a b=''/>" * 4, "x", most=7)


LONG = 30_000
ODD = [
    "'" * LONG, "'" * (LONG + 1) + "!", '"' * (LONG + 1), "a" * LONG + "(", "a." * LONG + "(", "'a" * LONG, "''a" * LONG, "[" * LONG, "['" * LONG,
    "['a" * LONG, "[.A1" * LONG, "[$'" + "''" * LONG + "x", "''!" * LONG, "$" * LONG, "A1:" * LONG, "9" * LONG + ":", "<c t='s' " * LONG,
    "<c t='s'>" * LONG, "<!--" * LONG, "<?" * LONG, "(" * LONG,
]  # fmt: skip


@pytest.mark.parametrize(
    "understood",
    [
        lambda text: looked_at(text, "Parts", Surroundings((), {})),
        lambda text: shifted(text, 1, 1),
        lambda text: retitled(f"{text}!", {"quote": "Quote (2)"}),
        lambda text: block(f"Parts!$A${text}"),
        block,
        shown_as,
        from_open,
        lambda text: uses(text.encode()),
        lambda text: plain(b"<!--" + text.encode()),
    ],
)
def test_odd_text_takes_no_longer_to_understand_than_its_length_asks(
    understood: Callable[[str], object],
) -> None:
    for text in ODD:
        start = time.perf_counter()
        understood(text)
        assert time.perf_counter() - start < 2.0, text[:20]


def parts_file(folder: Path, ending: str, edits: dict[str, Edit]) -> Path:
    path = folder / f"job{ending}"
    path.write_bytes(rebuilt(ending, edits))
    return path


@pytest.mark.parametrize("pane", [b'xSplit="1e400"', b'ySplit="INF"', b'xSplit="NaN"'])
def test_a_number_without_end_in_the_view_of_a_tab_is_damage(tmp_path: Path, pane: bytes) -> None:
    frozen = b'<sheetView workbookViewId="0"><pane %s state="frozen"/></sheetView>' % pane
    view = b'<sheetView workbookViewId="0"/>'
    path = parts_file(tmp_path, ".xlsx", {SHEET: lambda part: part.replace(view, frozen)})
    with pytest.raises(Refused, match="damaged"):
        run(path)


def test_a_list_of_contents_that_is_none_is_damage(tmp_path: Path) -> None:
    path = parts_file(
        tmp_path,
        ".xlsx",
        {"[Content_Types].xml": lambda part: part.replace(b"content-types", b"relationships")},
    )
    with pytest.raises(Refused, match="damaged"):
        run(path)


def test_no_tab_of_ours_comes_to_stand_for_one_whose_relation_is_lost(tmp_path: Path) -> None:
    links = "xl/_rels/workbook.xml.rels"
    path = parts_file(
        tmp_path, ".xlsx", {links: lambda part: re.sub(rb"<Relationship [^>]*worksheet[^>]*/>", b"", part)}
    )
    outcome = run(path)
    assert {each.code for each in outcome.problems} == {"tab-missing"}
    again = read(path)
    assert again.page("Parts") is None
    assert set(again.owned.values()) == {page.title for page in again.pages}
    assert not run(path).written


def test_names_as_long_as_a_cell_holds_are_worked_with(tmp_path: Path) -> None:
    long = "Leg " * 8_188 + "Leg"
    joints = "Joint | Kind | Into | From | Thickness | Width | Depth into"
    tables = {
        "Parts": f"Part | Species | Thickness | Width | Length\n{long} | White oak | 1 | 2 | 30\n{long}2 | White oak | 1 | 2 | 5",
        "Joints": f"{joints}\n{long} | tenon | {long} | {long}2 | 3/8 | 1 | 3/4\n{long} | tenon | {long} | nobody {long} | 3/8 | 1 | 3/4",
        "Finish": f"Step | Product | Coats | Parts\nOil | hardwax oil | 2 | {long}",
    }
    for ending in (".xlsx", ".ods"):
        path = write(tmp_path / f"job{ending}", tables)
        outcome = run(path)
        assert outcome.problems
        assert max(len(each.says) + len(each.instead) + len(each.stands) for each in outcome.problems) < 8_000
        cells = [cell.value for page in read(path).pages for cell in page.cells.values()]
        assert max(len(value) for value in cells if isinstance(value, str)) <= LONGEST_TEXT
        assert not run(path).written


def test_more_problems_than_anybody_reads_are_counted_not_listed(tmp_path: Path) -> None:
    bad = "\n".join(["Leg | No such wood | 0 | 2 | 30"] * (MOST_LISTED // 2 + 50))
    path = write(tmp_path / "job.xlsx", {"Parts": f"Part | Species | Thickness | Width | Length\n{bad}"})
    outcome = run(path)
    assert len(outcome.problems) == MOST_LISTED + 100
    page = read(path).page("Messages")
    assert page is not None
    said = [cell.value for cell in page.cells.values()]
    assert "and 100 more: put these right, then run again." in said
    assert said.count("To put right") == MOST_LISTED


def test_a_tab_with_more_links_than_the_file_format_takes_keeps_its_texts(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(import_module("sheetkit.book.xlsx.render"), "MOST_LINKS", 2)
    page = Page("Links", {(row, 1): Cell(f"to {row}", link=f"Links!A{row}") for row in range(1, 6)})
    cells = by_ending(".xlsx").read(by_ending(".xlsx").render([page])).pages[0].cells
    assert [cell.value for cell in cells.values()] == [f"to {row}" for row in range(1, 6)]
    assert [bool(cell.link) for cell in cells.values()] == [True, True, False, False, False]


@pytest.mark.parametrize("text", ['Part,Qty\n"' + "x" * 200_000, "Part,Qty\n" + "x" * 21_000_000])
def test_a_list_in_plain_text_without_end_is_refused(tmp_path: Path, text: str) -> None:
    path = tmp_path / "list.csv"
    path.write_text(text, "utf-8")
    with pytest.raises(Refused):
        parts_from(path)


def test_a_name_of_a_list_longer_than_a_cell_holds_is_cut(tmp_path: Path) -> None:
    listed = tmp_path / "list.csv"
    listed.write_text(
        f"Part,Qty,Species,Thickness,Width,Length\n{'x' * 40_000},1,White oak,1,2,30\n", "utf-8"
    )
    new_workbook(tmp_path / "new.xlsx", parts=listed)
    (name,) = (
        cell.value
        for cell in there(read(tmp_path / "new.xlsx").page("Parts")).cells.values()
        if str(cell.value).startswith("xx")
    )
    assert len(str(name)) == LONGEST_TEXT


def test_of_a_thousand_mortises_in_one_leg_a_hundred_are_compared(tmp_path: Path) -> None:
    joints = "\n".join(f"J{number} | tenon | Leg | Rail | 3/8 | 1 | 1" for number in range(1_000))
    tables = {
        "Parts": "Part | Species | Thickness | Width | Length\nLeg | White oak | 2 | 2 | 30\nRail | White oak | 1 | 2 | 30",
        "Joints": f"Joint | Kind | Into | From | Thickness | Width | Depth into\n{joints}",
    }
    outcome = run(write(tmp_path / "job.ods", tables))
    meet = [each for each in outcome.problems if each.code == "mortises-meet"]
    assert len(meet) == 100 * 99 / 2

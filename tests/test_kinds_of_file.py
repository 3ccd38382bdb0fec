"""Every kind of workbook that a maker may hand over: the whole command works on it, or refuses it with its own words."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from sheetkit.book.formats import by_ending
from sheetkit.book.package import Package
from sheetkit.jobs.run import run
from sheetkit.records.messages import REFUSALS
from sheetkit.terminal.cli import main
from tests.book.lint_xlsx import lint
from tests.jobs import NOW, column, pages, read

PARTS = {"Parts": "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 30"}
OLE = bytes.fromhex("d0cf11e0a1b11ae1")
LINK = '<Relationship Id="rId900" Type="%s" Target="%s"/></Relationships>'
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PLAIN_KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
MACRO_KIND = "application/vnd.ms-excel.sheet.macroEnabled.main+xml"
PROGRAM = '<Default Extension="bin" ContentType="application/vnd.ms-office.vbaProject"/>'
STRICT = (
    ("http://schemas.openxmlformats.org/spreadsheetml/2006/main", "http://purl.oclc.org/ooxml/spreadsheetml/main"),
    (OFFICE, "http://purl.oclc.org/ooxml/officeDocument/relationships"),
)  # fmt: skip
Edit = tuple[str, str, str]


def job(ending: str, *edits: Edit, more: dict[str, bytes] | None = None) -> bytes:
    """Give a small job, with texts of its entries replaced (the last place of each) and entries added."""
    package = Package(by_ending(ending).render(pages(PARTS)), case_matters=ending == ".ods")
    for name, old, new in edits:
        head, found, tail = package.read(name).decode().rpartition(old)
        assert found, (name, old)
        package.write(name, (head + new + tail).encode())
    for name, data in (more or {}).items():
        package.write(name, data)
    return package.save()


def strict() -> bytes:
    package = Package(job(".xlsx"))
    for name in package.names():
        content = package.read(name).decode()
        for ordinary, of_strict in STRICT:
            content = content.replace(ordinary, of_strict)
        package.write(name, content.encode())
    return package.save()


def binary() -> bytes:
    package = Package(job(".xlsx", ("_rels/.rels", "xl/workbook.xml", "xl/workbook.bin")))
    package.delete("xl/workbook.xml")
    package.write("xl/workbook.bin", b"\x83\x01")
    return package.save()


SIGNATURE = LINK % (
    "http://schemas.openxmlformats.org/package/2006/relationships/digital-signature/origin",
    "_xmlsignatures/origin.sigs",
)
REVISIONS = LINK % (f"{OFFICE}/revisionHeaders", "revisions/revisionHeaders.xml")
LOCKED_ENTRY = '<manifest:file-entry manifest:full-path="x"><manifest:encryption-data/></manifest:file-entry></manifest:manifest>'
REFUSED: dict[str, tuple[str, str, Callable[[], bytes]]] = {
    "with a password, .xlsx": (".xlsx", "encrypted", lambda: OLE + bytes(504) + "EncryptedPackage".encode("utf-16-le")),
    "with a password, .ods": (".ods", "encrypted", lambda: job(".ods", ("META-INF/manifest.xml", "</manifest:manifest>", LOCKED_ENTRY))),
    "signed, .xlsx": (".xlsx", "signed", lambda: job(".xlsx", ("_rels/.rels", "</Relationships>", SIGNATURE))),
    "signed, .ods": (".ods", "signed", lambda: job(".ods", more={"META-INF/documentsignatures.xml": b"<x/>"})),
    "shared, with a change history": (".xlsx", "shared workbook", lambda: job(".xlsx", ("xl/_rels/workbook.xml.rels", "</Relationships>", REVISIONS),
                                                                             more={"xl/revisions/revisionHeaders.xml": b"<headers/>"})),
    "an old .xls": (".xls", "old format", lambda: OLE + bytes(1016)),
    "an old .xls under the name .xlsx": (".xlsx", "old format", lambda: OLE + bytes(1016)),
    "a binary .xlsb": (".xlsb", "binary format", binary),
    "a flat .fods": (".fods", "flat file", lambda: b'<?xml version="1.0"?><office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"/>'),
    "a text document": (".xlsx", "not a workbook", lambda: job(".xlsx", ("xl/workbook.xml", "<workbook ", "<document "), ("xl/workbook.xml", "</workbook>", "</document>"))),
    "a list in plain text": (".xlsx", "not a workbook", lambda: b"Part;Qty\nLeg;4\n"),
    "half of a file": (".xlsx", "damaged", lambda: job(".xlsx")[:3000]),
    "nothing at all": (".xlsx", "not a workbook", lambda: b""),
}  # fmt: skip
WORKED: dict[str, tuple[str, Callable[[], bytes]]] = {
    "strict": (".xlsx", strict),
    "with macros": (".xlsm", lambda: job(".xlsx", ("[Content_Types].xml", PLAIN_KIND, MACRO_KIND), ("[Content_Types].xml", "<Override", f"{PROGRAM}<Override"), more={"xl/vbaProject.bin": b"a program"})),
    "a template": (".xltx", lambda: job(".xlsx", ("[Content_Types].xml", PLAIN_KIND, PLAIN_KIND.replace("sheet.main", "template.main")))),
    "protected as a whole": (".xlsx", lambda: job(".xlsx", ("xl/workbook.xml", "<bookViews>", '<workbookProtection lockStructure="1"/><bookViews>'))),
    "a protected tab": (".xlsx", lambda: job(".xlsx", ("xl/worksheets/sheet3.xml", "</sheetData>", '</sheetData><sheetProtection sheet="1"/>'))),
    "a protected tab, .ods": (".ods", lambda: job(".ods", ("content.xml", 'table:name="Parts"', 'table:name="Parts" table:protected="true"'))),
    "a protected workbook, .ods": (".ods", lambda: job(".ods", ("content.xml", "<office:spreadsheet>", '<office:spreadsheet table:structure-protected="true">'))),
    "a template, .ods": (".ots", lambda: job(".ods", ("mimetype", "spreadsheet", "spreadsheet-template"))),
}  # fmt: skip


@pytest.mark.parametrize("kind", REFUSED)
def test_a_kind_that_cannot_be_worked_on_is_refused_with_its_own_words(tmp_path: Path, kind: str) -> None:
    ending, reason, build = REFUSED[kind]
    path = tmp_path / f"job{ending}"
    path.write_bytes(build())
    before = path.read_bytes()
    told = CliRunner().invoke(main, ["run", str(path)])
    assert told.exit_code == 2
    assert told.output.startswith(f"sheetkit: {REFUSALS[reason]}")
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_the_words_of_refusals_differ() -> None:
    assert len(set(REFUSALS.values())) == len(REFUSALS)


@pytest.mark.parametrize("kind", WORKED)
def test_a_kind_that_can_be_worked_on_stays_of_its_kind(tmp_path: Path, kind: str) -> None:
    ending, build = WORKED[kind]
    path = tmp_path / f"job{ending}"
    path.write_bytes(build())
    before = Package(path.read_bytes())
    assert run(path, now=NOW).ok
    assert column(read(path), "Parts", "Blank length") == [31]
    after = Package(path.read_bytes())
    if ending != ".ods" and "mimetype" not in after:
        assert lint(path.read_bytes()) == []
        (main_kind,) = (name for name in (PLAIN_KIND, MACRO_KIND, PLAIN_KIND.replace("sheet.main", "template.main"))
                        if name.encode() in before.read("[Content_Types].xml"))  # fmt: skip
        assert main_kind.encode() in after.read("[Content_Types].xml")
    for name in ("xl/vbaProject.bin", "mimetype"):
        if name in before:
            assert after.read(name) == before.read(name)
    if kind == "strict":
        assert STRICT[0][0].encode() not in b"".join(map(after.read, after.names()))
    assert read(path).locked == ("protected" in kind)
    once = path.read_bytes()
    assert not run(path).written
    assert path.read_bytes() == once

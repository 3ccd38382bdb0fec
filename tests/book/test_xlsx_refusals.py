"""Files that cannot be worked on are refused with a reason, and nothing is done."""

from __future__ import annotations

import io
from collections.abc import Callable
from importlib import import_module

import pytest

from sheetkit.book.package import Package
from sheetkit.book.workbook import Change, Refused
from sheetkit.book.xlsx import graft, read, render
from sheetkit.page import Cell, Page
from tests.book.makers_xlsx import makers_workbook
from tests.book.test_xlsx_graft import CHANGE

PLAIN = render([Page("Parts", {(1, 1): Cell("Leg")})])
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"


def edited(name: str, change: Callable[[str], str], data: bytes = PLAIN) -> bytes:
    package = Package(data)
    before = package.read(name).decode()
    after = change(before)
    assert after != before
    package.write(name, after.encode())
    return package.save()


def without(*names: str) -> bytes:
    package = Package(PLAIN)
    for name in names:
        assert name in package
        package.delete(name)
    return package.save()


def other_document() -> bytes:
    package = Package(PLAIN)
    package.write(
        "xl/workbook.xml",
        b'<w:document xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"/>',
    )
    return package.save()


def binary() -> bytes:
    package = Package(PLAIN)
    package.delete("xl/workbook.xml")
    package.write("xl/workbook.bin", b"\x83\x01")
    package.write("_rels/.rels", package.read("_rels/.rels").replace(b"workbook.xml", b"workbook.bin"))
    return package.save()


DOCTYPE = '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>'


def with_doctype(text: str) -> str:
    return text.replace("?>\n", f"?>\n{DOCTYPE}", 1)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"Part;Qty\n", "not a workbook"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + b"\0" * 600, "old format"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + "EncryptedPackage".encode("utf-16-le"), "encrypted"),
        (PLAIN[:-60], "damaged"),
        (without("[Content_Types].xml"), "not a workbook"),
        (without("_rels/.rels"), "not a workbook"),
        (other_document(), "not a workbook"),
        (binary(), "binary format"),
        (
            edited(
                "xl/workbook.xml",
                lambda text: text.replace('<sheet name="Parts" sheetId="1" r:id="rId1"/>', ""),
            ),
            "no sheets",
        ),
        (edited("xl/workbook.xml", with_doctype), "declares entities"),
        (edited("xl/worksheets/sheet1.xml", with_doctype), "declares entities"),
        (edited("xl/sharedStrings.xml", with_doctype), "declares entities"),
        (edited("xl/styles.xml", with_doctype), "declares entities"),
        (edited("xl/worksheets/sheet1.xml", lambda text: text[:-20]), "damaged"),
        (edited("xl/sharedStrings.xml", lambda text: text.replace("<t>", "<t ")), "damaged"),
        (
            edited("xl/worksheets/sheet1.xml", lambda text: text.replace('r="A1"', 'r="ZZZ1"')),
            "damaged",
        ),
        (
            edited("xl/worksheets/sheet1.xml", lambda text: text.replace('<row r="1"', '<row r="99999999"')),
            "damaged",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_file_that_cannot_be_read_is_refused(data: bytes, reason: str) -> None:
    with pytest.raises(Refused) as refusal:
        read(data)
    assert refusal.value.reason == reason
    with pytest.raises(Refused):
        graft(data, Change(tabs=(Page("Q", key="q"),), patches={"Parts": {(1, 2): Cell("x")}}))


@pytest.mark.parametrize("index", ["-1", "7", "x"])
def test_a_text_that_is_not_in_the_table_is_damage(index: str) -> None:
    with pytest.raises(Refused) as refusal:
        read(edited("xl/worksheets/sheet1.xml", lambda text: text.replace("<v>0</v>", f"<v>{index}</v>")))
    assert refusal.value.reason == "damaged"


def test_a_tab_or_text_table_that_would_flood_the_memory_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(import_module("sheetkit.book.xlsx.read"), "MOST_READ", 400)
    many = {(1, column): Cell(float(column)) for column in range(1, 60)}
    words = {(1, 1): Cell("<" * 60)}
    for cells in (many, words | {(2, row): Cell(f"word {row}") for row in range(1, 60)}):
        with pytest.raises(Refused) as refusal:
            read(render([Page("T", cells)]))
        assert refusal.value.reason == "too large"


def test_entities_in_a_wide_encoding_are_found_too() -> None:
    package = Package(PLAIN)
    text = package.read("xl/worksheets/sheet1.xml").decode().replace("UTF-8", "UTF-16")
    package.write("xl/worksheets/sheet1.xml", text.encode("utf-16"))
    assert read(package.save()).pages[0].cells[1, 1].value == "Leg"
    package.write("xl/worksheets/sheet1.xml", with_doctype(text).encode("utf-16"))
    with pytest.raises(Refused) as refusal:
        read(package.save())
    assert refusal.value.reason == "declares entities"


def test_a_style_list_with_alternatives_is_refused() -> None:
    data = edited(
        "xl/styles.xml",
        lambda text: text.replace(
            "</fonts>",
            '<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006"/></fonts>',
        ),
    )
    with pytest.raises(Refused) as refusal:
        graft(data, CHANGE)
    assert refusal.value.reason == "styles with alternatives"


def test_a_signed_workbook_can_be_read_but_not_changed() -> None:
    line = (
        '<Relationship Id="s" Type="http://schemas.openxmlformats.org/package/2006/relationships/'
        'digital-signature/origin" Target="_xmlsignatures/origin.sigs"/></Relationships>'
    )
    data = edited("_rels/.rels", lambda text: text.replace("</Relationships>", line))
    assert read(data).pages[0].cells
    with pytest.raises(Refused) as refusal:
        graft(data, CHANGE)
    assert refusal.value.reason == "signed"


def test_a_shared_workbook_can_be_read_but_not_changed() -> None:
    line = (
        f'<Relationship Id="s" Type="{OFFICE}/revisionHeaders" Target="revisions/revisionHeaders.xml"/>'
        "</Relationships>"
    )
    data = edited("xl/_rels/workbook.xml.rels", lambda text: text.replace("</Relationships>", line))
    assert read(data).pages[0].cells
    with pytest.raises(Refused) as refusal:
        graft(data, CHANGE)
    assert refusal.value.reason == "shared workbook"


def test_duplicate_entries_are_refused() -> None:
    import zipfile

    out = io.BytesIO(PLAIN)
    with zipfile.ZipFile(out, "a") as archive:
        archive.writestr("xl/Workbook.xml", b"<x/>")
    with pytest.raises(Refused) as refusal:
        read(out.getvalue())
    assert refusal.value.reason == "duplicate entries"


@pytest.mark.parametrize(
    "kind",
    [
        "application/vnd.openxmlformats-officedocument.spreadsheetml.template.main+xml",
        "application/vnd.ms-excel.sheet.macroEnabled.main+xml",
        "application/vnd.ms-excel.template.macroEnabled.main+xml",
    ],
)
def test_templates_and_workbooks_with_macros_are_accepted_and_keep_their_kind(kind: str) -> None:
    data = edited(
        "[Content_Types].xml",
        lambda text: text.replace(
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml", kind
        ),
    )
    out = graft(data, Change(tabs=(Page("Q", {(1, 1): Cell("x")}, key="q"),)))
    assert kind.encode() in Package(out).read("[Content_Types].xml")


def test_a_protected_workbook_is_accepted() -> None:
    data = edited(
        "xl/workbook.xml",
        lambda text: text.replace("<bookViews>", '<workbookProtection lockStructure="1"/><bookViews>'),
        makers_workbook(),
    )
    out = graft(data, CHANGE)
    assert read(out).locked
    assert read(out).owned == {"estimate": "Estimate", "quote": "Quote"}

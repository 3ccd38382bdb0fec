"""Files that are refused, each with its reason, before anything is done to them."""

from __future__ import annotations

import io
import warnings
import zipfile
from collections.abc import Callable

import pytest

from sheetkit.book.ods import graft, read
from sheetkit.book.workbook import Change, Refused
from sheetkit.page import Cell, Page
from sheetkit.records.messages import REFUSALS
from tests.book.user_ods import replaced, user_file


def zipped(*entries: tuple[str, bytes]) -> bytes:
    out = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(out, "w") as archive:
        warnings.simplefilter("ignore")
        for name, data in entries:
            archive.writestr(name, data)
    return out.getvalue()


def twice() -> bytes:
    out = io.BytesIO(user_file())
    with warnings.catch_warnings(), zipfile.ZipFile(out, "a") as archive:
        warnings.simplefilter("ignore")
        archive.writestr("content.xml", b"<x/>")
    return out.getvalue()


ENTITY = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><office:document-content '
CASES: dict[str, Callable[[], bytes]] = {
    "encrypted": lambda: replaced(
        user_file(),
        "META-INF/manifest.xml",
        'manifest:full-path="content.xml" manifest:media-type="text/xml"/>',
        'manifest:full-path="content.xml" manifest:media-type="text/xml"><manifest:encryption-data/></manifest:file-entry>',
    ),
    "signed": lambda: user_file(more={"META-INF/documentsignatures.xml": b"<x/>"}),
    "damaged": lambda: user_file()[:-40],
    "not a workbook": lambda: user_file(more={"mimetype": b"application/vnd.oasis.opendocument.text"}),
    "declares entities": lambda: replaced(user_file(), "content.xml", "<office:document-content ", ENTITY),
    "no sheets": lambda: user_file(tables="", names="", validations=""),
    "duplicate entries": twice,
    "old format": lambda: bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600),
    "flat file": lambda: (
        b'<?xml version="1.0"?>\n<office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"/>'
    ),
}
MORE: dict[str, tuple[str, Callable[[], bytes]]] = {
    "broken XML": ("damaged", lambda: replaced(user_file(), "content.xml", "</office:body>", "")),
    "no content": ("damaged", lambda: user_file(drop=("content.xml",))),
    "no manifest": ("damaged", lambda: user_file(drop=("META-INF/manifest.xml",))),
    "plain words": ("not a workbook", lambda: b"Part,Qty\nLeg,4\n"),
    "nothing": ("not a workbook", lambda: b""),
    "another zip": ("not a workbook", lambda: zipped(("readme.txt", b"hello"))),
    "a text in disguise": (
        "not a workbook",
        lambda: replaced(
            user_file(tables="", names="", validations=""), "content.xml", "office:spreadsheet", "office:text"
        ),
    ),
    "a chart in the mimetype": ("not a workbook", lambda: user_file(more={"mimetype": b"application/zip"})),
    "broken styles": ("damaged", lambda: user_file(more={"styles.xml": b"<x"})),
    "bad check sum": ("damaged", lambda: user_file().replace(b"<chart/>", b"<chxrt/>")),
}


@pytest.mark.parametrize("reason", CASES)
@pytest.mark.parametrize(
    "work", [read, lambda data: graft(data, Change(tabs=(Page("A", {(1, 1): Cell(1)}, key="a"),)))]
)
def test_a_file_is_refused_with_its_reason(reason: str, work: Callable[[bytes], object]) -> None:
    assert reason in REFUSALS
    with pytest.raises(Refused) as refusal:
        work(CASES[reason]())
    assert refusal.value.reason == reason


@pytest.mark.parametrize("case", [case for case in MORE if case != "bad check sum"])
@pytest.mark.parametrize("work", [read, lambda data: graft(data, Change())])
def test_further_files_are_refused(case: str, work: Callable[[bytes], object]) -> None:
    reason, build = MORE[case]
    with pytest.raises(Refused) as refusal:
        work(build())
    assert refusal.value.reason == reason


def test_a_damaged_entry_that_nobody_needs_is_carried_over() -> None:
    data = user_file(more={"Object 1/content.xml": b"<chart/>" * 3})
    start = data.index(b"Object 1/content.xml") + 25
    broken = data[:start] + bytes([data[start] ^ 255]) + data[start + 1 :]
    after = graft(broken, Change(tabs=(Page("A", {(1, 1): Cell(1)}, key="a"),)))
    assert broken[start - 20 : start + 3] in after


def test_a_template_is_a_workbook() -> None:
    kind = b"application/vnd.oasis.opendocument.spreadsheet-template"
    assert read(user_file(more={"mimetype": kind})).pages


def test_an_old_manifest_may_declare_its_document_type() -> None:
    old = replaced(
        user_file(),
        "META-INF/manifest.xml",
        "<manifest:manifest",
        '<!DOCTYPE manifest:manifest PUBLIC "-//OpenOffice.org//DTD Manifest 1.0//EN" "Manifest.dtd">\n<manifest:manifest',
    )
    page = Page("A", {(1, 1): Cell(1)}, key="a")
    assert read(graft(old, Change(tabs=(page,)))).owned == {"a": "A"}


def test_every_reason_that_can_be_given_has_its_words() -> None:
    assert {
        *CASES,
        *(reason for reason, _ in MORE.values()),
        "too large",
        "merged cells",
        "formula block",
    } <= set(REFUSALS)

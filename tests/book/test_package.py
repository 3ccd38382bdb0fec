"""A zipped document is carried over raw, and a hostile one is refused."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.book import package as package_module
from sheetkit.book.package import Package, entry_names
from sheetkit.book.workbook import Refused


def zipped(entries: dict[str, bytes], *, stored: tuple[str, ...] = (), comment: bytes = b"") -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        archive.comment = comment
        for name, content in entries.items():
            info = zipfile.ZipInfo(name, (2021, 5, 17, 11, 22, 34))
            info.external_attr = 0o644 << 16
            info.compress_type = zipfile.ZIP_STORED if name in stored else zipfile.ZIP_DEFLATED
            archive.writestr(info, content)
    return out.getvalue()


def raw(data: bytes, name: str) -> bytes:
    """Give an entry's compressed bytes."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        info = archive.getinfo(name)
    name_length, extra_length = struct.unpack_from("<HH", data, info.header_offset + 26)
    start = info.header_offset + 30 + name_length + extra_length
    return data[start : start + info.compress_size]


NAMES = st.lists(st.text("abcäö", min_size=1, max_size=3), min_size=1, max_size=3).map("/".join)


@given(st.dictionaries(NAMES, st.binary(max_size=300), max_size=6))
def test_a_document_nobody_changed_is_saved_as_it_was(entries: dict[str, bytes]) -> None:
    data = zipped(entries, comment=b"said")
    assert Package(data, case_matters=True).save() == data


def test_untouched_entries_keep_their_bytes_order_and_dates() -> None:
    data = zipped(
        {"mimetype": b"x/y", "a.xml": b"a" * 999, "b.xml": b"b" * 999, "c.xml": b"c"}, stored=("mimetype",)
    )
    package = Package(data)
    package.write("new.xml", b"n")
    package.write("b.xml", b"other")
    package.delete("c.xml")
    out = package.save()
    with zipfile.ZipFile(io.BytesIO(out)) as archive:
        assert archive.testzip() is None
        assert archive.namelist() == ["mimetype", "a.xml", "b.xml", "new.xml"] == package.names()
        assert archive.getinfo("a.xml").date_time == (2021, 5, 17, 11, 22, 34)
        assert archive.getinfo("a.xml").external_attr == 0o644 << 16
        assert archive.getinfo("mimetype").compress_type == zipfile.ZIP_STORED
        assert archive.getinfo("new.xml").date_time == (1980, 1, 1, 0, 0, 0)
        assert archive.read("b.xml") == b"other"
    assert raw(out, "a.xml") == raw(data, "a.xml")


def test_writing_what_stands_there_changes_nothing() -> None:
    data = zipped({"a.xml": b"a" * 999, "b.xml": b"b"})
    package = Package(data)
    package.write("b.xml", b"else")
    package.delete("a.xml")
    package.write("a.xml", b"a" * 999)
    package.write("b.xml", b"b")
    assert package.save() == data


def test_reading_follows_what_was_written_and_deleted() -> None:
    package = Package(zipped({"a": b"1", "b": b"2"}))
    package.write("a", b"3")
    package.delete("b")
    assert package.read("a") == b"3"
    assert ("a" in package, "b" in package) == (True, False)
    with pytest.raises(KeyError):
        package.read("b")
    with pytest.raises(KeyError):
        package.read("c")


def test_an_entry_written_in_a_stream_is_carried_with_its_sizes() -> None:
    class Stream(io.BytesIO):
        def tell(self) -> int:
            raise io.UnsupportedOperation

    out = Stream()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("a.xml", b"a" * 500)
        archive.writestr("b.xml", b"b" * 500)
    data = out.getvalue()
    assert zipfile.ZipFile(io.BytesIO(data)).getinfo("a.xml").flag_bits & 8
    saved = Package(data).save()
    with zipfile.ZipFile(io.BytesIO(saved)) as archive:
        assert archive.testzip() is None
        assert not archive.getinfo("a.xml").flag_bits & 8
    assert raw(saved, "a.xml") == raw(data, "a.xml")


def test_a_damaged_entry_elsewhere_is_carried_but_not_read() -> None:
    data = bytearray(zipped({"a.xml": b"a" * 50, "b.xml": b"b"}, stored=("a.xml",)))
    data[data.index(b"aaaa")] = ord("x")
    package = Package(bytes(data))
    package.write("b.xml", b"new")
    with pytest.raises(Refused) as refusal:
        package.read("a.xml")
    assert refusal.value.reason == "damaged"
    assert raw(package.save(), "a.xml") == raw(bytes(data), "a.xml")


def lying(claimed: int) -> bytes:
    """Give a file whose one entry claims another size than it has."""
    data = zipped({"a.xml": b"\0" * 100_000})
    true = struct.pack("<I", 100_000)
    assert data.count(true) == 2
    return data.replace(true, struct.pack("<I", claimed))


@pytest.mark.parametrize("claimed", [10, 99_999, 100_001])
def test_an_entry_that_lies_about_its_size_is_not_unpacked(claimed: int) -> None:
    with pytest.raises(Refused) as refusal:
        Package(lying(claimed)).read("a.xml")
    assert refusal.value.reason == "damaged"


def reason_of(data: bytes, **options: bool) -> str:
    with pytest.raises(Refused) as refusal:
        Package(data, **options)
    return refusal.value.reason


def test_a_flood_is_refused_before_it_is_unpacked() -> None:
    assert reason_of(lying(package_module.MOST_BYTES + 1)) == "too large"


def test_too_many_entries_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(package_module, "MOST_ENTRIES", 3)
    Package(zipped({str(number): b"" for number in range(3)}))
    assert reason_of(zipped({str(number): b"" for number in range(4)})) == "too large"


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_two_entries_of_one_name_are_refused() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("a.xml", b"1")
        archive.writestr("a.xml", b"2")
    assert reason_of(out.getvalue(), case_matters=True) == "duplicate entries"
    either = zipped({"a.xml": b"1", "A.xml": b"2"})
    assert reason_of(either) == "duplicate entries"
    assert Package(either, case_matters=True).read("A.xml") == b"2"


def test_entries_that_share_bytes_are_refused() -> None:
    content = zlib.compress(b"x" * 1000)[2:-4]
    crc = zlib.crc32(b"x" * 1000)
    local = struct.pack("<4sHHHHHIIIHH", b"PK\3\4", 20, 0, 8, 0, 33, crc, len(content), 1000, 1, 0)

    def record(name: bytes) -> bytes:
        return (
            struct.pack(
                "<4sHHHHHHIIIHHHHHII",
                b"PK\1\2",
                20,
                20,
                0,
                8,
                0,
                33,
                crc,
                len(content),
                1000,
                1,
                0,
                0,
                0,
                0,
                0,
                0,
            )
            + name
        )

    body = local + b"a" + content
    records = record(b"a") + record(b"b")
    data = body + records + struct.pack("<4sHHHHIIH", b"PK\5\6", 0, 0, 2, 2, len(records), len(body), 0)
    assert reason_of(data) == "damaged"


def test_a_locked_entry_is_refused() -> None:
    data = bytearray(zipped({"a.xml": b"1"}))
    data[6] |= 1
    data[data.index(b"PK\1\2") + 8] |= 1
    assert reason_of(bytes(data)) == "encrypted"


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "not a workbook"),
        (b"Part,Qty\n", "not a workbook"),
        (b"<html></html>", "not a workbook"),
        (b"PK\3\4" + b"\0" * 60, "damaged"),
        (zipped({"a": b"1" * 500})[:-30], "damaged"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + b"\0" * 600, "old format"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + "EncryptedPackage".encode("utf-16-le"), "encrypted"),
    ],
    ids=["nothing", "csv", "html", "head only", "cut off", "old", "locked"],
)
def test_what_is_no_zip_is_named(data: bytes, reason: str) -> None:
    assert reason_of(data) == reason


def renamed(data: bytes, name: Callable[[str], str]) -> bytes:
    """Give a file whose entries bear other names."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w") as archive:
        for info in source.infolist():
            archive.writestr(zipfile.ZipInfo(name(info.filename)), source.read(info), info.compress_type)
    return out.getvalue()


ODD_NAMES: dict[str, Callable[[str], str]] = {
    "backslashes": lambda name: name.replace("/", "\\"),
    "from the root": lambda name: f"/{name}",
    "from here": lambda name: f"./{name}",
    "from here, backslashes": lambda name: ".\\" + name.replace("/", "\\"),
    "doubled slashes": lambda name: name.replace("/", "//"),
}
"""Ways in which archivers other tha spreadsheet programs write the names of entries."""


@pytest.mark.parametrize("kind", ODD_NAMES)
def test_names_are_read_and_saved_as_what_they_mean(kind: str) -> None:
    plain = zipped({"mimetype": b"x/y", "xl/a.xml": b"a" * 99, "xl/ü/b.xml": b"b"}, stored=("mimetype",))
    odd = renamed(plain, ODD_NAMES[kind])
    assert entry_names(odd) == ["mimetype", "xl/a.xml", "xl/ü/b.xml"]
    package = Package(odd, case_matters=True)
    assert package.read("xl/a.xml") == b"a" * 99
    package.write("xl/ü/b.xml", b"c")
    out = package.save()
    with zipfile.ZipFile(io.BytesIO(out)) as archive:
        assert archive.testzip() is None
        assert archive.namelist() == ["mimetype", "xl/a.xml", "xl/ü/b.xml"]
        assert all(info.orig_filename == info.filename for info in archive.infolist())


def test_names_that_mean_the_same_are_refused() -> None:
    assert reason_of(zipped({"xl/a": b"1", "xl\\a": b"2"}), case_matters=True) == "duplicate entries"
    assert reason_of(zipped({"a": b"1", "./a": b"2"}), case_matters=True) == "duplicate entries"


def test_folders_are_carried_once() -> None:
    data = zipped({"xl/": b"", "XL/": b"", "xl\\": b"", "xl/a.xml": b"a", "/": b""})
    assert Package(data).names() == ["xl/", "xl/a.xml", "/"]
    assert Package(Package(data).save()).read("xl/a.xml") == b"a"


def test_a_name_said_once_more_does_not_outlive_the_entrys_own() -> None:
    name = "xl\\ä.xml"
    said = struct.pack("<HHBI", 0x7075, 5 + len(name.encode()), 1, 0) + name.encode()
    dated = struct.pack("<HHI", 0x5455, 4, 7)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        info = zipfile.ZipInfo(name)
        info.extra = said + dated
        archive.writestr(info, b"a")
    saved = Package(out.getvalue()).save()
    with zipfile.ZipFile(io.BytesIO(saved)) as archive:
        (info,) = archive.infolist()
        assert info.filename == "xl/ä.xml"
        assert info.extra == dated
    assert said not in saved

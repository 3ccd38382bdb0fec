"""A zipped document as a set of named entries, of which untouched ones are carried over raw.

Raw means with their compressed bytes, order, dates and attributes: nothing that nobody changed is
unpacked and packed again, so that it cannot come out different.
"""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from mmap import mmap
from typing import IO, cast

from sheetkit.book.workbook import Refused

MOST_ENTRIES = 20_000
UNREADABLE = (
    zipfile.BadZipFile,
    ValueError,
    OverflowError,
    NotImplementedError,
    OSError,
    EOFError,
    struct.error,
)
"""What the library raises for a file that is no whole zip, or one in a way that it does not know."""
MOST_BYTES = 400 * 1024 * 1024
"""Unpacked size of a whole document; the largest real one seen held under a quarter of it."""
MOST_UNPACKED = 96 * 1024 * 1024
"""Unpacked size of an entry that is read; those that are carried over raw, such as photos, may be larger."""

_LARGE = 256 * 1024
"""Bytes of a piece that is not copied once more before it is written."""
_OLE = bytes.fromhex("d0cf11e0a1b11ae1")
_LOCAL = struct.Struct("<4sHHHHHIIIHH")
_CENTRAL = struct.Struct("<4sHHHHHHIIIHHHHHII")
_END = struct.Struct("<4sHHHHIIH")
_STREAMED, _UTF_8 = 0x08, 0x800
"""Marks of an entry: sizes behind its bytes, name in UTF-8."""
_ZIP64, _OTHER_NAME = 1, 0x7075
"""Extra fields: sizes over 4 GB, which are refused anyway; the name once more, in UTF-8."""
_FIRST_DAY = (1 << 5) | 1
"""1 January 1980, as a zip directory writes it."""


Held = bytes | mmap
"""A file's bytes: in memory, or on the disk."""


class Pieces:
    """A document to be written, in pieces: what is carried over are views of the file that it comes from."""

    def __init__(self, pieces: Iterable[bytes | memoryview]) -> None:
        self._pieces: Sequence[bytes | memoryview] = tuple(_joined(pieces))

    def __iter__(self) -> Iterator[bytes | memoryview]:
        return iter(self._pieces)

    def __bytes__(self) -> bytes:
        return b"".join(self._pieces)

    def is_same(self, data: bytes) -> bool:
        """Return whether these are just the bytes of a file."""
        view, at = memoryview(data), 0
        for piece in self._pieces:
            if view[at : at + len(piece)] != piece:
                return False
            at += len(piece)
        return at == len(data)


def _joined(pieces: Iterable[bytes | memoryview]) -> Iterator[bytes | memoryview]:
    """Yield large pieces as they are, small ones together."""
    small: list[bytes | memoryview] = []
    for piece in pieces:
        if len(piece) >= _LARGE:
            yield b"".join(small)
            yield piece
            small = []
        else:
            small.append(piece)
    yield b"".join(small)


@dataclass(frozen=True, slots=True)
class _Entry:
    """One entry as it stands in the file that was opened."""

    info: zipfile.ZipInfo
    start: int
    extra: bytes
    name: str
    """What it is called from now on."""

    @property
    def raw_name(self) -> bytes:
        if self.name == self.info.filename:
            return self.info.orig_filename.encode("utf-8" if self.info.flag_bits & _UTF_8 else "cp437")
        return self.name.encode()

    @property
    def flags(self) -> int:
        flags = self.info.flag_bits & ~_STREAMED
        return flags if self.name == self.info.filename or self.name.isascii() else flags | _UTF_8


class Package:
    """The entries of a zipped document.

    Parameters
    ----------
    data
        The file's bytes.
    case_matters
        Whether ``a.xml`` and ``A.xml`` are two entries (.ods) or the same twice (.xlsx).

    Raises
    ------
    Refused
        ``encrypted``, ``old format``, ``not a workbook``, ``damaged``, ``too large``, ``duplicate entries``.
    """

    def __init__(self, data: Held, *, case_matters: bool = False) -> None:
        self._data = data
        infos, self._comment = _directory(data)
        self._old: dict[str, _Entry] = {}
        seen: set[str] = set()
        for info in infos:
            name = meant(info.filename)
            same = name if case_matters else name.casefold()
            if same in seen:
                if name.endswith("/") and not info.file_size:
                    continue  # a folder listed twice says nothing
                raise Refused("duplicate entries", info.filename)
            seen.add(same)
            self._old[name] = _located(data, info, name)
        _refuse_overlap(self._old.values())
        self._new: dict[str, bytes] = {}
        self._gone: set[str] = set()

    def names(self) -> list[str]:
        """Return the names of all entries, in the order in which they will be saved."""
        kept = [name for name in self._old if name not in self._gone]
        return kept + [name for name in self._new if name not in self._old]

    def __contains__(self, name: object) -> bool:
        return name in self._new or (name in self._old and name not in self._gone)

    def read(self, name: str) -> bytes:
        """Return an entry's content; ``KeyError`` if there is none, ``Refused`` if it is damaged."""
        if name in self._new:
            return self._new[name]
        if name in self._gone:
            raise KeyError(name)
        return self._unpacked(self._old[name])

    def write(self, name: str, content: bytes) -> None:
        """Put an entry in; content equal to what stood there at the start leaves it as it was."""
        self._gone.discard(name)
        self._new.pop(name, None)
        if not self._holds(name, content):
            self._new[name] = content

    def delete(self, name: str) -> None:
        """Take an entry away; a name that is not there is no fault."""
        self._new.pop(name, None)
        if name in self._old:
            self._gone.add(name)

    def rename(self, name: str, new: str) -> None:
        """Let an entry bear another name where it stands, its bytes carried over raw."""
        if name in self._new:
            self._new = {new if each == name else each: content for each, content in self._new.items()}
        if name in self._old:
            self._old = {
                new if each == name else each: replace(entry, name=new) if each == name else entry
                for each, entry in self._old.items()
            }

    def save(self) -> bytes:
        """Return the whole document."""
        return bytes(self.pieces())

    def pieces(self) -> Pieces:
        """Return the whole document; entries that are new come last, dated 1 January 1980."""
        out: list[bytes | memoryview] = []
        central: list[bytes] = []
        offset = 0
        for name in self.names():
            if name in self._new:
                local, record = _packed(name, self._new[name], offset)
            else:
                local, record = self._carried(self._old[name], offset)
            out += local
            central.append(record)
            offset += sum(map(len, local))
        size = sum(map(len, central))
        count = len(central)
        end = _END.pack(b"PK\5\6", 0, 0, count, count, size, offset, len(self._comment))
        return Pieces([*out, *central, end, self._comment])

    def _holds(self, name: str, content: bytes) -> bool:
        entry = self._old.get(name)
        if entry is None or entry.info.file_size != len(content) or zlib.crc32(content) != entry.info.CRC:
            return False
        try:
            return self._unpacked(entry) == content
        except Refused:
            return False

    def _unpacked(self, entry: _Entry) -> bytes:
        info = entry.info
        if info.file_size > MOST_UNPACKED:
            raise Refused("too large", f"{info.filename}: {info.file_size / 1024 / 1024:,.0f} MB")
        raw = self._data[entry.start : entry.start + info.compress_size]
        if info.compress_type == zipfile.ZIP_STORED:
            content = raw
        elif info.compress_type == zipfile.ZIP_DEFLATED:
            opener = zlib.decompressobj(-15)
            try:
                content = opener.decompress(raw, info.file_size + 1)
            except zlib.error as error:
                raise Refused("damaged", info.filename) from error
        else:
            raise Refused("damaged", info.filename)
        # The directory's word on sizes is checked, so that a small claim cannot hide a flood.
        if len(content) != info.file_size or zlib.crc32(content) != info.CRC:
            raise Refused("damaged", info.filename)
        return content

    def _carried(self, entry: _Entry, offset: int) -> tuple[list[bytes | memoryview], bytes]:
        """Return an entry as it was, its packed bytes a view and no copy, and its line in the directory."""
        info, name = entry.info, entry.raw_name
        year, month, day, hour, minute, second = info.date_time
        date = (year - 1980) << 9 | month << 5 | day
        time = hour << 11 | minute << 5 | second // 2
        flags = entry.flags
        sizes = (info.CRC, info.compress_size, info.file_size)
        raw = memoryview(self._data)[entry.start : entry.start + info.compress_size]
        head = _LOCAL.pack(
            b"PK\3\4",
            info.extract_version,
            flags,
            info.compress_type,
            time,
            date,
            *sizes,
            len(name),
            len(entry.extra),
        )
        extra = _extra_kept(info.extra, entry.name == info.filename)
        record = _CENTRAL.pack(
            b"PK\1\2",
            info.create_version | info.create_system << 8,
            info.extract_version,
            flags,
            info.compress_type,
            time,
            date,
            *sizes,
            len(name),
            len(extra),
            len(info.comment),
            0,
            info.internal_attr,
            info.external_attr,
            offset,
        )
        return [head, name, entry.extra, raw], record + name + extra + info.comment


def entry_names(data: bytes) -> list[str]:
    """Return the names of the entries that a file declares.

    Raises
    ------
    Refused
        When it is no zip, or not one to be opened.
    """
    return [meant(info.filename) for info in _directory(data)[0]]


def meant(name: str) -> str:
    r"""Return the name that an entry's name stands for; some archivers write ``\``, or begin at a root.

    >>> meant("xl\\workbook.xml"), meant("./xl//styles.xml"), meant("/xl/")
    ('xl/workbook.xml', 'xl/styles.xml', 'xl/')
    """
    steps = [step for step in name.replace("\\", "/").split("/") if step not in ("", ".")]
    if not steps:
        return name
    return "/".join(steps) + ("/" if name.endswith(("/", "\\")) else "")


def _directory(data: Held) -> tuple[list[zipfile.ZipInfo], bytes]:
    """Return the entries that a file declares, once their number and sizes are believable."""
    if data[: len(_OLE)] == _OLE:
        locked = data.find("EncryptedPackage".encode("utf-16-le")) >= 0
        raise Refused("encrypted" if locked else "old format")
    if data[:2] != b"PK":
        raise Refused("not a workbook")
    try:
        with zipfile.ZipFile(
            io.BytesIO(data) if isinstance(data, bytes) else cast("IO[bytes]", data)
        ) as archive:
            infos, comment = archive.infolist(), archive.comment
    except UNREADABLE as error:
        raise Refused("damaged") from error
    if len(infos) > MOST_ENTRIES:
        raise Refused("too large", f"{len(infos):,} entries")
    total = sum(info.file_size for info in infos)
    if total > MOST_BYTES or len(data) > MOST_BYTES:
        raise Refused("too large", f"{total / 1024 / 1024:,.0f} MB")
    for info in infos:
        if info.flag_bits & 1:
            raise Refused("encrypted", info.filename)
    return infos, comment


def _located(data: Held, info: zipfile.ZipInfo, name: str) -> _Entry:
    """Find where an entry's bytes begin."""
    at = info.header_offset
    head = data[at : at + _LOCAL.size]
    if len(head) < _LOCAL.size or not head.startswith(b"PK\3\4"):
        raise Refused("damaged", info.filename)
    *_, name_length, extra_length = _LOCAL.unpack(head)
    middle = at + _LOCAL.size + name_length
    start = middle + extra_length
    if start + info.compress_size > len(data):
        raise Refused("damaged", info.filename)
    return _Entry(info, start, _extra_kept(data[middle:start], name == info.filename), name)


def _refuse_overlap(entries: Iterable[_Entry]) -> None:
    """Refuse a file whose entries share bytes: a small file that unpacks without end."""
    end = 0
    ordered = sorted(entries, key=lambda entry: entry.info.header_offset)
    for entry in ordered:
        if entry.info.header_offset < end:
            raise Refused("damaged", entry.info.filename)
        end = entry.start + entry.info.compress_size


def _extra_kept(extra: bytes, same_name: bool) -> bytes:
    """Return an entry's extra fields without those that do not hold any more."""
    kept: list[bytes] = []
    at = 0
    while at + 4 <= len(extra):
        kind, length = struct.unpack_from("<HH", extra, at)
        if at + 4 + length > len(extra):
            return b""
        if kind != _ZIP64 and (same_name or kind != _OTHER_NAME):
            kept.append(extra[at : at + 4 + length])
        at += 4 + length
    return b"".join(kept)


def _packed(name: str, content: bytes, offset: int) -> tuple[list[bytes | memoryview], bytes]:
    """Pack one new entry."""
    packer = zlib.compressobj(6, zlib.DEFLATED, -15)
    raw = packer.compress(content) + packer.flush()
    raw_name = name.encode()
    flags = 0 if raw_name.isascii() else _UTF_8
    sizes = (zlib.crc32(content), len(raw), len(content))
    head = _LOCAL.pack(b"PK\3\4", 20, flags, 8, 0, _FIRST_DAY, *sizes, len(raw_name), 0)
    record = _CENTRAL.pack(
        b"PK\1\2", 20, 20, flags, 8, 0, _FIRST_DAY, *sizes, len(raw_name), 0, 0, 0, 0, 0, offset
    )
    return [head, raw_name, raw], record + raw_name

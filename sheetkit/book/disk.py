"""Single files on the disk: looked at by pieces, made like another, renamed."""

from __future__ import annotations

import contextlib
import os
import shutil
import time
from collections.abc import Iterable, Iterator
from hashlib import file_digest, sha256
from mmap import ACCESS_READ, mmap
from pathlib import Path

from sheetkit.book.package import Held, Pieces

PIECE = 1024 * 1024
"""Bytes looked at together."""


@contextlib.contextmanager
def opened(path: Path) -> Iterator[Held]:
    """Open a file of ours where it stands on the disk; what is not looked at takes no memory."""
    with path.open("rb") as file:
        if not path.stat().st_size:
            yield b""
            return
        with mmap(file.fileno(), 0, access=ACCESS_READ) as held:
            yield held


def in_pieces(data: bytes | Pieces) -> Iterable[bytes | memoryview]:
    """Return what is to be written, piece by piece."""
    return (data,) if isinstance(data, bytes) else data


def holds(path: Path, data: bytes | Pieces) -> bool:
    """Return whether a file holds just this, read by pieces: photos are not held once more."""
    views = (memoryview(piece) for piece in in_pieces(data))
    parts = (view[at : at + PIECE] for view in views for at in range(0, len(view), PIECE))
    with path.open("rb") as file:
        return all(file.read(len(part)) == part for part in parts) and not file.read(1)


def make_like(real: Path, written: Path) -> None:
    """Have the written file bear the mode and, where the system allows, owner and attributes of another."""
    with contextlib.suppress(OSError, AttributeError):
        state = real.stat()
        os.chown(written, state.st_uid, state.st_gid)
    shutil.copymode(real, written)
    with contextlib.suppress(OSError, AttributeError):
        for name in os.listxattr(real):
            with contextlib.suppress(OSError):
                os.setxattr(written, name, os.getxattr(real, name))


def digest_of(path: Path) -> str:
    """Return what a file is known by."""
    with path.open("rb") as file:
        return file_digest(file, sha256).hexdigest()


def swap(written: Path, real: Path) -> None:
    """Rename over the old file; on Windows a scanner may hold it for a moment, so try again."""
    for attempt in range(10):
        try:
            written.replace(real)
            return
        except PermissionError:
            if os.name != "nt" or attempt == 9:
                raise
            time.sleep(0.05)


def sync_folder(folder: Path) -> None:
    """Have a folder written down, where the system can."""
    if os.name == "nt":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextlib.contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Keep other runs of ours waiting while a file of a folder is swapped, where the system can."""
    if os.name == "nt":
        yield
        return
    import fcntl

    handle = os.open(folder, os.O_RDONLY)
    try:
        with contextlib.suppress(OSError):  # a network's folder may have no such lock
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)

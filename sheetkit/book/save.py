"""Putting the finished file in the place of the old one: lock check, backup, write beside, verify, swap."""

from __future__ import annotations

import contextlib
import os
import shutil
import stat
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from sheetkit.book.package import MOST_BYTES
from sheetkit.book.workbook import Refused

_PIECE = 1024 * 1024


def load(path: Path) -> bytes:
    """Give a file's bytes.

    Raises
    ------
    Refused
        When it is not there, cannot be read, is no ordinary file or larger than any that is worked on.
    """
    try:
        state = path.stat()
        if not stat.S_ISREG(state.st_mode) and not stat.S_ISDIR(state.st_mode):
            raise Refused("not a workbook", path.name)
        if state.st_size > MOST_BYTES:
            raise Refused("too large", f"{state.st_size / 1024 / 1024:,.0f} MB")
        return path.read_bytes()
    except (FileNotFoundError, IsADirectoryError, NotADirectoryError):
        raise Refused("no such file", str(path)) from None
    except OSError as error:
        raise Refused("cannot write", str(error.strerror or error)) from None


def actual(path: Path) -> Path:
    """Give the file that a path leads to, through links.

    Raises
    ------
    Refused
        When links lead in a circle, or no file can have this name.
    """
    try:
        found = path.resolve()
        found.exists()
    except (OSError, RuntimeError) as error:
        said = error.strerror if isinstance(error, OSError) else "Its links lead in a circle"
        raise Refused("cannot write", f"{said}: {path.name}") from None
    return found


def holder(path: Path) -> str | None:
    """Say who has a workbook open in an office program, or None.

    Notes
    -----
    ``.~lock.NAME#`` holds user, host and time as text between commas; ``~$NAME`` holds a name after its length.
    Either may be left over after a crash.
    """
    real = actual(path)
    text_lock = real.with_name(f".~lock.{real.name}#")
    with contextlib.suppress(OSError):
        fields = text_lock.read_text("utf-8", "replace").split(",")
        who = [field.strip() for field in fields[:4] if field.strip()]
        return " on ".join(who[:2]) + (f", {who[-1]}" if len(who) > 2 else "") if who else "somebody"
    owner_lock = real.with_name(f"~${real.name}")
    with contextlib.suppress(OSError):
        held = owner_lock.read_bytes()[:55]
        name = held[1 : 1 + held[0]].decode("cp1252", "replace").strip("\0 ") if held else ""
        return name or "somebody"
    return None


def refuse_if_open(path: Path) -> None:
    """Refuse a file that an office program has open.

    Raises
    ------
    Refused
        With the name of who has it open.
    """
    who = holder(path)
    if who:
        raise Refused("open elsewhere", f"open by {who}")


def backup_name(path: Path) -> Path:
    """Give the name of the one backup beside a file.

    >>> backup_name(Path("job.xlsx")).name
    'job.before.xlsx'
    """
    return path.with_name(f"{path.stem}.before{path.suffix}")


def replace(path: Path, before: bytes, after: bytes, verify: Callable[[bytes], None]) -> None:
    """Put new bytes in the place of a file, in one step, keeping its mode and following a link.

    Parameters
    ----------
    path
        The file, or a link to it.
    before
        What was read from it; when something else stands there by now, nothing is done.
    after
        What is to stand there.
    verify
        Called with what was written, once it reads back the same; raises Refused when it is not right.

    Raises
    ------
    Refused
        When anything fails; the file is then as it was.
    """
    real = actual(path)
    written: Path | None = None
    try:
        written = _beside(real, after)
        if not _holds(written, after):
            raise Refused("verification")
        verify(after)
        if not _holds(real, before):
            raise Refused("changed meanwhile", str(path))
        _back_up(real, before)
        _make_like(real, written)
        _swap(written, real)
        written = None
        _sync_folder(real.parent)
    except OSError as error:
        raise Refused("cannot write", f"{error.strerror or error}: {path.name}") from None
    finally:
        if written is not None:
            with contextlib.suppress(OSError):
                written.unlink()


def create(path: Path, data: bytes, *, over: bool = False) -> None:
    """Write a new file, whole or not at all; with ``over``, what stood there is kept as its backup.

    Raises
    ------
    Refused
        When it exists already (unless ``over``) or cannot be written.
    """
    real = actual(path)
    if real.exists() and not over:
        raise Refused("exists", str(path))
    written: Path | None = None
    try:
        written = _beside(real, data)
        if real.exists():
            _back_up(real, real.read_bytes())
            _make_like(real, written)
        else:
            umask = os.umask(0)
            os.umask(umask)
            written.chmod(0o666 & ~umask)
        _swap(written, real)
        written = None
    except OSError as error:
        raise Refused("cannot write", f"{error.strerror or error}: {path}") from None
    finally:
        if written is not None:
            with contextlib.suppress(OSError):
                written.unlink()


def _beside(real: Path, data: bytes) -> Path:
    handle, name = tempfile.mkstemp(prefix=".sheetkit-", suffix=real.suffix, dir=real.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise
    return Path(name)


def _holds(path: Path, data: bytes) -> bool:
    """Say whether a file holds just this, read by pieces: a workbook full of photos is not held once more."""
    at = 0
    with path.open("rb") as file:
        while piece := file.read(_PIECE):
            if piece != data[at : at + len(piece)]:
                return False
            at += len(piece)
    return at == len(data)


def _make_like(real: Path, written: Path) -> None:
    """Give the written file the mode and, where that is allowed, the owner of the one whose place it takes."""
    shutil.copymode(real, written)
    with contextlib.suppress(OSError, AttributeError):
        state = real.stat()
        os.chown(written, state.st_uid, state.st_gid)


def _back_up(real: Path, before: bytes) -> None:
    written = _beside(real, before)
    try:
        shutil.copymode(real, written)
        _swap(written, backup_name(real))
    except BaseException:
        with contextlib.suppress(OSError):
            written.unlink()
        raise


def _swap(written: Path, real: Path) -> None:
    """Rename over the old file; on Windows a scanner may hold it for a moment, so try again."""
    for attempt in range(10):
        try:
            written.replace(real)
            return
        except PermissionError:
            if os.name != "nt" or attempt == 9:
                raise
            time.sleep(0.05)


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

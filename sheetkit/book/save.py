"""Putting the finished file in the place of the old one: lock check, backup, write beside, verify, swap."""

from __future__ import annotations

import contextlib
import os
import platform
import shutil
import stat
import tempfile
import time
from collections.abc import Callable
from hashlib import sha256
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
    if not real.name:
        raise Refused("not a file", str(path))
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


def replace(
    path: Path, before: bytes, after: bytes, verify: Callable[[bytes], None], *, force: bool = False
) -> None:
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
    force
        Go on although an office program's lock file stands.

    Raises
    ------
    Refused
        When anything fails; the file is then as it was.
    """
    real = actual(path)
    _refuse_if_bound(real)
    written: Path | None = None
    try:
        _remove_left_over(real)
        written = _beside(real, after)
        if not _holds(written, after):
            raise Refused("verification")
        verify(after)
        if not _holds(real, before):
            raise Refused("changed meanwhile", str(path))
        _back_up(real, before)
        _make_like(real, written)
        _refuse_if_touched(real, before, force)
        _swap(written, real)
        written = None
        _sync_folder(real.parent)
    except OSError as error:
        raise Refused("cannot write", f"{error.strerror or error}: {path.name}") from None
    finally:
        if written is not None:
            with contextlib.suppress(OSError):
                written.unlink()


def create(
    path: Path, data: bytes, *, over: bool = False, like: Path | None = None, force: bool = False
) -> None:
    """Write a new file, whole or not at all; with ``over``, what stood there is kept as its backup.

    Parameters
    ----------
    path
        The file, or a link to it.
    data
        What is to stand there.
    over
        Take the place of a file that is there.
    like
        A file whose mode a new file takes, so that nobody reads the answers who may not read the job.
    force
        Go on although an office program's lock file stands.

    Raises
    ------
    Refused
        When it exists already (unless ``over``), is no ordinary file, or cannot be written.
    """
    real = actual(path)
    there = real.exists()
    if there and not real.is_file():
        raise Refused("not a file", str(path))
    if there and not over:
        raise Refused("exists", str(path))
    if there:
        _refuse_if_bound(real)
    written: Path | None = None
    try:
        _remove_left_over(real)
        written = _beside(real, data)
        if there:
            before = real.read_bytes()
            _back_up(real, before)
            _make_like(real, written)
            _refuse_if_touched(real, before, force)
        elif like:
            shutil.copymode(like, written)
        else:
            umask = os.umask(0)
            os.umask(umask)
            written.chmod(0o666 & ~umask)
        if not there and real.exists():
            raise Refused("changed meanwhile", str(path))
        _swap(written, real)
        written = None
    except OSError as error:
        raise Refused("cannot write", f"{error.strerror or error}: {path}") from None
    finally:
        if written is not None:
            with contextlib.suppress(OSError):
                written.unlink()


def _refuse_if_bound(real: Path) -> None:
    """Refuse a file that other names lead to as well, or that is set read-only: a swap would undo either."""
    with contextlib.suppress(OSError):
        state = real.stat()
        if state.st_nlink > 1:
            raise Refused("hard link", real.name)
        if not state.st_mode & 0o222:
            raise Refused("read-only", real.name)


def _refuse_if_touched(real: Path, before: bytes, force: bool) -> None:
    """Refuse a file that another program has saved or opened; the last look before the swap.

    Notes
    -----
    No system renames on a condition. The state is taken before the bytes and compared after all else, so that
    only a save between this comparison and the rename, two calls of the system, is not seen.
    """
    state = _state(real)
    if not _holds(real, before):
        raise Refused("changed meanwhile", real.name)
    if not force:
        refuse_if_open(real)
    if _state(real) != state:
        raise Refused("changed meanwhile", real.name)


def _state(real: Path) -> tuple[int, ...]:
    state = real.stat()
    return state.st_ino, state.st_size, state.st_mtime_ns, state.st_ctime_ns


def _mark(real: Path) -> str:
    """Give the beginning of the names of files being written for a workbook on this machine."""
    return f".sheetkit-{sha256(f'{platform.node()} {real.name}'.encode()).hexdigest()[:12]}-"


def _remove_left_over(real: Path) -> None:
    """Remove what killed runs of this workbook left; what a run that is alive is writing stays."""
    mark = _mark(real)
    for path in real.parent.glob(f"{mark}*"):
        number = path.name.removeprefix(mark).partition("-")[0]
        with contextlib.suppress(OSError):
            if number.isdigit() and not _is_alive(int(number), path):
                path.unlink()


def _is_alive(process: int, path: Path) -> bool:
    if process == os.getpid():
        return True
    if (
        os.name == "nt"
    ):  # there, a signal would end the process: a file of an hour ago is no longer being written
        return time.time() - path.stat().st_mtime < 3600
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def _beside(real: Path, data: bytes) -> Path:
    prefix = f"{_mark(real)}{os.getpid()}-"
    handle, name = tempfile.mkstemp(prefix=prefix, suffix=real.suffix, dir=real.parent)
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
    """Give the written file the mode and, where the system allows, owner, access lists and attributes of another."""
    with contextlib.suppress(OSError, AttributeError):
        state = real.stat()
        os.chown(written, state.st_uid, state.st_gid)
    shutil.copymode(real, written)
    with contextlib.suppress(OSError, AttributeError):
        for name in os.listxattr(real):
            with contextlib.suppress(OSError):
                os.setxattr(written, name, os.getxattr(real, name))


def _back_up(real: Path, before: bytes) -> None:
    written = _beside(real, before)
    try:
        _make_like(real, written)
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

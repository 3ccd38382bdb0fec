"""Putting the finished file in the place of the old one: lock check, backup, write beside, verify, swap."""

from __future__ import annotations

import contextlib
import os
import shutil
import stat
import tempfile
import time
from collections.abc import Callable, Collection, Iterator
from hashlib import sha256
from itertools import count
from pathlib import Path

from sheetkit.book.disk import alone, digest_of, holds, in_pieces, make_like, opened, swap, sync_folder
from sheetkit.book.left_over import mark, remove_left_over
from sheetkit.book.package import MOST_BYTES, Held, Pieces
from sheetkit.book.workbook import Refused

_MOST_BETWEEN = 60 * 10**9
"""Between the writing of a file and that of the backup of the old one, at the most [ns]."""


def load(path: Path) -> bytes:
    """Return a file's bytes.

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
    """Return the file that a path leads to, through links.

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
    """Say who has a workbook open in a spreadsheet program, or None.

    Notes
    -----
    ``.~lock.NAME#`` holds user, host and time as text between commas; ``~$NAME`` holds a name after its
    length. Either may be left over after a crash.
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
    """Refuse a file that a spreadsheet program has open.

    Raises
    ------
    Refused
        With the name of who has it open.
    """
    who = holder(path)
    if who:
        raise Refused("open elsewhere", f"open by {who}")


def backup_name(path: Path, number: int = 1) -> Path:
    """Return the name of the backup beside a file; with a number where another file bears that name.

    >>> backup_name(Path("job.xlsx")).name, backup_name(Path("job.xlsx"), 2).name
    ('job.before.xlsx', 'job.before 2.xlsx')
    """
    return path.with_name(f"{path.stem}.before{'' if number == 1 else f' {number}'}{path.suffix}")


def digest(data: bytes) -> str:
    """Return what a file's bytes are known by."""
    return sha256(data).hexdigest()


def replace(
    path: Path,
    before: bytes,
    after: bytes | Pieces,
    verify: Callable[[Held], None] | None = None,
    *,
    force: bool = False,
    known: str = "",
) -> Path:
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
        Called with what stands on the disk, once it reads back the same; raises Refused when it is not right.
    force
        Go on although a spreadsheet program's lock file stands.
    known
        Digest of the backup that was made last: the one file that the new backup may take the place of.

    Returns
    -------
    Path
        Where the file is kept as it was.

    Raises
    ------
    Refused
        When anything fails; the file is then as it was.
    """
    real = actual(path)
    refuse_if_bound(real)
    written: Path | None = None
    try:
        killed = remove_left_over(real)
        written = beside(real, after)
        _verified(written, after, verify)
        if not holds(real, before):
            raise Refused("changed meanwhile", str(path))
        with _backed_up(real, before, known, killed) as backup:
            make_like(real, written)
            refuse_if_touched(real, before, force)
            swap(written, real)
            written = None
        sync_folder(real.parent)
    except OSError as error:
        raise Refused("cannot write", f"{error.strerror or error}: {path.name}") from None
    finally:
        if written is not None:
            with contextlib.suppress(OSError):
                written.unlink()
    return backup


def create(
    path: Path,
    data: bytes | Pieces,
    *,
    over: bool = False,
    like: Path | None = None,
    force: bool = False,
    known: str = "",
    verify: Callable[[Held], None] | None = None,
) -> Path | None:
    """Write a new file, whole or not at all; with ``over``, what stood there is kept as its backup.

    Parameters
    ----------
    path, data, force, known, verify
        As for ``replace``.
    over
        Take the place of a file that is there.
    like
        A file whose mode a new file takes, so that nobody reads the answers who may not read the job.

    Returns
    -------
    Path or None
        Where what stood there is kept as it was.

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
        refuse_if_bound(real)
    written: Path | None = None
    try:
        killed = remove_left_over(real)
        written = beside(real, data)
        _verified(written, data, verify)
        if there:
            before = real.read_bytes()
            with _backed_up(real, before, known, killed) as backup:
                make_like(real, written)
                refuse_if_touched(real, before, force)
                swap(written, real)
                written = None
            return backup
        if like:
            shutil.copymode(like, written)
        else:
            umask = os.umask(0)
            os.umask(umask)
            written.chmod(0o666 & ~umask)
        if real.exists():
            raise Refused("changed meanwhile", str(path))
        swap(written, real)
        written = None
        return None
    except OSError as error:
        raise Refused("cannot write", f"{error.strerror or error}: {path}") from None
    finally:
        if written is not None:
            with contextlib.suppress(OSError):
                written.unlink()


def refuse_if_bound(real: Path) -> None:
    """Refuse a file that other names lead to as well, or that is set read-only: a swap would undo either."""
    with contextlib.suppress(OSError):
        state = real.stat()
        if state.st_nlink > 1:
            raise Refused("hard link", real.name)
        if not state.st_mode & 0o222:
            raise Refused("read-only", real.name)


def refuse_if_touched(real: Path, before: bytes, force: bool) -> None:
    """Refuse a file that another program has saved or opened; the last look before the swap.

    Notes
    -----
    No system renames on a condition. The state is taken before the bytes and compared after all else, so that
    only a save between this comparison and the rename, two calls of the system, is not seen.
    """
    state = _state(real)
    if not holds(real, before):
        raise Refused("changed meanwhile", real.name)
    if not force:
        refuse_if_open(real)
    if _state(real) != state:
        raise Refused("changed meanwhile", real.name)


def _state(real: Path) -> tuple[int, ...]:
    state = real.stat()
    return state.st_ino, state.st_size, state.st_mtime_ns, state.st_ctime_ns


def _verified(written: Path, data: bytes | Pieces, verify: Callable[[Held], None] | None) -> None:
    """Refuse a file of ours that does not read back as it should."""
    if not holds(written, data):
        raise Refused("verification")
    if verify:
        with opened(written) as held:
            verify(held)


def beside(real: Path, data: bytes | Pieces) -> Path:
    """Write a new file in the folder of another, down to the disk, and give its path."""
    prefix = f"{mark(real)}{os.getpid()}-"
    handle, name = tempfile.mkstemp(prefix=prefix, suffix=real.suffix, dir=real.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            for piece in in_pieces(data):
                file.write(piece)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise
    return Path(name)


@contextlib.contextmanager
def backed_up(real: Path, before: bytes, known: str, killed: Collection[int]) -> Iterator[Path]:
    """Keep a file as it was under the name given; when the work then fails, what stood there stands again.

    Notes
    -----
    Ours is the last of the files so named that is as it was left; every other stays, and the first free name
    is taken. A file in front of ours was there before it, even if it holds the same. A run that was killed
    before its file took the place of the old one left a backup that no file knows of: it holds what still
    stands there, and was written just after what that run left beside it.
    """
    place, is_ours = _place_of_backup(real, known, before, killed)
    older = _aside(real, place) if is_ours else None
    try:
        put_beside(real, place, before)
        try:
            yield place
        except BaseException:
            with contextlib.suppress(OSError):
                if older is None:
                    place.unlink()
                else:
                    swap(older, place)
            raise
    finally:
        if older is not None:
            with contextlib.suppress(OSError):
                older.unlink()


@contextlib.contextmanager
def _backed_up(real: Path, before: bytes, known: str, killed: Collection[int]) -> Iterator[Path]:
    """Keep a file as it was while no other run of ours swaps a file in its folder."""
    with (
        alone(real.parent),  # another run's backup would be taken for a free name, and away again
        backed_up(real, before, known, killed) as place,
    ):
        yield place


def _place_of_backup(real: Path, known: str, before: bytes, killed: Collection[int]) -> tuple[Path, bool]:
    """Return where a backup goes, and whether one of ours stands there."""
    found: Path | None = None
    for number in count(1):
        place = backup_name(real, number)
        if not os.path.lexists(place):
            return found or place, found is not None
        if place.is_file() and not place.is_symlink():
            written = place.stat().st_mtime_ns
            in_time = any(0 <= written - left < _MOST_BETWEEN for left in killed)
            if (known and digest_of(place) == known) or (in_time and holds(place, before)):
                found = place
    raise AssertionError


def _aside(real: Path, place: Path) -> Path:
    """Return a second name for what stands at a place, or a copy where a file has but one name."""
    older = real.with_name(f"{mark(real)}{os.getpid()}-{time.monotonic_ns()}{real.suffix}")
    try:
        os.link(place, older)
    except (OSError, NotImplementedError):
        try:
            shutil.copyfile(place, older)
            make_like(real, older)
        except BaseException:
            with contextlib.suppress(OSError):
                older.unlink()
            raise
    return older


def put_beside(real: Path, place: Path, data: bytes) -> None:
    """Write a file beside another, with its mode, owner and attributes."""
    written = beside(real, data)
    try:
        make_like(real, written)
        swap(written, place)
    except BaseException:
        with contextlib.suppress(OSError):
            written.unlink()
        raise

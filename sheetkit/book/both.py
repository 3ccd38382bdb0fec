"""Two workbooks that change together: both new or both old, with a journal beside each meanwhile.

The new files are written and verified beside the old ones first, then the journals, then both are put in
place. A journal that a killed command left tells the next one how far it came: when neither file is new, what
was written is taken away; when one is, the other follows; when another program has saved over the other, the
new one goes back.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from sheetkit.book import disk, save
from sheetkit.book.left_over import is_alive, remove_left_over
from sheetkit.book.workbook import Refused

_BEGINS = ".sheetkit-both-"


@dataclass(frozen=True, slots=True)
class Swap:
    """One of the files: what was read from it, what is to stand there, and the check of that."""

    path: Path
    before: bytes
    after: bytes
    verify: Callable[[bytes], None]
    known: str = ""
    """Digest of the backup that was made last."""


def replace_both(swaps: Sequence[Swap], *, force: bool = False) -> tuple[Path, ...]:
    """Put new bytes in the place of each file, all or none; return where each is kept as it was.

    Raises
    ------
    Refused
        When anything fails; the files are then as they were.
    """
    reals = [save.actual(each.path) for each in swaps]
    try:
        for real, each in zip(reals, swaps, strict=True):
            save.refuse_if_bound(real)
            each.verify(each.after)
            if not disk.holds(real, each.before):
                raise Refused("changed meanwhile", real.name)
        try:
            for real, each in zip(reals, swaps, strict=True):
                _write(_new(real), real, each.after)
                if not disk.holds(_new(real), each.after):
                    raise Refused("verification", real.name)
            for real in reals:
                _write(_journal(real), real, _told(real, reals, swaps))
            backups = _put_in_place(reals, swaps, force)
        except BaseException as error:
            if isinstance(error, Exception):
                _settle(reals, dict(zip(reals, swaps, strict=True)))
            raise
        for real in reals:
            _remove(_journal(real))
            disk.sync_folder(real.parent)
    except OSError as error:
        raise Refused(
            "cannot write", f"{error.strerror or error}: {reals[0].name}, {reals[-1].name}"
        ) from None
    return backups


def _put_in_place(reals: Sequence[Path], swaps: Sequence[Swap], force: bool) -> tuple[Path, ...]:
    """Swap the files one after the other, each with its backup; both are looked at before the first swap."""
    with contextlib.ExitStack() as kept:
        for folder in sorted({real.parent for real in reals}):
            kept.enter_context(disk.alone(folder))
        backups = tuple(
            kept.enter_context(save.backed_up(real, each.before, each.known, remove_left_over(real)))
            for real, each in zip(reals, swaps, strict=True)
        )
        for real in reals:
            disk.make_like(real, _new(real))
        for real, each in zip(reals, swaps, strict=True):
            save.refuse_if_touched(real, each.before, force)
        done: list[tuple[Path, Swap]] = []
        try:
            for real, each in zip(reals, swaps, strict=True):
                save.refuse_if_touched(real, each.before, force)
                disk.swap(_new(real), real)
                done.append((real, each))
        except Exception:
            for real, each in done:
                save.put_beside(real, real, each.before)
            raise
        return backups


def _settle(reals: Sequence[Path], swaps: Mapping[Path, Swap]) -> None:
    """Take away what was written when every file is as it was; else leave it to the next command."""
    with contextlib.suppress(OSError):
        if all(
            not disk.holds(real, swaps[real].after) or swaps[real].after == swaps[real].before
            for real in reals
        ):
            for real in reals:
                _remove(_journal(real))
            for real in reals:
                _remove(_new(real))


def recover(path: Path) -> str:
    """Bring to its end, or take back, what a killed command left half done on two files; say which.

    Raises
    ------
    Refused
        ``half done`` when it can be neither; ``open elsewhere`` while the command is still at work.
    """
    real = save.actual(path)
    journal = _journal(real)
    try:
        if not journal.is_file():
            if real.name:
                _remove(_new(real))
            return ""
        told = _read(journal)
        if told is None:  # it was never whole, so nothing was put in place
            _remove(journal)
            return ""
        if is_alive(told["process"], journal) and told["process"] != os.getpid():
            raise Refused("open elsewhere", "sheetkit is at work on it")
        files = [(save.actual(journal.parent / each["path"]), each) for each in told["files"]]
        said = _recovered(files)
        for other, _ in files:
            _remove(_journal(other))
            _remove(_new(other))
        return said
    except OSError as error:
        raise Refused("cannot write", f"{error.strerror or error}: {real.name}") from None


def _recovered(files: Sequence[tuple[Path, dict[str, Any]]]) -> str:
    stands = [_state(real, each) for real, each in files]
    if "after" not in stands:
        return "An earlier cut was broken off before it began: both workbooks are as they were."
    if all(state == "after" for state in stands):
        return "An earlier cut was broken off when it was done: both workbooks are as it left them."
    behind = [(real, each) for (real, each), state in zip(files, stands, strict=True) if state != "after"]
    if all(_state(real, each) == "before" and _is_new(real, each) for real, each in behind):
        for real, _ in behind:
            disk.make_like(real, _new(real))
            disk.swap(_new(real), real)
            disk.sync_folder(real.parent)
        return "An earlier cut was broken off half done: it is brought to its end now, in both workbooks."
    ahead = [(real, each) for (real, each), state in zip(files, stands, strict=True) if state == "after"]
    olds = [(real, _backup(real, each["before"])) for real, each in ahead]
    if any(old is None for _, old in olds):
        names = ", ".join(real.name for real, _ in files)
        raise Refused("half done", names)
    for real, old in olds:
        save.put_beside(real, real, old or b"")
    return (
        "An earlier cut was broken off half done, and another program has saved since: "
        "it is taken back in both workbooks."
    )


def _state(real: Path, told: Mapping[str, Any]) -> str:
    if not real.is_file():
        return "gone"
    held = save.digest(real.read_bytes())
    return "before" if held == told["before"] else "after" if held == told["after"] else "other"


def _is_new(real: Path, told: Mapping[str, Any]) -> bool:
    new = _new(real)
    return new.is_file() and save.digest(new.read_bytes()) == told["after"]


def _backup(real: Path, digest: str) -> bytes | None:
    """Return the backup of a file that is known by its digest."""
    for path in sorted(real.parent.glob(f"{glob_safe(real.stem)}.before*{real.suffix}")):
        data = path.read_bytes()
        if save.digest(data) == digest:
            return data
    return None


def glob_safe(text: str) -> str:
    """Return a name with what has a meaning in patterns set off.

    >>> glob_safe("job [2]")
    'job [[]2]'
    """
    return "".join(f"[{sign}]" if sign in "*?[" else sign for sign in text)


def _told(real: Path, reals: Sequence[Path], swaps: Sequence[Swap]) -> bytes:
    """Return what a journal holds: the files by their paths from its folder, what each was and is to be."""
    files = []
    for other, each in zip(reals, swaps, strict=True):
        try:
            path = os.path.relpath(other, real.parent)
        except ValueError:  # on another drive
            path = str(other)
        files.append({"path": path, "before": save.digest(each.before), "after": save.digest(each.after)})
    return json.dumps({"process": os.getpid(), "files": files}).encode()


def _read(journal: Path) -> dict[str, Any] | None:
    try:
        told = json.loads(journal.read_bytes())
        whole = {"path", "before", "after"}
        files = told["files"]
        if isinstance(told["process"], int) and files and all(whole <= set(each) for each in files):
            return dict(told)
    except (ValueError, KeyError, TypeError):
        pass
    return None


def _write(place: Path, real: Path, data: bytes) -> None:
    """Write a file beside a workbook, whole or not at all."""
    written = save.beside(real, data)
    try:
        disk.swap(written, place)
    except BaseException:
        with contextlib.suppress(OSError):
            written.unlink()
        raise
    disk.sync_folder(place.parent)


def _name(real: Path) -> str:
    return f"{_BEGINS}{sha256(real.name.encode()).hexdigest()[:12]}"


def _journal(real: Path) -> Path:
    return real.with_name(f"{_name(real)}.journal") if real.name else real / "."


def _new(real: Path) -> Path:
    return real.with_name(f"{_name(real)}.new{real.suffix}")


def _remove(path: Path) -> None:
    with contextlib.suppress(FileNotFoundError):
        path.unlink()

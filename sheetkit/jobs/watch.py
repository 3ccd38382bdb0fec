"""Working a job out again at each save: into the workbook or, while a program has it open, beside it.

Everything is decided from what stands in the folder, never from what a change was said to be: a save may come
as one write, as several, or as a new file under the old name, and the lock file goes away for a moment during
it.
"""

from __future__ import annotations

import contextlib
import shutil
import tempfile
import time
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from threading import Event
from typing import Literal

from sheetkit.book import save
from sheetkit.book.formats import by_content, by_ending
from sheetkit.book.package import UNREADABLE
from sheetkit.book.workbook import BACKUP, Change, Refused
from sheetkit.jobs.run import Outcome, run
from sheetkit.tabs.look_only import look_only_page

QUIET = 0.5
"""Seconds without a change after which a save counts as finished."""
PATIENCE = 15.0
"""Seconds after the last change during which the rest of a half-written file is waited for."""
LOOK_AGAIN = 2.0
"""Seconds after which the folder is looked at all the same: not every network drive tells of changes."""

Came = Literal[
    "written",
    "up to date",
    "checked",
    "beside",
    "beside is open",
    "beside is not ours",
    "refused",
    "half written",
    "gone",
]
WAITING: tuple[Came, ...] = ("beside", "beside is open", "beside is not ours", "refused")
"""The answers are not where they belong, so that a file opened, closed or gone is reason to try again."""


@dataclass(frozen=True, slots=True)
class Turn:
    """What came of one save."""

    at: datetime
    path: Path
    """The workbook that is watched."""
    came: Came
    target: Path
    """Where the answers stand, or would."""
    outcome: Outcome | None = None
    refused: Refused | None = None
    left: Path | None = None
    """A file of answers that the maker has changed, which therefore stays beside the workbook."""


def watch(
    path: Path,
    *,
    check: bool = False,
    out: Path | None = None,
    recalc: bool = False,
    force: bool = False,
    effort: float = 1.0,
    stop: Event | None = None,
) -> Iterator[Turn]:
    """Work out a job's workbook now and after each save, and give what came of it, until stopped.

    Parameters
    ----------
    path
        The workbook. While a spreadsheet program has it open it is not written; the answers go into the file
        ``answers_name`` beside it, and into the workbook itself once it is closed.
    check
        Only look for problems; write nothing.
    out
        Write the answers to this file, always, and leave ``path`` as it is.
    recalc, effort
        As for ``sheetkit.run``.
    force
        Take the lock file that stands at the start for one left over after a crash.
    stop
        Set it to end, also in the middle of a board layout.

    Raises
    ------
    Refused
        When there is no such file, or ``out`` cannot be written: it has another ending, or is a file that was
        not written by watching. Later refusals are given as turns.
    """
    save.load(path)
    if out:
        if by_ending(out.suffix).ending != by_ending(path.suffix).ending:
            raise Refused("wrong ending", out.name)
        if save.actual(out).exists() and not is_sealed(save.load(out)):
            raise Refused("exists", str(out))
    return _Watch(path, check, out, recalc, force, effort, stop or Event()).turns()


def answers_name(path: Path) -> Path:
    """Return the name of the file that takes the answers while the workbook is open.

    >>> answers_name(Path("job.xlsx")).name
    'job.answers.xlsx'
    """
    return path.with_name(f"{path.stem}.answers{path.suffix}")


def sealed(data: bytes) -> bytes:
    """Return a workbook that bears a checksum of itself as the comment of its zip, where no program shows it.

    Notes
    -----
    A spreadsheet program drops or outdates the seal when it saves, so what bears a right one is as it was
    written.
    """
    end = data.rfind(b"PK\5\6") + 20
    comment = b"answers by sheetkit " + sha256(data[:end]).hexdigest().encode()
    return data[:end] + len(comment).to_bytes(2, "little") + comment


def for_looking(data: bytes, workbook: Path, answers: str) -> bytes:
    """Return a workbook with the answers that opens on a tab which says that it is to look at only."""
    file_format = by_content(data, workbook.suffix)
    book = file_format.read_own(data)
    page = look_only_page(workbook.name, answers, book.owned)
    return file_format.graft(data, Change((page,), columns=book.columns, notes=book.notes, opens=page.key))


def is_sealed(data: bytes) -> bool:
    """Say whether a file was written by watching and has not been changed since."""
    return data == sealed(data)


class _Stopped(Exception):
    """Raised in the middle of working out a job when the watch is to end; nothing has been written then."""


class _Watch:
    """A workbook under watch: what was worked out last, and where its answers stand."""

    def __init__(
        self, path: Path, check: bool, out: Path | None, recalc: bool, force: bool, effort: float, stop: Event
    ) -> None:
        self.path, self.real = path, save.actual(path)
        self.check, self.out, self.recalc, self.effort, self.stop = check, out, recalc, effort, stop
        self.beside = out or answers_name(self.real)
        self.left_over = save.holder(self.real) if force else None
        self.seen: bytes | None = None
        self.came: Came | None = None
        self.worked: tuple[bytes, Outcome, bytes] | None = None
        self.backup: Path | None = None
        self.backed_up = ""
        """Digest of the backup made last: a file saved anew by another program may bear no notes of it."""

    def turns(self) -> Iterator[Turn]:
        known: object = None
        for _ in _looks(self.real.parent, self.stop):
            while not self.stop.is_set() and self._state() != known:
                known = self._settled()
                if not self.stop.is_set() and (turn := self._turn()):
                    yield turn

    def _state(self) -> object:
        """Return what can be told without reading: when both files were written and who has them open."""
        return [(_written(each), save.holder(each)) for each in (self.real, self.beside)]

    def _settled(self) -> object:
        """Return the state once it stands still and the workbook is whole, or has had its time to be so."""
        state, since = self._state(), time.monotonic()
        while not self.stop.wait(QUIET):
            if (now := self._state()) != state:
                state, since = now, time.monotonic()
            elif _is_whole(self.real) or time.monotonic() - since > PATIENCE:
                break
        return state

    def _is_open(self) -> bool:
        who = save.holder(self.real)
        if who is None:
            self.left_over = None
        return who not in (None, self.left_over)

    def _turn(self) -> Turn | None:
        """Do what is to be done with the workbook as it stands, or nothing."""
        came: Came
        data, after = b"", b""
        outcome, refused = None, None
        aside = self.out is not None or self._is_open()
        try:
            data = save.load(self.real)
            waits = self.came in WAITING and not (aside and self.came == "beside")
            if data == self.seen and not waits:
                self._clear_beside()
                return None
            if _is_whole(self.real):
                outcome, after = self._worked_out(data)
                came = self._put(data, after, aside)
            else:
                came = "half written"
        except _Stopped:
            return None
        except Refused as fault:
            if fault.reason in ("changed meanwhile", "open elsewhere"):
                return None  # it no longer stands as it did when this turn began: the next one is due at once
            came, refused = ("gone" if fault.reason == "no such file" else "refused"), fault
        if (data, came) == (self.seen, self.came):
            return None
        self.came = came
        self.seen = data if self.out or came != "written" else after
        target = self.out or (self.beside if came.startswith("beside") else self.path)
        if outcome:
            backup = self.backup if came == "written" and not self.out else None
            outcome = replace(outcome, path=target, written=came in ("written", "beside"), backup=backup)
        return Turn(datetime.now(), self.path, came, target, outcome, refused, self._clear_beside())

    def _worked_out(self, data: bytes) -> tuple[Outcome, bytes]:
        """Return the outcome and the workbook with the answers in it, made on a copy."""
        if self.worked is None or self.worked[0] != data:
            try:
                with tempfile.TemporaryDirectory(prefix="sheetkit-") as folder:
                    copy = Path(folder) / self.real.name
                    copy.write_bytes(data)
                    outcome = run(
                        copy,
                        home=self.path.parent,
                        check=self.check,
                        recalc=self.recalc,
                        effort=self.effort,
                        progress=self._go_on,
                    )
                    self.worked = data, outcome, copy.read_bytes()
            except OSError as error:
                raise Refused("cannot write", error.strerror or str(error)) from None
        return self.worked[1:]

    def _go_on(self, name: str, share: float) -> None:
        if self.stop.is_set():
            raise _Stopped

    def _put(self, data: bytes, after: bytes, aside: bool) -> Came:
        """Put the answers where they belong, if nothing has changed there in the meantime."""
        if save.load(self.real) != data:
            raise Refused("changed meanwhile", self.path.name)
        if self.check:
            return "checked"
        if after == data and not self.out:
            return "up to date"
        if aside:
            return self._put_beside(after)
        if self._is_open():
            raise Refused("open elsewhere", self.path.name)

        known = by_content(data, self.real.suffix).read_own(data).notes.get(BACKUP, "") or self.backed_up
        self.backup = save.replace(self.real, data, after, force=self.left_over is not None, known=known)
        self.backed_up = save.digest(data)
        return "written"

    def _put_beside(self, after: bytes) -> Came:
        after = after if self.out else for_looking(after, self.real, self.beside.name)
        if save.holder(self.beside):
            return "beside is open"
        there = save.load(self.beside) if self.beside.exists() else None
        if there is not None and not is_sealed(there):
            return "beside is not ours"
        if there != sealed(after):
            _remove(self.beside)
            save.create(self.beside, sealed(after))
            with contextlib.suppress(OSError):
                shutil.copymode(self.real, self.beside)
        elif self.out:
            return "up to date"
        return "written" if self.out else "beside"

    def _clear_beside(self) -> Path | None:
        """Take our file beside the workbook away once the answers stand in it; give one that has to stay."""
        if self.out or self.came not in ("written", "up to date") or not self.beside.exists():
            return None
        with contextlib.suppress(Refused):
            if not is_sealed(save.load(self.beside)):
                return self.beside
            if not save.holder(self.beside):
                _remove(self.beside)
        return None


def _looks(folder: Path, stop: Event) -> Iterator[None]:
    """Yield a sign now, at each change in a folder, and every few seconds in any case."""
    from watchfiles import watch as changes

    yield
    with contextlib.suppress(OSError, RuntimeError):  # no watching here: looking now and then must do
        for _ in changes(
            folder,
            watch_filter=None,
            recursive=False,
            stop_event=stop,
            rust_timeout=int(LOOK_AGAIN * 1000),
            yield_on_timeout=True,
        ):
            yield
    while not stop.wait(LOOK_AGAIN):
        yield


def _written(path: Path) -> tuple[int, ...] | None:
    try:
        state = path.stat()
    except OSError:
        return None
    return state.st_mtime_ns, state.st_size, state.st_ino


def _is_whole(path: Path) -> bool:
    """Say whether no part of a file is still to come; what is no zip at all is for others to judge."""
    try:
        with path.open("rb") as file:
            if file.read(2) not in (b"PK", b"P", b""):
                return True
        with zipfile.ZipFile(path):
            return True
    except FileNotFoundError:
        return True
    except UNREADABLE:
        return False


def _remove(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise Refused("cannot write", f"{error.strerror or error}: {path.name}") from None

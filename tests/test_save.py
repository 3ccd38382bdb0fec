"""Whatever goes wrong while saving, the file is the old one or the new one, whole."""

from __future__ import annotations

import contextlib
import errno
import io
import os
import random
import shutil
import signal
import stat
import struct
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from click.testing import CliRunner

from sheetkit.book import save
from sheetkit.book.disk import PIECE
from sheetkit.book.formats import by_content, by_ending
from sheetkit.book.package import Held, Package
from sheetkit.book.workbook import Change, Refused
from sheetkit.jobs.run import run
from sheetkit.page import Cell, Page
from sheetkit.terminal.cli import main
from tests.jobs import NOW, write

PARTS = "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 30"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return write(tmp_path / "job.xlsx", {"Parts": PARTS})


def only(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def answered(job: Path) -> bytes:
    """Give what a run makes of a workbook, which stays as it is."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(shutil.copy(job, folder))
        run(copy, now=NOW)
        return copy.read_bytes()


def test_the_file_as_it_was_is_kept_beside_it(job: Path) -> None:
    before = job.read_bytes()
    outcome = run(job, now=NOW)
    assert outcome.backup == job.with_name("job.before.xlsx").resolve()
    assert job.with_name("job.before.xlsx").read_bytes() == before
    assert only(job.parent) == {"job.xlsx", "job.before.xlsx"}


def test_an_unchanged_file_is_not_written_and_keeps_its_backup(job: Path) -> None:
    run(job, now=NOW)
    backup = job.with_name("job.before.xlsx").read_bytes()
    assert not run(job, now=NOW).written
    assert job.with_name("job.before.xlsx").read_bytes() == backup


def edited(job: Path, width: float) -> bytes:
    """Have the maker change a width; give the file's bytes."""
    data = job.read_bytes()
    cell = {"Parts": {(2, 4): Cell(width)}}
    file_format = by_content(data, job.suffix)
    workbook = file_format.read(data)
    job.write_bytes(
        file_format.graft(data, Change(patches=cell, columns=workbook.columns, notes=workbook.notes))
    )
    return job.read_bytes()


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_backup_takes_the_place_of_the_one_that_the_last_run_left_and_of_no_other_file(
    tmp_path: Path, ending: str
) -> None:
    job = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    own, ours = tmp_path / f"job.before{ending}", tmp_path / f"job.before 2{ending}"
    own.write_bytes(first := job.read_bytes())  # a copy of the maker's own, under our name
    assert run(job, now=NOW).backup == ours
    assert (own.read_bytes(), ours.read_bytes()) == (first, first)
    answered = job.read_bytes()
    assert not run(job, now=NOW).written
    assert job.read_bytes() == answered
    second = edited(job, 3)
    told = CliRunner().invoke(main, ["run", str(job)]).output
    assert told.splitlines()[-1] == f"Written to {job}; the file as it was: {ours.name}."
    assert (own.read_bytes(), ours.read_bytes()) == (first, second)
    ours.write_bytes(b"noted on it by the maker")
    third = edited(job, 4)
    assert run(job, now=NOW).backup == (last := tmp_path / f"job.before 3{ending}")
    assert (own.read_bytes(), ours.read_bytes()) == (first, b"noted on it by the maker")
    assert last.read_bytes() == third
    assert only(tmp_path) == {job.name, own.name, ours.name, last.name}


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_answers_written_elsewhere_once_more_are_up_to_date_and_their_backups_are_told_apart(
    tmp_path: Path, ending: str
) -> None:
    job = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    other, own = tmp_path / f"other{ending}", tmp_path / f"other.before{ending}"
    own.write_bytes(b"the maker's own")
    assert run(job, out=other, now=NOW).backup is None
    first = other.read_bytes()
    assert not run(job, out=other).written
    assert other.read_bytes() == first
    edited(job, 3)
    backup = run(job, out=other, now=NOW).backup
    assert backup == tmp_path / f"other.before 2{ending}"
    assert backup.read_bytes() == first
    second = other.read_bytes()
    edited(job, 4)
    assert run(job, out=other, now=NOW).backup == backup
    assert backup.read_bytes() == second
    assert own.read_bytes() == b"the maker's own"


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_backup_of_an_adopted_workbook_is_known_to_the_first_run(tmp_path: Path, ending: str) -> None:
    job = tmp_path / f"own{ending}"
    job.write_bytes(by_ending(ending).render([Page("Songs", {(1, 1): Cell("Mine")})]))
    own = tmp_path / f"own.before{ending}"
    own.write_bytes(b"the maker's own")
    told = CliRunner().invoke(main, ["adopt", str(job)]).output
    assert f"The file as it was: own.before 2{ending}" in told
    adopted = job.read_bytes()
    assert CliRunner().invoke(main, ["run", str(job)]).exit_code == 1  # an empty job
    assert (tmp_path / f"own.before 2{ending}").read_bytes() == adopted
    assert own.read_bytes() == b"the maker's own"
    assert only(tmp_path) == {job.name, own.name, f"own.before 2{ending}"}


def test_a_save_that_fails_after_the_backup_leaves_the_backups_as_they_were(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def touched(*_: object) -> None:
        raise Refused("changed meanwhile")

    for there in ({"job.xlsx"}, {"job.xlsx", "job.before.xlsx"}):
        files = {path: path.read_bytes() for path in job.parent.iterdir()}
        with monkeypatch.context() as patch:
            patch.setattr(save, "refuse_if_touched", touched)
            with pytest.raises(Refused, match="changed meanwhile"):
                run(job, now=NOW)
        assert only(job.parent) == there
        assert {path: path.read_bytes() for path in job.parent.iterdir()} == files
        run(job, now=NOW)
        edited(job, 3)


def test_a_check_writes_nothing(job: Path) -> None:
    before = job.read_bytes()
    assert run(job, check=True, now=NOW).ok
    assert job.read_bytes() == before
    assert only(job.parent) == {"job.xlsx"}


def test_another_file_can_take_the_answers(job: Path) -> None:
    before = job.read_bytes()
    other = job.with_name("other.xlsx")
    outcome = run(job, out=other, now=NOW)
    assert outcome.path == other
    assert outcome.backup is None
    assert job.read_bytes() == before
    assert other.exists()


def test_a_file_that_the_answers_overwrite_elsewhere_is_kept_beside_it(job: Path) -> None:
    other = job.with_name("other.xlsx")
    other.write_bytes(b"something of the maker's own")
    run(job, out=other, now=NOW)
    assert job.with_name("other.before.xlsx").read_bytes() == b"something of the maker's own"
    assert only(job.parent) == {"job.xlsx", "other.xlsx", "other.before.xlsx"}


def test_the_owner_of_the_file_is_kept(job: Path) -> None:
    owner = 1234 if os.geteuid() == 0 else os.geteuid()
    os.chown(job, owner, -1)
    assert run(job, now=NOW).written
    assert job.stat().st_uid == owner


def test_an_answer_is_not_written_under_the_ending_of_another_format(job: Path) -> None:
    with pytest.raises(Refused, match="wrong ending"):
        run(job, out=job.with_name("other.ods"), now=NOW)
    assert only(job.parent) == {"job.xlsx"}


def test_the_mode_of_the_file_is_kept(job: Path) -> None:
    job.chmod(0o640)
    run(job, now=NOW)
    assert stat.S_IMODE(job.stat().st_mode) == 0o640


def test_a_link_is_followed_and_stays_a_link(job: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.xlsx"
    link.symlink_to(job)
    before = job.read_bytes()
    run(link, now=NOW)
    assert link.is_symlink()
    assert job.read_bytes() != before
    assert only(tmp_path) == {"job.xlsx", "link.xlsx", "job.before.xlsx"}


LOCKS = [
    (
        ".~lock.job.xlsx#",
        b",maker,bench,25.11.2026 08:09,file:///profile;",
        "open by maker on bench, 25.11.2026 08:09",
    ),
    (".~lock.job.xlsx#", b"", "open by somebody"),
    ("~$job.xlsx", b"\x05Maker" + b" " * 49 + b"\x05\x00" + "Maker".encode("utf-16-le"), "open by Maker"),
    ("~$job.xlsx", b"", "open by somebody"),
]


@pytest.mark.parametrize(("name", "held", "who"), LOCKS)
def test_a_file_that_is_open_elsewhere_is_refused_with_who_has_it(
    job: Path, name: str, held: bytes, who: str
) -> None:
    job.with_name(name).write_bytes(held)
    before = job.read_bytes()
    with pytest.raises(Refused) as refused:
        run(job, now=NOW)
    assert refused.value.reason == "open elsewhere"
    assert who in refused.value.detail
    assert job.read_bytes() == before
    assert run(job, check=True, now=NOW).ok
    assert run(job, force=True, now=NOW).written


@pytest.mark.parametrize(("name", "held", "who"), LOCKS)
def test_the_command_says_who_has_the_file_open_and_goes_on_when_forced(
    job: Path, name: str, held: bytes, who: str
) -> None:
    job.with_name(name).write_bytes(held)
    refused = CliRunner().invoke(main, ["run", str(job)])
    assert refused.exit_code == 2
    assert refused.output == (
        "sheetkit: The workbook is open elsewhere. Close it there, then run again; --force if that is no longer so."
        f" ({who})\n"
    )
    forced = CliRunner().invoke(main, ["run", str(job), "--force"])
    assert forced.exit_code == 0
    assert "Written to" in forced.output


def test_a_lock_of_another_file_is_no_hindrance(job: Path) -> None:
    job.with_name(".~lock.other.xlsx#").write_bytes(b",maker,bench,,;")
    job.with_name("~$other.xlsx").write_bytes(b"\x05Maker")
    assert run(job, now=NOW).written


def test_a_file_that_changed_meanwhile_is_left_as_it_is_now(job: Path) -> None:
    with pytest.raises(Refused, match="changed meanwhile"):
        save.replace(job, b"what was read before", b"new", lambda written: None)
    assert only(job.parent) == {"job.xlsx"}


def test_a_result_that_does_not_read_back_is_not_put_in(job: Path) -> None:
    before = job.read_bytes()

    def wrong(written: Held) -> None:
        raise Refused("verification")

    with pytest.raises(Refused, match="verification"):
        save.replace(job, before, b"new", wrong)
    assert job.read_bytes() == before
    assert only(job.parent) == {"job.xlsx"}


@pytest.mark.parametrize("damage", [b"new!", b"ne", b"nev", b""])
def test_what_the_disk_gives_back_otherwise_is_not_put_in(
    job: Path, monkeypatch: pytest.MonkeyPatch, damage: bytes
) -> None:
    before = job.read_bytes()
    beside = save.beside

    def spoilt(real: Path, data: bytes) -> Path:
        return beside(real, damage if data == b"new" else data)

    monkeypatch.setattr(save, "beside", spoilt)
    with pytest.raises(Refused, match="verification"):
        save.replace(job, before, b"new", lambda written: None)
    assert job.read_bytes() == before
    assert only(job.parent) == {"job.xlsx"}


def test_a_folder_in_place_of_a_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="no such file"):
        run(tmp_path)


FAULTS: list[tuple[Any, str]] = [
    (tempfile, "mkstemp"),
    (os, "fsync"),
    (os, "fdopen"),
    (Path, "replace"),
    (Path, "read_bytes"),
    (Path, "open"),
    (shutil, "copymode"),
]


class Killed(BaseException):
    """The process ends here."""


@pytest.mark.parametrize(
    "error", [OSError(28, "No space left on device"), PermissionError(13, "Permission denied"), Killed()]
)
@pytest.mark.parametrize("nth", [1, 2, 3])
@pytest.mark.parametrize(("where", "name"), FAULTS)
def test_a_fault_at_any_file_operation_leaves_the_file_whole(
    job: Path, monkeypatch: pytest.MonkeyPatch, where: Any, name: str, nth: int, error: BaseException
) -> None:
    before = job.read_bytes()
    after = answered(job)
    calls = 0
    real: Callable[..., Any] = getattr(where, name)

    def failing(*given: Any, **named: Any) -> Any:
        nonlocal calls
        calls += 1
        if calls == nth:
            raise error
        return real(*given, **named)

    monkeypatch.setattr(where, name, failing)
    with contextlib.suppress(Refused, Killed):
        run(job, now=NOW)
    monkeypatch.undo()
    assert job.read_bytes() in (before, after)
    if not isinstance(error, Killed):
        assert only(job.parent) <= {"job.xlsx", "job.before.xlsx"}


class Full:
    """A file on a disk that has no room left."""

    def __init__(self, handle: int, mode: str) -> None:
        self.file = open(handle, mode)  # noqa: SIM115

    def __enter__(self) -> Full:
        return self

    def __exit__(self, *_: object) -> None:
        self.file.close()

    def write(self, data: bytes) -> None:
        self.file.write(data[: len(data) // 2])
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize(
    ("where", "name", "instead", "says"),
    [
        (os, "fdopen", Full, "No space left on device"),
        (os, "fsync", OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)), "No space left on device"),
        (Path, "replace", OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)), "No space left on device"),
        (tempfile, "mkstemp", PermissionError(errno.EACCES, os.strerror(errno.EACCES)), "Permission denied"),
        (tempfile, "mkstemp", OSError(errno.EROFS, os.strerror(errno.EROFS)), "Read-only file system"),
        (Path, "replace", OSError(errno.EXDEV, os.strerror(errno.EXDEV)), "Invalid cross-device link"),
    ],
)
def test_the_command_says_why_the_file_cannot_be_written_and_leaves_no_trace(
    job: Path, monkeypatch: pytest.MonkeyPatch, where: Any, name: str, instead: Any, says: str
) -> None:
    before = job.read_bytes()

    def failing(*given: Any, **named: Any) -> Any:
        raise instead

    monkeypatch.setattr(where, name, instead if isinstance(instead, type) else failing)
    result = CliRunner().invoke(main, ["run", str(job)])
    monkeypatch.undo()
    assert result.exit_code == 2
    assert result.output == (
        "sheetkit: The file or its folder cannot be read or written. Look at its permissions, at the room on the disk, "
        f"and whether another program has it open. ({says}: job.xlsx)\n"
    )
    assert job.read_bytes() == before
    assert only(job.parent) == {"job.xlsx"}


def killed_while(
    job: Path, hook: Callable[[], None] | None = None, after: float = 0.0, out: Path | None = None
) -> bool:
    """Run in a process of its own, killed by a hook or after some time; say whether it came to its end."""
    child = os.fork()
    if child == 0:
        try:
            if hook:
                hook()
            run(job, out=out, now=NOW)
        finally:
            os._exit(0)
    if after:
        time.sleep(after)
        os.kill(child, signal.SIGKILL)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


OPERATIONS = {
    "open",
    "write",
    "flush",
    "fsync",
    "close",
    "replace",
    "rename",
    "link",
    "unlink",
    "chmod",
    "chown",
    "read",
}
WORKERS = {"save.py", "disk.py", "pathlib.py", "tempfile.py", "shutil.py", "os.py"}


def at_file_operation(nth: int) -> Callable[[], None]:
    """Give a hook that kills its process just before or just after the n-th file operation."""

    def install() -> None:
        left = nth

        def watch(frame: FrameType, event: str, function: Any) -> None:
            nonlocal left
            if event in ("c_call", "c_return") and function.__name__ in OPERATIONS:
                if Path(frame.f_code.co_filename).name not in WORKERS:
                    return
                left -= 1
                if left == 0:
                    os.kill(os.getpid(), signal.SIGKILL)

        sys.setprofile(watch)

    return install


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_process_killed_at_any_file_operation_leaves_the_old_file_or_the_new_one(
    tmp_path: Path, ending: str
) -> None:
    job = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    before = job.read_bytes()
    after = answered(job)
    mine, backup = save.backup_name(job), save.backup_name(job, 2)
    seen = set()
    for nth in range(1, 120):
        job.write_bytes(before)
        backup.unlink(missing_ok=True)
        mine.write_bytes(b"the maker's own")
        if killed_while(job, at_file_operation(nth)):
            break
        kept = backup.read_bytes() if backup.exists() else b""
        seen.add((job.read_bytes() == after, kept == before))
        assert job.read_bytes() in (before, after)
        assert mine.read_bytes() == b"the maker's own"
        assert kept in (b"", before)
        # nothing new without its backup, and what the dead process left behind hinders no later run
        assert job.read_bytes() == before or kept == before
        assert run(job, check=True, now=NOW).ok
    else:
        pytest.fail("the run never came to its end")
    assert seen >= {(False, False), (False, True), (True, True)}
    assert nth > 20


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_a_process_killed_while_it_writes_elsewhere_leaves_the_other_file_or_the_answers(job: Path) -> None:
    before, other = job.read_bytes(), job.with_name("other.xlsx")
    other.write_bytes(b"something of the maker's own")
    run(job, out=other, now=NOW)
    after = other.read_bytes()
    backup = save.backup_name(other)
    for nth in range(1, 120):
        other.write_bytes(b"something of the maker's own")
        backup.unlink(missing_ok=True)
        if killed_while(job, at_file_operation(nth), out=other):
            break
        assert job.read_bytes() == before
        assert other.read_bytes() in (b"something of the maker's own", after)
        assert other.read_bytes() != after or backup.read_bytes() == b"something of the maker's own"
    else:
        pytest.fail("the run never came to its end")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_process_killed_at_any_moment_leaves_the_old_file_or_the_new_one(
    tmp_path: Path, ending: str
) -> None:
    job = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    before = job.read_bytes()
    started = time.perf_counter()
    after = answered(job)
    usual = time.perf_counter() - started
    backup = save.backup_name(job)
    chance = random.Random(11)
    killed = 0
    for _ in range(150):
        job.write_bytes(before)
        backup.unlink(missing_ok=True)
        ended = killed_while(job, after=chance.uniform(0.0005, 1.5 * usual))
        kept = backup.read_bytes() if backup.exists() else b""
        assert job.read_bytes() in (before, after)
        assert kept in (b"", before)
        assert job.read_bytes() == before or kept == before
        killed += not ended
    assert killed
    assert killed_while(job), "left alone, it comes to its end"
    assert job.read_bytes() == after


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_a_file_system_that_takes_no_more_bytes_is_told_and_leaves_no_trace(job: Path) -> None:
    resource = pytest.importorskip("resource")
    before = job.read_bytes()
    said = job.with_name("said")
    child = os.fork()
    if child == 0:
        try:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
            said.write_text(CliRunner().invoke(main, ["run", str(job)]).output, "utf-8")
        finally:
            os._exit(0)
    os.waitpid(child, 0)
    assert said.read_text("utf-8").endswith("(File too large: job.xlsx)\n")
    assert job.read_bytes() == before
    assert only(job.parent) == {"job.xlsx", "said"}


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="needs links")
def test_links_that_lead_in_a_circle_are_told(job: Path) -> None:
    circle = job.with_name("circle.xlsx")
    circle.symlink_to(circle)
    for words in (["run", job, "--out", circle], ["new", circle], ["run", circle], ["adopt", circle]):
        told = CliRunner().invoke(main, [str(word) for word in words])
        assert told.exit_code == 2
        assert told.output.startswith("sheetkit: The file or its folder cannot be read or written.")
    assert only(job.parent) == {"job.xlsx", "circle.xlsx"}


def test_a_link_into_another_folder_keeps_the_backup_beside_the_file(job: Path, tmp_path: Path) -> None:
    (tmp_path / "desk").mkdir()
    link = tmp_path / "desk" / "today.xlsx"
    link.symlink_to(job)
    before = job.read_bytes()
    assert run(link, now=NOW).backup == job.with_name("job.before.xlsx").resolve()
    assert job.with_name("job.before.xlsx").read_bytes() == before
    assert only(tmp_path / "desk") == {"today.xlsx"}


def test_a_name_that_no_file_can_have_is_told(job: Path) -> None:
    long = job.with_name("a" * 300 + ".xlsx")
    for words in (["run", job, "--out", long], ["new", long], ["run", long]):
        told = CliRunner().invoke(main, [str(word) for word in words])
        assert told.exit_code == 2
        assert "File name too long" in told.output
    assert only(job.parent) == {"job.xlsx"}


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes")
def test_what_is_no_ordinary_file_is_refused_unread(job: Path) -> None:
    pipe = job.with_name("pipe.xlsx")
    os.mkfifo(pipe)
    with pytest.raises(Refused, match="not a workbook"):
        run(pipe)


def test_a_file_larger_than_any_that_is_worked_on_is_refused_unread(job: Path) -> None:
    with job.open("r+b") as file:
        file.truncate(5 << 30)  # a hole, which takes no room on the disk
    with pytest.raises(Refused, match="too large"):
        run(job)


def test_a_file_that_the_answers_overwrite_elsewhere_keeps_its_mode(job: Path) -> None:
    other = job.with_name("other.xlsx")
    other.write_bytes(b"something of the maker's own")
    other.chmod(0o640)
    run(job, out=other, now=NOW)
    assert stat.S_IMODE(other.stat().st_mode) == 0o640


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_two_runs_at_once_leave_a_whole_file(job: Path) -> None:
    after = answered(job)
    children = []
    for _ in range(4):
        child = os.fork()
        if child == 0:
            try:
                with contextlib.suppress(Refused):
                    run(job, now=NOW)
            finally:
                os._exit(0)
        children.append(child)
    for child in children:
        os.waitpid(child, 0)
    assert job.read_bytes() == after
    assert only(job.parent) == {"job.xlsx", "job.before.xlsx"}


def test_a_new_file_never_takes_the_place_of_one_that_is_there(job: Path) -> None:
    before = job.read_bytes()
    with pytest.raises(Refused, match="exists"):
        save.create(job, b"new")
    assert job.read_bytes() == before


def saved_at_file_operation(job: Path, nth: int) -> Callable[[], bool]:
    """Have another program save the file at the n-th file operation; give whether it has."""
    left = nth

    def watch(frame: FrameType, event: str, function: Any) -> None:
        nonlocal left
        worker = Path(frame.f_code.co_filename).name in WORKERS
        if worker and event == "c_return" and function.__name__ in OPERATIONS:
            left -= 1
            if left == 0:
                sys.setprofile(None)
                job.write_bytes(b"saved by another program")

    sys.setprofile(watch)
    return lambda: left <= 0


def test_a_save_of_another_program_at_any_file_operation_is_never_lost(job: Path) -> None:
    before = job.read_bytes()
    met = 0
    for nth in range(1, 200):
        job.write_bytes(before)
        saved = saved_at_file_operation(job, nth)
        try:
            save.replace(job, before, b"new", lambda written: None)
        except Refused as refused:
            assert refused.reason == "changed meanwhile"  # noqa: PT017
            met += 1
        finally:
            sys.setprofile(None)
        if not saved():
            break
        assert job.read_bytes() == b"saved by another program", nth
    assert nth < 199
    assert met > 10


def test_a_file_opened_while_its_backup_is_written_is_left_alone(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = job.read_bytes()
    real = Path.replace

    def opened(self: Path, target: Path) -> Path:
        job.with_name(".~lock.job.xlsx#").write_bytes(b",maker,bench,,;")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", opened)
    with pytest.raises(Refused, match="open elsewhere"):
        run(job, now=NOW)
    assert job.read_bytes() == before


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_what_a_killed_run_left_is_removed_by_the_next_and_what_a_living_one_writes_stays(job: Path) -> None:
    child = os.fork()
    if child == 0:
        save.beside(job.resolve(), b"left over")
        os._exit(0)
    os.waitpid(child, 0)
    (left,) = job.parent.glob(".sheetkit-*")
    other = save.beside(job.with_name("other.xlsx").resolve(), b"of another workbook")
    alive = left.with_name(left.name.replace(f"-{child}-", f"-{os.getppid()}-"))
    alive.write_bytes(b"being written")
    run(job, now=NOW)
    assert only(job.parent) == {"job.xlsx", "job.before.xlsx", other.name, alive.name}


def test_a_killed_run_leaves_a_backup_that_the_next_claims_and_no_copy_of_the_makers(job: Path) -> None:
    before = job.read_bytes()
    for nth in range(1, 120):  # killed when the backup is whole, the new file not yet in place
        save.backup_name(job).unlink(missing_ok=True)
        job.write_bytes(before)
        for name in only(job.parent) - {job.name}:
            job.with_name(name).unlink()
        assert not killed_while(job, at_file_operation(nth))
        if job.read_bytes() == before and save.backup_name(job).exists():
            break
    assert len(only(job.parent)) == 3
    assert run(job, now=NOW).backup == save.backup_name(job)
    assert only(job.parent) == {"job.xlsx", "job.before.xlsx"}
    assert save.backup_name(job).read_bytes() == before


def test_a_copy_of_the_makers_from_before_or_long_after_a_killed_run_is_not_claimed(job: Path) -> None:
    left = save.beside(job.resolve(), b"left over")
    left = left.rename(left.with_name(left.name.replace(f"-{os.getpid()}-", "-999999999-")))
    copy = Path(shutil.copy(job, save.backup_name(job)))
    for apart in (-1, 3600):
        when = left.stat().st_mtime + apart
        os.utime(copy, (when, when))
        kept = left.read_bytes(), left.stat().st_mtime
        ours = save.backup_name(job, 2)
        assert run(job, now=NOW).backup == ours
        ours.replace(job)
        left.write_bytes(kept[0])
        os.utime(left, (kept[1], kept[1]))


def test_what_large_entries_hold_is_not_held_twice() -> None:
    photo = os.urandom(PIECE)
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        archive.writestr("photo.png", photo)
        archive.writestr("small.xml", b"<a/>")
    package = Package(data.getvalue())
    package.write("new.xml", b"<b/>")
    pieces = package.pieces()
    assert [type(piece) for piece in pieces if len(piece) >= len(photo)] == [memoryview]
    whole = b"".join(pieces)
    assert pieces.is_same(whole)
    assert not pieces.is_same(whole[:-1])
    assert not pieces.is_same(whole + b"x")
    assert Package(whole).read("photo.png") == photo


def test_a_file_with_several_names_and_a_read_only_one_are_told(job: Path) -> None:
    before = job.read_bytes()
    second = job.with_name("second.xlsx")
    os.link(job, second)
    with pytest.raises(Refused, match="hard link"):
        run(job, now=NOW)
    second.unlink()
    job.chmod(0o444)
    with pytest.raises(Refused, match="read-only"):
        run(job, now=NOW)
    assert job.read_bytes() == before
    assert only(job.parent) == {"job.xlsx"}


def test_the_answers_of_a_private_job_are_private_elsewhere_too(job: Path) -> None:
    job.chmod(0o600)
    run(job, out=job.with_name("other.xlsx"), now=NOW)
    assert stat.S_IMODE(job.with_name("other.xlsx").stat().st_mode) == 0o600


def test_the_backup_keeps_owner_and_attributes(job: Path) -> None:
    owner = 1234 if os.geteuid() == 0 else os.geteuid()
    os.chown(job, owner, -1)
    kept = {}
    with contextlib.suppress(OSError, AttributeError):
        os.setxattr(job, "user.shop", b"bench")
        kept = {"user.shop": b"bench"}
    run(job, now=NOW)
    for path in (job, job.with_name("job.before.xlsx")):
        assert path.stat().st_uid == owner
        for name, value in kept.items():
            assert os.getxattr(path, name) == value


def access_list(*entries: tuple[int, int, int]) -> bytes:
    """Give an access list as Linux keeps it: version 2, then tag, rights and number of each entry."""
    return struct.pack("<I", 2) + b"".join(struct.pack("<HHI", *entry) for entry in entries)


def test_the_access_list_is_kept_on_the_file_its_backup_and_the_next(job: Path) -> None:
    nobody = 0xFFFFFFFF
    # the owner 6, the user 4321 4, the group 4, all of these at most 6, others nothing
    wanted = access_list((1, 6, nobody), (2, 4, 4321), (4, 4, nobody), (16, 6, nobody), (32, 0, nobody))
    try:
        os.setxattr(job, "system.posix_acl_access", wanted)
    except (OSError, AttributeError):
        pytest.skip("this file system keeps no access lists")
    for width in (2.0, 3.0):
        edited(job, width)
        run(job, now=NOW)
        for path in (job, job.with_name("job.before.xlsx")):
            assert os.getxattr(path, "system.posix_acl_access") == wanted


def test_the_workbook_that_is_read_is_never_overwritten_as_a_backup(job: Path) -> None:
    first = job.read_bytes()
    run(job, now=NOW)
    answered, source = job.read_bytes(), job.with_name("job.before.xlsx")
    job.write_bytes(b"something else")  # no longer a workbook that knows of its backup
    assert run(source, out=job, now=NOW).backup == job.with_name("job.before 2.xlsx")
    job.write_bytes(answered)  # a workbook whose backup is read
    outcome = run(source, out=job, now=datetime(2027, 1, 1))
    assert source.read_bytes() == first
    assert not outcome.written or outcome.backup not in (None, source)


@pytest.mark.parametrize("target", ["fifo.xlsx", "folder.xlsx", "full.xlsx", "/"])
def test_a_target_or_source_that_is_no_file_is_refused_with_exit_code_2(job: Path, target: str) -> None:
    os.mkfifo(job.with_name("fifo.xlsx"))
    job.with_name("folder.xlsx").mkdir()
    job.with_name("full.xlsx").symlink_to("/dev/full")
    there = only(job.parent)
    for words in (["run", str(job), "--out"], ["run"], ["client"], ["adopt"], ["new"], ["review"]):
        if words == ["review"] and target in ("/", "folder.xlsx"):
            continue
        result = CliRunner().invoke(main, [*words, str(job.parent / target)])
        assert result.exit_code == 2, words
        assert "Traceback" not in result.output
        assert only(job.parent) == there

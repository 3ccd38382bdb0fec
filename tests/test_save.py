"""Whatever goes wrong while saving, the file is the old one or the new one, whole."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from sheetkit.book import save
from sheetkit.book.workbook import Refused
from sheetkit.flow import run
from tests.jobs import NOW, write

PARTS = "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 30"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return write(tmp_path / "job.xlsx", {"Parts": PARTS})


def only(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


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


@pytest.mark.parametrize(
    ("name", "held", "who"),
    [
        (".~lock.job.xlsx#", b",maker,bench,25.11.2026 08:09,file:///profile;", "open by maker on bench"),
        ("~$job.xlsx", b"\x05Maker" + b" " * 49 + b"\x05\x00" + "Maker".encode("utf-16-le"), "open by Maker"),
    ],
)
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
    assert run(job, force=True, now=NOW).written


def test_a_file_that_changed_meanwhile_is_left_as_it_is_now(job: Path) -> None:
    with pytest.raises(Refused, match="changed meanwhile"):
        save.replace(job, b"what was read before", b"new", lambda written: None)
    assert only(job.parent) == {"job.xlsx"}


def test_a_result_that_does_not_read_back_is_not_put_in(job: Path) -> None:
    before = job.read_bytes()

    def wrong(written: bytes) -> None:
        raise Refused("verification")

    with pytest.raises(Refused, match="verification"):
        save.replace(job, before, b"new", wrong)
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
    (save.shutil, "copymode"),
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
    good = job.with_name("good.xlsx")
    run(job, out=good, now=NOW)
    after = good.read_bytes()
    good.unlink()
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


def test_a_new_file_never_takes_the_place_of_one_that_is_there(job: Path) -> None:
    before = job.read_bytes()
    with pytest.raises(Refused, match="exists"):
        save.create(job, b"new")
    assert job.read_bytes() == before

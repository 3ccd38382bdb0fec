"""Watching: each save is answered once, in the file or beside it, and nothing of the maker's is written over."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import sheetkit
from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Refused
from sheetkit.jobs import watch as watching
from sheetkit.jobs.watch import Turn, answers_name, is_sealed, sealed, watch
from sheetkit.records.messages import REFUSALS
from sheetkit.terminal.cli import main
from sheetkit.terminal.report import turn_line
from tests.jobs import column, pages, read, write
from tests.make_templates import TOP
from tests.office_maker import OfficeMaker

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])


def save(path: Path, length: object) -> bytes:
    """Save a job with one part of a length, as a spreadsheet program does that writes anew and renames."""
    table = f"Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | {length}"
    data = by_ending(path.suffix).render(pages({"Parts": table}))
    aside = path.with_name("aside.tmp")
    aside.write_bytes(data)
    aside.replace(path)
    return data


def blank_length(path: Path) -> object:
    return column(read(path), "Parts", "Blank length")[0]


def lock(path: Path) -> Path:
    """Give the lock file that stands while LibreOffice has a workbook open."""
    return path.with_name(f".~lock.{path.name}#")


def open_in_office(path: Path) -> Path:
    lock(path).write_text(",maker,bench,02.11.2026 09:30,file:///home;", "utf-8")
    return lock(path)


class Watched:
    """A workbook under watch, of which each turn is asked for."""

    def __init__(self, path: Path, **words: Any) -> None:
        self.stop = threading.Event()
        self.turns = watch(path, stop=self.stop, **words)

    def next(self) -> Turn:
        """Give the next turn; none within the time is a fault."""
        timer = threading.Timer(60, self.stop.set)
        timer.start()
        try:
            return next(self.turns)
        except StopIteration:
            pytest.fail("nothing came")
        finally:
            timer.cancel()

    def came(self) -> tuple[str, str]:
        """Give what came of the next turn, and the name of the file with the answers."""
        turn = self.next()
        return turn.came, turn.target.name

    def rest(self, seconds: float = 0.8) -> list[Turn]:
        """Give what still comes within some time, and end."""
        timer = threading.Timer(seconds, self.stop.set)
        timer.start()
        return list(self.turns)


@pytest.fixture(autouse=True)
def _in_haste(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    if "office" not in request.fixturenames:
        monkeypatch.setattr(watching, "QUIET", 0.1)
        monkeypatch.setattr(watching, "PATIENCE", 0.4)
        monkeypatch.setattr(watching, "LOOK_AGAIN", 0.2)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.xlsx"
    save(path, 30)
    return path


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


@FORMATS
def test_each_save_of_a_closed_workbook_is_answered_in_it_and_our_own_writing_is_not_one(
    tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"job{ending}"
    save(path, 30)
    watched = Watched(path)
    assert watched.came() == ("written", path.name)
    assert blank_length(path) == 31
    before = save(path, 40)
    turn = watched.next()
    assert (turn.came, turn.path) == ("written", path)
    assert turn.outcome is not None
    assert (turn.outcome.ok, turn.outcome.written, turn.outcome.path) == (True, True, path)
    assert turn.outcome.backup == path.with_name(f"job.before{ending}").resolve()
    assert blank_length(path) == 41
    assert path.with_name(f"job.before{ending}").read_bytes() == before
    assert watched.rest() == []
    assert names(tmp_path) == {path.name, f"job.before{ending}"}


def test_watching_gives_the_same_bytes_as_a_plain_run_but_for_the_time_of_day(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = job.with_name("other.xlsx")
    other.write_bytes(job.read_bytes())
    assert Watched(job).came() == ("written", "job.xlsx")
    stamp = read(job).notes["stamp"]
    monkeypatch.setattr("sheetkit.jobs.run._stamp", lambda sheet, now: stamp)
    sheetkit.run(other)
    assert other.read_bytes() == job.read_bytes()


def test_an_up_to_date_workbook_is_left_as_it_is(job: Path) -> None:
    sheetkit.run(job)
    before = job.read_bytes()
    watched = Watched(job)
    assert watched.came() == ("up to date", "job.xlsx")
    assert watched.rest() == []
    assert job.read_bytes() == before


def test_what_is_not_the_workbook_is_no_reason_to_work(job: Path) -> None:
    watched = Watched(job)
    watched.next()
    job.with_name("notes.txt").write_text("glue", "utf-8")
    open_in_office(job).unlink()
    os.utime(job)
    assert watched.rest() == []


@FORMATS
@pytest.mark.parametrize("lock_name", [".~lock.job{}#", "~$job{}"])
def test_while_it_is_open_the_answers_go_beside_it_and_into_it_once_it_is_closed(
    tmp_path: Path, ending: str, lock_name: str
) -> None:
    path = tmp_path / f"job{ending}"
    save(path, 30)
    beside = answers_name(path)
    lock_file = tmp_path / lock_name.format(ending)
    watched = Watched(path)
    watched.next()
    lock_file.write_bytes(b"\5maker")
    for length in (40, 50):
        typed = save(path, length)
        assert watched.came() == ("beside", beside.name)
        assert path.read_bytes() == typed
        assert blank_length(beside) == length + 1
    lock_file.unlink()
    assert watched.came() == ("written", path.name)
    assert blank_length(path) == 51
    assert path.with_name(f"job.before{ending}").read_bytes() == typed
    assert watched.rest() == []
    assert names(tmp_path) == {path.name, f"job.before{ending}"}


def test_a_workbook_closed_with_a_last_save_is_answered_once(job: Path) -> None:
    lock_file = open_in_office(job)
    watched = Watched(job)
    assert watched.came()[0] == "beside"
    save(job, 40)
    lock_file.unlink()
    assert watched.came() == ("written", "job.xlsx")
    assert blank_length(job) == 41
    assert watched.rest() == []


def test_a_lock_file_away_for_a_moment_does_not_let_the_answers_in(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(watching, "QUIET", 0.5)
    lock_file = open_in_office(job)
    watched = Watched(job)
    watched.next()
    typed = job.read_bytes()
    words = lock_file.read_bytes()

    def saves() -> None:
        lock_file.unlink()
        time.sleep(0.1)
        lock_file.write_bytes(words)

    maker = threading.Thread(target=saves)
    maker.start()
    assert watched.rest(2) == []
    maker.join()
    assert job.read_bytes() == typed


def test_a_workbook_opened_while_the_answers_are_worked_out_is_not_written(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = job.read_bytes()

    def opened(path: Path, **words: Any) -> object:
        open_in_office(job)
        return sheetkit.run(path, **words)

    monkeypatch.setattr(watching, "run", opened)
    watched = Watched(job)
    assert watched.came() == ("beside", "job.answers.xlsx")
    assert watched.rest() == []
    assert job.read_bytes() == before


@pytest.mark.parametrize("is_open", [False, True])
def test_a_save_while_the_answers_are_worked_out_is_the_one_that_is_answered(
    job: Path, monkeypatch: pytest.MonkeyPatch, is_open: bool
) -> None:
    target = job
    if is_open:
        open_in_office(job)
        target = answers_name(job)
    lengths = iter((40, 50))

    def saved(path: Path, **words: Any) -> object:
        if (length := next(lengths, None)) is not None:
            save(job, length)
        return sheetkit.run(path, **words)

    monkeypatch.setattr(watching, "run", saved)
    watched = Watched(job)
    assert watched.came() == ("beside" if is_open else "written", target.name)
    assert blank_length(target) == 51
    assert watched.rest() == []


def test_a_file_of_the_makers_own_beside_it_is_never_written_over(job: Path) -> None:
    beside = answers_name(job)
    beside.write_bytes(b"the maker's own")
    lock_file = open_in_office(job)
    watched = Watched(job)
    assert watched.came() == ("beside is not ours", beside.name)
    beside.rename(job.with_name("mine.xlsx"))
    assert watched.came() == ("beside", beside.name)
    lock_file.unlink()
    assert watched.came() == ("written", "job.xlsx")
    assert job.with_name("mine.xlsx").read_bytes() == b"the maker's own"


def test_answers_that_the_maker_has_changed_stay(job: Path) -> None:
    beside = answers_name(job)
    lock_file = open_in_office(job)
    watched = Watched(job)
    assert watched.came() == ("beside", beside.name)
    mine = save(beside, 99)
    save(job, 40)
    assert watched.came() == ("beside is not ours", beside.name)
    lock_file.unlink()
    turn = watched.next()
    assert (turn.came, turn.left) == ("written", beside.resolve())
    assert "job.answers.xlsx includes something of yours and stays" in turn_line(turn)
    assert watched.rest() == []
    assert beside.read_bytes() == mine


def test_answers_that_are_open_too_are_made_anew_once_they_are_closed(job: Path) -> None:
    beside = answers_name(job)
    lock_file = open_in_office(job)
    watched = Watched(job)
    watched.next()
    reading = open_in_office(beside)
    before = beside.read_bytes()
    save(job, 40)
    assert watched.came() == ("beside is open", beside.name)
    assert beside.read_bytes() == before
    os.utime(job)  # no reason to say it again
    threading.Timer(0.5, reading.unlink).start()
    assert watched.came() == ("beside", beside.name)
    assert blank_length(beside) == 41
    reading = open_in_office(beside)
    lock_file.unlink()
    assert watched.came() == ("written", "job.xlsx")
    assert beside.exists(), "the maker is reading it"
    reading.unlink()
    assert watched.rest() == []
    assert not beside.exists()


def test_answers_that_are_only_looked_at_are_no_reason_to_work(job: Path) -> None:
    open_in_office(job)
    watched = Watched(job)
    watched.next()
    open_in_office(answers_name(job))
    assert watched.rest() == []


def test_answers_left_beside_it_by_an_earlier_watch_are_known_again(job: Path) -> None:
    lock_file = open_in_office(job)
    first = Watched(job)
    first.next()
    assert first.rest(0) == []
    save(job, 40)
    assert Watched(job).came() == ("beside", "job.answers.xlsx")
    lock_file.unlink()
    assert Watched(job).came() == ("written", "job.xlsx")
    assert not answers_name(job).exists()


@FORMATS
def test_a_seal_holds_until_anything_is_changed(tmp_path: Path, ending: str) -> None:
    data = write(tmp_path / f"a{ending}", {}).read_bytes()
    ours = sealed(data)
    assert not is_sealed(data)
    assert is_sealed(ours)
    assert sealed(ours) == ours
    for place in (0, len(data) // 2, len(data) - 1, len(ours) - 1):
        changed = bytearray(ours)
        changed[place] ^= 1
        assert not is_sealed(bytes(changed)), place
    assert not is_sealed(b"")
    (tmp_path / f"b{ending}").write_bytes(ours)
    assert read(tmp_path / f"b{ending}") == read(tmp_path / f"a{ending}")


def test_the_answers_beside_it_are_no_more_open_to_others_than_the_workbook(job: Path) -> None:
    job.chmod(0o600)
    open_in_office(job)
    Watched(job).next()
    assert answers_name(job).stat().st_mode & 0o777 == 0o600


def test_force_takes_the_lock_that_stands_at_the_start_for_a_leftover_and_no_later_one(job: Path) -> None:
    lock_file = open_in_office(job)
    watched = Watched(job, force=True)
    assert watched.came() == ("written", "job.xlsx")
    lock_file.unlink()
    save(job, 40)
    assert watched.came() == ("written", "job.xlsx")
    open_in_office(job)  # word for word as before
    save(job, 50)
    assert watched.came() == ("beside", "job.answers.xlsx")


def test_a_file_written_in_pieces_is_waited_for(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watching, "PATIENCE", 30)
    watched = Watched(job)
    watched.next()
    whole = save(job.with_name("next.xlsx"), 40)
    pieces = [whole[:1], whole[: len(whole) // 2], whole[:-30], whole]

    def writes() -> None:
        for piece in pieces:
            job.write_bytes(piece)
            time.sleep(0.3)

    maker = threading.Thread(target=writes)
    maker.start()
    assert watched.came() == ("written", "job.xlsx")
    maker.join()
    assert blank_length(job) == 41
    assert watched.rest() == []


def test_a_file_that_stays_half_written_is_said_once(job: Path) -> None:
    watched = Watched(job)
    watched.next()
    half = save(job.with_name("next.xlsx"), 40)[:-30]
    job.write_bytes(half)
    turn = watched.next()
    assert turn.came == "half written"
    assert turn_line(turn).endswith("job.xlsx is not whole: waiting for the rest.")
    os.utime(job)
    threading.Timer(1, save, (job, 50)).start()
    assert watched.came() == ("written", "job.xlsx")


def test_a_file_that_goes_and_comes_back_is_watched_on(job: Path) -> None:
    watched = Watched(job)
    watched.next()
    job.rename(job.with_name("away.xlsx"))
    assert watched.came()[0] == "gone"
    save(job, 40)
    assert watched.came() == ("written", "job.xlsx")


def test_a_save_that_sets_the_old_file_aside_first_is_one_save(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(watching, "QUIET", 0.5)
    watched = Watched(job)
    watched.next()
    save(job.with_name("new.xlsx"), 40)

    def saves() -> None:
        job.rename(job.with_name("1A2B.tmp"))
        time.sleep(0.1)
        job.with_name("new.xlsx").rename(job)
        job.with_name("1A2B.tmp").unlink()

    maker = threading.Thread(target=saves)
    maker.start()
    assert watched.came() == ("written", "job.xlsx")
    maker.join()
    assert watched.rest(1.5) == []
    assert blank_length(job) == 41


def test_things_to_put_right_are_a_line_and_watching_goes_on(job: Path) -> None:
    watched = Watched(job)
    watched.next()
    save(job, "long")
    turn = watched.next()
    assert turn.came == "written"
    assert turn.outcome is not None
    assert not turn.outcome.ok
    assert turn_line(turn)[9:] == (
        "1 thing to put right, see Messages; first Parts!E2: This cannot be read as a length. Written to job.xlsx."
    )
    save(job, 40)
    assert watched.came() == ("written", "job.xlsx")
    assert blank_length(job) == 41


def test_a_refused_workbook_is_a_line_and_watching_goes_on(job: Path) -> None:
    watched = Watched(job)
    watched.next()
    job.write_bytes(b"no workbook")
    turn = watched.next()
    assert turn.came == "refused"
    assert turn_line(turn)[9:] == REFUSALS["not a workbook"]
    save(job, 40)
    assert watched.came() == ("written", "job.xlsx")


def test_a_refused_writing_beside_is_made_up_for_once_the_workbook_is_closed(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*words: object, **more: object) -> None:
        raise Refused("cannot write", "no space")

    monkeypatch.setattr("sheetkit.book.save.create", full)
    lock_file = open_in_office(job)
    watched = Watched(job)
    assert watched.came()[0] == "refused"
    lock_file.unlink()
    assert watched.came() == ("written", "job.xlsx")


def test_a_check_looks_at_each_save_and_writes_nothing_open_or_not(job: Path) -> None:
    watched = Watched(job, check=True)
    assert watched.came()[0] == "checked"
    open_in_office(job)
    typed = save(job, "long")
    turn = watched.next()
    assert turn.came == "checked"
    assert turn_line(turn)[9:] == (
        "1 thing to put right; first Parts!E2: This cannot be read as a length. Nothing was written."
    )
    assert watched.rest() == []
    assert job.read_bytes() == typed
    assert names(job.parent) == {"job.xlsx", lock(job).name}


def test_with_out_the_answers_always_go_there(job: Path) -> None:
    out = job.with_name("other.xlsx")
    watched = Watched(job, out=out)
    assert watched.came() == ("written", "other.xlsx")
    open_in_office(job)
    typed = save(job, 40)
    assert watched.came() == ("written", "other.xlsx")
    assert blank_length(out) == 41
    reading = open_in_office(out)
    save(job, 50)
    assert watched.came() == ("beside is open", "other.xlsx")
    reading.unlink()
    assert watched.came() == ("written", "other.xlsx")
    assert blank_length(out) == 51
    assert watched.rest() == []
    assert Watched(job, out=out).came() == ("up to date", "other.xlsx")
    assert typed != job.read_bytes()
    assert names(job.parent) == {"job.xlsx", "other.xlsx", lock(job).name}


def test_out_is_never_a_file_of_the_makers_own(job: Path) -> None:
    with pytest.raises(Refused, match="exists"):
        watch(job, out=job)
    with pytest.raises(Refused, match="wrong ending"):
        watch(job, out=job.with_suffix(".ods"))
    with pytest.raises(Refused, match="no such file"):
        watch(job.with_name("none.xlsx"))


def test_a_folder_that_cannot_be_watched_is_looked_at_now_and_then(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none_left(*words: object, **more: object) -> Iterator[None]:
        raise OSError("no watches left")

    monkeypatch.setattr("watchfiles.watch", none_left)
    watched = Watched(job)
    watched.next()
    save(job, 40)
    assert watched.came() == ("written", "job.xlsx")
    assert watched.rest() == []


def test_a_link_is_followed(job: Path, tmp_path: Path) -> None:
    (tmp_path / "desk").mkdir()
    link = tmp_path / "desk" / "link.xlsx"
    link.symlink_to(job)
    watched = Watched(link)
    assert watched.came() == ("written", "link.xlsx")
    assert link.is_symlink()
    save(job, 40)
    watched.next()
    assert blank_length(job) == 41


@pytest.mark.skipif(os.name == "nt", reason="signals are sent otherwise there")
def test_the_command_says_a_line_a_save_and_ends_with_exit_code_0_at_ctrl_c(job: Path) -> None:
    program = subprocess.Popen(
        [sys.executable, "-m", "sheetkit.terminal.cli", "run", str(job), "--watch"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        assert program.stdout is not None
        assert program.stdout.readline() == f"Watching {job}: save it as often as you like; Ctrl-C ends.\n"
        assert program.stdout.readline()[8:] == " Bench: 1 part, 0 panels, 1 blank. Written to job.xlsx.\n"
        save(job, 40)
        assert program.stdout.readline().endswith("Written to job.xlsx.\n")
        program.send_signal(signal.SIGINT)
        said, faults = program.communicate(timeout=30)
    finally:
        program.kill()
    assert (said.strip(), faults, program.returncode) == ("", "", 0)


def test_a_watch_that_is_told_to_end_in_the_middle_of_a_layout_writes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "bench.xlsx"
    path.write_bytes((TOP / "examples" / "entry-bench.xlsx").read_bytes())
    before = path.read_bytes()
    watched = Watched(path, effort=300.0)
    began = time.monotonic()
    assert watched.rest(3) == []
    assert time.monotonic() - began < 30
    assert path.read_bytes() == before
    assert names(tmp_path) == {"bench.xlsx"}


def test_the_command_refuses_a_file_that_is_not_there_with_exit_code_2(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["run", str(tmp_path / "none.xlsx"), "--watch"])
    assert result.exit_code == 2
    assert result.output.startswith(f"sheetkit: {REFUSALS['no such file']}")


def test_every_turn_has_its_words(job: Path) -> None:
    beside = answers_name(job)
    for came in ("written", "up to date", "beside", "beside is open", "beside is not ours"):
        assert beside.name in turn_line(Turn(datetime.now(), job, came, beside)), came
    line = turn_line(Turn(datetime(2026, 11, 2, 9, 5), job, "beside", beside))
    assert line == (
        "09:05:00 job.xlsx is open, so written to job.answers.xlsx: close job.xlsx and the answers go into it."
    )


@FORMATS
def test_libreoffice_saving_an_open_workbook_gets_answers_beside_it_and_in_it_once_closed(
    tmp_path: Path, ending: str, office: object
) -> None:
    path = tmp_path / f"job{ending}"
    save(path, 30)
    beside = answers_name(path)
    (tmp_path / "office").mkdir()
    watched = Watched(path)
    assert watched.came() == ("written", path.name)
    maker = OfficeMaker(path, tmp_path / "office")
    try:
        for length in (40, 50):
            maker.save("E2", length)
            typed = path.read_bytes()
            assert watched.came() == ("beside", beside.name)
            assert path.read_bytes() == typed
            assert blank_length(path) == 31, "as LibreOffice has it open"
            assert blank_length(beside) == length + 1
        maker.close()
        assert not lock(path).exists()
        assert watched.came() == ("written", path.name)
    finally:
        maker.end()
    assert blank_length(path) == 51
    assert path.with_name(f"job.before{ending}").read_bytes() == typed
    assert watched.rest(2) == []
    assert names(tmp_path) == {path.name, f"job.before{ending}", "office"}
    # and a workbook opened and closed again with a save at the end
    (tmp_path / "again").mkdir()
    maker = OfficeMaker(path, tmp_path / "again")
    watched = Watched(path)
    try:
        assert watched.came() == ("up to date", path.name)
        maker.save("E2", 60)
        maker.close()
        came = watched.came()
    finally:
        maker.end()
    assert came == ("written", path.name)
    assert blank_length(path) == 61
    assert watched.rest(2) == []

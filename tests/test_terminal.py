"""What a person sees: tables on a terminal, plain lines in a pipe, and no fault on any console."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sheetkit.records.messages import MESSAGES, REFUSALS
from sheetkit.records.problems import problem
from sheetkit.terminal import cli
from sheetkit.terminal import screen as terminal
from sheetkit.terminal.report import problem_table
from sheetkit.terminal.screen import LOOKALIKES, MANY, Table, going_on, plain_lines, show, writable
from tests.jobs import write

TOP = Path(__file__).parent.parent
PLAIN = "Part | Species | Thickness | Width | Length\nLeg | White oak | three | 2 | 30"
ESCAPE = "\x1b"
LINES = "─━│┃┌┐└┘├┤┬┴┼╸╺"
TABLE = Table(
    ("Weight", "Cell", "What it says"),
    (("to put right", "Parts!C2", "This cannot be read as a length."), ("note", "", "3″ × 4″ → ½ [bold]")),
    colors={"to put right": "bold red"},
)


class Screen(io.TextIOWrapper):
    """Standard output as a terminal of some encoding would be."""

    def __init__(self, encoding: str) -> None:
        super().__init__(io.BytesIO(), encoding=encoding, newline="\n")

    def isatty(self) -> bool:
        return True

    def text(self) -> str:
        self.flush()
        held = self.buffer
        assert isinstance(held, io.BytesIO)
        return held.getvalue().decode(self.encoding)


def drawn(
    monkeypatch: pytest.MonkeyPatch, table: Table | str, width: int = 80, encoding: str = "utf-8", **env: str
) -> str:
    """Give what a terminal of this width and encoding shows."""
    for name in ("NO_COLOR", "FORCE_COLOR", "TERM", "COLORTERM", "TTY_COMPATIBLE"):
        monkeypatch.delenv(name, raising=False)
    for name, value in {"TERM": "xterm-256color", "COLUMNS": str(width), **env}.items():
        monkeypatch.setenv(name, value)
    screen = Screen(encoding)
    monkeypatch.setattr(sys, "stdout", screen)
    show([table])
    return screen.text()


def bare(text: str) -> str:
    return re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", text)


def piped(*words: object, **env: str) -> subprocess.CompletedProcess[bytes]:
    """Run a command as a shell does with its output in a pipe."""
    kept = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "FORCE_COLOR")}
    return subprocess.run(
        [sys.executable, "-m", "sheetkit.terminal.cli", *map(str, words)], capture_output=True, cwd=TOP, env=kept | env,
        check=False,
    )  # fmt: skip


def at_a_terminal(width: int, *words: object, **env: str) -> str:
    """Run a command on a terminal of this width, and give what it wrote there."""
    pty, termios = pytest.importorskip("pty"), pytest.importorskip("termios")
    fcntl, struct = pytest.importorskip("fcntl"), pytest.importorskip("struct")
    kept = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "COLUMNS")}
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, width, 0, 0))
    done = subprocess.Popen(
        [sys.executable, "-m", "sheetkit.terminal.cli", *map(str, words)], stdin=theirs, stdout=theirs, stderr=theirs, cwd=TOP,
        env=kept | {"TERM": "xterm-256color", "PYTHONIOENCODING": "utf-8"} | env,
    )  # fmt: skip
    os.close(theirs)
    told = b""
    try:
        while more := os.read(ours, 1 << 16):
            told += more
    except OSError:  # how the end of a terminal shows itself
        pass
    done.wait()
    os.close(ours)
    return told.decode().replace("\r\n", "\n")


def test_a_table_on_a_terminal_has_a_rule_and_color(monkeypatch: pytest.MonkeyPatch) -> None:
    seen = drawn(monkeypatch, TABLE)
    assert "───" in seen
    assert f"{ESCAPE}[1;31mto put right" in seen
    assert "[bold]" in seen  # what stands in a cell is never taken for a command to the terminal


def test_no_color_leaves_the_table_and_takes_every_color(monkeypatch: pytest.MonkeyPatch) -> None:
    seen = drawn(monkeypatch, TABLE, NO_COLOR="1")
    assert ESCAPE not in seen
    assert "───" in seen


def test_an_empty_no_color_does_not_count(monkeypatch: pytest.MonkeyPatch) -> None:
    assert ESCAPE in drawn(monkeypatch, TABLE, NO_COLOR="")


def test_a_dumb_terminal_gets_plain_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    assert drawn(monkeypatch, TABLE, TERM="dumb").splitlines() == plain_lines(TABLE)


@pytest.mark.parametrize("width", [20, 40, 60, 80, 200])
def test_on_no_width_is_a_word_lost_or_a_line_too_long(monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    found = [
        problem("not-a-length", "Parts", 12, 4, "three quarters of an inch"),
        problem("species-unknown", "Parts", 13, 3, "Wite oke", choices="White oak, Water oak"),
        problem("ganged", "Parts", 14, 6, 5, count=4, how="milled in one blank", why="shorter than 12"),
    ]
    seen = bare(drawn(monkeypatch, problem_table(tuple(found)), width))
    assert max(map(len, seen.splitlines())) <= width
    for each in found:
        for word in f"{each.place} {each.stands} {each.says}".split():
            assert word in seen, word


def test_where_columns_find_no_room_they_fall_under_one_another(monkeypatch: pytest.MonkeyPatch) -> None:
    row = ("White oak", "0.00180", "0.00365", "0.68", "1360")
    table = Table(("Species", "Radial", "Tangential", "Gravity", "Hardness"), (row,))
    assert bare(drawn(monkeypatch, table, 70)).splitlines()[-1].split("  ")[0] == "White oak"
    lines = [line.split() for line in bare(drawn(monkeypatch, table, 40)).splitlines()]
    assert lines == [["White", "oak"], ["Radial", "0.00180"], ["Tangential", "0.00365"], ["Gravity", "0.68"],
                     ["Hardness", "1360"]]  # fmt: skip


@pytest.mark.parametrize("encoding", ["cp437", "cp850", "cp1252", "ascii", "latin-1"])
def test_a_terminal_of_an_old_code_page_is_written_to_without_a_fault(
    monkeypatch: pytest.MonkeyPatch, encoding: str
) -> None:
    seen = drawn(monkeypatch, TABLE, encoding=encoding)
    assert '3"' in seen
    assert "->" in seen
    assert not set(seen) & set(LINES)
    assert "?" not in seen


def test_an_old_windows_console_gets_frames_that_it_has(monkeypatch: pytest.MonkeyPatch) -> None:
    from rich import console

    monkeypatch.setattr(console, "detect_legacy_windows", lambda: True)
    seen = drawn(monkeypatch, TABLE, encoding="cp437")
    assert "to put right" in bare(seen)


@pytest.mark.parametrize("sign", sorted(LOOKALIKES))
def test_a_sign_that_is_lacking_is_written_with_plain_ones(sign: str) -> None:
    assert writable(sign, "ascii") == LOOKALIKES[sign]
    assert LOOKALIKES[sign].isascii()
    assert writable(sign, "utf-8") == sign


def test_what_a_maker_typed_cannot_steer_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    nasty = "\x1b[2J\x07two\nlines\r\u202eand\ttabs"
    for seen in (
        drawn(monkeypatch, Table(("a", "b"), (("x", nasty),)), NO_COLOR="1"),
        drawn(monkeypatch, nasty, NO_COLOR="1"),
    ):
        assert ESCAPE not in seen
        assert not set("\x07\r\t\u202e") & set(seen)
    assert len(plain_lines(Table(("a",), ((writable(nasty, "utf-8"),),)))) == 2


def test_a_plain_row_is_one_line_that_programs_can_divide() -> None:
    table = Table(("Species", "Radial", "Note"), (("White oak", "0.00180", ""), ("Ash", "", "x" * 90)),
                  numbers=frozenset({1}))  # fmt: skip
    assert [re.split(" {2,}", line) for line in plain_lines(table)] == [
        ["Species", "Radial", "Note"], ["White oak", "0.00180", "-"], ["Ash", "-", "x" * 90],
    ]  # fmt: skip


def test_a_very_long_table_is_written_plainly_rather_than_drawn_for_seconds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rows = tuple((str(number), "y") for number in range(MANY + 1))
    began = time.perf_counter()
    seen = drawn(monkeypatch, Table(("x", "y"), rows))
    assert time.perf_counter() - began < 1
    assert len(seen.splitlines()) == MANY + 2


def test_a_piped_run_has_no_color_no_frame_and_one_row_for_each_problem(tmp_path: Path) -> None:
    path = write(tmp_path / "job.xlsx", {"Parts": PLAIN})
    done = piped("run", path, "--check", PYTHONIOENCODING="utf-8")
    text = done.stdout.decode()
    assert done.returncode == 1
    assert done.stderr == b""
    assert ESCAPE not in text
    assert not set(text) & set(LINES)
    assert len([line for line in text.splitlines() if "Parts!C2" in line]) == 1


@pytest.mark.parametrize(
    "words",
    [["species", "white", "oak"], ["species", "--climate"], ["run", "{job}", "--check"], ["new", "{new}"]],
)
def test_a_piped_command_does_not_load_the_drawing_library(tmp_path: Path, words: list[str]) -> None:
    job = write(tmp_path / "job.xlsx", {"Parts": PLAIN})
    words = [word.format(job=job, new=tmp_path / "new.xlsx") for word in words]
    code = (
        "import sys\nfrom sheetkit.terminal.cli import main\n"
        f"try:\n    main({words!r})\nfinally:\n    assert 'rich' not in sys.modules, 'rich is loaded'"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=TOP, check=False)
    assert "rich is loaded" not in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("encoding", ["cp437", "cp1252", "ascii"])
def test_a_pipe_of_an_old_code_page_is_written_to_without_a_fault(tmp_path: Path, encoding: str) -> None:
    path = write(tmp_path / "job.xlsx", {"Parts": PLAIN.replace("three", "3″ × ☃ → ‖")})
    done = piped("run", path, "--check", PYTHONIOENCODING=encoding)
    assert done.returncode == 1, done.stderr
    row = next(line for line in done.stdout.decode(encoding).splitlines() if "Parts!C2" in line)
    assert '3"' in row
    assert "-> ||" in row
    refused = piped("species", "☃", PYTHONIOENCODING=encoding, PYTHONUTF8="1")
    assert refused.returncode == 2
    assert b"No species of this name" in refused.stderr
    for command in ("", *cli.main.commands):
        assert piped(*filter(None, [command]), "--help", PYTHONIOENCODING=encoding).returncode == 0


def test_a_run_on_a_narrow_terminal_wraps_at_words_and_loses_none(tmp_path: Path) -> None:
    path = write(tmp_path / "job.xlsx", {"Parts": PLAIN})
    seen = bare(at_a_terminal(40, "run", path, "--check"))
    assert max(map(len, seen.splitlines())) <= 40
    flat = " ".join(seen.split())
    assert "Where Parts!C2 In the cell three What is wrong This cannot be read as a length." in flat
    assert "Nothing was calculated: put right what is marked above, then run again." in flat


def test_help_on_a_narrow_terminal_stays_inside_it() -> None:
    seen = at_a_terminal(40, "run", "--help")
    assert max(map(len, seen.splitlines())) <= 40


def test_a_refusal_on_a_terminal_wraps_at_words() -> None:
    seen = bare(at_a_terminal(40, "run", "nothing.xlsx"))
    assert max(map(len, seen.splitlines())) <= 40
    assert f"sheetkit: {REFUSALS['no such file']} (nothing.xlsx)" in " ".join(seen.split())


def test_work_that_takes_long_is_shown_on_one_line_that_goes_away(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setattr(terminal, "PATIENCE", 0.01)
    screen = Screen("cp437")
    monkeypatch.setattr(sys, "stderr", screen)
    with going_on("Working out a ☃ bench with a very long name.xlsx") as tell:
        assert tell is not None
        time.sleep(0.15)
        tell("White oak, [4/4]", 0.5)
        time.sleep(0.15)
        tell("White oak, [4/4]", 1.0)
        time.sleep(0.15)
    seen = screen.text()
    frames = [bare(frame) for frame in re.split(r"\r|\n", seen)]
    assert any("Working out a ?" in frame for frame in frames)
    assert any("White oak, [4/4]" in frame for frame in frames)
    assert "Working" in [frame for frame in frames if frame.strip()][-1]  # not stuck at the step that is done
    assert max(map(len, frames)) <= 40
    assert seen.rstrip("\n").endswith(f"{ESCAPE}[2K")  # the line is wiped


def test_quick_work_shows_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    screen = Screen("utf-8")
    monkeypatch.setattr(sys, "stderr", screen)
    with going_on("Working"):
        pass
    assert screen.text() == ""


@pytest.mark.parametrize("why", ["piped", "dumb"])
def test_nobody_is_shown_work_where_nobody_looks(monkeypatch: pytest.MonkeyPatch, why: str) -> None:
    screen = Screen("utf-8") if why == "dumb" else io.TextIOWrapper(io.BytesIO())
    monkeypatch.setenv("TERM", "dumb" if why == "dumb" else "xterm")
    monkeypatch.setattr(terminal, "PATIENCE", 0.0)
    monkeypatch.setattr(sys, "stderr", screen)
    with going_on("Working") as tell:
        assert tell is None
        time.sleep(0.05)
    screen.flush()
    held = screen.buffer
    assert isinstance(held, io.BytesIO)
    assert held.getvalue() == b""


def test_work_that_fails_leaves_no_line_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(terminal, "PATIENCE", 0.0)
    screen = Screen("utf-8")
    monkeypatch.setattr(sys, "stderr", screen)
    with pytest.raises(ZeroDivisionError), going_on("Working"):
        time.sleep(0.1)
        _ = 1 / 0
    assert f"{ESCAPE}[?25h" in screen.text()  # the cursor is shown again


TO_DO = {"Add", "Put", "See", "Take", "Empty", "List", "Allow", "Choose", "Clear", "Close", "Copy", "Correct", "Delete", "Exchange", "Fill", "Give", "Install", "Leave", "Look", "Make",
         "Measure", "Mend", "Move", "Open", "Remove", "Rename", "Run", "Save", "Set", "Split", "Stop", "Widen",
         "Write"}  # fmt: skip


@pytest.mark.parametrize("reason", REFUSALS)
def test_every_refusal_says_what_is_wrong_and_then_what_to_do(reason: str) -> None:
    wrong, *what_to_do = re.split(r"(?<=[.!]) (?=[A-Z])", REFUSALS[reason])
    assert len(wrong.split()) > 3
    assert what_to_do
    assert what_to_do[0].split()[0] in TO_DO
    assert REFUSALS[reason].endswith((".", ".xlsx.", "mm."))


@pytest.mark.parametrize("code", [code for code, each in MESSAGES.items() if each.weight == "error"])
def test_every_error_says_what_to_do(code: str) -> None:
    assert MESSAGES[code].instead.split()[0] in TO_DO

"""Without a terminal: the file beside a workbook is really started here, those of other systems are read as text."""

from __future__ import annotations

import os
import pty
import re
import select
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner

from sheetkit.book import starter as starters
from sheetkit.book.starter import starter
from sheetkit.jobs import starter as jobs
from sheetkit.records.messages import REFUSALS
from sheetkit.terminal.cli import main
from tests.jobs import column, read, write
from tests.make_templates import TOP

ON_LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="starts what Linux starts")
PLAIN = {"Parts": "Part | Qty | Species | Thickness | Width | Length\nLeg | 4 | White oak | 1 | 2 | 30"}
ODD = """it's a $(touch gone) `job` & "more" %PATH% ä"""
"""A folder's name that a careless script would take to pieces."""


def call(*words: object) -> tuple[int, str]:
    result = CliRunner().invoke(main, list(map(str, words)))
    return result.exit_code, " ".join(result.output.split())


class Window:
    """A window in which a file runs, as a file manager opens it: what is said there, and keys pressed."""

    def __init__(self, *words: object, **env: str) -> None:
        self.screen, theirs = pty.openpty()
        plain = {key: word for key, word in os.environ.items() if not key.endswith("DISPLAY")}
        self.process = subprocess.Popen(
            ["setsid", "--ctty", *map(str, words)], stdin=theirs, stdout=theirs, stderr=theirs, cwd="/",
            env=plain | {"TERM": "xterm", "NO_COLOR": "1", "COLUMNS": "100"} | env,
        )  # fmt: skip
        os.close(theirs)
        self.said = ""

    def until(self, words: str, seconds: float = 60) -> str:
        end = time.monotonic() + seconds
        while words not in " ".join(self.said.split()):
            assert time.monotonic() < end, self.said
            if select.select([self.screen], [], [], 0.1)[0]:
                try:
                    read = os.read(self.screen, 4096)
                except OSError:  # closed
                    pytest.fail(f"{words!r} was not said: {self.said}")
                self.said += re.sub("\x1b\\[[0-9;?]*[A-Za-z]", "", read.decode("utf-8", "replace"))
        return " ".join(self.said.split())

    def types(self, keys: str) -> None:
        os.write(self.screen, keys.encode())

    def ends(self) -> int:
        """Press Enter once what was said could be read, and give the exit code."""
        self.until("Press Enter to close this window.")
        assert self.process.poll() is None
        self.types("\n")
        code = self.process.wait(30)
        os.close(self.screen)
        return code


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A folder with a job and its starter."""
    folder = tmp_path / ODD
    folder.mkdir()
    path = write(folder / "bench.xlsx", PLAIN)
    (path.with_name("notes.txt")).write_text("pine", "utf-8")
    assert call("open", path, "--starter")[0] == 0
    return folder


@pytest.fixture
def program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of programs on the path, before all others."""
    folder = tmp_path / "programs"
    folder.mkdir()
    monkeypatch.setenv("PATH", f"{folder}{os.pathsep}{os.environ['PATH']}")
    return folder


def put(path: Path, text: str) -> None:
    path.write_text(f"#!/bin/sh\n{text}\n", "utf-8")
    path.chmod(0o755)


def lines_of(path: Path) -> list[str]:
    """Give the lines of a file that another program is to write."""
    for _ in range(600):
        if path.exists() and (text := path.read_text("utf-8")).endswith("\n"):
            return text.splitlines()
        time.sleep(0.1)
    pytest.fail(f"{path.name} was not written")


@ON_LINUX
def test_a_double_click_works_out_the_workbook_beside_it_opens_it_and_leaves_the_words_to_be_read(
    shop: Path, program: Path
) -> None:
    put(program / "xdg-open", f'echo "$1" >>{program}/opened')
    window = Window(shop / "Work out.sh", DISPLAY=":none")
    said = window.until("Press Enter")
    assert "4 parts" in said
    assert "Written to" in said
    assert column(read(shop / "bench.xlsx"), "Parts", "Blank length") == [31]
    assert window.ends() == 0
    assert lines_of(program / "opened") == [str(shop / "bench.xlsx")]
    assert not any((folder / "gone").exists() for folder in (shop, Path("/"), TOP))


@ON_LINUX
def test_a_folder_may_be_moved_and_a_starter_copied_into_another(shop: Path, tmp_path: Path) -> None:
    moved = tmp_path / "moved here"
    shop.rename(moved)
    other = tmp_path / "-next"
    other.mkdir()
    write(other / "table.ods", PLAIN)
    shutil.copy(moved / "Work out.sh", other)
    for folder, name in ((moved, "bench.xlsx"), (other, "table.ods")):
        window = Window(folder / "Work out.sh")
        assert f"Now open {name} in your spreadsheet program." in window.until("Press Enter")
        assert window.ends() == 0
        assert column(read(folder / name), "Parts", "Blank length") == [31]


@ON_LINUX
def test_what_is_to_be_put_right_is_said_and_so_is_a_refusal(shop: Path) -> None:
    write(shop / "bench.xlsx", {"Parts": PLAIN["Parts"].replace("| 30", "| long")})
    window = Window(shop / "Work out.sh")
    assert "put right what is marked above" in window.until("Press Enter")
    assert window.ends() == 1
    (shop / ".~lock.bench.xlsx#").write_text(",maker,bench,,;", "utf-8")
    window = Window(shop / "Work out.sh")
    assert REFUSALS["open elsewhere"] in window.until("Press Enter")
    assert window.ends() == 2


@ON_LINUX
def test_of_several_workbooks_one_is_asked_for_and_copies_of_ours_are_not_among_them(shop: Path) -> None:
    table = write(shop / "table.ods", PLAIN)
    os.utime(shop / "bench.xlsx", (1, 1))
    assert call("run", table)[0] == 0
    write(shop / "bench.before.xlsx", PLAIN)
    write(shop / "budget.xlsx", {"Job": "", "Prices": "", "Rent": "Rent | 900"})
    window = Window(shop / "Work out.sh")
    said = window.until("Number of the one to work out")
    assert re.search(r"1 table\.ods .* 2 bench\.xlsx", said)
    assert "before" not in said
    assert "budget" not in said
    window.types("2\n")
    assert "Written to" in window.until("Press Enter")
    assert window.ends() == 0
    assert column(read(shop / "bench.xlsx"), "Parts", "Blank length") == [31]


@ON_LINUX
def test_a_workbook_that_is_dropped_on_it_is_worked_out(shop: Path, tmp_path: Path) -> None:
    dropped = write(tmp_path / "a b.ods", PLAIN)
    window = Window(shop / "Work out.sh", dropped)
    assert window.ends() == 0
    assert column(read(dropped), "Parts", "Blank length") == [31]
    assert "Blank length" not in str(read(shop / "bench.xlsx"))


@ON_LINUX
def test_one_that_waits_works_out_at_each_save_until_its_window_is_closed(shop: Path) -> None:
    assert call("open", shop, "--starter", "--watch")[0] == 0
    window = Window(shop / "Work out at each save.sh")
    window.until("Written to bench.xlsx.")
    write(shop / "bench.xlsx", {"Parts": PLAIN["Parts"].replace("| 4 |", "| 5 |")})
    window.until("5 parts")
    window.types("\x03")
    assert window.ends() == 0


@ON_LINUX
def test_without_a_window_it_opens_one(shop: Path, program: Path) -> None:
    """A file manager that only starts it leaves it without a window: the first terminal that is there gives one."""
    code = "import pty, sys; pty.spawn(sys.argv[1:])"
    put(program / "xdg-terminal-exec", f"echo x | {sys.executable} -c '{code}' \"$@\" >{program}/seen")
    done = subprocess.run(
        [shop / "Work out.sh"], stdin=subprocess.DEVNULL, capture_output=True, cwd="/", check=False,
        env=os.environ | {"DISPLAY": ":none"},
    )  # fmt: skip
    assert done.returncode == 0
    assert "Press Enter" in (program / "seen").read_text("utf-8")
    assert column(read(shop / "bench.xlsx"), "Parts", "Blank length") == [31]


@ON_LINUX
@pytest.mark.parametrize("watch", [False, True])
def test_where_there_is_no_window_at_all_the_words_are_shown_as_a_text(
    shop: Path, program: Path, watch: bool
) -> None:
    assert call("open", shop, "--starter", *(["--watch"] if watch else []))[0] == 0
    put(program / "xdg-open", f'cat "$1" >{program}/shown')
    env = {key: word for key, word in os.environ.items() if not key.endswith("DISPLAY")}
    name = "Work out at each save.sh" if watch else "Work out.sh"
    done = subprocess.run(
        [shop / name], stdin=subprocess.DEVNULL, capture_output=True, env=env | {"TMPDIR": str(program)}, check=False,
    )  # fmt: skip
    assert done.returncode == 0
    assert "4 parts" in (program / "shown").read_text("utf-8")


@ON_LINUX
@pytest.mark.parametrize(
    "python", ["/nowhere/python", "/usr/bin/false"], ids=["no Python", "a Python without it"]
)
def test_when_sheetkit_is_gone_it_says_so_in_plain_words(tmp_path: Path, python: str) -> None:
    path = tmp_path / "Work out.sh"
    starters.put(path, starter("linux", python, tmp_path / "gone", watch=False))
    window = Window(path)
    said = window.until("Press Enter")
    assert said.startswith(f"sheetkit is no longer where it was when this file was made: {python}")
    assert "Install it again" in said
    assert window.ends() == 2


def test_a_new_workbook_gets_its_starter_and_an_earlier_one_of_ours_is_renewed(tmp_path: Path) -> None:
    name = starters.name_of(jobs.system(), watch=False)
    for job in ("one.xlsx", "two.ods"):
        code, said = call("new", tmp_path / job, "--starter")
        assert code == 0
        assert f"Made {tmp_path / name}: a double click on it works out the workbook in its folder." in said
        assert os.access(tmp_path / name, os.X_OK)


@pytest.mark.parametrize(
    "theirs",
    [b"", b"my own script\n", starter("linux", "p", Path("e"), watch=False).replace(b"Press", b"Hit"), b"x" * 50_000],
    ids=["empty", "theirs", "ours, changed", "large"],
)  # fmt: skip
def test_what_is_not_ours_is_never_written_over(tmp_path: Path, theirs: bytes) -> None:
    place = tmp_path / starters.name_of(jobs.system(), watch=False)
    place.write_bytes(theirs)
    for words in (("new", tmp_path / "job.xlsx", "--starter"), ("open", tmp_path, "--starter")):
        code, said = call(*words)
        assert (code, REFUSALS["starter is not ours"] in said) == (2, True)
    assert place.read_bytes() == theirs
    assert [each.name for each in tmp_path.iterdir()] == [place.name]
    place.unlink()
    place.mkdir()
    assert call("open", tmp_path, "--starter")[0] == 2


def test_a_folder_without_a_job_or_with_several_and_a_workbook_of_something_else_are_told(
    tmp_path: Path,
) -> None:
    code, said = call("open", tmp_path)
    assert (code, REFUSALS["no job in the folder"] in said) == (2, True)
    budget = write(tmp_path / "budget.xlsx", {"Job": "", "Prices": "", "Rent": "Rent | 900"})
    before = budget.read_bytes()
    assert REFUSALS["no job in the folder"] in call("open", tmp_path)[1]
    code, said = call("open", budget)
    assert (code, REFUSALS["no job in it"] in said, budget.read_bytes()) == (2, True, before)
    for name in ("one.xlsx", "two.ods"):
        write(tmp_path / name, PLAIN)
    code, said = call("open", tmp_path)
    assert (code, REFUSALS["several jobs"] in said, "one.xlsx" in said and "two.ods" in said) == (
        2,
        True,
        True,
    )
    assert call("open", tmp_path / "nothing.xlsx")[0] == 2
    (tmp_path / "one.xlsx").unlink()
    code, said = call("open", tmp_path)
    assert (code, "Written to" in said) == (0, True)


def test_the_windows_form_quotes_its_paths_and_waits_for_a_key() -> None:
    """As text; it was not started on Windows."""
    python = r"C:\Users\A & B\100% oak's\ä\Scripts\python.exe"
    text = starter("windows", python, Path(r"C:\there"), watch=True).decode("utf-8")
    assert text.count("\r\n") == text.count("\n")
    lines = text.splitlines()
    assert lines[0] == "@echo off"
    assert lines.index("chcp 65001 >nul") < lines.index(
        'set "python=C:\\Users\\A & B\\100%% oak\'s\\ä\\Scripts\\python.exe"'
    )
    assert '"%python%" -m sheetkit open "%what%" --watch' in lines
    assert 'if not defined what set "what=%~dp0."' in lines
    assert lines[lines.index("if errorlevel 1 goto gone") - 1].startswith('"%python%" -c "import sheetkit')
    assert lines[-3:-1] == ["pause", "exit /b"]
    assert "@" not in text[1:]
    assert "!" not in text


def test_the_macos_form_is_what_its_shell_reads_and_is_started_in_a_window(tmp_path: Path) -> None:
    """As text, and by the shell of this machine; it was not started on macOS."""
    assert starters.name_of("macos", watch=False).endswith(".command")
    path = tmp_path / "Work out.command"
    starters.put(path, starter("macos", '/Users/o\'k "x" $HOME/python', Path("/there"), watch=False))
    assert path.read_text("utf-8").startswith("#!/bin/sh\n")
    assert subprocess.run(["sh", "-n", path], check=False).returncode == 0
    assert """python='/Users/o'"'"'k "x" $HOME/python'""" in path.read_text("utf-8")


def test_the_job_tab_alone_makes_a_job(tmp_path: Path) -> None:
    write(tmp_path / "begun.ods", {"Prices": ""})
    assert jobs.workbooks_of_jobs(tmp_path) == [tmp_path / "begun.ods"]


def test_the_readme_shows_each_way_without_a_terminal_with_a_small_picture() -> None:
    shown = re.findall(
        r"!\[([^\]]{20,})\]\((examples/screens/[^)]+)\)", (TOP / "README.md").read_text("utf-8")
    )
    pictures = sorted((TOP / "examples" / "screens").iterdir())
    assert sorted(path for _, path in shown) == [path.relative_to(TOP).as_posix() for path in pictures]
    assert sum(path.stat().st_size for path in pictures) < 40_000

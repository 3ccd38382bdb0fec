"""The menu in LibreOffice Calc, put in by the command itself and used in the real program, without a window."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from io import BytesIO
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest
from click.testing import CliRunner

from sheetkit.book import office as office_of
from sheetkit.book.extension import extension
from sheetkit.book.formats import by_ending
from sheetkit.jobs.shop_rack import rack_listing
from sheetkit.records.messages import KINDS, PROBLEM_HEADINGS, REFUSALS
from sheetkit.terminal.cli import main
from tests.jobs import BENCH, page, read, write
from tests.there import there

CLIENT = Path(__file__).with_name("at_calc.py")
TOP = Path(__file__).parent.parent.parent
PLAIN = {"Parts": "Part | Qty | Species | Thickness | Width | Length\nLeg | 4 | White oak | 1 | 2 | 30"}
MANAGER = """#!/bin/sh
for last; do :; done
[ -f "$last" ] && chmod -R a+rX "$(dirname "$last")"
HOME={home} exec {who} {program} "$@" -env:UserInstallation={profile}
"""
"""The extension manager in a profile of its own, and, as it serves no superuser, as another user."""
FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
Came = list[dict[str, Any]]
Engine = Mapping[str, Any]
"""What the menu is told of sheetkit in place of what is so."""
AS_IT_IS: Engine = MappingProxyType({})


def office_python() -> str:
    """A Python that has uno; forbidden to skip where the office program must be there."""
    python = "/usr/bin/python3"
    has = (
        subprocess.run([python, "-c", "import uno"], capture_output=True, check=False)
        if Path(python).exists()
        else None
    )
    if has is None or has.returncode or office_of.extension_manager() is None:
        if os.environ.get("SHEETKIT_NEEDS_OFFICE"):
            pytest.fail(
                "LibreOffice's Python bridge (python3-uno) is not installed, and these tests must not be skipped here"
            )
        pytest.skip("LibreOffice's Python bridge is not installed")
    return python


class Calc:
    """A profile into which ``sheetkit menu install`` has put the menu."""

    def __init__(self, home: Path) -> None:
        self.python, self.home, self.profile = office_python(), home, home / "profile"
        self.running: dict[str, subprocess.Popen[bytes]] = {}
        home.chmod(0o755)
        who = ""
        if os.geteuid() == 0:
            who = "setpriv --reuid=4321 --regid=4321 --clear-groups"
        manager = home / "unopkg"
        manager.write_text(
            MANAGER.format(home=home, who=who, program=shutil.which("unopkg"), profile=self.profile.as_uri())
        )
        manager.chmod(0o755)

    def command(self, *words: str) -> str:
        path = f"{self.home}{os.pathsep}{os.environ['PATH']}"
        for each in (self.home, *self.home.rglob("*")) if os.geteuid() == 0 else ():
            os.chown(each, 4321, 4321, follow_symlinks=False)
        done = subprocess.run(
            [sys.executable, "-m", "sheetkit", "menu", *words], cwd=TOP, env=os.environ | {"PATH": path},
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stdout + done.stderr
        return " ".join(done.stdout.split())

    def started(self, *words: str, **env: str) -> str:
        """Start the program on a copy of the profile, and give the name of the pipe on which it listens."""
        pipe = f"sheetkit{os.getpid()}{time.monotonic_ns()}"
        shutil.copytree(self.profile, self.home / pipe)
        self.running[pipe] = subprocess.Popen(
            [there(office_of.office_program()), f"-env:UserInstallation={(self.home / pipe).as_uri()}", "--norestore",
             "--nologo", f"--accept=pipe,name={pipe};urp;", *words],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=office_of.own_environment() | env, start_new_session=True,
        )  # fmt: skip
        return pipe

    def end(self) -> None:
        """End every program that was started."""
        for process in self.running.values():
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)
            process.wait()
        self.running.clear()

    def client(self, pipe: str, *steps: tuple[Any, ...], engine: Engine, **env: str) -> Came:
        """Take some steps at a running program, and give how each entry of the menu came out."""
        done = subprocess.run(
            [self.python, CLIENT, pipe, json.dumps([("engine", {**engine}), *steps])],
            capture_output=True, text=True, timeout=300, check=False, env=os.environ | env,
        )  # fmt: skip
        if not done.stdout:
            self.end()
            pytest.fail(done.stderr)
        came: Came = json.loads(done.stdout)
        return came

    def does(self, *steps: tuple[Any, ...], engine: Engine = AS_IT_IS) -> Came:
        """Take some steps at a program without a window."""
        pipe = next(iter(self.running), None) or self.started("--headless")
        return self.client(pipe, *steps, ("leave",), engine=engine)

    def seen(self, screen: str, path: Path, *steps: tuple[Any, ...], engine: Engine = AS_IT_IS) -> Came:
        """Start the program in a window on a screen with a workbook in front, and take some steps."""
        pipe = self.started(str(path), DISPLAY=screen, SAL_USE_VCLPLUGIN="gen")
        found = self.client(pipe, ("join",), ("window", path.name), *steps, engine=engine, DISPLAY=screen)
        self.end()
        return found


@contextmanager
def unseen_screen() -> Iterator[str]:
    """Give the name of a screen that nobody sees, with a window manager."""
    reader, writer = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writer), "-screen", "0", "1280x800x24"], pass_fds=[writer],
        stderr=subprocess.DEVNULL,
    )  # fmt: skip
    os.close(writer)
    with os.fdopen(reader) as told:
        display = f":{told.readline().strip()}"
    manager = subprocess.Popen(
        ["openbox"],
        env=os.environ | {"DISPLAY": display},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        yield display
    finally:
        for each in (manager, server):
            each.terminate()
            each.wait(10)


@contextmanager
def installed() -> Iterator[Calc]:
    """Give a Calc with the menu, in a home of its own, from which it is removed in the end."""
    with tempfile.TemporaryDirectory(prefix="sheetkit-menu-") as home:
        calc = Calc(Path(home))
        assert (
            calc.command("install")
            == "The menu Sheetkit stands in LibreOffice Calc when LibreOffice is started next."
        )
        try:
            yield calc
        finally:
            calc.end()


@pytest.fixture(scope="module")
def calc() -> Iterator[Calc]:
    with installed() as calc:
        yield calc


@FORMATS
def test_a_job_is_saved_worked_out_and_loaded_again_with_tab_cell_and_zoom_kept(
    calc: Calc, tmp_path: Path, ending: str
) -> None:
    path = write(tmp_path / f"job{ending}", PLAIN)
    cells = there(read(path).page("Parts")).cells
    heading = next(address for address, cell in cells.items() if cell.value == "Qty")
    qty = f"{chr(64 + heading[1])}{heading[0] + 1}"
    worked, again, bad, messages, right = calc.does(
        ("open", path.as_uri(), {}),
        ("go", "Parts", qty, 80),
        ("type", "Parts", qty, "6"),
        ("choose", "work-out"),
        ("choose", "work-out"),
        ("type", "Parts", qty, "many"),
        ("choose", "work-out"),
        ("choose", "messages"),
        ("type", "Parts", qty, "8"),
        ("choose", "work-out"),
    )
    for each in (worked, again, bad, messages, right):
        assert each["done"]
        assert (each["tab"], each["cell"], each["zoom"], each["modified"]) == (
            "Parts", f"$Parts.${qty[0]}${qty[1:]}", 80, False,
        )  # fmt: skip
        assert {"Summary", "Lumber", "Shop sheet", "Messages"} <= set(each["tabs"])
    assert worked["says"].startswith("Worked out.")
    assert again["says"].startswith("Everything is up to date.")
    assert bad["says"] == "1 thing to put right first: nothing was calculated."
    assert (bad["lines"][0]["tab"], bad["lines"][0]["cell"]) == ("Parts", qty)
    assert messages["lines"] == bad["lines"]
    assert right["says"].startswith("Worked out.")
    import sheetkit

    found = sheetkit.run(path, check=True)
    assert found.answers is not None
    assert [part.qty for part in found.answers.job.parts] == [8]


@pytest.fixture
def screen() -> Iterator[str]:
    if missing := [each for each in ("Xvfb", "openbox", "xdotool") if shutil.which(each) is None]:
        if os.environ.get("SHEETKIT_NEEDS_OFFICE"):
            pytest.fail(f"not installed, and this test must not be skipped here: {missing}")
        pytest.skip(f"not installed: {missing}")
    with unseen_screen() as display:
        yield display


@FORMATS
def test_in_a_window_the_menu_is_used_by_keys_alone_and_a_line_leads_to_its_cell(
    calc: Calc, screen: str, tmp_path: Path, ending: str
) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PLAIN["Parts"].replace("| 30", "| long")})
    rows = there(read(path).page("Parts"))
    row, column = next(address for address, cell in rows.cells.items() if cell.value == "Qty")
    qty = f"$Parts.${chr(64 + column)}${row + 1}"
    (found,) = calc.seen(
        screen, path,
        ("keys", "key", *["ctrl+Next"] * read(path).pages.index(rows), "ctrl+Home"),
        ("keys", "key", *["Right"] * (column - 1), *["Down"] * row),
        ("until", {"tab": "Parts", "cell": qty}),
        ("keys", "type", "many"),  # and no Enter: what is being typed counts too
        ("keys", "key", "alt+k", "w"),
        ("window", "sheetkit: messages"),
        ("keys", "key", "Down", "Down"),  # the second line is that of Length
        ("until", {"cell": f"$Parts.$F${row + 1}"}),
        ("keys", "key", "Escape"),
        ("window", f"job{ending}"),
        ("look",),
    )  # fmt: skip
    assert "Messages" in found["tabs"]
    assert there(read(path).page("Parts")).cells[row + 1, column].value == "many"


def test_a_check_saves_nothing_and_keeps_what_can_be_taken_back(calc: Calc, tmp_path: Path) -> None:
    path = write(tmp_path / "job.ods", PLAIN)
    before = path.read_bytes()
    found, none_yet = calc.does(
        ("open", path.as_uri(), {}),
        ("type", "Parts", "A40", "Rail"),
        ("choose", "check"),
        ("choose", "messages"),
    )
    assert "to put right first" in found["says"]
    assert {line["cell"][1:] for line in found["lines"] if line["kind"] == "to put right"} == {"40"}
    assert found["modified"]
    assert found["undo"] == none_yet["undo"] == 1
    assert none_yet["says"] == "This workbook has no messages yet: choose Work out first."
    assert path.read_bytes() == before


def test_a_check_of_what_is_not_saved_yet_finds_the_rack_beside_the_workbook(
    calc: Calc, tmp_path: Path
) -> None:
    rack_listing(tmp_path / "rack.ods")
    path = write(tmp_path / "job.ods", {"Job": f"{BENCH.rstrip()}\n    Rack | rack.ods", **PLAIN})
    (found,) = calc.does(("open", path.as_uri(), {}), ("type", "Prices", "H40", "mine"), ("choose", "check"))
    assert found["modified"]
    assert not [line for line in found["lines"] if line["kind"] == "to put right"], found["lines"]


def test_the_clients_copy_is_written_beside_the_workbook(calc: Calc, tmp_path: Path) -> None:
    path = write(tmp_path / "job.ods", PLAIN)
    early, _, copy = calc.does(
        ("open", path.as_uri(), {}), ("choose", "client"), ("choose", "work-out"), ("choose", "client")
    )
    assert not early["done"]
    assert REFUSALS["no quote"] in " ".join(early["says"].split())
    assert copy["done"]
    assert "the quote alone" in copy["says"]
    assert (tmp_path / "job.client.ods").exists()


def test_documents_that_are_not_the_makers_to_write_get_a_clear_word(calc: Calc, tmp_path: Path) -> None:
    own, text = write(tmp_path / "own.ods", PLAIN), tmp_path / "list.csv"
    text.write_text("Part,Qty\nLeg,4\n")
    before = own.read_bytes()
    new, foreign, fixed, shared, ours = calc.does(
        ("open", "private:factory/scalc", {}), ("choose", "work-out"), ("close",),
        ("open", text.as_uri(), {}), ("choose", "work-out"), ("close",),
        ("open", own.as_uri(), {"ReadOnly": True}), ("choose", "work-out"), ("close",),
        ("open", own.as_uri(), {}), ("share",), ("choose", "work-out"), ("close",),
        ("open", own.as_uri(), {"Password": "elm"}), ("choose", "messages"),
    )  # fmt: skip
    assert new["says"] == "This workbook has not been saved yet. Save it as .xlsx or .ods, then try again."
    assert foreign["says"].startswith("sheetkit works on .xlsx and .ods.")
    assert fixed["says"].startswith("This workbook is open to read only")
    assert shared["says"].startswith("This workbook is shared.")
    assert "password" in ours["says"]
    assert own.read_bytes() == before


def test_what_another_program_wrote_meanwhile_is_not_written_over(calc: Calc, tmp_path: Path) -> None:
    path = write(tmp_path / "job.ods", PLAIN)
    late = time.time() + 60
    before = path.read_bytes()
    (found,) = calc.does(
        ("open", path.as_uri(), {}),
        ("touch", str(path), late),
        ("type", "Parts", "A40", "Rail"),
        ("choose", "work-out"),
    )
    assert found["says"].startswith("Another program changed job.ods after it was opened here.")
    assert (found["modified"], found["undo"]) == (True, 1)
    assert path.read_bytes() == before


def test_a_refusal_of_the_engine_leaves_document_and_undo_as_they_were(calc: Calc, tmp_path: Path) -> None:
    path = write(tmp_path / "job.ods", PLAIN)
    other = tmp_path / "second name.ods"
    (found,) = calc.does(
        ("open", path.as_uri(), {}), ("type", "Parts", "A40", "Rail"), ("store",), ("link", str(path), str(other)),
        ("choose", "work-out"),
    )  # fmt: skip
    assert found["says"].startswith(REFUSALS["hard link"])
    assert not found["done"]
    assert (found["undo"], found["tabs"].count("Summary")) == (1, 0)


@pytest.mark.parametrize(
    ("engine", "words"),
    [({"command": ["/nowhere/python"]}, "sheetkit is no longer where it was"),
     ({"command": ["python3", "-S", "-c", "import sys; sys.exit('No module named sheetkit')"]}, "sheetkit is no longer where it was"),
     ({"command": ["python3", "-c", "import sys; sys.exit('out of memory')"]}, "sheetkit did not work. out of memory")],
    ids=["gone", "gone, its Python is there", "fails"],
)  # fmt: skip
def test_an_engine_that_is_gone_or_fails_leaves_document_and_undo_as_they_were(
    calc: Calc, tmp_path: Path, engine: Engine, words: str
) -> None:
    path = write(tmp_path / "job.ods", PLAIN)
    before = path.read_bytes()
    came = calc.does(
        ("open", path.as_uri(), {}), ("type", "Parts", "A40", "Rail"), ("choose", "work-out"), ("choose", "check"),
        engine=engine,
    )  # fmt: skip
    for found in came:
        assert found["says"].startswith(words)
        assert (found["done"], found["undo"], found["modified"], found["tabs"].count("Summary")) == (
            False, 1, True, 0,
        )  # fmt: skip
    assert path.read_bytes() == before


@FORMATS
def test_a_workbook_of_something_else_gets_no_tabs_of_ours(calc: Calc, tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"budget{ending}"
    path.write_bytes(by_ending(ending).render([page("Budget", "Rent | 900")]))
    before = path.read_bytes()
    (found,) = calc.does(("open", path.as_uri(), {}), ("choose", "work-out"))
    assert found["says"].startswith("This is no workbook of a job")
    assert (found["done"], path.read_bytes()) == (False, before)


HOLDS = """
import json, subprocess, sys
from pathlib import Path
path = Path(sys.argv[2])
if path.with_name(f".~lock.{path.name}#").exists() and "--check" not in sys.argv:
    print(json.dumps({"problems": [{"code": "cannot write", "says": "Held.", "stands": ""}]}))
    sys.exit(2)
sys.exit(subprocess.run([sys.executable, "-m", "sheetkit", *sys.argv[1:]]).returncode)
"""
"""sheetkit on a system where nobody may replace a file that is open."""


@FORMATS
@pytest.mark.parametrize("held", [True, False])
def test_where_an_open_file_is_held_the_document_is_closed_for_the_run_and_opened_again(
    calc: Calc, tmp_path: Path, ending: str, held: bool
) -> None:
    path = write(tmp_path / f"job{ending}", PLAIN)
    (found,) = calc.does(
        ("open", path.as_uri(), {}), ("go", "Parts", "C7", 80), ("choose", "work-out"),
        engine={"command": [sys.executable, "-c", HOLDS], "open_is_held": held},
    )  # fmt: skip
    assert (found["done"], found["says"].split(".")[0]) == ((True, "Worked out") if held else (False, "Held"))
    assert (found["tab"], found["cell"], found["zoom"], found["modified"]) == (
        "Parts", "$Parts.$C$7", 80, False,
    )  # fmt: skip
    assert found["tabs"].count("Summary") == held


def test_in_a_window_the_run_is_stopped_by_a_key_and_document_and_undo_stay(
    calc: Calc, screen: str, tmp_path: Path
) -> None:
    path = write(tmp_path / "job.ods", PLAIN)
    here, after = calc.seen(
        screen, path,
        ("type", "Parts", "A40", "Rail"), ("store",), ("look",),
        ("keys", "key", "alt+k", "w"), ("window", "^sheetkit: at work$"),
        ("keys", "key", "Escape"), ("window", "^sheetkit$"), ("keys", "key", "Return"),
        ("window", "job.ods"), ("look",),
        engine={"command": ["sh", "-c", "exec sleep 300"]},
    )  # fmt: skip
    assert here["undo"] == 1
    assert after == here


def test_removed_it_is_gone(calc: Calc) -> None:
    new: tuple[str, str, dict[str, object]] = ("open", "private:factory/scalc", {})
    assert calc.does(new, ("ask", "check")) == [{"offered": True}]
    calc.end()
    assert "is gone from LibreOffice Calc" in calc.command("remove")
    assert calc.command("remove") == "There is no menu Sheetkit in LibreOffice Calc."
    assert calc.does(new, ("ask", "check")) == [{"offered": False}]
    (profile,) = (calc.home / pipe for pipe in calc.running)
    assert not [*profile.rglob("menu.py"), *profile.rglob("Addons.xcu")]
    calc.end()
    calc.command("install")


def test_the_extension_says_what_the_tool_says_and_knows_where_it_is() -> None:
    with zipfile.ZipFile(BytesIO(extension("1.2", ["python", "-m", "sheetkit"], Path("/there")))) as archive:
        menu = archive.read("menu.py").decode()
        assert json.loads(archive.read("engine.json")) == {
            "command": ["python", "-m", "sheetkit"], "folder": str(Path("/there")), "open_is_held": False,
        }  # fmt: skip
        assert 'version value="1.2"' in archive.read("description.xml").decode()
        assert set(archive.namelist()) == {
            "Addons.xcu", "META-INF/manifest.xml", "ProtocolHandler.xcu", "description.xml", "engine.json", "menu.py",
        }  # fmt: skip
    assert f"KINDS = {json.dumps(KINDS)}" in menu
    assert f"HEADINGS = ({', '.join(json.dumps(each) for each in PROBLEM_HEADINGS)})" in menu


@pytest.mark.parametrize(
    ("manager", "reason"),
    [(None, "no extension manager"), ("echo broken >&2; exit 1", "extension manager failed"),
     ("echo 'Cannot run unopkg as root' >&2; exit 1", "extension manager and root")],
    ids=["not there", "fails", "serves no superuser"],
)  # fmt: skip
def test_a_manager_that_is_not_there_or_fails_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, manager: str | None, reason: str
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    if manager:
        program = tmp_path / "unopkg"
        program.write_text(f"#!/bin/sh\n{manager}\n")
        program.chmod(0o755)
    monkeypatch.setattr(office_of, "_beside", lambda *_: None)
    told = CliRunner().invoke(main, ["menu", "install"])
    assert told.exit_code == 2
    assert REFUSALS[reason] in " ".join(told.output.split())

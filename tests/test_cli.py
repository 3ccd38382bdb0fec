"""The commands: words, exit codes, and never a traceback for something a maker did."""

from __future__ import annotations

import os
import random
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import sheetkit
from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Refused
from sheetkit.jobs.review import review as look_back
from sheetkit.jobs.watch import sealed
from sheetkit.page import Cell, Page
from sheetkit.records.messages import REFUSALS
from sheetkit.terminal.cli import main
from tests import nonsense
from tests.book.makers_xlsx import makers_workbook
from tests.book.user_ods import replaced, user_file
from tests.jobs import column, read, write
from tests.make_templates import TOP
from tests.nonsense import damaged, fault

PLAIN = {"Parts": "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 30"}
FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])


def call(*words: object) -> Result:
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


@FORMATS
@pytest.mark.parametrize("metric", [False, True])
def test_a_new_example_is_worked_out_with_exit_code_0(tmp_path: Path, ending: str, metric: bool) -> None:
    path = tmp_path / f"bench{ending}"
    assert call("new", path, "--example", *(["--metric"] if metric else [])).exit_code == 0
    result = call("run", path, "--effort", "0.2")
    assert result.exit_code == 0, result.output
    assert "Entry bench: 49 parts" in result.output
    after = read(path)
    titles = [page.title for page in after.pages]
    assert titles[-11:] == [
        "Summary",
        "Rough sizes",
        "Lumber",
        "To buy",
        "Board layout",
        "Marks",
        "Elevations",
        "Estimate",
        "Quote",
        "Shop sheet",
        "Messages",
    ]
    assert "is up to date" in call("run", path, "--effort", "0.2").output


@FORMATS
def test_a_blank_workbook_is_told_what_is_missing_with_exit_code_1(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"blank{ending}"
    call("new", path)
    result = call("run", path)
    assert result.exit_code == 1
    said = [" ".join(line.split()) for line in result.output.splitlines()]
    assert any(line.startswith("to put right Job!B6 - Job is not filled in. Write") for line in said)
    assert any(line.startswith("to put right Parts - ") for line in said)  # both at once
    assert "Nothing was calculated" in result.output


@FORMATS
def test_a_check_says_the_same_and_writes_nothing(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", PLAIN)
    before = path.read_bytes()
    checked = call("run", path, "--check")
    assert checked.exit_code == 0
    assert checked.output.endswith(f"Checked {path}; nothing was written.\n")
    assert path.read_bytes() == before
    assert [each.name for each in tmp_path.iterdir()] == [path.name]
    done = call("run", path)
    assert done.output.splitlines()[:-1] == checked.output.splitlines()[:-1]
    assert done.output.splitlines()[-1] == f"Written to {path}; the file as it was: job.before{ending}."


def test_a_check_of_a_bad_workbook_is_exit_code_1_and_names_the_cell(tmp_path: Path) -> None:
    path = write(tmp_path / "job.xlsx", {"Parts": PLAIN["Parts"].replace("| 1 |", "| three |")})
    before = path.read_bytes()
    result = call("run", path, "--check")
    assert result.exit_code == 1
    row = next(line for line in result.output.splitlines() if "Parts!C2" in line)
    said = ["to put right", "Parts!C2", "three", "This cannot be read as a length.", "Write it as 3 1/4,"]
    assert re.split(" {2,}", row)[:4] == said[:4]
    assert re.split(" {2,}", row)[4].startswith(said[4])
    assert path.read_bytes() == before


@FORMATS
def test_out_writes_elsewhere_and_leaves_the_file_alone(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", PLAIN)
    before = path.read_bytes()
    other = tmp_path / f"other{ending}"
    result = call("run", path, "--out", other)
    assert result.exit_code == 0
    assert f"Written to {other}." in result.output
    assert path.read_bytes() == before
    assert "Summary" in [page.title for page in read(other).pages]


def test_a_folder_that_is_not_there_is_exit_code_2(tmp_path: Path) -> None:
    path = write(tmp_path / "job.xlsx", PLAIN)
    result = call("run", path, "--out", tmp_path / "none" / "other.xlsx")
    assert result.exit_code == 2
    assert REFUSALS["cannot write"] in result.output
    assert call("new", tmp_path / "none" / "new.xlsx").exit_code == 2


@pytest.mark.parametrize(
    "name", ["job", "job.csv", "job.xls", "job.xlsb", "job.fods", "job.docx", "job.xlsm", "job.ots"]
)
def test_new_makes_only_xlsx_and_ods(tmp_path: Path, name: str) -> None:
    result = call("new", tmp_path / name)
    assert result.exit_code == 2
    assert not (tmp_path / name).exists()


@FORMATS
def test_an_ending_that_lies_does_not_matter(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", PLAIN)
    other = tmp_path / ("job.ods" if ending == ".xlsx" else "job.xlsx")
    shutil.copy(path, other)
    assert call("run", other).exit_code == 0


@pytest.mark.parametrize(
    ("name", "data"), [("mine.xlsm", makers_workbook()), ("mine.ods", user_file())], ids=["xlsm", "ods"]
)
def test_adopt_keeps_the_makers_own_parts(tmp_path: Path, name: str, data: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    before = list(read(path).pages)
    assert call("adopt", path).exit_code == 0
    after = read(path).pages
    assert list(after[: len(before)]) == before
    assert path.with_name(f"mine.before{path.suffix}").read_bytes() == data
    lists = {
        "xl/workbook.xml",
        "xl/_rels/workbook.xml.rels",
        "[Content_Types].xml",
        "xl/styles.xml",
        "xl/sharedStrings.xml",
    }
    with zipfile.ZipFile(path.with_name(f"mine.before{path.suffix}")) as old, zipfile.ZipFile(path) as new:
        for part in old.namelist():
            if part not in lists | {"content.xml", "styles.xml", "settings.xml", "META-INF/manifest.xml"}:
                assert new.read(part) == old.read(part), part


def test_a_file_that_is_not_there_is_exit_code_2(tmp_path: Path) -> None:
    result = call("run", tmp_path / "none.xlsx")
    assert result.exit_code == 2
    assert REFUSALS["no such file"] in result.output


@pytest.mark.parametrize("name", ["notes.txt", "list.csv", "old.xls"])
def test_a_file_that_is_no_workbook_is_exit_code_2(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(b"Part;Qty\nLeg;4\n")
    assert call("run", path).exit_code == 2
    assert path.read_bytes() == b"Part;Qty\nLeg;4\n"


def test_new_does_not_overwrite(tmp_path: Path) -> None:
    path = tmp_path / "a.xlsx"
    call("new", path)
    result = call("new", path)
    assert result.exit_code == 2
    assert REFUSALS["exists"] in result.output


@FORMATS
def test_adopt_puts_the_input_tabs_into_the_makers_own_workbook(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"mine{ending}"
    own = Page("My jobs", {(1, 1): Cell("kept"), (2, 1): Cell(3.5)})
    path.write_bytes(by_ending(ending).render([own]))
    result = call("adopt", path)
    assert result.exit_code == 0
    after = read(path)
    assert [page.title for page in after.pages[:3]] == ["My jobs", "Job", "Parts"]
    assert {address: cell.value for address, cell in after.pages[0].cells.items()} == {
        (1, 1): "kept",
        (2, 1): 3.5,
    }
    assert not after.owned
    assert "has all input tabs already" in call("adopt", path).output
    assert call("run", path).exit_code == 1


@pytest.mark.parametrize(
    "text",
    [
        "Name;Wood;Thk (mm);Width (mm);Length (mm);Color\nLeg;European oak;44,5;44,5;720;red\nLeg;European oak;44,5;44,5;720;red\n",
        "\ufeffComponent\tPcs\tMaterial\tT\tW\tL\nLeg\t2\tEuropean oak\t44.5 mm\t44.5 mm\t720 mm\n",
        'Part,Qty,Species,Thickness,Width,Length\nLeg,2,European oak,"44,5",44.5,72 cm\n',
    ],
    ids=["semicolons", "tabs", "commas"],
)
def test_a_part_list_from_elsewhere_fills_parts(tmp_path: Path, text: str) -> None:
    listed = tmp_path / "list.csv"
    listed.write_text(text, "utf-8")
    path = tmp_path / "job.xlsx"
    result = call("new", path, "--metric", "--parts", listed)
    assert result.exit_code == 0, result.output
    assert "Parts: 1 row; matched Part" in result.output
    from sheetkit.intake.workbook import take_in

    part = take_in(read(path).pages).job.parts[0]
    assert (part.part, part.qty, part.species.name) == ("Leg", 2, "European oak")
    assert [size * 25.4 for size in (part.thickness, part.width, part.length)] == pytest.approx(
        [44.5, 44.5, 720]
    )


def test_a_part_list_keeps_its_figures_and_the_unit_of_each_heading(tmp_path: Path) -> None:
    listed = write(tmp_path / "list.xlsx", {"Job": "", "Prices": "", "Parts": """
        Part | Species   | Thickness | Width | Length   | Tenons (mm)
        Rail | White oak | 3/4       | 2     | 33.34375 | 25
    """})  # fmt: skip
    path = tmp_path / "job.xlsx"
    assert call("new", path, "--parts", listed).exit_code == 0
    from sheetkit.intake.workbook import take_in

    (part,) = take_in(read(path).pages).job.parts
    assert part.length == 33.34375
    assert part.tenons == pytest.approx((25 / 25.4,) * 2)


@FORMATS
def test_a_formula_without_a_stored_result_is_computed_with_recalc(
    tmp_path: Path, ending: str, office: object
) -> None:
    data = write(tmp_path / f"job{ending}", PLAIN).read_bytes()
    if ending == ".xlsx":
        data = replaced(data, "xl/worksheets/sheet3.xml", "<v>30</v>", "<f>15*2</f>")
    else:
        stored = 'office:value-type="float" office:value="30.0"><text:p>30</text:p>'
        data = replaced(data, "content.xml", stored, 'table:formula="of:=15*2">')
    path = tmp_path / f"edited{ending}"
    path.write_bytes(data)
    result = call("run", path)
    assert result.exit_code == 1
    assert re.search(r"Parts!E2 +=15\*2 +The formula here has no stored result\.", result.output)
    assert "--recalc" in result.output
    assert call("run", path, "--recalc").exit_code == 0
    assert column(read(path), "Parts", "Blank length") == [31]
    first = path.read_bytes()
    assert call("run", path).exit_code == 0, "the next run needs no --recalc"
    assert path.read_bytes() == first


@pytest.mark.parametrize("command", ["", *sorted(main.commands)])
def test_every_command_has_help_with_an_example_that_is_a_command(command: str) -> None:
    shown = call(*filter(None, [command]), "--help").output
    example = re.search(r"^ *Example: sheetkit (.+)$", shown, re.MULTILINE)
    assert example is not None
    name, *words = example[1].split()
    assert command in ("", name)
    main.commands[name].make_context(name, words)  # an unknown option, or a word too many, would be refused


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("bnech.xlsx", "bench.xlsx"), ("bench", "bench.xlsx"), ("BENCH.ods", "bench.xlsx"), ("", "bench.xlsx"),
     ("old job.ods", "old-job.ods")],
)  # fmt: skip
def test_a_file_that_is_not_there_is_answered_with_those_that_may_be_meant(
    tmp_path: Path, typed: str, meant: str
) -> None:
    for name in ("bench.xlsx", "old-job.ods", ".~lock.bench.xlsx#", "photo.png"):
        (tmp_path / name).write_bytes(b"")
    result = call("run", tmp_path / typed)
    assert result.exit_code == 2
    perhaps = result.output.split("Perhaps: ")[1]
    assert str(tmp_path / meant) in perhaps
    assert "lock" not in perhaps
    assert "photo" not in perhaps


@FORMATS
def test_nonsense_is_refused_or_listed_and_never_a_traceback(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"job{ending}"
    source = damaged(tmp_path, ending, 7)
    refused = 0
    for _ in range(80):
        data = next(source)
        assert fault(path, data) == ""
        refused += path.read_bytes() == data
    assert 10 < refused < 75
    # and the words of a refusal come through the command
    path.write_bytes(data[: len(data) // 2])
    result = call("run", path)
    assert result.exit_code == 2
    assert result.output.startswith("sheetkit: ")


def test_a_fault_would_be_noticed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write(tmp_path / "job.xlsx", PLAIN)
    data = path.read_bytes()
    assert fault(path, data) == ""
    monkeypatch.setattr(nonsense, "run", lambda path, **named: 1 / 0)
    assert "ZeroDivisionError" in fault(path, data)

    def spoils(path: Path, **named: object) -> None:
        path.write_bytes(b"")
        raise Refused("damaged")

    monkeypatch.setattr(nonsense, "run", spoils)
    assert fault(path, data) == "refused, but the file was changed"


NONSENSE = (
    "",
    "=1+1",
    "+1",
    "1/0",
    "#REF!",
    "9" * 400,
    "-0",
    "1e308",
    "nan",
    "☃",
    "x" * 5000,
    "3 1/0",
    "3//4",
    "2 x",
    "\u202e3",
    "-",
)


@FORMATS
def test_nonsense_in_every_cell_is_listed(tmp_path: Path, ending: str) -> None:
    from sheetkit.form.columns import TABLES

    chance = random.Random(3)
    for number in range(8):
        tables = {}
        for tab in TABLES:
            rows = [" | ".join(chance.choice(NONSENSE) or "y" for _ in tab.asked) for _ in range(3)]
            tables[tab.title] = "\n".join([" | ".join(column.heading for column in tab.asked), *rows])
        path = write(tmp_path / f"n{number}{ending}", tables)
        assert call("run", path).exit_code == 1


@FORMATS
def test_the_clients_copy_holds_the_quote_alone(tmp_path: Path, ending: str, office: object) -> None:
    path = tmp_path / f"bench{ending}"
    call("new", path, "--example")
    result = call("client", path)
    assert result.exit_code == 2
    assert REFUSALS["no quote"] in result.output
    call("run", path, "--effort", "0.2")
    before = path.read_bytes()
    result = call("client", path, "--pdf")
    assert result.exit_code == 0, result.output
    assert path.read_bytes() == before
    copy = read(tmp_path / f"bench.client{ending}")
    assert [page.title for page in copy.pages] == ["Quote"]
    first = (tmp_path / "bench.client.pdf").read_bytes()
    assert first.startswith(b"%PDF")
    assert not list(tmp_path.glob("bench.client.before*"))
    own = tmp_path / "bench.client.before.pdf"
    own.write_bytes(b"the maker's own")
    result = call("client", path, "--pdf")
    assert result.exit_code == 0, result.output
    again = (tmp_path / "bench.client.pdf").read_bytes()
    kept = tmp_path / "bench.client.before 2.pdf"
    if again != first:  # some spreadsheet programs write the time of day into it
        assert kept.read_bytes() == first
        assert "Written to bench.client.pdf. The earlier one: bench.client.before 2.pdf." in result.output
    assert own.read_bytes() == b"the maker's own"
    assert not (tmp_path / f"bench.client.before{ending}").exists()  # the same quote once more


@FORMATS
def test_an_earlier_copy_for_the_client_and_its_pdf_are_kept(
    tmp_path: Path, ending: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / f"bench{ending}"
    call("new", path, "--example")
    call("run", path, "--effort", "0.2")
    sent: list[bytes] = []

    def convert(source: Path, form: str, folder: Path) -> Path:
        sent.append(b"%PDF of " + source.read_bytes())
        (folder / "made.pdf").write_bytes(sent[-1])
        return folder / "made.pdf"

    monkeypatch.setattr("sheetkit.book.office.convert", convert)
    copy, pdf = tmp_path / f"bench.client{ending}", tmp_path / "bench.client.pdf"
    copy.write_bytes(b"the maker's own")
    pdf.write_bytes(b"one that was sent")
    said = call("client", path, "--pdf").output
    assert f"The earlier one: bench.client.before{ending}." in said
    assert "Written to bench.client.pdf. The earlier one: bench.client.before.pdf." in said
    assert (tmp_path / f"bench.client.before{ending}").read_bytes() == b"the maker's own"
    assert (tmp_path / "bench.client.before.pdf").read_bytes() == b"one that was sent"
    first = copy.read_bytes()
    said = call("client", path, "--pdf").output
    assert "The earlier one" not in said
    assert (copy.read_bytes(), pdf.read_bytes()) == (first, sent[0])
    pdf.write_bytes(b"changed")
    said = call("client", path, "--pdf").output
    assert "The earlier one: bench.client.before 2.pdf." in said
    assert (tmp_path / "bench.client.before.pdf").read_bytes() == b"one that was sent"


def test_past_jobs_are_looked_back_over(tmp_path: Path) -> None:
    past = tmp_path / "past"
    past.mkdir()
    for name in ("one.xlsx", "two.ods"):
        call("new", past / name, "--example")
        call("run", past / name, "--effort", "0.1")
    (past / "broken.xlsx").write_bytes(b"nothing")
    out = tmp_path / "review.xlsx"
    result = call("review", past, "--out", out)
    assert result.exit_code == 0, result.output
    assert "Entry bench" in result.output
    assert "broken.xlsx" in result.output
    assert read(out).pages
    assert call("review", tmp_path / "none").exit_code == 2


def test_the_past_jobs_among_the_examples_support_a_waste_of_their_own() -> None:
    result = call("review", TOP / "examples" / "past-jobs")
    assert result.exit_code == 0, result.output
    for words in ("Wall shelf", "Boot tray", "Picture rail", "White ash", "Mill blanks"):
        assert words in result.output
    assert "Passed over" not in result.output


@pytest.mark.parametrize(
    "words",
    [["run", "job.xlsx"], ["run", "job.xlsx", "--json"], ["run", "job.xlsx", "--check"], ["species"],
     ["species", "--json"], ["species", "white oak"], ["review", "."], ["review", ".", "--json"],
     ["client", "job.xlsx"], ["new", "fresh.xlsx"], ["adopt", "job.xlsx"], ["--help"], ["--version"],
     ["run", "--help"], ["explain", "--schema"], ["explain", "Qty"]],
)  # fmt: skip
def test_a_reader_that_stops_early_leaves_the_exit_code_of_success(tmp_path: Path, words: list[str]) -> None:
    assert call("new", tmp_path / "job.xlsx", "--example").exit_code == 0
    if words[0] == "client":
        assert call("run", tmp_path / "job.xlsx", "--effort", "0.2").exit_code == 0
    reading, writing = os.pipe()
    os.close(reading)
    asked = [sys.executable, "-m", "sheetkit.terminal.cli", *words]
    where = {**os.environ, "PYTHONPATH": str(TOP)}
    done = subprocess.run(asked, stdout=writing, stderr=subprocess.PIPE, check=False, cwd=tmp_path, env=where)
    os.close(writing)
    assert (done.returncode, done.stderr) == (0, b"")


def test_the_clients_copy_is_refused_when_old_open_or_of_another_ending(tmp_path: Path) -> None:
    path = tmp_path / "job.xlsx"
    call("new", path, "--example")
    call("run", path)
    assert call("client", path, "--out", tmp_path / "copy.txt").exit_code == 2
    lock = tmp_path / ".~lock.job.client.xlsx#"
    lock.write_bytes(b",maker,bench,,;")
    opened = call("client", path)
    assert (opened.exit_code, "open elsewhere" in opened.output) == (2, True)
    lock.unlink()
    assert call("client", path).exit_code == 0
    path = tmp_path / "job.ods"
    call("new", path, "--example")
    call("run", path)
    assert call("client", path).exit_code == 0
    content = zipfile.ZipFile(path).read("content.xml").decode()
    first = content.index('table:name="Parts"')
    length = re.search(r'office:value="(\d+(?:\.\d+)?)"', content[first:])
    assert length is not None
    at = first + length.start(1)
    changed = content[:at] + "7" + content[at + len(length[1]) :]
    path.write_bytes(replaced(path.read_bytes(), "content.xml", content, changed))
    old = call("client", path)
    assert (old.exit_code, "The quote is older" in old.output) == (2, True), old.output


def test_answers_and_copies_are_no_jobs_of_their_own(tmp_path: Path) -> None:
    path = tmp_path / "job.xlsx"
    call("new", path, "--example")
    call("run", path)
    call("client", path, "--out", tmp_path / "for them.xlsx")
    (tmp_path / "beside.xlsx").write_bytes(sealed(path.read_bytes()))
    (tmp_path / "same.xlsx").write_bytes(path.read_bytes())
    found = look_back(tmp_path)
    assert [job.file for job in found.jobs] == ["job.xlsx"]
    assert [(each.file, each.why) for each in found.skipped] == [
        ("same.xlsx", "A copy of job.xlsx, which counts once.")
    ]


def test_the_package_runs_as_a_module_and_tells_its_version() -> None:
    for module in ("sheetkit", "sheetkit.terminal.cli"):
        words = [sys.executable, "-m", module]
        told = subprocess.run(
            [*words, "--version"], capture_output=True, text=True, check=True, cwd=TOP
        ).stdout
        assert told == f"sheetkit, version {sheetkit.__version__}\n"
        shown = subprocess.run(
            [*words, "run", "--help"], capture_output=True, text=True, check=True, cwd=TOP
        ).stdout
        assert shown.startswith("Usage: sheetkit run [OPTIONS] PATH\n")

"""The commands: words, exit codes, and never a traceback for something a maker did."""

from __future__ import annotations

import random
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from sheetkit.book.formats import by_ending
from sheetkit.cli import main
from sheetkit.page import Cell, Page
from sheetkit.problems import REFUSALS
from tests.jobs import read, write
from tests.make_templates import TOP

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
    assert titles[-9:] == [
        "Summary",
        "Rough sizes",
        "Lumber",
        "Board layout",
        "Marks",
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
    assert "Job!B6: Job is empty." in result.output
    assert "Nothing was calculated" in result.output


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
        "Name;Wood;Thk (mm);Width (mm);Length (mm);Colour\nLeg;European oak;44,5;44,5;720;red\nLeg;European oak;44,5;44,5;720;red\n",
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
    assert "Parts: 1 rows; matched Part" in result.output
    from sheetkit.intake import take_in

    part = take_in(read(path).pages).job.parts[0]
    assert (part.part, part.qty, part.species.name) == ("Leg", 2, "European oak")
    assert [size * 25.4 for size in (part.thickness, part.width, part.length)] == pytest.approx(
        [44.5, 44.5, 720]
    )


def test_a_formula_without_a_stored_result_is_computed_with_recalc(tmp_path: Path, office: object) -> None:
    tables = {"Parts": "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 30"}
    path = write(tmp_path / "job.xlsx", tables)
    data = path.read_bytes()
    edited = tmp_path / "edited.xlsx"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(edited, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            if name == "xl/worksheets/sheet3.xml":
                assert b"<v>30</v>" in part
                part = part.replace(b"<v>30</v>", b"<f>15*2</f>")
            new.writestr(name, part)
    assert data
    result = call("run", edited)
    assert result.exit_code == 1
    assert "--recalc" in result.output
    assert call("run", edited, "--recalc").exit_code == 0


@pytest.mark.parametrize("command", sorted(main.commands))
def test_every_command_has_help_with_an_example(command: str) -> None:
    assert "Example: sheetkit " in call(command, "--help").output


def test_a_species_is_shown_with_its_sources() -> None:
    output = call("species", "white", "oak").output
    assert "0.00365" in output
    assert "Wood Handbook" in output
    assert "memory" in output


@FORMATS
def test_nonsense_is_refused_or_listed_and_never_a_traceback(tmp_path: Path, ending: str) -> None:
    good = (TOP / "templates" / f"blank-inch{ending}").read_bytes()
    chance = random.Random(7)
    for number in range(60):
        data = bytearray(good)
        for _ in range(chance.randint(1, 40)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        if number % 3 == 0:
            del data[chance.randrange(len(data)) :]
        path = tmp_path / f"n{number}{ending}"
        path.write_bytes(bytes(data))
        result = call("run", path)
        assert result.exit_code in (1, 2)
        if result.exit_code == 2:
            assert path.read_bytes() == bytes(data)


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
    from sheetkit.columns import TABLES

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
    assert (tmp_path / "bench.client.pdf").read_bytes().startswith(b"%PDF")


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

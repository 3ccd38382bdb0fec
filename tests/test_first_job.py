"""The small example: few rows and columns, each of which decides something; its answers are those worked out a second time."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from sheetkit.book.formats import by_ending
from sheetkit.form.columns import TABLES, Kind
from sheetkit.form.example import example_job
from sheetkit.form.labels import JOB
from sheetkit.intake.workbook import take_in
from sheetkit.jobs.new import new_file
from sheetkit.jobs.run import run
from sheetkit.page import Page, cell_name
from sheetkit.plan import answer
from sheetkit.records.messages import REFUSALS
from sheetkit.tabs.beside import answers_beside
from sheetkit.tabs.page_breaks import A_ROW
from sheetkit.tabs.pages import result_pages
from sheetkit.tabs.template import template_pages
from sheetkit.terminal.cli import main
from sheetkit.units import Unit, fraction_text
from tests.book.office_desk import at_the_desk, quoted
from tests.jobs import read
from tests.make_readme import DEARER, MEASURED, README
from tests.recomputed.compare import unlike_in
from tests.recomputed.shop import CLASSES_MM, SETTINGS_MM

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
UNITS = pytest.mark.parametrize("unit", ["in", "mm"])
Rows = Mapping[str, Sequence[Mapping[str, str]]]

INCH = {"Units": "in", "Round to": Fraction(1, 32), "Board measure": "exact", "Profit as": "markup"}
METRIC = {"Units": "mm", "Round to": Fraction(1, 2), "Board measure": "m3", "Profit as": "markup"}
USUAL: dict[str, dict[str, Any]] = {
    "Parts": {"Made as": "solid"},
    "Panels": {"Qty": 1},
    "Labor": {"Counted by": "job"},
}
"""What stands for an empty cell."""


def small(unit: Unit, *, measured: bool = False) -> tuple[Mapping[str, str], Rows]:
    labels, filled = example_job(unit, small=True)
    if not measured:
        return labels, filled
    width, height = MEASURED[unit]
    panel = {**filled["Panels"][0], "measured_width": width, "measured_height": height}
    return labels, {**filled, "Panels": [panel]}


def said(
    unit: Unit, labels: Mapping[str, str], filled: Rows
) -> tuple[list[Page], object, list[tuple[str, str]]]:
    """Give the result tabs, what stands beside the rows, and where there is something to see to."""
    intake = take_in(template_pages(unit, labels, filled))
    found = answer(intake.job, 0.1)
    problems = [(each.code, each.place) for each in (*intake.problems, *found.problems)]
    return result_pages(found, (), "made today"), answers_beside(found), problems


@UNITS
def test_it_has_few_rows_and_one_remark_which_goes_once_the_opening_is_measured(unit: Unit) -> None:
    labels, filled = small(unit)
    assert sum(map(len, filled.values())) <= 11
    assert said(unit, labels, filled)[2] == [("provisional", "Panels!F6")]
    assert said(unit, *small(unit, measured=True))[2] == []


def without_one(labels: Mapping[str, str], filled: Rows) -> Iterator[tuple[str, Mapping[str, str], Rows]]:
    """Give the example again and again, each time with one label or one column empty."""
    for name in labels.keys() - {"unit"}:  # the template writes it in any case
        yield name, {each: labels[each] for each in labels if each != name}, filled
    for title, lines in filled.items():
        for name in {each: None for line in lines for each in line}:
            bare = [{each: line[each] for each in line if each != name} for line in lines]
            yield f"{title}, {name}", labels, {**filled, title: bare}


@UNITS
def test_every_label_and_column_that_is_filled_in_decides_something(unit: Unit) -> None:
    labels, filled = small(unit)

    def told(some: Mapping[str, str], rows: Rows) -> object:
        if any(each.weight == "error" for each in take_in(template_pages(unit, some, rows)).problems):
            return None
        pages, beside, problems = said(unit, some, rows)
        return [(page.cells, page.pictures) for page in pages], beside, problems

    whole = told(labels, filled)
    idle = [name for name, some, rows in without_one(labels, filled) if told(some, rows) == whole]
    assert idle == []


def _typed(kind: Kind, text: str) -> Any:
    if kind in (Kind.MONEY, Kind.SHARE):
        amount = Decimal(text.rstrip(" %").replace(",", "."))
        return amount / 100 if text.endswith("%") else amount
    if kind in (Kind.LENGTH, Kind.TENONS, Kind.NUMBER, Kind.WHOLE):
        size = sum((Fraction(word.replace(",", ".")) for word in text.split()), Fraction(0))
        return int(size) if kind is Kind.WHOLE else size
    return text


def as_job(unit: Unit, *, measured: bool) -> dict[str, Any]:
    """Give the example as the second arithmetic takes it, with what empty cells stand for."""
    labels, filled = small(unit, measured=measured)
    job: dict[str, Any] = {"Job": dict(METRIC if unit == "mm" else INCH)}
    kinds = {column.name: column for column in JOB}
    for name, text in labels.items():
        if name != "unit":
            job["Job"][kinds[name].heading] = _typed(kinds[name].kind, text)
    for tab in TABLES:
        columns = {column.name: column for column in tab.asked}
        job[tab.title] = [
            {**USUAL.get(tab.title, {}), **{columns[name].heading: _typed(columns[name].kind, text) for name, text in row.items()}}
            for row in filled.get(tab.title, ())
        ]  # fmt: skip
    for row in job["Parts"]:
        row["Tenons"] = (row["Tenons"],) * 2 if "Tenons" in row else None
    for row in job["Joints"]:  # both stiles and both rails; each rail has a tenon at each end
        row["Qty"] = 4 if row["Kind"] == "tenon" else 2
    if unit == "mm":
        settings = {"Stock measures as": "kiln-dried", **SETTINGS_MM}
        job["Allowances"] = {"settings": settings, "classes": CLASSES_MM}
    return job


@FORMATS
@UNITS
@pytest.mark.parametrize("measured", [False, True])
def test_its_answers_are_those_worked_out_a_second_time(
    tmp_path: Path, ending: str, unit: Unit, measured: bool
) -> None:
    path = tmp_path / f"door{ending}"
    path.write_bytes(new_file(by_ending(ending), template_pages(unit, *small(unit, measured=measured))))
    assert unlike_in(path, as_job(unit, measured=measured)) == []


@UNITS
@pytest.mark.parametrize("measured", [False, True])
def test_no_printed_page_of_it_is_nearly_empty(unit: Unit, measured: bool) -> None:
    pages, *_ = said(unit, *small(unit, measured=measured))
    for page in pages:
        last = max(row for row, _ in page.cells)
        for begin, end in pairwise((0, *page.print.breaks, last) if page.print.breaks else ()):
            heights = [page.heights.get(row, A_ROW) for row in range(begin + 1, end + 1)]
            assert sum(heights) > 120, (page.title, begin + 1)  # two short steps, say


def test_the_estimate_keeps_the_way_from_cost_to_price_on_one_page() -> None:
    pages, *_ = said("in", *small("in"))
    (page,) = (page for page in pages if page.title == "Estimate")
    where = {cell.value: row for (row, column), cell in page.cells.items() if column == 1}
    assert page.print.breaks == (where["From cost to price"] - 1,)


def call(*words: object) -> tuple[int, str]:
    done = CliRunner().invoke(main, [str(word) for word in words])
    return done.exit_code, done.output


def job_of(path: Path) -> str:
    return take_in(read(path).pages).job.sheet.job


@FORMATS
@pytest.mark.parametrize(
    ("words", "job"),
    [("--example small PATH", "Niche door"), ("PATH --example small", "Niche door"), ("--example=small PATH", "Niche door"),
     ("--metric --example Small PATH", "Niche door"), ("PATH --example", "Entry bench"), ("--example PATH", "Entry bench"),
     ("--example --metric PATH", "Entry bench")],
)  # fmt: skip
def test_the_name_of_an_example_and_the_path_are_told_apart(
    tmp_path: Path, ending: str, words: str, job: str
) -> None:
    path = tmp_path / f"small{ending}"
    code, output = call("new", *(path if word == "PATH" else word for word in words.split()))
    assert (code, f"Made {path} with an example job" in output) == (0, True)
    assert job_of(path) == job


@pytest.mark.parametrize("words", ["--example big PATH", "PATH --example big", "--example job PATH"])
def test_an_example_of_another_name_is_refused_with_those_that_there_are(tmp_path: Path, words: str) -> None:
    path = tmp_path / "job.xlsx"
    code, output = call("new", *(path if word == "PATH" else word for word in words.split()))
    assert code == 2
    assert REFUSALS["no example"] in output
    assert words.split("--example ")[1].split()[0] in output
    assert not path.exists()


def test_an_address_left_out_is_not_taken_from_the_path(tmp_path: Path) -> None:
    path = tmp_path / "door.xlsx"
    call("new", path, "--example", "small")
    call("run", path)
    code, output = call("client", "--mail", path)
    assert (code, "a draft to open" in output) == (0, True)


def cell(path: Path, tab: str, label: str) -> str:
    """Give the name of the cell below a heading, or at the end of a line that a label begins."""
    page = read(path).page(tab)
    assert page is not None
    row, column = next(place for place, each in page.cells.items() if each.value == label)
    if tab in ("Prices", "Panels"):
        return cell_name(row + 1, column)
    return cell_name(row, max(across for down, across in page.cells if down == row))


@FORMATS
def test_at_the_keyboard_of_libreoffice_it_goes_as_the_readme_tells(
    tmp_path: Path, ending: str, office: object
) -> None:
    told = (
        README.read_text("utf-8").partition("<!-- generated: first job -->")[2].partition("<!-- end -->")[0]
    )
    path = tmp_path / f"door{ending}"
    assert call("new", path, "--example", "small")[0] == 0
    code, output = call("run", path)
    assert code == 0
    costs = re.findall(r"\((\$[\d.]+)\)", told)
    assert len(costs) == 2
    for words in (output.splitlines()[0], *costs, "Panels!F6"):
        assert words in output
        assert words in told
    width, height = MEASURED["in"]
    typed = (
        ("Prices", cell(path, "Prices", "Price"), DEARER),
        ("Panels", cell(path, "Panels", "Measured width"), width),
        ("Panels", cell(path, "Panels", "Measured height"), height),
    )
    look = f'Say At("Quote", "{cell(path, "Quote", "Total")}").String'
    work = [f"OpenFile {quoted(path.as_uri())}", look]
    work += [f"TypeKeys {', '.join(map(quoted, words))}" for words in typed]
    amounts = at_the_desk(tmp_path, "\n".join((*work, look, "doc.store()", "CloseFile")))
    assert [f"${amount}" in told for amount in amounts] == [True, True]
    assert amounts[0] != amounts[1]
    code, output = call("run", path)
    assert (code, "worth a look" in output, "Provisional" in output) == (0, False, False)
    (panel,) = run(path).plain()["tables"]["panels"]
    assert f"{fraction_text(panel['width'])} x {fraction_text(panel['height'])}.\n" in told

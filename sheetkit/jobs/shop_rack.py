"""The workbook of the shop's boards: made, listed, and read for a job that names it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path, PureWindowsPath

from sheetkit.book import save
from sheetkit.book.both import recover
from sheetkit.book.formats import FileFormat, by_content, by_ending
from sheetkit.book.workbook import Refused, Workbook
from sheetkit.form.columns import BOARDS
from sheetkit.intake.rack import Rack, joined, rack_of
from sheetkit.intake.workbook import Intake
from sheetkit.plan.rack import rack_feet
from sheetkit.records.job import Board, Job, JobSheet
from sheetkit.records.messages import REFUSALS
from sheetkit.records.problems import Problem, problem
from sheetkit.records.units import Units
from sheetkit.units import Unit


@dataclass(frozen=True, slots=True)
class RackFile:
    """The workbook of the rack, as it was read."""

    path: Path
    data: bytes
    file_format: FileFormat
    workbook: Workbook
    rack: Rack


@dataclass(frozen=True, slots=True)
class Listing:
    """What the rack holds."""

    path: Path
    made: bool
    """Whether it was not there and was made."""
    boards: tuple[Board, ...]
    feet: tuple[float, ...]
    """What each board holds [bf]."""
    units: Units
    problems: tuple[Problem, ...] = ()
    said: str = ""
    """What was done about a cut that was broken off."""


def rack_listing(path: Path, *, metric: bool = False) -> Listing:
    """Make the workbook of the rack when it is not there, else give what it holds.

    Raises
    ------
    Refused
        When it cannot be made or read.
    """
    unit: Unit = "mm" if metric else "in"
    real = save.actual(path)
    said = recover(path) if real.exists() else ""
    if not real.exists():
        if path.suffix.lower() not in (".xlsx", ".ods"):
            raise Refused("not a workbook", path.suffix)
        from sheetkit.tabs.input_table import table_page
        from sheetkit.tabs.rack_page import rack_page, species_page

        pages = (table_page(BOARDS, unit), rack_page(unit), species_page())
        save.create(path, by_ending(path.suffix).render(pages))
        return Listing(path, True, (), (), _units(unit))
    found = read_rack(path)
    units = _units(found.rack.unit)
    boards = tuple(board for board in found.rack.boards if board.where != "cut")
    order = sorted(boards, key=lambda board: (board.species.name, board.stock.nominal))
    feet = rack_feet(Job(JobSheet("", found.rack.unit, 1.0, units.measure), boards=boards))
    return Listing(
        path,
        False,
        tuple(order),
        tuple(feet[board.spot] for board in order),
        units,
        found.rack.problems,
        said,
    )


def _units(unit: Unit) -> Units:
    return Units(unit, Units(unit).either("exact", "m3"))


def read_rack(path: Path) -> RackFile:
    """Read the workbook of the rack.

    Raises
    ------
    Refused
        When it is not there or cannot be read.
    """
    data = save.load(path)
    file_format = by_content(data, path.suffix)
    workbook = file_format.read(data)
    return RackFile(path, data, file_format, workbook, rack_of(workbook.pages, path.name))


def rack_path(text: str, folder: Path) -> Path:
    """Return the path of the rack that a job names, from the job's folder; either slash will do."""
    named = Path(text)
    if not named.is_absolute() and "\\" in text:
        named = Path(*PureWindowsPath(text).parts)
    return folder / named


def with_rack(intake: Intake, folder: Path) -> Intake:
    """Return a job with the boards of the rack that it names; what is amiss there is told at that label."""
    job = intake.job
    if not job.sheet.rack:
        return intake
    tab, row, column = job.labels.get("rack", ("Job", 0, 0))
    path = rack_path(job.sheet.rack, folder)
    try:
        found = read_rack(path)
    except Refused as refused:
        code = "rack-missing" if refused.reason == "no such file" else "rack-unreadable"
        why = REFUSALS.get(refused.reason, refused.reason)
        wrong = problem(code, tab, row, column, job.sheet.rack, path=str(path), why=why)
        return replace(intake, problems=(*intake.problems, wrong))
    amiss = [each for each in found.rack.problems if each.weight == "error"]
    if amiss:
        words = {"count": len(amiss), "place": amiss[0].place, "why": amiss[0].says, "path": str(path)}
        wrong = problem("rack-amiss", tab, row, column, job.sheet.rack, **words)
        return replace(intake, problems=(*intake.problems, wrong))
    return replace(intake, job=replace(job, boards=joined(job.boards, found.rack.boards)))

"""After cutting: used boards leave the rack, left-overs go in, the job keeps what is cut; or it is undone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from sheetkit.book import save
from sheetkit.book.asked import print_of_inputs
from sheetkit.book.both import Swap, recover, replace_both
from sheetkit.book.formats import FileFormat, by_content
from sheetkit.book.workbook import ASKED, BACKUP, Change, Refused, Workbook
from sheetkit.data.cut_notes import CUT, Changed, LaidBoard, cut_notes, cut_of, laid_boards
from sheetkit.form.columns import BOARDS, BOUGHT
from sheetkit.intake.rack import mark_on_list, rack_of
from sheetkit.intake.workbook import Intake, take_in
from sheetkit.jobs.board_rows import (
    columns_for,
    free_rows,
    left_mark,
    lines_of,
    marked,
    rows_of,
    taken_rows,
    typed_size,
)
from sheetkit.jobs.shop_rack import RackFile, rack_path, read_rack
from sheetkit.page import Address, Cell, Page, cell_name
from sheetkit.records.job import Board, Place
from sheetkit.tabs.input_table import table_page
from sheetkit.units import Unit, length_text

Patches = dict[str, dict[Address, Cell]]
ASKED_OF_BOARD = tuple(column.name for column in BOARDS.asked)


@dataclass(frozen=True, slots=True)
class CutOutcome:
    """What a cut, or its undoing, did."""

    job: Path
    rack: Path
    undone: bool
    taken: tuple[str, ...]
    """Boards taken out of the rack (put back, when it was undone)."""
    own: tuple[str, ...]
    """Boards of the job's own that are marked as cut (no longer, when undone)."""
    put_in: tuple[str, ...]
    """Left-overs put into the rack (taken out again), with their sizes."""
    backups: tuple[Path, ...]
    said: tuple[str, ...] = ()
    """What was done about a cut that was broken off."""


@dataclass(frozen=True, slots=True)
class _JobFile:
    path: Path
    data: bytes
    file_format: FileFormat
    workbook: Workbook
    intake: Intake


@dataclass(slots=True)
class _Work:
    """Cells to write in both workbooks, and what is said of it."""

    job: Patches = field(default_factory=dict)
    rack: Patches = field(default_factory=dict)
    added: tuple[Page, ...] = ()
    taken: list[str] = field(default_factory=list)
    own: list[str] = field(default_factory=list)
    put_in: list[str] = field(default_factory=list)


def cut(path: Path, *, undo: bool = False, force: bool = False, now: datetime | None = None) -> CutOutcome:
    """Take the boards that a job has cut out of the rack and put its left-overs in, or undo that.

    Raises
    ------
    Refused
        When it cannot be done; both workbooks are then as they were.
    """
    said = [recover(path)]
    job = _job_file(path, force)
    if not job.intake.job.sheet.rack:
        raise Refused("no rack named", path.name)
    rack_at = rack_path(job.intake.job.sheet.rack, path.parent)
    said.append(recover(rack_at))
    if any(said):  # it may have been brought to its end just now
        job = _job_file(path, force)
    if not force:
        save.refuse_if_open(rack_at)
    rack = read_rack(rack_at)
    done = tuple(dict.fromkeys(filter(None, said)))
    if undo:
        return _undone(job, rack, force, done)
    before = cut_of(job.workbook.notes)
    if before is not None:
        raise Refused("cut already", before[0])
    work = _work(job, rack)
    when = f"{now or datetime.now():%Y-%m-%d %H:%M}"
    new = {page.title: _below_headings(page) for page in work.added}
    changes = [
        *_changes(False, {**work.job, **new}, job.workbook),
        *_changes(True, work.rack, rack.workbook),
    ]
    backups = _put(job, rack, work, cut_notes(when, changes), force)
    return CutOutcome(
        path, rack.path, False, tuple(work.taken), tuple(work.own), tuple(work.put_in), backups, done
    )


def _job_file(path: Path, force: bool) -> _JobFile:
    data = save.load(path)
    if not force:
        save.refuse_if_open(path)
    file_format = by_content(data, path.suffix)
    workbook = file_format.read(data)
    return _JobFile(path, data, file_format, workbook, _intake(workbook))


def _intake(workbook: Workbook) -> Intake:
    return take_in(workbook.pages, workbook.owned.get("buy", ""))


# what is to be written


def _work(job: _JobFile, rack: RackFile) -> _Work:
    laid = _laid(job, rack)
    unit, asked = job.intake.job.sheet.unit, job.intake.job
    work = _Work()
    from_rack = [(each, _found(each, rack)) for each in laid if each.listed == rack.path.name]
    note = f"from {rack.path.name}"
    lines = [line for each, board in from_rack for line in lines_of(each.board, board, unit, "cut", note)]
    names = {"where"}.union(*lines)
    listed = {name: place for name in (BOARDS.title, BOUGHT.title) if (place := asked.places.get(name))}
    for name, place in listed.items():
        rows = [
            row
            for each in laid
            if each.listed == name
            for row in rows_of(_at(each, place), place, job.workbook)
        ]
        if rows:
            work.job.setdefault(place.title, {}).update(
                marked(place, rows, names if name == BOARDS.title else {"where"})
            )
            work.own += [each.board for each in laid if each.listed == name]
    work.taken += [board.board for _, board in from_rack]
    _move_in(work, lines, names, job, unit)
    _take_out_and_put_in(work, laid, [board for _, board in from_rack], rack, asked.sheet.job)
    return work


def _at(laid: LaidBoard, place: Place) -> LaidBoard:
    """Return a board with its row on the tab: on To buy it was counted from the headings."""
    return replace(laid, row=laid.row + place.heading_row) if laid.listed == BOUGHT.title else laid


def _laid(job: _JobFile, rack: RackFile) -> list[LaidBoard]:
    """Return the boards that the last run cuts, when the job is still as it was at that run."""
    intake, notes = job.intake, job.workbook.notes
    if any(each.weight == "error" for each in intake.problems):
        raise Refused("changed since the run", "something on the input tabs is to be put right first")
    if notes.get(ASKED) is None:
        raise Refused("not run yet", job.path.name)
    if notes[ASKED] != print_of_inputs(intake.job, job.workbook):
        raise Refused("changed since the run", job.path.name)
    laid = laid_boards(notes)
    if not laid:
        raise Refused("nothing to cut", job.path.name)
    yard = [each.board for each in laid if each.where == "yard"]
    if yard:
        raise Refused("still at the yard", ", ".join(yard))
    strange = [each.board for each in laid if each.listed not in (BOARDS.title, BOUGHT.title, rack.path.name)]
    if strange:
        raise Refused("rack changed", ", ".join(strange))
    amiss = [each for each in rack.rack.problems if each.weight == "error"]
    if amiss:
        raise Refused("rack amiss", f"{rack.path.name}, {amiss[0].place}: {amiss[0].says}")
    return laid


def _found(laid: LaidBoard, rack: RackFile) -> Board:
    """Return a board as the rack lists it now; it must be the one that was laid out."""
    mark = mark_on_list(laid.board, laid.listed)
    for board in rack.rack.boards:
        same = (board.board, board.species.name, board.stock.name) == (mark, laid.species, laid.stock)
        if (
            same
            and board.where != "cut"
            and max(abs(board.width - laid.width), abs(board.length - laid.length)) < 1e-4
        ):
            return board
    raise Refused("rack changed", f"{mark}, {laid.species} {laid.stock}")


def _move_in(
    work: _Work, lines: Sequence[Mapping[str, str | float]], names: Iterable[str], job: _JobFile, unit: Unit
) -> None:
    """Write the boards of the rack that were cut on the job's own tab, so that it can be worked out again."""
    if not lines:
        return
    place = job.intake.job.places.get(BOARDS.title)
    if place is None:
        page = table_page(BOARDS, unit)
        heading = max(row for (row, _), cell in page.cells.items() if cell.value == BOARDS.key_column.heading)
        columns = {column.name: number for number, column in enumerate(BOARDS.asked, 1)}
        cells = dict(page.cells)
        for row, line in enumerate(lines, heading + 1):
            for name, value in line.items():
                style = page.columns[columns[name]].style
                cells[row, columns[name]] = Cell(value, style=style)
        work.added = (replace(page, cells=cells),)
        return
    own = job.workbook.page(place.title)
    columns, headings = columns_for(place, names)
    patches = work.job.setdefault(place.title, {})
    patches.update(headings)
    rows = free_rows(
        len(lines),
        place.last_row + 1,
        taken_rows(own, [columns[name] for name in ASKED_OF_BOARD if name in columns]),
    )
    for row, line in zip(rows, lines, strict=True):
        patches.update({(row, columns[name]): Cell(value) for name, value in line.items() if name in columns})


def _take_out_and_put_in(
    work: _Work, laid: Sequence[LaidBoard], taken: Sequence[Board], rack: RackFile, job: str
) -> None:
    """Empty the rows of the boards taken out, then write left-overs into these and the free ones below."""
    place = rack.rack.place
    if place is None:
        raise Refused("rack amiss", rack.path.name)
    page = rack.workbook.page(place.title)
    columns = [place.columns[name] for name in ASKED_OF_BOARD if name in place.columns]
    patches = work.rack.setdefault(place.title, {})
    emptied: list[int] = []
    for board in taken:
        as_laid = LaidBoard("", board.row, board.board, "", "", 0, 0, "")
        rows = rows_of(as_laid, place, rack.workbook)
        emptied += rows
        for row in rows:
            patches.update(
                {(row, at): Cell() for at in columns if page is not None and (row, at) in page.cells}
            )
    marks = {board.board.casefold() for board in rack.rack.boards if board not in taken}
    lines: list[dict[str, str | float]] = []
    for each in laid:
        for width, length in each.left:
            mark = left_mark(mark_on_list(each.board, each.listed), marks)
            unit = rack.rack.unit
            sizes = {"width": typed_size(width, unit), "length": typed_size(length, unit)}
            wood = {"species": each.species, "stock": each.stock}
            lines.append({"board": mark, **wood, **sizes, "note": f"left over from {job}"})
            size = f"{length_text(width, unit)} x {length_text(length, unit)}"
            work.put_in.append(f"{mark} ({each.species} {each.stock}, {size})")
    below = free_rows(len(lines), place.last_row + 1, taken_rows(page, columns))
    rows = [*sorted(emptied), *below][: len(lines)]
    for row, line in zip(rows, lines, strict=True):
        for name, value in line.items():
            if name in place.columns:
                patches[row, place.columns[name]] = Cell(value)


# how it is written


def _changes(in_rack: bool, patches: Patches, workbook: Workbook) -> list[Changed]:
    found = []
    for title, cells in sorted(patches.items()):
        page = workbook.page(title)
        for (row, column), cell in sorted(cells.items()):
            old = page.cells.get((row, column), Cell()) if page else Cell()
            found.append(
                Changed(in_rack, title, row, column, (old.value, old.formula), (cell.value, cell.formula))
            )
    return found


def _below_headings(page: Page) -> dict[Address, Cell]:
    """Return what stands in the table of a tab of ours."""
    heading = max(row for (row, _), cell in page.cells.items() if cell.value == BOARDS.key_column.heading)
    return {at: cell for at, cell in page.cells.items() if at[0] > heading and cell.value is not None}


def _put(job: _JobFile, rack: RackFile, work: _Work, cut: Mapping[str, str], force: bool) -> tuple[Path, ...]:
    """Graft both workbooks, look at what they say, and put both in place."""
    kept = {key: text for key, text in job.workbook.notes.items() if not key.startswith(CUT)}
    notes = {**kept, **cut, BACKUP: save.digest(job.data)}
    change = Change(added=work.added, patches=work.job, columns=job.workbook.columns, notes=notes)
    after = job.file_format.graft(job.data, change)
    again = job.file_format.read(after)
    asked = print_of_inputs(_intake(again).job, again)
    after = job.file_format.graft(job.data, replace(change, notes={**notes, ASKED: asked}))
    rack_notes = {**rack.workbook.notes, BACKUP: save.digest(rack.data)}
    of_rack = Change(patches=work.rack, columns=rack.workbook.columns, notes=rack_notes)
    rack_after = rack.file_format.graft(rack.data, of_rack)

    def job_reads(written: bytes) -> None:
        _refuse_unless_written(written, job.file_format, work.job, job.path.name)
        if any(each.weight == "error" for each in _intake(job.file_format.read(written)).problems):
            raise Refused("verification", job.path.name)

    def rack_reads(written: bytes) -> None:
        _refuse_unless_written(written, rack.file_format, work.rack, rack.path.name)
        found = rack_of(rack.file_format.read(written).pages, rack.path.name)
        if any(each.weight == "error" for each in found.problems):
            raise Refused("verification", rack.path.name)

    swaps = (
        Swap(rack.path, rack.data, rack_after, rack_reads, rack.workbook.notes.get(BACKUP, "")),
        Swap(job.path, job.data, after, job_reads, job.workbook.notes.get(BACKUP, "")),
    )
    return replace_both(swaps, force=force)


def _refuse_unless_written(written: bytes, file_format: FileFormat, patches: Patches, name: str) -> None:
    workbook = file_format.read(written)
    for title, cells in patches.items():
        page = workbook.page(title)
        for address, cell in cells.items():
            stands = page.cells.get(address, Cell()) if page else Cell()
            if (stands.value or "") != (cell.value or ""):
                raise Refused("verification", f"{name}, {title}!{cell_name(*address)}")


def _undone(job: _JobFile, rack: RackFile, force: bool, said: tuple[str, ...]) -> CutOutcome:
    """Put every cell that the cut has changed back as it was, when none was changed since."""
    told = cut_of(job.workbook.notes)
    if told is None:
        raise Refused("not cut", job.path.name)
    work = _Work()
    for each in told[1]:
        workbook, patches, path = (
            (rack.workbook, work.rack, rack.path) if each.in_rack else (job.workbook, work.job, job.path)
        )
        page = workbook.page(each.tab)
        stands = page.cells.get((each.row, each.column), Cell()) if page else Cell()
        if (stands.value or "") != (each.after[0] or "") or stands.formula != each.after[1]:
            raise Refused("cannot undo", f"{path.name}, {each.tab}!{cell_name(each.row, each.column)}")
        patches.setdefault(each.tab, {})[each.row, each.column] = Cell(*each.before)
    marks: Callable[[int], list[str]] = lambda side: [  # noqa: E731
        str(pair[side])
        for each in told[1]
        if each.in_rack and each.column == _mark_column(rack)
        for pair in [(each.before[0], each.after[0])]
        if pair[side] is not None
    ]
    work.taken, work.put_in = marks(0), marks(1)
    backups = _put(job, rack, work, {}, force)
    return CutOutcome(
        job.path, rack.path, True, tuple(dict.fromkeys(work.taken)), (), tuple(work.put_in), backups, said
    )


def _mark_column(rack: RackFile) -> int:
    return rack.rack.place.columns.get("board", 0) if rack.rack.place else 0

"""The whole flow on one screen: read, intake, plan, tabs, write back. The only module that sees both ends."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from sheetkit.book import save
from sheetkit.book.asked import Block, asked_among, print_of_inputs, sums_of_inputs
from sheetkit.book.both import recover
from sheetkit.book.dependents import looking_at_answers, without_old_results
from sheetkit.book.formats import FileFormat, by_content, by_ending
from sheetkit.book.language import decimal_comma, language_of
from sheetkit.book.package import Held, Pieces
from sheetkit.book.pictures import NAMED, LaidOver
from sheetkit.book.places import (
    Said,
    decorated_title,
    fingerprint,
    place_answers,
    print_of_answers,
)
from sheetkit.book.workbook import ASKED, BACKUP, Change, Refused, Workbook
from sheetkit.data.cut_notes import laid_notes, notes_of_cut
from sheetkit.data.figures import kept_figures
from sheetkit.intake.bought import noted_on, without_noted
from sheetkit.intake.workbook import Intake, take_in
from sheetkit.jobs.recalculated import results_after, with_results
from sheetkit.jobs.shop_rack import with_rack
from sheetkit.page import Address, Cell, Page
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.records.job import JobSheet
from sheetkit.records.problems import Problem, problem
from sheetkit.records.units import Units
from sheetkit.tabs.beside import answers_beside
from sheetkit.tabs.decimals import decimal_sign, worded, worded_beside, worded_page
from sheetkit.tabs.draft import stamped
from sheetkit.tabs.growth import grown_rows
from sheetkit.tabs.pages import not_calculated_pages, result_pages, to_buy
from sheetkit.tabs.since import KEPT, SINCE_AT, is_notice, with_since
from sheetkit.version import VERSION

if TYPE_CHECKING:
    from pandas import DataFrame


MOST_ROUNDS = 5
"""How often a job is worked out anew whose inputs follow from its answers, when LibreOffice is asked."""
BUY, NOTED = "buy", "print.noted"
"""Key of the tab To buy, and the note that holds the print of all that was written on it."""
OPENS = "opens"
"""Note of the tab on which the workbook was last made to open: it is done again only with other news."""


class Standing(NamedTuple):
    """What stands where the answers go, nothing where there is no file yet."""

    data: bytes
    notes: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a run did."""

    path: Path
    """Where the answers stand (or would, after a check)."""
    written: bool
    problems: tuple[Problem, ...]
    answers: Answers | None
    """None when something is to be put right first."""
    backup: Path | None = None

    @property
    def ok(self) -> bool:
        """Whether everything was calculated."""
        return self.answers is not None

    def plain(self) -> dict[str, Any]:
        """Return the answers as plain data: what ``--json`` writes, but money as Decimal."""
        from sheetkit.data.plain import run_data

        backup = self.backup and str(self.backup)
        about = {"file": str(self.path), "written": self.written, "backup": backup}
        return run_data(self.answers, self.problems, **about)

    def frames(self) -> dict[str, DataFrame]:
        """Return every table of the answers as a data frame, keyed as in ``--json``; else the problems.

        ``frames()["parts"].attrs["units"]`` names the unit of each column. Money is Decimal.
        """
        from sheetkit.data.plain import data_frames

        return data_frames(self.plain())


def run(
    path: str | os.PathLike[str],
    *,
    check: bool = False,
    out: str | os.PathLike[str] | None = None,
    recalc: bool = False,
    force: bool = False,
    effort: float = 1.0,
    progress: Callable[[str, float], None] | None = None,
    now: datetime | None = None,
    home: Path | None = None,
) -> Outcome:
    """Work out a job's workbook and put the answers into it.

    Parameters
    ----------
    path
        The workbook, .xlsx or .ods.
    check
        Only look for problems; write nothing.
    out
        Write the result to this file, and leave ``path`` as it is.
    recalc
        Have LibreOffice compute formulas that have no stored result, or look at something that this run
        changes (on a copy), and store what it computed.
    force
        Go on although a spreadsheet program's lock file stands.
    effort
        Work put into the board layout; 1 is about two seconds for 60 blanks on 25 boards.
    progress
        Called with what is being worked out and the share done, while the board layout is.
    now
        Time for the stamp; the clock's when not given.
    home
        Folder from which the path of the rack is taken; that of ``path`` when not given.

    Raises
    ------
    Refused
        When the file cannot be worked on; it is then as it was.
    """
    source = Path(path)
    target = Path(out) if out else source
    data = save.load(source)
    if not check and recover(source):
        data = save.load(source)
    if not (check or force):
        save.refuse_if_open(target)
    file_format = by_content(data, source.suffix)
    if out and by_ending(target.suffix).ending != file_format.ending:
        raise Refused("wrong ending", target.name)
    workbook = file_format.read(data)
    place = save.actual(target)
    same = place == save.actual(source)
    standing = data if same else save.load(place) if place.is_file() else b""
    there = Standing(standing, workbook.notes if same else _notes(standing, file_format))
    pages, computed = with_results(workbook, data, file_format) if recalc else (workbook.pages, data)
    intake = with_rack(take_in(pages, workbook.owned.get(BUY, "")), home or source.parent)
    workbook = replace(workbook, pages=pages)
    typed = intake.job.sheet.decimal_sign
    comma = typed == "comma" if typed else decimal_comma(language_of(data))
    when = now or datetime.now()
    with decimal_sign(comma, own_words(workbook) if comma else ()):
        for _ in range(MOST_ROUNDS):
            after, answers, problems = _worked_out(
                computed, workbook, intake, file_format, there, when, effort, progress, recalc
            )
            if not recalc or answers is None:
                break
            computed = bytes(after)
            workbook = file_format.read(computed)
            intake = with_rack(take_in(workbook.pages, workbook.owned.get(BUY, "")), home or source.parent)
            if print_of_inputs(intake.job, workbook) == workbook.notes.get(ASKED):
                break
    written = not check and not after.is_same(standing)
    backup: Path | None = None
    if written:
        if not force:  # it may have been opened while the answers were worked out
            save.refuse_if_open(target)
        verify, known = _verifier(file_format), there.notes.get(BACKUP, "")
        if same:
            backup = save.replace(source, data, after, verify, force=force, known=known)
        else:
            known = "" if known == save.digest(data) else known  # the backup is what is read: it stays
            backup = save.create(
                target, after, over=True, like=source, force=force, known=known, verify=verify
            )
    return Outcome(target, written, problems, answers, backup)


def own_words(workbook: Workbook) -> frozenset[str]:
    """Return all words of the maker's own tabs."""
    own = set(workbook.owned.values())
    filled = [(title.casefold(), block) for title, block in workbook.columns.values()]
    return frozenset(
        cell.value
        for page in workbook.pages
        if page.title not in own
        for (row, column), cell in page.cells.items()
        if isinstance(cell.value, str)
        and not any(
            title == page.title.casefold() and block.first_column == column for title, block in filled
        )
    )


def _notes(data: bytes, file_format: FileFormat) -> Mapping[str, str]:
    """Return an earlier run's notes in the file that the answers replace; none where it is no workbook."""
    try:
        return file_format.read_own(data).notes if data else {}
    except Refused:
        return {}


def _worked_out(
    data: bytes,
    workbook: Workbook,
    intake: Intake,
    file_format: FileFormat,
    there: Standing,
    now: datetime,
    effort: float,
    progress: Callable[[str, float], None] | None,
    recalc: bool,
) -> tuple[Pieces, Answers | None, tuple[Problem, ...]]:
    """Return the workbook with the answers in it, the answers, and every problem."""
    answers, problems = _answered(intake, effort, progress)
    beside = worded_beside(answers_beside(answers)) if answers else {}
    placed = place_answers(intake.job, beside, workbook)
    problems += placed.problems
    noted = noted_on(workbook.page(workbook.owned.get(BUY, "")))
    if noted:
        again = noted_on(to_buy(answers, intake.job, noted, ""))
        moved = again.heading - noted.heading if again else 0
        problems = [
            replace(each, row=each.row + moved) if each.tab == workbook.owned[BUY] and each.row else each
            for each in problems
        ]

    def pages() -> list[Page]:
        if answers:
            found = result_pages(answers, problems, "", noted)
        else:
            found = not_calculated_pages(intake.job, problems, "", workbook.owned, noted)
        return [_worded_but_noted(page) for page in found]

    made = pages()
    dropped = frozenset(workbook.owned) - {page.key for page in made}
    kept = _kept_aside(workbook, file_format.laid_over(data), dropped)
    for key, title in kept.items():
        if (old := workbook.page(workbook.owned[key])) and is_notice(old.cells.get(SINCE_AT)):
            placed.patches[title] = {SINCE_AT: Cell(KEPT)}
    looking = looking_at_answers(workbook, Change(tuple(made), patches=placed.patches))
    if answers and (round_about := asked_among(intake.job, workbook, looking)):
        title, (row, column) = round_about[0]
        problems.append(problem("depends", title, row, column))
        made = pages()
    spoken = [Said(page) for page in made]
    said = print_of_answers(spoken, beside)
    known = next((notes for notes in (there.notes, workbook.notes) if notes.get("said") == said), {})
    stamp = known.get("stamp") or worded(_stamp(intake.job.sheet, now))
    tabs = tuple(stamped(page, stamp) for page in made)
    if answers:
        buy = next(page for page in tabs if page.key == BUY)
        table = noted_on(buy)
        to_note = [Block(buy, table.asked, table.heading + 1)] if table else []
        tabs = with_since(tabs, sums_of_inputs(intake.job, workbook, to_note))
    opens = "summary" if answers else "messages"
    notes = {
        "said": said,
        "stamp": stamp,
        ASKED: print_of_inputs(intake.job, workbook),
        OPENS: opens,
        NAMED: "named",
        **_prints(tabs, spoken),
        **(kept_figures(answers) if answers else {}),
        **(laid_notes(answers, answers.job.allowances.narrowest_stave) if answers else {}),
        **notes_of_cut(workbook.notes),
    }
    del made, spoken  # the words of every cell are not kept while the file is written
    made_by_us = workbook.columns or workbook.owned
    news = opens if made_by_us and workbook.notes.get(OPENS) != opens else ""
    own = ((page, placed.patches[page.title]) for page in workbook.pages if page.title in placed.patches)
    heights = {page.title: grown_rows(page, put, placed.fresh.get(page.title, {})) for page, put in own}
    change = Change(tabs, dropped, kept, (), placed.patches, placed.columns, notes)
    change = replace(change, heights=heights, fresh=placed.fresh, opens=news)
    after = _put_in(data, workbook, change, file_format, there, recalc)
    # said on the terminal alone: the next run finds nothing to keep, and must leave the file as it is
    problems += [problem("kept-copy", workbook.owned[key], kept=title) for key, title in kept.items()]
    return after, answers, tuple(problems)


def _answered(
    intake: Intake, effort: float, progress: Callable[[str, float], None] | None
) -> tuple[Answers | None, list[Problem]]:
    """Return the answers, none when something is to be put right first, and every problem found so far."""
    problems = list(intake.problems)
    if any(found.weight == "error" for found in problems):
        return None, problems
    answers = answer(intake.job, effort, progress)
    problems += answers.problems
    return (None if any(found.weight == "error" for found in problems) else answers), problems


def _prints(tabs: Sequence[Page], spoken: Sequence[Said]) -> dict[str, str]:
    """Return the prints of our tabs, by which a later run sees what the maker changed on them."""
    prints = {
        f"print.{page.key}": each.fingerprint(_unlike(each.page, page))
        for page, each in zip(tabs, spoken, strict=True)
    }
    buy = next(page for page in tabs if page.key == BUY)
    return {**prints, f"print.{BUY}": _print_of(BUY, buy), NOTED: fingerprint(buy)}


def _put_in(
    data: bytes, workbook: Workbook, change: Change, file_format: FileFormat, there: Standing, recalc: bool
) -> Pieces:
    """Return the workbook with a change in it, as it stands there already when nothing else is said."""
    lasting = without_old_results(workbook, change)
    results = results_after(data, lasting, change, file_format) if recalc else {}
    lasting = replace(lasting, computed=bool(results))

    def grafted(backup: str) -> Pieces:
        noted = {**change.notes, BACKUP: backup} if backup else change.notes
        put_in = file_format.grafted(data, replace(lasting, notes=noted))
        return Pieces([file_format.with_results(bytes(put_in), results)]) if results else put_in

    if there.notes.get("said") == change.notes["said"]:
        after = grafted(there.notes.get(BACKUP, ""))
        if after.is_same(there.data):
            return after
    return grafted(save.digest(there.data) if there.data else "")


def _unlike(before: Page, after: Page) -> dict[Address, Cell]:
    """Return the cells of a page that were put in after its words were told."""
    return {at: cell for at, cell in after.cells.items() if before.cells.get(at) is not cell}


def _kept_aside(workbook: Workbook, laid: LaidOver, dropped: frozenset[str]) -> dict[str, str]:
    """Return new titles, by key, for our tabs that the maker changed or bound something to."""
    gone = laid.bound | (laid.free & dropped)
    taken = {page.title.casefold() for page in workbook.pages}
    kept: dict[str, str] = {}
    for key, title in workbook.owned.items():
        page = workbook.page(title)
        if page is None:
            continue
        noted = noted_on(page) if key == BUY else None
        known = workbook.notes.get(f"print.{key}")
        if key in gone or known not in (None, _print_of(key, page)) or (noted and noted.has_formula):
            kept[key] = decorated_title(title, taken)
            taken.add(kept[key].casefold())
    return kept


def _worded_but_noted(page: Page) -> Page:
    """Return a page in the words of the workbook's language, but for what the maker noted on it."""
    made = worded_page(page)
    noted = noted_on(page) if page.key == BUY else None
    if noted is None:
        return made
    typed = ((row + noted.heading, column) for row, column in noted.cells)
    return replace(made, cells={**made.cells, **{address: page.cells[address] for address in typed}})


def _print_of(key: str, page: Page) -> str:
    """Return the print of a tab of ours, on To buy without what is the maker's to note there."""
    return fingerprint(without_noted(page) if key == BUY else page)


def _stamp(sheet: JobSheet, now: datetime) -> str:
    units = Units.of(sheet)
    moisture = ""
    if sheet.moisture_now is not None:
        in_use = f"{sheet.moisture_driest:.1f} to {sheet.moisture_wettest:.1f} % in use"
        moisture = f", wood at {sheet.moisture_now:.1f} %, {in_use}"
    said = f"{units.word}, rounded to {units.words(sheet.step)}{moisture}"
    return f"Made {now:%Y-%m-%d %H:%M} by sheetkit {VERSION}: {said}"


def _verifier(file_format: FileFormat) -> Callable[[Held], None]:
    """Return the check made on the written file before it takes the old one's place."""

    def verify(written: Held) -> None:
        again = file_format.read_own(written)
        for key, title in again.owned.items():
            page = again.page(title)
            if page is None or again.notes.get(f"print.{key}") != _print_of(key, page):
                raise Refused("verification", title)
            if key == BUY and again.notes.get(NOTED) != fingerprint(page):
                raise Refused("verification", title)

    return verify

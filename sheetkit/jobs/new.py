"""New workbooks, and input tabs put into a workbook that the maker already keeps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from sheetkit.book import save
from sheetkit.book.answer_columns import marks_of_new
from sheetkit.book.formats import FileFormat, by_content, by_ending
from sheetkit.book.package import Held
from sheetkit.book.workbook import BACKUP, Change, Refused, Workbook
from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, title_keys
from sheetkit.intake.workbook import take_in
from sheetkit.jobs.new_columns import new_columns
from sheetkit.page import Page
from sheetkit.tabs.template import template_pages
from sheetkit.units import Unit

SMALL = "small"
"""Name of the example job of few rows."""


def new_workbook(
    path: Path,
    *,
    metric: bool = False,
    example: str | None = None,
    parts: Path | None = None,
    like: Path | None = None,
    starter: bool = False,
) -> list[str]:
    """Write a new workbook, blank or filled, or one that begins as past jobs were, and say what is in it.

    ``example`` is the name of an example job to fill it with: ``small``, or empty for the entry bench.

    Raises
    ------
    Refused
        When the file exists, no example is so called, the list cannot be read, or the ending is neither
        .xlsx nor .ods.
    """
    unit: Unit = "mm" if metric else "in"
    if example and example.casefold() != SMALL:
        raise Refused("no example", example)
    if path.suffix.lower() not in (".xlsx", ".ods"):  # a macro workbook or a template says inside which it is
        raise Refused("not a workbook", path.suffix)
    file_format = by_ending(path.suffix)
    labels: Mapping[str, str] = {}
    filled: Mapping[str, Sequence[Mapping[str, str]]] = {}
    said = [f"Made {path}. Fill in Job and Parts, save, then: sheetkit run {path}"]
    if example is not None:
        from sheetkit.form.example import example_job

        labels, filled = example_job(unit, small=bool(example))
        said = [f"Made {path} with an example job. Now: sheetkit run {path}"]
    if like:
        from sheetkit.jobs.like import like as like_past_jobs

        past = like_past_jobs(like)
        unit, labels, filled = past.unit, past.labels, past.filled
        said += past.said
    if parts:
        from sheetkit.jobs.part_list import parts_from

        rows, matched = parts_from(parts)
        filled = {**filled, "Parts": rows}
        said += matched
    if starter:
        from sheetkit.jobs.starter import refuse_another_starter, starter_in

        refuse_another_starter(path.parent)  # before anything is written
    save.create(path, new_file(file_format, template_pages(unit, labels, filled)))
    return [*said, starter_in(path.parent)] if starter else said


def new_file(file_format: FileFormat, pages: Sequence[Page]) -> bytes:
    """Return a new workbook of input tabs, in which the columns of answers are known for ours."""
    return file_format.graft(file_format.render(pages), Change(columns=marks_of_new(pages)))


def adopted(path: Path, *, metric: bool = False, parts: Path | None = None, force: bool = False) -> list[str]:
    """Put the input tabs and columns that are missing into a workbook, and say which.

    Raises
    ------
    Refused
        When the workbook cannot be worked on.
    """
    data = save.load(path)
    if not force:
        save.refuse_if_open(path)
    file_format = by_content(data, path.suffix)
    workbook = file_format.read(data)
    unit: Unit = "mm" if metric else "in"
    there = {page.title.casefold() for page in workbook.pages if not _only_namesake(page)}
    there |= {title.casefold() for title in settings.INPUT_ORDER if not there.isdisjoint(title_keys(title))}
    filled: Mapping[str, Sequence[Mapping[str, str]]] = {}
    matched: list[str] = []
    if parts:
        from sheetkit.jobs.part_list import parts_from

        rows, matched = parts_from(parts)
        filled = {"Parts": rows}
    pages = template_pages(unit, filled=filled, standing=_standing(workbook))
    missing = tuple(page for page in pages if page.title.casefold() not in there)
    columns = new_columns(workbook, unit)
    if not missing and not columns.said:
        return [f"{path} has all input tabs already."]
    notes = {**workbook.notes, BACKUP: save.digest(data)}
    marks = {**workbook.columns, **marks_of_new(missing)}
    change = Change(added=missing, patches=columns.patches, columns=marks, notes=notes, fresh=columns.fresh)
    after = file_format.graft(data, change)

    def verify(written: Held) -> None:
        again = file_format.read(written)
        titles = {page.title for page in again.pages}
        if new_columns(again, unit).said:
            raise Refused("verification")
        if not {page.title for page in missing if page.title != settings.LISTS_TITLE} <= titles:
            raise Refused("verification")

    backup = save.replace(path, data, after, verify, force=force, known=workbook.notes.get(BACKUP, ""))
    names = [page.title for page in missing if page.title != settings.LISTS_TITLE]
    put = [", ".join(each) for each in (names, columns.said) if each]
    if columns.said:
        put[-1] = f"new columns on {put[-1]}"
    return [f"Put into {path}: {'; '.join(put)}. The file as it was: {backup.name}", *matched]


def _standing(workbook: Workbook) -> dict[str, tuple[str, int, int]]:
    """Return where the names stand on the input tabs that a workbook has already."""
    places = take_in(workbook.pages).job.places
    named = ((tab, places[tab.title]) for tab in TABLES if tab.title in places)
    return {
        tab.title: (place.title, place.heading_row + 1, place.columns[tab.key_column.name])
        for tab, place in named
    }


def client_file(
    path: Path, *, out: Path | None = None, pdf: bool = False, mail: str | None = None
) -> list[str]:
    """Write the client's copy of a workbook beside it, and say where.

    ``mail`` asks for a draft message with it (with the PDF when there is one), to this address unless it is
    empty.

    Raises
    ------
    Refused
        When there is no quote or it is old, what was given is no address, or the files cannot be read or
        written.
    """
    from sheetkit.jobs.client import client_copy
    from sheetkit.jobs.watch import sealed

    data = save.load(path)
    ending = by_content(data, path.suffix).ending
    target = out or path.with_name(f"{path.stem}.client{ending}")
    if target.suffix.lower() != ending:
        raise Refused("wrong ending", target.name)
    if save.actual(target) == save.actual(path):
        raise Refused("exists", str(target))
    save.refuse_if_open(target)
    copy = client_copy(data)
    if mail is not None:
        from sheetkit.jobs.mail import Attached, draft

        draft(copy.sheet, mail, Attached(target.name, ending, b""))  # refused before anything is written
    kept = _put(target, sealed(copy.data))
    said = [f"Written to {target}: the quote alone. {path} is as it was.{kept}", *copy.left_out]
    sent = target
    if pdf:
        import tempfile

        from sheetkit.book.office import convert

        sent = save.actual(target).with_suffix(".pdf")
        with tempfile.TemporaryDirectory(prefix="sheetkit-") as folder:
            kept = _put(sent, convert(target, "pdf", Path(folder)).read_bytes())
        said.append(f"Written to {sent.name}.{kept}")
    if mail is not None:
        letter = save.actual(target).with_suffix(".eml")
        kept = _put(
            letter, draft(copy.sheet, mail, Attached(sent.name, sent.suffix.lower(), sent.read_bytes()))
        )
        said.append(
            f"Written to {letter.name}: a draft to open in your mail program; nothing was sent.{kept}"
        )
    return said


def _put(path: Path, data: bytes) -> str:
    """Write a copy for the client, and say where each earlier one is kept, for it may have been sent."""
    real = save.actual(path)
    if real.is_file() and save.load(real) == data:
        return ""
    backup = save.create(path, data, over=True)
    return f" The earlier one: {backup.name}." if backup else ""


def _only_namesake(page: Page) -> bool:
    """Whether a tab bears the title Lists but is the maker's own: ours then takes another title beside it."""
    first = page.cells.get((1, 1))
    return page.title.casefold() == settings.LISTS_TITLE.casefold() and (
        first is None or first.value != "Species"
    )

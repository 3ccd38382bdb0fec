"""Working out a job without a terminal: the workbook in a folder, and the file to double-click beside it."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import sheetkit
from sheetkit.book import save
from sheetkit.book.formats import by_content
from sheetkit.book.starter import System, name_of, put, refuse_another, starter
from sheetkit.book.workbook import Refused
from sheetkit.jobs.watch import is_sealed

ENDINGS = (".xlsx", ".xlsm", ".ods")
BACKUP = re.compile(r"\.before( \d+)?$")
"""How the name of a backup ends."""


def engine() -> tuple[str, Path]:
    """Return the Python that has this very sheetkit, and the folder from which it finds it."""
    return sys.executable, Path(sheetkit.__file__).parent.parent


def system() -> System:
    """Return the system that this is."""
    others: dict[str, System] = {"win32": "windows", "darwin": "macos"}
    return others.get(sys.platform, "linux")


def workbooks_of_jobs(path: Path) -> list[Path]:
    """Return the workbook that is meant, or those in a folder that hold a job, the one saved last first.

    Raises
    ------
    Refused
        When there is none.
    """
    if not path.is_dir():
        if not _holds_a_job(save.load(path), path.suffix):
            raise Refused("no job in it", path.name)
        return [path]
    there = [
        each
        for each in path.iterdir()
        if each.suffix.lower() in ENDINGS and not each.name.startswith((".", "~$")) and each.is_file()
    ]
    found = [each for each in there if not BACKUP.search(each.stem) and _is_a_job(each)]
    if not found:
        raise Refused("no job in the folder", str(path))
    return sorted(found, key=lambda each: (-each.stat().st_mtime_ns, each.name))


def _is_a_job(path: Path) -> bool:
    """Whether a workbook holds a job and is no copy of ours; one that cannot be read may, until chosen."""
    try:
        data = save.load(path)
        return not is_sealed(data) and _holds_a_job(data, path.suffix)
    except Refused:
        return True


def _holds_a_job(data: bytes, ending: str) -> bool:
    workbook = by_content(data, ending).read(data)
    return workbook.page("Job") is not None or workbook.page("Parts") is not None


def starter_in(folder: Path, *, watch: bool = False) -> str:
    """Put a starter for this system into a folder, in place of an earlier one, and say so.

    Raises
    ------
    Refused
        When something else stands there under its name, or it cannot be written.
    """
    place = folder / name_of(system(), watch=watch)
    put(place, starter(system(), *engine(), watch=watch))
    return (
        f"Made {place}: a double click on it works out the workbook in its folder{' at each save' * watch}."
    )


def refuse_another_starter(folder: Path) -> None:
    """Refuse a folder in which something else stands under the name of a starter.

    Raises
    ------
    Refused
        With its name.
    """
    refuse_another(folder / name_of(system(), watch=False))

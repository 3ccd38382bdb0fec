"""The file that is double-clicked in place of a command typed in a terminal, made from ``starters/``."""

from __future__ import annotations

import contextlib
import os
import shlex
from hashlib import sha256
from pathlib import Path
from typing import Literal

from sheetkit.book import save
from sheetkit.book.workbook import Refused

System = Literal["linux", "macos", "windows"]
FILES = Path(__file__).parent / "starters"
ENDINGS: dict[System, str] = {"linux": ".sh", "macos": ".command", "windows": ".bat"}
"""What each system starts on a double click, in a window of its own."""
MOST_BYTES = 20_000
"""A file larger than this is none of ours."""


def name_of(system: System, *, watch: bool) -> str:
    """Return the name of a starter.

    >>> name_of("windows", watch=False), name_of("linux", watch=True)
    ('Work out.bat', 'Work out at each save.sh')
    """
    return ("Work out at each save" if watch else "Work out") + ENDINGS[system]


def starter(system: System, python: str, engine: Path, *, watch: bool) -> bytes:
    """Return what stands in a starter.

    Parameters
    ----------
    system
        For which it is.
    python
        The Python that has sheetkit.
    engine
        The folder from which it is started.
    watch
        Whether it waits and works out at each save.
    """
    windows = system == "windows"
    template = (FILES / f"starter{'.bat' if windows else '.sh'}").read_text("utf-8")
    for name, word in {"PYTHON": python, "ENGINE": str(engine), "WATCH": "--watch" if watch else ""}.items():
        template = template.replace(f"@{name}@", word.replace("%", "%%") if windows else shlex.quote(word))
    if windows:
        template = template.replace("\n", "\r\n")
    return _sealed(os.fsencode(template), b"rem " if windows else b"# ", b"\r\n" if windows else b"\n")


def _sealed(text: bytes, remark: bytes, end: bytes) -> bytes:
    """Return a text with a checksum of it as its last line."""
    return text + remark + sha256(text).hexdigest().encode() + end


def put(path: Path, data: bytes) -> None:
    """Write a starter, in place of an earlier one.

    Raises
    ------
    Refused
        When something else stands there, or it cannot be written.
    """
    refuse_another(path)
    try:
        path.unlink(missing_ok=True)
        save.create(path, data)
        path.chmod(path.stat().st_mode | 0o111)
    except OSError as error:
        raise Refused("cannot write", f"{error.strerror or error}: {path.name}") from None


def refuse_another(path: Path) -> None:
    """Refuse a file under the name of a starter that is none, or that somebody has changed.

    Raises
    ------
    Refused
        With its name.
    """
    with contextlib.suppress(FileNotFoundError):
        try:
            found = path.read_bytes() if path.lstat().st_size < MOST_BYTES and path.is_file() else b""
        except OSError as error:
            if isinstance(error, FileNotFoundError):
                raise
            raise Refused("cannot write", f"{error.strerror or error}: {path.name}") from None
        text, remark, digest = found.rstrip().rpartition(b"\n")
        if digest.split()[-1:] != [sha256(text + remark).hexdigest().encode()]:
            raise Refused("starter is not ours", path.name)

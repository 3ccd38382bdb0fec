"""The menu in LibreOffice Calc: put in and taken away by LibreOffice's own extension manager."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from sheetkit.book.extension import IDENTIFIER, extension, managed
from sheetkit.jobs.starter import engine
from sheetkit.version import VERSION


def installed() -> str:
    """Put the menu into Calc, in place of an earlier one, and say so.

    It starts the very sheetkit that put it in, with the same Python.

    Raises
    ------
    Refused
        When LibreOffice's extension manager is not there, or refuses.
    """
    python, where = engine()
    packed = extension(VERSION, (python, "-m", "sheetkit"), where, open_is_held=os.name == "nt")
    with tempfile.TemporaryDirectory(prefix="sheetkit-") as folder:
        path = Path(folder) / "sheetkit.oxt"
        path.write_bytes(packed)
        managed("add", "--force", str(path))
    return "The menu Sheetkit stands in LibreOffice Calc when LibreOffice is started next."


def removed() -> str:
    """Take the menu away from Calc, and say so.

    Raises
    ------
    Refused
        When LibreOffice's extension manager is not there, or refuses.
    """
    if managed("remove", IDENTIFIER):
        return "The menu Sheetkit is gone from LibreOffice Calc when LibreOffice is started next."
    return "There is no menu Sheetkit in LibreOffice Calc."

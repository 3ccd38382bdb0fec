"""A maker at LibreOffice: opens a workbook, types into it, saves, closes; the program has no window."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable
from pathlib import Path

from tests.book.office_desk import started

SESSION = """
Sub Main
  Dim book, number, typed
  book = StarDesktop.loadComponentFromURL("{book}", "_blank", 0, Array())
  Do
    Wait 20
    If FileExists("{types}") Then
      number = FreeFile
      Open "{types}" For Input As #number
      Line Input #number, typed
      Close #number
      If typed = "" Then
        book.close(True)
        StarDesktop.terminate()
      Else
        book.Sheets.getByName("Parts").getCellRangeByName(Split(typed, "=")(0)).Value = CDbl(Split(typed, "=")(1))
        book.store()
      End If
      Kill "{types}"
    End If
  Loop Until typed = "" And Not IsEmpty(typed)
End Sub
"""
"""Written in Basic, which every LibreOffice brings; its Python bridge is a package of its own."""


class OfficeMaker:
    """One workbook open in LibreOffice, from the start to ``close``.

    Parameters
    ----------
    book
        The workbook; it has a tab Parts.
    folder
        An empty folder for the program's own files.
    """

    def __init__(self, book: Path, folder: Path) -> None:
        self.lock = book.with_name(f".~lock.{book.name}#")
        self.types = folder / "types"
        basic = SESSION.replace("{book}", book.as_uri()).replace("{types}", self.types.as_uri())
        self.program = started(folder, basic)
        self._until(self.lock.exists)

    def save(self, cell: str, value: float) -> None:
        """Type a number into a cell of Parts and save."""
        self._do(f"{cell}={value}")
        self._until(lambda: not self.types.exists())

    def close(self) -> None:
        """Close the workbook and leave the program."""
        self._do("")
        self.program.wait(60)

    def end(self) -> None:
        """End the program, whatever it is at."""
        if self.program.poll() is None:
            os.killpg(self.program.pid, signal.SIGKILL)
            self.program.wait(60)

    def _do(self, words: str) -> None:
        ready = self.types.with_suffix(".ready")
        ready.write_text(words + "\n", "utf-8")
        ready.replace(self.types)

    def _until(self, happened: Callable[[], bool]) -> None:
        for _ in range(600):
            if happened():
                return
            assert self.program.poll() is None, "LibreOffice ended"
            time.sleep(0.1)
        raise AssertionError("LibreOffice does nothing")

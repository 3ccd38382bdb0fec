"""A maker at LibreOffice: opens a workbook, types into it, saves, closes; the program has no window."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

from sheetkit.book.office import office_program

SESSION = """
Sub Session
  Dim book, number, typed
  book = StarDesktop.loadComponentFromURL(Environ("MAKER_BOOK"), "_blank", 0, Array())
  Do
    Wait 20
    If FileExists(Environ("MAKER_TYPES")) Then
      number = FreeFile
      Open Environ("MAKER_TYPES") For Input As #number
      Line Input #number, typed
      Close #number
      If typed = "" Then
        book.close(True)
        StarDesktop.terminate()
      Else
        book.Sheets.getByName("Parts").getCellRangeByName(Split(typed, "=")(0)).Value = CDbl(Split(typed, "=")(1))
        book.store()
      End If
      Kill Environ("MAKER_TYPES")
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
        program = office_program()
        assert program is not None
        self.lock = book.with_name(f".~lock.{book.name}#")
        self.types = folder / "types"
        command = [program, f"-env:UserInstallation={(folder / 'profile').as_uri()}",
                   "--headless", "--norestore", "--nologo"]  # fmt: skip
        subprocess.run([*command, "--terminate_after_init"], capture_output=True, timeout=120, check=True)
        module = folder / "profile" / "user" / "basic" / "Standard" / "Module1.xba"
        text = module.read_text("utf-8")
        module.write_text(
            text[: text.rindex("REM")] + SESSION.replace('"', "&quot;") + "</script:module>", "utf-8"
        )
        self.program = subprocess.Popen(
            [*command, "macro:///Standard.Module1.Session"],
            env={**os.environ, "MAKER_BOOK": book.as_uri(), "MAKER_TYPES": str(self.types)},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
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

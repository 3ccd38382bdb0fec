"""The extension for LibreOffice Calc, packed from ``calc_menu/``, and the manager that takes it in."""

from __future__ import annotations

import io
import json
import subprocess
import zipfile
from collections.abc import Sequence
from pathlib import Path

from sheetkit.book.office import extension_manager
from sheetkit.book.workbook import Refused

IDENTIFIER = "sheetkit.menu"
FILES = Path(__file__).parent / "calc_menu"


def extension(version: str, command: Sequence[str], folder: Path, *, open_is_held: bool = False) -> bytes:
    """Return the extension as a file .oxt.

    Parameters
    ----------
    version
        What LibreOffice shows as its version.
    command
        Words that start sheetkit; those of the menu follow them.
    folder
        Where it is started.
    open_is_held
        Whether this system lets nobody replace a file that a program has open, as Windows does.
    """
    engine = {"command": [*command], "folder": str(folder), "open_is_held": open_is_held}
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(each for each in FILES.iterdir() if each.is_file()):
            name = f"META-INF/{path.name}" if path.name == "manifest.xml" else path.name
            archive.writestr(name, path.read_text("utf-8").replace("{version}", version))
        archive.writestr("engine.json", json.dumps(engine))
    return packed.getvalue()


def managed(*words: str) -> bool:
    """Have LibreOffice's extension manager do something, and return whether it found what was meant.

    Raises
    ------
    Refused
        When the manager is not there or fails.
    """
    program = extension_manager()
    if program is None:
        raise Refused("no extension manager")
    try:
        done = subprocess.run(
            [program, *words], capture_output=True, text=True, errors="replace", timeout=180, check=False
        )
    except (subprocess.SubprocessError, OSError) as error:
        raise Refused("extension manager failed", str(error)) from None
    said = (done.stdout + done.stderr).strip()
    if "as root" in said:
        raise Refused("extension manager and root")
    if done.returncode and "no such extension" not in said.casefold():
        raise Refused("extension manager failed", said.splitlines()[-1] if said else str(done.returncode))
    return done.returncode == 0

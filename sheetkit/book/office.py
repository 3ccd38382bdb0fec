"""Stored results from LibreOffice: missing ones are computed on a copy, and only values are taken."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from sheetkit.book.workbook import Refused


def office_program() -> str | None:
    """Return the path of LibreOffice, or None when it is not installed."""
    return shutil.which("soffice") or shutil.which("libreoffice") or _beside("soffice", ".exe")


def shown(path: Path) -> bool:
    """Have the system open a file in the program that it has for it, and return whether it could be asked."""
    if sys.platform == "win32":
        os.startfile(path)
        return True
    on_linux = sys.platform != "darwin"
    program = shutil.which("xdg-open" if on_linux else "open")
    if program is None or (on_linux and not {"DISPLAY", "WAYLAND_DISPLAY"} & os.environ.keys()):
        return False
    nowhere = subprocess.DEVNULL
    subprocess.Popen(
        [program, str(path.resolve())],
        stdin=nowhere,
        stdout=nowhere,
        stderr=nowhere,
        start_new_session=True,
        env=own_environment(),
    )
    return True


def own_environment() -> dict[str, str]:
    """Return the environment without the virtual one that this Python may run in.

    LibreOffice's own Python would take it for its home, and with the menu LibreOffice does not start then.
    """
    if sys.prefix == sys.base_prefix:
        return dict(os.environ)
    here = Path(sys.executable).parent
    places = os.environ.get("PATH", "").split(os.pathsep)
    path = os.pathsep.join(place for place in places if Path(place) != here)
    return {name: value for name, value in os.environ.items() if name != "VIRTUAL_ENV"} | {"PATH": path}


def extension_manager() -> str | None:
    """Return the path of LibreOffice's own extension manager, or None when it is not there."""
    return shutil.which("unopkg") or _beside("unopkg", ".com")


def _beside(name: str, windows_ending: str) -> str | None:
    """Return a program beside the one that is on the path, or from where LibreOffice puts itself."""
    found = shutil.which("soffice") or shutil.which("libreoffice")
    places = [Path(found).resolve().parent] if found else []
    places += [Path("/Applications/LibreOffice.app/Contents/MacOS"), Path("/opt/libreoffice/program")]
    places += [
        Path(os.environ[key], "LibreOffice", "program")
        for key in ("PROGRAMFILES", "PROGRAMFILES(X86)")
        if key in os.environ
    ]
    files = (place / f"{name}{ending}" for place in places for ending in ("", windows_ending))
    return next((str(file) for file in files if file.is_file()), None)


def convert(path: Path, form: str, folder: Path, seconds: float = 180) -> Path:
    """Have LibreOffice write a file in another format into a folder, with a profile of its own.

    Raises
    ------
    Refused
        When LibreOffice is not there, fails, or takes too long.
    """
    program = office_program()
    if program is None:
        raise Refused("no office program")
    with tempfile.TemporaryDirectory() as profile:
        command = [
            program,
            f"-env:UserInstallation={Path(profile).as_uri()}",
            "--headless",
            "--convert-to",
            form,
            "--outdir",
            str(folder),
            str(path),
        ]
        try:
            subprocess.run(command, capture_output=True, timeout=seconds, check=True, env=own_environment())
        except (subprocess.SubprocessError, OSError) as error:
            raise Refused("office program failed", str(error)) from None
    made = folder / f"{path.stem}.{form.split(':')[0]}"
    if not made.exists():
        raise Refused("office program failed", path.name)
    return made


def recalculated(data: bytes, suffix: str) -> bytes:
    """Return the workbook as LibreOffice computes it, for reading values; never saved as the maker's."""
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / f"copy{suffix}"
        source.write_bytes(data)
        out = Path(folder) / "out"
        out.mkdir()
        return convert(source, suffix.lstrip("."), out).read_bytes()

"""Files that a killed run left beside a workbook: how they are named, and which of them may go."""

from __future__ import annotations

import contextlib
import os
import platform
import time
from hashlib import sha256
from pathlib import Path


def mark(real: Path) -> str:
    """Return the beginning of the names of files being written for a workbook on this machine."""
    return f".sheetkit-{sha256(f'{platform.node()} {real.name}'.encode()).hexdigest()[:12]}-"


def remove_left_over(real: Path) -> list[int]:
    """Remove what killed runs of this workbook left, and return when each was written [ns].

    What a run that is alive is writing stays.
    """
    begins = mark(real)
    written = []
    for path in real.parent.glob(f"{begins}*"):
        number = path.name.removeprefix(begins).partition("-")[0]
        with contextlib.suppress(OSError):
            if number.isdigit() and not is_alive(int(number), path):
                when = path.stat().st_mtime_ns
                path.unlink()
                written.append(when)
    return written


def is_alive(process: int, path: Path) -> bool:
    """Return whether the process that writes a file is still at work."""
    if process == os.getpid():
        return True
    if (
        os.name == "nt"
    ):  # there, a signal would end the process: a file of an hour ago is no longer being written
        return time.time() - path.stat().st_mtime < 3600
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True

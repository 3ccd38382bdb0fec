"""Where a whole job's processor time goes, room by room: 60 part rows, 25 boards, every tab filled.

By hand: python -m tests.bench.rooms [.xlsx|.ods ...]. A run's first start in a process of its own is looked at a thousand times
a second; each look counts for the innermost room of sheetkit on the stack, and for start-up while a module is being loaded.
"""

from __future__ import annotations

import signal
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path
from types import FrameType

PARTS, BOARDS = 60, 25
EVERY = 0.001


def job_file(folder: Path, ending: str) -> Path:
    """Write the example with its parts and boards repeated to so many."""
    from sheetkit.book.formats import by_ending
    from sheetkit.form.example import example_job
    from sheetkit.tabs.template import template_pages

    labels, filled = example_job("in")
    parts, boards = filled["Parts"], filled["Boards"]
    more = [{**parts[n % len(parts)], "part": f"Part {n}"} for n in range(len(parts), PARTS)]
    tables = {
        **filled,
        "Parts": [*parts, *more],
        "Boards": [{**boards[n % len(boards)], "board": f"R{n}"} for n in range(BOARDS)],
    }
    path = folder / f"job{ending}"
    path.write_bytes(by_ending(ending).render(template_pages("in", labels, tables)))
    return path


def room_of(frame: FrameType | None) -> str:
    """Return the innermost room of sheetkit on a stack; start-up while one of its modules is loaded."""
    found = ""
    while frame is not None:
        code = frame.f_code
        if "importlib" in code.co_filename:
            return "start-up"
        _, package, inside = code.co_filename.rpartition("/sheetkit/")
        if package and not found:
            found = inside.split("/")[0].removesuffix(".py")
        frame = frame.f_back
    return found or "start-up"


def look(path: Path) -> None:
    """Run a job, and print how often each room was seen."""
    seen = Counter[str]()
    signal.signal(signal.SIGPROF, lambda _, frame: seen.update([room_of(frame)]))
    signal.setitimer(signal.ITIMER_PROF, EVERY, EVERY)
    from sheetkit.jobs.run import run

    run(path)
    signal.setitimer(signal.ITIMER_PROF, 0)
    total = sum(seen.values())
    shares = ", ".join(f"{room} {100 * count / total:.0f} %" for room, count in seen.most_common())
    print(f"{path.suffix}: {total * EVERY:.2f} s; {shares}")


def main(endings: list[str]) -> None:
    """Print a line for each kind of file."""
    with tempfile.TemporaryDirectory() as name:
        for ending in endings:
            path = job_file(Path(name), ending)
            subprocess.run([sys.executable, "-m", "tests.bench.rooms", "--look", str(path)], check=True)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--look"]:
        look(Path(sys.argv[2]))
    else:
        main(sys.argv[1:] or [".xlsx", ".ods"])

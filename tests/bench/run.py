"""Time and memory of a whole run, beside a script that only loads and saves the same file with openpyxl.

By hand: python -m tests.bench.run [SIZE ...], a size being plain (the example's Parts, Panels and Prices alone), example
(every tab but Boards), boards (the example with 200 boards in the rack), or a number of part rows; again is a second run over the
10,000 rows; review looks back over 500 past jobs, beside a script that loads them with openpyxl. Each command runs three times; the least time and its peak
memory count.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from sheetkit.book.formats import by_ending
from sheetkit.form.example import example_job
from sheetkit.tabs.template import template_pages
from tests.past_jobs import JOBS, past_job_pages

YARDSTICK = "import sys, openpyxl; openpyxl.load_workbook(sys.argv[1]).save(sys.argv[2])"
READING = "import sys, openpyxl, pathlib; [openpyxl.load_workbook(p, data_only=True) for p in pathlib.Path(sys.argv[1]).iterdir()]"
BOARDS, PAST_JOBS = 200, 500


def job_file(folder: Path, size: str) -> Path:
    """Write the example: its plainest tabs, all but boards, all with many boards, or with parts repeated to a number."""
    labels, filled = example_job("in")
    left_out = set(filled) - {"Parts", "Panels", "Prices"} if size == "plain" else {"Boards"}
    tables = {title: list(table) for title, table in filled.items() if title not in left_out}
    if size == "boards":
        base = filled["Boards"]
        tables["Boards"] = [{**base[n % len(base)], "board": f"R{n}"} for n in range(BOARDS)]
    if size.isdigit():
        rows = int(size)
        base = tables["Parts"]
        more = [
            {**base[row % len(base)], "part": f"{base[row % len(base)]['part']} {row}"}
            for row in range(len(base), rows)
        ]
        tables["Parts"] = [*base, *more]  # the first keep their names, by which Joints and Finish know them
    path = folder / f"job-{size}.xlsx"
    path.write_bytes(by_ending(".xlsx").render(template_pages("in", labels, tables)))
    return path


def measured(command: list[str]) -> tuple[float, float]:
    """Give the wall time [s] and peak memory [MB] of a command."""
    # compiled modules are kept, as they are where a package is installed
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL, env=kept)
    _, status, used = os.wait4(child.pid, 0)
    if os.waitstatus_to_exitcode(status):
        raise RuntimeError(" ".join(command))
    return time.perf_counter() - start, used.ru_maxrss / 1024


def past_jobs(folder: Path) -> Path:
    """Write copies of the past jobs among the examples, each with a name of its own."""
    where = folder / "past"
    where.mkdir()
    kinds = [by_ending(".xlsx").render(past_job_pages(name)) for name in JOBS if name.endswith(".xlsx")]
    for number in range(PAST_JOBS):
        (where / f"job-{number}.xlsx").write_bytes(kinds[number % len(kinds)])
    return where


def commands(folder: Path, size: str) -> tuple[list[str], list[str]]:
    """Give our command and the yardstick's for a size."""
    own = [sys.executable, "-m", "sheetkit.terminal.cli"]
    if size == "review":
        past = str(past_jobs(folder))
        return [*own, "review", past], [sys.executable, "-c", READING, past]
    path = job_file(folder, "10000" if size == "again" else size)
    if size == "again":
        measured([*own, "run", str(path)])
    out = str(path.with_name("out.xlsx"))
    return [*own, "run", str(path), "--out", out], [sys.executable, "-c", YARDSTICK, str(path), out]


def main(sizes: list[str]) -> None:
    """Print a line for each size."""
    print("   size   sheetkit s    MB    openpyxl s    MB    time ratio    memory ratio")
    with tempfile.TemporaryDirectory() as name:
        for size in sizes:
            ours, theirs = (min(measured(each) for _ in range(3)) for each in commands(Path(name), size))
            print(f"{size:>7} {ours[0]:9.2f} {ours[1]:8.0f} {theirs[0]:11.2f} {theirs[1]:8.0f}"
                  f" {ours[0] / theirs[0]:10.2f} {ours[1] / theirs[1]:13.2f}")  # fmt: skip


if __name__ == "__main__":
    main(sys.argv[1:] or ["plain", "example", "boards", "1000", "10000", "again", "review"])

"""Processor time and memory of a whole run, beside a script with openpyxl that loads, writes as many cells, and saves.

By hand: python -m tests.bench.run [SIZE ...], a size being plain (the example's Parts and Prices alone), example
(every tab but Boards), boards (the example with 200 boards in the rack), or a number of part rows; again is a second run over the
10,000 rows; review looks back over 500 past jobs, beside a script that loads them with openpyxl. The script writes the same
values and formulas into the same cells of the same tabs as the run did, without looks, pictures and widths. Each command runs
five times; the least processor time (user and system) and the least peak memory count.
"""

from __future__ import annotations

import marshal
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import openpyxl

from sheetkit.book.formats import by_ending
from sheetkit.form.example import example_job
from sheetkit.tabs.template import template_pages
from tests.past_jobs import JOBS, past_job_pages

YARDSTICK = """
import marshal, sys, openpyxl
book = openpyxl.load_workbook(sys.argv[1])
with open(sys.argv[3], "rb") as file:
    while line := marshal.load(file):
        title, row, cells = line
        tab = book[title] if title in book.sheetnames else book.create_sheet(title)
        for column, value in cells:
            tab.cell(row, column).value = value
book.save(sys.argv[2])
"""
# a process counts the memory of the one that started it as its own: a small one starts it
LAUNCHER = """
import os, subprocess, sys
child = subprocess.Popen(sys.argv[1:], stdout=subprocess.DEVNULL)
_, status, used = os.wait4(child.pid, 0)
print(used.ru_utime + used.ru_stime, used.ru_maxrss)
sys.exit(os.waitstatus_to_exitcode(status))
"""
READING = "import sys, openpyxl, pathlib; [openpyxl.load_workbook(p, data_only=True) for p in pathlib.Path(sys.argv[1]).iterdir()]"
BOARDS, PAST_JOBS, TIMES = 200, 500, 5


def job_file(folder: Path, size: str) -> Path:
    """Write the example: its plainest tabs, all but boards, all with many boards, or with parts repeated to a number."""
    labels, filled = example_job("in")
    left_out = set(filled) - {"Parts", "Prices"} if size == "plain" else {"Boards"}
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
    """Give the processor time, user and system [s], and the peak memory [MB] of a command."""
    # compiled modules are kept, as they are where a package is installed
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    done = subprocess.run(
        [sys.executable, "-c", LAUNCHER, *command], capture_output=True, text=True, check=True, env=kept
    )
    seconds, peak = done.stdout.split()
    return float(seconds), float(peak) / 1024


def anew(command: list[str], folder: Path) -> tuple[float, float]:
    """Measure a command that writes its result where none stands: with equal answers there, ours would write nothing."""
    (folder / "out.xlsx").unlink(missing_ok=True)
    return measured(command)


def past_jobs(folder: Path) -> Path:
    """Write copies of the past jobs among the examples, each with a name of its own."""
    where = folder / "past"
    where.mkdir()
    kinds = [by_ending(".xlsx").render(past_job_pages(name)) for name in JOBS if name.endswith(".xlsx")]
    for number in range(PAST_JOBS):
        (where / f"job-{number}.xlsx").write_bytes(kinds[number % len(kinds)])
    return where


def write_down(before: Path, after: Path, to: Path) -> int:
    """Write down the cells in which a run's result differs from what it was given, row by row; give their number."""
    old, new = (openpyxl.load_workbook(path) for path in (before, after))
    number = 0
    with to.open("wb") as file:
        for tab in new.worksheets:
            there = old[tab.title] if tab.title in old.sheetnames else None
            for row in tab.iter_rows():
                cells = [
                    (cell.column, cell.value)
                    for cell in row
                    if isinstance(cell.value, (str, int, float))
                    and (there is None or there.cell(cell.row, cell.column).value != cell.value)
                ]
                if cells:
                    marshal.dump((tab.title, row[0].row, cells), file)
                    number += len(cells)
        marshal.dump((), file)
    return number


def commands(folder: Path, size: str) -> tuple[list[str], list[str]]:
    """Give our command and the yardstick's for a size."""
    own = [sys.executable, "-m", "sheetkit.terminal.cli"]
    if size == "review":
        past = str(past_jobs(folder))
        print(f"{size:>7} {0:8}", end="", flush=True)
        return [*own, "review", past], [sys.executable, "-c", READING, past]
    path = job_file(folder, "10000" if size == "again" else size)
    out, cells, plain = path.with_name("out.xlsx"), path.with_name("cells"), path.with_name("plain.xlsx")
    shutil.copy(path, plain)
    if size == "again":
        measured([*own, "run", str(path)])
    ours = [*own, "run", str(path), "--out", str(out)]
    measured(ours)
    print(f"{size:>7} {write_down(plain, out, cells):8,}", end="", flush=True)
    theirs = [sys.executable, "-c", YARDSTICK, str(path), str(out.with_name("theirs.xlsx")), str(cells)]
    return ours, theirs


def main(sizes: list[str]) -> None:
    """Print a line for each size."""
    print("   size    cells  sheetkit s    MB    openpyxl s    MB    time ratio    memory ratio")
    with tempfile.TemporaryDirectory() as name:
        for size in sizes:
            ours, theirs = (
                [
                    min(figures)
                    for figures in zip(*(anew(each, Path(name)) for _ in range(TIMES)), strict=True)
                ]
                for each in commands(Path(name), size)
            )
            print(f" {ours[0]:11.2f} {ours[1]:5.0f} {theirs[0]:13.2f} {theirs[1]:5.0f}"
                  f" {ours[0] / theirs[0]:13.2f} {ours[1] / theirs[1]:15.2f}")  # fmt: skip


if __name__ == "__main__":
    main(sys.argv[1:] or ["plain", "example", "boards", "200", "1000", "10000", "again", "review"])

"""Time and memory of a whole run, beside a script that only loads and saves the same file with openpyxl.

By hand: python -m tests.bench.run [SIZE ...], a size being plain (the example's Parts, Panels and Prices alone), example
(every tab but Boards), or a number of part rows. Each command runs three times; the least time and its peak memory count.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from sheetkit.book.formats import by_ending
from sheetkit.example import example_job
from sheetkit.template import template_pages

YARDSTICK = "import sys, openpyxl; openpyxl.load_workbook(sys.argv[1]).save(sys.argv[2])"


def job_file(folder: Path, size: str) -> Path:
    """Write the example without boards: its plainest tabs, all tabs, or all with parts repeated to a number of rows."""
    labels, filled = example_job("in")
    left_out = set(filled) - {"Parts", "Panels", "Prices"} if size == "plain" else {"Boards"}
    tables = {title: list(table) for title, table in filled.items() if title not in left_out}
    if size.isdigit():
        rows = int(size)
        base = tables["Parts"]
        more = [
            {**base[row % len(base)], "part": f"{base[row % len(base)]['part']} {row}"}
            for row in range(len(base), rows)
        ]
        tables["Parts"] = base + more  # the first keep their names, by which Joints and Finish know them
    path = folder / f"job-{size}.xlsx"
    path.write_bytes(by_ending(".xlsx").render(template_pages("in", labels, tables)))
    return path


def measured(command: list[str]) -> tuple[float, float]:
    """Give the wall time [s] and peak memory [MB] of a command."""
    start = time.perf_counter()
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(child.pid, 0)
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        raise RuntimeError(" ".join(command))
    return time.perf_counter() - start, used.ru_maxrss / 1024


def main(sizes: list[str]) -> None:
    """Print a line for each size."""
    print("   size   sheetkit s    MB    openpyxl s    MB    time ratio    memory ratio")
    with tempfile.TemporaryDirectory() as name:
        for size in sizes:
            path = job_file(Path(name), size)
            out = str(path.with_name("out.xlsx"))
            ours = min(
                measured([sys.executable, "-m", "sheetkit.cli", "run", str(path), "--out", out])
                for _ in range(3)
            )
            theirs = min(measured([sys.executable, "-c", YARDSTICK, str(path), out]) for _ in range(3))
            print(f"{size:>7} {ours[0]:9.2f} {ours[1]:8.0f} {theirs[0]:11.2f} {theirs[1]:8.0f}"
                  f" {ours[0] / theirs[0]:10.2f} {ours[1] / theirs[1]:13.2f}")  # fmt: skip


if __name__ == "__main__":
    main(sys.argv[1:] or ["plain", "example", "1000", "10000"])

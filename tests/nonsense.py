"""Damaged workbooks without end: cells, XML parts and zip entries of our own files, changed by chance.

Briefly in tests/test_cli.py; long by hand: python -m tests.nonsense SECONDS [SEED].
Whatever comes in, a run ends soon, with an outcome or a refusal, and a refused file is as it was.
"""

from __future__ import annotations

import io
import random
import re
import sys
import tempfile
import time
import traceback
import warnings
import zipfile
from collections.abc import Iterator
from pathlib import Path

from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Refused
from sheetkit.example import example_job
from sheetkit.flow import run
from sheetkit.problems import REFUSALS
from sheetkit.template import template_pages
from tests.jobs import NOW, write

WORDS = (
    "", " ", "-1", "0", "1", "2", "1.5", "99999999999", "-99999999999", "NaN", "INF", "1e400", "1e-400", "true", "A1", "A0", "ZZZZ9", "XFE1",
    "A1048577", "A1:XFD1048576", "Parts!A1", "'", '""', "$", "#REF!", "=1+1", "of:=[.A1]", "∞", "\u202e3", "rId1", "rId999", "../../x", "x" * 40_000,
    "2026-13-45", "PT99999H", "General", "0%", "sharedStrings.xml", "&amp;", "&#0;", "&nowhere;", "1048576", "16384", "4294967296",
)  # fmt: skip
SLOW = 10.0
"""Nothing of this size may take longer [s]."""


def good_files(folder: Path, ending: str) -> list[bytes]:
    """Give workbooks to start from: a blank one, a small job, the same worked out, the example worked out."""
    small = "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 30"
    path = write(folder / f"small{ending}", {"Parts": small})
    found = [by_ending(ending).render(template_pages("in")), path.read_bytes()]
    run(path, now=NOW)
    found.append(path.read_bytes())
    labels, filled = example_job("mm")
    path.write_bytes(by_ending(ending).render(template_pages("mm", labels, {**filled, "Boards": ()})))
    run(path, now=NOW, effort=0.1)
    return [*found, path.read_bytes()]


def _changed(part: bytes, chance: random.Random) -> bytes:
    """Give an entry with one thing in it changed."""
    at = chance.randrange(len(part) + 1)
    kind = chance.randrange(7)
    if kind == 0:
        return part[:at] + bytes([chance.randrange(256)]) + part[at + 1 :]
    if kind == 1:
        return part[:at] + part[at + chance.randint(1, 200) :]
    if kind == 2:
        return part[:at]
    tags = [found.span() for found in re.finditer(rb"<[^>]+>", part)]
    if kind in (3, 4) and tags:
        start, end = chance.choice(tags)
        return part[:end] + part[start:end] + part[end:] if kind == 3 else part[:start] + part[end:]
    pattern = rb'(?<==")[^"]*(?=")' if kind == 5 else rb"(?<=>)[^<]+(?=<)"
    if places := [found.span() for found in re.finditer(pattern, part)]:
        start, end = chance.choice(places)
        return part[:start] + chance.choice(WORDS).encode() + part[end:]
    return part[::-1]


def nonsense(good: bytes, chance: random.Random) -> bytes:
    """Give a damaged copy of a workbook."""
    if chance.random() < 0.2:
        data = bytearray(good)
        for _ in range(chance.randint(1, 40)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        if chance.random() < 0.3:
            del data[chance.randrange(len(data)) :]
        return bytes(data)
    with zipfile.ZipFile(io.BytesIO(good)) as package:
        entries = [(info.filename, package.read(info)) for info in package.infolist()]
    for _ in range(chance.choice((1, 1, 1, 2, 5))):
        number = chance.randrange(len(entries))
        name, part = entries[number]
        kind = chance.random()
        if kind < 0.88:
            entries[number] = name, _changed(part, chance)
        elif kind < 0.91:
            del entries[number]
        elif kind < 0.94:
            entries[number] = name, chance.choice(entries)[1]
        elif kind < 0.96:
            entries[number] = name.upper(), part
        elif kind < 0.98:
            entries[number] = name, b""
        else:
            entries.append((name, part))
        if not entries:
            break
    out = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as package:
        warnings.simplefilter("ignore", UserWarning)  # of two entries with one name: they are meant
        for name, part in entries:
            package.writestr(zipfile.ZipInfo(name), part, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def fault(path: Path, data: bytes) -> str:
    """Run on damaged bytes and give what is wrong with how it went, or nothing."""
    path.write_bytes(data)
    start = time.perf_counter()
    try:
        run(path, now=NOW, effort=0.1)
    except Refused as refused:
        if refused.reason not in REFUSALS:
            return f"no words for {refused.reason}"
        if path.read_bytes() != data:
            return "refused, but the file was changed"
    except Exception:
        return traceback.format_exc()
    if time.perf_counter() - start > SLOW:
        return f"took {time.perf_counter() - start:.0f} s"
    return ""


def damaged(folder: Path, ending: str, seed: int) -> Iterator[bytes]:
    """Give damaged workbooks without end, the same for the same seed."""
    chance = random.Random(seed)
    files = good_files(folder, ending)
    while True:
        yield nonsense(chance.choice(files), chance)


def main(seconds: float, seed: int) -> None:
    """Look for faults for some time; print each kind once, and keep the file that leads to it."""
    seen: set[str] = set()
    tried = 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sources = [(ending, damaged(folder, ending, seed)) for ending in (".xlsx", ".ods")]
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            ending, source = sources[tried % 2]
            data = next(source)
            tried += 1
            wrong = fault(folder / f"job{ending}", data)
            kind = "\n".join(wrong.strip().splitlines()[-3:])
            if wrong and kind not in seen:
                seen.add(kind)
                kept = Path(tempfile.gettempdir()) / f"nonsense-{seed}-{tried}{ending}"
                kept.write_bytes(data)
                print(f"{kept}\n{wrong}\n")
    print(f"{tried} tried, {len(seen)} kinds of fault")


if __name__ == "__main__":
    main(float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1)

"""Damaged workbooks without end: cells, XML parts and zip entries of our own files, changed by chance.

Briefly in tests/test_cli.py and tests/test_bounds.py; long by hand: python -m tests.nonsense SECONDS [SEED].
Whatever comes in, a run ends soon, with an outcome or a refusal, and a refused file is as it was.
"""

from __future__ import annotations

import contextlib
import io
import random
import re
import signal
import struct
import sys
import tempfile
import time
import traceback
import warnings
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime
from functools import partial
from operator import contains
from pathlib import Path

from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Refused
from sheetkit.form.example import example_job
from sheetkit.jobs.new import adopted, client_file
from sheetkit.jobs.part_list import parts_from
from sheetkit.jobs.review import review
from sheetkit.jobs.run import run
from sheetkit.page import Address, Cell, CellError, Page, Range, Value
from sheetkit.records.messages import REFUSALS
from sheetkit.tabs.template import template_pages
from sheetkit.terminal.report import outcome_report
from sheetkit.units import Unit
from tests.jobs import NOW, write

WORDS = (
    "", " ", "-1", "0", "1", "2", "1.5", "99999999999", "-99999999999", "NaN", "INF", "1e400", "1e-400", "true", "A1", "A0", "ZZZZ9", "XFE1",
    "A1048577", "A1:XFD1048576", "Parts!A1", "Nowhere!$A$1", "#REF!$A$1", "'", '""', "$", "#REF!", "=1+1", "of:=[.A1]", "∞", "\u202e3", "rId1",
    "rId999", "../../x", "x" * 40_000, "9" * 5_000, "2026-13-45", "PT99999H", "General", "0%", "sharedStrings.xml", "&amp;", "&#0;", "&nowhere;",
    "1048576", "16384", "4294967296", "٣", "３", "/", "\\", "http://nowhere.invalid/x", "_x0041_", "application/xml", "image/png",
)  # fmt: skip
"""What may stand in an attribute or a text of an XML part."""
VALUES: tuple[Value, ...] = (
    "", " ", "-1", "0", "3 1/4", "-3 1/4", "3 1/0", "0/0", "3//4", "1/-4", "6' 8\" 9", "NaN", "inf", "-inf", "1e308", "1e999", "9" * 400, "9" * 32_000,
    "1/" * 50, "1 " * 5_000, "2 x 1000000", "2 x", "1e5", "1000000", "١٢٣", "३", "３ １/４", "½", "3½", "1⁄2", "²", "Ⅻ", "∞", "☃", "💥" * 100, "\u202e3",
    "3\u200b", "\ufeff3", "\xa03", "\x07", "\x0b", "\u2028", "\ufffe", "e\u0301", "İ", "ß" * 300, "a," * 16_000, "," * 32_000, "'" * 9_001,
    '"' * 9_001, "(" * 9_001, "[" * 9_001, "a" * 9_000 + "(", "x" * 32_767, "word " * 6_000, "\n" * 500, "<b>&amp;</b>", "<r><t>x</t></r>", "]]>",
    "&#0;", "=1+1", "+1", "-", "@x", "of:=[.A1]", "#REF!", "_x0041_", "Part", "Qty", "White oak", "all", "4/4", "999/4", "10 %", "-10 %", "1e9 %",
    "1,234.5", "1.234,5", "1'234", "82.5 mm", "1e9 m", "1 parsec", "5 kg", "3 hands", "1e9 furlong", "21 C", "TRUE", "2026-13-45", "0000-00-00",
    -1.0, 0.0, -0.0, 0.5, 1.0, 3.25, 1e-9, 1e-300, 5e-324, 1e6, 1e9, 1e15, 1e16, 1e300, 1.797e308, -1e308, 46085.0, 2_958_465.0, 2_958_466.0,
    True, False, CellError("#REF!"), CellError("#DIV/0!"), date(1900, 1, 1), date(1900, 2, 28), date(9999, 12, 31), datetime(2026, 1, 2, 3, 4, 5, 678_901),
)  # fmt: skip
"""What may stand in a cell."""
FORMULAS = (
    "1/0", "Parts!A1", "Nowhere!A1", "'Nowhere at all'!A1:B9", "A1:XFD1048576", "SUM(A:A)", "1:1048576", "Estimate!C9", "nowhere", "inside_width*2",
    "(" * 900 + "1" + ")" * 900, "+".join(f"A{row}" for row in range(1, 500)), '"' + "x" * 8_000 + '"', "INDIRECT(A1)", "#REF!+1", "{1,2;3}", "",
)  # fmt: skip
ENCODINGS = ("utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252", "cp037")
SLOW = 15.0
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


def _one_of_each(pattern: bytes, part: bytes, chance: random.Random) -> tuple[int, int] | None:
    """Give the place of one match, the rare kinds as likely as the many: a kind is what its first group holds."""
    kinds: dict[bytes, list[tuple[int, int]]] = {}
    for found in re.finditer(pattern, part):
        kinds.setdefault(found[1], []).append(found.span(2))
    return chance.choice(kinds[chance.choice(sorted(kinds))]) if kinds else None


def _changed(part: bytes, chance: random.Random) -> bytes:
    """Give an entry with one thing in it changed."""
    at = chance.randrange(len(part) + 1)
    kind = chance.randrange(11)
    if kind == 0:
        return part[:at] + bytes([chance.randrange(256)]) + part[at + 1 :]
    if kind == 1:
        return part[:at] + part[at + chance.randint(1, 200) :]
    if kind == 2:
        return part[:at]
    if kind in (3, 4) and (place := _one_of_each(rb"(?=<([^\s/>]+))(<[^>]+>)", part, chance)):
        start, end = place
        times = chance.choice((1, 1, 1, 50))
        return part[:end] + times * part[start:end] + part[end:] if kind == 3 else part[:start] + part[end:]
    if kind == 5 and (
        place := _one_of_each(rb"(?=<([^\s/>]+))(<[^/>][^>]*>(?:[^<]*</[^>]+>)?)", part, chance)
    ):
        other = _one_of_each(rb"(?=<([^\s/>]+))(<[^/>][^>]*>(?:[^<]*</[^>]+>)?)", part, chance) or place
        return part[: place[0]] + part[slice(*other)] + part[place[1] :]
    if kind == 6:
        with contextlib.suppress(UnicodeError):
            return part.decode().encode(chance.choice(ENCODINGS))
    if kind == 7 and part.startswith(b"<?xml"):
        end = part.find(b"?>") + 2
        doctype = b'<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b SYSTEM "http://nowhere.invalid/x">]>'
        return part[:end] + chance.choice((b"<!-- x -->" * 99, b"<?x y?>", doctype, b"\n" * 99)) + part[end:]
    pattern = rb'([\w:.-]+)="([^"]*)(?=")' if kind in (8, 9) else rb"<([^\s/>]+)[^>]*>([^<]+)(?=<)"
    if place := _one_of_each(pattern, part, chance):
        return part[: place[0]] + chance.choice(WORDS).encode("utf-8", "ignore") + part[place[1] :]
    return part[::-1]


def _broken_zip(good: bytes, chance: random.Random) -> bytes:
    """Give a workbook with bytes of its zip file changed, cut off or repeated."""
    data = bytearray(good)
    kind = chance.randrange(5)
    end = good.rindex(b"PK\5\6")
    size, start = struct.unpack_from("<II", good, end + 12)
    directory = good[start : start + size]
    if kind == 0:  # the list of entries once more
        return good[:end] + directory + good[end:]
    if kind == 1:  # a whole second list behind the first
        return good + directory + good[end:]
    if kind == 2:  # a wrong number in the list of entries
        entries = [found.start() for found in re.finditer(b"PK\1\2", directory)]
        at = start + chance.choice(entries) + chance.choice((4, 6, 8, 10, 16, 20, 24, 28, 30, 32, 34, 42))
        data[at : at + 2] = chance.choice((b"\0\0", b"\xff\xff", b"\1\0", b"\x0c\0"))
        return bytes(data)
    for _ in range(chance.randint(1, 40)):
        data[chance.randrange(len(data))] = chance.randrange(256)
    if kind == 3:
        del data[chance.randrange(len(data)) :]
    return bytes(data)


def nonsense(good: bytes, chance: random.Random) -> bytes:
    """Give a damaged copy of a workbook."""
    if chance.random() < 0.15:
        return _broken_zip(good, chance)
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


def _value(cells: Mapping[Address, Cell], chance: random.Random) -> Cell:
    """Give something strange for a cell, or what stands elsewhere."""
    kind = chance.random()
    if kind < 0.2 and cells:
        return chance.choice(list(cells.values()))
    if kind < 0.3:
        return Cell(chance.choice(VALUES), chance.choice(FORMULAS) or None, stale=chance.random() < 0.3)
    return Cell(chance.choice(VALUES))


def _shuffled(page: Page, chance: random.Random) -> Page:
    """Give a tab with some cells, a row or a column changed."""
    cells = dict(page.cells)
    rows, columns = [row for row, _ in cells] or [1], [column for _, column in cells] or [1]
    row, column = chance.choice(rows), chance.choice(columns)
    kind = chance.random()
    merged = page.merged
    if kind < 0.7:
        for _ in range(chance.choice((1, 1, 1, 3, 30))):
            cells[chance.choice(rows), chance.choice(columns)] = _value(cells, chance)
    elif kind < 0.8:  # one value down a column
        value = _value(cells, chance)
        cells.update({(each, column): value for each in range(row, max(rows) + 1)})
    elif kind < 0.85:  # a row many times
        line = {at: cell for (each, at), cell in cells.items() if each == row}
        cells.update({(max(rows) + more, at): cell for more in range(1, 40) for at, cell in line.items()})
    elif kind < 0.9:  # two columns exchanged
        other = chance.choice(columns)
        turned = {column: other, other: column}
        cells = {(each, turned.get(at, at)): cell for (each, at), cell in cells.items()}
    elif kind < 0.95:
        cells = {
            place: cell for place, cell in cells.items() if place[chance.randrange(2)] not in (row, column)
        }
    else:
        block = Range(row, column, row + chance.randrange(3), column + chance.randrange(1, 4))
        merged = (block,)
        cells = {at: cell for at, cell in cells.items() if not contains(block, at) or at == (row, column)}
    return replace(page, cells=cells, merged=merged, choices=(), names={})


def strange(chance: random.Random, ending: str) -> bytes:
    """Give a workbook that is whole, but in whose input tabs strange things stand."""
    unit: Unit = chance.choice(("in", "mm"))
    labels, filled = example_job(unit)
    if chance.random() < 0.5:
        filled = {**filled, "Boards": ()}  # the layout takes most of the time
    pages = list(template_pages(unit, labels, filled))
    for _ in range(chance.choice((1, 1, 2, 4))):
        number = chance.randrange(len(pages))
        pages[number] = _shuffled(pages[number], chance)
    with contextlib.suppress(
        ValueError
    ):  # the writer does not put what the format cannot hold into a new file
        return by_ending(ending).render(pages)
    return strange(chance, ending)


def commands(folder: Path) -> tuple[Callable[[Path], object], ...]:
    """Give the other commands that read a workbook of the maker's."""
    out = folder / "copy.xlsx"
    return (adopted, partial(client_file, out=out), parts_from, lambda path: review(path.parent))


def fault(path: Path, data: bytes, command: Callable[[Path], object] | None = None) -> str:
    """Run on damaged bytes and give what is wrong with how it went, or nothing."""
    path.write_bytes(data)
    start = time.perf_counter()
    try:
        if command:
            command(path)
        else:
            outcome = run(path, now=NOW, effort=0.1)
            outcome_report(outcome)
            # what is damaged, such as a list of parts in odd order, may take one run more to come to rest
            if (
                time.perf_counter() - start < SLOW / 3
                and run(path, effort=0.1).written
                and run(path, effort=0.1).written
            ):
                return "a third run changed the file"
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
    """Give damaged and strange workbooks without end, the same for the same seed."""
    chance = random.Random(seed)
    files = good_files(folder, ending)
    while True:
        yield strange(chance, ending) if chance.random() < 0.4 else nonsense(chance.choice(files), chance)


def _hangs(*_: object) -> None:
    raise TimeoutError("it hangs")


def main(seconds: float, seed: int) -> None:
    """Look for faults for some time; print each kind once, and keep the file that leads to it."""
    seen: set[str] = set()
    tried = 0
    if hasattr(signal, "SIGALRM"):
        signal.signal(signal.SIGALRM, _hangs)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sources = [(ending, damaged(folder, ending, seed)) for ending in (".xlsx", ".ods")]
        (folder / "at work").mkdir()
        others = commands(folder)
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            ending, source = sources[tried % 2]
            data = next(source)
            tried += 1
            if hasattr(signal, "SIGALRM"):
                signal.alarm(60)
            command = others[tried // 5 % len(others)] if tried % 5 == 0 else None
            for left in (folder / "at work").iterdir():  # backups, which review would read again and again
                left.unlink()
            wrong = fault(folder / "at work" / f"job{ending}", data, command)
            if hasattr(signal, "SIGALRM"):
                signal.alarm(0)
            kind = "\n".join(wrong.strip().splitlines()[-3:])
            if wrong and kind not in seen:
                seen.add(kind)
                kept = Path(tempfile.gettempdir()) / f"nonsense-{seed}-{tried}{ending}"
                kept.write_bytes(data)
                print(f"{kept}\n{wrong}\n", flush=True)
    print(f"{tried} tried, {len(seen)} kinds of fault")


if __name__ == "__main__":
    main(float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1)

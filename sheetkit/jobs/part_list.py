"""Part lists from elsewhere: a table of parts in .csv, .xlsx or .ods, read by its headings."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from pathlib import Path

from sheetkit.book import save
from sheetkit.book.formats import by_content
from sheetkit.book.workbook import Refused
from sheetkit.form.columns import PARTS, Kind
from sheetkit.intake.headings import heading_row, match_headings
from sheetkit.page import Cell, Page

MOST_TEXT = 20_000_000
"""Bytes of a list as text."""
UNIT_IN_HEADING = re.compile(r"[\s(\[]+(mm|cm|m|in|inch|inches|\")[)\]]?\s*$", re.IGNORECASE)


def parts_from(path: Path) -> tuple[list[dict[str, str]], list[str]]:
    """Return the rows of a part list, as a person would type them, and what was matched and left out.

    Raises
    ------
    Refused
        When the file cannot be read, or no heading of a part stands in it.
    """
    data = save.load(path)
    page = _csv_page(data, path.name) if path.suffix.lower() in (".csv", ".tsv", ".txt") else None
    pages: Sequence[Page] = (page,) if page else by_content(data, path.suffix).read(data).pages
    for candidate in pages:
        cells, units = _without_units(candidate)
        grouped: dict[int, dict[int, Cell]] = {}
        for (row, column), cell in cells.items():
            grouped.setdefault(row, {})[column] = cell
        heading = heading_row(grouped, PARTS)
        if heading is not None:
            return _rows(candidate, grouped, heading, units)
    raise Refused("no part list", path.name)


def _csv_page(data: bytes, name: str) -> Page:
    if len(data) > MOST_TEXT:
        raise Refused("too large", name)
    for encoding in ("utf-8-sig", "utf-16", "cp1252"):
        if encoding == "utf-16" and data[:2] not in (b"\xff\xfe", b"\xfe\xff"):
            continue
        try:
            text = data.decode(encoding)
            break
        except UnicodeDecodeError:
            continue
    else:
        text = data.decode("latin-1")
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(";\t,|", key=first.count)
    cells = {}
    try:
        for row, line in enumerate(csv.reader(text.splitlines(), delimiter=separator), 1):
            for column, word in enumerate(line, 1):
                if word.strip():
                    cells[row, column] = Cell(word.strip())
    except csv.Error as error:  # a piece of text without end, between quotes that do not close
        raise Refused("no part list", name) from error
    return Page("list", cells)


def _without_units(page: Page) -> tuple[dict[tuple[int, int], Cell], dict[tuple[int, int], str]]:
    """Return the cells with units taken off headings, and which unit stood where."""
    cells, units = dict(page.cells), {}
    for address, cell in page.cells.items():
        if isinstance(cell.value, str) and (found := UNIT_IN_HEADING.search(cell.value)):
            cells[address] = Cell(cell.value[: found.start()])
            units[address] = found.group(1)
    return cells, units


def _rows(
    page: Page, grouped: dict[int, dict[int, Cell]], heading: int, units: dict[tuple[int, int], str]
) -> tuple[list[dict[str, str]], list[str]]:
    placed, _ = match_headings(grouped[heading], PARTS, heading)
    asked = {column.name: column for column in PARTS.asked if column.name in placed}
    rows: list[dict[str, str]] = []
    for row in sorted(page_row for page_row in grouped if page_row > heading):
        values = {}
        for name, column in asked.items():
            cell = page.cells.get((row, placed[name]))
            if cell is None or cell.value is None:
                continue
            text = f"{cell.value:.12g}" if isinstance(cell.value, float) else str(cell.value).strip()
            unit = units.get((heading, placed[name]))
            if unit and column.kind in (Kind.LENGTH, Kind.TENONS) and re.fullmatch(r"[\d.,/ +-]+", text):
                text = f"{text} {unit}"
            if text:
                values[name] = text
        if values:
            rows.append(values)
    if "qty" not in placed:
        rows = _counted(rows)
    taken = {placed[name] for name in asked}
    left = [str(cell.value) for number, cell in sorted(grouped[heading].items()) if number not in taken]
    matched = ", ".join(column.heading for column in asked.values())
    said = [f"Parts: {len(rows)} {'row' if len(rows) == 1 else 'rows'}; matched {matched}."]
    if left:
        said.append(f"Left out: {', '.join(left)}.")
    missing = [column.heading for column in PARTS.asked if column.required and column.name not in asked]
    if missing:
        said.append(f"Still to fill in: {', '.join(missing)}.")
    return rows, said


def _counted(rows: list[dict[str, str]]) -> list[dict[str, str]]:
    """Return equal rows once, with how many there were."""
    counts: dict[tuple[tuple[str, str], ...], int] = {}
    for row in rows:
        key = tuple(row.items())
        counts[key] = counts.get(key, 0) + 1
    return [{**dict(key), "qty": str(count)} for key, count in counts.items()]

"""Results put beside formulas that have none, every other byte of the file as it was."""

from __future__ import annotations

import re
from collections.abc import Mapping

from sheetkit.book.xlsx import seats
from sheetkit.book.xlsx.book import Book
from sheetkit.book.xlsx.rows import closing, opening, prefix_of, rows_of
from sheetkit.book.xlsx.value import held_result, marked_up
from sheetkit.page import Address, Value

_KIND = re.compile(rb"""\s+t\s*=\s*(?:"[^"]*"|'[^']*')""")


def with_results(data: bytes, results: Mapping[str, Mapping[Address, Value]]) -> bytes:
    """Return the file with stored results, by tab title, in cells that hold a formula without one."""
    book = Book(data, to_save=True)
    for title, values in results.items():
        sheet = seats.titled(book, title)
        link = None if sheet is None else book.link_of(sheet)
        if link is None or link.kind != "worksheet" or not values:
            continue
        rows = rows_of(book.parts.read(link.target), book.space, title)
        pieces: list[bytes] = []
        at = 0
        for address, value in sorted(values.items()):
            for cell in rows.cells(address[0]):
                if rows.columns[cell] == address[1]:
                    start, end = rows.cell_starts[cell], rows.cell_end(cell)
                    pieces += (rows.data[at:start], _computed(rows.data[start:end], value, book.date1904))
                    at = end
        if pieces:
            book.parts.write(link.target, b"".join([*pieces, rows.data[at:]]))
    return book.parts.save()


def _computed(cell: bytes, value: Value, date1904: bool) -> bytes:
    """Return a formula's cell with its result; one that holds something already, or no formula, as it is."""
    tag = opening(cell)
    prefix = prefix_of(tag)
    p = re.escape(prefix.encode())
    formula = re.search(rb"<%sf(?:\s[^<>]*)?(?:/>|>[^<]*</%sf>)" % (p, p), cell)
    kind, raw = held_result(value, date1904)
    if formula is None or raw is None:
        return cell
    rest = cell[formula.end() :]
    found = re.match(rb"\s*<%sv(?:\s[^<>]*)?(?:/>|></%sv>)" % (p, p), rest)
    rest = rest[found.end() :] if found else rest
    if rest.lstrip().startswith(b"<%sv" % prefix.encode()):
        return cell
    body = cell[len(tag) : formula.end()]
    said = tag[: len(tag) - 1]
    said = _KIND.sub(b"", said) + (f' t="{kind}"'.encode() if kind else b"")
    text = marked_up(raw) if kind == "str" else raw
    stored = f"<{prefix}v>{text}</{prefix}v>".encode()
    assert rest.endswith(closing(tag))
    return said + b">" + body + stored + rest

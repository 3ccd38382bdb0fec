"""Results put beside formulas that have none, every other byte of the file as it was."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping

from sheetkit.book.xlsx import seats
from sheetkit.book.xlsx.book import Book
from sheetkit.book.xlsx.rows import closing, opening, prefix_of, rows_of
from sheetkit.book.xlsx.value import held_result, marked_up
from sheetkit.page import Address, Value

_KIND = re.compile(rb"""\s+t\s*=\s*(?:"[^"]*"|'[^']*')""")
_KIND_OF_RESULT = re.compile(rb"""\s+(?:t|vm)\s*=\s*(?:"[^"]*"|'[^']*')""")


def with_results(data: bytes, results: Mapping[str, Mapping[Address, Value]]) -> bytes:
    """Return the file with stored results, by tab title, in empty cells and those of formulas without one."""
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
    """Return a cell with its result, that of a formula or of another's block; as it is when it holds one."""
    tag = opening(cell)
    prefix = prefix_of(tag)
    p = re.escape(prefix.encode())
    kind, raw = held_result(value, date1904)
    if raw is None:
        return cell
    if tag.endswith(b"/>"):
        cell, tag = tag[:-2] + b">" + closing(tag), tag[:-2] + b">"
    formula = re.search(rb"<%sf(?:\s[^<>]*)?(?:/>|>[^<]*</%sf>)" % (p, p), cell)
    behind = len(tag) if formula is None else formula.end()
    rest = cell[behind:]
    found = re.match(rb"\s*<%sv(?:\s[^<>]*)?(?:/>|></%sv>)" % (p, p), rest)
    rest = rest[found.end() :] if found else rest
    if rest.lstrip().startswith(b"<%sv" % prefix.encode()):
        return cell
    body = cell[len(tag) : behind]
    said = tag[: len(tag) - 1]
    said = _KIND.sub(b"", said) + (f' t="{kind}"'.encode() if kind else b"")
    text = marked_up(raw) if kind == "str" else raw
    stored = f"<{prefix}v>{text}</{prefix}v>".encode()
    assert rest.endswith(closing(tag))
    return said + b">" + body + stored + rest


def without_results(book: Book, title: str, addresses: Collection[Address]) -> None:
    """Take the stored results out of cells of a tab; formulas, looks and all other cells stay as they are."""
    sheet = seats.titled(book, title)
    link = None if sheet is None else book.link_of(sheet)
    if link is None or link.kind != "worksheet":
        raise ValueError(f"no tab {title!r} to take results from")
    rows = rows_of(book.parts.read(link.target), book.space, title)
    pieces: list[bytes] = []
    at = 0
    for address in sorted(addresses):
        for cell in rows.cells(address[0]):
            if rows.columns[cell] == address[1]:
                start, end = rows.cell_starts[cell], rows.cell_end(cell)
                pieces += (rows.data[at:start], _without_result(rows.data[start:end]))
                at = end
    if pieces:
        book.parts.write(link.target, b"".join([*pieces, rows.data[at:]]))


def _without_result(cell: bytes) -> bytes:
    tag = opening(cell)
    p = re.escape(prefix_of(tag).encode())
    bare = re.sub(rb"\s*<%sv(?:\s[^<>]*)?(?:/>|>[^<]*</%sv>)" % (p, p), b"", cell[len(tag) :])
    return _KIND_OF_RESULT.sub(b"", tag) + bare

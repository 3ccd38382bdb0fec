"""Single cells written into a tab of the maker's, in the look that the tab gives them."""

from __future__ import annotations

import copy
import re
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from itertools import pairwise
from types import MappingProxyType

from lxml import etree

from sheetkit.book.blocks import by_column, met
from sheetkit.book.markup import Element, tree, written
from sheetkit.book.workbook import Refused
from sheetkit.book.xlsx.book import placed, whole
from sheetkit.book.xlsx.finish import ht
from sheetkit.book.xlsx.formulas import area
from sheetkit.book.xlsx.rows import ORDER, attributes, closing, opening, prefix_of, rows_of
from sheetkit.book.xlsx.strings import Strings, uses
from sheetkit.book.xlsx.tab import LAST_COLUMN, PADDING
from sheetkit.book.xlsx.value import Store, Stored
from sheetkit.page import Address, Cell, Column, Format, Range, cell_name

_ON = ("1", "true")
_HERE = b"<?sheetkit rows?>"
"""Stands for the rows in the tree of what is around them."""
_OWN_HEIGHT = re.compile(rb"""\scustomHeight\s*=\s*["'](?:1|true)["']""")
_HEIGHT = re.compile(rb"""\sht\s*=\s*["']([0-9.]{1,12})["']""")
_SPANS = re.compile(rb"""(\sspans\s*=\s*["'])([^"']*)""")
_PLAIN = re.compile(
    rb"""<((?:[\w.\-]+:)?)c\ r="[A-Z]+[0-9]+"(?:\ s="[0-9]+")?(?:\ t="[a-z]+")?
    (?:/>|>(?:<\1f>[^<&]*</\1f>)?(?:<\1v>[^<&]*</\1v>)?</\1c>)""",
    re.VERBOSE,
)
"""A cell that holds nothing but what is written anew."""


class Sheet:
    """A tab of the maker's, opened for writing cells.

    ``headings`` are the cells of tables that the spreadsheet program holds to be headings or totals,
    each of which must keep its text. What is around the rows is a tree; they themselves stay bytes.
    """

    def __init__(self, data: bytes, space: str, title: str, headings: tuple[Range, ...] = ()) -> None:
        self._space = space
        self._title = title
        self._headings = headings
        self._rows = rows_of(data, space, title)
        data = self._rows.data
        self._before, self._after = data[: self._rows.start], data[self._rows.end :]
        self._root = tree(self._before + _HERE + self._after, title)
        self._box = opening(data, data.rindex(b"<", 0, self._rows.start))
        self._content_tags = [self._tag(name) for name in ("f", "v", "is")]
        self._content: list[bytes] = []
        """The rows when something was written into them."""
        self._around = False
        """Whether something around them changed."""
        self._merged = [
            cells
            for each in self._root.iter(self._tag("mergeCell"))
            if (cells := area(each.get("ref", ""))) is not None
        ]
        self._columns = [
            (whole(each.get("min"), 1), whole(each.get("max"), 1), whole(each.get("style")))
            for each in self._root.iter(self._tag("col"))
        ]
        self._looks: dict[int, int] = {}
        self._links: dict[str, Element] = {
            each.get("ref", ""): each for each in self._root.iter(self._tag("hyperlink"))
        }

    @property
    def changed(self) -> bool:
        """Whether anything was written that did not stand there already."""
        return self._around or bool(self._content)

    def text_uses(self, patches: Mapping[Address, Cell]) -> list[int]:
        """Return the shared texts used by the cells that will not be written over."""
        rows = self._rows
        patched = by_column(patches)
        kept = self._covered(patches).union(*(met(cells, patched) for cells in self._headings))
        pieces, at = [], rows.start
        for row in sorted({row for row, _ in patches}):
            for cell in rows.cells(row):
                address = (row, rows.columns[cell])
                if address in patches and address not in kept:
                    pieces.append(rows.data[at : rows.cell_starts[cell]])
                    at = rows.cell_end(cell)
        return uses(b"".join([*pieces, rows.data[at : rows.end]]))

    def write(
        self,
        patches: Mapping[Address, Cell],
        store: Store,
        heights: Mapping[int, float] = MappingProxyType({}),
        fresh: Mapping[int, Column] = MappingProxyType({}),
    ) -> None:
        """Write cells; a ``Cell()`` empties and leaves the look.

        Rows grow to ``heights``, and ``fresh`` columns get their widths.

        Raises
        ------
        Refused
            ``formula block``, ``merged cells``, ``table heading`` or ``no room``, when the file does not
            allow it.
        """
        if any(column > LAST_COLUMN for _, column in patches):
            raise Refused("no room", self._title)
        self._refuse_blocks(patches)
        covered = self._covered(patches)
        by_row: dict[int, dict[int, Cell]] = {}
        for address, cell in sorted(patches.items()):
            if address not in covered:
                by_row.setdefault(address[0], {})[address[1]] = cell
        pieces: list[bytes] = []
        at = self._rows.start
        for row, cells in by_row.items():
            start, end = self._rows.span(row)
            new = self._row(row, cells, store, heights.get(row, 0.0))
            if new:
                pieces += (self._rows.data[at:start], new)
                at = end
        if pieces:
            self._content = [*pieces, self._rows.data[at : self._rows.end]]
        self._widen(patches)
        for number, column in sorted(fresh.items()):
            self._set_width(number, column, store)

    def written(self) -> bytes:
        """Return the tab's bytes; where nothing changed they are as they were."""
        before, after = self._before, self._after
        if self._around:
            before, _, after = written(self._root).partition(_HERE)
        rows = self._rows
        return b"".join([before, *(self._content or [rows.data[rows.start : rows.end]]), after])

    def _tag(self, name: str) -> str:
        return f"{{{self._space}}}{name}"

    def _refuse_blocks(self, patches: Mapping[Address, Cell]) -> None:
        """Refuse to break a formula that fills several cells at once."""
        patched = by_column(patches)
        for cells, kind in self._rows.blocks:
            hit = met(cells, patched)
            if not hit:
                continue
            corner = (cells.first_row, cells.first_column)
            size = (cells.last_row - corner[0] + 1) * (cells.last_column - corner[1] + 1)
            if len(hit) < size and (kind != "shared" or corner in patches):
                raise Refused("formula block", f"{self._title}!{cell_name(*min(hit))}")

    def _covered(self, patches: Mapping[Address, Cell]) -> set[Address]:
        """Return the cells that lie under merged ones, where nothing can be written or emptied."""
        found: set[Address] = set()
        patched = by_column(patches)
        for cells in self._merged:
            hit = met(cells, patched) - {(cells.first_row, cells.first_column)}
            for address in sorted(hit):
                if not _is_empty(patches[address]):
                    raise Refused("merged cells", f"{self._title}!{cell_name(*address)}")
            found |= hit
        return found

    def _row(self, row: int, cells: Mapping[int, Cell], store: Store, height: float) -> bytes:
        """Return a row with cells written into it; nothing when they stand there already."""
        rows = self._rows
        start, end = rows.span(row)
        held = rows.cells(row)
        columns = self._columns_of(held)
        tag = opening(rows.data, start) if start < end else f'<{prefix_of(self._box)}row r="{row}"/>'.encode()
        prefix, look = prefix_of(tag), _look_of_row(tag)
        at = start + len(tag) if start < end else end
        behind = rows.cell_end(held[-1]) if held else at
        pieces: list[bytes] = []
        added = []
        for column, cell in cells.items():
            place = bisect_left(columns, column)
            first = rows.cell_starts[held[place]] if place < len(columns) else behind
            if columns[place : place + 1] == [column]:
                last = rows.cell_end(held[place])
                old = rows.data[first:last]
                new = self._written_over(old, tag, (row, column), cell, store)
            elif _is_empty(cell) and cell.style.format is Format.PLAIN:
                continue
            else:
                last, old = first, b""
                stored = store.stored(cell, self._look_of_column(column) if look is None else look)
                new = self._new(prefix, (row, column), stored)
                added.append(column)
            if new != old:
                pieces += (rows.data[at:first], new)
                at = last
            if cell.link is not None or self._links:
                self._write_link(cell_name(row, column), cell.link)
        grown = _grown(tag, height)
        if not pieces and grown == tag:
            return b""
        tag = _spanning(grown, [*columns[:1], *columns[-1:], *added])
        if tag.endswith(b"/>"):
            return b"".join([tag[:-2], b">", *pieces, closing(tag)])
        return b"".join([tag, *pieces, rows.data[at:end]])

    def _columns_of(self, cells: range) -> list[int]:
        """Return the columns of a row's cells, left to right."""
        columns = self._rows.columns[cells.start : cells.stop].tolist()
        if any(not before < column <= LAST_COLUMN for before, column in pairwise([0, *columns])):
            raise Refused("damaged", self._title)
        return columns

    def _look_of_column(self, column: int) -> int:
        """Return the look that a column gives to cells nobody has written."""
        if column not in self._looks:
            looks = (look for first, last, look in self._columns if first <= column <= last)
            self._looks[column] = next(looks, 0)
        return self._looks[column]

    def _new(self, prefix: str, address: Address, stored: Stored) -> bytes:
        """Return a cell where none was."""
        name = cell_name(*address)
        if self._headings and self._is_heading(address):
            raise Refused("table heading", f"{self._title}!{name}")
        look = f' s="{stored.look}"' if stored.look else ""
        return stored.written(prefix, f'<{prefix}c r="{name}"{look}')

    def _written_over(self, old: bytes, row: bytes, address: Address, cell: Cell, store: Store) -> bytes:
        """Return a cell with something else in it; as it stands when it holds that already."""
        if self._is_heading(address):
            text = self._text_of(self._element(old, row), store.strings)
            if cell.formula is not None or cell.value is None or cell.value != text:
                raise Refused("table heading", f"{self._title}!{cell_name(*address)}")
            return old
        tag = opening(old)
        said = attributes(tag)
        stored = store.stored(cell, whole(said.get("s")))
        fresh = {name: text for name, text in said.items() if name not in ("t", "cm", "vm")}
        if stored.look or "s" in said:
            fresh["s"] = str(stored.look)
        prefix = prefix_of(tag)
        name = f"<{prefix}c" + "".join(f' {name}="{text}"' for name, text in fresh.items())
        new = stored.written(prefix, name)
        if new == old or _PLAIN.fullmatch(old):
            return new
        element = self._element(old, row)
        more = [child for child in element if child.tag not in self._content_tags]
        if not more:
            return old if not {"cm", "vm"} & set(said) and self._holds(element, stored) else new
        kept = "".join(etree.tostring(child, encoding="unicode", with_tail=False) for child in more)
        return stored.written(prefix, name, kept)

    def _holds(self, c: Element, stored: Stored) -> bool:
        """Return whether a cell holds what is to be written."""
        content = zip(self._content_tags, (stored.formula, stored.raw), strict=False)
        wanted = [(tag, text) for tag, text in content if text is not None]
        there = [(child.tag, child.text) for child in c]
        look_and_kind = (c.get("s", "0"), c.get("t", ""))
        return (
            look_and_kind == (str(stored.look), stored.kind)
            and there == wanted
            and not any(child.attrib for child in c)
        )

    def _is_heading(self, address: Address) -> bool:
        return any(block.__contains__(address) for block in self._headings)

    def _element(self, cell: bytes, row: bytes) -> Element:
        """Return the tree of a cell, amid the tags that say what its prefixes mean."""
        root = self._root
        shut = f"</{root.prefix}:" if root.prefix else "</"
        amid = (
            self._before,
            row,
            cell,
            closing(row),
            closing(self._box),
            f"{shut}{etree.QName(root).localname}>".encode(),
        )
        return next(tree(b"".join(amid), self._title).iter(self._tag("c")))

    def _text_of(self, c: Element, strings: Strings) -> str | None:
        raw = c.findtext(self._tag("v"))
        if c.get("t") == "s" and raw and raw.strip().isdecimal():
            return strings.text(int(raw))
        inline = c.find(self._tag("is"))
        return raw if inline is None else "".join(str(piece) for piece in inline.itertext())

    def _write_link(self, name: str, link: str | None) -> None:
        there = self._links.get(name)
        if link is None:
            # A place in this workbook that an earlier run linked to; links to the outside are the maker's.
            if there is not None and set(map(str, there.attrib)) <= {"ref", "location", "display"}:
                self._drop_link(name, there)
            return
        if there is not None and set(there.attrib) == {"ref", "location"} and there.get("location") == link:
            return
        self._around = True
        if there is None:
            box = self._root.find(self._tag("hyperlinks"))
            if box is None:
                box = placed(self._root, self._tag("hyperlinks"), ORDER)
            there = self._links[name] = etree.SubElement(box, self._tag("hyperlink"), ref=name)
        for key in list(there.attrib):
            if str(key) != "ref":
                del there.attrib[key]
        there.set("location", link)

    def _drop_link(self, name: str, there: Element) -> None:
        box = there.getparent()
        del self._links[name]
        self._around = True
        if box is None:
            return
        box.remove(there)
        if len(box) == 0:
            self._root.remove(box)

    def _set_width(self, number: int, column: Column, store: Store) -> None:
        """Set the width of a column, and let its words wrap; a run of columns goes on around it."""
        tag = self._tag("col")
        runs = [each for each in self._root.iter(tag) if whole(each.get("min"), 1) <= number]
        run = runs[-1] if runs else None
        if run is not None and number <= whole(run.get("max"), 1):
            if run.get("hidden") in _ON:
                return
            made = self._cut_out(run, number)
        else:
            made = etree.Element(tag, min=str(number), max=str(number))
            if run is not None:
                run.addnext(made)
            else:
                box = self._root.find(self._tag("cols"))
                (placed(self._root, self._tag("cols"), ORDER) if box is None else box).insert(0, made)
        made.set("width", str(column.width + PADDING))
        made.set("customWidth", "1")
        made.attrib.pop("bestFit", "")
        if column.style.wrap:
            made.set("style", str(store.styles.wrapped(whole(made.get("style")))))
        self._around = True

    def _cut_out(self, run: Element, number: int) -> Element:
        """Return the one column of a run of columns, what is left and right of it going on as it was."""
        first, last = whole(run.get("min"), 1), whole(run.get("max"), 1)
        for low, high, place in ((first, number - 1, run.addprevious), (number + 1, last, run.addnext)):
            if low <= high:
                other = copy.deepcopy(run)
                other.set("min", str(low))
                other.set("max", str(high))
                place(other)
        run.set("min", str(number))
        run.set("max", str(number))
        return run

    def _widen(self, patches: Mapping[Address, Cell]) -> None:
        """Let the extent that the tab claims take in what was written."""
        claim = self._root.find(self._tag("dimension"))
        claimed = area(claim.get("ref", "")) if claim is not None else None
        filled = [address for address, cell in patches.items() if not _is_empty(cell)]
        if claim is None or claimed is None or not filled:
            return
        rows, columns = [row for row, _ in filled], [column for _, column in filled]
        first = cell_name(min(claimed.first_row, *rows), min(claimed.first_column, *columns))
        last = cell_name(max(claimed.last_row, *rows), max(claimed.last_column, *columns))
        extent = first if first == last else f"{first}:{last}"
        self._around = self._around or claim.get("ref") != extent
        claim.set("ref", extent)


def _look_of_row(tag: bytes) -> int | None:
    """Return the look that a row gives to cells nobody has written; None when that is left to the columns."""
    said = attributes(tag) if b"customFormat" in tag else {}
    return whole(said.get("s")) if said.get("customFormat") in _ON else None


def _is_empty(cell: Cell) -> bool:
    return cell.formula is None and (cell.value is None or cell.value == "")


def _grown(row: bytes, height: float) -> bytes:
    """Return a row's opening tag at least so high, unless the maker set its height."""
    own, there = _OWN_HEIGHT.search(row), _HEIGHT.search(row)
    if not height or own or (there and float(there[1]) >= height):
        return row
    if there:
        return row[: there.start()] + ht(height) + row[there.end() :]
    end = len(row) - (2 if row.endswith(b"/>") else 1)
    return row[:end] + ht(height) + row[end:]


def _spanning(row: bytes, columns: Sequence[int]) -> bytes:
    """Return a row's tag whose hint at its columns takes in these."""
    said = _SPANS.search(row)
    spans = said[2].decode().split(":") if said else []
    if said is None or len(spans) != 2:
        return row
    low, high = min(whole(spans[0]), *columns), max(whole(spans[1]), *columns)
    return b"%s%d:%d%s" % (row[: said.end(1)], low, high, row[said.end() :])

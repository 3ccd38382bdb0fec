"""Single cells written into a tab of the maker's, in the look that the tab gives them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from datetime import date
from functools import cache
from math import isfinite

from lxml import etree

from sheetkit.book.blocks import by_column, met
from sheetkit.book.markup import Element, tree, written
from sheetkit.book.workbook import Refused
from sheetkit.book.xlsx.book import placed, whole
from sheetkit.book.xlsx.read import LAST_COLUMN, LAST_ROW, area
from sheetkit.book.xlsx.render import serial
from sheetkit.book.xlsx.strings import Strings, escaped
from sheetkit.book.xlsx.styles import Styles
from sheetkit.page import LONGEST_TEXT, Address, Cell, CellError, Format, Range, cell_name, column_number

_ORDER = (
    "sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetCalcPr",
    "sheetProtection", "protectedRanges", "scenarios", "autoFilter", "sortState", "dataConsolidate",
    "customSheetViews", "mergeCells", "phoneticPr", "conditionalFormatting", "dataValidations",
    "hyperlinks", "printOptions", "pageMargins", "pageSetup", "headerFooter", "rowBreaks", "colBreaks",
    "customProperties", "cellWatches", "ignoredErrors", "smartTags", "drawing", "legacyDrawing",
    "legacyDrawingHF", "drawingHF", "picture", "oleObjects", "controls", "webPublishItems", "tableParts",
    "extLst",
)  # fmt: skip
_ON = ("1", "true")


@cache
def _letters_number(letters: str) -> int:
    return column_number(letters)


def _column(name: str) -> int:
    return _letters_number(name.rstrip("0123456789"))


class Sheet:
    """A tab of the maker's, opened for writing cells.

    ``headings`` are the cells of tables that the office program holds to be headings or totals,
    each of which must keep its text.
    """

    def __init__(self, data: bytes, space: str, title: str, headings: tuple[Range, ...] = ()) -> None:
        self._root = tree(data, title)
        self._space = space
        self._title = title
        self._headings = headings
        self._cell_tag = self._tag("c")
        self._content_tags = (self._tag("f"), self._tag("v"), self._tag("is"))
        self.changed = False
        box = self._root.find(self._tag("sheetData"))
        self._box = placed(self._root, self._tag("sheetData"), _ORDER) if box is None else box
        self._rows: list[int] = []
        self._row_elements: list[Element] = []
        self._blocks: list[tuple[Range, Element]] = []
        self._index()
        self._merged = [
            cells
            for each in self._root.iter(self._tag("mergeCell"))
            if (cells := area(each.get("ref", ""))) is not None
        ]
        self._columns = [
            (whole(each.get("min"), 1), whole(each.get("max"), 1), whole(each.get("style")))
            for each in self._root.iter(self._tag("col"))
        ]
        self._links: dict[str, Element] = {
            each.get("ref", ""): each for each in self._root.iter(self._tag("hyperlink"))
        }

    def text_uses(self, patches: Mapping[Address, Cell]) -> list[int]:
        """Give the shared texts used by the cells that will not be written over."""
        patched = by_column(patches)
        kept = self._covered(patches).union(*(met(cells, patched) for cells in self._headings))
        found = []
        for number, row in zip(self._rows, self._row_elements, strict=True):
            for c in row.iterchildren(self._cell_tag):
                if c.get("t") == "s":
                    address = (number, _column(c.get("r", "")))
                    raw = (
                        c.findtext(self._content_tags[1]) if address not in patches or address in kept else ""
                    )
                    if raw and raw.strip().isdecimal():
                        found.append(int(raw))
        return found

    def write(
        self, patches: Mapping[Address, Cell], styles: Styles, strings: Strings, date1904: bool
    ) -> None:
        """Write cells; a ``Cell()`` empties and leaves the look.

        Raises
        ------
        Refused
            ``formula block``, ``merged cells``, ``table heading`` or ``no room``, when the file does not allow it.
        """
        if any(column > LAST_COLUMN for _, column in patches):
            raise Refused("no room", self._title)
        self._refuse_blocks(patches)
        covered = self._covered(patches)
        by_row: dict[int, dict[int, Cell]] = {}
        for address, cell in patches.items():
            if address not in covered:
                by_row.setdefault(address[0], {})[address[1]] = cell
        for row, cells in sorted(by_row.items()):
            self._write_row(row, cells, styles, strings, date1904)
        self._widen(patches)

    def written(self) -> bytes:
        """Give the tab's bytes."""
        return written(self._root)

    def _tag(self, name: str) -> str:
        return f"{{{self._space}}}{name}"

    def _index(self) -> None:
        """Take note of the rows and of the formulas that fill blocks; say outright what is only implied."""
        implied = self._box.xpath("boolean(*[not(@r)] | *[local-name() = 'row']/*[not(@r)])")
        last = 0
        for row in self._box.iterchildren(self._tag("row")):
            said = row.get("r")
            number = last + 1 if said is None else whole(said)
            if not last < number <= LAST_ROW:
                raise Refused("damaged", f"{self._title}: row {said or number} after {last}")
            last = number
            row.set("r", str(last))
            self._rows.append(last)
            self._row_elements.append(row)
            if implied:
                self._number_cells(row)
        for formula in self._box.iter(self._tag("f")):
            if formula.get("ref") and formula.get("t", "normal") != "normal":
                cells = area(formula.get("ref", ""))
                if cells is not None:
                    self._blocks.append((cells, formula))

    def _number_cells(self, row: Element) -> None:
        column = 0
        for c in row.iterchildren(self._tag("c")):
            name = c.get("r")
            column = column + 1 if name is None else _column(name)
            c.set("r", cell_name(int(row.get("r", "1")), column))

    def _cells(self, row: Element) -> dict[int, Element]:
        """Give a row's cells by column, left to right."""
        found = {}
        last = 0
        for c in row.iterchildren(self._cell_tag):
            column = _column(c.get("r", ""))
            if not last < column <= LAST_COLUMN:
                raise Refused("damaged", f"{self._title}!{c.get('r')}")
            found[column] = c
            last = column
        return found

    def _refuse_blocks(self, patches: Mapping[Address, Cell]) -> None:
        """Refuse to break a formula that fills several cells at once."""
        patched = by_column(patches)
        for cells, formula in self._blocks:
            hit = met(cells, patched)
            if not hit:
                continue
            corner = (cells.first_row, cells.first_column)
            size = (cells.last_row - corner[0] + 1) * (cells.last_column - corner[1] + 1)
            if len(hit) < size and (formula.get("t") != "shared" or corner in patches):
                raise Refused("formula block", f"{self._title}!{cell_name(*min(hit))}")

    def _covered(self, patches: Mapping[Address, Cell]) -> set[Address]:
        """Give the cells that lie under merged ones, where nothing can be written or emptied."""
        found: set[Address] = set()
        patched = by_column(patches)
        for cells in self._merged:
            hit = met(cells, patched) - {(cells.first_row, cells.first_column)}
            for address in sorted(hit):
                if not _is_empty(patches[address]):
                    raise Refused("merged cells", f"{self._title}!{cell_name(*address)}")
            found |= hit
        return found

    def _write_row(
        self, row: int, cells: Mapping[int, Cell], styles: Styles, strings: Strings, date1904: bool
    ) -> None:
        at = bisect_left(self._rows, row)
        there = at < len(self._rows) and self._rows[at] == row
        if not there and all(_is_empty(cell) for cell in cells.values()):
            return
        element = self._row_elements[at] if there else self._new_row(at, row)
        held = self._cells(element)
        columns = list(held)
        for column, cell in sorted(cells.items()):
            c = held.get(column)
            if c is None:
                if _is_empty(cell):
                    continue
                c = self._new_cell(element, row, column, held, columns)
            self._write_cell(c, (row, column), cell, styles, strings, date1904)
            if cell.link is not None or self._links:
                self._write_link(c.get("r", ""), cell.link)
        spans = element.get("spans", "").split(":")
        if len(spans) == 2 and columns:
            low, high = min(whole(spans[0]), columns[0]), max(whole(spans[1]), columns[-1])
            element.set("spans", f"{low}:{high}")

    def _new_cell(
        self, element: Element, row: int, column: int, held: dict[int, Element], columns: list[int]
    ) -> Element:
        """Put an empty cell into a row, in the look that the row or the column gives it."""
        c = etree.SubElement(element, self._cell_tag, r=cell_name(row, column))
        before = bisect_left(columns, column)
        if before < len(columns):
            held[columns[before]].addprevious(c)
        elif not columns:
            element.insert(0, c)
        elif c.getprevious() is not held[columns[-1]]:
            held[columns[-1]].addnext(c)
        look = self._look_at(element, column)
        if look:
            c.set("s", str(look))
        columns.insert(before, column)
        held[column] = c
        return c

    def _new_row(self, at: int, row: int) -> Element:
        element = etree.Element(self._tag("row"), r=str(row))
        if at:
            self._row_elements[at - 1].addnext(element)
        else:
            self._box.insert(0, element)
        self._rows.insert(at, row)
        self._row_elements.insert(at, element)
        return element

    def _look_at(self, row: Element, column: int) -> int:
        """Give the look of a cell nobody has written: its row's, else its column's."""
        if row.get("customFormat") in _ON:
            return whole(row.get("s"))
        return next((look for first, last, look in self._columns if first <= column <= last), 0)

    def _write_cell(
        self, c: Element, address: Address, cell: Cell, styles: Styles, strings: Strings, date1904: bool
    ) -> None:
        value, formula, style, _, stale = cell
        if self._headings and any(block.__contains__(address) for block in self._headings):
            if formula is not None or value is None or value != self._text_of(c, strings):
                raise Refused("table heading", f"{self._title}!{cell_name(*address)}")
            return
        look = whole(c.get("s"))
        if style.format is not Format.PLAIN:
            look = styles.with_format(look, style.format.value)
        elif isinstance(value, date) and not styles.is_dated(look):
            look = styles.with_format(look, Format.DATE.value)
        kind, raw = _stored(None if stale else value, formula, strings, date1904)
        if self._holds(c, look, kind, raw, formula):
            return
        self.changed = True
        if look or c.get("s") is not None:
            c.set("s", str(look))
        for name in ("t", "cm", "vm"):
            if name in c.attrib:
                del c.attrib[name]
        for child in list(c):
            if child.tag in self._content_tags:
                c.remove(child)
        if kind:
            c.set("t", kind)
        if formula is not None:
            etree.SubElement(c, self._content_tags[0]).text = formula
        if raw is not None:
            etree.SubElement(c, self._content_tags[1]).text = raw

    def _holds(self, c: Element, look: int, kind: str, raw: str | None, formula: str | None) -> bool:
        """Whether a cell already stands there as it is to be written."""
        if c.get("s", "0") != str(look) or c.get("t", "") != kind or "cm" in c.attrib or "vm" in c.attrib:
            return False
        f_tag, v_tag, _ = self._content_tags
        wanted = [(f_tag, formula)] if formula is not None else []
        if raw is not None:
            wanted.append((v_tag, raw))
        return [(child.tag, child.text) for child in c] == wanted and not any(child.attrib for child in c)

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
        self.changed = True
        if there is None:
            box = self._root.find(self._tag("hyperlinks"))
            if box is None:
                box = placed(self._root, self._tag("hyperlinks"), _ORDER)
            there = self._links[name] = etree.SubElement(box, self._tag("hyperlink"), ref=name)
        for key in list(there.attrib):
            if str(key) != "ref":
                del there.attrib[key]
        there.set("location", link)

    def _drop_link(self, name: str, there: Element) -> None:
        box = there.getparent()
        del self._links[name]
        self.changed = True
        if box is None:
            return
        box.remove(there)
        if len(box) == 0:
            self._root.remove(box)

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
        claim.set("ref", first if first == last else f"{first}:{last}")


def _is_empty(cell: Cell) -> bool:
    return cell.formula is None and (cell.value is None or cell.value == "")


def _stored(value: object, formula: str | None, strings: Strings, date1904: bool) -> tuple[str, str | None]:
    """Give the kind of a value and the value, both as a file holds them."""
    if value is None or (value == "" and formula is None):
        return "", None
    if isinstance(value, str):
        if len(value) > LONGEST_TEXT:
            raise ValueError(f"a cell holds at most {LONGEST_TEXT:,} characters")
        return ("s", str(strings.add(value))) if formula is None else ("str", escaped(value))
    if isinstance(value, bool):
        return "b", str(int(value))
    if isinstance(value, CellError):
        return "e", value.text
    if isinstance(value, date):
        return "", number_text(serial(value, date1904))
    if isinstance(value, (int, float)) and isfinite(value):
        return "", number_text(value)
    raise ValueError(f"not a value of a cell: {value!r}")


def number_text(number: float) -> str:
    """Give a number as a file holds it.

    >>> number_text(3.0), number_text(0.1)
    ('3', '0.1')
    """
    whole = float(number).is_integer() and abs(number) < 1e15
    return str(int(number)) if whole else repr(float(number))

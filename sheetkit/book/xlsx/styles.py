"""The styles part of the maker's file: added to at the ends of its lists, never renumbered."""

from __future__ import annotations

import copy

from lxml import etree

from sheetkit.book.markup import Element, root, tree, written
from sheetkit.book.xlsx.book import placed, whole
from sheetkit.book.xlsx.looks import BUILT_IN, is_count, shown_as, table_lists

_ORDER = (
    "numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs",
    "tableStyles", "colors", "extLst",
)  # fmt: skip
_FIRST_OWN = 164
"""Number formats below this number are the standard's own."""
_FIRSTS = {
    "fonts": '<font xmlns="{0}"><sz val="11"/><name val="Calibri"/><family val="2"/></font>',
    "fills": '<fill xmlns="{0}"><patternFill patternType="none"/></fill>',
    "borders": '<border xmlns="{0}"><left/><right/><top/><bottom/><diagonal/></border>',
    "cellXfs": '<xf xmlns="{0}" numFmtId="0" fontId="0" fillId="0" borderId="0"/>',
}
"""What stands first in a list that the file does not have: the look of cells that name none."""

Signature = tuple[object, ...]


class Styles:
    """The lists of a styles part, for adding looks.

    Parameters
    ----------
    data
        The part as it stands, or None when the file has none.
    space
        The namespace of the file.
    """

    def __init__(self, data: bytes | None, space: str) -> None:
        self._space = space
        self._root = root(space, "styleSheet") if data is None else tree(data)
        self._lists = table_lists(self._root)
        self._known: dict[str, dict[Signature, int]] = {}
        self._formats: dict[tuple[int, str], int] = {}
        self.changed = data is None
        for name, first in _FIRSTS.items():
            if not self._lists[name]:
                self._append(name, etree.fromstring(first.format(space)))
        if len(self._lists["fills"]) == 1:
            gray = f'<fill xmlns="{space}"><patternFill patternType="gray125"/></fill>'
            self._append("fills", etree.fromstring(gray))
        self._codes = dict(BUILT_IN)
        self._own: dict[str, int] = {}
        for line in self._lists["numFmts"]:
            number, code = line.get("numFmtId", ""), line.get("formatCode", "")
            if is_count(number):
                self._codes[int(number)] = code
                self._own.setdefault(code, int(number))

    @property
    def looks(self) -> int:
        """How many cell formats there are."""
        return len(self._lists["cellXfs"])

    def adopt(self, other: Styles, index: int) -> int:
        """Return the index of a look like one of another workbook, adding it when there is none."""
        theirs = other._lists["cellXfs"][index]
        made = etree.Element(f"{{{self._space}}}xf")
        made.set("numFmtId", str(self.number_format(other.code(index))))
        for name, key in (("fonts", "fontId"), ("fills", "fillId"), ("borders", "borderId")):
            part = self._brought(other._lists[name][int(theirs.get(key, "0"))])
            made.set(key, str(self._index(name, part)))
        if self._lists["cellStyleXfs"]:
            made.set("xfId", str(self._normal()))
        for what in ("NumberFormat", "Font", "Fill", "Border", "Alignment", "Protection"):
            made.set(f"apply{what}", "1")
        made.extend(self._brought(child) for child in theirs.iterchildren(etree.Element))
        return self._index("cellXfs", made)

    def with_format(self, index: int, code: str) -> int:
        """Return the index of a look that differs from another in its number format only."""
        found = self._formats.get((index, code))
        if found is None:
            found = self._formats[index, code] = self._with_format(index, code)
        return found

    def wrapped(self, index: int) -> int:
        """Return the index of a look that differs from another in that its words wrap."""
        if index >= self.looks:
            index = 0
        made = copy.deepcopy(self._lists["cellXfs"][index])
        made.tail = None
        tag = f"{{{self._space}}}alignment"
        placing = made.find(tag)
        if placing is None:
            placing = etree.Element(tag)
            made.insert(0, placing)
        placing.set("wrapText", "1")
        made.set("applyAlignment", "1")
        return self._index("cellXfs", made)

    def is_dated(self, index: int) -> bool:
        """Return whether numbers in a cell of this look are shown as dates."""
        return index < self.looks and shown_as(self.code(index))[1]

    def code(self, index: int) -> str:
        """Return the number format of a look."""
        number = self._lists["cellXfs"][index].get("numFmtId", "0")
        return self._codes.get(int(number), "General") if is_count(number) else "General"

    def number_format(self, code: str) -> int:
        """Return the number of a number format, adding it when the file does not have it."""
        for number, known in self._codes.items():
            # A writer may have given a standard number another meaning: then the file's own word counts.
            if known == code and (number >= _FIRST_OWN or number in BUILT_IN):
                return number
        number = max([_FIRST_OWN - 1, *self._codes]) + 1
        line = etree.Element(f"{{{self._space}}}numFmt", numFmtId=str(number), formatCode=code)
        self._append("numFmts", line)
        self._codes[number] = code
        return number

    def written(self) -> bytes:
        """Return the part's bytes."""
        return written(self._root)

    def _with_format(self, index: int, code: str) -> int:
        if index >= self.looks:
            index = 0
        number = self.number_format(code)
        base = self._lists["cellXfs"][index]
        if base.get("numFmtId", "0") == str(number):
            return index
        made = copy.deepcopy(base)
        made.tail = None
        made.set("numFmtId", str(number))
        made.set("applyNumberFormat", "1")
        return self._index("cellXfs", made)

    def _index(self, name: str, entry: Element) -> int:
        """Return an entry's place in its list, adding it when no equal one stands there."""
        known = self._known.get(name)
        if known is None:
            known = self._known[name] = {}
            for number, each in enumerate(self._lists[name]):
                known.setdefault(_signature(each), number)
        signature = _signature(entry)
        if signature not in known:
            known[signature] = len(self._lists[name])
            self._append(name, entry)
        return known[signature]

    def _append(self, name: str, entry: Element) -> None:
        tag = f"{{{self._space}}}{name}"
        box = self._root.find(tag)
        if box is None:
            box = placed(self._root, tag, _ORDER)
        if self._lists[name]:
            self._lists[name][-1].addnext(entry)
        else:
            box.insert(0, entry)
        self._lists[name].append(entry)
        box.set("count", str(len(self._lists[name])))
        self.changed = True

    def _normal(self) -> int:
        """Return the place of the style named Normal, which need not be the first."""
        for style in self._root.iter(f"{{{self._space}}}cellStyle"):
            if style.get("builtinId") == "0":
                return whole(style.get("xfId"))
        return 0

    def _brought(self, element: Element) -> Element:
        """Return a copy of an element of another workbook in this one's namespace."""
        made = etree.Element(f"{{{self._space}}}{etree.QName(element).localname}")
        for name, value in element.attrib.items():
            made.set(name, value)
        made.text = element.text
        made.extend(self._brought(child) for child in element.iterchildren(etree.Element))
        return made


def _signature(element: Element) -> Signature:
    return (
        etree.QName(element).localname,
        tuple(sorted((str(name), str(value)) for name, value in element.attrib.items())),
        (element.text or "").strip(),
        tuple(_signature(child) for child in element.iterchildren(etree.Element)),
    )

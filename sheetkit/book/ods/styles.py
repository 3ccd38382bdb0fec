"""Automatic styles: each look written once, under a name made from what it says."""

from __future__ import annotations

import copy

from sheetkit.book.markup import Element
from sheetkit.book.ods.names import OURS, fingerprint, make, name
from sheetkit.page import Format, Style

FAMILY = name("style:family")
NAME = name("style:name")
DATA_STYLE = name("style:data-style-name")
MASTER = name("style:master-page-name")
STYLE = name("style:style")
_CELL_PROPERTIES = name("style:table-cell-properties")

_DECIMALS = {
    Format.WHOLE: "0",
    Format.TENTH: "1",
    Format.HUNDREDTH: "2",
    Format.THOUSANDTH: "3",
    Format.TEN_THOUSANDTH: "4",
    Format.HUNDRED_THOUSANDTH: "5",
    Format.MILLIONTH: "6",
}
INSET = "0.08in"
_ALIGNS = {"left": "start", "center": "center", "right": "end"}


class Pool:
    """The automatic styles of one document, ours among them; ``recent``: it may hold what ODF 1.3 brought."""

    def __init__(self, automatic: Element, recent: bool = True) -> None:
        self._automatic = automatic
        self._recent = recent
        self._known = {_key(child): child for child in automatic if isinstance(child.tag, str)}
        self._cells: dict[Style, str] = {}
        self._columns: dict[float, str] = {}
        self._rows: dict[tuple[float | None, bool], str] = {}
        self._data: dict[Format, str] = {}
        self._derived: dict[tuple[str, Format | None, bool], str] = {}

    def cell(self, style: Style) -> str:
        """Return the name of the style of a cell with this look."""
        if style not in self._cells:
            element = make("style:style", {"style:family": "table-cell"}, *_cell_properties(style))
            element.set(DATA_STYLE, self.data(style.format))
            self._cells[style] = self._put("c", element)
        return self._cells[style]

    def data(self, look: Format) -> str:
        """Return the name of the style that shows numbers in this format."""
        if look not in self._data:
            self._data[look] = self._put("n", _data_style(look, self._recent))
        return self._data[look]

    def column(self, width: float) -> str:
        """Return the name of the style of a column as wide as this many characters."""
        if width not in self._columns:
            properties = make(
                "style:table-column-properties", {"style:column-width": f"{inches(width):.4f}in"}
            )
            self._columns[width] = self._put(
                "w", make("style:style", {"style:family": "table-column"}, properties)
            )
        return self._columns[width]

    def row(self, height: float | None, breaks: bool) -> str:
        """Return the name of a row's style: height in points or as its text needs, a page break before."""
        key = height, breaks
        if key in self._rows:
            return self._rows[key]
        attributes = {"style:use-optimal-row-height": "true" if height is None else "false"}
        if height is not None:
            attributes["style:row-height"] = f"{height / 72:.4f}in"
        attributes["fo:break-before"] = "page" if breaks else "auto"
        properties = make("style:table-row-properties", attributes)
        self._rows[key] = self._put("r", make("style:style", {"style:family": "table-row"}, properties))
        return self._rows[key]

    def table(self, master: str, color: str = "") -> str:
        """Return the name of the style of a tab that prints on this master page."""
        properties = make("style:table-properties", {"table:display": "true", "style:writing-mode": "lr-tb"})
        if color and self._recent:
            properties.set(name("table:tab-color"), f"#{color}")
        attributes = {"style:family": "table", "style:master-page-name": master}
        return self._put("t", make("style:style", attributes, properties))

    def derived(self, base: str, look: Format | None, wrap: bool = False) -> str:
        """Return the name of a cell style like ``base`` (empty: the default) but for format or wrapping."""
        key = base, look, wrap
        if key not in self._derived:
            element = self.get(base)
            if element is not None:
                element = copy.deepcopy(element)
                element.tail = None
                element.attrib.pop(NAME)
            else:
                element = make("style:style", {"style:family": "table-cell"})
                if base:
                    element.set(name("style:parent-style-name"), base)
            if look:
                element.set(DATA_STYLE, self.data(look))
            if wrap:
                _let_wrap(element)
            self._derived[key] = self._put("d", element)
        return self._derived[key]

    def moved(self, table_style: str, master: str) -> str:
        """Return the name of a table style like this one that prints on another master page."""
        element = copy.deepcopy(self._known["table", table_style])
        element.tail = None
        element.attrib.pop(NAME)
        element.set(MASTER, master)
        return self._put("t", element)

    def get(self, label: str, family: str = "table-cell") -> Element | None:
        """Return the automatic style of this name."""
        return self._known.get((family, label))

    def masters(self) -> set[str]:
        """Return the names of the master pages that tables print on."""
        return {element.get(MASTER, "") for (family, _), element in self._known.items() if family == "table"}

    def sweep(self, used: set[str], suspects: set[str]) -> bool:
        """Take away our styles, and ``suspects`` with what they use, that nothing refers to any more.

        Say whether there were any.
        """
        needed, suspects = self._reach(used), self._reach(suspects)
        before = len(self._known)
        for key, element in list(self._known.items()):
            if key[1] not in needed and (key[1].startswith(OURS) or key[1] in suspects):
                self._automatic.remove(element)
                del self._known[key]
        return len(self._known) < before

    def altered(self) -> bool:
        """Return whether another program changed a style under the name that we gave it."""
        return any(map(_is_altered, self._known.values()))

    def drop_altered(self, used: set[str]) -> None:
        """Take away our styles that another program changed and nothing refers to: they hold our names."""
        needed = self._reach(used)
        for key, element in list(self._known.items()):
            if key[1] not in needed and _is_altered(element):
                self._automatic.remove(element)
                del self._known[key]

    def _reach(self, labels: set[str]) -> set[str]:
        """Return these style names and all that their styles refer to, however far."""
        bearers: dict[str, list[Element]] = {}
        for (_, label), element in self._known.items():
            bearers.setdefault(label, []).append(element)
        reached, fresh = set(labels), set(labels)
        while fresh:
            found = {
                other for label in fresh for each in bearers.get(label, ()) for other in references(each)
            }
            fresh = found - reached
            reached |= fresh
        return reached

    def _put(self, kind: str, element: Element) -> str:
        said = fingerprint(element)
        family = element.get(FAMILY) or ""
        labels = [f"{OURS}{kind}.{said}{'x' * times}" for times in range(9)]
        for label in labels:
            known = self._known.get((family, label))
            if known is not None and _nameless(known) == said:
                return label
        # Another program may have put something else under our name.
        label = next(label for label in labels if (family, label) not in self._known)
        element.set(NAME, label)
        self._automatic.append(element)
        self._known[family, label] = element
        return label


def _let_wrap(style: Element) -> None:
    """Let the words of a cell style wrap."""
    properties = style.find(_CELL_PROPERTIES)
    if properties is None:
        properties = make("style:table-cell-properties")
        style.insert(0, properties)
    properties.set(name("fo:wrap-option"), "wrap")


def inches(characters: float) -> float:
    """Return the width of a column of so many characters: 7 dots each and 5 of margin, 96 dots an inch."""
    return (characters * 7 + 5) / 96


def characters(width_in_inches: float) -> float:
    """Return how many characters a column of this width holds.

    >>> characters(inches(12.5))
    12.5
    """
    return round(max(0.0, (width_in_inches * 96 - 5) / 7), 2)


def references(element: Element) -> set[str]:
    """Return the names of all styles that an element and what is in it refer to."""
    found = set()
    for part in element.iter():
        if isinstance(part.tag, str):
            for key, value in part.attrib.items():
                if str(key).endswith("style-name"):
                    found.update(str(value).split())
    return found


def _is_altered(element: Element) -> bool:
    """Return whether a style with a name of ours says something else than the name stands for."""
    label = element.get(NAME) or ""
    if not label.startswith(OURS):
        return False
    return label.partition(".")[2].rstrip("x") != _nameless(element)


def _nameless(element: Element) -> str:
    """Return the fingerprint of a style without its name."""
    bare = copy.copy(element)
    bare.attrib.pop(NAME, "")
    return fingerprint(bare)


def _key(element: Element) -> tuple[str, str]:
    """Return what tells one style from another: a name is unique within a family only."""
    return element.get(FAMILY) or "", element.get(NAME) or ""


def _cell_properties(style: Style) -> list[Element]:
    cell = {
        "fo:background-color": f"#{style.fill}" if style.fill else "transparent",
        "fo:wrap-option": "wrap" if style.wrap else "no-wrap",
        "style:cell-protect": "protected" if style.locked else "none",
        "style:text-align-source": "fix" if style.align else "value-type",
        "style:vertical-align": "middle" if style.middle else "top" if style.wrap else "bottom",
    }
    if style.line in ("under", "heavy"):
        cell["fo:border-bottom"] = f"{'1.5pt' if style.line == 'heavy' else '0.5pt'} solid #000000"
        cell |= {f"fo:border-{side}": "none" for side in ("left", "right", "top")}
    else:
        cell["fo:border"] = "0.5pt solid #000000" if style.line == "box" else "none"
    text = {
        "fo:color": f"#{style.color}",
        # Black follows the screen's own text color, so that a dark screen stays readable.
        "style:use-window-font-color": "true" if style.color == "000000" and not style.fill else "false",
        "fo:font-family": "Arial",
        "fo:font-size": f"{style.size:g}pt",
        "fo:font-style": "italic" if style.italic else "normal",
        "fo:font-weight": "bold" if style.bold else "normal",
    }
    properties = [make("style:table-cell-properties", cell)]
    if style.align == "inset":
        placed = {"fo:text-align": _ALIGNS["left"], "fo:margin-left": INSET}
        properties.append(make("style:paragraph-properties", placed))
    elif style.align:
        properties.append(make("style:paragraph-properties", {"fo:text-align": _ALIGNS[style.align]}))
    properties.append(make("style:text-properties", text))
    return properties


def _data_style(look: Format, recent: bool) -> Element:
    if look is Format.TEXT:
        return make("number:text-style", None, make("number:text-content"))
    if look is Format.DATE:
        dash = [_number_text("-"), _number_text("-")]
        year, month, day = (
            make(f"number:{part}", {"number:style": "long"}) for part in ("year", "month", "day")
        )
        return make("number:date-style", None, year, dash[0], month, dash[1], day)
    if look is Format.READERS_DATE:
        year = make("number:year", {"number:style": "long"})
        month, day = (make(f"number:{part}", {"number:style": "long"}) for part in ("month", "day"))
        order = {"number:automatic-order": "true"}
        slash = [_number_text("/"), _number_text("/")]
        return make("number:date-style", order, month, slash[0], day, slash[1], year)
    if look is Format.AS_PERCENT:
        plain = make("number:number", {"number:min-integer-digits": "1"})
        return make("number:number-style", None, plain, _number_text("%"))
    if look is Format.PERCENT:
        return make("number:percentage-style", None, _decimal("1"), _number_text("%"))
    if look is Format.FRACTION:
        fraction = {"number:min-integer-digits": "0", "number:min-numerator-digits": "2"}
        fraction |= {"number:min-denominator-digits": "2"}
        if recent:  # before, two digits alone meant the same
            fraction["number:max-denominator-value"] = "99"
        return make("number:number-style", None, make("number:fraction", fraction))
    if look is Format.PLAIN:
        return make("number:number-style", None, make("number:number", {"number:min-integer-digits": "1"}))
    if look is Format.MONEY:
        return make("number:number-style", None, _decimal("2", {"number:grouping": "true"}))
    return make("number:number-style", None, _decimal(_DECIMALS[look]))


def _decimal(places: str, more: dict[str, str] | None = None) -> Element:
    attributes = {"number:decimal-places": places, "number:min-integer-digits": "1", **(more or {})}
    return make("number:number", attributes)


def _number_text(text: str) -> Element:
    element = make("number:text")
    element.text = text
    return element

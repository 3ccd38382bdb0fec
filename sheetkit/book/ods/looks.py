"""The look of cells, columns and rows as a file's styles define it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from sheetkit.book.markup import Element
from sheetkit.book.ods.names import name
from sheetkit.book.ods.styles import DATA_STYLE, FAMILY, NAME, STYLE, characters
from sheetkit.page import PLAIN, Format, Style

_DEFAULT = name("style:default-style")
_PARENT = name("style:parent-style-name")
_LENGTH = re.compile(r"([0-9]*\.?[0-9]+)(in|cm|mm|pt|pc|px)")
_INCHES = {"in": 1.0, "cm": 1 / 2.54, "mm": 1 / 25.4, "pt": 1 / 72, "pc": 1 / 6, "px": 1 / 96}
_ALIGNS = {"start": "left", "left": "left", "center": "center", "end": "right", "right": "right"}
_PLACES = {
    "0": Format.WHOLE,
    "1": Format.TENTH,
    "2": Format.HUNDREDTH,
    "3": Format.THOUSANDTH,
    "4": Format.TEN_THOUSANDTH,
    "5": Format.HUNDRED_THOUSANDTH,
    "6": Format.MILLIONTH,
}
_NUMBER_STYLE, _PERCENT_STYLE = name("number:number-style"), name("number:percentage-style")
_TEXT_STYLE, _DATE_STYLE = name("number:text-style"), name("number:date-style")
_NUMBER, _FRACTION, _TEXT = name("number:number"), name("number:fraction"), name("number:text")
_MAP, _APPLIED = name("style:map"), name("style:apply-style-name")
_PROPERTIES = ("style:table-cell-properties", "style:paragraph-properties", "style:text-properties")
_KINDS = frozenset(name(kind) for kind in _PROPERTIES)
_LONGEST_CHAIN = 100
"""How many styles may stand behind one another; spreadsheet programs write three or four."""


class Looks:
    """All styles of a document, resolved when asked for."""

    def __init__(self, groups: Iterable[Element]) -> None:
        self._styles: dict[tuple[str, str], Element] = {}
        self._defaults: dict[str, Element] = {}
        self._data: dict[str, Element] = {}
        self._cells: dict[tuple[str, bool], Style] = {}
        self._heights: dict[str, float | None] = {}
        self._folded: dict[tuple[str, str], bool] = {}
        for group in groups:
            for child in group:
                if child.tag == STYLE:
                    self._styles[child.get(FAMILY, ""), child.get(NAME, "")] = child
                elif child.tag == _DEFAULT:
                    self._defaults[child.get(FAMILY, "")] = child
                elif isinstance(child.tag, str) and child.get(NAME):
                    self._data.setdefault(child.get(NAME, ""), child)

    def cell(self, label: str, percent: bool = False) -> Style:
        """Return the look that a style name stands for; ``percent`` when the value is stored as one."""
        key = label, percent
        if key not in self._cells:
            style = self._resolved(label)
            if percent and style.format is Format.PLAIN:
                style = replace(style, format=Format.PERCENT)
            self._cells[key] = PLAIN if style == PLAIN else style
        return self._cells[key]

    def format(self, label: str) -> Format:
        """Return the number format of a style name, ``PLAIN`` when it is none of ours."""
        for style in self._chain(label):
            data = style.get(DATA_STYLE)
            if data is not None:
                found = self._data.get(data)
                return Format.PLAIN if found is None else format_of(found)
        return Format.PLAIN

    def _shows_nothing(self, label: str) -> bool:
        """Return whether a cell style's number format, and those it leaves values to, show nothing at all."""
        name_of = next((said for style in self._chain(label) if (said := style.get(DATA_STYLE))), "")
        data = self._data.get(name_of)
        if data is None:
            return False
        kinds = [data, *(self._data.get(part.get(_APPLIED, "")) for part in data if part.tag == _MAP)]
        return any(len(kind) for kind in kinds if kind is not None) and not any(
            part.tag != _MAP and (part.tag != _TEXT or (part.text or "").strip())
            for kind in kinds
            if kind is not None
            for part in kind
            if isinstance(part.tag, str) and not part.tag.endswith("}text-properties")
        )

    def width(self, label: str) -> float | None:
        """Return the width of a column style in characters."""
        found = self._measure("table-column", label, "style:table-column-properties", "style:column-width")
        return None if found is None else characters(found)

    def height(self, label: str) -> float | None:
        """Return the height of a row style in points, None when the row takes what its text needs."""
        if label not in self._heights:
            self._heights[label] = self._height(label)
        return self._heights[label]

    def is_folded(self, label: str, family: str) -> bool:
        """Return whether a row's or column's style leaves it no size."""
        key = family, label
        if key not in self._folded:
            attribute = "style:row-height" if family == "table-row" else "style:column-width"
            self._folded[key] = self._measure(*key, f"style:{family}-properties", attribute) == 0
        return self._folded[key]

    def _height(self, label: str) -> float | None:
        style = self._styles.get(("table-row", label))
        properties = style.find(name("style:table-row-properties")) if style is not None else None
        if properties is None or properties.get(name("style:use-optimal-row-height")) != "false":
            return None
        found = _inches(properties.get(name("style:row-height")))
        return None if found is None else round(found * 72, 1)

    def _measure(self, family: str, label: str, properties: str, attribute: str) -> float | None:
        style = self._styles.get((family, label))
        part = style.find(name(properties)) if style is not None else None
        return None if part is None else _inches(part.get(name(attribute)))

    def _chain(self, label: str) -> list[Element]:
        """Return a cell style and those it takes from, nearest first."""
        chain: list[Element] = []
        style = self._styles.get(("table-cell", label or "Default"))
        while style is not None and style not in chain and len(chain) < _LONGEST_CHAIN:
            chain.append(style)
            style = self._styles.get(("table-cell", style.get(_PARENT) or "Default"))
        if "table-cell" in self._defaults:
            chain.append(self._defaults["table-cell"])
        return chain

    def _resolved(self, label: str) -> Style:
        said: dict[str, str] = {}
        for style in reversed(self._chain(label)):
            for part in style:
                if part.tag in _KINDS:
                    said.update({str(key): str(value) for key, value in part.attrib.items()})

        def get(attribute: str) -> str:
            return said.get(name(attribute), "")

        fixed = get("style:text-align-source") != "value-type"
        align = _ALIGNS.get(get("fo:text-align"), "") if fixed else ""
        if align == "left" and re.match(r"0*\.?0*[1-9]", get("fo:margin-left")):
            align = "inset"
        color, fill = get("fo:color"), get("fo:background-color")
        size = re.fullmatch(r"([0-9.]+)pt", get("fo:font-size"))
        return Style(
            format=self.format(label),
            bold=get("fo:font-weight") in ("bold", "600", "700", "800", "900"),
            italic=get("fo:font-style") in ("italic", "oblique"),
            size=float(size[1]) if size else 10.0,
            color=color[1:].upper() if re.fullmatch("#[0-9a-fA-F]{6}", color) else "000000",
            fill=fill[1:].upper() if re.fullmatch("#[0-9a-fA-F]{6}", fill) else "",
            align=align,
            middle=get("style:vertical-align") == "middle",
            wrap=get("fo:wrap-option") == "wrap",
            line=_line(get("fo:border"), get("fo:border-bottom"), get("fo:border-top")),
            locked="none" not in get("style:cell-protect"),
            hidden="hidden" in get("style:cell-protect") or self._shows_nothing(label),
        )


def format_of(data: Element) -> Format:
    """Return the format of ours that a data style is, ``PLAIN`` when it is another."""
    parts = [part for part in data if isinstance(part.tag, str)]
    if data.tag == _DATE_STYLE:
        said = [part.text if part.tag == _TEXT else part.tag.rpartition("}")[2] for part in parts]
        long = all(part.get(name("number:style")) == "long" for part in parts if part.tag != _TEXT)
        return Format.DATE if long and said == ["year", "-", "month", "-", "day"] else Format.PLAIN
    if data.tag == _TEXT_STYLE:
        only = [part.tag for part in parts] == [name("number:text-content")]
        return Format.TEXT if only else Format.PLAIN
    if data.tag == _PERCENT_STYLE:
        numbers = [part for part in parts if part.tag == _NUMBER]
        one = len(numbers) == 1 and numbers[0].get(name("number:decimal-places")) == "1"
        return Format.PERCENT if one else Format.PLAIN
    if data.tag != _NUMBER_STYLE or len(parts) != 1:
        return Format.PLAIN
    part = parts[0]
    if part.tag == _FRACTION:
        return _fraction_format(part)
    places = part.get(name("number:decimal-places"))
    grouped = part.get(name("number:grouping")) == "true"
    plain = part.tag == _NUMBER and part.get(name("number:min-integer-digits")) == "1"
    if not plain or part.get(name("number:display-factor")) or places is None:
        return Format.PLAIN
    if part.get(name("number:min-decimal-places"), places) != places:
        return Format.PLAIN
    if grouped:
        return Format.MONEY if places == "2" else Format.PLAIN
    return _PLACES.get(places, Format.PLAIN)


def _fraction_format(part: Element) -> Format:
    forced = part.get(name("number:denominator-value"))
    digits = part.get(name("number:min-denominator-digits"))
    return Format.FRACTION if forced is None and digits == "2" else Format.PLAIN


def _inches(text: str | None) -> float | None:
    match = _LENGTH.fullmatch(text or "")
    return float(match[1]) * _INCHES[match[2]] if match else None


def _line(whole: str, bottom: str, top: str) -> str:
    """Return the kind of lines from the borders, which programs write whole or side by side."""
    if whole and whole != "none" and not bottom:
        return "box"
    if not bottom or bottom == "none":
        return ""
    if top and top != "none":
        return "box"
    width = _inches(bottom.split(" ")[0])
    return "heavy" if width is not None and width > 1 / 72 else "under"

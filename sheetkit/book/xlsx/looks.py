"""Cell formats of a file as read: the look of each, and whether its numbers are dates."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from lxml import etree

from sheetkit.book.markup import Element
from sheetkit.book.workbook import Refused
from sheetkit.page import PLAIN, Format, Style

BUILT_IN = {
    0: "General", 1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 11: "0.00E+00",
    12: "# ?/?", 13: "# ??/??", 14: "mm-dd-yy", 15: "d-mmm-yy", 16: "d-mmm", 17: "mmm-yy",
    18: "h:mm AM/PM", 19: "h:mm:ss AM/PM", 20: "h:mm", 21: "h:mm:ss", 22: "m/d/yy h:mm",
    37: "#,##0 ;(#,##0)", 38: "#,##0 ;[Red](#,##0)", 39: "#,##0.00;(#,##0.00)",
    40: "#,##0.00;[Red](#,##0.00)", 45: "mm:ss", 46: "[h]:mm:ss", 47: "mmss.0", 48: "##0.0E+0", 49: "@",
}  # fmt: skip
_DATE_IDS = frozenset([*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)])
_ASIDE = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!(?:h+|m+|s+)\])[^\]]*\]', re.IGNORECASE)
_FORMATS = {form.value.casefold(): form for form in Format}
_LONGEST_CODE = 255
"""What a number format may hold; more than this is no spreadsheet program's."""
_LISTS = ("numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "dxfs")


class Look(NamedTuple):
    """The look of a cell, and whether its number stands for a date."""

    style: Style
    dated: bool


@cache
def shown_as(code: str) -> tuple[Format, bool]:
    """Return our name for a number format, and whether it shows dates.

    >>> shown_as('[$-409]General')[0].name, shown_as('d" day "m')[1], shown_as('0" in"')[1]
    ('PLAIN', True, False)
    >>> shown_as("0%")[0].name
    'PERCENT'
    """
    bare = _ASIDE.sub("", code[:_LONGEST_CODE].partition(";")[0])
    if bare.strip().casefold() in ("general", "standard"):
        return Format.PLAIN, False
    if re.search("[dmyhs]", bare, re.IGNORECASE):
        return Format.DATE, True
    if "%" in bare:
        return Format.PERCENT, False
    plain = re.sub(r"^\[\$-[^\]]*\]", "", code[:_LONGEST_CODE]).casefold()
    return _FORMATS.get(plain, Format.PLAIN), False


def _shows_nothing(code: str | None) -> bool:
    """Return whether a number format is of sections without anything in them, such as ``;;;``."""
    sections = [_ASIDE.sub("", section).strip() for section in (code or "General").split(";")]
    return len(sections) > 1 and not any(sections[:3])


class Looks:
    """The looks of a file's cell formats, each worked out once."""

    def __init__(self, root: Element | None) -> None:
        self._known: dict[int, Look] = {}
        self._codes = dict(BUILT_IN)
        self._lists: dict[str, list[Element]] = {}
        if root is not None:
            self._lists = table_lists(root)
            for line in self._lists["numFmts"]:
                number = line.get("numFmtId", "")
                if is_count(number):
                    self._codes[int(number)] = line.get("formatCode", "")

    def __getitem__(self, index: int) -> Look:
        known = self._known.get(index)
        if known is None:
            forms = self._lists.get("cellXfs", [])
            known = self._look(forms[index]) if 0 <= index < len(forms) else Look(PLAIN, False)
            self._known[index] = known
        return known

    def _look(self, form: Element) -> Look:
        number = _whole(form.get("numFmtId"))
        code = self._codes.get(number)
        kind, dated = shown_as(code) if code is not None else (Format.PLAIN, False)
        if code is None and number in _DATE_IDS:
            kind, dated = Format.DATE, True
        font = self._part("fonts", form.get("fontId"))
        fill = self._part("fills", form.get("fillId"))
        border = self._part("borders", form.get("borderId"))
        placing = _child(form, "alignment")
        guard = _child(form, "protection")
        align = placing.get("horizontal", "") if placing is not None else ""
        if align == "left" and placing is not None and placing.get("indent") not in (None, "0"):
            align = "inset"
        style = Style(
            format=kind,
            bold=_is_on(font, "b"),
            italic=_is_on(font, "i"),
            size=_size(font),
            color=_color(_child(font, "color")) or "000000",
            fill=_fill(fill),
            align=align if align in ("left", "inset", "center", "right") else "",
            middle=placing is not None and placing.get("vertical") == "center",
            wrap=placing is not None and placing.get("wrapText") in ("1", "true"),
            line=_line(border),
            locked=guard is None or guard.get("locked") not in ("0", "false"),
            hidden=(guard is not None and guard.get("hidden") in ("1", "true")) or _shows_nothing(code),
        )
        return Look(style, dated)

    def _part(self, name: str, index: str | None) -> Element | None:
        parts, at = self._lists[name], _whole(index)
        return parts[at] if at < len(parts) else None


def table_lists(root: Element) -> dict[str, list[Element]]:
    """Return the entries of each list in the styles part."""
    lists: dict[str, list[Element]] = {name: [] for name in _LISTS}
    for box in root.iterchildren(etree.Element):
        name = etree.QName(box).localname
        if name in lists:
            entries = list(box.iterchildren(etree.Element))
            if any(etree.QName(entry).localname == "AlternateContent" for entry in entries):
                raise Refused("styles with alternatives")
            lists[name] = entries
    return lists


def is_count(text: str) -> bool:
    """Return whether a text is a whole number of a size that a file may hold."""
    return text.isdecimal() and len(text) < 10


def _whole(text: str | None) -> int:
    return int(text) if text is not None and is_count(text) else 0


def _child(parent: Element | None, name: str) -> Element | None:
    if parent is None:
        return None
    return next(
        (each for each in parent.iterchildren(etree.Element) if etree.QName(each).localname == name), None
    )


def _is_on(font: Element | None, name: str) -> bool:
    mark = _child(font, name)
    return mark is not None and mark.get("val", "1") not in ("0", "false")


def _size(font: Element | None) -> float:
    mark = _child(font, "sz")
    try:
        return float(mark.get("val", "10")) if mark is not None else PLAIN.size
    except ValueError:
        return PLAIN.size


def _color(mark: Element | None) -> str:
    code = mark.get("rgb", "") if mark is not None else ""
    return code[-6:].upper() if re.fullmatch(r"[0-9A-Fa-f]{6,8}", code) else ""


def _fill(fill: Element | None) -> str:
    pattern = _child(fill, "patternFill")
    if pattern is None or pattern.get("patternType") != "solid":
        return ""
    return _color(_child(pattern, "fgColor"))


def _line(border: Element | None) -> str:
    sides = {}
    for side in ("left", "right", "top", "bottom"):
        mark = _child(border, side)
        sides[side] = mark.get("style", "none") if mark is not None else "none"
    if all(style != "none" for style in sides.values()):
        return "box"
    if sides["bottom"] in ("thick", "medium"):
        return "heavy"
    return "under" if sides["bottom"] != "none" else ""

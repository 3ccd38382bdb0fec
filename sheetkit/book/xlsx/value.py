"""What a cell holds, in the words of the file: its look, its kind, its formula and its value."""

from __future__ import annotations

from datetime import date
from math import isfinite
from typing import NamedTuple

from sheetkit.book.days import serial
from sheetkit.book.xlsx.strings import Strings, escaped
from sheetkit.book.xlsx.styles import Styles
from sheetkit.page import LONGEST_TEXT, Cell, CellError, Format, Value


class Stored(NamedTuple):
    """A cell as the file holds it."""

    look: int
    kind: str
    formula: str | None
    raw: str | None

    def written(self, prefix: str, name: str, more: str = "") -> bytes:
        """Return the cell's bytes: its tag from ``name`` to its kind, and ``more`` of what stands in it."""
        _, sort, formula, raw = self
        kind = f' t="{sort}"' if sort else ""
        if formula is None and raw and not more and sort != "str":  # most cells
            return f"{name}{kind}><{prefix}v>{raw}</{prefix}v></{prefix}c>".encode()
        if formula is not None:
            formula = f"<{prefix}f>{marked_up(formula)}</{prefix}f>"
        if raw is not None:
            raw = f"<{prefix}v>{marked_up(raw) if sort == 'str' else raw}</{prefix}v>"
        content = (formula or "") + (raw or "") + more
        return f"{name}{kind}>{content}</{prefix}c>".encode() if content else f"{name}{kind}/>".encode()


def marked_up(text: str) -> str:
    """Return a text as it stands in an element.

    The standard library's own function would load its whole network part.
    """
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace("\r", "&#13;")


class Store(NamedTuple):
    """What cells are written with: the looks and shared texts of the workbook, and how it counts days."""

    styles: Styles
    strings: Strings
    date1904: bool

    def stored(self, cell: Cell, look: int) -> Stored:
        """Return a cell in the look that stands there, as far as its format leaves that."""
        value, formula, style, _, stale, _ = cell
        if style.format is not Format.PLAIN:
            look = self.styles.with_format(look, style.format.value)
        elif isinstance(value, date) and not self.styles.is_dated(look):
            look = self.styles.with_format(look, Format.DATE.value)
        if style.wrap:
            look = self.styles.wrapped(look)
        if type(value) is str and value and formula is None and not stale and len(value) <= LONGEST_TEXT:
            return Stored(look, "s", None, str(self.strings.add(value)))
        kind, raw = self._held(None if stale else value, formula is not None)
        return Stored(look, kind, formula, raw)

    def _held(self, value: Value, computed: bool) -> tuple[str, str | None]:
        """Return the kind of a value, and the value."""
        if value == "" and not computed:
            return "", None
        kind, raw = held_result(value, self.date1904)
        return ("s", str(self.strings.add(str(value)))) if kind == "str" and not computed else (kind, raw)


def held_result(value: Value, date1904: bool) -> tuple[str, str | None]:
    """Return the kind of a formula's result as the file holds it, and the result."""
    if value is None:
        return "", None
    if isinstance(value, str):
        if len(value) > LONGEST_TEXT:
            raise ValueError(f"a cell holds at most {LONGEST_TEXT:,} characters")
        return "str", escaped(value)
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
    """Return a number as a file holds it.

    >>> number_text(3.0), number_text(0.1)
    ('3', '0.1')
    """
    whole = float(number).is_integer() and abs(number) < 1e15
    return str(int(number)) if whole else repr(float(number))

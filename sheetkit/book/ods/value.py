"""The value of one cell: its attributes and shown text, written and read."""

from __future__ import annotations

import math
import re
from datetime import date, datetime, timedelta
from fractions import Fraction

from sheetkit.book.markup import Element
from sheetkit.book.ods.formula import Titles, to_open
from sheetkit.book.ods.names import name
from sheetkit.book.ods.text import EXTENDED_KIND, PARAGRAPH, STRING, clean, put_text, text_of
from sheetkit.page import Cell, CellError, Format, Value

KIND = name("office:value-type")
NUMBER = name("office:value")
DATE = name("office:date-value")
TIME = name("office:time-value")
TRUTH = name("office:boolean-value")
FORMULA = name("table:formula")
VALUE_ATTRIBUTES = (KIND, NUMBER, STRING, DATE, TIME, TRUTH, name("office:currency"), FORMULA, EXTENDED_KIND)

_ERROR = re.compile(r"#(?:REF!|DIV/0!|VALUE!|NAME\?|NUM!|N/A|NULL!)|Err:\d{3}")
_DURATION = re.compile(r"(-?)PT?(?:([0-9]{1,9})H)?(?:([0-9]{1,9})M)?(?:([0-9]{1,9}(?:\.[0-9]+)?)S)?")
_PLACES = {
    Format.WHOLE: ".0f",
    Format.TENTH: ".1f",
    Format.HUNDREDTH: ".2f",
    Format.THOUSANDTH: ".3f",
    Format.TEN_THOUSANDTH: ".4f",
    Format.HUNDRED_THOUSANDTH: ".5f",
    Format.MILLIONTH: ".6f",
    Format.MONEY: ",.2f",
    Format.PERCENT: ".1%",
}


def put_value(element: Element, cell: Cell, titles: Titles | None = None) -> None:
    """Write a cell's value, formula and shown text into an element that has none."""
    value = cell.value
    if cell.formula is not None:
        element.set(FORMULA, to_open(clean(cell.formula), titles))
    if cell.stale or value is None or (value == "" and cell.formula is None):
        return
    if isinstance(value, float) and not math.isfinite(value):
        value = CellError("#NUM!")
    if isinstance(value, CellError):
        element.set(KIND, "string")
        element.set(STRING, "")
        element.set(EXTENDED_KIND, "error")
        shown = clean(value.text)
    elif isinstance(value, str):
        element.set(KIND, "string")
        shown = clean(value)
        if cell.formula is not None:
            element.set(STRING, shown)
    elif isinstance(value, bool):
        element.set(KIND, "boolean")
        element.set(TRUTH, "true" if value else "false")
        shown = "TRUE" if value else "FALSE"
    elif isinstance(value, date):
        element.set(KIND, "date")
        element.set(DATE, value.isoformat())
        shown = value.isoformat(" ") if isinstance(value, datetime) else value.isoformat()
    else:
        element.set(KIND, "percentage" if cell.style.format is Format.PERCENT else "float")
        element.set(NUMBER, str(int(value)) if isinstance(value, int) else repr(float(value)))
        shown = shown_number(value, cell.style.format)
    put_text(element, shown, cell.link, titles)


def clear_value(element: Element) -> None:
    """Take a cell's value, formula and words away; notes, shapes and looks stay."""
    for attribute in VALUE_ATTRIBUTES:
        element.attrib.pop(attribute, "")
    for part in list(element):
        if isinstance(part.tag, str) and part.tag.startswith(_WORDS):
            part.tail = None
            element.remove(part)


_WORDS = PARAGRAPH.rpartition("}")[0] + "}"


def shown_number(value: float, look: Format) -> str:
    """Return a number as the spreadsheet program will show it.

    >>> shown_number(3.25, Format.FRACTION), shown_number(0.2, Format.PERCENT)
    ('3 1/4', '20.0%')
    """
    if look is Format.FRACTION:
        return _shown_fraction(value)
    places = _PLACES.get(look)
    if places:
        return format(value, places)
    return str(value) if isinstance(value, int) else f"{value:.10g}"


def value_of(element: Element, kind: str | None, formula: str | None) -> tuple[Value, bool]:
    """Return a cell's value, and whether it is a formula's result that nobody has stored."""
    if kind == "string" or kind is None:
        return _worded(element, kind, formula)
    if formula is not None and element.get(EXTENDED_KIND) == "error":
        return CellError(text_of(element) or "#VALUE!"), False
    value = _stored(element, kind)
    if formula is not None and kind not in ("date", "boolean", "time") and value == 0:
        text = text_of(element)
        if _ERROR.fullmatch(text):
            return CellError(text), False
    if value is not None:
        return value, False
    return (None, True) if formula is not None else (text_of(element) or None, False)


def _worded(element: Element, kind: str | None, formula: str | None) -> tuple[Value, bool]:
    """Return the value of a cell of words or of no kind, and whether it is a result not stored."""
    if element.get(EXTENDED_KIND) == "error":
        return CellError(text_of(element) or "#VALUE!"), False
    text = element.get(STRING) or text_of(element)
    if formula is None:
        return text or None, False
    if kind is None and not text:
        # LibreOffice stores the result "" as an empty paragraph without a kind.
        return (None, True) if element.find(PARAGRAPH) is None else ("", False)
    return (CellError(text) if _ERROR.fullmatch(text) else text), False


def _stored(element: Element, kind: str) -> Value:
    """Return the value in a cell's attributes, None where they hold none that can be read."""
    if kind == "date":
        return _date(element.get(DATE) or "")
    if kind == "boolean":
        truth = element.get(TRUTH)
        return None if truth is None else truth == "true"
    if kind == "time":
        return _time(element.get(TIME) or "")
    return number_of(element.get(NUMBER))


def number_of(text: str | None) -> float | None:
    """Return the number that a stored value is, None when it is none."""
    try:
        number = float(text or "")
    except ValueError:
        return None
    return number if math.isfinite(number) else None


def _date(text: str) -> date | datetime | None:
    try:
        return datetime.fromisoformat(text.rstrip("Z")) if "T" in text else date.fromisoformat(text)
    except ValueError:
        return None


def _time(text: str) -> datetime | float | None:
    """Return a duration as the moment that spreadsheets count it to; beyond the first month, in days.

    >>> _time("PT12H00M00S"), _time("-PT12H00M00S")
    (datetime.datetime(1899, 12, 31, 12, 0), -0.5)
    """
    match = _DURATION.fullmatch(text)
    if match is None:
        return None
    sign, hours, minutes, seconds = match.groups()
    days = (int(hours or 0) * 3600 + int(minutes or 0) * 60 + float(seconds or 0)) / 86400
    if sign or days > 31:
        return -days if sign else days
    return datetime(1899, 12, 31) + timedelta(milliseconds=round(days * 86_400_000))


def _shown_fraction(value: float) -> str:
    near = Fraction(value).limit_denominator(99)
    whole, rest = divmod(abs(near), 1)
    parts = [str(whole)] if whole or not rest else []
    if rest:
        parts.append(str(rest))
    return ("-" if near < 0 else "") + " ".join(parts)

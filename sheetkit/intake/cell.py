"""What one cell says: a value of the kind its column asks for, or the problem to put right."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from sheetkit.form.columns import Column, Kind, heading_key
from sheetkit.intake.amounts import Amounts
from sheetkit.intake.dates import day, day_of, is_time, readings, refuse_moment, shown_text
from sheetkit.intake.fault import Wrong
from sheetkit.intake.wood import SMALLEST, species, stock
from sheetkit.page import Cell, CellError, Format, Value
from sheetkit.records.problems import Problem, problem
from sheetkit.units import (
    MM,
    NotANumber,
    Unit,
    either,
    is_bare_fraction,
    is_metric,
    length_from_text,
    money_from_number,
    number_from_text,
    share_from_number,
    share_from_text,
    temperature_from_text,
)

MOST_GAPS = 1_000
"""Gaps that one list may hold."""
LONGEST = 600.0
"""A size above this is a slip of the unit [in]."""
LARGEST = 1e9
"""A number above this is a slip, whatever it counts."""
LARGEST_SHARE = 10.0
"""A share above ten times the whole is 15 that was meant as 15 %, or a date."""
LEAST_SHARE = 0.01
"""A share below one in a hundred may be 0.15 to which the spreadsheet program put its own percent sign."""
OTHER_WORDS = {
    "in": "inch", "inches": "inch", "imperial": "inch", '"': "inch",
    "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "metric": "mm",
    "quartersawn": "quarter", "flatsawn": "flat", "plainsawn": "flat",
    "laminated": "face-glued", "glued": "edge-glued", "vertical": "up", "horizontal": "across",
    "nhla": "NHLA tally", "tally": "NHLA tally", "cubicmeter": "m3", "cubicmetre": "m3", "m³": "m3",
    "exactboardfeet": "exact", "boardfeet": "exact",
    "resting,centre": "resting, center", "fixed,centre": "fixed, center",
    "hothide": "hot hide glue", "liquidhide": "liquid hide glue", "epoxyslow": "slow epoxy",
}  # fmt: skip


_UNWRITABLE = re.compile(r"[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that no XML file can hold (Extensible Markup Language 1.0, 5th edition, production 2)."""
_SMALL_NUMBERS = ("qty", "minutes", "hours", "actual_hours", "count", "angle")
"""Numbers that are never as large as the number of a day."""
LARGEST_STEP: Mapping[Unit, float] = {"in": 1 / 4, "mm": 5 / MM}
"""Nobody rounds furniture more coarsely [in]."""


def _bounded(number: float, column: Column) -> float:
    if number > LARGEST:
        raise Wrong("too-large", heading=column.heading, limit=f"{LARGEST:.0f}")
    if 0 < abs(number) < SMALLEST:
        raise Wrong("too-small", heading=column.heading, limit=f"at least {SMALLEST:f}".rstrip("0"))
    if column.least is not None and (number < column.least or (number == column.least and not column.zero)):
        limit = f"{'at least' if column.zero else 'more than'} {column.least:g}"
        raise Wrong("too-small", heading=column.heading, limit=limit)
    return number


def _text(cell: Cell, column: Column) -> str:
    """Return a name or words; ``3-4`` that became a date is asked about, but a note may well be a date."""
    value = cell.value
    if column.name != "note":
        if is_time(value):
            raise Wrong(
                "date-in-text", made="a time of day", reading=f"perhaps {value.hour}:{value.minute:02}"
            )
        if isinstance(value, date):
            raise Wrong("date-in-text", made="a date", reading=readings(value, "-"))
    return _UNWRITABLE.sub("", shown_text(value)).strip()


def _number(cell: Cell, expected: str) -> float:
    value = cell.value
    if isinstance(value, bool):
        raise Wrong("not-a-number", expected=expected)
    if isinstance(value, int | float):
        return float(value)
    refuse_moment(value, "date-in-number", expected=expected)
    try:
        return number_from_text(str(value))
    except NotANumber:
        raise Wrong("not-a-number", expected=expected) from None


def _quantity(cell: Cell, column: Column) -> float:
    """Return a plain number; a percent sign typed after a reading of the meter says nothing more."""
    value = cell.value
    if isinstance(value, str) and value.rstrip().endswith("%"):
        cell = cell._replace(value=value.rstrip("% "))
    if column.name in _SMALL_NUMBERS and (found := day_of(value)):
        raise Wrong("date-number", reading=readings(found))
    number = _number(cell, "a number")
    return number * 100 if isinstance(value, float) and cell.style.format is Format.PERCENT else number


def _typed_length(text: str, unit: Unit) -> float:
    if is_metric(unit) and is_bare_fraction(text):
        raise Wrong("fraction-in-mm")
    return length_from_text(text, unit)


def length(cell: Cell, column: Column, unit: Unit) -> float:
    """Return a length in inches."""
    value = cell.value
    refuse_moment(value, "date-in-length")
    if isinstance(value, bool) or (cell.style.format is Format.PERCENT and not isinstance(value, str)):
        raise Wrong("not-a-length")
    if isinstance(value, int | float):
        if found := day_of(value):
            raise Wrong("date-number", reading=readings(found))
        inches = either(unit, value, value / MM)
    else:
        try:
            inches = _typed_length(str(value), unit)
        except NotANumber:
            raise Wrong("not-a-length") from None
    if inches > LONGEST or (column.least is None and inches < -LONGEST):
        raise Wrong("too-large", heading=column.heading, limit=either(unit, "50 ft (15 m)", "15 m"))
    return _bounded(inches, column)


def _tenons(cell: Cell, column: Column, unit: Unit) -> tuple[float, ...]:
    value = cell.value
    if not isinstance(value, str):
        each = length(cell, column, unit)
        return (each, each) if each else ()
    text = value.strip().casefold()
    one_end = re.fullmatch(r"(.+?)\s*(?:one|1) end", text)
    times = re.fullmatch(r"([12])\s*[x×]\s*(.+)", text)
    try:
        if text in ("none", "no", "-"):
            return ()
        if one_end:
            lengths = [_typed_length(one_end.group(1), unit)]
        elif times:
            lengths = [_typed_length(times.group(2), unit)] * int(times.group(1))
        elif "+" in text:
            lengths = [_typed_length(piece, unit) for piece in text.split("+")]
        else:
            lengths = [_typed_length(text, unit)] * 2
    except NotANumber:
        raise Wrong("bad-tenons") from None
    if len(lengths) > 2 or max(lengths) > LONGEST or any(each < SMALLEST for each in lengths if each):
        raise Wrong("bad-tenons")
    return tuple(each for each in lengths if each)


def _gaps(cell: Cell, column: Column, unit: Unit) -> tuple[float | None, ...]:
    """Return the gaps of a list, None for one that is the rest."""
    value = cell.value
    if not isinstance(value, str):
        return (length(cell, column, unit),)
    words = [word.strip().casefold() for word in value.split(";")]
    try:
        gaps = tuple(None if word == "rest" else _typed_length(word, unit) for word in words)
    except NotANumber:
        raise Wrong("bad-gaps") from None
    if len(gaps) > MOST_GAPS or any(gap is not None and not 0 <= gap <= LONGEST for gap in gaps):
        raise Wrong("bad-gaps")
    return gaps


def _listed(value: Value) -> list[str]:
    """Return what a cell lists, with ; between."""
    return [piece.strip() for piece in shown_text(value).split(";") if piece.strip()]


def _names(cell: Cell, column: Column) -> tuple[str, ...]:
    named = _text(cell, column)
    return tuple(dict.fromkeys(_listed(named)))


def _surfaces(cell: Cell, column: Column) -> tuple[str, ...]:
    known = {heading_key(choice): choice for choice in column.choices}
    keys = [heading_key(piece) for piece in _listed(cell.value)]
    if not all(key in known for key in keys):
        raise Wrong("not-in-list", choices=f"{', '.join(column.choices)}; several with ; between them")
    return tuple(dict.fromkeys(known[key] for key in keys))


def _pieces(cell: Cell, column: Column) -> tuple[int, ...]:
    """Return the numbers of pieces; ``1-2`` that became a date is asked about."""
    found: list[int] = []
    for piece in re.split(r"[;,]", _text(cell, column)):
        span = re.fullmatch(r"\s*(\d{1,4})(?:\s*(?:-|–|to)\s*(\d{1,4}))?\s*", piece)
        first, last = (int(span[1]), int(span[2] or span[1])) if span else (0, 0)
        if not 1 <= first <= last:
            raise Wrong("bad-pieces")
        found += range(first, last + 1)
    return tuple(sorted(set(found)))


def _places(cell: Cell, column: Column, unit: Unit) -> tuple[float, ...] | str:
    """Return where something begins, or the name of a run: what holds no digit, or reads as no length."""
    value = cell.value
    if not isinstance(value, str):
        return (length(cell, column, unit),)
    if not re.search(r"\d", value):
        return _text(cell, column)
    try:
        return tuple(length(cell._replace(value=piece), column, unit) for piece in _listed(value))
    except Wrong as wrong:
        if wrong.code == "not-a-length" and re.match(r"\s*[^\W\d]", value):
            return _text(cell, column)
        raise


def _choice(cell: Cell, column: Column) -> str:
    key = heading_key(shown_text(cell.value))
    known = {heading_key(choice): choice for choice in column.choices}
    other = OTHER_WORDS.get(key, "")
    if key in known:
        return known[key]
    if other in column.choices:
        return other
    for word in column.unlisted:  # also "rift and quartered": the board may be either
        if heading_key(word) in key:
            return word
    raise Wrong("not-in-list", choices=column.choices_listed)


def _whole(cell: Cell, column: Column) -> int:
    if found := day_of(cell.value):
        raise Wrong("date-number", reading=readings(found))
    number = _bounded(_number(cell, "a whole number"), column)
    if abs(number - round(number)) > 1e-9:
        raise Wrong("not-whole", example=column.example or "1")
    if number > 100_000:
        raise Wrong("too-large", heading=column.heading, limit="100000")
    return round(number)


def _share(cell: Cell, column: Column) -> float:
    value = cell.value
    if isinstance(value, int | float) and not isinstance(value, bool):
        share = float(value) if cell.style.format is Format.PERCENT else share_from_number(value)
    else:
        refuse_moment(value, "date-in-number", expected="a percentage")
        try:
            share = share_from_text(str(value))
        except NotANumber:
            raise Wrong("not-a-number", expected="a percentage such as 20 %") from None
    if share >= 3 and cell.style.format is Format.PERCENT and isinstance(value, int | float):
        raise Wrong("share-large", share=f"{share * 100:g}", meant=f"{share:g}")
    if share > LARGEST_SHARE:
        raise Wrong("too-large", heading=column.heading, limit="1000 %")
    return _bounded(share, column)


def _money(cell: Cell, column: Column, unit: Unit, amounts: Amounts, tab: str) -> object:
    value = cell.value
    if cell.style.format is Format.PERCENT and not isinstance(value, str):
        raise Wrong("not-a-number", expected="an amount such as 9.50, in a cell that is not set to percent")
    if isinstance(value, int | float) and not isinstance(value, bool):
        _bounded(value, column)
        return money_from_number(value)
    refuse_moment(value, "date-in-number", expected="the amount")
    amount = amounts.amount(str(value), unit, tab)
    _bounded(float(amount), column)
    return amount


def _temperature(cell: Cell, unit: Unit) -> float:
    try:
        degrees = temperature_from_text(shown_text(cell.value), unit)
    except NotANumber:
        raise Wrong("bad-temperature") from None
    if not 30 <= degrees <= 200:
        raise Wrong("bad-temperature")
    return degrees


def _step(cell: Cell, column: Column, unit: Unit) -> float:
    step = length(cell, column, unit)
    if step == 0:
        raise Wrong("too-small", heading=column.heading, limit="more than 0")
    if step > LARGEST_STEP[unit] + 1e-9:
        value, other = cell.value, either(unit, "1/16", "1")
        if not is_metric(unit) and isinstance(value, int | float) and value in (2, 4, 8, 16, 32, 64):
            other = f"1/{value:g}"
        raise Wrong("step-large", limit=either(unit, "1/4 in", "5 mm"), other=other)
    return step


READERS: Mapping[Kind, Callable[[Cell, Column, Unit], Any]] = {
    Kind.TEXT: lambda cell, column, unit: _text(cell, column),
    Kind.WHOLE: lambda cell, column, unit: _whole(cell, column),
    Kind.NUMBER: lambda cell, column, unit: _bounded(_quantity(cell, column), column),
    Kind.LENGTH: length,
    Kind.SHARE: lambda cell, column, unit: _share(cell, column),
    Kind.CHOICE: lambda cell, column, unit: _choice(cell, column),
    Kind.SPECIES: lambda cell, column, unit: species(cell, unit),
    Kind.STOCK: lambda cell, column, unit: stock(cell, unit),
    Kind.TEMPERATURE: lambda cell, column, unit: _temperature(cell, unit),
    Kind.DATE: lambda cell, column, unit: day(cell.value),
    Kind.STEP: _step,
    Kind.TENONS: _tenons,
    Kind.NAMES: lambda cell, column, unit: _names(cell, column),
    Kind.SURFACES: lambda cell, column, unit: _surfaces(cell, column),
    Kind.NUMBERS: lambda cell, column, unit: _pieces(cell, column),
    Kind.PLACES: _places,
    Kind.GAPS: _gaps,
}


def is_empty(cell: Cell | None) -> bool:
    """Whether nothing, or only spaces, stands in a cell."""
    if cell is None or cell.stale:
        return cell is None
    return cell.value is None or (isinstance(cell.value, str) and not cell.value.strip())


NO_OTHERS = Amounts()
"""A cell that stands alone: no other amount tells how this one is written."""


def entry(
    cell: Cell, column: Column, unit: Unit, tab: str, row: int, number: int, amounts: Amounts = NO_OTHERS
) -> tuple[Any, Problem | None]:
    """Return the value that a cell that is not empty holds, or the problem with it."""
    try:
        if cell.stale:
            raise Wrong("no-stored-result")
        if isinstance(cell.value, CellError) or (
            isinstance(cell.value, float) and not math.isfinite(cell.value)
        ):
            raise Wrong("cell-error")
        if column.kind is Kind.MONEY:
            return _money(cell, column, unit, amounts, tab), None
        return READERS[column.kind](cell, column, unit), None
    except Wrong as wrong:
        stands = f"={cell.formula}" if cell.stale else shown_text(cell.value)
        return None, problem(
            wrong.code, tab, row, number, stands, **{"heading": column.heading, **wrong.words}
        )


def doubts(cell: Cell, column: Column, value: object, tab: str, row: int, number: int) -> list[Problem]:
    """Return the warning, if any, that a value can be used but may not be what was typed."""
    stands, heading = shown_text(cell.value), column.heading
    if column.kind is Kind.MONEY and (found := day_of(cell.value)):
        words = {"heading": heading, "reading": readings(found)}
        return [problem("date-in-money", tab, row, number, stands, **words)]
    if column.kind is Kind.TEXT and column.name not in ("note", "number") and (found := day_of(cell.value)):
        words = {"heading": heading, "reading": readings(found, "-")}
        return [problem("date-in-name", tab, row, number, stands, **words)]
    if column.kind is Kind.SHARE and isinstance(value, float) and 0 < value < LEAST_SHARE:
        words = {"heading": heading, "share": f"{value * 100:.2g}", "meant": f"{value * 10_000:.2g}"}
        return [problem("share-tiny", tab, row, number, stands, **words)]
    return []

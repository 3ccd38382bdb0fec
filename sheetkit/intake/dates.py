"""Dates: those of the job, and those that a spreadsheet program made of something else that was typed."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import TypeGuard

from sheetkit.intake.fault import Wrong
from sheetkit.page import CellError, Value

DATE_NUMBERS = (36526, 55000)
"""Day numbers of the years 2000 to 2050: what a fraction turned into a date leaves behind."""
DAY_ZERO = date(1899, 12, 30)
"""The day whose number is 0; a time of day is a moment before 1900."""


def is_time(value: Value) -> TypeGuard[datetime]:
    """Whether a value is a time of day: to spreadsheets, a moment before 1900."""
    return isinstance(value, datetime) and value.year < 1900


def shown_text(value: Value) -> str:
    """Return what a cell shows, as near as its value tells.

    >>> shown_text(3.0), shown_text(datetime(1899, 12, 31, 6, 30)), shown_text(date(2026, 3, 4))
    ('3', '06:30', '2026-03-04')
    """
    if isinstance(value, CellError):
        return value.text
    if is_time(value):
        return f"{value:%H:%M:%S}".removesuffix(":00")
    if isinstance(value, date):
        return value.isoformat()[:10]
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)


def readings(day: date, mark: str = "/") -> str:
    """Return what may have been typed where a day stands now."""
    words = f"perhaps {day.month}{mark}{day.day}, or {day.day}{mark}{day.month}"
    return f"{words}, or {day:%Y-%m}" if mark == "-" and day.day == 1 else words


def day_of(value: object) -> date | None:
    """Return the day that a number stands for, when it may come from an entry turned into a date."""
    if isinstance(value, int | float) and DATE_NUMBERS[0] <= value <= DATE_NUMBERS[1] and value == int(value):
        return date.fromordinal(DAY_ZERO.toordinal() + int(value))
    return None


def refuse_moment(value: Value, code: str, **words: object) -> None:
    """Refuse what a spreadsheet program turned into a time of day or a date."""
    if is_time(value):
        hours = value.hour + value.minute / 60
        raise Wrong("time-in-number", reading=f"{value:%H:%M}", hours=f"{hours:.4g}")
    if isinstance(value, datetime | date):
        raise Wrong(code, reading=readings(value), **words)


def day(value: Value) -> date:
    """Return the day that a cell names."""
    if is_time(value):  # no day of a job
        raise Wrong("not-a-number", expected="a date as 2026-11-02")
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    text = str(value).strip()
    dotted = re.fullmatch(r"(\d{1,2})\. ?(\d{1,2})\. ?(\d{4}|\d{2})", text)
    try:
        if dotted:  # where dates bear dots, the day stands first
            of_month, month, year = map(int, dotted.groups())
            return date(year if year > 99 else 2000 + year, month, of_month)
        return date.fromisoformat(text)
    except ValueError:
        raise Wrong("not-a-number", expected="a date as 2026-11-02") from None

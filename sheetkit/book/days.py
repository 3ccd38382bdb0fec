"""Days as spreadsheets count them."""

from __future__ import annotations

from datetime import date, datetime

_DAY_ONE = datetime(1899, 12, 30)


def serial(when: date, date1904: bool = False) -> float:
    """Return the number that stands for a day or a moment.

    >>> serial(date(2026, 3, 4)), serial(date(1900, 1, 1))
    (46085.0, 1.0)
    """
    moment = when if isinstance(when, datetime) else datetime(when.year, when.month, when.day)
    if date1904:
        passed = moment - datetime(1904, 1, 1)
    else:
        passed = moment - _DAY_ONE
        if passed.days <= 60:  # before the 29 February 1900 that the numbering has and the year had not
            passed = moment - datetime(1899, 12, 31)
    return passed.days + (passed.seconds + passed.microseconds / 1e6) / 86_400

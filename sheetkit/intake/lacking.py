"""Rows that leave empty what another tab may tell, and what is said where none does."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from sheetkit.form.columns import Tab
from sheetkit.intake.headings import expected
from sheetkit.intake.reading import Reading
from sheetkit.records.job import Place


def name_key(text: str) -> str:
    """Return a name as it is compared: case and spaces do not count."""
    return " ".join(text.casefold().split())


def whole_rows(
    reading: Reading,
    tab: Tab,
    found: Sequence[dict[str, Any]],
    wanted: Collection[str],
    told_on: Sequence[str],
    places: Mapping[str, Place],
) -> list[dict[str, Any]]:
    """Return the rows that hold all that is wanted; what the others lack is told, a column once.

    While something on a tab that may tell it is to be put right, they are passed over without a word.
    """
    titles = {places[title].title for title in told_on if title in places}
    unsure = any(each.tab in titles and each.weight == "error" for each in reading.told)
    place, whole, missed = places[tab.title], [], set()
    for row in found:
        lacking = [column for column in tab.asked if column.name in wanted and column.name not in row]
        if not lacking:
            whole.append(row)
        for column in lacking if not unsure else ():
            if column.name in place.columns:
                words = {"heading": column.heading, "expected": expected(column, reading.unit)}
                reading.tell("empty", row["row"], place.columns[column.name], **words)
            elif column.name not in missed:
                missed.add(column.name)
                reading.tell("column-missing", place.heading_row, heading=column.heading)
    return whole

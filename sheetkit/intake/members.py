"""Members on Loads that are parts: what their rows leave empty is known from Parts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sheetkit.form.columns import LOADS
from sheetkit.intake.headings import expected
from sheetkit.intake.reading import Reading
from sheetkit.records.job import Part, Place

FROM_PART = {"species": "species", "thickness": "thickness", "width": "width", "span": "length"}
"""Column of Loads -> that of Parts which tells it: a part is clear from shoulder to shoulder."""


def with_sizes_of_parts(
    reading: Reading, found: Sequence[dict[str, Any]], parts: Sequence[Part], places: Mapping[str, Place]
) -> list[dict[str, Any]]:
    """Return the rows of Loads that hold all they must, empty cells filled from the part that Member names.

    A name that several rows of Parts bear fills what they agree on. While something on Parts is to be
    put right, a row that lacks a size is passed over without a word.
    """
    unsure = any(
        each.tab == places["Parts"].title and each.weight == "error"
        for each in reading.told
        if "Parts" in places
    )
    columns = places[LOADS.title].columns
    whole = []
    for row in found:
        named = [part for part in parts if _name(part.part) == _name(row["member"])]
        taken = []
        for name, of_part in FROM_PART.items():
            if name in row:
                continue
            said = {getattr(part, of_part) for part in named}
            if len(said) == 1:
                row[name] = said.pop()
                taken.append(name)
        lacking = [column for column in LOADS.asked if column.name in FROM_PART and column.name not in row]
        for column in lacking if not unsure else ():
            words = {"heading": column.heading, "expected": expected(column, reading.unit)}
            reading.tell("empty", row["row"], columns.get(column.name, 0), **words)
        if not lacking:
            whole.append({**row, "of_part": tuple(taken)})
    return whole


def _name(text: str) -> str:
    return " ".join(text.casefold().split())

"""Members on Loads that are parts: what their rows leave empty is known from Parts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sheetkit.form.columns import LOADS
from sheetkit.intake.lacking import name_key, whole_rows
from sheetkit.intake.reading import Reading
from sheetkit.records.job import Part, Place

FROM_PART = {"species": "species", "thickness": "thickness", "width": "width", "span": "length"}
"""Column of Loads -> that of Parts which tells it: a part is clear from shoulder to shoulder."""


def with_sizes_of_parts(
    reading: Reading, found: Sequence[dict[str, Any]], parts: Sequence[Part], places: Mapping[str, Place]
) -> list[dict[str, Any]]:
    """Return the rows of Loads that hold all they must, empty cells filled from the part that Member names.

    A name that several rows of Parts bear fills what they agree on.
    """
    for row in found:
        named = [part for part in parts if name_key(part.part) == name_key(row["member"])]
        taken = []
        told = [_told(part, row.get("thickness"), row.get("width")) for part in named]
        for name in FROM_PART:
            if name in row:
                continue
            said = {each[name] for each in told}
            if len(said) == 1:
                row[name] = said.pop()
                taken.append(name)
        row["of_part"] = tuple(taken)
    return whole_rows(reading, LOADS, found, FROM_PART, ("Parts",), places)


def _told(part: Part, thickness: float | None, width: float | None) -> dict[str, Any]:
    """Return what a part tells; it stands on edge when the one size that is typed is its other one."""
    told = {name: getattr(part, of_part) for name, of_part in FROM_PART.items()}
    if (thickness, width) in ((part.width, None), (None, part.thickness)):
        told |= {"thickness": part.width, "width": part.thickness}
    return told

"""Members on Loads that are parts: what their rows leave empty is known from Parts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sheetkit.form.columns import LOADS
from sheetkit.intake.headings import expected
from sheetkit.records.job import Part, Place
from sheetkit.records.problems import Problem, problem
from sheetkit.units import Unit

FROM_PART = {"species": "species", "thickness": "thickness", "width": "width", "span": "length"}
"""Column of Loads -> that of Parts which tells it: a part is as long as it is clear from shoulder to shoulder."""


def with_sizes_of_parts(
    found: Sequence[dict[str, Any]], parts: Sequence[Part], place: Place, unit: Unit, problems: list[Problem]
) -> list[dict[str, Any]]:
    """Return the rows of Loads that hold all they must once empty cells are filled from the part that Member names.

    A name that several rows of Parts bear fills what they agree on. While something on Parts is to be put right,
    a row that lacks a size is passed over without a word.
    """
    unsure = any(each.tab == "Parts" and each.weight == "error" for each in problems)
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
        if not unsure:
            problems += [
                problem("empty", place.title, row["row"], place.columns.get(column.name, 0), "",
                        heading=column.heading, expected=expected(column, unit))
                for column in lacking
            ]  # fmt: skip
        if not lacking:
            whole.append({**row, "of_part": tuple(taken)})
    return whole


def _name(text: str) -> str:
    return " ".join(text.casefold().split())

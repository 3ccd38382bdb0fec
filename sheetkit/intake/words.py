"""The tab Quote words: what the maker says in place of each word of the quote."""

from __future__ import annotations

import re

from sheetkit.form.columns import FINISH, heading_key
from sheetkit.form.quote_words import HEADINGS, WORDS
from sheetkit.intake.reading import Reading
from sheetkit.tables import find_species

_BRACES = re.compile(r"{\w*}")


def _names(text: str) -> list[str]:
    """Return the name of a wood or of a product of the finish, by which the quote knows it."""
    product = next(column for column in FINISH.asked if column.name == "product")
    if heading_key(text) in map(heading_key, product.choices):
        return [text.strip().casefold()]
    species = find_species(text)
    return [species.name.casefold()] if species else []


def quote_words(reading: Reading | None) -> dict[str, str]:
    """Return the words that are said otherwise, by their names."""
    if reading is None:
        return {}
    page = reading.page
    heads = {heading_key(str(cell.value)): at for at, cell in sorted(page.cells.items(), reverse=True)}
    ours, yours = (heads.get(heading_key(heading)) for heading in HEADINGS)
    if ours is None or yours is None:
        reading.tell("heading-missing", heading=HEADINGS[ours is not None])
        return {}
    names: dict[str, list[str]] = {}
    for name, text in WORDS.items():
        names.setdefault(heading_key(text), []).append(name)
    found: dict[str, str] = {}
    for (row, column), cell in sorted(page.cells.items()):
        if row <= ours[0] or column != yours[1] or not isinstance(cell.value, str) or not cell.value.strip():
            continue
        said = page.cells.get((row, ours[1]))
        waiting = names.get(heading_key(str(said.value)), _names(str(said.value))) if said else []
        if not waiting:
            stands = "" if said is None else said.value
            reading.tell("quote-word-unknown", row, ours[1], stands)
            continue
        known = set(_BRACES.findall(WORDS.get(waiting[0], "")))
        strange = [word for word in _BRACES.findall(cell.value) if word not in known]
        if strange:
            allowed = ", ".join(sorted(word.strip("{}") for word in known)) or "nothing"
            words = {"strange": strange[0].strip("{}"), "known": allowed}
            reading.tell("quote-word-braces", row, column, cell.value, **words)
        found |= dict.fromkeys(waiting, cell.value.strip())
    return found

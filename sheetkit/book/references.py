"""Which cells a formula looks at, as far as its text tells."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from sheetkit.page import Range, column_letters, column_number

LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
Names = Mapping[tuple[str, str], str]
"""Title of the tab for which a name holds (empty for all) and the name, case folded -> what it stands for."""
_TITLE = r"'(?:[^']|'')++'|[^\W\d][\w.]*+(?::[^\W\d][\w.]*+)?"
_ELSEWHERE = r"(?:'(?:[^']|'')*\[(?:[^']|'')*'|\[[^\[\]]+\](?:[^\W\d][\w.]*)?)![$\w.]+(?::[$\w.]+)?"
_REFERENCE = re.compile(
    rf"""
    "(?:[^"]|"")*"                                        # words in quotes hold no reference
    | {_ELSEWHERE}                                        # nor does another workbook
    | (?:(?<![\w.'])(?P<tab>{_TITLE})!)?
      (?:
        (?<![\w.])(?P<fixed_left>\$?)(?P<left>[A-Za-z]{{1,3}})(?P<fixed_top>\$?)(?P<top>\d{{1,7}})
          (?::(?P<fixed_right>\$?)(?P<right>[A-Za-z]{{1,3}})(?P<fixed_bottom>\$?)(?P<bottom>\d{{1,7}}))?(?![\w(.!])
        | (?<![\w.])(?P<fixed_from>\$?)(?P<from>[A-Za-z]{{1,3}})
          :(?P<fixed_to>\$?)(?P<to>[A-Za-z]{{1,3}})(?![\w(.!])
        | (?<![\w.])(?P<fixed_first>\$?)(?P<first>\d{{1,7}}):(?P<fixed_last>\$?)(?P<last>\d{{1,7}})(?![\w(.!])
        | (?<![\w.])(?P<name>[^\W\d][\w.]*+)(?![(!'])(?:\[(?:[^\[\]]|\[[^\[\]]*\])*\])?
      )
    """,
    re.VERBOSE,
)
_OPEN = re.compile(r"(?<![\w.])(?:INDIRECT|OFFSET|EVALUATE)\(|\)\s*:|:\s*[A-Za-z_][\w.]*\(", re.IGNORECASE)
"""What is worked out only when the formula is: a place by its name, or the end of a block."""
_WORDS = re.compile(r'"(?:[^"]|"")*"')
_DEEPEST = 20
"""How many names one in the other are followed."""


class Look(NamedTuple):
    """A block of cells that a formula looks at."""

    title: str
    cells: Range


@dataclass(slots=True)
class Looks:
    """All that a formula looks at."""

    blocks: list[Look] = field(default_factory=list)
    anywhere: bool = False
    """Whether it may look at any cell."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a formula's references are understood by."""

    titles: Sequence[str]
    """Of all tabs, in order."""
    names: Names


def looked_at(formula: str, home: str, around: Surroundings) -> Looks:
    """Return what a formula on the tab ``home`` looks at."""
    found = Looks()
    _gather(formula, home, around, found, depth=0)
    return found


def _gather(formula: str, home: str, around: Surroundings, found: Looks, depth: int) -> None:
    found.anywhere = found.anywhere or _OPEN.search(_WORDS.sub("", formula)) is not None
    for match in _REFERENCE.finditer(formula):
        part = match.groupdict()
        tab = part["tab"]
        title = home if tab is None else _plain(tab)
        if part["name"]:
            stands = _named(part["name"], title, around.names)
            if stands is not None and depth < _DEEPEST:
                _gather(stands, title, around, found, depth + 1)
            continue
        cells = _block(part, depth > 0)
        if cells is not None:
            found.blocks += (Look(each, cells) for each in _tabs(title, around.titles))


def _plain(tab: str) -> str:
    return tab[1:-1].replace("''", "'") if tab.startswith("'") else tab


def _named(name: str, home: str, names: Names) -> str | None:
    key = name.casefold()
    return names.get((home.casefold(), key), names.get(("", key)))


def _tabs(title: str, titles: Sequence[str]) -> Iterator[str]:
    """Yield the tabs of a reference, which may go through several: ``March:May``."""
    first, colon, last = title.partition(":")
    if not colon:
        yield title
        return
    folded = [each.casefold() for each in titles]
    try:
        ends = sorted((folded.index(first.casefold()), folded.index(last.casefold())))
    except ValueError:
        return
    yield from titles[ends[0] : ends[1] + 1]


def _block(part: Mapping[str, str | None], widened: bool) -> Range | None:
    """Return the cells of a reference; ``widened``, all that a relative one may mean from anywhere."""
    rows, columns = (1, LAST_ROW), (1, LAST_COLUMN)
    if part["left"]:
        if not widened or (part["fixed_top"] and part["fixed_bottom"] != ""):
            rows = _ordered(int(part["top"] or 1), int(part["bottom"] or part["top"] or 1))
        if not widened or (part["fixed_left"] and part["fixed_right"] != ""):
            columns = _ordered(column_number(part["left"]), column_number(part["right"] or part["left"]))
    elif part["from"]:
        if not widened or (part["fixed_from"] and part["fixed_to"]):
            columns = _ordered(column_number(part["from"]), column_number(part["to"] or part["from"]))
    elif part["first"]:
        if not widened or (part["fixed_first"] and part["fixed_last"]):
            rows = _ordered(int(part["first"]), int(part["last"] or 1))
    else:
        return None
    return Range(rows[0], columns[0], rows[1], columns[1])


def _ordered(one: int, other: int) -> tuple[int, int]:
    return (one, other) if one <= other else (other, one)


def shifted(formula: str, down: int, right: int) -> str:
    """Return a formula as it stands so many rows below and columns right of where it was written.

    >>> shifted("A1*$B$2+SUM(C:C)&'Q1'!A1", 2, 1)
    "B3*$B$2+SUM(D:D)&'Q1'!B3"
    """

    def column(fixed: str | None, letters: str) -> str:
        return letters if fixed else column_letters((column_number(letters) - 1 + right) % LAST_COLUMN + 1)

    def row(fixed: str | None, number: str) -> str:
        return number if fixed else str((int(number) - 1 + down) % LAST_ROW + 1)

    def moved(match: re.Match[str]) -> str:
        part = match.groupdict()
        tab = f"{part['tab']}!" if part["tab"] else ""
        corners = (
            ("left", "top"),
            ("right", "bottom"),
            ("from", ""),
            ("to", ""),
            ("", "first"),
            ("", "last"),
        )
        ends = []
        for across, along in corners:
            letters, number = part.get(across), part.get(along)
            if letters or number:
                fixed, held = part.get(f"fixed_{across}"), part.get(f"fixed_{along}")
                ends.append(
                    (f"{fixed or ''}{column(fixed, letters)}" if letters else "")
                    + (f"{held or ''}{row(held, number)}" if number else "")
                )
        return tab + ":".join(ends) if ends else match[0]

    return _REFERENCE.sub(moved, formula)

"""Words for the remarks, and the parts and panels of a job by name."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from sheetkit.records.job import Job, Panel, Part

MOST_PIECES = 20
"""How many commas, less one, a name in a list of names may hold."""
MOST_ASKED = 50
"""For how many unknown names those most like them are looked for: that takes its time."""


def name_key(name: str) -> str:
    """Return a name as it is compared: case and spaces do not count.

    >>> name_key("Front rail,  low")
    'front rail, low'
    """
    return " ".join(name.casefold().split())


class Names:
    """The parts and panels of a job by name."""

    def __init__(self, job: Job) -> None:
        self.parts: dict[str, Part] = {}
        self.panels: dict[str, Panel] = {}
        for part in job.parts:
            self.parts.setdefault(name_key(part.part), part)
        for panel in job.panels:
            self.panels.setdefault(name_key(panel.panel), panel)
        commas = max((name.count(",") for name in (*self.parts, *self.panels)), default=0)
        self._pieces = min(commas + 1, MOST_PIECES)
        self._asked = 0
        self._known = {key: part.part for key, part in self.parts.items()}
        self._known |= {key: panel.panel for key, panel in self.panels.items() if key not in self._known}

    def part(self, name: str) -> Part | None:
        """Return the part of this name."""
        return self.parts.get(name_key(name))

    def find(self, name: str) -> Part | Panel | None:
        """Return the part, else the panel, of this name."""
        return self.part(name) or self.panels.get(name_key(name))

    def nearest(self, name: str) -> str:
        """Return the names most like this one, for a person to choose from."""
        known = self._known
        self._asked += 1
        close = (
            []
            if self._asked > MOST_ASKED
            else difflib.get_close_matches(name_key(name), known, n=4, cutoff=0.3)
        )
        return ", ".join(known[key] for key in close) or ", ".join(list(known.values())[:4])

    def listed(self, text: str) -> tuple[list[str], list[str]]:
        """Split a list with commas into keys of known names, the longest first, and words that are none.

        A name may hold commas itself: ``Front rail, low, Leg`` is two names.
        """
        pieces = [piece.strip() for piece in text.replace(";", ",").split(",") if piece.strip()]
        found: list[str] = []
        unknown: list[str] = []
        start = 0
        while start < len(pieces):
            for stop in range(min(len(pieces), start + self._pieces), start, -1):
                key = name_key(", ".join(pieces[start:stop]))
                if key in self.parts or key in self.panels:
                    found.append(key)
                    start = stop
                    break
            else:
                unknown.append(pieces[start])
                start += 1
        return list(dict.fromkeys(found)), unknown


def percent(share: float) -> str:
    """Write a share for a person.

    >>> percent(0.4285)
    '43 %'
    """
    return f"{share * 100:.0f} %"


def counted(number: int, word: str) -> str:
    """Return a number of things, one or many.

    >>> counted(1, "panel"), counted(2, "panel")
    ('1 panel', '2 panels')
    """
    return f"{number} {word}{'' if number == 1 else 's'}"


def listed(words: Sequence[str], last: str = "and") -> str:
    """Join words as a person would.

    >>> listed(["a", "b", "c"])
    'a, b and c'
    """
    words = list(words)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}" if words else ""


def ways_out(ways: Sequence[str]) -> str:
    """Return one sentence of ways out, each of which may hold commas itself.

    >>> ways_out(["use slow glue, or two hands", "split it"])
    'Use slow glue, or two hands; or split it.'
    """
    return capital("; or ".join(ways)) + "."


def capital(text: str) -> str:
    """Begin a sentence with a capital, leaving the rest as it is."""
    return text[:1].upper() + text[1:]

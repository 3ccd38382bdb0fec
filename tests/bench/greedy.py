"""What a plain greedy filler needs for the same jobs: the baseline that a person with a pencil could follow.

    python -m tests.bench.greedy FILE.json ...

Longest blank first. Each goes into the strip that it fills best in width; if none takes it, into a new strip of the
section that it fills best in length; else a new section of the clear length of an opened board that it fills best; else
a new board. Which board is opened next is decided once for a whole job: the cheapest that takes the blank, or the
dearest; the better of the two counts. Nothing is ever taken back, nothing is random, and no bound is known.

Staves are fixed first (the fewest equal ones), side by side and end to end are kept as one blank, "same board" is let
go, in its favor; a bad spot is cut out in the whole width. Prints one JSON line a species and stock.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

from sheetkit.calc.layout import END_TO_END, SIDE_BY_SIDE, Board, Piece, Saw
from tests.bench.layout import groups_of
from tests.bench.packer import rectangles

EPS = 1e-9


class Blank(NamedTuple):
    """A rectangle to cut [in]."""

    width: float
    length: float


class Laid(NamedTuple):
    """A rectangle at its place on a board [in]."""

    board: str
    x: float
    y: float
    blank: Blank


@dataclass(slots=True)
class Strip:
    """A rip of a section, and how far it is used up from its start."""

    y: float
    width: float
    at: float


@dataclass(slots=True)
class Section:
    """A crosscut of a clear length, and how far it is used up from the near edge."""

    board: str
    x: float
    end: float
    at: float
    edge: float
    strips: list[Strip] = field(default_factory=list)


@dataclass(slots=True)
class Clear:
    """A clear length of an opened board, and how far it is used up."""

    board: Board
    at: float
    end: float


def blanks_of(pieces: Sequence[Piece], saw: Saw) -> list[Blank]:
    """Return every rectangle to cut, longest first, then widest; a group side by side or end to end is one."""
    groups: dict[tuple[str, str], list[Piece]] = {}
    found: list[Blank] = []
    for piece in pieces:
        if piece.how in (SIDE_BY_SIDE, END_TO_END):
            groups.setdefault((piece.group, piece.how), []).append(piece)
        else:
            found += [Blank(*each) for each in rectangles([piece])]
    for (_, how), members in groups.items():
        each = [Blank(piece.width, piece.length) for piece in members for _ in range(piece.count)]
        wide, long = max(one.width for one in each), max(one.length for one in each)
        if how == SIDE_BY_SIDE:
            wide = sum(one.width for one in each) + (len(each) - 1) * saw.rip_kerf
        else:
            long = sum(one.length for one in each) + (len(each) - 1) * saw.crosscut_kerf
        found.append(Blank(wide, long))
    return sorted(found, key=lambda one: (-one.length, -one.width))


def clear_lengths(board: Board) -> Iterator[Clear]:
    """Give the lengths of a board between its trims and bad spots."""
    at, end = board.trim_start, board.length - board.trim_end
    for spot in sorted(board.bad, key=lambda spot: spot.x0):
        if spot.x0 > at:
            yield Clear(board, at, min(spot.x0, end))
        at = max(at, spot.x1)
    if end > at:
        yield Clear(board, at, end)


class Greedy:
    """One pass over the blanks of a job."""

    def __init__(self, boards: Sequence[Board], saw: Saw, dearest: bool) -> None:
        self.saw = saw
        self.rack = sorted(boards, key=lambda board: (-board.cost if dearest else board.cost, board.id))
        self.clear: list[Clear] = []
        self.sections: list[Section] = []
        self.laid: list[Laid] = []
        self.opened: list[Board] = []

    def place(self, blank: Blank) -> bool:
        """Find a blank its place; whether it found one."""
        return (
            self._in_a_strip(blank)
            or self._in_a_section(blank)
            or self._in_an_opened_board(blank)
            or self._in_a_new_board(blank)
        )

    def _in_a_strip(self, blank: Blank) -> bool:
        fits = [
            (strip.width - blank.width, section.end - strip.at, n, section, strip)
            for n, section in enumerate(self.sections)
            for strip in section.strips
            if strip.width >= blank.width - EPS and section.end - strip.at >= blank.length - EPS
        ]
        if not fits:
            return False
        *_, section, strip = min(fits, key=lambda fit: fit[:3])
        self._cut(section, strip, blank)
        return True

    def _in_a_section(self, blank: Blank) -> bool:
        fits = [
            (section.end - section.x - blank.length, section.edge - section.at, n)
            for n, section in enumerate(self.sections)
            if section.end - section.x >= blank.length - EPS
            and section.edge - section.at >= blank.width - EPS
        ]
        if not fits:
            return False
        self._rip(self.sections[min(fits)[2]], blank)
        return True

    def _in_an_opened_board(self, blank: Blank) -> bool:
        fits = [
            (clear.board.width - blank.width, clear.end - clear.at - blank.length, n)
            for n, clear in enumerate(self.clear)
            if clear.end - clear.at >= blank.length - EPS
            and clear.board.width - clear.board.edge >= blank.width - EPS
        ]
        if not fits:
            return False
        clear = self.clear[min(fits)[2]]
        end = min(clear.at + blank.length, clear.end)
        section = Section(clear.board.id, clear.at, end, clear.board.edge, clear.board.width)
        clear.at = end + self.saw.crosscut_kerf
        self.sections.append(section)
        self._rip(section, blank)
        return True

    def _in_a_new_board(self, blank: Blank) -> bool:
        for board in self.rack:
            lengths = list(clear_lengths(board))
            long_enough = any(clear.end - clear.at >= blank.length - EPS for clear in lengths)
            if long_enough and board.width - board.edge >= blank.width - EPS:
                self.rack.remove(board)
                self.opened.append(board)
                self.clear += lengths
                return self._in_an_opened_board(blank)
        return False

    def _rip(self, section: Section, blank: Blank) -> None:
        strip = Strip(section.at, blank.width, section.x)
        section.strips.append(strip)
        section.at += blank.width + self.saw.rip_kerf
        self._cut(section, strip, blank)

    def _cut(self, section: Section, strip: Strip, blank: Blank) -> None:
        self.laid.append(Laid(section.board, strip.at, strip.y, blank))
        strip.at += blank.length + self.saw.crosscut_kerf


def filled(pieces: Sequence[Piece], boards: Sequence[Board], saw: Saw) -> Greedy | None:
    """Return the better of the two passes, by board feet; None when both leave something over."""
    best: Greedy | None = None
    blanks = blanks_of(pieces, saw)
    for dearest in (False, True):
        one = Greedy(boards, saw, dearest)
        if all(one.place(blank) for blank in blanks) and (best is None or feet(one) < feet(best)):
            best = one
    return best


def feet(one: Greedy) -> float:
    """Return the board feet of the boards that a pass opened."""
    return sum(board.board_feet for board in one.opened)


def lines_of(path: Path) -> list[dict[str, Any]]:
    """Return one line for each species and stock."""
    job = json.loads(path.read_text(encoding="utf-8"))
    saw = Saw(job["kerf_rip"], job["kerf_cross"], False, job.get("min_offcut_length", 18.0))
    lines = []
    for group, (pieces, boards) in groups_of(job).items():
        if not pieces:
            continue
        start = time.process_time()
        found = filled(pieces, boards, saw)
        seconds = round(time.process_time() - start, 3)
        told = found and round(feet(found), 3)
        lines.append({"file": path.name, "group": group, "board_feet": told, "seconds": seconds})
    return lines


def main() -> None:
    """Fill the files named on the command line."""
    parser = argparse.ArgumentParser(description="Greedy baseline of the board layout")
    parser.add_argument("files", nargs="+", type=Path)
    for path in parser.parse_args().files:
        for line in lines_of(path):
            sys.stdout.write(json.dumps(line) + "\n")


if __name__ == "__main__":
    main()

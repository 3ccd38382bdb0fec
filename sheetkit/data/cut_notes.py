"""What a workbook keeps in hidden notes of its boards: those the last run cut, and what a cut changed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sheetkit.form.columns import BOARDS, BOUGHT
from sheetkit.records.answers import Answers

LAID, CUT = "laid.", "cut."
"""Beginnings of the notes of a run and of a cut."""
_ROOM = 150
"""Characters in a note: it holds fewer than 200, and a quote in it takes two."""


@dataclass(frozen=True, slots=True)
class LaidBoard:
    """A board that the last run cuts, as it is listed."""

    listed: str
    """On Boards, on To buy, or the name of the rack's workbook."""
    row: int
    """On Boards; on To buy below the headings."""
    board: str
    species: str
    stock: str
    width: float
    length: float
    where: str
    left: tuple[tuple[float, float], ...] = ()
    """Width and clear length of each left-over worth keeping [in]."""


@dataclass(frozen=True, slots=True)
class Changed:
    """A cell that a cut has changed: what stood there and what stands there now, each with its formula."""

    in_rack: bool
    tab: str
    row: int
    column: int
    before: tuple[Any, str | None]
    after: tuple[Any, str | None]


def laid_notes(answers: Answers, narrowest: float) -> dict[str, str]:
    """Return the notes of the boards that a run cuts; left-overs narrower than a stave are not kept."""
    boards = []
    noted = answers.job.places.get(BOUGHT.title)
    for each in answers.boards:
        if each.used:
            board = each.board
            # To buy is made anew at each run, and rows of the rack may move: there the mark tells
            row = board.row if board.listed == BOARDS.title else 0
            if noted and board.listed == BOUGHT.title:
                row = board.row - noted.heading_row
            left = [
                [round(width, 6), round(length, 6)] for width, length in each.left_overs if width >= narrowest
            ]
            wood = board.board, board.species.name, board.stock.name
            size = round(board.width, 6), round(board.length, 6)
            boards.append([board.listed, row, *wood, *size, board.where, left])
    return _pieces(LAID, boards) if boards else {}


def laid_boards(notes: Mapping[str, str]) -> list[LaidBoard]:
    """Return the boards that the last run cuts."""
    found = []
    for listed, row, board, species, stock, width, length, where, left in _whole(LAID, notes) or ():
        sizes = tuple((float(wide), float(long)) for wide, long in left)
        found.append(LaidBoard(listed, row, board, species, stock, width, length, where, sizes))
    return found


def cut_notes(when: str, changes: Sequence[Changed]) -> dict[str, str]:
    """Return the notes of a cut."""
    cells = [
        [each.in_rack, each.tab, each.row, each.column, *map(_told, (each.before, each.after))]
        for each in changes
    ]
    return _pieces(CUT, [when, cells])


def cut_of(notes: Mapping[str, str]) -> tuple[str, list[Changed]] | None:
    """Return when a job was cut and what that changed, None when it was not."""
    told = _whole(CUT, notes)
    if told is None:
        return None
    when, cells = told
    changes = [
        Changed(in_rack, tab, row, column, _cell(before), _cell(after))
        for in_rack, tab, row, column, before, after in cells
    ]
    return when, changes


def _told(cell: tuple[Any, str | None]) -> list[Any]:
    """Return a value and its formula as JSON can tell them; a date by its text, with its kind."""
    value, formula = cell
    if isinstance(value, date):
        return [value.isoformat(), formula, "time" if isinstance(value, datetime) else "date"]
    return [value, formula]


def _cell(told: Sequence[Any]) -> tuple[Any, str | None]:
    value, formula, *kind = told
    if kind:
        value = (datetime if kind[0] == "time" else date).fromisoformat(value)
    return value, formula


def notes_of_cut(notes: Mapping[str, str]) -> dict[str, str]:
    """Return the notes of a cut as they are, for a run to keep."""
    return {key: text for key, text in notes.items() if key.startswith(CUT)}


def _pieces(start: str, told: Any) -> dict[str, str]:
    text = json.dumps(told, separators=(",", ":"))
    return {
        f"{start}{number}": text[at : at + _ROOM] for number, at in enumerate(range(0, len(text), _ROOM), 1)
    }


def _whole(start: str, notes: Mapping[str, str]) -> Any:
    """Return what was told in pieces, None when there is nothing or when it does not read."""
    numbers = sorted(
        int(key.removeprefix(start)) for key in notes if key.startswith(start) and key[len(start) :].isdigit()
    )
    try:
        return json.loads("".join(notes[f"{start}{number}"] for number in numbers)) if numbers else None
    except ValueError:
        return None

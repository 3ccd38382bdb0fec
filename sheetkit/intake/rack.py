"""Pages of the workbook that keeps the shop's boards -> its boards and problems."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sheetkit.form import labels as settings
from sheetkit.form.columns import BOARDS
from sheetkit.form.labels import RACK_TITLE
from sheetkit.intake.amounts import Amounts
from sheetkit.intake.labeled import job_unit, label_places
from sheetkit.intake.reading import Reading
from sheetkit.intake.workbook import board_rows, table_rows
from sheetkit.page import Page
from sheetkit.records.job import Board, Place
from sheetkit.records.problems import Problem, problem
from sheetkit.units import Unit


@dataclass(frozen=True, slots=True)
class Rack:
    """The boards of the shop, as they are listed."""

    boards: tuple[Board, ...]
    place: Place | None
    """Where their table stands."""
    unit: Unit
    problems: tuple[Problem, ...]


def rack_of(pages: Sequence[Page], listed: str) -> Rack:
    """Read the boards of the shop; ``listed`` is the name of their workbook."""
    by_title = {page.title.casefold(): page for page in pages}
    told: list[Problem] = []
    unit: Unit = "in"
    sheet = by_title.get(RACK_TITLE.casefold())
    if sheet is not None:
        unit = job_unit(sheet, label_places(Reading(sheet, told), settings.RACK))
    page = by_title.get(BOARDS.title.casefold())
    if page is None:
        return Rack((), None, unit, (problem("tab-missing", BOARDS.title),))
    reading = Reading(page, told, unit, Amounts(pages=by_title))
    found, place = table_rows(reading, BOARDS)
    boards = board_rows(reading, found, place) if place else []
    return Rack(tuple(Board(**values, listed=listed) for values in boards), place, unit, tuple(told))


def joined(boards: Sequence[Board], of_rack: Sequence[Board]) -> tuple[Board, ...]:
    """Return the boards of a job and those the rack still has; a mark that both bear is told apart."""
    taken = {(board.board.casefold(), board.species.id, board.stock.name) for board in boards}
    more = [
        replace(board, board=f"{board.board} ({board.listed})")
        if (board.board.casefold(), board.species.id, board.stock.name) in taken
        else board
        for board in of_rack
        if board.where != "cut"
    ]
    return (*boards, *more)


def mark_on_list(name: str, listed: str) -> str:
    """Return the mark under which a board is listed in the workbook of the rack.

    >>> mark_on_list("A1 (rack.xlsx)", "rack.xlsx"), mark_on_list("A1", "rack.xlsx")
    ('A1', 'A1')
    """
    return name.removesuffix(f" ({listed})")

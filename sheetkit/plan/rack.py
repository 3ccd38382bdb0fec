"""The boards in the rack: which are of a species and stock, how much wood each holds, what is cut from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from sheetkit.calc.lumber import surface_measures
from sheetkit.plan.volume import volume_of
from sheetkit.records.answers import Answers
from sheetkit.records.job import Board, Job, Stock
from sheetkit.records.units import Units
from sheetkit.records.wood import BoardAnswer, PanelAnswer, PartAnswer
from sheetkit.tables import Species

if TYPE_CHECKING:
    from sheetkit.calc.layout import BoardLaid

Whole = TypeVar("Whole", PartAnswer, PanelAnswer)


def boards_of(species: Species, stock: Stock, boards: Sequence[Board]) -> list[Board]:
    """Return those of some boards that are of a species and stock."""
    return [
        board
        for board in boards
        if board.species == species and abs(board.stock.nominal - stock.nominal) < 1e-6
    ]


def rack_feet(job: Job) -> dict[tuple[str, int], float]:
    """Return the board feet of each board by its place: exact, net or by the whole-foot tally as Job asks.

    The tally takes the boards of one species and stock as one bundle, in the order of the rows.
    """
    if job.sheet.measure != "NHLA tally":
        return {
            board.spot: volume_of(board.stock, board.width, board.length, Units.of(job.sheet))
            for board in job.boards
        }
    bundles: dict[tuple[str, float], list[Board]] = {}
    for board in job.boards:
        bundles.setdefault((board.species.id, board.stock.nominal), []).append(board)
    return {
        board.spot: measure * max(board.stock.nominal, 1.0)
        for bundle in bundles.values()
        for measure, board in zip(
            surface_measures([(each.width, each.length) for each in bundle]), bundle, strict=True
        )
    }


def with_boards(answers: Answers) -> Answers:
    """Return the answers with what their layouts say of each part, panel and board."""
    from_boards: dict[tuple[str, int], dict[str, None]] = {}
    staves: dict[tuple[str, int, int], tuple[tuple[float, ...], ...]] = {}
    cut: dict[tuple[str, str, str], BoardLaid] = {}
    for laid in answers.layouts:
        staves.update(laid.staves)
        for board in laid.layout.boards:
            cut[laid.species.id, laid.stock.name, board.board.id] = board
            for placed in board.placed:
                blank = laid.blanks[int(placed.piece)]
                from_boards.setdefault((blank.tab, blank.row), {})[board.board.id] = None

    def of_whole(whole: Whole, key: tuple[str, int]) -> Whole:
        return replace(
            whole,
            boards=tuple(from_boards.get(key, ())),
            blanks=tuple(
                replace(blank, laid=tuple(tuple(sorted(each, reverse=True)) for each in widths))
                if (widths := staves.get((*key, blank.along)))
                else blank
                for blank in whole.blanks
            ),
        )

    feet = rack_feet(answers.job)
    return replace(
        answers,
        boards=tuple(
            _board_answer(each, feet[each.spot], cut.get((each.species.id, each.stock.name, each.board)))
            for each in answers.job.boards
        ),
        parts=tuple(of_whole(each, ("Parts", each.part.row)) for each in answers.parts),
        panels=tuple(of_whole(each, ("Panels", each.panel.row)) for each in answers.panels),
    )


def _board_answer(board: Board, feet: float, laid: BoardLaid | None) -> BoardAnswer:
    lefts = tuple((left.width, left.clear) for left in laid.left_overs) if laid else ()
    return BoardAnswer(board, feet, laid is not None, lefts)

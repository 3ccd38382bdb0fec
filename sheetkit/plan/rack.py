"""The boards in the rack: which are of a species and stock, and how much wood each of them holds."""

from __future__ import annotations

from collections.abc import Sequence

from sheetkit.calc.lumber import board_feet, surface_measures
from sheetkit.records.job import Board, Job, Stock
from sheetkit.tables import Species


def boards_of(species: Species, stock: Stock, boards: Sequence[Board]) -> list[Board]:
    """Give those of some boards that are of a species and stock."""
    return [
        board
        for board in boards
        if board.species == species and abs(board.stock.nominal - stock.nominal) < 1e-6
    ]


def rack_feet(job: Job) -> dict[int, float]:
    """Give the board feet of each board by its row on Boards, exact or by the whole-foot tally as Job asks.

    The tally takes the boards of one species and stock as one bundle, in the order of the rows.
    """
    if job.sheet.measure != "NHLA tally":
        return {board.row: board_feet(board.stock.nominal, board.width, board.length) for board in job.boards}
    bundles: dict[tuple[str, float], list[Board]] = {}
    for board in job.boards:
        bundles.setdefault((board.species.id, board.stock.nominal), []).append(board)
    return {
        board.row: measure * max(board.stock.nominal, 1.0)
        for bundle in bundles.values()
        for measure, board in zip(
            surface_measures([(each.width, each.length) for each in bundle]), bundle, strict=True
        )
    }

"""Answers beside the maker's own rows on Parts and Panels: tab -> row -> column name -> cell."""

from __future__ import annotations

from sheetkit.page import Cell, Format, Style
from sheetkit.records.answers import Blank, PanelAnswer, PartAnswer, Results
from sheetkit.tabs.draft import Measure
from sheetkit.tabs.milling import stave_remark

Answers = dict[str, dict[int, dict[str, Cell]]]


def _cell(value: float | int | str, format: Format = Format.PLAIN) -> Cell:
    return Cell(value, style=Style(format=format))


def _words(sentences: tuple[str, ...]) -> Cell:
    return _cell(" ".join(sentences)) if sentences else Cell()


def _stocks(blanks: tuple[Blank, ...], results: Results) -> str:
    """Name the stock, and the boards when a layout chose them."""
    stocks = ", ".join(dict.fromkeys(blank.stock.name for blank in blanks))
    boards = []
    for laid in results.layouts:
        mine = {str(number) for number, blank in enumerate(laid.blanks) if blank in blanks}
        boards += [
            board.board.id
            for board in laid.layout.boards
            if any(piece.piece in mine for piece in board.placed)
        ]
    return f"{stocks}: {', '.join(boards)}" if boards else stocks


def _part(found: PartAnswer, measure: Measure, results: Results) -> dict[str, Cell]:
    longest = max(found.blanks, key=lambda blank: (blank.length, blank.width))
    size = measure.size_format
    return {
        "blank_thickness": _cell(measure.size(longest.thickness), size),
        "blank_width": _cell(measure.size(max(blank.width for blank in found.blanks)), size),
        "blank_length": _cell(measure.size(longest.length), size),
        "blanks": _cell(sum(blank.count for blank in found.blanks), Format.WHOLE),
        "from_stock": _cell(_stocks(found.blanks, results)),
        "volume": _cell(round(sum(blank.board_feet for blank in found.blanks), 9), Format.THOUSANDTH),
        "worked_out": _cell(found.worked_out),
        "remarks": _words((*found.remarks, *stave_remark("Parts", found.part.row, results, measure))),
    }


def _panel(found: PanelAnswer, measure: Measure, results: Results) -> dict[str, Cell]:
    blank = found.blanks[0]
    size, fine = measure.size_format, measure.fine_format
    return {
        "width": _cell(measure.size(found.width), size),
        "height": _cell(measure.size(found.height), size),
        "gap": _cell(measure.size(found.gap), size),
        "bearing": _cell(measure.size(found.bearing), fine),
        "clearance": _cell(measure.size(found.clearance), fine),
        "leaf_width": _cell(measure.size(blank.width), size),
        "leaf_length": _cell(measure.size(blank.length), size),
        "from_stock": _cell(_stocks(found.blanks, results)),
        "volume": _cell(round(sum(each.board_feet for each in found.blanks), 9), Format.THOUSANDTH),
        "remarks": _words((*found.remarks, *stave_remark("Panels", found.panel.row, results, measure))),
    }


def answers_beside(results: Results) -> Answers:
    """Give the answers beside the rows of Parts and Panels."""
    measure = Measure(results.job.sheet)
    return {
        "Parts": {found.part.row: _part(found, measure, results) for found in results.parts},
        "Panels": {found.panel.row: _panel(found, measure, results) for found in results.panels},
    }

"""Answers beside the maker's own rows on Parts and Panels: tab -> row -> column name -> cell."""

from __future__ import annotations

from sheetkit.page import Cell, Format, Style
from sheetkit.results import Blank, PanelAnswer, PartAnswer, Results
from sheetkit.tabs.draft import Measure

Answers = dict[str, dict[int, dict[str, Cell]]]


def _cell(value: float | int | str, format: Format = Format.PLAIN) -> Cell:
    return Cell(value, style=Style(format=format))


def _stocks(blanks: tuple[Blank, ...]) -> str:
    return ", ".join(dict.fromkeys(blank.stock.name for blank in blanks))


def _part(found: PartAnswer, measure: Measure) -> dict[str, Cell]:
    longest = max(found.blanks, key=lambda blank: (blank.length, blank.width))
    size = measure.size_format
    return {
        "blank_thickness": _cell(measure.size(longest.thickness), size),
        "blank_width": _cell(measure.size(max(blank.width for blank in found.blanks)), size),
        "blank_length": _cell(measure.size(longest.length), size),
        "blanks": _cell(sum(blank.count for blank in found.blanks), Format.WHOLE),
        "from_stock": _cell(_stocks(found.blanks)),
        "volume": _cell(round(sum(blank.board_feet for blank in found.blanks), 9), Format.THOUSANDTH),
        "worked_out": _cell(found.worked_out),
        "remarks": _cell(" ".join(found.remarks)) if found.remarks else Cell(),
    }


def _panel(found: PanelAnswer, measure: Measure) -> dict[str, Cell]:
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
        "from_stock": _cell(_stocks(found.blanks)),
        "volume": _cell(round(sum(each.board_feet for each in found.blanks), 9), Format.THOUSANDTH),
        "remarks": _cell(" ".join(found.remarks)) if found.remarks else Cell(),
    }


def answers_beside(results: Results) -> Answers:
    """Give the answers beside the rows of Parts and Panels."""
    measure = Measure(results.job.sheet)
    return {
        "Parts": {found.part.row: _part(found, measure) for found in results.parts},
        "Panels": {found.panel.row: _panel(found, measure) for found in results.panels},
    }

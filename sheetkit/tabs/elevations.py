"""The tab Elevations: every frame from the front, to scale, with its pieces in their places."""

from __future__ import annotations

from collections.abc import Sequence

from sheetkit.page import Page, PrintSetup
from sheetkit.records.answers import Answers
from sheetkit.records.elevations import Elevation, Piece
from sheetkit.records.job import JobSheet
from sheetkit.records.units import Units
from sheetkit.tabs.draft import (
    AFTER_NUMBER,
    CAUTION,
    COUNT,
    STRONG,
    TEXT,
    Draft,
    Measure,
    footer,
    number,
    titled,
)
from sheetkit.tabs.elevation_picture import elevation_picture
from sheetkit.units import length_text, rounded


def elevations_page(answers: Answers, stamp: str) -> Page:
    """Return the tab Elevations."""
    sheet, measure = answers.job.sheet, Measure.of(answers.job.sheet)
    draft = Draft("Elevations", "elevations", (5, 30, 11, 11, 13, 30), stamp, titled("Elevations", sheet))
    draft.across(
        "Drawn from what Parts, Joints, Spacing and Panels say, and from nothing else: what takes the "
        "joints stands upright, what enters it lies across, or the other way round where only so it fits "
        "Outside size on Job. At the right stand the heights of the rails, lower edge above the bottom of "
        "the frame.",
        CAUTION,
    )
    for seen in answers.elevations:
        _frame(draft, seen, sheet, measure)
    return draft.page(PrintSetup(paper=measure.paper, footer=footer(sheet)))


def _frame(draft: Draft, seen: Elevation, sheet: JobSheet, measure: Measure) -> None:
    title = draft.row + (1 if draft.row > 4 else 0)
    draft.section(seen.name)
    alike = f"{seen.count} frames alike. " if seen.count > 1 else ""
    draft.across(f"{alike}At on Joints counts from the {seen.reference} of {seen.pieces[0].name}.", TEXT)
    for remark in seen.remarks:
        draft.across(remark, STRONG)
    draft.heights[draft.row] = 5.0
    draft.row += 1
    draft.picture(lambda row: elevation_picture(seen, sheet, row))
    unit = measure.unit
    draft.headings(
        "No.",
        "Piece",
        f"Width ({unit})",
        f"Height ({unit})",
        f"From the bottom ({unit})",
        f"From the left ({unit})",
    )
    places: dict[int, list[Piece]] = {}
    for place, piece in seen.numbered:
        places.setdefault(place, []).append(piece)
    for place, pieces in places.items():
        _pieces(draft, place, pieces, sheet, measure)
    draft.keep(title, draft.row - 2)


def _pieces(draft: Draft, place: int, alike: Sequence[Piece], sheet: JobSheet, measure: Measure) -> None:
    """Write the pieces that share a number, and where each stands."""
    piece = alike[0]
    draft.put(1, place, COUNT)
    draft.put(2, piece.name or "open", TEXT)
    for column, size in enumerate((piece.width, piece.height, piece.bottom), 3):
        draft.put(column, measure.size(_in_steps(size, sheet)), number(TEXT, measure.size_format))
    draft.put(6, "; ".join(length_text(each.left, sheet.unit, sheet.step) for each in alike), AFTER_NUMBER)
    for column in (2, 6):
        draft.fit(column)
    draft.row += 1


def _in_steps(size: float, sheet: JobSheet) -> float:
    return Units.of(sheet).either(rounded(size, sheet.step), size)

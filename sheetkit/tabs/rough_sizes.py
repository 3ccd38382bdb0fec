"""The tab Rough sizes: every blank to cut, and how its sizes came about."""

from __future__ import annotations

from sheetkit.page import Format, Page, PrintSetup
from sheetkit.plan.beside import stave_words
from sheetkit.plan.volume import volume_of_blanks
from sheetkit.records.answers import Answers
from sheetkit.records.wood import Blank, PanelAnswer, PartAnswer
from sheetkit.tabs.draft import (
    AFTER_NUMBER,
    COUNT,
    FACT,
    TEXT,
    TOTAL,
    Draft,
    Measure,
    footer,
    number,
    titled,
)


def yields(blank: Blank) -> str:
    """Say what one blank gives."""
    pieces = blank.along * blank.across
    if blank.layers > 1:
        return f"{blank.layers} leaves"
    if pieces > 1:
        return f"{pieces} pieces"
    return blank.role


def rough_sizes_page(answers: Answers, stamp: str) -> Page:
    """Return the tab Rough sizes."""
    sheet, measure = answers.job.sheet, Measure.of(answers.job.sheet)
    unit = measure.unit
    draft = Draft(
        "Rough sizes", "rough", (20, 8, 10, 10, 10, 8, 16, 11, 9, 46), stamp, titled("Rough sizes", sheet)
    )
    volume_heading = "m3" if sheet.measure == "m3" else "Board feet"
    sizes = f"Thickness ({unit})", f"Width ({unit})", f"Length ({unit})"
    wood = "Stock", "Species", "Each gives", volume_heading
    draft.headings("Part", "Blanks", *sizes, *wood, "Worked out")
    top = draft.row
    wholes: dict[tuple[str, int], PartAnswer | PanelAnswer] = {
        ("Parts", found.part.row): found for found in answers.parts
    }
    wholes.update((("Panels", found.panel.row), found) for found in answers.panels)
    blanks = sorted(
        answers.blanks,
        key=lambda blank: (blank.species.name, blank.stock.nominal, -blank.width, -blank.length, blank.row),
    )
    size, whole = number(FACT, measure.size_format), number(FACT, Format.WHOLE)
    volume = number(FACT, measure.volume_format)
    places = answers.job.places
    for blank in blanks:
        place = places[blank.tab]
        name = f"{blank.of} (provisional)" if blank.provisional else blank.of
        draft.put(1, name, TEXT, link=f"{place.title}!A{blank.row}")
        draft.put(2, blank.count, whole)
        draft.put(3, measure.size(blank.thickness), size)
        draft.put(4, measure.size(blank.width), size)
        draft.put(5, measure.size(blank.length), size)
        draft.put(6, blank.stock.name, COUNT)
        draft.put(7, blank.species.name)
        draft.put(8, yields(blank))
        draft.put(9, measure.volume(volume_of_blanks((blank,), measure)), volume)
        whole_of = wholes[blank.tab, blank.row]
        words = [whole_of.worked_out, *stave_words(whole_of.staves, measure)]
        draft.put(10, "; ".join(words), AFTER_NUMBER)
        draft.fit(10)
        draft.fit(1)
        draft.row += 1
    if blanks:
        total = measure.volume(volume_of_blanks(blanks, measure))
        for column in range(1, draft.last + 1):
            draft.put(column, None, TOTAL)
        draft.put(1, "All", TOTAL)
        draft.put(
            2,
            sum(blank.count for blank in blanks),
            number(TOTAL, Format.WHOLE),
            formula=f"SUM(B{top}:B{draft.row - 1})",
        )
        draft.put(9, total, number(TOTAL, measure.total_format), formula=f"SUM(I{top}:I{draft.row - 1})")
    setup = PrintSetup(
        paper=measure.paper, landscape=True, repeat_rows=(top - 1, top - 1), footer=footer(sheet)
    )
    return draft.page(setup, freeze=(top - 1, 1))

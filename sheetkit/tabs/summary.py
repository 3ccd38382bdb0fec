"""The tab Summary: the job on one page."""

from __future__ import annotations

from dataclasses import replace

from sheetkit.page import Format, Page, PrintSetup
from sheetkit.results import Results
from sheetkit.tabs.draft import (
    FACT,
    HEADING,
    STRONG,
    SUBTITLE,
    TEXT,
    Draft,
    Measure,
    footer,
    number,
    taken_words,
)

MOST_WARNINGS = 12
MOST_WEIGHTS = 24


def summary_page(results: Results, stamp: str) -> Page:
    """Give the tab Summary."""
    job = results.job
    sheet, measure = job.sheet, Measure(job.sheet)
    draft = Draft("Summary", "summary", (30, 16, 19, 18, 26), stamp, sheet.job or "Summary")
    facts = [text for text in (sheet.piece, sheet.client, sheet.number) if text]
    if facts:
        draft.line(" · ".join(facts), style=SUBTITLE)
    draft.section("At a glance")
    pieces = sum(part.qty for part in job.parts)
    blanks = sum(blank.count for blank in results.blanks)
    provisional = [found.panel.panel for found in results.panels if not found.measured]
    draft.line("Parts", f"{len(job.parts)} kinds, {pieces} pieces")
    draft.line("Blanks to cut", blanks, styles={2: number(FACT, Format.WHOLE)})
    if results.panels:
        draft.line(
            "Panels", sum(found.panel.qty for found in results.panels), styles={2: number(FACT, Format.WHOLE)}
        )
    if provisional:
        draft.put(1, "Provisional panels", STRONG)
        draft.put(2, f"do not cut yet: {', '.join(provisional)}", STRONG)
        draft.row += 1
    net = sum(line.net for line in results.lumber)
    buy = sum(line.buy for line in results.lumber)
    style = number(FACT, measure.total_format)
    draft.line(f"Lumber in the blanks ({measure.volume_word})", measure.volume(net), styles={2: style})
    draft.line(
        f"{taken_words(results.lumber)} ({measure.volume_word})", measure.volume(buy), styles={2: style}
    )
    known = [line.cost for line in results.lumber if line.cost is not None]
    if known:
        draft.put(1, f"Lumber cost ({sheet.currency})")
        draft.put(2, float(sum(known)), number(STRONG, Format.MONEY))
        if len(known) < len(results.lumber):
            draft.put(3, "some of it is unpriced", FACT)
        draft.row += 1
    if results.weight is not None:
        draft.line("Weight of the piece", f"{measure.weight(results.weight)} without hardware")
    if sheet.moisture_now is not None:
        draft.line(
            "Wood moisture",
            f"{sheet.moisture_now:.1f} % now, {sheet.moisture_driest:.1f} to {sheet.moisture_wettest:.1f} % in use",
        )
    if results.lumber:
        draft.section("Lumber by species and stock")
        draft.headings(
            "Species", "Stock", f"Blanks ({measure.volume_word})", f"Buy ({measure.volume_word})", ""
        )
        for line in results.lumber:
            draft.line(line.species.name, line.stock.name, measure.volume(line.net), measure.volume(line.buy),
                       styles={3: style, 4: style})  # fmt: skip
    if results.panels:
        draft.section("Panels")
        draft.headings(
            "Panel", f"Width ({measure.unit})", f"Height ({measure.unit})", "Bearing at driest", "State"
        )
        size, fine = number(FACT, measure.size_format), number(FACT, measure.fine_format)
        for found in results.panels:
            state = "measured" if found.measured else "provisional: do not cut"
            draft.line(found.panel.panel, measure.size(found.width), measure.size(found.height),
                       measure.size(found.bearing), state, styles={2: size, 3: size, 4: fine, 5: replace(FACT, align="right")})  # fmt: skip
    _weights(draft, results, measure)
    warnings = [problem for problem in results.problems if problem.weight == "warning"]
    if warnings:
        draft.section("Worth a look before cutting")
        for warning in warnings[:MOST_WARNINGS]:
            draft.put(1, warning.place, STRONG, link=warning.place if warning.cell else None)
            draft.across(warning.says, TEXT, 2)
        if len(warnings) > MOST_WARNINGS:
            draft.line(f"and {len(warnings) - MOST_WARNINGS} more on Messages")
    draft.row += 1
    draft.across(
        "sheetkit advises; it certifies nothing. Check every size at the bench before the wood is cut.",
        HEADING,
    )
    return draft.page(PrintSetup(paper=measure.paper, footer=footer(sheet)))


def _weights(draft: Draft, results: Results, measure: Measure) -> None:
    """List the heaviest parts and panels at today's moisture."""
    known = [
        (found.part.part, found.part.qty, found.weight) for found in results.parts if found.weight is not None
    ]
    known += [
        (found.panel.panel, found.panel.qty, found.weight)
        for found in results.panels
        if found.weight is not None
    ]
    if not known:
        return
    draft.section("Weight at today's moisture")
    draft.headings("Part or panel", "Pieces", "One weighs", "All weigh", "")
    for name, count, weight in sorted(known, key=lambda row: -row[2])[:MOST_WEIGHTS]:
        draft.line(
            name,
            count,
            measure.weight(weight / count),
            measure.weight(weight),
            styles={2: replace(FACT, align="center")},
        )
    if len(known) > MOST_WEIGHTS:
        draft.line(f"and {len(known) - MOST_WEIGHTS} lighter ones")

"""The tab Summary: the job on one page."""

from __future__ import annotations

from dataclasses import replace

from sheetkit.page import Format, Page, PrintSetup
from sheetkit.plan.shop import USUAL_MOISTURE
from sheetkit.records.answers import Answers
from sheetkit.tabs.draft import (
    CAUTION,
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
    titled,
)

MOST_WARNINGS = 12
MOST_WEIGHTS = 12


def summary_page(answers: Answers, stamp: str) -> Page:
    """Return the tab Summary."""
    sheet, measure = answers.job.sheet, Measure.of(answers.job.sheet)
    draft = Draft("Summary", "summary", (30, 16, 19, 18, 26), stamp, titled("Summary", sheet))
    facts = [text for text in (sheet.piece, sheet.client, sheet.number) if text]
    if facts:
        draft.line(" · ".join(facts), style=SUBTITLE)
    _at_a_glance(draft, answers, measure)
    _lumber(draft, answers, measure)
    _panels(draft, answers, measure)
    _notices(draft, answers)
    _warnings(draft, answers)
    _weights(draft, answers, measure)
    draft.row += 1
    draft.across(
        "sheetkit advises; it certifies nothing. Local codes and licensed practice come first. Check "
        "every size at the bench before the wood is cut.",
        HEADING,
    )
    return draft.page(PrintSetup(paper=measure.paper, one_page=True, footer=footer(sheet)))


def _at_a_glance(draft: Draft, answers: Answers, measure: Measure) -> None:
    job, sheet, lumber = answers.job, answers.job.sheet, answers.lumber
    whole, volume = number(FACT, Format.WHOLE), number(FACT, measure.total_format)
    draft.section("At a glance")
    draft.line("Parts", f"{len(job.parts)} kinds, {sum(part.qty for part in job.parts)} pieces")
    draft.line("Blanks to cut", sum(blank.count for blank in answers.blanks), styles={2: whole})
    if answers.panels:
        draft.line("Panels", sum(found.panel.qty for found in answers.panels), styles={2: whole})
    provisional = [found.panel.panel for found in answers.panels if not found.measured]
    if provisional:
        draft.line("Provisional panels", f"do not cut yet: {', '.join(provisional)}", style=STRONG)
    for words, feet in (
        ("Lumber in the blanks", sum(line.net for line in lumber)),
        (taken_words(lumber), sum(line.buy for line in lumber)),
    ):
        draft.line(f"{words} ({measure.volume_word})", measure.volume(feet), styles={2: volume})
    known = [line.cost for line in lumber if line.cost is not None]
    if known:
        unpriced = "some of it is unpriced" if len(known) < len(lumber) else None
        cost = {2: number(STRONG, Format.MONEY)}
        draft.line(measure.priced("Lumber cost"), float(sum(known)), unpriced, styles=cost)
    if answers.weight is not None:
        now = sheet.moisture_now
        at = f"{USUAL_MOISTURE:g} % moisture, assumed" if now is None else f"{now:.1f} % moisture"
        draft.line("Weight of the piece", f"{measure.weight(answers.weight)} at {at}, without hardware")
    if sheet.moisture_now is not None:
        use = f"{sheet.moisture_driest:.1f} to {sheet.moisture_wettest:.1f} % in use"
        draft.line("Wood moisture", f"{sheet.moisture_now:.1f} % now, {use}")


def _lumber(draft: Draft, answers: Answers, measure: Measure) -> None:
    if not answers.lumber:
        return
    word, volume = measure.volume_word, number(FACT, measure.total_format)
    draft.section("Lumber by species and stock")
    draft.headings("Species", "Stock", f"Blanks ({word})", f"{taken_words(answers.lumber)} ({word})", "")
    for line in answers.lumber:
        draft.line(
            line.species.name,
            line.stock.name,
            measure.volume(line.net),
            measure.volume(line.buy),
            styles={3: volume, 4: volume},
        )


def _panels(draft: Draft, answers: Answers, measure: Measure) -> None:
    if not answers.panels:
        return
    unit, size, fine = measure.unit, number(FACT, measure.size_format), number(FACT, measure.fine_format)
    draft.section("Panels")
    draft.headings("Panel", f"Width ({unit})", f"Height ({unit})", "In groove at driest", "State")
    for found in answers.panels:
        state = "measured" if found.measured else "provisional: do not cut"
        draft.line(
            found.panel.panel,
            measure.size(found.width),
            measure.size(found.height),
            measure.size(found.bearing),
            state,
            styles={2: size, 3: size, 4: fine, 5: replace(FACT, align="right")},
        )


def _notices(draft: Draft, answers: Answers) -> None:
    """Name the rules for such a piece, and advise to anchor it."""
    if not answers.notices:
        return
    draft.section("Rules to look up")
    for notice in answers.notices:
        draft.across(f"{notice.says} {notice.instead}", CAUTION)


def _warnings(draft: Draft, answers: Answers) -> None:
    warnings = [
        problem
        for problem in answers.problems
        if problem.weight == "warning" and problem not in answers.notices
    ]
    if not warnings:
        return
    draft.section("Worth a look before cutting")
    for warning in warnings[:MOST_WARNINGS]:
        draft.put(1, warning.place, STRONG, link=warning.place if warning.cell else None)
        draft.across(warning.says, TEXT, 2)
    if len(warnings) > MOST_WARNINGS:
        draft.line(f"and {len(warnings) - MOST_WARNINGS} more on Messages")


def _weights(draft: Draft, answers: Answers, measure: Measure) -> None:
    """List the heaviest parts and panels at today's moisture."""
    known = [
        (found.part.part, found.part.qty, found.weight) for found in answers.parts if found.weight is not None
    ]
    known += [
        (found.panel.panel, found.panel.qty, found.weight)
        for found in answers.panels
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

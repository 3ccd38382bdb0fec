"""The tab Messages: all to put right or to know, each with a link to its cell; and pages shown meanwhile."""

from __future__ import annotations

from collections.abc import Sequence

from sheetkit.page import Page, PrintSetup, quoted
from sheetkit.records.job import JobSheet
from sheetkit.records.messages import KINDS, PROBLEM_HEADINGS
from sheetkit.records.problems import Problem
from sheetkit.tabs.draft import CAUTION, STRONG, TEXT, Draft, Measure, footer, titled

MOST_LISTED = 2_000


def messages_page(problems: Sequence[Problem], sheet: JobSheet, stamp: str) -> Page:
    """Return the tab Messages."""
    draft = Draft("Messages", "messages", (13, 20, 18, 52, 52), stamp, titled("Messages", sheet))
    errors = sum(problem.weight == "error" for problem in problems)
    if errors:
        draft.across(
            f"{errors} thing{'s' if errors > 1 else ''} to put right first: nothing was calculated.", STRONG
        )
    elif not problems:
        draft.across("No messages: nothing is amiss.", STRONG)
    draft.headings(*PROBLEM_HEADINGS)
    top = draft.row
    order = list(KINDS)
    for problem in sorted(problems, key=lambda found: order.index(found.weight))[:MOST_LISTED]:
        draft.put(1, KINDS[problem.weight].capitalize(), STRONG if problem.weight == "error" else TEXT)
        link = f"{quoted(problem.tab)}!{problem.cell}" if problem.cell else None
        draft.put(2, problem.place, TEXT, link=link)
        draft.put(3, problem.stands, TEXT)
        draft.put(4, problem.says, TEXT)
        draft.put(5, problem.instead, TEXT)
        for column in (2, 3, 4, 5):
            draft.fit(column)
        draft.row += 1
    if len(problems) > MOST_LISTED:
        draft.across(f"and {len(problems) - MOST_LISTED:,} more: put these right, then run again.", CAUTION)
    measure = Measure.of(sheet)
    setup = PrintSetup(
        paper=measure.paper, landscape=True, repeat_rows=(top - 1, top - 1), footer=footer(sheet)
    )
    return draft.page(setup, freeze=(top - 1, 0))


def not_calculated_page(title: str, key: str, sheet: JobSheet, stamp: str) -> Page:
    """Return the page that stands in place of a result while something is to be put right."""
    draft = Draft(title, key, (90,), stamp, titled(title, sheet))
    draft.line("Not calculated", style=STRONG)
    draft.across("The tab Messages says what to put right. Then run sheetkit again.", CAUTION)
    return draft.page(PrintSetup(paper=Measure.of(sheet).paper, footer=footer(sheet)))

"""All result tabs of a run, in the order in which they stand at the end of the workbook."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from sheetkit.form.columns import BOUGHT
from sheetkit.intake.bought import Noted
from sheetkit.page import Page
from sheetkit.records.answers import Answers
from sheetkit.records.job import Job
from sheetkit.records.problems import Problem
from sheetkit.tabs.estimate import estimate_page
from sheetkit.tabs.lumber import lumber_page
from sheetkit.tabs.messages import messages_page, not_calculated_page
from sheetkit.tabs.quote import quote_page
from sheetkit.tabs.rough_sizes import rough_sizes_page
from sheetkit.tabs.shop_sheet import shop_sheet_page
from sheetkit.tabs.summary import summary_page
from sheetkit.tabs.to_buy import to_buy_page

ALWAYS = {
    "summary": "Summary",
    "rough": "Rough sizes",
    "lumber": "Lumber",
    "buy": "To buy",
    "estimate": "Estimate",
    "quote": "Quote",
    "shop": "Shop sheet",
}
SOMETIMES = {"layout": "Board layout", "marks": "Marks", "elevations": "Elevations"}
"""Key of each result tab -> its title, but for Messages."""


def result_pages(
    answers: Answers, problems: Sequence[Problem], stamp: str, noted: Noted | None = None
) -> list[Page]:
    """Return the result tabs of a job that was calculated; ``noted`` is what the maker noted on To buy."""
    pages = [
        summary_page(answers, stamp),
        rough_sizes_page(answers, stamp),
        lumber_page(answers, stamp),
        to_buy(answers, answers.job, noted, stamp),
        board_layout(answers, stamp),
        marks(answers, stamp),
        elevations(answers, stamp),
        estimate_page(answers, stamp),
        quote_page(answers),
        shop_sheet_page(answers, stamp),
        messages_page(problems, answers.job.sheet, stamp),
    ]
    return [page for page in pages if page is not None]


def to_buy(answers: Answers | None, job: Job, noted: Noted | None, stamp: str) -> Page:
    """Return the tab To buy, without answers what was noted on it alone."""
    boards = [board for board in job.boards if board.listed == BOUGHT.title]
    return to_buy_page(answers, job.sheet, noted, boards, stamp)


def board_layout(answers: Answers, stamp: str) -> Page | None:
    """Return the tab Board layout when there is one; its drawing is loaded only then."""
    if not answers.layouts:
        return None
    from sheetkit.tabs.board_layout import board_layout_page

    return board_layout_page(answers, stamp)


def marks(answers: Answers, stamp: str) -> Page | None:
    """Return the tab Marks when there is something to mark."""
    if not answers.sticks:
        return None
    from sheetkit.tabs.marks import marks_page

    return marks_page(answers, stamp)


def elevations(answers: Answers, stamp: str) -> Page | None:
    """Return the tab Elevations when Joints tells a frame."""
    if not answers.elevations:
        return None
    from sheetkit.tabs.elevations import elevations_page

    return elevations_page(answers, stamp)


def not_calculated_pages(
    job: Job,
    problems: Sequence[Problem],
    stamp: str,
    owned: Collection[str] = (),
    noted: Noted | None = None,
) -> list[Page]:
    """Return the tabs while something is to be put right: no old result stays looking valid.

    ``owned`` holds the keys of the tabs that an earlier run made, ``noted`` what the maker noted on To buy.
    """
    sheet = job.sheet
    titles = ALWAYS | {key: title for key, title in SOMETIMES.items() if key in owned}
    pages = [
        to_buy(None, job, noted, stamp) if key == "buy" else not_calculated_page(title, key, sheet, stamp)
        for key, title in titles.items()
    ]
    return [*pages, messages_page(problems, sheet, stamp)]

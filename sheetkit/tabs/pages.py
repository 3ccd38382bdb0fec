"""All result tabs of a run, in the order in which they stand at the end of the workbook."""

from __future__ import annotations

from collections.abc import Sequence

from sheetkit.model import JobSheet
from sheetkit.page import Page
from sheetkit.problems import Problem
from sheetkit.results import Results
from sheetkit.tabs.beside import Answers, answers_beside
from sheetkit.tabs.lumber import lumber_page
from sheetkit.tabs.messages import messages_page, not_calculated_page
from sheetkit.tabs.rough_sizes import rough_sizes_page
from sheetkit.tabs.shop_sheet import shop_sheet_page
from sheetkit.tabs.summary import summary_page

TITLES = {"summary": "Summary", "rough": "Rough sizes", "lumber": "Lumber", "shop": "Shop sheet"}
"""Key of each result tab -> its title, but for Messages."""


def result_pages(results: Results, problems: Sequence[Problem], stamp: str) -> list[Page]:
    """Give the result tabs of a job that was calculated."""
    pages = [
        summary_page(results, stamp),
        rough_sizes_page(results, stamp),
        lumber_page(results, stamp),
        board_layout(results, stamp),
        shop_sheet_page(results, stamp),
        messages_page(problems, results.job.sheet, stamp),
    ]
    return [page for page in pages if page is not None]


def board_layout(results: Results, stamp: str) -> Page | None:
    """Give the tab Board layout when there is one; its drawing is loaded only then."""
    if not results.layouts:
        return None
    from sheetkit.tabs.board_layout import board_layout_page

    return board_layout_page(results, stamp)


def not_calculated_pages(sheet: JobSheet, problems: Sequence[Problem], stamp: str) -> list[Page]:
    """Give the tabs while something is to be put right: no old result stays looking valid."""
    pages = [not_calculated_page(title, key, sheet, stamp) for key, title in TITLES.items()]
    return [*pages, messages_page(problems, sheet, stamp)]


def answers_of(results: Results) -> Answers:
    """Give every answer that stands beside the maker's rows."""
    answers = answers_beside(results)
    if results.job.boards:
        from sheetkit.tabs.board_layout import board_cells

        answers["Boards"] = board_cells(results)
    return answers

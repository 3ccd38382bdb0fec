"""All result tabs of a run, in the order in which they stand at the end of the workbook."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from sheetkit.page import Page
from sheetkit.records.answers import Results
from sheetkit.records.costs import Costs
from sheetkit.records.job import JobSheet
from sheetkit.records.problems import Problem
from sheetkit.tabs.beside import Answers, answers_beside
from sheetkit.tabs.beside_money import money_cells
from sheetkit.tabs.draft import Measure, ShopLine
from sheetkit.tabs.estimate import estimate_page
from sheetkit.tabs.lumber import lumber_page
from sheetkit.tabs.messages import messages_page, not_calculated_page
from sheetkit.tabs.quote import quote_page
from sheetkit.tabs.rough_sizes import rough_sizes_page
from sheetkit.tabs.shop_bench import (
    dry_lines,
    finish_lines,
    glue_lines,
    joint_lines,
    load_lines,
    shape_lines,
    tenon_stock_lines,
)
from sheetkit.tabs.shop_sheet import shop_sheet_page
from sheetkit.tabs.summary import summary_page

ALWAYS = {
    "summary": "Summary",
    "rough": "Rough sizes",
    "lumber": "Lumber",
    "estimate": "Estimate",
    "quote": "Quote",
    "shop": "Shop sheet",
}
SOMETIMES = {"layout": "Board layout", "marks": "Marks"}
"""Key of each result tab -> its title, but for Messages."""


def result_pages(results: Results, costs: Costs, problems: Sequence[Problem], stamp: str) -> list[Page]:
    """Give the result tabs of a job that was calculated."""
    pages = [
        summary_page(results, stamp),
        rough_sizes_page(results, stamp),
        lumber_page(results, stamp),
        board_layout(results, stamp),
        marks(results, stamp),
        estimate_page(results, costs.estimate, costs.alternatives, stamp),
        quote_page(results, costs.estimate),
        shop_sheet_page(results, stamp, shop_lines(results)),
        messages_page(problems, results.job.sheet, stamp),
    ]
    return [page for page in pages if page is not None]


def board_layout(results: Results, stamp: str) -> Page | None:
    """Give the tab Board layout when there is one; its drawing is loaded only then."""
    if not results.layouts:
        return None
    from sheetkit.tabs.board_layout import board_layout_page

    return board_layout_page(results, stamp)


def marks(results: Results, stamp: str) -> Page | None:
    """Give the tab Marks when there is something to mark."""
    if results.bench is None:
        return None
    from sheetkit.tabs.marks import marks_page

    return marks_page(results, results.bench, stamp)


def shop_lines(results: Results) -> dict[str, list[ShopLine]]:
    """Give the lines of the shop sheet that come from the tabs Joints to Finish."""
    found = results.bench
    if found is None:
        return {}
    measure = Measure(results.job.sheet)
    return {
        "look": load_lines(found),
        "joints": [
            *joint_lines(found, measure),
            *tenon_stock_lines(found, measure),
            *shape_lines(found, measure),
        ],
        "dry": dry_lines(found, measure),
        "finish": finish_lines(found, measure),
        "glue": glue_lines(found, measure),
    }


def not_calculated_pages(
    sheet: JobSheet, problems: Sequence[Problem], stamp: str, owned: Collection[str] = ()
) -> list[Page]:
    """Give the tabs while something is to be put right: no old result stays looking valid.

    ``owned`` holds the keys of the tabs that an earlier run made.
    """
    titles = ALWAYS | {key: title for key, title in SOMETIMES.items() if key in owned}
    pages = [not_calculated_page(title, key, sheet, stamp) for key, title in titles.items()]
    return [*pages, messages_page(problems, sheet, stamp)]


def answers_of(results: Results, costs: Costs) -> Answers:
    """Give every answer that stands beside the maker's rows."""
    answers = answers_beside(results)
    answers.update(money_cells(results, costs.estimate))
    if results.bench is not None:
        from sheetkit.tabs.beside_bench import bench_cells

        answers.update(bench_cells(results, results.bench))
    if results.job.boards:
        from sheetkit.tabs.board_layout import board_cells

        answers["Boards"] = board_cells(results)
    return answers

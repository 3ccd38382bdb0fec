"""The tab on which the answers beside an open workbook open: it says that they are to look at only."""

from __future__ import annotations

from collections.abc import Mapping

from sheetkit.page import Page, PrintSetup, reference
from sheetkit.tabs.draft import FACT, STRONG, TEXT, Draft

KEY = "look"


def look_only_page(workbook: str, answers: str, tabs: Mapping[str, str]) -> Page:
    """Return the tab; ``tabs`` names the answer tabs by key, to each of which a line leads."""
    draft = Draft(
        "Look only", KEY, (100,), f"The answers to {workbook}, while it is open.", "To look at only"
    )
    draft.across(f"What you type in {answers} is lost: the next save of {workbook} makes it anew.", STRONG)
    draft.across(
        f"Write in {workbook}, and save it. Once it is closed the answers go there, and this file goes away.",
        TEXT,
    )
    draft.section("The answers")
    for title in tabs.values():
        draft.put(1, title, FACT, link=reference(title, 1, 1).replace("$", ""))
        draft.row += 1
    return draft.page(PrintSetup())

"""The tab Board layout: which piece comes from which board, a picture to scale, and the cuts in order."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from sheetkit.page import Page, PrintSetup
from sheetkit.records.answers import Answers
from sheetkit.records.tasks import Caution
from sheetkit.records.wood import StockLayout
from sheetkit.tabs.board_picture import board_picture, section_letter
from sheetkit.tabs.cautions import WORDS
from sheetkit.tabs.draft import (
    CAUTION,
    COUNT,
    STRONG,
    TEXT,
    TICK,
    Draft,
    Earlier,
    Measure,
    drawn,
    footer,
    titled,
)

if TYPE_CHECKING:
    from sheetkit.calc.layout import BoardLaid, Cut

BOX = "☐"
FIRST_CUTS = 3
"""Cuts that stand below a picture on its page, when there are too many for one page."""
CUT = replace(STRONG, wrap=True)
PURPOSES = {
    "trim end": "trim the end",
    "section": "crosscut a section {size} long",
    "off bad length": "cut off the bad length",
    "off bad spot": "rip off the bad spot",
    "straighten edge": "straighten one edge",
    "strip": "rip {size} wide",
    "piece": "crosscut {size} long",
    "trim to width": "rip to {size} wide",
    "keep length": "crosscut {size} long, keep it whole",
    "keep width": "rip {size} wide, keep it whole",
}


def board_layout_page(answers: Answers, stamp: str) -> Page | None:
    """Return the tab Board layout, None when no board stands in the rack."""
    if not answers.layouts:
        return None
    return drawn(lambda earlier: _tab(answers, stamp, earlier))


def _tab(answers: Answers, stamp: str, earlier: Earlier) -> Draft:
    measure = Measure.of(answers.job.sheet)
    setup = PrintSetup(paper=measure.paper, repeat_rows=(1, 1), footer=footer(answers.job.sheet))
    draft = Draft(
        "Board layout",
        "layout",
        (4, 5, 32, 30, 36),
        stamp,
        titled("Board layout", answers.job.sheet),
        setup,
        earlier,
    )
    draft.across(
        "Positions are measured from the end of the board that is trimmed first, on a section from the "
        "same end of it; rips from the straightened edge. Numbers in circles are the numbers of the "
        "cuts, letters the sections, and below the board stands a tape with every crosscut. Hatched is "
        "waste, crossed is bad; lengths are to scale, widths to a scale of their own. Look at each board "
        "before cutting: grain and color are yours to judge.",
        CAUTION,
    )
    rip_first = answers.job.allowances.first_cut == "rip"
    for laid in answers.layouts:
        _stock(draft, laid, rip_first, measure)
    return draft


def _stock(draft: Draft, laid: StockLayout, rip_first: bool, measure: Measure) -> None:
    layout = laid.layout
    draft.section(f"{laid.species.name}, {laid.stock.name}")
    boards = ", ".join(board.board.id for board in layout.boards) or "none"
    title = draft.row
    draft.across(f"Boards to cut: {boards}.", STRONG)
    if laid.bought:
        draft.across(f"Buy of these at the yard: {', '.join(sorted(laid.bought))}.", STRONG)
    if layout.unused:
        draft.across(f"Leave where they are: {', '.join(board.id for board in layout.unused)}.", TEXT)
    if layout.gap is not None:
        at_most = (
            "the least possible"
            if layout.gap < 5e-4
            else f"at most {_percent_up(layout.gap)} more than the least possible"
        )
        draft.across(f"This is {at_most} with these boards, saw and cuts ({_order(rip_first)}).", TEXT)
    for buy in laid.to_buy:
        names = ", ".join(dict.fromkeys(laid.blanks[int(piece)].of for piece in buy.pieces))
        draft.across(
            f"Buy {buy.count}: at least {measure.words(buy.width)} wide, {measure.words(buy.length)} "
            f"long, for {names}.",
            STRONG,
        )
    if layout.boards:
        draft.keep(title, draft.row)
    for place, board in enumerate(layout.boards):
        with draft.together(draft.row + 1 if place else title - 1):
            _board(draft, board, laid, rip_first, measure)


def _order(rip_first: bool) -> str:
    """Say in which order a board is cut."""
    return "rip, crosscut" if rip_first else "crosscut, rip, crosscut"


def _percent_up(gap: float) -> str:
    """Write a share as a percentage, rounded up so that it stays true."""
    tenths = -int(-gap * 1000 // 1)
    return f"{tenths / 10:.1f} %"


def _board(draft: Draft, laid: BoardLaid, of: StockLayout, rip_first: bool, measure: Measure) -> None:
    board = laid.board
    draft.row += 1
    title = draft.row
    sections = len(laid.sections)
    whole = rip_first or (sections == 1 and not any(cut.purpose == "section" for cut in laid.cuts))
    draft.across(
        f"Board {board.id}: {measure.words(board.width)} wide, {measure.words(board.length)} long; "
        f"{_order(whole)}",
        STRONG,
    )
    narrow = any(of.blanks[int(placed.piece)].across > 1 for placed in laid.placed)
    for caution in (Caution.PINCH, Caution.CROSSCUT, Caution.RIP, *([Caution.NARROW] if narrow else [])):
        draft.caution(WORDS[caution])
    waiting = dict.fromkeys(
        f"{blank.of} ({section_letter(section.number)})"
        for section in laid.sections
        for strip in section.strips
        for placed in strip.placed
        if (blank := of.blanks[int(placed.piece)]).provisional
    )
    if waiting:
        kept = f"Keep whole what is for {', '.join(waiting)}, as drawn: the opening is not measured yet."
        kept += " Once it is, cut the panel from this wood, whatever a later layout shows: keep this page."
        draft.across(kept if laid.cuts else f"{kept} Nothing is cut from this board before.", STRONG)
    words = measure.words
    draft.picture(lambda row: board_picture(laid, of, row, lambda size: words(size), measure.metric))
    draft.keep(title, draft.row - 2 + min(FIRST_CUTS, len(laid.cuts)))
    for cut in laid.cuts:
        section = next((each for each in laid.sections if each.number == cut.section), None)
        where = _where(cut, 0.0 if rip_first or section is None else section.x, board.edge, measure)
        _cut(draft, cut, where, of, measure)
    for left in laid.left_overs if laid.cuts else ():
        draft.across(
            f"Left over: {measure.words(left.width)} x {measure.words(left.clear)}, back to the rack "
            "(sheetkit cut puts it there; or type it into Boards for the next job).",
            TEXT,
            3,
        )


def _cut(draft: Draft, cut: Cut, where: str, of: StockLayout, measure: Measure) -> None:
    draft.put(1, BOX, TICK)
    draft.put(2, cut.number, COUNT)
    draft.put(3, PURPOSES[cut.purpose].format(size=measure.words(cut.size)), CUT)
    draft.put(4, where, TEXT)
    blanks = [of.blanks[int(piece)] for piece in cut.pieces]
    counts = Counter(f"{each.of}{' (wait)' if each.provisional else ''}" for each in blanks)
    names = [f"{name} ({count})" if count > 1 else name for name, count in counts.items()]
    if cut.section and cut.purpose != "section":
        names.append(f"section {section_letter(cut.section)}")
    draft.put(5, ", ".join(names), TEXT)
    for column in (3, 4, 5):
        draft.fit(column)
    draft.row += 1


def _where(cut: Cut, start: float, edge: float, measure: Measure) -> str:
    """Say where a cut is made: on the whole board, or on a section that starts there once that is loose.

    Rips run with the straightened edge, which is `edge` in from the board's own, or with the strip's along
    the fence.
    """
    if cut.purpose == "straighten edge":
        return f"{measure.words(cut.at)} off the board's edge"
    if cut.purpose == "trim to width":
        return f"{measure.words(cut.size)} from the strip's edge"
    if cut.kind == "rip":
        return f"{measure.words(cut.at - edge)} from the straightened edge"
    if start and cut.strip:
        return f"{measure.words(cut.at - start)} from the section's end"
    return f"at {measure.words(cut.at)}"

"""The input tab Quote words: what the quote says, and room for the maker's own words."""

from __future__ import annotations

from sheetkit.form.quote_words import HEADINGS, QUOTE_WORDS_HELP, QUOTE_WORDS_TITLE, WORDS
from sheetkit.page import Address, Cell, Column, Format, Page, PrintSetup, Style
from sheetkit.tabs.draft import HEADING, INK, STAMP, TITLE
from sheetkit.tabs.letters import line_count, room

WIDTH, LINE = 58.0, 14.0
"""Width of both columns [characters], and height of a line of words [pt]."""


def quote_words_page(paper: str) -> Page:
    """Return the tab Quote words: what the quote says, and room for the maker's own words."""
    cells: dict[Address, Cell] = {(1, 1): Cell("The words of the quote", style=TITLE)}
    for row, text in enumerate(QUOTE_WORDS_HELP, 2):
        cells[row, 1] = Cell(text, style=STAMP)
    heading = len(QUOTE_WORDS_HELP) + 3
    for number, text in enumerate(HEADINGS, 1):
        cells[heading, number] = Cell(text, style=HEADING)
    said, own = (
        Style(format=Format.TEXT, color="5F5F5F", wrap=True),
        Style(Format.TEXT, color=INK, line="box", wrap=True),
    )
    heights = {1: 25.0}
    for row, text in enumerate(dict.fromkeys(WORDS.values()), heading + 1):
        cells[row, 1], cells[row, 2] = Cell(text, style=said), Cell(style=own)
        if (lines := line_count(text, room([WIDTH]), said.size)) > 1:
            heights[row] = lines * LINE
    return Page(
        QUOTE_WORDS_TITLE,
        cells,
        columns={1: Column(WIDTH), 2: Column(WIDTH)},
        heights=heights,
        freeze=(heading, 0),
        print=PrintSetup(paper=paper, footer="&A · page &P of &N", with_book=False),
    )

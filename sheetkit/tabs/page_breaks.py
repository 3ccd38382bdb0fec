"""Where printed pages end: no title stands alone at a foot, no picture is parted from its words."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from sheetkit.page import Column, PrintSetup

PAPERS = {"letter": (612.0, 792.0), "a4": (595.3, 841.9)}
"""Width and height of a sheet [pt]."""
MARGINS = (72.0, 108.0)
"""Blank at both sides, and above and below together [pt]."""
SPARE = 0.97
"""Share of a page that is counted on; programs differ by a little in how much they shrink."""
A_ROW = 15.0
"""Height of a row that is not set [pt]."""
MOST = 1000
"""Breaks that a tab may hold; beyond that its pages end where they end."""


def page_breaks(
    last: int,
    heights: Mapping[int, float],
    kept: Collection[int],
    columns: Iterable[Column],
    setup: PrintSetup,
) -> tuple[int, ...]:
    """Return the rows after which a new page begins.

    ``kept`` holds the rows that stay on the page of the row below them. A run of them longer than a page ends
    where the page ends.
    """
    if not kept or setup.one_page:
        return ()
    walk = Walk(heights, kept, columns, setup)
    walk.to(last)
    return tuple(walk.breaks) if len(walk.breaks) <= MOST else ()


class Walk:
    """Goes down the rows of a tab and finds where its pages end."""

    def __init__(
        self,
        heights: Mapping[int, float],
        kept: Collection[int],
        columns: Iterable[Column],
        setup: PrintSetup,
    ) -> None:
        self._heights, self._kept = heights, kept
        self.room = _room(columns, setup)
        """Height of the rows that one page holds [pt]."""
        first, end = setup.repeat_rows or (1, 0)
        self._repeated = [*range(first, end + 1)]
        self._row, self._used = 0, 0.0
        self.begin = 1
        """First row of the page on which the last row stands that was come by."""
        self.breaks: list[int] = []

    @property
    def below(self) -> float:
        """Height of the rows that one page holds below those repeated on each [pt]."""
        return self.room - sum(self._heights.get(each, A_ROW) for each in self._repeated)

    def to(self, last: int) -> int:
        """Go down to a row, and return the first row of its page."""
        for row in range(self._row + 1, last + 1):
            height = self._heights.get(row, A_ROW)
            if self._used + height > self.room and row > self.begin:
                foot = row - 1
                while foot >= self.begin and foot in self._kept:
                    foot -= 1
                foot = foot if foot >= self.begin else row - 1
                self.breaks.append(foot)
                self.begin = foot + 1
                above = (*self._repeated, *range(self.begin, row))
                self._used = sum(self._heights.get(each, A_ROW) for each in above)
            self._used += height
        self._row = max(self._row, last)
        return self.begin


def _room(columns: Iterable[Column], setup: PrintSetup) -> float:
    """Return the height of the rows that one page holds, shrunk to the width of the paper [pt]."""
    width, height = PAPERS[setup.paper]
    if setup.landscape:
        width, height = height, width
    # a column of so many characters is 7 dots for each and 5 more, 96 dots an inch
    table = sum(column.width * 5.25 + 3.75 for column in columns)
    shrunk = min(1.0, (width - MARGINS[0]) / table) if setup.fit_width else 1.0
    return (height - MARGINS[1]) / shrunk * SPARE

"""Where things lie on the picture of a board, and the numbers of the cuts in circles on their lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from sheetkit.tabs.drawing import DOTS, SMALL, THICK, THIN, Box, text_width, write

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw

    from sheetkit.calc.layout import BoardLaid, Cut

ABOVE = 20.0
"""Room for section letters and the numbers of their cuts above the board [pt]."""
ROUND = 5.2
"""Radius of the circle around the number of a cut [pt]."""
MARGIN = 7 * DOTS
"""Blank at both ends of the board, for the numbers there [dots]."""


class Scale(NamedTuple):
    """Where a place on the board lies on the picture: lengths and widths each to a scale [dots an inch]."""

    along: float
    across: float

    def box(self, x: float, y: float, length: float, width: float) -> Box:
        """Return the box of a piece."""
        return self.x(x), self.y(y), self.x(x + length), self.y(y + width)

    def x(self, at: float) -> float:
        """Return where a position along the board lies."""
        return MARGIN + at * self.along

    def y(self, at: float) -> float:
        """Return where a position across the board lies."""
        return ABOVE * DOTS + at * self.across


def numbers_of(laid: BoardLaid, scale: Scale) -> list[tuple[float, float]]:
    """Return where the number of every cut stands in a circle on its line, in their order."""
    taken: list[tuple[float, float]] = []
    top, radius = scale.y(0), ROUND * DOTS
    for cut in laid.cuts:
        section = next((each for each in laid.sections if each.number == cut.section), None)
        strip = next((each for each in section.strips if each.number == cut.strip), None) if section else None
        if cut.kind == "crosscut" and strip is None:
            places = [(scale.x(cut.at), top - radius - 2)]
        elif cut.kind == "crosscut" and strip is not None:
            y0, y1 = scale.y(strip.y), scale.y(strip.y + strip.width)
            x, beside = scale.x(cut.at), 2 * radius + 2
            places = [(x, y0 + (y1 - y0) * share) for share in (0.5, 0.25, 0.75, 0.0, 1.0)]
            places += [(x - beside, (y0 + y1) / 2), (x + beside, (y0 + y1) / 2)]
        else:
            assert section is not None, "a rip is made in a section"
            low, high = scale.x(section.x), scale.x(section.x + section.length)
            if cut.purpose == "trim to width" and strip is not None:
                ends = [
                    (scale.x(piece.x), scale.x(piece.x + piece.length))
                    for piece in strip.placed
                    if piece.piece in cut.pieces and abs(piece.y + piece.width - cut.at) < 1e-6
                ]
                low, high = next(
                    (end for end in ends if _free(end[0], end[1], cut, scale, taken)), (low, high)
                )
            y = scale.y(cut.at)
            steps = max(2, int((high - low) / (2 * radius + 2)))
            places = [(low + (high - low) * n / steps, y) for n in range(1, steps)]
        free = [place for place in places if all(_apart(place, other) for other in taken)]
        taken.append((free or places)[0])
    return taken


def circles(draw: ImageDraw, laid: BoardLaid, scale: Scale, numbers: Sequence[tuple[float, float]]) -> None:
    """Draw the numbers of the cuts in their circles, and the line of each cut across the whole board."""
    radius = ROUND * DOTS
    for cut, (x, y) in zip(laid.cuts, numbers, strict=True):
        if cut.kind == "crosscut" and not cut.strip:
            draw.line((x, scale.y(0) - radius, x, scale.y(laid.board.width)), fill=0, width=THICK)
        draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=255, outline=0, width=THIN)
        text = str(cut.number)
        points = 7.5 if len(text) < 3 else SMALL
        write(draw, x - text_width(text, points) / 2, y - 0.66 * points * DOTS, text, points)


def _free(low: float, high: float, cut: Cut, scale: Scale, taken: Sequence[tuple[float, float]]) -> bool:
    """Return whether no number stands yet on the line below a piece."""
    return not any(low < x < high and abs(y - scale.y(cut.at)) < 1 for x, y in taken)


def _apart(one: tuple[float, float], other: tuple[float, float]) -> bool:
    """Return whether two circles do not touch."""
    return bool((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2 > (2 * ROUND * DOTS) ** 2)

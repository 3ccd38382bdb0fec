"""A board drawn to scale: pieces named, waste hatched, bad lengths crossed, left-overs blank. Legible in black and white."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from sheetkit.page import Picture
from sheetkit.records.wood import StockLayout
from sheetkit.tabs.drawing import (
    DOTS,
    LETTERS,
    MEDIUM,
    SHADE,
    SMALL,
    THICK,
    THIN,
    WIDTH,
    Box,
    blank,
    finished,
    hatch,
    pen,
    shortened,
    text_width,
    write,
)

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw

    from sheetkit.calc.layout import BoardLaid

SIZES = (LETTERS, 7.5, 6.7, SMALL)
"""Sizes of lettering tried in a piece [pt]."""
BELOW = 50
"""Room for the names of slender pieces below the board [dots]."""
LONGEST_NAME = 330
"""Most room for one of those names [dots]."""
LEAST_NAME = 110
"""Room in which a long name cut short can still be told from others [dots]."""


class Slender(NamedTuple):
    """A piece too small for its name, and the middle of it [dots]."""

    name: str
    x: float
    y: float


class Below(NamedTuple):
    """A name below the board, where it stands, and the pieces that bear it [dots]."""

    name: str
    left: float
    right: float
    pieces: tuple[Slender, ...]


def board_picture(
    laid: BoardLaid, of: StockLayout, longest: float, row: int, words: Callable[[float], str]
) -> Picture:
    """Give the picture of a board, to the scale at which the longest board fills the page."""
    board = laid.board
    scale = WIDTH * DOTS / longest
    width, height = round(board.length * scale) + 2, round(board.width * scale) + 2
    pieces = [(_box(piece.x, piece.y, piece.length, piece.width, scale),
               [of.blanks[int(piece.piece)].of, f"{words(piece.width)} x {words(piece.length)}"])
              for piece in laid.placed]  # fmt: skip
    below = names_below(
        [
            Slender(lines[0], (box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
            for box, lines in pieces
            if _fitting(box, lines) is None
        ]
    )
    image = blank(
        max(width, *(name.right for name in below), 0) / DOTS, (height + (BELOW if below else 0)) / DOTS
    )
    draw = pen(image)
    whole = (0, 0, width - 1, height - 1)
    hatch(draw, whole)
    for left in laid.left_overs:
        box = (left.x * scale, 0.0, (left.x + left.length) * scale, height - 1.0)
        draw.rectangle(box, fill=255, outline=0, width=THIN)
        _label(draw, box, ["left over"])
    for spot in board.bad:
        _cross(draw, (spot.x0 * scale, 0, spot.x1 * scale, height - 1))
    for box, _ in pieces:
        draw.rectangle(box, fill=SHADE, outline=0, width=MEDIUM)
    for name in below:
        _point_out(draw, name, height)
    for box, lines in pieces:
        _label(draw, box, lines)
    draw.rectangle(whole, outline=0, width=THICK)
    names = ", ".join(dict.fromkeys(lines[0] for _, lines in pieces))
    alt = f"Board {board.id}, {words(board.width)} wide and {words(board.length)} long, cut into: {names}"
    return finished(image, row, alt)


def names_below(slender: Sequence[Slender]) -> list[Below]:
    """Give where the names of slender pieces stand below the board, from the left; neighbors of one name share it.

    What finds no room is left to the list of cuts.
    """
    names: list[Below] = []
    end = 0.0
    for name, group in groupby(sorted(slender, key=lambda piece: piece.x), key=lambda piece: piece.name):
        alike = tuple(group)
        text = shortened(name, LONGEST_NAME)
        wide = text_width(text)
        left = max(sum(piece.x for piece in alike) / len(alike) - wide / 2, end)
        names.append(Below(text, left, left + wide, alike))
        end = left + wide + 20
    end = WIDTH * DOTS - 2
    for place in range(len(names) - 1, -1, -1):
        over = max(names[place].right - end, 0)
        names[place] = names[place]._replace(left=names[place].left - over, right=names[place].right - over)
        end = names[place].left - 20
    return [name for name in names if name.left >= 0]


def _box(x: float, y: float, length: float, width: float, scale: float) -> Box:
    return x * scale, y * scale, (x + length) * scale, (y + width) * scale


def _point_out(draw: ImageDraw, name: Below, height: float) -> None:
    """Write a name below the board, with a line to each of its pieces."""
    top = height + 14
    for piece in name.pieces:
        foot = min(max(piece.x, name.left + 4), name.right - 4)
        draw.line((piece.x, piece.y, foot, top), fill=0, width=THIN)
        draw.ellipse((piece.x - 4, piece.y - 4, piece.x + 4, piece.y + 4), fill=0)
    write(draw, name.left, top, name.name)


def _cross(draw: ImageDraw, box: Box) -> None:
    left, top, right, bottom = box
    draw.rectangle(box, fill=255, outline=0, width=MEDIUM)
    draw.line((left, top, right, bottom), fill=0, width=MEDIUM)
    draw.line((left, bottom, right, top), fill=0, width=MEDIUM)


def _fitting(box: Box, lines: list[str]) -> tuple[list[str], float] | None:
    """Give what of the lines fits into a box, the first before all, and in which size [pt]."""
    left, top, right, bottom = box
    for points in SIZES:
        for some in (lines, [" ".join(lines)], lines[:1]):
            wide = max(text_width(line, points) for line in some)
            if wide < right - left - 8 and len(some) * (points * DOTS + 2) < bottom - top - 2:
                return some, points
    room = right - left - 8
    if room >= LEAST_NAME and bottom - top > LETTERS * DOTS + 4:
        return [shortened(lines[0], room)], LETTERS
    return None


def _label(draw: ImageDraw, box: Box, lines: list[str]) -> None:
    """Write lines in the middle of a box, as large as fits; leave out what does not."""
    found = _fitting(box, lines)
    if found is None:
        return
    some, points = found
    tall = points * DOTS
    # the lettering's own height has room above the letters
    y = (box[1] + box[3] - len(some) * tall) / 2 - 0.15 * tall
    for line in some:
        write(draw, (box[0] + box[2] - text_width(line, points)) / 2, y, line, points)
        y += tall

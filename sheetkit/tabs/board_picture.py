"""A board drawn to scale: pieces named, waste hatched, bad lengths crossed, left-overs blank. Legible in black and white."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import TYPE_CHECKING

from sheetkit.page import Picture
from sheetkit.results import StockLayout

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw
    from PIL.ImageFont import FreeTypeFont, ImageFont

    from sheetkit.calc.layout import BoardLaid

DOTS = 3
"""Dots of the picture for a point on the page."""
WIDTH = 500.0
"""Width of the longest board's picture on the page [pt]."""
Box = tuple[float, float, float, float]


def board_picture(
    laid: BoardLaid, of: StockLayout, longest: float, row: int, words: Callable[[float], str]
) -> Picture:
    """Give the picture of a board, to the scale at which the longest board fills the page."""
    from PIL import Image, ImageDraw

    board = laid.board
    scale = WIDTH * DOTS / longest
    width, height = round(board.length * scale) + 2, round(board.width * scale) + 2
    image = Image.new("L", (width, height), 255)
    draw = ImageDraw.Draw(image)
    _hatch(draw, (0, 0, width - 1, height - 1))
    for left in laid.left_overs:
        draw.rectangle(
            (left.x * scale, 0, (left.x + left.length) * scale, height - 1), fill=255, outline=0, width=2
        )
        _label(draw, (left.x * scale, 0, (left.x + left.length) * scale, height - 1), ["left over"])
    for spot in board.bad:
        _cross(draw, (spot.x0 * scale, 0, spot.x1 * scale, height - 1))
    for piece in laid.placed:
        box = (
            piece.x * scale,
            piece.y * scale,
            (piece.x + piece.length) * scale,
            (piece.y + piece.width) * scale,
        )
        draw.rectangle(box, fill=238, outline=0, width=3)
        name = of.blanks[int(piece.piece)].of
        _label(draw, box, [name, f"{words(piece.width)} x {words(piece.length)}"])
    draw.rectangle((0, 0, width - 1, height - 1), outline=0, width=4)
    said = io.BytesIO()
    image.save(said, "PNG", optimize=False)
    names = ", ".join(dict.fromkeys(of.blanks[int(piece.piece)].of for piece in laid.placed))
    alt = f"Board {board.id}, {words(board.width)} wide and {words(board.length)} long, cut into: {names}"
    return Picture(said.getvalue(), row, 1, width / DOTS, height / DOTS, alt)


def _hatch(draw: ImageDraw, box: Box) -> None:
    left, top, right, bottom = box
    step = 14
    height = int(bottom - top)
    for start in range(int(left) - height, int(right), step):
        draw.line((start, bottom, start + height, top), fill=170, width=1)


def _cross(draw: ImageDraw, box: Box) -> None:
    left, top, right, bottom = box
    draw.rectangle(box, fill=255, outline=0, width=3)
    draw.line((left, top, right, bottom), fill=0, width=3)
    draw.line((left, bottom, right, top), fill=0, width=3)


def _font(size: int) -> FreeTypeFont | ImageFont:
    from PIL import ImageFont

    return ImageFont.load_default(size)


def _label(draw: ImageDraw, box: Box, lines: list[str]) -> None:
    """Write lines in the middle of a box, as large as fits; leave out what does not."""
    left, top, right, bottom = box
    for size in (26, 22, 18, 15):
        font = _font(size)
        for some in (lines, [" ".join(lines)], lines[:1]):
            widest = max(draw.textlength(line, font=font) for line in some)
            if widest < right - left - 8 and len(some) * size * 1.2 < bottom - top - 4:
                y = (top + bottom - len(some) * size * 1.2) / 2
                for line in some:
                    x = (left + right - draw.textlength(line, font=font)) / 2
                    draw.text((x, y), line, fill=0, font=font)
                    y += size * 1.2
                return

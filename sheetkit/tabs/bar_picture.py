"""Bars side by side, drawn to one scale, with their values in words. Legible in black and white."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from sheetkit.page import Picture
from sheetkit.tabs.drawing import DOTS, THIN, blank, finished, pen, shortened, text_width, write

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw

LINE, GAP = 13.0, 5.0
"""Height of one bar, and room after a group of bars [pt]."""
LONGEST_NAME = 150.0
"""Most room for the name of a bar [pt]."""
SHADES = (70, 205, 140)


class Bar(NamedTuple):
    """A group of bars: its name, a value for each kind (None if not known), and the values in words."""

    name: str
    values: tuple[float | None, ...]
    words: tuple[str, ...]


def bar_picture(
    bars: Sequence[Bar], kinds: Sequence[str], row: int, alt: str, width: float = 460.0
) -> Picture:
    """Return the picture of groups of bars; ``kinds`` names the bars of a group of more than one."""
    each = max(len(kinds), 1)
    head = LINE + 4 if len(kinds) > 1 else 2.0
    height = head + len(bars) * (each * LINE + GAP) + 2
    image = blank(width, height)
    draw = pen(image)
    names = max((text_width(_short(bar.name)) for bar in bars), default=0.0) / DOTS + 10
    said = max((text_width(text) for bar in bars for text in bar.words), default=0.0) / DOTS + 8
    most = max((value for bar in bars for value in bar.values if value is not None), default=0.0)
    scale = max(width - names - said, 40.0) / most if most > 0 else 0.0
    if len(kinds) > 1:
        at = names
        for kind, shade in zip(kinds, SHADES, strict=False):
            _box(draw, (at, 3, at + 10, 12), shade)
            write(draw, (at + 14) * DOTS, DOTS, kind)
            at += 14 + text_width(kind) / DOTS + 16
    top = head
    for bar in bars:
        middle = top + (each * LINE - 11) / 2
        write(draw, 2 * DOTS, middle * DOTS, _short(bar.name))
        for number, (value, words) in enumerate(zip(bar.values, bar.words, strict=True)):
            y = top + number * LINE
            end = names + max(value or 0.0, 0.0) * scale
            if value is not None:
                _box(
                    draw,
                    (names, y + 1.5, max(end, names + 0.7), y + LINE - 1.5),
                    SHADES[number % len(SHADES)],
                )
            write(draw, (end + 4) * DOTS, (y + 1) * DOTS, words)
        top += each * LINE + GAP
    draw.line((names * DOTS, head * DOTS, names * DOTS, (top - GAP) * DOTS), fill=0, width=DOTS)
    return finished(image, row, alt)


def _short(name: str) -> str:
    return shortened(name, LONGEST_NAME * DOTS)


def _box(draw: ImageDraw, box: tuple[float, float, float, float], shade: int) -> None:
    left, top, right, bottom = (edge * DOTS for edge in box)
    draw.rectangle((left, top, right, bottom), fill=shade, outline=0, width=THIN)

"""What every picture shares: dots, line weights, lettering, hatching, arrows. Legible in black and white."""

from __future__ import annotations

import io
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from sheetkit.page import Picture
from sheetkit.tabs.decimals import worded

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageDraw import ImageDraw
    from PIL.ImageFont import FreeTypeFont

DOTS = 3
"""Dots of the picture for a point on the page."""
WIDTH = 500.0
"""Width of a picture that fills the page [pt]."""
THIN, MEDIUM, THICK = 2, 3, 4
"""Weights of lines: marks and arrows, pieces, what holds the pieces [dots]."""
LETTERS = 8.5
"""Size of lettering [pt]."""
SMALL = 6.0
"""Size of the smallest lettering that can still be read at the bench [pt]."""
MOST_SIGNS = 1_000
"""Signs of a text that is wider than any picture."""
LONGEST_WORDS = 200
"""Letters beyond which nothing is looked at: more stand on no picture."""
SHADE = 232
"""Gray of wood that is kept; its outline tells it apart where a printer drops the gray."""
Box = tuple[float, float, float, float]
"""Left, top, right, bottom [dots]."""


@cache
def font(points: float = LETTERS, weight: str = "Semibold") -> FreeTypeFont:
    """Return the lettering; it has the letters of Latin, Greek and Cyrillic names."""
    from PIL import ImageFont

    # Pillow's built-in font knows no letter beyond plain English, and no euro sign
    place = files("font_source_sans_pro") / "files" / f"SourceSansPro-{weight}.ttf"
    # the plain layout is in every build of Pillow, so that a picture is the same everywhere
    plain = ImageFont.Layout.BASIC
    return ImageFont.truetype(io.BytesIO(place.read_bytes()), round(points * DOTS), layout_engine=plain)


def blank(width: float, height: float) -> Image:
    """Return an empty picture of a size on the page [pt]."""
    from PIL import Image

    return Image.new("L", (round(width * DOTS), round(height * DOTS)), 255)


def pen(image: Image) -> ImageDraw:
    """Return what draws on a picture."""
    from PIL import ImageDraw

    return ImageDraw.Draw(image)


def finished(image: Image, row: int, alt: str, column: int = 1, *, grays: bool = True) -> Picture:
    """Return a drawn picture as it is laid over a tab; without grays it prints alike on any printer."""
    if not grays:
        from PIL import Image as images

        # nothing is left to dither, which takes a hundred times as long
        image = image.point(lambda level: 255 if level > 140 else 0).convert("1", dither=images.Dither.NONE)
    out = io.BytesIO()
    image.save(out, "PNG")
    return Picture(out.getvalue(), row, column, image.width / DOTS, image.height / DOTS, worded(alt))


def write(draw: ImageDraw, x: float, y: float, text: str, points: float = LETTERS, fill: int = 0) -> None:
    """Write a text with its top left corner at a place."""
    draw.text((x, y), one_line(text), fill=fill, font=font(points))


def one_line(text: str) -> str:
    """Return a text as it can be drawn: on one line, without signs that have no shape."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in worded(text)).split())


def text_width(text: str, points: float = LETTERS) -> float:
    """Return the width of a text [dots]; of one that no picture has room for, that of its beginning."""
    return font(points).getlength(one_line(text[:MOST_SIGNS]))


def shortened(text: str, room: float, points: float = LETTERS) -> str:
    """Return a text cut so that it fits a width [dots]."""
    if text_width(text, points) <= room:
        return text
    text = text[:LONGEST_WORDS]
    while text and text_width(f"{text}…", points) > room:
        text = text[:-1]
    return f"{text.rstrip()}…" if text else ""


def hatch(draw: ImageDraw, box: Box) -> None:
    """Fill a box with slanting lines that end at its edges."""
    left, top, right, bottom = box
    tall = bottom - top
    for start in range(int(left - tall), int(right), 12):
        first, last = max(start, left), min(start + tall, right)
        if last > first:
            draw.line((first, bottom - (first - start), last, bottom - (last - start)), fill=0, width=1)


def arrow(draw: ImageDraw, left: float, right: float, y: float) -> None:
    """Draw the line that says from where to where a size goes; too short for points, it is a bar."""
    if right - left < 30:
        draw.line((left, y, right, y), fill=0, width=2 * THICK)
        return
    draw.line((left, y, right, y), fill=0, width=THIN)
    for x, way in ((left, 1), (right, -1)):
        draw.polygon([(x, y), (x + way * 14, y - 6), (x + way * 14, y + 6)], fill=0)

"""An elevation to scale: outlines, numbers in circles, grain, dimension lines. Legible in black and white."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from sheetkit.page import Picture
from sheetkit.records.elevations import Elevation, Piece, Seen
from sheetkit.records.job import JobSheet
from sheetkit.tabs.drawing import DOTS, MEDIUM, THIN, WIDTH, blank, finished, pen, text_width, write
from sheetkit.units import length_text

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw

LETTERING = 9.5
"""Size of the sizes, to be read at arm's length [pt]."""
LEFT, RIGHT, TOP = 92.0, 62.0, 20.0
"""Room beside and above the frame: for heights at the left and right, and numbers of uprights [pt]."""
CHAIN, WHOLE = 40.0, 84.0
"""From the frame to the line of heights between, and to that of the whole height [pt]."""
TALL, TALL_SMALL = 250.0, 120.0
"""Greatest height of a frame on its own tab, and where it stands small [pt]."""
ROW = 13.0
"""From one row of sizes to the next [pt]."""
ROUND = 7.0
"""Radius of the circle about a number [pt]."""
TICK = 9
"""Half the length of a tick, to each side [dots]."""
GRAIN = 24
"""From one line of grain to the next [dots]."""


class Scale(NamedTuple):
    """Where a frame stands in its picture: dots for an inch, its left side, its foot."""

    dots: float
    left: float
    foot: float

    def x(self, place: float) -> float:
        """Return where a place from the left is drawn."""
        return self.left + place * self.dots

    def y(self, place: float) -> float:
        """Return where a height above the foot is drawn."""
        return self.foot - place * self.dots


class Label(NamedTuple):
    """A size beside a dimension line: its words, the middle of what it measures, where it stands."""

    words: str
    at: float
    stands: float
    row: int = 0


def elevation_picture(
    seen: Elevation, sheet: JobSheet, row: int, column: int = 1, *, small: bool = False
) -> Picture:
    """Return the picture of a frame from the front, as large as the page or a small place has room for."""
    tall = TALL_SMALL if small else TALL
    dots = min((WIDTH - LEFT - RIGHT) / seen.width, tall / seen.height) * DOTS
    sides, across = _across(seen, sheet, dots)
    below = (_rows(across) * ROW + 33) * DOTS
    high = TOP * DOTS + seen.height * dots
    image = blank(LEFT + RIGHT + seen.width * dots / DOTS, (high + below) / DOTS)
    draw = pen(image)
    scale = Scale(dots, LEFT * DOTS, high)
    for piece in seen.pieces:
        _piece(draw, piece, scale)
    draw.line(
        (scale.left - 10 * DOTS, scale.foot, scale.x(seen.width) + 10 * DOTS, scale.foot),
        fill=0,
        width=MEDIUM,
    )
    circles: list[tuple[int, float, float]] = []
    for number, piece in seen.numbered:
        _named(draw, number, piece, scale, sheet, circles)
    _heights(draw, seen, scale, sheet)
    _widths(draw, seen, sides, across, scale, sheet)
    return finished(image, row, _alt(seen, sheet, small), column, grays=False)


def _alt(seen: Elevation, sheet: JobSheet, small: bool) -> str:
    names = {
        number: f"{piece.name or 'open'} {_size(piece.width, sheet)} x {_size(piece.height, sheet)}"
        for number, piece in seen.numbered
    }
    of = "; ".join(f"{number} {name}" for number, name in list(names.items())[:30])
    size = f"{_size(seen.width, sheet)} wide and {_size(seen.height, sheet)} high in {sheet.unit}"
    return f"{'Small elevation' if small else 'Elevation'} of {seen.name}, {size}: {of}"


def _size(inches: float, sheet: JobSheet) -> str:
    return length_text(inches, sheet.unit, sheet.step)


def _piece(draw: ImageDraw, piece: Piece, scale: Scale) -> None:
    """Draw a piece: its outline, a panel with its grain, an open place with its diagonals."""
    box = (scale.x(piece.left), scale.y(piece.top), scale.x(piece.right), scale.y(piece.bottom))
    left, top, right, bottom = box
    if piece.what is Seen.OPENING:
        draw.rectangle(box, outline=0, width=THIN)
        if right - left > 4 * ROUND * DOTS:
            _dashed(draw, (left, top), (right, bottom))
            _dashed(draw, (left, bottom), (right, top))
        return
    draw.rectangle(box, fill=255, outline=0, width=THIN if piece.what is Seen.PANEL else MEDIUM)
    if piece.what is Seen.PANEL:
        _grain(draw, piece, box)


def _grain(draw: ImageDraw, piece: Piece, box: tuple[float, float, float, float]) -> None:
    """Draw broken lines along the grain, each second one set off."""
    left, top, right, bottom = box
    upright = piece.grain == "up"
    first, last = (left, right) if upright else (top, bottom)
    near, far = (top, bottom) if upright else (left, right)
    for number in range(1, int((last - first) / GRAIN) + 1):
        at = first + number * GRAIN
        if at > last - 6:
            break
        start = near + 12 + (number % 3) * 26
        while start < far - 12:
            stop = min(start + 66, far - 10)
            draw.line((at, start, at, stop) if upright else (start, at, stop, at), fill=0, width=1)
            start += 96


def _dashed(draw: ImageDraw, first: tuple[float, float], last: tuple[float, float]) -> None:
    long = max(abs(last[0] - first[0]), abs(last[1] - first[1]))
    for start in range(0, int(long), 30):
        a, b = start / long, min(start + 14, long) / long
        draw.line(
            [
                (one + (other - one) * share)
                for share in (a, b)
                for one, other in zip(first, last, strict=True)
            ],
            fill=0,
            width=1,
        )


def _named(
    draw: ImageDraw,
    number: int,
    piece: Piece,
    scale: Scale,
    sheet: JobSheet,
    circles: list[tuple[int, float, float]],
) -> None:
    """Write a piece's number in its middle, a panel's size below; uprights above, thin rails at the right."""
    x = scale.x((piece.left + piece.right) / 2)
    y = scale.y((piece.bottom + piece.top) / 2)
    wide, high = piece.width * scale.dots, piece.height * scale.dots
    if piece.what is Seen.UPRIGHT:
        _circled(draw, x, scale.y(piece.top) - (ROUND + 3) * DOTS, number, circles)
        return
    if piece.what is Seen.RAIL:
        if high >= (2 * ROUND + 1) * DOTS:
            _circled(draw, scale.x(piece.left) + 0.28 * wide, y, number, circles)
        return
    words = f"{_size(piece.width, sheet)} x {_size(piece.height, sheet)}"
    fits = text_width(words, LETTERING) + 12 <= wide and high >= (2 * ROUND + ROW + 8) * DOTS
    narrow = wide < ROUND * DOTS and any(number == known for known, _, _ in circles)
    if narrow:
        return
    if piece.what is Seen.PARTITION or not fits:
        _circled(draw, x, y, number, circles)
        return
    _circled(draw, x, y - 0.5 * ROW * DOTS, number, circles)
    half, top = text_width(words, LETTERING) / 2, y + (ROUND - 0.5 * ROW + 2) * DOTS
    draw.rectangle((x - half - 6, top, x + half + 6, top + ROW * DOTS), fill=255)
    write(draw, x - half, top, words, LETTERING)


def _circled(
    draw: ImageDraw, x: float, y: float, number: int, circles: list[tuple[int, float, float]]
) -> None:
    """Write a number in a circle, unless it would touch another: pieces alike share their number."""
    radius = ROUND * DOTS
    if any(math.hypot(x - other, y - height) < 2 * radius + 4 for _, other, height in circles):
        return
    circles.append((number, x, y))
    draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=255, outline=0, width=THIN)
    text = str(number)
    points = LETTERING if len(text) < 3 else 7.0
    write(draw, x - text_width(text, points) / 2, y - points * DOTS * 0.72, text, points)


def _heights(draw: ImageDraw, seen: Elevation, scale: Scale, sheet: JobSheet) -> None:
    """Draw heights between at the left, the whole beyond, every rail's height above the foot at the right."""
    at = scale.left - CHAIN * DOTS
    places = _heights_of(seen)
    for place in places:
        draw.line((at, scale.y(place), scale.left - 13 * DOTS, scale.y(place)), fill=0, width=1)
    _line(draw, [(at, scale.y(place)) for place in places])
    labels = [
        Label(_size(top - bottom, sheet), scale.y((bottom + top) / 2), 0.0)
        for bottom, top in pairwise(places)
    ]
    top, foot = scale.y(places[-1]) - 8 * DOTS, scale.foot + 4 * DOTS
    if len(labels) * ROW * DOTS > foot - top:  # sizes that recur are told once
        first = {label.words: label for label in reversed(labels)}
        labels = sorted(first.values(), key=lambda each: -each.at)
    for label in _apart(_with_room(labels, ROW * DOTS, foot - top), ROW * DOTS, top, foot):
        wide = text_width(label.words, LETTERING)
        x = at - 8 - wide
        if abs(label.stands - label.at) > 12:
            draw.line((at, label.at, x + wide + 3, label.stands), fill=0, width=1)
        write(draw, x, label.stands - LETTERING * DOTS * 0.72, label.words, LETTERING)
    whole = scale.left - WHOLE * DOTS
    _line(draw, [(whole, scale.foot), (whole, scale.y(seen.height))])
    words = _size(seen.height, sheet)
    wide = text_width(words, LETTERING)
    middle = scale.y(seen.height / 2)
    x = max(whole - wide / 2, 1)
    draw.rectangle((x - 3, middle - 7 * DOTS, x + wide + 3, middle + 6 * DOTS), fill=255)
    write(draw, x, middle - LETTERING * DOTS * 0.72, words, LETTERING)
    right = scale.x(seen.width)
    rails = [(number, piece) for number, piece in seen.numbered if piece.what is Seen.RAIL]
    marks = [
        Label(f"{number}: {_size(piece.bottom, sheet)}", scale.y(piece.bottom), 0.0)
        for number, piece in rails
    ]
    marks.sort(key=lambda each: -each.at)
    for label in _apart(_with_room(marks, ROW * DOTS, scale.foot), ROW * DOTS, 0.0, scale.foot):
        draw.line((right + 6, label.at, right + 5 * DOTS, label.at), fill=0, width=THIN)
        draw.line((right + 5 * DOTS, label.at, right + 10 * DOTS, label.stands), fill=0, width=THIN)
        write(draw, right + 11 * DOTS, label.stands - LETTERING * DOTS * 0.72, label.words, LETTERING)


def _across(seen: Elevation, sheet: JobSheet, dots: float) -> tuple[list[float], list[Label]]:
    """Return the places and the sizes of the line below the frame, from side to side of what stands upright.

    A size too close to its neighbor goes lower; where one finds no room only those of the uprights stand
    here, and the list tells the rest.
    """
    for kinds in ((Seen.UPRIGHT, Seen.PARTITION), (Seen.UPRIGHT,)):
        places = _places(
            side for piece in seen.pieces if piece.what in kinds for side in (piece.left, piece.right)
        )
        labels = _labels(places, sheet, dots)
        if labels is not None:
            return places, labels
    return places, []


def _rows(labels: Sequence[Label]) -> int:
    return max((label.row for label in labels), default=0) + 1


def _labels(places: Sequence[float], sheet: JobSheet, dots: float) -> list[Label] | None:
    """Return the sizes between places, None where they find no room."""
    labels: list[Label] = []
    ends = [float("-inf")] * 3
    for near, far in pairwise(places):
        words, at = _size(far - near, sheet), LEFT * DOTS + (near + far) / 2 * dots
        half = text_width(words, LETTERING) / 2
        row = next((row for row, end in enumerate(ends) if at - half > end + 10), None)
        if row is None:
            return None
        ends[row] = at + half
        labels.append(Label(words, at, at, row))
    return labels


def _heights_of(seen: Elevation) -> list[float]:
    lying = [piece for piece in seen.pieces if piece.what is not Seen.PARTITION]
    return _places(side for piece in lying for side in (piece.bottom, piece.top))


def _widths(
    draw: ImageDraw,
    seen: Elevation,
    sides: Sequence[float],
    across: Sequence[Label],
    scale: Scale,
    sheet: JobSheet,
) -> None:
    """Draw the sizes across below the frame, and the whole width below them."""
    at = scale.foot + 12 * DOTS
    _line(draw, [(scale.x(place), at) for place in sides])
    for label in across:
        top = at + (3 + label.row * ROW) * DOTS
        if label.row:
            draw.line((label.at, at, label.at, top + 2 * DOTS), fill=0, width=1)
        wide = text_width(label.words, LETTERING)
        draw.rectangle(
            (label.at - wide / 2 - 2, top + 4, label.at + wide / 2 + 2, top + LETTERING * DOTS * 1.25),
            fill=255,
        )
        write(draw, label.at - wide / 2, top, label.words, LETTERING)
    whole = at + (_rows(across) * ROW + 10) * DOTS
    _line(draw, [(scale.x(0.0), whole), (scale.x(seen.width), whole)])
    words = _size(seen.width, sheet)
    wide, middle = text_width(words, LETTERING), scale.x(seen.width / 2)
    draw.rectangle(
        (middle - wide / 2 - 8, whole - 6 * DOTS, middle + wide / 2 + 8, whole + 6 * DOTS), fill=255
    )
    write(draw, middle - wide / 2, whole - LETTERING * DOTS * 0.72, words, LETTERING)


def _line(draw: ImageDraw, places: Sequence[tuple[float, float]]) -> None:
    """Draw a dimension line with a tick at every place."""
    draw.line([places[0], places[-1]], fill=0, width=THIN)
    for x, y in places:
        draw.line((x - TICK, y + TICK, x + TICK, y - TICK), fill=0, width=MEDIUM)


def _places(sides: Iterable[float]) -> list[float]:
    """Return the places along a line, each once, from the first."""
    found: list[float] = []
    for side in sorted(sides):
        if not found or side - found[-1] > 1e-6:
            found.append(side)
    return found


def _with_room(labels: Sequence[Label], room: float, high: float) -> Sequence[Label]:
    """Return the labels that stand beside one another, the lowest first; the list tells the rest."""
    if len(labels) * room <= high:
        return labels
    kept: list[Label] = []
    for label in labels:
        if not kept or kept[-1].at - label.at >= room:
            kept.append(label)
    return kept


def _apart(labels: Sequence[Label], room: float, top: float, foot: float) -> list[Label]:
    """Move labels that would touch, the lowest first, and keep them above the foot."""
    placed: list[Label] = []
    last = foot + room
    for label in labels:
        last = min(label.at, last - room)
        placed.append(label._replace(stands=last))
    over = top - last
    if over > 0 and placed:  # too high: let them down again from the top
        high = top
        for place in range(len(placed) - 1, -1, -1):
            stands = max(placed[place].stands, high)
            placed[place] = placed[place]._replace(stands=stands)
            high = stands + room
    return placed

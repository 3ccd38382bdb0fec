"""A story stick to scale: numbered marks, what is cut away, curves and tapers. Legible in black and white."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from sheetkit.page import Picture
from sheetkit.records.joinery import SHOULDERS, Mark, Stick
from sheetkit.tabs.drawing import (
    DOTS,
    MEDIUM,
    THICK,
    THIN,
    WIDTH,
    Box,
    arrow,
    blank,
    finished,
    hatch,
    pen,
    text_width,
    write,
)

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw

EDGE = 14.0
"""Room at either end for the first and last number [pt]."""
STUB = 9.0
"""What is drawn of a tenon beyond its shoulder [pt]."""
BODY = 30.0
"""Height of the stick, or of a curve's greatest offset [pt]."""
ROW = 11.0
"""From one row of numbers to the next [pt]."""
MOST_ROWS = 4
VIEW = 72.0
"""Most that a member seen from its end takes up either way [pt]."""


class Label(NamedTuple):
    """A number over a mark: its text, where the mark is, where the number stands, in which row [dots]."""

    text: str
    at: float
    left: float
    row: int


def stick_picture(stick: Stick, row: int, words: str) -> Picture:
    """Return the picture of a stick, its whole length across the page; ``words`` says its length.

    The length is to scale; a curve's offsets are drawn taller than they are, or they could not be seen.
    """
    labels = _labels(stick)
    rows = max((label.row for label in labels), default=0) + 1
    top = (rows * ROW + 6) * DOTS
    view = _view_size(stick)
    image = blank(WIDTH, top / DOTS + BODY + 16 + (view[1] + 26 if view[1] else 0))
    draw = pen(image)
    body = (_x(0.0, stick), top, _x(stick.length, stick), top + BODY * DOTS)
    if stick.kind in ("curve", "taper"):
        _outline(draw, stick, body)
    else:
        _blocks(draw, stick, body)
        _tenons(draw, stick, body)
    for label in labels:
        foot = top + 3 * DOTS
        draw.line((label.at, (label.row + 1) * ROW * DOTS, label.at, foot), fill=0, width=THIN)
        write(draw, label.left, label.row * ROW * DOTS - 4, label.text)
    below = body[3] + 4 * DOTS
    arrow(draw, body[0], body[2], below + 5 * DOTS)
    wide = text_width(words)
    middle = (body[0] + body[2]) / 2
    draw.rectangle((middle - wide / 2 - 9, below, middle + wide / 2 + 9, below + 10 * DOTS), fill=255)
    write(draw, middle - wide / 2, below - 2, words)
    if view[1]:
        _end_view(draw, stick, below + 24 * DOTS, view)
    return finished(image, row, _alt(stick, words), grays=False)


def _alt(stick: Stick, words: str) -> str:
    marks = "; ".join(f"{number} {mark.what}" for number, mark in enumerate(stick.marks[:12], 1))
    more = len(stick.marks) - 12
    return f"Story stick of {', '.join(stick.names)}, {words}. Marks: {marks}" + (
        f"; and {more} more" if more > 0 else ""
    )


def _x(place: float, stick: Stick) -> float:
    room = (WIDTH - 2 * EDGE) * DOTS
    return EDGE * DOTS + place / stick.length * room


def _labels(stick: Stick) -> list[Label]:
    """Write each mark's number; one that would touch its neighbor goes a row up, or on the list alone."""
    labels: list[Label] = []
    ends = [float("-inf")] * MOST_ROWS
    lines: list[float] = []
    numbered = list(enumerate(stick.marks, 1))
    for _, alike in groupby(numbered, key=lambda each: round(each[1].at, 6)):
        here = [number for number, _ in alike]
        text = f"{here[0]}–{here[-1]}" if len(here) > 2 else ", ".join(map(str, here))
        at = _x(stick.marks[here[0] - 1].at, stick)
        wide = text_width(text)
        left = min(max(at - wide / 2, 0.0), WIDTH * DOTS - wide)
        for row in range(MOST_ROWS - 1, -1, -1):
            # the lines of marks below pass through the rows above: a number must not stand on one
            clear = row == MOST_ROWS - 1 or all(abs(line - at) > wide / 2 + 4 for line in lines)
            if left > ends[row] + 5 and clear:
                labels.append(Label(text, at, left, row))
                ends[row] = left + wide
                break
        lines.append(at)
    top = min((label.row for label in labels), default=0)
    return [label._replace(row=label.row - top) for label in labels]


def _blocks(draw: ImageDraw, stick: Stick, body: Box) -> None:
    """Draw the stick with what is cut away (or a run's member) hatched between its marks, to scale too."""
    _, top, _, bottom = body
    draw.rectangle(body, outline=0, width=THICK)
    for mark in stick.marks:
        at = _x(mark.at, stick)
        near, far = _across(mark, stick, top, bottom)
        if mark.joint and mark.until is not None:
            _hatched(draw, (at, near, max(_x(mark.until, stick), at + THICK), far))
        elif mark.across is not None:  # a dowel's hole
            radius = max((far - near) / 2, 2 * THICK)
            middle = (near + far) / 2
            draw.ellipse(
                (at - radius, middle - radius, at + radius, middle + radius), outline=0, width=MEDIUM
            )
            draw.line((at - radius - 6, middle, at + radius + 6, middle), fill=0, width=THIN)
        if "cent" in mark.what or "cutter" in mark.what:
            _dashed(draw, at, top, bottom)
        else:
            draw.line((at, top, at, bottom), fill=0, width=THIN)


def _across(mark: Mark, stick: Stick, top: float, bottom: float) -> tuple[float, float]:
    """Return where something lies across the stick; the edge (on an edge or end, the face) is below."""
    if mark.across is None or not stick.across:
        inset = (bottom - top) * 0.22
        return top + inset, bottom - inset
    near, far = (bottom - min(max(place / stick.across, 0.0), 1.0) * (bottom - top) for place in mark.across)
    return min(near, far), max(near, far)


def _view_size(stick: Stick) -> tuple[float, float]:
    """Return how wide and tall a member is drawn as it is seen from its end [pt]."""
    if stick.section is None:
        return 0.0, 0.0
    width, thickness = stick.section
    scale = min(VIEW / width, VIEW / thickness)
    return width * scale, max(thickness * scale, 2.0)


def _end_view(draw: ImageDraw, stick: Stick, top: float, size: tuple[float, float]) -> None:
    """Draw a member as it is seen from its end, what is cut away hatched; its edge left, its face above."""
    assert stick.section is not None
    wide, tall = size[0] * DOTS, size[1] * DOTS
    left = EDGE * DOTS + text_width("edge") + 12
    top += 10 * DOTS
    draw.rectangle((left, top, left + wide, top + tall), outline=0, width=THICK)
    write(draw, left + (wide - text_width("face")) / 2, top - 11 * DOTS, "face")
    write(draw, left - text_width("edge") - 10, top + tall / 2 - 5 * DOTS, "edge")
    width, thickness = stick.section
    for across, through in stick.cutouts:
        _hatched(
            draw,
            (
                left + max(across[0], 0) / width * wide,
                top + max(through[0], 0) / thickness * tall,
                left + min(across[1], width) / width * wide,
                top + min(through[1], thickness) / thickness * tall,
            ),
        )
    write(draw, left + wide + 24, top + tall / 2 - 5 * DOTS, "seen from the end, to scale")


def _tenons(draw: ImageDraw, stick: Stick, body: Box) -> None:
    """Draw a stub beyond each shoulder: a tenon, whose length is not to scale."""
    left, top, right, bottom = body
    inset, long = (bottom - top) * 0.22, STUB * DOTS
    for mark in stick.marks:
        if mark.what in SHOULDERS:
            near, far = (left - long, left) if mark.what == SHOULDERS[0] else (right, right + long)
            draw.rectangle((near, top + inset, far, bottom - inset), outline=0, width=MEDIUM)


def _dashed(draw: ImageDraw, x: float, top: float, bottom: float) -> None:
    for y in range(int(top), int(bottom), 18):
        draw.line((x, y, x, min(y + 11, bottom)), fill=0, width=THIN)


def _hatched(draw: ImageDraw, box: Box) -> None:
    """Draw a box of what is cut away."""
    draw.rectangle(box, fill=255, outline=0, width=MEDIUM)
    hatch(draw, box)


def _outline(draw: ImageDraw, stick: Stick, body: Box) -> None:
    """Draw a curve over its chord, or a taper from its straight face, with a line at each station."""
    left, top, right, bottom = body
    most = max((mark.offset or 0.0 for mark in stick.marks), default=0.0) or 1.0
    tall = (bottom - top) * (0.6 if stick.kind == "taper" else 0.9)

    def y(mark: Mark) -> float:
        share = (mark.offset or 0.0) / most
        return top + share * tall if stick.kind == "taper" else bottom - share * tall

    line = [(_x(mark.at, stick), y(mark)) for mark in stick.marks]
    if stick.kind == "taper":
        line = [(left, top), *line]
        draw.polygon([*line, (right, bottom), (left, bottom)], outline=0)
    for place in stick.marks:
        draw.line((_x(place.at, stick), y(place), _x(place.at, stick), bottom), fill=0, width=THIN)
        _dashed(draw, _x(place.at, stick), top, y(place))
    draw.line([(left, bottom), (right, bottom)], fill=0, width=THICK)
    draw.line(line, fill=0, width=THICK, joint="curve")
    if stick.kind == "taper":
        draw.line([(left, top), (left, bottom)], fill=0, width=THICK)
        draw.line([line[-1], (right, bottom)], fill=0, width=THICK)

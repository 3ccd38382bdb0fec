"""A board drawn as wide as the page: what is cut from it, numbers of the cuts, a tape. Legible in gray."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil
from typing import TYPE_CHECKING, NamedTuple

from sheetkit.page import Picture
from sheetkit.records.wood import Blank, StockLayout
from sheetkit.tabs.cut_numbers import MARGIN, ROUND, Scale, circles, numbers_of
from sheetkit.tabs.drawing import (
    DOTS,
    LETTERS,
    MEDIUM,
    SHADE,
    SMALL,
    THICK,
    THIN,
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

    from sheetkit.calc.layout import BoardLaid, Cut

WIDTH = 556.0
"""Width of the columns of the tab, in the narrower of the two formats, and so of the page [pt]."""
SIZES = (LETTERS, 7.5, 6.7, SMALL)
"""Sizes of lettering tried in a piece [pt]."""
TALL = (64.0, 190.0)
"""Height of the drawn board, at least and at most [pt]."""
ROW = 10.5
"""Height of a row of positions or names below the board [pt]."""
MOST_ROWS = 4
"""Rows of positions, and of names, at most."""
TICKS = 6.0
"""Length of the tape's longer marks [pt]."""
LONGEST_NAME = 330
"""Most room for one of those names [dots]."""
LEAST_NAME = 110
"""Room in which a long name cut short can still be told from others [dots]."""
TAPE = 7.5
"""Size of the numbers on the tape [pt]."""
FOOT, TEN = 12.0, 100 / 25.4
"""What the tape counts in: feet, or lengths of 100 mm [in]."""


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


def section_letter(number: int) -> str:
    """Return the letter of a section, from A on.

    Examples
    --------
    >>> section_letter(1), section_letter(26), section_letter(27)
    ('A', 'Z', 'AA')
    """
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def board_picture(
    laid: BoardLaid, of: StockLayout, row: int, words: Callable[[float], str], metric: bool
) -> Picture:
    """Return the picture of a board; it fills the width of the page."""
    board = laid.board
    along = (WIDTH * DOTS - 2 * MARGIN) / board.length
    tall = min(max(board.width * along, TALL[0] * DOTS), TALL[1] * DOTS)
    scale = Scale(along, tall / board.width)
    numbers = numbers_of(laid, scale)
    pieces = [
        (
            scale.box(piece.x, piece.y, piece.length, piece.width),
            [_name(of.blanks[int(piece.piece)]), f"{words(piece.width)} x {words(piece.length)}"],
        )
        for piece in laid.placed
    ]
    rooms = [room_of_name(box, numbers) for box, _ in pieces]
    names = rows_below(_slender(pieces, rooms))
    positions = _positions(laid.cuts, scale, words)
    end = scale.y(board.width)
    tape = end + 4 * DOTS
    below = tape + (TICKS + ROW * (1 + len(positions))) * DOTS
    image = blank(WIDTH, (below + (ROW * len(names) + 2) * DOTS) / DOTS)
    draw = pen(image)
    _uncut(draw, laid, scale, words)
    for box, _ in pieces:
        draw.rectangle(box, fill=SHADE, outline=0, width=MEDIUM)
    for n, line in enumerate(names):
        for name in line:
            _point_out(draw, name, below + n * ROW * DOTS)
    for (_, lines), room in zip(pieces, rooms, strict=True):
        write_in(draw, room, lines)
    draw.rectangle(scale.box(0, 0, board.length, board.width), outline=0, width=THICK)
    for section in laid.sections:
        middle = (scale.x(section.x) + scale.x(section.x + section.length)) / 2
        write(draw, middle - 4 * DOTS, 2, section_letter(section.number), 11)
    struck = [x for told in positions for x, *_ in told] + [
        piece.x for row in names for each in row for piece in each.pieces
    ]
    _tape(draw, scale, board.length, tape, FOOT if not metric else TEN, struck)
    _crosscuts(draw, positions, end, tape)
    circles(draw, laid, scale, numbers)
    yields = ", ".join(dict.fromkeys(lines[0] for _, lines in pieces))
    alt = f"Board {board.id}, {words(board.width)} wide and {words(board.length)} long, cut into: {yields}"
    return finished(image, row, alt)


def _name(blank: Blank) -> str:
    return f"{blank.of} (wait)" if blank.provisional else blank.of


def _slender(pieces: Sequence[tuple[Box, list[str]]], rooms: Sequence[Box]) -> list[Slender]:
    """Return the pieces in which name and size do not fit."""
    found = []
    for (box, lines), room in zip(pieces, rooms, strict=True):
        fits = _fitting(room, lines)
        if fits is None or lines[1] not in " ".join(fits[0]):
            y = box[3] - 5 if fits else (box[1] + box[3]) / 2  # no line across its name
            found.append(Slender(", ".join(lines), (box[0] + box[2]) / 2, y))
    return found


def _uncut(draw: ImageDraw, laid: BoardLaid, scale: Scale, words: Callable[[float], str]) -> None:
    """Draw the board as waste, then what is left over and what is bad of it."""
    board = laid.board
    hatch(draw, scale.box(0, 0, board.length, board.width))
    for left in laid.left_overs:
        box = scale.box(left.x, 0, left.length, board.width)
        draw.rectangle(box, fill=255, outline=0, width=THIN)
        write_in(draw, box, ["left over", f"{words(left.width)} x {words(left.clear)}"], 255)
    for spot in board.bad:
        _cross(draw, scale.box(spot.x0, 0, spot.x1 - spot.x0, board.width))


# -- below the board


def _crosscuts(
    draw: ImageDraw, positions: Sequence[Sequence[tuple[float, float, str]]], end: float, tape: float
) -> None:
    """Point at each crosscut from the tape, with its position below."""
    for n, told in enumerate(positions):
        top = tape + (TICKS + ROW * (1 + n)) * DOTS
        for x, start, text in told:
            draw.line((x, end, x, top + 2), fill=0, width=THIN)
            draw.polygon([(x, end), (x - 6, tape), (x + 6, tape)], fill=0)
            write(draw, start, top, text)


def _positions(
    cuts: Sequence[Cut], scale: Scale, words: Callable[[float], str]
) -> list[list[tuple[float, float, str]]]:
    """Return the rows of positions of all crosscuts: where each points, where it stands, and its words."""
    rows: list[list[tuple[float, float, str]]] = []
    ends: list[float] = []
    at = dict.fromkeys(sorted(round(cut.at, 6) for cut in cuts if cut.kind == "crosscut"))
    for place in at:
        x, text = scale.x(place), words(place)
        wide = text_width(text)
        left = min(max(x - wide / 2, 0), WIDTH * DOTS - wide - 2)
        n = next((n for n, taken in enumerate(ends) if left >= taken), len(ends))
        if n == MOST_ROWS:
            continue  # the list of cuts tells it
        if n == len(ends):
            ends.append(0.0)
            rows.append([])
        rows[n].append((x, left, text))
        ends[n] = left + wide + 10
    return rows


def _tape(
    draw: ImageDraw, scale: Scale, length: float, top: float, step: float, lines: Sequence[float]
) -> None:
    """Draw a tape from the end that is trimmed first: a mark and a number at every foot or 100 mm.

    A number through which one of the lines from the board would run is left out.
    """
    draw.line((scale.x(0), top, scale.x(length), top), fill=0, width=THIN)
    parts = 12 if step == FOOT else 10
    finer = 1 if scale.along * step / parts > 4 * DOTS else parts // 2
    count = int(length / step * parts + 1e-6)
    each = ceil(24 * DOTS / (scale.along * step))
    for n in range(0, count + 1, finer):
        x = scale.x(n * step / parts)
        tall = TICKS if n % parts == 0 else TICKS / 2
        draw.line((x, top, x, top + tall * DOTS), fill=0, width=THIN)
        if n and n % (parts * each) == 0:
            text = f"{n // parts} ft" if step == FOOT else f"{n // parts * 100}"
            wide = text_width(text, TAPE)
            left = min(x - wide / 2, WIDTH * DOTS - wide)
            if not any(left - 4 < line < left + wide + 4 for line in lines):
                write(draw, left, top + TICKS * DOTS - 2, text, TAPE)


def rows_below(slender: Sequence[Slender]) -> list[list[Below]]:
    """Return the rows of names below the board; what finds no room at last is left to the list of cuts."""
    rows: list[list[Below]] = []
    left = list(slender)
    while left and len(rows) < MOST_ROWS:
        row = names_below(left)
        told = {piece for name in row for piece in name.pieces}
        rows.append(row)
        rest = [piece for piece in left if piece not in told]
        if len(rest) == len(left):
            break
        left = rest
    return rows


def names_below(slender: Sequence[Slender]) -> list[Below]:
    """Return where the names of slender pieces stand in one row, from the left; near ones alike share a name.

    What finds no room near its piece is left out.
    """
    names: list[Below] = []
    end = 0.0
    for alike in _neighbors(slender):
        name = alike[0].name
        text = shortened(name, LONGEST_NAME)
        wide = text_width(text)
        left = max(sum(piece.x for piece in alike) / len(alike) - wide / 2, 0.0)
        if left < end and names:
            continue
        left = min(left, WIDTH * DOTS - 2 - wide)
        if left < end:
            continue
        names.append(Below(text, left, left + wide, alike))
        end = left + wide + 20
    return names


def _neighbors(slender: Sequence[Slender]) -> list[tuple[Slender, ...]]:
    """Return the pieces from the left, those of one name together while they are near."""
    found: list[list[Slender]] = []
    for piece in sorted(slender, key=lambda piece: piece.x):
        if found and found[-1][-1].name == piece.name and piece.x - found[-1][0].x < LONGEST_NAME:
            found[-1].append(piece)
        else:
            found.append([piece])
    return [tuple(alike) for alike in found]


def _point_out(draw: ImageDraw, name: Below, top: float) -> None:
    """Write a name below the board, with a line to each of its pieces."""
    for piece in name.pieces:
        foot = min(max(piece.x, name.left + 4), name.right - 4)
        draw.line((piece.x, piece.y, foot, top + 4), fill=0, width=THIN)
        draw.ellipse((piece.x - 4, piece.y - 4, piece.x + 4, piece.y + 4), fill=0)
    draw.rectangle((name.left - 4, top, name.right + 4, top + ROW * DOTS), fill=255)
    write(draw, name.left, top, name.name)


# -- on the board


def room_of_name(box: Box, numbers: Sequence[tuple[float, float]]) -> Box:
    """Return the room for lettering in a piece: between the numbers at its ends and, if narrow, beside it."""
    free = ROUND * DOTS + 3
    left, top, right, bottom = box
    low, high = left + free, right - free
    if bottom - top < 4 * free + LETTERS * DOTS:
        for x, y in numbers:
            if left < x < right and top - free < y < bottom + free:
                low, high = (
                    (max(low, x + free), high) if x < (left + right) / 2 else (low, min(high, x - free))
                )
    return low, top, high, bottom


def _cross(draw: ImageDraw, box: Box) -> None:
    left, top, right, bottom = box
    draw.rectangle(box, fill=255, outline=0, width=MEDIUM)
    draw.line((left, top, right, bottom), fill=0, width=MEDIUM)
    draw.line((left, bottom, right, top), fill=0, width=MEDIUM)


def _fitting(box: Box, lines: list[str]) -> tuple[list[str], float] | None:
    """Return what of the lines fits into a box, the first before all, and in which size [pt]."""
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


def write_in(draw: ImageDraw, box: Box, lines: list[str], ground: int = SHADE) -> None:
    """Write lines in the middle of a box, as large as fits, over what is drawn; leave out what does not."""
    found = _fitting(box, lines)
    if found is None:
        return
    some, points = found
    tall = points * DOTS
    # the lettering's own height has room above the letters
    y = (box[1] + box[3] - len(some) * tall) / 2 - 0.15 * tall
    for line in some:
        wide = text_width(line, points)
        left = (box[0] + box[2] - wide) / 2
        high, low = max(y + 0.25 * tall, box[1] + MEDIUM), min(y + 1.25 * tall, box[3] - MEDIUM)
        draw.rectangle((left - 3, high, left + wide + 3, low), fill=ground)
        write(draw, left, y, line, points)
        y += tall

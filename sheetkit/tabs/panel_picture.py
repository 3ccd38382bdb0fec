"""A panel's edges in their grooves, to scale, at the driest, now and wettest. Legible in black and white."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from sheetkit.page import Picture
from sheetkit.plan.shop import moistures_seen
from sheetkit.records.job import JobSheet
from sheetkit.records.units import Units
from sheetkit.records.wood import PanelAnswer
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
    arrow,
    blank,
    finished,
    hatch,
    pen,
    shortened,
    text_width,
    write,
)
from sheetkit.units import FINEST, length_text, rounded_down, rounded_up

if TYPE_CHECKING:
    from PIL.Image import Image

CELL = round(WIDTH * DOTS / 3)
"""Width of the section at one state [dots]."""
DEPTH = 138
"""Depth of the groove as it is drawn; everything along it is to this scale [dots]."""
BOTTOM = 50
"""From the side of a section to the bottom of its groove [dots]."""
MARGIN = 12
"""Left blank at either side of a section [dots]."""
BROKEN = 24
"""Middle of the panel that is left out [dots]."""
HEADS, TOP, CHEEK = 40, 80, 30
"""From the top to the names of the states, and to the section; wood beside the groove [dots]."""
GROOVE = (24, 54)
"""Least and greatest width of a groove as it is drawn [dots]."""
PROVISIONAL = "provisional: do not cut"


class State(NamedTuple):
    """How a panel stands in its groove at one moisture."""

    name: str
    moisture: float
    gap: float
    """From the panel's edge to the bottom of the groove, each side [in]."""


class Section(NamedTuple):
    """What is drawn of a panel; equal sections look alike."""

    through: str
    """What is cut through: stiles or rails."""
    depth: float
    """Depth of the groove [in]."""
    states: tuple[State, ...]
    groove: int
    """Width of the groove as it is drawn [dots]."""
    fills: float
    """Share of the groove's width that the edge of the panel fills."""
    measured: bool

    def edge(self, state: State) -> int:
        """Return how far from the side of the section the panel's edge is drawn [dots]."""
        out = (CELL - BROKEN) // 2 - 12
        return min(max(BOTTOM + round(state.gap / self.depth * DEPTH), BOTTOM), out)


class Label(NamedTuple):
    """A piece of lettering: its words, its top left corner [dots], its size [pt]."""

    words: str
    x: float
    y: float
    points: float = LETTERS

    @property
    def box(self) -> Box:
        """The room that it takes."""
        return self.x, self.y, self.x + text_width(self.words, self.points), self.y + self.points * DOTS * 1.3


def section(found: PanelAnswer, sheet: JobSheet) -> Section:
    """Return what is drawn of a panel: the edges across its grain, which come and go with the seasons."""
    panel = found.panel
    across = panel.grain == "across"
    depth = panel.groove_ends if across else panel.groove_sides
    driest, wettest = moistures_seen(sheet)
    states = (
        State("driest", driest, depth - found.bearing),
        State("now", sheet.moisture_now or 0.0, found.gap),
        State("wettest", wettest, found.clearance),
    )
    wide = panel.groove_width or panel.thickness
    groove = round(min(max(wide / depth * DEPTH, GROOVE[0]), GROOVE[1]))
    fills = min(panel.thickness / wide, 1.0)
    return Section("rails" if across else "stiles", depth, states, groove, fills, found.measured)


def panel_picture(seen: Section, names: Sequence[str], sheet: JobSheet, row: int, column: int = 1) -> Picture:
    """Return the picture of the panels that look alike, the three states side by side.

    It is to scale along the depth of the groove; the middle of the panel is left out.
    """
    foot = _foot(seen)
    image = blank(WIDTH, (foot + 60) / DOTS)
    draw = pen(image)
    for number, state in enumerate(seen.states):
        left = number * CELL
        half = _half(seen, state)
        image.paste(half, (left, TOP))
        image.paste(_mirrored(half), (left + CELL // 2, TOP))
        for x in (left + (CELL - BROKEN) // 2, left + (CELL + BROKEN) // 2):
            draw.line((x + 6, TOP + CHEEK - 8, x - 6, foot - CHEEK + 8), fill=0, width=THIN)
        edge, face, right = left + seen.edge(state), left + BOTTOM + DEPTH, left + CELL
        if edge < face:
            _span(image, edge, face, foot)
        if edge > left + BOTTOM:
            _span(image, left + right - edge, right - BOTTOM, foot)
    for label in lettering(seen, names, sheet):
        if label.words == PROVISIONAL:
            # a little below the top, or a line of it would show at the foot of the page before
            draw.rectangle((label.x - 10, 3, WIDTH * DOTS - 1, 37), fill=0)
        write(draw, label.x, label.y, label.words, label.points, 255 if label.words == PROVISIONAL else 0)
    return finished(image, row, _alt(seen, names, sheet), column)


def lettering(seen: Section, names: Sequence[str], sheet: JobSheet) -> list[Label]:
    """Return all lettering of the picture, each where it stands clear of the rest."""
    labels = []
    room = WIDTH * DOTS
    if not seen.measured:
        room -= text_width(PROVISIONAL) + 20
        labels.append(Label(PROVISIONAL, room + 10, 2))
    unit = Units.of(sheet).either("inches", "mm")
    what = f": cut through both {seen.through}, to scale along the groove, in {unit}"
    name = shortened(", ".join(names), room - text_width(what) - 12)
    labels.append(Label(f"{name}{what}", 2, 0))
    low = _foot(seen) + 26
    for number, state in enumerate(seen.states):
        left, middle, right = number * CELL, number * CELL + CELL // 2, (number + 1) * CELL
        head = f"{state.name}, wood at {state.moisture:.1f} %"
        labels.append(Label(head, middle - text_width(head) / 2, HEADS))
        edge, face = left + seen.edge(state), left + BOTTOM + DEPTH
        bears, gap = _words(seen, state, sheet)
        labels.append(_under(bears, (edge + face) / 2, left + MARGIN, middle - 6, low))
        labels.append(_under(gap, left + right - (edge + left + BOTTOM) / 2, middle + 6, right - MARGIN, low))
    return labels


def _foot(seen: Section) -> int:
    """Return where the section ends [dots]."""
    return TOP + 2 * CHEEK + seen.groove


def _words(seen: Section, state: State, sheet: JobSheet) -> tuple[str, str]:
    """Say how far the panel stands in the groove, and the gap at its bottom, neither larger than it is."""
    step = FINEST[sheet.unit]
    bearing = seen.depth - state.gap
    in_it = f"in groove {length_text(rounded_down(bearing, step), sheet.unit)}"
    if bearing <= 0:
        in_it = f"out by {length_text(rounded_up(-bearing, step), sheet.unit)}"
    below = f"gap {length_text(rounded_down(state.gap, step), sheet.unit)}"
    if state.gap < -1e-7:
        below = f"too wide by {length_text(rounded_up(-state.gap, step), sheet.unit)}"
    return in_it, below


def _under(words: str, middle: float, left: float, right: float, y: float) -> Label:
    """Return a label under the middle of a span, moved and made smaller to stay between two places."""
    points = next((size for size in (LETTERS, 7.0) if text_width(words, size) <= right - left), SMALL)
    wide = text_width(words, points)
    return Label(words, min(max(middle - wide / 2, left), right - wide), y, points)


def _half(seen: Section, state: State) -> Image:
    """Draw the left member with the panel's edge in its groove, up to the middle of the opening."""
    tall, face = 2 * CHEEK + seen.groove, BOTTOM + DEPTH
    image = blank(CELL / 2 / DOTS, tall / DOTS)
    draw = pen(image)
    hatch(draw, (MARGIN, 0, face - 1, tall - 1))
    # every line lies in the wood that it bounds, so that gaps and bearings are drawn to the dot
    for line in (
        (MARGIN, 0, face - 1, THICK - 1),
        (MARGIN, tall - THICK, face - 1, tall - 1),
        (face - THICK, 0, face - 1, tall - 1),
        (BOTTOM - THICK, CHEEK - THICK, face - 1, tall - CHEEK + THICK - 1),
    ):
        draw.rectangle(line, fill=0)
    draw.rectangle((BOTTOM, CHEEK, face - 1, tall - CHEEK - 1), fill=255)
    thin = min(round(seen.groove * (1 - seen.fills) / 2), (seen.groove - 2 * MEDIUM) // 2)
    edge, end = seen.edge(state), (CELL - BROKEN) // 2
    draw.rectangle((edge, CHEEK + thin, CELL, tall - CHEEK - thin - 1), fill=SHADE, outline=0, width=MEDIUM)
    draw.rectangle((end, CHEEK, CELL, tall - CHEEK), fill=255)
    return image


def _mirrored(image: Image) -> Image:
    from PIL import ImageOps

    return ImageOps.mirror(image)


def _span(image: Image, first: float, last: float, foot: int) -> None:
    """Draw a size below the section, with lines down to it from where it is taken."""
    draw = pen(image)
    for x in (first, last - 1):
        draw.line((x, foot + 5, x, foot + 23), fill=0, width=THIN)
    arrow(draw, first, last - 1, foot + 16)


def _alt(seen: Section, names: Sequence[str], sheet: JobSheet) -> str:
    unit = sheet.unit
    said = "; ".join(
        f"{state.name} ({state.moisture:.1f} %) "
        f"{' and '.join(f'{words} {unit}' for words in _words(seen, state, sheet))}"
        for state in seen.states
    )
    whole = f"Panel {', '.join(names)} in its grooves, cut through both {seen.through}. Each side: {said}"
    return whole if seen.measured else f"{whole}. {PROVISIONAL.capitalize()}"

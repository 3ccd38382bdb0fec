"""Elevations: every frame as seen from the front, from what was typed alone, and what does not close."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from sheetkit.plan.entries import Entered, Entry, by_part, entries
from sheetkit.plan.frames import Frame, Rail, frames
from sheetkit.plan.notes import Names, counted, listed, name_key
from sheetkit.plan.openings import rails_listed
from sheetkit.plan.places import is_groove
from sheetkit.plan.shop import Shop
from sheetkit.plan.spacing import SLACK, runs_by_name
from sheetkit.records.elevations import Elevation, Piece, Seen
from sheetkit.records.job import Panel, Part
from sheetkit.records.joinery import JointAnswer, RunAnswer, Span
from sheetkit.records.notes import Notes
from sheetkit.units import sizes_from_text


class Standing(NamedTuple):
    """A rail at one of its heights."""

    bottom: float
    top: float
    rail: Rail
    place: int
    """Which of its places along the upright, counted from the reference end."""

    @property
    def part(self) -> Part:
        """The part that the rail is."""
        return self.rail.part

    def takes(self, entry: Entry) -> bool:
        """Return whether what enters the part is in this rail; rails of one frame are numbered in order."""
        numbered = self.part.qty == len(self.rail.at_left)
        return entry.into.row == self.part.row and (not numbered or self.place in entry.pieces)


class Bay(NamedTuple):
    """The room between two rails, one above the other, and what divides it."""

    upper: Part
    lower: Part
    bottom: float
    top: float
    left: float
    right: float
    dividers: tuple[Piece, ...]
    run: str
    """Name of the run that places them, as names are compared; empty when none does."""

    @property
    def cells(self) -> list[Span]:
        """The openings from left to right."""
        sides = [
            self.left,
            *(side for piece in self.dividers for side in (piece.left, piece.right)),
            self.right,
        ]
        return [(near, far) for near, far in zip(sides[::2], sides[1::2], strict=True) if far - near > SLACK]


class Typed(NamedTuple):
    """What the maker typed of frames."""

    entered: Entered
    runs: Sequence[RunAnswer]
    panels: Sequence[Panel]
    named: Mapping[int, Sequence[Part]]
    """Row of a panel -> the parts that it names in Rails."""
    grooved: Mapping[int, frozenset[int]]
    """Row of a panel -> rows of the parts that are grooved for it."""

    def between(self, panel: Panel, rows: set[int]) -> bool:
        """Return whether a panel names two rails, or else is grooved into them."""
        named = self.named[panel.row]
        if named:
            return {part.row for part in named} == rows
        return rows <= self.grooved.get(panel.row, frozenset())

    def entering(self, part: Part, rail: Standing) -> list[Entry]:
        """Return where a part enters a rail that stands, each place once, in order."""
        there = {(e.near, e.far): e for e in self.entered.get(part.row, ()) if rail.takes(e)}
        return [there[place] for place in sorted(there)]


@dataclass
class View:
    """A frame while it is being drawn up."""

    frame: Frame
    typed: Typed
    from_top: bool
    shop: Shop
    on: Mapping[str, Notes]
    pieces: list[Piece] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def up(self, near: float, far: float, upright: Part) -> Span:
        """Return bottom and top of what stands between two places along an upright."""
        return (upright.length - far, upright.length - near) if self.from_top else (near, far)

    def say(self, tab: str, code: str, row: int, column: str, stands: float | str, **words: object) -> None:
        """Say what does not close, beside its row and under the drawing; numbers are sizes."""
        told = {
            name: self.size(word) if isinstance(word, int | float) else word for name, word in words.items()
        }
        stands = stands if isinstance(stands, str) else self.size(stands)
        self.on[tab].add(code, row, column, stands, **told)
        self.remarks.append(self.on[tab].told[-1].says)

    def size(self, inches: float) -> str:
        """Write a size to the job's step."""
        return self.shop.in_steps(inches)

    def unlike(self, one: float, other: float) -> bool:
        """Return whether two sizes differ by more than a rounding to the job's step."""
        return abs(one - other) > self.shop.sheet.step / 2 + SLACK


def elevations(
    shop: Shop,
    names: Names,
    runs: Sequence[RunAnswer],
    joints: Sequence[JointAnswer],
    on: Mapping[str, Notes],
) -> tuple[Elevation, ...]:
    """Return every frame that Joints tells, seen from the front; a rail without a place stands on none."""
    grooved: dict[int, frozenset[int]] = {}
    for answer in joints:
        if is_groove(answer.joint) and isinstance(answer.from_part, Panel):
            row = answer.from_part.row
            grooved[row] = grooved.get(row, frozenset()) | {cavity.part.row for cavity in answer.cavities}
    panels = shop.job.panels
    named = {
        panel.row: [part for word in rails_listed(panel) if (part := names.part(word))] for panel in panels
    }
    typed = Typed(by_part(entries(joints)), runs, panels, named, grooved)
    found = frames(typed.entered, named.values(), grooved.values())
    told = [_top_by_rails(frame, typed) for frame in found]
    usual = {top for top in told if top is not None} != {False}
    views = [
        View(frame, typed, _reference_at_top(frame, usual) if top is None else top, shop, on)
        for frame, top in zip(found, told, strict=True)
    ]
    return tuple(_as_it_stands(_elevation(view), shop) for view in views)


def _as_it_stands(seen: Elevation, shop: Shop) -> Elevation:
    """Return a frame laid down where it fits within Outside size on Job in no other way."""
    outside = sizes_from_text(shop.sheet.outside_size, shop.sheet.unit)
    if len(outside) != 3:
        return seen
    width, _, height = (size + shop.sheet.step for size in outside)
    fits = seen.width <= width and seen.height <= height
    return seen.laid() if not fits and seen.height <= width and seen.width <= height else seen


def _elevation(view: View) -> Elevation:
    frame = view.frame
    left, right = frame.left, frame.right
    long = max(rail.part.length for rail in frame.rails)
    view.pieces += [
        Piece(Seen.UPRIGHT, entry.into.part, at, 0.0, entry.width_seen, entry.into.length, "up")
        for at, entry in ((0.0, left), (left.width_seen + long, right))
    ]
    for rail in frame.rails:
        _rail(view, rail, long)
    bays = list(_bays(view))
    view.pieces += [divider for bay in bays for divider in bay.dividers]
    for bay in bays:
        _fill(view, bay)
    name = " · ".join(dict.fromkeys(rail.part.part for rail in frame.rails))
    width, height = view.pieces[1].right, max(left.into.length, right.into.length)
    remarks = tuple(dict.fromkeys(view.remarks))
    return Elevation(name, frame.rails[0].frames, width, height, tuple(view.pieces), view.from_top, remarks)


def _top_by_rails(frame: Frame, typed: Typed) -> bool | None:
    """Return whether uprights count from the top, as a panel's Rails, upper first, tell; None: untold."""
    for panel in typed.panels:
        rails = [frame.rail(part) for part in typed.named[panel.row]]
        if len(rails) == 2 and rails[0] and rails[1] and rails[0].at_left != rails[1].at_left:
            return rails[0].at_left < rails[1].at_left
    return None


def _reference_at_top(frame: Frame, usual: bool) -> bool:
    """Return whether uprights that no Rails tell of count from the top.

    Legs of unlike lengths stand on one floor, and count from where they close. Else as ``usual`` in this job:
    one maker marks all from the same end.
    """
    rail = frame.rails[0]
    drop = frame.left.into.length - frame.right.into.length
    lean = rail.at_left[0][0] - rail.at_right[0][0]
    if abs(drop) <= SLACK:
        return usual
    return abs(drop - lean) <= abs(lean)


def _rail(view: View, rail: Rail, long: float) -> None:
    part, left, right = rail.part, rail.left.into, rail.right.into
    if view.unlike(part.length, long):
        other = next(each.part for each in view.frame.rails if each.part.length == long)
        words = {"rail": part.part, "other": other.part, "length": part.length, "long": long}
        view.say("Joints", "frame-lengths", rail.row, "from_part", part.part, **words)
    for place, (near, far) in enumerate(rail.at_left):
        bottom, top = view.up(near, far, left)
        if place < len(rail.at_right):
            there = view.up(*rail.at_right[place], right)[0]
            if view.unlike(bottom, there):
                stand = {"rail": part.part, "left": left.part, "right": right.part}
                view.say("Joints", "frame-heights", rail.row, "at", there, **stand, here=bottom, there=there)
        view.pieces.append(
            Piece(Seen.RAIL, part.part, rail.left.width_seen, bottom, part.length, top - bottom, "across")
        )


def _bays(view: View) -> Iterator[Bay]:
    """Yield the rooms between rails, the lowest first, with the partitions that stand in each."""
    standing = [
        Standing(*view.up(*span, rail.left.into), rail, place)
        for rail in view.frame.rails
        for place, span in enumerate(rail.at_left, 1)
    ]
    standing.sort(key=lambda each: each[:2])
    for lower, upper in pairwise(standing):
        bottom, top = lower.top, upper.bottom
        if top - bottom <= SLACK:
            continue
        left, high = view.frame.left.width_seen, top - bottom
        run, placed = _placed(view, lower, upper)
        for part in dict.fromkeys(part for part, _, _ in placed if part):
            _fits(view, part, lower, upper, high)
        dividers = [
            Piece(Seen.PARTITION, name, left + near, bottom, far - near, high, "up")
            for _, name, (near, far) in placed
        ]
        dividers.sort(key=lambda piece: piece.left)
        right = left + min(lower.part.length, upper.part.length)
        key = "" if run is None else name_key(run.name)
        yield Bay(upper.part, lower.part, bottom, top, left, right, tuple(dividers), key)


def _placed(
    view: View, lower: Standing, upper: Standing
) -> tuple[RunAnswer | None, list[tuple[Part | None, str, Span]]]:
    """Return the run between two rails and what stands between them: part, name and place along them."""
    parts = _partitions(view.typed, lower, upper)
    run = _run_of(view.typed, parts, lower.part, upper.part)
    placed: list[tuple[Part | None, str, Span]] = []
    if run is not None:
        _against_rails(view, run, (lower.rail, upper.rail))
        placed += [(run.part, run.part.part if run.part else run.name, span) for span in run.sides]
    for part in (part for part in parts if run is None or part != run.part):
        placed += [(part, part.part, span) for span in _along(view, part, lower, upper)]
    return run, placed


def _partitions(typed: Typed, lower: Standing, upper: Standing) -> list[Part]:
    """Return the parts that enter both rails, or the one rail that stands there twice."""
    return [
        there[0].part
        for there in typed.entered.values()
        if any(map(lower.takes, there)) and any(map(upper.takes, there))
    ]


def _run_of(typed: Typed, parts: Sequence[Part], lower: Part, upper: Part) -> RunAnswer | None:
    """Return the run between two rails: as a panel there names it, else a partition's, nearest in length."""
    known = runs_by_name(typed.runs)
    for panel in typed.panels:
        run = known.get(name_key(panel.run)) if panel.run else None
        if run is not None and run.sides and typed.between(panel, {lower.row, upper.row}):
            return run
    own = [run for run in typed.runs if run.part in parts and run.sides]
    return min(own, key=lambda run: abs(run.between - lower.length), default=None)


def _along(view: View, part: Part, lower: Standing, upper: Standing) -> list[Span]:
    """Return where a partition stands along the lower rail, and say where the upper one has it elsewhere."""
    below, above = view.typed.entering(part, lower), view.typed.entering(part, upper)
    for one, other in zip(below, above, strict=False):
        if view.unlike(one.near, other.near):
            words = {"part": part.part, "lower": lower.part.part, "here": one.near, "upper": upper.part.part}
            view.say("Joints", "frame-leans", other.row, "at", other.near, **words, there=other.near)
    return [(entry.near, entry.far) for entry in below]


def _fits(view: View, part: Part, lower: Standing, upper: Standing, room: float) -> None:
    """Hold a partition's length against the room between its rails, where Joints says it enters them."""
    entering = view.typed.entering(part, upper)
    housed = sum(each.housed for rail in (upper, lower) for each in view.typed.entering(part, rail)[:1])
    if entering and view.unlike(part.length, room) and view.unlike(part.length, room + housed):
        rails = listed([upper.part.part, lower.part.part])
        words = {"part": part.part, "length": part.length, "room": room, "rails": rails}
        view.say("Joints", "frame-room", entering[0].row, "from_part", part.part, **words)


def _against_rails(view: View, run: RunAnswer, rails: Iterable[Rail]) -> None:
    for rail in rails:
        if view.unlike(run.between, rail.part.length):
            words = {"run": run.name, "rail": rail.part.part, "length": rail.part.length}
            view.say(
                "Spacing", "frame-run", run.run.row, "between", run.between, **words, between=run.between
            )
            return


def _fill(view: View, bay: Bay) -> None:
    """Put the panels in the openings of their bay, from the left in row order; say what is left over."""
    rows, count = {bay.upper.row, bay.lower.row}, view.frame.rails[0].frames
    here = [panel for panel in view.typed.panels if _belongs(view.typed, panel, bay, rows)]
    stand = sum(max(1, panel.qty // count) for panel in here)
    queue = (panel for panel in here for _ in range(max(1, panel.qty // count)))
    for left, right in bay.cells:
        _cell(view, bay, left, right, next(queue, None))
    told_on_panels = bay.run and any(name_key(panel.run) == bay.run for panel in here)
    if stand and stand != len(bay.cells) and not told_on_panels:
        last = here[-1]
        words = {"panels": counted(stand, "panel"), "openings": counted(len(bay.cells), "opening")}
        rails = {"upper": bay.upper.part, "lower": bay.lower.part}
        view.say("Panels", "frame-panels", last.row, "qty", str(last.qty), **words, **rails)


def _belongs(typed: Typed, panel: Panel, bay: Bay, rows: set[int]) -> bool:
    """Return whether a panel stands in a bay: by its Rails or the grooves in both rails, else by its run."""
    if typed.named[panel.row] or not panel.run:
        return typed.between(panel, rows)
    return name_key(panel.run) == bay.run


def _cell(view: View, bay: Bay, left: float, right: float, panel: Panel | None) -> None:
    """Draw one opening, with its panel where there is one, and hold the planned size against it."""
    width, height = right - left, bay.top - bay.bottom
    if panel is None:
        view.pieces.append(Piece(Seen.OPENING, "", left, bay.bottom, width, height))
        return
    view.pieces.append(Piece(Seen.PANEL, panel.panel, left, bay.bottom, width, height, panel.grain))
    for which, planned, drawn, told in (
        ("width", panel.opening_width, width, bool(panel.run)),
        ("height", panel.opening_height, height, bool(panel.rails)),
    ):
        if planned is not None and not told and view.unlike(planned, drawn):
            words = {"panel": panel.panel, "which": which, "planned": planned, "drawn": drawn}
            view.say("Panels", "frame-opening", panel.row, f"opening_{which}", planned, **words)

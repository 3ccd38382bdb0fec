"""Where a joint sits: on which pieces and surfaces of the parts that take it, and from where to where."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sheetkit.calc.boxes import SIDES, centered, sunk
from sheetkit.plan.sections import Opening, groove_openings, is_leg_like, openings, zero_of
from sheetkit.plan.shop import Shop
from sheetkit.records.job import Joint, Part
from sheetkit.records.joinery import Cavity, RunAnswer, Span
from sheetkit.records.notes import Notes

NEAR_END = 1 / 3
"""A mortise within this share of its part stands near an end, and has its like at the other one."""
SLACK = 1e-9
WHAT = {
    "tenon": "mortise", "loose tenon": "mortise", "dowel": "hole",
    "groove": "groove", "stopped groove": "groove",
    "hardware": "recess",
}  # fmt: skip
"""What each kind of joint has cut in the part that takes it."""


class Seat(NamedTuple):
    """How many there are of a joint, and on which pieces of each part that takes it."""

    qty: int
    pieces: tuple[tuple[int, ...], ...]
    """One of each part, in the order of Into."""


def size_of(part: Part) -> tuple[float, float, float]:
    """Return the sizes of a part as a box: along, across its face, and through it [in]."""
    return part.length, part.width, part.thickness


def is_groove(joint: Joint) -> bool:
    """Return whether a joint is a groove, stopped or not."""
    return WHAT[joint.kind] == "groove"


def ways_into(joint: Joint, part: Part) -> tuple[Opening, ...]:
    """Return the ways in which a joint may lie in its part: one a surface named, else as the sizes tell."""
    if not joint.on:
        ways = groove_openings(part, joint.depth_into) if is_groove(joint) else openings(part)
        return tuple(way._replace(across=None) for way in ways) if joint.lies == "across" else ways
    size = size_of(part)
    return tuple(
        Opening(size[side.into], None if joint.lies == "across" else size[side.across], "")
        for side in (SIDES[name] for name in joint.on)
    )


def surfaces_of(joint: Joint, part: Part) -> tuple[str, ...]:
    """Return the surfaces that a joint is in: those named, else the one its kind and the sizes tell."""
    if joint.on:
        return joint.on
    deep = ways_into(joint, part)[0].deep
    edge = abs(deep - part.width) < SLACK and not is_leg_like(part)
    return ("edge" if edge or (is_groove(joint) and is_leg_like(part)) else "face",)


def seat(joint: Joint, parts: Sequence[Part], run: RunAnswer | None, notes: Notes) -> Seat:
    """Return on which pieces a joint is, and how many of it that makes; what disagrees is said."""
    places = (len(run.centers) if run else len(joint.at)) or 1
    each = places * max(1, len(joint.on))
    chosen = []
    for part in parts:
        beyond = [piece for piece in joint.pieces if piece > part.qty]
        if beyond:
            words = {"part": part.part, "qty": part.qty, "piece": beyond[0]}
            notes.add("piece-beyond", joint.row, "pieces", beyond[0], **words)
        everyone = range(1, part.qty + 1)
        chosen.append(tuple(piece for piece in joint.pieces or everyone if piece in everyone))
    whole = each * sum(map(len, chosen))
    told = bool(joint.on or joint.pieces or run or len(joint.at) > 1 or len(parts) > 1)
    if joint.qty is None:
        return Seat(whole if told and whole else 1, tuple(chosen))
    if joint.qty < whole and not joint.pieces and parts and joint.qty % (each * len(parts)) == 0:
        has = joint.qty // (each * len(parts))
        for part in parts:
            which = "1" if has == 1 else f"1-{has}"
            notes.remark(
                joint.row,
                f"Taken as on {which} of the {part.qty} pieces of {part.part}: Pieces can say on which.",
            )
        return Seat(joint.qty, tuple(pieces[:has] for pieces in chosen))
    long = joint.thickness if joint.lies == "across" else joint.width or 0.0
    one = len(joint.at) == 1 and joint.qty == 2 * whole
    pair = one and (
        all(_near_one_end(joint, part, joint.at, long) for part in parts) or not _sided(joint, parts)
    )
    if told and whole and joint.qty != whole and not pair:
        words = {"qty": joint.qty, "count": whole, "each": each, "pieces": whole // each}
        notes.add("joint-count", joint.row, "qty", joint.qty, **words)
        return Seat(whole, tuple(chosen))
    return Seat(joint.qty, tuple(chosen))


def _near_one_end(joint: Joint, part: Part, at: Sequence[float], extent: float) -> bool:
    """Return whether one place is given, so near an end that a second would be near the other, alike."""
    on_end = any(name in ("end", "far end") for name in joint.on)
    return (
        len(at) == 1 and not joint.at_run and not on_end and at[0] + extent <= part.length * NEAR_END + SLACK
    )


def _sided(joint: Joint, parts: Sequence[Part]) -> bool:
    """Return whether it is known in which sides of its parts a joint is: of a leg only by On."""
    return bool(joint.on) or not any(map(is_leg_like, parts))


def starts(
    joint: Joint, part: Part, at: Sequence[float], extent: float, each: float, shop: Shop, notes: Notes
) -> tuple[float, ...]:
    """Return where a joint begins along its surface, and its mirror image when ``each`` piece takes two.

    Along the part it counts from the reference end, shoulder to shoulder when it has tenons; on an end, from
    the edge. What lies past the other end is left out.
    """
    on_end = any(name in ("end", "far end") for name in joint.on)
    room = part.width if on_end else part.length
    if not at:
        return (centered(room, extent)[0],) if on_end else ()
    past = [place for place in at if place + extent > room + SLACK]
    if past:
        past_the_end(joint, part, past[0], past[0] + extent, room, shop, notes)
    kept = tuple(place for place in at if place not in past)
    twice = each >= 2 * max(1, len(joint.on)) and _sided(joint, [part])
    if not (kept and twice and _near_one_end(joint, part, at, extent)):
        return kept
    measured = ", measured from the shoulders" if any(part.tenons) else ""
    notes.remark(joint.row, f"Two for each {part.part}: taken as one near each end, alike{measured}.")
    return (kept[0], part.length - kept[0] - extent)


def past_the_end(
    joint: Joint, part: Part, start: float, stop: float, room: float, shop: Shop, notes: Notes
) -> None:
    """Note that a mortise or groove lies past the end of its part, or its shoulder when it has tenons."""
    on_end = room != part.length
    zero, most = "far edge" if on_end else f"far {zero_of(part)}", room - (stop - start)
    if stop <= start:
        way = f"Write an At below {shop.words(room / 2)}, or fill in Width"
    elif most < 0:
        way = f"Write a Width of {shop.words(shop.down(room))} or less"
    else:
        way = f"Write an At of {shop.words(shop.down(most))} or less" + (
            ", or less in Width" if stop > start else ""
        )
    counts = "At counts from the reference end"
    if on_end:
        counts = "On an end At counts from the edge"
    elif zero_of(part) == "shoulder":
        counts = "At counts from the shoulder, tenons not included"
    stands = joint.at_run or shop.words(start)
    sizes = shop.sizes(start=start, stop=stop, length=room)
    notes.add(
        "past-the-end", joint.row, "at", stands, part=part.part, zero=zero, ways=f"{way}. {counts}.", **sizes
    )


def across_of(joint: Joint, part: Part, surface: str, wide: float, shop: Shop, notes: Notes) -> Span:
    """Return where a joint lies across its surface; that it does not lie in it is said."""
    room = size_of(part)[SIDES[surface].across]
    span = centered(room, wide) if joint.across is None else (joint.across, joint.across + wide)
    if (joint.across is not None or joint.lies == "across") and (span[0] < -SLACK or span[1] > room + SLACK):
        words = {"part": part.part, "surface": surface, **shop.sizes(room=room, wide=wide)}
        column = "width" if joint.across is None else "across"
        notes.add("across-beyond", joint.row, column, shop.words(joint.across or wide), **words)
    return span


def cavities(
    joint: Joint,
    part: Part,
    pieces: tuple[int, ...],
    begins: Sequence[float],
    extent: float,
    centers: Sequence[float],
    shop: Shop,
    notes: Notes,
) -> tuple[Cavity, ...]:
    """Return what a joint but a groove takes out of a part; ``centers`` of its dowels, from its beginning."""
    found = []
    crosswise = joint.lies == "across"
    for surface in surfaces_of(joint, part):
        wide = extent if crosswise else joint.thickness
        across = across_of(joint, part, surface, wide, shop, notes)
        for begin in begins:
            spans = [((begin, begin + (joint.thickness if crosswise else extent)), across)]
            if centers:
                half = joint.thickness / 2
                spans = [
                    (spans[0][0], (across[0] + center - half, across[0] + center + half))
                    if crosswise
                    else ((begin + center - half, begin + center + half), across)
                    for center in centers
                ]
            found += [
                _cavity(joint, part, pieces, surface, along, side, joint.depth_into) for along, side in spans
            ]
    return tuple(found)


def _cavity(
    joint: Joint, part: Part, pieces: tuple[int, ...], surface: str, along: Span, across: Span, depth: float
) -> Cavity:
    box = sunk(surface, size_of(part), along, across, depth)
    return Cavity(WHAT[joint.kind], part, pieces, surface, not joint.on, along, across, depth, box)


def groove_cavities(
    joint: Joint, part: Part, pieces: tuple[int, ...], at: Sequence[float], shop: Shop, notes: Notes
) -> tuple[Cavity, ...]:
    """Return the grooves that a row asks for in a part, from end to end, before anything stops them."""
    found = []
    stopped = joint.kind == "stopped groove"
    for surface in surfaces_of(joint, part):
        size = size_of(part)
        if joint.lies == "across":
            room = size[SIDES[surface].across]
            span = _groove_span(joint, room, joint.across or 0.0, stopped)
            if not at:
                notes.add("dado-needs-at", joint.row, "at", "", part=part.part)
            for begin in starts(joint, part, at, joint.thickness, 0, shop, notes):
                along = (begin, begin + joint.thickness)
                if _lies_in(joint, part, span, room, shop, notes):
                    found.append(_cavity(joint, part, pieces, surface, along, span, joint.depth_into))
            continue
        room = size[SIDES[surface].along]
        across = across_of(joint, part, surface, joint.thickness, shop, notes)
        if stopped and joint.width is None:
            notes.remark(
                joint.row,
                "Width, the length of the groove, is empty: taken as stopping as far from the other end.",
            )
        for begin in at if stopped and at else (0.0,):
            along = _groove_span(joint, room, begin, stopped)
            if _lies_in(joint, part, along, room, shop, notes):
                found.append(_cavity(joint, part, pieces, surface, along, across, joint.depth_into))
    return tuple(found)


def _groove_span(joint: Joint, room: float, begin: float, stopped: bool) -> Span:
    """Return where a groove runs: right through, or as long as Width says, or as far from either end."""
    if not stopped and (joint.lies == "along" or joint.width is None):
        return 0.0, room
    return begin, (room - begin if joint.width is None else begin + joint.width)


def _lies_in(joint: Joint, part: Part, span: Span, room: float, shop: Shop, notes: Notes) -> bool:
    if span[1] <= room + SLACK and span[1] > span[0]:
        return True
    past_the_end(joint, part, span[0], span[1], room, shop, notes)
    return False


def far_cavities(
    joint: Joint, part: Part, length: float, wide: float, centers: Sequence[float], second: bool
) -> tuple[Cavity, ...]:
    """Return the other half of a joint in the part that enters: mortises or holes in its ends, or tenons.

    In the middle of the end; on both ends when there are two for each piece, else on the next one that is
    free. Dowels wider apart than the end stand in its edge.
    """
    everyone = tuple(range(1, part.qty + 1))
    both = (joint.qty or 1) >= 2 * part.qty
    ends = ("end", "far end") if both else (("far end",) if second else ("end",))
    size = size_of(part)
    found = []
    for surface in ends if wide <= part.width + SLACK or joint.kind != "dowel" else ("edge",):
        side = SIDES[surface]
        across = centered(size[side.across], joint.thickness)
        row = centered(size[side.along], wide)
        half = joint.thickness / 2
        spans = [(row[0] + center - half, row[0] + center + half) for center in centers] or [row]
        for along in spans:
            depth = joint.depth_from if joint.depth_from is not None else joint.depth_into
            box = sunk(surface, size, along, across, -length if joint.kind == "tenon" else depth)
            what = "tenon" if joint.kind == "tenon" else WHAT[joint.kind]
            found.append(Cavity(what, part, everyone, surface, not both, along, across, depth, _upright(box)))
    return tuple(found)


def _upright(box: tuple[Span, Span, Span]) -> tuple[Span, Span, Span]:
    """Return a box whose spans go up: a tenon is sunk by less than nothing."""
    near, beside, within = ((min(span), max(span)) for span in box)
    return near, beside, within

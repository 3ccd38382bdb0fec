"""Shapes: arcs, bent strips and tapers."""

from __future__ import annotations

from dataclasses import replace

from sheetkit.calc.shapes import (
    arc_length,
    arc_offsets,
    arc_radius,
    bent_strip_offsets,
    stations,
    strip_departure,
)
from sheetkit.calc.tapers import taper, taper_offsets
from sheetkit.plan.notes import Names
from sheetkit.plan.shop import Shop
from sheetkit.records.job import Part, Shape
from sheetkit.records.joinery import ShapeAnswer, Station
from sheetkit.records.notes import Notes

MOST_SAID = 12
"""More places than this are left to the tab Marks."""


def shape_answers(shop: Shop, names: Names, notes: Notes) -> tuple[ShapeAnswer, ...]:
    """Answer every row of Shapes that can be answered."""
    answers = (_shape(shape, shop, notes) for shape in shop.job.shapes)
    found = [(answer, shaped_part(answer.shape, names, shop, notes)) for answer in answers if answer]
    return tuple(replace(answer, part=part, remarks=notes.of(answer.shape.row)) for answer, part in found)


def shaped_part(shape: Shape, names: Names, shop: Shop, notes: Notes) -> Part | None:
    """Return the part that a shape names; what disagrees with its sizes is said."""
    part = names.find(shape.part) if shape.part else None
    if not isinstance(part, Part):
        if shape.part:
            words = {"name": shape.part, "choices": names.nearest(shape.part)}
            notes.add("shape-part-unknown", shape.row, "part", shape.part, **words)
        return None
    longest = part.length + sum(part.tenons)
    if shape.length > longest + 1e-9:
        sizes = shop.sizes(length=shape.length, long=longest)
        notes.add("shape-longer", shape.row, "length", sizes["length"], part=part.part, **sizes)
    large, room = shape.rise or 0.0, part.rise or part.width
    if shape.kind == "arc" and large > room + 1 / 64:
        sizes = shop.sizes(rise=large, room=room)
        notes.add("shape-rise-part", shape.row, "rise", sizes["rise"], part=part.part, **sizes)
    if "taper" in shape.kind and all(abs(large - size) > 1 / 64 for size in (part.width, part.thickness)):
        sizes = shop.sizes(large=large, width=part.width, thickness=part.thickness)
        notes.add("shape-large-end", shape.row, "rise", sizes["large"], part=part.part, **sizes)
    return part


def _shape(shape: Shape, shop: Shop, notes: Notes) -> ShapeAnswer | None:
    headings = {"rise": "Rise"} if "taper" not in shape.kind else {"rise": "Rise", "small_end": "Small end"}
    for name, heading in headings.items():
        if getattr(shape, name) is None:
            notes.add("shape-needs", shape.row, name, "", kind=shape.kind, heading=heading)
            return None
    return _taper(shape, shop, notes) if "taper" in shape.kind else _arc(shape, shop, notes)


def _arc(shape: Shape, shop: Shop, notes: Notes) -> ShapeAnswer | None:
    chord, rise, row = shape.length, shape.rise or 0.0, shape.row
    if rise > chord / 2:
        notes.add("shape-rise", row, "rise", shop.words(rise), most=shop.words(chord / 2))
        return None
    places = stations(chord, shape.stations)
    arc, strip = arc_offsets(chord, rise, places), bent_strip_offsets(chord, rise, places)
    apart, at = strip_departure(chord, rise)
    bent = shape.kind == "bent strip"
    offsets, others = (strip, arc) if bent else (arc, strip)
    found = tuple(Station(*each) for each in zip(places, offsets, others, strict=True))
    half = [station for station in found if station.place <= chord / 2 + 1e-9][1:]
    if len(half) <= MOST_SAID:
        words = ", ".join(f"{shop.words(station.offset)} at {shop.words(station.place)}" for station in half)
        notes.remark(row, f"Offset from the chord, the same from both ends: {words}.")
    other = "an arc through the same points" if bent else "a strip bent over the same points"
    notes.remark(
        row,
        f"{other.capitalize()} departs from it by up to {shop.fine(apart)}, {shop.words(at)} from each end.",
    )
    if bent and rise > chord / 10:
        notes.remark(row, "The rise is over a tenth of the chord: a real strip departs from this curve.")
    notes.remark(row, f"Along the curve it is {shop.words(arc_length(chord, rise))} long.")
    if not any(abs(part.rise - rise) < 1e-6 for part in shop.job.parts):
        notes.remark(row, f"Its blank must be {shop.words(rise)} wider: write that in Rise on Parts.")
    radius = None if bent else arc_radius(chord, rise)
    return ShapeAnswer(shape, radius, stations=found, departure=apart, remarks=notes.of(row))


def _taper(shape: Shape, shop: Shop, notes: Notes) -> ShapeAnswer | None:
    large, small, start, row = shape.rise or 0.0, shape.small_end or 0.0, shape.start or 0.0, shape.row
    if small >= large:
        sizes = shop.sizes(small=small, large=large)
        notes.add("shape-small-end", row, "small_end", sizes["small"], **sizes)
        return None
    if start >= shape.length:
        sizes = shop.sizes(start=start, length=shape.length)
        notes.add("shape-start", row, "start", sizes["start"], **sizes)
        return None
    faces = 2 if shape.kind == "taper two faces" else 1
    cut = taper(shape.length, large, small, start, faces)
    places = stations(shape.length - start, shape.stations)
    found = tuple(
        Station(start + place, offset)
        for place, offset in zip(places, taper_offsets(cut, [start + place for place in places]), strict=True)
    )
    each = "each of two opposite faces" if faces == 2 else "one face"
    notes.remark(
        row,
        f"Takes {shop.words(cut.offset)} off {each} at the small end, "
        f"from {shop.words(start)} to {shop.words(shape.length)}: "
        f"{cut.angle:.2f}°, the angle of the sled or wedge too.",
        "Cut the joints while the faces are still square."
        if faces == 1
        else "Cut the joints while the faces are still square; turn the first offcut under the second face.",
    )
    return ShapeAnswer(shape, None, cut.angle, cut.offset, faces, start, found, remarks=notes.of(row))

"""What tapers, curves and round-overs take away from the wood around the joints of a part."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sheetkit.calc.boxes import SIDES, walls
from sheetkit.calc.shapes import arc_offsets
from sheetkit.calc.tapers import taper, taper_offsets
from sheetkit.plan.meeting import pieces_of, whereabouts
from sheetkit.plan.places import size_of
from sheetkit.plan.shop import Shop
from sheetkit.records.joinery import Cavity, JointAnswer, ShapeAnswer
from sheetkit.records.notes import Notes

LEAST_WALL = 1 / 8
"""Wood between a joint and a curve that still holds, common practice [in]."""
SLACK = 1e-9


def taken_away(
    joints: Sequence[JointAnswer], shapes: Sequence[ShapeAnswer], shop: Shop, notes: Notes
) -> None:
    """Say where a shape or a round-over of a part takes wood from its joints; once a joint for each."""
    for answer in joints:
        told: set[tuple[str, int]] = set()
        for cavity in (*answer.cavities, *answer.far):
            if cavity.what == "tenon" or cavity.in_end_grain:
                continue
            if ("round", cavity.part.row) not in told and _rounded(answer, cavity, shop, notes):
                told.add(("round", cavity.part.row))
            for shape in shapes:
                if (
                    shape.part is None
                    or shape.part.row != cavity.part.row
                    or ("shape", shape.shape.row) in told
                ):
                    continue
                says = _tapered if "taper" in shape.shape.kind else _curved
                if says(answer, cavity, shape, shop, notes):
                    told.add(("shape", shape.shape.row))


def _rounded(answer: JointAnswer, cavity: Cavity, shop: Shop, notes: Notes) -> bool:
    """Say so when the rounded edges of a part reach what is cut beside them."""
    part = cavity.part
    _, beside, _ = walls(cavity.surface, size_of(part), cavity.box)
    if answer.joint.lies == "across" or not part.round_over or min(beside) >= part.round_over - SLACK:
        return False
    wood = shop.words(max(min(beside), 0.0))
    sizes = {"wood": wood, "radius": shop.words(part.round_over)}
    words = {"where": whereabouts(answer, cavity, shop), "part": part.part, **sizes}
    notes.add("round-over-reaches", answer.joint.row, "across", wood, **words)
    return True


def _tapered(answer: JointAnswer, cavity: Cavity, shaped: ShapeAnswer, shop: Shop, notes: Notes) -> bool:
    """Say how much a taper, counted from the large end, takes where something is cut."""
    shape = shaped.shape
    start, end = shape.start or 0.0, cavity.box[0][1]
    if end <= start + SLACK:
        return False
    cut = taper(shape.length, shape.rise or 0.0, shape.small_end or 0.0, start, shaped.faces)
    takes = taper_offsets(cut, [min(end, shape.length)])[0]
    behind = walls(cavity.surface, size_of(cavity.part), cavity.box)[2]
    left, behind = max(cavity.depth - takes, 0.0), max(behind - takes, 0.0)
    sizes = shop.sizes(takes=takes, left=left, behind=behind, start=start, end=end)
    names = {"shape": shape.shape, "part": cavity.part.part, "pieces": pieces_of(cavity)}
    words = {"where": whereabouts(answer, cavity, shop), **names, **sizes}
    notes.add("taper-takes", answer.joint.row, "at", words["end"], **words)
    return True


def _curved(answer: JointAnswer, cavity: Cavity, shaped: ShapeAnswer, shop: Shop, notes: Notes) -> bool:
    """Say when a curve sawn into an edge comes near what is cut there; Rise leaves wood for a part's own."""
    part, shape = cavity.part, shaped.shape
    inset = (part.length - shape.length) / 2
    places = list(_on_chord(cavity, inset, shape.length))
    if not shape.rise or part.rise or not places:
        return False
    takes = max(arc_offsets(shape.length, shape.rise, places))
    near, far = cavity.box[SIDES["edge"].into]
    wood = min(near, part.width - far) - takes
    if wood >= LEAST_WALL - SLACK:
        return False
    sizes = shop.sizes(takes=takes, wood=max(wood, 0.0), least=LEAST_WALL)
    words = {"where": whereabouts(answer, cavity, shop), "shape": shape.shape, "part": part.part, **sizes}
    notes.add("curve-reaches", answer.joint.row, "at", words["wood"], **words)
    return True


def _on_chord(cavity: Cavity, inset: float, chord: float) -> Iterator[float]:
    """Yield where on a curve's chord something stands, at its ends and, where it spans it, in the middle."""
    near, far = (place - inset for place in cavity.box[0])
    if far <= 0 or near >= chord:
        return
    yield max(near, 0.0)
    yield min(far, chord)
    if near < chord / 2 < far:
        yield chord / 2

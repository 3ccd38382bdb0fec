"""Where a joint is cut into its parts: the places that one setting of a machine works at."""

from __future__ import annotations

from sheetkit.records.job import Panel, Part
from sheetkit.records.joinery import JointAnswer
from sheetkit.records.work import Cutting, Place


def joint_ends(answer: JointAnswer) -> tuple[str, str]:
    """Give the names of the part that enters a joint and of the one that takes it."""
    entering = answer.from_part
    if isinstance(entering, Part):
        name = entering.part
    else:
        name = (entering.panel if isinstance(entering, Panel) else answer.joint.from_part) or "the other part"
    return name, answer.joint.into or "its part"


def joint_places(answer: JointAnswer, cutting: Cutting, depth: float, far: bool) -> tuple[Place, ...]:
    """Give the places of what one joint has cut: in the part that takes it, or (``far``) in the one that enters.

    All that is known of where a joint lies is taken from its answer here, and nowhere else.
    """
    joint = answer.joint
    entering, taking = joint_ends(answer)
    qty = answer.pieces if cutting is Cutting.HOLE else joint.qty
    if far:
        surface = "end" if cutting in (Cutting.MORTISE, Cutting.HOLE) else ""
        row = _row(answer) if cutting is Cutting.HOLE else ()
        if row:
            return tuple(
                Place(entering, "", surface, None, None, depth, across, joint.joint, joint.qty)
                for across in row
            )
        return (Place(entering, "", surface, None, None, depth, None, joint.joint, qty, joint.width),)
    into = answer.into
    boxes = _boxes(answer, cutting)
    shoulder = into is not None and any(into.tenons)
    size = None if cutting is Cutting.GROOVE else joint.width
    if not boxes:
        # a place is told of the part alone, not one that lies past the part's end
        begin = joint.at if into is None else None
        end = None if begin is None or size is None else begin + size
        return (Place(taking, "", "", begin, end, depth, None, joint.joint, qty, size, shoulder),)
    each = qty if cutting is Cutting.GROOVE else max(qty // len(boxes), 1)
    return tuple(
        Place(taking, "", "", begin, end, depth, None, joint.joint, each, end - begin, shoulder)
        for begin, end in boxes
    )


def _row(answer: JointAnswer) -> tuple[tuple[float, float], ...]:
    """Give where the dowels of one joint stand across the part that enters, as far as their places are told [in]."""
    if not answer.spans:
        return ()
    begin, end = answer.spans[0]
    half = answer.joint.thickness / 2
    return tuple((at - begin - half, at - begin + half) for at in answer.centres if begin <= at <= end)


def _boxes(answer: JointAnswer, cutting: Cutting) -> list[tuple[float, float]]:
    """Give where the cuts begin and end along the part that takes them [in]."""
    if cutting is Cutting.GROOVE:
        return [(groove.start, groove.stop) for groove in answer.grooves]
    if cutting is Cutting.HOLE and answer.centres:
        half = answer.joint.thickness / 2
        return [(centre - half, centre + half) for centre in answer.centres]
    return list(answer.spans)

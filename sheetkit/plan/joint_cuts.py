"""What is cut for the joints, one setting of a machine at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from sheetkit.plan.notes import listed
from sheetkit.records.job import Joint, Panel, Part
from sheetkit.records.joinery import JointAnswer
from sheetkit.records.work import Cutting, JointCut, Place


class _Cut(NamedTuple):
    """What one joint has cut: how thick and deep."""

    cutting: Cutting
    thickness: float
    reach: float


def joint_ends(answer: JointAnswer) -> tuple[str, str]:
    """Give the names of the part that enters a joint and of the one that takes it."""
    entering = answer.from_part
    if isinstance(entering, Part):
        name = entering.part
    else:
        name = (entering.panel if isinstance(entering, Panel) else answer.joint.from_part) or "the other part"
    return name, listed(answer.joint.into) or "its part"


def joint_cuts(answers: Sequence[JointAnswer]) -> tuple[JointCut, ...]:
    """Give one line for each setting: mortises, holes, grooves and recesses, then tenons; the far halves after the near."""
    return (
        *_settings(answers, _mortise),
        *_settings(answers, _far_mortise, far=True),
        *_settings(answers, _hole),
        *_settings(answers, _far_hole, far=True),
        *_settings(answers, _groove),
        *_settings(answers, _recess),
        *_settings(answers, _tenon, far=True),
    )


def _settings(
    answers: Iterable[JointAnswer], cut_of: Callable[[JointAnswer], _Cut | None], far: bool = False
) -> list[JointCut]:
    """Gather what one setting cuts, the thickest and deepest first."""
    groups: dict[_Cut, list[JointAnswer]] = {}
    for answer in answers:
        cut = cut_of(answer)
        if cut is not None:
            alike = cut._replace(thickness=round(cut.thickness, 5), reach=round(cut.reach, 5))
            groups.setdefault(alike, []).append(answer)
    ordered = sorted(groups, key=lambda cut: (-cut.thickness, -cut.reach))
    return [_line(cut, groups[cut], far) for cut in ordered]


def _line(cut: _Cut, answers: Sequence[JointAnswer], far: bool) -> JointCut:
    return JointCut(
        *cut,
        tuple(_place(cut.cutting, answer, far) for answer in answers),
        other_end=far and cut.cutting is not Cutting.TENON,
        passes=max((answer.passes for answer in answers), key=len),
        stopped=any(
            groove.lift_at < groove.stop or groove.lower_at > groove.start
            for answer in answers
            for groove in answer.grooves
        ),
    )


def _place(cutting: Cutting, answer: JointAnswer, far: bool) -> Place:
    joint = answer.joint
    entering, taking = joint_ends(answer)
    count = answer.pieces if cutting is Cutting.HOLE else answer.qty
    size = None if cutting is Cutting.GROOVE else joint.width
    if far:
        return Place(joint.joint, entering, count, size, None)
    into = answer.into
    at = None
    if joint.at and (into is None or answer.spans):
        at = joint.at[0]
    elif joint.at_run and answer.spans:
        at = answer.spans[0][0]
    return Place(joint.joint, taking, count, size, at, into is not None and any(into.tenons))


def _depth_from(joint: Joint) -> float:
    return joint.depth_into if joint.depth_from is None else joint.depth_from


def _mortise(answer: JointAnswer) -> _Cut | None:
    joint = answer.joint
    if joint.kind not in ("tenon", "loose tenon"):
        return None
    return _Cut(Cutting.MORTISE, joint.thickness, joint.depth_into)


def _far_mortise(answer: JointAnswer) -> _Cut | None:
    joint = answer.joint
    if joint.kind != "loose tenon":
        return None
    return _Cut(Cutting.MORTISE, joint.thickness, _depth_from(joint))


def _hole(answer: JointAnswer) -> _Cut | None:
    joint = answer.joint
    return _Cut(Cutting.HOLE, joint.thickness, joint.depth_into) if joint.kind == "dowel" else None


def _far_hole(answer: JointAnswer) -> _Cut | None:
    joint = answer.joint
    return _Cut(Cutting.HOLE, joint.thickness, _depth_from(joint)) if joint.kind == "dowel" else None


def _groove(answer: JointAnswer) -> _Cut | None:
    joint = answer.joint
    return _Cut(Cutting.GROOVE, joint.thickness, joint.depth_into) if "groove" in joint.kind else None


def _recess(answer: JointAnswer) -> _Cut | None:
    joint = answer.joint
    return _Cut(Cutting.RECESS, joint.thickness, joint.depth_into) if joint.kind == "hardware" else None


def _tenon(answer: JointAnswer) -> _Cut | None:
    if answer.joint.kind != "tenon" or answer.tenon_length is None:
        return None
    return _Cut(Cutting.TENON, answer.joint.thickness, answer.tenon_length)

"""What is cut for the joints, one setting of a machine at a time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from math import isclose
from typing import NamedTuple

from sheetkit.calc.boxes import SIDES
from sheetkit.plan.notes import listed
from sheetkit.plan.places import size_of
from sheetkit.records.job import Joint, Panel, Part
from sheetkit.records.joinery import Cavity, JointAnswer, Span
from sheetkit.records.work import Cutting, JointCut, Place

MACHINES = {
    Cutting.MORTISE: "mortiser or router",
    Cutting.HOLE: "drill press or doweling jig",
    Cutting.GROOVE: "router or dado head",
    Cutting.RECESS: "router",
    Cutting.TENON: "saw with a tenoning jig, or router",
}
"""What each cut is made with."""


UNTOLD = {"end": "one end", "far end": "other end"}
"""What an end is called of which nothing tells whether it is the one that the marks count from."""


class _Cut(NamedTuple):
    """What one joint has cut: how thick and deep."""

    cutting: Cutting
    thickness: float
    reach: float


def joint_ends(answer: JointAnswer) -> tuple[str, str]:
    """Return the names of the part that enters a joint and of the one that takes it."""
    entering = answer.from_part
    if isinstance(entering, Part):
        name = entering.part
    else:
        name = (entering.panel if isinstance(entering, Panel) else answer.joint.from_part) or "the other part"
    return name, listed(answer.joint.into) or "its part"


def joint_places(answer: JointAnswer, cutting: Cutting, depth: float, far: bool) -> tuple[Place, ...]:
    """Return the places of what a joint has cut: in parts that take it, or (``far``) in the one that enters.

    All that is known of where a joint lies is taken from its boxes here, and nowhere else.
    """
    joint = answer.joint
    cavities = answer.far if far else answer.cavities
    size = None if cutting is Cutting.GROOVE else joint.width
    if cutting is Cutting.TENON or not cavities:
        entering, taking = joint_ends(answer)
        count = answer.pieces if joint.kind == "dowel" else answer.qty
        at = joint.at[0] if joint.at and answer.into is None and not far else None
        end = None if at is None or size is None else at + size
        return (Place(entering if far else taking, "", "", at, end, depth, None, joint.joint, count, size),)
    ends = len({cavity.surface for cavity in cavities})
    return tuple(
        Place(
            cavity.part.part,
            _which(cavity),
            UNTOLD.get(cavity.surface, cavity.surface) if far and cavity.assumed else cavity.surface,
            *along,
            depth,
            across,
            joint.joint,
            max(answer.qty // ends, 1) if far else len(cavity.pieces),
            along[1] - along[0],
            any(cavity.part.tenons) and not cavity.in_end_grain,
            joint.lies == "across" and cavity.what == "groove",
        )
        for cavity in cavities
        for along, across in _cut_at(cavity, joint.lies)
    )


def _cut_at(cavity: Cavity, lies: str) -> list[tuple[Span, Span | None]]:
    """Return where a cavity is cut along and across its part: a groove by its uninterrupted pieces."""
    runs = [(run.start, run.stop) for run in cavity.runs]
    if not runs:
        return [(cavity.along, cavity.across)]
    if lies != "across":
        return [(run, cavity.across) for run in runs]
    whole = (0.0, size_of(cavity.part)[SIDES[cavity.surface].across])
    return [(cavity.along, None if run == whole else run) for run in runs]


def _in_rows(places: Iterable[Place], step: float) -> list[Place]:
    """Return holes, three or more in a row at one fence as one where steps of the rule tell each exactly."""
    found: list[Place] = []
    for _, alike in groupby(places, key=_fence):
        row = list(alike)
        centers = [
            (each.begin + each.end) / 2 for each in row if each.begin is not None and each.end is not None
        ]
        apart = (centers[-1] - centers[0]) / (len(centers) - 1) if len(centers) > 2 else 0.0
        told = [centers[0] + number * apart for number in range(len(centers))] if apart else []
        if told and all(map(isclose, told, centers)) and _is_told(centers[0], step) and _is_told(apart, step):
            whole = sum(each.count for each in row)
            row = [replace(row[0], end=row[-1].end, count=whole, holes=len(row), apart=apart)]
        found += row
    return found


def _is_told(size: float, step: float) -> bool:
    return isclose(size, round(size / step) * step, abs_tol=1e-6)


def _fence(place: Place) -> tuple[object, ...]:
    across = place.across and tuple(round(side, 6) for side in place.across)
    return place.part, place.pieces, place.surface, across, place.joint, place.count


def _which(cavity: Cavity) -> str:
    """Say which pieces of a part have it; nothing when all have."""
    pieces = cavity.pieces
    if len(pieces) == cavity.part.qty:
        return ""
    runs: list[list[int]] = []
    for piece in sorted(pieces):
        if runs and piece == runs[-1][-1] + 1:
            runs[-1].append(piece)
        else:
            runs.append([piece])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else f"{run[0]}" for run in runs)


def joint_cuts(
    answers: Sequence[JointAnswer], lengths: Mapping[str, float], step: float
) -> tuple[JointCut, ...]:
    """Return a line a setting: mortises, holes, grooves, recesses, then tenons; far halves after the near.

    The places of each stand in the order in which their parts are best fed: the long before the short, and
    one surface and fence after another.
    """
    cuts = (
        *_settings(answers, _mortise),
        *_settings(answers, _far_mortise, far=True),
        *_settings(answers, _hole),
        *_settings(answers, _far_hole, far=True),
        *_settings(answers, _groove),
        *_settings(answers, _recess),
        *_settings(answers, _tenon, far=True),
        *_tongues(answers),
    )

    def order(place: Place) -> tuple[float, str, str, float, float]:
        fence = place.across[0] if place.across else 0.0
        return -lengths.get(place.part, 0.0), place.part, place.surface, fence, place.begin or 0.0

    found = []
    for cut in cuts:
        places = sorted(cut.places, key=order)
        rows = _in_rows(places, step) if cut.cutting is Cutting.HOLE else places
        found.append(replace(cut, places=tuple(rows)))
    return tuple(found)


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


def _tongues(answers: Iterable[JointAnswer]) -> list[JointCut]:
    """Return what thins the tenons of parts that enter a groove narrower than they are thick."""
    groups: dict[tuple[float, float], dict[int, Place]] = {}
    for joint, part in ((answer.joint, answer.from_part) for answer in answers):
        if (
            "groove" not in joint.kind
            or not isinstance(part, Part)
            or joint.thickness > part.thickness - 1e-6
        ):
            continue
        for long, ends in Counter(long for long in part.tenons if long > 0).items():
            place = Place(part.part, "", "", None, None, long, None, joint.joint, part.qty * ends, part.width)
            groups.setdefault((joint.thickness, long), {}).setdefault(part.row, place)
    return [
        JointCut(Cutting.TENON, *sizes, tuple(places.values()), machine=MACHINES[Cutting.TENON])
        for sizes, places in groups.items()
    ]


def _line(cut: _Cut, answers: Sequence[JointAnswer], far: bool) -> JointCut:
    return JointCut(
        *cut,
        tuple(place for answer in answers for place in joint_places(answer, cut.cutting, cut.reach, far)),
        other_end=far and cut.cutting is not Cutting.TENON,
        passes=max((answer.passes for answer in answers), key=len),
        stopped=any(
            groove.lift_at < groove.stop or groove.lower_at > groove.start
            for answer in answers
            for cavity in answer.cavities
            for groove in cavity.runs
        ),
        for_panel=any(isinstance(answer.from_part, Panel) for answer in answers),
        machine=MACHINES[cut.cutting],
    )


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
    return _Cut(Cutting.HOLE, joint.thickness, joint.depth_into) if answer.bored else None


def _far_hole(answer: JointAnswer) -> _Cut | None:
    joint = answer.joint
    return _Cut(Cutting.HOLE, joint.thickness, _depth_from(joint)) if joint.kind == "dowel" else None


def _groove(answer: JointAnswer) -> _Cut | None:
    joint = answer.joint
    return _Cut(Cutting.GROOVE, joint.thickness, joint.depth_into) if "groove" in joint.kind else None


def _recess(answer: JointAnswer) -> _Cut | None:
    joint = answer.joint
    if joint.kind != "hardware" or answer.bored:
        return None
    return _Cut(Cutting.RECESS, joint.thickness, joint.depth_into)


def _tenon(answer: JointAnswer) -> _Cut | None:
    if answer.joint.kind != "tenon" or answer.tenon_length is None:
        return None
    return _Cut(Cutting.TENON, answer.joint.thickness, answer.tenon_length)

"""Joints: lengths and stock of tenons and dowels, the wood left, and whether each suits its members."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import chain
from typing import NamedTuple

from sheetkit.calc.dowels import Row, dowel_row
from sheetkit.calc.glue_lines import dowel_glue_area, tenon_glue_area
from sheetkit.calc.joints import (
    Share,
    TenonPieces,
    ThicknessShare,
    dowel_diameter_share,
    loose_tenon_length,
    tenon_division,
    tenon_stock,
    tenon_thickness_share,
)
from sheetkit.calc.mortises import Depth, cheek_walls, mortise_depth
from sheetkit.plan.joint_sizes import (
    groove_against_panel,
    proud_tenon,
    tell_sizes,
    tenoned_elsewhere,
    tenons_on_parts,
)
from sheetkit.plan.meeting import meeting_checks
from sheetkit.plan.notes import Names, counted, percent
from sheetkit.plan.places import (
    Seat,
    cavities,
    far_cavities,
    groove_cavities,
    is_groove,
    seat,
    starts,
    ways_into,
)
from sheetkit.plan.recesses import recess_checks
from sheetkit.plan.shop import Shop
from sheetkit.plan.taken_away import taken_away
from sheetkit.records.job import Joint, Panel, Part
from sheetkit.records.joinery import Cavity, JointAnswer, RunAnswer, ShapeAnswer
from sheetkit.records.notes import Notes

LEAST_CHEEK = 1 / 8
"""Wood beside a mortise that still holds, common practice [in]."""
SLACK = 1e-9
GLUED = ("tenon", "loose tenon", "dowel")
"""Kinds that want wood on either side; a groove or hardware may stand open at one."""


class _Size(NamedTuple):
    """Length of one tenon or dowel, how many one joint has, its width, the centers of dowels."""

    length: float
    a_joint: int
    width: float | None
    centers: tuple[float, ...] = ()


def joint_answers(
    shop: Shop, names: Names, runs: Sequence[RunAnswer], shapes: Sequence[ShapeAnswer], notes: Notes
) -> tuple[JointAnswer, ...]:
    """Answer every row of Joints, then look at the joints that share a part."""
    by_name = {answer.run.run.casefold(): answer for answer in runs}
    entered: set[str] = set()
    answers = [_answer(joint, shop, names, by_name, entered, notes) for joint in shop.job.joints]
    answers = meeting_checks(answers, shop, notes)
    answers = recess_checks(answers, shop, notes)
    taken_away(answers, shapes, shop, notes)
    return tuple(replace(answer, remarks=notes.of(answer.joint.row)) for answer in answers)


def _named(joint: Joint, column: str, name: str, names: Names, notes: Notes) -> Part | Panel | None:
    found = names.find(name) if name else None
    if name and found is None:
        notes.add("joint-part-unknown", joint.row, column, name, name=name, choices=names.nearest(name))
    return found


def _run_of(joint: Joint, runs: Mapping[str, RunAnswer], notes: Notes) -> RunAnswer | None:
    """Return the run that At names."""
    run = runs.get(joint.at_run.casefold())
    if joint.at_run and run is None:
        choices = ", ".join(answer.run.run for answer in runs.values()) or "none"
        notes.add("joint-run-unknown", joint.row, "at", joint.at_run, name=joint.at_run, choices=choices)
    return run if run and run.centers else None


def _answer(
    joint: Joint, shop: Shop, names: Names, runs: Mapping[str, RunAnswer], entered: set[str], notes: Notes
) -> JointAnswer:
    """Return what a row of Joints comes to; ``entered`` are the parts that earlier rows let enter others."""
    taken = [_named(joint, "into", name, names, notes) for name in joint.into]
    parts = [part for part in taken if isinstance(part, Part)]
    enters = _named(joint, "from_part", joint.from_part, names, notes)
    run = _run_of(joint, runs, notes)
    tell_sizes(joint, shop, notes)
    seated = seat(joint, parts, run, notes)
    joint = replace(joint, qty=seated.qty)
    answer = JointAnswer(joint, seated.qty, parts[0] if parts else None, enters, 0, None, None, None)
    if is_groove(joint):
        wall = _least_wood_left(joint, parts, shop, notes)
        groove_against_panel(joint, enters, shop, notes)
        begins = _begins(joint, run, joint.thickness)
        cut = [
            groove_cavities(joint, part, pieces, begins, shop, notes)
            for part, pieces in zip(parts, seated.pieces, strict=True)
        ]
        return replace(answer, wall=wall, cavities=tuple(chain.from_iterable(cut)))
    if joint.kind == "hardware":
        if joint.width is None:
            notes.add("joint-width-missing", joint.row, "width")
        wall = _least_wood_left(joint, parts, shop, notes)
        return _placed(replace(answer, wall=wall), parts, seated, run, joint.width, (), shop, notes)
    return _glued(answer, parts, seated, run, entered, shop, notes)


def _glued(
    answer: JointAnswer,
    parts: Sequence[Part],
    seated: Seat,
    run: RunAnswer | None,
    entered: set[str],
    shop: Shop,
    notes: Notes,
) -> JointAnswer:
    """Return an answer with its tenons or dowels, their stock and the wood that they leave."""
    joint, into = answer.joint, answer.into
    from_part = answer.from_part if isinstance(answer.from_part, Part) else None
    size = _size(joint, into, from_part, shop, notes)
    _thickness_checks(joint, into, from_part, shop, notes)
    wall = _least_wood_left(joint, parts, shop, notes)
    if from_part is not None and joint.kind != "tenon":
        wall = _least(wall, min(cheek_walls(from_part.thickness, joint.thickness)))
    answer = replace(answer, wall=wall)
    if size is None:
        return _placed(answer, parts, seated, run, joint.width, (), shop, notes)
    answer = _placed(answer, parts, seated, run, size.width, size.centers, shop, notes)
    _width_checks(joint, from_part, size, shop, notes)
    if joint.kind == "tenon":
        tenons_on_parts(joint, from_part, size.length, shop, notes)
    elif from_part is not None and from_part.tenons and not tenoned_elsewhere(joint, shop):
        words = {"part": from_part.part, "kind": joint.kind}
        notes.add("tenon-not-wanted", joint.row, "from_part", joint.from_part, **words)
    far: tuple[Cavity, ...] = ()
    if from_part is not None and size.width is not None:
        second = from_part.part in entered
        far = far_cavities(joint, from_part, size.length, size.width, size.centers, second)
        entered.add(from_part.part)
    pieces = size.a_joint * seated.qty
    return replace(
        answer,
        pieces=pieces,
        tenon_length=size.length,
        stock_length=_stock_length(joint, size, pieces, shop),
        far=far,
        glue_area=_glue_area(joint, size),
    )


def _stock_length(joint: Joint, size: _Size, pieces: int, shop: Shop) -> float | None:
    """Return the length of stock for all loose tenons or dowels [in], None where nothing tells its width."""
    wide = joint.thickness if joint.kind == "dowel" else size.width
    if joint.kind == "tenon" or wide is None:
        return None
    one = TenonPieces(joint.thickness, wide or joint.thickness, size.length, pieces)
    return tenon_stock([one], shop.allowances.crosscut_kerf)[0].length


def _glue_area(joint: Joint, size: _Size) -> float | None:
    """Return the glued area of one joint [in2], None where its width is not known."""
    if joint.kind == "dowel":
        return dowel_glue_area(joint.thickness, size.length, size.a_joint)
    if size.width is None:
        return None
    reach = min(size.length, joint.depth_into) if joint.kind == "tenon" else size.length
    return tenon_glue_area(size.width, reach, size.a_joint)


def _begins(joint: Joint, run: RunAnswer | None, long: float) -> tuple[float, ...]:
    """Return where a joint begins along its part, as typed or in the middle of each member of its run."""
    return joint.at if run is None else tuple(center - long / 2 for center in run.centers)


def _placed(
    answer: JointAnswer,
    parts: Sequence[Part],
    seated: Seat,
    run: RunAnswer | None,
    extent: float | None,
    centers: tuple[float, ...],
    shop: Shop,
    notes: Notes,
) -> JointAnswer:
    """Return an answer with what its joint takes out of every part, and its places along the first."""
    joint, into = answer.joint, answer.into
    long = (extent or 0.0) if joint.lies == "along" else joint.thickness
    at = _begins(joint, run, long)
    if into is None:
        spans = tuple((begin, begin + long) for begin in at) if extent is not None else ()
        alone = tuple(sorted(begin + center for begin in at for center in centers))
        return replace(answer, spans=spans, centers=alone)
    found: list[Cavity] = []
    first: tuple[float, ...] = ()
    for part, pieces in zip(parts, seated.pieces, strict=True):
        each = seated.qty / len(parts) / max(1, len(pieces))
        begins = starts(joint, part, at, long, each, shop, notes)
        first = first or begins
        if extent is not None:
            found += cavities(joint, part, pieces, begins, extent, centers, shop, notes)
    spans = () if extent is None else tuple((begin, begin + long) for begin in first)
    along = (
        tuple(sorted(begin + center for begin in first for center in centers))
        if joint.lies == "along"
        else ()
    )
    return replace(answer, spans=spans, centers=along, cavities=tuple(found))


def _size(joint: Joint, into: Part | None, from_part: Part | None, shop: Shop, notes: Notes) -> _Size | None:
    """Return the size of the tenons or dowels of one joint, None when the glue gap leaves them no length."""
    gap = shop.allowances.glue_gap
    through = into is not None and any(
        mortise_depth(joint.depth_into, way.deep).reason is Depth.THROUGH for way in ways_into(joint, into)
    )
    proud = proud_tenon(joint, from_part) if through else 0.0
    if through:
        trim = f"stands {shop.words(proud)} out, as on Parts" if proud else "leave a little to trim flush"
        notes.remark(joint.row, f"Through {joint.kind}: no gap where there is no bottom; {trim}.")
    if joint.kind != "tenon":
        length = _loose_length(joint, through, shop, notes)
    elif not through and gap >= joint.depth_into:
        notes.add("glue-gap-too-large", joint.row, "depth_into", gap=shop.words(gap))
        return None
    else:
        length = joint.depth_into + proud - (0.0 if through else gap)
    if length is None:
        return None
    if joint.kind == "dowel":
        return _dowels(joint, from_part, length, shop, notes)
    if joint.width is None:
        notes.add("joint-width-missing", joint.row, "width")
    return _Size(length, 1, joint.width)


def _loose_length(joint: Joint, through: bool, shop: Shop, notes: Notes) -> float | None:
    """Return the length of a loose tenon or dowel [in], None when the glue gap takes up a whole mortise."""
    gap, depth_from = shop.allowances.glue_gap, joint.depth_from
    if depth_from is None:
        depth_from = joint.depth_into
        notes.remark(joint.row, "Depth from is empty: taken as deep as Depth into.")
    if gap >= min(joint.depth_into, depth_from):
        column = "depth_into" if gap >= joint.depth_into or joint.depth_from is None else "depth_from"
        notes.add("glue-gap-too-large", joint.row, column, gap=shop.words(gap))
        return None
    return loose_tenon_length(joint.depth_into, depth_from, gap) + (gap if through else 0.0)


def _dowels(joint: Joint, from_part: Part | None, length: float, shop: Shop, notes: Notes) -> _Size:
    """Return the dowels of one joint: a row of them across it."""
    across = joint.width if joint.width is not None else from_part.width if from_part else None
    if across is None:
        notes.remark(
            joint.row,
            "Neither Width nor a part in From tells how wide the joint is: one dowel is counted for each.",
        )
        return _Size(length, 1, None, (0.0,))
    if joint.width is None:
        notes.remark(joint.row, f"As on Parts: {shop.words(across)} wide.")
    row = dowel_row(across, joint.thickness)
    if row.reason is Row.ONE_ONLY:
        notes.add("dowel-alone", joint.row, "width", shop.words(across), width=shop.words(across))
    places = ", ".join(shop.words(center) for center in row.centers)
    notes.remark(joint.row, f"{counted(row.count, 'dowel')} a joint, centers {places} from the edge.")
    return _Size(length, row.count, across, row.centers)


def _thickness_checks(
    joint: Joint,
    into: Part | None,
    from_part: Part | None,
    shop: Shop,
    notes: Notes,
) -> None:
    ways = () if into is None else ways_into(joint, into)
    across = min((way.across for way in ways if way.across), default=None)
    if joint.kind == "dowel":
        members = [(part, part.thickness) for part in (from_part, into) if part is not None]
        if members:
            part, member = min(members, key=lambda each: each[1])
            _share_note(
                "dowel", dowel_diameter_share(joint.thickness, member), joint, part, member, shop, notes
            )
    elif from_part is not None:
        share = tenon_thickness_share(joint.thickness, from_part.thickness, across)
        _share_note("tenon", share, joint, from_part, from_part.thickness, shop, notes)


def _share_note(
    what: str, share: ThicknessShare, joint: Joint, part: Part, member: float, shop: Shop, notes: Notes
) -> None:
    if share.reason is not Share.OK:
        sizes = shop.sizes(thickness=joint.thickness, member=member, least=share.least, most=share.most)
        words = {"share": percent(share.share), "part": part.part, **sizes}
        notes.add(f"{what}-{share.reason.value}", joint.row, "thickness", sizes["thickness"], **words)


def _width_checks(joint: Joint, from_part: Part | None, size: _Size, shop: Shop, notes: Notes) -> None:
    if joint.kind == "dowel" or size.width is None:
        return
    if from_part is not None and size.width > from_part.width + SLACK:
        sizes = shop.sizes(width=size.width, member=from_part.width)
        notes.add("tenon-over-part", joint.row, "width", sizes["width"], part=from_part.part, **sizes)
    divided = tenon_division(size.width, joint.thickness)
    if divided.count > 1:
        sizes = shop.sizes(width=size.width, each=divided.each, between=divided.between)
        notes.add("tenon-wide", joint.row, "width", sizes["width"], count=divided.count, **sizes)


def _least_wood_left(joint: Joint, parts: Sequence[Part], shop: Shop, notes: Notes) -> float | None:
    """Return the least wood left behind and beside a joint in any of the parts that take it."""
    left = [_wood_left(joint, part, shop, notes) for part in parts]
    return min((wall for wall in left if wall is not None), default=None)


def _wood_left(joint: Joint, into: Part, shop: Shop, notes: Notes) -> float | None:
    """Return the least wood left behind and beside, over every way in which a mortise may lie in its part."""
    ways = ways_into(joint, into)
    if len(ways) == 1 and ways[0].words:
        notes.remark(joint.row, f"Taken as cut into the {ways[0].words} of {into.part}.")
    left: list[float] = []
    told = set()
    for way in ways:
        depth = mortise_depth(joint.depth_into, way.deep)
        deepest = shop.down(depth.deepest)
        sizes = shop.sizes(member=way.deep, deepest=deepest, depth=joint.depth_into, wall=depth.wall)
        words = {"part": into.part, "share": percent(depth.share), **sizes}
        too_deep = depth.reason is Depth.BEYOND or (depth.reason is Depth.DEEP and joint.kind != "hardware")
        if too_deep and "deep" not in told:
            told.add("deep")
            code = "mortise-deep" if depth.reason is Depth.DEEP else "mortise-beyond"
            notes.add(code, joint.row, "depth_into", words["depth"], **words)
        if depth.reason is not Depth.THROUGH:
            left.append(depth.wall)
        if not way.across:
            continue
        beside = min(cheek_walls(way.across, joint.thickness, joint.across))
        left.append(beside)
        flush = joint.across is not None and joint.kind not in GLUED and abs(beside) <= SLACK
        beyond = joint.across is not None and beside < -SLACK  # said where it lies across the surface
        if beside < LEAST_CHEEK - SLACK and "beside" not in told and not flush and not beyond:
            told.add("beside")
            what = "groove" if "groove" in joint.kind else "mortise"
            code = "thin-wall" if beside > SLACK else "mortise-breaks-out"
            third, stands = shop.down(way.across / 3), shop.words(joint.thickness)
            sizes = shop.sizes(wall=max(beside, 0.0), member=way.across, least=LEAST_CHEEK, third=third)
            words = {"part": into.part, "what": what, "thickness": stands, **sizes}
            notes.add(code, joint.row, "thickness", stands, **words)
    return min(left, default=None)


def _least(one: float | None, other: float) -> float:
    return other if one is None else min(one, other)

"""Joints: lengths and stock of tenons and dowels, the wood left, and whether each suits its members."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
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
from sheetkit.plan.meeting import meeting_checks, past_the_end
from sheetkit.plan.notes import Names, percent
from sheetkit.plan.recesses import recess_checks
from sheetkit.plan.sections import Opening, groove_openings, is_leg_like, openings
from sheetkit.plan.shop import Shop
from sheetkit.plan.small import Alone, small_ways
from sheetkit.records.job import Joint, Panel, Part
from sheetkit.records.joinery import JointAnswer, Span, TenonMilling
from sheetkit.records.notes import Notes
from sheetkit.records.wood import Small

LEAST_CHEEK = 1 / 8
"""Wood beside a mortise that still holds, common practice [in]."""
CLOSE = 1 / 32
"""Two lengths this near each other are the same to a maker [in]."""
NEAR_END = 1 / 3
"""A mortise within this share of its part stands near an end, and has its like at the other one."""
SLACK = 1e-9


class _Size(NamedTuple):
    """Length of one tenon or dowel, how many one joint has, its width, its reach in glue."""

    length: float
    a_joint: int
    width: float | None
    centres: tuple[float, ...] = ()


def joint_answers(shop: Shop, names: Names, notes: Notes) -> tuple[JointAnswer, ...]:
    """Answer every row of Joints, then look at the joints that share a part."""
    answers = [_answer(joint, shop, names, notes) for joint in shop.job.joints]
    answers = meeting_checks(answers, shop, notes)
    answers = recess_checks(answers, shop, notes)
    return tuple(replace(answer, remarks=notes.of(answer.joint.row)) for answer in answers)


def _named(joint: Joint, column: str, name: str, names: Names, notes: Notes) -> Part | Panel | None:
    found = names.find(name) if name else None
    if name and found is None:
        notes.add("joint-part-unknown", joint.row, column, name, name=name, choices=names.nearest(name))
    return found


def _answer(joint: Joint, shop: Shop, names: Names, notes: Notes) -> JointAnswer:
    taken = _named(joint, "into", joint.into, names, notes)
    into = taken if isinstance(taken, Part) else None
    enters = _named(joint, "from_part", joint.from_part, names, notes)
    from_part = enters if isinstance(enters, Part) else None
    ways = _ways(joint, into)
    if joint.kind in ("groove", "stopped groove"):
        wall = _wood_left(joint, into, ways, shop, notes)
        _groove_against_panel(joint, enters, shop, notes)
        return JointAnswer(joint, into, enters, 0, None, None, wall)
    if joint.kind == "hardware":
        if joint.width is None:
            notes.add("joint-width-missing", joint.row, "width")
        wall = _wood_left(joint, into, ways, shop, notes)
        spans = _spans(_starts(joint, into, joint.width, shop, notes), joint.width)
        return JointAnswer(joint, into, enters, 0, None, None, wall, spans)
    size = _size(joint, into, from_part, shop, notes)
    _thickness_checks(joint, into, from_part, ways, shop, notes)
    wall = _wood_left(joint, into, ways, shop, notes)
    if from_part is not None and joint.kind != "tenon":
        wall = _least(wall, min(cheek_walls(from_part.thickness, joint.thickness)))
    extent = joint.width if size is None else size.width
    starts = _starts(joint, into, extent, shop, notes)
    spans = _spans(starts, extent)
    if size is None:
        return JointAnswer(joint, into, enters, 0, None, None, wall, spans)
    _width_checks(joint, from_part, size, shop, notes)
    if joint.kind == "tenon":
        _tenons_on_parts(joint, from_part, size.length, shop, notes)
    elif from_part is not None and from_part.tenons and not _tenoned_elsewhere(joint, shop):
        notes.add(
            "tenon-not-wanted", joint.row, "from_part", joint.from_part, part=from_part.part, kind=joint.kind
        )
    pieces = size.a_joint * joint.qty
    stock = None
    if joint.kind != "tenon" and (size.width is not None or joint.kind == "dowel"):
        wide = joint.thickness if joint.kind == "dowel" else size.width or joint.thickness
        one = TenonPieces(joint.thickness, wide, size.length, pieces)
        stock = tenon_stock([one], shop.allowances.crosscut_kerf)[0].length
    centres = tuple(sorted(start + centre for start in starts for centre in size.centres))
    if joint.kind == "dowel":
        area: float | None = dowel_glue_area(joint.thickness, size.length, size.a_joint)
    else:
        area = None if size.width is None else tenon_glue_area(size.width, size.length, size.a_joint)
    return JointAnswer(joint, into, enters, pieces, size.length, stock, wall, spans, centres, glue_area=area)


def _ways(joint: Joint, into: Part | None) -> tuple[Opening, ...]:
    if into is None:
        return ()
    grooved = joint.kind in ("groove", "stopped groove")
    return groove_openings(into, joint.depth_into) if grooved else openings(into)


def _size(joint: Joint, into: Part | None, from_part: Part | None, shop: Shop, notes: Notes) -> _Size | None:
    gap = shop.allowances.glue_gap
    through = into is not None and any(
        mortise_depth(joint.depth_into, way.deep).reason is Depth.THROUGH for way in _ways(joint, into)
    )
    if through:
        notes.remark(
            joint.row,
            f"Through {joint.kind}: no gap where there is no bottom; leave a little to trim flush.",
        )
    if joint.kind == "tenon":
        if not through and gap >= joint.depth_into:
            notes.add("glue-gap-too-large", joint.row, "depth_into", gap=shop.words(gap))
            return None
        if joint.width is None:
            notes.add("joint-width-missing", joint.row, "width")
        return _Size(joint.depth_into - (0.0 if through else gap), 1, joint.width)
    depth_from = joint.depth_from
    if depth_from is None:
        depth_from = joint.depth_into
        notes.remark(joint.row, "Depth from is empty: taken as deep as Depth into.")
    if gap >= min(joint.depth_into, depth_from):
        column = "depth_into" if gap >= joint.depth_into or joint.depth_from is None else "depth_from"
        notes.add("glue-gap-too-large", joint.row, column, gap=shop.words(gap))
        return None
    length = loose_tenon_length(joint.depth_into, depth_from, gap) + (gap if through else 0.0)
    if joint.kind == "loose tenon":
        if joint.width is None:
            notes.add("joint-width-missing", joint.row, "width")
        return _Size(length, 1, joint.width)
    across = joint.width if joint.width is not None else from_part.width if from_part else None
    if across is None:
        notes.remark(
            joint.row,
            "Neither Width nor a part in From tells how wide the joint is: one dowel is counted for each.",
        )
        return _Size(length, 1, None, (0.0,))
    row = dowel_row(across, joint.thickness)
    if row.reason is Row.ONE_ONLY:
        notes.add("dowel-alone", joint.row, "width", shop.words(across), width=shop.words(across))
    places = ", ".join(shop.words(centre) for centre in row.centres)
    notes.remark(
        joint.row, f"{row.count} dowel{'s' if row.count > 1 else ''} a joint, centres {places} from the edge."
    )
    return _Size(length, row.count, across, row.centres)


def _thickness_checks(
    joint: Joint,
    into: Part | None,
    from_part: Part | None,
    ways: tuple[Opening, ...],
    shop: Shop,
    notes: Notes,
) -> None:
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
        notes.add(f"{what}-{share.reason.value}", joint.row, "thickness", shop.words(joint.thickness),
                  thickness=shop.words(joint.thickness), share=percent(share.share), member=shop.words(member),
                  part=part.part, least=shop.words(share.least), most=shop.words(share.most))  # fmt: skip


def _width_checks(joint: Joint, from_part: Part | None, size: _Size, shop: Shop, notes: Notes) -> None:
    if joint.kind == "dowel" or size.width is None:
        return
    if from_part is not None and size.width > from_part.width + SLACK:
        notes.add("tenon-over-part", joint.row, "width", shop.words(size.width), width=shop.words(size.width),
                  part=from_part.part, member=shop.words(from_part.width))  # fmt: skip
    divided = tenon_division(size.width, joint.thickness)
    if divided.count > 1:
        notes.add("tenon-wide", joint.row, "width", shop.words(size.width), width=shop.words(size.width),
                  count=divided.count, each=shop.words(divided.each), between=shop.words(divided.between))  # fmt: skip


def _wood_left(
    joint: Joint, into: Part | None, ways: tuple[Opening, ...], shop: Shop, notes: Notes
) -> float | None:
    """Give the least wood left behind and beside, over every way in which the mortise may lie in its part."""
    if into is None:
        return None
    if len(ways) == 1 and ways[0].words:
        notes.remark(joint.row, f"Taken as cut into the {ways[0].words} of {into.part}.")
    left: list[float] = []
    told = set()
    for way in ways:
        depth = mortise_depth(joint.depth_into, way.deep)
        words = {"part": into.part, "member": shop.words(way.deep), "deepest": shop.words(shop.down(depth.deepest)),
                 "depth": shop.words(joint.depth_into), "wall": shop.words(depth.wall), "share": percent(depth.share)}  # fmt: skip
        too_deep = depth.reason is Depth.BEYOND or (depth.reason is Depth.DEEP and joint.kind != "hardware")
        if too_deep and "deep" not in told:
            told.add("deep")
            code = "mortise-deep" if depth.reason is Depth.DEEP else "mortise-beyond"
            notes.add(code, joint.row, "depth_into", words["depth"], **words)
        if depth.reason is not Depth.THROUGH:
            left.append(depth.wall)
        if not way.across:
            continue
        beside = min(cheek_walls(way.across, joint.thickness))
        left.append(beside)
        if beside < LEAST_CHEEK - SLACK and "beside" not in told:
            told.add("beside")
            what = "groove" if "groove" in joint.kind else "mortise"
            code = "thin-wall" if beside > SLACK else "mortise-breaks-out"
            notes.add(code, joint.row, "thickness", shop.words(joint.thickness), wall=shop.words(max(beside, 0.0)),
                      thickness=shop.words(joint.thickness), member=shop.words(way.across), part=into.part, what=what,
                      least=shop.words(LEAST_CHEEK), third=shop.words(shop.down(way.across / 3)))  # fmt: skip
    return min(left, default=None)


def _starts(
    joint: Joint, into: Part | None, extent: float | None, shop: Shop, notes: Notes
) -> tuple[float, ...]:
    """Give where the mortise begins along its part, and where its mirror image does when each piece takes two.

    Both count from the part's reference end, from shoulder to shoulder when it has tenons; none when it lies past
    the other one.
    """
    at, long = joint.at, extent or 0.0
    if at is None:
        return ()
    if into is None:
        return (at,)
    if at + long > into.length + SLACK:
        past_the_end(joint, into, at, at + long, shop, notes)
        return ()
    twice = joint.qty >= 2 * into.qty and not is_leg_like(into)
    if not twice or at + long > into.length * NEAR_END:
        return (at,)
    measured = ", measured from the shoulders" if any(into.tenons) else ""
    notes.remark(joint.row, f"Two for each {into.part}: taken as one near each end, alike{measured}.")
    return (at, into.length - at - long)


def _spans(starts: Iterable[float], extent: float | None) -> tuple[Span, ...]:
    return () if extent is None else tuple((start, start + extent) for start in starts)


def _tenons_on_parts(joint: Joint, part: Part | None, length: float, shop: Shop, notes: Notes) -> None:
    """Compare with the tenons that the part's blank has room for."""
    if part is None:
        return
    words = {"part": part.part, "length": shop.words(length)}
    if not any(part.tenons):
        notes.add("tenon-not-on-parts", joint.row, "from_part", joint.from_part, **words)
        return
    if any(abs(tenon - length) <= CLOSE for tenon in part.tenons):
        return
    asked = min(filter(None, part.tenons), key=lambda tenon: abs(tenon - length))
    words["asked"] = shop.words(asked)
    if asked > length:
        deeper = shop.words(asked + shop.allowances.glue_gap)
        notes.add(
            "tenon-too-long", joint.row, "depth_into", shop.words(joint.depth_into), deeper=deeper, **words
        )
    else:
        notes.add("tenon-too-short", joint.row, "depth_into", shop.words(joint.depth_into), **words)


def _tenoned_elsewhere(joint: Joint, shop: Shop) -> bool:
    name = joint.from_part.casefold()
    return any(other.kind == "tenon" and other.from_part.casefold() == name for other in shop.job.joints)


def _groove_against_panel(joint: Joint, panel: Part | Panel | None, shop: Shop, notes: Notes) -> None:
    if not isinstance(panel, Panel):
        return
    depths = (panel.groove_sides, panel.groove_ends)
    if not any(abs(depth - joint.depth_into) <= CLOSE for depth in depths):
        there = " or ".join(dict.fromkeys(shop.words(depth) for depth in depths))
        notes.add("groove-differs", joint.row, "depth_into", shop.words(joint.depth_into), panel=panel.panel,
                  there=f"{there} deep", here=f"{shop.words(joint.depth_into)} deep")  # fmt: skip
    if panel.groove_width is not None and abs(panel.groove_width - joint.thickness) > CLOSE:
        notes.add("groove-differs", joint.row, "thickness", shop.words(joint.thickness), panel=panel.panel,
                  there=f"{shop.words(panel.groove_width)} wide", here=f"{shop.words(joint.thickness)} wide")  # fmt: skip


def _least(one: float | None, other: float) -> float:
    return other if one is None else min(one, other)


def tenon_milling(answers: Iterable[JointAnswer], shop: Shop) -> tuple[TenonMilling, ...]:
    """Give the loose tenons and dowels by section, each section milled (or bought) as one length."""
    found, allowances = [], shop.allowances
    for round_one in (False, True):
        kind = "dowel" if round_one else "loose tenon"
        these = [
            answer for answer in answers if answer.joint.kind == kind and answer.stock_length is not None
        ]
        pieces = {answer.joint.row: _pieces(answer, round_one) for answer in these}
        for stock in tenon_stock(pieces.values(), allowances.crosscut_kerf):
            of = [answer for answer in these if _same(pieces[answer.joint.row], stock.thickness, stock.width)]
            lengths: dict[float, int] = {}
            for answer in of:
                one = pieces[answer.joint.row]
                lengths[one.length] = lengths.get(one.length, 0) + one.count
            longest_first = tuple((lengths[length], length) for length in sorted(lengths, reverse=True))
            names = tuple(dict.fromkeys(answer.joint.joint for answer in of))
            small: tuple[Small, ...] = ()
            length = stock.length
            if not round_one:
                length = max(length, allowances.shortest)
                small = small_ways(Alone(stock.thickness, stock.width, stock.length), shop)
                if longest_first[-1][1] < allowances.shortest - 1e-9:
                    small = (*small, Small.SLED)
            found.append(TenonMilling(stock.thickness, stock.width, round_one, stock.count, stock.cuts, length,
                                      longest_first, names, small))  # fmt: skip
    return tuple(found)


def _pieces(answer: JointAnswer, round_one: bool) -> TenonPieces:
    joint = answer.joint
    width = joint.thickness if round_one or joint.width is None else joint.width
    return TenonPieces(joint.thickness, width, answer.tenon_length or 0.0, answer.pieces)


def _same(piece: TenonPieces, thickness: float, width: float) -> bool:
    return round(piece.thickness, 4) == round(thickness, 4) and round(piece.width, 4) == round(width, 4)

"""Parts: the blanks that each one takes, and how their sizes came about."""

from __future__ import annotations

from collections.abc import Callable

from sheetkit.calc.movement import seasonal_swing, size_ratio, slot_length
from sheetkit.calc.rough import gangs, least_plies, least_staves, ply_thickness, stave_width
from sheetkit.plan.near_stock import near_remark, near_stock
from sheetkit.plan.shop import Offer, Shop, chosen_stock, joined, rift_remark
from sheetkit.records.job import Part, SizeClass
from sheetkit.records.notes import Notes, Spot
from sheetkit.records.wood import Blank, PartAnswer

WIDE = 8.0
"""A solid part at least this wide moves enough to matter where it is fastened, common practice [in]."""
SCREW = 3 / 16
"""Shank of the screws that hold a top, a No. 10; common practice [in]."""


def part_answer(part: Part, shop: Shop, notes: Notes) -> PartAnswer | None:
    """Give the blanks of a part, or None when no stock can make it."""
    make = {"solid": _solid, "face-glued": _face_glued, "edge-glued": _edge_glued}[part.made_as]
    size = shop.size_class(_finished_length(part))
    made = make(part, size, shop, notes)
    if made is None:
        return None
    blanks, worked_out, remarks = made
    rift = rift_remark(part.cut, notes.at(part.row, "cut"))
    near = None if part.stock else near_stock(blanks, size, shop, glued=part.made_as == "edge-glued")
    missed = near_remark(near, blanks[0].stock.name, shop) if near else ""
    volume = part.thickness * part.width * _finished_length(part) * part.qty
    return PartAnswer(
        part,
        blanks,
        worked_out,
        shop.weight(part.species, volume),
        joined((*remarks, missed, rift, *_movement_remarks(part, shop))),
        near,
    )


Made = tuple[tuple[Blank, ...], str, list[str]]


def _finished_length(part: Part) -> float:
    return part.length + sum(part.tenons)


def _stock_for(
    part: Part, needs: Callable[[Offer], float], shop: Shop, notes: Notes
) -> tuple[Offer | None, str]:
    size = shop.size_class(_finished_length(part))
    plies = least_plies(
        part.thickness, shop.allowances.ply_clean_up, size.thickness, shop.thickest(part.species)
    )
    spot = notes.at(part.row, "stock" if part.stock else "thickness")
    return chosen_stock(part.species, needs, part.stock, plies, shop, spot)


def _length_words(part: Part, extra: float, extra_word: str, shop: Shop) -> str:
    words = [shop.words(part.length)]
    if len(part.tenons) == 2 and part.tenons[0] == part.tenons[1]:
        words.append(f"2 x {shop.words(part.tenons[0])} tenon")
    else:
        words += [f"{shop.words(tenon)} tenon" for tenon in part.tenons]
    words.append(f"{shop.words(extra)} {extra_word}")
    return " + ".join(words)


def _curve_words(part: Part, shop: Shop) -> str:
    return f" + {shop.words(part.rise)} curve" if part.rise else ""


def _blank(
    part: Part, offer: Offer, count: int, thickness: float, width: float, length: float, *, along: int = 1,
    across: int = 1, role: str = "piece", per_glue_up: int = 1, glued_width: float = 0.0,
) -> Blank:  # fmt: skip
    return Blank(part.part, "Parts", part.row, part.species, offer.stock, count, thickness, width, length,
                 along, across, role=role, per_glue_up=per_glue_up, glued_width=glued_width,
                 together=part.together, how=part.how if part.together else "")  # fmt: skip


def _solid(part: Part, size: SizeClass, shop: Shop, notes: Notes) -> Made | None:
    allowances = shop.allowances
    offer, remark = _stock_for(part, lambda offer: part.thickness + shop.flattening(offer, size), shop, notes)
    if offer is None:
        return None
    need = shop.up(part.thickness + shop.flattening(offer, size))
    finished, width = _finished_length(part), part.width + part.rise
    along = gangs(finished, part.qty, size.length, allowances.crosscut_kerf, allowances.shortest)
    blanks = []
    for row in along:
        for rip in gangs(width, row.blanks, size.width, allowances.rip_kerf, allowances.narrowest):
            blanks.append(_blank(part, offer, rip.blanks, need, shop.taped(rip.size), shop.taped(row.size),
                                 along=row.pieces, across=rip.pieces))  # fmt: skip
    length_words = _length_words(part, size.length, "trim", shop)
    width_words = f"{shop.words(part.width)}{_curve_words(part, shop)} + {shop.words(size.width)}"
    words = [
        f"{length_words} = {shop.taped_words(finished + size.length)} long",
        f"{width_words} = {shop.taped_words(width + size.width)} wide",
        shop.thickness_words(part.thickness, offer, size),
    ]
    remarks = [remark, *_gang_remarks(part, blanks, shop, notes)]
    if width > allowances.widest_stave + 1e-9 and width + size.width > allowances.widest_stave:
        limit = shop.words(allowances.widest_stave)
        spot = notes.at(part.row, "width")
        remarks.append(spot.tell("wide-solid", shop.words(width), width=shop.words(width), limit=limit))
    if part.thickness < allowances.thinnest - 1e-9:
        remarks.append("Thin: plane it on a carrier board, or resaw it from thicker stock.")
    return tuple(blanks), "; ".join(words), remarks


def _gang_remarks(part: Part, blanks: list[Blank], shop: Shop, notes: Notes) -> list[str]:
    """Say which pieces share a blank and why, or that a single one is milled larger than it will be."""
    allowances, finished = shop.allowances, _finished_length(part)
    size, remarks = shop.size_class(finished), []
    ways, why = [], []
    if any(blank.along > 1 for blank in blanks):
        ways.append("long, then cut")
        why.append(f"shorter than {shop.words(allowances.shortest)}")
    if any(blank.across > 1 for blank in blanks):
        ways.append("wide, then rip")
        why.append(f"narrower than {shop.words(allowances.narrowest)}")
    if why:
        most, reason = max(blank.along * blank.across for blank in blanks), " or ".join(why)
        column = "length" if ways[0].startswith("long") else "width"
        notes.tell("ganged", part.row, column, count=most, why=reason)
        lots = [f"{blank.count} of {blank.along * blank.across}" for blank in blanks]
        remarks.append(
            f"Mill {' and '.join(ways)}: {' and '.join(lots)} pieces in one blank ({reason} is not safe through machines)."
        )
    if finished + size.length < allowances.shortest - 1e-9 and any(blank.along == 1 for blank in blanks):
        remarks.append(f"Mill long ({shop.words(allowances.shortest)}), then cut to length.")
    if part.width + part.rise + size.width < allowances.narrowest - 1e-9 and any(
        blank.across == 1 for blank in blanks
    ):
        remarks.append(f"Mill wide ({shop.words(allowances.narrowest)}), then rip to width.")
    return remarks


def _face_glued(part: Part, size: SizeClass, shop: Shop, notes: Notes) -> Made | None:
    allowances = shop.allowances
    plies = part.plies or 0
    if plies < 2:
        wanted = shop.named(part.species, part.stock) if part.stock else None
        of = wanted or shop.offers(part.species)[-1]
        plies = least_plies(part.thickness, allowances.ply_clean_up, shop.flattening(of, size), of.measures)
        plies = plies or 2

    def ply(offer: Offer) -> float:
        return ply_thickness(part.thickness, allowances.ply_clean_up, plies, shop.flattening(offer, size))

    offer, remark = _stock_for(part, ply, shop, notes)
    if offer is None:
        return None
    need = shop.up(ply(offer))
    flat = "surfaced, nothing taken for flattening" if offer.surfaced else ""
    extra = "" if offer.surfaced else f" + {shop.words(size.thickness)}"
    width = part.width + part.rise + allowances.ply_width
    length = _finished_length(part) + size.length
    blank = _blank(part, offer, part.qty * plies, need, shop.taped(width), shop.taped(length), role="ply")
    words = [
        f"{plies} plies: ({shop.words(part.thickness)} + {shop.words(allowances.ply_clean_up)} clean-up) / {plies}"
        f"{extra} = {shop.words(need)} thick: {', '.join(filter(None, (offer.stock.name, flat)))}",
        f"{shop.words(part.width)}{_curve_words(part, shop)} + {shop.words(allowances.ply_width)} = {shop.taped_words(width)} wide",
        f"{_length_words(part, size.length, 'trim', shop)} = {shop.taped_words(length)} long",
    ]
    return (blank,), "; ".join(words), [remark]


def _edge_glued(part: Part, size: SizeClass, shop: Shop, notes: Notes) -> Made | None:
    allowances = shop.allowances
    offer, remark = _stock_for(
        part, lambda offer: part.thickness + shop.flattening(offer, size, glued=True), shop, notes
    )
    if offer is None:
        return None
    need = shop.up(part.thickness + shop.flattening(offer, size, glued=True))
    whole = part.width + part.rise
    staves, stave_remarks = stave_count(whole, part.plies, shop, notes.at(part.row, "plies"))
    width = stave_width(whole, allowances.panel_trim, staves, allowances.edge_joint)
    length = _finished_length(part) + allowances.panel_length
    glued = whole + allowances.panel_trim
    blank = _blank(part, offer, part.qty * staves, need, shop.taped(width), shop.taped(length), role="stave",
                   per_glue_up=staves, glued_width=glued)  # fmt: skip
    words = [
        stave_words(whole, staves, width, shop, _curve_words(part, shop), part.width),
        f"{_length_words(part, allowances.panel_length, 'trim', shop)} = {shop.taped_words(length)} long",
        shop.thickness_words(part.thickness, offer, size, glued=True),
    ]
    return (blank,), "; ".join(words), [remark, *stave_remarks]


def stave_words(
    whole: float, staves: int, width: float, shop: Shop, curve: str = "", bare: float | None = None
) -> str:
    """Say how the width of a stave came about."""
    allowances = shop.allowances
    jointed = min(staves - 1, 2)
    edges = f" + {jointed} x {shop.words(allowances.edge_joint)} jointed" if jointed else ""
    start = shop.words(whole if bare is None else bare)
    return (
        f"{staves} stave{'s' if staves > 1 else ''}: ({start}{curve} + {shop.words(allowances.panel_trim)}) / {staves}"
        f"{edges} = {shop.taped_words(width)} wide"
    )


def stave_count(whole: float, asked: int | None, shop: Shop, spot: Spot) -> tuple[int, list[str]]:
    """Give the number of staves, the maker's own or the fewest allowed, with remarks on slivers and wide ones."""
    allowances = shop.allowances
    least = least_staves(whole, allowances.panel_trim, allowances.edge_joint, allowances.widest_stave)
    staves = asked or least
    width = stave_width(whole, allowances.panel_trim, staves, allowances.edge_joint)
    words = {"count": staves, "width": shop.words(width)}
    if width > allowances.widest_stave + 1e-9:
        limit = shop.words(allowances.widest_stave)
        return staves, [spot.tell("staves-too-wide", staves, **words, limit=limit, least=least)]
    if width >= allowances.narrowest_stave - 1e-9 or staves == 1:
        return staves, []
    most = staves
    while (
        most > 1
        and stave_width(whole, allowances.panel_trim, most, allowances.edge_joint)
        < allowances.narrowest_stave
    ):
        most -= 1
    limit = shop.words(allowances.narrowest_stave)
    return staves, [spot.tell("staves-too-narrow", staves, **words, limit=limit, most=most)]


def _movement_remarks(part: Part, shop: Shop) -> list[str]:
    movement = shop.movement(part.species, part.cut)
    if part.width < WIDE or movement is None:
        return []
    now, driest, wettest = shop.moisture, shop.driest, shop.wettest
    swing = seasonal_swing(part.width, movement, now, driest, wettest)
    grows = part.width * (size_ratio(movement, now, wettest) - 1)
    shrinks = part.width * (1 - size_ratio(movement, now, driest))
    slot, one_edge = slot_length(grows, shrinks, SCREW), slot_length(2 * grows, 2 * shrinks, SCREW)
    return [
        f"Moves {shop.words(shop.up(swing))} across the grain from driest to wettest. Fix it at the middle only: each "
        f"edge then moves up to {shop.words(shop.up(grows / 2))} outward and {shop.words(shop.up(shrinks / 2))} inward from where it "
        f"stands today. Slots for screws {shop.words(SCREW)} thick: {shop.words(shop.up(slot))} long, the screw in the "
        f"middle of its slot today; fixed along one edge instead, {shop.words(shop.up(one_edge))} at the other."
    ]

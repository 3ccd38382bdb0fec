"""Parts: the blanks that each one takes, and how their sizes came about."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from sheetkit.calc.rough import gangs, least_plies, least_staves, ply_thickness, stave_width
from sheetkit.plan.matching import kept
from sheetkit.plan.near_stock import near_remark, near_stock
from sheetkit.plan.notes import counted
from sheetkit.plan.shop import Offer, Shop, chosen_stock, joined, rift_remark
from sheetkit.plan.small import Alone, small_remarks, small_ways
from sheetkit.plan.tops import top_moves, top_words
from sheetkit.records.allowances import SizeClass
from sheetkit.records.job import Panel, Part
from sheetkit.records.notes import Notes, Spot
from sheetkit.records.wood import Blank, PartAnswer, Small


def part_answer(part: Part, shop: Shop, notes: Notes) -> PartAnswer | None:
    """Return the blanks of a part, or None when no stock can make it."""
    make = {"solid": _solid, "face-glued": _face_glued, "edge-glued": _edge_glued}[part.made_as]
    size = shop.size_class(_finished_length(part))
    made = make(part, size, shop, notes)
    if made is None:
        return None
    blanks, worked_out, remarks, small = made
    rift = rift_remark(part.cut, notes.at(part.row, "cut"))
    near = None if part.stock else near_stock(blanks, size, shop, glued=part.made_as == "edge-glued")
    missed = near_remark(near, blanks[0].stock.name, shop) if near else ""
    volume = part.thickness * part.width * _finished_length(part) * part.qty
    moves = top_moves(part, shop)
    return PartAnswer(
        part,
        blanks,
        worked_out,
        shop.weight(part.species, volume),
        joined((*remarks, missed, rift, top_words(moves, shop) if moves else "")),
        near,
        small=small,
    )


Made = tuple[tuple[Blank, ...], str, list[str], tuple[Small, ...]]


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


def blank_of(
    of: Part | Panel, offer: Offer, count: int, size: tuple[float, float, float], each: int = 1
) -> Blank:
    """Return equal blanks of this thickness, width and length, of which one piece takes ``each``."""
    name, tab = (of.part, "Parts") if isinstance(of, Part) else (of.panel, "Panels")
    how = kept(of.together, of.how, each)
    wood = of.species, offer.stock
    return Blank(name, tab, of.row, *wood, count, *size, together=how.together, how=how.how, each=how.each)


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
            cut = need, shop.taped(rip.size), shop.taped(row.size)
            blank = blank_of(part, offer, rip.blanks, cut)
            blanks.append(replace(blank, along=row.pieces, across=rip.pieces))
    length_words = _length_words(part, size.length, "trim", shop)
    width_words = f"{shop.words(part.width)}{_curve_words(part, shop)} + {shop.words(size.width)}"
    words = [
        f"{length_words} = {shop.taped_words(finished + size.length)} long",
        f"{width_words} = {shop.taped_words(width + size.width)} wide",
        shop.thickness_words(part.thickness, offer, size),
    ]
    small = small_ways(Alone(part.thickness, width + size.width, finished + size.length), shop)
    remarks = [remark, *small_remarks(small, blanks, notes, part.row, shop)]
    if width > allowances.widest_stave + 1e-9 and width + size.width > allowances.widest_stave:
        limit = shop.words(allowances.widest_stave)
        spot = notes.at(part.row, "width")
        remarks.append(spot.tell("wide-solid", shop.words(width), width=shop.words(width), limit=limit))
    return tuple(blanks), "; ".join(words), remarks, small


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
    finished, whole = _finished_length(part), part.width + part.rise
    width, length = whole + allowances.ply_width, finished + size.length
    blanks = []
    for row in gangs(finished, part.qty, size.length, allowances.crosscut_kerf, allowances.shortest):
        for rip in gangs(whole, row.blanks, allowances.ply_width, allowances.rip_kerf, allowances.narrowest):
            cut = need, shop.taped(rip.size), shop.taped(row.size)
            blank = blank_of(part, offer, rip.blanks * plies, cut, plies)
            blank = replace(blank, role="ply", per_glue_up=plies, wholes=rip.blanks)
            blanks.append(replace(blank, along=row.pieces, across=rip.pieces))
    words = [
        f"{plies} plies: ({shop.words(part.thickness)} + {shop.words(allowances.ply_clean_up)} clean-up)"
        f" / {plies}{extra} = {shop.words(need)} thick: {', '.join(filter(None, (offer.stock.name, flat)))}",
        f"{shop.words(part.width)}{_curve_words(part, shop)} + {shop.words(allowances.ply_width)}"
        f" = {shop.taped_words(width)} wide",
        f"{_length_words(part, size.length, 'trim', shop)} = {shop.taped_words(length)} long",
    ]
    planed = ply_thickness(part.thickness, allowances.ply_clean_up, plies, 0.0)
    small = small_ways(Alone(planed, width, length), shop)
    return (
        tuple(blanks),
        "; ".join(words),
        [remark, *small_remarks(small, blanks, notes, part.row, shop)],
        small,
    )


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
    finished, glued = _finished_length(part), whole + allowances.panel_trim
    length = finished + allowances.panel_length
    trim, wide = allowances.panel_length, shop.taped(max(width, allowances.narrowest))
    blanks = []
    for row in gangs(finished, part.qty, trim, allowances.crosscut_kerf, allowances.shortest):
        blank = blank_of(part, offer, row.blanks * staves, (need, wide, shop.taped(row.size)), staves)
        blank = replace(blank, along=row.pieces, role="stave", glued_width=glued)
        blanks.append(replace(blank, per_glue_up=staves, wholes=row.blanks))
    words = [
        stave_words(whole, staves, width, shop, _curve_words(part, shop), part.width),
        f"{_length_words(part, allowances.panel_length, 'trim', shop)} = {shop.taped_words(length)} long",
        shop.thickness_words(part.thickness, offer, size, glued=True),
    ]
    small = small_ways(Alone(part.thickness, width, length), shop)
    remarks = [remark, *stave_remarks, *small_remarks(small, blanks, notes, part.row, shop)]
    return tuple(blanks), "; ".join(words), remarks, small


def stave_words(
    whole: float, staves: int, width: float, shop: Shop, curve: str = "", bare: float | None = None
) -> str:
    """Say how the width of a stave came about."""
    allowances = shop.allowances
    jointed = min(staves - 1, 2)
    edges = f" + {jointed} x {shop.words(allowances.edge_joint)} jointed" if jointed else ""
    start = shop.words(whole if bare is None else bare)
    trim, count = shop.words(allowances.panel_trim), counted(staves, "stave")
    return f"{count}: ({start}{curve} + {trim}) / {staves}{edges} = {shop.taped_words(width)} wide"


def stave_count(whole: float, asked: int | None, shop: Shop, spot: Spot) -> tuple[int, list[str]]:
    """Return the number of staves, the maker's own or the fewest, with remarks on slivers and wide ones."""
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

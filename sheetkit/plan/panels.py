"""Panels: the size to cut today, what is left in the groove at the driest and wettest, and their blanks."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from sheetkit.calc.grooves import room_in_grooves
from sheetkit.calc.movement import (
    RANGE,
    Movement,
    bearing_each_side,
    groove_depth_needed,
    panel_size_today,
    size_ratio,
)
from sheetkit.calc.rough import Gang, gangs, least_staves, leaves_from, stave_width, thickness_for_leaves
from sheetkit.plan.matching import EACH_PIECE
from sheetkit.plan.near_stock import near_remark, near_stock
from sheetkit.plan.parts import blank_of, stave_count, stave_words
from sheetkit.plan.shop import Offer, Shop, chosen_stock, joined, rift_remark
from sheetkit.plan.small import Alone, small_remarks, small_ways
from sheetkit.records.allowances import SizeClass
from sheetkit.records.job import Panel
from sheetkit.records.notes import Notes
from sheetkit.records.wood import Blank, PanelAnswer, Small
from sheetkit.units import rounded_up

FAR_OFF = 3 / 8
"""A measured opening that differs this much from the planned one is worth a second look [in]."""


@dataclass(frozen=True, slots=True)
class Frame:
    """An opening along and across the grain of its panel."""

    across: float
    along: float
    groove_across: float
    groove_along: float
    measured: bool


def _frame(panel: Panel, shop: Shop, notes: Notes) -> Frame | None:
    sizes = {}
    for which, planned, measured in (
        ("width", panel.opening_width, panel.measured_width),
        ("height", panel.opening_height, panel.measured_height),
    ):
        size = planned if measured is None else measured
        if size is None:
            by = "in Run the run on Spacing" if which == "width" else "in Rails the two rails on Joints"
            notes.tell("no-opening", panel.row, f"opening_{which}", which=which, by=by)
            continue
        if measured is not None and planned is not None and abs(measured - planned) > FAR_OFF:
            off = shop.words(abs(measured - planned))
            spot = notes.at(panel.row, f"measured_{which}")
            spot.tell("measured-far-off", shop.words(measured), which=which, difference=off)
        sizes[which] = size
    if len(sizes) < 2:
        return None
    measured_both = panel.measured_width is not None and panel.measured_height is not None
    if panel.grain == "across":
        return Frame(sizes["height"], sizes["width"], panel.groove_ends, panel.groove_sides, measured_both)
    return Frame(sizes["width"], sizes["height"], panel.groove_sides, panel.groove_ends, measured_both)


def panel_answer(panel: Panel, shop: Shop, notes: Notes) -> PanelAnswer | None:
    """Return the size of a panel today and its blanks, or None when it cannot be had."""
    frame = _frame(panel, shop, notes)
    movement = shop.movement(panel.species, panel.cut)
    if movement is None:
        name = panel.species.name
        notes.tell("no-shrinkage", panel.row, "species", name, species=name)
    if frame is None or movement is None or shop.sheet.moisture_now is None:
        return None
    now, driest, wettest = shop.sheet.moisture_now, shop.driest, shop.wettest
    clear = shop.allowances.least_clearance
    across = shop.down(
        panel_size_today(frame.across, 2 * frame.groove_across, 2 * clear, movement, now, wettest)
    )
    along = shop.down(frame.along + 2 * frame.groove_along - 2 * clear)
    if across <= frame.across or along <= frame.along:
        short = across <= frame.across
        size, opening = (across, frame.across) if short else (along, frame.along)
        groove = "groove_sides" if short == (panel.grain != "across") else "groove_ends"
        words = {"size": shop.words(size), "opening": shop.words(opening)}
        notes.tell("no-panel", panel.row, groove, across="across" if short else "along", **words)
        return None
    grooves = 2 * frame.groove_across
    gap = room_in_grooves(frame.across, grooves, across) / 2
    bearing = bearing_each_side(across, frame.across, movement, now, driest)
    clearance = room_in_grooves(frame.across, grooves, across * size_ratio(movement, now, wettest))
    remarks = [*notes.of(panel.row), rift_remark(panel.cut, notes.at(panel.row, "cut"))]
    if now > shop.sheet.moisture_wettest:
        remarks.append(f"Sized for today's {now:.3g} %, the wettest it sees.")
    elif now < shop.sheet.moisture_driest:
        remarks.append(f"In groove at driest is today's, at {now:.3g} %, the driest it sees.")
    if not frame.measured:
        remarks.append(notes.at(panel.row, "measured_width").tell("provisional"))
    remarks.append(_bearing_remark(panel, frame, bearing, movement, shop, notes))
    low, high = RANGE
    if (
        not low <= min(now, driest, wettest) <= max(now, driest, wettest) <= high
        and movement.shrinkage is not None
    ):
        remarks.append(notes.at(panel.row, "species").tell("outside-range", species=panel.species.name))
    made = (_leaves if panel.made_as in ("resawn", "bookmatched") else _staves)(
        panel, across, along, frame, shop, notes
    )
    if made is None:
        return None
    blanks, worked_out, more, small = made
    near = near_stock(blanks, shop.size_class(along), shop, glued=True)
    if near:
        more = [*more, near_remark(near, blanks[0].stock.name, shop)]
    width, height = (along, across) if panel.grain == "across" else (across, along)
    weight = shop.weight(panel.species, across * along * panel.thickness * panel.qty)
    sizes, told = (width, height, gap, bearing, clearance / 2), joined((*remarks, *more))
    return PanelAnswer(panel, *sizes, frame.measured, blanks, worked_out, weight, told, near, small=small)


def _bearing_remark(
    panel: Panel, frame: Frame, bearing: float, movement: Movement, shop: Shop, notes: Notes
) -> str:
    """Say what would do when the panel stands too little in its groove."""
    wanted, clear = shop.allowances.least_bearing, shop.allowances.least_clearance
    if bearing >= wanted - 1e-9:
        return ""
    now, driest, wettest = shop.moisture, shop.driest, shop.wettest
    step = shop.sheet.step
    # the panel is rounded down by up to one step, half of which each side loses
    depth = rounded_up(
        groove_depth_needed(frame.across, wanted + step / 2, clear, movement, now, driest, wettest), step
    )
    ways = [f"A groove {shop.words(depth)} deep would do"]
    others = [("quarter-sawn", panel.species, "quarter")] if panel.cut != "quarter" else []
    priced = {price.species.id: price.species for price in shop.job.prices if price.species != panel.species}
    others += [(species.name, species, panel.cut) for species in priced.values()]
    for name, species, cut in others:
        other = shop.movement(species, cut)
        if other is None:
            continue
        size = shop.down(
            panel_size_today(frame.across, 2 * frame.groove_across, 2 * clear, other, now, wettest)
        )
        gives = bearing_each_side(size, frame.across, other, now, driest)
        if name == "quarter-sawn" or gives >= wanted:
            ways.append(f"{name} would give {shop.fine(gives)} with a panel of {shop.words(size)}")
    words = {"bearing": shop.fine(bearing), "wanted": shop.words(wanted), "ways": "; ".join(ways) + "."}
    stands = shop.words(frame.groove_across)
    found = notes.tell("bearing-short", panel.row, "groove_sides", stands, **words)
    return f"{found.says} {found.instead}"


Made = tuple[tuple[Blank, ...], str, list[str], tuple[Small, ...]]


def _staves(panel: Panel, across: float, along: float, frame: Frame, shop: Shop, notes: Notes) -> Made | None:
    allowances = shop.allowances
    size = shop.size_class(along)
    offer, remark = chosen_stock(
        panel.species,
        lambda offer: panel.thickness + shop.flattening(offer, size, glued=True),
        panel.stock,
        2,
        shop,
        notes.at(panel.row, "stock" if panel.stock else "thickness"),
    )
    if offer is None:
        return None
    need = shop.up(panel.thickness + shop.flattening(offer, size, glued=True))
    staves, more = stave_count(across, panel.leaves, shop, notes.at(panel.row, "leaves"))
    width = stave_width(across, allowances.panel_trim, staves, allowances.edge_joint)
    length = along + allowances.panel_length
    wide, glued = shop.taped(max(width, allowances.narrowest)), across + allowances.panel_trim
    blanks: tuple[Blank, ...] = ()
    for row in _lengths(panel, along, shop):
        blank = blank_of(panel, offer, row.blanks * staves, (need, wide, shop.taped(row.size)), staves)
        blank = replace(blank, along=row.pieces, provisional=not frame.measured, role="stave")
        blanks += (replace(blank, per_glue_up=staves, wholes=row.blanks, glued_width=glued),)
    small = small_ways(Alone(panel.thickness, width, length), shop)
    thick = shop.thickness_words(panel.thickness, offer, size, glued=True)
    words = f"{stave_words(across, staves, width, shop)}; {_long(along, shop)}; {thick}"
    return blanks, words, [remark, *more, *small_remarks(small, blanks, notes, panel.row, shop)], small


def _lengths(panel: Panel, along: float, shop: Shop) -> tuple[Gang, ...]:
    """Return the lengths to glue up: panels too short for the machines are cut apart after the glue."""
    allowances = shop.allowances
    return gangs(along, panel.qty, allowances.panel_length, allowances.crosscut_kerf, allowances.shortest)


def _leaves(panel: Panel, across: float, along: float, frame: Frame, shop: Shop, notes: Notes) -> Made | None:
    """Return the blanks to resaw: a matched panel from one blank, others from one that yields two leaves."""
    allowances = shop.allowances
    size = shop.size_class(along)
    matched = panel.made_as == "bookmatched"
    lengths = _lengths(panel, along, shop)
    wholes = sum(row.blanks for row in lengths)
    least = least_staves(across, allowances.panel_trim, allowances.edge_joint, allowances.widest_stave)
    leaves = panel.leaves or (2 if matched else least)
    offer, in_one = _resawn_stock(panel, size, leaves if matched else 2, leaves * wholes, shop, notes)
    if offer is None:
        return None
    flatten = shop.flattening(offer, size, glued=True)
    # the leaves of a panel that is matched come from blanks of its own, so that they open like a book
    each = math.ceil(leaves / in_one)
    alike = replace(panel, together=panel.together or (EACH_PIECE if matched else ""))
    own = matched or panel.together.casefold() == EACH_PIECE
    counts = [row.blanks * each if own else math.ceil(row.blanks * leaves / in_one) for row in lengths]
    width = stave_width(across, allowances.panel_trim, leaves, allowances.edge_joint)
    length = along + allowances.panel_length
    sawn = allowances.resaw_kerf, allowances.resaw_clean_up
    need = shop.up(thickness_for_leaves(panel.thickness, in_one, *sawn, flatten))
    thick, wide = min(need, offer.measures), shop.taped(max(width, allowances.narrowest))
    blanks: tuple[Blank, ...] = ()
    for row, count in zip(lengths, counts, strict=True):
        blank = blank_of(alike, offer, count, (thick, wide, shop.taped(row.size)), each)
        blank = replace(blank, along=row.pieces, provisional=not frame.measured, role="leaf")
        blanks += (replace(blank, per_glue_up=leaves, wholes=row.blanks, layers=in_one),)
    small = small_ways(Alone(panel.thickness, width, length), shop)
    words = (
        f"{leaves} leaves, {in_one} from one blank of {offer.stock.name}: "
        f"{in_one} x {shop.words(panel.thickness)} + {in_one - 1} x {shop.words(sum(sawn))} sawn and planed"
        f" + {shop.words(flatten)} {'planed flush' if offer.surfaced else 'flattened'} = {shop.words(need)};"
        f" {stave_words(across, leaves, width, shop)}; {_long(along, shop)}"
    )
    more = ["Mark the blank's face before resawing; keep the leaves in order."] if matched else []
    return blanks, words, [*more, *small_remarks(small, blanks, notes, panel.row, shop)], small


def _long(along: float, shop: Shop) -> str:
    """Say how the length of a blank came about."""
    trim = shop.allowances.panel_length
    return f"{shop.words(along)} + {shop.words(trim)} trim = {shop.taped_words(along + trim)} long"


def _resawn_stock(
    panel: Panel, size: SizeClass, at_best: int, all_leaves: int, shop: Shop, notes: Notes
) -> tuple[Offer | None, int]:
    """Return the thinnest stock that yields `at_best` leaves, else two, and how many a blank of it yields."""
    allowances = shop.allowances

    def leaves(offer: Offer) -> int:
        flat = offer.measures - shop.flattening(offer, size, glued=True)
        if flat <= 0:
            return 0
        return leaves_from(flat, panel.thickness, allowances.resaw_kerf, allowances.resaw_clean_up)

    if panel.stock is not None:
        offer, _ = chosen_stock(
            panel.species,
            lambda offer: panel.thickness + shop.flattening(offer, size, glued=True),
            panel.stock,
            2,
            shop,
            notes.at(panel.row, "stock"),
        )
        return offer, max(1, leaves(offer)) if offer else 0
    for wanted in (at_best, min(2, all_leaves)):
        for offer in shop.offers(panel.species):
            if leaves(offer) >= min(wanted, all_leaves):
                return offer, leaves(offer)
    leaf = shop.words(panel.thickness)
    notes.tell("no-leaf", panel.row, "thickness", leaf, species=panel.species.name, leaf=leaf)
    return None, 0

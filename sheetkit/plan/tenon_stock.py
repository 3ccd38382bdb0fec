"""Stock for loose tenons and dowels: how much of each section, and what it can be milled from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from sheetkit.calc.joints import TenonPieces, tenon_stock, tenon_strips
from sheetkit.calc.lumber import in_a_row
from sheetkit.plan.shop import Shop
from sheetkit.plan.small import Alone, small_ways
from sheetkit.records.job import Part
from sheetkit.records.joinery import JointAnswer, TenonMilling, TenonSource
from sheetkit.records.wood import Small, StockLayout
from sheetkit.tables import Species


class _Spare(NamedTuple):
    """A piece of wood that nothing else is cut from: a left-over of the layout, or an untouched board."""

    species: Species
    stock: str
    thickness: float
    """That can be planed to [in]."""
    board: str
    left_over: bool
    length: float
    width: float


def tenon_milling(
    answers: Sequence[JointAnswer], layouts: Sequence[StockLayout], shop: Shop
) -> tuple[TenonMilling, ...]:
    """Return the loose tenons and dowels by section, each milled (or bought) as one length, and what from."""
    found: list[TenonMilling] = []
    kerf = shop.allowances.crosscut_kerf
    spare = _spare_wood(layouts, shop)
    for round_one in (False, True):
        kind = "dowel" if round_one else "loose tenon"
        these = [
            answer for answer in answers if answer.joint.kind == kind and answer.stock_length is not None
        ]
        pieces = {answer.joint.row: _pieces(answer, round_one) for answer in these}
        for stock in tenon_stock(pieces.values(), kerf):
            of = [answer for answer in these if _same(pieces[answer.joint.row], stock.thickness, stock.width)]
            lengths: dict[float, int] = {}
            for answer in of:
                one = pieces[answer.joint.row]
                lengths[one.length] = lengths.get(one.length, 0) + one.count
            longest_first = tuple((lengths[length], length) for length in sorted(lengths, reverse=True))
            names = tuple(dict.fromkeys(answer.joint.joint for answer in of))
            size = stock.thickness, stock.width, round_one
            milled = TenonMilling(*size, stock.count, stock.cuts, stock.length, longest_first, names)
            wood = [answer.from_part.species for answer in of if isinstance(answer.from_part, Part)]
            if not round_one:
                milled = replace(_as_milled(milled, shop), source=_source(milled, wood, spare, shop))
            found.append(milled)
    return tuple(found)


def _as_milled(milled: TenonMilling, shop: Shop) -> TenonMilling:
    """Return stock that the machines take: no shorter than they may, and what is done to pass it."""
    least = shop.allowances.shortest
    small = small_ways(Alone(milled.thickness, milled.width, milled.length), shop)
    if milled.lengths[-1][1] < least - 1e-9:
        small = (*small, Small.SLED)
    return replace(milled, length=max(milled.length, least), small=small)


def _pieces(answer: JointAnswer, round_one: bool) -> TenonPieces:
    joint = answer.joint
    width = joint.thickness if round_one or joint.width is None else joint.width
    return TenonPieces(joint.thickness, width, answer.tenon_length or 0.0, answer.pieces)


def _same(piece: TenonPieces, thickness: float, width: float) -> bool:
    return round(piece.thickness, 4) == round(thickness, 4) and round(piece.width, 4) == round(width, 4)


def _spare_wood(layouts: Sequence[StockLayout], shop: Shop) -> list[_Spare]:
    """Return what the board layout leaves: left-overs, the smallest first, then whole boards of the rack."""
    found = []
    for laid in layouts:
        offer = shop.named(laid.species, laid.stock)
        if offer is None:
            continue
        thick = offer.measures - shop.flattening(offer, shop.size_class(0.0))
        wood = laid.species, laid.stock.name, thick
        boards = laid.layout.boards
        found += [
            _Spare(*wood, left.board, True, left.clear, left.width)
            for each in boards
            for left in each.left_overs
        ]
        found += [
            _Spare(*wood, board.id, False, board.length - board.trim_start - board.trim_end, board.width)
            for board in laid.layout.unused
            if not board.bad
        ]
    return sorted(found, key=lambda spare: (not spare.left_over, spare.length * spare.width, spare.board))


def _source(
    milled: TenonMilling, wood: Sequence[Species], spare: list[_Spare], shop: Shop
) -> TenonSource | None:
    """Return what to mill a section from: a left-over before a board, wood of its parts first, thin first.

    Long enough for a machine, as wide as its strips and their saw cuts, edges straightened. The rest of
    its width is offered again.
    """
    allowances = shop.allowances
    longest = max(length for _, length in milled.lengths)
    rough = shop.taped(milled.width + shop.size_class(0.0).width)
    for piece in sorted(
        spare, key=lambda each: (not each.left_over, each.species not in wood, each.thickness)
    ):
        strips = tenon_strips(milled.count, longest, piece.length, allowances.crosscut_kerf)
        wide = in_a_row([rough] * strips, allowances.rip_kerf) + allowances.edge_trim
        long_enough = piece.length >= allowances.shortest - 1e-9
        if (
            strips
            and long_enough
            and piece.thickness >= milled.thickness - 1e-9
            and wide <= piece.width + 1e-9
        ):
            rest = piece.width - wide - allowances.rip_kerf
            spare[spare.index(piece)] = piece._replace(width=rest)
            return TenonSource(piece.species, piece.stock, piece.board, piece.left_over, strips, rough)
    return None

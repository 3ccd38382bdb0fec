"""The thinner stock that blanks just miss, and what the miss costs."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from sheetkit.calc.lumber import to_buy
from sheetkit.calc.metric_stock import straightened_thickness
from sheetkit.plan.buying import cost_of, waste_of
from sheetkit.plan.shop import Offer, Shop, straightens
from sheetkit.plan.volume import volume_of
from sheetkit.records.allowances import SizeClass
from sheetkit.records.wood import Blank, NearStock
from sheetkit.units import MM

JUST = 3 / 16
"""A stock that is too thin by no more is worth a thought, common practice; 5 mm in a mm job [in]."""
SKIM = 1 / 16
"""Planed at least off both faces of a board that lies flat, common practice; a straightened one 1 mm [in]."""


def near_stock(blanks: Sequence[Blank], size: SizeClass, shop: Shop, glued: bool = False) -> NearStock | None:
    """Return the thickest stock that equal blanks just miss, None when there is none or nothing is saved."""
    first = blanks[0]
    chosen = shop.named(first.species, first.stock)
    if chosen is None or first.role == "leaf":
        return None
    bare = first.thickness - shop.flattening(chosen, size, glued)
    thinner = [
        offer
        for offer in shop.offers(first.species)
        if offer.stock.nominal < chosen.stock.nominal - 1e-9
        and offer.measures < shop.up(bare + shop.flattening(offer, size, glued)) - 1e-9
    ]
    if not thinner:
        return None
    offer = max(thinner, key=lambda each: each.measures)
    short = shop.up(bare + shop.flattening(offer, size, glued)) - offer.measures
    if short > shop.units.either(JUST, 5 / MM) + 1e-9:
        return None
    volume, cost = bought(blanks, chosen, shop)
    less, cheaper = bought(blanks, offer, shop)
    more = None if cost is None or cheaper is None else cost - cheaper
    if volume <= less + 1e-9 if more is None else more <= 0:
        return None
    straight = straightened_thickness(offer.measures) if straightens(offer) else None
    enough = offer.measures - SKIM if straight is None else straight - 1 / MM
    return NearStock(offer.stock, short, volume - less, more, straight, bare <= enough + 1e-9)


def bought(blanks: Sequence[Blank], offer: Offer, shop: Shop) -> tuple[float, Decimal | None]:
    """Return what is bought of a stock for some blanks, waste and all [bf], and what it costs."""
    net = sum(each.count * volume_of(offer.stock, each.width, each.length, shop.units) for each in blanks)
    waste = waste_of(offer.price)
    volume = to_buy(net, waste) if waste < 1 else net
    price = offer.price.price if offer.price else None
    return volume, None if price is None else cost_of(volume, price, shop.units)


def near_remark(near: NearStock, chosen: str, shop: Shop) -> str:
    """Say which stock was just missed, what that costs, and what would do."""
    units = shop.units
    if near.more is not None:
        costs = f"{units.currency}{near.more:,.2f} more"
    else:
        places = 4 if units.in_m3 else 1
        costs = f"{units.volume(near.volume):.{places}f} {units.volume_word} more"
    said = f"{near.stock.name} misses by {shop.words(shop.up(near.short))}: {chosen} costs {costs}."
    thinner = f"make it {shop.words(shop.up(near.short))} thinner"
    if not near.flat_would_do:
        return f"{said} To use {near.stock.name}, {thinner}."
    flat = ""
    if near.straightened is not None:
        flat = f" Straightened it leaves about {shop.words(shop.down(near.straightened))}."
    return f"{said}{flat} If your boards lie flat, write {near.stock.name} in Stock; or {thinner}."

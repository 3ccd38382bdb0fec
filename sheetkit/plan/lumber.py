"""Lumber: blanks gathered by species and stock, with waste, price, and the boards that they need at least."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from sheetkit.calc.lumber import in_a_row, to_buy
from sheetkit.plan.buying import boards_to_look_for, cost_of, pile_needed, waste_of
from sheetkit.plan.shop import Shop
from sheetkit.plan.volume import volume_of, volume_of_blanks
from sheetkit.records.notes import Notes
from sheetkit.records.wood import Blank, LumberLine, StockLayout
from sheetkit.tables import grades_without_waste
from sheetkit.units import cents, money_from_number

WHENCE = {
    "quarters": "as yards that sell in quarters have them",
    "preferred": "the preferred thicknesses of EN 1313-2",
    "Germany, Austria": "as yards in Germany and Austria have them",
    "United Kingdom": "as yards in the United Kingdom have them",
}


def least_board(blanks: Sequence[Blank], shop: Shop) -> tuple[float, float]:
    """Return the least width and length of board that the widest, longest and matched blanks need.

    An edge and both ends are trimmed; staves may be as narrow as the shop glues them.
    """
    kerfs = shop.allowances.rip_kerf, shop.allowances.crosscut_kerf
    stave = max(shop.allowances.narrowest_stave, shop.allowances.narrowest)
    width = max(stave if blank.role == "stave" else blank.width for blank in blanks)
    length = max(blank.length for blank in blanks)
    groups: dict[tuple[str, str], list[Blank]] = {}
    for blank in blanks:
        if blank.each:
            width = max(width, in_a_row([blank.width] * blank.each, kerfs[0]))
        elif blank.together and blank.how in ("side by side", "end to end"):
            groups.setdefault((blank.together, blank.how), []).append(blank)
    for (_, how), members in groups.items():
        each = [blank for blank in members for _ in range(blank.count)]
        if how == "side by side":
            width = max(width, in_a_row([blank.width for blank in each], kerfs[0]))
        else:
            length = max(length, in_a_row([blank.length for blank in each], kerfs[1]))
    return width + shop.allowances.edge_trim, length + 2 * shop.allowances.end_trim


def lumber_lines(
    blanks: Sequence[Blank], layouts: Sequence[StockLayout], shop: Shop, notes: Notes
) -> tuple[LumberLine, ...]:
    """Return what to buy of each species and stock, thickest last."""
    groups: dict[tuple[str, float], list[Blank]] = {}
    for blank in blanks:
        groups.setdefault((blank.species.name, blank.stock.nominal), []).append(blank)
    lines = []
    for key in sorted(groups):
        members = groups[key]
        first = members[0]
        offer = shop.named(first.species, first.stock)
        price = offer.price if offer else None
        waste = waste_of(price)
        if waste >= 1:
            notes.tell("waste-impossible", price.row if price else 0, "waste", f"{waste:.0%}")
            continue
        net = volume_of_blanks(members, shop.units)
        buy = to_buy(net, waste)
        each = price.price if price else None
        laid = next(
            (
                layout
                for layout in layouts
                if layout.blanks[0].stock == first.stock and layout.species == first.species
            ),
            None,
        )
        if laid is not None:
            lines.append(_from_rack(laid, members, each, shop, price.row if price else 0))
        else:
            cost = None if each is None else cost_of(buy, each, shop.units)
            line = LumberLine(
                *(first.species, first.stock, net, waste, buy, each, cost),
                *least_board(members, shop),
                sum(blank.count for blank in members),
                *(price.row if price else 0, price is not None and price.waste is not None),
                (),
                boards_to_look_for(members, shop),
                *pile_needed(members, shop.units),
            )
            lines.append(line)
        if price is not None and price.waste is None and price.grade.casefold() in grades_without_waste():
            notes.tell("waste-assumed", price.row, "waste", grade=price.grade, share=f"{100 * waste:.0f} %")
        if lines[-1].cost is None:
            wood = {"species": first.species.name, "stock": first.stock.name}
            notes.tell("unpriced", price.row if price else 0, "price", **wood)
    for species in dict.fromkeys(blank.species for blank in blanks if blank.species.id in shop.assumed):
        stocks = ", ".join(offer.stock.name for offer in shop.offers(species))
        notes.tell("assumed-stock", species=species.name, stocks=stocks, whence=WHENCE[shop.yard])
    return tuple(lines)


def _from_rack(
    laid: StockLayout, blanks: Sequence[Blank], price: Decimal | None, shop: Shop, price_row: int
) -> LumberLine:
    """Return a line whose lumber is the boards really touched, and what is still to buy."""
    missing = sum(
        each.count * volume_of(laid.stock, each.width, each.length, shop.units) for each in laid.to_buy
    )
    taken = laid.layout.board_feet + missing
    net = volume_of_blanks(blanks, shop.units)
    used = {board.board.id for board in laid.layout.boards}
    of_its_own = any(
        board.price is not None and board.species == laid.species and board.board in used
        for board in shop.job.boards
    )
    cost: Decimal | None = None
    if price is not None and not of_its_own:
        cost = cost_of(taken, price, shop.units)
    elif laid.worth is not None and not (missing and price is None):
        cost = cents(money_from_number(laid.worth)) + cost_of(missing, price or Decimal(0), shop.units)
    return LumberLine(
        *(laid.species, laid.stock, net, 1 - net / taken if taken > net else 0.0, taken, price, cost),
        *least_board(blanks, shop),
        sum(blank.count for blank in blanks),
        price_row,
        boards=tuple(board.board.id for board in laid.layout.boards),
        bought=tuple(board.board.id for board in laid.layout.boards if board.board.id in laid.bought),
    )

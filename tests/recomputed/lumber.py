"""Lumber: what the blanks hold, what to buy, what it costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from tests.recomputed.money import cents
from tests.recomputed.parts import Blank
from tests.recomputed.shop import MM, USUAL_WASTE, WASTE, Shop, size_of, total


@dataclass(frozen=True)
class Laid:
    """What the board layout chose: this is not worked out here, only what follows from it."""

    boards: tuple[str, ...]
    to_buy: tuple[tuple[int, Fraction, Fraction], ...]
    """How many boards to buy, their width and length [in]."""


@dataclass(frozen=True)
class Line:
    species: str
    stock: str
    blanks: int
    net: Fraction
    waste: Fraction
    buy: Fraction
    cost: Decimal | None
    least_width: Fraction
    least_length: Fraction


def volume(shop: Shop, blank: Blank) -> Fraction:
    return blank.count * shop.volume(blank.offer.nominal, blank.width, blank.length)


def lines(shop: Shop, blanks: Sequence[Blank], laid: dict[tuple[str, str], Laid]) -> list[Line]:
    groups: dict[tuple[str, Fraction], list[Blank]] = {}
    for blank in blanks:
        groups.setdefault((blank.species, blank.offer.nominal), []).append(blank)
    return [
        _line(shop, groups[key], laid.get((key[0], groups[key][0].offer.stock))) for key in sorted(groups)
    ]


def _line(shop: Shop, blanks: list[Blank], laid: Laid | None) -> Line:
    first = blanks[0]
    offer, row = first.offer, first.offer.price or {}
    price: Decimal | None = row.get("Price")
    waste = waste_of(row)
    net = total([volume(shop, blank) for blank in blanks])
    cost: Decimal | None
    if laid is None:
        buy = net / (1 - waste)
        cost = None if price is None else cents(buy * Fraction(price))
    else:
        missing = total(
            [count * shop.volume(offer.nominal, width, length) for count, width, length in laid.to_buy]
        )
        held = rack(shop)
        rows = [
            row
            for row in shop.rows("Boards")
            if (row["Species"], row["Stock"]) == (first.species, offer.stock)
        ]
        taken = [(row.get("Price"), held[row["Board"]]) for row in rows if row["Board"] in laid.boards]
        buy = total([feet for _, feet in taken]) + missing
        waste = 1 - net / buy if buy > net else Fraction(0)
        all_priced = price is not None or all(row.get("Price") is not None for row in rows)
        cost = None
        if all_priced and not (missing and price is None):
            touched = total(
                [feet * Fraction(price or 0) if own is None else Fraction(own) for own, feet in taken]
            )
            rest = missing * Fraction(price or 0)
            by_volume = all(own is None for own, _ in taken)  # one sum, so rounded once
            cost = cents(touched + rest) if by_volume else cents(touched) + cents(rest)
    width, length = _least_board(shop, blanks)
    return Line(
        first.species, offer.stock, sum(blank.count for blank in blanks), net, waste, buy, cost, width, length
    )


def missing(shop: Shop, line: Line, laid: Laid) -> tuple[Fraction, Decimal | None]:
    """What is bought beyond the boards at hand: boards taken at the yard whole, and what has no board yet; its cost."""
    held, costs, feet = rack(shop), [], Fraction(0)
    price = next(
        (
            row.get("Price")
            for row in shop.rows("Prices")
            if (row["Species"], row["Stock"]) == (line.species, line.stock)
        ),
        None,
    )
    for row in shop.rows("Boards"):
        if (
            row.get("Where") == "yard"
            and row["Board"] in laid.boards
            and (row["Species"], row["Stock"]) == (line.species, line.stock)
        ):
            own = row.get("Price")
            feet += held[row["Board"]]
            costs.append(
                own
                if own is not None
                else None
                if price is None
                else cents(held[row["Board"]] * Fraction(price))
            )
    still = total(
        [count * shop.volume(size_of(line.stock), width, length) for count, width, length in laid.to_buy]
    )
    if still:
        costs.append(None if price is None else cents(still * Fraction(price)))
    known = [cost for cost in costs if cost is not None]
    return feet + still, sum(known, Decimal("0.00")) if len(known) == len(costs) else None


def waste_of(row: Mapping[str, Any]) -> Fraction:
    typed = row.get("Waste")
    return (
        Fraction(WASTE.get(row.get("Grade", "").casefold(), USUAL_WASTE))
        if typed is None
        else Fraction(typed)
    )


def missed(shop: Shop, blanks: Sequence[Blank], usual: Fraction, glued: bool) -> tuple[str, Decimal] | None:
    """The thicker of the stocks that these blanks miss by 3/16 in (5 mm) at most, and what missing it costs."""
    offer = blanks[0].offer
    bare = blanks[0].thickness - offer.takes(usual, glued)
    near = [
        (other.measures, other)
        for other in shop.offers(blanks[0].species)
        if other.nominal < offer.nominal and other.measures < shop.up(bare + other.takes(usual, glued))
    ]
    if not near or blanks[0].role == "leaf":
        return None
    other = max(near, key=lambda each: each[0])[1]
    if shop.up(bare + other.takes(usual, glued)) - other.measures > (
        5 / MM if shop.metric else Fraction(3, 16)
    ):
        return None
    costs = []
    for each in (offer, other):
        row = each.price or {}
        if row.get("Price") is None:
            return None
        net = total([blank.count * shop.volume(each.nominal, blank.width, blank.length) for blank in blanks])
        costs.append(cents(net / (1 - waste_of(row)) * Fraction(row["Price"])))
    return (other.stock, costs[0] - costs[1]) if costs[0] > costs[1] else None


def _least_board(shop: Shop, blanks: list[Blank]) -> tuple[Fraction, Fraction]:
    """The widest and the longest blank, or whole groups of them; an edge and both ends of a board are trimmed."""
    stave = max(shop.allow["Narrowest stave"], shop.allow["Narrowest through machines"])
    widths = [stave if blank.role == "stave" else blank.width for blank in blanks]
    lengths = [blank.length for blank in blanks]
    for blank in blanks:
        if blank.each:
            widths.append(blank.each * blank.width + (blank.each - 1) * shop.allow["Rip kerf"])
    for label in {blank.together for blank in blanks if blank.together and not blank.each}:
        for how, sizes in (("side by side", widths), ("end to end", lengths)):
            kerf = shop.allow["Rip kerf" if sizes is widths else "Crosscut kerf"]
            group = [blank for blank in blanks if (blank.together, blank.how) == (label, how)]
            each = [
                blank.width if sizes is widths else blank.length
                for blank in group
                for _ in range(blank.count)
            ]
            if each:
                sizes.append(total(each) + kerf * (len(each) - 1))
    return max(widths) + shop.allow["Edge straightening"], max(lengths) + 2 * shop.allow["End trim"]


def rack(shop: Shop) -> dict[str, Fraction]:
    """What each board holds, by its mark: exact, net, or by the whole-foot tally, bundle by bundle (NHLA rules, 2023)."""
    found: dict[str, Fraction] = {}
    upward: dict[tuple[str, str], bool] = {}
    for row in shop.rows("Boards"):
        nominal = size_of(row["Stock"])
        if shop.job["Job"]["Board measure"] != "NHLA tally":
            found[row["Board"]] = shop.volume(nominal, row["Width"], row["Length"])
            continue
        bundle = (row["Species"], row["Stock"])
        exact = row["Width"] * (row["Length"] // 12) / 12
        whole, rest = divmod(exact, 1)
        if rest == Fraction(1, 2):
            whole += upward.get(bundle, True)
            upward[bundle] = not upward.get(bundle, True)
        elif rest > Fraction(1, 2):
            whole += 1
        found[row["Board"]] = whole * max(nominal, Fraction(1))
    return found


def net(shop: Shop, blanks: Sequence[Blank]) -> Fraction:
    return total([volume(shop, blank) for blank in blanks])

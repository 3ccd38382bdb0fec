"""Boards to buy when the rack is empty: those to look for in the pile, and how sure the waste is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import groupby

from sheetkit.calc.lumber import in_a_row, pile_share
from sheetkit.plan.notes import listed, name_key
from sheetkit.plan.shop import Shop
from sheetkit.plan.volume import volume_of_blanks
from sheetkit.records.job import Price
from sheetkit.records.notes import Notes
from sheetkit.records.units import Units
from sheetkit.records.wood import Blank, BoardsWanted
from sheetkit.tables import grade_waste, piles
from sheetkit.units import BOARD_FEET_PER_M3, MM, cents, money_from_number, rounded_up

# A board that any pile has plenty of, and the longest usually sold, in inches (common practice, no source).
PLENTIFUL_WIDTH = 6.0
PLENTIFUL_LENGTH = 96.0
LONGEST = 144.0
# A larger board is hardly found: the longest standard length of NHLA's rules (from memory); common practice.
LONGEST_FOUND, WIDEST_FOUND = 192.0, 16.0
USUAL_WASTE = 0.20
"""Share of what is bought, when neither waste nor a known grade stands on Prices (common practice)."""


def waste_of(price: Price | None) -> float:
    """Return the waste of a line of Prices: its own, its grade's, or the usual one."""
    if price is None:
        return USUAL_WASTE
    return grade_waste().get(price.grade.casefold(), USUAL_WASTE) if price.waste is None else price.waste


def cost_of(board_feet: float, price: Decimal, units: Units) -> Decimal:
    """Return what a volume costs at a price by the board foot, or by the cubic metre."""
    amount = board_feet / BOARD_FEET_PER_M3 if units.in_m3 else board_feet
    return cents(money_from_number(amount) * price)


def pile_needed(blanks: Sequence[Blank], units: Units) -> tuple[float, float]:
    """Return the board feet that half and nine of ten simulated piles had to have for these blanks."""
    net = volume_of_blanks(blanks, units)
    face = sum(blank.count * blank.width * blank.length for blank in blanks) / 144
    half, most = pile_share(face, max(blank.length for blank in blanks), piles())
    return net * half, net * most


def boards_to_look_for(blanks: Sequence[Blank], shop: Shop) -> tuple[BoardsWanted, ...]:
    """Return the boards that wide, long and matched blanks of one species and stock need, widest first."""
    alike = Counter[str]()
    of_one = [blank for blank in blanks if blank.each]
    blanks = [blank for blank in blanks if not blank.each]
    for blank in blanks:
        alike[blank.together] += blank.count
    matched = [blank for blank in blanks if blank.together and alike[blank.together] > 1]
    alone = [blank for blank in blanks if not blank.together or alike[blank.together] == 1]
    found = [wanted for blank in alone if (wanted := _for_one(blank, shop))]
    for blank in of_one:
        one = _for_group([replace(blank, count=blank.each)], blank.how, shop)
        found.append(replace(one, count=blank.count // blank.each))
    matched.sort(key=lambda blank: (blank.together, blank.how))
    for (_, how), members in groupby(matched, key=lambda b: (b.together, b.how)):
        found.append(_for_group(list(members), how, shop))
    return tuple(sorted(found, key=lambda wanted: (-wanted.width, -wanted.length, wanted.of)))


def _for_one(blank: Blank, shop: Shop) -> BoardsWanted | None:
    """Return boards for blanks that need not match, staves as narrow as may be; None if any will do."""
    least = max(shop.allowances.narrowest_stave, shop.allowances.narrowest)
    width = least if blank.role == "stave" else blank.width
    width, length = width + shop.allowances.edge_trim, blank.length + 2 * shop.allowances.end_trim
    if width <= PLENTIFUL_WIDTH and length <= PLENTIFUL_LENGTH:
        return None
    row = in_a_row([blank.length] * blank.count, shop.allowances.crosscut_kerf)
    whole = row + 2 * shop.allowances.end_trim
    return _wanted(blank.count, width, length, whole if blank.count > 1 else 0.0, (blank.of,), "", shop)


def tell_of_groups(blanks: Sequence[Blank], shop: Shop, on: Mapping[str, Notes]) -> None:
    """Say which blanks are to lie together in one board, though no yard has so large a one."""
    groups: dict[object, list[Blank]] = {}
    for blank in blanks:
        if blank.each:
            groups[blank.tab, blank.row] = [replace(blank, count=blank.each)]
        elif blank.together:
            key = (name_key(blank.together), blank.how, blank.species.id, blank.stock.nominal)
            groups.setdefault(key, []).append(blank)
    for members in groups.values():
        first = members[0]
        wanted = _for_group(members, first.how, shop)
        if sum(blank.count for blank in members) > 1 and _beyond((wanted.width, wanted.length)) > 1:
            size = {"width": shop.words(wanted.width), "length": shop.words(wanted.length)}
            names = listed(wanted.of)
            on[first.tab].tell("group-too-large", first.row, "together", first.together, of=names, **size)


def _for_group(members: Sequence[Blank], how: str, shop: Shop) -> BoardsWanted:
    """One board that holds a whole group; blanks of the same board lie in lanes as wide as the widest."""
    allowances = shop.allowances
    edge, ends = allowances.edge_trim, 2 * allowances.end_trim
    width, length = max(blank.width for blank in members), max(blank.length for blank in members)
    lengths = sorted((blank.length for blank in members for _ in range(blank.count)), reverse=True)
    if how == "side by side":
        width = in_a_row([blank.width for blank in members for _ in range(blank.count)], allowances.rip_kerf)
    elif how == "end to end":
        length = in_a_row(lengths, allowances.crosscut_kerf)
    else:
        kerf = allowances.rip_kerf
        usual = max(1, int((PLENTIFUL_WIDTH - edge + kerf) / (width + kerf)))
        shapes = (
            (in_a_row([width] * lanes, kerf), in_a_row(lengths[::lanes], allowances.crosscut_kerf))
            for lanes in range(min(usual, len(lengths)), len(lengths) + 1)
        )
        width, length = min(shapes, key=lambda each: _beyond((each[0] + edge, each[1] + ends)))
    names = tuple(dict.fromkeys(blank.of for blank in members))
    return _wanted(1, width + edge, length + ends, 0.0, names, how, shop)


def _beyond(board: tuple[float, float]) -> float:
    """Return how many times as large as any that is found a board is; 1 for all that are."""
    return max(board[0] / WIDEST_FOUND, board[1] / LONGEST_FOUND, 1.0)


def _wanted(
    count: int, width: float, length: float, whole: float, of: tuple[str, ...], how: str, shop: Shop
) -> BoardsWanted:
    step = shop.units.either(1 / 8, 1 / MM)
    in_one = rounded_up(whole, step) if 0 < whole <= LONGEST else 0.0
    return BoardsWanted(count, rounded_up(width, step), rounded_up(length, step), in_one, of, how)

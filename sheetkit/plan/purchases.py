"""What to take to the yard: only what is missing, in which boards, what to look for, what else would do."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from sheetkit.calc.movement import seasonal_swing
from sheetkit.plan.buying import PLENTIFUL_LENGTH, PLENTIFUL_WIDTH, boards_to_look_for, cost_of
from sheetkit.plan.near_stock import bought
from sheetkit.plan.notes import listed
from sheetkit.plan.rack import rack_feet
from sheetkit.plan.shop import Offer, Shop
from sheetkit.plan.volume import volume_of
from sheetkit.records.answers import Answers
from sheetkit.records.buying import BoardToBuy, Purchase
from sheetkit.records.costs import summed
from sheetkit.records.job import Board, Panel, Part
from sheetkit.records.wood import Blank, LumberLine, NearStock, StockLayout
from sheetkit.units import MM, rounded_up


def purchases(answers: Answers, shop: Shop) -> tuple[Purchase, ...]:
    """Return what is missing of each species and stock, in the order of Lumber; not what the rack holds."""
    laid = {(each.species.id, each.stock.nominal): each for each in answers.layouts}
    found = []
    for line in answers.lumber:
        blanks = [each for each in answers.blanks if _alike(each, line)]
        layout = laid.get((line.species.id, line.stock.nominal))
        made = _by_waste(line, blanks, answers, shop) if layout is None else None
        if layout is not None and (layout.bought or layout.to_buy):
            made = _missing(line, layout, answers, shop)
        if made is not None:
            found.append(made)
    return tuple(found)


def _alike(one: Blank | Board, other: LumberLine | StockLayout) -> bool:
    """Return whether two are of one wood and thickness, however the stock is named."""
    return one.species == other.species and abs(one.stock.nominal - other.stock.nominal) < 1e-6


def _by_waste(line: LumberLine, blanks: Sequence[Blank], answers: Answers, shop: Shop) -> Purchase:
    """Return what is bought when no boards are listed: those not every pile has, and the rest by volume."""
    special = boards_to_look_for(blanks, shop)
    boards = [
        BoardToBuy(
            *(each.count, each.width, each.length, each.of),
            in_one=each.in_one,
            how=each.how,
            half=_half(each.of, blanks, shop) if not each.how else 0.0,
        )
        for each in special
    ]
    named = {name for each in special for name in each.of}
    rest = [blank for blank in blanks if blank.of not in named]
    if rest:
        held = sum(
            each.count * volume_of(line.stock, each.width, each.length, shop.units) for each in special
        )
        usual = volume_of(line.stock, PLENTIFUL_WIDTH, PLENTIFUL_LENGTH, shop.units)
        count = max(1, math.ceil((line.buy - held) / usual - 1e-9))
        boards.append(BoardToBuy(count, *_least(rest, shop), _names(rest), about=True))
    wanted, instead = wishes(blanks, answers), _instead(line, line.buy, line.cost, blanks, answers, shop)
    wood = line.species, line.stock
    return Purchase(*wood, line.buy, line.price, line.cost, True, tuple(boards), wanted, instead)


def _missing(line: LumberLine, laid: StockLayout, answers: Answers, shop: Shop) -> Purchase:
    """Return the boards at the yard that are bought, and those that what found no place needs."""
    feet = rack_feet(answers.job)
    boards, costs, volume = [], [], 0.0
    of_pieces: set[str] = set()
    for board in answers.job.boards:
        if board.board not in laid.bought or not _alike(board, laid):
            continue
        own = board.price
        if own is None and line.price is not None:
            own = cost_of(feet[board.spot], line.price, shop.units)
        cut = next(each for each in laid.layout.boards if each.board.id == board.board)
        names = tuple(dict.fromkeys(laid.blanks[int(placed.piece)].of for placed in cut.placed))
        of_pieces.update(placed.piece for placed in cut.placed)
        boards.append(BoardToBuy(1, board.width, board.length, names, board.board, own))
        costs.append(own)
        volume += feet[board.spot]
    missing = 0.0
    for each in laid.to_buy:
        names = tuple(dict.fromkeys(laid.blanks[int(piece)].of for piece in each.pieces))
        of_pieces.update(each.pieces)
        boards.append(
            BoardToBuy(each.count, each.width, each.length, names, half=_half(names, laid.blanks, shop))
        )
        missing += each.count * volume_of(laid.stock, each.width, each.length, shop.units)
    if missing:
        costs.append(None if line.price is None else cost_of(missing, line.price, shop.units))
    cost = None if any(each is None for each in costs) else summed(costs)
    blanks = [blank for number, blank in enumerate(laid.blanks) if str(number) in of_pieces]
    volume += missing
    wanted, instead = wishes(blanks, answers), _instead(line, volume, cost, blanks, answers, shop)
    wood = line.species, line.stock
    return Purchase(*wood, volume, line.price, cost, False, tuple(boards), wanted, instead)


def _names(blanks: Sequence[Blank]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(blank.of for blank in blanks))


def _least(blanks: Sequence[Blank], shop: Shop) -> tuple[float, float]:
    """Return the least width and length of boards that hold any of some blanks."""
    allowances, step = shop.allowances, shop.units.either(1 / 8, 1 / MM)
    widths = [allowances.narrowest_stave if blank.role == "stave" else blank.width for blank in blanks]
    width = max(widths) + allowances.edge_trim
    length = max(blank.length for blank in blanks) + 2 * allowances.end_trim
    return rounded_up(width, step), rounded_up(length, step)


def _half(of: Sequence[str], blanks: Sequence[Blank], shop: Shop) -> float:
    """Return how wide each of two boards glued for the widest of some blanks must be, 0 for none."""
    wide = [
        blank.width
        for blank in blanks
        if blank.of in of and blank.role in ("piece", "ply") and blank.across == 1 and not blank.together
    ]
    if not wide or max(wide) + shop.allowances.edge_trim <= PLENTIFUL_WIDTH:
        return 0.0
    half = max(wide) / 2 + shop.allowances.edge_joint + shop.allowances.edge_trim
    return rounded_up(half, shop.units.either(1 / 8, 1 / MM))


def wishes(blanks: Sequence[Blank], answers: Answers) -> tuple[str, ...]:
    """Return what was asked of the grain and figure of some blanks: the cut, and the maker's own notes."""
    found: dict[str, None] = {}
    for whole in _wholes(blanks, answers):
        name = whole.part if isinstance(whole, Part) else whole.panel
        said = [f"{whole.cut}-sawn"] if whole.cut != "either" else []
        said += [whole.note] if whole.note else []
        if said:
            found[f"{name}: {'; '.join(said)}"] = None
    return tuple(found)


def _wholes(blanks: Sequence[Blank], answers: Answers) -> Iterator[Part | Panel]:
    rows = {(blank.tab, blank.row) for blank in blanks}
    yield from (part for part in answers.job.parts if ("Parts", part.row) in rows)
    yield from (panel for panel in answers.job.panels if ("Panels", panel.row) in rows)


def _instead(
    line: LumberLine,
    volume: float,
    cost: Decimal | None,
    blanks: Sequence[Blank],
    answers: Answers,
    shop: Shop,
) -> tuple[str, ...]:
    """Say which stock, cut or boards would do in place of those that are missing, and what they cost."""
    return (
        *_thinner(blanks, answers, shop),
        *_thicker(line, volume, cost, blanks, shop),
        *_other_cut(blanks, answers, shop),
    )


def _thinner(blanks: Sequence[Blank], answers: Answers, shop: Shop) -> Iterator[str]:
    rows = {(blank.tab, blank.row) for blank in blanks}
    near: dict[str, list[tuple[str, NearStock]]] = {}
    for part in answers.parts:
        if part.near and ("Parts", part.part.row) in rows:
            near.setdefault(part.near.stock.name, []).append((part.part.part, part.near))
    for panel in answers.panels:
        if panel.near and ("Panels", panel.panel.row) in rows:
            near.setdefault(panel.near.stock.name, []).append((panel.panel.panel, panel.near))
    for stock, missed in near.items():
        short = shop.words(shop.up(max(each.short for _, each in missed)))
        more = [each.more for _, each in missed]
        saves = _volume(sum(each.volume for _, each in missed), shop)
        if None not in more:
            saves = _money(summed(more), shop)
        flat = ", in boards that lie flat" if all(each.flat_would_do for _, each in missed) else ""
        names = listed([name for name, _ in missed])
        yield f"{stock} misses by {short} for {names}; it would save {saves}{flat}."


def _thicker(
    line: LumberLine, volume: float, cost: Decimal | None, blanks: Sequence[Blank], shop: Shop
) -> Iterator[str]:
    """Offer the next thicker stock, of which the blanks can always be made."""
    thicker = [
        offer
        for offer in shop.offers(line.species)
        if offer.stock.nominal > line.stock.nominal + 1e-9
        and offer.measures > max(each.thickness for each in blanks)
    ]
    if not thicker:
        return
    offer = thicker[0]
    feet, price = _as_much(offer, line, volume, blanks, shop)
    costs = _volume(feet, shop)
    if price is not None and cost is not None:
        costs = f"{_money(price, shop)} instead of {_money(cost, shop)}"
    yield f"{offer.stock.name} would do: {costs}."


def _as_much(
    offer: Offer, line: LumberLine, volume: float, blanks: Sequence[Blank], shop: Shop
) -> tuple[float, Decimal | None]:
    """Return what is bought of another stock in place of a line: with its own waste, or board for board."""
    if not line.boards:
        return bought(blanks, offer, shop)
    share = volume_of(offer.stock, 1.0, 1.0, shop.units) / volume_of(line.stock, 1.0, 1.0, shop.units)
    each = offer.price.price if offer.price else None
    return volume * share, None if each is None else cost_of(volume * share, each, shop.units)


def _other_cut(blanks: Sequence[Blank], answers: Answers, shop: Shop) -> Iterator[str]:
    """Say what the other cut would do to the widest part or panel of each cut that is asked for."""
    widest: dict[str, tuple[float, str, Part | Panel]] = {}
    widths: Mapping[int, float] = {
        each.panel.row: each.height if each.panel.grain == "across" else each.width for each in answers.panels
    }
    for whole in _wholes(blanks, answers):
        width, name = (
            (whole.width, whole.part)
            if isinstance(whole, Part)
            else (widths.get(whole.row, 0.0), whole.panel)
        )
        if whole.cut in ("flat", "quarter") and width > widest.get(whole.cut, (0.0, "", whole))[0]:
            widest[whole.cut] = width, name, whole
    for cut, (width, name, whole) in widest.items():
        other = "flat" if cut == "quarter" else "quarter"
        moves = [shop.movement(whole.species, each) for each in (other, cut)]
        if moves[0] is None or moves[1] is None:
            continue
        swings = [
            seasonal_swing(width, each, shop.moisture, shop.driest, shop.wettest) for each in moves if each
        ]
        moved, now = (shop.words(shop.up(swing)) for swing in swings)
        would = f"would move {moved} instead of {now} across {name}"
        yield f"{other.capitalize()}-sawn boards {would}, from driest to wettest."


def _money(amount: Decimal, shop: Shop) -> str:
    return f"{shop.units.currency}{amount:,.2f}"


def _volume(feet: float, shop: Shop) -> str:
    return f"{shop.units.volume(feet):.{4 if shop.units.in_m3 else 1}f} {shop.units.volume_word}"

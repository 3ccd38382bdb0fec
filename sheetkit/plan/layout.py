"""Board layout: the blanks of a species and stock laid on the rack's boards; loaded when Boards lists any."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from sheetkit.calc.layout import (
    END_TO_END,
    BadSpot,
    GlueUp,
    Layout,
    Piece,
    Saw,
    ToBuy,
    missing_pieces,
    to_buy,
)
from sheetkit.calc.layout import Board as LaidBoard
from sheetkit.calc.lumber import in_a_row
from sheetkit.calc.rough import least_staves
from sheetkit.plan.rack import boards_of, rack_feet
from sheetkit.plan.shop import Shop
from sheetkit.plan.yard import Worth, lay_out_from
from sheetkit.records.allowances import Allowances
from sheetkit.records.job import Board
from sheetkit.records.notes import Notes
from sheetkit.records.wood import Blank, StockLayout
from sheetkit.units import BOARD_FEET_PER_M3

MOST_STAVES, MORE_STAVES = 12, 4
"""Staves of a glued-up width: so many at most, or so many more than it takes at least."""
MOST_BLANKS, MOST_BOARDS = 5_000, 1_000
"""Of one species and stock, what is laid out in less than a minute."""
LEAST_EFFORT = 0.02
"""Work put into what is left once the maker has interrupted the search."""
BUYING = 0.5
"""Share of the effort for the boards to buy, of which only the sizes are wanted."""


Progress = Callable[[str, float], None]
"""Told what is being worked out, and which share of it is done."""


def _told(progress: Progress | None, name: str) -> Callable[[float, float, float], bool | None] | None:
    if progress is None:
        return None

    def tell(share: float, cost: float, least: float) -> None:
        progress(name, share)

    return tell


def stock_layouts(
    blanks: Sequence[Blank],
    shop: Shop,
    effort: float,
    notes: Notes,
    progress: Progress | None = None,
    known: Sequence[StockLayout] = (),
) -> tuple[StockLayout, ...]:
    """Return a layout for each species and stock of which boards are listed; a known one stays as it is."""
    groups: dict[tuple[str, float], list[Blank]] = {}
    for blank in blanks:
        groups.setdefault((blank.species.name, blank.stock.nominal), []).append(blank)
    found = []
    for key in sorted(groups):
        first = groups[key][0]
        same = next((laid for laid in known if laid.blanks == tuple(groups[key])), None)
        if same is not None:
            found.append(same)
            continue
        boards = boards_of(first.species, first.stock, shop.job.boards)
        count = sum(blank.count for blank in groups[key])
        if boards and (count > MOST_BLANKS or len(boards) > MOST_BOARDS):
            notes.tell(
                "layout-too-large",
                species=first.species.name,
                stock=first.stock.name,
                count=f"{count:,}",
                boards=f"{len(boards):,}",
            )
        elif boards:
            found.append(_stock_layout(groups[key], boards, shop, effort, notes, progress))
            if found[-1].layout.stopped == "interrupted":
                effort = min(effort, LEAST_EFFORT)
    return tuple(found)


def _stock_layout(
    blanks: list[Blank],
    boards: list[Board],
    shop: Shop,
    effort: float,
    notes: Notes,
    progress: Progress | None,
) -> StockLayout:
    effort = max(effort, LEAST_EFFORT)
    allowances = shop.allowances
    first = blanks[0]
    feet = rack_feet(shop.job)
    price = _price(first, shop)
    pieces = _pieces(blanks, boards, shop)
    worth = {board.spot: Worth(feet[board.spot], _money(board, feet[board.spot], price)) for board in boards}

    def as_laid(board: Board, cost: float) -> LaidBoard:
        bad = tuple(BadSpot(start, end) for start, end in board.bad)
        trims = allowances.end_trim, allowances.end_trim, allowances.edge_trim
        return LaidBoard(board.board, board.width, board.length, cost, feet[board.spot], bad, *trims)

    saw = Saw(
        allowances.rip_kerf,
        allowances.crosscut_kerf,
        rip_first=allowances.first_cut == "rip",
        least_offcut=allowances.least_offcut,
        longest_rip=allowances.longest_rip,
    )
    name = f"{first.species.name}, {first.stock.name}"
    taken = lay_out_from(pieces, boards, worth, as_laid, saw, effort, _told(progress, name))
    layout = taken.layout
    buy: tuple[ToBuy, ...] = ()
    if layout.missing:
        buy = to_buy(
            missing_pieces(layout.missing),
            saw,
            trim=allowances.end_trim,
            edge=allowances.edge_trim,
            effort=LEAST_EFFORT if layout.stopped == "interrupted" else effort * BUYING,
            progress=_told(progress, f"{name}, boards to buy"),
        )
        wanted = (
            "; ".join(
                f"{each.count} at least {shop.words(each.width)} wide, {shop.words(each.length)} long"
                for each in buy
            )
            or "no board that is sold is large enough: look at their sizes, and at Keep together"
        )
        count = sum(each.count for each in layout.missing)
        species, stock = first.species.name, first.stock.name
        notes.tell("boards-short", species=species, stock=stock, count=count, wanted=wanted)
    told = taken.in_money, _staves(layout, blanks), taken.bought, _worth(layout, boards, worth)
    return StockLayout(first.species, first.stock, layout, buy, tuple(blanks), *told)


def _pieces(blanks: Sequence[Blank], boards: Sequence[Board], shop: Shop) -> list[Piece]:
    """Return the blanks as pieces; a glued-up width leaves number and width of its staves to the search."""
    allowances = shop.allowances
    groups: dict[str, int] = {}
    for blank in blanks:
        if blank.together and not blank.each:
            groups[blank.together] = groups.get(blank.together, 0) + blank.count
    pieces = []
    for number, blank in enumerate(blanks):
        grouped = bool(blank.together) and (blank.each > 1 or groups[blank.together] > 1)
        if blank.role == "stave" and not grouped:
            least = least_staves(blank.glued_width, 0.0, allowances.edge_joint, allowances.widest_stave)
            glue = GlueUp(
                max(allowances.narrowest_stave, allowances.narrowest),
                allowances.widest_stave,
                2 * allowances.edge_joint,
                max(MOST_STAVES, least + MORE_STAVES),
            )
            pieces.append(
                Piece(
                    str(number),
                    blank.glued_width,
                    blank.length,
                    blank.wholes,
                    glue_up=glue,
                    waits=blank.provisional,
                )
            )
        else:
            group, how = (blank.together, blank.how) if grouped else ("", "")
            if blank.each and not any(_beside(blank, board, allowances) for board in boards):
                how = END_TO_END
            pieces.append(
                Piece(
                    str(number),
                    blank.width,
                    blank.length,
                    blank.count,
                    group,
                    how,
                    each=blank.each,
                    waits=blank.provisional,
                )
            )
    return pieces


def _beside(blank: Blank, board: Board, allowances: Allowances) -> bool:
    """Return whether a board is wide enough for the blanks of one piece beside one another."""
    together = in_a_row([blank.width] * blank.each, allowances.rip_kerf)
    return together <= board.width - allowances.edge_trim + 1e-9


def _price(blank: Blank, shop: Shop) -> float | None:
    """Return the price of a board foot of a blank's stock, None when unpriced."""
    offer = shop.named(blank.species, blank.stock)
    if offer is None or offer.price is None or offer.price.price is None:
        return None
    each = float(offer.price.price)
    return each / BOARD_FEET_PER_M3 if shop.sheet.measure == "m3" else each


def _money(board: Board, feet: float, price: float | None) -> float | None:
    """Return what a board costs: its own price, else that of what it holds; None when neither is known."""
    if board.price is not None:
        return float(board.price)
    return None if price is None else feet * price


def _worth(layout: Layout, boards: Sequence[Board], worth: Mapping[tuple[str, int], Worth]) -> float | None:
    """Return what the boards that are cut cost together; None unless each of the stock has a price."""
    if any(each.money is None for each in worth.values()):
        return None
    used = {laid.board.id for laid in layout.boards}
    return sum(worth[board.spot].money or 0.0 for board in boards if board.board in used)


def _staves(
    layout: Layout, blanks: Sequence[Blank]
) -> dict[tuple[str, int, int], tuple[tuple[float, ...], ...]]:
    """Return the stave widths of each glue-up, by tab and row of what is glued and the pieces it holds."""
    found: dict[tuple[str, int, int], list[tuple[float, ...]]] = {}
    for staves in layout.staves:
        blank = blanks[int(staves.piece)]
        found.setdefault((blank.tab, blank.row, blank.along), []).append(staves.widths)
    return {key: tuple(widths) for key, widths in found.items()}

"""Board layout: the blanks of a species and stock laid on the boards in the rack; loaded only when Boards lists any."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sheetkit.calc.layout import BadSpot, GlueUp, Layout, Piece, Saw, ToBuy, lay_out, missing_pieces, to_buy
from sheetkit.calc.layout import Board as RackBoard
from sheetkit.calc.lumber import board_feet, surface_measures
from sheetkit.model import Board, Stock
from sheetkit.plan.shop import Shop
from sheetkit.problems import Problem, problem
from sheetkit.results import Blank, StockLayout
from sheetkit.tables import Species

MOST_STAVES = 12
MOST_BLANKS, MOST_BOARDS = 5_000, 1_000
"""Of one species and stock, what is laid out in less than a minute."""
LEAST_EFFORT = 0.02
"""Work put into what is left once the maker has interrupted the search."""


def boards_of(species: Species, stock: Stock, shop: Shop) -> list[Board]:
    """Give the boards in the rack of a species and stock."""
    return [
        board
        for board in shop.job.boards
        if board.species == species and abs(board.stock.nominal - stock.nominal) < 1e-6
    ]


def rack_board_feet(boards: Sequence[Board], shop: Shop) -> list[float]:
    """Give the board feet of each board, exact or by the whole-foot tally as Job asks."""
    if shop.sheet.measure == "NHLA tally":
        measures = surface_measures([(board.width, board.length) for board in boards])
        return [
            measure * max(board.stock.nominal, 1.0) for measure, board in zip(measures, boards, strict=True)
        ]
    return [board_feet(board.stock.nominal, board.width, board.length) for board in boards]


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
    problems: list[Problem],
    progress: Progress | None = None,
) -> tuple[StockLayout, ...]:
    """Give a layout for each species and stock of which boards stand in the rack."""
    groups: dict[tuple[str, float], list[Blank]] = {}
    for blank in blanks:
        groups.setdefault((blank.species.name, blank.stock.nominal), []).append(blank)
    found = []
    for key in sorted(groups):
        first = groups[key][0]
        boards = boards_of(first.species, first.stock, shop)
        count = sum(blank.count for blank in groups[key])
        if boards and (count > MOST_BLANKS or len(boards) > MOST_BOARDS):
            problems.append(problem("layout-too-large", shop.job.places["Boards"].title, species=first.species.name,
                                    stock=first.stock.name, count=f"{count:,}", boards=f"{len(boards):,}"))  # fmt: skip
        elif boards:
            found.append(_stock_layout(groups[key], boards, shop, effort, problems, progress))
            if found[-1].layout.stopped == "interrupted":
                effort = min(effort, LEAST_EFFORT)
    return tuple(found)


def _stock_layout(
    blanks: list[Blank],
    boards: list[Board],
    shop: Shop,
    effort: float,
    problems: list[Problem],
    progress: Progress | None,
) -> StockLayout:
    allowances = shop.allowances
    first = blanks[0]
    pieces = _pieces(blanks, shop)
    feet = rack_board_feet(boards, shop)
    price = _price(first, shop)
    costs = [_cost(board, size, price) for board, size in zip(boards, feet, strict=True)]
    rack = [
        RackBoard(board.board, board.width, board.length, cost, size,
                  tuple(BadSpot(start, end) for start, end in board.bad),
                  allowances.end_trim, allowances.end_trim, allowances.edge_trim)
        for board, size, cost in zip(boards, feet, costs, strict=True)
    ]  # fmt: skip
    saw = Saw(
        allowances.rip_kerf,
        allowances.crosscut_kerf,
        rip_first=allowances.first_cut == "rip",
        least_offcut=allowances.least_offcut,
    )
    name = f"{first.species.name}, {first.stock.name}"
    layout = lay_out(pieces, rack, saw, effort=effort, progress=_told(progress, name))
    buy: tuple[ToBuy, ...] = ()
    place = shop.job.places["Boards"]
    if layout.missing:
        buy = to_buy(
            missing_pieces(layout.missing), saw, trim=allowances.end_trim, edge=allowances.edge_trim,
            effort=LEAST_EFFORT if layout.stopped == "interrupted" else 0.5,
        )  # fmt: skip
        wanted = "; ".join(
            f"{each.count} at least {shop.words(each.width)} wide, {shop.words(each.length)} long"
            for each in buy
        )
        count = sum(each.count for each in layout.missing)
        problems.append(problem("boards-short", place.title, 0, 0, "", species=first.species.name,
                                stock=first.stock.name, count=count, wanted=wanted))  # fmt: skip
    return StockLayout(first.species, first.stock, layout, buy, tuple(blanks), price is not None or _all_priced(boards),
                       _staves(layout, blanks))  # fmt: skip


def _pieces(blanks: Sequence[Blank], shop: Shop) -> list[Piece]:
    """Give the blanks as pieces; a glued-up width leaves number and width of its staves to the search."""
    allowances = shop.allowances
    groups: dict[str, int] = {}
    for blank in blanks:
        if blank.together:
            groups[blank.together] = groups.get(blank.together, 0) + blank.count
    pieces = []
    for number, blank in enumerate(blanks):
        grouped = bool(blank.together) and groups[blank.together] > 1
        if blank.role == "stave" and not grouped:
            glue = GlueUp(
                allowances.narrowest_stave, allowances.widest_stave, 2 * allowances.edge_joint, MOST_STAVES
            )
            pieces.append(
                Piece(
                    str(number),
                    blank.glued_width,
                    blank.length,
                    blank.count // blank.per_glue_up,
                    glue_up=glue,
                )
            )
        else:
            group, how = (blank.together, blank.how) if grouped else ("", "")
            pieces.append(Piece(str(number), blank.width, blank.length, blank.count, group, how))
    return pieces


def _price(blank: Blank, shop: Shop) -> float | None:
    """Give the price of a board foot of a blank's stock, None when unpriced."""
    from sheetkit.units import BOARD_FEET_PER_M3

    offer = shop.named(blank.species, blank.stock)
    if offer is None or offer.price is None or offer.price.price is None:
        return None
    each = float(offer.price.price)
    return each / BOARD_FEET_PER_M3 if shop.sheet.measure == "m3" else each


def _cost(board: Board, feet: float, price: float | None) -> float:
    if board.price is not None:
        return float(board.price)
    return feet * (1.0 if price is None else price)


def _all_priced(boards: Sequence[Board]) -> bool:
    return all(board.price is not None for board in boards)


def _staves(layout: Layout, blanks: Sequence[Blank]) -> dict[tuple[str, int], tuple[tuple[float, ...], ...]]:
    """Give the stave widths of each glue-up, by tab and row of what is glued."""
    found: dict[tuple[str, int], list[tuple[float, ...]]] = {}
    for staves in layout.staves:
        blank = blanks[int(staves.piece)]
        found.setdefault((blank.tab, blank.row), []).append(staves.widths)
    return {key: tuple(widths) for key, widths in found.items()}

"""Formulas on the maker's own money cells, and where the sums stand on Estimate; shared by the tabs about money."""

from __future__ import annotations

from decimal import Decimal

from sheetkit.page import reference
from sheetkit.records.job import Job
from sheetkit.records.wood import LumberLine

ESTIMATE, LUMBER = "Estimate", "Lumber"
FIRST_LUMBER_ROW = 5
"""Row of the first line on Lumber."""
SUMS = ("price", "tax", "total", "deposit", "balance", "tax_share", "deposit_share")
"""What stands in the first lines of Estimate, so that Quote finds it."""
FIRST_SUM_ROW, SUM_COLUMN = 5, 7


def sum_row(name: str) -> int:
    """Give the row on Estimate of a sum.

    >>> sum_row("price"), sum_row("total")
    (5, 7)
    """
    return FIRST_SUM_ROW + SUMS.index(name)


def sum_cell(name: str) -> str:
    """Give a reference to a sum on Estimate."""
    return reference(ESTIMATE, sum_row(name), SUM_COLUMN)


def live_number(
    job: Job, tab: str, row: int, name: str, known: Decimal | float | None, otherwise: str
) -> str | None:
    """Give the formula for a number of a table's row, None when text stands there.

    ``otherwise`` is what an empty cell means, as it stands in a formula, and ``known`` the number that was typed
    in, None for an empty cell.
    """
    cell = job.live(tab, row, name)
    if cell is not None or known is not None:
        return cell
    place = job.places.get(tab)
    column = place.columns.get(name, 0) if place else 0
    if place is None or not column:
        return otherwise
    empty = reference(place.title, row, column)
    return f"IF(ISNUMBER({empty}),{empty},{otherwise})"


def live_share(job: Job, name: str, known: float) -> str | None:
    """Give the formula for a share on Job, typed as 20 or as 20 %, None when text stands there."""
    cell = job.live_label(name)
    place = job.labels.get(name)
    if cell is None and place is not None and known == 0:
        cell = f"N({reference(*place)})"
    if cell is None:
        return None
    return cell if place in job.percents else f"IF({cell}>=1,{cell}/100,{cell})"


def live_markup(job: Job, entered: str) -> str:
    """Give the formula for profit as a share of the cost, from the cell of the share entered."""
    place = job.labels.get("profit_as")
    if place is None:
        return entered
    by_margin = f'LOWER(TRIM({reference(*place)}))="margin"'
    return f"IF({by_margin},IF({entered}<1,{entered}/(1-{entered}),NA()),{entered})"


def live_bought(job: Job, line: LumberLine, net: float) -> str:
    """Give the formula for lumber to buy, from what is in the blanks (in the job's measure) and the maker's waste."""
    if line.boards:
        return f"{round(net * line.buy / line.net, 9)!r}"
    waste = job.live("Prices", line.price_row, "waste")
    if waste is None:
        return f"{net!r}/(1-{line.waste!r})"
    share = waste
    place = job.places["Prices"]
    if (place.title, line.price_row, place.columns["waste"]) not in job.percents:
        share = f"IF({waste}>=1,{waste}/100,{waste})"
    return f"{net!r}/(1-{share})"


def live_lumber_cost(job: Job, line: LumberLine, net: float) -> str:
    """Give the formula for the cost of a line of lumber; a plain number where a board has a price of its own."""
    if own_price(job, line):
        return f"{line.cost}"
    price = job.live("Prices", line.price_row, "price") or f"{line.price}"
    return f"ROUND({live_bought(job, line, net)}*{price},2)"


def own_price(job: Job, line: LumberLine) -> bool:
    """Tell whether a board of this line has a price of its own, so that no price by volume gives its cost."""
    return any(
        board.price is not None and board.species == line.species and board.board in line.boards
        for board in job.boards
    )

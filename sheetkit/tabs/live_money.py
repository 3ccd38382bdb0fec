"""Formulas on the maker's own money cells, and where the sums stand on Estimate; for all tabs about money."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from sheetkit.page import Format, reference
from sheetkit.records.answers import Answers
from sheetkit.records.costs import Alternative, Supply
from sheetkit.records.job import Job
from sheetkit.records.wood import LumberLine
from sheetkit.tabs.draft import Measure
from sheetkit.units import cents

UNPRICED, NOT_COUNTED = "unpriced", "not counted"
PLACES = {
    2: Format.HUNDREDTH,
    3: Format.THOUSANDTH,
    4: Format.TEN_THOUSANDTH,
    5: Format.HUNDRED_THOUSANDTH,
    6: Format.MILLIONTH,
}
ESTIMATE, LUMBER = "Estimate", "Lumber"
FIRST_LUMBER_ROW = 5
"""Row of the first line on Lumber."""
SUMS = ("price", "delivery", "tax", "total", "deposit", "balance", "tax_share", "deposit_share")
"""What stands in the first lines of Estimate, so that Quote finds it."""
FIRST_SUM_ROW, SUM_COLUMN = 5, 7


def sum_row(name: str) -> int:
    """Return the row on Estimate of a sum.

    >>> sum_row("price"), sum_row("total")
    (5, 8)
    """
    return FIRST_SUM_ROW + SUMS.index(name)


def sum_cell(name: str) -> str:
    """Return a reference to a sum on Estimate."""
    return reference(ESTIMATE, sum_row(name), SUM_COLUMN)


def offered(answers: Answers) -> list[Alternative]:
    """Return the other woods in which the quote offers the piece."""
    found = answers.costs.alternatives if answers.job.sheet.offer_alternatives == "yes" else ()
    return [each for each in found if not each.own and each.price is not None]


def option_row(number: int) -> int:
    """Return the row on Estimate of the price in an offered wood, counted from 0."""
    return FIRST_SUM_ROW + len(SUMS) + number


def live_delivery(job: Job) -> str:
    """Return the formula for the price of delivery; words and nothing are 0."""
    cell = job.live_label("delivery")
    place = job.labels.get("delivery")
    typed_as_text = job.sheet.delivery is not None and cell is None
    if cell or not place or typed_as_text:
        return cell or f"{job.sheet.delivery or 0}"
    where = reference(*place)
    return f"IF(ISNUMBER({where}),{where},0)"  # N() of an empty cell is an error in gnumeric


def live_number(
    job: Job, tab: str, row: int, name: str, known: Decimal | float | None, otherwise: str
) -> str | None:
    """Return the formula for a number of a table's row, None when text stands there.

    ``otherwise`` is what an empty cell means, as it stands in a formula, and ``known`` the number that was
    typed in, None for an empty cell.
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


def live_hourly(job: Job) -> str:
    """Return the formula for the hourly rate, a text while none is named."""
    known, place = job.sheet.hourly_rate, job.labels.get("hourly_rate")
    if cell := job.live_label("hourly_rate"):
        return cell
    if known is not None or place is None:
        return f'"{UNPRICED}"' if known is None else f"{known}"
    empty = reference(*place)
    return f'IF(ISNUMBER({empty}),{empty},"{UNPRICED}")'


def live_supply_price(job: Job, supply: Supply) -> str | None:
    """Return the formula for the price of glue or finish, the first beside it; None for a typed text."""
    formula = f'"{NOT_COUNTED}"'
    for row in reversed(supply.rows):
        place = job.places.get(supply.tab)
        column = place.columns.get("price", 0) if place else 0
        if place is None or not column:
            return None
        cell = reference(place.title, row, column)
        formula = f"IF(ISNUMBER({cell}),{cell},{formula})"
    first = next((row for row in supply.rows if job.live(supply.tab, row, "price")), None)
    return None if supply.price is not None and first is None else formula


def volume_format(lines: Iterable[LumberLine], measure: Measure) -> Format:
    """Return the format in which a volume times its price is its cost, to the cent."""
    priced = (
        (measure.volume(line.buy), line.price, line.cost)
        for line in lines
        if line.price is not None and line.cost is not None
    )
    return amount_format(priced, 3 if measure.in_m3 else 2)


def amount_format(priced: Iterable[tuple[float, Decimal, Decimal]], least: int) -> Format:
    """Return the format, of so many places at least, in which amounts times prices are costs, to the cent.

    >>> amount_format([(0.0112047, Decimal(2150), Decimal("24.09"))], 3).value
    '0.000000'
    """
    known = list(priced)
    for places in range(least, max(PLACES)):
        if all(cents(Decimal(f"{amount:.{places}f}") * price) == cost for amount, price, cost in known):
            return PLACES[places]
    return PLACES[max(PLACES)]


def live_share(job: Job, name: str, known: float) -> str | None:
    """Return the formula for a share on Job, typed as 20 or as 20 %, None when text stands there."""
    cell = job.live_label(name)
    place = job.labels.get(name)
    if cell is None and place is not None and known == 0:
        cell = f"N({reference(*place)})"
    if cell is None:
        return None
    return cell if place in job.percents else f"IF({cell}>=1,{cell}/100,{cell})"


def live_markup(job: Job, entered: str) -> str:
    """Return the formula for profit as a share of the cost, from the cell of the share entered."""
    place = job.labels.get("profit_as")
    if place is None:
        return entered
    by_margin = f'LOWER(TRIM({reference(*place)}))="margin"'
    return f"IF({by_margin},IF({entered}<1,{entered}/(1-{entered}),NA()),{entered})"


def live_bought(job: Job, line: LumberLine, net: float) -> str:
    """Return the formula for lumber to buy, from what is in the blanks (in the job's measure) and waste."""
    if line.boards:
        return f"{round(net * line.buy / line.net, 9)!r}"
    return f"{net!r}/(1-{live_waste(job, line) or repr(line.waste)})"


def live_waste(job: Job, line: LumberLine) -> str | None:
    """Return the formula for the maker's waste as a share, typed as 20 or 20 %; None when text stands there.

    While the cell is empty it is the waste by grade.
    """
    place = job.places.get("Prices")
    column = place.columns.get("waste", 0) if place else 0
    if place is None or not column or not line.price_row:
        return None
    waste = reference(place.title, line.price_row, column)
    known = job.live("Prices", line.price_row, "waste") is not None
    if not known and line.own_waste:
        return None
    percent = (place.title, line.price_row, column) in job.percents
    share = waste if percent else f"IF({waste}>=1,{waste}/100,{waste})"
    return share if known else f"IF(ISNUMBER({waste}),{share},{line.waste!r})"


def live_lumber_cost(job: Job, line: LumberLine, net: float) -> str:
    """Return the formula for the cost of a line of lumber; a number where a board has a price of its own."""
    if own_price(job, line):
        return f"{line.cost}"
    return f"ROUND({live_bought(job, line, net)}*{live_price(job, line)},2)"


def live_price(job: Job, line: LumberLine) -> str | None:
    """Return the formula for the price of a line of lumber, or its price; None when no cell waits for one."""
    asked = None
    if line.price_row:
        asked = live_number(job, "Prices", line.price_row, "price", line.price, f'"{UNPRICED}"')
    return asked or (None if line.price is None else f"{line.price}")


def own_price(job: Job, line: LumberLine) -> bool:
    """Return whether a board of this line has a price of its own: no price by volume gives its cost."""
    return any(
        board.price is not None and board.species == line.species and board.board in line.boards
        for board in job.boards
    )

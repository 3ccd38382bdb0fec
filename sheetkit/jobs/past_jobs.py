"""A past job from its workbook: what was estimated, and what it really took."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path

from sheetkit.book import save
from sheetkit.book.formats import by_content
from sheetkit.book.workbook import BACKUP, Workbook
from sheetkit.calc.money import labor_cost, overhead
from sheetkit.data.figures import Figures, figures_of
from sheetkit.intake.headings import by_row
from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer_without_costs
from sheetkit.plan.money import estimate
from sheetkit.plan.rack import rack_feet
from sheetkit.plan.shop import Shop
from sheetkit.records.costs import Estimate, Supply, summed
from sheetkit.records.job import Board, Job
from sheetkit.records.problems import Problem
from sheetkit.records.wood import LumberLine
from sheetkit.tabs.live_money import SUM_COLUMN, sum_row
from sheetkit.units import BOARD_FEET_PER_M3, cents, money_from_number

CUT = "cut"
"""What stands under Used on Boards beside a board that was cut."""
USED_MARK = "boards.used"
"""Mark of that column."""
CutBoards = dict[tuple[str, str], list[Board]]
"""Species and stock -> the boards that were cut."""
TOLERANCE = 0.05
"""Board feet by which what was to buy may exceed the boards cut before the rack counts as short."""


@dataclass(frozen=True, slots=True)
class PastLumber:
    """One species and stock of a past job, in board feet."""

    file: str
    job: str
    species: str
    stock: str
    net: float
    """In the blanks."""
    estimated: float
    """To buy by the waste on Prices."""
    touched: float | None
    """Really bought as Prices says, else in the boards cut; None when neither tells of all blanks."""


@dataclass(frozen=True, slots=True)
class PastOperation:
    """One operation of a past job."""

    file: str
    job: str
    operation: str
    counted_by: str
    count: float
    minutes: float
    """Minutes for one, as estimated."""
    estimated: float
    """Hours."""
    actual: float | None
    """Hours; None when Actual hours is empty."""


@dataclass(frozen=True, slots=True)
class PastJob:
    """A past job as a whole."""

    file: str
    job: str
    date: str
    currency: str
    metric: bool
    price: Decimal
    """Before tax, as the tab Estimate of the last run says; reckoned anew where there is none."""
    cost: Decimal
    """As estimated for that price."""
    actual_cost: Decimal
    """With the boards cut and the actual hours in place of the estimated ones, where they are known."""
    hours: float
    hours_recorded: float
    """Estimated hours of the operations whose actual hours are known."""
    actual_hours: float
    """Actual hours of the same operations."""
    complete: bool
    """Whether everything in it has a price."""
    lumber: tuple[PastLumber, ...]
    operations: tuple[PastOperation, ...]
    asked: Job = field(compare=False)
    """The job itself."""
    number: str = ""
    """Of the job, as Job says."""
    backup: str = ""
    """What the file as it was before the last run is known by."""

    @property
    def profit(self) -> Decimal:
        """Profit as estimated."""
        return self.price - self.cost

    @property
    def actual_profit(self) -> Decimal:
        """Profit that was left."""
        return self.price - self.actual_cost


@dataclass(frozen=True, slots=True)
class Skipped:
    """A file that was passed over, and why."""

    file: str
    why: str
    backup: str = ""
    """What the file as it was before the last run is known by."""


def past_job(path: Path, name: str) -> PastJob | Skipped:
    """Return a past job from its workbook, or why it is passed over.

    Raises
    ------
    Refused
        When the file cannot be read as a workbook.
    """
    data = save.load(path)
    workbook = by_content(data, path.suffix).read(data)
    if workbook.page("Job") is None or workbook.page("Parts") is None:
        return Skipped(name, "It is no job: it has no tabs Job and Parts.")
    backup = workbook.notes.get(BACKUP, "")
    intake = take_in(workbook.pages, workbook.owned.get("buy", ""))
    if any(found.weight == "error" for found in intake.problems):
        return _amiss(name, intake.problems, backup)
    job = intake.job
    # joints are counted, and glue and finish may have a price
    bare = replace(job, boards=(), shapes=(), loads=())
    answers = answer_without_costs(bare)
    if any(found.weight == "error" for found in answers.problems):
        return _amiss(name, answers.problems, backup)
    shop = Shop(job)
    made = estimate(replace(answers, job=job), shop)
    cut = _cut(job, workbook)
    past = figures_of(workbook.notes) or _printed_figures(workbook, made, job)
    lumber = _lumber(name, job, made, past, cut)
    operations = tuple(
        PastOperation(
            *(name, job.sheet.job, row.operation, row.counted_by),
            *(found.count, row.minutes, found.hours, row.actual_hours),
        )
        for found in made.operations
        for row in [found.operation]
    )
    price, profit = past.price, cents(past.price * made.margin)
    recorded = [each for each in operations if each.actual is not None]
    return PastJob(
        name,
        job.sheet.job,
        job.sheet.date.isoformat() if job.sheet.date else "",
        job.sheet.currency,
        job.sheet.measure == "m3",
        price,
        price - profit,
        _actual_cost(made, lumber, job, cut),
        made.hours,
        sum(each.estimated for each in recorded),
        sum(each.actual or 0.0 for each in recorded),
        not made.unpriced,
        lumber,
        operations,
        job,
        job.sheet.number,
        backup,
    )


def _amiss(name: str, problems: tuple[Problem, ...], backup: str) -> Skipped:
    errors = [found for found in problems if found.weight == "error"]
    more = f" and {len(errors) - 1} more" if len(errors) > 1 else ""
    return Skipped(name, f"To put right first: {errors[0].place}: {errors[0].says}{more}", backup)


def _lumber(name: str, job: Job, made: Estimate, past: Figures, cut: CutBoards) -> tuple[PastLumber, ...]:
    rack = rack_feet(job)
    touched = {key: sum(rack[board.spot] for board in boards) for key, boards in cut.items()}
    found = []
    for line in made.lumber_lines:
        key = (line.species.name, line.stock.name)
        bought = _really_bought(line, job)
        feet = touched.get(key) if bought is None else bought
        stored = past.to_buy.get(key, 0.0)
        if feet is not None and (feet < line.net - TOLERANCE or feet < stored - TOLERANCE):
            feet = None  # some blanks came from boards that Boards does not list
        found.append(PastLumber(name, job.sheet.job, *key, line.net, line.buy, feet))
    return tuple(found)


def _really_bought(line: LumberLine, job: Job) -> float | None:
    """Return the board feet that Prices says were really bought, None when it does not."""
    bought = next((price.bought for price in job.prices if price.row == line.price_row), None)
    scale = BOARD_FEET_PER_M3 if job.sheet.measure == "m3" else 1.0
    return None if bought is None else bought * scale


def _cut(job: Job, workbook: Workbook) -> CutBoards:
    """Return the boards that were cut, by species and stock."""
    place = job.places.get("Boards")
    page = workbook.page(place.title) if place else None
    if place is None or page is None:
        return {}
    marked = workbook.columns.get(USED_MARK)
    column = marked[1].first_column if marked else place.columns.get("used", 0)
    cut: CutBoards = {}
    for board in (each for each in job.boards if each.listed == "Boards"):
        cell = page.cells.get((board.row, column))
        if cell is not None and str(cell.value).strip().casefold() == CUT:
            cut.setdefault((board.species.name, board.stock.name), []).append(board)
    return cut


def _printed_figures(workbook: Workbook, made: Estimate, job: Job) -> Figures:
    """Return the figures of a workbook without notes of them: as Estimate and Lumber print them."""
    page = workbook.page(workbook.owned.get("estimate", ""))
    cell = page.cells.get((sum_row("price"), SUM_COLUMN)) if page else None
    offered = cell.value if cell else None
    price = cents(money_from_number(offered)) if isinstance(offered, float) else made.price
    scale = BOARD_FEET_PER_M3 if job.sheet.measure == "m3" else 1.0
    lumber = workbook.page(workbook.owned.get("lumber", ""))
    to_buy = {}
    for row, cells in by_row(lumber).items() if lumber else ():
        species, stock, buy = (cells[number].value if number in cells else None for number in (1, 2, 6))
        if row > 4 and isinstance(species, str) and isinstance(stock, str) and isinstance(buy, float):
            to_buy[species, stock] = buy * scale
    return Figures(price, to_buy)


def _actual_cost(made: Estimate, lumber: tuple[PastLumber, ...], job: Job, cut: CutBoards) -> Decimal:
    """Return the cost with what was bought, used and taken in place of the estimate, where it is known."""
    feet = rack_feet(job)
    boards = [_paid(line, past, cut, feet, job) for line, past in zip(made.lumber_lines, lumber, strict=True)]
    work = []
    for found in made.operations:
        hours = found.operation.actual_hours
        if hours is None or found.rate is None:
            work.append(found.cost)
        else:
            work.append(cents(labor_cost(money_from_number(hours), Decimal(60), found.rate)))
    extras = [
        found.cost
        if found.extra.used is None or found.extra.unit_price is None
        else cents(money_from_number(found.extra.used) * found.extra.unit_price)
        for found in made.extras_answers
    ]
    supplies = [_used(supply, job) for supply in made.supplies]
    direct = summed(boards) + summed(extras) + summed(supplies) + summed(work)
    return direct + cents(overhead(direct, money_from_number(job.sheet.overhead)))


def _used(supply: Supply, job: Job) -> Decimal | None:
    """Return what glue or finish cost by what was really used, where every step with it says how much."""
    if supply.price is None or supply.cost is None:
        return supply.cost
    steps = job.glue_ups if supply.tab == "Glue-ups" else job.finish
    used = [step.used for step in steps if step.row in supply.rows]
    if None in used:
        return supply.cost
    return cents(money_from_number(sum(each or 0.0 for each in used)) * supply.price)


def _paid(
    line: LumberLine, past: PastLumber, cut: CutBoards, feet: Mapping[tuple[str, int], float], job: Job
) -> Decimal | None:
    """Return what a line of lumber really cost, as far as that is known."""
    if past.touched is None:
        return line.cost
    if _really_bought(line, job) is None:
        return _bought(line, cut[past.species, past.stock], feet, job)
    bought = next(price.bought for price in job.prices if price.row == line.price_row)
    return line.cost if line.price is None else cents(money_from_number(bought or 0.0) * line.price)


def _bought(
    line: LumberLine, boards: Sequence[Board], feet: Mapping[tuple[str, int], float], job: Job
) -> Decimal | None:
    """Return what the boards that were cut cost, each its own price or that of its volume."""
    if line.price is None and any(board.price is None for board in boards):
        return line.cost
    own = summed(board.price for board in boards if board.price is not None)
    rest = sum(feet[board.spot] for board in boards if board.price is None)
    amount = rest / (BOARD_FEET_PER_M3 if job.sheet.measure == "m3" else 1.0)
    return own + cents(money_from_number(amount) * (line.price or Decimal(0)))

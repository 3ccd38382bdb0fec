"""Money: every line of the estimate, and the same job in other species."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import NamedTuple

from sheetkit.calc import money
from sheetkit.calc.finishing import panel_surface, part_surface
from sheetkit.plan.notes import name_key
from sheetkit.plan.shop import Shop
from sheetkit.records.answers import Answers
from sheetkit.records.costs import Alternative, Estimate, ExtraAnswer, OperationAnswer, Supply, summed
from sheetkit.records.job import Job, JobSheet, Operation
from sheetkit.records.units import Units
from sheetkit.records.wood import LumberLine, PanelAnswer, PartAnswer
from sheetkit.tables import Species
from sheetkit.units import cents, money_from_number


class _Sums(NamedTuple):
    """What follows from the direct costs, each rounded once."""

    overhead: Decimal
    profit: Decimal
    tax: Decimal
    deposit: Decimal


def estimate(answers: Answers, shop: Shop) -> Estimate:
    """Give the money of a job."""
    job, lumber = answers.job, answers.lumber
    counts = counted(job, answers.parts, answers.panels)
    extras = tuple(
        ExtraAnswer(
            extra,
            None if extra.unit_price is None else cents(money_from_number(extra.qty) * extra.unit_price),
        )
        for extra in job.extras
    )
    operations = tuple(_operation(each, counts, job.sheet) for each in job.labour)
    direct = (
        summed(line.cost for line in lumber)
        + summed(found.cost for found in extras)
        + summed(found.cost for found in operations)
    )
    markup = _markup(job.sheet)
    return Estimate(
        lumber,
        extras,
        _supplies(answers, shop),
        operations,
        *_sums(direct, job.sheet),
        markup,
        money.margin_from_markup(markup),
    )


def counted(job: Job, parts: Sequence[PartAnswer], panels: Sequence[PanelAnswer]) -> dict[str, float]:
    """Give how many there are of each thing that Labour counts by, from the job itself."""
    surface = sum(
        part_surface(part.thickness, part.width, part.length, part.qty) for part in job.parts
    ) + sum(panel_surface(found.width, found.height, found.panel.qty) for found in panels)
    blanks = [blank for part in parts for blank in part.blanks]
    blanks += [blank for panel in panels for blank in panel.blanks]
    return {
        "job": 1,
        "part": sum(part.qty for part in job.parts),
        "blank": sum(blank.count for blank in blanks),
        "joint": sum(joint.qty for joint in job.joints),
        "panel": sum(panel.qty for panel in job.panels),
        "surface": Units.of(job.sheet).shown(surface, "surface"),
    }


def _operation(operation: Operation, counts: dict[str, float], sheet: JobSheet) -> OperationAnswer:
    count = counts[operation.counted_by]
    rate = sheet.hourly_rate if operation.rate is None else operation.rate
    cost = None
    if rate is not None:
        minutes = money_from_number(operation.minutes)
        cost = cents(money.labour_cost(money_from_number(count), minutes, rate))
    return OperationAnswer(operation, count, count * operation.minutes / 60, rate, cost)


def _markup(sheet: JobSheet) -> Decimal:
    profit = money_from_number(sheet.profit)
    return money.markup_from_margin(profit) if sheet.profit_as == "margin" else profit


def _sums(direct: Decimal, sheet: JobSheet) -> _Sums:
    over = cents(money.overhead(direct, money_from_number(sheet.overhead)))
    cost = direct + over
    if sheet.profit_as == "margin":
        price = cents(money.price_by_margin(cost, money_from_number(sheet.profit)))
    else:
        price = cents(money.price_by_markup(cost, money_from_number(sheet.profit)))
    due = cents(money.tax(price, money_from_number(sheet.tax)))
    first = cents(money.deposit(price + due, money_from_number(min(sheet.deposit, 1.0))))
    return _Sums(over, price - cost, due, first)


def _supplies(answers: Answers, shop: Shop) -> tuple[Supply, ...]:
    """Give adhesive and finish by kind, and whether Extras lists them."""
    amounts: dict[tuple[str, str], float] = {}
    for glue_up in answers.glue_ups:
        if glue_up.fluid_ounces:
            key = (glue_up.glue_up.adhesive, "adhesive")
            amounts[key] = amounts.get(key, 0.0) + glue_up.fluid_ounces
    for finish in answers.finish:
        if finish.gallons:
            key = (finish.step.product, "finish")
            amounts[key] = amounts.get(key, 0.0) + finish.gallons
    items = [name_key(extra.item) for extra in answers.job.extras]
    return tuple(
        Supply(
            name,
            shop.units.shown(amount, quantity),
            shop.units.name(quantity),
            any(name_key(name) in item for item in items),
        )
        for (name, quantity), amount in amounts.items()
    )


def main_species(lumber: Sequence[LumberLine]) -> Species | None:
    """Give the species with most wood in the blanks, None when there is no lumber."""
    feet: dict[Species, float] = {}
    for line in lumber:
        feet[line.species] = feet.get(line.species, 0.0) + line.net
    return max(feet, key=lambda species: feet[species], default=None)


def alternatives(
    answers: Answers, made: Estimate, answer: Callable[[Job], Answers]
) -> tuple[Alternative, ...]:
    """Give the job in its own main species and in those that Job names, each counted as the job itself is.

    Parameters
    ----------
    answers
        The job as answered.
    made
        Its estimate: extras and labour are the same for every species.
    answer
        The plan itself, asked again for each species, without the tabs for the bench.
    """
    main = main_species(answers.lumber)
    wanted = [species for species in answers.job.sheet.alternatives if species != main]
    if main is None or not wanted:
        return ()

    def found(species: Species) -> Answers:
        return answers if species == main else answer(in_species(answers.job, main, species))

    sheet = answers.job.sheet
    return tuple(
        _alternative(species, main, found(species), made, sheet) for species in dict.fromkeys((main, *wanted))
    )


def _alternative(
    species: Species, main: Species, found: Answers, made: Estimate, sheet: JobSheet
) -> Alternative:
    own = species == main
    replaces = None if own else main
    wrong = [problem for problem in found.problems if problem.weight == "error"]
    if wrong:
        return Alternative(species, own, replaces, hindrance=f"{wrong[0].says} ({wrong[0].place})")
    lumber = [line.cost for line in found.lumber]
    price = None
    if all(cost is not None for cost in lumber):
        direct = summed(lumber) + made.extras + made.labour
        sums = _sums(direct, sheet)
        price = direct + sums.overhead + sums.profit
    bearing = min((panel.bearing for panel in found.panels), default=None)
    return Alternative(species, own, replaces, found.lumber, price, found.weight, bearing)


def in_species(job: Job, main: Species, species: Species) -> Job:
    """Give the job with one species replaced, free of what no price or size hangs on.

    A stock asked for by name that the other species is not listed in is left to the plan.
    """
    bare = replace(job, joints=(), runs=(), shapes=(), loads=(), glue_ups=(), finish=())
    shop = Shop(bare)
    parts = tuple(
        replace(
            part,
            species=species,
            stock=part.stock if part.stock and shop.named(species, part.stock) else None,
        )
        if part.species == main
        else part
        for part in job.parts
    )
    panels = tuple(
        replace(panel, species=species) if panel.species == main else panel for panel in job.panels
    )
    return replace(bare, parts=parts, panels=panels)

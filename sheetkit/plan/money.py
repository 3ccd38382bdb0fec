"""Money: every line of the estimate, and the same job in other species."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import NamedTuple

from sheetkit.calc import money
from sheetkit.calc.finishing import panel_surface, part_surface
from sheetkit.plan.notes import name_key
from sheetkit.plan.shop import Shop, without_bench
from sheetkit.records.answers import Answers
from sheetkit.records.costs import (
    PRICED_BY,
    Alternative,
    Estimate,
    ExtraAnswer,
    OperationAnswer,
    Supply,
    summed,
)
from sheetkit.records.job import FinishStep, GlueUp, Job, JobSheet, Operation
from sheetkit.records.joinery import JointAnswer
from sheetkit.records.units import Units
from sheetkit.records.wood import LumberLine, PanelAnswer, PartAnswer
from sheetkit.tables import Species
from sheetkit.units import cents, money_from_number

KINDS = {
    "joint": ("tenon", "loose tenon", "dowel"),
    "groove": ("groove", "stopped groove"),
    "recess": ("hardware",),
}
"""Kinds of rows on Joints by what Labor counts them as."""


class _Sums(NamedTuple):
    """What follows from the direct costs, each rounded once."""

    overhead: Decimal
    profit: Decimal
    delivery: Decimal
    tax: Decimal
    deposit: Decimal


def estimate(answers: Answers, shop: Shop) -> Estimate:
    """Return the money of a job."""
    job, lumber = answers.job, answers.lumber
    counts = counted(job, answers.parts, answers.panels, answers.joints)
    extras = tuple(
        ExtraAnswer(
            extra,
            None if extra.unit_price is None else cents(money_from_number(extra.qty) * extra.unit_price),
        )
        for extra in job.extras
    )
    operations = tuple(_operation(each, counts, job.sheet) for each in job.labor)
    supplies = _supplies(answers, shop)
    direct = (
        summed(line.cost for line in lumber)
        + summed(found.cost for found in extras)
        + summed(found.cost for found in supplies)
        + summed(found.cost for found in operations)
    )
    markup = _markup(job.sheet)
    return Estimate(
        lumber,
        extras,
        supplies,
        operations,
        *_sums(direct, job.sheet),
        markup,
        money.margin_from_markup(markup),
    )


def counted(
    job: Job, parts: Sequence[PartAnswer], panels: Sequence[PanelAnswer], joints: Sequence[JointAnswer]
) -> dict[str, float]:
    """Return how many there are of each thing that Labor counts by, from the job itself."""
    surface = sum(
        part_surface(part.thickness, part.width, part.length, part.qty) for part in job.parts
    ) + sum(panel_surface(found.width, found.height, found.panel.qty) for found in panels)
    blanks = [blank for part in parts for blank in part.blanks]
    blanks += [blank for panel in panels for blank in panel.blanks]
    return {
        "job": 1,
        "part": sum(part.qty for part in job.parts),
        "blank": sum(blank.count for blank in blanks),
        **{
            name: sum(each.qty for each in joints if each.joint.kind in kinds)
            for name, kinds in KINDS.items()
        },
        "panel": sum(panel.qty for panel in job.panels),
        "surface": Units.of(job.sheet).shown(surface, "surface"),
    }


def _operation(operation: Operation, counts: dict[str, float], sheet: JobSheet) -> OperationAnswer:
    count = counts[operation.counted_by]
    rate = sheet.hourly_rate if operation.rate is None else operation.rate
    cost = None
    if rate is not None:
        minutes = money_from_number(operation.minutes)
        cost = cents(money.labor_cost(money_from_number(count), minutes, rate))
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
    brought = cents(sheet.delivery or Decimal(0))
    due = cents(money.tax(price + brought, money_from_number(sheet.tax)))
    first = cents(money.deposit(price + brought + due, money_from_number(min(sheet.deposit, 1.0))))
    return _Sums(over, price - cost, brought, due, first)


def _supplies(answers: Answers, shop: Shop) -> tuple[Supply, ...]:
    """Return adhesive and finish by kind: what it costs, or whether Extras lists it.

    A price beside it counts unless Extras has a line of just that name; without one a line that has the name
    in it will do.
    """
    asked: list[tuple[GlueUp | FinishStep, str, str, float | None]] = [
        (each.glue_up, each.glue_up.adhesive, "adhesive", each.fluid_ounces) for each in answers.glue_ups
    ]
    asked += [(each.step, each.step.product, "finish", each.gallons) for each in answers.finish]
    items = [name_key(extra.item) for extra in answers.job.extras]
    found: dict[tuple[str, str], list[tuple[GlueUp | FinishStep, float]]] = {}
    for row, name, quantity, amount in asked:
        if name:
            found.setdefault((name, quantity), []).append((row, amount or 0.0))
    supplies = []
    for (name, quantity), uses in found.items():
        if not any(amount for _, amount in uses):
            continue
        amount = shop.units.shown(sum(each for _, each in uses), quantity)
        unit = shop.units.name(quantity)
        price = next((row.price for row, _ in uses if row.price is not None), None)
        wanted = name_key(name)
        listed = wanted in items if price is not None else any(wanted in item for item in items)
        cost = None
        if price is not None and not listed:
            cost = cents(money_from_number(amount) * price / PRICED_BY[unit])
        supplies.append(Supply(name, amount, unit, listed, price, cost, tuple(row.row for row, _ in uses)))
    return tuple(supplies)


def main_species(lumber: Sequence[LumberLine]) -> Species | None:
    """Return the species with most wood in the blanks, None when there is no lumber."""
    feet: dict[Species, float] = {}
    for line in lumber:
        feet[line.species] = feet.get(line.species, 0.0) + line.net
    return max(feet, key=lambda species: feet[species], default=None)


def alternatives(
    answers: Answers, made: Estimate, answer: Callable[[Job], Answers]
) -> tuple[Alternative, ...]:
    """Return the job in its own main species and in those that Job names, each counted as the job itself is.

    Parameters
    ----------
    answers
        The job as answered.
    made
        Its estimate: extras and labor are the same for every species.
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
    price = tax = total = None
    if all(cost is not None for cost in lumber):
        direct = summed(lumber) + made.extras + made.glue_and_finish + made.labor
        sums = _sums(direct, sheet)
        price = direct + sums.overhead + sums.profit
        tax, total = sums.tax, price + sums.delivery + sums.tax
    bearing = min((each.bearing for each in found.panels if each.panel.species == species), default=None)
    return Alternative(species, own, replaces, found.lumber, price, tax, total, found.weight, bearing)


def in_species(job: Job, main: Species, species: Species) -> Job:
    """Return the job with one species replaced, free of what no price or size hangs on.

    A stock asked for by name that the other species is not listed in is left to the plan.
    """
    bare = replace(without_bench(job), boards=job.boards)
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
        replace(panel, species=species) if panel.species == main else panel for panel in bare.panels
    )
    return replace(bare, parts=parts, panels=panels)

"""Answers beside the maker's own rows, as cells: tab -> row -> column name -> cell."""

from __future__ import annotations

from decimal import Decimal
from functools import cache

from sheetkit.form.columns import TABLES, Column
from sheetkit.page import Cell, Format, Style
from sheetkit.plan.beside import beside
from sheetkit.records.answers import Answers
from sheetkit.records.costs import ExtraAnswer, OperationAnswer
from sheetkit.records.job import Job
from sheetkit.tabs.draft import Measure
from sheetkit.tabs.live_money import live_hourly, live_number
from sheetkit.units import is_metric, rounded

Cells = dict[str, Cell]
"""Column name -> cell, of one row."""
Beside = dict[str, dict[int, Cells]]
FORMATS = {
    "count": Format.WHOLE, "volume": Format.THOUSANDTH, "angle": Format.HUNDREDTH, "share": Format.PERCENT,
    "minutes": Format.TENTH, "hours": Format.HUNDREDTH, "adhesive": Format.TENTH, "surface": Format.HUNDREDTH,
    "finish": Format.HUNDREDTH,
}  # fmt: skip
"""How each quantity is shown; sizes go by the job's unit."""
FINE = frozenset(("bearing", "clearance", "sag", "sag_allowed"))
"""Sizes that are shown finer than a rule can set out."""
IN_STEPS = frozenset((("Spacing", "gap"),))
"""Sizes of any fraction: in inches they are shown in the job's steps, and never as 6 3/40."""
COLUMNS = {tab.title: {column.name: column for column in tab.answered} for tab in TABLES}


def answers_beside(answers: Answers) -> Beside:
    """Return every answer that stands beside the maker's rows; no tab without an answer."""
    measure, job, made = Measure.of(answers.job.sheet), answers.job, answers.costs.estimate
    found: Beside = {
        tab: {
            row: {
                name: _cell(_in_steps(value, tab, name, job), COLUMNS[tab][name], measure)
                for name, value in values.items()
            }
            for row, values in rows.items()
        }
        for tab, rows in beside(answers).items()
    }
    if made.extras_answers:
        found["Extras"] = {each.extra.row: {"cost": _extra_cost(each, job)} for each in made.extras_answers}
    for each in made.operations:
        found["Labor"][each.operation.row].update(_live_labor(each, job))
    return found


def _in_steps(value: float | int | str | None, tab: str, name: str, job: Job) -> float | int | str | None:
    fraction = isinstance(value, float) and (tab, name) in IN_STEPS and not is_metric(job.sheet.unit)
    return rounded(value, job.sheet.step) if fraction and isinstance(value, float) else value


@cache
def _shown(format: Format) -> Style:
    """Return the one style of a format: cells by the thousand share it."""
    return Style(format=format)


def _cell(value: float | int | str | None, column: Column, measure: Measure) -> Cell:
    if value is None or isinstance(value, str):
        return Cell(value)
    if column.name == "radius":  # far larger than what is marked with a rule
        return Cell(measure.size(value), style=_shown(Format.HUNDREDTH))
    if column.holds == "length":
        format = measure.fine_format if column.name in FINE else measure.size_format
        return Cell(measure.size(value), style=_shown(format))
    if column.holds == "count":
        return Cell(value, style=_shown(FORMATS["count"]))
    shown = round(value, 9) if column.holds == "volume" else measure.shown(value, column.holds)
    return Cell(shown, style=_shown(FORMATS[column.holds]))


def _cost(cost: Decimal | None, formula: str | None) -> Cell:
    """Return a cost that follows its formula; empty while something in it has no price."""
    value = "" if cost is None else float(cost)
    return Cell(value, formula, _shown(Format.MONEY)) if formula or cost is not None else Cell()


def _extra_cost(found: ExtraAnswer, job: Job) -> Cell:
    row, extra = found.extra.row, found.extra
    qty = live_number(job, "Extras", row, "qty", None if extra.qty == 1 else extra.qty, "1")
    price = live_number(job, "Extras", row, "unit_price", extra.unit_price, '""')
    if found.cost is None:
        formula = price and f'IF(ISNUMBER({price}),ROUND({qty or extra.qty}*{price},2),"")'
    else:
        formula = f"ROUND({qty or extra.qty}*{price or extra.unit_price},2)" if qty or price else None
    return _cost(found.cost, formula)


def _live_labor(found: OperationAnswer, job: Job) -> Cells:
    """Return the cells of an operation that are formulas over the maker's, and its count."""
    operation = found.operation
    minutes = job.live("Labor", operation.row, "minutes") or f"{operation.minutes!r}"
    rate = (
        live_number(job, "Labor", operation.row, "rate", operation.rate, live_hourly(job)) or f"{found.rate}"
    )
    cost = f"ROUND({found.count!r}*{minutes}*{rate}/60,2)"
    if found.cost is None:
        cost = f'IF(ISNUMBER({rate}),{cost},"")'
    hours = f"{found.count!r}*{minutes}/60"
    whole = operation.counted_by != "surface"
    return {
        "count": Cell(found.count, style=_shown(Format.WHOLE if whole else Format.HUNDREDTH)),
        "hours": Cell(found.hours, hours, Style(format=FORMATS["hours"])),
        "cost": _cost(found.cost, cost),
    }

"""Answers beside the maker's own rows on Extras and Labour, their costs live."""

from __future__ import annotations

from decimal import Decimal

from sheetkit.page import Cell, Format, Style
from sheetkit.records.answers import Results
from sheetkit.records.costs import Estimate, ExtraAnswer, OperationAnswer
from sheetkit.records.job import Job
from sheetkit.tabs.live_money import live_number


def _cost(cost: Decimal | None, formula: str | None) -> Cell:
    if cost is None:
        return Cell()
    return Cell(float(cost), formula, Style(format=Format.MONEY))


def _extra(found: ExtraAnswer, job: Job) -> dict[str, Cell]:
    row, extra = found.extra.row, found.extra
    qty = live_number(job, "Extras", row, "qty", None if extra.qty == 1 else extra.qty, "1")
    price = job.live("Extras", row, "unit_price")
    formula = f"ROUND({qty or extra.qty}*{price or extra.unit_price},2)" if qty or price else None
    return {"cost": _cost(found.cost, formula)}


def _operation(found: OperationAnswer, job: Job) -> dict[str, Cell]:
    operation = found.operation
    minutes = job.live("Labour", operation.row, "minutes") or f"{operation.minutes!r}"
    hourly = job.live_label("hourly_rate") or f"{found.rate}"
    rate = live_number(job, "Labour", operation.row, "rate", operation.rate, hourly) or f"{found.rate}"
    hours = f"{found.count!r}*{minutes}/60"
    whole = operation.counted_by != "surface"
    return {
        "count": Cell(found.count, style=Style(format=Format.WHOLE if whole else Format.HUNDREDTH)),
        "hours": Cell(found.hours, hours, Style(format=Format.HUNDREDTH)),
        "cost": _cost(found.cost, f"ROUND({found.count!r}*{minutes}*{rate}/60,2)"),
    }


def money_cells(results: Results, estimate: Estimate) -> dict[str, dict[int, dict[str, Cell]]]:
    """Give the answers beside the rows of Extras and Labour: tab -> row -> column name -> cell."""
    job = results.job
    answers = {
        "Extras": {found.extra.row: _extra(found, job) for found in estimate.extras_answers},
        "Labour": {found.operation.row: _operation(found, job) for found in estimate.operations},
    }
    return {tab: rows for tab, rows in answers.items() if rows}

"""Job -> Results: which calculation answers what, in order. No formula of the trade stands here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from sheetkit.plan.lumber import lumber_lines
from sheetkit.plan.money import alternatives, estimate
from sheetkit.plan.panels import panel_answer
from sheetkit.plan.parts import part_answer
from sheetkit.plan.regulated import regulated_notices
from sheetkit.plan.shop import Shop
from sheetkit.records.answers import Results, StockLayout
from sheetkit.records.costs import Costs
from sheetkit.records.job import Job
from sheetkit.records.problems import Problem, problem


def answer(job: Job, effort: float = 1.0, progress: Callable[[str, float], None] | None = None) -> Results:
    """Answer everything that a job asks; ``effort`` is the work put into the board layout."""
    shop = Shop(job)
    problems: list[Problem] = list(regulated_notices(job))
    if job.sheet.moisture_now is None and job.panels:
        place = job.labels.get("moisture_now", ("Job", 0, 0))
        problems.append(problem("no-moisture", *place))
    if job.sheet.climate_assumed and job.panels:
        problems.append(problem("assumed-climate", *job.labels.get("moisture_driest", ("Job", 0, 0)),
                                driest=f"{job.sheet.moisture_driest:g}", wettest=f"{job.sheet.moisture_wettest:g}"))  # fmt: skip
    parts = tuple(made for part in job.parts if (made := part_answer(part, shop, problems)))
    panels = tuple(fitted for panel in job.panels if (fitted := panel_answer(panel, shop, problems)))
    results = Results(job, parts, panels)
    layouts: tuple[StockLayout, ...] = ()
    if job.boards:
        from sheetkit.plan.layout import stock_layouts

        layouts = stock_layouts(results.blanks, shop, effort, problems, progress)
    at_the_bench = None
    if job.joints or job.runs or job.shapes or job.loads or job.glue_ups or job.finish:
        from sheetkit.plan.bench import bench

        at_the_bench = bench(job, shop, parts, panels, problems)
    lumber = lumber_lines(results.blanks, layouts, shop, problems)
    return replace(
        results,
        lumber=lumber,
        layouts=layouts,
        bench=at_the_bench,
        weight=_whole_weight(results),
        problems=tuple(problems),
    )


def _whole_weight(results: Results) -> float | None:
    """Give the weight of all parts and panels, None when one is not known."""
    weights = [part.weight for part in results.parts] + [panel.weight for panel in results.panels]
    known = [weight for weight in weights if weight is not None]
    return sum(known) if known and len(known) == len(weights) else None


def costs(results: Results) -> Costs:
    """Give the estimate of a job that was answered, and what it would cost in other species."""
    made = estimate(
        results.job, results.parts, results.panels, results.lumber, Shop(results.job), results.bench
    )
    return Costs(made, alternatives(results, made, answer))

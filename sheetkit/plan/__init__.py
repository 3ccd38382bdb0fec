"""Job -> Answers: which calculation answers what, in order. No formula of the trade stands here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from sheetkit.plan.lumber import lumber_lines
from sheetkit.plan.money import alternatives, estimate
from sheetkit.plan.panels import panel_answer
from sheetkit.plan.parts import part_answer
from sheetkit.plan.rack import with_boards
from sheetkit.plan.regulated import regulated_notices
from sheetkit.plan.shop import Shop
from sheetkit.plan.work import work
from sheetkit.records.answers import Answers
from sheetkit.records.costs import Costs
from sheetkit.records.job import Job
from sheetkit.records.problems import Problem, problem

Progress = Callable[[str, float], None]
"""Called with what is being worked out and the share done."""


LEAST_SAID = 0.05
"""A difference of moisture that no meter shows [%]."""


def answer(job: Job, effort: float = 1.0, progress: Progress | None = None) -> Answers:
    """Answer everything that a job asks; ``effort`` is the work put into the board layout."""
    answers = answer_without_costs(job, effort, progress)
    made = estimate(answers, Shop(job))
    costs = Costs(made, alternatives(answers, made, answer_without_costs))
    return replace(answers, work=work(answers), costs=costs)


def answer_without_costs(job: Job, effort: float = 1.0, progress: Progress | None = None) -> Answers:
    """Answer everything but the money and the order of the work."""
    shop = Shop(job)
    problems: list[Problem] = list(regulated_notices(job))
    if job.sheet.moisture_now is None and job.panels:
        place = job.labels.get("moisture_now", ("Job", 0, 0))
        problems.append(problem("no-moisture", *place))
    if job.sheet.climate_assumed and job.panels:
        problems.append(problem("assumed-climate", *job.labels.get("moisture_driest", ("Job", 0, 0)),
                                driest=f"{job.sheet.moisture_driest:g}", wettest=f"{job.sheet.moisture_wettest:g}"))  # fmt: skip
    problems += _not_at_rest(job)
    parts = tuple(made for part in job.parts if (made := part_answer(part, shop, problems)))
    panels = tuple(fitted for panel in job.panels if (fitted := panel_answer(panel, shop, problems)))
    answers = Answers(job, parts, panels)
    if job.boards:
        from sheetkit.plan.layout import stock_layouts

        layouts = stock_layouts(answers.blanks, shop, effort, problems, progress)
        answers = with_boards(replace(answers, layouts=layouts))
    if job.joints or job.runs or job.shapes or job.loads or job.glue_ups or job.finish:
        from sheetkit.plan.bench import with_bench_tabs

        answers = with_bench_tabs(answers, shop, problems)
    lumber = lumber_lines(answers.blanks, answers.layouts, shop, problems)
    return replace(answers, lumber=lumber, weight=_whole_weight(answers), problems=tuple(problems))


def _not_at_rest(job: Job) -> list[Problem]:
    """Give the warning that the wood is wetter or drier now than it will be in use."""
    sheet, now = job.sheet, job.sheet.moisture_now
    if now is None or sheet.moisture_driest - LEAST_SAID <= now <= sheet.moisture_wettest + LEAST_SAID:
        return []
    wet = now > sheet.moisture_wettest
    limit = sheet.moisture_wettest if wet else sheet.moisture_driest
    place = job.labels.get("moisture_now", ("Job", 0, 0))
    code = "wetter-than-use" if wet else "drier-than-use"
    return [problem(code, *place, f"{now:.1f}", now=f"{now:.1f}", limit=f"{limit:.1f}")]


def _whole_weight(answers: Answers) -> float | None:
    """Give the weight of all parts and panels, None when one is not known."""
    weights = [whole.weight for whole in answers.wholes]
    known = [weight for weight in weights if weight is not None]
    return sum(known) if known and len(known) == len(weights) else None

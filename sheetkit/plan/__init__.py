"""Job -> Answers: which calculation answers what, in order. No formula of the trade stands here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from sheetkit.plan.buying import tell_of_groups
from sheetkit.plan.climate import tell_of_climate
from sheetkit.plan.lumber import lumber_lines
from sheetkit.plan.money import alternatives, estimate
from sheetkit.plan.panels import panel_answer
from sheetkit.plan.parts import part_answer
from sheetkit.plan.purchases import purchases
from sheetkit.plan.rack import with_boards
from sheetkit.plan.regulated import regulated_notices
from sheetkit.plan.shop import Shop
from sheetkit.plan.work import work
from sheetkit.records.answers import Answers
from sheetkit.records.costs import Costs
from sheetkit.records.elevations import Elevation
from sheetkit.records.job import Job
from sheetkit.records.notes import notes_of
from sheetkit.records.problems import Problem

Progress = Callable[[str, float], None]
"""Called with what is being worked out and the share done."""


OTHERS = 0.5
"""Share of the effort for the boards of each other species to compare."""


def answer(job: Job, effort: float = 1.0, progress: Progress | None = None) -> Answers:
    """Answer everything that a job asks; ``effort`` is the work put into the board layout."""
    answers = answer_without_costs(job, effort, progress)
    shop = Shop(job)
    made = estimate(answers, shop)
    less = 0.0 if any(laid.layout.stopped for laid in answers.layouts) else effort * OTHERS

    def in_other_wood(job: Job) -> Answers:
        return answer_without_costs(job, less, known=answers)

    costs = Costs(made, alternatives(answers, made, in_other_wood))
    return replace(answers, work=work(answers), costs=costs, purchases=purchases(answers, shop))


def answer_without_costs(
    job: Job, effort: float = 1.0, progress: Progress | None = None, known: Answers | None = None
) -> Answers:
    """Answer all but the money and the order of the work; what is known of parts and layouts stands."""
    shop = Shop(job)
    told: list[Problem] = []
    tell_of_climate(job, told)
    on_parts, on_panels = notes_of("Parts", job, told), notes_of("Panels", job, told)
    done = {id(each.part): each for each in known.parts} if known else {}
    cut = (done.get(id(part)) or part_answer(part, shop, on_parts) for part in job.parts)
    parts = tuple(each for each in cut if each)
    made, seen = None, tuple[Elevation, ...]()
    if job.joints or job.runs or job.shapes or job.loads or job.glue_ups or job.finish or _by_frame(job):
        from sheetkit.plan import making

        made = making.bench(shop)
        shop.job = job = making.with_openings(job, shop, made, on_panels)
        seen = making.frames_seen(shop, made, on_panels)
    panels = tuple(fitted for panel in job.panels if (fitted := panel_answer(panel, shop, on_panels)))
    answers = Answers(job, parts, panels)
    tell_of_groups(answers.blanks, shop, {"Parts": on_parts, "Panels": on_panels})
    if job.boards:
        from sheetkit.plan.layout import stock_layouts

        on_boards = notes_of("Boards", job, told)
        layouts = stock_layouts(
            answers.blanks, shop, effort, on_boards, progress, known.layouts if known else ()
        )
        answers = with_boards(replace(answers, layouts=layouts))
    if made is not None:
        answers = replace(making.with_making(answers, shop, made), elevations=seen)
        told += made.told
    lumber = lumber_lines(answers.blanks, answers.layouts, shop, notes_of("Prices", job, told))
    answers = replace(answers, lumber=lumber, weight=_whole_weight(answers))
    notices = regulated_notices(answers, shop)
    return replace(answers, notices=notices, problems=(*notices, *told))


def _by_frame(job: Job) -> bool:
    """Return whether an opening follows from a run or from rails."""
    return any(panel.run or panel.rails for panel in job.panels)


def _whole_weight(answers: Answers) -> float | None:
    """Return the weight of all parts and panels, None when one is not known."""
    weights = [whole.weight for whole in answers.wholes]
    known = [weight for weight in weights if weight is not None]
    return sum(known) if known and len(known) == len(weights) else None

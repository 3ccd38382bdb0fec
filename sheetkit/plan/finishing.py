"""Finish: surface of the parts named, amount to have, grits in order, cautions, and the calendar."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from sheetkit.calc import finishing
from sheetkit.calc.finishing import (
    Grit,
    StepCalendar,
    finish_amount,
    finish_calendar,
    grit_steps,
    next_opening,
    panel_surface,
    part_surface,
)
from sheetkit.plan.notes import Names, listed
from sheetkit.plan.shop import Shop
from sheetkit.records.job import FinishStep
from sheetkit.records.joinery import FinishAnswer, day_of
from sheetkit.records.notes import Notes
from sheetkit.records.wood import PanelAnswer
from sheetkit.tables import rows

WASTE = 0.15
"""Left in rags, brushes and the can, as a share of what goes on, common practice."""
WORK_HOURS = 1.0
"""Work on one coat or sanding, for the calendar, common practice [h]."""
SHOP_HOURS = 8.0
"""Hours that the shop is open each day, for the calendar, common practice [h]."""
CAUTIONS = {
    "rags": "Rags, pads and steel wool with this finish can catch fire by themselves: "
    "spread them singly outdoors, or keep them under water in a closed metal can.",
    "vapor": "The vapor is harmful and can catch fire: "
    "ventilate the room, no flame or sparks, mask for organic vapor.",
}
"""What to say for each caution of the table of finishes."""
DUST = "Collect the dust and wear a mask: wood dust harms the lungs, and dust of hardwoods can cause cancer."
EPOXY_DUST = "Do not sand epoxy before it is hard."
PANELS_FIRST = "Finish the panels, edges too, before they go into the frame."


class _Run(NamedTuple):
    """What of a step is done before the assembly, and whether any is done after it."""

    early: tuple[str, ...]
    late: bool


def finish_answers(
    shop: Shop, names: Names, panels: Sequence[PanelAnswer], in_clamps: float, notes: Notes
) -> tuple[FinishAnswer, ...]:
    """Answer every row of Finish, in the order of the coats; the assembly is ``in_clamps`` hours."""
    steps = shop.job.finish
    if not steps:
        return ()
    products = {row["product"]: row for row in rows("finishes")}
    surfaces = [_surfaces(step, shop, names, panels, notes) for step in steps]
    _grits(steps, surfaces, products, notes)
    runs = _runs(steps, surfaces, {panel.panel.panel for panel in panels})
    waits = [_hours(step, products) for step in steps]
    early, late = _calendar(steps, waits, runs, in_clamps)
    epoxy = any("epoxy" in glue_up.adhesive for glue_up in shop.job.glue_ups)
    answers: list[FinishAnswer] = []
    used: dict[str, float] = {}
    coated: dict[str, set[str]] = {}
    for place, (step, wait, run, on) in enumerate(zip(steps, waits, runs, surfaces, strict=True)):
        had = coated.setdefault(step.product, set())
        bare = sum(on[name] for name in on if name not in had)
        again = sum(on[name] for name in on if name in had)
        had.update(on)
        surface, gallons = bare + again, _gallons(step, bare, again, products, shop)
        if gallons is not None:
            used[step.product] = used.get(step.product, 0.0) + gallons
            if used[step.product] > gallons:
                whole = shop.units.amount(used[step.product], "finish", 2, 2)
                notes.remark(step.row, f"With the steps before: {whole} of {step.product} in all.")
        cautions = (
            [CAUTIONS[word] for word in products[step.product]["caution"].split()] if step.product else []
        )
        if step.grit or not step.product:
            cautions += [DUST, EPOXY_DUST] if epoxy else [DUST]
        if not answers and any(panel.panel.panel in on for panel in panels):
            notes.remark(step.row, PANELS_FIRST)
        before = early.get(place) if run.late else None
        when = late[place] if run.late else early[place]
        answer = FinishAnswer(
            step,
            surface,
            gallons,
            tuple(on),
            when.starts,
            when.ready,
            run.early,
            run.late,
            before.starts if before else (),
            before.ready if before else None,
            tuple(cautions),
        )
        if before:
            notes.remark(step.row, f"{_days(before.starts)} before the assembly: {listed(run.early)}.")
        dry = f"{wait:g} hour{'s' if wait != 1 else ''} after each coat" if step.product else f"{wait:g} h"
        notes.remark(step.row, f"{_days(when.starts)}; ready on day {answer.ready_day} ({dry}).", *cautions)
        answers.append(answer)
    return tuple(_remarked(answer, notes) for answer in answers)


def _days(starts: Sequence[float]) -> str:
    first, last = day_of(starts[0]), day_of(starts[-1])
    return f"Day {first}" if last == first else f"Days {first} to {last}"


def _runs(steps: Sequence[FinishStep], on: Sequence[Iterable[str]], panels: Collection[str]) -> list[_Run]:
    """Return what is done before the assembly: as When says, else sanding of bare wood, and the panels."""
    runs, coated = [], False
    for step, names in zip(steps, map(tuple, on), strict=True):
        bare = not step.product and not coated
        coated = coated or bool(step.product)
        early = names if bare else tuple(name for name in names if name in panels)
        if step.when:
            early = names if step.when == "before assembly" else ()
        runs.append(_Run(early, not early or len(early) < len(names)))
    return runs


def _calendar(
    steps: Sequence[FinishStep], waits: Sequence[float], runs: Sequence[_Run], in_clamps: float
) -> tuple[dict[int, StepCalendar], dict[int, StepCalendar]]:
    """Return when each step is done before the assembly and after it, by its place among them."""
    coats = [
        finishing.FinishStep(step.coats, WORK_HOURS, wait) for step, wait in zip(steps, waits, strict=True)
    ]
    early = [place for place, run in enumerate(runs) if run.early]
    late = [place for place, run in enumerate(runs) if run.late]
    assembly = finishing.FinishStep(1, 0.0, in_clamps if early else 0.0)
    order = [*(coats[place] for place in early), assembly, *(coats[place] for place in late)]
    times = [
        StepCalendar(each.starts, next_opening(each.ready, SHOP_HOURS))
        for each in finish_calendar(order, SHOP_HOURS)
    ]
    return (
        dict(zip(early, times, strict=False)),
        dict(zip(late, times[len(early) + 1 :], strict=True)),
    )


def usual_grits(product: str) -> str:
    """Return the grits that are usual on bare wood under a product."""
    return next(
        listed(row["grit_bare"].split(), "then") for row in rows("finishes") if row["product"] == product
    )


def _remarked(answer: FinishAnswer, notes: Notes) -> FinishAnswer:
    return replace(answer, remarks=notes.of(answer.step.row))


def _hours(step: FinishStep, products: dict[str, dict[str, str]]) -> float:
    if step.hours is not None:
        return step.hours
    return float(products[step.product]["hours_to_next"]) if step.product else 0.0


def _surfaces(
    step: FinishStep, shop: Shop, names: Names, panels: Sequence[PanelAnswer], notes: Notes
) -> dict[str, float]:
    """Return the surface of each part and panel that a step goes on, by name [in2]."""
    keys: set[str] | None = None
    if step.parts.strip() and step.parts.strip().casefold() != "all":
        found, unknown = names.listed(step.parts)
        keys = set(found)
        for word in unknown:
            notes.add("finish-part-unknown", step.row, "parts", step.parts, name=word)
    on: dict[str, float] = {}
    for part in shop.job.parts:
        if keys is None or " ".join(part.part.casefold().split()) in keys:
            surface = part_surface(part.thickness, part.width, part.length, part.qty)
            on[part.part] = on.get(part.part, 0.0) + surface
    sized = {answer.panel.row: answer for answer in panels}
    for panel in shop.job.panels:
        if keys is not None and " ".join(panel.panel.casefold().split()) not in keys:
            continue
        answer = sized.get(panel.row)
        if answer is None:
            notes.add("finish-no-panel", step.row, "parts", step.parts, name=panel.panel)
            continue
        surface = panel_surface(answer.width, answer.height, panel.qty)
        on[panel.panel] = on.get(panel.panel, 0.0) + surface
    return on


def _gallons(
    step: FinishStep, bare: float, again: float, products: dict[str, dict[str, str]], shop: Shop
) -> float | None:
    """Return the finish for the coats of a step; the first coat on bare wood drinks more, by the table."""
    if not step.product or bare + again <= 0:
        return None
    if step.coverage:
        coverage = shop.units.inside(step.coverage, "coverage")
        return finish_amount(bare + again, step.coats, coverage, WASTE)
    row = products[step.product]
    first, later = float(row["coverage_first_ft2_gal"]), float(row["coverage_later_ft2_gal"])
    return sum(
        finish_amount(surface, step.coats, later, WASTE, drinks)
        for surface, drinks in ((bare, first), (again, None))
        if surface > 0
    )


def _grits(
    steps: Sequence[FinishStep],
    surfaces: Sequence[Iterable[str]],
    products: dict[str, dict[str, str]],
    notes: Notes,
) -> None:
    """Look at the grits on bare wood, and say what is usual before the first coat and between coats."""
    bare: dict[str, list[tuple[int, int]]] = {}
    first: dict[str, str] = {}
    for step, on in zip(steps, surfaces, strict=True):
        names = tuple(on) or ("",)
        numbers = [int(number) for number in re.findall(r"(?<!\d)\d{1,5}(?!\d)", step.grit)]
        if step.grit and not any(numbers):
            notes.add("grit-unreadable", step.row, "grit", step.grit)
        if step.product and step.grit and all(name in first for name in names):
            notes.remark(step.row, f"Usual between coats: {products[step.product]['grit_between']}.")
        for name in names:
            if name not in first:
                bare.setdefault(name, []).extend((number, step.row) for number in numbers if number)
                if step.product:
                    first[name] = step.product
    _grits_in_order(dict.fromkeys(tuple(grits) for grits in bare.values() if grits), notes)
    usual = dict.fromkeys((bare[name][0][1], product) for name, product in first.items() if bare[name])
    for row, product in usual:
        notes.remark(row, f"Usual on bare wood under {product}: {usual_grits(product)}.")


def _grits_in_order(sequences: Iterable[Sequence[tuple[int, int]]], notes: Notes) -> None:
    """Look at the grits with their rows in which one part or another is sanded, and say each fault once."""
    looked_at = dict.fromkeys(
        (row, found)
        for grits in sequences
        for found, (_, row) in zip(grit_steps([grit for grit, _ in grits]), grits[1:], strict=True)
    )
    for row, found in looked_at:
        if found.reason is Grit.COARSER:
            notes.add("grit-order", row, "grit", found.grit, grit=found.grit, before=found.before)
        elif found.reason is Grit.SKIPS:
            words = {"grit": found.grit, "before": found.before, "between": found.between}
            notes.add("grit-skips", row, "grit", found.grit, **words)

"""What a command says on the terminal, as plain lines."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from sheetkit.flow import Outcome
from sheetkit.problems import Problem
from sheetkit.results import Results
from sheetkit.tables import all_species, find_species, nearest_species, source
from sheetkit.tabs.draft import Measure

if TYPE_CHECKING:
    from sheetkit.review import Review


@contextmanager
def layout_progress() -> Iterator[Callable[[str, float], None] | None]:
    """Give a function that shows progress on a terminal, None where nobody looks."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress, TaskID

    bars: dict[str, TaskID] = {}
    with Progress(console=Console(stderr=True), transient=True) as shown:

        def tell(name: str, share: float) -> None:
            if name not in bars:
                bars[name] = shown.add_task(name, total=1.0)
            shown.update(bars[name], completed=share)

        yield tell


SIGNS = {"error": "to put right", "warning": "look", "note": "note"}


def problem_lines(problems: tuple[Problem, ...]) -> list[str]:
    """Give the problems as lines, the gravest first."""
    order = {"error": 0, "warning": 1, "note": 2}
    lines = []
    for found in sorted(problems, key=lambda each: order[each.weight]):
        stands = f" [{found.stands}]" if found.stands else ""
        instead = "" if found.instead == "Nothing to do." else f" {found.instead}"
        lines.append(f"  {SIGNS[found.weight]:<12} {found.place}{stands}: {found.says}{instead}")
    return lines


def result_lines(results: Results) -> list[str]:
    """Give the job in a few lines."""
    measure = Measure(results.job.sheet)
    blanks = sum(blank.count for blank in results.blanks)
    lines = [
        f"{results.job.sheet.job}: {sum(part.qty for part in results.job.parts)} parts, "
        f"{sum(found.panel.qty for found in results.panels)} panels, {blanks} blanks"
    ]
    for line in results.lumber:
        cost = "unpriced" if line.cost is None else f"{results.job.sheet.currency}{line.cost:,.2f}"
        digits = 3 if results.job.sheet.measure == "m3" else 2
        lines.append(
            f"  {line.species.name:<22} {line.stock.name:>6}  {measure.volume(line.net):>9.{digits}f} {measure.volume_word} in the blanks,"
            f" buy {measure.volume(line.buy):.{digits}f}: {cost}"
        )
    return lines


def outcome_lines(outcome: Outcome, *, check: bool = False) -> list[str]:
    """Give all that a run has to say."""
    lines = result_lines(outcome.results) if outcome.results else []
    lines += problem_lines(outcome.problems)
    if not outcome.ok:
        lines.append("Nothing was calculated: put right what is marked above, then run again.")
    if check:
        lines.append(f"Checked {outcome.path}; nothing was written.")
    elif outcome.written:
        kept = f"; the file as it was: {outcome.backup.name}" if outcome.backup else ""
        lines.append(f"Written to {outcome.path}{kept}.")
    else:
        lines.append(f"{outcome.path} is up to date.")
    return lines


def species_lines(name: str = "") -> list[str]:
    """Give the species table, or one species in full; no line when the name is unknown."""
    if not name:
        lines = [f"{'Species':<26} {'radial':>8} {'tangential':>11} {'gravity':>8} {'hardness':>9}"]
        for each in all_species():
            cells = [
                "" if value is None else f"{value:g}"
                for value in (each.coef_radial, each.coef_tangential, each.gravity_12, each.hardness_lbf)
            ]
            lines.append(f"{each.name:<26} {cells[0]:>8} {cells[1]:>11} {cells[2]:>8} {cells[3]:>9}")
        lines.append(
            "Change per 1 % moisture; gravity at 12 %; side hardness in lbf. One in full: sheetkit species NAME"
        )
        return lines
    species = find_species(name)
    if species is None:
        return [f"No species of the name {name}. Perhaps: {', '.join(nearest_species(name))}"]
    lines = [f"{species.name} ({species.botanical})"]
    for key, value in species.facts:
        if key in ("id", "name", "botanical") or not value:
            continue
        shown = f"{source(value)}" if key.endswith("source") else value
        lines.append(f"  {key.replace('_', ' '):<24} {shown}")
    return lines


def review_lines(found: Review) -> list[str]:
    """Give the look back over past jobs as plain tables."""
    lines: list[str] = []
    for name, frame in found.frames().items():
        if len(frame):
            table = frame.to_string(index=False, na_rep="", float_format="{:.2f}".format)
            lines.append("Passed over" if name == "skipped" else name.capitalize())
            lines += [f"  {line}" for line in table.splitlines()]
    return lines or ["No past job was found."]

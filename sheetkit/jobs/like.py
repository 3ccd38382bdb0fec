"""A new job that begins as past ones were: prices, rates, the waste and minutes that the record supports."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from sheetkit.book.workbook import Refused
from sheetkit.form import labels as settings
from sheetkit.form.columns import Kind
from sheetkit.jobs.past_jobs import PastJob
from sheetkit.jobs.review import TOO_FEW, review
from sheetkit.records.job import JobSheet
from sheetkit.records.units import Units
from sheetkit.units import MM, Unit, length_text

KEPT = (
    *("prepared_by", "unit", "round_to", "measure", "decimal_sign", "currency"),
    *("hourly_rate", "overhead", "profit", "profit_as", "tax", "deposit", "valid_days"),
)
"""Labels on Job that one job has as the last."""
Rows = list[dict[str, str]]


@dataclass(frozen=True, slots=True)
class Like:
    """What a new workbook is filled with, and what is said of it."""

    unit: Unit
    labels: Mapping[str, str]
    filled: Mapping[str, Sequence[Mapping[str, str]]]
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Supported:
    """A figure that the record supports: from how many jobs, and how far it went apart."""

    value: float
    jobs: int
    least: float
    most: float

    def words(self, unit: str, digits: int = 0) -> str:
        """Say how sure it is."""
        few = f" (fewer than {TOO_FEW} tell little)" if self.jobs < TOO_FEW else ""
        least, most = f"{self.least:.{digits}f}", f"{self.most:.{digits}f}"
        spread = f"{least} {unit}" if least == most else f"{least} to {most} {unit}"
        return f"{spread} in {self.jobs} job{'s' if self.jobs > 1 else ''}{few}"


def like(folder: Path) -> Like:
    """Return what a new job begins with, from the past jobs of a folder.

    Raises
    ------
    Refused
        ``no such file`` when there is no such folder, ``no past jobs`` when nothing in it is one.
    """
    jobs = review(folder).jobs
    if not jobs:
        raise Refused("no past jobs", str(folder))
    last = jobs[-1]  # the latest: they stand by date
    unit = last.asked.sheet.unit
    alike = [job for job in jobs if job.asked.sheet.unit == unit]
    wastes, minutes = supported_wastes(alike), supported_minutes(alike)
    named = [
        f"Waste of {name}: {found.value:.0f} %, from {found.words('%')}." for name, found in wastes.items()
    ]
    named += [
        f"Minutes for {name} ({by}): {found.value:.1f}, from {found.words('min', 1)}."
        for (name, by), found in minutes.items()
    ]
    like = f"Like {last.job} ({last.file}) and {len(alike) - 1} more"
    said = (
        f"{like}: look at each figure, they are yours to change.",
        *(named or ["No waste and no minutes are recorded in these jobs."]),
    )
    labels = {name: text for name in KEPT if (text := _label(last.asked.sheet, name))}
    return Like(unit, labels, {"Prices": _prices(alike, wastes), "Labor": _labor(alike, minutes)}, said)


def supported_wastes(jobs: Sequence[PastJob]) -> dict[str, Supported]:
    """Return the waste in percent of what was bought or cut, by species."""
    found: dict[str, list[tuple[float, float]]] = {}
    for job in jobs:
        known: dict[str, tuple[float, float]] = {}
        for line in job.lumber:
            if line.touched:
                net, touched = known.get(line.species, (0.0, 0.0))
                known[line.species] = (net + line.net, touched + line.touched)
        for species, sums in known.items():
            found.setdefault(species, []).append(sums)
    return {
        species: _supported(
            [100 * (1 - net / touched) for net, touched in each],
            100 * (1 - sum(net for net, _ in each) / sum(touched for _, touched in each)),
        )
        for species, each in sorted(found.items())
    }


def supported_minutes(jobs: Sequence[PastJob]) -> dict[tuple[str, str], Supported]:
    """Return the minutes that one took, by operation and what it is counted by."""
    found: dict[tuple[str, str], dict[str, tuple[float, float]]] = {}
    for job in jobs:
        for each in job.operations:
            if each.actual is not None and each.count:
                by_job = found.setdefault((each.operation, each.counted_by), {})
                count, hours = by_job.get(job.file, (0.0, 0.0))
                by_job[job.file] = (count + each.count, hours + each.actual)
    return {
        key: _supported(
            [60 * hours / count for count, hours in by_job.values()],
            60 * sum(hours for _, hours in by_job.values()) / sum(count for count, _ in by_job.values()),
        )
        for key, by_job in found.items()
    }


def _supported(each: Sequence[float], whole: float) -> Supported:
    return Supported(whole, len(each), min(each), max(each))


def _prices(jobs: Sequence[PastJob], wastes: Mapping[str, Supported]) -> Rows:
    """Return every species and stock listed, as the latest job listed it, with the waste of the record."""
    rows: dict[tuple[str, str], dict[str, str]] = {}
    for job in reversed(jobs):
        unit = job.asked.sheet.unit
        for price in job.asked.prices:
            key = (price.species.name, price.stock.name)
            known = wastes.get(price.species.name)
            waste = known.value / 100 if known else price.waste
            row = {
                "species": key[0],
                "stock": key[1],
                "grade": price.grade,
                "measures": "" if price.measures is None else length_text(price.measures, unit),
                "price": "" if price.price is None else f"{price.price}",
                "waste": "" if waste is None else f"{100 * waste:.1f} %",
                "note": f"Waste: {known.words('%')}" if known else "",
            }
            rows.setdefault(key, row)
    return [_filled(row) for _, row in sorted(rows.items())]


def _labor(jobs: Sequence[PastJob], minutes: Mapping[tuple[str, str], Supported]) -> Rows:
    """Return every operation of the jobs, as the latest had it, with the minutes of the record."""
    rows: dict[tuple[str, str], dict[str, str]] = {}
    for job in reversed(jobs):
        for each in job.asked.labor:
            key = (each.operation, each.counted_by)
            known = minutes.get(key)
            row = {
                "operation": key[0],
                "counted_by": key[1],
                "minutes": f"{known.value if known else each.minutes:.4g}",
                "rate": "" if each.rate is None else f"{each.rate}",
                "note": f"Minutes: {known.words('min', 1)}" if known else "",
            }
            rows.setdefault(key, row)
    return [_filled(row) for row in rows.values()]


def _filled(row: Mapping[str, str]) -> dict[str, str]:
    return {name: text for name, text in row.items() if text}


def _label(sheet: JobSheet, name: str) -> str:
    """Return a label's value as a person types it, empty when the job has none."""
    if name == "unit":
        return Units.of(sheet).word
    if name == "round_to":
        step = length_text(sheet.step, "in").removesuffix(" in")
        return Units.of(sheet).either(step, f"{sheet.step * MM:g} mm")
    value = getattr(sheet, name)
    if value is None or value == "":
        return ""
    share = next(label.kind is Kind.SHARE for label in settings.JOB if label.name == name)
    return f"{100 * value:.6g} %" if share else f"{value}"

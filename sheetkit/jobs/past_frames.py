"""Past jobs as data frames: each job, yield by species, hours by operation; pandas loads here alone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from sheetkit.jobs.past_jobs import PastJob

if TYPE_CHECKING:
    from pandas import DataFrame


def frame_of(rows: Sequence[tuple[Any, ...]], columns: Sequence[str]) -> DataFrame:
    """Return rows as a data frame, its columns there without any row too."""
    from pandas import DataFrame

    return DataFrame(rows, columns=list(columns))


def jobs_frame(jobs: Sequence[PastJob], scale: float) -> DataFrame:
    """Return each job's lumber, hours and money, estimated and real; ``scale`` board feet are one unit."""
    rows = []
    for job in jobs:
        known = [line for line in job.lumber if line.touched is not None]
        touched = sum(line.touched or 0.0 for line in known)
        rows.append(
            (
                job.file,
                job.job,
                job.date,
                job.currency,
                job.complete,
                sum(line.net for line in job.lumber) / scale,
                sum(line.estimated for line in job.lumber) / scale,
                sum(line.estimated for line in known) / scale if known else None,
                touched / scale if known else None,
                sum(line.net for line in known) / touched if touched else None,
                job.hours,
                job.hours_recorded if job.hours_recorded else None,
                job.actual_hours if job.hours_recorded else None,
                float(job.price),
                float(job.profit),
                float(job.actual_profit),
                float(job.actual_profit / job.price) if job.price else None,
            )
        )
    frame = frame_of(
        rows,
        (
            "file",
            "job",
            "date",
            "currency",
            "complete",
            "net",
            "estimated_lumber",
            "estimated_of_cut",
            "cut",
            "yield",
            "hours",
            "estimated_of_recorded",
            "actual_hours",
            "price",
            "profit",
            "actual_profit",
            "actual_margin",
        ),
    )
    numbers = list(frame.columns[5:])
    return frame.astype(dict.fromkeys(numbers, float))


def species_frame(jobs: Sequence[PastJob], scale: float) -> DataFrame:
    """Return yield and waste by species, over the jobs of which the boards that were cut are known."""
    lines = frame_of(
        [
            (line.species, line.file, line.net / scale, line.estimated / scale, line.touched / scale)
            for job in jobs
            for line in job.lumber
            if line.touched is not None
        ],
        ("species", "file", "net", "estimated", "cut"),
    )
    by_job = lines.groupby(["species", "file"], as_index=False).sum()
    by_job["waste"] = 1 - by_job["net"] / by_job["cut"]
    table = by_job.groupby("species", as_index=False).agg(
        jobs=("file", "count"),
        net=("net", "sum"),
        estimated=("estimated", "sum"),
        cut=("cut", "sum"),
        least_waste=("waste", "min"),
        most_waste=("waste", "max"),
    )
    table["yield"] = table["net"] / table["cut"]
    table["waste"] = 1 - table["yield"]
    table["estimated_waste"] = 1 - table["net"] / table["estimated"]
    return table.sort_values(["jobs", "species"], ascending=[False, True], ignore_index=True)


def operations_frame(jobs: Sequence[PastJob]) -> DataFrame:
    """Return hours by operation, over the jobs that record them."""
    lines = frame_of(
        [
            (
                " ".join(each.operation.casefold().split()),
                each.operation,
                each.counted_by,
                each.file,
                each.count,
                each.estimated,
                each.actual,
            )
            for job in jobs
            for each in job.operations
            if each.actual is not None
        ],
        ("key", "operation", "counted_by", "file", "count", "estimated_hours", "actual_hours"),
    )
    keys = ["key", "counted_by"]
    by_job = lines.groupby([*keys, "file"], as_index=False)[["count", "actual_hours"]].sum()
    by_job["minutes"] = by_job["actual_hours"] * 60 / by_job["count"].where(by_job["count"] > 0)
    spread = by_job.groupby(keys, as_index=False).agg(
        least_minutes=("minutes", "min"), most_minutes=("minutes", "max")
    )
    table = (
        lines.groupby(keys, as_index=False)
        .agg(
            operation=("operation", "first"),
            jobs=("file", "nunique"),
            count=("count", "sum"),
            estimated_hours=("estimated_hours", "sum"),
            actual_hours=("actual_hours", "sum"),
        )
        .merge(spread, on=keys)
    )
    counts = table["count"].where(table["count"] > 0)
    table["estimated_minutes"] = table["estimated_hours"] * 60 / counts
    table["actual_minutes"] = table["actual_hours"] * 60 / counts
    table = table.sort_values(["jobs", "key"], ascending=[False, True], ignore_index=True)
    return table.drop(columns="key")

"""Backups and copies among past jobs, told by what they hold, so that each job counts once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from sheetkit.book import save
from sheetkit.jobs.past_jobs import PastJob, Skipped

Found = tuple[Path, PastJob | Skipped]
"""A file and what was read from it."""


def without_backups(read: Sequence[Found]) -> list[Found]:
    """Return what was read without the files as they were before a run, which a job's notes know by any name.

    A backup that bears the name given to it is passed over without a word; one that was renamed is named. Of
    a job that cannot be read the notes cannot be either: there the name must do.
    """
    jobs: dict[str, list[Path]] = {}
    unread = set()
    for path, found in read:
        if found.backup:
            jobs.setdefault(found.backup, []).append(path)
        elif isinstance(found, Skipped):
            unread.add(path)
    kept: list[Found] = []
    for path, found in read:
        stem = re.sub(r"\.before( \d+)?$", "", path.stem)
        named = path.with_name(stem + path.suffix) if stem != path.stem else None
        known = [job for job in jobs.get(save.digest(path.read_bytes()), ()) if job != path] if jobs else []
        if named in known or named in unread:
            continue
        if known:
            found = Skipped(found.file, f"The backup of {known[0].name}, which counts.")
        kept.append((path, found))
    return kept


def once(read: Sequence[Found]) -> tuple[list[PastJob], list[Skipped]]:
    """Return the jobs, each once, and what is passed over: of the copies of a job, the one saved last counts.

    Copies say the same, or are of one job name, date and job number.
    """
    latest: dict[object, tuple[Path, PastJob]] = {}
    for path, found in read:
        if isinstance(found, PastJob):
            known = latest.get(_identity(found))
            if known is None or (
                _told(known[1]) != _told(found) and path.stat().st_mtime_ns > known[0].stat().st_mtime_ns
            ):
                latest[_identity(found)] = path, found
    jobs: list[PastJob] = []
    skipped: list[Skipped] = []
    for _, found in read:
        if isinstance(found, Skipped):
            skipped.append(found)
            continue
        counted = latest[_identity(found)][1]
        if counted is found:
            jobs.append(found)
        else:
            kind = "A copy" if _told(counted) == _told(found) else "An earlier copy"
            skipped.append(Skipped(found.file, f"{kind} of {counted.file}, which counts once."))
    return jobs, skipped


def _identity(job: PastJob) -> object:
    """Return what the copies of one job have in common."""
    if not job.number:
        return _told(job)
    return tuple(" ".join(text.casefold().split()) for text in (job.job, job.date, job.number))


def _told(job: PastJob) -> PastJob:
    """Return a job without the name of its file and its backup: what it says."""
    lumber = tuple(replace(line, file="") for line in job.lumber)
    return replace(
        job, file="", backup="", lumber=lumber, operations=tuple(replace(o, file="") for o in job.operations)
    )

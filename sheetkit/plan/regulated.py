"""Pieces that the law regulates: the rule is named, and nothing is checked."""

from __future__ import annotations

import re
from collections.abc import Iterator

from sheetkit.records.job import Job
from sheetkit.records.problems import Problem, problem

RULES = (
    (r"\bcribs?\b|\bcots?\b|bassinet|\bcradle", "US 16 CFR 1219 and 1220 (cribs), 1218 (bassinets)"),
    (r"toddler", "US 16 CFR 1217 (toddler beds)"),
    (r"bunk|loft bed", "US 16 CFR 1213 and 1513 (bunk beds)"),
    (r"dresser|chest of drawers|wardrobe|armoire|chiffonier|tallboy", "US 16 CFR 1261, ASTM F2057 (clothing storage that can tip)"),
    (r"high ?chair", "US 16 CFR 1231 (high chairs)"),
)  # fmt: skip
"""Words in the name of a piece, and the rule that they call to mind (figures from memory, see the sources)."""


def regulated_notices(job: Job) -> Iterator[Problem]:
    """Give a notice for a piece whose name sounds like a regulated one."""
    name = f"{job.sheet.job} {job.sheet.piece}"
    for words, rule in RULES:
        if re.search(words, name, re.IGNORECASE):
            place = job.labels.get("piece", ("Job", 0, 0))
            yield problem("regulated", *place, name.strip(), name=name.strip(), rule=rule)

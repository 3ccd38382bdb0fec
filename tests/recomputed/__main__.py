"""python -m tests.recomputed SECONDS [SEED]: jobs by chance, run and worked out again, for as long as one likes."""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings

from tests.recomputed.chance import jobs
from tests.recomputed.compare import unlike


def some_jobs(unit: str, number: int) -> list[dict[str, Any]]:
    """Some jobs, the same for the same number."""
    found: list[dict[str, Any]] = []

    @seed(number)
    @settings(
        max_examples=25,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(jobs(unit))
    def drawn(job: dict[str, Any]) -> None:
        found.append(job)

    drawn()
    return found


def main() -> int:
    until, first = time.monotonic() + float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1
    done = wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        while time.monotonic() < until:
            ending, unit = ((".xlsx", "in"), (".ods", "mm"), (".xlsx", "mm"), (".ods", "in"))[first % 4]

            for job in some_jobs(unit, first):
                found = unlike(Path(folder) / f"job{ending}", job)
                done += 1
                if found:
                    wrong += 1
                    print(f"seed {first}, {ending}:", *found[:6], job, "", sep="\n  ", flush=True)
                if time.monotonic() > until:
                    break
            first += 1
    print(f"{done} jobs, {wrong} unlike")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

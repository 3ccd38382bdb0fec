"""Write templates/ and examples/ from the code: python -m tests.make_templates."""

from __future__ import annotations

from pathlib import Path

from sheetkit.book.formats import by_ending
from sheetkit.form.example import example_job
from sheetkit.jobs.new import new_file
from sheetkit.tabs.template import template_pages
from sheetkit.units import Unit
from tests.past_jobs import JOBS, past_job_pages

TOP = Path(__file__).parent.parent
UNITS: dict[str, Unit] = {"inch": "in", "mm": "mm"}


def generated() -> dict[Path, bytes]:
    """Give every generated workbook by its path."""
    files = {}
    for word, unit in UNITS.items():
        examples = {"entry-bench": example_job(unit), "niche-door": example_job(unit, small=True)}
        for ending in (".xlsx", ".ods"):
            kind = by_ending(ending)
            files[TOP / "templates" / f"blank-{word}{ending}"] = new_file(kind, template_pages(unit))
            for name, example in examples.items():
                path = TOP / "examples" / f"{name}{'' if unit == 'in' else '-mm'}{ending}"
                files[path] = new_file(kind, template_pages(unit, *example))
    for name in JOBS:
        pages = past_job_pages(name)
        files[TOP / "examples" / "past-jobs" / name] = by_ending(Path(name).suffix).render(pages)
    return files


if __name__ == "__main__":
    for path, data in generated().items():
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(data)

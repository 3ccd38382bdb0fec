"""Workbooks of an earlier version, with headings and titles that are called otherwise now, keep working."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import sheetkit
from sheetkit.book import save
from sheetkit.book.formats import by_content
from sheetkit.book.workbook import Workbook
from sheetkit.jobs.new import adopted
from sheetkit.jobs.run import Outcome

OLD = Path(__file__).parent / "old_words"
"""Written and run by the version that said Labour, Bearing at driest, Least bearing and Bears as."""
FORMATS = (".xlsx", ".ods")


def _book(path: Path) -> Workbook:
    data = save.load(path)
    return by_content(data, path.suffix).read(data)


def _run(tmp_path: Path, ending: str) -> tuple[Path, Outcome]:
    path = tmp_path / f"night-stand{ending}"
    shutil.copy(OLD / path.name, path)
    return path, sheetkit.run(path)


def _row(book: Workbook, tab: str, first: str) -> dict[str, object]:
    """Give a row of a tab by its headings."""
    page = book.page(tab)
    assert page is not None
    at = next(row for (row, column), cell in page.cells.items() if column == 1 and cell.value == first)
    top = max(
        row
        for (row, column), cell in page.cells.items()
        if column == 1 and row < at and cell.value in ("Panel", "Member", "Step", "Operation")
    )
    heads = {column: cell.value for (row, column), cell in page.cells.items() if row == top}
    return {
        str(heads[column]): cell.value
        for (row, column), cell in page.cells.items()
        if row == at and column in heads
    }


@pytest.mark.parametrize("ending", FORMATS)
def test_old_headings_titles_and_words_are_read(tmp_path: Path, ending: str) -> None:
    _, outcome = _run(tmp_path, ending)
    assert outcome.ok, outcome.problems
    assert [found.code for found in outcome.problems] == ["assumed-climate"]
    assert outcome.answers is not None
    job = outcome.answers.job
    assert [each.operation for each in job.labor] == ["Mill blanks", "Cut joints"]
    assert job.allowances.least_bearing == 3 / 16
    assert [each.bears_as for each in job.loads] == ["resting, center"]
    assert [each.adhesive for each in job.glue_ups] == ["liquid hide glue", "slow epoxy"]


@pytest.mark.parametrize("ending", FORMATS)
def test_a_run_fills_the_columns_under_their_old_headings_and_adds_none(tmp_path: Path, ending: str) -> None:
    path, _ = _run(tmp_path, ending)
    before, after = _book(OLD / path.name), _book(path)
    for tab in ("Panels", "Loads", "Glue-ups", "Labour", "Allowances"):
        old, new = before.page(tab), after.page(tab)
        assert old is not None
        assert new is not None
        assert new.last_column == old.last_column, tab
        assert {at: cell.value for at, cell in new.cells.items()} == pytest.approx(
            {at: cell.value for at, cell in old.cells.items()}
        ), tab
    assert "Labor" not in [page.title for page in after.pages]
    assert isinstance(_row(after, "Panels", "Side")["Bearing at driest"], float)
    assert _row(after, "Labour", "Cut joints")["Count"] == 4


@pytest.mark.parametrize("ending", FORMATS)
def test_the_estimate_still_points_at_the_old_tab(tmp_path: Path, ending: str) -> None:
    path, _ = _run(tmp_path, ending)
    estimate = _book(path).page("Estimate")
    assert estimate is not None
    formulas = [cell.formula for cell in estimate.cells.values() if cell.formula]
    assert any("Labour" in formula for formula in formulas)


@pytest.mark.parametrize("ending", FORMATS)
def test_adopt_puts_no_second_labor_tab_beside_the_old_one(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"night-stand{ending}"
    shutil.copy(OLD / path.name, path)
    adopted(path)
    assert "Labor" not in [page.title for page in _book(path).pages]

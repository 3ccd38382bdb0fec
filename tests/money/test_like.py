"""A new job like past ones, and what was really bought and used: worked by hand."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner

from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Refused
from sheetkit.intake.workbook import take_in
from sheetkit.jobs.like import like, supported_minutes, supported_wastes
from sheetkit.jobs.past_jobs import PastJob
from sheetkit.jobs.review import review
from sheetkit.terminal.cli import main
from tests.jobs import read
from tests.money.money_jobs import TABLES, workbook_pages

NET = (5.25 * 41 + 2 * 3.25 * 14) / 144
"""Board feet in the blanks of the shelf: 5 + 1/4 by 40 + 1, and two of 3 + 1/4 by 13 + 1."""
PRICES = "Species | Stock | Price | Waste | Really bought\nWhite oak | 4/4 | 9.50 | 20 | {bought}"
LABOR = "Operation | Counted by | Minutes each | Actual hours\nMill | blank | 6 | {hours}\nSand | job | 30 |"


def past(folder: Path, name: str, day: str, bought: str, hours: str, **more: str) -> None:
    tables = {
        "Job": TABLES["Job"].replace("2031-03-04", day).replace("Hall shelf", name), "Prices": PRICES.format(bought=bought),
        "Labor": LABOR.format(hours=hours), **more,
    }  # fmt: skip
    (folder / f"{name}.ods").write_bytes(by_ending(".ods").render(workbook_pages(tables)))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    past(tmp_path, "one", "2031-01-05", "3.2", "0.25")
    past(tmp_path, "two", "2031-02-05", "2.6", "0.5")
    past(tmp_path, "three", "2031-03-05", "", "")
    return tmp_path


def test_lumber_really_bought_needs_no_boards(folder: Path) -> None:
    one, two, three = review(folder).jobs
    assert [job.lumber[0].touched for job in (one, two)] == pytest.approx([3.2, 2.6])
    assert three.lumber[0].touched is None
    assert one.lumber[0].net == pytest.approx(NET)
    # 3.2 board feet at 9.50, extras 12.40, 0.25 h at 45, sanding 30 min at 45; 15 % overhead
    direct = Decimal("30.40") + Decimal("12.40") + Decimal("11.25") + Decimal("22.50")
    assert one.actual_cost == direct + (direct * Decimal("0.15")).quantize(Decimal("0.01"), "ROUND_HALF_UP")


def test_glue_finish_and_hardware_really_used_count(tmp_path: Path) -> None:
    extras = "Item | Qty | Unit price | Really used\nScrew | 8 | 0.35 | 6\nHook | 2 | 4.80 |"
    finish = "Step | Product | Coats | Price | Really used\nOil | hardwax oil | 2 | 48 | 0.25"
    past(tmp_path, "shelf", "2031-01-05", "3.2", "0.25", Extras=extras, Finish=finish)
    (job,) = review(tmp_path).jobs
    # 6 screws at 0.35 and 2 hooks at 4.80; a quarter of a quart at 48
    direct = (
        Decimal("30.40")
        + Decimal("2.10")
        + Decimal("9.60")
        + Decimal("12.00")
        + Decimal("11.25")
        + Decimal("22.50")
    )
    assert job.actual_cost == direct + (direct * Decimal("0.15")).quantize(Decimal("0.01"), "ROUND_HALF_UP")


def test_what_the_record_supports_says_how_sure_it_is(folder: Path) -> None:
    jobs = review(folder).jobs
    waste = supported_wastes(jobs)["White oak"]
    assert waste.jobs == 2
    assert [waste.least, waste.most] == pytest.approx([100 - 100 * NET / 2.6, 100 - 100 * NET / 3.2])
    assert waste.value == pytest.approx(100 - 100 * 2 * NET / 5.8)
    minutes = supported_minutes(jobs)["Mill", "blank"]
    # three blanks: 0.25 h is 5 minutes each, 0.5 h is 10
    assert (minutes.jobs, minutes.least, minutes.most, minutes.value) == (2, 5, 10, 7.5)
    assert minutes.words("min", 1) == "5.0 to 10.0 min in 2 jobs (fewer than 3 tell little)"
    frames = review(folder).frames()
    assert list(frames["operations"][["least_minutes", "most_minutes"]].iloc[0]) == pytest.approx([5, 10])


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_new_job_begins_like_the_past_ones(folder: Path, tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"next{ending}"
    said = CliRunner().invoke(main, ["new", str(path), "--like", str(folder)])
    assert said.exit_code == 0, said.output
    assert (
        "Minutes for Mill (blank): 7.5, from 5.0 to 10.0 min in 2 jobs (fewer than 3 tell little)."
        in said.output
    )
    job = take_in(read(path).pages).job
    assert job.sheet.hourly_rate == 45
    assert [job.sheet.overhead, job.sheet.profit, job.sheet.tax] == [0.15, 0.2, 0.07]
    assert job.sheet.client == "", "another client"
    (price,) = job.prices
    assert price.price == Decimal("9.50")
    assert price.waste == pytest.approx(round(1 - 2 * NET / 5.8, 3))
    assert price.note.startswith("Waste: ")
    mill, sand = job.labor
    assert (mill.minutes, sand.minutes, sand.note) == (7.5, 30, "")
    assert mill.note == "Minutes: 5.0 to 10.0 min in 2 jobs (fewer than 3 tell little)"
    assert mill.actual_hours is None


def test_nothing_is_taken_from_the_record_without_being_asked(folder: Path) -> None:
    three: PastJob = review(folder).jobs[2]
    assert three.asked.prices[0].waste == pytest.approx(0.2)
    assert three.asked.labor[0].minutes == 6


def test_a_folder_without_a_job_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        like(tmp_path)
    assert refused.value.reason == "no past jobs"
    said = CliRunner().invoke(main, ["new", str(tmp_path / "a.ods"), "--like", str(tmp_path), "--example"])
    assert said.exit_code == 2


def test_joints_are_counted_in_a_past_job_too(tmp_path: Path) -> None:
    joints = "Joint | Qty | Kind | Into | From | Thickness | Width | Depth into\nTenons | 4 | tenon | Shelf | Bracket | 1/4 | 2 | 1/2"
    labor = "Operation | Counted by | Minutes each | Actual hours\nCut | joint | 6 | 1"
    past(tmp_path, "shelf", "2031-01-05", "", "", Joints=joints, Labor=labor)
    assert supported_minutes(review(tmp_path).jobs)["Cut", "joint"].value == pytest.approx(15)

"""Looking back over a folder of past jobs: estimated against actual, by hand; unreadable files never end it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import pytest

import sheetkit
from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Refused
from sheetkit.data.figures import figures_of
from sheetkit.jobs.review import Review, review, review_pages
from sheetkit.page import Page
from tests.money.money_jobs import TABLES, put_in, workbook_pages

NOW = datetime(2031, 5, 1, 8, 0)
BOARDS = """
    Board | Species   | Stock | Width | Length
    A     | White oak | 4/4   | 6     | 96
    B     | White oak | 4/4   | 8     | 120
"""
HOURS = """
    Operation | Counted by | Minutes each | Rate | Actual hours
    Choose    | job        | 30           |      | 0.75
    Mill      | blank      | 6            |      | 0.5
    Sand      | surface    | 4            | 40   |
"""


def past(path: Path, tables: Mapping[str, str]) -> None:
    """Write a past job and have its answers put in."""
    path.write_bytes(by_ending(path.suffix).render(workbook_pages(tables)))
    assert sheetkit.run(path, now=NOW, effort=0.1).ok
    path.write_bytes(put_in(path.read_bytes(), path.suffix))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a folder of three past jobs in both formats, and files that are none."""
    past(tmp_path / "one.xlsx", {"Boards": BOARDS, "Labor": HOURS})
    job = TABLES["Job"].replace("Hall shelf", "Porch shelf").replace("2031-03-04", "2031-01-09")
    (tmp_path / "older").mkdir()
    past(
        tmp_path / "older" / "two.ods",
        {"Job": job, "Boards": BOARDS.replace("| 96", "| 60"), "Labor": HOURS},
    )
    past(tmp_path / "three.xlsx", {"Job": TABLES["Job"].replace("2031-03-04", "2031-04-01")})
    (tmp_path / "letter.xlsx").write_bytes(b"PK\x03\x04 no workbook at all")
    (tmp_path / "note.ods").write_bytes(b"Dear client")
    bad = workbook_pages(
        {"Parts": "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | wide | 30"}
    )
    (tmp_path / "bad.ods").write_bytes(by_ending(".ods").render(bad))
    (tmp_path / "other.xlsx").write_bytes(by_ending(".xlsx").render([Page("Songs")]))
    (tmp_path / "~$one.xlsx").write_bytes(b"lock")
    (tmp_path / ".hidden.xlsx").write_bytes(b"x")
    (tmp_path / "plan.txt").write_text("not looked at")
    return tmp_path


def test_estimated_stands_against_what_it_really_took(folder: Path) -> None:
    found = review(folder)
    assert [job.file for job in found.jobs] == ["older/two.ods", "one.xlsx", "three.xlsx"]
    first = found.jobs[1]
    (line,) = first.lumber
    net = (5.25 * 41 + 2 * 3.25 * 14) / 144
    assert line.net == pytest.approx(net)
    assert line.estimated == pytest.approx(net / 0.8)
    assert line.touched == pytest.approx(6 * 96 / 144)  # board A, 4 board feet, is enough
    assert first.hours == pytest.approx(0.5 + 0.3 + (467.5 + 204) / 144 * 4 / 60)
    assert first.hours_recorded == pytest.approx(0.8)
    assert first.actual_hours == 1.25
    # offered with the rack: 38.00 + 12.40 + 48.44 = 98.84, 15 % of it 14.83, 20 % of 113.67 is 22.73
    assert first.price == Decimal("136.40")
    assert first.cost == Decimal("113.67")
    # taken: 4 bf at 9.50, 45 x 0.75 = 33.75, 45 x 0.5 = 22.50, sanding as estimated
    direct = Decimal("38.00") + Decimal("12.40") + Decimal("33.75") + Decimal("22.50") + Decimal("12.44")
    assert first.actual_cost == direct + Decimal("17.86")  # 15 % of 119.09 = 17.8635
    assert first.actual_profit == Decimal("-0.55")
    assert (found.jobs[2].price, found.jobs[2].profit) == (Decimal("118.80"), Decimal("19.80"))
    assert found.jobs[2].lumber[0].touched is None
    assert found.jobs[2].hours_recorded == pytest.approx(0.3)


def test_what_cannot_be_read_is_listed_with_its_reason_and_the_rest_is_read(folder: Path) -> None:
    found = review(folder)
    why = {each.file: each.why for each in found.skipped}
    assert set(why) == {"letter.xlsx", "note.ods", "bad.ods", "other.xlsx"}
    assert "damaged" in why["letter.xlsx"]
    assert "not an .xlsx or .ods" in why["note.ods"]
    assert "Parts!D2" in why["bad.ods"]
    assert "Job and Parts" in why["other.xlsx"]


def test_the_record_tells_waste_by_species_with_the_jobs_behind_it(folder: Path) -> None:
    frames = review(folder).frames()
    net = (5.25 * 41 + 2 * 3.25 * 14) / 144
    (species,) = frames["species"].to_dict("records")
    assert (species["species"], species["jobs"]) == ("White oak", 2)
    cut = [line.touched for job in review(folder).jobs for line in job.lumber if line.touched is not None]
    assert species["waste"] == pytest.approx(1 - 2 * net / sum(cut))
    assert species["least_waste"] <= species["waste"] <= species["most_waste"]
    assert species["estimated_waste"] == pytest.approx(0.2)
    jobs = frames["jobs"].set_index("file")
    assert jobs.loc["one.xlsx", "yield"] == pytest.approx(net / 4)
    assert jobs["cut"].isna().tolist() == [False, False, True]
    operations = frames["operations"].set_index("operation")
    assert operations.loc["Choose", "jobs"] == 2
    assert operations.loc["Mill", "jobs"] == 3
    assert operations.loc["Mill", "actual_minutes"] == pytest.approx(1.5 * 60 / 9)
    assert "Sand" not in operations.index


def test_a_rack_that_did_not_hold_everything_says_nothing_about_waste(tmp_path: Path) -> None:
    short = "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 6 | 30"
    past(tmp_path / "short.xlsx", {"Boards": short})
    (job,) = review(tmp_path).jobs
    assert job.lumber[0].touched is None


def test_boards_with_a_price_of_their_own_cost_that_when_looked_back_on(tmp_path: Path) -> None:
    boards = "Board | Species | Stock | Width | Length | Price\nA | White oak | 4/4 | 6 | 96 | 150"
    past(tmp_path / "own.xlsx", {"Boards": boards, "Labor": HOURS})
    (job,) = review(tmp_path).jobs
    assert job.lumber[0].touched == pytest.approx(4.0)
    labor = Decimal("33.75") + Decimal("22.50") + Decimal("12.44")
    direct = Decimal("150.00") + Decimal("12.40") + labor
    assert job.actual_cost == direct + round(direct * Decimal("0.15"), 2)


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_the_workbook_of_the_review_reads_back_with_its_pictures(folder: Path, ending: str) -> None:
    found = review(folder)
    pages = review_pages(found)
    assert [page.title for page in pages] == ["Past jobs", "Waste", "Hours", "Passed over"]
    assert all(page.pictures for page in pages[:3])
    assert all(picture.alt for page in pages for picture in page.pictures)
    data = by_ending(ending).render(pages)
    again = by_ending(ending).read(data)
    assert [page.title for page in again.pages] == [page.title for page in pages]
    assert again.owned == {}
    (folder / f"review{ending}").write_bytes(data)
    assert [job.file for job in review(folder).jobs] == [job.file for job in found.jobs]


def test_nothing_to_look_back_on_is_no_fault(tmp_path: Path) -> None:
    found = review(tmp_path)
    assert found == Review(())
    assert all(len(frame) == 0 for frame in found.frames().values())
    assert [page.title for page in review_pages(found)] == ["Past jobs", "Waste", "Hours"]
    with pytest.raises(Refused):
        review(tmp_path / "nowhere")


def test_progress_goes_from_nothing_to_the_whole(folder: Path) -> None:
    told: list[tuple[str, float]] = []
    review(folder, lambda name, share: told.append((name, share)))
    shares = [share for _, share in told]
    assert shares == sorted(shares)
    assert (shares[0], shares[-1], len(told)) == (0.0, 1.0, 11)


def test_a_fault_in_one_file_does_not_end_the_review(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from sheetkit.jobs import review as module
    from sheetkit.jobs.past_jobs import past_job

    def faulty(path: Path, name: str) -> object:
        if name == "one.xlsx":
            raise ZeroDivisionError
        return past_job(path, name)

    monkeypatch.setattr(module, "past_job", faulty)
    found = review(folder)
    assert "ZeroDivisionError" in {each.file: each.why for each in found.skipped}["one.xlsx"]
    assert len(found.jobs) == 2


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_backup_is_left_out_whatever_its_name_and_a_file_that_only_bears_such_a_name_counts(
    tmp_path: Path, ending: str
) -> None:
    job = tmp_path / f"one{ending}"
    past(job, {"Boards": BOARDS, "Labor": HOURS})
    other = {"Job": TABLES["Job"].replace("Hall shelf", "Porch shelf").replace("31-007", "31-008")}
    (tmp_path / "apart").mkdir()
    past(apart := tmp_path / "apart" / f"two{ending}", other)
    apart.rename(tmp_path / f"three.before{ending}")
    (tmp_path / "apart" / f"two.before{ending}").unlink()
    names = [f"one{ending}", f"three.before{ending}"]
    found = review(tmp_path)
    assert [each.file for each in found.jobs] == names
    assert found.skipped == ()
    (tmp_path / f"one.before{ending}").rename(tmp_path / f"a shelf{ending}")
    found = review(tmp_path)
    assert [each.file for each in found.jobs] == names
    assert [(each.file, each.why) for each in found.skipped] == [
        (f"a shelf{ending}", f"The backup of one{ending}, which counts.")
    ]


def test_of_the_copies_of_a_job_the_one_saved_last_counts(tmp_path: Path) -> None:
    early, late, same = tmp_path / "late.xlsx", tmp_path / "early.xlsx", tmp_path / "same.ods"
    past(early, {"Labor": HOURS.replace("0.75", "")})
    past(late, {"Labor": HOURS})
    past(same, {"Labor": HOURS})
    for backup in tmp_path.glob("*.before*"):
        backup.unlink()
    for at, path in enumerate((early, same, late)):
        os.utime(path, (1000 + at, 1000 + at))
    found = review(tmp_path)
    assert [each.file for each in found.jobs] == [late.name]
    assert {each.file: each.why for each in found.skipped} == {
        early.name: f"An earlier copy of {late.name}, which counts once.",
        same.name: f"A copy of {late.name}, which counts once.",
    }


def test_pandas_is_loaded_only_for_the_tables(folder: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from sheetkit.jobs.review import review\n"
        f"found = review(Path({str(folder)!r})); assert len(found.jobs) == 3\n"
        "assert 'pandas' not in sys.modules; found.frames(); assert 'pandas' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=Path(sheetkit.__file__).parent.parent)


def test_a_workbook_without_kept_figures_is_read_by_what_its_tabs_print(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = review(folder)
    monkeypatch.setattr("sheetkit.jobs.past_jobs.figures_of", lambda notes: None)
    assert review(folder).jobs == kept.jobs


def test_figures_are_kept_in_notes_and_those_of_another_form_are_left_alone(folder: Path) -> None:
    data = (folder / "older" / "two.ods").read_bytes()
    notes = by_ending(".ods").read(data).notes
    found = figures_of(notes)
    assert found is not None
    assert found.price > 0
    assert set(found.to_buy) == {("White oak", "4/4")}
    assert figures_of({**notes, "past.form": "2"}) is None
    assert figures_of({**notes, "past.buy.1": "White oak"}) is None
    assert figures_of({}) is None

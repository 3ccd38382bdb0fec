"""The shop's boards between jobs: kept in a workbook of their own, laid out from by every job, cut and put back."""

from __future__ import annotations

import contextlib
import os
import re
import shutil
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from sheetkit.book import both, disk, save
from sheetkit.book.formats import by_content, by_ending
from sheetkit.book.workbook import Change, Refused
from sheetkit.jobs.client import client_copy
from sheetkit.jobs.cut import cut
from sheetkit.jobs.run import run
from sheetkit.jobs.shop_rack import rack_listing
from sheetkit.page import Address, Cell, Value
from sheetkit.terminal.cli import main
from tests.jobs import BENCH, NOW, page, read, write
from tests.test_save import at_file_operation
from tests.there import there

ENDINGS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
SLATS = "Part | Qty | Species | Thickness | Width | Length\nSlat | 4 | White oak | 3/4 | 3 | 20"
PRICES = "Species | Stock | Price | Waste\nWhite oak | 4/4 | 10 | 20 %"
OWN = "Board | Species | Stock | Width | Length | Shelf\nA | White oak | 4/4 | 4 | 45 | low"
RACK = """
    Board | Species   | Stock | Width | Length | Price | Note    | Shelf
    R1    | White oak | 4/4   | 4     | 70     | 21    | curly   | top
    R2    | White oak | 8/4   | 6     | 96     |       |         | 2
    R3    | White oak | 4/4   | 4     | 100    | 60    |         | 3
"""


def tables(rack: str, **more: str) -> dict[str, str]:
    return {
        "Job": f"{BENCH.rstrip()}\n    Rack | {rack}",
        "Parts": SLATS,
        "Prices": PRICES,
        "Boards": OWN,
        **more,
    }


def shop(tmp_path: Path, ending: str = ".xlsx", rack: str = RACK, **more: str) -> tuple[Path, Path]:
    """Give a job that was run, and its rack."""
    place = tmp_path / "stock"
    place.mkdir(exist_ok=True)
    of_rack = place / f"rack{ending}"
    of_rack.write_bytes(by_ending(ending).render([page("Boards", rack), page("Songs", "Mine | 1")]))
    job = write(tmp_path / f"job{ending}", tables(f"stock/rack{ending}", **more))
    assert run(job, now=NOW).ok
    return job, of_rack


def listed(path: Path) -> list[list[Value]]:
    """Give the rows of the tab Boards, as far as something stands in them."""
    found = there(read(path).page("Boards"))
    rows: dict[int, list[Value]] = {}
    for (row, column), cell in sorted(found.cells.items()):
        if row > 1 and cell.value is not None:
            rows.setdefault(row, [None] * 16)[column - 1] = cell.value
    return [row[:8] for _, row in sorted(rows.items())]


def edited(path: Path, tab: str, cells: Mapping[Address, Cell]) -> None:
    workbook = read(path)
    change = Change(patches={tab: cells}, columns=workbook.columns, notes=workbook.notes)
    path.write_bytes(by_content(path.read_bytes(), path.suffix).graft(path.read_bytes(), change))


# the workbook itself


@ENDINGS
@pytest.mark.parametrize("metric", [False, True])
def test_the_rack_is_made_when_it_is_not_there_and_listed_when_it_is(
    tmp_path: Path, ending: str, metric: bool
) -> None:
    path = tmp_path / f"rack{ending}"
    words = ["rack", str(path), *(["--metric"] if metric else [])]
    made = CliRunner().invoke(main, words)
    assert (made.exit_code, made.output.startswith(f"Made {path}.")) == (0, True)
    assert "lists no boards" in CliRunner().invoke(main, ["rack", str(path)]).output
    boards = there(read(path).page("Boards"))
    heading = next(row for (row, _), cell in sorted(boards.cells.items()) if cell.value == "Species")
    stock, width, length = ("27 mm", 200.0, 3000.0) if metric else ("4/4", 6.0, 96.0)
    values: tuple[Value, ...] = ("A1", "White oak", stock, width, length)
    edited(path, "Boards", {(heading + 1, place): Cell(value) for place, value in enumerate(values, 1)})
    said = CliRunner().invoke(main, ["rack", str(path)])
    assert said.exit_code == 0
    # 27 x 200 x 3000 mm; 6 x 96 / 144
    assert ("1 board, 0.0162 m3" if metric else "1 board, 4.00 board feet") in said.output
    assert "White oak" in said.output


def test_what_is_amiss_in_the_rack_is_listed(tmp_path: Path) -> None:
    path = write(
        tmp_path / "rack.xlsx",
        {
            "Job": "",
            "Prices": "",
            "Boards": "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | wide | 9",
        },
    )
    said = CliRunner().invoke(main, ["rack", str(path)])
    assert said.exit_code == 1
    assert "Boards!D2" in said.output


# laying out from both


@ENDINGS
def test_a_job_is_laid_out_from_its_own_boards_and_those_of_the_rack(tmp_path: Path, ending: str) -> None:
    job, rack = shop(tmp_path, ending)
    before = rack.read_bytes()
    outcome = run(job, now=NOW)
    assert not outcome.written, "a second run over the same job and rack"
    answers = there(outcome.answers)
    # A holds two blanks of 3 1/4 x 21, R1 three: two more of four
    assert {each.board.board for each in answers.boards if each.used} == {"A", "R1"}
    assert {each.board.listed for each in answers.boards} == {"Boards", rack.name}
    assert rack.read_bytes() == before
    told = outcome.plain()["tables"]["boards"]
    assert {(row["board"], row["listed"], row["used"]) for row in told} >= {
        ("R1", rack.name, "cut"),
        ("A", "Boards", "cut"),
    }


def test_a_mark_that_both_bear_is_told_apart(tmp_path: Path) -> None:
    job, rack = shop(tmp_path, rack=RACK.replace("R1 ", "A  "))
    names = {each.board.board for each in there(run(job, now=NOW).answers).boards}
    assert names == {"A", f"A ({rack.name})", "R2", "R3"}
    assert cut(job, now=NOW).taken == ("A",)


def test_a_rack_in_mm_serves_a_job_in_inches(tmp_path: Path) -> None:
    job, rack = shop(tmp_path)
    metric = "Board | Species | Stock | Width | Length\nM | White oak | 4/4 | 102 | 1780"
    rack.write_bytes(
        by_ending(".xlsx").render([page("Boards", metric), page("Rack", "Label | Value\nUnits | mm")])
    )
    run(job, now=NOW)
    board = next(each.board for each in there(run(job, now=NOW).answers).boards if each.board.board == "M")
    assert board.width == pytest.approx(102 / 25.4)
    assert cut(job, now=NOW).taken == ("M",)


@pytest.mark.parametrize(
    ("path", "code"),
    [("nowhere.xlsx", "rack-missing"), ("job.xlsx.txt", "rack-unreadable"), ("amiss.xlsx", "rack-amiss")],
)
def test_a_rack_that_cannot_be_read_is_told_at_its_label(tmp_path: Path, path: str, code: str) -> None:
    (tmp_path / "job.xlsx.txt").write_bytes(b"no workbook")
    write(
        tmp_path / "amiss.xlsx",
        {
            "Job": "",
            "Prices": "",
            "Boards": "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | wide | 9",
        },
    )
    job = write(tmp_path / "job.xlsx", tables(path))
    outcome = run(job, now=NOW)
    [wrong] = [each for each in outcome.problems if each.weight == "error"]
    assert (wrong.code, wrong.cell, wrong.stands) == (code, "B6", path)
    assert "sheetkit rack" in wrong.instead or code == "rack-unreadable"


def test_a_path_with_the_slash_of_another_system_is_found(tmp_path: Path) -> None:
    job, _ = shop(tmp_path)
    edited(job, "Job", {(6, 2): Cell("stock\\rack.xlsx")})
    assert run(job, now=NOW).ok


# cutting


@ENDINGS
def test_a_cut_takes_used_boards_out_of_the_rack_and_puts_left_overs_in(tmp_path: Path, ending: str) -> None:
    job, rack = shop(tmp_path, ending)
    own, songs = job.read_bytes(), read(rack).page("Songs")
    outcome = cut(job, now=NOW)
    assert (outcome.taken, outcome.own) == (("R1",), ("A",))
    # R1 is 70 long: an inch off the end, two blanks of 21 with a kerf each; 24 3/4 are left, of which one end is trimmed
    rows = listed(rack)
    assert [row[0] for row in rows] == ["R1-1", "R2", "R3"]
    width, length = rows[0][3], rows[0][4]
    assert width == 4
    assert isinstance(length, float)
    assert 18 <= length <= 70 - 1 - 2 * 21.125
    assert rows[0][5:] == [None, "left over from Bench", "top"], "the price is the job's, the shelf stays"
    assert [row[7] for row in rows] == ["top", 2, 3]
    assert read(rack).page("Songs") == songs
    assert {backup.name for backup in outcome.backups} == {f"rack.before{ending}", f"job.before{ending}"}
    # the job keeps what it has cut, and is worked out again alike
    marked = [row for row in listed(job) if "cut" in row or row[0] in ("A", "R1")]
    assert [row[0] for row in marked] == ["A", "R1"]
    assert own != job.read_bytes()
    again = there(run(job, now=NOW).answers)
    assert {each.board.board for each in again.boards if each.used} == {"A", "R1"}
    assert not again.purchases
    client_copy(job.read_bytes())


@ENDINGS
def test_no_job_is_cut_twice_and_an_undone_one_is_as_it_was(tmp_path: Path, ending: str) -> None:
    job, rack = shop(tmp_path, ending)
    before = listed(job), listed(rack)
    cut(job, now=NOW)
    with pytest.raises(Refused) as refused:
        cut(job, now=NOW)
    assert (refused.value.reason, refused.value.detail) == ("cut already", "2026-11-02 09:30")
    assert run(job, now=NOW).ok
    with pytest.raises(Refused, match="cut already"):
        cut(job, now=NOW)
    undone = cut(job, undo=True, now=NOW)
    assert undone.taken == ("R1",)
    assert undone.put_in == ("R1-1",)
    assert listed(rack) == before[1]
    assert run(job, now=NOW).ok
    assert [row[:5] for row in listed(job)] == [row[:5] for row in before[0]]
    with pytest.raises(Refused, match="not cut"):
        cut(job, undo=True, now=NOW)
    assert run(job, now=NOW).ok
    assert cut(job, now=NOW).taken == ("R1",)


def test_a_board_with_two_bad_lengths_leaves_both_its_rows(tmp_path: Path) -> None:
    rack = """
        Board | Species   | Stock | Width | Length | Bad from | Bad to
        R1    | White oak | 4/4   | 4     | 90     | 3        | 5
        R1    | White oak | 4/4   | 4     | 90     | 85       | 88
    """
    job, of_rack = shop(tmp_path, rack=rack)
    cut(job, now=NOW)
    assert all(str(row[0]).startswith("R1-") for row in listed(of_rack))
    kept = [row for row in listed(job) if row[0] == "R1"]
    assert len(kept) == 2
    cut(job, undo=True, now=NOW)
    assert [row[5:7] for row in listed(of_rack)] == [[3, 5], [85, 88]]


def test_a_job_without_a_tab_boards_gets_one(tmp_path: Path) -> None:
    job, rack = shop(
        tmp_path,
        rack=RACK.replace(
            "R1    | White oak | 4/4   | 4     | 70 ", "R1    | White oak | 4/4   | 4     | 95 "
        ),
        Boards="",
    )
    cut(job, now=NOW)
    found = there(run(job, now=NOW).answers)
    assert [(each.board.board, each.board.where) for each in found.boards if each.used] == [("R1", "cut")]
    cut(job, undo=True, now=NOW)
    assert "R1" in [row[0] for row in listed(rack)]
    assert [
        each.board.listed for each in there(run(job, now=NOW).answers).boards if each.board.board == "R1"
    ] == [rack.name]


def test_left_overs_too_short_to_keep_are_not_put_in(tmp_path: Path) -> None:
    job, rack = shop(tmp_path, rack="Board | Species | Stock | Width | Length\nR1 | White oak | 4/4 | 4 | 46")
    assert cut(job, now=NOW).put_in == ()
    assert listed(rack) == []


# what is refused, with words


def refused_words(job: Path, *more: str) -> str:
    said = CliRunner().invoke(main, ["cut", str(job), *more])
    assert said.exit_code == 2
    return said.output


def test_what_cannot_be_cut_is_refused_with_words_and_changes_nothing(tmp_path: Path) -> None:
    job, rack = shop(tmp_path)

    def refused(said: str, *more: str) -> None:
        held = job.read_bytes(), rack.read_bytes()
        assert said in refused_words(job, *more)
        assert (job.read_bytes(), rack.read_bytes()) == held

    good, of_rack = job.read_bytes(), rack.read_bytes()
    refused("has not been cut", "--undo")
    edited(job, "Parts", {(2, 5): Cell(2.5)})
    refused("changed since it was worked out")
    job.write_bytes(good)
    edited(rack, "Boards", {(2, 5): Cell(69.0)})
    refused("no longer holds a board of the layout")
    rack.write_bytes(of_rack)
    edited(rack, "Boards", {(3, 5): Cell("long")})
    refused("to be put right first")
    rack.write_bytes(of_rack)
    job.with_name(".~lock.job.xlsx#").write_bytes(b",maker,bench,,;")
    refused("open elsewhere")
    job.with_name(".~lock.job.xlsx#").unlink()
    rack.with_name(".~lock.rack.xlsx#").write_bytes(b",maker,bench,,;")
    refused("open elsewhere")
    rack.with_name(".~lock.rack.xlsx#").unlink()
    rack.rename(rack.with_name("gone.xlsx"))
    assert "There is no such file" in refused_words(job)
    rack.with_name("gone.xlsx").rename(rack)
    assert cut(job, now=NOW).taken


def test_a_job_that_names_no_rack_or_was_not_run_or_waits_for_the_yard_is_refused(tmp_path: Path) -> None:
    job = write(tmp_path / "job.xlsx", {"Parts": SLATS, "Prices": PRICES, "Boards": OWN})
    run(job, now=NOW)
    assert "names no rack" in refused_words(job)
    (tmp_path / "rack.xlsx").write_bytes(by_ending(".xlsx").render([page("Boards", RACK)]))
    fresh = write(tmp_path / "fresh.xlsx", tables("rack.xlsx"))
    assert "not been worked out" in refused_words(fresh)
    bare = write(
        tmp_path / "bare.xlsx", tables("rack.xlsx", Boards="", Parts=SLATS.replace("White oak", "White ash"))
    )
    run(bare, now=NOW)
    assert "laid nothing out" in refused_words(bare)
    yard = write(
        tmp_path / "yard.xlsx",
        tables(
            "rack.xlsx",
            Boards=f"{OWN} | \nY | White oak | 4/4 | 4 | 200 | x".replace("Shelf", "Where")
            .replace("low | ", "yard")
            .replace("| x", "| yard"),
        ),
    )
    run(yard, now=NOW)
    (tmp_path / "rack.xlsx").write_bytes(
        by_ending(".xlsx").render([page("Boards", RACK.replace("4/4", "6/4"))])
    )
    run(yard, now=NOW)
    assert "still at the yard" in refused_words(yard)


def test_a_cell_changed_since_the_cut_stops_its_undoing(tmp_path: Path) -> None:
    job, rack = shop(tmp_path)
    cut(job, now=NOW)
    edited(rack, "Boards", {(2, 4): Cell(3.5)})
    held = job.read_bytes(), rack.read_bytes()
    assert (
        "changed again since. Put both workbooks right by hand, or take their backups. (rack.xlsx, Boards!D2)"
        in refused_words(job, "--undo")
    )
    assert (job.read_bytes(), rack.read_bytes()) == held


@ENDINGS
def test_the_command_says_in_words_what_it_did(tmp_path: Path, ending: str) -> None:
    job, _ = shop(tmp_path, ending)
    said = CliRunner().invoke(main, ["cut", str(job)])
    assert said.exit_code == 0
    assert re.search(
        rf"Taken out of rack{ending}: R1\. Put into it: R1-1 \(White oak 4/4, 4 x [\d /]+\)\.", said.output
    )
    assert f"job{ending} keeps what it has cut on Boards, marked cut: A, R1." in said.output
    assert f"Both files as they were: rack.before{ending}, job.before{ending}." in said.output
    undone = CliRunner().invoke(main, ["cut", str(job), "--undo"]).output
    assert f"Undone. Put back into rack{ending}: R1. Taken out of it again: R1-1." in undone


# both files whole or neither


def swaps_of(paths: Sequence[Path], before: Sequence[bytes], after: Sequence[bytes]) -> list[both.Swap]:
    """Give the swaps of a cut, whose bytes a real cut has made."""
    known = zip(paths, before, after, strict=True)
    return [both.Swap(path, old, new, lambda written: None) for path, old, new in known]


def restored(job: Path, rack: Path, held: tuple[bytes, bytes]) -> None:
    for path, data in zip((job, rack), held, strict=True):
        for beside in path.parent.iterdir():
            if beside.is_file() and beside not in (job, rack):
                beside.unlink()
        path.write_bytes(data)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@ENDINGS
def test_a_process_killed_at_any_file_operation_leaves_both_files_old_or_both_new(
    tmp_path: Path, ending: str
) -> None:
    job, rack = shop(tmp_path, ending)
    before = job.read_bytes(), rack.read_bytes()
    cut(job, now=NOW)
    after = job.read_bytes(), rack.read_bytes()
    swaps = swaps_of((rack, job), before[::-1], after[::-1])
    came: set[tuple[bool, bool]] = set()
    for nth in range(1, 400):
        restored(job, rack, before)
        child = os.fork()
        if child == 0:
            try:
                at_file_operation(nth)()
                both.replace_both(swaps)
            finally:
                os._exit(0)
        ended = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
        now = job.read_bytes(), rack.read_bytes()
        assert now[0] in (before[0], after[0])
        assert now[1] in (before[1], after[1])
        came.add((now[0] == after[0], now[1] == after[1]))
        # whichever of the two the next command looks at
        if nth % 2:
            rack_listing(rack)
        else:
            both.recover(job)
        assert (job.read_bytes(), rack.read_bytes()) in (before, after)
        both.recover(job)
        both.recover(rack)
        left = [path.name for folder in (job.parent, rack.parent) for path in folder.iterdir()]
        assert not any(name.startswith(".sheetkit-both") for name in left)
        if ended:
            break
    else:
        pytest.fail("the cut never came to its end")
    assert came >= {(False, False), (False, True), (True, True)}


FAULTS: list[tuple[Any, str]] = [
    (save, "beside"),
    (disk, "swap"),
    (disk, "sync_folder"),
    (disk, "make_like"),
    (disk, "holds"),
    (save, "refuse_if_touched"),
    (Path, "unlink"),
    (Path, "replace"),
]


@pytest.mark.parametrize("nth", range(1, 9))
@pytest.mark.parametrize(("where", "name"), FAULTS, ids=lambda each: str(getattr(each, "__name__", each)))
def test_a_fault_at_any_step_leaves_both_files_old_or_both_new(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, where: Any, name: str, nth: int
) -> None:
    job, rack = shop(tmp_path)
    before = job.read_bytes(), rack.read_bytes()
    cut(job, now=NOW)
    after = job.read_bytes(), rack.read_bytes()
    restored(job, rack, before)
    calls, real = 0, getattr(where, name)

    def failing(*given: Any, **named: Any) -> Any:
        nonlocal calls
        calls += 1
        if calls == nth:
            raise OSError(28, "No space left on device")
        return real(*given, **named)

    with monkeypatch.context() as patch:
        patch.setattr(where, name, failing)
        with contextlib.suppress(Refused):  # and no other error
            cut(job, now=NOW)
    both.recover(job)
    both.recover(rack)
    assert (job.read_bytes(), rack.read_bytes()) in (before, after)


def test_a_file_saved_over_a_half_done_cut_has_the_other_taken_back(tmp_path: Path) -> None:
    job, rack = shop(tmp_path)
    before = job.read_bytes(), rack.read_bytes()
    cut(job, now=NOW)
    after = job.read_bytes(), rack.read_bytes()
    restored(job, rack, before)
    swaps = swaps_of((rack, job), before[::-1], after[::-1])
    reals = [path.resolve() for path in (rack, job)]
    for real, each in zip(reals, swaps, strict=True):
        both._write(both._new(real), real, each.after)
        told = both._told(real, reals, swaps).replace(str(os.getpid()).encode(), b"999999999", 1)
        both._write(both._journal(real), real, told)
    shutil.copy(rack, rack.with_name("rack.before.xlsx"))
    both._new(reals[0]).replace(rack)
    edited(job, "Parts", {(2, 5): Cell(2.5)})
    saved = job.read_bytes()
    assert "taken back in both" in rack_listing(rack).said
    assert (job.read_bytes(), rack.read_bytes()) == (saved, before[1])


@ENDINGS
def test_a_board_noted_on_to_buy_is_marked_there_when_it_is_cut(tmp_path: Path, ending: str) -> None:
    rack = "Board | Species | Stock | Width | Length\nR | White oak | 8/4 | 4 | 45"
    job, of_rack = shop(tmp_path, ending, rack=rack, Boards="")
    workbook = read(job)
    heading = max(at[0] for at, cell in there(workbook.page("To buy")).cells.items() if cell.value == "Mark")
    values = (None, "White oak", "4/4", 4.0, 120.0, 30.0)
    edited(job, "To buy", {(heading + 2, at): Cell(value) for at, value in enumerate(values, 1) if value})
    assert run(job, now=NOW).ok
    outcome = cut(job, now=NOW)
    assert (outcome.own, outcome.taken) == (("B1",), ())
    assert [row[0] for row in listed(of_rack)] == ["R", "B1-1"]
    again = there(run(job, now=NOW).answers)
    assert [
        (each.board.board, each.board.where, each.used)
        for each in again.boards
        if each.board.listed == "To buy"
    ] == [("B1", "cut", True)]
    cut(job, undo=True, now=NOW)
    assert [row[0] for row in listed(of_rack)] == ["R"]
    found = there(run(job, now=NOW).answers)
    assert [each.board.where for each in found.boards if each.board.board == "B1"] == ["rack"]

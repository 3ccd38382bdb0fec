"""A filled workbook in, answers out, in the same file: both formats, inch and mm."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from sheetkit.book.workbook import Refused
from sheetkit.jobs.run import run
from sheetkit.records.answers import Answers
from sheetkit.tabs.beside import Beside, answers_beside
from tests.jobs import BENCH, NOW, column, read, write

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])

PARTS = """
    Part    | Qty | Species   | Thickness | Width | Length | Made as    | Plies | Tenons
    Leg     | 4   | White oak | 3 1/4     | 3 1/4 | 34     | face-glued | 2     |
    Rail    | 1   | Red oak   | 1-1/2"    | 6     | 6' 8"  |            |       |
    Divider | 1   | White oak | 3/4       | 2     | 14     |            |       |
    Short   | 4   | White oak | 3/4       | 2     | 9      |            |       |
    Apron   | 1   | White oak | 3/4       | 4     | 29     |            |       | 1
"""
PANELS = """
    Panel | Qty | Species      | Opening width | Opening height | Measured width | Measured height | Groove depth sides | Thickness | Cut
    One   | 1   | White oak    | 14 1/4        | 20             | 14 1/4         | 20              | 1/2                | 3/8       | flat
    Two   | 1   | Red oak      | 22            | 20             | 22             | 20              | 3/8                | 3/8       | flat
    Three | 1   | Black cherry | 22            | 20             | 22             | 20              | 3/8                | 3/8       | flat
    Four  | 1   | White oak    | 22            | 20             |                |                 | 3/8                | 3/8       | flat
"""


@FORMATS
def test_rough_sizes_come_out_as_worked_by_hand_beside_the_parts(tmp_path: Path, ending: str) -> None:
    """The worked answers of the shop (common practice, no source)."""
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    assert run(path, now=NOW).ok
    after = read(path)
    assert column(after, "Parts", "Blank thickness") == [1.875, 1.875, 0.875, 0.875, 0.9375]
    assert column(after, "Parts", "Blank width") == [3.5, 6.375, 2.25, 2.25, 4.25]
    assert column(after, "Parts", "Blank length") == [35, 81, 15, 19.125, 32]
    assert column(after, "Parts", "Blanks") == [8, 1, 1, 2, 1]
    assert column(after, "Parts", "From stock") == ["8/4", "8/4", "4/4", "4/4", "4/4"]
    board_feet = column(after, "Parts", "Board feet")
    assert board_feet[:3] == pytest.approx([13.611, 7.172, 0.234], abs=0.0005)
    assert "29 + 2 x 1 tenon + 1 trim" in str(column(after, "Parts", "Worked out")[4])


@FORMATS
def test_panels_come_out_as_worked_by_hand_beside_their_openings(tmp_path: Path, ending: str) -> None:
    """Coefficients of Wood Handbook Table 13-5; 7 % now, 6 to 11 % in use."""
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS, "Panels": PANELS})
    assert run(path, now=NOW).ok
    after = read(path)
    assert column(after, "Panels", "Panel width") == [14.96875, 22.34375, 22.4375, 22.34375]
    assert column(after, "Panels", "Gap each side")[0] == 9 / 64
    assert column(after, "Panels", "In groove at driest")[:3] == pytest.approx(
        [0.332, 0.131, 0.191], abs=0.0005
    )
    assert column(after, "Panels", "Clearance at wettest")[0] == pytest.approx(0.0314, abs=0.00005)
    remarks = column(after, "Panels", "Remarks")
    assert "deep would do" in str(remarks[1])
    assert "quarter-sawn would give" in str(remarks[1])
    assert remarks[2] is None
    assert str(remarks[3]).startswith("Provisional: do not cut")


@FORMATS
def test_a_second_run_leaves_the_file_byte_for_byte(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS, "Panels": PANELS})
    run(path, now=NOW)
    first = path.read_bytes()
    again = run(path)
    assert not again.written
    assert path.read_bytes() == first


@FORMATS
def test_the_stamp_changes_only_when_a_result_does(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    run(path, now=NOW)
    stamp = read(path).notes["stamp"]
    assert "2026-11-02 09:30" in stamp
    run(path)
    assert read(path).notes["stamp"] == stamp


@FORMATS
def test_waste_is_a_share_of_what_is_bought(tmp_path: Path, ending: str) -> None:
    """40 bf net at 20 % is 50 to buy, 475.00 at 9.50 (common practice, no source)."""
    parts = """
        Part  | Qty | Species   | Thickness | Width | Length
        Board | 1   | White oak | 3/4       | 7.75  | 719
    """
    prices = """
        Species   | Stock | Price | Waste | Measures
        White oak | 4/4   | 9.50  | 20    | 2
    """
    path = write(tmp_path / f"job{ending}", {"Parts": parts, "Prices": prices, "Allowances": """
        Up to length | Thickness | Width | Length
        beyond       | 1/8       | 1/4   | 1
    """.replace("719", "")})  # fmt: skip
    outcome = run(path, now=NOW)
    assert not outcome.ok  # 719 in is a slip of the unit
    path = write(tmp_path / f"two{ending}", {"Parts": parts.replace("719", "359").replace("| 1   |", "| 2   |"), "Prices": prices,
                                             "Allowances": "Up to length | Thickness | Width | Length\nbeyond | 1/8 | 1/4 | 1"})  # fmt: skip
    assert run(path, now=NOW).ok
    after = read(path)
    assert column(after, "Lumber", "In the blanks (board feet)")[0] == pytest.approx(40)
    assert column(after, "Lumber", "Buy (board feet)")[0] == pytest.approx(50)
    assert column(after, "Lumber", "Cost")[0] == pytest.approx(475.00)


@FORMATS
def test_bad_input_leaves_no_old_result_looking_valid(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    run(path, now=NOW)
    good = path.read_bytes()
    from sheetkit.book.formats import by_ending
    from sheetkit.book.workbook import Change
    from sheetkit.page import Cell

    path.write_bytes(by_ending(ending).graft(good, Change(
        tabs=(), patches={"Parts": {(2, 4): Cell("three")}}, columns=read(path).columns, notes=read(path).notes)))  # fmt: skip
    outcome = run(path, now=NOW)
    assert not outcome.ok
    after = read(path)
    assert column(after, "Parts", "Blanks") == [None] * 5
    for title in ("Summary", "Rough sizes", "Lumber", "Shop sheet"):
        found = after.page(title)
        assert found is not None
        assert "Not calculated" in [cell.value for cell in found.cells.values()]
    messages = after.page("Messages")
    assert messages is not None
    assert "Parts!D2" in [cell.value for cell in messages.cells.values()]


def test_inch_and_mm_and_both_formats_give_the_same_sizes(tmp_path: Path) -> None:
    metric = """
        Part    | Qty | Species   | Thickness | Width | Length
        Leg     | 4   | White oak | 19.05     | 50.8  | 355.6
    """
    inch = """
        Part    | Qty | Species   | Thickness | Width | Length
        Leg     | 4   | White oak | 3/4       | 2     | 14
    """
    found = {}
    for ending in (".xlsx", ".ods"):
        for unit, parts in (("inch", inch), ("mm", metric)):
            job = (
                BENCH.replace("inch", unit)
                + f"\n    Round to | {'1/64' if unit == 'inch' else '0.396875 mm'}"
            )
            path = write(tmp_path / f"{unit}{ending}", {"Job": job, "Parts": parts})
            assert run(path, now=NOW).ok
            scale = 1.0 if unit == "inch" else 25.4
            after = read(path)
            found[unit, ending] = [float(str(column(after, "Parts", heading)[0])) / scale
                                   for heading in ("Blank thickness", "Blank width", "Blank length")]  # fmt: skip
    for (unit, _), sizes in found.items():
        # the tape has steps of 2 mm: 57.15 and 381 go up to 58 and 382, and then to whole steps of the job, 147 and 963
        wide, long = (2.25, 15) if unit == "inch" else (147 / 64, 963 / 64)
        assert sizes == pytest.approx([0.875, wide, long], abs=1e-6)


@FORMATS
def test_a_tab_of_ours_that_the_maker_changed_is_kept_under_a_new_name(tmp_path: Path, ending: str) -> None:
    from sheetkit.book.formats import by_ending
    from sheetkit.book.workbook import Change
    from sheetkit.page import Cell

    path = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    run(path, now=NOW)
    before = read(path)
    title = before.owned["shop"]
    path.write_bytes(by_ending(ending).graft(path.read_bytes(), Change(
        patches={title: {(5, 6): Cell("my own note")}}, columns=before.columns, notes=before.notes)))  # fmt: skip
    outcome = run(path, now=NOW)
    assert "kept-copy" in [found.code for found in outcome.problems]
    after = read(path)
    kept = after.page("Shop sheet (yours)")
    assert kept is not None
    assert kept.cells[5, 6].value == "my own note"
    assert after.owned["shop"] == "Shop sheet"
    assert not run(path, now=NOW).written


@FORMATS
def test_a_tab_of_the_makers_with_our_title_is_never_touched(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS, "Summary": "My own | summary"})
    assert run(path, now=NOW).ok
    after = read(path)
    mine = after.page("Summary")
    assert mine is not None
    assert mine.cells[1, 1].value == "My own"
    assert after.owned["summary"] == "Summary (2)"


@FORMATS
def test_a_column_of_the_makers_under_our_heading_is_left_alone(tmp_path: Path, ending: str) -> None:
    parts = """
        Part  | Species   | Thickness | Width | Length | Remarks
        Board | White oak | 3/4       | 9     | 30     | mine
    """
    path = write(tmp_path / f"job{ending}", {"Parts": parts})
    outcome = run(path, now=NOW)
    assert outcome.ok
    assert "column-elsewhere" in [found.code for found in outcome.problems]
    after = read(path)
    assert column(after, "Parts", "Remarks") == ["mine"]
    assert "Moves" in str(column(after, "Parts", "Remarks (calculated)")[0])
    once = path.read_bytes()
    run(path, now=NOW)
    assert path.read_bytes() == once


@FORMATS
def test_a_formula_of_the_makers_on_a_result_is_pointed_out(tmp_path: Path, ending: str) -> None:
    from dataclasses import replace

    from sheetkit.book.formats import by_ending
    from sheetkit.page import Cell
    from tests.jobs import pages

    path = tmp_path / f"job{ending}"
    own = [*pages({"Parts": PARTS, "Mine": "Total of my own"})]
    own[-1] = replace(own[-1], cells={**own[-1].cells, (2, 1): Cell(0.0, "SUM(Parts!I2:N6)")})
    path.write_bytes(by_ending(ending).render(own))
    outcome = run(path, now=NOW)
    assert [found.place for found in outcome.problems if found.code == "depends"] == ["Mine!A2"]
    assert not run(path, now=NOW).written


@FORMATS
def test_libreoffice_recalculates_to_every_stored_result(
    tmp_path: Path, ending: str, office: Callable[[Path, str, Path], Path]
) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS, "Panels": PANELS})
    run(path, now=NOW)
    ours = read(path)
    # through the other format nothing stored can slip past the recalculation of formulas
    other = office(path, "ods" if ending == ".xlsx" else "xlsx", tmp_path / "out")
    theirs = read(other)
    compared = 0
    for page in ours.pages:
        again = theirs.page(page.title)
        assert again is not None
        for address, cell in page.cells.items():
            if cell.formula is not None:
                compared += 1
                assert again.cells[address].value == pytest.approx(cell.value)
    assert compared > 10
    assert run(other, now=NOW).ok


def test_a_file_opened_while_the_answers_are_worked_out_is_not_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write(tmp_path / "job.xlsx", {"Parts": PARTS})
    before = path.read_bytes()
    lock = tmp_path / ".~lock.job.xlsx#"

    def open_it(answers: Answers) -> Beside:
        lock.write_text(",Ann,bench,25.11.2026 10:00,file:///bench;")
        return answers_beside(answers)

    monkeypatch.setattr("sheetkit.jobs.run.answers_beside", open_it)
    with pytest.raises(Refused, match="open elsewhere"):
        run(path, now=NOW)
    assert path.read_bytes() == before
    assert not (tmp_path / "job.before.xlsx").exists()
    assert run(path, now=NOW, force=True).written


def test_a_panel_that_gets_wetter_than_its_shrinkage_starts_is_sized_for_its_full_width(
    tmp_path: Path,
) -> None:
    panels = (
        PANELS.split("Cut\n")[0]
        + "Cut\n    One | 1 | Western redcedar | 14 | 20 | 14 | 20 | 3/4 | 3/8 | flat\n"
    )
    widths = []
    for wettest in ("22", "26"):
        job = f"Label | Value\nJob | chest\nWood moisture now | 8\nWettest wood moisture | {wettest}"
        path = write(tmp_path / f"{wettest}.xlsx", {"Job": job, "Parts": PARTS, "Panels": panels})
        assert run(path, now=NOW).ok
        widths += column(read(path), "Panels", "Panel width")
    assert widths[0] == widths[1]


MANY_WOODS = "Part | Qty | Species | Thickness | Width | Length\n" + "\n".join(
    f"{wood} piece | 1 | {wood} | 3/4 | 2 | 20"
    for wood in ("Black walnut", "Hard maple", "White ash", "Yellow poplar")
)


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
@pytest.mark.parametrize("job", ["many woods", "example"])
def test_a_run_says_the_same_whatever_order_this_python_keeps_its_sets_in(
    tmp_path: Path, job: str, ending: str
) -> None:
    top, path = Path(__file__).parent.parent, tmp_path / f"job{ending}"
    if job == "example":
        path.write_bytes((top / "examples" / f"entry-bench{ending}").read_bytes())
    else:
        write(path, {"Parts": MANY_WOODS})
    command = [sys.executable, "-m", "sheetkit.terminal.cli", "run", str(path), "--effort", "0.1"]
    seen = []
    for seed in "123":
        again = {**os.environ, "PYTHONHASHSEED": seed}
        subprocess.run(command, env=again, cwd=top, capture_output=True, check=True)
        seen.append(path.read_bytes())
    assert seen[0] == seen[1] == seen[2]

"""Boards in the rack: what the maker finds on Boards, Parts, Lumber, Board layout and the Shop sheet."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from sheetkit.calc.layout import Layout, lay_out
from sheetkit.intake.workbook import take_in
from sheetkit.jobs.run import run
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.records.wood import StockLayout
from sheetkit.tabs.board_layout import board_layout_page
from sheetkit.tabs.shop_sheet import shop_sheet_page
from sheetkit.units import length_text
from tests.jobs import BENCH, NOW, column, pages, read, write

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
PARTS = """
    Part  | Qty | Species   | Thickness | Width | Length | Made as    | Keep together | How
    Rail  | 2   | White oak | 3/4       | 3     | 40     |            | front         | end to end
    Stile | 4   | White oak | 3/4       | 2 1/2 | 22     |            |               |
    Top   | 1   | White oak | 3/4       | 14    | 30     | edge-glued |               |
"""
BOARDS = """
    Board | Species   | Stock | Width | Length | Bad from | Bad to | Price
    A     | White oak | 4/4   | 7     | 98     | 50       | 54     |
    B     | White oak | 4/4   | 8     | 110    |          |        |
    C     | White oak | 4/4   | 6     | 96     |          |        |
    D     | White oak | 4/4   | 9     | 120    |          |        |
"""


def results(boards: str = BOARDS, parts: str = PARTS) -> Answers:
    return answer(take_in(pages({"Parts": parts, "Boards": boards})).job, 0.2)


def test_every_piece_stands_once_on_a_board_and_off_its_bad_length() -> None:
    [laid] = results().layouts
    assert laid.layout.complete
    count: dict[str, int] = {}
    for board in laid.layout.boards:
        for piece in board.placed:
            count[laid.blanks[int(piece.piece)].of] = count.get(laid.blanks[int(piece.piece)].of, 0) + 1
            assert piece.x + piece.length <= board.board.length - 1 + 1e-6
            assert piece.x >= 1 - 1e-6
            for spot in board.board.bad:
                assert piece.x + piece.length <= spot.x0 + 1e-6 or piece.x >= spot.x1 - 1e-6
    assert count["Rail"] == 2
    assert count["Stile"] == 4
    [staves] = laid.staves.values()
    # each stave gives its width less two jointed edges; together they give the top and its trim
    assert sum(width - 0.25 for width in staves[0]) >= 14.5 - 1e-6


def test_lumber_costs_what_the_boards_touched_cost() -> None:
    found = results()
    [line] = found.lumber
    feet = sum(board.board.board_feet for board in found.layouts[0].layout.boards)
    assert line.buy == pytest.approx(feet)
    assert float(line.cost or 0) == pytest.approx(feet * 9.5, abs=0.006)


def test_a_board_with_a_price_of_its_own_costs_that() -> None:
    boards = BOARDS.replace("96     |          |        |", "96     |          |        | 1")
    found = results(boards)
    assert "C" in [board.board.id for board in found.layouts[0].layout.boards]


def test_the_bound_is_never_above_the_cost() -> None:
    layout = results().layouts[0].layout
    assert 0 < layout.bound <= layout.cost + 1e-9


def test_the_same_workbook_gives_the_same_layout() -> None:
    first, again = results().layouts[0].layout, results().layouts[0].layout
    assert first.boards == again.boards


SHORT = "Board | Species | Stock | Width | Length | Price\n"


def test_boards_are_counted_by_volume_unless_all_have_a_price() -> None:
    prices = "Species | Stock | Price\nWhite oak | 4/4 |"
    rack = f"{SHORT}A | White oak | 4/4 | 8 | 72 | 30\nB | White oak | 4/4 | 9 | 168 |"
    stile = "Part | Qty | Species | Thickness | Width | Length\nStile | 1 | White oak | 3/4 | 3 | 40"
    found = answer(take_in(pages({"Parts": stile, "Boards": rack, "Prices": prices})).job, 0.1)
    (laid,) = found.layouts
    assert [board.board.id for board in laid.layout.boards] == ["A"]  # 4 board feet, not 10.5
    assert laid.layout.cost == pytest.approx(4)
    assert found.lumber[0].cost is None
    assert "unpriced" in [each.code for each in found.problems]


def test_wood_still_to_buy_without_a_price_leaves_the_cost_open_and_a_priced_rack_does_not() -> None:
    prices = "Species | Stock | Price\nWhite oak | 4/4 |"
    stile = "Part | Qty | Species | Thickness | Width | Length\nStile | {} | White oak | 3/4 | 3 | 40"
    rack = f"{SHORT}A | White oak | 4/4 | 5 | 48 | 30"
    for count, cost in ((3, None), (1, 30)):
        job = take_in(pages({"Parts": stile.format(count), "Boards": rack, "Prices": prices})).job
        found = answer(job, 0.1)
        assert found.lumber[0].cost == cost
        assert ("unpriced" in [each.code for each in found.problems]) == (cost is None)


def test_a_board_has_one_whole_foot_tally_wherever_it_is_told(tmp_path: Path) -> None:
    """NHLA rules: an exact half goes up and down by turns, here over the boards of one species and stock."""
    parts = PARTS.replace("14 ", "6 ").replace("edge-glued", "")
    rack = """
        Board | Species   | Stock | Width | Length
        X     | Red oak   | 4/4   | 6 1/2 | 144
        A     | White oak | 4/4   | 6 1/2 | 144
        B     | White oak | 4/4   | 6 1/2 | 144
    """
    job = f"{BENCH}    Board measure | NHLA tally"
    path = write(tmp_path / "job.xlsx", {"Job": job, "Parts": parts, "Boards": rack})
    outcome = run(path, effort=0.1, now=NOW)
    assert column(read(path), "Boards", "Board feet") == [7, 7, 6]
    assert outcome.answers is not None
    (laid,) = outcome.answers.layouts
    feet = {board.board.id: board.board.board_feet for board in laid.layout.boards}
    assert feet.items() <= {"A": 7, "B": 6}.items()


def test_a_tally_may_count_less_than_the_blanks_cut_from_a_board() -> None:
    """A board of 5 1/2 x 65 has 2.48 square feet, tallied 2; a blank of 5 1/8 x 63 in it has 2.24."""
    parts = "Part | Qty | Species | Thickness | Width | Length\nRail | 1 | White oak | 3/4 | 4 3/4 | 62"
    rack = "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 5 1/2 | 65"
    job = f"{BENCH}    Board measure | NHLA tally"
    found = answer(take_in(pages({"Job": job, "Parts": parts, "Boards": rack})).job, 0.2)
    [line] = found.lumber
    assert line.boards == ("A",)
    assert line.buy == 2
    assert line.net == pytest.approx(5.125 * 63 / 144)


def test_a_group_that_no_board_holds_is_said_so() -> None:
    parts = "Part | Qty | Species | Thickness | Width | Length | Keep together | How\nSlat | 300 | White oak | 3/4 | 1 | 24 | all | end to end"
    [short] = [each for each in results(parts=parts).problems if each.code == "boards-short"]
    assert "Keep together" in short.instead


def test_a_very_wide_top_is_laid_out_with_as_many_staves_as_it_takes() -> None:
    parts = "Part | Qty | Species | Thickness | Width | Length | Made as\nTop | 1 | White oak | 3/4 | 80 | 20 | edge-glued"
    rack = "Board | Species | Stock | Width | Length\n" + "\n".join(
        f"B{n} | White oak | 4/4 | 7 | 120" for n in range(6)
    )
    (laid,) = results(rack, parts).layouts
    assert laid.layout.complete
    ((widths,),) = laid.staves.values()
    assert len(widths) > 12


def test_what_finds_no_board_is_said_with_the_boards_to_buy() -> None:
    found = results("Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 7 | 50")
    [short] = [each for each in found.problems if each.code == "boards-short"]
    assert "at least" in short.instead
    assert found.lumber[0].buy > 7 * 50 / 144


def test_the_search_for_boards_to_buy_tells_its_progress() -> None:
    job = take_in(
        pages(
            {
                "Parts": PARTS,
                "Boards": "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 7 | 50",
            }
        )
    ).job
    told: list[str] = []
    answer(job, 0.2, lambda name, share: told.append(name))
    assert "White oak, 4/4, boards to buy" in told


def test_less_effort_also_shortens_the_search_for_boards_to_buy(monkeypatch: pytest.MonkeyPatch) -> None:
    work: list[int] = []

    def counted(*args: Any, **more: Any) -> Layout:
        found = lay_out(*args, **more)
        work.append(found.work["work"])
        return found

    monkeypatch.setattr("sheetkit.calc.layout.buy.lay_out", counted)
    job = take_in(
        pages(
            {
                "Parts": PARTS,
                "Boards": "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 7 | 50",
            }
        )
    )
    for effort in (0.02, 1.0):
        answer(job.job, effort)
    little, usual = work[: len(work) // 2], work[len(work) // 2 :]
    assert 0 < sum(little) < sum(usual) / 2


@FORMATS
def test_the_answers_stand_beside_the_boards_and_name_them_on_parts(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS, "Boards": BOARDS})
    assert run(path, effort=0.2, now=NOW).ok
    after = read(path)
    used = column(after, "Boards", "Used")
    assert set(used) <= {"cut", "in the rack"}
    assert "cut" in used
    assert column(after, "Boards", "Board feet")[0] == pytest.approx(7 * 98 / 144)
    assert all(str(stock).startswith("4/4: ") for stock in column(after, "Parts", "From stock"))
    assert "Staves as Board layout cuts them" in str(column(after, "Parts", "Remarks")[2])
    layout = after.page("Board layout")
    assert layout is not None
    said = " ".join(str(cell.value) for cell in layout.cells.values())
    assert "Boards to cut: " in said
    assert "least possible" in said
    assert "rip 3 1/4 wide" in said
    shop = after.page("Shop sheet")
    assert shop is not None
    assert any(str(cell.value).startswith("board ") for cell in shop.cells.values())
    assert not run(path, effort=0.2).written


@FORMATS
def test_no_board_layout_tab_is_made_when_the_rack_is_empty(tmp_path: Path, ending: str) -> None:
    path = write(tmp_path / f"job{ending}", {"Parts": PARTS})
    assert run(path, now=NOW).ok
    assert read(path).page("Board layout") is None


def test_rip_first_is_a_setting_of_the_shop() -> None:
    allowances = (
        "Up to length | Thickness | Width | Length\nbeyond | 1/8 | 1/4 | 1\nFirst cut of a board | rip"
    )
    job = take_in(pages({"Parts": PARTS, "Boards": BOARDS, "Allowances": allowances})).job
    for board in answer(job, 0.2).layouts[0].layout.boards:
        kinds = [cut.kind for cut in board.cuts if cut.purpose in ("strip", "piece")]
        assert kinds == sorted(kinds, reverse=True)


def test_cuts_on_a_loose_section_are_measured_from_its_own_end_and_rips_name_their_pieces() -> None:
    found = results()
    (laid,) = found.layouts
    page = board_layout_page(found, "")
    assert page is not None
    numbered = [row for (row, column), cell in sorted(page.cells.items()) if column == 2 and cell.value]
    rows = [[str(page.cells[row, column].value) for column in (3, 4, 5)] for row in numbered]
    cuts = [(board, cut) for board in laid.layout.boards for cut in board.cuts]
    assert len(rows) == len(cuts)
    for (what, where, who), (board, cut) in zip(rows, cuts, strict=True):
        inside = {section.number: section for section in board.sections}.get(cut.section)
        if cut.purpose == "straighten edge":
            assert where == f"{length_text(board.board.edge, 'in')} off the board's edge"
        elif cut.purpose == "trim to width":
            assert where == f"{length_text(cut.size, 'in')} from the strip's edge"
        elif cut.kind == "rip":
            assert where == f"{length_text(cut.at - board.board.edge, 'in')} from the straightened edge"
            if cut.purpose == "strip" and cut.strip == board.sections[cut.section - 1].strips[0].number:
                assert where.split(" from")[0] in what  # the first strip: as far from the edge as it is wide
        elif cut.purpose == "piece":
            assert inside is not None
            assert where == f"{length_text(cut.at - inside.x, 'in')} from the section's end"
            strip = next(each for each in inside.strips if each.number == cut.strip)
            first = strip.placed[0]
            if cut.at == first.x + first.length and first.x == inside.x:
                assert where.split(" from")[0] in what  # the first piece: as far from the end as it is long
        else:
            assert where == f"at {length_text(cut.at, 'in')}"
        if cut.purpose == "strip":
            assert any(name in who for name in ("Rail", "Stile", "Top"))


def test_an_interruption_keeps_the_best_so_far_and_hurries_through_the_other_species() -> None:
    both = PARTS.rstrip() + PARTS.replace("White oak", "Black walnut").split("How\n", 1)[1]
    racks = BOARDS.rstrip() + BOARDS.replace("White oak", "Black walnut").split("Price\n", 1)[1].replace(
        "    A ", "    E "
    )
    job = take_in(pages({"Parts": both, "Boards": racks})).job
    whole = answer(job, 1.0).layouts
    told = []

    def interrupt(name: str, share: float) -> None:
        told.append(name)
        if len(told) == 1:
            raise KeyboardInterrupt

    first, second = answer(job, 1.0, interrupt).layouts
    assert first.layout.stopped == "interrupted"
    assert first.layout.complete
    assert second.layout.complete
    assert second.layout.work["work"] < whole[1].layout.work["work"] / 4


def test_a_board_written_again_has_another_bad_length() -> None:
    again = BOARDS + "    A     | White oak | 4/4   | 7     | 98     | 70       | 72     |\n"
    intake = take_in(pages({"Parts": PARTS, "Boards": again}))
    assert not intake.problems
    assert len(intake.job.boards) == 4
    assert intake.job.boards[0].bad == ((50, 54), (70, 72))
    [laid] = answer(intake.job, 0.2).layouts
    for piece in (p for b in laid.layout.boards if b.board.id == "A" for p in b.placed):
        assert all(piece.x + piece.length <= bad or piece.x >= end for bad, end in ((50, 54), (70, 72)))


def test_boards_of_another_species_may_bear_the_same_name() -> None:
    other = BOARDS + "    A     | Red oak | 4/4   | 7     | 98     |        |      |\n"
    assert len(take_in(pages({"Parts": PARTS, "Boards": other})).job.boards) == 5


def with_a_panel_that_waits(species: str) -> tuple[Answers, StockLayout]:
    """Give the answers of a rail of a species and a panel that is not measured yet, and the one layout."""
    panels = """
    Panel | Qty | Species   | Opening width | Opening height | Groove depth sides | Groove width | Thickness
    Back  | 1   | White oak | 4             | 30             | 1/2                | 3/8          | 3/8
    """
    parts = f"Part | Qty | Species | Thickness | Width | Length\nRail | 1 | {species} | 3/4 | 4 | 20"
    boards = "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 8 | 60"
    found = answer(take_in(pages({"Parts": parts, "Panels": panels, "Boards": boards})).job, 0.2)
    (laid,) = found.layouts
    return found, laid


def test_the_wood_of_a_panel_that_waits_is_in_no_cut_to_be_done_now() -> None:
    found, laid = with_a_panel_that_waits("White oak")
    waits = {str(n) for n, blank in enumerate(laid.blanks) if blank.provisional}
    (board,) = laid.layout.boards
    assert waits & {piece.piece for piece in board.placed}
    for cut in board.cuts:
        assert cut.purpose == "keep length" or not waits & {*cut.pieces}
    page = board_layout_page(found, "")
    assert page is not None
    told = [str(cell.value) for cell in page.cells.values()]
    assert (
        "Keep whole what is for Back (A), as drawn: the opening is not measured yet. "
        "Once it is, cut the panel from this wood, whatever a later layout shows: keep this page." in told
    )
    sheet = [str(cell.value) for cell in shop_sheet_page(found, "").cells.values()]
    assert [words for words in sheet if "Back" in words and "whole" in words] == [
        "keep whole what is for Back"
    ]
    assert not any(words.startswith("Wait with the wood") for words in sheet)


def test_a_board_that_only_waits_is_not_cut_at_all() -> None:
    found, laid = with_a_panel_that_waits("Red oak")
    (board,) = laid.layout.boards
    assert board.cuts == ()
    page = board_layout_page(found, "")
    assert page is not None
    told = " ".join(str(cell.value) for cell in page.cells.values())
    assert "Nothing is cut from this board before." in told
    assert "Left over:" not in told
    sheet = {str(cell.value) for cell in shop_sheet_page(found, "").cells.values()}
    assert {"nothing yet", "keep whole what is for Back"} <= sheet

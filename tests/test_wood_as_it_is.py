"""The wood as it is today: wetter or drier than it will be in use, rift-sawn, billed by the net cubic meter."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from sheetkit.data.rows import tables_of as plain_answers
from sheetkit.intake.workbook import take_in
from sheetkit.jobs.run import run
from sheetkit.plan import answer
from sheetkit.plan.volume import volume_of_blanks
from sheetkit.records.answers import Answers
from sheetkit.records.job import Stock
from sheetkit.records.units import Units
from sheetkit.records.wood import Blank, PanelAnswer
from sheetkit.tables import find_species
from sheetkit.tabs.panel_picture import section
from sheetkit.units import BOARD_FEET_PER_M3, MM
from tests.jobs import BENCH, column, pages, read, write
from tests.there import there

PART = "Part | Qty | Species | Thickness | Width | Length"
TOP = f"{PART} | Made as | Cut\nTop | 1 | White oak | 3/4 | 20 | 40 | edge-glued | flat"
PANEL = """
    Panel | Qty | Species   | Opening width | Opening height | Groove depth sides | Thickness | Measured width | Measured height | Cut
    One   | 1   | White oak | 18            | 20             | 1/2                | 3/8       | 18             | 20              | flat
"""
FLAT = 0.00365
"""White oak, tangential (Wood Handbook, FPL-GTR-190 (2010), Table 13-5)."""


def answered(now: str, driest: str = "6", wettest: str = "11", panels: str = PANEL) -> Answers:
    bench = BENCH.replace("| 7", f"| {now}").replace("| 6", f"| {driest}").replace("| 11", f"| {wettest}")
    return answer(take_in(pages({"Job": bench, "Parts": TOP, "Panels": panels})).job)


def the_panel(answers: Answers) -> PanelAnswer:
    [found] = answers.panels
    return found


def codes(answers: Answers) -> list[str]:
    return [found.code for found in answers.problems]


def test_a_panel_of_wood_wetter_than_it_will_ever_be_is_cut_for_today() -> None:
    # worked: (18 + 2 x 1/2 - 2 x 1/32) / 1, since it can only shrink from 14 %
    answers = answered("14")
    found = the_panel(answers)
    assert found.width == 18 + 15 / 16
    assert found.clearance == pytest.approx(1 / 32)
    assert found.gap == pytest.approx(1 / 32)
    assert found.bearing == pytest.approx((18.9375 * (1 - FLAT * 8) - 18) / 2, abs=1e-4)
    assert codes(answers).count("wetter-than-use") == 1
    assert any("today's 14 %" in remark for remark in found.remarks)


def test_a_panel_of_wood_drier_than_it_will_ever_be_bears_least_today() -> None:
    answers = answered("4", driest="7")
    found = the_panel(answers)
    assert found.bearing == pytest.approx((found.width - 18) / 2)
    assert codes(answers).count("drier-than-use") == 1
    assert any("today's, at 4 %" in remark for remark in found.remarks)


def test_the_advice_on_a_deeper_groove_counts_todays_moisture() -> None:
    shallow = PANEL.replace("1/2   ", "3/16  ")
    here, there_ = (
        next(
            found.instead
            for found in answered("14", "6", wettest, shallow).problems
            if found.code == "bearing-short"
        )
        for wettest in ("11", "14")
    )
    assert here == there_


def test_the_picture_of_a_panel_names_the_moistures_that_the_wood_sees() -> None:
    for now, driest, seen in (("14", "6", (6.0, 14.0, 14.0)), ("4", "7", (4.0, 4.0, 11.0))):
        answers = answered(now, driest)
        states = section(the_panel(answers), answers.job.sheet).states
        assert tuple(state.moisture for state in states) == seen


def test_a_wide_top_moves_from_todays_moisture_on() -> None:
    at_14, to_14 = (answered(*each).parts[0].remarks for each in (("14", "6", "11"), ("14", "6", "14")))
    assert at_14 == to_14
    assert at_14 != answered("11").parts[0].remarks


def test_wood_between_its_driest_and_its_wettest_gets_no_warning() -> None:
    for now in ("6", "7", "11"):
        assert not {"wetter-than-use", "drier-than-use"} & set(codes(answered(now)))


@pytest.mark.parametrize(
    "word", ["rift", "Rift-sawn", "riftsawn", "rift sawn", "rift and quartered", "rift/quarter"]
)
def test_rift_sawn_counts_as_flat_sawn_with_a_word_beside_the_row(word: str) -> None:
    flat = answered("7")
    rift = answered("7", panels=PANEL.replace("| flat", f"| {word}"))
    assert the_panel(rift).width == the_panel(flat).width
    assert the_panel(rift).bearing == the_panel(flat).bearing
    assert any("taken as flat-sawn" in remark for remark in the_panel(rift).remarks)
    assert codes(rift).count("rift-as-flat") == 1
    tables = {"Parts": TOP.replace("| flat", f"| {word}")}
    of_part = answer(take_in(pages(tables)).job)
    assert any("taken as flat-sawn" in remark for remark in of_part.parts[0].remarks)
    moves = [[each for each in found.parts[0].remarks if "Moves" in each] for found in (of_part, flat)]
    assert moves[0] == moves[1] != []


def test_ten_thin_blanks_are_billed_as_thin_as_they_are() -> None:
    oak = there(find_species("European oak"))
    blank = Blank("Slat", "Parts", 2, oak, Stock("20 mm", 20 / MM), 10, 15 / MM, 106 / MM, 1025 / MM)
    net, tally = (volume_of_blanks([blank], Units("mm", measure)) for measure in ("m3", "exact"))
    assert round(net / BOARD_FEET_PER_M3, 5) == 0.02173
    assert tally == pytest.approx(net * 25.4 / 20)


METRIC = BENCH.replace("inch", "mm")
SLATS = f"{PART}\nSlat | 10 | European oak | 10 | 100 | 1000"
MM_PRICES = "Species | Stock | Price | Waste\nEuropean oak | 20 mm | 2000 | 20 %"
MM_BOARDS = "Board | Species | Stock | Width | Length\nA | European oak | 20 mm | 240 | 2400\nB | European oak | 20 mm | 240 | 2400"
EACH = 20 * 240 * 2400 / 1e9


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_job_in_cubic_meters_buys_and_pays_the_net_volume(tmp_path: Path, ending: str) -> None:
    path = write(
        tmp_path / f"slats{ending}",
        {"Job": METRIC, "Parts": SLATS.replace("Length", "Length | Volume m3"), "Prices": MM_PRICES},
    )
    assert run(path, effort=0.02).ok
    after = read(path)
    [answers] = [answer(take_in(after.pages).job)]
    [blank] = answers.blanks
    net = blank.count * 20 * round(blank.width * MM, 6) * round(blank.length * MM, 6) / 1e9
    [line] = answers.lumber
    assert line.cost == round(Decimal(net / 0.8 * 2000), 2)
    assert column(after, "Parts", "Volume m3")[0] == pytest.approx(net, rel=1e-6)
    assert column(after, "Rough sizes", "m3")[0] == pytest.approx(net, rel=1e-6)
    assert column(after, "Lumber", "Buy (m3)")[0] == pytest.approx(net / 0.8, rel=1e-6)
    tables = plain_answers(answers)
    assert tables["rough_sizes"][0]["volume"] == pytest.approx(net, rel=1e-6)
    assert tables["lumber"][0]["buy"] == pytest.approx(net / 0.8, rel=1e-6)


def test_layout_bound_and_lumber_agree_on_the_net_volume() -> None:
    boards = {"Job": METRIC, "Parts": SLATS, "Prices": MM_PRICES, "Boards": MM_BOARDS}
    answers = answer(take_in(pages(boards)).job, effort=0.02)
    [laid], [line] = answers.layouts, answers.lumber
    used = len(laid.layout.boards)
    missing = sum(each.count * 20 * each.width * MM * each.length * MM / 1e9 for each in laid.to_buy)
    assert laid.layout.cost == pytest.approx(used * EACH * 2000)
    assert laid.layout.bound <= laid.layout.cost + 1e-9
    assert line.buy / BOARD_FEET_PER_M3 == pytest.approx(used * EACH + missing)
    assert float(there(line.cost)) == pytest.approx((used * EACH + missing) * 2000, abs=0.02)


def test_the_board_foot_tally_still_takes_thin_stock_as_an_inch() -> None:
    thin = answer(
        take_in(
            pages(
                {
                    "Parts": f"{PART}\nSlat | 1 | White oak | 1/4 | 6 | 30",
                    "Prices": "Species | Stock | Price\nWhite oak | 1/2 | 10",
                }
            )
        ).job
    )
    [blank], [line] = thin.blanks, thin.lumber
    assert line.net == pytest.approx(blank.width * blank.length / 144)

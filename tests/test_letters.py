"""Row heights: letters are as wide as those of the font that stands in the cells, measured on the font itself."""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

import pytest
from PIL import ImageFont

from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.tabs.letters import line_count, room, text_width
from sheetkit.tabs.pages import board_layout, marks
from sheetkit.tabs.shop_sheet import shop_sheet_page
from tests.jobs import BENCH, pages
from tests.test_shop_sheet import LEG_AND_SEAT, PANELS
from tests.there import there

TEXTS = (
    "Leg plies, 2 of 2", "4 mortises 3/8 wide, 1 1/16 deep", "Fußleiste, höher als Öffnung (12)", "WWWWW iiiii @ % 5°", "ŻÓŁĆ ĳssel ÅØÆ ŒŁ ½ ⅞",
    "Zwischenbodenträgerverstärkungsleiste, hinten links",
)  # fmt: skip


def font_file(bold: bool) -> Path | None:
    """Give the file of a font that is made to the widths of Arial, None where there is none."""
    name = f"LiberationSans-{'Bold' if bold else 'Regular'}.ttf"
    found = subprocess.run(["fc-list", ":", "file"], capture_output=True, text=True, check=False).stdout
    paths = [Path(line.split(":")[0].strip()) for line in found.splitlines()]
    return next((path for path in paths if path.name == name), None)


def font(bold: bool, size: float = 1000) -> ImageFont.FreeTypeFont:
    path = font_file(bold)
    if path is None and not os.environ.get("SHEETKIT_NEEDS_OFFICE"):
        pytest.skip("no font made to the widths of Arial")
    # without kerning, which only makes a text narrower
    return ImageFont.truetype(there(path), size, layout_engine=ImageFont.Layout.BASIC)


@pytest.mark.parametrize("bold", [False, True])
def test_a_text_is_as_wide_as_in_the_font(bold: bool) -> None:
    measured = font(bold)
    for text in TEXTS:
        plain = sum(measured.getlength(letter) for letter in text)
        assert text_width(text, 10, bold) == pytest.approx(plain / 100, rel=0.003), text


def test_lines_break_at_spaces_and_within_a_word_only_when_it_must() -> None:
    # a digit is 5.56 pt at 10 pt, a space 2.78
    assert line_count("11 11 11", 11.2, 10) == 3
    assert line_count("11 11 11", 26, 10) == 2
    assert line_count("11 11 11", 39, 10) == 1
    assert line_count("1" * 10, 56, 10) == 1
    assert line_count("1" * 10, 28, 10) >= 2
    assert line_count("one\ntwo", 500, 10) == 2
    assert line_count("", 500, 10) == 1


def test_a_column_leaves_its_margins_out_and_columns_together_only_once() -> None:
    assert room([10]) == pytest.approx(10 * 7 * 0.75 * 0.97)
    assert room([10, 10]) == pytest.approx((2 * 75 - 5) * 0.75 * 0.97)


LONG = "Zwischenbodenträgerverstärkungsleiste, hinten links"
NAMES = f"""
    Part   | Qty | Species      | Thickness | Width | Length | Made as    | Round-over | Note
    {LONG} | 2   | European oak | 20        | 40    | 400    | solid      | 2          | erst nach dem Einpassen ablängen, sonst wird sie zu kurz
    Deckplatte mit umlaufendem Überstand | 1 | European oak | 24 | 520 | 1100 | edge-glued | 3 |
"""
JOINED = f"""
    Joint  | Qty | Kind  | Into | From | Thickness | Width | Depth into | Depth from | At
    Dübelverbindung der Verstärkungsleiste vorne | 2 | dowel | Deckplatte mit umlaufendem Überstand | {LONG} | 8 | 40 | 12 | 25 | 100
"""
RACK = "Board | Species | Stock | Width | Length\nEiche vom Sägewerk 1 | European oak | 34 mm | 210 | 3000"


@pytest.mark.parametrize("unit", ["inch", "mm"])
def test_no_row_of_what_is_carried_to_the_bench_cuts_its_text_off(unit: str) -> None:
    """Each text is broken into lines as wide as its cell, by the font itself; a line takes 1.15 of its size."""
    bench = BENCH.replace("inch", unit)
    tables = {"Job": bench, "Prices": "", "Parts": NAMES, "Joints": JOINED, "Boards": RACK}
    if unit == "inch":
        tables = {"Job": bench, "Parts": LEG_AND_SEAT.replace("Seat support", LONG), "Panels": PANELS}
    answers = answer(take_in(pages(tables)).job, 0.2)
    tabs = [shop_sheet_page(answers, ""), board_layout(answers, ""), marks(answers, "")]
    seen = 0
    for page in (tab for tab in tabs if tab is not None):
        spans = {(each.first_row, each.first_column): each.last_column for each in page.merged}
        for (row, column), cell in page.cells.items():
            if not isinstance(cell.value, str) or not cell.style.wrap:
                continue
            last = spans.get((row, column), column)
            # seven dots a letter and no margin but the last column's five, 96 dots an inch
            wide = (sum(page.columns[each].width * 7 + 5 for each in range(column, last + 1)) - 5) * 0.75
            height = (
                broken(cell.value, wide, font(cell.style.bold, 1000), cell.style.size)
                * cell.style.size
                * 1.15
            )
            assert page.heights.get(row, 12.75) >= height - 0.5, (page.title, cell.value)
            seen += 1
    assert seen > 30


def broken(text: str, wide: float, measured: ImageFont.FreeTypeFont, size: float) -> int:
    """Count lines, broken at spaces, and at letters where a word is wider than a line."""
    lines = 0
    for paragraph in text.split("\n"):
        line = ""
        lines += 1
        for word in re.split("( )", paragraph):
            if measured.getlength(line + word) * size / 1000 <= wide:
                line += word
                continue
            if line.strip():
                lines, line = lines + 1, ""
            for letter in word.strip():
                if measured.getlength(line + letter) * size / 1000 > wide:
                    lines, line = lines + 1, ""
                line += letter
    return lines

"""Row heights: letters are as wide as those of the font that stands in the cells, measured on the font itself."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest
from PIL import ImageFont

from sheetkit.tabs.letters import line_count, room, text_width
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

"""Marks: one stick a member, every mark from one end, a picture to scale; in both file formats."""

from __future__ import annotations

import io
import subprocess
import sys

import pytest
from PIL import Image

from sheetkit.book.formats import by_ending
from sheetkit.page import Page
from sheetkit.tabs.marks import marks_page
from sheetkit.tabs.pages import result_pages
from tests.making.making_jobs import METRIC, Answered, answered

TABLES = {
    "Joints": """
        Joint   | Qty | Kind           | Into  | From | Thickness | Width | Depth into | At
        Corner  | 4   | tenon          | Stile | Rail | 5/16      | 1 1/2 | 1 1/16     | 1/2
        Groove  | 2   | stopped groove | Stile |      | 1/4       | 30    | 1/2        | 0
    """,
    "Spacing": """
        Run   | Between | Members | Member width
        Slats | 36      | 7       | 0.625
    """,
    "Shapes": """
        Shape | Kind  | Length | Rise  | Small end | Start | Stations
        Top   | arc   | 76     | 1/2   |           |       | 8
        Leg   | taper | 29     | 1 3/4 | 1         | 5     | 4
    """,
}


def page_of(found: Answered) -> Page:
    return marks_page(found.results, "made today")


def test_every_member_run_and_shape_has_one_stick() -> None:
    found = answered(TABLES)
    assert [(stick.names, stick.kind) for stick in found.results.sticks] == [
        (("Stile (2), edge",), "member"), (("Slats",), "run"), (("Top",), "curve"), (("Leg",), "taper"),
    ]  # fmt: skip


def test_marks_stand_in_order_from_one_end() -> None:
    for stick in answered(TABLES).results.sticks:
        places = [mark.at for mark in stick.marks]
        assert places == sorted(places)
        assert 0 <= places[0] <= places[-1] <= stick.length


def test_a_member_bears_mortises_grooves_and_where_the_cutter_goes_in_and_out() -> None:
    whats = [mark.what for mark in answered(TABLES).results.sticks[0].marks]
    assert whats == [
        "Corner: mortise begins", "Corner: mortise ends", "Groove: groove begins", "Groove: lower the cutter",
        "Groove: lift the cutter", "Groove: groove ends", "Corner: mortise begins", "Corner: mortise ends",
    ]  # fmt: skip


def test_members_with_the_same_layout_are_marked_together() -> None:
    found = answered({
        "Parts": """
        Part | Qty | Species   | Thickness | Width | Length
        Left | 1   | White oak | 7/8       | 2 1/2 | 30
        Right | 1  | White oak | 7/8       | 2 1/2 | 30
        Long | 1   | White oak | 7/8       | 2 1/2 | 40
        """,
        "Joints": """
        Joint  | Qty | Kind   | Into  | Thickness | Width | Depth into | At
        Groove | 1   | stopped groove | Left  | 1/4 | 20  | 1/4        | 5
        Groove | 1   | stopped groove | Right | 1/4 | 20  | 1/4        | 5
        Groove | 1   | stopped groove | Long  | 1/4 | 20  | 1/4        | 5
        """,
    })  # fmt: skip
    assert [stick.names for stick in found.results.sticks] == [("Left, edge", "Right, edge"), ("Long, edge",)]
    texts = {cell.value for cell in page_of(found).cells.values()}
    assert "Left, edge · Right, edge" in texts
    assert "These share one layout: mark them together." in texts


def test_each_mark_is_rounded_once_by_itself() -> None:
    """Seven members of 5/8 in 36: gaps of 253/64, so that stepping off rounded gaps would drift."""
    found = answered({"Spacing": "Run | Between | Members | Member width\nSlats | 36 | 7 | 11/16"})
    page = page_of(found)
    shown, exact = (
        [
            value
            for (_, column), cell in sorted(page.cells.items())
            if column == wanted and isinstance(value := cell.value, float)
        ]
        for wanted in (2, 3)
    )
    assert len(exact) == len(shown) == 21
    for true, rounded in zip(exact, shown, strict=True):
        assert abs(true - rounded) <= 1 / 128 + 1e-9
        assert (rounded * 64).is_integer()
    gap = (36 - 7 * 11 / 16) / 8
    centers = [gap * place + 11 / 16 * (place - 0.5) for place in range(1, 8)]
    assert exact[1::3] == pytest.approx(centers, abs=1e-9)


def test_pictures_are_black_and_white_and_say_what_they_show() -> None:
    for picture in page_of(answered(TABLES)).pictures:
        with Image.open(io.BytesIO(picture.png)) as image:
            assert image.mode == "1"
            assert image.width / 3 == pytest.approx(picture.width, abs=0.5)
            assert image.height / 3 == pytest.approx(picture.height, abs=0.5)
            # something is drawn, and most of the paper stays white
            assert 0.005 < 1 - sum(image.convert("L").tobytes()) / 255 / image.width / image.height < 0.35
        assert picture.alt.startswith("Story stick of ")


def test_a_mark_stands_in_the_picture_where_it_stands_on_the_member() -> None:
    """The mortise of a leg from 10 to 20 of 40 is hatched over that quarter of the stick and nowhere else."""
    found = answered({
        "Parts": "Part | Species | Thickness | Width | Length\nPost | White oak | 2 | 2 | 40",
        "Joints": "Joint | Kind | Into | Thickness | Width | Depth into | At\nLong | loose tenon | Post | 5/8 | 10 | 1 | 10",
    })  # fmt: skip
    (picture,) = page_of(found).pictures
    image = Image.open(io.BytesIO(picture.png)).convert("L")
    left, right = 14 * 3, image.width - 14 * 3
    y = image.height - 16 * 3 - 15 * 3  # the middle of the stick
    dark = [x for x in range(left + 6, right - 6) if image.getpixel((x, y)) == 0]
    assert min(dark) == pytest.approx(left + (right - left) / 4, abs=4)
    assert max(dark) == pytest.approx(left + (right - left) / 2, abs=4)
    assert len(dark) < (right - left) / 8  # hatched, not filled


def test_the_stick_of_a_member_with_tenons_shows_its_shoulders_and_says_what_it_is_measured_from() -> None:
    found = answered({
        "Parts": "Part | Species | Thickness | Width | Length | Tenons\nRail | White oak | 7/8 | 2 | 30 | 1",
        "Joints": "Joint | Kind | Into | Thickness | Width | Depth into | At\nLong | loose tenon | Rail | 5/16 | 2 | 1 | 10",
    })  # fmt: skip
    page = page_of(found)
    texts = [cell.value for _, cell in sorted(page.cells.items()) if isinstance(cell.value, str)]
    assert "From the shoulder (in)" in texts
    assert [text for text in texts if text.endswith("shoulder")] == ["shoulder", "far shoulder"]
    (picture,) = page.pictures
    assert "30 in from shoulder to shoulder" in picture.alt
    image = Image.open(io.BytesIO(picture.png)).convert("L")
    y = image.height - 16 * 3 - 15 * 3  # the middle of the stick: a stub beyond either shoulder
    assert any(image.getpixel((x, y)) == 0 for x in range(14 * 3 - 4))
    assert any(image.getpixel((x, y)) == 0 for x in range(image.width - 14 * 3 + 4, image.width))


def test_there_is_no_tab_when_nothing_is_marked() -> None:
    found = answered({})
    assert "Marks" not in [page.title for page in result_pages(found.results, (), "made today")]


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_tab_reads_back_as_it_was_written(ending: str, unit: str) -> None:
    found = answered({"Spacing": TABLES["Spacing"], **({"Job": METRIC} if unit == "mm" else {})})
    page = page_of(found)
    form = by_ending(ending)
    again = form.read(form.render([page])).page("Marks")
    assert again is not None
    said = {address: cell.value for address, cell in page.cells.items() if cell.value not in (None, "")}
    back = {address: cell.value for address, cell in again.cells.items() if cell.value not in (None, "")}
    assert back.keys() == said.keys()
    for address, value in said.items():
        assert back[address] == (pytest.approx(value) if isinstance(value, float) else value)


def test_the_page_is_the_same_every_time() -> None:
    found = answered(TABLES)
    assert page_of(found) == page_of(found)


def test_drawing_is_loaded_only_when_something_is_drawn() -> None:
    code = "import sys, sheetkit.tabs.marks, sheetkit.plan.making, sheetkit.tabs.shop_lines; sys.exit('PIL' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0

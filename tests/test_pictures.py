"""Pictures: those of the README are what the example gives; panels to scale; lettering clear of everything; words for all."""

from __future__ import annotations

import io
import re
import time
from itertools import combinations, pairwise
from math import hypot
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageChops

from sheetkit.calc.layout import Board, BoardLaid, Saw, model
from sheetkit.calc.layout.cuts import cuts_of
from sheetkit.intake.workbook import take_in
from sheetkit.page import Page, Picture
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.records.job import JobSheet
from sheetkit.tabs.board_picture import LONGEST_NAME, Slender, names_below, room_of_name, write_in
from sheetkit.tabs.board_picture import WIDTH as BOARD_WIDTH
from sheetkit.tabs.cut_numbers import ROUND, Scale, numbers_of
from sheetkit.tabs.drawing import DOTS, SHADE, WIDTH, Box, blank, font, one_line, pen, shortened, text_width
from sheetkit.tabs.panel_picture import (
    BOTTOM,
    CELL,
    CHEEK,
    DEPTH,
    PROVISIONAL,
    TOP,
    Section,
    State,
    lettering,
    panel_picture,
    section,
)
from sheetkit.tabs.shop_sheet import shop_sheet_page
from sheetkit.units import MM, Unit
from tests.jobs import BENCH, pages
from tests.make_pictures import EXAMPLE, FOLDER, WANTED, pictures, pictures_of, worked_out
from tests.make_pictures import TOP as REPO

README = (REPO / "README.md").read_text("utf-8")
METRIC = BENCH.replace("inch", "mm")
HEADINGS = "Panel | Species | Opening width | Opening height | Measured width | Measured height | Groove depth sides | Groove width | Thickness | Grain | Groove depth ends\n"


PARTS = {
    BENCH: "Part | Species | Thickness | Width | Length\nStile | White oak | 3/4 | 2 | 30",
    METRIC: "Part | Species | Thickness | Width | Length\nStile | White oak | 20 | 50 | 700",
}


def test_a_name_without_end_is_shortened_at_once() -> None:
    start = time.perf_counter()
    short = shortened("A long panel " * 3_000, 300.0)
    assert time.perf_counter() - start < 2  # letter by letter it takes minutes
    assert short.endswith("…")
    assert text_width(short) <= 300
    assert text_width(f"{short[:-1]} panel") > 300


def results(rows: str, job: str = BENCH) -> Answers:
    found = answer(take_in(pages({"Job": job, "Parts": PARTS[job], "Panels": HEADINGS + rows})).job)
    assert found.panels, [problem.says for problem in found.problems]
    return found


def sheet_of(unit: Unit) -> JobSheet:
    return JobSheet("Bench", unit, 1 / 32, "exact", moisture_now=7)


def image_of(picture: Picture) -> Image.Image:
    return Image.open(io.BytesIO(picture.png)).convert("L")


def drawn(seen: Section, sheet: JobSheet) -> Image.Image:
    return image_of(panel_picture(seen, ["End panel"], sheet, 1))


def gap_and_bearing(image: Image.Image, seen: Section, number: int) -> tuple[int, int]:
    """Measure, in dots, the gap at the bottom of the left groove and how far the panel stands in it."""
    y = TOP + CHEEK + seen.groove // 2
    left = number * CELL + BOTTOM
    line = np.asarray(image)[y, left : number * CELL + CELL // 2]
    gap = next(place for place, level in enumerate(line) if level < 128)
    return gap, DEPTH - gap


def shop_page(found: Answers) -> Page:
    return shop_sheet_page(found, "made today")


# the README's pictures


def test_the_pictures_of_the_readme_are_what_the_example_gives() -> None:
    """Compared at the size of the page, so that another release of the lettering's library makes no difference."""
    fresh = pictures()
    assert {path.name for path in FOLDER.iterdir()} == {path.name for path in fresh}
    for path, png in fresh.items():
        kept, made = Image.open(path).convert("L"), Image.open(io.BytesIO(png)).convert("L")
        assert kept.size == made.size, "run: python -m tests.make_pictures"
        difference = ImageChops.difference(kept.reduce(DOTS), made.reduce(DOTS))
        assert np.asarray(difference).max() < 64, f"{path.name}; run: python -m tests.make_pictures"


def test_one_changed_digit_would_be_seen_by_that_comparison() -> None:
    """The comparison must not be so lenient that another number passes."""
    shapes = []
    for text in ("in groove 5/16", "in groove 3/16"):
        image = Image.new("L", (300, 60), 255)
        image.paste(0, (0, 0), Image.frombytes("L", *mask_of(text)))
        shapes.append(image.reduce(DOTS))
    assert np.asarray(ImageChops.difference(*shapes)).max() >= 64


def mask_of(text: str) -> tuple[tuple[int, int], bytes]:
    mask = font().getmask(text, "L")
    return mask.size, bytes(mask)


def test_the_readme_shows_every_picture_with_words_and_no_other() -> None:
    shown = re.findall(r"!\[([^\]]+)\]\((examples/pictures/[^)]+)\)", README)
    assert sorted(path for _, path in shown) == sorted(
        path.relative_to(REPO).as_posix() for path in FOLDER.iterdir()
    )
    assert all(len(words) > 20 for words, _ in shown)


def test_every_number_in_the_words_of_the_readme_stands_in_the_words_of_the_workbook() -> None:
    in_workbook = pictures_of(worked_out(EXAMPLE))
    for said, name in re.findall(r"!\[([^\]]+)\]\(examples/pictures/([^)]+)\.png\)", README):
        (words,) = (words for words in in_workbook if words.startswith(WANTED[name]))
        numbers = set(re.findall(r"\d[\d,./]*\d|\d", said))
        assert numbers <= set(re.findall(r"\d[\d,./]*\d|\d", words)), name


def test_every_picture_has_words_that_say_what_it_shows_in_both_formats() -> None:
    xlsx, ods = (pictures_of(worked_out(EXAMPLE.with_suffix(ending))) for ending in (".xlsx", ".ods"))
    assert xlsx == ods
    assert all(len(words) > 20 for words in xlsx)
    kinds = {words.split()[0] for words in xlsx}
    assert kinds == {"Board", "Story", "Bars", "Panel", "Elevation", "Small"}
    assert not any(path.name in words for words in xlsx for path in FOLDER.iterdir())


# a panel in its groove


@pytest.mark.parametrize(
    ("opening", "depth"), [("1", "1/16"), ("2", "1/8"), ("15", "1/2"), ("30", "3/8"), ("60", "3")]
)
@pytest.mark.parametrize("grain", ["up", "across"])
def test_gap_and_bearing_are_drawn_to_scale_to_the_dot(opening: str, depth: str, grain: str) -> None:
    found = results(
        f"End | White oak | {opening} | {opening} | {opening} | {opening} | {depth} | 1/4 | 1/4 | {grain}"
    )
    (panel,) = found.panels
    seen = section(panel, found.job.sheet)
    image = drawn(seen, found.job.sheet)
    for number, gap in enumerate((seen.depth - panel.bearing, panel.gap, panel.clearance)):
        shown, bearing = gap_and_bearing(image, seen, number)
        assert shown == pytest.approx(gap / seen.depth * DEPTH, abs=1)
        assert bearing == pytest.approx((seen.depth - gap) / seen.depth * DEPTH, abs=1)


def test_both_sides_of_a_panel_are_drawn_alike() -> None:
    found = results("End | White oak | 15 | 9 | 15 | 9 | 1/2 | 1/4 | 1/4 | up")
    seen = section(found.panels[0], found.job.sheet)
    image = drawn(seen, found.job.sheet)
    for number in range(3):
        cell = image.crop((number * CELL, TOP + CHEEK, (number + 1) * CELL, TOP + CHEEK + seen.groove))
        left = cell.crop((0, 0, CELL // 2 - 30, cell.height))
        right = cell.crop((CELL // 2 + 30, 0, CELL, cell.height)).transpose(Image.Transpose.FLIP_LEFT_RIGHT)
        assert ImageChops.difference(left, right).getbbox() is None


def test_the_groove_that_counts_is_the_one_across_the_grain() -> None:
    rows = "End | White oak | 15 | 9 | 15 | 9 | 1/2 | 1/4 | 1/4 | {} | 3/8"
    seen = [section(results(rows.format(grain)).panels[0], sheet_of("in")) for grain in ("up", "across")]
    assert [(each.through, each.depth) for each in seen] == [("stiles", 0.5), ("rails", 0.375)]


def test_a_panel_out_of_its_groove_and_one_too_wide_for_it_are_said_and_drawn_so() -> None:
    states = (State("driest", 4, 0.56), State("now", 13, -0.03), State("wettest", 11, 0.03))
    seen = Section("stiles", 0.5, states, 54, 1.0, True)
    sheet = sheet_of("in")
    words = {label.words for label in lettering(seen, ["End"], sheet)}
    assert {"out by 1/16", "too wide by 1/32"} <= words
    image = drawn(seen, sheet)
    assert gap_and_bearing(image, seen, 0)[0] == pytest.approx(0.56 / 0.5 * DEPTH, abs=1)
    assert gap_and_bearing(image, seen, 1)[0] == 0


def test_sizes_on_the_picture_are_never_larger_than_they_are() -> None:
    """A bearing of 0.181 in is 11/64 and a bit: shown as 3/16 it would look like enough."""
    states = (State("driest", 6, 0.375 - 0.181), State("now", 7, 0.11), State("wettest", 11, 0.035))
    seen = Section("stiles", 0.375, states, 54, 1.0, True)
    words = [label.words for label in lettering(seen, ["End"], sheet_of("in"))]
    assert "in groove 11/64" in words
    assert "gap 1/32" in words
    metric = [label.words for label in lettering(seen, ["End"], sheet_of("mm"))]
    assert f"in groove {int(0.181 * MM * 2) / 2:g}" in metric


def test_a_provisional_panel_says_so_in_the_picture_and_in_its_words() -> None:
    found = results("End | White oak | 15 | 9 | | | 1/2 | 1/4 | 1/4 | up")
    sheet = found.job.sheet
    seen = section(found.panels[0], sheet)
    assert PROVISIONAL in [label.words for label in lettering(seen, ["End"], sheet)]
    picture = panel_picture(seen, ["End"], sheet, 1)
    assert picture.alt.endswith("Provisional: do not cut")
    measured = panel_picture(seen._replace(measured=True), ["End"], sheet, 1)
    assert PROVISIONAL not in measured.alt.lower()
    assert ImageChops.difference(image_of(picture), image_of(measured)).getbbox() is not None


def test_edges_stay_where_they_are_when_every_grey_is_printed_black_or_white() -> None:
    found = results("End | White oak | 15 | 9 | 15 | 9 | 1/2 | 1/4 | 1/4 | up")
    seen = section(found.panels[0], found.job.sheet)
    image = drawn(seen, found.job.sheet)
    bare = image.point(lambda level: 255 if level > 140 else 0)
    for number in range(3):
        assert gap_and_bearing(bare, seen, number) == gap_and_bearing(image, seen, number)


def overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


depths = st.floats(0.02, 6)
units: st.SearchStrategy[Unit] = st.sampled_from(["in", "mm"])
shares = st.floats(-0.4, 1.6)
"""Of the groove's depth, from a panel too wide to one out of its groove."""
names = st.lists(st.text("aZ ß€Ж/0", min_size=1, max_size=300), min_size=1, max_size=4)


@settings(deadline=None, max_examples=60)
@given(depths, st.tuples(shares, shares, shares), names, st.booleans(), units,
       st.integers(24, 54), st.floats(0.0001, 1.0))  # fmt: skip
def test_lettering_never_touches_the_frame_or_other_lettering_and_stays_inside(
    depth: float,
    gaps: tuple[float, float, float],
    words: list[str],
    measured: bool,
    unit: Unit,
    groove: int,
    fills: float,
) -> None:
    states = tuple(
        State(name, moisture, share * depth)
        for name, moisture, share in zip(("driest", "now", "wettest"), (2.5, 24.0, 28.0), gaps, strict=True)
    )
    seen = Section("stiles", depth, states, groove, fills, measured)
    sheet = sheet_of(unit)
    labels = lettering(seen, words, sheet)
    height = panel_picture(seen, words, sheet, 1).height * DOTS
    frame = (0.0, TOP, 3 * CELL, TOP + 2 * CHEEK + groove)
    for label in labels:
        left, top, right, bottom = label.box
        assert 0 <= left < right <= WIDTH * DOTS
        assert 0 <= top < bottom <= height + 1e-6
        assert not overlap(label.box, frame)
    for one, other in combinations(labels, 2):
        assert not overlap(one.box, other.box), (one, other)


def test_a_panel_is_drawn_on_the_shop_sheet_in_millimeters_too() -> None:
    found = results("Füllung | White oak | 380 | 230 | 380 | 230 | 12 | 6 | 6 | up", METRIC)
    (picture,) = shop_page(found).pictures
    assert picture.alt.startswith(
        "Panel Füllung in its grooves, cut through both stiles. Each side: driest (6.0 %) in groove "
    )
    assert " mm and gap " in picture.alt


def test_panels_that_look_alike_share_one_picture() -> None:
    found = results(
        "Left | White oak | 15 | 9 | 15 | 9 | 1/2 | 1/4 | 1/4 | up\n"
        "Right | White oak | 15 | 9 | 15 | 9 | 1/2 | 1/4 | 1/4 | up\n"
        "Middle | White oak | 15 | 9 | 15 | 9 | 3/8 | 1/4 | 1/4 | up"
    )
    assert [picture.alt.split(" in its")[0] for picture in shop_page(found).pictures] == [
        "Panel Left, Right",
        "Panel Middle",
    ]


def test_a_picture_is_no_wider_than_the_table() -> None:
    found = results("End | White oak | 15 | 9 | 15 | 9 | 1/2 | 1/4 | 1/4 | up")
    page = shop_page(found)
    (picture,) = page.pictures
    room = sum(page.columns[number].width * 5.25 + 3.75 for number in range(picture.column, 8))
    assert picture.width <= room
    assert page.heights[picture.row] >= picture.height


# what all pictures share


@pytest.mark.parametrize("letter", "äößéøłőčñçІЖя€£°½·…×ÅΩ")
def test_names_of_other_languages_and_signs_of_money_have_letters(letter: str) -> None:
    nothing = bytes(font().getmask("\uffff"))
    assert bytes(font().getmask(letter)) != nothing


@pytest.mark.parametrize("name", ["Drawer\nfront", "Drawer\x1efront", "Drawer \u2028 front"])
def test_a_name_with_a_line_break_or_a_sign_without_shape_stands_on_one_line(name: str) -> None:
    assert one_line(name) == "Drawer front"
    assert text_width(name) == text_width("Drawer front")


@given(st.text(max_size=200), st.floats(0, 400))
def test_a_shortened_text_fits(text: str, room: float) -> None:
    assert text_width(shortened(text, room)) <= room or shortened(text, room) == ""


@settings(deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from(["Peg", "Drawer runner", "Stop " * 30]), st.floats(0, 1499)), max_size=40
    )
)
def test_names_below_a_board_never_touch_and_stay_inside(pieces: list[tuple[str, float]]) -> None:
    below = names_below([Slender(name, x, 40.0) for name, x in pieces])
    for name in below:
        assert 0 <= name.left < name.right <= BOARD_WIDTH * DOTS
        assert name.right - name.left <= LONGEST_NAME + 1
    for one, other in pairwise(below):
        assert other.left - one.right >= 19.9


def test_a_slender_piece_is_named_below_its_board() -> None:
    (below,) = names_below([Slender("Peg", 100, 40), Slender("Peg", 300, 40)])
    assert below.name == "Peg"
    assert len(below.pieces) == 2
    assert below.left < 200 < below.right


def test_the_pictures_folder_holds_small_files() -> None:
    assert sum(Path(path).stat().st_size for path in FOLDER.iterdir()) < 100_000


def test_no_number_of_a_cut_touches_another_or_the_name_of_a_piece() -> None:
    strips = [
        model.Strip(
            n + 1,
            0.25 + n * 0.625,
            0.5,
            (model.Placed("0", n + 1, 1.0, 0.25 + n * 0.625, 15.0, 0.5),),
        )
        for n in range(6)
    ]
    board = Board("A", 4.0, 72.0, 1.0, edge=0.25, trim_start=1.0)
    sections = (model.Section(1, 1.0, 16.0, tuple(strips)),)
    laid = BoardLaid(board, sections, cuts_of(board, sections, Saw()), ())
    scale = Scale(BOARD_WIDTH * DOTS / 80, 64 * DOTS / board.width)
    numbers = numbers_of(laid, scale)
    for one, other in combinations(numbers, 2):
        assert hypot(one[0] - other[0], one[1] - other[1]) > 2 * ROUND * DOTS
    for strip in strips:
        (piece,) = strip.placed
        left, top, right, bottom = room_of_name(
            scale.box(piece.x, piece.y, piece.length, piece.width), numbers
        )
        for x, y in numbers:
            aside = x + ROUND * DOTS <= left + 1e-6 or x - ROUND * DOTS >= right - 1e-6
            assert aside or y + ROUND * DOTS <= top or y - ROUND * DOTS >= bottom


def test_a_line_that_points_out_another_piece_ends_at_a_name_and_goes_on_behind_it() -> None:
    shown = []
    for struck in (False, True):
        image = blank(100, 30)
        draw = pen(image)
        draw.rectangle((0, 0, 299, 89), fill=SHADE)
        if struck:
            draw.line((150, 0, 150, 89), fill=0)
        write_in(draw, (0, 0, 299, 89), ["End panel"])
        shown.append(image)
    one, other = shown
    middle = (100, 40, 200, 50)
    assert one.crop(middle).tobytes() == other.crop(middle).tobytes()
    assert one.tobytes() != other.tobytes()

"""Elevations: frames from what was typed, every place computed by hand, and what does not close."""

from __future__ import annotations

import io
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from shapely import box, unary_union

import sheetkit
from sheetkit.book.formats import by_ending
from sheetkit.intake.workbook import take_in
from sheetkit.page import Page
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.records.elevations import Elevation, Piece, Seen
from sheetkit.tabs.drawing import DOTS
from sheetkit.tabs.elevation_picture import ROW, elevation_picture
from sheetkit.tabs.elevations import elevations_page
from sheetkit.tabs.shop_sheet import shop_sheet_page
from tests.jobs import pages, write

PARTS = """
    Part      | Qty | Species   | Thickness | Width | Length
    Leg       | 4   | White oak | 3/4       | 3     | 30
    Top rail  | 2   | White oak | 3/4       | 5     | 60
    Low rail  | 2   | White oak | 3/4       | 4     | 60
    Side rail | 2   | White oak | 3/4       | 5     | 80
    Partition | 8   | White oak | 3/4       | 2 1/2 | 12
"""
JOINTS = """
    Joint       | Qty | Kind        | Into      | From      | Thickness | Width | Depth into | Depth from | On           | At
    Top to leg  | 4   | loose tenon | Leg       | Top rail  | 1/4       | 4     | 1          | 1          |              | 1 1/2
    Low to leg  | 4   | loose tenon | Leg       | Low rail  | 1/4       | 3     | 1          | 1          |              | 18 1/2
    Side to leg | 4   | hardware    | Leg       | Side rail | 1/4       | 4     | 1/2        |            |              | 17
    Side hook   | 4   | hardware    | Side rail |           | 1/4       | 4     | 1/2        |            | end; far end |
    Upper end   | 8   | loose tenon | Top rail  | Partition | 1/4       | 1 1/2 | 1          | 1          |              |
    Lower end   | 8   | loose tenon | Low rail  | Partition | 1/4       | 1 1/2 | 1          | 1          |              |
"""
PLACED = JOINTS.replace("| 1          |              |\n", "| 1          |              | 28 1/2\n")
SPACING = "Run | Between | Member | Members\nHead | 60 | Partition | 4"
PANELS = """
    Panel      | Qty | Species   | Run  | Rails              | Groove depth sides | Thickness | Grain
    Head panel | 10  | White oak | Head | Top rail; Low rail | 1/2                | 1/2       | up
"""
TABLES = {"Parts": PARTS, "Joints": PLACED, "Spacing": SPACING, "Panels": PANELS}
METRIC = (
    "Job | Sideboard\nUnits | mm\nWood moisture now | 7\nDriest wood moisture | 6\nWettest wood moisture | 11"
)


def answered(**tables: str) -> Answers:
    intake = take_in(pages({**TABLES, **tables}))
    assert not intake.problems, intake.problems
    return answer(intake.job)


def frame(name: str, **tables: str) -> Elevation:
    return next(seen for seen in answered(**tables).elevations if seen.name.startswith(name))


def of(seen: Elevation, what: Seen) -> list[tuple[float, float, float, float]]:
    """Left, bottom, width and height of all pieces of a kind."""
    return [
        (piece.left, piece.bottom, piece.width, piece.height) for piece in seen.pieces if piece.what is what
    ]


def test_a_part_that_has_one_end_in_each_of_several_pieces_is_no_rail() -> None:
    parts = PARTS + "    Knob | 2 | White oak | 1 | 1 | 1 1/2\n"
    knob = "    Knob | 2 | dowel | Leg | Knob | 3/8 | | 1/2 | 3/4 | face | 10\n"
    seen = [each.name for each in answered(Parts=parts, Joints=PLACED + knob).elevations]
    assert not any("Knob" in name for name in seen)
    assert seen == [each.name for each in answered().elevations]


def test_a_frame_of_two_rails_and_four_partitions_stands_as_it_was_typed() -> None:
    """The upper tenon is 1 1/2 to 5 1/2 from the top and 4 of the rail's 5: the rail is 1 to 6 from it, 24 to 29 above the foot.
    The lower is 18 1/2 to 21 1/2 and 3 of 4: the rail is 18 to 22 from the top, 8 to 12 above the foot. Between the legs, 3 wide,
    partitions begin at 10, 22 1/2, 35, 47 1/2 (geometry)."""  # fmt: skip
    seen = frame("Top rail")
    assert (seen.name, seen.count, seen.width, seen.height) == ("Top rail · Low rail", 2, 66, 30)
    assert seen.from_top
    assert of(seen, Seen.UPRIGHT) == [(0, 0, 3, 30), (63, 0, 3, 30)]
    assert of(seen, Seen.RAIL) == [(3, 24, 60, 5), (3, 8, 60, 4)]
    assert of(seen, Seen.PARTITION) == [(left, 12, 2.5, 12) for left in (13, 25.5, 38, 50.5)]
    assert of(seen, Seen.PANEL) == [(left, 12, 10, 12) for left in (3, 15.5, 28, 40.5, 53)]
    assert not of(seen, Seen.OPENING)
    assert seen.remarks == ()


def test_rails_of_another_length_make_a_frame_of_their_own() -> None:
    """Hardware 4 long at 17: the rail, 5 wide, is 16 1/2 to 21 1/2 from the top, 8 1/2 above the foot."""
    seen = frame("Side rail")
    assert (seen.count, seen.width) == (2, 86)
    assert of(seen, Seen.RAIL) == [(3, 8.5, 80, 5)]


def test_the_rail_that_rails_names_first_is_the_upper_one() -> None:
    """Counted from the foot, 18 to 22 is the upper one and 1 to 6 the lower."""
    seen = frame("Top rail", Panels=PANELS.replace("Top rail; Low rail", "Low rail; Top rail"))
    assert not seen.from_top
    assert of(seen, Seen.RAIL) == [(3, 1, 60, 5), (3, 18, 60, 4)]
    assert of(seen, Seen.PANEL)[0] == (3, 6, 10, 12)


def test_a_front_and_a_back_rail_at_one_height_are_two_frames() -> None:
    parts = PARTS + "    Back rail | 2 | White oak | 3/4 | 5 | 60 |\n"
    joints = PLACED + "    Back to leg | 4 | loose tenon | Leg | Back rail | 1/4 | 4 | 1 | 1 | | 2\n"
    found = [seen.name for seen in answered(Parts=parts, Joints=joints).elevations]
    assert found == ["Top rail · Low rail", "Side rail", "Back rail"]


def test_legs_of_two_names_stand_left_and_right_at_their_own_heights() -> None:
    """The back leg is 6 longer; 1 1/2 from the top of the front is 7 1/2 from that of the back."""
    parts = (
        PARTS.replace("Leg       | 4 ", "Leg       | 2 ") + "    Back leg | 2 | White oak | 3/4 | 3 | 36 |\n"
    )
    rows = """
        Joint   | Qty | Kind        | Into     | From      | Thickness | Width | Depth into | Depth from | At
        Front   | 2   | loose tenon | Leg      | Side rail | 1/4       | 4     | 1          | 1          | 1 1/2
        Back    | 2   | loose tenon | Back leg | Side rail | 1/4       | 4     | 1          | 1          | {at}
    """
    seen = frame("Side rail", Parts=parts, Joints=rows.format(at="7 1/2"), Spacing="", Panels="")
    assert of(seen, Seen.UPRIGHT) == [(0, 0, 3, 30), (83, 0, 3, 36)]
    assert of(seen, Seen.RAIL) == [(3, 24, 80, 5)]
    assert (seen.height, seen.remarks) == (36, ())
    leaning = answered(Parts=parts, Joints=rows.format(at="8"), Spacing="", Panels="")
    told = [problem for problem in leaning.problems if problem.code == "frame-heights"]
    assert [problem.says for problem in told] == [
        "Side rail stands 24 above the bottom of Leg, but 23 1/2 above that of Back leg: it is not level."
    ]
    assert told[0].cell == "J3"
    assert told[0].says in leaning.elevations[0].remarks
    assert any(told[0].says in remark for remark in leaning.joints[1].remarks)


def test_a_partition_without_a_run_stands_where_joints_puts_it() -> None:
    """28 1/2 to 30 is 1 1/2 of its 2 1/2: it begins at 28, 31 from the outer side of the leg."""
    seen = frame("Top rail", Spacing="", Panels="")
    assert of(seen, Seen.PARTITION) == [(31, 12, 2.5, 12)]
    assert of(seen, Seen.OPENING) == [(3, 12, 28, 12), (33.5, 12, 29.5, 12)]


def test_grooves_tell_where_a_panel_stands_when_rails_does_not() -> None:
    panels = """
        Panel | Qty | Species   | Opening width | Opening height | Groove depth sides | Thickness | Grain
        Left  | 2   | White oak | 28            | 12             | 1/2                | 1/2       | across
        Right | 2   | White oak | 29 1/2        | 12             | 1/2                | 1/2       | across
    """
    grooves = "".join(
        f"    Groove | 2 | groove | {rail} | {panel} | 1/4 | | 1/2\n"
        for rail in ("Top rail", "Low rail")
        for panel in ("Left", "Right")
    )
    seen = frame("Top rail", Spacing="", Panels=panels, Joints=PLACED + grooves)
    assert of(seen, Seen.PANEL) == [(3, 12, 28, 12), (33.5, 12, 29.5, 12)]
    assert [piece.grain for piece in seen.pieces if piece.what is Seen.PANEL] == ["across", "across"]
    assert seen.remarks == ()


def test_a_rail_whose_tenon_is_not_in_its_middle_stands_flush_with_the_end() -> None:
    """A tenon 4 wide at 1/2 in a rail 8 wide would have it 1 1/2 past the end: 0 to 8, between it and 18 are 10."""
    parts = PARTS.replace(
        "Top rail  | 2   | White oak | 3/4       | 5 ", "Top rail  | 2   | White oak | 3/4       | 8 "
    )
    seen = frame(
        "Top rail",
        Parts=parts.replace("2 1/2 | 12", "2 1/2 | 10"),
        Joints=PLACED.replace("| 1 1/2\n    Low", "| 1/2\n    Low"),
    )
    assert of(seen, Seen.RAIL)[0] == (3, 22, 60, 8)
    assert of(seen, Seen.PANEL)[0] == (3, 12, 10, 10)
    assert seen.remarks == ()


OTHER_PANELS = (
    "Panel | Qty | Species | Opening width | Opening height | Rails | Groove depth sides | Thickness\n"
)


@pytest.mark.parametrize(
    ("code", "says", "tables"),
    [
        ("frame-lengths", "Low rail and Top rail stand in one frame, but are 59 and 60 from shoulder to shoulder.",
         {"Parts": PARTS.replace("4     | 60", "4     | 59")}),
        ("frame-room", "Partition is 13 from shoulder to shoulder, but Top rail and Low rail leave 12 between them.",
         {"Parts": PARTS.replace("2 1/2 | 12", "2 1/2 | 13")}),
        ("frame-leans", "Partition stands at 28 along Low rail, but at 29 along Top rail: it is not upright.",
         {"Joints": PLACED.replace("28 1/2\n    Lower", "29 1/2\n    Lower"), "Spacing": "", "Panels": ""}),
        ("frame-run", "Head fills 62, but Low rail is 60 from shoulder to shoulder.", {"Spacing": SPACING.replace("60", "62")}),
        ("frame-panels", "1 panel for 2 openings between Top rail and Low rail.",
         {"Spacing": "", "Panels": f"{OTHER_PANELS}Left | 2 | White oak | 28 | 12 | Top rail; Low rail | 1/2 | 1/2"}),
        ("frame-opening", "The planned width of Left is 27, but its opening is 28 as the frame is drawn.",
         {"Spacing": "", "Panels": f"{OTHER_PANELS}Left | 2 | White oak | 27 | 12 | Top rail; Low rail | 1/2 | 1/2\n"
                                   "Right | 2 | White oak | 29 1/2 | 12 | Top rail; Low rail | 1/2 | 1/2"}),
    ],
)  # fmt: skip
def test_what_does_not_close_is_said(code: str, says: str, tables: dict[str, str]) -> None:
    found = answered(**tables)
    told = next(problem for problem in found.problems if problem.code == code)
    assert told.says.startswith(says)
    assert told.cell
    assert any(told.says in remark for seen in found.elevations for remark in seen.remarks)
    beside = {
        "Joints": [each.remarks for each in found.joints],
        "Spacing": [each.remarks for each in found.runs],
        "Panels": [each.remarks for each in found.panels],
    }[told.tab]
    assert any(told.says in remark for remarks in beside for remark in remarks)


CASE = """
    Part      | Qty | Species   | Thickness | Width | Length
    Side      | 2   | White oak | 3/4       | 11    | 40
    Top shelf | 1   | White oak | 3/4       | 11    | 30 1/2
    Low shelf | 1   | White oak | 3/4       | 11    | 30 1/2
    Partition | 1   | White oak | 3/4       | 11    | {}
    Runner    | 4   | White oak | 1/2       | 1     | 11
"""
DADOS = """
    Joint     | Kind   | Into                 | On   | From      | Thickness | Depth into | At    | Lies
    Top       | groove | Side                 | face | Top shelf |           | 1/4        | 10    | across
    Low       | groove | Side                 | face | Low shelf |           | 1/4        | 26    | across
    Partition | groove | Top shelf; Low shelf | face | Partition |           | 1/4        | 15    | across
    Runners   | groove | Side                 | face | Runner    | 1/2       | 1/4        | 4; 34 | across
"""


@pytest.mark.parametrize(("long", "codes"), [("15 3/4", []), ("15 1/4", []), ("16", ["frame-room"])])
def test_what_stands_in_dados_reaches_into_them_and_a_runner_lies_along_its_own(
    long: str, codes: list[str]
) -> None:
    """From 10 3/4 to 26 are 15 1/4, and 1/4 in each dado; whoever counts from shoulder to shoulder leaves that out."""
    found = answered(Parts=CASE.format(long), Joints=DADOS, Spacing="", Panels="")
    assert [each.code for each in found.problems if each.tab == "Joints"] == codes
    (seen,) = found.elevations
    assert [
        (piece.name, piece.left, piece.height) for piece in seen.pieces if piece.what is Seen.PARTITION
    ] == [("Partition", 15.75, 15.25)]
    assert "Runner" not in {piece.name for piece in seen.pieces}


SLATS = {
    "Parts": """
        Part  | Qty | Species   | Thickness | Width | Length
        Strip | 2   | White oak | 1         | 2     | 81
        Slat  | 13  | White oak | 3/4       | 3 1/2 | 60
    """,
    "Spacing": "Run | Between | Member | First at\nSlats | 81 | Slat | 1 1/2",
    "Joints": "Joint | Kind | Into | On | From | Depth into | At | Lies\nNotch | groove | Strip | edge | Slat | 3/8 | Slats | across",
    "Panels": "",
}


def test_slats_lie_flat_in_their_notches() -> None:
    """(81 - 2 x 1 1/2 - 13 x 3 1/2) / 12 are 2.7083 between them."""
    (seen,) = answered(**SLATS).elevations
    rails = sorted((bottom, high) for _, bottom, _, high in of(seen, Seen.RAIL))
    assert rails == [pytest.approx((1.5 + place * (3.5 + 32.5 / 12), 3.5)) for place in range(13)]
    assert {round(high, 4) for _, _, _, high in of(seen, Seen.OPENING)} == {2.7083}


@pytest.mark.parametrize("small", [False, True])
def test_sizes_of_many_rails_keep_apart_and_above_the_foot(
    small: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever is written beside the frame stands a row from the next, and none lower than its foot."""
    written: list[tuple[float, float, str]] = []
    monkeypatch.setattr(
        "sheetkit.tabs.elevation_picture.write",
        lambda draw, x, y, words, points: written.append((x, y, words)),
    )
    found = answered(**SLATS)
    (seen,) = found.elevations
    elevation_picture(seen, found.job.sheet, 1, small=small)
    foot = next(y for _, y, words in written if words == "60")
    left = sorted(y for _, y, words in written if words in ("3 1/2", "2 23/32", "1 1/2"))
    right = sorted(y for _, y, words in written if ":" in words)
    for column in (left, right):
        assert len(column) > 2
        assert min(below - above for above, below in pairwise(column)) >= ROW * DOTS - 1
        assert column[-1] < foot


def test_a_rail_without_a_place_stands_on_no_elevation() -> None:
    joints = JOINTS.replace("| 1 1/2\n", "|\n").replace("| 18 1/2", "|").replace("| 17", "|")
    found = answered(Joints=joints, Spacing="", Panels="")
    assert found.elevations == ()


def text_of(page: Page) -> list[list[object]]:
    rows: dict[int, list[object]] = {}
    for (row, _), cell in sorted(page.cells.items()):
        rows.setdefault(row, []).append(cell.value)
    return list(rows.values())


def test_the_tab_lists_every_piece_with_its_place() -> None:
    found = answered()
    rows = text_of(elevations_page(found, "stamp"))
    assert ["No.", "Piece", "Width (in)", "Height (in)", "From the bottom (in)", "From the left (in)"] in rows
    assert [1, "Leg", 3, 30, 0, "0; 63"] in rows
    assert [2, "Top rail", 60, 5, 24, "3"] in rows
    assert [4, "Partition", 2.5, 12, 12, "13; 25 1/2; 38; 50 1/2"] in rows
    assert [5, "Head panel", 10, 12, 12, "3; 15 1/2; 28; 40 1/2; 53"] in rows
    assert ["2 frames alike. At on Joints counts from the top of Leg."] in rows


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_tab_reads_back_as_it_was_written(ending: str, unit: str) -> None:
    found = answered() if unit == "in" else sideboard()
    page = elevations_page(found, "stamp")
    book = by_ending(ending)
    back = book.read(book.render([page])).page("Elevations")
    assert back is not None
    assert {at: cell.value for at, cell in back.cells.items() if cell.value is not None} == {
        at: cell.value for at, cell in page.cells.items() if cell.value is not None
    }
    assert len(page.pictures) == len(found.elevations) > 0


def sideboard() -> Answers:
    """A door of two stiles and two rails alike, in mm."""
    return answered(
        Job=METRIC,
        Prices="",
        Parts="""
            Part  | Qty | Species      | Thickness | Width | Length | Tenons
            Stile | 4   | European oak | 22        | 60    | 700    |
            Rail  | 4   | European oak | 22        | 70    | 400    | 30
        """,
        Joints="""
            Joint | Qty | Kind  | Into  | From | Thickness | Width | Depth into | At
            Rail  | 8   | tenon | Stile | Rail | 7         | 50    | 31,5       | 10
        """,
        Spacing="",
        Panels="""
            Panel | Qty | Species      | Rails | Groove depth sides | Thickness
            Door  | 2   | European oak | Rail  | 10                 | 8
        """,
    )


def test_a_door_of_two_rails_of_one_part_is_drawn_with_both() -> None:
    """A tenon 50 wide in a rail of 70 at 10: the rail is flush with the ends; between are 700 - 2 x 70 = 560."""
    found = sideboard()
    (seen,) = found.elevations
    assert seen.count == 2
    assert [seen.width * 25.4, seen.height * 25.4] == pytest.approx([520, 700])
    rails = [side * 25.4 for p in seen.pieces if p.what is Seen.RAIL for side in (p.bottom, p.height)]
    assert rails == pytest.approx([630, 70, 0, 70], abs=1e-9)
    (door,) = [piece for piece in seen.pieces if piece.what is Seen.PANEL]
    assert [side * 25.4 for side in (door.left, door.bottom, door.width, door.height)] == pytest.approx(
        [60, 70, 400, 560]
    )
    assert found.panels[0].panel.opening_height == pytest.approx(560 / 25.4)
    assert seen.remarks == ()


@pytest.mark.parametrize("small", [False, True])
def test_the_picture_is_to_scale_and_holds_to_its_room(small: bool) -> None:
    """The outer sides of the uprights, as they stand in the picture, have the ratio of the frame's sizes."""
    found = answered()
    seen = found.elevations[0]
    picture = elevation_picture(seen, found.job.sheet, 1, small=small)
    assert picture.width <= 501
    assert picture.height <= (200 if small else 340)
    image = Image.open(io.BytesIO(picture.png)).convert("L")
    assert {level for _, level in image.getcolors() or ()} == {0, 255}
    wide, high = drawn_frame(image)
    assert wide / high == pytest.approx(66 / 30, rel=0.02)


def longest(black: list[bool]) -> tuple[int, int]:
    """The longest unbroken stretch: where it begins, and its length."""
    best, begin = (0, 0), 0
    for place, dot in enumerate([*black, False]):
        if not dot:
            best, begin = max(best, (begin, place - begin), key=lambda each: each[1]), place + 1
    return best


def drawn_frame(image: Image.Image) -> tuple[int, int]:
    """Width and height of the frame in dots: of the line that it stands on less what runs out, and of the outer side of a leg."""
    foot = max(
        range(image.height - 130),
        key=lambda row: longest([image.getpixel((x, row)) == 0 for x in range(image.width)])[1],
    )
    begin, wide = longest([image.getpixel((x, foot)) == 0 for x in range(image.width)])
    _, high = longest([image.getpixel((begin + 31, y)) == 0 for y in range(image.height)])
    return wide - 60, high


def test_a_picture_of_many_partitions_stays_within_its_edges() -> None:
    """40 slats of 1 in 60: nothing is drawn outside, and the sizes that find no row are still listed."""
    spacing = "Run | Between | Member | Members | Member width\nHead | 60 | Partition | 40 | 3/4"
    parts = PARTS.replace("Partition | 8 ", "Partition | 80")
    found = answered(Parts=parts, Spacing=spacing, Panels="")
    picture = elevation_picture(found.elevations[0], found.job.sheet, 1)
    assert picture.height < 345


def test_a_run_of_the_command_writes_the_tab_after_marks(tmp_path: Path) -> None:
    path = write(tmp_path / "frame.xlsx", TABLES)
    outcome = sheetkit.run(path)
    titles = [page.title for page in by_ending(".xlsx").read(path.read_bytes()).pages]
    assert titles.index("Elevations") == titles.index("Marks") + 1
    rows = outcome.plain()["tables"]["elevations"]
    assert rows[2] == {
        "frame": 1, "frame_name": "Top rail · Low rail", "frames": 2, "frame_width": 66.0, "frame_height": 30.0, "from_top": True, "lies": False,
        "number": 2, "what": "rail", "name": "Top rail", "left": 3.0, "bottom": 24.0, "width": 60.0, "height": 5.0,
        "grain": "across", "does_not_close": [],
    }  # fmt: skip
    before = path.read_bytes()
    sheetkit.run(path)
    assert path.read_bytes() == before


def test_a_piece_tells_its_right_and_its_top() -> None:
    piece = Piece(Seen.RAIL, "Rail", 3, 24, 60, 5)
    assert (piece.right, piece.top) == (63, 29)


def test_front_and_back_rails_on_pieces_of_one_part_are_two_frames_and_end_rails_a_third() -> None:
    """Legs 1 and 2 are in front, 3 and 4 behind; the end rails enter the edge of one and the far edge of the other."""
    parts = """
        Part      | Qty | Species   | Thickness | Width | Length
        Leg       | 4   | White oak | 3         | 3     | 30
        Front top | 1   | White oak | 3/4       | 4     | 60
        Back top  | 1   | White oak | 3/4       | 4     | 60
        Back low  | 1   | White oak | 3/4       | 4     | 60
        End top   | 2   | White oak | 3/4       | 5     | 20
    """
    joints = """
        Joint    | Kind  | Into | On       | Pieces | From      | Thickness | Width | Depth into | At
        Front    | tenon | Leg  | face     | 1-2    | Front top | 1/4       | 3     | 1          | 1/2
        Back     | tenon | Leg  | face     | 3-4    | Back top  | 1/4       | 3     | 1          | 1/2
        Back low | tenon | Leg  | face     | 3-4    | Back low  | 1/4       | 3     | 1          | 20 1/2
        One end  | tenon | Leg  | edge     | 1; 4   | End top   | 1/4       | 3     | 1          | 1
        Other    | tenon | Leg  | far edge | 2; 3   | End top   | 1/4       | 3     | 1          | {other}
    """
    prices = "Species | Stock | Price\\nWhite oak | 16/4 | 12\\nWhite oak | 4/4 | 9".replace("\\n", "\n")
    more = {"Parts": parts, "Prices": prices, "Spacing": "", "Panels": ""}
    found = answered(Joints=joints.format(other="1"), **more).elevations
    assert [(seen.name, seen.count, seen.width) for seen in found] == [
        ("Front top", 1, 66),
        ("Back top · Back low", 1, 66),
        ("End top", 2, 26),
    ]
    assert of(found[1], Seen.RAIL) == [(3, 26, 60, 4), (3, 6, 60, 4)]
    assert of(found[2], Seen.RAIL) == [(3, 25, 20, 5)]
    assert found[2].remarks == ()
    uneven = answered(Joints=joints.format(other="2"), **more)
    assert [problem.code for problem in uneven.problems if problem.tab == "Joints"].count(
        "frame-heights"
    ) == 1


def test_a_case_shows_the_edges_of_its_boards_and_its_partitions_where_their_run_puts_them() -> None:
    """In mm: the bottom, 22 thick in a dado of 22 at 640, is 38 above the foot of sides 700 long; the top, with dowels of 8 at 7,
    is flush. Between them 640 - 22 = 618; partitions 20 thick leave (1000 - 2 x 20) / 3 = 320."""  # fmt: skip
    found = answered(
        Job=METRIC,
        Prices="",
        Parts="""
            Part      | Qty | Species      | Thickness | Width | Length | Tenons
            Side      | 2   | European oak | 22        | 400   | 700    |
            Top       | 1   | European oak | 22        | 400   | 1000   |
            Bottom    | 1   | European oak | 22        | 400   | 1000   | 8
            Partition | 2   | European oak | 20        | 390   | 618    |
        """,
        Joints="""
            Joint         | Kind   | Into        | On   | From      | Thickness | Width | Depth into | Depth from | At         | Lies
            Top to side   | dowel  | Side        | face | Top       | 8         |       | 14         | 26         | 7          | across
            Bottom dado   | groove | Side        | face | Bottom    | 22        |       | 8          |            | 640        | across
            Partitions in | dowel  | Top; Bottom | face | Partition | 8         |       | 14         | 26         | Partitions | across
            Hinge         | hardware | Side      | edge | Bottom    | 2         | 60    | 2          |            | 80         | along
        """,
        Spacing="Run | Between | Member | Member width\nPartitions | 1000 | Partition | 20",
        Panels="",
    )
    (seen,) = found.elevations
    inch = [tuple(round(side * 25.4, 6) for side in box) for box in of(seen, Seen.UPRIGHT)]
    assert inch == [(0, 0, 22, 700), (1022, 0, 22, 700)]
    assert [tuple(round(side * 25.4, 6) for side in box) for box in of(seen, Seen.RAIL)] == [
        (22, 678, 1000, 22),
        (22, 38, 1000, 22),
    ]
    assert [tuple(round(side * 25.4, 6) for side in box) for box in of(seen, Seen.PARTITION)] == [
        (342, 60, 20, 618),
        (682, 60, 20, 618),
    ]
    assert [round(box[2] * 25.4, 6) for box in of(seen, Seen.OPENING)] == [320, 320, 320]
    assert seen.remarks == ()


BOOKCASE = {
    "Parts": """
        Part       | Qty | Species   | Thickness | Width | Length | Tenons
        Side       | 2   | White oak | 3/4       | 12    | 80     |
        Top        | 1   | White oak | 3/4       | 13    | 38     |
        Shelf      | 3   | White oak | 3/4       | 11    | 34     | 3/8
        Partition  | 1   | White oak | 3/4       | 11    | 25     | 1/4
        Face stile | 2   | White oak | 3/4       | 2     | 80     |
        Face foot  | 1   | White oak | 3/4       | 4     | 31     |
        Face head  | 1   | White oak | 3/4       | 3     | 31     |
        Door stile | 4   | White oak | 3/4       | 2     | 24     |
        Door head  | 2   | White oak | 3/4       | 2     | 11     |
        Door foot  | 2   | White oak | 3/4       | 3     | 11     |
    """,
    "Spacing": """
        Run     | Between | Member width | Member    | Gaps
        Shelves | 80      | 3/4          | Shelf     | 4; 25; 26; rest
        Middle  | 34      | 3/4          | Partition |
    """,
    "Joints": """
        Joint      | Qty | Kind           | Into       | On   | Pieces | From      | Thickness | Width | Depth into | Depth from | At          | Across | Lies
        Top dowels |     | dowel          | Top        | back |        | Side      | 3/8       |       | 1/2        | 1          | 1 1/2; 36   |        | across
        Dados      |     | stopped groove | Side       | face |        | Shelf     |           | 10    | 3/8        |            | Shelves     | 1      | across
        Foot dado  |     | stopped groove | Shelf      | face | 1      | Partition |           | 10    | 1/4        |            | Middle      | 1      | across
        Head dado  |     | stopped groove | Shelf      | back | 2      | Partition |           | 10    | 1/4        |            | Middle      | 1      | across
        Face foot  |     | loose tenon    | Face stile | edge |        | Face foot | 1/4       | 1 1/2 | 1          | 1          | 1 1/4       |        |
        Face head  |     | loose tenon    | Face stile | edge |        | Face head | 1/4       | 1 1/2 | 1          | 1          | 77 3/4      |        |
        Door foot  |     | loose tenon    | Door stile | edge |        | Door foot | 1/4       | 1 1/2 | 1          | 1          | 3/4         |        |
        Door head  |     | loose tenon    | Door stile | edge |        | Door head | 1/4       | 1 1/2 | 1          | 1          | 22 1/4      |        |
    """,
    "Panels": """
        Panel | Qty | Species   | Rails                | Groove depth sides | Thickness
        Panel | 2   | White oak | Door head; Door foot | 3/8                | 5/8
    """,
}


def test_a_case_under_a_dowelled_top_is_drawn_and_its_partition_stands_only_between_its_own_shelves() -> None:
    seen = frame("Shelf", **BOOKCASE)
    assert of(seen, Seen.UPRIGHT) == [(0.0, 0.0, 0.75, 80.0), (34.75, 0.0, 0.75, 80.0)]
    assert of(seen, Seen.RAIL) == [(0.75, at, 34.0, 0.75) for at in (4.0, 29.75, 56.5)]
    assert of(seen, Seen.PARTITION) == [(0.75 + 16.625, 4.75, 0.75, 25.0)]
    openings = [(0.75, 4.75, 16.625, 25.0), (18.125, 4.75, 16.625, 25.0), (0.75, 30.5, 34.0, 26.0)]
    assert of(seen, Seen.OPENING) == openings
    assert not seen.remarks


def test_a_frame_that_no_panel_tells_of_counts_from_the_end_that_the_others_do() -> None:
    assert [seen.from_top for seen in answered(**BOOKCASE).elevations] == [False] * 3
    assert of(frame("Face foot", **BOOKCASE), Seen.RAIL) == [(2.0, 0.0, 31.0, 4.0), (2.0, 77.0, 31.0, 3.0)]
    turned = {
        **BOOKCASE,
        "Panels": BOOKCASE["Panels"].replace("Door head; Door foot", "Door foot; Door head"),
    }
    assert [seen.from_top for seen in answered(**turned).elevations] == [True] * 3


def test_a_hinge_makes_no_frame_but_hooks_in_the_end_of_a_rail_do() -> None:
    assert [seen.name for seen in answered().elevations] == ["Top rail · Low rail", "Side rail"]
    hinged = PLACED.replace("| end; far end |", "| edge         | 30")
    assert [seen.name for seen in answered(Joints=hinged).elevations] == ["Top rail · Low rail"]


def test_a_partition_on_several_rails_in_one_row_stands_where_its_run_puts_it() -> None:
    joints = PLACED[: PLACED.index("    Upper end")] + (
        "    Ends | | loose tenon | Top rail; Low rail | Partition | 1/4 | 1 1/2 | 1 | 1 | edge | Head\n"
    )
    seen = frame("Top rail", Joints=joints)
    assert of(seen, Seen.PARTITION) == [(left, 12, 2.5, 12) for left in (13, 25.5, 38, 50.5)]
    assert seen.remarks == ()


def test_the_shop_sheet_shows_every_frame_small_where_it_is_assembled_dry() -> None:
    found = answered()
    page = shop_sheet_page(found, "stamp")
    shown = [picture for picture in page.pictures if picture.alt.startswith("Small")]
    assert [picture.alt.split(",")[0] for picture in shown] == [
        "Small elevation of Top rail · Low rail",
        "Small elevation of Side rail",
    ]
    titles = {
        row: str(cell.value) for (row, column), cell in page.cells.items() if column == 1 and cell.value
    }
    dry = next(row for row, title in titles.items() if title.endswith("Dry assembly"))
    after = min(row for row in titles if row > dry and titles[row][0].isdigit())
    assert all(dry < picture.row < after for picture in shown)
    assert shown[0].width < elevation_picture(found.elevations[0], found.job.sheet, 1).width


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 9), st.integers(8, 40), st.integers(0, 64), st.integers(320, 384), st.booleans())
def test_partitions_and_openings_fill_the_room_between_the_rails_and_nothing_overlaps(
    members: int, wide: int, first: int, low: int, listed: bool
) -> None:
    """Against shapely: whatever a run holds, in sixteenths of an inch, the pieces of a frame cover the room once."""
    gaps = f"{first}/16; rest" if listed else ""
    spacing = f"Run | Between | Member | Members | Member width | Gaps\nHead | 60 | Partition | {members} | {wide}/16 | {gaps}"
    joints = PLACED.replace("18 1/2", f"{low}/16")
    seen = frame("Top rail", Spacing=spacing, Joints=joints, Panels="")
    lower, upper = sorted((piece.bottom, piece.top) for piece in seen.pieces if piece.what is Seen.RAIL)
    boxes = [box(piece.left, piece.bottom, piece.right, piece.top) for piece in seen.pieces]
    room = box(3, lower[1], 63, upper[0])
    within = [
        each
        for each, piece in zip(boxes, seen.pieces, strict=True)
        if piece.what in (Seen.PARTITION, Seen.OPENING)
    ]
    assert unary_union(within).symmetric_difference(room).area == pytest.approx(0, abs=1e-6)
    assert sum(each.area for each in boxes) == pytest.approx(unary_union(boxes).area)
    assert sum(piece.what is Seen.PARTITION for piece in seen.pieces) == members

"""Two whole jobs typed with surfaces, pieces and runs, every place worked out by hand: geometry, no source."""

from __future__ import annotations

import pytest

from sheetkit.units import MM
from tests.making.making_jobs import METRIC, Answered, answered

FRAME = {
    "Parts": """
        Part           | Qty | Species   | Thickness | Width | Length | Tenons
        Leg            | 4   | White oak | 3         | 3     | 30     |
        Long rail, top | 2   | White oak | 1 1/2     | 5     | 72     | 1 1/4
        Long rail, low | 2   | White oak | 1 1/2     | 5     | 72     | 1 1/4
        Upright        | 6   | White oak | 3/4       | 2 1/2 | 12     | 3/4
        Side rail      | 2   | White oak | 1 1/2     | 6     | 80     |
        Slat strip     | 2   | White oak | 1         | 1 1/2 | 80     |
        Slat           | 15  | White ash | 3/4       | 3     | 60     |
    """,
    "Panels": """
        Panel | Qty | Species   | Run      | Rails                          | Groove depth sides | Groove width | Thickness
        Field | 8   | White oak | Uprights | Long rail, top; Long rail, low | 3/8                | 1/4          | 1/4
    """,
    "Spacing": """
        Run      | Between | Members | Member
        Uprights | 72      | 3       | Upright
        Slats    | 80      | 15      | Slat
    """,
    "Joints": """
        Joint             | Kind           | Into                           | On             | Pieces | From           | Thickness | Width  | Depth into | At       | Lies
        Top rail to leg   | tenon          | Leg                            | face           |        | Long rail, top | 1/2       | 3      |            | 3        |
        Low rail to leg   | tenon          | Leg                            | face           |        | Long rail, low | 1/2       | 3      |            | 20       |
        Upright to rails  | tenon          | Long rail, top; Long rail, low | edge           |        | Upright        | 1/4       | 1 1/2  |            | Uprights |
        Groove, rails     | stopped groove | Long rail, top; Long rail, low | edge           |        | Field          |           |        |            | 0        |
        Groove, uprights  | groove         | Upright                        | edge; far edge |        | Field          |           |        |            |          |
        Groove, legs      | stopped groove | Leg                            | face           |        | Field          |           | 12 3/4 |            | 6 5/8    |
        Hooks             | hardware       | Side rail                      | end; far end   |        |                | 5/8       | 4      | 1/2        |          |
        Plates, one hand  | hardware       | Leg                            | edge           | 1; 4   |                | 5/8       | 4      | 1/2        | 10       |
        Plates, other     | hardware       | Leg                            | far edge       | 2; 3   |                | 5/8       | 4      | 1/2        | 10       |
        Slat notches      | groove         | Slat strip                     | edge           |        | Slat           |           |        | 1/2        | Slats    | across
    """,
}
CASE = {
    "Job": f"{METRIC}\nOutside size | 1820 x 400 x 800",
    "Parts": """
        Part         | Qty | Species      | Thickness | Width | Length | Tenons | Made as
        Plate        | 2   | European oak | 20        | 400   | 1820   |        | edge-glued
        Upright      | 5   | European oak | 20        | 380   | 760    |        | edge-glued
        Door stile   | 4   | European oak | 22        | 60    | 756    |        |
        Door rail    | 4   | European oak | 22        | 60    | 306    | 25     |
        Runner       | 12  | European oak | 12        | 24    | 350    |        |
        Drawer front | 8   | European oak | 20        | 187,5 | 426    |        | edge-glued
        Drawer side  | 16  | European oak | 12        | 120   | 350    |        |
        Drawer back  | 8   | European oak | 12        | 94    | 414    |        |
    """,
    "Panels": """
        Panel      | Qty | Species      | Rails     | Groove depth sides | Groove width | Thickness
        Door panel | 2   | European oak | Door rail | 10                 | 6            | 8
    """,
    "Spacing": """
        Run      | Between | Member  | Member width | First at | Members
        Uprights | 1820    | Upright | 20           | 0        |
        Pins     | 760     |         | 5            | 217,5    | 11
    """,
    "Joints": """
        Joint            | Kind           | Into         | On       | Pieces | From        | Thickness | Width | Depth into | Depth from | At                | Across | Lies
        Case             | dowel          | Plate        | face     |        | Upright     | 8         |       | 13         | 27         | Uprights          | 0      | across
        Back board       | stopped groove | Plate        | face     |        |             | 6         | 1800  | 8          |            | 10                | 384    |
        Pins, right      | hardware       | Upright      | face     | 1-2    |             | 5         |       | 8          |            | Pins              | 37     |
        Pins, left       | hardware       | Upright      | back     | 2-3    |             | 5         |       | 8          |            | Pins              | 37     |
        Rear pins, right | hardware       | Upright      | face     | 1-2    |             | 5         |       | 8          |            | Pins              | 317    |
        Rear pins, left  | hardware       | Upright      | back     | 2-3    |             | 5         |       | 8          |            | Pins              | 317    |
        Runners, right   | stopped groove | Upright      | face     | 3-4    | Runner      | 12        | 350   | 5          |            | 194,5; 384; 573,5 | 20     | across
        Runners, left    | stopped groove | Upright      | back     | 4-5    | Runner      | 12        | 350   | 5          |            | 194,5; 384; 573,5 | 20     | across
        Hinges, doors    | hardware       | Door stile   | far edge | 1; 3   |             | 18        | 60    | 2          |            | 80; 616           | 0      |
        Hinges, right    | hardware       | Upright      | face     | 1      |             | 18        | 60    | 2          |            | 82; 618           | 0      |
        Hinges, left     | hardware       | Upright      | back     | 3      |             | 18        | 60    | 2          |            | 82; 618           | 0      |
        Door corners     | tenon          | Door stile   | edge     |        | Door rail   | 7         | 36    |            |            | 12; 708           |        |
        Door, stiles     | stopped groove | Door stile   | edge     |        | Door panel  |           | 656   |            |            | 50                |        |
        Door, rails      | groove         | Door rail    | edge     |        | Door panel  |           |       |            |            |                   |        |
        Drawer corners   | dowel          | Drawer front | back     |        | Drawer side | 6         |       | 12         | 20         | 3; 417            | 15     | across
        Drawer backs     | stopped groove | Drawer side  | face     |        | Drawer back |           | 94    | 6          |            | 326               | 26     | across
        Bottoms, sides   | groove         | Drawer side  | face     |        |             | 6         |       | 6          |            |                   | 20     |
        Bottoms, fronts  | stopped groove | Drawer front | back     |        |             | 6         | 414   | 6          |            | 6                 | 35     |
    """,
}


NEW = ("On", "Pieces", "Across", "Lies")


def rows_of(table: str) -> list[dict[str, str]]:
    head, *rows = ([cell.strip() for cell in line.split("|")] for line in table.splitlines() if line.strip())
    return [{name: text for name, text in zip(head, row, strict=False) if text} for row in rows]


def cells_typed(table: str) -> int:
    return sum(map(len, rows_of(table)))


def cells_one_by_one(found: Answered, table: str) -> int:
    """Cells where a row is one place on one surface of one part, names neither, has a Qty and all its sizes."""
    members = {run.run.run: len(run.centers) for run in found.results.runs}
    typed = 0
    for row, answer in zip(rows_of(table), found.results.joints, strict=True):
        at = row.get("At", "")
        several = (
            (members.get(at) or len(at.split(";"))) * len(row["Into"].split(";")) * len(row["On"].split(";"))
        )
        sizes = len(answer.joint.told_by)  # which another tab tells today
        typed += several * (1 + sizes + sum(name not in NEW for name in row))
    return typed


def places(found: Answered, name: str, part: str, surface: str) -> list[tuple[float, float]]:
    scale = MM if found.results.job.sheet.unit == "mm" else 1
    (answer,) = (each for each in found.results.joints if each.joint.joint == name)
    return [
        (round(near * scale, 6), round(far * scale, 6))
        for near, far in (
            cavity.along
            for cavity in answer.cavities
            if (cavity.part.part, cavity.surface) == (part, surface)
        )
    ]


def test_a_frame_with_uprights_and_panels_between_front_and_back_legs() -> None:
    found = answered(FRAME)
    assert found.codes == []
    # three uprights of 2 1/2 in 72: gaps of 16 1/8; 1 1/2 in the middle of each
    run, slats = found.results.runs
    assert run.gap == 16.125
    assert [near for near, _ in run.sides] == [16.125, 34.75, 53.375]
    for rail in ("Long rail, top", "Long rail, low"):
        assert places(found, "Upright to rails", rail, "edge") == [
            (16.625, 18.125),
            (35.25, 36.75),
            (53.875, 55.375),
        ]
    grooves = next(each for each in found.results.joints if each.joint.joint == "Groove, rails")
    for cavity in grooves.cavities:  # 1/8 clear of every mortise
        assert [(run.start, run.stop) for run in cavity.runs] == [
            (0, 16.5), (18.25, 35.125), (36.875, 53.75), (55.5, 72),
        ]  # fmt: skip
    legs = next(each for each in found.results.joints if each.joint.joint == "Groove, legs")
    assert [(run.start, run.stop) for run in legs.cavities[0].runs] == [(6.625, 19.375)]
    assert (
        places(found, "Hooks", "Side rail", "end")
        == [(1, 5)]
        == places(found, "Hooks", "Side rail", "far end")
    )
    # fifteen slats of 3 in 80: gaps of 2 3/16, a notch as wide as the slat at each
    assert slats.gap == 2.1875
    assert places(found, "Slat notches", "Slat strip", "edge") == [
        (2.1875 + 5.1875 * place, 5.1875 + 5.1875 * place) for place in range(15)
    ]
    # the rails leave 12 between 7 and 19 of the legs, the uprights 16 1/8
    (field,) = found.results.panels
    assert (field.panel.opening_width, field.panel.opening_height) == (16.125, 12)
    assert {answer.joint.joint: answer.qty for answer in found.results.joints} == {
        "Top rail to leg": 4, "Low rail to leg": 4, "Upright to rails": 12, "Groove, rails": 4, "Groove, uprights": 12,
        "Groove, legs": 4, "Hooks": 4, "Slat notches": 30, "Plates, one hand": 2, "Plates, other": 2,
    }  # fmt: skip
    names = [name for stick in found.results.sticks for name in stick.names]
    assert "Leg (4), face" in names
    assert "Leg, pieces 1 and 4, edge" in names
    assert "Leg, pieces 2 and 3, far edge" in names
    assert "Side rail (2), end" in names


def boxes(found: Answered, name: str) -> list[tuple[tuple[float, float], ...]]:
    """Along, across and through its part each, in mm."""
    (answer,) = (each for each in found.results.joints if each.joint.joint == name)
    return [
        tuple((round(near * MM, 4), round(far * MM, 4)) for near, far in cavity.box)
        for cavity in answer.cavities
    ]


def test_the_uprights_of_a_case_stand_between_its_plates() -> None:
    """Five of 20 in 1820, the first and last flush: gaps of 1720 / 4 = 430; they begin at 0, 450, 900, 1350, 1800."""
    found = answered(CASE)
    assert found.codes == []
    uprights, pins = found.results.runs
    assert [round(near * MM, 6) for near, _ in uprights.sides] == [0, 450, 900, 1350, 1800]
    # holes of 8 in the middle of each; 380 from the front edge of 400, so the outer dowels, two diameters in, at 16 and 364
    assert sorted(set(places(found, "Case", "Plate", "face"))) == [
        (6, 14), (456, 464), (906, 914), (1356, 1364), (1806, 1814),
    ]  # fmt: skip
    across = sorted({sum(box[1]) / 2 for box in boxes(found, "Case")})
    assert (across[0], across[-1], len(across)) == (16, 364, 6)
    # the board behind them: from 4 behind their rear edge, 10 from either end of the plate
    assert boxes(found, "Back board") == [((10, 1810), (384, 390), (0, 8))]
    # eleven holes of 5, the outer ones 217.5 from the ends of 760: (760 - 435 - 55) / 10 = 27 between, 32 from one to the next
    assert pins.gap is not None
    assert pins.gap * MM == pytest.approx(27)
    rows = [(217.5 + 32 * hole, 222.5 + 32 * hole) for hole in range(11)]
    for name, side, pieces, near in (
        ("Pins, right", "face", (1, 2), 37),
        ("Pins, left", "back", (2, 3), 37),
        ("Rear pins, right", "face", (1, 2), 317),
        ("Rear pins, left", "back", (2, 3), 317),
    ):
        assert places(found, name, "Upright", side) == rows
        (answer,) = (each for each in found.results.joints if each.joint.joint == name)
        assert {cavity.pieces for cavity in answer.cavities} == {pieces}
        deep = (0, 8) if side == "face" else (12, 20)
        assert {box[1:] for box in boxes(found, name)} == {((near, near + 5), deep)}


def test_doors_hang_in_the_case_and_drawers_run_in_it() -> None:
    """Bays of 430 x 760. Doors, 2 clear all around: 426 x 756, so rails of 426 - 120 = 306 between stiles of 60.

    Four fronts with 2 around each: (760 - 10) / 4 = 187.5, one every 189.5; a side stands 15 above the bottom of its
    front, on a runner of 12: the runners begin 3 above the bottoms, at 2 + 189.5 + 3 and so on; the lowest needs none.
    """
    found = answered(CASE)
    assert places(found, "Hinges, doors", "Door stile", "far edge") == [(80, 140), (616, 676)]
    for name, side in (("Hinges, right", "face"), ("Hinges, left", "back")):
        assert places(found, name, "Upright", side) == [(82, 142), (618, 678)]  # the door stands 2 up
    # a rail of 60 at each end of 756: a tenon of 36 from 12 on, and 12 from the other end; 25 of tenon, 1.5 of glue
    assert boxes(found, "Door corners") == [
        ((12, 48), (0, 26.5), (7.5, 14.5)),
        ((708, 744), (0, 26.5), (7.5, 14.5)),
    ]
    # 6 wide and 10 deep as on Panels, from 50 to 706, 10 into the rails; it stays 2 clear of the mortises
    stiles = next(each for each in found.results.joints if each.joint.joint == "Door, stiles")
    assert [(round(run.start * MM, 6), round(run.stop * MM, 6)) for run in stiles.cavities[0].runs] == [
        (50, 706)
    ]
    assert boxes(found, "Door, stiles") == [((50, 706), (0, 10), (8, 14))]
    (panel,) = found.results.panels
    width, height = panel.panel.opening_width, panel.panel.opening_height
    assert width is not None
    assert height is not None
    assert (width * MM, height * MM) == pytest.approx((306, 636))  # 756 - 2 x 60
    for name, deep in (("Runners, right", (0, 5)), ("Runners, left", (15, 20))):
        assert boxes(found, name) == [((begin, begin + 12), (20, 370), deep) for begin in (194.5, 384, 573.5)]
    # sides of 12 at the ends of 426, their dowels 12, 60 and 108 up a side that stands 15 up the front
    assert sorted(boxes(found, "Drawer corners")) == [
        ((begin, begin + 6), (up - 3, up + 3), (8, 20)) for begin in (3, 417) for up in (27, 75, 123)
    ]
    # the back stands on the bottom's groove, 12 of it: 402 between the sides and 6 in each make its 414
    assert boxes(found, "Drawer backs") == [((326, 338), (26, 120), (0, 6))]
    assert boxes(found, "Bottoms, sides") == [((0, 350), (20, 26), (0, 6))]
    assert boxes(found, "Bottoms, fronts") == [((6, 420), (35, 41), (14, 20))]
    assert {answer.joint.joint: answer.qty for answer in found.results.joints} == {
        "Case": 10, "Back board": 2, "Pins, right": 22, "Pins, left": 22, "Rear pins, right": 22, "Rear pins, left": 22,
        "Runners, right": 6, "Runners, left": 6, "Hinges, doors": 4, "Hinges, right": 2, "Hinges, left": 2, "Door corners": 8,
        "Door, stiles": 4, "Door, rails": 4, "Drawer corners": 16, "Drawer backs": 16, "Bottoms, sides": 16, "Bottoms, fronts": 8,
    }  # fmt: skip


def test_a_case_is_drawn_lying_as_its_outside_size_tells() -> None:
    """1820 x 800: plates of 20 below and above, uprights of 20 with (1820 - 5 x 20) / 4 = 430 between them."""
    case, door, *_ = answered(CASE).results.elevations
    assert (case.lies, case.reference) == (True, "left")
    assert (round(case.width * MM, 6), round(case.height * MM, 6)) == (1820, 800)
    drawn = [
        (piece.what, piece.name, *(round(size * MM, 6) for size in (piece.left, piece.bottom, piece.width, piece.height)))
        for piece in case.pieces
        if piece.name
    ]  # fmt: skip
    assert sorted(drawn) == [
        *[("rail", "Plate", 0, at, 1820, 20) for at in (0, 780)],
        *[("upright", "Upright", at, 20, 20, 760) for at in (0, 450, 900, 1350, 1800)],
    ]
    assert [round(piece.left * MM, 6) for piece in case.pieces if not piece.name] == [20, 470, 920, 1370]
    assert not door.lies  # it fits as it is drawn
    ((untold, *_),) = [answered({**CASE, "Job": METRIC}).results.elevations]
    assert not untold.lies


@pytest.mark.parametrize("job", [FRAME, CASE], ids=["frame", "case"])
def test_every_thing_of_a_whole_job_lies_within_its_part(job: dict[str, str]) -> None:
    for answer in answered(job).results.joints:
        for cavity in answer.cavities:
            size = (cavity.part.length, cavity.part.width, cavity.part.thickness)
            for (near, far), whole in zip(cavity.box, size, strict=True):
                assert -1e-9 <= near < far <= whole + 1e-9


@pytest.mark.parametrize("job", [FRAME, CASE], ids=["frame", "case"])
def test_what_was_typed_place_by_place_is_typed_once(job: dict[str, str]) -> None:
    """At most a third: the more members a run has, the more it saves; and few places are computed by hand any more."""
    typed = cells_typed(job["Joints"]) + cells_typed(job["Spacing"])
    assert typed / cells_one_by_one(answered(job), job["Joints"]) <= 1 / 3

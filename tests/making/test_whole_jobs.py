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
        Top rail to leg   | tenon          | Leg                            | face           |        | Long rail, top | 1/2       | 3      | 1 5/16     | 3
        Low rail to leg   | tenon          | Leg                            | face           |        | Long rail, low | 1/2       | 3      | 1 5/16     | 20
        Upright to rails  | tenon          | Long rail, top; Long rail, low | edge           |        | Upright        | 1/4       | 1 1/2  | 13/16      | Uprights
        Groove, rails     | stopped groove | Long rail, top; Long rail, low | edge           |        | Field          | 1/4       |        | 3/8        | 0
        Groove, uprights  | groove         | Upright                        | edge; far edge |        | Field          | 1/4       |        | 3/8        |
        Groove, legs      | stopped groove | Leg                            | face           |        | Field          | 1/4       | 12 3/4 | 3/8        | 6 5/8
        Hooks             | hardware       | Side rail                      | end; far end   |        |                | 5/8       | 4      | 1/2        |
        Plates, one hand  | hardware       | Leg                            | edge           | 1; 4   |                | 5/8       | 4      | 1/2        | 10
        Plates, other     | hardware       | Leg                            | far edge       | 2; 3   |                | 5/8       | 4      | 1/2        | 10
        Slat notches      | groove         | Slat strip                     | edge           |        | Slat           | 3         |        | 1/2        | Slats    | across
    """,
}
CASE = {
    "Job": METRIC,
    "Parts": """
        Part        | Qty | Species      | Thickness | Width | Length | Tenons
        Side        | 2   | European oak | 18        | 400   | 800    |
        Plate       | 2   | European oak | 18        | 400   | 1164   |
        Partition   | 2   | European oak | 18        | 380   | 764    |
        Door stile  | 4   | European oak | 20        | 60    | 700    |
        Door rail   | 4   | European oak | 20        | 60    | 260    | 25
        Drawer side | 4   | European oak | 12        | 120   | 350    |
    """,
    "Spacing": """
        Run        | Between | Members | Member width
        Partitions | 1164    | 2       | 18
    """,
    "Joints": """
        Joint         | Kind           | Into        | On       | Pieces | From      | Thickness | Width | Depth into | Depth from | At         | Across | Lies
        Corners       | dowel          | Side        | face     |        | Plate     | 8         | 400   | 12         | 28         | 5; 787     |        | across
        Partitions    | dowel          | Plate       | face     |        | Partition | 8         | 380   | 12         | 28         | Partitions |        | across
        Shelf dado    | groove         | Side        | face     |        |           | 18        |       | 6          |            | 300        |        | across
        Hinges        | hardware       | Door stile  | far edge | 1; 3   |           | 12        | 60    | 2          |            | 80; 560    |        |
        Door corners  | tenon          | Door stile  | edge     |        | Door rail | 6         | 32    | 26,5       |            | 14; 654    |        |
        Door, stiles  | stopped groove | Door stile  | edge     |        |           | 6         | 600   | 10         |            | 50         |        |
        Door, rails   | groove         | Door rail   | edge     |        |           | 6         |       | 10         |            |            |        |
        Drawer bottom | groove         | Drawer side | back     |        |           | 6         |       | 6          |            |            | 12     |
    """,
}


NEW = ("On", "Pieces", "Across", "Lies")


def rows_of(table: str) -> list[dict[str, str]]:
    head, *rows = ([cell.strip() for cell in line.split("|")] for line in table.splitlines() if line.strip())
    return [{name: text for name, text in zip(head, row, strict=False) if text} for row in rows]


def cells_typed(table: str) -> int:
    return sum(map(len, rows_of(table)))


def cells_one_by_one(found: Answered, table: str) -> int:
    """Cells where a row is one place on one surface of one part, with a Qty, and names neither surface nor pieces."""
    members = {run.run.run: len(run.centers) for run in found.results.runs}
    typed = 0
    for row in rows_of(table):
        at = row.get("At", "")
        several = (
            (members.get(at) or len(at.split(";"))) * len(row["Into"].split(";")) * len(row["On"].split(";"))
        )
        typed += several * (1 + sum(name not in NEW for name in row))
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
    assert [code for code in found.codes if code != "tenon-too-short"] == []
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


def test_a_case_with_doors_on_hinges_and_partitions_across() -> None:
    found = answered(CASE)
    assert [
        code for code in found.codes if code not in ("tenon-too-short", "dowel-thick", "mortise-deep")
    ] == []
    # two partitions of 18 in 1164: gaps of 376, they begin at 376 and 770; holes of 8 in the middle of each
    holes = places(found, "Partitions", "Plate", "face")
    assert sorted(set(holes)) == [(381, 389), (775, 783)]
    corners = places(found, "Corners", "Side", "face")
    assert sorted(set(corners)) == [(5, 13), (787, 795)]
    (first, *_) = (answer for answer in found.results.joints if answer.joint.joint == "Partitions")
    across = sorted({round(sum(cavity.across) / 2 * MM, 4) for cavity in first.cavities})
    # 380 in the middle of 400: from 10 to 390, the outer dowels two diameters in, no further apart than 3 in
    assert (across[0], across[-1]) == (26, 374)
    assert len(across) == 6
    assert places(found, "Shelf dado", "Side", "face") == [(300, 318)]
    assert places(found, "Hinges", "Door stile", "far edge") == [(80, 140), (560, 620)]
    stiles = next(each for each in found.results.joints if each.joint.joint == "Door, stiles")
    # the hinges are on the other edge, the mortises stay clear: nothing stops the groove
    assert [(round(run.start * MM, 6), round(run.stop * MM, 6)) for run in stiles.cavities[0].runs] == [
        (50, 650)
    ]
    bottom = next(each for each in found.results.joints if each.joint.joint == "Drawer bottom")
    assert [tuple(round(size * MM, 6) for size in span) for span in bottom.cavities[0].box] == [
        (0, 350), (12, 18), (6, 12),
    ]  # fmt: skip
    assert {answer.joint.joint: answer.qty for answer in found.results.joints} == {
        "Corners": 4, "Partitions": 4, "Shelf dado": 2, "Hinges": 4, "Door corners": 8, "Door, stiles": 4, "Door, rails": 4,
        "Drawer bottom": 4,
    }  # fmt: skip


@pytest.mark.parametrize("job", [FRAME, CASE], ids=["frame", "case"])
def test_every_thing_of_a_whole_job_lies_within_its_part(job: dict[str, str]) -> None:
    for answer in answered(job).results.joints:
        for cavity in answer.cavities:
            size = (cavity.part.length, cavity.part.width, cavity.part.thickness)
            for (near, far), whole in zip(cavity.box, size, strict=True):
                assert -1e-9 <= near < far <= whole + 1e-9


@pytest.mark.parametrize(("job", "share"), [(FRAME, 0.36), (CASE, 0.73)], ids=["frame", "case"])
def test_what_was_typed_place_by_place_is_typed_once(job: dict[str, str], share: float) -> None:
    """The more members a run has, the more it saves; and no place is computed by hand any more."""
    typed = cells_typed(job["Joints"]) + cells_typed(job["Spacing"])
    assert typed / cells_one_by_one(answered(job), job["Joints"]) < share

"""Regulated pieces: which rule is named, by name and by size, and what is advised. Rules: tables/regulated.csv."""

from __future__ import annotations

import pytest

from sheetkit.plan.regulated import kinds_named, rules_of
from sheetkit.tables import rows
from sheetkit.tabs.shop_sheet import shop_sheet_page
from sheetkit.tabs.summary import summary_page
from tests.making.making_jobs import Answered, answered

DRAWERS = """
    Part         | Qty | Species   | Thickness | Width | Length
    Side         | 2   | White oak | 3/4       | 18    | {high}
    Top          | 1   | White oak | 3/4       | 18    | 36
    Drawer side  | 8   | White oak | 1/2       | {deep} | 17
    Drawer front | 4   | White oak | 3/4       | 6     | 34
"""


def job(name: str, *lines: str) -> str:
    return "\n".join((f"Job | {name}", "Units | inch", *lines))


def of(name: str, parts: str = "", *lines: str) -> Answered:
    tables = {"Job": job(name, *lines)}
    return answered({**tables, "Parts": parts} if parts else tables)


def codes(found: Answered) -> list[str]:
    return [each.code for each in found.results.notices]


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Tall chest", "clothing storage"), ("Oak bureau", "clothing storage"), ("Highboy in cherry", "clothing storage"),
        ("Dressers, pair", "clothing storage"), ("Zwei Kommoden", "clothing storage"), ("Nightstand", "clothing storage"),
        ("Bedside cabinet", "clothing storage"), ("Kommode", "clothing storage"),
        ("Kleiderschrank, Eiche", "clothing storage"), ("Bookcase", "tall furniture"), ("Bücherregal", "tall furniture"),
        ("Crib", "bed for an infant"), ("Co-sleeper", "bed for an infant"), ("Bedside sleeper", "bed for an infant"),
        ("Gitterbett", "bed for an infant"), ("House bed", "bed for a child"), ("Bed rail", "bed rail"),
        ("Cabin bed", "high bed"), ("Hochbett", "high bed"), ("Changing table", "changing table"),
        ("Wickelkommode", "changing table"), ("Child's chair", "seat for a child"), ("Child’s stool", "seat for a child"),
        ("High chair", "high chair"), ("Hochstuhl", "high chair"), ("Step stool", "step stool or ladder"),
        ("Library ladder", "step stool or ladder"), ("Tritthocker", "step stool or ladder"), ("Toy chest", "toy"),
        ("Spielzeugtruhe", "toy"), ("Doll's cradle", "toy"), ("Baby gate", "gate for a child"),
        ("Loft floor", "part of a building"), ("Stairs to the attic", "part of a building"), ("Treppe", "part of a building"),
        ("Porch swing", "swing"), ("Schaukel", "swing"),
    ],
)  # fmt: skip
def test_a_piece_is_told_by_its_name_in_english_and_german(name: str, kind: str) -> None:
    assert kinds_named(name) == (kind,)
    found = of(name).results.notices[0]
    assert kind in found.says
    assert rules_of(kind) in found.says
    assert found.weight == "warning"


@pytest.mark.parametrize(
    "name",
    [
        "Scribed shelf", "Apricot box", "Cottage table", "Floor lamp", "Balcony table", "Deck bench", "Porch chair", "Cabinet floor",
        "Stool", "Bench", "Bed", "Desk", "Chestnut table", "Chester's table", "Handrailing", "Truhe",
    ],
)  # fmt: skip
def test_a_name_that_only_holds_such_a_word_is_none(name: str) -> None:
    assert set(kinds_named(name)) <= {"tall furniture"}
    assert name == "Cabinet floor" or kinds_named(name) == ()


def test_every_kind_has_its_rules_by_place_and_all_others_are_told_to_ask() -> None:
    kinds = {row["kind"] for row in rows("regulated_words")} - {"none of these"}
    assert {row["kind"] for row in rows("regulated")} == kinds
    for kind in kinds:
        assert rules_of(kind).endswith("elsewhere: ask what holds there")
        assert any(row["words_de"] for row in rows("regulated_words") if row["kind"] == kind)
    words = [word for row in rows("regulated_words") for word in row["words"].split(";")]
    assert len(words) == len(set(words))


def test_storage_for_clothes_is_told_by_height_weight_and_room_whatever_it_is_called() -> None:
    """16 CFR 1261 (ASTM F2057-23): from 27 in, 30 lb and 3.2 ft3; a drawer's room is (height - 1/8) x width x depth.

    By hand: 4 drawers of (6 1/8 - 1/8) x 34 x 17 = 13,872 in3 = 8.03 ft3; of (1 1/8 - 1/8) 2,312 in3 = 1.34 ft3.
    """
    found = of("Grandmother's piece", DRAWERS.format(high="40", deep="6 1/8"))
    assert codes(found) == ["regulated-by-size", "can-tip"]
    says = found.results.notices[0].says
    assert "clothing storage" in says
    assert "40 high" in says
    assert "about 8.0 ft3" in says
    assert "16 CFR 1261" in says
    assert "EN 14749" in says
    assert codes(of("Grandmother's piece", DRAWERS.format(high="26 15/16", deep="6 1/8"))) == []
    assert codes(of("Grandmother's piece", DRAWERS.format(high="40", deep="1 1/8"))) == []
    light = DRAWERS.format(high="27", deep="6 1/8").replace("3/4 ", "1/8").replace("1/2 ", "1/16")
    assert codes(of("Grandmother's piece", light)) == []


def test_room_behind_doors_counts_half() -> None:
    """By hand: 2 doors of 17 x 40 before a case 18 deep: 24,480 in3, half is 7.08 ft3."""
    parts = """
        Part | Qty | Species   | Thickness | Width | Length
        Side | 2   | White oak | 3/4       | 18    | 44
        Door | 2   | White oak | 3/4       | 17    | 40
    """
    assert "about 7.1 ft3" in of("Larder", parts).results.notices[0].says


def test_what_is_low_is_not_told_by_its_name_unless_it_carries_a_television() -> None:
    low = "Part | Species | Thickness | Width | Length\nSide | White oak | 3/4 | 16 | 20"
    assert codes(of("Nightstand", low)) == []
    assert codes(of("Nightstand", low.replace("| 20", "| 27"))) == ["regulated", "can-tip"]
    assert codes(of("TV stand", low)) == ["regulated", "can-tip"]
    assert codes(of("Crib", low)) == ["regulated"]


def test_a_mattress_high_above_the_floor_makes_a_high_bed() -> None:
    """EN 747-1: from 600 mm; the height is that of the support: 32 - 6 - 3/4 = 25 1/4 in, 641 mm."""
    lines = ["Fits | US twin", "Own thickness | 6", "Support thickness | 3/4"]
    found = of("Guest bed", "", *lines, "Top height | 32")
    assert codes(found) == ["regulated-by-size"]
    assert "its mattress lies 25 1/4 above the floor" in found.results.notices[0].says
    assert codes(of("Guest bed", "", *lines, "Top height | 30")) == []  # 23 1/4 in, 591 mm


def test_a_tall_bookcase_is_to_be_anchored_and_its_shelves_are_worked_out_all_the_same() -> None:
    loads = """
        Member | Species   | Thickness | Width | Span | Load
        Shelf  | White oak | 3/4       | 11    | 30   | 60
    """
    found = answered({"Job": job("Bookcase"), "Loads": loads})
    assert codes(found) == ["regulated", "can-tip"]
    assert "Anchor it to the wall" in found.results.notices[1].instead
    assert len(found.results.loads) == 1
    assert "Local codes and licensed practice" in found.remarks("Loads")[0]


@pytest.mark.parametrize("name", ["Loft floor", "Porch swing", "Bunk bed", "Library ladder", "Treppe"])
def test_what_carries_a_building_or_people_is_left_to_someone_licensed(name: str) -> None:
    loads = "Member | Species | Thickness | Width | Span | Load\nTread | White oak | 1 | 11 | 30 | 60"
    found = answered({"Job": job(name), "Loads": loads})
    assert found.results.loads == ()
    assert "Local codes and licensed practice" in found.remarks("Loads")[0]
    told = found.results.notices[0]
    assert (told.code == "not-furniture") == (name in ("Loft floor", "Porch swing", "Treppe"))
    assert "licensed" in told.instead


def test_summary_and_shop_sheet_name_the_rule_and_defer_to_local_codes() -> None:
    results = of("Tall chest").results
    for page in (summary_page(results, ""), shop_sheet_page(results, "")):
        text = "\n".join(str(cell.value) for cell in page.cells.values())
        assert text.count("16 CFR 1261 (ASTM F2057-23)") == 1
        assert "Local codes and licensed practice come first" in text
        assert "Anchor it to the wall" in text
    plain = summary_page(of("Bench").results, "")
    text = "\n".join(str(cell.value) for cell in plain.cells.values())
    assert "Local codes and licensed practice" in text
    assert "Rules to look up" not in text


def test_a_piece_named_in_full_is_not_named_twice() -> None:
    found = of("Bookcase", "", "Piece | Tall bookcase for the hall")
    assert found.results.notices[0].says.startswith("Tall bookcase for the hall sounds")
    both = of("Hall", "", "Piece | Bookcase")
    assert both.results.notices[0].says.startswith("Hall, Bookcase sounds")

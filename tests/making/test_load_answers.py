"""Loads: the worked shelf, the sag allowed against the first sag, and what would pass."""

from __future__ import annotations

import pytest

from sheetkit.intake.workbook import take_in
from tests.jobs import pages
from tests.making.making_jobs import METRIC, Answered, answered

SHELF = """
    Member | Species | Thickness | Width  | Span | Load | Held as   | Shared by
    Shelf  | Red oak | {}        | 11 1/4 | {}   | 60   | {}         | {}
"""


def shelf(
    thickness: object = "3/4", span: object = 36, bears: str = "resting, spread", shared: int = 1
) -> Answered:
    return answered({"Loads": SHELF.format(thickness, span, bears, shared)})


def test_a_red_oak_shelf_sags_as_worked_by_hand() -> None:
    """5 x 60 x 36^3 / (384 x 1.82e6 x 0.3955) = 0.0506 in; E, MOR: Wood Handbook Table 5-3b (read in a copy)."""
    found = shelf()
    answer = found.results.loads[0]
    assert answer.sag == pytest.approx(0.0506, abs=0.00005)
    assert answer.sag_later == pytest.approx(2 * 0.0506, abs=0.0001)  # creep factor 2
    # the column beside Sag allowed holds what is to be compared with it: both when new
    assert found.column("Loads", "sag") == pytest.approx([0.0506], abs=0.00005)
    assert found.column("Loads", "sag_allowed") == pytest.approx([0.06])  # 0.02 in a foot
    assert found.column("Loads", "stress") == pytest.approx([256 / 14300])
    assert answer.passes  # the allowed sag is set for the first sag
    assert found.codes == []


def test_the_remarks_state_both_sags_and_that_it_is_advice() -> None:
    remark = shelf().remarks("Loads")[0]
    assert "sags 0.051 in when new, within the 0.060 in allowed when new." in remark
    assert "After some years about 0.101 in (creep factor 2): Sag allowed is for the sag when new" in remark
    assert "when new, over the 0.080 in allowed when new" in shelf(span=48).remarks("Loads")[0]
    assert "no certificate" in remark
    assert "Would still pass 23/32 thick" in remark


def test_a_shelf_that_sags_too_much_says_what_would_pass() -> None:
    found = shelf(span=48)
    assert found.codes == ["load-sags"]
    assert not found.results.loads[0].passes
    assert "Make it at least" in found.problems[0].instead
    assert "more members" in found.problems[0].instead


@pytest.mark.parametrize("bears", ["resting, spread", "resting, center", "fixed, spread", "cantilever, end"])
def test_the_thickness_and_span_offered_just_pass_when_written_in(bears: str) -> None:
    answer = shelf(span=40, bears=bears).results.loads[0]
    for thickness, span in ((answer.least_thickness, 40), (0.75, answer.longest_span)):
        better = shelf(f"{thickness + 1e-6:.9f}", f"{span - 1e-6:.9f}", bears)
        assert better.results.loads[0].passes
        worse = shelf(f"{thickness - 1e-4:.9f}", f"{span + 1e-4:.9f}", bears)
        assert not worse.results.loads[0].passes


def test_members_that_share_bear_their_part() -> None:
    assert shelf(shared=3).results.loads[0].sag == pytest.approx(shelf().results.loads[0].sag / 3)


def test_a_metric_load_is_in_kilograms() -> None:
    """27.2155422 kg are 60 lb, 914.4 mm 36 in (NIST Special Publication 811, Appendix B)."""
    found = answered({"Job": METRIC, "Loads": """
        Member | Species | Thickness | Width  | Span  | Load
        Shelf  | Red oak | 19.05     | 285.75 | 914.4 | 27.2155422
    """})  # fmt: skip
    assert found.column("Loads", "sag") == pytest.approx([0.0506 * 25.4], abs=0.0015)
    assert found.results.loads[0].pounds == pytest.approx(60)
    assert "27 kg" in found.remarks("Loads")[0]


def test_nothing_is_worked_out_for_a_regulated_piece() -> None:
    found = answered({"Loads": """
        Member    | Species | Thickness | Width | Span | Load
        Bunk slat | Red oak | 3/4       | 3     | 36   | 200
    """})  # fmt: skip
    assert found.codes == ["load-regulated"]
    assert found.results.loads == ()
    assert "qualified" in found.remarks("Loads")[0]
    assert found.column("Loads", "sag") == [None]


def test_a_species_without_strength_is_told_and_not_guessed() -> None:
    from sheetkit.tables import all_species

    unknown = next(species for species in all_species() if species.elasticity_psi is None)
    found = answered({"Loads": f"""
        Member | Species        | Thickness | Width | Span | Load
        Shelf  | {unknown.name} | 3/4       | 3     | 36   | 20
    """})  # fmt: skip
    assert found.codes == ["no-strength"]


def test_settings_that_no_beam_can_keep_are_problems() -> None:
    loads = SHELF.format("3/4", 36, "resting, spread", 1)
    assert answered({"Loads": loads, "Allowances": "Sag allowed | 0"}).codes == ["sag-allowed-zero"]
    below = answered({"Loads": loads, "Allowances": "Creep factor | 0.5"})
    assert below.codes == ["creep-below-one"]
    assert below.results.loads[0].sag_later == below.results.loads[0].sag


PARTS = """
    Part  | Qty | Species | Thickness | Width  | Length
    Shelf | 2   | Red oak | 3/4       | 11 1/4 | 36
"""


def test_a_member_that_is_a_part_needs_its_load_alone() -> None:
    """The sizes of the shelf worked above, known from Parts: 0.0506 in."""
    found = answered({"Parts": PARTS, "Loads": "Member | Load\nshelf | 60"})
    assert found.codes == []
    assert found.column("Loads", "sag") == pytest.approx([0.0506], abs=0.00005)
    said = "As on Parts: Northern red oak, 3/4 thick in the direction of the load, 11 1/4 wide, 36 between supports"
    assert said in found.remarks("Loads")[0]


def test_what_is_typed_is_used_before_what_stands_on_parts() -> None:
    """A shelf on edge, 3/4 wide and 11 1/4 high: (3/4 / 11 1/4)^2 of the sag."""
    found = answered(
        {"Parts": PARTS, "Loads": "Member | Thickness | Width | Load\nShelf | 11 1/4 | 3/4 | 60"}
    )
    assert found.results.loads[0].sag == pytest.approx(shelf().results.loads[0].sag * (0.75 / 11.25) ** 2)
    assert "As on Parts: Northern red oak, 36 between supports" in found.remarks("Loads")[0]


@pytest.mark.parametrize("typed", ["11 1/4 |", "| 3/4"])
def test_the_one_size_of_a_member_on_edge_leaves_the_other_of_the_part(typed: str) -> None:
    """Not a beam of 11 1/4 x 11 1/4, nor one of 3/4 x 3/4."""
    found = answered({"Parts": PARTS, "Loads": f"Member | Thickness | Width | Load\nShelf | {typed} | 60"})
    assert found.results.loads[0].sag == pytest.approx(shelf().results.loads[0].sag * (0.75 / 11.25) ** 2)


def test_a_member_of_parts_that_sags_may_stand_on_edge() -> None:
    on_edge = "Write 11 1/4 in Thickness if it stands on edge"
    lying = answered({"Parts": PARTS, "Loads": "Member | Load\nShelf | 600"})
    assert on_edge in lying.remarks("Loads")[0]
    typed = answered({"Parts": PARTS, "Loads": "Member | Thickness | Load\nShelf | 3/4 | 600"})
    assert "load-sags" in typed.codes
    assert on_edge not in typed.remarks("Loads")[0]


@pytest.mark.parametrize(("shared", "codes"), [(2, []), (3, ["load-shared"])])
def test_more_members_than_parts_hold_are_told(shared: int, codes: list[str]) -> None:
    found = answered({"Parts": PARTS, "Loads": f"Member | Load | Shared by\nShelf | 60 | {shared}"})
    assert found.codes == codes


def test_a_member_that_is_no_part_says_what_is_missing() -> None:
    two = f"{PARTS}    Shelf | 1 | Red oak | 1 | 11 1/4 | 36"
    for parts, lacking in ((PARTS, 4), (two, 1)):
        name = "Board" if lacking == 4 else "Shelf"
        head = "Member | Species | Thickness | Width | Span | Load"
        intake = take_in(pages({"Parts": parts, "Loads": f"{head}\n{name} | | | | | 60"}))
        assert [each.code for each in intake.problems] == ["empty"] * lacking
        assert "Thickness is not filled in." in [each.says for each in intake.problems]
        without = take_in(pages({"Parts": parts, "Loads": f"Member | Load\n{name} | 60\n{name} | 50"}))
        assert [each.code for each in without.problems] == ["column-missing"] * lacking
    wrong = take_in(pages({"Parts": PARTS.replace("3/4", "thick"), "Loads": "Member | Load\nShelf | 60"}))
    assert [each.tab for each in wrong.problems] == ["Parts"]

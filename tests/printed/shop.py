"""Printed values for lumber, rough sizes, beams, weight and layout."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from sheetkit.calc.beams import Bearing, deflection, sag_allowed, second_moment
from sheetkit.calc.lumber import (
    board_feet,
    kiln_dried_thickness,
    surface_measures,
    surfaced_thickness,
    tally_board_feet,
    to_buy,
)
from sheetkit.calc.rough import gangs, leaves_from, ply_thickness
from sheetkit.calc.shapes import arc_offsets, arc_radius
from sheetkit.calc.spacing import Spacing, equal_spacing
from sheetkit.calc.weight import density_lb_ft3, specific_gravity, weight_lb
from sheetkit.tables import rows
from tests.printed.check import NEW_HANDBOOK, NONE, RULES, Check, Kind, at, check, first, known


def lumber_checks() -> Iterator[Check]:
    p, guide = "lumber", "a published guide to the board foot"
    worked = "E. Wengert on the NHLA rule"
    yield check(p, "B1 1 x 9 x 96 in [bf]", guide, "6", Kind.PRINTED, board_feet, 1, 9, 96)
    yield check(p, "B2 1-1/2 x 9 x 96 in [bf]", guide, "9", Kind.PRINTED, board_feet, 1.5, 9, 96)
    yield check(
        p, "B3 3/4 x 9 x 96 in counts as 1 in [bf]", guide, "6", Kind.PRINTED, board_feet, 0.75, 9, 96
    )
    for place, printed in enumerate(("5", "4", "5", "4")):
        yield check(
            p,
            f"B4 surface measure 4.5, board {place + 1} [ft2]",
            worked,
            printed,
            Kind.RULE,
            surface_measures,
            [(6.75, 96)] * 4,
            take=at(place),
        )
    source = f"{RULES} (2023), Standard Kiln Dried Rule, p. 56"
    for stock, nominal, printed in (
        ("4/4", 1, "0.9375"),
        ("5/4", 1.25, "1.1875"),
        ("6/4", 1.5, "1.4375"),
        ("8/4", 2, "1.875"),
    ):
        yield check(
            p,
            f"B5 kiln-dried {stock} may measure [in]",
            source,
            printed,
            Kind.PRINTED,
            kiln_dried_thickness,
            nominal,
        )
    yield check(
        p,
        "B5 kiln-dried 5/4 may measure [mm]",
        source,
        "30.16",
        Kind.PRINTED,
        kiln_dried_thickness,
        1.25,
        take=lambda inches: inches * 25.4,
    )
    retail = "retail practice, in print: width, thickness and length truncated"
    yield check(
        p,
        "B6 2-1/8 x 7-3/4 in x 8 ft 3 in, truncated: 2 x 7 x 8/12 [bf]",
        retail,
        "9.3",
        Kind.PRINTED,
        board_feet,
        2,
        7,
        96,
    )
    yield check(p, "B6 its surface [ft2]", retail, "4.67", Kind.PRINTED, board_feet, 1, 7, 96)
    yield check(
        p, "B6 its surface measure [ft2]", retail, "5", Kind.PRINTED, surface_measures, [(7, 96)], take=first
    )
    yield check(p, "B6 the NHLA way: 7.75 x 8/12 [ft2]", RULES, "5.17", Kind.WORKED, board_feet, 1, 7.75, 96)
    yield check(
        p,
        "B6 surface measure, 8 ft 3 in counts as 8 ft [ft2]",
        RULES,
        "5",
        Kind.WORKED,
        surface_measures,
        [(7.75, 99)],
        take=first,
    )
    yield check(p, "B6 8/4 [bf]", RULES, "10", Kind.WORKED, tally_board_feet, 2, [5])
    pair = [(6.5, 155), (6.5, 155)]
    for place, printed in enumerate(("7", "6")):
        yield check(
            p,
            f"B7 12 ft 11 in x 6-1/2 in, surface measure of board {place + 1} [ft2]",
            RULES,
            printed,
            Kind.WORKED,
            surface_measures,
            pair,
            take=at(place),
        )
    yield check(p, "B7 6/4 of 6 ft2 [bf]", RULES, "9", Kind.WORKED, tally_board_feet, 1.5, [6])
    yield check(
        p,
        "B7 6/4 of 7 ft2 [bf]",
        RULES,
        "10.5",
        Kind.WORKED,
        tally_board_feet,
        1.5,
        [7],
        within=0.5,
        note="a bundle counts in whole feet: 11",
    )
    for row in rows("thickness"):
        yield check(
            p,
            f"S2S thickness of {row['stock']} [in]",
            "NHLA standard surfaced thicknesses, as trade charts print them",
            row["surfaced_in"],
            Kind.PRINTED,
            surfaced_thickness,
            float(row["nominal_in"]),
            within=1e-12,
        )
    yield check(
        p,
        "40 bf net at a waste of 20 % of what is bought [bf]",
        NONE,
        "50.00",
        Kind.PRACTICE,
        to_buy,
        40,
        0.2,
    )
    yield check(
        p,
        "the same at 9.50 a board foot",
        NONE,
        "475.00",
        Kind.PRACTICE,
        to_buy,
        40,
        0.2,
        take=lambda bought: bought * 9.5,
    )


def rough_checks() -> Iterator[Check]:
    p, worked = "rough sizes", Kind.PRACTICE
    yield check(
        p,
        "leg 3-1/4 in of two plies: thickness of a ply [in]",
        NONE,
        "1.8750",
        worked,
        ply_thickness,
        3.25,
        0.125,
        2,
        0.1875,
    )
    yield check(p, "its ply 8/4 x 3-1/2 x 35 [bf]", RULES, "1.701", Kind.WORKED, board_feet, 2, 3.5, 35)
    yield check(
        p,
        "eight such plies [bf]",
        RULES,
        "13.611",
        Kind.WORKED,
        board_feet,
        2,
        3.5,
        35,
        take=lambda one: 8 * one,
    )
    yield check(p, "rail blank 8/4 x 6-3/8 x 81 [bf]", RULES, "7.172", Kind.WORKED, board_feet, 2, 6.375, 81)
    yield check(
        p, "divider blank 4/4 x 2-1/4 x 15 [bf]", RULES, "0.234", Kind.WORKED, board_feet, 1, 2.25, 15
    )
    yield check(
        p,
        "dividers 14 in long, least 12: pieces in a blank",
        NONE,
        "1",
        worked,
        gangs,
        14,
        4,
        1,
        0.125,
        12,
        take=lambda sorts: sorts[0].pieces,
    )
    yield check(
        p,
        "dividers 9 in long, least 12: pieces in a blank",
        NONE,
        "2",
        worked,
        gangs,
        9,
        4,
        1,
        0.125,
        12,
        take=lambda sorts: sorts[0].pieces,
    )
    for stock, flattened, leaf, printed in (
        ("8/4", 1.75, 0.75, "2"),
        ("8/4", 1.75, 0.4375, "3"),
        ("5/4", 1.0625, 0.375, "2"),
        ("5/4", 1.0625, 0.4375, "2"),
        ("4/4", 0.8125, 0.25, "2"),
        ("4/4", 0.8125, 0.3125, "2"),
    ):
        yield check(
            p,
            f"leaves of {leaf:g} in resawn from {stock}",
            NONE,
            printed,
            worked,
            leaves_from,
            flattened,
            leaf,
            1 / 16,
            1 / 8,
        )


def center(place: int) -> Callable[[Spacing], float]:
    return lambda run: run.centers[place]


def bench_checks() -> Iterator[Check]:
    modulus = known("Northern red oak").elasticity_psi
    p, shelf = "bench", f"{NEW_HANDBOOK}, eq. 9-2, Table 9-1; E of Table 5-3b"
    yield check(
        p,
        "D1 shelf 3/4 x 11-1/4: second moment [in4]",
        shelf,
        "0.3955",
        Kind.WORKED,
        second_moment,
        11.25,
        0.75,
    )
    for what, bearing, printed in (
        ("D1 red oak shelf, span 36, 60 lb spread", Bearing.RESTING_SPREAD, "0.0506"),
        ("D2 the same load in the middle", Bearing.RESTING_CENTER, "0.0810"),
        ("D3 the same spread, ends fixed", Bearing.FIXED_SPREAD, "0.0101"),
    ):
        yield check(
            p,
            f"{what}: sag [in]",
            shelf,
            printed,
            Kind.WORKED,
            deflection,
            60,
            36,
            modulus,
            11.25,
            0.75,
            bearing,
        )
    yield check(
        p,
        "D1 its sag by the foot [in]",
        shelf,
        "0.0169",
        Kind.WORKED,
        deflection,
        60,
        36,
        modulus,
        11.25,
        0.75,
        Bearing.RESTING_SPREAD,
        take=lambda sag: sag / 3,
    )
    yield check(
        p,
        "D1 sag allowed, 0.02 in a foot over 36 [in]",
        NONE,
        "0.06",
        Kind.PRACTICE,
        sag_allowed,
        36,
        0.02,
    )
    gravity, cherry = f"{NEW_HANDBOOK}, eq. 4-13", known("Black cherry").gravity_green
    yield check(
        p,
        "W1 black cherry at 8 %: specific gravity",
        gravity,
        "0.517",
        Kind.WORKED,
        specific_gravity,
        cherry,
        8,
    )
    yield check(
        p,
        "W1 density [lb/ft3]",
        f"{NEW_HANDBOOK}, eq. 4-14",
        "34.9",
        Kind.WORKED,
        density_lb_ft3,
        specific_gravity(cherry or 0.0, 8),
        8,
    )
    yield check(
        p, "W1 a board foot [lb]", "34.9 lb/ft3 over twelve", "2.91", Kind.WORKED, weight_lb, 144, 34.9
    )
    yield check(
        p,
        "W2 black cherry at 12 %: specific gravity",
        gravity,
        "0.508",
        Kind.WORKED,
        specific_gravity,
        cherry,
        12,
        note="the table prints 0.50 and goes before",
    )
    yield check(
        p,
        "arc, chord 76 and rise 1/2: radius [in]",
        "plane geometry",
        "1444.25",
        Kind.WORKED,
        arc_radius,
        76,
        0.5,
    )
    yield check(
        p,
        "its offset at a quarter of the chord [in]",
        "plane geometry",
        "0.37501",
        Kind.WORKED,
        arc_offsets,
        76,
        0.5,
        [19],
        take=first,
        within=1e-5,
        note="0.3750162: cut after five places, not rounded; a parabola gives 0.375",
    )
    yield check(
        p,
        "5 members of 3/4 between 36: gap [in]",
        "arithmetic",
        "5.375",
        Kind.WORKED,
        equal_spacing,
        36,
        0.75,
        5,
        take=lambda run: run.gap,
    )
    for place, printed in enumerate(("5.75", "11.875", "18.000", "24.125", "30.25")):
        yield check(
            p,
            f"their center {place + 1} [in]",
            "arithmetic",
            printed,
            Kind.WORKED,
            equal_spacing,
            36,
            0.75,
            5,
            take=center(place),
        )

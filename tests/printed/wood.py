"""Printed values for moisture, movement, coefficients and panels."""

from __future__ import annotations

from collections.abc import Iterator

from sheetkit.calc.metric_stock import metric_dried_thickness
from sheetkit.calc.moisture import equilibrium_moisture
from sheetkit.calc.movement import (
    Movement,
    bearing_each_side,
    change_by_coefficient,
    change_by_shrinkage,
    coefficient_from_shrinkage,
    panel_size_today,
    size_ratio,
)
from sheetkit.tables import rows
from sheetkit.units import rounded_down
from tests.printed.check import (
    EQ_13_2,
    EQ_13_3,
    HANDBOOK,
    NEW_HANDBOOK,
    Check,
    Kind,
    check,
    flat,
    known,
    quarter,
)
from tests.printed.exceptions import EXCEPTIONS


def movement_checks() -> Iterator[Check]:
    white_fir, at_11 = flat("White fir"), 232 * (1 + 3 * 0.00245)
    p, part = "movement", Kind.IN_PART
    source = f"{HANDBOOK}, p. 13-15 to 13-17"
    change = change_by_coefficient
    yield check(
        p,
        "M1 white fir, 232 mm flat-sawn, 8 to 11 %: change [mm]",
        source,
        "1.7",
        part,
        change,
        232,
        white_fir,
        8,
        11,
    )
    yield check(
        p, "M1 the same board, 9.15 in: change [in]", source, "0.067", part, change, 9.15, white_fir, 8, 11
    )
    yield check(
        p,
        "M1 size at 11 % [mm]",
        source,
        "233.7",
        part,
        change,
        232,
        white_fir,
        8,
        11,
        take=lambda d: 232 + d,
    )
    yield check(
        p,
        "M1 size at 11 % [in]",
        source,
        "9.217",
        part,
        change,
        9.15,
        white_fir,
        8,
        11,
        take=lambda d: 9.15 + d,
    )
    yield check(
        p,
        "M2 white fir, thickness: coefficient to use",
        source,
        "0.00112",
        part,
        coefficient_from_shrinkage,
        known("White fir").shrink_radial,
    )
    yield check(
        p,
        "M1 back to 8 % from the size at 11 % [mm]",
        EQ_13_2,
        "-1.7",
        Kind.WORKED,
        change,
        at_11,
        white_fir,
        11,
        8,
    )
    source = "flooring trade technical publication A200, after the Wood Handbook"
    yield check(
        p,
        "M3 mesquite floor board 5 in, 6 to 9 %, 0.00129: 3 x 0.00129 x 5 [in]",
        source,
        "0.019",
        Kind.PRINTED,
        change,
        5,
        0.00129,
        6,
        9,
    )
    yield check(
        p,
        "M4 red alder 8 in flat-sawn, 6 % change, coefficient rounded to 0.0026 [in]",
        EQ_13_2,
        "0.1248",
        Kind.WORKED,
        change,
        8,
        0.0026,
        6,
        12,
    )
    yield check(
        p,
        "M4 that rounded coefficient, from the table",
        f"{HANDBOOK}, Table 13-5",
        "0.0026",
        Kind.PRINTED,
        coefficient_from_shrinkage,
        known("Red alder").shrink_tangential,
    )
    source = "a university wood-drying professor's column"
    yield check(
        p,
        "M5 flat-sawn, 1 in wide, 1 % (1 % of the size for 4 %) [in]",
        source,
        "0.0025",
        Kind.PRINTED,
        change,
        1,
        0.01 / 4,
        7,
        8,
    )
    yield check(
        p, "M5 flat-sawn, 6 in wide, 1 % [in]", source, "0.015", Kind.PRINTED, change, 6, 0.01 / 4, 7, 8
    )
    yield check(
        p,
        "M5 quarter-sawn, 7 in wide, 7 % (1 % of the size for 7 %) [in]",
        source,
        "0.07",
        Kind.RULE,
        change,
        7,
        0.01 / 7,
        6,
        13,
    )
    yield check(
        p,
        "M6 200 mm at 20 %, dried to 10 % [mm]",
        "EN 1313-1:2010, clause 5 (softwood; for hardwood common practice)",
        "195.0",
        Kind.RULE,
        metric_dried_thickness,
        200,
        10,
    )
    source = "FPL-RP-489 (1989), softwood dimension lumber, green (28 %) to 15 %"
    yield check(
        p,
        "M7 shrinkage in width, S = 6.031 - 0.215 M [%]",
        source,
        "2.80",
        Kind.PRINTED,
        change_by_shrinkage,
        1,
        6.031,
        28,
        15,
        6.031 / 0.215,
        take=lambda d: -100 * d,
    )
    yield check(
        p,
        "M7 shrinkage in thickness, S = 5.062 - 0.181 M [%]",
        source,
        "2.35",
        Kind.PRINTED,
        change_by_shrinkage,
        1,
        5.062,
        5.062 / 0.181,
        15,
        5.062 / 0.181,
        take=lambda d: -100 * d,
    )
    yield check(
        p,
        "M8 black cherry panel 18 in, flat-sawn, 7 to 10 % [in]",
        EQ_13_2,
        "0.1339",
        Kind.WORKED,
        change,
        18,
        flat("Black cherry"),
        7,
        10,
    )
    yield check(
        p,
        "M9 the same by its shrinkage of 7.1 % [in]",
        EQ_13_3,
        "0.1352",
        Kind.WORKED,
        change_by_shrinkage,
        18,
        known("Black cherry").shrink_tangential,
        7,
        10,
        note="54 / 399.535 = 0.13516",
    )
    for name, printed in (
        ("Black cherry", "0.00248"),
        ("Sugar maple", "0.00353"),
        ("Western redcedar", "0.00234"),
    ):
        wood = known(name)
        yield check(
            p,
            f"M10 tangential coefficient of {name}",
            f"{HANDBOOK}, Table 13-5",
            printed,
            Kind.PRINTED,
            coefficient_from_shrinkage,
            wood.shrink_tangential,
            wood.shrink_start,
        )


def moisture_checks() -> Iterator[Check]:
    source = f"{NEW_HANDBOOK}, eq. 4-5 (°F constants)"
    for humidity, printed in ((30, "6.17"), (50, "9.25"), (65, "11.96"), (80, "16.00")):
        yield check(
            "moisture",
            f"EMC at 70 °F, {humidity} % [%]",
            source,
            printed,
            Kind.WORKED,
            equilibrium_moisture,
            70,
            humidity,
        )
    for humidity, printed in ((30, "6"), (50, "9"), (65, "12"), (80, "16")):
        yield check(
            "moisture",
            f"EMC by rule of thumb, {humidity} % [%]",
            "a university wood-drying professor's column",
            printed,
            Kind.PRINTED,
            equilibrium_moisture,
            70,
            humidity,
        )
    yield check(
        "moisture",
        "E2 EMC at 140 °F, 55 % [%]",
        "an article that works the equation; it adds 8.0 of an older table",
        "8.4",
        Kind.PRINTED,
        equilibrium_moisture,
        140,
        55,
    )
    for row in rows("emc"):
        degrees, damp = float(row["temperature_f"]), float(row["humidity_percent"])
        yield check(
            "EMC grid",
            f"E1 EMC at {degrees:g} °F, {damp:g} % [%]",
            f"{HANDBOOK}, Table 4-2",
            row["emc_percent"],
            Kind.PRINTED,
            equilibrium_moisture,
            degrees,
            damp,
            within=0.1,
        )


def _is_read(said: str, way: str) -> bool:
    """Whether a figure was read in its source: what the table of species says, of one direction or of both."""
    _, named, rest = said.partition(f"{way} ")
    return (rest if named else said).startswith("read")


def coefficient_checks() -> Iterator[Check]:
    for row in rows("species"):
        for way in ("radial", "tangential"):
            shrinkage, printed = row[f"shrink_{way}"], row[f"coef_{way}"]
            if not (shrinkage and printed) or (row["id"], way) in EXCEPTIONS:
                continue
            given = float(shrinkage), float(row["shrink_start"])
            looked_up = _is_read(row["shrink_verified"], way), _is_read(row["coef_verified"], way)
            yield check(
                "coefficients",
                f"{row['name']}, {way} coefficient by its shrinkage",
                f"{HANDBOOK}, Table 13-5, row {row['coef_row']}",
                printed,
                {(True, True): Kind.PRINTED, (False, True): Kind.IN_PART}.get(looked_up, Kind.MEMORY),
                coefficient_from_shrinkage,
                *given,
                within=1.05e-5,
                note="the last digit may be one off",
            )


def panel_checks() -> Iterator[Check]:
    oak, red, cherry = (Movement(flat(name)) for name in ("White oak", "Red oak", "Black cherry"))
    p, worked = "panels", Kind.WORKED
    for wood, opening, grooves, width, bearing in (
        ("white oak", 14.25, 1.0, "14.96875", "0.332"),
        ("red oak", 22.0, 0.75, "22.34375", "0.131"),
        ("black cherry", 22.0, 0.75, "22.43750", "0.191"),
    ):
        moves = {"white oak": oak, "red oak": red, "black cherry": cherry}[wood]
        yield check(
            p,
            f"{wood}, opening {opening:g}: width today at 7 %, wettest 11 %, to 1/32 [in]",
            EQ_13_2,
            width,
            worked,
            panel_size_today,
            opening,
            grooves,
            1 / 16,
            moves,
            7,
            11,
            take=lambda size: rounded_down(size, 1 / 32),
        )
        yield check(
            p,
            f"{wood}, opening {opening:g}: bearing each side at 6 % [in]",
            EQ_13_2,
            bearing,
            worked,
            bearing_each_side,
            float(width),
            opening,
            moves,
            7,
            6,
        )
    yield check(
        p,
        "white oak, opening 14-1/4: clearance each side at 11 % [in]",
        EQ_13_2,
        "0.0314",
        worked,
        size_ratio,
        oak,
        7,
        11,
        take=lambda ratio: (15.25 - 14.96875 * ratio) / 2,
    )
    for name, way, printed in (
        ("White oak", flat, "0.00365"),
        ("Red oak", flat, "0.00369"),
        ("Red oak", quarter, "0.00158"),
        ("Cherry", flat, "0.00248"),
    ):
        yield check(
            p,
            f"{name}, coefficient used ({way.__name__}-sawn)",
            f"{HANDBOOK}, Table 13-5",
            printed,
            Kind.PRINTED,
            size_ratio,
            Movement(way(name)),
            8,
            9,
            take=lambda ratio: ratio - 1,
        )

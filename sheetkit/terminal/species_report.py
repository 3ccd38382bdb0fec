"""What the command ``species`` says: the table, one species in full with its sources, and how panels move."""

from __future__ import annotations

from collections.abc import Sequence

from sheetkit.calc.movement import RANGE
from sheetkit.plan.climate import Climate, Movements, Swing, degrees_of, panel_swing
from sheetkit.plan.shop import movement_of
from sheetkit.tables import Species, other_names, source
from sheetkit.terminal.screen import Said, Table
from sheetkit.units import FINEST, Unit, length_text, rounded_up

FIGURES = (
    ("Shrinkage, radial", "shrink_radial", "% of green size", "shrink"),
    ("Shrinkage, tangential", "shrink_tangential", "% of green size", "shrink"),
    ("Shrinkage, volume", "shrink_volumetric", "% of green size", "shrink"),
    ("Shrinkage starts at", "shrink_start", "% moisture", "shrink"),
    ("Change, quarter-sawn", "coef_radial", "for 1 % moisture", "coef"),
    ("Change, flat-sawn", "coef_tangential", "for 1 % moisture", "coef"),
    ("Specific gravity, green", "gravity_green", "", "strength"),
    ("Specific gravity at 12 %", "gravity_12", "", "strength"),
    ("Bending strength", "rupture_psi", "psi", "strength"),
    ("Stiffness", "elasticity_mpsi", "million psi", "elasticity"),
    ("Side hardness", "hardness_lbf", "lbf", "strength"),
)
"""Each figure of the species table: what it is, its column, its unit, and the columns of its source."""


def species_report(found: Sequence[Species]) -> list[Said]:
    """Return one species in full, or the table of several."""
    return _in_full(found[0]) if len(found) == 1 else _in_short(found)


def _in_short(found: Sequence[Species]) -> list[Said]:
    lines = tuple(
        (
            each.name,
            _change(each, "quarter"),
            _change(each, "flat"),
            _figure(each.gravity_12, ".2f"),
            _figure(each.hardness_lbf, "g"),
        )
        for each in found
    )
    return [
        Table(
            ("Species", "Radial", "Tangential", "Gravity", "Hardness"), lines, numbers=frozenset({1, 2, 3, 4})
        ),
        "Radial (quarter-sawn) and tangential (flat-sawn): change for 1 % of moisture, as a share of the "
        "width; * worked out from the shrinkage. Gravity at 12 %. Side hardness in lbf.",
        "One in full, with its sources: sheetkit species white oak",
        "How far panels move: sheetkit species white oak --climate 70 25 65",
    ]


def _change(species: Species, cut: str) -> str:
    """Return the change for 1 % of moisture that panels are worked out with."""
    movement = movement_of(species, cut)
    if movement is None:
        return ""
    printed = species.coef_radial if cut == "quarter" else species.coef_tangential
    return f"{movement.coefficient:.5f}{'' if movement.coefficient == printed else ' *'}"


def _figure(value: float | None, form: str) -> str:
    return "" if value is None else format(value, form)


def _in_full(species: Species) -> list[Said]:
    row = dict(species.facts)
    lines = []
    keys: dict[str, None] = {}
    for label, column, unit, kind in FIGURES:
        key, known = row[f"{kind}_source"], row[f"{kind}_verified"]
        if not row[column] or not key:
            continue
        if column == "gravity_12" and row["gravity_12_basis"] != "table":
            known = row["gravity_12_basis"]
        printed = f"{key}, {row['coef_row']}" if kind == "coef" and row["coef_row"] else key
        lines.append(
            (label, f"{row[column]} {unit}".rstrip(), printed, known.replace("memory", "from memory"))
        )
        keys[key] = None
    called = other_names("species").get(species.id, ())
    others = [name for name in called if sorted(name.split()) != sorted(species.name.split())]
    moves = [(cut, movement_of(species, cut)) for cut in ("flat", "quarter")]
    used = ", ".join(f"{cut}-sawn {movement.coefficient:.5f}" for cut, movement in moves if movement)
    low, high = RANGE
    said: list[Said] = [
        f"{species.name}, {species.botanical}" + (f"; {species.group}" if species.group else ""),
        Table(("Figure", "Value", "Source", "How it is known"), tuple(lines)),
        Table(("Source", "What it is"), tuple((key, source(key)) for key in keys)),
        f"Panels are worked out with the change for 1 % of moisture: {used}, from {low:g} to {high:g} %; "
        "beyond, with the shrinkage."
        if used
        else "No movement is known: sheetkit works out no panel of it.",
    ]
    if row["shrink_start"]:
        known = row["shrink_start_verified"].replace("memory", "from memory")
        said.append(f"It starts to shrink at {row['shrink_start']} % moisture: {known}.")
    if row["botanical_verified"] == "memory":
        said.append("The botanical name is from memory.")
    if others:
        said.append(f"Also found as: {', '.join(others)}.")
    if row["note"]:
        said.append(f"Note: {row['note']}.")
    return said


def movement_report(moved: Movements) -> list[Said]:
    """Return the wood moisture in a climate, and the seasonal swing of panels of each species, in words."""
    return [*_moisture(moved.climate, moved.unit), _swings(moved), *_how(moved.climate)]


def _moisture(climate: Climate, unit: Unit) -> list[Said]:
    moistures = (f"{climate.driest:.1f} %", f"{climate.wettest:.1f} %")
    air = climate.air
    if air is None:
        return [
            f"Wood moisture: {moistures[0]} at the driest, {moistures[1]} at the wettest, as sheetkit "
            "takes it where Job names no climate (common practice for heated homes without cooling, no "
            "source)."
        ]
    degrees = f"{degrees_of(air, unit):g} °{'F' if unit == 'in' else 'C'}"
    lines = (
        ("driest", degrees, f"{air.driest:g} %", moistures[0]),
        ("wettest", degrees, f"{air.wettest:g} %", moistures[1]),
    )
    return [
        Table(("Season", "Temperature", "Humidity", "Wood moisture"), lines, numbers=frozenset({1, 2, 3}))
    ]


def _swings(moved: Movements) -> Table:
    headings, lines = ["Species"], [[each.name] for each in moved.species]
    for unit, width in moved.sizes:
        headings += [f"{_length(width, unit)} {cut}" for cut in ("flat", "quarter")]
        for line, species in zip(lines, moved.species, strict=True):
            line += _shown(panel_swing(species, width, moved.climate), unit)
    return Table(
        tuple(headings),
        tuple(map(tuple, lines)),
        "Wider at the wettest than at the driest",
        frozenset(range(1, len(headings))),
    )


def _shown(swing: Swing, unit: Unit) -> list[str]:
    return [
        "" if size is None else _length(rounded_up(size, FINEST[unit]), unit)
        for size in (swing.flat, swing.quarter)
    ]


def _length(size: float, unit: Unit) -> str:
    return f"{length_text(size, unit)} {unit}"


def _how(climate: Climate) -> list[Said]:
    """Say by which equations the figures came about, and how far to trust them."""
    low, high = RANGE
    said: list[Said] = [
        "Each panel is as wide at the driest as its heading says, flat-sawn or quarter-sawn. For either "
        "cut take the flat-sawn figure, the larger. Figures are rounded up; along the grain nothing moves."
    ]
    if climate.air:
        said.append(
            "Wood moisture: Wood Handbook, FPL-GTR-282 (2021), ch. 4, equation 4-5. All species alike; "
            "real ones differ by one percent or so."
        )
    if climate.inside_range:
        said.append(
            "Movement: change coefficients, Wood Handbook, FPL-GTR-190 (2010), ch. 13, equation 13-2 and "
            "Table 13-5."
        )
    else:
        said.append(
            f"Movement: the moisture leaves {low:g} to {high:g} %, so by shrinkage from green: Wood "
            "Handbook, FPL-GTR-190 (2010), ch. 13, equation 13-3; where a species' shrinkage is not "
            "known, by its coefficient (equation 13-2), about 5 % short."
        )
    said.append(
        "Single boards scatter widely around published figures: check at the bench. What is from memory is "
        "named by: sheetkit species NAME."
    )
    return said

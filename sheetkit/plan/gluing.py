"""Glue-ups: minutes against what the adhesive allows, clamps, and how much adhesive to have."""

from __future__ import annotations

import math
from collections.abc import Sequence
from difflib import get_close_matches
from typing import NamedTuple

from sheetkit.calc.clamps import (
    ClampRow,
    Reach,
    clamp_choice,
    clamp_force,
    clamp_length,
    clamp_row,
    clamps_for_force,
)
from sheetkit.calc.glue_lines import seam_area
from sheetkit.calc.gluing import (
    AdhesiveTime,
    GlueUpTime,
    Time,
    adhesive_volume,
    adhesive_weight,
    adhesives_that_fit,
    glue_up_time,
    shared_out,
)
from sheetkit.plan.clamping import rail_clamps, rail_words
from sheetkit.plan.notes import listed, name_key, ways_out
from sheetkit.plan.shop import Shop
from sheetkit.records.job import GlueUp
from sheetkit.records.joinery import GlueUpAnswer, JointAnswer
from sheetkit.records.notes import Notes
from sheetkit.records.wood import Blank, PanelAnswer, PartAnswer
from sheetkit.tables import rows
from sheetkit.units import MM, N_PER_LBF

WASTE = 0.20
"""Squeezed out or left in the pot, as a share of what is spread, common practice."""
N_MM2_PER_PSI = N_PER_LBF / MM**2
"""Newtons on a square millimeter in a pound-force on a square inch: 0.006894757."""
FORCE_A_CLAMP = 1000.0
"""Force that a bar or pipe clamp brings by hand, common practice [lb]."""
WORDS_AFTER = ("", " plies", " staves", " panel", " panels", " glue-up", "s")
CAUTIONS = {
    "epoxy": "Epoxy can cause a lasting allergy: thick nitrile gloves, no skin contact, "
    "and never sand it before it is hard.",
    "formaldehyde": "Gives off formaldehyde while it cures, and its dust harms the lungs: "
    "ventilate the room, wear a mask when sanding.",
}
"""What to say for each caution of the table of adhesives."""


class _Seams(NamedTuple):
    """What a glue-up of staves or plies presses: area of all seams, of one, how many wholes, flat or not."""

    of: str
    glues: str
    wholes: int
    all: float
    one: float
    flat: bool
    hard: bool


def glue_up_answers(
    shop: Shop,
    joints: Sequence[JointAnswer],
    parts: Sequence[PartAnswer],
    panels: Sequence[PanelAnswer],
    notes: Notes,
) -> tuple[GlueUpAnswer, ...]:
    """Answer every row of Glue-ups."""
    seams = _seams_by_name(parts, panels)
    return tuple(_answer(glue_up, shop, joints, seams, notes) for glue_up in shop.job.glue_ups)


def _seams_by_name(parts: Sequence[PartAnswer], panels: Sequence[PanelAnswer]) -> dict[str, _Seams]:
    """Return the seams of every part and panel that is glued up, by the names a step may bear."""
    found: dict[str, _Seams] = {}
    of_parts = [("blanks", part.part.part, part.blanks) for part in parts]
    of_panels = [("panels", panel.panel.panel, panel.blanks) for panel in panels]
    for glues, name, blanks in of_parts + of_panels:
        seams = _seams(name, glues, blanks)
        if seams is not None:
            for after in WORDS_AFTER:
                found.setdefault(name_key(name + after), seams)
    return found


def _seams(name: str, glues: str, blanks: Sequence[Blank]) -> _Seams | None:
    blank = blanks[0] if blanks else None
    if blank is None or blank.role == "piece":
        return None
    if blank.per_glue_up < 2:
        return None
    breadth = blank.width if blank.role == "ply" else blank.thickness
    hard = blank.species.group != "softwood"
    one = seam_area(blank.length, breadth, 2)
    area = sum(
        seam_area(each.length, each.width if each.role == "ply" else each.thickness, each.per_glue_up)
        * each.wholes
        for each in blanks
    )
    wholes = sum(each.wholes for each in blanks)
    return _Seams(name, glues, wholes, area, one, blank.role != "ply", hard)


def _times(row: dict[str, str]) -> AdhesiveTime:
    return AdhesiveTime(row["kind"], float(row["open_minutes"]), float(row["assembly_minutes"]))


def _answer(
    glue_up: GlueUp,
    shop: Shop,
    joints: Sequence[JointAnswer],
    seams: dict[str, _Seams],
    notes: Notes,
) -> GlueUpAnswer:
    table = {row["kind"]: row for row in rows("adhesives")}
    adhesive = table[glue_up.adhesive]
    times = _times(adhesive)
    named = _named(glue_up, joints, notes)
    count = sum(each.qty for each in named) or _counted(glue_up)
    timed, steps = _timed(glue_up, count, times)
    would_do: tuple[str, ...] = ()
    if timed is None:
        notes.remark(glue_up.row, "Give Joints to compare the time with what the adhesive allows.")
    elif timed.reason is not Time.OK:
        would_do = adhesives_that_fit(timed.spread, timed.whole, [_times(row) for row in table.values()])
        few = glue_up_time(count or 0, glue_up.minutes, 0.0, times).steps
        _late(glue_up, timed, few, would_do, notes)
    goes = max(len(steps), glue_up.goes or 1)
    pressed = seams.get(name_key(glue_up.step))
    glues = _glues(glue_up, count, pressed, notes)
    row = clamp_row(glue_up.along, shop.allowances.clamp_spacing) if glue_up.along else None
    rails = rail_clamps(named, shop.allowances.clamp_spacing) if glues == "assembly" else None
    if rails is not None:
        clamps: int | None = math.ceil(rails.clamps / goes)
        notes.remark(glue_up.row, rail_words(rails, shop.words))
    else:
        clamps = _clamps(glue_up, row, pressed, adhesive, shop, notes)
    if clamps is not None and pressed is not None and rails is None:
        at_once = math.ceil(pressed.wholes / goes)
        if at_once > 1:
            notes.remark(
                glue_up.row,
                f"{clamps} for each of the {at_once} that are in clamps at once; more Goes take fewer.",
            )
        clamps *= at_once
    length, joined = _length(glue_up, shop, notes)
    area = _area(glue_up, count, named, joints, pressed, shop, notes)
    ounces = None
    spread = float(adhesive["spread_low_lb_1000ft2"]), float(adhesive["spread_high_lb_1000ft2"])
    if area:
        weight = adhesive_weight(area, spread[1], WASTE)
        ounces = adhesive_volume(weight, float(adhesive["density_lb_gal"]))
    hours = float(adhesive["clamp_hours"])
    stays = f"Leave it clamped {hours:g} hour{'s' if hours != 1 else ''}"
    notes.remark(
        glue_up.row, f"{stays}." if hours >= 24 else f"{stays} at least, a day before it is stressed."
    )
    caution = CAUTIONS.get(adhesive["caution"], "")
    notes.remark(glue_up.row, caution)
    by_row = row if rails is None else None
    return GlueUpAnswer(
        glue_up,
        glues,
        timed.whole if timed else None,
        times.open_time,
        steps,
        would_do,
        clamps,
        by_row.spacing if by_row else None,
        by_row.places if by_row else rails.places if rails else (),
        bool(pressed and pressed.flat),
        length,
        joined,
        area,
        ounces,
        hours,
        times.assembly_time,
        spread,
        count,
        goes,
        pressed.of if pressed and glues != "assembly" else "",
        caution,
        notes.of(glue_up.row),
    )


def _counted(glue_up: GlueUp) -> int | None:
    return int(glue_up.joints) if glue_up.joints.isdecimal() else None


def _named(glue_up: GlueUp, joints: Sequence[JointAnswer], notes: Notes) -> list[JointAnswer]:
    """Return the rows of Joints that Joints names; a name that is none is told."""
    if _counted(glue_up):
        return []
    known = {name_key(each.joint.joint): each for each in joints}
    found: dict[str, JointAnswer] = {}
    for word in filter(None, (word.strip() for word in glue_up.joints.split(";"))):
        if name_key(word) in known:
            found[name_key(word)] = known[name_key(word)]
        else:
            close = get_close_matches(name_key(word), known, n=4, cutoff=0.3) or list(known)[:4]
            choices = "; ".join(known[key].joint.joint for key in close) or "a number of joints"
            notes.add("glue-joint-unknown", glue_up.row, "joints", word, name=word, choices=choices)
    return list(found.values())


def _timed(
    glue_up: GlueUp, count: int | None, times: AdhesiveTime
) -> tuple[GlueUpTime | None, tuple[int, ...]]:
    """Return the time of the longest go and the joints of each: as the maker says, else as few as will do."""
    if not count:
        return None, ()
    goes = glue_up.goes
    if goes is None:
        timed = glue_up_time(count, glue_up.minutes, 0.0, times)
        return timed, timed.steps
    steps = shared_out(count, goes)
    return glue_up_time(steps[0], glue_up.minutes, 0.0, times), steps


def _glues(glue_up: GlueUp, count: int | None, pressed: _Seams | None, notes: Notes) -> str:
    """Return what is glued: as the maker says, else what Joints or the name of a glued part tells."""
    if glue_up.glues:
        return glue_up.glues
    if count:
        return "assembly"
    if pressed is not None:
        return pressed.glues
    notes.add("glues-what", glue_up.row, "glues")
    return "assembly"


def _late(
    glue_up: GlueUp, timed: GlueUpTime, few: Sequence[int], would_do: Sequence[str], notes: Notes
) -> None:
    """Say that a go takes too long, and what would do: as ``few`` goes as all its joints can be glued in."""
    over_open = timed.reason is not Time.OVER_ASSEMBLY
    allowed = f"{timed.open_time if over_open else timed.assembly_time:g}"
    ways = []
    if len(timed.steps) > 1:
        what = f"split it into {len(few)} steps of {listed([str(step) for step in few])} joints"
        ways.append(f"write {len(few)} in Goes" if glue_up.goes else what)
    if would_do:
        ways.append(f"use {listed(list(would_do), 'or')}, which leaves time for all in one go")
    ways.append("work with a second pair of hands and write fewer minutes")
    code = "glue-not-one" if timed.reason is Time.NOT_EVEN_ONE else "glue-late"
    words = {"step": glue_up.step, "adhesive": glue_up.adhesive, "needed": f"{timed.whole:g}"}
    at, stands = ("goes", glue_up.goes) if glue_up.goes else ("joints", glue_up.joints)
    notes.add(code, glue_up.row, at, stands, **words, allowed=allowed, ways=ways_out(ways))


def _clamps(
    glue_up: GlueUp,
    row: ClampRow | None,
    pressed: _Seams | None,
    adhesive: dict[str, str],
    shop: Shop,
    notes: Notes,
) -> int | None:
    """Return the number of clamps: by spacing, and for seams by force too."""
    count = len(row.places) if row else None
    if row:
        spacing = f"{shop.words(row.spacing)} apart, the first {shop.words(row.places[0])} from the end."
        notes.remark(glue_up.row, f"{len(row.places)} clamps, {spacing}")
    if pressed is None:
        return count
    if pressed.flat:
        notes.remark(glue_up.row, "Clamps above and below by turns, so that it stays flat.")
    psi = adhesive["psi_hard" if pressed.hard else "psi_soft"]
    if not psi:
        notes.remark(glue_up.row, "Contact is pressure enough: do not squeeze the adhesive out.")
        return count
    force = clamp_force(pressed.one, float(psi))
    by_force = clamps_for_force(force, FORCE_A_CLAMP)
    units = shop.units.either(
        (f"{float(psi):g} psi", f"{force:,.0f} lb", f"{FORCE_A_CLAMP:,.0f} lb"),
        (
            f"{float(psi) * N_MM2_PER_PSI:.1f} N/mm2",
            f"{force * N_PER_LBF / 1000:.1f} kN",
            f"{FORCE_A_CLAMP * N_PER_LBF / 1000:.1f} kN",
        ),
    )
    notes.remark(
        glue_up.row, f"{units[0]} on one seam is {units[1]}: {by_force} clamps that bring {units[2]} each."
    )
    return by_force if count is None else max(count, by_force)


def _length(glue_up: GlueUp, shop: Shop, notes: Notes) -> tuple[float | None, bool]:
    if not glue_up.across:
        return None, False
    longest = shop.allowances.longest_clamp
    needed = clamp_length(glue_up.across, shop.allowances.clamp_jaws)
    reach = clamp_choice(needed, [longest]).reach
    if reach is not Reach.ONE:
        code = "clamps-joined" if reach is Reach.JOINED else "clamps-too-short"
        sizes = shop.sizes(needed=needed, longest=longest)
        notes.add(code, glue_up.row, "across", shop.words(glue_up.across), **sizes)
    return needed, reach is Reach.JOINED


def _area(
    glue_up: GlueUp,
    count: int | None,
    named: Sequence[JointAnswer],
    joints: Sequence[JointAnswer],
    pressed: _Seams | None,
    shop: Shop,
    notes: Notes,
) -> float | None:
    """Return the glued area: the maker's own, that of seams or joints named, else an estimate by Joints."""

    def words(area: float) -> str:
        return shop.units.amount(area, "glue_area", 0, 0)

    if glue_up.area:
        return shop.units.inside(glue_up.area, "glue_area")
    if named:
        whole = sum((each.glue_area or 0.0) * each.qty for each in named)
        left = [
            each.joint.joint for each in named if each.glue_area is None and "groove" not in each.joint.kind
        ]
        if whole:
            less = f", without {listed(left)}: give Width" if left else ""
            notes.remark(glue_up.row, f"Glue area of these joints: {words(whole)}{less}.")
            return whole
    if pressed is not None:
        notes.remark(glue_up.row, f"Glue area of the seams: {words(pressed.all)}.")
        return pressed.all
    own = [answer for answer in joints if name_key(answer.joint.joint) == name_key(glue_up.step)]
    known = [(answer.glue_area, answer.qty) for answer in own or joints if answer.glue_area]
    if not count or not known:
        notes.remark(glue_up.row, "Give Glue area to have the amount of adhesive worked out.")
        return None
    mean = sum(area * qty for area, qty in known) / sum(qty for _, qty in known)
    notes.remark(
        glue_up.row,
        f"Glue area estimated from Joints: {words(mean)} a joint. "
        "Name the joints in Joints to have it exact.",
    )
    return mean * count

"""Sizes that a row of Joints leaves empty, where Panels, Spacing or Parts tells them of what is let in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from sheetkit.calc.boxes import SIDES
from sheetkit.form.columns import JOINTS
from sheetkit.intake.lacking import name_key, whole_rows
from sheetkit.intake.reading import Reading
from sheetkit.records.job import Panel, Part, Place, Run

WANTED = ("thickness", "depth_into")
"""Sizes that no joint can do without."""
THIN = 5.0
"""A part wider than this many times its thickness stands in a dado by its thickness, as a shelf does; a strip
may lie either way (common practice)."""
SAME = 6
"""Sizes alike to so many digits are one [in]."""

Row = Mapping[str, Any]
Told = tuple[str, float | None]
"""Title of the tab that tells a size, and the size [in]; None where it could be one or another."""


class Known(NamedTuple):
    """What other tabs say, by name as names are compared."""

    parts: Mapping[str, Sequence[Part]]
    panels: Mapping[str, Sequence[Panel]]
    runs: Mapping[str, Sequence[Run]]
    glue_gap: float


def with_sizes_told(
    reading: Reading,
    found: Sequence[dict[str, Any]],
    records: Mapping[str, tuple[Any, ...]],
    glue_gap: float,
    places: Mapping[str, Place],
) -> list[dict[str, Any]]:
    """Return the rows of Joints that hold all they must, empty sizes filled where other tabs tell but one."""
    parts, panels, runs = (
        _by_name(records.get(rows, ()), name)
        for rows, name in (("parts", "part"), ("panels", "panel"), ("runs", "run"))
    )
    known = Known(parts, panels, runs, glue_gap)
    for row in found:
        told = {"thickness": _thickness, "depth_into": _depth_into, "width": _width}
        said = {name: list(sizes(row, known)) for name, sizes in told.items() if name not in row}
        row["told_by"] = tuple((name, sizes[0][0]) for name, sizes in said.items() if _one(sizes))
        row |= {name: said[name][0][1] for name, _ in row["told_by"]}
    return whole_rows(reading, JOINTS, found, WANTED, ("Parts", "Panels", "Spacing"), places)


def _by_name(rows: Sequence[Any], name: str) -> Mapping[str, Sequence[Any]]:
    found: dict[str, list[Any]] = {}
    for row in rows:
        found.setdefault(name_key(getattr(row, name)), []).append(row)
    return found


def _one(said: Sequence[Told]) -> bool:
    """Return whether all that is said of a size agrees."""
    return len({size if size is None else round(size, SAME) for _, size in said} - {None}) == 1 and all(
        size is not None for _, size in said
    )


def _is_groove(row: Row) -> bool:
    return row["kind"] in ("groove", "stopped groove")


def _panels_let_in(row: Row, known: Known) -> Sequence[Panel]:
    """Return the panels that From names, where it names no part."""
    name = name_key(row.get("from_part", ""))
    return () if name in known.parts else known.panels.get(name, ())


def _thickness(row: Row, known: Known) -> Iterator[Told]:
    """Yield how wide a groove is by its panel, a dado or a recess across by what stands in it."""
    panels = _panels_let_in(row, known) if _is_groove(row) else ()
    for panel in panels:
        yield "Panels", panel.groove_width or panel.thickness
    across = row.get("lies") == "across" and (_is_groove(row) or row["kind"] == "hardware")
    if across and not panels:
        yield from _along(row, known)


def _width(row: Row, known: Known) -> Iterator[Told]:
    """Yield how long a recess is that lies along, by what stands in it."""
    if row["kind"] == "hardware" and row.get("lies") != "across":
        yield from _along(row, known)


def _along(row: Row, known: Known) -> Iterator[Told]:
    """Yield how much of a part's length is taken by what stands across it: members of a run, or one part.

    In a recess stands what the run is of, be it a part or not; in a dado also where From stays empty.
    """
    entering, at = name_key(row.get("from_part", "")), row.get("at")
    if isinstance(at, str):
        for run in known.runs.get(name_key(at), ())[:1]:
            member = name_key(run.member)
            if member != entering and (entering or not _is_groove(row)):
                yield "Spacing", None
            elif run.member_width is not None:
                yield "Spacing", run.member_width
            else:
                yield from (("Spacing", part.width) for part in known.parts.get(member, ()))
    elif _is_groove(row):
        for part in known.parts.get(entering, ()):
            clear = part.width > THIN * part.thickness or part.width == part.thickness
            yield "Parts", part.thickness if clear else None


def _depth_into(row: Row, known: Known) -> Iterator[Told]:
    """Yield how deep the groove of a panel is, or the mortise of a tenon that Parts gives a length."""
    if _is_groove(row):
        for panel in _panels_let_in(row, known):
            yield from (("Panels", depth) for depth in _groove_depths(row, panel, known))
    elif row["kind"] == "tenon":
        for part in known.parts.get(name_key(row.get("from_part", "")), ()):
            lengths = {tenon for tenon in part.tenons if tenon}
            deep = max(lengths, default=0.0) + known.glue_gap
            room = all(deep < there for there in _rooms(row, known))
            if lengths:
                yield "Parts", deep if len(lengths) == 1 and room else None


def _groove_depths(row: Row, panel: Panel, known: Known) -> Iterator[float | None]:
    """Yield the depth that a panel's groove has in each part that takes it: in a rail, or beside it."""
    if panel.groove_sides == panel.groove_ends:
        yield panel.groove_sides
        return
    rails = {name_key(word) for word in panel.rails.split(";") if word.strip()}
    beside = {name_key(run.member) for run in known.runs.get(name_key(panel.run), ())[:1]}
    for name in map(name_key, row.get("into", ())):
        told = panel.groove_ends if name in rails else panel.groove_sides
        yield told if rails or name in beside else None


def _rooms(row: Row, known: Known) -> Iterator[float]:
    """Yield how deep each part is where a mortise goes in: whether a tenon goes through is for the maker."""
    for name in row.get("into", ()):
        for part in known.parts.get(name_key(name), ()):
            size = part.length, part.width, part.thickness
            sides = [size[SIDES[side].into] for side in row.get("on", ())]
            yield min(sides, default=max(part.width, part.thickness))

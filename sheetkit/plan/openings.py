"""Planned openings of panels: as wide as the gap of their run, as high as the room between their rails."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations, product

from sheetkit.plan.entries import Entered, Entry, by_part, entries
from sheetkit.plan.notes import Names, counted, listed, name_key
from sheetkit.plan.panels import FAR_OFF
from sheetkit.plan.shop import Shop
from sheetkit.plan.spacing import SLACK, runs_by_name
from sheetkit.records.job import Panel, Part
from sheetkit.records.joinery import JointAnswer, RunAnswer
from sheetkit.records.notes import Notes


def planned_panels(
    shop: Shop, names: Names, runs: Sequence[RunAnswer], joints: Sequence[JointAnswer], notes: Notes
) -> tuple[Panel, ...]:
    """Return the panels with the openings that runs and rails tell; what is typed stays, and is compared."""
    widths = _run_widths(shop, runs, notes)
    entered = by_part(entries(joints))
    return tuple(
        _planned(panel, widths.get(panel.row), entered, shop, names, notes) for panel in shop.job.panels
    )


def _planned(
    panel: Panel, gap: float | None, entered: Entered, shop: Shop, names: Names, notes: Notes
) -> Panel:
    rails = _rails(panel, names, notes)
    width, by_width = gap, f"the gap of {panel.run}"
    if panel.opening_width is None and not panel.run and rails and _undivided(rails, entered):
        width, by_width = rails[0].length, f"from shoulder to shoulder of {rails[0].part}"
    height = _height(panel, rails, entered, shop, notes) if rails else None
    by_height = "between " + listed([rail.part for rail in rails]) if rails else ""
    for which, typed, size, by in (
        ("width", panel.opening_width, width, by_width),
        ("height", panel.opening_height, height, by_height),
    ):
        if typed is not None and size is not None and abs(typed - size) > shop.sheet.step / 2 + SLACK:
            words = {"which": which, "by": by, "size": shop.in_steps(size), **shop.sizes(typed=typed)}
            notes.add("opening-differs", panel.row, f"opening_{which}", words["typed"], **words)
    told = []
    if panel.opening_width is None and width is not None:
        panel = replace(panel, opening_width=width)
        told.append(f"{shop.in_steps(width)} wide, {by_width}")
    if panel.opening_height is None and height is not None:
        panel = replace(panel, opening_height=height)
        told.append(f"{shop.in_steps(height)} high, {by_height}")
    if told:
        notes.remark(panel.row, f"Planned opening {'; '.join(told)}.")
    return panel


def _undivided(rails: tuple[Part, Part], entered: Entered) -> bool:
    """Return whether nothing stands between two rails of one length, as far as Joints tells."""
    alike = abs(rails[0].length - rails[1].length) <= SLACK
    rows = {rail.row for rail in rails}
    return alike and not any(entry.into.row in rows for there in entered.values() for entry in there)


def _run_widths(shop: Shop, runs: Sequence[RunAnswer], notes: Notes) -> Mapping[int, float]:
    """Return the gap that each panel stands in, by its row, where its run tells."""
    known, found = runs_by_name(runs), dict[int, float]()
    by_run: dict[str, list[Panel]] = {}
    for panel in shop.job.panels:
        if panel.run:
            by_run.setdefault(name_key(panel.run), []).append(panel)
    for name, panels in by_run.items():
        run, first = known.get(name), panels[0]
        if run is None and any(name_key(row.run) == name for row in shop.job.runs):
            notes.add("run-no-gaps", first.row, "run", first.run, run=first.run)
        elif run is None:
            choices = ", ".join(row.run for row in shop.job.runs[:4]) or "a run that you add there"
            notes.add("run-unknown", first.row, "run", first.run, name=first.run, choices=choices)
        elif not run.gaps:
            notes.add("run-no-gaps", first.row, "run", first.run, run=run.name)
        else:
            found.update(_gaps_of(run, panels, runs, shop, notes))
    return found


def _gaps_of(
    run: RunAnswer, panels: Sequence[Panel], runs: Sequence[RunAnswer], shop: Shop, notes: Notes
) -> Iterator[tuple[int, float]]:
    """Yield the gap of each panel of a run; of unlike gaps each row takes the next, in row order."""
    gaps = [gap for gap in run.gaps if gap > SLACK]
    count, times = sum(panel.qty for panel in panels), _times(run, runs)
    if not gaps:
        notes.add("run-no-gaps", panels[0].row, "run", panels[0].run, run=run.name)
        return
    if count % len(gaps) or (times is not None and count != times * len(gaps)):
        needed = len(gaps) * (times or 1)
        told = {"run": run.name, "gaps": counted(needed, "gap"), "panels": counted(count, "panel")}
        notes.add("run-panels", panels[0].row, "qty", count, needed=needed, **told)
    alike = max(gaps) - min(gaps) <= SLACK
    frames = times or max(1, count // len(gaps))
    if count == frames * len(gaps):
        _against_measured(run, panels, frames, shop, notes)
    whole = all(panel.qty % frames == 0 for panel in panels)
    order = gaps if whole else gaps * frames
    at = 0
    for panel in panels:
        takes = panel.qty // frames if whole else panel.qty
        own, at = order[at : at + takes], at + takes
        if alike:
            yield panel.row, gaps[0]
        elif len(own) == takes and max(own) - min(own) <= SLACK:
            yield panel.row, own[0]
        else:
            words = ", ".join(shop.in_steps(gap) for gap in gaps)
            told = {"run": run.name, "gaps": words, "panel": panel.panel}
            notes.add("run-which-gap", panel.row, "run", panel.run, **told)


def _against_measured(run: RunAnswer, panels: Sequence[Panel], frames: int, shop: Shop, notes: Notes) -> None:
    """Hold the openings as measured, with the members between them, against the length that the run fills."""
    measured = [panel.measured_width for panel in panels if panel.measured_width is not None]
    if len(measured) < len(panels):
        return
    openings = sum(wide * panel.qty for wide, panel in zip(measured, panels, strict=True)) / frames
    made = openings + run.members * run.width
    if abs(made - run.between) > FAR_OFF:
        sizes = {"made": shop.in_steps(made), "between": shop.in_steps(run.between)}
        words = {"run": run.name, **sizes, "members": counted(run.members, "member")}
        notes.add("run-measured", panels[0].row, "measured_width", shop.words(measured[0]), **words)


def _times(run: RunAnswer, runs: Sequence[RunAnswer]) -> int | None:
    """Return how many such runs the Qty of their part makes, None where it does not tell."""
    if run.part is None:
        return None
    members = sum(other.members for other in runs if other.part == run.part)
    return run.part.qty // members if run.part.qty % members == 0 else None


def rails_listed(panel: Panel) -> list[str]:
    """Return the names in Rails."""
    return [word.strip() for word in panel.rails.split(";") if word.strip()]


def _rails(panel: Panel, names: Names, notes: Notes) -> tuple[Part, Part] | None:
    """Return the two rails that a panel names; one name alone stands for two rails alike."""
    if not panel.rails:
        return None
    words = rails_listed(panel)
    if len(words) not in (1, 2):
        notes.add("rails-two", panel.row, "rails", panel.rails, count=len(words))
        return None
    found = [names.part(word) for word in words]
    for word, part in zip(words, found, strict=True):
        if part is None:
            notes.add("rails-unknown", panel.row, "rails", word, name=word, choices=names.nearest(word))
    first, last = found[0], found[-1]
    return None if first is None or last is None else (first, last)


def _height(
    panel: Panel, rails: tuple[Part, Part], entered: Entered, shop: Shop, notes: Notes
) -> float | None:
    """Return the room between two rails in the leg or stile that both enter."""
    rooms = list(rooms_between(rails, entered))
    between = listed([rail.part for rail in rails] if rails[0] != rails[1] else [f"two of {rails[0].part}"])
    if not rooms:
        notes.add("rails-no-place", panel.row, "rails", panel.rails, between=between)
        return None
    into, room = rooms[0]
    if room <= SLACK:
        notes.add("rails-cross", panel.row, "rails", panel.rails, between=between, into=into.part)
        return None
    for other, unlike in rooms[1:]:
        if abs(unlike - room) > shop.sheet.step / 2 + SLACK:
            words = {"into": into.part, "other": other.part, **shop.sizes(room=room, unlike=unlike)}
            notes.add("rails-unlike", panel.row, "rails", panel.rails, between=between, **words)
            break
    return room


def rooms_between(rails: tuple[Part, Part], entered: Entered) -> Iterator[tuple[Part, float]]:
    """Yield each part or pieces that both rails enter, and the least room there; below 0 where they cross."""
    one, other = rails
    of_one: dict[tuple[int, tuple[int, ...]], list[Entry]] = {}
    for entry in entered.get(one.row, ()):
        of_one.setdefault((entry.into.row, entry.pieces), []).append(entry)
    for here in of_one.values():
        there = [entry for entry in entered.get(other.row, ()) if _together(entry, here[0])]
        pairs = combinations(here, 2) if one == other else product(here, there)
        rooms = [max(b.near - a.far, a.near - b.far) for a, b in pairs]
        if rooms:
            positive = [room for room in rooms if room > SLACK]
            yield here[0].into, min(positive) if positive else max(rooms)


def _together(one: Entry, other: Entry) -> bool:
    """Return whether two parts enter one piece."""
    return one.into.row == other.into.row and not set(one.pieces).isdisjoint(other.pieces)

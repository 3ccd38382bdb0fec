"""Spacing: how many members each run has and where they stand, in equal gaps or in those listed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from sheetkit.calc.spacing import equal_spacing, fewest_members, listed_spacing, most_members
from sheetkit.plan.notes import Names, counted, listed, name_key
from sheetkit.plan.shop import Shop
from sheetkit.records.job import Part, Run
from sheetkit.records.joinery import RunAnswer
from sheetkit.records.notes import Notes
from sheetkit.units import rounded, rounded_up

MOST_MEMBERS = 1_000
"""Members of a run; more is a slip of the pen."""
MOST_SAID = 12
"""More places than this are left to the tab Marks."""
SLACK = 1e-6
"""Two sizes this near each other are the same; a size in mm is no round number of inches [in]."""


class _Members(NamedTuple):
    """What the members of a run are: their part, where it is known, and the width of each."""

    part: Part | None
    width: float


def run_answers(shop: Shop, names: Names, notes: Notes) -> tuple[RunAnswer, ...]:
    """Answer every row of Spacing that can be answered, then hold the number of members against Parts."""
    found = [answer for run in shop.job.runs if (answer := _answer(run, shop, names, notes))]
    _counted(found, notes)
    return tuple(replace(answer, remarks=notes.of(answer.run.row)) for answer in found)


def runs_by_name(answers: Iterable[RunAnswer]) -> Mapping[str, RunAnswer]:
    """Return the runs by name, as names are compared; the first of a name counts."""
    found: dict[str, RunAnswer] = {}
    for answer in answers:
        found.setdefault(name_key(answer.name), answer)
    return found


def _answer(run: Run, shop: Shop, names: Names, notes: Notes) -> RunAnswer | None:
    of = _members(run, shop, names, notes)
    if of is None:
        return None
    if of.width > run.between + SLACK:
        sizes = shop.sizes(width=of.width, between=run.between)
        notes.add("spacing-none", run.row, "member_width", sizes["width"], **sizes)
        return None
    if run.gaps:
        return _listed(run, of, shop, notes)
    return _equal(run, of, shop, notes)


def _members(run: Run, shop: Shop, names: Names, notes: Notes) -> _Members | None:
    """Return the part and the width of a run's members; a typed Member width wins over the part's."""
    part = names.part(run.member) if run.member else None
    if run.member and part is None:
        words = {"name": run.member, "choices": names.nearest(run.member)}
        notes.add("spacing-member", run.row, "member", run.member, **words)
    if run.member_width is not None:
        if part is not None and abs(run.member_width - part.thickness) <= SLACK < abs(
            run.member_width - part.width
        ):
            notes.remark(
                run.row,
                f"Taken as standing on edge: {shop.words(part.thickness)} is the thickness of {part.part}.",
            )
        elif part is not None and abs(run.member_width - part.width) > SLACK:
            words = {"part": part.part, **shop.sizes(typed=run.member_width, width=part.width)}
            notes.add("spacing-width-differs", run.row, "member_width", words["typed"], **words)
        return _Members(part, run.member_width)
    if part is None:
        if not run.member:
            notes.add("spacing-width", run.row, "member_width", "")
        return None
    return _Members(part, part.width)


def _equal(run: Run, of: _Members, shop: Shop, notes: Notes) -> RunAnswer | None:
    """Space the members in equal gaps."""
    width, members = of.width, run.members
    if members is None and run.largest_gap is None:
        members = _by_qty(run, of.part, shop)
        if members is None:
            notes.add("spacing-needs", run.row, "members", "")
            return None
    last_place = min(run.between / 2, run.between - width)
    if run.first_at is not None and run.first_at > last_place + 1e-9:
        notes.add("spacing-first", run.row, "first_at", shop.words(run.first_at), last=shop.words(last_place))
        return None
    most = max(1, most_members(run.between, width, run.first_at))
    fewest = (
        None if run.largest_gap is None else fewest_members(run.between, width, run.largest_gap, run.first_at)
    )
    if min(most, members or fewest or 1) > MOST_MEMBERS:
        notes.add("spacing-many", run.row, "members" if run.members else "largest_gap", "", most=MOST_MEMBERS)
        return None
    if (members or 1) > most:
        sizes = shop.sizes(width=width, between=run.between)
        notes.add("spacing-overlap", run.row, "members", members, members=members, most=most, **sizes)
        return RunAnswer(run, members or 1, None, run.first_at or 0.0, width=width, part=of.part)
    found = equal_spacing(run.between, width, min(most, members or fewest or 1), None, run.first_at)
    _largest_gap_notes(run, width, found.gap, found.end_gap, fewest, most, shop, notes)
    _say_places(run, found.centers, found.sides, shop, notes)
    if found.gaps and run.first_at is not None and found.members > 1:
        notes.remark(run.row, f"Ends {shop.in_steps(found.end_gap)}, {found.gaps} gaps between members.")
    notes.remark(run.row, "Mark every one from the same end: stepping off gap by gap adds up errors.")
    alone = found.members == 1 and run.first_at is not None
    last = run.between - found.end_gap - width if alone else found.end_gap
    gaps = (found.end_gap, *[found.gap] * (found.members - 1), last)
    return RunAnswer(
        run, found.members, found.gap, found.end_gap, found.centers, found.sides, width, of.part, gaps
    )


def _by_qty(run: Run, part: Part | None, shop: Shop) -> int | None:
    """Return how many of a part fall to a run that says no number, when other runs may take of it too."""
    if part is None:
        return None
    sharing = [other for other in shop.job.runs if name_key(other.member) == name_key(part.part)]
    silent = [
        other for other in sharing if other.members is None and other.largest_gap is None and not other.gaps
    ]
    left = part.qty - sum(other.members or 0 for other in sharing)
    counted = run in silent and len(sharing) == len(silent) + sum(1 for other in sharing if other.members)
    return left // len(silent) if counted and left > 0 and left % len(silent) == 0 else None


def _listed(run: Run, of: _Members, shop: Shop, notes: Notes) -> RunAnswer | None:
    """Space the members by the maker's list of gaps."""
    gaps = _written_out(run, of.part)
    if run.first_at is not None:
        notes.add("spacing-gaps-first", run.row, "first_at", shop.words(run.first_at))
        return None
    members = len(gaps) - 1
    if members < 1 or (run.members or members) != members:
        needed = (run.members or 1) + 1
        words = {"listed": len(run.gaps), "needed": needed, "members": counted(run.members or 1, "member")}
        notes.add("spacing-gaps-count", run.row, "gaps", len(run.gaps), **words)
        return None
    found = listed_spacing(run.between, of.width, gaps)
    over = found.over if found.rest is None else -found.rest * gaps.count(None)
    if over > SLACK or (found.rest is None and over < -SLACK):
        made = shop.words(run.between + over)
        sizes = shop.sizes(width=of.width, between=run.between)
        notes.add(
            "spacing-gaps-sum", run.row, "gaps", made, made=made, members=counted(members, "member"), **sizes
        )
        return RunAnswer(run, members, None, found.gaps[0], width=of.width, part=of.part)
    largest = max(found.gaps)
    if run.largest_gap is not None and largest > run.largest_gap + SLACK:
        sizes = shop.sizes(largest=run.largest_gap)
        notes.add("spacing-list-gap", run.row, "gaps", shop.words(largest), gap=_over(largest, shop), **sizes)
    _say_places(run, found.centers, found.sides, shop, notes)
    notes.remark(run.row, f"Gaps {', '.join(shop.in_steps(gap) for gap in found.gaps[:MOST_SAID])}.")
    alike = max(found.gaps) - min(found.gaps) <= SLACK
    rest, between = found.rest, found.gaps[1:-1]
    others = rest is None or any(abs(gap - rest) > SLACK for gap in between)
    gap = found.gaps[0] if alike else None if others else rest
    return RunAnswer(
        run, members, gap, found.gaps[0], found.centers, found.sides, of.width, of.part, found.gaps
    )


def _written_out(run: Run, part: Part | None) -> tuple[float | None, ...]:
    """Return every gap of a list: one rest stands for as many as the members need, if that is known."""
    members = run.members
    if members is None and run.gaps.count(None) == 1 and part is not None:
        members = part.qty
    short = 0 if members is None else members + 1 - len(run.gaps)
    if short <= 0 or run.gaps.count(None) != 1 or members is None or members > MOST_MEMBERS:
        return run.gaps
    at = run.gaps.index(None)
    return (*run.gaps[:at], *[None] * short, *run.gaps[at:])


def _counted(answers: Sequence[RunAnswer], notes: Notes) -> None:
    """Hold the members of all runs of a part against its Qty: as many, or so many times as many."""
    by_part: dict[int, list[RunAnswer]] = {}
    for answer in answers:
        if answer.part is not None and answer.gaps:
            by_part.setdefault(answer.part.row, []).append(answer)
    for runs in by_part.values():
        part, members = runs[0].part, sum(answer.members for answer in runs)
        assert part is not None
        row, together = runs[0].run.row, listed([answer.name for answer in runs])
        if part.qty == members:
            continue
        if part.qty % members == 0:
            times = part.qty // members
            notes.remark(row, f"Parts has {part.qty} of {part.part}: {times} such runs.")
            continue
        words = {"runs": together, "members": counted(members, "member"), "number": members}
        notes.add("spacing-qty", row, "member", part.part, **words, qty=part.qty, part=part.part)


def _over(size: float, shop: Shop) -> str:
    """Write a size that is over a limit so that it does not read as the limit itself."""
    return shop.words(rounded_up(size, shop.units.finest))


def _say_places(
    run: Run, centers: Sequence[float], sides: Sequence[tuple[float, float]], shop: Shop, notes: Notes
) -> None:
    if len(centers) > MOST_SAID:
        pitch = shop.in_steps(centers[1] - centers[0])
        notes.remark(
            run.row,
            f"The places stand on Marks; from center to center {pitch}."
            if not run.gaps
            else "The places stand on Marks.",
        )
        return
    near = [side[0] for side in sides]
    begins = ", ".join(shop.in_steps(side) for side in near)
    middles = ", ".join(shop.in_steps(center) for center in centers)
    step = shop.sheet.step
    odd = any(abs(rounded(place, step) - place) > SLACK for place in (*near, *centers))
    nearest = f", to the nearest {shop.words(step)}" if odd else ""
    notes.remark(run.row, f"Members begin at {begins} from one end; their centers at {middles}{nearest}.")


def _largest_gap_notes(
    run: Run,
    width: float,
    gap: float,
    end_gap: float,
    fewest: int | None,
    most: int,
    shop: Shop,
    notes: Notes,
) -> None:
    """Say so when a gap is over the largest allowed, and how many members would keep to it."""
    if run.largest_gap is None or fewest is None:
        return
    largest = shop.words(run.largest_gap)
    if fewest > most:
        least = equal_spacing(run.between, width, most, None, run.first_at).gap
        words = {"most": most, "gap": _over(least, shop), "largest": largest}
        notes.add("spacing-never", run.row, "largest_gap", largest, **words)
    elif gap > run.largest_gap + 1e-9:
        words = {"gap": _over(gap, shop), "largest": largest, "members": fewest}
        notes.add("spacing-gap", run.row, "members", run.members, **words)
    elif end_gap > run.largest_gap + 1e-9:
        words = {"gap": _over(end_gap, shop), "largest": largest}
        notes.add("spacing-end-gap", run.row, "first_at", shop.words(end_gap), **words)

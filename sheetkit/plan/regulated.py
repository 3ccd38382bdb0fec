"""Pieces that the law regulates: the rule is named, and nothing is checked."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from sheetkit.calc.enclosed import door_volume, drawer_volume
from sheetkit.plan.shop import Shop
from sheetkit.records.answers import Answers
from sheetkit.records.job import Job, Panel, Part
from sheetkit.records.problems import Problem, problem
from sheetkit.tables import rows
from sheetkit.units import MM

CLOTHING, TALL, HIGH_BED = "clothing storage", "tall furniture", "high bed"
BUILDING = "part of a building"
LICENSED = (BUILDING, "swing")
"""Not the work of a furniture maker alone."""
TIPS_FROM = 27.0
"""Height from which furniture is known to tip: 16 CFR 1261, and 686 mm in Australia [in]."""
STORAGE_WEIGHT, STORAGE_VOLUME = 30.0, 3.2
"""Least weight [lb] and enclosed volume [ft3] of a clothing storage unit: 16 CFR 1261 (ASTM F2057-23)."""
HIGH_BASE = 600 / MM
"""Height of a bed base from which EN 747-1 holds; the US rule begins at 30 in [in]."""
THING_ITSELF = r"(?=\s*(?:$|[^\w\s]|(?:for|of|in|with|to|and|at|on|für|mit|aus|im|und|zur|zum)\b))"
"""After a word that is meant itself, and tells not where a thing stands: a balcony, not a balcony table."""
PLURAL = r"(?:e?s|e?n)?"
TELEVISION = re.compile(r"\btv\b|media|entertainment|fernseh", re.IGNORECASE)
DRAWER = re.compile(r"drawer|schub|lade\b", re.IGNORECASE)
DOOR = re.compile(r"\bdoors?\b|tür", re.IGNORECASE)
SIDE = re.compile(r"\bsides?\b|seite", re.IGNORECASE)
FRONT = re.compile(r"\bfronts?\b|front\b|blende", re.IGNORECASE)


@cache
def _words() -> tuple[tuple[str, dict[str, str]], ...]:
    """Return every word with its row, the longest first, so that a toy chest is no chest."""
    found = [
        (word.casefold(), row)
        for row in rows("regulated_words")
        for column in ("words", "words_de")
        for word in row[column].split(";")
        if word
    ]
    return tuple(sorted(found, key=lambda each: -len(each[0])))


def kinds_named(name: str) -> tuple[str, ...]:
    """Return the kinds of regulated piece that a name calls to mind, as it is written from left to right.

    >>> kinds_named("Toy chest"), kinds_named("Floor lamp"), kinds_named("Cottage table")
    (('toy',), (), ())
    >>> kinds_named("Balcony table"), kinds_named("Balcony")
    ((), ('part of a building',))
    """
    text = name.casefold().replace("’", "'")
    found: dict[str, int] = {}
    for word, row in _words():
        if word not in text:
            continue
        after = THING_ITSELF if row["kind"] == BUILDING else r"(?!\w)"
        match = re.search(rf"(?<!\w){re.escape(word)}{PLURAL}(?!\w){after}", text)
        if match:
            found.setdefault(row["kind"], match.start())
            text = f"{text[: match.start()]}{'.' * len(match[0])}{text[match.end() :]}"
    found.pop("none of these", None)
    return tuple(sorted(found, key=lambda kind: found[kind]))


def rules_of(kind: str) -> str:
    """Return the rules of a kind by the place where each holds, in words."""
    named = [f"{row['place']}: {row['rule']}" for row in rows("regulated") if row["kind"] == kind]
    return "; ".join([*named, "elsewhere: ask what holds there"])


def bars_loads(name: str) -> str:
    """Return the kind that a name calls to mind for which no load is worked out, empty when none."""
    bars = {row["kind"] for row in rows("regulated_words") if row["loads"] == "no"}
    return next((kind for kind in kinds_named(name) if kind in bars), "")


def regulated_notices(answers: Answers, shop: Shop) -> tuple[Problem, ...]:
    """Return a notice for each regulated kind that the job is by name or size, and for what can tip."""
    job = answers.job
    once = job.sheet.job.casefold() in job.sheet.piece.casefold()
    name = ", ".join(filter(None, ("" if once else job.sheet.job, job.sheet.piece)))
    kinds = kinds_named(name)
    height, volume = _height(job), _enclosed(job)
    low = 0 < height < TIPS_FROM and not TELEVISION.search(name)
    found: list[Problem] = []
    told_by_size = _by_size(answers, height, volume, shop)
    for kind in kinds:
        if kind in (CLOTHING, TALL) and low:
            continue  # for the rules of any country
        code = "not-furniture" if kind in LICENSED else "regulated"
        found.append(_told(job, code, name, name=name, kind=kind, rules=rules_of(kind)))
    for kind, why in told_by_size.items():
        if kind not in kinds:
            found.append(_told(job, "regulated-by-size", why, kind=kind, why=why, rules=rules_of(kind)))
    tips = {row["kind"] for row in rows("regulated_words") if row["tips"] == "yes"}
    if (tips & {*kinds, *told_by_size}) and not low:
        found.append(_told(job, "can-tip", name, name=name))
    return tuple(found)


def _told(job: Job, code: str, stands: str, **words: object) -> Problem:
    tab, row, column = job.labels.get("piece", ("Job", 0, 0))
    return problem(code, tab, row, column, stands, **words)


def _by_size(answers: Answers, height: float, volume: float, shop: Shop) -> dict[str, str]:
    """Return the kinds that the sizes tell whatever the name says, and why."""
    job = answers.job
    found: dict[str, str] = {}
    weight = answers.weight
    heavy = weight is None or weight >= STORAGE_WEIGHT
    if height >= TIPS_FROM and volume >= STORAGE_VOLUME and heavy:
        weighs = "" if weight is None else f", weighs {shop.units.weight(weight)}"
        room = shop.units.either(f"{volume:.1f} ft3", f"{volume * (12 * MM) ** 3 / 1e6:.0f} litres")
        found[CLOTHING] = (
            f"it has drawers or doors, is {shop.words(height)} high{weighs} and holds about {room}"
        )
    base = job.sheet.support_height or 0.0
    mattress = any(job.sheet.fits.casefold() == row["name"].casefold() for row in rows("mattresses"))
    if mattress and base >= HIGH_BASE:
        found[HIGH_BED] = f"its mattress lies {shop.words(base)} above the floor"
    return found


def _height(job: Job) -> float:
    """Return the height of the piece: its longest upright by name, else its longest part; 0 when unknown."""
    upright = re.compile(
        r"\bsides?\b|\blegs?\b|\bstiles?\b|\bposts?\b|\bends?\b|\buprights?\b|seite|bein|pfosten|wange",
        re.IGNORECASE,
    )
    parts = [part for part in job.parts if not DRAWER.search(part.part)]
    upright_ones = [part.length for part in parts if upright.search(part.part)]
    return max(upright_ones or [part.length for part in parts], default=0.0)


def _enclosed(job: Job) -> float:
    """Return the room in drawers and behind doors by the outsides of their parts: never too little [ft3]."""
    parts = [part for part in job.parts if DRAWER.search(part.part)]
    sides = [part for part in parts if SIDE.search(part.part)]
    fronts = [part for part in parts if FRONT.search(part.part)]
    volume = 0.0
    if sides and fronts:
        deep, high = max(part.length for part in sides), max(part.width for part in sides)
        volume = sum(drawer_volume(high, part.length, deep) * part.qty for part in fronts)
    case = [part.width for part in job.parts if SIDE.search(part.part) and not DRAWER.search(part.part)]
    if case:
        volume += sum(
            door_volume(high, wide, max(case)) * count
            for wide, high, count in _doors((*job.parts, *job.panels))
        )
    return volume


def _doors(of: Iterable[Part | Panel]) -> Iterable[tuple[float, float, int]]:
    """Return width, height and number of the doors: panels, or parts that are a whole door."""
    for each in of:
        if isinstance(each, Panel) and DOOR.search(each.panel):
            wide = each.measured_width or each.opening_width
            high = each.measured_height or each.opening_height
            if wide and high:
                yield wide, high, each.qty
        elif isinstance(each, Part) and re.fullmatch(r"doors?|türe?n?", each.part.strip(), re.IGNORECASE):
            yield each.width, each.length, each.qty

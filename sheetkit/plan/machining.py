"""Machine by machine: to what it is set, and which pieces pass it, long before short."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence

from sheetkit.calc.gluing import shared_out
from sheetkit.plan.milling import Milled
from sheetkit.plan.rough_cut import noted, pieces_of
from sheetkit.records.answers import Answers
from sheetkit.records.job import Part
from sheetkit.records.joinery import GlueUpAnswer
from sheetkit.records.wood import Blank, Small
from sheetkit.records.work import Glued, GlueSession, Line, Pieces, Setting, Spread

MOST_GOES = 12
"""Goes that get a line each; more are told in one."""
Lengths = Mapping[str, float]
"""Name of a part or panel -> its finished length [in]."""
_Settings = defaultdict[tuple[float, tuple[str, ...]], Counter[str]]
"""Size that a machine is set to and what to note of it -> pieces by name."""


def lengths_of(answers: Answers) -> Lengths:
    """Return how long every part and panel is."""
    found = {each.part.part: each.part.length + sum(each.part.tenons) for each in answers.parts}
    return found | {each.panel.panel: max(each.width, each.height) for each in answers.panels}


def _settings(settings: _Settings, lengths: Lengths) -> tuple[Setting, ...]:
    """Return the settings of a machine, the largest first, and the pieces of each, the longest first."""
    found = sorted(settings.items(), key=lambda each: (-each[0][0], each[0][1]))
    return tuple(
        Setting(size, tuple(sorted(pieces_of(of), key=lambda each: -lengths.get(each.name, 0.0))), notes)
        for (size, notes), of in found
    )


def _by_way(answers: Answers, way: Small) -> set[str]:
    """Return the names of the parts and panels done this way, which no machine takes as they are."""
    found = {each.part.part for each in answers.parts if way in each.small}
    return found | {each.panel.panel for each in answers.panels if way in each.small}


def planed(pieces: Sequence[Milled], answers: Answers, lengths: Lengths) -> tuple[Setting, ...]:
    """Return how thick everything is planed first."""
    settings: _Settings = defaultdict(Counter)
    thin = _by_way(answers, Small.CARRIER)
    for each in (each for each in pieces if not each.as_sawn):
        carried = Small.CARRIER.value if each.name in thin and not each.glued else ""
        notes = noted(each.species, each.glued and f"{each.glued} for gluing", carried)
        settings[each.planed, notes][each.name] += each.pieces
    return _settings(settings, lengths)


def jointed(pieces: Sequence[Milled], lengths: Lengths) -> tuple[Setting, ...]:
    """Return how staves and leaves are ripped; plies are glued as wide as they were cut."""
    settings: _Settings = defaultdict(Counter)
    for each in pieces:
        for width in (width for widths in each.glue_ups if each.glued != "plies" for width in widths):
            settings[width, ("joint the edges",)][each.name] += 1
    return _settings(settings, lengths)


def planed_glued(pieces: Sequence[Milled], answers: Answers, lengths: Lengths) -> tuple[Setting, ...]:
    """Return how thick what was glued is planed."""
    settings: _Settings = defaultdict(Counter)
    thin = _by_way(answers, Small.CARRIER)
    for each in (each for each in pieces if each.glued):
        carried = Small.CARRIER.value if each.name in thin else ""
        settings[each.thickness, noted(each.species, carried)][each.name] += each.qty
    return _settings(settings, lengths)


def ripped(answers: Answers, lengths: Lengths) -> tuple[Setting, ...]:
    """Return how wide every part is ripped; what is milled end to end is still one strip."""
    settings: _Settings = defaultdict(Counter)
    for part, blanks in ((found.part, found.blanks) for found in answers.parts):
        wide = is_narrow(part, blanks, answers.job.allowances.narrowest)
        both = "round over one edge of the blank, rip a strip off, and again; the sawn edges by hand"
        notes = noted(
            (both if part.round_over else "from the wide blank") if wide else "",
            "strips, cut apart later" if any(blank.along > 1 for blank in blanks) else "",
            "with the curve's rise" if part.rise else "",
        )
        settings[part.width + part.rise, notes][part.part] += strips(blanks)
    return _settings(settings, lengths)


def strips(blanks: Iterable[Blank]) -> int:
    """Return how many strips of a part there are before they are cut to length."""
    return sum((blank.wholes or blank.count) * blank.across for blank in blanks)


def crosscut(answers: Answers, lengths: Lengths) -> tuple[Setting, ...]:
    """Return how long every part is cut."""
    settings: _Settings = defaultdict(Counter)
    short = _by_way(answers, Small.SLED)
    for part, blanks in ((found.part, found.blanks) for found in answers.parts):
        long = any(blank.along > 1 for blank in blanks)
        notes = noted(
            "tenons included" if part.tenons else "",
            "from the long blank" if long else "",
            Small.SLED.value if part.part in short else "",
        )
        settings[part.length + sum(part.tenons), notes][part.part] += part.qty
    return _settings(settings, lengths)


def rounded_over(answers: Answers, lengths: Lengths, long: bool) -> tuple[Setting, ...]:
    """Return the radius at the edges: of small pieces while they are still ``long``, or of all others."""
    settings: _Settings = defaultdict(Counter)
    for part, blanks in ((found.part, found.blanks) for found in answers.parts if found.part.round_over):
        if is_narrow(part, blanks, answers.job.allowances.narrowest):
            continue  # while they are ripped off their wide blank
        small = is_small(part, blanks, answers.job.allowances.shortest)
        if small == long:
            notes = noted("the long edges; the ends later, by hand" if long else "")
            settings[part.round_over, notes][part.part] += strips(blanks) if long else part.qty
    return _settings(settings, lengths)


def is_small(part: Part, blanks: Iterable[Blank], shortest: float) -> bool:
    """Whether a part is rounded over before it is cut from its blank: it is too short for a machine after."""
    return part.length + sum(part.tenons) < shortest - 1e-9 or any(blank.along > 1 for blank in blanks)


def is_narrow(part: Part, blanks: Iterable[Blank], narrowest: float) -> bool:
    """Whether a part is ripped off a blank that is wider than it may be for a machine."""
    return part.width + part.rise < narrowest - 1e-9 or any(blank.across > 1 for blank in blanks)


def glued(pieces: Sequence[Milled], glue_ups: Sequence[GlueUpAnswer]) -> tuple[Line, ...]:
    """Return what is glued to wholes, each with what Glue-ups says of it: one line for each go."""
    wholes: dict[tuple[str, int, str, tuple[float, ...], tuple[str, ...]], Counter[str]] = {}
    said = {answer.of: answer for answer in glue_ups if answer.of}
    groups = Counter(
        each.name for each in pieces for widths in {w for w in each.glue_ups if len(w) > 1} if widths
    )
    alone = {name for name in said if groups[name] == 1}
    for each in pieces:
        for widths in (widths for widths in each.glue_ups if len(widths) > 1):
            unlike = widths if len(set(widths)) > 1 else ()
            notes = noted("opened like a book" if each.matched else "")
            key = each.name if each.name in alone else ""
            wholes.setdefault((key, len(widths), each.glued, unlike, notes), Counter())[each.name] += 1
    lines: list[Line] = [*spreads(glue_ups)]
    for (name, count, what, widths, notes), of in wholes.items():
        if not name:
            lines.append(Glued(count, what, pieces_of(of), widths, notes))
            continue
        answer = said[name]
        shares = shared_out(of[name], answer.goes)
        if len(shares) > MOST_GOES:
            session = GlueSession(answer, None, 0, len(shares))
            lines.append(Glued(count, what, pieces_of(of), widths, notes, session))
            continue
        for number, share in enumerate(shares, 1):
            joints = answer.steps[number - 1] if number <= len(answer.steps) else None
            session = GlueSession(answer, joints, number, len(shares))
            lines.append(Glued(count, what, (Pieces(name, share),), widths, notes, session))
    shown = {name for name, *_ in wholes}
    return (*lines, *sessions([answer for answer in glue_ups if not answer.of or answer.of not in shown]))


def spreads(glue_ups: Sequence[GlueUpAnswer]) -> tuple[Spread, ...]:
    """Return each adhesive of some glue-ups once."""
    return tuple({answer.glue_up.adhesive: Spread(answer) for answer in reversed(glue_ups)}.values())[::-1]


def sessions(glue_ups: Iterable[GlueUpAnswer]) -> tuple[GlueSession, ...]:
    """Return one line for each go of some glue-ups."""
    found: list[GlueSession] = []
    for answer in glue_ups:
        if answer.goes > MOST_GOES:
            found.append(GlueSession(answer, None, 0, answer.goes))
            continue
        joints: tuple[int | None, ...] = (answer.joints,)
        if answer.goes > 1:
            joints = answer.steps if len(answer.steps) == answer.goes else (None,) * answer.goes
        found += [GlueSession(answer, each, number, len(joints)) for number, each in enumerate(joints, 1)]
    return tuple(found)

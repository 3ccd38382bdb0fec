"""The tab Shop sheet: the work in the order in which it is done, one line a machine setting, for the bench."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import groupby, islice

from sheetkit.page import Page, PrintSetup, Style
from sheetkit.records.answers import Answers
from sheetkit.records.wood import Blank
from sheetkit.tabs.draft import (
    BLANK_LINE,
    CAUTION,
    COUNT,
    HEADING,
    STRONG,
    TEXT,
    TICK,
    Draft,
    Measure,
    ShopLine,
    footer,
)
from sheetkit.tabs.milling import Milled, as_cut, milled
from sheetkit.tabs.panel_picture import Section, panel_picture, section
from sheetkit.units import FINEST, rounded_down

BOX = "☐"
COLUMNS = {"Done": 5, "Pieces": 6, "Setting": 27, "What": 41, "Note": 32}
"""Heading -> width."""
SETTING = replace(STRONG, wrap=True)
MOST_NAMES = 24
"""Names on one line; a line must stay readable at arm's length."""
CAUTIONS = {
    "rough": "Case-hardened or tense wood pinches the blade: keep clear of the line of the cut, and wear eye and ear protection.",
    "plane": "Nothing shorter than the shop's least length goes over the jointer or through the planer. Use push blocks; "
             "collect the dust: wood dust harms the lungs, and dust of hardwoods can cause cancer.",
    "rip": "Use the riving knife or splitter, and a push stick; strips too narrow for the guard are ripped from a wider blank.",
    "cut": "Cut short pieces from the long blank last; never hold a short piece by hand at the blade.",
    "glue": "Try it dry, in its clamps, first. Keep adhesive off the skin; epoxy and its dust can cause lasting allergy.",
    "panels": "Finish the panels, edges too, before they go into the frame. Keep finish off every surface that will be glued.",
    "rest": "The panels are finished already; the amounts are for the whole piece.",
}  # fmt: skip


def shop_sheet_page(
    results: Answers, stamp: str, more: Mapping[str, Sequence[ShopLine]] | None = None
) -> Page:
    """Give the tab Shop sheet.

    ``more`` holds lines for the steps look, joints, dry, finish and glue; those of the last two stand in the order
    of their answers.
    """
    sheet, measure, more = results.job.sheet, Measure(results.job.sheet), more or {}
    draft = Draft("Shop sheet", "shop", tuple(COLUMNS.values()), stamp, sheet.job or "Shop sheet")
    facts = [text for text in (sheet.piece, sheet.number) if text]
    if facts:
        draft.across(" · ".join(facts), STRONG)
    headings = draft.row
    for column, text in enumerate(COLUMNS, 1):
        draft.put(column, text, replace(HEADING, size=8.0, align="center" if column < 3 else "left"))
    draft.heights[headings] = 15.0
    draft.row += 1
    step, planed = _Steps(draft, measure), milled(results)
    glue_blanks, glue_panels, glue_last = _parted_glue_ups(results, planed, more.get("glue", ()))
    finish_panels, finish = _parted_finish(results, more.get("finish", ()))
    assembled = bool(results.panels or results.joints or glue_last)
    assembled |= sum(found.part.qty for found in results.parts) > 1

    step.print("Check before cutting", "", more.get("look", ()))
    _rough_cut(step, results)
    _plane(step, planed)
    _glue_up_blanks(step, planed, glue_blanks)
    _rip_and_crosscut(step, results)
    cut = (("joints", results.joints), ("shapes", results.shapes))
    step.print(" and ".join(name for name, found in cut if found).capitalize(), "", more.get("joints", ()))
    _round_over(step, results)
    if assembled:
        _dry_assembly(step, results, more.get("dry", ()))
    _panels(step, results, glue_panels)
    step.print("Finish the panels", "panels", finish_panels)
    if assembled:
        _final_glue_up(step, results, glue_last)
    twice = len(finish_panels) + len(finish) > len(more.get("finish", ()))
    step.print("Finish", "rest" if twice else "", finish)
    draft.row += 1
    draft.across("sheetkit advises; it certifies nothing. Measure the wood before you cut it.", CAUTION)
    return draft.page(PrintSetup(paper=measure.paper, repeat_rows=(headings, headings), footer=footer(sheet)))


class _Steps:
    """Numbered steps with their lines."""

    def __init__(self, draft: Draft, measure: Measure) -> None:
        self.draft, self.measure, self.number = draft, measure, 0

    def print(self, name: str, caution: str, lines: Sequence[ShopLine]) -> None:
        """Print a step, unless there is nothing to do in it."""
        if lines:
            self.begin(name, caution)
            self.lines(lines)

    def begin(self, name: str, caution: str) -> None:
        self.number += 1
        self.draft.section(f"{self.number}  {name}")
        if caution:
            self.note(CAUTIONS[caution], CAUTION, 1)

    def note(self, text: str, style: Style = STRONG, first: int = 3) -> None:
        """Write what the lines below share, and keep it with them."""
        self.draft.kept.add(self.draft.row)
        self.draft.across(text, style, first)

    def lines(self, lines: Iterable[ShopLine]) -> None:
        for line in lines:
            draft = self.draft
            draft.put(1, BOX, TICK)
            if line.qty is not None:
                draft.put(2, line.qty, COUNT)
            draft.put(3, line.setting, SETTING)
            draft.put(5, line.note, TEXT)
            for column in (3, 5):
                draft.fit(column)
            if line.caution:
                draft.kept.add(draft.row)
            # long words with nothing beside them run on over the column of notes
            draft.across(line.what, TEXT, 4, 4 if line.note or len(line.what) <= COLUMNS["What"] else 5)
            if line.caution:
                draft.across(line.caution, CAUTION, 3)


def _names(counts: Mapping[str, int]) -> str:
    words = [f"{name} ({count})" for name, count in counts.items()]
    more = len(words) - MOST_NAMES
    return ", ".join(words[:MOST_NAMES]) + (f", and {more} more: see Rough sizes" if more > 0 else "")


_Settings = defaultdict[tuple[float, str], Counter[str]]
"""Setting of a machine and what to note of it -> pieces by name."""


def _noted(*notes: str) -> str:
    return "; ".join(filter(None, notes))


def _by_setting(words: str, settings: _Settings, step: _Steps) -> list[ShopLine]:
    """Give one line a setting, the largest first."""
    found = sorted(settings.items(), key=lambda each: (-each[0][0], each[0][1]))
    return [
        ShopLine(of.total(), f"{words} {step.measure.words(size)}", _names(of), note)
        for (size, note), of in found
    ]


def _rough_cut(step: _Steps, results: Answers) -> None:
    step.begin("Rough cut", "rough")
    cut = [each for blank in results.blanks if not blank.provisional for each in as_cut(blank, results)]
    cut.sort(key=lambda blank: (blank.species.name, blank.stock.nominal, -blank.length, -blank.width))
    for (species, stock), of_stock in groupby(cut, key=lambda blank: (blank.species.name, blank.stock.name)):
        step.note(f"{species}, {stock}")
        for (length, width), alike in groupby(of_stock, key=lambda blank: (blank.length, blank.width)):
            members: Counter[str] = Counter()
            notes = []
            for blank in alike:
                members[blank.of] += blank.count
                notes += _blank_notes(blank)
            setting = f"{step.measure.words(length)} long, {step.measure.words(width)} wide"
            step.lines([ShopLine(members.total(), setting, _names(members), "; ".join(dict.fromkeys(notes)))])
    _by_board(step, results)
    waiting = ", ".join(found.panel.panel for found in results.panels if not found.measured)
    rest = "Let the rough pieces rest some days, with air on all sides, before they are flattened."
    for text in (waiting and f"Wait with the wood for {waiting} until the dry assembly is measured.", rest):
        if text:
            step.draft.across(text, CAUTION, 3)


def _by_board(step: _Steps, results: Answers) -> None:
    """Print what comes from each board, when a layout chose them."""
    for laid in results.layouts:
        step.note(f"From the rack: {laid.species.name}, {laid.stock.name}")
        for board in laid.layout.boards:
            members = Counter(laid.blanks[int(placed.piece)].of for placed in board.placed)
            setting = f"board {board.board.id}"
            step.lines([ShopLine(members.total(), setting, _names(members), "cuts on Board layout")])


def _blank_notes(blank: Blank) -> list[str]:
    notes = []
    if blank.along * blank.across > 1:
        notes.append(f"holds {blank.along * blank.across}: mill long, then cut")
    if blank.layers > 1:
        notes.append(f"flatten, then resaw into {blank.layers}")
    if blank.together and blank.of != blank.together:
        notes.append(f"{blank.together}: {blank.how}")
    return notes


def _plane(step: _Steps, pieces: Sequence[Milled]) -> None:
    settings: _Settings = defaultdict(Counter)
    for each in pieces:
        note = _noted(each.species, each.glued and f"{each.glued} for gluing")
        settings[each.planed, note][each.name] += each.pieces
    step.print("Flatten and plane", "plane", _by_setting("plane to", settings, step))


def _glue_up_blanks(step: _Steps, pieces: Sequence[Milled], lines: Sequence[ShopLine]) -> None:
    """Print how staves are ripped, how blanks are glued up, and how thick these are planed."""
    ripped: _Settings = defaultdict(Counter)
    planed: _Settings = defaultdict(Counter)
    glued: defaultdict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    for each in pieces:
        for widths in each.glue_ups:
            plies = each.glued == "plies"
            for width in () if plies else widths:
                ripped[width, "joint the edges"][each.name] += 1
            if len(widths) > 1:
                setting = f"{len(widths)} {each.glued}, {'face to face' if plies else 'edge to edge'}"
                sizes = " + ".join(map(step.measure.words, widths)) if len(set(widths)) > 1 else ""
                glued[setting, _noted(sizes, each.note)][each.name] += 1
        if each.glued:
            planed[each.thickness, each.species][each.name] += each.qty
    wholes = [ShopLine(of.total(), setting, _names(of), note) for (setting, note), of in glued.items()]
    step.print("Rip and joint for gluing", "rip", _by_setting("rip to", ripped, step))
    step.print("Glue up blanks", "glue", [*wholes, *lines])
    step.print("Plane the glued blanks", "plane", _by_setting("plane to", planed, step))


def _rip_and_crosscut(step: _Steps, results: Answers) -> None:
    ripped: _Settings = defaultdict(Counter)
    crosscut: _Settings = defaultdict(Counter)
    for part, blanks in ((found.part, found.blanks) for found in results.parts):
        wide, long = any(blank.across > 1 for blank in blanks), any(blank.along > 1 for blank in blanks)
        note = _noted("from the wide blank" if wide else "", "with the curve's rise" if part.rise else "")
        ripped[part.width + part.rise, note][part.part] += part.qty
        note = _noted("tenons included" if part.tenons else "", "from the long blank" if long else "")
        crosscut[part.length + sum(part.tenons), note][part.part] += part.qty
    step.print("Rip to width", "rip", _by_setting("rip to", ripped, step))
    step.print("Crosscut to length", "cut", _by_setting("cut to", crosscut, step))


def _round_over(step: _Steps, results: Answers) -> None:
    rounded: _Settings = defaultdict(Counter)
    for part in (found.part for found in results.parts if found.part.round_over):
        rounded[part.round_over, ""][part.part] += part.qty
    step.print("Round over the edges", "", _by_setting("radius", rounded, step))


def _dry_assembly(step: _Steps, results: Answers, dry: Sequence[ShopLine]) -> None:
    step.begin("Dry assembly", "")
    what = "Assemble the frame dry" if results.panels else "Assemble dry"
    check = ShopLine(None, "no glue", f"{what}; check for square and twist, and every joint for fit", "")
    step.lines([*dry, check])
    draft = step.draft
    if results.panels:
        step.note("Measure each opening; write it here, then on Panels, and run sheetkit again.", CAUTION)
    for found in results.panels:
        draft.put(1, BOX, TICK)
        draft.put(2, found.panel.qty, COUNT)
        draft.put(3, found.panel.panel, SETTING)
        for column in (4, 5):
            draft.put(column, "width:" if column == 4 else "height:", BLANK_LINE)
        draft.heights[draft.row] = 24.0
        draft.fit(3)
        draft.row += 1


def _panels(step: _Steps, results: Answers, glue: Sequence[ShopLine]) -> None:
    lines: list[ShopLine] = []
    for found in results.panels:
        panel = found.panel
        if not found.measured:
            lines.append(ShopLine(panel.qty, "do not cut yet", panel.panel, "measure the opening first"))
            continue
        setting = f"{step.measure.words(found.width)} wide, {step.measure.words(found.height)} high"
        gap = step.measure.words(rounded_down(found.gap, FINEST[step.measure.unit]))
        note = f"{step.measure.words(panel.thickness)} thick; leave {gap} each side"
        lines.append(ShopLine(panel.qty, setting, panel.panel, note))
    step.print("Panels", "", [*lines, *glue])
    _pictures(step.draft, results)


def _final_glue_up(step: _Steps, results: Answers, lines: Sequence[ShopLine]) -> None:
    step.begin("Final glue-up", "glue")
    if results.panels:
        step.note("Panels stay loose in their grooves: no glue on them.", CAUTION, 1)
    what = "Glue the frame, panels loose in their grooves" if results.panels else "Glue up"
    step.lines(lines or [ShopLine(None, "in clamps", what, "check for square and twist")])


def _parted_finish(results: Answers, lines: Sequence[ShopLine]) -> tuple[list[ShopLine], list[ShopLine]]:
    """Part the finish: what goes on panels before they are in the frame, and what goes on the piece."""
    panels = sum((Counter({each.panel.panel: each.panel.qty}) for each in results.panels), Counter[str]())
    first: list[ShopLine] = []
    last: list[ShopLine] = []
    told: set[str] = set()
    for answer, line in zip(results.finish, lines, strict=False):
        on = {name: panels[name] for name in answer.names if name in panels}
        if len(on) < len(answer.names) or not on:
            last.append(line)
        if on:
            what = f"{answer.step.step}: {'all panels' if len(on) == len(panels) else _names(on)}"
            caution = " ".join(words for words in answer.cautions if words not in told)
            note = line.note if len(on) == len(answer.names) else "amount and days: see Finish"
            first.append(ShopLine(sum(on.values()), line.setting, what, note, caution))
            told.update(answer.cautions)
    return first, last


def _parted_glue_ups(
    results: Answers, pieces: Sequence[Milled], lines: Sequence[ShopLine]
) -> tuple[list[ShopLine], ...]:
    """Part the glue-ups by the names in their steps: blanks, panels that wait to be measured, all else."""
    now = {_words(each.name) for each in pieces if each.glued}
    later = {_words(found.panel.panel) for found in results.panels if not found.measured} | now
    names = {_words(blank.of) for blank in results.blanks}
    blanks: list[ShopLine] = []
    panels: list[ShopLine] = []
    last: list[ShopLine] = []
    left = iter(lines)
    for answer in results.glue_ups:
        step = _words(answer.glue_up.step)
        named = {name for name in names if name in step}
        # the longest name counts: Seat support, not Seat
        named = {name for name in named if not any(name in other for other in named - {name})}
        to = last if not named or named - later else panels if named - now else blanks
        to += islice(left, max(len(answer.steps), 1))
    return blanks, panels, last


def _words(text: str) -> str:
    """Give a text as whole words to look for in another: case, signs and a plural s do not count."""
    words = re.findall(r"[^\W_]+", text.casefold())
    return f" {' '.join(word.removesuffix('s') for word in words)} "


def _pictures(draft: Draft, results: Answers) -> None:
    """Show each panel in its groove; panels that look alike share a picture."""
    sheet = results.job.sheet
    alike: dict[Section, list[str]] = {}
    for found in results.panels:
        alike.setdefault(section(found, sheet), []).append(found.panel.panel)
    for seen, names in alike.items():
        draft.picture(panel_picture(seen, list(dict.fromkeys(names)), sheet, draft.row, column=3))

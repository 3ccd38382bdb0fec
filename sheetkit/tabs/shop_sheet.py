"""The tab Shop sheet: the work in the order in which it is done, a line a machine setting, for the bench."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from sheetkit.page import Page, Picture, PrintSetup, Range, Style
from sheetkit.records.answers import Answers
from sheetkit.records.tasks import Caution, Task
from sheetkit.records.work import (
    Coat,
    Cutting,
    DryFit,
    FromBoard,
    Glued,
    JointCut,
    Line,
    LoosePart,
    Noted,
    Opening,
    Place,
    Ready,
    RoughCut,
    Spread,
    Step,
)
from sheetkit.tabs.cautions import WORDS
from sheetkit.tabs.draft import (
    BLANK_LINE,
    CAUTION,
    COUNT,
    HEADING,
    STRONG,
    TEXT,
    TICK,
    Draft,
    Earlier,
    Measure,
    drawn,
    footer,
    titled,
)
from sheetkit.tabs.elevation_picture import elevation_picture
from sheetkit.tabs.letters import line_count, room
from sheetkit.tabs.panel_picture import Section, panel_picture, section
from sheetkit.tabs.shop_lines import NO_GLUE_UP, ShopLine, shop_line, spread_words

BOX = "☐"
SHORT = 0.35
"""A step that takes no more than this share of a page is not parted."""
WIDTHS = (4.2, 5.2, 27.0, 11.4, 9.6, 9.6, 22.0)
"""Of the columns: together they fit on either paper without being shrunk."""
PICTURE = 485.0
"""Greatest width of a picture [pt], less than that of the table."""
SETTING, WHAT, NOTE = 3, 4, 7
"""Columns in which a line's setting, what it is done to, and its note begin."""
BOLD = replace(STRONG, wrap=True, size=12.0)
WORDS_STYLE = replace(TEXT, size=11.0)
PLACE = replace(WORDS_STYLE, align="left")
MEASURED = replace(BOLD, align="center")
LINE_HEADING = replace(HEADING, size=8.0)
NOTED = replace(CAUTION, italic=False, size=11.0)
TITLES = {
    Task.GLUE_UP: "Glue up blanks",
    Task.ASSEMBLY: "Final glue-up",
    Task.FIT: "Fit hardware, bought and loose parts",
}
"""Titles of steps that are not called by their task."""
ABOVE = {
    Task.RESAW: "First flatten one face of each blank, square one edge to it and plane the other face: they "
    "run on the table and along the fence.",
    Task.PLANE: "On the jointer flatten one face and square one edge to it, then plane the other face: that "
    "edge runs along the fence of the saw.",
    Task.FINISH_AFTER: "Days count from the first day of finishing. Take off what glue was squeezed out, and "
    "sand there, first.",
    Task.TOP: "A wide part that lies loose, as a shelf on pins, is not screwed: say at delivery in its When.",
    Task.DELIVERY: "Measure doors, stairs and turnings on the way, and the piece as it stands, before it is "
    "loaded. Lift it from below, never by its top; blankets at every edge.",
}
"""What always stands above the lines of a step."""


def shop_sheet_page(answers: Answers, stamp: str) -> Page:
    """Return the tab Shop sheet."""
    return drawn(lambda earlier: _sheet(answers, stamp, earlier))


def _sheet(answers: Answers, stamp: str, earlier: Earlier) -> Draft:
    sheet, measure = answers.job.sheet, Measure.of(answers.job.sheet)
    facts = [text for text in (sheet.piece, sheet.number) if text]
    headings = 5 + bool(facts) + len(answers.notices)
    setup = PrintSetup(paper=measure.paper, repeat_rows=(headings, headings), footer=footer(sheet))
    draft = Draft("Shop sheet", "shop", WIDTHS, stamp, titled("Shop sheet", sheet), setup, earlier)
    if facts:
        draft.across(" · ".join(facts), STRONG)
    draft.across("sheetkit advises; it certifies nothing. Measure the wood before you cut it.", CAUTION)
    for notice in answers.notices:
        draft.across(f"{notice.says} {notice.instead}", CAUTION)
    for column, text in ((1, "Done"), (2, "Pieces"), (SETTING, "Setting"), (WHAT, "What"), (NOTE, "Note")):
        draft.put(column, text, replace(LINE_HEADING, align="center" if column < SETTING else "left"))
    for column in (5, 6):
        draft.put(column, None, LINE_HEADING)
    draft.heights[draft.row] = 15.0
    draft.row += 1
    for number, step in enumerate(answers.work, 1):
        title = _title(step, answers)
        draft.section(f"{number}  {title}{f': {step.machine}' if step.machine else ''}")
        _step(draft, step, answers, measure)
    return draft


def _title(step: Step, answers: Answers) -> str:
    title = TITLES.get(step.task) or step.task.capitalize()
    if step.task is Task.GLUE_UP and any(found.measured for found in answers.panels):
        title = "Glue up blanks and panels"
    return title


def _step(draft: Draft, step: Step, answers: Answers, measure: Measure) -> None:
    with draft.together(draft.row - 1, SHORT):
        for caution in step.cautions:
            draft.caution(_caution(caution, step, measure))
        for text in _before(step, answers):
            draft.caution(text)
        group = ""
        for line in step.lines:
            if not isinstance(line, Noted) and (new := _group(line)) != group:
                group = new
                if group:
                    _shared(draft, group, CAUTION if isinstance(line, Opening) else STRONG)
            _line(draft, line, step, measure)
    _below(draft, step, answers)


def _below(draft: Draft, step: Step, answers: Answers) -> None:
    """Draw what stands below the lines of a step: what to wait for, elevations, panels in their grooves."""
    if step.task is Task.ROUGH_CUT:
        draft.kept.add(draft.row - 1)
        kept = {name for line in step.lines if isinstance(line, FromBoard) for name in line.kept_back}
        waiting = [name for name in step.waiting if name not in kept]
        if waiting:
            words = f"Wait with the wood for {', '.join(waiting)} until the dry assembly is measured."
            draft.kept.add(draft.row)
            draft.across(words, CAUTION, SETTING)
        rest = "Let the rough pieces rest some days, with air on all sides, before they are flattened."
        draft.across(rest, CAUTION, SETTING)
    if step.task is Task.DRY_ASSEMBLY:
        for seen in answers.elevations:
            alike = f" ({seen.count} alike)" if seen.count > 1 else ""
            _shared(draft, f"{seen.name}{alike}: the numbers are told on Elevations", STRONG)
            _picture(draft, partial(elevation_picture, seen, answers.job.sheet, small=True))
    if step.task is Task.PANELS:
        _pictures(draft, answers)


def _line(draft: Draft, line: Line, step: Step, measure: Measure) -> None:
    match line:
        case Opening():
            _opening(draft, line, measure)
        case Noted():
            draft.across(f"{line.name}: {line.text}", NOTED, SETTING)
        case Spread():
            _shared(draft, spread_words(line.answer, measure), CAUTION)
        case Ready():
            draft.across(_ready(line), BOLD, SETTING)
        case JointCut():
            _cut(draft, line, measure)
        case _:
            _tick(draft, shop_line(line, step.task, measure))


def _caution(caution: Caution, step: Step, measure: Measure) -> str:
    weight = "" if step.weight is None else measure.weight(step.weight)
    if caution is Caution.HEAVY:
        people = f"{step.hands} people to lift and turn it; no one lifts with a bent back"
        return f"Together it weighs about {weight}: {people}."
    if caution is Caution.TURN:
        people = "one person" if step.hands == 1 else f"{step.hands} people"
        how = "on blankets, lifted clear of the floor, never tipped over its legs"
        return f"It is turned over for this (about {weight}, {people}): {how}."
    return WORDS[caution]


def _before(step: Step, answers: Answers) -> list[str]:
    """Return what stands above the lines of a step."""
    found = [ABOVE[step.task]] if step.task in ABOVE else []
    if any(isinstance(line, Glued) and line.session is None for line in step.lines):
        found.append(f"Where no clamps are told: {NO_GLUE_UP}.")
    if step.task is Task.ASSEMBLY and answers.panels:
        found.append("Panels stay loose in their grooves: no glue on them.")
    if step.task is Task.ASSEMBLY and _undecided(answers):
        found.append(
            "Parts that no joint on Joints holds stand after the finish. What fixes a joint, as a peg or a "
            "wedge, is driven now: say so in When on Parts."
        )
    if step.task is Task.FINISH_BEFORE:
        panels = "Finish the panels, edges too, before they go into the frame. " if answers.panels else ""
        found.append(f"{panels}Keep finish off every surface that will be glued.")
    if step.told_before:
        found.append("The panels are finished already.")
    return found


def _undecided(answers: Answers) -> bool:
    lines = (line for step in answers.work if step.task is Task.FIT for line in step.lines)
    return any(isinstance(line, LoosePart) and line.undecided for line in lines)


def _ready(line: Ready) -> str:
    return (
        f"Earliest delivery: day {line.day}" if line.delivery else f"Ready for the assembly on day {line.day}"
    )


def _group(line: Line) -> str:
    """Return what a line and those like it share, to stand above them."""
    match line:
        case RoughCut():
            return f"{line.species}, {line.stock}{', from boards to buy' if line.bought else ''}"
        case FromBoard():
            return f"{line.species}, {line.stock}: board by board, the cuts of each on Board layout"
        case DryFit():
            return "Each joint closes by hand, its shoulders tight."
        case Opening():
            if line.measured:
                return "Measured already; check it:"
            return "Measure each opening; write it here, then on Panels, and run sheetkit again."
        case Coat():
            return f"Day {line.day}"
        case LoosePart() if line.undecided:
            return "No joint on Joints holds these: screw, glue or lay them in place, as the design wants it."
    return ""


def _shared(draft: Draft, text: str, style: Style) -> None:
    """Write what the lines below share, and keep it with them."""
    draft.kept.add(draft.row)
    draft.across(text, style, SETTING)


def _tick(draft: Draft, line: ShopLine) -> None:
    for caution in line.cautions:
        draft.caution(caution, SETTING)
    draft.put(1, BOX, TICK)
    if line.qty is not None:
        draft.put(2, line.qty, COUNT)
    draft.put(SETTING, line.setting, BOLD)
    draft.fit(SETTING)
    begin = _note(draft, line)
    # words with nothing beside them run on over the column of notes
    draft.across(line.what, WORDS_STYLE, WHAT, begin - 1)


def _note(draft: Draft, line: ShopLine) -> int:
    """Write the note of a line where it finds room, and return the column in which it begins."""
    if not line.note:
        return NOTE + 1
    begin = NOTE
    if (
        line_count(line.note, room([WIDTHS[NOTE - 1]]), TEXT.size) > 2
        and line_count(line.what, room(WIDTHS[WHAT - 1 : NOTE - 2]), WORDS_STYLE.size) == 1
    ):
        begin -= 1
        draft.merged.append(Range(draft.row, begin, draft.row, NOTE))
    draft.put(begin, line.note, TEXT)
    draft.fit(begin, NOTE)
    return begin


def _cut(draft: Draft, cut: JointCut, measure: Measure) -> None:
    """Write one setting and a table of the places at which it cuts, on one page if that holds it."""
    with draft.together(draft.row):
        line = shop_line(cut, Task.JOINTS, measure)
        draft.kept.add(draft.row)
        machine = f"{cut.machine.capitalize()}: " if cut.machine else ""
        draft.across(f"{machine}{'; '.join(filter(None, (line.setting, line.note)))}", BOLD, SETTING)
        first, last = _ends(cut)
        held = draft.row
        for column, text in (
            (2, "Cuts"),
            (SETTING, "Part"),
            (4, "On"),
            (5, first),
            (6, last),
            (NOTE, "Joint"),
        ):
            draft.put(
                column,
                text if text else None,
                replace(LINE_HEADING, align="center" if column in (2, 5, 6) else "left"),
            )
        draft.heights[draft.row] = 14.0
        draft.kept.add(held)
        draft.row += 1
        for place in cut.places:
            _place(draft, place, cut, measure)


def _ends(cut: JointCut) -> tuple[str, str]:
    """Return what the two sizes of a place are called."""
    if cut.cutting is Cutting.HOLE:
        if all(place.begin is None for place in cut.places):
            return "Row wide", ""
        return "Center", "Last" if any(place.holes > 1 for place in cut.places) else ""
    if cut.cutting is Cutting.TENON:
        return "Wide", ""
    return "From", "To"


def _place(draft: Draft, place: Place, cut: JointCut, measure: Measure) -> None:
    draft.put(1, BOX, TICK)
    draft.put(2, place.count, COUNT)
    pieces = f", {place.pieces}" if place.pieces else ""
    draft.put(SETTING, f"{place.part}{pieces}", PLACE)
    draft.put(4, place.surface or None, PLACE)
    first, last = _sizes(place, cut, measure.words)
    draft.put(5, first or None, MEASURED)
    draft.put(6, last or None, MEASURED)
    draft.put(NOTE, "; ".join((place.joint, *_place_notes(place, cut, measure))), TEXT)
    draft.heights[draft.row] = 18.0
    for column in (SETTING, 4, 5, 6, NOTE):
        draft.fit(column)
    draft.row += 1


def _place_notes(place: Place, cut: JointCut, measure: Measure) -> Iterator[str]:
    if place.begin is None:
        return
    if place.off_shoulder:
        yield "from the shoulder"
    if place.surface.endswith("end"):
        yield "from the edge"
    if place.holes > 1:
        yield f"{place.holes} holes, {measure.words(place.apart)} apart"
    if place.crosswise and place.across is None:
        yield "right across"
    if place.across is not None and not place.surface.endswith("end"):
        begin, end = place.across
        side = "edge" if place.surface in ("face", "back") else "face"
        where = measure.words((begin + end) / 2 if cut.cutting is Cutting.HOLE else begin)
        yield f"{f'across, {where} to {measure.words(end)}' if place.crosswise else where} from the {side}"


def _sizes(place: Place, cut: JointCut, words: Callable[[float], str]) -> tuple[str, str]:
    """Return the two sizes of a place, the second empty where one is enough."""
    if cut.cutting is Cutting.HOLE and place.begin is not None and place.end is not None:
        radius = cut.thickness / 2
        return words(place.begin + radius), words(place.end - radius) if place.holes > 1 else ""
    if cut.cutting in (Cutting.TENON, Cutting.HOLE):
        return ("" if place.size is None else words(place.size)), ""
    if place.begin is None or place.end is None:
        if cut.cutting is Cutting.GROOVE:
            return "right through", ""
        return "by mark", "" if place.size is None else f"{words(place.size)} long"
    return words(place.begin), words(place.end)


def _opening(draft: Draft, line: Opening, measure: Measure) -> None:
    draft.put(1, BOX, TICK)
    draft.put(2, line.count, COUNT)
    draft.put(SETTING, line.panel, BOLD)
    width, height = ("", "") if line.measured is None else map(measure.words, line.measured)
    draft.put(WHAT, f"width: {width}".rstrip(), BLANK_LINE)
    draft.put(WHAT + 1, None, BLANK_LINE)
    draft.put(WHAT + 2, f"height: {height}".rstrip(), BLANK_LINE)
    draft.put(NOTE, None, BLANK_LINE)
    draft.heights[draft.row] = 24.0
    draft.fit(SETTING)
    draft.row += 1


def _pictures(draft: Draft, answers: Answers) -> None:
    """Show each panel in its groove; panels that look alike share a picture."""
    sheet = answers.job.sheet
    alike: dict[Section, list[str]] = {}
    for found in answers.panels:
        alike.setdefault(section(found, sheet), []).append(found.panel.panel)
    for seen, names in alike.items():
        _picture(draft, partial(panel_picture, seen, list(dict.fromkeys(names)), sheet))


def _picture(draft: Draft, draw: Callable[[int], Picture]) -> None:
    """Lay a picture over the sheet, no wider than the table: one that is would shrink the whole print."""

    def narrowed(row: int) -> Picture:
        picture = draw(row)
        scale = min(1.0, PICTURE / picture.width)
        return replace(picture, width=picture.width * scale, height=picture.height * scale)

    draft.picture(narrowed)

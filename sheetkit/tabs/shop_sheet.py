"""The tab Shop sheet: the work in the order in which it is done, one line a machine setting, for the bench."""

from __future__ import annotations

from dataclasses import replace

from sheetkit.page import Page, PrintSetup, Style
from sheetkit.records.answers import Answers
from sheetkit.records.work import FromBoard, Line, Opening, RoughCut, Step, Task
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
    footer,
    titled,
)
from sheetkit.tabs.elevation_picture import small_elevations
from sheetkit.tabs.panel_picture import Section, panel_picture, section
from sheetkit.tabs.shop_lines import ShopLine, shop_line

BOX = "☐"
COLUMNS = {"Done": 5, "Pieces": 6, "Setting": 27, "What": 41, "Note": 32}
"""Heading -> width."""
SETTING = replace(STRONG, wrap=True)
DUST = (
    "Nothing shorter than the shop's least length goes over the jointer or through the planer. Use push blocks; "
    "collect the dust: wood dust harms the lungs, and dust of hardwoods can cause cancer."
)
RIP = "Use the riving knife or splitter, and a push stick; strips too narrow for the guard are ripped from a wider blank."
GLUE = "Try it dry, in its clamps, first. Keep adhesive off the skin; epoxy and its dust can cause lasting allergy."
CAUTIONS = {
    Task.ROUGH_CUT: "Case-hardened or tense wood pinches the blade: keep clear of the line of the cut, "
    "and wear eye and ear protection.",
    Task.PLANE: DUST,
    Task.JOINT_EDGES: RIP,
    Task.GLUE_BLANKS: GLUE,
    Task.PLANE_GLUED: DUST,
    Task.WIDTH: RIP,
    Task.LENGTH: "Cut short pieces from the long blank last; never hold a short piece by hand at the blade.",
    Task.ASSEMBLY: GLUE,
}
"""What to take care of in a step."""
TITLES = {
    Task.FINISH_BEFORE: "Finish before assembly",
    Task.ASSEMBLY: "Final glue-up",
    Task.FINISH_AFTER: "Finish",
}
"""Titles of steps that are not called by their task."""


def shop_sheet_page(answers: Answers, stamp: str) -> Page:
    """Give the tab Shop sheet."""
    sheet, measure = answers.job.sheet, Measure.of(answers.job.sheet)
    draft = Draft("Shop sheet", "shop", tuple(COLUMNS.values()), stamp, titled("Shop sheet", sheet))
    facts = [text for text in (sheet.piece, sheet.number) if text]
    if facts:
        draft.across(" · ".join(facts), STRONG)
    headings = draft.row
    for column, text in enumerate(COLUMNS, 1):
        draft.put(column, text, replace(HEADING, size=8.0, align="center" if column < 3 else "left"))
    draft.heights[headings] = 15.0
    draft.row += 1
    for number, step in enumerate(answers.work, 1):
        draft.section(f"{number}  {TITLES.get(step.task) or step.task.capitalize()}")
        _step(draft, step, answers, measure)
    draft.row += 1
    draft.across("sheetkit advises; it certifies nothing. Measure the wood before you cut it.", CAUTION)
    return draft.page(PrintSetup(paper=measure.paper, repeat_rows=(headings, headings), footer=footer(sheet)))


def _step(draft: Draft, step: Step, answers: Answers, measure: Measure) -> None:
    for text in _before(step, answers):
        _note(draft, text, CAUTION, 1)
    group = ""
    for line in step.lines:
        if (new := _group(line)) != group:
            group = new
            _note(draft, group, CAUTION if isinstance(line, Opening) else STRONG, 3)
        if isinstance(line, Opening):
            _opening(draft, line)
        else:
            _tick(draft, shop_line(line, step.task, measure))
    if step.task is Task.ROUGH_CUT:
        if step.waiting:
            waiting = f"Wait with the wood for {', '.join(step.waiting)} until the dry assembly is measured."
            draft.across(waiting, CAUTION, 3)
        rest = "Let the rough pieces rest some days, with air on all sides, before they are flattened."
        draft.across(rest, CAUTION, 3)
    if step.task is Task.DRY_ASSEMBLY:
        small_elevations(draft, answers, 3)
    if step.task is Task.PANELS:
        _pictures(draft, answers)


def _before(step: Step, answers: Answers) -> list[str]:
    """Give what stands above the lines of a step."""
    found = [CAUTIONS[step.task]] if step.task in CAUTIONS else []
    if step.task is Task.ASSEMBLY and answers.panels:
        found.append("Panels stay loose in their grooves: no glue on them.")
    if step.task is Task.FINISH_BEFORE:
        panels = "Finish the panels, edges too, before they go into the frame. " if answers.panels else ""
        found.append(f"{panels}Keep finish off every surface that will be glued.")
    if step.told_before:
        found.append("The panels are finished already; the amounts are for the whole piece.")
    return found


def _group(line: Line) -> str:
    """Give what a line and those like it share, to stand above them."""
    match line:
        case RoughCut():
            return f"{line.species}, {line.stock}"
        case FromBoard():
            return f"From the rack: {line.species}, {line.stock}"
        case Opening():
            return "Measure each opening; write it here, then on Panels, and run sheetkit again."
    return ""


def _note(draft: Draft, text: str, style: Style, first: int) -> None:
    """Write what the lines below share, and keep it with them."""
    draft.kept.add(draft.row)
    draft.across(text, style, first)


def _tick(draft: Draft, line: ShopLine) -> None:
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


def _opening(draft: Draft, line: Opening) -> None:
    draft.put(1, BOX, TICK)
    draft.put(2, line.count, COUNT)
    draft.put(3, line.panel, SETTING)
    for column in (4, 5):
        draft.put(column, "width:" if column == 4 else "height:", BLANK_LINE)
    draft.heights[draft.row] = 24.0
    draft.fit(3)
    draft.row += 1


def _pictures(draft: Draft, answers: Answers) -> None:
    """Show each panel in its groove; panels that look alike share a picture."""
    sheet = answers.job.sheet
    alike: dict[Section, list[str]] = {}
    for found in answers.panels:
        alike.setdefault(section(found, sheet), []).append(found.panel.panel)
    for seen, names in alike.items():
        draft.picture(panel_picture(seen, list(dict.fromkeys(names)), sheet, draft.row, column=3))

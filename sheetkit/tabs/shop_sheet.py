"""The tab Shop sheet: the work in order, one line a machine setting, to print and carry to the bench."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import groupby

from sheetkit.model import Part
from sheetkit.page import Page, PrintSetup, Style
from sheetkit.results import Blank, Results
from sheetkit.tabs.draft import (
    BLANK_LINE,
    CAUTION,
    COUNT,
    STRONG,
    TEXT,
    TICK,
    Draft,
    Measure,
    ShopLine,
    footer,
)
from sheetkit.tabs.panel_picture import Section, panel_picture, section
from sheetkit.units import FINEST, length_text, rounded_down

BOX = "☐"
SETTING = replace(STRONG, wrap=True)
MOST_NAMES = 24
"""Names on one line; a line must stay readable at arm's length."""
PLANE_OVER = 1 / 16
"""Left on staves and on glued-up work for flattening after the glue, common practice [in]."""
CAUTIONS = {
    "rough": "Lumber under tension closes on the blade: keep clear of the line of the cut, and wear eye and ear protection.",
    "plane": "Nothing shorter than the shop's least length goes over the jointer or through the planer. Use push blocks; "
             "collect the dust: wood dust harms the lungs, and dust of hardwoods can cause cancer.",
    "rip": "Use splitter and push stick; strips narrower than the blade guard allows are ripped from a wider blank.",
    "cut": "Cut short pieces from the long blank last; never hold a short piece by hand at the blade.",
    "glue": "Dry-assemble first. Keep adhesive off the skin; epoxy and its dust can cause lasting allergy.",
}  # fmt: skip


def shop_sheet_page(
    results: Results, stamp: str, more: Mapping[str, Sequence[ShopLine]] | None = None
) -> Page:
    """Give the tab Shop sheet.

    ``more`` holds lines for the steps look, joints, dry, finish and glue.
    """
    sheet, measure = results.job.sheet, Measure(results.job.sheet)
    draft = Draft("Shop sheet", "shop", (4, 6, 27, 42, 31), stamp, sheet.job or "Shop sheet")
    facts = [text for text in (sheet.piece, sheet.number) if text]
    if facts:
        draft.across(" · ".join(facts), STRONG)
    step = _Steps(draft, measure)
    more = more or {}
    if more.get("look"):
        step.begin("Look again before cutting", "")
        step.lines(more["look"])
    _rough_cut(step, results, measure)
    _plane(step, results, measure)
    _rip(step, results, measure)
    _crosscut(step, results, measure)
    if more.get("joints"):
        step.begin("Joints", "")
        step.lines(more["joints"])
    _dry_assembly(step, results, more.get("dry", ()))
    _panels(step, results, measure)
    if more.get("finish"):
        step.begin("Finish", "")
        if results.panels:
            step.note("Finish the panels before they go into the frame.", CAUTION)
        step.lines(more["finish"])
    step.begin("Glue-up", "glue")
    step.lines(
        more.get("glue")
        or [ShopLine(1, "last", "Glue the frame, panels loose in their grooves", "check for square and wind")]
    )
    draft.row += 1
    draft.across("sheetkit advises; it certifies nothing. Measure the wood before you cut it.", CAUTION)
    return draft.page(PrintSetup(paper=measure.paper, repeat_rows=(1, 1), footer=footer(sheet)))


class _Steps:
    """Numbered steps with their lines."""

    def __init__(self, draft: Draft, measure: Measure) -> None:
        self.draft, self.measure, self.number = draft, measure, 0

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
            draft.put(4, line.what, TEXT)
            draft.put(5, line.note, TEXT)
            for column in (3, 4, 5):
                draft.fit(column)
            if line.caution:
                draft.kept.add(draft.row)
            draft.row += 1
            if line.caution:
                draft.across(line.caution, CAUTION, 3)


def _size(size: float, measure: Measure) -> str:
    return length_text(size, measure.sheet.unit)


def _names(counts: Mapping[str, int]) -> str:
    words = [f"{name} ({count})" for name, count in counts.items()]
    more = len(words) - MOST_NAMES
    return ", ".join(words[:MOST_NAMES]) + (f", and {more} more: see Rough sizes" if more > 0 else "")


Settings = dict[tuple[float, str], dict[str, int]]
"""Setting of a machine and what to note -> pieces by name."""


def _add(settings: Settings, size: float, note: str, name: str, count: int) -> None:
    members = settings.setdefault((size, note), {})
    members[name] = members.get(name, 0) + count


def _print(step: _Steps, words: str, settings: Settings, measure: Measure) -> None:
    """Print one line a setting, the largest first."""
    for size, note in sorted(settings, key=lambda key: (-key[0], key[1])):
        members = settings[size, note]
        step.lines(
            [ShopLine(sum(members.values()), f"{words} {_size(size, measure)}", _names(members), note)]
        )


def _rough_cut(step: _Steps, results: Results, measure: Measure) -> None:
    step.begin("Rough cut", "rough")
    waiting = [found.panel.panel for found in results.panels if not found.measured]
    cut = [blank for blank in results.blanks if not blank.provisional]
    cut.sort(key=lambda blank: (blank.species.name, blank.stock.nominal, -blank.length, -blank.width))
    for (species, stock), of_stock in groupby(cut, key=lambda blank: (blank.species.name, blank.stock.name)):
        step.note(f"{species}, {stock}")
        for (length, width), alike in groupby(of_stock, key=lambda blank: (blank.length, blank.width)):
            members: dict[str, int] = {}
            notes = []
            for blank in alike:
                members[blank.of] = members.get(blank.of, 0) + blank.count
                notes += _blank_notes(blank)
            setting = f"{_size(length, measure)} long, {_size(width, measure)} wide"
            step.lines(
                [ShopLine(sum(members.values()), setting, _names(members), "; ".join(dict.fromkeys(notes)))]
            )
    _by_board(step, results)
    if waiting:
        step.draft.across(
            f"Wait with the wood for {', '.join(waiting)} until the dry assembly is measured.", CAUTION, 3
        )
    step.draft.across(
        "Let the rough pieces rest some days, with air on all sides, before they are flattened.", CAUTION, 3
    )


def _by_board(step: _Steps, results: Results) -> None:
    """Print what comes from each board, when a layout chose them."""
    for laid in results.layouts:
        step.note(f"From the rack: {laid.species.name}, {laid.stock.name}")
        for board in laid.layout.boards:
            members: dict[str, int] = {}
            for placed in board.placed:
                name = laid.blanks[int(placed.piece)].of
                members[name] = members.get(name, 0) + 1
            count = sum(members.values())
            step.lines([ShopLine(count, f"board {board.board.id}", _names(members), "cuts on Board layout")])


def _blank_notes(blank: Blank) -> list[str]:
    notes = []
    if blank.along * blank.across > 1:
        notes.append(f"{blank.along * blank.across} pieces in one: mill long, then cut")
    if blank.layers > 1:
        notes.append(f"resaw into {blank.layers} leaves")
    if blank.together and blank.of != blank.together:
        notes.append(f"{blank.together}: {blank.how}")
    return notes


def planed_thickness(part: Part, plies: int, clean_up: float) -> tuple[float, str]:
    """Give the thickness to plane a part's blanks to before any glue, and what is then left to do."""
    if part.made_as == "face-glued":
        return (part.thickness + clean_up) / plies, "plies; clean up after gluing"
    if part.made_as == "edge-glued":
        return part.thickness + PLANE_OVER, "staves; flatten after gluing"
    return part.thickness, ""


def _plane(step: _Steps, results: Results, measure: Measure) -> None:
    step.begin("Flatten and plane", "plane")
    settings: Settings = {}
    for found in results.parts:
        part = found.part
        count = sum(blank.count for blank in found.blanks)
        plies = count // part.qty if part.made_as == "face-glued" else 1
        thickness, note = planed_thickness(part, plies, results.job.allowances.ply_clean_up)
        _add(settings, thickness, "; ".join(filter(None, (part.species.name, note))), part.part, count)
    for panel in results.panels:
        if panel.measured:
            count = sum(blank.count * blank.layers for blank in panel.blanks)
            note = f"{panel.panel.species.name}; staves or leaves; flatten after gluing"
            _add(settings, panel.panel.thickness + PLANE_OVER, note, panel.panel.panel, count)
    _print(step, "plane to", settings, measure)


def _rip(step: _Steps, results: Results, measure: Measure) -> None:
    step.begin("Rip to width", "rip")
    settings: Settings = {}
    for found in results.parts:
        part, first = found.part, found.blanks[0]
        if part.made_as == "edge-glued":
            net = first.width - min(first.per_glue_up - 1, 2) * results.job.allowances.edge_joint
            _add(settings, net, "joint the edges for gluing", part.part, first.count)
            continue
        across = max(blank.across for blank in found.blanks)
        notes = (
            ["after gluing"]
            if part.made_as == "face-glued"
            else ["from the wide blank"]
            if across > 1
            else []
        )
        if part.rise:
            notes.append("the curve's rise is in it; saw it after")
        _add(settings, part.width + part.rise, "; ".join(notes), part.part, part.qty)
    _print(step, "rip at", settings, measure)


def _crosscut(step: _Steps, results: Results, measure: Measure) -> None:
    step.begin("Crosscut to length", "cut")
    settings: Settings = {}
    for found in results.parts:
        part = found.part
        notes = ["tenons included"] if part.tenons else []
        if max(blank.along for blank in found.blanks) > 1:
            notes.append("cut from the long blank")
        _add(settings, part.length + sum(part.tenons), "; ".join(notes), part.part, part.qty)
    _print(step, "stop at", settings, measure)


def _dry_assembly(step: _Steps, results: Results, dry: Sequence[ShopLine]) -> None:
    step.begin("Dry assembly", "")
    step.lines(dry)
    draft = step.draft
    if not results.panels:
        step.lines(
            [
                ShopLine(
                    None, "no glue", "Assemble the frame dry; check for square, and every joint for fit", ""
                )
            ]
        )
        return
    step.note(
        "Assemble the frame dry and measure each opening; write it here, then on Panels, and run sheetkit again.",
        CAUTION,
    )
    for found in results.panels:
        draft.put(1, BOX, TICK)
        draft.put(2, found.panel.qty, COUNT)
        draft.put(3, found.panel.panel, SETTING)
        for column in (4, 5):
            draft.put(column, "width:" if column == 4 else "height:", BLANK_LINE)
        draft.heights[draft.row] = 24.0
        draft.fit(3)
        draft.row += 1


def _panels(step: _Steps, results: Results, measure: Measure) -> None:
    if not results.panels:
        return
    step.begin("Panels", "")
    lines: list[ShopLine] = []
    for found in results.panels:
        if not found.measured:
            lines.append(
                ShopLine(
                    found.panel.qty,
                    "do not cut yet",
                    found.panel.panel,
                    "provisional: measure the opening first",
                )
            )
            continue
        setting = f"{_size(found.width, measure)} wide, {_size(found.height, measure)} high"
        gap = length_text(rounded_down(found.gap, FINEST[measure.unit]), measure.sheet.unit)
        lines.append(
            ShopLine(
                found.panel.qty,
                setting,
                found.panel.panel,
                f"{_size(found.panel.thickness, measure)} thick; leave {gap} each side",
            )
        )
    step.lines(lines)
    _pictures(step.draft, results)


def _pictures(draft: Draft, results: Results) -> None:
    """Show each panel in its groove; panels that look alike share a picture."""
    sheet = results.job.sheet
    alike: dict[Section, list[str]] = {}
    for found in results.panels:
        alike.setdefault(section(found, sheet), []).append(found.panel.panel)
    for seen, names in alike.items():
        draft.picture(panel_picture(seen, list(dict.fromkeys(names)), sheet, draft.row, column=3))

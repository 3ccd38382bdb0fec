"""The tab Shop sheet: the work in order, one line a machine setting, to print and carry to the bench."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from sheetkit.model import Part
from sheetkit.page import Page, PrintSetup
from sheetkit.results import Blank, PanelAnswer, PartAnswer, Results
from sheetkit.tabs.draft import BLANK_LINE, CAUTION, COUNT, STRONG, TEXT, TICK, Draft, Measure, footer
from sheetkit.units import length_text

BOX = "☐"
PLANE_OVER = 1 / 16
"""Left on staves and on glued-up work for flattening after the glue, common practice [in]."""
CAUTIONS = {
    "rough": "Lumber under tension closes on the blade: keep clear of the line of the cut, and wear eye and ear protection.",
    "plane": "Nothing shorter than the shop's least length goes over the jointer or through the planer. Use push blocks; "
             "collect the dust: wood dust harms the lungs, and dust of hardwoods can cause cancer.",
    "rip": "Use splitter and push stick; strips narrower than the blade guard allows are ripped from a wider blank.",
    "cut": "Cut short pieces from the long blank last; never hold a short piece by hand at the blade.",
    "glue": "Dry-assemble first. Keep adhesive off the skin; epoxy and its dust can cause lasting allergy.",
    "finish": "Rags with drying oil can catch fire by themselves: spread them singly outdoors, or keep them under water in a closed metal can.",
}  # fmt: skip


def shop_sheet_page(results: Results, stamp: str, more: Mapping[str, Sequence[tuple[int | None, str, str, str]]] | None = None) -> Page:
    """Give the tab Shop sheet.

    ``more`` holds lines (quantity, setting, what, note) for the steps joints, glue and finish.
    """
    sheet, measure = results.job.sheet, Measure(results.job.sheet)
    draft = Draft("Shop sheet", "shop", (4, 6, 27, 42, 31), stamp, sheet.job or "Shop sheet")
    facts = [text for text in (sheet.piece, sheet.number) if text]
    if facts:
        draft.across(" · ".join(facts), STRONG)
    step = _Steps(draft, measure)
    more = more or {}
    _rough_cut(step, results, measure)
    _plane(step, results, measure)
    _rip(step, results, measure)
    _crosscut(step, results, measure)
    if more.get("joints"):
        step.begin("Joints", "")
        step.lines(more["joints"])
    _dry_assembly(step, results)
    _panels(step, results, measure)
    if more.get("finish"):
        step.begin("Finish", "finish")
        if results.panels:
            draft.across("Finish the panels before they go into the frame.", CAUTION, 3)
        step.lines(more["finish"])
    step.begin("Glue-up", "glue")
    step.lines(more.get("glue") or [(1, "last", "Glue the frame, panels loose in their grooves", "check for square and wind")])
    draft.row += 1
    draft.across("sheetkit advises; it certifies nothing. Measure the wood before you cut it.", CAUTION)
    return draft.page(PrintSetup(paper=measure.paper, footer=footer(sheet)))


class _Steps:
    """Numbered steps with their lines."""

    def __init__(self, draft: Draft, measure: Measure) -> None:
        self.draft, self.measure, self.number = draft, measure, 0

    def begin(self, name: str, caution: str) -> None:
        self.number += 1
        self.draft.section(f"{self.number}  {name}")
        if caution:
            self.draft.across(CAUTIONS[caution], CAUTION)

    def lines(self, lines: Iterable[tuple[int | None, str, str, str]]) -> None:
        for count, setting, what, note in lines:
            draft = self.draft
            draft.put(1, BOX, TICK)
            if count is not None:
                draft.put(2, count, COUNT)
            draft.put(3, setting, STRONG)
            draft.put(4, what, TEXT)
            draft.put(5, note, TEXT)
            for column in (3, 4, 5):
                draft.fit(column)
            draft.row += 1


def _size(size: float, measure: Measure) -> str:
    return length_text(size, measure.sheet.unit)


def _names(counts: Mapping[str, int]) -> str:
    return ", ".join(f"{name} ({count})" for name, count in counts.items())


def _add(groups: dict[tuple[object, ...], dict[str, int]], key: tuple[object, ...], name: str, count: int) -> None:
    members = groups.setdefault(key, {})
    members[name] = members.get(name, 0) + count


def _blanks(results: Results) -> list[Blank]:
    return [blank for found in (*results.parts, *results.panels) for blank in found.blanks]


def _rough_cut(step: _Steps, results: Results, measure: Measure) -> None:
    step.begin("Rough cut", "rough")
    groups: dict[tuple[object, ...], dict[str, int]] = {}
    notes: dict[tuple[object, ...], list[str]] = {}
    for blank in sorted(_blanks(results), key=lambda each: (each.species.name, each.stock.nominal, -each.length, -each.width)):
        if blank.provisional:
            continue
        key = (blank.species.name, blank.stock.name, blank.length, blank.width)
        _add(groups, key, blank.of, blank.count)
        if blank.along * blank.across > 1:
            notes.setdefault(key, []).append(f"{blank.of}: {blank.along * blank.across} pieces in one, mill long, then cut")
        if blank.layers > 1:
            notes.setdefault(key, []).append(f"{blank.of}: resaw into {blank.layers} leaves")
        if blank.together:
            notes.setdefault(key, []).append(f"{blank.together}: {blank.how}")
    last = None
    for key, members in groups.items():
        species, stock, length, width = key
        if (species, stock) != last:
            step.draft.across(f"{species}, {stock}", STRONG, 3)
            last = (species, stock)
        assert isinstance(length, float)
        assert isinstance(width, float)
        setting = f"{_size(length, measure)} long, {_size(width, measure)} wide"
        step.lines([(sum(members.values()), setting, _names(members), "; ".join(dict.fromkeys(notes.get(key, []))))])
    waiting = [found.panel.panel for found in results.panels if not found.measured]
    if waiting:
        step.draft.across(f"Wait with the wood for {', '.join(waiting)} until the dry assembly is measured.", CAUTION, 3)
    step.draft.across("Let the rough pieces rest some days, with air on all sides, before they are flattened.", CAUTION, 3)


def planed_thickness(part: Part, plies: int, clean_up: float) -> tuple[float, str]:
    """Give the thickness to plane a part's blanks to before any glue, and what is then left to do."""
    if part.made_as == "face-glued":
        return (part.thickness + clean_up) / plies, "plies; clean up after gluing"
    if part.made_as == "edge-glued":
        return part.thickness + PLANE_OVER, "staves; flatten after gluing"
    return part.thickness, ""


def _made(found: PartAnswer | PanelAnswer) -> list[tuple[Blank, int]]:
    return [(blank, blank.count) for blank in found.blanks]


def _plane(step: _Steps, results: Results, measure: Measure) -> None:
    step.begin("Flatten and plane", "plane")
    groups: dict[tuple[object, ...], dict[str, int]] = {}
    for found in results.parts:
        part = found.part
        plies = found.blanks[0].count // part.qty if part.made_as == "face-glued" and found.blanks else 1
        thickness, note = planed_thickness(part, plies, results.job.allowances.ply_clean_up)
        for blank, count in _made(found):
            _add(groups, (thickness, note, blank.species.name), part.part, count)
    for panel in results.panels:
        if panel.measured:
            for blank, count in _made(panel):
                _add(groups, (panel.panel.thickness + PLANE_OVER, "staves or leaves; flatten after gluing", blank.species.name),
                     panel.panel.panel, count)  # fmt: skip
    for key in sorted(groups, key=lambda each: (-_number(each[0]), str(each[1]), str(each[2]))):
        thickness, note, species = key
        words = f"{species}; {note}" if note else str(species)
        step.lines([(sum(groups[key].values()), f"plane to {_size(_number(thickness), measure)}", _names(groups[key]), words)])


def _number(value: object) -> float:
    assert isinstance(value, float | int)
    return float(value)


def _rip(step: _Steps, results: Results, measure: Measure) -> None:
    step.begin("Rip to width", "rip")
    groups: dict[tuple[object, ...], dict[str, int]] = {}
    for found in results.parts:
        part = found.part
        if part.made_as == "edge-glued":
            net = found.blanks[0].width - min(found.blanks[0].per_glue_up - 1, 2) * results.job.allowances.edge_joint
            _add(groups, (net, "joint the edges for gluing"), part.part, found.blanks[0].count)
            continue
        across = max(blank.across for blank in found.blanks)
        note = "after gluing" if part.made_as == "face-glued" else "from the wide blank" if across > 1 else ""
        if part.rise:
            note = f"{note}; saw the curve after" if note else "with the curve's rise; saw it after"
        _add(groups, (part.width + part.rise, note), part.part, part.qty)
    for key in sorted(groups, key=lambda each: (-_number(each[0]), str(each[1]))):
        step.lines([(sum(groups[key].values()), f"rip at {_size(_number(key[0]), measure)}", _names(groups[key]), str(key[1]))])


def _crosscut(step: _Steps, results: Results, measure: Measure) -> None:
    step.begin("Crosscut to length", "cut")
    groups: dict[tuple[object, ...], dict[str, int]] = {}
    for found in results.parts:
        part = found.part
        note = "tenons included" if part.tenons else ""
        if max(blank.along for blank in found.blanks) > 1:
            note = f"{note}; cut from the long blank" if note else "cut from the long blank"
        _add(groups, (part.length + sum(part.tenons), note), part.part, part.qty)
    for key in sorted(groups, key=lambda each: (-_number(each[0]), str(each[1]))):
        step.lines([(sum(groups[key].values()), f"stop at {_size(_number(key[0]), measure)}", _names(groups[key]), str(key[1]))])


def _dry_assembly(step: _Steps, results: Results) -> None:
    step.begin("Dry assembly", "")
    draft = step.draft
    if not results.panels:
        step.lines([(None, "no glue", "Assemble the frame dry; check for square, and every joint for fit", "")])
        return
    draft.across("Assemble the frame dry and measure each opening; write it here, then on Panels, and run sheetkit again.", CAUTION, 3)
    for found in results.panels:
        draft.put(1, BOX, TICK)
        draft.put(2, found.panel.qty, COUNT)
        draft.put(3, found.panel.panel, STRONG)
        for column in (4, 5):
            draft.put(column, "width:" if column == 4 else "height:", BLANK_LINE)
        draft.heights[draft.row] = 24.0
        draft.row += 1


def _panels(step: _Steps, results: Results, measure: Measure) -> None:
    if not results.panels:
        return
    step.begin("Panels", "")
    lines = []
    for found in results.panels:
        if not found.measured:
            lines.append((found.panel.qty, "do not cut yet", found.panel.panel, "provisional: measure the opening first"))
            continue
        setting = f"{_size(found.width, measure)} wide, {_size(found.height, measure)} high"
        gap = length_text(found.gap, measure.sheet.unit)
        lines.append((found.panel.qty, setting, found.panel.panel, f"{_size(found.panel.thickness, measure)} thick; leave {gap} each side"))
    step.lines(lines)

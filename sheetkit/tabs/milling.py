"""What is milled before it is sized: parts and measured panels, and the plies, staves or leaves that they are glued from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import chain
from typing import NamedTuple

from sheetkit.calc.rough import ply_thickness
from sheetkit.records.answers import Answers
from sheetkit.records.wood import Blank, PanelAnswer, PartAnswer
from sheetkit.tabs.draft import Measure

PLANE_OVER = 1 / 16
"""Left on staves and leaves for flattening after the glue, common practice [in]."""


class Milled(NamedTuple):
    """A part or measured panel at the planer, and what it is glued from before it is sized."""

    name: str
    qty: int
    species: str
    thickness: float
    """When finished [in]."""
    planed: float
    """First of all, before any glue [in]."""
    pieces: int
    """Pieces that are planed."""
    glued: str = ""
    """``plies``, ``staves`` or ``leaves``; empty when nothing is glued."""
    glue_ups: tuple[tuple[float, ...], ...] = ()
    """Widths of the pieces of each glue-up, edges jointed [in]."""
    note: str = ""


def milled(answers: Answers) -> list[Milled]:
    """Give every part and measured panel as it goes over the machines."""
    found, allowances = [], answers.job.allowances
    measured = [each for each in answers.panels if each.measured]
    wholes: list[PartAnswer | PanelAnswer] = [*answers.parts, *measured]
    for answer in wholes:
        whole = answer.part if isinstance(answer, PartAnswer) else answer.panel
        blanks, first, final, qty = answer.blanks, answer.blanks[0], whole.thickness, whole.qty
        count = sum(blank.count * blank.layers for each in blanks for blank in as_cut(each, answers))
        edge, staves = allowances.edge_joint, first.per_glue_up
        usual = (first.width - min(staves - 1, 2) * edge,) * staves
        laid = [tuple(round(width - 2 * edge, 5) for width in widths) for widths in _laid(first, answers)]
        mill = Milled(first.of, qty, whole.species.name, final, final, count)
        if first.role == "ply":
            plies = count // qty
            planed = ply_thickness(final, allowances.ply_clean_up, plies, 0.0)
            mill = mill._replace(planed=planed, glued="plies", glue_ups=((first.width,) * plies,) * qty)
        elif first.role != "piece" and any(len(widths) > 1 for widths in (*laid, usual)):
            glue_ups = (*laid, *[usual] * (qty - len(laid)))
            mill = mill._replace(planed=final + PLANE_OVER, glued="staves" if first.role == "stave" else "leaves",
                                 glue_ups=glue_ups, note="opened like a book" if whole.made_as == "bookmatched" else "")  # fmt: skip
        found.append(mill)
    return found


def _laid(blank: Blank, answers: Answers) -> list[list[float]]:
    """Give the rough widths of the staves of each glue-up that a layout chose, widest first."""
    found = (laid.staves.get((blank.tab, blank.row), ()) for laid in answers.layouts)
    return [sorted(widths, reverse=True) for widths in chain(*found)]


def as_cut(blank: Blank, answers: Answers) -> list[Blank]:
    """Give a blank as it is cut: its staves by the widths that a layout chose."""
    laid = _laid(blank, answers)
    if not laid:
        return [blank]
    left = blank.count - len(laid) * blank.per_glue_up
    cut = [replace(blank, width=width, count=count) for width, count in Counter(chain(*laid)).items()]
    return [*cut, replace(blank, count=left)] if left else cut


def stave_remark(staves: Sequence[Sequence[float]], measure: Measure) -> list[str]:
    """Say how the layout cuts the staves, when it chose their widths."""
    sets = dict.fromkeys(" + ".join(measure.words(width) for width in each) for each in staves)
    return [f"Staves as Board layout cuts them: {'; '.join(sets)}."] if sets else []

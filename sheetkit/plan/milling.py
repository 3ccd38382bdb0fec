"""What is milled before it is sized: parts, measured panels, and the plies, staves or leaves for them."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from itertools import chain
from typing import NamedTuple

from sheetkit.calc.resawing import sawn_leaf
from sheetkit.calc.rough import jointed_stave_width, planed_stave_thickness, ply_thickness
from sheetkit.records.answers import Answers
from sheetkit.records.wood import Blank, PanelAnswer, PartAnswer


class Milled(NamedTuple):
    """A part or measured panel at the planer, and what it is glued from before it is sized."""

    name: str
    qty: int
    """Pieces that are planed once glued."""
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
    matched: bool = False
    """Whether the leaves are opened like a book."""
    as_sawn: bool = False
    """Whether the leaves are glued as they come off the saw: all that is left to plane comes off after."""


def milled(answers: Answers) -> list[Milled]:
    """Return every part and measured panel as it goes over the machines."""
    return [
        _milled(each, answers)
        for each in answers.wholes
        if not isinstance(each, PanelAnswer) or each.measured
    ]


def _milled(answer: PartAnswer | PanelAnswer, answers: Answers) -> Milled:
    whole = answer.part if isinstance(answer, PartAnswer) else answer.panel
    allowances, first = answers.job.allowances, answer.blanks[0]
    final, edge = whole.thickness, allowances.edge_joint
    wholes = sum(blank.wholes for blank in answer.blanks)
    count = sum(blank.count * blank.layers for each in answer.blanks for blank in as_cut(each))
    mill = Milled(first.of, wholes or count, whole.species.name, final, final, count)
    if first.role == "piece":
        return mill
    if first.role == "ply":
        planed = ply_thickness(final, allowances.ply_clean_up, first.per_glue_up, 0.0)
        glue_ups = [
            (blank.width,) * blank.per_glue_up for blank in answer.blanks for _ in range(blank.wholes)
        ]
        return mill._replace(planed=planed, glued="plies", glue_ups=tuple(glue_ups))
    glue_ups = []
    for blank in answer.blanks:
        laid = [
            tuple(round(jointed_stave_width(width, 2, edge), 5) for width in widths) for widths in blank.laid
        ]
        staves = blank.per_glue_up
        usual = (jointed_stave_width(blank.width, min(staves - 1, 2), edge),) * staves
        glue_ups += [*laid, *[usual] * (blank.wholes - len(laid))]
    if all(len(widths) < 2 for widths in glue_ups):
        return mill
    planed = planed_stave_thickness(final)
    sawn = sawn_leaf(final, first.layers, allowances.resaw_clean_up) if first.layers > 1 else math.inf
    return mill._replace(
        planed=min(planed, sawn),
        as_sawn=sawn <= planed,
        glued="staves" if first.role == "stave" else "leaves",
        glue_ups=tuple(glue_ups),
        matched=whole.made_as == "bookmatched",
    )


def as_cut(blank: Blank) -> list[Blank]:
    """Return a blank as it is cut: its staves by the widths that a layout chose."""
    if not blank.laid:
        return [blank]
    left = blank.count - len(blank.laid) * blank.per_glue_up
    cut = [replace(blank, width=width, count=count) for width, count in Counter(chain(*blank.laid)).items()]
    return [*cut, replace(blank, count=left)] if left else cut

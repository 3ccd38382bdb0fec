"""What is bought, the rough cut (board by board where they are listed, else by size), what is resawn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import groupby

from sheetkit.calc.resawing import sawn_leaf
from sheetkit.calc.rough import thickness_for_leaves
from sheetkit.plan.milling import Milled, as_cut
from sheetkit.records.answers import Answers
from sheetkit.records.wood import Blank, StockLayout
from sheetkit.records.work import FromBoard, InHand, Line, Pieces, Resaw, RoughCut, ToBuy


def to_buy(answers: Answers) -> tuple[Line, ...]:
    """Return the lumber that the rack has not, and the hardware that wood is cut for."""
    lines: list[Line] = []
    laid = {(each.species.name, each.stock.name): each for each in answers.layouts}
    for line in answers.lumber:
        layout = laid.get((line.species.name, line.stock.name))
        if layout is None:
            lines.append(ToBuy(line.species.name, line.stock.name, line.buy))
        elif layout.to_buy:
            boards = tuple((each.count, each.width, each.length) for each in layout.to_buy)
            lines.append(ToBuy(line.species.name, line.stock.name, 0.0, boards))
    if answers.job.extras:
        lines.append(InHand(tuple((extra.item, extra.qty) for extra in answers.job.extras)))
    return tuple(lines)


def rough_cut(answers: Answers) -> tuple[Line, ...]:
    """Return what is cut from each board, then rough pieces from no listed board, long and wide first."""
    lines: list[Line] = []
    for laid in answers.layouts:
        lines += _boards(laid)
    laid_out = {(laid.species.name, laid.stock.name) for laid in answers.layouts}
    free = [
        piece
        for whole in answers.wholes
        for blank in whole.blanks
        if not blank.provisional and (blank.species.name, blank.stock.name) not in laid_out
        for piece in as_cut(blank)
    ]
    short = [
        _missing(laid.blanks[int(each.piece.id)], each.count)
        for laid in answers.layouts
        for each in laid.layout.missing
        if not laid.blanks[int(each.piece.id)].provisional
    ]
    return (*lines, *_by_size(free, bought=False), *_by_size(short, bought=True))


def _missing(blank: Blank, count: int) -> Blank:
    """Return blanks that found no board; wholes were counted where the search chooses the staves."""
    wholes = blank.role == "stave" and not blank.together
    return replace(blank, count=count * blank.per_glue_up if wholes else count)


def _boards(laid: StockLayout) -> Iterable[FromBoard]:
    for board in laid.layout.boards:
        blanks = [laid.blanks[int(placed.piece)] for placed in board.placed]
        cut = [blank for blank in blanks if not blank.provisional]
        kept = dict.fromkeys(blank.of for blank in blanks if blank.provisional)
        members = Counter(blank.of for blank in sorted(cut, key=lambda blank: -blank.length))
        yield FromBoard(laid.species.name, laid.stock.name, board.board.id, pieces_of(members), tuple(kept))


def _by_size(blanks: Iterable[Blank], bought: bool) -> Iterable[RoughCut]:
    def key(blank: Blank) -> tuple[str, float, float, float]:
        return blank.species.name, blank.stock.nominal, -blank.length, -blank.width

    for _, alike in groupby(sorted(blanks, key=key), key=key):
        group = list(alike)
        members: Counter[str] = Counter()
        notes: dict[str, None] = {}
        for blank in group:
            members[blank.of] += blank.count
            notes.update(dict.fromkeys(blank_notes(blank)))
        one = group[0]
        yield RoughCut(
            one.species.name, one.stock.name, one.length, one.width, pieces_of(members), tuple(notes), bought
        )


def blank_notes(blank: Blank) -> tuple[str, ...]:
    """Say what a rough piece holds and with what it is kept together."""
    held = blank.along * blank.across
    matched = blank.together and blank.of != blank.together
    return noted(
        f"makes {held}: {'mill' if blank.role == 'piece' else 'glue up'} long, then cut" if held > 1 else "",
        f"{blank.together}: {blank.each or ''} {blank.how}".replace("  ", " ") if matched else "",
    )


def resawn(pieces: Sequence[Milled], answers: Answers) -> tuple[Resaw, ...]:
    """Return the fence settings of the blanks that are sawn into leaves, and how many they give."""
    allowances = answers.job.allowances
    as_sawn = {each.name for each in pieces if each.as_sawn}
    lines = []
    for panel, blanks in ((each.panel, each.blanks) for each in answers.panels if each.measured):
        for blank in (blank for blank in blanks if blank.layers > 1):
            size = sawn_leaf(panel.thickness, blank.layers, allowances.resaw_clean_up)
            cut = allowances.resaw_kerf, allowances.resaw_clean_up
            flat = thickness_for_leaves(panel.thickness, blank.layers, *cut, 0.0)
            left = size - panel.thickness if blank.of in as_sawn else 0.0
            matched = panel.made_as == "bookmatched"
            lines.append(Resaw(size, (Pieces(blank.of, blank.count),), blank.layers, flat, left, matched))
    return tuple(sorted(lines, key=lambda line: -line.size))


def pieces_of(counts: Counter[str]) -> tuple[Pieces, ...]:
    """Return counted names as pieces."""
    return tuple(Pieces(name, count) for name, count in counts.items())


def noted(*notes: str) -> tuple[str, ...]:
    """Return the notes that say something."""
    return tuple(filter(None, notes))

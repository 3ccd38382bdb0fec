"""An independent check of a layout: own arithmetic on the placed pieces, nothing shared with the search."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import Any

import pytest

EPS = 1e-6


def check_layout(pieces: Any, boards: Any, saw: Any, layout: Any) -> None:
    """Fail with words when anything about the layout is not as promised."""
    wanted = {p.id: p for p in pieces}
    racks = {b.id: b for b in boards}
    seen: dict[str, list[tuple[Any, str, int, Any]]] = {}
    names = [b.board.id for b in layout.boards]
    assert len(set(names)) == len(names), "a board is listed twice"
    assert sorted(names + [b.id for b in layout.unused]) == sorted(racks), "boards lost or invented"
    assert abs(layout.cost - sum(racks[n].cost for n in names)) < 1e-6, "cost is not what the boards cost"
    for laid in layout.boards:
        board = racks[laid.board.id]
        assert laid.placed, "a board is touched for nothing"
        _check_board(board, laid, saw)
        _follow(board, laid, saw, {p.id for p in pieces if p.waits})
        for section in laid.sections:
            for strip in section.strips:
                for p in strip.placed:
                    seen.setdefault(p.piece, []).append((p, board.id, section.number, strip))
    missing = Counter({m.piece.id: 0 for m in layout.missing})
    for m in layout.missing:
        missing[m.piece.id] += m.count
    for pid, piece in wanted.items():
        _check_piece(piece, seen.get(pid, []), missing[pid], layout)
    assert not set(seen) - set(wanted), "a piece nobody asked for"
    _check_groups(pieces, seen, saw, missing)
    assert layout.bound <= layout.cost + 1e-6 or layout.missing, "the bound is above what was found"


def _check_board(board: Any, laid: Any, saw: Any) -> None:
    lo, hi = board.trim_start, board.length - board.trim_end
    last = None
    for section in laid.sections:
        start, end = section.x, section.x + section.length
        assert start >= lo - EPS, "section in the end trim"
        assert end <= hi + EPS, "section past the end"
        if last is not None:
            assert start >= last + saw.crosscut_kerf - EPS, "no kerf between sections"
        last = end
        edge = None
        for strip in sorted(section.strips, key=lambda s: s.y):
            assert strip.y >= board.edge - EPS, "strip in the edge allowance"
            assert strip.y + strip.width <= board.width + EPS, "strip wider than the board"
            if edge is not None:
                assert strip.y >= edge + saw.rip_kerf - EPS, "no kerf between strips"
            edge = strip.y + strip.width
            at = None
            for p in sorted(strip.placed, key=lambda p: p.x):
                assert p.x >= start - EPS, "piece before its section"
                assert p.x + p.length <= end + EPS, "piece past its section"
                assert p.y >= strip.y - EPS, "piece beside its strip"
                assert p.y + p.width <= strip.y + strip.width + EPS, "piece wider than its strip"
                if at is not None:
                    assert p.x >= at + saw.crosscut_kerf - EPS, "no kerf between pieces"
                at = p.x + p.length
                for s in board.bad:
                    y0, y1 = (0, board.width) if s.y0 is None else (s.y0, s.y1)
                    apart = p.x >= s.x1 - EPS or p.x + p.length <= s.x0 + EPS
                    apart = apart or p.y >= y1 - EPS or p.y + p.width <= y0 + EPS
                    assert apart, f"{p} lies on a bad spot of {board.id}"
    if saw.rip_first:
        assert len(laid.sections) == 1, "ripping first leaves one section"
    for left in laid.left_overs:
        assert left.clear >= saw.least_offcut - EPS
        assert left.x + left.length <= board.length + EPS
        for section in laid.sections:
            apart = left.x + left.length <= section.x + EPS or left.x >= section.x + section.length - EPS
            assert apart, "a left-over on a section"
    assert [c.number for c in laid.cuts] == list(range(1, len(laid.cuts) + 1))


def _follow(board: Any, laid: Any, saw: Any, waiting: Any) -> None:
    """Make the cuts one after another, and look at what lies on the bench then."""
    wood = [(0.0, 0.0, board.length, board.width)]  # from x, y to x, y
    for cut in laid.cuts:
        section = next((s for s in laid.sections if s.number == cut.section), None)
        strip = section and next((s for s in section.strips if s.number == cut.strip), None)
        crosscut = cut.kind == "crosscut"
        kerf = saw.crosscut_kerf if crosscut else saw.rip_kerf

        def cuttable(w: Any, cut: Any = cut, section: Any = section, strip: Any = strip) -> bool:
            near, far = (w[0], w[2]) if cut.kind == "crosscut" else (w[1], w[3])
            here = near + EPS < cut.at < far - EPS
            if here and strip and (cut.kind == "crosscut" or cut.purpose == "trim to width"):
                here = w[1] - 0.07 <= strip.y and w[3] >= strip.y + min(p.width for p in strip.placed) - EPS
            if here and cut.kind == "rip":
                here = saw.rip_first or section.x - 0.02 <= w[0] < w[2] <= section.x + section.length + EPS
                inside = [p for p in strip.placed if w[0] - 0.02 <= p.x < w[2] - 0.02] if strip else []
                if cut.purpose == "trim to width":
                    here = here and {p.piece for p in inside} == set(cut.pieces)
                    here = here and max(p.width for p in inside) <= cut.size + EPS
            return bool(here)

        found = min(filter(cuttable, wood), default=None)
        assert found is not None, f"nothing is there for {cut}: {wood}"
        x0, y0, x1, y1 = found
        wood.remove(found)
        fresh = cut.purpose in ("trim end", "off bad length", "straighten edge", "off bad spot")
        to, on = (cut.at - kerf, cut.at) if fresh else (cut.at, cut.at + kerf)
        if crosscut:
            wood += [w for w in ((x0, y0, to, y1), (on, y0, x1, y1)) if w[2] - w[0] > EPS]
        else:
            wood += [w for w in ((x0, y0, x1, to), (x0, on, x1, y1)) if w[3] - w[1] > EPS]
        if not fresh and cut.pieces and cut.purpose != "section":
            assert set(cut.pieces) <= waiting or not cut.purpose.startswith("keep"), "kept, though it is cut"
            assert not set(cut.pieces) <= waiting or cut.purpose.startswith("keep"), "cut, though it waits"
    for section in laid.sections:
        for p in (p for strip in section.strips for p in strip.placed):
            holding = [
                w
                for w in wood
                if w[0] <= p.x + EPS
                and w[1] <= p.y + EPS
                and w[2] >= p.x + p.length - EPS
                and w[3] >= p.y + p.width - EPS
            ]
            assert len(holding) == 1, f"{p} is cut through"
            (x0, y0, x1, y1) = holding[0]
            if p.piece not in waiting:
                assert x1 - x0 <= p.length + 0.07, f"{p} is not cut to length"
                # a sliver stays on until the piece is ripped to its width
                assert y1 - y0 <= p.width + saw.rip_kerf + 0.25 + 0.07, f"{p} is not ripped"


def _check_piece(piece: Any, placed: list[Any], missing: int, layout: Any) -> None:
    if piece.glue_up is None:
        assert len(placed) + missing == piece.count, f"{piece.id}: {len(placed)} placed of {piece.count}"
        assert len({p.number for p, *_ in placed}) == len(placed), "a blank twice"
        for p, *_ in placed:
            assert abs(p.width - piece.width) < EPS, "wrong width"
            assert abs(p.length - piece.length) < EPS, "wrong length"
        return
    by_number: dict[int, list[float]] = {}
    for p, *_ in placed:
        assert p.stave > 0
        assert abs(p.length - piece.length) < EPS
        by_number.setdefault(p.number, []).append(p.width)
    told = {s.number: s.widths for s in layout.staves if s.piece == piece.id}
    done = 0
    g = piece.glue_up
    for number, widths in by_number.items():
        assert sorted(told[number]) == pytest.approx(sorted(widths))
        assert len(widths) <= g.most_staves, "too many staves"
        assert all(g.narrowest - EPS <= w <= g.widest + EPS for w in widths), f"stave out of limits {widths}"
        done += sum(w - g.joint for w in widths) >= piece.width - EPS
    assert done + missing == piece.count, f"{piece.id}: {done} glue-ups of {piece.count}"


def _check_groups(pieces: Any, seen: Any, saw: Any, missing: Any) -> None:
    groups: dict[tuple[str, str], list[Any]] = {}
    sets: list[tuple[str, str, list[Any], list[Any]]] = []
    for p in pieces:
        if p.each:
            for n in range(0, p.count, p.each):
                own = [s for s in seen.get(p.id, []) if n < s[0].number <= n + p.each]
                assert len(own) in (0, p.each), f"{p.id} {n} is torn"
                sets.append((f"{p.id} {n}", p.how, [p], own))
        elif p.group and p.count:
            groups.setdefault((p.group, p.how), []).append(p)
    for (name, how), members in groups.items():
        placed = [s for m in members for s in seen.get(m.id, [])]
        assert not placed or not any(missing[m.id] for m in members), f"group {name} is torn"
        sets.append((name, how, members, placed))
    for name, how, members, placed in sets:
        if not placed:
            continue
        assert len({b for _, b, *_ in placed}) == 1, f"group {name} from several boards"
        if how == "end to end":
            assert len({(s, strip.number) for _, _, s, strip in placed}) == 1, "not in one strip"
            row = sorted((p for p, *_ in placed), key=lambda p: p.x)
            order = [m.id for m in members for p, *_ in placed if p.piece == m.id]
            assert [p.piece for p in row] == order, "not in order"
            for a, b in pairwise(row):
                assert abs(b.x - a.x - a.length - saw.crosscut_kerf) < 0.02, "something between them"
        if how == "side by side":
            assert len({s for _, _, s, _ in placed}) == 1, "not in one section"
            assert max(p.x for p, *_ in placed) - min(p.x for p, *_ in placed) < EPS, "not level"
            col = sorted((p for p, *_ in placed), key=lambda p: p.y)
            for a, b in pairwise(col):
                assert abs(b.y - a.y - a.width - saw.rip_kerf) < 0.02, "something between them"


@pytest.fixture(scope="session")
def checked() -> Any:
    """The checker."""
    return check_layout

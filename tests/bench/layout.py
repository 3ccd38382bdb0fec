"""Yardstick of the board layout: runs practice jobs and prints one JSON line for every species and stock.

    python tests/bench/layout.py FILE.json ... [--effort X] [--rip-first]

Each FILE holds one job; lengths are inches:

    {"format": "layout-instance/1", "name": "...",
     "kerf_rip": 0.125, "kerf_cross": 0.125,      between neighbors
     "min_offcut_length": 18.0,                    shortest left-over worth keeping
     "parts": [{"id", "species", "thickness": "4/4", "width", "length", "qty",
                "panel": {"stave_min", "stave_max", "joint_allow", "max_staves"},   optional: may be glued from staves;
                                                   width is then net, joint_allow is added to every stave
                "match": {"group", "type"},        optional: "section" side by side, "strip" end to end in order,
                                                   "board" from one board
                "resaw": n}],                      optional: leaves a blank yields; qty already counts the blanks
     "stock": [{"id", "species", "thickness", "width", "length", "trim_start", "trim_end",
                "edge_allow",                      lost along the near edge (y = 0)
                "price_per_bf", "defects": [{"x0", "x1", "y0", "y1"}]}]}            unusable; no y: the whole width

A board costs its whole board feet: width x length x (thickness in quarters / 4, under 1 counts as 1) / 144.
Parts and stock of one (species, thickness) form a group. The line of a group:

    {"file", "group", "board_feet", "bound", "seconds" (processor time), "missing": [part, count, why],
     "placements": [board, part, x, y, width, length, strip, section]}

x runs along the board from the end with trim_start, y across it from the near edge; sections are numbered along the
board, strips within their section. A stave is listed under its part. `bound` is a proven least, in board feet.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from fractions import Fraction
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from sheetkit.calc.layout import (
    END_TO_END,
    SAME_BOARD,
    SIDE_BY_SIDE,
    BadSpot,
    Board,
    GlueUp,
    Piece,
    Saw,
    lay_out,
)

HOW = {"section": SIDE_BY_SIDE, "strip": END_TO_END, "board": SAME_BOARD}
Job = tuple[list[Piece], list[Board]]


def groups_of(job: dict[str, Any]) -> dict[tuple[str, str], Job]:
    """Pieces and boards by (species, thickness)."""
    out: dict[tuple[str, str], Job] = {}
    for p in job["parts"]:
        match, panel = p.get("match") or {}, p.get("panel")
        glue = panel and GlueUp(
            panel["stave_min"], panel["stave_max"], panel["joint_allow"], panel.get("max_staves") or 99
        )
        piece = Piece(
            str(p["id"]),
            p["width"],
            p["length"],
            p["qty"],
            str(match.get("group", "")),
            HOW[match["type"]] if match else "",
            glue or None,
        )
        out.setdefault((p["species"], p["thickness"]), ([], []))[0].append(piece)
    for s in job["stock"]:
        feet = s["width"] * s["length"] * max(1.0, float(Fraction(s["thickness"]))) / 144
        bad = tuple(BadSpot(d["x0"], d["x1"], d.get("y0"), d.get("y1")) for d in s.get("defects") or [])
        board = Board(
            str(s["id"]),
            s["width"],
            s["length"],
            feet,
            feet,
            bad,
            s["trim_start"],
            s["trim_end"],
            s["edge_allow"],
        )
        out.setdefault((s["species"], s["thickness"]), ([], []))[1].append(board)
    return out


def lines_of(path: Path, effort: float, rip_first: bool) -> list[dict[str, Any]]:
    """Lay out every group of a job."""
    job = json.loads(path.read_text(encoding="utf-8"))
    saw = Saw(job["kerf_rip"], job["kerf_cross"], rip_first, job.get("min_offcut_length", 18.0))
    out = []
    for (species, thickness), (pieces, boards) in groups_of(job).items():
        if not pieces:
            continue
        start = time.process_time()
        laid = lay_out(pieces, boards, saw, effort=effort)
        out.append(
            {
                "file": path.name,
                "group": [species, thickness],
                "board_feet": round(laid.board_feet, 3),
                "bound": round(laid.bound, 3),
                "seconds": round(time.process_time() - start, 2),
                "missing": [[m.piece.id, m.count, m.why] for m in laid.missing],
                "placements": [
                    [b.board.id, p.piece, p.x, p.y, p.width, p.length, strip.number, section.number]
                    for b in laid.boards
                    for section in b.sections
                    for strip in section.strips
                    for p in strip.placed
                ],
            }
        )
    return out


def main() -> None:
    """Run the files named on the command line."""
    parser = argparse.ArgumentParser(description="Yardstick of the board layout")
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("--effort", type=float, default=1.0)
    parser.add_argument("--rip-first", action="store_true")
    args = parser.parse_args()
    for path in args.files:
        for line in lines_of(path, args.effort, args.rip_first):
            sys.stdout.write(json.dumps(line) + "\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()

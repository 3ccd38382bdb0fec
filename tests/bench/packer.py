"""What a generic rectangle packer needs for the same jobs: the baseline for the board layout.

    python -m tests.bench.packer FILE.json ...

Prints one JSON line a species and stock: board feet with the packer's own defaults, with the best of several guillotine
settings, and with sheetkit. The packer (rectpack) knows no staves, groups, bad spots or prices: staves are fixed
first, groups are let go and boards with bad lengths count as clear, all in its favor; boards are offered cheapest first.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from math import ceil, floor
from pathlib import Path
from typing import Any

import rectpack

from sheetkit.calc.layout import Board, Piece, Saw, lay_out
from tests.bench.layout import groups_of

TICKS = 64
GUILLOTINE = ("GuillotineBssfSas", "GuillotineBafSas", "GuillotineBlsfMaxas", "GuillotineBssfLlas")
SORTS = ("SORT_AREA", "SORT_LSIDE", "SORT_SSIDE")


def rectangles(pieces: Sequence[Piece]) -> list[tuple[float, float]]:
    """Width and length of every blank; what is glued up takes its fewest equal staves."""
    out = []
    for p in pieces:
        widths = [p.width]
        if p.glue_up:
            n = ceil(p.width / (p.glue_up.widest - p.glue_up.joint))
            widths = [max(p.glue_up.narrowest, p.width / n + p.glue_up.joint)] * n
        out += [(w, p.length) for w in widths] * p.count
    return out


def packed(pieces: Sequence[Piece], boards: Sequence[Board], saw: Saw, **settings: Any) -> float | None:
    """Board feet of the boards that the packer touches; None when something is left over."""
    packer = rectpack.newPacker(rotation=False, **settings)
    wanted = rectangles(pieces)
    for w, length in wanted:
        packer.add_rect(ceil((w + saw.rip_kerf) * TICKS), ceil((length + saw.crosscut_kerf) * TICKS))
    order = sorted(boards, key=lambda b: b.cost)
    for n, b in enumerate(order):
        width, length = (
            b.width - b.edge + saw.rip_kerf,
            b.length - b.trim_start - b.trim_end + saw.crosscut_kerf,
        )
        packer.add_bin(floor(width * TICKS), floor(length * TICKS), bid=n)
    packer.pack()
    if len(packer.rect_list()) < len(wanted):
        return None
    touched: list[int] = [each.bid for each in packer if len(each)]
    return sum(order[n].board_feet for n in touched)


def compared(path: Path) -> list[dict[str, Any]]:
    """One line for each species and stock."""
    job = json.loads(path.read_text(encoding="utf-8"))
    saw = Saw(job["kerf_rip"], job["kerf_cross"], False, job.get("min_offcut_length", 18.0))
    lines = []
    for group, (pieces, boards) in groups_of(job).items():
        ours = lay_out(pieces, boards, saw).board_feet
        clear = [replace(b, bad=()) for b in boards]
        tried = [
            packed(
                pieces, clear, saw, pack_algo=getattr(rectpack, algorithm), sort_algo=getattr(rectpack, sort)
            )
            for algorithm, sort in product(GUILLOTINE, SORTS)
        ]
        best = min((feet for feet in tried if feet is not None), default=None)
        plain = packed(pieces, clear, saw)
        lines.append({"file": path.name, "group": group, "sheetkit": round(ours, 3)} | {
            name: None if feet is None else {"board_feet": round(feet, 3), "more": f"{feet / ours - 1:.1%}"}
            for name, feet in (("packer", plain), ("packer_best", best))
        })  # fmt: skip
    return lines


def main() -> None:
    """Compare the files named on the command line."""
    parser = argparse.ArgumentParser(description="Baseline of the board layout")
    parser.add_argument("files", nargs="+", type=Path)
    for path in parser.parse_args().files:
        for line in compared(path):
            sys.stdout.write(json.dumps(line) + "\n")


if __name__ == "__main__":
    main()

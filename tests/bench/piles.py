"""How much lumber a job takes out of a pile nobody chose: simulated jobs cut from simulated piles.

    python -m tests.bench.piles > sheetkit/tables/piles.csv

Writes the table behind "how sure" on the tab Lumber. Each job is a list of random furniture parts; each pile is random
clear boards, taken one by one as they come until the layout search cuts the whole job from them. Boards count whole. The
search is short and nobody picks among the boards, so a maker who does needs a little less.
"""

from __future__ import annotations

import csv
import random
import sys
from collections.abc import Sequence
from dataclasses import replace

from sheetkit.calc.layout import Board, Piece, Saw
from sheetkit.calc.layout.search import Search
from sheetkit.calc.layout.task import task_of

# A yard's pile, in inches: width from, to, most often; lengths. Common practice, no source.
PILE_WIDTHS = (4.5, 11.5, 7.0)
PILE_LENGTHS = (72.0, 84.0, 96.0, 108.0, 120.0, 132.0, 144.0)
FACES = (5.0, 10.0, 20.0, 40.0, 80.0)  # square feet of blanks in a job
LONGEST = (24.0, 48.0, 84.0)  # its longest blank, inches
JOBS, PILES, TRIES = 12, 12, 8
SHARES = (0.5, 0.9)
SAW = Saw()


def random_job(face: float, longest: float, rng: random.Random) -> list[Piece]:
    """Parts of a piece of furniture: mostly rails and stiles, some wide; about `face` square feet."""
    pieces = [Piece("longest", rng.choice((2.25, 3.25, 5.25)), longest, 2)]
    while (room := face - face_of(pieces)) > 0.02 * face:
        width = round(rng.triangular(1.5, 6.5, 2.75) * 8) / 8
        length = round(rng.triangular(8, longest, 8 + 0.4 * (longest - 8)) * 4) / 4
        count = max(1, min(rng.choice((1, 2, 2, 4, 4, 6, 8)), int(room * 144 / (width * length))))
        pieces.append(Piece(str(len(pieces)), width, length, count))
    return pieces


def face_of(pieces: Sequence[Piece]) -> float:
    """Square feet of blanks."""
    return sum(p.width * p.length * p.count for p in pieces) / 144


def pile_needed(pieces: Sequence[Piece], seed: int) -> float:
    """Square feet of one pile, board by board as it comes, that hold the whole job."""
    rng = random.Random(seed)
    net = face_of(pieces)
    boards: list[Board] = []
    while len(boards) < 4 or sum(b.cost for b in boards) < 3 * net + 20:
        width, length = round(rng.triangular(*PILE_WIDTHS) * 8) / 8, rng.choice(PILE_LENGTHS)
        feet = width * length / 144
        boards.append(Board(str(len(boards)), width, length, feet, feet, (), 1.0, 1.0, 0.25))
    low, high = 1, len(boards)
    while sum(b.cost for b in boards[:low]) < net:
        low += 1
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if _holds(pieces, boards[:middle]) else (middle + 1, high)
    return sum(b.cost for b in boards[:low])


def _holds(pieces: Sequence[Piece], boards: Sequence[Board]) -> bool:
    task = task_of(pieces, [replace(b, cost=1.0) for b in boards], SAW)
    search = Search(task, 0.01)
    return not task.too_big and any(search.construct(1e30) is not None for _ in range(TRIES))


def ratios(face: float, longest: float) -> list[float]:
    """Sorted ratios of what the piles had to have to what is in the blanks."""
    found = []
    for number in range(JOBS):
        pieces = random_job(face, longest, random.Random(number))
        found += [pile_needed(pieces, 1000 * number + pile) / face_of(pieces) for pile in range(PILES)]
    return sorted(found)


def share_of(values: Sequence[float], share: float) -> float:
    """The value that `share` of the sorted values do not pass."""
    return values[min(len(values) - 1, int(share * len(values)))]


def main() -> None:
    """Write the table."""
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["face_sqft", "longest_in", "half", "nine_in_ten", "source", "verified"])
    for longest in LONGEST:
        for face in FACES:
            found = ratios(face, longest)
            half, most = (f"{share_of(found, share):.3f}" for share in SHARES)
            out.writerow([f"{face:g}", f"{longest:g}", half, most, "simulated piles", "own simulation"])
            sys.stdout.flush()


if __name__ == "__main__":
    main()

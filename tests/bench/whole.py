"""Jobs whose least cost is known: boards cut up whole, and the rack holds them among other boards.

    python -m tests.bench.whole [--boards 1 2 3 4] [--jobs 25] [--first SEED] [--effort X]

A few boards are crosscut into sections, these ripped into strips, these crosscut into blanks, until nothing
but kerf is left. A third of the jobs wants several of most sizes, of a third nearly all sizes differ, and of a
third a tenth of the sizes is a little smaller than the wood that was cut for it. Boards of the same make are
added as decoys. A layout can hardly cost less than the boards that were cut up, since their wood is all used;
it prints for each job what was found beside that, and the sums.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from sheetkit.calc.layout import Board, Piece, Saw, lay_out

KERF = 1  # eighths
SAW = Saw(0.125, 0.125, False, 18.0)


def parted(rng: random.Random, size: int, menu: list[int], least: int, most: int) -> list[int]:
    """Part a size into up to `most` sizes, a kerf between: equal ones, those of a menu, or as chance has it."""
    n = rng.randint(1, max(1, min(most, (size + KERF) // (least + KERF))))
    if (size + KERF) % n == 0 and rng.random() < 0.4:
        return [(size + KERF) // n - KERF] * n
    out, room = [], size
    for left in range(n - 1, 0, -1):
        most_now = room - left * (least + KERF)
        usual = [m for m in menu if m <= most_now]
        out.append(rng.choice(usual) if usual and rng.random() < 0.75 else rng.randint(least, most_now))
        room -= out[-1] + KERF
    return [*out, room]


def whole_job(seed: int, boards: int) -> tuple[list[Piece], list[Board], list[str]]:
    """Make pieces, rack, and the names of the boards that were cut up."""
    rng = random.Random(f"whole {boards} {seed}")
    # a job wants several of most sizes; of every third nearly all sizes differ
    some = seed % 3 != 1
    widths = [rng.randint(12, 40) for _ in range(4)] if some else []
    lengths = [rng.randint(8 * 8, 36 * 8) for _ in range(6)] if some else []
    rack, blanks = [], Counter[tuple[int, int]]()
    for _ in range(boards):
        width, length = rng.randint(5 * 4, 10 * 4) * 2, rng.randint(60 * 2, 132 * 2) * 4
        rack.append((width, length))
        for section in parted(rng, length, lengths, 10 * 8, 5):
            for strip in parted(rng, width, widths, 12, 4):
                for blank in parted(rng, section, lengths, 8 * 8, 3):
                    blanks[strip, blank] += 1
    if seed % 3 == 2:  # not quite whole: a tenth of the sizes is an eighth narrower or shorter
        for w, n in sorted(blanks):
            if rng.random() < 0.1:
                less = rng.choice([(1, 0), (0, 1)])
                blanks[w - less[0], n - less[1]] += blanks.pop((w, n))
    for _ in range(rng.randint(3, 8)):
        rack.append((rng.randint(5 * 4, 10 * 4) * 2, rng.randint(60 * 2, 132 * 2) * 4))
    pieces = [Piece(f"p{i}", w / 8, n / 8, count) for i, ((w, n), count) in enumerate(sorted(blanks.items()))]
    stock = [Board(f"b{i}", w / 8, n / 8, w * n / 9216, w * n / 9216) for i, (w, n) in enumerate(rack)]
    names = [b.id for b in stock[:boards]]
    rng.shuffle(stock)
    return pieces, stock, names


def main() -> None:
    """Run the jobs asked for on the command line."""
    parser = argparse.ArgumentParser(description="Jobs cut from whole boards")
    parser.add_argument("--boards", type=int, nargs="+", default=[1, 2, 3, 4])
    parser.add_argument("--jobs", type=int, default=25)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--effort", type=float, default=1.0)
    args = parser.parse_args()
    for boards in args.boards:
        known = found = seconds = worst = 0.0
        missed = []
        for seed in range(args.first, args.first + args.jobs):
            pieces, rack, names = whole_job(seed, boards)
            least = sum(b.cost for b in rack if b.id in names)
            start = time.process_time()
            laid = lay_out(pieces, rack, SAW, effort=args.effort)
            taken = time.process_time() - start
            seconds += taken
            over = laid.cost / least - 1 if laid.complete else 9.0
            worst = max(worst, over)
            known, found = known + least, found + laid.cost
            if over > 1e-6:
                missed.append(seed)
            sys.stdout.write(
                f"{boards} boards, seed {seed}: {sum(p.count for p in pieces)} blanks, {100 * over:+.2f} %, {taken:.1f} s\n"
            )
            sys.stdout.flush()
        sys.stdout.write(
            f"{boards} boards: {100 * (found / known - 1):+.3f} % in sum, {100 * worst:+.1f} % at worst, "
            f"{seconds / args.jobs:.1f} s each, above the least: {missed}\n"
        )


if __name__ == "__main__":
    main()

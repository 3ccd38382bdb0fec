"""Strips for tight boards: all that lose little by blanks narrower than the strip they lie in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from .knapsacks import Ints
from .tuning import Tuning

Sizes = npt.NDArray[np.int64]
Strip = tuple[tuple[int, int], ...]
"""(position of the kind, how many) of what a strip yields."""


class Enough(Exception):
    """So much is listed as is wanted."""


@dataclass(frozen=True, slots=True)
class Wood:
    """What is cut, by kind (sizes with a kerf, how many, if alone in its strip), and the longest room."""

    widths: Sequence[int]
    lengths: Sequence[int]
    wanted: Sequence[int]
    alone: Sequence[bool]
    longest: int


@dataclass(slots=True)
class StripList:
    """All strips considered: width, length, what is lost beside narrower blanks, contents by kind."""

    widths: Sizes
    lengths: Sizes
    lost: Sizes
    counts: Ints
    contents: list[Strip]


def strip_list(wood: Wood, loss: int, tuning: Tuning) -> tuple[StripList, float]:
    """Return the strips that lose no more than `loss`, or a part of it if too many do; and the work."""
    order = sorted(range(len(wood.widths)), key=lambda i: (-wood.widths[i], -wood.lengths[i]))
    found: list[tuple[int, int, int, Strip]] = []
    work = 0.0
    for part in tuning.tight_parts:
        more: list[tuple[int, int, int, Strip]] = []
        try:
            _list(wood, order, tuning.tight_strips, more, int(loss * part), 0, (0, 0, 0), ())
        except Enough:
            break
        finally:
            work += len(more) * tuning.tight_strip
            found = more if len(more) <= tuning.tight_strips or not found else found
    counts = np.zeros((len(found), len(order)), dtype=np.int32)
    for row, (*_, contents) in enumerate(found):
        for i, n in contents:
            counts[row, i] = n
    sizes = [np.array([f[c] for f in found], dtype=np.int64) for c in range(3)]
    return StripList(sizes[0], sizes[1], sizes[2], counts, [f[3] for f in found]), work


def _list(
    wood: Wood,
    order: Sequence[int],
    enough: int,
    found: list[tuple[int, int, int, Strip]],
    most: int,
    first: int,
    sizes: tuple[int, int, int],
    contents: Strip,
) -> None:
    """List strips that begin with `contents`, of (width, length, lost) so far; the widest kinds first."""
    shortest = min(wood.lengths)
    for position in range(first, len(order)):
        i = order[position]
        width = sizes[0] or wood.widths[i]
        beside = width - wood.widths[i]
        if sizes[2] + beside * shortest > most:
            return
        if wood.alone[i] and contents:
            continue
        length, lost = sizes[1], sizes[2]
        for n in range(1, wood.wanted[i] + 1):
            length += wood.lengths[i]
            lost += beside * wood.lengths[i]
            if length > wood.longest or lost > most:
                break
            if len(found) > enough:
                raise Enough
            more = (*contents, (i, n))
            found.append((width, length, lost, more))
            if wood.alone[i]:
                break
            _list(wood, order, enough, found, most, position + 1, (width, length, lost), more)

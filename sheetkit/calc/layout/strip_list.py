"""Strips for tight boards: all that lose little by blanks narrower than the strip they lie in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from .knapsacks import Ints

Sizes = npt.NDArray[np.int64]
Strip = tuple[tuple[int, int], ...]
"""(position of the kind, how many) of what a strip yields."""
_PARTS = (0.0, 0.03, 0.06, 0.12, 0.25, 0.35, 0.5, 0.7, 1.0)
"""Parts of the loss that a strip may lose, the last that does not give too many strips."""
_EACH = 4.0  # work of listing a strip


class Enough(Exception):
    """So much is listed as is wanted."""


@dataclass(frozen=True, slots=True)
class Wood:
    """What is cut, by kind (sizes, how many, if alone in its strip), and the longest room."""

    widths: Sequence[int]
    lengths: Sequence[int]
    wanted: Sequence[int]
    alone: Sequence[bool]
    longest: int


@dataclass(slots=True)
class StripList:
    """Strips by width and length: these, counts by kind, contents; whether these are all; the work."""

    widths: Sizes
    lengths: Sizes
    counts: Ints
    contents: list[Strip]
    whole: bool
    work: float


def strip_list(wood: Wood, loss: float, enough: int) -> StripList:
    """Return the strips that lose no more than `loss`, or a part of it if more than enough do."""
    order = sorted(range(len(wood.widths)), key=lambda i: (-wood.widths[i], -wood.lengths[i]))
    found: list[tuple[int, int, Strip]] = []
    work, whole = 0.0, True
    for part in _PARTS:
        more: list[tuple[int, int, Strip]] = []
        try:
            _list(wood, order, enough, more, loss * part, 0, (0, 0, 0), ())
        except Enough:
            whole = False
        work += len(more) * _EACH
        if whole or not found:
            found = more
        if not whole:
            break
    found.sort(key=lambda f: (-f[0], f[1]))
    counts = np.zeros((len(found), len(order)), dtype=np.int32)
    for row, (*_, contents) in enumerate(found):
        for i, n in contents:
            counts[row, i] = n
    widths, lengths = (np.array([f[c] for f in found], dtype=np.int64) for c in range(2))
    return StripList(widths, lengths, counts, [f[2] for f in found], whole, work)


def _list(
    wood: Wood,
    order: Sequence[int],
    enough: int,
    found: list[tuple[int, int, Strip]],
    most: float,
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
            found.append((width, length, more))
            if wood.alone[i]:
                break
            _list(wood, order, enough, found, most, position + 1, (width, length, lost), more)

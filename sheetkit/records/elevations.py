"""Frozen records of the frames as seen from the front, in inches from the frame's lower left corner."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Seen(StrEnum):
    """What a piece of an elevation is."""

    UPRIGHT = "upright"
    RAIL = "rail"
    PARTITION = "partition"
    PANEL = "panel"
    OPENING = "opening"
    """Nothing stands in it."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a frame, or an opening in it, as it is seen."""

    what: Seen
    name: str
    """Empty for an opening."""
    left: float
    bottom: float
    width: float
    height: float
    grain: str = ""
    """``up`` or ``across``; empty for an opening."""

    @property
    def right(self) -> float:
        """Its right side."""
        return self.left + self.width

    @property
    def top(self) -> float:
        """Its upper side."""
        return self.bottom + self.height


@dataclass(frozen=True, slots=True)
class Elevation:
    """A frame: uprights, what stands between them, its panels and openings."""

    name: str
    count: int
    """Frames alike."""
    width: float
    height: float
    pieces: tuple[Piece, ...]
    from_top: bool
    """Whether the reference end of its uprights is drawn at the top."""
    remarks: tuple[str, ...] = ()
    """What does not close."""

    @property
    def numbered(self) -> tuple[tuple[int, Piece], ...]:
        """Every piece with its number in the drawing; pieces alike at one height share theirs."""
        numbers: dict[tuple[object, ...], int] = {}
        return tuple((numbers.setdefault(_alike(piece), len(numbers) + 1), piece) for piece in self.pieces)


def _alike(piece: Piece) -> tuple[object, ...]:
    sizes = (round(size, 6) for size in (piece.bottom, piece.width, piece.height))
    return (piece.what, piece.name, *sizes)

"""Frozen records of the frames as seen from the front, in inches from the frame's lower left corner."""

from __future__ import annotations

from dataclasses import dataclass, replace
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
    lies: bool = False
    """Whether what takes the joints lies, as the plates of a case, its reference end at the left."""

    @property
    def reference(self) -> str:
        """The side from which At on Joints counts."""
        return "left" if self.lies else "top" if self.from_top else "bottom"

    def laid(self) -> Elevation:
        """Return the frame turned, so that what took the joints upright lies and what entered it stands."""
        turned = [
            replace(
                piece,
                what={Seen.UPRIGHT: Seen.RAIL, Seen.RAIL: Seen.UPRIGHT}.get(piece.what, piece.what),
                left=self.height - piece.top if self.from_top else piece.bottom,
                bottom=piece.left,
                width=piece.height,
                height=piece.width,
                grain={"up": "across", "across": "up"}.get(piece.grain, ""),
            )
            for piece in self.pieces
        ]
        pieces = tuple(sorted(turned, key=lambda piece: piece.left))
        return replace(self, width=self.height, height=self.width, pieces=pieces, from_top=False, lies=True)

    @property
    def numbered(self) -> tuple[tuple[int, Piece], ...]:
        """Every piece with its number in the drawing; pieces alike at one height share theirs."""
        numbers: dict[tuple[object, ...], int] = {}
        return tuple((numbers.setdefault(_alike(piece), len(numbers) + 1), piece) for piece in self.pieces)


def _alike(piece: Piece) -> tuple[object, ...]:
    sizes = (round(size, 6) for size in (piece.bottom, piece.width, piece.height))
    return (piece.what, piece.name, *sizes)

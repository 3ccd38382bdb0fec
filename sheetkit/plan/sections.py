"""How a mortise or groove lies in its part: ways in the section as the sizes tell, and where lengths begin.

Lengths along a part count from its reference end to the other: shoulder to shoulder when it has tenons.
"""

from __future__ import annotations

from typing import NamedTuple

from sheetkit.records.job import Part

LEG_LIKE = 1.5
"""Up to this ratio of its two sizes a part takes joints in any face, as legs do (common practice)."""
BOARD_LIKE = 8.0
"""Above this ratio a part is a board, mortised in its face (common practice)."""
WIDE_GROOVED = 5.0
"""Above this ratio a shallow groove lies in the face, as in a drawer side (common practice)."""


class Opening(NamedTuple):
    """One way for a mortise to lie: size of the part along its depth and across its thickness [in]."""

    deep: float
    across: float | None
    """None when the part is so wide there that nothing can break out."""
    words: str


def is_leg_like(part: Part) -> bool:
    """Return whether a part takes joints in adjacent faces."""
    narrow, wide = sorted((part.thickness, part.width))
    return wide <= LEG_LIKE * narrow + 1e-9


def zero_of(part: Part) -> str:
    """Say where lengths along a part count from: the shoulder when it has tenons, else its end."""
    return "shoulder" if any(part.tenons) else "end"


def openings(part: Part) -> tuple[Opening, ...]:
    """Return the ways a mortise may lie in: both faces of a leg, the edge of a rail, the face of a board."""
    narrow, wide = sorted((part.thickness, part.width))
    if wide - narrow < 1e-9:
        return (Opening(wide, wide, ""),)
    if is_leg_like(part):
        return (Opening(narrow, wide, ""), Opening(wide, narrow, ""))
    if wide > BOARD_LIKE * narrow:
        return (Opening(narrow, None, "face"),)
    return (Opening(wide, narrow, "edge"),)


def groove_openings(part: Part, depth: float) -> tuple[Opening, ...]:
    """Return the ways a groove may lie in: the edge of a frame, or the face of a drawer side or leg."""
    narrow, wide = sorted((part.thickness, part.width))
    if not is_leg_like(part) and wide > WIDE_GROOVED * narrow and depth <= narrow / 2 + 1e-9:
        return (Opening(narrow, None, "face"),)
    return openings(part)

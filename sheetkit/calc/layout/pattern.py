"""How one board is cut, in ticks: sections, their strips, and what each strip yields."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field


@dataclass(slots=True)
class StaveCut:
    """A stave in a strip: which glue-up, for which of its blanks, and what it adds to the net width."""

    glue: int
    unit: int
    net: int


@dataclass(slots=True)
class StripCut:
    """A strip: width, kinds crosscut from it and staves.

    With `composite` (a side-by-side kind) the strip is really several strips next to each other; `subs` hold
    what else each of them yields behind the composite.
    """

    width: int
    kinds: list[int] = field(default_factory=list)
    staves: list[StaveCut] = field(default_factory=list)
    composite: int = -1
    subs: list[StripCut] = field(default_factory=list)
    y: int = -1  # from the straightened edge when it is fixed (lanes around bad spots), else -1

    def all_kinds(self) -> Iterator[int]:
        """Yield every kind of the strip and its parts."""
        yield from self.kinds
        if self.composite >= 0:
            yield self.composite
        for sub in self.subs:
            yield from sub.all_kinds()

    def all_staves(self) -> Iterator[StaveCut]:
        """Yield every stave of the strip and its parts."""
        yield from self.staves
        for sub in self.subs:
            yield from sub.all_staves()

    def copy(self) -> StripCut:
        """Return a copy that can be changed by itself."""
        staves = [StaveCut(s.glue, s.unit, s.net) for s in self.staves]
        return StripCut(
            self.width, list(self.kinds), staves, self.composite, [s.copy() for s in self.subs], self.y
        )


@dataclass(slots=True)
class SectionCut:
    """A section: where it starts on the board, how long it is, and its strips."""

    x: int
    length: int
    strips: list[StripCut]


@dataclass(slots=True)
class Pattern:
    """The sections of one board."""

    bin: int
    sections: list[SectionCut] = field(default_factory=list)

    def strips(self) -> Iterator[StripCut]:
        """Yield every strip."""
        for section in self.sections:
            yield from section.strips

    def kinds(self) -> Iterator[int]:
        """Yield every kind cut from the board."""
        for strip in self.strips():
            yield from strip.all_kinds()

    def staves(self) -> Iterator[StaveCut]:
        """Yield every stave cut from the board."""
        for strip in self.strips():
            yield from strip.all_staves()

    def copy(self, bin_index: int | None = None) -> Pattern:
        """Return a copy that can be changed by itself, for another board when given."""
        sections = [SectionCut(s.x, s.length, [t.copy() for t in s.strips]) for s in self.sections]
        return Pattern(self.bin if bin_index is None else bin_index, sections)

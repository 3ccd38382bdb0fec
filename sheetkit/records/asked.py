"""What the maker's cells come to: sums by which a tab of answers tells that they have changed since."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TabSums:
    """Sums over the maker's cells on one input tab, a column each."""

    title: str
    formulas: tuple[str, ...]
    """Each goes through blocks of cells, cell by cell."""
    values: tuple[int, ...]
    """What they came to at the run."""

"""Frozen records of what to take to the yard: the lumber that is missing, and the boards it is wanted in."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from sheetkit.records.job import Stock
from sheetkit.tables import Species


@dataclass(frozen=True, slots=True)
class BoardToBuy:
    """Boards of one kind to look for, or one that was seen at the yard."""

    count: int
    width: float
    """Least width, edge to straighten included [in]."""
    length: float
    """Least length, ends to trim included [in]."""
    of: tuple[str, ...]
    board: str = ""
    """Its mark, when it was seen and is listed on Boards."""
    price: Decimal | None = None
    """Of the whole board, when it was seen."""
    about: bool = False
    """Whether the count is a guess by volume: any boards will do that are large enough."""
    in_one: float = 0.0
    """Length of a single board that would do instead [in], 0 when none."""
    half: float = 0.0
    """Width of two narrower boards that would do instead of one, glued edge to edge [in], 0 when none."""
    how: str = ""
    """How the blanks are kept together."""


@dataclass(frozen=True, slots=True)
class Purchase:
    """What is missing of one species and stock."""

    species: Species
    stock: Stock
    volume: float
    """What is to be bought [bf]."""
    price: Decimal | None
    """Price of a board foot, or of a cubic metre when the job counts so."""
    cost: Decimal | None
    by_waste: bool
    """Whether no boards are listed, so that the volume holds an allowance for waste."""
    boards: tuple[BoardToBuy, ...]
    wishes: tuple[str, ...]
    """What the notes and the cut asked for say of grain and figure, part by part."""
    instead: tuple[str, ...]
    """What else would do, and what it costs."""

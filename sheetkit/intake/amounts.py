"""How amounts of money are written in a workbook: its currency, and the sign that sets off decimals."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from functools import cache

from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Kind
from sheetkit.intake.fault import Wrong
from sheetkit.intake.headings import by_row, heading_row, match_headings
from sheetkit.page import Page
from sheetkit.units import NotANumber, Thousands, Unit, decimal_sign, money_from_text

LONGEST_CURRENCY = 20
"""Characters of a sign or word for a currency."""
EXPECTED = "an amount such as 9.50, with the Currency from Job beside it or none"


class Amounts:
    """The amounts that a workbook holds as text; they are looked through only when one of them is not clear."""

    def __init__(
        self,
        currency: str = "",
        pages: Mapping[str, Page] | None = None,
        labels: Mapping[str, tuple[str, int, int]] | None = None,
    ) -> None:
        self.currency = currency if len(currency) <= LONGEST_CURRENCY else ""
        self._pages = pages or {}
        self._labels = labels or {}
        self._signs = cache(self._found_signs)

    def amount(self, text: str, unit: Unit, tab: str) -> Decimal:
        """Give the amount that a cell of a tab holds as text.

        Raises
        ------
        Wrong
            When it is none, or when nothing tells whether it goes into the thousands.
        """
        currency = self.currency or ("$" if unit == "in" else "")
        try:
            return money_from_text(text, currency)
        except Thousands:
            pass
        except NotANumber:
            raise Wrong("not-a-number", expected=EXPECTED) from None
        try:
            return money_from_text(text, currency, self.decimal(tab))
        except Thousands as unclear:
            raise Wrong("thousands", thousands=unclear.thousands, decimals=unclear.decimals) from None

    def decimal(self, tab: str) -> str:
        """Give the sign that sets off decimals on a tab, or else in the whole workbook; empty when they differ."""
        signs = self._signs()
        here = signs.get(tab.casefold(), set()) or set().union(*signs.values())
        return next(iter(here)) if len(here) == 1 else ""

    def _found_signs(self) -> dict[str, set[str]]:
        return {
            title: {
                sign for text in _texts(page, self._labels) if (sign := decimal_sign(text, self.currency))
            }
            for title, page in self._pages.items()
        }


def _texts(page: Page, labels: Mapping[str, tuple[str, int, int]]) -> Iterator[str]:
    """Give what stands as text in the money cells of a tab."""
    for address in _places(page, labels):
        cell = page.cells.get(address)
        if cell is not None and isinstance(cell.value, str) and re.search(r"\d", cell.value):
            yield cell.value


def _places(page: Page, labels: Mapping[str, tuple[str, int, int]]) -> Iterable[tuple[int, int]]:
    title = page.title.casefold()
    if title == settings.JOB_TITLE.casefold():
        return [
            labels[label.name][1:]
            for label in settings.JOB
            if label.kind is Kind.MONEY and label.name in labels
        ]
    for tab in TABLES:
        asked = [column.name for column in tab.asked if column.kind is Kind.MONEY]
        if asked and tab.title.casefold() == title:
            grouped = by_row(page)
            heading = heading_row(grouped, tab)
            placed = match_headings(grouped[heading], tab, heading)[0] if heading else {}
            columns = [placed[name] for name in asked if name in placed]
            return [(row, column) for row in grouped if row > (heading or 0) for column in columns]
    return []

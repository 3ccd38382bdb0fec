"""How amounts of money are written in a workbook: its currency, and the sign that sets off decimals."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from functools import cache

from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Kind, title_keys
from sheetkit.intake.fault import Wrong
from sheetkit.intake.headings import by_row, heading_row, match_headings
from sheetkit.page import Page
from sheetkit.units import NotANumber, Unit, either, money_from_number, number_from_text, plain_text

LONGEST_CURRENCY = 20
"""Characters of a sign or word for a currency."""
EXPECTED = "an amount such as 9.50, with the Currency from Job beside it or none"

_CURRENCY = (
    r"(?:(?:us|c|ca|a|au|nz|r)?\$|[\u00a3-\u00a5\u058f\u060b\u09f2\u09f3\u0e3f\u17db\u20a0-\u20cf\ufdfc]"
    r"|usd|cad|aud|nzd|eur|gbp|chf|sek|nok|dkk|isk|pln|czk|huf|ron|bgn|jpy|cny"
    r"|inr|mxn|brl|zar|try|ils|krw|dollars?|euros?|pounds?|s?fr\.?|kr\.?|zł|kč|ft)"
)
"""Signs of currencies (Unicode, general category Sc) and the words seen most; a job may add its own."""
WITH_POINTS = frozenset(("£", "usd", "cad", "aud", "nzd", "gbp", "dollar", "dollars", "pound", "pounds"))
"""Currencies whose countries set off thousands by commas; so does whatever holds a dollar sign."""


@cache
def _amount(currency: str) -> re.Pattern[str]:
    """Return how an amount looks: its currency before or after it, and what it is for, as ``€9.5/bf``."""
    own = plain_text(currency)
    known = rf"(?:{re.escape(own)}|{_CURRENCY})" if own and not re.search(r"\d", own) else _CURRENCY
    return re.compile(
        rf"([+-]?)\s*({known})?\s*([+-]?)\s*(\d[\d.,' ]*(?:/\d+|[.,]--?)?|[.,]\d+)\s*({known})?"
        r"(?:\s*(?:/|per )\s*[a-z][a-z. ]*[23³²]?)?",
        re.IGNORECASE,
    )


class Thousands(NotANumber):
    """An amount that may be a thousand and more, or have three decimals: both as they are written plainly."""

    def __init__(self, text: str, thousands: str, decimals: str) -> None:
        super().__init__(text)
        self.thousands = thousands
        self.decimals = decimals


class Amounts:
    """The amounts that a workbook holds as text, looked through only when one of them is not clear."""

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
        """Return the amount that a cell of a tab holds as text.

        Raises
        ------
        Wrong
            When it is none, or when nothing tells whether it goes into the thousands.
        """
        currency = self.currency or either(unit, "$", "")
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
        """Return the decimal sign of a tab, or else of the whole workbook; empty when they differ."""
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
    """Yield what stands as text in the money cells of a tab."""
    for address in _places(page, labels):
        cell = page.cells.get(address)
        if cell is not None and isinstance(cell.value, str) and re.search(r"\d", cell.value):
            yield cell.value


def _places(page: Page, labels: Mapping[str, tuple[str, int, int]]) -> Iterable[tuple[int, int]]:
    title = page.title.casefold()
    if title in title_keys(settings.JOB_TITLE):
        return [
            labels[label.name][1:]
            for label in settings.JOB
            if label.kind is Kind.MONEY and label.name in labels
        ]
    for tab in TABLES:
        asked = [column.name for column in tab.asked if column.kind is Kind.MONEY]
        if asked and title in title_keys(tab.title):
            grouped = by_row(page)
            heading = heading_row(grouped, tab)
            placed = match_headings(grouped[heading], tab, heading)[0] if heading else {}
            columns = [placed[name] for name in asked if name in placed]
            return [(row, column) for row in grouped if row > (heading or 0) for column in columns]
    return []


def money_from_text(text: str, currency: str = "$", decimal: str = "") -> Decimal:
    """Return a typed amount; a currency before or after it is passed over, any other word is not.

    Parameters
    ----------
    text
        Such as ``9.50``, ``$1,250.50``, ``9,50 €``, ``12.-``.
    currency
        The job's own, which may be any text.
    decimal
        The sign that sets off decimals in the job's other amounts; empty when that is not known.

    Raises
    ------
    Thousands
        When ``1.250`` or ``1,250`` may be a thousand and more, or not: nothing else tells. Where the
        currency is of a country that writes decimals with a point, a comma sets off thousands.
    NotANumber
        When the text is no amount.

    Examples
    --------
    >>> money_from_text("$1,250.50"), money_from_text("9,50 €"), money_from_text("12.-")
    (Decimal('1250.5'), Decimal('9.5'), Decimal('12.0'))
    >>> money_from_text("1.250", decimal=","), money_from_text("1.250", decimal=".")
    (Decimal('1250.0'), Decimal('1.25'))
    """
    match = _amount(currency).fullmatch(plain_text(text))
    if not match:
        raise NotANumber(text)
    sign, before, inner, amount, after = match.groups()
    if (sign and inner) or (before and after):
        raise NotANumber(text)
    amount = re.sub(r"[.,]--?$", "", amount.strip())
    if unclear := re.fullmatch(r"([1-9]\d{0,2})([.,])(\d{3})", amount):
        whole, mark, rest = unclear.groups()
        of = (before or after or currency).casefold()
        if not decimal and mark == "," and ("$" in of or of in WITH_POINTS):
            decimal = "."
        if not decimal:
            raise Thousands(
                text, f"{sign}{inner}{whole}{rest}", f"{sign}{inner}{whole}.{rest}".rstrip("0").rstrip(".")
            )
        amount = f"{whole}.{rest}" if mark == decimal else f"{whole}{rest}"
    return money_from_number(number_from_text(sign + inner + amount))


def decimal_sign(text: str, currency: str = "$") -> str:
    """Return the sign that sets off decimals in an amount, empty when the amount does not tell.

    >>> decimal_sign("9,50 €"), decimal_sign("1,250.50"), decimal_sign("1.250.000"), decimal_sign("1.250")
    (',', '.', ',', '')
    """
    match = _amount(currency).fullmatch(plain_text(text))
    amount = match.group(4).strip() if match else ""
    marks = re.findall(r"[.,]", amount)
    if not marks:
        return ""
    if len(set(marks)) == 2:
        return str(marks[-1])
    if len(marks) > 1:
        return "," if marks[0] == "." else "."
    return "" if re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", amount) else str(marks[0])

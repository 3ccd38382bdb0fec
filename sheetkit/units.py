"""Text <-> length, number, percent: parsing of what a person types, and all rounding for the page."""

from __future__ import annotations

import math
import re
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Literal, TypeVar

if TYPE_CHECKING:
    from pint import UnitRegistry

MM = 25.4
"""Millimeters in an inch, exactly (international yard and pound agreement, 1959)."""
KG_PER_LB = 0.45359237
"""Kilograms in a pound, exactly (the same agreement)."""
CM2_PER_IN2 = (MM / 10) ** 2
"""Square centimeters in a square inch, exactly: 6.4516."""
M2_PER_FT2 = (12 * MM / 1000) ** 2
"""Square meters in a square foot, exactly: 0.09290304 (NIST SP 811, Appendix B, as those below)."""
LITRES_PER_GALLON = 3.785411784
"""Liters in a US gallon of 231 cubic inches, exactly."""
ML_PER_FL_OZ = 1000 * LITRES_PER_GALLON / 128
"""Milliliters in a US fluid ounce, exactly: 29.5735295625."""
N_PER_LBF = KG_PER_LB * 9.80665
"""Newtons in a pound-force, exactly: 4.4482216152605."""

BOARD_FEET_PER_M3 = 1_000_000_000 / (144 * MM**3)
"""423.776: one board foot is 144 cubic inches."""

Unit = Literal["in", "mm"]

Either = TypeVar("Either")
FINEST: dict[Unit, float] = {"in": 1 / 64, "mm": 0.5 / MM}
"""What can be set out with a rule, in each unit [in]."""

LONGEST_NUMBER = 100
"""Characters in a number; no size or amount needs more."""
_GLYPHS = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3", "⅔": "2/3",
    "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6",
    "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_PLAIN_MARKS = {
    "″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'", "⁄": "/", "∕": "/",
    "–": "-", "—": "-", "−": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " ",
}  # fmt: skip
_MARKS = str.maketrans(_PLAIN_MARKS)
_INCHES = {
    '"': 1.0, "''": 1.0, "in": 1.0, "in.": 1.0, "inch": 1.0, "inches": 1.0,
    "'": 12.0, "ft": 12.0, "ft.": 12.0, "foot": 12.0, "feet": 12.0,
    "mm": 1 / MM, "cm": 10 / MM, "m": 1000 / MM,
}  # fmt: skip
_NUMBER = r"(?:\d+(?:[ -]+\d+/\d+)|\d+/\d+|\d{1,3}(?:\.\d{3})+,\d+|\d{1,3}(?:,\d{3})+\.\d+|\d*[.,]\d+|\d+)"
_THOUSANDS = re.compile(r"[1-9][.,]\d{3}")
"""``1,250 mm`` may be a long rail or a veneer; nothing here may guess which."""
_FINEST_UNIT, _COARSEST_UNIT = 0.99 / MM, 1001 / MM
"""Units from the millimeter to the meter are typed for furniture; no thou and no mile [in]."""
_TERM = re.compile(rf"({_NUMBER})\s*([a-z]+\.?|''|\"|')?[\s-]*", re.IGNORECASE)


class NotANumber(ValueError):
    """Text that cannot be read as the number it should be."""


def plain_text(text: str) -> str:
    """Return a text with fractions, primes, dashes and spaces written with plain characters.

    >>> plain_text("3½ ″ – 4")
    '3 1/2 " - 4'
    """
    for glyph, fraction in _GLYPHS.items():
        text = text.replace(glyph, f" {fraction}")
    return " ".join(text.translate(_MARKS).split())


def _magnitude(text: str) -> float:
    """Read ``3``, ``3.25``, ``3,25``, ``1.250,5``, ``3/4``, ``3 1/4`` or ``3-1/4``."""
    if len(text) > LONGEST_NUMBER:
        raise NotANumber(text)
    match = re.fullmatch(r"(?:(\d+)[ -]+)?(\d+)/(\d+)", text)
    if match:
        whole, over, under = match.groups()
        if int(under) == 0:
            raise NotANumber(text)
        return float(int(whole or 0) + Fraction(int(over), int(under)))
    last = max(text.rfind("."), text.rfind(","))
    whole = re.sub(r"[.,]", "", text[: max(last, 0)])
    number = float(f"{whole}.{text[last + 1 :]}" if last >= 0 else text)
    if not math.isfinite(number):
        raise NotANumber(text)
    return number


def is_bare_fraction(text: str) -> bool:
    """Return whether a text is a fraction, or a number with one, that names no unit.

    >>> is_bare_fraction("3/4"), is_bare_fraction("3-¼"), is_bare_fraction('3/4"'), is_bare_fraction("82,5")
    (True, True, False, False)
    """
    return re.fullmatch(r"[+-]? *(?:\d+[ -]+)?\d+/\d+", plain_text(text)) is not None


def number_from_text(text: str) -> float:
    """Return the number that a person typed: decimal point or comma, thousands set apart, fractions.

    >>> number_from_text("1,250.50"), number_from_text("1.250,50"), number_from_text("12,5")
    (1250.5, 1250.5, 12.5)
    >>> number_from_text("3 1/4")
    3.25
    """
    plain = plain_text(text)
    sign = -1.0 if plain.startswith("-") else 1.0
    plain = re.sub(r"^[+-] *", "", plain)
    if re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?|\d{1,3},\d{3}\.\d+", plain):
        plain = plain.replace(",", "")
    elif re.fullmatch(r"\d{1,3}(\.\d{3})+,\d+|\d{1,3}(\.\d{3}){2,}", plain):
        plain = plain.replace(".", "").replace(",", ".")
    elif re.fullmatch(r"\d{1,3}([ '’]\d{3})+([.,]\d+)?", plain):
        plain = re.sub(r"[ '’]", "", plain)
    if not re.fullmatch(_NUMBER, plain):
        raise NotANumber(text)
    return sign * _magnitude(plain)


def either(unit: Unit, inch: Either, mm: Either) -> Either:
    """Return what holds in an inch job, or what holds in a mm job.

    >>> either("in", "letter", "a4"), either("mm", "letter", "a4")
    ('letter', 'a4')
    """
    return mm if is_metric(unit) else inch


def is_metric(unit: Unit) -> bool:
    """Return whether sizes are in mm."""
    return unit == "mm"


def length_from_text(text: str, unit: Unit) -> float:
    r"""Return a typed length in inches; a unit in the text is used before the job's.

    Parameters
    ----------
    text
        Such as ``3 1/4``, ``3-1/4"``, ``6' 8"``, ``6 ft 8 in``, ``82.5 mm``, ``3,25``.
    unit
        Unit of a number that bears none.

    Raises
    ------
    NotANumber
        When the text is not a length.

    Examples
    --------
    >>> length_from_text('3-1/4"', "in"), length_from_text("6' 8\"", "in")
    (3.25, 80.0)
    >>> length_from_text("82.55 mm", "in")
    3.25
    >>> round(length_from_text("82,5", "mm") * 25.4, 6)
    82.5
    """
    plain = plain_text(text)
    sign = -1.0 if plain.startswith("-") else 1.0
    rest = re.sub(r"^[+-] *", "", plain)
    if not rest or rest.endswith("-"):
        raise NotANumber(text)
    total, last = 0.0, math.inf
    while rest:
        match = _TERM.match(rest)
        if not match or match.end() == 0:
            raise NotANumber(text)
        size, word = match.group(1), (match.group(2) or "").lower()
        rest = rest[match.end() :]
        if not word and (rest or total):
            # 6' 8 means feet and inches; 3 4 means nothing
            if rest or last != 12.0:
                raise NotANumber(text)
            word = "in"
        word = word or unit
        if word == "mm" and _THOUSANDS.fullmatch(size):
            raise NotANumber(text)
        inches = _INCHES.get(word) or _inches_in(word)
        if inches is None or inches >= last or not _FINEST_UNIT <= inches <= _COARSEST_UNIT:
            raise NotANumber(text)
        if last == 12.0 and _magnitude(size) * inches > 12:  # 1'200 is a thousand and more, not feet
            raise NotANumber(text)
        total += _magnitude(size) * inches
        last = inches
    return sign * total


@cache
def sizes_from_text(text: str, unit: Unit) -> tuple[float, ...]:
    """Return the sizes of a text such as ``48 x 18 x 19`` in inches; nothing where one of them is none.

    A unit behind the last holds for those that bear none.

    >>> sizes_from_text("48 x 18 1/2 x 19", "in"), sizes_from_text("1016 × 508 x 254 mm", "in")
    ((48.0, 18.5, 19.0), (40.0, 20.0, 10.0))
    >>> sizes_from_text("as the niche", "in")
    ()
    """
    words = [word.strip() for word in re.split(r"[x×]", text.casefold())]
    behind = re.search(r"[^\W\d_]+$", words[-1])
    try:
        return tuple(
            length_from_text(f"{word} {behind[0]}" if behind and word[-1:].isdigit() else word, unit)
            for word in words
        )
    except NotANumber:
        return ()


def _inches_in(word: str) -> float | None:
    """Return the inches in a unit that is not an everyday one, None when the word is no unit of length."""
    from pint import PintError

    try:
        return float(_registry().Quantity(1, word).to("inch").magnitude)
    except (PintError, ValueError):  # a ValueError for a word that is a number, such as nan
        return None


@cache
def _registry() -> UnitRegistry[float]:
    """Return the unit registry, made once and only when asked for: it takes a tenth of a second."""
    import pint

    return pint.UnitRegistry()


def temperature_from_text(text: str, unit: Unit) -> float:
    """Return a typed temperature in degrees Fahrenheit; a bare number is °F in an inch job, °C in a mm job.

    >>> temperature_from_text("70", "in"), temperature_from_text("21 C", "in")
    (70.0, 69.8)
    >>> temperature_from_text("20", "mm")
    68.0
    """
    match = re.fullmatch(
        r"(.*?)\s*(?:°\s*|deg(?:rees)?\s*)?([cf])?(?:elsius|ahrenheit)?\s*", plain_text(text), re.IGNORECASE
    )
    if not match:
        raise NotANumber(text)
    degrees = number_from_text(match.group(1).rstrip("°"))
    scale = (match.group(2) or either(unit, "f", "c")).lower()
    return degrees if scale == "f" else degrees * 9 / 5 + 32


def share_from_text(text: str) -> float:
    """Return a typed percentage as a share: ``20``, ``20 %`` and ``0.2`` are one fifth.

    A percent sign typed where the spreadsheet program puts one of its own comes out as two.

    >>> share_from_text("20 %"), share_from_text("0.2"), share_from_text("12,5"), share_from_text("15 %%")
    (0.2, 0.2, 0.125, 0.15)
    """
    plain = plain_text(text)
    if plain.endswith("%"):
        return number_from_text(plain.rstrip("% ")) / 100
    return share_from_number(number_from_text(plain))


def share_from_number(number: float) -> float:
    """Return a percentage typed as a bare number as a share: below 1 it is one already.

    >>> share_from_number(20), share_from_number(0.2)
    (0.2, 0.2)
    """
    return number / 100 if abs(number) >= 1 else number


def money_from_number(number: float) -> Decimal:
    """Return a stored number as an exact amount, without the dust of binary fractions.

    >>> money_from_number(9.1)
    Decimal('9.1')
    """
    try:
        return Decimal(repr(round(number, 9)))
    except InvalidOperation:
        raise NotANumber(str(number)) from None


def cents(amount: Decimal) -> Decimal:
    """Round an amount to the cent, half a cent up, as ROUND does in a spreadsheet: live formulas agree.

    >>> cents(Decimal("2.345")), cents(Decimal("2.344"))
    (Decimal('2.35'), Decimal('2.34'))
    """
    return amount.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)


# A size computed as 3.4999999999 is 3.5: binary dust must not move it by a whole step.
_DUST = 1e-7


def rounded_up(size: float, step: float) -> float:
    """Round a size up to a whole number of steps; for blanks, which may be large but never small.

    >>> rounded_up(3.51, 1 / 16)
    3.5625
    """
    return math.ceil(size / step - _DUST) * step


def rounded_down(size: float, step: float) -> float:
    """Round a size down to a whole number of steps; for panels, which may be small but never large.

    >>> rounded_down(14.96895, 1 / 32)
    14.96875
    """
    return math.floor(size / step + _DUST) * step


def rounded(size: float, step: float) -> float:
    """Round a size to the nearest whole number of steps, halves up.

    >>> rounded(0.3321, 1 / 64)
    0.328125
    """
    return math.floor(size / step + 0.5 + _DUST) * step


def fraction_text(size: float, step: float = 1 / 64) -> str:
    """Write a size in inches as a whole number and a reduced fraction, to the nearest step.

    >>> fraction_text(3.25), fraction_text(0.75), fraction_text(14.96875), fraction_text(12)
    ('3 1/4', '3/4', '14 31/32', '12')
    """
    exact = Fraction(rounded(abs(size), step)).limit_denominator(128)
    sign = "-" if size < 0 and exact else ""
    whole, rest = divmod(exact, 1)
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def length_text(size: float, unit: Unit, step: float | None = None) -> str:
    """Write a size in inches for a person, in the job's unit, without the unit's name.

    >>> length_text(3.25, "in"), length_text(3.25, "mm")
    ('3 1/4', '82.5')
    """
    if not is_metric(unit):
        return fraction_text(size, step or 1 / 64)
    millimeters = rounded(size * MM, (step or 0.5 / MM) * MM)
    return f"{millimeters:.1f}".removesuffix(".0")


def shown(size: float, unit: Unit) -> float:
    """Return a size in inches as the number that stands in a cell of the job's unit.

    >>> shown(3.25, "mm")
    82.55
    """
    return either(unit, round(size, 9), round(size * MM, 6))

"""How wide letters are in the font of our tabs, and how many lines a text fills in a column."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache

UNKNOWN = 1000
"""Width of a letter that is not listed: hardly one is wider."""
SPARE = 0.97
"""Share of a column that is counted on; programs differ a little in how they fit letters to the screen."""

_REGULAR = {
    188: "′",
    191: "'",
    222: "ijlįĵĺļłſ‘’‚",
    260: "|¦",
    278: " !,./:;I[\\]ft·ÌÍÎÏìíîïĨĩĪīĬĭĮİıţŧ",
    292: "ľ",
    333: "()-`r¡¨²³´¸¹ŕŗř“”„",
    334: "{}ŀ",
    350: "•",
    354: "″",
    355: '"',
    365: "º",
    370: "ª",
    375: "ť",
    389: "*",
    400: "°",
    444: "ĳ",
    469: "^",
    500: "JcksvxyzçýÿćĉċčĴķĸśŝşšŷźżž",
    537: "¶",
    549: "±÷≈≤≥",
    552: "¯",
    556: ("#$0123456789?L_abdeghnopqu¢£¤¥§«»àáâãäåèéêëðñòóôõöùúûüþāăąđēĕėęěĝğġģĥħĹĻĽĿŁńņňŋōŏőũūŭůűų–†€"),
    576: "µ",
    584: "+<=>~¬×−",
    604: "ŉ",
    611: "FTZ¿ßøŢŤŦŹŻŽ",
    615: "ď",
    667: "&ABEKPSVXYÀÁÂÃÄÅÈÉÊËÝÞĀĂĄĒĔĖĘĚĶŚŜŞŠŶŸ",
    722: "CDHNRUwÇÐÑÙÚÛÜĆĈĊČĎĐĤĦŃŅŇŔŖŘŨŪŬŮŰŲŵ",
    723: "Ŋ",
    735: "Ĳ",
    737: "©®",
    748: "Ω",
    778: "GOQÒÓÔÕÖØĜĞĠĢŌŎŐ",
    833: "Mm",
    834: "¼½¾⅛⅜⅝⅞",
    889: "%æ",
    944: "WœŴ",
    1000: "ÆŒ—…‰™",
    1015: "@",
}
_BOLD = {
    238: "'",
    240: "′",
    278: " ,./I\\ijl·ÌÍÎÏìíîïĨĩĪīĬĭĮįİıĵĺļłſ‘’‚",
    280: "|¦",
    333: "!()-:;[]`ft¡¨²³´¸¹ţŧ",
    350: "•",
    365: "º",
    370: "ª",
    385: "ľ",
    389: "*r{}ŕŗř",
    400: "°",
    474: '"',
    479: "ŀť″",
    500: "zźżž“”„",
    549: "±÷≈≤≥",
    552: "¯",
    556: "#$0123456789J_aceksvxy¢£¤¥§«¶»àáâãäåçèéêëýÿāăąćĉċčēĕėęěĳĴķĸśŝşšŷ–†€",
    576: "µ",
    584: "+<=>^~¬×−",
    611: "?FLTZbdghnopqu¿ßðñòóôõöøùúûüþđĝğġģĥħĹĻĽĿŁńņňŋōŏőŢŤŦũūŭůűųŹŻŽ",
    667: "EPSVXYÈÉÊËÝÞĒĔĖĘĚŚŜŞŠŶŸ",
    708: "ŉ",
    719: "ď",
    722: "&ABCDHKNRUÀÁÂÃÄÅÇÐÑÙÚÛÜĀĂĄĆĈĊČĎĐĤĦĶŃŅŇŔŖŘŨŪŬŮŰŲ",
    723: "Ŋ",
    737: "©®",
    778: "GOQwÒÓÔÕÖØĜĞĠĢŌŎŐŵ",
    785: "Ĳ",
    802: "Ω",
    833: "M",
    834: "¼½¾⅛⅜⅝⅞",
    889: "%mæ",
    944: "WœŴ",
    975: "@",
    1000: "ÆŒ—…‰™",
}
"""Width in thousandths of the font's size -> letters, for Arial and what has its widths (Liberation Sans)."""


def _by_letter(widths: Mapping[int, str]) -> dict[str, int]:
    return {letter: width for width, letters in widths.items() for letter in letters} | {"\u00a0": 278}


_LETTERS = (_by_letter(_REGULAR), _by_letter(_BOLD))


@lru_cache(maxsize=8192)
def _width(word: str, bold: bool) -> int:
    letters = _LETTERS[bold]
    return sum(letters.get(letter, UNKNOWN) for letter in word)


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Return the width of a text on one line [pt].

    >>> round(text_width("Leg", 10), 2)
    16.68
    """
    return _width(text, bold) * size / 1000


def room(widths: Iterable[float]) -> float:
    """Return what columns of so many characters, taken together, leave for letters [pt].

    A column is 7 dots for each character and 5 more, 96 dots an inch; 5 of the whole are its margins.
    """
    return (sum(width * 7 + 5 for width in widths) - 5) * 0.75 * SPARE


@lru_cache(maxsize=10_000)
def line_count(text: str, room: float, size: float, bold: bool = False) -> int:
    """Return how many lines a text fills, wrapped at its spaces, and within a word wider than a line."""
    return sum(_lines(paragraph, room * 1000 / size, bold) for paragraph in text.split("\n"))


def _lines(text: str, room: float, bold: bool) -> int:
    space, found, used = _width(" ", bold), 1, 0.0
    for word in text.split(" "):
        need = _width(word, bold)
        if used and used + space + need > room:
            found, used = found + 1, 0.0
        elif used:
            used += space
        used += need
        if used > room:
            # a letter that does not fit whole goes down to the next line
            a_line = max(room - UNKNOWN, room / 2)
            found, used = found + int(used // a_line), used % a_line
    return found

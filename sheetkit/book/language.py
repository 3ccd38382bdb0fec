"""The language of a workbook, by which numbers are written: .ods tells it, .xlsx goes by the machine."""

from __future__ import annotations

import io
import re
import zipfile

STYLES = "styles.xml"
MOST_READ = 4_000_000
"""Bytes of the styles that are looked through."""
_DEFAULT = re.compile(
    rb'<style:default-style[^>]*style:family="table-cell".*?</style:default-style>', re.DOTALL
)
_LANGUAGE, _COUNTRY = re.compile(rb'fo:language="([a-z]{2,3})"'), re.compile(rb'fo:country="([A-Z]{2})"')
COMMA = re.compile(
    "bg|ca|cs|da|de|el|es|et|fi|fr|hr|hu|is|it|lt|lv|nb|nl|nn|no|pl|pt|ro|ru|sk|sl|sr|sv|tr|uk"
)
"""Languages that set off decimals by a comma (Unicode CLDR, from memory)."""
POINT = re.compile("(?:de|it)-(?:CH|LI)|es-(?:MX|US|GT|HN|NI|PA|PE|DO)")
"""Countries in which they do not (the same)."""


def language_of(data: bytes) -> str:
    """Return the language and country of a workbook's numbers, empty when the file does not tell.

    Returns
    -------
    str
        Such as ``de-DE``.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package, package.open(STYLES) as part:
            found = _DEFAULT.search(part.read(MOST_READ))
    except (KeyError, OSError, zipfile.BadZipFile, NotImplementedError, RuntimeError):
        return ""
    language = found and _LANGUAGE.search(found[0])
    country = found and _COUNTRY.search(found[0])
    return "-".join(each[1].decode() for each in (language, country) if each)


def decimal_comma(language: str) -> bool:
    """Return whether a language sets off decimals by a comma.

    >>> decimal_comma("de-DE"), decimal_comma("de-CH"), decimal_comma("en-US"), decimal_comma("")
    (True, False, False, False)
    """
    return not POINT.fullmatch(language) and bool(COMMA.fullmatch(language.partition("-")[0]))

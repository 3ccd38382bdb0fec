"""Formulas and addresses, between the neutral form of page.py and OpenFormula."""

from __future__ import annotations

import re
from collections.abc import Mapping

from sheetkit.book.ods.names import MAX_COLUMNS, MAX_ROWS
from sheetkit.page import Range, cell_name, column_number, quoted

Titles = Mapping[str, str]
"""Title of a tab as our pages know it, case folded -> title that it bears in the file."""

_VENDOR = {
    name: f"COM.MICROSOFT.{name}"
    for name in (
        *("CONCAT", "TEXTJOIN", "IFS", "SWITCH", "MAXIFS", "MINIFS", "STDEV.S", "STDEV.P", "VAR.S", "VAR.P"),
        *("RANK.EQ", "RANK.AVG", "MODE.SNGL", "PERCENTILE.INC", "QUARTILE.INC", "ENCODEURL"),
    )
}
_TAB = r"'(?:[^']|'')+'|[^\W\d][\w.]*"
_CELL = r"\$?[A-Za-z]{1,3}\$?[0-9]{1,7}"
_NEUTRAL = re.compile(
    rf"""(?P<string>"(?:[^"]|"")*")
    |(?P<error>\#(?:REF!|DIV/0!|VALUE!|NAME\?|NUM!|N/A|NULL!))
    |(?:(?P<tab>{_TAB})(?::(?P<tab2>[^\W\d][\w.]*))?!)?
     (?:(?P<first>{_CELL})(?::(?P<last>{_CELL}))?
       |(?P<column>\$?[A-Za-z]{{1,3}}):(?P<column2>\$?[A-Za-z]{{1,3}})
       |(?P<row>\$?[0-9]+):(?P<row2>\$?[0-9]+))(?![\w(.!])
    |(?P<number>[0-9]+\.?[0-9]*(?:[eE][+-]?[0-9]+)?|\.[0-9]+)
    |(?P<function>[^\W\d][\w.]*)(?=\()
    |(?P<word>[^\W\d][\w.]*)
    |(?P<space>\s+)
    |(?P<other>.)""",
    re.VERBOSE | re.DOTALL,
)
_OPEN_TAB = r"\$?(?:'(?:[^']|'')*'|[^.'\[\]:#$]+)"
_OPEN_CELL = r"\$?[A-Za-z]+\$?[0-9]+|\$?[A-Za-z]+|\$?[0-9]+"
_OPEN_REFERENCE = re.compile(
    rf"(?:(?P<file>'(?:[^']|'')*')#)?(?P<tab>{_OPEN_TAB})?\.(?P<first>{_OPEN_CELL})"
    rf"(?::(?P<tab2>{_OPEN_TAB})?\.?(?P<last>{_OPEN_CELL}))?"
)
_OPEN = re.compile(
    r"""(?P<string>"(?:[^"]|"")*")
    |\[(?P<reference>(?>(?:'(?:[^']|'')*+'|[^\[\]'])*))\]
    |(?P<error>\#(?:REF!|DIV/0!|VALUE!|NAME\?|NUM!|N/A|NULL!))
    |(?P<truth>TRUE|FALSE)\(\)
    |(?P<word>[^\W\d][\w.]*)
    |(?P<plain>[()+*/^&=<>,%0-9\s-]+)
    |(?P<other>.)""",
    re.VERBOSE | re.DOTALL | re.IGNORECASE,
)
_PREFIX = re.compile(r"[A-Za-z][\w.-]*:=?|=")
_MARKS = {";": ",", "~": ",", "!": " "}
_ARRAY_MARKS = {";": ",", "|": ";"}


def unquoted(title: str) -> str:
    """Return a tab's title without the quotes it bears in a reference."""
    if len(title) > 1 and title[0] == title[-1] == "'":
        return title[1:-1].replace("''", "'")
    return title


def open_title(title: str, titles: Titles | None = None) -> str:
    """Return a tab's title as it stands in an OpenFormula reference.

    >>> open_title("Parts"), open_title("Shop sheet")
    ('$Parts', "$'Shop sheet'")
    """
    return "$" + quoted((titles or {}).get(title.casefold(), title))


def to_open(formula: str, titles: Titles | None = None) -> str:
    """Return a neutral formula as OpenFormula.

    >>> to_open("IF(C4>0,C4*Parts!$B$2,0)")
    'of:=IF([.C4]>0;[.C4]*[$Parts.$B$2];0)'
    """
    out = ["of:="]
    nest: list[str] = []
    called = after_reference = False
    for match in _NEUTRAL.finditer(formula):
        text, kind = match[0], match.lastgroup or ""
        is_reference = kind in ("first", "last", "column2", "row2") and _possible(match)
        if is_reference:
            out.append(_open_reference(match, titles))
        elif kind == "function":
            plain = text.upper().removeprefix("_XLFN.")
            out.append(_VENDOR.get(plain, text if plain == text.upper() else plain))
        elif kind == "word" and text.upper() in ("TRUE", "FALSE"):
            out.append(f"{text.upper()}()")
        elif kind == "space" and after_reference and _starts_reference(formula, match.end()):
            out.append("!")
        elif kind == "other":
            out.append(_open_mark(text, nest, called))
        else:
            out.append(text)
        called = kind == "function"
        after_reference = is_reference
    return "".join(out)


def from_open(text: str) -> str:
    """Return an OpenFormula formula in the neutral form; what has no counterpart stays as it stands.

    >>> from_open("of:=[.C4]*[$Parts.$B$2]")
    'C4*Parts!$B$2'
    """
    body = _body(text)
    out = []
    depth = 0
    for match in _OPEN.finditer(body):
        part, kind = match[0], match.lastgroup
        if kind == "reference":
            out.append(_neutral_reference(match["reference"]) or part)
        elif kind == "truth":
            out.append(match["truth"].upper())
        elif kind == "word":
            out.append(part.removeprefix("COM.MICROSOFT."))
        elif kind == "other":
            depth += (part == "{") - (part == "}")
            out.append((_ARRAY_MARKS if depth else _MARKS).get(part, part))
        else:
            out.append(part)
    return "".join(out)


def literal(text: str) -> str:
    """Return a text as a constant in a formula."""
    return '"' + text.replace('"', '""') + '"'


def literal_text(expression: str) -> str | None:
    """Return the text that an expression holds when it is a text constant and nothing else."""
    body = _body(expression)
    if re.fullmatch(r'"(?:[^"]|"")*"', body, re.DOTALL):
        return body[1:-1].replace('""', '"')
    return None


def block_address(title: str, block: Range) -> str:
    """Return the address of a block, as named ranges and print ranges write it.

    >>> block_address("Shop sheet", Range(1, 1, 24, 6))
    "$'Shop sheet'.$A$1:.$F$24"
    """
    first = cell_name(block.first_row, block.first_column, fixed=True)
    last = cell_name(block.last_row, block.last_column, fixed=True)
    return f"{open_title(title)}.{first}" + (f":.{last}" if last != first else "")


def block_of(address: str) -> tuple[str, Range] | None:
    """Return tab and block of an address, None when it names no place.

    >>> block_of("$Parts.$A$2:.$C$9")
    ('Parts', Range(first_row=2, first_column=1, last_row=9, last_column=3))
    """
    match = _OPEN_REFERENCE.fullmatch(address.strip().removeprefix("[").removesuffix("]"))
    if match is None or match["file"] or match["tab"] is None:
        return None
    title = unquoted(match["tab"].removeprefix("$"))
    second = match["tab2"]
    if second is not None and unquoted(second.removeprefix("$")) != title:
        return None
    first = _corner(match["first"])
    last = _corner(match["last"]) if match["last"] else first
    if first is None or last is None:
        return None
    return title, Range(*first, *last)


def retitled(formula: str, old: str, new: str) -> str:
    """Return an OpenFormula formula with the references to one tab turned to another.

    >>> retitled("of:=[.A1]+[$Quote.B2]", "Quote", "Quote of May")
    "of:=[.A1]+[$'Quote of May'.B2]"
    """
    return _OPEN.sub(
        lambda match: match[0] if match["reference"] is None else readdressed(match[0], old, new), formula
    )


def readdressed(addresses: str, old: str, new: str) -> str:
    """Return addresses, parted by spaces, with those in one tab turned to another."""
    plain, apart = re.escape(old), re.escape("'" + old.replace("'", "''") + "'")
    return re.sub(
        rf"(?<![^\s:\[#])(\$?)(?:{plain}|{apart})(?=\.)", lambda match: match[1] + quoted(new), addresses
    )


def _body(text: str) -> str:
    """Return a formula without the prefix that says in which grammar it is written."""
    if text.startswith("of:="):
        return text[4:]
    prefix = _PREFIX.match(text)
    return text[prefix.end() :] if prefix else text


def _corner(text: str) -> tuple[int, int] | None:
    match = re.fullmatch(r"\$?([A-Za-z]{1,3})\$?([0-9]{1,7})", text)
    return (int(match[2]), column_number(match[1])) if match else None


def _possible(match: re.Match[str]) -> bool:
    """Return whether letters and digits are within a sheet's size, and so a cell and not a name."""
    for text in (match["first"], match["last"]):
        corner = _corner(text) if text else None
        if corner and not (1 <= corner[0] <= MAX_ROWS and corner[1] <= MAX_COLUMNS):
            return False
    return True


def _open_reference(match: re.Match[str], titles: Titles | None) -> str:
    first = match["first"] or match["column"] or match["row"]
    last = match["last"] or match["column2"] or match["row2"]
    tab, tab2 = match["tab"], match["tab2"]
    if tab and not tab2 and ":" in tab:
        tab, tab2 = unquoted(tab).split(":", 1)
    start = open_title(unquoted(tab), titles) if tab else ""
    end = open_title(unquoted(tab2), titles) if tab2 else ""
    if end:
        return f"[{start}.{first}:{end}.{last or first}]"
    return f"[{start}.{first}:.{last}]" if last else f"[{start}.{first}]"


def _starts_reference(formula: str, at: int) -> bool:
    match = _NEUTRAL.match(formula, at)
    return match is not None and match.lastgroup in ("first", "last", "column2", "row2") and _possible(match)


def _open_mark(mark: str, nest: list[str], called: bool) -> str:
    """Translate one mark; ``nest`` tells arguments of a function from a union and from an array."""
    if mark in "({":
        nest.append("f" if mark == "(" and called else mark)
    elif mark in ")}" and nest:
        nest.pop()
    elif mark == ",":
        return ";" if nest and nest[-1] in "f{" else "~"
    elif mark == ";" and nest and nest[-1] == "{":
        return "|"
    return mark


def _neutral_reference(text: str) -> str | None:
    if "#REF!" in text:
        return "#REF!"
    match = _OPEN_REFERENCE.fullmatch(text)
    if match is None:
        return None
    tab = unquoted(match["tab"].removeprefix("$")) if match["tab"] else ""
    tab2 = unquoted(match["tab2"].removeprefix("$")) if match["tab2"] else tab
    first, last = match["first"], match["last"]
    if match["file"]:
        start = f"'[{unquoted(match['file'])}]{tab}'!".replace("''", "'")
    elif tab2 != tab:
        start = quoted(f"{tab}:{tab2}") + "!" if "'" in quoted(tab) + quoted(tab2) else f"{tab}:{tab2}!"
        last = None if last == first else last
    else:
        start = f"{quoted(tab)}!" if tab else ""
    return f"{start}{first}:{last}" if last else f"{start}{first}"

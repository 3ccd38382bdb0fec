"""The words in a cell: paragraphs, runs of spaces, tabs and links, written and read."""

from __future__ import annotations

import re
from urllib.parse import unquote

from lxml import etree

from sheetkit.book.markup import Element
from sheetkit.book.ods.formula import Titles, block_of, unquoted
from sheetkit.book.ods.names import name
from sheetkit.page import cell_name, quoted

PARAGRAPH = name("text:p")
_HEADING = name("text:h")
_SPACES = name("text:s")
_COUNT = name("text:c")
_TAB = name("text:tab")
_BREAK = name("text:line-break")
_LINK = name("text:a")
_HREF = name("xlink:href")
_UNSAID = frozenset(
    name(tag)
    for tag in ("office:annotation", "office:annotation-end", "text:note", "text:ruby-text", "text:bookmark")
)
_SHAPES = "{urn:oasis:names:tc:opendocument:xmlns:drawing"

STRING = name("office:string-value")
EXTENDED_KIND = name("calcext:value-type")

_NO_XML = re.compile("[\x00-\x08\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_NEW_LINE = re.compile("\r\n|[\r\x0b\x0c]")
_WHITE = re.compile(r"[ \t\r\n]+")
_DIGITS = re.compile("[0-9]{1,9}")
_SPECIAL = re.compile(r"\t|^ +|  +| $")


def clean(text: str) -> str:
    r"""Return a text as XML can hold it: control characters dropped, every kind of new line the same.

    >>> clean("a\x00b\r\nc")
    'ab\nc'
    """
    return _NO_XML.sub("", _NEW_LINE.sub("\n", text))


def put_text(cell: Element, text: str, link: str | None = None, titles: Titles | None = None) -> None:
    """Write a text into a cell, one paragraph a line."""
    for line in clean(text).split("\n"):
        holder = etree.SubElement(cell, PARAGRAPH)
        if link is not None:
            holder = etree.SubElement(holder, _LINK)
            holder.set(_HREF, _href(link, titles or {}))
            holder.set(name("xlink:type"), "simple")
        if _SPECIAL.search(line):
            _put_special(holder, line)
        else:
            holder.text = line


def text_of(cell: Element) -> str:
    """Return the words of a cell, paragraphs joined by new lines, notes and shapes left out."""
    lines = [_line(part) for part in cell if part.tag == PARAGRAPH or part.tag == _HEADING]
    return lines[0] if len(lines) == 1 else "\n".join(lines)


def plain_words(cell: Element) -> str | None:
    """Return the words of a cell that holds one plain paragraph and nothing else, as most do; else None."""
    if len(cell) != 1:
        return None
    part = cell[0]
    if part.tag != PARAGRAPH or len(part):
        return None
    text = part.text
    return None if text is None or "\n" in text or "\t" in text else text


def link_of(cell: Element) -> str | None:
    """Return the place in the same workbook that the first link of a cell names, as ``Parts!B7``."""
    for part in cell:
        if part.tag == PARAGRAPH and len(part):
            for anchor in part.iter(_LINK):
                return _place(anchor.get(_HREF) or "")
    return None


def _line(paragraph: Element) -> str:
    text = paragraph.text or ""
    if not len(paragraph):
        return _joined(text).strip(" ") if "\n" in text or "\t" in text else text
    out: list[str] = []
    _collect(paragraph, out)
    return "".join(out)


def _collect(element: Element, out: list[str]) -> None:
    """Gather the words below an element; white space collapses as the standard says."""
    _add(element.text, out)
    for part in element:
        tag = part.tag
        if tag == _SPACES:
            count = part.get(_COUNT) or ""
            out.append(" " * (min(int(count), 10_000) if _DIGITS.fullmatch(count) else 1))
        elif tag == _TAB:
            out.append("\t")
        elif tag == _BREAK:
            out.append("\n")
        elif isinstance(tag, str) and tag not in _UNSAID and not tag.startswith(_SHAPES):
            _collect(part, out)
        _add(part.tail, out)


def _add(text: str | None, out: list[str]) -> None:
    if text:
        joined = _joined(text)
        if joined != text and not out:
            joined = joined.removeprefix(" ")
        out.append(joined)


def _joined(text: str) -> str:
    """Return a text without the white space that only lays out the XML.

    The standard asks to join spaces as well, but LibreOffice writes the maker's double spaces as they
    are, and means them.
    """
    return _WHITE.sub(lambda match: match[0] if not match[0].strip(" ") else " ", text)


def _put_special(holder: Element, line: str) -> None:
    """Write a line with tabs or more than single inner spaces, which plain XML would lose."""
    last: Element | None = None
    end = 0

    def plain(text: str) -> None:
        if last is None:
            holder.text = (holder.text or "") + text
        else:
            last.tail = (last.tail or "") + text

    for match in _SPECIAL.finditer(line):
        plain(line[end : match.start()])
        end = match.end()
        if match[0] == "\t":
            last = etree.SubElement(holder, _TAB)
        else:
            last = etree.SubElement(holder, _SPACES)
            last.set(_COUNT, str(len(match[0])))
    plain(line[end:])


def _href(link: str, titles: Titles) -> str:
    tab, _, place = link.rpartition("!")
    title = unquoted(tab)
    title = titles.get(title.casefold(), title)
    return f"#{quoted(title)}.{place.replace('$', '')}".replace("%", "%25")


def _place(href: str) -> str | None:
    if not href.startswith("#"):
        return None
    found = block_of(unquote(href[1:]))
    if found is None:
        return None
    title, block = found
    return f"{quoted(title)}!{cell_name(block.first_row, block.first_column)}"

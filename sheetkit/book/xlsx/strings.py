"""Texts of an .xlsx file: the shared table, read whole and only ever added to at its end."""

from __future__ import annotations

import io
import re

from lxml import etree

from sheetkit.book.markup import Element, damaged, plain, root, tree, written

_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")
_UNSAFE = re.compile("[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]|_(?=x[0-9A-Fa-f]{4}_)")
_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
_USE = re.compile(
    rb"""<(?:[\w.\-]+:)?c(?=\s)(?>[^<>]*?\st\s*=\s*["']s["'])[^<>]*+(?<!/)>
    (?:(?!<(?:[\w.\-]+:)?c\s).)*?                          # as far as the next cell
    <(?:[\w.\-]+:)?v(?:\s[^<>]*+)?>\s*(\d{1,9})""",
    re.DOTALL | re.VERBOSE,
)


def escaped(text: str) -> str:
    r"""Return text as it stands in a file: what XML cannot hold becomes ``_xHHHH_``.

    >>> escaped("a\x07_x0041_")
    'a_x0007__x005F_x0041_'
    """
    return _UNSAFE.sub(lambda found: f"_x{ord(found.group()):04X}_", text)


def unescaped(text: str) -> str:
    r"""Return the text that was meant.

    >>> unescaped("a_x0007__x005F_x0041_")
    'a\x07_x0041_'
    """
    if "_x" not in text:
        return text
    text = _ESCAPE.sub(lambda found: chr(int(found.group(1), 16)), text)
    return text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


def item_text(item: Element) -> str:
    """Return the text of a shared or inline string: its runs joined, reading aids passed over."""
    pieces = []
    for child in item.iterchildren(etree.Element):
        name = etree.QName(child).localname
        if name == "t":
            pieces.append(child.text or "")
        elif name == "r":
            pieces.extend(t.text or "" for t in child.iterchildren(f"{{{etree.QName(child).namespace}}}t"))
    return unescaped("".join(pieces))


def read_strings(data: bytes, space: str) -> list[str]:
    """Return all texts of the shared table."""
    texts = []
    try:
        for _, item in etree.iterparse(
            io.BytesIO(plain(data)), tag=f"{{{space}}}si", resolve_entities=False, huge_tree=True
        ):
            texts.append(unescaped(item[0].text or "") if _is_plain(item) else item_text(item))
            item.clear()
            while item.getprevious() is not None:
                del item.getparent()[0]
    except etree.XMLSyntaxError as error:
        raise damaged("sharedStrings.xml", error) from error
    return texts


def uses(sheet: bytes) -> list[int]:
    """Return the index of each shared text that a tab's cells use."""
    return [int(number) for number in _USE.findall(plain(sheet))]


class Strings:
    """The shared table, for adding texts.

    Parameters
    ----------
    data
        The part as it stands, or None when the file has none.
    space
        The namespace of the file.
    keep
        How many texts to keep; those after are an earlier run's own and are cut off.
    """

    def __init__(self, data: bytes | None, space: str, keep: int | None = None) -> None:
        self._space = space
        self._root = root(space, "sst") if data is None else tree(data)
        self._items = list(self._root.iterchildren(f"{{{space}}}si"))
        held = len(self._items)
        self.kept = held if keep is None else min(keep, held)
        self.changed = data is None or self.kept < held
        for item in self._items[self.kept :]:
            self._root.remove(item)
        del self._items[self.kept :]
        self._index: dict[str, int] | None = None

    def add(self, text: str) -> int:
        """Return the index of a text, adding it when the table has none like it."""
        if self._index is None:
            self._index = {}
            for number, item in enumerate(self._items):
                if _is_plain(item):
                    self._index.setdefault(unescaped(item[0].text or ""), number)
        found = self._index.get(text)
        if found is None:
            found = self._index[text] = len(self._items)
            self.changed = True
            item = etree.Element(f"{{{self._space}}}si")
            holder = etree.SubElement(item, f"{{{self._space}}}t")
            holder.text = escaped(text)
            if text != text.strip() or "\n" in text:
                holder.set(_SPACE, "preserve")
            if self._items:
                self._items[-1].addnext(item)
            else:
                self._root.insert(0, item)
            self._items.append(item)
        return found

    def text(self, index: int) -> str | None:
        """Return the text at an index."""
        return item_text(self._items[index]) if index < len(self._items) else None

    def written(self, uses: int) -> bytes:
        """Return the part's bytes; ``uses`` is how many cells use the table."""
        self._root.set("count", str(uses))
        self._root.set("uniqueCount", str(len(self._items)))
        return written(self._root)


def _is_plain(item: Element) -> bool:
    return len(item) == 1 and isinstance(item[0].tag, str) and item[0].tag.endswith("}t")

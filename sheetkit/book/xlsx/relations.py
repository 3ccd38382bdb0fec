"""The parts of an .xlsx package: what each is, and which leads to which."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Collection, Iterable
from itertools import count
from typing import NamedTuple
from urllib.parse import unquote

from lxml import etree

from sheetkit.book.markup import Element, root, tree, written
from sheetkit.book.package import Held, Package, Pieces
from sheetkit.book.workbook import Refused

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
STRICT_MAIN = "http://purl.oclc.org/ooxml/spreadsheetml/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
STRICT_OFFICE = "http://purl.oclc.org/ooxml/officeDocument/relationships"
STRICT_FAMILIES = {
    MAIN: STRICT_MAIN,
    OFFICE: STRICT_OFFICE,
    "http://schemas.openxmlformats.org/drawingml/2006/": "http://purl.oclc.org/ooxml/drawingml/",
}
"""Beginnings of namespaces in ordinary files and in files of the strict kind."""

SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
STYLES_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"
STRINGS_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
DRAWING_TYPE = "application/vnd.openxmlformats-officedocument.drawing+xml"
LINKS_TYPE = "application/vnd.openxmlformats-package.relationships+xml"

_LINKS = "http://schemas.openxmlformats.org/package/2006/relationships"
_TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"


_LINK_NAME = re.compile(rb"""["'](rId[0-9]+)["']""", re.IGNORECASE)


class Relation(NamedTuple):
    """One part leading to another. ``kind`` is the last word of the relationship's type."""

    id: str
    kind: str
    target: str
    """The other part's name; for what lies outside, or is missing, the target as written."""
    inside: bool
    type: str


class Parts:
    """A package together with its table of contents."""

    def __init__(self, data: Held) -> None:
        self.package = Package(data)
        self._folded = {_fold(name): name for name in self.package.names()}
        contents = self.find("[Content_Types].xml")
        if contents is None:
            raise Refused("not a workbook")
        self._contents_name = contents
        self._contents = tree(self.package.read(contents), contents)
        if self._contents.tag != f"{{{_TYPES}}}Types":
            raise Refused("damaged", contents)
        self._contents_changed = False

    def find(self, name: str) -> str | None:
        r"""Return the entry that a part name means: upper and lower case, / and \ are alike."""
        return self._folded.get(_fold(name))

    def read(self, part: str) -> bytes:
        """Return a part's content."""
        return self.package.read(part)

    def tree(self, part: str) -> Element:
        """Return the root element of an XML part."""
        return tree(self.package.read(part), part)

    def write(self, part: str, content: bytes, content_type: str = "") -> None:
        """Put a part in; a content type is needed for a new one, unless it holds relations."""
        self.package.write(part, content)
        self._folded[_fold(part)] = part
        if part.endswith(".rels") and not self.content_type(part):
            content_type = LINKS_TYPE  # not every file declares it for all parts of this extension
        if content_type and self.content_type(part) != content_type:
            self._declare(part, content_type)

    def delete(self, part: str) -> None:
        """Take a part away, with its own relations and its line in the table of contents."""
        gone = {_fold(name) for name in (part, links_name(part))}
        for name in gone:
            entry = self._folded.pop(name, None)
            if entry is not None:
                self.package.delete(entry)
        for line in self._overrides():
            if _fold(line.get("PartName", "")) in gone:
                self._contents.remove(line)
                self._contents_changed = True

    def content_type(self, part: str) -> str:
        """Return the content type of a part, empty when none is declared."""
        for line in self._overrides():
            if _fold(line.get("PartName", "")) == _fold(part):
                return line.get("ContentType", "")
        extension = part.rpartition(".")[2].casefold()
        for line in self._contents.iterchildren(f"{{{_TYPES}}}Default"):
            if line.get("Extension", "").casefold() == extension:
                return line.get("ContentType", "")
        return ""

    def free(self, stem: str, extension: str) -> str:
        """Return an unused part name such as ``xl/worksheets/sheet2.xml``, with no relations left for it."""
        names = (f"{stem}{number}{extension}" for number in count(1))
        return next(name for name in names if not (self.find(name) or self.find(links_name(name))))

    def relations(self, part: str) -> list[Relation]:
        """Return where a part leads; the empty name stands for the package itself."""
        entry = self.find(links_name(part))
        if entry is None:
            return []
        found = []
        for line in self.tree(entry).iterchildren(f"{{{_LINKS}}}Relationship"):
            type_, target = line.get("Type", ""), line.get("Target", "")
            outside = line.get("TargetMode") == "External"
            actual = None if outside else self._resolved(part, target)
            kind = type_.rpartition("/")[2]
            found.append(Relation(line.get("Id", ""), kind, actual or target, actual is not None, type_))
        return found

    def relate(self, part: str, type_: str, target: str, link: str = "") -> str:
        """Let a part lead to another; ``link`` names the relation to be turned there. Return its name."""
        name = self.find(links_name(part)) or links_name(part)
        box = root(_LINKS, "Relationships") if self.find(name) is None else self.tree(name)
        lines = list(box.iterchildren(f"{{{_LINKS}}}Relationship"))
        line = next((each for each in lines if link and each.get("Id") == link), None)
        if line is None:
            # A part may speak of relations that are lost: none of ours may come to stand for them.
            spoken = self.package.read(part) if part in self.package else b""
            taken = {name.decode().casefold() for name in _LINK_NAME.findall(spoken)}
            taken.update(each.get("Id", "").casefold() for each in lines)
            number = len(lines) + 1
            while f"rid{number}" in taken:
                number += 1
            line = etree.SubElement(box, f"{{{_LINKS}}}Relationship", Id=f"rId{number}")
        line.set("Type", type_)
        line.set("Target", f"/{target}")
        if "TargetMode" in line.attrib:
            del line.attrib["TargetMode"]
        self.write(name, written(box))
        return line.get("Id", "")

    def copy_relations(self, part: str, other: str) -> None:
        """Let a part lead wherever another does, by the same names."""
        entry = self.find(links_name(part))
        if entry is None:
            return
        box = self.tree(entry)
        for line in box.iterchildren(f"{{{_LINKS}}}Relationship"):
            actual = (
                None if line.get("TargetMode") == "External" else self._resolved(part, line.get("Target", ""))
            )
            if actual is not None:
                line.set("Target", f"/{actual}")
        self.write(links_name(other), written(box))

    def unrelate(self, part: str, links: Iterable[str]) -> None:
        """Take relations of a part away by their names."""
        gone = set(links)
        name = self.find(links_name(part))
        if name is None or not gone:
            return
        box = self.tree(name)
        for line in list(box.iterchildren(f"{{{_LINKS}}}Relationship")):
            if line.get("Id") in gone:
                box.remove(line)
        self.write(name, written(box))

    def reach(self, without: Collection[tuple[str, str]] = ()) -> set[str]:
        """Return every part that some chain of relations leads to, some (part, name) of them left out."""
        found: set[str] = set()
        waiting = [""]
        while waiting:
            part = waiting.pop()
            for relation in self.relations(part):
                if relation.inside and relation.target not in found and (part, relation.id) not in without:
                    found.add(relation.target)
                    waiting.append(relation.target)
        return found

    def save(self) -> bytes:
        """Return the whole package."""
        return bytes(self.pieces())

    def pieces(self) -> Pieces:
        """Return the whole package in pieces."""
        if self._contents_changed:
            self.package.write(self._contents_name, written(self._contents))
        return self.package.pieces()

    def name_as_related(self) -> None:
        """Let every part bear the name that leads to it, to the letter: not every program takes another."""
        self._contents_name = self._name("[Content_Types].xml")
        seen: set[str] = set()
        waiting = [""]
        while waiting:
            part = waiting.pop()
            links = self.find(links_name(part))
            if links is None:
                continue
            links = self._name(links_name(part))
            box = self.tree(links)
            turned = False
            for line in box.iterchildren(f"{{{_LINKS}}}Relationship"):
                target = line.get("Target", "")
                actual = None if line.get("TargetMode") == "External" else self._resolved(part, target)
                if actual is None:
                    continue
                if "\\" in target:
                    line.set("Target", target.replace("\\", "/"))
                    turned = True
                if actual not in seen:
                    path = _path(part, target)
                    actual = self._name(path) if _fold(path) == _fold(actual) else actual
                    seen.add(actual)
                    waiting.append(actual)
            if turned:
                self.package.write(links, written(box))

    def _name(self, name: str) -> str:
        """Let the part that a name means bear it to the letter."""
        name = name.lstrip("/")
        actual = self._folded[_fold(name)]
        if actual != name:
            self.package.rename(actual, name)
            self._folded[_fold(name)] = name
        return name

    def _overrides(self) -> list[Element]:
        return list(self._contents.iterchildren(f"{{{_TYPES}}}Override"))

    def _declare(self, part: str, content_type: str) -> None:
        lines = (each for each in self._overrides() if _fold(each.get("PartName", "")) == _fold(part))
        line = next(lines, None)
        if line is None:
            line = etree.SubElement(self._contents, f"{{{_TYPES}}}Override")
            line.set("PartName", f"/{part}")
        line.set("ContentType", content_type)
        self._contents_changed = True

    def _resolved(self, part: str, target: str) -> str | None:
        path = _path(part, target)
        if not path:
            return None
        actual = self.find(path)
        return self.find(unquote(path)) if actual is None else actual


def _path(part: str, target: str) -> str:
    """Return the full name that a part's relation speaks of; empty where it means a place in the part."""
    target = target.replace("\\", "/").partition("#")[0]
    if not target:
        return ""
    path = posixpath.normpath(posixpath.join("/", posixpath.dirname(part), target))
    return "/" + path.lstrip("/")


def links_name(part: str) -> str:
    """Return the name of the part that holds a part's relations.

    >>> links_name("xl/workbook.xml"), links_name("")
    ('xl/_rels/workbook.xml.rels', '_rels/.rels')
    """
    folder, _, name = part.rpartition("/")
    return f"{folder}/_rels/{name}.rels" if folder else f"_rels/{name}.rels"


def _fold(name: str) -> str:
    return name.replace("\\", "/").lstrip("/").casefold()

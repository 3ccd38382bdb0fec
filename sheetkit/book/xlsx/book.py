"""The main part of an .xlsx file: its list of tabs, and whether it can be worked on at all."""

from __future__ import annotations

import re

from lxml import etree

from sheetkit.book.markup import Element, tree
from sheetkit.book.package import Held
from sheetkit.book.workbook import Refused
from sheetkit.book.xlsx.relations import MAIN, OFFICE, STRICT_MAIN, STRICT_OFFICE, Parts, Relation

_ORDER = (
    "fileVersion", "fileSharing", "workbookPr", "AlternateContent", "revisionPtr", "absPath",
    "workbookProtection", "bookViews", "sheets", "functionGroups", "externalReferences",
    "definedNames", "calcPr", "oleSize", "customWorkbookViews", "pivotCaches", "smartTagPr",
    "smartTagTypes", "webPublishing", "fileRecoveryPr", "webPublishObjects", "extLst",
)  # fmt: skip


class Book:
    """An opened .xlsx package, its main part at hand, its parts named to the letter if it is to be saved."""

    def __init__(self, data: Held, *, to_save: bool = False) -> None:
        self.parts = Parts(data)
        if to_save:
            self.parts.name_as_related()
        self.main = self._main_part()
        try:
            self.root = tree(self.parts.read(self.main), self.main)
        except Refused as refusal:
            if "binary" in self.parts.content_type(self.main) or self.main.endswith(".bin"):
                raise Refused("binary format") from refusal
            raise
        space = etree.QName(self.root).namespace or ""
        if etree.QName(self.root).localname != "workbook" or space not in (MAIN, STRICT_MAIN):
            raise Refused("not a workbook")
        self.space = space
        self.office = STRICT_OFFICE if space == STRICT_MAIN else OFFICE
        self.links = {relation.id: relation for relation in self.parts.relations(self.main)}
        if not self.sheets():
            raise Refused("no sheets")

    def tag(self, name: str) -> str:
        """Return an element's full name in this file's own namespace."""
        return f"{{{self.space}}}{name}"

    def child(self, name: str) -> Element | None:
        """Return a child of the main part's root."""
        return self.root.find(self.tag(name))

    def made(self, name: str) -> Element:
        """Return a child of the main part's root, put in at its proper place when missing."""
        found = self.child(name)
        return placed(self.root, self.tag(name), _ORDER) if found is None else found

    def sheets(self) -> list[Element]:
        """Return the tabs' elements of every kind, in tab order."""
        box = self.child("sheets")
        return [] if box is None else list(box.iterchildren(self.tag("sheet")))

    def link_of(self, sheet: Element) -> Relation | None:
        """Return the relation to a tab's part; None for the leftovers that lead nowhere."""
        relation = self.links.get(sheet.get(f"{{{self.office}}}id", ""))
        return relation if relation is not None and relation.inside else None

    def one(self, kind: str) -> str | None:
        """Return the part of this kind that the main part leads to."""
        return next((link.target for link in self.links.values() if link.kind == kind and link.inside), None)

    def relink(self) -> None:
        """Take note of relations that were changed."""
        self.links = {relation.id: relation for relation in self.parts.relations(self.main)}

    @property
    def date1904(self) -> bool:
        """Whether dates count from 1904."""
        settings = self.child("workbookPr")
        return settings is not None and settings.get("date1904") in ("1", "true")

    @property
    def folder(self) -> str:
        """The folder of the main part, with its closing slash."""
        head, slash, _ = self.main.rpartition("/")
        return head + slash

    def refuse_ungraftable(self) -> None:
        """Refuse files that can be read but would be spoilt by any change."""
        for relation in self.parts.relations(""):
            if "digital-signature" in relation.type:
                raise Refused("signed")
        if any(link.kind == "revisionHeaders" for link in self.links.values()):
            raise Refused("shared workbook")

    def _main_part(self) -> str:
        for relation in self.parts.relations(""):
            if relation.kind == "officeDocument":
                if not relation.inside:
                    raise Refused("damaged", relation.target)
                if relation.target.endswith(".bin"):
                    raise Refused("binary format")
                return relation.target
        raise Refused("not a workbook")


def placed(parent: Element, tag: str, order: tuple[str, ...]) -> Element:
    """Put a new child in where the standard's order of elements wants it."""
    wanted = order.index(etree.QName(tag).localname)
    index = 0
    for position, child in enumerate(parent):
        if not isinstance(child.tag, str):
            continue
        name = etree.QName(child).localname
        if name in order and order.index(name) < wanted:
            index = position + 1
    made = etree.Element(tag)
    parent.insert(index, made)
    return made


def whole(text: str | None, default: int = 0) -> int:
    """Return the whole number that an attribute holds; ``Refused`` when it holds something else."""
    if text is None:
        return default
    if not re.fullmatch(r"\s*\d{1,10}\s*", text):
        raise Refused("damaged", text[:40])
    return int(text)

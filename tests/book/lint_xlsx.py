"""Faults of an .xlsx file that validators miss and spreadsheet programs stumble over; for the tests only."""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections import Counter

from lxml import etree

from tests.there import there

LINK = "{http://schemas.openxmlformats.org/package/2006/relationships}Relationship"
OFFICE = (
    "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
    "http://purl.oclc.org/ooxml/officeDocument/relationships",
)
ORDER = [
    "sheetPr",
    "dimension",
    "sheetViews",
    "sheetFormatPr",
    "cols",
    "sheetData",
    "sheetCalcPr",
    "sheetProtection",
    "protectedRanges",
    "scenarios",
    "autoFilter",
    "sortState",
    "dataConsolidate",
    "customSheetViews",
    "mergeCells",
    "phoneticPr",
    "conditionalFormatting",
    "dataValidations",
    "hyperlinks",
    "printOptions",
    "pageMargins",
    "pageSetup",
    "headerFooter",
    "rowBreaks",
    "colBreaks",
    "customProperties",
    "cellWatches",
    "ignoredErrors",
    "smartTags",
    "drawing",
    "legacyDrawing",
    "legacyDrawingHF",
    "picture",
    "oleObjects",
    "controls",
    "webPublishItems",
    "tableParts",
    "extLst",
]
BOOK_ORDER = [
    "fileVersion",
    "fileSharing",
    "workbookPr",
    "AlternateContent",
    "revisionPtr",
    "workbookProtection",
    "bookViews",
    "sheets",
    "functionGroups",
    "externalReferences",
    "definedNames",
    "calcPr",
    "oleSize",
    "customWorkbookViews",
    "pivotCaches",
    "extLst",
]
STYLE_ORDER = [
    "numFmts",
    "fonts",
    "fills",
    "borders",
    "cellStyleXfs",
    "cellXfs",
    "cellStyles",
    "dxfs",
    "tableStyles",
    "colors",
    "extLst",
]


def lint(data: bytes, before: bytes | None = None) -> list[str]:
    """Give what is wrong with a file; ``before`` is the file that it was made from."""
    return [*_Check(data).faults(), *(_against(data, before) if before is not None else [])]


def parts_of(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _local(element: etree._Element) -> str:
    return etree.QName(element).localname


def _named(root: etree._Element, name: str) -> list[etree._Element]:
    return [each for each in root.iter(etree.Element) if _local(each) == name]


class _Check:
    def __init__(self, data: bytes) -> None:
        self.parts = parts_of(data)
        self.found: list[str] = []
        self.links: dict[str, dict[str, tuple[str, str]]] = {}

    def faults(self) -> list[str]:
        self._check_links()
        if "[Content_Types].xml" not in self.parts:
            return [*self.found, "no table of contents"]
        self._check_types()
        main = next((part for kind, part in self.links.get("", {}).values() if kind == "officeDocument"), "")
        if main not in self.parts:
            return [*self.found, "no main part"]
        self._check_book(main)
        return self.found

    def _check_links(self) -> None:
        self.found += [
            f"{name}: not a part's name"
            for name in self.parts
            if name != posixpath.normpath(name).lstrip("/") + "/" * name.endswith("/") or "\\" in name
        ]
        folded = {name.casefold(): name for name in self.parts}
        for name, content in self.parts.items():
            if not name.endswith(".rels"):
                continue
            folder, _, file = name.rpartition("/")
            source = posixpath.join(posixpath.dirname(folder), file.removesuffix(".rels"))
            links = self.links.setdefault(source, {})
            root = etree.fromstring(content)
            ids = [line.get("Id") for line in root.iter(LINK)]
            if len(set(ids)) < len(ids):
                self.found.append(f"{name}: the same relation name twice")
            for line in root.iter(LINK):
                if line.get("TargetMode") == "External":
                    continue
                target = there(line.get("Target")).replace("\\", "/")
                path = posixpath.normpath(posixpath.join("/", posixpath.dirname(source), target))
                part = folded.get(path.lstrip("/").casefold())
                if part is None:
                    self.found.append(f"{name}: {line.get('Target')} is not there")
                elif part != path.lstrip("/") or "\\" in there(line.get("Target")):
                    self.found.append(f"{name}: {line.get('Target')} is not the letters of {part}")
                links[there(line.get("Id"))] = (there(line.get("Type")).rpartition("/")[2], part or "")
            if source and source not in self.parts:
                self.found.append(f"{name} belongs to no part")

    def _check_types(self) -> None:
        root = etree.fromstring(self.parts["[Content_Types].xml"])
        overrides = [there(each.get("PartName")).casefold() for each in root if _local(each) == "Override"]
        defaults = {there(each.get("Extension")).casefold() for each in root if _local(each) == "Default"}
        self.found += [
            f"{name} has two content types" for name, count in Counter(overrides).items() if count > 1
        ]
        for name in self.parts:
            if name == "[Content_Types].xml" or name.endswith(("/", "\\")):
                continue
            if f"/{name}".casefold() not in overrides and name.rpartition(".")[2].casefold() not in defaults:
                self.found.append(f"{name} has no content type")
        here = {f"/{name}".casefold() for name in self.parts}
        self.found += [
            f"{name} has a content type but is not there" for name in overrides if name not in here
        ]

    def _check_book(self, main: str) -> None:
        root = etree.fromstring(self.parts[main])
        self._check_order(main, root, BOOK_ORDER)
        links = self.links[main]
        sheets = _named(root, "sheet")
        for what in ("name", "sheetId"):
            seen = Counter(sheet.get(what, "").casefold() for sheet in sheets)
            self.found += [f"two tabs with {what} {value}" for value, count in seen.items() if count > 1]
        ids = [
            next((sheet.get(f"{{{space}}}id") for space in OFFICE if sheet.get(f"{{{space}}}id")), "")
            for sheet in sheets
        ]
        self.found += [
            f"relation {each} used by two tabs" for each, count in Counter(ids).items() if count > 1
        ]
        self.found += [
            f"tab {sheet.get('name')}: no such relation"
            for sheet, each in zip(sheets, ids, strict=True)
            if each and each not in links
        ]
        names: Counter[tuple[str, str | None]] = Counter()
        for name in _named(root, "definedName"):
            position = name.get("localSheetId")
            names[there(name.get("name")).casefold(), position] += 1
            if position is not None and int(position) >= len(sheets):
                self.found.append(f"name {name.get('name')}: no tab at position {position}")
        self.found += [f"name {name} twice" for (name, _), count in names.items() if count > 1]
        for view in _named(root, "workbookView"):
            if int(view.get("activeTab", "0")) >= len(sheets):
                self.found.append("the active tab is not there")
        by_kind = dict(links.values())
        styles = etree.fromstring(self.parts[by_kind["styles"]]) if "styles" in by_kind else None
        looks = dxfs = 10**9
        if styles is not None:
            looks, dxfs = self._check_styles(styles)
        texts = 0
        if "sharedStrings" in by_kind:
            texts = len(
                [e for e in etree.fromstring(self.parts[by_kind["sharedStrings"]]) if _local(e) == "si"]
            )
        formulas: dict[str, set[str]] = {}
        selected = 0
        for sheet, link in zip(sheets, ids, strict=True):
            kind, part = links.get(there(link), ("", ""))
            if kind == "worksheet" and part:
                tab = etree.fromstring(self.parts[part])
                formulas[there(sheet.get("sheetId"))] = self._check_sheet(part, tab, looks, dxfs, texts)
                selected += sum(view.get("tabSelected") in ("1", "true") for view in _named(tab, "sheetView"))
        if selected > 1:
            self.found.append(f"{selected} tabs are selected together")
        if "calcChain" in by_kind:
            last = ""
            for c in _named(etree.fromstring(self.parts[by_kind["calcChain"]]), "c"):
                last = c.get("i", last)
                if c.get("r") not in formulas.get(last, set()):
                    self.found.append(f"calcChain: {c.get('r')} of {last} holds no formula")

    def _check_order(self, part: str, root: etree._Element, order: list[str]) -> None:
        places = [
            order.index(_local(each)) for each in root.iterchildren(etree.Element) if _local(each) in order
        ]
        if places != sorted(places):
            self.found.append(f"{part}: elements out of order")

    def _check_styles(self, root: etree._Element) -> tuple[int, int]:
        self._check_order("styles", root, STYLE_ORDER)
        lists = {
            _local(each): [e for e in each if isinstance(e.tag, str)]
            for each in root.iterchildren(etree.Element)
        }
        for each in root.iterchildren(etree.Element):
            counted = each.get("count") is not None and _local(each) in STYLE_ORDER[:8]
            if counted and int(there(each.get("count"))) != len(lists[_local(each)]):
                self.found.append(f"styles: the count of {_local(each)} is wrong")
        own = {int(there(each.get("numFmtId"))) for each in lists.get("numFmts", [])}
        if len(own) < len(lists.get("numFmts", [])):
            self.found.append("styles: a number format twice")
        for number, xf in enumerate(lists.get("cellXfs", [])):
            for key, name in (
                ("fontId", "fonts"),
                ("fillId", "fills"),
                ("borderId", "borders"),
                ("xfId", "cellStyleXfs"),
            ):
                if xf.get(key) is not None and int(there(xf.get(key))) >= len(lists.get(name, [])):
                    self.found.append(f"styles: look {number} names a {key} that is not there")
            form = int(xf.get("numFmtId", "0"))
            if form >= 164 and form not in own:
                self.found.append(f"styles: look {number} names number format {form}, which is not there")
        return len(lists.get("cellXfs", [])), len(lists.get("dxfs", []))

    def _check_sheet(self, part: str, root: etree._Element, looks: int, dxfs: int, texts: int) -> set[str]:
        self._check_order(part, root, ORDER)
        last_row, formulas = 0, set[str]()
        for row in _named(root, "row"):
            number = int(row.get("r", last_row + 1))
            if number <= last_row:
                self.found.append(f"{part}: row {number} after row {last_row}")
            last_row, last_column = number, 0
            for c in row.iterchildren(etree.Element):
                if _local(c) != "c":
                    continue
                letters, digits = there(re.fullmatch(r"([A-Z]*)(\d*)", c.get("r", ""))).groups()
                column = _number(letters) if letters else last_column + 1
                if column <= last_column or (digits and int(digits) != number):
                    self.found.append(f"{part}: {c.get('r')} stands in the wrong place")
                last_column = column
                if int(c.get("s", "0")) >= looks:
                    self.found.append(f"{part}: {c.get('r')} has a look that is not there")
                value = next((e.text for e in c if _local(e) == "v"), None)
                if c.get("t") == "s" and (value is None or int(value) >= texts):
                    self.found.append(f"{part}: {c.get('r')} has a text that is not there")
                if any(_local(e) == "f" for e in c):
                    formulas.add(c.get("r", ""))
        for each in root.iter(etree.Element):
            if each.get("dxfId") is not None and int(there(each.get("dxfId"))) >= dxfs:
                self.found.append(f"{part}: a conditional look that is not there")
            for space in OFFICE:
                for key in ("id", "embed"):
                    link = each.get(f"{{{space}}}{key}")
                    if link and link not in self.links.get(part, {}) and _local(each) != "hyperlink":
                        self.found.append(f"{part}: relation {link} is not there")
        return formulas


def _number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def _against(data: bytes, before: bytes) -> list[str]:
    """Check that lists which cells count into have only grown at their ends."""
    found = []
    new, old = parts_of(data), parts_of(before)
    book = next((content for name, content in old.items() if name.endswith("workbook.xml")), b"")
    own = re.search(rb"_sheetkit\.strings\"[^>]*>(\d+)<", book)
    for name, content in old.items():
        if name.endswith("styles.xml") or name.endswith("sharedStrings.xml"):
            if name not in new:
                found.append(f"{name} is gone")
                continue
            fresh = {_local(e): [_text(x) for x in e.iterchildren(etree.Element)] for e in _lists(new[name])}
            for box in _lists(content):
                entries = [_text(x) for x in box.iterchildren(etree.Element)]
                if _local(box) == "sst" and own is not None:
                    entries = entries[: int(own.group(1))]
                counted = _local(box) in (
                    "fonts",
                    "fills",
                    "borders",
                    "cellStyleXfs",
                    "cellXfs",
                    "dxfs",
                    "sst",
                )
                if counted and fresh.get(_local(box), [])[: len(entries)] != entries:
                    found.append(f"{name}: {_local(box)} was changed, not only added to")
    return found


def _lists(content: bytes) -> list[etree._Element]:
    root = etree.fromstring(content)
    return [root] if _local(root) == "sst" else list(root.iterchildren(etree.Element))


def _text(element: etree._Element) -> bytes:
    return etree.tostring(element, method="c14n", with_tail=False)

"""How tabs print: page layouts and master pages in a document's styles."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from sheetkit.book.markup import Element
from sheetkit.book.ods.names import OURS, fingerprint, make, name
from sheetkit.book.ods.text import clean
from sheetkit.page import PrintSetup

NAME = name("style:name")
LAYOUT_NAME = name("style:page-layout-name")
_SHOWN_NAME = name("style:display-name")
MASTER_PAGE, PAGE_LAYOUT = name("style:master-page"), name("style:page-layout")

_PICTURE = name("style:background-image")
_GROUNDS = {
    "page": name("style:page-layout-properties"),
    **{
        strip: f"{name(f'style:{strip}-style')}/{name('style:header-footer-properties')}"
        for strip in ("header", "footer")
    },
}
"""What a picture of the page set-up may lie under, and where a page layout says so."""

_PAPERS = {"letter": ("8.5in", "11in"), "a4": ("210mm", "297mm")}
_FIELDS = {
    "&P": ("text:page-number", "1"),
    "&N": ("text:page-count", "1"),
    "&A": ("text:sheet-name", "???"),
}


def put_master(
    automatic: Element,
    masters: Element,
    label: str,
    setup: PrintSetup,
    recent: bool = True,
    pictures: Mapping[str, Element] = MappingProxyType({}),
) -> None:
    """Put a master page of this name in; one that stands there already is replaced where it stands.

    ``pictures`` are those that ``pictures_of`` gives of an old one.
    """
    layout = _layout(setup, recent)
    for ground, picture in pictures.items():
        for holder in layout.iterfind(_GROUNDS[ground]):
            holder.append(copy.deepcopy(picture))
    layout_name = f"{OURS}p.{fingerprint(layout)}"
    if not any(child.get(NAME) == layout_name for child in automatic):
        layout.set(NAME, layout_name)
        automatic.append(layout)
    master = _master(label, layout_name, setup)
    for strip in pictures.keys() - {"page"}:  # shown, or there is no room for the picture
        for side in master.iterfind(name(f"style:{strip}")):
            side.set(name("style:display"), "true")
    old = find_master(masters, label)
    if old is None:
        masters.append(master)
        return
    master.tail = old.tail
    masters.replace(old, master)


def pictures_of(automatic: Element, masters: Element, label: str) -> dict[str, Element]:
    """Return the pictures that a master page has under its page, header and footer."""
    master = find_master(masters, label)
    wanted = None if master is None else master.get(LAYOUT_NAME)
    layout = next((each for each in automatic if each.tag == PAGE_LAYOUT and each.get(NAME) == wanted), None)
    if layout is None:
        return {}
    found = {ground: layout.find(f"{path}/{_PICTURE}") for ground, path in _GROUNDS.items()}
    return {
        ground: picture
        for ground, picture in found.items()
        if picture is not None and picture.get(name("xlink:href"))
    }


def copy_master(masters: Element, label: str, new: str) -> None:
    """Put a copy of a master page in under a new name."""
    old = find_master(masters, label)
    if old is not None:
        other = copy.deepcopy(old)
        other.tail = None
        other.set(NAME, new)
        other.attrib.pop(_SHOWN_NAME, "")
        masters.append(other)


def drop_master(masters: Element, label: str) -> None:
    """Take a master page away."""
    old = find_master(masters, label)
    if old is not None:
        masters.remove(old)


def layouts_of(masters: Element, labels: Iterable[str]) -> set[str]:
    """Return the names of the page layouts of these master pages."""
    found = (find_master(masters, label) for label in labels)
    return {master.get(LAYOUT_NAME) or "" for master in found if master is not None}


def find_master(masters: Element, label: str) -> Element | None:
    """Return the master page of this name."""
    for child in masters:
        if child.tag == MASTER_PAGE and child.get(NAME) == label:
            return child
    return None


def sweep_layouts(automatic: Element, masters: Element, suspects: set[str]) -> None:
    """Take away our page layouts, and those of ``suspects``, that no master page uses any more."""
    used = {child.get(LAYOUT_NAME) for child in masters}
    for child in list(automatic):
        label = child.get(NAME) or ""
        if (
            child.tag == PAGE_LAYOUT
            and label not in used
            and (label.startswith(f"{OURS}p.") or label in suspects)
        ):
            automatic.remove(child)


def _layout(setup: PrintSetup, recent: bool) -> Element:
    width, height = _PAPERS[setup.paper]
    if setup.landscape:
        width, height = height, width
    page = {
        "fo:page-width": width,
        "fo:page-height": height,
        "style:num-format": "1",
        "style:first-page-number": "continue",
        "style:print-orientation": "landscape" if setup.landscape else "portrait",
        "fo:margin-top": "0.5in",
        "fo:margin-bottom": "0.5in",
        "fo:margin-left": "0.5in",
        "fo:margin-right": "0.5in",
        "style:print": "objects charts drawings zero-values",
        "style:print-page-order": "ttb",
        "style:writing-mode": "lr-tb",
    }
    if setup.fit_width:
        # One page wide, as many tall as needed. The standard has it since ODF 1.3; in older documents it may
        # stand under a name of an extension only, which LibreOffice reads alike.
        space = "style" if recent else "loext"
        page[f"{space}:scale-to-X"] = "1"
        if setup.one_page:
            page[f"{space}:scale-to-Y"] = "1"
    else:
        page["style:scale-to"] = "100%"
    margins = {"header": "fo:margin-bottom", "footer": "fo:margin-top"}
    strips = [
        make(
            f"style:{kind}-style",
            None,
            make("style:header-footer-properties", {"fo:min-height": "0.3in", margin: "0.1in"}),
        )
        for kind, margin in margins.items()
    ]
    return make("style:page-layout", None, make("style:page-layout-properties", page), *strips)


def _master(label: str, layout: str, setup: PrintSetup) -> Element:
    master = make("style:master-page", {"style:name": label, "style:page-layout-name": layout})
    for kind, words in (("header", setup.header), ("footer", setup.footer)):
        for side in ("", "-left"):
            strip = make(f"style:{kind}{side}", {"style:display": "true" if words and not side else "false"})
            if words and not side:
                strip.append(make("style:region-center", None, _words(words)))
            master.append(strip)
    return master


def _words(pattern: str) -> Element:
    """Return the words of a header or footer, page numbers and tab name as fields."""
    paragraph = make("text:p")
    last: Element | None = None
    for part in re.split(r"(&[PNA&])", clean(pattern).replace("\n", " ")):
        if part in _FIELDS:
            kind, sample = _FIELDS[part]
            last = make(kind)
            last.text = sample
            paragraph.append(last)
            continue
        plain = "&" if part == "&&" else part
        if last is None:
            paragraph.text = (paragraph.text or "") + plain
        else:
            last.tail = (last.tail or "") + plain
    return paragraph

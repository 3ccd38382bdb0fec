"""Rows and columns that stay in view: the view settings of each tab in settings.xml."""

from __future__ import annotations

import re
from collections.abc import Mapping

from sheetkit.book.markup import Element
from sheetkit.book.ods.names import NEWEST, make, name, root
from sheetkit.page import Address

_NAME = name("config:name")
_ITEM, _ENTRY = name("config:config-item"), name("config:config-item-map-entry")
_SET, _INDEXED, _NAMED = (
    name(f"config:{kind}") for kind in ("config-item-set", "config-item-map-indexed", "config-item-map-named")
)


def blank_settings(version: str = NEWEST) -> Element:
    """Return a settings document that says nothing yet; a box for settings may not be empty."""
    return root("office:document-settings", "office", "config", "ooo", "xlink", version=version)


def frozen_of(settings: Element) -> dict[str, Address]:
    """Return the rows and columns that stay in view, by tab title."""
    found: dict[str, Address] = {}
    for tables in settings.iter(_NAMED):
        if tables.get(_NAME) != "Tables":
            continue
        for entry in tables:
            said = {item.get(_NAME): item.text or "" for item in entry if item.tag == _ITEM}
            rows = _split(said, "VerticalSplitMode", "VerticalSplitPosition")
            columns = _split(said, "HorizontalSplitMode", "HorizontalSplitPosition")
            if rows or columns:
                found.setdefault(entry.get(_NAME) or "", (rows, columns))
    return found


def put_frozen(settings: Element, frozen: Mapping[str, Address | None]) -> None:
    """Set the rows and columns that stay in view on the tabs named; everything else stays as it is."""
    if not any(frozen.values()) and _tables(settings, create=False) is None:
        return
    tables = _tables(settings, create=True)
    assert tables is not None
    entries = {entry.get(_NAME): entry for entry in tables}
    for title, address in frozen.items():
        entry = entries.get(title)
        if entry is None:
            if address is None:
                continue
            entry = make("config:config-item-map-entry", {"config:name": title})
            tables.append(entry)
        rows, columns = address or (0, 0)
        for key, value in _view(rows, columns).items():
            _put_item(entry, key, value)


def open_on(settings: Element, title: str) -> None:
    """Let the document open on a tab."""
    tables = _tables(settings, create=True)
    view = None if tables is None else tables.getparent()
    assert view is not None
    found = next((item for item in view if item.get(_NAME) == "ActiveTable"), None)
    if found is None:
        found = make("config:config-item", {"config:name": "ActiveTable", "config:type": "string"})
        view.append(found)
    found.text = title


def rename_view(settings: Element, old: str, new: str) -> None:
    """Let the view settings of a tab follow its new title."""
    tables = _tables(settings, create=False)
    for entry in tables if tables is not None else ():
        if entry.get(_NAME) == old:
            entry.set(_NAME, new)


def drop_view(settings: Element, title: str) -> None:
    """Take the view settings of a tab away."""
    tables = _tables(settings, create=False)
    for entry in list(tables) if tables is not None else []:
        if entry.get(_NAME) == title and tables is not None:
            tables.remove(entry)


def _view(rows: int, columns: int) -> dict[str, int]:
    return {
        "HorizontalSplitMode": 2 if columns else 0,
        "VerticalSplitMode": 2 if rows else 0,
        "HorizontalSplitPosition": columns,
        "VerticalSplitPosition": rows,
        # Parts of a split view: 0 top left, 1 top right, 2 bottom left, 3 bottom right.
        "ActiveSplitRange": 3 if rows and columns else 1 if columns else 2,
        "PositionLeft": 0,
        "PositionRight": columns,
        "PositionTop": 0,
        "PositionBottom": rows,
    }


def _split(said: Mapping[str | None, str], mode: str, position: str) -> int:
    text = said.get(position, "")
    return int(text) if said.get(mode) == "2" and re.fullmatch("[0-9]{1,7}", text) else 0


def _put_item(entry: Element, key: str, value: int) -> None:
    for item in entry:
        if item.get(_NAME) == key:
            item.text = str(value)
            return
    kind = "short" if key.endswith("Mode") or key == "ActiveSplitRange" else "int"
    item = make("config:config-item", {"config:name": key, "config:type": kind})
    item.text = str(value)
    entry.append(item)


def _tables(settings: Element, *, create: bool) -> Element | None:
    """Return the list of tabs within the first view, with what holds it put in where it is missing."""
    holder = settings.find(name("office:settings"))
    if holder is None:
        if not create:
            return None
        holder = make("office:settings")
        settings.append(holder)
    node: Element = holder
    steps = ((_SET, "ooo:view-settings"), (_INDEXED, "Views"), (_ENTRY, None), (_NAMED, "Tables"))
    for kind, label in steps:
        following = next(
            (part for part in node if part.tag == kind and (label is None or part.get(_NAME) == label)), None
        )
        if following is None:
            if not create:
                return None
            prefixed = "config:" + kind.rpartition("}")[2]
            following = make(prefixed, {"config:name": label} if label else None)
            node.append(following)
            if kind == _ENTRY:
                view = make("config:config-item", {"config:name": "ViewId", "config:type": "string"})
                view.text = "view1"
                following.append(view)
        node = following
    return node

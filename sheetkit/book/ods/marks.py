"""Defined names: the marks that earlier runs left, and the names of single cells."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from sheetkit.book.markup import Element
from sheetkit.book.ods.formula import block_address, block_of, from_open, literal, literal_text, open_title
from sheetkit.book.ods.names import make, name
from sheetkit.book.ods.text import clean
from sheetkit.book.workbook import COLUMN_MARK, NOTE_MARK, TAB_MARK
from sheetkit.page import Address, Range

EXPRESSIONS = name("table:named-expressions")
_RANGE, _EXPRESSION = name("table:named-range"), name("table:named-expression")
_NAME, _ADDRESS = name("table:name"), name("table:cell-range-address")
_TABLE, _RANGES = name("table:table"), name("table:database-ranges")
_TARGET = name("table:target-range-address")
_MARKS = (TAB_MARK, COLUMN_MARK, NOTE_MARK)
_BASE, _FORMULA = name("table:base-cell-address"), name("table:expression")


@dataclass
class Marks:
    """What the defined names of a workbook say."""

    owned: dict[str, str] = field(default_factory=dict)
    columns: dict[str, tuple[str, Range]] = field(default_factory=dict)
    notes: dict[str, str] = field(default_factory=dict)
    names: dict[str, tuple[str, Address]] = field(default_factory=dict)


def marks_of(expressions: Iterable[Element], titles: Iterable[str]) -> Marks:
    """Read the defined names of a workbook whose tabs bear these titles."""
    marks = Marks()
    known = set(titles)
    for element in expressions:
        label = element.get(_NAME) or ""
        if element.tag == _EXPRESSION and label.startswith(NOTE_MARK):
            text = literal_text(element.get(_FORMULA) or "")
            if text is not None:
                marks.notes[label.removeprefix(NOTE_MARK)] = text
        found = block_of(element.get(_ADDRESS) or "") if element.tag == _RANGE else None
        if found is None or found[0] not in known:
            continue
        title, block = found
        if label.startswith(TAB_MARK):
            marks.owned[label.removeprefix(TAB_MARK)] = title
        elif label.startswith(COLUMN_MARK):
            marks.columns[label.removeprefix(COLUMN_MARK)] = found
        elif block[:2] == block[2:]:
            marks.names[label] = title, (block.first_row, block.first_column)
    return marks


def meanings(spreadsheet: Element) -> dict[tuple[str, str], str]:
    """Return what defined names and ranges stand for: tab for which a name holds, and name, case folded."""
    found: dict[tuple[str, str], str] = {}
    for holder in (spreadsheet, *spreadsheet.iterchildren(_TABLE)):
        scope = "" if holder is spreadsheet else (holder.get(_NAME) or "").casefold()
        for element in (*holder.iterfind(f"{EXPRESSIONS}/*"), *holder.iterfind(f"{_RANGES}/*")):
            label = element.get(_NAME) or ""
            address = element.get(_ADDRESS) or element.get(_TARGET)
            if label and not label.startswith(_MARKS):
                said = element.get(_FORMULA) or ""
                found[scope, label.casefold()] = from_open(f"of:=[{address}]" if address else said)
    return found


def put_tabs(expressions: Element, owned: Mapping[str, str]) -> None:
    """Leave exactly these marks of tabs that are ours: key -> title."""
    corner = Range(1, 1, 1, 1)
    _put(expressions, TAB_MARK, {key: _range(TAB_MARK + key, title, corner) for key, title in owned.items()})


def put_columns(expressions: Element, columns: Mapping[str, tuple[str, Range]]) -> None:
    """Leave exactly these marks of result columns."""
    wanted = {key: _range(COLUMN_MARK + key, title, block) for key, (title, block) in columns.items()}
    _put(expressions, COLUMN_MARK, wanted)


def put_notes(expressions: Element, notes: Mapping[str, str], title: str) -> None:
    """Leave exactly these notes; ``title`` is any tab, which the standard asks a name to start from."""
    wanted = {}
    for key, text in notes.items():
        attributes = {
            "table:name": NOTE_MARK + key,
            "table:base-cell-address": f"{open_title(title)}.$A$1",
            "table:expression": f"of:={literal(clean(text))}",
        }
        wanted[key] = make("table:named-expression", attributes)
    _put(expressions, NOTE_MARK, wanted)


def put_names(expressions: Element, title: str, names: Mapping[str, Address]) -> None:
    """Name cells of one of our tabs. A name that the maker gave to another place stays theirs."""
    known = {(element.get(_NAME) or "").casefold(): element for element in expressions}
    for label, (row, column) in names.items():
        wanted = _range(label, title, Range(row, column, row, column))
        old = known.get(label.casefold())
        if old is None:
            expressions.append(wanted)
        elif old.tag == _RANGE and (_is_dead(old) or _tab_of(old) == title):
            _replace(old, wanted)


def move_names(expressions: Element, old: str, new: str) -> None:
    """Let the names of a tab's cells follow its new title."""
    for element in expressions:
        found = block_of(element.get(_ADDRESS) or "")
        if found and found[0] == old and not (element.get(_NAME) or "").startswith(TAB_MARK):
            element.set(_ADDRESS, block_address(new, found[1]))
            _rebase(element, old, new)
        elif element.tag == _EXPRESSION:
            _rebase(element, old, new)


def drop_names(expressions: Element, title: str, labels: set[str] | None = None) -> None:
    """Take away the names of a tab's cells: those that bear one of these labels, or all."""
    wanted = None if labels is None else {label.casefold() for label in labels}
    for element in list(expressions):
        found = block_of(element.get(_ADDRESS) or "")
        label = (element.get(_NAME) or "").casefold()
        if found and found[0] == title and (wanted is None or label in wanted):
            expressions.remove(element)


def _is_dead(element: Element) -> bool:
    """Return whether the place that a name stood for was deleted."""
    return "#REF!" in (element.get(_ADDRESS) or "")


def _tab_of(element: Element) -> str | None:
    found = block_of(element.get(_ADDRESS) or "")
    return found[0] if found else None


def _rebase(element: Element, old: str, new: str) -> None:
    base = block_of(element.get(_BASE) or "")
    if base and base[0] == old:
        element.set(_BASE, block_address(new, base[1]))


def _range(label: str, title: str, block: Range) -> Element:
    attributes = {
        "table:name": label,
        "table:base-cell-address": f"{open_title(title)}.$A$1",
        "table:cell-range-address": block_address(title, block),
    }
    return make("table:named-range", attributes)


def _put(expressions: Element, prefix: str, wanted: Mapping[str, Element]) -> None:
    """Leave exactly the wanted names with this prefix, those already there in their place."""
    left = dict(wanted)
    for element in list(expressions):
        label = element.get(_NAME) or ""
        if not label.startswith(prefix):
            continue
        new = left.pop(label.removeprefix(prefix), None)
        if new is None:
            expressions.remove(element)
        else:
            _replace(element, new)
    expressions.extend(left.values())


def _replace(old: Element, new: Element) -> None:
    parent = old.getparent()
    assert parent is not None
    new.tail = old.tail
    parent.replace(old, new)

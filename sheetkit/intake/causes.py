"""The one cell that many messages come from: it is named first, and what follows from it is one line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Kind
from sheetkit.page import Address, Cell, CellError, Page, column_number
from sheetkit.records.job import JobSheet, Place
from sheetkit.records.problems import Problem, problem, with_consequences
from sheetkit.units import (
    NotANumber,
    Unit,
    either,
    is_metric,
    length_from_text,
    length_text,
    number_from_text,
    shown,
)

Pages = Mapping[str, Page]
"""Tabs by their titles without regard to case."""
Labels = Mapping[str, tuple[str, int, int]]
Where = tuple[str, int, int]

SIZES: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "Parts": (("thickness",), ("width",), ("length",)),
    "Panels": (("thickness",), ("measured_width", "opening_width"), ("measured_height", "opening_height")),
    "Loads": (("thickness",), ("width",), ("span",)),
    "Boards": (("width",), ("length",)),
}
"""Columns that hold the sizes of one thing, the least first; of several the first that is filled in."""
FOLLOWS_UNIT = frozenset(("too-large", "fraction-in-mm", "stock-text", "bad-temperature", "step-large"))
"""What is found wrong with good entries when the unit is wrong."""
LONGEST_MM = 15_000
"""No board is longer [mm]; what is more may be a date."""
DEEPEST = 50
"""Formulas that are followed back, one from the other."""
_REFERENCE = re.compile(
    r"(?:('(?:[^']|'')+'|[A-Za-z_][\w.]*)!)?\$?([A-Z]{1,3})\$?([1-9]\d{0,6})(?::\$?([A-Z]{1,3})\$?([1-9]\d{0,6}))?(?![\w(])"
)
_TEXT = re.compile(r'"(?:[^"]|"")*"')
_NAME = re.compile(rf"(?<![\w.!])({'|'.join(settings.LIVE)})(?![\w.(])", re.IGNORECASE)


def fitted(page: Page, sheet: JobSheet, labels: Labels) -> Page:
    """Return a tab with the fit of Job in place of formulas that are its name alone and have no result."""
    found: dict[Address, Cell] = {}
    for address, cell in page.cells.items():
        if cell.formula is None or not (cell.stale or isinstance(cell.value, CellError)):
            continue
        for name in settings.LIVE:
            size = getattr(sheet, name)
            if size is not None and _is_just(cell.formula, name, labels):
                found[address] = cell._replace(value=shown(size, sheet.unit), stale=False)
    return replace(page, cells={**page.cells, **found}) if found else page


def _is_just(formula: str, name: str, labels: Labels) -> bool:
    text = formula.strip().strip("+()").strip()
    if text.casefold() == name:
        return True
    match = _REFERENCE.fullmatch(text)
    if not match or match.group(4) or name not in labels:
        return False
    title, row, column = labels[name]
    named = (match.group(1) or "").strip("'").casefold(), int(match.group(3)), column_number(match.group(2))
    return named == (title.casefold(), row, column)


# --- the unit ---


def _bare(cell: Cell | None) -> float | None:
    """Return the number in a cell that names no unit, None where there is none."""
    value = cell.value if cell else None
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    try:
        return number_from_text(value) if isinstance(value, str) else None
    except NotANumber:
        return None


def _sizes(page: Page, place: Place, names: tuple[tuple[str, ...], ...]) -> Iterator[tuple[int, list[float]]]:
    """Yield row and sizes of everything on a tab whose sizes all stand there without a unit."""
    for row in range(place.heading_row + 1, place.last_row + 1):
        sizes = []
        for choice in names:
            cells = (page.cells.get((row, place.columns.get(name, 0))) for name in choice)
            cell = next((each for each in cells if each is not None and each.value not in (None, "")), None)
            if (size := _bare(cell)) is None:
                break
            sizes.append(size)
        else:
            yield row, sizes


def _of_other_unit(sizes: list[float], unit: Unit) -> bool:
    """Whether sizes cannot well be of the job's unit, but are usual in the other."""
    *thick, width, length = sizes
    if is_metric(unit):
        if not thick:
            return 0 < width <= 24 and 0 < length <= 250
        return 0 < thick[0] <= 5 and 0 < width <= 60 and 0 < length <= 150
    if not thick:
        return width >= 40 and length > 240
    if max(sizes) > LONGEST_MM or min(width, length) < 5:
        return False
    return thick[0] >= 5 and (thick[0] > 12 or width > 25 or length > 150)


def _unit_slip(pages: Pages, places: Mapping[str, Place], labels: Labels, unit: Unit) -> Problem | None:
    """Return the error that most sizes of a tab are of the other unit."""
    for title, names in SIZES.items():
        place = places.get(title)
        page = pages.get(title.casefold())
        if place is None or page is None:
            continue
        rows = list(_sizes(page, place, names))
        odd = [(row, sizes) for row, sizes in rows if _of_other_unit(sizes, unit)]
        if odd and 2 * len(odd) >= len(rows):
            row, sizes = odd[0]
            word, other = either(unit, ("inch", "mm"), ("mm", "inch"))
            tab, line, number = labels.get("unit", (settings.JOB_TITLE, 0, 0))
            cell = pages[tab.casefold()].cells.get((line, number)) if line else None
            stands = "" if cell is None or cell.value is None else cell.value
            told = {"unit": word, "other": other, "on": page.title, "first": row, "count": len(odd)}
            sample = {"such": " x ".join(f"{size:g}" for size in sizes), "one": f"{sizes[-1]:g} {unit}"}
            return problem("unit-slip", tab, line, number, stands, **told, **sample)
    return None


def _kinds(places: Mapping[str, Place], labels: Labels) -> Mapping[tuple[str, int, int], Kind]:
    """Return the kind of each column (row 0) and labeled value."""
    kinds = {
        (place.title.casefold(), 0, number): column.kind
        for tab in TABLES
        if (place := places.get(tab.title))
        for column in tab.asked
        if (number := place.columns.get(column.name))
    }
    at = {label.name: label.kind for label in settings.JOB}
    kinds.update(
        {(place[0].casefold(), *place[1:]): at[name] for name, place in labels.items() if name in at}
    )
    return kinds


def _follows_unit(found: Problem, kinds: Mapping[tuple[str, int, int], Kind]) -> bool:
    if found.code not in FOLLOWS_UNIT:
        return False
    tab = found.tab.casefold()
    kind = kinds.get((tab, found.row, found.column)) or kinds.get((tab, 0, found.column))
    if found.code == "too-large":
        return kind in (Kind.LENGTH, Kind.STEP)
    if found.code in ("stock-text", "bad-temperature"):
        return _bare(Cell(found.stands)) is not None
    return True


# --- formulas ---


class Formulas:
    """Which cells the formulas of a workbook use."""

    def __init__(self, pages: Pages, labels: Labels, unit: Unit, faults: frozenset[Where]) -> None:
        self.pages = pages
        self.faults = faults
        self.labels = labels
        self.unit: Unit = unit

    def cell(self, where: Where) -> Cell | None:
        """Return what stands in a cell of a tab."""
        page = self.pages.get(where[0].casefold())
        return page.cells.get(where[1:]) if page else None

    def used(self, where: Where) -> Iterator[Where]:
        """Yield the cells that the formula of a cell uses, as far as something stands in them."""
        cell = self.cell(where)
        formula = _TEXT.sub("", cell.formula or "") if cell else ""
        for name in _NAME.findall(formula):
            if name.casefold() in self.labels:
                yield self.labels[name.casefold()]
        for tab, left, top, right, bottom in _REFERENCE.findall(formula):
            title = tab.strip("'").replace("''", "'") or where[0]
            first = int(top), column_number(left)
            if not right:
                yield title, *first
                continue
            last = int(bottom), column_number(right)
            page = self.pages.get(title.casefold())
            for row, column in page.cells if page else ():
                if first[0] <= row <= last[0] and first[1] <= column <= last[1]:
                    yield title, row, column

    def root(self, where: Where, depth: int = 0) -> Where:
        """Return the cell from which a formula's error comes: its own when no other is to blame."""
        words: list[Where] = []
        for used in self.used(where):
            cell = self.cell(used)
            if cell is None or used == where:
                continue
            if isinstance(cell.value, CellError):
                return self.root(used, depth + 1) if depth < DEEPEST else used
            if cell.formula is None and (_key(used) in self.faults or self.size_in_words(cell) is not None):
                words.append(used)
        return words[0] if words else where

    def size_in_words(self, cell: Cell) -> float | None:
        """Return the length that a cell holds as text: to a formula it is no number."""
        try:
            return length_from_text(cell.value, self.unit) if isinstance(cell.value, str) else None
        except NotANumber:
            return None


def _key(where: Where) -> Where:
    return where[0].casefold(), where[1], where[2]


def _traced(problems: Sequence[Problem], pages: Pages, labels: Labels, unit: Unit) -> list[Problem]:
    """Return the problems with errors of formulas said at the cell where they come from, those first."""
    at = {_key((found.tab, found.row, found.column)): found for found in problems if found.cell}
    formulas = Formulas(pages, labels, unit, frozenset(at))
    follow: dict[Where, list[Problem]] = {}
    roots: dict[Where, Where] = {}
    rest = []
    for found in problems:
        here = found.tab, found.row, found.column
        root = formulas.root(here) if found.code == "cell-error" else here
        if _key(root) == _key(here):
            rest.append(found)
        else:
            follow.setdefault(_key(root), []).append(found)
            roots[_key(root)] = root
    causes = []
    for key, consequences in follow.items():
        cause = at.get(key) or _cause(roots[key], formulas)
        causes.append(with_consequences(cause, consequences))
    return [*causes, *(found for found in rest if _key((found.tab, found.row, found.column)) not in follow)]


def _cause(where: Where, formulas: Formulas) -> Problem:
    """Return what is wrong with a cell that formulas use and that is not found fault with itself."""
    cell = formulas.cell(where)
    value = cell.value if cell else None
    title = formulas.pages[where[0].casefold()].title
    if isinstance(value, CellError):
        return problem("cell-error", title, *where[1:], value.text)
    size = length_from_text(str(value), formulas.unit)
    number = either(formulas.unit, length_text(size, formulas.unit), f"{shown(size, formulas.unit):g}")
    return problem("size-in-words", title, *where[1:], value, number=number)


def with_causes(
    problems: Sequence[Problem], pages: Pages, places: Mapping[str, Place], labels: Labels, unit: Unit
) -> list[Problem]:
    """Return the problems with each cause first, and what follows from it in one line with it."""
    known = _traced(problems, pages, labels, unit)
    unit_at = labels.get("unit")
    wrong = next(
        (found for found in known if unit_at and (found.tab, found.row, found.column) == unit_at), None
    )
    slip = wrong or _unit_slip(pages, places, labels, unit)
    if slip is None:
        return known
    kinds = _kinds(places, labels)
    follow = [found for found in known if _follows_unit(found, kinds)]
    rest = [found for found in known if found is not wrong and found not in follow]
    return [with_consequences(slip, follow), *rest]

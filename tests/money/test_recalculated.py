"""Every cell about money, changed by the maker, follows in LibreOffice and in Gnumeric to the cent of a fresh run."""

from __future__ import annotations

import random
import shutil
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

import sheetkit
from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Workbook
from sheetkit.form.columns import TABLES
from sheetkit.form.example import example_job
from sheetkit.intake.headings import by_row, heading_row, match_headings
from sheetkit.page import Address, Cell, CellError, Page, Value
from sheetkit.tabs.input_table import Filled
from sheetkit.tabs.template import template_pages
from sheetkit.units import Unit
from tests.money.money_jobs import read
from tests.money.test_live_money import same, with_cells

Convert = Callable[[Path, str, Path], Path]
MONEY = {
    "Prices": ("price", "waste"), "Extras": ("qty", "unit_price"), "Labor": ("minutes", "rate"),
    "Glue-ups": ("price",), "Finish": ("price",),
}  # fmt: skip
"""What a maker tries out, by tab."""
SHARES = ("Overhead", "Profit", "Tax", "Deposit")


def _cells(workbook: Workbook) -> Iterator[tuple[str, str, Address]]:
    """Give every cell about money of the maker's rows: tab, column name, where."""
    for tab in TABLES:
        page = workbook.page(tab.title)
        if tab.title not in MONEY or page is None:
            continue
        grouped = by_row(page)
        heading = heading_row(grouped, tab)
        assert heading is not None
        columns = match_headings(grouped[heading], tab, heading)[0]
        for row, cells in grouped.items():
            if row > heading and cells.get(columns[tab.key_column.name], Cell()).value:
                yield from ((tab.title, name, (row, columns[name])) for name in MONEY[tab.title])


def _value(name: str, chance: random.Random) -> Value:
    if name == "waste":
        return chance.choice([0.17, 0.333, 0.125, 0.28])
    if name == "qty":
        return chance.randint(1, 30)
    return round(chance.uniform(0.5, 2900.0 if name == "price" else 90.0), 2)


def _changes(workbook: Workbook, chance: random.Random) -> Mapping[str, dict[Address, Cell]]:
    found: dict[str, dict[Address, Cell]] = {}
    for tab, name, at in _cells(workbook):
        found.setdefault(tab, {})[at] = Cell(_value(name, chance))
    job = workbook.page("Job")
    assert job is not None
    found["Job"] = {
        (row, 2): Cell(round(chance.uniform(0.01, 0.4), 4))
        for (row, column), cell in job.cells.items()
        if column == 1 and cell.value in SHARES
    }
    return found


def _blanked(path: Path, chance: random.Random) -> None:
    """Empty a third of the cells about money: what is typed there later must be followed as well."""
    workbook = read(path)
    gone: dict[str, set[Address]] = {}
    for tab, name, at in _cells(workbook):
        if chance.random() < 1 / 3 and name != "minutes":
            gone.setdefault(tab, set()).add(at)
    pages = [
        replace(
            page, cells={at: cell for at, cell in page.cells.items() if at not in gone.get(page.title, ())}
        )
        for page in template_pages(*_asked(path))
    ]
    path.write_bytes(by_ending(path.suffix).render(pages))


JOBS: dict[str, tuple[Unit, bool]] = {
    "bench": ("in", True),
    "bench-mm": ("mm", True),
    "bench-bare": ("mm", False),
    "chance-one": ("in", False),
    "chance-two": ("mm", False),
}
"""Name -> unit, and whether boards stand in the rack; of those by chance, how many of each part are wanted, and of what wood."""
WOODS = {
    "in": ("White oak", "White ash", "Sugar maple"),
    "mm": ("European oak", "European ash", "European beech"),
}


def _asked(path: Path) -> tuple[Unit, Mapping[str, str], Filled]:
    unit, rack = JOBS[path.stem]
    labels, filled = example_job(unit)
    if path.stem.startswith("chance"):
        chance = random.Random(path.stem)
        frame = {
            word
            for row in filled["Joints"]
            for name in ("into", "from_part")
            for word in row[name].split("; ")
        }
        parts = [
            {
                **row,
                "qty": row.get("qty", "1") if row["part"] in frame else f"{chance.randint(1, 6)}",
                "species": chance.choice(WOODS[unit]),
            }
            for row in filled["Parts"]
        ]
        filled = {**filled, "Parts": parts}
    return unit, labels, {tab: rows for tab, rows in filled.items() if rack or tab != "Boards"}


Figure = tuple[str, str, int, int]
"""The first two texts of a row, how often they stood above, and the column: rows move when a sentence goes."""


def _figures(page: Page) -> dict[Figure, Value]:
    found: dict[Figure, Value] = {}
    seen: Counter[tuple[str, str]] = Counter()
    for _, cells in sorted(by_row(page).items()):
        name, more = (str(cells[column].value) if column in cells else "" for column in (1, 2))
        seen[name, more] += 1
        found.update(
            ((name, more, seen[name, more], column), cell.value)
            for column, cell in cells.items()
            if column > 1 and isinstance(cell.value, int | float | CellError)
        )
    return found


def differences(computed: Workbook, fresh: Workbook) -> list[tuple[str, Figure, Value, Value]]:
    """Give the figures of a recalculated workbook that are not those of a fresh run."""
    wrong: list[tuple[str, Figure, Value, Value]] = []
    for title in ("Lumber", "Estimate", "Quote", "Extras", "Labor"):
        ours, theirs = fresh.page(title), computed.page(title)
        assert ours is not None
        assert theirs is not None
        found = _figures(theirs)
        wrong += [
            (title, at, found.get(at), value)
            for at, value in _figures(ours).items()
            if not same(found.get(at), value)
        ]
    return wrong


@pytest.mark.parametrize(
    ("name", "ending"),
    [
        ("bench", ".xlsx"),
        ("bench-mm", ".ods"),
        ("bench-bare", ".xlsx"),
        ("chance-one", ".ods"),
        ("chance-two", ".xlsx"),
    ],
)
def test_both_programs_compute_what_a_fresh_run_prints(
    office: Convert, gnumeric: Callable[..., Path], tmp_path: Path, name: str, ending: str
) -> None:
    chance = random.Random(f"{name}{ending}")
    path = tmp_path / f"{name}{ending}"
    path.write_bytes(by_ending(ending).render(template_pages(*_asked(path))))
    _blanked(path, chance)
    assert sheetkit.run(path).ok
    other = tmp_path / f"changed{ending}"
    other.write_bytes(with_cells(path, _changes(read(path), chance)))
    out = tmp_path / "out"
    out.mkdir()
    computed = [office(other, ending.lstrip("."), out), gnumeric(other)]
    fresh = tmp_path / f"fresh{ending}"
    shutil.copy(computed[0], fresh)
    outcome = sheetkit.run(fresh)
    assert outcome.ok, outcome.problems
    for path in computed:
        assert differences(read(path), read(fresh)) == [], path.name

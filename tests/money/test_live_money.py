"""Change a price in a spreadsheet program: Estimate and Quote follow to the cent that a fresh run prints."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from sheetkit.book.formats import by_content, by_ending
from sheetkit.book.places import place_answers
from sheetkit.book.workbook import Change, Workbook
from sheetkit.form.example import example_job
from sheetkit.intake.workbook import take_in
from sheetkit.page import Address, Cell, CellError, Page, Value
from sheetkit.tabs.beside import answers_beside
from sheetkit.tabs.template import template_pages
from tests.money.money_jobs import money_pages, place, priced, put_in, read, write

Convert = Callable[[Path, str, Path], Path]
CHANGES: Mapping[str, tuple[tuple[str, str, str, Value], ...]] = {
    "price": (("Prices", "Price", "White oak", 11.37),),
    "waste": (("Prices", "Waste", "White oak", 32.5),),
    "rate": (("Job", "", "Hourly rate", 51.25),),
    "a rate where none stood": (("Labor", "Rate", "Mill", 61.0),),
    "profit": (("Job", "", "Profit", 27.5),),
    "profit as margin": (("Job", "", "Profit as", "Margin"), ("Job", "", "Profit", 0.35)),
    "tax": (("Job", "", "Tax", 8.25),),
    "quantity": (("Extras", "Qty", "Screw", 13),),
    "all at once": (
        ("Prices", "Price", "White oak", 13.13), ("Prices", "Waste", "White oak", 0.27),
        ("Job", "", "Hourly rate", 47.77), ("Job", "", "Profit", 19.9), ("Job", "", "Tax", 6.625),
        ("Job", "", "Overhead", 12.5), ("Job", "", "Deposit", 33), ("Extras", "Qty", "Hook", 7),
        ("Extras", "Unit price", "Hook", 5.15), ("Labor", "Minutes each", "Mill", 7.5),
        ("Labor", "Rate", "Sand", 43.1),
    ),
}  # fmt: skip


def changed(path: Path, change: tuple[tuple[str, str, str, Value], ...]) -> bytes:
    """Give the workbook with the maker's cells changed and no formula's result stored: all are to be computed."""
    workbook = read(path)
    patches: dict[str, dict[Address, Cell]] = {}
    for tab, heading, line, value in change:
        if heading:
            address = place(workbook, tab, heading, line)
        else:
            page = workbook.page(tab)
            assert page is not None
            address = (next(row for (row, c), cell in page.cells.items() if c == 1 and cell.value == line), 2)
        patches.setdefault(tab, {})[address] = Cell(value)
    return with_cells(path, patches)


def with_cells(path: Path, cells: Mapping[str, Mapping[Address, Cell]]) -> bytes:
    data, workbook = path.read_bytes(), read(path)
    patches = {title: dict(some) for title, some in cells.items()}
    for page in workbook.pages:
        if not page.key:
            unknown = {address: _unknown(cell) for address, cell in page.cells.items() if cell.formula}
            patches[page.title] = {**unknown, **patches.get(page.title, {})}
    tabs = tuple(
        replace(page, cells={address: _unknown(cell) for address, cell in page.cells.items()})
        for page in workbook.pages
        if page.key
    )
    return by_content(data, path.suffix).graft(data, Change(tabs, patches=patches, columns=workbook.columns))


def _unknown(cell: Cell) -> Cell:
    return cell._replace(value=None, stale=True) if cell.formula else cell


def shown(page: Page | None) -> dict[Address, Value]:
    assert page is not None
    return {address: cell.value for address, cell in page.cells.items()}


def same(computed: Value, fresh: Value) -> bool:
    if isinstance(computed, int | float) and isinstance(fresh, int | float):
        return abs(computed - fresh) < 5e-8 * max(1.0, abs(fresh))
    return computed == fresh


def differences(computed: Workbook, fresh: list[Page]) -> list[tuple[str, Address, Value, Value]]:
    wrong: list[tuple[str, Address, Value, Value]] = []
    for page in fresh:
        stands = shown(computed.page(page.title))
        for address, cell in page.cells.items():
            value = stands.get(address)
            if cell.value not in (None, "", " ") and not same(value, cell.value):
                wrong.append((page.title, address, value, cell.value))
    return wrong


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_every_figure_follows_to_the_cent_that_a_fresh_run_prints(
    office: Convert, tmp_path: Path, ending: str
) -> None:
    path = write(tmp_path / f"shelf{ending}")
    before = shown(read(path).page("Estimate"))
    for number, (name, change) in enumerate(CHANGES.items()):
        out = tmp_path / str(number)
        out.mkdir()
        other = tmp_path / f"changed{number}{ending}"
        other.write_bytes(changed(path, change))
        computed = read(office(other, ending.lstrip("."), out))
        found = priced(take_in(computed.pages).job)
        assert differences(computed, money_pages(found)) == [], name
        assert float(found.estimate.total) not in before.values(), f"{name} changed nothing"
        placed = place_answers(found.results.job, answers_beside(found.results), computed)
        for tab in ("Extras", "Labor"):
            cells = placed.patches[tab]
            stands = shown(computed.page(tab))
            for address, cell in cells.items():
                assert same(stands.get(address), cell.value), (name, tab, address)
        assert not any(isinstance(value, CellError) for value in stands.values())


def test_a_job_in_mm_follows_a_price_by_the_cubic_meter(office: Convert, tmp_path: Path) -> None:
    labels, filled = example_job("mm")
    tables = {title: rows for title, rows in filled.items() if title != "Boards"}
    path = tmp_path / "bench.ods"
    path.write_bytes(put_in(by_ending(".ods").render(template_pages("mm", labels, tables)), ".ods"))
    job = take_in(read(path).pages).job
    line = next(row for row in job.prices if row.species.name == "European oak")
    place_of_price = (line.row, job.places["Prices"].columns["price"])
    other = tmp_path / "changed.ods"
    other.write_bytes(with_cells(path, {"Prices": {place_of_price: Cell(3333.0)}}))
    out = tmp_path / "out"
    out.mkdir()
    computed = read(office(other, "ods", out))
    found = priced(take_in(computed.pages).job)
    assert found.estimate.lumber_lines[0].price is not None
    assert differences(computed, money_pages(found)) == []

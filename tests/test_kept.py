"""The whole command on a maker's own workbook: everything that is not ours stays as it was."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import etree

from sheetkit.book.formats import by_ending
from sheetkit.book.package import Package
from sheetkit.book.workbook import Change
from sheetkit.flow import run
from sheetkit.new import adopted
from sheetkit.page import Address, Cell
from tests.book.lint_xlsx import lint
from tests.book.makers_xlsx import makers_workbook
from tests.jobs import NOW, read

BOOKKEEPING = {
    "[Content_Types].xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/styles.xml", "xl/sharedStrings.xml",
    "xl/calcChain.xml",
}  # fmt: skip
"""Parts that list the others: they grow, and tests/book holds them to growing only."""


def parts(data: bytes) -> dict[str, bytes]:
    package = Package(data)
    return {name: package.read(name) for name in package.names()}


def filled(path: Path) -> None:
    """Type a job into the adopted tabs."""
    workbook = read(path)
    job = workbook.page("Job")
    assert job is not None
    label = next(address for address, cell in job.cells.items() if cell.value == "Job")
    patches: dict[str, dict[Address, Cell]] = {"Job": {(label[0], label[1] + 1): Cell("Chest")}}
    path.write_bytes(by_ending(path.suffix).graft(path.read_bytes(), Change(patches=patches)))


def test_a_workbook_with_charts_pictures_comments_and_macros_keeps_them_byte_for_byte(tmp_path: Path) -> None:
    path = tmp_path / "mine.xlsm"
    path.write_bytes(makers_workbook())
    before = parts(path.read_bytes())
    theirs = {page.title for page in read(path).pages}
    adopted(path)
    # their own tab Lists stays theirs; ours stands beside it, and our drop-downs look there
    lists = [page.title for page in read(path).pages if page.title.startswith("Lists")]
    assert lists == ["Lists", "Lists (2)"]
    assert b"'Lists (2)'!$A$2" in b"".join(parts(path.read_bytes()).values())
    filled(path)
    run(path, now=NOW)
    run(path, now=NOW)
    after = parts(path.read_bytes())
    touched = {page for page in theirs if page in ("Parts", "Prices", "Boards")}
    sheets = {name for name in before if name.startswith("xl/worksheets/sheet")}
    for name, content in before.items():
        if name in BOOKKEEPING:
            continue
        if name in sheets and touched:
            assert etree.fromstring(after[name]).tag == etree.fromstring(content).tag
            continue
        assert after[name] == content, name
    assert lint(path.read_bytes()) == []
    assert read(path).owned


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_the_makers_own_tab_column_and_formula_stay(tmp_path: Path, ending: str) -> None:
    from tests.jobs import page, pages

    own = page("Notes to self", "Call the yard | 12\nOil | 3")
    parts_tab = (
        "Part | My mark | Species | Thickness | Width | Length\nLeg | red dot | White oak | 1 | 2 | 30"
    )
    path = tmp_path / f"mine{ending}"
    made = [*pages({"Parts": parts_tab}), own]
    made[-1] = type(own)(own.title, {**own.cells, (3, 2): Cell(15.0, "B1+B2")})
    path.write_bytes(by_ending(ending).render(made))
    assert run(path, now=NOW).ok
    after = read(path)
    notes, mine = after.page("Notes to self"), after.page("Parts")
    assert notes is not None
    assert mine is not None
    assert (notes.cells[3, 2].value, notes.cells[3, 2].formula) == (15.0, "B1+B2")
    assert mine.cells[2, 2].value == "red dot"
    assert [page.title for page in after.pages[:4]] == ["Job", "Prices", "Parts", "Notes to self"]

"""LibreOffice opens a grafted file and shows the maker's values and ours; its own save keeps our marks."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from sheetkit.book.workbook import Change
from sheetkit.book.xlsx import graft, read
from tests.book.lint_xlsx import lint
from tests.book.makers_xlsx import makers_workbook
from tests.book.test_xlsx_graft import CHANGE, ESTIMATE

Convert = Callable[[Path, str, Path], Path]


def test_an_office_program_opens_and_saves_a_grafted_file(office: Convert, tmp_path: Path) -> None:
    maker = makers_workbook(macros=False)
    ours = graft(maker, CHANGE)
    before, after = tmp_path / "before.xlsx", tmp_path / "after.xlsx"
    before.write_bytes(maker)
    after.write_bytes(ours)
    saved = {}
    for path in (before, after):
        out = tmp_path / f"saved-{path.stem}"
        out.mkdir()
        saved[path.stem] = office(path, "xlsx", out).read_bytes()
    old, new = read(saved["before"]), read(saved["after"])
    for page in old.pages:
        twin = new.page(page.title)
        assert twin is not None
        for address, cell in page.cells.items():
            assert (twin.cells[address].value, twin.cells[address].formula) == (cell.value, cell.formula)
    parts, estimate = new.page("Parts"), new.page("Estimate")
    assert parts is not None
    assert estimate is not None
    for address, cell in CHANGE.patches["Parts"].items():
        assert parts.cells[address].value == cell.value
    assert {a: (c.value, c.link) for a, c in estimate.cells.items()} == {
        a: (c.value, c.link) for a, c in ESTIMATE.cells.items()
    }
    assert (new.owned, new.columns, new.notes) == (
        {"estimate": "Estimate", "quote": "Quote"}, CHANGE.columns, CHANGE.notes,
    )  # fmt: skip
    again = graft(saved["after"], CHANGE)
    assert lint(again) == []
    assert [page.title for page in read(again).pages] == [page.title for page in new.pages]
    assert graft(again, CHANGE) == again
    gone = graft(again, Change(dropped=frozenset(new.owned)))
    assert lint(gone) == []
    assert read(gone).owned == {}

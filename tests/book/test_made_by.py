"""New workbooks name the program that made them, and spreadsheet programs compute them as they should."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sheetkit.book import ods
from sheetkit.book.formats import by_ending
from sheetkit.page import Cell, Page
from tests.book.lint_ods import parts

PAGE = Page(
    "Sums",
    {
        (1, 1): Cell(3.0),
        (1, 2): Cell(4.0, formula="A1+1"),
        (1, 3): Cell(formula="B1*2", stale=True),
        (1, 4): Cell("", formula='IF(A1>9,"far","")'),
        (1, 5): Cell("near", formula='IF(A1>9,"far","near")'),
    },
)


@pytest.mark.parametrize(("ending", "entry", "tag"), [
    (".xlsx", "docProps/app.xml", "Application"),
    (".ods", "meta.xml", "meta:generator"),
])  # fmt: skip
def test_a_new_workbook_names_sheetkit_as_its_maker(ending: str, entry: str, tag: str) -> None:
    said = parts(by_ending(ending).render([PAGE]))[entry].decode()
    assert f"<{tag}>sheetkit</{tag}>" in said
    assert "AppVersion" not in said
    assert "Excel" not in said


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_libreoffice_computes_a_new_workbook_rightly(
    tmp_path: Path, ending: str, office: Callable[[Path, str, Path], Path]
) -> None:
    path = tmp_path / f"new{ending}"
    path.write_bytes(by_ending(ending).render([PAGE]))
    (tmp_path / "out").mkdir()
    (page,) = ods.read(office(path, "ods", tmp_path / "out").read_bytes()).pages
    assert [page.cells[1, column].value for column in range(1, 6)] == [3.0, 4.0, 8.0, "", "near"]

"""Workbooks whose entries bear names as other archivers write them: read as what they mean, saved so that they open."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sheetkit.book import ods, xlsx
from sheetkit.book.formats import by_content
from sheetkit.book.package import Package
from sheetkit.book.workbook import Change
from sheetkit.page import Cell, Page, Picture
from tests.book.lint_ods import faults, parts
from tests.book.lint_xlsx import lint, parts_of
from tests.book.makers_xlsx import makers_workbook, png
from tests.book.test_package import ODD_NAMES, renamed
from tests.book.user_ods import user_file

Office = Callable[[Path, str, Path], Path]
TAB = Page(
    "Out", {(1, 1): Cell("said"), (2, 1): Cell(3.0)}, "out", pictures=(Picture(png(), 4, 1, 20, 20, "A dot"),)
)
CHANGE = Change((TAB,), patches={"Parts": {(2, 8): Cell("patched")}})


@pytest.mark.parametrize("kind", ODD_NAMES)
def test_an_xlsx_file_with_odd_names_reads_as_the_plain_one_and_comes_out_plain(kind: str) -> None:
    plain = makers_workbook()
    odd = renamed(plain, ODD_NAMES[kind])
    assert by_content(odd, ".xlsx").ending == ".xlsx"
    assert xlsx.read(odd).pages == xlsx.read(plain).pages
    out = xlsx.graft(odd, CHANGE)
    assert lint(out) == []
    assert parts_of(out) == parts_of(xlsx.graft(plain, CHANGE))
    assert xlsx.graft(out, CHANGE) == out


@pytest.mark.parametrize("kind", ODD_NAMES)
def test_an_ods_file_with_odd_names_reads_as_the_plain_one_and_comes_out_plain(kind: str) -> None:
    plain = user_file()
    odd = renamed(plain, ODD_NAMES[kind])
    assert by_content(odd, ".ods").ending == ".ods"
    assert ods.read(odd).pages == ods.read(plain).pages
    out = ods.graft(odd, CHANGE)
    assert faults(out) == []
    assert parts(out) == parts(ods.graft(plain, CHANGE))
    assert ods.graft(out, CHANGE) == out


def upper(name: str) -> str:
    return name if name.endswith(".bin") else name.upper()


@pytest.mark.parametrize("slashes", ["/", "\\"])
def test_parts_bear_the_letters_that_relations_say(slashes: str) -> None:
    package = Package(makers_workbook(macros=False))
    for name in package.names():
        if name.endswith(".rels"):
            package.write(name, package.read(name).replace(b"sheets/", f"sheets{slashes}".encode()))
    odd = renamed(package.save(), upper)
    assert xlsx.read(odd).pages == xlsx.read(makers_workbook(macros=False)).pages
    out = xlsx.graft(odd, CHANGE)
    assert lint(out) == []
    assert set(parts_of(out)) == set(parts_of(xlsx.graft(makers_workbook(macros=False), CHANGE)))
    assert xlsx.graft(out, CHANGE) == out


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_libreoffice_opens_what_was_made_of_backslashes(tmp_path: Path, ending: str, office: Office) -> None:
    plain = makers_workbook(macros=False) if ending == ".xlsx" else user_file()
    odd = renamed(plain, ODD_NAMES["backslashes"])
    out = by_content(odd, ending).graft(odd, CHANGE)
    titles = [page.title for page in by_content(out, ending).read(out).pages]
    (tmp_path / "out").mkdir()
    (tmp_path / f"copy{ending}").write_bytes(out)
    again = ods.read(office(tmp_path / f"copy{ending}", "ods", tmp_path / "out").read_bytes())
    assert [page.title for page in again.pages if page.title in titles] == titles

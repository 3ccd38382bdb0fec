"""What is added to an .ods file keeps to the version of the standard that the file follows."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from sheetkit.book.ods import graft, render
from sheetkit.book.workbook import Change
from sheetkit.page import Cell, Format, Page, PrintSetup, Range, Style
from tests.book.lint_ods import faults, parts, versions
from tests.book.user_ods import user_file

TAB = Page(
    "Out",
    {(1, 1): Cell("Sizes"), (2, 1): Cell("Length"), (3, 1): Cell(1.5, style=Style(format=Format.FRACTION))},
    "out",
    freeze=(2, 0),
    print=PrintSetup(area=Range(1, 1, 3, 1), repeat_rows=(2, 2), fit_width=True, one_page=True),
)
CHANGE = Change((TAB,), patches={"Parts": {(4, 4): Cell(3.25, style=Style(format=Format.FRACTION))}})
NEW_IN_1_3 = ("max-denominator-value", "style:scale-to-X", "style:scale-to-Y")


def makers(version: str) -> bytes:
    """Give the maker's file as of a version, without styles and settings."""
    entries = parts(user_file(drop=("styles.xml", "settings.xml")))
    told = f'office:version="{version}"' if version else ""
    content = entries["content.xml"].replace(b'office:version="1.2"', told.encode())
    content = content.replace(b' style:master-page-name="Default"', b"")
    return user_file(more={"content.xml": content}, drop=("styles.xml", "settings.xml"))


@pytest.mark.parametrize("version", ["", "1.0", "1.1", "1.2", "1.3", "1.4"])
def test_parts_added_follow_the_version_of_the_file(version: str) -> None:
    out = graft(makers(version), CHANGE)
    assert faults(out) == []
    assert versions(out) == dict.fromkeys(("content.xml", "styles.xml", "settings.xml"), version or None)
    text = b"".join(parts(out).values()).decode(errors="replace")
    assert [word in text for word in NEW_IN_1_3] == [version >= "1.3"] * 3
    assert graft(out, CHANGE) == out


def test_a_workbook_in_which_nothing_stays_in_view_has_no_empty_settings() -> None:
    assert faults(render([Page("Only", {(1, 1): Cell("x")})])) == []


def test_libreoffice_fits_an_older_file_to_the_page_too(
    tmp_path: Path, office: Callable[[Path, str, Path], Path]
) -> None:
    (tmp_path / "old.ods").write_bytes(graft(makers("1.2"), CHANGE))
    (tmp_path / "out").mkdir()
    said = parts(office(tmp_path / "old.ods", "ods", tmp_path / "out").read_bytes())["styles.xml"].decode()
    assert re.search(r'scale-to-X="1"', said)
    assert re.search(r'scale-to-Y="1"', said)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (b"loext:scale-to-X", b"style:scale-to-X", "scale-to-X came with 1.3"),
        (b"number:min-denominator-digits", b"number:max-denominator-value", "value came with 1.3"),
    ],
)
def test_the_check_finds_what_came_later(old: bytes, new: bytes, said: str) -> None:
    entries = parts(graft(makers("1.2"), CHANGE))
    later = {name: entry.replace(old, new) for name, entry in entries.items() if name != "mimetype"}
    assert later != {name: entry for name, entry in entries.items() if name != "mimetype"}
    assert said in "; ".join(faults(user_file(more=later)))


def test_the_check_finds_empty_settings() -> None:
    entries = parts(graft(makers("1.2"), CHANGE))
    bare = re.sub(rb"<office:settings>.*</office:settings>", b"<office:settings/>", entries["settings.xml"])
    assert bare != entries["settings.xml"]
    assert "settings is empty" in "; ".join(faults(user_file(more={"settings.xml": bare})))

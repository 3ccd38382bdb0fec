"""What the maker lays over a tab of ours in an .ods file is noticed, so that it stays."""

from __future__ import annotations

import pytest

from sheetkit.book.ods import graft, laid_over
from sheetkit.book.pictures import LaidOver, name_of_ours
from tests.book.lint_ods import parts
from tests.book.test_ods_graft import CHANGE
from tests.book.user_ods import replaced, user_file

FRAME = '<draw:frame svg:width="2cm" svg:height="2cm">{}</draw:frame>'
PICTURE = '<draw:image xlink:href="Pictures/a.png"/>'
OURS = FRAME.replace("<draw:frame", f'<draw:frame draw:name="{name_of_ours("marks", 7)}"')
BOUND, FREE = LaidOver(bound=frozenset({"marks"})), LaidOver(free=frozenset({"marks"}))


@pytest.mark.parametrize(
    ("thing", "expected"),
    [
        ("<office:annotation><text:p>done</text:p></office:annotation>", BOUND),
        (FRAME.format('<draw:object xlink:href="./Object 1"/>' + PICTURE), BOUND),
        (FRAME.format("<draw:text-box><text:p>mind</text:p></draw:text-box>"), FREE),
        ("<draw:custom-shape/>", FREE),
        (FRAME.format(PICTURE + "<svg:title>board</svg:title><svg:desc>a board</svg:desc>"), FREE),
        (OURS.format(PICTURE), LaidOver()),
        (2 * OURS.format(PICTURE), FREE),  # the second is a copy that the maker made
    ],
)
def test_what_goes_along_is_told_from_what_is_bound_and_from_ours(thing: str, expected: LaidOver) -> None:
    once = graft(user_file(), CHANGE)
    assert laid_over(once) == LaidOver()
    marked = replaced(once, "content.xml", "<text:p>1 1/2</text:p>", f"{thing}<text:p>1 1/2</text:p>")
    assert laid_over(marked) == expected


def test_what_lies_over_the_makers_own_tab_is_no_concern_of_ours() -> None:
    assert b"annotation" in parts(user_file())["content.xml"]
    assert laid_over(user_file()) == LaidOver()

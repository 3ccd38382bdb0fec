"""What the maker lays over a tab of ours in an .ods file is noticed, so that it is kept."""

from __future__ import annotations

import pytest

from sheetkit.book.ods import decorated, graft
from tests.book.lint_ods import parts
from tests.book.test_ods_graft import CHANGE
from tests.book.user_ods import replaced, user_file

FRAME = '<draw:frame svg:width="2cm" svg:height="2cm">{}</draw:frame>'
PICTURE = '<draw:image xlink:href="Pictures/a.png"/>'


@pytest.mark.parametrize(
    ("thing", "ours"),
    [
        ("<office:annotation><text:p>done</text:p></office:annotation>", False),
        (FRAME.format('<draw:object xlink:href="./Object 1"/>' + PICTURE), False),
        (FRAME.format("<draw:text-box><text:p>mind</text:p></draw:text-box>"), False),
        ("<draw:custom-shape/>", False),
        (FRAME.format(PICTURE + "<svg:title>board</svg:title><svg:desc>a board</svg:desc>"), True),
    ],
)
def test_a_comment_chart_or_shape_is_told_from_a_picture_of_ours(thing: str, ours: bool) -> None:
    once = graft(user_file(), CHANGE)
    assert decorated(once) == frozenset()
    marked = replaced(once, "content.xml", "<text:p>1 1/2</text:p>", f"{thing}<text:p>1 1/2</text:p>")
    assert decorated(marked) == (frozenset() if ours else {"marks"})


def test_what_lies_over_the_makers_own_tab_is_no_concern_of_ours() -> None:
    assert b"annotation" in parts(user_file())["content.xml"]
    assert decorated(user_file()) == frozenset()

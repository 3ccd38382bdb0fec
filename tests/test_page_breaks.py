"""Where printed pages end: titles stay with what they head, pictures with their words, and no page overflows."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import example as always
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.book.formats import by_ending
from sheetkit.intake.workbook import take_in
from sheetkit.page import Column, Page, PrintSetup
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.tabs.draft import SECTION, Draft, Earlier, drawn
from sheetkit.tabs.page_breaks import page_breaks
from sheetkit.tabs.pages import board_layout, marks
from sheetkit.tabs.shop_sheet import shop_sheet_page
from sheetkit.tabs.to_buy import to_buy_page
from tests.jobs import pages, read
from tests.make_templates import TOP
from tests.there import there

ROOM = (792 - 108) * 0.97
"""Height that a letter page holds when the columns need no shrinking."""
NARROW = (Column(50),)


@pytest.fixture(scope="module", params=["entry-bench.xlsx", "entry-bench-mm.ods"])
def example(request: pytest.FixtureRequest) -> tuple[Answers, str]:
    path = TOP / "examples" / request.param
    return answer(take_in(read(path).pages).job, 0.2), path.suffix


def tabs(results: Answers) -> list[Page]:
    made = [board_layout(results, ""), marks(results, ""), shop_sheet_page(results, "")]
    return [page for page in made if page is not None]


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(5, 120), st.booleans()), max_size=120))
def test_every_page_holds_its_rows_and_no_kept_row_ends_one(rows: list[tuple[float, bool]]) -> None:
    heights = {row: height for row, (height, _) in enumerate(rows, 1)}
    kept = {row for row, (_, keep) in enumerate(rows, 1) if keep}
    breaks = page_breaks(len(rows), heights, kept, NARROW, PrintSetup())
    begins = [1, *(row + 1 for row in breaks)]
    for begin, end in zip(begins, [*breaks, len(rows)], strict=True):
        page = range(begin, end + 1)
        assert not kept or sum(heights[row] for row in page) <= ROOM + 1e-6
        # a run of kept rows longer than a page is parted where the page ends
        assert end == len(rows) or end not in kept or kept.issuperset(page)


def test_a_title_at_the_foot_goes_to_the_next_page_with_the_blank_row_left_behind() -> None:
    heights = dict.fromkeys(range(1, 101), 10.0)
    on_a_page = int(ROOM // 10)
    assert page_breaks(100, heights, {1}, NARROW, PrintSetup()) == (on_a_page,)
    assert page_breaks(100, heights, {on_a_page}, NARROW, PrintSetup()) == (on_a_page - 1,)


def test_wide_columns_shrink_the_page_so_that_it_holds_more_rows() -> None:
    heights = dict.fromkeys(range(1, 201), 10.0)
    first = [page_breaks(200, heights, {1}, columns, PrintSetup())[0] for columns in (NARROW, (Column(150),))]
    assert first[1] > first[0] * 1.3


def test_a_row_repeated_on_each_page_takes_its_room() -> None:
    heights = {**dict.fromkeys(range(1, 201), 10.0), 1: 100.0}
    first, second, *_ = page_breaks(200, heights, {2}, NARROW, PrintSetup(repeat_rows=(1, 1)))
    assert second - first == int((ROOM - 100) // 10)


def test_a_tab_that_is_shrunk_to_one_page_has_no_breaks() -> None:
    assert page_breaks(500, {}, {1}, NARROW, PrintSetup()) != ()
    assert page_breaks(500, {}, {1}, NARROW, PrintSetup(one_page=True)) == ()


def test_a_tab_without_titles_ends_its_pages_where_they_end() -> None:
    assert page_breaks(1000, {}, set(), NARROW, PrintSetup()) == ()


def test_no_section_title_stands_at_the_foot_of_a_page(example: tuple[Answers, str]) -> None:
    results, _ = example
    for page in tabs(results):
        titles = {row for (row, column), cell in page.cells.items() if column == 1 and cell.style == SECTION}
        assert titles
        assert page.print.breaks
        assert not titles & set(page.print.breaks), page.title


def test_a_short_step_and_a_table_of_places_stand_on_one_page(example: tuple[Answers, str]) -> None:
    page = shop_sheet_page(example[0], "made today")
    breaks, rows = page.print.breaks, range(1, page.last_row + 2)

    def height(first: int, last: int) -> float:
        return sum(page.heights.get(row, 15.0) for row in range(first, last + 1))

    def parted(first: int, last: int) -> bool:
        return any(first <= row < last for row in breaks)

    titles = [row for row in rows if (cell := page.cells.get((row, 1))) and cell.style == SECTION]
    pictures = {picture.row for picture in page.pictures}
    for first, after in pairwise([*titles, page.last_row + 2]):
        last = min([after - 2, *(row - 2 for row in pictures if first < row < after)])
        assert height(first, last) > 220 or not parted(first, last), page.cells[first, 1].value
    heads = [row for row in rows if (cell := page.cells.get((row, 2))) and cell.value == "Cuts"]
    assert heads
    for head in heads:
        last = next(row for row in range(head + 1, page.last_row + 2) if (row + 1, 2) not in page.cells)
        assert not parted(head - 1, last), page.cells[head - 1, 3].value


def test_a_board_is_printed_on_one_page_with_its_cuts(example: tuple[Answers, str]) -> None:
    page = board_layout(example[0], "")
    assert page is not None
    boxes = {row for (row, column), cell in page.cells.items() if column == 1 and cell.value == "☐"}
    for row in page.print.breaks:
        assert row + 1 not in boxes, "a page begins in the middle of a board's cuts"
    pictures = {picture.row for picture in page.pictures}
    assert not pictures & set(page.print.breaks)


def test_a_board_with_more_cuts_than_a_page_holds_begins_on_the_page_it_comes_to() -> None:
    """So many cuts that board and title fill more than a page: else the first page would hold no board."""
    parts = "Part | Qty | Species | Thickness | Width | Length\n" + "\n".join(
        f"P{n} | 1 | White oak | 3/4 | 3 | {8 + n / 4}" for n in range(40)
    )
    tables = {
        "Parts": parts,
        "Boards": "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 12 | 220",
    }
    page = there(board_layout(answer(take_in(pages(tables)).job, 0.05), ""))
    [picture] = page.pictures
    assert sum(cell.value == "☐" for cell in page.cells.values()) > 60
    assert page.print.breaks[0] >= picture.row + 3


def test_the_rows_to_note_boards_on_are_not_parted() -> None:
    parts = (
        "Part | Qty | Species | Thickness | Width | Length\n"
        "Long | 9 | White oak | 1/4 | 7 | 97\nPlank | 9 | White oak | 1/2 | 7 | 97"
    )
    results = answer(take_in(pages({"Parts": parts})).job)
    page = to_buy_page(results, results.job.sheet, None, (), "")
    [title] = [row for (row, _), cell in page.cells.items() if cell.value == "Bought"]
    assert page.print.breaks == (title - 1,)


def test_the_office_program_ends_pages_where_we_say(
    example: tuple[Answers, str], office: Callable[[Path, str, Path], Path], tmp_path: Path
) -> None:
    """As many pages as breaks make: none of ours comes too late, or a page of one line would follow it."""
    results, ending = example
    for page in tabs(results):
        path = tmp_path / f"{page.key}{ending}"
        path.write_bytes(by_ending(ending).render([replace(page, pictures=())]))
        printed = office(path, "pdf", tmp_path).read_bytes()
        assert len(re.findall(rb"/Type\s*/Page\b", printed)) == len(page.print.breaks) + 1, page.title


@settings(deadline=None, max_examples=150)
@given(
    st.lists(
        st.tuples(st.sets(st.sampled_from("ABC"), max_size=3), st.integers(1, 30), st.integers(0, 30)),
        min_size=1,
        max_size=25,
    )
)
@always([({"A"}, 2, 30), ({"B", "C"}, 1, 2), (set(), 1, 0), (set(), 1, 0), ({"A"}, 1, 25), ({"A"}, 1, 1)])
def test_a_caution_stands_before_its_lines_on_their_page_and_only_once_there(
    steps: list[tuple[set[str], int, int]],
) -> None:
    begins: list[tuple[int, str]] = []

    def draw(earlier: Earlier) -> Draft:
        begins.clear()
        draft = Draft("Sheet", "sheet", (50,), "", earlier=earlier)
        for number, (cautions, lines, before) in enumerate(steps, 1):
            draft.section(f"Step {number}")
            with draft.together(draft.row - 1, 0.35):
                for _ in range(before):  # some cautions stand within a step
                    draft.line("cut")
                for caution in sorted(cautions):
                    draft.caution(caution * 60)
                begins.extend((draft.row, caution * 60) for caution in sorted(cautions))
                for _ in range(lines):
                    draft.line("cut")
        return draft

    page = drawn(draw)
    pages = [0, *page.print.breaks, page.last_row]

    def page_of(row: int) -> int:
        return next(number for number, last in enumerate(pages) if row <= last)

    said: dict[tuple[int, str], list[int]] = {}
    for (row, _), cell in page.cells.items():
        if str(cell.value)[:2] in ("AA", "BB", "CC"):
            said.setdefault((page_of(row), str(cell.value)), []).append(row)
    for row, caution in begins:
        assert any(at < row for at in said[page_of(row), caution])
    assert max(map(len, said.values()), default=1) == 1

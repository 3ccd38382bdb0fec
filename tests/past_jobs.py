"""Three small past jobs, invented: what was cut and how long it took, for looking back."""

from __future__ import annotations

from dataclasses import replace

from sheetkit.form.columns import BOARDS
from sheetkit.page import Cell, Page
from sheetkit.tabs.template import template_pages

Row = dict[str, str]
USUAL = {"prepared_by": "The bench by the window", "hourly_rate": "48", "overhead": "15 %", "profit": "20 %"}
PRICES: list[Row] = [
    {"species": "White oak", "stock": "4/4", "price": "9.50", "waste": "20 %", "grade": "FAS"},
    {"species": "White ash", "stock": "4/4", "price": "5.80", "waste": "20 %", "grade": "FAS"},
]


def _part(part: str, qty: str, species: str, width: str, length: str) -> Row:
    return {
        "part": part,
        "qty": qty,
        "species": species,
        "thickness": "3/4",
        "width": width,
        "length": length,
    }


def _board(board: str, species: str, width: str, length: str) -> Row:
    return {"board": board, "species": species, "stock": "4/4", "width": width, "length": length}


def _labor(mill: str, assemble: str) -> list[Row]:
    return [
        {"operation": "Mill blanks", "counted_by": "blank", "minutes": "6", "actual_hours": mill},
        {"operation": "Assemble", "counted_by": "job", "minutes": "90", "actual_hours": assemble},
    ]


OAK, ASH = "White oak", "White ash"
JOBS: dict[str, tuple[Row, list[Row], list[Row], tuple[str, ...], list[Row]]] = {
    "wall-shelf.xlsx": (
        {"job": "Wall shelf", "date": "2026-03-09"},
        [_part("Shelf", "2", OAK, "5", "30"), _part("Bracket", "4", OAK, "3", "14")],
        [_board("E1", OAK, "6 1/2", "96"), _board("E2", OAK, "5", "60")],
        ("E1",),
        _labor("0.75", "1.5"),
    ),
    "boot-tray.ods": (
        {"job": "Boot tray", "date": "2026-05-18"},
        [
            _part("Side", "2", ASH, "3", "36"),
            _part("End", "2", ASH, "3", "14"),
            _part("Slat", "5", ASH, "2", "34"),
        ],
        [_board("F1", ASH, "7", "84"), _board("F2", ASH, "6", "60")],
        ("F1", "F2"),
        _labor("1.25", "1.75"),
    ),
    "picture-rail.xlsx": (
        {"job": "Picture rail", "date": "2026-08-03"},
        [_part("Rail", "3", OAK, "2 1/2", "60"), _part("Cap", "3", OAK, "1 1/2", "60")],
        [_board("G1", OAK, "7 3/4", "130"), _board("G2", OAK, "6", "70")],
        ("G1",),
        _labor("1", "2.25"),
    ),
}
"""File -> labels, parts, boards, the boards that were cut, labor with the hours that it took."""


def past_job_pages(name: str) -> tuple[Page, ...]:
    """Give the tabs of a past job, the boards that were cut marked as a run marks them."""
    labels, parts, boards, cut, labor = JOBS[name]
    tables = {"Parts": parts, "Boards": boards, "Prices": PRICES, "Labor": labor}
    return tuple(_marked(page, cut) for page in template_pages("in", {**USUAL, **labels}, tables))


def _marked(page: Page, cut: tuple[str, ...]) -> Page:
    if page.title != BOARDS.title:
        return page
    used = len(BOARDS.asked) + [column.name for column in BOARDS.answered].index("used") + 1
    marks = {
        (row, used): Cell("cut")
        for (row, column), cell in page.cells.items()
        if column == 1 and cell.value in cut
    }
    return replace(page, cells={**page.cells, **marks})

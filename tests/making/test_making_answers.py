"""The bench as a whole: the example in both units, answers only under declared headings, messages that read well."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import sheetkit.plan
from sheetkit.form.columns import TABLES
from sheetkit.form.example import example_job
from sheetkit.form.labels import JOB
from sheetkit.intake.workbook import take_in
from sheetkit.page import Cell, Page
from sheetkit.plan import answer
from sheetkit.records.messages import MESSAGES, OF_MAKING
from sheetkit.tabs.beside import answers_beside
from sheetkit.units import Unit

BENCH_TABS = {"Joints", "Spacing", "Shapes", "Loads", "Glue-ups", "Finish"}


def example_pages(unit: Unit) -> list[Page]:
    """Give the example as typed text, each tab with its declared headings."""
    labels, tables = example_job(unit)
    headings = {column.name: column.heading for column in JOB}
    job: dict[tuple[int, int], Cell] = {}
    for row, (name, text) in enumerate(labels.items(), 1):
        job[row, 1], job[row, 2] = Cell(headings[name]), Cell(text)
    pages = [Page("Job", job)]
    for tab in TABLES:
        cells: dict[tuple[int, int], Cell] = {}
        for number, column in enumerate(tab.asked, 1):
            cells[1, number] = Cell(column.heading)
            for row, filled in enumerate(tables.get(tab.title, ()), 2):
                if column.name in filled:
                    cells[row, number] = Cell(filled[column.name])
        pages.append(Page(tab.title, cells))
    return pages


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_example_is_answered_on_every_bench_tab(unit: Unit) -> None:
    intake = take_in(example_pages(unit))
    assert not intake.problems
    answers = answer(intake.job)
    cells = {title: rows for title, rows in answers_beside(answers).items() if title in BENCH_TABS}
    assert set(cells) == BENCH_TABS
    answered = {tab.title: {column.name for column in tab.answered} for tab in TABLES}
    asked = {
        tab.title: rows for tab, rows in ((tab, example_job(unit)[1].get(tab.title, ())) for tab in TABLES)
    }
    for title, rows in cells.items():
        assert len(rows) == len(asked[title])
        for row in rows.values():
            assert set(row) <= answered[title]
    assert not any(problem.weight == "error" for problem in answers.problems)


def test_every_code_that_the_bench_uses_has_its_words_and_every_word_is_used() -> None:
    text = "".join(
        path.read_text(encoding="utf-8") for path in Path(next(iter(sheetkit.plan.__path__))).glob("*.py")
    )
    assert OF_MAKING.keys() <= MESSAGES.keys()
    built = {f"{what}-{how}" for what in ("tenon", "dowel") for how in ("thick", "thin")}
    unused = {code for code in OF_MAKING if f'"{code}"' not in text} - built
    assert unused == set()


@pytest.mark.parametrize("code", sorted(OF_MAKING))
def test_every_message_is_a_sentence_with_a_way_out(code: str) -> None:
    says, instead = OF_MAKING[code].says, OF_MAKING[code].instead
    assert re.search(r"[.:]$|\}\.?$|itself\.$", says), says
    assert instead.endswith((".", "{ways}")), instead


def test_two_errors_on_one_tab_are_both_told_and_the_rest_is_answered() -> None:
    from tests.making.making_jobs import answered

    found = answered({"Shapes": """
        Shape | Kind  | Length | Rise | Small end
        One   | arc   | 76     |      |
        Two   | taper | 29     | 1    | 2
        Three | arc   | 76     | 1/2  |
    """})  # fmt: skip
    assert found.codes == ["shape-needs", "shape-small-end"]
    assert found.column("Shapes", "radius") == [None, None, 1444.25]
    assert all(found.remarks("Shapes"))

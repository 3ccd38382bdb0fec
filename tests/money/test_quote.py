"""The quote: what the client reads, in words that the maker may overwrite, with tax as typed and options in other woods."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from sheetkit import run
from sheetkit.book.formats import by_ending
from sheetkit.form.example import example_job
from sheetkit.form.quote_words import WORDS
from sheetkit.intake.workbook import take_in
from sheetkit.jobs.new import new_file
from sheetkit.page import Cell, Format, Page, Value
from sheetkit.plan import answer
from sheetkit.tabs.quote import quote_page
from sheetkit.tabs.template import template_pages
from sheetkit.units import Unit
from tests.jobs import NOW, pages, read
from tests.there import there

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
PARTS = """
    Part  | Qty | Species   | Thickness | Width | Length
    Leg   | 4   | White oak | 3/4       | 2     | 20
    Apron | 2   | Red oak   | 3/4       | 2     | 20
"""
PRICES = "Species | Stock | Price\nWhite oak | 4/4 | 10\nRed oak | 4/4 | 8\nHard maple | 4/4 | 9"
LABOR = "Operation | Counted by | Minutes each | Rate\nMake | job | 60 | 100"
JOB = {
    "Job": "Bench", "Units": "inch", "Currency": "$", "Prepared by": "Shop by the Creek", "Client": "A. Client", "Outside size": "48 x 18 x 19",
    "Tax": "6.25 %", "Delivery": "60", "Deposit": "50 %", "Ready in weeks": "8", "Alternatives": "Hard maple", "Offer alternatives": "yes",
}  # fmt: skip


def asked(words: str = "", **changes: str | float | date) -> list[Page]:
    """Give a workbook's tabs; a label without a value is left out."""
    job = {**JOB, **{name.replace("_", " "): value for name, value in changes.items()}}
    cells: dict[tuple[int, int], Cell] = {}
    for row, (label, value) in enumerate((each for each in job.items() if each[1] != ""), 1):
        cells[row, 1], cells[row, 2] = Cell(label), Cell(value)
    made = pages({"Parts": PARTS, "Prices": PRICES, "Labor": LABOR, "Quote words": words})
    return [Page("Job", cells), *(page for page in made if page.title != "Job")]


def quoted(words: str = "", **changes: str | float | date) -> Page:
    intake = take_in(asked(words, **changes))
    assert not [found for found in intake.problems if found.weight == "error"], intake.problems
    return quote_page(answer(intake.job))


def lines(page: Page) -> dict[str, list[Value]]:
    """Give what stands beside each word in the first column."""
    found: dict[str, list[Value]] = {}
    for (row, column), cell in sorted(page.cells.items()):
        if column == 1 and isinstance(cell.value, str) and cell.value.strip():
            beside = [page.cells[row, each].value for each in (2, 3, 4) if (row, each) in page.cells]
            found.setdefault(cell.value, [value for value in beside if value not in (None, " ")])
    return found


def test_the_whole_quote_reckoned_by_hand() -> None:
    """Six blanks of 2-1/4 x 21 in are 0.328125 bf each, a fifth of what is bought is waste, an hour is 100 (no source)."""
    said = lines(quoted())
    oak, red = 4 * 21 * 2.25 / 144 / 0.8, 2 * 21 * 2.25 / 144 / 0.8
    price = round(oak * 10 + 1e-9, 2) + round(red * 8 + 1e-9, 2) + 100
    assert price == pytest.approx(16.41 + 6.56 + 100)
    tax = round((price + 60) * 0.0625 + 1e-9, 2)
    total = price + 60 + tax
    assert said["For"] == ["A. Client"]
    assert said["Outside size"] == ["48 x 18 x 19 in"]
    assert said["Wood"][0] == "White oak, with Northern red oak"
    assert said["Ready"] == ["about 8 weeks after the order"]
    assert said["Price"] == [pytest.approx(price)]
    assert said["Delivery"] == [60.0]
    assert said["Tax"] == [6.25, pytest.approx(tax)]
    assert said["Total"] == [pytest.approx(total)]
    assert said["Deposit with the order"] == [50.0, pytest.approx(round(total / 2 + 1e-9, 2))]
    maple = round(oak * 9 + 1e-9, 2) + round(red * 8 + 1e-9, 2) + 100
    maple_tax = round((maple + 60) * 0.0625 + 1e-9, 2)
    assert said["Sugar maple"] == [
        pytest.approx(maple),
        pytest.approx(maple_tax),
        pytest.approx(maple + 60 + maple_tax),
    ]


@pytest.mark.parametrize(
    ("typed", "shown"), [("6.25 %", 6.25), ("7 %", 7.0), ("6.625 %", 6.625), (0.0625, 6.25), (19, 19.0)]
)
def test_tax_is_shown_as_typed(typed: str | float, shown: float) -> None:
    page = quoted(Tax=typed)
    cell = next(cell for cell in page.cells.values() if cell.style.format is Format.AS_PERCENT)
    assert cell.value == shown
    assert "*100,6)" in str(cell.formula)


@pytest.mark.parametrize(
    ("delivery", "beside", "balance"),
    [("60", [60.0], "Balance on delivery"), ("0", ["Delivery is included in the price"], "Balance on delivery"),
     (0.0, ["Delivery is included in the price"], "Balance on delivery"),
     ("Collected", ["Collected from the workshop"], "Balance when it is collected"), ("", None, "Balance on delivery")],
)  # fmt: skip
def test_delivery_is_a_price_included_or_left_to_the_client(
    delivery: str | float, beside: list[Value] | None, balance: str
) -> None:
    said = lines(quoted(Delivery=delivery))
    assert said.get("Delivery") == beside
    assert balance in said


def test_what_is_not_asked_is_not_said() -> None:
    page = quoted(Tax="", Delivery="", Deposit="", Ready_in_weeks="", Offer_alternatives="", Outside_size="")
    said = lines(page)
    assert not {"Tax", "Delivery", "Deposit with the order", "Ready", "Sugar maple", "Outside size"} & set(
        said
    )


def test_one_week_and_a_size_with_its_unit_are_said_as_they_are() -> None:
    said = lines(quoted(Ready_in_weeks="1", Outside_size="about 4 ft"))
    assert said["Ready"] == ["about 1 week after the order"]
    assert said["Outside size"] == ["about 4 ft"]


def test_delivery_in_words_that_are_no_price_is_a_problem() -> None:
    problems = take_in(asked(Delivery="by van")).problems
    assert "not-a-number" in [found.code for found in problems]


def german() -> str:
    """Give every word overwritten."""
    return "Words of the quote | Yours\n" + "\n".join(
        f"{text} | \u00dc {' '.join(word for word in text.split() if '{' in word)}".replace(",", "")
        if "," not in text
        else f"{text} | \u00dc {' '.join(word.strip(',') for word in text.split() if '{' in word)}"
        for text in dict.fromkeys(WORDS.values())
    )


@pytest.mark.parametrize("delivery", ["60", "0", "collected"])
def test_every_word_can_be_overwritten_in_any_language(delivery: str) -> None:
    page = quoted(german(), Delivery=delivery)
    names = {"Shop by the Creek", "A. Client", "Bench", "48 x 18 x 19 in", "Sugar maple", " "}
    left = {
        cell.value for cell in page.cells.values() if isinstance(cell.value, str) and not cell.value.startswith("Ü")
    }  # fmt: skip
    assert left <= names
    assert "Ü White oak Northern red oak" in [cell.value for cell in page.cells.values()]
    plain = quoted("Words of the quote | Yours\nTotal | Gesamt", Delivery=delivery)
    assert {"Gesamt", "Price"} <= set(lines(plain))


def test_coats_on_other_parts_are_not_added_up() -> None:
    """The leg gets two coats and one more, the apron two in a row of its own: three are the most."""
    rows = (
        "Step | Product | Coats | Parts\nFirst | hardwax oil | 2 | Leg\n"
        "Apron | hardwax oil | 2 | Apron\nLast | hardwax oil | 1 | Leg\nWax | shellac | 1 | all"
    )
    made = [*asked("Words of the quote | Yours"), pages({"Finish": rows})[-1]]
    found = lines(quote_page(answer(take_in(made).job)))
    at = list(found).index("Finish")
    assert found["Finish"] == ["Hardwax oil, 3 coats"], list(found)[at:]


def test_the_client_signs_on_one_page() -> None:
    """However long the quote, no page ends between what is agreed and the last line to sign on."""
    parted = []
    for more in range(30):
        page = quoted("Words of the quote | Yours", Piece="Bench" + " of so many words, and more" * 3 * more)
        begin = next(row for (row, _), cell in page.cells.items() if cell.value == "Agreed as written above:")
        assert not set(page.print.breaks) & set(range(begin, page.last_row)), more
        parted += [row for row in page.print.breaks if begin - 2 <= row < begin]
    assert parted


def test_woods_and_products_are_called_as_the_client_does() -> None:
    words = "Words of the quote | Yours\nRed oak | Roteiche\nHard maple | Ahorn\nhardwax oil | Hartwachsöl"
    page = quoted(words)
    assert lines(page)["Wood"][0] == "White oak, with Roteiche"
    assert "Ahorn" in lines(page)
    made = asked(words)
    finish = pages({"Finish": "Step | Product | Coats | Parts\nOil | hardwax oil | 2 | all"})[-1]
    intake = take_in([*made, finish])
    assert not [found for found in intake.problems if found.weight == "error"], intake.problems
    assert lines(quote_page(answer(intake.job)))["Finish"] == ["Hartwachsöl, 2 coats"]


def test_words_that_are_not_the_quotes_and_braces_that_are_not_filled_in_are_pointed_out() -> None:
    words = "Words of the quote | Yours\nGrand total | Gesamt\nReady | Bereit\nabout {weeks} weeks after the order | in {Wochen} Wochen"
    found = take_in(asked(words)).problems
    assert [(each.code, each.place) for each in found] == [
        ("quote-word-unknown", "Quote words!A2"),
        ("quote-word-braces", "Quote words!B4"),
    ]
    assert "heading-missing" in [each.code for each in take_in(asked("Total | Gesamt")).problems]


@FORMATS
def test_options_and_all_amounts_follow_a_changed_price_in_libreoffice(
    tmp_path: Path, ending: str, office: Callable[[Path, str, Path], Path]
) -> None:
    from tests.book.office_desk import at_the_desk
    from tests.book.office_desk import quoted as as_basic

    path = tmp_path / f"job{ending}"
    path.write_bytes(by_ending(ending).render(asked(Tax=0.0625, Delivery=60.0, Deposit=0.5)))
    assert run(path, now=NOW).ok
    quote = there(read(path).page("Quote"))
    filters = {".xlsx": "Calc MS Excel 2007 XML", ".ods": "calc8"}
    copy = tmp_path / f"copy{ending}"
    job = there(read(path).page("Job"))
    row = next(row for (row, column), cell in job.cells.items() if cell.value == "Delivery" and column == 1)
    at_the_desk(tmp_path, "\n".join([
        f"OpenFile {as_basic(path.as_uri())}", 'At("Prices", "C4").Value = 19', f'At("Job", "B{row}").Value = 75.5',
        f"SaveCopy {as_basic(copy.as_uri())}, {as_basic(filters[ending])}", "CloseFile",
    ]))  # fmt: skip
    live = lines(there(read(copy).page("Quote")))
    assert run(copy, now=NOW).ok
    fresh = lines(there(read(copy).page("Quote")))
    assert live["Sugar maple"] != lines(quote)["Sugar maple"]
    for name in (
        "Price",
        "Delivery",
        "Tax",
        "Total",
        "Deposit with the order",
        "Balance on delivery",
        "Sugar maple",
    ):
        assert live[name] == pytest.approx(fresh[name]), name


@FORMATS
def test_dates_stand_in_the_order_of_the_readers_country(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"job{ending}"
    path.write_bytes(by_ending(ending).render(asked(Date=date(2026, 11, 2))))
    run(path, now=NOW)
    quote = there(read(path).page("Quote"))
    dates = [cell for cell in quote.cells.values() if isinstance(cell.value, date)]
    assert [cell.value for cell in dates] == [date(2026, 11, 2), date(2026, 12, 2)]
    assert {cell.style.format for cell in dates} == {Format.READERS_DATE}
    if ending == ".xlsx":
        book = openpyxl.load_workbook(path)["Quote"]
        # number 14 of ECMA-376 part 1, 18.8.30: the date of the program's own country
        assert book["B5"]._style.numFmtId == 14


@FORMATS
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_examples_quote_words_tab_changes_nothing_until_it_is_filled_in(
    tmp_path: Path, ending: str, unit: str
) -> None:
    path = tmp_path / f"job{ending}"
    kind: Unit = "mm" if unit == "mm" else "in"
    path.write_bytes(new_file(by_ending(ending), template_pages(kind, *example_job(kind))))
    said = there(read(path).page("Quote words"))
    assert {cell.value for (_, column), cell in said.cells.items() if column == 1} >= set(WORDS.values())
    intake = take_in(read(path).pages)
    assert not intake.job.sheet.words
    assert not [found for found in intake.problems if found.code.startswith("quote")]


def test_an_amount_of_delivery_is_exact_to_the_cent() -> None:
    assert take_in(asked(Delivery="60.10")).job.sheet.delivery == Decimal("60.10")


def test_who_signs_stands_on_one_page_however_long_the_quote_is() -> None:
    woods = (
        "Hard maple",
        "White ash",
        "Black cherry",
        "Black walnut",
        "Red alder",
        "Sassafras",
        "Black ash",
        "Blue ash",
        "Oregon ash",
        "Green ash",
    )
    [prices] = pages({"Job": "", "Prices": "\n".join([PRICES, *(f"{wood} | 4/4 | 9" for wood in woods[1:])])})
    parted = set()
    for many in range(1, len(woods) + 1):
        tabs = asked(Alternatives=", ".join(woods[:many]))
        page = quote_page(answer(take_in([tab for tab in tabs if tab.title != "Prices"] + [prices]).job))
        [agreed] = [row for (row, _), cell in page.cells.items() if cell.value == WORDS["agreed"]]
        assert not [row for row in page.print.breaks if agreed <= row < page.last_row - 1]
        parted |= {*page.print.breaks}
    assert parted

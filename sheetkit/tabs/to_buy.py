"""The tab To buy: what is missing, to take to the yard, and below it room to note what was bought."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sheetkit.form.columns import BOUGHT
from sheetkit.intake.bought import Noted
from sheetkit.page import Address, Cell, CellError, Format, Page, PrintSetup, Style, Value
from sheetkit.records.answers import Answers
from sheetkit.records.buying import BoardToBuy, Purchase
from sheetkit.records.job import Board, JobSheet
from sheetkit.tabs.draft import (
    AFTER_NUMBER,
    BLANK_LINE,
    CAUTION,
    FACT,
    INK,
    STRONG,
    TEXT,
    TICK,
    TOTAL,
    Draft,
    Measure,
    footer,
    number,
    titled,
)
from sheetkit.tabs.live_money import live_bought

BOX = "☐"
ROOM = 5
"""Rows to note boards in, at least; some stay free however many are to be bought or noted."""
FREE = 3
WIDTHS = (7, 24, 10, 13, 13, 13, 45, 8)
BESIDE_BOX = Style(bold=True, color=INK, middle=True, align="inset")
NOTED = Style(color=INK, wrap=True, middle=True, line="under", align="inset")


def to_buy_page(
    answers: Answers | None, sheet: JobSheet, noted: Noted | None, boards: Sequence[Board], stamp: str
) -> Page:
    """Return the tab; without answers what was noted stands alone."""
    measure = Measure.of(sheet)
    setup = PrintSetup(paper=measure.paper, landscape=True, repeat_rows=(1, 1), footer=footer(sheet))
    draft = Draft("To buy", "buy", WIDTHS, stamp, titled("To buy", sheet), setup)
    if answers is None:
        draft.line("Not calculated", style=STRONG)
        draft.across("The tab Messages says what to put right. Then run sheetkit again.", CAUTION)
    elif not answers.purchases:
        draft.across("Nothing is missing: the boards at hand hold the job.", STRONG)
    else:
        _in_all(draft, answers, measure)
        for each in answers.purchases:
            _purchase(draft, each, measure)
    wanted = sum(line.count for each in answers.purchases for line in each.boards) if answers else 0
    with draft.together(draft.row + 1):
        _bought(draft, noted, boards, wanted, measure)
    return draft.page()


BY_VOLUME = "as many as hold the volume above"
"""Where the number of boards goes by their usual size."""


def _in_all(draft: Draft, answers: Answers, measure: Measure) -> None:
    """Write what is bought of each species and stock, and the sum of it."""
    lines = {(line.species.id, line.stock.nominal): line for line in answers.lumber}
    price, cost = measure.priced("Price"), measure.priced("Cost")
    draft.headings("", "Wood", "Stock", f"Buy ({measure.volume_word})", price, cost, "")
    top = draft.row
    volume, money = number(FACT, measure.total_format), number(FACT, Format.MONEY)
    for each in answers.purchases:
        line, row = lines[each.species.id, each.stock.nominal], draft.row
        bought = live_bought(answers.job, line, measure.volume(line.net)) if each.by_waste else None
        draft.put(1, BOX, TICK)
        draft.put(2, each.species.name, AFTER_NUMBER)
        draft.put(3, each.stock.name, number(FACT, Format.TEXT))
        draft.put(4, measure.volume(each.volume), volume, formula=bought)
        if each.price is not None:
            draft.put(
                5, float(each.price), money, formula=answers.job.live("Prices", line.price_row, "price")
            )
        if each.cost is None:
            draft.put(6, "unpriced", number(FACT, Format.TEXT))
        else:
            draft.put(6, float(each.cost), money, formula=f"ROUND(D{row}*E{row},2)" if bought else None)
        if each.by_waste:
            draft.put(7, "waste allowed for", AFTER_NUMBER)
        draft.row += 1
    for column in range(1, draft.last + 1):
        draft.put(column, None, TOTAL)
    draft.put(2, "All", TOTAL)
    sums = (
        (4, "D", measure.volume(sum(each.volume for each in answers.purchases)), measure.total_format),
        (6, "F", float(sum(each.cost for each in answers.purchases if each.cost is not None)), Format.MONEY),
    )
    for column, letter, value, format in sums:
        draft.put(column, value, number(TOTAL, format), formula=f"SUM({letter}{top}:{letter}{draft.row - 1})")
    draft.row += 1


def _purchase(draft: Draft, made: Purchase, measure: Measure) -> None:
    """Write the boards to look for, what to look for in them, and what else would do."""
    draft.section(f"{made.species.name}, {made.stock.name}")
    least = f"At least wide ({measure.unit})", f"At least long ({measure.unit})"
    draft.headings("", "Boards", "", *least, measure.priced("Price"), "For")
    size = number(FACT, measure.size_format)
    for each in made.boards:
        draft.put(1, BOX, TICK)
        draft.put(2, _boards(each), BESIDE_BOX)
        draft.put(4, measure.size(each.width), size)
        draft.put(5, measure.size(each.length), size)
        if each.price is not None:
            draft.put(6, float(each.price), number(FACT, Format.MONEY))
        draft.put(
            7,
            "; ".join(
                filter(
                    None,
                    (
                        ", ".join(each.of),
                        each.how,
                        _in_other_ways(each, measure),
                        BY_VOLUME if each.about else "",
                    ),
                )
            ),
            AFTER_NUMBER,
        )
        draft.fit(7)
        draft.row += 1
    for text in made.wishes:
        draft.across(f"Look for {text}.", TEXT, 2)
    for text in made.instead:
        draft.across(f"Or else: {text}", TEXT, 2)


def _boards(each: BoardToBuy) -> str:
    if each.board:
        return each.board
    boards = "1 board" if each.count == 1 else f"{each.count} boards"
    return f"about {boards}" if each.about else boards


def _in_other_ways(each: BoardToBuy, measure: Measure) -> str:
    ways = []
    if each.in_one:
        ways.append(f"one board {measure.words(each.in_one)} long would do")
    if each.half:
        ways.append(f"or two for each, {measure.words(each.half)} wide, glued edge to edge")
    return "; ".join(ways)


def _bought(
    draft: Draft, noted: Noted | None, boards: Sequence[Board], wanted: int, measure: Measure
) -> None:
    """Write the table in which boards are noted, with what stands in it already."""
    draft.section("Bought")
    title = draft.row - 1
    draft.across(
        "Note each board that you bought in a row of its own. The next run reads it as a board of the "
        "rack, and leaves it here; move it to Boards if you like.",
        CAUTION,
    )
    draft.headings(*(column.heading for column in BOUGHT.asked))
    heading = draft.row - 1
    cells = _at_home(noted)
    marks = {board.row - noted.heading: board.board for board in boards} if noted else {}
    last = max((row for row, _ in cells), default=0)
    rows = max(ROOM, wanted + FREE, last + FREE)
    styles = {
        place: number(BLANK_LINE, _format(column.holds, measure))
        if column.holds in ("length", "money")
        else NOTED
        for place, column in enumerate(BOUGHT.asked, 1)
    }
    for row in range(1, rows + 1):
        for column, style in styles.items():
            draft.cells[heading + row, column] = Cell(None, style=style)
        draft.heights[heading + row] = 17.0
        if row in marks:
            draft.cells[heading + row, 1] = Cell(marks[row], style=NOTED)
    for (row, column), cell in cells.items():
        style = styles.get(column, TEXT)
        draft.cells[heading + row, column] = Cell(_value(cell), style=cell.style if _is_date(cell) else style)
    draft.row = heading + rows + 1
    draft.keep(title, heading + rows - 1)


def _format(holds: str, measure: Measure) -> Format:
    """Return the format under which a typed size or amount stays what it is."""
    return Format.MONEY if holds == "money" else measure.either(Format.FRACTION, Format.PLAIN)


def _at_home(noted: Noted | None) -> Mapping[Address, Cell]:
    """Return what was noted in the columns of a new table; what is in none of them goes to its right."""
    if noted is None:
        return {}
    home = {
        number: place
        for place, each in enumerate(BOUGHT.asked, 1)
        if (number := noted.columns.get(each.name))
    }
    last = len(BOUGHT.asked)
    strange = sorted({column for _, column in noted.cells} - set(home))
    beyond = {column for column in strange if column > last}
    for column in strange:
        place = column
        while place <= last or (place in beyond and place != column):
            place = max(place, last) + 1
        beyond.add(place)
        home[column] = place
    return {(row, home[column]): cell for (row, column), cell in noted.cells.items()}


def _value(cell: Cell) -> Value:
    return cell.value.text if isinstance(cell.value, CellError) else cell.value


def _is_date(cell: Cell) -> bool:
    return cell.style.format is Format.DATE

"""The tab Lumber: what to buy, live on the maker's own prices and waste."""

from __future__ import annotations

from sheetkit.page import Format, Page, PrintSetup, column_number
from sheetkit.records.answers import Answers
from sheetkit.records.wood import LumberLine
from sheetkit.tabs.draft import AFTER_NUMBER, CAUTION, FACT, TOTAL, Draft, Measure, footer, number, titled
from sheetkit.tabs.live_money import UNPRICED, live_price, live_waste, own_price, volume_format


def lumber_page(answers: Answers, stamp: str) -> Page:
    """Return the tab Lumber."""
    sheet, measure = answers.job.sheet, Measure.of(answers.job.sheet)
    word = measure.volume_word
    draft = Draft(
        "Lumber", "lumber", (22, 9, 8, 12, 9, 12, 11, 12, 12, 13, 22), stamp, titled("Lumber", sheet)
    )
    wood = f"In the blanks ({word})", "Waste", f"Buy ({word})"
    least = f"Least width ({measure.unit})", f"Least length ({measure.unit})"
    money = measure.priced("Price"), measure.priced("Cost")
    draft.headings("Species", "Stock", "Blanks", *wood, *money, *least, "Boards")
    top = draft.row
    bought = volume_format(answers.lumber, measure)
    for line in answers.lumber:
        _line(draft, line, answers, measure, bought)
    if answers.lumber:
        end = draft.row - 1
        for each in range(1, draft.last + 1):
            draft.put(each, None, TOTAL)
        draft.put(1, "All", TOTAL)
        for column, value, format in (
            ("C", sum(line.blanks for line in answers.lumber), Format.WHOLE),
            ("D", measure.volume(sum(line.net for line in answers.lumber)), measure.total_format),
            ("F", measure.volume(sum(line.buy for line in answers.lumber)), bought),
            ("H", float(sum(line.cost for line in answers.lumber if line.cost is not None)), Format.MONEY),
        ):
            draft.put(
                column_number(column),
                value,
                number(TOTAL, format),
                formula=f"SUM({column}{top}:{column}{end})",
            )
        draft.row += 2
    draft.across(
        "Buy is what is in the blanks divided by what waste leaves: 40 at 20 % waste is 50. Least width "
        "and length are of the boards that the widest, longest and matched blanks need; the length has "
        "both ends to trim.",
        CAUTION,
    )
    if any(line.boards for line in answers.lumber):
        draft.across(
            "A line with boards counts those boards whole: its waste includes the left-overs that go back.",
            CAUTION,
        )
    draft.across("Change a price or a waste on Prices and the costs here follow at once.", CAUTION)
    _look_for(draft, answers, measure)
    _how_sure(draft, answers, measure)
    setup = PrintSetup(
        paper=measure.paper, landscape=True, repeat_rows=(top - 1, top - 1), footer=footer(sheet)
    )
    return draft.page(setup, freeze=(top - 1, 1))


def _line(draft: Draft, line: LumberLine, answers: Answers, measure: Measure, bought: Format) -> None:
    job, row = answers.job, draft.row
    size, volume = number(FACT, measure.size_format), number(FACT, measure.total_format)
    money, share = number(FACT, Format.MONEY), number(FACT, Format.PERCENT)
    draft.put(1, line.species.name)
    draft.put(2, line.stock.name, number(FACT, Format.TEXT))
    draft.put(3, line.blanks, number(FACT, Format.WHOLE))
    draft.put(4, measure.volume(line.net), volume)
    if line.boards:
        draft.put(5, line.waste, share, formula=f"1-D{row}/F{row}" if line.buy > line.net else None)
        draft.put(6, measure.volume(line.buy), number(FACT, bought))
        draft.put(11, _boards(line), AFTER_NUMBER)
        draft.fit(11)
    else:
        draft.put(5, line.waste, share, formula=live_waste(job, line))
        draft.put(6, measure.volume(line.buy), number(FACT, bought), formula=f"D{row}/(1-E{row})")
    price = live_price(job, line) if line.price_row else None
    draft.put(7, UNPRICED if line.price is None else float(line.price), money, formula=price)
    cost = f'IF(ISNUMBER(G{row}),ROUND(F{row}*G{row},2),"{UNPRICED}")'
    draft.put(
        8,
        UNPRICED if line.cost is None else float(line.cost),
        money,
        formula=None if own_price(job, line) else cost,
    )
    draft.put(9, measure.size(line.least_width), size)
    draft.put(10, measure.size(line.least_length), size)
    draft.row += 1


def _boards(line: LumberLine) -> str:
    """Name the boards that are cut, those to buy at the yard apart."""
    at_hand = [board for board in line.boards if board not in line.bought]
    said = [f"boards {', '.join(at_hand)}"] if at_hand else []
    if line.bought:
        said.append(f"buy {', '.join(line.bought)} at the yard")
    return "; ".join(said)


def _look_for(draft: Draft, answers: Answers, measure: Measure) -> None:
    """List the boards that not any pile has."""
    lines = [line for line in answers.lumber if line.look_for]
    if not lines:
        return
    draft.section("Boards to look for")
    for line in lines:
        for wanted in line.look_for:
            one = f"; one board {measure.words(wanted.in_one)} long would do" if wanted.in_one else ""
            how = f" ({wanted.how})" if wanted.how else ""
            size = "such as" if wanted.how == "same board" else "at least"
            draft.across(
                f"{line.species.name}, {line.stock.name}: {wanted.count} "
                f"{'board' if wanted.count == 1 else 'boards'} {size} {measure.words(wanted.width)} wide "
                f"and {measure.words(wanted.length)} long, for {'; '.join(wanted.of)}{how}{one}."
            )


def _how_sure(draft: Draft, answers: Answers, measure: Measure) -> None:
    """Say for each line without boards what simulated piles had to have."""
    lines = [line for line in answers.lumber if line.half_needed is not None and line.most_needed is not None]
    if not lines:
        return
    draft.section("If you take boards as they come")
    boards = measure.either(
        "4-1/2 to 11-1/2 in wide and 6 to 12 ft long", "115 to 290 mm wide and 1.8 to 3.7 m long"
    )
    digits = 3 if measure.in_m3 else 1
    for line in lines:
        half, most = (
            f"{measure.volume(need or 0.0):.{digits}f}" for need in (line.half_needed, line.most_needed)
        )
        draft.across(
            f"{line.species.name}, {line.stock.name}: {half} {measure.volume_word} were enough for half of "
            f"the piles tried, {most} for nine of ten."
        )
    draft.across(
        f"Piles made up by chance: clear boards {boards}, taken as they come and counted whole. Who picks "
        "boards to suit needs less; knots, sapwood and splits need more. List the boards on the tab "
        "Boards to know.",
        CAUTION,
    )

"""The tab Estimate, for the shop alone: from the boards to the balance, live on the maker's own cells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from sheetkit.page import Format, Page, PrintSetup, Style, cell_name, reference
from sheetkit.records.answers import Answers
from sheetkit.records.costs import PRICED_BY, Alternative, Estimate
from sheetkit.records.job import Job
from sheetkit.tables import Species
from sheetkit.tabs.draft import CAUTION, FACT, STRONG, TEXT, TOTAL, Draft, Measure, footer, number, titled
from sheetkit.tabs.live_money import (
    ESTIMATE,
    FIRST_LUMBER_ROW,
    LUMBER,
    NOT_COUNTED,
    SUM_COLUMN,
    UNPRICED,
    amount_format,
    live_bought,
    live_delivery,
    live_hourly,
    live_lumber_cost,
    live_markup,
    live_number,
    live_price,
    live_share,
    live_supply_price,
    offered,
    option_row,
    sum_row,
    volume_format,
)

MONEY, SHARE = number(FACT, Format.MONEY), number(FACT, Format.PERCENT)
MONEY_SUM, MONEY_TOTAL = number(STRONG, Format.MONEY), number(TOTAL, Format.MONEY)
WORD = replace(FACT, align="right")
COST = "G"
"""Column of the costs."""


def estimate_page(answers: Answers, stamp: str) -> Page:
    """Return the tab Estimate."""
    sheet, measure = answers.job.sheet, Measure.of(answers.job.sheet)
    estimate, alternatives = answers.costs.estimate, answers.costs.alternatives
    draft = Draft(ESTIMATE, "estimate", (30, 15, 11, 11, 10, 12, 14), stamp, titled(ESTIMATE, sheet))
    options = offered(answers)
    draft.row = option_row(len(options)) + bool(estimate.unpriced)
    sums = {
        "lumber": _lumber(draft, estimate, measure),
        "extras": _extras(draft, answers, estimate),
        "supplies": _supplies(draft, answers, estimate),
        "labor": _labor(draft, answers, estimate),
    }
    at = _way_to_the_price(draft, answers, estimate, sums)
    prices = _other_species(draft, answers, alternatives, measure, at) if alternatives else {}
    end = draft.row
    _in_short(draft, answers, estimate, at)
    for number_, option in enumerate(options):
        draft.row = option_row(number_)
        draft.put(1, f"Price before tax in {option.species.name}")
        draft.put(SUM_COLUMN, float(option.price or 0), MONEY, formula=prices[option.species])
    if estimate.unpriced:
        draft.row = option_row(len(options))
        draft.across(f"Without a price, and left out of every sum: {', '.join(estimate.unpriced)}.", STRONG)
    draft.row = end + 1
    if not sheet.currency:
        draft.across("No currency is named: write its sign or letters in Currency on Job.", STRONG)
    draft.across(
        "For the shop alone: the client's copy includes the tab Quote and nothing from here.", CAUTION
    )
    draft.keep(end - 1, draft.row - 2)
    return draft.page(PrintSetup(paper=measure.paper, footer=footer(sheet)))


def _money(amount: Decimal | None) -> float | str:
    return UNPRICED if amount is None else float(amount)


def _cost(draft: Draft, amount: Decimal | None, formula: str | None) -> None:
    draft.put(SUM_COLUMN, _money(amount), MONEY if amount is not None else WORD, formula=formula)


def _sum(draft: Draft, label: str, amount: Decimal, top: int) -> str:
    """Write the sum of a section; give its cell."""
    for column in range(1, draft.last + 1):
        draft.put(column, None, TOTAL)
    draft.put(1, label, TOTAL)
    draft.put(SUM_COLUMN, float(amount), MONEY_TOTAL, formula=f"SUM({COST}{top}:{COST}{draft.row - 1})")
    cell = f"{COST}{draft.row}"
    draft.row += 1
    return cell


def _lumber(draft: Draft, estimate: Estimate, measure: Measure) -> str:
    if not estimate.lumber_lines:
        return ""
    draft.section("Lumber, as it is bought")
    price, cost = measure.priced("Price"), measure.priced("Cost")
    draft.headings("Species", "Stock", f"Buy ({measure.volume_word})", "", "", price, cost)
    top, bought = draft.row, volume_format(estimate.lumber_lines, measure)
    for row, line in enumerate(estimate.lumber_lines, FIRST_LUMBER_ROW):
        draft.put(1, line.species.name)
        draft.put(2, line.stock.name, number(FACT, Format.TEXT))
        draft.put(3, measure.volume(line.buy), number(FACT, bought), formula=reference(LUMBER, row, 6))
        draft.put(6, _money(line.price), MONEY, formula=reference(LUMBER, row, 7))
        _cost(draft, line.cost, reference(LUMBER, row, 8))
        draft.row += 1
    return _sum(draft, "Lumber", estimate.lumber, top)


def _extras(draft: Draft, answers: Answers, estimate: Estimate) -> str:
    if not estimate.extras_answers:
        return ""
    job, measure = answers.job, Measure.of(answers.job.sheet)
    draft.section("Hardware and other bought things")
    draft.headings("Item", "", "Qty", "", "", measure.priced("Unit price"), measure.priced("Cost"))
    top = draft.row
    for found in estimate.extras_answers:
        extra, row = found.extra, draft.row
        draft.put(1, extra.item, TEXT)
        draft.fit(1)
        qty = live_number(job, "Extras", extra.row, "qty", None if extra.qty == 1 else extra.qty, "1")
        draft.put(3, extra.qty, number(FACT, Format.PLAIN), formula=qty)
        price = live_number(job, "Extras", extra.row, "unit_price", extra.unit_price, f'"{UNPRICED}"')
        draft.put(6, _money(extra.unit_price), MONEY, formula=price)
        _cost(draft, found.cost, f'IF(ISNUMBER(F{row}),ROUND(C{row}*F{row},2),"{UNPRICED}")')
        draft.row += 1
    return _sum(draft, "Hardware and other bought things", estimate.extras, top)


def _labor(draft: Draft, answers: Answers, estimate: Estimate) -> str:
    if not estimate.operations:
        return ""
    job, measure = answers.job, Measure.of(answers.job.sheet)
    draft.section("Labor")
    money = measure.priced("Rate"), measure.priced("Cost")
    draft.headings("Operation", "Counted by", "Count", "Minutes each", "Hours", *money)
    top = draft.row
    hourly = live_hourly(job)
    for found in estimate.operations:
        operation, row = found.operation, draft.row
        draft.put(1, operation.operation, TEXT)
        draft.fit(1)
        draft.put(2, operation.counted_by)
        whole = operation.counted_by != "surface"
        draft.put(3, found.count, number(FACT, Format.WHOLE if whole else Format.HUNDREDTH))
        minutes = job.live("Labor", operation.row, "minutes")
        draft.put(4, operation.minutes, number(FACT, Format.PLAIN), formula=minutes)
        draft.put(5, found.hours, number(FACT, Format.HUNDREDTH), formula=f"C{row}*D{row}/60")
        rate = live_number(job, "Labor", operation.row, "rate", operation.rate, hourly)
        draft.put(6, _money(found.rate), MONEY, formula=rate)
        _cost(draft, found.cost, f'IF(ISNUMBER(F{row}),ROUND(C{row}*D{row}*F{row}/60,2),"{UNPRICED}")')
        draft.row += 1
    cell = _sum(draft, "Labor", estimate.labor, top)
    row = draft.row - 1
    draft.cells[row, 5] = draft.cells[row, 5]._replace(
        value=estimate.hours, formula=f"SUM(E{top}:E{row - 1})", style=number(TOTAL, Format.HUNDREDTH)
    )
    return cell


def _supplies(draft: Draft, answers: Answers, estimate: Estimate) -> str:
    if not estimate.supplies:
        return ""
    measure = Measure.of(answers.job.sheet)
    draft.section("Glue and finish that the job takes")
    by = measure.either("a quart", "a liter")
    draft.headings("Kind", "", "Amount", "", "", measure.priced(f"Price {by}"), measure.priced("Cost"))
    top = draft.row
    for supply in estimate.supplies:
        row, per = draft.row, PRICED_BY[supply.unit]
        cost = supply.cost
        priced = [] if cost is None or supply.price is None else [(supply.amount, supply.price / per, cost)]
        draft.put(1, supply.name)
        draft.put(3, supply.amount, number(FACT, amount_format(priced, 2)))
        draft.put(4, supply.unit)
        if supply.on_extras:
            draft.put(SUM_COLUMN, "under Extras", WORD)
        else:
            price = live_supply_price(answers.job, supply)
            draft.put(6, NOT_COUNTED if supply.price is None else float(supply.price), MONEY, formula=price)
            draft.put(
                SUM_COLUMN,
                NOT_COUNTED if cost is None else float(cost),
                MONEY,
                formula=f'IF(ISNUMBER(F{row}),ROUND(C{row}*F{row}/{per},2),"{NOT_COUNTED}")',
            )
        draft.row += 1
    cell = _sum(draft, "Glue and finish", estimate.glue_and_finish, top)
    if any(supply.cost is None and not supply.on_extras for supply in estimate.supplies):
        draft.across(
            "What is not counted has no price: write it in Price on Glue-ups or Finish, or give it a "
            "line on Extras with the kind's name in Item.",
            CAUTION,
        )
    return cell


def _way_to_the_price(
    draft: Draft, answers: Answers, estimate: Estimate, sums: Mapping[str, str]
) -> dict[str, str]:
    """Write the lines from the direct costs to the balance; give the cell of each."""
    job, sheet = answers.job, answers.job.sheet
    draft.section("From cost to price")
    top = draft.row
    at = {"rest": _added(sums["extras"], sums["supplies"], sums["labor"])}

    def line(name: str, label: str, amount: Decimal, formula: str, strong: bool = False) -> None:
        draft.put(1, label, STRONG if strong else FACT)
        draft.put(SUM_COLUMN, float(amount), MONEY_SUM if strong else MONEY, formula=formula)
        at[name] = f"{COST}{draft.row}"
        draft.row += 1

    def share(name: str, value: float, formula: str | None, words: str, alone: bool = False) -> str:
        draft.put(1 if alone else 5, words, FACT if alone else WORD)
        draft.put(6, value, SHARE, formula=formula)
        at[name] = f"F{draft.row}"
        return f"F{draft.row}"

    line("direct", "Lumber, bought things, supplies and labor", estimate.direct, _added(*sums.values()))
    found = share("overhead", sheet.overhead, live_share(job, "overhead", sheet.overhead), "of that")
    line("over", "Overhead", estimate.overhead, f"ROUND({at['direct']}*{found},2)")
    line("cost", "Cost", estimate.cost, f"{at['direct']}+{at['over']}", True)
    entered = share(
        "entered",
        sheet.profit,
        live_share(job, "profit", sheet.profit),
        "Profit as entered on Job",
        True,
    )
    draft.row += 1
    found = share("markup", float(estimate.markup), live_markup(job, entered), "of the cost (markup)")
    line("profit", "Profit", estimate.profit, f"ROUND({at['cost']}*{found},2)")
    share(
        "margin",
        float(estimate.margin),
        f"{at['markup']}/(1+{at['markup']})",
        "Profit as a share of the price (margin)",
        True,
    )
    draft.row += 1
    line("price", "Price", estimate.price, f"{at['cost']}+{at['profit']}", True)
    line("delivery", "Delivery", estimate.delivery, f"ROUND({live_delivery(job)},2)")
    found = share("tax_share", sheet.tax, live_share(job, "tax", sheet.tax), "of both")
    line("tax", "Tax", estimate.tax, f"ROUND(({at['price']}+{at['delivery']})*{found},2)")
    line("total", "Total", estimate.total, f"{at['price']}+{at['delivery']}+{at['tax']}", True)
    asked = live_share(job, "deposit", sheet.deposit)
    first = min(sheet.deposit, 1.0)
    found = share("deposit_share", first, None if asked is None else f"MIN(1,{asked})", "of the total")
    line("deposit", "Deposit with the order", estimate.deposit, f"ROUND({at['total']}*{found},2)")
    line("balance", "Balance on delivery", estimate.balance, f"ROUND({at['total']}-{at['deposit']},2)")
    draft.keep(top, draft.row - 2)
    return at


def _added(*cells: str) -> str:
    return "+".join(filter(None, cells)) or "0"


def _in_short(draft: Draft, answers: Answers, estimate: Estimate, at: Mapping[str, str]) -> None:
    """Write the sums at the top, where Quote finds them."""
    sheet = answers.job.sheet
    draft.row = sum_row("price") - 1
    draft.section(Measure.of(sheet).priced("In short"))
    words: dict[str, tuple[str, Decimal | float, Style]] = {
        "price": ("Price before tax", estimate.price, MONEY_SUM),
        "delivery": ("Delivery", estimate.delivery, MONEY),
        "tax": ("Tax", estimate.tax, MONEY),
        "total": ("Total", estimate.total, MONEY_SUM),
        "deposit": ("Deposit with the order", estimate.deposit, MONEY),
        "balance": ("Balance on delivery", estimate.balance, MONEY),
        "tax_share": ("Tax, as a share of price and delivery", sheet.tax, SHARE),
        "deposit_share": ("Deposit, as a share of the total", min(sheet.deposit, 1.0), SHARE),
    }
    for name, (label, value, style) in words.items():
        draft.row = sum_row(name)
        draft.put(1, label, STRONG if style is MONEY_SUM else FACT)
        draft.put(SUM_COLUMN, float(value), style, formula=at[name])


def _other_species(
    draft: Draft,
    answers: Answers,
    alternatives: Sequence[Alternative],
    measure: Measure,
    at: Mapping[str, str],
) -> dict[Species, str]:
    """Write the table of the same job in other species, with its bars; give the cell of each price."""
    prices: dict[Species, str] = {}
    sheet = answers.job.sheet
    own = next(found.species.name for found in alternatives if found.own)
    draft.section(f"The same job with another wood in place of {own}")
    wood = f"Hardness ({measure.name('hardness')})", f"Weight ({measure.name('weight')})"
    buy, money = f"Buy ({measure.volume_word})", map(measure.priced, ("Lumber", "Price before tax"))
    draft.headings("Species", *wood, f"Least in groove ({measure.unit})", buy, *money)
    for found in alternatives:
        draft.put(
            1,
            f"{own} (as asked)" if found.own else f"{found.species.name} for {own}",
            STRONG if found.own else TEXT,
        )
        draft.fit(1)
        hardness = found.species.hardness_lbf
        if hardness is not None:
            draft.put(2, measure.shown(hardness, "hardness"), number(FACT, Format.WHOLE))
        if found.hindrance:
            draft.across(f"cannot be made of it: {found.hindrance}", TEXT, 3)
            continue
        if found.weight is not None:
            draft.put(3, measure.shown(found.weight, "weight"), number(FACT, Format.TENTH))
        if found.bearing is not None:
            draft.put(4, measure.size(found.bearing), number(FACT, measure.fine_format))
        _alternative_money(draft, answers.job, found, measure, at)
        prices[found.species] = f"{COST}{draft.row}"
        draft.row += 1
    lacking = list(dict.fromkeys(name for found in alternatives for name in found.unpriced))
    if lacking:
        draft.across(f"Unpriced until Prices lists them: {', '.join(lacking)}.", STRONG)
    draft.across(
        f"{_reckoned(alternatives)} Labor and bought things as above; wood of other species stays. "
        "Least in groove is that of the panels of that wood. "
        "Hardness is side hardness at 12 % moisture.",
        CAUTION,
    )
    priced = [found for found in alternatives if found.price is not None]
    if len(priced) > 1:
        from sheetkit.tabs.bar_picture import Bar, bar_picture

        bars = [
            Bar(found.species.name, (float(found.price or 0),), (f"{sheet.currency}{found.price:,.2f}",))
            for found in priced
        ]
        said = "; ".join(f"{bar.name} {bar.words[0]}" for bar in bars)
        draft.row += 1
        draft.across("Price before tax, as of the last run", STRONG)
        alt = f"Bars of the price before tax by species: {said}"
        draft.picture(lambda row: bar_picture(bars, ("price",), row, alt))
    return prices


def _reckoned(alternatives: Sequence[Alternative]) -> str:
    """Say how the lumber of each species is counted."""
    by_boards = [found.species.name for found in alternatives if found.by_boards]
    if not by_boards:
        return "All rows are counted alike: lumber by waste."
    return (
        f"Boards are listed of {', '.join(by_boards)}: its lumber is what is cut of them and what is still "
        "to buy, as above; where none are listed, lumber is counted by waste."
    )


def _alternative_money(
    draft: Draft, job: Job, found: Alternative, measure: Measure, at: Mapping[str, str]
) -> None:
    nets = [measure.volume(line.net) for line in found.lumber_lines]
    lines = list(zip(found.lumber_lines, nets, strict=True))
    bought = "+".join(live_bought(job, line, net) for line, net in lines)
    draft.put(
        5, measure.volume(found.buy), number(FACT, volume_format(found.lumber_lines, measure)), formula=bought
    )
    waiting = [live_price(job, line) for line in found.lumber_lines if line.price is None]
    if not all(waiting):
        draft.put(6, UNPRICED, WORD)
        draft.put(7, UNPRICED, WORD)
        return
    cost = "+".join(live_lumber_cost(job, line, net) for line, net in lines)
    here = cell_name(draft.row, 6)
    priced = f"ROUND(ROUND(({here}+{at['rest']})*(1+{at['overhead']}),2)*(1+{at['markup']}),2)"
    if waiting:
        known = ",".join(f"ISNUMBER({price})" for price in waiting)
        cost = f'IF(AND({known}),{cost},"{UNPRICED}")'
        priced = f'IF(ISNUMBER({here}),{priced},"{UNPRICED}")'
    draft.put(6, _money(found.lumber), MONEY if found.lumber is not None else WORD, formula=cost)
    draft.put(7, _money(found.price), MONEY if found.price is not None else WORD, formula=priced)

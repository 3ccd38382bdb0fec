"""The tab Quote, a page to send: what is made, what it costs the client, until when, and where to sign."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from sheetkit.page import Format, Page, PrintSetup, Style
from sheetkit.plan.volume import volume_of_blanks
from sheetkit.records.answers import Answers
from sheetkit.records.costs import Estimate
from sheetkit.records.units import Units
from sheetkit.tabs.draft import FACT, INK, STAMP_AT, STRONG, SUBTITLE, TEXT, TOTAL, Draft, Measure, number
from sheetkit.tabs.live_money import sum_cell
from sheetkit.units import length_text

LABEL = replace(FACT, color="5F5F5F")
LONG = replace(TEXT, align="left")
DAY = replace(FACT, format=Format.DATE, align="left")
AMOUNT, WHOLE = number(FACT, Format.MONEY), number(STRONG, Format.MONEY)
PIECE = Style(bold=True, size=13, color=INK, wrap=True)
LINE = Style(color=INK, line="under")
FAR_ON = date(9000, 1, 1)
WIDTHS = (24, 26, 12, 18)


def quote_page(answers: Answers) -> Page:
    """Give the tab Quote. It bears no stamp: that would tell the client the shop's settings."""
    sheet = answers.job.sheet
    estimate = answers.costs.estimate
    draft = Draft("Quote", "quote", WIDTHS, "", sheet.prepared_by or "Quote")
    del draft.cells[STAMP_AT]
    if sheet.prepared_by:
        draft.row = 2
        draft.put(1, "Quote", SUBTITLE)
        draft.row = 4
    if estimate.unpriced:
        draft.across("Not ready to send: something in it has no price yet.", STRONG)
        draft.row += 1
    _facts(draft, answers)
    _piece(draft, answers)
    _amounts(draft, answers, estimate)
    _signatures(draft, answers)
    for address, cell in draft.cells.items():
        if cell.value is None and cell.style.line:
            # a space holds the line: a cell with nothing in it is not read back for the client's copy
            draft.cells[address] = cell._replace(value=" ")
    return draft.page(PrintSetup(paper=Measure.of(sheet).paper))


def _fact(draft: Draft, label: str, value: str | date, style: Style = LONG) -> None:
    draft.put(1, label, LABEL)
    if isinstance(value, str):
        draft.across(value, style, 2)
    else:
        draft.put(2, value, DAY)
        draft.row += 1


def _facts(draft: Draft, answers: Answers) -> None:
    sheet = answers.job.sheet
    for label, text in (("For", sheet.client), ("Number", sheet.number)):
        if text:
            _fact(draft, label, text)
    if sheet.date is not None:
        _fact(draft, "Date", sheet.date)
        if sheet.date < FAR_ON:
            _fact(draft, "Valid until", sheet.date + timedelta(days=sheet.valid_days))
    else:
        _fact(draft, "Valid for", f"{sheet.valid_days} days from the day it is signed by the maker")


def _piece(draft: Draft, answers: Answers) -> None:
    sheet = answers.job.sheet
    draft.section("What is made")
    draft.across(sheet.piece or sheet.job, PIECE)
    for label, text in (("Size", sizes(answers)), ("Wood", ", ".join(woods(answers)))):
        if text:
            _fact(draft, label, text)
    for number_, text in enumerate(included(answers)):
        _fact(draft, "Included" if number_ == 0 else "", text)


def sizes(answers: Answers) -> str:
    """Give the sizes that the client knows the piece by, as far as Job tells them."""
    sheet = answers.job.sheet
    said = []
    if sheet.fits and sheet.fits.casefold() != "own size":
        said.append(f"to fit: {sheet.fits}")
    if sheet.inside_width and sheet.inside_length:
        inside = (length_text(size, sheet.unit) for size in (sheet.inside_width, sheet.inside_length))
        said.append(f"room inside {' x '.join(inside)} {sheet.unit}")
    return "; ".join(said)


def woods(answers: Answers) -> list[str]:
    """Give the species of the piece, the one with most wood first."""
    feet: dict[str, float] = {}
    for blank in answers.blanks:
        feet[blank.species.name] = feet.get(blank.species.name, 0.0) + volume_of_blanks(
            (blank,), Units.of(answers.job.sheet)
        )
    return sorted(feet, key=lambda name: -feet[name])


def included(answers: Answers) -> list[str]:
    """Give what the price covers, in words that tell nothing of how it was reckoned."""
    job = answers.job
    said = ["Wood, joinery, glue-up and sanding"]
    coats: dict[str, int] = {}
    for step in job.finish:
        if step.product:
            coats[step.product] = coats.get(step.product, 0) + step.coats
    said += [f"Finish: {name}, {count} coat{'s' if count > 1 else ''}" for name, count in coats.items()]
    if job.extras:
        said.append("Hardware and fittings")
    return said


def _amounts(draft: Draft, answers: Answers, estimate: Estimate) -> None:
    sheet = answers.job.sheet
    draft.section(Measure.of(sheet).priced("Price"))
    lines = [("price", "Price", estimate.price, AMOUNT), ("tax", "Tax", estimate.tax, AMOUNT),
             ("total", "Total", estimate.total, number(TOTAL, Format.MONEY)),
             ("deposit", "Deposit with the order", estimate.deposit, AMOUNT),
             ("balance", "Balance on delivery", estimate.balance, AMOUNT)]  # fmt: skip
    shares = {"tax": sheet.tax, "deposit": min(sheet.deposit, 1.0)}
    for name, label, amount, style in lines:
        if (name == "tax" and not sheet.tax) or (name in ("deposit", "balance") and not sheet.deposit):
            continue
        if name == "total":
            for column in range(1, draft.last + 1):
                draft.put(column, None, TOTAL)
        draft.put(1, label, TOTAL if name == "total" else FACT)
        if name in shares:
            draft.put(3, shares[name], number(LABEL, Format.PERCENT), formula=sum_cell(f"{name}_share"))
        draft.put(4, float(amount), style, formula=sum_cell(name))
        draft.row += 1


def _signatures(draft: Draft, answers: Answers) -> None:
    draft.row += 1
    draft.across("Agreed as written above:", TEXT)
    draft.row += 2
    for who in (answers.job.sheet.prepared_by or "The maker", answers.job.sheet.client or "The client"):
        draft.put(1, who, FACT)
        for column in (2, 3, 4):
            draft.put(column, None, LINE)
        draft.heights[draft.row] = 30.0
        draft.row += 1
        draft.put(2, "Signature", LABEL)
        draft.put(4, "Date", LABEL)
        draft.row += 2

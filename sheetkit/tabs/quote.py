"""The tab Quote, a page to send: what is made, what it costs the client, until when, and where to sign."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta

from sheetkit.form.quote_words import WORDS
from sheetkit.page import Format, Page, PrintSetup, Range, Style, reference
from sheetkit.plan.notes import capital
from sheetkit.plan.volume import volume_of_blanks
from sheetkit.records.answers import Answers
from sheetkit.records.costs import Estimate
from sheetkit.records.job import JobSheet
from sheetkit.records.units import Units
from sheetkit.tabs.draft import FACT, INK, STAMP_AT, STRONG, SUBTITLE, TEXT, TOTAL, Draft, Measure, number
from sheetkit.tabs.live_money import ESTIMATE, SUM_COLUMN, offered, option_row, sum_cell
from sheetkit.units import length_text

LABEL = replace(FACT, color="5F5F5F")
LONG = replace(TEXT, align="left")
NAME = replace(LONG, bold=True)
DAY = replace(FACT, format=Format.READERS_DATE, align="left")
AMOUNT, WHOLE = number(FACT, Format.MONEY), number(STRONG, Format.MONEY)
PERCENT = number(LABEL, Format.AS_PERCENT)
PIECE = Style(bold=True, size=13, color=INK, wrap=True)
LINE = Style(color=INK, line="under")
FAR_ON = date(9000, 1, 1)
WIDTHS = (24, 26, 14, 18)


class Words:
    """The words of a job's quote: the maker's own, else the usual ones."""

    def __init__(self, own: Mapping[str, str]) -> None:
        self._own = own

    def say(self, name: str, **filled: str) -> str:
        """Return what is said, with what goes in braces filled in.

        >>> Words({"weeks": "in etwa {weeks} Wochen"}).say("weeks", weeks="8")
        'in etwa 8 Wochen'
        """
        said = self._own.get(name, WORDS.get(name, ""))
        for word, text in filled.items():
            said = said.replace(f"{{{word}}}", text)
        return said.replace(" ()", "")  # no currency is named

    def own(self, name: str) -> str:
        """Return a wood or a product as the maker calls it to a client."""
        return self._own.get(name.casefold(), name)


def quote_page(answers: Answers) -> Page:
    """Return the tab Quote. It bears no stamp: that would tell the client the shop's settings."""
    sheet = answers.job.sheet
    words = Words(sheet.words)
    estimate = answers.costs.estimate
    title = words.say("title")
    draft = Draft("Quote", "quote", WIDTHS, "", sheet.prepared_by or title)
    del draft.cells[STAMP_AT]
    if sheet.prepared_by:
        draft.row = 2
        draft.put(1, title, SUBTITLE)
        draft.row = 4
    if estimate.unpriced:
        draft.across(words.say("not_ready"), STRONG)
        draft.row += 1
    _facts(draft, sheet, words)
    _piece(draft, answers, words)
    _amounts(draft, sheet, estimate, words)
    _options(draft, answers, words)
    with draft.together(draft.row + 1):
        _signatures(draft, sheet, words)
    for address, cell in draft.cells.items():
        if cell.value is None and cell.style.line:
            # a space holds the line: a cell with nothing in it is not read back for the client's copy
            draft.cells[address] = cell._replace(value=" ")
    return draft.page(PrintSetup(paper=Measure.of(sheet).paper))


def _section(draft: Draft, text: str) -> None:
    """Begin a section, its title in a merged cell: the cells of the line under it would cut it short."""
    draft.section(text)
    row = draft.row - 1
    for column in range(2, draft.last + 1):
        del draft.cells[row, column]
    draft.merged.append(Range(row, 1, row, draft.last))


def _fact(draft: Draft, label: str, value: str | date, style: Style = LONG) -> None:
    draft.put(1, label, LABEL)
    if isinstance(value, str):
        draft.across(value, style, 2)
    else:
        draft.put(2, value, DAY)
        draft.row += 1


def _facts(draft: Draft, sheet: JobSheet, words: Words) -> None:
    for name, text, style in (("for", sheet.client, NAME), ("number", sheet.number, LONG)):
        if text:
            _fact(draft, words.say(name), text, style)
    if sheet.date is not None:
        _fact(draft, words.say("date"), sheet.date)
        if sheet.date < FAR_ON:
            _fact(draft, words.say("valid_until"), sheet.date + timedelta(days=sheet.valid_days))
    else:
        _fact(draft, words.say("valid_for"), words.say("valid_days", days=str(sheet.valid_days)))


def _piece(draft: Draft, answers: Answers, words: Words) -> None:
    sheet = answers.job.sheet
    _section(draft, words.say("made"))
    draft.across(sheet.piece or sheet.job, PIECE)
    lines = [
        ("outside", [outside(sheet)]),
        ("size", [sizes(sheet, words)]),
        ("wood", [wood(answers, words)]),
        ("finish", finish(answers, words)),
        ("included", included(answers, words)),
        ("delivery", [delivery(sheet, words)]),
        ("ready", [ready(sheet, words)]),
    ]
    for name, texts in lines:
        for place, text in enumerate(filter(None, texts)):
            _fact(draft, words.say(name) if place == 0 else "", text)


def outside(sheet: JobSheet) -> str:
    """Return the size of the whole piece as it was typed; a bare figure in the unit of the job."""
    text = sheet.outside_size
    return f"{text} {sheet.unit}" if text and text[-1].isdigit() else text


def sizes(sheet: JobSheet, words: Words) -> str:
    """Return the sizes that the client knows the piece by, as far as Job tells them."""
    said = []
    if sheet.fits and sheet.fits.casefold() != "own size":
        said.append(words.say("fits", size=sheet.fits))
    if sheet.inside_width and sheet.inside_length:
        inside = (length_text(size, sheet.unit) for size in (sheet.inside_width, sheet.inside_length))
        said.append(words.say("inside", size=f"{' x '.join(inside)} {sheet.unit}"))
    return "; ".join(said)


def woods(answers: Answers) -> list[str]:
    """Return the species of the piece, the one with most wood first."""
    feet: dict[str, float] = {}
    for blank in answers.blanks:
        feet[blank.species.name] = feet.get(blank.species.name, 0.0) + volume_of_blanks(
            (blank,), Units.of(answers.job.sheet)
        )
    return sorted(feet, key=lambda name: -feet[name])


def wood(answers: Answers, words: Words) -> str:
    """Return the wood as a client would say it: the main one, and what else is in the piece."""
    first, *others = [words.own(name) for name in woods(answers)] or [""]
    return words.say("mostly", wood=first, others=", ".join(others)) if others else first


def finish(answers: Answers, words: Words) -> list[str]:
    """Return the finish, each product with the most coats that any one part or panel gets."""
    coats: dict[str, Counter[str]] = {}
    for each in answers.finish:
        if each.step.product:
            on = coats.setdefault(each.step.product, Counter())
            on.update(dict.fromkeys(each.names or ("",), each.step.coats))
    most = {product: max(on.values()) for product, on in coats.items()}
    return [
        words.say("coat" if count == 1 else "coats", product=capital(words.own(name)), count=str(count))
        for name, count in most.items()
    ]


def included(answers: Answers, words: Words) -> list[str]:
    """Return what the price covers, in words that tell nothing of how it was reckoned."""
    return [words.say("work"), *([words.say("hardware")] if answers.job.extras else [])]


def delivery(sheet: JobSheet, words: Words) -> str:
    """Return how the piece comes to the client, unless that has a price of its own."""
    if sheet.collected:
        return words.say("collected")
    return words.say("delivered") if sheet.delivery == 0 else ""


def ready(sheet: JobSheet, words: Words) -> str:
    """Return when the piece is ready."""
    if not sheet.ready_weeks:
        return ""
    return words.say("week") if sheet.ready_weeks == 1 else words.say("weeks", weeks=str(sheet.ready_weeks))


def _amounts(draft: Draft, sheet: JobSheet, estimate: Estimate, words: Words) -> None:
    _section(draft, words.say("prices", currency=sheet.currency))
    asked = {"delivery": bool(sheet.delivery), "tax": bool(sheet.tax)}
    asked |= {"deposit": bool(sheet.deposit), "balance": bool(sheet.deposit)}
    said = {"balance": "balance_collected"} if sheet.collected else {}
    shares = {"tax": sheet.tax, "deposit": min(sheet.deposit, 1.0)}
    for name in ("price", "delivery", "tax", "total", "deposit", "balance"):
        if not asked.get(name, True):
            continue
        for column in range(1, draft.last + 1) if name == "total" else ():
            draft.put(column, None, TOTAL)
        draft.put(1, words.say(said.get(name, name)), TOTAL if name == "total" else FACT)
        if name in shares:
            live = f"ROUND({sum_cell(f'{name}_share')}*100,6)"
            draft.put(3, round(shares[name] * 100, 6), PERCENT, formula=live)
        style = number(TOTAL, Format.MONEY) if name == "total" else AMOUNT
        draft.put(4, float(getattr(estimate, name)), style, formula=sum_cell(name))
        draft.row += 1


def _options(draft: Draft, answers: Answers, words: Words) -> None:
    """Write the same piece in the other woods that are offered: price, tax and total of each."""
    sheet, options = answers.job.sheet, offered(answers)
    if not options:
        return
    _section(draft, words.say("options", currency=sheet.currency))
    taxed = bool(sheet.tax)
    draft.headings(
        words.say("wood"), words.say("price"), words.say("tax") if taxed else "", words.say("total")
    )
    for place, option in enumerate(options):
        assert option.price is not None
        assert option.tax is not None
        assert option.total is not None
        row, brought = draft.row, sum_cell("delivery")
        draft.put(1, words.own(option.species.name), FACT)
        draft.put(2, float(option.price), AMOUNT, formula=reference(ESTIMATE, option_row(place), SUM_COLUMN))
        due = f"ROUND((B{row}+{brought})*{sum_cell('tax_share')},2)"
        if taxed:
            draft.put(3, float(option.tax), AMOUNT, formula=due)
        draft.put(4, float(option.total), WHOLE, formula=f"B{row}+{brought}" + (f"+C{row}" if taxed else ""))
        draft.row += 1
    if sheet.delivery:
        draft.across(words.say("options_delivered"), LABEL)


def _signatures(draft: Draft, sheet: JobSheet, words: Words) -> None:
    draft.row += 1
    agreed = draft.row
    draft.across(words.say("agreed"), TEXT)
    draft.row += 2
    for who in (sheet.prepared_by or words.say("maker"), sheet.client or words.say("client")):
        draft.put(1, who, FACT)
        for column in (2, 3, 4):
            draft.put(column, None, LINE)
        draft.heights[draft.row] = 30.0
        draft.row += 1
        draft.put(2, words.say("signature"), LABEL)
        draft.put(4, words.say("signed_on"), LABEL)
        draft.row += 2
    draft.keep(agreed, draft.row - 3)

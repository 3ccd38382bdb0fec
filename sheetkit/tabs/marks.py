"""The tab Marks: one story stick for each member, run and curve, every mark from the same end."""

from __future__ import annotations

from collections.abc import Iterator

from sheetkit.page import Format, Page, PrintSetup, Style
from sheetkit.records.answers import Answers
from sheetkit.records.joinery import SHOULDERS, Mark, Stick
from sheetkit.records.tasks import Caution
from sheetkit.tabs.cautions import WORDS
from sheetkit.tabs.draft import (
    CAUTION,
    COUNT,
    STRONG,
    TEXT,
    Draft,
    Earlier,
    Measure,
    drawn,
    footer,
    number,
    titled,
)
from sheetkit.tabs.stick_picture import stick_picture
from sheetkit.units import rounded

A_MARK = 15.0
"""Height of a mark's row [pt]."""
LARGE = Style(bold=True, size=11, color="222222", middle=True)


SHORT = 0.6
"""Share of a page up to which a stick and its marks are printed together."""


def marks_page(answers: Answers, stamp: str) -> Page:
    """Return the tab Marks."""
    return drawn(lambda earlier: _tab(answers, stamp, earlier))


def _tab(answers: Answers, stamp: str, earlier: Earlier) -> Draft:
    sheet, measure = answers.job.sheet, Measure.of(answers.job.sheet)
    setup = PrintSetup(paper=measure.paper, footer=footer(sheet))
    draft = Draft("Marks", "marks", (7, 17, 15, 15, 2, 44), stamp, titled("Marks", sheet), setup, earlier)
    finest = measure.either("1/64", "0.5 mm")
    draft.across(
        "Every mark is measured from the same end of its member (its shoulder, when it has tenons), "
        f"never from the mark before, and rounded once by itself to {finest}; Exact is the place before "
        "rounding. Mark the members that share a layout side by side; of two that stand left and right, "
        "choose face and edge of each for its own hand first.",
        CAUTION,
    )
    for stick in answers.sticks:
        _stick(draft, stick, measure)
    return draft


def _cautions(stick: Stick) -> Iterator[Caution]:
    """Yield what is to be minded where the stick is carried to."""
    words = " ".join(mark.what for mark in stick.marks)
    if stick.kind == "taper":
        yield Caution.TAPER
    elif stick.kind == "curve":
        yield Caution.CURVE
    elif "lower the cutter" in words or "lift the cutter" in words or "mortise" in words or "recess" in words:
        yield Caution.LOWER
    elif "groove" in words:
        yield Caution.ROUTER
    elif "dowel" in words:
        yield Caution.BORE


def _whole(stick: Stick, measure: Measure) -> str:
    """Say how long a stick is, and what of it is to scale."""
    where = {"run": "between the ends", "curve": "of chord"}.get(stick.kind, "long")
    if any(mark.what == SHOULDERS[1] for mark in stick.marks):
        where = "from shoulder to shoulder"
    scale = "to scale" if stick.kind in ("run", "member") else "to scale; offsets drawn larger"
    return f"{measure.words(stick.length)} {measure.unit} {where}, {scale}"


def _stick(draft: Draft, stick: Stick, measure: Measure) -> None:
    unit = measure.unit
    draft.section(" · ".join(stick.names))
    title = draft.row - 1
    with draft.together(title, SHORT):
        for caution in _cautions(stick):
            draft.caution(WORDS[caution])
        if len(stick.names) > 1:
            draft.across("These share one layout: mark them together.", STRONG)
        draft.heights[draft.row] = 5.0
        draft.row += 1
        draft.picture(lambda row: stick_picture(stick, row, _whole(stick, measure)))
        if stick.note:
            draft.across(stick.note, TEXT)
        beside = _beside_heading(stick, measure)
        offsets = any(mark.offset is not None for mark in stick.marks)
        zero = "shoulder" if any(mark.what in SHOULDERS for mark in stick.marks) else "end"
        draft.headings(
            "Mark",
            f"From the {zero} ({unit})",
            f"Exact ({unit})",
            f"Offset ({unit})" if offsets else beside,
            "",
            "What",
        )
        draft.keep(title, draft.row - 1)
        for place, mark in enumerate(stick.marks, 1):
            _mark(draft, place, mark, measure, across=bool(beside))


def _beside_heading(stick: Stick, measure: Measure) -> str:
    """Say what the places across count from; nothing where all lie in the middle."""
    middle = stick.across / 2
    if all(mark.across is None or abs(sum(mark.across) / 2 - middle) < 1e-6 for mark in stick.marks):
        return ""
    return f"From the {'edge' if stick.surface in ('face', 'back') else 'face'} ({measure.unit})"


def _mark(draft: Draft, place: int, mark: Mark, measure: Measure, *, across: bool) -> None:
    finest = measure.finest
    size, exact = number(LARGE, measure.size_format), number(TEXT, _exact(measure))
    draft.put(1, place, COUNT)
    draft.put(2, measure.size(rounded(mark.at, finest)), size)
    draft.put(3, measure.size(mark.at), exact)
    if mark.offset is not None:
        draft.put(4, measure.size(rounded(mark.offset, finest)), size)
    elif across and mark.across is not None:
        # a dowel by its center, all else by its near side
        beside = sum(mark.across) / 2 if "center" in mark.what else mark.across[0]
        draft.put(4, measure.size(rounded(beside, finest)), size)
    draft.put(6, mark.what, TEXT)
    draft.fit(6)
    draft.heights[draft.row] = max(draft.heights.get(draft.row, 0.0), A_MARK)
    draft.row += 1


def _exact(measure: Measure) -> Format:
    return measure.either(Format.TEN_THOUSANDTH, Format.HUNDREDTH)

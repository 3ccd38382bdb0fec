"""What a command says about a workbook, as lines and tables."""

from __future__ import annotations

import difflib
from pathlib import Path
from typing import TYPE_CHECKING

from sheetkit.jobs.run import Outcome
from sheetkit.records.answers import Answers
from sheetkit.records.messages import KINDS, PROBLEM_HEADINGS, REFUSALS
from sheetkit.records.problems import Problem
from sheetkit.tabs.draft import Measure, taken_words
from sheetkit.tabs.shop_lines import counted
from sheetkit.terminal.screen import Said, Table

if TYPE_CHECKING:
    from sheetkit.jobs.review import Review
    from sheetkit.jobs.watch import Turn

LONG = 60
"""Of a cell's text, more signs than this are not repeated."""
WORKBOOKS = (".xlsx", ".xlsm", ".ods")


def problem_table(problems: tuple[Problem, ...]) -> Table:
    """Return the problems, the gravest first."""
    order = list(KINDS)
    rows = tuple(
        (
            KINDS[found.weight],
            found.place,
            _start(found.stands),
            found.says,
            "" if found.instead == "Nothing to do." else found.instead,
        )
        for found in sorted(problems, key=lambda each: order.index(each.weight))
    )
    return Table(PROBLEM_HEADINGS, rows, colors={KINDS["error"]: "bold red", KINDS["warning"]: "yellow"})


def _start(stands: str) -> str:
    """Return what stands in a cell, of a long text its first words."""
    return stands if len(stands) <= LONG else f"{stands[:LONG]} ..."


def job_line(answers: Answers) -> str:
    """Return the job in one line."""
    parts = sum(part.qty for part in answers.job.parts)
    panels = sum(found.panel.qty for found in answers.panels)
    blanks = sum(blank.count for blank in answers.blanks)
    counts = (counted(parts, "part"), counted(panels, "panel"), counted(blanks, "blank"))
    return f"{answers.job.sheet.job}: {', '.join(counts)}"


def lumber_table(answers: Answers) -> Table:
    """Return the lumber to buy, or the boards of the rack that are cut."""
    measure = Measure.of(answers.job.sheet)
    digits = 3 if answers.job.sheet.measure == "m3" else 2
    rows = tuple(
        (
            line.species.name,
            line.stock.name,
            f"{measure.volume(line.net):.{digits}f}",
            f"{measure.volume(line.buy):.{digits}f}",
            "unpriced" if line.cost is None else f"{answers.job.sheet.currency}{line.cost:,.2f}",
        )
        for line in answers.lumber
    )
    word = measure.volume_word
    return Table(
        ("Species", "Stock", f"In the blanks, {word}", f"{taken_words(answers.lumber)}, {word}", "Cost"),
        rows,
        numbers=frozenset({2, 3, 4}),
    )


def outcome_report(outcome: Outcome, *, check: bool = False) -> list[Said]:
    """Return all that a run has to say."""
    said: list[Said] = []
    if outcome.answers:
        said.append(job_line(outcome.answers))
        if outcome.answers.lumber:
            said.append(lumber_table(outcome.answers))
    if outcome.problems:
        said.append(problem_table(outcome.problems))
    if not outcome.ok:
        said.append("Nothing was calculated: put right what is marked above, then run again.")
    if check:
        said.append(f"Checked {outcome.path}; nothing was written.")
    elif outcome.written:
        kept = f"; the file as it was: {outcome.backup.name}" if outcome.backup else ""
        said.append(f"Written to {outcome.path}{kept}.")
    else:
        said.append(f"{outcome.path} is up to date.")
    return said


def turn_line(turn: Turn) -> str:
    """Return what came of one save, in one line."""
    came_out = ""
    if outcome := turn.outcome:
        see = ", see Messages" if turn.came in ("written", "up to date", "beside") else ""
        wrong = [found for found in outcome.problems if found.weight == "error"]
        look = sum(found.weight == "warning" for found in outcome.problems)
        if outcome.answers:
            came_out = job_line(outcome.answers) + (f"; {look} to look at{see}" if look else "") + ". "
        else:
            things = "1 thing" if len(wrong) == 1 else f"{len(wrong)} things"
            came_out = f"{things} to put right{see}; first {wrong[0].place}: {wrong[0].says} "
    name, target = turn.path.name, turn.target.name
    stands = {
        "written": f"Written to {target}.",
        "up to date": f"{target} is up to date.",
        "checked": "Nothing was written.",
        "beside": f"{name} is open, so written to {target}: close {name} and the answers go into it.",
        "beside is open": f"{target} is open: close it and the answers go into it.",
        "beside is not ours": f"{target} includes something of yours and stays: rename it and the answers "
        "go there.",
        "half written": f"{name} is not whole: waiting for the rest.",
        "gone": f"{name} is gone: waiting until it is back.",
        "refused": "" if turn.refused is None else refusal(turn.refused.reason, turn.refused.detail),
    }[turn.came]
    stays = f" {turn.left.name} includes something of yours and stays." if turn.left else ""
    return f"{turn.at:%H:%M:%S} {came_out}{stands}{stays}"


def refusal(reason: str, detail: str) -> str:
    """Return the words of a refusal, with names of files that may be meant where there is no such file."""
    words = REFUSALS.get(reason, reason) + (f" ({detail})" if detail else "")
    near = near_names(Path(detail)) if reason == "no such file" and detail else []
    return words + (f" Perhaps: {', '.join(near)}" if near else "")


def near_names(path: Path) -> list[str]:
    """Return the files, or what stands in the folder, that a mistyped path may mean."""
    folder = path if path.is_dir() else path.parent
    try:
        names = {each.name.casefold(): each.name for each in folder.iterdir()}
    except OSError:
        return []
    known = [name for name in sorted(names) if not name.startswith((".", "~$"))]
    if path.is_dir():
        return [str(folder / names[name]) for name in known if Path(name).suffix in WORKBOOKS][:3]
    close = difflib.get_close_matches(path.name.casefold(), known, n=3, cutoff=0.6)
    return [str(folder / names[name]) for name in close]


REVIEW = {
    "jobs": ("Past jobs", (
        ("job", "Job", ""), ("date", "Date", ""),
        ("estimated_of_cut", "Lumber estimated", "n"), ("cut", "Boards cut", "n"), ("yield", "Yield", ".0%"),
        ("estimated_of_recorded", "Hours estimated", ".2f"), ("actual_hours", "Hours taken", ".2f"),
        ("currency", "Money in", ""), ("price", "Price", ",.2f"), ("actual_profit", "Profit left", ",.2f"),
        ("actual_margin", "of the price", ".0%"),
    )),
    "species": ("Waste that the record supports", (
        ("species", "Species", ""), ("jobs", "Jobs", ".0f"),
        ("net", "In the blanks", "n"), ("cut", "Boards cut", "n"),
        ("waste", "Waste supported", ".0%"), ("least_waste", "Least in a job", ".0%"),
        ("most_waste", "Most in a job", ".0%"), ("estimated_waste", "Waste estimated", ".0%"),
    )),
    "operations": ("Hours by operation", (
        ("operation", "Operation", ""), ("counted_by", "Counted by", ""), ("jobs", "Jobs", ".0f"),
        ("estimated_hours", "Hours estimated", ".2f"), ("actual_hours", "Hours taken", ".2f"),
        ("estimated_minutes", "Minutes each, estimated", ".1f"),
        ("actual_minutes", "Minutes each, taken", ".1f"),
        ("least_minutes", "Least in a job", ".1f"), ("most_minutes", "Most in a job", ".1f"),
    )),
    "skipped": ("Passed over", (("file", "File", ""), ("why", "Why", ""))),
}  # fmt: skip
"""Tables of the look back: title, and of each column its name, its heading and how a number is written
(``n``: a volume of lumber)."""


def review_report(found: Review) -> list[Said]:
    """Return the look back over past jobs."""
    said: list[Said] = []
    volume = ".3f" if found.metric else ".1f"
    for name, frame in found.frames().items():
        if not len(frame):
            continue
        title, columns = REVIEW[name]
        forms = [volume if form == "n" else form for _, _, form in columns]
        shown = frame[[column for column, _, _ in columns]].itertuples(index=False)
        rows = tuple(tuple(map(_cell, row, forms)) for row in shown)
        numbers = frozenset(place for place, form in enumerate(forms) if form)
        said.append(Table(tuple(heading for _, heading, _ in columns), rows, title, numbers))
    if found.jobs:
        said.append(f"Lumber in {'m3' if found.metric else 'board feet'}.")
    return said or ["No past job was found."]


def _cell(value: object, form: str) -> str:
    """Write a value of a data frame; what is missing (NaN) is an empty cell."""
    if value is None or value != value:
        return ""
    return format(value, form)

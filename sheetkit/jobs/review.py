"""Looking back: past jobs side by side, what was estimated against what it really took."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sheetkit.book import save
from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Refused
from sheetkit.jobs.copies import Found, once, without_backups
from sheetkit.jobs.past_frames import frame_of, jobs_frame, operations_frame, species_frame
from sheetkit.jobs.past_jobs import PastJob, Skipped, past_job
from sheetkit.jobs.watch import is_sealed
from sheetkit.page import Format, Page, PrintSetup, Value
from sheetkit.records.messages import REFUSALS
from sheetkit.tabs.bar_picture import Bar, bar_picture
from sheetkit.tabs.draft import CAUTION, FACT, STRONG, TEXT, Draft, number
from sheetkit.units import BOARD_FEET_PER_M3

if TYPE_CHECKING:
    from pandas import DataFrame

ENDINGS = (".xlsx", ".xlsm", ".ods")
MOST_BARS = 12
"""Jobs, species or operations that one picture shows: the latest, or those with most behind them."""
TOO_FEW = 3
"""Fewer jobs than this tell little about waste, common practice."""


@dataclass(frozen=True, slots=True)
class Review:
    """Past jobs, oldest first, and the files that were passed over."""

    jobs: tuple[PastJob, ...]
    skipped: tuple[Skipped, ...] = ()

    @property
    def metric(self) -> bool:
        """Whether lumber is told in m3: when every job counts it so."""
        return bool(self.jobs) and all(job.metric for job in self.jobs)

    def frames(self) -> dict[str, DataFrame]:
        """Return the tables ``jobs``, ``species``, ``operations``, ``skipped``; lumber in board feet or m3.

        A share or a sum of which nothing is recorded is missing (NaN), never 0.
        """
        scale = BOARD_FEET_PER_M3 if self.metric else 1.0
        return {
            "jobs": jobs_frame(self.jobs, scale),
            "species": species_frame(self.jobs, scale),
            "operations": operations_frame(self.jobs),
            "skipped": frame_of([(each.file, each.why) for each in self.skipped], ("file", "why")),
        }


def review(folder: Path, progress: Callable[[str, float], None] | None = None) -> Review:
    """Read every workbook of a folder and its subfolders, one at a time.

    Parameters
    ----------
    folder
        Where the past jobs are, .xlsx and .ods mixed.
    progress
        Called with each file's name and the share of files already done.

    Raises
    ------
    Refused
        ``no such file`` when there is no such folder.
    """
    if not folder.is_dir():
        raise Refused("no such file", str(folder))
    paths = list(_workbooks(folder))
    read: list[Found] = []
    for done, path in enumerate(paths):
        name = path.relative_to(folder).as_posix()
        if progress is not None:
            progress(name, done / len(paths))
        if not _is_of_ours(path):
            read.append((path, _read(path, name)))
    if progress is not None and paths:
        progress("", 1.0)
    jobs, skipped = once(without_backups(read))
    jobs.sort(key=lambda job: (job.date, job.file))
    return Review(tuple(jobs), tuple(skipped))


def _workbooks(folder: Path) -> Iterator[Path]:
    """Yield the workbooks of a folder, without lock files and hidden ones."""
    for path in sorted(folder.rglob("*")):
        hidden = any(part.startswith((".", "~$")) for part in path.relative_to(folder).parts)
        if path.suffix.lower() in ENDINGS and not hidden and path.is_file():
            yield path


def _is_of_ours(path: Path) -> bool:
    """Whether a file holds answers or the client's copy of a job that stands elsewhere: it bears our seal."""
    try:
        return is_sealed(save.load(path))
    except Refused:
        return False


def _read(path: Path, name: str) -> PastJob | Skipped:
    try:
        return past_job(path, name)
    except Refused as refused:
        said = REFUSALS.get(refused.reason, refused.reason)
        return Skipped(name, f"{said} ({refused.detail})" if refused.detail else said)
    except OSError as error:
        return Skipped(name, error.strerror or "It cannot be read.")
    except Exception as error:  # whatever is wrong with one file must not end the review of the others
        return Skipped(name, f"It could not be worked out ({type(error).__name__}: {error}).")


def review_pages(found: Review) -> tuple[Page, ...]:
    """Return the tabs of the workbook that tells of past jobs."""
    frames = found.frames()
    word = "m3" if found.metric else "board feet"
    volume = Format.THOUSANDTH if found.metric else Format.HUNDREDTH
    said = (
        f"{len(found.jobs)} job{'s' if len(found.jobs) != 1 else ''} read, {len(found.skipped)} passed over"
    )
    pages = [
        _jobs_page(frames["jobs"], said, word, volume),
        _species_page(frames["species"], said, word, volume),
        _operations_page(frames["operations"], said),
    ]
    if found.skipped:
        pages.append(_skipped_page(found.skipped, said))
    return tuple(pages)


def _value(value: Any) -> Value:
    """Return a table's value as a cell holds it; what is missing is an empty cell."""
    if isinstance(value, str):
        return value
    plain = float(value)
    return None if plain != plain else plain


def _table(draft: Draft, frame: DataFrame, columns: Sequence[tuple[str, str, Format | None]]) -> None:
    """Write a table: of each column its name, its heading and its format (None for text)."""
    draft.headings(*(heading for _, heading, _ in columns))
    for _, row in frame.iterrows():
        for place, (name, _, form) in enumerate(columns, 1):
            draft.put(place, _value(row[name]), TEXT if form is None else number(FACT, form))
            draft.fit(place)
        draft.row += 1


def _bar(name: str, sizes: tuple[float, float], written: str) -> Bar:
    return Bar(name, sizes, tuple(format(size, written) for size in sizes))


def _bars(draft: Draft, title: str, bars: Sequence[Bar], kinds: Sequence[str]) -> None:
    if not bars:
        return
    draft.row += 1
    draft.across(title, STRONG)
    said = "; ".join(f"{bar.name}: {', '.join(bar.words)}" for bar in bars)
    picture = bar_picture(bars, kinds, draft.row, f"{title}. {said}")
    draft.pictures.append(picture)
    draft.heights[draft.row] = picture.height + 6
    draft.row += 1


def _jobs_page(frame: DataFrame, stamp: str, word: str, volume: Format) -> Page:
    draft = Draft("Past jobs", "", (26, 11, 9, 10, 10, 9, 9, 10, 10, 12, 12, 12, 9), stamp)
    columns = (
        ("job", "Job", None),
        ("date", "Date", None),
        ("currency", "Money in", None),
        ("estimated_of_cut", f"Lumber estimated ({word})", volume),
        ("cut", f"Boards cut ({word})", volume),
        ("yield", "Yield", Format.PERCENT),
        ("hours", "Hours estimated", Format.HUNDREDTH),
        ("estimated_of_recorded", "of these recorded", Format.HUNDREDTH),
        ("actual_hours", "Hours taken", Format.HUNDREDTH),
        ("price", "Price", Format.MONEY),
        ("profit", "Profit estimated", Format.MONEY),
        ("actual_profit", "Profit left", Format.MONEY),
        ("actual_margin", "of the price", Format.PERCENT),
    )
    _table(draft, frame, columns)
    draft.row += 1
    draft.across(
        "Lumber estimated is by the waste on Prices, for the stocks whose boards were all on the tab Boards. "
        "Profit left has the boards cut and the hours taken in place of the estimated ones, "
        "where they are recorded.",
        CAUTION,
    )
    if len(frame) and not frame["complete"].all():
        names = ", ".join(frame[~frame["complete"].astype(bool)]["job"])
        draft.across(f"Something is unpriced in: {names}.", STRONG)
    recorded = frame[frame["actual_hours"].notna()].tail(MOST_BARS)
    bars = [
        _bar(str(row["job"]), (row["estimated_of_recorded"], row["actual_hours"]), ".2f")
        for _, row in recorded.iterrows()
    ]
    _bars(draft, "Hours, of the operations whose hours were recorded", bars, ("estimated", "taken"))
    cut = frame[frame["cut"].notna()].tail(MOST_BARS)
    bars = [_bar(str(row["job"]), (row["estimated_of_cut"], row["cut"]), ".1f") for _, row in cut.iterrows()]
    _bars(draft, f"Lumber ({word})", bars, ("estimated", "boards cut"))
    return draft.page(PrintSetup(landscape=True, footer="&A · page &P of &N"))


def _species_page(frame: DataFrame, stamp: str, word: str, volume: Format) -> Page:
    draft = Draft("Waste", "", (26, 9, 13, 13, 11, 13, 13, 13, 13), stamp, "Waste that the record supports")
    columns = (
        ("species", "Species", None),
        ("jobs", "Jobs", Format.WHOLE),
        ("net", f"In the blanks ({word})", volume),
        ("cut", f"Boards cut ({word})", volume),
        ("yield", "Yield", Format.PERCENT),
        ("waste", "Waste supported", Format.PERCENT),
        ("least_waste", "Least in a job", Format.PERCENT),
        ("most_waste", "Most in a job", Format.PERCENT),
        ("estimated_waste", "Waste estimated", Format.PERCENT),
    )
    _table(draft, frame, columns)
    draft.row += 1
    draft.across(
        "Waste is a share of what was really bought (Prices), or of the boards that were cut, "
        "whole boards counted: a left-over that went back to the rack counts as waste here. "
        f"Fewer than {TOO_FEW} jobs tell little.",
        CAUTION,
    )
    bars = [
        _bar(f"{row['species']} ({row['jobs']})", (row["waste"], row["estimated_waste"]), ".0%")
        for _, row in frame.head(MOST_BARS).iterrows()
    ]
    _bars(draft, "Waste by species (number of jobs)", bars, ("recorded", "estimated"))
    return draft.page(PrintSetup(landscape=True, footer="&A · page &P of &N"))


def _operations_page(frame: DataFrame, stamp: str) -> Page:
    draft = Draft("Hours", "", (30, 12, 9, 11, 13, 13, 15, 15, 12, 12), stamp, "Hours by operation")
    columns = (
        ("operation", "Operation", None),
        ("counted_by", "Counted by", None),
        ("jobs", "Jobs", Format.WHOLE),
        ("count", "Count", Format.TENTH),
        ("estimated_hours", "Hours estimated", Format.HUNDREDTH),
        ("actual_hours", "Hours taken", Format.HUNDREDTH),
        ("estimated_minutes", "Minutes each, estimated", Format.TENTH),
        ("actual_minutes", "Minutes each, taken", Format.TENTH),
        ("least_minutes", "Least in a job", Format.TENTH),
        ("most_minutes", "Most in a job", Format.TENTH),
    )
    _table(draft, frame, columns)
    draft.row += 1
    draft.across(
        "Only operations whose Actual hours were filled in. Minutes each, taken, is what to write on Labor "
        "next time; sheetkit new --like FOLDER writes it there. "
        f"Fewer than {TOO_FEW} jobs tell little.",
        CAUTION,
    )
    bars = [
        _bar(str(row["operation"]), (row["estimated_hours"], row["actual_hours"]), ".2f")
        for _, row in frame.head(MOST_BARS).iterrows()
    ]
    _bars(draft, "Hours by operation", bars, ("estimated", "taken"))
    return draft.page(PrintSetup(landscape=True, footer="&A · page &P of &N"))


def _skipped_page(skipped: Sequence[Skipped], stamp: str) -> Page:
    draft = Draft("Passed over", "", (44, 90), stamp)
    draft.headings("File", "Why")
    for each in skipped:
        draft.put(1, each.file, TEXT)
        draft.put(2, each.why, TEXT)
        draft.fit(1)
        draft.fit(2)
        draft.row += 1
    return draft.page(PrintSetup(landscape=True, footer="&A · page &P of &N"))


def write_review(found: Review, path: Path) -> None:
    """Write the workbook that tells of past jobs.

    Raises
    ------
    Refused
        When the ending is neither .xlsx nor .ods, the file exists, or it cannot be written.
    """
    save.create(path, by_ending(path.suffix).render(review_pages(found)))

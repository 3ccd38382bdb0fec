"""Arguments in, one call of the library, words and exit code out."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from contextlib import chdir, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from sheetkit.terminal.readers import Commands, whoever_reads
from sheetkit.terminal.words_typed import LeavesThePath, TakesWords
from sheetkit.version import VERSION

if TYPE_CHECKING:
    from sheetkit.terminal.screen import Said, Tell

PATH = click.Path(path_type=Path)
EPILOG_RUN = "Example: sheetkit run bench.xlsx"
JSON = click.option("--json", "as_json", is_flag=True, help="Write one JSON object in place of words.")
HELP_WIDTH = max(30, min(78, shutil.get_terminal_size().columns - 2))


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "terminal_width": HELP_WIDTH},
    epilog="Example: sheetkit new bench.xlsx --example",
)
@click.version_option(VERSION, prog_name="sheetkit")
def main() -> None:
    """Rough sizes, lumber, panels and shop sheets inside a furniture maker's own workbook."""
    from sheetkit.terminal.screen import never_fail_on_a_sign

    never_fail_on_a_sign()


def _say(*said: Said, err: bool = False) -> None:
    from sheetkit.terminal.screen import show

    with whoever_reads():
        show(said, err=err)


@contextmanager
def _at_work(words: str, json_of: str = "") -> Iterator[Tell | None]:
    """Show that work goes on; a refusal ends the command with its words."""
    from sheetkit.book.workbook import Refused
    from sheetkit.terminal.screen import going_on

    try:
        with going_on(words) as tell:
            yield tell
    except Refused as refused:
        _refuse(refused.reason, refused.detail, json_of)


def _refuse(reason: str, detail: str, json_of: str = "") -> NoReturn:
    """Say why a command cannot be carried out, as JSON when ``json_of`` names the command."""
    from sheetkit.terminal.report import refusal

    if json_of:
        from sheetkit.data.plain import refusal_data

        _write_json(refusal_data(json_of, reason, detail))
        sys.exit(2)
    _say(f"sheetkit: {refusal(reason, detail)}", err=True)
    sys.exit(2)


@main.command(epilog=EPILOG_RUN)
@click.argument("path", type=PATH)
@click.option("--check", is_flag=True, help="Only look for problems; write nothing.")
@click.option("--out", type=PATH, help="Write to this file and leave PATH as it is.")
@click.option("--watch", is_flag=True, help="Run again at each save, until Ctrl-C.")
@click.option("--recalc", is_flag=True, help="Have LibreOffice compute formulas that have no stored result.")
@click.option("--force", is_flag=True, help="Go on although the file seems to be open elsewhere.")
@click.option(
    "--effort",
    type=click.FloatRange(0.1, 600),
    default=2.0,
    show_default=True,
    metavar="SECONDS",
    help="Work put into the board layout.",
)
@click.option("--home", type=PATH, hidden=True)  # where PATH is a copy: whence the rack's path is
@JSON
def run(path: Path, watch: bool, effort: float, home: Path | None, as_json: bool, **how: Any) -> None:
    """Work out the job in PATH and put the answers into the same workbook."""
    if watch and as_json:
        raise click.UsageError("--json tells of one run; leave out --watch.")
    if watch:
        _keep_watch(path, effort=effort / 2, **how)
        return
    ended_well = _worked_out(path, effort=effort / 2, home=home, as_json=as_json, **how)
    sys.exit(0 if ended_well else 1)


def _worked_out(path: Path, *, as_json: bool = False, check: bool = False, **how: Any) -> bool:
    import gc

    gc.disable()  # a short run that makes no cycles: looking for them takes a third of the time on large jobs
    from sheetkit.jobs.run import run as work_out
    from sheetkit.terminal.report import outcome_report

    with _at_work(f"Working out {path.name}", "run" if as_json else "") as progress:
        outcome = work_out(path, check=check, progress=progress, **how)
    if as_json:
        _write_json(outcome.plain())
    else:
        _say(*outcome_report(outcome, check=check))
    return outcome.ok


def _write_json(data: dict[str, Any]) -> None:
    from sheetkit.data.plain import as_json

    with whoever_reads():
        click.echo(as_json(data))


def _keep_watch(path: Path, **how: Any) -> None:
    import signal
    from threading import Event

    from sheetkit.book.workbook import Refused
    from sheetkit.jobs.watch import watch
    from sheetkit.terminal.report import turn_line

    stop = Event()
    before = signal.signal(signal.SIGINT, lambda *_: stop.set())
    try:
        turns = watch(path, stop=stop, **how)
        _say(f"Watching {path}: save it as often as you like; Ctrl-C ends.")
        for turn in turns:
            _say(turn_line(turn))
    except Refused as refused:
        _refuse(refused.reason, refused.detail)
    finally:
        signal.signal(signal.SIGINT, before)


@main.command("open", epilog="Example: sheetkit open --starter")
@click.argument("path", type=PATH, default=".")
@click.option("--watch", is_flag=True, help="Wait, and work out again at each save.")
@click.option(
    "--starter", is_flag=True, help="Make a file that does this on a double click, and do nothing now."
)
def open_(path: Path, watch: bool, starter: bool) -> None:
    """Work out the workbook that is PATH or stands in the folder PATH (else in this one), and open it."""
    from sheetkit.book.office import shown
    from sheetkit.jobs.starter import starter_in, workbooks_of_jobs
    from sheetkit.terminal.choice import chosen

    with _at_work(f"Looking into {path}"):
        if starter:
            said = starter_in(path if path.is_dir() else path.parent, watch=watch)
        else:
            found = workbooks_of_jobs(path)
    if starter:
        _say(said)
        return
    job = chosen(found)
    if job is None:
        _refuse("several jobs", ", ".join(each.name for each in found))
    with chdir(job.parent):  # so that its name alone is told
        name = Path(job.name)
        ended_well = watch or _worked_out(name)
        if not shown(name):
            _say(f"Now open {name} in your spreadsheet program.")
        if watch:
            _keep_watch(name)
    sys.exit(0 if ended_well else 1)


@main.command(cls=LeavesThePath, epilog="Example: sheetkit new door.xlsx --example small")
@click.argument("path", type=PATH)
@click.option("--metric", is_flag=True, help="Sizes in mm, lumber in m3, A4 paper.")
@click.option(
    "--example",
    is_flag=False,
    flag_value="",
    metavar="[small]",
    help="Filled with an example job: an entry bench, or with small a door of few rows for a first try.",
)
@click.option("--parts", type=PATH, help="Fill Parts from a list: .csv, .xlsx or .ods.")
@click.option(
    "--like",
    type=PATH,
    metavar="FOLDER",
    help="Begin with the prices of past jobs, and the waste and minutes that their record supports.",
)
@click.option("--starter", is_flag=True, help="Also a file beside it that works it out on a double click.")
def new(
    path: Path,
    metric: bool,
    example: str | None,
    parts: Path | None,
    like: Path | None,
    starter: bool,
) -> None:
    """Make a new workbook at PATH, .xlsx or .ods."""
    if like and example is not None:
        raise click.UsageError("--like begins with your past jobs, --example with ours; leave out one.")
    from sheetkit.jobs.new import new_workbook

    with _at_work(f"Making {path.name}"):
        lines = new_workbook(path, metric=metric, example=example, parts=parts, like=like, starter=starter)
    _say(*lines)


@main.command(epilog="Example: sheetkit adopt shop.ods")
@click.argument("path", type=PATH)
@click.option("--metric", is_flag=True, help="Sizes in mm, lumber in m3, A4 paper.")
@click.option("--parts", type=PATH, help="Fill Parts from a list: .csv, .xlsx or .ods.")
@click.option("--force", is_flag=True, help="Go on although the file seems to be open elsewhere.")
def adopt(path: Path, metric: bool, parts: Path | None, force: bool) -> None:
    """Put the input tabs, or columns that are new, into the workbook PATH that you keep already."""
    from sheetkit.jobs.new import adopted

    with _at_work(f"Putting tabs into {path.name}"):
        lines = adopted(path, metric=metric, parts=parts, force=force)
    _say(*lines)


@main.command(cls=LeavesThePath, epilog="Example: sheetkit client bench.xlsx --pdf --mail client@example.com")
@click.argument("path", type=PATH)
@click.option("--out", type=PATH, help="Write to this file; else NAME.client beside PATH.")
@click.option("--pdf", is_flag=True, help="Also as PDF, through LibreOffice.")
@click.option(
    "--mail",
    is_flag=False,
    flag_value="",
    metavar="[ADDRESS]",
    help="Also a draft message with it, to open in a mail program; nothing is sent.",
)
def client(path: Path, out: Path | None, pdf: bool, mail: str | None) -> None:
    """Write the client's copy: the quote of PATH alone, values only."""
    from sheetkit.jobs.new import client_file

    with _at_work(f"Writing the client's copy of {path.name}"):
        lines = client_file(path, out=out, pdf=pdf, mail=mail)
    _say(*lines)


@main.command(epilog="Example: sheetkit review past-jobs --out review.xlsx")
@click.argument("folder", type=PATH)
@click.option("--out", type=PATH, help="Also write a workbook, .xlsx or .ods.")
@JSON
def review(folder: Path, out: Path | None, as_json: bool) -> None:
    """Look back over the past jobs in FOLDER, side by side."""
    from sheetkit.jobs.review import review as look_back
    from sheetkit.jobs.review import write_review
    from sheetkit.terminal.report import review_report

    with _at_work(f"Looking back over {folder.name}", "review" if as_json else "") as progress:
        found = look_back(folder, progress)
        if out:
            write_review(found, out)
    if as_json:
        from sheetkit.data.plain import review_data

        _write_json(review_data(found.frames(), found.metric, file=out and str(out)))
        return
    _say(*review_report(found), *([f"Written to {out}."] if out else []))


@main.command(epilog="Example: sheetkit rack rack.xlsx")
@click.argument("path", type=PATH)
@click.option("--metric", is_flag=True, help="A new one with sizes in mm, on A4 paper.")
def rack(path: Path, metric: bool) -> None:
    """List the boards of the shop in PATH; make the workbook if it is not there."""
    from sheetkit.jobs.shop_rack import rack_listing
    from sheetkit.terminal.rack_report import listing_report

    with _at_work(f"Looking into {path.name}"):
        found = rack_listing(path, metric=metric)
    _say(*listing_report(found))
    sys.exit(1 if any(each.weight == "error" for each in found.problems) else 0)


@main.command(epilog="Example: sheetkit cut bench.xlsx")
@click.argument("job", type=PATH)
@click.option("--undo", is_flag=True, help="Put everything back as it was before the cut.")
@click.option("--force", is_flag=True, help="Go on although a file seems to be open elsewhere.")
def cut(job: Path, undo: bool, force: bool) -> None:
    """After cutting: take the used boards of JOB out of the rack and put its left-overs in."""
    from sheetkit.jobs.cut import cut as cut_boards
    from sheetkit.terminal.rack_report import cut_report

    with _at_work(f"Cutting {job.name}"):
        outcome = cut_boards(job, undo=undo, force=force)
    _say(*cut_report(outcome))


@main.command(cls=TakesWords, epilog="Example: sheetkit species white oak --climate 70 25 65 --width 14 1/4")
@click.argument("name", nargs=-1)
@click.option(
    "--climate",
    metavar="[TEMPERATURE DRIEST WETTEST]",
    help="Wood moisture in indoor air of this temperature and of this humidity at its driest and "
    "wettest, and how far panels move there. Without numbers: 6 to 11 % wood moisture.",
)
@click.option("--width", metavar="WIDTH", help="Width of the panel, as 14 1/4 or 360 mm.")
@click.option("--metric", is_flag=True, help="Temperature in C and width in mm, in place of F and inches.")
@JSON
def species(
    name: tuple[str, ...], climate: str | None, width: str | None, metric: bool, as_json: bool
) -> None:
    """Show the data that the tool uses for each species, or all about one."""
    from sheetkit.jobs.species import movements_asked, species_named

    asked = " ".join(name)
    with _at_work("Species", "species" if as_json else ""):
        if climate is None and width is None:
            found, moved = species_named(asked, metric), None
        else:
            moved = movements_asked(asked, climate or "", width, "mm" if metric else "in")
    if as_json:
        from sheetkit.data.plain import movement_data, species_data

        _write_json(movement_data(moved) if moved else species_data(found))
        return
    from sheetkit.terminal.species_report import movement_report, species_report

    _say(*(movement_report(moved) if moved else species_report(found)))


@main.command(epilog="Example: sheetkit explain Parts Width")
@click.argument("word", nargs=-1, metavar="[CODE|COLUMN|KEY]")
@click.option("--schema", is_flag=True, help="Print the JSON Schema of what --json writes.")
def explain(word: tuple[str, ...], schema: bool) -> None:
    """Say what a message, a column or a key of the JSON means; without a word, what can be asked."""
    if schema:
        from sheetkit.data.schema import shipped_schema

        click.echo(shipped_schema(), nl=False)
        return
    from sheetkit.terminal.explain_report import explain_report

    with _at_work("Explaining"):
        said = explain_report(" ".join(word))
    _say(*said)


@main.command(epilog="Example: sheetkit menu install")
@click.argument("what", type=click.Choice(["install", "remove"]))
def menu(what: str) -> None:
    """Put the menu Sheetkit into LibreOffice Calc, or take it away."""
    from sheetkit.jobs.menu import installed, removed

    with _at_work("Menu of LibreOffice Calc"):
        said = installed() if what == "install" else removed()
    _say(said)


if __name__ == "__main__":
    main(prog_name="sheetkit")

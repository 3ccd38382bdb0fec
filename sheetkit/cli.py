"""Arguments in, one call of the library, words and exit code out."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from sheetkit import __version__

EPILOG_RUN = "Example: sheetkit run bench.xlsx"


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="sheetkit")
def main() -> None:
    """Rough sizes, lumber, panels and shop sheets inside a furniture maker's own workbook."""


def _refuse(reason: str, detail: str) -> None:
    from sheetkit.problems import REFUSALS

    text = REFUSALS.get(reason, reason)
    click.echo(f"sheetkit: {text}" + (f" ({detail})" if detail else ""), err=True)
    sys.exit(2)


@main.command(epilog=EPILOG_RUN)
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--check", is_flag=True, help="Only look for problems; write nothing.")
@click.option("--out", type=click.Path(path_type=Path), help="Write to this file and leave PATH as it is.")
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
def run(path: Path, check: bool, out: Path | None, recalc: bool, force: bool, effort: float) -> None:
    """Work out the job in PATH and put the answers into the same workbook."""
    import gc

    from sheetkit.book.workbook import Refused
    from sheetkit.flow import run as work_out
    from sheetkit.report import layout_progress, outcome_lines

    gc.disable()  # one short run that makes no cycles: looking for them costs a third of the time on large jobs
    try:
        with layout_progress() as progress:
            outcome = work_out(
                path, check=check, out=out, recalc=recalc, force=force, effort=effort / 2, progress=progress
            )
    except Refused as refused:
        _refuse(refused.reason, refused.detail)
        return
    for line in outcome_lines(outcome, check=check):
        click.echo(line)
    sys.exit(0 if outcome.ok else 1)


@main.command(epilog="Example: sheetkit new bench.xlsx --example")
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--metric", is_flag=True, help="Sizes in mm, lumber in m3, A4 paper.")
@click.option("--example", is_flag=True, help="Filled with an example job.")
@click.option("--parts", type=click.Path(path_type=Path), help="Fill Parts from a list: .csv, .xlsx or .ods.")
def new(path: Path, metric: bool, example: bool, parts: Path | None) -> None:
    """Make a new workbook at PATH, .xlsx or .ods."""
    from sheetkit.book.workbook import Refused
    from sheetkit.new import new_workbook

    try:
        for line in new_workbook(path, metric=metric, example=example, parts=parts):
            click.echo(line)
    except Refused as refused:
        _refuse(refused.reason, refused.detail)


@main.command(epilog="Example: sheetkit adopt shop.ods")
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--metric", is_flag=True, help="Sizes in mm, lumber in m3, A4 paper.")
@click.option("--parts", type=click.Path(path_type=Path), help="Fill Parts from a list: .csv, .xlsx or .ods.")
@click.option("--force", is_flag=True, help="Go on although the file seems to be open elsewhere.")
def adopt(path: Path, metric: bool, parts: Path | None, force: bool) -> None:
    """Put the input tabs into the workbook PATH that you keep already."""
    from sheetkit.book.workbook import Refused
    from sheetkit.new import adopted

    try:
        for line in adopted(path, metric=metric, parts=parts, force=force):
            click.echo(line)
    except Refused as refused:
        _refuse(refused.reason, refused.detail)


@main.command(epilog="Example: sheetkit client bench.xlsx --pdf")
@click.argument("path", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), help="Write to this file; else NAME.client beside PATH."
)
@click.option("--pdf", is_flag=True, help="Also as PDF, through LibreOffice.")
def client(path: Path, out: Path | None, pdf: bool) -> None:
    """Write the client's copy: the quote of PATH alone, values only."""
    from sheetkit.book.workbook import Refused
    from sheetkit.new import client_file

    try:
        for line in client_file(path, out=out, pdf=pdf):
            click.echo(line)
    except Refused as refused:
        _refuse(refused.reason, refused.detail)


@main.command(epilog="Example: sheetkit review past-jobs --out review.xlsx")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Also write a workbook, .xlsx or .ods.")
def review(folder: Path, out: Path | None) -> None:
    """Look back over the past jobs in FOLDER, side by side."""
    from sheetkit.book.workbook import Refused
    from sheetkit.report import layout_progress, review_lines
    from sheetkit.review import review as look_back
    from sheetkit.review import write_review

    try:
        with layout_progress() as progress:
            found = look_back(folder, progress and (lambda name, share: progress("Past jobs", share)))
        if out:
            write_review(found, out)
    except Refused as refused:
        _refuse(refused.reason, refused.detail)
        return
    for line in review_lines(found):
        click.echo(line)
    if out:
        click.echo(f"Written to {out}.")


@main.command(epilog="Example: sheetkit species white oak")
@click.argument("name", nargs=-1)
def species(name: tuple[str, ...]) -> None:
    """Show the data that the tool uses for each species, or all about one."""
    from sheetkit.report import species_lines

    lines = species_lines(" ".join(name))
    for line in lines:
        click.echo(line)
    sys.exit(0 if lines else 2)


if __name__ == "__main__":
    main()

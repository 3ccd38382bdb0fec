"""How a command's words reach a person: tables on a terminal, plain aligned lines where they are piped on."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TextIO

import click

if TYPE_CHECKING:
    from rich.console import Console, RenderableType
    from rich.progress import Progress

SHORT = 40
"""A plain column with a longer cell than this is not padded: it holds sentences."""
COMFORT = 18
"""A column of a drawn table is not made narrower than this, unless all its cells are shorter."""
MANY = 1000
"""A table with more rows is not drawn, which would take seconds, but written as plain lines."""
PATIENCE = 0.8
"""Seconds of work after which a person at a terminal is shown that it goes on."""
LOOKALIKES = {
    "″": '"', "′": "'", "“": '"', "”": '"', "‘": "'", "’": "'", "×": "x", "→": "->", "–": "-", "—": "-",
    "−": "-", "‖": "||", "…": "...", "·": "-", "°": " deg ", "½": "1/2", "¼": "1/4", "¾": "3/4",
    "€": "EUR", "£": "GBP",
}  # fmt: skip
"""What to write where a terminal's code page lacks a sign."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows below headings, every cell as text."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    title: str = ""
    numbers: frozenset[int] = frozenset()
    """Columns, counted from 0, that are set to the right."""
    colors: Mapping[str, str] = field(default_factory=dict)
    """What a row's first cell may say -> the color it is drawn in."""


Said = str | Table
"""A line or a table that a command says."""


def at_terminal(stream: TextIO) -> bool:
    """Whether a person reads a stream on a terminal that can draw."""
    return stream.isatty() and os.environ.get("TERM", "").lower() not in ("dumb", "unknown")


def never_fail_on_a_sign() -> None:
    """Have standard output put ``?`` for a sign that its encoding lacks, as on an old Windows console."""
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors="replace")


def show(said: Iterable[Said], *, err: bool = False) -> None:
    """Print what a command says: drawn on a terminal, else as plain lines without color or frames."""
    stream = sys.stderr if err else sys.stdout
    encoding = stream.encoding or "utf-8"
    readable = [_readable(each, encoding) for each in _set_apart(said)]
    if at_terminal(stream):
        from rich.text import Text

        console = _console(stream)
        for each in readable:
            if isinstance(each, str):
                console.print(Text(each))
            elif len(each.rows) > MANY:
                click.echo("\n".join(plain_lines(each)), err=err)
            else:
                console.print(_drawn(each, console.width))
        return
    for each in readable:
        click.echo("\n".join([each] if isinstance(each, str) else plain_lines(each)), err=err)


def _set_apart(said: Iterable[Said]) -> Iterator[Said]:
    """Put an empty line before and after each table that does not stand alone."""
    before: Said | None = None
    for each in said:
        if before is not None and Table in (type(before), type(each)):
            yield ""
        yield each
        before = each


def writable(text: str, encoding: str) -> str:
    """Return a text in signs that an encoding has, on one line.

    >>> writable("3″ × 4″ → Küche", "cp437"), writable("☃", "cp1252")
    ('3" x 4" -> Küche', '?')
    """
    text = "".join(sign if sign.isprintable() else " " for sign in text)
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return "".join(_sign(sign, encoding) for sign in text)
    return text


def _sign(sign: str, encoding: str) -> str:
    try:
        sign.encode(encoding)
    except UnicodeEncodeError:
        return LOOKALIKES.get(sign, "?")
    return sign


def _readable(said: Said, encoding: str) -> Said:
    if isinstance(said, str):
        return writable(said, encoding)

    def row(cells: Iterable[str]) -> tuple[str, ...]:
        return tuple(writable(cell, encoding) for cell in cells)

    return Table(
        row(said.headings),
        tuple(map(row, said.rows)),
        writable(said.title, encoding),
        said.numbers,
        said.colors,
    )


def plain_lines(table: Table) -> list[str]:
    """Return a table, a line for each row, two spaces or more between columns, ``-`` for an empty cell.

    >>> woods = (("White oak", "0.68"), ("Ash", ""))
    >>> plain_lines(Table(("Species", "Gravity"), woods, numbers=frozenset({1})))
    ['Species    Gravity', 'White oak     0.68', 'Ash              -']
    """
    rows = [tuple(cell or "-" for cell in row) for row in (table.headings, *table.rows)]
    widths = [max(map(len, cells)) for cells in zip(*rows, strict=True)]
    lines = [table.title] if table.title else []
    for row in rows:
        cells = []
        for column, (cell, width) in enumerate(zip(row, widths, strict=True)):
            padding = 0 if width > SHORT else width
            cells.append(cell.rjust(padding) if column in table.numbers else cell.ljust(padding))
        lines.append("  ".join(cells).rstrip())
    return lines


def _console(stream: TextIO) -> Console:
    from rich.console import Console

    plain = bool(os.environ.get("NO_COLOR"))
    return Console(file=stream, color_system=None if plain else "auto", highlight=False, emoji=False)


def _drawn(table: Table, width: int) -> RenderableType:
    """Return a table as it is drawn; where it is too wide, the columns of a row fall under one another."""
    from rich.console import Group
    from rich.text import Text

    rows = _side_by_side(table) if _room_needed(table) <= width else _under_one_another(table)
    return Group(Text(table.title, "bold"), rows) if table.title else rows


def _room_needed(table: Table) -> int:
    """Return the least width at which a table reads well."""
    total = 0
    for column, heading in enumerate(table.headings):
        widest = max((len(row[column]) for row in table.rows), default=0)
        total += max(min(widest, COMFORT), *map(len, heading.split()))
    return total + len("  ") * (len(table.headings) - 1)


def _side_by_side(table: Table) -> RenderableType:
    from rich import box
    from rich.table import Table as Drawing
    from rich.text import Text

    drawing = Drawing(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0))
    for column, heading in enumerate(table.headings):
        drawing.add_column(
            Text(heading, "bold"), justify="right" if column in table.numbers else "left", overflow="fold"
        )
    for first, *others in table.rows:
        drawing.add_row(Text(first, table.colors.get(first, "")), *map(Text, others))
    return drawing


def _under_one_another(table: Table) -> RenderableType:
    from rich.console import Group
    from rich.padding import Padding
    from rich.table import Table as Drawing
    from rich.text import Text

    found: list[RenderableType] = []
    for first, *others in table.rows:
        lines = Drawing.grid(padding=(0, 2, 0, 0))
        lines.add_column(overflow="fold")
        lines.add_column(overflow="fold")
        for heading, cell in zip(table.headings[1:], others, strict=True):
            if cell:
                lines.add_row(heading, Text(cell))
        found += [Text(first, table.colors.get(first, "bold")), Padding(lines, (0, 0, 0, 2))]
    return Group(*found)


Tell = Callable[[str, float], None]
"""Called with what is being worked at and the share of it that is done."""


@contextmanager
def going_on(work: str) -> Iterator[Tell | None]:
    """Show one line on a terminal while work goes on, gone when it ends; None where nobody looks."""
    if not at_terminal(sys.stderr):
        yield None
        return
    progress, tell = _progress(work)
    start = threading.Timer(PATIENCE, progress.start)
    start.daemon = True
    start.start()
    try:
        yield tell
    finally:
        start.cancel()
        start.join()
        progress.stop()


def _progress(work: str) -> tuple[Progress, Tell]:
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn
    from rich.table import Column

    encoding = sys.stderr.encoding or "utf-8"
    utf = encoding.lower().startswith("utf")
    one_line = Column(no_wrap=True, overflow="ellipsis" if utf else "crop")
    words = TextColumn("{task.description}", markup=False, table_column=one_line)
    progress = Progress(
        SpinnerColumn("line"),
        words,
        BarColumn(10),
        TimeElapsedColumn(),
        console=_console(sys.stderr),
        transient=True,
    )
    whole = progress.add_task(writable(work, encoding), total=None)
    step = progress.add_task("", total=1.0, visible=False)

    def tell(name: str, share: float) -> None:
        progress.update(whole, visible=share >= 1)
        progress.update(step, visible=share < 1, description=writable(name, encoding), completed=share)

    return progress, tell

"""What the command ``explain`` says: one thing in full, several side by side, or all that can be asked."""

from __future__ import annotations

from collections.abc import Sequence

from sheetkit.data import keys
from sheetkit.data.keys import Key
from sheetkit.form.columns import Column
from sheetkit.jobs import explain
from sheetkit.jobs.explain import (
    ColumnMeant,
    KeyMeant,
    Meant,
    MessageMeant,
    RefusalMeant,
    TableMeant,
    TabMeant,
)
from sheetkit.records.messages import KINDS
from sheetkit.tables import other_names
from sheetkit.terminal.screen import Said, Table

WEIGHTS = {
    "error": "Nothing is calculated until it is put right.",
    "warning": "Everything is calculated, but see to it before you cut.",
    "note": "Nothing is to be done.",
}
BRACES = "A word in braces stands for what is in your workbook."
TOPICS = ("messages", "refusals", "units")


def explain_report(word: str) -> list[Said]:
    """Return what a word means; without one, all that can be explained.

    Raises
    ------
    Refused
        When it means nothing.
    """
    match word.casefold().strip():
        case "":
            return _all()
        case "messages":
            return [_messages(), BRACES]
        case "refusals":
            return [_refusals(), "Whatever goes wrong, the file stays as it was."]
        case "units":
            return _units()
    found = explain.meanings(word)
    alike = [each for each in found if isinstance(each, ColumnMeant | KeyMeant)]
    full = found if len(alike) == 1 else [each for each in found if each not in alike]
    said = [line for each in full for line in _in_full(each)]
    if len(alike) > 1:
        said += [
            Table(("What", "Where", "What it means"), tuple(map(_in_short, alike))),
            "One of them in full: write where before what, as in: sheetkit explain Parts Width",
        ]
    return said


def _all() -> list[Said]:
    tabs = tuple(
        (each.title, f"A row is {each.row_is}." if each.row_is else each.help[0]) for each in explain.tabs()
    )
    told = tuple(
        (each.table.name, each.command, f"A row is {each.table.row_is}.") for each in explain.json_tables()
    )
    return [
        Table(("Tab", "What stands on it"), tabs, "Tabs that you fill in"),
        Table(("Table", "Command", "What stands in it"), told, "Tables of --json"),
        "Explained are each tab and column (sheetkit explain Parts Width), each message by its code "
        "(sheetkit explain provisional), each table and key of --json (sheetkit explain lumber.buy), and "
        f"the lists: {', '.join(TOPICS)}.",
    ]


def _in_short(meant: ColumnMeant | KeyMeant) -> tuple[str, str, str]:
    if isinstance(meant, ColumnMeant):
        return meant.column.heading, meant.tab, meant.column.help
    return meant.key.name, f"{meant.table.name} in {meant.command} --json", meant.key.meaning


def _in_full(meant: Meant) -> list[Said]:
    match meant:
        case ColumnMeant():
            return list(_column(meant))
        case TabMeant():
            return _tab(meant)
        case MessageMeant(code, message):
            return [
                f"{code}: a message, {KINDS[message.weight]}. {WEIGHTS[message.weight]}",
                f"It says: {message.says}",
                f"What to do: {message.instead}",
                *([BRACES] if "{" in message.says + message.instead else []),
            ]
        case RefusalMeant(code, says):
            return [
                f"{code}: why a command cannot be carried out; the file stays as it was.",
                f"It says: {says}",
            ]
        case TableMeant():
            return _table(meant)
        case KeyMeant(command, table, key):
            return [
                f"{table.name}.{key.name}: a key in the JSON of sheetkit {command}.",
                key.meaning,
                f"Value: {_holds(key)}.",
            ]


def _column(meant: ColumnMeant) -> Sequence[str]:
    column = meant.column
    what = "a label on" if meant.labeled else "a column of"
    filled = ", filled in by sheetkit" if meant.filled_in else ""
    lines = [
        f"{column.heading}: {what} the tab {meant.tab}{filled}.",
        column.help,
        f"In the cell: {column.kind}.",
    ]
    if column.choices:
        lines.append(f"Write one of: {column.choices_listed}.")
    if not meant.filled_in:
        lines.append(f"When empty: {_when_empty(column) or 'nothing is assumed'}.")
    if column.example and not column.choices and not meant.filled_in:
        lines.append(f"Example: {column.example}")
    others = (*column.synonyms, *other_names("heading").get(column.heading, ()))
    if others and not meant.filled_in:
        lines.append(f"Also found as: {', '.join(others)}.")
    if meant.told:
        table, key = meant.told
        lines.append(f"In --json: {table.name}.{key.name}: {_holds(key)}.")
    return lines


def _when_empty(column: Column) -> str:
    return "not allowed, it is needed" if column.required else column.default


def _tab(meant: TabMeant) -> list[Said]:
    asked = tuple(
        (each.column.heading, str(each.column.kind), each.column.help, _empty_cell(each.column))
        for each in meant.columns
        if not each.filled_in
    )
    filled = tuple((each.column.heading, each.column.help) for each in meant.columns if each.filled_in)
    row = f" A row is {meant.row_is}." if meant.row_is else ""
    said: list[Said] = [
        f"{meant.title}: a tab that you fill in.{row}",
        *meant.help,
        Table(("Heading", "In the cell", "What it means", "When empty"), asked),
    ]
    return [*said, Table(("Heading", "What it means"), filled, "Filled in by sheetkit")] if filled else said


def _empty_cell(column: Column) -> str:
    return "needed" if column.required else column.default


def _table(meant: TableMeant) -> list[Said]:
    table, own = meant.table, explain.own_keys(meant)
    said: list[Said] = [
        f"{table.name}: a table in the JSON of sheetkit {meant.command}. A row is {table.row_is}."
    ]
    columns = [f"{key.name} ({_holds(key)})" for key in table.keys if key not in own]
    if columns:
        said.append(f"Keys that are columns of the tab {table.tab or 'Job'}: {', '.join(columns)}.")
    if own:
        rows = tuple((key.name, _holds(key), key.meaning) for key in own)
        said.append(Table(("Key", "Value", "What it means"), rows))
    return said


def _holds(key: Key) -> str:
    """Return what a key holds, with its units."""
    holds = key.holds
    if holds in keys.BARE:
        words = holds
    elif holds in keys.UNITS:
        inch, mm = keys.UNITS[holds]
        words = f"{holds} [{inch}]" if inch == mm else f"{holds} [{inch}; {mm} in a mm job]"
    else:
        words = keys.FIXED.get(holds, holds)
    return f"list of {words}" if key.many else words


def _messages() -> Table:
    rows = tuple(
        (KINDS[each.message.weight], each.code, each.message.says, each.message.instead)
        for each in explain.messages()
    )
    return Table(("Kind", "Code", "What it says", "What to do"), rows)


def _refusals() -> Table:
    return Table(("Why", "What it says"), tuple((each.code, each.says) for each in explain.refusals()))


def _units() -> list[Said]:
    rows = tuple((name, inch, mm) for name, (inch, mm) in keys.UNITS.items())
    return [
        Table(("What", "Inch job", "mm job"), rows, "Units in --json"),
        "volume is bf (board feet) or m3 as Board measure on Job says, money is in the currency of Job, "
        "price is money for each bf or m3, rate is money for each hour.",
    ]

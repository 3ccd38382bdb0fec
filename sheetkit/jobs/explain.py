"""What a word of the workbook, of a message or of the JSON means, looked up where each is declared."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache

from sheetkit.book.workbook import Refused
from sheetkit.data import keys
from sheetkit.data.keys import Key, Table
from sheetkit.form import labels
from sheetkit.form import quote_words as words
from sheetkit.form.columns import BOUGHT, TABLES, Column, Tab, heading_key
from sheetkit.records.messages import MESSAGES, REFUSALS, Message


@dataclass(frozen=True, slots=True)
class ColumnMeant:
    """A column of a tab, or a labeled value of Job or Allowances."""

    tab: str
    column: Column
    filled_in: bool = False
    """Whether sheetkit fills it in."""
    labeled: bool = False
    told: tuple[Table, Key] | None = None
    """The table and key that tell it in JSON."""


@dataclass(frozen=True, slots=True)
class TabMeant:
    """A tab with all that it asks and answers."""

    title: str
    row_is: str
    help: tuple[str, ...]
    columns: tuple[ColumnMeant, ...]


@dataclass(frozen=True, slots=True)
class MessageMeant:
    """A message about a workbook."""

    code: str
    message: Message


@dataclass(frozen=True, slots=True)
class RefusalMeant:
    """Why a command cannot be carried out."""

    code: str
    says: str


@dataclass(frozen=True, slots=True)
class TableMeant:
    """A table of the JSON of a command."""

    command: str
    table: Table


@dataclass(frozen=True, slots=True)
class KeyMeant:
    """A key of the JSON that is no column of a tab."""

    command: str
    table: Table
    key: Key


Meant = ColumnMeant | TabMeant | MessageMeant | RefusalMeant | TableMeant | KeyMeant


def meanings(word: str) -> tuple[Meant, ...]:
    """Return all that a word means, its own name before another word for it.

    Parameters
    ----------
    word
        A tab, a column or label (``Width``, ``Parts Width``), a code (``not-a-length``), a table or key of
        the JSON (``lumber``, ``lumber.buy``). Case, spaces and marks between words do not count.

    Raises
    ------
    Refused
        When it means nothing, with the nearest names.

    Examples
    --------
    >>> [found.tab for found in meanings("panels width")], meanings("EMPTY")[0].code
    (['Panels'], 'empty')
    """
    wanted = _compared(word)
    found = _names().get(wanted) or _other_names().get(wanted)
    if not found:
        raise Refused("not explained", f"{word}; perhaps {', '.join(nearest(word))}")
    return found


def nearest(word: str, count: int = 5) -> tuple[str, ...]:
    """Return the names most like a word, as they are written.

    >>> nearest("blank widht")[0], nearest("not-a-lenght")[0]
    ('Blank width', 'not-a-length')
    """
    wanted, known = _compared(word), _names() | _other_names()
    holding = sorted((name for name in known if len(wanted) > 2 and wanted in name), key=len)
    close = difflib.get_close_matches(wanted, known, n=2 * count, cutoff=0.5)
    ranked = (*close[:2], *holding, *close, "parts", "lumber", "messages")
    written = (_written(known[name][0]) if name in known else name for name in ranked)
    return tuple(dict.fromkeys(written))[:count]


def tabs() -> tuple[TabMeant, ...]:
    """Return every tab that is filled in, in the order of the template."""
    told = {table.tab: table for table in keys.OF_TABS}
    found = {tab.title: _tab(tab, told.get(tab.title)) for tab in (*TABLES, BOUGHT)}
    found[labels.JOB_TITLE] = _labeled(labels.JOB_TITLE, labels.JOB_HELP, labels.JOB, keys.JOB_TABLE)
    found[labels.ALLOWANCES_TITLE] = _labeled(
        labels.ALLOWANCES_TITLE,
        labels.ALLOWANCES_HELP,
        (*labels.CLASS_COLUMNS, *labels.ALLOWANCES),
    )
    found[words.QUOTE_WORDS_TITLE] = _tab(
        Tab(words.QUOTE_WORDS_TITLE, "a word of the quote", words.QUOTE_WORDS_HELP, words.COLUMNS), None
    )
    return tuple(found[title] for title in (*labels.INPUT_ORDER, BOUGHT.title))


def messages() -> tuple[MessageMeant, ...]:
    """Return every message about a workbook."""
    return tuple(MessageMeant(code, message) for code, message in MESSAGES.items())


def refusals() -> tuple[RefusalMeant, ...]:
    """Return every reason why a command cannot be carried out."""
    return tuple(RefusalMeant(code, says) for code, says in REFUSALS.items())


def json_tables() -> tuple[TableMeant, ...]:
    """Return every table of the JSON, by command."""
    commands = (
        ("run", (*keys.TABLES_OF_RUN, keys.PROBLEMS)),
        ("review", keys.TABLES_OF_REVIEW),
        ("species", (keys.SPECIES,)),
        ("species --climate", (keys.CLIMATE, keys.MOVEMENT)),
    )
    return tuple(TableMeant(command, table) for command, tables in commands for table in tables)


def own_keys(told: TableMeant) -> tuple[Key, ...]:
    """Return the keys of a table that are no columns of a tab."""
    columns = told.table.asked | told.table.beside
    if told.table is keys.JOB_TABLE:
        columns = frozenset(label.name for label in labels.JOB)
    return tuple(key for key in told.table.keys if key.name not in columns)


def _tab(tab: Tab, told: Table | None) -> TabMeant:
    columns = (
        ColumnMeant(tab.title, column, filled_in, told=_told(told, column))
        for filled_in, columns in ((False, tab.asked), (True, tab.answered))
        for column in columns
    )
    return TabMeant(tab.title, tab.row_is, tab.help, tuple(columns))


def _labeled(
    title: str, help: tuple[str, ...], declared: Iterable[Column], told: Table | None = None
) -> TabMeant:
    columns = (
        ColumnMeant(
            title,
            column,
            filled_in=column.name in labels.LIVE,
            labeled=column not in labels.CLASS_COLUMNS,
            told=_told(told, column),
        )
        for column in declared
    )
    return TabMeant(title, "", help, tuple(columns))


def _told(table: Table | None, column: Column) -> tuple[Table, Key] | None:
    key = table and next((key for key in table.keys if key.name == column.name), None)
    return (table, key) if table and key else None


def _compared(word: str) -> str:
    return heading_key(word.replace("!", "").replace("/", ""))


def _named() -> Iterator[tuple[str, Meant]]:
    """Yield each name by which something is known, and what it is."""
    for tab in tabs():
        yield tab.title, tab
        for each in tab.columns:
            for name in (each.column.heading, each.column.name):
                yield name, each
                yield f"{tab.title} {name}", each
    for message in messages():
        yield message.code, message
    for refusal in refusals():
        yield refusal.code, refusal
    for told in json_tables():
        yield told.table.name, told
        for key in own_keys(told):
            found = KeyMeant(told.command, told.table, key)
            yield key.name, found
            yield f"{told.table.name} {key.name}", found


@cache
def _names() -> dict[str, tuple[Meant, ...]]:
    return _gathered(_named())


@cache
def _other_names() -> dict[str, tuple[Meant, ...]]:
    """Return what other words for columns mean."""
    columns = (each for tab in tabs() for each in tab.columns)
    return _gathered(
        (name, each)
        for each in columns
        for other in each.column.synonyms
        for name in (other, f"{each.tab} {other}")
    )


def _gathered(named: Iterable[tuple[str, Meant]]) -> dict[str, tuple[Meant, ...]]:
    found: dict[str, list[Meant]] = {}
    for name, meant in named:
        there = found.setdefault(_compared(name), [])
        if meant not in there:
            there.append(meant)
    return {name: tuple(each) for name, each in found.items()}


def _written(meant: Meant) -> str:
    match meant:
        case ColumnMeant():
            return meant.column.heading
        case TabMeant():
            return meant.title
        case TableMeant():
            return meant.table.name
        case KeyMeant():
            return f"{meant.table.name}.{meant.key.name}"
        case MessageMeant() | RefusalMeant():
            return meant.code

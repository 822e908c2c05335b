"""Whether every stored value is what its column may hold: by the column's type, its length, its words, its rules.

SQLite takes any value in any column, and a file may have been written by another hand; a server holds its types itself.
SQL finds what isn't plainly right, and the column's own reader has the last word on that. What a value means beyond its
type (a ring's size, a kept layout, price breaks) is read as the program reads it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any, Final

from sqlalchemy import (
    BigInteger,
    Boolean,
    CheckConstraint,
    Column,
    Connection,
    Date,
    DateTime,
    Enum,
    Integer,
    LargeBinary,
)
from sqlalchemy import Table as Listing
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session

from catalog.fasteners.sizes import thread_named
from models.errors import InvalidInputError
from models.inventory.items import clean_size_key
from models.search.terms import DECIMAL_POINT
from models.storage import append_only
from models.storage.finding import Finding
from models.stored_picture import size_of
from models.supplier_lists.figures import MARKS
from models.supplier_lists.words import Field
from models.tables import Table

SHOWN: Final = 3
"""Rows named for one column; the rest are counted."""
_BREAKS: Final = re.compile(r"(?:[1-9]\d{0,8}:\d{1,18}/[1-9]\d{0,8}(?: |$))*")
# With a modifier SQLite works the day out; without one it says the 31st of February again.
_DAY: Final = "date({c}, '+0 days') IS NOT {c}"
_MOMENT: Final = (
    "{c} NOT GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9] [0-9][0-9]:[0-9][0-9]:[0-9][0-9].[0-9][0-9][0-9]*'"
    " OR date(substr({c}, 1, 10), '+0 days') IS NOT substr({c}, 1, 10)"
    " OR time(substr({c}, 12, 8)) IS NOT substr({c}, 12, 8)"
)


def findings(session: Session) -> list[Finding]:
    """Everything in the tables that a column may not hold, and what stands in the schema that isn't ours."""
    connection = session.connection()
    if connection.dialect.name != "sqlite":
        return list(_meanings(connection))
    found = list(schema(connection))
    if found:
        return found
    for table in Table.metadata.sorted_tables:
        found += of_table(connection, table)
    return found or list(_meanings(connection))


def of_table(connection: Connection, table: Listing) -> list[Finding]:
    """What the columns of one table in a SQLite file may not hold; then what breaks a rule of it."""
    columns = list(table.columns)
    suspects = [_condition(connection, column) for column in columns]
    rules = [rule for rule in table.constraints if isinstance(rule, CheckConstraint)]
    # A long table is gone through once, and again only where something in it isn't plainly right.
    wrong = " OR ".join((*suspects, *(f"NOT ({rule.sqltext})" for rule in rules)))
    if not connection.exec_driver_sql(f"SELECT EXISTS (SELECT 1 FROM {table.name} WHERE {wrong})").scalar():
        return []
    seen = _any(connection, table, suspects)
    found = [
        one
        for column, suspect, is_there in zip(columns, suspects, seen, strict=True)
        if is_there
        for one in _typed(connection, table, column, suspect)
    ]
    if found or not rules:
        return found
    broken = _any(connection, table, [f"NOT ({rule.sqltext})" for rule in rules])
    pairs = zip(rules, broken, strict=True)
    return [one for rule, is_there in pairs if is_there for one in _ruled(connection, table, rule)]


def _any(connection: Connection, table: Listing, conditions: Sequence[str]) -> Sequence[Any]:
    """Whether each of the conditions holds in some row."""
    asked = ", ".join(f"max({one})" for one in conditions)
    return connection.exec_driver_sql(f"SELECT {asked} FROM {table.name}").one()


def _condition(connection: Connection, column: Column[Any]) -> str:
    """SQL that is true where what a column holds isn't plainly right."""
    name = f'"{column.name}"'
    suspect = _suspect(connection, column)[0]
    if _is_row_number(column):
        return suspect.partition(" OR ")[2]
    # What is compared with nothing is nothing, which is not true: only its kind tells it.
    return f"({name} IS NOT NULL AND ({suspect}))" if column.nullable else f"({name} IS NULL OR {suspect})"


def _is_row_number(column: Column[Any]) -> bool:
    """Whether it is the number that SQLite itself keeps of a row: always there, and always a whole one."""
    alone = len(column.table.primary_key.columns) == 1
    return column.primary_key and alone and isinstance(column.type, Integer)


def schema(connection: Connection) -> Iterator[Finding]:
    """Tables and columns that are missing in a SQLite file, triggers that are missing or not ours, and views."""
    for table in Table.metadata.sorted_tables:
        there = {row[1] for row in connection.exec_driver_sql(f"PRAGMA table_info({table.name})")}
        missing = [column.name for column in table.columns if column.name not in there]
        if missing:
            yield Finding(table.name, f"has no {', '.join(missing)}" if there else "is not there")
    yield from foreign(connection)
    kept = {name for (name,) in connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'trigger'")}
    for name in sorted(set(_triggers()) - kept):
        yield Finding(name, "is missing: this trigger keeps the ledger as it was written")


def foreign(connection: Connection) -> Iterator[Finding]:
    """Triggers and views in a SQLite file that Kitwright never made: they may do anything with what is written."""
    ours = _triggers()
    for kind, name, sql in connection.exec_driver_sql(
        "SELECT type, name, sql FROM sqlite_master WHERE type IN ('trigger', 'view') ORDER BY name"
    ):
        if kind == "view" or ours.get(name) != _plain(sql):
            yield Finding(f"the {kind} {name}", "is not one of Kitwright's")


def _triggers() -> dict[str, str]:
    made = [one for one in append_only.statements("sqlite") if one.startswith("CREATE TRIGGER ")]
    return {one.split()[2]: _plain(one) for one in made}


def _plain(sql: str | None) -> str:
    return " ".join((sql or "").split())


def _typed(connection: Connection, table: Listing, column: Column[Any], suspect: str) -> Iterator[Finding]:
    """What a column holds that isn't of its type. Asked as bytes: what is no text can't be read as one."""
    reads = _suspect(connection, column)[1]
    keys = ", ".join(f'"{one.name}"' for one in table.primary_key.columns)
    name = f'"{column.name}"'
    asked = f"SELECT typeof({name}), CAST({name} AS BLOB), {keys} FROM {table.name} WHERE {suspect}"
    yield from _told(
        table,
        column.name,
        (
            (key, why)
            for kind, said, *key in connection.exec_driver_sql(asked)
            if (why := _wrong(column, kind, said, reads))
        ),
    )


def _suspect(connection: Connection, column: Column[Any]) -> tuple[str, Callable[[str], object]]:
    """SQL that is true where the value isn't plainly right, and what reads such a value; it raises where it can't."""
    name = f'"{column.name}"'
    kind = column.type
    if isinstance(kind, (Date, DateTime)) or type(kind).__name__ == "UTCDateTime":
        reads = kind.dialect_impl(connection.dialect).result_processor(connection.dialect, None)
        form = _DAY if isinstance(kind, Date) else _MOMENT
        return f"typeof({name}) <> 'text' OR {form.format(c=name)}", reads or str
    if isinstance(kind, Boolean):
        return f"typeof({name}) <> 'integer' OR {name} NOT BETWEEN 0 AND 1", str
    if isinstance(kind, Integer):
        most = 2**63 - 1 if isinstance(kind, BigInteger) else 2**31 - 1
        return f"typeof({name}) <> 'integer' OR {name} NOT BETWEEN -{most} AND {most}", str
    if isinstance(kind, Enum):
        words = set(kind.enums)
        # Not `IN`: SQLite would look each value up in a table of its own. No number and no bytes equal a word.
        is_one = " OR ".join(f"{name} = '{word}'" for word in kind.enums)
        return f"NOT ({is_one})", lambda said: _one_of(said, words)
    if isinstance(kind, LargeBinary):
        return f"typeof({name}) <> 'blob'", str
    length = getattr(kind, "length", None)
    longer = f" OR length({name}) > {length}" if length else ""
    # A row's search words have this dot in every number with decimals.
    seen = f"replace({name}, '{DECIMAL_POINT}', '.')" if column.name == "words" else name
    # A letter beyond ASCII, or a NUL: there SQLite stops counting.
    beyond = (
        f"{seen} GLOB '*[^' || char(1) || '-' || char(127) || ']*' OR length({seen}) <> length(CAST({seen} AS BLOB))"
    )
    # Most texts of a ledger are empty: those are told at once.
    return f"typeof({name}) <> 'text' OR ({name} <> '' AND (0{longer} OR {beyond}))", str


def _one_of(said: str, words: set[str]) -> None:
    if said not in words:
        raise ValueError(said)


def _wrong(column: Column[Any], kind: str, said: bytes | None, reads: Callable[[str], object]) -> str:
    """Why a value that isn't plainly right can't be; nothing where it can."""
    asked = _asked(column)
    if said is None or kind == "null":
        return "holds nothing"
    if isinstance(column.type, Integer | Boolean):
        return f"holds {_shown(said)} where {asked} belongs"
    if isinstance(column.type, LargeBinary):
        return "" if kind == "blob" else f"holds {_article(kind)} where {asked} belongs"
    if kind != "text":
        return f"holds {_article(kind)} where {asked} belongs"
    try:
        text = said.decode()
        reads(text)
    except UnicodeDecodeError:
        return "holds text that is no UTF-8"
    except (ValueError, LookupError, TypeError):
        return f"holds “{_shown(said)}” where {asked} belongs"
    length = getattr(column.type, "length", None)
    if "\0" in text:
        return "holds the character NUL"
    if length and len(text) > length and not isinstance(column.type, Enum):
        return f"holds {len(text)} characters where {length} fit"
    return ""


def _article(kind: str) -> str:
    return f"{'an' if kind == 'integer' else 'a'} {kind}"


def _asked(column: Column[Any]) -> str:
    kind = column.type
    if isinstance(kind, Date):
        return "a day"
    if isinstance(kind, DateTime) or type(kind).__name__ == "UTCDateTime":
        return "a moment"
    if isinstance(kind, Boolean):
        return "0 or 1"
    if isinstance(kind, Integer):
        return "a whole number"
    if isinstance(kind, LargeBinary):
        return "a picture"
    return f"one of {', '.join(kind.enums)}" if isinstance(kind, Enum) else "text"


def _shown(said: bytes) -> str:
    text = said[:80].decode(errors="replace")
    return text[:40] + "…" * (len(text) > 40)


def _ruled(connection: Connection, table: Listing, rule: CheckConstraint) -> Iterator[Finding]:
    """Rows that break a rule of their table."""
    keys = ", ".join(f'"{one.name}"' for one in table.primary_key.columns)
    broken = connection.exec_driver_sql(f"SELECT {keys} FROM {table.name} WHERE NOT ({rule.sqltext})")
    name = str(rule.name).removeprefix(f"ck_{table.name}_")
    yield from _told(table, f"rule {name}", ((key, f"breaks it: {rule.sqltext}") for key in broken))


def _meanings(connection: Connection) -> Iterator[Finding]:
    """Values of the right type that say what the program can't read."""
    for table in Table.metadata.sorted_tables:
        for column in table.columns:
            reads = _READERS.get(f"{table.name}.{column.name}") or _READERS.get(column.name)
            if reads is None:
                continue
            keys = ", ".join(f'"{one.name}"' for one in table.primary_key.columns)
            seen = connection.exec_driver_sql(
                f'SELECT "{column.name}", {keys} FROM {table.name} WHERE "{column.name}" <> \'\''
            )
            yield from _told(
                table, column.name, ((key, why) for said, *key in seen if (why := _unread(column, reads, said)))
            )
    yield from _pictures(connection)


def _pictures(connection: Connection) -> Iterator[Finding]:
    """Pictures that are none, or not as large as their row says. One at a time: together they may be a gigabyte."""
    table = Table.metadata.tables["pictures"]
    keys = [key for (key,) in connection.exec_driver_sql("SELECT id FROM pictures ORDER BY id").all()]
    yield from _told(table, "jpeg", (([key], why) for key in keys if (why := _no_picture(connection, key))))


def _no_picture(connection: Connection, key: int) -> str:
    row = connection.exec_driver_sql(f"SELECT jpeg, width, height FROM pictures WHERE id = {int(key)}").one()
    try:
        size = size_of(bytes(row.jpeg))
    except ValueError as problem:
        return f"holds no picture that can be read: {problem}"
    if size != (row.width, row.height):
        return f"holds a picture of {size[0]} × {size[1]} pixels, and the row says {row.width} × {row.height}"
    return ""


def _unread(column: Column[Any], reads: Callable[[str], object], said: str) -> str:
    try:
        reads(said)
    except (InvalidInputError, ValueError, LookupError, TypeError, AttributeError):
        return f"holds “{_shown(said.encode())}”, which can't be read"
    return ""


def _size(said: str) -> None:
    if said not in _KNOWN_SIZES:
        clean_size_key(said)
        _KNOWN_SIZES.add(said)


def _layout(said: str) -> None:
    kept = json.loads(said)
    if not isinstance(kept["headers"], bool) or kept["mark"] not in MARKS:
        raise ValueError(said)
    for header, at, field, from_packs in kept["columns"]:
        Field(field)
        if not (isinstance(header, str) and isinstance(at, int) and at >= 0):
            raise ValueError(said)
        if not (from_packs is None or isinstance(from_packs, int)):
            raise ValueError(said)


def _breaks(said: str) -> None:
    if _BREAKS.fullmatch(said) is None:
        raise ValueError(said)


def _gtin(said: str) -> None:
    if not (said.isascii() and said.isdigit() and len(said) == 14):
        raise ValueError(said)


_KNOWN_SIZES: Final[set[str]] = set()
_READERS: Final[dict[str, Callable[[str], object]]] = {
    "size_key": _size,
    "layout": _layout,
    "breaks": _breaks,
    "gtin": _gtin,
    "own_ports.thread": thread_named,
}
"""By column, or by table and column where the name alone means other things too."""


def _told(table: Listing, column: str, wrong: Iterator[tuple[Sequence[Any], str]]) -> Iterator[Finding]:
    """The first rows by their key, and how many more there are."""
    more = 0
    try:
        for count, (key, why) in enumerate(wrong):
            if count < SHOWN:
                yield Finding(f"{table.name} row {'/'.join(str(part) for part in key)}, {column}", why)
            else:
                more += 1
    except (DBAPIError, UnicodeDecodeError):  # a key that can't be read itself
        yield Finding(f"{table.name}, {column}", "can't be read")
    if more:
        yield Finding(f"{table.name}, {column}", f"{more} more rows hold what can't be")

"""A supplier's file and what the database has, walked side by side in the order of the part numbers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final, NamedTuple

from sqlalchemy import Row, bindparam, select
from sqlmodel import Session

from models.supplier_lists.entries import Entry
from models.supplier_lists.progress import EVERY, Watch, tell
from models.supplier_lists.scratch import Scratch
from models.tables import ListRow

PAGE: Final = 5000
"""Rows of the database that are looked at in one go."""
_TABLE: Final = ListRow.metadata.tables["list_rows"]
_NEXT: Final = (
    select(*(_TABLE.c[name] for name in ("id", "withdrawn_list_id", "priced_list_id", *Entry._fields)))
    .where(_TABLE.c.supplier_id == bindparam("who"), _TABLE.c.number > bindparam("after"))
    .order_by(_TABLE.c.number)
    .limit(PAGE)
)


class Step(NamedTuple):
    """A line beside the database's row, if there is one: its id, whether it was withdrawn, the list of its price."""

    line: int
    before: Entry | None
    after: Entry | None
    row_id: int = 0
    was_withdrawn: bool = False
    priced_list_id: int = 0


def compared(session: Session, scratch: Scratch, supplier_id: int, lines: int, watch: Watch | None) -> Iterator[Step]:
    """The same steps, while a watcher is told how far of so many lines they are."""
    for count, step in enumerate(steps(session, scratch, supplier_id), 1):
        if count % EVERY == 0:
            tell(watch, "comparing", count, min(1.0, count / lines))
        yield step


def steps(session: Session, scratch: Scratch, supplier_id: int) -> Iterator[Step]:
    """Walk file and database side by side, by part number. Rows that agree are given too.

    A row whose line was refused is left out: a price that can't be read takes nothing off the list. What was given may
    be written at once: rows are looked at up to the last number given, or further, and never again.
    """
    present = _present(session, supplier_id)
    held = next(present, None)
    for line, entry in scratch.in_order():
        while held is not None and held.number < entry.number:
            yield from _gone(scratch, held)
            held = next(present, None)
        if held is not None and held.number == entry.number:
            yield _step(line, entry, held)
            held = next(present, None)
        else:
            yield Step(line, None, entry)
    while held is not None:
        yield from _gone(scratch, held)
        held = next(present, None)


def _present(session: Session, supplier_id: int) -> Iterator[Row[Any]]:
    """What the database has of this supplier, page after page: no cursor stays open while rows are written."""
    connection = session.connection()
    after = ""
    while True:
        page = connection.execute(_NEXT, {"who": supplier_id, "after": after}).all()
        yield from page
        if len(page) < PAGE:
            return
        after = page[-1].number


def _step(line: int, entry: Entry | None, held: Row[Any]) -> Step:
    before = Entry._make(held[3:])
    return Step(line, before, entry, held.id, held.withdrawn_list_id is not None, held.priced_list_id)


def _gone(scratch: Scratch, held: Row[Any]) -> Iterator[Step]:
    if held.withdrawn_list_id is None and not scratch.is_refused(held.number):
        yield _step(0, None, held)

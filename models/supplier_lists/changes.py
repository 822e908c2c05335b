"""What a file would do to a supplier's list, row by row: added, changed, withdrawn, refused."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from sqlmodel import Session

from models.supplier_lists.entries import Entry, RefusedLine
from models.supplier_lists.merge_walk import Step, compared
from models.supplier_lists.progress import Watch
from models.supplier_lists.recognise import Recognised, recognise
from models.supplier_lists.staging import Staged
from models.supplier_lists.words import Does


class Change(NamedTuple):
    """What happens to one row. `before` or `after` is None where there is no such row; `line` 0: not in the file.

    `reading`: what was read from the text of a row that is new or has another name. `what`: the fields that change.
    """

    does: Does
    line: int
    number: str
    before: Entry | None
    after: Entry | None
    what: tuple[str, ...] = ()
    reading: Recognised | None = None
    reason: str = ""


def changes(session: Session, staged: Staged, supplier_id: int, *, watch: Watch | None = None) -> Iterator[Change]:
    """The dry run, streamed: first what is refused, in the file's order, then every difference by part number."""
    for refused in staged.refused():
        yield _refusal(refused)
    for step in compared(session, staged.scratch, supplier_id, staged.entries, watch):
        if step.before is None or step.after is None or step.before != step.after or step.was_withdrawn:
            yield _change(step)


def _refusal(line: RefusedLine) -> Change:
    return Change(Does.REFUSED, line.line, line.number, None, None, reason=line.reason)


def _change(step: Step) -> Change:
    before, after = step.before, step.after
    if after is None:
        assert before is not None
        return Change(Does.WITHDRAWN, 0, before.number, before, None)
    if before is None or step.was_withdrawn:
        return Change(Does.ADDED, step.line, after.number, None, after, reading=recognise(after.name, after.number))
    what = tuple(name for name, old, new in zip(Entry._fields, before, after, strict=True) if old != new)
    reading = recognise(after.name, after.number) if before.name != after.name else None
    return Change(Does.CHANGED, step.line, after.number, before, after, what, reading)

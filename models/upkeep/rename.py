"""Another name for an item, a bin, a machine or a supplier: all that hangs on it stays where it is."""

from __future__ import annotations

import json
from typing import Any

from sqlmodel import Session

from models import row_snapshots
from models.actions import claim
from models.acts import Act
from models.errors import AlreadyThereError, CannotUndoError
from models.inventory.items import folded_of
from models.rows import find
from models.tables import Action, Bin, Item, RowSnapshot
from models.text import clean, fold
from models.upkeep.named import TABLES, Changed, Named, What, column_of, held, name_of, refuse_taken


def rename(session: Session, act: Act, what: What, row_id: int, name: str) -> Changed:
    """Give it another name. Raises `NotFoundError`, `InvalidInputError`, `AlreadyThereError`."""
    label = " ".join(clean(name, "bin code" if what is What.BIN else "name").split())
    before = name_of(find(session, TABLES[what], row_id, what.value))
    made = claim(session, act, f"{what.value}s.rename", f"{before} to {label}", subject_id=row_id)
    if made.first:
        row = held(session, what, row_id)
        before = name_of(row)
        if label != before:
            refuse_taken(session, what, label, row_id)
            row_snapshots.write_over(session, made.action_id, row, **_written(row, what, label))
    return Changed(what, row_id, label, before)


def refuse_undo(session: Session, done: Action, what: What) -> None:
    """Raise `CannotUndoError` where the name it had before was given to another since."""
    before = json.loads(session.get_one(RowSnapshot, done.id).said)[column_of(what)]
    try:
        refuse_taken(session, what, before, done.subject_id or 0)
    except AlreadyThereError as taken:
        raise CannotUndoError(taken.happened, "Rename that first.") from taken


def columns_of(what: What) -> tuple[str, ...]:
    """The columns that a rename writes over."""
    return (column_of(what), "folded") if what in {What.ITEM, What.BIN} else (column_of(what),)


def _written(row: Named, what: What, label: str) -> dict[str, Any]:
    """The columns with the new name in them, also as it is searched."""
    if isinstance(row, Item):
        found = folded_of(label, row.size_key, row.rubber, row.spec_class, row.spec_grade, row.kind)
        return {"name": label, "folded": found}
    if isinstance(row, Bin):
        return {"code": label, "folded": fold(label, row.note)}
    return {column_of(what): label}

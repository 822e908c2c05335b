"""Merge two that are one: what belonged to the first goes over to the second, and the first is retired."""

from __future__ import annotations

import json
from typing import Any, cast

from sqlmodel import Session

from models import notes, row_snapshots
from models.actions import claim
from models.acts import Act
from models.errors import CannotUndoError, InvalidInputError
from models.notes import Noted
from models.rows import find, hold_all
from models.tables import Action, Bin, Item, Machine, RowSnapshot, Supplier
from models.undoing.declaring import Reversal
from models.upkeep.merge_noted import merge_noted, part_noted
from models.upkeep.merge_stock import merge_bins, merge_items, part_bins, part_items
from models.upkeep.merge_work import merge_machines, merge_suppliers, part_machines, part_suppliers
from models.upkeep.named import TABLES, Changed, Named, What, name_of


def merge(session: Session, act: Act, what: What, row_id: int, into_id: int) -> Changed:
    """Merge the first into the second. Raises `NotFoundError`, `InvalidInputError` where they can't be the same."""
    table = TABLES[what]
    name, other = (name_of(find(session, table, one, what.value)) for one in (row_id, into_id))
    if row_id == into_id:
        raise InvalidInputError(f"“{name}” can't be merged into itself.", "Name another.")
    made = claim(session, act, f"{what.value}s.merge", f"{name} into {other}", subject_id=row_id)
    if made.first:
        row, into = _both(session, what, row_id, into_id)
        both: tuple[Named, Named] = (row, into)
        for one in both:
            if one.retired_at is not None or one.withdrawn_at is not None:
                raise InvalidInputError(f"“{name_of(one)}” is retired.", "Bring it back first.")
        tied = _hand_over(session, made.action_id, what, row, into)
        row_snapshots.keep_word(session, made.action_id, json.dumps({"into": into_id, **tied}))
        row.retired_at = act.at
        session.add(row)
        session.flush()
    said = json.loads(session.get_one(RowSnapshot, made.action_id).said)
    return Changed(what, row_id, other, name, retired=True, both_have=tuple(said.get("kept", ())))


def stands(session: Session, done: Action, what: What) -> bool:
    """Whether what was merged is still retired."""
    row = cast(Named | None, session.get(TABLES[what], done.subject_id))
    return row is not None and row.retired_at is not None


def part(session: Session, reversal: Reversal, what: What) -> None:
    """Part them again; the stock goes back by its movements. Raises `CannotUndoError`."""
    done = reversal.done
    tied: dict[str, Any] = json.loads(session.get_one(RowSnapshot, done.id).said)
    row, into = _both(session, what, done.subject_id or 0, tied["into"])
    if row.retired_at is None:
        raise CannotUndoError(f"“{name_of(row)}” was brought back since.", "Leave it.")
    row.retired_at = None
    session.add(row)
    if what is What.ITEM:
        part_items(session, cast(Item, row), cast(Item, into), tied)
    elif what is What.BIN:
        part_bins(session, cast(Bin, row), cast(Bin, into), tied)
    elif what is What.MACHINE:
        part_machines(session, cast(Machine, row), cast(Machine, into), tied)
    else:
        part_suppliers(session, cast(Supplier, row), cast(Supplier, into), tied)
    if what is not What.SUPPLIER:
        kind = notes.What(what.value)
        both = cast(Noted, row), cast(Noted, into)
        part_noted(session, done.id or 0, reversal.action_id, kind, *both, tied)


def _both(session: Session, what: What, row_id: int, into_id: int) -> tuple[Named, Named]:
    """Both rows, held in the order of their numbers."""
    found = cast(dict[int, Named], hold_all(session, TABLES[what], {row_id, into_id}, what.value))
    return found[row_id], found[into_id]


def _hand_over(session: Session, action_id: int, what: What, row: Named, into: Named) -> dict[str, Any]:
    if what is What.SUPPLIER:
        return merge_suppliers(session, cast(Supplier, row), cast(Supplier, into))
    both = cast(Noted, row), cast(Noted, into)
    return {
        **_hand_work(session, action_id, what, row, into),
        **merge_noted(session, action_id, notes.What(what.value), *both),
    }


def _hand_work(session: Session, action_id: int, what: What, row: Named, into: Named) -> dict[str, Any]:
    if what is What.ITEM:
        return merge_items(session, action_id, cast(Item, row), cast(Item, into))
    if what is What.BIN:
        return merge_bins(session, action_id, cast(Bin, row), cast(Bin, into))
    return merge_machines(session, cast(Machine, row), cast(Machine, into))

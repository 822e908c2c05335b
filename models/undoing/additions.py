"""A machine, a position or a supplier added by mistake: withdrawn while nothing hangs on it, never removed.

Its row stays, so that its number can't come to stand for another one on a screen that still shows it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple, cast

from sqlalchemy import ColumnElement
from sqlmodel import Session, col, select

from models.errors import CannotUndoError
from models.fits.fit_records import stands as fit_stands
from models.inventory.made_with import all_made_with
from models.kitting import job_opening
from models.notes import What
from models.pictures import keeping
from models.rows import in_use
from models.tables import (
    Action,
    AssortmentModel,
    Bin,
    FitRecord,
    Item,
    ItemGtin,
    Job,
    Machine,
    Movement,
    Need,
    OrderLine,
    Position,
    RowItem,
    Stock,
    Supplier,
    SupplierList,
)
from models.undoing.declaring import Reversal

Added = Machine | Position | Supplier | Item | Bin


class Hanging(NamedTuple):
    """What hangs on an added row, and what to do about it."""

    what: str
    to_do: str


Look = Callable[[Session, Added], Hanging | None]
"""Finds what hangs on an added row; None where nothing does."""


def on_machine(session: Session, machine: Added) -> Hanging | None:
    """What hangs on a machine."""
    place = select(Position.id).where(Position.machine_id == machine.id, col(Position.withdrawn_at).is_(None))
    if session.exec(place).first() is not None:
        return Hanging("it has positions", "Take those back first, or leave it unused.")
    opened = [row or 0 for row in session.exec(select(Job.id).where(Job.machine_id == machine.id)).all()]
    if set(opened) - job_opening.taken_back(session, opened):
        return Hanging("it has had jobs", "Leave it unused.")
    if _said_since(session, machine, "machines.set_built"):
        return Hanging("where it was built was set since", "Take that back first, or leave it unused.")
    return _pictured(session, What.MACHINE, machine)


def on_position(session: Session, position: Added) -> Hanging | None:
    """What hangs on a position."""
    instead = "Take that back first, or leave it unused."
    if session.exec(select(FitRecord.id).where(FitRecord.position_id == position.id, fit_stands())).first():
        return Hanging("a fit is on record there", instead)
    if isinstance(position, Position) and position.housing is not None:
        return Hanging("its housing was measured", instead)
    if _said_since(session, position, "machines.set_critical"):
        return Hanging("whether it is critical was set since", instead)
    if _said_since(session, position, "machines.set_meets"):
        return Hanging("the fluid a ring there meets was set since", instead)
    asked = select(Need.id).where(Need.position_id == position.id, col(Need.withdrawn_at).is_(None))
    if session.exec(asked).first():
        return Hanging("a job's need is there", "Remove the need first.")
    return _pictured(session, What.POSITION, position)


def on_supplier(session: Session, supplier: Added) -> Hanging | None:
    """What hangs on a supplier."""
    sent = select(SupplierList.id).where(SupplierList.supplier_id == supplier.id)
    return Hanging("a list of theirs was loaded", "Leave it.") if session.exec(sent).first() else None


def on_item(session: Session, item: Added) -> Hanging | None:
    """What hangs on an item: stock that was booked, an order, a row of a list, a bar code, a place in a box."""
    if _is_booked(session, Stock.item_id == item.id):
        return Hanging("stock of it was booked since", "Retire it instead, or leave it unused.")
    asked = (
        (select(OrderLine.id).where(OrderLine.item_id == item.id), "it was ordered"),
        (select(RowItem.row_id).where(RowItem.item_id == item.id), "it is a row of a supplier's list"),
        (select(ItemGtin.gtin).where(ItemGtin.item_id == item.id), "a bar code was kept for it"),
        (select(AssortmentModel.bin_id).where(AssortmentModel.item_id == item.id), "a box has a place for it"),
    )
    for query, what in asked:
        if session.exec(query).first() is not None:
            return Hanging(what, "Retire it instead, or leave it unused.")
    return _pictured(session, What.ITEM, item)


def on_bin(session: Session, place: Added) -> Hanging | None:
    """What hangs on a bin: stock that was booked there, or that it is a box with sizes."""
    if _is_booked(session, Stock.bin_id == place.id):
        return Hanging("stock was booked there since", "Retire it instead, or leave it unused.")
    if session.exec(select(AssortmentModel.item_id).where(AssortmentModel.bin_id == place.id)).first() is not None:
        return Hanging("what a full one holds was set", "Clear what it holds first, or leave it unused.")
    return _pictured(session, What.BIN, place)


def _pictured(session: Session, what: What, row: Added) -> Hanging | None:
    """That a picture of it stands."""
    if keeping.is_of(session, what, row.id or 0):
        return Hanging("there is a picture of it", "Remove the picture first, or leave it unused.")
    return None


def _is_booked(session: Session, where: ColumnElement[bool] | bool) -> bool:
    """Whether a movement of such stock stands: none that was reversed, and no reversal."""
    undone = select(Movement.reverses_id).where(col(Movement.reverses_id).is_not(None))
    moved = select(Movement.id).join(Stock, col(Stock.id) == col(Movement.stock_id))
    stands = (col(Movement.reverses_id).is_(None), col(Movement.id).not_in(undone), where)
    return session.exec(moved.where(*stands)).first() is not None


def withdraw_made_with(session: Session, reversal: Reversal) -> None:
    """Withdraw the items and bins that were made with a delivery which is taken back, where nothing else hangs there.

    What else hangs there keeps them: they are told by it, and stay.
    """
    key = all_made_with(reversal.done.key)
    made = select(Action.id).where(col(Action.key).startswith(key, autoescape=True))
    tables: tuple[tuple[type[Item] | type[Bin], Look], ...] = ((Item, on_item), (Bin, on_bin))
    for table, hanging in tables:
        rows = session.exec(
            select(table).where(col(table.action_id).in_(made), in_use(table)).order_by(col(table.id)).with_for_update()
        )
        found = cast(Sequence[Item | Bin], rows.all())
        for row in found:
            if hanging(session, row) is None:
                row.withdrawn_at = reversal.act.at
                session.add(row)
        session.flush()


def _said_since(session: Session, row: Added, what: str) -> bool:
    """Whether an action of that name, on this row since it was added, still stands."""
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None))
    said = select(Action.id).where(Action.what == what, Action.subject_id == row.id)
    return session.exec(said.where(col(Action.id) > row.action_id, col(Action.id).not_in(undone))).first() is not None


def is_there(session: Session, done: Action, table: type[Added]) -> bool:
    """Whether something that the action added is there and was not withdrawn."""
    return bool(_added(session, done, table, held=False))


def is_bare(session: Session, done: Action, table: type[Added], hanging: Look) -> bool:
    """Whether nothing hangs on what the action added."""
    rows = _added(session, done, table, held=False)
    return bool(rows) and all(hanging(session, row) is None for row in rows)


def withdraw(session: Session, reversal: Reversal, table: type[Added], hanging: Look) -> None:
    """Withdraw what the action added. Raises `CannotUndoError` where something hangs on it."""
    rows = _added(session, reversal.done, table, held=True)
    if not rows:
        raise CannotUndoError(f"Nothing is left of {reversal.called}.", "Refresh the list.")
    for row in rows:
        if found := hanging(session, row):
            name = row.code if isinstance(row, Bin) else row.name
            raise CannotUndoError(f"“{name}” stays: {found.what}.", found.to_do)
        row.withdrawn_at = reversal.act.at
        session.add(row)
    session.flush()


def _added(session: Session, done: Action, table: type[Added], *, held: bool) -> Sequence[Added]:
    query = select(table).where(col(table.action_id) == done.id, col(table.withdrawn_at).is_(None))
    query = query.order_by(col(table.id))
    return cast(Sequence[Added], session.exec(query.with_for_update() if held else query).all())

"""Bar codes: which item a scanned GTIN is, said by a person once or known from a supplier's list."""

from __future__ import annotations

from typing import NamedTuple

from sqlmodel import Session, col, select

from catalog.gtin import Gtin, GtinError, normalise
from models.actions import claim
from models.acts import Act
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError
from models.rows import find
from models.tables import Action, Item, ItemGtin, ListRow, RowItem, Supplier

__all__ = ["BarCode", "codes_of", "look", "read", "tie", "undo"]

NAMED_ROWS = 3


class BarCode(NamedTuple):
    """What is known of a GTIN: the shop's item, or None; and how suppliers' lists call it ("name, from supplier")."""

    gtin: str
    item_id: int | None
    item_name: str
    listed: tuple[str, ...]


def read(text: str) -> Gtin:
    """A GTIN as scanned or typed, checked by its last digit. Raises `InvalidInputError`."""
    try:
        return normalise(text)
    except GtinError as problem:
        raise InvalidInputError(str(problem)) from problem


def look(session: Session, text: str) -> BarCode:
    """Which item a GTIN is: as it was tied, else as the list's row that carries it was said to be.

    Raises `InvalidInputError` where the check digit is wrong.
    """
    gtin = read(text).padded
    rows = session.exec(
        select(ListRow, Supplier)
        .join(Supplier, col(Supplier.id) == col(ListRow.supplier_id))
        .where(ListRow.gtin == gtin, col(ListRow.withdrawn_list_id).is_(None))
        .order_by(col(ListRow.id))
        .limit(NAMED_ROWS)
    ).all()
    listed = tuple(f"{row.name or row.number}, from {supplier.name}" for row, supplier in rows)
    tied = session.get(ItemGtin, gtin)
    item_id = tied.item_id if tied is not None else None
    if item_id is None and rows:
        item_id = session.exec(
            select(RowItem.item_id).where(col(RowItem.row_id).in_([row.id for row, _ in rows]))
        ).first()
    name = find(session, Item, item_id, "item").name if item_id is not None else ""
    return BarCode(gtin, item_id, name, listed)


def tie(session: Session, act: Act, text: str, item_id: int) -> BarCode:
    """Say that a GTIN is on this item's pack. Raises `InvalidInputError`, `NotFoundError`, `AlreadyThereError`."""
    gtin = read(text)
    item = find(session, Item, item_id, "item")
    made = claim(session, act, "items.bar_code", gtin.digits, subject_id=item_id)
    if made.first:
        known = session.get(ItemGtin, gtin.padded)
        if known is not None and known.item_id != item_id:
            other = find(session, Item, known.item_id, "item").name
            raise AlreadyThereError(f"The bar code {gtin.digits} is on “{other}”.", "One code is one item.")
        if known is None:
            session.add(ItemGtin(gtin=gtin.padded, item_id=item.id or 0, action_id=made.action_id))
            session.flush()
    return look(session, gtin.digits)


def codes_of(session: Session, item_id: int) -> tuple[str, ...]:
    """The GTINs tied to an item, in 14 digits."""
    return tuple(
        session.exec(select(ItemGtin.gtin).where(ItemGtin.item_id == item_id).order_by(col(ItemGtin.gtin))).all()
    )


def undo(session: Session, done: Action, what: str) -> None:
    """Take the code off the item again. Raises `CannotUndoError` where it was on it before."""
    row = session.exec(select(ItemGtin).where(ItemGtin.action_id == done.id)).first()
    if row is None:
        raise CannotUndoError(f"{what[:1].upper()}{what[1:]} changed nothing.", "The code was on the item before.")
    session.delete(row)
    session.flush()

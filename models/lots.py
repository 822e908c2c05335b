"""Lots: one delivery's batch, the day it expires and, for rubber, the day it was cured."""

from __future__ import annotations

from datetime import date
from typing import Protocol

from sqlmodel import Session, select

from models.errors import InvalidInputError
from models.qualify.age import rubber_expires_on
from models.rows import find
from models.tables import Item, Lot, LotCure


class Delivered(Protocol):
    """What a delivery says of its lot."""

    @property
    def item_id(self) -> int:
        """The item."""

    @property
    def expires_on(self) -> date | None:
        """The last day, where it is printed."""

    @property
    def cured_on(self) -> date | None:
        """The day rubber was cured."""


def lot_for(session: Session, action_id: int, delivered: Delivered, code: str) -> int:
    """The lot of that code, made where it is new. Raises `InvalidInputError` where its days are others."""
    item = find(session, Item, delivered.item_id, "item")
    expires_on = delivered.expires_on
    if expires_on is None and delivered.cured_on is not None:
        expires_on = rubber_expires_on(delivered.cured_on, item.rubber)
    lot = session.exec(select(Lot).where(Lot.item_id == delivered.item_id, Lot.code == code)).first()
    if lot is not None:
        if expires_on is not None and lot.expires_on != expires_on:
            raise InvalidInputError(
                f"Lot {code} expires on {lot.expires_on or 'no stated day'}, not on {expires_on}.",
                "Correct the day, or give the delivery a lot code of its own.",
            )
        assert lot.id is not None
        return lot.id
    lot = Lot(action_id=action_id, item_id=delivered.item_id, code=code, expires_on=expires_on)
    session.add(lot)
    session.flush()
    assert lot.id is not None
    if delivered.cured_on is not None:
        session.add(LotCure(lot_id=lot.id, cured_on=delivered.cured_on))
        session.flush()
    return lot.id

"""Lots: one delivery's batch, the day it expires and, for rubber, the day it was cured."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Protocol

from sqlalchemy import func, insert
from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError, NotFoundError
from models.qualify.age import rubber_expires_on
from models.rows import find, rows_of
from models.tables import Item, Lot, Movement, Stock
from models.text import NAME_LENGTH, clean


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


def code_of(lot_code: str, expires_on: date | None, cured_on: date | None) -> str:
    """The code on the bag; without one the day on it, of expiry or of cure; "" where nothing is known."""
    code = clean(lot_code, "lot", empty=True) or str(expires_on or "")
    return code or (f"cured {cured_on}" if cured_on is not None else "")


def lots_for(session: Session, action_id: int, deliveries: Sequence[tuple[Delivered, str]]) -> list[int | None]:
    """The lots of (delivery, code), made where they are new; None where the code is "".

    A lot is held until the unit ends, so that its day is the one that was compared. Raises `InvalidInputError` where a
    lot's day is another.
    """
    known = {(lot.item_id, lot.code): lot for lot in _held(session, [(one.item_id, code) for one, code in deliveries])}
    days = _days(session, [one for one, _ in deliveries])
    new: list[Lot] = []
    dated: set[tuple[int, str]] = set()
    for (delivered, code), expires_on in zip(deliveries, days, strict=True):
        if not code:
            continue
        key = (delivered.item_id, code)
        lot = known.get(key)
        if lot is None:
            lot = Lot(
                action_id=action_id, item_id=delivered.item_id, code=code, expires_on=expires_on,
                cured_on=delivered.cured_on,
            )  # fmt: skip
            known[key] = lot
            new.append(lot)
            dated.add(key)
        elif lot.expires_on != expires_on:
            if key not in dated and _taken_back(session, lot):
                _date(session, lot, expires_on, delivered.cured_on)
                dated.add(key)
            elif expires_on is not None:
                raise InvalidInputError(
                    f"Lot {code} expires on {lot.expires_on or 'no stated day'}, not on {expires_on}.",
                    "Look at the bag. Where the record is wrong, correct it first with: kitwright shelf lot. "
                    "Else give the delivery a lot code of its own.",
                )
    if new:
        known |= _written(session, new)
    return [known[one.item_id, code].id if code else None for one, code in deliveries]


def _written(session: Session, lots: Sequence[Lot]) -> dict[tuple[int, str], Lot]:
    """The lots once they are written, all at once: SQLite can't be asked for many ids in the order of the rows."""
    session.flush()
    columns = ("action_id", "item_id", "code", "expires_on", "cured_on")
    session.connection().execute(insert(Lot), [{name: getattr(lot, name) for name in columns} for lot in lots])
    found = _held(session, [(lot.item_id, lot.code) for lot in lots])
    return {(lot.item_id, lot.code): lot for lot in found}


def _days(session: Session, deliveries: Sequence[Delivered]) -> list[date | None]:
    """The last day of each, where it is printed or follows from the day of its cure."""
    asked = {one.item_id for one in deliveries if one.expires_on is None and one.cured_on is not None}
    rubbers = {item_id: item.rubber for item_id, item in rows_of(session, Item, asked).items()}
    return [
        rubber_expires_on(one.cured_on, rubbers.get(one.item_id, ""))
        if one.expires_on is None and one.cured_on is not None
        else one.expires_on
        for one in deliveries
    ]


def correct(
    session: Session,
    act: Act,
    item_id: int,
    code: str,
    *,
    expires_on: date | None = None,
    cured_on: date | None = None,
    reason: str,
) -> None:
    """Put a lot's day right, in all bins it lies in. The act keeps who said it, both days and why.

    Raises `NotFoundError` where the item has no such lot, `InvalidInputError` where no day is given or follows.
    """
    label, why = clean(code, "lot"), clean(reason, "reason", limit=NAME_LENGTH)
    item = find(session, Item, item_id, "item")
    lot = next(iter(_held(session, [(item_id, label)])), None)
    if lot is None:
        raise NotFoundError(f"There is no lot {label} of {item.name}.", "Look with: kitwright shelf list")
    if cured_on is not None and cured_on > act.at.date():
        raise InvalidInputError(f"A cure on {cured_on} lies ahead.", "Type the day on the bag.")
    day = _expires_on(session, item_id, expires_on, cured_on)
    if day is None or (cured_on is not None and day <= cured_on):
        raise InvalidInputError("No last day follows from that.", "Type the last day on the bag.")
    about = f"{item.name}, lot {label}: {day} in place of {lot.expires_on or 'no day'}: {why}"
    if claim(session, act, "lots.correct", about, subject_id=lot.id).first:
        _date(session, lot, day, cured_on)


def _held(session: Session, named: Sequence[tuple[int, str]]) -> Sequence[Lot]:
    """Those of the lots that there are, freshly read and held in the order of their ids, as all programs do."""
    wanted = {(item_id, code) for item_id, code in named if code}
    if not wanted:
        return []
    query = select(Lot).where(
        col(Lot.item_id).in_({item_id for item_id, _ in wanted}), col(Lot.code).in_({code for _, code in wanted})
    )
    held = query.order_by(col(Lot.id)).with_for_update(key_share=True).execution_options(populate_existing=True)
    return [lot for lot in session.exec(held).all() if (lot.item_id, lot.code) in wanted]


def _expires_on(session: Session, item_id: int, expires_on: date | None, cured_on: date | None) -> date | None:
    if expires_on is not None or cured_on is None:
        return expires_on
    return rubber_expires_on(cured_on, find(session, Item, item_id, "item").rubber)


def _taken_back(session: Session, lot: Lot) -> bool:
    """Whether nothing of the lot ever stayed: all that came was undone, so that its day was only ever typed."""
    left = (
        select(Movement.kind)
        .join(Stock, col(Stock.id) == col(Movement.stock_id))
        .where(Stock.lot_id == lot.id)
        .group_by(col(Movement.kind))
        .having(func.sum(Movement.on_hand_change) != 0)
    )
    return session.exec(left).first() is None


def _date(session: Session, lot: Lot, expires_on: date | None, cured_on: date | None) -> None:
    lot.expires_on, lot.cured_on = expires_on, cured_on
    session.add(lot)
    session.flush()

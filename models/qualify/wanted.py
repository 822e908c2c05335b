"""A need with all that judges it, an item on offer with all that is known of it, and how the two come out."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from catalog.filters.element import Element
from catalog.filters.housing import Housing
from catalog.orings.groove import Groove
from catalog.orings.same_ring import SHARE, apart
from catalog.orings.sizes import all_sizes, by_key
from models.stored_text import from_text
from models.tables import (
    Bin,
    FitGroove,
    FitRecord,
    Item,
    Job,
    Lot,
    Need,
    NeedAsk,
    NeedGroove,
    NeedHousing,
    NeedRubber,
    NeedTwin,
    PositionHousing,
    Stock,
)
from models.words import Kind

AS_FITTED: Final = "fit:record"
"""The size key of a ring need that asks for whatever the fit record at its position says when it is looked for."""

AS_ASKED, INSTEAD, WITH_CARE = 0, 1, 2
"""How far from what was asked: the thing itself, something that serves as well, something to think about first."""

CLOSE_MM: Final = 1.0


class Wanted(NamedTuple):
    """A need as it is judged. `sizes`: the names of a ring's size, its own first; none where it is not known yet."""

    need: Need
    sizes: tuple[str, ...]
    rubbers: tuple[str, ...]
    asks: tuple[str, ...]
    groove: Groove | None
    housing: Housing | None
    due_on: date | None


class Offer(NamedTuple):
    """What lies in one place: its item, what that claims or was measured as, and when it last came in."""

    stock: Stock
    item: Item
    place: Bin
    lot: Lot | None
    claims: tuple[str, ...]
    element: Element | None
    holds: int | None
    received_on: date | None


class Judged(NamedTuple):
    """How an offer comes out: why not, or what a person should know when it is used; and how far from asked it is."""

    refused: str = ""
    because: tuple[str, ...] = ()
    care: int = AS_ASKED


@cache
def same_rings(size_key: str) -> tuple[str, ...]:
    """The other standards' names of the same ring: no reading could tell them apart."""
    size = by_key(size_key)
    if size is None:
        return ()
    near = (one for one in all_sizes() if one.key != size_key and abs(one.id_mm - size.id_mm) < CLOSE_MM)
    return tuple(one.key for one in near if apart(one, size) <= SHARE)


def wanted(session: Session, need: Need) -> Wanted:
    """Everything that judges a need, read in a few queries."""
    due_on = session.exec(select(col(Job.due_on)).where(Job.id == need.job_id)).first()
    asks = tuple(
        session.exec(select(NeedAsk.ask).where(NeedAsk.need_id == need.id).order_by(col(NeedAsk.position))).all()
    )
    if need.kind is Kind.RING:
        return _ring(session, need, asks, due_on)
    housing = _housing(session, need) if need.kind is Kind.FILTER else None
    return Wanted(need, (), (), asks, None, housing, due_on)


def _ring(session: Session, need: Need, asks: tuple[str, ...], due_on: date | None) -> Wanted:
    twins = session.exec(
        select(NeedTwin.size_key).where(NeedTwin.need_id == need.id).order_by(col(NeedTwin.size_key))
    ).all()
    rubbers = tuple(
        session.exec(
            select(NeedRubber.rubber).where(NeedRubber.need_id == need.id).order_by(col(NeedRubber.position))
        ).all()
    )
    key = need.size_key
    if key == AS_FITTED:
        fitted = _fitted(session, need.position_id)
        key = fitted.size_key if fitted else None
        rubbers = rubbers or ((fitted.rubber,) if fitted and fitted.rubber else ())
    sizes = () if key is None else tuple(dict.fromkeys((key, *twins, *same_rings(key))))
    return Wanted(need, sizes, rubbers, asks, _groove(session, need), None, due_on)


def _fitted(session: Session, position_id: int | None) -> FitRecord | None:
    return session.exec(
        select(FitRecord).where(FitRecord.position_id == position_id).order_by(col(FitRecord.id).desc())
    ).first()


def _groove(session: Session, need: Need) -> Groove | None:
    """The need's own groove, or the one last measured at its position."""
    text = session.exec(select(NeedGroove.groove).where(NeedGroove.need_id == need.id)).first()
    if text is None and need.position_id is not None:
        text = session.exec(
            select(FitGroove.groove)
            .join(FitRecord, col(FitRecord.id) == col(FitGroove.fit_record_id))
            .where(FitRecord.position_id == need.position_id)
            .order_by(col(FitRecord.id).desc())
        ).first()
    return None if text is None else from_text(Groove, text)


def _housing(session: Session, need: Need) -> Housing | None:
    text = session.exec(select(NeedHousing.housing).where(NeedHousing.need_id == need.id)).first()
    if text is None and need.position_id is not None:
        text = session.exec(
            select(PositionHousing.housing).where(PositionHousing.position_id == need.position_id)
        ).first()
    return None if text is None else from_text(Housing, text)

"""What on the shelf is past its day: a lot's last day, or for rubber without one the longest it can have kept."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from sqlalchemy import select as columns
from sqlmodel import Session, col

from models.kitting.candidates import last_received
from models.qualify import age
from models.qualify.wanted import Batch, Offer, Thing
from models.tables import Item, Lot, Stock
from models.words import Kind

AT_ONCE = 500


def expired(session: Session, on: date, stock_ids: Collection[int] | None = None) -> dict[int, str]:
    """Why stock with something on hand can't be used any more on that day, by stock id; all stock, or those named."""
    if stock_ids is not None and len(stock_ids) > AT_ONCE:
        wanted = set(stock_ids)
        return {row: why for row, why in expired(session, on).items() if row in wanted}
    table = {one: one.metadata.tables[one.__tablename__].c for one in (Stock, Item, Lot)}
    query = (
        columns(
            *(table[Stock].id, table[Item].kind, table[Item].name, table[Item].rubber),
            *(table[Lot].id, table[Lot].code, table[Lot].expires_on),
        )
        .select_from(Stock)
        .join(Item, col(Item.id) == col(Stock.item_id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .where(col(Stock.on_hand) > 0)
    )
    if stock_ids is not None:
        query = query.where(col(Stock.id).in_(stock_ids))
    session.flush()
    rows = session.connection().execute(query).all()
    rings = {stock_id for stock_id, kind, _, _, lot_id, _, _ in rows if kind is Kind.RING and lot_id is None}
    came = last_received(session, rings)
    found: dict[int, str] = {}
    for stock_id, kind, name, rubber, lot_id, code, expires_on in rows:
        lot = None if lot_id is None else Batch(code, expires_on)
        offer = Offer(Thing(0, kind, name, rubber=rubber), stock_id, lot=lot, received_on=came.get(stock_id))
        if said := age.judge(offer, on, None).refused:
            found[stock_id] = said
    return found

"""What on the shelf is past its day: a lot's last day, or for rubber without one the longest it can have kept."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from sqlmodel import Session, col, select

from models.kitting.candidates import last_received
from models.qualify import age
from models.qualify.wanted import Offer
from models.tables import Bin, Item, Lot, Stock
from models.words import Kind

AT_ONCE = 500


def expired(session: Session, on: date, stock_ids: Collection[int] | None = None) -> dict[int, str]:
    """Why stock with something on hand can't be used any more on that day, by stock id; all stock, or those named."""
    if stock_ids is not None and len(stock_ids) > AT_ONCE:
        wanted = set(stock_ids)
        return {row: why for row, why in expired(session, on).items() if row in wanted}
    query = (
        select(Stock, Item, Bin, Lot)
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .where(col(Stock.on_hand) > 0)
    )
    if stock_ids is not None:
        query = query.where(col(Stock.id).in_(stock_ids))
    rows = session.exec(query).all()
    rings = {stock.id for stock, item, _, lot in rows if item.kind is Kind.RING and lot is None}
    came = last_received(session, rings)
    found: dict[int, str] = {}
    for stock, item, place, lot in rows:
        assert stock.id is not None
        offer = Offer(stock, item, place, lot, (), None, None, came.get(stock.id))
        if said := age.judge(offer, on, None).refused:
            found[stock.id] = said
    return found

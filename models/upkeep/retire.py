"""Retire what is used no more: it is offered nowhere, what was done with it stays. Or bring it back."""

from __future__ import annotations

from sqlmodel import Session, col, select

from models import row_snapshots
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.orders import listing
from models.rows import find
from models.tables import Bin, Item, Job, Stock
from models.upkeep.named import TABLES, Changed, What, held, name_of
from models.volume import in_words

NAMED = 3


def retire(session: Session, act: Act, what: What, row_id: int, *, back: bool = False) -> Changed:
    """Offer it no more, or with `back` again. Raises `NotFoundError`, `InvalidInputError` where it is in use."""
    name = name_of(find(session, TABLES[what], row_id, what.value))
    word = "bring_back" if back else "retire"
    made = claim(session, act, f"{what.value}s.{word}", name, subject_id=row_id)
    row = held(session, what, row_id)
    if made.first and (row.retired_at is not None) is back:
        if not back and (why := _in_use(session, what, row_id)):
            raise InvalidInputError(f"“{name}” is in use: {why[0]}.", why[1])
        row_snapshots.write_over(session, made.action_id, row, retired_at=None if back else act.at)
    return Changed(what, row_id, name, retired=row.retired_at is not None)


def _in_use(session: Session, what: What, row_id: int) -> tuple[str, str] | None:
    """What it is still used for, and what to do about that; None where it can go."""
    if what in {What.ITEM, What.BIN}:
        return _lies(session, what, row_id)
    if what is What.MACHINE:
        opened = session.exec(
            select(Job.title).where(Job.machine_id == row_id, col(Job.closed_at).is_(None)).limit(NAMED)
        ).all()
        return (f"its job “{opened[0]}” is open", "Close its jobs first.") if opened else None
    waits = [one.order_id for one in listing.listed(session, open_only=True) if one.supplier_id == row_id]
    return (f"order {waits[0]} is open", "Receive it or cancel it first.") if waits else None


def _lies(session: Session, what: What, row_id: int) -> tuple[str, str] | None:
    mine = Stock.item_id == row_id if what is What.ITEM else Stock.bin_id == row_id
    rows = session.exec(
        select(Item, Bin, Stock)
        .join(Stock, col(Stock.item_id) == col(Item.id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .where(mine, col(Stock.on_hand) > 0)
        .order_by(col(Stock.id))
        .limit(NAMED)
    ).all()
    if not rows:
        return None
    lies = ", ".join(f"{in_words(s.on_hand, i.counted_in)} of {i.name} in bin {b.code}" for i, b, s in rows)
    return f"{lies}", "Move, use or scrap it first, or merge it into another."

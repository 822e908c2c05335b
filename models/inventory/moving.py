"""Move free stock to another bin: one movement out and one in, in one action; where moved stock came from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection

from sqlalchemy import exists, or_
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.inventory.ledger import Change, Entries, stock_at
from models.rows import find
from models.shelf import MOST, stock_row
from models.stock_rows import StockRow
from models.tables import Action, Bin, Movement, Stock
from models.text import NOTE_LENGTH, clean
from models.words import Moved

WHAT = "shelf.move"


def move(session: Session, act: Act, *, stock_id: int, bin_id: int, quantity: int, reason: str = "") -> StockRow:
    """Move free stock to another bin; its lot and its age go with it. Gives the row it went to.

    Booked as two counts that cancel out, so it is neither received nor used. Raises `NotFoundError`,
    `InvalidInputError`, or `NotEnoughError` where that much is not free: promised stock stays where its kit looks.
    """
    said = clean(reason, "reason", limit=NOTE_LENGTH - 300, empty=True)
    if not 1 <= quantity <= MOST:
        raise InvalidInputError(f"A quantity of {quantity} can't be moved.", "Type a whole number from 1 up.")
    made = claim(session, act, WHAT, subject_id=stock_id)
    source = find(session, Stock, stock_id, "stock")
    target = find(session, Bin, bin_id, "bin")
    place = (source.item_id, bin_id, source.lot_id)
    if source.bin_id == bin_id:
        raise InvalidInputError(f"It lies in bin {target.code} already.", "Name another bin.")
    if not made.first:
        return stock_row(session, stock_at(session, [place])[place])
    target_id = stock_at(session, [place])[place]
    before = find(session, Bin, source.bin_id, "bin")
    moves = {
        stock_id: (-quantity, f"moved to bin {target.code}"),
        target_id: (quantity, f"moved from bin {before.code}"),
    }
    entries = Entries(session, made.action_id)
    # In one order for all programs, so that two that move crosswise never wait for each other.
    for row in sorted(moves):
        change, words = moves[row]
        why = "; ".join(filter(None, (words, said)))
        entries.write(row, Moved.COUNTED, Change(on_hand=change), reason=why)
    return stock_row(session, target_id)


MERGED = ("items.merge", "bins.merge")
"""Actions that book whole rows over to others, each as a movement out and the next one in."""


def sources(
    session: Session, stock_ids: Collection[int | None], whats: Collection[str] = (WHAT, *MERGED)
) -> dict[int, set[int]]:
    """For stock that something was moved to, or merged into: the stock it came from, however many moves ago.

    Undone moves are none. `whats`: by which actions it came.
    """
    into, out, undone = aliased(Movement), aliased(Movement), aliased(Action)
    rows = session.exec(
        select(into.stock_id, out.stock_id)
        .join(out, col(out.action_id) == col(into.action_id))
        .join(Action, col(Action.id) == col(into.action_id))
        .join(Stock, col(Stock.id) == col(into.stock_id))
        .where(
            col(Action.what).in_(whats),
            or_(col(Action.what) == WHAT, col(into.position_in_action) == col(out.position_in_action) + 1),
            ~exists().where(col(undone.undoes_id) == col(Action.id)),
            col(into.on_hand_change) > 0,
            col(out.on_hand_change) < 0,
            col(Stock.item_id).in_(select(Stock.item_id).where(col(Stock.id).in_(stock_ids))),
        )
    ).all()
    direct: defaultdict[int, set[int]] = defaultdict(set)
    for there, came_from in rows:
        direct[there].add(came_from)
    found: dict[int, set[int]] = {}
    for stock_id in (one for one in stock_ids if one in direct):
        assert stock_id is not None
        seen: set[int] = set()
        ahead = set(direct[stock_id])
        while ahead:
            seen |= ahead
            ahead = {far for near in ahead for far in direct.get(near, ())} - seen
        found[stock_id] = seen - {stock_id}
    return found

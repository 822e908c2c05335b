"""Stock moves from bin to bin with its lot and its age; nothing is received or used by it."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from sqlmodel import Session

from models import kits, shelf
from models.acts import Act
from models.database import Workshop
from models.errors import InvalidInputError, NotEnoughError, NotFoundError
from models.inventory import bins, expiry, reorder_rules
from models.inventory.moving import move
from models.storage.check import check
from models.undoing import undo
from tests.models.shop import NOON, act, job, ring, ring_spec


def test_free_stock_moves_with_its_lot_and_is_moved_back_by_undo(workshop: Workshop) -> None:
    moved = act()
    with workshop.write() as session:
        row = ring(session, 5, bin_code="A1", lot="L1", expires_on=date(2030, 1, 1))
        far = bins.add(session, act(), code="Z9").bin_id
        kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], pieces=2))
        there = move(session, moved, stock_id=row.stock_id, bin_id=far, quantity=3, reason="box is full")
        again = move(session, moved, stock_id=row.stock_id, bin_id=far, quantity=3, reason="box is full")
        assert again == there
        assert (there.bin_code, there.on_hand, there.lot_code, there.expires_on) == ("Z9", 3, "L1", date(2030, 1, 1))
        left = shelf.stock_row(session, row.stock_id)
        assert (left.on_hand, left.promised, left.free) == (2, 2, 0)
        assert shelf.movements(session, there.stock_id)[0].reason == "moved from bin A1; box is full"
        assert reorder_rules.usage(session, NOON.date()) == {}
        assert check(session).findings == ()
    with pytest.raises(NotEnoughError, match="2 promised"), workshop.write() as session:
        move(session, act(), stock_id=row.stock_id, bin_id=far, quantity=1)
    with pytest.raises(InvalidInputError, match="already"), workshop.write() as session:
        move(session, act(), stock_id=there.stock_id, bin_id=far, quantity=1)
    with pytest.raises(InvalidInputError, match="quantity of 0"), workshop.write() as session:
        move(session, act(), stock_id=there.stock_id, bin_id=row.bin_id, quantity=0)
    with pytest.raises(NotFoundError), workshop.write() as session:
        move(session, act(), stock_id=there.stock_id, bin_id=9_999, quantity=1)
    with workshop.write() as session:
        undo.undo(session, act(), moved.key)
        assert shelf.stock_row(session, row.stock_id).on_hand == 5
        assert shelf.stock_row(session, there.stock_id).on_hand == 0
        assert check(session).findings == ()


def test_rubber_without_a_lot_gets_no_younger_by_moving(workshop: Workshop) -> None:
    with workshop.write() as session:
        old = ring(session, 5, bin_code="A1")  # received in 2026
        one, two = (bins.add(session, act(), code=code).bin_id for code in ("M1", "M2"))
        later = datetime(2032, 5, 1, tzinfo=UTC)
        first = move(session, act(at=later), stock_id=old.stock_id, bin_id=one, quantity=5)
        second = move(session, act(at=later), stock_id=first.stock_id, bin_id=two, quantity=4)
        move(session, act(at=later), stock_id=second.stock_id, bin_id=one, quantity=1)
        # ISO 2230:2002, from memory: NBR keeps 7 years from cure; counted from March 2026, when it came in.
        assert expiry.expired(session, date(2033, 3, 2)) == {}
        assert set(expiry.expired(session, date(2033, 3, 3))) == {first.stock_id, second.stock_id}


def test_what_was_undone_gives_stock_no_age(workshop: Workshop) -> None:
    """A move and a delivery that were undone leave rings as old as they are."""
    with workshop.write() as session:
        old = ring(session, 5, bin_code="A1")  # received in 2026
        later = datetime(2037, 5, 1, tzinfo=UTC)
        moved, came = act(at=later), act(at=later)
        far = ring(session, 1, bin_code="B1")
        undo.undo(session, act(), moved_in(session, far.stock_id, old.bin_id, moved, later))
        shelf.receive(session, came, item_id=old.item_id, bin_id=old.bin_id, quantity=3)
        undo.undo(session, act(), came.key)
        # ISO 2230:2002, from memory: NBR keeps 7 years from cure.
        assert old.stock_id in expiry.expired(session, date(2037, 6, 1))


def moved_in(session: Session, stock_id: int, bin_id: int, done: Act, at: datetime) -> str:
    """Receive young rings in their bin and move them to another; gives the move's key."""
    row = shelf.stock_row(session, stock_id)
    shelf.receive(session, act(at=at), item_id=row.item_id, bin_id=row.bin_id, quantity=2)
    move(session, done, stock_id=stock_id, bin_id=bin_id, quantity=2)
    return done.key

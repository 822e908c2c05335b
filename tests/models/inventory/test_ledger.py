"""Many movements at once are what the same movements are one by one: the same sums, or the same refusal."""

from __future__ import annotations

import random

import pytest
from sqlmodel import Session, select

from models import kits, shelf
from models.actions import claim
from models.database import Workshop
from models.errors import NotEnoughError, NotFoundError, WorkshopError
from models.inventory.ledger import Change, Entries, Move
from models.tables import KitLine, Movement
from models.words import Moved
from tests.models.shop import act, job, ring, ring_spec

SEQUENCES = 60


def some_moves(rng: random.Random, stock_ids: list[int], line_id: int) -> list[Move]:
    """Movements as a kit makes them; some take more than there is."""
    found = []
    for _ in range(rng.randrange(1, 8)):
        stock_id, much = rng.choice(stock_ids), rng.randrange(1, 4)
        kind, change, line = rng.choice(
            [
                (Moved.RECEIVED, Change(much), None),
                (Moved.COUNTED, Change(-much), None),
                (Moved.PROMISED, Change(0, much), line_id),
                (Moved.RELEASED, Change(0, -much), line_id),
                (Moved.USED, Change(-much, -much), line_id),
                (Moved.USED, Change(-much), None),
            ]
        )
        found.append(Move(stock_id, kind, change, f"why {much}", line))
    return found


def written(session: Session, stock_ids: list[int], entries: Entries) -> tuple[object, ...]:
    """What stands on the shelf, and what the action wrote there."""
    rows = shelf.rows_by_id(session, stock_ids)
    moves = session.exec(select(Movement).where(Movement.action_id == entries.action_id)).all()
    kept = [one.model_dump(exclude={"id", "action_id"}) for one in moves]
    return ({one: (row.on_hand, row.promised) for one, row in rows.items()}, kept)


def outcome(workshop: Workshop, stock_ids: list[int], moves: list[Move], *, at_once: bool) -> object:
    """What is written, or why it is refused; nothing is kept."""
    found: object = None
    try:
        with workshop.write() as session:
            entries = Entries(session, claim(session, act(), "shelf.count").action_id)
            try:
                if at_once:
                    half = len(moves) // 2
                    entries.write_many(moves[:half])
                    entries.write_many(moves[half:])
                else:
                    for stock_id, kind, change, reason, line_id, reverses in moves:
                        entries.write(stock_id, kind, change, reason=reason, line_id=line_id, reverses=reverses)
                found = written(session, stock_ids, entries)
            except WorkshopError as refused:
                found = str(refused)
            raise _EnoughError
    except _EnoughError:
        return found


class _EnoughError(Exception):
    """What was done is not to be kept."""


def test_at_once_is_as_one_by_one(workshop: Workshop) -> None:
    with workshop.write() as session:
        stock_ids = [ring(session, 9, bin_code=code).stock_id for code in ("A1", "B2", "C3")]
        kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], pieces=4))
        line_id = session.exec(select(KitLine.id)).first() or 0
    rng = random.Random(7)
    told = []
    for _ in range(SEQUENCES):
        moves = some_moves(rng, stock_ids, line_id)
        told.append(outcome(workshop, stock_ids, moves, at_once=True))
        assert told[-1] == outcome(workshop, stock_ids, moves, at_once=False)
    refused = sum(isinstance(one, str) for one in told)
    assert 10 < refused < SEQUENCES - 10, "both are there"


def test_what_can_not_be_is_named_by_its_row(workshop: Workshop) -> None:
    with workshop.write() as session:
        first, second = ring(session, 6, bin_code="A1"), ring(session, 2, bin_code="B2")
    rows = [Move(one.stock_id, Moved.USED, Change(-3)) for one in (first, second)]
    with workshop.write() as session:
        entries = Entries(session, claim(session, act(), "shelf.use").action_id)
        with pytest.raises(NotEnoughError, match=r"in bin B2: 2 free \(2 on hand, 0 promised\), 3 wanted"):
            entries.write_many(rows)
        with pytest.raises(NotFoundError, match="no stock 999"):
            entries.write_many([Move(999, Moved.USED, Change(-1))])
    with workshop.read() as session:
        assert [row.on_hand for row in shelf.rows_of(session, item_id=first.item_id)] == [6, 2]


def test_rows_that_moved_since_they_were_judged_are_not_written_over(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 6)
    with workshop.write() as session:
        entries = Entries(session, claim(session, act(), "shelf.use").action_id)
        entries.hold([row.stock_id])
        Entries(session, claim(session, act(), "shelf.use").action_id).write(row.stock_id, Moved.USED, Change(-1))
        with pytest.raises(NotEnoughError, match="5 free"):
            entries.write_many([Move(row.stock_id, Moved.USED, Change(-6))])
        assert shelf.stock_row(session, row.stock_id).on_hand == 5

"""Undo writes the opposite movement; nothing leaves the ledger."""

from __future__ import annotations

import pytest
from sqlalchemy import func
from sqlmodel import col, select

from models import jobs, kits, shelf
from models.acts import Act
from models.database import Workshop
from models.errors import CannotUndoError, NotFoundError
from models.inventory import assortments, bins
from models.inventory.ledger import Entries
from models.kitting.promises import Promise, promise_all
from models.storage.check import check
from models.tables import Action
from models.undoing import undo
from models.words import KitState, LineState, Moved
from tests.models.shop import act, job, ring, ring_spec


def test_every_shelf_action_can_be_undone(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 10)
        received, counted, used, scrapped = act(), act(), act(), act()

        def undone(done: Act) -> None:
            assert undo.last_undoable(session, "Bench 1") == done.key
            assert undo.undo(session, act(), done.key).movements == 1
            assert shelf.stock_row(session, row.stock_id).on_hand == 10

        shelf.receive(session, received, item_id=row.item_id, bin_id=row.bin_id, quantity=5)
        undone(received)
        shelf.count(session, counted, stock_id=row.stock_id, counted=2)
        undone(counted)
        shelf.use(session, used, stock_id=row.stock_id, quantity=4)
        undone(used)
        shelf.scrap(session, scrapped, stock_id=row.stock_id, quantity=4, reason="torn")
        undone(scrapped)
        entries = shelf.movements(session, row.stock_id)
        assert check(session).ok
    assert len(entries) == 9
    assert [one.kind for one in entries[:2]] == [Moved.SCRAPPED, Moved.SCRAPPED]
    assert entries[0].reverses == entries[1].movement_id


def test_an_undo_is_done_once_and_its_key_may_be_tried_again(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 10)
        used = act()
        shelf.use(session, used, stock_id=row.stock_id, quantity=4)
    pressed = act("Bench 2")
    for _ in range(2):
        with workshop.write() as session:
            assert undo.undo(session, pressed, used.key).movements == 1
    with pytest.raises(CannotUndoError, match="Bench 2 has undone the use already"), workshop.write() as session:
        undo.undo(session, act(), used.key)
    with workshop.read() as session:
        assert shelf.stock_row(session, row.stock_id).on_hand == 10
        undone, log = session.exec(select(Action).order_by(col(Action.id).desc()).limit(2)).all()
    assert (undone.what, undone.undoes_id, log.what) == ("undo", log.id, "shelf.use")


def test_a_receipt_that_was_used_since_can_not_be_undone(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 1)
        more = act()
        shelf.receive(session, more, item_id=row.item_id, bin_id=row.bin_id, quantity=5)
        shelf.use(session, act(), stock_id=row.stock_id, quantity=4)
    with pytest.raises(CannotUndoError, match="has moved on"), workshop.write() as session:
        undo.undo(session, act(), more.key)
    with workshop.read() as session:
        assert shelf.stock_row(session, row.stock_id).on_hand == 2


def test_accepting_a_match_is_undone_whole(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 5)
        number = job(session)
        accepted = act()
        kits.accept_match(session, accepted, number, ring_spec("as568:214", ["NBR"], pieces=3))
        undo.undo(session, act(), accepted.key)
        assert kits.view(session, number).needs == ()
        assert shelf.stock_row(session, row.stock_id).free == 5
        assert check(session).ok


def test_a_pick_and_a_release_go_back_to_have(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 5)
        number = job(session)
        need = kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=3))
        line_id = need.lines[0].line_id
        assert line_id is not None
        picked, released = act(), act()

        def undone(done: Act) -> None:
            undo.undo(session, act(), done.key)
            (line,) = kits.view(session, number).needs[0].lines
            assert (line.state, line.quantity) == (LineState.HAVE, 3)
            stock = shelf.stock_row(session, row.stock_id)
            assert (stock.on_hand, stock.promised) == (5, 3)

        kits.pick(session, picked, [line_id])
        undone(picked)
        kits.release(session, released, line_id)
        undone(released)
        assert check(session).ok


def test_a_release_can_not_be_undone_when_another_kit_took_the_ring(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 3)
        need = kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], pieces=3))
        released = act()
        assert need.lines[0].line_id is not None
        kits.release(session, released, need.lines[0].line_id)
        kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], pieces=1))
    with pytest.raises(CannotUndoError, match="2 free"), workshop.write() as session:
        undo.undo(session, act(), released.key)


def test_a_closed_job_opens_again_with_its_promises(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 3)
        number = job(session)
        kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=3))
        closed = act()
        jobs.close(session, closed, number)
        undo.undo(session, act(), closed.key)
        assert jobs.get(session, number).state is KitState.READY
        assert shelf.stock_row(session, row.stock_id).promised == 3
        struck = act()
        kits.withdraw_need(session, struck, kits.view(session, number).needs[0].need_id)
        undo.undo(session, act(), struck.key)
        assert kits.view(session, number).state is KitState.READY
        assert check(session).ok


def test_looking_on_the_shelf_can_not_be_undone_after_the_job_closed(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 3)
        number = job(session)
        kits.add_need(session, act(), number, ring_spec("as568:214", ["NBR"]))
        looked = act()
        kits.allocate(session, looked, number)
        jobs.close(session, act(), number)
    with pytest.raises(CannotUndoError, match="has changed since"), workshop.write() as session:
        undo.undo(session, act(), looked.key)


def test_what_can_not_be_undone_says_so(workshop: Workshop) -> None:
    made = act()
    with workshop.write() as session:
        place = bins.add(session, act("Demo"), code="A1").bin_id
        assortments.set_model(session, made, place, {})
        assert undo.last_undoable(session, "Bench 1") is None
    with pytest.raises(CannotUndoError, match="by hand"), workshop.write() as session:
        undo.undo(session, act(), made.key)
    with pytest.raises(NotFoundError), workshop.write() as session:
        undo.undo(session, act(), "never")


def test_a_need_looked_for_again_since_gets_nothing_back_on_top(workshop: Workshop) -> None:
    """Undoing a scrapping or a putting back may not leave more with a need than it wants."""
    with workshop.write() as session:
        row = ring(session, 2)
        number = job(session)
        need = kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=2))
        scrapped, back = act(), act()
        kits.scrap(session, scrapped, need.lines[0].line_id or 0, 2, "nicked")
        ring(session, 2, bin_code="B1")
        line = next(one for one in kits.allocate(session, act(), number).needs[0].lines if one.line_id)
    with pytest.raises(CannotUndoError, match="again since scrapping from the kit"), workshop.write() as session:
        undo.undo(session, act(), scrapped.key)
    with workshop.write() as session:
        kits.pick(session, act(), [line.line_id or 0])
        kits.put_back(session, back, line.line_id or 0, "wrong drawer")
        ring(session, 9, bin_code="B1")
        kits.allocate(session, act(), number)
    with pytest.raises(CannotUndoError, match="looked for again since putting back"), workshop.write() as session:
        undo.undo(session, act(), back.key)
    with workshop.write() as session:
        assert check(session).ok
        # Taking more than was promised is allowed; a promise on top of what a need wants is not.
        held = next(one for one in kits.view(session, number).needs[0].lines if one.line_id)
        kits.pick(session, act(), [held.line_id or 0], taken={held.line_id or 0: 5})
        assert check(session).ok
        ring(session, 1)
        first = session.exec(select(func.min(Action.id))).one() or 0
        promise_all(session, Entries(session, first), first, [Promise(need.need_id, row.stock_id, 1, "too much")])
        (found,) = check(session).findings
        assert found.what == "holds 6, promised and picked, and wants 5"
        assert found.where.startswith(f"need {need.need_id} ")

"""Who gives a promise back and looks for other holds the rows in one order with all others: no deadlock."""

from __future__ import annotations

import threading
from collections.abc import Callable

import pytest
from sqlmodel import Session

from models import jobs, kits, shelf
from models.database import Workshop, open_workshop
from models.errors import InvalidInputError
from models.storage.check import check
from models.words import LineState
from tests import postgres
from tests.models.shop import act, job, ring, ring_spec

WAIT = 0.4


@pytest.mark.parametrize(
    "change",
    [
        lambda session, job_id, need_id, line_id, stock_id: kits.scrap(session, act(), line_id, 1, "nicked"),
        lambda session, job_id, need_id, line_id, stock_id: kits.unpin(session, act(), line_id),
        lambda session, job_id, need_id, line_id, stock_id: kits.pin(session, act(), need_id, stock_id, 1),
    ],
    ids=["scrap", "unpin", "pin"],
)
def test_two_programs_wait_in_one_order(
    postgres_workshop: str, change: Callable[[Session, int, int, int, int], object]
) -> None:
    postgres.empty(postgres_workshop)
    ours, theirs = open_workshop(postgres_workshop), open_workshop(postgres_workshop)
    with ours.write() as session:
        early, late = ring(session, 5, bin_code="A1"), ring(session, 5, bin_code="B1")
        assert early.stock_id < late.stock_id
        job_id = job(session)
        need = kits.accept_match(session, act(), job_id, ring_spec("as568:214", ["NBR"], pieces=2))
        by_hand = change.__code__.co_names  # pin makes room by releasing, so it needs a line that nobody pinned
        if "pin" in by_hand:
            kits.release(session, act(), need.lines[0].line_id or 0)
            shelf.use(session, act(), stock_id=early.stock_id, quantity=5)
            line = kits.allocate(session, act(), job_id).needs[0].lines[0]
            shelf.receive(session, act(), item_id=early.item_id, bin_id=early.bin_id, quantity=5)
        else:
            line = kits.pin(session, act(), need.need_id, late.stock_id).needs[0].lines[0]
    line_id = line.line_id or 0
    assert line.bin_code == "B1"
    failed: list[BaseException] = []

    def second() -> None:
        try:
            with theirs.write() as session:
                change(session, job_id, need.need_id, line_id, early.stock_id)
        except BaseException as fault:
            failed.append(fault)

    with ours.write() as session:
        shelf.use(session, act(), stock_id=early.stock_id, quantity=1)
        other = threading.Thread(target=second)
        other.start()
        other.join(WAIT)
        assert other.is_alive(), "it waits for the row we hold"
        # It must not hold the later row while it waits for the earlier one.
        shelf.use(session, act(), stock_id=late.stock_id, quantity=1)
    other.join(10)
    assert not other.is_alive()
    assert failed == []
    ours.close()
    theirs.close()


def _one_after_the_other(
    ours: Workshop, theirs: Workshop, first: Callable[[Session], object], second: Callable[[Session], object]
) -> BaseException | None:
    """Do `second` while `first` is done but not committed; gives what refused it."""
    failed: list[BaseException] = []

    def other() -> None:
        try:
            with theirs.write() as session:
                second(session)
        except BaseException as fault:
            failed.append(fault)

    thread = threading.Thread(target=other)
    with ours.write() as session:
        first(session)
        thread.start()
        thread.join(WAIT)
    thread.join(10)
    assert not thread.is_alive()
    return failed[0] if failed else None


def test_two_benches_on_one_kit_work_one_after_the_other(postgres_workshop: str) -> None:
    postgres.empty(postgres_workshop)
    ours, theirs = open_workshop(postgres_workshop), open_workshop(postgres_workshop)
    with ours.write() as session:
        job_id = job(session)
        struck = kits.add_need(session, act(), job_id, ring_spec("as568:214", ["NBR"], pieces=2)).need_id
        ring(session, 2, bin_code="A1")
    # One strikes the need while another looks on the shelf for it.
    _one_after_the_other(
        *(ours, theirs),
        lambda session: kits.withdraw_need(session, act(), struck),
        lambda session: kits.allocate(session, act(), job_id),
    )
    with ours.write() as session:
        assert check(session).findings == ()
        need = kits.accept_match(session, act(), job_id, ring_spec("as568:214", ["NBR"], pieces=3))
        assert [line.quantity for line in need.lines if line.line_id] == [2]
        ring(session, 5, bin_code="B1")
    line_id = next(line.line_id for line in need.lines if line.line_id)
    # One scraps a piece, which looks for what lacks, while another looks too.
    _one_after_the_other(
        *(ours, theirs),
        lambda session: kits.scrap(session, act(), line_id, 1, "nicked"),
        lambda session: kits.allocate(session, act(), job_id),
    )
    with ours.read() as session:
        (seen,) = kits.view(session, job_id).needs
        assert sum(line.quantity for line in seen.lines if line.state is LineState.HAVE) == 3
    # One closes the job while another adds a need to it.
    refused = _one_after_the_other(
        *(ours, theirs),
        lambda session: jobs.close(session, act(), job_id),
        lambda session: kits.add_need(session, act(), job_id, ring_spec("as568:215")),
    )
    assert isinstance(refused, InvalidInputError)
    with ours.read() as session:
        assert len(kits.view(session, job_id).needs) == 1
    ours.close()
    theirs.close()

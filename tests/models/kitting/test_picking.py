"""All that is promised to a job picked at once: in one action, what is too old left and told."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlmodel import Session

from models import jobs, kits
from models.database import Workshop
from models.errors import InvalidInputError
from models.kits import KitView
from models.kitting.picking import Left, pick_all
from models.kitting.promises import LineMovedError
from models.storage.check import check
from models.undoing.undo import undo
from models.words import KitState, LineState
from tests.models.shop import NOON, act, job, ring, ring_spec

TODAY = NOON.date()
SIZES = ("as568:116", "as568:214", "as568:222")
LATER = NOON + timedelta(days=30)


def promised(session: Session) -> int:
    """A job that asks for two rings of three sizes, all there; those of the last expire in ten days."""
    for size in SIZES:
        too_old = size == SIZES[-1]
        last = TODAY + timedelta(days=10) if too_old else None
        ring(session, 9, size_key=size, bin_code="A1", lot="L7" if too_old else "", expires_on=last)
    job_id = job(session)
    kits.add_needs(session, act(), job_id, [ring_spec(size, pieces=2, title=size) for size in SIZES])
    kits.allocate(session, act(), job_id)
    return job_id


def states(kit: KitView) -> list[str]:
    return [str(line.state) for need in kit.needs for line in need.lines]


def test_all_go_in_one_action_and_come_back_as_one(workshop: Workshop) -> None:
    with workshop.write() as session:
        job_id = promised(session)
    for _ in range(2):  # a second try under the same key takes nothing more
        with workshop.write() as session:
            done = pick_all(session, act(key="all"), job_id)
        assert (done.lines, done.left, done.kit.state) == (3, (), KitState.PICKED)
    with workshop.write() as session:
        undo(session, act(), "all")
        assert states(kits.view(session, job_id, on=TODAY)) == ["have"] * 3
        assert check(session).findings == ()


def test_a_lot_that_has_expired_since_stays_and_is_named(workshop: Workshop) -> None:
    with workshop.write() as session:
        job_id = promised(session)
        done = pick_all(session, act(at=LATER), job_id)
        day = TODAY + timedelta(days=10)
        assert done.left == (Left("O-ring as568:222 NBR 70", "A1", f"lot L7, last day {day}, has passed"),)
        assert (done.lines, states(done.kit)) == (2, ["picked", "picked", "have"])
        # Alone it is all that is left: then nothing is picked, and the sentence says which and why.
        with pytest.raises(InvalidInputError, match=r"O-ring as568:222 NBR 70 in bin A1: lot L7"):
            pick_all(session, act(at=LATER), job_id)


def test_a_ring_without_a_lot_that_is_too_old_stays_too(workshop: Workshop) -> None:
    with workshop.write() as session:
        job_id = promised(session)
        in_years = act(at=NOON + timedelta(days=365 * 20))  # NBR keeps 15 years by ISO 2230
        with pytest.raises(InvalidInputError, match=rf"nothing came in since {TODAY}, and NBR keeps") as refused:
            pick_all(session, in_years, job_id)
        assert "O-ring as568:214 NBR 70" in str(refused.value)


def test_what_was_pinned_by_hand_goes_whatever_its_day(workshop: Workshop) -> None:
    with workshop.write() as session:
        job_id = promised(session)
        need = kits.view(session, job_id).needs[-1]
        stock_id = ring(session, 1, size_key=SIZES[-1], lot="L7", expires_on=TODAY + timedelta(days=10)).stock_id
        kits.pin(session, act(at=LATER), need.need_id, stock_id)
        done = pick_all(session, act(at=LATER), job_id)
        assert (done.lines, done.left) == (3, ())


def test_a_line_that_moved_meanwhile_is_named_and_nothing_is_picked(workshop: Workshop) -> None:
    with workshop.write() as session:
        job_id = promised(session)
        lines = [line.line_id or 0 for need in kits.view(session, job_id, on=TODAY).needs for line in need.lines]
        kits.release(session, act(), lines[0])
        with pytest.raises(LineMovedError, match=r"O-ring as568:116 NBR 70 in bin A1 was picked or released"):
            pick_all(session, act(), job_id, lines)
    with workshop.read() as session:
        kit = kits.view(session, job_id, on=TODAY)
        assert not [line for need in kit.needs for line in need.lines if line.state is LineState.PICKED]


def test_nothing_promised_and_a_closed_job_are_refused(workshop: Workshop) -> None:
    with workshop.write() as session:
        job_id = job(session, "Pump leaks")
        with pytest.raises(InvalidInputError, match="Nothing is promised to “Pump leaks”"):
            pick_all(session, act(), job_id)
        jobs.close(session, act(), job_id)
        with pytest.raises(InvalidInputError, match="is closed"):
            pick_all(session, act(), job_id)
